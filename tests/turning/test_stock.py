"""Behaviour of blank lengths, sections and volumes."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import sphere, stock

lengths = st.floats(min_value=1, max_value=500)
allowances = st.floats(min_value=0, max_value=50)

ALLOWED = {"headstock_mm": 20.0, "tailstock_mm": 10.0, "partings": 2, "kerf_mm": 3.0}


def test_a_blank_adds_up():
    blank = stock.blank_length([60, 40], **ALLOWED)
    assert (blank.finished_mm, blank.partings_mm, blank.total_mm) == (100, 6, 136)


@given(st.lists(lengths, min_size=1, max_size=6), allowances, allowances, allowances)
def test_a_blank_is_never_shorter_than_what_it_yields(finished, head, tail, kerf):
    blank = stock.blank_length(
        finished, headstock_mm=head, tailstock_mm=tail, partings=len(finished), kerf_mm=kerf
    )
    assert blank.total_mm >= sum(finished) - 1e-9
    assert blank.total_mm - head - tail - len(finished) * kerf == pytest.approx(sum(finished))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"headstock_mm": -1.0}, "headstock must be 0 mm or more"),
        ({"tailstock_mm": -1.0}, "tailstock must be 0 mm or more"),
        ({"partings": -1}, "whole number of 0 or more"),
        ({"partings": 1.5}, "whole number of 0 or more"),
        ({"kerf_mm": math.inf}, "kerf must be 0 mm or more"),
    ],
)
def test_allowances_out_of_range_are_refused(change, says):
    with pytest.raises(ValueError, match=says):
        stock.blank_length([60], **(ALLOWED | change))


def test_a_blank_for_nothing_is_refused():
    with pytest.raises(ValueError, match="at least one finished length"):
        stock.blank_length([], **ALLOWED)
    with pytest.raises(ValueError, match="finished length must be more than 0 mm"):
        stock.blank_length([60, 0], **ALLOWED)


@given(lengths, allowances)
def test_section_and_largest_cylinder_are_each_others_way_back(diameter, truing):
    side = stock.square_section_mm(diameter, truing)
    assert stock.largest_cylinder_mm(side, truing) == pytest.approx(diameter)


def test_truing_away_the_whole_blank_is_refused():
    with pytest.raises(ValueError, match="leaves nothing"):
        stock.largest_cylinder_mm(20, 20)


@given(lengths, st.integers(min_value=1, max_value=50), allowances)
def test_sawing_a_board_into_blanks(blank, count, kerf):
    board = stock.board_length_mm(blank, count, kerf)
    for _ in range(count - 1):
        board -= blank + kerf
    assert board == pytest.approx(blank, abs=1e-6)


@given(lengths, lengths)
def test_a_round_blank_is_pi_quarters_of_the_square_one(diameter, length):
    square = stock.square_blank_volume_mm3(diameter, length)
    assert stock.round_blank_volume_mm3(diameter, length) == pytest.approx(square * math.pi / 4)


@given(lengths, lengths, lengths)
def test_a_rectangular_blank(width, length, height):
    assert stock.square_blank_volume_mm3(width, length, height) == pytest.approx(
        width * length * height
    )


@given(lengths)
def test_the_spheres_cylinder_is_a_round_blank(diameter):
    assert sphere.cylinder_volume_mm3(diameter) == stock.round_blank_volume_mm3(diameter, diameter)


def test_board_feet():
    # by definition: a board foot is 12 x 12 x 1 in
    inch = 25.4
    assert stock.board_feet(12 * inch * 12 * inch * 3 * inch) == pytest.approx(3)


@pytest.mark.parametrize("bad", [0, -1, math.nan, math.inf])
def test_values_out_of_range_are_refused(bad):
    for call in (
        lambda: stock.square_section_mm(bad, 4),
        lambda: stock.largest_cylinder_mm(bad, 4),
        lambda: stock.board_length_mm(bad, 2, 3),
        lambda: stock.square_blank_volume_mm3(bad, 100),
        lambda: stock.square_blank_volume_mm3(60, bad),
        lambda: stock.square_blank_volume_mm3(60, 100, bad),
        lambda: stock.round_blank_volume_mm3(bad, 100),
        lambda: stock.round_blank_volume_mm3(60, bad),
        lambda: stock.board_feet(bad),
    ):
        with pytest.raises(ValueError, match="must be more than 0 mm"):
            call()
    with pytest.raises(ValueError, match="whole number of 1 or more"):
        stock.board_length_mm(100, 0, 3)
