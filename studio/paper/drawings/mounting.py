"""The ball in its cup chuck, mounted for the first groove."""

from __future__ import annotations

import math

from studio.language import tr, tr_for
from studio.measure.measurement import MeasurementTable, System
from studio.paper.drawings.pen import (
    LINE,
    NAME,
    Point,
    circle,
    dimension,
    label,
    leader,
    line,
    name,
    name_lines,
    polygon,
    svg,
    told,
)
from studio.turning.cutters import Section, surface_radius_mm
from studio.turning.piece import Piece

_WIDTH = 400.0
_CENTRE = (204.0, 192.0)
_RADIUS = 88.0
_WALL, _CLEAR, _PLATE, _SPINDLE = 11.0, 10.0, 14.0, 17.0
_COLUMNS = (4.0, 206.0)
_ROOM = 188.0
_WORDS = 17.0
_SIDE_ROOM = 118.0


def mounting(table: MeasurementTable, piece: Piece | None, system: System) -> str:
    """The lathe from the side with the ball in the cup, the first groove square to its axis.

    Which side is which is named by headstock and tailstock, so that it holds for either hand. With
    ``axis.*`` in the table it also says which marks look to which side, the groove's own marks and
    what the tail point stands on.

    Args:
        table: the design's measurements.
        piece: the finished piece, whose groove is drawn.
        system: the system whose figures stand first and larger.

    Returns:
        SVG with marked figures; empty without grooves, or when the table lacks ``grooves.rim``,
        ``grooves.width`` or ``grooves.depth``.
    """
    globe = piece.globe if piece is not None else None
    needs = {"grooves.rim", "grooves.width", "grooves.depth"}
    if globe is None or globe.section is None or not needs <= table.keys():
        return ""
    rim, width, depth = (table[f"grooves.{key}"] for key in ("rim", "width", "depth"))
    (x, y), scale = _CENTRE, 2 * _RADIUS / globe.diameter_mm
    rim_radius = rim.value * scale / 2
    if rim_radius >= _RADIUS:
        return ""
    off = _RADIUS * math.sin(width.value / globe.diameter_mm)
    floor = depth.value * scale
    touch = x - math.sqrt(_RADIUS**2 - rim_radius**2)
    band = _RADIUS * math.sin(globe.section.half_angle_rad)
    rise = _RADIUS * math.cos(globe.section.half_angle_rad)
    top = y - _RADIUS - 14
    body = [
        *_cup(touch, rim_radius),
        *_point(x + _RADIUS),
        polygon("land", _outline(globe.section, scale)),
        polygon("waste", _band(globe.section, scale)),
        *(line(x + side * band, y - rise, x + side * band, y + rise, "cut") for side in (-1, 1)),
        polygon("hull", _outline(globe.section, scale)),
        line(4, y, _WIDTH - 4, y, "axis"),
        line(x, y - _RADIUS - 8, x, y + _RADIUS + 8, "axis"),
        circle("arrow", x, y - _RADIUS + floor, 2.4),
        circle("arrow", x, y + _RADIUS - floor, 2.4),
        name(x + band + 7, y - _RADIUS + floor + 20, tr("pole")),
        name(x + band + 7, y + _RADIUS - floor - 10, tr("pole")),
        # the rim, where it touches
        leader((touch, y - rim_radius), (124, 34), (114, 34)),
        label(4, 2, tr("rim of the cup"), rim, system, room=108),
        # the groove
        line(x - off, y - rise, x - off, top - 6, "dim"),
        line(x + off, y - rise, x + off, top - 6, "dim"),
        dimension(x - off, top, x + off, top),
        leader((x + off + 14, top), (272, top), (282, 34)),
        label(286, 2, tr("groove width"), width, system, room=112),
        leader((x + 2, y + _RADIUS - floor + 1), (x + 64, y + _RADIUS + 4), (282, y + 92)),
        label(286, y + 64, tr("groove depth"), depth, system, room=112),
    ]
    headstock, below = tr_for("drawing", "headstock side"), y + rim_radius + _WALL + 20
    # a rim nearly as wide as the ball stands as low as it
    foot = max(
        y + _RADIUS + 42, below + (len(name_lines(headstock, _SIDE_ROOM)) - 1) * NAME * LINE + 14
    )
    body += [
        name(4, below, headstock, room=_SIDE_ROOM),
        name(_WIDTH - 106, y - 34, tr_for("drawing", "tailstock side"), room=104, upwards=True),
    ]
    rows = (
        ((tr("mark at the headstock"), "head"), (tr("mark at the tail point"), "tail")),
        ((tr("the groove runs through"), "marks"), (tr("the tail point stands"), "point")),
    )
    for pair in rows:
        lowest = foot
        for left, (words, key) in zip(_COLUMNS, pair, strict=True):
            measured = table.get(f"axis.{key}_1")
            if measured is None:
                continue
            block, bottom = told(left, foot, words, measured, system, _WORDS, _ROOM)
            body.append(block)
            lowest = max(lowest, bottom)
        foot = lowest
    desc = tr(
        "Side view at the lathe: the ball sits in the rim of a cup chuck at the headstock side, "
        "and a tail point stands against it at the tailstock side. The groove to be cut is a band "
        "square to the lathe's axis, with a pole at its top and a pole at its bottom."
    )
    title = tr("The mounting for the first groove")
    return svg("mounting", _WIDTH, max(foot, y + 132), title, desc, "".join(body))


