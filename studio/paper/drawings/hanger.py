"""The twisted bundle in its hole."""

from __future__ import annotations

import math
from collections.abc import Mapping

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
    polyline,
    spread,
    svg,
)
from studio.turning.drills import point_mm
from studio.turning.piece import Piece

_WIDTH = 400.0
_AXIS = 150.0
_SURFACE = 96.0
_DEEPEST = 210.0
_NARROWEST, _WIDEST = 26.0, 64.0
_STICKS_OUT = 74.0
_LABELS_X = 276.0
_ROOM = _WIDTH - _LABELS_X - 2
_GAP = 6.0
_STEPS_A_TURN = 24


def hanger_in_hole(table: MeasurementTable, piece: Piece | None, system: System) -> str:
    """The hole cut open, with the bundle of wires in it.

    Wire, bundle and hole are true to proportion with one another and, unless the hole is so deep
    that it is drawn broken, with its depth.

    Args:
        table: the design's measurements.
        piece: the finished piece; the wood is the ball's, or the flat end of a part on top of it.
        system: the system whose figures stand first and larger.

    Returns:
        SVG with marked figures; empty when the table lacks ``hanger.wire``, ``hanger.bundle``,
        ``hanger.strands``, ``hanger.drill`` or ``hanger.depth``.
    """
    needs = ("wire", "bundle", "strands", "drill", "depth")
    if not {f"hanger.{key}" for key in needs} <= table.keys():
        return ""
    wire, bundle, _, drill, depth = (table[f"hanger.{key}"] for key in needs)
    scale = min(_DEEPEST / depth.value, _WIDEST / drill.value)
    scale = max(scale, _NARROWEST / drill.value)
    deep = min(depth.value * scale, _DEEPEST)
    broken = depth.value * scale > _DEEPEST + 1e-6
    hole = drill.value * scale / 2
    bottom = _SURFACE + deep
    left, right = _AXIS - hole, _AXIS + hole
    tip = point_mm(2 * hole)
    wood_right = min(_LABELS_X - 26, right + 74)
    wood_left = left - 74
    round_end = piece is None or (
        piece.globe is not None and not any(part.up for part in piece.parts)
    )
    surface = _surface(table if round_end else {}, scale, wood_left, wood_right)
    wood = [
        *surface, (wood_right, bottom + 34), (wood_left, bottom + 34),
    ]  # fmt: skip
    body = [
        polygon("waste", wood),
        polyline("outline", surface),
        polygon("wood", [
            (left, _SURFACE - 2), (right, _SURFACE - 2), (right, bottom),
            (_AXIS, bottom + tip), (left, bottom),
        ]),
        *_strands(table, scale, bottom - 2),
        polyline("outline", [
            (left, _SURFACE), (left, bottom), (_AXIS, bottom + tip), (right, bottom),
            (right, _SURFACE),
        ]),
    ]  # fmt: skip
    if broken:
        body += _break(wood_left, wood_right, _SURFACE + deep * 0.55)
    dim_x = wood_left - 16
    body += [
        line(left, _SURFACE, dim_x - 6, _SURFACE, "dim"),
        line(left, bottom, dim_x - 6, bottom, "dim"),
        dimension(dim_x, _SURFACE, dim_x, bottom),
        # across the mouth and across the bundle, above it
        line(_AXIS - bundle.value * scale / 2, 34, _AXIS - bundle.value * scale / 2, 16, "dim"),
        line(_AXIS + bundle.value * scale / 2, 34, _AXIS + bundle.value * scale / 2, 16, "dim"),
        dimension(_AXIS - bundle.value * scale / 2, 22, _AXIS + bundle.value * scale / 2, 22),
        label(4, bottom + 46, tr("depth"), depth, system, room=118),
        leader((dim_x, bottom - 14), (dim_x - 12, bottom - 6), (dim_x - 12, bottom + 44)),
    ]
    labels: list[tuple[float, str, Measurement, tuple[Point, ...]]] = [
        (34.0, tr("bundle across"), bundle, ((_AXIS + bundle.value * scale / 2 + 8, 22.0),
                                         (_LABELS_X - 22, 22.0))),
        (110.0, tr("wire"), wire, ((_AXIS + bundle.value * scale / 4, 60.0),)),
        (184.0, tr("drill"), drill, ((right, _SURFACE + deep * 0.4),)),
    ]  # fmt: skip
    for middle, words, key in (
        (250.0, tr("strands"), "strands"), *_to_cut(table), (360.0, tr("loop round"), "loop"),
    ):  # fmt: skip
        if f"hanger.{key}" in table:
            labels.append((middle, words, table[f"hanger.{key}"], ()))
    heights = [label_height(measured, words, _ROOM) + _GAP for _, words, measured, _ in labels]
    tops = spread([one[0] for one in labels], heights, 2.0)
    for (_, words, measured, start), y in zip(labels, tops, strict=True):
        if start:
            body.append(leader(*start, (_LABELS_X - 4, y + 26)))
        body.append(label(_LABELS_X, y, words, measured, system, room=_ROOM))
    height = max(bottom + 46 + label_height(depth), tops[-1] + heights[-1])
    stands = tr("a wire")
    if table["hanger.strands"].value > 1:
        stands = (
            tr("a bundle of wires twisted together")
            if "hanger.pitch" in table
            else tr("a bundle of wires side by side")
        )
    desc = tr(
        "The hole cut open from the surface down, {stands} standing in it to the bottom and "
        "going on upwards to the loop.",
        stands=stands,
    )
    title = tr("The hanger in its hole")
    return svg("hanger", _WIDTH, height, title, desc, "".join(body))


