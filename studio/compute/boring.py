"""Drills owned, and the one that makes a hole."""

from __future__ import annotations

import re

from studio.compute.sheet import Sheet
from studio.design.reading import Problem
from studio.design.schema import Design
from studio.language import later, number_signs, unit_word
from studio.measure.measurement import Measurement, Reading, System
from studio.measure.rounding import FINE, Direction, in_unit, length_reading
from studio.measure.units import QuantityError, parse_length
from studio.turning.drills import (
    Drill,
    DrillSeries,
    all_drills,
    choose,
    choose_alike,
    expand,
    parse_drill,
)

MUCH_WIDER_MM = 0.2
"""A drill of the system in use may be so much wider than another owned and still be preferred
(ours): glue bridges that."""

LOOSE_MM = 0.25
"""More than this all round, beyond the room wanted, and glue no longer bridges it well (ours)."""

DRILL_SOURCE = later("the workshop file; sizes ASME B94.11M (number, letter) and BS 328 (metric)")

_SET = re.compile(
    r"(?P<series>metric|fraction(?:al|s)?|numbers?|letters?)"
    r"(?:\s+(?P<first>.+?)\s+to\s+(?P<last>.+?)(?:\s+by\s+(?P<step>.+))?)?",
    re.IGNORECASE,
)
_SERIES = {
    "m": DrillSeries.METRIC,
    "f": DrillSeries.FRACTIONAL,
    "n": DrillSeries.NUMBER,
    "l": DrillSeries.LETTER,
}


def find_owned(sheet: Sheet, design: Design) -> None:
    """Read the workshop's drills, from lines such as ``number 1 to 60`` or ``#51``.

    A line that cannot be read becomes a problem on ``sheet``; nobody knows then what is owned.
    """
    owned: list[Drill] = []
    unreadable = False
    for place, entry in enumerate(design.workshop.drills):
        try:
            owned += _drills(entry)
        except QuantityError as error:
            sheet.problems.append(_problem(place, error.what, error.write))
            unreadable = True
        except ValueError as error:
            write = "write a set (metric 1 mm to 10 mm by 0.1 mm, number 1 to 60) or one drill"
            sheet.problems.append(_problem(place, str(error), write))
            unreadable = True
    sheet.drills = () if unreadable else tuple(owned)


def _problem(place: int, what: str, write: str) -> Problem:
    return Problem(("workshop", "drills", place), what, write)


def _drills(entry: str) -> tuple[Drill, ...]:
    match = _SET.fullmatch(entry.strip())
    if match is None:
        return (parse_drill(entry),)
    series = _SERIES[match["series"][0].lower()]
    if match["first"] is None:
        return all_drills(series)
    first, last = _end(series, match["first"]), _end(series, match["last"])
    step = float(parse_length(match["step"]).mm) if match["step"] else None
    return expand(series, first, last, step)


def _end(series: DrillSeries, text: str) -> float:
    if series is DrillSeries.NUMBER and text.isdigit():
        return parse_drill(f"#{text}").diameter_mm
    if series is DrillSeries.LETTER:
        return parse_drill(text).diameter_mm
    return float(parse_length(text).mm)


def sold(system: System) -> tuple[Drill, ...]:
    """Every drill of a system that is sold."""
    every = (drill for series in DrillSeries for drill in all_drills(series))
    return tuple(drill for drill in every if drill.system is system)


def chosen(
    sheet: Sheet, thickness: float, play: float, what: str, *keys: str | int
) -> dict[System, Drill] | None:
    """The thinnest drill owned that lets ``what`` in, and its like; None with a problem noted.

    A reader of the other system is not in this workshop, so that drill comes from everything that
    is sold: the one nearest to the workshop's own, so that both drill about the same hole.
    """
    own = [drill for drill in sheet.drills if drill.system is sheet.first]
    first = choose(thickness, play, own if sheet.drills else sold(sheet.first))
    thinnest = choose(thickness, play, sheet.drills)
    # a drill is a drill: one of the other system that is owned serves too
    if thinnest is not None and (
        first is None or first.diameter_mm > thinnest.diameter_mm + MUCH_WIDER_MM
    ):
        first = thinnest
    if first is None:
        fit = choose(thickness, play, sold(sheet.first)) or choose(
            thickness, play, sold(sheet.first.other)
        )
        size = sheet.fine(thickness, Direction.UP)
        widest = max((drill.diameter_mm for drill in sheet.drills), default=0.0) - play
        ways = [f"add {fit.label} to drills in the workshop file"] if fit is not None else []
        if widest > 0:
            ways.append(f"make it {sheet.fine(widest, Direction.DOWN)} thick at most")
        write = ", or ".join(ways) or "make it thinner than any drill that is sold"
        sheet.problem(*keys, what=f"no drill owned lets in {what} of {size}", write=write)
        return None
    other = choose_alike(thickness, play, first, sold(sheet.first.other))
    return {sheet.first: first, sheet.first.other: other or first}


def add_drill(
    sheet: Sheet, name: str, label: str, drills: dict[System, Drill], formula: str
) -> Measurement:
    """Write a hole's drill down: each system has its own real size, never a converted one."""
    exact = drills[sheet.first].diameter_mm
    return sheet.add(
        name,
        label,
        exact,
        "mm",
        {system: _reading(drill, exact) for system, drill in drills.items()},
        rule="the next real drill up; the other system's is the one nearest to it",
        formula=formula,
        source=DRILL_SOURCE,
    )


def drill_words(drill: Drill) -> str:
    """A drill as it is stamped and sold, with the signs of the language: ``1.7 mm``, ``#51``."""
    number, _, unit = drill.label.rpartition(" ")
    return f"{number_signs(number)} {unit_word(unit)}" if number else drill.label


def _reading(drill: Drill, exact_mm: float) -> Reading:
    size = length_reading(drill.diameter_mm, drill.system, FINE, Direction.NEAREST)
    off = in_unit(drill.diameter_mm, drill.system) - in_unit(exact_mm, drill.system)
    return Reading(size.value, size.unit, drill_words(drill), float(off))
