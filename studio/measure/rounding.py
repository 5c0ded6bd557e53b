"""Directional rounding, and the one place where a printed text is made.

A *direction* says which side of the exact value is safe: marks go down so that wood stays proud,
stock goes up so that there is enough, speeds go down. Rounding never crosses its safe side except
by the tolerance ``_SLACK``, which only absorbs binary floating point: 60.000000000001 mm is 60 mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from functools import cache

from studio.language import Said, later, later_for, number_signs, spoken, tr, unit_word
from studio.measure.measurement import Reading, System
from studio.measure.units import (
    GRAMS_PER_OUNCE,
    INCHES_PER_FOOT,
    MINUTES_PER_DAY,
    MINUTES_PER_HOUR,
    MM2_PER_CM2,
    MM3_PER_CM3,
    MM3_PER_CUBIC_INCH,
    MM3_PER_ML,
    MM3_PER_US_FLUID_OUNCE,
    MM_PER_INCH,
    MM_PER_M,
    Length,
    mm_to_inches,
)

_SLACK = 1e-9
_FLOAT_SLACK = 1e-13
"""Part of one step by which a value may miss a step and still count as on it; and the same for
each step counted, since binary floating point keeps fifteen or so digits."""

FINE_METRIC = Fraction(1, 100)
FINE_IMPERIAL = Fraction(1, 1000)
"""Steps for what callipers or a micrometer read: 0.01 mm and 0.001 in (ours)."""


UNITS = later_for(
    "unit", "mm", "in", "m", "ft", "cm²", "in²", "cm³", "in³", "ml", "fl oz", "g", "oz", "°", "%",
    "rpm", "m/s", "ft/min", "s", "min", "h", "day", "days", "grit", "°C", "°F", "coat",
    "coats", "time", "times",
)  # fmt: skip
"""Every unit that is printed behind a number, in English."""


class Direction(StrEnum):
    """Which way a value is rounded to its step."""

    UP = later("rounded up to")
    DOWN = later("rounded down to")
    NEAREST = later("rounded to the nearest")
    EXACT = later("as typed")


def round_to_step(value: float | Fraction, step: Fraction, direction: Direction) -> Fraction:
    """``value`` as a whole number of ``step``, never past its safe side.

    Args:
        value: any finite number, in the step's unit.
        step: greater than zero.
        direction: ``UP`` (never less), ``DOWN`` (never more), ``NEAREST`` (halves go up),
            ``EXACT`` (to the nearest too: for callers whose value is on the step already).

    Raises:
        ValueError: the step is not greater than zero.

    >>> round_to_step(17.574, Fraction(1, 10), Direction.DOWN)
    Fraction(35, 2)
    """
    if step <= 0:
        raise ValueError("a step is greater than zero")
    # whole numbers divide to the nearest float at once; making fractions of floats takes longer
    # than all the rest of a table
    over, under = (
        (value.numerator, value.denominator) if isinstance(value, Fraction) else (value, 1)
    )
    return on_step(over * step.denominator / (under * step.numerator), direction) * step


def on_step(steps: float, direction: Direction) -> int:
    """A count of steps, never past its safe side.

    Args:
        steps: how many there are exactly; any finite number.
        direction: as for :func:`round_to_step`.

    >>> on_step(17.574, Direction.UP), on_step(60 + 1e-12, Direction.UP)
    (18, 60)
    """
    slack = max(_SLACK, _FLOAT_SLACK * abs(steps))
    if direction is Direction.UP:
        return math.ceil(steps - slack)
    if direction is Direction.DOWN:
        return math.floor(steps + slack)
    return math.floor(steps + 0.5)


def fraction_text(inches: Fraction) -> str:
    """Inches as a turner reads them: a fraction where the rule has one, else decimals.

    >>> fraction_text(Fraction(9, 4)), fraction_text(Fraction(359, 1000))
    ('2 1/4', '0.359')
    """
    return ratio_text(inches.numerator, inches.denominator)


LENGTH_DECIMALS = 3
"""No length is printed with more decimals: callipers show no more (ours)."""


def ratio_text(over: int, under: int) -> str:
    """:func:`fraction_text` of ``over / under`` inches, not negative."""
    common = math.gcd(over, under)
    top, bottom = over // common, under // common
    if FINEST_ON_A_RULE % bottom != 0:
        return number_text(top / bottom, LENGTH_DECIMALS)
    whole, rest = top // bottom, top % bottom
    if rest == 0:
        return f"{whole}"
    return f"{whole} {rest}/{bottom}" if whole > 0 else f"{rest}/{bottom}"


def decimal_text(value: Fraction, most: int) -> str:
    """At most ``most`` decimals, none that say nothing: ``24.9``, ``60``."""
    return number_text(float(value), most)


def number_text(value: float, most: int) -> str:
    """:func:`decimal_text` of a float that is a decimal with no more than ``most`` places."""
    text = f"{value:,.{most}f}".replace("-0.0", "0.0") if most > 0 else f"{value:,.0f}"
    return number_signs(text.rstrip("0").rstrip(".") if "." in text else text)


def decimals_of(step: Fraction) -> int:
    """How many decimals show a multiple of ``step``."""
    places = 0
    while (step * 10**places).denominator != 1 and places < 6:
        places += 1
    return places


@dataclass(frozen=True, slots=True)
class Steps:
    """The finest divisions that the workshop reads off: one for each system, in its unit."""

    metric: Fraction
    imperial: Fraction

    def rule(self, direction: Direction) -> str:
        """The rounding rule in words, both systems."""
        return _rule(self, direction, spoken().tag)

    def other_rule(self, typed: System, came: str = "") -> str:
        """The rule for a typed length: untouched in its own system, rounded in the other.

        Args: the system that it was typed in; how it came, in words, if not as typed.
        """
        if typed is System.METRIC:
            step = f"{fraction_text(self.imperial)} {unit_word('in')}"
        else:
            step = f"{decimal_text(self.metric, 3)} {unit_word('mm')}"
        return other_system_words(rounded_words(Direction.NEAREST, step), came)


def other_system_words(rule: str, came: str = "") -> str:
    """The rule for what one system has as it came, and the other by ``rule``."""
    return tr(
        "{as_typed}; the other system {rounded}",
        as_typed=came or tr(Direction.EXACT),
        rounded=rule,
    )


def rounded_words(direction: Direction, step: str) -> str:
    """A direction and the step that it goes to, in words."""
    return Said(f"{tr(direction)} {step}")


@cache
def _rule(steps: Steps, direction: Direction, language: str) -> str:
    # a table says the same few rules hundreds of times
    if direction is Direction.EXACT:
        return tr(direction)
    imperial = fraction_text(steps.imperial)
    both = f"{decimal_text(steps.metric, 3)} {unit_word('mm')}, {imperial} {unit_word('in')}"
    return rounded_words(direction, both)


FINE = Steps(FINE_METRIC, FINE_IMPERIAL)

FINEST_ON_A_RULE = 64
"""Sixty-fourths are the finest fractions that an inch rule shows (common practice, no source)."""


def is_on_rule(printed: Fraction, system: System) -> bool:
    """Whether a printed length is one that the system's rule can show: any decimal millimetre."""
    return system is System.METRIC or FINEST_ON_A_RULE % printed.denominator == 0


