"""Behaviour of profiles; volumes, areas and arcs are checked in tests/outside."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from studio.turning import bench, profile
from studio.turning.profile import Cyma, JointKind, Profile

widths = st.floats(min_value=2, max_value=80)
lengths = st.floats(min_value=1, max_value=60)

scales = st.floats(min_value=0.2, max_value=5)


@given(st.data(), scales)
def test_scaling_scales_lengths_areas_and_volumes(plans, built, data, scale):
    plan = data.draw(plans)
    one, other = built(plan), built(plan, scale)
    assert other.length_mm == pytest.approx(one.length_mm * scale)
    assert profile.volume_mm3(other) == pytest.approx(profile.volume_mm3(one) * scale**3)
    for part in ("side_mm2", "shoulders_mm2", "ends_mm2", "hidden_mm2", "total_mm2", "shown_mm2"):
        before, after = (getattr(profile.surface_area(p), part) for p in (one, other))
        # an arc that stands upright at its edge comes out a few millionths short by rounding
        assert after == pytest.approx(before * scale**2, rel=1e-6, abs=1e-6)
    slopes = [[(j.before_deg, j.after_deg) for j in profile.joints(p)] for p in (one, other)]
    for before, after in zip(*slopes, strict=True):
        assert after == pytest.approx(before, abs=1e-4)


@given(st.data())
def test_turned_end_for_end_it_is_as_large(plans, built, data):
    plan = data.draw(plans)
    turned = []
    for make, sizes in reversed(plan):
        if make in (profile.taper, profile.ogee):
            sizes = (sizes[0], sizes[2], sizes[1])
        turned.append((make, sizes))
    one, other = built(plan), built(turned)
    assert profile.volume_mm3(other) == pytest.approx(profile.volume_mm3(one))
    assert profile.surface_area(other).total_mm2 == pytest.approx(
        profile.surface_area(one).total_mm2
    )
    assert [neck.diameter_mm for neck in bench.necks(other)] == pytest.approx(
        [neck.diameter_mm for neck in reversed(bench.necks(one))]
    )


@given(st.data(), st.floats(min_value=0.001, max_value=0.5))
def test_the_outline_keeps_close_to_the_surface(plans, built, data, error):
    plan = data.draw(plans)
    piece = built(plan)
    points = profile.outline(piece, error)
    assert points[0][0] == 0
    assert points[-1][0] == pytest.approx(piece.length_mm)
    for (z1, r1), (z2, r2) in pairwise(points):
        assert z2 >= z1 - 1e-9
        middle = (z1 + z2) / 2
        if z2 - z1 > 1e-3:
            off = abs(profile.radius_mm(piece, middle) - (r1 + r2) / 2)
            steep = math.hypot(z2 - z1, r2 - r1) / (z2 - z1)
            # near an upright end a small distance square to the chord is a longer one along r
            assert off <= error * (steep + 0.05) ** 2 + 1e-6


def test_a_smooth_joint_a_ridge_a_valley_and_a_step():
    piece = Profile(
        (
            profile.ogee(10, 6, 14),
            profile.straight(5, 14),
            profile.taper(10, 14, 8),
            profile.taper(10, 8, 14),
            profile.tenon(5, 9),
        )
    )
    found = profile.joints(piece)
    kinds = [joint.kind for joint in found]
    assert kinds == [JointKind.SMOOTH, JointKind.RIDGE, JointKind.VALLEY, JointKind.STEP]
    slope = math.degrees(math.atan(3 / 10))
    assert found[1].corner_deg == pytest.approx(-slope)
    assert found[2].corner_deg == pytest.approx(2 * slope)
    assert found[3].step_mm == pytest.approx(-5)
    assert [joint.position_mm for joint in found] == [10, 15, 25, 35]


def test_a_recta_meets_its_like_smoothly_only_in_the_middle():
    reversa = Profile((profile.straight(5, 6), profile.ogee(10, 6, 14), profile.straight(5, 14)))
    recta = Profile(
        (profile.straight(5, 6), profile.ogee(10, 6, 14, Cyma.RECTA), profile.straight(5, 14))
    )
    assert {joint.kind for joint in profile.joints(reversa)} == {JointKind.SMOOTH}
    assert [joint.kind for joint in profile.joints(recta)] == [JointKind.VALLEY, JointKind.RIDGE]
    # both are half-way in the middle, and as large: one is the other's halves changed over
    for piece in (reversa, recta):
        assert profile.radius_mm(piece, 10) == pytest.approx(5)


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: profile.bead(4, 16, 8, 8), "cannot rise 4 mm: .* make it longer or the bead"),
        (lambda: profile.cove(4, 8, 16, 16), "turn back under itself .* the cove shallower"),
        (lambda: profile.cove(6, 3, 6, 12), "cannot rise 4.5 mm"),
        (lambda: profile.bead(4, 8, 9, 8), "crown must be its thickest"),
        (lambda: profile.cove(4, 8, 9, 7), "throat must be its thinnest"),
        (lambda: profile.bead(4, 8, 8, 8), "is straight"),
        (lambda: profile.bead(40, 8, 7.99, 7.99), "is straight"),
        (lambda: profile.ogee(4, 8, 8), "is straight"),
        (lambda: profile.ogee(4, 8, 20), "cannot rise 6 mm"),
        (lambda: profile.taper(4, 0, 0), "thicker end must be more than 0"),
        (lambda: profile.taper(4, -1, 2), "first diameter must be 0 mm or more"),
        (lambda: profile.cove(4, 0, 2, 2), "throat must be more than 0"),
        (lambda: profile.straight(0, 2), "the straight's length must be more than 0"),
        (lambda: profile.tenon(2, math.nan), "the tenon's diameter must be more than 0"),
        (lambda: profile.fillet(math.inf, 2), "the fillet's length must be more than 0"),
        (lambda: Profile(()), "at least one element"),
        (
            lambda: Profile((profile.taper(4, 6, 0), profile.straight(4, 6))),
            "the taper comes to a point inside the profile",
        ),
        (
            lambda: Profile((profile.straight(4, 6), profile.bead(6, 6, 0, 0))),
            "the bead comes to a point",
        ),
    ],
)
def test_what_cannot_be_turned_is_refused(make, says):
    with pytest.raises(ValueError, match=says):
        make()


@given(lengths, st.floats(min_value=0, max_value=1), st.floats(min_value=0, max_value=1), widths)
def test_a_bead_passes_through_its_edges_and_crown(length, p_part, q_part, width):
    p, q = p_part * length / 2, q_part * length / 2
    assume(max(p, q) > length / 500)
    crown = width + 2 * max(p, q)
    made = profile.bead(length, crown, crown - 2 * p, crown - 2 * q)
    piece = Profile((made,))
    assert 2 * profile.radius_mm(piece, 0) == pytest.approx(made.start_mm, rel=1e-6)
    assert 2 * profile.radius_mm(piece, length) == pytest.approx(made.end_mm, rel=1e-6)
    # a grid of points may miss the crown, but not by more than its arc sinks between two of them
    most = max(profile.radius_mm(piece, length * k / 500) for k in range(501))
    assert 2 * most == pytest.approx(crown, abs=1e-3 * length)


def test_positions_and_spacings_out_of_range_are_refused(finial):
    for bad in (-0.1, 55.51, math.nan):
        with pytest.raises(ValueError, match=r"position must be from 0 to 55\.5 mm"):
            profile.radius_mm(finial, bad)
    with pytest.raises(ValueError, match="spacing of stations must be more than 0"):
        bench.stations(finial, 0, 1)
    with pytest.raises(ValueError, match="write a wider spacing"):
        bench.stations(finial, 1e-9, 1)
    with pytest.raises(ValueError, match="allowance must be 0 mm or more"):
        bench.stations(finial, 5, -1)
    with pytest.raises(ValueError, match="chord error must be"):
        profile.outline(finial, 1e-9)
    with pytest.raises(ValueError, match="least diameter of a neck"):
        bench.thin_necks(finial, 0)
    with pytest.raises(ValueError, match="already thinner"):
        bench.parting_depth_mm(12, 13)
    with pytest.raises(ValueError, match="parting tool's width"):
        bench.parting_cuts(finial, 20, 0, 1)
    with pytest.raises(ValueError, match="the diameter must be more than 0"):
        bench.slenderness(10, 0)
