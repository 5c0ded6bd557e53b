"""Sanding and finish: the sequence of papers, and what the finish's own label says."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.sheet import Sheet
from studio.design.schema import Design, Finish, Sanding
from studio.language import later, tr
from studio.measure.measurement import Reading, System
from studio.measure.rounding import (
    Direction,
    decimal_text,
    duration_text,
    liquid_reading,
    liquid_rule,
    with_unit,
)
from studio.turning import abrasives, finish

_PARTICLES = later(
    "typed in the design; particle sizes: ISO 6344 (FEPA P) and published CAMI charts, read in "
    "secondary texts"
)


def add_finish(sheet: Sheet, design: Design) -> None:
    """``sanding.*`` and ``finish.*``, when the design has papers and a finish."""
    if design.sanding is not None:
        _add_sanding(sheet, design.sanding)
    if design.finish is not None:
        _add_coats(sheet, design.finish)


def _add_sanding(sheet: Sheet, section: Sanding) -> None:
    papers = []
    for place, label in enumerate(section.grits):
        try:
            papers.append(abrasives.parse_grit(label))
        except ValueError as error:
            write = "write a paper that is sold"
            sheet.problem("sanding", "grits", place, what=sheet.told(error), write=write)
    if len(papers) < len(section.grits):
        return
    for finding in abrasives.sequence_findings(papers):
        between = ", ".join(paper.label for paper in finding.between)
        said = f"{finding.before.label} to {finding.after.label}: {finding.fault.value}"
        if finding.fault is abrasives.GritFault.TOO_FAR:
            advice = f"; {between} between them makes the steps right" if between else ""
            sheet.warnings.append(f"sanding: {said}{advice}")
        else:
            sheet.problem(
                "sanding",
                "grits",
                finding.step + 1,
                what=said,
                write="leave it out, or write the papers from coarse to fine",
            )
    labels = [paper.label for paper in papers]
    _add(sheet, "first", later("First paper"), labels[0], papers[0].number)
    _add(sheet, "last", later("Last paper"), labels[-1], papers[-1].number)
    _add(sheet, "papers", later("Papers in order"), ", ".join(labels), len(papers))


def _add(sheet: Sheet, name: str, label: str, text: str, value: float) -> None:
    sheet.add(
        f"sanding.{name}",
        label,
        value,
        "grit" if name != "papers" else "count",
        dict.fromkeys(System, Reading(value, "", text)),
        rule="as typed",
        formula="each step compared by particle size",
        source=_PARTICLES,
    )


_LABEL = later("the finish's own label, typed in the design")


def _add_coats(sheet: Sheet, section: Finish) -> None:
    """Coats, times and amount, all by the label."""
    sheet.words("finish.product", "Finish", section.product, formula="typed", source=_LABEL)
    sheet.count("finish.coats", "Coats", section.coats, formula="typed", source=_LABEL)
    times = [("dry", later("Until it may be handled, after the last coat"), section.dry)]
    if section.recoat is not None:
        times.insert(0, ("recoat", later("From one coat to the next"), section.recoat))
    elif section.coats > 1:
        sheet.problem(
            "finish",
            "coats",
            what=f"{section.coats} coats without the time between them",
            write="write recoat: 4 h, or whatever the label says",
        )
        return
    between = float(section.recoat) if section.recoat is not None else 0.0
    total = finish.finish_time_min(section.coats, between, float(section.dry))
    times.append(
        ("total", later("From the first coat to handling"), Fraction(total).limit_denominator(60))
    )
    for name, label, minutes in times:
        number, unit = duration_text(minutes)
        reading = Reading(float(number), unit, with_unit(decimal_text(number, 2), unit))
        sheet.add(
            f"finish.{name}",
            label,
            float(minutes),
            "min",
            dict.fromkeys(System, reading),
            rule=tr(Direction.EXACT),
            formula="typed" if name != "total" else "(coats − 1) × recoat + dry",
            source=_LABEL,
        )
    area = sheet.by_name("piece.area")
    if section.coverage is not None and area is not None:
        amount = finish.finish_amount_mm3(area.value, section.coats, section.coverage)
        sheet.add(
            "finish.amount",
            "Finish for all coats, at least",
            amount,
            "mm3",
            {system: liquid_reading(amount, system) for system in System},
            rule=liquid_rule(amount),
            formula="surface × coats / coverage; brush and rag take more",
            source=_LABEL,
        )
