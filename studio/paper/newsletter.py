"""The episode as an article for a club's newsletter: as plain text and as Markdown."""

from __future__ import annotations

from studio.episode.records import Episode
from studio.paper.rendering import in_its_language, printed_by
from studio.paper.rendering import render as render_template


@in_its_language
def render(episode: Episode) -> str:
    """The article as marked plain text, a paragraph a line: whoever sets it breaks the lines."""
    return _set("newsletter.txt.j2", episode)


@in_its_language
def render_markdown(episode: Episode) -> str:
    """The same as marked Markdown (CommonMark), with the piece's picture beside it."""
    return _set("newsletter.md.j2", episode)


def _set(template: str, episode: Episode) -> str:
    return render_template(template, episode, printed=printed_by(template, episode))
