"""Lining up recordings: where one begins on another's clock, and how much faster it runs.

Two recordings of one sound differ in when they were started and, since no two crystals are the
same, in rate. Both are found from the sound itself, in two stages:

1. Roughly: changes of loudness in six bands, a hundred a second. Pieces of one recording are
   correlated with the whole of the other (Fourier transform), and the offset is taken on which the
   pieces agree. Logarithms of a band's energy are differenced, so neither level nor the colour of
   a microphone counts.
2. Exactly: windows of a few seconds, spread over what both recorded, by generalised
   cross-correlation with phase transform (Knapp and Carter, "The generalized correlation method
   for estimation of time delay", IEEE Trans. ASSP 24 (1976) 320–327). A line through the delays
   gives offset and drift; windows that disagree (silence, another noise) do not count.

It is only believed when so many windows agree that chance would do it less than once in a million
(binomial), and when no second offset does about as well.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import comb, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.int16]
_Floats = NDArray[np.float32]

ORDINARY_DRIFT_PPM = 100
"""Within this two recorders' crystals run alike, in millionths (common practice, no source)."""

MOST_DRIFT_PPM = 500.0
"""More than two recorders' clocks differ by (ours)."""

AGREES_S = 0.004
"""How far a window may lie off the line. Sound takes 3 ms for a metre, and the work, the tool and
the voice are not in one place."""

CHANCE = 1e-6
"""Odds at which agreement may be luck."""

RIVAL = 0.6
"""A second offset with this share of the first one's windows makes both doubtful (ours)."""

CLAP_WITHIN_S = 120.0
"""A clap or flash is looked for this far into a recording: it is made when filming starts."""

_ALIKE = 0.8
_HOP_S = 0.01
_BANDS_HZ = (120, 300, 600, 1200, 2000, 3200, 5500)
_PIECES = 16
_WINDOWS = 60
_SPREAD_S = 0.15
_CLEAR = 2.0
"""How much stronger a clap must be than the next strongest sound (6 dB in energy ×2 each way)."""

How = Literal["reference", "sound", "clap", "flash", "own clock"]


class NotSureError(Exception):
    """Recordings could not be lined up; the text says why, for a turner."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lining:
    """Where a recording lies on the reference's clock.

    Attributes:
        offset_s: when it begins there, in seconds; negative when it was started first.
        drift_ppm: how much faster its own clock runs, in millionths; None when not known, as
            after a single clap.
        confidence: 0 to 1: the share of places compared that agree.
        how: what it was found by.
        spread_s: how far those places lie off, root mean square, in seconds; for a flash, half
            a picture.
        over_s: how far apart the first and the last of those places are.
    """

    offset_s: float
    drift_ppm: float | None
    confidence: float
    how: How
    spread_s: float = 0.0
    over_s: float = 0.0

    @property
    def drift_error_ppm(self) -> float:
        """How far the drift may be off, in millionths; 0 where it was not measured.

        What a slope through places spread evenly over a stretch is off when one end of them lies
        off by ``spread_s``, as when the voice goes from one microphone to the other: the places
        are not taken to be independent, so many of them make it no smaller.
        """
        return self.spread_s * sqrt(12) / self.over_s * 1e6 if self.over_s else 0.0

    def own_seconds(self, at_s: float) -> float:
        """The time in this recording's file at a time on the reference's clock."""
        return (at_s - self.offset_s) * (1 + (self.drift_ppm or 0.0) * 1e-6)

    def reference_seconds(self, own_s: float) -> float:
        """The time on the reference's clock at a time in this recording's file."""
        return own_s / (1 + (self.drift_ppm or 0.0) * 1e-6) + self.offset_s


REFERENCE = Lining(offset_s=0.0, drift_ppm=0.0, confidence=1.0, how="reference")
"""The recording whose clock is everybody's."""

OWN_CLOCK = Lining(offset_s=0.0, drift_ppm=0.0, confidence=1.0, how="own clock")
"""A recording that is not lined up: its takes count its own time."""


