"""The sphere's facets against a table of regular figures, Archimedes' doubling and a cut square."""

import math
from decimal import Decimal, getcontext

import numpy as np
import pytest

from studio.turning import sphere

# side over the distance across flats and over the distance across corners, standard trigonometry
# computed to seven places apart from this project's code
TABLE = {8: (0.4142136, 0.9238795), 16: (0.1989124, 0.9807853), 32: (0.0984914, 0.9951847)}
LAST_PLACE = 0.5e-7


@pytest.mark.parametrize("sides", TABLE)
def test_table_of_regular_figures(sides):
    side, flats_over_corners = TABLE[sides]
    assert sphere.end_limit_mm(1, sides) == pytest.approx(side, abs=LAST_PLACE)
    corners = 1 + 2 * sphere.corner_proud_mm(1, sides)
    assert 1 / corners == pytest.approx(flats_over_corners, abs=LAST_PLACE)


def test_octagon_from_a_square():
    # set-in 0.2928932 of the square, 17.157 % of its area removed (standard trigonometry)
    assert sphere.set_in_mm(1) == pytest.approx(0.2928932, abs=LAST_PLACE)
    assert sphere.octagon_side_mm(1) == pytest.approx(0.4142136, abs=LAST_PLACE)
    assert 2 * sphere.set_in_mm(1) ** 2 == pytest.approx(0.17157, abs=0.5e-5)


def circumscribed_side(sides: int) -> float:
    """Side of a figure about a circle of diameter 1, by doubling from the square.

    Archimedes, Measurement of a Circle, proposition 3: square roots alone, no angle.
    """
    getcontext().prec = 40
    side, reached = Decimal(1), 4
    while reached < sides:
        side = ((1 + side * side).sqrt() - 1) / side
        reached *= 2
    assert reached == sides
    return float(side)


@pytest.mark.parametrize("sides", [4, 8, 16, 32, 64])
def test_archimedes_doubling(sides):
    side, next_side = circumscribed_side(sides), circumscribed_side(2 * sides)
    diameter = 60.0
    assert sphere.end_limit_mm(diameter, sides) == pytest.approx(side * diameter, rel=1e-12)
    mark = (side - next_side) / 2 * diameter
    assert sphere.corner_mark_mm(diameter, sides) == pytest.approx(mark, rel=1e-12)
    proud = (math.sqrt(1 + side * side) - 1) / 2 * diameter
    assert sphere.corner_proud_mm(diameter, sides) == pytest.approx(proud, rel=1e-9)


def cut_corners(corners: np.ndarray, mark: float) -> np.ndarray:
    """The figure left when each corner is cut off at ``mark`` along both of its sides."""
    left = []
    for before, here, after in zip(
        np.roll(corners, 1, axis=0), corners, np.roll(corners, -1, axis=0), strict=True
    ):
        for other in (before, after):
            along = other - here
            left.append(here + along * (mark / np.linalg.norm(along)))
    return np.array(left)


def side_middles(corners: np.ndarray) -> np.ndarray:
    return (corners + np.roll(corners, -1, axis=0)) / 2


def lengths(vectors: np.ndarray) -> np.ndarray:
    return np.linalg.norm(vectors, axis=1)


SQUARE = np.array([(30.0, 30.0), (-30.0, 30.0), (-30.0, -30.0), (30.0, -30.0)])


def test_cutting_a_square_of_60_mm_three_times():
    """The workshop's own work, drawn: every round leaves equal sides that touch the circle."""
    figure = SQUARE
    for mark, sides in [
        (sphere.set_in_mm(60), 8),
        (sphere.second_mark_mm(60), 16),
        (sphere.third_mark_mm(60), 32),
    ]:
        figure = cut_corners(figure, mark)
        assert len(figure) == sides
        assert lengths(side_middles(figure)) == pytest.approx(np.full(sides, 30.0))
        each_side = lengths(np.roll(figure, -1, axis=0) - figure)
        assert each_side == pytest.approx(np.full(sides, sphere.end_limit_mm(60, sides)))
        proud = lengths(figure) - 30
        assert proud == pytest.approx(np.full(sides, sphere.corner_proud_mm(60, sides)))


def test_the_bench_rule_drawn():
    """A quarter of the octagon's side as second mark: what stands proud, measured on the figure."""
    octagon = cut_corners(SQUARE, sphere.set_in_mm(60))
    mark = sphere.bench_second_mark_mm(60)
    figure = cut_corners(octagon, mark)
    cut = sphere.corner_cut(60, 8, mark)
    # old sides still touch the circle, new facets stand proud of it, in turn
    proud = np.sort(lengths(side_middles(figure))) - 30
    assert proud[:8] == pytest.approx(np.zeros(8), abs=1e-9)
    assert proud[8:] == pytest.approx(np.full(8, cut.facet_proud_mm))
    assert lengths(figure) - 30 == pytest.approx(np.full(16, cut.corner_proud_mm))
    assert cut.facet_proud_mm == pytest.approx(0.094, abs=0.0005)
    assert cut.corner_proud_mm == pytest.approx(0.637, abs=0.0005)


@pytest.mark.parametrize("marks", [(17.5, 6.4, 3.0), (17.4625, 6.35, 2.778125), (16.0, 6.0, 2.0)])
def test_what_printed_marks_leave_drawn(marks):
    """Rounds cut to marks as a rule has them, measured on the figure drawn corner by corner."""
    figure = SQUARE
    for mark in marks:
        figure = cut_corners(figure, mark)
    assert sphere.proud_as_marked_mm(60, marks) == pytest.approx(lengths(figure).max() - 30)


def test_sphere_of_diameter_three():
    # V = 14.13717, computed from Archimedes' theorem apart from this project's code
    assert sphere.sphere_volume_mm3(3) == pytest.approx(14.13717, abs=0.5e-5)


def test_a_third_of_the_cylinder_by_slices():
    """Volume between them summed over 20,000 slices; the error falls with their square."""
    slices = 20_000
    height = (np.arange(slices) + 0.5) / slices * 60 - 30
    rings = np.pi * (30**2 - (30**2 - height**2))
    assert sphere.removed_volume_mm3(60) == pytest.approx(rings.sum() * 60 / slices, rel=1e-8)


# read in a secondary stored text: articles.gourt.com/en/polygon (encyclopaedia copy), its list
# and its rule for tens and ones with and without "kai"
NAMES = {
    "triangle": 3, "quadrilateral": 4, "pentagon": 5, "hexagon": 6, "heptagon": 7, "octagon": 8,
    "nonagon": 9, "enneagon": 9, "decagon": 10, "hendecagon": 11, "dodecagon": 12,
    "triskaidecagon": 13, "tetradecagon": 14, "pentadecagon": 15, "hexadecagon": 16,
    "hexakaidecagon": 16, "heptadecagon": 17, "octadecagon": 18, "enneadecagon": 19,
    "icosagon": 20, "triacontagon": 30, "tetracontagon": 40, "tetracontakaidigon": 42,
    "pentacontagon": 50, "hexacontagon": 60, "heptacontagon": 70, "octacontagon": 80,
    "nonacontagon": 90,
    # read in a secondary stored text: reference.com "list of polygons", printable-math-worksheets
    "icosidigon": 22, "icosaheptagon": 27,
}  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_names_of_figures(name):
    assert sphere.figure_sides(name) == NAMES[name]
