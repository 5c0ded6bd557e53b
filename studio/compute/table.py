"""A design's whole table of measurements."""

from __future__ import annotations

from dataclasses import dataclass

from studio.compute.finish import add_finish
from studio.compute.grooves import add_grooves
from studio.compute.hanger import add_hanger
from studio.compute.indexing import add_indexing
from studio.compute.piece import add_piece
from studio.compute.sheet import Sheet
from studio.compute.speed import add_speeds
from studio.compute.sphere import add_sphere
from studio.compute.stock import add_stock
from studio.compute.tolerance import add_tolerance
from studio.compute.values import add_values
from studio.design.reading import Problem
from studio.design.schema import Design
from studio.measure.measurement import MeasurementTable

SUBJECTS = {
    "sphere": add_sphere,
    "index": add_indexing,
    "grooves": add_grooves,
    "hanger": add_hanger,
    "stock": add_stock,
    "speed": add_speeds,
    "piece": add_piece,
    "sanding": add_finish,
    "tolerance": add_tolerance,
    "value": add_values,
}
"""In table order, by the first part of their names; speeds need the swings of sphere and stock."""


@dataclass(frozen=True, slots=True)
class Computed:
    """What was computed.

    Attributes:
        table: every measurement that could be computed.
        problems: what makes the design impossible; empty for a sound one.
        warnings: what the turner should know, though it can be turned.
        incomplete: subjects that met a problem, whose names may be missing from the table.
    """

    table: MeasurementTable
    problems: tuple[Problem, ...]
    warnings: tuple[str, ...]
    incomplete: frozenset[str]


def compute(design: Design) -> Computed:
    """Every measurement of ``design``; lengths in millimetres inside, printed in both systems."""
    sheet = Sheet.of(design.workshop.units)
    incomplete: set[str] = set()
    for name, add in SUBJECTS.items():
        before = len(sheet.problems)
        add(sheet, design)
        if len(sheet.problems) > before:
            incomplete.add(name)
    table = MeasurementTable(sheet.made)
    return Computed(table, tuple(sheet.problems), tuple(sheet.warnings), frozenset(incomplete))
