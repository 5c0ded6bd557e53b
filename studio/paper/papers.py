"""Every paper by its file name."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from studio.episode.languages import in_language
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


VIEWERS = ("handout.html", demonstration.FILE_NAME, "description.txt", "newsletter.txt",
           "newsletter.md")  # fmt: skip
"""Papers that are made in a second language too; the others are for whoever makes the film."""


def viewers_papers(episode: Episode) -> dict[str, Callable[[Episode], str]]:
    """The papers of an episode in a second language, by their own file names."""
    return {in_language(name, episode.language.tag): PAPERS[name] for name in VIEWERS}


def papers_of(episode: Episode) -> dict[str, Callable[[Episode], str]]:
    """The papers that are made of a design, by file name."""
    return {
        **PAPERS,
        **(CORRECTED if episode.corrections else {}),
        **(BATCH if episode.batch is not None else {}),
    }


def paper_files(
    episode: Episode, papers: Mapping[str, Callable[[Episode], str]] | None = None
) -> dict[str, bytes]:
    """Every paper as it is written, by file name.

    Args:
        episode: the design's.
        papers: which; all that are made of it, when left out.

    Raises:
        BadInput: a paper cannot be made from the design.
    """
    wanted = papers if papers is not None else papers_of(episode)
    return {name: plain(render(episode)).encode("utf-8") for name, render in wanted.items()}
