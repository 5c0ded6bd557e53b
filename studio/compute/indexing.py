"""Marks around the piece: plate, stops, dividers and wrap-around strip."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.sheet import GEOMETRY, TRIGONOMETRY, TYPED, WORKSHOP, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Design
from studio.measure.measurement import Reading, System
from studio.measure.rounding import FINE, Direction, length_reading, number_reading
from studio.measure.units import mm_from
from studio.turning import indexing

_ANGLE_STEP = Fraction(1, 100)
"""Index angles are printed to a hundredth of a degree: 0.005 mm on a 60 mm globe (ours)."""


def _chosen_plate(sheet: Sheet, design: Design) -> int | None:
    """The plate named, or the smallest owned one that serves; None with a problem noted."""
    section = design.indexing
    assert section is not None
    owned = design.workshop.index_plates
    serving = indexing.plates_that_serve(section.marks, owned)
    common = indexing.plates_that_serve(section.marks)
    advice = (
        f"owned plates that serve: {_listed(serving)}"
        if serving
        else f"plates that would serve: {_listed(common)}"
    )
    if section.plate is None:
        if serving:
            return min(serving)
        sheet.problem(
            "indexing",
            "marks",
            what=f"no plate in the workshop file divides by {section.marks} marks",
            write=f"{advice}; add one to index_plates, or choose another number of marks",
        )
        return None
    if indexing.stops_per_mark(section.plate, section.marks) is not None:
        if owned and section.plate not in owned:
            has = ", ".join(str(plate) for plate in owned)
            sheet.warnings.append(
                f"indexing: no plate of {section.plate} stops is in the workshop file, which has "
                f"{has}"
            )
        return section.plate
    what = f"a plate of {section.plate} stops does not divide by {section.marks} marks"
    if section.plate >= section.marks:
        worst = indexing.worst_stop_error_deg(section.plate, section.marks)
        error = number_reading(worst, "°", _ANGLE_STEP, Direction.UP).text
        what += f"; its nearest stops are up to {error} off"
    sheet.problem("indexing", "plate", what=what, write=advice)
    return None


def _listed(plates: tuple[int, ...]) -> str:
    return ", ".join(str(plate) for plate in plates) or "none of the common ones"


def add_indexing(sheet: Sheet, design: Design) -> None:
    """``index.*``, when the design has marks."""
    section = design.indexing
    if section is None:
        return
    diameter = float(turned_diameter(design)[0].mm)
    marks = section.marks
    sheet.count("index.marks", "Marks around", marks, formula="typed", source=TYPED)
    plate = _chosen_plate(sheet, design)
    if plate is not None:
        source = TYPED if section.plate is not None else WORKSHOP
        sheet.count(
            "index.plate", "Index plate, stops", plate, formula="divides by marks", source=source
        )
        sheet.count(
            "index.stops",
            "Stops from mark to mark",
            plate // marks,
            formula="plate / marks",
            source=GEOMETRY,
        )
    sheet.number(
        "index.angle",
        "Angle from mark to mark",
        indexing.mark_angle_deg(marks),
        "deg",
        "°",
        _ANGLE_STEP,
        Direction.NEAREST,
        formula="360° / marks",
        source=GEOMETRY,
    )
    if section.offset.mm:
        sheet.typed("index.offset", "Axis moved off the centre by", section.offset)
    sheet.length(
        "index.circumference",
        "Around the equator",
        indexing.circumference_mm(diameter),
        Direction.NEAREST,
        formula="π × diameter",
        source=GEOMETRY,
    )
    chord = sheet.length(
        "index.chord",
        "Dividers from mark to mark",
        indexing.divider_setting_mm(diameter, marks),
        Direction.NEAREST,
        formula="diameter × sin(180° / marks)",
        source=TRIGONOMETRY,
        where="straight across, on the equator",
    )
    sheet.length(
        "index.strip",
        "Along a strip from mark to mark",
        indexing.strip_spacing_mm(diameter, marks),
        Direction.NEAREST,
        formula="π × diameter / marks",
        source=GEOMETRY,
        where="on a paper strip wrapped round the equator",
    )
    errors = {
        system: indexing.closing_error_mm(
            diameter, marks, min(mm_from(system, chord.reading(system).value), diameter)
        )
        for system in System
    }
    sheet.add(
        "index.closing",
        "Dividers at the printed setting end, after a turn",
        errors[sheet.first],
        "mm",
        {system: _signed(error, system) for system, error in errors.items()},
        rule=FINE.rule(Direction.NEAREST),
        formula="marks × angle of the printed setting, less a full turn, along the equator",
        source=TRIGONOMETRY,
    )


def _signed(error_mm: float, system: System) -> Reading:
    size = length_reading(abs(error_mm), system, FINE, Direction.NEAREST)
    side = "past" if error_mm > 0 else "short"
    return Reading(
        size.value if error_mm > 0 else -size.value,
        size.unit,
        f"{size.text} {side}" if size.value else size.text,
    )
