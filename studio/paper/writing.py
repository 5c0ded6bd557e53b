"""Every paper by its file name, and how they are written."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from studio.episode.records import Episode
from studio.errors import BadInput, WorkFailed
from studio.measure.trace import plain
from studio.paper import cut_sheet, description, handout, script

PAPERS: dict[str, Callable[[Episode], str]] = {
    "handout.html": handout.render,
    "cut-sheet.html": cut_sheet.render,
    "script.md": script.render,
    "description.txt": description.render,
}
"""File name to what renders it as marked text; ``plain()`` of that is the file."""


def write_papers(episode: Episode, out_dir: Path) -> list[Path]:
    """Writes every paper into ``out_dir``, which is made when it is missing.

    All papers are rendered before the first is written, and each takes its final name only when
    it is whole.

    Returns:
        The files written, in the order of ``PAPERS``.

    Raises:
        BadInput: a paper cannot be made from the design, or the folder cannot be written.
        WorkFailed: the disk is full.
    """
    rendered = {name: plain(render(episode)) for name, render in PAPERS.items()}
    waiting: list[tuple[Path, Path]] = []
    try:
        out_dir.mkdir(parents=True, exist_ok=True)
        for name, text in rendered.items():
            part = out_dir / f".{name}.{os.getpid()}.part"
            waiting.append((part, out_dir / name))
            part.write_text(text, encoding="utf-8", newline="\n")
        for part, final in waiting:
            part.replace(final)
    except OSError as error:
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            raise WorkFailed(f"the disk is full: no room in {out_dir} for the papers") from error
        reason = (error.strerror or str(error)).lower()
        raise BadInput.of(
            f"the papers cannot be written into {out_dir}: {reason}",
            "choose a folder that you may write to, with --out",
        ) from error
    finally:
        for part, _ in waiting:
            with suppress(OSError):
                part.unlink(missing_ok=True)
    return [final for _, final in waiting]
