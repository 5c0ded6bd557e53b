"""Pictures of a recording by their time, in any order, and pieces of its sound."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from studio.film.probe import probe
from studio.film.recordings import SOUND_RATE, Pictures, sound_between


def test_pictures_come_by_their_time_in_any_order(
    filmed: Any, told_by: Callable[[np.ndarray], Any]
) -> None:
    """Forwards, in leaps over key frames, and back; the picture that stands at that time."""
    pictures = Pictures(probe(filmed.folder / "bench.mp4"), (160, 90))
    try:
        for at in (0.0, 0.01, 0.04, 0.079, 5.0, 5.02, 9.5, 1.0, 1.04, 11.999, 0.0, 40.0):
            shown = min(int((at + 0.001) * 25), 299) / 25
            told = told_by(pictures.at(at))
            assert (told.camera, told.ms) == ("bench", round((2 + shown) * 1000))
    finally:
        pictures.close()


@pytest.mark.parametrize(
    ("arguments", "size"),
    [
        ((), (192, 128)),
        (("-bf", "3", "-g", "250"), (192, 128)),
        (("-vf", "setsar=4/3"), (256, 128)),
    ],
)
def test_pictures_are_fitted_whole(
    make_film: Callable[..., Path], arguments: tuple[str, ...], size: tuple[int, int]
) -> None:
    """96 × 64 into a square: bars above and below, the picture's shape as its pixels say."""
    film = make_film(*arguments, seconds=1)
    pictures = Pictures(probe(film), (256, 256))
    picture = pictures.at(0.5)
    pictures.close()
    assert picture.shape == (256, 256, 3)
    rows = np.flatnonzero(picture.max(axis=(1, 2)) > 8)
    wanted = 256 * size[1] / size[0]
    assert rows[-1] - rows[0] + 1 == pytest.approx(wanted, abs=2)
    assert rows[0] == pytest.approx((256 - wanted) / 2, abs=2)


def test_a_film_without_key_frames_but_its_first_is_read(make_film: Callable[..., Path]) -> None:
    film = make_film("-g", "1000", "-bf", "2", seconds=3)
    forwards = Pictures(probe(film), (96, 64))
    expected = {place: forwards.at(place / 25).copy() for place in range(75)}
    for place in (60, 3, 74, 0, 30):
        assert np.array_equal(forwards.at(place / 25), expected[place])
    forwards.close()


def test_sound_is_cut_out_to_the_sample(
    tmp_path: Path, film_scene: Callable[..., Path], heard_by: Callable[..., np.ndarray]
) -> None:
    """A click each half second in AAC comes out where it went in; beyond the ends is silence."""
    scene = np.zeros(8 * SOUND_RATE)
    for half in range(16):
        scene[half * SOUND_RATE // 2 : half * SOUND_RATE // 2 + 20] = 20_000
    sound = heard_by(scene, 0, 6, snr_db=60)
    film = film_scene(tmp_path / "a.mp4", "bench", sound, begin=0, seconds=6, fps=Fraction(25))
    piece = sound_between(film, 3.3, 4.8).astype(int)
    assert piece.shape == (round(1.5 * SOUND_RATE), 2)
    for at in (3.5, 4.0, 4.5):
        place = round((at - 3.3) * SOUND_RATE)
        near = np.abs(piece[place - 4000 : place + 4000, 0])
        assert abs(int(near.argmax()) - 4000) < 48, "a millisecond off"
    assert sound_between(film, -1, 0.2)[: SOUND_RATE - 3000].max() < 300
    assert np.abs(sound_between(film, 5.5, 9)[SOUND_RATE:]).max() == 0
