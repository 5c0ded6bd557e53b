"""A hollow in the ball: reach, what it saves, and where the wall is thinnest."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

from studio.compute.sheet import GEOMETRY, RIMS, SPHERICAL, TRIGONOMETRY, Sheet
from studio.design.schema import Design, Step
from studio.measure.rounding import Direction, number_reading
from studio.turning import hollow, seat
from studio.turning.assembly import resting
from studio.turning.piece import Bore, Globe
from studio.turning.profile import SAME_PLACE_MM

_NO_CENTRE = "no tail centre can stand in the opening while the ball is hollowed"

_JAM = (
    "turn a jam chuck that takes the ball up to its equator and strap the ball to it all round "
    "with tape"
)
"""How a ball is held for hollowing that no cup holds (common practice, no source)."""

_BEFORE = ", or hollow the ball before its grooves are cut"

WIDEST_REACH = 2.0
"""So many times the opening's width a hollowing tool is taken to reach sideways (ours)."""

_STRAPPED = "press the ball home in its cup, strap it to it all round with tape, and cut lightly"
"""How one is held that a cup does hold (common practice, no source)."""


def add_hollow(sheet: Sheet, design: Design) -> None:
    """``hollow.*``, when the ball is hollow."""
    section = design.hollow
    if section is None or sheet.globe is None:
        return
    globe, wall, opening = sheet.globe, float(section.wall.mm), float(section.opening.mm)
    try:
        inner = hollow.hollow_diameter_mm(globe.diameter_mm, wall)
        reach = hollow.cutter_reach(globe.diameter_mm, wall, opening)
    except ValueError as error:
        radius = globe.diameter_mm / 2
        ways = []
        # a hollow needs a radius, and one wider than the opening is bored and not hollowed
        if (thinner := radius - (opening / 2 if wall < radius else 0.0)) > 0:
            ways.append(f"a wall thinner than {sheet.fine(thinner, Direction.DOWN)}")
        if wall < radius:
            narrower = sheet.fine(2 * (radius - wall), Direction.DOWN)
            ways.append(f"an opening narrower than {narrower}")
        write = f"write {', or '.join(ways)}"
        sheet.problem("hollow", "wall", what=sheet.told(error), write=write)
        return
    # where nobody says which comes first, the cutter stops in time for either
    lowered = math.inf if comes_first(design) else _lowered_mm(globe, opening)
    sheet.typed(
        "hollow.wall",
        "Wall before grooves are cut" if design.grooves
        else "Wall before rings are cut" if design.rings
        else "Wall",
        section.wall,
        at=("hollow", "wall"),
    )  # fmt: skip
    sheet.typed("hollow.opening", "Opening, across", section.opening, at=("hollow", "opening"))
    sheet.length(
        "hollow.diameter",
        "The hollow, across",
        inner,
        Direction.DOWN,
        formula="diameter − 2 × wall",
        source=GEOMETRY,
    )
    sheet.length(
        "hollow.reach",
        "Straight in from the opening's rim to the bottom",
        min(reach.depth_mm, lowered + inner / 2),
        Direction.DOWN,
        formula="height of the rim + radius of the hollow"
        if comes_first(design)
        else "height of the rim, which grooves may have lowered, + radius of the hollow",
        source=GEOMETRY,
        where="from the highest wood of the rim; stop the cutter here",
    )
    sheet.length(
        "hollow.side",
        "Sideways from the opening's edge to the widest place",
        reach.side_mm,
        Direction.UP,
        formula="radius of the hollow − opening / 2",
        source=GEOMETRY,
        where="the cutter must reach so far behind the rim",
    )
    if reach.side_mm > WIDEST_REACH * opening:
        wide = sheet.fine(reach.side_mm / WIDEST_REACH, Direction.UP)
        sheet.warnings.append(
            f"hollow: a tool that reaches {sheet.fine(reach.side_mm)} sideways hardly passes an "
            f"opening of {sheet.as_typed(section.opening)} (ours): try yours in a hole of that "
            f"size first, or write opening: {wide} or more, or a thicker wall"
        )
    if not _check_wall(sheet, design, wall):
        return
    _add_lip(sheet, design, wall)
    _add_seat(sheet, design)
    pole = globe.pole_mm
    low, high = (0.0, pole) if section.pole == "top" else (-pole, 0.0)
    sheet.globe = replace(globe, hollow_diameter_mm=inner).with_bore(Bore(low, high, opening))


