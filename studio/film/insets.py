"""The small drawings on cards: octagon on the square, ring of index marks, grooves from a pole.

Bold and few lines: they are seen for some seconds, from across a room.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from studio.episode.records import Inset
from studio.film.look import CardStyle

if TYPE_CHECKING:
    from PIL import Image, ImageDraw

_ZOOM = 4
"""Drawn so many times larger and averaged down: Pillow's shapes have hard edges."""

_LINE = 0.020
_BOLD = 0.036
"""Widths of lines, shares of the drawing's side (ours)."""

_RING = 0.40
"""Radius of ring and ball, likewise (ours); a lit mark's dot stands outside it."""

Point = tuple[float, float]
Pen = Callable[["ImageDraw.ImageDraw"], None]


def paint_inset(inset: Inset, side: float, style: CardStyle) -> Iterator[tuple[str, Image.Image]]:
    """Layers to lay on the card one after the other: a colour, and where it covers.

    What a step is about is in the rule's colour, the rest in that of texts.

    Args:
        inset: what to draw.
        side: of the square it is drawn in, pixels.
        style: the card's colours.
    """
    makers = {"octagon": _octagon, "index": _index, "grooves": _grooves}
    quiet, lit = makers[inset.drawing](inset, round(side) * _ZOOM)
    for colour, pens in ((style.quiet, quiet), (style.rule, lit)):
        if pens:
            yield colour, _mask(pens, round(side))


def _mask(pens: list[Pen], side: int) -> Image.Image:
    from PIL import Image, ImageDraw

    large = Image.new("L", (side * _ZOOM, side * _ZOOM), 0)
    drawing = ImageDraw.Draw(large)
    for pen in pens:
        pen(drawing)
    return large.reduce(_ZOOM)


def _stroke(points: list[Point], width: float) -> Pen:
    def pen(drawing: ImageDraw.ImageDraw) -> None:
        drawing.line(points, fill=255, width=max(1, round(width)), joint="curve")
        for x, y in (points[0], points[-1]):
            half = width / 2
            drawing.ellipse((x - half, y - half, x + half, y + half), fill=255)

    return pen


def _circle(middle: Point, radius: float, width: float) -> Pen:
    x, y = middle
    outer = radius + width / 2
    box = (x - outer, y - outer, x + outer, y + outer)
    return lambda drawing: drawing.ellipse(box, outline=255, width=max(1, round(width)))


def _dot(middle: Point, radius: float) -> Pen:
    x, y = middle
    return lambda drawing: drawing.ellipse(
        (x - radius, y - radius, x + radius, y + radius), fill=255
    )


def _octagon(inset: Inset, side: int) -> tuple[list[Pen], list[Pen]]:
    """The square with its corners marked off, the octagon bold, one set-in at each end lit."""
    low, high = side * 0.06, side * 0.94
    cut = inset.set_in * (high - low)
    square = [(low, low), (high, low), (high, high), (low, high), (low, low)]
    quiet = [_stroke(square, side * _LINE)]
    octagon = []
    for (x, y), (dx, dy) in (
        ((low, low), (1, 1)), ((high, low), (-1, 1)),
        ((high, high), (-1, -1)), ((low, high), (1, -1)),
    ):  # fmt: skip
        octagon.append(_stroke([(x + dx * cut, y), (x, y + dy * cut)], side * _LINE))
    lit = [
        _stroke([(low, low), (low + cut, low)], side * _BOLD),
        _stroke([(high - cut, low), (high, low)], side * _BOLD),
    ]
    return [*quiet, *octagon], lit


def _at(side: int, turn: float, radius: float) -> Point:
    """A place at a share of the side from the middle, ``turn`` of a whole turn on from the top."""
    angle = math.tau * turn
    return side / 2 + side * radius * math.sin(angle), side / 2 - side * radius * math.cos(angle)


def _index(inset: Inset, side: int) -> tuple[list[Pen], list[Pen]]:
    """The ring with a tick for each mark, mark 1 on top, the step's own with a dot."""
    middle = (side / 2, side / 2)
    quiet = [_circle(middle, side * _RING, side * _LINE)]
    lit: list[Pen] = []
    for mark in range(1, inset.marks + 1):
        turn = (mark - 1) / inset.marks
        is_lit = mark in inset.lit
        long = 0.11 if is_lit else 0.05
        line = _BOLD if is_lit else _LINE
        tick = _stroke([_at(side, turn, _RING - long), _at(side, turn, _RING)], side * line)
        (lit if is_lit else quiet).append(tick)
        if is_lit:
            lit.append(_dot(_at(side, turn, _RING + 0.055), side * 0.035))
    return quiet, lit


def _grooves(inset: Inset, side: int) -> tuple[list[Pen], list[Pen]]:
    """The ball seen from a pole: grooves cut are whole lines, those to come broken ones."""
    quiet = [_circle((side / 2, side / 2), side * _RING, side * _LINE)]
    lit: list[Pen] = []
    width = max(side * _BOLD, 2 * _RING * side * inset.width * 0.6)
    for place in range(inset.grooves):
        turn = place / (2 * inset.grooves)
        ends = [_at(side, turn, _RING), _at(side, turn + 0.5, _RING)]
        if inset.current is None or place == inset.current:
            lit.append(_stroke(ends, width))
        elif place in inset.done:
            quiet.append(_stroke(ends, side * _LINE * 1.6))
        else:
            quiet += _broken(side, turn)
    return quiet, lit


def _broken(side: int, turn: float) -> list[Pen]:
    dashes = []
    for start in (-0.95, -0.62, -0.29, 0.05, 0.38, 0.71):
        a, b = start * _RING, (start + 0.2) * _RING
        dashes.append(_stroke([_at(side, turn, a), _at(side, turn, b)], side * _LINE))
    return dashes
