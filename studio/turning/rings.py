"""Rings: grooves on small circles, parallel to the equator, and the land beside them.

A ring is turned with the globe on the line of its poles, the cutter fed square to the surface:
along the ring's own middle ray, from the globe's centre to the middle of the ring. Its section is
seen in a plane through the poles, where the sphere is a circle as it is for a groove, so a
:class:`studio.turning.cutters.Section` serves for both and so do
:func:`studio.turning.cutters.snap_cove` and :func:`studio.turning.cutters.snap_vee`: s is measured
along the middle ray from the globe's centre, h square to it, and the section goes round the line of
the poles, not round a line square to the ray. At a ring at latitude φ a place of the section lies
s·cos φ − h·sin φ from the line of the poles (h towards the ring's pole): this is exact, and a ring
has a little more wood taken on its equator's side than on its pole's.

Latitudes are signed, positive towards the top.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from studio.turning.cutters import Arc, Section, half_angle_rad
from studio.turning.grooves import land_at_latitude_mm, lobes
from studio.turning.piece import RingCut
from studio.turning.ranges import not_negative, positive

_SLACK_RAD = 1e-12
"""A ring that fits at the equator but for binary decimals fits there, radians (ours)."""


@dataclass(frozen=True, slots=True)
class RingEdges:
    """Where a ring's cut begins and ends.

    Attributes:
        low_deg, high_deg: latitudes of its two edges, the lower first.
        low_diameter_mm, high_diameter_mm: diameters of the circles on which they lie.
        bottom_diameter_mm: of the circle along the middle of its bottom.
    """

    low_deg: float
    high_deg: float
    low_diameter_mm: float
    high_diameter_mm: float
    bottom_diameter_mm: float


@dataclass(frozen=True, slots=True)
class RingLand:
    """Land above or below a ring.

    Attributes:
        below: the ring on its lower side, counted from 0 as given; None for the bottom's pole or
            the edge of the hole there.
        above: the ring on its upper side; None for the top's pole or the edge of the hole there.
        land_mm: an arc along a meridian.
    """

    below: int | None
    above: int | None
    land_mm: float


def _latitude(latitude_deg: float) -> float:
    if not -90 < latitude_deg < 90:
        raise ValueError(f"a ring lies between -90° and 90°, not at {latitude_deg:g}°")
    return math.radians(latitude_deg)


def _mouth(diameter_mm: float, hole_mm: float) -> float:
    """Latitude of a hole's edge at the pole, radians; a quarter turn without a hole."""
    positive(diameter_mm, "the sphere's diameter")
    if not_negative(hole_mm, "the hole's diameter") >= diameter_mm:
        raise ValueError(f"a hole of {hole_mm:g} mm takes a {diameter_mm:g} mm sphere away")
    return math.acos(hole_mm / diameter_mm)


def widest_ring_mm(
    diameter_mm: float, latitude_deg: float, hole_mm: float = 0.0, least_land_mm: float = 0.0
) -> float:
    """The widest ring at a latitude that leaves a given land to the pole or to a hole there.

    Twice what lies between the ring's middle and the edge of the hole, 2R(acos(hole/D) − |φ|), less
    that land on both sides. Args: diameter, mm, more than 0; latitude, above -90 to below 90
    degrees; diameter of the hole at that pole, land, mm, 0 or more. Returns mm, an arc; with no
    land it must stay narrower than that. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, or there is no room for a ring at all.

    >>> widest_ring_mm(60, 80), widest_ring_mm(60, 60, 20, 3)
    (10.472, 5.026)
    """
    mouth, latitude = _mouth(diameter_mm, hole_mm), abs(_latitude(latitude_deg))
    land = not_negative(least_land_mm, "the least land")
    room = diameter_mm * (mouth - latitude) - 2 * land
    if room <= 0:
        end = f"the edge of the {hole_mm:g} mm hole" if hole_mm else "the pole"
        raise ValueError(
            f"there is no room for a ring at {latitude_deg:g}°: {end} is "
            f"{max(0.0, diameter_mm / 2 * (mouth - latitude)):.3g} mm away; place it nearer to "
            "the equator"
        )
    return room


