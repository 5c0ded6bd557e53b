"""Overlays: a card's texts drawn as a see-through picture of the footage's own size.

The layout is made of plain text runs first (``_Run``), at the look's wanted sizes; when it does
not fit its part of the picture, type shrinks step by step to the look's floor, and only then is
the design told. Nothing is drawn before it fits.
"""

from __future__ import annotations

import io
import json
import struct
from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace
from functools import lru_cache
from math import ceil, floor
from pathlib import Path
from typing import TYPE_CHECKING, Any

from studio.design.reading import Problem, load
from studio.design.schema import CORNERS
from studio.episode.records import Card, CardKind, CardRow, Episode, FrameSize, Inset, Strips
from studio.errors import BadInput, Fault
from studio.film.corners import is_upright, own_corner, own_end, wanted_corner, with_corners
from studio.film.insets import paint_inset
from studio.film.lettering import (
    BOLD,
    REGULAR,
    SEMIBOLD,
    has_to_cut,
    length_of,
    set_lines,
    typeface,
)
from studio.film.look import WIDEST_MEASURE, CardStyle, Look, TypeSize, load_look, rgb
from studio.measure.trace import plain

if TYPE_CHECKING:
    from PIL import Image, ImageDraw, ImageFont

FOLDER = "overlays"
"""The folder of the overlays in the out folder."""

NOTHING_CLEAR = Strips()
"""No strips beside the look's own margins."""

Box = tuple[int, int, int, int]
"""Left, top, right and bottom in pixels; right and bottom lie outside."""

RECORD_KEY = "studio-overlay"
"""Keyword of the iTXt chunk that holds an overlay's record as JSON."""


_SHRINK = tuple(1 - 0.04 * step for step in range(16))

# So far down may type shrink only to keep the second figure beside the first.
_SIDE_BY_SIDE = 0.8

_INSET_SIDE = 0.24
_LEAST_INSET_SIDE = 0.18
"""Side of a card's small drawing, wanted and least, shares of the type's measure (ours)."""

# So far down it may shrink to have a drawing beside the figure that it explains.
_DRAWING_BESIDE = 0.76

LEAST_DOTS, LEGIBLE_DOTS = 5, 7
"""Capitals of fewer pixels' height than the first cannot be told apart (ours: E and B need three
strokes with a gap between each), of fewer than the second are hard to read (characters of 5 × 7
dots are the least; ISO 9241-303, from memory)."""

# From here down room is short: what is measured and where share a line when they can.
_WHERE_BESIDE_LABEL = 0.8


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


@dataclass(frozen=True, slots=True)
class _Box:
    left: int
    top: int
    right: int
    bottom: int

    @property
    def width(self) -> int:
        return self.right - self.left

    @property
    def height(self) -> int:
        return self.bottom - self.top


@dataclass(frozen=True, slots=True)
class _Run:
    """A text on one line: ``x`` from the left of the card's text, ``y`` its baseline."""

    text: str
    font: ImageFont.FreeTypeFont
    colour: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class _Rule:
    """A filled bar, in the same coordinates as ``_Run``; ``width`` 0 is the card's full width."""

    x: float
    y: float
    width: float
    height: float
    colour: str


@dataclass(frozen=True, slots=True)
class _Sign:
    """The warning triangle in a square of side ``size``."""

    x: float
    y: float
    size: float


@dataclass(frozen=True, slots=True)
class _Drawing:
    """A card's small drawing in a square of side ``size``."""

    inset: Inset
    x: float
    y: float
    size: float


