"""Grooves on great circles through two poles, rings on small circles, and the form they leave.

The poles are where all grooves cross; the equator lies midway. Each groove goes all the way round
and so makes two grooves on the equator: n of them leave 2n lobes. Grooves are counted from 0, and
groove k crosses the equator at k times the remount turn, and again half a turn on. The lathe axis
while a groove is cut stands at right angles to its plane, so it passes the equator a quarter turn
from the groove. Widths are arcs along the sphere, as :mod:`studio.turning.cutters` has them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from studio.turning.cutters import (
    Line,
    Section,
    cove_depth_mm,
    deepest_cove_mm,
    half_angle_rad,
    width_chord_mm,
)
from studio.turning.indexing import FEWEST_MARKS
from studio.turning.ranges import not_negative, positive, whole

_SLACK = 1e-9
"""A land or count that reaches its limit but for binary decimals counts as reaching it (ours)."""


class TailPoint(StrEnum):
    """What the tail centre's point stands on while a groove is cut."""

    EARLIER_GROOVE = "earlier groove"
    MID_LAND = "mid land"
    LATER_LINE = "later groove's line"


@dataclass(frozen=True, slots=True)
class CutAxis:
    """One groove's turn at the lathe, in the order of cutting.

    Attributes:
        groove: which groove, counted from 0.
        turn_deg: turn about the poles from the groove cut before, degrees, the shorter way and
            signed the way grooves are counted; 0 for the first.
        tail: what the tail centre's point stands on; both ends of the axis are alike.
        tail_groove: the groove on whose middle line it stands; None in mid land.
        edge_mm: from the point to the nearest edge of a groove already cut, an arc along the
            equator; None while none is cut. Standing in a groove, to that groove's own edge.
    """

    groove: int
    turn_deg: float
    tail: TailPoint
    tail_groove: int | None
    edge_mm: float | None


@dataclass(frozen=True, slots=True)
class GrooveStops:
    """Where an indexing plate puts one groove and its axis.

    Attributes:
        groove: which groove, counted from 0.
        line_stops: stops of the groove's two crossings of the equator; None when the plate has
            none there.
        axis_stops: stops of the axis's two ends; None when the plate has none there.
    """

    groove: int
    line_stops: tuple[int, int] | None
    axis_stops: tuple[int, int] | None


