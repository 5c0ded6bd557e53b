"""The viewer's page: what the piece is, the film, its measurements, the steps and the cautions.

It is the turner's own web page too, so it has what a paper has not: the piece's picture, the film
with its chapters (the chapters alone where no film lies beside the page), a switch between the
systems of units, and the figures for a viewer's own blank. All of it asks for nothing but the files
that lie beside it, and all but the last works without a script.
"""

from __future__ import annotations

from studio.episode.records import Episode
from studio.measure.trace import plain
from studio.paper import size_box
from studio.paper.inline import json_text, policy, scripts
from studio.paper.rendering import in_its_language, page_style, style
from studio.paper.rendering import render as render_template
from studio.paper.structured import PICTURE, about, beside, shows_film, structured_data
from studio.paper.systems import set_apart


@in_its_language
def render(episode: Episode, address: str = "") -> str:
    """The handout as marked HTML: one file, its script in it, no outside requests.

    Args:
        episode: what it tells; a player is on the page where its film lies beside it.
        address: the page's whole address, where that is known; what links to it shows is told then.
    """
    film = shows_film(episode)
    script = scripts(*(["player.js"] if film else []), *size_box.scripts(episode))
    page = render_template(
        "handout.html.j2",
        episode,
        style=page_style(),
        own_style=style("handout.css"),
        title=plain(episode.title),
        script=script,
        policy=policy(script),
        data=json_text(structured_data(episode, address)),
        about=about(episode),
        address=address,
        shown=beside(address, PICTURE),
        film=film,
        box=size_box.shown(episode),
    )
    return set_apart(page, episode.table)
