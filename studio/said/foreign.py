"""What is said of things that are none of the piece's: tools, people, the weather, lost time."""

from __future__ import annotations

from functools import cache

from studio.said.ceilings import FAST
from studio.said.finding import Mention
from studio.said.material import stem
from studio.said.units import MINUTES, OURS
from studio.said.vocabulary import trade_words
from studio.said.weighing import BY, Talk
from studio.said.words import word_set

_RESTS = frozenset({"rest", "toolrest", "rest's"})
_STANDS_OFF = (["away"], ["off"], ["from"], ["clear"], ["below"], ["above"])
_RELATING = frozenset({"between", "where", "these", "those", "other", "any", "of"})
_IS = frozenset({"is", "was", "are", "were"})
_DOES = word_set("has had runs opens closes goes does holds reaches spins turns says")
_COUNTED_UNITS = frozenset({"count", "ordinal", "sides", "drill", "gauge", "swg"})
_HANDED = frozenset({"gave", "bought", "sold", "brought", "sent", "ordered", "lent"})
"""What is done with things of a shop or a household, not with the piece."""

_SHARPENING = word_set("sharpen sharpened sharpening grind ground grinding bevel honed hone")
_MEASURED_WARM = word_set(
    "thermostat heater temperature kiln oven heating celsius centigrade fahrenheit"
)
_WEATHER = word_set(
    "shop outside today morning cold warm hot weather workshop garage evening winter summer"
)
_TURNING = word_set(
    "turn turned turning turns rotate rotated index indexing mark marks groove grooves stop stops "
    "axis apart step steps lobe lobes"
)
_PEOPLE = word_set("you us my students friends lads folk people viewers subscribers members")
_SPENT = word_set(
    "took takes spent ago later late early earlier drive drove already since wasted talking"
)
_MEANWHILE = word_set("back walk break lunch tea coffee video film watch programme phone")


def is_foreign(talk: Talk, number: int, *, told: bool) -> bool:
    """Whether the figure is said of a tool or thing that is none of the piece's.

    Args:
        talk: the talk.
        number: of the mention.
        told: whether words tell a measurement that it means.
    """
    one = talk.mentions[number]
    ahead = [token.word for token in talk.tokens[max(0, one.first - 4) : one.first]]
    handed = bool(_HANDED.intersection(ahead)) or ahead[-2:] == ["count", "to"]
    if _goes_with_foreign(talk, number) or (handed and one.unit in ("", "count")):
        return True
    if one.unit in MINUTES and _is_spent(talk, one, told=told):
        return True
    if one.unit == "deg" and _is_no_turn(talk, one):
        return True
    foreign = trade_words().foreign
    words = talk.tokens
    for place in range(one.after, min(len(words), one.after + 3)):
        if words[place].kind != "word" or words[place].word in trade_words().function:
            break
        if words[place].word in foreign:
            return True
    before = words[one.first - 1].word if one.first else ""
    if before == "," and one.first > 1 and words[one.first - 2].word in foreign:
        return True  # "small skew, half an inch"
    if _is_of_people(talk, one) or _is_of_rest(talk, one):
        return True
    for at in range(one.first - 1, max(0, one.first - 4), -1):
        if words[at].word in _IS:
            # "the shelf behind me is": the last word before it that is no mere joint
            while at > 0 and words[at].word in trade_words().function:
                at -= 1
            return words[at].word in foreign and not _is_lathes_speed(talk, one, at)
        if words[at].word in _DOES:
            # "the grinder runs at"
            return words[at - 1].word in foreign and not _is_lathes_speed(talk, one, at - 1)
    return before.removesuffix("'s") in foreign and before.endswith("'s")


def is_of_unknown(talk: Talk, one: Mention) -> bool:
    """Whether what a figure is said of is a thing of the trade that this design has nothing of.

    "9 mm of wall" where nothing is hollow: no figure of the design is what to say instead.
    """
    at = one.after
    if talk.tokens[at : at + 1] and talk.tokens[at].word == "of":
        at += 1
    behind = tuple(talk.stems[at : at + 1])
    return behind in _things() and behind not in talk.material.known


