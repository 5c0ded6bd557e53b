"""A sphere from a cylinder between centres, by facets: octagon, then 16 sides, then 32.

The cylinder is as long as it is thick, so its outline seen from the side is a square. Turning
its corners away leaves an octagon; turning away the octagon's corners leaves 16 sides, and so on
until sandpaper can follow. Every figure here is drawn about the finished sphere's circle, its
sides touching it, so the sphere is never cut into.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from studio.turning.ranges import not_negative, positive, whole
from studio.turning.stock import round_blank_volume_mm3

SIDE_FACTOR = math.tan(math.pi / 8)
"""Octagon side / diameter, tan 22.5° = 0.414214 (no unit). Elementary trigonometry."""

SET_IN_FACTOR = (1 - SIDE_FACTOR) / 2
"""Set-in / diameter, 0.292893 (no unit). Elementary trigonometry."""

BENCH_SIDE_FACTOR = 0.414
"""Octagon side / diameter as used at the bench (no unit). Common practice, no source."""

BENCH_SET_IN_FACTOR = 0.293
"""Set-in / diameter as used at the bench (no unit). Common practice, no source.

Longer than the exact factor by 0.00011, so the facet lies 0.00008 of the diameter inside the
circle: 0.005 mm on a 60 mm sphere.
"""

BENCH_SECOND_MARK = 1 / 4
"""Second mark / octagon side as used at the bench (no unit). Common practice, no source."""

CYLINDER_SIDES = 4
"""Sides of the cylinder's outline before the first cut."""


@dataclass(frozen=True, slots=True)
class CornerCut:
    """What turning away the corners of a figure at a given mark leaves.

    Attributes:
        mark_mm: distance from each old corner, along both sides that meet there.
        facet_proud_mm: how far the new facet's middle stands outside the sphere; negative when
            it lies inside, which spoils the sphere.
        corner_proud_mm: how far the new corners stand outside the sphere.
    """

    mark_mm: float
    facet_proud_mm: float
    corner_proud_mm: float


def octagon_side_mm(diameter_mm: float) -> float:
    """Side of the octagon whose sides touch the sphere: diameter times tan 22.5°.

    Args: diameter of the cylinder, mm, more than 0. Returns mm.
    Source: elementary trigonometry.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> octagon_side_mm(60)
    24.853
    """
    return positive(diameter_mm, "the cylinder's diameter") * SIDE_FACTOR


def set_in_mm(diameter_mm: float) -> float:
    """First mark, from the cylinder's corner along its length and in on its end face.

    Half of what the octagon's side leaves of the diameter. Args: diameter and length of the
    cylinder, mm, more than 0. Returns mm. Source: elementary trigonometry.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> set_in_mm(60)
    17.574
    """
    return positive(diameter_mm, "the cylinder's diameter") * SET_IN_FACTOR


def bench_octagon_side_mm(diameter_mm: float) -> float:
    """The octagon's side by the bench rule, 0.414 of the diameter, mm.

    Args: diameter, mm, more than 0. Source: common practice, no source.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> bench_octagon_side_mm(60)
    24.84
    """
    return positive(diameter_mm, "the cylinder's diameter") * BENCH_SIDE_FACTOR


def bench_set_in_mm(diameter_mm: float) -> float:
    """The set-in by the bench rule, 0.293 of the diameter, mm.

    Args: diameter, mm, more than 0. Source: common practice, no source.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> bench_set_in_mm(60)
    17.58
    """
    return positive(diameter_mm, "the cylinder's diameter") * BENCH_SET_IN_FACTOR


def corner_mark_mm(diameter_mm: float, sides: int) -> float:
    """Exact mark from each corner of a figure of ``sides``, leaving twice as many sides.

    Half the figure's side less half the next figure's: the radius times
    (tan(180°/n) − tan(90°/n)). With n = 4 it is the set-in, with 8 the second mark, with 16 the
    third. Args: diameter, mm, more than 0; sides, 4 or more. Returns mm. Source: elementary
    trigonometry.

    Raises:
        ValueError: the diameter is not more than 0, or there are fewer than 4 sides.

    >>> corner_mark_mm(60, 8)
    6.459
    """
    positive(diameter_mm, "the sphere's diameter")
    whole(sides, "the count of sides", CYLINDER_SIDES)
    return diameter_mm / 2 * (math.tan(math.pi / sides) - math.tan(math.pi / (2 * sides)))


def second_mark_mm(diameter_mm: float) -> float:
    """Exact mark from each corner of the octagon, for 16 equal sides; 0.107651 of the diameter.

    Args: diameter, mm, more than 0. Returns mm. Source: elementary trigonometry.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> second_mark_mm(60)
    6.459
    """
    return corner_mark_mm(diameter_mm, 8)


