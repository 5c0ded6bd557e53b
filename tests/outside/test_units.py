"""Units against pint, a general-purpose library of units, and there and back again."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.measure import rounding, units
from studio.measure.measurement import System
from studio.measure.rounding import Direction, Steps

UREG = pint.UnitRegistry()
SYSTEMS = st.sampled_from(list(System))
STEPS = st.builds(
    Steps,
    st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(1, 10), Fraction(1, 100)]),
    st.sampled_from([Fraction(1, n) for n in (8, 16, 32, 64, 100, 1000)]),
)
LENGTHS = st.floats(min_value=0.5, max_value=3000)


def magnitude(amount: float, unit: str, to: str) -> float:
    return float(UREG.Quantity(amount, unit).to(to).magnitude)


@given(LENGTHS, SYSTEMS)
def test_a_length_there_and_back(mm: float, system: System) -> None:
    there = rounding.in_unit(mm, system)
    assert units.mm_from(system, float(there)) == pytest.approx(mm, rel=1e-12)
    name = "mm" if system is System.METRIC else "inch"
    assert float(there) == pytest.approx(magnitude(mm, "mm", name), rel=1e-12)


@given(LENGTHS, SYSTEMS, STEPS, st.sampled_from(list(Direction)))
def test_a_printed_length_is_read_as_it_was_printed(
    mm: float, system: System, steps: Steps, direction: Direction
) -> None:
    reading = rounding.length_reading(mm, system, steps, direction)
    if reading.value == 0:
        return
    # the comma of thousands is printed for the eye; a design is typed without
    read = units.parse_length(reading.text.replace(",", ""))
    assert read.system is system
    assert float(rounding.in_unit(read.mm, system)) == pytest.approx(reading.value, abs=1e-12)


@given(LENGTHS, SYSTEMS, STEPS)
def test_a_printed_length_stays_on_its_safe_side(mm: float, system: System, steps: Steps) -> None:
    exact = magnitude(mm, "mm", "mm" if system is System.METRIC else "inch")
    slack = 1e-9 * exact
    assert rounding.length_reading(mm, system, steps, Direction.UP).value >= exact - slack
    assert rounding.length_reading(mm, system, steps, Direction.DOWN).value <= exact + slack


@given(st.integers(1, 4000), st.sampled_from(["m²/l", "ft²/gal", "ft²/qt"]))
def test_coverage_as_labels_print_it(amount: int, unit: str) -> None:
    # gallon and quart are the US liquid ones in both
    to_pint = {"m²/l": "m**2/litre", "ft²/gal": "ft**2/gallon", "ft²/qt": "ft**2/quart"}
    expected = magnitude(amount, to_pint[unit], "mm**2/mm**3")
    assert units.parse_coverage(f"{amount} {unit}") == pytest.approx(expected, rel=1e-9)


ONE_OF_FOUR_DIGITS = 0.001
"""What the last of four digits is worth at most, as a part of the figure."""


@given(st.integers(1, 10_000_000))
def test_amounts_in_either_systems_bottle(mm3: int) -> None:
    for system, unit, step in (
        (System.METRIC, "ml", 0.1),
        (System.IMPERIAL, "fluid_ounce", 0.01),
    ):
        reading = rounding.liquid_reading(mm3, system)
        exact = magnitude(mm3, "mm**3", unit)
        coarser = max(step, exact * ONE_OF_FOUR_DIGITS)
        assert exact - 1e-9 * exact <= reading.value < exact + coarser * (1 + 1e-6)


@given(st.floats(min_value=1, max_value=1e8))
def test_areas_volumes_and_weights(size: float) -> None:
    for reading_of, base, metric, imperial, most in (
        (rounding.area_reading, "mm**2", "cm**2", "inch**2", 0.05),
        (rounding.volume_reading, "mm**3", "cm**3", "inch**3", 0.05),
        (rounding.mass_reading, "gram", "gram", "ounce", 0.5),
    ):
        for system, unit in ((System.METRIC, metric), (System.IMPERIAL, imperial)):
            exact = magnitude(size, base, unit)
            off = max(most, exact * ONE_OF_FOUR_DIGITS / 2)
            assert reading_of(size, system).value == pytest.approx(exact, abs=off * 1.001)


@given(st.integers(-40, 120))
def test_temperatures(degrees: int) -> None:
    fahrenheit = UREG.Quantity(degrees, "degF").to("degC").magnitude
    assert units.parse_temperature(f"{degrees} °F") == pytest.approx(fahrenheit, abs=1e-9)
    assert units.parse_temperature(f"{degrees} °C") == degrees


@given(st.integers(1, 90), st.sampled_from(["min", "h", "days"]))
def test_times_there_and_back(amount: int, unit: str) -> None:
    minutes = units.parse_duration(f"{amount} {unit}")
    assert float(minutes) == pytest.approx(magnitude(amount, unit, "minute"))
    number, printed = rounding.duration_text(minutes)
    text = rounding.with_unit(rounding.decimal_text(number, 2), printed)
    assert units.parse_duration(text) == minutes
