"""Coats, times and amounts."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import finish

counts = st.integers(min_value=1, max_value=30)
minutes = st.floats(min_value=0, max_value=10_000)


@given(counts, minutes, minutes)
def test_time_by_the_clock(coats, recoat, dry):
    clock = 0.0
    for _ in range(coats - 1):
        clock += recoat
    assert finish.finish_time_min(coats, recoat, dry) == pytest.approx(clock + dry)


@given(st.floats(min_value=1, max_value=1e6), counts, st.floats(min_value=0.5, max_value=50))
def test_the_amount_covers_the_area_as_often_as_there_are_coats(area, coats, coverage):
    amount = finish.finish_amount_mm3(area, coats, coverage)
    assert amount * coverage == pytest.approx(area * coats)


def test_labels_by_a_general_units_library():
    units = pint.UnitRegistry()
    area = 0.0113 * units.m**2
    # a label of 10 m² a litre; one of 400 ft² a US gallon
    for label in (10 * units.m**2 / units.litre, 400 * units.ft**2 / units.gallon):
        amount = finish.finish_amount_mm3(
            area.to("mm**2").magnitude, 3, label.to("mm**2/mm**3").magnitude
        )
        assert amount == pytest.approx((3 * area / label).to("mm**3").magnitude)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: finish.finish_time_min(0, 60, 60), "coats must be a whole number of 1 or more"),
        (lambda: finish.finish_time_min(2, -1, 60), "time between coats must be 0 minutes or more"),
        (lambda: finish.finish_time_min(2, 60, math.nan), "drying time must be 0 minutes or more"),
        (lambda: finish.finish_amount_mm3(0, 2, 10), "area to coat must be more than 0 mm²"),
        (lambda: finish.finish_amount_mm3(100, 1.5, 10), "whole number of 1 or more"),
        (lambda: finish.finish_amount_mm3(100, 2, 0), "coverage must be more than 0"),
    ],
)
def test_what_no_label_says_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()
