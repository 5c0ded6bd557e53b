"""Parts put together: wood round a bore, refusals; shoulders by points are in tests/outside."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import assembly, bench, cutters, grooves, profile
from studio.turning.profile import Profile

FINIAL = Profile(
    (
        profile.bead(9, 8, 0, 4),
        profile.cove(12, 3, 4, 6),
        profile.bead(7, 16, 9, 10),
        profile.ogee(9, 10, 18),
        profile.tenon(12, 8),
    )
)


@given(st.floats(0, 40), st.floats(1, 9), st.floats(0.5, 2.5))
def test_wood_round_a_bore_by_a_fine_walk(start, long, bore):
    wood, place = assembly.thinnest_round_bore_mm(FINIAL, start, start + long, bore)
    assert start - 1e-9 <= place <= start + long + 1e-9
    walked = min(
        profile.radius_mm(FINIAL, start + long * step / 1000) - bore / 2 for step in range(1001)
    )
    # the walk sees the thicker side of a step; the code the thinner, and looks at the changes
    assert wood <= walked + 1e-9
    if not any(
        start <= neck.end_mm and neck.start_mm <= start + long for neck in bench.necks(FINIAL)
    ) and not any(start <= joint <= start + long for joint in FINIAL.starts_mm):
        assert wood == pytest.approx(walked, abs=0.02)


def test_the_thinner_side_of_a_step_counts():
    stepped = Profile((profile.straight(10, 12), profile.tenon(10, 6)))
    assert assembly.thinnest_round_bore_mm(stepped, 5, 10, 2) == (2, 10)
    assert assembly.thinnest_round_bore_mm(stepped, 5, 9, 2)[0] == 5
    assert assembly.thinnest_round_bore_mm(stepped, 12, 25, 8)[0] == -1


@given(st.floats(0.5, 4), st.floats(0, 2))
def test_the_deepest_bore_leaves_the_least_and_a_deeper_one_less(bore, least):
    deepest = assembly.deepest_bore_mm(FINIAL, bore, least)
    if deepest > 1e-5:
        assert assembly.thinnest_round_bore_mm(FINIAL, 0, deepest - 1e-5, bore)[0] >= least - 1e-9
    if deepest < FINIAL.length_mm - 0.02:
        assert assembly.thinnest_round_bore_mm(FINIAL, 0, deepest + 0.02, bore)[0] < least


def test_a_bore_may_go_all_through_or_not_at_all():
    rod = Profile((profile.straight(10, 12),))
    assert assembly.deepest_bore_mm(rod, 3, 1.5) == 10
    assert assembly.deepest_bore_mm(rod, 11, 1.5) == 0


def test_on_a_plain_ball_it_rests_on_the_holes_rim():
    rests = assembly.resting(60, None, 0, 16, 8)
    assert rests.height_mm == pytest.approx(math.sqrt(30**2 - 4**2))
    assert rests.daylight_mm == pytest.approx(math.sqrt(30**2 - 4**2) - math.sqrt(30**2 - 8**2))


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: assembly.resting(60, None, 0, 8, 8), "wider than the hole"),
        (lambda: assembly.resting(60, None, 0, 60), "narrower than the globe"),
        (lambda: assembly.resting(0, None, 0, 16), "globe's diameter must be more than 0"),
        (lambda: assembly.resting(60, None, 0, 16, -1), "hole's diameter must be 0 mm or more"),
        (lambda: assembly.thinnest_round_bore_mm(FINIAL, 60, 70, 2), "does not lie in the part"),
        (lambda: assembly.thinnest_round_bore_mm(FINIAL, 5, 9, 0), "bore's diameter must be more"),
    ],
)
def test_refusals_say_what_is_wrong(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_a_shoulder_rests_on_the_pole_or_bridges_it():
    section = cutters.cove_section(60, 3.349, 6)
    core = section.core_radius_mm
    on_pole = assembly.resting(60, section, 8, 16)
    assert on_pole.height_mm == pytest.approx(core, abs=1e-9)
    assert on_pole.daylight_mm > 0
    assert assembly.resting(60, section, 3, 10).height_mm > core + 0.5
    # past the merged cap a shoulder rests on the tips of the lands: their height
    wide = assembly.resting(60, section, 3, 40)
    tip = 30 * math.sin(math.radians(grooves.merge_latitude_deg(60, 3, 6)))
    assert wide.height_mm == pytest.approx(tip, abs=1e-3)


@given(st.floats(10, 40), st.floats(1, 9), st.floats(1, 14), st.floats(0.5, 30))
def test_wood_round_a_tenon_by_walking_down_the_side_of_its_hole(radius, wall, hole, long):
    """On a plain ball the shoulder rests on the hole's rim; every place is asked by Pythagoras."""
    shoulder = math.sqrt(radius**2 - (hole / 2) ** 2)
    hollow = max(radius - wall, 0.0)
    wood = assembly.tenon_wood(shoulder, radius, hole, 2 * hollow)
    steps = 4000
    walked = sum(
        hollow <= math.hypot(hole / 2, shoulder - long * (step + 0.5) / steps) <= radius
        for step in range(steps)
    )
    if long < shoulder:  # beyond the centre there is the far wall
        assert wood.held_mm(long) == pytest.approx(long * walked / steps, abs=long / steps * 2)
