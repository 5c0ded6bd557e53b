"""The short text to pin under a film that is out already: what is said wrong in it."""

from __future__ import annotations

from studio.episode.records import Episode
from studio.paper.rendering import in_its_language
from studio.paper.rendering import render as render_template

FILE_NAME = "correction.txt"


@in_its_language
def render(episode: Episode) -> str:
    """All corrections as marked plain text, newest first."""
    return render_template("correction.txt.j2", episode)
