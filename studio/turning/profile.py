"""A turned profile from named elements: its shape, joints, volume and surface.

Elements are given from the tailstock end to the headstock end, and every position is measured from
the tailstock end: that is the way a slender piece is turned, tip first, while the wood towards the
headstock is still thick. Beads and coves are arcs of a circle, an ogee is two equal arcs that meet
without a corner, everything else is straight. In the trade a fillet is a narrow flat band between
mouldings, not the rounded inside corner that engineers call so. What is done with a profile at the
lathe is in :mod:`studio.turning.bench`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from studio.turning.ranges import not_negative, positive

SAME_PLACE_MM = 1e-6
"""Positions and diameters closer than this, mm, are the same (ours): wide enough for sums of binary
fractions, far narrower than any tool."""

STEP_MM = 0.01
"""Least difference of diameter at a joint that counts as a step, mm (ours: less than callipers
show)."""

CORNER_DEG = 1.0
"""Least change of slope at a joint that counts as a corner, degrees (ours)."""

FLATTEST_ARC = 1 / 1000
"""Least rise of an arc over its length (ours, no unit): flatter ones are straight at the lathe."""


FINEST_CHORD_ERROR_MM = 1e-5
"""Closest that an outline follows an arc, mm (ours): it bounds the count of its points."""


class Shape(StrEnum):
    """Elements of a profile, by the trade's names."""

    STRAIGHT = "straight"
    FILLET = "fillet"
    TENON = "tenon"
    TAPER = "taper"
    BEAD = "bead"
    COVE = "cove"
    OGEE = "ogee"


class Cyma(StrEnum):
    """Which way an ogee curves."""

    REVERSA = "cyma reversa"
    """Round at the thick end and hollow at the thin one; both ends run along the axis."""
    RECTA = "cyma recta"
    """Hollow at the thick end and round at the thin one; the middle runs along the axis."""


class JointKind(StrEnum):
    """How two elements meet."""

    SMOOTH = "smooth"
    RIDGE = "ridge"
    VALLEY = "valley"
    STEP = "step"


class StationKind(StrEnum):
    """Why a station is listed."""

    END = "end"
    JOINT = "joint"
    CROWN = "crown"
    THROAT = "throat"
    MIDDLE = "middle of the ogee"
    SPACING = "spacing"


@dataclass(frozen=True, slots=True)
class LinePiece:
    """A straight piece of surface; places on it are u, mm along the axis from its start.

    Attributes:
        length: along the axis, mm.
        start, end: distance from the axis at both ends, mm.
    """

    length: float
    start: float
    end: float

    def radius(self, u: float) -> float:
        """Distance of the surface from the axis, mm."""
        return self.start + (self.end - self.start) * u / self.length

    def slope_deg(self, u: float) -> float:
        """Slope of the surface, degrees; positive where it grows thicker."""
        return math.degrees(math.atan2(self.end - self.start, self.length))

    def volume(self) -> float:
        """Wood inside, mm³."""
        a, b = self.start, self.end
        return math.pi * self.length * (a * a + a * b + b * b) / 3

    def area(self) -> float:
        """Surface, mm²."""
        return math.pi * (self.start + self.end) * math.hypot(self.length, self.end - self.start)

    def turning_point(self) -> float | None:
        """Where it stops growing and starts shrinking, or the other way; None without."""
        return None

    def not_above(self, radius: float) -> list[tuple[float, float]]:
        """Where the surface is at most ``radius`` from the axis."""
        low, high = sorted((self.start, self.end))
        if radius >= high:
            return [(0.0, self.length)]
        if radius < low:
            return []
        u = self.length * (radius - self.start) / (self.end - self.start)
        return [(0.0, u)] if self.start < self.end else [(u, self.length)]

    def between(self, chord_error: float) -> list[float]:
        """No points: a straight piece needs none inside."""
        return []


