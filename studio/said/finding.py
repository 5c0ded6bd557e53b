"""Every number of a piece of talk: where it stands, what it says, in which unit.

One pass over the tokens from left to right. At each place the longest reading wins: idioms first,
then figures with a sign or word before them (a drill's number, a paper's grit, "mark six"), then
plain amounts with what stands behind them.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from studio.measure.number_words import HUNDRED, ONES, ORDINALS, TENS, THOU, THOUSAND
from studio.said.amounts import BEGINNINGS, Amount, Reader, is_counted
from studio.said.approximations import ADJECTIVES, about_of
from studio.said.counting import HALF_COUNTED, IN_ALL, ORDERED, USUAL_GRITS, Counting
from studio.said.dates import is_dated, is_year
from studio.said.figures import ENDINGS, MOST_PIECES, figure_at
from studio.said.lumber import board_at
from studio.said.one_unit import behind_vague, states_one, unit_with_article
from studio.said.units import MONEY, SaidUnit, unit_at
from studio.said.vocabulary import trade_words
from studio.said.words import is_heard, tokens_of, word_set


@dataclass(frozen=True, slots=True)
class Mention:
    """One number said: ``text[start:stop]``.

    Attributes:
        start: where it begins in the text.
        stop: where it ends, its unit included.
        written: the span as it stands.
        value: exact; of a range its lower end.
        high: a range's upper end, None for a single figure.
        unit: ``mm cm in deg rpm percent gauge swg grit drill sides count ordinal min h day ml g``
            or another that no design prints (``€``, ``hp``); empty when none was said.
        about: ``near``, ``under`` or ``over`` when an approximating word says so, else empty.
        first: number of its first token.
        after: number of the token behind its last.
        words: whether it is said in words rather than figures.
        dated: whether it is a date, a clock time, an age or the number of an episode.
        thing: of a count or position the word for what is counted ("grooves"), else empty.
        sized: of a bare figure or a drill the noun behind it whose size it is ("hole"), else empty.
    """

    start: int
    stop: int
    written: str
    value: Fraction
    high: Fraction | None
    unit: str
    about: str
    first: int
    after: int
    words: bool = False
    dated: bool = False
    thing: str = ""
    sized: str = ""


def find_mentions(text: str) -> tuple[Mention, ...]:
    """Every number mention of ``text``, in order and without overlap.

    >>> [(m.written, m.unit) for m in find_mentions("Half an inch, on a #51 drill at 30°.")]
    [('Half an inch', 'in'), ('#51', 'drill'), ('30°', 'deg')]
    """
    return Reading.of(text).mentions


@dataclass(frozen=True, slots=True)
class Reading:
    """The mentions of a text, and where they could be read otherwise.

    Attributes:
        mentions: in order and without overlap.
        seams: where a whole number has a fraction behind it: the number's first token, and the
            token behind the fraction.
        run_together: first token of each mixed number that has no "and" between its two figures.
    """

    mentions: tuple[Mention, ...]
    seams: Mapping[int, int]
    run_together: Collection[int]

    @staticmethod
    def of(text: str, turned: Collection[int] = ()) -> Reading:
        """The likeliest reading, but for the seams that are turned.

        Args:
            text: the talk.
            turned: seams at which one number is read as two, or two as one.
        """
        return _read(text, frozenset(turned))


@lru_cache(maxsize=8)
def _read(text: str, turned: frozenset[int]) -> Reading:
    """A reading, kept for whoever judges it step by step."""
    finder = Finder(text, turned)
    seams = finder.read.seams
    return Reading(finder.all(), seams.met, seams.run_together)


class Finder:
    """Finds the mentions of one text."""

    def __init__(self, text: str, turned: Collection[int] = ()):
        self.text = text
        self.tokens = tokens_of(text)
        self.heard = is_heard(text)
        self._figure_ends = [
            place for place, token in enumerate(self.tokens)
            if token.kind == "word" and token.word.removesuffix("'s").endswith(ENDINGS)
        ]  # fmt: skip
        self.read = Reader(self.tokens, heard=self.heard, turned=turned)
        self.counting = Counting(self.read)

    def all(self) -> tuple[Mention, ...]:
        """All mentions in order."""
        return tuple(self._with_prices(list(self._found())))

    def _found(self) -> Iterator[Mention]:
        place = 0
        before: Mention | None = None
        while place < len(self.tokens):
            if not self._may_begin(place):
                place += 1
                continue
            idiom = self._idiom(place)
            if idiom:
                place = idiom
                continue
            found = self._mention(place, before)
            if found is None:
                place += 1
                continue
            yield found
            before = found
            place = max(found.after, place + 1)

    def _may_begin(self, place: int) -> bool:
        """Whether a number or an idiom with one can begin here; most words of talk are neither."""
        token = self.tokens[place]
        if token.kind != "word" or token.word in _BEGINNINGS or token.word in trade_words().idioms:
            return True
        return any(place <= end < place + MOST_PIECES for end in self._figure_ends)

    # ways in which a number may begin

    def _idiom(self, place: int) -> int:
        """The token behind an idiom that begins at ``place``; 0 when none does."""
        if vague := behind_vague(self.read, place):
            return vague
        for words in trade_words().idioms.get(self._word(place), ()):
            after = place + len(words)
            counts = words[0] == "take" and is_counted(self._word(after))  # "take five strands"
            if self._stands(place, words) and not counts:
                return after
        return 0

    def _stands(self, place: int, words: Sequence[str]) -> bool:
        return self.read.stands(place, words)

    def _word(self, place: int) -> str:
        return self.read.word(place)

    def _mention(self, place: int, before: Mention | None) -> Mention | None:
        if self._is_named_by(place):
            return None
        figure = figure_at(self.tokens, place, heard=self.heard)
        if figure is not None:
            return self._made(place, figure[1], Fraction(figure[0]), "sides", words=True)
        return (
            self._clock(place)
            or self._money(place)
            or self._named(place, before)
            or self._numbered(place)
            or self._paper(place)
            or self._prefixed(place)
            or self._ordinal(place)
            or self._placed(place, before)
            or self._rounds_of(place)
            or self._inch_and(place)
            or self._one_unit(place)
            or self._grit_by_sound(place, before)
            or self._grit_of_run(place, before)
            or self._amount(place, before)
        )

    def _is_named_by(self, place: int) -> bool:
        """Whether this is the figure of "2nd mark" or "3rd round", a name that counts nothing."""
        after = self._word(place + 1)
        return (
            self.tokens[place].text.isdigit()
            and after in ("st", "nd", "rd", "th")
            and self.tokens[place + 1].glued
            and self._ordinal(place) is None
        )

    def _made(
        self,
        first: int,
        after: int,
        value: Fraction,
        unit: str,
        *,
        high: Fraction | None = None,
        words: bool = False,
        dated: bool = False,
        thing: str = "",
    ) -> Mention:
        start, stop = self.tokens[first].start, self.tokens[after - 1].stop
        about = about_of(self.read, first, after)
        written = self.text[start:stop]
        return Mention(
            start, stop, written, value, high, unit, about, first, after, words, dated, thing
        )

    def _clock(self, place: int) -> Mention | None:
        """``9:30``, ``half past three``: one figure, and none of the piece's."""
        token = self.tokens[place]
        if token.kind == "number" and token.text.isdigit() and len(token.text) <= 2:
            minutes = self.tokens[place + 2] if place + 2 < len(self.tokens) else None
            if (
                self._word(place + 1) == ":"
                and self.tokens[place + 1].glued
                and minutes is not None
                and minutes.glued
                and re.fullmatch(r"\d\d", minutes.text)
            ):
                value = Fraction(int(token.text)) + Fraction(int(minutes.text), 60)
                return self._made(place, place + 3, value, "", dated=True)
        return self._spoken_clock(place)

    def _spoken_clock(self, place: int) -> Mention | None:
        """``half past four``, ``a quarter to nine``, ``ten past four``."""
        at = place + 1 if self._word(place) in ("a", "an") else place
        word = self._word(at)
        if word in _PARTS_OF_HOUR:
            minutes, after = _PARTS_OF_HOUR[word], at + 1
        else:
            amount = self.read.at(place)
            if amount is None or not amount.whole or amount.heard or not 0 < amount.value < 30:
                return None
            minutes, after = int(amount.value), amount.after
            after += self._word(after) in ("minutes", "minute")
        joint = self._word(after)
        hour = self.read.at(after + 1) if joint in ("past", "to", "till") else None
        if hour is None or not hour.whole or hour.joined or not 1 <= hour.value <= 12:
            return None
        if unit_at(self.tokens, hour.after, digits=hour.digits) or self.counting.thing_of(hour):
            return None
        asked = self._word(hour.after) in ("o'clock", "oclock", "am", "pm")
        told = self._word(place - 1) in _TOLD_TIME
        if joint != "past" and not (asked or (told and minutes > hour.value)):
            return None  # "ten to twelve" is a range
        value = hour.value + Fraction(minutes if joint == "past" else -minutes, 60)
        return self._made(place, hour.after, value, "", words=not hour.digits, dated=True)

    def _named(self, place: int, before: Mention | None) -> Mention | None:
        """``M33``, ``MT2``, ``'94``, ``8/4 cherry``: sizes, threads, years and boards by name."""
        if board := board_at(self.tokens, place):
            quarters = Fraction(int(self._word(place)), 4)
            return self._made(place, board, quarters, "", dated=True)
        if place and self.tokens[place].kind == "number" and self._is_name(place):
            value = Fraction(self.tokens[place].text.replace(",", ""))
            return self._made(place, place + 1, value, "", dated=True)
        amount = self.read.at(place)
        if amount is None or amount.lone:
            return None
        tapered = self._word(amount.after) in _TAPERS or (
            self._stands(place - 2, ("m", "t")) or self._word(place - 1) in ("mt", *_TAPERS)
        )
        pitch = (
            before is not None and before.dated and not before.unit
            and place - before.after == 1 and self._word(place - 1) in ("x", "by", "×")
        )  # fmt: skip
        money = before is not None and before.unit in MONEY and before.after == place
        if not (tapered or pitch or money):
            return None
        return self._made(
            place, amount.after, amount.value, "", words=not amount.digits, dated=True
        )

    def _is_name(self, place: int) -> bool:
        """Whether figures belong to a name that letters begin: "M33", "WD-40", "'94"."""
        token, last = self.tokens[place], self.tokens[place - 1]
        if not token.glued:
            return False
        if last.text in ("'", "’", "‘"):
            return token.text.isdigit() and len(token.text) == 2 and not last.glued
        if last.text == "-" and last.glued and place > 1:
            last = self.tokens[place - 2]
        return last.kind == "word" and last.text.isupper() and last.text not in _NO_NAMES

    def _money(self, place: int) -> Mention | None:
        sign = self.tokens[place].text
        if sign not in MONEY or place + 1 >= len(self.tokens):
            return None
        amount = self.read.at(place + 1)
        if amount is None or sign.isalpha():
            return None
        return self._made(place, amount.after, amount.value, sign, dated=True)

    def _numbered(self, place: int) -> Mention | None:
        """``#51``, ``No. 44``, ``number fifty-one``: a number drill, where nothing else has one."""
        word = self._word(place)
        at = place + 1
        if word == "no" and self._word(at) == "." and self.tokens[at].glued:
            at += 1
        elif word not in ("#", "number", "numbers", "№", "no"):
            return None
        elif word == "no" and (self.heard or self._word(at + 1) not in ("drill", "bit")):
            return None  # "seventeen, no, sixteen"
        if self._word(place - 1) in _NUMBERED:
            return None
        amount = self.read.at(at)
        if amount is None or not amount.whole or amount.lone:
            return None
        thing = self._word(amount.after)
        if amount.value > _MOST_DRILLS and not self._is_slip_of_drill(place, amount):
            return None
        if thing in _PLACED and not thing.endswith("s"):
            return self._made(
                amount.first, amount.after, amount.value, "ordinal",
                words=not amount.digits, thing=thing,
            )  # fmt: skip
        if is_counted(thing) and not self.counting.sized(amount):
            return None  # "number four holes": a number of them
        if unit_at(self.tokens, amount.after, digits=amount.digits) is not None:
            return None  # "number twenty gauge"
        if self._word(amount.after) in _TAPERS:
            return self._made(
                amount.first, amount.after, amount.value, "", words=not amount.digits, dated=True
            )
        if self._word(amount.after) == "of" and self.read.at(amount.after + 1) is not None:
            return self._made(
                amount.first, amount.after, amount.value, "ordinal", words=not amount.digits
            )  # "number three of six"
        if self._word(amount.after) in ("in", "of") and self._word(amount.after + 2) in _SERIES:
            return self._made(
                amount.first, amount.after, amount.value, "", words=not amount.digits, dated=True
            )
        made = self._made(place, amount.after, amount.value, "drill", words=not amount.digits)
        return replace(made, sized=self.counting.sized(amount))

    def _is_slip_of_drill(self, place: int, amount: Amount) -> bool:
        """Whether too high a number is a drill's all the same: "drill a number 161", "the #161"."""
        around = {self._word(place - 2), self._word(place - 1), self._word(amount.after)}
        signed = self._word(place) == "#" and amount.value not in USUAL_GRITS
        return signed or bool(around & trade_words().drills)

    def _paper(self, place: int) -> Mention | None:
        """``P180``, ``p one fifty``, ``CAMI 180``."""
        word = self._word(place)
        if word not in ("p", "cami", "pee"):
            return None
        at = self.read.skip(place + 1)
        amount = self.read.at(at) or self._sounded(at)
        if amount is None or not amount.whole or not 16 <= amount.value <= 10_000:
            return None
        if word == "pee" and not amount.joined:
            return None
        unit = unit_at(self.tokens, amount.after, digits=amount.digits)
        after = unit.after if unit is not None and unit.name == "grit" else amount.after
        return self._made(place, after, amount.value, "grit", words=not amount.digits)

    def _prefixed(self, place: int) -> Mention | None:
        """``AWG 22``, ``gauge 22``, ``grit two-forty``: the unit before the number."""
        unit = {"awg": "gauge", "swg": "swg", "gauge": "gauge", "grit": "grit"}.get(
            self._word(place)
        )
        if unit is None:
            return None
        amount = self.read.at(place + 1)
        if amount is None or not amount.whole or amount.lone:
            return None
        behind = unit_at(self.tokens, amount.after, digits=amount.digits)
        if behind is not None or (unit == "grit" and amount.value < 16):
            return None
        if self.counting.thing_of(amount):
            return None  # "20 gauge, four strands"
        return self._made(place, amount.after, amount.value, unit, words=not amount.digits)

    def _ordinal(self, place: int) -> Mention | None:
        """``the third groove``, ``every fourth stop``: a position that counts something."""
        token, word = self.tokens[place], self._word(place)
        after = place + 1
        if word in ORDINALS[1:]:
            value = ORDINALS.index(word)
        elif (
            word == "other"
            and self._word(place - 1) == "every"
            and (self._word(after).removesuffix("s") in _ON_THE_PLATE)
        ):
            value = 2
        elif word in _TENTHS:
            value = 10 * _TENTHS.index(word)
        elif word in TENS and (compound := self._compound_ordinal(place)) is not None:
            value, after = compound
        elif (
            token.text.isdigit()
            and after < len(self.tokens)
            and self.tokens[after].glued
            and self._word(after) in ("st", "nd", "rd", "th")
        ):
            value, after = int(token.text), after + 1
        else:
            return None
        thing, dated = self._word(after), is_dated(self.read, place, after)
        every = self._word(place - 1) in ("every", "each") and is_counted(thing)
        if self._word(place - 1) == "every" and not every and value > 1:
            # "the plate has sixty stops, and we use every fifth"
            thing = "stop" if _STOPS & {token.word for token in self.tokens} else ""
            every = bool(thing) and self._word(after) not in ("time", "turn", "year", "day", "week")
        groove = thing in ORDERED and (value > 1 or self._word(after + 1) == "of")
        if not groove and value > _ROUNDS and thing != "time" and is_counted(thing):
            groove = True  # "the ninth mark", "my fourth strand"
        if not groove and value > 1 and thing == "of" and self._word(place - 1) in ("the", "is"):
            thing = self._of_all(after + 1)  # "the fourth of the six grooves"
            groove = thing in ORDERED
        if not groove and value > _ROUNDS and thing == "one" and self._word(place - 1) == "the":
            groove, thing = True, ""
        if not (every or groove or dated):
            return None
        return self._made(
            place, after, Fraction(value), "ordinal" if not dated else "",
            words=not token.text.isdigit(), dated=dated, thing="" if dated else thing,
        )  # fmt: skip

    def _of_all(self, place: int) -> str:
        """What is counted by the number behind "of" or "of the"; empty when none stands there."""
        at = place + 1 if self._word(place) in ("the", "our", "these") else place
        amount = self.read.at(at)
        return self.counting.thing_of(amount).removesuffix("s") if amount is not None else ""

    def _compound_ordinal(self, place: int) -> tuple[int, int] | None:
        rest = self.read.skip(place + 1)
        word = self._word(rest)
        if word in ORDINALS[1:10] and is_counted(self._word(rest + 1)):
            return 10 * TENS.index(self._word(place)) + ORDINALS.index(word), rest + 1
        return None

    def _placed(self, place: int, before: Mention | None) -> Mention | None:
        """``mark six``, ``groove 2``, and the further ones of "marks 3 and 9"."""
        row = (
            self.heard and before is not None and before.after == place
            and before.unit == "ordinal" and before.thing.endswith("s")
        )  # fmt: skip
        named = self._named_before(place) in _PLACED
        if not named and not row and not self._continues_places(place):
            return None
        amount = self.read.at(place)
        if amount is None and self.heard:
            amount = self.counting.place_by_sound(place)
        if amount is None or not amount.whole or amount.joined or amount.value > 360:
            return None
        unit = unit_at(self.tokens, amount.after, digits=amount.digits)
        follows = self._word(self.read.skip(amount.after))
        if unit is not None or (self.counting.thing_of(amount) and follows not in _PLACED):
            return None
        # "mark 6 both ways" is a setting, "mark 6 in the cup" a place: only small whole numbers
        # without a unit are places, and a verb's object is followed by where to mark it
        if self._word(amount.after) in ("both", "either", "each", "from", "apart"):
            return None
        if any(self._stands(amount.after, words) for words in _OF_A_WHOLE):
            return None  # "groove one, four more to go, five in all"
        return self._made(
            place, amount.after, amount.value, "ordinal",
            words=not amount.digits, thing=self._place_named(place),
        )  # fmt: skip

    def _place_named(self, place: int) -> str:
        """What the positions before ``place`` are of: "marks" in "marks 3 and 9"."""
        at = place - 1
        while at >= 0 and self._word(at) not in _PLACED:
            at -= 1
        return self._word(at) if at >= 0 else ""

    def _named_before(self, place: int) -> str:
        """The word before a number, "number", "no." and "#" passed over."""
        at = place - 1
        while self._word(at) in BEFORE_A_NUMBER:
            at -= 1
        return self._word(at)

    def _continues_places(self, place: int) -> bool:
        """Whether "and 11 at the point" goes on with the marks named before it."""
        joint = self._word(place - 1)
        if joint not in ("and", "to", ",", "or", "&", "through", "thru", "till"):
            return False
        at = place - 2
        steps = 0
        while at >= 0 and steps < 6:
            word = self._word(at)
            if word in (".", ";", "!", "?"):
                return False
            if word in _PLACED:
                number = self.read.at(at + 1) or (
                    self.counting.place_by_sound(at + 1) if self.heard else None
                )
                if number is None or not number.whole:
                    return False
                behind = unit_at(self.tokens, number.after, digits=number.digits)
                return behind is None and number.after <= place - 1
            at, steps = at - 1, steps + 1
        return False

    def _rounds_of(self, place: int) -> Mention | None:
        """``go round in fives``."""
        if self._word(place - 1) not in ("in", "by"):
            return None
        value = _PLURALS.get(self._word(place))
        return (
            None
            if value is None
            else self._made(place, place + 1, Fraction(value), "count", words=True, thing="stops")
        )

    def _inch_and(self, place: int) -> Mention | None:
        """``an inch and a quarter``, ``inch and a half``: the unit in the middle."""
        at = place + 1 if self._word(place) in ("a", "an", "one") else place
        unit = unit_at(self.tokens, at, digits=False)
        if unit is None and self._word(at) in HALF_COUNTED and self._stands(at + 1, _AND_A_HALF):
            # "a turn and a half": the number alone, which stands on both sides of what it counts
            stop = at + 1 + len(_AND_A_HALF)
            return self._made(place, stop, Fraction(3, 2), "count", words=True)
        if unit is None:
            return None
        if unit.name in _HALVED and self.read.joins(unit.after):
            part = self.read.at(unit.after + 1)
            if part is not None and 0 < part.value < 1:
                return self._made(place, part.after, 1 + part.value, unit.name, words=True)
        if at > place and (part := self._part_at_once(unit)) is not None:
            return self._made(place, part.after, 1 + part.value, unit.name, words=True)
        return None

    def _one_unit(self, place: int) -> Mention | None:
        """``an inch``, ``a millimetre``, ``an hour``: the article says how many."""
        unit = unit_with_article(self.read, place)
        if unit is None or not states_one(self.read, place, unit):
            return None
        name = "ml" if self._is_liquid(place + 1, unit.after) else unit.name
        return self._made(place, unit.after, Fraction(1), name, words=True)

    def _sounded(self, place: int) -> Amount | None:
        """``to twenty`` for two hundred and twenty."""
        if not self.heard or self._word(place) not in ("to", "too", "for", "fore"):
            return None
        tens = self.read.at(place + 1)
        if tens is None or not tens.whole or tens.joined or not 10 <= tens.value <= 99:
            return None
        large = {"t": 200, "f": 400}[self._word(place)[0]] + tens.value
        return Amount(large, place, tens.after, joined=True, heard=1)

    def _grit_by_sound(self, place: int, before: Mention | None) -> Mention | None:
        """``then to twenty then three twenty``: papers named one behind another.

        "To" is two only where a paper was named before it, a step to the next one begins, and the
        number read so is a usual grit.
        """
        amount = self._sounded(place)
        if amount is None or amount.value not in USUAL_GRITS:
            return None
        starts = self._word(place - 1) in _PAPER_STARTS
        sequence = before is not None and (
            before.unit == "grit" or (before.unit == "" and before.value in USUAL_GRITS)
        )
        unit = unit_at(self.tokens, amount.after, digits=False)
        if unit is not None and unit.name == "grit":
            return self._made(place, unit.after, amount.value, "grit", words=True)
        if unit is not None or not (starts and sequence):
            return None
        return self._made(place, amount.after, amount.value, "", words=True)

    def _grit_of_run(self, place: int, before: Mention | None) -> Mention | None:
        """The first of papers that run into one another: "one twenty one eighty two forty"."""
        run = self._grit_run(place)
        goes_on = before is not None and before.after == place and before.value in USUAL_GRITS
        if run is None or not (len(run) > 1 or goes_on):
            return None
        if not goes_on and self._leads_to_a_thousand(place):
            return None
        value, after = run[0]
        if goes_on and before is not None and value <= before.value:
            return None
        unit = unit_at(self.tokens, after, digits=False)
        grit = unit is not None and unit.name == "grit"
        return self._made(
            place, unit.after if grit and unit is not None else after, Fraction(value),
            "grit" if grit else "", words=True,
        )  # fmt: skip

    def _leads_to_a_thousand(self, place: int) -> bool:
        """Whether "to" stands before one large number: "up to twenty-five hundred" is no 220, 500.

        No paper was named before it, and who names papers begins with one, not with "to".
        """
        if self._word(place) not in _LEADING:
            return False
        behind = self.read.at(place + 1)
        return behind is not None and behind.whole and not behind.digits and behind.value >= 1000

    def _grit_run(self, place: int, least: int = 0) -> list[tuple[int, int]] | None:
        """Usual grits, each finer than the one before, up to the end of the number words there.

        Each with the token behind it; None where they cannot be read so.
        """
        first = self.read.one_at(place)
        behind = self._word(place + 1)
        tens = 10 * TENS.index(behind) if behind in TENS[2:] else 0
        choices = []
        if self._word(place) in ("a", "one") and behind == HUNDRED:
            at = place + 3 if self._word(place + 2) == "and" else place + 2
            more = 10 * TENS.index(self._word(at)) if self._word(at) in TENS[2:] else 0
            if more:
                choices.append((100 + more, at + 1))
            elif self._word(place) == "a":
                choices.append((100, place + 2))
        if first and behind == HUNDRED:
            choices.append((100 * first, place + 2))
        if 0 < first < 10 and tens:
            choices.append((100 * first + tens, place + 2))
        if self._word(place) in TENS[2:]:
            choices.append((10 * TENS.index(self._word(place)), place + 1))
        for value, after in choices:
            if value <= least or value not in USUAL_GRITS or self.read.is_part(after - 1):
                continue  # "three sixty-fourths" is no paper
            if not self.read.is_number_word(after):
                return [(value, after)]
            rest = self._grit_run(after, value)
            if rest is not None:
                return [(value, after), *rest]
        return None

    # plain amounts

    def _amount(self, place: int, before: Mention | None) -> Mention | None:
        amount = self.read.at(place)
        if amount is None:
            return self._couple(place)
        span = self._range(amount)
        if span is not None:
            return span
        unit = self._unit_behind(amount)
        if unit is None and self._is_talk(amount):
            return None
        return self._measured(amount, unit)

    def _couple(self, place: int) -> Mention | None:
        """``a couple of millimetres``: two, where a unit follows."""
        at = place + 1 if self._word(place) == "a" else place
        if not self._stands(at, ("couple", "of")):
            return None
        if self._word(at + 2) == THOU:
            made = self._made(place, at + 3, Fraction(2, 1000), "in", words=True)
            return replace(made, about="near")
        unit = unit_at(self.tokens, at + 2, digits=False)
        if unit is None or unit.name in ("min", "h", "day", "year", "week", "month", "s"):
            return None
        made = self._made(place, unit.after, Fraction(2), unit.name, words=True)
        return replace(made, about="near")

    def _measured(self, amount: Amount, unit: SaidUnit | None) -> Mention:
        words = not amount.digits
        if amount.thou:
            after = unit.after if unit is not None and unit.name == "in" else amount.after
            return self._made(amount.first, after, amount.value, "in", words=words)
        if unit is not None and unit.name in _HALVED and amount.whole:
            more = self._and_part(unit.after) or self._part_at_once(unit)
            if more is not None:
                value = amount.value + more.value
                return self._made(amount.first, more.after, value, unit.name, words=words)
        if unit is not None:
            dated = unit.name in MONEY or unit.name in _AGES
            return self._made(
                amount.first, unit.after, amount.value, unit.name, words=words, dated=dated
            )
        dated = is_dated(self.read, amount.first, amount.after) or is_year(self.read, amount)
        if not dated and self.counting.is_place(amount):
            thing = self._word(self.read.skip(amount.after))
            return self._made(
                amount.first, amount.after, amount.value, "ordinal", words=words, thing=thing
            )
        thing = "" if dated else self.counting.thing_of(amount)
        made = self._made(
            amount.first, amount.after, amount.value, "count" if thing else "",
            words=words, dated=dated, thing=thing,
        )  # fmt: skip
        return replace(made, sized="" if thing else self.counting.sized(amount))

    def _and_part(self, place: int) -> Amount | None:
        """``and a half`` behind a unit: "two inches and three eighths"."""
        if not self.read.joins(place):
            return None
        part = self.read.at(place + 1)
        if part is None or not 0 < part.value < 1 or part.value.denominator % 5 == 0:
            return None
        return None if self._unit_behind(part) is not None else part

    def _part_at_once(self, unit: SaidUnit) -> Amount | None:
        """The part behind inches without an "and": "two inches three eighths"."""
        part = self.read.at(unit.after) if unit.name == "in" else None
        if part is None or not part.part or not 0 < part.value < 1 or part.digits:
            return None
        return None if self._unit_behind(part) is not None or part.lone else part

    def _unit_behind(self, amount: Amount) -> SaidUnit | None:
        """The unit behind an amount, "of an inch" and "half an inch" among them."""
        at = amount.after
        if not amount.whole:
            of = self.read.skip(at)
            if self._word(of) == "of":
                at = self.read.skip(of + 1)
                if self._word(at) in ("a", "an", "one"):
                    at = self.read.skip(at + 1)
                return unit_at(self.tokens, at, digits=False)
            if self._word(at) in ("a", "an") and amount.value == Fraction(1, 2):
                return unit_at(self.tokens, at + 1, digits=False)
        if self._word(self.read.skip(at)) in ("ish", "odd", "something"):
            at = self.read.skip(at) + 1
        for put_in in _PUT_IN:
            behind = at + len(put_in)
            if self._stands(at, put_in) and unit_at(self.tokens, behind, digits=amount.digits):
                at = behind
        unit = unit_at(self.tokens, at, digits=amount.digits)
        gouge = unit is None and self.heard and self._word(at) in ("gouge", "gorge")
        if gouge and amount.whole and 10 <= amount.value <= _FINEST_WIRE:
            return SaidUnit("gauge", at + 1)  # a gouge's size is said with its unit
        great = unit is None and self.heard and self._word(at) in ("great", "greet")
        if great and amount.value in USUAL_GRITS:
            return SaidUnit("grit", at + 1)
        if unit is None and self._word(at) in _BETWEEN:
            unit = unit_at(self.tokens, at + 1, digits=False)
        if unit is not None and unit.name == "s" and amount.whole and self._word(at) == "second":
            return None
        if unit is not None and unit.name == "s" and amount.value >= 1000:
            return None  # the 1960s
        if unit is not None and unit.name == "mm" and self._is_liquid(at, unit.after):
            return SaidUnit("ml", unit.after)
        if unit is not None and unit.name == "grit" and amount.value < 16:
            return None
        return unit

    def _is_liquid(self, place: int, after: int) -> bool:
        """Whether "mil" means millilitres: "two point seven mil of oil"."""
        if self._word(place) not in ("mil", "mils", "mill", "mills"):
            return False
        return self._word(after) == "of" and self._word(after + 1) in _LIQUIDS

    def _is_talk(self, amount: Amount) -> bool:
        """One, a half and a quarter state nothing where no unit stands behind them."""
        after, word = amount.after, self._word(amount.after)
        written = self._word(amount.first)
        if amount.value == 0 and not amount.digits:
            return True
        if amount.value == 2 and not amount.digits and self._word(amount.first - 1) == "in":
            return not self.counting.thing_of(amount)  # "cut it in two"
        coarse = amount.part and amount.value.denominator <= _COARSE
        if coarse and (word == "of" or word in _TURNING):
            # "half of this", "a quarter turn", "three quarters of the way"
            return word in _TURNING or not self._inch_after(after)
        if not amount.lone or amount.digits:
            return False
        if amount.value == 1:
            return True
        if self._word(after) in ("past", "to") and written in ("half", "quarter", "a"):
            return True
        if amount.value == Fraction(1, 3):
            return True
        if written in ("half", "quarter"):
            # "half way", "quarter-sawn", "the bad half"; "half deep" would be said with its unit
            return True
        if amount.value == Fraction(1, 2):
            return word not in ADJECTIVES and word not in ("", ",", ".")
        return bool(word) and word.isalpha() and word not in ADJECTIVES | _AFTER_QUARTER

    def _inch_after(self, place: int) -> bool:
        at = place + (2 if self._word(place + 1) in ("a", "an") else 1)
        return unit_at(self.tokens, at, digits=False) is not None

    # ranges

    def _range(self, low: Amount) -> Mention | None:
        """``15 to 16 mm``, ``between fifteen and sixteen``, ``15-20 mm``."""
        joint = self._word(low.after)
        between = self._word(low.first - 1) == "between"
        unit_low = None
        at = low.after
        if joint not in ("to", "and", "-", "–", "or"):
            unit_low = self._unit_behind(low)
            if unit_low is None:
                return None
            at = unit_low.after
            joint = self._word(at)
        if joint not in ("to", "-", "–", "or") and not (joint == "and" and between):
            return None
        if joint in ("-", "–") and self._word(low.first - 1) == "not":
            return None  # "not 7.7 - 7.9": taken back
        if at + 1 >= len(self.tokens):
            return None
        high = self.read.at(at + 1)
        if high is None or high.value <= 0 or high.lone:
            return None
        low = self._shared(low, high) if unit_low is None else low
        if high.value <= low.value:
            return None
        unit = self._unit_behind(high)
        if unit_low is not None and (unit is None or unit.name != unit_low.name):
            return None
        if unit is not None and unit.name == "grit":
            return None  # the first paper and the last: two figures
        near = high.value - low.value == 1 or high.value * 2 <= low.value * 3
        if joint == "or" and not (near and (low.whole or high.part or high.thou)):
            return None
        if high.thou:
            unit = SaidUnit("in", unit.after if unit is not None else high.after)
        if unit is None:
            papers = low.value in USUAL_GRITS and high.value in USUAL_GRITS
            if papers or self._word(low.first - 1) in ("mark", "marks", "groove", "grooves"):
                return None
            bare = not between and joint in ("to", "or") and not self.counting.thing_of(high)
            next_to = joint == "or" and low.whole and high.value - low.value == 1
            if (
                bare
                and not next_to
                and (self._word(low.first - 1) != "from" or low.value * 3 < high.value)
            ):
                return None
            if joint in ("-", "–") and not (low.digits and high.digits):
                return None
        thing = self.counting.thing_of(high) if unit is None else ""
        name = unit.name if unit is not None else "count" if thing else ""
        after = unit.after if unit is not None else high.after
        if low.value * 4 < high.value and not between:
            return None
        return self._made(low.first, after, low.value, name, high=high.value, words=not high.digits)

    def _shared(self, low: Amount, high: Amount) -> Amount:
        """``six`` of "six to eight hundred", "two or three thou", "three to five sixteenths"."""
        if not low.whole or low.joined or low.value >= 100:
            return low
        scale = self._word(high.after - 1)
        if scale in (HUNDRED, THOUSAND) and low.after == low.first + 1:
            size = 100 if scale == HUNDRED else 1000
            return replace(low, value=low.value * size) if low.value * size < high.value else low
        over = self.read.one_at(high.first)
        if (high.part or high.thou) and over > low.value and high.value < 1:
            return replace(low, value=low.value * high.value / over, whole=False)
        return low

    # what a number says besides

    def _with_prices(self, found: list[Mention]) -> list[Mention]:
        """A bare figure after a price is one too: "fourteen quid, and it was nine last year"."""
        price = ""
        for place, one in enumerate(found):
            if one.unit in MONEY:
                price = one.unit
            elif price and one.unit == "" and not one.dated:
                before = self._word(one.first - 1)
                if before in ("was", "were", "for", "costs", "cost", "paid", "now", "only", "is"):
                    found[place] = replace(one, unit=price, dated=True)
        return found


