"""The hollow globe cut open through its poles."""

from __future__ import annotations

import math

from studio.language import tr
from studio.measure.measurement import Measurement, MeasurementTable, System
from studio.paper.drawings.pen import (
    Point,
    dimension,
    label,
    label_height,
    leader,
    line,
    polygon,
    spread,
    svg,
)
from studio.turning.cutters import surface_radius_mm
from studio.turning.piece import Globe, Piece

_WIDTH = 400.0
_CENTRE = (122.0, 160.0)
_RADIUS = 112.0
_LABELS_X = 280.0
_ROOM = _WIDTH - _LABELS_X - 2
_GAP = 8.0
_STEP_DEG = 3.0
_STEPS = 60


def hollow_section(table: MeasurementTable, piece: Piece | None, system: System) -> str:
    """The globe cut open, its opening at the top: wall, hollow, opening and the cutter's reach.

    The cut runs along the middle of a land, where the wall has its full thickness. Whichever pole
    the opening is at, it is drawn at the top, as it is reached for at the lathe.

    Args:
        table: the design's measurements.
        piece: the finished piece, whose hollow is drawn.
        system: the system whose figures stand first and larger.

    Returns:
        SVG with marked figures; empty when the globe is solid, or when the table lacks
        ``hollow.wall``, ``hollow.diameter``, ``hollow.opening`` or ``hollow.reach``.
    """
    globe = piece.globe if piece is not None else None
    needs = ("wall", "diameter", "opening", "reach")
    if globe is None or not globe.hollow_diameter_mm:
        return ""
    if not {f"hollow.{key}" for key in needs} <= table.keys():
        return ""
    wall, inner, opening, reach = (table[f"hollow.{key}"] for key in needs)
    (x, y), scale = _CENTRE, 2 * _RADIUS / globe.diameter_mm
    hollow_radius, half = inner.value * scale / 2, opening.value * scale / 2
    rim = y - math.sqrt(_RADIUS**2 - half**2)
    throat = y - math.sqrt(max(0.0, hollow_radius**2 - half**2))
    bottom = y + hollow_radius
    body = [
        polygon("form", _cut_open(globe, scale, half, hollow_radius)),
        line(x, 10, x, y + _RADIUS + 22, "axis"),
        # the opening
        line(x - half, rim - 3, x - half, 26, "dim"),
        line(x + half, rim - 3, x + half, 26, "dim"),
        dimension(x - half, 32, x + half, 32),
        # across the hollow
        dimension(x - hollow_radius, y + 24, x + hollow_radius, y + 24),
        # straight in
        dimension(x - half * 0.45, rim, x - half * 0.45, bottom),
        line(x - half, rim, x + half, rim, "hidden"),
        # the wall, across at the equator
        dimension(x + hollow_radius, y, x + _RADIUS, y),
    ]
    labels: list[tuple[float, str, Measurement, list[Point]]] = [
        (34.0, tr("opening"), opening, [(x + max(half, 15.0), 32), (_LABELS_X - 16, 32)]),
        (104.0, tr("straight in"), reach, [(x - half * 0.45, throat + (y - throat) * 0.35)]),
        (y, tr("wall"), wall, [(x + _RADIUS + 15, y)]),
        (y + 70, tr("hollow across"), inner, [(x + hollow_radius * 0.55, y + 24)]),
    ]
    if "hollow.thinnest" in table:
        labels.append((y + 140, tr("thinnest wall"), table["hollow.thinnest"], []))
    heights = [label_height(measured, words, _ROOM) + _GAP for _, words, measured, _ in labels]
    tops = spread([one[0] for one in labels], heights, 2.0)
    for (_, words, measured, places), top in zip(labels, tops, strict=True):
        if places:
            body.append(leader(*places, (_LABELS_X - 4, top + 26)))
        body.append(label(_LABELS_X, top, words, measured, system, room=_ROOM))
    height = max(y + _RADIUS + 26, tops[-1] + heights[-1])
    desc = tr(
        "The globe cut open through its poles, the opening at the top. The shaded wall lies "
        "between the ball and a ball-shaped hollow about the same centre."
    )
    return svg("hollow", _WIDTH, height, tr("The hollow, cut open"), desc, "".join(body))


def _cut_open(globe: Globe, scale: float, half: float, hollow_radius: float) -> list[Point]:
    """The wall as cut: the outside from one side of the opening round to the other, and back.

    Rings are cut across; grooves are not, for the cut runs along a land.
    """
    x, y = _CENTRE
    outer = _outside(globe, scale, math.asin(half / _RADIUS))
    inner = _round(math.asin(min(1.0, half / hollow_radius)), hollow_radius)
    return [
        *((x + a, y + b) for a, b in outer), *((x - a, y + b) for a, b in reversed(outer)),
        *((x - a, y + b) for a, b in inner), *((x + a, y + b) for a, b in reversed(inner)),
    ]  # fmt: skip


def _outside(globe: Globe, scale: float, start: float) -> list[Point]:
    """The outside's right half from an angle at the top down to the bottom, with its rings."""
    # the opening is drawn at the top, wherever it is
    opening = min(globe.bores, key=lambda bore: abs(bore.diameter_mm / 2 * scale
                  - _RADIUS * math.sin(start)), default=None)  # fmt: skip
    over = -1 if opening is not None and opening.from_mm + opening.to_mm < 0 else 1
    turns = {start + (math.pi - start) * step / _STEPS for step in range(_STEPS + 1)}
    rings = [(math.pi / 2 - over * math.radians(ring.latitude_deg), ring.section)
             for ring in globe.rings]  # fmt: skip
    for middle, section in rings:
        wide = section.half_angle_rad
        turns |= {middle + wide * step / 8 for step in range(-8, 9)}
    places = []
    for turn in sorted(one for one in turns if start <= one <= math.pi):
        cut = (
            surface_radius_mm(section, abs(turn - middle)) * scale
            for middle, section in rings
            if abs(turn - middle) < section.half_angle_rad
        )
        far = min(cut, default=_RADIUS)
        places.append((far * math.sin(turn), -far * math.cos(turn)))
    return places


def _round(start: float, radius: float) -> list[Point]:
    """A circle's right side from an angle at the top down to the bottom."""
    steps = max(2, math.ceil(math.degrees(math.pi - start) / _STEP_DEG))
    turns = (start + (math.pi - start) * step / steps for step in range(steps + 1))
    return [(radius * math.sin(turn), -radius * math.cos(turn)) for turn in turns]
