"""Reading one amount: figures, decimals, fractions and number words as they are said.

Everything is exact: values are fractions, never binary floats.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from studio.measure.number_words import (
    DOZEN,
    HUNDRED,
    ONES,
    ORDINALS,
    PARTS,
    TENS,
    THOU,
    THOUSAND,
    VULGAR,
)
from studio.said.seams import Seams
from studio.said.units import unit_at
from studio.said.vocabulary import trade_words
from studio.said.words import Token, word_set

_SMALL = {word: number for number, word in enumerate(ONES)}
_TENS = {word: 10 * number for number, word in enumerate(TENS) if number >= 2}
_NOUGHTS = ("zero", "oh", "o", "nought", "naught", "0")
_A = ("a", "an")

HEARD_AS = {"for": 4, "fore": 4, "to": 2, "too": 2, "ate": 8, "won": 1, "tree": 3, "free": 3}
"""Words that a recogniser writes for a number that sounds alike."""

NEARLY_HEARD_AS = {
    "fife": 5, "sicks": 6, "sics": 6, "sikhs": 6, "sex": 6, "severn": 7, "aid": 8, "hate": 8,
    "nein": 9, "mine": 9, "tin": 10, "tan": 10, "tenn": 10, "den": 10, "dirty": 30, "forte": 40,
    "forti": 40, "tree": 3, "free": 3, "won": 1,
}  # fmt: skip
"""Everyday words at most one sound away from a number (pronunciations: CMU Pronouncing Dictionary
as pocketsphinx 5 ships it): numbers only where a unit stands right behind them."""

_SHORTENED = {"eight": 8, "ate": 8, "sixteen": 16, "six teen": 16, "thirty two": 32,
              "thirty too": 32, "thirty to": 32, "sixty four": 64, "sixty for": 64}  # fmt: skip
"""Parts whose ending is not heard, "three eight of an inch"."""

_NEVER_ALONE = frozenset({"won", "tree", "free"})
"""Of these, what is a number only inside a larger one or before a unit."""

# a half, quarters, eighths …: words to how many make the whole. Recognisers write "eights" for
# eighths and "sixty forth" for sixty-fourth
_PART: dict[tuple[str, ...], int] = {}
for _under, _names in PARTS.items():
    for _name in _names:
        _PART[tuple(_name.split("-"))] = _under
for _under, _more in {
    8: ("eights", "ates", "8ths", "eighth's"),
    16: ("sixteens", "sixteenth's"),
    32: ("thirty second's",),
    64: ("sixty fourth's", "sixty forth", "sixty forths", "sixty fours", "sixty force"),
    4: ("fourths",),
}.items():
    for _name in _more:
        _PART[tuple(_name.split())] = _under
# written with figures: 16ths, 32nds, 64ths
_MIXED_PARTS = {
    ("30", "seconds"): 32, ("30", "second"): 32, ("60", "fourths"): 64, ("60", "fourth"): 64,
    ("6", "teenths"): 16, ("six", "teenths"): 16, ("six", "teens"): 16,
}  # fmt: skip
_PARTS_OF_AN_INCH = frozenset({2, 4, 8, 16, 32, 64})
_FINE_PARTS = _PARTS_OF_AN_INCH - {2, 4}
"""How many parts of an inch there are on a rule; of halves and quarters more than all are no slip
for a size: "3/2" is a score, "8/4" a board (common practice, no source)."""

_PART_ENDINGS = ("th", "ths", "nd", "nds", "rd", "rds", "st")
_SOFT_PARTS = frozenset({("eights",), ("ates",), ("sixteens",), ("fourths",)})
"""Parts that are numbers of their own ("in eights"): only before an inch, or with "of an"."""


@dataclass(frozen=True, slots=True)
class Amount:
    """A number read from token ``first`` on; ``after`` is the token behind it.

    Attributes:
        value: exact.
        first: number of its first token.
        after: number of the token behind its last.
        digits: whether it ends in figures rather than words.
        whole: whether it is a plain whole number.
        lone: whether it is the single word "one", "a half" or the like, which may be talk.
        thou: whether its part was "thou", thousandths of an inch.
        heard: how many of its words stand for another that sounds alike.
        joined: whether two numbers were read as one ("one eighty", "nineteen fifty").
        part: whether it is said as parts of one ("three quarters"), which may be of anything.
    """

    value: Fraction
    first: int
    after: int
    digits: bool = False
    whole: bool = True
    lone: bool = False
    thou: bool = False
    heard: int = 0
    joined: bool = False
    part: bool = False


class Reader:
    """Reads amounts of one sentence."""

    def __init__(self, tokens: Sequence[Token], *, heard: bool, turned: Collection[int] = ()):
        self.tokens = tokens
        self.seams = Seams(tokens, turned)
        self.heard = heard
        self._words_of = [token.word for token in tokens]
        self._many = len(tokens)
        self._known: dict[int, Amount | None] = {}

    def word(self, place: int) -> str:
        """The word at ``place``; empty behind the end."""
        return self._words_of[place] if 0 <= place < self._many else ""

    def stands(self, place: int, words: Sequence[str]) -> bool:
        """Whether these words stand from ``place`` on."""
        return all(self.word(place + offset) == word for offset, word in enumerate(words))

    def skip(self, place: int) -> int:
        """``place``, or the token behind it when a hyphen inside a compound stands there."""
        if self.word(place) == "-" and self.tokens[place].glued and place + 1 < len(self.tokens):
            return place + 1 if self.tokens[place + 1].glued else place
        return place

    def at(self, place: int) -> Amount | None:
        """The longest amount that begins at ``place``."""
        if place not in self._known:
            self._known[place] = self._with_thou(place)
        return self._known[place]

    def _with_thou(self, place: int) -> Amount | None:
        found = self._begun(place)
        if found is not None and not found.thou and self.word(found.after) == THOU:
            # "two and a half thou", "2.5 thou"
            return replace(found, value=found.value / 1000, after=found.after + 1, whole=False,
                           lone=False, thou=True, digits=False)  # fmt: skip
        return found

    def _begun(self, place: int) -> Amount | None:
        if place >= len(self.tokens):
            return None
        kind = self.tokens[place].kind
        if kind == "number":
            return self._digits(place)
        if kind == "vulgar":
            value = Fraction(VULGAR[self.tokens[place].text])
            return Amount(value, place, place + 1, digits=True, whole=False)
        if kind == "word" and self._words_of[place] in BEGINNINGS:
            return self._words(place)
        return None

    def one_at(self, place: int) -> int:
        """A number word from 1 to 19 at ``place``, by sound too; 0 for none."""
        word = self.word(place)
        return _SMALL.get(word, 0) or (HEARD_AS.get(word, 0) if self.heard else 0)

    def is_number_word(self, place: int) -> bool:
        """Whether a number goes on at ``place``, a word that sounds like one among them."""
        word = self.word(place)
        if word in _SMALL or word in _TENS or word in (HUNDRED, THOUSAND):
            return True
        following = self.word(place + 1)
        return self.heard and word in HEARD_AS and (following in _TENS or following == HUNDRED)

    # figures

    def _digits(self, place: int) -> Amount | None:
        tokens = self.tokens
        typed = tokens[place].text
        # nought with three decimals, as on the continent: "0,293"
        typed = typed.replace(",", "." if typed.startswith("0,") else "")
        value, after = Fraction(typed), place + 1
        if "." not in typed:
            fraction = self._typed_fraction(place)
            if fraction is not None:
                return fraction
            mixed = self._typed_mixed(place, value)
            if mixed is not None:
                return mixed
        plain = Amount(value, place, after, digits=True, whole="." not in typed)
        if self.word(after) == "k" and tokens[after].glued:
            return Amount(value * 1000, place, after + 1, digits=True)  # "1.5k"
        over = self._over(plain) if plain.whole else None
        if over is not None:
            return over
        may_go_on = plain.whole and not self.seams.is_signed(place)  # "#51 .625 in": two figures
        if self.word(after).startswith(".") and may_go_on and self._figures(after, 1):
            # "2 .9"
            return Amount(value + Fraction(tokens[after].text), place, after + 1, True, False)
        if self._is_decimal_comma(after):
            behind = tokens[after + 1].text
            decimals = Fraction(int(behind), 10 ** len(behind))
            return Amount(value + decimals, place, after + 2, digits=True, whole=False)
        if self.word(after) in ("point", "dot") and may_go_on:
            return self._point(place, value, after, digits=True) or plain
        if self.word(after) in (HUNDRED, THOUSAND):
            if plain.whole and (large := self._scaled(place, plain)) is not None:
                return large
            return Amount(value * _SCALE[self.word(after)], place, after + 1)
        part = self._part(self.skip(after)) if plain.whole else None
        if part is not None and 0 < value < part[0]:
            return Amount(value / part[0], place, part[1], whole=False, thou=part[2])
        if self.heard and plain.whole and value % 10 == 0 and 10 < value < 100:
            torn = self._tens_and_one(place, value)
            if torn is not None:
                return torn
        if self.heard and (torn := self._torn_figures(place)) is not None:
            return torn
        # a recogniser writes 1 970 and 19 70 for 1970
        if len(typed) < 3 and plain.whole and (figures := self._figures(after)) in (2, 3):
            unit = unit_at(tokens, after + 1, digits=True)
            if unit is not None and unit.name == "rpm":
                joined = value * 10**figures + Fraction(tokens[after].text)
                return Amount(joined, place, after + 1, digits=True)
        return plain

    def _torn_figures(self, place: int) -> Amount | None:
        """``9 40`` and ``1 200``: hundreds and thousands that a recogniser sets apart.

        Not where what follows has a unit of small figures, or a row of figures goes on.
        """
        first, second = self.word(place), self.word(place + 1)
        hundreds = self._figures(place) == 1 and self._figures(place + 1) == 2
        thousands = self._figures(place) == 1 and self._figures(place + 1) == 3
        if first == "0" or not (thousands or (hundreds and second.endswith("0"))):
            return None
        row = self._figures(place + 2) or self._figures(place - 1)
        if row or self.word(place - 1) in (_ROWS - {"to"} if thousands else _ROWS):
            return None
        unit = unit_at(self.tokens, place + 2, digits=True)
        if unit is not None and unit.name not in ("rpm", "grit"):
            return None
        if is_quantified(self.tokens, place + 2) and unit is None:
            return None
        return Amount(Fraction(int(first + second)), place, place + 2, digits=True, joined=True)

    def _tens_and_one(self, place: int, tens: Fraction) -> Amount | None:
        """``50 eight millimeters``: a recogniser's mixture, where a unit or "point" follows."""
        one = _SMALL.get(self.word(place + 1), 0)
        if not one and self._figures(place + 1) == 1:
            one = int(self.word(place + 1))
        if not 0 < one < 10:
            return None
        whole = Amount(tens + one, place, place + 2)
        if self.word(place + 2) == "point":
            return self._point(place, whole.value, place + 2, digits=False)
        return whole if unit_at(self.tokens, place + 2, digits=True) is not None else None

    def _figures(self, place: int, skipped: int = 0) -> int:
        """How many figures the whole number at ``place`` has; 0 where there is none."""
        text = self.tokens[place].text[skipped:] if place < len(self.tokens) else ""
        return len(text) if text.isdigit() else 0

    def _is_decimal_comma(self, place: int) -> bool:
        """Whether a comma at ``place`` stands before decimals, as on the continent: "16,9 mm"."""
        return (
            self.word(place) == ","
            and self.tokens[place].glued
            and self._figures(place + 1) in (1, 2)
            and self.tokens[place + 1].glued
        )

    def _typed_fraction(self, place: int, *, mixed: bool = False) -> Amount | None:
        """``5/8`` from ``place`` on, with 16ths' own ending ("5/16ths").

        Args:
            place: where it may begin.
            mixed: whether a whole number stands before it.
        """
        tokens = self.tokens
        if not (
            place + 2 < len(tokens)
            and self.word(place + 1) == "/"
            and tokens[place].text.isdigit()
            and tokens[place + 2].text.isdigit()
        ):
            return None
        over, under = int(tokens[place].text), int(tokens[place + 2].text)
        # 3/4/2026 is a date, 4/0 a wire, 180/240/320 are papers
        if self.word(place - 1) == "/" or not over or not under or self.word(place + 3) == "/":
            return None
        if over > under and not (
            under in _FINE_PARTS
            or (mixed and under in _PARTS_OF_AN_INCH)
            or self._inch_follows(place + 3, digits=True)
        ):
            return None  # what is no part of one is a figure too, a slip, where it is of an inch
        after = place + 3
        if self.word(after) in _PART_ENDINGS and tokens[after].glued:
            after += 1
        return Amount(Fraction(over, under), place, after, digits=True, whole=False)

    def _typed_mixed(self, place: int, whole: Fraction) -> Amount | None:
        """``2 1/4``, ``2-1/4``, ``2½``, ``2 and 5/8``, ``2 and a half``."""
        rest = self.skip(place + 1)
        joined = self.joins(rest)
        if joined:
            part = self._part_behind(self.skip(rest + 1))
        elif rest < len(self.tokens) and self.tokens[rest].kind == "vulgar":
            value = Fraction(VULGAR[self.tokens[rest].text])
            part = Amount(value, rest, rest + 1, digits=True, whole=False)
        elif rest < len(self.tokens) and self.tokens[rest].kind == "number":
            part = self._typed_fraction(rest, mixed=True)
            behind = self._part(rest + 1) if part is None else None
            if behind is not None and behind[0] >= 8 and self.tokens[rest].text.isdigit():
                over = Fraction(int(self.tokens[rest].text), behind[0])  # "2 9 32nds"
                part = Amount(over, rest, behind[1], digits=True, whole=False)
        else:
            part = None
        if part is None or part.value <= 0 or part.thou or (joined and self._is_whole(part)):
            return None
        hyphened = rest > place + 1 and not joined
        if hyphened and self.seams.is_signed(place):
            return Amount(whole, place, place + 1, digits=True)  # "#51-5/8 in"
        glued = rest > place + 1 or self.tokens[rest].glued
        if not glued and self.seams.parts(place, part.after, joined=joined):
            return Amount(whole, place, place + 1, digits=True)
        return Amount(whole + part.value, place, part.after, digits=part.digits, whole=False)

    def _is_whole(self, part: Amount) -> bool:
        """Whether it is one or more and no fraction in figures: "2 and 3", but not "2 and 3/2"."""
        return part.value >= 1 and self.word(part.first + 1) != "/"

    def joins(self, place: int) -> bool:
        """Whether the word at ``place`` joins a part to a whole number.

        A recogniser writes "two in a half" for two and a half: both are said with the same sound.
        """
        if self.word(place) in ("and", "&"):
            return True
        if not self.heard or self.word(place) not in ("in", "an", "on", "end"):
            return False
        part = self._part(place + 2) if self.word(place + 1) == "a" else None
        return part is not None and (
            unit_at(self.tokens, part[1], digits=False) is not None
            or unit_at(self.tokens, place - 1, digits=False) is not None
        )

    def _part_behind(self, place: int) -> Amount | None:
        """The part behind "two and": in words, with a stroke, as one sign, or as 23 64ths."""
        if place >= len(self.tokens):
            return None
        if self.tokens[place].kind == "number":
            return self._typed_fraction(place, mixed=True) or self._digits(place)
        if self.tokens[place].kind == "vulgar":
            return self.at(place)
        return self._fraction_words(place, alone=False)

    # words

    def _words(self, place: int) -> Amount | None:
        word = self.word(place)
        if word == "point":
            return self._point(place, Fraction(0), place, digits=False)
        after = self.skip(place + 1)
        if word in _NOUGHTS and self.word(after) == "point":
            return self._point(place, Fraction(0), after, digits=False)
        fraction = self._fraction_words(place, alone=True)
        whole = self._whole(place)
        if fraction is not None and (whole is None or fraction.after >= whole.after):
            return fraction
        if whole is None:
            return None
        point = self.skip(whole.after)
        if self.word(point) == "point" and not self.seams.is_signed(place):
            decimal = self._point(place, whole.value, point, digits=False)
            if decimal is not None:
                return decimal
        fine = self._part(self.skip(whole.after))
        if fine is not None and fine[0] >= 100 and not whole.lone and whole.value < fine[0]:
            value = whole.value / fine[0]
            return Amount(value, place, fine[1], whole=False, thou=fine[2])
        over = self._over(whole)
        if over is not None:
            return over
        joint = self.skip(whole.after)
        if self.joins(joint):
            part = self._part_behind(self.skip(joint + 1))
            if part is not None and self._goes_with_a_whole(part):
                if self.seams.parts(place, part.after, joined=True):
                    return whole
                value, after = whole.value + part.value, part.after
                if self.word(after) == THOUSAND:  # "two and a half thousand"
                    value, after = value * 1000, after + 1
                return Amount(value, place, after, digits=part.digits, whole=value.denominator == 1)
        return whole

    @staticmethod
    def _goes_with_a_whole(part: Amount) -> bool:
        """Whether it is a part of one, or as many parts as make more of it by a slip."""
        return part.value > 0 and (part.value < 1 or part.part) and not part.thou

    def _over(self, whole: Amount) -> Amount | None:
        """``twenty-three over thirty-two``: a fraction of an inch read off as written."""
        if self.word(whole.after) not in ("over", "slash", "stroke"):
            return None
        under = self._below_hundred(whole.after + 1)
        if under is None and self.word(whole.after + 1).isdigit():
            number = Fraction(int(self.word(whole.after + 1)))
            under = Amount(number, whole.after + 1, whole.after + 2, digits=True)
        if under is None or not whole.value:
            return None
        proper = whole.value < under.value and under.value in _PARTS_OF_AN_INCH
        slip = whole.value < 100 and (
            under.value in _FINE_PARTS if whole.value > under.value else whole.value == under.value
        )
        if not (proper or slip):
            return None
        return Amount(whole.value / under.value, whole.first, under.after, whole=False)

    def _point(self, first: int, whole: Fraction, place: int, *, digits: bool) -> Amount | None:
        """Decimals behind the word "point" at ``place``."""
        at, decimals, heard = self.skip(place + 1), "", 0
        bare = first == place
        while at < len(self.tokens):
            word, token = self.word(at), self.tokens[at]
            if self._figures(at) > 1 and not decimals:
                decimals, at = token.text, at + 1
                break
            if token.kind == "number" and token.text.isdigit() and len(token.text) == 1:
                decimals += token.text
            elif word in _NOUGHTS:
                decimals += "0"
            elif word in _SMALL and _SMALL[word] < 10:
                decimals += str(_SMALL[word])
            elif self._sounds_like_a_digit(at, first_decimal=not decimals, bare=bare):
                decimals += str(HEARD_AS[word])
                heard += 1
            elif (
                len(decimals) < 2
                and (pair := self._below_hundred(at)) is not None
                and (not decimals or pair.value >= 10)
            ):
                # "point twenty-five", "point two ninety-three"
                decimals, at = f"{decimals}{pair.value}", pair.after
                break
            else:
                break
            at = self.skip(at + 1)
        if not decimals:
            return None
        if self.word(at - 1) == "-":
            at -= 1
        value = whole + Fraction(int(decimals), 10 ** len(decimals))
        last = self.tokens[at - 1].kind == "number"
        return Amount(value, first, at, digits=digits or last, whole=False, heard=heard)

    def _sounds_like_a_digit(self, place: int, *, first_decimal: bool, bare: bool) -> bool:
        """Whether "for" or "to" behind "point" is a digit: what follows must suit a number."""
        word = self.word(place)
        if not self.heard or word not in HEARD_AS:
            return False
        if first_decimal and not bare:
            # "twenty four point to" can be nothing else, unless a verb follows
            return True
        follows = self.word(place + 1)
        return (
            word not in ("for", "fore", "to", "too")
            or follows == ""
            or follows in _SMALL
            or follows in _NOUGHTS
            or follows == "times"
            or follows in _SAID_OF_SIZES
            or (follows in HEARD_AS and not bare)
            or (follows in HEARD_AS and self.word(place + 2) in {*_SMALL, *HEARD_AS, "times"})
            or unit_at(self.tokens, place + 1, digits=False) is not None
        )

    def _below_hundred(self, place: int) -> Amount | None:
        """1 to 99; a tens word with a one that sounds like another word only where it must."""
        word = self.word(place)
        if self.heard and (torn := self._torn(place)) is not None:
            return torn
        if word in _SMALL and _SMALL[word] > 0:
            return Amount(Fraction(_SMALL[word]), place, place + 1)
        if word not in _TENS:
            return None
        tens, rest = _TENS[word], self.skip(place + 1)
        one = _SMALL.get(self.word(rest), 0)
        if 0 < one < 10:
            return Amount(Fraction(tens + one), place, rest + 1)
        if self.tokens[place].word in _TENS and self._one_by_sound(rest):
            return Amount(Fraction(tens + HEARD_AS[self.word(rest)]), place, rest + 1, heard=1)
        return Amount(Fraction(tens), place, place + 1)

    def _torn(self, place: int) -> Amount | None:
        """``for teen`` and ``six tea``: a number that was written as two words."""
        word, ending = self.word(place), self.word(place + 1)
        one = _SMALL.get(word) or HEARD_AS.get(word) or _TORN.get(word, 0)
        if not 2 <= one <= 9:
            return None
        if ending in ("teen", "teens"):
            return Amount(Fraction(10 + one), place, place + 2, heard=1)
        if ending in ("tea", "tee", "ty") and not self._is_preposition(place):
            tens = Amount(Fraction(10 * one), place, place + 2, heard=1)
            more = _SMALL.get(self.word(place + 2), 0)
            if 0 < more < 10:
                return Amount(tens.value + more, place, place + 3, heard=1)
            return tens
        return None

    def _one_by_sound(self, place: int) -> bool:
        """Whether "for" behind "forty" means four: a unit, a counted thing or "point" follows."""
        word = self.word(place)
        if not self.heard or HEARD_AS.get(word, 10) >= 10:
            return False
        after = place + 1
        if word in ("ate", "won"):
            return True
        if self.word(after) == "point":
            return True
        if self.word(after) in (HUNDRED, THOUSAND):
            return False
        if self._part(after) is not None:
            return True
        if word == "to" and self.word(after) in {*_SMALL, *_TENS}:
            return False  # "twenty to thirty" is a range
        if self.word(after) in _SAID_OF_SIZES or not self.word(after):
            return True
        return is_quantified(self.tokens, after)

    def _whole(self, place: int) -> Amount | None:
        """A whole number in words, hundreds and thousands among them."""
        word = self.word(place)
        if word in _A:
            return self._a_hundred(place)
        if word in _NOUGHTS and unit_at(self.tokens, self.skip(place + 1), digits=False):
            return Amount(Fraction(0), place, place + 1)
        if word in (HUNDRED, THOUSAND) and self.word(place - 1) not in _FEW:
            # "hundred and two": the article is swallowed
            large = self._scaled(place, Amount(Fraction(1), place, place))
            return large if large is not None and self._says_more(large) else None
        by_the = self.word(place - 1) == "the" and self.word(place - 2) == "by"
        if word == DOZEN[0] and not by_the and self.word(place - 1) not in _FEW - {"the"}:
            return Amount(Fraction(DOZEN[1]), place, place + 1)
        small = self._below_hundred(place) or self._by_sound(place)
        if small is None:
            return None
        if self.word(small.after) == DOZEN[0]:
            return Amount(small.value * DOZEN[1], place, small.after + 1)
        large = self._scaled(place, small)
        if large is not None:
            return large
        mixed = self._fraction_words(self.skip(small.after), alone=False)
        if mixed is not None and mixed.value.numerator > 1 and 8 <= mixed.value.denominator < 100:
            # "four twenty-seven sixty-fourths": the "and" is left out
            if self.seams.parts(place, mixed.after):
                return small
            return Amount(small.value + mixed.value, place, mixed.after, whole=False)
        pair = self._pair(place, small)
        if pair is not None:
            return pair
        return Amount(
            small.value, place, small.after, lone=word == "one" and small.value == 1,
            heard=small.heard,
        )  # fmt: skip

    def _says_more(self, large: Amount) -> bool:
        """Whether more than a bare "hundred" is said, or of what."""
        return large.after > large.first + 1 or is_quantified(self.tokens, large.after)

    def _by_sound(self, place: int) -> Amount | None:
        """A lone "for", "to" or "ate" that counts or measures what follows, or is of hundreds."""
        word = self.word(place)
        if not self.heard or word not in HEARD_AS.keys() | NEARLY_HEARD_AS.keys():
            return None
        if word in NEARLY_HEARD_AS and self._is_measured(place):
            return Amount(Fraction(NEARLY_HEARD_AS[word]), place, place + 1, heard=1)
        if word not in HEARD_AS or word in ("tree", "free"):
            return None
        value, after = Fraction(HEARD_AS[word]), place + 1
        if self.word(after) == "point" and self._decimals_follow(after):
            return Amount(value, place, after, heard=1)
        if self.word(after) == HUNDRED and self.word(place - 1) not in ("up", "down"):
            return Amount(value, place, after, heard=1)
        if self.word(after) == "and" and self._fraction_words(after + 1, alone=False) is not None:
            return Amount(value, place, after, heard=1)
        if (
            word in ("ate", "won")
            and self.word(after) in _TENS
            and self.word(place - 1) not in _EATERS
        ):
            return Amount(value, place, after, heard=1)
        if word in _NEVER_ALONE:
            return None
        unit = unit_at(self.tokens, after, digits=False)
        if unit is not None and unit.name in _WAITS and word in ("for", "fore"):
            return None  # "I stood there for hours"
        if unit is not None and word == "to" and self.word(after) in _WAITED:
            return Amount(value, place, after, heard=1)  # no verb is called hours
        counted = is_quantified(self.tokens, after, strictly=True) or (
            # "there are to parting cuts": a word between, where no preposition can stand
            self.word(place - 1) in _TAKES_NUMBER
            and is_counted(self.word(after + 1), strictly=True)
        )
        if counted and not self._is_preposition(place):
            return Amount(value, place, after, heard=1)
        if word == "for" and place == 0 and self.word(after) in ("and", "of"):
            return Amount(value, place, after, heard=1)  # no preposition: nothing follows for it
        return None

    def _is_measured(self, place: int) -> bool:
        """Whether a unit in which lengths, angles, speeds or papers are said stands behind."""
        unit = unit_at(self.tokens, place + 1, digits=False)
        return unit is not None and unit.name in _SAID_BEHIND_SOUND

    def _decimals_follow(self, place: int) -> bool:
        """Whether "to point nine" is 2.9: not where "to" has its own work, nor before a factor."""
        decimal = self._point(place, Fraction(0), place, digits=False)
        if decimal is None:
            return False
        sized = self.word(decimal.after) in _SAID_OF_SIZES
        if self._is_preposition(place - 1) and not (sized and self.word(place - 2) == "and"):
            return False
        return decimal.value.denominator <= 100 and (decimal.value * 100).denominator == 1

    def _is_preposition(self, place: int) -> bool:
        """Whether "to" or "for" does its own work here, after a word that takes it."""
        unit = unit_at(self.tokens, place + 1, digits=False)
        if self.word(place) in ("too", "fore"):
            return False
        if self.word(place - 1) == "on" and self.word(place - 2) in _MOVES:
            return False  # "move on for stops"
        if self.word(place) == "for" and self.word(place - 1) in _PARTICLES:
            return unit is not None  # "twist up for strands"
        if self.word(place - 1) == "mark" and self.word(place - 2) in ORDINALS:
            return False  # a noun: "third mark to point nine"
        if self.word(place - 1) == "and" and unit is not None:
            return False  # "square and for inches long"
        return self.word(place - 1) in _TAKES_PREPOSITION

    def _a_hundred(self, place: int) -> Amount | None:
        after = place + 1
        scale = self.word(after)
        if scale == DOZEN[0]:
            return Amount(Fraction(DOZEN[1]), place, after + 1)
        if scale not in (HUNDRED, THOUSAND):
            return None
        return self._scaled(place, Amount(Fraction(1), place, after))

    def _scaled(self, place: int, small: Amount) -> Amount | None:
        """``small`` times a hundred or thousand, and what is added to it."""
        at, total, part = self.skip(small.after), Fraction(0), small.value
        heard, scaled = small.heard, False
        # "twenty to hundred" is what is written for twenty-two hundred
        tens = self.heard and part >= 20 and part % 10 == 0
        if tens and self.word(at) in HEARD_AS and self.word(at + 1) == HUNDRED:
            part, at, heard = part + HEARD_AS[self.word(at)], at + 1, heard + 1
        if self.word(at) == HUNDRED:
            part, at, scaled = part * 100, at + 1, True
            at, part = self._rest(at, part, 100)
        if self.word(self.skip(at)) == THOUSAND:
            at = self.skip(at)
            total, part, at, scaled = part * 1000, Fraction(0), at + 1, True
            # "one thousand, two hundred and seventy", as it is written by rule
            if self.word(at) == "," and self.word(at + 2) == HUNDRED:
                at += 1
            hundreds = self._small(at)
            if hundreds is not None and self.word(hundreds.after) == HUNDRED:
                part, at = hundreds.value * 100, hundreds.after + 1
                at, part = self._rest(at, part, 100)
            else:
                at, part = self._rest(at, part, 100)
        return Amount(total + part, place, at, heard=heard) if scaled else None

    def _small(self, place: int) -> Amount | None:
        """1 to 99 in words, or in figures behind a hundred or thousand in words."""
        if 0 < self._figures(place) < 3 and self.heard:
            return Amount(Fraction(int(self.word(place))), place, place + 1, digits=True)
        return self._below_hundred(place)

    def _rest(self, at: int, part: Fraction, below: int) -> tuple[int, Fraction]:
        """Tens and ones behind a hundred, with or without "and"."""
        start = self.skip(at)
        if self.word(start) == "and":
            start = self.skip(start + 1)
        rest = self._small(start)
        if rest is None or rest.value >= below:
            return at, part
        if self._denominator_follows(start, rest):
            return at, part
        behind = self._part(rest.after) if start > at else None
        if behind is not None and behind[0] < 100:
            return at, part  # "two hundred and three eighths"
        if self.word(rest.after) in (HUNDRED, THOUSAND):
            return at, part
        return rest.after, part + rest.value

    def _pair(self, place: int, small: Amount) -> Amount | None:
        """``one eighty``, ``nineteen fifty-eight``, ``two oh five``: hundreds left unsaid."""
        at = self.skip(small.after)
        one = self.skip(at + 1)
        if self.word(at) in ("oh", "o") and 1 <= _SMALL.get(self.word(one), 0) <= 9:
            value = small.value * 100 + _SMALL[self.word(one)]
            return Amount(value, place, one + 1, joined=True)
        second = self._below_hundred(at)
        if second is None and self.heard and self._figures(at) == 2:
            # "nineteen 70"
            second = Amount(Fraction(int(self.word(at))), at, at + 1, digits=True)
        if second is None or second.value < 10 or self._denominator_follows(at, second):
            return None
        unit = unit_at(self.tokens, second.after, digits=False)
        speed = unit is not None and unit.name == "rpm"
        if small.value >= 10 and unit is not None and not speed:
            return None  # "ten twelve minutes"
        if unit is not None and unit.name in ("gauge", "swg"):
            return None  # "two twenty gauge strands": no wire has a gauge above a hundred
        if self._in_a_row(place, small, second):
            return None
        # "twenty-one ten" is a speed; what a recogniser runs together is two figures
        run_together = small.value > 30 or not (speed or not self.heard)
        if second.value < 20 < small.value and run_together:
            return None
        value = small.value * 100 + second.value
        return Amount(value, place, second.after, joined=True, heard=second.heard)

    def _in_a_row(self, place: int, small: Amount, second: Amount) -> bool:
        """Whether two numbers are of a row: ``thirty sixty ninety``, ``four eight sixteen``."""
        step = second.value - small.value
        before = self.word(place - 1)
        behind = self.skip(second.after)
        third = self._below_hundred(behind + 1 if self.word(behind) == "and" else behind)
        ahead, back = {second.value + step}, {small.value - step}
        if step == small.value:
            ahead, back = ahead | {4 * small.value}, back | {small.value / 2}
        return step > 0 and (
            (_SMALL.get(before) or _TENS.get(before)) in back
            or (third is not None and third.value in ahead)
        )

    def _denominator_follows(self, place: int, number: Amount) -> bool:
        """Whether the number at ``place`` begins a part ("thirty-seconds") and is none itself."""
        return self._part(place) is not None

    # parts

    def _part(self, place: int) -> tuple[int, int, bool] | None:
        """A part's name at ``place``: how many make a whole, the token behind, whether thou."""
        if self.word(place) == THOU:
            return 1000, place + 1, True
        if place < len(self.tokens) and self.tokens[place].text.isdigit():
            glued = place + 1 < len(self.tokens) and self.tokens[place + 1].glued
            if glued and self.word(place + 1) in _PART_ENDINGS:
                under = int(self.tokens[place].text)
                return (under, place + 2, False) if under in PARTS else None
            mixed = _MIXED_PARTS.get((self.word(place), self.word(place + 1)))
            return (mixed, place + 2, False) if mixed else None
        if (self.word(place), self.word(place + 1)) in _MIXED_PARTS:
            return _MIXED_PARTS[self.word(place), self.word(place + 1)], place + 2, False
        second = self.skip(place + 1)
        for words, after in (((self.word(place), self.word(second)), second + 1),
                             ((self.word(place),), place + 1)):  # fmt: skip
            if words in _PART:
                sure = self.heard or self.word(place - 2) == "and"
                if words in _SOFT_PARTS and not sure and not self._inch_follows(after):
                    return None
                return _PART[words], after, False
        return self._shortened(place) if self.heard else None

    def is_part(self, place: int) -> bool:
        """Whether a part's name begins at ``place``."""
        return self._part(place) is not None

    def _shortened(self, place: int) -> tuple[int, int, bool] | None:
        """A part's name without its ending, before "of an inch", as a recogniser has it."""
        for count in (2, 1):
            said = " ".join(self.word(at) for at in range(place, place + count))
            after = place + count
            if said in _SHORTENED and self.word(after) == "of" and self._inch_follows(after):
                return _SHORTENED[said], after, False
        return None

    def _inch_follows(self, place: int, *, digits: bool = False) -> bool:
        if self.word(place) == "of":
            place += 2 if self.word(place + 1) in _A else 1
        unit = unit_at(self.tokens, place, digits=digits)
        return unit is not None and unit.name == "in"

    def _fraction_words(self, place: int, *, alone: bool) -> Amount | None:
        """``five eighths``, ``a half``, ``half``, ``nine sixty-fourths``, ``three quarter``.

        Args:
            place: where it may begin.
            alone: whether no whole number stands before it.
        """
        word = self.word(place)
        if word in _A:
            part = self._part(self.skip(place + 1))
            if part is None and self.heard and (word, self.word(place + 1)) == ("an", "ate"):
                unit = unit_at(self.tokens, place + 2, digits=False)
                part = (8, place + 2, False) if unit is None or unit.name == "in" else None
            if part is None:
                return None
            return Amount(
                Fraction(1, part[0]), place, part[1], whole=False, lone=part[0] <= 4,
                part=True, thou=part[2],
            )  # fmt: skip
        if word in ("half", "quarter"):
            after = place + 1
            if word == "half" and self.word(after) in _A and self.word(after + 1) == THOU:
                return Amount(Fraction(1, 2000), place, after + 2, whole=False, thou=True)
            if word == "half" and self.word(after) in _A and self.word(after + 1) == DOZEN[0]:
                return Amount(Fraction(DOZEN[1], 2), place, after + 2)
            return Amount(
                Fraction(1, _PART[(word,)]), place, after, whole=False, lone=True, part=True
            )
        bare = self._part(place) if alone and word.endswith(("th", "thirty", "sixty")) else None
        sized = self.word(place - 2) in _A and self.word(place - 1) in _SIZED
        if bare is not None and bare[0] >= 8 and (sized or self._inch_follows(bare[1])):
            # "a bare sixteenth", or "sixteenth of an inch deep": the article is swallowed
            return Amount(Fraction(1, bare[0]), place, bare[1], whole=False, part=True)
        over = self._below_hundred(place) or self._over_by_sound(place)
        if over is None:
            return None
        shorter = self._tens_alone(place)
        for number in (over, shorter) if shorter is not None else (over,):
            at = self.skip(number.after)
            part = self._part(at)
            if part is None:
                continue
            ordinal = self.word(part[1] - 1) in ORDINALS and number.value > 1
            slip = not ordinal and self._is_slip(place, number, part)
            if (number.value < part[0] or slip) and not (ordinal and part[0] == 3):
                lone = number.value == 1 and part[0] <= 4
                return Amount(
                    number.value / part[0], place, part[1], whole=False, lone=lone and alone,
                    thou=part[2], heard=number.heard, part=True,
                )  # fmt: skip
        return None

    def _is_slip(self, place: int, number: Amount, part: tuple[int, int, bool]) -> bool:
        """``thirty-three thirty-seconds``: more parts of an inch than it has, but one figure.

        What may as well be tens and a fraction, a gauge or a drill, is marked as run together;
        behind a sign it is.
        """
        soft = (self.word(part[1] - 1),) in _SOFT_PARTS
        if part[0] not in _FINE_PARTS or soft or number.value < part[0]:
            return False
        if self._tens_alone(place) is not None and number.after > place + 1:
            if self.seams.is_signed(place):
                return False
            self.seams.run_together.add(place)
        return True

    def _over_by_sound(self, place: int) -> Amount | None:
        word = self.word(place)
        if self.heard and word in HEARD_AS and self._part(place + 1) is not None:
            part = self._part(place + 1)
            if part is not None and part[0] >= 4:
                return Amount(Fraction(HEARD_AS[word]), place, place + 1, heard=1)
        return None

    def _tens_alone(self, place: int) -> Amount | None:
        """The tens word without the one behind it: "twenty three-quarter" is not meant by it."""
        word = self.word(place)
        return Amount(Fraction(_TENS[word]), place, place + 1) if word in _TENS else None


