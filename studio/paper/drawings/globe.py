"""The globe's shape as seen from the side and from a pole: what several drawings stand on.

Everything here is geometry in millimetres about the globe's centre; x runs to the right, z towards
the top and y towards the reader. Groove 0 faces the reader in every view.
"""

from __future__ import annotations

import math
from functools import lru_cache

from studio.paper.drawings.pen import Point
from studio.turning.cutters import surface_radius_mm
from studio.turning.piece import Globe

_TILTS_DEG = tuple(2.5 * step for step in range(17))
"""How far in front of the outline the wood is looked at that may stand out beyond it."""

_ALONG_STEPS = 36
_LIMB_STEP_DEG = 3.0


def radius_at(globe: Globe, x: float, y: float, z: float) -> float:
    """From the globe's centre to its surface in the direction of a unit vector, mm."""
    least = globe.diameter_mm / 2
    section = globe.section
    if section is not None and globe.grooves:
        across = math.hypot(x, y)
        turn = math.pi / globe.grooves
        # groove planes hold the line of the poles; groove 0 lies towards the reader
        off = math.atan2(x, y) % turn
        angle = math.asin(min(1.0, across * math.sin(min(off, turn - off))))
        if angle < section.half_angle_rad:
            least = min(least, surface_radius_mm(section, angle))
    latitude = math.asin(max(-1.0, min(1.0, z)))
    for ring in globe.rings:
        angle = abs(latitude - math.radians(ring.latitude_deg))
        if angle < ring.section.half_angle_rad:
            least = min(least, surface_radius_mm(ring.section, angle))
    return least


@lru_cache(maxsize=32)
def outline_from_side(globe: Globe) -> tuple[Point, ...]:
    """The outline seen square to the line of the poles, from the lower pole round the right side
    to the upper one and back, mm."""
    right = [(_reach(globe, math.radians(turn)), math.radians(turn)) for turn in _turns(globe)]
    half = [(far * math.cos(turn), far * math.sin(turn)) for far, turn in right]
    return (*half, *((-x, z) for x, z in reversed(half[1:-1])))


def _turns(globe: Globe) -> list[float]:
    """Latitudes at which the outline is looked at: evenly, and closely at every edge."""
    turns = {float(turn) for turn in range(-90, 91, 2)}
    cuts = [(ring.latitude_deg, ring.section) for ring in globe.rings]
    if globe.section is not None:
        cuts += [(place, globe.section) for place in (-90.0, 90.0)]
    for middle, section in cuts:
        wide = math.degrees(section.half_angle_rad)
        turns |= {middle + wide * step / 8 for step in range(-9, 10)}
        turns |= {middle + side * wide for side in (-1.0, 1.0)}
    return sorted(turn for turn in turns if -90 <= turn <= 90)


def _reach(globe: Globe, latitude: float) -> float:
    """How far the wood reaches in a direction of the view, its front and back included."""
    x, z = math.cos(latitude), math.sin(latitude)
    most = 0.0
    for tilt_deg in _TILTS_DEG:
        tilt = math.radians(tilt_deg)
        inward, forward = math.cos(tilt), math.sin(tilt)
        most = max(most, radius_at(globe, x * inward, forward, z * inward) * inward)
    return most


def outline_from_pole(globe: Globe) -> list[Point]:
    """The outline seen along the line of the poles: the section at the equator, mm."""
    if globe.section is None or not globe.grooves:
        return [
            (globe.diameter_mm / 2 * math.sin(math.radians(turn)),
             globe.diameter_mm / 2 * math.cos(math.radians(turn)))
            for turn in range(0, 360, 3)
        ]  # fmt: skip
    half, turn = globe.section.half_angle_rad, math.pi / globe.grooves
    out = []
    for place in range(2 * globe.grooves):
        middle = place * turn
        turns = [middle + half * step / 8 for step in range(-8, 9)]
        plain = turn - 2 * half
        steps = max(1, math.ceil(math.degrees(plain) / _LIMB_STEP_DEG))
        turns += [middle + half + plain * step / steps for step in range(1, steps)]
        for each in turns:
            far = radius_at(globe, math.sin(each), math.cos(each), 0.0)
            out.append((far * math.sin(each), far * math.cos(each)))
    return out


def lands_from_pole(globe: Globe) -> list[list[Point]]:
    """Every land seen along the line of the poles: between straight edges, a tip and the equator.

    A groove's edge lies in a plane beside the line of the poles, and so is seen as a straight line.
    """
    if globe.section is None or not globe.grooves:
        return []
    radius, half = globe.diameter_mm / 2, globe.section.half_angle_rad
    turn = math.pi / globe.grooves
    tip = radius * math.sin(half) / math.sin(turn / 2)
    lands = []
    for place in range(2 * globe.grooves):
        start, end = place * turn + half, (place + 1) * turn - half
        steps = max(2, math.ceil(math.degrees(end - start) / _LIMB_STEP_DEG))
        rim = [start + (end - start) * step / steps for step in range(steps + 1)]
        middle = (place + 0.5) * turn
        lands.append(
            [(tip * math.sin(middle), tip * math.cos(middle))]
            + [(radius * math.sin(each), radius * math.cos(each)) for each in rim]
        )
    return lands


