"""The index marks round the work."""

from __future__ import annotations

import math

from studio.measure.measurement import MeasurementTable, System
from studio.measure.trace import mark
from studio.paper.drawings.pen import (
    FIGURE,
    NAME,
    Point,
    arc,
    at,
    circle,
    label,
    leader,
    line,
    marked,
    name,
    svg,
    text,
    text_width,
)

_EVERY = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 16, 20, 24)
"""Where there is no room to number each mark, each second, third … one has its number."""

_NUMBER = 13.5
"""Type size of a mark's number."""


def index_ring(table: MeasurementTable, system: System) -> str:
    """The work seen from the tailstock with its index marks, their angle and their chord.

    Where ``axis.marks`` says how many marks the mounting card names, they stand numbered on it,
    from the top and the way the hands of a clock go.

    Args:
        table: the design's measurements.
        system: the system whose figures stand first and larger.

    Returns:
        SVG with marked figures; empty when the table lacks ``index.marks`` or ``index.angle``.
    """
    if not {"index.marks", "index.angle"} <= table.keys():
        return ""
    marks, angle = table["index.marks"], table["index.angle"]
    width, height = 356.0, 314.0
    centre, radius = (122.0, 134.0), 92.0
    mid_x, mid_y = centre
    body = [
        circle("outline", mid_x, mid_y, radius),
        line(mid_x - 7, mid_y, mid_x + 7, mid_y, "axis"),
        line(mid_x, mid_y - 7, mid_x, mid_y + 7, "axis"),
    ]
    count = max(1, round(marks.value))
    for place in range(count):
        turn = place * 360 / count
        body.append(line(*at(centre, turn, radius - 9), *at(centre, turn, radius + 7), "outline"))
    label_at = (mid_x + 88, 22.0)
    numbered = "axis.marks" in table and round(table["axis.marks"].value) == count
    if numbered:
        chord = at(centre, angle.value / 2, radius)
        body += _numbers(centre, radius + 19, count, (chord, (mid_x + 78, 22.0)))
    step = angle.value
    for turn in (0.0, step):
        body.append(line(*at(centre, turn, 12), *at(centre, turn, radius), "dim"))
    body += [
        arc("dim", centre, 46, 0, step),
        # neighbouring marks never reach the left half
        label(
            mid_x - radius / 2, mid_y - 20, "turn on by", angle, system,
            anchor="middle", room=radius - 8,
        ),
    ]  # fmt: skip
    if "index.chord" in table:
        (px, py), (qx, qy) = at(centre, 0, radius), at(centre, step, radius)
        body += [
            line(px, py, qx, qy, "cut"),
            # a leader from the middle of the chord out to its label, between the first two numbers
            leader(((px + qx) / 2, (py + qy) / 2), (mid_x + 78, 22), label_at),
            label(mid_x + 92, 2, "divider setting", table["index.chord"], system, room=140),
        ]
    lines = [
        ("marks", "index.marks"),
        ("plate", "index.plate"),
        ("stops apart", "index.stops"),
    ]
    y = mid_y + radius + 32
    columns = [one for one in lines if one[1] in table]
    for place, (words, key) in enumerate(columns):
        x = 4 + place * (width - 8) / len(columns)
        room = (width - 8) / len(columns) - 6
        shown = table[key].reading(system).text
        body.append(name(x, y + NAME, words, room=room))
        body.append(text(x, y + 40, marked(table[key], shown), shown, FIGURE, "figure", room=room))
    desc = (
        "End view of the work with a tick at every index mark. Neighbouring marks are joined "
        "to the centre by lines, and to each other by the chord that the dividers are set to."
    )
    if numbered:
        desc += " The marks are numbered from the top, the way the hands of a clock go."
    return svg("index", width, height, "The index marks round the work", desc, "".join(body))


def _numbers(centre: Point, radius: float, count: int, clear: tuple[Point, Point]) -> list[str]:
    """The marks' numbers outside the ring; only some of them when they stand too close.

    None but the first stands on the line between the two points ``clear``, where a leader runs.
    """
    widest = text_width(str(count), _NUMBER) + 4
    apart = math.tau * radius / count
    every = next((each for each in _EVERY if each * apart >= widest), count)
    out = []
    for place in range(0, count, every):
        # the last one before the first again may be nearer than the others
        if place and (count - place) * apart < widest:
            continue
        x, y = at(centre, place * 360 / count, radius)
        if place and _off_line((x, y), *clear) < _NUMBER * 0.8:
            continue
        shown = str(place + 1)
        said = mark(f"mark:{shown}", shown)
        out.append(text(x, y + _NUMBER * 0.36, said, shown, _NUMBER, "other", anchor="middle"))
    return out


def _off_line(place: Point, start: Point, end: Point) -> float:
    """How far a point lies from a straight piece of line."""
    (x, y), (ax, ay), (bx, by) = place, start, end
    along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / math.dist(start, end) ** 2
    along = min(1.0, max(0.0, along))
    return math.dist(place, (ax + along * (bx - ax), ay + along * (by - ay)))