@cache
def _things() -> frozenset[tuple[str, ...]]:
    """Single words, as stems, with which turners mean measurements of any design."""
    words = (phrase for _, phrases in trade_words().means for phrase in phrases)
    return frozenset((stem(word),) for word in words if word.isalpha())


def relates(talk: Talk, number: int) -> bool:
    """Whether two things are only set in relation: "between two grooves", "where two meet"."""
    one = talk.mentions[number]
    before = talk.tokens[one.first - 1].word if one.first else ""
    return one.words and one.value == 2 and one.unit == "count" and before in _RELATING


def is_a_turn(talk: Talk, one: Mention) -> bool:
    """Whether degrees are of the work, though nothing tells which: "turn it twenty degrees"."""
    meant = one.unit == "deg" and talk.material.possible("deg").meanings
    near = _around(talk, one, 4, 4)
    told = _TURNING & near or {"between", "each"} <= near
    return bool(meant and told) and not _SHARPENING & near


def _goes_with_foreign(talk: Talk, number: int) -> bool:
    """Whether a bare figure is the second of "three metres by four", "four minutes thirty"."""
    if not number or talk.mentions[number].unit:
        return False
    last, one = talk.mentions[number - 1], talk.mentions[number]
    between = [token.word for token in talk.tokens[last.after : one.first]]
    apart = bool(last.unit) and last.unit not in OURS | _COUNTED_UNITS
    return (between in BY and (apart or last.dated)) or (not between and last.unit in MINUTES)


def _is_of_people(talk: Talk, one: Mention) -> bool:
    """Whether people are counted: "six of us", "two of my students"."""
    behind = [token.word for token in talk.tokens[one.after : one.after + 3]]
    return behind[:1] == ["of"] and bool(set(behind[1:]) & _PEOPLE)


def _is_of_rest(talk: Talk, one: Mention) -> bool:
    """Whether it says how far off the tool rest stands: "the rest about five millimetres away".

    Taken for a size of the piece, it would be told to stand farther off than is safe.
    """
    ahead = {token.word for token in talk.tokens[max(0, one.first - 4) : one.first]}
    behind = [token.word for token in talk.tokens[one.after : one.after + 1]]
    return bool(ahead & _RESTS) and (behind in _STANDS_OFF)


def _around(talk: Talk, one: Mention, ahead: int, behind: int) -> set[str]:
    """The words so many tokens before and behind a mention."""
    return {token.word for token in talk.tokens[max(0, one.first - ahead) : one.first]} | {
        token.word for token in talk.tokens[one.after : one.after + behind]
    }


def _is_spent(talk: Talk, one: Mention, *, told: bool) -> bool:
    """Whether a time is the turner's own: "that took me forty minutes", "back in ten minutes".

    What he does meanwhile says nothing where words tell what must wait.
    """
    if _SPENT & _around(talk, one, 4, 4) or "back" in _around(talk, one, 4, 0):
        return True
    return not told and bool(_MEANWHILE & _around(talk, one, 4, 4))


def _is_no_turn(talk: Talk, one: Mention) -> bool:
    """Whether degrees are of the weather or of an edge; a word of turning near says they are
    of the piece."""
    if _MEASURED_WARM & _around(talk, one, 8, 8):
        return True
    near = _around(talk, one, 4, 4)
    return bool((_WEATHER | _SHARPENING) & near) and not _TURNING & near


def _is_lathes_speed(talk: Talk, mention: Mention, subject: int) -> bool:
    """Whether the lathe is said to run so fast: then the piece in it does."""
    fast = mention.unit == "rpm" or (mention.unit == "" and mention.value >= FAST)
    return fast and talk.tokens[subject].word == "lathe"
