"""What each measurement weighs for a number said: by words near it, by step, by the figure's size.

The words near a mention count by how few measurements they may mean and how near they stand; a word
counts less for a mention when another one is nearer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, pairwise

from studio.said.agreeing import Verdict, agrees, may_agree, ratio_off
from studio.said.counting import USUAL_GRITS
from studio.said.finding import BEFORE_A_NUMBER, Mention
from studio.said.limits import unsaid
from studio.said.material import RANKS, Material, Meaning, Phrase, Possible, StepNames, stem
from studio.said.units import MM, OURS
from studio.said.vocabulary import trade_words
from studio.said.words import is_heard, tokens_of, word_set

WORDS = 2.0
STEP, GROUP, LISTED, OTHER_PART = 1.0, 0.4, -0.8, -0.7
SAME, ROUNDED, CLOSE, FAR, FARTHER, FARTHEST = 1.0, 0.6, 0.25, -0.3, -0.8, -2.0
PARTICULAR = 0.2
OWN, OWN_PARTICULAR, OWN_FROM = 0.3, 0.8, 0.9
AGAINST = 1.0
WEAK, MANY = 0.4, 12
ROW, OTHER_ROW = 1.5, -1.5
HEAD, NOT_HEAD = 0.8, -0.8
SUBJECT = 0.4
PART, NOT_PART = 0.4, -0.4
OTHER_DIRECTION = -1.2
"""What speaks for and against a measurement, in one scale (ours, by the labelled sentences)."""

TOLD = 0.55
"""From here on words alone tell what is meant (ours)."""

TIE = 0.15
"""Words and step that differ by less tell nothing (ours)."""

LEAD = 0.3
"""Who leads by less leads by nothing (ours)."""

LISTING = frozenset({",", "and", "then", "to", "or", "next", "finally", "up", "through"})
"""What stands between figures that are said one behind another."""

BY = (["by"], ["x"], ["×"], ["*"])
"""What stands between the two sizes of one thing."""

_OF_AN_INCH = frozenset({4, 8, 16, 32, 64})
_COARSEST = 80
"""Coarser papers are for shaping, not for a turned piece (common practice, no source)."""

_ACROSS, _ALONG, _DOWN = "across", "along", "down"
DIRECTIONS = {
    **dict.fromkeys(("wide", "width", "across", "thick", "widest", "thickest"), _ACROSS),
    **dict.fromkeys(("long", "length", "high", "height", "tall", "longest"), _ALONG),
    **dict.fromkeys(("deep", "depth", "deepest"), _DOWN),
}
"""Which way a size goes, by words as stems; what is deep may be called long, and never wide."""

_OF_ONE = word_set("a an the your my our this that with")
_SET_BY_DEPTH = word_set("stop flag tape mark")
"""Words before the size of a drill, and what it has at the depth of a hole:
"the 12 mm drill stop" (common practice, no source)."""

_POINTED = 0.4
"""What words count for where the thing is only pointed at: the picture tells which (ours)."""

_RUNS = (["to"], ["up", "to"], ["through", "to"], ["right", "up", "to"], ["down", "to"])
_POINTED_AT = frozenset({"bit", "end", "one", "place", "spot", "point", "part", "side"})

_RANKED = frozenset(
    map(stem, ("round", "mark", "set", "lot", "line", "cut", "limit", "pair", "corner"))
)
"""What is called first, second and third, as stems (common practice, no source)."""

_RANK_NEAR = 0.3
"""So near a rank has to stand to a figure that is of it (ours)."""

_REACH = 6.0
"""So many words away a word tells half as much (ours)."""

_MOST_WORDS = 1.6
"""Words tell no more than this together: many weak ones are no certainty (ours)."""

_BELONGS = 6
"""So many words behind a number may belong to it: "at the headstock" (ours)."""

_ELSEWHERE, _ANOTHERS = 6.0, 0.45
"""How much farther away a word stands that belongs to another number, and what is left of it for
those that are not the nearest (ours)."""

_TELLING = frozenset({"sides", "gauge", "swg"})
"""Units of which a design has so few figures that no other word has to tell which is meant. A
number alone ("number seven") may be a drill's or anything's."""

_BARE = frozenset({"count", "ordinal", "sides", "drill", "gauge", "swg", ""})
_STOPS = {",": 4.0, ";": 7.0, ":": 3.0, ".": 9.0, "!": 9.0, "?": 9.0, "-": 3.0, "–": 4.0, "—": 4.0}
_JOINTS = {"and": 3.0, "then": 4.0, "but": 5.0, "so": 4.0, "or": 3.0, "because": 5.0, "while": 4.0}
"""How far a sign or a joining word sets apart what stands on both its sides, in words (ours)."""

_ORDERS = word_set(
    "set mark turn cut drill open close take bring leave keep put sand glue part bend twist lay"
)
_OBJECTS = word_set("the a an your my our it them these")
"""What turners say to do, where a thing follows that it is done with: a clause begins."""

_APART = 2
"""So many signs may stand inside a phrase: "set-in" (ours)."""

_NUMBER_AWAY = 2.0
_SAID_OF = frozenset({":", "is", "are", "=", "of", "at", "to", "was", "be", "a", "the", "it's"})


@dataclass(frozen=True, slots=True)
class Weighed:
    """A measurement that a mention may mean, and what speaks for it.

    Attributes:
        meaning: the measurement.
        words: what the words near the mention say.
        step: what the step in hand says.
        size: what the figure itself says.
        verdict: right, rounded or wrong, if it is meant.
    """

    meaning: Meaning
    words: float
    step: float
    size: float
    verdict: Verdict

    @property
    def sum(self) -> float:
        """All of it."""
        return self.words + self.step + self.size


def is_particular(mention: Mention) -> bool:
    """Whether a figure is said so finely that it can hardly agree by chance.

    A hundred or more, a decimal other than a half, a sixteenth or finer.
    """
    value = mention.value
    if value.denominator == 1:
        return value >= 100
    return value.denominator in (16, 32, 64) or value.denominator % 5 == 0


def is_fine(mention: Mention) -> bool:
    """Whether it is said finer still: of inches no sixteenth, of which a design has many."""
    return is_particular(mention) and mention.value.denominator != 16


class Sizes:
    """Verdict and weight of a figure for every measurement that it may mean, kept for the next."""

    def __init__(self, material: Material):
        self._material = material
        self._known: dict[tuple[object, ...], list[tuple[Verdict, float]]] = {}

    def of(self, mention: Mention, possible: Possible) -> list[tuple[Verdict, float]]:
        """In the order of ``possible``'s measurements."""
        key = (mention.value, mention.high, mention.unit, mention.about)
        if key not in self._known:
            bench = self._material.bench
            found = []
            for meaning in possible.meanings:
                off = ratio_off(mention, meaning)
                verdict = Verdict.WRONG
                if may_agree(mention, meaning, off):
                    verdict = agrees(mention, meaning, bench)
                size = _by_size(verdict, off)
                if verdict is Verdict.RIGHT and is_fine(mention):
                    size += PARTICULAR
                found.append((verdict, size))
            self._known[key] = found
        return self._known[key]


