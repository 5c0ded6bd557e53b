"""What is right by itself and wrong in its place: papers said backwards, sides of another round."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from studio.said.finding import find_mentions
from studio.said.weighing import Talk
from studio.said.words import word_set

_ORDERING = frozenset({"to", "then", "next", "finally", "before", "through", "up", "down"})
"""Words that say of two papers which one is used first."""

_BETWEEN = word_set(", and the a with on straight right it's go goes going move moves on i we i'd")
_BACK = word_set("back again")
"""Who sands out a scratch goes back a paper; nobody but the turner knows whether it was meant."""

_ROUNDS = ("first", "second", "third")
_AWAY = word_set(
    "next last later eventually before after until till will becomes become final finally earlier "
    "previous previously end ends start started begin began from next were was had gonna going"
)
"""Words by which a figure may be of another round than the one in hand."""


def papers_in_order(talk: Talk, in_question: Sequence[bool]) -> dict[int, tuple[str, bool]]:
    """Papers said out of the design's order: which one belongs there, and whether that is sure.

    It is sure where words tell the order ("P240 to P180"), not for a mere list, nor where somebody
    goes back to a paper.

    Args:
        talk: the talk.
        in_question: for each mention whether it was taken for one of the papers.
    """
    order = _papers(talk)
    places = {value: place for place, (value, _) in enumerate(order)}
    found: dict[int, tuple[str, bool]] = {}
    for run in _runs(talk, in_question):
        said = [talk.mentions[number].value for number in run]
        if len(set(said)) < len(said) or not all(value in places for value in said):
            continue
        between = _words_of(talk, run)
        sure = bool(_ORDERING & between) and not _BACK & between
        for number, value, due in zip(run, said, sorted(said, key=places.__getitem__), strict=True):
            if value != due:
                found[number] = order[places[due]][1], sure
    return found


def papers_name(talk: Talk) -> str:
    """The name of the measurement that holds all papers; empty where there is none."""
    for meaning in talk.material.possible("grit").meanings:
        if meaning.units == {"grit"} and len(meaning.printed) > 1:
            return meaning.name
    return ""


def _papers(talk: Talk) -> list[tuple[object, str]]:
    """The design's papers, coarse to fine, with their printed texts."""
    name = papers_name(talk)
    if not name:
        return []
    return _papers_of(talk.material.by_name[name].measurement.text)


@lru_cache(maxsize=16)
def _papers_of(text: str) -> list[tuple[object, str]]:
    return [(one.value, one.written) for one in find_mentions(text)]


def _runs(talk: Talk, in_question: Sequence[bool]) -> Iterator[list[int]]:
    """Papers said one behind another."""
    run: list[int] = []
    for number, one in enumerate(talk.mentions):
        if run and not (in_question[number] and _joins(talk, run[-1], number)):
            if len(run) > 1:
                yield run
            run = []
        if in_question[number] and one.unit in ("grit", ""):
            run.append(number)
    if len(run) > 1:
        yield run


def _joins(talk: Talk, first: int, second: int) -> bool:
    between = _words_of(talk, [first, second])
    return bool(between) and between <= _ORDERING | _BETWEEN | _BACK and between != {"and"}


def _words_of(talk: Talk, run: Sequence[int]) -> frozenset[str]:
    """The words and signs between mentions."""
    first, last = talk.mentions[run[0]], talk.mentions[run[-1]]
    inside = {place for n in run for place in range(talk.mentions[n].first, talk.mentions[n].after)}
    return frozenset(
        talk.tokens[place].word or talk.tokens[place].text
        for place in range(first.after, last.first)
        if place not in inside
    )


def round_in_hand(talk: Talk, number: int, name: str) -> str:
    """The measurement of the round in hand, where a count of sides is right for another round.

    Empty where it is of this round, where the step names none, or where words say which is meant.
    """
    group, _, mine = name.rpartition("_")
    if talk.step is None or mine not in _ROUNDS or not group.endswith((".sides", ".figure")):
        return ""
    in_hand = _rounds_of(talk, group.partition(".")[0])
    if not in_hand or mine in in_hand:
        return ""
    words = {token.word for token in talk.tokens}
    if words & (_AWAY | {mine}):
        return ""
    named = talk.mentions[number].unit == "sides"
    due = min(in_hand, key=_ROUNDS.index)
    if named and _ROUNDS.index(mine) < _ROUNDS.index(due):
        return ""  # an octagon's corners are what the second round takes away
    other = f"{group}_{due}"
    return other if other in talk.material.by_name else ""


def _rounds_of(talk: Talk, subject: str) -> frozenset[str]:
    """The rounds of cuts that a step is about, by the measurements that it names."""
    assert talk.step is not None
    first = talk.material.by_name.get(f"{subject}.figure_first")
    found: set[str] = set()
    for name in talk.step.near:
        if name.partition(".")[0] != subject:
            continue
        words = name.partition(".")[2].split("_")
        found |= {one for one in _ROUNDS if one in words}
        if words == ["set", "in"] or (first and first.measurement.text in words):
            found.add("first")  # the set-in and the octagon are the first round's
    return frozenset(found)
