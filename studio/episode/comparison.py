"""Two designs side by side: what differs, what to record and what to film again."""

from __future__ import annotations

import re
from dataclasses import dataclass

from studio.episode.records import Episode, TimedStep
from studio.measure.trace import plain, spans


@dataclass(frozen=True, slots=True)
class Difference:
    """A measurement that the two designs print differently.

    Attributes:
        name: the measurement's name.
        label: what a turner calls it.
        before: the first design's text, both systems; empty when it has none.
        after: the second design's text; empty when it has none.
        subject: the part of the name before the dot, or the subject of its schedule.
        schedule: the heading of the schedule that it stands in; empty when it stands alone.
    """

    name: str
    label: str
    before: str
    after: str
    subject: str
    schedule: str = ""


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence of the second design's narration that the first one's does not have."""

    step_id: str
    text: str


@dataclass(frozen=True, slots=True)
class Footage:
    """A step whose pictures from the first film cannot be used for the second; and why."""

    step_id: str
    why: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """What it takes to get from one design's episode to the other's.

    Attributes:
        measurements: printed differently, in the order of the second table, lost ones last.
        sentences: to be recorded again, in order.
        footage: to be filmed again, in order.
        dropped: steps of the first design that the second does not have.
    """

    measurements: tuple[Difference, ...]
    sentences: tuple[Sentence, ...]
    footage: tuple[Footage, ...]
    dropped: tuple[str, ...]

    @property
    def is_same(self) -> bool:
        """Whether nothing differs."""
        return not (self.measurements or self.sentences or self.footage or self.dropped)


_SENTENCE_END = re.compile(r"(?<=[.!?])\s+")


def sentences(text: str) -> list[str]:
    """A narration's sentences as spoken.

    >>> sentences("Mark 17.5 mm. Cut!")
    ['Mark 17.5 mm.', 'Cut!']
    """
    words = " ".join(plain(text).split())
    return [sentence for sentence in _SENTENCE_END.split(words) if sentence]


def compared(before: Episode, after: Episode) -> Comparison:
    """``after`` against ``before``, by what is printed, said and done."""
    known = {step.id: step for step in before.steps}
    return Comparison(
        measurements=_differences(before, after),
        sentences=_new_sentences(known, after),
        footage=_lost_footage(before, known, after),
        dropped=tuple(one for one in known if one not in {step.id for step in after.steps}),
    )


def _differences(before: Episode, after: Episode) -> tuple[Difference, ...]:
    out = []
    tabled = {
        name: (schedule.subject, schedule.heading)
        for schedule in (*before.schedules, *after.schedules)
        for name in (*schedule.names(), *schedule.columns)
    }
    for name in dict.fromkeys((*after.table, *before.table)):
        old, new = before.table.get(name), after.table.get(name)
        texts = (old.both if old else "", new.both if new else "")
        if texts[0] != texts[1]:
            one = new or old
            assert one is not None
            where = tabled.get(name, (name.partition(".")[0], ""))
            out.append(Difference(name, one.label, *texts, *where))
    return tuple(out)


def _new_sentences(known: dict[str, TimedStep], after: Episode) -> tuple[Sentence, ...]:
    out = []
    for step in after.steps:
        spoken = set(sentences(known[step.id].say)) if step.id in known else set()
        out += [Sentence(step.id, text) for text in sentences(step.say) if text not in spoken]
    return tuple(out)


def _lost_footage(
    before: Episode, known: dict[str, TimedStep], after: Episode
) -> tuple[Footage, ...]:
    out = []
    for step in after.steps:
        if step.id not in known:
            out.append(Footage(step.id, "this step is new"))
        elif why := _why_lost(before, known[step.id], after, step):
            out.append(Footage(step.id, why))
    return tuple(out)


def _named(step: TimedStep) -> list[str]:
    """The measurements that a step works to: named in its texts or shown on its card."""
    marked = " ".join((step.title, step.do, step.say))
    names = [span.name for span in spans(marked)[1]] + [shown.name for shown in step.shows]
    return list(dict.fromkeys(names))


def _why_lost(before: Episode, old: TimedStep, after: Episode, new: TimedStep) -> str:
    reasons = []
    if after.species != before.species:
        reasons.append(f"the wood is {after.species}, was {before.species}")
    if old.tools != new.tools:
        reasons.append(f"the tools are {', '.join(new.tools) or 'none'}")
    if [c.code for c in old.cautions] != [c.code for c in new.cautions]:
        reasons.append("what it does differs")
    for name in _named(new):
        one, other = before.table.get(name), after.table.get(name)
        if other is not None and (one is None or one.text != other.text):
            was = f", was {one.text}" if one is not None else ""
            reasons.append(f"{name} is {other.text}{was}")
    return "; ".join(reasons)
