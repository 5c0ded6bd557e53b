"""Laws of groove sections; points, Pappus and the mesh are in tests/outside."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import cutters
from studio.turning.cutters import Cutter, Keep, SectionKind, VeeCutter

diameters = st.floats(min_value=20, max_value=300)
narrow = st.floats(min_value=0.01, max_value=0.2)  # width over diameter
bellies = st.floats(min_value=0.05, max_value=0.99)  # how round the cove is, of a half round
scales = st.floats(min_value=0.1, max_value=10)


def cove(diameter, part, belly):
    """Width and depth of a cove as deep as ``belly`` of a half round, below the sphere's rise."""
    half = part  # w/D is the half angle
    rise = diameter / 2 * (1 - math.cos(half))
    return part * diameter, rise + belly * diameter / 2 * math.sin(half)


@given(diameters, narrow, bellies)
def test_radius_depth_and_width_of_a_cove_lead_back_to_each_other(diameter, part, belly):
    width, depth = cove(diameter, part, belly)
    radius = cutters.cove_radius_mm(diameter, width, depth)
    assert cutters.cove_depth_mm(diameter, radius, width) == pytest.approx(depth)
    assert cutters.cove_width_mm(diameter, radius, depth) == pytest.approx(width)
    if radius < 0.35 * diameter:
        assert depth < cutters.deepest_cove_mm(diameter, radius)


@given(diameters, narrow, bellies)
def test_the_cutters_circle_passes_bottom_and_edge(diameter, part, belly):
    width, depth = cove(diameter, part, belly)
    radius = cutters.cove_radius_mm(diameter, width, depth)
    middle, half = diameter / 2 - depth + radius, width / diameter
    edge = (diameter / 2 * math.cos(half), diameter / 2 * math.sin(half))
    assert math.dist((middle, 0), edge) == pytest.approx(radius)


# from 0.885 of a half round on it fails at the widest grooves (tried on a grid)
@given(diameters, narrow, st.floats(min_value=0.05, max_value=0.87))
def test_the_flat_shortcut_is_small_but_for_almost_half_rounds(diameter, part, belly):
    width, depth = cove(diameter, part, belly)
    # it takes the sphere's own rise for depth that was cut
    exact = cutters.cove_radius_mm(diameter, width, depth)
    assert cutters.flat_cove_radius_mm(width, depth) <= exact * (1 + 1e-9)


@given(diameters, narrow, bellies, scales)
def test_sections_scale(diameter, part, belly, scale):
    width, depth = cove(diameter, part, belly)
    one = cutters.cove_radius_mm(diameter, width, depth)
    other = cutters.cove_radius_mm(diameter * scale, width * scale, depth * scale)
    assert other == pytest.approx(one * scale)


@given(diameters, narrow, st.floats(min_value=30, max_value=160))
def test_vee_angle_depth_and_width_lead_back_to_each_other(diameter, part, angle):
    width = part * diameter
    depth = cutters.vee_depth_mm(diameter, angle, width)
    assert cutters.vee_angle_deg(diameter, width, depth) == pytest.approx(angle)
    assert cutters.vee_width_mm(diameter, angle, depth) == pytest.approx(width)


@given(diameters, narrow, bellies, st.floats(min_value=0.02, max_value=0.3))
def test_a_round_over_touches_land_and_cove(diameter, part, belly, share):
    width, depth = cove(diameter, part, belly)
    radius = cutters.cove_radius_mm(diameter, width, depth)
    section = cutters.rounded_section(diameter, radius, width, share * width)
    nose, rounding = section.pieces
    from_centre = math.hypot(*rounding.centre)
    assert from_centre + rounding.radius_mm == pytest.approx(diameter / 2)
    assert math.dist(nose.centre, rounding.centre) == pytest.approx(radius + rounding.radius_mm)
    assert section.width_mm == pytest.approx(width * (1 + 2 * share))
    assert section.kind is SectionKind.ROUNDED_COVE


