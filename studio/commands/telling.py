"""What commands print: results on stdout, everything else on stderr."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from shutil import get_terminal_size
from textwrap import wrap
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from studio.episode.records import Episode

_NARROWEST = 30
"""Columns that a text keeps in however narrow a terminal (ours)."""


def say(text: str = "") -> None:
    """A line of result."""
    sys.stdout.write(f"{text}\n")


def say_under(head: str, text: str) -> None:
    """A line of result under another one; in a terminal broken between words, under its beginning.

    What goes into a file or another program stays one line.
    """
    head = f"    {head}: "
    if sys.stdout.isatty():
        width = max(get_terminal_size().columns - 1, len(head) + _NARROWEST)
        lines = wrap(text, width - len(head), break_long_words=False, break_on_hyphens=False)
    else:
        lines = [text]
    say(head + f"\n{' ' * len(head)}".join(lines))


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


def silently_changed(episode: Episode) -> tuple[str, ...]:
    """A note that what was published is told otherwise now; nothing when it is not."""
    if not episode.last_published:
        return ()
    from studio.episode.published import read_record
    from studio.episode.stamps import day
    from studio.errors import to_type
    from studio.paper.description import without_corrections

    design = episode.design_file
    changes = read_record(design).changed(episode, without_corrections(episode))
    if not changes:
        return ()
    many = "1 place" if len(changes) == 1 else f"{len(changes)} places"
    return (
        f"what was published on {day(episode.last_published)} differs now in {many}; studio check "
        f"{to_type(design)} tells which, studio correct {to_type(design)} --reason "
        '"why" records them',
    )


def columns(rows: Sequence[Sequence[str]], gap: str = "  ") -> list[str]:
    """Rows as lines whose columns are aligned; the last column is left as long as it is."""
    if not rows:
        return []
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]) - 1)]
    return [
        gap.join([*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[-1]])
        for row in rows
    ]
