"""The hanger: wire, bundle and the real drill that lets it in."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction

from studio.compute.sheet import GEOMETRY, TYPED, WORKSHOP, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.reading import Problem
from studio.design.schema import Design
from studio.measure.measurement import Measurement, Reading, System
from studio.measure.rounding import FINE, Direction, length_in, length_reading, typed_length
from studio.measure.units import Length, QuantityError, parse_length
from studio.turning import hanger, wire
from studio.turning.drills import (
    Drill,
    DrillSeries,
    all_drills,
    choose,
    expand,
    parse_drill,
)

THINNEST_MM = 0.1
THICKEST_MM = 3.0
"""Wire that a hand can twist into a hanger (ours)."""

_TAKE_UP_STEP = Fraction(1, 1000)
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


def owned_drills(entries: Iterable[str], sheet: Sheet) -> tuple[Drill, ...]:
    """The workshop's drills from lines such as ``number 1 to 60`` or ``#51``.

    A line that cannot be read becomes a problem on ``sheet`` and is left out.
    """
    owned: list[Drill] = []
    for place, entry in enumerate(entries):
        try:
            owned += _drills(entry)
        except QuantityError as error:
            sheet.problems.append(_drill_problem(place, error.what, error.write))
        except ValueError as error:
            write = "write a set (metric 1 mm to 10 mm by 0.5 mm, number 1 to 60) or one drill"
            sheet.problems.append(_drill_problem(place, str(error), write))
    return tuple(owned)


def _drill_problem(place: int, what: str, write: str) -> Problem:
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


def add_hanger(sheet: Sheet, design: Design) -> None:
    """``hanger.*``, when the piece hangs on a wire."""
    section = design.hanger
    owned = owned_drills(design.workshop.drills, sheet)
    if section is None:
        for key in ("wire", "bundle"):
            if getattr(design.as_measured, key) is not None:
                write = "write the hanger: too, or leave this out"
                sheet.problem("as_measured", key, what="the design has no hanger", write=write)
        return
    thickness = _add_wire(sheet, design)
    if thickness is None:
        return
    sheet.count(
        "hanger.strands", "Strands in the hole", section.strands, formula="typed", source=TYPED
    )
    if section.pitch is not None:
        sheet.typed("hanger.pitch", "One full twist in", section.pitch)
    bundle = _add_bundle(sheet, design, thickness)
    if bundle is None:
        return
    sheet.typed("hanger.clearance", "Play between bundle and hole", section.clearance, steps=FINE)
    sheet.typed("hanger.depth", "Depth of the hole", section.hole_depth)
    if section.hole_depth.mm >= turned_diameter(design)[0].mm:
        sheet.problem(
            "hanger",
            "hole_depth",
            what=f"a hole {section.hole_depth.typed} deep goes through the ball",
            write="write less than the ball's diameter",
        )
    _add_drill(sheet, bundle.value, float(section.clearance.mm), owned)


def _add_wire(sheet: Sheet, design: Design) -> float | None:
    section = design.hanger
    assert section is not None
    typed, measured = section.wire, design.as_measured.wire
    name = ""
    if typed.gauge is not None:
        gauge = wire.Gauge(typed.gauge, wire.GaugeSystem(typed.standard))
        try:
            thickness = gauge.diameter_mm
        except ValueError as error:
            sheet.problem("hanger", "wire", what=str(error), write="choose a gauge within that")
            return None
        name = gauge.label
        source = {"AWG": "ASTM B258", "SWG": "BS 3737, read in a secondary text"}[typed.standard]
        formula = f"diameter of {name}"
    else:
        assert typed.diameter is not None
        thickness, source, formula = float(typed.diameter.mm), TYPED, "typed"
    if measured is not None:
        thickness = float(measured.mm)
        source, formula = "as measured at the bench", "micrometer"
    if not THINNEST_MM <= thickness <= THICKEST_MM:
        sheet.problem(
            "hanger",
            "wire",
            what=f"a wire of {sheet.fine(thickness)} makes no hanger",
            write=f"write a wire from {sheet.fine(THINNEST_MM)} to {sheet.fine(THICKEST_MM)}",
        )
        return None
    readings = {
        system: length_reading(thickness, system, FINE, Direction.NEAREST) for system in System
    }
    if typed.diameter is not None and measured is None:
        own = typed.diameter.system
        readings[own] = length_in(typed_length(typed.diameter, own, FINE), own, thickness)
    if name and measured is None:
        # the inch world buys wire by its gauge, the metric world by its diameter
        inch = readings[System.IMPERIAL]
        readings[System.IMPERIAL] = Reading(inch.value, inch.unit, name, inch.off_by)
    sheet.add(
        "hanger.wire",
        "Hanger wire",
        thickness,
        "mm",
        readings,
        rule=FINE.rule(Direction.NEAREST),
        formula=formula,
        source=source,
    )
    return thickness


def _add_bundle(sheet: Sheet, design: Design, thickness: float) -> Measurement | None:
    section = design.hanger
    assert section is not None
    strands, pitch = section.strands, section.pitch
    try:
        if pitch is None or strands == 1:
            bundle = hanger.straight_bundle(strands, thickness)
            formula = "smallest circle round that many equal wires, side by side"
        else:
            bundle = hanger.twisted_bundle(strands, thickness, float(pitch.mm))
            formula = "twice the helix radius at which neighbours just touch, plus one wire"
    except ValueError as error:
        sheet.problem("hanger", "pitch", what=str(error), write="write a longer pitch")
        return None
    measured = design.as_measured.bundle
    if measured is not None and float(measured.mm) < thickness:
        sheet.problem(
            "as_measured",
            "bundle",
            what=f"a bundle of {measured.typed} is thinner than one wire",
            write="measure again",
        )
    size: float | Length = bundle.diameter_mm
    source = "elementary geometry of the helix"
    if measured is not None:
        size, source, formula = measured, "as measured at the bench", "callipers"
    sheet.number(
        "hanger.take_up",
        "Wire for each length of cable",
        bundle.takeup,
        "ratio",
        "",
        _TAKE_UP_STEP,
        Direction.UP,
        formula="√(1 + (2π × helix radius / pitch)²)",
        source=GEOMETRY,
    )
    return sheet.length(
        "hanger.bundle",
        "Twisted bundle, across" if pitch is not None else "Bundle, across",
        float(size.mm) if isinstance(size, Length) else size,
        Direction.UP,
        steps=FINE,
        formula=formula,
        source=source,
    )


def _add_drill(sheet: Sheet, bundle: float, clearance: float, owned: tuple[Drill, ...]) -> None:
    """The thinnest drill that lets the bundle in: the turner's own, and a viewer's.

    In the first system it is one that the workshop owns. A reader of the other system is not in
    this workshop, so that drill comes from everything that is sold.
    """
    # with a line of drills that could not be read, nobody knows what is owned; that is told
    unreadable = any(problem.keys[:2] == ("workshop", "drills") for problem in sheet.problems)
    chosen: dict[System, Drill] = {}
    for system in System:
        sold = [drill for series in DrillSeries for drill in all_drills(series)]
        choice = owned if system is sheet.first and owned and not unreadable else tuple(sold)
        drill = choose(bundle, clearance, (drill for drill in choice if drill.system is system))
        if drill is None:
            fit = choose(bundle, clearance, (one for one in sold if one.system is system))
            what = f"no drill owned lets in a bundle of {sheet.fine(bundle, Direction.UP)}"
            write = (
                f"add {fit.label} to drills in the workshop file, or take thinner wire"
                if fit is not None
                else "take thinner wire or fewer strands"
            )
            sheet.problem("hanger", "wire", what=what, write=write)
            return
        chosen[system] = drill
    first = chosen[sheet.first]
    sheet.add(
        "hanger.drill",
        "Drill for the hanger",
        first.diameter_mm,
        "mm",
        {system: _drill_reading(drill) for system, drill in chosen.items()},
        rule="the next real drill up; each system has its own",
        formula="bundle + play, chosen up",
        source=f"{WORKSHOP}; sizes ASME B94.11M (number, letter) and BS 328 (metric)",
    )


def _drill_reading(drill: Drill) -> Reading:
    size = length_reading(drill.diameter_mm, drill.system, FINE, Direction.NEAREST)
    return Reading(size.value, size.unit, drill.label)
