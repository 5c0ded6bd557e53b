"""Wire gauges: a number that means a diameter only together with its system's name."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from studio.measure.units import MM_PER_INCH
from studio.turning.ranges import positive, whole


class GaugeSystem(StrEnum):
    """A system of wire gauges."""

    AWG = "AWG"
    SWG = "SWG"


AWG_ANCHOR_IN = 0.0050
"""Diameter of 36 AWG, inch, exact by definition. ASTM B258."""

AWG_RATIO = 92.0
"""0000 AWG / 36 AWG = 0.4600 in / 0.0050 in (no unit), over 39 equal steps. ASTM B258."""

AWG_STEPS = 39
"""Steps from 36 AWG to 0000 AWG (count). ASTM B258."""

AWG_LARGEST = -3
"""0000 (4/0), the thickest gauge here; 000 is -2, 00 is -1."""

AWG_SMALLEST = 40
"""The thinnest gauge here; the standard goes on, no hanger does."""

SWG_IN: dict[int, float] = {
    0: 0.3240, 1: 0.3000, 2: 0.2760, 3: 0.2520, 4: 0.2320, 5: 0.2120, 6: 0.1920, 7: 0.1760,
    8: 0.1600, 9: 0.1440, 10: 0.1280, 11: 0.1160, 12: 0.1040, 13: 0.0920, 14: 0.0800, 15: 0.0720,
    16: 0.0640, 17: 0.0560, 18: 0.0480, 19: 0.0400, 20: 0.0360, 21: 0.0320, 22: 0.0280, 23: 0.0240,
    24: 0.0220, 25: 0.0200, 26: 0.0180, 27: 0.0164, 28: 0.0148, 29: 0.0136, 30: 0.0124, 31: 0.0116,
    32: 0.0108, 33: 0.0100, 34: 0.0092, 35: 0.0084, 36: 0.0076, 37: 0.0068, 38: 0.0060, 39: 0.0052,
    40: 0.0048,
}  # fmt: skip
"""British Standard Wire Gauge, inch (BS 3737:1964, withdrawn; legal sizes of 1884).

Read in a secondary stored text (simetric.co.uk/siwire.htm); a second one (dukedog.co.uk/SWG.html)
agrees but for 28, where it prints 0.0149: that is a slip, the scale runs there in even steps.
"""

FERROUS_WORDS = frozenset({"iron", "steel", "stainless", "piano", "music"})
"""Words that tell iron and steel wire, which is not sold by AWG: ASTM B258 is for non-ferrous wire,
so the same number on steel means another diameter (from memory)."""


@dataclass(frozen=True, slots=True)
class Gauge:
    """A gauge number with its system.

    Attributes:
        number: the gauge; 00, 000 and 0000 AWG are -1, -2 and -3.
        system: the system that gives the number its meaning.
    """

    number: int
    system: GaugeSystem

    @property
    def label(self) -> str:
        """As said and sold: ``22 AWG``, ``0000 AWG``."""
        number = "0" * (1 - self.number) if self.number < 0 else str(self.number)
        return f"{number} {self.system}"

    @property
    def diameter_mm(self) -> float:
        """The wire's diameter, mm."""
        if self.system is GaugeSystem.AWG:
            return awg_diameter_mm(self.number)
        return swg_diameter_mm(self.number)


@dataclass(frozen=True, slots=True)
class NearestGauge:
    """The gauge closest to a measured wire.

    Attributes:
        gauge: the gauge.
        off_by_mm: measured less the gauge's diameter, mm.
    """

    gauge: Gauge
    off_by_mm: float


def awg_diameter_mm(number: int) -> float:
    """Diameter of American Wire Gauge: 0.005 in times 92 to the power (36 − n)/39.

    Args: gauge, -3 (0000) to 40. Returns mm. Source: ASTM B258 (read in a secondary stored text).

    Raises:
        ValueError: outside 0000 to 40.

    >>> awg_diameter_mm(22)
    0.64380
    """
    whole(number, "an AWG number (with 0000 as -3)", AWG_LARGEST, AWG_SMALLEST)
    inches = AWG_ANCHOR_IN * math.pow(AWG_RATIO, (36 - number) / AWG_STEPS)
    return inches * float(MM_PER_INCH)


def swg_diameter_mm(number: int) -> float:
    """Diameter of British Standard Wire Gauge, from its table.

    Args: gauge, 0 to 40. Returns mm. Source: see :data:`SWG_IN`.

    Raises:
        ValueError: outside 0 to 40.

    >>> swg_diameter_mm(22)
    0.711
    """
    whole(number, "an SWG number", min(SWG_IN), max(SWG_IN))
    return SWG_IN[number] * float(MM_PER_INCH)


def nearest_gauge(diameter_mm: float, system: GaugeSystem) -> NearestGauge:
    """The gauge nearest to a measured wire; the thicker one at a tie.

    Args: measured diameter, mm, within the thickest and thinnest gauge here. Source: the
    system's own sizes.

    Raises:
        ValueError: thicker than the thickest gauge here or thinner than the thinnest.

    >>> nearest_gauge(0.65, GaugeSystem.AWG).gauge.label
    '22 AWG'
    """
    positive(diameter_mm, "the wire's diameter")
    numbers = SWG_IN if system is GaugeSystem.SWG else range(AWG_LARGEST, AWG_SMALLEST + 1)
    gauges = [Gauge(number, system) for number in numbers]
    thickest, thinnest = gauges[0].diameter_mm, gauges[-1].diameter_mm
    if not thinnest <= diameter_mm <= thickest:
        raise ValueError(
            f"a wire of {diameter_mm:g} mm is outside {system} as held here, "
            f"{thinnest:.3g} mm to {thickest:.4g} mm; give its diameter instead"
        )
    nearest = min(gauges, key=lambda gauge: abs(gauge.diameter_mm - diameter_mm))
    return NearestGauge(nearest, diameter_mm - nearest.diameter_mm)


def sold_by_awg(metal: str) -> bool:
    """Whether wire of this metal is sold by AWG; iron and steel are not.

    Source: :data:`FERROUS_WORDS`.

    >>> sold_by_awg("brass"), sold_by_awg("Stainless steel")
    (True, False)
    """
    return FERROUS_WORDS.isdisjoint(metal.lower().replace("-", " ").split())
