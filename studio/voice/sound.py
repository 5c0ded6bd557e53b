"""A recording as the recogniser wants it: one channel, 16,000 samples a second."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from studio.errors import BadInput

if TYPE_CHECKING:
    import av
    import numpy as np
    from numpy.typing import NDArray

RATE = 16_000
"""Samples a second that the shipped acoustic model was trained on (its ``feat.params``)."""

DITHER = 0.009
"""Noise laid under a recording, as a share of its loud parts' level (40 dB below them).

Digital silence has no spectrum, and the recogniser's averages over it are worthless: without this
a clean synthetic voice is understood worse than the same voice in noise."""

_SILENT, _ANY = 33, 0.01
"""A track is silent when less than a hundredth of it is above 60 dB below full scale (ours):
recording programs and editors write empty tracks, and not always behind the one with the voice."""

_TRACKS = 8
"""So many sound tracks of a file are looked into (ours)."""

_CANCELLED = 16
"""Channels cancel one another out where their mean has a sixteenth of the loudest one's energy
(ours): a voice in one of two channels keeps a quarter of it."""

_GAP = 0.05
"""A hole between two blocks of sound longer than this, in seconds, is kept as silence."""


@dataclass(frozen=True, slots=True)
class Sound:
    """A recording.

    Attributes:
        samples: one channel at :data:`RATE`, 16 bits, from the file's first picture or sample on.
        length_ms: of the whole file, silence at its ends included.
        has_pictures: whether it is a film's sound; a cover picture makes none.
    """

    samples: NDArray[np.int16]
    length_ms: int
    has_pictures: bool = False


@dataclass(frozen=True, slots=True)
class Recording:
    """A recording's place in the film, or that of captions.

    Attributes:
        source: its file's name.
        length_ms: of what of it is in the film.
        begins_ms: where in the film that begins; below 0 for captions that begin before it.
        is_film: whether it is the whole film's own sound.
    """

    source: str
    length_ms: int
    begins_ms: int = 0
    is_film: bool = False

    @property
    def ends_ms(self) -> int:
        """Where in the film it ends."""
        return self.begins_ms + self.length_ms

    @property
    def film_ms(self) -> int | None:
        """The film's length; None where the recording does not tell it."""
        return self.ends_ms if self.is_film else None

    def at(self, frame: int) -> int:
        """Where in the film a hundredth of a second of it stands, milliseconds, not below 0."""
        return max(0, self.begins_ms + 10 * frame)


