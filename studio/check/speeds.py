"""``speed-over-rule``: a step that asks for more than the rule, the lathe and the chuck allow.

What it does: finds each step of the design whose ``speed:`` lies over the ceiling that is printed
for its stage and part. The papers and the card carry the caution all the same.
Why it matters: whoever reads the step's speed alone sets the dial to it.
Example: ``speed: 4000 rpm`` where the chuck allows 2,500. Use instead: a speed up to the ceiling,
or none, so that the ceiling alone is told.
"""

from __future__ import annotations

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.design.reading import Problem
from studio.measure.trace import spans
from studio.safety.caution import Caution
from studio.safety.rules import SPEED_OVER


def check(context: Context) -> Outcome:
    """A finding with the design's line for each speed over its ceiling."""
    return Outcome(
        findings=tuple(
            _finding(context, place, caution)
            for place, step in enumerate(context.episode.steps)
            for caution in step.cautions
            if caution.code == SPEED_OVER
        )
    )


def _finding(context: Context, place: int, caution: Caution) -> Finding:
    # the caution names the speed that was typed, and then its ceiling
    _, (asked, ceiling) = spans(caution.short)
    expected = f"{ceiling.text} at most, or no speed:"
    fault = context.read.place(Problem(("steps", place, "speed"), asked.text, expected))
    return Finding(
        code="speed-over-rule",
        severity=Severity.ERROR,
        where=str(fault.file),
        at=f"line {fault.line}, column {fault.column} ({fault.keys})",
        said=asked.text,
        expected=expected,
        measurement=ceiling.name,
    )
