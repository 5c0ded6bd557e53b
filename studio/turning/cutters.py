"""Cross-sections of a groove round a sphere, and the cutters that make them.

A groove on a great circle is turned: the ball goes round an axis, the cutter stands still in a
plane through that axis. So its section is seen in that plane: the sphere is a circle of radius R
there, the groove's middle lies at right angles to the axis. Places in the section are written as
s, distance from the axis, and h, distance from the plane of the groove. Width is measured as an
arc along the sphere; half of it, seen from the sphere's centre, is the half angle δ = w/D.

A cove is the cutter's own circle, plunged and not swung: a cutter narrower than the groove does not
make it. The circle's middle may not come below the groove's edges, or the walls would lean over.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from studio.turning.ranges import not_negative, positive

SHARPEST_VEE_DEG = 10.0
"""Smallest included angle of a V, degrees (ours): below it a scraper has no strength."""

BLUNTEST_VEE_DEG = 170.0
"""Largest included angle of a V, degrees (ours): beyond it the V cannot be told from a flat."""

CHAMFER_DEG = 45.0
"""Angle of a chamfer to the surface when none is given, degrees. Common practice, no source."""

_SLACK_MM = 1e-9
"""Depths and widths that touch a limit but for binary decimals count as on it, mm (ours)."""


class Keep(StrEnum):
    """What stays as wished when a groove is fitted to a real cutter."""

    WIDTH = "width"
    DEPTH = "depth"


class SectionKind(StrEnum):
    """A groove's cross-section."""

    COVE = "cove"
    VEE = "V"
    CHAMFERED_COVE = "chamfered cove"
    ROUNDED_COVE = "rounded-over cove"


@dataclass(frozen=True, slots=True)
class Cutter:
    """A round-nosed cutter or scraper.

    Attributes:
        label: as its owner calls it.
        radius_mm: radius of its nose, mm.
    """

    label: str
    radius_mm: float


@dataclass(frozen=True, slots=True)
class VeeCutter:
    """A pointed cutter.

    Attributes:
        label: as its owner calls it.
        angle_deg: angle included between its edges, degrees.
    """

    label: str
    angle_deg: float


@dataclass(frozen=True, slots=True)
class SnappedCove:
    """A cove as wished and as an owned cutter makes it.

    Attributes:
        cutter: the cutter chosen.
        wished_width_mm: width asked for, as an arc on the sphere.
        wished_depth_mm: depth asked for.
        wished_radius_mm: the cutter that would have made just that; None where no cutter would.
        width_mm: width that the chosen cutter makes.
        depth_mm: depth at which it makes it.
    """

    cutter: Cutter
    wished_width_mm: float
    wished_depth_mm: float
    wished_radius_mm: float | None
    width_mm: float
    depth_mm: float


@dataclass(frozen=True, slots=True)
class SnappedVee:
    """A V as wished and as an owned cutter makes it.

    Attributes:
        cutter: the cutter chosen.
        wished_width_mm: width asked for, as an arc on the sphere.
        wished_depth_mm: depth asked for.
        wished_angle_deg: the included angle that would have made just that; None where none would.
        width_mm: width that the chosen cutter makes.
        depth_mm: depth at which it makes it.
    """

    cutter: VeeCutter
    wished_width_mm: float
    wished_depth_mm: float
    wished_angle_deg: float | None
    width_mm: float
    depth_mm: float


@dataclass(frozen=True, slots=True)
class Line:
    """A straight piece of a section, from nearer the groove's bottom to nearer its edge, mm.

    Attributes:
        start: s and h where it begins.
        end: s and h where it ends.
    """

    start: tuple[float, float]
    end: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Arc:
    """A round piece of a section, from nearer the groove's bottom to nearer its edge.

    Attributes:
        centre: s and h of its middle, mm.
        radius_mm: its radius, mm.
        start_rad: direction from the middle to where it begins, radians from the s axis.
        end_rad: direction to where it ends, radians.
    """

    centre: tuple[float, float]
    radius_mm: float
    start_rad: float
    end_rad: float


@dataclass(frozen=True, slots=True)
class Section:
    """One half of a groove's cross-section; the other half is its mirror image.

    Attributes:
        kind: what it is.
        diameter_mm: of the sphere it is cut in.
        width_mm: from edge to edge as an arc on the sphere, flares included.
        depth_mm: below the sphere at the groove's middle.
        pieces: from the middle of the bottom to the edge.
    """

    kind: SectionKind
    diameter_mm: float
    width_mm: float
    depth_mm: float
    pieces: tuple[Line | Arc, ...]

    @property
    def half_angle_rad(self) -> float:
        """Half the width as seen from the sphere's centre, radians."""
        return self.width_mm / self.diameter_mm

    @property
    def core_radius_mm(self) -> float:
        """From the sphere's centre to the groove's bottom, mm."""
        return self.diameter_mm / 2 - self.depth_mm