_TORN = {"thir": 3, "fif": 5, "a": 8}

BEGINNINGS = frozenset(
    {*_SMALL, *_TENS, *_NOUGHTS, *_A, *HEARD_AS, *NEARLY_HEARD_AS, *_TORN, HUNDRED, THOUSAND}
    | {"point", "half", "quarter", DOZEN[0], *(words[0] for words in _PART)}
)
"""Words with which an amount may begin."""

_EATERS = frozenset({"i", "we", "he", "she", "they", "you", "who"})
_SCALE = {HUNDRED: 100, THOUSAND: 1000}
_ROWS = frozenset({"mark", "marks", "groove", "grooves", "station", "step", "and", "to", "or"})
"""Behind these figures stand for themselves."""

_SAID_BEHIND_SOUND = frozenset({"mm", "cm", "in", "deg", "rpm", "percent", "grit", "gauge", "ml"})
_WAITED = frozenset({"hours", "minutes", "days", "mins", "hrs"})
_PARTICLES = frozenset({"up", "down", "out", "off", "over", "together"})
_MOVES = word_set("move moved go step click count skip index turn forward")
_TAKES_NUMBER = word_set("are were these those other only all")

_SIZED = frozenset({"bare", "scant", "good", "full", "fat", "generous", "strong", "tight", "clean"})
"""What is said between an article and a part of an inch (common practice, no source)."""