def _add_lip(sheet: Sheet, design: Design, wall: float) -> None:
    """The edge of the opening's lip; a feather edge is told."""
    section, globe = design.hollow, sheet.globe
    assert section is not None
    assert globe is not None
    groove = globe.section.depth_mm if globe.section is not None else 0.0
    opening = float(section.opening.mm)
    try:
        edge = hollow.lip_edge_deg(globe.diameter_mm, opening, groove)
    except ValueError as error:
        limit = sheet.fine(globe.diameter_mm - 2 * groove, Direction.DOWN)
        write = f"write an opening narrower than {limit}"
        if (least := (globe.diameter_mm - opening) / 2) > 0:
            write += f", or grooves shallower than {sheet.fine(least, Direction.DOWN)}"
        sheet.problem("hollow", "opening", what=sheet.told(error), write=write)
        return
    left = wall - groove
    sheet.angle(
        "hollow.lip_edge",
        "Sharpest edge of the lip",
        edge,
        direction=Direction.DOWN,
        formula="acos(opening / (diameter − 2 × groove depth))"
        if groove
        else "acos(opening / diameter)",
        source=TRIGONOMETRY,
        where="where a groove runs over the lip" if groove else "all round",
    )
    if edge < hollow.SHARPEST_LIP_DEG:
        angle, limit = (
            number_reading(one, "°", Fraction(1), way).text
            for one, way in ((edge, Direction.DOWN), (hollow.SHARPEST_LIP_DEG, Direction.EXACT))
        )
        most = hollow.widest_opening_mm(globe.diameter_mm, hollow.SHARPEST_LIP_DEG, groove)
        sheet.warnings.append(
            f"hollow: the opening's lip is a feather edge of {angle}, sharper than {limit} (common "
            f"practice, no source), and breaks off: write opening: "
            f"{sheet.fine(most, Direction.DOWN)} or less, or round the lip over"
        )
    if left < hollow.LEAST_LIP_PART * wall - SAME_PLACE_MM:
        part, limit = (
            number_reading(one * 100, "%", Fraction(1), Direction.DOWN).text
            for one in (left / wall, hollow.LEAST_LIP_PART)
        )
        need = groove / (1 - hollow.LEAST_LIP_PART)
        shallow = (1 - hollow.LEAST_LIP_PART) * wall
        sheet.warnings.append(
            "hollow: where the grooves run over the opening's lip "
            f"{sheet.fine(left, Direction.DOWN)} is left, {part} of the wall and under {limit} "
            f"(common practice, no source): write wall: {sheet.fine(need, Direction.UP)} or more, "
            f"or grooves no deeper than {sheet.fine(shallow, Direction.DOWN)}"
        )


def comes_first(design: Design) -> bool | None:
    """Whether the steps hollow the ball before they cut its grooves; None where they do not say."""
    hollows = [place for place, step in enumerate(design.steps) if "hollowing" in step.does]
    cuts = [place for place, step in enumerate(design.steps) if step.stage == "off-centre"]
    cuts = cuts or [place for place, step in enumerate(design.steps) if _works_to_grooves(step)]
    return min(hollows) < min(cuts) if hollows and cuts else None


def _works_to_grooves(step: Step) -> bool:
    """Whether a step that does not say off-centre cuts grooves all the same, by what it names."""
    if step.stage in (None, "sanding") or "hollowing" in step.does:
        return False
    return any(name in text for name in ("grooves.", "axis.") for text in (step.do, *step.show))


def opening_bands(design: Design, diameter: float) -> tuple[seat.Band, ...]:
    """The opening as the seat for the grooves sees it, unless it is made after them."""
    section = design.hollow
    if section is None or comes_first(design) is False or float(section.opening.mm) >= diameter:
        return ()
    return (seat.opening_band(diameter, float(section.opening.mm), section.pole == "top"),)


