"""Whether a figure said agrees with a measurement: right, rounded or wrong.

The rule (common practice, no source): a printed figure, or its exact equivalent, is right; so it is
in thousandths of an inch, half a thousandth left out: a sixteenth is 62 thou, a #51 drill 67. A
range is right when it holds the printed figure and is at most 15 % of it wide. With an
approximating word, a figure is rounded when it is within the workshop's finest division or 4 % of
the exact value, whichever is more, on the side that was said. Without one, it is rounded when it is
the printed figure on a coarser step, in the direction of its own rule, at most 4 % off.
"""

from __future__ import annotations

import math
from enum import StrEnum
from fractions import Fraction
from functools import cache

from studio.measure.rounding import Direction, Steps, direction_of, round_to_step
from studio.said.finding import Mention
from studio.said.material import Meaning
from studio.said.units import MINUTES, MM, SAME_UNITS, same_quantity


class Verdict(StrEnum):
    """What a mention is, beside the design."""

    RIGHT = "right"
    ROUNDED = "rounded"
    WRONG = "wrong"
    AMBIGUOUS = "ambiguous"
    NONE = "none"


COARSER = {
    "mm": (Fraction(1), Fraction(1, 2)),
    "in": (Fraction(1, 16), Fraction(1, 8)),
    "deg": (Fraction(1),),
    "rpm": (Fraction(10), Fraction(50)),
}
"""Steps to which turners round what they say (common practice, no source)."""

MOST_OFF = Fraction(4, 100)
"""How far a rounded figure may be off (ours)."""

WIDEST_RANGE = Fraction(15, 100)
"""How wide a range may be, as a part of the printed figure that it holds (ours)."""

_SPEED_STEP = Fraction(10)
"""The finest division of a speed: dials show no finer (common practice, no source)."""


def agrees(mention: Mention, meaning: Meaning, bench: Steps) -> Verdict:
    """``RIGHT``, ``ROUNDED`` or ``WRONG`` of one mention, taken to mean one measurement."""
    if mention.high is not None:
        held = _holds(mention, meaning) or _is_between(mention, meaning)
        return Verdict.RIGHT if held else Verdict.WRONG
    if is_printed(mention, meaning) or _is_in_thousandths(mention, meaning):
        return Verdict.RIGHT
    units = (mention.unit,) if mention.unit else tuple(sorted(meaning.units | {"mm", "in"}))
    if any(_is_rounding(mention, meaning, unit, bench) for unit in units):
        return Verdict.ROUNDED
    return Verdict.WRONG


def is_printed(mention: Mention, meaning: Meaning) -> bool:
    """Whether a printed figure is said, in its unit, an equal one, or without any."""
    papers = meaning.units == {"grit"} and len(meaning.printed) > 1
    if mention.unit == "count" and papers:
        return mention.value == len(meaning.printed)
    return any(
        _is_figure(mention.value, mention.unit, number, unit) for number, unit in meaning.printed
    )


def _is_figure(value: Fraction, unit: str, number: Fraction, printed: str) -> bool:
    if unit == "":
        return value == number
    if unit == "swg" and printed == "gauge":
        return False  # who names the other standard says another wire
    if any(unit in same and printed in same for same in SAME_UNITS):
        return value == number
    return same_quantity(value, unit, number, printed)


def _holds(mention: Mention, meaning: Meaning) -> bool:
    assert mention.high is not None
    width = mention.high - mention.value
    return any(
        mention.value <= number <= mention.high and width <= number * WIDEST_RANGE
        for number, unit in meaning.printed
        if unit == mention.unit or not mention.unit
        or any(unit in same and mention.unit in same for same in SAME_UNITS)
    )  # fmt: skip


