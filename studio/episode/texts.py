"""A design's texts: names of measurements replaced by their printed text, and nothing else.

The syntax is Jinja's ``{{ sphere.set_in }}`` with a name between the braces and nothing else: no
filter, call, loop, test or literal. A design's text is never compiled, so there is nothing that a
stranger's design could run; and a text with names alone is the same text in Jinja.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from studio.design.document import Keys
from studio.design.reading import Problem
from studio.measure.measurement import Measurement, MeasurementTable, UnknownMeasurement
from studio.measure.speech import spoken_in_both
from studio.measure.trace import mark, plain


class Form(StrEnum):
    """How a measurement is printed where a text names it."""

    TEXT = "text"
    """The first system alone: what is said."""
    OTHER = "other"
    """The second system alone."""
    BOTH = "both"
    """Both systems: what papers print."""
    SPOKEN = "spoken"
    """The first system in words, as a voice says it."""
    BENCH = "bench"
    """What the bench rule gives, in the first system."""


@dataclass(frozen=True, slots=True)
class Name:
    """A measurement's name in a text, with the form asked for, if one was."""

    dotted: str
    written: str
    form: Form | None


_BRACES = re.compile(r"\{\{(?P<inside>.*?)\}\}|\{[{%#]|[}%#]\}", re.DOTALL)
_NAME = re.compile(r"[a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)*", re.IGNORECASE)
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
    at = 0
    for braces in _BRACES.finditer(text):
        if braces.start() > at:
            yield text[at : braces.start()]
        inside = braces["inside"]
        if inside is None:
            raise TextProblem("braces that open or close nothing", _HOW, braces[0])
        if not _NAME.fullmatch(inside.strip()):
            what = f"{{{{{inside[:40]}}}}} is not a measurement's name"
            raise TextProblem(what, f"{_HOW}; a text cannot compute", braces[0].splitlines()[0])
        yield _name(inside.strip())
        at = braces.end()
    if at < len(text):
        yield text[at:]


def _name(written: str) -> Name:
    stem, _, last = written.rpartition(".")
    if stem and last in set(Form):
        return Name(stem, written, Form(last))
    return Name(written, written, None)


def marked(
    measurement: Measurement, form: Form, *, aloud: bool = False, before_noun: bool = False
) -> str:
    """A measurement's text in ``form``, with the mark that traces it.

    Args:
        measurement: of the table.
        form: how it is told.
        aloud: in words, as a voice says it.
        before_noun: whether what it is the size of follows; only what is said is told otherwise.

    Raises:
        TextProblem: ``BENCH`` where the measurement has no bench rule.
    """
    readings = _readings(measurement, form)
    if aloud or form is Form.SPOKEN:
        return mark(
            f"spoken:{measurement.name}", spoken_in_both(*readings, before_noun=before_noun)
        )
    if form is Form.BENCH:
        return mark(f"bench:{measurement.name}", readings[0])
    if form is Form.OTHER:
        return measurement.marked_other() or measurement.marked()
    return measurement.marked_both() if form is Form.BOTH else measurement.marked()


def _readings(measurement: Measurement, form: Form) -> tuple[str, str]:
    """What a form tells of a measurement, in one system or in two; the second is empty for one.

    Raises:
        TextProblem: see :func:`marked`.
    """
    if form is Form.BENCH:
        if measurement.bench is None:
            raise TextProblem(
                f"{measurement.name} has no bench rule", f"write {{{{ {measurement.name} }}}}"
            )
        return measurement.bench.reading(measurement.first).text, ""
    if form is Form.OTHER:
        return measurement.other or measurement.text, ""
    return measurement.text, measurement.other if form is Form.BOTH else ""


def ways_to_say(measurement: Measurement) -> frozenset[str]:
    """All that a narration's mark of a measurement may say, in any form."""
    told = [form for form in Form if form is not Form.BENCH or measurement.bench is not None]
    return frozenset(
        plain(marked(measurement, form, aloud=True, before_noun=sized))
        for form in told
        for sized in (False, True)
    )