def length_in(printed: Fraction, system: System, exact_mm: float) -> Reading:
    """A printed length in ``system``; ``printed`` is in that system's unit already.

    The value is what the text says: a decimal inch and fractions of a rule add up to one that takes
    more decimals than a text has.

    >>> length_in(Fraction(271, 100) - Fraction(3, 16), System.IMPERIAL, 64.0715)
    Reading(value=2.522, unit='in', text='2.522 in', off_by=-0.0005)
    """
    metric = system is System.METRIC
    unit, exact = ("mm", exact_mm) if metric else ("in", mm_to_inches(exact_mm))
    text = length_text(printed.numerator, printed.denominator, system)
    value = float(printed)
    if metric or not is_on_rule(printed, system):
        value = round(value, LENGTH_DECIMALS)
    return Reading(value, unit, text, value - exact)


def length_text(over: int, under: int, system: System) -> str:
    """A printed length of ``over / under`` in the unit of ``system``, with that unit.

    >>> length_text(35, 2, System.METRIC), length_text(11, 16, System.IMPERIAL)
    ('17.5 mm', '11/16 in')
    """
    if system is System.METRIC:
        return f"{number_text(over / under, LENGTH_DECIMALS)} {unit_word('mm')}"
    return f"{ratio_text(over, under)} {unit_word('in')}"


