"""The sheet to hand round at a demonstration: one piece on one sheet of paper.

What stands on it is chosen here, by how much room it takes; cautions, credit and where the whole
handout is are never left out. Where even these do not fit, the reader of the build is told what to
shorten, and there is no sheet.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from studio.episode.records import Episode, TimedStep
from studio.measure.measurement import Measurement
from studio.measure.trace import plain
from studio.paper import views
from studio.paper.address import address_of
from studio.paper.drawings import Drawing, drawings_of
from studio.paper.markup import to_text
from studio.paper.rendering import in_its_language, page_style
from studio.paper.rendering import render as render_template

FILE_NAME = "demonstration.html"

MOST_SIZES = 10
"""Measurements on the sheet, beside the index marks (ours)."""

MOST_STEPS = 18
"""Steps told one by one; of more, those that begin a chapter and others spread between (ours)."""

_DRAWN = ("assembly", "grooves", "rings", "sphere")
"""Subjects whose drawing shows most of a piece, the best first; then whatever there is."""

_INDEX = ("index.marks", "index.plate", "index.stops", "index.angle", "index.chord")

LINES = 100.0
"""Lines of words, as counted here, that the smaller of the two sheets holds with its cautions set
in 7 points or more (ours; tried on sheets as set: these designs' come to 69 and 78)."""

_WIDE, _HALF, _TITLE = 125, 58, 42
"""Characters on a line of the whole width, of half of it, and of the title (ours, counted)."""


@dataclass(frozen=True, slots=True)
class Brief:
    """What stands on the sheet.

    Attributes:
        drawing: one, or None.
        sizes: the key measurements.
        index: what the index marks need; may be empty.
        steps: the order of cuts in short.
        more: how many steps it leaves out.
        cautions: every one, in short.
        address: where the handout lies on the turner's site; empty without one.
    """

    drawing: Drawing | None
    sizes: tuple[Measurement, ...]
    index: tuple[Measurement, ...]
    steps: tuple[TimedStep, ...]
    more: int
    cautions: tuple[views.Notice, ...]
    address: str = ""


def brief(episode: Episode) -> Brief:
    """What fits on the sheet, on either paper."""
    steps = _told(episode.steps)
    index = tuple(episode.table[name] for name in _INDEX if name in episode.table)
    shown = tuple(one for one in views.shown(episode) if one not in index)
    made = Brief(
        _drawing(episode), shown[:MOST_SIZES], index, steps, len(episode.steps) - len(steps),
        views.cautions(episode), address_of(episode),
    )  # fmt: skip
    # first fewer figures, then no drawing: what is left out stands in the handout
    for sizes in (8, 6, 4):
        if _lines(episode, made) > LINES:
            made = replace(made, sizes=made.sizes[:sizes])
    if _lines(episode, made) > LINES:
        made = replace(made, drawing=None)
    return made


def _told(steps: tuple[TimedStep, ...]) -> tuple[TimedStep, ...]:
    """As many steps as there is room for, from the first to the last."""
    if len(steps) <= MOST_STEPS:
        return steps
    ends = {steps[0].id, steps[-1].id}
    heads = [step for step in steps if step.chapter and step.id not in ends]
    told = ends | {step.id for step in _spread(heads, MOST_STEPS - len(ends))}
    others = [step for step in steps if step.id not in told]
    told |= {step.id for step in _spread(others, MOST_STEPS - len(told))}
    return tuple(step for step in steps if step.id in told)


def _spread(steps: Sequence[TimedStep], most: int) -> list[TimedStep]:
    """Up to ``most`` of the steps, evenly over all of them."""
    count = min(most, len(steps))
    return [steps[(2 * place + 1) * len(steps) // (2 * count)] for place in range(count)]


def too_long(episode: Episode) -> str:
    """What to shorten, as a note; empty where everything fits on one sheet."""
    over = _lines(episode, brief(episode)) - LINES
    if over <= 0:
        return ""
    longest = sorted(_parts(episode, brief(episode)).items(), key=lambda one: -one[1])
    named = " and ".join(name for name, lines in longest[:2] if lines > 1)
    return (
        f"the sheet to hand round does not fit on one sheet by {math.ceil(over)} lines, so there "
        f"is no PDF of it: shorten {named}; cautions are never left out"
    )


def _drawing(episode: Episode) -> Drawing | None:
    drawn = drawings_of(episode)
    for subject in _DRAWN:
        for one in drawn:
            if one.subject == subject:
                return one
    return drawn[0] if drawn else None


def _rows(text: str, width: int) -> int:
    return max(1, math.ceil(len(plain(text)) / width))


def _parts(episode: Episode, made: Brief) -> dict[str, float]:
    """Lines that each text of the design takes, by what a turner calls it."""
    credit = to_text(episode.credit) if episode.credit else ""
    return {
        "title:": 2.2 * _rows(episode.title, _TITLE),
        "the workshop's note:": float(_rows(episode.demo_note, _WIDE)),
        "the steps' titles": sum(1.25 * _rows(one.title, _HALF - 6) for one in made.steps) + 2.5,
        "the cautions' figures and parts' titles": 2.5
        + sum(1.2 * _rows(one.of + one.caution.short, _HALF - 6) for one in made.cautions) / 2,
        "credit:": float(sum(_rows(line, _WIDE) for line in credit.split("\n"))) + 1,
        "the workshop's links:": float(
            sum(_rows(one.label + one.url, _WIDE) for one in episode.links)
            + (_rows(made.address, _WIDE) if made.address else 0)
        ),
        "the workshop's name and licence": 2.0
        + _rows(episode.workshop, _WIDE) + _rows(episode.licence, _WIDE),
    }  # fmt: skip


def _lines(episode: Episode, made: Brief) -> float:
    """Lines that the sheet takes: two columns side by side, the rest over the whole width."""
    parts = _parts(episode, made)
    right = parts.pop("the steps' titles")
    right += 1.6 * len(made.index) + 2.5 * bool(made.index)
    left = sum(
        1.6 * _rows(f"{views.of_what(episode, one.name)}{one.label}", 30) for one in made.sizes
    )
    left += 2.5 + (14 if made.drawing is not None else 0)
    return sum(parts.values()) + max(left, right) + 8


@in_its_language
def render(episode: Episode) -> str:
    """The sheet as marked HTML: one file, no scripts, no outside requests."""
    return render_template(
        "demonstration.html.j2", episode, style=page_style(), brief=brief(episode)
    )
