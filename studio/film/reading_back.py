"""What a finished film holds besides its pictures: chapters, captions and its fingerprint."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from studio.episode.digest import PREFIX
from studio.episode.records import Card, Episode, FrameSize
from studio.film.corners import with_corners
from studio.film.layout import style_of
from studio.film.look import LEAST_CONTRAST, CardStyle, Look, contrast_ratio, rgb
from studio.film.overlays import draw
from studio.film.probe import Footage, probe
from studio.film.ranges import needed_ms

if TYPE_CHECKING:
    from av.container import InputContainer
    from av.video.frame import VideoFrame
    from PIL import Image


@dataclass(frozen=True, slots=True)
class Held:
    """A chapter or caption inside a film."""

    start_ms: int
    end_ms: int
    text: str


@dataclass(frozen=True, slots=True)
class FilmContents:
    """What is inside a film file.

    Attributes:
        title: as its metadata tells it.
        chapters: in order.
        captions: of the first subtitle track, in order; empty cues between them left out.
        translated: the same of further tracks, by the tags of their languages.
        said_digest: fingerprint of the design's state it was burnt from; empty when unknown.
    """

    title: str
    chapters: tuple[Held, ...]
    captions: tuple[Held, ...]
    said_digest: str
    translated: Mapping[str, tuple[Held, ...]] = field(default_factory=dict)


def film_contents(path: Path) -> FilmContents | None:
    """Read ``path`` back; None when it is not a film that can be read."""
    import av
    from av.error import FFmpegError

    try:
        with av.open(str(path)) as film:
            chapters = tuple(
                Held(
                    round(chapter["start"] * (chapter["time_base"] or 0) * 1000),
                    round(chapter["end"] * (chapter["time_base"] or 0) * 1000),
                    str(chapter["metadata"].get("title", "")),
                )
                for chapter in film.chapters()
            )
            title = str(film.metadata.get("title", ""))
            comment = str(film.metadata.get("comment", ""))
            digest = comment.removeprefix(PREFIX) if comment.startswith(PREFIX) else ""
            tags = [str(one.metadata.get("language", "")) for one in film.streams.subtitles]
            captions = _captions(film, 0)
        translated = {}
        for number, tag in enumerate(tags[1:], start=1):
            with av.open(str(path)) as film:
                translated[tag] = _captions(film, number)
    except (FFmpegError, OSError, ValueError):
        return None
    return FilmContents(title, chapters, captions, digest, translated)


def _captions(film: object, number: int) -> tuple[Held, ...]:
    import av

    assert isinstance(film, av.container.InputContainer)
    if not film.streams.subtitles:
        return ()
    track = film.streams.subtitles[number]
    out = []
    for packet in film.demux(track):
        if packet.pts is None or packet.time_base is None or packet.duration is None:
            continue
        data = bytes(packet)
        # ISO/IEC 14496-17 timed text: a sample is its length in two bytes, then UTF-8
        length = int.from_bytes(data[:2], "big")
        text = data[2 : 2 + length].decode("utf-8", errors="replace")
        if text.strip():
            start = round(packet.pts * packet.time_base * 1000)
            out.append(Held(start, start + round(packet.duration * packet.time_base * 1000), text))
    return tuple(out)


SETTLED_MS = 1_000
"""A second after it comes up, a card has long stopped fading in, and most still stand."""

_SOLID = 250
_FURTHEST = 24.0
"""Mean difference of brightness, 0 to 255, by which a card's solid parts, or its plate, may differ
in a film from their drawing: an encoder's noise and smeared edges are under ten, another picture is
over forty (measured on the demo)."""


def cards_not_shown(path: Path, episode: Episode, look: Look) -> tuple[Card, ...]:
    """Cards that a picture of the film, taken while each stands, does not show.

    Compared is brightness. What a card covers completely has its own; where the footage shows
    through, a picture lies between what the plate makes of black and of white.
    """
    import av
    import numpy as np

    from studio.film.whole import grey_picture

    missed: list[Card] = []
    with av.open(str(path)) as film:
        stream = film.streams.video[0]
        size = FrameSize(stream.width, stream.height)
        begins = (film.start_time or 0) / 1000
        first = round(1000 * (stream.start_time or 0) * (stream.time_base or 0) - begins)
        for card in with_corners(episode.cards, look, size):
            if card.start_ms is None:
                continue
            # a card cannot come up before there are pictures
            start = max(card.start_ms, first)
            # one that has no more time stands fullest in its middle
            half = max(0, (card.end_ms or start) - start) // 2
            at = start + min(SETTLED_MS, half)
            drawn = np.asarray(
                draw(card, size, look, episode.keep_clear).convert("RGBA"), dtype=np.float64
            )
            solid = drawn[:, :, 3] >= _SOLID
            picture = _picture_at(film, at)
            if picture is None:
                missed.append(card)
                continue
            seen = grey_picture(picture).astype(np.float64)
            light = drawn[:, :, :3] @ np.array([0.2126, 0.7152, 0.0722])
            share = drawn[:, :, 3] / 255
            least = light * share
            most = least + 255 * (1 - share)
            off = np.maximum(np.maximum(least - seen, seen - most), 0)
            plate = (share > 0) & ~solid
            if any(part.any() and off[part].mean() > _FURTHEST for part in (solid, plate)):
                missed.append(card)
    return tuple(missed)


_BARE_EDGE = 5
"""Pixels across which an encoder smears lettering into the plate, taken off round it (ours)."""

_WORST_SHARE = 0.005
"""Of a plate's pixels so many, the lightest and the darkest, are taken together: a pixel alone may
be an encoder's slip (ours)."""

