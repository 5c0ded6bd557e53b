"""What a film file holds, found by reading it through and not by believing its header.

Time 0 of a film, here and everywhere, is where its presentation starts: its first picture or its
first sound, whichever is earlier, as players show it. The other may begin later.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from studio.episode.digest import PREFIX
from studio.errors import BadInput, WorkFailed

if TYPE_CHECKING:
    import av
    from av.video.frame import VideoFrame
    from av.video.stream import VideoStream

# Code points of ITU-T H.273 (tables 2, 3 and 4), spelt as FFmpeg spells them. "" is untagged.
_MATRICES = {0: "gbr", 1: "bt709", 4: "fcc", 5: "bt470bg", 6: "smpte170m", 7: "smpte240m"}
_MATRICES |= {8: "ycgco", 9: "bt2020nc", 10: "bt2020c", 14: "ictcp"}
_PRIMARIES = {1: "bt709", 4: "bt470m", 5: "bt470bg", 6: "smpte170m", 7: "smpte240m"}
_PRIMARIES |= {8: "film", 9: "bt2020", 10: "smpte428", 11: "smpte431", 12: "smpte432"}
_TRANSFERS = {1: "bt709", 4: "bt470m", 5: "bt470bg", 6: "smpte170m", 7: "smpte240m"}
_TRANSFERS |= {8: "linear", 11: "iec61966-2-4", 13: "iec61966-2-1", 14: "bt2020-10"}
_TRANSFERS |= {15: "bt2020-12", 16: "smpte2084", 18: "arib-std-b67"}
_RANGES = {1: "tv", 2: "pc"}

# A picture may lie this far off its place on an even grid, in pictures: containers that count
# in milliseconds round every time.
_JITTER = Fraction(1, 4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Footage:
    """A film file as found.

    Attributes:
        path: the file.
        width: of the upright picture, pixels, after rotation.
        height: likewise.
        fps: pictures per second.
        frames: pictures counted by demuxing, those an edit list hides left out.
        start: when the first picture is shown, seconds from time 0; more than 0 where sound goes
            before it.
        duration_ms: from time 0 to the last picture's end.
        sound: the sound's codec by name (``aac``, ``unknown``), empty where there is no sound.
        codec: the video codec's name (``h264``).
        pixel_format: FFmpeg's name (``yuv420p``).
        bits: per channel.
        fine_colour: whether colour is stored finer than one sample for four of brightness (4:2:0).
        matrix: colour matrix in FFmpeg's spelling, empty when the file does not say.
        colour_range: ``tv`` (16 to 235) or ``pc`` (0 to 255), empty when the file does not say.
        primaries: colour primaries, empty when the file does not say.
        transfer: transfer characteristic, empty when the file does not say.
        rotation: degrees clockwise by which the stored picture is turned for viewing:
            0, 90, 180 or 270.
        variable_rate: whether pictures come at uneven times.
        interlaced: whether pictures are two fields.
        pixel_aspect: width of a stored pixel over its height.
        copyright: whose pictures they are, as the file says; may be empty.
        has_overlays: whether the file says that studio burnt it.
    """

    path: Path
    width: int
    height: int
    fps: Fraction
    frames: int
    start: Fraction
    duration_ms: int
    sound: str
    codec: str
    pixel_format: str
    bits: int
    fine_colour: bool
    matrix: str
    colour_range: str
    primaries: str
    transfer: str
    rotation: int
    variable_rate: bool
    interlaced: bool
    pixel_aspect: Fraction
    copyright: str
    has_overlays: bool

    @property
    def has_sound(self) -> bool:
        """Whether there is a sound track."""
        return bool(self.sound)

    @property
    def pictures_ms(self) -> int:
        """From the first picture's start to the last one's end."""
        return self.duration_ms - round(self.start * 1000)


def probe(path: Path) -> Footage:
    """Read ``path`` through and tell what it holds.

    Raises:
        BadInput: the file is missing, no film, has no pictures, or is cut off.
    """
    import av

    if not path.exists():
        raise BadInput.of("there is no such file", "check the name and the folder", file=path)
    if not path.is_file():
        raise BadInput.of("this is not a file", "name the film file itself", file=path)
    try:
        with av.open(str(path)) as container:
            return _read(path, container)
    except (av.FFmpegError, ValueError, IndexError) as error:
        raise BadInput.of(
            f"this cannot be read as a film ({getattr(error, 'strerror', None) or error}); it is "
            "cut off, still being written, or something else",
            "play it once to the end; if it does not play, export or copy it again",
            file=path,
        ) from error


def coding_of(stream: av.AudioStream | av.VideoStream) -> str:
    """How a track is coded, by its format's name (``av1``), not by that of the decoder here."""
    context = stream.codec_context
    # PyAV holds no context for what no decoder here is for
    return context.codec.canonical_name if context is not None else "unknown"


