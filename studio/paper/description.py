"""The text under the film where it is shown: chapters, key measurements, cautions, links."""

from __future__ import annotations

from studio.episode.records import Episode
from studio.errors import BadInput
from studio.measure.trace import plain
from studio.paper.rendering import render as render_template

LONGEST = 5_000
"""Bytes that a film's description may have where films are shown (common practice, from memory; the
stricter reading, since a sign may take several bytes)."""


def render(episode: Episode) -> str:
    """The description as marked plain text.

    Raises:
        BadInput: it would be longer than ``LONGEST`` bytes.
    """
    text = render_template("description.txt.j2", episode)
    length = len(plain(text).encode("utf-8"))
    if length > LONGEST:
        raise BadInput.of(
            f"the film's description comes to {length:,} bytes; hosts take {LONGEST:,}",
            f"shorten the summary, the credit or the links by {length - LONGEST:,} bytes, "
            "or let fewer measurements be shown on cards",
            file=episode.design_file,
        )
    return text
