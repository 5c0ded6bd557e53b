"""Numbers that stay with their units at the end of a line, on pages and on the sheets set from
them.

A no-break space stands between a number and its unit, within ``2 1/4``, and within ``CAMI 220``.
Texts that are copied from (replies, data, files of plain text) keep plain spaces.
"""

from __future__ import annotations

import re
from functools import cache

from studio.language import FIRST, spoken, unit_word
from studio.measure.number_words import VULGAR
from studio.measure.rounding import UNITS
from studio.measure.together import NUMBERED
from studio.measure.trace import END

NO_BREAK = "\u00a0"

_DIGIT = rf"[\d{''.join(VULGAR)}]"
_SCALE = rf"\b(?:{'|'.join(sorted(NUMBERED))})"
_SCALED = re.compile(rf"({_SCALE}) (?=\d)", re.IGNORECASE)
_PARTED = re.compile(f"({_DIGIT}{END}?|{_SCALE}){NO_BREAK}", re.IGNORECASE)
# where no element may stand, or where drawings lay their figures out themselves
KEPT = re.compile(r"<(title|svg|script|style|textarea)\b.*?</\1>|<[^>]*>", re.DOTALL)
"""What of a page is left as it is: tags, and what a reader does not read as running text."""


def pattern() -> str:
    """A regular expression of a number's last sign and the space behind it, of a text without
    marks.

    Its first group is that sign. Python and ECMAScript read it alike.
    """
    return f"({_DIGIT}){_behind(spoken().tag)}"


@cache
def _behind(language: str) -> str:
    # what is not translated yet stands in English
    words = {*UNITS, *map(unit_word, UNITS)} if language != FIRST else set(UNITS)
    units = "|".join(map(re.escape, sorted(words, key=lambda word: (-len(word), word))))
    return rf" (?=\d+[/⁄]\d|[{''.join(VULGAR)}]|(?:{units})(?![A-Za-zÀ-ɏ]))"


@cache
def _compiled(language: str) -> re.Pattern[str]:
    return re.compile(f"({_DIGIT}{END}?){_behind(language)}")


def unbroken(text: str) -> str:
    """A text, marked or not, whose numbers stay with their units, and papers with their scale.

    >>> unbroken("2 1/4 in or 57 mm").replace(NO_BREAK, "~")
    '2~1/4~in or 57~mm'
    >>> unbroken("CAMI 150, CAMI 220").replace(NO_BREAK, "~")
    'CAMI~150, CAMI~220'
    """
    held = rf"\1{NO_BREAK}"
    return _SCALED.sub(held, _compiled(spoken().tag).sub(held, text))


def unbroken_page(page: str) -> str:
    """The same of what is read on a page; its tags, drawings, scripts and fields stay."""
    out: list[str] = []
    at = 0
    for kept in KEPT.finditer(page):
        out += [unbroken(page[at : kept.start()]), kept[0]]
        at = kept.end()
    out.append(unbroken(page[at:]))
    return "".join(out)


def parted(text: str) -> str:
    """A text with plain spaces behind its numbers again: nothing else reads as it did.

    >>> parted(unbroken("2 1/4 in, CAMI 220"))
    '2 1/4 in, CAMI 220'
    """
    return _PARTED.sub(r"\1 ", text)
