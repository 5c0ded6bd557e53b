"""Grooves through both poles: lands, the cutter that makes them, and the seats they leave."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction

from studio.compute.cutting import Fitted, add_cut, fitted, tell_flare, widest_made
from studio.compute.hollow import opening_bands
from studio.compute.sheet import GEOMETRY, RIMS, SPHERICAL, TRIGONOMETRY, TYPED, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import LEAST_GROOVE, Chuck, Design
from studio.design.schema import Grooves as Section
from studio.language import later, later_for, tr, tr_for
from studio.measure.measurement import Measurement, Reading, System
from studio.measure.rounding import (
    FINE,
    Direction,
    Grid,
    length_in,
    number_reading,
    rule_reading,
    stepped,
)
from studio.measure.schedule import Schedule
from studio.measure.trace import mark
from studio.measure.units import Length, mm_from, parse_length
from studio.turning import cutters, grooves, rings, seat
from studio.turning.profile import SAME_PLACE_MM

_BETWEEN_GROOVES = ("grooves.turn", "grooves.merge_latitude", "grooves.cap")
"""What only grooves that cross others have."""


class _ToldError(ValueError):
    """A refusal whose figures are printed already."""


def add_grooves(sheet: Sheet, design: Design) -> None:
    """``grooves.*``, when the design has grooves."""
    section = design.grooves
    if section is None or sheet.globe is None:
        return
    diameter = float(turned_diameter(design)[0].mm)
    count = section.number
    sheet.count("grooves.number", "Grooves", count, formula="typed", source=TYPED)
    sheet.count(
        "grooves.lobes",
        "Lobes between the grooves" if count > 1 else "Lobes that the groove leaves",
        grooves.lobes(count),
        formula="twice the grooves",
        source=GEOMETRY,
    )
    if count > 1:
        sheet.angle(
            "grooves.turn",
            "Turn about the poles from groove to groove",
            grooves.remount_turn_deg(count),
            formula="180° / grooves",
            source=GEOMETRY,
        )
    else:
        sheet.instead |= dict.fromkeys(_BETWEEN_GROOVES, "leave it out: one groove meets no other")
    _check_marks(sheet, design, count)
    if _order(sheet, section) is None:
        return
    flare = _flare_mm(section)
    across = float(section.width.mm) + flare
    try:
        # before a cutter is looked for: no cutter mends grooves that leave no land
        _require_land(sheet, section, diameter, across)
        one = fitted(sheet, design, section, diameter, "grooves")
        if one is None:
            return
        across = max(across, one.across_mm)
        add_cut(sheet, design, section, one, ("grooves",), "grooves")
        _add_lands(sheet, design, section, diameter, one)
    except ValueError as error:
        sheet.problem(
            "grooves",
            "width",
            what=str(error) if isinstance(error, _ToldError) else sheet.told(error),
            write=_widest_words(sheet, design, section, diameter, flare, across),
        )
        tell_flare(sheet, design, section, diameter, "grooves")
        return
    _tell_core(sheet, diameter, one.section.depth_mm)
    sheet.globe = replace(sheet.globe, grooves=count, section=one.section)
    _look_at_rings(sheet, diameter, count, one.across_mm)
    _add_seats(sheet, design, diameter, one.across_mm)


def _widest_words(
    sheet: Sheet, design: Design, section: Section, diameter: float, flare: float, across: float
) -> str:
    """What width is left for so many grooves of ``across`` mm, or that there is none."""
    count = section.number
    try:
        widest = grooves.widest_groove_mm(diameter, count, float(section.least_land.mm)) - flare
    except ValueError:
        widest = 0.0
    fewer = "a narrower width"
    with suppress(ValueError):
        most = grooves.most_grooves(diameter, across, float(section.least_land.mm))
        fewer = f"number: {most} or less"
    if widest <= 0:
        narrower = ", a narrower flare" if flare else ""
        return f"write {fewer}{narrower} or a smaller least_land: no width is left for {count} here"
    beside = " beside their flared edges" if flare else ""
    several = "1 groove" if count == 1 else f"{count} grooves"
    seated = _widest_seated_mm(sheet, design, section, diameter)
    if seated is not None:
        if seated - flare <= 0:
            return (
                f"write {fewer}, or add a cup chuck to rims in the workshop file: none owned holds "
                f"the ball at the last of {several}, however narrow"
            )
        widest = min(widest, seated - flare)
    made = widest_made(sheet, design, section, diameter, widest, advised=True)
    if made is not None:
        # how deep it comes out is told of the width as it is read and written
        printed = rule_reading(made[0], sheet.first, sheet.bench, Direction.DOWN).value
        width = mm_from(sheet.first, printed)
        made = widest_made(sheet, design, section, diameter, width, advised=True) or made
    if made is None:
        wide = sheet.at_bench(widest, Direction.DOWN)
        return (
            f"write {fewer}: {several} may be {wide} wide at most here{beside}, and no cutter "
            "owned makes one of them about so deep"
        )
    wide = sheet.at_bench(made[0], Direction.DOWN)
    return f"{several} may be {wide} wide at most here{beside}, {made[1]}"


def _widest_seated_mm(
    sheet: Sheet, design: Design, section: Section, diameter: float
) -> float | None:
    """The widest grooves that a rim owned holds to the last; 0 where none does, None without."""
    chuck = design.workshop.chuck
    least = max(float(section.least_land.mm), SAME_PLACE_MM)
    found = None
    for rim in chuck.rims:
        found = found or 0.0
        with suppress(ValueError):
            found = max(
                found,
                seat.widest_that_keeps_mm(
                    diameter,
                    section.number,
                    float(rim.mm),
                    least,
                    _bands(sheet),
                    float(chuck.clearance.mm),
                ),
            )
    return found


def _look_at_rings(sheet: Sheet, diameter: float, count: int, width: float) -> None:
    """Warn of a ring where the grooves have run into one another."""
    assert sheet.globe is not None
    for ring in sheet.globe.rings:
        if not rings.ring_on_land_part(diameter, count, width, ring.latitude_deg):
            latitude = number_reading(
                abs(ring.latitude_deg), "°", Fraction(1, 10), Direction.NEAREST
            ).text
            sheet.warnings.append(
                f"rings: at a latitude of {latitude} the grooves have run into one another: no "
                "land is left there that the ring could be seen on"
            )


def cutting_order(section: Section) -> tuple[int, ...]:
    """The order of cutting, grooves counted from 0.

    Raises:
        ValueError: a groove is missing, named twice or does not exist.
    """
    if not section.order:
        return grooves.cutting_order(section.number)
    return grooves.cutting_order(section.number, [number - 1 for number in section.order])


def _order(sheet: Sheet, section: Section) -> tuple[int, ...] | None:
    try:
        return cutting_order(section)
    except ValueError:
        sheet.problem(
            "grooves",
            "order",
            what="an order of cutting that does not name each groove once",
            write=f"write each number from 1 to {section.number} once, or leave order: out",
        )
        return None


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
    sheet.count(
        "grooves.marks_with_axes",
        "Marks that give every axis its own too",
        grooves.marks_with_axes(count),
        formula="a quarter turn is a whole number of marks",
        source=GEOMETRY,
    )
    if design.indexing is not None and design.indexing.marks % needed:
        sheet.problem(
            "indexing",
            "marks",
            what=f"{design.indexing.marks} marks do not hold {count} grooves",
            write=f"write {needed}, or a multiple of it",
        )


def _require_land(sheet: Sheet, section: Section, diameter: float, width: float) -> float:
    """The land at the equator; ValueError in words when it is less than the design wants."""
    land = grooves.equator_land_mm(diameter, section.number, width)
    if land < float(section.least_land.mm) - SAME_PLACE_MM:
        found, limit = sheet.short_of(land, section.least_land)
        raise _ToldError(
            f"the land between two grooves is {found} at the equator, less than {limit}"
        )
    return land


def groove_as_printed(sheet: Sheet) -> dict[System, Fraction]:
    """A groove's whole width as printed, in each system's unit; nothing without grooves."""
    wide = sheet.by_name("grooves.across") or sheet.by_name("grooves.width")
    return sheet.printed_sum([(1, wide)] if wide is not None else [])


def land_shown(
    land_mm: float,
    strip: tuple[int, int],
    width: tuple[int, int],
    system: System,
    bench: Grid,
) -> tuple[int, int]:
    """The land as printed, a ratio in the unit of ``system``: the printed strip less the width.

    Args: the exact land, mm; strip and width as printed, as such ratios; the bench's divisions. The
    strip is laid off again and again, so it is the land that takes what rounding leaves.

    >>> land_shown(17.56, (236, 10), (6, 1), System.METRIC, Grid(1, 10, 1, 64))
    (176, 10)
    """
    left = strip[0] * width[1] - width[0] * strip[1]
    if left <= 0:
        return stepped(land_mm, system, bench, Direction.DOWN)
    return left, strip[1] * width[1]


def _add_lands(
    sheet: Sheet, design: Design, section: Section, diameter: float, one: Fitted
) -> None:
    count, width = section.number, one.across_mm
    land = _require_land(sheet, section, diameter, width)
    strip = sheet.length(
        "grooves.strip",
        "Along a strip from groove to groove, middle to middle"
        if count > 1
        else "Along a strip from the groove's one crossing to the other, middle to middle",
        land + width,
        Direction.NEAREST,
        formula="π × diameter / (2 × grooves)",
        source=GEOMETRY,
        where="on a paper strip wrapped round the equator",
    )
    strips, widths = sheet.printed_sum([(1, strip)]), groove_as_printed(sheet)
    sheet.add(
        "grooves.land",
        "Land between two grooves at the equator"
        if count > 1
        else "Land between the groove's two crossings of the equator",
        land,
        "mm",
        {
            system: length_in(
                Fraction(
                    *land_shown(
                        land,
                        strips[system].as_integer_ratio(),
                        widths[system].as_integer_ratio(),
                        system,
                        Grid.of(sheet.bench),
                    )
                ),
                system,
                land,
            )
            for system in System
        },
        rule=tr(
            "the printed strip less the printed width, {rule} where those leave nothing",
            rule=sheet.bench.rule(Direction.DOWN),
        ),
        formula="π × diameter / (2 × grooves) − width",
        source=GEOMETRY,
        where="along the equator",
    )
    sheet.length(
        "grooves.edge",
        "From a groove's middle line to each edge",
        width / 2,
        Direction.DOWN,
        formula="half the width",
        source=GEOMETRY,
        where="along the equator; pencil both edges",
    )
    _add_limits(sheet, design, section, diameter, one)
    if count > 1:
        sheet.angle(
            "grooves.merge_latitude",
            "Grooves run into one another above a latitude of",
            grooves.merge_latitude_deg(diameter, count, width),
            formula="cos φ = sin(width / diameter) / sin(90° / grooves)",
            source=SPHERICAL,
        )
        sheet.length(
            "grooves.cap",
            "Across the poles where they run into one another",
            grooves.merged_cap_mm(diameter, count, width),
            Direction.NEAREST,
            formula="diameter × cos φ",
            source=SPHERICAL,
        )
    across, deep = sheet.by_name("sphere.diameter"), sheet.by_name("grooves.depth")
    assert across is not None
    assert deep is not None
    sheet.total(
        "grooves.core",
        "Core that no groove reaches, across",
        [(1, across), (-2, deep)],
        formula="diameter − 2 × depth",
        source=GEOMETRY,
    )
    sheet.total(
        "grooves.pole_height",
        "Height from pole to pole after grooving",
        [(1, across), (-2, deep)],
        formula="diameter − 2 × depth",
        source=GEOMETRY,
        where="at the poles themselves, where cap, finial and hanger seat; ridges beside them are "
        "higher",
    )
    sheet.length(
        "grooves.axis_miss",
        "A groove whose axis is one degree off passes the pole by",
        grooves.axis_miss_mm(diameter, 1),
        Direction.UP,
        steps=FINE,
        formula="radius × sin 1°",
        source=TRIGONOMETRY,
        where="run-out: move the ball by half the difference that shows",
    )


def _add_limits(
    sheet: Sheet, design: Design, section: Section, diameter: float, one: Fitted
) -> None:
    """The largest count, width and depth that leave the least land."""
    count, width, least = section.number, one.across_mm, float(section.least_land.mm)
    sheet.count(
        "grooves.most",
        "Grooves of this width that leave the least land",
        grooves.most_grooves(diameter, width, least),
        formula="π × diameter / (2 × (width + least land)), rounded down",
        source=GEOMETRY,
    )
    if not least:
        return
    widest = grooves.widest_groove_mm(diameter, count, least)
    flare = _flare_mm(section)
    made = widest_made(sheet, design, section, diameter, widest - flare)
    if made is not None:
        limit = sheet.length(
            "grooves.widest",
            "Widest that a cutter owned makes this many and leaves the least land",
            made[0],
            Direction.DOWN,
            formula="π × diameter / (2 × grooves) − least land, or the widest that a cutter owned "
            "makes about so deep if that is less",
            source=GEOMETRY,
            where=tr("along the sphere; {made}", made=made[1]),
        )
        _says_as_cut(sheet, limit)
    deepest = _deepest_mm(one, diameter, count, least, widest - flare)
    sheet.length(
        "grooves.deepest",
        "Deepest that this cutter may go and leave the least land",
        deepest,
        Direction.DOWN,
        where=tr(
            "it is {deepest} wide then: write that width too",
            deepest=sheet.fine_in_both(_width_at_mm(one, diameter, deepest)),
        ),
        formula="the depth at which the cutter is as wide as the widest groove, or as its nose, "
        "and no more than a quarter of the diameter (ours)",
        source=TRIGONOMETRY,
    )


DEEPEST_PART = 0.25
"""Deeper than this part of the ball's diameter no groove is advised: half of the ball's thickness
is left as its core (ours)."""


def _tell_core(sheet: Sheet, diameter: float, depth: float) -> None:
    """Tell a groove so deep that little of the ball is left."""
    if depth > DEEPEST_PART * diameter + SAME_PLACE_MM:
        sheet.warnings.append(
            f"grooves: so deep they leave a core of {sheet.fine(diameter - 2 * depth)}, less than "
            f"half of the ball (ours): write depth: "
            f"{sheet.at_bench(DEEPEST_PART * diameter, Direction.DOWN)} or less, or cut lightly "
            "and never under load at the poles"
        )


def _flare_mm(section: Section) -> float:
    """What both flared edges take of the width."""
    return 2 * float(section.flare.mm) if section.flare is not None else 0.0


def _deepest_mm(one: Fitted, diameter: float, count: int, least: float, widest: float) -> float:
    """How deep the fitted cutter goes where the groove is as wide as its lands allow.

    A V so wide may reach the ball's middle: what is left of the ball is the limit then.
    """
    most = DEEPEST_PART * diameter
    if isinstance(one.made, cutters.SnappedVee):
        with suppress(ValueError):
            most = min(most, cutters.vee_depth_mm(diameter, one.made.cutter.angle_deg, widest))
        return most
    nose = one.made.cutter.radius_mm
    # the flare takes land too: what is left of the width is the cove's
    taken = least + one.across_mm - one.made.width_mm
    return min(most, grooves.deepest_groove_mm(diameter, count, nose, taken))


def _width_at_mm(one: Fitted, diameter: float, depth: float) -> float:
    """How wide the fitted cutter makes its groove at a depth."""
    if isinstance(one.made, cutters.SnappedVee):
        return cutters.vee_width_mm(diameter, one.made.cutter.angle_deg, depth)
    return cutters.cove_width_mm(diameter, one.made.cutter.radius_mm, depth)


later_for("seat", "holds", "weak", "lost", "can tip")
_SEAT_FORMULA = later("the rim's circle less what earlier grooves take from it")


def _add_seats(sheet: Sheet, design: Design, diameter: float, width: float) -> None:
    """The seat in every rim owned at every cut; a best rim that can tip is a problem."""
    section = design.grooves
    assert section is not None
    chuck = design.workshop.chuck
    clearance = float(chuck.clearance.mm)
    taking = [rim for rim in chuck.rims if float(rim.mm) < diameter]
    fitting = [rim for rim in taking if seat.keeps_clear(diameter, width, float(rim.mm), clearance)]
    if not fitting:
        if chuck.rims:
            _tell_no_rim(sheet, chuck, diameter, width)
        else:
            sheet.warnings.append(
                "grooves: no rims are named in the workshop file, so nothing tells whether the "
                "ball still sits firmly when the last groove is cut, and there is no table of "
                "seats; write the inside diameters of the cup chucks owned under chuck: rims:"
            )
        return
    sheet.opened_before_grooves = opening_bands(design, diameter)
    order = cutting_order(section)
    sizes = [float(rim.mm) for rim in fitting]
    bands = _bands(sheet)
    ranked = seat.rank_rims(diameter, section.number, width, sizes, bands, clearance)
    by_size = {float(rim.mm): rim for rim in fitting}
    best, rim = ranked[0], by_size[ranked[0].rim_mm]
    sheet.typed("grooves.rim", "Best rim of the cup chuck owned", rim, at=RIMS)
    sheet.percent(
        "grooves.seat_left",
        "Part of the rim that still touches at the last groove",
        best.touching,
        direction=Direction.DOWN,
        formula=_SEAT_FORMULA,
        source=SPHERICAL,
    )
    sheet.angle(
        "grooves.seat_gap",
        "Longest stretch of the rim that touches nothing",
        best.longest_gap_deg,
        direction=Direction.UP,
        formula="the longest run of gaps round the rim",
        source=SPHERICAL,
    )
    sheet.length(
        "grooves.clearance",
        "From that rim along the ball to the edge of the groove being cut",
        seat.rim_clear_mm(diameter, width, best.rim_mm),
        Direction.DOWN,
        formula="radius × (90° − half the groove − the rim's angle from the axis)",
        source=SPHERICAL,
        where=tr(
            "the tool needs {clearance} there",
            clearance=sheet.typed_in_both(chuck.clearance),
        ),
    )
    _add_seat_limits(sheet, design, section, diameter, width, best)
    near = [rim for rim in taking if rim not in fitting]
    rims = {rim_key(one.rim_mm): by_size[one.rim_mm] for one in ranked}
    _add_every_seat(sheet, section, diameter, width, rims, order, _left_out(sheet, chuck, near))
    _judge(sheet, section, diameter, width, best, rim)


def _tell_no_rim(sheet: Sheet, chuck: Chuck, diameter: float, width: float) -> None:
    """A problem: every rim is too wide for the ball, or too near to the groove being cut."""
    smallest = min(chuck.rims, key=lambda rim: rim.mm)
    clearance = float(chuck.clearance.mm)
    asked = f" with {sheet.as_typed(chuck.clearance)} clear of the groove being cut"
    try:
        limit = seat.widest_rim_mm(diameter, width, clearance)
    except ValueError:
        write = "write a smaller clearance under chuck: no rim keeps it on this ball"
    else:
        most = sheet.fine(limit, Direction.DOWN)
        write = (
            f"add a cup chuck of {most} at most to rims in the workshop file"
            if clearance
            else f"add a cup chuck of less than {most} to rims in the workshop file"
        )
    sheet.problem(
        "grooves",
        "number",
        what=f"no rim owned takes this ball{asked if clearance else ''}: the smallest is "
        f"{sheet.as_typed(smallest)}",
        write=write,
    )


def _left_out(sheet: Sheet, chuck: Chuck, near: Sequence[Length]) -> str:
    """Which rims come too near to the groove; nothing where none does."""
    if not near:
        return ""
    listed = ", ".join(mark("limit:rim", sheet.as_typed(rim)) for rim in near)
    return tr(
        "Left out: {rims}, within {clearance} of "
        "the edge of the groove being cut, where the tool has no room.",
        rims=listed,
        clearance=mark("limit:clearance", sheet.as_typed(chuck.clearance)),
    )


def _limits() -> str:
    touching = number_reading(seat.LEAST_TOUCHING * 100, "%", Fraction(1), Direction.EXACT).text
    gap, edge = (
        number_reading(limit, "°", Fraction(1), Direction.EXACT).text
        for limit in (seat.WIDEST_GAP_DEG, seat.LEAST_EDGE_DEG)
    )
    return tr(
        "under {touching} touching, a gap over {gap}, a groove's edge within {edge} of the rim, or "
        "a rim under {part} of the ball",
        touching=touching,
        gap=gap,
        edge=edge,
        part=least_rim_part(),
    )


def least_rim_part() -> str:
    """The least rim as a part of the ball's diameter, in words."""
    return number_reading(seat.LEAST_RIM_PART * 100, "%", Fraction(1), Direction.EXACT).text


