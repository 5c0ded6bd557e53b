"""Recordings lined up by their sound, by claps and by flashes; and refused where nobody is sure."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import comb
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.signal import fftconvolve
from scipy.stats import binom

from studio.film.lining import (
    OWN_CLOCK,
    REFERENCE,
    Lining,
    NotSureError,
    _luck,
    by_moments,
    clap_in,
    line_up,
)

RATE = 16_000
Heard = Callable[..., np.ndarray]


@pytest.fixture(scope="module")
def scene(scene_sound: Callable[..., np.ndarray]) -> np.ndarray:
    return scene_sound(150)


@pytest.mark.parametrize(
    ("offset", "ppm", "seconds", "more"),
    [
        (0.0, 0.0, 20, {}),
        (1.2345, 0.0, 20, {"gain": 0.05}),
        (-2.5, 100.0, 20, {"tilt": -1}),
        (7.251, 40.0, 60, {"tilt": 0.5, "gain": 0.3}),
        (33.333, -80.0, 100, {"gain": -0.5}),  # wired the other way round
        (-12.1, 25.0, 100, {"snr_db": 3}),
    ],
)
def test_offset_and_drift_in_noise(
    scene: np.ndarray,
    heard_by: Heard,
    offset: float,
    ppm: float,
    seconds: float,
    more: dict[str, Any],
) -> None:
    """Noise of each recorder's own 10 dB below the scene, and other levels and colours."""
    begin = 15.0
    reference = heard_by(scene, begin, seconds, rate=RATE, seed=7)
    other = heard_by(scene, begin + offset, seconds, rate=RATE, ppm=ppm, seed=8, **more)
    found = line_up(reference, other, RATE)
    assert found.offset_s == pytest.approx(offset, abs=0.0005)
    # a clock's error over a recording is told to a fifth of a millisecond
    assert found.drift_ppm == pytest.approx(ppm, abs=200 / seconds)
    assert found.confidence > 0.8
    assert found.how == "sound"
    for at in (0.0, seconds / 2, seconds):
        own = found.own_seconds(at)
        assert own == pytest.approx((at - offset) * (1 + ppm * 1e-6), abs=0.0007)
        assert found.reference_seconds(own) == pytest.approx(at, abs=1e-9)


def test_a_short_overlap_at_the_end_is_found(scene: np.ndarray, heard_by: Heard) -> None:
    reference = heard_by(scene, 0, 90, rate=RATE, seed=7)
    other = heard_by(scene, 75, 70, rate=RATE, ppm=50, seed=8)
    assert line_up(reference, other, RATE).offset_s == pytest.approx(75, abs=0.0005)


def test_long_pauses_do_no_harm(scene: np.ndarray, heard_by: Heard) -> None:
    """Talk for 30 of 90 seconds; the rest is each recorder's own noise."""
    held = scene.copy()
    second = 48_000
    for first in range(20, 110, 30):
        held[first * second : (first + 20) * second] *= 0.001
    reference = heard_by(held, 10, 90, rate=RATE, seed=7)
    other = heard_by(held, 13.5, 90, rate=RATE, ppm=-30, seed=8)
    found = line_up(reference, other, RATE)
    assert found.offset_s == pytest.approx(3.5, abs=0.001)
    assert found.confidence < 0.9


def in_a_room(sound: np.ndarray, seed: int) -> np.ndarray:
    """With as much echo as direct sound; it dies away by 60 dB in 0.45 s."""
    count = round(0.45 * 48_000)
    echo = np.random.default_rng(seed).standard_normal(count) * 10 ** (
        -3 * np.arange(count) / count
    )
    echo[:200] = 0
    echo /= np.sqrt((echo**2).sum())
    echo[0] = 1
    return fftconvolve(sound, echo)[: len(sound)]


def test_echoes_of_a_room_that_differ_at_each_microphone(
    scene: np.ndarray, heard_by: Heard
) -> None:
    reference = heard_by(in_a_room(scene, 1), 15, 60, rate=RATE, seed=7)
    other = heard_by(in_a_room(scene, 2), 18.21, 60, rate=RATE, ppm=60, tilt=-1, seed=8)
    found = line_up(reference, other, RATE)
    assert found.offset_s == pytest.approx(3.21, abs=0.001)
    assert found.drift_ppm == pytest.approx(60, abs=5)


