"""The pen that all drawings share: lines, dimensions and type, as pieces of SVG.

Figures are a measurement's own printed text with its mark; nothing here makes a number. Lines and
letters take the page's text colour, so a drawing works on a light page, a dark page and paper.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from html import escape

from studio.measure.measurement import Measurement, System
from studio.measure.trace import mark

Point = tuple[float, float]

FIGURE, OTHER, NAME = 22.0, 17.0, 14.5
"""Type sizes in the drawing's units: first system, second system, name of a measurement."""

LINE = 1.25
"""From one line of type to the next, as a multiple of the type size."""

_MOST_LINES = 3
"""Most lines that a name takes."""

SHORT = 26.0
"""A dimension shorter than this has its arrows outside, pointing at each other."""

_OUTSIDE = 15.0
"""How far the line of such a dimension reaches beyond its ends."""


_WIDTHS = {
    char: width / 100
    for width, chars in {
        21: "\u202f⁄",
        32: "'′",
        35: " ijl\u00a0ìíîïĩīĭįıĵĺļ",
        38: ",./IJ\\|¦·ÌÍÎÏĨĪĬĮİĴł’‘",
        46: "!()-:;[]f¡²³¹″",
        50: "_`rt§¨¯°´¸ľŕŗřţťŧ–",
        54: '"*',
        60: "?cszªº¿çćĉċčŀśŝşšźżž",
        66: "Lvxy¤«¶»ýÿĹĻĽĿŁŷ“”",
        69: "EFTaekoÈÉÊËàáâãäåèéêëðòóôõöøāăąĒēĔĕĖėĘęĚěĳķĸōŏőŢŤŦ√",
        70: "$0123456789¢£¥",
        73: "SYZbdghnpqu{}ÝßñùúûüþďđĝğġģĥńņňŋŚŜŞŠũūŭůűųŶŸŹŻŽ",
        78: "ABCKPRVXµÀÁÂÃÄÅÇÞĀĂĄĆĈĊČĲĶŔŖŘ",
        85: "#+<=>DGHNU^~¬±ÐÑ×ÙÚÛÜ÷ĎĐĜĞĠĢĤħŃŅŇŊŨŪŬŮŰŲ−π≤≥≈",
        93: "&OQwÒÓÔÕÖØŌŎŐŵ",
        101: "%@M©®Ħŉ—…",
        106: "m¼½¾æ⅛⅜⅝⅞",
        111: "WÆœŴ",
        139: "Œ",
    }.items()
    for char in chars
}
"""Advance widths as parts of the type size, those of DejaVu Sans Bold rounded up: the widest face
that a page's list of lettering ends in (what a browser takes for "sans-serif" on most Linux)."""

_ANY_WIDTH = 1.4
"""Width of a sign that is not in the list: as wide as an emoji or an ideograph."""


def text_width(text: str, size: float) -> float:
    """How wide ``text`` is set at ``size``, in the drawing's units, in the widest face that a
    reader's browser may take; narrower in others."""
    return size * sum(_WIDTHS.get(char, _ANY_WIDTH) for char in text)


