"""What commands print: results on stdout, everything else on stderr."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path


def say(text: str = "") -> None:
    """A line of result."""
    sys.stdout.write(f"{text}\n")


def note(text: str) -> None:
    """A line that is not the result: progress, notes, errors."""
    sys.stderr.write(f"{text}\n")
    sys.stderr.flush()


def say_json(value: object) -> None:
    """A result for another program."""
    say(json.dumps(value, ensure_ascii=False, indent=2))


def say_written(paths: Iterable[Path], notes: Sequence[str], as_json: bool) -> None:
    """The files that a command wrote, and its notes."""
    if as_json:
        say_json({"written": [str(path) for path in paths], "notes": list(notes)})
        return
    for path in paths:
        say(str(path))
    for text in notes:
        note(f"note: {text}")


def columns(rows: Sequence[Sequence[str]], gap: str = "  ") -> list[str]:
    """Rows as lines whose columns are aligned; the last column is left as long as it is."""
    if not rows:
        return []
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]) - 1)]
    return [
        gap.join([*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[-1]])
        for row in rows
    ]
