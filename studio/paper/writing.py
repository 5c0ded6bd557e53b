"""Every paper by its file name, and how they are written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from studio.episode.records import Episode
from studio.files import ready_folder, write_whole
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
    rendered = {out_dir / name: plain(render(episode)) for name, render in PAPERS.items()}
    ready_folder(out_dir)
    for path, text in rendered.items():
        write_whole(path, text.encode("utf-8"))
    return list(rendered)
