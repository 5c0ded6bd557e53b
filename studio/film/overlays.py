"""Overlays: a card's texts drawn as a see-through picture of the footage's own size.

A card is laid out first (``layout.py``); where it does not fit at any size that can be read, the
design is told (``unfit.py``). Nothing is drawn before it fits.
"""

from __future__ import annotations

import io
import json
import struct
from collections.abc import Callable
from dataclasses import asdict, dataclass
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Any

from studio.design.schema import CORNERS
from studio.episode.records import Card, Episode, FrameSize, Strips
from studio.errors import BadInput
from studio.film.corners import is_upright, wanted_corner, with_corners
from studio.film.insets import paint_inset
from studio.film.layout import (
    NOTHING_CLEAR,
    Layout,
    fitting,
    place_in,
    room_for,
    type_pixels,
)
from studio.film.lettering import REGULAR, typeface
from studio.film.look import Look, load_look, rgb
from studio.film.unfit import DoesNotFit, faults_in_design, why_not
from studio.measure.trace import plain

if TYPE_CHECKING:
    from PIL import Image, ImageDraw, ImageFont

FOLDER = "overlays"
"""The folder of the overlays in the out folder."""

Box = tuple[int, int, int, int]
"""Left, top, right and bottom in pixels; right and bottom lie outside."""

RECORD_KEY = "studio-overlay"
"""Keyword of the iTXt chunk that holds an overlay's record as JSON."""


LEAST_DOTS, LEGIBLE_DOTS = 5, 7
"""Capitals of fewer pixels' height than the first cannot be told apart (ours: E and B need three
strokes with a gap between each), of fewer than the second are hard to read (characters of 5 × 7
dots are the least; ISO 9241-303, from memory)."""


@dataclass(frozen=True, slots=True)
class RecordRow:
    """One row as drawn, without marks; ``name`` is the measurement's name or caution's code."""

    label: str
    value: str
    other: str
    where: str
    name: str


@dataclass(frozen=True, slots=True)
class OverlayRecord:
    """What an overlay's picture shows, as kept inside its file."""

    number: int
    step_id: str
    kind: str
    heading: str
    rows: tuple[RecordRow, ...]
    width: int
    height: int
    inset: str = ""


def draw(card: Card, size: FrameSize, look: Look, clear: Strips = NOTHING_CLEAR) -> Image.Image:
    """``card`` placed on a fully transparent RGBA picture of exactly ``size``.

    Args:
        card: stands in its own corner, or in the look's; see ``placing.with_corners``.
        size: of the film's pictures.
        look: how it looks.
        clear: what stays free beside the look's own margins.

    Raises:
        DoesNotFit: the card's texts do not, even at the look's least type size.
    """
    from PIL import Image

    corner = card.corner or wanted_corner(card, look, size)
    room = room_for(card.kind, size, look, corner, clear)
    panel = _paint(_laid_out(card, size, look, corner, clear), size, look, card.opacity)
    picture = Image.new("RGBA", (size.width, size.height), (0, 0, 0, 0))
    picture.paste(panel, place_in(card.kind, size, corner, room, panel.size))
    return picture


def outlines(
    card: Card, size: FrameSize, look: Look, clear: Strips = NOTHING_CLEAR
) -> dict[str, Box]:
    """Where the card's plate would lie in each corner that it may stand in.

    Args: as :func:`draw`.

    Raises:
        DoesNotFit: the card's texts do not.
    """
    corners = [one for one in CORNERS if not (is_upright(size) and one.endswith("right"))]
    return {corner: outline(card, size, look, corner, clear) for corner in corners}


def outline(
    card: Card, size: FrameSize, look: Look, corner: str, clear: Strips = NOTHING_CLEAR
) -> Box:
    """Where the card's plate lies in one corner; otherwise as :func:`outlines`."""
    room = room_for(card.kind, size, look, corner, clear)
    panel = _laid_out(card, size, look, corner, clear).size
    left, top = place_in(card.kind, size, corner, room, panel)
    return (left, top, left + panel[0], top + panel[1])