def _lost() -> str:
    touching = number_reading(seat.LEAST_HELD * 100, "%", Fraction(1), Direction.EXACT).text
    gap = number_reading(seat.WIDEST_HELD_GAP_DEG, "°", Fraction(1), Direction.EXACT).text
    return tr(
        "under {touching} touching or a gap from {gap} on (limits ours)", touching=touching, gap=gap
    )


def _bands(sheet: Sheet) -> tuple[seat.Band, ...]:
    """What is turned before the grooves, as the seat sees it: rings, and perhaps an opening."""
    cut = sheet.globe.rings if sheet.globe is not None else ()
    return (
        *((ring.latitude_deg, ring.section.width_mm) for ring in cut),
        *sheet.opened_before_grooves,
    )


def _add_seat_limits(
    sheet: Sheet,
    design: Design,
    section: Section,
    diameter: float,
    width: float,
    best: seat.Seat,
) -> None:
    clearance = float(design.workshop.chuck.clearance.mm)
    least = float(section.least_land.mm)
    keeping = seat.counts_that_keep(diameter, width, best.rim_mm, least, _bands(sheet))
    if keeping:
        sheet.words(
            "grooves.seat_counts",
            "Counts of grooves of this width that keep a sound seat on the best rim",
            ", ".join(str(number) for number in keeping),
            value=keeping[-1],
            formula="every count within the limits of touch, gap and edge on this rim; another rim "
            "may hold other counts",
            source=later("spherical trigonometry; the limits are ours"),
        )
    if not least:
        return
    try:
        widest = seat.widest_that_keeps_mm(
            diameter, section.number, best.rim_mm, least, _bands(sheet), clearance
        )
    except ValueError:
        return
    made = widest_made(sheet, design, section, diameter, widest - _flare_mm(section))
    if made is None or made[0] < float(parse_length(LEAST_GROOVE).mm):
        # no width that may be written and cut keeps it
        return
    limit = sheet.length(
        "grooves.seat_widest",
        "Widest that a cutter owned makes this many and keeps a sound seat on the best rim",
        made[0],
        Direction.DOWN,
        formula="the largest width within the limits of touch, gap, edge and clearance that a "
        "cutter owned makes about so deep",
        source=later("spherical trigonometry; the limits are ours"),
        where=tr("along the sphere; {made}", made=made[1]),
    )
    _says_as_cut(sheet, limit)


