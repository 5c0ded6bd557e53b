"""Finding numbers in a text, as digits and as the number words of workshop talk.

This first form finds what a person types: digits, decimals, fractions, and number words that stand
before a unit or a counted thing (``twelve marks``, ``five eighths of an inch``).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

VULGAR = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"

_DIGITS = rf"(?:\d[\d,]*(?:\.\d+)?(?:[ -]\d+[/⁄]\d+|[/⁄]\d+|\s?[{VULGAR}])?|\.\d+|[{VULGAR}])"

_UNITS = ("two", "three", "four", "five", "six", "seven", "eight", "nine")
_TEENS = (
    "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
    "eighteen", "nineteen",
)  # fmt: skip
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_PARTS = (
    "half", "halves", "third", "thirds", "quarter", "quarters", "eighth", "eighths", "sixteenth",
    "sixteenths", "thirty-seconds?", "sixty-fourths?", "tenths?", "hundredths?", "thousandths?",
    "thou",
)  # fmt: skip
_MEASURES = (
    "mm", "millimet(?:re|er)s?", "cm", "centimet(?:re|er)s?", "inch(?:es)?", "in", "foot", "feet",
    "gauge", "awg", "swg", "degrees?", "rpm", "revolutions?", "revs?", "percent", "per cent",
    "grit", "minutes?", "seconds?", "hours?", "days?", "weeks?", "grams?",
)  # fmt: skip
_THINGS = (
    "marks?", "stops?", "grooves?", "lobes?", "flutes?", "beads?", "coves?", "strands?",
    "wires?", "sides?", "facets?", "corners?", "plates?", "twists?", "turns?", "coats?", "times",
    "passes", "pieces?", "cuts?",
)  # fmt: skip

_WORD = "(?:" + "|".join((*_UNITS, *_TEENS, *_TENS, "hundred", "thousand", "dozen")) + ")"
_SPOKEN = rf"(?:(?:one|{_WORD}|point|zero|a|and)[ -])*(?:{_WORD}|one|zero)"
# a lone "third" counts ("third mark"); a lone half or quarter measures ("half turn")
_FRACTION = (
    rf"(?:(?:{_SPOKEN}[ -])?(?:and )?"
    rf"(?:(?:a |an |one |{_WORD}[ -])(?:{'|'.join(_PARTS)})|half|quarter))"
)
_OF = r"(?: of)?(?: an?)?(?: full| whole| more| index| octagon)?"
# one of a thing is talk ("one full twist in"), one of a measure is a measurement ("one inch")
_MANY = rf"(?:(?:one|{_WORD}|point|zero|a|and)[ -])*{_WORD}"
_QUANTITY = (
    rf"(?:{_FRACTION}|{_SPOKEN}){_OF}[ -](?:{'|'.join(_MEASURES)})"
    rf"|(?:{_FRACTION}|{_MANY}){_OF}[ -](?:{'|'.join(_THINGS)})"
    rf"|point(?: (?:zero|one|{_WORD}))+"
    rf"|(?:{_WORD}[ -])+(?:{'|'.join(_PARTS)})"
)
_ANY = re.compile(rf"(?<![\w.]){_DIGITS}|\b(?:{_QUANTITY})\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Found:
    """A number in a text: ``text[start:stop]`` is ``written``."""

    start: int
    stop: int
    written: str


def find_numbers(text: str) -> Iterator[Found]:
    """Every number of ``text``, in order and without overlap.

    >>> [found.written for found in find_numbers("mark 17.5 mm, twelve marks, 2 1/4 in")]
    ['17.5', 'twelve marks', '2 1/4']
    """
    for match in _ANY.finditer(text):
        yield Found(match.start(), match.end(), match[0])
