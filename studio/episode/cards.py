"""What is laid over the film and when: measurement cards, and cautions at their hazards."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from studio.episode.records import (
    Card,
    CardKind,
    CardRow,
    Caution,
    Chapter,
    FrameSize,
    Inset,
    LateCaution,
    TimedStep,
)
from studio.language import later, tr
from studio.measure.rounding import Direction, number_reading
from studio.measure.trace import mark, plain, spans

SHORTEST_CARD_MS = 3_000
SHORTEST_CAUTION_MS = 4_000
READING_LEAD_MS = 1_000
READING_WORDS_PER_SECOND = 2.5
"""On screen at least three seconds, a caution four, or one second and the words at 2.5 a second
(ours)."""

GLIMPSE_MS = READING_LEAD_MS + round(1000 / READING_WORDS_PER_SECOND)
"""Where a card would stand for less than the time to see it and read a single word, there is none:
it would only flicker (ours)."""

LONGEST_CARD_MS = 10_000
"""A measurement card goes after this, though the step goes on (ours)."""

LONGEST_TITLE_MS = 5_000
"""A title card goes after this, though the step goes on (ours)."""

RETURNS_AFTER_MS = 180_000
"""A hazard that returns after three minutes brings its caution again in the same chapter (ours)."""

WIDE = Fraction(3, 2)
"""From this width to height on a picture is wide, and a card has room for four rows (ours)."""

WIDE_ROWS, NARROW_ROWS = 4, 2
"""Measurements on one card in wide pictures, and in square and upright ones (ours)."""


@dataclass(frozen=True, slots=True)
class CardRoom:
    """What a card has room for at sizes that can be read on a phone (ours, by trial).

    Attributes:
        rows: measurements at most.
        lines: of words, under the heading.
        letters: in one of these lines.
        figure: how many lines a figure's height counts for.
        other: likewise the second system's figure; 0 where it stands beside the first.
        drawing: likewise a drawing; None where no measurement goes with it.
    """

    rows: int
    lines: float
    letters: int
    figure: float
    other: float = 0.0
    drawing: float | None = None

    def holds(self, rows: Sequence[CardRow], *, drawing: bool = False, headed: bool = True) -> bool:
        """Whether so much fits on one card.

        Args:
            rows: of the card.
            drawing: whether a drawing without a caption goes with them.
            headed: whether a heading stands over them.
        """
        if drawing and self.drawing is None:
            return not rows
        lines = (self.drawing or 0.0) if drawing else 0.0
        for row in rows:
            lines += self.figure + (self.other if row.other else 0.0)
            lines += self._lines(row.label) + self._lines(row.where)
        return len(rows) <= self.rows and lines <= self.lines + (0 if headed else 1)

    def _lines(self, text: str) -> int:
        return ceil(len(plain(text)) / self.letters)


WIDE_ROOM = CardRoom(rows=WIDE_ROWS, lines=14.5, letters=48, figure=1.7, drawing=5.0)
SQUARE_ROOM = CardRoom(rows=NARROW_ROWS, lines=14.0, letters=22, figure=1.7, other=1.5)
UPRIGHT_ROOM = CardRoom(rows=NARROW_ROWS, lines=11.0, letters=29, figure=2.3, other=1.7)


CORRECTED = later("Corrected")
"""The head line of a note of a correction."""

CAUTIONS_ON_A_CARD = 2
"""More than two lines of warning at once are not read (ours)."""


def reading_ms(texts: Iterable[str], shortest: int) -> int:
    """How long a card must stand to be read, in milliseconds.

    >>> reading_ms(["Lathe off before callipers or dividers touch."], SHORTEST_CAUTION_MS)
    4000
    """
    words = sum(len(plain(text).split()) for text in texts)
    return max(shortest, round(READING_LEAD_MS + words * 1000 / READING_WORDS_PER_SECOND))


def due_cautions(
    steps: Sequence[TimedStep], chapters: Sequence[Chapter]
) -> list[tuple[TimedStep, tuple[Caution, ...]]]:
    """Which cautions come on screen at which step.

    Each at its first hazard in a chapter, and again when that hazard returns three minutes after
    it was last warned of. A film of its own, such as a short of one step, carries its own: give
    this function that film's steps and chapters alone.

    Args:
        steps: of one film, in order; without times only the chapters' rule applies.
        chapters: of that film; without chapters the whole film is one.
    """
    chapter_of = {
        step_id: place for place, chapter in enumerate(chapters) for step_id in chapter.step_ids
    }
    # by words too: a caution that names another speed is another caution
    warned: dict[tuple[str, str], tuple[int, int]] = {}
    out: list[tuple[TimedStep, tuple[Caution, ...]]] = []
    for step in steps:
        chapter, now = chapter_of.get(step.id, 0), step.start_ms or 0
        due: list[Caution] = []
        for caution in step.cautions:
            last = warned.get((caution.code, caution.short))
            if last is None or last[0] != chapter or now - last[1] >= RETURNS_AFTER_MS:
                due.append(caution)
                warned[caution.code, caution.short] = (chapter, now)
        if due:
            out.append((step, tuple(due)))
    return out


def plan_cautions(
    steps: Sequence[TimedStep], chapters: Sequence[Chapter], length_ms: int | None
) -> tuple[list[Card], list[LateCaution]]:
    """Caution cards in order, one after the other, and the cautions that come too late.

    A step's cards follow one another from the step's start; when an earlier card still stands, the
    next waits for it. Each stands as long as it takes to read. Where that makes a caution late,
    the cards of every step that is too short for its own stand shorter, but never under four
    seconds. A caution is late when it would not begin within its own step, or not stand its four
    seconds before the film ends.
    """
    due = due_cautions(steps, chapters)
    unhurried = _plan(due, length_ms, _reading_times)
    if not unhurried[1]:
        return unhurried
    pressed = _plan(due, length_ms, _pressed_times)
    return pressed if len(pressed[1]) < len(unhurried[1]) else unhurried


_Group = tuple[Caution, ...]


def _plan(
    due: Sequence[tuple[TimedStep, _Group]],
    length_ms: int | None,
    times: Callable[[Sequence[_Group], int], list[int]],
) -> tuple[list[Card], list[LateCaution]]:
    cards: list[Card] = []
    late: list[LateCaution] = []
    free = 0
    for step, cautions in due:
        groups = [
            cautions[first : first + CAUTIONS_ON_A_CARD]
            for first in range(0, len(cautions), CAUTIONS_ON_A_CARD)
        ]
        untimed = [_caution_card(step, group) for group in groups]
        if step.start_ms is None or step.end_ms is None or length_ms is None:
            cards += untimed
            continue
        start = max(step.start_ms, free)
        lengths = times(groups, step.end_ms - start)
        for card, group, stands in zip(untimed, groups, lengths, strict=True):
            end = min(start + stands, length_ms)
            if start >= step.end_ms or end - start < SHORTEST_CAUTION_MS:
                late += [LateCaution(step.id, caution.code) for caution in group]
            if end - start >= GLIMPSE_MS:
                cards.append(replace(card, start_ms=start, end_ms=end))
            start = free = end
    return cards, late


def _caution_card(step: TimedStep, cautions: _Group) -> Card:
    return Card(
        number=0,
        step_id=step.id,
        kind=CardKind.CAUTION,
        heading=tr("Caution"),
        rows=tuple(CardRow(label=caution.short, name=caution.code) for caution in cautions),
        start_ms=None,
        end_ms=None,
    )


def _reading_times(groups: Sequence[_Group], window: int) -> list[int]:
    """How long each card takes to read, whatever the window."""
    return [
        reading_ms((caution.short for caution in group), SHORTEST_CAUTION_MS) for group in groups
    ]


def _pressed_times(groups: Sequence[_Group], window: int) -> list[int]:
    """Reading times pressed into the window as far as four seconds each allow."""
    wanted = _reading_times(groups, window)
    spare = sum(wanted) - SHORTEST_CAUTION_MS * len(wanted)
    too_much = sum(wanted) - window
    if too_much <= 0 or spare <= 0:
        return wanted
    kept = max(0.0, 1 - too_much / spare)
    return [SHORTEST_CAUTION_MS + int((one - SHORTEST_CAUTION_MS) * kept) for one in wanted]


def rows_for(size: FrameSize) -> CardRoom:
    """What a card has room for at a readable size in pictures of a shape."""
    if size.width >= WIDE * size.height:
        return WIDE_ROOM
    return SQUARE_ROOM if size.width >= size.height else UPRIGHT_ROOM


def plan_measurements(
    steps: Sequence[TimedStep], length_ms: int | None = None, room: CardRoom = WIDE_ROOM
) -> list[Card]:
    """Cards for each step that shows measurements or a drawing; they stand within their step.

    A step's measurements that do not go on one card follow one another on several.

    Args:
        steps: in order.
        length_ms: no card stands after this; None where nothing is held free.
        room: of one card, :func:`rows_for`.
    """
    cards: list[Card] = []
    for step in steps:
        card = measurement_card(step)
        if card is not None:
            cards += in_parts(card, room, length_ms)
    return cards


def measurement_card(step: TimedStep) -> Card | None:
    """What a step shows, all on one card; None where it shows nothing."""
    if not step.shows and step.inset is None:
        return None
    rows = tuple(
        CardRow(
            label=shown.label,
            value=shown.marked(),
            other=shown.marked_other(),
            where=shown.where,
            name=shown.name,
        )
        for shown in step.shows
    )
    return Card(
        number=0,
        step_id=step.id,
        kind=CardKind.MEASUREMENT,
        heading=step.title,
        rows=rows,
        inset=step.inset,
        asked=step.corner,
        start_ms=step.start_ms,
        end_ms=step.end_ms,
    )


def in_parts(
    card: Card, room: CardRoom, length_ms: int | None, at_most: int = LONGEST_CARD_MS
) -> list[Card]:
    """The card, or several with a part of its rows each, one after the other; the last draws.

    Each stands as long as it takes to read, and up to ``at_most`` ms where that is less. Where
    there is no time for that, the step's title gives way: on all cards but the first, then on all,
    whose rows are put on fewer cards if they go there now. What is still missing the cards share in
    the measure of what each needs; those that would only flicker are left out, the last ones first.
    """
    parts = _parts(card, room)
    if card.start_ms is None or card.end_ms is None:
        return parts
    end = card.end_ms if length_ms is None else min(card.end_ms, length_ms)
    window = end - card.start_ms
    # the note of a correction is nothing without its head line
    if card.heading != tr(CORRECTED):
        first, *others = parts
        ways = (
            parts,
            [first, *(replace(part, heading="") for part in others)],
            _parts(replace(card, heading=""), room),
        )
        parts = next((way for way in ways if _reading_of(way) <= window), ways[-1])
    stands = _stands(parts, window, at_most)
    while len(parts) > 1 and min(stands) < GLIMPSE_MS:
        # fewer that can be seen, rather than all in a flicker
        parts = parts[:-1]
        stands = _stands(parts, window, at_most)
    out: list[Card] = []
    start = card.start_ms
    for part, stand in zip(parts, stands, strict=True):
        out += _standing(replace(part, start_ms=start), stand, length_ms)
        start += stand
    return out


def _stands(parts: Sequence[Card], window: int, at_most: int) -> list[int]:
    """How long each of a card's parts stands in a window of so many milliseconds."""
    needs = [card_reading_ms(part) for part in parts]
    stands = [max(need, at_most) for need in needs]
    if sum(stands) <= window or len(parts) == 1:
        return stands
    spare = max(0, window - sum(needs)) // len(parts)
    share = min(Fraction(1), Fraction(max(0, window), sum(needs)))
    return [int(need * share) + spare for need in needs]