def _laid_out(card: Card, size: FrameSize, look: Look, corner: str, clear: Strips) -> Layout:
    layout = fitting(card, size, look, room_for(card.kind, size, look, corner, clear))
    # what does not fit there would be told to say less, and be as small
    dots = _least_dots(layout) if layout is not None else _floor_dots(size, look)
    if dots < LEAST_DOTS:
        raise DoesNotFit(
            card,
            f"on pictures of {size.width} × {size.height} pixels the {card.kind} card of step "
            f"`{card.step_id}` has capitals {dots} pixels high, which nobody can read",
            f"export the film {_larger(dots)} as large in both directions, or larger",
            ("film", "size"),
        )
    if layout is None:
        raise why_not(card, size, look, corner, clear)
    return layout


def _floor_dots(size: FrameSize, look: Look) -> int:
    """How many pixels high capitals are on pictures of a size where type has shrunk most."""
    sizes = (look.type.heading, look.type.label, look.type.where, look.type.caution)
    return _capital_height(typeface(REGULAR, min(type_pixels(size, one, 0) for one in sizes)))


def _least_dots(layout: Layout) -> int:
    """How many pixels high the lowest capitals of a card are."""
    return min((_capital_height(run.font) for run in layout.runs), default=LEGIBLE_DOTS)


def _capital_height(font: ImageFont.FreeTypeFont) -> int:
    _, top, _, bottom = font.getbbox("H", anchor="ls")
    return int(bottom - top)


def _larger(dots: int) -> str:
    """How many times larger pictures have to be for capitals to be legible."""
    times = ceil(10 * LEGIBLE_DOTS / max(dots, 1)) / 10
    return f"{times:g} times"


def small_type(episode: Episode, size: FrameSize) -> tuple[str, ...]:
    """A note where a film is so small that its overlays' words are hard to read; else none.

    Args:
        episode: whose cards are laid out.
        size: of the film's pictures.

    Raises:
        BadInput: a card does not fit, or cannot be read at all; with its place in the design.
    """
    look = load_look(episode.look, beside=episode.design_file.parent)
    if _floor_dots(size, look) >= LEGIBLE_DOTS:
        return ()
    dots = LEGIBLE_DOTS
    with faults_in_design(episode):
        for card in with_corners(episode.cards, look, size):
            corner = card.corner or wanted_corner(card, look, size)
            layout = _laid_out(card, size, look, corner, episode.keep_clear)
            dots = min(dots, _least_dots(layout))
    if dots >= LEGIBLE_DOTS:
        return ()
    return (
        f"on pictures of {size.width} × {size.height} pixels some words of the overlays have "
        f"capitals only {dots} pixels high, and under {LEGIBLE_DOTS} they are hard to read: export "
        f"the film {_larger(dots)} as large in both directions, or larger",
    )


def overlay_files(episode: Episode) -> dict[str, bytes]:
    """Every card as a PNG at the footage's size, by name (``overlays/01-rough.png``).

    Raises:
        BadInput: a card does not fit, with its place in the design; or the look is unknown.
    """
    look = load_look(episode.look, beside=episode.design_file.parent)
    with faults_in_design(episode):
        return {
            f"{FOLDER}/{_safe_name(card)}": overlay_file(
                card, episode.size, look, episode.keep_clear
            )
            for card in with_corners(episode.cards, look, episode.size)
        }


def overlay_file(card: Card, size: FrameSize, look: Look, clear: Strips = NOTHING_CLEAR) -> bytes:
    """The PNG of one card; the same to the byte each time.

    Args: as :func:`draw`.

    Raises:
        DoesNotFit: the card does not.
    """
    return _png(card, draw(card, size, look, clear), size)


