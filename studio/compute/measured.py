"""What the callipers said, against what the design says."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.sheet import Sheet
from studio.measure.rounding import Direction, number_reading
from studio.measure.units import Length

MOST_OFF = 0.05
"""A measured value that is farther than this part from the design's is told (ours)."""

_STEP = Fraction(1, 10)


def look_at_measured(
    sheet: Sheet, key: str, measured: Length, planned_mm: float, what: str
) -> None:
    """Advise to measure again where a measured value is far from the planned one.

    Args: the key under ``as_measured:``; what was measured; what the design gives, mm, more than 0;
    what that is, in words.
    """
    off = float(measured.mm) / planned_mm - 1
    if abs(off) <= MOST_OFF:
        return
    part, limit = (
        number_reading(one * 100, "%", _STEP, Direction.NEAREST).text
        for one in (abs(off), MOST_OFF)
    )
    way = "more" if off > 0 else "less"
    sheet.warnings.append(
        f"as_measured: {key}: {sheet.as_typed(measured)} is {part} {way} than {what} of "
        f"{sheet.fine(planned_mm)}, over {limit}: measure again, or is it another piece? All "
        "figures follow what was measured"
    )