@dataclass(frozen=True, slots=True)
class Grid:
    """The divisions of :class:`Steps` as whole numbers: each is ``over / under`` of its unit."""

    metric_over: int
    metric_under: int
    inch_over: int
    inch_under: int

    @classmethod
    def of(cls, steps: Steps) -> Grid:
        """The same divisions."""
        metric, inch = steps.metric, steps.imperial
        return cls(metric.numerator, metric.denominator, inch.numerator, inch.denominator)


FINE_GRID = Grid.of(FINE)


LOST_PART = 0.25
"""A length that its rule's nearest division changes by more than this part is read off by
callipers instead (ours): 0.045 in on a rule of 1/32 in would lose a third of it."""


def stepped(mm: float, system: System, grid: Grid, direction: Direction) -> tuple[int, int]:
    """A length on a division of its rule, as ``(over, under)`` of the unit of ``system``; finer
    where that would change it much.

    Args:
        mm: any finite length.
        system: whose unit and steps.
        grid: the steps.
        direction: which way.

    >>> stepped(0.5, System.IMPERIAL, Grid(1, 10, 1, 16), Direction.DOWN)
    (19, 1000)
    """
    over, under = divided(mm, system, grid, direction)
    own = own_unit(mm, system)
    if abs(over / under - own) > LOST_PART * abs(own):
        return divided(mm, system, FINE_GRID, direction)
    return over, under


def divided(mm: float, system: System, grid: Grid, direction: Direction) -> tuple[int, int]:
    """A length on a step of ``grid``, as ``(over, under)`` of the unit of ``system``.

    >>> divided(17.574, System.METRIC, Grid(1, 10, 1, 16), Direction.DOWN)
    (175, 10)
    """
    over, under = step_of(grid, system)
    return on_step(own_unit(mm, system) * under / over, direction) * over, under


def with_parts(mm: float, over: int, under: int, system: System, grid: Grid) -> tuple[int, int]:
    """A length rounded up to a step of ``grid``, and no less than its printed parts together.

    Args: the length; its parts as printed, ``over / under`` in the unit of ``system``; the steps.

    >>> with_parts(95.2, 963, 10, System.METRIC, Grid(1, 1, 1, 8))
    (97, 1)
    """
    part, parts = step_of(grid, system)
    least = on_step(over * parts / (under * part), Direction.UP)
    own = on_step(own_unit(mm, system) * parts / part, Direction.UP)
    return max(own, least) * part, parts


def own_unit(mm: float, system: System) -> float:
    """A length in the unit of ``system``: mm or in."""
    return mm if system is System.METRIC else mm_to_inches(mm)


def step_of(grid: Grid, system: System) -> tuple[int, int]:
    """The step of ``system`` as ``(over, under)``."""
    if system is System.METRIC:
        return grid.metric_over, grid.metric_under
    return grid.inch_over, grid.inch_under


def dimensions_text(printed: Sequence[Fraction], system: System) -> str:
    """Lengths in the system's own unit with a sign between them and the unit once.

    >>> dimensions_text([Fraction(600), Fraction(135, 2)], System.METRIC)
    '600 × 67.5 mm'
    """
    texts = [length_in(one, system, 0.0) for one in printed]
    unit = f" {unit_word(texts[0].unit)}"
    return " × ".join(one.text.removesuffix(unit) for one in texts) + unit


