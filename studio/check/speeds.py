"""``speed-over-rule``: a step that asks for more than the rule, the lathe and the chuck allow.

What it does: finds each step of the design whose ``speed:`` lies over the ceiling that is printed
for its stage and part, and each text or card of it that names a higher ceiling, or a typed speed
that is higher, without the step's own. The papers and the card carry the caution all the same.
Why it matters: whoever reads the step's speed alone sets the dial to it.
Example: ``speed: 4000 rpm`` where the chuck allows 2,500; "keep below {{ speed.finish }}" in a
step that roughs. Use instead: a speed up to the ceiling, the name of the step's own, or none, so
that the ceiling alone is told.
"""

from __future__ import annotations

from collections.abc import Iterator

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.design.reading import Problem
from studio.episode.records import TimedStep
from studio.episode.told_texts import named_in
from studio.measure.measurement import Measurement
from studio.measure.trace import spans
from studio.safety.caution import Caution
from studio.safety.rules import SPEED, SPEED_OVER


def check(context: Context) -> Outcome:
    """A finding with the design's line for each speed over its ceiling."""
    return Outcome(
        findings=tuple(
            finding
            for place, step in enumerate(context.episode.steps)
            for caution in step.cautions
            for finding in _of_caution(context, place, step, caution)
        )
    )


def _of_caution(
    context: Context, place: int, step: TimedStep, caution: Caution
) -> Iterator[Finding]:
    """What a step asks for and names beside its caution of speed."""
    if caution.code not in (SPEED, SPEED_OVER):
        return
    # the caution names the speed that was typed, where one is over it, and then the ceiling
    *asked, limit = spans(caution.short)[1]
    for typed in asked:
        yield _finding(context, (place, "speed"), typed.text, limit.name, _ASKED)
    ceiling = context.episode.table[limit.name]
    for key, names in _named(step):
        told = [one for one in map(context.episode.table.get, names) if one is not None]
        speeds = [one for one in told if _rpm(one)]
        if any(_rpm(one) == _rpm(ceiling) for one in speeds):
            continue  # "below 620 while it is hollowed, 1,800 once it is whole"
        for one in speeds:
            if _rpm(one) > _rpm(ceiling):
                yield _finding(context, (place, key), one.text, limit.name, _NAMED)


_ASKED, _NAMED = "or no speed:", "write {{{{ {name} }}}}, beside it or instead"


def _named(step: TimedStep) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The measurements that the step's texts and its card name, by their keys."""
    yield "do", named_in(step.do)
    yield "say", named_in(step.say)
    yield "show", tuple(one.name for one in step.shows)


def _rpm(one: Measurement) -> float:
    """The printed figure of a speed of the spindle; 0 of what is none."""
    return one.metric.value if one.unit == "rpm" else 0.0


def _finding(
    context: Context, at: tuple[int, str], said: str, ceiling: str, instead: str
) -> Finding:
    limit = context.episode.table[ceiling].text
    expected = f"{limit} at most, {instead.format(name=ceiling)}"
    fault = context.read.place(Problem(("steps", *at), said, expected))
    return Finding(
        code="speed-over-rule",
        severity=Severity.ERROR,
        where=str(fault.file),
        at=f"line {fault.line}, column {fault.column} ({fault.keys})",
        said=said,
        expected=expected,
        measurement=ceiling,
    )