@dataclass(slots=True)
class _Layout:
    """A card before it is drawn; grows downwards as lines are added.

    ``figures_apart`` tells that a second figure has no room beside the first, ``cuts`` that one is
    wider than the card and would be cut in two.
    """

    style: CardStyle
    padding: int
    runs: list[_Run]
    rules: list[_Rule]
    signs: list[_Sign]
    width: float = 0.0
    height: float = 0.0
    figures_apart: bool = False
    cuts: bool = False
    drawing: _Drawing | None = None

    def add(
        self, lines: list[str], font: ImageFont.FreeTypeFont, colour: str, indent: float = 0.0
    ) -> None:
        """Add ``lines`` below what is there."""
        ascent, descent = _line_metrics(font)
        for line in lines:
            self.runs.append(_Run(line, font, colour, indent, self.height + ascent))
            self.width = max(self.width, indent + length_of(font, line))
            self.height += ascent + descent

    @property
    def size(self) -> tuple[int, int]:
        """The card's outer width and height in pixels."""
        return ceil(self.width) + 2 * self.padding, ceil(self.height) + 2 * self.padding


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
    room = _room(card.kind, size, look, corner, clear)
    panel = _paint(_laid_out(card, size, look, corner, clear), size, look, card.opacity)
    picture = Image.new("RGBA", (size.width, size.height), (0, 0, 0, 0))
    picture.paste(panel, _place(card.kind, size, corner, room, panel.size))
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
    room = _room(card.kind, size, look, corner, clear)
    panel = _laid_out(card, size, look, corner, clear).size
    left, top = _place(card.kind, size, corner, room, panel)
    return (left, top, left + panel[0], top + panel[1])


class DoesNotFit(BadInput):
    """A card whose texts do not fit, even at the least type that can be read.

    Attributes:
        card: the card.
        keys: under which key of the design it can be mended: of the step, or ``film.keep_clear``.
    """

    def __init__(self, card: Card, what: str, write: str, keys: tuple[str, ...]):
        super().__init__([Fault(what=what, write=write)])
        self.card, self.keys = card, keys


@dataclass(frozen=True, slots=True)
class _Ground:
    """What cards are laid on: pictures of a size, with what is kept clear in them."""

    size: FrameSize
    look: Look
    clear: Strips

    def holds(self, card: Card) -> bool:
        """Whether a card fits at a size that can be read."""
        corner = card.corner or wanted_corner(card, self.look, self.size)
        room = _room(card.kind, self.size, self.look, corner, self.clear)
        return _fitting(card, self.size, self.look, room) is not None

    def narrowed(self, edge: str, percent: int) -> _Ground:
        """The same with another strip at an edge."""
        return replace(self, clear=replace(self.clear, **{edge: percent / 100}))

    @property
    def unhindered(self) -> _Ground:
        """The same with nothing kept clear."""
        return replace(self, clear=NOTHING_CLEAR)


class NoRoomBeside(DoesNotFit):
    """A card that would fit were nothing kept clear.

    Attributes:
        ground: where it does not fit.
        less: what else than narrower strips would do.
    """

    def __init__(self, card: Card, what: str, less: str, ground: _Ground):
        listed = ", ".join(f"{edge} {share} %" for edge, share in _percents(ground.clear).items())
        super().__init__(
            card,
            f"{what} beside what is kept clear ({listed})",
            _narrower([card], ground, less),
            ("film", "keep_clear"),
        )
        self.ground, self.less = ground, less

    def beside(self, cards: Sequence[Card]) -> Fault:
        """The same fault, with strips beside which all of a film's cards fit.

        Args:
            cards: with their corners; those that fit nowhere do not count.
        """
        fit = [one for one in cards if self.ground.unhindered.holds(one)]
        return replace(self.faults[0], write=_narrower(fit, self.ground, self.less))


def _percents(clear: Strips) -> dict[str, int]:
    """How wide strips are by their edges, in percent, the widest first; none of no width."""
    wide = {edge: round(share * 100) for edge, share in asdict(clear).items() if share}
    return dict(sorted(wide.items(), key=lambda one: -one[1]))


