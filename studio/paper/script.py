"""The narration, to read aloud: what is said, and what is on the screen meanwhile."""

from __future__ import annotations

from studio.episode.records import Episode
from studio.paper.rendering import render as render_template


def render(episode: Episode) -> str:
    """The script as marked Markdown."""
    return render_template("script.md.j2", episode)
