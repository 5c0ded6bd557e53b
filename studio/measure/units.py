"""Reading quantities as a turner writes them, and the only place where units are converted.

Lengths are exact fractions of a millimetre, so that ``2 1/4 in`` stays 57.15 mm to the last
digit. Every ``parse_*`` raises :class:`QuantityError`, whose two sentences say what is wrong and
what to write instead.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from studio.measure.measurement import System
from studio.measure.number_words import VULGAR

MM_PER_INCH = Fraction(254, 10)
"""Exact by definition (international inch, 1959; NIST SP 811, appendix B)."""

INCHES_PER_FOOT = 12
MM_PER_M = 1000
MM2_PER_CM2 = 100
MM3_PER_CM3 = 1000
GRAMS_PER_OUNCE = 28.349523125
"""International avoirdupois ounce, exact (NIST SP 811, appendix B)."""
MM3_PER_CUBIC_INCH = float(MM_PER_INCH**3)
CUBIC_INCHES_PER_US_GALLON = 231
US_FLUID_OUNCES_PER_GALLON = 128
"""The US liquid gallon, exact (NIST Handbook 44, appendix C)."""
MM3_PER_ML = 1000
MM3_PER_US_FLUID_OUNCE = (
    MM3_PER_CUBIC_INCH * CUBIC_INCHES_PER_US_GALLON / US_FLUID_OUNCES_PER_GALLON
)
MM3_PER_LITRE = 1_000_000
MM2_PER_M2 = 1_000_000
MM2_PER_SQUARE_FOOT = float((MM_PER_INCH * INCHES_PER_FOOT) ** 2)
MM3_PER_US_QUART = MM3_PER_CUBIC_INCH * CUBIC_INCHES_PER_US_GALLON / 4

_MAX_DIGITS = 12
"""A longer number is no measurement; the limit bounds the work done on a stranger's file."""

_NUMBER = r"\d+(?:\.\d+)?|\.\d+"
_AMOUNT = rf"(?:\d+[ -]+\d+/\d+|\d+/\d+|{_NUMBER})"
_FEET_AND_INCHES = re.compile(
    rf"(?P<feet>{_AMOUNT})\s*(?:ft|feet|foot|'|′)\s*(?:(?P<inches>{_AMOUNT})\s*(?:in|inch|inches|\"|″|'')?)?",
    re.IGNORECASE,
)
_SIMPLE = re.compile(rf"(?P<amount>{_AMOUNT})\s*(?P<unit>[a-zµ\"″'′°%/]*)", re.IGNORECASE)

_LENGTH_UNITS: dict[str, tuple[Fraction, System]] = {
    "mm": (Fraction(1), System.METRIC),
    "cm": (Fraction(10), System.METRIC),
    "m": (Fraction(MM_PER_M), System.METRIC),
    "in": (MM_PER_INCH, System.IMPERIAL),
    "inch": (MM_PER_INCH, System.IMPERIAL),
    "inches": (MM_PER_INCH, System.IMPERIAL),
    '"': (MM_PER_INCH, System.IMPERIAL),
    "″": (MM_PER_INCH, System.IMPERIAL),
    "''": (MM_PER_INCH, System.IMPERIAL),
}


class QuantityError(ValueError):
    """A quantity that cannot be read; ``what`` is wrong, ``write`` says what to write."""

    def __init__(self, what: str, write: str):
        self.what = what
        self.write = write
        super().__init__(f"{what}: {write}")


@dataclass(frozen=True, slots=True)
class Length:
    """A length as typed: exact millimetres, and the system and words it was typed in."""

    mm: Fraction
    system: System
    typed: str

    def __float__(self) -> float:
        return float(self.mm)


def mm_to_inches(mm: float) -> float:
    """Millimetres to inches."""
    return mm / float(MM_PER_INCH)


def mm_from(system: System, value: float) -> float:
    """A length in the system's own unit (mm or in) to millimetres."""
    return value if system is System.METRIC else value * float(MM_PER_INCH)


def _fraction(amount: str) -> Fraction:
    """``2 1/4``, ``2-1/4``, ``3/8``, ``2.25`` or ``.5`` as an exact fraction."""
    if sum(char.isdigit() for char in amount) > _MAX_DIGITS:
        raise QuantityError(
            f"{amount[:20]}… has too many digits", "write a number that a rule can measure"
        )
    whole, _, rest = amount.replace("-", " ").partition(" ")
    try:
        return Fraction(whole) + (Fraction(rest.strip()) if rest.strip() else 0)
    except ZeroDivisionError:
        raise QuantityError(
            f"{amount!r} divides by nothing", "write a fraction such as 1/4"
        ) from None