def _by_size(verdict: Verdict, off: float) -> float:
    if verdict is Verdict.RIGHT:
        return SAME
    if verdict is Verdict.ROUNDED:
        return ROUNDED
    if off < 1.12:
        return CLOSE
    if off > 20:
        return FARTHEST
    if off > 4:
        return FARTHER
    return FAR if off > 2 else 0.0


class Talk:
    """One piece of talk and its mentions, as they are weighed."""

    def __init__(
        self,
        text: str,
        mentions: Sequence[Mention],
        step: StepNames | None,
        material: Material,
        sizes: Sizes,
    ):
        self.tokens = tokens_of(text)
        self.mentions = mentions
        self.step = step
        self.material = material
        self._sizes = sizes
        heard = trade_words().heard if is_heard(text) else {}
        self.stems = [stem(heard.get(token.word, token.word)) for token in self.tokens]
        # a named figure is a number and a word that tells what is meant, "the octagon's side"
        self.taken = {
            place
            for one in mentions
            if one.unit != "sides"
            for place in range(one.first, one.after)
        }
        self._bound = self._belonging()
        self._shares = self._shared_out([self._nearness(n) for n in range(len(mentions))])
        self._phrases = self._found_phrases()

    # where words stand

    def _belonging(self) -> dict[int, int]:
        """Words that follow a mention and belong to it: "at the headstock", "deep", "drill"."""
        found: dict[int, int] = {}
        for number, one in enumerate(self.mentions):
            if one.dated:
                continue  # a time or an episode's number is said of nothing behind it
            following = (
                self.mentions[number + 1].first
                if number + 1 < len(self.mentions)
                else len(self.tokens)
            )
            stop = min(following, one.after + _BELONGS)
            at = one.after
            while at < stop and not self._is_boundary(at):
                at += 1
            # the last words before the next number are its own: "mark six at the tail, mark
            # twelve", "up to four hundred"
            if at == following and number + 1 < len(self.mentions):
                at -= 1
                while at > one.after and self.tokens[at - 1].word in trade_words().function:
                    at -= 1
                found.update(dict.fromkeys(range(at, following), number + 1))
            for place in range(one.after, at):
                found[place] = number
        return found

    def _is_boundary(self, place: int) -> bool:
        token = self.tokens[place]
        if token.kind == "sign":
            return token.text not in ("-", "'", "/") or not token.glued
        return token.word in _JOINTS or self._is_order(place)

    def _is_order(self, place: int) -> bool:
        """Whether what is to be done begins here: "at thirty-six set the dividers"."""
        following = [token.word for token in self.tokens[place + 1 : place + 2]]
        return self.tokens[place].word in _ORDERS and bool(_OBJECTS.intersection(following))

    def _nearness(self, number: int) -> list[float]:
        """How near each token stands to a mention, 0 to 1."""
        one = self.mentions[number]
        costs = [0.0] * len(self.tokens)
        for step, start in ((-1, one.first - 1), (1, one.after)):
            cost = 0.0
            at = start
            while 0 <= at < len(self.tokens):
                token = self.tokens[at]
                if token.kind == "sign":
                    cost += _STOPS.get(token.text, 0.0)
                elif at in self.taken:
                    cost += _NUMBER_AWAY
                else:
                    cost += _JOINTS.get(token.word, 1.0)
                costs[at] = cost
                at += step
        near: list[float] = []
        for place in range(len(self.tokens)):
            cost = costs[place]
            owner = self._bound.get(place)
            if owner is not None:
                cost = cost / 2 if owner == number else cost + _ELSEWHERE
            near.append(1 / (1 + cost / _REACH))
        return near

    def _shared_out(self, nearness: list[list[float]]) -> list[list[float]]:
        """How much of each word's weight goes to each mention: little where another is nearer."""
        counted = [n for n, one in enumerate(self.mentions) if not one.dated]
        shares = []
        for number, near in enumerate(nearness):
            others = [nearness[other] for other in counted if other != number]
            best = [max(column) for column in zip(*others, strict=True)] if others else None
            if best is None:
                shares.append(near)
            else:
                shares.append(
                    [
                        mine if mine >= most else mine * _ANOTHERS
                        for mine, most in zip(near, best, strict=True)
                    ]
                )
        return shares

    def _found_phrases(self) -> list[tuple[Phrase, int, int]]:
        """Every run of words that is a phrase of some measurement, with its places."""
        words = [
            (place, self.stems[place])
            for place, token in enumerate(self.tokens)
            if token.kind == "word" and place not in self.taken
        ]
        found: list[tuple[Phrase, int, int]] = []
        known = self.material.known
        # how many stops stand before each token: none between two is their difference
        stops = [0, *accumulate(self._is_stop(place) for place in range(len(self.tokens)))]
        for begin, (first, word) in enumerate(words):
            for length in self.material.lengths.get(word, ()):
                run = words[begin : begin + length]
                last = run[-1][0]
                if (
                    len(run) < length
                    or last - first > length + _APART
                    or stops[first] < stops[last]
                ):
                    break
                phrase = tuple(word for _, word in run)
                if phrase in known:
                    found.append((phrase, first, last))
        return found

    def _is_stop(self, place: int) -> bool:
        """Whether a sign or a number of its own parts what stands on both its sides."""
        return place in self.taken or self.tokens[place].text in _STOPS.keys() - {"-"}

    # weighing

    def weighed(self, number: int) -> list[Weighed]:
        """The measurements that a mention may mean, the heaviest first.

        Left out is one for which no word, no step and no figure speaks.
        """
        mention = self.mentions[number]
        if mention.dated or (mention.unit and mention.unit not in OURS | _BARE):
            return []
        possible = self.material.possible(mention.unit)
        sizes = self._sizes.of(mention, possible)
        words = self._by_phrases(number, possible)
        thing = stem(trade_words().heard.get(mention.thing, mention.thing))
        subject = self._subject(number)
        parts = self._parts_named(number)
        bare, particular = mention.unit == "", is_particular(mention)
        run_end = self._end_of_papers(number)
        direction = self._direction(mention)
        called_wide = self._called_by_width(mention)
        rank = self.rank(number)
        unsaid_limits = self.unsaid_limits(number)
        found = []
        for place, meaning in enumerate(possible.meanings):
            verdict, size = sizes[place]
            said = words.get(place, 0.0)
            near = self.step.near.get(meaning.name, 0.0) if self.step is not None else 0.0
            named = subject in meaning.heads
            silent = not said and not near and not named and mention.unit not in _TELLING
            if verdict is Verdict.WRONG and (silent or (bare and _is_none_of(mention, meaning))):
                continue
            if meaning.name in unsaid_limits and (
                verdict is Verdict.WRONG or not self._names(near)
            ):
                continue
            called = mention.unit == "ordinal" and meaning.name in self.material.numbered
            if called and verdict is Verdict.WRONG:
                continue  # mark two is no slip for mark one
            if thing or mention.unit == "sides":
                said += _by_thing(mention, thing, meaning)
            against = _by_direction(direction, meaning)
            if called_wide:
                own = called_wide in meaning.heads and _directions(meaning) <= {_ACROSS}
                against = 0.0 if own else OTHER_DIRECTION
                said += HEAD if own else 0.0
            if bare and mention.sized and (against or not meaning.units & MM.keys()):
                continue  # "the eighteen hole" is so wide: no depth, no count and no percentage
            if against and self._is_of_a_drill(mention):
                continue  # "with a 12 mm drill" tells of no hole 12 mm deep
            said += against
            if named:
                said += HEAD if bare and subject in meaning.named else SUBJECT
            if mention.unit != "count":
                row = self._rows.get(meaning.name, 0.0)
                said += max(0.0, row) if called else row
            if verdict is Verdict.RIGHT and near >= OWN_FROM:
                size += OWN_PARTICULAR if particular else OWN
            if rank and _is_of_other_rank(rank, meaning):
                if verdict is Verdict.WRONG:
                    continue
                said += OTHER_ROW
            if run_end:
                said += ROW if run_end in meaning.label else OTHER_ROW
            step = self._by_step(meaning, near) + _by_part(parts, meaning)
            found.append(Weighed(meaning, said, step, size, verdict))
        return sorted(found, key=lambda one: -one.sum)

    def unsaid_limits(self, number: int) -> frozenset[str]:
        """Measurements that are limits of what a figure may mean, where no word for one is said."""
        return unsaid(self.tokens, self.mentions[number], self.taken)

    def _names(self, near: float) -> bool:
        """Whether the step in hand may mean what is so near to it; of no step nobody knows."""
        return self.step is None or near > 0

    def rank(self, number: int) -> str:
        """Which one of a row is spoken of, "third" in "the third marks"; empty for none or several.

        Such a word names what a figure is of, whatever else is called alike.
        """
        said = {self.tokens[place].word for place in self._ranks}
        if len(said) != 1:
            return ""
        near = any(self._shares[number][place] > _RANK_NEAR for place in self._ranks)
        return said.pop() if near else ""

    @cached_property
    def _ranks(self) -> tuple[int, ...]:
        """Where "first", "second" and "third" stand before what is called so, or behind "the"."""
        return tuple(
            place
            for place, token in enumerate(self.tokens)
            if token.word in RANKS and place not in self.taken
            and (
                _RANKED & set(self.stems[place + 1 : place + 3])
                or (place and self.tokens[place - 1].word == "the")
            )
        )  # fmt: skip

    def _direction(self, mention: Mention) -> str:
        """Which way a size goes, by the word behind it: "7 mm deep", "7 mm wide", "the 7 hole"."""
        if mention.sized or self._is_of_a_drill(mention):
            return _ACROSS
        if mention.unit and mention.unit not in MM:
            return ""
        return DIRECTIONS.get("".join(self.stems[mention.after : mention.after + 1]), "")

    def _is_of_a_drill(self, mention: Mention) -> bool:
        """Whether a size with its unit is called a drill's: "with a 12 mm drill"."""
        ahead = self.tokens[mention.first - 1].word if mention.first else ""
        behind = [token.word for token in self.tokens[mention.after : mention.after + 2]]
        thing, further = (*behind, "", "")[:2]
        called = ahead in _OF_ONE or mention.written.lower().startswith(("a ", "an "))
        is_deep = further in DIRECTIONS.keys() | _SET_BY_DEPTH
        return mention.unit in MM and called and thing in trade_words().drills and not is_deep

    def goes_otherwise(self, number: int, meaning: Meaning) -> bool:
        """Whether the word right behind a figure tells of another way than a measurement's."""
        return _by_direction(self._direction(self.mentions[number]), meaning) < 0

    def _called_by_width(self, mention: Mention) -> str:
        """What a size right before it is the width of, "1/4 in grooves"; empty for nothing."""
        behind = "".join(self.stems[mention.after : mention.after + 1])
        size = mention.unit in MM or (mention.unit == "" and mention.value.denominator > 1)
        return behind if size and behind in trade_words().wide else ""

    def _by_phrases(self, number: int, possible: Possible) -> dict[int, float]:
        """What the words near a mention say for measurements, and against them."""
        shares = self._shares[number]
        weak = self.material.weak if possible.talked > MANY else frozenset()
        told: dict[int, dict[int, float]] = {}
        against: dict[int, float] = {}
        for phrase, begin, end in self._phrases:
            near = (shares[begin] + shares[end]) / 2
            for place in possible.against.get(phrase, ()):
                against[place] = max(against.get(place, 0.0), near)
            length = end - begin + 1
            weight = near * possible.rarity.get(phrase, 1.0) * (1 + 0.5 * (length - 1)) / length
            if all(word in weak for word in phrase) and (length == 1 or phrase[0] == "down"):
                weight *= WEAK
            for place in possible.told.get(phrase, ()):
                share = told.setdefault(place, {})
                for at in range(begin, end + 1):
                    share[at] = max(share.get(at, 0.0), weight)
        counts = WORDS * (_POINTED if self.points(number) else 1.0)
        found = {
            place: counts * min(_MOST_WORDS, sum(share.values())) for place, share in told.items()
        }
        for place, near in against.items():
            found[place] = found.get(place, 0.0) - AGAINST * near
        return found

    def _end_of_papers(self, number: int) -> str:
        """Whether a paper is the first or the last of "from P150 to P320"; empty for neither."""
        for first, said in ((number, "first"), (number - 1, "last")):
            if not 0 <= first < len(self.mentions) - 1:
                continue
            one, two = self.mentions[first : first + 2]
            papers = all(m.value in USUAL_GRITS and m.unit in ("grit", "") for m in (one, two))
            between = [token.word for token in self.tokens[one.after : two.first]]
            if papers and "grit" in (one.unit, two.unit) and between in _RUNS:
                return said
        return ""

    def _subject(self, number: int) -> str:
        """The word that a figure is said of, "coats" in "coats: six"; empty when there is none."""
        at = self.mentions[number].first - 1
        while at >= 0 and self.tokens[at].word in _SAID_OF:
            at -= 1
        return "" if at < 0 or at in self.taken else self.stems[at]

    def points(self, number: int) -> bool:
        """Whether what is meant is only pointed at: "a quarter here", "at that end"."""
        one = self.mentions[number]
        behind = [token.word for token in self.tokens[one.after : one.after + 3]]
        if behind[:1] and behind[0] in ("here", "there"):
            return True
        behind = [token.word for token in self.tokens[one.after : one.after + 4]]
        return any(a in ("this", "that") and b in _POINTED_AT for a, b in pairwise(behind))

    def _by_step(self, meaning: Meaning, near: float) -> float:
        weight = LISTED if meaning.listed else 0.0
        away = meaning.part and stem(meaning.part) not in self._words
        if self.step is None:
            return weight + (NOT_PART if away else 0.0)
        if meaning.part and self.step.part and meaning.part != self.step.part:
            weight += OTHER_PART
        if away and not self.step.part and not near:
            weight += OTHER_PART
        if near:
            return weight + STEP * near
        mine = bool(meaning.part) and meaning.part == self.step.part
        if mine or meaning.name.partition(".")[0] in self.step.groups:
            return weight + GROUP
        return weight

    @cached_property
    def _words(self) -> frozenset[str]:
        return frozenset(self.stems)

    def _parts_named(self, number: int) -> frozenset[str]:
        """Turned parts that are named near a figure."""
        parts = self.material.parts & self._words
        if not parts:
            return parts
        shares = self._shares[number]
        return frozenset(
            word for place, word in enumerate(self.stems) if word in parts and shares[place] > 0.4
        )

    @cached_property
    def _rows(self) -> dict[str, float]:
        """Rows of schedules whose first cell is named here ("groove 2"), and their sisters."""
        said = [one for one in self.mentions if one.unit == "ordinal"]
        if not said:
            return {}
        weights: dict[str, float] = {}
        any_here = False
        for row in self.material.rows:
            head = self.material.by_name.get(row[0]) if row else None
            if head is None or not any((word,) in head.phrases for word in self._words):
                continue
            here = any((one.value, "") in head.printed and self._heads(one, head) for one in said)
            any_here = any_here or here
            for name in row:
                if here or name not in weights:
                    weights[name] = ROW if here else OTHER_ROW
        return weights if any_here else {}

    def _heads(self, one: Mention, head: Meaning) -> bool:
        """Whether a mention stands beside the row's own name: "groove number three"."""
        at = one.first - 1
        while at > 0 and self.tokens[at].text.lower() in BEFORE_A_NUMBER:
            at -= 1
        beside = [*self.stems[max(0, at) : at + 1], *self.stems[one.after :][:1]]
        return any((word,) in head.phrases for word in beside)


