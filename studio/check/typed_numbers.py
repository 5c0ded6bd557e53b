"""``typed-number``: a number typed by hand in a design's text.

What it does: looks for digits and number words in every text of a design that reaches an output.
Why it matters: a typed number does not follow when the design changes; it is how figures drift.
Example: ``say: mark in 17 mm from each corner``. Use instead: ``{{ sphere.set_in }}``, or put the
figure under ``values:`` and name it ``{{ value.NAME }}``. A credit may hold years and names, and
phrases listed under ``plain_words`` (ISO 7010, 3D print) are no figures.

``number-word``: a number word that may be talk (``the other two``); only a note.

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
from studio.measure.numbers import Found, find_numbers
from studio.turning.sphere import figure_sides

_FIGURE = re.compile(r"\b[a-z]+(?:gon|gons)\b", re.IGNORECASE)


def design_texts(context: Context) -> Iterator[tuple[Keys, str]]:
    """Every text of the design that reaches a viewer, with its keys; credits left out."""
    design = context.read.design
    yield ("title",), design.title
    yield ("summary",), design.summary
    yield ("stock", "species"), design.stock.species
    yield ("workshop", "note"), design.workshop.note
    for place, link in enumerate(design.workshop.links):
        yield ("workshop", "links", place, "label"), link.label
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
    plain_words = context.episode.plain_words
    for keys, text in design_texts(context):
        # a name stands for its measurement; a blank keeps the words on both sides apart
        words = "".join(" ␣ " if isinstance(piece, Name) else piece for piece in parse(text))
        for found in find_numbers(words, plain_words):
            # the same digits may stand earlier in the text without being this number
            nth = words[: found.start].count(found.written)
            findings.append(_typed(context, keys, found, nth))
        findings += _figures(context, keys, words, plain_words)
    return Outcome(findings=tuple(findings))


def _typed(context: Context, keys: Keys, found: Found, nth: int) -> Finding:
    written = found.written
    if not found.certain:
        expected = "if this is a figure, name a measurement; if it is talk, leave it"
        return _finding(context, keys, "number-word", written, expected, "", nth, Severity.NOTE)
    near = _meant(context.episode.table, written)
    hint = f"write {{{{ {near} }}}}" if near else "name a measurement"
    expected = f"{hint}, or put the figure under values: and name it {{{{ value.NAME }}}}"
    return _finding(context, keys, "typed-number", written, expected, near, nth)


def _meant(table: MeasurementTable, written: str) -> str:
    """The first measurement whose printed text begins with what was typed; empty if none."""
    for measurement in table.values():
        texts = (measurement.text, measurement.other)
        if any(text == written or text.startswith(f"{written} ") for text in texts):
            return measurement.name
    return ""


def _figures(
    context: Context, keys: Keys, words: str, plain_words: tuple[str, ...]
) -> Iterator[Finding]:
    rounds = context.episode.table.group("sphere")
    turned = {int(m.value): m.text for m in rounds if m.name.startswith("sphere.figure_")}
    for phrase in plain_words:
        words = re.sub(re.escape(phrase), " ", words, flags=re.IGNORECASE)
    for match in _FIGURE.finditer(words):
        sides = figure_sides(match[0].lower()) or figure_sides(match[0].lower().rstrip("s"))
        if sides is not None and sides not in turned:
            expected = (
                f"the rounds of this sphere are {', '.join(turned.values())}; a thing that is "
                "called so (hexagon key) goes under plain_words:"
            )
            yield _finding(context, keys, "unknown-figure", match[0], expected, "")


def _finding(
    context: Context,
    keys: Keys,
    code: str,
    said: str,
    expected: str,
    measurement: str,
    nth: int = 0,
    severity: Severity = Severity.ERROR,
) -> Finding:
    fault = context.read.place(Problem(keys, said, expected, said, nth))
    return Finding(
        code=code,
        severity=severity,
        where=str(fault.file),
        at=f"line {fault.line}, column {fault.column} ({fault.keys})",
        said=said,
        expected=expected,
        measurement=measurement,
    )
