"""``studio compare``: what it takes to get from one episode to another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path

from studio.commands.telling import columns, say, say_json
from studio.episode.assemble import open_episode
from studio.episode.comparison import Comparison, Difference, compared
from studio.measure.subjects import heading


def compare(before: Path, after: Path, *, as_json: bool) -> int:
    """Print what differs between two designs.

    Raises:
        BadInput: one of them has faults.
    """
    comparison = compared(open_episode(before), open_episode(after))
    if as_json:
        say_json(asdict(comparison))
        return 0
    for line in _listing(comparison, before.stem, after.stem):
        say(line)
    return 0


def _listing(comparison: Comparison, before: str, after: str) -> list[str]:
    if comparison.is_same:
        return ["nothing differs"]
    lines = _differences(comparison.measurements, before, after)
    if comparison.sentences:
        lines += ["", "To be recorded again"]
        lines += [f"  {one.step_id}: {one.text}" for one in comparison.sentences]
    if comparison.footage:
        lines += ["", "Footage that no longer holds"]
        lines += [f"  {one.step_id}: {one.why}" for one in comparison.footage]
    if comparison.dropped:
        lines += ["", f"Steps left out: {', '.join(comparison.dropped)}"]
    return lines


def _differences(measurements: Sequence[Difference], before: str, after: str) -> list[str]:
    """Subject by subject; of a schedule only how many of its figures differ."""
    alone = [one for one in measurements if not one.schedule]
    rows = columns(
        [("", before, after), *((one.label, one.before or "–", one.after or "–") for one in alone)]
    )
    lines = ["Measurements", f"  {rows[0].rstrip()}"]
    # a number may be that of another ring in the other design, so a name may come twice
    row_of = {id(one): row for one, row in zip(alone, rows[1:], strict=True)}
    for subject in dict.fromkeys(one.subject for one in measurements):
        own = [one for one in measurements if one.subject == subject]
        lines += ["", f"  {heading(subject)}"]
        lines += [f"  {row_of[id(one)].rstrip()}" for one in own if not one.schedule]
        for schedule in dict.fromkeys(one.schedule for one in own if one.schedule):
            cells = [one for one in own if one.schedule == schedule]
            lines.append(f"  {schedule}: {_counted(cells, before, after)}")
    return lines


def _counted(cells: Sequence[Difference], before: str, after: str) -> str:
    alone = not any(one.in_both for one in cells)
    if alone and all(not one.before for one in cells):
        return f"only {after} has this table"
    if alone and all(not one.after for one in cells):
        return f"only {before} has this table"
    differ = "1 figure differs" if len(cells) == 1 else f"{len(cells)} figures differ"
    return f"{differ} (studio measure prints the table)"
