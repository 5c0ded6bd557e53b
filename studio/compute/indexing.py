"""Marks around the piece: plate, stops, dividers and wrap-around strip."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.sheet import GEOMETRY, TRIGONOMETRY, TYPED, WORKSHOP, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import MARKING_WAYS, Design, Indexing
from studio.language import later, tr
from studio.measure.measurement import Reading, System
from studio.measure.rounding import FINE, Direction, length_reading, number_reading
from studio.measure.schedule import Schedule
from studio.measure.units import mm_from
from studio.turning import indexing, tolerance
from studio.turning.tolerance import MarkingWay

_ANGLE_STEP = Fraction(1, 100)
"""Index angles are printed to a hundredth of a degree: 0.005 mm on a 60 mm globe (ours)."""


_WAYS = dict(zip(MARKING_WAYS, (MarkingWay.PLATE, MarkingWay.DIVIDERS, MarkingWay.STRIP),
                 strict=True))  # fmt: skip

_OTHER_WAYS = "by: dividers or by: strip"

STOPS_LABEL = later("Stops from mark to mark")
"""What ``index.stops`` is called, for a viewer's own plate too."""


def marking_way(design: Design) -> MarkingWay:
    """What sets the marks out: as typed, else a plate where there is one, else a strip."""
    section = design.indexing
    if section is not None and section.by is not None:
        return _WAYS[section.by]
    named = section is not None and section.plate is not None
    return MarkingWay.PLATE if named or design.workshop.index_plates else MarkingWay.STRIP


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
            write=f"{advice}; add one to index_plates, choose another number of marks, or set "
            f"them out without a plate: {_OTHER_WAYS}",
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
    marks, way = section.marks, marking_way(design)
    sheet.count("index.marks", "Marks around", marks, formula="typed", source=TYPED)
    sheet.words(
        "index.by",
        "What sets the marks out",
        tr(way),
        formula="typed, or what the workshop owns",
        source=TYPED if section.by is not None else WORKSHOP,
    )
    plate = _chosen_plate(sheet, design) if way is MarkingWay.PLATE else None
    if way is not MarkingWay.PLATE:
        _without_plate(sheet, section, way)
    if plate is not None:
        source = TYPED if section.plate is not None else WORKSHOP
        sheet.count(
            "index.plate", "Index plate, stops", plate, formula="divides by marks", source=source
        )
        sheet.count(
            "index.stops",
            STOPS_LABEL,
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
        if float(section.offset.mm) >= diameter / 2:
            sheet.problem(
                "indexing",
                "offset",
                what=f"an axis {sheet.as_typed(section.offset)} off the centre lies outside the "
                f"wood, which has a radius of {sheet.fine(diameter / 2)}",
                write=f"write less than {sheet.fine(diameter / 2, Direction.DOWN)}",
            )
        sheet.typed(
            "index.offset",
            "Axis moved off the centre by",
            section.offset,
            at=("indexing", "offset"),
        )
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
    step = sheet.length(
        "index.strip",
        "Along a strip from mark to mark",
        indexing.strip_spacing_mm(diameter, marks),
        Direction.NEAREST,
        formula="π × diameter / marks",
        source=GEOMETRY,
        where="on a paper strip wrapped round the equator",
    )
    printed = {system: mm_from(system, chord.reading(system).value) for system in System}
    _add_closing(
        sheet,
        "index.closing",
        later("Dividers at the printed setting end, after a turn"),
        {
            system: indexing.closing_error_mm(diameter, marks, min(mm, diameter))
            for system, mm in printed.items()
        },
        formula=later("marks × angle of the printed setting, less a full turn, along the equator"),
        where=later(
            "where they do not meet the first mark, change the setting by a hair and step round "
            "again before any mark is pencilled"
        ),
    )
    printed = {system: mm_from(system, step.reading(system).value) for system in System}
    _add_closing(
        sheet,
        "index.strip_closing",
        later("A strip stepped off at the printed spacing ends, after a turn"),
        {system: indexing.strip_closing_mm(diameter, marks, mm) for system, mm in printed.items()},
        formula=later("marks × printed spacing, less the circumference"),
        where=later("so measure every mark from the strip's one end, never from the mark before"),
    )
    if way is MarkingWay.STRIP:
        _add_strip_marks(sheet, diameter, marks)


def _without_plate(sheet: Sheet, section: Indexing, way: MarkingWay) -> None:
    """What a design that sets its marks out without a plate cannot have."""
    if section.plate is not None:
        sheet.warnings.append(
            f"indexing: the plate of {section.plate} stops is left aside, for the design says "
            f"by: {section.by}"
        )
    if way is MarkingWay.DIVIDERS and section.marks < tolerance.FEWEST_STEPPED:
        sheet.problem(
            "indexing",
            "by",
            what="two marks lie straight across from one another: dividers cannot step them off",
            write="write by: strip, or by: plate",
        )
    for name in ("index.plate", "index.stops"):
        sheet.instead[name] = (
            "its marks are set out without a plate: write {{ index.chord }} for dividers or "
            "{{ index.strip }} along a strip, or name the plate under indexing: plate:"
        )


def _add_strip_marks(sheet: Sheet, diameter: float, marks: int) -> None:
    """Every mark's place from the strip's end, each rounded by itself so that no error adds up."""
    rows = []
    for place in range(marks):
        tail = f"_{place + 1}"
        sheet.words(
            f"index.mark{tail}",
            "Mark",
            str(place + 1),
            value=place + 1,
            formula="counted from the strip's end",
            source=GEOMETRY,
        )
        sheet.length(
            f"index.strip_at{tail}",
            "Its place from the strip's end",
            indexing.strip_place_mm(diameter, marks, place),
            Direction.NEAREST,
            formula="π × diameter × marks passed / marks",
            source=GEOMETRY,
            where="from the strip's one end",
        )
        rows.append((f"index.mark{tail}", f"index.strip_at{tail}"))
    around = sheet.by_name("index.circumference")
    assert around is not None
    sheet.schedules.append(
        Schedule(
            name="index.strip_marks",
            heading=tr("Marks on the strip, from its one end"),
            columns=(tr("Mark"), tr("From the strip's end")),
            rows=tuple(rows),
            notes=(
                tr(
                    "Cut the strip {around} long, so that its ends meet on the first "
                    "mark. If they do not, the ball is not of the size that was planned: measure "
                    "it, and work from what the callipers say.",
                    around=around.marked_both(),
                ),
            ),
        )
    )


def _add_closing(
    sheet: Sheet,
    name: str,
    label: str,
    errors: dict[System, float],
    *,
    formula: str,
    where: str,
) -> None:
    """How far marks that follow one another at a printed setting miss the first one again."""
    sheet.add(
        name,
        label,
        errors[sheet.first],
        "mm",
        {system: _signed(error, system) for system, error in errors.items()},
        rule=FINE.rule(Direction.NEAREST),
        formula=formula,
        source=TRIGONOMETRY,
        where=where,
    )


def _signed(error_mm: float, system: System) -> Reading:
    size = length_reading(abs(error_mm), system, FINE, Direction.NEAREST)
    side = tr("past") if error_mm > 0 else tr("short")
    return Reading(
        size.value if error_mm > 0 else -size.value,
        size.unit,
        f"{size.text} {side}" if size.value else size.text,
    )
