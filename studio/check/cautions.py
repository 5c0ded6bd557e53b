"""``missing-caution``: every hazard's caution on the papers and on screen.

What it does: looks on disk for each step's complete cautions in handout and cut sheet, for their
short form in description, newsletter, script and the sheets to hand round and for a batch, for the
deference in all but the script, and for each caution that is due on screen on an overlay of its
step. On a page words count that are shown and printed, not those that its markup hides.
``late-caution``: the film's marks leave a caution no four seconds on screen that begin within
its hazard's step.
Why it matters: a caution that is not seen protects nobody.
"""

from __future__ import annotations

from collections.abc import Iterator

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.check.papers import read_output
from studio.check.seen import not_there, seen, squeezed
from studio.episode.cards import due_cautions
from studio.film.overlays import FOLDER, read_record
from studio.measure.trace import plain

FULL = ("handout.html", "cut-sheet.html")
SHORT = (
    "description.txt", "script.md", "newsletter.txt", "newsletter.md", "batch.html",
    "demonstration.html",
)  # fmt: skip


def check(context: Context) -> Outcome:
    """Findings for every caution that is missing where it is due."""
    # cards are burnt into the film in the design's own language alone
    shown = () if context.tag else tuple(_on_screen(context))
    return Outcome(findings=(*_on_papers(context), *shown))


def _on_papers(context: Context) -> Iterator[Finding]:
    for file in (*FULL, *SHORT):
        name = context.name(file)
        found = read_output(context.out_dir / name)
        if found is None:
            continue
        text = seen(name, found)
        for step in context.episode.steps:
            for caution in step.cautions:
                due = squeezed(plain(caution.text if file in FULL else caution.short))
                if text.count(due) < _times_due(context, file, caution.code, due):
                    said, expected = not_there(name, found, due)
                    yield _missing(name, f"step {step.id}", expected, caution.code, said)
        deference = squeezed(context.episode.deference)
        if deference not in text and name != "script.md":
            said, expected = not_there(name, found, deference)
            yield _missing(name, "", expected, "deference", said)


def _times_due(context: Context, name: str, code: str, due: str) -> int:
    """Full cautions stand at each step that calls for them, short ones at least once."""
    if name not in FULL:
        return 1
    return sum(
        caution.code == code and squeezed(plain(caution.text)) == due
        for step in context.episode.steps
        for caution in step.cautions
    )


def _on_screen(context: Context) -> Iterator[Finding]:
    episode = context.episode
    shown: dict[str, set[str]] = {}
    for card in episode.cards:
        record = read_record(context.out_dir / FOLDER / card.file_name)
        if record is not None:
            shown.setdefault(record.step_id, set()).update(row.label for row in record.rows)
    for late in episode.late_cautions:
        yield Finding(
            code="late-caution",
            severity=Severity.ERROR,
            where=str(episode.design_file),
            at=f"film.marks, step {late.step_id}",
            said="(no four seconds on screen within the step)",
            expected=late.remedy,
            measurement=late.code,
        )
    told = {(late.step_id, late.code) for late in episode.late_cautions}
    for step, due in due_cautions(episode.steps, episode.chapters):
        for caution in due:
            if (step.id, caution.code) in told:
                continue
            if plain(caution.short) not in shown.get(step.id, set()):
                yield _missing(FOLDER, f"step {step.id}", plain(caution.short), caution.code)


def _missing(where: str, at: str, expected: str, code: str, said: str = "(not there)") -> Finding:
    return Finding(
        code="missing-caution",
        severity=Severity.ERROR,
        where=where,
        at=at,
        said=said,
        expected=expected,
        measurement=code,
    )