def test_a_voice_that_walks_about_makes_it_less_sure(scene: np.ndarray, heard_by: Heard) -> None:
    """Two metres to and fro, 6 ms: no time is further off than that, and fewer places agree."""
    second = 48_000
    walking = scene.copy()
    for first in range(0, len(scene), 16 * second):
        moved = np.roll(scene, round(0.006 * second))
        walking[first : first + 8 * second] = moved[first : first + 8 * second]
    reference = heard_by(scene, 15, 80, rate=RATE, seed=7)
    still = line_up(reference, heard_by(scene, 18.21, 80, rate=RATE, ppm=60, seed=8), RATE)
    found = line_up(reference, heard_by(walking, 18.21, 80, rate=RATE, ppm=60, seed=8), RATE)
    assert found.confidence < 0.9 <= still.confidence
    assert still.drift_error_ppm <= found.drift_error_ppm
    assert found.drift_ppm == pytest.approx(60, abs=max(2, 1.5 * found.drift_error_ppm))
    for at in range(0, 80, 5):
        own = (at - 3.21) * (1 + 60e-6)
        assert -0.003 < found.own_seconds(at) - own < 0.009


@pytest.mark.parametrize("seconds", [20, 60])
def test_recordings_of_different_days_are_refused(
    scene_sound: Callable[..., np.ndarray], heard_by: Heard, seconds: float
) -> None:
    for seed in range(10, 14):
        one = heard_by(scene_sound(seconds + 2, seed), 1, seconds, rate=RATE, seed=5)
        other = heard_by(scene_sound(seconds + 2, seed + 50), 1, seconds, rate=RATE, seed=6)
        with pytest.raises(NotSureError, match="too little sound in common"):
            line_up(one, other, RATE)


@pytest.mark.parametrize("seconds", [20, 60])
def test_a_motor_hums_alike_on_different_days(seconds: int) -> None:
    """The same note in both, with all its harmonics, and nothing else in common."""
    at = np.arange(seconds * RATE) / RATE
    chance = np.random.default_rng(5)

    def day(phase: float) -> np.ndarray:
        hum = sum(
            np.sin(2 * np.pi * 49.7 * k * at + phase * k * k) * 3000 / k for k in range(1, 60)
        )
        noisy = hum + 300 * chance.standard_normal(len(at))
        return np.clip(noisy, -32768, 32767).astype(np.int16)

    with pytest.raises(NotSureError):
        line_up(day(0.3), day(1.7), RATE)


def test_a_sound_that_repeats_itself_is_refused(heard_by: Heard) -> None:
    clicks = np.zeros(45 * 48_000)
    for second in range(45):
        clicks[second * 48_000 : second * 48_000 + 240] = np.hanning(240) * 9000
    one = heard_by(clicks, 2, 30, rate=RATE, snr_db=30, seed=7)
    other = heard_by(clicks, 3.3, 30, rate=RATE, snr_db=30, seed=8)
    with pytest.raises(NotSureError, match=r"repeats itself|too little"):
        line_up(one, other, RATE)


def test_so_little_in_common_that_it_may_be_luck_is_refused(
    scene: np.ndarray, heard_by: Heard
) -> None:
    """Two seconds of one and a half minutes: it fits, but so might anything."""
    held = scene * 0.0
    held[40 * 48_000 : 42 * 48_000] = scene[40 * 48_000 : 42 * 48_000]
    reference = heard_by(held, 10, 90, rate=RATE, snr_db=5, seed=7)
    other = heard_by(held, 12, 88, rate=RATE, snr_db=5, seed=8)
    with pytest.raises(NotSureError, match="too little sound in common"):
        line_up(reference, other, RATE)


@pytest.mark.parametrize(("compared", "agreeing", "share"), [(10, 5, 0.027), (60, 20, 0.027)])
def test_luck_is_the_binomial_tail(compared: int, agreeing: int, share: float) -> None:
    """SciPy's survival function, times the pairs of windows that were tried as the line's two."""
    tail = binom.sf(agreeing - 3, compared - 2, share)
    assert _luck(compared, agreeing, share) == pytest.approx(tail * comb(compared, 2), rel=1e-9)