_TENTHS = tuple(f"{word[:-1]}ieth" for word in TENS)
"""Twentieth, thirtieth …, each at its tens' place."""

_PLURALS = {
    **{f"{word}s": number for number, word in enumerate(ONES) if number >= 2},
    "sixes": 6,
    "twenties": 20,
}
_PLACED = frozenset({"mark", "marks", "groove", "grooves", "lobe", "stop", "stops", "line"})
BEFORE_A_NUMBER = frozenset({"number", "no", ".", "#"})
"""What may stand between a thing and its number: "mark number three"."""

_ON_THE_PLATE = frozenset({"stop", "hole"})
"""Of these "every other" is a setting; of marks and grooves it may be any work on them."""

_BEGINNINGS = (
    BEGINNINGS
    | word_set("other no number numbers p cami pee awg swg gauge grit couple inch inches hour day")
    | {*ORDINALS, *_TENTHS, *_PLURALS, *MONEY}
)
"""Words with which a mention may begin."""

_FINEST_WIRE = 40
"""The highest gauge that hangers are made of (ours)."""

_ROUNDS = 3
"""Rounds and marks have names up to the third: a higher position counts something."""

_COARSE = 5
"""Down to fifths one says parts of anything; sixteenths are of an inch (ours)."""

_LIQUIDS = frozenset({"oil", "wax", "finish", "lacquer", "varnish", "shellac", "polish", "sealer"})
_BETWEEN = frozenset({"whole", "full", "good", "solid", "more", "odd", "extra", "clear"})
"""What may stand between a number and its unit: "two whole days"."""

