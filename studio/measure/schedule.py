"""Measurements that stand side by side: a station table, a mounting card, a stock list."""

from __future__ import annotations

from dataclasses import dataclass

from studio.measure.measurement import MeasurementTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """A small table whose every cell is a measurement, so that every figure in it is traced.

    Attributes:
        name: dotted; the part before the dot is the subject it belongs to (``finial.stations``).
        heading: what a turner calls it, plain.
        columns: a heading for each column, plain words; a name that the table of measurements
            holds stands for that measurement's text.
        rows: names of measurements, one for each column; empty where there is nothing to print.
        notes: marked texts that stand under it: what to do first, which way round.
        pencil: whether a turner writes down beside each row what the callipers said.
        along_axis: whether its rows follow an axis, so that a row is known by its first cell, its
            place, and not by its number.
    """

    name: str
    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()
    pencil: bool = False
    along_axis: bool = False

    def __post_init__(self) -> None:
        if any(len(row) != len(self.columns) for row in self.rows):
            raise ValueError(f"a row of {self.name} has not one cell for each column")

    @property
    def subject(self) -> str:
        """The group of measurements that it belongs to."""
        return self.name.partition(".")[0]

    def names(self) -> frozenset[str]:
        """Every measurement that stands in it."""
        return frozenset(name for row in self.rows for name in row if name)

    def missing(self, table: MeasurementTable) -> frozenset[str]:
        """Names that ``table`` does not hold: none in a schedule that was made from it."""
        return frozenset(name for name in self.names() if name not in table)