_SAID_OF_SIZES = frozenset({"square", "long", "wide", "deep", "across", "thick", "by", "tops"})
_WAITS = frozenset({"s", "min", "h", "day", "week", "month", "year", "mile"})
_FEW = frozenset({"few", "several", "many", "a", "the", "couple", "per", "of", "by"})

# verbs, nouns and adjectives after which "for" and "to" are what they are
_TAKES_PREPOSITION = word_set(
    "look looking looks wait waiting ready room time used use need needs good great fine allow "
    "allowing go going goes went come comes came switch switching move moving over on up down "
    "close closer next back due thanks back want wants have has had got able try trying check "
    "checking ask asking pay listen listening marks mark made make set sets convert converted "
    "turn turned attention add added according as in and not out how easy hard safe"
)


def is_quantified(tokens: Sequence[Token], place: int, *, strictly: bool = False) -> bool:
    """Whether a unit or a counted thing begins at ``place``.

    Args:
        tokens: of the sentence.
        place: behind the number.
        strictly: a counted thing must be in the plural ("for stops", not "for stop").
    """
    if place >= len(tokens):
        return False
    if unit_at(tokens, place, digits=False) is not None:
        return True
    word = tokens[place].word
    if word == "drill":
        return not strictly
    return is_counted(word, strictly=strictly)


def is_counted(word: str, *, strictly: bool = False) -> bool:
    """Whether a word names a thing that turners count.

    >>> is_counted("grooves"), is_counted("passes"), is_counted("dividers")
    (True, True, False)
    """
    counted = trade_words().counted
    word = trade_words().heard.get(word, word)
    if word in counted:
        return not strictly
    endings = (word.removesuffix("s"), word.removesuffix("es"), word.removesuffix("ves") + "f")
    return word.endswith("s") and any(one != word and one in counted for one in endings)