def rings_from_pole(globe: Globe) -> list[list[Point]]:
    """What the rings of one half take from each land, seen along the line of the poles.

    Between two circles and the straight edges of the grooves beside; a ring on the equator lies
    along the rim. The half at the top, or the other where the rings are all on that.
    """
    if globe.section is None or not globe.grooves:
        return []
    top = any(ring.latitude_deg > 0 for ring in globe.rings)
    near = 1 if top or not any(ring.latitude_deg for ring in globe.rings) else -1
    radius, half = globe.diameter_mm / 2, globe.section.half_angle_rad
    turn = math.pi / globe.grooves
    edge = radius * math.sin(half)
    tip = edge / math.sin(turn / 2)
    bands = []
    for ring in globe.rings:
        middle, wide = near * math.radians(ring.latitude_deg), ring.section.half_angle_rad
        outer = radius * math.cos(max(0.0, middle - wide))
        inner = max(tip, radius * math.cos(middle + wide))
        if middle < 0 or inner >= outer:
            # on the half that is away, or where the grooves have left no land
            continue
        for place in range(2 * globe.grooves):
            border: list[Point] = []
            for far, way in ((outer, 1), (inner, -1)):
                beside = math.asin(min(1.0, edge / far))
                start, end = place * turn + beside, (place + 1) * turn - beside
                steps = max(2, math.ceil(math.degrees(end - start) / _LIMB_STEP_DEG))
                along = [start + (end - start) * step / steps for step in range(steps + 1)][::way]
                border += [(far * math.sin(each), far * math.cos(each)) for each in along]
            bands.append(border)
    return bands


def lands_from_side(globe: Globe) -> list[list[Point]]:
    """Every land in sight, seen square to the line of the poles.

    Its edges are small circles beside the grooves' planes, seen as parts of ellipses, up to where
    neighbouring grooves have run into one another.
    """
    if globe.section is None or not globe.grooves:
        return []
    radius, half = globe.diameter_mm / 2, globe.section.half_angle_rad
    turn = math.pi / globe.grooves
    merged = math.acos(min(1.0, math.sin(half) / math.sin(turn / 2)))
    most = math.asin(min(1.0, math.sin(merged) / math.cos(half)))

    def edge(meridian: float, side: float, up: float) -> tuple[float, float, float]:
        """A place on the edge of a groove's half at a longitude from the reader."""
        along = radius * math.cos(half) * math.cos(up)
        beside = side * radius * math.sin(half)
        return (
            along * math.sin(meridian) + beside * math.cos(meridian),
            along * math.cos(meridian) - beside * math.sin(meridian),
            radius * math.cos(half) * math.sin(up),
        )

    ups = [most * (2 * step / _ALONG_STEPS - 1) for step in range(_ALONG_STEPS + 1)]
    lands = []
    for place in range(2 * globe.grooves):
        near, far = place * turn, (place + 1) * turn
        border = [edge(near, 1.0, up) for up in ups]
        border += [edge(far, -1.0, up) for up in reversed(ups)]
        seen = _in_sight(border, radius)
        if len(seen) > 2:
            lands.append(seen)
    return lands


def _in_sight(border: list[tuple[float, float, float]], radius: float) -> list[Point]:
    """The part of a land's border that faces the reader, closed along the outline."""
    seen: list[Point] = []
    leaving: Point | None = None
    first_back: Point | None = None
    for here, after in zip(border, border[1:] + border[:1], strict=True):
        if here[1] >= 0:
            seen.append((here[0], here[2]))
        if (here[1] >= 0) == (after[1] >= 0):
            continue
        part = here[1] / (here[1] - after[1])
        x = here[0] + part * (after[0] - here[0])
        z = here[2] + part * (after[2] - here[2])
        far = math.hypot(x, z) / radius
        limb = (x / far, z / far)
        if here[1] >= 0:
            leaving = limb
            seen.append(limb)
        elif leaving is None:
            first_back = limb
            seen.append(limb)
        else:
            seen += [*_along_limb(leaving, limb, radius), limb]
            leaving = None
    if leaving is not None and first_back is not None:
        seen += _along_limb(leaving, first_back, radius)
    return seen


def _along_limb(start: Point, end: Point, radius: float) -> list[Point]:
    first, last = (math.atan2(z, x) for x, z in (start, end))
    way = (last - first + math.pi) % (2 * math.pi) - math.pi
    steps = max(1, math.ceil(math.degrees(abs(way)) / _LIMB_STEP_DEG))
    turns = (first + way * step / steps for step in range(1, steps))
    return [(radius * math.cos(turn), radius * math.sin(turn)) for turn in turns]


def rings_from_side(globe: Globe) -> list[list[Point]]:
    """Every ring's band, seen square to the line of the poles: between two straight edges."""
    bands = []
    for ring in globe.rings:
        middle, wide = math.radians(ring.latitude_deg), ring.section.half_angle_rad
        turns = [middle + wide * step / 8 for step in range(-8, 9)]
        right = []
        for turn in turns:
            far = _reach(globe, turn)
            right.append((far * math.cos(turn), far * math.sin(turn)))
        bands.append([*right, *((-x, z) for x, z in reversed(right))])
    return bands
