"""Turned parts put together: where a shoulder comes to rest, and what wood is left round a bore.

Pure geometry on the records of :mod:`studio.turning.piece` and :mod:`studio.turning.profile`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio.turning.cutters import Section, surface_radius_mm
from studio.turning.grooves import lobes
from studio.turning.profile import SAME_PLACE_MM, Profile
from studio.turning.ranges import not_negative, positive

_RESTING_STEPS = 48
"""Places looked at between hole and shoulder's edge before the highest is closed in on (ours)."""

_CLOSE_MM = 1e-6
"""How closely a place on a part is closed in on (ours)."""

THINNEST_WALL_MM = 1.5
"""Least wood round a bore in a turned part (ours; wood and use decide)."""


@dataclass(frozen=True, slots=True)
class Resting:
    """Where a flat shoulder with a hole under its middle comes to rest on a globe's pole.

    Attributes:
        height_mm: the shoulder's plane above the globe's centre.
        daylight_mm: the widest gap under the shoulder's edge.
    """

    height_mm: float
    daylight_mm: float


def resting(
    diameter_mm: float,
    section: Section | None,
    grooves: int,
    shoulder_mm: float,
    hole_mm: float = 0.0,
) -> Resting:
    """Where a flat shoulder rests on a plain or grooved globe, wood inside the hole left out.

    The highest wood between the hole's rim and the shoulder's edge: on a plain ball the rim; with
    grooves some place along the ridges midway between them. Args: the globe's diameter, mm, more
    than 0; section of its grooves and their count, or None and 0; the shoulder's diameter, more
    than the hole's and less than the globe's; the hole's, 0 or more. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> resting(60, None, 0, 16, 8).height_mm
    29.732
    """
    radius = positive(diameter_mm, "the globe's diameter") / 2
    outer = positive(shoulder_mm, "the shoulder's diameter") / 2
    inner = not_negative(hole_mm, "the hole's diameter") / 2
    lowest = section.core_radius_mm if section is not None else radius
    if not inner < outer < lowest:
        raise ValueError(
            f"a shoulder of {shoulder_mm:g} mm does not rest round a hole of {hole_mm:g} mm on a "
            f"globe that is {2 * lowest:.4g} mm there; it must be wider than the hole and narrower "
            "than the globe"
        )
    edge = math.sqrt(lowest**2 - outer**2)
    if section is None:
        top = math.sqrt(radius**2 - inner**2)
        return Resting(top, top - edge)
    between = math.sin(math.pi / lobes(grooves))

    def ridge(polar: float) -> tuple[float, float]:
        """Distance of the ridge from the line of the poles, and its height."""
        far = surface_radius_mm(section, math.asin(math.sin(polar) * between))
        return far * math.sin(polar), far * math.cos(polar)

    def polar_at(distance: float) -> float:
        low, high = 0.0, math.pi / 2
        for _ in range(40):
            middle = (low + high) / 2
            low, high = (low, middle) if ridge(middle)[0] > distance else (middle, high)
        return low

    first, last = polar_at(inner) if inner else 0.0, polar_at(outer)
    step = (last - first) / _RESTING_STEPS
    heights = [ridge(first + step * place)[1] for place in range(_RESTING_STEPS + 1)]
    best = first + step * max(range(_RESTING_STEPS + 1), key=heights.__getitem__)
    low, high = max(first, best - step), min(last, best + step)
    for _ in range(20):  # the height has one top between two neighbours of the highest place
        third = (high - low) / 3
        lower, upper = low + third, high - third
        low, high = (low, upper) if ridge(lower)[1] >= ridge(upper)[1] else (lower, high)
    top = max(*heights, ridge((low + high) / 2)[1])
    return Resting(top, top - edge)


@dataclass(frozen=True, slots=True)
class TenonWood:
    """The wood that stands round a tenon in a globe's pole, mm.

    Attributes:
        free_mm: what of the tenon lies between its shoulder and the first wood all round it.
        wood_mm: from there to where the wood ends, at a hollow or at the other pole.
    """

    free_mm: float
    wood_mm: float

    def held_mm(self, tenon_length_mm: float) -> float:
        """What of a tenon of this length has wood all round it."""
        return max(0.0, min(tenon_length_mm - self.free_mm, self.wood_mm))


