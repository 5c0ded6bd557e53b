"""One of a unit, said by its article alone: "an inch", "a millimetre thick", "leave it an hour".

A size is stated wherever no part, rate or vague word takes the place. A time is mostly a way to
speak ("for a minute", "twice a day"): it is stated where words of waiting stand beside it.
"""

from __future__ import annotations

from collections.abc import Sequence

from studio.said.amounts import Reader, is_counted
from studio.said.approximations import ADJECTIVES
from studio.said.units import MINUTES, SaidUnit, unit_at
from studio.said.words import Token, word_set

_SIZES = frozenset({"in", "mm", "cm", "deg", "g", "ml"})
"""Units of which one is said with an article."""

_HEARD = word_set("mill mills mille milli meal meals")
"""What stands for millimetres behind a number; with an article they may be what they are."""

_PARTS = word_set("of half quarter per")
"""Before an article: it is a part of one, or a rate."""

_NO_SIZE = (("rule",), ("by",), ("people",), ("of",), ("at", "a", "time"))
_NO_TIME = (("ago",), ("at",), ("in",), ("out",), ("off",), ("from", "now"))
"""Behind one of a unit: something else is said."""

_WAITING = word_set(
    "leave leaves leaving left wait waits waiting let lets give gives giving glue glued glues dry "
    "dries drying dried cure cures cured curing harden hardens hardened sets recoat recoating coat "
    "coats between apart soak soaks stand stands"
)
"""Of what takes its time, and of who lets it (common practice, no source)."""

_ME = word_set("me us you")
_JUST_A_MINUTE = word_set("just only wait hang hold on bear")
_TIMES = frozenset({"once", "twice", "times"})
_GOES_ON = word_set("for before until till between then while so to and after")

_WHOLE = word_set("whole full solid good")
"""What may stand between the article and a time: "a full day"."""

_OR_SO = (("or", "two"), ("or", "three"))

_AHEAD, _BEHIND = 7, 5
"""So many words before a time and behind it one of waiting may stand (ours)."""

_SENTENCE_ENDS = frozenset({".", "!", "?", ";"})


def unit_with_article(read: Reader, place: int) -> SaidUnit | None:
    """The unit behind the article at ``place``, "a whole day" among them; None for no such."""
    if read.word(place) not in ("a", "an"):
        return None
    unit = unit_at(read.tokens, place + 1, digits=False)
    if unit is None and read.word(place + 1) in _WHOLE:
        unit = unit_at(read.tokens, place + 2, digits=False)
        return unit if unit is not None and unit.name in MINUTES else None
    return unit


def behind_vague(read: Reader, place: int) -> int:
    """The token behind "an inch or two", which says no number; 0 where none stands there."""
    unit = unit_with_article(read, place)
    vague = unit is not None and any(read.stands(unit.after, words) for words in _OR_SO)
    return unit.after + 2 if unit is not None and vague else 0


def states_one(read: Reader, place: int, unit: SaidUnit) -> bool:
    """Whether "an inch" or "an hour" is a figure of its own.

    Args:
        read: the sentence.
        place: its article.
        unit: behind the article.
    """
    if unit.name in MINUTES:
        return _is_wait(read, place, unit.after)
    said = read.word(unit.after - 1)
    if unit.name not in _SIZES or (said in _HEARD and read.word(unit.after) not in ADJECTIVES):
        return False
    if read.word(place - 1) in _PARTS:
        return False
    return not (_is_rate(read, place) or any(read.stands(unit.after, one) for one in _NO_SIZE))


def _is_wait(read: Reader, place: int, after: int) -> bool:
    """How long something takes, and not when ("a minute ago") or a way to say so."""
    if any(read.stands(after, one) for one in _NO_TIME) or _is_rate(read, place):
        return False
    before, behind = read.word(place - 1), read.word(after)
    if before in _PARTS or (before in _JUST_A_MINUTE and behind not in _GOES_ON):
        return False
    if place == 0 or before in _SENTENCE_ENDS:
        return True
    return is_waited(read.tokens, place, after)


def is_waited(tokens: Sequence[Token], place: int, after: int) -> bool:
    """Whether words of waiting stand beside a time, in its sentence: "leave the glue an hour".

    Args:
        tokens: of the talk.
        place: where the time begins.
        after: the token behind it.
    """
    first = place
    while first > max(0, place - _AHEAD) and tokens[first - 1].text not in _SENTENCE_ENDS:
        first -= 1
    last, most = after, min(len(tokens), after + _BEHIND)
    while last < most and tokens[last].text not in _SENTENCE_ENDS:
        last += 1
    around = [token.word for token in (*tokens[first:place], *tokens[after:last])]
    waits = [at for at, word in enumerate(around) if word in _WAITING]
    return bool(waits) and not any(
        around[at + 1 : at + 2] and around[at + 1] in _ME for at in waits
    )


def _is_rate(read: Reader, place: int) -> bool:
    """Whether something is said of each one: "two coats a day", "twelve threads an inch"."""
    if not place:
        return False
    before = read.word(place - 1)
    if before in _TIMES or unit_at(read.tokens, place - 1, digits=False) is not None:
        return True
    return is_counted(before, strictly=True) and read.is_number_word(place - 2)
