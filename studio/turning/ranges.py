"""Refusing a number outside a formula's range, in one wording for the whole layer."""

from __future__ import annotations

import math


def positive(value: float, what: str, unit: str = "mm") -> float:
    """``value`` when it is finite and more than nothing.

    Raises:
        ValueError: it is zero, negative, infinite or not a number.

    >>> positive(60.0, "the diameter")
    60.0
    """
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"{what} must be more than 0 {unit}".rstrip() + f", not {value:g}")
    return value


def not_negative(value: float, what: str, unit: str = "mm") -> float:
    """``value`` when it is finite and not less than nothing.

    Raises:
        ValueError: it is negative, infinite or not a number.

    >>> not_negative(0.0, "the allowance")
    0.0
    """
    if not (math.isfinite(value) and value >= 0):
        raise ValueError(f"{what} must be 0 {unit}".rstrip() + f" or more, not {value:g}")
    return value


def whole(value: int, what: str, least: int, most: int | None = None) -> int:
    """``value`` when it is a whole number from ``least`` to ``most``.

    Raises:
        ValueError: it has a fraction or lies outside.

    >>> whole(8, "the count of sides", 3)
    8
    """
    allowed = f"from {least} to {most}" if most is not None else f"of {least} or more"
    if (
        not math.isfinite(value)
        or int(value) != value
        or value < least
        or (most is not None and value > most)
    ):
        raise ValueError(f"{what} must be a whole number {allowed}, not {value}")
    return int(value)