@dataclass(frozen=True, slots=True)
class ArcPiece:
    """A piece of a circle; places on it are u, mm along the axis from its start.

    Attributes:
        length: along the axis, mm.
        middle: where the circle's centre lies along the axis, u.
        centre: how far the centre is from the axis, mm; below 0 on the far side.
        rho: the circle's radius, mm.
        bulge: +1 on the circle's outer side (a bead), -1 on its inner (a cove).
    """

    length: float
    middle: float
    centre: float
    rho: float
    bulge: int

    def _height(self, u: float) -> float:
        # at an end that stands upright the difference may come out below 0 by rounding alone
        return math.sqrt(max(0.0, self.rho**2 - (u - self.middle) ** 2))

    def _angle(self, u: float) -> float:
        return math.asin(max(-1.0, min(1.0, (u - self.middle) / self.rho)))

    def radius(self, u: float) -> float:
        """Distance of the surface from the axis, mm."""
        # a point of the piece comes out below 0 by rounding alone
        return max(0.0, self.centre + self.bulge * self._height(u))

    def slope_deg(self, u: float) -> float:
        """Slope of the surface, degrees; positive where it grows thicker."""
        return math.degrees(math.atan2(-self.bulge * (u - self.middle), self._height(u)))

    def volume(self) -> float:
        """Wood inside, mm³."""

        def primitive(u: float) -> float:
            x = u - self.middle
            segment = x * self._height(u) + self.rho**2 * self._angle(u)
            return (
                (self.centre**2 + self.rho**2) * x - x**3 / 3 + self.bulge * self.centre * segment
            )

        return math.pi * (primitive(self.length) - primitive(0.0))

    def area(self) -> float:
        """Surface, mm²."""
        swept = self._angle(self.length) - self._angle(0.0)
        return 2 * math.pi * self.rho * (self.centre * swept + self.bulge * self.length)

    def turning_point(self) -> float | None:
        """Where it stops growing and starts shrinking, or the other way; None without."""
        inside = SAME_PLACE_MM < self.middle < self.length - SAME_PLACE_MM
        return self.middle if inside else None

    def not_above(self, radius: float) -> list[tuple[float, float]]:
        """Where the surface is at most ``radius`` from the axis."""
        height = self.bulge * (radius - self.centre)
        if self.bulge > 0:
            if height >= self.rho:
                return [(0.0, self.length)]
            if height < 0:
                return []
            half = math.sqrt(self.rho**2 - height**2)
            spans = [(0.0, self.middle - half), (self.middle + half, self.length)]
        else:
            if height > self.rho:
                return []
            half = math.sqrt(self.rho**2 - max(0.0, height) ** 2)
            spans = [(self.middle - half, self.middle + half)]
        kept = [(max(0.0, start), min(self.length, end)) for start, end in spans]
        return [(start, end) for start, end in kept if end >= start]

    def between(self, chord_error: float) -> list[float]:
        """Points inside, close enough for chords to keep within ``chord_error`` of the arc."""
        first, last = self._angle(0.0), self._angle(self.length)
        widest = 2 * math.acos(max(0.0, 1 - chord_error / self.rho))
        count = math.ceil((last - first) / widest)
        return [
            self.middle + self.rho * math.sin(first + (last - first) * step / count)
            for step in range(1, count)
        ]


@dataclass(frozen=True, slots=True)
class Element:
    """One element of a profile; make it with :func:`bead`, :func:`cove` and the like.

    Attributes:
        shape: its name.
        length_mm: its length along the axis.
        start_mm: diameter at its tailstock end.
        end_mm: diameter at its headstock end.
        pieces: the lines and arcs of its surface.
    """

    shape: Shape
    length_mm: float
    start_mm: float
    end_mm: float
    pieces: tuple[LinePiece | ArcPiece, ...]

    @property
    def crown_mm(self) -> float | None:
        """Where its crown or throat lies, mm from its tailstock end; None without one."""
        piece = self.pieces[0]
        single = self.shape in (Shape.BEAD, Shape.COVE)
        return piece.middle if single and isinstance(piece, ArcPiece) else None


@dataclass(frozen=True, slots=True)
class Joint:
    """How two elements meet.

    Attributes:
        position_mm: from the tailstock end.
        step_mm: diameter after the joint less diameter before it.
        before_deg: slope of the surface before the joint; 0 along the axis, positive where the
            piece grows thicker towards the headstock.
        after_deg: slope after the joint.
        kind: smooth; a ridge, which stands out; a valley, into which a tool must reach; a step.
    """

    position_mm: float
    step_mm: float
    before_deg: float
    after_deg: float
    kind: JointKind

    @property
    def corner_deg(self) -> float:
        """Change of slope, degrees: positive for a valley, negative for a ridge."""
        return self.after_deg - self.before_deg


class Change(NamedTuple):
    """A place where the surface changes.

    Attributes:
        position_mm: from the tailstock end; a step has two changes at one position.
        diameter_mm: finished diameter.
        element: the element it lies on, counted from 0.
        kind: why it is one.
    """

    position_mm: float
    diameter_mm: float
    element: int
    kind: StationKind