def number(value: float) -> str:
    """A coordinate as it is written."""
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def points(places: Iterable[Point]) -> str:
    """Places as the ``points`` of a polygon or polyline."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in places)


def polygon(kind: str, places: Iterable[Point]) -> str:
    """A closed outline."""
    return f'<polygon class="{kind}" points="{points(places)}"/>'


def polyline(kind: str, places: Iterable[Point]) -> str:
    """An open line through ``places``; its class must not be filled."""
    return f'<polyline class="{kind}" fill="none" points="{points(places)}"/>'


def circle(kind: str, x: float, y: float, radius: float) -> str:
    """A circle."""
    return f'<circle class="{kind}" cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"/>'


def line(x1: float, y1: float, x2: float, y2: float, kind: str) -> str:
    """A straight line."""
    return (
        f'<line class="{kind}" x1="{number(x1)}" y1="{number(y1)}" '
        f'x2="{number(x2)}" y2="{number(y2)}"/>'
    )


def arc(kind: str, centre: Point, radius: float, start_deg: float, end_deg: float) -> str:
    """Part of a circle, from one bearing to another; bearings run clockwise from the top."""
    (ax, ay), (bx, by) = (at(centre, turn, radius) for turn in (start_deg, end_deg))
    far = 1 if abs(end_deg - start_deg) > 180 else 0
    sweep = 1 if end_deg > start_deg else 0
    return (
        f'<path class="{kind}" fill="none" d="M{number(ax)},{number(ay)} A{number(radius)},'
        f'{number(radius)} 0 {far} {sweep} {number(bx)},{number(by)}"/>'
    )


def at(centre: Point, turn_deg: float, far: float) -> Point:
    """A point ``far`` from ``centre`` on a bearing that runs clockwise from the top."""
    bearing = math.radians(turn_deg - 90)
    return centre[0] + far * math.cos(bearing), centre[1] + far * math.sin(bearing)


def arrow(x: float, y: float, towards: float) -> str:
    """An arrowhead with its point at ``x, y``, flying in the direction ``towards`` [rad]."""
    places = [(x, y)]
    for side in (-1, 1):
        back = towards + math.pi + side * 0.3
        places.append((x + 9 * math.cos(back), y + 9 * math.sin(back)))
    return polygon("arrow", places)


def dimension(x1: float, y1: float, x2: float, y2: float) -> str:
    """A dimension line with an arrowhead at each end, outside when there is no room between."""
    towards = math.atan2(y2 - y1, x2 - x1)
    if math.dist((x1, y1), (x2, y2)) >= SHORT:
        return (
            line(x1, y1, x2, y2, "dim") + arrow(x2, y2, towards) + arrow(x1, y1, towards + math.pi)
        )
    dx, dy = _OUTSIDE * math.cos(towards), _OUTSIDE * math.sin(towards)
    return (
        line(x1 - dx, y1 - dy, x2 + dx, y2 + dy, "dim")
        + arrow(x1, y1, towards)
        + arrow(x2, y2, towards + math.pi)
    )


def arc_dimension(centre: Point, radius: float, start_deg: float, end_deg: float) -> str:
    """A dimension along part of a circle, bearings clockwise from the top, arrows as for a line."""
    outside = radius * math.radians(end_deg - start_deg) < SHORT
    more = math.degrees(_OUTSIDE / radius) if outside else 0.0
    out = arc("dim", centre, radius, start_deg - more, end_deg + more)
    for turn, way in ((start_deg, math.pi), (end_deg, 0.0)):
        towards = math.radians(turn) + (way + math.pi if outside else way)
        out += arrow(*at(centre, turn, radius), towards)
    return out


def text(
    x: float,
    y: float,
    marked: str,
    shown: str,
    size: float,
    kind: str,
    *,
    anchor: str = "start",
    room: float = 0.0,
    transform: str = "",
) -> str:
    """One line of type; ``shown`` is ``marked`` as read, for fitting it into ``room``."""
    wide = text_width(shown, size)
    if room and wide > room:
        size *= room / wide
    extra = "" if anchor == "start" else f' text-anchor="{anchor}"'
    extra += f' transform="{transform}"' if transform else ""
    return (
        f'<text class="{kind}" x="{number(x)}" y="{number(y)}" '
        f'font-size="{number(size)}"{extra}>{marked}</text>'
    )


def name(
    x: float,
    y: float,
    words: str,
    *,
    anchor: str = "start",
    room: float = 0.0,
    upwards: bool = False,
) -> str:
    """A word or two of our own beside a line; ``y`` is the foot of the letters.

    Words too wide for ``room`` take more lines, below the first or, ``upwards``, above the last.
    """
    lines = name_lines(words, room) if room else [words]
    step = NAME * LINE
    if upwards:
        y -= step * (len(lines) - 1)
    return "".join(
        text(x, y + place * step, escape(one), one, NAME, "name", anchor=anchor, room=room)
        for place, one in enumerate(lines)
    )


def upright(x: float, y: float, words: str) -> str:
    """A name that reads upwards and ends at ``x, y``."""
    turn = f"rotate(-90 {number(x)} {number(y)})"
    return text(x, y, escape(words), words, NAME, "name", anchor="end", transform=turn)


def marked(measured: Measurement, shown: str) -> str:
    """A measurement's text with its mark, safe to stand in SVG."""
    return mark(escape(measured.name), escape(shown))


