"""The sphere from a cylinder: marks, limits and what each round of cuts leaves."""

from __future__ import annotations

import math
from fractions import Fraction

from studio.compute.sheet import GEOMETRY, TRIGONOMETRY, Sheet
from studio.design.document import Keys
from studio.design.schema import Design
from studio.language import later, later_for, spoken, tr, tr_for
from studio.measure.measurement import Reading, System
from studio.measure.rounding import (
    FINE,
    FINE_GRID,
    FINEST_ON_A_RULE,
    Direction,
    Grid,
    divided,
    length_in,
    number_text,
    typed_length,
)
from studio.measure.units import Length, mm_from
from studio.turning import sphere
from studio.turning.piece import Globe


def figure_word(sides: int) -> str:
    """A figure's name: the Greek one in English, and where a catalogue has it; else its corners."""
    if spoken().is_first:
        return sphere.figure_name(sides)
    return tr("figure of {sides} sides", sides=sides)


ROUNDS = {"first": 8, "second": 16, "third": 32}
"""Sides of the outline after each round of cuts."""
later_for("round", "first", "second", "third")

_FACTOR_STEP = Fraction(1, 1000)


def turned_diameter(design: Design) -> tuple[Length, Keys]:
    """The cylinder's diameter that everything follows from, and its keys in the design."""
    measured = design.as_measured.diameter
    if measured is not None:
        return measured, ("as_measured", "diameter")
    return design.stock.diameter, ("stock", "diameter")


def add_sphere(sheet: Sheet, design: Design) -> None:
    """``sphere.*``: every figure between the cylinder and the sandpaper."""
    if design.form != "sphere":
        return
    length, at = turned_diameter(design)
    diameter = float(length.mm)
    sheet.globe = Globe(diameter)
    sheet.typed(
        "sphere.diameter",
        "Diameter",
        length,
        at=at,
        where="the cylinder, then the sphere",
    )
    _first_round(sheet, length)
    _later_rounds(sheet, diameter)
    for name, sides in ROUNDS.items():
        sheet.length(
            f"sphere.end_limit_{name}",
            tr("End disc before the {which} round, below", which=tr_for("round", name)),
            sphere.end_limit_mm(diameter, sides),
            Direction.DOWN,
            formula=tr("diameter × tan(180° / {sides})", sides=sides),
            source=TRIGONOMETRY,
            where="tenon or end disc",
        )
    for name, sides in ROUNDS.items():
        sheet.length(
            f"sphere.proud_{name}",
            tr("Left proud at the corners after the {which} round", which=tr_for("round", name)),
            sphere.corner_proud_mm(diameter, sides),
            Direction.UP,
            steps=FINE,
            formula=tr("radius × (1 / cos(180° / {sides}) − 1)", sides=sides),
            source=TRIGONOMETRY,
            where="where every mark is exact",
        )
    _as_marked(sheet, diameter)
    for name, sides in ROUNDS.items():
        sheet.count(
            f"sphere.sides_{name}",
            tr("Sides after the {which} round", which=tr_for("round", name)),
            sides,
            formula="each round doubles the sides",
            source=GEOMETRY,
        )
        reading = Reading(sides, "", figure_word(sides))
        sheet.add(
            f"sphere.figure_{name}",
            tr("Figure after the {which} round", which=tr_for("round", name)),
            sides,
            "sides",
            dict.fromkeys(System, reading),
            rule="exact",
            formula="the Greek name of a figure of that many sides",
            source="common usage of geometry, no source",
        )
    sheet.volume(
        "sphere.cylinder_volume",
        "Cylinder as long as it is thick",
        sphere.cylinder_volume_mm3(diameter),
        formula="π × diameter³ / 4",
        source=GEOMETRY,
    )
    sheet.volume(
        "sphere.volume",
        "Sphere",
        sphere.sphere_volume_mm3(diameter),
        formula="π × diameter³ / 6",
        source=GEOMETRY,
    )
    sheet.volume(
        "sphere.removed",
        "Turned away between cylinder and sphere",
        sphere.removed_volume_mm3(diameter),
        formula="one third of the cylinder",
        source="Archimedes, On the Sphere and Cylinder",
    )


def _as_marked(sheet: Sheet, diameter: float) -> None:
    """What is left proud by the marks that a turner reads, whichever system they are read in."""
    names = ("sphere.set_in", "sphere.second_mark", "sphere.third_mark")
    left = [
        sphere.proud_as_marked_mm(
            diameter,
            [
                mm_from(system, one.reading(system).value)
                for name in names
                if (one := sheet.by_name(name)) is not None
            ],
        )
        for system in System
    ]
    sheet.length(
        "sphere.proud_as_marked",
        "Left proud at most, cut to the marks as they are printed here",
        max(left),
        Direction.UP,
        steps=FINE,
        formula="the farthest corner once three rounds are cut to the printed marks, in the system "
        "that leaves more, less the radius",
        source=GEOMETRY,
        where="at the corners, for the sandpaper",
    )


