"""The episode as an article for a club's newsletter: as plain text and as Markdown."""

from __future__ import annotations

from studio.episode.records import Episode
from studio.paper.rendering import render as render_template


def render(episode: Episode) -> str:
    """The article as marked plain text, a paragraph a line: whoever sets it breaks the lines."""
    return render_template("newsletter.txt.j2", episode)


def render_markdown(episode: Episode) -> str:
    """The same as marked Markdown (CommonMark), with the piece's picture beside it."""
    return render_template("newsletter.md.j2", episode)
