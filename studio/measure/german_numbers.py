"""Number words of German, as patterns: before a unit or a thing that is counted, figures.

>>> import re
>>> bool(re.fullmatch(CERTAIN, "siebzehn Komma fünf Millimeter", re.IGNORECASE))
True
>>> bool(re.fullmatch(PERHAPS, "zweiundzwanzig", re.IGNORECASE))
True
"""

from __future__ import annotations

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
_KIND = r"(?: [a-zäöüß]+){0,2}?"
"""Up to two words may stand between a number and what it counts: drei kleine Rundstäbe."""

CERTAIN = "|".join(
    (
        rf"(?:{_DECIMAL}|{_FRACTION}|{_WHOLE}|eine?[nmrs]?)[ -]?{_one_of(*_UNITS)}",
        rf"(?:{_DECIMAL}|{_WHOLE}){_KIND}[ -]?{_one_of(*_THINGS)}",
        _DECIMAL,
    )
)
"""A number with its unit or with what it counts, and any decimal."""

PERHAPS = _WHOLE
"""A number word that may be talk: die beiden anderen zwei."""
