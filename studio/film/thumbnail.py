"""The thumbnail: title, the finished piece and one measurement, legible at the size of a stamp.

The piece's own picture is the ground. The piece is moved to the right, and what is laid bare on the
left is the backdrop carried on, so that title and figure stand on calm ground.
"""

from __future__ import annotations

import io
import json
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from studio.episode.records import Episode, FrameSize
from studio.errors import BadInput
from studio.files import as_last_written
from studio.film.lettering import BOLD, SEMIBOLD, set_lines, typeface
from studio.film.look import LEAST_CONTRAST, CardStyle, Rgb, contrast_ratio, load_look, rgb
from studio.film.probe import Footage, probe
from studio.film.telling import clock
from studio.measure.trace import plain

if TYPE_CHECKING:
    from PIL import Image, ImageDraw

THUMBNAIL = "thumbnail.png"
FRAME = "thumbnail-frame.png"
"""The film's own picture at the moment that the design names; the burn keeps it here."""

KEY = "studio-thumbnail"
"""Keyword of the chunk that holds what it says."""

SIZE = FrameSize(1280, 720)
"""As video hosts ask for it (common practice, no source)."""

_MARGIN = 0.07
_COLUMN = 0.42
"""Of the width: the margin at the left, and the column that the words may fill (ours)."""

_MOVED = 0.22
"""How far the ground is moved to the right, share of the width (ours)."""

_MOMENT = "studio-moment"
"""Keyword of the chunk that holds a kept frame's time, ms."""

_TITLE, _LEAST_TITLE = 0.150, 0.063
_FIGURE, _LABEL = 0.150, 0.068
"""Of the height: type of the title, wanted and least, of the figure and of its label (ours)."""

_MOST_LINES = 6
"""A title of a hundred letters, the most that one may have, needs them at the least size."""


@dataclass(frozen=True, slots=True)
class _Inks:
    strong: Rgb
    accent: Rgb


def thumbnail(episode: Episode, picture: bytes, frame: bytes | None = None) -> bytes:
    """The thumbnail as a PNG, the same bytes each time.

    Args:
        episode: title, look, and the measurement to show.
        picture: the piece's own picture, a PNG with calm ground at its left edge.
        frame: a picture of the film to take instead, as an image file.

    Raises:
        BadInput: the title does not fit at the least size that can be read.
    """
    from PIL import Image, ImageDraw
    from PIL.PngImagePlugin import PngInfo

    look = load_look(episode.look, beside=episode.design_file.parent)
    plate = look.measurement
    with Image.open(io.BytesIO(frame or picture)) as opened:
        if frame is not None:
            ground = _with_plate(opened.convert("RGB"), plate)
            inks = _Inks(rgb(plate.text), rgb(plate.heading))
        else:
            ground = _moved(opened.convert("RGB").resize((SIZE.width, SIZE.height)))
            inks = _readable(ground, _Inks(rgb(plate.plate), rgb(look.caution.heading)))
    draw = ImageDraw.Draw(ground)
    left, room = round(SIZE.width * _MARGIN), round(SIZE.width * _COLUMN)
    foot = _draw_figure(draw, episode, inks, left, room)
    _draw_title(draw, episode, inks, left, room, foot)
    file = io.BytesIO()
    info = PngInfo()
    info.add_itxt(KEY, told(episode, framed=frame is not None))
    # packed as tightly as can be it is a fifth smaller and takes twelve times as long (measured)
    ground.save(file, "PNG", compress_level=4, pnginfo=info)
    return file.getvalue()


def wanted_frame(episode: Episode, out: Path) -> bytes | None:
    """The film's picture that a burn has kept for the thumbnail, when the design asks for one.

    Args:
        episode: says at which moment.
        out: the out folder.
    """
    if episode.thumbnail_at_ms is None:
        return None
    found = as_last_written(out, FRAME)
    return found if found is not None and _moment_of(found) == episode.thumbnail_at_ms else None


def require_moment(episode: Episode, footage: Footage) -> None:
    """Make sure that a film has the moment that the design names for the thumbnail.

    Raises:
        BadInput: it ends before.
    """
    at = episode.thumbnail_at_ms
    if at is not None and at >= footage.duration_ms:
        raise BadInput.of(
            f"the master ends before {clock(at)}, the moment for the thumbnail",
            "write an earlier moment for thumbnail_at:, under film:",
            file=episode.design_file,
        )


def frame_file(episode: Episode, master: Path) -> bytes:
    """The film's picture at the moment that the design names, as a PNG that knows the moment.

    Raises:
        BadInput: the film has no such moment.
    """
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    from studio.film.placing import picture_at

    at = episode.thumbnail_at_ms
    assert at is not None
    footage = probe(master)
    require_moment(episode, footage)
    picture = picture_at(footage, at)
    info = PngInfo()
    info.add_itxt(_MOMENT, str(at))
    file = io.BytesIO()
    Image.fromarray(picture.copy()).save(file, "PNG", pnginfo=info)
    return file.getvalue()


