"""``typed-number``: a number typed by hand in a design's text.

What it does: looks for digits and number words in every text of a design that reaches an output.
English number words are found and judged as talk is (``studio/said``), each in its step, with what
the names beside it print: one that states something is an error, whether it is right or wrong; one
that is no measurement (``one at a time``) is passed over, as in talk. Digits, and number words that
the check of outputs would miss a source for, are errors wherever they stand.
Why it matters: a typed number does not follow when the design changes; it is how figures drift.
Example: ``say: mark in 17 mm from each corner``. Use instead: ``{{ sphere.set_in }}``, or put the
figure under ``values:`` and name it ``{{ value.NAME }}``. A measurement is offered where its unit
is typed too, or where talk would mean it: never for its digits alone (``in episode 12``). A credit
may hold years and names, and phrases listed under ``plain_words`` (ISO 7010, 3D print) are no
figures.

``number-word``: a number word that may be talk (``the other two``) or mean one of several; a note,
counted as neither traced nor untraced: whether it is a figure at all is the turner's to say. In
another language than English all number words without a unit are such: nothing there judges talk.

``unknown-figure``: a text names a figure (hexagon, hexadecagon, Sechseck …) that no round of this
sphere has.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.check.typed_words import TypedText, TypedWord, TypedWords
from studio.design.document import Keys
from studio.design.reading import Problem
from studio.language import FIRST, spoken
from studio.measure.german_numbers import figure_sides as german_figure_sides
from studio.measure.measurement import MeasurementTable
from studio.measure.numbers import Found, find_numbers
from studio.said.agreeing import Verdict
from studio.turning.sphere import figure_sides

_FIGURE_NAMES: dict[str, tuple[re.Pattern[str], Callable[[str], int | None]]] = {
    FIRST: (re.compile(r"\b[a-z]+(?:gon|gons)\b", re.IGNORECASE), figure_sides),
    "de": (re.compile(r"\b[a-zäöüß]+eck\w*", re.IGNORECASE), german_figure_sides),
}
"""In each language: words that may name a figure, and how many sides such a one has."""


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
    return check_texts(context, TypedWords(context) if spoken().tag == FIRST else None)


def check_texts(context: Context, talk: TypedWords | None) -> Outcome:
    """The same with a reader of number words at hand; without one they are not judged."""
    outcome = Outcome()
    for keys, text in design_texts(context):
        typed = TypedText.of(text, context.episode.table)
        if talk is None:
            outcome += _by_words_alone(context, keys, typed.words)
        else:
            outcome += _as_talk(context, keys, typed, talk)
        figures = _figures(context, keys, typed.words, context.episode.plain_words)
        outcome += Outcome(findings=tuple(figures))
    return outcome


def typed_figures(context: Context) -> frozenset[str]:
    """What outputs say of the numbers typed by hand, each told at its line already."""
    plain_words = context.episode.plain_words
    return frozenset(
        found.written
        for _, text in design_texts(context)
        for found in find_numbers(TypedText.of(text, context.episode.table).words, plain_words)
        if found.certain
    )


def _by_words_alone(context: Context, keys: Keys, words: str) -> Outcome:
    """Numbers of a text in a language in which nothing judges talk."""
    findings = []
    for found in find_numbers(words, context.episode.plain_words):
        if found.certain:
            findings.append(_typed(context, keys, words, found))
        else:
            nth = words[: found.start].count(found.written)
            expected = "if this is a figure, name a measurement; if it is talk, leave it"
            findings.append(_maybe(context, keys, found.written, expected, nth))
    return Outcome(findings=tuple(findings))


def _as_talk(context: Context, keys: Keys, text: TypedText, talk: TypedWords) -> Outcome:
    """Numbers of an English text: those that outputs would show untraced, and those of talk."""
    numbers = tuple(find_numbers(text.words, context.episode.plain_words))
    excused = set(find_numbers(text.words)) - set(numbers)
    heard = [
        one
        for one in talk.of(text, _step(context, keys))
        if not _stands_in(one, excused) or _stands_in(one, numbers)
    ]
    told: list[tuple[int, Finding]] = []
    untraced = 0
    figures = [found for found in numbers if found.certain]
    for found in figures:
        judged = next((one for one in heard if _stands_in(one, (found,))), None)
        told.append((found.start, _typed(context, keys, text.words, found, judged)))
    for one in heard:
        if one.silent or _stands_in(one, figures):
            continue
        # outputs show these words too, and nothing there counts them
        untraced += one.states
        written = text.words[one.start : one.stop]
        nth = text.words[: one.start].count(written)
        finding = (
            _typed(context, keys, text.words, Found(one.start, one.stop, written), one)
            if one.states
            else _maybe(context, keys, written, _may_mean(one), nth)
        )
        told.append((one.start, finding))
    for start, stop in text.portions():
        written = text.words[start:stop].strip()
        told.append((start, _portion(context, keys, written, text.words[:start].count(written))))
    for start, stop in text.every_other():
        written = text.words[start:stop]
        nth = text.words[:start].count(written)
        told.append((start, _maybe(context, keys, written, _IF_A_FIGURE, nth)))
    told.sort(key=lambda one: one[0])
    return Outcome(findings=tuple(finding for _, finding in told), untraced=untraced)


_IF_A_FIGURE = "if every second one is a figure, name a measurement; if it is talk, leave it"


def _portion(context: Context, keys: Keys, written: str, nth: int) -> Finding:
    """A word that makes another figure of a name's."""
    expected = (
        "name a measurement that is the figure meant, or put that under values: and name it "
        "{{ value.NAME }}"
    )
    return _finding(context, keys, "typed-number", written, expected, "", nth)