@dataclass(frozen=True, slots=True)
class Surface:
    """A profile's surface, mm².

    Attributes:
        side_mm2: everything that faces away from the axis.
        shoulders_mm2: the faces of its steps.
        ends_mm2: its two end faces.
        hidden_mm2: sides of its tenons and the end faces on them, which go into a hole.
    """

    side_mm2: float
    shoulders_mm2: float
    ends_mm2: float
    hidden_mm2: float

    @property
    def total_mm2(self) -> float:
        """The whole closed surface."""
        return self.side_mm2 + self.shoulders_mm2 + self.ends_mm2

    @property
    def shown_mm2(self) -> float:
        """What is left to coat once the tenons are in their holes; a tenon's shoulder counts."""
        return self.total_mm2 - self.hidden_mm2


@dataclass(frozen=True)
class Profile:
    """A profile from the tailstock end to the headstock end.

    Raises:
        ValueError: there is no element, or the piece comes to a point inside, where it would part.

    >>> Profile((fillet(2, 8), bead(6, 14, 8, 8), tenon(10, 6))).length_mm
    18.0
    """

    elements: tuple[Element, ...]

    def __post_init__(self) -> None:
        if not self.elements:
            raise ValueError("a profile needs at least one element")
        for before, after in pairwise(self.elements):
            for element, diameter in ((before, before.end_mm), (after, after.start_mm)):
                if diameter <= 0:
                    raise ValueError(
                        f"the {element.shape} comes to a point inside the profile, where the "
                        "piece would part; only the profile's ends may be points"
                    )

    @cached_property
    def starts_mm(self) -> tuple[float, ...]:
        """Where each element starts, and at last where the profile ends."""
        starts = [0.0]
        for element in self.elements:
            starts.append(starts[-1] + element.length_mm)
        return tuple(starts)

    @property
    def length_mm(self) -> float:
        """Its whole length."""
        return self.starts_mm[-1]

    @cached_property
    def thickest_mm(self) -> float:
        """Its largest diameter."""
        return max(change.diameter_mm for change in self.changes)

    @cached_property
    def placed(self) -> tuple[tuple[int, float, LinePiece | ArcPiece], ...]:
        """Every piece, after the number of its element and where it starts."""
        placed = []
        for index, (start, element) in enumerate(zip(self.starts_mm, self.elements, strict=False)):
            for piece in element.pieces:
                placed.append((index, start, piece))
                start += piece.length
        return tuple(placed)

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """Wherever the surface changes, both sides of joints, from the tailstock end.

        Between two neighbours the surface grows, shrinks or stays.
        """
        changes = []
        for index, start, piece in self.placed:
            shape = self.elements[index].shape
            edges = self.starts_mm[index], self.starts_mm[index + 1]
            turn = piece.turning_point()
            at = [0.0, piece.length] if turn is None else [0.0, turn, piece.length]
            for u in at:
                position = start + u
                if abs(position - edges[0]) <= SAME_PLACE_MM:
                    kind = StationKind.JOINT if index else StationKind.END
                elif abs(position - edges[1]) <= SAME_PLACE_MM:
                    last = index == len(self.elements) - 1
                    kind = StationKind.END if last else StationKind.JOINT
                elif shape is Shape.OGEE:
                    kind = StationKind.MIDDLE
                else:
                    kind = StationKind.CROWN if shape is Shape.BEAD else StationKind.THROAT
                changes.append(Change(position, 2 * piece.radius(u), index, kind))
        return tuple(changes)


def straight(length_mm: float, diameter_mm: float) -> Element:
    """A straight length, parallel to the axis.

    Args: length and diameter, mm, more than 0. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> straight(20, 12).end_mm
    12
    """
    return _even(Shape.STRAIGHT, length_mm, diameter_mm)


def fillet(length_mm: float, diameter_mm: float) -> Element:
    """A fillet: a narrow straight band that sets mouldings apart.

    Args: length and diameter, mm, more than 0. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> fillet(2, 8).start_mm
    8
    """
    return _even(Shape.FILLET, length_mm, diameter_mm)


def tenon(length_mm: float, diameter_mm: float) -> Element:
    """A tenon: a straight length that goes into a hole.

    Args: length and diameter, mm, more than 0. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> tenon(10, 6).length_mm
    10
    """
    return _even(Shape.TENON, length_mm, diameter_mm)


