"""Each round of cuts from the cylinder to the ball: its marks, its limit, what it leaves proud."""

from __future__ import annotations

import math

from studio.language import later, tr, tr_for
from studio.measure.measurement import MeasurementTable, System
from studio.paper.drawings.pen import (
    NAME,
    Point,
    circle,
    dimension,
    label,
    label_height,
    leader,
    line,
    name,
    polygon,
    polyline,
    row,
    spread,
    svg,
    upright,
)

ROUNDS = ("first", "second", "third")
"""The rounds of cuts, as measurements are named after them."""

_MARKS = {"first": "set_in", "second": "second_mark", "third": "third_mark"}
_TITLES = {
    "first": later("The first round of cuts: to an octagon"),
    "second": later("The second round of cuts: off each corner of the octagon"),
    "third": later("The third round of cuts: off each corner once more"),
}
_ARC_STEPS = 24


def round_of_cuts(table: MeasurementTable, system: System, which: str) -> str:
    """One round of cuts from the side, and one of its corners enlarged.

    The whole outline before (the waste is shaded) and after, the end disc's limit, the marks both
    ways from a corner, and what the new corners stand proud of the ball.

    Args:
        table: the design's measurements.
        system: the system whose figures stand first and larger.
        which: the round, one of ``ROUNDS``.

    Returns:
        SVG with marked figures; empty when the table lacks ``sphere.diameter`` or one of this
        round's mark, end limit, sides and corners left proud.
    """
    names = {
        "diameter": "sphere.diameter",
        "mark": f"sphere.{_MARKS[which]}",
        "limit": f"sphere.end_limit_{which}",
        "proud": f"sphere.proud_{which}",
        "sides": f"sphere.sides_{which}",
    }
    if not set(names.values()) <= table.keys():
        return ""
    found = {key: table[name] for key, name in names.items()}
    sides = round(found["sides"].value)
    diameter = found["diameter"].value
    # the whole outline
    centre, radius = (120.0, 112.0), 80.0
    scale = 2 * radius / diameter
    disc = found["limit"].value * scale / 2
    left, right = centre[0] - radius, centre[0] + radius
    before, after = _outline(centre, radius, sides // 2), _outline(centre, radius, sides)
    room = 400 - right - 78
    beside = [(tr("end disc below"), found["limit"]), (tr("sides after"), found["sides"])]
    heights = [label_height(measured, words, room) + 6 for words, measured in beside]
    tops = spread([centre[1] + 12, centre[1] + 76], heights, 2.0)
    body = [
        polygon("waste", before),
        polygon("outline", before),
        polygon("wood", after),
        polygon("cut", after),
        circle("ball", *centre, radius),
        *(
            line(start, centre[1] + off, end, centre[1] + off, "outline")
            for off in (-disc, disc)
            for start, end in ((10.0, left), (right, right + 40.0))
        ),
        line(4, centre[1], right + 46, centre[1], "axis"),
        upright(24, centre[1] + max(disc, 4) + 8, tr_for("drawing", "headstock")),
        upright(right + 28, centre[1] + max(disc, 4) + 8, tr_for("drawing", "tailstock")),
        # the end disc
        *(line(right + 42, centre[1] + off, right + 58, centre[1] + off, "dim")
          for off in (-disc, disc)),
        dimension(right + 52, centre[1] - disc, right + 52, centre[1] + disc),
        leader((right + 52, centre[1]), (right + 70, centre[1])),
        *(
            label(right + 74, y, words, measured, system, room=room)
            for (words, measured), y in zip(beside, tops, strict=True)
        ),
    ]  # fmt: skip
    corner = before[0]
    body.append(circle("lens", *corner, 13))
    body.append(name(corner[0] + 16, corner[1] - 2, tr("enlarged")))
    detail, bottom = _corner(table, system, which, names, sides)
    body += detail
    desc = tr(
        "Side view: the outline before the round with the waste shaded, the outline after it, and "
        "a dashed circle for the ball to come. Below, one corner enlarged: a mark on each side of "
        "the corner, the cut straight from mark to mark, and the small gap between the new corner "
        "and the ball."
    )
    return svg(f"round-{which}", 400, bottom, tr(_TITLES[which]), desc, "".join(body))


def _outline(centre: Point, radius: float, sides: int) -> list[Point]:
    """A regular figure round the ball, flats at the top and at both ends; first its corner at the
    top's right."""
    far = radius / math.cos(math.pi / sides)
    turns = ((place + 0.5) * 2 * math.pi / sides for place in range(sides))
    return [(centre[0] + far * math.sin(turn), centre[1] - far * math.cos(turn)) for turn in turns]


def _corner(
    table: MeasurementTable, system: System, which: str, names: dict[str, str], sides: int
) -> tuple[list[str], float]:
    """One corner, upright and enlarged; and where it ends."""
    measured, proud = table[names["mark"]], table[names["proud"]]
    leg = 78.0 if which == "first" else 72.0
    scale = leg / measured.value
    radius = table[names["diameter"]].value / 2 * scale
    tip = (148.0, 296.0)
    # half the corner's own angle, from the upright
    half = math.pi / 2 - math.pi / (sides // 2)
    down, out = math.cos(half), math.sin(half)
    centre = (tip[0], tip[1] + radius / math.cos(2 * math.pi / sides))
    marks = [(tip[0] + side * leg * out, tip[1] + leg * down) for side in (-1, 1)]
    flat = radius * math.tan(math.pi / sides)
    ends = [(x + side * flat * out, y + flat * down)
            for side, (x, y) in zip((-1, 1), marks, strict=True)]  # fmt: skip
    turned = 2 * math.pi / sides
    ball = [
        (centre[0] + radius * math.sin(turn), centre[1] - radius * math.cos(turn))
        for turn in (turned * (2 * step / _ARC_STEPS - 1) for step in range(_ARC_STEPS + 1))
    ]
    body = [
        polygon("waste", [tip, *marks]),
        polyline("outline", [marks[0], tip, marks[1]]),
        polyline("ball", ball),
        polyline("cut", [ends[0], *marks, ends[1]]),
    ]
    # both marks, measured along the old sides and shown a little outside them
    for side, (x, y) in zip((-1, 1), marks, strict=True):
        shift = side * down * 16, -out * 16
        body += [
            line(x + shift[0] * 0.2, y + shift[1] * 0.2, x + shift[0] * 1.3, y + shift[1] * 1.3,
                 "dim"),
            line(tip[0] + shift[0] * 0.2, tip[1] + shift[1] * 0.2,
                 tip[0] + shift[0] * 1.3, tip[1] + shift[1] * 1.3, "dim"),
            dimension(tip[0] + shift[0], tip[1] + shift[1], x + shift[0], y + shift[1]),
        ]  # fmt: skip
    words = (
        tr_for("drawing", "set-in, both ways")
        if which == "first"
        else tr_for("drawing", "mark, both ways from the corner")
    )
    body.append(row(tip[0], tip[1] - 74, words, measured, system, 280))
    # what stands proud: from the right mark straight towards the ball's middle
    x, y = marks[1]
    away = math.atan2(y - centre[1], x - centre[0])
    nearest = (centre[0] + radius * math.cos(away), centre[1] + radius * math.sin(away))
    body += [
        dimension(*nearest, x, y),
        leader((x + 15 * math.cos(away), y + 15 * math.sin(away)), (286, y - 14), (292, y - 14)),
        label(296, y - 34, tr("left proud"), proud, system, room=102),
    ]
    low = max(ends[1][1], y - 34 + NAME + 56)
    return body, low + 12