def in_unit(mm: float | Fraction, system: System) -> float | Fraction:
    """Millimetres in the system's own unit of length."""
    if system is System.METRIC:
        return mm
    return mm / MM_PER_INCH if isinstance(mm, Fraction) else mm_to_inches(mm)


def rounded_length(mm: float | Fraction, system: System, steps: Steps, way: Direction) -> Fraction:
    """A length on the step of ``system``, in that system's unit."""
    step = steps.metric if system is System.METRIC else steps.imperial
    return round_to_step(in_unit(mm, system), step, way)


def length_reading(
    mm: float | Fraction, system: System, steps: Steps, direction: Direction
) -> Reading:
    """A length rounded and printed in one system."""
    return length_in(rounded_length(mm, system, steps, direction), system, float(mm))


_ON_A_RULE_IN = 1e-6
"""A length is one of the rule's own where it lies so near to it, in inches (ours)."""


def fine_reading(mm: float | Fraction, system: System, direction: Direction) -> Reading:
    """A length as finely as callipers read it; one that an inch rule shows is its fraction.

    >>> fine_reading(4.7625, System.IMPERIAL, Direction.NEAREST).text
    '3/16 in'
    """
    if system is System.IMPERIAL:
        inches = in_unit(mm, system)
        shown = round_to_step(inches, Fraction(1, FINEST_ON_A_RULE), Direction.NEAREST)
        if abs(float(shown) - float(inches)) < _ON_A_RULE_IN:
            return length_in(shown, system, float(mm))
    return length_reading(mm, system, FINE, direction)


def rule_reading(
    mm: float | Fraction, system: System, steps: Steps, direction: Direction
) -> Reading:
    """A length on a division of its rule; finer where that would change it much."""
    exact = float(mm)
    printed = Fraction(*stepped(exact, system, Grid.of(steps), direction))
    return length_in(printed, system, exact)


def finer_text(mm: float | Fraction, system: System, steps: Steps, direction: Direction) -> str:
    """A length with all the decimals of its step, where two have to be told apart.

    >>> finer_text(2.99987, System.METRIC, Steps(Fraction(1, 10000), Fraction(1)), Direction.DOWN)
    '2.9998 mm'
    """
    step = steps.metric if system is System.METRIC else steps.imperial
    printed = rounded_length(mm, system, steps, direction)
    unit = length_in(printed, system, 0.0).unit
    return with_unit(decimal_text(printed, decimals_of(step)), unit)


def typed_length(length: Length, system: System, steps: Steps) -> Fraction:
    """A typed length as printed: untouched in its own system, on the step in the other."""
    if system is length.system:
        exact = in_unit(length.mm, system)
        assert isinstance(exact, Fraction)
        return exact
    return rounded_length(length.mm, system, steps, Direction.NEAREST)


def as_written(length: Length) -> str:
    """A typed length with the signs of the language; in English as it was typed."""
    if spoken().is_first:
        return length.typed
    return length_in(typed_length(length, length.system, FINE), length.system, 0.0).text


def number_reading(value: float, unit: str, step: Fraction, direction: Direction) -> Reading:
    """A number whose unit is the same in both systems: angle, count, speed, ratio.

    The degree and percent signs stand against the number, other units after a space.
    """
    printed = round_to_step(value, step, direction)
    text = with_unit(decimal_text(printed, decimals_of(step)), unit)
    return Reading(float(printed), unit, text, float(printed) - value)


def with_unit(number: str, unit: str) -> str:
    """A printed number and its unit: ``30°`` and ``50%``, but ``1,260 rpm``."""
    return f"{number}{'' if unit in ('', '°', '%') else ' '}{unit_word(unit)}"


MOST_DIGITS = 4
"""Areas, volumes, weights and amounts of finish show no more digits than this (ours): what they are
computed from is read off to three or four."""

