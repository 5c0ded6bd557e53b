"""``missing-translation``, ``other-figure``: a text that a second language lacks, or has otherwise.

What it does: names every text of the design that has no translation in a language that the folder
was built in, with its file and line; it stands there in the design's own language, marked as such.
Why it matters: a half-translated page is read by whoever cannot read the other half. Only a note.
Use instead: write the text into ``NAME.de.yaml`` beside the design (docs/languages.md).

``other-figure``: a translation draws other measurements than its original. One in another's place
is an error, one more or less a note: nobody but whoever reads both languages would see it, and the
published record holds the original alone.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.design.document import Keys, dotted
from studio.design.reading import Problem
from studio.episode.records import Episode
from studio.language import spoken
from studio.measure.trace import spans


def check(context: Context) -> Outcome:
    """What is not there in the language, and what says other figures there."""
    return Outcome(findings=(*_untranslated(context), *_otherwise(context)))


def _untranslated(context: Context) -> Iterator[Finding]:
    for one in context.read.untranslated:
        yield Finding(
            code="missing-translation",
            severity=Severity.NOTE,
            where=str(one.node.file),
            at=f"line {one.node.line}, column {one.node.column} ({dotted(one.keys)})",
            said=one.said,
            expected=f"its text in {spoken().name}: {one.write}",
        )


def _otherwise(context: Context) -> Iterator[Finding]:
    own = context.own
    if own is None:
        return
    originals = dict(_texts(own))
    for keys, text in _texts(context.episode):
        there, here = _drawn(own, originals.get(keys, "")), _drawn(context.episode, text)
        lost, gained = there - here, here - there
        if not lost and not gained:
            continue
        fault = context.read.place(Problem(keys, "", ""))
        instead = bool(lost and gained)
        yield Finding(
            code="other-figure",
            severity=Severity.ERROR if instead else Severity.NOTE,
            where=str(fault.file),
            at=f"line {fault.line} ({fault.keys})",
            said=f"draws {_named(here)}",
            expected=f"{_named(there)}, as in {context.read.file.name}",
            measurement=", ".join(sorted(lost or gained)),
        )


def _texts(episode: Episode) -> Iterator[tuple[Keys, str]]:
    """Every text of a design that is translated, with its keys."""
    yield ("title",), episode.title
    yield ("summary",), episode.summary
    for place, step in enumerate(episode.steps):
        for key, text in (("title", step.title), ("do", step.do), ("say", step.say)):
            yield ("steps", place, key), text


def _drawn(episode: Episode, marked: str) -> Counter[str]:
    """How many times each measurement is drawn in a text."""
    names = (span.name.rpartition(":")[2] for span in spans(marked)[1])
    return Counter(name for name in names if name in episode.table)


def _named(drawn: Counter[str]) -> str:
    names = (f"{n} × {name}" if n > 1 else name for name, n in sorted(drawn.items()))
    return ", ".join(names) or "no measurement"