def _even(shape: Shape, length_mm: float, diameter_mm: float) -> Element:
    positive(length_mm, f"the {shape}'s length")
    positive(diameter_mm, f"the {shape}'s diameter")
    line = LinePiece(length_mm, diameter_mm / 2, diameter_mm / 2)
    return Element(shape, length_mm, diameter_mm, diameter_mm, (line,))


def taper(length_mm: float, start_mm: float, end_mm: float) -> Element:
    """A taper: a cone between two diameters.

    Args: length, mm, more than 0; diameters at its tailstock and headstock ends, mm, 0 or more,
    not both 0 (a point is possible at the profile's end). Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> taper(30, 0, 6).end_mm
    6
    """
    positive(length_mm, "the taper's length")
    not_negative(start_mm, "the taper's first diameter")
    not_negative(end_mm, "the taper's last diameter")
    positive(max(start_mm, end_mm), "the taper's thicker end")
    line = LinePiece(length_mm, start_mm / 2, end_mm / 2)
    return Element(Shape.TAPER, length_mm, start_mm, end_mm, (line,))


def bead(length_mm: float, crown_mm: float, start_mm: float, end_mm: float) -> Element:
    """A bead: an arc of a circle that stands out between two edges.

    The circle passes through both edges and its crown stands at the crown's diameter. With a rise
    p at one edge and q at the other over a length L, the crown lies at
    √p·(L² + q² − pq) / (√p·L + √(q·(L² + (q − p)²))) from the first, and the circle's radius is
    (that distance² + p²)/(2p). An edge as thick as the crown makes a half bead; edges of 0 and a
    crown as long as it is thick a ball. Args: length, mm, more than 0; diameters at the crown and
    at the tailstock and headstock edges, mm, edges 0 or more and not above the crown. Source:
    elementary geometry.

    Raises:
        ValueError: a value is out of range; it hardly rises; or it rises so far that the circle
            would turn back under itself at an edge.

    >>> ball = Profile((bead(3, 3, 0, 0),))
    >>> volume_mm3(ball), surface_area(ball).total_mm2
    (14.13717, 28.27433)
    """
    positive(crown_mm, "the bead's crown")
    not_negative(start_mm, "the bead's first edge")
    not_negative(end_mm, "the bead's last edge")
    if max(start_mm, end_mm) > crown_mm:
        raise ValueError(
            f"a bead's crown must be its thickest, but its edge of {max(start_mm, end_mm):g} mm "
            f"is thicker than {crown_mm:g} mm"
        )
    return _curved(Shape.BEAD, length_mm, crown_mm, start_mm, end_mm)


def cove(length_mm: float, throat_mm: float, start_mm: float, end_mm: float) -> Element:
    """A cove: an arc of a circle that is hollow between two edges.

    The circle of :func:`bead`, seen from the other side. Args: length, mm, more than 0;
    diameters at the throat and at the tailstock and headstock edges, mm, the throat more than 0
    and not above the edges. Source: elementary geometry.

    Raises:
        ValueError: as for :func:`bead`.

    >>> Profile((cove(6, 8, 12, 12),)).length_mm
    6.0
    """
    positive(throat_mm, "the cove's throat")
    positive(start_mm, "the cove's first edge")
    positive(end_mm, "the cove's last edge")
    if min(start_mm, end_mm) < throat_mm:
        raise ValueError(
            f"a cove's throat must be its thinnest, but its edge of {min(start_mm, end_mm):g} mm "
            f"is thinner than {throat_mm:g} mm"
        )
    return _curved(Shape.COVE, length_mm, throat_mm, start_mm, end_mm)


def least_curve_mm(middle_mm: float, start_mm: float, end_mm: float) -> float:
    """The shortest bead or cove of given diameters: its circle stands upright at the deeper edge.

    With rises r and q of the radius from the middle to the deeper and the other edge, that circle
    has the radius r: r + √(2rq − q²). Args: diameters at the crown or throat and at both edges,
    mm, 0 or more. Returns mm. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> least_curve_mm(12, 8, 8), round(least_curve_mm(10, 0, 8), 3)
    (4.0, 8.0)
    """
    not_negative(middle_mm, "the middle's diameter")
    not_negative(start_mm, "the first edge")
    not_negative(end_mm, "the last edge")
    q, r = sorted((abs(middle_mm - start_mm) / 2, abs(middle_mm - end_mm) / 2))
    return r + math.sqrt(2 * r * q - q * q)


