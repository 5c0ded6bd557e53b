"""Lengths as turners write them; pint (a general-purpose unit library) is the outside authority."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.measure.measurement import System
from studio.measure.units import (
    Length,
    Plain,
    QuantityError,
    Wire,
    parse_coverage,
    parse_duration,
    parse_length,
    parse_speed,
    parse_temperature,
    parse_time,
    parse_value,
    parse_wire,
)

UREG = pint.UnitRegistry()

SPELLINGS = [
    ("57 mm", "57", "mm"),
    ("5.7 cm", "5.7", "cm"),
    ("2.25 in", "2.25", "inch"),
    ("2 1/4 in", "2.25", "inch"),
    ("2-1/4 in", "2.25", "inch"),
    ('2 1/4"', "2.25", "inch"),
    ("2¼″", "2.25", "inch"),
    ("½ in", "0.5", "inch"),
    (".5 inch", "0.5", "inch"),
    ("3/8 inches", "0.375", "inch"),
    ("1' 3 1/2\"", "15.5", "inch"),
    ("1′ 3½″", "15.5", "inch"),
    ("2 ft", "24", "inch"),
    ("1 ft 6 in", "18", "inch"),
    ("4''", "4", "inch"),
    ("0.06 m", "60", "mm"),
]


@pytest.mark.parametrize(("typed", "amount", "unit"), SPELLINGS)
def test_lengths_agree_with_pint(typed: str, amount: str, unit: str) -> None:
    expected = UREG.Quantity(float(amount), unit).to("mm").magnitude
    assert float(parse_length(typed).mm) == pytest.approx(expected, abs=1e-12)


def test_a_length_in_inches_is_exact() -> None:
    assert parse_length("2 1/4 in").mm == Fraction(5715, 100)


def test_a_length_knows_the_system_it_was_typed_in() -> None:
    assert parse_length("57 mm").system is System.METRIC
    assert parse_length("2 1/4 in").system is System.IMPERIAL


@pytest.mark.parametrize(
    ("typed", "what", "write"),
    [
        ("60", "'60' has no unit", "60 mm or 60 in"),
        ("60 mmm", "not a unit of length", "57 mm or 2 1/4 in"),
        ("60 kg", "not a unit of length", "57 mm"),
        ("-3 mm", "negative", "greater than nothing"),
        ("wide", "not a length", "57 mm"),
        ("", "not a length", "57 mm"),
        ("1/0 in", "divides by nothing", "1/4"),
        ("9" * 400 + " mm", "too many digits", "rule can measure"),
        ("nan mm", "not a length", "57 mm"),
        ("1e9 mm", "not a length", "57 mm"),
        ("2 1/4 in in", "not a length", "57 mm"),
        ("2 1/3 in", "finer than a rule", "sixty-fourths"),
        ("2 1/128 in", "finer than a rule", "sixty-fourths"),
        ("60.0005 mm", "finer than a rule", "three decimals"),
    ],
)
def test_what_cannot_be_read_is_told_with_what_to_write(typed: str, what: str, write: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_length(typed)
    assert what in caught.value.what
    assert write in caught.value.write


@given(st.integers(1, 2560).map(lambda n: Fraction(n, 64)))
def test_typed_fractions_come_back_exact(inches: Fraction) -> None:
    whole, rest = divmod(inches, 1)
    typed = f"{whole} {rest} in" if rest else f"{whole} in"
    assert parse_length(typed).mm == inches * Fraction(254, 10)


@pytest.mark.parametrize(
    ("typed", "ms"),
    [("0:00", 0), ("0:35", 35_000), ("12:05.5", 725_500), ("1:02:03", 3_723_000)],
)
def test_times(typed: str, ms: int) -> None:
    assert parse_time(typed) == ms


@pytest.mark.parametrize("typed", ["35", "0:60", "1:2", "0:5", "-0:05", "1:60:00", "a:bc"])
def test_times_that_are_none(typed: str) -> None:
    with pytest.raises(QuantityError, match="0:35"):
        parse_time(typed)


def test_speed_needs_its_unit() -> None:
    assert parse_speed("1200 rpm") == 1200
    with pytest.raises(QuantityError, match="1200 rpm"):
        parse_speed("1200")


@pytest.mark.parametrize(
    ("text", "standard", "gauge"),
    [
        ("22 AWG", "AWG", 22),
        ("22awg", "AWG", 22),
        ("SWG 22", "SWG", 22),
        ("AWG no. 22", "AWG", 22),
        ("1/0 AWG", "AWG", 0),
        ("4/0 AWG", "AWG", -3),
        ("00 AWG", "AWG", -1),
    ],
)
def test_gauges_as_turners_write_them(text: str, standard: str, gauge: int) -> None:
    assert parse_wire(text) == Wire(standard, gauge, None)


@pytest.mark.parametrize("text", ["22", "22 gauge", "22 ga", "AWG 22 SWG"])
def test_a_bare_gauge_is_asked_for_its_standard(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_wire(text)
    assert "22 AWG" in caught.value.write
    assert "22 SWG" in caught.value.write


@pytest.mark.parametrize("text", ["022 AWG", "gauge", "", "AWG"])
def test_what_is_no_wire_at_all(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_wire(text)


def test_a_wire_by_its_diameter() -> None:
    assert parse_wire("0.6 mm").diameter == parse_length("0.6 mm")


def test_typed_values() -> None:
    assert parse_value("180 grit") == Plain(Fraction(180), "grit")
    assert parse_value("4") == Plain(Fraction(4), "")
    assert parse_value("70 °F") == Plain(Fraction(70), "°F")
    for typed in ("1 days", "1 day"):
        assert parse_value(typed) == Plain(Fraction(1), "day")
    for typed in ("3 coats", "3 coat"):
        assert parse_value(typed) == Plain(Fraction(3), "coats")
    assert isinstance(parse_value("6 mm"), Length)
    with pytest.raises(QuantityError, match="grit"):
        parse_value("180 furlongs")


@pytest.mark.parametrize("typed", ["1,000 mm", "57,5 mm", "2,25 in"])
def test_a_comma_is_named(typed: str) -> None:
    with pytest.raises(QuantityError, match="has a comma"):
        parse_length(typed)


@pytest.mark.parametrize(
    ("read", "typed"),
    [
        (parse_value, "1,200 rpm"),
        (parse_value, "1,200"),
        (parse_speed, "1,200 rpm"),
        (parse_coverage, "1,000 ft²/gal"),
        (parse_temperature, "18,5 °C"),
        (parse_duration, "1,5 h"),
    ],
)
def test_a_comma_is_named_whatever_is_read(read: Callable[[str], object], typed: str) -> None:
    """The tool prints 1,200 rpm itself."""
    with pytest.raises(QuantityError, match=r"has a comma.*nothing between thousands"):
        read(typed)


@pytest.mark.parametrize("text", ["90 min", "4 h", "1 day", "2 days", "2 d", "1.5 h", "7d"])
def test_times_to_wait_as_labels_print_them(text: str) -> None:
    assert float(parse_duration(text)) == pytest.approx(UREG(text).to("minute").magnitude)


@pytest.mark.parametrize("text", ["4", "2 weeks", "d", "400 d"])
def test_other_times_are_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_duration(text)
