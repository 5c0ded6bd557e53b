"""Drills that can be bought, those a workshop owns, and the one to take for a bundle of wire.

Each system has its own real sizes: a hole is 1.7 mm or #51, never a converted number.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache
from importlib import resources

from studio.measure.measurement import System
from studio.measure.units import MM_PER_INCH, QuantityError, parse_length
from studio.turning.ranges import not_negative, positive


class DrillSeries(StrEnum):
    """A series of drill sizes."""

    NUMBER = "number"
    LETTER = "letter"
    FRACTIONAL = "fractional"
    METRIC = "metric"

    @property
    def system(self) -> System:
        """The system of units to which the series belongs."""
        return System.METRIC if self is DrillSeries.METRIC else System.IMPERIAL


@dataclass(frozen=True, slots=True)
class Drill:
    """A drill that can be bought.

    Attributes:
        label: as stamped and sold: ``#51``, ``F``, ``1/16 in``, ``1.7 mm``.
        diameter_mm: nominal diameter, mm.
        series: the series it belongs to.
    """

    label: str
    diameter_mm: float
    series: DrillSeries

    @property
    def system(self) -> System:
        """The system of units in which its size is real."""
        return self.series.system


SAME_SIZE_MM = 1e-6
"""Sizes closer than this, mm, are the same drill (ours): wide enough for decimals added in binary,
far narrower than any two sizes of a series."""

FINEST_STEP_MM = 0.01
"""Least step of a set, mm (ours): no series has a finer one."""

FRACTION_STEP = Fraction(1, 64)
"""Step of fractional drills, inch. Common practice, no source."""

LARGEST_FRACTION = Fraction(1)
"""Largest fractional drill held here, inch (ours: the usual jobber and blacksmith's sets)."""

METRIC_HUNDREDTHS = (
    *(10 * tenths + more for tenths in range(2, 10) for more in (0, 2, 5, 8)),
    *range(100, 300, 5),
    *range(300, 1400, 10),
    *range(1400, 2501, 25),
)
"""Metric sizes, hundredths of a millimetre: 0.2 to 0.98, 1 to 2.95 by 0.05, 3 to 13.9 by 0.1, 14
to 25 mm by 0.25. BS 328, read in a secondary stored text (an encyclopaedia's "Drill bit sizes",
copy at piglix.com/piglix/Drill_bit_sizes)."""


def _table_lines() -> list[str]:
    table = resources.files("studio.turning").joinpath("drill_sizes.csv")
    lines = table.read_text(encoding="utf-8").splitlines()
    return [line for line in lines if not line.startswith(";")]


@cache
def _gauge_drills() -> tuple[Drill, ...]:
    return tuple(
        Drill(
            row["label"],
            float(Fraction(row["diameter_in"]) * MM_PER_INCH),
            DrillSeries(row["series"]),
        )
        for row in csv.DictReader(_table_lines())
    )


def _fractional_drills() -> Iterable[Drill]:
    for step in range(1, int(LARGEST_FRACTION / FRACTION_STEP) + 1):
        inches = step * FRACTION_STEP
        yield Drill(f"{inches} in", float(inches * MM_PER_INCH), DrillSeries.FRACTIONAL)


def _metric_drills() -> Iterable[Drill]:
    for hundredths in METRIC_HUNDREDTHS:
        mm = hundredths / 100
        yield Drill(f"{mm:g} mm", mm, DrillSeries.METRIC)


@cache
def all_drills(series: DrillSeries) -> tuple[Drill, ...]:
    """Every drill of a series held here, thinnest first.

    Sources: number and letter, ASME B94.11M (``drill_sizes.csv``); fractional and metric, see
    :data:`FRACTION_STEP` and :data:`METRIC_HUNDREDTHS`.

    >>> all_drills(DrillSeries.NUMBER)[0].label, len(all_drills(DrillSeries.LETTER))
    ('#80', 26)
    """
    drills: Iterable[Drill]
    if series is DrillSeries.METRIC:
        drills = _metric_drills()
    elif series is DrillSeries.FRACTIONAL:
        drills = _fractional_drills()
    else:
        drills = (drill for drill in _gauge_drills() if drill.series is series)
    return tuple(sorted(drills, key=lambda drill: drill.diameter_mm))


_NUMBER_LABEL = re.compile(r"(?:#|no\.?|number)\s*(\d{1,3})", re.IGNORECASE)
_LETTER_LABEL = re.compile(r"(?:letter\s+)?([A-Z])", re.IGNORECASE)


def parse_drill(label: str) -> Drill:
    """A drill by its label: ``#51``, ``no. 51``, ``F``, ``letter F``, ``1/16 in``, ``1.7 mm``.

    Raises:
        ValueError: not a label, or no drill of that size is sold; then it names the nearest two.

    >>> parse_drill("#51").diameter_mm
    1.702
    """
    tidy = " ".join(label.split())
    if match := _NUMBER_LABEL.fullmatch(tidy):
        return _by_label(DrillSeries.NUMBER, f"#{int(match[1])}", "number drills run from 80 to 1")
    if match := _LETTER_LABEL.fullmatch(tidy):
        return _by_label(DrillSeries.LETTER, match[1].upper(), "letter drills run from A to Z")
    try:
        size = parse_length(tidy)
    except QuantityError:
        raise ValueError(
            f"{tidy[:40]!r} is not a drill; write a number (#51), a letter (F), a fraction "
            "(1/16 in) or millimetres (1.7 mm)"
        ) from None
    metric = size.system is System.METRIC
    return _by_size(DrillSeries.METRIC if metric else DrillSeries.FRACTIONAL, float(size.mm), tidy)


def _by_label(series: DrillSeries, label: str, span: str) -> Drill:
    for drill in all_drills(series):
        if drill.label == label:
            return drill
    raise ValueError(f"there is no drill {label}; {span}")


def _by_size(series: DrillSeries, diameter_mm: float, typed: str) -> Drill:
    drills = all_drills(series)
    for drill in drills:
        if abs(drill.diameter_mm - diameter_mm) <= SAME_SIZE_MM:
            return drill
    below = [drill.label for drill in drills if drill.diameter_mm < diameter_mm][-1:]
    above = [drill.label for drill in drills if drill.diameter_mm > diameter_mm][:1]
    raise ValueError(
        f"no {series} drill of {typed} is sold; the nearest is {' or '.join(below + above)}"
    )


def expand(
    series: DrillSeries,
    first_mm: float | None = None,
    last_mm: float | None = None,
    step_mm: float | None = None,
) -> tuple[Drill, ...]:
    """The drills of an owned set, thinnest first.

    Without sizes the whole series. ``first_mm`` and ``last_mm`` (mm, either order, ends
    included) must be drills of the series; ``step_mm`` (mm, 0.01 or more, fractional and metric
    only) keeps every size at that step from the thinner end, and each must be a size that is
    sold. Source: the series' own sizes.

    Raises:
        ValueError: an end or a stepped size is no drill of the series, a step for numbers or
            letters, or a step that misses the other end.

    >>> [drill.label for drill in expand(DrillSeries.METRIC, 1, 3, 0.5)]
    ['1 mm', '1.5 mm', '2 mm', '2.5 mm', '3 mm']
    """
    drills = all_drills(series)
    first = drills[0] if first_mm is None else _end(series, first_mm)
    last = drills[-1] if last_mm is None else _end(series, last_mm)
    if last.diameter_mm < first.diameter_mm:
        first, last = last, first
    if step_mm is None:
        return drills[drills.index(first) : drills.index(last) + 1]
    if series in (DrillSeries.NUMBER, DrillSeries.LETTER):
        raise ValueError(f"{series} drills have no even step; leave the step out")
    if positive(step_mm, "the step of a drill set") < FINEST_STEP_MM:
        raise ValueError(f"no drills come in steps of {step_mm:g} mm; write 0.1 mm or 1/64 in")
    count = (last.diameter_mm - first.diameter_mm) / step_mm
    if abs(count - round(count)) * step_mm > SAME_SIZE_MM:
        raise ValueError(
            f"steps of {step_mm:g} mm from {first.label} do not end at {last.label}; "
            "write another step or end"
        )
    return tuple(
        _end(series, first.diameter_mm + step * step_mm) for step in range(round(count) + 1)
    )


def _end(series: DrillSeries, diameter_mm: float) -> Drill:
    positive(diameter_mm, "a drill's diameter")
    return _by_size(series, diameter_mm, f"{diameter_mm:.5g} mm")


POINT_DEG = 118.0
"""Angle of a twist drill's point, degrees; common practice, no source."""


def point_mm(diameter_mm: float) -> float:
    """How far a twist drill's point reaches beyond the end of its full width, mm.

    A hole's depth is that of its full width; the point goes on. Args: diameter_mm, 0 or more.
    Source: elementary geometry; the angle is common practice, no source.

    Raises:
        ValueError: the diameter is below 0.

    >>> round(point_mm(12.7), 3)
    3.815
    """
    return (
        not_negative(diameter_mm, "the drill's diameter")
        / 2
        / math.tan(math.radians(POINT_DEG / 2))
    )


def choose(bundle_mm: float, clearance_mm: float, owned: Iterable[Drill]) -> Drill | None:
    """The thinnest owned drill that is at least the bundle and its clearance; None if none is.

    Of equal sizes (E and 1/4 in) the one named first in ``owned``. Give the drills of one system
    to get that system's own size. Args: bundle, mm, more than 0; clearance on the diameter, mm,
    0 or more. Source: choosing up is common practice, no source.

    Raises:
        ValueError: a size is out of range.

    >>> metric = expand(DrillSeries.METRIC, 1, 3, 0.1)
    >>> choose(1.618, 0.05, metric).label
    '1.7 mm'
    """
    return min(
        _letting_in(bundle_mm, clearance_mm, owned),
        key=lambda drill: drill.diameter_mm,
        default=None,
    )


def choose_alike(
    bundle_mm: float, clearance_mm: float, like: Drill, sold: Iterable[Drill]
) -> Drill | None:
    """Of the drills that let the bundle in, the one nearest to another drill; None if none does.

    So that whoever has drills of another system makes about the same hole. Of two as near the
    thinner one. Args: as of :func:`choose`; the drill chosen; those to choose from. Source: ours.

    Raises:
        ValueError: a size is out of range.

    >>> two = parse_drill("2 mm")
    >>> choose_alike(1.618, 0.05, two, all_drills(DrillSeries.FRACTIONAL)).label
    '5/64 in'
    """
    return min(
        _letting_in(bundle_mm, clearance_mm, sold),
        key=lambda drill: (abs(drill.diameter_mm - like.diameter_mm), drill.diameter_mm),
        default=None,
    )


def _letting_in(bundle_mm: float, clearance_mm: float, drills: Iterable[Drill]) -> Iterator[Drill]:
    positive(bundle_mm, "the bundle's diameter")
    need = bundle_mm + not_negative(clearance_mm, "the clearance") - SAME_SIZE_MM
    return (drill for drill in drills if drill.diameter_mm >= need)
