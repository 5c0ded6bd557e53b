"""Speed ceilings by stage: the least of rule, lathe and chuck, rounded down."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.parts import cylinder_mm
from studio.compute.sheet import Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Design
from studio.language import later, tr
from studio.measure.measurement import Measurement, System
from studio.measure.rounding import Direction, number_reading, round_to_step
from studio.turning import speed
from studio.turning.speed import RuledBy, Stage

SPEED_STEP = Fraction(10)
"""Ceilings are printed in tens of revolutions: no dial is finer (ours)."""

_LABELS = {
    Stage.ROUGH: later("Speed while roughing, at most"),
    Stage.OFF_CENTRE: later("Speed off centre or on several axes, at most"),
    Stage.GENERAL: later("Speed once round, at most"),
    Stage.FINISH: later("Speed for finishing cuts, at most"),
    Stage.SANDING: later("Speed for sanding, at most"),
}
_RULED = {
    RuledBy.RULE: later("the rule"),
    RuledBy.LATHE: later("the lathe's own plate"),
    RuledBy.CHUCK: later("the chuck's own limit"),
}


def add_speeds(sheet: Sheet, design: Design) -> None:
    """``speed.*``: a ceiling for each stage, from the largest swing at that stage."""
    by_name = {measurement.name: measurement for measurement in sheet.made}
    diameter = float(turned_diameter(design)[0].mm)
    # the piece may be run put together, so the widest part of it swings
    widest = max([diameter, *(placed.profile.thickest_mm for placed in sheet.parts.values())])
    offset = float(design.indexing.offset.mm) if design.indexing is not None else 0.0
    swings = {
        Stage.ROUGH: by_name["stock.swing"].value,
        Stage.OFF_CENTRE: speed.off_centre_swing_mm(widest, offset),
        Stage.GENERAL: widest,
        Stage.FINISH: widest,
        Stage.SANDING: widest,
    }
    _look_at_slow(sheet, design)
    made = _add_ceilings(sheet, design, "speed", "", swings)
    _add_rim(sheet, widest, made[Stage.FINISH])
    for name, placed in sheet.parts.items():
        # until it is parted, the cylinder swings with the part, however thin that is
        thickest = placed.profile.thickest_mm
        trued = max(cylinder_mm(design, name, thickest), thickest)
        of_part: dict[Stage, float] = {
            stage: trued for stage in Stage if stage is not Stage.OFF_CENTRE
        }
        # the base has no blank of its own: it is made from the stock
        blank = by_name.get(f"{name}.swing", by_name["stock.swing"])
        of_part[Stage.ROUGH] = blank.value
        _add_ceilings(sheet, design, name, "speed_", of_part)


def _look_at_slow(sheet: Sheet, design: Design) -> None:
    """Refuse a step's own speed that the lathe does not run at."""
    slowest = design.workshop.lathe.slowest
    for place, step in enumerate(design.steps):
        if step.speed is not None and step.speed < slowest:
            asked, least = (
                number_reading(one, "rpm", Fraction(1), Direction.NEAREST).text
                for one in (step.speed, slowest)
            )
            sheet.problem(
                "steps",
                place,
                "speed",
                what=f"{asked} is below the slowest speed of the lathe, {least}",
                write=f"write {least} or more, or leave it out",
            )


def _add_ceilings(
    sheet: Sheet, design: Design, subject: str, head: str, swings: dict[Stage, float]
) -> dict[Stage, Measurement]:
    lathe, chuck = design.workshop.lathe, design.workshop.chuck
    made: dict[Stage, Measurement] = {}
    for stage, swing in swings.items():
        ceiling = speed.speed_ceiling(
            stage, swing, lathe_max_rpm=lathe.fastest, chuck_max_rpm=chuck.fastest
        )
        rule = speed.RULES[stage]
        made[stage] = sheet.number(
            f"{subject}.{head}{stage.value}",
            _LABELS[stage],
            ceiling.speed_rpm,
            "rpm",
            "rpm",
            SPEED_STEP,
            Direction.DOWN,
            formula=tr(
                "{words}; least of rule, lathe and chuck: {ruled}",
                words=tr(rule.words),
                ruled=tr(_RULED[ceiling.ruled_by]),
            ),
            source=rule.source,
        )
    # the printed ceiling is the one that a turner reads
    too_slow = [stage for stage, one in made.items() if one.metric.value < lathe.slowest]
    if chuck.fastest is not None and chuck.fastest < lathe.slowest:
        # told once, with the whole piece's ceilings: no smaller blank mends it
        if subject == "speed":
            sheet.problem(
                "workshop",
                "chuck",
                "fastest",
                what="the chuck's fastest speed is below the lathe's slowest",
                write="write the speeds of both plates again, or take another chuck",
            )
    elif too_slow:
        stage = min(too_slow, key=lambda one: made[one].value)
        least = made[stage]
        # a ceiling is printed in whole steps
        slowest = float(round_to_step(lathe.slowest, SPEED_STEP, Direction.UP))
        most = speed.largest_swing_mm(stage, slowest)
        sheet.problem(
            "workshop",
            "lathe",
            "slowest",
            what=f"the lathe's slowest speed is above the ceiling of {least.text} "
            f"({least.label.lower()})",
            write="this blank is too large for this lathe: choose one that swings "
            f"{sheet.fine(most, Direction.DOWN)} at most there, not {sheet.fine(swings[stage])}",
        )
    return made


def _add_rim(sheet: Sheet, diameter: float, finish: Measurement) -> None:
    printed = finish.metric.value
    metres = speed.rim_speed_m_per_s(diameter, printed)
    feet = speed.rim_speed_ft_per_min(diameter, printed)
    sheet.add(
        "speed.rim",
        "Rim speed at the ceiling for finishing cuts",
        metres,
        "m/s",
        {
            System.METRIC: number_reading(metres, "m/s", Fraction(1, 10), Direction.UP),
            System.IMPERIAL: number_reading(feet, "ft/min", Fraction(10), Direction.UP),
        },
        rule="rounded up",
        formula="π × largest diameter × speed",
        source="elementary geometry",
    )


def stage_measurement(stage: str, part: str | None = None) -> str:
    """The name of a stage's ceiling: ``off-centre`` in a design is ``speed.off_centre``.

    A part's own is ``finial.speed_rough``.
    """
    word = Stage(stage.replace("-", "_")).value
    return f"speed.{word}" if part is None else f"{part}.speed_{word}"
