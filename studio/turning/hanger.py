"""A hanger of twisted wire: how thick the bundle comes out and how much wire it eats.

Strands lie as equal round wires side by side on a ring, each touching the next. Twisting tilts
them; a tilted wire is wider across the ring, so three and more strands push each other outwards.
Two do not: they cross the middle at the same height and stay two diameters wide.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio.turning.ranges import not_negative, positive, whole

MOST_STRANDS = 7
"""Six round one is the last bundle that fills its circle so plainly (count)."""

MOST_ON_RING = 6
"""Seven strands are six on the ring and one in the middle. Six stay on the ring: with five round
one the bundle is as thick when straight and never thicker when twisted, so a hole for the ring
takes both."""

STEEPEST_LAY_DEG = 45.0
"""Largest angle between strand and cable, degrees. Past it two strands no longer meet across the
middle (elementary geometry) and the bundle opens into a spring; for three and more strands the
same limit is ours."""


LEAST_DEPTH = 4.0
"""Least depth of a hanger's hole, in bundle diameters. Ours, no source."""


@dataclass(frozen=True, slots=True)
class Bundle:
    """A bundle of equal wires.

    Attributes:
        strands: wires in the bundle.
        wire_diameter_mm: diameter of one wire, mm.
        pitch_mm: length of cable to one whole turn, mm; None for a straight bundle.
        helix_radius_mm: from the cable's axis to the middle of a wire on the ring, mm; 0 for one.
        diameter_mm: the circle the bundle fits, mm.
        lay_angle_deg: angle between a wire on the ring and the cable, degrees.
        takeup: length of a wire on the ring per length of cable (no unit), 1 when straight.
    """

    strands: int
    wire_diameter_mm: float
    pitch_mm: float | None
    helix_radius_mm: float
    diameter_mm: float
    lay_angle_deg: float
    takeup: float


@dataclass(frozen=True, slots=True)
class WireCut:
    """The wires of a hanger with a loop.

    Attributes:
        folded: wires folded at the mandrel; each gives the loop and two strands.
        folded_mm: length of each.
        single: wires that are not folded, 0 or 1; each gives one strand.
        single_mm: length of each.
    """

    folded: int
    folded_mm: float
    single: int
    single_mm: float

    @property
    def wires(self) -> int:
        """How many wires to cut."""
        return self.folded + self.single

    @property
    def total_mm(self) -> float:
        """All wire together."""
        return self.folded * self.folded_mm + self.single * self.single_mm


def _on_ring(strands: int) -> int:
    return min(strands, MOST_ON_RING)


def straight_radius_mm(strands: int, wire_diameter_mm: float) -> float:
    """From the axis of a straight bundle to the middles of its outer wires.

    Neighbours on the ring touch: half a diameter over sin(180°/k); 0 for one strand. Args:
    strands, 1 to 7; wire diameter, mm, more than 0. Returns mm. Source: elementary trigonometry.

    Raises:
        ValueError: a value is out of range.

    >>> straight_radius_mm(2, 0.5), straight_radius_mm(7, 0.5)
    (0.25, 0.5)
    """
    whole(strands, "the count of strands", 1, MOST_STRANDS)
    positive(wire_diameter_mm, "the wire's diameter")
    if strands == 1:
        return 0.0
    return wire_diameter_mm / 2 / math.sin(math.pi / _on_ring(strands))


def straight_bundle(strands: int, wire_diameter_mm: float) -> Bundle:
    """The bundle before twisting: the smallest circle round ``strands`` equal circles.

    Wire diameter times 1, 2, 2.1547, 2.4142, 2.7013, 3, 3 for one to seven. Args: strands, 1 to
    7; wire diameter, mm, more than 0. Source: elementary trigonometry; the values of the
    circle-packing tables.

    Raises:
        ValueError: a value is out of range.

    >>> straight_bundle(4, 0.6438).diameter_mm
    1.554
    """
    radius = straight_radius_mm(strands, wire_diameter_mm)
    return Bundle(strands, wire_diameter_mm, None, radius, 2 * radius + wire_diameter_mm, 0.0, 1.0)


