"""A card laid out: its lines, figures and drawing, in the part of the picture that it may take.

The layout is made of plain text runs (:class:`Run`), at the look's wanted sizes; when it does not
fit its part of the picture, type shrinks step by step to the look's floor.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import ceil, floor
from typing import TYPE_CHECKING

from studio.episode.records import Card, CardKind, CardRow, FrameSize, Inset, Strips
from studio.film.corners import is_upright, own_corner, own_end
from studio.film.lettering import (
    BOLD,
    REGULAR,
    SEMIBOLD,
    has_to_cut,
    length_of,
    set_lines,
    typeface,
)
from studio.film.look import WIDEST_MEASURE, CardStyle, Look, TypeSize

if TYPE_CHECKING:
    from PIL import ImageFont

NOTHING_CLEAR = Strips()
"""No strips beside the look's own margins."""

_SHRINK = tuple(1 - 0.04 * step for step in range(16))

# So far down may type shrink only to keep the second figure beside the first.
_SIDE_BY_SIDE = 0.8

_INSET_SIDE = 0.24
_LEAST_INSET_SIDE = 0.18
"""Side of a card's small drawing, wanted and least, shares of the type's measure (ours)."""

# So far down it may shrink to have a drawing beside the figure that it explains.
_DRAWING_BESIDE = 0.76

# From here down room is short: what is measured and where share a line when they can.
_WHERE_BESIDE_LABEL = 0.8


@dataclass(frozen=True, slots=True)
class Area:
    """A part of the picture in pixels; right and bottom lie outside."""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def width(self) -> int:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> int:
        """From top to bottom."""
        return self.bottom - self.top


@dataclass(frozen=True, slots=True)
class Run:
    """A text on one line: ``x`` from the left of the card's text, ``y`` its baseline."""

    text: str
    font: ImageFont.FreeTypeFont
    colour: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Rule:
    """A filled bar, in the same coordinates as ``Run``; ``width`` 0 is the card's full width."""

    x: float
    y: float
    width: float
    height: float
    colour: str


@dataclass(frozen=True, slots=True)
class Sign:
    """The warning triangle in a square of side ``size``."""

    x: float
    y: float
    size: float


@dataclass(frozen=True, slots=True)
class Drawing:
    """A card's small drawing in a square of side ``size``."""

    inset: Inset
    x: float
    y: float
    size: float


@dataclass(slots=True)
class Layout:
    """A card before it is drawn; grows downwards as lines are added.

    ``figures_apart`` tells that a second figure has no room beside the first, ``cuts`` that one is
    wider than the card and would be cut in two.
    """

    style: CardStyle
    padding: int
    runs: list[Run]
    rules: list[Rule]
    signs: list[Sign]
    width: float = 0.0
    height: float = 0.0
    figures_apart: bool = False
    cuts: bool = False
    drawing: Drawing | None = None

    def add(
        self, lines: list[str], font: ImageFont.FreeTypeFont, colour: str, indent: float = 0.0
    ) -> None:
        """Add ``lines`` below what is there."""
        ascent, descent = _line_metrics(font)
        for line in lines:
            self.runs.append(Run(line, font, colour, indent, self.height + ascent))
            self.width = max(self.width, indent + length_of(font, line))
            self.height += ascent + descent

    @property
    def size(self) -> tuple[int, int]:
        """The card's outer width and height in pixels."""
        return ceil(self.width) + 2 * self.padding, ceil(self.height) + 2 * self.padding


# --- where a card may stand -------------------------------------------------------------------


def _usable(size: FrameSize, look: Look, clear: Strips) -> Area:
    margins = look.margins
    upright = is_upright(size)
    right = margins.upright_right if upright else margins.edge
    bottom = margins.upright_captions if upright else margins.captions
    return Area(
        ceil(size.width * max(margins.edge, clear.left)),
        ceil(size.height * max(margins.edge, clear.top)),
        floor(size.width * (1 - max(right, clear.right))),
        floor(size.height * (1 - max(bottom, clear.bottom))),
    )


