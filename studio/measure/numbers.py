"""Finding numbers in a text, as digits and as the number words of workshop talk.

What is *certain* is a figure wherever it stands: digits, decimals, fractions, and number words
before a unit or before a thing that turners count and compute (``twelve equal divisions``). Any
other number word (``the other two``, ``four jaws``) is found too, but may be talk.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

from studio.language import FIRST, language_of, spoken
from studio.measure.german_numbers import CERTAIN as GERMAN
from studio.measure.german_numbers import PERHAPS as PERHAPS_GERMAN
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

_SIGNS = "".join(VULGAR)
_FRACTION_OF = rf"[ -]\d+[/⁄]\d+|[/⁄]\d+|\s?[{_SIGNS}]"
_DIGITS = rf"(?:\d+(?:,\d\d\d)*(?:\.\d+)?(?:{_FRACTION_OF})?|(?<!\d)\.\d+|[{_SIGNS}])"

# a lone half, third or quarter is talk more often than the finer parts are
_COARSE = (PARTS[2][0], *PARTS[3], PARTS[4][0])
_FINE = (PARTS[4][1], *(rf"{PARTS[n][0]}s?" for n in (8, 16, 32, 64, 10, 100, 1000)), THOU)
_MEASURES = (
    "mm", "millimet(?:re|er)s?", "cm", "centimet(?:re|er)s?", "inch(?:es)?", "feet", "gauge",
    "awg", "swg", "degrees?", "rpm", "revolutions?", "percent", "per cent", "grit", "grams?",
)  # fmt: skip
_TIMES = ("minutes?", "seconds?", "hours?", "days?", "weeks?")
_THINGS = (
    "marks?", "stops?", "grooves?", "lobes?", "flutes?", "beads?", "coves?", "strands?", "wires?",
    "sides?", "facets?", "divisions?", "segments?", "holes?", "coats?", "twists?", "passes",
    "cuts?", "ribs?", "rings?", "laps?",
)  # fmt: skip
# any squared blank has its four corners: more of these were cut
_CUT_TO_SHAPE = ("corners?", "edges", "flats", "faces")
_UP_TO_FOUR = rf"(?:{'|'.join(ONES[2:5])})[ -](?!{HUNDRED}|{THOUSAND})"

# "one" is talk too often to be a number by itself
_WORD = "(?:" + "|".join((*ONES[2:], *TENS[2:], HUNDRED, THOUSAND, DOZEN[0])) + ")"
_SPOKEN = rf"(?:(?:one|{_WORD}|point|zero|a|and)[ -])*(?:{_WORD}|one|zero)"
_MANY = rf"(?:(?:one|{_WORD}|point|zero|a|and)[ -])*{_WORD}"
# a lone "third" counts ("third mark"); a lone half or quarter measures ("half turn")
_FRACTION = (
    rf"(?:(?:{_SPOKEN}[ -])?(?:and )?"
    rf"(?:(?:a |an |one |{_WORD}[ -])(?:{'|'.join((*_COARSE, *_FINE))})|half|quarter))"
)
_OF = r"(?: of)?(?: an?)?"
# up to two words may stand between a number and what it counts: "three small beads"
_KIND = r"(?:[ -][a-z]+){0,2}?"
_CERTAIN = "|".join(
    (
        rf"(?:{_FRACTION}|{_SPOKEN}|a couple of|an?|half){_OF}[ -](?:{'|'.join(_MEASURES)})"
        rf"(?: and (?:{_FRACTION}))?",
        rf"(?:{_FRACTION}|{_MANY}){_OF}[ -](?:{'|'.join(_TIMES)})",
        rf"(?:{_MANY}|a couple of){_KIND}[ -](?:{'|'.join(_THINGS)})",
        rf"(?!{_UP_TO_FOUR}){_MANY}{_KIND}[ -](?:{'|'.join(_CUT_TO_SHAPE)})",
        rf"{_FRACTION} (?:turn|twist)s?",
        rf"{_MANY}-sided",
        rf"point(?: (?:zero|one|{_WORD}))+",
        rf"(?:{_WORD}|one|an?)[ -](?:{'|'.join(_FINE)})",
        rf"(?:{_WORD}[ -])+(?:{'|'.join((*_COARSE, *_FINE))})",
        rf"(?:grit|gauge) {_MANY}",
    )
)
_PERHAPS = rf"{_MANY}|a couple of"
# every one of these begins so: looked at first, it spares most words the long patterns
_OPENING = "|".join(
    (_WORD, "one", "point", "zero", "half", "quarter", "grit", "gauge", "a(?:nd?)?[ -]")
)
_ANY = (
    rf"(?P<digits>{_DIGITS})"
    rf"|\b(?={_OPENING})(?:(?P<certain>{_CERTAIN})\b|(?P<perhaps>{_PERHAPS})\b)"
)
NUMBER_WORDS = {"de": (GERMAN, PERHAPS_GERMAN)}
"""In other languages: number words that are figures, and those that may be talk."""

_TENTHS = "|".join(f"{ten[:-1]}ieth" for ten in TENS[2:])
_LATER = (
    rf"(?:(?:{'|'.join(TENS[2:])})[ -](?:{'|'.join(ORDINALS[1:10])})"
    rf"|{'|'.join(ORDINALS[2:])}|{_TENTHS})"
)
# "first cut, then ..." counts nothing
_POSITION = re.compile(
    rf"(?:(?<=\bevery )|(?<=\beach ))(?:{_LATER}|{ORDINALS[1]})\b|(?<=\bevery )other\b"
    rf"|(?:\b{_LATER}|(?<=\bthe ){ORDINALS[1]})(?=[ -](?:{'|'.join(_THINGS)})\b)",
    re.IGNORECASE,
)

# one minute or one turn may be talk; a quarter of the work is, a quarter of an inch is not
_TALK = re.compile(r"(?:a|one) (?:quarter|half|third)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Found:
    """A number in a text: ``text[start:stop]`` is ``written``.

    ``certain`` is false for a number word that may be talk.
    """

    start: int
    stop: int
    written: str
    certain: bool = True


def find_numbers(text: str, besides: Iterable[str] = ()) -> Iterator[Found]:
    """Every number of ``text``, in order and without overlap.

    Args:
        text: any text.
        besides: phrases in which digits and number words are no figures.

    >>> [found.written for found in find_numbers("mark 17.5 mm, twelve marks, 2 1/4 in")]
    ['17.5', 'twelve marks', '2 1/4']
    """
    return iter(_numbers(text, tuple(besides), spoken().tag))


@lru_cache(maxsize=256)
def _numbers(text: str, besides: tuple[str, ...], language: str) -> tuple[Found, ...]:
    """Kept for the next check that reads the same text: most texts stand in several outputs."""
    excused = [
        (match.start(), match.end())
        for phrase in besides
        for match in re.finditer(_phrase(phrase), text, re.IGNORECASE)
    ]
    found: list[Found] = []
    for match in _any_in(language).finditer(text):
        if any(start <= match.start() and match.end() <= stop for start, stop in excused):
            continue
        certain = match["perhaps"] is None and not _TALK.fullmatch(match[0])
        found.append(Found(match.start(), match.end(), match[0], certain))
    return tuple(found)


@cache
def _any_in(language: str) -> re.Pattern[str]:
    """Numbers in a language: its own signs in digits, and its number words."""
    if language == FIRST:
        return re.compile(_ANY, re.IGNORECASE)
    signs = language_of(language)
    group, point = re.escape(signs.group), re.escape(signs.decimal)
    digits = (
        rf"(?:\d+(?:{group}\d\d\d)*(?:{point}\d+)?(?:{_FRACTION_OF})?|(?<!\d){point}\d+"
        rf"|[{_SIGNS}])"
    )
    certain, perhaps = NUMBER_WORDS[language]
    return re.compile(
        rf"(?P<digits>{digits})|\b(?P<certain>{certain})\b|\b(?P<perhaps>{perhaps})\b",
        re.IGNORECASE,
    )


def _phrase(phrase: str) -> str:
    words = r"\s+".join(re.escape(word) for word in phrase.split())
    return rf"(?<!\w){words}(?!\w)"


def figures(text: str, besides: Iterable[str] = ()) -> Iterator[Found]:
    """The certain numbers of ``text``."""
    return (found for found in find_numbers(text, besides) if found.certain)


def find_positions(text: str) -> Iterator[Found]:
    """Every position in words that counts things: ``every fourth stop``, ``the third groove``,
    ``every other mark``.

    English alone. Such words are positions in talk of any kind; here are those behind "every" and
    those before a thing that turners count.

    >>> [found.written for found in find_positions("First mark every fourth stop.")]
    ['fourth']
    """
    for match in _POSITION.finditer(text):
        yield Found(match.start(), match.end(), match[0])


_PORTION = re.compile(
    r"\b(?:(?:two |three )?(?:thirds|quarters|fifths) of|(?:a |one )?(?:third|quarter|fifth) of"
    r"|half(?: of)?|twice|thrice|doubled?|trebled?|tripled?)(?: the| a| an| that| its)?\s+",
    re.IGNORECASE,
)


def portion_before(text: str, start: int) -> int:
    """Where words begin that make another figure of the one at ``start``; ``start`` without any.

    English alone.

    >>> portion_before("Drill it twice 12 mm deep.", 15), portion_before("Drill it 12 mm.", 9)
    (9, 9)
    """
    for found in _PORTION.finditer(text, max(0, start - _LONGEST_PORTION), start):
        if found.end() == start:
            return found.start()
    return start


_LONGEST_PORTION = 30
"""So many letters such words come to at most, their article included (ours)."""
