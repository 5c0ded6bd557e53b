"""What is said beside the piece: somebody else's, by how much one misses, what a pass takes."""

from __future__ import annotations

from itertools import pairwise

from studio.said.finding import Mention
from studio.said.units import MM
from studio.said.weighing import Talk
from studio.said.words import word_set

_OFF_BY = word_set("under over less more short proud shy below above")
_PER = (["a"], ["per"], ["each"], ["at"])
_PASSES = (["pass"], ["time"])
_SENTENCE_ENDS = frozenset({".", "!", "?", ";"})
_YOURS = word_set("you your you're yours you've you'd")
_SET = word_set("dividers callipers calipers compass compasses")
"""Tools that are set to a size of the piece: "if your dividers say 15" supposes nothing."""


def is_offset(talk: Talk, number: int) -> bool:
    """Whether it says by how much another figure is missed: "half a millimetre under 12"."""
    one, words = talk.mentions[number], [token.word for token in talk.tokens]
    ahead = tuple(words[max(0, one.first - 3) : one.first])
    if ahead == ("plus", "or", "minus") or ahead[-1:] == ("±",):
        return True
    behind = talk.mentions[number + 1] if number + 1 < len(talk.mentions) else None
    between = words[one.after : behind.first] if behind is not None else []
    return bool(between) and between[0] in _OFF_BY and set(between[1:]) <= {"of", "than"}


def is_per_pass(talk: Talk, one: Mention) -> bool:
    """Whether it is what a cut takes: "two millimetres a pass"."""
    behind = [token.word for token in talk.tokens[one.after : one.after + 2]]
    return one.unit in MM and behind[:1] in _PER and behind[1:] in _PASSES


def is_supposed(talk: Talk, one: Mention) -> bool:
    """Whether it is of somebody else's piece or plate: "if your ball is 100 mm"."""
    begin = one.first
    while begin and talk.tokens[begin - 1].text not in _SENTENCE_ENDS:
        begin -= 1
    words = [token.word for token in talk.tokens[begin : one.first]]
    yours = any(a == "if" and b in _YOURS for a, b in pairwise(words)) and not _SET & set(words)
    return yours or "you'd" in words or "you would" in " ".join(words)
