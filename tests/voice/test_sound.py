"""Which of a recording's tracks and channels is listened to."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from numpy.typing import NDArray

from studio.voice.sound import RATE, read_sound

SECONDS = 3


def voice(hertz: float = 300.0) -> NDArray[np.float64]:
    at = np.arange(SECONDS * RATE) / RATE
    return 8000 * np.sin(2 * np.pi * hertz * at)


def recording(path: Path, *tracks: Sequence[NDArray[np.float64]], codec: str = "pcm_s16le") -> Path:
    """Tracks of one channel or two, written without loss."""
    with av.open(str(path), "w") as file:
        streams = [
            file.add_stream(codec, rate=RATE, layout="stereo" if len(channels) == 2 else "mono")
            for channels in tracks
        ]
        for stream, channels in zip(streams, tracks, strict=True):
            layout = "stereo" if len(channels) == 2 else "mono"
            samples = np.stack(channels, axis=1).round().astype(np.int16)
            for first in range(0, len(samples), 4096):
                part = samples[first : first + 4096].reshape(1, -1)
                frame = av.AudioFrame.from_ndarray(part, format="s16", layout=layout)
                frame.sample_rate, frame.pts = RATE, first
                frame.time_base = Fraction(1, RATE)
                file.mux(stream.encode(frame))
            file.mux(stream.encode(None))
    return path


def level(samples: NDArray[np.int16]) -> float:
    return float(np.sqrt(np.square(samples, dtype=np.float64).mean()))


LEVEL = 8000 / 2**0.5
"""A sine's effective value is its peak by the root of two (mathematics)."""


@pytest.mark.parametrize("silent", [1, 3])
def test_a_silent_track_before_the_voice_is_passed_over(tmp_path: Path, silent: int) -> None:
    none = [np.zeros(SECONDS * RATE)]
    file = recording(tmp_path / "two.mov", *[none] * silent, [voice()])
    sound = read_sound(file)
    assert level(sound.samples) == pytest.approx(LEVEL, rel=0.01)
    assert sound.length_ms == pytest.approx(1000 * SECONDS, abs=20)


def test_the_first_track_with_a_voice_counts(tmp_path: Path) -> None:
    file = recording(tmp_path / "two.mov", [0.25 * voice()], [voice()])
    assert level(read_sound(file).samples) == pytest.approx(0.25 * LEVEL, rel=0.01)


@pytest.mark.parametrize("other", [-1.0, -0.9])
def test_a_channel_turned_round_does_not_cancel_the_voice(tmp_path: Path, other: float) -> None:
    file = recording(tmp_path / "turned.wav", [other * voice(), voice()])
    sound = read_sound(file)
    assert level(sound.samples) == pytest.approx(LEVEL, rel=0.01)
    assert len(sound.samples) == SECONDS * RATE


def test_a_voice_in_one_of_two_channels_is_heard(tmp_path: Path) -> None:
    file = recording(tmp_path / "left.wav", [voice(), np.zeros(SECONDS * RATE)])
    assert level(read_sound(file).samples) == pytest.approx(LEVEL / 2, rel=0.01)


def test_of_tracks_that_are_all_silent_the_first_is_read(tmp_path: Path) -> None:
    none = np.zeros(SECONDS * RATE)
    sound = read_sound(recording(tmp_path / "none.mov", [none], [none]))
    assert not sound.samples.any()
    assert len(sound.samples) == SECONDS * RATE