def _is_in_thousandths(mention: Mention, meaning: Meaning) -> bool:
    """Whether it is the printed size in whole thousandths of an inch; a drill or wire has its own.

    The whole thousandths are those of a figure that cannot be a part of a ruler's inch.
    """
    value, imperial = mention.value, meaning.measurement.imperial
    if mention.unit != "in" or imperial.unit != "in" or _THOUSANDTHS % value.denominator:
        return False
    if value.denominator in _ON_RULERS:
        return False
    return abs(value - Fraction(imperial.value)) <= _HALF_A_THOU


_THOUSANDTHS = 1000
_HALF_A_THOU = Fraction(1, 2000)
_ON_RULERS = (1, 2, 4, 8)
"""Parts that are whole thousandths too: these are read off a ruler, and no rounding of it."""


def is_of_two(meaning: Meaning) -> bool:
    """Whether it is a place between two that are called by number: "half way from 3 to 4"."""
    return len(meaning.own) == 2 and meaning.units == {""}


def _is_between(mention: Mention, meaning: Meaning) -> bool:
    both = {(mention.value, mention.unit), (mention.high, mention.unit)}
    return is_of_two(meaning) and both == meaning.own


def exact_in(meaning: Meaning, unit: str) -> Fraction | None:
    """The exact value in a unit of talk; None where it has none in that unit."""
    value = Fraction(meaning.measurement.value)
    own = meaning.measurement.unit
    for sizes, base in ((MM, "mm"), (MINUTES, "min")):
        if own == base:
            return value / sizes[unit] if unit in sizes else None
    return value if own == unit else None


def _is_rounding(mention: Mention, meaning: Meaning, unit: str, bench: Steps) -> bool:
    value = mention.value
    if mention.about:
        true = exact_in(meaning, unit)
        if true is None:
            return False
        finest = {"mm": bench.metric, "in": bench.imperial, "rpm": _SPEED_STEP}
        near = abs(value - true) <= max(finest.get(unit, Fraction(0)), true * MOST_OFF)
        sides = {"near": True, "under": true <= value, "over": true >= value}
        return near and sides[mention.about]
    way = direction_of(meaning.measurement.rule)
    return any(
        _is_coarser(value, number, step, way)
        for number, printed in meaning.printed
        if printed == unit
        for step in COARSER.get(unit, ())
    )


def _is_coarser(value: Fraction, number: Fraction, step: Fraction, way: Direction) -> bool:
    near = abs(value - number) <= number * MOST_OFF
    return near and value != number and round_to_step(number, step, way) == value


def ratio_off(mention: Mention, meaning: Meaning) -> float:
    """How many times as large the figure said is as the nearest printed one, or it as that one.

    1 is the same size; infinity where they cannot be compared. Binary floating point will do: it
    says how near a figure comes, never that it agrees.
    """
    best = math.inf
    # a bare figure is one of the system that is printed first
    for number, unit in meaning.sizes if mention.unit else meaning.own_sizes:
        factor = _factor(mention.unit, unit)
        if factor is None:
            continue
        said = float(mention.value) * factor
        if said > 0 and number > 0:
            best = min(best, max(said / number, number / said))
        elif said == number:
            best = 1.0
    return best


@cache
def _factor(unit: str, printed: str) -> float | None:
    """What a figure in ``unit`` is multiplied with to stand in a printed unit; None for never."""
    for sizes in (MM, MINUTES):
        if unit in sizes and printed in sizes:
            return float(sizes[unit] / sizes[printed])
    same = unit in (printed, "") or any(unit in one and printed in one for one in SAME_UNITS)
    return 1.0 if same else None


_NEVER = 1.3
"""A figure so many times as large as a printed one is no rounding of it: 4 % is the most, but the
finest division of a bench may be more of a small figure, which is looked at whatever its size."""

_SMALL_MM = 4.0


def may_agree(mention: Mention, meaning: Meaning, off: float) -> bool:
    """Whether it is worth looking closer: nothing is left out that could agree."""
    if off < _NEVER or mention.high is not None or mention.unit in ("", "count"):
        return True
    if not mention.about:
        return False
    small = mention.unit not in MM or float(mention.value * MM[mention.unit]) < _SMALL_MM
    return small and off < math.inf