def _stands_in(one: TypedWord, numbers: Iterable[Found]) -> bool:
    """Whether any of the numbers stands where this one does."""
    return any(found.start < one.stop and one.start < found.stop for found in numbers)


def _step(context: Context, keys: Keys) -> str | None:
    if keys[0] != "steps":
        return None
    place = keys[1]
    assert isinstance(place, int)
    return context.read.design.steps[place].id


def _may_mean(one: TypedWord) -> str:
    """What to do about a number of which nobody knows whether it states something."""
    named = () if one.every else one.judged.candidates[:_MOST_CANDIDATES]
    could = " or ".join(f"{{{{ {name} }}}}" for name in named)
    return (
        f"if this is a figure, name what it means{f', perhaps {could}' if could else ''}; "
        "if it is talk, leave it, or put the phrase under plain_words:"
    )


_MOST_CANDIDATES = 3
"""So many measurements are named of those that a number may mean (ours)."""


def _maybe(context: Context, keys: Keys, written: str, expected: str, nth: int) -> Finding:
    return _finding(context, keys, "number-word", written, expected, "", nth, Severity.NOTE)


def _typed(
    context: Context,
    keys: Keys,
    words: str,
    found: Found,
    one: TypedWord | None = None,
) -> Finding:
    """A typed number, with what to write instead where its unit or the talk around it tells.

    Args:
        context: the design.
        keys: where its text stands.
        words: the text, its names left out.
        found: the number in it.
        one: what talk takes it for, where something judges that.
    """
    if one is not None and one.every:
        hint = _as_step(one)
        near = one.judged.measurement if hint else ""
    elif one is not None and one.states and one.judged.verdict is Verdict.WRONG:
        near = one.judged.candidates[0] if one.judged.due else one.judged.measurement
        hint = f"the design says {one.judged.expected}: write {{{{ {near} }}}}"
    else:
        near = _meant(one) or _with_its_unit(context.episode.table, words, found)
        hint = f"write {{{{ {near} }}}}" if near else ""
    expected = f"{hint or 'name a measurement'}, {_A_VALUE}{'' if hint else f', {_NO_FIGURE}'}"
    # the same digits may stand earlier in the text without being this number
    nth = words[: found.start].count(found.written)
    return _finding(context, keys, "typed-number", found.written, expected, near, nth)


_A_VALUE = "or put the figure under values: and name it {{ value.NAME }}"
_NO_FIGURE = "or, if it is none of the design's, put the phrase under plain_words:"


def _meant(one: TypedWord | None) -> str:
    """The measurement that talk takes a right figure for; empty where it is one by chance."""
    if one is None or not (one.states or one.judged.mention.value.denominator > 1):
        return ""
    return one.judged.measurement if one.judged.verdict is not Verdict.WRONG else ""


def _with_its_unit(table: MeasurementTable, words: str, found: Found) -> str:
    """The first measurement that is printed as the number is typed, unit or # and all."""
    for measurement in table.values():
        for text in (measurement.text, measurement.other):
            before, digits, unit = text.partition(found.written)
            if not digits or not (before or unit) or before.strip("#") or unit[:1].isdigit():
                continue
            near = rf"{re.escape(before)}{re.escape(digits)}[ -]?{re.escape(unit.strip())}(?!\w)"
            if re.compile(near).match(words, found.start - len(before)):
                return measurement.name
    return ""


def _as_step(one: TypedWord) -> str:
    """What to write for "every fifth stop": a bare count in its place would be no sentence.

    Empty where no stops are meant.
    """
    # how many stops to go from mark to mark, of the index plate or of another axis
    if not one.judged.measurement.rpartition(".")[2].startswith("stops"):
        return ""
    due = f"the design says {one.judged.expected}: " if one.judged.verdict is Verdict.WRONG else ""
    return f"{due}write “every {{{{ {one.judged.measurement} }}}} stops”"


def _figures(
    context: Context, keys: Keys, words: str, plain_words: tuple[str, ...]
) -> Iterator[Finding]:
    rounds = context.episode.table.group("sphere")
    turned = {int(m.value): m.text for m in rounds if m.name.startswith("sphere.figure_")}
    for phrase in plain_words:
        words = re.sub(re.escape(phrase), " ", words, flags=re.IGNORECASE)
    named, sides_of = _FIGURE_NAMES[spoken().tag]
    for match in named.finditer(words):
        sides = sides_of(match[0])
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
