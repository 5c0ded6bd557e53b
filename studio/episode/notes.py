"""Notes of corrections on screen: what the voice of the published film says wrongly by now.

A correction mends what is printed; the voice stays what it was. In a film that is burnt anew a note
stands beside each sentence that names a corrected figure, or that was itself corrected, from where
the sentence begins. The step's own card, which shows the figures of today, stands before it or
behind it, where it has the time to be read.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from studio.episode.cards import (
    CORRECTED,
    GLIMPSE_MS,
    LONGEST_CARD_MS,
    SHORTEST_CARD_MS,
    WIDE_ROOM,
    CardRoom,
    in_parts,
    measurement_card,
    reading_in_parts,
)
from studio.episode.followed import Followed
from studio.episode.phrases import sentences_in
from studio.episode.published import Publication
from studio.episode.records import Card, CardKind, CardRow, Change, Correction, Slip, TimedStep
from studio.episode.told_texts import alike, named_in, numbers, step_key
from studio.language import tr
from studio.measure.measurement import Measurement, MeasurementTable, System
from studio.measure.trace import mark, plain

LONGEST_QUOTE = 110
"""Characters of a sentence that a note quotes, so that it fits on a card of any shape (ours)."""

TOLD = "told:"
"""What marks begin with that hold what viewers had been told; the measurement's name follows."""

Window = tuple[int, int]
"""When a sentence is said, from and to, in milliseconds of the film."""


def slips_of(
    rows: Followed,
    steps: Sequence[TimedStep],
    table: MeasurementTable,
    recorded: Mapping[str, str],
) -> dict[str, tuple[Slip, ...]]:
    """What the voice says wrongly, by the names of the steps; of the steps that have anything.

    The voice says what the first publication with that step told, whatever the narration is today;
    in a step that was not published it says what stands there. What it names by a row's number is
    that row's figure, wherever the row has gone since.

    Args:
        rows: what was published and put right, its rows followed to today.
        steps: of the design as it is now.
        table: of its figures.
        recorded: when a step's voice was recorded anew, ISO 8601: it says all that had been put
            right until that day, that day included.
    """
    found = {}
    for step in steps:
        since = recorded.get(step.id, "")
        told = rows.record.voice_of(step.id, since)
        later = [one for one in rows.corrections if one.on > since]
        changes = [change for one in later for change in one.changes]
        slips = (*_figures(step, told, later, table, rows), *_sentences(step, told, changes))
        if slips:
            found[step.id] = tuple(sorted(slips, key=lambda one: one.sentence or 0))
    return found


def _figures(
    step: TimedStep,
    told: Publication | None,
    later: Sequence[Correction],
    table: MeasurementTable,
    rows: Followed,
) -> Iterator[Slip]:
    """Figures that the voice names and that were put right or withdrawn since."""
    moved: dict[str, list[Change]] = {}
    for one in later:
        for change in one.changes:
            moved.setdefault(one.figure(change), []).append(change)
    said, where = _named(step, told)
    for name, named in where.items():
        figure = rows.figure(name, told)
        if figure not in moved:
            continue
        today = rows.todays.get(figure, figure)
        now, first = table.get(today), _of_voice(name, told, named.system, moved[figure])
        wrong = mark(f"{TOLD}{first.name}", first.old)
        if now is None:
            label = mark(f"{TOLD}{first.name}", first.label)
            row = CardRow(label=tr("{label}: no longer {old}", label=label, old=wrong), name=today)
        elif not _is_still_right(now, name, first.old, told, named.system):
            row = CardRow(
                label=tr("{label}, not {old}", label=mark(f"label:{today}", now.label), old=wrong),
                value=now.marked(),
                other=now.marked_other(),
                name=today,
            )
        else:
            continue
        yield Slip(row, named.sentence, len(said))


def _of_voice(
    name: str, told: Publication | None, system: System | None, changes: Sequence[Change]
) -> Change:
    """The change whose old figure the voice says, however often it was put right since.

    The first one, or the first in the system that the voice says, where another changed before it.
    """
    then = told.measurements.get(name) if told is not None else None
    if told is None or then is None:
        return changes[0]
    said = then.reading(system or told.first)
    return next((one for one in changes if said in _both_systems(one.old)), changes[0])


