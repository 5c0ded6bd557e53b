"""Units as they are said: words, signs, and what recognisers make of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from studio.measure.speech import UNIT_WORDS
from studio.measure.units import MINUTES_PER_DAY, MINUTES_PER_HOUR, MM_PER_INCH
from studio.said.words import Token, tokens_of, word_set

MM = {"mm": Fraction(1), "cm": Fraction(10), "in": MM_PER_INCH}
"""Millimetres to each unit of length that a turner states a piece in."""

MINUTES = {
    "min": Fraction(1),
    "h": Fraction(MINUTES_PER_HOUR),
    "day": Fraction(MINUTES_PER_DAY),
}
"""Minutes to each unit of waiting."""

SAME_UNITS = ({"gauge", "swg"}, {"count", "ordinal", "sides", ""})
"""A bare "gauge" is of either wire standard; counts, positions and sides are printed bare."""

PRINTED = {
    "mm": "mm", "cm": "cm", "in": "in", "°": "deg", "rpm": "rpm", "%": "percent", "min": "min",
    "h": "h", "day": "day", "days": "day", "s": "s", "ml": "ml", "g": "g", "oz": "oz",
    "fl oz": "fl oz", "AWG": "gauge", "SWG": "swg", "cm²": "cm2", "in²": "in2", "cm³": "cm3",
    "in³": "in3", "m/s": "m/s", "ft/min": "ft/min", "°C": "°C", "°F": "°F",
    "grit": "grit",
}  # fmt: skip
"""The name of each printed unit in talk."""

# what else they are called; American spellings and what a recogniser writes for them among it
_OTHERS: dict[str, tuple[str, ...]] = {
    "mm": ("mm", "mms", "m m", "em em", "mil", "mils", "mill", "mills", "milli", "mill emitters",
           "milly meters", "mille", "meal", "meals"),
    "cm": ("cm", "cms", "c m"),
    "in": ('"', "″", "”", "''", "inch", "inches", "in.", "inch's", "inchs", "itches",
           "hinch", "hinches"),
    "deg": ("°", "deg", "degs", "degrees", "degree", "degree's", "decrees", "decree",
            "degreed", "degrease"),
    "rpm": (
        "rpms", "revs per min", "revs a min",
        "rpm", "r p m", "rp m", "r pm", "r.p.m", "r.p.m.", "revs", "revs a minute",
        "revs per minute", "rev a minute", "revolutions", "revolutions a minute",
        "revolutions per minute", "are p m", "are pm", "our pm", "arpm", "r / min", "rev / min",
    ),
    "percent": ("%", "percent", "per cent", "per sent", "per scent", "per cents", "percents",
                "pc", "pct"),
    "gauge": ("awg", "a w g", "ga", "gauge", "gage", "gauges", "american wire gauge"),
    "swg": ("swg", "s w g", "standard wire gauge"),
    "grit": ("grit", "grits", "grid", "gritt", "gritz"),
    "min": ("min", "mins", "minute", "minutes", "minuets", "minute's", "minuet"),
    "h": ("h", "hr", "hrs", "hour", "hours", "ours", "hour's"),
    "day": ("day", "days"),
    "ml": ("ml", "mls"),
    "g": ("g", "gram", "grams", "gramme", "grammes", "gramm", "gramms", "grahams", "gram's"),
    "m/s": ("metres per second", "metres a second", "meters per second", "meters a second",
            "m per s"),
    "ft/min": ("feet per minute", "feet a minute", "surface feet per minute", "surface feet",
               "foot per minute", "ft per min"),
    # nothing of the piece is given in these, but the figure before them is one all the same
    "s": ("s", "sec", "secs", "seconds"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "tpi": ("tpi", "t p i", "threads per inch", "threads to the inch", "threads an inch"),
    "ft": ("ft", "foot", "feet"),
    "kg": ("kg", "kilo", "kilos", "kilogram", "kilograms"),
    "lb": ("lb", "lbs"),
    "litre": ("litre", "litres", "liter", "liters", "l"),
    "€": ("euro", "euros", "€"),
    "£": ("quid", "£", "pounds", "pound", "pounds sterling"),
    "$": ("dollar", "dollars", "bucks", "$"),
    "p": ("pence",),
    "c": ("cents",),
    "hp": ("hp", "horsepower", "horse power", "h p"),
    "W": ("w", "watt", "watts"),
    "kW": ("kw", "kilowatt", "kilowatts"),
    "V": ("v", "volt", "volts"),
    "A": ("amp", "amps"),
    "dB": ("db", "decibel", "decibels"),
    "year": ("year", "years", "yr", "yrs", "years old", "year old"),
    "month": ("month", "months"),
    "week": ("week", "weeks"),
    "mile": ("mile", "miles"),
    "°C": ("° c", "degrees celsius", "degrees centigrade", "celsius", "centigrade", "degrees c"),
    "°F": ("° f", "degrees fahrenheit", "fahrenheit", "degrees f"),
}  # fmt: skip

OURS = frozenset(
    {"mm", "cm", "in", "deg", "rpm", "percent", "gauge", "swg", "grit", "min", "h", "day", "ml"}
    | {"g", "oz", "fl oz", "cm2", "in2", "cm3", "in3", "m/s", "ft/min", "s"}
)
"""Units in which a design prints something."""

MONEY = frozenset({"€", "£", "$", "p", "c"})

# only behind figures, never behind number words: "two in the box", "a hundred m and s"
_AFTER_DIGITS = frozenset({"g", "h", "m", "s", "l", "w", "v", "a", "pc", "ga", "min", "c", "in"})

Words = tuple[str, ...]


# how a recogniser takes "milli" and "centi" to pieces, and what stands between them and the metre
_SMALL_UNITS = {
    ("mm", "ml"): ("mil", "mill", "milli", "millie", "milly", "mille", "milla", "miller", "mili"),
    ("cm", "cl"): ("cent", "centi", "senti", "scent", "sent", "center"),
}
_BETWEEN = ((), ("a",), ("i",), ("e",), ("y",), ("er",))
_BASES = (("meter", "meters", "metre", "metres"), ("liter", "liters", "litre", "litres"))


def _taken_to_pieces() -> Iterator[tuple[Words, str]]:
    for units, beginnings in _SMALL_UNITS.items():
        for unit, bases in zip(units, _BASES, strict=True):
            for begin, between, base in product(beginnings, _BETWEEN, bases):
                yield (begin, *between, base), unit
                yield (f"{begin}{base}",), unit


_TYPED = ("millimter", "milimter", "milimeter", "milimetre", "millmeter", "millimeteer",
          "millimetr", "milimetr", "mmeter")  # fmt: skip
"""Millimetres as they are mistyped."""


def _table() -> dict[Words, str]:
    found: dict[Words, str] = dict(_taken_to_pieces())
    found.update({(f"{name}{ending}",): "mm" for name in _TYPED for ending in ("", "s")})
    for printed, names in UNIT_WORDS.items():
        for name in names:
            found[tuple(name.lower().split())] = PRINTED[printed]
        found[tuple(token.word for token in tokens_of(printed))] = PRINTED[printed]
    for unit, others in _OTHERS.items():
        for name in others:
            found[tuple(token.word for token in tokens_of(name))] = unit
    return found


_UNITS = _table()
_LONGEST = max(len(words) for words in _UNITS)
_FIRSTS = frozenset(words[0] for words in _UNITS)


@dataclass(frozen=True, slots=True)
class SaidUnit:
    """A unit at a place: its name, the number of the token behind it."""

    name: str
    after: int


def unit_at(tokens: Sequence[Token], place: int, *, digits: bool) -> SaidUnit | None:
    """The unit that begins at token ``place``, a hyphen before it passed over.

    Args:
        tokens: of the sentence.
        place: where it may begin.
        digits: whether figures stand before it; behind words one letter is no unit.
    """
    if place < len(tokens) and tokens[place].text in ("-", "–") and tokens[place].glued:
        place += 1
    if place >= len(tokens):
        return None
    first = tokens[place].word
    if first == "”" and any(token.text == "“" for token in tokens[:place]):
        return None  # it closes a quotation
    if first == "in":
        return _inch(tokens, place) if digits else None
    if first == "'" and place + 1 < len(tokens) and tokens[place + 1].text == "'":
        return SaidUnit("in", place + 2)
    if first not in _FIRSTS:
        return None
    for count in range(min(_LONGEST, len(tokens) - place), 0, -1):
        words = tuple(token.word for token in tokens[place : place + count])
        unit = _UNITS.get(words)
        if unit is None:
            continue
        if not digits and count == 1 and words[0] in _AFTER_DIGITS:
            return None
        return SaidUnit(unit, place + count)
    return None


_AFTER_PREPOSITION = word_set(
    "all the a an my your his her our each every this that those these total one favour favor turn"
)
_PLACE = frozenset({"here", "there"})


def _inch(tokens: Sequence[Token], place: int) -> SaidUnit | None:
    """``in`` behind a figure: the unit, or the preposition of "2 coats, 3 in all".

    A decimal or whole figure "in from the corner" is a setting whose unit was not said; a fraction
    is of an inch in any case.
    """
    before = tokens[place - 1] if place else None
    fraction = (place >= 2 and tokens[place - 2].text in ("/", "⁄")) or (
        before is not None and before.kind == "vulgar"
    )
    after = tokens[place + 1].word if place + 1 < len(tokens) else ""
    if after in _AFTER_PREPOSITION or (after in {"from", *_PLACE} and not fraction):
        return None
    if after == "." and place + 2 < len(tokens) and tokens[place + 1].glued:
        # the point of an abbreviation, or of the sentence: it belongs to neither
        return SaidUnit("in", place + 1)
    return SaidUnit("in", place + 1)


def same_quantity(value: Fraction, unit: str, printed: Fraction, printed_unit: str) -> bool:
    """Whether two figures are exactly one, lengths and times in any of their units.

    >>> same_quantity(Fraction(58, 10), "cm", Fraction(58), "mm")
    True
    """
    for sizes in (MM, MINUTES):
        if unit in sizes and printed_unit in sizes:
            return value * sizes[unit] == printed * sizes[printed_unit]
    return unit == printed_unit and value == printed
