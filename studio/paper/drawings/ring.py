"""The index marks round the work."""

from __future__ import annotations

import math

from studio.language import tr, tr_for
from studio.measure.measurement import MeasurementTable, System
from studio.measure.trace import mark
from studio.paper.drawings.pen import (
    LINE,
    NAME,
    OTHER,
    Point,
    arc,
    at,
    circle,
    label,
    leader,
    line,
    svg,
    text,
    text_width,
)

_EVERY = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 16, 20, 24)
"""Where there is no room to number each mark, each second, third … one has its number."""

_NUMBER = 13.5
"""Type size of a mark's number."""

_NUMBERS_APART = 9.0
"""Least room between a number and the next along the ring, or they run together for the eye."""

_NUMBERS_OUT = 19.0
"""How far outside the ring numbers stand."""

_STEEP_DEG = 36.0
"""With marks farther apart than twice this, nothing stands between a chord and its label."""


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
    width, height = 369.0, 314.0
    centre, radius = (122.0, 134.0), 92.0
    mid_x, mid_y = centre
    body = [
        circle("outline", mid_x, mid_y, radius),
        line(mid_x - 7, mid_y, mid_x + 7, mid_y, "axis"),
        line(mid_x, mid_y - 7, mid_x, mid_y + 7, "axis"),
    ]
    count = max(1, round(marks.value))
    label_at = (mid_x + 99, 22.0)
    numbered = "axis.marks" in table and round(table["axis.marks"].value) == count
    shown = _numbered(count, radius + _NUMBERS_OUT) if numbered else ()
    for place in range(count):
        turn = place * 360 / count
        # where not every mark has its number, those that have one stand out
        beyond = 7 if len(shown) in (0, count) or place in shown else 3
        body.append(
            line(*at(centre, turn, radius - 9), *at(centre, turn, radius + beyond), "outline")
        )
    body += _numbers(centre, radius + _NUMBERS_OUT, count, shown)
    between = 180 / count * (shown[1] if len(shown) > 1 else 1)
    step = angle.value
    for turn in (0.0, step):
        body.append(line(*at(centre, turn, 12), *at(centre, turn, radius), "dim"))
    body += [
        arc("dim", centre, 46, 0, step),
        # lines to neighbouring marks reach the lower half with two or three marks alone, and the
        # left half never; there are few ticks then that the words could touch
        label(
            *((mid_x, mid_y + 8) if step <= 90 else (mid_x - 44, mid_y - 20)),
            tr("turn on by"), angle, system,
            anchor="middle", room=radius + (30 if step <= 90 else -8),
        ),
    ]  # fmt: skip
    if "index.chord" in table:
        (px, py), (qx, qy) = at(centre, 0, radius), at(centre, step, radius)
        body += [
            line(px, py, qx, qy, "cut"),
            leader(((px + qx) / 2, (py + qy) / 2), *_way_out(centre, radius, between), label_at),
            label(mid_x + 103, 2, tr("divider setting"), table["index.chord"], system, room=140),
        ]
    lines = [
        (tr("marks"), "index.marks"),
        (tr("plate"), "index.plate"),
        (tr_for("drawing", "stops apart"), "index.stops"),
    ]
    if "index.plate" not in table:
        lines.append((tr("along a strip"), "index.strip"))
    columns = [one for one in lines if one[1] in table]
    y = mid_y + radius + 32
    second = OTHER * LINE if any(table[key].other for _, key in columns) else 0.0
    height += second
    if 0 < len(shown) < count:
        first = [str(place + 1) for place in shown[:3]]
        told = [mark(f"mark:{number}", number) for number in first]
        words = tr("numbered: {} and so on, clockwise")
        said, read = (words.format(", ".join(one)) for one in (told, first))
        body.append(text(4, y + 62 + second, said, read, NAME, "name", room=width - 8))
        height += 18
    for place, (words, key) in enumerate(columns):
        x = 4 + place * (width - 8) / len(columns)
        room = (width - 8) / len(columns) - 6
        body.append(label(x, y, words, table[key], system, room=room))
    desc = tr(
        "End view of the work with a tick at every index mark. Neighbouring marks are joined "
        "to the centre by lines, and to each other by the chord that the dividers are set to."
    )
    if numbered:
        desc += tr(" The marks are numbered from the top, the way the hands of a clock go.")
        if len(shown) < count:
            desc += tr(" Where there is no room for all, the numbered ones have longer ticks.")
    return svg("index", width, height, tr("The index marks round the work"), desc, "".join(body))


def _way_out(centre: Point, radius: float, turn: float) -> tuple[Point, ...]:
    """Where the chord's leader runs: out at a turn between two numbers, then to its label."""
    if turn > _STEEP_DEG:
        return ((centre[0] + 88, 22.0),)
    return (at(centre, turn, radius + _NUMBERS_OUT + _NUMBER * 0.8),)


def _numbered(count: int, radius: float) -> tuple[int, ...]:
    """The marks that have room for a number, counted from 0: all, or each second, third … one.

    Evenly all round where the count allows it; else the last one before the first is left out
    where it would stand too near.
    """
    widest = text_width(str(count), _NUMBER) + _NUMBERS_APART
    apart = math.tau * radius / count
    roomy = [each for each in _EVERY if each * apart >= widest]
    every = next((each for each in roomy if not count % each), roomy[0] if roomy else count)
    return tuple(
        place for place in range(0, count, every) if (count - place) * apart >= widest or not place
    )


def _numbers(centre: Point, radius: float, count: int, shown: tuple[int, ...]) -> list[str]:
    """The numbers of some marks, outside the ring."""
    out = []
    for place in shown:
        x, y = at(centre, place * 360 / count, radius)
        number = str(place + 1)
        said = mark(f"mark:{number}", number)
        out.append(text(x, y + _NUMBER * 0.36, said, number, _NUMBER, "other", anchor="middle"))
    return out
