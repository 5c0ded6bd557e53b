"""Whether a figure may be a piece of another: then what to say in its place is not known.

"23/23" is no fraction, and "thirty three thirty seconds" is none that a rule has: each of their two
numbers is found alone. A line with one of them mended still has the other in it.
"""

from __future__ import annotations

from studio.said.amounts import Reader
from studio.said.finding import Mention
from studio.said.words import is_heard, is_number, tokens_of

_STROKES = frozenset({"/", "over", "slash", "stroke"})
_JOINTS = frozenset({"and", "&"})


def is_torn(text: str, mention: Mention) -> bool:
    """Whether a stroke, a part's name or a bare figure stands right beside a mention.

    A fraction behind a whole number is a figure of its own: "#51 5/8 in".

    Args:
        text: the sentence.
        mention: of it.
    """
    read = Reader(tokens_of(text), heard=is_heard(text))
    first, after = mention.first, mention.after
    if _is_stroke(read, after, after + 1) or _is_stroke(read, first - 1, first - 2):
        return True
    if read.is_part(after) or (read.is_part(first) and is_number(read.word(first - 1))):
        return True
    if _is_improper(read, after + (read.word(after) in _JOINTS)):
        return True
    last = first - 1
    if mention.value.denominator > 1 and read.word(last) in _JOINTS:
        last -= 1  # "2 and 3/2 in"
    is_whole = mention.value.denominator == 1 and not mention.unit
    # "three three quarters" is one figure to the ear, "bit 51 five eighths" is two
    bare_behind = is_whole and is_number(read.word(after)) and not _is_proper(read, after, 8)
    return bare_behind or (mention.value >= 1 and is_number(read.word(last)))


def _is_stroke(read: Reader, place: int, beyond: int) -> bool:
    """Whether a stroke stands at ``place``, and a figure beyond it: not "over 800 rpm"."""
    return read.word(place) in _STROKES and is_number(read.word(beyond))


def _is_proper(read: Reader, place: int, fewest: int = 2) -> bool:
    """Whether a fraction below one begins at ``place``, of so many parts of one or more."""
    amount = read.at(place)
    return amount is not None and 0 < amount.value < 1 and amount.value.denominator >= fewest


def _is_improper(read: Reader, place: int) -> bool:
    """Whether two figures with a stroke between them begin at ``place`` that are no part of one."""
    return (
        is_number(read.word(place))
        and _is_stroke(read, place + 1, place + 2)
        and not _is_proper(read, place)
    )
