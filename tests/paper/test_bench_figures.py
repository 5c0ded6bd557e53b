"""Every figure of the cut sheet's PDF can be read at arm's length: 18 points or larger."""

from __future__ import annotations

import re

import pytest

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.measure.trace import plain, spans
from studio.paper import cut_sheet
from studio.paper.pdfs import CUT_SHEET, PAGE_SHEET, pdf_sources
from studio.paper.typeset.press import pressed
from studio.resources import shipped
from tests.paper.printed import count, figures_of, set_in, squeezed, too_small

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


@pytest.mark.parametrize("name", ["globe", "lobed-globe"])
def test_what_a_bench_rule_leaves_and_what_a_seat_is_held_to_is_as_large(name: str) -> None:
    """Figures of a sentence that is no measurement's, each with its unit."""
    episode = open_episode(shipped("designs") / f"{name}.yaml")
    large = set_in(pdf_sources(episode, "A4")[CUT_SHEET].press(), LEAST)
    rules = [one.bench for step in episode.steps for one in step.shows if one.bench]
    # "less than 0.001 in": the figure alone
    told = [re.sub(r"^[^0-9]*", "", one) for rule in rules for pair in rule.pairs for one in pair]
    assert len(told) > 3
    if name == "lobed-globe":
        (limits,) = (
            one.text
            for schedule in episode.schedules
            for note in schedule.notes
            for one in spans(note)[1]
            if one.name == "limit:seat"
        )
        limits = re.findall(r"[0-9.]+ ?[%°]", limits)
        assert len(limits) > 2
        told += limits
    assert [one for one in told if not count(squeezed(one), large)] == []
