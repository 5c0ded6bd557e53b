"""``units-disagree``: the two systems of one measurement do not say the same.

What it does: reads the printed texts of each measurement back, both systems, and lays them against
each other; they may differ by what was rounded, which the table keeps, and by nothing else.
Why it matters: whoever works in inches works to the second text alone.
It finds nothing unless the tool itself is at fault: report it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.language import plain_number, unit_word
from studio.measure.listing import FILE_NAME
from studio.measure.measurement import Measurement, Reading
from studio.measure.units import (
    GRAMS_PER_OUNCE,
    INCHES_PER_FOOT,
    MM2_PER_CM2,
    MM3_PER_CM3,
    MM3_PER_CUBIC_INCH,
    MM3_PER_ML,
    MM3_PER_US_FLUID_OUNCE,
    MM_PER_INCH,
    MM_PER_M,
    parse_length,
)

_IN_METRIC = {
    ("mm", "in"): float(MM_PER_INCH),
    ("cm²", "in²"): float(MM_PER_INCH**2 / MM2_PER_CM2),
    ("cm³", "in³"): float(MM3_PER_CUBIC_INCH / MM3_PER_CM3),
    ("m", "ft"): INCHES_PER_FOOT * float(MM_PER_INCH) / MM_PER_M,
    ("g", "oz"): float(GRAMS_PER_OUNCE),
    ("ml", "fl oz"): float(MM3_PER_US_FLUID_OUNCE / MM3_PER_ML),
}
"""What one of the second unit is in the first. Sizes that are sold, such as drills and gauges, are
chosen for each system by themselves and have other units."""

_OF_EACH_SETTING = frozenset({"index.closing", "index.strip_closing"})
"""What is off where the printed figure is stepped round: another one in each system."""

_ALIKE = 1e-6
"""Exact values that differ by less than this share are one (ours)."""


def check(context: Context) -> Outcome:
    """Findings for every measurement of which the two texts differ by more than rounding."""
    return Outcome(findings=tuple(disagreeing(_all_of(context))))


def _all_of(context: Context) -> Iterable[Measurement]:
    batch = context.episode.batch
    return (batch.table if batch is not None else context.episode.table).values()


def disagreeing(table: Iterable[Measurement]) -> Iterator[Finding]:
    """A finding for each measurement whose two texts say different things."""
    for one in table:
        metric, imperial = one.metric, one.imperial
        factor = _IN_METRIC.get((metric.unit, imperial.unit))
        sizes_sold = any(f" {unit_word(each.unit)}" not in each.text for each in (metric, imperial))
        if factor is None or sizes_sold or one.name in _OF_EACH_SETTING:
            continue
        exact, other = _exact(metric), factor * _exact(imperial)
        if abs(exact - other) > _ALIKE * max(abs(exact), abs(other), 1.0):
            yield Finding(
                code="units-disagree",
                severity=Severity.ERROR,
                where=FILE_NAME,
                at="",
                said=f"{metric.text} and {imperial.text}",
                expected="one length in two systems; this is a fault of studio: report it",
                measurement=one.name,
            )


def _exact(reading: Reading) -> float:
    """The value behind a printed text: what the text says less what rounding added."""
    # words may follow: "0.36 mm short"
    number = plain_number(reading.text.partition(f" {unit_word(reading.unit)}")[0])
    if reading.unit in ("mm", "in"):
        length = parse_length(f"{number} {reading.unit}")
        printed = float(length.mm / (1 if reading.unit == "mm" else MM_PER_INCH))
    else:
        printed = float(number)
    return printed - reading.off_by
