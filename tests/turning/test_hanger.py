"""Laws of the twisted bundle; brute force over sampled helices is in tests/outside."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import hanger

straight_counts = st.integers(min_value=1, max_value=7)
counts = st.integers(min_value=2, max_value=7)
wires = st.floats(min_value=0.1, max_value=5)
looseness = st.floats(min_value=1.001, max_value=50)


def twisted(strands, wire, loose):
    return hanger.twisted_bundle(strands, wire, hanger.tightest_pitch_mm(strands, wire) * loose)


@given(counts, wires, looseness, st.floats(min_value=0.1, max_value=10))
def test_everything_scales_together(strands, wire, loose, scale):
    one, other = twisted(strands, wire, loose), twisted(strands, wire * scale, loose)
    assert other.diameter_mm == pytest.approx(one.diameter_mm * scale)
    assert other.takeup == pytest.approx(one.takeup)


@given(counts, wires, looseness)
def test_twisting_never_makes_a_bundle_thinner(strands, wire, loose):
    bundle = twisted(strands, wire, loose)
    straight = hanger.straight_bundle(strands, wire).diameter_mm
    assert bundle.diameter_mm >= straight * (1 - 1e-12)


@given(st.integers(min_value=3, max_value=7), wires, looseness)
def test_a_tighter_pitch_is_a_thicker_bundle_that_eats_more_wire(strands, wire, loose):
    tight, slack = twisted(strands, wire, loose), twisted(strands, wire, loose * 1.1)
    assert tight.diameter_mm > slack.diameter_mm
    assert tight.takeup > slack.takeup


@given(wires, looseness)
def test_two_strands_keep_two_diameters_at_any_pitch_allowed(wire, loose):
    assert twisted(2, wire, loose).diameter_mm == pytest.approx(2 * wire)


@given(counts, wires)
def test_a_long_pitch_comes_to_the_straight_bundle(strands, wire):
    bundle = twisted(strands, wire, 1000)
    straight = hanger.straight_bundle(strands, wire)
    assert bundle.diameter_mm == pytest.approx(straight.diameter_mm, rel=1e-5)
    assert bundle.takeup == pytest.approx(1, abs=1e-5)


@given(counts, wires, looseness)
def test_neighbours_touch(strands, wire, loose):
    bundle = twisted(strands, wire, loose)
    assert bundle.pitch_mm is not None
    gap = hanger.neighbour_gap_mm(bundle.helix_radius_mm, bundle.pitch_mm, min(strands, 6))
    assert gap == pytest.approx(wire)


@given(counts, wires)
def test_the_lay_is_45_degrees_at_the_tightest_pitch(strands, wire):
    tightest = hanger.tightest_pitch_mm(strands, wire)
    bundle = hanger.twisted_bundle(strands, wire, tightest * (1 + 1e-9))
    assert bundle.lay_angle_deg == pytest.approx(hanger.STEEPEST_LAY_DEG, abs=0.01)
    assert bundle.takeup == pytest.approx(math.sqrt(2), rel=1e-4)
    with pytest.raises(ValueError, match="too tight"):
        hanger.twisted_bundle(strands, wire, tightest * 0.999)


def test_the_pitch_named_by_the_refusal_works():
    with pytest.raises(ValueError, match=r"twist to 3\.7 mm or more"):
        hanger.twisted_bundle(4, 0.6438, 2)
    assert hanger.twisted_bundle(4, 0.6438, 3.7).diameter_mm > 1.755


def test_seven_are_six_round_one():
    six, seven = hanger.twisted_bundle(6, 0.6438, 8), hanger.twisted_bundle(7, 0.6438, 8)
    assert seven.diameter_mm == six.diameter_mm
    assert six.helix_radius_mm >= 0.6438  # room for the one in the middle


@given(wires, looseness)
def test_a_hole_for_six_on_the_ring_takes_five_round_one(wire, loose):
    bundle = twisted(6, wire, loose)
    assert bundle.pitch_mm is not None
    five = hanger.twisted_bundle(5, wire, bundle.pitch_mm).helix_radius_mm
    assert bundle.helix_radius_mm >= max(wire, five) * (1 - 1e-12)


@given(straight_counts, wires)
def test_a_straight_bundle_eats_no_more_wire(strands, wire):
    bundle = hanger.straight_bundle(strands, wire)
    assert (bundle.takeup, bundle.lay_angle_deg, bundle.pitch_mm) == (1, 0, None)


def test_wire_to_cut_counts_every_part():
    parts = {
        "mandrel_diameter_mm": 6.0,
        "wire_diameter_mm": 0.5,
        "cable_length_mm": 30.0,
        "takeup": 1.1,
        "clamped_mm": 10.0,
    }
    whole = hanger.wire_to_cut_mm(**parts)
    assert whole == pytest.approx(math.pi * 6.5 + 2 * 33 + 20)
    assert hanger.wire_to_cut_mm(**parts | {"cable_length_mm": 31.0}) == pytest.approx(whole + 2.2)
    for name, bad in [
        ("mandrel_diameter_mm", 0.0),
        ("wire_diameter_mm", -1.0),
        ("cable_length_mm", 0.0),
        ("takeup", 0.99),
        ("takeup", math.nan),
        ("clamped_mm", -0.1),
    ]:
        with pytest.raises(ValueError, match="must be"):
            hanger.wire_to_cut_mm(**parts | {name: bad})


PARTS = {
    "mandrel_diameter_mm": 6.0,
    "wire_diameter_mm": 0.5,
    "cable_length_mm": 30.0,
    "takeup": 1.1,
    "clamped_mm": 10.0,
}


@pytest.mark.parametrize("strands", range(2, 8))
def test_the_wires_give_every_strand_and_end_in_the_clamp(strands):
    cut = hanger.wires_to_cut(strands, **PARTS)
    assert 2 * cut.folded + cut.single == strands
    assert cut.wires == math.ceil(strands / 2)
    assert cut.folded_mm == hanger.wire_to_cut_mm(**PARTS)
    # every strand is one leg; every folded wire ends twice in the clamp, and so does a single one
    legs, ends = strands * 30 * 1.1, 2 * cut.wires * 10
    assert cut.total_mm == pytest.approx(legs + ends + cut.folded * math.pi * 6.5)
    for bad in (1, 8, 2.5):
        with pytest.raises(ValueError, match="strands must be a whole number from 2 to 7"):
            hanger.wires_to_cut(bad, **PARTS)


@given(
    st.floats(min_value=1, max_value=20),
    st.floats(min_value=0.2, max_value=3),
    st.floats(min_value=0.001, max_value=0.999),
    counts,
)
def test_legs_that_meet_below_the_rod_need_no_more_wire_than_is_cut(mandrel, wire, part, strands):
    """The loop drawn point by point: round the rod, and straight to where the legs meet."""
    cable = 60.0
    radius = (mandrel + wire) / 2
    # the legs meet anywhere between the rod's underside and the tip
    meet = mandrel / 2 + wire / 2 + part * (cable - wire)
    slant = math.acos(radius / meet)
    half = [math.pi / 2 - (math.pi - slant) * step / 400 for step in range(401)]
    points = [(radius * math.cos(at), radius * math.sin(at)) for at in half]
    drawn = sum(math.dist(a, b) for a, b in pairwise(points)) + math.dist(points[-1], (0, -meet))
    below = cable - (meet - mandrel / 2)  # of the cable, what is left to twist
    takeup = hanger.twisted_bundle(strands, wire, 10 * wire).takeup
    cut = hanger.wire_to_cut_mm(
        mandrel_diameter_mm=mandrel,
        wire_diameter_mm=wire,
        cable_length_mm=cable,
        takeup=takeup,
        clamped_mm=0,
    )
    assert 2 * (drawn + below * takeup) <= cut


def test_a_holes_least_depth_is_four_bundles():
    assert hanger.least_hole_depth_mm(1.5) == 6
    with pytest.raises(ValueError, match="bundle's diameter must be more than 0"):
        hanger.least_hole_depth_mm(0)


def test_turns():
    assert hanger.turns(30, 6) == 5
    with pytest.raises(ValueError, match="pitch must be more than 0 mm"):
        hanger.turns(30, 0)
    with pytest.raises(ValueError, match="length must be 0 mm or more"):
        hanger.turns(-1, 6)


@pytest.mark.parametrize("strands", [0, 8, 2.5])
def test_strands_out_of_range_are_refused(strands):
    for call in (
        lambda: hanger.straight_radius_mm(strands, 0.5),
        lambda: hanger.straight_bundle(strands, 0.5),
        lambda: hanger.tightest_pitch_mm(strands, 0.5),
        lambda: hanger.twisted_bundle(strands, 0.5, 10),
    ):
        with pytest.raises(ValueError, match="whole number from"):
            call()


def test_one_strand_cannot_be_twisted():
    with pytest.raises(ValueError, match="twisted strands must be a whole number from 2 to 7"):
        hanger.twisted_bundle(1, 0.5, 10)


@pytest.mark.parametrize("bad", [0, -1, math.nan, math.inf])
def test_wire_and_pitch_out_of_range_are_refused(bad):
    for call in (
        lambda: hanger.straight_bundle(4, bad),
        lambda: hanger.tightest_pitch_mm(4, bad),
        lambda: hanger.twisted_bundle(4, bad, 10),
        lambda: hanger.twisted_bundle(4, 0.5, bad),
        lambda: hanger.neighbour_gap_mm(bad, 5, 4),
        lambda: hanger.neighbour_gap_mm(0.5, bad, 4),
    ):
        with pytest.raises(ValueError, match="must be more than 0 mm"):
            call()