def room_for(
    kind: CardKind,
    size: FrameSize,
    look: Look,
    corner: str = "",
    clear: Strips = NOTHING_CLEAR,
) -> Area:
    """The part of the picture for a card of ``kind`` in a corner.

    Those of a caution and of another card never touch when the two stand on different sides, or
    in film taller than wide at different ends.
    """
    usable = _usable(size, look, clear)
    share_of = look.places
    caution = kind is CardKind.CAUTION
    if is_upright(size):
        share = 1 - share_of.upright_share if caution else share_of.upright_share
        height = floor(usable.height * share) - ceil(size.height * look.panel.gap / 2)
        if (corner.partition("-")[0] or own_end(kind)) == "top":
            return Area(usable.left, usable.top, usable.right, usable.top + height)
        return Area(usable.left, usable.bottom - height, usable.right, usable.bottom)
    share = share_of.caution_width if caution else share_of.measurement_width
    width = min(floor(size.width * share), floor(usable.width * share / _both(look)))
    if (corner or own_corner(kind, look)).endswith("left"):
        return Area(usable.left, usable.top, usable.left + width, usable.bottom)
    return Area(usable.right - width, usable.top, usable.right, usable.bottom)


def _both(look: Look) -> float:
    return look.places.caution_width + look.places.measurement_width


def place_in(
    kind: CardKind, size: FrameSize, corner: str, room: Area, panel: tuple[int, int]
) -> tuple[int, int]:
    """Where a panel's top left corner lies."""
    at_foot = corner.startswith("bottom")
    if is_upright(size):
        return room.left, room.bottom - panel[1] if at_foot else room.top
    left = room.left if corner.endswith("left") else room.right - panel[0]
    return left, room.bottom - panel[1] if at_foot else room.top


# --- laying out -------------------------------------------------------------------------------


def fitting(card: Card, size: FrameSize, look: Look, room: Area) -> Layout | None:
    """The card in the largest type at which it fits its part; None where even the least does not.

    In film taller than wide a list that does not fit as a figure is set in other figures' measure.

    Args:
        card: what is laid out.
        size: of the film's pictures.
        look: its type and colours.
        room: :func:`room_for` it.
    """
    found = _fitting(card, size, look, room)
    if found is None and is_upright(size) and any(_is_list(row.value) for row in card.rows):
        return _fitting(card, size, look, room, small_lists=True)
    return found


def _is_list(value: str) -> bool:
    return ", " in value


def _fitting(
    card: Card, size: FrameSize, look: Look, room: Area, *, small_lists: bool = False
) -> Layout | None:
    def at(scale: float, *, beside: bool = False) -> Layout | None:
        if card.kind is CardKind.CAUTION:
            layout = _lay_caution(card, size, look, room.width, scale)
        else:
            layout = _lay_measurement(
                card, size, look, room.width, scale, beside=beside, small_lists=small_lists
            )
        width, height = layout.size
        return layout if width <= room.width and height <= room.height else None

    if card.inset is not None and card.rows:
        near = [at(scale, beside=True) for scale in _SHRINK if scale >= _DRAWING_BESIDE]
        whole = [layout for layout in near if layout is not None and not layout.cuts]
        if whole:
            # both figures on one line too, where smaller type allows it
            return min(whole, key=lambda layout: layout.figures_apart)
    smallest = at(_SHRINK[-1])
    if smallest is None:
        return None
    largest = None
    for scale in _SHRINK:
        # both figures side by side are worth somewhat smaller type, but not any size
        if largest is not None and scale < _SIDE_BY_SIDE:
            break
        layout = at(scale)
        # a figure in one piece is worth any size that can be read
        if layout is not None and (smallest.cuts or not layout.cuts):
            if not layout.figures_apart:
                return layout
            largest = largest or layout
    return largest or smallest


def type_pixels(size: FrameSize, wanted: TypeSize, scale: float) -> int:
    """Type size in pixels of lettering that is not a main figure."""
    measure = measure_of(size)
    return max(ceil(measure * wanted.least), round(measure * wanted.size * scale), 1)


def measure_of(size: FrameSize) -> float:
    """What type sizes are shares of, pixels: the height, bounded in film taller than wide."""
    return min(size.height, WIDEST_MEASURE * size.width)


def style_of(kind: CardKind, look: Look) -> CardStyle:
    """The colours of cards of a kind."""
    return look.caution if kind is CardKind.CAUTION else look.measurement


def _empty(card: Card, size: FrameSize, look: Look) -> Layout:
    style = style_of(card.kind, look)
    return Layout(style, ceil(measure_of(size) * look.panel.padding), [], [], [])


