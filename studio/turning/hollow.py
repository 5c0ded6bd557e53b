"""A hollow globe: how far the cutter must reach, what wood is saved, where the wall is thinnest.

The hollow is a ball about the globe's own centre, turned out through a round opening at one pole.
Grooves, where there are any, run through both poles as in :mod:`studio.turning.grooves`; rings as
in :mod:`studio.turning.rings`. Wood of a globe with rings: :func:`studio.turning.form.globe_form`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio.turning.cutters import Section, surface_radius_mm
from studio.turning.grooves import grooved_form, integral, lobes
from studio.turning.ranges import not_negative, positive
from studio.turning.sphere import sphere_volume_mm3

SHARPEST_LIP_DEG = 45.0
"""A lip with a sharper edge than this, degrees, is a feather edge that breaks off (common practice,
no source)."""

LEAST_LIP_PART = 0.5
"""Less than this part of the wall left at the lip is a feather edge too (common practice, no
source)."""


@dataclass(frozen=True, slots=True)
class CutterReach:
    """How far a hollowing cutter must reach.

    Attributes:
        depth_mm: straight in, from the plane of the opening's rim to the bottom of the hollow.
        side_mm: sideways behind the rim, from the opening's edge to the hollow's widest place.
    """

    depth_mm: float
    side_mm: float


@dataclass(frozen=True, slots=True)
class HollowForm:
    """Wood of a hollow globe.

    Attributes:
        volume_mm3: wood left.
        saved_mm3: wood that hollowing and the opening took from the solid globe.
    """

    volume_mm3: float
    saved_mm3: float

    @property
    def saved_part(self) -> float:
        """What is saved as a part of the solid globe, and so of its mass, 0 to 1."""
        return self.saved_mm3 / (self.volume_mm3 + self.saved_mm3)


@dataclass(frozen=True, slots=True)
class ThinnestWall:
    """Thinnest places of a hollow globe's wall.

    Attributes:
        groove_mm: under the grooves.
        ring_mm: under the deepest ring.
        crossing_mm: where that ring and a groove cross.
    """

    groove_mm: float
    ring_mm: float
    crossing_mm: float


def hollow_diameter_mm(diameter_mm: float, wall_mm: float) -> float:
    """Diameter of the hollow: the globe's less twice the wall, mm.

    Args: diameter, wall before grooves are cut, mm, more than 0; the wall less than the radius.
    Source: arithmetic.

    Raises:
        ValueError: a value is out of range.

    >>> hollow_diameter_mm(60, 5)
    50.0
    """
    positive(diameter_mm, "the globe's diameter")
    if positive(wall_mm, "the wall") >= diameter_mm / 2:
        raise ValueError(f"a wall of {wall_mm:g} mm leaves no hollow in a {diameter_mm:g} mm globe")
    return diameter_mm - 2 * float(wall_mm)


def _opening(diameter_mm: float, wall_mm: float, opening_mm: float) -> float:
    """The hollow's radius, once the opening is known to be narrower than the hollow."""
    inner = hollow_diameter_mm(diameter_mm, wall_mm)
    if positive(opening_mm, "the opening") >= inner:
        raise ValueError(
            f"an opening of {opening_mm:g} mm is as wide as the hollow of {inner:.4g} mm; "
            "make it narrower"
        )
    return inner / 2


def lip_edge_deg(diameter_mm: float, opening_mm: float, depth_mm: float = 0.0) -> float:
    """Angle of the wood at the edge of the opening's lip: acos(o / (D − 2d)), degrees.

    Between the opening's straight wall and the surface that falls away from it; lowest where a
    groove's bottom crosses the lip, a great circle of radius R − d. Args: the globe's diameter, the
    opening, mm, more than 0; depth of the grooves, mm, 0 or more; the opening narrower than the
    globe there. Source: elementary geometry, the tangent of a circle.

    Raises:
        ValueError: a value is out of range, or the opening is as wide as the globe there.

    >>> lip_edge_deg(60, 30), lip_edge_deg(60, 30, 3)
    (60.0, 56.25)
    """
    lowest = positive(diameter_mm, "the globe's diameter") - 2 * not_negative(
        depth_mm, "the groove's depth"
    )
    if positive(opening_mm, "the opening") >= lowest:
        raise ValueError(
            f"an opening of {opening_mm:g} mm is as wide as the globe of {lowest:.4g} mm there; "
            "make it narrower"
        )
    return math.degrees(math.acos(opening_mm / lowest))