def _tidy(text: str) -> str:
    for sign, fraction in VULGAR.items():
        text = re.sub(rf"(?<=\d)\s*{sign}", f" {fraction}", text).replace(sign, fraction)
    return " ".join(text.replace("\u2044", "/").replace("\u00a0", " ").split())


def _amount_in(text: str) -> str:
    """A tidy text that holds an amount.

    Raises:
        QuantityError: the amount has a comma.
    """
    tidy = _tidy(text)
    if re.search(r"\d,|,\d", tidy):
        # printed figures have commas between thousands, and half the world has decimal ones
        write = "write a point before decimals and nothing between thousands: 57.5, 1000"
        raise QuantityError(f"{text[:40]!r} has a comma", write)
    return tidy


def parse_length(text: str) -> Length:
    """A length with its unit: ``57 mm``, ``2 1/4 in``, ``2 1/4"``, ``1' 3 1/2"``, ``½ in``.

    Raises:
        QuantityError: no unit, an unknown unit, no number, or a negative one.

    >>> float(parse_length("2 1/4 in").mm)
    57.15
    """
    tidy = _amount_in(text)
    example = "write a length with its unit, such as 57 mm or 2 1/4 in"
    if tidy.startswith(("-", "−")):
        raise QuantityError(f"{text!r} is negative", "write a length greater than nothing")
    feet = _FEET_AND_INCHES.fullmatch(tidy)
    # a doubled foot mark is a common way to type an inch mark
    if feet and not tidy.endswith("''"):
        inches = _fraction(feet["feet"]) * INCHES_PER_FOOT + _fraction(feet["inches"] or "0")
        return _measurable(Length(inches * MM_PER_INCH, System.IMPERIAL, tidy))
    match = _SIMPLE.fullmatch(tidy)
    if match is None:
        raise QuantityError(f"{text!r} is not a length", example)
    unit = match["unit"]
    amount = _fraction(match["amount"])
    if not unit:
        raise QuantityError(
            f"{text!r} has no unit", f"write {tidy} mm or {tidy} in, whichever you mean"
        )
    known = _LENGTH_UNITS.get(unit.lower())
    if known is None:
        raise QuantityError(f"{unit!r} is not a unit of length here", example)
    factor, system = known
    return _measurable(Length(amount * factor, system, tidy))


FINEST_DECIMALS = 3
FINEST_FRACTION = 64
"""Nobody measures finer than thousandths, or reads finer fractions than sixty-fourths (ours)."""


def _measurable(length: Length) -> Length:
    own = length.mm if length.system is System.METRIC else length.mm / MM_PER_INCH
    if (own * 10**FINEST_DECIMALS).denominator == 1 or FINEST_FRACTION % own.denominator == 0:
        return length
    raise QuantityError(
        f"{length.typed!r} is finer than a rule or callipers show",
        "write at most three decimals, or a fraction from halves to sixty-fourths",
    )


def _parse_with_unit(text: str, units: dict[str, Fraction], what: str, example: str) -> Fraction:
    match = _SIMPLE.fullmatch(_amount_in(text))
    if match is None or match["unit"].lower() not in units:
        raise QuantityError(f"{text!r} is not {what}", f"write {what}, such as {example}")
    return _fraction(match["amount"]) * units[match["unit"].lower()]


SLOWEST_SPEED = 10
FASTEST_SPEED = 20_000
"""Bounds on a typed speed, rpm (ours): beyond them it is a slip of the pen."""


def parse_speed(text: str) -> float:
    """A spindle speed in revolutions a minute: ``1200 rpm``.

    Raises:
        QuantityError: anything else.
    """
    speed = _parse_with_unit(text, {"rpm": Fraction(1)}, "a speed with its unit", "1200 rpm")
    if not SLOWEST_SPEED <= speed <= FASTEST_SPEED:
        raise QuantityError(
            f"{text!r} is no speed of a lathe",
            f"write a speed from {SLOWEST_SPEED} to {FASTEST_SPEED} rpm",
        )
    return float(speed)


def parse_angle(text: str) -> float:
    """An angle in degrees: ``60°``, ``60 deg``.

    Raises:
        QuantityError: anything else, or not between 0° and 180°.
    """
    units = {"°": Fraction(1), "deg": Fraction(1), "degrees": Fraction(1)}
    angle = _parse_with_unit(text, units, "an angle with its unit", "60°")
    if not 0 < angle < 180:
        raise QuantityError(f"{text!r} is no angle of a tool", "write more than 0° and below 180°")
    return float(angle)


MINUTES_PER_HOUR = 60
MINUTES_PER_DAY = 24 * MINUTES_PER_HOUR
_MINUTES = {
    "min": Fraction(1),
    "h": Fraction(MINUTES_PER_HOUR),
    "d": Fraction(MINUTES_PER_DAY),
    "day": Fraction(MINUTES_PER_DAY),
    "days": Fraction(MINUTES_PER_DAY),
}


