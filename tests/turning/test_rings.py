"""Laws and refusals of rings; meshes and a walked meridian are in tests/outside."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from studio.turning import cutters, grooves, rings
from studio.turning.piece import RingCut

latitudes = st.floats(min_value=-80, max_value=80)
diameters = st.floats(min_value=20, max_value=300)
scales = st.floats(min_value=0.2, max_value=5)
WIDE, NARROW = cutters.cove_section(60, 3.349, 6), cutters.vee_section(60, 120, 3)


def ring(latitude, section=WIDE):
    return RingCut(latitude, section)


@given(diameters, latitudes, st.floats(min_value=0, max_value=0.15), st.floats(0, 0.05))
def test_the_widest_ring_leaves_just_the_land_asked_for(diameter, latitude, hole, land):
    hole, land = hole * diameter, land * diameter
    room = math.acos(hole / diameter) - abs(math.radians(latitude)) - 2 * land / diameter
    assume(room > 1e-3)
    widest = rings.widest_ring_mm(diameter, latitude, hole, land)
    half = widest / 2 / (diameter / 2)
    end = math.acos(hole / diameter)
    left = (end - abs(math.radians(latitude)) - half) * diameter / 2
    assert left == pytest.approx(land, abs=1e-9 * diameter)
    assume(widest / diameter < math.pi / 2)
    highest = rings.highest_ring_deg(diameter, widest, hole, land)
    assert highest == pytest.approx(abs(latitude), abs=1e-6)


@given(latitudes, st.floats(min_value=5, max_value=200), scales)
def test_edges_scale_and_mirror(latitude, diameter, scale):
    section = cutters.vee_section(diameter, 90, 0.1 * diameter)
    other = cutters.vee_section(diameter * scale, 90, 0.1 * diameter * scale)
    one, larger = rings.ring_edges(ring(latitude, section)), rings.ring_edges(ring(latitude, other))
    assert larger.low_deg == pytest.approx(one.low_deg, abs=1e-9)
    for name in ("low_diameter_mm", "high_diameter_mm", "bottom_diameter_mm"):
        assert getattr(larger, name) == pytest.approx(getattr(one, name) * scale)
    under = rings.ring_edges(ring(-latitude, section))
    assert (under.low_deg, under.high_deg) == pytest.approx((-one.high_deg, -one.low_deg))
    assert under.low_diameter_mm == pytest.approx(one.high_diameter_mm)


@given(st.lists(latitudes, min_size=1, max_size=4, unique=True), st.floats(0, 5), st.floats(0, 5))
def test_lands_and_widths_are_the_whole_way_from_hole_to_hole(places, bottom, top):
    sections = [(WIDE, NARROW)[index % 2] for index in range(len(places))]
    cuts = [ring(latitude, section) for latitude, section in zip(places, sections, strict=True)]
    try:
        lands = rings.ring_lands(cuts, bottom_hole_mm=bottom, top_hole_mm=top)
    except ValueError:
        ends = sorted(
            (math.radians(cut.latitude_deg), cut.section.half_angle_rad + 1e-3) for cut in cuts
        )
        ends = [(-math.acos(bottom / 60), 0.0), *ends, (math.acos(top / 60), 0.0)]
        close = [b - a - wide_a - wide_b for (a, wide_a), (b, wide_b) in zip(ends, ends[1:])]  # noqa: B905, RUF007
        assert min(close) < 0
        return
    way = sum(land.land_mm for land in lands) + sum(section.width_mm for section in sections)
    assert way == pytest.approx(30 * (math.acos(bottom / 60) + math.acos(top / 60)))
    assert all(land.land_mm > 0 for land in lands)


def test_rings_of_one_width_as_the_older_formula_has_them():
    lands = rings.ring_lands([ring(30), ring(0)])
    assert lands[1].land_mm == pytest.approx(grooves.ring_land_mm(60, 0, 30, 6))
    assert (lands[1].below, lands[1].above) == (1, 0)


@given(st.integers(min_value=1, max_value=12), latitudes)
def test_part_on_land_falls_towards_the_pole_and_ends_where_grooves_merge(count, latitude):
    part = rings.ring_on_land_part(60, count, 6, latitude)
    assert 0 <= part < 1
    assert part <= rings.ring_on_land_part(60, count, 6, latitude / 2) + 1e-12
    flat = 1 - 2 * count * 6 / (math.pi * 60)
    assert rings.ring_on_land_part(60, count, 6, 0) == pytest.approx(flat)
    merged = abs(latitude) >= grooves.merge_latitude_deg(60, count, 6)
    assert (part == 0) == merged


UPRIGHT = cutters.cove_section(60, 4, cutters.cove_width_mm(60, 4, cutters.deepest_cove_mm(60, 4)))


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: rings.ring_edges(ring(86)), r"runs over the pole: from its middle the sphere has"),
        (lambda: rings.ring_edges(ring(-86)), r"nearer to the equator than 84\.3°"),
        (lambda: rings.ring_edges(ring(90)), "between -90° and 90°"),
        (lambda: rings.ring_edges(ring(math.nan)), "between -90° and 90°"),
        # its edge is still on this side of the pole, its wall is not
        (lambda: rings.ring_edges(ring(82.33, UPRIGHT)), "runs over the pole"),
        (lambda: rings.ring_lands([]), "no ring"),
        (lambda: rings.ring_lands([ring(0), ring(11)]), r"6 mm at 0° and .* 11° .*by 0\.24 mm"),
        (lambda: rings.ring_lands([ring(9, NARROW), ring(9)]), "into each other by 4.5 mm"),
        (lambda: rings.ring_lands([ring(-8.0, UPRIGHT), ring(7.35, UPRIGHT)]), "under the surface"),
        (
            lambda: rings.ring_lands([ring(70)], top_hole_mm=20),
            r"at 70° runs into the 20 mm hole at the pole by 2\.72 mm",
        ),
        (lambda: rings.ring_lands([ring(-70)], bottom_hole_mm=20), "at -70° runs into the 20 mm"),
        (lambda: rings.ring_lands([ring(0)], top_hole_mm=60), "takes a 60 mm sphere away"),
        (
            lambda: rings.ring_lands([ring(0), ring(40, cutters.vee_section(50, 90, 4))]),
            "for the same diameter",
        ),
        (lambda: rings.widest_ring_mm(60, 80, 20), "the edge of the 20 mm hole is 0 mm away"),
        (lambda: rings.widest_ring_mm(60, 80, 0, 6), "the pole is 5.24 mm away"),
        (lambda: rings.highest_ring_deg(60, 80, 40), "fits nowhere"),
        (lambda: rings.ring_on_land_part(60, 16, 6, 0), "leave no land"),
    ],
)
def test_refusals_say_what_is_wrong_and_what_to_do(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_upright_walls_that_just_fit_side_by_side():
    reach = math.degrees(UPRIGHT.half_angle_rad)
    assert rings.ring_lands([ring(-8.2, UPRIGHT), ring(7.6, UPRIGHT)])[1].land_mm == pytest.approx(
        30 * math.radians(15.8 - 2 * reach)
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: rings.land_between_mm(ring_at(0), ring_at(30, 61)),
        lambda: rings.place_beside_mm(ring_at(80), 6, 5),
        lambda: rings.place_beside_mm(ring_at(0), 0, 5),
        lambda: rings.place_beside_mm(ring_at(0), 6, -1),
    ],
)
def test_what_lies_beside_a_ring_is_refused_in_words(call):
    with pytest.raises(ValueError, match=r"one sphere|no other|ring's width|least land"):
        call()


def ring_at(latitude, diameter=60):
    return rings.RingCut(latitude, cutters.cove_section(diameter, 3.349, 6))


def test_a_ring_beside_another_leaves_just_its_land():
    beside = rings.place_beside_mm(ring_at(12), 6, 2)
    latitude = math.degrees(math.asin(beside / 30))
    assert rings.land_between_mm(ring_at(12), ring_at(latitude)) == pytest.approx(2)
    assert rings.ring_lands([ring_at(12), ring_at(latitude)])[1].land_mm == pytest.approx(2)
