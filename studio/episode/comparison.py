"""Two designs side by side: what differs, what to record and what to film again."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from studio.episode.records import Episode, TimedStep
from studio.episode.times import sentences
from studio.measure.measurement import Measurement, MeasurementTable
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
        in_both: whether both designs have that schedule.
    """

    name: str
    label: str
    before: str
    after: str
    subject: str
    schedule: str = ""
    in_both: bool = False


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
    tables = [{(one.subject, one.heading) for one in two.schedules} for two in (before, after)]
    shared = tables[0] & tables[1]
    olds, news = (_by_own_name(one.table) for one in (before, after))
    for name in dict.fromkeys((*news, *olds)):
        old, new = olds.get(name), news.get(name)
        texts = (old.both if old else "", new.both if new else "")
        if texts[0] != texts[1]:
            one = new or old
            assert one is not None
            subject, heading = tabled.get(one.name, (one.name.partition(".")[0], ""))
            both = (subject, heading) in shared
            rings = (
                _ring_of(both_sides, measured.name) if measured is not None else None
                for both_sides, measured in ((after.table, new), (before.table, old))
            )
            label = ", ".join((one.label, *_ring_words(*rings)))
            out.append(Difference(one.name, label, *texts, subject, heading, both))
    return tuple(out)


def _by_own_name(table: MeasurementTable) -> dict[str, Measurement]:
    """Every measurement by its name, those of a ring by the ring's side and place in its row.

    Numbers run over all rings, so another ring on one side would give all others another's figures.
    """
    own = {}
    for name, one in table.items():
        ring = _ring_of(table, name)
        key = f"{name.rpartition('_')[0]} {ring.side} {ring.place}" if ring is not None else name
        own[key] = one
    return own


@dataclass(frozen=True, slots=True)
class _Ring:
    """Which ring a measurement is of: its side, its place from the equator, and how many there."""

    side: str
    place: int
    of: int


def _ring_of(table: MeasurementTable, name: str) -> _Ring | None:
    subject, _, number = name.rpartition("_")
    side = table.get(f"rings.side_{number}")
    if not subject.startswith("rings.") or side is None:
        return None
    beside = [
        one.name.rpartition("_")[2]
        for one in table.group("rings")
        if one.name.startswith("rings.side_") and one.text == side.text
    ]
    # from the equator outwards, whichever way the numbers run
    beside.sort(key=lambda each: table[f"rings.latitude_{each}"].value)
    return _Ring(side.text, beside.index(number) + 1, len(beside))


def _ring_words(ring: _Ring | None, other: _Ring | None) -> tuple[str, ...]:
    """A ring's own name: its side, and its place where either design has several there."""
    one = ring or other
    if one is None:
        return ()
    several = max(each.of for each in (ring, other) if each is not None) > 1
    return (one.side, f"ring {one.place} from the equator") if several else (one.side,)


def _new_sentences(known: dict[str, TimedStep], after: Episode) -> tuple[Sentence, ...]:
    out = []
    for step in after.steps:
        spoken = set(sentences(known[step.id].say)) if step.id in known else set()
        out += [Sentence(step.id, text) for text in sentences(step.say) if text not in spoken]
    return tuple(out)


def _lost_footage(
    before: Episode, known: dict[str, TimedStep], after: Episode
) -> tuple[Footage, ...]:
    shapes = _changed_shapes(before, after)
    parts = _part_names(before, after)
    seen = _first_seen(after.steps, shapes, parts)
    hidden = _hidden_after(after)
    out = []
    for place, step in enumerate(after.steps):
        if step.id not in known:
            out.append(Footage(step.id, "this step is new"))
            continue
        shown = {
            name: why
            for name, why in shapes.items()
            # on the lathe a part of its own shows nothing of the globe
            if (step.part == name if step.part else seen[name] <= place <= hidden.get(name, place))
        }
        if why := _why_lost(before, known[step.id], after, step, shown.values()):
            out.append(Footage(step.id, why))
    return tuple(out)


def _part_names(*episodes: Episode) -> set[str]:
    pieces = [episode.piece for episode in episodes if episode.piece is not None]
    return {part.name for piece in pieces for part in piece.parts}


def _changed_shapes(before: Episode, after: Episode) -> dict[str, str]:
    """What of the piece has another shape, by subject or part, and how that is said."""
    old, new = _shapes(before), _shapes(after)
    woods = _woods(before), _woods(after)
    told = {}
    if ball := _ball(before.table, after.table):
        told[_BALL] = ball
    for name in dict.fromkeys((*new, *old)):
        was, now = (one.get(name) for one in woods)
        if name not in new:
            told[name] = f"{name}: not there any more"
        elif name not in old:
            told[name] = f"{name}: new here"
        elif old[name] != new[name]:
            told[name] = _OTHERWISE.get(name, f"{name}: another shape")
            if was != now:
                told[name] += f", and of {now}, was {was}"
        elif was != now:
            told[name] = f"{name}: the wood is {now}, was {was}"
    return told


def _woods(episode: Episode) -> dict[str, str]:
    """What each turned part is made of."""
    piece = episode.piece
    return {part.name: part.wood for part in piece.parts} if piece is not None else {}


_BALL = "sphere.diameter"
"""The globe as every step of it shows it, from its cylinder on."""

_SEEN_SIZE = 0.05
"""A ball that differs by a smaller part in size looks the same in pictures (ours)."""


