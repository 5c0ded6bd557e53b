"""Every paper by its file name."""

from __future__ import annotations

from collections.abc import Callable

from studio.episode.records import Episode
from studio.measure.trace import plain
from studio.paper import (
    batch,
    correction,
    cut_sheet,
    demonstration,
    description,
    handout,
    newsletter,
    script,
)

PAPERS: dict[str, Callable[[Episode], str]] = {
    "handout.html": handout.render,
    "cut-sheet.html": cut_sheet.render,
    demonstration.FILE_NAME: demonstration.render,
    "script.md": script.render,
    "reading.html": script.render_page,
    "description.txt": description.render,
    "newsletter.txt": newsletter.render,
    "newsletter.md": newsletter.render_markdown,
}
"""File name to what renders it as marked text; ``plain()`` of that is the file."""

CORRECTED: dict[str, Callable[[Episode], str]] = {correction.FILE_NAME: correction.render}
"""The same, of papers that are only made once something was corrected."""


BATCH: dict[str, Callable[[Episode], str]] = {batch.FILE_NAME: batch.render}
"""The same, of papers that are only made where a batch is asked for."""


def papers_of(episode: Episode) -> dict[str, Callable[[Episode], str]]:
    """The papers that are made of a design, by file name."""
    return {
        **PAPERS,
        **(CORRECTED if episode.corrections else {}),
        **(BATCH if episode.batch is not None else {}),
    }


def paper_files(episode: Episode) -> dict[str, bytes]:
    """Every paper as it is written, by file name.

    Raises:
        BadInput: a paper cannot be made from the design.
    """
    return {
        name: plain(render(episode)).encode("utf-8") for name, render in papers_of(episode).items()
    }