AMOUNT_STEPS = {
    "cm²": Fraction(1, 10),
    "in²": Fraction(1, 10),
    "cm³": Fraction(1, 10),
    "in³": Fraction(1, 100),
    "g": Fraction(1),
    "oz": Fraction(1, 10),
    "ml": Fraction(1, 10),
    "fl oz": Fraction(1, 100),
}
"""Finest steps of what is no length (ours)."""

SMALL_MASS_G = 10
"""Below this a weight is printed ten times finer, as small scales show it (ours)."""


def amount_step(value: float, finest: Fraction) -> Fraction:
    """The step on which ``value`` shows ``MOST_DIGITS`` digits at most, no finer than ``finest``.

    >>> amount_step(113.097, Fraction(1, 10)), amount_step(116_286.5, Fraction(1, 10))
    (Fraction(1, 10), Fraction(100, 1))
    """
    if not value:
        return finest
    digits = math.floor(math.log10(abs(value))) + 1
    return max(finest, Fraction(10) ** (digits - MOST_DIGITS))


@dataclass(frozen=True, slots=True)
class _Amount:
    """How what is no length is printed.

    Attributes:
        units: the metric and the imperial one.
        ones: how many of the unit that is computed in make one of each.
        direction: which way.
    """

    units: tuple[str, str]
    ones: tuple[float, float]
    direction: Direction = Direction.NEAREST

    def reading(self, value: float, system: System, finer: int = 1) -> Reading:
        """A value in one system, ``finer`` times finer than ``AMOUNT_STEPS``."""
        place = 0 if system is System.METRIC else 1
        shown, unit = value / self.ones[place], self.units[place]
        step = amount_step(shown, AMOUNT_STEPS[unit] / finer)
        return number_reading(shown, unit, step, self.direction)

    def rule(self, value: float, finer: int = 1) -> str:
        """The rounding in words: the finest steps, and more where digits were left out."""
        steps = [AMOUNT_STEPS[unit] / finer for unit in self.units]
        first, second = (decimal_text(step, 3) for step in steps)
        metric, imperial = map(unit_word, self.units)
        between = ", " if first == second else f", {second} "
        rule = rounded_words(self.direction, f"{first} {metric}{between}{imperial}")
        values = (value / ones for ones in self.ones)
        if all(amount_step(one, step) == step for one, step in zip(values, steps, strict=True)):
            return rule
        return tr("{rule}, {digits} digits at most", rule=rule, digits=MOST_DIGITS)


_AREA = _Amount(("cm²", "in²"), (float(MM2_PER_CM2), float(MM_PER_INCH**2)))
_VOLUME = _Amount(("cm³", "in³"), (float(MM3_PER_CM3), float(MM3_PER_CUBIC_INCH)))
_MASS = _Amount(("g", "oz"), (1.0, float(GRAMS_PER_OUNCE)))
_LIQUID = _Amount(("ml", "fl oz"), (float(MM3_PER_ML), float(MM3_PER_US_FLUID_OUNCE)), Direction.UP)


def area_reading(mm2: float, system: System) -> Reading:
    """An area in square centimetres or square inches.

    >>> area_reading(11_628_650, System.METRIC).text
    '116,300 cm²'
    """
    return _AREA.reading(mm2, system)


def area_rule(mm2: float) -> str:
    """The rounding of an area in words."""
    return _AREA.rule(mm2)


def _finer(grams: float) -> int:
    return 10 if grams < SMALL_MASS_G else 1


def mass_reading(grams: float, system: System) -> Reading:
    """A weight in grams or ounces."""
    return _MASS.reading(grams, system, _finer(grams))


def mass_rule(grams: float) -> str:
    """The rounding of a weight in words."""
    return _MASS.rule(grams, _finer(grams))


def volume_reading(mm3: float, system: System) -> Reading:
    """A volume in cubic centimetres or cubic inches."""
    return _VOLUME.reading(mm3, system)