def highest_ring_deg(
    diameter_mm: float, width_mm: float, hole_mm: float = 0.0, least_land_mm: float = 0.0
) -> float:
    """The highest latitude at which a ring of a width leaves a given land to the pole or a hole.

    acos(hole/D) − δ − land/R. Args: diameter, width (arc), mm, more than 0; diameter of the hole
    at that pole, land, mm, 0 or more. Returns degrees; with no land it must stay below that.
    Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, or no place is low enough.

    >>> highest_ring_deg(60, 6)
    84.270
    """
    mouth, half = _mouth(diameter_mm, hole_mm), half_angle_rad(diameter_mm, width_mm)
    land = not_negative(least_land_mm, "the least land") / (diameter_mm / 2)
    if mouth - half - land < -_SLACK_RAD:
        raise ValueError(
            f"a ring of {width_mm:g} mm fits nowhere on a {diameter_mm:g} mm sphere; make it "
            "narrower"
        )
    return math.degrees(max(0.0, mouth - half - land))


def ring_edges(ring: RingCut) -> RingEdges:
    """A ring's edges and its bottom: φ ± δ, circles of D·cos(φ ± δ) and 2(R − d)·cos φ.

    Args: ring. Source: elementary trigonometry.

    Raises:
        ValueError: the ring is not on the sphere, or wider than what the sphere has there.

    >>> from studio.turning.cutters import cove_section
    >>> edges = ring_edges(RingCut(30, cove_section(60, 3.349, 6)))
    >>> edges.low_deg, edges.high_deg, edges.bottom_diameter_mm
    (24.270, 35.730, 48.497)
    """
    section = ring.section
    widest = widest_ring_mm(section.diameter_mm, ring.latitude_deg)
    if section.width_mm >= widest or _reach_rad(section) >= widest / section.diameter_mm:
        raise ValueError(
            f"a ring {section.width_mm:g} mm wide at {ring.latitude_deg:g}° runs over the pole: "
            f"from its middle the sphere has {widest / 2:.3g} mm left; make it narrower than "
            f"{widest:.3g} mm or place it nearer to the equator than "
            f"{highest_ring_deg(section.diameter_mm, section.width_mm):.3g}°"
        )
    half, middle = math.degrees(section.half_angle_rad), ring.latitude_deg
    low, high = middle - half, middle + half
    return RingEdges(
        low,
        high,
        section.diameter_mm * math.cos(math.radians(low)),
        section.diameter_mm * math.cos(math.radians(high)),
        2 * section.core_radius_mm * math.cos(math.radians(middle)),
    )


def _reach_rad(section: Section) -> float:
    """How far to one side a cut reaches as seen from the centre; upright walls lean outwards so."""
    reach = section.half_angle_rad
    for piece in section.pieces:
        if isinstance(piece, Arc) and piece.end_rad < piece.start_rad:
            # where a ray from the centre touches the cove's circle, if the cove runs so far
            far = piece.centre[0]
            touch = math.asin(min(1.0, piece.radius_mm / far))
            if math.pi / 2 + touch >= piece.end_rad:
                reach = max(reach, touch)
    return reach


def land_between_mm(one: RingCut, other: RingCut) -> float:
    """Land between two rings of one sphere: R·|φ₁ − φ₂| − (w₁ + w₂)/2, mm.

    Args: two rings. Returns mm along a meridian, negative by what they run into each other. Source:
    elementary geometry, an arc is its angle times the radius.

    Raises:
        ValueError: the rings are of different spheres.

    >>> from studio.turning.cutters import cove_section
    >>> land_between_mm(*(RingCut(at, cove_section(60, 3.349, 6)) for at in (0, 30)))
    9.708
    """
    if one.section.diameter_mm != other.section.diameter_mm:
        raise ValueError("two rings with a land between them are on one sphere")
    apart = math.radians(abs(one.latitude_deg - other.latitude_deg))
    arc = one.section.diameter_mm / 2 * apart
    return arc - (one.section.width_mm + other.section.width_mm) / 2


def place_beside_mm(below: RingCut, width_mm: float, land_mm: float) -> float:
    """How far from the equator a ring stands that leaves a land above another: R·sin φ, mm.

    With φ = φ₁ + ((w₁ + w)/2 + land)/R. Args: the ring below, at its latitude or on the equator;
    width of the one above (arc), more than 0, land, 0 or more, mm. Returns mm along the axis.
    Source: :func:`land_between_mm` turned round.

    Raises:
        ValueError: a value is out of range, or that lies beyond the pole.

    >>> from studio.turning.cutters import cove_section
    >>> place_beside_mm(RingCut(0, cove_section(60, 3.349, 6)), 6, 9.708)
    15.000
    """
    radius = below.section.diameter_mm / 2
    between = (below.section.width_mm + positive(width_mm, "the ring's width")) / 2
    latitude = math.radians(below.latitude_deg)
    latitude += (between + not_negative(land_mm, "the least land")) / radius
    if latitude >= math.pi / 2:
        raise ValueError("beside that ring no other finds room before the pole")
    return radius * math.sin(latitude)