def _moment_of(content: bytes) -> int | None:
    from PIL import Image

    try:
        with Image.open(io.BytesIO(content)) as picture:
            return int(getattr(picture, "text", {}).get(_MOMENT, ""))
    except (OSError, ValueError, SyntaxError):
        return None


def _with_plate(frame: Image.Image, style: CardStyle) -> Image.Image:
    """The film's picture filling the frame, and a plate under the words.

    It stays where it is: what lies left of it nobody filmed.
    """
    from PIL import Image, ImageOps

    out = ImageOps.fit(frame, (SIZE.width, SIZE.height))
    column = (round(SIZE.width * (1.5 * _MARGIN + _COLUMN)), SIZE.height)
    plate = Image.new("RGB", column, rgb(style.plate))
    under = out.crop((0, 0, *column))
    out.paste(Image.blend(under, plate, style.opacity), (0, 0))
    return out


def told(episode: Episode, *, framed: bool = False) -> str:
    """What the thumbnail says, as JSON; it travels inside the picture.

    Args:
        episode: as :func:`thumbnail`.
        framed: whether its ground is the film's own picture.
    """
    shown = episode.thumbnail
    return json.dumps(
        {
            "title": " ".join(plain(episode.title).split()),
            "figure": shown.text if shown is not None else "",
            "label": shown.label if shown is not None else "",
            "name": shown.name if shown is not None else "",
            "look": episode.look,
            "at": episode.thumbnail_at_ms if framed else None,
        },
        ensure_ascii=False,
        sort_keys=True,
    )


def told_in(path: Path) -> str:
    """What a thumbnail of ours says; empty for any other file."""
    from PIL import Image

    try:
        with Image.open(path) as picture:
            return str(getattr(picture, "text", {}).get(KEY, ""))
    except (OSError, ValueError, SyntaxError):
        return ""


def _moved(picture: Image.Image) -> Image.Image:
    """The piece moved to the right; the backdrop's first columns are carried on to the left."""
    from PIL import Image

    by = round(picture.width * _MOVED)
    out = Image.new("RGB", picture.size)
    edge = picture.crop((0, 0, 8, picture.height)).resize((1, picture.height))
    out.paste(edge.resize((by, picture.height)), (0, 0))
    out.paste(picture, (by, 0))
    return out


def _readable(ground: Image.Image, inks: _Inks) -> _Inks:
    """The look's inks, or black or white where one of them could not be read on this ground."""
    column = ground.crop((0, 0, round(ground.width * 0.3), ground.height)).resize((1, 12))
    levels = column.tobytes()
    tones: list[Rgb] = list(zip(levels[0::3], levels[1::3], levels[2::3], strict=True))

    def least(ink: Rgb) -> float:
        return min(contrast_ratio(ink, tone) for tone in tones)

    def chosen(ink: Rgb) -> Rgb:
        if least(ink) >= LEAST_CONTRAST:
            return ink
        return max(((0, 0, 0), (255, 255, 255)), key=least)

    return _Inks(chosen(inks.strong), chosen(inks.accent))


def _draw_figure(
    draw: ImageDraw.ImageDraw, episode: Episode, inks: _Inks, left: int, room: int
) -> int:
    """The measurement at the foot; returns the height above which the title has room."""
    foot = round(SIZE.height * (1 - _MARGIN * SIZE.width / SIZE.height))
    shown = episode.thumbnail
    if shown is None:
        return foot
    scale = 1.0
    while typeface(BOLD, round(SIZE.height * _FIGURE * scale)).getlength(shown.text) > room:
        scale *= 0.95
    figure = typeface(BOLD, round(SIZE.height * _FIGURE * scale))
    label = typeface(SEMIBOLD, round(SIZE.height * _LABEL))
    draw.text((left, foot), shown.text, inks.accent, figure, anchor="ls")
    above = foot - round(SIZE.height * _FIGURE * scale * 0.85)
    for line in reversed(set_lines(shown.label, label, room)):
        draw.text((left, above), line, inks.strong, label, anchor="ls")
        above -= round(SIZE.height * _LABEL * 1.15)
    return above - round(SIZE.height * 0.03)


def _draw_title(
    draw: ImageDraw.ImageDraw, episode: Episode, inks: _Inks, left: int, room: int, foot: int
) -> None:
    top, title = round(SIZE.width * _MARGIN), " ".join(plain(episode.title).split())
    size = _TITLE
    while size >= _LEAST_TITLE:
        font = typeface(BOLD, round(SIZE.height * size))
        lines = set_lines(title, font, room)
        step = round(SIZE.height * size * 1.08)
        if len(lines) <= _MOST_LINES and top + step * len(lines) <= foot:
            for place, line in enumerate(lines):
                draw.text((left, top + step * place), line, inks.strong, font, anchor="la")
            return
        size -= 0.005
    raise BadInput.of(
        f"the title is too long for a thumbnail: it has {len(title)} letters",
        "write a shorter title, or one of shorter words",
        file=episode.design_file,
    )