def _is_of_other_rank(rank: str, meaning: Meaning) -> bool:
    """Whether a measurement is of the second where the third is spoken of, or of the first."""
    return meaning.rank not in ("", rank) or (stem(rank),) in meaning.against


def _is_none_of(mention: Mention, meaning: Meaning) -> bool:
    """Whether a bare figure can be no slip for one: no paper is so coarse, no count is so cut up.

    A half may be a decimal that slipped in ("2.5"); quarters and less are of an inch.
    """
    if meaning.units == {"grit"}:
        return mention.value < _COARSEST
    counts = meaning.units == {""} and all(number.denominator == 1 for number, _ in meaning.printed)
    return counts and mention.value.denominator in _OF_AN_INCH


def _by_direction(said: str, meaning: Meaning) -> float:
    """What "deep", "wide" or "long" behind a figure says against a size in another direction."""
    named = _directions(meaning)
    if not named and "drill" in meaning.label:
        named = {_ACROSS}
    if not said or len(named) != 1 or said in named:
        return 0.0
    return OTHER_DIRECTION if _ACROSS in {said, *named} else 0.0


def _directions(meaning: Meaning) -> set[str]:
    return {DIRECTIONS[word] for word in meaning.label if word in DIRECTIONS}


def _by_thing(mention: Mention, thing: str, meaning: Meaning) -> float:
    """Of a count or position: whether that which is counted is what the measurement counts."""
    if mention.unit == "sides":
        return HEAD if "sides" in meaning.units else 0.0
    if thing in meaning.heads:
        return HEAD
    return 0.0 if (thing,) in meaning.phrases else NOT_HEAD


def _by_part(named: Iterable[str], meaning: Meaning) -> float:
    """Where a part is named near the figure it is rather of that part."""
    if not named:
        return 0.0
    return PART if meaning.part and stem(meaning.part) in named else NOT_PART
