"""Places in a row said by their number: "mark three" of twelve, "stop fourteen" of a plate of 24.

The design prints how many there are; each of them is one, whichever the talk is at.
"""

from __future__ import annotations

from studio.said.finding import BEFORE_A_NUMBER, Mention
from studio.said.material import Meaning, stem
from studio.said.vocabulary import trade_words
from studio.said.weighing import Talk

_EACH = frozenset({"every", "each"})
_AT = frozenset({"at", "to", "in", "into", "on", "from"})


def row_of(talk: Talk, mention: Mention) -> Meaning | None:
    """What says how long the row is of which a place is said; None where none is said.

    "Every third stop" is a way to go, not a place, and no place is called by a fraction.
    """
    if mention.value.denominator > 1:
        return None
    noun = _noun_beside(talk, mention)
    if not noun or _word(talk, mention.first - 1) in _EACH:
        return None
    return talk.material.by_name.get(trade_words().rows.get(stem(noun), ""))


def _noun_beside(talk: Talk, mention: Mention) -> str:
    """What the place is one of: "mark" in "mark number three" and in "the third mark"."""
    if mention.unit == "ordinal":
        return mention.thing
    at = mention.first - 1
    while at > 0 and _word(talk, at) in BEFORE_A_NUMBER:
        at -= 1
    if mention.unit == "drill":
        # "drill a number 51 hole", but "the pin goes into the number 3 hole"
        return mention.sized if {_word(talk, at), _word(talk, at - 1)} & _AT else ""
    # "the hole, 12 deep" is a size; where somebody stands at a hole or goes to it, it is a place
    placed = mention.unit == "" and at > 0 and _word(talk, at - 1) in _AT
    return _word(talk, at) if placed else ""


def _word(talk: Talk, place: int) -> str:
    if not 0 <= place < len(talk.tokens):
        return ""
    return talk.tokens[place].word or talk.tokens[place].text