_HALVED = frozenset({"in", "mm", "cm", "min", "h", "day"})
"""Units of which one says "and a half" behind the unit."""

_OF_A_WHOLE = (*IN_ALL, ("more",), ("to", "go"))
"""Behind a number that counts all, or those that are still to come."""

_AND_A_HALF = ("and", "a", "half")
_PUT_IN = (("and", "a", "bit"), ("or", "so"), ("or", "thereabouts"), ("and", "something"))
"""What stands between a number and its unit: "eight hundred or so revs"."""

_NO_NAMES = frozenset({"P", "CAMI", "AWG", "SWG", "R", "D", "L", "H", "W"})
"""Letters that figures follow as a measure, a radius or diameter among them."""

_PARTS_OF_HOUR = {"half": 30, "quarter": 15}
_TOLD_TIME = word_set("at by till until it's its is was nearly almost about gone since before")
_PAPER_STARTS = frozenset({"then", "and", "next", "at", "with", "by", "is", "through", "from", ""})
_LEADING = frozenset({"to", "too", "for", "fore"})
"""Words that sound like a number and lead to one."""

_TAPERS = frozenset({"morse", "mt", "taper"})

_SERIES = frozenset({"series", "season", "set", "list", "playlist", "channel", "lot"})
_STOPS = frozenset({"stops", "stop", "holes", "hole", "plate"})
_MOST_DRILLS = 107
"""A higher number is a drill's only by a slip, and where "drill" or "#" stands by it (ours)."""

_NUMBERED = word_set(
    "mark marks groove grooves stop hole station lobe line ep pt vol episode part video lesson "
    "chapter phone house series any his her their"
)
_AGES = frozenset({"year", "month", "week"})
_TURNING = frozenset(
    {"turn", "turns", "way", "sawn", "time", "hearted", "finished", "done", "past"}
)
_AFTER_QUARTER = frozenset(
    {"for", "from", "in", "at", "on", "is", "will", "as", "and", "to", "or", "that's", "thats"}
    | {"by", "more", "less", "each", "if", "then", "with", "between", "cup", "cutter"}
    | {"drill", "bit", "hole", "all", "bare", "here", "there", "should", "so", "both", "below"}
)
