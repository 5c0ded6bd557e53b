"""Boards called by their thickness before planing, in quarters of an inch: "8/4 cherry".

That is a name in the trade (common practice, no source): what is left of such a board is thinner,
and no figure of the design is meant.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from studio.said.words import Token, word_set
from studio.turning.wood import all_species

_THINNEST, _THICKEST = 4, 16
"""Quarters of an inch: such boards are sold (common practice, no source)."""

_BOARDS = word_set("stock board boards plank planks lumber timber slab slabs thickness")


def board_at(tokens: Sequence[Token], place: int) -> int:
    """The token behind a board's thickness that begins at ``place``; 0 where none does.

    >>> from studio.said.words import tokens_of
    >>> board_at(tokens_of("8/4 in cherry"), 0), board_at(tokens_of("8/4 in wide"), 0)
    (3, 0)
    """
    words = [token.word for token in tokens[place : place + 5]]
    before = tokens[place - 1] if place else None
    follows_figure = before is not None and (before.kind == "number" or before.text == "/")
    if words[1:3] != ["/", "4"] or follows_figure or not words[0].isdigit():
        return 0
    if not tokens[place + 1].glued or not _THINNEST <= int(words[0]) <= _THICKEST:
        return 0
    behind = words[4:5] if words[3:4] == ["in"] else words[3:4]
    return place + 3 if (_BOARDS | _woods()).intersection(behind) else 0


@cache
def _woods() -> frozenset[str]:
    """The last word of every wood's usual name: "walnut" of "black walnut"."""
    return frozenset(one.name.lower().rpartition(" ")[2] for one in all_species())
