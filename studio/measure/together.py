"""What reads as one: a number and what it counts, a short form and the word that it belongs to.

A point behind a short form ends no sentence. Lines and captions break, and narrations are cut into
sentences, by the rules here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from studio.language import spoken

CLOSING = "\"'”’“»)]"
"""Signs that may stand behind the point of a sentence."""

_OPENING = "\"'“‘„«(["

_NUMBER = re.compile(r"(?:.*[^\w.,/⁄])?[\d.,/⁄¼½¾⅐-⅞]*[\d¼½¾⅐-⅞]", re.DOTALL)
"""A number, whatever sign stands before it; ``P240`` is none."""

_WAITED_FOR = re.compile(
    r"(?!(?:and|or|of|at|to|then|und|oder|von|auf|bis|dann)\b)(?:[^\W_]|[°µ%‰″′×·\"'¼½¾⅐-⅞])"
)
"""A number waits for its unit or for what it counts, and a whole one for its fraction."""


NUMBERED = frozenset({"cami", "fepa", "p", "grit"})
"""Words, in small letters, whose number behind them is a name: papers by their scale."""


@dataclass(frozen=True, slots=True)
class _Short:
    """A language's short forms, in small letters and without their last point.

    Attributes:
        leading: they belong to the word behind them, whatever it is.
        counting: to a number or to a word in small letters; else they end their sentence ("No.").
        closing: they end a sentence where no word in small letters and no number is behind them.
        parts: of several, with what stands before them.
    """

    leading: frozenset[str]
    counting: frozenset[str]
    closing: frozenset[str]
    parts: frozenset[tuple[str, str]]

    @classmethod
    def of(cls, leading: str, counting: str, closing: str, parts: str = "") -> _Short:
        """From words apart; of short forms in two parts, with their space as ``_``."""
        split = (one.split("_") for one in parts.split())
        return cls(
            frozenset(leading.split()),
            frozenset(counting.split()),
            frozenset(closing.split()),
            frozenset((before, word) for before, word in split),
        )


# common practice, no source
_SHORT = {
    "en": _Short.of(
        "dr mr mrs ms messrs prof rev st mt approx ca cf vs viz e.g i.e esp incl excl",
        "no nos fig figs max min dia diam av avg p pp pt vol ch sec",
        "etc in ins ft yd oz lb lbs hr hrs mins secs a.m p.m thk",
    ),
    "de": _Short.of(
        "dr hr hrn fr prof st ca z.b d.h u.a z.t ggf evtl bzw inkl exkl vgl sog max min mind "
        "durchm z d u",
        "nr nrn abb s bd kap",
        "usw usf etc std sek m.e o.ä",
        "z_b d_h u_a z_t",
    ),
}


def _short() -> _Short:
    """Those of the language that is spoken; of one without a list none is known."""
    return _SHORT.get(spoken().tag) or _Short.of("", "", "")


def waits_for(word: str, following: str) -> bool:
    """Whether a word is a number that the one behind it counts, or is the unit of.

    Args:
        word: plain.
        following: plain.

    >>> waits_for("(12", "mm"), waits_for("2", "1/2"), waits_for("12", "and")
    (True, True, False)
    """
    return bool(_NUMBER.fullmatch(word) and _WAITED_FOR.match(following)) or (
        # of a size in two directions
        word in ("×", "x") and following[:1].isdigit()
    )


def leads(word: str, following: str, before: str = "") -> bool:
    """Whether a word is a short form, or a scale, that belongs to the word or number behind it.

    Args:
        word: plain.
        following: plain.
        before: plain; the word in front of it, empty where there is none.

    >>> leads("Dr.", "Smith"), leads("No.", "4"), leads("No.", "Do"), leads("wood.", "then")
    (True, True, False, False)
    >>> leads("CAMI", "220,"), leads("CAMI", "papers")
    (True, False)
    """
    if word.lstrip(_OPENING).casefold() in NUMBERED and following[:1].isdigit():
        return True
    stem = _stem(word)
    short = _short()
    if not stem or not following:
        return False
    if stem in short.leading or (_stem(before), stem) in short.parts:
        return True
    return stem in short.counting and _goes_on(following)


def ends_sentence(word: str, following: str = "", before: str = "") -> bool:
    """Whether a sentence ends with a word; otherwise as :func:`leads`.

    >>> ends_sentence("wood.", "Then"), ends_sentence("Mr.", "Ash"), ends_sentence("Stop!”")
    (True, False, True)
    >>> ends_sentence("in.", "wide"), ends_sentence("in.", "Then")
    (False, True)
    """
    bare = word.rstrip(CLOSING)
    if not bare.endswith((".", "!", "?")):
        return False
    if not following:
        return True
    if leads(bare, following, before):
        return False
    return not (_stem(bare) in _short().closing and _goes_on(following))


def _stem(word: str) -> str:
    """A word in small letters without its last point; empty where it has none."""
    return word.lstrip(_OPENING)[:-1].casefold() if word.endswith(".") else ""


def _goes_on(following: str) -> bool:
    first = following.lstrip(_OPENING)[:1]
    return first.islower() or first.isnumeric() or first in ("#", ".", "-", "−", "+", "±")
