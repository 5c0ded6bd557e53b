"""The whole piece put together, seen from the side."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

from studio.language import tr
from studio.measure.measurement import Measurement, MeasurementTable, System
from studio.paper.drawings.globe import lands_from_side, outline_from_side, rings_from_side
from studio.paper.drawings.pen import (
    Point,
    circle,
    dimension,
    label,
    label_height,
    leader,
    line,
    polygon,
    polyline,
    spread,
    svg,
)
from studio.turning.piece import Bore, Globe, Piece, PlacedPart
from studio.turning.profile import outline

_WIDTH = 400.0
_TOP = 20.0
_HIGH, _WIDE = 430.0, 190.0
_AXIS = 106.0
_DIM_X = 246.0
_LABELS_X = 286.0
_ROOM = _WIDTH - _LABELS_X - 2
_GAP = 10.0
_CHORD = 0.15


def assembly(table: MeasurementTable, piece: Piece | None, system: System) -> str:
    """The globe with the parts that stand on it, each part's height and the height of it all.

    Tenons in their holes are dashed.

    Args:
        table: the design's measurements.
        piece: the finished piece.
        system: the system whose figures stand first and larger.

    Returns:
        SVG with marked figures; empty when the piece has no turned parts or the table lacks
        ``assembly.height``.
    """
    if piece is None or not piece.parts or "assembly.height" not in table:
        return ""
    low, high, wide = _extent(piece)
    scale = min(_HIGH / (high - low), _WIDE / wide)
    origin = (_AXIS, _TOP + high * scale)

    def placed(x: float, z: float) -> Point:
        return origin[0] + x * scale, origin[1] - z * scale

    body = [line(_AXIS, 2, _AXIS, _TOP + (high - low) * scale + 18, "axis")]
    labels: list[tuple[float, str, Measurement, list[Point]]] = []
    origins: dict[str, str] = {}
    globe = piece.globe
    if globe is not None:
        kind = "form" if globe.grooves else "land"
        body += [
            polygon(kind, [placed(*one) for one in outline_from_side(globe)]),
            *(polygon("land", [placed(*one) for one in land]) for land in lands_from_side(globe)),
            *(polygon("band", [placed(*one) for one in band]) for band in rings_from_side(globe)),
        ]
        if "sphere.diameter" in table:
            # where its outline is widest: a groove may lie at the equator's edge
            edge = placed(*max(outline_from_side(globe)))
            labels.append((edge[1], tr("globe"), table["sphere.diameter"], [edge]))
    for part in piece.parts:
        points = outline(part.profile, _CHORD / scale)
        shown = [one for one in points if one[0] <= part.shoulder_at_mm + 1e-6]
        right = [placed(far, part.height_mm(at)) for at, far in shown]
        body.append(polygon("land", [*right, *((2 * _AXIS - x, y) for x, y in reversed(right))]))
        body += _hidden(part, points, placed)
        start, end = part.height_mm(0.0), part.height_mm(part.shoulder_at_mm)
        middle = (start + end) / 2
        measured = _height_of(table, part)
        if measured is not None:
            far = _radius_at(shown, part.shoulder_at_mm / 2)
            title = table.get(f"{part.name}.title")
            words = title.text if title is not None else part.name
            origins[words] = f"group:{part.name}"
            labels.append((placed(0, middle)[1], words, measured, [placed(far, middle)]))
    if globe is not None and globe.hollow_diameter_mm:
        body.append(circle("hidden", *origin, globe.hollow_diameter_mm / 2 * scale))
    for bore in [*(_through_wood(globe) if globe is not None else ()), *_bores(piece)]:
        body.append(_bore(bore, placed))
    top_y, bottom_y = placed(0, high)[1], placed(0, low)[1]
    whole = table["assembly.height"]
    body += [
        line(_AXIS + 6, top_y, _DIM_X + 6, top_y, "dim"),
        line(_AXIS + 6, bottom_y, _DIM_X + 6, bottom_y, "dim"),
        dimension(_DIM_X, top_y, _DIM_X, bottom_y),
    ]
    labels.append((
        top_y + (bottom_y - top_y) * 0.28, tr("height of it all"), whole,
        [(_DIM_X, top_y + (bottom_y - top_y) * 0.28)],
    ))  # fmt: skip
    labels.sort(key=lambda one: one[0])
    heights = [label_height(measured, words, _ROOM) + _GAP for _, words, measured, _ in labels]
    tops = spread([one[0] for one in labels], heights, 2.0)
    for (_, words, measured, places), y in zip(labels, tops, strict=True):
        body.append(leader(*places, (_LABELS_X - 4, y + 26)))
        body.append(
            label(_LABELS_X, y, words, measured, system, room=_ROOM, origin=origins.get(words, ""))
        )
    height = max(bottom_y + 22, tops[-1] + heights[-1])
    desc = tr(
        "Side view of the whole piece on its upright axis: the globe and the turned parts that "
        "stand on it, with the tenons inside dashed."
    )
    return svg("assembly", _WIDTH, height, tr("The piece put together"), desc, "".join(body))


def _height_of(table: MeasurementTable, part: PlacedPart) -> Measurement | None:
    return table.get(f"{part.name}.length")


def _radius_at(points: Sequence[Point], place: float) -> float:
    """How far the outline is from the axis at a place along it, mm."""
    for (at, far), (next_at, next_far) in pairwise(points):
        if at <= place <= next_at and next_at > at:
            return far + (next_far - far) * (place - at) / (next_at - at)
    return 0.0


def _extent(piece: Piece) -> tuple[float, float, float]:
    """Lowest and highest place, and the widest diameter, mm."""
    heights, widths = [], []
    if piece.globe is not None:
        radius = piece.globe.diameter_mm / 2
        inside = (z for _, z in outline_from_side(piece.globe))
        heights += list(inside)
        widths.append(2 * radius)
    for part in piece.parts:
        heights += [part.height_mm(0.0), part.height_mm(part.shoulder_at_mm)]
        widths += [change.diameter_mm for change in part.profile.changes]
    return min(heights), max(heights), max(widths)


def _through_wood(globe: Globe) -> list[Bore]:
    """The globe's holes as far as they run in wood: those into a hollow end at it."""
    inner = globe.hollow_diameter_mm / 2
    out = []
    for bore in globe.bores:
        reach = math.sqrt(max(0.0, inner**2 - bore.diameter_mm**2 / 4))
        low, high = bore.from_mm, bore.to_mm
        if inner and low + high > 0:
            low = max(low, reach)
        elif inner:
            high = min(high, -reach)
        out.append(Bore(low, high, bore.diameter_mm))
    return out


def _bores(piece: Piece) -> list[Bore]:
    return [bore for part in piece.parts for bore in part.bores]


def _hidden(
    part: PlacedPart, points: tuple[Point, ...], placed: Callable[[float, float], Point]
) -> list[str]:
    """The tenon beyond the shoulder, on both sides."""
    inside = [one for one in points if one[0] >= part.shoulder_at_mm - 1e-6]
    if len(inside) < 2 or part.shoulder_at_mm >= part.profile.length_mm - 1e-6:
        return []
    right = [placed(far, part.height_mm(at)) for at, far in inside]
    left = [(2 * _AXIS - x, y) for x, y in right]
    return [polyline("hidden", right), polyline("hidden", left),
            polyline("hidden", [right[-1], left[-1]])]  # fmt: skip


def _bore(bore: Bore, placed: Callable[[float, float], Point]) -> str:
    half = bore.diameter_mm / 2
    return polygon("hidden", [
        placed(-half, bore.from_mm), placed(half, bore.from_mm),
        placed(half, bore.to_mm), placed(-half, bore.to_mm),
    ])  # fmt: skip