def _narrower(cards: Sequence[Card], ground: _Ground, less: str) -> str:
    """What to write under ``keep_clear:`` so that cards fit that do so with nothing kept clear."""

    def fit(there: _Ground) -> bool:
        return all(map(there.holds, cards))

    asked = _percents(ground.clear)
    there = ground
    for edge in asked:
        if not fit(there):
            there = there.narrowed(edge, 0)
    # each as wide again as the others allow
    for edge, percent in asked.items():
        widest = bisect_left(
            range(1, percent + 1), True, key=lambda share: not fit(there.narrowed(edge, share))
        )
        there = there.narrowed(edge, widest)
    does = {edge: round(getattr(there.clear, edge) * 100) for edge in asked}
    changed = [f"{edge}: {does[edge]} %" for edge in asked if does[edge] != asked[edge]]
    return f"write {', '.join(changed)} or less under keep_clear:, or {less}"


def told_in_design(error: DoesNotFit, episode: Episode) -> BadInput:
    """The same with the design's file, line and column, where they can be found.

    Args:
        error: of a card of ``episode``.
        episode: opened from a design file.
    """
    fault = error.faults[0]
    if isinstance(error, NoRoomBeside):
        ground = error.ground
        fault = error.beside(with_corners(episode.cards, ground.look, ground.size))
    number = next((one.number for one in episode.steps if one.id == error.card.step_id), None)
    if error.keys[0] == "film" or number is None:
        keys: tuple[str | int, ...] = error.keys
    else:
        keys = ("steps", number - 1, *error.keys)
    try:
        placed = load(episode.design_file).place(Problem(keys, fault.what, fault.write))
    except (BadInput, OSError):
        # the design went away meanwhile
        placed = replace(fault, file=episode.design_file)
    return BadInput([placed])


@contextmanager
def faults_in_design(episode: Episode) -> Iterator[None]:
    """Whatever does not fit in here is told with its place in the episode's design."""
    try:
        yield
    except DoesNotFit as error:
        raise told_in_design(error, episode) from error


def _laid_out(card: Card, size: FrameSize, look: Look, corner: str, clear: Strips) -> _Layout:
    layout = _fitting(card, size, look, _room(card.kind, size, look, corner, clear))
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
        raise _why_not(card, size, look, corner, clear)
    return layout


def _floor_dots(size: FrameSize, look: Look) -> int:
    """How many pixels high capitals are on pictures of a size where type has shrunk most."""
    sizes = (look.type.heading, look.type.label, look.type.where, look.type.caution)
    return _capital_height(typeface(REGULAR, min(_type(size, one, 0) for one in sizes)))


def _least_dots(layout: _Layout) -> int:
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


