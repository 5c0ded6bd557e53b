"""The page for the bench: large figures in the order of the cuts, and room for a pencil."""

from __future__ import annotations

from studio.episode.records import Episode
from studio.paper.rendering import in_its_language, page_style
from studio.paper.rendering import render as render_template


@in_its_language
def render(episode: Episode) -> str:
    """The cut sheet as marked HTML: one file, no scripts, no outside requests."""
    return render_template(
        "cut-sheet.html.j2",
        episode,
        style=page_style(),
    )
