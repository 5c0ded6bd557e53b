"""Which ring a measurement is of, for a text that tells it outside the table of rings."""

from __future__ import annotations

from studio.language import tr
from studio.measure.measurement import MeasurementTable

_CUT = ("cutter", "width", "depth")
"""What two rings as far from the equator may differ in."""


def ring_called(table: MeasurementTable, name: str) -> str:
    """What a ring is called, marked; empty for what is of no ring, or names it by itself.

    Rings that are alike, one on each half of the ball, have one name; others are told apart by
    their place, and where that does not do by their half. A cutter is named by its size alone: it
    may make other rings and grooves too.

    Args:
        table: the design's measurements.
        name: of the one that is told.
    """
    stem, _, number = name.rpartition("_")
    numbers = _numbers(table)
    if not stem.startswith("rings.") or number not in numbers or stem == "rings.cutter":
        return ""
    kinds = {one: _kind(table, one) for one in numbers}
    if len(set(kinds.values())) == 1:
        ring = tr("Ring")
        return "" if ring.casefold() in table[name].label.casefold() else ring
    place = table[f"rings.place_{number}"]
    at = (
        tr("Ring at {place}", place=place.marked_both())
        if place.value
        else tr("Ring on the equator")
    )
    beside = {kind for kind in kinds.values() if kind[0] == place.value}
    return at if len(beside) == 1 else f"{at}, {table[f'rings.side_{number}'].marked()}"


def _numbers(table: MeasurementTable) -> tuple[str, ...]:
    """Of the rings, as they stand behind their measurements' names."""
    first = "rings.place_"
    return tuple(name.removeprefix(first) for name in table if name.startswith(first))


def _kind(table: MeasurementTable, number: str) -> tuple[float, ...]:
    """A ring's distance from the equator, and its cut."""
    keys = (f"rings.{key}_{number}" for key in ("place", *_CUT))
    return tuple(table[key].value for key in keys)
