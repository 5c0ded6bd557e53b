"""All pictures through moviepy, in RGB: the engine for masters that cannot be copied.

The way to RGB and back is spelt out here, with the master's own colour matrix and range, because
every default on that way is BT.601 whatever the film is.

moviepy knows one rate only. Where the master's pictures come at uneven times they are encoded as if
they did not, in the order in which they are shown, and get the master's times afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain, pairwise
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from numpy.typing import NDArray

from studio.episode.records import Card, Episode, FrameSize, Strips
from studio.errors import WorkFailed
from studio.film.blending import fading
from studio.film.corners import with_corners
from studio.film.look import Look
from studio.film.overlays import draw
from studio.film.probe import Footage, ShownTimes, shown_times
from studio.film.telling import Bar

if TYPE_CHECKING:
    from av.container import InputContainer
    from av.packet import Packet as AnyPacket
    from av.video.frame import VideoFrame
    from av.video.stream import VideoStream

    Packet = AnyPacket[Any]

Pixels = NDArray[np.uint8]

_STEP_BACK_S, _STEP_BACK_MORE = 2, 4
"""How far before a moment a key frame is looked for where the first jump found none: seconds, and
by how much farther each time (ours)."""

Skip = Literal["DEFAULT", "NONREF", "NONKEY"]
"""Which pictures a decoder passes by, in its words."""

# Matrices that the road through RGB can name on both ends: in PyAV's words, in ffmpeg's.
_ROADS = {
    "bt709": ("ITU709", "bt709"),
    "bt470bg": ("ITU601", "bt601"),
    "smpte170m": ("ITU601", "bt601"),
    "fcc": ("FCC", "fcc"),
    "smpte240m": ("SMPTE240M", "smpte240m"),
}


def assumed_matrix(footage: Footage) -> str:
    """The master's colour matrix; of an untagged film the one that players assume.

    BT.709 from 1280 wide or above 576 high on, else BT.601 (common practice, no source).
    """
    large = footage.width >= 1280 or footage.height > 576
    return footage.matrix or ("bt709" if large else "smpte170m")


def known_matrix(matrix: str) -> bool:
    """Whether pictures of a colour matrix can go to RGB and back."""
    return matrix in _ROADS


class _Clock:
    """When pictures are shown: at an even rate, or at the times that the master has."""

    def __init__(self, footage: Footage) -> None:
        self._fps, self._count, self.begins = footage.fps, footage.frames, footage.start
        self.times = shown_times(footage.path) if footage.variable_rate else None

    @property
    def encoded_at(self) -> Fraction:
        """Pictures a second that the encoder is told; it takes no rate of huge numbers."""
        return self._fps if self.times is None else Fraction(max(1, round(self._fps)))

    def at(self, milliseconds: int) -> int:
        """Index of the first picture shown at or after a time."""
        since = max(Fraction(0), Fraction(milliseconds, 1000) - self.begins)
        if self.times is not None:
            return self.times.at(since)
        return ceil(since * self._fps)

    def place(self, index: int) -> float:
        """Where a picture stands, counted in pictures of even length."""
        if self.times is None or not self._count:
            return index
        if index < self._count:
            return self.times.seconds(index) * float(self._fps)
        return self.place(self._count - 1) + 1


@dataclass(frozen=True, slots=True)
class _BurntCard:
    """A card cut down to what is drawn of it, ready to be laid on pictures.

    Attributes:
        first, beyond: indices of the first picture with the card and the first without.
        left, top: its place.
        ink: colour times opacity, 0 to 255 × 255.
        cover: opacity, 0 to 255, one channel.
        fade: pictures over which it comes and goes.
    """

    first: int
    beyond: int
    left: int
    top: int
    ink: NDArray[np.uint32]
    cover: NDArray[np.uint32]
    fade: float

    def lay_on(self, picture: Pixels, index: int, clock: _Clock) -> None:
        """Blend the card into ``picture``, the film's picture number ``index``, in place."""
        first, beyond, at = (clock.place(one) for one in (self.first, self.beyond, index))
        strength = fading(first, beyond, self.fade)(at)
        height, width = self.cover.shape[:2]
        part = picture[self.top : self.top + height, self.left : self.left + width]
        whole = 255 * 256
        under = part * (whole - self.cover * strength)
        part[...] = (self.ink * strength + under + whole // 2) // whole


def _burnt_card(
    card: Card, size: FrameSize, look: Look, footage: Footage, clear: Strips, clock: _Clock
) -> _BurntCard:
    picture = draw(card, size, look, clear)
    box = picture.getbbox()
    if box is None or card.start_ms is None or card.end_ms is None:
        raise ValueError(f"card {card.number} shows nothing or has no times")
    pixels = np.asarray(picture.crop(box), dtype=np.uint32)
    cover = pixels[:, :, 3:]
    first = min(clock.at(card.start_ms), footage.frames - 1)
    beyond = max(min(clock.at(card.end_ms), footage.frames), first + 1)
    return _BurntCard(
        first=first,
        beyond=beyond,
        left=box[0],
        top=box[1],
        ink=pixels[:, :, :3] * cover,
        cover=cover,
        # a very short card still reaches full strength in its middle
        fade=min(
            look.fade_ms * float(footage.fps) / 1000, (clock.place(beyond) - clock.place(first)) / 3
        ),
    )


def road(footage: Footage) -> tuple[str, str]:
    """The matrix to RGB and back in PyAV's and in ffmpeg's words."""
    return _ROADS[assumed_matrix(footage)]


def rgb_picture(frame: VideoFrame, footage: Footage, size: tuple[int, int] | None = None) -> Pixels:
    """A decoded picture of the footage, upright, as RGB; scaled to ``size`` where that is given."""
    from av.video.reformatter import Interpolation

    width, height = size or (None, None)
    if footage.rotation in (90, 270):
        width, height = height, width
    picture = frame.reformat(
        width=width,
        height=height,
        format="rgb24",
        src_colorspace=road(footage)[0],
        src_color_range="JPEG" if footage.colour_range == "pc" else "MPEG",
        dst_color_range="JPEG",
        # without accurate rounding every luma value comes out one too dark (measured)
        interpolation=Interpolation.BILINEAR
        | Interpolation.ACCURATE_RND
        | Interpolation.FULL_CHR_H_INT,
    )
    pixels: Pixels = picture.to_ndarray()  # type: ignore[assignment]
    # turned the other way round: numpy counts quarter turns anticlockwise
    return np.rot90(pixels, -footage.rotation // 90)


_PLANAR = ("yuv420p", "yuvj420p", "yuv422p", "yuvj422p", "yuv444p", "yuvj444p")
"""Formats of eight bits whose first plane is the brightness."""


def grey_picture(frame: VideoFrame) -> Pixels:
    """A decoded picture's brightness, from 0 for black to 255 for white."""
    stored = frame if frame.format.name in _PLANAR else frame.reformat(format="yuv420p")
    plane = stored.planes[0]
    rows = np.frombuffer(memoryview(plane), np.uint8).reshape(plane.height, plane.line_size)
    pixels = rows[:, : plane.width]
    # PyAV has no name for the full range but its number
    full = stored.format.name.startswith("yuvj") or stored.color_range == _FULL_RANGE
    return pixels if full else np.take(_FROM_LIMITED, pixels)


_FULL_RANGE = 2
_FROM_LIMITED = np.clip(np.rint((np.arange(256) - 16) * 255 / 219), 0, 255).astype(np.uint8)
"""Limited range (16 to 235, ITU-R BT.601 and BT.709) as full range."""


def decoded(footage: Footage, start: float, skip: Skip) -> Iterator[tuple[float, VideoFrame]]:
    """Pictures and their times, seconds of the film, from the key frame before ``start`` on.

    Of key frames alone, which need nothing that stands before them, from ``start`` itself on.
    """
    import av

    with av.open(str(footage.path)) as container:
        stream = next(one for one in container.streams.video if one.width)
        # several of these run side by side, and none goes on for long
        stream.codec_context.thread_count = 1
        stream.codec_context.skip_frame = skip
        assert stream.time_base is not None
        offset = (container.start_time or 0) / av.time_base
        wanted = round((start + offset) / stream.time_base)
        for packet in _from_key_before(container, stream, wanted):
            if skip == "NONKEY" and packet.pts is not None and packet.pts < wanted:
                continue
            for frame in stream.codec_context.decode(packet):
                if frame.pts is not None:
                    yield float(frame.pts * stream.time_base) - offset, frame


def key_times(footage: Footage, start: float, end: float) -> list[float]:
    """When key frames are shown from ``start`` to ``end``, all in seconds of the film."""
    import av

    with av.open(str(footage.path)) as container:
        stream = next(one for one in container.streams.video if one.width)
        assert stream.time_base is not None
        offset = (container.start_time or 0) / av.time_base
        low, high = ((at + offset) / stream.time_base for at in (start, end))
        times = []
        for packet in _from_key_before(container, stream, round(low)):
            if packet.dts is not None and packet.dts >= high:
                break
            if packet.is_keyframe and packet.pts is not None and low <= packet.pts < high:
                times.append(float(packet.pts * stream.time_base) - offset)
        return sorted(times)


def _from_key_before(
    container: InputContainer, stream: VideoStream, wanted: int
) -> Iterator[Packet]:
    """Packets from a key frame on that is shown at ``wanted`` or before it, else all.

    Where a file keeps no list of its key frames, a jump ends anywhere.
    """
    assert stream.time_base is not None
    first = stream.start_time or 0
    back = 0
    while wanted - back > first:
        container.seek(max(0, wanted - back), stream=stream)
        packets = container.demux(stream)
        for packet in packets:
            if packet.size and packet.pts is not None:
                if packet.is_keyframe and packet.pts <= wanted:
                    return chain([packet], packets)
                if packet.dts is not None and packet.dts > wanted:
                    break
        back = max(round(_STEP_BACK_S / stream.time_base), _STEP_BACK_MORE * back)
    container.seek(0)
    return container.demux(stream)


class _Pictures:
    """The master's pictures in order, upright, as RGB, each decoded once.

    moviepy's own reader is not used: it counts pictures from a rounded duration and leaves the
    colour matrix of an untagged film to a default.
    """

    def __init__(self, footage: Footage) -> None:
        import av

        self._footage = footage
        self._container = av.open(str(footage.path))
        self._stream = next(s for s in self._container.streams.video if s.width)
        self._stream.thread_type = "AUTO"
        self._frames: Iterator[VideoFrame] = self._container.decode(self._stream)
        self._index = -1
        self._current: Pixels | None = None

    def at(self, index: int) -> Pixels:
        """Picture number ``index``; pictures are asked for in order, one more than once."""
        if self._current is None or index > self._index:
            for frame in self._frames:
                self._index += 1
                if self._index == index:
                    self._current = rgb_picture(frame, self._footage)
                    break
            else:
                raise WorkFailed(
                    f"{self._footage.path} broke off at picture {self._index + 1} of "
                    f"{self._footage.frames}; export or copy it again"
                )
        return self._current

    def close(self) -> None:
        """Let go of the file."""
        self._container.close()


def write_whole(
    footage: Footage,
    episode: Episode,
    look: Look,
    out: Path,
    *,
    preset: str,
    quality: tuple[str, str],
    bar: Bar | None,
) -> None:
    """Encode the film's pictures with their overlays; no sound yet.

    Args:
        footage: the master.
        episode: with times; its cards are laid on.
        look: of the cards.
        out: the file to write.
        preset: x264's.
        quality: arguments that tell ffmpeg the quality.
        bar: shows how far it is.

    Raises:
        OSError: moviepy's encoder failed.
        WorkFailed: the master broke off.
    """
    from moviepy import VideoClip

    size = FrameSize(footage.width, footage.height)
    clock = _Clock(footage)
    fps = float(clock.encoded_at)
    cards = [
        _burnt_card(card, size, look, footage, episode.keep_clear, clock)
        for card in with_corners(episode.cards, look, size)
    ]
    pictures = _Pictures(footage)

    def index_of(seconds: float) -> int:
        return round(seconds * fps)

    def overlaid(seconds: float) -> Pixels:
        index = index_of(seconds)
        visible = [card for card in cards if card.first <= index < card.beyond]
        picture = pictures.at(index)
        if visible:
            # moviepy asks for the first picture twice; the decoded one must stay clean
            picture = picture.copy()
        for card in visible:
            card.lay_on(picture, index, clock)
        return picture

    even = out if clock.times is None else out.with_name("even.mp4")
    try:
        film = VideoClip(overlaid)
        # half a picture more: moviepy rounds duration times rate down
        film = film.with_duration((footage.frames + 0.5) / fps)
        film.write_videofile(
            str(even),
            fps=fps,
            codec="libx264",
            preset=preset,
            audio=False,
            ffmpeg_params=encoding(footage, episode, quality, clock),
            logger=bar,
        )
    finally:
        pictures.close()
    if clock.times is not None:
        _at_their_times(even, out, clock.times, footage)
        even.unlink()


def _at_their_times(even: Path, out: Path, times: ShownTimes, footage: Footage) -> None:
    """Give pictures, stored in the order in which they are shown, the times of the master's.

    Raises:
        WorkFailed: there are not as many as the master has.
    """
    import av

    last = round(1 / (footage.fps * times.base))
    lengths = [*(after - at for at, after in pairwise(times.units)), last]
    options = {"video_track_timescale": str(times.base.denominator)}
    with av.open(str(even)) as source, av.open(str(out), "w", options=options) as film:
        stream = source.streams.video[0]
        track = film.add_stream_from_template(stream, opaque=True)
        packets = (packet for packet in source.demux(stream) if packet.size)
        try:
            for packet, at, length in zip(packets, times.units, lengths, strict=True):
                packet.pts = packet.dts = at
                packet.duration, packet.time_base = length, times.base
                packet.stream = track
                film.mux_one(packet)
        except ValueError as error:
            raise WorkFailed("the encoder lost pictures; nothing was written") from error


def encoding(
    footage: Footage, episode: Episode, quality: tuple[str, str], clock: _Clock | None = None
) -> list[str]:
    """What ffmpeg is told beyond moviepy's own arguments; without a clock, for an even rate."""
    rate = clock.encoded_at if clock is not None else footage.fps
    fps = f"{rate.numerator}/{rate.denominator}"
    full = footage.colour_range == "pc"
    unsaid = "unknown"
    filters = [
        # moviepy hands the rate over with two decimals; 30000/1001 would drift
        f"settb={rate.denominator}/{rate.numerator}",
        "setpts=N",
        f"scale=out_color_matrix={road(footage)[1]}:out_range={'pc' if full else 'tv'}"
        ":flags=bicubic+accurate_rnd+full_chroma_int",
        "setsar=1,format=yuv420p",
        f"setparams=colorspace={footage.matrix or unsaid}"
        f":color_primaries={footage.primaries or unsaid}:color_trc={footage.transfer or unsaid}"
        f":range={footage.colour_range or 'tv'}",
    ]
    # in the even time of the encoder
    begins = [
        clock.at(chapter.start_ms) / rate
        if clock is not None and clock.times is not None
        else max(Fraction(0), Fraction(chapter.start_ms, 1000) - footage.start)
        for chapter in episode.chapters
    ]
    starts = ",".join(f"{float(one):.3f}" for one in begins)
    return [
        *("-vf", ",".join(filters), "-r", fps),
        *quality,
        # a player jumps to key frames: one every two seconds and one at each chapter
        *("-g", str(round(2 * rate))),
        *(("-force_key_frames", starts) if starts else ()),
        # pictures that get other times are stored in the order in which they are shown
        *(("-bf", "0") if clock is not None and clock.times is not None else ()),
        *("-video_track_timescale", str(rate.numerator * 1000)),
    ]
