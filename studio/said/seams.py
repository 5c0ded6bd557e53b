"""A whole number right before a fraction: one mixed number, or two figures.

"2 5/8 square" is one, "drill #51 5/8 in deep" and "groove 4 1/16 deep" are two each: talk and
captions leave the comma out. What stands before the whole number says which is likelier; the other
reading is kept, and what the design has decides (``heard.py``).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from studio.measure.number_words import HUNDRED, ONES, TENS
from studio.said.words import Token, word_set

_SIGNS = frozenset({"#", "№", "number", "p", "cami"})
"""Behind these a figure is whole: a drill's number, a paper's grit, the number of a place."""

_UNITS_AHEAD = frozenset({"grit", "gauge", "awg", "swg"})
"""Behind these too, unless they belong to a figure before them: "20 gauge 2 1/2 in long"."""

_PLACES = frozenset({"groove", "lobe", "station", "step"})
_PLACES_OR_VERBS = frozenset({"mark", "stop", "line"})
"""Things called by their number; the second are things only where a verb cannot stand."""

_DETERMINERS = word_set("a an the this that each every one your my our its another which")
"""Before a thing these leave it without a number of its own: "each groove 1 1/4 wide"."""

_PREPOSITIONS = word_set("at to from on in into of past behind between by through till until")


class Seams:
    """The seams of one sentence: where a whole number meets a fraction."""

    def __init__(self, tokens: Sequence[Token], turned: Collection[int] = ()):
        """Seams as they are likeliest, but for those turned.

        Args:
            tokens: of the sentence.
            turned: number of the first token of each whole number that is read the other way.
        """
        self._tokens = tokens
        self._turned = turned
        self.met: dict[int, int] = {}

    def parts(self, first: int, after: int, *, joined: bool = False) -> bool:
        """Whether a whole number and the fraction behind it are two figures.

        Args:
            first: the whole number's first token.
            after: the token behind the fraction.
            joined: whether "and" stands between them; then only a sign parts them.
        """
        named = self._is_named(first)
        if joined and not named:
            return False
        self.met[first] = after
        return named != (first in self._turned)

    def _is_named(self, first: int) -> bool:
        """Whether a word before the whole number makes it a name, which has no fraction."""
        word, before = self._word(first - 1), self._word(first - 2)
        if word in _SIGNS or (word == "." and before == "no" and self._tokens[first - 1].glued):
            return True
        if word in _UNITS_AHEAD:
            return not self._is_number(first - 2)
        if word in _PLACES_OR_VERBS:
            return before in _PREPOSITIONS
        return word in _PLACES and not {before, self._word(first - 3)} & _DETERMINERS

    def _is_number(self, place: int) -> bool:
        word = self._word(place)
        return word[:1].isdigit() or (bool(word) and word in (*ONES, *TENS, HUNDRED))

    def _word(self, place: int) -> str:
        return self._tokens[place].word if 0 <= place < len(self._tokens) else ""
