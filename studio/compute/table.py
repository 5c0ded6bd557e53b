"""A design's whole table of measurements."""

from __future__ import annotations

from dataclasses import dataclass

from studio.compute.hanger import add_hanger
from studio.compute.indexing import add_indexing
from studio.compute.sheet import Sheet
from studio.compute.speed import add_speeds
from studio.compute.sphere import add_sphere
from studio.compute.stock import add_stock
from studio.compute.values import add_values
from studio.design.reading import Problem
from studio.design.schema import Design
from studio.measure.measurement import MeasurementTable

SUBJECTS = (add_sphere, add_indexing, add_hanger, add_stock, add_speeds, add_values)
"""In table order; speeds stand behind sphere and stock, whose swings they need."""


@dataclass(frozen=True, slots=True)
class Computed:
    """The table, and what makes the design impossible (empty for a sound one)."""

    table: MeasurementTable
    problems: tuple[Problem, ...]


def compute(design: Design) -> Computed:
    """Every measurement of ``design``; lengths in millimetres inside, printed in both systems."""
    sheet = Sheet.of(design.workshop.units)
    for subject in SUBJECTS:
        subject(sheet, design)
    return Computed(MeasurementTable(sheet.made), tuple(sheet.problems))