def _cup(touch: float, rim_radius: float) -> list[str]:
    """The cup, cut open: two walls whose inner edges carry the ball, a plate and the spindle."""
    x, y = _CENTRE
    inside = x - _RADIUS - _CLEAR
    outside = inside - _PLATE
    outer = rim_radius + _WALL
    cup = polygon("form", [
        (touch, y - rim_radius), (inside, y - rim_radius), (inside, y + rim_radius),
        (touch, y + rim_radius), (touch, y + outer), (outside, y + outer), (outside, y - outer),
        (touch, y - outer),
    ])  # fmt: skip
    half = min(_SPINDLE, outer)
    spindle = [(outside, y - half), (8, y - half), (8, y + half), (outside, y + half)]
    return [polygon("land", spindle), cup]


def _point(at: float) -> list[str]:
    """The tail point: a live centre of sixty degrees, as tailstocks commonly carry."""
    y = _CENTRE[1]
    cone = 16.0
    reach = cone * math.sqrt(3)
    return [
        polygon("form", [(at, y), (at + reach, y - cone), (at + reach, y + cone)]),
        polygon("land", [
            (at + reach, y - cone - 4), (_WIDTH - 8, y - cone - 4),
            (_WIDTH - 8, y + cone + 4), (at + reach, y + cone + 4),
        ]),
    ]  # fmt: skip


def _notch(section: Section, scale: float, side: int) -> list[Point]:
    """The groove's cross-section at the top (-1) or bottom (1), from left to right."""
    half = section.half_angle_rad
    places = []
    for step in range(-16, 17):
        angle = half * step / 16
        far = surface_radius_mm(section, abs(angle)) * scale
        places.append(
            (_CENTRE[0] + far * math.sin(angle), _CENTRE[1] + side * far * math.cos(angle))
        )
    return places


def _outline(section: Section, scale: float) -> list[Point]:
    half = section.half_angle_rad
    span = math.pi - 2 * half
    right = [half + span * step / 60 for step in range(1, 60)]
    x, y = _CENTRE
    return [
        *_notch(section, scale, -1),
        *((x + _RADIUS * math.sin(turn), y - _RADIUS * math.cos(turn)) for turn in right),
        *reversed(_notch(section, scale, 1)),
        *((x - _RADIUS * math.sin(turn), y - _RADIUS * math.cos(turn)) for turn in reversed(right)),
    ]


def _band(section: Section, scale: float) -> list[Point]:
    return [*_notch(section, scale, -1), *reversed(_notch(section, scale, 1))]
