"""The recordings that a cut is made of: pictures by their time, a flash, pieces of sound."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from studio.errors import WorkFailed
from studio.film.lining import CLAP_WITHIN_S, Lining, NotSureError
from studio.film.probe import Footage
from studio.film.whole import Pixels, known_matrix, rgb_picture

if TYPE_CHECKING:
    from av.video.frame import VideoFrame

SOUND_RATE = 48_000
"""Samples a second of a rough cut's sound; what cameras record and hosts ask for."""

_EARLY_S = 0.001
"""A picture counts as shown this much before its time: takes are typed in milliseconds."""

_FLASH = 12
"""Steps of luma, of 255, by which a flash lightens the whole picture at least (ours)."""

_FLASH_LASTS_S = 0.5
"""A light that stays longer was switched on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """A recording lined up.

    Attributes:
        name: the design's own name for it.
        path: its file.
        footage: its pictures; None for a recorder of sound alone.
        has_sound: whether it has a sound track.
        length_s: how long it lasts, by its own clock.
        lining: where it lies on the clock that counts.
    """

    name: str
    path: Path
    footage: Footage | None
    has_sound: bool
    length_s: float
    lining: Lining

    @property
    def runs_s(self) -> tuple[float, float]:
        """From when to when it recorded, on the clock that its takes count."""
        return self.lining.reference_seconds(0.0), self.lining.reference_seconds(self.length_s)


class Pictures:
    """A recording's pictures by the time at which they are shown, in any order.

    Decoding goes on from the picture before where that is nearer than a key frame.
    """

    def __init__(self, footage: Footage, size: tuple[int, int]) -> None:
        """Read where its pictures are.

        Args:
            footage: the recording.
            size: of the pictures wanted, to which they are fitted whole, the rest black.
        """
        import av

        # a colour matrix that has no way to RGB here is shown as the size suggests
        known = not footage.matrix or known_matrix(footage.matrix)
        self._footage = footage if known else replace(footage, matrix="")
        self._size = size
        self._container = av.open(str(footage.path))
        self._stream = next(s for s in self._container.streams.video if s.width)
        self._stream.thread_type = "AUTO"
        base = self._stream.time_base
        if base is None:
            raise WorkFailed(f"the pictures of {footage.path} have no times")
        times: list[int] = []
        keys: list[int] = []
        for packet in self._container.demux(self._stream):
            if packet.size and packet.pts is not None and not packet.is_discard:
                times.append(packet.pts)
                if packet.is_keyframe:
                    keys.append(packet.pts)
        self._stamps, self._keys = sorted(times), sorted(keys)
        begin = (self._container.start_time or 0) / av.time_base
        self._seconds = [float(stamp * base) - begin for stamp in self._stamps]
        self._frames: Iterator[VideoFrame] = iter(())
        self._reached: int | None = None
        self._shown: tuple[int, Pixels] | None = None

    def at(self, seconds: float) -> Pixels:
        """The picture shown at a time of the recording, RGB; its first or last one beyond it."""
        place = bisect_right(self._seconds, seconds + _EARLY_S) - 1
        stamp = self._stamps[max(place, 0)]
        if self._shown is None or self._shown[0] != stamp:
            self._shown = (stamp, self._fitted(self._decoded(stamp)))
        return self._shown[1]

    def _decoded(self, stamp: int) -> VideoFrame:
        before = bisect_right(self._keys, stamp) - 1
        key = self._keys[before] if before >= 0 else self._stamps[0]
        if self._reached is None or not key <= self._reached < stamp:
            self._jump(key)
        found = self._walk(stamp)
        if found is None:
            # a file whose key frames cannot be jumped to is read from its beginning
            self._jump(self._stamps[0] - 1)
            found = self._walk(stamp)
        if found is None:
            raise WorkFailed(f"{self._footage.path} cannot be read to its end; copy it again")
        return found

    def _jump(self, stamp: int) -> None:
        self._container.seek(stamp, stream=self._stream, backward=True)
        self._frames = self._container.decode(self._stream)

    def _walk(self, stamp: int) -> VideoFrame | None:
        for frame in self._frames:
            if frame.pts is None:
                continue
            self._reached = frame.pts
            if frame.pts >= stamp:
                return frame if frame.pts == stamp else None
        return None

    def _fitted(self, frame: VideoFrame) -> Pixels:
        width, height = self._size
        wide, high = self._footage.width * float(self._footage.pixel_aspect), self._footage.height
        if self._footage.rotation in (90, 270):
            wide = self._footage.width
            high = round(self._footage.height * float(self._footage.pixel_aspect))
        scale = min(width / wide, height / high)
        # a pixel more or less is no bar
        across = width if abs(width - wide * scale) < 2 else round(wide * scale)
        down = height if abs(height - high * scale) < 2 else round(high * scale)
        picture = rgb_picture(frame, self._footage, (across, down))
        if (across, down) == (width, height):
            return picture
        whole = np.zeros((height, width, 3), np.uint8)
        left, top = (width - across) // 2, (height - down) // 2
        whole[top : top + down, left : left + across] = picture
        return whole

    def close(self) -> None:
        """Let go of the file."""
        self._container.close()


def flash_in(footage: Footage) -> float:
    """When a flash lightens the picture, in seconds; it lies half a picture off at most.

    The one jump of mean luma within the first two minutes that goes back within half a second.

    Raises:
        NotSureError: there is none, or more than one.
    """
    times, luma = _brightness(footage.path, CLAP_WITHIN_S)
    if len(luma) < 3:
        raise NotSureError("there are too few pictures to hold a flash")
    jumps = np.diff(luma)
    ordinary = float(np.quantile(np.abs(jumps), 0.9))
    least = max(_FLASH, 4 * ordinary)
    flashes: list[tuple[float, int]] = []
    for place in (int(found) for found in np.flatnonzero(jumps >= least)):
        dark = luma[place]
        until = np.searchsorted(times, times[place + 1] + _FLASH_LASTS_S, side="right")
        after = luma[place + 2 : until + 1]
        # what stays bright is a lamp; what rose a picture before is the same flash
        if len(after) and after.min() <= dark + 0.4 * jumps[place]:
            flashes.append((float(jumps[place]), place))
    flashes.sort(reverse=True)
    if not flashes:
        raise NotSureError("no flash is seen")
    height, brightest = flashes[0]
    for other, its in flashes[1:]:
        if abs(times[its] - times[brightest]) > _FLASH_LASTS_S and other > height / 2:
            raise NotSureError("more than one flash is seen")
    return float(times[brightest] + times[brightest + 1]) / 2


def _brightness(path: Path, within_s: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Times and mean luma of the pictures at the beginning of a film."""
    import av

    times: list[float] = []
    luma: list[float] = []
    with av.open(str(path)) as container:
        stream = next(s for s in container.streams.video if s.width)
        stream.thread_type = "AUTO"
        begin = (container.start_time or 0) / av.time_base
        for frame in container.decode(stream):
            if frame.time is None:
                continue
            if frame.time - begin > within_s:
                break
            times.append(frame.time - begin)
            small = frame.reformat(width=64, height=36, format="gray")
            luma.append(float(np.asarray(small.to_ndarray()).mean()))
    return np.array(times), np.array(luma)


