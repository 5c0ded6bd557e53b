"""``missing-translation``: a text that a second language lacks.

What it does: names every text of the design that has no translation in a language that the folder
was built in, with its file and line; it stands there in the design's own language, marked as such.
Why it matters: a half-translated page is read by whoever cannot read the other half. Only a note.
Use instead: write the text into ``NAME.de.yaml`` beside the design (docs/languages.md).
"""

from __future__ import annotations

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.design.document import dotted
from studio.language import spoken


def check(context: Context) -> Outcome:
    """A note for each text of the design that is not there in the language."""
    return Outcome(
        findings=tuple(
            Finding(
                code="missing-translation",
                severity=Severity.NOTE,
                where=str(one.node.file),
                at=f"line {one.node.line}, column {one.node.column} ({dotted(one.keys)})",
                said=one.said,
                expected=f"its text in {spoken().name}: {one.write}",
            )
            for one in context.read.untranslated
        )
    )
