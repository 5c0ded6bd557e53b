"""Grooves through both poles: marks, lands, the cutter that makes them, and the seat they leave."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.sheet import GEOMETRY, TRIGONOMETRY, TYPED, WORKSHOP, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Design
from studio.design.schema import Grooves as Section
from studio.measure.rounding import FINE, Direction
from studio.turning import cutters, grooves, seat

_ANGLE_STEP = Fraction(1, 10)
_PERCENT_STEP = Fraction(1)
_PERCENT = 100


def add_grooves(sheet: Sheet, design: Design) -> None:
    """``grooves.*``, when the design has grooves."""
    section = design.grooves
    if section is None:
        return
    diameter = float(turned_diameter(design)[0].mm)
    count = section.number
    sheet.count("grooves.number", "Grooves", count, formula="typed", source=TYPED)
    sheet.count(
        "grooves.lobes",
        "Lobes between the grooves",
        grooves.lobes(count),
        formula="twice the grooves",
        source=GEOMETRY,
    )
    sheet.number(
        "grooves.turn",
        "Turn about the poles from groove to groove",
        grooves.remount_turn_deg(count),
        "deg",
        "°",
        _ANGLE_STEP,
        Direction.NEAREST,
        formula="180° / grooves",
        source=GEOMETRY,
    )
    _check_marks(sheet, design, count)
    try:
        # before a cutter is looked for: no cutter mends grooves that leave no land
        _require_land(sheet, section, diameter, float(section.width.mm))
        snapped = _fitted(sheet, design, section, diameter)
        if snapped is None:
            return
        _add_lands(sheet, section, diameter, snapped)
    except ValueError as error:
        widest = grooves.widest_groove_mm(diameter, count, float(section.least_land.mm))
        sheet.problem(
            "grooves",
            "width",
            what=str(error),
            write=f"{count} grooves may be {sheet.fine(widest, Direction.DOWN)} wide at most here",
        )
        return
    _add_seat(sheet, design, diameter, count, snapped.width_mm)


def _check_marks(sheet: Sheet, design: Design, count: int) -> None:
    """The marks round the equator must hold every groove's two crossings."""
    needed = grooves.marks_for_grooves(count)
    sheet.count(
        "grooves.marks",
        "Marks that the grooves need on the equator",
        needed,
        formula="two for each groove",
        source=GEOMETRY,
    )
    if design.indexing is not None and design.indexing.marks % needed:
        sheet.problem(
            "indexing",
            "marks",
            what=f"{design.indexing.marks} marks do not hold {count} grooves",
            write=f"write {needed}, or a multiple of it",
        )


def owned_cutters(design: Design) -> tuple[cutters.Cutter, ...]:
    """The workshop's round-nosed cutters: half the width is the nose's radius."""
    return tuple(
        cutters.Cutter(width.typed, float(width.mm) / 2) for width in design.workshop.cutters
    )


def _fitted(
    sheet: Sheet, design: Design, section: Section, diameter: float
) -> cutters.SnappedCove | None:
    """The groove as a cutter owned makes it; None with a problem noted."""
    width, depth = float(section.width.mm), float(section.depth.mm)
    owned = owned_cutters(design)
    if not owned:
        sheet.problem(
            "workshop",
            "cutters",
            what="no cutter is named, so no groove can be fitted to one",
            write="write the widths of your round-nosed cutters into the workshop file",
        )
        return None
    try:
        snapped = cutters.snap_cove(diameter, width, depth, owned, cutters.Keep(section.keep))
    except ValueError as error:
        write = "write another width or depth, or add a cutter to the workshop file"
        sheet.problem("grooves", "width", what=str(error), write=write)
        return None
    by_label = {typed.typed: typed for typed in design.workshop.cutters}
    sheet.typed(
        "grooves.cutter",
        "Round-nosed cutter, width",
        by_label[snapped.cutter.label],
        source=WORKSHOP,
    )
    sheet.length(
        "grooves.cutter_radius_wished",
        "Nose radius that would make just the typed groove",
        snapped.wished_radius_mm,
        Direction.NEAREST,
        steps=FINE,
        formula="(R² + a² − 2·R·a·cos δ) / (2·(R·cos δ − a)), a = R − depth, δ = width / diameter",
        source=TRIGONOMETRY,
    )
    kept = f"{section.keep} as typed, the other as the cutter makes it"
    for name, label, typed, made, where in (
        ("width", "Groove width", section.width, snapped.width_mm, "along the sphere"),
        ("depth", "Groove depth", section.depth, snapped.depth_mm, "below the sphere"),
    ):
        if name == section.keep:
            sheet.typed(f"grooves.{name}", label, typed, where=where)
        else:
            sheet.length(
                f"grooves.{name}",
                label,
                made,
                Direction.NEAREST,
                formula=f"what the cutter makes; typed was {typed.typed}; {kept}",
                source=TRIGONOMETRY,
                where=where,
            )
    return snapped


