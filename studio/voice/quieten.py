"""Steady noise taken out of a recording before it is listened to.

A lathe, a fan or an extractor runs on while its level in each band of frequencies hardly changes.
That level is read from the quietest tenth of the seconds around, and every band is weakened by the
share of noise in it: the Wiener gain (Wiener, 1949; in the form of Lim and Oppenheim,
"Enhancement and bandwidth compression of noisy speech", 1979, from memory), never below a floor.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from studio.voice.sound import RATE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_WINDOW, _HOP = 512, 128
"""Windows of 32 ms every 8 ms (usual for speech)."""

# The values below are ours: the best of a dozen on two recordings of the bench in noise.
_FLOOR = 0.3
"""No band is weakened by more than this factor (10 dB): what is left covers the gaps and tones
that any reckoning of noise leaves behind, which harm the recogniser more than the noise does."""

_QUIET = 0.1
_ABOVE_QUIET = 1.4
"""The mean of noise stands above its quietest tenth by about this factor of power."""

_AROUND = round(10 * RATE / _HOP)
"""The noise is read from ten seconds on either side, so that a change of speed is followed."""

_EVERY = 4
_STEP = 2 * RATE // _HOP
_SMOOTH = 5
_BLOCK = 8_192


def quietened(samples: NDArray[np.int16]) -> NDArray[np.int16]:
    """The same recording with its steady noise weakened by up to 10 dB.

    Args:
        samples: one channel at :data:`studio.voice.sound.RATE`.

    Returns:
        As many samples; every sound stays at its place in time.
    """
    import numpy as np

    window = np.sqrt(np.hanning(_WINDOW + 1)[:-1]).astype(np.float32)
    # windows are centred on the sound's first sample too
    padded = np.concatenate([np.zeros(_WINDOW, np.int16), samples, np.zeros(2 * _WINDOW, np.int16)])
    count = (len(padded) - _WINDOW) // _HOP + 1

    def spectra(first: int, last: int) -> NDArray[np.complex64]:
        places = np.arange(first, last)[:, None] * _HOP + np.arange(_WINDOW)
        found = np.fft.rfft(padded[places].astype(np.float32) * window, axis=1)
        return np.asarray(found, dtype=np.complex64)

    def power(first: int, last: int) -> tuple[NDArray[np.complex64], NDArray[np.float32]]:
        """Spectra, and their power averaged over neighbours in time."""
        low, high = max(0, first - _SMOOTH // 2), min(count, last + _SMOOTH // 2)
        found = spectra(low, high)
        raw = found.real**2 + found.imag**2
        sums = np.concatenate([np.zeros((1, raw.shape[1])), np.cumsum(raw, axis=0, dtype=float)])
        at = np.arange(first - low, last - low)
        begin = np.maximum(at - _SMOOTH // 2, 0)
        end = np.minimum(at + _SMOOTH // 2 + 1, len(raw))
        mean = (sums[end] - sums[begin]) / (end - begin)[:, None]
        return found[first - low : last - low], mean.astype(np.float32)

    quiet = np.concatenate(
        [power(first, min(first + _BLOCK, count))[1][::_EVERY] for first in range(0, count, _BLOCK)]
    )
    at = np.arange(0, count, _STEP)
    reach = _AROUND // _EVERY
    noise = np.array(
        [
            np.quantile(quiet[max(0, n // _EVERY - reach) : n // _EVERY + reach], _QUIET, axis=0)
            for n in at
        ],
        dtype=np.float32,
    )
    noise = noise * _ABOVE_QUIET + 1e-3
    out = np.zeros(len(padded) + _WINDOW, np.float32)
    for first in range(0, count, _BLOCK):
        last = min(first + _BLOCK, count)
        found, mean = power(first, last)
        # between two readings the noise goes over from one to the other
        place = np.minimum(np.arange(first, last) / _STEP, len(at) - 1)
        low = place.astype(np.intp)
        high = np.minimum(low + 1, len(at) - 1)
        share = (place - low).astype(np.float32)[:, None]
        here = noise[low] * (1 - share) + noise[high] * share
        gain = np.maximum(1 - here / np.maximum(mean, 1e-3), _FLOOR)
        waves = np.fft.irfft(found * gain, axis=1).astype(np.float32) * window
        # windows that do not overlap are laid down in one go
        for lane in range(_WINDOW // _HOP):
            laid = waves[lane :: _WINDOW // _HOP].reshape(-1)
            begin = (first + lane) * _HOP
            out[begin : begin + len(laid)] += laid
    out *= _HOP / float((window**2).sum())
    kept = out[_WINDOW : _WINDOW + len(samples)]
    return np.clip(np.round(kept), -32768, 32767).astype(np.int16)
