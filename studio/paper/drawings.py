"""Line drawings for the papers, as SVG with the measurements' own texts on them.

Coordinates follow the exact values, so that a drawing is true to proportion; every figure on it
is the measurement's printed text, never a number made here. Lines and letters take the page's
text colour, so a drawing works on a light page, a dark page and paper.
"""

from __future__ import annotations

import math
from html import escape

from studio.measure.measurement import Measurement, MeasurementTable, System
from studio.measure.trace import mark

_FIGURE, _OTHER, _NAME = 22.0, 17.0, 14.5
"""Type sizes in the drawing's units: first system, second system, name of a measurement."""

_LINE = 1.25
"""From one line of type to the next, as a multiple of the type size."""


def text_width(text: str, size: float) -> float:
    """About how wide ``text`` is set at ``size``, in the drawing's units; rather too wide.

    Widths per character are those of a bold sans serif, so that lighter type fits too.
    """
    narrow = " \u00a0\u202f.,:()'′″/-ijltfr"
    wide = sum(0.35 if char in narrow else 0.92 if char in "mMwW" else 0.62 for char in text)
    return size * wide


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _line(x1: float, y1: float, x2: float, y2: float, kind: str) -> str:
    ends = zip(("x1", "y1", "x2", "y2"), (x1, y1, x2, y2), strict=True)
    return (
        f'<line class="{kind}" {" ".join(f"{k}={chr(34)}{_number(v)}{chr(34)}" for k, v in ends)}/>'
    )


def _arrow(x: float, y: float, towards: float) -> str:
    """An arrowhead with its point at ``x, y``, flying in the direction ``towards`` [rad]."""
    points = [(x, y)]
    for side in (-1, 1):
        back = towards + math.pi + side * 0.3
        points.append((x + 9 * math.cos(back), y + 9 * math.sin(back)))
    joined = " ".join(f"{_number(px)},{_number(py)}" for px, py in points)
    return f'<polygon class="arrow" points="{joined}"/>'


def _dimension(x1: float, y1: float, x2: float, y2: float) -> str:
    """A dimension line with an arrowhead at each end."""
    towards = math.atan2(y2 - y1, x2 - x1)
    return (
        _line(x1, y1, x2, y2, "dim") + _arrow(x2, y2, towards) + _arrow(x1, y1, towards + math.pi)
    )


def _text(x: float, y: float, marked: str, shown: str, size: float, kind: str, **more: str) -> str:
    """One line of type; ``shown`` is ``marked`` as read, for fitting it into ``more['room']``."""
    room = float(more.pop("room", "0"))
    wide = text_width(shown, size)
    if room and wide > room:
        size *= room / wide
    extra = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in more.items())
    return (
        f'<text class="{kind}" x="{_number(x)}" y="{_number(y)}" '
        f'font-size="{_number(size)}"{extra}>{marked}</text>'
    )


def _label(
    x: float, y: float, name: str, measured: Measurement, system: System, anchor: str, room: float
) -> str:
    """Name, figure and second figure, one under the other; ``y`` is the top of the block."""
    first = measured.reading(system).text
    other = measured.reading(system.other).text
    more = {"text_anchor": anchor, "room": str(room)}
    y += _NAME
    out = _text(x, y, escape(name), name, _NAME, "name", **more)
    y += _FIGURE * 1.1
    out += _text(x, y, _marked(measured, first), first, _FIGURE, "figure", **more)
    if other != first:
        y += _OTHER * _LINE
        out += _text(x, y, _marked(measured, other), other, _OTHER, "other", **more)
    return out


def _upright(x: float, y: float, name: str) -> str:
    """A name that reads upwards and ends at ``x, y``."""
    turn = f"rotate(-90 {_number(x)} {_number(y)})"
    return _text(x, y, escape(name), name, _NAME, "name", text_anchor="end", transform=turn)


def _row(x: float, y: float, name: str, measured: Measurement, system: System, room: float) -> str:
    """Name over both figures on one line, centred at ``x``; ``y`` is the top of the block."""
    first = measured.reading(system).text
    other = measured.reading(system.other).text
    out = _text(x, y + _NAME, escape(name), name, _NAME, "name", text_anchor="middle")
    second = (
        f' <tspan class="other" font-size="{_number(_OTHER)}">({_marked(measured, other)})</tspan>'
        if other != first
        else ""
    )
    shown = f"{first} ({other})" if second else first
    return out + _text(
        x,
        y + _NAME + _FIGURE * 1.15,
        _marked(measured, first) + second,
        shown,
        _FIGURE,
        "figure",
        text_anchor="middle",
        room=str(room),
    )