def test_silence_and_scraps_are_refused(scene: np.ndarray, heard_by: Heard) -> None:
    whole = heard_by(scene, 0, 20, rate=RATE)
    with pytest.raises(NotSureError, match="silent"):
        line_up(whole, np.zeros_like(whole), RATE)
    with pytest.raises(NotSureError, match="shorter"):
        line_up(whole, whole[:RATE], RATE)


def clapping(at: float, seed: int = 1) -> np.ndarray:
    """A quiet workshop in which somebody claps once."""
    chance = np.random.default_rng(seed)
    sound = 60 * chance.standard_normal(30 * RATE)
    first = round(at * RATE)
    sound[first : first + 400] += np.exp(-np.arange(400) / 60) * chance.standard_normal(400) * 6000
    return sound.astype(np.int16)


@pytest.mark.parametrize("at", [3.2, 17.0077])
def test_a_clap_is_found_to_a_millisecond(at: float) -> None:
    assert clap_in(clapping(at), RATE) == pytest.approx(at, abs=0.001)


def test_two_claps_or_talk_are_no_clap(scene: np.ndarray, heard_by: Heard) -> None:
    twice = np.clip(clapping(4).astype(int) + clapping(9), -32768, 32767).astype(np.int16)
    with pytest.raises(NotSureError, match="no single clap"):
        clap_in(twice, RATE)
    with pytest.raises(NotSureError, match="no single clap"):
        clap_in(heard_by(scene, 0, 30, rate=RATE), RATE)


def test_one_clap_gives_no_drift_and_two_do() -> None:
    one = by_moments((5.1,), (3.2,), how="clap")
    assert one.offset_s == pytest.approx(1.9)
    assert one.drift_ppm is None
    ppm = 60.0
    two = by_moments((5.1, 2305.1), (3.2, 3.2 + 2300 * (1 + ppm * 1e-6)), how="clap")
    assert two.drift_ppm == pytest.approx(ppm)
    assert two.own_seconds(5.1) == pytest.approx(3.2)
    with pytest.raises(NotSureError, match="apart in one recording"):
        by_moments((5.1, 100.0), (3.2, 90.0), how="clap")


def test_clocks_that_need_no_lining_up() -> None:
    for lining in (REFERENCE, OWN_CLOCK):
        assert lining.own_seconds(12.5) == 12.5
    assert Lining(offset_s=2, drift_ppm=None, confidence=1, how="clap").own_seconds(3) == 1


# --- a flash --------------------------------------------------------------------------------------


def test_a_flash_is_found_to_half_a_picture(
    tmp_path: Path, film_scene: Callable[..., Path]
) -> None:
    from studio.film.probe import probe
    from studio.film.recordings import flash_in

    one = film_scene(tmp_path / "a.mp4", "bench", None, begin=2, seconds=4, flash_at=4.013)
    other = film_scene(
        tmp_path / "b.mp4", "top", None, begin=2.7, seconds=4, flash_at=4.013, fps=Fraction(30)
    )
    assert flash_in(probe(one)) == pytest.approx(2.013, abs=0.021)
    assert flash_in(probe(other)) == pytest.approx(1.313, abs=0.018)


def test_a_lamp_switched_on_or_no_light_at_all_is_no_flash(
    tmp_path: Path, film_scene: Callable[..., Path], make_film: Callable[..., Path]
) -> None:
    from studio.film.probe import probe
    from studio.film.recordings import flash_in

    plain = film_scene(tmp_path / "a.mp4", "bench", None, begin=2, seconds=2)
    lamp = make_film(
        "-vf", "eq=brightness='if(gt(t,1),0.4,-0.3)':eval=frame", name="lamp.mp4", seconds=3
    )
    twice = make_film(
        "-vf", "eq=brightness='if(between(t,1,1.1)+between(t,2.2,2.3),0.6,-0.3)':eval=frame",
        name="twice.mp4", seconds=3,
    )  # fmt: skip
    for path, why in ((plain, "no flash"), (lamp, "no flash"), (twice, "more than one")):
        with pytest.raises(NotSureError, match=why):
            flash_in(probe(path))
