"""Laws of the hollow globe; points and discs are in tests/outside."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import cutters, grooves, hollow

diameters = st.floats(min_value=20, max_value=300)
walls = st.floats(min_value=0.03, max_value=0.3)  # of the diameter
openings = st.floats(min_value=0.1, max_value=0.9)  # of the hollow
COVE = cutters.cove_section(60, 3.349, 6)


@given(diameters, walls, openings)
def test_the_cutter_reaches_across_the_hollow_and_less_than_across_the_globe(diameter, wall, part):
    inner = hollow.hollow_diameter_mm(diameter, wall * diameter)
    reach = hollow.cutter_reach(diameter, wall * diameter, part * inner)
    assert inner / 2 < reach.depth_mm < diameter - wall * diameter
    assert reach.side_mm == pytest.approx((1 - part) * inner / 2)


@given(diameters, walls, openings, st.floats(min_value=0.1, max_value=10))
def test_saved_part_stays_when_all_scales(diameter, wall, part, scale):
    opening = part * (1 - 2 * wall) * diameter
    one = hollow.plain_hollow_form(diameter, wall * diameter, opening)
    other = hollow.plain_hollow_form(diameter * scale, wall * diameter * scale, opening * scale)
    assert other.saved_part == pytest.approx(one.saved_part)
    assert other.volume_mm3 == pytest.approx(one.volume_mm3 * scale**3)
    solid = math.pi / 6 * diameter**3
    assert one.volume_mm3 + one.saved_mm3 == pytest.approx(solid)
    # the hollow alone is (1 - 2t/D) cubed of it; the opening adds to that
    assert one.saved_part > (1 - 2 * wall) ** 3


def test_grooved_wood_and_what_is_saved_are_the_solid_grooved_globe():
    form = hollow.grooved_hollow_form(COVE, 6, 5, 20)
    solid = grooves.grooved_form(COVE, 6)
    assert form.volume_mm3 + form.saved_mm3 == pytest.approx(solid.volume_mm3)
    # the grooves have lowered the rim, so the opening takes less wood than without them
    plain = hollow.plain_hollow_form(60, 5, 20)
    assert form.saved_mm3 < plain.saved_mm3
    assert form.saved_part > plain.saved_part


def test_shallow_grooves_come_to_the_plain_globe():
    hair = cutters.cove_section(60, 10, 0.1)
    grooved = hollow.grooved_hollow_form(hair, 3, 5, 20)
    plain = hollow.plain_hollow_form(60, 5, 20)
    assert grooved.saved_mm3 == pytest.approx(plain.saved_mm3, rel=1e-4)


@given(st.floats(min_value=0, max_value=2.9))
def test_off_centre_takes_from_the_thinnest_wall(off):
    assert hollow.thinnest_under_groove_mm(60, 5, 2, off) == pytest.approx(3 - off)


@given(st.floats(min_value=0.5, max_value=4), st.floats(min_value=0.5, max_value=4))
def test_where_ring_and_groove_cross_depths_do_not_add_up(groove, ring):
    thin = hollow.thinnest_wall(60, 5, groove, ring, 0.5)
    assert thin.groove_mm == pytest.approx(4.5 - groove)
    assert thin.ring_mm == pytest.approx(4.5 - ring)
    assert thin.crossing_mm == pytest.approx(4.5 - max(groove, ring))


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: hollow.hollow_diameter_mm(60, 30), "leaves no hollow"),
        (lambda: hollow.cutter_reach(60, 5, 50), "as wide as the hollow"),
        (lambda: hollow.thinnest_under_groove_mm(60, 2, 2), "goes through a wall of 2 mm"),
        (lambda: hollow.thinnest_under_groove_mm(60, 5, 2, 3), "and a hollow 3 mm off centre"),
        (lambda: hollow.thinnest_under_groove_mm(60, 5, 2, -1), "0 mm or more"),
        (lambda: hollow.thinnest_under_ring_mm(60, 2, 2), "a ring 2 mm deep goes through a wall"),
        (lambda: hollow.thinnest_wall(60, 5, 2, 4.8, 0.3), "a ring 4.8 mm deep and a hollow 0.3"),
        (lambda: hollow.thinnest_wall(60, 5, 0, 2), "depth of a groove must be more than 0"),
        (lambda: hollow.plain_hollow_form(60, 5, 0), "opening must be more than 0"),
        (lambda: hollow.grooved_hollow_form(COVE, 6, 1.5, 20), "leave a thicker wall"),
        (lambda: hollow.grooved_hollow_form(COVE, 16, 5, 20), "leave no land"),
    ],
)
def test_refusals_say_what_is_wrong_and_what_to_do(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_the_lips_edge_is_the_angle_between_two_short_steps_from_it():
    # from the edge straight down the opening's wall, and a hair along the sphere outwards
    for diameter, opening, depth in ((60, 30, 0), (60, 30, 3), (80, 62, 5)):
        radius, half = diameter / 2 - depth, opening / 2
        hair = 1e-6
        fall = math.sqrt(radius**2 - half**2) - math.sqrt(radius**2 - (half + hair) ** 2)
        between = math.degrees(math.atan2(hair, fall))
        assert hollow.lip_edge_deg(diameter, opening, depth) == pytest.approx(between, abs=1e-3)
        edge = hollow.lip_edge_deg(diameter, opening, depth)
        assert hollow.widest_opening_mm(diameter, edge, depth) == pytest.approx(opening)


@pytest.mark.parametrize("call", [
    lambda: hollow.lip_edge_deg(60, 54, 3),
    lambda: hollow.lip_edge_deg(60, 0),
    lambda: hollow.widest_opening_mm(60, 90),
    lambda: hollow.widest_opening_mm(60, 45, 30),
])  # fmt: skip
def test_a_lip_that_is_none_is_refused(call):
    with pytest.raises(ValueError, match=r"opening|edge|grooves"):
        call()
