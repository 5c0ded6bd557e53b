"""``wrong-number``, ``missing-file``: the table as written for other programs.

What it does: compares ``measurements.json``, and ``batch.json`` where there is one, with the table
made afresh, entry by entry.
Why it matters: scripts of the turner's own read these files.
Use instead of mending it: change the design and run ``studio build`` again.
"""

from __future__ import annotations

import json

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.check.papers import missing, read_output
from studio.episode.batches import RECORD, batch_records
from studio.measure.listing import FILE_NAME, records


def check(context: Context) -> Outcome:
    """Each measurement's record against a fresh one."""
    outcome = _compared(context, FILE_NAME, records(context.episode.table))
    if context.episode.batch is not None:
        outcome += _compared(context, RECORD, batch_records(context.episode.batch))
    return outcome


def _compared(context: Context, file: str, ours: list[dict[str, object]]) -> Outcome:
    text = read_output(context.out_dir / file)
    if text is None:
        return Outcome(findings=(missing(file),))
    try:
        entries = json.loads(text)
        if file == RECORD:
            entries = entries["measurements"]
        found = {str(entry["name"]): entry for entry in entries}
    except (ValueError, TypeError, KeyError, RecursionError):
        return Outcome(findings=(missing(file),))
    fresh = {str(record["name"]): record for record in ours}
    if len(found) != len(entries):
        return Outcome(findings=(_doubled(file, entries),), untraced=len(entries))
    findings = [
        Finding(
            code="wrong-number",
            severity=Severity.ERROR,
            where=file,
            at=name,
            said=_told(found.get(name), fresh.get(name)),
            expected=_told(fresh.get(name), found.get(name)),
            measurement=name,
        )
        for name in dict.fromkeys((*fresh, *found))
        if found.get(name) != fresh.get(name)
    ]
    return Outcome(
        findings=tuple(findings), traced=len(found) - len(findings), untraced=len(findings)
    )


def _doubled(file: str, entries: list[dict[str, object]]) -> Finding:
    names = [str(entry["name"]) for entry in entries]
    twice = next(name for name in names if names.count(name) > 1)
    return Finding(
        code="wrong-number",
        severity=Severity.ERROR,
        where=file,
        at=twice,
        said="(two entries)",
        expected="one entry: run studio build again",
        measurement=twice,
    )


def _told(one: dict[str, object] | None, other: dict[str, object] | None) -> str:
    """The fields of ``one`` in which it differs from ``other``."""
    if one is None:
        return "(nothing)"
    different = {key: value for key, value in one.items() if (other or {}).get(key) != value}
    return ", ".join(f"{key}: {value}" for key, value in different.items()) or "(other keys)"