def _require_land(sheet: Sheet, section: Section, diameter: float, width: float) -> float:
    """The land at the equator; ValueError in words when it is less than the design wants."""
    land = grooves.equator_land_mm(diameter, section.number, width)
    if land < float(section.least_land.mm):
        raise ValueError(
            f"the land between two grooves is {sheet.fine(land)} at the equator, "
            f"less than {section.least_land.typed}"
        )
    return land


def _add_lands(
    sheet: Sheet, section: Section, diameter: float, snapped: cutters.SnappedCove
) -> None:
    count, width, depth = section.number, snapped.width_mm, snapped.depth_mm
    land, least = _require_land(sheet, section, diameter, width), float(section.least_land.mm)
    sheet.length(
        "grooves.land",
        "Land between two grooves at the equator",
        land,
        Direction.DOWN,
        formula="π × diameter / (2 × grooves) − width",
        source=GEOMETRY,
        where="along the equator",
    )
    sheet.count(
        "grooves.most",
        "Grooves of this width that leave the least land",
        grooves.most_grooves(diameter, width, least),
        formula="π × diameter / (2 × (width + least land)), rounded down",
        source=GEOMETRY,
    )
    sheet.number(
        "grooves.merge_latitude",
        "Grooves run into one another above a latitude of",
        grooves.merge_latitude_deg(diameter, count, width),
        "deg",
        "°",
        _ANGLE_STEP,
        Direction.NEAREST,
        formula="cos φ = sin(width / diameter) / sin(90° / grooves)",
        source="spherical trigonometry",
    )
    sheet.length(
        "grooves.cap",
        "Across the poles where they run into one another",
        grooves.merged_cap_mm(diameter, count, width),
        Direction.NEAREST,
        formula="diameter × cos φ",
        source="spherical trigonometry",
    )
    sheet.length(
        "grooves.pole_height",
        "Height from pole to pole after grooving",
        grooves.height_at_poles_mm(diameter, depth),
        Direction.NEAREST,
        formula="diameter − 2 × depth",
        source=GEOMETRY,
        where="cap, finial and hanger seat on that",
    )


def _add_seat(sheet: Sheet, design: Design, diameter: float, count: int, width: float) -> None:
    """The seat in the best rim owned at the last cut; a seat that can tip is a problem."""
    rims = [(float(rim.mm), rim) for rim in design.workshop.chuck.rims]
    limit = seat.widest_rim_mm(diameter, width)
    fitting = [(size, rim) for size, rim in rims if size < limit]
    if not fitting:
        return
    best = seat.rank_rims(diameter, count, width, [size for size, _ in fitting])[0]
    typed = next(rim for size, rim in fitting if size == best.rim_mm)
    sheet.typed("grooves.rim", "Best rim of the cup chuck owned", typed, source=WORKSHOP)
    sheet.number(
        "grooves.seat_left",
        "Part of the rim that still touches at the last groove",
        best.touching * _PERCENT,
        "percent",
        "%",
        _PERCENT_STEP,
        Direction.DOWN,
        formula="the rim's circle less what earlier grooves take from it",
        source="spherical trigonometry",
    )
    sheet.number(
        "grooves.seat_gap",
        "Longest stretch of the rim that touches nothing",
        best.longest_gap_deg,
        "deg",
        "°",
        _ANGLE_STEP,
        Direction.UP,
        formula="the longest run of gaps round the rim",
        source="spherical trigonometry",
    )
    if best.can_tip:
        keeping = seat.counts_that_keep(diameter, width, best.rim_mm, 0.0)
        listed = ", ".join(str(number) for number in keeping) or "none"
        sheet.problem(
            "grooves",
            "number",
            what=f"no rim owned holds the ball at the last of {count} grooves: it can tip",
            write=f"on the {typed.typed} rim these numbers of grooves keep a seat: {listed}",
        )
    elif not best.keeps:
        sheet.warnings.append(
            f"grooves: on the {typed.typed} rim, the best owned, the last groove's seat is weak "
            "(under 60 % touching, a gap over 60° or a groove's edge within 3° of the rim; "
            "limits ours): hold the ball with the tailstock too, and cut lightly"
        )


def section_of(design: Design, diameter: float) -> cutters.Section | None:
    """The groove's cross-section as cut, for volume and area; None without sound grooves."""
    if design.grooves is None:
        return None
    wish = design.grooves
    try:
        snapped = cutters.snap_cove(
            diameter,
            float(wish.width.mm),
            float(wish.depth.mm),
            owned_cutters(design),
            cutters.Keep(wish.keep),
        )
        return cutters.cove_section(diameter, snapped.cutter.radius_mm, snapped.width_mm)
    except ValueError:
        return None