def parse_duration(text: str) -> Fraction:
    """A time to wait, in minutes: ``15 min``, ``4 h``, ``2 d`` or ``2 days``.

    Raises:
        QuantityError: anything else, or more than a year.
    """
    minutes = _parse_with_unit(text, _MINUTES, "a time with its unit", "4 h")
    if minutes > 366 * MINUTES_PER_DAY:
        raise QuantityError(f"{text!r} is longer than a year", "write what the label says")
    return minutes


_COVERAGE = {
    "m2/l": MM2_PER_M2 / MM3_PER_LITRE,
    "ft2/gal": MM2_PER_SQUARE_FOOT / (4 * MM3_PER_US_QUART),
    "ft2/qt": MM2_PER_SQUARE_FOOT / MM3_PER_US_QUART,
}


def parse_coverage(text: str) -> float:
    """How far a finish goes, in mm² a mm³ of it: ``10 m²/l``, ``400 ft²/gal`` (US), ``100 ft²/qt``.

    Raises:
        QuantityError: anything else.

    >>> parse_coverage("10 m²/l")
    10.0
    """
    tidy = _amount_in(text).replace("²", "2").lower().replace("litre", "l").replace(" per ", "/")
    match = re.fullmatch(rf"(?P<amount>{_AMOUNT})\s*(?P<unit>[a-z]+2\s*/\s*[a-z]+)", tidy)
    unit = match["unit"].replace(" ", "") if match is not None else ""
    if match is None or unit not in _COVERAGE:
        raise QuantityError(
            f"{text[:40]!r} does not say how far a finish goes",
            "write what the label says: 10 m²/l, 400 ft²/gal or 100 ft²/qt (US)",
        )
    amount = float(_fraction(match["amount"]))
    if amount <= 0:
        raise QuantityError(f"{text[:40]!r} covers nothing", "write what the label says")
    return amount * _COVERAGE[unit]


FAHRENHEIT_STEP = Fraction(5, 9)
FAHRENHEIT_ZERO = 32
"""Degrees Celsius to one degree Fahrenheit, and where water freezes (exact by definition)."""


def parse_temperature(text: str) -> float:
    """A temperature in degrees Celsius: ``18 °C``, ``65 °F``.

    Raises:
        QuantityError: no unit, or anything else.

    >>> parse_temperature("68 °F")
    20.0
    """
    match = re.fullmatch(rf"(-?)({_NUMBER})\s*°?\s*([CF])", _amount_in(text), re.IGNORECASE)
    if match is None:
        raise QuantityError(f"{text!r} is not a temperature with its unit", "write 18 °C or 65 °F")
    degrees = _fraction(match[2]) * (-1 if match[1] else 1)
    if match[3].upper() == "F":
        degrees = (degrees - FAHRENHEIT_ZERO) * FAHRENHEIT_STEP
    return float(degrees)


def parse_percent(text: str) -> float:
    """A share of a hundred: ``60 %``.

    Raises:
        QuantityError: anything else, or more than 100.
    """
    value = _parse_with_unit(text, {"%": Fraction(1)}, "a percentage", "60 %")
    if value > 100:
        raise QuantityError(f"{text!r} is more than all", "write at most 100 %")
    return float(value)


_NUMBER_OF_PAPER = "([0-9]{2,4})"
_FEPA, _CAMI = "[Ff][Ee][Pp][Aa]", "[Cc][Aa][Mm][Ii]"
GRIT_LABEL = (
    rf"(?:(?:{_FEPA}\s*)?[Pp]\s*{_NUMBER_OF_PAPER}|{_CAMI}\s*{_NUMBER_OF_PAPER}"
    rf"|{_NUMBER_OF_PAPER}\s*{_CAMI})(?:\s*[Gg][Rr][Ii][Tt])?"
)
"""A paper with its scale, whatever the case of its letters; as a pattern of JSON Schema too, which
knows no flags."""


def parse_grit_label(text: str) -> str:
    """An abrasive by its scale: ``P180`` or ``FEPA P180``, ``CAMI 180`` or ``180 CAMI``.

    Raises:
        QuantityError: a bare number, which is another size on each scale, or anything else.

    >>> parse_grit_label("fepa p180"), parse_grit_label("120 CAMI grit")
    ('P180', 'CAMI 120')
    """
    match = re.fullmatch(GRIT_LABEL, _tidy(text))
    if match is None:
        raise QuantityError(
            f"{text[:20]!r} does not say which scale", "write P180 (FEPA) or CAMI 180"
        )
    fepa, *cami = match.groups()
    return f"P{fepa}" if fepa else f"CAMI {cami[0] or cami[1]}"