def _why_not(card: Card, size: FrameSize, look: Look, corner: str, clear: Strips) -> DoesNotFit:
    """What is to be told of a card that does not fit."""
    what = (
        f"the {card.kind} card of step `{card.step_id}` does not fit into a picture of "
        f"{size.width} × {size.height} pixels"
    )
    if card.kind is CardKind.MEASUREMENT:
        less = "show fewer measurements in this step, or shorten its title"
        less += ", or leave its inset out" if card.inset is not None else ""
        keys: tuple[str, ...] = ("show",) if card.rows else ("inset",)
    elif card.kind is CardKind.CAUTION:
        named = ", ".join(f"“{plain(row.label)}” ({row.name})" for row in card.rows)
        what = (
            f"the card of step `{card.step_id}` with the caution {named} does not fit into a "
            f"picture of {size.width} × {size.height} pixels"
        )
        less = "write a larger size: under film: and export in it"
        if len(card.rows) > 1:
            less += ", or part the step, so that each part does: less"
        keys = ("does",)
    else:
        less, keys = "shorten the step's title", ("title",)

    ground = _Ground(size, look, clear)
    if clear != NOTHING_CLEAR and ground.unhindered.holds(replace(card, corner=corner)):
        return NoRoomBeside(replace(card, corner=corner), what, less, ground)
    return DoesNotFit(
        card, f"{what}, even at the least type that can be read on a phone", less, keys
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


# --- where a card may stand -------------------------------------------------------------------


def _usable(size: FrameSize, look: Look, clear: Strips) -> _Box:
    margins = look.margins
    upright = is_upright(size)
    right = margins.upright_right if upright else margins.edge
    bottom = margins.upright_captions if upright else margins.captions
    return _Box(
        ceil(size.width * max(margins.edge, clear.left)),
        ceil(size.height * max(margins.edge, clear.top)),
        floor(size.width * (1 - max(right, clear.right))),
        floor(size.height * (1 - max(bottom, clear.bottom))),
    )


def _room(
    kind: CardKind,
    size: FrameSize,
    look: Look,
    corner: str = "",
    clear: Strips = NOTHING_CLEAR,
) -> _Box:
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
            return _Box(usable.left, usable.top, usable.right, usable.top + height)
        return _Box(usable.left, usable.bottom - height, usable.right, usable.bottom)
    share = share_of.caution_width if caution else share_of.measurement_width
    width = min(floor(size.width * share), floor(usable.width * share / _both(look)))
    if (corner or own_corner(kind, look)).endswith("left"):
        return _Box(usable.left, usable.top, usable.left + width, usable.bottom)
    return _Box(usable.right - width, usable.top, usable.right, usable.bottom)


def _both(look: Look) -> float:
    return look.places.caution_width + look.places.measurement_width


def _place(
    kind: CardKind, size: FrameSize, corner: str, room: _Box, panel: tuple[int, int]
) -> tuple[int, int]:
    """Where a panel's top left corner lies."""
    at_foot = corner.startswith("bottom")
    if is_upright(size):
        return room.left, room.bottom - panel[1] if at_foot else room.top
    left = room.left if corner.endswith("left") else room.right - panel[0]
    return left, room.bottom - panel[1] if at_foot else room.top


# --- laying out -------------------------------------------------------------------------------


def _fitting(card: Card, size: FrameSize, look: Look, room: _Box) -> _Layout | None:
    def at(scale: float, *, beside: bool = False) -> _Layout | None:
        if card.kind is CardKind.CAUTION:
            layout = _lay_caution(card, size, look, room.width, scale)
        else:
            layout = _lay_measurement(card, size, look, room.width, scale, beside=beside)
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


def _type(size: FrameSize, wanted: TypeSize, scale: float) -> int:
    """Type size in pixels of lettering that is not a main figure."""
    measure = measure_of(size)
    return max(ceil(measure * wanted.least), round(measure * wanted.size * scale), 1)


def measure_of(size: FrameSize) -> float:
    """What type sizes are shares of, pixels: the height, bounded in film taller than wide."""
    return min(size.height, WIDEST_MEASURE * size.width)


def style_of(kind: CardKind, look: Look) -> CardStyle:
    """The colours of cards of a kind."""
    return look.caution if kind is CardKind.CAUTION else look.measurement


def _empty(card: Card, size: FrameSize, look: Look) -> _Layout:
    style = style_of(card.kind, look)
    return _Layout(style, ceil(measure_of(size) * look.panel.padding), [], [], [])


def _lay_measurement(
    card: Card, size: FrameSize, look: Look, widest: int, scale: float, *, beside: bool = False
) -> _Layout:
    """Heading, rows and drawing; ``beside`` leaves a column free for the drawing."""
    layout = _empty(card, size, look)
    style, sizes = layout.style, look.type
    whole = room = widest - 2 * layout.padding
    heading = typeface(SEMIBOLD, _type(size, sizes.heading, scale))
    label = typeface(SEMIBOLD, _type(size, sizes.label, scale))
    where = typeface(REGULAR, _type(size, sizes.where, scale))
    caption = _figure_font(measure_of(size), sizes.other, scale, REGULAR)
    gap = size.height * look.panel.gap * scale
    line = max(1, round(size.height * look.panel.line))

    if card.heading:
        layout.add(set_lines(card.heading, heading, room), heading, style.heading)
        layout.height += gap * 0.35
        layout.rules.append(_Rule(0, layout.height, 0, line, style.rule))
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
        _add_figures(layout, row.value, row.other, size, look, room, scale)
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
    layout: _Layout,
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
    layout.drawing = _Drawing(inset, x + (wide - side) / 2, y, side)
    baseline = y + side + font.size * 0.3 + ascent
    for line in lines:
        at = x + (wide - length_of(font, line)) / 2
        layout.runs.append(_Run(line, font, layout.style.text, at, baseline))
        baseline += ascent + descent
    layout.width = max(layout.width, x + wide)
    layout.height = max(layout.height, y + tall)


def _add_on_one_line(
    layout: _Layout,
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
    layout.runs.append(_Run(where_lines[0], where, layout.style.quiet, x, baseline))
    layout.width = max(layout.width, width)
    return True


def _add_figures(
    layout: _Layout, value: str, other: str, size: FrameSize, look: Look, room: int, scale: float
) -> None:
    """The large figure, with the second system's beside it, or below where there is no room."""
    big = _figure_font(size.height, look.type.figure, scale, BOLD)
    small = _figure_font(measure_of(size), look.type.other, scale, REGULAR)
    values = set_lines(value, big, room)
    others = set_lines(other, small, room)
    layout.cuts |= has_to_cut(value, big, room) or has_to_cut(other, small, room)
    # a list may go on on the next line, a figure's unit may not
    layout.cuts |= any(len(lines) > 1 and ", " not in " ".join(lines) for lines in (values, others))
    # A figure needs no room for descenders as running text does, but must not touch the next line.
    ascent, descent = _figure_metrics(big)
    layout.height += size.height * look.panel.gap * 0.30 * scale
    for text in values:
        layout.runs.append(_Run(text, big, layout.style.text, 0, layout.height + ascent))
        layout.width = max(layout.width, length_of(big, text))
        layout.height += ascent + descent
    if len(others) == 1 and values:
        x = length_of(big, values[-1]) + small.size * 0.7
        if x + length_of(small, others[0]) <= room:
            baseline = layout.runs[-1].y
            layout.runs.append(_Run(others[0], small, layout.style.text, x, baseline))
            layout.width = max(layout.width, x + length_of(small, others[0]))
            return
    layout.figures_apart |= bool(others)
    layout.add(others, small, layout.style.text)


def _lay_caution(card: Card, size: FrameSize, look: Look, widest: int, scale: float) -> _Layout:
    layout = _empty(card, size, look)
    style, sizes = layout.style, look.type
    room = widest - 2 * layout.padding
    heading = typeface(BOLD, _type(size, sizes.heading, scale))
    text = typeface(SEMIBOLD, _type(size, sizes.caution, scale))
    gap = size.height * look.panel.gap * scale
    line = max(1, round(size.height * look.panel.line))

    sign = round(heading.size * 1.5)
    indent = sign + heading.size * 0.55
    lines = set_lines(card.heading, heading, room - indent)
    ascent, descent = _line_metrics(heading)
    block = max(sign, len(lines) * (ascent + descent))
    layout.signs.append(_Sign(0, (block - sign) / 2, sign))
    layout.width = indent
    layout.height = (block - len(lines) * (ascent + descent)) / 2
    layout.add(lines, heading, style.heading, indent)
    layout.height = block + gap * 0.35
    layout.rules.append(_Rule(0, layout.height, 0, line, style.rule))
    layout.height += line + gap * 0.5
    bullet = text.size * 0.30 if len(card.rows) > 1 else 0.0
    step_in = text.size * 0.75 if bullet else 0.0
    ascent, descent = _line_metrics(text)
    for index, row in enumerate(card.rows):
        if index:
            layout.height += gap * 0.4
        if bullet:
            middle = layout.height + ascent - text.size * 0.32
            layout.rules.append(_Rule(0, middle - bullet / 2, bullet, bullet, style.rule))
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


# --- painting ---------------------------------------------------------------------------------


def _paint(
    layout: _Layout, size: FrameSize, look: Look, density: float | None = None
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
