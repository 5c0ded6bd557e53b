"""A whole number right before a fraction: one mixed number, or two figures.

"2 5/8 square" is one, "drill #51 5/8 in deep" and "groove 4 1/16 deep" are two each: talk and
captions leave the comma out. A sign before the whole number settles it. The number of a place or of
a drill, and a count before its things, may be either: what stands around it says which is likelier,
the other reading is kept, and what the design has decides (``heard.py``). Anywhere else the two are
one number: read apart, "the hole is 2 5/8 in deep" would be right about a hole 5/8 in deep.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from enum import Enum

from studio.said.vocabulary import trade_words
from studio.said.words import Token, is_number, word_set

_SIGNS = frozenset({"#", "№", "number", "p", "cami"})
"""Behind these a figure is whole: a drill's number, a paper's grit, the number of a place."""

_UNITS_AHEAD = frozenset({"grit", "gauge", "awg", "swg"})
"""Behind these too, unless they belong to a figure before them: "20 gauge 2 1/2 in long"."""

_PLACES = frozenset({"groove", "lobe", "station"})
_PLACES_OR_VERBS = frozenset({"mark", "stop", "line", "step"})
"""Things called by their number; the second are things only where a verb cannot stand."""

_SIZE = "size"
_TAKES_A_DRILL = word_set("use take with by through grab fit chuck get pick")

_DETERMINERS = word_set("a an the this that each every one your my our its another which")
"""Before a thing these leave it without a number of its own: "each groove 1 1/4 wide"."""

_A = ("a", "an")
_PREPOSITIONS = word_set("at from on in into of past behind between by through till until")
_TO = frozenset({"to", "through", "and", "till", "until"})
"""Between the numbers of two places: "marks 1 to 8"."""

_COUNTED_BEHIND = word_set(
    "cut turn make drill twist scribe pencil strike mark carve the all these those our my your"
)
"""Behind these a count may stand, with its things behind a size: "Cut 4 1/4 in grooves"."""


class Seam(Enum):
    """What a whole number and the fraction behind it are."""

    TWO = "two figures, by a sign"
    RATHER_TWO = "two figures, or else one"
    RATHER_ONE = "one mixed number, or else two figures"
    ONE = "one mixed number"


class Seams:
    """The seams of one sentence: where a whole number meets a fraction.

    Attributes:
        met: where it could be read otherwise: the whole number's first token, and the token behind
            the fraction.
        run_together: first token of each mixed number read without "and" between its two figures.
    """

    def __init__(self, tokens: Sequence[Token], turned: Collection[int] = ()):
        """Seams as they are likeliest, but for those turned.

        Args:
            tokens: of the sentence.
            turned: number of the first token of each whole number that is read the other way.
        """
        self._tokens = tokens
        self._turned = turned
        self.met: dict[int, int] = {}
        self.run_together: set[int] = set()

    def parts(self, first: int, after: int, *, joined: bool = False) -> bool:
        """Whether a whole number and the fraction behind it are two figures.

        Args:
            first: the whole number's first token.
            after: the token behind the fraction.
            joined: whether "and" stands between them; then only a sign parts them.
        """
        kind = self._kind(first, after)
        if joined:
            # "number two and a half" is one number, "#51 and 5/8" are two
            return kind is Seam.TWO and self._word(after - 2) not in _A
        if kind in (Seam.RATHER_TWO, Seam.RATHER_ONE):
            self.met[first] = after
        two = (kind in (Seam.TWO, Seam.RATHER_TWO)) != (first in self.met and first in self._turned)
        if not two:
            self.run_together.add(first)
        return two

    def _kind(self, first: int, after: int) -> Seam:
        if self._is_named(first):
            return Seam.TWO
        if (kind := self._of_place(first, after) or self._of_drill(first)) is not None:
            return kind
        return Seam.RATHER_ONE if self._is_count(first, after) else Seam.ONE

    def is_signed(self, first: int) -> bool:
        """Whether "#", "number" or a paper's letter stands before a number; it has no decimals."""
        word, before = self._word(first - 1), self._word(first - 2)
        dotted = word == "." and before == "no" and self._tokens[first - 1].glued
        return word in _SIGNS or dotted

    def _is_named(self, first: int) -> bool:
        """Whether a sign, or a word that is as good, stands before the whole number."""
        word, before = self._word(first - 1), self._word(first - 2)
        if word in _UNITS_AHEAD:
            return not self._is_number(first - 2)
        return self.is_signed(first) or (word == _SIZE and before in trade_words().drills)

    def _of_place(self, first: int, after: int) -> Seam | None:
        """``groove 4 1/16 deep``, ``marks 1 to 8 31/32 apart``; not "each groove 1 1/4 wide"."""
        place = first - 1
        if self._word(place) in _TO and self._is_number(place - 1):
            place -= 2
            if not self._word(place).endswith("s"):
                return None
        thing, before = self._word(place).removesuffix("s"), self._word(place - 1)
        plain = place == first - 1
        if thing not in _PLACES | _PLACES_OR_VERBS or (plain and self._word(place) != thing):
            return None
        if {before, self._word(place - 2)} & _DETERMINERS:
            return None
        if before in _TO and self._word(place - 2) == thing:
            return None  # "from mark to mark 1 1/4 in"
        # "from mark 1 to mark 2", but "the dividers to mark 1 1/4 in from the edge"
        is_noun = before in _PREPOSITIONS or (before in _TO and self._is_number(place - 2))
        if not plain or thing in _PLACES or is_noun:
            return Seam.RATHER_TWO
        goes_on = self._word(after) in _TO and self._word(after + 1) == thing
        return Seam.RATHER_ONE if goes_on else None  # "mark 1 1/4 to mark 2"

    def _of_drill(self, first: int) -> Seam | None:
        """``use drill 51 5/8 in deep``; "drill 2 1/2 in deep" tells how deep."""
        place = first - 1
        if self._word(place) in _A:
            place -= 1  # "drill a 51 5/8 in deep"
        if self._word(place) not in trade_words().drills:
            return None
        taken = self._word(place - 1) in _TAKES_A_DRILL and place == first - 1
        return Seam.RATHER_TWO if taken else Seam.RATHER_ONE

    def _is_count(self, first: int, after: int) -> bool:
        """``Cut 4 1/4 in grooves``, ``the 4 1/4 in grooves``: so many things of that size."""
        things = (self._word(after), self._word(after + 1))
        many = any(one.endswith("s") and one[:-1] in _PLACES | _PLACES_OR_VERBS for one in things)
        return many and self._word(first - 1) in _COUNTED_BEHIND

    def _is_number(self, place: int) -> bool:
        return is_number(self._word(place))

    def _word(self, place: int) -> str:
        return self._tokens[place].word if 0 <= place < len(self._tokens) else ""
