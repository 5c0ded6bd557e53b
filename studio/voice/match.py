"""Which word of the script each heard word is, whatever was left out, added or moved.

One pass of dynamic programming over the heard words in the order of time. Between two of them the
place in the script goes on by one word, skips some, stays (a word that is not in the script), or
jumps to the beginning of any sentence. The cheapest way through is the match.
"""

from __future__ import annotations

import math
from bisect import bisect_right
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
    places: dict[str, list[int]] = {}
    for place, word in enumerate(script):
        places.setdefault(word, []).append(place)
    gains = {word: _worth(1 / (1 + math.log2(count[word]) / 4)) for word in places}
    here = {word: np.array(found, dtype=np.intp) for word, found in places.items()}
    behind = {word: found + 1 for word, found in here.items()}
    starts = np.array(sorted(set(sentence_starts)), dtype=np.intp)
    slope = _worth(_LEFT_OUT) * np.arange(size + 1)
    other, added = _worth(_OTHER), _worth(_ADDED)
    jumps = _Jumps(starts, size)
    best = np.full(size + 1, _NEVER)
    # the film may begin at any sentence; the script's first is the likeliest
    best[starts] = -_worth(_FARTHEST)
    best[0] = 0
    steps = np.empty((len(heard), size + 1), dtype=np.uint8)
    jumped = np.empty((len(heard), len(starts)), dtype=np.bool_)
    sources = np.empty((len(heard), len(starts)), dtype=np.int32)
    taken, stayed, ahead = np.full_like(best, _NEVER), np.empty_like(best), np.empty_like(best)
    skipped, stays = np.empty(size + 1, dtype=np.bool_), np.empty(size + 1, dtype=np.bool_)
    for number, word in enumerate(heard):
        value = jumps.best(best, sources[number])
        begun = best[starts]
        np.greater(value, begun, out=jumped[number])
        best[starts] = np.maximum(value, begun)
        # the best way to each place over any number of words left out
        np.add(best, slope, out=ahead)
        np.maximum.accumulate(ahead, out=ahead)
        np.subtract(ahead, slope, out=ahead)
        np.greater(ahead, best, out=skipped)
        np.subtract(ahead[:-1], other, out=taken[1:])
        if word in here:
            taken[behind[word]] = ahead[here[word]] + gains[word]
        np.subtract(ahead, added, out=stayed)
        np.greater(stayed, taken, out=stays)
        np.maximum(stayed, taken, out=best)
        np.left_shift(skipped.view(np.uint8), 1, out=steps[number])
        np.bitwise_or(steps[number], stays.view(np.uint8), out=steps[number])
    last = int(np.argmax(best))
    return _believed(_traced(steps, jumped, sources, starts, last, script, heard))


_PLACE_BITS = 20
_PLACES = (1 << _PLACE_BITS) - 1
_NEVER = -(1 << 62)
"""A way's worth is a whole number of millionths above so many bits, which are free for the place
that it comes from: the greater of two ways brings its place with it."""


def _worth(points: float) -> int:
    return round(points * 1_000_000) << _PLACE_BITS


class _Jumps:
    """The best way to every sentence's beginning from anywhere else."""

    def __init__(self, starts: NDArray[np.intp], size: int):
        import numpy as np

        self._starts = starts
        lengths = np.diff([*starts, size + 1])
        rest = np.repeat([*starts[1:], size], lengths) - np.arange(size + 1)
        rest[starts] = 0
        one, most = _worth(_BROKEN_OFF), _worth(_BROKEN_OFF_MOST)
        self._less = np.arange(size + 1) - _worth(_JUMP) - np.minimum(one * rest, most)
        self._far = _worth(_FAR) * np.arange(len(starts))
        self._back = self._far[::-1].copy()
        self._worth = np.empty(size + 1, dtype=np.int64)

    def best(self, best: NDArray[np.int64], sources: NDArray[np.int32]) -> NDArray[np.int64]:
        """What the best jump to each sentence is worth.

        Args:
            best: what the best way to each place is worth.
            sources: takes in its lower bits the place that each jump is from.
        """
        import numpy as np

        np.add(best, self._less, out=self._worth)
        most = np.maximum.reduceat(self._worth, self._starts)
        # from any sentence before, from any behind, and from the best of all at the highest cost
        value = np.maximum.accumulate(most + self._far) - self._far
        back = np.maximum.accumulate((most + self._back)[::-1])[::-1] - self._back
        np.maximum(value, back, out=value)
        np.maximum(value, most.max() + _worth(_JUMP) - _worth(_FARTHEST), out=value)
        sources[:] = value
        return value & ~_PLACES


def _traced(
    steps: NDArray[np.uint8],
    jumped: NDArray[np.bool_],
    sources: NDArray[np.int32],
    starts: NDArray[np.intp],
    place: int,
    script: Sequence[str],
    heard: Sequence[str],
) -> list[Match]:
    number_of = {int(start): number for number, start in enumerate(starts)}
    found: list[tuple[int, int]] = []
    jumps: list[int] = []
    for number in range(len(heard) - 1, -1, -1):
        if not steps[number, place] & 1:
            place -= 1
            if script[place] == heard[number]:
                found.append((place, number))
        while steps[number, place] & 2:
            place -= 1
        sentence = number_of.get(place)
        if sentence is not None and jumped[number, sentence]:
            place = int(sources[number, sentence]) & _PLACES
            jumps.append(number)
    found.reverse()
    jumps.reverse()
    out: list[Match] = []
    passed = 0
    for place, number in found:
        before, passed = passed, bisect_right(jumps, number)
        out.append(Match(place, number, passed > before))
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