def recorded(voice: Path, begins_ms: int = 0) -> tuple[Sound, Recording]:
    """A recording as far as it is in the film, and where it stands there.

    Args:
        voice: any film or sound file.
        begins_ms: where in the film it begins; below 0 where it began before the film.

    Raises:
        BadInput: as :func:`read_sound`, or nothing of it is in the film.
    """
    sound = read_sound(voice)
    is_film = sound.has_pictures and not begins_ms
    if begins_ms < 0:
        skipped = -begins_ms
        if skipped >= sound.length_ms:
            raise BadInput.of(
                f"this recording is {sound.length_ms / 1000:.1f} s long, and the film begins "
                f"{skipped / 1000:.1f} s into it",
                "give --begins a time that is less long before the film, such as -0:03",
                file=voice,
            )
        sound = replace(
            sound,
            samples=sound.samples[skipped * RATE // 1000 :],
            length_ms=sound.length_ms - skipped,
        )
        begins_ms = 0
    return sound, Recording(voice.name, sound.length_ms, begins_ms, is_film)


def read_sound(path: Path) -> Sound:
    """Decode any film or sound file's first sound track that is not silent.

    Where its channels cancel one another out, as when a cable turns one round, the loudest of them
    is taken alone.

    Raises:
        BadInput: the file is missing, is not one that can be read, or holds no sound.
    """
    import av

    if not path.exists():
        raise BadInput.of("there is no such file", "check the name and the folder", file=path)
    if not path.is_file():
        raise BadInput.of("this is not a file", "name the recording itself", file=path)
    try:
        with av.open(str(path)) as container:
            if not container.streams.audio:
                raise BadInput.of(
                    "there is no sound in this file", "name the film or recording with the voice",
                    file=path,
                )  # fmt: skip
            tracks = len(container.streams.audio)
        sound = _track(path, 0)
        for number in range(1, min(tracks, _TRACKS)):
            if not _is_silent(sound.samples):
                break
            other = _track(path, number)
            # of silent ones the first one tells how long the recording is
            sound = sound if _is_silent(other.samples) else other
    except (av.FFmpegError, ValueError) as error:
        raise BadInput.of(
            f"this cannot be read as a recording ({getattr(error, 'strerror', None) or error})",
            "play it once to the end; if it does not play, export or copy it again",
            file=path,
        ) from error
    if len(sound.samples) < RATE // 10:
        raise BadInput.of("this recording is empty", "name one with a voice in it", file=path)
    return sound


def _track(path: Path, number: int) -> Sound:
    """A sound track of a file, all its channels together unless they cancel one another out."""
    import av

    with av.open(str(path)) as container:
        loudness = _Loudness()
        sound = _decoded(container, number, loudness=loudness)
    if loudness.is_cancelled:
        with av.open(str(path)) as container:
            sound = _decoded(container, number, channel=loudness.loudest)
    return sound


def _is_silent(samples: NDArray[np.int16]) -> bool:
    import numpy as np

    loud = np.count_nonzero(np.abs(samples.astype(np.int32)) >= _SILENT)
    return bool(loud <= _ANY * len(samples))


class _Loudness:
    """Energy of a track's channels, and of what they give together."""

    def __init__(self) -> None:
        self._together = 0.0
        self._channels: list[float] = []

    def add(self, together: NDArray[np.int16], channels: NDArray[np.int16]) -> None:
        """One block, together and channel by channel."""
        import numpy as np

        self._together += float(np.square(together, dtype=np.float64).sum())
        energy = np.square(channels, dtype=np.float64).sum(axis=1)
        before = self._channels or [0.0] * len(energy)
        self._channels = [one + float(more) for one, more in zip(before, energy, strict=True)]

    @property
    def loudest(self) -> int:
        """The number of the channel with most energy."""
        return max(range(len(self._channels)), key=self._channels.__getitem__)

    @property
    def is_cancelled(self) -> bool:
        """Whether a channel is far louder than all of them together."""
        return self._together * _CANCELLED < max(self._channels, default=0.0)


def _decoded(
    container: av.container.InputContainer,
    number: int,
    *,
    channel: int | None = None,
    loudness: _Loudness | None = None,
) -> Sound:
    """A sound track, one channel of it or all of them in one; ``loudness`` takes the channels'."""
    import av
    import numpy as np
    from av.stream import Disposition

    stream = container.streams.audio[number]
    together = av.AudioResampler(format="s16", layout="mono", rate=RATE)
    apart = av.AudioResampler(format="s16p", rate=RATE)
    has_several = stream.channels > 1
    begin = (container.start_time or 0) / av.time_base
    blocks: list[NDArray[np.int16]] = []

    def take(frame: av.AudioFrame | None) -> None:
        several = _samples(apart.resample(frame)) if has_several else None
        if channel is None:
            blocks.append(_samples(together.resample(frame))[0])
        if several is None or not several.size:
            return
        if channel is not None:
            blocks.append(several[channel])
        elif loudness is not None:
            loudness.add(blocks[-1], several)

    due: float | None = None
    for frame in container.decode(stream):
        at = frame.time - begin if frame.time is not None else due
        if at is not None and (due is None or at - due > _GAP):
            # times count from where the film starts: sound that starts late, or has holes
            silence = round((at - (due or 0.0)) * RATE)
            if 0 < silence < RATE * 36_000:
                blocks.append(np.zeros(silence, np.int16))
        due = (at or 0.0) + frame.samples / frame.sample_rate
        take(frame)
    if due is not None:
        take(None)
    samples = np.concatenate(blocks) if blocks else np.zeros(0, np.int16)
    written = round(len(samples) * 1000 / RATE)
    whole = round((container.duration or 0) * 1000 / av.time_base)
    pictures = [s for s in container.streams.video if Disposition.attached_pic not in s.disposition]
    return Sound(samples, max(written, whole), bool(pictures))


def _samples(frames: Sequence[av.AudioFrame]) -> NDArray[np.int16]:
    """Blocks as one, a row for each channel; one row without any sample where there is none."""
    import numpy as np

    rows = [np.asarray(frame.to_ndarray(), dtype=np.int16) for frame in frames]
    return np.concatenate(rows, axis=1) if rows else np.zeros((1, 0), np.int16)


def prepared(samples: NDArray[np.int16]) -> NDArray[np.int16]:
    """The samples with a noise far below the voice laid under them (:data:`DITHER`).

    The same noise each time: two runs over one recording give the same times.
    """
    import numpy as np

    blocks = samples[: len(samples) // 160 * 160].reshape(-1, 160).astype(np.float32)
    levels = np.sqrt((blocks**2).mean(axis=1)) if len(blocks) else np.zeros(1, np.float32)
    loud = float(np.quantile(levels[levels > 1], 0.8)) if (levels > 1).any() else 0.0
    noise = np.random.default_rng(0).standard_normal(len(samples), dtype=np.float32)
    mixed = samples + noise * max(2.0, DITHER * loud)
    return np.clip(np.round(mixed), -32768, 32767).astype(np.int16)
