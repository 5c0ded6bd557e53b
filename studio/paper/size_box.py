"""The box for a viewer's own blank: what it shows at once, and what the browser runs.

Nothing is computed here: the figures come with the episode, and the script is the episode's own
formulas (:mod:`studio.compute.size_box`), translated.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from studio.compute.indexing import STOPS_LABEL
from studio.compute.size_box import (
    Figure,
    Row,
    SizeBox,
    Wanted,
    answer,
    judged,
    reply,
    worth_showing,
)
from studio.compute.typed_size import LONGEST, typed_size, typed_stops
from studio.episode.records import Episode
from studio.language import later, spoken, tr
from studio.measure.measurement import System
from studio.paper.javascript import javascript, value_text
from studio.paper.unbroken import pattern

CELLS = (
    "sphere.diameter",
    "sphere.octagon_side",
    "sphere.set_in",
    "stock.section",
    "stock.length",
    "speed.rough",
)
"""What the table of common blanks tells, in the order of its columns."""

GLUE = "size-box.js"
"""What lays the fields and the answer out."""

Pair = tuple[str, str]
"""A text in the first system and in the other; the second is empty where they are the same."""


@dataclass(frozen=True, slots=True)
class ShownRow:
    """A common blank as the table has it.

    Attributes:
        cells: two texts and a name for each column.
        rims: those that hold it: two texts, and whether only weakly.
        reason: why it does not fit on any; empty where it does.
    """

    cells: tuple[tuple[str, str, str], ...]
    rims: tuple[tuple[str, str, bool], ...]
    reason: str


@dataclass(frozen=True, slots=True)
class Shown:
    """The box as the page has it before anything is typed."""

    wanted: Wanted
    width: Pair
    longest: int
    rims: tuple[Pair, ...]
    rows: tuple[ShownRow, ...]
    reply: str


def shown(episode: Episode) -> Shown | None:
    """What the page shows of the box; None for a design without a ball."""
    box = episode.box
    if box is None:
        return None
    first = episode.first
    width = episode.table.get("grooves.width")
    return Shown(
        wanted=box.wanted,
        width=(width.text, width.other) if width is not None else ("", ""),
        longest=LONGEST,
        rims=tuple(_pair(one, first) for one in box.rims),
        rows=tuple(_row(one, box, first) for one in box.rows),
        reply=box.reply,
    )


def _pair(figure: Figure, first: System) -> Pair:
    _, metric, imperial = figure
    mine, other = (metric, imperial) if first is System.METRIC else (imperial, metric)
    return mine, "" if mine == other else other


def _row(row: Row, box: SizeBox, first: System) -> ShownRow:
    by_name = {one[0]: one for one in row.figures}
    cells = tuple((*_pair(by_name[name], first), name) for name in CELLS)
    held = tuple(
        (*_pair(rim, first), word == "weak")
        for rim, word in zip(box.rims, row.rims, strict=False)
        if word in ("holds", "weak")
    )
    return ShownRow(cells, held, "; ".join(row.reasons))


def scripts(episode: Episode) -> tuple[str, ...]:
    """What the page runs for the box, one behind another; nothing without one."""
    box = episode.box
    if box is None:
        return ()
    labels = _labels(box, episode)
    told = ",".join(f"{value_text(name)}:{value_text(label)}" for name, label in labels.items())
    parts = {
        "wanted": value_text(box.wanted),
        "blank": value_text(box.blank),
        "typed": value_text(box.typed),
        "plate": value_text(box.plate),
        "labels": f"{{{told}}}",
        "whole": value_text(pattern()),
    }
    data = ",".join(f"{key}:{text}" for key, text in parts.items())
    return _formulas(spoken().tag), f"const box = {{{data}}};", GLUE


def _labels(box: SizeBox, episode: Episode) -> dict[str, str]:
    """What each figure of an answer is called."""
    table = episode.table
    labels = {name: one.label for name, _, _ in box.own if (one := table.get(name)) is not None}
    # a viewer may have a plate where the design has none
    return {"index.stops": tr(STOPS_LABEL)} | labels


SAID = (
    later("This size cannot be computed."),
    later("Type the diameter of your blank."),
    later("Copied."),
)
"""What ``GLUE`` says; in another language it is put in its place."""


@cache
def _formulas(language: str) -> str:
    return javascript(answer, judged, reply, worth_showing, typed_size, typed_stops)
