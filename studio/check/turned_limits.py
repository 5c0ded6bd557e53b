"""``turned-limit``: a text that tells a most as a least, or a least as a most.

What it does: looks at the words beside each name in a design's texts. Where the measurement is the
most that is allowed (a ceiling of speed) or the least (a wait between coats) and these words ask
for the opposite, that is an error; where they tell it without asking for it, a note. A condition or
a warning ("stop if it goes above …") is let be. Talk is judged by the same words
(``studio/said/bounds.py``), which English and German have.
Why it matters: the figure agrees everywhere, and whoever follows the sentence goes over it.
Example: ``Keep above {{ speed.rough }}``. Use instead: ``Keep below {{ speed.rough }}``.
"""

from __future__ import annotations

from collections.abc import Iterator

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.check.typed_numbers import design_texts
from studio.check.typed_words import TypedText
from studio.design.document import Keys
from studio.design.reading import Problem
from studio.language import spoken
from studio.said.bounds import Force, ToldBound, bound_of, told_turned
from studio.said.words import tokens_of


def check(context: Context) -> Outcome:
    """A finding with the design's line for each limit told the wrong way round."""
    table = context.episode.table
    return Outcome(
        findings=tuple(
            finding
            for keys, text in design_texts(context)
            for finding in _of_text(context, keys, TypedText.of(text, table))
        )
    )


def _of_text(context: Context, keys: Keys, text: TypedText) -> Iterator[Finding]:
    tokens = tokens_of(text.said)
    figures = [
        [at for at, one in enumerate(tokens) if start <= one.start and one.stop <= stop]
        for start, stop, _ in text.drawn
    ]
    taken = {at for figure in figures for at in figure}
    for (*_, name), figure in zip(text.drawn, figures, strict=True):
        if not figure:
            continue
        told = told_turned(tokens, figure[0], figure[-1] + 1, taken, name, spoken().tag)
        if told is not None and told.force in (Force.ORDERED, Force.MENTIONED):
            yield _finding(context, keys, text, name, told)


def _finding(context: Context, keys: Keys, text: TypedText, name: str, told: ToldBound) -> Finding:
    start, stop = text.in_words(told.start), text.in_words(told.stop - 1) + 1
    said = text.words[start:stop]
    bound = bound_of(name)
    assert bound is not None
    write = f"write “{told.instead}” for it" if told.instead else "tell it the other way round"
    expected = f"{context.episode.table[name].text} {bound.value}: {write}"
    problem = Problem(keys, said, expected, said, text.words[:start].count(said))
    fault = context.read.place(problem)
    return Finding(
        code="turned-limit",
        severity=Severity.ERROR if told.force is Force.ORDERED else Severity.NOTE,
        where=str(fault.file),
        at=f"line {fault.line}, column {fault.column} ({fault.keys})",
        said=said,
        expected=expected,
        measurement=name,
    )