def _both_systems(figure: str) -> list[str]:
    """The parts of a figure as it is told: "5/8 in (16.5 mm)"."""
    return figure.removesuffix(")").split(" (")


def _is_still_right(
    now: Measurement, name: str, old: str, told: Publication | None, system: System | None
) -> bool:
    """Whether the voice says of a figure what holds now: it says it in one system alone.

    It was published under ``name``.
    """
    then = told.measurements.get(name) if told is not None else None
    # a voice that was recorded anew since that publication says another figure than it
    if told is None or then is None or old not in (then.text, then.metric, then.imperial):
        return old in (now.both, now.metric.text, now.imperial.text)
    said = system or told.first
    return now.reading(said).text == then.reading(said)


@dataclass(frozen=True, slots=True)
class _Named:
    """Where a voice names a measurement first, and in which system; None where nobody knows."""

    sentence: int | None
    system: System | None


def _named(step: TimedStep, told: Publication | None) -> tuple[tuple[str, ...], dict[str, _Named]]:
    """The voice's sentences, and where it names each measurement first."""
    named: dict[str, _Named] = {}
    if told is None:
        marked = sentences_in(step.say)
        for place, one in enumerate(marked):
            for name in named_in(one):
                named.setdefault(name, _Named(place, None))
        return tuple(map(plain, marked)), named
    voice = told.steps[step.id]
    said = sentences_in(voice["say"])
    text = " ".join(map(_spaced, said))
    ends = list(accumulate(len(_spaced(one)) + 1 for one in said))
    since = 0
    # names stand in the order in which they are said first, so that of two figures that read
    # alike each finds its own place
    for name in voice["names"].split():
        at, system = _place(text, told, name, since)
        since = since if at is None else at + 1
        named[name] = _Named(None if at is None else bisect_right(ends, at), system)
    return said, named


def _place(text: str, told: Publication, name: str, since: int) -> tuple[int | None, System | None]:
    """Where a figure stands in a text, in the system printed first, else in the other."""
    figure = told.measurements.get(name)
    if figure is None:
        return None, None
    for system in (told.first, told.first.other):
        whole = rf"(?<![\w.]){re.escape(_spaced(figure.reading(system)))}(?!\w)"
        found = re.compile(whole, re.IGNORECASE).search(text, since)
        if found is not None:
            return found.start(), system
    return None, None


def _spaced(text: str) -> str:
    """With plain single spaces."""
    return " ".join(text.split())


def _sentences(
    step: TimedStep, told: Publication | None, changes: Sequence[Change]
) -> Iterator[Slip]:
    """Sentences that name another number since, although no measurement changed."""
    key = step_key(step.id, "say")
    now: dict[str, str] = {}
    for change in changes:
        if change.name == key:
            was = next((old for old, new in now.items() if new == change.old), change.old)
            now[was] = change.new
    said = sentences_in(told.steps[step.id]["say"]) if told is not None else ()
    for old, new in now.items():
        if old != new:
            yield Slip(_sentence_row(key, old, new), alike(old.strip("“”"), said), len(said))


def _sentence_row(key: str, old: str, new: str) -> CardRow:
    def quote(text: str) -> str:
        return mark(f"{QUOTED}:{key}", text)

    if not new:
        return CardRow(label=tr("No longer: {old}", old=quote(_quoted(old))), name=key)
    here, then = numbers(new), dict.fromkeys(numbers(old))
    wrong = [one for one in then if one not in here]
    right = [one for one in here if one not in then]
    label = tr(
        "{label}, not {old}",
        label=quote(_quoted(new, *right[:1])),
        old=", ".join(map(quote, wrong)) or quote(_quoted(old)),
    )
    return CardRow(label=label, name=key)


QUOTED = "quoted"
"""What marks begin with that hold a corrected sentence, or a number of it."""


