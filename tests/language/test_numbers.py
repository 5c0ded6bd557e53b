"""Numbers with the signs of a language."""

from __future__ import annotations

from fractions import Fraction

import pytest
from babel.numbers import format_decimal
from hypothesis import given
from hypothesis import strategies as st

from studio.language import plain_number, speaking
from studio.measure.measurement import System
from studio.measure.rounding import (
    Direction,
    dimensions_text,
    length_text,
    number_reading,
    number_text,
    with_unit,
)


@given(st.integers(0, 99_999_999), st.integers(0, 4), st.sampled_from(["en", "de"]))
def test_numbers_have_the_signs_of_cldr(digits: int, places: int, tag: str) -> None:
    """Outside: Babel's format_decimal, which follows CLDR's patterns."""
    value = digits / 10**places
    pattern = "#,##0." + "#" * places if places else "#,##0"
    with speaking(tag):
        text = number_text(value, places)
        assert text == format_decimal(round(value, places), format=pattern, locale=tag)
        assert float(plain_number(text)) == pytest.approx(value)


def test_german_prints_units_and_fractions_its_own_way() -> None:
    with speaking("de"):
        assert length_text(35, 2, System.METRIC) == "17,5 mm"
        assert length_text(9, 4, System.IMPERIAL) == "2 1/4 Zoll"
        assert length_text(359, 1000, System.IMPERIAL) == "0,359 Zoll"
        assert with_unit("1.260", "rpm") == "1.260 U/min"
        assert with_unit("1.480", "ft/min") == "1.480 Fuß/min"
        assert number_reading(22.5, "°", Fraction(1, 10), Direction.NEAREST).text == "22,5°"
        # a space before the sign of per cent: DIN 5008, from memory
        assert number_reading(50, "%", Fraction(1), Direction.EXACT).text == "50 %"
        sizes = [Fraction(600), Fraction(135, 2)]
        assert dimensions_text(sizes, System.METRIC) == "600 × 67,5 mm"


def test_english_is_as_it_was() -> None:
    assert length_text(35, 2, System.METRIC) == "17.5 mm"
    assert length_text(9, 4, System.IMPERIAL) == "2 1/4 in"
    assert number_text(1260.5, 1) == "1,260.5"
    assert with_unit("50", "%") == "50%"