def neighbour_gap_mm(helix_radius_mm: float, pitch_mm: float, strands_on_ring: int) -> float:
    """Shortest distance between the middle lines of neighbouring wires on the ring.

    Seen from a point on one wire, a point of the next stands the angle φ round the axis and the
    pitch times (φ/360° − 1/k) along it; the shortest such distance. Args: radius and pitch, mm,
    more than 0; wires on the ring, 2 to 6. Returns mm. Source: elementary geometry of the helix.

    Raises:
        ValueError: a value is out of range.

    >>> neighbour_gap_mm(0.48735, 6, 4)
    0.6438
    """
    positive(helix_radius_mm, "the helix radius")
    positive(pitch_mm, "the pitch")
    whole(strands_on_ring, "the count of strands on the ring", 2, MOST_ON_RING)
    rise = pitch_mm / (2 * math.pi)
    apart = 2 * math.pi / strands_on_ring

    def slope(angle: float) -> float:
        # half the derivative of the squared distance; concave from 0 to 180°, below zero at 0
        return helix_radius_mm**2 * math.sin(angle) + rise**2 * (angle - apart)

    low, high = 0.0, apart
    if strands_on_ring == 2:
        if helix_radius_mm <= rise:
            return 2 * helix_radius_mm
        # straight across is no longer the shortest: the slope peaks before 180° and is zero twice
        high = math.acos(-((rise / helix_radius_mm) ** 2))
    for _ in range(200):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if slope(middle) < 0:
            low = middle
        else:
            high = middle
    return math.hypot(2 * helix_radius_mm * math.sin(high / 2), rise * (high - apart))


def tightest_pitch_mm(strands: int, wire_diameter_mm: float) -> float:
    """Shortest pitch for which the bundle can be computed: the one with a lay of 45°.

    There the helix radius equals the pitch over 2π, so the pitch is a fixed multiple of the wire
    diameter: π for two strands. Args: strands, 2 to 7; wire diameter, mm, more than 0. Returns
    mm. Source: elementary geometry of the helix.

    Raises:
        ValueError: a value is out of range.

    >>> tightest_pitch_mm(2, 1.0)
    3.14159
    """
    whole(strands, "the count of twisted strands", 2, MOST_STRANDS)
    positive(wire_diameter_mm, "the wire's diameter")
    return wire_diameter_mm * 2 * math.pi / neighbour_gap_mm(1.0, 2 * math.pi, _on_ring(strands))


def twisted_bundle(strands: int, wire_diameter_mm: float, pitch_mm: float) -> Bundle:
    """The bundle after twisting, from the helix radius at which neighbouring wires just touch.

    The gap between neighbours grows with the radius, so that radius is found by halving the span
    between the straight bundle's and the one of a 45° lay. Bundle: twice the radius plus a
    diameter. Take-up: √(1 + (2π·radius/pitch)²). Up to six strands lie on the ring; the seventh
    lies straight in the middle, a little loose. Args: strands, 2 to 7; wire diameter, mm, more
    than 0; pitch, mm, :func:`tightest_pitch_mm` or more. Source: elementary geometry of the
    helix. The wire is taken as stiff in section: pulled hard, soft brass beds in a little.

    Raises:
        ValueError: a value is out of range, or the pitch is too tight.

    >>> bundle = twisted_bundle(4, 0.6438, 6)
    >>> bundle.diameter_mm, bundle.takeup
    (1.618, 1.1227)
    """
    positive(pitch_mm, "the pitch")
    tightest = tightest_pitch_mm(strands, wire_diameter_mm)
    if pitch_mm < tightest:
        # rounded up, so that the pitch named is one that works
        works = math.ceil(tightest * 100) / 100
        raise ValueError(
            f"a pitch of {pitch_mm:g} mm is too tight for {strands} strands of "
            f"{wire_diameter_mm:g} mm wire: the bundle would open into a spring; "
            f"twist to {works:g} mm or more"
        )
    low, high = straight_radius_mm(strands, wire_diameter_mm), pitch_mm / (2 * math.pi)
    on_ring = _on_ring(strands)
    if neighbour_gap_mm(low, pitch_mm, on_ring) >= wire_diameter_mm:
        high = low
    while low < (middle := (low + high) / 2) < high:
        if neighbour_gap_mm(middle, pitch_mm, on_ring) < wire_diameter_mm:
            low = middle
        else:
            high = middle
    rise = 2 * math.pi * high / pitch_mm
    return Bundle(
        strands,
        wire_diameter_mm,
        pitch_mm,
        high,
        2 * high + wire_diameter_mm,
        math.degrees(math.atan(rise)),
        math.hypot(1.0, rise),
    )


def turns(cable_length_mm: float, pitch_mm: float) -> float:
    """Whole and part turns to twist into a length of cable: length over pitch.

    Args: length of finished cable, mm, 0 or more; pitch, mm, more than 0. Source: the pitch's
    own definition.

    Raises:
        ValueError: a value is out of range.

    >>> turns(30, 6)
    5.0
    """
    return not_negative(cable_length_mm, "the cable's length") / positive(pitch_mm, "the pitch")


def least_hole_depth_mm(bundle_mm: float) -> float:
    """How deep a hole must be at least for glue to hold a bundle: four bundle diameters.

    A rule of shape, not a strength: what a glued hanger bears depends on wire, glue and wood, and
    nobody can compute it from here. Pull hard on it before it hangs over anything. Args: the
    bundle's diameter, mm, more than 0. Returns mm. Source: ours, no source.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> least_hole_depth_mm(1.618)
    6.472
    """
    return LEAST_DEPTH * positive(bundle_mm, "the bundle's diameter")