def half_angle_rad(diameter_mm: float, width_mm: float) -> float:
    """Half a groove's width as seen from the sphere's centre: width over diameter, radians.

    Args: diameter and width (arc across the groove, along the sphere), mm, more than 0; the width
    below a quarter turn to each side. Source: definition of the radian.

    Raises:
        ValueError: a value is out of range.

    >>> half_angle_rad(60, 6)
    0.1
    """
    positive(diameter_mm, "the sphere's diameter")
    half = positive(width_mm, "the groove's width") / diameter_mm
    if half >= math.pi / 2:
        raise ValueError(
            f"a groove of {width_mm:g} mm is half a {diameter_mm:g} mm sphere or more; "
            f"keep it below {math.pi / 2 * diameter_mm:.4g} mm"
        )
    return half


def width_chord_mm(diameter_mm: float, width_mm: float) -> float:
    """Straight width of a groove, as callipers span it: diameter times sine of the half angle.

    Args: diameter and width (arc), mm. Returns mm. Source: elementary trigonometry.

    Raises:
        ValueError: a value is out of range.

    >>> width_chord_mm(60, 6)
    5.990
    """
    return diameter_mm * math.sin(half_angle_rad(diameter_mm, width_mm))


def _rise_mm(diameter_mm: float, half_rad: float) -> float:
    """How far the sphere stands up over the straight line between the groove's edges."""
    return float(diameter_mm * math.sin(half_rad / 2) ** 2)


def _below_radius(diameter_mm: float, depth_mm: float) -> None:
    if positive(depth_mm, "the groove's depth") >= diameter_mm / 2:
        raise ValueError(
            f"a groove {depth_mm:g} mm deep reaches the middle of a {diameter_mm:g} mm sphere"
        )


def cove_radius_mm(diameter_mm: float, width_mm: float, depth_mm: float) -> float:
    """Radius of the round cutter that makes a cove of given width and depth, exact on a sphere.

    With a = R − depth the circle through the bottom (a, 0) and the edges (R·cos δ, ±R·sin δ) has
    the radius (R² + a² − 2Ra·cos δ) / (2(R·cos δ − a)). Args: diameter, width (arc), depth, mm;
    depth more than the sphere's own rise between the edges (there the cut is flat) and no more
    than rise and half the straight width (there the cove is a half round). Returns mm. Source:
    elementary geometry, derived on the page.

    Raises:
        ValueError: a value is out of range, the cut too shallow to be a cove or too deep for one.

    >>> cove_radius_mm(60, 6, 2)
    3.349
    """
    half = half_angle_rad(diameter_mm, width_mm)
    _below_radius(diameter_mm, depth_mm)
    rise, reach = _rise_mm(diameter_mm, half), diameter_mm / 2 * math.sin(half)
    if depth_mm <= rise:
        raise ValueError(
            f"{depth_mm:g} mm deep is no cove: between edges {width_mm:g} mm apart the sphere "
            f"itself rises {rise:.3g} mm; cut deeper or narrower"
        )
    below = depth_mm - rise
    if below > reach + _SLACK_MM:
        raise ValueError(
            f"a cove {width_mm:g} mm wide can be {rise + reach:.4g} mm deep at most, not "
            f"{depth_mm:g} mm: deeper its walls lean over; cut it wider or shallower"
        )
    return (reach * reach + below * below) / (2 * below)


def flat_cove_radius_mm(width_mm: float, depth_mm: float) -> float:
    """The same by the shortcut that takes the wood as flat: (w²/4 + d²)/(2d), mm.

    Args: width and depth, mm, more than 0. Comes out small on a sphere but for almost half-round
    coves: 3.25 instead of 3.35 mm for 6 by 2 mm on 60 mm. Source: circle through three points; the
    shortcut is common practice.

    Raises:
        ValueError: a value is out of range.

    >>> flat_cove_radius_mm(6, 2)
    3.25
    """
    positive(width_mm, "the groove's width")
    positive(depth_mm, "the groove's depth")
    return (width_mm * width_mm / 4 + depth_mm * depth_mm) / (2 * depth_mm)


def cove_depth_mm(diameter_mm: float, cutter_radius_mm: float, width_mm: float) -> float:
    """Depth at which a round cutter makes a cove of given width, exact on a sphere.

    The sphere's rise between the edges and the cutter's own: R(1 − cos δ) + r − √(r² − R²sin²δ).
    Args: diameter, cutter's radius, width (arc), mm; the straight width no more than twice the
    cutter's radius. Returns mm. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, the cutter narrower than the groove, or the groove
            would reach the sphere's middle.

    >>> cove_depth_mm(60, 3.25, 6)
    2.138
    """
    half = half_angle_rad(diameter_mm, width_mm)
    positive(cutter_radius_mm, "the cutter's radius")
    reach = diameter_mm / 2 * math.sin(half)
    if reach > cutter_radius_mm + _SLACK_MM:
        raise ValueError(
            f"a cutter of {cutter_radius_mm:g} mm radius cuts {2 * cutter_radius_mm:g} mm wide at "
            f"most; the groove is {2 * reach:.4g} mm straight across: take a larger cutter"
        )
    depth = _cove_drop_mm(diameter_mm, cutter_radius_mm, half)
    _below_radius(diameter_mm, depth)
    return depth