def least_ogee_mm(start_mm: float, end_mm: float) -> float:
    """The shortest ogee between two diameters: its arcs stand upright where they meet or end.

    As long as its radius rises. Args: diameters at both ends, mm, 0 or more. Returns mm. Source:
    elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> least_ogee_mm(6, 14)
    4.0
    """
    not_negative(start_mm, "the ogee's first diameter")
    not_negative(end_mm, "the ogee's last diameter")
    return abs(end_mm - start_mm) / 2


def _curved(
    shape: Shape, length_mm: float, middle_mm: float, start_mm: float, end_mm: float
) -> Element:
    positive(length_mm, f"the {shape}'s length")
    p, q = abs(middle_mm - start_mm) / 2, abs(middle_mm - end_mm) / 2
    rise = max(p, q)
    if rise < FLATTEST_ARC * length_mm:
        raise ValueError(f"a {shape} of {length_mm:g} mm that rises {rise:.2g} mm is straight")
    if p == 0:
        crown = 0.0
    else:
        rest = math.sqrt(q * (length_mm**2 + (q - p) ** 2))
        crown = math.sqrt(p) * (length_mm**2 + q**2 - p * q) / (math.sqrt(p) * length_mm + rest)
    reach = crown if p >= q else length_mm - crown
    if reach < rise * (1 - 1e-9):
        raise ValueError(
            f"a {shape} of {length_mm:g} mm cannot rise {rise:g} mm: the circle would turn back "
            f"under itself at the edge; make it longer or the {shape} shallower"
        )
    rho = (reach**2 + rise**2) / (2 * rise)
    bulge = 1 if shape is Shape.BEAD else -1
    arc = ArcPiece(length_mm, crown, middle_mm / 2 - bulge * rho, rho, bulge)
    return Element(shape, length_mm, start_mm, end_mm, (arc,))


def ogee(length_mm: float, start_mm: float, end_mm: float, cyma: Cyma = Cyma.REVERSA) -> Element:
    """An ogee: two equal arcs, one round and one hollow, that meet half-way without a corner.

    Over a length L and a rise H of the radius both circles have the radius (L² + H²)/(4H). Args:
    length, mm, more than 0; diameters at its tailstock and headstock ends, mm, 0 or more and
    different; which way it curves. Source: elementary geometry; the names of both kinds are those
    of mouldings (from memory).

    Raises:
        ValueError: a value is out of range; it hardly rises; or it rises by more than its length,
            so that the arcs would turn back under themselves.

    >>> Profile((ogee(10, 6, 14),)).length_mm
    10.0
    """
    positive(length_mm, "the ogee's length")
    not_negative(start_mm, "the ogee's first diameter")
    not_negative(end_mm, "the ogee's last diameter")
    start, end = start_mm / 2, end_mm / 2
    rise = abs(end - start)
    if rise < FLATTEST_ARC * length_mm:
        raise ValueError(f"an ogee of {length_mm:g} mm that rises {rise:.2g} mm is straight")
    if rise > length_mm * (1 + 1e-9):
        raise ValueError(
            f"an ogee of {length_mm:g} mm cannot rise {rise:g} mm: its arcs would turn back under "
            "themselves; make it longer or its ends more alike"
        )
    rho = (length_mm**2 + rise**2) / (4 * rise)
    half = length_mm / 2
    # the arc at the thick end is round in a reversa, hollow in a recta
    thick_bulge = 1 if cyma is Cyma.REVERSA else -1
    first_bulge = thick_bulge if start > end else -thick_bulge
    if cyma is Cyma.REVERSA:
        middles, levels = (0.0, half), (start, end)
    else:
        middles, levels = (half, 0.0), ((start + end) / 2, (start + end) / 2)
    pieces = tuple(
        ArcPiece(half, middle, level - bulge * rho, rho, bulge)
        for middle, level, bulge in zip(middles, levels, (first_bulge, -first_bulge), strict=True)
    )
    return Element(Shape.OGEE, length_mm, start_mm, end_mm, pieces)


def joints(profile: Profile) -> tuple[Joint, ...]:
    """How every element meets the next: smooth, in a ridge or valley, or with a step.

    Args: profile. Source: elementary geometry; the least step and corner that count are ours,
    :data:`STEP_MM` and :data:`CORNER_DEG`.

    Raises:
        ValueError: never of itself; a profile is checked when it is made.

    >>> both = Profile((ogee(10, 6, 14), straight(5, 14), taper(10, 12, 8)))
    >>> [str(joint.kind) for joint in joints(both)]
    ['smooth', 'step']
    """
    met = []
    for index, (before, after) in enumerate(pairwise(profile.elements)):
        step = after.start_mm - before.end_mm
        last, first = before.pieces[-1], after.pieces[0]
        slopes = last.slope_deg(last.length), first.slope_deg(0.0)
        corner = slopes[1] - slopes[0]
        if abs(step) >= STEP_MM:
            kind = JointKind.STEP
        elif abs(corner) < CORNER_DEG:
            kind = JointKind.SMOOTH
        else:
            kind = JointKind.VALLEY if corner > 0 else JointKind.RIDGE
        met.append(Joint(profile.starts_mm[index + 1], step, *slopes, kind))
    return tuple(met)


