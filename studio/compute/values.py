"""A design's own typed figures, as measurements."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.sheet import TYPED, Sheet
from studio.design.schema import Design
from studio.language import Said, own_word
from studio.measure.measurement import Reading, System
from studio.measure.rounding import decimal_text, with_unit
from studio.measure.units import Length


def add_values(sheet: Sheet, design: Design) -> None:
    """``value.NAME`` for every entry under ``values``."""
    for name, value in design.values.items():
        label = Said(own_word(name, name.replace("_", " ").capitalize()))
        if isinstance(value, Length):
            sheet.typed(f"value.{name}", label, value, at=("values", name))
            continue
        reading = _reading(value.value, value.unit)
        sheet.add(
            f"value.{name}",
            label,
            float(value.value),
            value.unit or "count",
            dict.fromkeys(System, reading),
            rule="as typed",
            formula="typed",
            source=TYPED,
        )


def _reading(value: Fraction, unit: str) -> Reading:
    return Reading(float(value), unit, with_unit(decimal_text(value, 3), unit))
