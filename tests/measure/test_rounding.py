"""Directional rounding, and laws that it never breaks."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.measure.measurement import System
from studio.measure.rounding import (
    FINE,
    Direction,
    Steps,
    fraction_text,
    length_reading,
    number_reading,
    round_to_step,
    typed_length,
)
from studio.measure.units import mm_to_inches, parse_length

STEPS = st.sampled_from([Fraction(1, n) for n in (1, 2, 8, 10, 16, 32, 64, 100, 1000)])
VALUES = st.floats(min_value=0, max_value=5000, allow_nan=False)
TOLERANCE = 1e-6
"""Part of a step: a thousand times the slack that absorbs binary floating point."""


@given(VALUES, STEPS)
def test_rounding_never_crosses_its_safe_side(value: float, step: Fraction) -> None:
    slack = Fraction(TOLERANCE) * step
    assert round_to_step(value, step, Direction.DOWN) <= Fraction(value) + slack
    assert round_to_step(value, step, Direction.UP) >= Fraction(value) - slack


@given(VALUES, STEPS, st.sampled_from(list(Direction)))
def test_rounding_moves_less_than_a_step_and_lands_on_one(
    value: float, step: Fraction, direction: Direction
) -> None:
    printed = round_to_step(value, step, direction)
    assert (printed / step).denominator == 1
    assert abs(printed - Fraction(value)) <= step * Fraction(1 + TOLERANCE)


@given(st.integers(min_value=0, max_value=100_000), STEPS, st.sampled_from(list(Direction)))
def test_what_is_on_a_step_stays(count: int, step: Fraction, direction: Direction) -> None:
    assert round_to_step(float(count * step), step, direction) == count * step


@given(VALUES, st.sampled_from(list(System)), st.sampled_from(list(Direction)))
def test_off_by_is_printed_less_exact(mm: float, system: System, direction: Direction) -> None:
    reading = length_reading(mm, system, Steps(Fraction(1, 10), Fraction(1, 64)), direction)
    exact = mm if system is System.METRIC else mm_to_inches(mm)
    assert reading.off_by == pytest.approx(reading.value - exact, abs=1e-9)


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (Fraction(9, 4), "2 1/4"),
        (Fraction(5, 8), "5/8"),
        (Fraction(3), "3"),
        (Fraction(63, 64), "63/64"),
        (Fraction(359, 1000), "0.359"),
        (Fraction(0), "0"),
    ],
)
def test_inches_are_printed_as_a_rule_shows_them(inches: Fraction, text: str) -> None:
    assert fraction_text(inches) == text


def test_a_typed_length_is_printed_as_typed_in_its_own_system() -> None:
    coarse = Steps(Fraction(1), Fraction(1, 16))
    length = parse_length("59.73 mm")
    assert typed_length(length, System.METRIC, coarse) == Fraction(5973, 100)
    assert typed_length(length, System.IMPERIAL, coarse) == Fraction(38, 16)


def test_signs_stand_against_the_number_and_units_after_a_space() -> None:
    assert number_reading(30, "°", Fraction(1, 100), Direction.NEAREST).text == "30°"
    assert number_reading(1263.4, "rpm", Fraction(10), Direction.DOWN).text == "1,260 rpm"
    assert number_reading(12, "", Fraction(1), Direction.EXACT).text == "12"


def test_a_reading_says_nothing_that_it_does_not_know() -> None:
    assert length_reading(1.6184, System.METRIC, FINE, Direction.UP).text == "1.62 mm"
    assert length_reading(60.0000000000001, System.METRIC, FINE, Direction.UP).text == "60 mm"


def test_a_step_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="greater than zero"):
        round_to_step(1, Fraction(0), Direction.UP)
