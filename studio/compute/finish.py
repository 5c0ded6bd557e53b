"""Sanding: the sequence of papers and whether each step is one."""

from __future__ import annotations

from studio.compute.sheet import TYPED, Sheet
from studio.design.schema import Design
from studio.measure.measurement import Reading, System
from studio.turning import abrasives

_PARTICLES = "particle sizes: ISO 6344 (FEPA P) and published CAMI charts, read in secondary texts"


def add_finish(sheet: Sheet, design: Design) -> None:
    """``sanding.*``, when the design has a sequence of papers."""
    if design.sanding is None:
        return
    papers = []
    for place, label in enumerate(design.sanding.grits):
        try:
            papers.append(abrasives.parse_grit(label))
        except ValueError as error:
            write = "write a paper that is sold"
            sheet.problem("sanding", "grits", place, what=str(error), write=write)
    if len(papers) < len(design.sanding.grits):
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
    _add(sheet, "first", "First paper", labels[0], papers[0].number)
    _add(sheet, "last", "Last paper", labels[-1], papers[-1].number)
    _add(sheet, "papers", "Papers in order", ", ".join(labels), len(papers))


def _add(sheet: Sheet, name: str, label: str, text: str, value: float) -> None:
    sheet.add(
        f"sanding.{name}",
        label,
        value,
        "grit" if name != "papers" else "count",
        dict.fromkeys(System, Reading(value, "", text)),
        rule="as typed",
        formula="each step compared by particle size",
        source=f"{TYPED}; {_PARTICLES}",
    )