def bench_second_mark_mm(diameter_mm: float) -> float:
    """The second mark by the bench rule, a quarter of the octagon's side, mm.

    Shorter than the exact mark, so wood stays proud: see :func:`corner_cut`. Args: diameter, mm,
    more than 0. Source: common practice, no source.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> bench_second_mark_mm(60)
    6.213
    """
    return octagon_side_mm(diameter_mm) * BENCH_SECOND_MARK


def third_mark_mm(diameter_mm: float) -> float:
    """Exact mark from each corner of the 16 sides, for 32; 0.0502105 of the diameter.

    Args: diameter, mm, more than 0. Returns mm. Source: elementary trigonometry.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> third_mark_mm(60)
    3.013
    """
    return corner_mark_mm(diameter_mm, 16)


def corner_cut(diameter_mm: float, sides: int, mark_mm: float) -> CornerCut:
    """What is left when the corners of a figure are turned away at any mark, exact or not.

    The facet lies the mark times sin(180°/n) below the old corner, which stood at the radius
    over cos(180°/n). The new corner lies on the old side, half a side less the mark from that
    side's middle. Args: diameter, mm, more than 0; sides before the cut, 4 or more; mark, mm,
    from 0 to half a side. Source: elementary trigonometry.

    Raises:
        ValueError: a value is out of range; marks past the middle of a side would cross.

    >>> rule = corner_cut(60, 8, bench_second_mark_mm(60))
    >>> rule.facet_proud_mm, rule.corner_proud_mm
    (0.094, 0.637)
    """
    positive(diameter_mm, "the sphere's diameter")
    whole(sides, "the count of sides", CYLINDER_SIDES)
    not_negative(mark_mm, "the mark")
    radius = diameter_mm / 2
    half_angle = math.pi / sides
    half_side = radius * math.tan(half_angle)
    if mark_mm > half_side:
        raise ValueError(
            f"a mark of {mark_mm:g} mm passes the middle of a side of {2 * half_side:g} mm; "
            "marks from the two corners would cross"
        )
    facet = radius / math.cos(half_angle) - mark_mm * math.sin(half_angle)
    corner = math.hypot(radius, half_side - mark_mm)
    return CornerCut(mark_mm, facet - radius, corner - radius)


def end_limit_mm(diameter_mm: float, sides: int) -> float:
    """Diameter below which the end's disc or tenon must stay while ``sides`` are turned.

    The figure's end facet: diameter times tan(180°/n). A thicker one hides the marks: turn a
    thinner tenon, or go on in a jam chuck. Args: diameter, mm, more than 0; sides, 4 or more.
    Returns mm. Source: elementary trigonometry.

    Raises:
        ValueError: the diameter is not more than 0, or there are fewer than 4 sides.

    >>> end_limit_mm(60, 8), end_limit_mm(60, 16), end_limit_mm(60, 32)
    (24.853, 11.935, 5.909)
    """
    positive(diameter_mm, "the sphere's diameter")
    whole(sides, "the count of sides", CYLINDER_SIDES)
    return diameter_mm * math.tan(math.pi / sides)


def corner_proud_mm(diameter_mm: float, sides: int) -> float:
    """Wood left proud at the corners of an exact figure: radius times (1/cos(180°/n) − 1).

    Args: diameter, mm, more than 0; sides, 4 or more. Returns mm. Source: elementary
    trigonometry.

    Raises:
        ValueError: the diameter is not more than 0, or there are fewer than 4 sides.

    >>> corner_proud_mm(60, 8), corner_proud_mm(60, 16), corner_proud_mm(60, 32)
    (2.472, 0.588, 0.145)
    """
    positive(diameter_mm, "the sphere's diameter")
    whole(sides, "the count of sides", CYLINDER_SIDES)
    return diameter_mm / 2 * (1 / math.cos(math.pi / sides) - 1)


def proud_as_marked_mm(diameter_mm: float, marks_mm: Sequence[float]) -> float:
    """Wood left proud at the farthest corner once every round is cut to its marks, exact or not.

    The section of a cylinder as long as it is thick is a square; each round cuts off every corner
    between its two marks, one on each side of it, as far from the corner as the round's mark; marks
    that would cross, by a rule too coarse for the ball, meet in the middle. Args: diameter, mm,
    more than 0; for each round the mark, mm, 0 or more. Returns mm. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> proud_as_marked_mm(60, (17.5736, 6.4593, 3.0126))
    0.145
    >>> proud_as_marked_mm(60, (17.5, 6.4, 3.0))
    0.199
    """
    radius = positive(diameter_mm, "the sphere's diameter") / 2
    corners = [(radius, radius), (-radius, radius), (-radius, -radius), (radius, -radius)]
    for mark in marks_mm:
        not_negative(mark, "the mark")
        cut = []
        for place, (x, y) in enumerate(corners):
            for nx, ny in (corners[place - 1], corners[(place + 1) % len(corners)]):
                side = math.hypot(nx - x, ny - y)
                part = min(mark / side, 0.5) if side else 0.0
                cut.append((x + (nx - x) * part, y + (ny - y) * part))
        corners = cut
    return max(math.hypot(x, y) for x, y in corners) - radius