def wires_to_cut(
    strands: int,
    *,
    mandrel_diameter_mm: float,
    wire_diameter_mm: float,
    cable_length_mm: float,
    takeup: float,
    clamped_mm: float,
) -> WireCut:
    """The wires of a hanger with a loop: how many, how long each, how long together.

    A wire folded at the mandrel gives the loop and two strands: k strands take k/2 of them, laid
    side by side round the mandrel. An odd strand is a wire of its own that begins under the loop:
    one leg, clamped at both its ends. Args: strands in the hole, 2 to 7; the others as
    :func:`wire_to_cut_mm` takes them. Source: elementary geometry; what is folded and what is not
    is the construction assumed here.

    Raises:
        ValueError: a value is out of range.

    >>> cut = wires_to_cut(5, mandrel_diameter_mm=6, wire_diameter_mm=0.6438, cable_length_mm=30,
    ...                    takeup=1.1227, clamped_mm=10)
    >>> cut.folded, cut.folded_mm, cut.single, cut.single_mm, cut.total_mm
    (2, 108.23, 1, 53.68, 270.15)
    """
    folded, single = divmod(whole(strands, "the count of strands", 2, MOST_STRANDS), 2)
    folded_mm = wire_to_cut_mm(
        mandrel_diameter_mm=mandrel_diameter_mm,
        wire_diameter_mm=wire_diameter_mm,
        cable_length_mm=cable_length_mm,
        takeup=takeup,
        clamped_mm=clamped_mm,
    )
    return WireCut(folded, folded_mm, single, cable_length_mm * takeup + 2 * clamped_mm)


def bent_wire_mm(
    *, mandrel_diameter_mm: float, wire_diameter_mm: float, straight_mm: float, clamped_mm: float
) -> float:
    """Length of the one wire of a hanger that is bent to a loop at its end and not twisted.

    One whole turn about the mandrel, measured along the wire's middle, the straight wire below it
    and what is held at the bend and cut off. Args: mandrel and wire diameter, mm, more than 0;
    straight wire from the mandrel's underside to the tip, the part in the hole included, mm, more
    than 0; length lost in the pliers, once, mm, 0 or more. Returns mm, to be rounded up. Source:
    elementary geometry; to count a whole turn for the loop is ours, on the long side.

    Raises:
        ValueError: a value is out of range.

    >>> bent_wire_mm(mandrel_diameter_mm=6, wire_diameter_mm=0.6438, straight_mm=27, clamped_mm=15)
    62.87
    """
    loop = math.pi * (
        positive(mandrel_diameter_mm, "the mandrel's diameter")
        + positive(wire_diameter_mm, "the wire's diameter")
    )
    straight = positive(straight_mm, "the straight wire's length")
    return loop + straight + not_negative(clamped_mm, "the length in the pliers")


def wire_to_cut_mm(
    *,
    mandrel_diameter_mm: float,
    wire_diameter_mm: float,
    cable_length_mm: float,
    takeup: float,
    clamped_mm: float,
) -> float:
    """Length of one wire that is bent round a mandrel and twisted with its own other end.

    The loop is counted as one whole turn about the mandrel, measured along the wire's middle: π
    times (mandrel + wire). Then two legs, each the cable's length times its take-up plus what the
    clamp holds. The cable's length runs from the mandrel's underside to the tip, the part in the
    hole included. There the legs do not meet yet: they leave the mandrel at a slant and meet
    further down. Counted from the mandrel they are never longer than a whole turn and straight legs
    (sec θ − 1 ≥ tan θ − θ, θ the slant), so the wire comes out long. One such wire gives two
    strands; :func:`wires_to_cut` counts them. Args: mandrel and wire diameter, mm, more than 0;
    cable length, mm, more than 0; take-up, 1 or more, from :class:`Bundle`; length lost in the
    clamp at each end, mm, 0 or more. Returns mm, to be rounded up. Source: elementary geometry; to
    count a whole turn for the loop is ours, on the long side.

    Raises:
        ValueError: a value is out of range.

    >>> wire_to_cut_mm(mandrel_diameter_mm=6, wire_diameter_mm=0.6438, cable_length_mm=30,
    ...                takeup=1.1227, clamped_mm=10)
    108.23
    """
    positive(mandrel_diameter_mm, "the mandrel's diameter")
    positive(wire_diameter_mm, "the wire's diameter")
    positive(cable_length_mm, "the cable's length")
    not_negative(clamped_mm, "the length in the clamp")
    if not (math.isfinite(takeup) and takeup >= 1):
        raise ValueError(f"the take-up must be 1 or more, not {takeup:g}")
    loop = math.pi * (mandrel_diameter_mm + wire_diameter_mm)
    return loop + 2 * (cable_length_mm * takeup + clamped_mm)
