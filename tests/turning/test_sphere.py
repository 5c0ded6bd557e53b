"""Behaviour of the sphere's marks; published values are checked in tests/outside."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import sphere

diameters = st.floats(min_value=1, max_value=1000)
figures = st.integers(min_value=4, max_value=128)

OF_DIAMETER = [
    sphere.octagon_side_mm,
    sphere.set_in_mm,
    sphere.bench_octagon_side_mm,
    sphere.bench_set_in_mm,
    sphere.second_mark_mm,
    sphere.bench_second_mark_mm,
    sphere.third_mark_mm,
]
VOLUMES = [sphere.cylinder_volume_mm3, sphere.sphere_volume_mm3, sphere.removed_volume_mm3]
OF_FIGURE = [sphere.corner_mark_mm, sphere.end_limit_mm, sphere.corner_proud_mm]


@pytest.mark.parametrize("length", OF_DIAMETER)
@given(diameter=diameters, scale=st.floats(min_value=0.1, max_value=10))
def test_lengths_scale_with_the_diameter(length, diameter, scale):
    assert length(diameter * scale) == pytest.approx(length(diameter) * scale)


@pytest.mark.parametrize("volume", VOLUMES)
@given(diameter=diameters, scale=st.floats(min_value=0.1, max_value=10))
def test_volumes_scale_with_the_cube(volume, diameter, scale):
    assert volume(diameter * scale) == pytest.approx(volume(diameter) * scale**3)


@given(diameters)
def test_side_and_two_set_ins_make_up_the_diameter(diameter):
    whole = sphere.octagon_side_mm(diameter) + 2 * sphere.set_in_mm(diameter)
    assert whole == pytest.approx(diameter)


@given(diameters)
def test_the_set_in_is_the_corner_mark_of_the_cylinder(diameter):
    assert sphere.corner_mark_mm(diameter, 4) == pytest.approx(sphere.set_in_mm(diameter))


@given(diameters, figures)
def test_marks_from_both_ends_leave_the_next_figures_side(diameter, sides):
    left = sphere.end_limit_mm(diameter, sides) - 2 * sphere.corner_mark_mm(diameter, sides)
    assert left == pytest.approx(sphere.end_limit_mm(diameter, 2 * sides))


@given(diameters, figures)
def test_an_exact_mark_touches_the_sphere_and_leaves_the_next_figures_corners(diameter, sides):
    cut = sphere.corner_cut(diameter, sides, sphere.corner_mark_mm(diameter, sides))
    assert cut.facet_proud_mm == pytest.approx(0, abs=1e-9 * diameter)
    assert cut.corner_proud_mm == pytest.approx(sphere.corner_proud_mm(diameter, 2 * sides))


@given(diameters, figures, st.floats(min_value=0, max_value=1))
def test_a_shorter_mark_never_cuts_into_the_sphere(diameter, sides, part):
    exact = sphere.corner_mark_mm(diameter, sides)
    cut = sphere.corner_cut(diameter, sides, exact * part)
    assert cut.facet_proud_mm >= -1e-9 * diameter
    assert cut.corner_proud_mm >= sphere.corner_proud_mm(diameter, 2 * sides) - 1e-9 * diameter


def test_the_bench_set_in_cuts_in_by_no_more_than_its_docstring_says():
    cut = sphere.corner_cut(60, 4, sphere.bench_set_in_mm(60))
    assert cut.facet_proud_mm == pytest.approx(-0.005, abs=0.0005)


def test_a_longer_mark_cuts_into_the_sphere():
    cut = sphere.corner_cut(60, 8, sphere.second_mark_mm(60) + 0.5)
    assert cut.facet_proud_mm < -0.1


@given(diameters)
def test_a_third_of_the_cylinder_goes(diameter):
    left = sphere.cylinder_volume_mm3(diameter) - sphere.removed_volume_mm3(diameter)
    assert left == pytest.approx(sphere.sphere_volume_mm3(diameter))


@pytest.mark.parametrize("function", OF_DIAMETER + VOLUMES)
@pytest.mark.parametrize("bad", [0, -1, math.nan, math.inf])
def test_a_diameter_out_of_range_is_refused(function, bad):
    with pytest.raises(ValueError, match="diameter must be more than 0 mm"):
        function(bad)


@pytest.mark.parametrize("function", OF_FIGURE)
@pytest.mark.parametrize("bad", [3, 0, -8, 8.5, math.inf])
def test_a_figure_out_of_range_is_refused(function, bad):
    with pytest.raises(ValueError, match="whole number of 4 or more"):
        function(60, bad)


def test_marks_that_cross_are_refused():
    with pytest.raises(ValueError, match="would cross"):
        sphere.corner_cut(60, 8, 12.5)
    with pytest.raises(ValueError, match="the mark must be 0 mm or more"):
        sphere.corner_cut(60, 8, -0.1)


def test_every_name_leads_back_to_its_figure():
    names = [sphere.figure_name(sides) for sides in range(3, sphere.LARGEST_NAMED_FIGURE + 1)]
    assert len(set(names)) == len(names)
    assert [sphere.figure_sides(name) for name in names] == list(range(3, len(names) + 3))


@pytest.mark.parametrize("bad", [2, 100, 8.5])
def test_figures_without_a_name_here_are_refused(bad):
    with pytest.raises(ValueError, match="from 3 to 99"):
        sphere.figure_name(bad)
