"""A recording cut at its pauses, whatever runs in the background."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from studio.voice.sound import RATE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FRAME = RATE // 100
"""Samples in a hundredth of a second, the step in which everything is counted here."""

_AROUND = 1_000
"""The background's level is taken from ten seconds on either side, so that a lathe which starts
or stops is followed. All lengths are in hundredths of a second."""

_BANDS = (150, 500, 1_000, 2_000, 3_500, 6_500)
"""Edges of the bands in hertz: about the places of a voice's pitch, formants and hiss (ours)."""

_ABOVE_DB = 3.0
_SHARE = 0.3
"""Voice begins this far above the background: three tenths of the way to the loud parts, and at
least 3 dB (both ours)."""

_PAUSE, _LONG_PAUSE = 20, 60
_SHORTEST, _LONGEST = 250, 1_400
_EDGE = 20
"""A pause is a fifth of a second or longer; one of 0.6 s always ends a piece of 2.5 s or more; no
piece is longer than 14 s, because the recogniser's time grows faster than the sound's length; a
fifth of a second is left at either end (all ours)."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch with a voice in it: first frame and the one after its last, and how many of its
    frames rise above the background."""

    start: int
    stop: int
    voiced: int


def levels_db(samples: NDArray[np.int16]) -> NDArray[np.float64]:
    """How far each hundredth of a second stands above the background, in decibels.

    Counted in bands, each against its own background: hum fills the low ones, hiss the high ones,
    and a voice stands out wherever there is room. The mean of the two best bands is taken.
    """
    import numpy as np

    count = len(samples) // FRAME
    window = np.hanning(2 * FRAME).astype(np.float32)
    padded = np.concatenate([samples, np.zeros(2 * FRAME, np.int16)])
    edges = [round(hertz * 2 * FRAME / RATE) for hertz in _BANDS]
    power = np.empty((count, len(edges) - 1))
    for first in range(0, count, 5_000):
        last = min(first + 5_000, count)
        places = np.arange(first, last)[:, None] * FRAME + np.arange(2 * FRAME)
        spectrum = np.abs(np.fft.rfft(padded[places] * window, axis=1)) ** 2
        for band, (low, high) in enumerate(pairwise(edges)):
            power[first:last, band] = spectrum[:, low:high].mean(axis=1)
    above = np.empty_like(power)
    for band in range(power.shape[1]):
        level = 10 * np.log10(np.convolve(power[:, band], np.ones(7) / 7, "same") + 1.0)
        above[:, band] = level - _background(level, 0.1)
    return np.asarray(np.sort(above, axis=1)[:, -2:].mean(axis=1), dtype=np.float64)


def _background(levels: NDArray[np.float64], share: float) -> NDArray[np.float64]:
    """The level below which a share of the twenty seconds around each place lies."""
    import numpy as np

    places = np.arange(0, len(levels), 100)
    found = [
        np.quantile(levels[max(0, place - _AROUND) : place + _AROUND], share) for place in places
    ]
    return np.interp(np.arange(len(levels)), places, found)


def voiced(levels: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which hundredths of a second rise above the background around them."""
    import numpy as np

    low, high = _background(levels, 0.1), _background(levels, 0.95)
    over = levels > low + np.maximum(_ABOVE_DB, _SHARE * (high - low))
    return np.asarray(over, dtype=np.bool_)


def cut(samples: NDArray[np.int16]) -> tuple[Piece, ...]:
    """Pieces in order, cut in pauses where there are any, silence and steady noise left out."""
    import numpy as np

    levels = levels_db(samples)
    over = voiced(levels)
    frames = np.flatnonzero(over)
    if not len(frames):
        return ()
    # runs of voice with no pause in between
    gaps = np.flatnonzero(np.diff(frames) > _PAUSE)
    starts = [int(frames[0]), *(int(frames[gap + 1]) for gap in gaps)]
    stops = [*(int(frames[gap]) + 1 for gap in gaps), int(frames[-1]) + 1]
    runs: list[tuple[int, int]] = []
    for start, stop in zip(starts, stops, strict=True):
        runs += _short_enough(start, stop, levels)
    joined = _joined(runs)
    pieces: list[Piece] = []
    for number, (start, stop) in enumerate(joined):
        before = joined[number - 1][1] if number else 0
        after = joined[number + 1][0] if number + 1 < len(joined) else len(levels)
        first = max(start - _EDGE, (start + before) // 2 if number else 0)
        last = min(stop + _EDGE, (stop + after + 1) // 2)
        if np.count_nonzero(over[first:last]) >= 8:
            pieces.append(Piece(first, last, int(np.count_nonzero(over[first:last]))))
    return tuple(pieces)


def _short_enough(start: int, stop: int, levels: NDArray[np.float64]) -> list[tuple[int, int]]:
    """A run without pauses, cut at its quietest places until no part is too long."""
    import numpy as np

    if stop - start <= _LONGEST:
        return [(start, stop)]
    low, high = start + _SHORTEST, min(start + _LONGEST, stop - _SHORTEST)
    place = low + int(np.argmin(levels[low:high]))
    return [(start, place), *_short_enough(place, stop, levels)]


def _joined(runs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Runs joined over short pauses, each piece ended at the longest pause that it may reach."""
    out: list[tuple[int, int]] = []
    place = 0
    while place < len(runs):
        start = runs[place][0]
        best, best_pause = place, -1
        for end in range(place, len(runs)):
            length = runs[end][1] - start
            if length > _LONGEST and end > place:
                break
            pause = runs[end + 1][0] - runs[end][1] if end + 1 < len(runs) else 10**9
            if length >= _SHORTEST and pause >= _LONG_PAUSE:
                best = end
                break
            if (pause > best_pause and length >= _SHORTEST) or end == place:
                best, best_pause = end, pause
        out.append((start, runs[best][1]))
        place = best + 1
    return out