def sound_between(path: Path, begin_s: float, end_s: float) -> NDArray[np.int16]:
    """A piece of a recording's sound: two channels at :data:`SOUND_RATE`, silent where it has none.

    Args:
        path: the recording.
        begin_s: from when, in seconds of its own file; may lie before its beginning.
        end_s: until when.
    """
    import av

    piece = np.zeros((round((end_s - begin_s) * SOUND_RATE), 2), np.int16)
    with av.open(str(path)) as container:
        stream = container.streams.audio[0]
        start = (container.start_time or 0) / av.time_base
        if begin_s > 1:
            # sound is coded in frames that lean on the ones before
            container.seek(int((begin_s - 0.5 + start) * av.time_base), backward=True)
        resampler = av.AudioResampler(format="s16", layout="stereo", rate=SOUND_RATE)
        at: int | None = None
        for frame in container.decode(stream):
            if frame.time is None:
                continue
            due = round((frame.time - start - begin_s) * SOUND_RATE)
            if at is None or abs(due - at) > SOUND_RATE // 20:
                at = due
            if due > len(piece):
                break
            for block in resampler.resample(frame):
                at = _laid(piece, at, block)
        for block in resampler.resample(None):
            at = _laid(piece, at or 0, block)
    return piece


def _laid(piece: NDArray[np.int16], at: int, block: object) -> int:
    """Put a block of sound in its place; returns where the next one goes."""
    samples = np.asarray(block.to_ndarray(), np.int16).reshape(-1, 2)  # type: ignore[attr-defined]
    first, last = max(at, 0), min(at + len(samples), len(piece))
    if last > first:
        piece[first:last] = samples[first - at : last - at]
    return at + len(samples)
