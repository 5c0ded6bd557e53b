"""``studio correct``: what changed since viewers were told, and why, goes on record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, replace
from datetime import date
from pathlib import Path

from studio.commands.telling import note, say, say_json
from studio.design.reading import load
from studio.episode.assemble import open_episode
from studio.episode.made_of import require_newest
from studio.episode.published import (
    LONGEST_REASON,
    as_text,
    read_record,
    record_file,
)
from studio.episode.records import Change
from studio.episode.told_keys import typed_keys
from studio.errors import BadInput, to_type
from studio.files import write_whole
from studio.paper.description import without_corrections


def correct(
    design: Path,
    reason: str | None,
    *,
    as_json: bool,
    out: Path | None = None,
    today: date | None = None,
) -> int:
    """Print what was published and has changed; with a reason, record it as a correction.

    Args:
        design: a design file that was published.
        reason: why; None prints only. 1 is returned then if anything has changed.
        as_json: print the result as JSON.
        out: folder of its outputs, which tells of an older copy of the record; None for
            ``build/<name>``.
        today: the day; None for the clock's.

    Raises:
        BadInput: the design has faults, was never published, its record is an older copy, or the
            reason cannot be printed.
        WorkFailed: the disk is full.
    """
    episode, record, file = open_episode(design), read_record(design), record_file(design)
    require_newest(out or Path("build") / design.stem, design, record)
    if not record.publications:
        raise BadInput.of(
            "this design has not been published, so nothing needs to be put right",
            f"change it as you like; studio publish {to_type(design)} records what viewers are "
            "told",
            file=design,
        )
    description = without_corrections(episode)
    changes = record.changed(episode, description)
    said = _fit(reason) if reason is not None else None
    if said is None or not changes:
        _tell(changes, as_json, recorded=False)
        if changes:
            note(f'not recorded yet: studio correct {to_type(design)} --reason "why"')
        return 1 if changes else 0
    day = today or date.today()
    new = record.correction(episode, description, said, day, typed_keys(load(design)))
    assert new is not None
    write_whole(file, as_text(replace(record, corrections=(*record.corrections, new))).encode())
    _tell(changes, as_json, recorded=True)
    note(f"{file}: recorded; now")
    note(
        f"    studio build {to_type(design)}   lists it in handout and description, writes "
        "correction.txt"
    )
    note("    studio burn …           brings it on screen, for a film that goes up anew")
    note("    correction.txt          is the text to pin under the film that is out")
    return 0


def _fit(reason: str) -> str:
    """The reason on one line, or what is wrong with it."""
    said = " ".join(reason.split())
    if not said or not said.isprintable() or len(said) > LONGEST_REASON:
        raise BadInput.of(
            f"a reason is 1 to {LONGEST_REASON} characters in plain letters"
            + (f"; this has {len(said)}" if len(said) > LONGEST_REASON else ""),
            'write it in a sentence: --reason "the callipers were read wrongly"',
        )
    return said


def _tell(changes: Sequence[Change], as_json: bool, *, recorded: bool) -> None:
    if as_json:
        say_json({"changes": [asdict(one) for one in changes], "recorded": recorded})
        return
    if not changes:
        say("nothing that was published has changed")
    for one in changes:
        say(f"{one.name}: {one.label}: {one.new or 'no longer given'}, not {one.old}")
