"""Laws of grooves through two poles and of rings; points and the mesh are in tests/outside."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.turning import cutters, grooves, indexing
from studio.turning.grooves import TailPoint

diameters = st.floats(min_value=20, max_value=300)
counts = st.integers(min_value=1, max_value=16)
shares = st.floats(min_value=0.05, max_value=0.9)  # of the equator's share of each groove
scales = st.floats(min_value=0.1, max_value=10)
latitudes = st.floats(min_value=0, max_value=89)


def width_of(diameter, count, share):
    return share * math.pi * diameter / (2 * count)


@given(diameters, counts, shares)
def test_lands_and_grooves_go_once_round_the_equator(diameter, count, share):
    width = width_of(diameter, count, share)
    land = grooves.equator_land_mm(diameter, count, width)
    round_it = grooves.lobes(count) * (land + width)
    assert round_it == pytest.approx(indexing.circumference_mm(diameter))
    assert grooves.land_at_latitude_mm(diameter, count, width, 0) == pytest.approx(land)


@given(diameters, counts, shares, latitudes)
def test_land_dwindles_to_nothing_at_the_merging_latitude(diameter, count, share, latitude):
    width = width_of(diameter, count, share)
    merge = grooves.merge_latitude_deg(diameter, count, width)
    here = grooves.land_at_latitude_mm(diameter, count, width, latitude)
    assert here == grooves.land_at_latitude_mm(diameter, count, width, -latitude)
    assert (here > 0) == (latitude < merge)
    assert grooves.land_at_latitude_mm(diameter, count, width, merge) == 0
    near = grooves.land_at_latitude_mm(diameter, count, width, merge - 1e-9)
    assert near == pytest.approx(0, abs=diameter * 1e-4)


@given(diameters, counts, shares, scales)
def test_lengths_scale_and_angles_stay(diameter, count, share, scale):
    width = width_of(diameter, count, share)
    args, scaled = (diameter, count, width), (diameter * scale, count, width * scale)
    for length in (grooves.equator_land_mm, grooves.merged_cap_mm):
        assert length(*scaled) == pytest.approx(length(*args) * scale)
    merge = grooves.merge_latitude_deg
    assert merge(*scaled) == pytest.approx(merge(*args))


@given(diameters, counts, shares)
def test_the_merged_caps_rim_lies_at_the_merging_latitude(diameter, count, share):
    width = width_of(diameter, count, share)
    merge = math.radians(grooves.merge_latitude_deg(diameter, count, width))
    cap = grooves.merged_cap_mm(diameter, count, width)
    assert cap == pytest.approx(diameter * math.cos(merge))


@given(diameters, st.floats(min_value=0.5, max_value=8), st.floats(min_value=0.5, max_value=8))
def test_one_groove_more_than_the_most_leaves_too_little(diameter, width, least):
    most = grooves.most_grooves(diameter, width, least)
    assert grooves.equator_land_mm(diameter, most, width) >= least - 1e-6
    share = math.pi * diameter / (2 * (most + 1))
    assert share - width < least


def test_a_land_reached_exactly_counts():
    width = math.pi * 60 / 12 - 5
    assert grooves.most_grooves(60, width, 5) == 6
    # with no land wanted something still has to be left
    assert grooves.most_grooves(60, math.pi * 5, 0) == 5
    assert grooves.equator_land_mm(60, 5, math.pi * 5) > 0


@given(diameters, counts, st.floats(min_value=0.1, max_value=0.9))
def test_the_widest_groove_leaves_just_the_land(diameter, count, share):
    least = share * math.pi * diameter / (2 * count)
    widest = grooves.widest_groove_mm(diameter, count, least)
    assert grooves.equator_land_mm(diameter, count, widest) == pytest.approx(least)


def test_the_deepest_groove_is_as_wide_as_the_land_allows_or_has_upright_walls():
    deep = grooves.deepest_groove_mm(60, 6, 6, 5)
    assert cutters.cove_width_mm(60, 6, deep) == pytest.approx(grooves.widest_groove_mm(60, 6, 5))
    assert grooves.deepest_groove_mm(60, 6, 3, 5) == cutters.deepest_cove_mm(60, 3)


@given(st.integers(min_value=1, max_value=30), st.integers(min_value=2, max_value=400))
def test_a_plate_serves_grooves_and_axes_exactly_when_it_divides(count, plate):
    stops = grooves.groove_stops(count, plate)
    assert len(stops) == count
    lines = plate % grooves.marks_for_grooves(count) == 0
    axes = plate % grooves.marks_with_axes(count) == 0
    assert all(stop.line_stops is not None for stop in stops) == lines
    assert all(stop.line_stops and stop.axis_stops for stop in stops) == axes


@given(st.integers(min_value=1, max_value=30), st.integers(min_value=2, max_value=400))
def test_stops_stand_where_grooves_and_axes_do(count, plate):
    for stop in grooves.groove_stops(count, plate):
        line = stop.groove * grooves.remount_turn_deg(count)
        for stops, angle in ((stop.line_stops, line), (stop.axis_stops, line + 90)):
            if stops is not None:
                wanted = sorted((angle % 360, (angle + 180) % 360))
                assert [at * 360 / plate for at in stops] == pytest.approx(wanted)


@given(st.integers(min_value=1, max_value=12), st.randoms(use_true_random=False))
def test_mountings_of_any_order(count, random):
    order = random.sample(range(count), count)
    diameter, width = 60.0, width_of(60.0, count, 0.6)
    axes = grooves.cut_axes(diameter, count, width, order)
    assert [axis.groove for axis in axes] == order
    turn = grooves.remount_turn_deg(count)
    for before, after in pairwise(axes):
        assert ((before.groove - after.groove) * turn + after.turn_deg) % 180 == pytest.approx(
            0, abs=1e-9
        )
        assert abs(after.turn_deg) <= 90
    assert axes[0].turn_deg == 0
    assert axes[0].edge_mm is None
    for place, axis in enumerate(axes):
        cut = order[:place]
        tail = (axis.groove * turn + 90) % 180
        lines = [number for number in range(count) if abs(number * turn - tail) < 1e-9]
        if count % 2:
            assert (axis.tail, axis.tail_groove, lines) == (TailPoint.MID_LAND, None, [])
        else:
            assert lines == [axis.tail_groove]
            earlier = axis.tail_groove in cut
            assert axis.tail is (TailPoint.EARLIER_GROOVE if earlier else TailPoint.LATER_LINE)
        if cut:
            apart = [
                min((number * turn - tail) % 180, (tail - number * turn) % 180) for number in cut
            ]
            arcs = [abs(math.radians(angle) * diameter / 2 - width / 2) for angle in apart]
            assert axis.edge_mm == pytest.approx(min(arcs))


def test_half_of_an_even_count_is_cut_on_lines_and_half_in_grooves():
    tails = [axis.tail for axis in grooves.cut_axes(60, 6, 6)]
    assert tails == [TailPoint.LATER_LINE] * 3 + [TailPoint.EARLIER_GROOVE] * 3


def test_a_hole_at_the_pole():
    section = cutters.cove_section(60, 3.349, 6)
    hole = grooves.pole_hole(section, 6, 4, 20, 10)
    assert hole.wood_beyond_mm == pytest.approx(
        grooves.height_at_poles_mm(60, section.depth_mm) - 30
    )
    assert grooves.pole_hole(section, 6, 23, 20).mouth_in_cap
    assert not grooves.pole_hole(section, 6, 24, 20).mouth_in_cap


@given(diameters, latitudes)
def test_dividers_on_the_pole_draw_the_ring(diameter, latitude):
    circle = grooves.ring(diameter, latitude)
    # from the pole's point to a point of the ring, straight
    straight = math.hypot(circle.diameter_mm / 2, circle.from_pole_mm)
    assert circle.divider_mm == pytest.approx(straight)
    assert circle.from_equator_mm + circle.from_pole_mm == pytest.approx(diameter / 2)
    back = grooves.ring_latitude_deg(diameter, circle.from_equator_mm)
    assert back == pytest.approx(latitude, abs=1e-5)


@settings(max_examples=40)
@given(diameters, counts, st.floats(min_value=0.05, max_value=0.8), scales)
def test_the_form_scales_and_adds_up(diameter, count, share, scale):
    width = min(width_of(diameter, count, share), 0.25 * diameter)
    section = cutters.cove_section(diameter, width * 0.6, width)
    larger = cutters.cove_section(diameter * scale, width * 0.6 * scale, width * scale)
    form, scaled = grooves.grooved_form(section, count), grooves.grooved_form(larger, count)
    assert form.volume_mm3 + form.removed_mm3 == pytest.approx(math.pi / 6 * diameter**3)
    assert form.land_area_mm2 + form.groove_area_mm2 == pytest.approx(form.area_mm2)
    assert scaled.volume_mm3 == pytest.approx(form.volume_mm3 * scale**3)
    assert scaled.area_mm2 == pytest.approx(form.area_mm2 * scale**2)
    core = math.pi / 6 * (2 * section.core_radius_mm) ** 3
    assert core < form.volume_mm3 < math.pi / 6 * diameter**3


def test_more_grooves_and_deeper_ones_take_more():
    removed = [
        grooves.grooved_form(cutters.cove_section(60, 3.2, width), count).removed_mm3
        for count, width in ((3, 5.0), (4, 5.0), (4, 6.0), (8, 6.0))
    ]
    assert removed == sorted(removed)
    # they share the poles: twice as many take less than twice as much
    assert removed[3] < 2 * removed[2]


COVE = cutters.cove_section(60, 3.349, 6)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: grooves.equator_land_mm(60, 16, 6), "each must be narrower than 5.89 mm"),
        (lambda: grooves.equator_land_mm(60, 0, 6), "count of grooves"),
        (lambda: grooves.merge_latitude_deg(60, 16, 6), "leave no land"),
        (lambda: grooves.land_at_latitude_mm(60, 6, 6, 91), "from -90° to 90°"),
        (lambda: grooves.core_radius_mm(60, 30), "reach the middle"),
        (lambda: grooves.most_grooves(60, 60, 40), "not even one groove"),
        (lambda: grooves.widest_groove_mm(60, 6, 16), "no room for grooves"),
        (lambda: grooves.groove_stops(6, 1), "plate's count of stops"),
        (lambda: grooves.cutting_order(3, (0, 1)), "names each of 3 grooves once"),
        (lambda: grooves.cutting_order(3, (0, 1, 1)), "not 0, 1, 1"),
        (lambda: grooves.cutting_order(3, (1, 2, 3)), "counted from 0"),
        (lambda: grooves.axis_miss_mm(60, -1), "off by 0° to 90°"),
        (lambda: grooves.pole_hole(COVE, 6, 4, 56), "goes through"),
        (lambda: grooves.pole_hole(COVE, 6, 4, 30, 26), "hole from the other pole"),
        (lambda: grooves.pole_hole(COVE, 6, 56, 3), "wider than the core"),
        (lambda: grooves.grooved_form(COVE, 16), "leave no land"),
        (lambda: grooves.ring(60, 90), "from 0° to below 90°"),
        (lambda: grooves.ring_latitude_deg(60, 30), "misses a 60 mm sphere"),
        (lambda: grooves.ring_land_mm(60, 0, 10, 6), "run into each other"),
        (lambda: grooves.ring_land_mm(60, 0, 90, 6), "between -90° and 90°"),
        (lambda: grooves.integral(math.sin, 0, 1, 0), "count of panels"),
    ],
)
def test_refusals_say_what_is_wrong_and_what_to_do(call, says):
    with pytest.raises(ValueError, match=says):
        call()