def is_overlay_of(
    content: bytes, card: Card, size: FrameSize, look: Look, clear: Strips = NOTHING_CLEAR
) -> bool:
    """Whether a file is the overlay of a card: every pixel and every word in it, and nothing else.

    Pixels are compared unpacked: packing them anew takes four times as long.

    Args:
        content: the file's.
        card, size, look, clear: as for :func:`draw`.

    Raises:
        DoesNotFit: the card does not.
    """
    from PIL import Image, ImageChops

    fresh = draw(card, size, look, clear)
    # of one pixel: what is not pixels is the same in all
    words = _chunks(_png(card, fresh.crop((0, 0, 1, 1)), size))
    head = struct.pack(">IIBBBBB", *fresh.size, *_EIGHT_BITS_RGBA)
    if _chunks(content) != [(b"IHDR", head), *words[1:]]:
        return False
    try:
        with Image.open(io.BytesIO(content)) as found:
            return ImageChops.difference(found, fresh).getbbox(alpha_only=False) is None
    except (OSError, ValueError, SyntaxError):
        # Pillow tells of a broken PNG with any of these
        return False


_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_EIGHT_BITS_RGBA = (8, 6, 0, 0, 0)
"""Bits, colours, packing, filter and order of a picture of ours, as IHDR has them (ISO/IEC 15948,
11.2.2)."""


def _chunks(png: bytes) -> list[tuple[bytes, bytes]]:
    """Kind and data of a PNG's chunks, its pixels left out; empty where it does not end as one."""
    found: list[tuple[bytes, bytes]] = []
    at = len(_SIGNATURE)
    if not png.startswith(_SIGNATURE):
        return []
    while at + 12 <= len(png):
        length, kind = struct.unpack_from(">I4s", png, at)
        data, at = png[at + 8 : at + 8 + length], at + 12 + length
        if kind != b"IDAT":
            found.append((kind, data))
        if kind == b"IEND":
            return found if at == len(png) else []
    return []


def read_record(path: Path) -> OverlayRecord | None:
    """What the overlay in ``path`` shows, or None when it is not a picture that we made."""
    from PIL import Image

    try:
        with Image.open(path) as picture:
            text = picture.info.get(RECORD_KEY)
        found = json.loads(text) if isinstance(text, str) else None
        if not isinstance(found, dict):
            return None
        rows = tuple(RecordRow(**row) for row in found.pop("rows"))
        return OverlayRecord(rows=rows, **found)
    except (OSError, ValueError, TypeError, KeyError, SyntaxError):
        # Pillow tells of a broken PNG with any of these
        return None


def record_of(card: Card, size: FrameSize) -> OverlayRecord:
    """The record that the overlay of ``card`` carries."""
    rows = tuple(
        RecordRow(plain(row.label), plain(row.value), plain(row.other), row.where, row.name)
        for row in card.rows
    )
    return OverlayRecord(
        number=card.number,
        step_id=card.step_id,
        kind=card.kind.value,
        heading=plain(card.heading),
        rows=rows,
        width=size.width,
        height=size.height,
        inset=plain(card.inset.caption) if card.inset is not None else "",
    )


def _safe_name(card: Card) -> str:
    name = card.file_name
    if Path(name).name != name or name.startswith("."):
        raise BadInput.of(
            f"the step id {card.step_id!r} cannot be part of a file name",
            "use letters, digits and hyphens",
        )
    return name


def _png(card: Card, picture: Image.Image, size: FrameSize) -> bytes:
    from PIL.PngImagePlugin import PngInfo

    record = record_of(card, size)
    info = PngInfo()
    info.add_text("Software", "studio")
    info.add_itxt("Title", plain(card.called))
    info.add_itxt(RECORD_KEY, json.dumps(asdict(record), ensure_ascii=False, sort_keys=True))
    content = io.BytesIO()
    picture.save(content, "PNG", pnginfo=info, compress_level=6)
    return content.getvalue()


# --- painting ---------------------------------------------------------------------------------


