"""What a short's file is called; without the libraries that make one."""

from __future__ import annotations

from pathlib import Path

_PREFIX = "short-"


def file_name(step_id: str) -> str:
    """``short-mark-octagon.mp4``."""
    return f"{_PREFIX}{step_id}.mp4"


def step_of(path: Path) -> str | None:
    """The step that a short is of, by its file's name; None for any other file."""
    found = path.name.removeprefix(_PREFIX).removesuffix(".mp4")
    return found if file_name(found) == path.name and found else None


def shorts_in(folder: Path) -> list[Path]:
    """The shorts in an out folder, by name."""
    return sorted(path for path in folder.glob(f"{_PREFIX}*.mp4") if path.is_file())
