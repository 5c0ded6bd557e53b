"""What is said beside the piece: of others, how far off one is, what a pass takes, what is done."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from studio.said.agreeing import is_printed
from studio.said.counting import IN_ALL
from studio.said.finding import Mention
from studio.said.material import Meaning, stem
from studio.said.units import MM
from studio.said.vocabulary import trade_words
from studio.said.weighing import Talk
from studio.said.words import word_set

_OFF_BY = word_set("under over less more short proud shy below above")
_PER = (["a"], ["per"], ["each"], ["at"])
_PASSES = (["pass"], ["time"])
_SENTENCE_ENDS = frozenset({".", "!", "?", ";"})
_YOURS = word_set("you your you're yours you've you'd")
_SET = word_set("dividers callipers calipers compass compasses")
"""Tools that are set to a size of the piece: "if your dividers say 15" supposes nothing."""

_FROM = (["between"], ["from"])
_HALF_WAY = word_set("way halfway midway middle")

_NOT = word_set("not isn't aren't wasn't isnt arent wasnt")
_NOR = frozenset({"or", "nor"})
_WHERE_IT_IS = word_set("if unless when whenever where until till why while")
_SUPPOSED_WITHIN = 6

_TO_COME = (("more",), ("left",), ("remaining",), ("to", "go"), ("to", "do"), ("still", "to"))
_DONE = (("done",), ("down",), ("finished",), ("so", "far"))
_MADE = (("cut",), ("on",), ("drawn",), ("marked",))
"""Behind a count of what is made one by one: those still to come, those that are there; the last
ones tell it only where others are said to come."""

_THE_OTHER = (("another",), ("the", "other"), ("the", "remaining"), ("the", "last"))


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


def part_of_whole(talk: Talk, number: int) -> Meaning | None:
    """Of how many it counts those that are done or still to come: "two grooves cut, three more".

    Returns:
        What says how many there are in all; None where it counts no part of it.
    """
    whole = _whole_of(talk, number)
    if whole is None or is_printed(talk.mentions[number], whole):
        return None
    counted = _counts(talk, number, (*_TO_COME, *_DONE, *IN_ALL)) or _is_rest(talk, number)
    made = _counts(talk, number, _MADE) and _goes_on(talk, number)
    return whole if counted or made else None


def _goes_on(talk: Talk, number: int) -> bool:
    """Whether others are said to come: "so three more", "one to go"."""
    at = talk.mentions[number].after
    behind = talk.tokens[at:]
    one_more = any(
        a.word == "one" and any(b.word == words[0] for words in _TO_COME)
        for a, b in pairwise(behind)
    )
    later = range(number + 1, len(talk.mentions))
    return one_more or any(_counts(talk, other, _TO_COME) for other in later)


def adds_up(talk: Talk, number: int, whole: Meaning) -> bool:
    """Whether those still to come and those done, said right before, are all that there are.

    Where only one of the two is said, whether there are so many.
    """
    one = talk.mentions[number]
    if exceeds(one, whole) or _counts(talk, number, IN_ALL):
        return False
    if not number or not _counts(talk, number, _TO_COME):
        return True
    before = talk.mentions[number - 1]
    if _whole_of(talk, number - 1) is not whole or before.high is not None:
        return True
    place = before.unit == "ordinal" or _counts(talk, number - 1, (*_DONE, *_MADE))
    return not place or any(one.value + before.value == value for value, _ in whole.printed)


def exceeds(one: Mention, whole: Meaning) -> bool:
    """Whether it counts more than there are in all."""
    return all(one.value > value for value, _ in whole.printed)


def _whole_of(talk: Talk, number: int) -> Meaning | None:
    """How many there are of what a number counts; of a bare one, of what is counted before it."""
    one = talk.mentions[number]
    if one.unit not in ("", "count", "ordinal") or one.dated or one.value.denominator > 1:
        return None
    wholes = trade_words().one_by_one
    thing = stem(one.thing)
    if not thing and not one.unit:
        thing = next((word for word in reversed(talk.stems[: one.first]) if word in wholes), "")
    return talk.material.by_name.get(wholes.get(thing, ""))


def _counts(talk: Talk, number: int, phrases: Iterable[tuple[str, ...]]) -> bool:
    """Whether one of some phrases stands behind a number and what it counts."""
    one = talk.mentions[number]
    behind = [token.word for token in talk.tokens[one.after : one.after + 4]]
    behind = behind[1:] if one.thing and behind[:1] == [one.thing] else behind
    return any(tuple(behind[: len(words)]) == words for words in phrases)


def _is_rest(talk: Talk, number: int) -> bool:
    """Whether it counts those left over: "another four grooves", but not "the other two"."""
    first = talk.mentions[number].first
    if not talk.mentions[number].thing:
        return False
    ahead = tuple(token.word for token in talk.tokens[max(0, first - 2) : first])
    return any(ahead[-len(words) :] == words for words in _THE_OTHER)


def is_half_way(talk: Talk, one: Mention) -> bool:
    """Whether it is the place in the middle of two: "half way between three and four"."""
    ahead = [token.word for token in talk.tokens[max(0, one.first - 3) : one.first]]
    return one.high is not None and ahead[-1:] in _FROM and _HALF_WAY & set(ahead) != set()


def is_denied(talk: Talk, number: int) -> bool:
    """Whether a figure is said not to be it: "three coats, not two", "not a half or a third".

    "If it's not two millimetres" says that it ought to be.
    """
    one, words = talk.mentions[number], [token.word for token in talk.tokens]
    if not one.first:
        return False
    if words[one.first - 1] in _NOR and number:
        before = talk.mentions[number - 1]
        return before.after == one.first - 1 and is_denied(talk, number - 1)
    ahead = words[max(0, one.first - _SUPPOSED_WITHIN) : one.first]
    return ahead[-1] in _NOT and not _WHERE_IT_IS & set(ahead)


def is_supposed(talk: Talk, one: Mention) -> bool:
    """Whether it is of somebody else's piece or plate: "if your ball is 100 mm"."""
    begin = one.first
    while begin and talk.tokens[begin - 1].text not in _SENTENCE_ENDS:
        begin -= 1
    words = [token.word for token in talk.tokens[begin : one.first]]
    yours = any(a == "if" and b in _YOURS for a, b in pairwise(words)) and not _SET & set(words)
    return yours or "you'd" in words or "you would" in " ".join(words)
