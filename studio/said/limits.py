"""Limits of sizes and counts: how deep a groove may be, how thin the wall may come out.

A limit and the size that it is a limit of are called by the same words ("wall", "deep"). A figure
is only of the limit where a word for one is said, or it would pass a slip for the size, or the line
to say would have the limit in it.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from studio.said.finding import Mention
from studio.said.vocabulary import Limit, trade_words
from studio.said.words import Token, clause_around, word_set

_AHEAD, _BEHIND = 8, 4
"""So many words before a figure and behind it the words stand that give it as a limit (ours)."""

_ENDS = frozenset({".", ";", "!", "?"})
_PAUSES = _ENDS | {",", ":", "-", "–", "—"}

_LIMITS = word_set("most least max maximum minimum limit limited allowed")
_LIMITS_AHEAD = _LIMITS | {"never"}
_PAIRS = frozenset({("up", "to"), ("down", "to")})
_PAIRS_BEHIND = frozenset({("or", "more"), ("or", "less"), ("or", "over"), ("or", "under")})


def size_of(name: str) -> str:
    """The measurement that ``name`` is a limit of; empty where it is none.

    >>> size_of("grooves.deepest"), size_of("grooves.depth")
    ('grooves.depth', '')
    """
    limit = trade_words().limits.get(name)
    return limit.of if limit is not None else ""


def is_limit_of(name: str, other: str) -> bool:
    """Whether of two measurements one is a limit of the other.

    >>> is_limit_of("hollow.wall", "hollow.thinnest"), is_limit_of("hollow.wall", "hollow.reach")
    (True, False)
    """
    return size_of(name) == other or size_of(other) == name


def unsaid(tokens: Sequence[Token], mention: Mention, taken: Collection[int]) -> frozenset[str]:
    """The limits that nothing said around a figure is a word for.

    Args:
        tokens: of the talk.
        mention: of it.
        taken: places of the tokens that are numbers.
    """
    if _is_given_as_limit(tokens, mention, taken):
        return frozenset()
    limits = trade_words().limits
    return frozenset(name for name in limits if not _is_said(tokens, mention, limits[name]))


def _is_said(tokens: Sequence[Token], mention: Mention, limit: Limit) -> bool:
    """Whether a limit's own words stand in the clause: "under the grooves the wall is 5.3 mm".

    What follows behind a comma tells it no more: "4.2 deep, the deepest at the equator".
    """

    def ends(place: int) -> bool:
        return tokens[place].text in (_ENDS if place < mention.first else _PAUSES)

    begin, end = clause_around(tokens, mention.first, mention.after, ends=ends)
    words = [token.word for token in tokens[begin:end]]
    return any(
        words[at : at + len(one)] == list(one) for one in limit.said for at in range(len(words))
    )


def _is_given_as_limit(tokens: Sequence[Token], mention: Mention, taken: Collection[int]) -> bool:
    """Whether words make any figure a limit: "never more than 4.2", "4.2 at most", "up to 4.2"."""

    def parted(place: int) -> bool:
        return place in taken or tokens[place].text in _PAUSES

    begin, end = clause_around(
        tokens, mention.first, mention.after, ends=parted, ahead=_AHEAD, behind=_BEHIND
    )
    ahead = [token.word for token in tokens[begin : mention.first]]
    behind = [token.word for token in tokens[mention.after : end]]
    return (
        not _LIMITS_AHEAD.isdisjoint(ahead)
        or not _LIMITS.isdisjoint(behind)
        or tuple(ahead[-2:]) in _PAIRS
        or not _PAIRS_BEHIND.isdisjoint(pairwise(behind))
    )
