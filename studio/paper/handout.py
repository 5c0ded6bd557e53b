"""The viewer's page: what the piece is, the film, its measurements, the steps and the cautions.

It is the turner's own web page too, so it has what a paper has not: the piece's picture, the film
with its chapters, a switch between the systems of units, and the figures for a viewer's own blank.
All of it asks for nothing but the files that lie beside it, and all but the last works without a
script.
"""

from __future__ import annotations

from studio.episode.records import Episode
from studio.measure.trace import plain
from studio.paper import size_box
from studio.paper.inline import json_text, policy, scripts
from studio.paper.looks import STYLE
from studio.paper.rendering import in_its_language, style
from studio.paper.rendering import render as render_template
from studio.paper.structured import about, structured_data
from studio.paper.systems import set_apart


@in_its_language
def render(episode: Episode) -> str:
    """The handout as marked HTML: one file, its script in it, no outside requests."""
    script = scripts("player.js", *size_box.scripts(episode))
    page = render_template(
        "handout.html.j2",
        episode,
        style=style(STYLE),
        own_style=style("handout.css"),
        title=plain(episode.title),
        script=script,
        policy=policy(script),
        data=json_text(structured_data(episode)),
        about=about(episode),
        film=episode.length_ms is not None,
        box=size_box.shown(episode),
    )
    return set_apart(page, episode.table)
