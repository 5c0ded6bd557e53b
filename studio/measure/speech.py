"""A measurement's printed text as a voice says it: ``5/8 in`` is five eighths of an inch.

The figures stay those of the printed text; nothing is rounded or converted here. British usage:
"one hundred and eighty", "point four one four".
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from studio.language import spoken as language_spoken
from studio.measure.measurement import in_both
from studio.measure.number_words import HUNDRED, MILLION, ONES, ORDINALS, PARTS, TENS, THOUSAND

_GROUPS = ((1_000_000, MILLION), (1_000, THOUSAND))

LARGEST = 999_999_999
"""The largest whole number that is put into words (ours)."""


def cardinal(number: int) -> str:
    """A whole number in words, 0 to :data:`LARGEST`.

    Raises:
        ValueError: out of range.

    >>> cardinal(1_260)
    'one thousand two hundred and sixty'
    """
    if not 0 <= number <= LARGEST:
        raise ValueError(f"{number} is not put into words")
    if number < len(ONES):
        return ONES[number]
    if number < 100:
        tens, one = divmod(number, 10)
        return TENS[tens] + (f"-{ONES[one]}" if one else "")
    if number < 1000:
        hundreds, rest = divmod(number, 100)
        return f"{ONES[hundreds]} {HUNDRED}" + (f" and {cardinal(rest)}" if rest else "")
    size, word = next(group for group in _GROUPS if number >= group[0])
    groups, rest = divmod(number, size)
    joined = f" and {cardinal(rest)}" if 0 < rest < 100 else f" {cardinal(rest)}" if rest else ""
    return f"{cardinal(groups)} {word}{joined}"


def ordinal(number: int) -> str:
    """A position in words, 0 to 99.

    Raises:
        ValueError: out of range.

    >>> ordinal(3), ordinal(20), ordinal(24)
    ('third', 'twentieth', 'twenty-fourth')
    """
    if not 0 <= number < 100:
        raise ValueError(f"{number} is not put into words as a position")
    if number < len(ORDINALS):
        return ORDINALS[number]
    tens, one = divmod(number, 10)
    return f"{TENS[tens]}-{ORDINALS[one]}" if one else TENS[tens].removesuffix("y") + "ieth"


def decimal(digits: str) -> str:
    """A printed decimal number in words; digits after the point one by one.

    >>> decimal("0.414"), decimal("17.5")
    ('point four one four', 'seventeen point five')
    """
    whole, _, rest = digits.replace(",", "").partition(".")
    if not rest:
        return cardinal(int(whole))
    after = "point " + " ".join(ONES[int(digit)] for digit in rest)
    return after if not whole or int(whole) == 0 else f"{cardinal(int(whole))} {after}"


UNIT_WORDS = {
    "mm": ("millimetre", "millimetres"),
    "cm": ("centimetre", "centimetres"),
    "in": ("inch", "inches"),
    "cm²": ("square centimetre", "square centimetres"),
    "in²": ("square inch", "square inches"),
    "cm³": ("cubic centimetre", "cubic centimetres"),
    "in³": ("cubic inch", "cubic inches"),
    "g": ("gram", "grams"),
    "oz": ("ounce", "ounces"),
    "ml": ("millilitre", "millilitres"),
    "fl oz": ("fluid ounce", "fluid ounces"),
    "rpm": ("revolution a minute", "revolutions a minute"),
    "m/s": ("metre a second", "metres a second"),
    "ft/min": ("foot a minute", "feet a minute"),
    "°": ("degree", "degrees"),
    "°C": ("degree Celsius", "degrees Celsius"),
    "°F": ("degree Fahrenheit", "degrees Fahrenheit"),
    "%": ("percent", "percent"),
    "s": ("second", "seconds"),
    "min": ("minute", "minutes"),
    "h": ("hour", "hours"),
    "AWG": ("gauge", "gauge"),
    "SWG": ("standard wire gauge", "standard wire gauge"),
}
"""Each printed unit as it is said of one and of several."""

_NUMBER = r"\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?"
_UNIT = "|".join(sorted((re.escape(unit) for unit in UNIT_WORDS), key=len, reverse=True))
_SPOKEN = re.compile(
    rf"(?P<drill>\#(?P<size>\d+))"
    rf"|(?P<paper>\b(?P<scale>P|CAMI )(?P<grit>\d{{2,4}})\b)"
    rf"|(?P<fraction>(?:(?P<whole>\d+)\s)?(?P<over>\d+)/(?P<under>\d+)(?:\s?(?P<of>{_UNIT})(?!\w))?)"
    rf"|(?P<number>{_NUMBER})(?:\s?(?P<unit>{_UNIT})(?!\w))?"
)


def spoken(text: str, *, before_noun: bool = False) -> str:
    """A measurement's printed text with its figures, units and signs in words.

    Args:
        text: as printed; one capital letter is a drill's size.
        before_noun: whether what it is the size of follows: "the 48 mm cup".

    >>> spoken("2 1/4 in"), spoken("22 AWG"), spoken("#51"), spoken("O")
    ('two and a quarter inches', 'twenty-two gauge', 'number fifty-one', 'letter O')
    >>> spoken("48 mm", before_noun=True), spoken("9/64 in", before_noun=True)
    ('forty-eight millimetre', 'nine sixty-fourths inch')
    """
    if language_spoken().is_first and _LETTER.fullmatch(text):
        return f"letter {text}"
    return "".join(piece.said for piece in said_pieces(text, before_noun=before_noun))


class SaidPiece(NamedTuple):
    """A stretch of a text: where it begins there, how it is said, and whether it is a figure."""

    at: int
    said: str
    is_figure: bool


def said_pieces(text: str, *, before_noun: bool = False) -> Iterator[SaidPiece]:
    """A running text as a voice says it: its figures in words, all else as it stands.

    One capital letter is a word here, as in "I" and "A": nothing tells a drill's size from it.

    Args:
        text: plain.
        before_noun: as for :func:`spoken`.

    >>> [piece.said for piece in said_pieces("A 5/8 in hole.")]
    ['A ', 'five eighths of an inch', ' hole.']
    """
    at = 0
    # other languages have no words for figures here: a voice reads them off as they are printed
    for match in _SPOKEN.finditer(text) if language_spoken().is_first else ():
        yield SaidPiece(at, text[at : match.start()], is_figure=False)
        yield SaidPiece(match.start(), _said(match, before_noun=before_noun), is_figure=True)
        at = match.end()
    yield SaidPiece(at, text[at:], is_figure=False)


def spoken_in_both(first: str, other: str, *, before_noun: bool = False) -> str:
    """A printed text as a voice says it, in both systems where there is another reading.

    >>> spoken_in_both("60 mm", "2 3/8 in"), spoken_in_both("12", "")
    ('sixty millimetres or two and three eighths inches', 'twelve')
    """
    said = spoken(first, before_noun=before_noun)
    if not other:
        return said
    if not language_spoken().is_first:
        return in_both(first, other)
    return f"{said} or {spoken(other, before_noun=before_noun)}"


_LETTER = re.compile("[A-Z]")
"""A drill's size by its letter, which is printed alone."""

