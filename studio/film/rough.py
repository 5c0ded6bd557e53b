"""The rough cut: takes one behind another, through moviepy.

Pictures come from :class:`studio.film.recordings.Pictures` and not from moviepy's own reader, so
that each is the one shown at that very time of its recording. moviepy joins and encodes.
"""

from __future__ import annotations

import wave
from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack, closing
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import ceil
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from studio.episode.records import Cut, CutTake, Episode
from studio.film.probe import Footage
from studio.film.recordings import SOUND_RATE, Pictures, Recording, sound_between
from studio.film.telling import Bar
from studio.film.whole import Pixels, encoding

PRESET = "veryfast"
"""x264 preset: a rough cut is looked at and replaced."""

QUALITY = ("-crf", "21")
"""x264 constant rate factor; good to judge a cut by (common practice, no source)."""

_FADE_MS = 5
"""Sound is drawn in and out this fast where it is cut, or it would click (ours)."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A take in pictures of the film.

    Attributes:
        take: the take.
        first: its first picture, counted from 0.
        beyond: the next take's first picture.
    """

    take: CutTake
    first: int
    beyond: int

    def own_seconds(self, picture: int, fps: Fraction, recording: Recording) -> float:
        """The time in its recording that a picture of the film shows."""
        since = Fraction(picture) / fps - Fraction(self.take.start_ms, 1000)
        at = Fraction(self.take.in_ms, 1000) + since * self.take.speed
        return recording.lining.own_seconds(float(at))


def in_pictures(cut: Cut, fps: Fraction) -> tuple[Shown, ...]:
    """Each take's pictures: from the first one at or after its start to the next take's first."""

    def first(ms: int) -> int:
        return ceil(Fraction(ms, 1000) * fps)

    return tuple(Shown(take, first(take.start_ms), first(take.end_ms)) for take in cut.takes)


def write_rough(
    episode: Episode,
    cut: Cut,
    recordings: Mapping[str, Recording],
    fps: Fraction,
    out: Path,
    bar: Bar | None,
) -> None:
    """Write the rough cut: the film's size, H.264 and AAC, key frames at chapters.

    Args:
        episode: with its size and chapters.
        cut: its takes.
        recordings: by name, lined up.
        fps: pictures per second.
        out: the file to write; the sound lies beside it while it works.
        bar: shows how far it is.

    Raises:
        OSError: the encoder failed or the disk is full.
        WorkFailed: a recording broke off.
    """
    from moviepy import VideoClip, concatenate_videoclips

    size = (episode.size.width, episode.size.height)
    sound = out.with_name("sound.wav")
    has_sound = _write_sound(cut, recordings, sound)
    shown = [one for one in in_pictures(cut, fps) if one.beyond > one.first]
    # moviepy counts in seconds: joins lie half a picture before a take's first picture, where no
    # rounding reaches them, and the end half a picture on, because it rounds down
    half = Fraction(1, 2)
    joins = [Fraction(0), *(one.first - half for one in shown[1:]), shown[-1].beyond + half]
    with ExitStack() as held:
        readers = {
            one.take.camera: held.enter_context(closing(Pictures(footage, size)))
            for one in {one.take.camera: one for one in shown}.values()
            if (footage := recordings[one.take.camera].footage) is not None
        }
        clips = []
        for one, (begin, end) in zip(shown, pairwise(joins), strict=True):
            recording = recordings[one.take.camera]
            clip = VideoClip(duration=float((end - begin) / fps))
            # given later: the constructor would decode a picture of each take to learn its size
            clip.frame_function = _pictures_of(one, begin, fps, recording, readers)
            clip.size = size
            clips.append(clip)
        film = concatenate_videoclips(clips, method="chain")
        film.write_videofile(
            str(out),
            fps=float(fps),
            codec="libx264",
            preset=PRESET,
            audio=str(sound) if has_sound else False,
            audio_codec="aac",
            ffmpeg_params=encoding(_as_written(episode, cut, recordings, fps), episode, QUALITY),
            logger=bar,
        )
    sound.unlink(missing_ok=True)


def _pictures_of(
    one: Shown,
    begin: Fraction,
    fps: Fraction,
    recording: Recording,
    readers: Mapping[str, Pictures],
) -> Callable[[float], Pixels]:
    """What moviepy asks a take's clip: the picture at a time since the clip's beginning."""
    reader = readers[one.take.camera]

    def picture_at(seconds: float) -> Pixels:
        picture = round(seconds * float(fps) + float(begin))
        picture = min(max(picture, one.first), one.beyond - 1)
        return reader.at(one.own_seconds(picture, fps, recording))

    return picture_at


def _as_written(
    episode: Episode, cut: Cut, recordings: Mapping[str, Recording], fps: Fraction
) -> Footage:
    """The rough cut as footage: high definition's colours, whatever the cameras record in."""
    footage = recordings[cut.takes[0].camera].footage
    assert footage is not None
    return replace(
        footage,
        width=episode.size.width,
        height=episode.size.height,
        fps=fps,
        matrix="bt709",
        primaries="bt709",
        transfer="bt709",
        colour_range="tv",
        rotation=0,
    )


def source_of_sound(cut: Cut, take: CutTake) -> str | None:
    """The recording whose sound a take has; None where it is played faster or slower."""
    if take.speed != 1:
        return None
    return take.camera if take.camera in cut.apart else cut.sound


def _write_sound(cut: Cut, recordings: Mapping[str, Recording], out: Path) -> bool:
    """Write the film's sound as a WAV file; false, and no file, where there is none at all."""
    sources = [source_of_sound(cut, take) for take in cut.takes]
    if not any(name is not None and recordings[name].has_sound for name in sources):
        return False
    per_ms = SOUND_RATE // 1000
    with wave.open(str(out), "wb") as file:
        file.setnchannels(2)
        file.setsampwidth(2)
        file.setframerate(SOUND_RATE)
        for place, (take, name) in enumerate(zip(cut.takes, sources, strict=True)):
            count = (take.end_ms - take.start_ms) * per_ms
            if name is None or not recordings[name].has_sound:
                file.writeframes(bytes(4 * count))
                continue
            begin = take.in_ms / 1000
            piece = sound_between(recordings[name].path, begin, begin + count / SOUND_RATE)
            _fade(
                piece,
                _FADE_MS * per_ms,
                begins=not _runs_on(cut, sources, place),
                ends=not _runs_on(cut, sources, place + 1),
            )
            file.writeframes(piece.astype("<i2").tobytes())
    return True


def _runs_on(cut: Cut, sources: Sequence[str | None], place: int) -> bool:
    """Whether the sound goes through the join before a take without a cut."""
    if not 0 < place < len(sources):
        return False
    before, after = cut.takes[place - 1], cut.takes[place]
    return sources[place - 1] == sources[place] and before.out_ms == after.in_ms


def _fade(piece: NDArray[np.int16], length: int, *, begins: bool, ends: bool) -> None:
    length = min(length, len(piece) // 2)
    ramp = np.linspace(0, 1, length, endpoint=False)[:, None]
    if begins:
        piece[:length] = np.round(piece[:length] * ramp)
    if ends and length:
        piece[-length:] = np.round(piece[-length:] * ramp[::-1])
