"""Behaviour of indexing: plates, nearest stops, dividers and strips."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import indexing

marks_counts = st.integers(min_value=2, max_value=48)
plates = st.integers(min_value=48, max_value=400)
diameters = st.floats(min_value=1, max_value=1000)


@given(plates, marks_counts)
def test_a_plate_serves_exactly_when_the_nearest_stops_are_not_off(plate, marks):
    serves = indexing.stops_per_mark(plate, marks) is not None
    assert serves == (indexing.worst_stop_error_deg(plate, marks) == 0)


@given(plates, marks_counts)
def test_no_other_stop_is_nearer(plate, marks):
    for near in indexing.nearest_stops(plate, marks):
        wanted = near.mark * 360 / marks
        errors = [abs(stop * 360 / plate - wanted) for stop in range(plate + 1)]
        assert abs(near.error_deg) == pytest.approx(min(errors), abs=1e-9)
        assert near.stop * 360 / plate - wanted == pytest.approx(near.error_deg, abs=1e-9)


@given(plates, marks_counts)
def test_the_error_is_never_more_than_half_a_stop(plate, marks):
    assert indexing.worst_stop_error_deg(plate, marks) <= 180 / plate + 1e-12


@given(marks_counts, st.lists(plates, max_size=8))
def test_plates_that_serve_keep_their_order(marks, owned):
    assert list(indexing.plates_that_serve(marks, owned)) == [p for p in owned if p % marks == 0]


def test_a_tie_takes_the_later_stop():
    # marks 1 and 3 lie halfway between stops, at 1.5 and 4.5
    assert [near.stop for near in indexing.nearest_stops(6, 4)] == [0, 2, 3, 5]


@given(marks_counts, st.lists(plates, min_size=1, max_size=8))
def test_no_owned_plate_is_closer(marks, owned):
    closest = indexing.closest_plate(marks, owned)
    errors = [indexing.worst_stop_error_deg(plate, marks) for plate in owned]
    assert closest.worst_error_deg == min(errors)
    assert closest.plate_stops == owned[errors.index(min(errors))]


def test_plates_with_too_few_stops_are_passed_over():
    assert indexing.closest_plate(30, (24, 48)).plate_stops == 48
    with pytest.raises(ValueError, match="no plate here has the 30 stops"):
        indexing.closest_plate(30, (12, 24))
    with pytest.raises(ValueError, match="no plate here"):
        indexing.closest_plate(30, ())


@given(diameters, marks_counts)
def test_the_exact_divider_setting_closes(diameter, marks):
    setting = indexing.divider_setting_mm(diameter, marks)
    # sine is flat at half a turn, so two marks lose half the digits on the way back
    assert indexing.closing_error_mm(diameter, marks, setting) == pytest.approx(
        0, abs=diameter * 1e-6
    )


@given(diameters, st.integers(min_value=3, max_value=48))
def test_a_wide_setting_passes_the_first_mark_and_a_narrow_one_falls_short(diameter, marks):
    setting = indexing.divider_setting_mm(diameter, marks)
    assert indexing.closing_error_mm(diameter, marks, setting * 1.001) > 0
    assert indexing.closing_error_mm(diameter, marks, setting * 0.999) < 0


@given(diameters, marks_counts)
def test_chord_is_shorter_than_strip_and_strips_go_once_round(diameter, marks):
    strip = indexing.strip_spacing_mm(diameter, marks)
    assert indexing.divider_setting_mm(diameter, marks) < strip
    assert strip * marks == pytest.approx(indexing.circumference_mm(diameter))


@given(diameters, marks_counts, st.floats(min_value=0.1, max_value=10))
def test_settings_scale_with_the_diameter(diameter, marks, scale):
    for function in (indexing.divider_setting_mm, indexing.strip_spacing_mm):
        assert function(diameter * scale, marks) == pytest.approx(function(diameter, marks) * scale)


def test_closing_error_walked_round_point_by_point():
    # stepping as dividers do: from each point to the one a chord away, by rotating vectors
    diameter, marks, setting = 60.0, 12, 15.5
    point = complex(diameter / 2, 0)
    turned = 0.0
    for _ in range(marks):
        half = setting / diameter
        step = complex(1 - 2 * half**2, 2 * half * math.sqrt(1 - half**2))
        assert abs(point * step - point) == pytest.approx(setting)
        point *= step
        turned += math.atan2(step.imag, step.real)
    assert indexing.closing_error_mm(diameter, marks, setting) == pytest.approx(
        (turned - 2 * math.pi) * diameter / 2
    )
    short = math.atan2(-point.imag, point.real) * diameter / 2
    assert short == pytest.approx(0.362, abs=0.0005)


@pytest.mark.parametrize("bad", [1, 0, -3, 2.5, math.nan, math.inf])
def test_marks_out_of_range_are_refused(bad):
    for call in (
        lambda: indexing.mark_angle_deg(bad),
        lambda: indexing.stops_per_mark(60, bad),
        lambda: indexing.stops_per_mark(bad, 12),
        lambda: indexing.plates_that_serve(bad),
        lambda: indexing.closest_plate(bad),
        lambda: indexing.closest_plate(12, (60, bad)),
        lambda: indexing.nearest_stops(60, bad),
        lambda: indexing.divider_setting_mm(60, bad),
        lambda: indexing.strip_spacing_mm(60, bad),
        lambda: indexing.closing_error_mm(60, bad, 15),
    ):
        with pytest.raises(ValueError, match="whole number"):
            call()


def test_more_marks_than_stops_are_refused():
    with pytest.raises(ValueError, match="from 2 to 24"):
        indexing.nearest_stops(24, 25)


def test_dividers_wider_than_the_circle_are_refused():
    with pytest.raises(ValueError, match="cannot step round a circle of 60 mm"):
        indexing.closing_error_mm(60, 12, 60.1)


@pytest.mark.parametrize("bad", [0, -60, math.nan, math.inf])
def test_a_diameter_out_of_range_is_refused(bad):
    for call in (
        lambda: indexing.circumference_mm(bad),
        lambda: indexing.strip_spacing_mm(bad, 12),
        lambda: indexing.divider_setting_mm(bad, 12),
        lambda: indexing.closing_error_mm(bad, 12, 15),
    ):
        with pytest.raises(ValueError, match="diameter must be more than 0 mm"):
            call()