def widest_opening_mm(diameter_mm: float, edge_deg: float, depth_mm: float = 0.0) -> float:
    """The opening whose lip has a given edge: (D − 2d)·cos(angle), mm.

    Args: the globe's diameter, mm, more than 0; the angle, degrees, more than 0 and less than 90;
    depth of the grooves, mm, 0 or more, less than the radius. Source: :func:`lip_edge_deg` turned
    round.

    Raises:
        ValueError: a value is out of range.

    >>> widest_opening_mm(60, 60)
    30.0
    """
    positive(diameter_mm, "the globe's diameter")
    if not 0 < edge_deg < 90:
        raise ValueError(f"a lip's edge is more than 0° and less than 90°, not {edge_deg:g}°")
    lowest = diameter_mm - 2 * not_negative(depth_mm, "the groove's depth")
    return positive(lowest, "what the grooves leave across the globe") * math.cos(
        math.radians(edge_deg)
    )


def cutter_reach(diameter_mm: float, wall_mm: float, opening_mm: float) -> CutterReach:
    """How far in and how far sideways a cutter must reach through the opening.

    In: √(R² − o²/4) + q from the rim's plane, q the hollow's radius; grooves that lower the rim
    shorten it a little, which is not counted. Sideways: q − o/2. Args: diameter, wall, opening, mm,
    more than 0; the opening narrower than the hollow. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> cutter_reach(60, 5, 20)
    CutterReach(depth_mm=53.284, side_mm=15.0)
    """
    inner = _opening(diameter_mm, wall_mm, opening_mm)
    rim = math.sqrt(diameter_mm**2 - opening_mm**2) / 2
    return CutterReach(rim + inner, inner - opening_mm / 2)


def thinnest_under_groove_mm(
    diameter_mm: float, wall_mm: float, depth_mm: float, off_centre_mm: float = 0.0
) -> float:
    """Thinnest place of the wall under grooves: wall less depth less what the hollow is off.

    No part of a groove comes nearer to the globe's centre than its bottom, R − d, and the bottoms
    run through both poles: a hollow too deep or too shallow by e comes nearest there, R − d − q −
    e. Off to the side it can come as near where a groove runs. Args: diameter, wall before
    grooves, depth, mm, more than 0; error of the hollow's middle, mm, 0 or more. Returns mm.
    Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, or a groove goes through the wall.

    >>> thinnest_under_groove_mm(60, 5, 2)
    3.0
    """
    return _thinnest("a groove", diameter_mm, wall_mm, depth_mm, off_centre_mm)


def thinnest_under_ring_mm(
    diameter_mm: float, wall_mm: float, depth_mm: float, off_centre_mm: float = 0.0
) -> float:
    """Thinnest place of the wall under a ring: wall less depth less what the hollow is off.

    A ring's bottom is a circle R − d from the globe's centre; a hollow off towards any place of it
    comes nearer there by as much. Args: diameter, wall before cutting, depth, mm, more than 0;
    error of the hollow's middle, in any direction, mm, 0 or more. Returns mm. Source: elementary
    geometry.

    Raises:
        ValueError: a value is out of range, or the ring goes through the wall.

    >>> thinnest_under_ring_mm(60, 5, 1.5)
    3.5
    """
    return _thinnest("a ring", diameter_mm, wall_mm, depth_mm, off_centre_mm)


def _thinnest(
    cut: str, diameter_mm: float, wall_mm: float, depth_mm: float, off_centre_mm: float
) -> float:
    hollow_diameter_mm(diameter_mm, wall_mm)
    positive(depth_mm, f"the depth of {cut}")
    left = wall_mm - depth_mm - not_negative(off_centre_mm, "what the hollow is off centre")
    if left <= 0:
        off = f" and a hollow {off_centre_mm:g} mm off centre" if off_centre_mm else ""
        raise ValueError(
            f"{cut} {depth_mm:g} mm deep{off} goes through a wall of {wall_mm:g} mm; "
            "leave a thicker wall or cut shallower"
        )
    return float(left)