def _paint(
    layout: Layout, size: FrameSize, look: Look, density: float | None = None
) -> Image.Image:
    """The card alone; lettering that would stick out of it is cut off by the picture's edge."""
    from PIL import Image, ImageDraw

    width, height = layout.size
    style, pad = layout.style, layout.padding
    radius = size.height * look.panel.radius
    line = max(1.0, size.height * look.panel.line)
    caution = bool(layout.signs)

    def plate(draw: ImageDraw.ImageDraw, zoom: int) -> None:
        box = (0, 0, width * zoom - 1, height * zoom - 1)
        draw.rounded_rectangle(box, radius * zoom, fill=255)

    def ornament(draw: ImageDraw.ImageDraw, zoom: int) -> None:
        if caution:
            box = (0, 0, width * zoom - 1, height * zoom - 1)
            draw.rounded_rectangle(
                box, radius * zoom, outline=255, width=max(1, round(line * 1.6 * zoom))
            )
        for rule in layout.rules:
            left, top = pad + rule.x, pad + rule.y
            right = left + rule.width if rule.width else width - pad
            foot = top + rule.height
            if right > left:
                corners = (left * zoom, top * zoom, right * zoom - 1, foot * zoom - 1)
                draw.rectangle(corners, fill=255)
        for sign in layout.signs:
            _triangle(draw, (pad + sign.x) * zoom, (pad + sign.y) * zoom, sign.size * zoom)

    opacity = round(255 * (style.opacity if density is None else density))
    panel = Image.new("RGBA", (width, height), (*rgb(style.plate), 0))
    see_through = [level * opacity // 255 for level in range(256)]
    panel.putalpha(_smooth(width, height, plate).point(see_through))
    panel.alpha_composite(_tinted(_smooth(width, height, ornament), style.rule))
    if layout.drawing is not None:
        at = layout.drawing
        for colour, mask in paint_inset(at.inset, at.size, style):
            panel.alpha_composite(_tinted(mask, colour), (round(pad + at.x), round(pad + at.y)))
    for run in layout.runs:
        # Pillow blends lettering with the plate's colour but would thin the plate's opacity
        # at its soft edges; drawn through a mask, the plate stays as solid as its contrast
        # was computed for.
        mask = Image.new("L", (width, height), 0)
        ImageDraw.Draw(mask).text(
            (pad + run.x, pad + run.y), run.text, font=run.font, fill=255, anchor="ls"
        )
        panel.alpha_composite(_tinted(mask, run.colour))
    return panel


def _tinted(mask: Image.Image, colour: str) -> Image.Image:
    from PIL import Image

    layer = Image.new("RGBA", mask.size, (*rgb(colour), 0))
    layer.putalpha(mask)
    return layer


def _smooth(
    width: int, height: int, paint: Callable[[ImageDraw.ImageDraw, int], None]
) -> Image.Image:
    """A mask painted several times larger and averaged down: Pillow's shapes have hard edges."""
    from PIL import Image, ImageDraw

    zoom = 4 if width * height < 800_000 else 2
    large: Any = Image.new("L", (width * zoom, height * zoom), 0)
    paint(ImageDraw.Draw(large), zoom)
    small: Image.Image = large.reduce(zoom)
    return small


def _triangle(draw: ImageDraw.ImageDraw, x: float, y: float, side: float) -> None:
    """A solid warning triangle with its exclamation mark left open, in a square of ``side``."""
    middle, rounding = x + side / 2, side * 0.07
    # equilateral: height is half the root of three times the side
    height = side * 0.92 * 3**0.5 / 2
    top, foot = y + (side - height) / 2, y + (side + height) / 2
    left, right = x + side * 0.04, x + side * 0.96
    corners = [
        (middle, top + rounding * 2),
        (left + rounding * 1.73, foot - rounding),
        (right - rounding * 1.73, foot - rounding),
    ]
    draw.polygon(corners, fill=255)
    for at in corners:
        draw.ellipse(
            (at[0] - rounding, at[1] - rounding, at[0] + rounding, at[1] + rounding), fill=255
        )
    for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
        draw.line((start, end), fill=255, width=max(1, round(2 * rounding)))
    stroke = side * 0.055
    bar_top, bar_foot = top + height * 0.34, top + height * 0.68
    draw.polygon(
        [
            (middle - stroke * 1.15, bar_top),
            (middle + stroke * 1.15, bar_top),
            (middle + stroke * 0.75, bar_foot),
            (middle - stroke * 0.75, bar_foot),
        ],
        fill=0,
    )
    dot = top + height * 0.81
    draw.ellipse(
        (middle - stroke * 1.1, dot - stroke * 1.1, middle + stroke * 1.1, dot + stroke * 1.1),
        fill=0,
    )
