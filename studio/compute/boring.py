"""Drills owned, and the one that makes a hole."""

from __future__ import annotations

import re

from studio.compute.sheet import WORKSHOP, Sheet
from studio.design.reading import Problem
from studio.design.schema import Design
from studio.measure.measurement import Measurement, Reading, System
from studio.measure.rounding import FINE, Direction, length_reading
from studio.measure.units import QuantityError, parse_length
from studio.turning.drills import Drill, DrillSeries, all_drills, choose, expand, parse_drill

DRILL_SOURCE = f"{WORKSHOP}; sizes ASME B94.11M (number, letter) and BS 328 (metric)"

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
    """The thinnest drill of each system that lets ``what`` in; None with a problem noted.

    In the first system it is one that the workshop owns. A reader of the other system is not in
    this workshop, so that drill comes from everything that is sold.
    """
    found: dict[System, Drill] = {}
    for system in System:
        owned = [drill for drill in sheet.drills if drill.system is system]
        choice = owned if system is sheet.first and sheet.drills else sold(system)
        drill = choose(thickness, play, choice)
        if drill is None and system is sheet.first:
            # a drill is a drill: one of the other system that is owned serves too
            drill = choose(thickness, play, sheet.drills)
        if drill is None:
            fit = choose(thickness, play, sold(system))
            size = sheet.fine(thickness, Direction.UP)
            write = (
                f"add {fit.label} to drills in the workshop file, or make it thinner"
                if fit is not None
                else "make it thinner"
            )
            sheet.problem(*keys, what=f"no drill owned lets in {what} of {size}", write=write)
            return None
        found[system] = drill
    return found


def add_drill(
    sheet: Sheet, name: str, label: str, drills: dict[System, Drill], formula: str
) -> Measurement:
    """Write a hole's drill down: each system has its own real size, never a converted one."""
    return sheet.add(
        name,
        label,
        drills[sheet.first].diameter_mm,
        "mm",
        {system: _reading(drill) for system, drill in drills.items()},
        rule="the next real drill up; each system has its own",
        formula=formula,
        source=DRILL_SOURCE,
    )


def _reading(drill: Drill) -> Reading:
    size = length_reading(drill.diameter_mm, drill.system, FINE, Direction.NEAREST)
    return Reading(size.value, size.unit, drill.label)