def _says_as_cut(sheet: Sheet, limit: Measurement) -> None:
    """The groove that is cut is the widest itself: printed the safe way it would look too wide."""
    cut = sheet.by_name("grooves.width")
    if cut is not None and abs(limit.value - cut.value) < SAME_PLACE_MM:
        sheet.says_as(limit, cut)


def rim_key(rim_mm: float) -> str:
    """A rim in the names of its measurements: by its size, which stays when others are bought.

    >>> rim_key(34.0), rim_key(31.75)
    ('34mm', '31_75mm')
    """
    return f"{rim_mm:g}mm".replace(".", "_")


def _add_every_seat(
    sheet: Sheet,
    section: Section,
    diameter: float,
    width: float,
    rims: Mapping[str, Length],
    order: Sequence[int],
    left_out: str,
) -> None:
    """One measurement for each rim and each cut, and the schedule that shows them."""
    columns, rows = [str(tr("Cut"))], [[f"grooves.cut_{place + 1}"] for place in range(len(order))]
    for place, groove in enumerate(order):
        sheet.words(
            f"grooves.cut_{place + 1}",
            "Order of cutting",
            tr("groove {number}", number=groove + 1),
            value=groove + 1,
            formula="order of cutting",
            source=TYPED if section.order else "as counted",
        )
    for key, rim in rims.items():
        name = f"grooves.rim_{key}"
        sheet.typed(name, "Rim of a cup chuck owned", rim, at=RIMS)
        columns.append(name)
        seats = seat.seats_in_order(
            diameter, section.number, width, float(rim.mm), order, _bands(sheet)
        )
        for place, one in enumerate(seats):
            cell = f"grooves.seat_{key}_{place + 1}"
            touching = number_reading(one.touching * 100, "%", Fraction(1), Direction.DOWN).text
            gap = number_reading(one.longest_gap_deg, "°", Fraction(1, 10), Direction.UP).text
            whole = not one.earlier and one.touching == 1 and not one.narrow
            text = (
                touching
                if whole
                else tr(
                    "{touching}, gap {gap}: {seat}",
                    touching=touching,
                    gap=gap,
                    seat=tr_for("seat", one.verdict),
                )
            )
            sheet.add(
                cell,
                "Seat: part touching, longest gap",
                one.touching * 100,
                "percent",
                dict.fromkeys(System, Reading(one.touching * 100, "%", text)),
                rule="touching rounded down, gap rounded up",
                formula=_SEAT_FORMULA,
                source=SPHERICAL,
            )
            rows[place].append(cell)
    sheet.schedules.append(
        Schedule(
            name="grooves.seats",
            heading=tr("What is left of the seat in each rim, best rim first"),
            columns=tuple(columns),
            rows=tuple(tuple(row) for row in rows),
            notes=(
                tr(
                    "Weak: {weak} (limits ours); hold the ball with the "
                    "tailstock too. Lost: "
                    "{lost}: no cup holds that. A gap of half a turn lets it "
                    "tip. A vacuum chuck leaks through any cut seat.",
                    weak=mark("limit:seat", _limits()),
                    lost=mark("limit:lost", _lost()),
                ),
                *((left_out,) if left_out else ()),
            ),
        )
    )


def _judge(
    sheet: Sheet,
    section: Section,
    diameter: float,
    width: float,
    best: seat.Seat,
    rim: Length,
) -> None:
    count = section.number
    if best.is_lost:
        why = "it can tip" if best.can_tip else f"{_lost()}"
        keeping = seat.counts_that_keep(diameter, width, best.rim_mm, 0.0, _bands(sheet))
        listed = ", ".join(str(number) for number in keeping) or "none"
        sheet.problem(
            "grooves",
            "number",
            what=f"no rim owned holds the ball at the last of {count} grooves: {why}",
            write=f"on the {sheet.as_typed(rim)} rim these numbers of grooves keep a seat: "
            f"{listed}",
        )
    elif not best.keeps:
        sheet.warnings.append(
            f"grooves: on the {sheet.as_typed(rim)} rim, the best owned, the last groove's seat is "
            f"weak ({_limits()}; limits ours): hold the ball with the tailstock too, and cut "
            "lightly"
        )
