"""The text under the film where it is shown: chapters, key measurements, cautions, links."""

from __future__ import annotations

from dataclasses import replace

from studio.design.reading import Problem, load
from studio.episode.records import Episode
from studio.errors import BadInput
from studio.measure.trace import plain
from studio.paper.rendering import in_its_language
from studio.paper.rendering import render as render_template

LONGEST = 5_000
"""Bytes that a film's description may have where films are shown (common practice, from memory; the
stricter reading, since a sign may take several bytes)."""


@in_its_language
def render(episode: Episode) -> str:
    """The description as marked plain text.

    Raises:
        BadInput: it would be longer than ``LONGEST`` bytes.
    """
    text = _set(episode)
    length = len(plain(text).encode("utf-8"))
    if length > LONGEST:
        raise _too_long(episode, length)
    return text


def _too_long(episode: Episode, length: int) -> BadInput:
    """The fault, at the longest of the texts that the turner wrote for the description."""
    texts = {
        "summary": episode.summary,
        "credit": episode.credit,
        "links": "".join(one.label + one.url for one in episode.links),
    }
    key = max(texts, key=lambda one: len(texts[one]))
    what = f"the film's description comes to {length:,} bytes; hosts take {LONGEST:,}"
    write = (
        f"shorten the summary, the credit or the links by {length - LONGEST:,} bytes, "
        "or let fewer measurements be shown on cards"
    )
    try:
        read = load(episode.design_file, episode.language.tag)
    except BadInput:
        return BadInput.of(what, write, file=episode.design_file)
    keys = next(
        (one for one in ((key,), ("workshop", key)) if read.tree.find(one)[1] == len(one)), ()
    )
    if not keys:
        return BadInput.of(what, write, file=episode.design_file)
    return BadInput([read.place(Problem(keys, what, write))])


def without_corrections(episode: Episode) -> str:
    """The same without its list of corrections: those the published record tells by itself."""
    return _set(replace(episode, corrections=()))


def _set(episode: Episode) -> str:
    return render_template("description.txt.j2", episode)
