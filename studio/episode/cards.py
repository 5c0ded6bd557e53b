"""What is laid over the film and when: measurement cards, and cautions at their hazards."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from studio.episode.records import (
    Card,
    CardKind,
    CardRow,
    Caution,
    Chapter,
    LateCaution,
    TimedStep,
)
from studio.measure.trace import plain

SHORTEST_CARD_MS = 3_000
SHORTEST_CAUTION_MS = 4_000
READING_LEAD_MS = 1_000
READING_WORDS_PER_SECOND = 2.5
"""On screen at least three seconds, a caution four, or one second and the words at 2.5 a second
(ours)."""

LONGEST_CARD_MS = 10_000
"""A measurement card goes after this, though the step goes on (ours)."""

RETURNS_AFTER_MS = 180_000
"""A hazard that returns after three minutes brings its caution again in the same chapter (ours)."""

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


def _caution_rows(cautions: Sequence[Caution]) -> tuple[CardRow, ...]:
    return tuple(CardRow(label=caution.short, name=caution.code) for caution in cautions)


def plan_cautions(
    steps: Sequence[TimedStep], chapters: Sequence[Chapter], length_ms: int | None
) -> tuple[list[Card], list[LateCaution]]:
    """Caution cards in order, one after the other, and the cautions that come too late.

    A step's cards follow one another from the step's start; when an earlier card still stands, the
    next waits for it. Each stands as long as it takes to read; where a step is too short for all
    of its cards to begin within it, they stand shorter, but never under four seconds. One that
    even so would not begin within its own step, or not stand its four seconds before the film
    ends, is late.
    """
    cards: list[Card] = []
    late: list[LateCaution] = []
    free = 0
    for step, due in due_cautions(steps, chapters):
        groups = [
            due[first : first + CAUTIONS_ON_A_CARD]
            for first in range(0, len(due), CAUTIONS_ON_A_CARD)
        ]
        plain_cards = [
            Card(
                number=0,
                step_id=step.id,
                kind=CardKind.CAUTION,
                heading="Caution",
                rows=_caution_rows(group),
                start_ms=None,
                end_ms=None,
            )
            for group in groups
        ]
        if step.start_ms is None or step.end_ms is None or length_ms is None:
            cards += plain_cards
            continue
        start = max(step.start_ms, free)
        for card, group, stands in zip(
            plain_cards, groups, _standing(groups, step.end_ms - start), strict=True
        ):
            end = min(start + stands, length_ms)
            if start >= step.end_ms or end - start < SHORTEST_CAUTION_MS:
                late += [LateCaution(step.id, caution.code) for caution in group]
            if start < length_ms:
                cards.append(replace(card, start_ms=start, end_ms=end))
            start = free = end
    return cards, late


def _standing(groups: Sequence[Sequence[Caution]], window: int) -> list[int]:
    """How long each card stands, so that the last one begins within ``window`` if it can."""
    wanted = [
        reading_ms((caution.short for caution in group), SHORTEST_CAUTION_MS) for group in groups
    ]
    before_last = sum(wanted[:-1])
    if before_last < window or not before_last:
        return wanted
    spare = before_last - SHORTEST_CAUTION_MS * (len(wanted) - 1)
    too_much = before_last - window + 1
    kept = max(0.0, 1 - too_much / spare) if spare else 0.0
    shorter = [
        SHORTEST_CAUTION_MS + int((stands - SHORTEST_CAUTION_MS) * kept) for stands in wanted[:-1]
    ]
    return [*shorter, wanted[-1]]


def plan_measurements(steps: Sequence[TimedStep]) -> list[Card]:
    """One card for each step that shows measurements; it stands within its step."""
    cards = []
    for step in steps:
        if not step.shows:
            continue
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
        card = Card(
            number=0,
            step_id=step.id,
            kind=CardKind.MEASUREMENT,
            heading=step.title,
            rows=rows,
            start_ms=step.start_ms,
            end_ms=step.end_ms,
        )
        if step.start_ms is not None and step.end_ms is not None:
            texts = [card.heading, *(f"{row.label} {row.value}" for row in rows)]
            needed = reading_ms(texts, SHORTEST_CARD_MS)
            stands = max(needed, LONGEST_CARD_MS)
            card = replace(card, end_ms=min(step.start_ms + stands, step.end_ms))
        cards.append(card)
    return cards


def needs_longer(card: Card) -> bool:
    """Whether a timed measurement card stands too short to be read."""
    if card.start_ms is None or card.end_ms is None or card.kind is CardKind.CAUTION:
        return False
    texts = [card.heading, *(f"{row.label} {row.value}" for row in card.rows)]
    return card.end_ms - card.start_ms < reading_ms(texts, SHORTEST_CARD_MS)


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
    return tuple(replace(card, number=place) for place, card in enumerate(in_order, start=1))