@dataclass(frozen=True, slots=True)
class PoleHole:
    """A hole drilled from a pole along the line of the poles.

    Attributes:
        mouth_in_cap: whether the mouth lies within the circle where grooves have merged.
        rim_drop_mm: how far the lowest point of its rim, on a groove's middle line, lies below the
            pole; a depth set from the pole is that much less at the rim.
        wood_beyond_mm: wood left between its end and the far pole, or the hole drilled from there.
    """

    mouth_in_cap: bool
    rim_drop_mm: float
    wood_beyond_mm: float


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle round the sphere, parallel to the equator.

    Attributes:
        latitude_deg: from the equator towards a pole, degrees.
        diameter_mm: of the circle.
        from_equator_mm: along the line of the poles, from the equator's plane.
        from_pole_mm: along the line of the poles, from the pole before anything is cut there.
        divider_mm: setting of dividers that stand on the pole and draw it.
        arc_mm: from the equator along the sphere, as a strip of paper measures it.
    """

    latitude_deg: float
    diameter_mm: float
    from_equator_mm: float
    from_pole_mm: float
    divider_mm: float
    arc_mm: float


@dataclass(frozen=True, slots=True)
class GroovedForm:
    """A sphere with its grooves cut.

    Attributes:
        volume_mm3: wood left.
        removed_mm3: wood turned away by the grooves.
        area_mm2: whole surface, lands and grooves.
        land_area_mm2: what is left of the sphere's own surface.
        groove_area_mm2: surface of the grooves.
    """

    volume_mm3: float
    removed_mm3: float
    area_mm2: float
    land_area_mm2: float
    groove_area_mm2: float


def lobes(grooves: int) -> int:
    """Lobes that great-circle grooves through two poles leave: twice their count.

    Args: grooves, 1 or more. Source: each groove crosses the equator twice.

    Raises:
        ValueError: fewer than 1 groove.

    >>> lobes(6)
    12
    """
    return 2 * whole(grooves, "the count of grooves", 1)


def remount_turn_deg(grooves: int) -> float:
    """Turn about the poles from one groove's mounting to the next: half a turn over their count.

    Args: grooves, 1 or more. Returns degrees. Source: elementary geometry.

    Raises:
        ValueError: fewer than 1 groove.

    >>> remount_turn_deg(6)
    30.0
    """
    return 180 / whole(grooves, "the count of grooves", 1)


def equator_land_mm(diameter_mm: float, grooves: int, width_mm: float) -> float:
    """Land between neighbouring grooves at the equator: πD/(2n) − w, an arc.

    Args: diameter and width (arc), mm, more than 0; grooves, 1 or more. Returns mm. Source:
    elementary geometry.

    Raises:
        ValueError: a value is out of range, or the grooves leave no land.

    >>> equator_land_mm(60, 6, 6)
    9.708
    """
    half_angle_rad(diameter_mm, width_mm)
    share = lobe_share_mm(diameter_mm, grooves)
    if width_mm >= share:
        raise ValueError(
            f"{grooves} grooves of {width_mm:g} mm leave no land on a {diameter_mm:g} mm sphere; "
            f"each must be narrower than {share:.4g} mm"
        )
    return share - width_mm


def lobe_share_mm(diameter_mm: float, grooves: int) -> float:
    """Of the equator, from the middle of one groove to the next: πD/(2n), an arc.

    Args: diameter, mm, more than 0; grooves, 1 or more. Returns mm. Source: elementary geometry.

    Raises:
        ValueError: fewer than 1 groove.

    >>> lobe_share_mm(60, 6)
    15.708
    """
    return math.pi * diameter_mm / lobes(grooves)


def land_at_latitude_mm(
    diameter_mm: float, grooves: int, width_mm: float, latitude_deg: float
) -> float:
    """Land between neighbouring grooves at a latitude, as an arc along that parallel.

    R·cos φ times what the grooves leave of 180°/n, each taking asin(sin δ/cos φ) to both sides; 0
    where they have merged. Args: diameter, width (arc), mm; grooves, 1 or more; latitude from the
    equator, -90 to 90 degrees. Returns mm. Source: elementary trigonometry on the sphere.

    Raises:
        ValueError: a value is out of range, or the grooves leave no land at the equator.

    >>> land_at_latitude_mm(60, 6, 6, 0), land_at_latitude_mm(60, 6, 6, 45)
    (9.708, 5.097)
    """
    equator_land_mm(diameter_mm, grooves, width_mm)
    if not -90 <= latitude_deg <= 90:
        raise ValueError(f"a latitude lies from -90° to 90°, not at {latitude_deg:g}°")
    if abs(latitude_deg) >= merge_latitude_deg(diameter_mm, grooves, width_mm):
        return 0.0
    parallel = math.cos(math.radians(latitude_deg))
    taken = math.asin(math.sin(half_angle_rad(diameter_mm, width_mm)) / parallel)
    return diameter_mm / 2 * parallel * (math.pi / grooves - 2 * taken)


def _merge_cos(diameter_mm: float, grooves: int, width_mm: float) -> float:
    equator_land_mm(diameter_mm, grooves, width_mm)
    return math.sin(half_angle_rad(diameter_mm, width_mm)) / math.sin(math.pi / lobes(grooves))


def merge_latitude_deg(diameter_mm: float, grooves: int, width_mm: float) -> float:
    """Latitude above which neighbouring grooves have merged and no land is left.

    cos φ = sin δ / sin(90°/n): there the middle of the land lies on the edge of the grooves. Args:
    diameter, width (arc), mm; grooves, 1 or more. Returns degrees from the equator. Source:
    elementary trigonometry on the sphere.

    Raises:
        ValueError: a value is out of range, or the grooves leave no land at the equator.

    >>> merge_latitude_deg(60, 6, 6)
    67.31
    """
    return math.degrees(math.acos(_merge_cos(diameter_mm, grooves, width_mm)))


def merged_cap_mm(diameter_mm: float, grooves: int, width_mm: float) -> float:
    """Diameter of the circle about a pole on which the tips of the lands lie: D·cos φ.

    Inside it all is groove: scalloped, lower than the tips or higher (:func:`cap_seat` tells).
    Args: diameter, width (arc), mm; grooves, 1 or more. Returns mm. Source: elementary
    trigonometry.

    Raises:
        ValueError: a value is out of range, or the grooves leave no land at the equator.

    >>> merged_cap_mm(60, 6, 6)
    23.14
    """
    return diameter_mm * _merge_cos(diameter_mm, grooves, width_mm)


def core_radius_mm(diameter_mm: float, depth_mm: float) -> float:
    """Radius of the ball inside that no groove reaches: R − d; the wood reaches it at both poles.

    Args: diameter and depth, mm, more than 0; depth less than the radius. Returns mm. Source:
    arithmetic.

    Raises:
        ValueError: a value is out of range.

    >>> core_radius_mm(60, 2)
    28.0
    """
    positive(diameter_mm, "the sphere's diameter")
    if positive(depth_mm, "the groove's depth") >= diameter_mm / 2:
        raise ValueError(
            f"grooves {depth_mm:g} mm deep reach the middle of a {diameter_mm:g} mm sphere"
        )
    return diameter_mm / 2 - depth_mm


def height_at_poles_mm(diameter_mm: float, depth_mm: float) -> float:
    """Height from pole to pole once the grooves are cut: D − 2d, mm.

    Args: diameter and depth, mm, more than 0; depth less than the radius. Source: arithmetic.

    Raises:
        ValueError: a value is out of range.

    >>> height_at_poles_mm(60, 2)
    56.0
    """
    return 2 * core_radius_mm(diameter_mm, depth_mm)


def most_grooves(diameter_mm: float, width_mm: float, least_land_mm: float) -> int:
    """The most grooves of a width that leave at least a given land at the equator.

    πD / (2(w + land)), rounded down. Args: diameter, width (arc), mm, more than 0; least land, mm,
    0 or more; with 0 something is left all the same. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, or not even one groove leaves it.

    >>> most_grooves(60, 6, 5)
    8
    """
    half_angle_rad(diameter_mm, width_mm)
    share = width_mm + not_negative(least_land_mm, "the least land")
    count = math.floor(math.pi * diameter_mm / (2 * share) + _SLACK)
    if least_land_mm == 0 and count * 2 * share >= math.pi * diameter_mm:
        count -= 1
    if count < 1:
        raise ValueError(
            f"not even one groove of {width_mm:g} mm leaves {least_land_mm:g} mm of land on a "
            f"{diameter_mm:g} mm sphere"
        )
    return count


def widest_groove_mm(diameter_mm: float, grooves: int, least_land_mm: float) -> float:
    """The widest grooves that leave at least a given land at the equator: πD/(2n) − land, mm.

    Args: diameter, mm; grooves, 1 or more; least land, mm, more than 0. Source: elementary
    geometry.

    Raises:
        ValueError: a value is out of range, or so much land leaves no room for grooves.

    >>> widest_groove_mm(60, 6, 5)
    10.708
    """
    positive(diameter_mm, "the sphere's diameter")
    share = math.pi * diameter_mm / lobes(grooves)
    if positive(least_land_mm, "the least land") >= share:
        raise ValueError(
            f"{lobes(grooves)} lands of {least_land_mm:g} mm leave no room for grooves on a "
            f"{diameter_mm:g} mm sphere; each has {share:.4g} mm with its groove"
        )
    return share - least_land_mm


def deepest_groove_mm(
    diameter_mm: float, grooves: int, cutter_radius_mm: float, least_land_mm: float
) -> float:
    """The deepest coves of a cutter that leave at least a given land: deeper is wider.

    Depth at the widest groove, or where the cutter's walls stand upright if it is narrower. Args:
    diameter, cutter's radius, least land, mm, more than 0; grooves, 1 or more. Returns mm.
    Source: :func:`studio.turning.cutters.cove_depth_mm`, elementary geometry.

    Raises:
        ValueError: a value is out of range, or so much land leaves no room for grooves.

    >>> deepest_groove_mm(60, 6, 6, 5)
    3.713
    """
    widest = widest_groove_mm(diameter_mm, grooves, least_land_mm)
    positive(cutter_radius_mm, "the cutter's radius")
    if width_chord_mm(diameter_mm, widest) >= 2 * cutter_radius_mm:
        return deepest_cove_mm(diameter_mm, cutter_radius_mm)
    return cove_depth_mm(diameter_mm, cutter_radius_mm, widest)


def marks_for_grooves(grooves: int) -> int:
    """Equal marks on the equator that give every groove both its crossings: twice the grooves.

    Args: grooves, 1 or more. Source: elementary geometry.

    Raises:
        ValueError: fewer than 1 groove.

    >>> marks_for_grooves(6)
    12
    """
    return lobes(grooves)


def marks_with_axes(grooves: int) -> int:
    """Equal marks that give every groove's crossings and the ends of every axis.

    An even count of grooves has each axis on another groove's middle line: 2n marks serve both. An
    odd count has it in mid land: 4n. Args: grooves, 1 or more. Source: a quarter turn over 180°/n
    is n/2 steps, whole for even n.

    Raises:
        ValueError: fewer than 1 groove.

    >>> marks_with_axes(6), marks_with_axes(5)
    (12, 20)
    """
    return lobes(grooves) * (1 if grooves % 2 == 0 else 2)


def groove_stops(grooves: int, plate_stops: int) -> tuple[GrooveStops, ...]:
    """Stops of an indexing plate for every groove and its axis, with groove 0 at stop 0.

    Where the plate has no stop exactly there, None:
    :func:`studio.turning.indexing.plates_that_serve` names plates that do. Args: grooves, 1 or
    more; stops of the plate, 2 or more. Source: elementary arithmetic.

    Raises:
        ValueError: a count is out of range.

    >>> groove_stops(5, 60)[1]
    GrooveStops(groove=1, line_stops=(6, 36), axis_stops=(21, 51))
    """
    whole(plate_stops, "the plate's count of stops", FEWEST_MARKS)
    quarters = 2 * lobes(grooves)  # steps of a quarter of 360°/n

    def pair(step: int) -> tuple[int, int] | None:
        stops = []
        for at in (step, step + quarters // 2):
            stop, over = divmod(at % quarters * plate_stops, quarters)
            if over:
                return None
            stops.append(stop)
        first, second = sorted(stops)
        return first, second

    return tuple(
        GrooveStops(groove, pair(2 * groove), pair(2 * groove + grooves))
        for groove in range(grooves)
    )


def cutting_order(grooves: int, order: Sequence[int] | None = None) -> tuple[int, ...]:
    """An order of cutting, checked: every groove once; as counted when none is given.

    Args: grooves, 1 or more; grooves counted from 0. Source: definition.

    Raises:
        ValueError: a groove is missing, named twice or does not exist.

    >>> cutting_order(3)
    (0, 1, 2)
    """
    whole(grooves, "the count of grooves", 1)
    if order is None:
        return tuple(range(grooves))
    if sorted(order) != list(range(grooves)):
        raise ValueError(
            f"an order of cutting names each of {grooves} grooves once, counted from 0; "
            f"not {', '.join(str(groove) for groove in order)}"
        )
    return tuple(order)


def cut_axes(
    diameter_mm: float, grooves: int, width_mm: float, order: Sequence[int] | None = None
) -> tuple[CutAxis, ...]:
    """Every groove's mounting in the order of cutting: the turn, and where the tail point stands.

    The axis ends a quarter turn from its groove: n/2 steps on. For even n that is another groove's
    middle line, cut already or not; for odd n mid land. Args: diameter, width (arc), mm; grooves,
    1 or more; order of cutting, grooves counted from 0, as counted unless given. Source:
    elementary geometry.

    Raises:
        ValueError: a value is out of range, no land is left, or the order is not one.

    >>> [axis.tail.value for axis in cut_axes(60, 2, 6)]
    ["later groove's line", 'earlier groove']
    """
    land = equator_land_mm(diameter_mm, grooves, width_mm)
    turn = remount_turn_deg(grooves)
    cut: list[int] = []
    axes = []
    for groove in cutting_order(grooves, order):
        steps = (groove - cut[-1]) % grooves if cut else 0
        if 2 * steps > grooves:
            steps -= grooves
        twice = (2 * groove + grooves) % (2 * grooves)  # the axis, in half steps
        tail_groove = twice // 2 if grooves % 2 == 0 else None
        if tail_groove is None:
            tail = TailPoint.MID_LAND
        else:
            tail = TailPoint.EARLIER_GROOVE if tail_groove in cut else TailPoint.LATER_LINE
        edges = []
        for earlier in cut:
            apart = (2 * earlier - twice) % (2 * grooves)
            half_steps = min(apart, 2 * grooves - apart)
            edges.append(abs(half_steps * (land + width_mm) / 2 - width_mm / 2))
        axes.append(CutAxis(groove, steps * turn, tail, tail_groove, min(edges) if edges else None))
        cut.append(groove)
    return tuple(axes)


def axis_miss_mm(diameter_mm: float, off_deg: float) -> float:
    """How far a groove passes the pole when the axis is off by an angle: R·sin ε, mm.

    Args: diameter, mm, more than 0; angle, 0 to 90 degrees. Source: elementary trigonometry.

    Raises:
        ValueError: a value is out of range.

    >>> axis_miss_mm(60, 1)
    0.524
    """
    positive(diameter_mm, "the sphere's diameter")
    if not 0 <= off_deg <= 90:
        raise ValueError(f"an axis is off by 0° to 90°, not by {off_deg:g}°")
    return diameter_mm / 2 * math.sin(math.radians(off_deg))


def pole_hole(
    section: Section,
    grooves: int,
    hole_diameter_mm: float,
    hole_depth_mm: float,
    other_hole_depth_mm: float = 0.0,
) -> PoleHole:
    """Whether a hole for a hanger or tenon fits into what the grooves leave at a pole.

    Depths are from the wood at the poles, which the grooves have lowered. Args: section of the
    grooves; their count, 1 or more; the hole's diameter and depth, mm, more than 0; depth of a
    hole from the other pole, mm, 0 or more. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, the hole wider than the core, or the holes run into
            each other or through.

    >>> from studio.turning.cutters import cove_section
    >>> pole_hole(cove_section(60, 3.349, 6), 6, 4, 20)
    PoleHole(mouth_in_cap=True, rim_drop_mm=0.0715, wood_beyond_mm=36.0)
    """
    cap = merged_cap_mm(section.diameter_mm, grooves, section.width_mm)
    core = section.core_radius_mm
    if positive(hole_diameter_mm, "the hole's diameter") >= 2 * core:
        raise ValueError(
            f"a hole of {hole_diameter_mm:g} mm is wider than the core of {2 * core:.4g} mm"
        )
    depth = positive(hole_depth_mm, "the hole's depth")
    beyond = 2 * core - depth - not_negative(other_hole_depth_mm, "the other hole's depth")
    if beyond <= 0:
        what = "runs into the hole from the other pole" if other_hole_depth_mm else "goes through"
        raise ValueError(
            f"a hole {depth:g} mm deep {what}: the grooves leave {2 * core:.4g} mm from pole to "
            "pole; drill less deep"
        )
    drop = core - math.sqrt(core**2 - hole_diameter_mm**2 / 4)
    return PoleHole(hole_diameter_mm <= cap, drop, beyond)


def ring(diameter_mm: float, latitude_deg: float) -> Ring:
    """A ring on a small circle: its diameter, its place, and the dividers that draw it.

    D·cos φ, R·sin φ from the equator, dividers D·sin((90° − φ)/2) from the pole. Args: diameter,
    mm, more than 0; latitude, 0 to below 90 degrees. Source: elementary trigonometry.

    Raises:
        ValueError: a value is out of range.

    >>> ring(60, 30).diameter_mm, ring(60, 30).from_equator_mm, ring(60, 30).divider_mm
    (51.962, 15.0, 30.0)
    """
    positive(diameter_mm, "the sphere's diameter")
    if not 0 <= latitude_deg < 90:
        raise ValueError(f"a ring lies from 0° to below 90°, not at {latitude_deg:g}°")
    radius, latitude = diameter_mm / 2, math.radians(latitude_deg)
    return Ring(
        latitude_deg,
        diameter_mm * math.cos(latitude),
        radius * math.sin(latitude),
        diameter_mm * math.sin((math.pi / 2 - latitude) / 2) ** 2,
        diameter_mm * math.sin((math.pi / 2 - latitude) / 2),
        radius * latitude,
    )


def ring_latitude_deg(diameter_mm: float, from_equator_mm: float) -> float:
    """Latitude of a ring by its place along the line of the poles: asin of that over R, degrees.

    Args: diameter, mm, more than 0; place from the equator's plane, mm, 0 to below the radius.
    Source: elementary trigonometry.

    Raises:
        ValueError: a value is out of range.

    >>> ring_latitude_deg(60, 15)
    30.0
    """
    positive(diameter_mm, "the sphere's diameter")
    if not_negative(from_equator_mm, "the ring's place") >= diameter_mm / 2:
        raise ValueError(
            f"a ring {from_equator_mm:g} mm from the equator misses a {diameter_mm:g} mm sphere"
        )
    return math.degrees(math.asin(2 * from_equator_mm / diameter_mm))


def ring_land_mm(
    diameter_mm: float, latitude_deg: float, next_latitude_deg: float, width_mm: float
) -> float:
    """Land between two parallel rings of equal width, an arc along a meridian, mm.

    R times the angle between them, less a width. Args: diameter, width (arc), mm, more than 0;
    latitudes, above -90 to below 90 degrees, either order. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, or the rings run into each other.

    >>> ring_land_mm(60, 0, 30, 6)
    9.708
    """
    half_angle_rad(diameter_mm, width_mm)
    for latitude in (latitude_deg, next_latitude_deg):
        if not -90 < latitude < 90:
            raise ValueError(f"a ring lies between -90° and 90°, not at {latitude:g}°")
    apart = math.radians(abs(next_latitude_deg - latitude_deg)) * diameter_mm / 2
    if apart <= width_mm:
        raise ValueError(
            f"rings of {width_mm:g} mm at {latitude_deg:g}° and {next_latitude_deg:g}° run into "
            f"each other: their middles are {apart:.4g} mm apart"
        )
    return apart - width_mm


# Gauss-Legendre, 5 points on 0 to 1: abscissas and weights as in Abramowitz and Stegun, table 25.4
# (from memory; the test integrates polynomials of degree 9 with them)
_GAUSS = (
    (0.5, 0.284444444444444),
    (0.230765344947158, 0.239314335249683),
    (0.769234655052842, 0.239314335249683),
    (0.046910077030668, 0.118463442528095),
    (0.953089922969332, 0.118463442528095),
)


_PANELS = 48
"""They bring the root at the end of a range below a part in 100,000."""


def gauss_points(low: float, high: float, panels: int = _PANELS) -> Iterator[tuple[float, float]]:
    """Places and weights of Gauss and Legendre, five to each of equal panels of a range.

    Args: range, finite; panels, 1 or more. Source: Gauss-Legendre quadrature, points see the
    module.

    Raises:
        ValueError: no panel.

    >>> sum(weight * at**2 for at, weight in gauss_points(0, 3, 1))
    9.000
    """
    wide = (high - low) / whole(panels, "the count of panels", 1)
    for panel in range(panels):
        for at, weight in _GAUSS:
            yield low + (panel + at) * wide, weight * wide


def integral(
    function: Callable[[float], float], low: float, high: float, panels: int = _PANELS
) -> float:
    """Integral of a function by Gauss and Legendre, five points to each of equal panels.

    Args: function; range, finite; panels, 1 or more. Source: Gauss-Legendre
    quadrature, points see the module.

    Raises:
        ValueError: no panel.

    >>> integral(math.sin, 0, math.pi)
    2.000000
    """
    return math.fsum(weight * function(at) for at, weight in gauss_points(low, high, panels))


def swept(
    section: Section, around: Callable[[float, float], float], panels: int = _PANELS
) -> tuple[float, float]:
    """Area that one half of a section sweeps, and the same times its distance from the centre.

    The section goes round a line through the sphere's centre, so all along a place's path its
    tangent plane lies as far from the centre; a third of the second figure is the volume between
    the swept surface and the centre. Args: section; a function that gives the length of the path of
    the place at s and h, mm; panels for every piece, 1 or more. Returns mm² and mm³. Source:
    Gauss's divergence theorem; integration by Gauss and Legendre.

    Raises:
        ValueError: no panel.

    >>> from studio.turning.cutters import vee_section
    >>> swept(vee_section(60, 90, 6), lambda s, h: 2 * math.pi * s)
    (754.5, 14328.4)
    """
    areas, thirds = [], []
    for piece in section.pieces:
        if isinstance(piece, Line):
            (s0, h0), (s1, h1) = piece.start, piece.end
            ds, dh = s1 - s0, h1 - h0
            length = math.hypot(ds, dh)
            # s·dh − h·ds is the same all along a straight line
            plane = (s0 * dh - h0 * ds) / length
            for at, weight in gauss_points(0.0, 1.0, panels):
                area = weight * length * around(s0 + at * ds, h0 + at * dh)
                areas.append(area)
                thirds.append(area * plane)
        else:
            (s0, h0), nose = piece.centre, piece.radius_mm
            # a cove runs clockwise and its wood lies outside; a round-over the other way and within
            facing = math.copysign(1.0, piece.end_rad - piece.start_rad)
            low, high = sorted((piece.start_rad, piece.end_rad))
            for at, weight in gauss_points(low, high, panels):
                cos, sin = math.cos(at), math.sin(at)
                area = weight * nose * around(s0 + nose * cos, h0 + nose * sin)
                areas.append(area)
                thirds.append(area * facing * (s0 * cos + h0 * sin + nose))
    return math.fsum(areas), math.fsum(thirds)


def grooved_form(section: Section, grooves: int) -> GroovedForm:
    """Volume and surface of a sphere with great-circle grooves through two poles.

    The nearest groove alone shapes each place, so one quarter of a groove is integrated, from its
    middle to where the next one is as near: round its own axis a ring at h from the groove's
    plane and s from the axis keeps π − 2·asin(h/(s·tan(90°/n))) of each half turn. The volume
    follows from the surface (divergence theorem: a third of the distance of each piece's plane
    from the centre, times its area). Args: section of the grooves; their count, 1 or more.
    Returns mm² and mm³, to better than 0.01 %. Source: Gauss's divergence theorem; integration by
    Gauss and Legendre.

    Raises:
        ValueError: a value is out of range, or the grooves leave no land at the equator.

    >>> from studio.turning.cutters import cove_section
    >>> form = grooved_form(cove_section(60, 3.349, 6), 6)
    >>> form.volume_mm3 / 1000, form.area_mm2 / 100
    (104.64, 122.30)
    """
    equator_land_mm(section.diameter_mm, grooves, section.width_mm)
    slope, radius = math.tan(math.pi / lobes(grooves)), section.diameter_mm / 2
    quarters = 2 * lobes(grooves)

    def kept(s: float, h: float) -> float:
        part = h / (s * slope)
        return math.pi - 2 * math.asin(part) if part < 1 else 0.0

    area, thirds = swept(section, lambda s, h: s * kept(s, h))
    covered = integral(
        lambda at: math.cos(at) * kept(math.cos(at), math.sin(at)), 0.0, section.half_angle_rad
    )
    whole_area = 4 * math.pi * radius**2
    land = whole_area - quarters * radius**2 * covered
    groove = quarters * area
    volume = (radius * land + quarters * thirds) / 3
    return GroovedForm(volume, radius * whole_area / 3 - volume, land + groove, land, groove)
