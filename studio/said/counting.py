"""What a whole number counts, or is a size or a place of: "twelve marks", "the 18 hole"."""

from __future__ import annotations

from fractions import Fraction

from studio.measure.number_words import ONES, ORDINALS, TENS
from studio.said.amounts import Amount, Reader, is_counted
from studio.said.approximations import ADJECTIVES
from studio.said.units import MM, unit_at
from studio.said.vocabulary import trade_words
from studio.said.words import word_set

USUAL_GRITS = frozenset(
    {40, 60, 80, 100, 120, 150, 180, 220, 240, 280, 320, 360, 400, 500, 600, 800, 1000, 1200}
    | {1500, 2000}
)
"""Papers as they are sold (common practice, no source); in talk said without a unit."""

IN_ALL = (("in", "all"), ("in", "total"), ("all", "told"), ("altogether",))
"""Behind a number that counts all there are."""

ORDERED = frozenset({"groove", "stop", "lobe", "station"})
"""What is gone through in order by its number; a round, a mark or a coat is only named so."""

_ONE_OF_MANY = ORDERED | {"mark"}
"""What is one of a whole where its number stands before "of": "mark three of twelve"."""

HALF_COUNTED = frozenset({"turns", "twists", "turn", "twist", "laps"})
"""What is counted in halves too."""

_MADE_OF_HOLES = word_set("circle row index pattern wheel disc disk one ones sheet dividing strip")
"""What is called by how many holes it has, besides things that are counted themselves."""

_MOST_IN_ALL = 60
"""Up to so many things are counted in all; more are a size (ours)."""

_ALL_OF = frozenset({"these", "those", "the", "your", "our", "my", "his", "her"})

_CONTRACTED = frozenset({"s", "ll", "d", "ve", "re", "will", "is"})

_PASSED_OVER = frozenset({"more", "other", "equal", "odd", "something", "such", "whole"})

_ONLY_TALK = frozenset({"time", "piece", "position", "turn", "cut", "round", "face", "wire"})
"""Of what is counted, words that mostly say something else: no pronoun stands for them."""

_PAPERS = frozenset({"paper", "sandpaper", "abrasive", "sheet", "disc", "mesh", "wet"})

_COUNTING = frozenset({"count", "counting", "number", "numbered", "numbering", "numbers"})