_PART_OF = ("in", "oz", "fl oz")
"""Units of which a decimal part is said: point eight of an ounce."""

_SIZED = ("mm", "cm", "in", "°", "s", "min", "h")
"""Units of which one is said before a noun: a sixty millimetre ball, a six hour wait."""


def _said(match: re.Match[str], *, before_noun: bool) -> str:
    if match["drill"]:
        return f"number {cardinal(int(match['size']))}"
    if match["paper"]:
        return f"{match['scale'].strip()} {_grit(int(match['grit']))}"
    if match["fraction"]:
        return _fraction(match, before_noun=before_noun)
    number, unit = match["number"], match["unit"]
    words = decimal(number)
    if not unit:
        return words
    one, many = UNIT_WORDS[unit]
    if before_noun and unit in _SIZED:
        return f"{words} {one}"
    if unit in _PART_OF and float(number) < 1 and "." in number:
        return f"{words} of {_a(one)}"
    return f"{words} {one if number == '1' else many}"


def _grit(number: int) -> str:
    """A paper's number as turners say it: one eighty, twelve hundred, a thousand in words.

    >>> _grit(180), _grit(400), _grit(1200), _grit(80)
    ('one eighty', 'four hundred', 'twelve hundred', 'eighty')
    """
    hundreds, rest = divmod(number, 100)
    if not hundreds or number % 1000 == 0:
        return cardinal(number)
    return f"{cardinal(hundreds)} {cardinal(rest) if rest else 'hundred'}"


def _fraction(match: re.Match[str], *, before_noun: bool) -> str:
    whole, over, under = match["whole"], int(match["over"]), int(match["under"])
    one, many = PARTS.get(under, (f"over {cardinal(under)}", f"over {cardinal(under)}"))
    name, plural = UNIT_WORDS[match["of"]] if match["of"] else ("", "")
    single = over == 1 and under in PARTS
    if before_noun and name and whole is None:
        return f"{one if single else f'{cardinal(over)} {many}'} {name}"
    if single and under == 2 and whole is None:
        return f"half {_a(name)}" if name else "a half"
    part = _a(one) if single else f"{cardinal(over)} {many}"
    if whole is None:
        return f"{part} of {_a(name)}" if name else part
    words = f"{cardinal(int(whole))} and {part}"
    return f"{words} {name if before_noun else plural}" if name else words


def _a(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"
