"""What might have been said in place of a figure: slips of the tongue, and other right ways.

Everything starts from the figure as it is printed and goes through :func:`spoken`, so that a slip
is worded as the script would word it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from studio.episode.times import said_words
from studio.measure.number_words import HUNDRED, ONES, PARTS, THOUSAND
from studio.measure.rounding import FINEST_ON_A_RULE, decimal_text
from studio.measure.speech import UNIT_WORDS, spoken
from studio.turning.abrasives import PARTICLE_UM, GritScale
from studio.turning.sphere import figure_name, figure_sides

Words = tuple[str, ...]

_FIGURE = re.compile(
    r"(?P<sign>[#P]?)(?P<amount>(?:(?P<whole>\d+) )?(?P<over>\d+)/(?P<under>\d+)"
    r"|(?P<number>\d[\d,]*(?:\.\d+)?))(?P<unit>.*)"
)

_NEIGHBOURS, _EIGHTHS = 4, 8
"""Of a fraction, so many neighbours on either side are listened for; of halves, quarters and
eighths all the eighths (ours)."""

_SAME_KIND = (("mm", "in", "cm"), ("cm²", "in²"), ("cm³", "in³"), ("g", "oz"), ("ml", "fl oz"),
              ("s", "min", "h"), ("m/s", "ft/min"), ("AWG", "SWG"))  # fmt: skip
"""Units that measure the same, so that one is said for the other (ours)."""

_FIGURES = (*range(4, 13), 16, 24, 32)
"""Sides of the figures that are said for one another (ours)."""

_SHORT = {
    "millimetres": (("millimetre",), ("mil",), ("mils",), ("m", "m")),
    "inches": (("inch",),),
    "inch": (("inches",),),
    "degrees": (("degree",),),
}
_TURNS = ("revolutions", "a", "minute")
_TURNS_SHORT = (("revolutions", "per", "minute"), ("revs",), ("r", "p", "m"))
"""How a unit is said for short (common practice, no source)."""

_NOUGHT = ("zero", "nought", "oh")
_PART_OF_ONE = {("five",): 2, ("two", "five"): 4, ("seven", "five"): 4}
"""Decimals that are said as a half, a quarter, three quarters."""


def slips(printed: str) -> tuple[Words, ...]:
    """What might be said for a figure by a slip of the tongue.

    Neighbouring numbers, one digit for another, digits that change places, thirteen for thirty, a
    point that moves; another fraction of the same family; another unit of the same kind; another
    figure's name.

    Args:
        printed: as a measurement prints it: ``17.5 mm``, ``2 1/4 in``, ``P180``, ``octagon``.

    Returns:
        Each as words, none of them a right way to say the figure; nothing for a text that holds
        no figure.

    >>> ("thirty", "millimetres") in slips("13 mm"), ("hexagon",) in slips("octagon")
    (True, True)
    >>> slips("octagon's")[0]
    ("quadrilateral's",)
    """
    right = set(right_ways(printed))
    found = (said_words(spoken(text)) for text in _slipped(printed))
    return tuple(dict.fromkeys(words for words in found if words not in right))


def right_ways(printed: str) -> tuple[Words, ...]:
    """How a figure is rightly said; first as the script says it.

    >>> [" ".join(way) for way in right_ways("17.5 mm")[:2]]
    ['seventeen point five millimetres', 'seventeen and a half millimetres']
    """
    ways = list(scripted(printed)[:1])
    for change in (_as_a_part, _with_nought, _without_and, _a_hundred, _paper, _unit_for_short):
        ways += [other for words in tuple(ways) for other in change(words)]
    return tuple(dict.fromkeys((*ways, *scripted(printed))))


def scripted(printed: str) -> tuple[Words, ...]:
    """How a script says a figure: by itself, and before what it is the size of.

    >>> [" ".join(way) for way in scripted("48 mm")]
    ['forty eight millimetres', 'forty eight millimetre']
    """
    ways = (said_words(spoken(printed, before_noun=sized)) for sized in (False, True))
    return tuple(dict.fromkeys(ways))


def _slipped(printed: str) -> Iterator[str]:
    name = printed.lower().removesuffix("'s")
    sides = figure_sides(name)
    if sides is not None:
        singular = name if figure_sides(name.removesuffix("s")) is None else name.removesuffix("s")
        ending = printed[len(singular) :]
        yield from (f"{figure_name(n)}{ending}" for n in _FIGURES if n != sides)
        return
    match = _FIGURE.fullmatch(printed)
    if match is None:
        return
    sign, amount, unit = match["sign"], match["amount"], match["unit"]
    amounts = _fractions(match) if match["under"] else _numbers(match["number"])
    for other in amounts:
        yield f"{sign}{other}{unit}"
    if sign == "P":
        yield from (f"P{grit}" for grit in PARTICLE_UM[GritScale.FEPA_P])
    for kind in _SAME_KIND:
        if unit.strip() in kind:
            yield from (f"{amount} {other}" for other in kind if other != unit.strip())


def _fractions(match: re.Match[str]) -> Iterator[str]:
    whole, over, under = int(match["whole"] or 0), int(match["over"]), int(match["under"])
    near = range(max(1, over - _NEIGHBOURS), min(under, over + _NEIGHBOURS + 1))
    parts = {Fraction(n, under) for n in near}
    if _EIGHTHS % under == 0:
        parts |= {Fraction(n, _EIGHTHS) for n in range(1, _EIGHTHS)}
    other = 2
    while other <= FINEST_ON_A_RULE:
        # five eighths for five sixteenths
        if over < other and FINEST_ON_A_RULE % under == 0:
            parts.add(Fraction(over, other))
        other *= 2
    for part in sorted(parts - {Fraction(over, under)}):
        yield f"{whole} {part}" if whole else str(part)
    if whole:
        yield str(whole)
        yield from (f"{n} {over}/{under}" for n in (whole - 1, whole + 1) if n)
        if whole == 1:
            yield f"{over}/{under}"


def _numbers(text: str) -> Iterator[str]:
    """Other numbers for one, with a point or without."""
    digits = text.replace(",", "")
    whole, _, rest = digits.partition(".")
    plain = whole + rest
    last = len(plain.rstrip("0"))
    found: list[str] = []
    for place in range(max(1, last)):
        found += [plain[:place] + digit + plain[place + 1 :] for digit in "0123456789"]
    for place in range(len(plain) - 1):
        found.append(plain[:place] + plain[place + 1] + plain[place] + plain[place + 2 :])
    others = [f"{one[: len(whole)]}.{one[len(whole) :]}".rstrip(".") for one in found]
    value = int(whole)
    tail = f".{rest}" if rest else ""
    steps = (1, 2) if value < 100 else (10, 100)
    near = [value + by for step in steps for by in (-step, step)]
    # thirteen and thirty, in the last two digits of any number
    if 13 <= value % 100 <= 19:
        near.append(value - value % 100 + 10 * (value % 10))
    elif value % 10 == 0 and 30 <= value % 100 <= 90:
        near.append(value - value % 100 + 10 + value % 100 // 10)
    others += [f"{other}{tail}" for other in near if other >= 0]
    if rest:
        tenth = 10 ** len(rest)
        finest = Fraction(int(plain), tenth)
        ends = (finest - Fraction(1, tenth), finest + Fraction(1, tenth))
        others += [decimal_text(end, len(rest)) for end in ends if end > 0]
        # a point that is passed over, or stands elsewhere
        others += [whole, f"{value * 10}{tail}", str(int(plain))]
    else:
        others += [str(value * 10)] + ([str(value // 10)] if value % 10 == 0 else [])
    for other in dict.fromkeys(others):
        before, _, behind = other.partition(".")
        is_said_so = (before == "0" or not before.startswith("0")) and not behind.endswith("0")
        if is_said_so and float(other.replace(",", "")) not in (0, float(digits)):
            yield other


def _as_a_part(words: Words) -> Iterator[Words]:
    """Seventeen and a half for seventeen point five."""
    if "point" not in words or words[0] == "point":
        return
    place = words.index("point")
    stop = place + 1
    while stop < len(words) and words[stop] in ONES:
        stop += 1
    under = _PART_OF_ONE.get(words[place + 1 : stop])
    if under is not None:
        one, many = PARTS[under]
        part = ("three", many) if words[place + 1] == "seven" else ("a", one)
        yield (*words[:place], "and", *part, *words[stop:])


def _with_nought(words: Words) -> Iterator[Words]:
    if words[0] == "point":
        yield from ((nought, *words) for nought in _NOUGHT)


def _without_and(words: Words) -> Iterator[Words]:
    """One hundred eighty."""
    for place, word in enumerate(words):
        if word == "and" and place and words[place - 1] in (HUNDRED, THOUSAND):
            yield (*words[:place], *words[place + 1 :])


def _a_hundred(words: Words) -> Iterator[Words]:
    if words[0] == "one" and words[1:2] in ((HUNDRED,), (THOUSAND,)):
        yield ("a", *words[1:])


def _paper(words: Words) -> Iterator[Words]:
    """One eighty grit for P one eighty."""
    if words[0] == "p":
        yield from (words[1:], (*words[1:], "grit"))


def _unit_for_short(words: Words) -> Iterator[Words]:
    for short in _SHORT.get(words[-1], ()):
        yield (*words[:-1], *short)
    if words[-3:] == _TURNS:
        yield from ((*words[:-3], *short) for short in _TURNS_SHORT)
    # left out, where what is left still is a number
    for names in UNIT_WORDS.values():
        unit = said_words(names[1])
        if words[-len(unit) :] == unit and len(words) > len(unit):
            yield words[: -len(unit)]