def _add_seat(sheet: Sheet, design: Design) -> None:
    """How the ball sits on its pole while it is hollowed, with no tail centre to help."""
    section, globe = design.hollow, sheet.globe
    if section is None or globe is None:
        return
    away = -1 if section.pole == "top" else 1
    bands = [(away * ring.latitude_deg, ring.section.width_mm) for ring in globe.rings]
    grooved = globe.section is not None and not comes_first(design)
    count, width = (
        (globe.grooves, globe.section.width_mm) if grooved and globe.section else (0, 0.0)
    )
    seats = [
        (rim, seat.pole_seat(globe.diameter_mm, count, width, float(rim.mm), bands))
        for rim in design.workshop.chuck.rims
        if float(rim.mm) < globe.diameter_mm
    ]
    if not seats:
        sheet.warnings.append(f"hollow: no rim owned takes the ball on its pole; {_JAM}")
        return
    rim, best = max(seats, key=lambda pair: (pair[1].keeps, pair[1].touching * pair[1].rim_mm))
    cut, otherwise = ("grooves", _BEFORE) if grooved else ("rings", "")
    if not best.touching:
        sheet.warnings.append(
            f"hollow: once the {cut} are cut, nothing of any rim owned touches the ball on its "
            f"pole; {_JAM}{otherwise}"
        )
        return
    sheet.typed("hollow.rim", "Best rim owned to hold it on the other pole", rim, at=RIMS)
    sheet.percent(
        "hollow.seat_left",
        "Part of that rim that touches once the grooves are cut"
        if grooved
        else "Part of that rim that touches while the ball is hollowed",
        best.touching,
        direction=Direction.DOWN,
        formula="the rim's circle less what is cut before takes from it",
        source=SPHERICAL,
    )
    if best.keeps:
        sheet.warnings.append(f"hollow: {_NO_CENTRE}; {_STRAPPED}")
        return
    touching = sheet.by_name("hollow.seat_left")
    assert touching is not None
    sheet.warnings.append(
        f"hollow: once the {cut} are cut, {touching.text} at most of a cup's rim touches the "
        f"ball on its pole, and {_NO_CENTRE}; {_JAM}{otherwise}"
    )


def _lowered_mm(globe: Globe, opening: float) -> float:
    """Height of the highest wood on the rim where grooves have lowered it; no limit elsewhere."""
    across = opening + SAME_PLACE_MM
    if globe.section is None or across >= 2 * globe.pole_mm:
        return math.inf
    return resting(globe.diameter_mm, globe.section, globe.grooves, across, opening).height_mm


def _check_wall(sheet: Sheet, design: Design, wall: float) -> bool:
    """The thinnest place, under a groove or ring; false with a problem noted."""
    section, globe = design.hollow, sheet.globe
    assert section is not None
    assert globe is not None
    off = float(design.workshop.accuracy.marking.mm)
    diameter = globe.diameter_mm
    groove = globe.section.depth_mm if globe.section is not None else 0.0
    ring = max((ring.section.depth_mm for ring in globe.rings), default=0.0)
    deepest = max(groove, ring)
    try:
        if groove and ring:
            thinnest = hollow.thinnest_wall(diameter, wall, groove, ring, off).crossing_mm
        elif groove:
            thinnest = hollow.thinnest_under_groove_mm(diameter, wall, groove, off)
        elif ring:
            thinnest = hollow.thinnest_under_ring_mm(diameter, wall, ring, off)
        else:
            thinnest = wall - off
    except ValueError as error:
        sheet.problem(
            "hollow",
            "wall",
            what=sheet.told(error),
            write=f"write at least "
            f"{sheet.fine(deepest + off + float(section.least_wall.mm), Direction.UP)}",
        )
        return False
    sheet.length(
        "hollow.thinnest",
        "Thinnest that the wall may come out",
        thinnest,
        Direction.DOWN,
        formula="wall − deepest groove − what marking may be off",
        source=GEOMETRY,
        where="under the deepest groove or ring" if deepest else "",
    )
    sheet.typed("hollow.least_wall", "Thinnest that it is allowed to be", section.least_wall,
                at=("hollow", "least_wall"))  # fmt: skip
    if thinnest < float(section.least_wall.mm) - SAME_PLACE_MM:
        least = float(section.least_wall.mm)
        found, limit = sheet.short_of(thinnest, section.least_wall)
        write = f"write at least {sheet.fine(deepest + off + least, Direction.UP)}"
        if deepest and (most := wall - off - least) > 0:
            write += f", or cut no deeper than {sheet.fine(most, Direction.DOWN)}"
        sheet.problem(
            "hollow",
            "wall",
            what=f"the wall comes down to {found}, less than {limit}",
            write=write,
        )
        return False
    return True
