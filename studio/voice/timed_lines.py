"""Times in a plain text, as film hosts write them beside captions that are copied from a page.

Each time stands alone above its words, or before them on their line::

    0:36                              [0:36] Set the dividers.
    Set the dividers.                 0:41 - Mark in from each end.

Nobody says them, and no number of the talk may take them for its neighbour.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise

from studio.episode.pace import USUAL_RATE
from studio.measure.units import QuantityError, parse_time

_CLOCK = r"\d{1,2}(?::\d{2}){1,2}(?:[.,]\d{1,3})?"
_SPAN = rf"(?P<start>{_CLOCK})(?:\s*[-–—]+>?\s*{_CLOCK})?"
_STAMP = re.compile(
    rf"\s*(?:(?P<open>[\[(]){_SPAN}[\])]|{_SPAN.replace('start', 'bare')})"
    r"(?:\s*[-–—:|]?\s+|\s*$)"
)
"""A time, or two from when to when, at a line's beginning."""

_SHARE = 1 / 2
"""Times that stand before words without brackets are those of the lines when so many of these begin
with one; else somebody speaks of half past nine (ours)."""

_WHOLE_SECOND_MS = 1_000
"""Hosts cut a time down to the second (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Passage:
    """What stands under one time of a text, or on one line of a text without times.

    Attributes:
        start_ms: when it begins; None where the text does not tell.
        end_ms: when it ends at the latest, as its words are usually spoken; None with ``start_ms``.
        text: its words on one line.
        line: 1-based number of its first line of words.
    """

    start_ms: int | None
    end_ms: int | None
    text: str
    line: int


@dataclass(frozen=True, slots=True)
class _Stamp:
    at_ms: int
    stop: int
    is_sure: bool


def without_times(text: str) -> tuple[str, dict[int, int]]:
    """A plain text without the times of its lines, which keep their numbers, and those times.

    Returns:
        The text, and the milliseconds at which lines begin, by 1-based number; none where times go
        back, for then they are not of one film.

    >>> without_times("0:36\\nset the dividers\\n0:41\\nand mark in")
    ('\\nset the dividers\\n\\nand mark in', {1: 36000, 3: 41000})
    >>> without_times("We start.\\n9:30 is early.\\nSo what?\\nThe lathe is on.")[1]
    {}
    """
    lines = text.splitlines()
    stamps = {n: one for n, line in enumerate(lines, 1) if (one := _stamp_of(line)) is not None}
    sure = {number: one for number, one in stamps.items() if one.is_sure}
    words = sum(bool(line.strip()) for line in lines)
    if not sure and len(stamps) < words * _SHARE:
        return text, {}
    kept = sure or stamps
    for number, one in kept.items():
        lines[number - 1] = lines[number - 1][one.stop :]
    times = {number: one.at_ms for number, one in kept.items()}
    goes_on = all(before <= after for before, after in pairwise(times.values()))
    return "\n".join(lines), times if goes_on else {}


def _stamp_of(line: str) -> _Stamp | None:
    found = _STAMP.match(line)
    if found is None:
        return None
    try:
        at_ms = parse_time((found["start"] or found["bare"]).replace(",", "."))
    except QuantityError:
        return None
    alone = found.end() == len(line)
    return _Stamp(at_ms, found.end(), is_sure=alone or bool(found["open"]))


def passages(text: str, times: dict[int, int]) -> tuple[Passage, ...]:
    """The words of a plain text, a line each, or all under one time together.

    Args:
        text: :func:`without_times`.
        times: from there.
    """
    lines = [(n, " ".join(line.split())) for n, line in enumerate(text.splitlines(), 1)]
    if not times:
        return tuple(Passage(None, None, words, number) for number, words in lines if words)
    # what stands above the first time is a heading, or begins with the film
    starts = {0: 0, **times}
    beyond = [*list(starts)[1:], len(lines) + 1]
    found = []
    for (first, start), after in zip(starts.items(), beyond, strict=True):
        under = [(number, words) for number, words in lines if first <= number < after and words]
        if under:
            whole = " ".join(words for _, words in under)
            end = start + _WHOLE_SECOND_MS + round(len(whole.split()) * 60_000 / USUAL_RATE)
            found.append(Passage(start, min(end, starts.get(after, end)), whole, under[0][0]))
    return tuple(found)