def _cove_drop_mm(diameter_mm: float, cutter_radius_mm: float, half_rad: float) -> float:
    """How far below the sphere a round cutter goes that is as wide as the groove, or wider."""
    reach = diameter_mm / 2 * math.sin(half_rad)
    root = math.sqrt(max(0.0, cutter_radius_mm**2 - reach * reach))  # below 0 by slack only
    return _rise_mm(diameter_mm, half_rad) + reach * reach / (cutter_radius_mm + root)


def deepest_cove_mm(diameter_mm: float, cutter_radius_mm: float) -> float:
    """Deepest cove of a round cutter: there its walls stand upright, r + R − √(R² − r²), mm.

    Args: diameter and cutter's radius, mm, more than 0; the radius below R/√2, or the cut would
    reach the sphere's middle first. Source: elementary geometry; that walls do not lean over is
    the definition of a cove here.

    Raises:
        ValueError: a value is out of range.

    >>> deepest_cove_mm(60, 3)
    3.150
    """
    radius = positive(diameter_mm, "the sphere's diameter") / 2
    if positive(cutter_radius_mm, "the cutter's radius") >= radius * math.sqrt(0.5):
        raise ValueError(
            f"a cutter of {cutter_radius_mm:g} mm radius reaches the middle of a "
            f"{diameter_mm:g} mm sphere before its walls stand upright; take one below "
            f"{radius * math.sqrt(0.5):.4g} mm"
        )
    return cutter_radius_mm + radius - math.sqrt(radius * radius - cutter_radius_mm**2)


def cutter_width_mm(diameter_mm: float, cutter_radius_mm: float) -> float:
    """Width along the sphere of the widest cove of a round cutter: D·asin(2r/D), mm.

    Args: diameter, cutter's radius, mm, more than 0; a cutter wider than the sphere is cut off at a
    half turn. Source: elementary trigonometry, the inverse of :func:`width_chord_mm`.

    Raises:
        ValueError: a value is out of range.

    >>> cutter_width_mm(60, 3)
    6.010
    """
    positive(diameter_mm, "the sphere's diameter")
    chord = 2 * positive(cutter_radius_mm, "the cutter's radius")
    return diameter_mm * math.asin(min(1.0, chord / diameter_mm))


def narrowest_cutter_mm(diameter_mm: float, depth_mm: float) -> float:
    """Radius of the narrowest round cutter that makes a cove of a depth: its walls stand upright.

    With m = R − d: (√(2R² − m²) − m)/2, the inverse of :func:`deepest_cove_mm`. Args: diameter,
    depth, mm, the depth less than the radius. Returns mm. Source: elementary geometry, the
    quadratic solved.

    Raises:
        ValueError: a value is out of range.

    >>> narrowest_cutter_mm(60, 3.15)
    3.000
    """
    _below_radius(diameter_mm, positive(depth_mm, "the groove's depth"))
    radius = positive(diameter_mm, "the sphere's diameter") / 2
    bottom = radius - depth_mm
    return (math.sqrt(2 * radius * radius - bottom * bottom) - bottom) / 2


def cove_width_mm(diameter_mm: float, cutter_radius_mm: float, depth_mm: float) -> float:
    """Width (arc on the sphere) that a round cutter makes at a given depth, exact.

    With c = R − d + r, the cutter's middle from the axis: sin²(δ/2) = d(2r − d)/(4Rc), width δD.
    Args: diameter, cutter's radius, depth, mm; depth up to :func:`deepest_cove_mm`, with a cutter
    too large for that below the sphere's radius. Returns mm. Source: law of cosines.

    Raises:
        ValueError: a value is out of range, or so deep that the walls would lean over.

    >>> cove_width_mm(60, 3.25, 2)
    5.881
    """
    positive(diameter_mm, "the sphere's diameter")
    positive(cutter_radius_mm, "the cutter's radius")
    _below_radius(diameter_mm, depth_mm)
    narrow = cutter_radius_mm < diameter_mm / 2 * math.sqrt(0.5)
    if (
        narrow
        and depth_mm > (deepest := deepest_cove_mm(diameter_mm, cutter_radius_mm)) + _SLACK_MM
    ):
        raise ValueError(
            f"a cutter of {cutter_radius_mm:g} mm radius makes a cove {deepest:.4g} mm deep at "
            f"most, not {depth_mm:g} mm: deeper its walls lean over"
        )
    middle = diameter_mm / 2 - depth_mm + cutter_radius_mm
    squared = depth_mm * (2 * cutter_radius_mm - depth_mm) / (2 * diameter_mm * middle)
    return 2 * math.asin(math.sqrt(squared)) * diameter_mm


def _vee_angle(angle_deg: float) -> float:
    if not SHARPEST_VEE_DEG <= angle_deg <= BLUNTEST_VEE_DEG:
        raise ValueError(
            f"the included angle of a V must be from {SHARPEST_VEE_DEG:g}° to "
            f"{BLUNTEST_VEE_DEG:g}°, not {angle_deg:g}°"
        )
    return math.radians(angle_deg) / 2


