"""How fast a piece may turn: the least of a rule for the work, the lathe and the chuck.

The rules are ceilings, not recommendations, and only for sound, balanced, well-held work. The
plates and manuals of lathe and chuck rule over everything here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from studio.language import later
from studio.measure.units import INCHES_PER_FOOT, MM_PER_INCH
from studio.turning.ranges import not_negative, positive

MM_PER_M = 1000.0
"""Millimetres in a metre, exact. SI."""

SECONDS_PER_MINUTE = 60.0
"""Seconds in a minute, exact. SI brochure, table 8."""


class Stage(StrEnum):
    """A stage of the work, as far as speed goes."""

    ROUGH = "rough"
    OFF_CENTRE = "off_centre"
    GENERAL = "general"
    FINISH = "finish"
    SANDING = "sanding"


@dataclass(frozen=True, slots=True)
class SpeedRule:
    """A ceiling on swing times speed.

    Attributes:
        inch_rpm: largest product of swing in inches and speed in rpm.
        words: the rule as a turner says it.
        source: where it comes from.
    """

    inch_rpm: float
    words: str
    source: str


_PRACTICE = later("common practice, no source")

RULES: dict[Stage, SpeedRule] = {
    Stage.ROUGH: SpeedRule(
        3000.0, later("inches × rpm at most 3,000 while rough or unbalanced"), _PRACTICE
    ),
    Stage.OFF_CENTRE: SpeedRule(
        3000.0, later("inches × rpm at most 3,000 off centre or on several axes"), _PRACTICE
    ),
    Stage.GENERAL: SpeedRule(6000.0, later("inches × rpm at most 6,000 once round"), _PRACTICE),
    Stage.FINISH: SpeedRule(
        9000.0, later("inches × rpm at most 9,000 for finishing cuts"), _PRACTICE
    ),
    Stage.SANDING: SpeedRule(
        4500.0, later("inches × rpm at most 4,500 while sanding"), later("our own limit")
    ),
}
"""Ceilings of swing[in] × rpm. 6,000 to 9,000 for round work is told among turners (read in a
secondary stored text: aawforum.org thread 17020); the lower ones are common practice without a
source, and the one for sanding is ours."""


class RuledBy(StrEnum):
    """What sets the ceiling."""

    RULE = "rule"
    LATHE = "lathe"
    CHUCK = "chuck"


@dataclass(frozen=True, slots=True)
class SpeedCeiling:
    """The fastest a piece may turn at a stage.

    Attributes:
        speed_rpm: the ceiling, rpm, not rounded; print it rounded down.
        ruled_by: which limit it is; the machine's own plate where the rule says the same.
        rule_rpm: what the rule for the stage alone allows, rpm.
        swing_mm: the largest swing it was computed for, mm.
        stage: the stage.
    """

    speed_rpm: float
    ruled_by: RuledBy
    rule_rpm: float
    swing_mm: float
    stage: Stage


def square_blank_swing_mm(width_mm: float, height_mm: float | None = None) -> float:
    """Largest swing of a square or rectangular blank: its diagonal.

    Args: sides of the section, mm, more than 0; one side for a square. Returns mm. Source:
    Pythagoras.

    Raises:
        ValueError: a side is not more than 0.

    >>> square_blank_swing_mm(63.5) / 25.4
    3.54
    """
    positive(width_mm, "the blank's width")
    if height_mm is None:
        height_mm = width_mm
    return math.hypot(width_mm, positive(height_mm, "the blank's height"))


def off_centre_swing_mm(swing_mm: float, offset_mm: float) -> float:
    """Largest swing once the axis is moved: twice the sum of radius and offset.

    Args: swing on its own centre, mm, more than 0 (a round blank's diameter, a square one's
    diagonal); offset of the axis, mm, 0 or more. Returns mm. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> off_centre_swing_mm(60, 5)
    70
    """
    positive(swing_mm, "the swing on centre")
    return swing_mm + 2 * not_negative(offset_mm, "the offset")


def rule_speed_rpm(stage: Stage, swing_mm: float) -> float:
    """What the rule for a stage allows: its product over the swing in inches.

    Args: stage; largest swing, mm, more than 0. Returns rpm. Source: :data:`RULES`.

    Raises:
        ValueError: the swing is not more than 0.

    >>> rule_speed_rpm(Stage.GENERAL, 76.2)
    2000.0
    """
    return rim_limit_rpm(RULES[stage].inch_rpm, swing_mm)


def largest_swing_mm(stage: Stage, speed_rpm: float) -> float:
    """The largest swing whose rule still allows a speed: the product over the speed, mm.

    Args: stage; speed, rpm, more than 0. Source: :func:`rule_speed_rpm` turned round.

    Raises:
        ValueError: the speed is not more than 0.

    >>> largest_swing_mm(Stage.GENERAL, 2000)
    76.2
    """
    positive(speed_rpm, "the speed", "rpm")
    return RULES[stage].inch_rpm * float(MM_PER_INCH) / speed_rpm


def rim_limit_rpm(inch_rpm: float, swing_mm: float) -> float:
    """The speed at which swing times speed reaches a product, rpm.

    Args: product, inches times rpm, more than 0; largest swing, mm, more than 0. Source: the
    product's definition.

    Raises:
        ValueError: the swing is not more than 0.

    >>> rim_limit_rpm(6000, 76.2)
    2000.0
    """
    return inch_rpm * float(MM_PER_INCH) / positive(swing_mm, "the largest swing")


def speed_ceiling(
    stage: Stage, swing_mm: float, *, lathe_max_rpm: float, chuck_max_rpm: float | None = None
) -> SpeedCeiling:
    """The least of what the rule, the lathe and the chuck allow, and which of them it is.

    Args: stage; largest swing, mm, more than 0; the lathe's and the chuck's own maximum, rpm,
    more than 0 (no chuck: None, as between centres). Source: :data:`RULES` and the machine's
    plates.

    Raises:
        ValueError: a value is out of range.

    >>> ceiling = speed_ceiling(Stage.ROUGH, 60, lathe_max_rpm=3200, chuck_max_rpm=2500)
    >>> ceiling.speed_rpm, ceiling.ruled_by.value
    (1270.0, 'rule')
    """
    rule_rpm = rule_speed_rpm(stage, swing_mm)
    limits = [(positive(lathe_max_rpm, "the lathe's maximum speed", "rpm"), RuledBy.LATHE)]
    if chuck_max_rpm is not None:
        limits.append((positive(chuck_max_rpm, "the chuck's maximum speed", "rpm"), RuledBy.CHUCK))
    # the rule last: at a tie the machine's plate is named, for that one a turner can read
    limits.append((rule_rpm, RuledBy.RULE))
    speed_rpm, ruled_by = min(limits, key=lambda limit: limit[0])
    return SpeedCeiling(speed_rpm, ruled_by, rule_rpm, swing_mm, stage)


def rim_speed_m_per_s(diameter_mm: float, speed_rpm: float) -> float:
    """Speed of the rim: π times diameter times revolutions, metres a second.

    Args: diameter or swing, mm, more than 0; speed, rpm, 0 or more. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> rim_speed_m_per_s(76.2, 2000)
    7.98
    """
    return _rim_mm_per_minute(diameter_mm, speed_rpm) / MM_PER_M / SECONDS_PER_MINUTE


def rim_speed_ft_per_min(diameter_mm: float, speed_rpm: float) -> float:
    """Speed of the rim, feet a minute, as handbooks of the inch world print it.

    Args: diameter or swing, mm, more than 0; speed, rpm, 0 or more. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> rim_speed_ft_per_min(76.2, 2000)
    1570.8
    """
    return _rim_mm_per_minute(diameter_mm, speed_rpm) / float(MM_PER_INCH * INCHES_PER_FOOT)


def _rim_mm_per_minute(diameter_mm: float, speed_rpm: float) -> float:
    positive(diameter_mm, "the diameter")
    return math.pi * diameter_mm * not_negative(speed_rpm, "the speed", "rpm")