def _to_cut(table: MeasurementTable) -> list[tuple[float, str, str]]:
    """What is cut from the coil: a folded wire makes two strands, so how many is not theirs.

    An odd strand is a wire of its own, cut shorter.
    """
    if table["hanger.strands"].value == 1:
        return [(300.0, tr("wire to cut"), "cut")]
    return [
        (275.0, tr("wires to fold"), "wires"),
        (300.0, tr("cut each to"), "cut"),
        (330.0, tr("and one, not folded, to"), "cut_single"),
    ]


def _surface(
    table: Mapping[str, Measurement], scale: float, left: float, right: float
) -> list[Point]:
    """The ball's surface round the hole; flat where the table has no ball."""
    ball = table.get("sphere.diameter")
    if ball is None:
        return [(left, _SURFACE), (right, _SURFACE)]
    radius = ball.value * scale / 2
    places = []
    for step in range(25):
        x = left + (right - left) * step / 24
        off = min(abs(x - _AXIS), radius)
        places.append((x, _SURFACE + radius - math.sqrt(radius**2 - off**2)))
    return places


def _strands(table: MeasurementTable, scale: float, bottom: float) -> list[str]:
    """The wires, those behind first: each a band that winds round the axis."""
    wire = table["hanger.wire"].value * scale
    count = round(table["hanger.strands"].value)
    helix = max(0.0, table["hanger.bundle"].value * scale - wire) / 2
    pitch = table["hanger.pitch"].value * scale if "hanger.pitch" in table else 0.0
    top = _SURFACE - _STICKS_OUT
    if not pitch or count == 1 or not helix:
        return [
            polygon("wire", [(x - wire / 2, top), (x + wire / 2, top), (x + wire / 2, bottom),
                             (x - wire / 2, bottom)])
            for x in (_AXIS + helix * math.cos(math.pi * (place + 0.5) / count) if helix else _AXIS
                      for place in range(count))
        ]  # fmt: skip
    steps = max(8, math.ceil((bottom - top) / pitch * _STEPS_A_TURN))
    pieces: list[tuple[float, str]] = []
    for strand in range(count):
        phase = 2 * math.pi * strand / count
        run: list[tuple[Point, float]] = []
        for step in range(steps + 1):
            y = top + (bottom - top) * step / steps
            turn = 2 * math.pi * (y - _SURFACE) / pitch + phase
            front = math.cos(turn) >= 0
            place = (_AXIS + helix * math.sin(turn), y)
            if run and (run[-1][1] >= 0) != front:
                run.append((place, 1.0 if run[-1][1] >= 0 else -1.0))
                pieces.append((run[-1][1], _band([one for one, _ in run], wire)))
                run = []
            run.append((place, 1.0 if front else -1.0))
        if len(run) > 1:
            pieces.append((run[-1][1], _band([one for one, _ in run], wire)))
    return [piece for _, piece in sorted(pieces, key=lambda one: one[0])]


def _band(middle: list[Point], wide: float) -> str:
    """A wire seen from the side: a band of even width along its middle line."""
    right, left = [], []
    for before, here, after in zip(
        [middle[0], *middle[:-1]], middle, [*middle[1:], middle[-1]], strict=True
    ):
        dx, dy = after[0] - before[0], after[1] - before[1]
        long = math.hypot(dx, dy) or 1.0
        off = (-dy / long * wide / 2, dx / long * wide / 2)
        right.append((here[0] + off[0], here[1] + off[1]))
        left.append((here[0] - off[0], here[1] - off[1]))
    return polygon("wire", [*right, *reversed(left)])


def _break(left: float, right: float, y: float) -> list[str]:
    """The two wavy lines of a drawing that leaves out a stretch."""

    def wave(low: float) -> list[Point]:
        span = right - left + 16
        return [
            (left - 8 + span * step / 32, low + 4 * math.sin(math.pi * step / 8))
            for step in range(33)
        ]

    upper, lower = wave(y), wave(y + 12)
    return [
        polygon("wood", [*upper, *reversed(lower)]),
        polyline("dim", upper),
        polyline("dim", lower),
    ]