def _ball(before: MeasurementTable, after: MeasurementTable) -> str:
    """How a ball of another size is told, in the words of a step that works to it."""
    was, now = before.get(_BALL), after.get(_BALL)
    if was is None or now is None or math.isclose(was.value, now.value, rel_tol=_SEEN_SIZE):
        return ""
    return _is_now(now, was)


def _is_now(now: Measurement, was: Measurement | None) -> str:
    before = f", was {was.text}" if was is not None else ""
    return f"{now.name} is {now.text}{before}"


_OTHERWISE = {"axis": "the grooves are cut in another order, or mounted on other marks"}
"""What is said where it is no shape that differs."""


def _shapes(episode: Episode) -> dict[str, object]:
    """The piece's geometry by subject, as far as a camera sees it."""
    piece = episode.piece
    if piece is None:
        return {}
    shapes: dict[str, object] = {part.name: part.profile for part in piece.parts}
    globe = piece.globe
    if globe is not None and globe.section is not None:
        shapes["grooves"] = (globe.grooves, globe.section)
    if globe is not None and globe.rings:
        shapes["rings"] = globe.rings
    if globe is not None and globe.hollow_diameter_mm:
        shapes["hollow"] = globe.hollow_diameter_mm
    mounted = [one.text for one in episode.table.group("axis")]
    if mounted:
        shapes["axis"] = tuple(mounted)
    if "hanger.in" in episode.table:
        shapes["hanger"] = episode.table["hanger.in"].text
    return shapes


def _first_seen(
    steps: Sequence[TimedStep], shapes: Iterable[str], parts: set[str]
) -> dict[str, int]:
    """The first step of the globe or the whole whose pictures show a shape for certain.

    That is the first that works to it; where none says that it does, the first that cannot come
    before it. From there on every picture shows it.
    """
    first = {_BALL: 0}
    for place, step in enumerate(steps):
        if step.part:
            continue
        for name in _named(step):
            first.setdefault(name.partition(".")[0], place)
    if "axis" not in first and "grooves" in first:
        first["axis"] = first["grooves"]
    return {
        name: first[name] if name in first else _at_latest(steps, name, part=name in parts)
        for name in shapes
    }


def _hidden_after(episode: Episode) -> dict[str, int]:
    """The last step of the globe or the whole that shows something which nothing shows later.

    In which order grooves were cut is seen while they are cut; a hollow is seen until a part is
    glued into its opening.
    """
    last: dict[str, int] = {}
    for place, step in enumerate(episode.steps):
        groups = {name.partition(".")[0] for name in _named(step)}
        if not step.part and (groups & {"axis", "grooves"} or step.stage == "off-centre"):
            last["axis"] = place
        if "hollow" not in last and "adhesive" in step.does and _closes_hollow(episode):
            last["hollow"] = place
    return last


def _closes_hollow(episode: Episode) -> bool:
    """Whether a part stands over the hollow's opening."""
    piece, opening = episode.piece, episode.table.get("hollow.opening")
    if piece is None or piece.globe is None or opening is None:
        return False
    sides = {
        bore.to_mm > 0
        for bore in piece.globe.bores
        if math.isclose(bore.diameter_mm, opening.value, abs_tol=1e-6)
    }
    return any(part.up in sides for part in piece.parts)


_MADE_BY = {"hollow": "hollowing", "hanger": "hanging"}
"""What a step does that makes a shape, where no step names its measurements."""


def _at_latest(steps: Sequence[TimedStep], shape: str, *, part: bool) -> int:
    """The first step that cannot come before a shape which no step says it makes.

    Rings are turned before any groove is cut; whatever is cut, before it is sanded; parts are put
    on by glue. The last step shows the whole piece.
    """
    for place, step in enumerate(steps):
        if step.part:
            continue
        if shape in _MADE_BY and _MADE_BY[shape] in step.does:
            return place
        if part and "adhesive" in step.does:
            return place
        if not part and shape not in _MADE_BY and step.stage in ("off-centre", "sanding"):
            return place
    return len(steps) - 1


def _named(step: TimedStep) -> list[str]:
    """The measurements that a step works to: named in its texts or shown on its card."""
    marked = " ".join((step.title, step.do, step.say))
    names = [span.name for span in spans(marked)[1]] + [shown.name for shown in step.shows]
    return list(dict.fromkeys(names))


def _why_lost(
    before: Episode, old: TimedStep, after: Episode, new: TimedStep, shapes: Iterable[str]
) -> str:
    reasons = []
    # a part's own step shows its own wood, which its shape's sentence tells
    if after.species != before.species and not new.part:
        reasons.append(f"the wood is {after.species}, was {before.species}")
    if old.tools != new.tools:
        was = ", ".join(plain(tool) for tool in old.tools) or "none"
        now = ", ".join(plain(tool) for tool in new.tools) or "none"
        reasons.append(f"the tools are {now}, were {was}")
    if [c.code for c in old.cautions] != [c.code for c in new.cautions]:
        reasons.append("what it does differs")
    reasons += shapes
    gone = []
    for name in dict.fromkeys((*_named(new), *_named(old))):
        one, other = before.table.get(name), after.table.get(name)
        if other is None and one is not None:
            gone.append(name)
        elif other is not None and (one is None or one.text != other.text):
            reasons.append(_is_now(other, one))
    reasons += [f"{name} is gone" for name in gone]
    if not reasons and _wording(old.do) != _wording(new.do):
        reasons.append("what is to be done is told otherwise")
    return "; ".join(dict.fromkeys(reasons))


def _wording(marked: str) -> str:
    return " ".join(plain(marked).split())