def _lay_measurement(
    card: Card,
    size: FrameSize,
    look: Look,
    widest: int,
    scale: float,
    *,
    beside: bool = False,
    small_lists: bool = False,
) -> Layout:
    """Heading, rows and drawing; ``beside`` leaves a column free for the drawing."""
    layout = _empty(card, size, look)
    style, sizes = layout.style, look.type
    whole = room = widest - 2 * layout.padding
    heading = typeface(SEMIBOLD, type_pixels(size, sizes.heading, scale))
    label = typeface(SEMIBOLD, type_pixels(size, sizes.label, scale))
    where = typeface(REGULAR, type_pixels(size, sizes.where, scale))
    caption = _figure_font(measure_of(size), sizes.other, scale, REGULAR)
    gap = size.height * look.panel.gap * scale
    line = max(1, round(size.height * look.panel.line))

    if card.heading:
        layout.add(set_lines(card.heading, heading, room), heading, style.heading)
        layout.height += gap * 0.35
        layout.rules.append(Rule(0, layout.height, 0, line, style.rule))
        layout.height += line + gap * 0.55
    head = layout.height
    titled, layout.width = layout.width, 0.0
    if beside:
        room = floor(whole - _inset_side(size, scale) - _inset_gap(caption))
    for index, row in enumerate(card.rows):
        if index:
            layout.height += gap
        if not row.value:
            layout.add(set_lines(row.label, label, room), label, style.text)
            continue
        one_line = scale < _WHERE_BESIDE_LABEL and _add_on_one_line(layout, row, label, where, room)
        if not one_line:
            layout.add(set_lines(row.label, label, room), label, style.quiet)
        small = small_lists and _is_list(row.value)
        measure = measure_of(size) if small else float(size.height)
        _add_figures(layout, row, measure, size, look, room, scale)
        if row.where and not one_line:
            layout.add(set_lines(row.where, where, room), where, style.quiet)
    if card.inset is not None:
        _add_inset(layout, card.inset, head, size, caption, whole, scale)
    layout.width = max(layout.width, titled)
    return layout


def _inset_side(size: FrameSize, scale: float) -> float:
    return max(_INSET_SIDE * scale, _LEAST_INSET_SIDE) * measure_of(size)


def _inset_gap(font: ImageFont.FreeTypeFont) -> float:
    return font.size * 0.9


def _add_inset(
    layout: Layout,
    inset: Inset,
    head: float,
    size: FrameSize,
    font: ImageFont.FreeTypeFont,
    room: int,
    scale: float,
) -> None:
    """The drawing with its caption: right of the rows where there is room, else below them."""
    side, gap = _inset_side(size, scale), _inset_gap(font)
    rows = layout.width if layout.height > head else 0.0
    beside = bool(rows) and rows + gap + side <= room
    across = room - rows - gap if beside else room
    layout.cuts |= has_to_cut(inset.caption, font, across)
    lines = set_lines(inset.caption, font, across)
    wide = max([side, *(length_of(font, line) for line in lines)])
    ascent, descent = _line_metrics(font)
    tall = side + (font.size * 0.3 if lines else 0) + len(lines) * (ascent + descent)
    x = rows + gap if beside else 0.0
    y = head if beside or not rows else layout.height + gap
    layout.drawing = Drawing(inset, x + (wide - side) / 2, y, side)
    baseline = y + side + font.size * 0.3 + ascent
    for line in lines:
        at = x + (wide - length_of(font, line)) / 2
        layout.runs.append(Run(line, font, layout.style.text, at, baseline))
        baseline += ascent + descent
    layout.width = max(layout.width, x + wide)
    layout.height = max(layout.height, y + tall)


def _add_on_one_line(
    layout: Layout,
    row: CardRow,
    label: ImageFont.FreeTypeFont,
    where: ImageFont.FreeTypeFont,
    room: float,
) -> bool:
    """Add label and place on one line; False, with nothing added, when they need two."""
    label_lines, where_lines = set_lines(row.label, label, room), set_lines(row.where, where, room)
    if len(label_lines) != 1 or len(where_lines) != 1:
        return False
    x = length_of(label, label_lines[0]) + label.size * 0.6
    width = x + length_of(where, where_lines[0])
    if width > room:
        return False
    layout.add(label_lines, label, layout.style.quiet)
    baseline = layout.runs[-1].y
    layout.runs.append(Run(where_lines[0], where, layout.style.quiet, x, baseline))
    layout.width = max(layout.width, width)
    return True