def _reading_of(cards: Iterable[Card]) -> int:
    return sum(card_reading_ms(card) for card in cards)


def reading_in_parts(card: Card, room: CardRoom) -> int:
    """How long a card takes to read on as many as its rows need, in milliseconds."""
    return _reading_of(_parts(card, room))


def _parts(card: Card, room: CardRoom) -> list[Card]:
    """The card's rows and drawing on as many cards as they need; a drawing comes last."""
    drawing = _without_echo(card.inset, card.rows)
    if (
        drawing is not None
        and not drawing.caption
        and room.holds(card.rows, drawing=True, headed=bool(card.heading))
    ):
        return [replace(card, inset=drawing)]
    parts: list[Card] = []
    rows: tuple[CardRow, ...] = ()
    for row in card.rows:
        if rows and not room.holds((*rows, row), headed=bool(card.heading)):
            parts.append(replace(card, rows=rows, inset=None))
            rows = ()
        rows = (*rows, row)
    if rows:
        parts.append(replace(card, rows=rows, inset=None))
    # by itself a drawing has its caption, which tells what it is of
    return parts if card.inset is None else [*parts, replace(card, rows=())]


def _without_echo(inset: Inset | None, rows: Sequence[CardRow]) -> Inset | None:
    """The drawing without a caption whose figures the rows beside it tell already."""
    if inset is None:
        return None
    told = {plain(row.value) for row in rows}
    words, marks = spans(inset.caption)
    echoes = bool(marks) and {words[one.start : one.stop] for one in marks} <= told
    return replace(inset, caption="") if echoes else inset