def volume_rule(mm3: float) -> str:
    """The rounding of a volume in words."""
    return _VOLUME.rule(mm3)


def liquid_reading(mm3: float, system: System) -> Reading:
    """An amount of finish in millilitres or US fluid ounces, rounded up.

    >>> liquid_reading(1_234_510, System.METRIC).text
    '1,235 ml'
    """
    return _LIQUID.reading(mm3, system)


def liquid_rule(mm3: float) -> str:
    """The rounding of an amount of finish in words."""
    return _LIQUID.rule(mm3)


def duration_text(minutes: Fraction) -> tuple[Fraction, str]:
    """A time to wait as printed: its number and unit, the largest unit that leaves no fraction.

    >>> duration_text(Fraction(240))
    (Fraction(4, 1), 'h')
    """
    for length, unit in ((MINUTES_PER_DAY, "days"), (MINUTES_PER_HOUR, "h")):
        if minutes >= 2 * length and (minutes / length * 2).denominator == 1:
            return minutes / length, unit
    return minutes, "min"


def direction_of(rule: str) -> Direction:
    """Which way a rounding rule in words goes; to the nearest where it does not say.

    >>> direction_of("rounded down to 0.1 mm, 1/32 in, so that wood stays proud").name
    'DOWN'
    """
    for direction in (Direction.DOWN, Direction.UP):
        if direction.value.removesuffix(" to") in rule:
            return direction
    return Direction.NEAREST


LONG_STEPS = {System.METRIC: Fraction(1, 10), System.IMPERIAL: Fraction(1, 2)}


_LONG_UNITS = {
    System.METRIC: ("m", Fraction(MM_PER_M)),
    System.IMPERIAL: ("ft", INCHES_PER_FOOT * MM_PER_INCH),
}


def long_length_rule(way: Direction = Direction.UP) -> str:
    """The rounding of lengths that are bought in words."""
    metric, imperial = (decimal_text(LONG_STEPS[system], 1) for system in System)
    both = f"{metric} {unit_word('m')}, {imperial} {unit_word('ft')}"
    return rounded_words(way, both)


def is_long_length(length: Length) -> bool:
    """Whether a typed length can be printed in metres or feet and stay what was typed."""
    _, in_mm = _LONG_UNITS[length.system]
    return length.mm / in_mm % LONG_STEPS[length.system] == 0


def long_length_reading(
    mm: float, system: System, exact_mm: float, way: Direction = Direction.UP
) -> Reading:
    """A length as it is bought, in metres or feet, rounded up.

    Args:
        mm: the sum of what is cut, as printed.
        system: metres or feet.
        exact_mm: the same before its parts were rounded.
        way: down for what is there already.
    """
    unit, in_mm = _LONG_UNITS[system]
    reading = number_reading(mm / float(in_mm), unit, LONG_STEPS[system], way)
    return replace(reading, off_by=reading.value - exact_mm / float(in_mm))


LONG_WORK_MIN = 120
"""Work that takes longer is printed in hours (ours)."""

WORK_STEPS = {"min": Fraction(1), "h": Fraction(1, 2)}


def work_rule() -> str:
    """The rounding of times of work in words."""
    minutes, hours = (decimal_text(step, 1) for step in WORK_STEPS.values())
    return tr(
        "{rounded} {minutes} min, or {hours} h from {long} min on",
        rounded=tr(Direction.UP),
        minutes=minutes,
        hours=hours,
        long=LONG_WORK_MIN,
    )


def work_reading(minutes: float) -> Reading:
    """A time of work in minutes, or in hours when it is long; rounded up.

    >>> work_reading(95).text, work_reading(155).text
    ('95 min', '3 h')
    """
    if minutes < LONG_WORK_MIN:
        return number_reading(minutes, "min", WORK_STEPS["min"], Direction.UP)
    return number_reading(minutes / float(MINUTES_PER_HOUR), "h", WORK_STEPS["h"], Direction.UP)
