"""What can go wrong, said so that a turner can mend it.

``StudioError``: base of all that a command reports without a traceback
    ``BadInput``: wrong use, a bad design, missing or unreadable input (exit 2)
    ``WorkFailed``: work that failed once begun (exit 1)
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path


def to_type(path: Path) -> str:
    """A path as it is typed behind a command: between quotation marks where it would fall apart.

    >>> print(to_type(Path("designs/globe.yaml")), to_type(Path("my designs/globe.yaml")))
    designs/globe.yaml 'my designs/globe.yaml'
    """
    # quotation marks that the prompt of the system takes off again; told seldom, so loaded late
    if os.name == "nt":
        from subprocess import list2cmdline

        return list2cmdline([str(path)])
    from shlex import quote

    return quote(str(path))


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong with something the turner gave us.

    Attributes:
        file: the file that holds the fault; None when it is not in a file.
        line: 1-based line, None when the fault belongs to the file as a whole.
        column: 1-based column, None with ``line``.
        keys: dotted path of keys down to the fault (``stock.diameter``), may be empty.
        what: what is wrong, with what was found.
        write: what to write or do instead.
    """

    file: Path | None = None
    line: int | None = None
    column: int | None = None
    keys: str = ""
    what: str
    write: str

    def __str__(self) -> str:
        place = str(self.file) if self.file is not None else ""
        if place and self.line is not None:
            place += f":{self.line}:{self.column}"
        parts = [place, self.keys, self.what]
        return ": ".join(part for part in parts if part) + f"\n    {self.write}"


class StudioError(Exception):
    """Base of every error that is told in words; ``exit_code`` is the command's exit code."""

    exit_code = 1


class BadInput(StudioError):
    """What was given cannot be used; ``faults`` holds every fault found in one run."""

    exit_code = 2

    def __init__(self, faults: Iterable[Fault]):
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))

    @classmethod
    def of(cls, what: str, write: str, *, file: Path | None = None) -> BadInput:
        """A single fault that has no line."""
        return cls([Fault(file=file, what=what, write=write)])


class WorkFailed(StudioError):
    """Work that was begun on good input could not be finished (full disk, encoder failure)."""
