"""A design's texts: names of measurements replaced by their printed text, and nothing else.

The syntax is Jinja's ``{{ sphere.set_in }}``, read by Jinja's own sandboxed parser. Only names are
let through: no filter, call, loop, test or literal can stand in a design's text, so there is
nothing that a stranger's design could run.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from jinja2 import TemplateSyntaxError, nodes
from jinja2.sandbox import SandboxedEnvironment

from studio.design.document import Keys
from studio.design.reading import Problem
from studio.measure.measurement import Measurement, MeasurementTable, UnknownMeasurement
from studio.measure.trace import mark


class Form(StrEnum):
    """How a measurement is printed where a text names it."""

    TEXT = "text"
    """The first system alone: what is said."""
    OTHER = "other"
    """The second system alone."""
    BOTH = "both"
    """Both systems: what papers print."""
    BENCH = "bench"
    """What the bench rule gives, in the first system."""


@dataclass(frozen=True, slots=True)
class Name:
    """A measurement's name in a text, with the form asked for, if one was."""

    dotted: str
    written: str
    form: Form | None


@cache
def _environment() -> SandboxedEnvironment:
    # without trim and lstrip, so that a text's own line breaks stay
    return SandboxedEnvironment(autoescape=False, keep_trailing_newline=True)


_HOW = "write {{ name }} with a measurement's name, such as {{ sphere.set_in }}"


class TextProblem(ValueError):
    """A text that cannot be filled in; ``needle`` is what to look for in the file."""

    def __init__(self, what: str, write: str, needle: str = ""):
        self.what = what
        self.write = write
        self.needle = needle
        super().__init__(what)


def parse(text: str) -> Iterator[str | Name]:
    """The text's pieces: words as they stand, and names of measurements.

    Raises:
        TextProblem: anything but words and names.
    """
    if "{" not in text:
        yield text
        return
    try:
        tree = _environment().parse(text)
    except TemplateSyntaxError as error:
        raise TextProblem(f"a text cannot be read: {error.message}", _HOW, "{") from None
    for statement in tree.body:
        if not isinstance(statement, nodes.Output):
            raise TextProblem("a text may only name measurements, not run anything", _HOW, "{%")
        for node in statement.nodes:
            if isinstance(node, nodes.TemplateData):
                yield node.data
            else:
                yield _name(node)


def _name(node: nodes.Node) -> Name:
    keys: list[str] = []
    while isinstance(node, nodes.Getattr):
        keys.insert(0, node.attr)
        node = node.node
    if not isinstance(node, nodes.Name):
        raise TextProblem("a text may only name measurements, not compute", _HOW, "{{")
    keys.insert(0, node.name)
    written = ".".join(keys)
    if len(keys) > 1 and keys[-1] in set(Form):
        return Name(".".join(keys[:-1]), written, Form(keys[-1]))
    return Name(written, written, None)


def marked(measurement: Measurement, form: Form) -> str:
    """A measurement's text in ``form``, with the mark that traces it.

    Raises:
        TextProblem: ``BENCH`` where the measurement has no bench rule.
    """
    if form is Form.BENCH:
        if measurement.bench is None:
            raise TextProblem(
                f"{measurement.name} has no bench rule", f"write {{{{ {measurement.name} }}}}"
            )
        reading = measurement.bench.reading(measurement.first)
        return mark(f"bench:{measurement.name}", reading.text)
    if form is Form.OTHER:
        return measurement.marked_other() or measurement.marked()
    return measurement.marked_both() if form is Form.BOTH else measurement.marked()


def filled(text: str, table: MeasurementTable, form: Form) -> str:
    """The marked text with every name replaced; ``form`` where the text does not ask for one.

    Raises:
        TextProblem: see :func:`parse`; an unknown name, with the nearest known ones.
    """
    out: list[str] = []
    for piece in parse(text):
        if isinstance(piece, str):
            out.append(piece)
            continue
        try:
            measurement = table[piece.dotted]
        except UnknownMeasurement as unknown:
            near = " or ".join(unknown.nearest)
            raise TextProblem(
                f"there is no measurement {piece.written!r}",
                f"did you mean {near}?" if near else "studio measure lists every name",
                piece.written,
            ) from None
        out.append(marked(measurement, piece.form or form))
    return "".join(out)


@dataclass(slots=True)
class Filler:
    """Fills in a design's texts and collects every problem on the way."""

    table: MeasurementTable
    problems: list[Problem]

    def fill(self, text: str, form: Form, *keys: str | int) -> str:
        """The marked text, or the words as typed when there is a problem, which is noted.

        Every problem of the text is noted, not only the first.
        """
        try:
            return filled(text, self.table, form)
        except TextProblem:
            for problem in _all_problems(text, self.table, form, keys):
                self.problems.append(problem)
            return text


def _all_problems(text: str, table: MeasurementTable, form: Form, keys: Keys) -> Iterator[Problem]:
    try:
        names = [piece for piece in parse(text) if isinstance(piece, Name)]
    except TextProblem as problem:
        yield Problem(keys, problem.what, problem.write, problem.needle)
        return
    for name in dict.fromkeys(names):
        try:
            filled("{{ " + name.written + " }}", table, form)
        except TextProblem as problem:
            yield Problem(keys, problem.what, problem.write, problem.needle)