def thinnest_wall(
    diameter_mm: float,
    wall_mm: float,
    groove_depth_mm: float,
    ring_depth_mm: float,
    off_centre_mm: float = 0.0,
) -> ThinnestWall:
    """Thinnest places of a wall with both grooves and rings: under each, and where they cross.

    Where they cross the deeper cut has taken the shallower one's floor: depths do not add up.
    Under a groove as :func:`thinnest_under_groove_mm`, and the same under a ring, whose bottom lies
    as far below the sphere all along: a hollow that is off towards a place comes nearer there by
    as much. Args: diameter, wall before cutting, depth of the grooves and of the deepest ring, mm,
    more than 0; error of the hollow's middle, in any direction, mm, 0 or more. Source: elementary
    geometry.

    Raises:
        ValueError: a value is out of range, or a cut goes through the wall.

    >>> thinnest_wall(60, 5, 2, 1.5)
    ThinnestWall(groove_mm=3.0, ring_mm=3.5, crossing_mm=3.0)
    """
    groove = thinnest_under_groove_mm(diameter_mm, wall_mm, groove_depth_mm, off_centre_mm)
    ring = thinnest_under_ring_mm(diameter_mm, wall_mm, ring_depth_mm, off_centre_mm)
    return ThinnestWall(groove, ring, min(groove, ring))


def plain_hollow_form(diameter_mm: float, wall_mm: float, opening_mm: float) -> HollowForm:
    """Wood of a hollow globe without grooves.

    The opening takes 2π/3·((R³ − (R² − o²/4)^1.5) − (q³ − (q² − o²/4)^1.5)) between the two balls.
    Args: diameter, wall, opening, mm, more than 0; the opening narrower than the hollow. Returns
    mm³. Source: volume between two balls in a cylinder, by shells.

    Raises:
        ValueError: a value is out of range.

    >>> plain_hollow_form(60, 5, 20).saved_part
    0.593
    """
    inner = _opening(diameter_mm, wall_mm, opening_mm)

    def above(radius: float) -> float:
        return float(radius**3 - (radius**2 - opening_mm**2 / 4) ** 1.5)

    plug = 2 * math.pi / 3 * (above(diameter_mm / 2) - above(inner))
    saved = sphere_volume_mm3(2 * inner) + plug
    return HollowForm(sphere_volume_mm3(diameter_mm) - saved, saved)


def grooved_hollow_form(
    section: Section, grooves: int, wall_mm: float, opening_mm: float
) -> HollowForm:
    """Wood of a hollow globe with great-circle grooves through the opening's pole.

    The grooved form less the hollow less what the opening takes between hollow and grooved
    surface, integrated along rays from the centre. Args: section of the grooves; their count, 1 or
    more; wall before grooves, opening, mm. Returns mm³ to better than 0.1 %. Source: elementary
    calculus; :func:`studio.turning.grooves.grooved_form`.

    Raises:
        ValueError: a value is out of range, a groove goes through the wall or leaves no land.

    >>> from studio.turning.cutters import cove_section
    >>> grooved_hollow_form(cove_section(60, 3.349, 6), 6, 5, 20).saved_part
    0.635
    """
    inner = _opening(section.diameter_mm, wall_mm, opening_mm)
    thinnest_under_groove_mm(section.diameter_mm, wall_mm, section.depth_mm)
    solid = grooved_form(section, grooves)

    def ray(polar: float, longitude: float) -> float:
        surface = surface_radius_mm(section, math.asin(math.sin(polar) * math.sin(longitude)))
        out = min(surface, opening_mm / 2 / math.sin(polar))
        return (out**3 - inner**3) / 3 * math.sin(polar)

    def around(polar: float) -> float:
        return integral(lambda longitude: ray(polar, longitude), 0.0, math.pi / lobes(grooves), 2)

    plug = 2 * lobes(grooves) * integral(around, 0.0, math.asin(opening_mm / 2 / inner), 12)
    saved = sphere_volume_mm3(2 * inner) + plug
    return HollowForm(solid.volume_mm3 - saved, saved)
