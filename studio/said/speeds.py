"""Speeds said, judged by the ceilings that the design gives for the step and the stage."""

from __future__ import annotations

from collections.abc import Sequence

from studio.said.agreeing import Verdict
from studio.said.ceilings import (
    FAST,
    ceiling_rpm,
    ceilings_in_hand,
    fastest,
    is_of_machine,
    is_run_at,
    states_limit,
)
from studio.said.foreign import is_foreign
from studio.said.judged import Judged
from studio.said.material import Meaning
from studio.said.weighing import LEAD, LISTING, Talk, Weighed


def as_speed(talk: Talk, number: int, weighed: list[Weighed], judged: Judged) -> Judged:
    """What is said of a speed, beside its ceiling: a figure in rpm is always of one.

    Args:
        talk: the talk.
        number: of the mention.
        weighed: what it may mean.
        judged: what it was found to be.
    """
    mention, material = judged.mention, talk.material
    named = judged.measurement in material.ceiling_names
    speed = mention.unit == "rpm" or (judged.verdict is Verdict.NONE and is_run_at(talk, number))
    if not named and (not speed or judged.measurement):
        return judged
    meant = material.by_name.get(judged.measurement)
    own = ceilings_in_hand(talk)
    limit = states_limit(talk, number)
    if named and own and meant not in own and not _is_other_stage(weighed, own):
        if judged.verdict is Verdict.WRONG:
            return _by_ceilings(talk, number, own, limit=limit)
        if fastest(mention) > max(map(ceiling_rpm, own)):
            names = (judged.measurement, *(one.name for one in own))
            return Judged(mention, Verdict.AMBIGUOUS, "", names, 0.5)
    if judged.verdict in (Verdict.RIGHT, Verdict.ROUNDED):
        return judged
    if named:
        assert meant is not None
        over = fastest(mention) > ceiling_rpm(meant)
        if over and is_run_at(talk, number) and _may_be_allowed(talk, judged):
            return Judged(mention, Verdict.AMBIGUOUS, "", judged.candidates, 0.5)
        return judged if over or limit else Judged(mention, Verdict.NONE, confidence=0.7)
    return _by_ceilings(talk, number, own, limit=limit)


def up_to_speeds(talk: Talk, decided: list[Judged]) -> list[Judged]:
    """The first of "from eleven hundred up to two thousand" is a speed where the second is."""
    out, ceilings = list(decided), talk.material.ceiling_names
    for number, one in enumerate(out[:-1]):
        mention, after = one.mention, out[number + 1]
        sure = one.verdict in (Verdict.RIGHT, Verdict.ROUNDED)
        if sure or mention.unit or mention.value < FAST:
            continue
        between = {
            token.word for token in talk.tokens[mention.after : after.mention.first]
        }  # fmt: skip
        speed = after.mention.unit == "rpm" or after.measurement in ceilings
        if speed and "to" in between and between <= LISTING:
            own = ceilings_in_hand(talk)
            limit = states_limit(talk, number)
            out[number] = _by_ceilings(talk, number, own, limit=limit)
    return out


def _may_be_allowed(talk: Talk, judged: Judged) -> bool:
    """Whether a speed of which it is not sure what it is of is below one of the ceilings."""
    by_name, ceilings = talk.material.by_name, talk.material.ceiling_names
    asked = [by_name[name] for name in judged.candidates if name in ceilings]
    return not judged.sure and any(ceiling_rpm(one) >= fastest(judged.mention) for one in asked)


def _is_other_stage(weighed: list[Weighed], own: Sequence[Meaning]) -> bool:
    """Whether words name another stage than those whose ceilings the step names."""
    mine = max((one.words for one in weighed if one.meaning in own), default=0.0)
    return bool(weighed) and weighed[0].words >= mine + LEAD


def _by_ceilings(talk: Talk, number: int, own: Sequence[Meaning], *, limit: bool) -> Judged:
    """A speed of which no word tells what it is said of: by the ceilings it is above."""
    mention = talk.mentions[number]
    asked = sorted(own or talk.material.ceilings, key=ceiling_rpm, reverse=True)
    over = [one for one in asked if fastest(mention) > ceiling_rpm(one)]
    if not asked or not (over or limit):
        return Judged(mention, Verdict.NONE, confidence=0.7)
    names = tuple(one.name for one in asked)
    theirs = is_foreign(talk, number, told=False) or is_of_machine(talk, number)
    if len(over) < len(asked) or theirs:
        return Judged(mention, Verdict.AMBIGUOUS, "", names, 0.5)
    # of several ceilings the highest is the last to be given as the one to say
    sure = bool(own) and len({ceiling_rpm(one) for one in own}) == 1
    return Judged(mention, Verdict.WRONG, names[0], names, 0.7, sure=sure)