def plan_titles(steps: Sequence[TimedStep], length_ms: int | None = None) -> list[Card]:
    """A card with title and number for each step whose measurement card does not tell them.

    Args: as :func:`plan_measurements`.
    """
    count = mark("steps:count", str(len(steps)))
    cards = []
    for step in steps:
        if step.shows or step.inset is not None:
            continue
        number = mark(f"step:{step.number}", str(step.number))
        card = Card(
            number=0,
            step_id=step.id,
            kind=CardKind.TITLE,
            heading=step.title,
            rows=(CardRow(label=tr("Step {number} of {count}", number=number, count=count)),),
            asked=step.corner,
            start_ms=step.start_ms,
            end_ms=step.end_ms,
        )
        cards += _standing(card, max(card_reading_ms(card), LONGEST_TITLE_MS), length_ms)
    return cards


def _standing(card: Card, stands: int, length_ms: int | None) -> list[Card]:
    """The card for so long, within its step and the film's part that cards may stand in."""
    if card.start_ms is None or card.end_ms is None:
        return [card]
    end = min(card.start_ms + stands, card.end_ms)
    if length_ms is not None:
        end = min(end, length_ms)
    return [replace(card, end_ms=end)] if end - card.start_ms >= GLIMPSE_MS else []


def needs_longer(card: Card) -> bool:
    """Whether a timed card stands too short to be read."""
    if card.start_ms is None or card.end_ms is None:
        return False
    return card.end_ms - card.start_ms < card_reading_ms(card)