def _first_round(sheet: Sheet, length: Length) -> None:
    """Set-in and side: the set-in goes down, and the side takes what is left.

    So the three printed lengths along the work add up to the printed diameter, however coarse the
    rule; rounding each alone would leave 2 1/4 in a sixteenth short.
    """
    diameter = float(length.mm)
    exact_side, exact_set_in = sphere.octagon_side_mm(diameter), sphere.set_in_mm(diameter)
    sides: dict[System, Reading] = {}
    set_ins: dict[System, Reading] = {}
    for system in System:
        whole = typed_length(length, system, sheet.bench)
        set_in, side = first_marks(
            whole.numerator, whole.denominator, exact_set_in, system, Grid.of(sheet.bench)
        )
        set_ins[system] = length_in(Fraction(*set_in), system, exact_set_in)
        sides[system] = length_in(Fraction(*side), system, exact_side)
    gain = sphere.bench_octagon_side_mm(diameter) - exact_side
    sheet.add(
        "sphere.octagon_side",
        "Octagon side",
        exact_side,
        "mm",
        sides,
        rule="printed diameter less twice the printed set-in, so that the parts add up",
        formula="diameter × tan 22.5°",
        source=TRIGONOMETRY,
        bench=sheet.bench_rule(
            tr(
                "{bench_side_factor} × diameter",
                bench_side_factor=number_text(sphere.BENCH_SIDE_FACTOR, 3),
            ),
            sphere.bench_octagon_side_mm(diameter),
            Direction.NEAREST,
            tr(
                "before rounding {gain} longer than the exact side",
                gain=sheet.fine_in_both(abs(gain)),
            )
            if gain > 0
            else tr(
                "before rounding {gain} shorter than the exact side",
                gain=sheet.fine_in_both(abs(gain)),
            ),
            [abs(gain)],
        ),
        where="along the middle of the cylinder",
    )
    deep = sphere.bench_set_in_mm(diameter) - exact_set_in
    sheet.add(
        "sphere.set_in",
        "Set-in from each corner",
        exact_set_in,
        "mm",
        set_ins,
        rule=tr("{rule}, so that wood stays proud", rule=sheet.bench.rule(Direction.DOWN)),
        formula="diameter × (1 − tan 22.5°) / 2",
        source=TRIGONOMETRY,
        bench=sheet.bench_rule(
            tr(
                "{bench_set_in_factor} × diameter",
                bench_set_in_factor=number_text(sphere.BENCH_SET_IN_FACTOR, 3),
            ),
            sphere.bench_set_in_mm(diameter),
            Direction.DOWN,
            tr("before rounding {deep} more than the exact set-in", deep=sheet.fine_in_both(deep)),
            [deep],
        ),
        where="along the length and on the end face",
    )
    for name, label, factor, formula in (
        (
            "side_factor",
            later("Octagon side for a diameter of one"),
            sphere.SIDE_FACTOR,
            later("tan 22.5°"),
        ),
        (
            "set_in_factor",
            later("Set-in for a diameter of one"),
            sphere.SET_IN_FACTOR,
            later("(1 − tan 22.5°) / 2"),
        ),
    ):
        sheet.number(
            f"sphere.{name}",
            label,
            factor,
            "ratio",
            "",
            _FACTOR_STEP,
            Direction.NEAREST,
            formula=formula,
            source=TRIGONOMETRY,
        )


def first_marks(
    over: int, under: int, set_in_mm: float, system: System, bench: Grid
) -> tuple[tuple[int, int], tuple[int, int]]:
    """Set-in and octagon side as printed, each as a ratio in the unit of ``system``.

    Args: the printed diameter, ``over / under`` in that unit; the exact set-in, mm; the bench's
    divisions. The set-in goes down, and the side takes what is left of the diameter.

    >>> first_marks(9, 4, 16.738973, System.IMPERIAL, Grid(1, 10, 1, 16))
    ((10, 16), (64, 64))
    """
    # a typed decimal inch and fractions of a rule do not add up in print
    on_rule = system is System.METRIC or FINEST_ON_A_RULE % (under // math.gcd(over, under)) == 0
    part, parts = divided(set_in_mm, system, bench if on_rule else FINE_GRID, Direction.DOWN)
    return (part, parts), (over * parts - 2 * part * under, under * parts)


def _later_rounds(sheet: Sheet, diameter: float) -> None:
    exact = sphere.second_mark_mm(diameter)
    by_rule = sphere.corner_cut(diameter, ROUNDS["first"], sphere.bench_second_mark_mm(diameter))
    corners = sphere.corner_proud_mm(diameter, ROUNDS["second"])
    sheet.length(
        "sphere.second_mark",
        "Second mark, from each octagon corner",
        exact,
        Direction.DOWN,
        formula="diameter × (tan 22.5° − tan 11.25°) / 2",
        source=TRIGONOMETRY,
        bench=sheet.bench_rule(
            "a quarter of the octagon side",
            by_rule.mark_mm,
            Direction.DOWN,
            tr(
                "before rounding facets {facet_proud_mm} proud, corners {corner_proud_mm} "
                "instead of {corners}: safe",
                facet_proud_mm=sheet.fine_in_both(by_rule.facet_proud_mm),
                corner_proud_mm=sheet.fine_in_both(by_rule.corner_proud_mm),
                corners=sheet.fine_in_both(corners),
            ),
            [by_rule.facet_proud_mm, by_rule.corner_proud_mm, corners],
        ),
        where="both ways from each corner of the octagon",
    )
    sheet.length(
        "sphere.third_mark",
        "Third mark, from each corner of the second round",
        sphere.third_mark_mm(diameter),
        Direction.DOWN,
        formula="diameter × (tan 11.25° − tan 5.625°) / 2",
        source=TRIGONOMETRY,
        where="both ways from each corner",
    )