def vee_angle_deg(diameter_mm: float, width_mm: float, depth_mm: float) -> float:
    """Angle included in a V of given width and depth: 2·atan(R·sin δ / (depth − rise)), degrees.

    Args: diameter, width (arc), depth, mm; the angle from 10° to 170°. Source: elementary
    trigonometry.

    Raises:
        ValueError: a value is out of range, the cut too shallow for a V or the V too sharp.

    >>> vee_angle_deg(60, 6, 2)
    116.59
    """
    half = half_angle_rad(diameter_mm, width_mm)
    _below_radius(diameter_mm, depth_mm)
    below = depth_mm - _rise_mm(diameter_mm, half)
    angle = 2 * math.degrees(math.atan2(diameter_mm / 2 * math.sin(half), below))
    _vee_angle(angle)
    return angle


def vee_depth_mm(diameter_mm: float, angle_deg: float, width_mm: float) -> float:
    """Depth of a V of given angle and width: R(1 − cos δ) + R·sin δ/tan(angle/2), mm.

    Args: diameter, width (arc), mm; included angle, 10° to 170°. Source: elementary trigonometry.

    Raises:
        ValueError: a value is out of range, or the V would reach the sphere's middle.

    >>> vee_depth_mm(60, 90, 6)
    3.145
    """
    half = half_angle_rad(diameter_mm, width_mm)
    depth = _vee_drop_mm(diameter_mm, angle_deg, half)
    _below_radius(diameter_mm, depth)
    return depth


def _vee_drop_mm(diameter_mm: float, angle_deg: float, half_rad: float) -> float:
    """How far below the sphere the point of a V goes."""
    leaning = math.tan(_vee_angle(angle_deg))
    return _rise_mm(diameter_mm, half_rad) + diameter_mm / 2 * math.sin(half_rad) / leaning


def vee_width_mm(diameter_mm: float, angle_deg: float, depth_mm: float) -> float:
    """Width (arc on the sphere) of a V of given angle and depth, mm.

    The side runs from the bottom at a = R − d to the sphere, t = √(R² − a²sin²g) − a·cos g long
    with g half the angle; sin δ = t·sin g/R. Args: diameter, depth, mm; included angle, 10° to
    170°. Source: elementary trigonometry.

    Raises:
        ValueError: a value is out of range.

    >>> vee_width_mm(60, 90, 2)
    3.877
    """
    positive(diameter_mm, "the sphere's diameter")
    _below_radius(diameter_mm, depth_mm)
    half_vee, radius = _vee_angle(angle_deg), diameter_mm / 2
    bottom = radius - depth_mm
    side = math.sqrt(radius**2 - (bottom * math.sin(half_vee)) ** 2) - bottom * math.cos(half_vee)
    s, h = bottom + side * math.cos(half_vee), side * math.sin(half_vee)
    return math.atan2(h, s) * diameter_mm


def flared_width_mm(diameter_mm: float, width_mm: float, flare_mm: float) -> float:
    """Width of a groove with flared edges: width and a flare to each side, arcs on the sphere, mm.

    Lands, merging and the seat follow from this width. Args: diameter, width, flare, mm, more
    than 0. Source: arithmetic.

    Raises:
        ValueError: a value is out of range, or together they are half the sphere or more.

    >>> flared_width_mm(60, 6, 0.5)
    7.0
    """
    flared = width_mm + 2 * positive(flare_mm, "the flare's width")
    positive(width_mm, "the groove's width")
    half_angle_rad(diameter_mm, flared)
    return flared


def roundover_radius_mm(
    diameter_mm: float, cutter_radius_mm: float, width_mm: float, flare_mm: float
) -> float:
    """Radius that rounds a cove's edge over smoothly into the land, over a given flare.

    The round touches the sphere from within at γ = (w/2 + flare)/R and the cove's circle from
    without: (R² + c² − r² − 2Rc·cos γ) / (2(R + r − c·cos γ)), c the cutter's middle from the
    axis. Args: diameter, cutter's radius, the cove's own width, flare to each side (arcs), mm.
    Returns mm. Source: elementary geometry (circles that touch), derived on the page.

    Raises:
        ValueError: a value is out of range, or so wide a round would take the cove away.

    >>> roundover_radius_mm(60, 3.349, 6, 0.5)
    0.766
    """
    return _roundover(diameter_mm, cutter_radius_mm, width_mm, flare_mm)[0]


def _roundover(
    diameter_mm: float, cutter_radius_mm: float, width_mm: float, flare_mm: float
) -> tuple[float, Arc, float]:
    """Radius of the round, the round itself, and where on the cove's circle it begins."""
    cove_depth_mm(diameter_mm, cutter_radius_mm, width_mm)
    gamma = flared_width_mm(diameter_mm, width_mm, flare_mm) / diameter_mm
    if not _rounds_over(diameter_mm, cutter_radius_mm, width_mm, gamma):
        raise ValueError(f"a flare of {flare_mm:g} mm takes away a cove of {width_mm:g} mm")
    rounding, middle = _rounding_mm(diameter_mm, cutter_radius_mm, width_mm, gamma)
    out = diameter_mm / 2 - rounding
    s, h = out * math.cos(gamma), out * math.sin(gamma)
    start = math.atan2(-h, middle - s)  # from the round's middle towards the cutter's
    # the way from the cutter's side of the round to the land goes through the groove's side
    return rounding, Arc((s, h), rounding, start, gamma), math.atan2(h, s - middle)