def line_up(reference: Samples, other: Samples, rate: int) -> Lining:
    """Find where ``other`` lies on the clock of ``reference``.

    Args:
        reference: one channel, ``rate`` samples a second.
        other: likewise.
        rate: samples a second, 8,000 or more.

    Raises:
        NotSureError: one is silent or too short, they have too little in common, or the sound
            repeats itself so that more than one offset fits.
    """
    for samples in (reference, other):
        if len(samples) < 2 * rate:
            raise NotSureError("a recording is shorter than two seconds")
        if int(np.abs(samples[:: rate // 1000]).max()) < 4:
            raise NotSureError("a recording is silent")
    rough = _rough_offsets(_changes(reference, rate), _changes(other, rate))
    tried = [_exact(reference, other, rate, begin) for begin in rough]
    found = sorted(
        (one for one in tried if one is not None and one[1].chance <= CHANCE),
        key=lambda one: one[1].agreeing,
        reverse=True,
    )
    if not found:
        raise NotSureError("the two recordings have too little sound in common")
    line, agreement = found[0]
    for rival, its in found[1:]:
        apart = abs(rival.offset - line.offset)
        # what is nearer is the same offset found twice, or its echo
        if apart > 2 * _SPREAD_S and its.agreeing >= RIVAL * agreement.agreeing:
            raise NotSureError(
                f"the sound repeats itself, and two offsets {apart:.2f} s apart fit alike"
            )
    return Lining(
        offset_s=line.offset,
        drift_ppm=line.drift_ppm,
        confidence=agreement.agreeing / agreement.compared,
        how="sound",
        spread_s=agreement.spread_s,
        over_s=agreement.over_s,
    )


@dataclass(frozen=True, slots=True)
class _Line:
    """``own = start + rate × reference``, in seconds."""

    start: float
    rate: float

    @property
    def offset(self) -> float:
        return -self.start / self.rate

    @property
    def drift_ppm(self) -> float:
        return (self.rate - 1) * 1e6

    def at(self, reference_s: float) -> float:
        return self.start + self.rate * reference_s


@dataclass(frozen=True, slots=True)
class _Agreement:
    compared: int
    agreeing: int
    chance: float
    spread_s: float
    over_s: float


# --- roughly ------------------------------------------------------------------------------------


def _changes(samples: Samples, rate: int) -> _Floats:
    """How each band's loudness changes, a row a band, a column every hundredth of a second."""
    hop, width = round(rate * _HOP_S), 2 * round(rate * _HOP_S)
    count = max(0, (len(samples) - width) // hop + 1)
    taper = np.hanning(width).astype(np.float32)
    edges = [round(edge * width / rate) for edge in _BANDS_HZ]
    loud = np.zeros((len(_BANDS_HZ) - 1, count), np.float32)
    for first in range(0, count, 4096):
        last = min(first + 4096, count)
        piece = samples[first * hop : (last - 1) * hop + width]
        frames = np.lib.stride_tricks.sliding_window_view(piece, width)[::hop]
        power = np.abs(np.fft.rfft(frames * taper)) ** 2
        for band, (low, high) in enumerate(pairwise(edges)):
            loud[band, first:last] = power[:, low : max(high, low + 1)].sum(axis=1)
    # a floor of one step of the converter: silence has no loudness to change
    level = np.log(loud + width)
    change = np.diff(level, axis=1, prepend=level[:, :1])
    strength = change.std(axis=1, keepdims=True)
    # one bang must not outweigh a minute of talk
    scaled: _Floats = np.clip(change / np.maximum(strength, 1e-6), -4, 4)
    return scaled


def _rough_offsets(reference: _Floats, other: _Floats) -> list[float]:
    """Where ``other`` may begin on the reference's clock, the likeliest first, in seconds."""
    total = other.shape[1]
    length = max(min(total, 500), min(total // 6, 4000))
    starts = np.unique(np.linspace(0, total - length, _PIECES).astype(int))
    size = 1 << (reference.shape[1] + length - 1).bit_length()
    whole = np.fft.rfft(reference, size).astype(np.complex64)
    guesses: list[tuple[float, float, float]] = []
    for start in starts:
        piece = np.fft.rfft(other[:, start : start + length], size)
        like = np.fft.irfft((whole * piece.conj()).sum(axis=0), size)
        spread = float(like.std()) or 1.0
        for _ in range(3):
            peak = int(like.argmax())
            strength = float(like[peak]) / spread
            lag = peak - size if peak >= reference.shape[1] else peak
            guesses.append((strength, float(lag - start) * _HOP_S, float(start) * _HOP_S))
            like[max(0, peak - 5) : peak + 6] = 0
    return list(_agreed(guesses))


def _agreed(guesses: list[tuple[float, float, float]]) -> Iterator[float]:
    """Offsets by how strongly pieces agree on them, at most four."""
    left = guesses
    for _ in range(4):
        if not left:
            return

        def near(one: tuple[float, float, float], to: tuple[float, float, float]) -> bool:
            return abs(one[1] - to[1]) <= 0.05 + MOST_DRIFT_PPM * 1e-6 * abs(one[2] - to[2])

        def support(
            to: tuple[float, float, float], among: list[tuple[float, float, float]]
        ) -> float:
            return sum(max(0.0, one[0] - 3) for one in among if near(one, to))

        best = max(left, key=lambda one, among=left: support(one, among))  # type: ignore[misc]
        # the piece that is surest of those that agree, and the offset at its own place
        yield best[1]
        left = [one for one in left if not near(one, best)]


# --- exactly ------------------------------------------------------------------------------------


def _exact(
    reference: Samples, other: Samples, rate: int, offset: float
) -> tuple[_Line, _Agreement] | None:
    """The line through the windows' delays near a rough offset, and how well they agree."""
    line = _Line(-offset, 1.0)
    agreement = None
    # the drift is not known at first, and a window must not drift within itself; in a long
    # recording the ends are found from where the middle leads to
    for search, span in ((_SPREAD_S, 2.0), (0.02, 4.0)):
        begin = max(0.0, line.offset)
        end = min(len(reference) / rate, (len(other) / rate - line.start) / line.rate)
        if end - begin < 1.5:
            return None
        width = min(span, (end - begin) / 8)
        places = _loudest(reference, rate, begin, end, width)
        delays = np.array([_delay(reference, other, rate, line, at, width, search)
                           for at in places])  # fmt: skip
        clear = np.isfinite(delays)
        if clear.sum() < 4:
            return None
        middle = places[clear] + width / 2
        delays, heard = delays[clear], int((~np.isnan(delays)).sum())
        fitted = _robust_line(middle, delays)
        if fitted is None:
            return None
        slope, height, inside = fitted
        line = _Line(line.start + height, line.rate + slope)
        spread = float(np.sqrt(((slope * middle + height - delays)[inside] ** 2).mean()))
        agreeing = int(inside.sum())
        # the second search is narrow because the first was right: its luck is the first's
        chance = agreement.chance if agreement else _luck(heard, agreeing, AGREES_S / search)
        over = float(np.ptp(middle[inside]))
        agreement = _Agreement(heard, agreeing, chance, spread, over)
    assert agreement is not None
    return line, agreement


def _loudest(
    reference: Samples, rate: int, begin: float, end: float, width: float
) -> NDArray[np.float64]:
    """Where windows begin: at the loudest place of each of up to 60 equal parts, in seconds."""
    count = max(1, min(_WINDOWS, int((end - begin) / width)))
    part = (end - begin) / count
    hop = rate // 50
    blocks = reference[: len(reference) // hop * hop : 4].reshape(-1, hop // 4)
    energy = (blocks.astype(np.float32) ** 2).mean(axis=1)
    summed = np.concatenate([[0.0], np.cumsum(energy, dtype=np.float64)])
    long = round(width * 50)
    places = []
    for number in range(count):
        first = begin + number * part
        low, high = int(first * 50), int((first + part - width) * 50)
        within = summed[low + long : high + long + 1] - summed[low : high + 1]
        ahead = int(within[: max(1, high - low + 1)].argmax()) if len(within) else 0
        places.append(first + ahead / 50)
    return np.array(places)


def _delay(
    reference: Samples, other: Samples, rate: int, line: _Line, at: float, width: float, most: float
) -> float:
    """How much later than expected a window of the reference is in the other, in seconds.

    Not a number where either holds nothing but silence there; infinite where no delay stands out.
    """
    first = round(at * rate)
    ours = reference[first : first + round(width * rate)].astype(np.float32)
    reach = round(most * rate)
    wanted = line.at(0) * rate + line.rate * (first + np.arange(-reach, len(ours) + reach))
    # samples between two samples: only where the clocks differ does this do more than cut out
    low = int(np.floor(wanted[0]))
    part = other[max(low, 0) : max(int(wanted[-1]) + 2, 0)].astype(np.float32)
    if len(part) < len(ours) // 2:
        return float("nan")
    theirs = np.interp(wanted - max(low, 0), np.arange(len(part)), part, left=0, right=0)
    if np.abs(ours).max() < 4 or np.abs(theirs).max() < 4:
        return float("nan")
    size = 1 << (len(theirs) + len(ours)).bit_length()
    product = np.fft.rfft(theirs, size) * np.fft.rfft(ours, size).conj()
    hertz = np.fft.rfftfreq(size, 1 / rate)
    product /= np.abs(product) + 1e-9
    product[(hertz < _BANDS_HZ[0]) | (hertz > _BANDS_HZ[-1])] = 0
    # a microphone may be wired the other way round: a trough tells as much as a peak
    like = np.abs(np.fft.irfft(product, size)[: 2 * reach + 1])
    peak = int(like.argmax())
    rest = like.copy()
    aside = round(AGREES_S * rate)
    rest[max(0, peak - aside) : peak + aside + 1] = 0
    # one humming note, or noise of one's own, has many peaks alike; that window says nothing
    if len(rest) > 4 * aside and rest.max() > _ALIKE * like[peak]:
        return float("inf")
    return float((peak + _between(like, peak) - reach) / rate)


def _between(like: NDArray[np.float64], peak: int) -> float:
    """Where between samples a peak lies, by a parabola through its neighbours."""
    if not 0 < peak < len(like) - 1:
        return 0.0
    before, top, after = (float(value) for value in like[peak - 1 : peak + 2])
    bend = before - 2 * top + after
    return 0.0 if bend >= 0 else 0.5 * (before - after) / bend


def _robust_line(
    at: NDArray[np.float64], delays: NDArray[np.float64]
) -> tuple[float, float, NDArray[np.bool_]] | None:
    """Slope and height of the line on which most delays lie, and which of them do."""
    best: NDArray[np.bool_] | None = None
    for one in range(len(at)):
        for two in range(one + 1, len(at)):
            slope = (delays[two] - delays[one]) / (at[two] - at[one])
            if abs(slope) > MOST_DRIFT_PPM * 1e-6:
                continue
            inside = np.abs(delays - delays[one] - slope * (at - at[one])) <= AGREES_S
            if best is None or inside.sum() > best.sum():
                best = inside
    if best is None or best.sum() < 3:
        return None
    for _ in range(3):
        slope, height = np.polyfit(at[best], delays[best], 1)
        off = np.abs(delays - slope * at - height)
        best = off <= AGREES_S
        if best.sum() < 3:
            return None
    return float(slope), float(height), best


def _luck(compared: int, agreeing: int, share: float) -> float:
    """Chance that so many of the windows lie on one line by luck; two of them make any line."""
    needed = max(agreeing - 2, 0)
    left = compared - 2
    tail = sum(
        comb(left, hits) * share**hits * (1 - share) ** (left - hits)
        for hits in range(needed, left + 1)
    )
    # every pair of windows was tried as the line's two
    return min(1.0, tail * comb(compared, 2))


# --- a clap -------------------------------------------------------------------------------------


def clap_in(samples: Samples, rate: int) -> float:
    """When the clap at the start of a recording begins, in seconds, to about a millisecond.

    The strongest sudden rise of loudness within :data:`CLAP_WITHIN_S`.

    Raises:
        NotSureError: no rise stands out.
    """
    part = samples[: round(CLAP_WITHIN_S * rate)].astype(np.float32)
    # a clap is broad in frequency; motor hum and handling rumble are low
    sharp = np.diff(part, prepend=part[:1])
    hop = rate // 200
    count = len(sharp) // hop
    if count < 100:
        raise NotSureError("the recording is too short to hold a clap")
    energy = (sharp[: count * hop].reshape(count, hop) ** 2).mean(axis=1)
    summed = np.concatenate([[0.0], np.cumsum(energy, dtype=np.float64)])
    back = 40
    before = (summed[back:-1] - summed[: -back - 1]) / back
    # strong and sudden: how much it stands above what came before, times how loud it is
    rise = np.sqrt(np.maximum(energy[back:] - 4 * before, 0))
    peak = int(rise.argmax())
    rest = rise.copy()
    rest[max(0, peak - 60) : peak + 60] = 0
    if rise[peak] <= 0 or rise[peak] < _CLEAR * rest.max():
        raise NotSureError("no single clap stands out from the other sounds")
    first = (peak + back - 1) * hop
    near = np.abs(sharp[first : first + 3 * hop])
    return float((first + int((near > 0.2 * near.max()).argmax())) / rate)


def by_moments(
    reference: tuple[float, ...],
    own: tuple[float, ...],
    *,
    how: How,
    spread_s: float = 0.0,
) -> Lining:
    """The lining that makes the same moments, seen in two recordings, one: a clap or a flash.

    Args:
        reference: when they are on the reference's clock, in seconds, in order.
        own: when they are in the recording's own file; as many, one or two.
        how: clap or flash.
        spread_s: how exact a moment is.

    Raises:
        NotSureError: two moments that are not as far apart in both recordings.
    """
    if len(reference) == 1:
        return Lining(
            offset_s=reference[0] - own[0],
            drift_ppm=None,
            confidence=1.0,
            how=how,
            spread_s=spread_s,
        )
    apart, own_apart = reference[1] - reference[0], own[1] - own[0]
    rate = own_apart / apart
    # the two marks of a recording are typed from pictures, and one may be wrong
    if abs(own_apart - apart) > MOST_DRIFT_PPM * 1e-6 * apart + 0.1:
        raise NotSureError(
            f"the two claps are {apart:.2f} s apart in one recording and {own_apart:.2f} s in the "
            "other"
        )
    return Lining(
        offset_s=reference[0] - own[0] / rate,
        drift_ppm=(rate - 1) * 1e6,
        confidence=1.0,
        how=how,
        spread_s=spread_s,
        over_s=apart,
    )
