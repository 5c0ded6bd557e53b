"""Directional rounding, and laws that it never breaks."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.measure.measurement import System
from studio.measure.rounding import (
    FINE,
    MOST_DIGITS,
    Direction,
    Steps,
    area_reading,
    area_rule,
    direction_of,
    fraction_text,
    length_reading,
    liquid_reading,
    liquid_rule,
    mass_reading,
    mass_rule,
    number_reading,
    round_to_step,
    typed_length,
    volume_reading,
    volume_rule,
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


AMOUNTS = (
    (area_reading, area_rule),
    (volume_reading, volume_rule),
    (mass_reading, mass_rule),
    (liquid_reading, liquid_rule),
)


@given(st.floats(min_value=0, max_value=1e12), st.sampled_from(list(System)))
def test_amounts_show_four_digits_at_most(value: float, system: System) -> None:
    """ISO 80000-1:2009, Annex B rounds to a chosen range; zeros at the end only hold the place."""
    for reading_of, rule_of in AMOUNTS:
        reading = reading_of(value, system)
        digits = reading.text.split(" ")[0].replace(",", "").replace(".", "").strip("0")
        assert len(digits) <= MOST_DIGITS
        exact = reading.value - reading.off_by
        assert abs(reading.off_by) <= max(0.5 + 1e-9, exact * 0.001 * (1 + 1e-9))
        way = Direction.UP if reading_of is liquid_reading else Direction.NEAREST
        assert direction_of(rule_of(value)) is way


@pytest.mark.parametrize(
    ("reading_of", "value", "texts"),
    [
        (area_reading, 11_628_650, ("116,300 cm²", "18,020 in²")),
        (area_reading, 11_309.73, ("113.1 cm²", "17.5 in²")),
        (area_reading, 99_996, ("1,000 cm²", "155 in²")),
        (volume_reading, 113_097.3, ("113.1 cm³", "6.9 in³")),
        (volume_reading, 12_345_678, ("12,350 cm³", "753.4 in³")),
        (mass_reading, 12_345.6, ("12,350 g", "435.5 oz")),
        (mass_reading, 7.25, ("7.3 g", "0.26 oz")),
        # up, so that there is enough
        (liquid_reading, 1_234_100, ("1,235 ml", "41.73 fl oz")),
        (liquid_reading, 12_340_010, ("12,350 ml", "417.3 fl oz")),
    ],
)
def test_amounts_as_printed(reading_of, value: float, texts: tuple[str, str]) -> None:
    assert (
        reading_of(value, System.METRIC).text,
        reading_of(value, System.IMPERIAL).text,
    ) == texts


def test_the_rule_tells_of_digits_left_out() -> None:
    assert area_rule(11_309.73) == "rounded to the nearest 0.1 cm², in²"
    assert area_rule(11_628_650) == "rounded to the nearest 0.1 cm², in², 4 digits at most"
    assert volume_rule(12_345_678).endswith("0.1 cm³, 0.01 in³, 4 digits at most")
    assert mass_rule(7.25) == "rounded to the nearest 0.1 g, 0.01 oz"
    assert liquid_rule(2_830) == "rounded up to 0.1 ml, 0.01 fl oz"