def label(
    x: float,
    y: float,
    words: str,
    measured: Measurement,
    system: System,
    *,
    anchor: str = "start",
    room: float = 0.0,
    origin: str = "",
) -> str:
    """Name, figure and second figure, one under the other; ``y`` is the top of the block.

    A name too long for ``room`` takes more lines, and is cut off after the last. A name that is
    the design's own is marked as drawn from ``origin``.
    """
    first = measured.reading(system).text
    other = measured.reading(system.other).text
    out = ""
    for one in name_lines(words, room) if room else [words]:
        y += NAME * (LINE if out else 1.0)
        said = mark(escape(origin), escape(one)) if origin else escape(one)
        out += text(x, y, said, one, NAME, "name", anchor=anchor, room=room)
    y += FIGURE * 1.1
    out += text(x, y, marked(measured, first), first, FIGURE, "figure", anchor=anchor, room=room)
    if other != first:
        y += OTHER * LINE
        out += text(x, y, marked(measured, other), other, OTHER, "other", anchor=anchor, room=room)
    return out


def label_height(measured: Measurement, words: str = "", room: float = 0.0) -> float:
    """How high the block of :func:`label` is, letters' feet included."""
    more = len(name_lines(words, room)) - 1 if words and room else 0
    names = NAME * (1 + more * LINE)
    return names + FIGURE * 1.1 + (OTHER * LINE if measured.other else 0.0) + 4.0


def row(x: float, y: float, words: str, measured: Measurement, system: System, room: float) -> str:
    """Name over both figures on one line, centred at ``x``; ``y`` is the top of the block."""
    first = measured.reading(system).text
    other = measured.reading(system.other).text
    out = name(x, y + NAME, words, anchor="middle")
    second = (
        f' <tspan class="other" font-size="{number(OTHER)}">({marked(measured, other)})</tspan>'
        if other != first
        else ""
    )
    shown = f"{first} ({other})" if second else first
    return out + text(
        x,
        y + NAME + FIGURE * 1.15,
        marked(measured, first) + second,
        shown,
        FIGURE,
        "figure",
        anchor="middle",
        room=room,
    )


def name_lines(words: str, room: float) -> list[str]:
    """A name in lines no wider than ``room``, cut off with an ellipsis where there is no room.

    A word wider than a line, and whatever goes beyond ``_MOST_LINES``, is a stranger's title; set
    smaller to fit, it could not be read.
    """
    lines = wrap(words, NAME, room)
    if len(lines) > _MOST_LINES:
        lines = [*lines[: _MOST_LINES - 1], f"{lines[_MOST_LINES - 1]} …"]
    return [_cut_off(one, room) for one in lines]


def _cut_off(words: str, room: float) -> str:
    if text_width(words, NAME) <= room:
        return words
    kept = words.rstrip(" …")
    while kept and text_width(f"{kept}…", NAME) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def wrap(words: str, size: float, room: float) -> list[str]:
    """``words`` in lines no wider than ``room``; a single word may be wider."""
    lines: list[str] = []
    for word in words.split():
        if lines and text_width(f"{lines[-1]} {word}", size) <= room:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def paragraph(
    x: float, y: float, measured: Measurement, system: System, size: float, room: float
) -> tuple[str, float]:
    """A measurement that is told in words, in as many lines as it needs.

    Args:
        x: where its lines begin.
        y: the foot of its first line.
        measured: what it tells.
        system: whose text.
        size: type size.
        room: how wide a line may be.

    Returns:
        The type, and the foot of its last line.
    """
    shown = measured.reading(system).text
    lines = wrap(shown, size, room)
    widest = max(text_width(one, size) for one in lines)
    size *= min(1.0, room / widest)
    step = size * LINE
    inner = " ".join(
        f'<tspan x="{number(x)}" y="{number(y + place * step)}">{escape(one)}</tspan>'
        for place, one in enumerate(lines)
    )
    return (
        f'<text class="figure" font-size="{number(size)}">{mark(escape(measured.name), inner)}'
        f"</text>",
        y + (len(lines) - 1) * step,
    )


