"""Which corner each card stands in: its own, the design's or a calm one, and never on another.

Of cards seen together the leading one decides the side; cautions take the other. In film taller
than wide, sides are ends: top and bottom.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from studio.episode.records import Card, CardKind, FrameSize
from studio.film.look import Look


def is_upright(size: FrameSize) -> bool:
    """Whether film is taller than wide: cards then stand one above the other."""
    return size.height > size.width


def own_corner(kind: CardKind, look: Look) -> str:
    """The look's own corner for cards of a kind."""
    return look.places.caution if kind is CardKind.CAUTION else look.places.measurement


def own_end(kind: CardKind) -> str:
    """Where cards of a kind stand in film taller than wide, ``top`` or ``bottom``.

    A caution stands at the foot: the middle, where the work is, stays free.
    """
    return "bottom" if kind is CardKind.CAUTION else "top"


def with_corners(cards: Sequence[Card], look: Look, size: FrameSize) -> tuple[Card, ...]:
    """The cards, each with a corner, so that no two that are seen together touch.

    A card stands where the design asks, else where it was placed, else in the look's own corner.
    Of those seen together the first that is no caution decides the side; cautions take the other.
    In film taller than wide the same holds for top and bottom.

    Args:
        cards: of one film; without times the cards of a step count as seen together.
        look: of the cards.
        size: of the film.
    """
    corners: dict[int, str] = {}
    for group in seen_together(cards):
        wanted = {card.number: wanted_corner(card, look, size) for card in group}
        first = leading(group)
        for card in group:
            end, side = wanted[card.number].split("-")
            part = part_of(wanted[first.number], upright=is_upright(size))
            part = part if on_one_side(card, first) else OTHER[part]
            corners[card.number] = f"{part}-{side}" if is_upright(size) else f"{end}-{part}"
    return tuple(replace(card, corner=corners[card.number]) for card in cards)


OTHER = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}
"""The part of the picture across from each."""


def part_of(corner: str, *, upright: bool) -> str:
    """What keeps cards apart that are seen together: the side, in upright film the end."""
    end, side = corner.split("-")
    return end if upright else side


def leading(group: Sequence[Card]) -> Card:
    """The card that decides for those seen with it: no caution if there is another, asked first."""
    return min(group, key=lambda card: (card.kind is CardKind.CAUTION, not card.asked))


def on_one_side(card: Card, other: Card) -> bool:
    """Whether two cards stand on one side when they are seen together: cautions stand apart."""
    return (card.kind is CardKind.CAUTION) == (other.kind is CardKind.CAUTION)


def wanted_corner(card: Card, look: Look, size: FrameSize) -> str:
    """Where a card stands by itself: as asked, as placed before, or in the look's own corner."""
    corner = card.asked or card.corner
    if corner:
        return corner
    own = own_corner(card.kind, look)
    return f"{own_end(card.kind)}-{own.split('-')[1]}" if is_upright(size) else own


def seen_together(cards: Sequence[Card]) -> list[list[Card]]:
    """The cards in groups: those whose times overlap, or overlap with one of the group."""
    groups: list[list[Card]] = []
    until = 0
    untimed: dict[str, list[Card]] = {}
    for card in sorted(cards, key=lambda card: (card.start_ms or 0, card.number)):
        if card.start_ms is None or card.end_ms is None:
            untimed.setdefault(card.step_id, []).append(card)
            continue
        if groups and card.start_ms < until:
            groups[-1].append(card)
        else:
            groups.append([card])
            until = 0
        until = max(until, card.end_ms)
    return [*groups, *untimed.values()]