def quotations(change: Change) -> frozenset[str]:
    """All that a note may say of a corrected sentence: it, cut wherever, and its numbers.

    Args: change.
    """
    texts = (change.old, change.new)
    cuts = (_quoted(text, number) for text in texts for number in ("", *numbers(text)))
    return frozenset((*cuts, *numbers(change.old)))


def _quoted(text: str, number: str = "") -> str:
    """A sentence in quotation marks, cut at words around a number where it is long."""
    said = text.strip("“”")
    if len(said) <= LONGEST_QUOTE:
        return f"“{said}”"
    at = max(0, said.casefold().find(number)) if number else 0
    begin = max(0, min(at - LONGEST_QUOTE // 3, len(said) - LONGEST_QUOTE))
    begin = said.rfind(" ", 0, begin) + 1 if begin else 0
    end = said.rfind(" ", begin, begin + LONGEST_QUOTE)
    end = begin + LONGEST_QUOTE if end < 0 else end
    if len(said) - begin <= LONGEST_QUOTE:
        end = len(said)
    return f"“{'… ' if begin else ''}{said[begin:end]}{' …' if end < len(said) else ''}”"


@dataclass(frozen=True, slots=True)
class _Note:
    """A note before it stands: its card, from when, how long it wants to, and has to."""

    card: Card
    start: int
    wants: int
    needs: int


def plan_notes(
    steps: Sequence[TimedStep],
    slips: Mapping[str, Sequence[Slip]],
    said_at: Mapping[str, Sequence[Window]],
    length_ms: int | None = None,
    room: CardRoom = WIDE_ROOM,
) -> tuple[list[Card], tuple[TimedStep, ...]]:
    """Notes at the sentences that they are about, and when each step's own card may stand.

    A note begins with its sentence, earlier where the step would end before it is read, and at the
    step's start where nobody knows when the sentence is said. It stands as long as it takes to
    read, and to its sentence's end. Sentences so close together that their notes would meet share
    one. Where notes at their sentences leave the step's own card no time to be read, they go first;
    where that does not do, the own card's rows say themselves what the voice says wrongly of them.

    Args:
        steps: in order.
        slips: :func:`slips_of`.
        said_at: when the sentences of each step are said, in order, by the steps' names.
        length_ms: no card stands after this; None where nothing is held free.
        room: of one card, :func:`rows_for`.

    Returns:
        The notes; the steps, each with what is left for its other cards to show and their time.
    """
    cards: list[Card] = []
    left: list[TimedStep] = []
    for step in steps:
        rows = slips.get(step.id, ())
        if not rows:
            left.append(step)
            continue
        if step.start_ms is None or step.end_ms is None:
            cards += in_parts(_card(step, rows), room, length_ms, at_most=0)
            left.append(step)
            continue
        end = step.end_ms if length_ms is None else min(step.end_ms, length_ms)
        made, beside = _beside(step, rows, said_at.get(step.id, ()), end, room)
        cards += made
        # behind the last note the step goes on to its own end, and its cards with it
        left.append(replace(beside, end_ms=step.end_ms) if beside.end_ms == end else beside)
    return cards, tuple(left)


def _beside(
    step: TimedStep, slips: Sequence[Slip], said_at: Sequence[Window], end: int, room: CardRoom
) -> tuple[list[Card], TimedStep]:
    """A step's notes, and the step with what its own card shows and the time that it has.

    Of the ways to arrange them the first that leaves the own card the time to be read: notes at
    their sentences; notes before it; figures that it shows itself put right in its own rows, and
    the other notes in one of these two ways. When none does, what there is to read shares the time;
    where that would not do for the notes alone, they have it all.
    """
    assert step.start_ms is not None
    merged, others = _merged(step, slips)
    ways = (
        (step, slips, said_at),
        (step, slips, ()),
        (merged, others, said_at),
        (merged, others, ()),
    )
    for shown, notes, at in ways:
        made = _standing(shown, notes, at, end, room)
        start, stop = _gap(step.start_ms, made, end, needs := _own_needs(shown, room))
        if stop - start >= needs:
            return made, replace(shown, start_ms=start, end_ms=stop)
    there = end - step.start_ms
    if there < reading_in_parts(_card(step, slips), room):
        # what was said wrongly goes before what was said right
        return _standing(step, slips, (), end, room), replace(step, start_ms=end, end_ms=end)
    wanted = reading_in_parts(_card(merged, others), room) if others else 0
    shared = there * wanted // (wanted + _own_needs(merged, room))
    until = step.start_ms + (min(max(shared, GLIMPSE_MS), there - GLIMPSE_MS) if others else 0)
    made = _standing(merged, others, (), until, room)
    return made, replace(merged, start_ms=until, end_ms=end)


def _own_needs(step: TimedStep, room: CardRoom) -> int:
    """How long a step's own card takes to read; one of another kind its least."""
    own = measurement_card(step)
    return SHORTEST_CARD_MS if own is None else reading_in_parts(own, room)


def _merged(step: TimedStep, slips: Sequence[Slip]) -> tuple[TimedStep, tuple[Slip, ...]]:
    """The step with labels that say what the voice says in place of figures that it shows; and the
    slips that are none of these."""
    labels: dict[str, str] = {}
    shown = {one.name for one in step.shows}
    others = []
    for slip in slips:
        if slip.row.name in shown and slip.row.name not in labels:
            labels[slip.row.name] = slip.row.label
        else:
            others.append(slip)
    shows = [replace(one, label=labels.get(one.name, one.label)) for one in step.shows]
    # the first cards are the last to be left out
    shows.sort(key=lambda one: one.name not in labels)
    return replace(step, shows=tuple(shows)), tuple(others)


def _card(step: TimedStep, slips: Sequence[Slip]) -> Card:
    return Card(
        number=0,
        step_id=step.id,
        kind=CardKind.MEASUREMENT,
        heading=tr(CORRECTED),
        rows=tuple(one.row for one in slips),
        asked=step.corner,
        start_ms=step.start_ms,
        end_ms=step.end_ms,
    )


def _standing(
    step: TimedStep, slips: Sequence[Slip], said_at: Sequence[Window], end: int, room: CardRoom
) -> list[Card]:
    """A step's notes at their times."""
    assert step.start_ms is not None
    if not slips:
        return []
    by_start: dict[Window, list[Slip]] = {}
    for one in slips:
        known = one.sentence is not None and len(said_at) == one.of
        start, stop = said_at[one.sentence or 0] if known else (step.start_ms, step.start_ms)
        start = start if step.start_ms <= start < end else step.start_ms
        by_start.setdefault((start, max(start, stop)), []).append(one)
    notes: list[_Note] = []
    held: list[Slip] = []
    for (start, stop), of_sentence in sorted(by_start.items(), key=lambda one: one[0]):
        meets = bool(notes) and start < notes[-1].start + notes[-1].needs
        held = [*held, *of_sentence] if meets else of_sentence
        if meets:
            start = notes.pop().start
        card = _card(step, held)
        wants = min(stop - start, LONGEST_CARD_MS)
        notes.append(_Note(card, start, wants, reading_in_parts(card, room)))
    latest = end
    for place in range(len(notes) - 1, -1, -1):
        latest = min(notes[place].start, latest - notes[place].needs)
        notes[place] = replace(notes[place], start=latest)
    if notes[0].start < step.start_ms:
        # all the time that there is, for all of them
        card = _card(step, slips)
        notes = [_Note(card, step.start_ms, 0, reading_in_parts(card, room))]
    out: list[Card] = []
    for place, note in enumerate(notes):
        until = notes[place + 1].start if place + 1 < len(notes) else end
        card = replace(note.card, start_ms=note.start, end_ms=until)
        out += in_parts(card, room, end, at_most=note.wants)
    return out


def _gap(start: int, notes: Sequence[Card], end: int, needs: int) -> Window:
    """The first stretch of a step without a note that is long enough, else the longest one."""
    begins = [start, *(one.end_ms or 0 for one in notes)]
    ends = [*(one.start_ms or 0 for one in notes), end]
    gaps = list(zip(begins, ends, strict=True))
    enough = (gap for gap in gaps if gap[1] - gap[0] >= needs)
    return next(enough, max(gaps, key=lambda gap: gap[1] - gap[0]))
