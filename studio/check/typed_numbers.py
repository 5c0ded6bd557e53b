"""``typed-number``: a number typed by hand in a design's text.

What it does: looks for digits and number words in every text of a design that reaches an output.
Why it matters: a typed number does not follow when the design changes; it is how figures drift.
Example: ``say: mark in 17 mm from each corner``. Use instead: ``{{ sphere.set_in }}``, or put the
figure under ``values:`` and name it ``{{ value.NAME }}``. A credit may hold years and names.

``unknown-figure``: a text names a figure (hexagon, hexadecagon …) that no round of this sphere has.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.design.document import Keys
from studio.design.reading import Problem
from studio.episode.texts import Name, parse
from studio.measure.measurement import MeasurementTable
from studio.measure.numbers import find_numbers
from studio.turning.sphere import figure_sides

_FIGURE = re.compile(r"\b[a-z]+(?:gon|gons)\b", re.IGNORECASE)


def design_texts(context: Context) -> Iterator[tuple[Keys, str]]:
    """Every text of the design that reaches a viewer, with its keys; credits left out."""
    design = context.read.design
    yield ("title",), design.title
    yield ("summary",), design.summary
    for place, step in enumerate(design.steps):
        keys = ("steps", place)
        yield (*keys, "title"), step.title
        yield (*keys, "chapter"), step.chapter or ""
        yield (*keys, "do"), step.do
        yield (*keys, "say"), step.say
        for number, tool in enumerate(step.tools):
            yield (*keys, "tools", number), tool


def check(context: Context) -> Outcome:
    """Findings with the design's line for each number typed by hand."""
    findings: list[Finding] = []
    for keys, text in design_texts(context):
        # a name stands for its measurement; a blank keeps the words on both sides apart
        words = "".join(" ␣ " if isinstance(piece, Name) else piece for piece in parse(text))
        for found in find_numbers(words):
            findings.append(_typed(context, keys, found.written))
        findings += _figures(context, keys, words)
    return Outcome(findings=tuple(findings))


def _typed(context: Context, keys: Keys, written: str) -> Finding:
    near = _meant(context.episode.table, written)
    hint = f"write {{{{ {near} }}}}" if near else "name a measurement"
    expected = f"{hint}, or put the figure under values: and name it {{{{ value.NAME }}}}"
    return _finding(context, keys, "typed-number", written, expected, near)


def _meant(table: MeasurementTable, written: str) -> str:
    """The first measurement whose printed text begins with what was typed; empty if none."""
    for measurement in table.values():
        texts = (measurement.text, measurement.other)
        if any(text == written or text.startswith(f"{written} ") for text in texts):
            return measurement.name
    return ""


def _figures(context: Context, keys: Keys, words: str) -> Iterator[Finding]:
    rounds = context.episode.table.group("sphere")
    turned = {int(m.value): m.text for m in rounds if m.name.startswith("sphere.figure_")}
    for match in _FIGURE.finditer(words):
        sides = figure_sides(match[0].lower()) or figure_sides(match[0].lower().rstrip("s"))
        if sides is not None and sides not in turned:
            expected = f"the rounds of this sphere are {', '.join(turned.values())}"
            yield _finding(context, keys, "unknown-figure", match[0], expected, "")


def _finding(
    context: Context, keys: Keys, code: str, said: str, expected: str, measurement: str
) -> Finding:
    fault = context.read.place(Problem(keys, said, expected, said.split("\n")[0]))
    return Finding(
        code=code,
        severity=Severity.ERROR,
        where=str(fault.file),
        at=f"line {fault.line}, column {fault.column} ({fault.keys})",
        said=said,
        expected=expected,
        measurement=measurement,
    )