def test_a_flatter_chamfer_goes_down_less_deep():
    depths = [cutters.chamfer_depth_mm(60, 3.349, 6, 0.3, angle) for angle in (10, 20, 30, 45)]
    assert depths == sorted(depths)
    assert 0 < depths[0] < depths[-1] < 2


@given(st.floats(min_value=0, max_value=math.pi / 2))
def test_the_surface_lies_between_core_and_sphere(angle):
    for section in (
        cutters.cove_section(60, 3.349, 6),
        cutters.vee_section(60, 90, 6),
        cutters.chamfered_section(60, 3.349, 6, 0.3),
        cutters.rounded_section(60, 3.349, 6, 0.5),
    ):
        radius = cutters.surface_radius_mm(section, angle)
        assert section.core_radius_mm - 1e-9 <= radius <= 30
        assert (radius == 30) == (angle >= section.half_angle_rad) or radius == pytest.approx(30)


OWNED = [Cutter("R2", 2), Cutter("R3", 3), Cutter("R3.5", 3.5), Cutter("R5", 5)]


def test_width_is_kept_and_the_depth_that_a_cutter_makes_is_told():
    snapped = cutters.snap_cove(60, 6, 2, OWNED)
    assert snapped.cutter.label == "R3.5"
    assert (snapped.wished_width_mm, snapped.wished_depth_mm) == (6, 2)
    assert snapped.wished_radius_mm == pytest.approx(3.349, abs=0.0005)
    assert snapped.width_mm == 6
    assert cutters.cove_radius_mm(60, 6, snapped.depth_mm) == pytest.approx(3.5)


def test_depth_is_kept_and_the_width_that_a_cutter_makes_is_told():
    snapped = cutters.snap_cove(60, 6, 2, OWNED, Keep.DEPTH)
    assert (snapped.cutter.label, snapped.depth_mm) == ("R3.5", 2)
    assert cutters.cove_radius_mm(60, snapped.width_mm, 2) == pytest.approx(3.5)


@given(st.permutations(OWNED), st.sampled_from(Keep))
def test_no_owned_cutter_comes_closer(owned, keep):
    snapped = cutters.snap_cove(60, 6, 2, owned, keep)
    changes = []
    for cutter in owned:
        alone = cutters.snap_cove(60, 6, 2, [cutter], keep) if cutter.radius_mm >= 3 else None
        if alone is not None:
            changes.append(abs(alone.width_mm - 6) + abs(alone.depth_mm - 2))
    least = min(changes)
    assert abs(snapped.width_mm - 6) + abs(snapped.depth_mm - 2) == pytest.approx(least)


def test_an_owned_cutter_that_fits_changes_nothing():
    exact = cutters.cove_radius_mm(60, 6, 2)
    for keep in Keep:
        snapped = cutters.snap_cove(60, 6, 2, [*OWNED, Cutter("own", exact)], keep)
        assert snapped.cutter.label == "own"
        assert (snapped.width_mm, snapped.depth_mm) == pytest.approx((6, 2))