def parse_time(text: str) -> int:
    """A place in the film, in milliseconds: ``0:35``, ``12:05.5`` or ``1:02:03``.

    Raises:
        QuantityError: anything else; minutes and seconds run to 59.

    >>> parse_time("1:05.5")
    65500
    """
    match = re.fullmatch(r"(?:(\d{1,2}):)?(\d{1,2}):(\d{2})(?:\.(\d{1,3}))?", text.strip())
    if match is None or int(match[3]) > 59 or (match[1] and int(match[2]) > 59):
        raise QuantityError(
            f"{text!r} is not a time in the film",
            "write minutes and seconds, such as 0:35, or 1:02:03 with hours",
        )
    seconds = int(match[1] or 0) * 3600 + int(match[2]) * 60 + int(match[3])
    return seconds * 1000 + int((match[4] or "0").ljust(3, "0"))


@dataclass(frozen=True, slots=True)
class Plain:
    """A typed quantity that is neither converted nor computed with: ``15 min``, ``240 grit``.

    Attributes:
        value: the number.
        unit: as printed, empty for a count.
    """

    value: Fraction
    unit: str


PLAIN_UNITS = (
    "",
    "s",
    "min",
    "h",
    "day",
    "days",
    "grit",
    "%",
    "°",
    "rpm",
    "g",
    "°C",
    "°F",
    "coat",
    "coats",
    "time",
    "times",
)

_OF_ONE = {"days": "day", "coats": "coat", "times": "time"}
"""Units that are words, of several and of one."""


def _counted(value: Fraction, unit: str) -> str:
    """The form of a unit that goes with a number, whichever was typed."""
    of_several = {one: several for several, one in _OF_ONE.items()}
    return (_OF_ONE if value == 1 else of_several).get(unit, unit)


def parse_value(text: str) -> Length | Plain:
    """A design's own typed value: a length, or one of ``PLAIN_UNITS``.

    Raises:
        QuantityError: an unknown unit or no number.

    >>> parse_value("15 min").unit, parse_value("1 coats").unit, parse_value("2 coat").unit
    ('min', 'coat', 'coats')
    """
    match = re.fullmatch(rf"(?P<amount>{_AMOUNT})\s*(?P<unit>\D*)", _amount_in(text))
    if match is not None and match["unit"].strip() in PLAIN_UNITS:
        value = _fraction(match["amount"])
        return Plain(value, _counted(value, match["unit"].strip()))
    try:
        return parse_length(text)
    except QuantityError:
        raise QuantityError(
            f"{text!r} is not a value with a known unit",
            "write a length (6 mm, 1/4 in), a count, or a number with one of: "
            + ", ".join(unit for unit in PLAIN_UNITS if unit),
        ) from None


@dataclass(frozen=True, slots=True)
class Wire:
    """A wire as typed: a gauge number in a named standard, or a diameter.

    Attributes:
        standard: ``AWG`` or ``SWG``; empty for a diameter.
        gauge: the gauge number; 0000 is -3; None for a diameter.
        diameter: None for a gauge.
    """

    standard: str
    gauge: int | None
    diameter: Length | None


_GAUGE = re.compile(
    r"(?:(?P<before>[AS]WG)\s*)?(?:no\.?\s*)?(?P<number>[1-9]/0|0{1,4}|[1-9]\d{0,3})"
    r"\s*(?P<after>[AS]WG|ga|gauge|g)?\.?",
    re.IGNORECASE,
)


def parse_wire(text: str) -> Wire:
    """A wire with its standard: ``22 AWG``, ``SWG 22``, ``4/0 AWG``, ``0.6 mm``, ``0.025 in``.

    Whether the standard has such a gauge is for the standard's own table to say.

    Raises:
        QuantityError: a bare gauge (it means two different wires), or anything else.

    >>> parse_wire("4/0 awg").gauge
    -3
    """
    tidy = _tidy(text)
    match = _GAUGE.fullmatch(tidy)
    if match is None:
        return Wire("", None, parse_length(text))
    named = [word.upper() for word in (match["before"], match["after"]) if word]
    number = match["number"]
    if named not in (["AWG"], ["SWG"]):
        raise QuantityError(
            f"{text!r} does not say which gauge",
            f"write {number} AWG (copper and brass wire in inches), {number} SWG, "
            "or the diameter, such as 0.64 mm; steel wire has gauges of its own",
        )
    if number.endswith("/0"):
        return Wire(named[0], 1 - int(number[0]), None)
    noughts = set(number) == {"0"}
    return Wire(named[0], 1 - len(number) if noughts else int(number), None)
