"""The places file beside a design: in which corner of the film each card stands, and how dense.

``studio burn`` chooses both from the film's own pictures and writes the file; the design's episode
reads it, so that every drawing of a card agrees. A corner typed in the design goes before it. Where
nobody tells the film's length, the file keeps the burnt master's.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from studio.design.schema import CORNERS
from studio.episode.beside import PLACES, Content, read_beside
from studio.episode.records import Card, CardKind

_MASTER = "master"
"""The key of the burnt master's length, seconds."""

_HEAD = """\
# Written by studio burn, anew with each film: where each overlay stands, and why there.
# Calm is the mean change from picture to picture plus the mean step from place to place, in
# levels of 255; the calmest corner is taken. To have one yourself, write corner: under the step.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPlace:
    """Where a card stands on a film.

    Attributes:
        corner: one of the four.
        opacity: of its plate, 0 to 1.
        calm: how restless each corner was that it might stand in, 0 for a still, even one.
        seen: fingerprint of what it was chosen from: film, times, sizes.
    """

    corner: str
    opacity: float
    calm: Mapping[str, float]
    seen: str


Places = Mapping[str, CardPlace]
"""By a card's name, :func:`place_names`."""


def place_names(cards: Sequence[Card]) -> dict[int, str]:
    """A name for each card by its number, one that stays when other steps get or lose cards.

    >>> place_names(())
    {}
    """
    names: dict[int, str] = {}
    for card in cards:
        tail = "" if card.kind is CardKind.MEASUREMENT else f"-{card.kind.value}"
        base = f"{card.step_id}{tail}"
        count = sum(name == base or name.startswith(f"{base}.") for name in names.values())
        names[card.number] = f"{base}.{count + 1}" if count else base
    return names


def places_file(design: Path) -> Path:
    """Where the places of a design stand."""
    return design.with_name(f"{design.stem}{PLACES}")


def as_text(places: Places, master_ms: int | None = None) -> str:
    """The file's content.

    Args:
        places: of the cards.
        master_ms: the burnt master's length, where nobody but the master tells it.
    """
    lines = [f"{_MASTER}: {master_ms / 1000:.3f}"] if master_ms is not None else []
    lines.append("cards:" if places else "cards: {}")
    for name, place in places.items():
        calm = ", ".join(f"{corner}: {score:.1f}" for corner, score in place.calm.items())
        lines += [
            f"  {name}:",
            f"    corner: {place.corner}",
            f"    opacity: {place.opacity:.2f}",
            f"    calm: {{{calm}}}",
            f'    seen: "{place.seen}"',
        ]
    return _HEAD + "\n".join(lines) + "\n"


def read_places(design: Path) -> Places:
    """The places beside a design; none when there is no file.

    Raises:
        BadInput: the file cannot be read as a places file.
    """
    found = _read(
        design, lambda tree: {str(name): _place(one) for name, one in tree["cards"].items()}
    )
    return found or {}


def read_master_ms(design: Path) -> int | None:
    """Length of the master that was burnt last, where nobody else told it; None if it was told.

    Raises:
        BadInput: the file cannot be read as a places file.
    """
    seconds = _read(design, lambda tree: float(tree[_MASTER]) if _MASTER in tree else 0.0)
    return round(1000 * seconds) if seconds else None


def _read(design: Path, content: Callable[[Any], Content]) -> Content | None:
    return read_beside(
        places_file(design),
        content,
        "a places file as studio burn writes it",
        "take it away; studio burn writes it anew",
    )


def _place(tree: Any) -> CardPlace:
    corner, opacity = str(tree["corner"]), float(tree["opacity"])
    if corner not in CORNERS or not 0 < opacity <= 1:
        raise ValueError("no place for a card")
    calm = {str(name): float(score) for name, score in (tree.get("calm") or {}).items()}
    return CardPlace(corner=corner, opacity=opacity, calm=calm, seen=str(tree.get("seen", "")))


def denser(places: Places, cards: Sequence[Card], dense: Mapping[int, float]) -> Places:
    """The places with the densities, by card's number, that a burn found to be needed."""
    numbers = {name: number for number, name in place_names(cards).items()}
    return {
        name: replace(place, opacity=dense[numbers[name]]) if numbers.get(name) in dense else place
        for name, place in places.items()
    }


def with_places(cards: Sequence[Card], places: Places) -> tuple[Card, ...]:
    """The cards at the places found for them; those without one are left as they are."""
    names = place_names(cards)
    out = []
    for card in cards:
        found = places.get(names[card.number])
        if found is not None:
            card = replace(card, corner=found.corner, opacity=found.opacity)
        out.append(card)
    return tuple(out)
