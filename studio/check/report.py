"""The report of a check as a page, for whoever would rather read than scroll."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio.check.findings import Finding, Outcome, Severity
from studio.episode.records import Episode
from studio.measure.trace import plain
from studio.paper.rendering import page_style
from studio.paper.rendering import render as render_template

FILE_NAME = "check.html"


@dataclass(frozen=True, slots=True)
class _Place:
    """A file and what was found in it."""

    where: str
    findings: tuple[Finding, ...]


def render(episode: Episode, outcome: Outcome) -> str:
    """The report as HTML: what is to be mended first, then notes, then hints, file by file."""
    errors = [one for one in outcome.findings if one.severity is Severity.ERROR]
    notes = [one for one in outcome.findings if one.severity is not Severity.ERROR]
    return plain(
        render_template(
            "check.html.j2",
            episode,
            errors=_by_file(errors),
            notes=_by_file(notes),
            hints=_by_file(outcome.hints),
            outcome=outcome,
            note_count=len(notes),
            style=page_style(),
        )
    )


def _by_file(findings: Sequence[Finding]) -> tuple[_Place, ...]:
    files = dict.fromkeys(one.where for one in findings)
    return tuple(
        _Place(where, tuple(one for one in findings if one.where == where)) for where in files
    )