def test_vees_snap_likewise():
    owned = [VeeCutter("60", 60), VeeCutter("90", 90), VeeCutter("120", 120)]
    wide = cutters.snap_vee(60, 6, 2, owned)
    deep = cutters.snap_vee(60, 6, 2, owned, Keep.DEPTH)
    assert (wide.cutter.label, wide.width_mm) == ("120", 6)
    assert (deep.cutter.label, deep.depth_mm) == ("120", 2)
    assert cutters.vee_angle_deg(60, deep.width_mm, 2) == pytest.approx(120)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: cutters.half_angle_rad(60, 95), "keep it below 94.25 mm"),
        (lambda: cutters.half_angle_rad(60, 0), "groove's width must be more than 0"),
        (lambda: cutters.cove_radius_mm(60, 6, 0.1), "itself rises 0.15 mm; cut deeper"),
        (lambda: cutters.cove_radius_mm(60, 6, 4), "can be 3.145 mm deep at most"),
        (lambda: cutters.cove_radius_mm(60, 6, 30), "reaches the middle"),
        (lambda: cutters.cove_depth_mm(60, 2.5, 6), "take a larger cutter"),
        (lambda: cutters.cove_width_mm(60, 3, 3.2), "3.15 mm deep at most"),
        (lambda: cutters.deepest_cove_mm(60, 22), "take one below 21.21 mm"),
        (lambda: cutters.cove_width_mm(60, 40, 30), "reaches the middle"),
        (lambda: cutters.vee_angle_deg(60, 4, 29), "from 10° to 170°"),
        (lambda: cutters.vee_angle_deg(60, 6, 0.1), "from 10° to 170°"),
        (lambda: cutters.vee_depth_mm(60, math.nan, 6), "from 10° to 170°"),
        (lambda: cutters.vee_depth_mm(60, 10, 20), "reaches the middle"),
        (lambda: cutters.flared_width_mm(60, 6, 0), "flare's width must be more than 0"),
        (lambda: cutters.flared_width_mm(60, 6, 50), "half a 60 mm sphere"),
        (lambda: cutters.chamfer_depth_mm(60, 3.349, 6, 0.5), "runs in under the side"),
        (lambda: cutters.chamfer_depth_mm(60, 3.349, 6, 0.5, 90), "not at 90°"),
        (lambda: cutters.chamfer_depth_mm(60, 3.349, 6, 3, 4), "deepest in its own middle"),
        (lambda: cutters.chamfered_section(60, 3.349, 6, 3, 2), "deepest in its own middle"),
        (lambda: cutters.surface_radius_mm(cutters.cove_section(60, 4, 6), -0.1), "from 0 to"),
        (lambda: cutters.snap_cove(60, 6, 2, [Cutter("R2", 2)]), "about 6.7 mm wide; owned: 4 mm"),
        (lambda: cutters.snap_cove(60, 6, 2, []), "none is owned"),
        (lambda: cutters.snap_vee(60, 6, 2, []), "about 117°, and none is owned"),
    ],
)
def test_refusals_say_what_is_wrong_and_what_to_do(call, says):
    with pytest.raises(ValueError, match=says):
        call()


@pytest.mark.parametrize(
    "section",
    [
        cutters.cove_section(60, 3.349, 6),
        cutters.cove_section(60, 3, cutters.cove_width_mm(60, 3, cutters.deepest_cove_mm(60, 3))),
        cutters.vee_section(60, 90, 6),
        cutters.chamfered_section(60, 3.349, 6, 0.3),
        cutters.rounded_section(60, 3.349, 6, 0.5),
    ],
    ids=["cove", "upright", "V", "chamfered", "rounded"],
)
def test_half_width_at_the_distance_of_every_place_of_a_section(section):
    last = 0.0
    for piece in section.pieces:
        for part in (0.001, 0.2, 0.5, 0.9, 0.999):
            if isinstance(piece, cutters.Line):
                s, h = (a + part * (b - a) for a, b in zip(piece.start, piece.end, strict=True))
            else:
                at = piece.start_rad + part * (piece.end_rad - piece.start_rad)
                s = piece.centre[0] + piece.radius_mm * math.cos(at)
                h = piece.centre[1] + piece.radius_mm * math.sin(at)
            assert cutters.cut_half_width_mm(section, math.hypot(s, h)) == pytest.approx(h)
            assert math.hypot(s, h) > last
            last = math.hypot(s, h)
    assert cutters.cut_half_width_mm(section, section.core_radius_mm) == 0
    assert cutters.cut_half_width_mm(section, 0) == 0
    mouth = 30 * math.sin(section.half_angle_rad)
    assert cutters.cut_half_width_mm(section, 30) == pytest.approx(mouth)
    assert cutters.cut_half_width_mm(section, 31) == pytest.approx(mouth)
    with pytest.raises(ValueError, match="0 mm or more"):
        cutters.cut_half_width_mm(section, -1)