def ring_lands(
    rings: Sequence[RingCut], *, bottom_hole_mm: float = 0.0, top_hole_mm: float = 0.0
) -> tuple[RingLand, ...]:
    """Land between neighbouring rings, and from the outer ones to the poles or the holes there.

    R times the angle between two middles less half of both widths; to a pole R(90° − |φ|) less half
    a width, to a hole's edge less R·asin(hole/D) more. Grooves are not looked at. Args: one ring or
    more of one sphere, in any order; diameters of the holes at the poles, mm, 0 for none. Returns
    them from the bottom to the top. Source: elementary geometry.

    Raises:
        ValueError: rings of different spheres, or two rings, or a ring and a pole or hole, leave
            no land between them.

    >>> from studio.turning.cutters import cove_section, vee_section
    >>> pair = (RingCut(0, cove_section(60, 3.349, 6)), RingCut(30, vee_section(60, 90, 4)))
    >>> [land.land_mm for land in ring_lands(pair, top_hole_mm=10)]
    [44.124, 10.708, 24.392]
    """
    if not rings:
        raise ValueError("there is no ring")
    diameter_mm = rings[0].section.diameter_mm
    if any(ring.section.diameter_mm != diameter_mm for ring in rings):
        raise ValueError("rings of one globe have sections for the same diameter")
    edges = [ring_edges(ring) for ring in rings]
    order = sorted(range(len(rings)), key=lambda index: rings[index].latitude_deg)
    bottom, top = (
        math.degrees(_mouth(diameter_mm, hole)) for hole in (bottom_hole_mm, top_hole_mm)
    )
    # every stretch of land begins at one angle and ends at the next
    starts = [-bottom, *(edges[index].high_deg for index in order)]
    ends = [*(edges[index].low_deg for index in order), top]
    neighbours = [None, *order, None]
    lands = []
    for place, (start, end) in enumerate(zip(starts, ends, strict=True)):
        below, above = neighbours[place], neighbours[place + 1]
        land = math.radians(end - start) * diameter_mm / 2
        if land <= 0 or _meet_below(rings, below, above):
            raise ValueError(_no_land(rings, below, above, bottom_hole_mm, top_hole_mm, -land))
        lands.append(RingLand(below, above, land))
    return tuple(lands)


def _meet_below(rings: Sequence[RingCut], below: int | None, above: int | None) -> bool:
    """Whether the walls of two rings lean into each other under the land between them."""
    if below is None or above is None:
        return False
    apart = math.radians(rings[above].latitude_deg - rings[below].latitude_deg)
    return apart <= _reach_rad(rings[below].section) + _reach_rad(rings[above].section)


def _no_land(
    rings: Sequence[RingCut],
    below: int | None,
    above: int | None,
    bottom_hole_mm: float,
    top_hole_mm: float,
    over_mm: float,
) -> str:
    def told(index: int) -> str:
        ring = rings[index]
        return f"the ring of {ring.section.width_mm:g} mm at {ring.latitude_deg:g}°"

    if below is not None and above is not None:
        over = f" by {over_mm:.3g} mm" if over_mm > 0 else " under the surface"
        return (
            f"{told(below)} and {told(above)} run into each other{over}; "
            "place them further apart or make them narrower"
        )
    ring, hole = (above, bottom_hole_mm) if below is None else (below, top_hole_mm)
    assert ring is not None  # at least one ring is given
    return (
        f"{told(ring)} runs into the {hole:g} mm hole at the pole by {max(0.0, over_mm):.3g} mm; "
        "place it nearer to the equator or make it narrower"
    )


def ring_on_land_part(
    diameter_mm: float, grooves: int, groove_width_mm: float, latitude_deg: float
) -> float:
    """How much of a ring's middle line lies on land between great-circle grooves, 0 to 1.

    0 where the grooves have merged: a ring there cuts nothing unless it is deeper than they are.
    Args: diameter, width of the grooves (arc), mm; their count, 1 or more; latitude, above -90 to
    below 90 degrees. Source: :func:`studio.turning.grooves.land_at_latitude_mm`, elementary
    geometry.

    Raises:
        ValueError: a value is out of range, or the grooves leave no land at the equator.

    >>> ring_on_land_part(60, 6, 6, 0), ring_on_land_part(60, 6, 6, 70)
    (0.618, 0.0)
    """
    parallel = math.pi * diameter_mm * math.cos(_latitude(latitude_deg))
    land = land_at_latitude_mm(diameter_mm, grooves, groove_width_mm, latitude_deg)
    return lobes(grooves) * land / parallel