def hasty_notes(cards: Iterable[Card]) -> tuple[str, ...]:
    """What to tell of cards that stand too short to be read: how long they do, and should."""
    return tuple(
        f"step {card.step_id}: its {_CALLED[card.kind]} “{plain(_said_first(card))}” stands "
        f"{_seconds(stands)} and takes {_seconds(needed)} to read; leave the step "
        f"{_seconds(ceil((needed - stands) / 100) * 100)} more{_LESS[card.kind]}"
        for card in cards
        if needs_longer(card)
        for stands, needed in (((card.end_ms or 0) - (card.start_ms or 0), card_reading_ms(card)),)
    )


def _said_first(card: Card) -> str:
    # cautions all have the same heading
    return card.rows[0].label if card.kind is CardKind.CAUTION else card.called


_CALLED = {
    CardKind.MEASUREMENT: "card",
    CardKind.TITLE: "title",
    CardKind.CAUTION: "caution",
}

_LESS = {
    CardKind.MEASUREMENT: ", or show less in it",
    CardKind.TITLE: ", or shorten its title",
    CardKind.CAUTION: "",
}


def _seconds(milliseconds: int) -> str:
    return f"{milliseconds / 1000:.1f} s"


def numbered(cards: Iterable[Card], steps: Sequence[TimedStep]) -> tuple[Card, ...]:
    """All cards in order of first appearance (without times, in order of steps), numbered."""
    order = {step.id: place for place, step in enumerate(steps)}
    in_order = sorted(
        cards,
        key=lambda card: (
            card.start_ms if card.start_ms is not None else 0,
            order[card.step_id],
            card.kind is CardKind.CAUTION,
        ),
    )
    return tuple(
        replace(card, number=place, held=_held(card, place))
        for place, card in enumerate(in_order, start=1)
    )


def _held(card: Card, number: int) -> str:
    seconds = card_reading_ms(card) / 1000
    return mark(f"held:{number}", number_reading(seconds, "s", Fraction(1), Direction.UP).text)


def card_reading_ms(card: Card) -> int:
    """How long a card takes to read, in milliseconds."""
    if card.kind is CardKind.CAUTION:
        return reading_ms((row.label for row in card.rows), SHORTEST_CAUTION_MS)
    # the second system says the same figure again: who reads the one does not read the other
    texts = [card.heading, *(f"{row.label} {row.value} {row.where}" for row in card.rows)]
    if card.inset is not None:
        texts.append(card.inset.caption)
    return reading_ms(texts, SHORTEST_CARD_MS)
