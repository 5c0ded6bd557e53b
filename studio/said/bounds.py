"""Limits said the wrong way round: "keep above 880 rpm", where 880 is the most that is allowed.

Of some measurements the printed figure is the most (a ceiling of speed), of others the least (a
wait between coats); which, ``bounds:`` in ``trade_words.yaml`` says. Talk tells it by a word right
before the figure ("above", "at least") or behind it ("or more"), turned round by a denial before
it ("never below"). A figure that is right and told the other way sends somebody over the ceiling.

Not everything that is told is asked for: "stop if it goes above 880" is true. Where a condition or
a warning leads the clause nothing is said against it; where neither that nor an order does, it is
unclear. The words are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fnmatch import fnmatchcase
from functools import cache

from studio.language import FIRST
from studio.said.vocabulary import trade_words
from studio.said.words import Token, clause_around, word_set


class Bound(StrEnum):
    """Which side of a figure is allowed."""

    MOST = "at most"
    LEAST = "at least"

    @property
    def other(self) -> Bound:
        """The other one."""
        return Bound.LEAST if self is Bound.MOST else Bound.MOST


class Force(StrEnum):
    """How sure it is that a limit is asked for as it is told."""

    ORDERED = "ordered"
    MENTIONED = "mentioned"
    LATER = "later"
    EXCUSED = "excused"


Phrase = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToldBound:
    """A limit told beside a figure.

    Attributes:
        bound: as it is told, denials counted.
        force: whether it is asked for.
        start: where the words that tell it begin in the text.
        stop: where they end.
        instead: the words that tell the other one in their place; empty where none would do.
    """

    bound: Bound
    force: Force
    start: int
    stop: int
    instead: str


@dataclass(frozen=True, slots=True)
class _Words:
    """One language's words for limits.

    Attributes:
        ahead: before a figure, with the bound that each tells and its opposite.
        behind: the same behind it.
        plain: those that state a limit whatever the verb.
        fillers: what may stand between them and the figure.
        denials: what turns them round.
        undemanding: beside a denial: nothing is forbidden ("no need to stay below").
        orders: verbs that ask for it.
        steady: those of them that ask for it from now on.
        subjects: before a verb: it is told and not asked for.
        conditions: before the words: told of a case only.
        warnings: the same, but for an order behind them.
        later: behind the figure: from then on.
        joints: words at which another clause begins.
        one_way: verbs that go one way alone: no opposite of the words behind them makes sense.
    """

    ahead: Mapping[Phrase, tuple[Bound, str]]
    behind: Mapping[Phrase, tuple[Bound, str]]
    plain: frozenset[Phrase]
    fillers: frozenset[str]
    denials: frozenset[str]
    undemanding: frozenset[str]
    orders: frozenset[str]
    steady: frozenset[str]
    subjects: frozenset[str]
    conditions: frozenset[str]
    warnings: frozenset[str]
    later: frozenset[str]
    joints: frozenset[str]
    one_way: frozenset[str]


def _pairs(text: str) -> dict[Phrase, tuple[Bound, str]]:
    """Lines of "what tells the least = what tells the most"; one alone has no opposite."""
    found: dict[Phrase, tuple[Bound, str]] = {}
    for line in text.strip().splitlines():
        least, most = (one.strip() for one in line.split("="))
        for said, bound, other in ((least, Bound.LEAST, most), (most, Bound.MOST, least)):
            if said:
                found.setdefault(tuple(said.split()), (bound, other))
    return found


_EN = _Words(
    ahead=_pairs("""
        above = below
        over = under
        past = below
        beyond = below
        = beneath
        more than = less than
        faster than = slower than
        quicker than = slower than
        higher than = lower than
        longer than = shorter than
        deeper than = shallower than
        wider than = narrower than
        thicker than = thinner than
        larger than = smaller than
        bigger than = smaller than
        at least = at most
        at the least = at the most
        at the very least = at the very most
        at least = up to
        upwards of = at most
        upward of = at most
        minimum of = maximum of
        minimum = maximum
        min = max
        minimum is = maximum is
        exceed =
        exceeding =
        = within
        = inside
    """),
    behind=_pairs("""
        or more = or less
        or over = or under
        or above = or below
        or faster = or slower
        or higher = or lower
        or longer = or shorter
        or deeper = or shallower
        or wider = or narrower
        or thicker = or thinner
        and up = or less
        and upwards = or less
        and over = or less
        and above = or less
        upwards = or less
        or more = and under
        or more = and below
        or more = and no more
        or more = no more
        at least = at most
        at the least = at the most
        at the very least = at the very most
        at the least = at the outside
        at least = tops
        at a minimum = at most
        at minimum = at most
        minimum = maximum
        min = max
    """),
    plain=frozenset(
        tuple(one.split()) for one in (
            "at least", "at the least", "at the very least", "minimum of", "minimum", "min",
            "minimum is", "at most", "at the most", "at the very most", "up to", "maximum of",
            "maximum", "max", "maximum is",
        )
    ),
    fillers=word_set("the a an about around roughly that this our your my some say is of"),
    denials=word_set(
        "never not no nothing nobody don't dont doesn't doesnt shouldn't shouldnt mustn't mustnt "
        "can't cant cannot without won't wont"
    ),
    undemanding=word_set("need needn't have necessary worry bother doesn't doesnt won't wont"),
    orders=word_set(
        "keep keeping stay staying hold holding run running spin spinning turn turning set setting "
        "leave leaving go going get bring take put wait waiting give let make dial crank work sand "
        "cut thin allow must should maintain"
    ),
    steady=word_set("keep stay hold maintain"),
    subjects=word_set("i you it we he she they that which who to will would can could may might"),
    conditions=word_set(
        "if when whenever once unless until till before after anything everything any whatever "
        "where wherever only why"
    ),
    warnings=word_set("stop stops avoid danger dangerous careful risk too instead"),
    later=word_set("once when after only"),
    joints=word_set("and but then or so"),
    one_way=word_set(
        "drop drops dropping fall falls falling dip dips sink slow slowing climb rise exceed speed"
    ),
)  # fmt: skip

_DE = _Words(
    ahead=_pairs("""
        über = unter
        oberhalb von = unterhalb von
        oberhalb = unterhalb
        mehr als = weniger als
        schneller als = langsamer als
        höher als = niedriger als
        länger als = kürzer als
        tiefer als = flacher als
        breiter als = schmaler als
        dicker als = dünner als
        mindestens = höchstens
        mindestens = bis zu
        wenigstens = höchstens
        minimal = maximal
        minimum von = maximum von
        = innerhalb von
    """),
    behind=_pairs("""
        oder mehr = oder weniger
        oder darüber = oder darunter
        oder schneller = oder langsamer
        oder höher = oder niedriger
        oder länger = oder kürzer
        und mehr = oder weniger
        und darüber = oder weniger
        aufwärts = oder weniger
        mindestens = höchstens
        wenigstens = höchstens
        minimum = maximum
    """),
    plain=frozenset(
        tuple(one.split()) for one in (
            "mindestens", "wenigstens", "minimal", "minimum von", "minimum", "höchstens", "bis zu",
            "maximal", "maximum von", "maximum",
        )
    ),
    fillers=word_set("die der den dem das diese diesen dieser etwa rund ungefähr von"),
    denials=word_set("nie niemals nicht kein keine keinen keinesfalls nichts ohne"),
    undemanding=word_set("brauchen brauchst braucht müssen musst muss nötig"),
    orders=word_set(
        "bleiben bleibe bleib bleibt halten halte halt haltet laufen laufe lassen lasse lass lasst "
        "drehen drehe dreh dreht stellen stelle stell stellt einstellen gehen gehe geh geht fahren "
        "fahre warten warte wartet arbeiten schleifen schneiden liegen sollen soll sollte muss"
    ),
    steady=word_set("bleiben bleibe bleib bleibt halten halte halt haltet"),
    subjects=word_set("ich du er es wir man sie"),
    conditions=word_set("wenn falls sobald bevor bis ehe nachdem alles was wo erst nur warum"),
    warnings=word_set("anhalten stoppen stopp vermeiden gefährlich gefahr vorsicht zu"),
    later=word_set("sobald wenn nachdem erst nur"),
    joints=word_set("und aber dann oder"),
    one_way=word_set("fallen fällt sinken sinkt steigen steigt abfallen absinken ansteigen"),
)  # fmt: skip

_LANGUAGES = {FIRST: _EN, "de": _DE}

_ENDS = frozenset({".", ";", ":", "!", "?"})
_AHEAD, _BEHIND = 10, 6
"""So many words before a figure and behind it tell its limit (ours)."""


@cache
def bound_of(name: str) -> Bound | None:
    """Which bound the measurement called ``name`` is; None where it is none.

    >>> bound_of("speed.rough"), bound_of("finish.recoat"), bound_of("sphere.diameter")
    (<Bound.MOST: 'at most'>, <Bound.LEAST: 'at least'>, None)
    """
    bounds = trade_words().bounds
    return next((Bound(side) for one, side in bounds.items() if fnmatchcase(name, one)), None)


def _told(
    tokens: Sequence[Token], first: int, after: int, taken: Collection[int], language: str
) -> ToldBound | None:
    """The limit as which words beside a figure tell it; None where none does.

    Arguments as for :func:`told_turned`.
    """
    words = _LANGUAGES.get(language)
    if words is None:
        return None

    def ends(place: int) -> bool:
        return place in taken or tokens[place].text in _ENDS

    begin, end = clause_around(tokens, first, after, ends=ends, ahead=_AHEAD)
    found = _ahead(tokens, begin, first, words) or _behind(tokens, after, end, taken, words)
    if found is None:
        return None
    start, stop, (bound, instead) = found
    ahead = [token.word for token in tokens[begin : min(start, first)]]
    clause = _since_last(ahead, words.joints | {","})
    denied = not words.denials.isdisjoint(clause)
    if not words.one_way.isdisjoint(clause):
        instead = ""
    behind = [token.word for token in tokens[after:end]]
    said = tuple(token.word for token in tokens[start:stop])
    plain = said in words.plain or said in words.behind
    return ToldBound(
        bound.other if denied else bound,
        _force(ahead, clause, behind, words, denied=denied, plain=plain),
        tokens[start].start,
        tokens[stop - 1].stop,
        instead,
    )


def told_turned(
    tokens: Sequence[Token],
    first: int,
    after: int,
    taken: Collection[int],
    name: str,
    language: str = FIRST,
) -> ToldBound | None:
    """The limit told beside a figure where it is not the one that a measurement is.

    Args:
        tokens: of the talk.
        first: number of the figure's first token.
        after: number of the token behind its last one.
        taken: numbers of the tokens that are figures.
        name: of the measurement that the figure is.
        language: its tag; in one without words for limits nothing is told.
    """
    bound = bound_of(name)
    told = _told(tokens, first, after, taken, language) if bound is not None else None
    return told if told is not None and told.bound is not bound else None


_Found = tuple[int, int, tuple[Bound, str]]


def _ahead(tokens: Sequence[Token], begin: int, first: int, words: _Words) -> _Found | None:
    """The words for a limit right before a figure, but for an article: "above the 880"."""
    stop = first
    while stop > begin:
        for length in range(min(4, stop - begin), 0, -1):
            said = tuple(token.word for token in tokens[stop - length : stop])
            if said in words.ahead:
                return stop - length, stop, words.ahead[said]
        if tokens[stop - 1].word not in words.fillers:
            return None
        stop -= 1
    return None


def _behind(
    tokens: Sequence[Token], after: int, end: int, taken: Collection[int], words: _Words
) -> _Found | None:
    """The first words for a limit behind a figure, none that stand before the next one."""
    end = min(end, after + _BEHIND)
    for start in range(after, end):
        for length in range(min(4, end - start), 0, -1):
            said = tuple(token.word for token in tokens[start : start + length])
            if said in words.behind and start + length not in taken:
                return start, start + length, words.behind[said]
    return None


def _since_last(words: Sequence[str], signs: Collection[str]) -> Sequence[str]:
    last = max((at for at, word in enumerate(words) if word in signs), default=-1)
    return words[last + 1 :]


def _force(
    ahead: Sequence[str],
    clause: Sequence[str],
    behind: Sequence[str],
    words: _Words,
    *,
    denied: bool,
    plain: bool,
) -> Force:
    """Whether a limit is asked for by the words before it and behind the figure."""
    case = _since_last(ahead, {","})
    steady = any(
        word in words.steady and not _has_subject(clause, at, words)
        for at, word in enumerate(clause)
    )
    asked = not words.orders.isdisjoint([*clause, *_until_comma(behind)])
    if not steady:
        if not words.conditions.isdisjoint(case):
            return Force.EXCUSED
        if not words.later.isdisjoint(behind):
            return Force.LATER
        warned = clause if asked else case
        if not words.warnings.isdisjoint([*warned, *_until_comma(behind)]):
            return Force.EXCUSED
    if denied and not words.undemanding.isdisjoint(clause):
        return Force.MENTIONED
    return Force.ORDERED if asked or plain or denied else Force.MENTIONED


def _has_subject(clause: Sequence[str], at: int, words: _Words) -> bool:
    """Whether a verb tells what something does: "if the revs stay above", "if you keep below"."""
    before = clause[at - 1] if at else ""
    return before in words.subjects or before.endswith("s")


def _until_comma(words: Sequence[str]) -> Sequence[str]:
    return words[: words.index(",")] if "," in words else words