def cylinder_volume_mm3(diameter_mm: float) -> float:
    """Volume of the cylinder as long as it is thick: π/4 times the diameter cubed.

    Args: diameter, mm, more than 0. Returns mm³. Source: elementary geometry.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> cylinder_volume_mm3(60) / 1000
    169.6
    """
    return round_blank_volume_mm3(diameter_mm, diameter_mm)


def sphere_volume_mm3(diameter_mm: float) -> float:
    """Volume of the sphere: π/6 times the diameter cubed.

    Args: diameter, mm, more than 0. Returns mm³. Source: Archimedes, On the Sphere and Cylinder.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> sphere_volume_mm3(3)
    14.13717
    """
    return math.pi / 6 * positive(diameter_mm, "the sphere's diameter") ** 3


def removed_volume_mm3(diameter_mm: float) -> float:
    """Wood turned away between cylinder and sphere: one third of the cylinder.

    Args: diameter, mm, more than 0. Returns mm³. Source: Archimedes, On the Sphere and Cylinder
    (the sphere is two thirds of the cylinder about it).

    Raises:
        ValueError: the diameter is not more than 0.

    >>> removed_volume_mm3(60) / 1000
    56.5
    """
    return cylinder_volume_mm3(diameter_mm) / 3


LARGEST_NAMED_FIGURE = 99

# Each row: the usual name first, then others in use. Greek naming as encyclopaedias give it
# (read in a secondary stored text: articles.gourt.com/en/polygon).
_SMALL_FIGURES: dict[int, tuple[str, ...]] = {
    3: ("triangle", "trigon"),
    4: ("quadrilateral", "tetragon"),
    5: ("pentagon",),
    6: ("hexagon",),
    7: ("heptagon",),
    8: ("octagon",),
    9: ("nonagon", "enneagon"),
    10: ("decagon",),
    11: ("hendecagon", "undecagon"),
    12: ("dodecagon", "duodecagon"),
    13: ("tridecagon", "triskaidecagon"),
    14: ("tetradecagon", "tetrakaidecagon"),
    15: ("pentadecagon", "pentakaidecagon", "quindecagon"),
    16: ("hexadecagon", "hexakaidecagon"),
    17: ("heptadecagon", "heptakaidecagon"),
    18: ("octadecagon", "octakaidecagon"),
    19: ("enneadecagon", "enneakaidecagon", "nonadecagon"),
    20: ("icosagon", "icosigon"),
}
_TENS = {
    20: ("icosi", "icosa"),
    30: ("triaconta",),
    40: ("tetraconta",),
    50: ("pentaconta",),
    60: ("hexaconta",),
    70: ("heptaconta",),
    80: ("octaconta",),
    90: ("enneaconta", "nonaconta"),
}
_ONES = ("", "hena", "di", "tri", "tetra", "penta", "hexa", "hepta", "octa", "ennea")


@cache
def _figure_names() -> dict[int, tuple[str, ...]]:
    names = dict(_SMALL_FIGURES)
    for sides in range(max(_SMALL_FIGURES) + 1, LARGEST_NAMED_FIGURE + 1):
        ones = _ONES[sides % 10]
        names[sides] = tuple(
            f"{tens}{joint}{ones}gon"
            for joint in (("", "kai") if ones else ("",))
            for tens in _TENS[sides - sides % 10]
        )
    return names


@cache
def _sides_by_name() -> dict[str, int]:
    return {name: sides for sides, names in _figure_names().items() for name in names}


def figure_name(sides: int) -> str:
    """The usual name of a figure of ``sides``.

    Args: sides, 3 to 99. Source: Greek counting words, as encyclopaedias list them.

    Raises:
        ValueError: outside 3 to 99.

    >>> [figure_name(sides) for sides in (8, 16, 18, 32)]
    ['octagon', 'hexadecagon', 'octadecagon', 'triacontadigon']
    """
    whole(sides, "the count of sides", 3, LARGEST_NAMED_FIGURE)
    return _figure_names()[sides][0]


def figure_sides(name: str) -> int | None:
    """How many sides a spoken or written name means; None when it names no figure we know.

    Knows the less usual names too, case and a plural s aside, so that a wrong one is noticed.

    >>> figure_sides("octadecagon"), figure_sides("Triacontakaidigons"), figure_sides("dragon")
    (18, 32, None)
    """
    word = name.strip().lower()
    known = _sides_by_name()
    return known.get(word, known.get(word.removesuffix("s")))
