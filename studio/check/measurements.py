"""``wrong-number``, ``missing-file``: the table as written for other programs.

What it does: compares ``measurements.json`` with the table made afresh, entry by entry.
Why it matters: scripts of the turner's own read this file.
Use instead of mending it: change the design and run ``studio build`` again.
"""

from __future__ import annotations

import json

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.check.papers import missing, read_output
from studio.measure.listing import FILE_NAME, records


def check(context: Context) -> Outcome:
    """Each measurement's record against a fresh one."""
    text = read_output(context.out_dir / FILE_NAME)
    if text is None:
        return Outcome(findings=(missing(FILE_NAME),))
    try:
        entries = json.loads(text)
        found = {str(entry["name"]): entry for entry in entries}
    except (ValueError, TypeError, KeyError, RecursionError):
        return Outcome(findings=(missing(FILE_NAME),))
    fresh = {str(record["name"]): record for record in records(context.episode.table)}
    if len(found) != len(entries):
        return Outcome(findings=(_doubled(entries),), untraced=len(entries))
    findings = [
        Finding(
            code="wrong-number",
            severity=Severity.ERROR,
            where=FILE_NAME,
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


def _doubled(entries: list[dict[str, object]]) -> Finding:
    names = [str(entry["name"]) for entry in entries]
    twice = next(name for name in names if names.count(name) > 1)
    return Finding(
        code="wrong-number",
        severity=Severity.ERROR,
        where=FILE_NAME,
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
