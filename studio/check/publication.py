"""``silent-change``: a published number that was changed without a word; ``lost-record``,
``cut-record``; notes.

What it does: lays the table against what viewers were told last, by the published record beside the
design and the corrections in it. ``lost-record``: the out folder, or a record without a design,
tells that this design was published, and no record stands beside it. ``cut-record``: the record
lacks a publication or correction that the out folder tells of, so it is an older copy, or was cut
where nothing else shows it. Notes are ``moved-record``, a record of a design by another name, and
``other-film``: the film in the out folder is not the one that was published.
Why it matters: whoever printed the handout still works to the old number.
Use instead: ``studio correct DESIGN --reason "why"``, or change the number back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.episode.filmed import FILM
from studio.episode.made_of import not_on_record, published_of
from studio.episode.published import (
    Record,
    film_digest,
    read_record,
    record_file,
    records_alone,
)
from studio.episode.records import Change
from studio.episode.stamps import day
from studio.episode.told_places import places_of_change
from studio.errors import BadInput, Fault, to_type
from studio.measure.trace import plain
from studio.paper.description import without_corrections


def check(context: Context) -> Outcome:
    """Findings for every published number that is printed otherwise now."""
    design = context.episode.design_file
    record = read_record(design)
    if not record.publications:
        return Outcome(findings=tuple(_lost(context)))
    since, typed = day(record.publications[-1].on), record.typed()
    findings = [
        _silent(context, change, typed, since)
        for change in record.changed(context.episode, without_corrections(context.episode))
    ]
    return Outcome(
        findings=(
            *findings,
            *_cut(context, record),
            *_film(context, record),
            *_moved(context, record),
        )
    )


def _silent(context: Context, change: Change, typed: Mapping[str, str], since: str) -> Finding:
    design = context.episode.design_file
    said = f"{change.label}: {change.new or '(not given any more)'}"
    expected = (
        f"{change.old}, as viewers were told; if the new one is right, run "
        f'studio correct {to_type(design)} --reason "why"'
    )
    faults = places_of_change(context.read, change, said, expected, typed)
    if not faults:
        expected += "; nothing was typed otherwise since, so studio itself reckons it otherwise"
    return Finding(
        code="silent-change",
        severity=Severity.ERROR,
        where=str(faults[0].file if faults else design),
        at=", ".join([*_lines(faults), f"published {since}"]),
        said=said,
        expected=expected,
        measurement=change.name,
    )


_MOST_LINES = 3
"""More lines from which a figure may follow are only counted (ours)."""


def _lines(faults: Sequence[Fault]) -> Iterator[str]:
    """The lines in question; of another file than the first one's with its name."""
    told = [
        (f"{one.file.name} " if one.file and one.file != faults[0].file else "")
        + f"line {one.line} ({one.keys})"
        for one in faults[:_MOST_LINES]
    ]
    if len(faults) > _MOST_LINES:
        told.append(f"{len(faults) - _MOST_LINES} more")
    if told:
        yield " or ".join(told)


def _cut(context: Context, record: Record) -> Iterator[Finding]:
    """What tells that this design was published or put right later than its record says."""
    design = context.episode.design_file
    file, lacking = record_file(design), not_on_record(context.out_dir, design, record)
    if lacking:
        yield Finding(
            code="cut-record",
            severity=Severity.ERROR,
            where=str(file),
            at="",
            said=f"({lacking})",
            expected=f"the newest {file.name}: fetch it from your copies",
        )


def _lost(context: Context) -> Iterator[Finding]:
    """What tells that this design was published although it has no record."""
    episode = context.episode
    file = record_file(episode.design_file)
    on = published_of(context.out_dir, episode.design_file)
    if on:
        yield Finding(
            code="lost-record",
            severity=Severity.ERROR,
            where=str(file),
            at="",
            said=f"(no record, but what lies in {context.out_dir} was published on {day(on)})",
            expected=f"{file.name} beside the design: fetch it from your copies",
        )
    for design in records_alone(episode.design_file.parent):
        try:
            titles = {one.title for one in read_record(design).publications}
        except BadInput:
            titles = set()
        same = plain(episode.title) in titles
        yield Finding(
            code="lost-record",
            severity=Severity.ERROR if same else Severity.NOTE,
            where=str(record_file(design)),
            at="",
            said=f"(there is no {design.name} to this record, and no record to "
            f"{episode.design_file.name})",
            expected=f"if this design was called {design.stem} when it was published, call the "
            f"record {file.name}; if it was not, keep the record elsewhere",
        )


def _moved(context: Context, record: Record) -> tuple[Finding, ...]:
    told, design = record.publications[-1].name, context.episode.design_file
    if told == design.stem:
        return ()
    return (
        Finding(
            code="moved-record",
            severity=Severity.NOTE,
            where=str(record_file(design)),
            at="",
            said=f"(what was told of {told}.yaml)",
            expected=f"the record of {design.name}; nothing needs to be done if that is the same "
            "design by another name",
        ),
    )


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