_MEASURED = 0.96
"""Contrast measured in an encoded film may be so much less than was reckoned for it (ours)."""

_STEADY = 3.0
"""Mean difference of brightness by which a card's solid parts may change while it stands (ours)."""


@dataclass(frozen=True, slots=True)
class Faint:
    """A card whose lettering has too little contrast in a picture of the film."""

    card: Card
    at_ms: int
    contrast: float


def faint_cards(path: Path, episode: Episode, look: Look) -> tuple[Faint, ...]:
    """Cards whose lettering is too faint over some picture of the film, with the worst picture.

    All pictures under a card are looked at that others are made from; plates that no footage can
    make too clear are not.
    """
    footage = probe(path)
    size = FrameSize(footage.width, footage.height)
    found = []
    for card in with_corners(episode.cards, look, size):
        style = style_of(card.kind, look)
        if card.opacity is None or card.opacity >= style.opacity or card.start_ms is None:
            continue
        drawn = draw(card, size, look, episode.keep_clear)
        worst = _faintest(footage, card, drawn, look.fade_ms, style)
        if worst is not None and worst.contrast < _MEASURED * LEAST_CONTRAST:
            found.append(worst)
    return tuple(found)


def _faintest(
    footage: Footage, card: Card, drawn: Image.Image, fade_ms: int, style: CardStyle
) -> Faint | None:
    import numpy as np
    from PIL import Image, ImageFilter

    from studio.film.whole import decoded, grey_picture, rgb_picture

    assert card.start_ms is not None
    assert card.opacity is not None
    alpha = np.asarray(drawn.getchannel("A"))
    bare = Image.fromarray((alpha == round(255 * card.opacity)).astype(np.uint8) * 255)
    plate = np.asarray(bare.filter(ImageFilter.MinFilter(_BARE_EDGE))) > 0
    solid = alpha >= _SOLID
    if not plate.any():
        return None
    colours = np.asarray(drawn.convert("RGB"), np.float64)[solid]
    light = colours @ np.array([0.2126, 0.7152, 0.0722])
    count = max(1, round(_WORST_SHARE * plate.sum()))
    start = max(card.start_ms, round(1000 * footage.start))
    read_by = card.start_ms + needed_ms(card)
    steady: float | None = None
    seen: list[int] = []
    worst: Faint | None = None
    for seconds, frame in decoded(footage, (start + fade_ms) / 1000, "NONREF"):
        at = round(1000 * seconds)
        if at >= (card.end_ms or start) - fade_ms:
            break
        if at < start + fade_ms:
            continue
        grey = grey_picture(frame)
        if solid.any():
            off = float(np.abs(grey[solid] - light).mean())
            # an end may lie earlier than planned, but never before the card has been read
            if at >= read_by - fade_ms and steady is not None and off > steady + _STEADY:
                break
            steady = off if steady is None else max(steady, off)
        ordered = np.argsort(grey[plate], kind="stable")
        ends = [int(grey[plate][ordered[place]]) for place in (count - 1, -count)]
        if seen and seen[0] <= ends[0] and ends[1] <= seen[1]:
            continue
        seen = [min(seen[0], ends[0]), max(seen[1], ends[1])] if seen else ends
        under = rgb_picture(frame, footage)[plate]
        for part in (ordered[:count], ordered[-count:]):
            red, green, blue = np.rint(under[part].mean(axis=0)).astype(int).tolist()
            contrast = min(
                contrast_ratio(rgb(text), (red, green, blue))
                for text in (style.heading, style.text, style.quiet)
            )
            if worst is None or contrast < worst.contrast:
                worst = Faint(card, at, contrast)
    return worst


def _picture_at(film: InputContainer, at_ms: int) -> VideoFrame | None:
    stream = film.streams.video[0]
    # microseconds, as the file counts them
    begins = (film.start_time or 0) / 1000
    film.seek(at_ms * 1000 + (film.start_time or 0), backward=True)
    for picture in film.decode(stream):
        if picture.time is not None and picture.time * 1000 - begins >= at_ms:
            return picture
    return None
