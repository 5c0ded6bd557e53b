"""Speeds said: what the design prints of speeds are ceilings, and a ceiling allows what is below.

A figure below its ceiling is no error unless it is given as the ceiling ("1,000 at the most"); one
above it always is, or is at least told.
"""

from __future__ import annotations

from fractions import Fraction

from studio.said.finding import Mention
from studio.said.material import Meaning
from studio.said.weighing import Talk
from studio.said.words import word_set

_LIMITS_AHEAD = word_set(
    "below under over above exceed beyond past max maximum most limit limited limits ceiling top "
    "tops faster within allowed card sheet never"
)
"""Words before a figure that give it as the most that is allowed."""

_LIMITS_BEHIND = word_set("most max maximum tops top limit ceiling card sheet allowed")
"""Words behind it that do so."""

_NO_MORE = frozenset(
    {("no", "more"), ("no", "faster"), ("any", "more"), ("any", "faster"), ("or", "less")}
    | {("not", "more"), ("no", "higher"), ("any", "higher"), ("or", "under"), ("or", "below")}
)

_AHEAD, _BEHIND = 8, 12
"""So many words away they may stand (ours)."""

_BREAKS = frozenset({".", ";", "!", "?", ":"})

FAST, _FASTER_THAN_PAPERS = 100, 700
"""From here on a bare figure that is said of a lathe is taken for its speed; from the second on one
that is not to be passed, for finer papers are hardly used on turned wood (ours)."""

_RUNNING = word_set("turning running spinning run runs spins turn going")
_SPEEDING = word_set(
    "crank cranked cranking rev revved revving speed speeding spin wind winding dial dialled "
    "throttle"
)
_UP_TO = word_set("to past over above beyond at around about")
_PASSING = word_set("past over above beyond exceed exceeding")
_NOT = word_set(
    "never not don't dont shouldn't shouldnt mustn't mustnt can't cant without nobody no"
)

_MACHINES = word_set("lathe machine controller inverter headstock")
_CAN = word_set("can could will would goes tops does do manages manage capable reaches reach rated")


def fastest(mention: Mention) -> Fraction:
    """The speed that is said; of a range its upper end."""
    return mention.value if mention.high is None else mention.high


def ceiling_rpm(meaning: Meaning) -> Fraction:
    """The printed figure of a ceiling, in rpm."""
    return max(number for number, _ in meaning.printed)


def ceilings_in_hand(talk: Talk) -> tuple[Meaning, ...]:
    """The ceilings that the step in hand names; empty where it names none or is not known."""
    if talk.step is None:
        return ()
    near = talk.step.near
    return tuple(one for one in talk.material.ceilings if near.get(one.name, 0.0) > 0)


def states_limit(talk: Talk, number: int) -> bool:
    """Whether a figure is given as the most that is allowed: "never over 900", "1,200 tops"."""
    one, words = talk.mentions[number], [token.word for token in talk.tokens]
    at = one.first - 1
    while at >= max(0, one.first - _AHEAD) and not _parts(talk, at):
        if words[at] in _LIMITS_AHEAD or words[at : at + 2] == ["up", "to"]:
            return True
        at -= 1
    at = one.after
    while at < min(len(words), one.after + _BEHIND) and not _parts(talk, at):
        if words[at] in _LIMITS_BEHIND or tuple(words[at : at + 2]) in _NO_MORE:
            return True
        at += 1
    return False


def is_run_at(talk: Talk, number: int) -> bool:
    """Whether a bare figure is a speed by what is done.

    "Turning this at two thousand", "crank it up to two thousand", "never go past two thousand".
    """
    one = talk.mentions[number]
    if one.unit or one.dated or one.value < FAST:
        return False
    begin = one.first
    while begin > max(0, one.first - _AHEAD) and not _parts(talk, begin - 1):
        begin -= 1
    ahead = [token.word for token in talk.tokens[begin : one.first]]
    last, near = set(ahead[-1:]), set(ahead[-5:])
    if (last == {"at"} and _RUNNING & near) or (last & _UP_TO and _SPEEDING & near):
        return True
    forbidden = bool(last & _PASSING) and bool(_NOT & set(ahead))
    return forbidden and one.value >= _FASTER_THAN_PAPERS


def _parts(talk: Talk, place: int) -> bool:
    """Whether a sign or another number sets apart what stands on both its sides."""
    return place in talk.taken or talk.tokens[place].text in _BREAKS


def is_of_machine(talk: Talk, number: int) -> bool:
    """Whether it may be what a lathe is able to do: "my lathe goes up to 3,600 rpm"."""
    one = talk.mentions[number]
    ahead = {token.word for token in talk.tokens[max(0, one.first - 7) : one.first]}
    return bool(ahead & _MACHINES and ahead & _CAN)
