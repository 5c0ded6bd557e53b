"""Which word of the script each heard word is, whatever was left out, added or moved.

One pass of dynamic programming over the heard words in the order of time. Between two of them the
place in the script goes on by one word, skips some, stays (a word that is not in the script), or
jumps to the beginning of any sentence. The cheapest way through is the match.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_OTHER = 0.7
_ADDED = 0.4
_LEFT_OUT = 0.4
"""What it costs to hear one word for another, to hear one that is not in the script, and to miss
one that is; a word heard right gains 1, a common one less (all costs here are ours)."""

_JUMP, _FAR, _FARTHEST = 1.5, 0.1, 4.0
"""What it costs to go on at another sentence: more with each sentence in between, up to a limit.
Takes are swapped within a step or two; what seems to come from far off is mostly one of the
script's wordings that stands in it many times over."""

_BROKEN_OFF, _BROKEN_OFF_MOST = 0.3, 1.5
"""A sentence is mostly said to its end: what each of its words costs that a jump leaves out."""

_LONE = 4
"""A match is believed when another stands within so many words of it on both sides' count."""


@dataclass(frozen=True, slots=True)
class Match:
    """``script`` word number was heard as ``heard`` word number; ``jumped`` when the place in the
    script did not follow from the match before it."""

    script: int
    heard: int
    jumped: bool


def match(
    script: Sequence[str], sentence_starts: Sequence[int], heard: Sequence[str]
) -> tuple[Match, ...]:
    """Matches in the order of time.

    Args:
        script: every word of it.
        sentence_starts: numbers of the words that begin a sentence.
        heard: every word heard.

    >>> [(one.script, one.heard) for one in match("a b c d".split(), [0], "a b d".split())]
    [(0, 0), (1, 1), (3, 2)]
    """
    import numpy as np

    if not script or not heard:
        return ()
    size = len(script)
    count = Counter(script)
    gain = np.array([1 / (1 + math.log2(count[word]) / 4) for word in script])
    places: dict[str, list[int]] = {}
    for place, word in enumerate(script):
        places.setdefault(word, []).append(place)
    starts = np.array(sorted(set(sentence_starts)), dtype=np.intp)
    slope = _LEFT_OUT * np.arange(size + 1)
    jumps = _Jumps(starts, size)
    best = np.full(size + 1, -1e9)
    # the film may begin at any sentence; the script's first is the likeliest
    best[starts] = -_FARTHEST
    best[0] = 0.0
    steps = np.empty((len(heard), size + 1), dtype=np.uint8)
    sources = np.empty((len(heard), len(starts)), dtype=np.int32)
    for number, word in enumerate(heard):
        before = best.copy()
        value, sources[number] = jumps.best(best)
        better = before[starts] < value - 1e-9
        jumped = starts[better]
        before[jumped] = value[better]
        # the best way to each place over any number of words left out
        ahead = np.maximum.accumulate(before + slope) - slope
        skipped = ahead > before + 1e-9
        taken = np.full(size + 1, -1e9)
        taken[1:] = ahead[:-1] - _OTHER
        if word in places:
            here = np.array(places[word], dtype=np.intp)
            taken[here + 1] = ahead[here] + gain[here]
        stayed = ahead - _ADDED
        stays = stayed > taken
        best = np.where(stays, stayed, taken)
        row = stays.astype(np.uint8) | (skipped.astype(np.uint8) << 1)
        row[jumped] |= 4
        steps[number] = row
    return _believed(_traced(steps, sources, starts, int(np.argmax(best)), script, heard))


class _Jumps:
    """The best way to every sentence's beginning from anywhere else."""

    def __init__(self, starts: NDArray[np.intp], size: int):
        import numpy as np

        self._starts = starts
        self._places = np.arange(size + 1)
        self._lengths = np.diff([*starts, size + 1])
        rest = np.repeat([*starts[1:], size], self._lengths) - self._places
        rest[starts] = 0
        self._cost = _JUMP + np.minimum(_BROKEN_OFF * rest, _BROKEN_OFF_MOST)
        self._far = _FAR * np.arange(len(starts))
        self._numbers = np.arange(len(starts))

    def best(self, best: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
        """For each sentence what the best jump to it is worth, and the place that it is from."""
        import numpy as np

        worth = best - self._cost
        most = np.maximum.reduceat(worth, self._starts)
        whence = np.where(worth >= np.repeat(most, self._lengths), self._places, 0)
        whence = np.maximum.reduceat(whence, self._starts)
        # from any sentence before, from any behind, and from the best of all at the highest cost
        ahead, ahead_of = self._nearest(most)
        back, back_of = self._nearest(most[::-1])
        back, back_of = back[::-1], len(most) - 1 - back_of[::-1]
        top = int(np.argmax(most))
        value, source = ahead, ahead_of
        source = np.where(back > value, back_of, source)
        value = np.maximum(back, value)
        limit = most[top] + _JUMP - _FARTHEST
        source = np.where(limit > value, top, source)
        value = np.maximum(limit, value)
        return value, whence[source]

    def _nearest(self, most: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
        import numpy as np

        raised = most + self._far
        high = np.maximum.accumulate(raised)
        return high - self._far, np.maximum.accumulate(np.where(raised >= high, self._numbers, 0))


def _traced(
    steps: NDArray[np.uint8],
    sources: NDArray[np.int32],
    starts: NDArray[np.intp],
    place: int,
    script: Sequence[str],
    heard: Sequence[str],
) -> list[Match]:
    number_of = {int(start): number for number, start in enumerate(starts)}
    found: list[tuple[int, int]] = []
    jumps: set[int] = set()
    for number in range(len(heard) - 1, -1, -1):
        if not steps[number, place] & 1:
            place -= 1
            if script[place] == heard[number]:
                found.append((place, number))
        while steps[number, place] & 2:
            place -= 1
        if steps[number, place] & 4:
            place = int(sources[number, number_of[place]])
            jumps.add(number)
    found.reverse()
    out: list[Match] = []
    for at, (place, number) in enumerate(found):
        since = found[at - 1][1] if at else -1
        jumped = any(since < jump <= number for jump in jumps)
        out.append(Match(place, number, jumped))
    return out


def _believed(matches: Sequence[Match]) -> tuple[Match, ...]:
    """Without those that stand alone: one common word amid others proves nothing."""

    def close(one: Match, other: Match) -> bool:
        return 0 < other.script - one.script <= _LONE and other.heard - one.heard <= _LONE

    near = [close(one, other) for one, other in pairwise(matches)]
    kept: list[Match] = []
    jumped = False
    for place, one in enumerate(matches):
        jumped = jumped or one.jumped
        if (place and near[place - 1]) or (place < len(near) and near[place]):
            kept.append(Match(one.script, one.heard, jumped))
            jumped = False
    return tuple(kept)