def _cutter_middle_mm(diameter_mm: float, cutter_radius_mm: float, width_mm: float) -> float:
    """From the sphere's centre to the middle of the cutter's nose."""
    deep = _cove_drop_mm(diameter_mm, cutter_radius_mm, width_mm / diameter_mm)
    return diameter_mm / 2 - deep + cutter_radius_mm


def _rounding_mm(
    diameter_mm: float, cutter_radius_mm: float, width_mm: float, gamma_rad: float
) -> tuple[float, float]:
    """Radius that rounds a cove's edge over, and the cutter's middle from the sphere's centre."""
    radius = diameter_mm / 2
    middle = _cutter_middle_mm(diameter_mm, cutter_radius_mm, width_mm)
    along = middle * math.cos(gamma_rad)
    top = radius**2 + middle**2 - cutter_radius_mm**2 - 2 * radius * along
    return top / (2 * (radius + cutter_radius_mm - along)), middle


def _rounds_over(
    diameter_mm: float, cutter_radius_mm: float, width_mm: float, gamma_rad: float
) -> bool:
    """Whether a round between cove and land leaves something of the cove."""
    rounding, middle = _rounding_mm(diameter_mm, cutter_radius_mm, width_mm, gamma_rad)
    out = diameter_mm / 2 - rounding
    return out > 0 and out * math.sin(gamma_rad) > 0 and out * math.cos(gamma_rad) < middle


def chamfer_depth_mm(
    diameter_mm: float,
    cutter_radius_mm: float,
    width_mm: float,
    flare_mm: float,
    chamfer_deg: float = CHAMFER_DEG,
) -> float:
    """How deep a chamfer goes down a cove's side, below the sphere, mm.

    A straight cut from the sphere, one flare beyond the cove's edge, at an angle to the surface
    there, to where it meets the cove's circle. Args: diameter, cutter's radius, the cove's own
    width, flare to each side (arcs), mm; angle to the surface, above 0° to below 90°. Source:
    elementary geometry (line and circle).

    Raises:
        ValueError: a value is out of range, or the chamfer runs in under the cove's side, or
            is so flat that it cuts deepest in its own middle.

    >>> chamfer_depth_mm(60, 3.349, 6, 0.3)
    0.573
    """
    s, h = _chamfer_end(diameter_mm, cutter_radius_mm, width_mm, flare_mm, chamfer_deg)
    return diameter_mm / 2 - math.hypot(s, h)


def _chamfer_end(
    diameter_mm: float,
    cutter_radius_mm: float,
    width_mm: float,
    flare_mm: float,
    chamfer_deg: float,
) -> tuple[float, float]:
    cove_depth_mm(diameter_mm, cutter_radius_mm, width_mm)
    gamma = flared_width_mm(diameter_mm, width_mm, flare_mm) / diameter_mm
    if not 0 < chamfer_deg < 90:
        raise ValueError(f"a chamfer lies above 0° and below 90°, not at {chamfer_deg:g}°")
    tilted = gamma - math.radians(chamfer_deg)
    s, h = _chamfer_meets(diameter_mm, cutter_radius_mm, width_mm, gamma, tilted)
    if h <= 0:
        raise ValueError(
            f"a chamfer of {flare_mm:g} mm at {chamfer_deg:g}° runs in under the side of a cove of "
            f"{width_mm:g} mm"
        )
    if _dips(s, h, tilted):
        raise ValueError(
            f"a chamfer of {flare_mm:g} mm at {chamfer_deg:g}° is so flat on a {diameter_mm:g} mm "
            "sphere that it cuts deepest in its own middle"
        )
    return s, h


def _chamfer_meets(
    diameter_mm: float,
    cutter_radius_mm: float,
    width_mm: float,
    gamma_rad: float,
    tilted_rad: float,
) -> tuple[float, float]:
    """Where a straight cut from the land meets the cove's circle; h is 0 where it does not."""
    radius = diameter_mm / 2
    middle = _cutter_middle_mm(diameter_mm, cutter_radius_mm, width_mm)
    s, h = radius * math.cos(gamma_rad), radius * math.sin(gamma_rad)
    # along the surface towards the groove, tilted inwards by the chamfer's angle
    along, across = math.sin(tilted_rad), -math.cos(tilted_rad)
    half_b = along * (s - middle) + across * h
    root = half_b * half_b - (s - middle) ** 2 - h**2 + cutter_radius_mm**2
    if half_b >= 0 or root < 0:
        return s, 0.0
    way = -half_b - math.sqrt(root)
    return s + way * along, max(0.0, h + way * across)


