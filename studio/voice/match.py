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

_OTHER = 0.7
_ADDED = 0.4
_LEFT_OUT = 0.4
_JUMP = 4.0
"""What it costs to hear one word for another, to hear one that is not in the script, to miss one
that is, and to go on at another sentence; a word heard right gains 1, a common one less (ours:
a jump there and back must be worth eight words)."""

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
    best = np.full(size + 1, -1e9)
    # the film may begin at any sentence; the script's first is the likeliest
    best[starts] = -_JUMP
    best[0] = 0.0
    steps = np.empty((len(heard), size + 1), dtype=np.uint8)
    sources = np.empty(len(heard), dtype=np.intp)
    for number, word in enumerate(heard):
        source = int(np.argmax(best))
        sources[number] = source
        before = best.copy()
        jump = best[source] - _JUMP
        jumps = starts[before[starts] < jump]
        before[jumps] = jump
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
        row[jumps] |= 4
        steps[number] = row
    return _believed(_traced(steps, sources, int(np.argmax(best)), script, heard))


def _traced(
    steps: object, sources: object, place: int, script: Sequence[str], heard: Sequence[str]
) -> list[Match]:
    import numpy as np

    assert isinstance(steps, np.ndarray)
    assert isinstance(sources, np.ndarray)
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
            place = int(sources[number])
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