def told(
    x: float,
    y: float,
    words: str,
    measured: Measurement,
    system: System,
    size: float,
    room: float,
) -> tuple[str, float]:
    """A name over a measurement that is told in words; ``y`` is the top of the block.

    Returns:
        The type, and the foot of the block.
    """
    more = len(name_lines(words, room)) - 1
    said, last = paragraph(x, y + NAME * (1 + more * LINE) + FIGURE, measured, system, size, room)
    return name(x, y + NAME, words, room=room) + said, last + size * LINE


def leader(*places: Point) -> str:
    """A thin line from what a label names to the label."""
    return polyline("dim", places)


def spread(
    wanted: Sequence[float], heights: Sequence[float], top: float, bottom: float = math.inf
) -> list[float]:
    """Tops of blocks that stand one under the other, each as near as may be to where it is wanted.

    Args:
        wanted: middle of each block, in order from the top.
        heights: of each block.
        top: nothing stands above it.
        bottom: nothing stands below it, as far as there is room for all above it.
    """
    tops = [middle - high / 2 for middle, high in zip(wanted, heights, strict=True)]
    # blocks that meet share one place, as high as their members want on average
    runs: list[tuple[float, list[float]]] = []
    for place, high in zip(tops, heights, strict=True):
        runs.append((max(place, top), [high]))
        while len(runs) > 1 and runs[-2][0] + sum(runs[-2][1]) > runs[-1][0]:
            (above, first), (below, second) = runs[-2:]
            high_above = sum(first)
            shared = (above * len(first) + (below - high_above) * len(second)) / (
                len(first) + len(second)
            )
            runs[-2:] = [(max(shared, top), first + second)]
    out = []
    for start, block in runs:
        for high in block:
            out.append(start)
            start += high
    foot = max(bottom, top + sum(heights))
    for place in reversed(range(len(out))):
        out[place] = min(out[place], foot - heights[place])
        foot = out[place]
    return out


def svg(ident: str, width: float, height: float, title: str, desc: str, body: str) -> str:
    """The whole drawing; ``title`` and ``desc`` are read out by screen readers.

    Args:
        ident: unique on the page; a plain word.
        width: of the drawing, in its own units.
        height: the same.
        title: what it is; marked and safe to stand in SVG.
        desc: what it shows; the same.
        body: the drawing.
    """
    ident = escape(ident)
    return (
        f'<svg class="drawing" viewBox="0 0 {number(width)} {number(height)}" role="img" '
        f'aria-labelledby="{ident}-title {ident}-desc" xmlns="http://www.w3.org/2000/svg">'
        f'<title id="{ident}-title">{title}</title><desc id="{ident}-desc">{desc}</desc>'
        # styles reach what is referred to only by the classes that it has itself
        f'<g id="{ident}-lines" class="drawing">{body}</g></svg>'
    )


_HEAD = re.compile(r'(<svg class="drawing" [^>]*aria-labelledby="(.*)-title \2-desc"[^>]*>)')


def again(drawn: str) -> str:
    """A drawing once more on the page that has it, without its lines: a reference to them.

    Args:
        drawn: what :func:`svg` made of it.
    """
    head = _HEAD.match(drawn)
    assert head is not None
    return f'{head[1]}<use href="#{head[2]}-lines"/></svg>'