def _marked(measured: Measurement, text: str) -> str:
    return mark(escape(measured.name), escape(text))


def _svg(ident: str, width: float, height: float, title: str, desc: str, body: str) -> str:
    return (
        f'<svg class="drawing" viewBox="0 0 {_number(width)} {_number(height)}" role="img" '
        f'aria-labelledby="{ident}-title {ident}-desc" xmlns="http://www.w3.org/2000/svg">'
        f'<title id="{ident}-title">{title}</title><desc id="{ident}-desc">{desc}</desc>'
        f"{body}</svg>"
    )


def octagon_layout(table: MeasurementTable, system: System) -> str:
    """The cylinder between centres, seen from the side, with the octagon to mark on it.

    Shows the diameter, the octagon's side, the set-in along the length and on the end face, the
    two end lines, and the ball to come.

    Args:
        table: the design's measurements.
        system: the system whose figures stand first and larger.

    Returns:
        SVG with marked figures; empty when the table lacks ``sphere.diameter``,
        ``sphere.octagon_side`` or ``sphere.set_in``.
    """
    if not {"sphere.diameter", "sphere.octagon_side", "sphere.set_in"} <= table.keys():
        return ""
    diameter, side = table["sphere.diameter"], table["sphere.octagon_side"]
    set_in = table["sphere.set_in"]
    width, height = 400.0, 440.0
    x0, y0, across = 44.0, 90.0, 216.0
    x1, y1 = x0 + across, y0 + across
    mid_x, mid_y = x0 + across / 2, y0 + across / 2
    inset = across * set_in.value / diameter.value
    corner_left, corner_right = x0 + inset, x1 - inset
    corner_top, corner_bottom = y0 + inset, y1 - inset
    octagon = [
        (corner_left, y0), (corner_right, y0), (x1, corner_top), (x1, corner_bottom),
        (corner_right, y1), (corner_left, y1), (x0, corner_bottom), (x0, corner_top),
    ]  # fmt: skip
    # the stubs that hold the work are thinner than the octagon's flat on the end face
    stub = (corner_bottom - corner_top) * 0.3
    body = [
        *(
            f'<polygon class="waste" points="{_points(triangle)}"/>'
            for triangle in (
                [(x0, y0), octagon[0], octagon[7]],
                [(x1, y0), octagon[1], octagon[2]],
                [(x1, y1), octagon[4], octagon[3]],
                [(x0, y1), octagon[5], octagon[6]],
            )
        ),
        *(
            _line(left, mid_y + off, right, mid_y + off, "outline")
            for off in (-stub, stub)
            for left, right in ((12.0, x0), (x1, x1 + 34.0))
        ),
        f'<rect class="outline" x="{_number(x0)}" y="{_number(y0)}" '
        f'width="{_number(across)}" height="{_number(across)}"/>',
        f'<polygon class="cut" points="{_points(octagon)}"/>',
        f'<circle class="ball" cx="{_number(mid_x)}" cy="{_number(mid_y)}" '
        f'r="{_number(across / 2)}"/>',
        _line(4, mid_y, x1 + 42, mid_y, "axis"),
        # along the length
        _line(x0, y0 - 4, x0, y0 - 18, "dim"),
        _line(corner_left, y0 - 4, corner_left, y0 - 18, "dim"),
        _dimension(x0, y0 - 12, corner_left, y0 - 12),
        _label(4, 4, "set-in along the length", set_in, system, "start", 200),
        # on the end face
        _line(x1 + 4, y0, x1 + 18, y0, "dim"),
        _line(x1 + 4, corner_top, x1 + 18, corner_top, "dim"),
        _dimension(x1 + 12, y0, x1 + 12, corner_top),
        _label(x1 + 22, y0 - 10, "on the end face", set_in, system, "start", width - x1 - 26),
        # through the middle
        _dimension(mid_x - 28, y0, mid_x - 28, y1),
        _label(mid_x - 18, mid_y - 70, "diameter", diameter, system, "start", 104),
        # under the cylinder
        _line(corner_left, y1 + 4, corner_left, y1 + 18, "dim"),
        _line(corner_right, y1 + 4, corner_right, y1 + 18, "dim"),
        _dimension(corner_left, y1 + 12, corner_right, y1 + 12),
        _row(mid_x, y1 + 20, "octagon side", side, system, 206),
        _line(x0, y1 + 4, x0, y1 + 82, "dim"),
        _line(x1, y1 + 4, x1, y1 + 82, "dim"),
        _dimension(x0, y1 + 76, x1, y1 + 76),
        _row(mid_x, y1 + 83, "from end line to end line", diameter, system, 290),
        # which end is which
        _upright(24, mid_y + stub + 8, "headstock"),
        _upright(x1 + 30, mid_y + stub + 8, "tailstock"),
    ]
    desc = (
        "Side view of a cylinder as long between its end lines as it is thick. An octagon drawn "
        "in the square touches all four edges; the corners outside it are turned away. A dashed "
        "circle inside shows the finished ball."
    )
    return _svg("octagon", width, height, "The octagon on the cylinder", desc, "".join(body))


