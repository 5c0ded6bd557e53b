"""The text under the film where it is shown: chapters, key measurements, cautions, links."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from studio.design.reading import Problem, load
from studio.episode.records import Episode
from studio.errors import BadInput
from studio.measure.trace import plain
from studio.paper.rendering import in_its_language, printed_by
from studio.paper.rendering import render as render_template

_TEMPLATE = "description.txt.j2"

LONGEST = 5_000
"""Bytes that a film's description may have where films are shown (common practice, from memory; the
stricter reading, since a sign may take several bytes)."""


@in_its_language
def render(episode: Episode) -> str:
    """The description as marked plain text.

    Of a correction it tells each figure that it prints itself, or no more than there is room for;
    and no more corrections than that, the newest first.

    Raises:
        BadInput: it would be longer than ``LONGEST`` bytes.
    """
    text = _set(episode, printed_by(_TEMPLATE, episode))
    for newest in range(len(episode.corrections), -1, -1):
        if _length(text) <= LONGEST:
            break
        text = _set(episode, newest=newest)
    if _length(text) > LONGEST:
        raise _too_long(episode, _length(text))
    return text


def _length(text: str) -> int:
    """Bytes of a marked text as it is written."""
    return len(plain(text).encode("utf-8"))


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


def _set(episode: Episode, printed: Collection[str] = (), newest: int | None = None) -> str:
    return render_template(_TEMPLATE, episode, printed=printed, newest=newest)