def tenon_wood(
    shoulder_height_mm: float, pole_mm: float, hole_mm: float, hollow_mm: float = 0.0
) -> TenonWood:
    """How much of a tenon at a pole has wood round it: a longer one only stands in the hollow.

    At the hole's side, where the tenon is held: on a ball both the surface and the hollow lie
    lower there than on the axis. With grooves the lowest wood counts, their bottoms. Args: plane
    of the shoulder above the globe's centre; height of the pole there, after grooving, more than
    0; the hole's diameter, 0 or more and less than the globe's at that height; the hollow's
    diameter, 0 in a solid globe; all mm. A hole wider than the hollow has no wood below.
    Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> wood = tenon_wood(29.732, 30, 8, 54)
    >>> wood.wood_mm, wood.held_mm(10)
    (3.03, 3.03)
    """
    side = not_negative(hole_mm, "the hole's diameter") / 2
    hollow = not_negative(hollow_mm, "the hollow's diameter") / 2
    if side >= positive(pole_mm, "the height of the pole"):
        raise ValueError(f"a hole of {hole_mm:g} mm is as wide as the globe")
    top = min(shoulder_height_mm, math.sqrt(pole_mm**2 - side**2))
    floor = math.sqrt(max(hollow**2 - side**2, 0.0)) if hollow else -pole_mm
    return TenonWood(shoulder_height_mm - top, max(top - floor, 0.0))


def thinnest_round_bore_mm(
    profile: Profile, from_mm: float, to_mm: float, bore_mm: float
) -> tuple[float, float]:
    """The thinnest wood round a bore along a part's axis, and where, mm from its free end.

    The finished radius less the bore's, at every change of the profile and at a hundred places
    between its ends. Args: profile; where the bore starts and ends, mm from the free end, the
    first less than the second; the bore's diameter, mm, more than 0. Returns (wood, place); the
    wood is negative where the bore comes out. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> from studio.turning.profile import straight, taper
    >>> thinnest_round_bore_mm(Profile((taper(10, 4, 12), straight(10, 12))), 0, 15, 3)
    (0.5, 0.0)
    """
    positive(bore_mm, "the bore's diameter")
    start, end = max(from_mm, 0.0), min(to_mm, profile.length_mm)
    if not start < end:
        raise ValueError(f"a bore from {from_mm:g} to {to_mm:g} mm does not lie in the part")
    places = [start + (end - start) * step / 100 for step in range(101)]
    places += [change.position_mm for change in profile.changes if start < change.position_mm < end]
    return min((_least_radius_mm(profile, place) - bore_mm / 2, place) for place in places)


def deepest_bore_mm(
    profile: Profile, bore_mm: float, least_mm: float, *, from_joint: bool = False
) -> float:
    """How deep from a part's free end a bore may go and leave so much wood all round it, mm.

    Found between the places of :func:`thinnest_round_bore_mm` by halving. Args: profile; the bore's
    diameter, mm, more than 0; the least wood, mm, 0 or more; whether it is bored from the joint end
    instead. Returns 0 where even that end is thinner, the part's length where it may go all
    through. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> from studio.turning.profile import straight, taper
    >>> round(deepest_bore_mm(Profile((straight(10, 12), taper(10, 12, 4))), 3, 1.5), 6)
    17.5
    >>> drop = Profile((taper(10, 4, 12), straight(10, 12)))
    >>> round(deepest_bore_mm(drop, 3, 1.5, from_joint=True), 6)
    17.5
    """
    wanted = positive(bore_mm, "the bore's diameter") / 2 + not_negative(least_mm, "the least wood")
    long = profile.length_mm
    places = {long * step / 100 for step in range(101)}
    places |= {change.position_mm for change in profile.changes}

    def radius(deep: float) -> float:
        return _least_radius_mm(profile, long - deep if from_joint else deep)

    good = 0.0
    for place in sorted(long - place if from_joint else place for place in places):
        if radius(place) >= wanted:
            good = place
            continue
        bad = place
        while bad - good > _CLOSE_MM:
            middle = (good + bad) / 2
            if radius(middle) >= wanted:
                good = middle
            else:
                bad = middle
        return good
    return long


def face_mm2(shoulder_mm: float, tenon_mm: float) -> float:
    """The face with which a part stands on what it is joined to, round its tenon, mm².

    Args: shoulder's diameter, mm; tenon's, mm, 0 without one and not above the shoulder's. Source:
    elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> face_mm2(20, 8)
    263.894
    """
    not_negative(tenon_mm, "the tenon's diameter")
    if tenon_mm > positive(shoulder_mm, "the shoulder's diameter"):
        raise ValueError(
            f"a tenon of {tenon_mm:g} mm is thicker than its shoulder of {shoulder_mm:g} mm"
        )
    return math.pi / 4 * (shoulder_mm**2 - tenon_mm**2)


def _least_radius_mm(profile: Profile, position_mm: float) -> float:
    """The finished radius; the smaller one at a step."""
    return min(
        piece.radius(min(max(position_mm - start, 0.0), piece.length))
        for _, start, piece in profile.placed
        if start - SAME_PLACE_MM <= position_mm <= start + piece.length + SAME_PLACE_MM
    )