def _points(places: list[tuple[float, float]]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in places)


def index_ring(table: MeasurementTable, system: System) -> str:
    """The work seen from the tailstock with its index marks, their angle and their chord.

    Args:
        table: the design's measurements.
        system: the system whose figures stand first and larger.

    Returns:
        SVG with marked figures; empty when the table lacks ``index.marks`` or ``index.angle``.
    """
    if not {"index.marks", "index.angle"} <= table.keys():
        return ""
    marks, angle = table["index.marks"], table["index.angle"]
    width, height = 340.0, 290.0
    mid_x, mid_y, radius = 106.0, 124.0, 92.0

    def at(turn: float, far: float) -> tuple[float, float]:
        """A point ``turn`` degrees on from the top mark, ``far`` from the centre."""
        bearing = math.radians(turn - 90)
        return mid_x + far * math.cos(bearing), mid_y + far * math.sin(bearing)

    body = [
        f'<circle class="outline" cx="{_number(mid_x)}" cy="{_number(mid_y)}" '
        f'r="{_number(radius)}"/>',
        _line(mid_x - 7, mid_y, mid_x + 7, mid_y, "axis"),
        _line(mid_x, mid_y - 7, mid_x, mid_y + 7, "axis"),
    ]
    count = max(1, round(marks.value))
    for place in range(count):
        turn = place * 360 / count
        body.append(_line(*at(turn, radius - 9), *at(turn, radius + 7), "outline"))
    step = angle.value
    for turn in (0.0, step):
        body.append(_line(*at(turn, 12), *at(turn, radius), "dim"))
    arc = 46.0
    (ax, ay), (bx, by) = at(0, arc), at(step, arc)
    far = 1 if step > 180 else 0
    body.append(
        f'<path class="dim" fill="none" d="M{_number(ax)},{_number(ay)} A{_number(arc)},'
        f'{_number(arc)} 0 {far} 1 {_number(bx)},{_number(by)}"/>'
    )
    body += [
        # neighbouring marks never reach the left half
        _label(mid_x - radius / 2, mid_y - 20, "turn on by", angle, system, "middle", radius - 8),
    ]
    if "index.chord" in table:
        (px, py), (qx, qy) = at(0, radius), at(step, radius)
        body.append(_line(px, py, qx, qy, "cut"))
        # a leader from the middle of the chord out to its label, clear of the ring
        body.append(_line((px + qx) / 2, (py + qy) / 2, mid_x + 86, 26, "dim"))
        body.append(_line(mid_x + 86, 26, mid_x + 96, 26, "dim"))
        body.append(
            _label(mid_x + 102, 2, "divider setting", table["index.chord"], system, "start", 128)
        )
    lines = [
        ("marks", "index.marks"),
        ("plate", "index.plate"),
        ("stops apart", "index.stops"),
    ]
    y = mid_y + radius + 18
    columns = [line for line in lines if line[1] in table]
    for place, (name, key) in enumerate(columns):
        x = 4 + place * (width - 8) / len(columns)
        room = (width - 8) / len(columns) - 6
        text = table[key].reading(system).text
        body.append(_text(x, y + 14, escape(name), name, _NAME, "name", room=str(room)))
        body.append(
            _text(x, y + 40, _marked(table[key], text), text, _FIGURE, "figure", room=str(room))
        )
    desc = (
        "End view of the work with a tick at every index mark. Neighbouring marks are joined "
        "to the centre by lines, and to each other by the chord that the dividers are set to."
    )
    return _svg("index", width, height, "The index marks round the work", desc, "".join(body))