def _add_figures(
    layout: Layout,
    row: CardRow,
    measure: float,
    size: FrameSize,
    look: Look,
    room: int,
    scale: float,
) -> None:
    """The large figure, with the second system's beside it, or below where there is no room.

    ``measure``, pixels, is what the large figure's size is a share of.
    """
    value, other = row.value, row.other
    big = _figure_font(measure, look.type.figure, scale, BOLD)
    small = _figure_font(measure_of(size), look.type.other, scale, REGULAR)
    values = set_lines(value, big, room)
    others = set_lines(other, small, room)
    layout.cuts |= has_to_cut(value, big, room) or has_to_cut(other, small, room)
    # a list may go on on the next line, a figure's unit may not
    layout.cuts |= any(
        len(lines) > 1 and not _is_list(" ".join(lines)) for lines in (values, others)
    )
    # A figure needs no room for descenders as running text does, but must not touch the next line.
    ascent, descent = _figure_metrics(big)
    layout.height += size.height * look.panel.gap * 0.30 * scale
    for text in values:
        layout.runs.append(Run(text, big, layout.style.text, 0, layout.height + ascent))
        layout.width = max(layout.width, length_of(big, text))
        layout.height += ascent + descent
    if len(others) == 1 and values:
        x = length_of(big, values[-1]) + small.size * 0.7
        if x + length_of(small, others[0]) <= room:
            baseline = layout.runs[-1].y
            layout.runs.append(Run(others[0], small, layout.style.text, x, baseline))
            layout.width = max(layout.width, x + length_of(small, others[0]))
            return
    layout.figures_apart |= bool(others)
    layout.add(others, small, layout.style.text)


def _lay_caution(card: Card, size: FrameSize, look: Look, widest: int, scale: float) -> Layout:
    layout = _empty(card, size, look)
    style, sizes = layout.style, look.type
    room = widest - 2 * layout.padding
    heading = typeface(BOLD, type_pixels(size, sizes.heading, scale))
    text = typeface(SEMIBOLD, type_pixels(size, sizes.caution, scale))
    gap = size.height * look.panel.gap * scale
    line = max(1, round(size.height * look.panel.line))

    sign = round(heading.size * 1.5)
    indent = sign + heading.size * 0.55
    lines = set_lines(card.heading, heading, room - indent)
    ascent, descent = _line_metrics(heading)
    block = max(sign, len(lines) * (ascent + descent))
    layout.signs.append(Sign(0, (block - sign) / 2, sign))
    layout.width = indent
    layout.height = (block - len(lines) * (ascent + descent)) / 2
    layout.add(lines, heading, style.heading, indent)
    layout.height = block + gap * 0.35
    layout.rules.append(Rule(0, layout.height, 0, line, style.rule))
    layout.height += line + gap * 0.5
    bullet = text.size * 0.30 if len(card.rows) > 1 else 0.0
    step_in = text.size * 0.75 if bullet else 0.0
    ascent, descent = _line_metrics(text)
    for index, row in enumerate(card.rows):
        if index:
            layout.height += gap * 0.4
        if bullet:
            middle = layout.height + ascent - text.size * 0.32
            layout.rules.append(Rule(0, middle - bullet / 2, bullet, bullet, style.rule))
        layout.add(set_lines(row.label, text, room - step_in), text, style.text, step_in)
        if row.value:
            layout.add(set_lines(row.value, text, room - step_in), text, style.quiet, step_in)
    return layout


# --- type -------------------------------------------------------------------------------------


def _figure_font(
    measure: float, wanted: TypeSize, scale: float, face: str
) -> ImageFont.FreeTypeFont:
    """A face for figures, so large that a drawn 1 has the wanted share of ``measure`` pixels."""
    target = max(measure * wanted.least, measure * wanted.size * scale)
    pixels = ceil(target / _digit_share(face))
    # hinting may take a pixel off a digit; the height asked for is a floor
    while _digit_height(typeface(face, pixels)) < target:
        pixels += 1
    return typeface(face, pixels)


def _digit_height(font: ImageFont.FreeTypeFont) -> float:
    _, top, _, bottom = font.getbbox("1", anchor="ls")
    return bottom - top


@lru_cache(maxsize=2)
def _digit_share(face: str) -> float:
    return _digit_height(typeface(face, 1000)) / 1000


def _line_metrics(font: ImageFont.FreeTypeFont) -> tuple[float, float]:
    """Room above and below the baseline for a line of running text."""
    return font.size * 0.88, font.size * 0.27


def _figure_metrics(font: ImageFont.FreeTypeFont) -> tuple[float, float]:
    """Room above and below the baseline for a figure with its unit."""
    return font.size * 0.70, font.size * 0.21
