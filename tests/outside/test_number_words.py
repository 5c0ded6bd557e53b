"""Number words against num2words, units of talk against pint: both general-purpose libraries."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from studio.said.finding import find_mentions
from studio.said.units import MINUTES, MM, same_quantity

LARGEST = 9999
UREG = pint.UnitRegistry()
PINT = {"mm": "mm", "cm": "cm", "in": "inch", "min": "minute", "h": "hour", "day": "day"}


def value_of(text: str) -> Fraction:
    (one,) = find_mentions(text)
    assert one.written.lower() in text.lower()
    return one.value


@pytest.mark.parametrize("language", ["en", "en_GB"])
def test_every_whole_number_in_words(language: str) -> None:
    """num2words 0.5; American style leaves the "and" out only where its text does."""
    for number in range(2, LARGEST + 1):
        words = num2words(number, lang=language).replace(",", "")
        for said in (words, words.replace("-", " "), words.replace(" and ", " ")):
            assert value_of(f"It is {said}.") == number, said


def test_nought_and_one_state_nothing_without_a_unit() -> None:
    for number in (0, 1):
        assert find_mentions(f"It is {num2words(number)}.") == ()
        (one,) = find_mentions(f"It is {num2words(number)} point five.")
        assert one.value == number + Fraction(1, 2)


@given(st.integers(0, LARGEST), st.integers(1, 999))
def test_decimals_in_words(whole: int, thousandths: int) -> None:
    number = Fraction(whole * 1000 + thousandths, 1000)
    words = num2words(f"{whole}.{thousandths:03d}", lang="en_GB").replace(",", "")
    assert value_of(f"It is {words}.") == number


@pytest.mark.parametrize("number", range(2, 100))
def test_positions_in_words_and_figures(number: int) -> None:
    for said in (num2words(number, to="ordinal"), num2words(number, to="ordinal_num")):
        (one,) = find_mentions(f"Now every {said} stop.")
        assert (one.value, one.unit) == (number, "ordinal")


@pytest.mark.parametrize("number", range(1901, 2030))
def test_years_as_they_are_said(number: int) -> None:
    said = num2words(number, to="year")
    (one,) = find_mentions(f"This lathe was made in {said}.")
    assert one.value == number
    assert one.dated


@given(
    st.fractions(min_value=Fraction(1, 100), max_value=1000, max_denominator=1000),
    st.sampled_from([*MM, *MINUTES]),
    st.sampled_from([*MM, *MINUTES]),
)
def test_units_of_talk(value: Fraction, unit: str, other: str) -> None:
    """pint converts in binary floating point, so that its value is only nearly ours."""
    quantity = UREG.Quantity(float(value), PINT[unit])
    if not quantity.check(UREG.Unit(PINT[other]).dimensionality):
        assert not same_quantity(value, unit, value, other)
        return
    sizes = MM if unit in MM else MINUTES
    converted = value * sizes[unit] / sizes[other]
    assert float(converted) == pytest.approx(quantity.to(PINT[other]).magnitude, rel=1e-12)
    assert same_quantity(value, unit, converted, other)
    assert not same_quantity(value, unit, converted + Fraction(1, 1000), other)
