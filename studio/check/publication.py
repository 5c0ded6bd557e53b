"""``silent-change``: a published number that was changed without a word; ``other-film``.

What it does: lays the table against what viewers were told last, by the published record beside the
design and the corrections in it. ``other-film``: the film in the out folder is not the one that was
published; only a note.
Why it matters: whoever printed the handout still works to the old number.
Use instead: ``studio correct DESIGN --reason "why"``, or change the number back.
"""

from __future__ import annotations

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.episode.published import Record, film_digest, read_record, record_file
from studio.episode.stamps import day
from studio.film.reading_back import FILM
from studio.paper.description import without_corrections


def check(context: Context) -> Outcome:
    """Findings for every published number that is printed otherwise now."""
    design = context.episode.design_file
    record = read_record(design)
    if not record.publications:
        return Outcome()
    since = day(record.publications[-1].on)
    findings = [
        Finding(
            code="silent-change",
            severity=Severity.ERROR,
            where=str(design),
            at=f"published {since}",
            said=f"{change.label}: {change.new or '(not given any more)'}",
            expected=f"{change.old}, as viewers were told; if the new one is right, run "
            f'studio correct {design} --reason "why"',
            measurement=change.name,
        )
        for change in record.changed(context.episode, without_corrections(context.episode))
    ]
    return Outcome(findings=(*findings, *_film(context, record)))


def _film(context: Context, record: Record) -> tuple[Finding, ...]:
    told, film = record.publications[-1].film, context.out_dir / FILM
    try:
        if not told or film_digest(film) == told:
            return ()
    except OSError:
        return ()
    return (
        Finding(
            code="other-film",
            severity=Severity.NOTE,
            where=str(film),
            at="",
            said="(another film than the one that was published)",
            expected=f"the film that {record_file(context.episode.design_file).name} tells of; "
            "once this one is out, run studio publish again",
        ),
    )
