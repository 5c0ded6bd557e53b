"""The sheet for a batch: boards, wire and finish for all, and the order of work."""

from __future__ import annotations

from studio.episode.batches import as_batch
from studio.episode.records import Episode
from studio.paper.rendering import in_its_language, page_style
from studio.paper.rendering import render as render_template

FILE_NAME = "batch.html"


@in_its_language
def render(episode: Episode) -> str:
    """The sheet as marked HTML: one file, no scripts, no outside requests.

    Raises:
        ValueError: the episode has no batch.
    """
    return render_template("batch.html.j2", as_batch(episode), style=page_style())