def filled(text: str, table: MeasurementTable, form: Form, *, aloud: bool = False) -> str:
    """The marked text with every name replaced.

    Args:
        text: as typed.
        table: of the design.
        form: where the text does not ask for one.
        aloud: every figure in words, as a voice says it.

    Raises:
        TextProblem: see :func:`parse`; an unknown name, with the nearest known ones.
    """
    out: list[str] = []
    pieces = list(parse(text))
    for place, piece in enumerate(pieces):
        if isinstance(piece, str):
            out.append(piece)
            continue
        try:
            measurement = table[piece.dotted]
        except UnknownMeasurement as unknown:
            raise _unknown(unknown, piece.written) from None
        near = (pieces[n] if 0 <= n < len(pieces) else "" for n in (place - 1, place + 1))
        before, after = (one if isinstance(one, str) else "" for one in near)
        sized = is_before_noun(before, after)
        out.append(marked(measurement, piece.form or form, aloud=aloud, before_noun=sized))
    return "".join(out)


def is_before_noun(before: str, after: str) -> bool:
    """Whether a size between two texts says which thing is meant: one says its unit of one then.

    >>> is_before_noun("Take the ", " cup."), is_before_noun("Mark the ", " of it.")
    (True, False)
    """
    return bool(_DETERMINED.search(before) and _NOUN.match(after))


_DETERMINED = re.compile(
    r"(?:^|\W)(?:the|a|an|this|that|your|my|our|each|every)\s+"
    r"(?:(?:[a-z]+ed|first|second|third|next|last|full|good|new|old|whole|same|other|rough|small|large"
    r"|little)\s+)?$",
    re.IGNORECASE,
)
_NOT_A_THING = (
    # which, and of whom
    "i you we he she it they this that these those your my our his her its their which who what"
    # how it stands to others
    " of from to in into at on by for with off over under above below up down between before after"
    " until till and or but so when as if while because than then"
    # what is done
    " is are was were be been has have had do does did must will would can could shall should may"
    " might goes go gets comes stays makes gives takes leaves stands"
    # how, when and how much
    " wide deep long high tall thick across apart proud square round left more less deeper wider"
    " longer thicker each both either alone first again here there now later too also only just"
    " once twice still already exactly together"
)
_NOUN = re.compile(rf"\s+(?!(?:{'|'.join(_NOT_A_THING.split())})\b)[a-z]")
"""Words between which a size says what is meant: "the 48 mm cup", but not "the 48 mm of it"."""


def _unknown(unknown: UnknownMeasurement, written: str) -> TextProblem:
    if unknown.instead:
        return TextProblem(f"this design has no {written}", unknown.instead, written)
    near = " or ".join(unknown.nearest)
    return TextProblem(
        f"there is no measurement {written!r}",
        f"did you mean {near}?" if near else "studio measure lists every name",
        written,
    )


@dataclass(slots=True)
class Filler:
    """Fills in a design's texts and collects every problem on the way.

    Names of an ``incomplete`` subject (or single name) are not missed: what stopped it is told
    already.
    """

    table: MeasurementTable
    incomplete: frozenset[str]
    problems: list[Problem]

    def measurement(self, name: str, *keys: str | int) -> Measurement | None:
        """The measurement called ``name``; None when there is none, which is noted."""
        try:
            return self.table[name]
        except UnknownMeasurement as unknown:
            if not self._excused(name):
                problem = _unknown(unknown, name)
                self.problems.append(Problem(keys, problem.what, problem.write))
            return None

    def teller(self, *keys: str | int) -> Callable[[str, str, str], None]:
        """A function that notes a problem of one key below ``keys``.

        It says nothing where a subject is incomplete, for that is told already and may be why.
        """

        def tell(key: str, what: str, write: str) -> None:
            if not self.incomplete:
                self.problems.append(Problem((*keys, key), what, write))

        return tell

    def _excused(self, name: str) -> bool:
        return name.partition(".")[0] in self.incomplete or name in self.incomplete

    def fill(self, text: str, form: Form, *keys: str | int) -> str:
        """The marked text, or the words as typed when there is a problem, which is noted.

        Every problem of the text is noted, not only the first.
        """
        try:
            return filled(text, self.table, form)
        except TextProblem:
            self.problems += [
                problem
                for problem in _all_problems(text, self.table, form, keys)
                if not self._excused(problem.needle)
            ]
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