def _dips(s: float, h: float, tilted_rad: float) -> bool:
    """Whether a straight cut is deepest before it ends.

    It lies nearest to the centre where it is square to a ray: at the angle by which it is tilted.
    """
    return math.atan2(h, s) < tilted_rad


def cut_fault(
    diameter_mm: float,
    cutter: float,
    width_mm: float,
    vee: bool,
    flare_mm: float,
    rounded: bool,
) -> str:
    """Why a cutter does not make a groove on a sphere: what the sections here refuse, as a word.

    ``half`` (as wide as half the sphere), ``narrow`` (the cutter is narrower than the groove),
    ``middle`` (it reaches the sphere's middle), ``flare`` (no such flared edge); nothing where it
    makes it. Args: diameter, mm, more than 0; the included angle of a V, degrees, else the radius
    of the cutter's nose, mm; width without flares and flare to each side (arcs), mm, 0 for none;
    whether a flare is rounded or chamfered at 45°. Source: as :func:`cove_depth_mm`,
    :func:`vee_depth_mm`, :func:`roundover_radius_mm` and :func:`chamfer_depth_mm`.

    Raises:
        ValueError: the angle of a V is outside 10° to 170°.

    >>> cut_fault(60, 60, 7, True, 0, False), cut_fault(12, 60, 7, True, 0, False)
    ('', 'middle')
    """
    half = width_mm / diameter_mm
    gamma = (width_mm + 2 * flare_mm) / diameter_mm
    if gamma >= math.pi / 2:
        return "half"
    if vee:
        return "middle" if _vee_drop_mm(diameter_mm, cutter, half) >= diameter_mm / 2 else ""
    if diameter_mm / 2 * math.sin(half) > cutter + _SLACK_MM:
        return "narrow"
    if _cove_drop_mm(diameter_mm, cutter, half) >= diameter_mm / 2:
        return "middle"
    if flare_mm == 0:
        return ""
    if rounded:
        return "" if _rounds_over(diameter_mm, cutter, width_mm, gamma) else "flare"
    tilted = gamma - math.radians(CHAMFER_DEG)
    s, h = _chamfer_meets(diameter_mm, cutter, width_mm, gamma, tilted)
    return "flare" if h <= 0 or _dips(s, h, tilted) else ""


def cove_section(diameter_mm: float, cutter_radius_mm: float, width_mm: float) -> Section:
    """The cove that a round cutter makes at a given width.

    Args: diameter, cutter's radius, width (arc), mm, as :func:`cove_depth_mm` takes them. Source:
    the same.

    Raises:
        ValueError: a value is out of range.

    >>> cove_section(60, 3.349, 6).depth_mm
    2.000
    """
    depth = cove_depth_mm(diameter_mm, cutter_radius_mm, width_mm)
    half, middle = width_mm / diameter_mm, diameter_mm / 2 - depth + cutter_radius_mm
    edge = math.atan2(
        diameter_mm / 2 * math.sin(half), min(0.0, diameter_mm / 2 * math.cos(half) - middle)
    )
    cove = Arc((middle, 0.0), cutter_radius_mm, math.pi, edge)
    return Section(SectionKind.COVE, diameter_mm, width_mm, depth, (cove,))


def vee_section(diameter_mm: float, angle_deg: float, width_mm: float) -> Section:
    """The V that a pointed cutter makes at a given width.

    Args: diameter, width (arc), mm; included angle, 10° to 170°. Source: elementary trigonometry.

    Raises:
        ValueError: a value is out of range.

    >>> vee_section(60, 90, 6).depth_mm
    3.145
    """
    depth = vee_depth_mm(diameter_mm, angle_deg, width_mm)
    half, radius = width_mm / diameter_mm, diameter_mm / 2
    side = Line((radius - depth, 0.0), (radius * math.cos(half), radius * math.sin(half)))
    return Section(SectionKind.VEE, diameter_mm, width_mm, depth, (side,))


def chamfered_section(
    diameter_mm: float,
    cutter_radius_mm: float,
    width_mm: float,
    flare_mm: float,
    chamfer_deg: float = CHAMFER_DEG,
) -> Section:
    """A cove whose edges are chamfered.

    Args: as :func:`chamfer_depth_mm` takes them. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, or the chamfer runs in under the cove's side, or
            is so flat that it cuts deepest in its own middle.

    >>> chamfered_section(60, 3.349, 6, 0.3).width_mm
    6.6
    """
    depth = cove_depth_mm(diameter_mm, cutter_radius_mm, width_mm)
    flared = flared_width_mm(diameter_mm, width_mm, flare_mm)
    meet = _chamfer_end(diameter_mm, cutter_radius_mm, width_mm, flare_mm, chamfer_deg)
    gamma, radius = flared / diameter_mm, diameter_mm / 2
    middle = radius - depth + cutter_radius_mm
    edge = math.atan2(meet[1], meet[0] - middle)
    cove = Arc((middle, 0.0), cutter_radius_mm, math.pi, edge)
    chamfer = Line(meet, (radius * math.cos(gamma), radius * math.sin(gamma)))
    return Section(SectionKind.CHAMFERED_COVE, diameter_mm, flared, depth, (cove, chamfer))


