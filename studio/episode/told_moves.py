"""Figures that stand at other words than they did: swapped, or moved to another sentence.

Viewers know a figure by the words around it. Where the same figures are all still there, laid side
by side are each figure's words of then and of now: a figure whose words now go with another one has
been exchanged with it. Turned round in order, two figures are taken for exchanged unless their own
words went with them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

_PIECE = re.compile(r"(?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*)|(?P<cut>[,;:.!?()–—])")

_STEM = 5
"""So many letters of a word tell which one it is: drill, drilled, drilling (ours)."""

_SHORT, _LITTLE = 3, 0.3
"""Words of so few letters (in, the, and) tell so much less (ours)."""

_ELSEWHERE = 0.15
"""What the other words of its sentence tell about a figure; the next one tells 1 (ours)."""

_CLEARLY = 0.75
"""By so much the words must speak for an exchange where figures kept their order (ours)."""

_SENTENCES_CLEARLY = 0.5
"""By so much two sentences must be more like one another's counterparts (ours)."""

Numbers = Sequence[tuple[int, int, str]]
"""Where each number of a sentence stands, and how it is told."""


@dataclass(frozen=True, slots=True)
class Place:
    """A figure in a sentence.

    Attributes:
        sentence: which one of those at hand.
        figure: how it is told, with its unit.
        near: how much each word, by its stem, tells about the figure.
    """

    sentence: int
    figure: str
    near: Mapping[str, float]


def moved(old: Sequence[tuple[str, Numbers]], new: Sequence[tuple[str, Numbers]]) -> dict[int, int]:
    """Sentences of ``old`` whose figures stand at other words now, each with the one of ``new``
    that says its words with other figures.

    Figures that are gone are no matter of this.

    Args:
        old: sentences with their numbers, those left out that stand in both texts.
        new: the same of today.
    """
    then, now = _places(old), _places(new)
    if not then or not now:
        return {}
    alike = [[_alike(one, other) for other in now] for one in then]
    said = [_other_words(*one) for one in new]
    shared = [[_shared(_other_words(*one), other) for other in said] for one in old]
    same = _matched(then, now, alike)
    taken = set(same.values())
    found: dict[int, int] = {}
    for one, other in combinations(sorted(same), 2):
        if then[one].figure == then[other].figure:
            continue
        at, across = same[one], same[other]
        straight = alike[one][at] + alike[other][across]
        crossed = alike[one][across] + alike[other][at]
        if crossed >= straight if at > across else crossed > straight + _CLEARLY:
            found.setdefault(then[one].sentence, now[across].sentence)
            found.setdefault(then[other].sentence, now[at].sentence)
    for one, at in same.items():
        for place, instead in enumerate(now):
            # a new figure stands where this one stood, which stands elsewhere
            another = place not in taken and instead.figure != then[one].figure
            if another and alike[one][place] > alike[one][at] + _CLEARLY:
                found.setdefault(then[one].sentence, instead.sentence)
        emptied = _emptied(then[one], now[at], old, new, shared)
        if emptied is not None:
            found.setdefault(then[one].sentence, emptied)
    return found


def _places(sentences: Sequence[tuple[str, Numbers]]) -> list[Place]:
    return [
        Place(place, figure, near)
        for place, (text, numbers) in enumerate(sentences)
        for figure, near in _figures(text, numbers)
    ]


def _figures(text: str, numbers: Numbers) -> Iterator[tuple[str, dict[str, float]]]:
    """Each number of a sentence with the words that tell what it is of, the nearest most.

    A figure's own clause counts, up to the figures on both sides.
    """
    ends = _ends(text, numbers)
    whole = {word: _ELSEWHERE * _tells(word) for word in _words(text, 0, len(text))}
    for number, (start, _, told) in enumerate(numbers):
        near = dict(whole)
        begin = ends[number - 1] if number else 0
        end = numbers[number + 1][0] if number + 1 < len(numbers) else len(text)
        before, behind = _words(text, begin, start), _words(text, ends[number], end)
        for words in (_up_to_cut(before[::-1]), _up_to_cut(behind)):
            for distance, word in enumerate(words, start=1):
                near[word] = max(near.get(word, 0.0), _tells(word) / distance)
        near.pop("", None)
        yield told, near


def _words(text: str, start: int, stop: int) -> list[str]:
    """Stems of the words there; an empty one for a sign between clauses."""
    return [
        (one["word"] or "").casefold().removesuffix("'s")[:_STEM]
        for one in _PIECE.finditer(text, start, stop)
    ]


def _up_to_cut(words: Sequence[str]) -> Sequence[str]:
    return words[: words.index("")] if "" in words else words


def _tells(word: str) -> float:
    return 1.0 if len(word) > _SHORT else _LITTLE


def _alike(one: Place, other: Place) -> float:
    return sum(min(told, other.near[word]) for word, told in one.near.items() if word in other.near)


def _matched(
    then: Sequence[Place], now: Sequence[Place], alike: Sequence[Sequence[float]]
) -> dict[int, int]:
    """Each figure of then with the same one of now, those most alike in words first."""
    pairs = sorted(
        (
            (-alike[place][at], abs(place - at), place, at)
            for place, one in enumerate(then)
            for at, other in enumerate(now)
            if one.figure == other.figure
        ),
    )
    out: dict[int, int] = {}
    for _, _, place, at in pairs:
        if place not in out and at not in out.values():
            out[place] = at
    return out


def _emptied(
    one: Place,
    at: Place,
    old: Sequence[tuple[str, Numbers]],
    new: Sequence[tuple[str, Numbers]],
    shared: Sequence[Sequence[float]],
) -> int | None:
    """The sentence of today that says a figure's old one without it, where another old sentence
    has got it; None without one."""

    def lacks(sentence: tuple[str, Numbers]) -> bool:
        return all(told != one.figure for _, _, told in sentence[1])

    mine, got = shared[one.sentence], at.sentence
    for place, without in enumerate(new):
        if mine[place] <= mine[got] or not lacks(without):
            continue
        gain = mine[place] - mine[got]
        for number, other in enumerate(shared):
            clearly = gain + other[got] - other[place] > _SENTENCES_CLEARLY
            if clearly and number != one.sentence and lacks(old[number]):
                return place
    return None


def _shared(first: frozenset[str], second: frozenset[str]) -> float:
    """Share of what their words tell that two sentences have in common, 0 to 1; numbers aside."""
    whole = sum(map(_tells, first)) + sum(map(_tells, second))
    return 2 * sum(map(_tells, first & second)) / whole if whole else 0.0


def _other_words(text: str, numbers: Numbers) -> frozenset[str]:
    """Stems of a sentence's words that belong to none of its numbers."""
    found: list[str] = []
    at = 0
    for (start, _, _), end in zip(numbers, _ends(text, numbers), strict=True):
        found += _words(text, at, start)
        at = max(at, end)
    return frozenset((*found, *_words(text, at, len(text)))) - {""}


def _ends(text: str, numbers: Numbers) -> list[int]:
    """Where each number ends, with the unit that is told with it."""
    return [
        start + len(told) if text[start : start + len(told)].casefold() == told else stop
        for start, stop, told in numbers
    ]
