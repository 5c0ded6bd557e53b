"""How far the sphere and its marks may be off, and what drives it."""

from __future__ import annotations

from studio.compute.indexing import marking_way
from studio.compute.sheet import TRIGONOMETRY, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Design
from studio.language import later, tr
from studio.measure.measurement import Reading, System
from studio.measure.rounding import FINE, Direction
from studio.turning import grooves, indexing, tolerance


def add_tolerance(sheet: Sheet, design: Design) -> None:
    """``tolerance.*``: from the turner's marking accuracy and the spindle's run-out."""
    if design.form != "sphere":
        return
    diameter = float(turned_diameter(design)[0].mm)
    accuracy = design.workshop.accuracy
    marking, run_out = float(accuracy.marking.mm), float(accuracy.run_out.mm)
    try:
        place = tolerance.sphere_tolerance(
            diameter, marking_mm=marking, run_out_mm=run_out
        ).worst_place
    except ValueError as error:
        # the rounds of a small ball may be too short for the pencil; its marks are not
        sheet.warnings.append(f"tolerance: {sheet.told(error)}")
    else:
        _add_place(sheet, "sphere", later("The sphere's radius may be off by"), place)
    section = design.indexing
    if section is not None:
        marks = tolerance.index_tolerance(
            diameter,
            section.marks,
            _way(sheet, design, section.marks),
            marking_mm=marking,
            run_out_mm=run_out,
        )
        _add_place(sheet, "index", later("An index mark may be off by"), marks, _unproved(design))
    if sheet.globe is not None and sheet.globe.section is not None:
        cut = tolerance.groove_tolerance(
            diameter,
            sheet.globe.grooves,
            _way(sheet, design, grooves.marks_for_grooves(sheet.globe.grooves)),
            marking_mm=marking,
            run_out_mm=run_out,
        )
        _add_place(sheet, "groove", later("A groove may pass the pole by"), cut.pole)
        label = later("A land at the equator may be off by")
        _add_place(sheet, "land", label, cut.land, _unproved(design))


def _way(sheet: Sheet, design: Design, marks: int) -> tolerance.MarkingWay:
    """How so many marks are set out: as the design's own, but by a plate only where it divides."""
    way = marking_way(design)
    if way is tolerance.MarkingWay.DIVIDERS and marks < tolerance.FEWEST_STEPPED:
        return tolerance.MarkingWay.STRIP
    if way is not tolerance.MarkingWay.PLATE:
        return way
    named = sheet.by_name("index.plate")
    owned = [*design.workshop.index_plates, *([round(named.value)] if named is not None else [])]
    return way if indexing.plates_that_serve(marks, owned) else tolerance.MarkingWay.STRIP


def _unproved(design: Design) -> str:
    """What the figure of marks stepped round by dividers does not count."""
    if marking_way(design) is not tolerance.MarkingWay.DIVIDERS:
        return ""
    return later(
        "dividers set once; far less where they are reset until a turn ends on the first mark"
    )


def _add_place(
    sheet: Sheet, name: str, label: str, place: tolerance.Place, where: str = ""
) -> None:
    sheet.length(
        f"tolerance.{name}",
        label,
        place.worst_mm,
        Direction.UP,
        steps=FINE,
        formula="all errors of marking and run-out lying the same way, at the worst place",
        source=TRIGONOMETRY,
        where=where,
    )
    sheet.add(
        f"tolerance.{name}_driver",
        "What most of that comes from",
        place.shares[0].worst_mm,
        "mm",
        dict.fromkeys(System, Reading(place.shares[0].worst_mm, "", tr(place.driver))),
        rule="exact",
        formula="the single measurement with the largest share",
        source=TRIGONOMETRY,
    )