def radius_mm(profile: Profile, position_mm: float) -> float:
    """Distance of the finished surface from the axis at a position; the larger one at a step.

    Args: profile; position from the tailstock end, mm, 0 to the profile's length. Returns mm.
    Source: elementary geometry.

    Raises:
        ValueError: the position lies outside the profile.

    >>> radius_mm(Profile((taper(30, 0, 6),)), 10)
    1.0
    """
    if not -SAME_PLACE_MM <= position_mm <= profile.length_mm + SAME_PLACE_MM:
        raise ValueError(
            f"a position must be from 0 to {profile.length_mm:g} mm, not {position_mm:g}"
        )
    return max(
        piece.radius(min(max(position_mm - start, 0.0), piece.length))
        for _, start, piece in profile.placed
        if start - SAME_PLACE_MM <= position_mm <= start + piece.length + SAME_PLACE_MM
    )


def volume_mm3(profile: Profile) -> float:
    """Volume of the finished piece, exact: cylinders, cones and turned segments of circles.

    π times the integral of the radius squared, in closed form for every line and arc. Args:
    profile. Returns mm³. Source: elementary geometry; agrees with Pappus's theorem.

    Raises:
        ValueError: never of itself; a profile is checked when it is made.

    >>> volume_mm3(Profile((taper(30, 0, 6),)))
    282.743
    """
    return math.fsum(piece.volume() for _, _, piece in profile.placed)


def surface_area(profile: Profile) -> Surface:
    """Surface of the finished piece, exact: sides, shoulders and ends, and what tenons hide.

    2π times the integral of the radius along the surface, in closed form for every line and arc;
    the face of a step is the difference of two discs. Args: profile. Source: elementary geometry;
    agrees with Pappus's theorem.

    Raises:
        ValueError: never of itself; a profile is checked when it is made.

    >>> area = surface_area(Profile((straight(10, 10), tenon(5, 6))))
    >>> area.total_mm2, area.hidden_mm2, area.shown_mm2
    (565.487, 122.522, 442.965)
    """
    ends = profile.elements[0], profile.elements[-1]
    discs = math.pi * ends[0].start_mm ** 2 / 4, math.pi * ends[1].end_mm ** 2 / 4
    shoulders = (
        math.pi * abs(after.start_mm**2 - before.end_mm**2) / 4
        for before, after in pairwise(profile.elements)
    )
    hidden = [
        profile_piece.area()
        for index, _, profile_piece in profile.placed
        if profile.elements[index].shape is Shape.TENON
    ]
    hidden += [disc for end, disc in zip(ends, discs, strict=True) if end.shape is Shape.TENON]
    return Surface(
        math.fsum(piece.area() for _, _, piece in profile.placed),
        math.fsum(shoulders),
        math.fsum(discs),
        math.fsum(hidden),
    )


def outline(profile: Profile, chord_error_mm: float) -> tuple[tuple[float, float], ...]:
    """Points of the surface as (position, radius), mm, joined by chords close enough to it.

    Both sides of a step are points; so are all joints, crowns and throats of whole arcs. For
    drawings and meshes. Args: profile; how far a chord may lie from its arc, mm, 0.00001 or more.
    Source: elementary geometry.

    Raises:
        ValueError: the chord error is out of range.

    >>> outline(Profile((taper(30, 0, 6), tenon(5, 4))), 0.1)
    ((0.0, 0.0), (30.0, 3.0), (30.0, 2.0), (35.0, 2.0))
    """
    if positive(chord_error_mm, "the chord error") < FINEST_CHORD_ERROR_MM:
        raise ValueError(f"the chord error must be {FINEST_CHORD_ERROR_MM:g} mm or more")
    points: list[tuple[float, float]] = []
    for _, start, piece in profile.placed:
        for u in (0.0, *piece.between(chord_error_mm), piece.length):
            point = (start + u, piece.radius(u))
            if not points or math.dist(points[-1], point) > SAME_PLACE_MM:
                points.append(point)
    return tuple(points)
