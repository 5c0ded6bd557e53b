"""The narration: as a script with what is on screen, and in large type to read from."""

from __future__ import annotations

from studio.episode.records import Episode
from studio.paper.rendering import in_its_language, page_style
from studio.paper.rendering import render as render_template


@in_its_language
def render(episode: Episode) -> str:
    """The script as marked Markdown."""
    return render_template("script.md.j2", episode)


@in_its_language
def render_page(episode: Episode) -> str:
    """The narration alone in large type, to read from while filming, as marked HTML."""
    return render_template("reading.html.j2", episode, style=page_style())