def _read(path: Path, container: av.container.InputContainer) -> Footage:
    from av.stream import Disposition

    # A cover picture inside a sound file is a video stream to FFmpeg, but no film.
    streams = [s for s in container.streams.video if Disposition.attached_pic not in s.disposition]
    if not streams:
        raise BadInput.of(
            "there are no pictures in this file", "name the film, not a sound file", file=path
        )
    stream = streams[0]
    base = stream.time_base
    if base is None:
        raise ValueError("its pictures have no times")
    first = next(container.decode(stream), None)
    if first is None:
        raise ValueError("no picture can be decoded")
    container.seek(0)

    times: list[int] = []
    latest = last_duration = stored = slot = 0
    for packet in container.demux(stream):
        if packet.size == 0:
            continue
        stored += 1
        slot = max(slot, packet.dts or 0)
        if packet.is_corrupt:
            raise _cut_off(path, stored, stream.frames)
        if packet.is_discard or packet.pts is None:
            continue
        if not times or packet.pts > latest:
            latest, last_duration = packet.pts, packet.duration or 0
        times.append(packet.pts)
    if container.format.name == "avi" and slot:
        # where nothing changes, an AVI file holds an empty picture, which it counts and nobody gets
        stored = max(stored, round(slot * base * (stream.average_rate or 0)) + 1)
    # An index tells how many pictures were written; a cut-off file holds fewer.
    if not times or stored < stream.frames:
        raise _cut_off(path, stored, stream.frames)
    times.sort()
    fps, variable = _rate(stream, times, base)
    span = (times[-1] - times[0]) * base + (last_duration * base or 1 / fps)
    start = max(Fraction(0), times[0] * base - Fraction(container.start_time or 0, 1_000_000))
    rotation = -first.rotation % 360
    width, height = first.width, first.height
    if rotation in (90, 270):
        width, height = height, width
    context = stream.codec_context
    return Footage(
        path=path,
        width=width,
        height=height,
        fps=fps,
        frames=len(times),
        start=start,
        duration_ms=round((start + span) * 1000),
        sound=next((coding_of(one) for one in container.streams.audio), ""),
        codec=coding_of(stream),
        pixel_format=first.format.name,
        bits=max(part.bits for part in first.format.components),
        fine_colour=_has_fine_colour(first),
        matrix=_MATRICES.get(int(context.colorspace), ""),
        colour_range=_range(first, int(context.color_range)),
        primaries=_PRIMARIES.get(int(context.color_primaries), ""),
        transfer=_TRANSFERS.get(int(context.color_trc), ""),
        rotation=rotation,
        variable_rate=variable,
        interlaced=first.interlaced_frame,
        pixel_aspect=stream.sample_aspect_ratio or Fraction(1),
        copyright=container.metadata.get("copyright", ""),
        has_overlays=container.metadata.get("comment", "").startswith(PREFIX),
    )


@dataclass(frozen=True, slots=True)
class ShownTimes:
    """When the pictures of a film are shown, counted from its first.

    Attributes:
        base: seconds in one unit.
        units: of each picture in order, beginning with 0.
    """

    base: Fraction
    units: tuple[int, ...]

    def seconds(self, picture: int) -> float:
        """When a picture is shown; of one beyond the last, an endless time."""
        return float(self.units[picture] * self.base) if picture < len(self.units) else math.inf

    def at(self, seconds: Fraction) -> int:
        """The first picture shown at a time or after it; the count of them where none is."""
        return bisect_left(self.units, seconds / self.base)


def shown_times(path: Path) -> ShownTimes:
    """The times of a film that :func:`probe` has read.

    Raises:
        WorkFailed: the film has changed since, or went away.
    """
    import av

    try:
        with av.open(str(path)) as container:
            stream = next(one for one in container.streams.video if one.width)
            base = stream.time_base
            times = sorted(
                packet.pts
                for packet in container.demux(stream)
                if packet.size and not packet.is_discard and packet.pts is not None
            )
    except av.FFmpegError as error:
        raise WorkFailed(f"{path} cannot be read any more: {error.strerror}") from error
    if base is None or not times:
        raise WorkFailed(f"{path} has no pictures any more")
    return ShownTimes(base, tuple(at - times[0] for at in times))


def _cut_off(path: Path, found: int, promised: int) -> BadInput:
    return BadInput.of(
        f"the film is cut off: {found} of {promised} pictures are there"
        if promised
        else "the film is cut off or damaged",
        "export or copy it again",
        file=path,
    )


def _has_fine_colour(frame: VideoFrame) -> bool:
    form = frame.format
    # a picture in grey has none, one in RGB as much as it has pixels
    return len(form.components) > 1 and (form.chroma_width(64) > 32 or form.chroma_height(64) > 32)


def _range(frame: VideoFrame, tag: int) -> str:
    # the old yuvj formats say full range by their name
    return "pc" if frame.format.name.startswith("yuvj") else _RANGES.get(tag, "")


def _rate(stream: VideoStream, times: list[int], base: Fraction) -> tuple[Fraction, bool]:
    """The rate among those the file claims that fits its times best, and whether none does."""
    claimed = [
        rate for rate in (stream.average_rate, stream.guessed_rate, stream.base_rate) if rate
    ]
    if not claimed:
        raise ValueError("it does not tell how many pictures there are in a second")

    def drift(rate: Fraction) -> Fraction:
        """Largest distance of a picture from its place, in pictures."""
        # in whole numbers of the fraction's lower part, which are far faster than fractions
        over, under = (base * rate).as_integer_ratio()
        farthest = max(
            abs((at - times[0]) * over - index * under) for index, at in enumerate(times)
        )
        return Fraction(farthest, under)

    best = min(claimed, key=drift)
    return best, drift(best) > _JITTER