def rounded_section(
    diameter_mm: float, cutter_radius_mm: float, width_mm: float, flare_mm: float
) -> Section:
    """A cove whose edges are rounded over smoothly into the lands.

    Args: as :func:`roundover_radius_mm` takes them. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, or the round would take the cove away.

    >>> rounded_section(60, 3.349, 6, 0.5).width_mm
    7.0
    """
    depth = cove_depth_mm(diameter_mm, cutter_radius_mm, width_mm)
    _, round_over, edge = _roundover(diameter_mm, cutter_radius_mm, width_mm, flare_mm)
    middle = diameter_mm / 2 - depth + cutter_radius_mm
    cove = Arc((middle, 0.0), cutter_radius_mm, math.pi, edge)
    flared = flared_width_mm(diameter_mm, width_mm, flare_mm)
    return Section(SectionKind.ROUNDED_COVE, diameter_mm, flared, depth, (cove, round_over))


def surface_radius_mm(section: Section, angle_rad: float) -> float:
    """From the sphere's centre to the wood, in a direction at an angle to the groove's plane, mm.

    The first piece of the section that the direction meets, or the sphere beyond the edges. Where
    walls lean over as seen from the centre this is their inner side. Args: section; angle, 0 to
    π/2 radians. Source: elementary geometry (ray with line and circle).

    Raises:
        ValueError: the angle is outside 0 to π/2.

    >>> surface_radius_mm(cove_section(60, 3.349, 6), 0.0)
    28.000
    """
    if not 0 <= angle_rad <= math.pi / 2:
        raise ValueError(f"the angle must be from 0 to {math.pi / 2:.4f} radians, not {angle_rad}")
    cos, sin = math.cos(angle_rad), math.sin(angle_rad)
    nearest = section.diameter_mm / 2
    for piece in section.pieces:
        met = _met_line(piece, cos, sin) if isinstance(piece, Line) else _met_arc(piece, cos, sin)
        nearest = min([nearest, *met])
    return nearest


_ON_PIECE = 1e-9
"""How far beyond its ends a ray still meets a piece, as a part of it (ours): binary decimals."""


def _met_line(line: Line, cos: float, sin: float) -> list[float]:
    (s0, h0), (s1, h1) = line.start, line.end
    across0, across1 = h0 * cos - s0 * sin, h1 * cos - s1 * sin
    if across0 == across1:
        return []
    part = across0 / (across0 - across1)
    if not -_ON_PIECE <= part <= 1 + _ON_PIECE:
        return []
    return [(s0 + part * (s1 - s0)) * cos + (h0 + part * (h1 - h0)) * sin]


def _met_arc(arc: Arc, cos: float, sin: float) -> list[float]:
    s, h = arc.centre
    along, across = s * cos + h * sin, h * cos - s * sin
    root = arc.radius_mm**2 - across * across
    if root < 0:
        return []
    low, high = sorted((arc.start_rad, arc.end_rad))
    met = []
    for far in (along - math.sqrt(root), along + math.sqrt(root)):
        at = math.atan2(far * sin - h, far * cos - s)
        if low - _ON_PIECE <= at <= high + _ON_PIECE:
            met.append(far)
    return met


def cut_half_width_mm(section: Section, distance_mm: float) -> float:
    """Half the straight width of a cut at a distance from the sphere's centre, mm.

    Along a section, from the bottom to the edge, the distance from the sphere's centre only grows;
    so at one distance everything nearer to the groove's plane than this is cut away, and nothing
    else. 0 up to the bottom, half the width of the mouth from the sphere on. Args: section;
    distance, mm, 0 or more. Source: elementary geometry (circles that meet, and circle and line).

    Raises:
        ValueError: the distance is out of range.

    >>> cut_half_width_mm(cove_section(60, 3.349, 6), 28), cut_half_width_mm(
    ...     cove_section(60, 3.349, 6), 30)
    (0.0, 2.995)
    """
    not_negative(distance_mm, "the distance from the sphere's centre")
    radius = section.diameter_mm / 2
    if distance_mm <= section.core_radius_mm:
        return 0.0
    if distance_mm >= radius * (1 - _ON_PIECE):
        return radius * math.sin(section.half_angle_rad)
    for piece in section.pieces:
        if isinstance(piece, Line):
            (s0, h0), (s1, h1) = piece.start, piece.end
            ds, dh = s1 - s0, h1 - h0
            squared, along = ds * ds + dh * dh, s0 * ds + h0 * dh
            if distance_mm <= math.hypot(s1, h1):
                start = s0 * s0 + h0 * h0 - distance_mm**2
                root = math.sqrt(max(0.0, along * along - squared * start))
                return h0 + (root - along) / squared * dh
        else:
            (s0, h0), nose = piece.centre, piece.radius_mm
            s1, h1 = s0 + nose * math.cos(piece.end_rad), h0 + nose * math.sin(piece.end_rad)
            if distance_mm <= math.hypot(s1, h1):
                far = math.hypot(s0, h0)
                cosine = (distance_mm**2 + far * far - nose * nose) / (2 * distance_mm * far)
                aside = math.acos(max(-1.0, min(1.0, cosine)))
                # a cove's wood lies beyond its circle, a round-over's within
                way = aside if piece.end_rad < piece.start_rad else -aside
                return distance_mm * math.sin(math.atan2(h0, s0) + way)
    return radius * math.sin(section.half_angle_rad)


