"""Number words of German, as patterns: before a unit or a thing that is counted, figures.

>>> import re
>>> bool(re.fullmatch(CERTAIN, "siebzehn Komma fünf Millimeter", re.IGNORECASE))
True
>>> bool(re.fullmatch(PERHAPS, "zweiundzwanzig", re.IGNORECASE))
True
>>> [figure_sides(word) for word in ("Zwölfeck", "Sechzehneckseite", "Viereck", "zweckmäßig")]
[12, 16, None, None]
"""

from __future__ import annotations

import re
from functools import cache

_ONES = ("zwei", "zwo", "drei", "vier", "fünf", "sechs", "sieben", "acht", "neun")
_TEENS = (
    "zehn", "elf", "zwölf", "dreizehn", "vierzehn", "fünfzehn", "sechzehn", "siebzehn", "achtzehn",
    "neunzehn",
)  # fmt: skip
_TENS = (
    "zwanzig", "dreißig", "dreissig", "vierzig", "fünfzig", "sechzig", "siebzig", "achtzig",
    "neunzig",
)  # fmt: skip

_UNITS = (
    "mm", "millimetern?", "cm", "zentimetern?", "meter", "zoll", "fuß", "grad", "prozent", "gramm",
    r"u/min", "umdrehungen", "minuten?", "stunden?", "sekunden?", "tagen?", "wochen?", "körnung",
)  # fmt: skip
_THINGS = (
    "marken?", "rasten?", "nuten?", "rillen?", "segmenten?", "stegen?", "drähten?", "seiten?",
    "ecken", "flächen", "bohrungen", "aufträgen?", "umdrehungen", "runden", "schnitten?", "teilen?",
    "rundstäben?", "hohlkehlen",
)  # fmt: skip


def _one_of(*words: str) -> str:
    return f"(?:{'|'.join(words)})"


_BELOW_HUNDRED = _one_of(rf"(?:{_one_of('ein', *_ONES)}und)?{_one_of(*_TENS)}", *_TEENS, *_ONES)
_BELOW_THOUSAND = _one_of(
    rf"{_one_of('ein', *_ONES)}?hundert(?:und)?(?:{_BELOW_HUNDRED}|eins?)?", _BELOW_HUNDRED
)
_WHOLE = _one_of(
    rf"(?:ein|{_BELOW_THOUSAND})?tausend(?:und)?(?:{_BELOW_THOUSAND}|eins?)?", _BELOW_THOUSAND
)
_DIGIT = _one_of("null", "eins", *_ONES)
_DECIMAL = rf"(?:{_WHOLE}|null|eins) komma {_DIGIT}(?: {_DIGIT})*"
_PART = r"(?:halbe[nrsm]?|drittel|viertel|achtel|sechzehntel|zweiunddreißigstel|vierundsechzigstel)"
_FRACTION = rf"(?:{_WHOLE} )?(?:{_WHOLE}|eine?[nmrs]?|ein)[ ]?{_PART}"
_AND_A_HALF = rf"(?:anderthalb|(?:ein|{_WHOLE})einhalb)"
_DOZEN = rf"(?:(?:{_WHOLE}|ein|halbe[sn]) )?dutzend"
_KIND = r"(?: [a-zäöüß]+){0,2}?"
"""Up to two words may stand between a number and what it counts: drei kleine Rundstäbe."""

CERTAIN = "|".join(
    (
        rf"(?:{_DECIMAL}|{_AND_A_HALF}|{_FRACTION}|{_WHOLE}|eine?[nmrs]?|halbe[nmrs]?)[ -]?"
        rf"{_one_of(*_UNITS)}",
        rf"(?:{_DECIMAL}|{_AND_A_HALF}|{_DOZEN}|{_WHOLE}){_KIND}[ -]?{_one_of(*_THINGS)}",
        _DECIMAL,
    )
)
"""A number with its unit or with what it counts, and any decimal."""

PERHAPS = rf"(?:{_AND_A_HALF}|{_DOZEN}|{_WHOLE})"
"""A number word that may be talk: die beiden anderen zwei."""

_FIGURE = re.compile(rf"({_BELOW_HUNDRED})eck\w*", re.IGNORECASE)
_FEWEST_SIDES = 5
"""A Dreieck or Viereck is talk, as a triangle or a square is."""


@cache
def _below_hundred() -> dict[str, int]:
    """What each number word from 2 to 99 means."""
    values = {word: place for place, word in enumerate(_TEENS, 10)}
    ones = {"ein": 1, "zwei": 2, "zwo": 2}
    ones |= {word: place for place, word in enumerate(_ONES[2:], 3)}
    tens = {word: 10 * place for place, word in enumerate((w for w in _TENS if "iss" not in w), 2)}
    tens["dreissig"] = tens["dreißig"]
    for ten, tenfold in tens.items():
        values[ten] = tenfold
        values |= {f"{one}und{ten}": tenfold + value for one, value in ones.items()}
    return values | {word: value for word, value in ones.items() if value > 1}


def figure_sides(word: str) -> int | None:
    """How many sides the figure has that a word names or begins with: Sechseck, Achteckseite.

    None when it names none of five sides to 99.
    """
    named = _FIGURE.fullmatch(word)
    sides = _below_hundred()[named[1].lower()] if named is not None else 0
    return sides if sides >= _FEWEST_SIDES else None