class Counting:
    """Reads what the numbers of one sentence count."""

    def __init__(self, read: Reader):
        self.read = read

    def thing_of(self, amount: Amount) -> str:
        """What a whole number counts: the word for it behind the number; empty for nothing."""
        at = self.read.skip(amount.after)
        if amount.whole and (thing := self._pointed_at(amount)):
            return thing
        if not amount.whole:
            return self.read.word(at) if self.read.word(at) in HALF_COUNTED else ""
        if self.read.word(at).endswith("ed"):
            # "eight-sided", "twelve-lobed", "two-stranded"
            for bare in (self.read.word(at)[:-1], self.read.word(at)[:-2]):
                if is_counted(bare):
                    return bare
        if self._is_whole_of(amount.first):
            return next(
                word for word in (self.read.word(amount.first - back) for back in (2, 3, 4))
                if word in _ONE_OF_MANY
            )  # fmt: skip
        if thing := self._behind_a_size(at):
            return thing
        words = trade_words()
        for offset in range(3):
            word = self.read.word(at + offset)
            if at + offset >= len(self.read.tokens) or self.read.tokens[at + offset].kind != "word":
                return ""
            if word in _PASSED_OVER:
                continue
            if word in words.function or word in ONES or word in TENS or word in ORDINALS:
                return ""
            if word in _PAPERS and amount.value in USUAL_GRITS:
                return ""  # "the 180 paper" is one sheet
            if is_counted(word, strictly=offset > 0):
                return "" if self.sized(amount) else self._head_of(at + offset)
            bare, apostrophe, ending = word.partition("'")
            if apostrophe and ending in _CONTRACTED and is_counted(bare, strictly=offset > 0):
                return bare  # "the twenty-four plate's on the lathe"
            plural = word.endswith("s") and not word.endswith(("ss", "us", "'s"))
            if word in ("people", "children", "men", "women", "folk"):
                return word if offset < 2 else ""
            if plural and word not in words.no_plural and len(word) > 3:
                return word if offset < 2 else ""
            if word in words.no_plural:
                return ""
            if word in ADJECTIVES and not is_counted(
                self.read.word(at + offset + 1), strictly=True
            ):
                return ""
        return ""

    def _behind_a_size(self, place: int) -> str:
        """What is counted before its size: "four 1/4 in grooves"; empty for nothing."""
        size = self.read.at(place)
        unit = unit_at(self.read.tokens, size.after, digits=size.digits) if size else None
        if unit is None or unit.name not in MM:
            return ""
        at = self.read.skip(unit.after)
        return self.read.word(at) if is_counted(self.read.word(at), strictly=True) else ""

    def _pointed_at(self, amount: Amount) -> str:
        """What a pronoun behind a number stands for: "nine of them", "of these marks"."""
        at = amount.after
        if self.read.word(at) == "of" and self.read.word(at + 1) in _ALL_OF:
            for thing in (self.read.word(at + 2), self.read.word(at + 3)):
                if is_counted(thing, strictly=True):
                    return thing
            if self.read.word(at + 1) not in ("these", "those"):
                return ""
        if self.read.word(at) == "of" and self.read.word(at + 1) in ("us", "you"):
            return "people"
        them = self.read.word(at) == "of" and self.read.word(at + 1) in (
            "them",
            "those",
            "these",
            "em",
        )
        each = self.read.stands(at, ("each", "time")) or self.read.stands(at, ("at", "a", "time"))
        upto = self.read.stands(amount.first - 2, ("up", "to")) and bool(
            {self.read.word(p) for p in range(amount.first - 5, amount.first - 1)} & _COUNTING
        )
        whole = amount.value <= _MOST_IN_ALL and any(
            self.read.stands(at, words) for words in IN_ALL
        )
        if not (them or each or upto or whole):
            return ""
        # the nearest thing before it that one counts
        for place in range(amount.first - 1, -1, -1):
            word = self.read.word(place)
            if whole and word in (".", "!", "?", ";"):
                break
            if is_counted(word) and word not in _ONLY_TALK:
                return word
        return "marks" if upto else "them" if them else ""

    def _head_of(self, place: int) -> str:
        """The last of the counted words that stand together: "stop plate", "hole plate"."""
        while is_counted(self.read.word(place + 1)) and not self.read.word(place).endswith("s"):
            place += 1
        return self.read.word(place)

    def sized(self, amount: Amount) -> str:
        """The noun behind a number that is its size or its drill: "eighteen hole", "#51 hole".

        In the singular, and by itself: "a 24 hole plate" has so many holes.
        """
        at = self.read.skip(amount.after)
        noun, behind = self.read.word(at), self.read.word(at + 1)
        alone = not is_counted(behind) and behind not in _MADE_OF_HOLES
        return noun if amount.value > 1 and alone and noun in trade_words().sized else ""

    def is_place(self, amount: Amount) -> bool:
        """Whether a mark is called by its number or its size: "at the twenty-eight mark"."""
        at = self.read.skip(amount.after)
        called = amount.whole and amount.value > 1 and self.read.word(amount.first - 1) == "the"
        alone = (
            not is_counted(self.read.word(at + 1)) and self.read.word(at + 1) not in _MADE_OF_HOLES
        )
        return called and self.read.word(at) == "mark" and alone and not self.read.heard

    def _is_whole_of(self, place: int) -> bool:
        """Whether "the third groove of six" or "groove 3 of 6" counts them all here."""
        if self.read.word(place - 1) != "of":
            return False
        before = self.read.word(place - 2)
        if (
            self.read.word(place - 3) in ("number", "no")
            and self.read.word(place - 4) in _ONE_OF_MANY
        ):
            return self.read.at(place - 2) is not None
        if before in ORDERED:
            return self.read.word(place - 3) in (*ORDINALS, "th", "rd", "nd", "st", "last")
        if self.read.word(place - 3) not in _ONE_OF_MANY:
            return False
        return (self.read.at(place - 2) or self.place_by_sound(place - 2)) is not None

    def place_by_sound(self, place: int) -> Amount | None:
        """``groove to``: two, where a verb could not stand."""
        word = self.read.word(place)
        follows = self.read.word(place + 1)
        # "from mark to mark" leads from one to the next
        other = follows in ("mark", "groove") and follows != self.read.word(place - 1)
        if word in ("ate", "won") or (
            word in ("for", "to", "too") and (other or self._at_end(place))
        ):
            return Amount(Fraction({"ate": 8, "won": 1, "for": 4}.get(word, 2)), place, place + 1)
        return None

    def _at_end(self, place: int) -> bool:
        return self.read.word(place + 1) in ("", "at", "in", "and", "is", "goes", "on", "of")