def snap_cove(
    diameter_mm: float,
    width_mm: float,
    depth_mm: float,
    owned: Sequence[Cutter],
    keep: Keep = Keep.WIDTH,
) -> SnappedCove:
    """The owned cutter that comes closest to a wished cove, and what it makes of it.

    Width or depth is kept; the cutter is taken whose other measure changes least, the one given
    first at a tie. With the depth kept the width is but a wish: too narrow to be a cove of that
    depth, it still tells which cutter comes nearest. Args: diameter, wished width (arc), wished
    depth, mm; cutters. Source: :func:`cove_depth_mm` and :func:`cove_width_mm`; that a cutter is
    plunged is our own choice.

    Raises:
        ValueError: a value is out of range, the wish is no cove, or no owned cutter can make it.

    >>> snapped = snap_cove(60, 6, 2, [Cutter("6 mm", 3), Cutter("7 mm", 3.5)])
    >>> snapped.cutter.label, snapped.width_mm, snapped.depth_mm
    ('7 mm', 6, 1.839)
    """
    wished: float | None = None
    try:
        wished = cove_radius_mm(diameter_mm, width_mm, depth_mm)
    except ValueError:
        if keep is Keep.WIDTH:
            raise
    best: SnappedCove | None = None
    for cutter in owned:
        try:
            width, depth = width_mm, depth_mm
            if keep is Keep.WIDTH:
                depth = cove_depth_mm(diameter_mm, cutter.radius_mm, width_mm)
            else:
                width = cove_width_mm(diameter_mm, cutter.radius_mm, depth_mm)
        except ValueError:  # this one cannot; another may
            continue
        made = SnappedCove(cutter, width_mm, depth_mm, wished, width, depth)
        if best is None or _change(made) < _change(best):
            best = made
    if best is None:
        have = _have((2 * c.radius_mm for c in owned), " mm")
        if wished is None:
            least = 2 * narrowest_cutter_mm(diameter_mm, depth_mm)
            raise ValueError(
                f"no cutter here makes a cove {depth_mm:g} mm deep: it takes one at least "
                f"{math.ceil(least * 10) / 10:.1f} mm wide{have}"
            )
        raise ValueError(
            f"no cutter here makes a cove {width_mm:g} mm wide or {depth_mm:g} mm deep; it takes "
            f"one about {2 * wished:.1f} mm wide{have}"
        )
    return best


def snap_vee(
    diameter_mm: float,
    width_mm: float,
    depth_mm: float,
    owned: Sequence[VeeCutter],
    keep: Keep = Keep.WIDTH,
) -> SnappedVee:
    """The owned pointed cutter that comes closest to a wished V, and what it makes of it.

    Width or depth is kept; the cutter is taken whose other measure changes least, the one given
    first at a tie; with the depth kept the width is but a wish, as for :func:`snap_cove`. Args:
    diameter, wished width (arc), wished depth, mm; cutters. Source: :func:`vee_depth_mm` and
    :func:`vee_width_mm`.

    Raises:
        ValueError: a value is out of range, the wish is no V, or no owned cutter can make it.

    >>> snapped = snap_vee(60, 6, 2, [VeeCutter("90", 90), VeeCutter("120", 120)])
    >>> snapped.cutter.label, snapped.depth_mm
    ('120', 1.879)
    """
    wished: float | None = None
    try:
        wished = vee_angle_deg(diameter_mm, width_mm, depth_mm)
    except ValueError:
        if keep is Keep.WIDTH:
            raise
    best: SnappedVee | None = None
    for cutter in owned:
        try:
            width, depth = width_mm, depth_mm
            if keep is Keep.WIDTH:
                depth = vee_depth_mm(diameter_mm, cutter.angle_deg, width_mm)
            else:
                width = vee_width_mm(diameter_mm, cutter.angle_deg, depth_mm)
        except ValueError:  # this one cannot; another may
            continue
        made = SnappedVee(cutter, width_mm, depth_mm, wished, width, depth)
        if best is None or _change(made) < _change(best):
            best = made
    if best is None:
        raise ValueError(
            f"no cutter here makes a V {width_mm:g} mm wide or {depth_mm:g} mm deep"
            f"{f'; it takes one of about {wished:.0f}°' if wished is not None else ''}"
            f"{_have((c.angle_deg for c in owned), '°')}"
        )
    return best


def _change(made: SnappedCove | SnappedVee) -> float:
    return abs(made.width_mm - made.wished_width_mm) + abs(made.depth_mm - made.wished_depth_mm)


def _have(sizes: Iterable[float], unit: str) -> str:
    listed = ", ".join(f"{size:g}{unit}" for size in sizes)
    return f"; owned: {listed}" if listed else ", and none is owned"
