"""Every figure of the cut sheet's PDF can be read at arm's length: 18 points or larger."""

from __future__ import annotations

import pytest

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.measure.trace import plain
from studio.paper import cut_sheet
from studio.paper.pdfs import CUT_SHEET, PAGE_SHEET, pdf_sources
from studio.paper.typeset.press import pressed
from studio.resources import shipped
from tests.paper.printed import figures_of, set_in, too_small

LEAST = 18.0
"""Points: what the project asks of a sheet that hangs above the lathe."""


def wrong(episode: Episode, paper: str) -> dict[str, tuple[int, int]]:
    pdf = pdf_sources(episode, paper)[CUT_SHEET].press()
    return too_small(cut_sheet.render(episode), pdf, LEAST)


@pytest.mark.parametrize(
    ("name", "paper"), [("globe", "A4"), ("lobed-globe", "Letter"), ("crowned-globe", "Letter")]
)
def test_every_figure_of_a_shipped_design(name: str, paper: str) -> None:
    episode = open_episode(shipped("designs") / f"{name}.yaml")
    assert sum(figures_of(cut_sheet.render(episode)).values()) > 60
    assert wrong(episode, paper) == {}


@pytest.mark.parametrize(
    "name",
    ["inches", "many stations", "seven grooves", "largest, three grooves", "rings and grooves"],
)
def test_every_figure_of_other_designs(drawn: dict[str, Episode], name: str) -> None:
    """Long fractions, more stations than a sheet is high, large schedules, words with figures."""
    assert wrong(drawn[name], "Letter") == {}


def test_a_small_figure_would_be_found(episode: Episode) -> None:
    """In a schedule, in a note, on a drawing: one figure set as words is one that is missed."""
    marked = cut_sheet.render(episode)
    body = marked.replace('class="figure big"', 'class="step-tools"', 1)
    assert body != marked
    source = pdf_sources(episode, "A4", {"cut-sheet.html": plain(body).encode()})[CUT_SHEET]
    ((_, counts),) = too_small(marked, pressed(PAGE_SHEET, source.data), LEAST).items()
    assert counts[0] == counts[1] + 1


def test_the_handouts_figures_are_smaller(episode: Episode) -> None:
    """The reader tells sizes at all."""
    pdf = pdf_sources(episode, "A4")["handout.pdf"].press()
    assert too_small(cut_sheet.render(episode), pdf, LEAST)
    assert len(set_in(pdf, 8.0)) > 20 * len(set_in(pdf, LEAST))
