"""``studio compare``: what it takes to get from one episode to another."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

from studio.commands.telling import columns, say, say_json
from studio.episode.assemble import open_episode
from studio.episode.comparison import Comparison, compared


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
    rows = [("", before, after)]
    rows += [(one.label, one.before or "–", one.after or "–") for one in comparison.measurements]
    lines = ["Measurements", *(f"  {line}" for line in columns(rows))]
    if comparison.sentences:
        lines += ["", "To be recorded again"]
        lines += [f"  {one.step_id}: {one.text}" for one in comparison.sentences]
    if comparison.footage:
        lines += ["", "Footage that no longer holds"]
        lines += [f"  {one.step_id}: {one.why}" for one in comparison.footage]
    if comparison.dropped:
        lines += ["", f"Steps left out: {', '.join(comparison.dropped)}"]
    return lines
