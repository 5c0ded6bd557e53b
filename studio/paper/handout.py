"""The viewer's page: what the piece is, its measurements, the steps and the cautions."""

from __future__ import annotations

from studio.episode.records import Episode
from studio.paper.rendering import render as render_template
from studio.paper.rendering import style


def render(episode: Episode) -> str:
    """The handout as marked HTML: one file, no scripts, no outside requests."""
    return render_template(
        "handout.html.j2",
        episode,
        style=style("paper.css"),
    )
