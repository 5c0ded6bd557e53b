"""The sheet to hand round: one sheet of paper, its cautions whole, or a word on what to shorten."""

from __future__ import annotations

import io
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from pdfminer.high_level import extract_pages, extract_text
from pdfminer.layout import LTChar, LTContainer
from pypdf import PdfReader

from studio.commands.build import left_out
from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.measure.trace import plain
from studio.paper import demonstration, views
from studio.paper.pdfs import DEMONSTRATION, pdf_sources
from studio.resources import shipped

DESIGNS = ("globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe")
MOST_WORDS = 1_000
"""No sheet holds so many lines of credit."""

SMALLEST_PT = 7.0
"""Cautions are not set smaller than this."""


def squeezed(text: str) -> str:
    return "".join(text.replace("\u200b", "").split())


def pressed(episode: Episode, paper: str) -> bytes:
    return pdf_sources(episode, paper)[DEMONSTRATION].press()


def letters(pdf: bytes) -> list[LTChar]:
    found: list[LTChar] = []

    def walk(inside: object) -> None:
        for one in inside:  # type: ignore[attr-defined]
            if isinstance(one, LTChar):
                found.append(one)
            elif isinstance(one, LTContainer):
                walk(one)

    walk(extract_pages(io.BytesIO(pdf)))
    return found


def due(episode: Episode) -> list[str]:
    return [plain(one.caution.short) for one in views.cautions(episode)]


@pytest.mark.parametrize(("site", "asked"), [("https://example.org/moor/", False), ("", True)])
def test_the_sheet_says_where_the_whole_handout_is(site: str, asked: bool) -> None:
    episode = open_episode(shipped("designs") / "globe.yaml")
    page = plain(demonstration.render(replace(episode, site=site, links=())))
    assert ("https://example.org/moor/globe/index.html</a>" in page) is not asked
    assert ("Ask for it" in page) is asked


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", DESIGNS)
def test_one_sheet_with_every_caution(name: str, paper: str) -> None:
    """Pages counted by pypdf, words read by pdfminer.six."""
    episode = open_episode(shipped("designs") / f"{name}.yaml")
    pdf = pressed(episode, paper)
    assert len(PdfReader(io.BytesIO(pdf)).pages) == 1
    text = squeezed(extract_text(io.BytesIO(pdf)))
    for words in (*due(episode), episode.deference, episode.licence, episode.demo_note):
        assert squeezed(words) in text
    assert squeezed(episode.links[0].url) in text
    assert squeezed(episode.table["index.marks"].text) in text
    brief = demonstration.brief(episode)
    assert brief.drawing is not None
    assert len(brief.sizes) >= 6


def longest(episode: Episode) -> Episode:
    """As much credit as still fits by the lines counted."""

    def of(words: int) -> Episode:
        return replace(episode, credit="Words of credit. " * words)

    most = bisect_left(range(MOST_WORDS), True, key=lambda n: bool(demonstration.too_long(of(n))))
    assert 0 < most < MOST_WORDS
    return of(most - 1)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", DESIGNS)
def test_what_just_fits_is_one_sheet_that_can_be_read(name: str, paper: str) -> None:
    episode = longest(open_episode(shipped("designs") / f"{name}.yaml"))
    assert demonstration._lines(episode, demonstration.brief(episode)) > demonstration.LINES - 2
    pdf = pressed(episode, paper)
    assert len(PdfReader(io.BytesIO(pdf)).pages) == 1
    text = squeezed(extract_text(io.BytesIO(pdf)))
    assert all(squeezed(words) in text for words in due(episode))
    # the sizes of the letters after a caution's sign, none of the drawing's
    cautions = "Nothing loose near the work."
    said = "".join(one.get_text() for one in letters(pdf))
    at = squeezed(said).find(squeezed(cautions))
    assert at >= 0
    inked = [one for one in letters(pdf) if one.get_text().strip()]
    assert min(one.matrix[0] * one.fontsize if hasattr(one, "fontsize") else one.size
               for one in inked[at : at + len(squeezed(cautions))]) >= SMALLEST_PT  # fmt: skip


@pytest.mark.parametrize("kind", ["titles", "title", "many"])
def test_other_long_designs_fit_too(kind: str, crowned: Episode) -> None:
    title = "A long title of a piece and what it is for, "
    steps = crowned.steps
    changed = {
        "titles": replace(
            crowned, steps=tuple(replace(one, title=f"{title} {one.title}") for one in steps)
        ),
        "title": replace(crowned, title=title * 4),
        "many": replace(
            crowned,
            steps=tuple(
                replace(one, number=k, id=f"s{k}", chapter="")
                for k, one in enumerate((*steps, *steps, *steps), start=1)
            ),
        ),
    }[kind]
    assert demonstration.too_long(changed) == ""
    pdf = pressed(changed, "Letter")
    assert len(PdfReader(io.BytesIO(pdf)).pages) == 1
    text = squeezed(extract_text(io.BytesIO(pdf)))
    assert all(squeezed(words) in text for words in due(changed))


def test_hostile_and_bare_designs(
    hostile_episode: Episode, long_episode: Episode, wide_episode: Episode, episode: Episode
) -> None:
    for one in (hostile_episode, long_episode, wide_episode, episode):
        if demonstration.too_long(one):
            assert DEMONSTRATION not in pdf_sources(one, "A4")
            continue
        assert len(PdfReader(io.BytesIO(pressed(one, "Letter"))).pages) == 1


def test_what_does_not_fit_is_told_and_there_is_no_sheet(crowned: Episode) -> None:
    steps = tuple(
        replace(one, title="and one more word of the title " * 7) for one in crowned.steps
    )
    over = replace(crowned, steps=steps, credit="One more sentence of credit. " * 150)
    note = demonstration.too_long(over)
    assert "shorten the steps' titles and credit:" in note
    assert "cautions are never left out" in note
    assert left_out(over) == (note,)
    assert left_out(crowned) == ()
    assert DEMONSTRATION not in pdf_sources(over, "A4")
    page = plain(demonstration.render(over)).replace("\u00a0", " ")
    assert all(words in page for words in due(over))


@pytest.mark.parametrize(
    ("count", "chapters"), [(29, ()), (29, (1, 2, 3)), (60, range(1, 61, 2)), (19, (19,))]
)
def test_of_many_steps_those_told_reach_from_the_first_to_the_last(
    count: int, chapters: Sequence[int], globe: Path
) -> None:
    episode = open_episode(globe)
    steps = tuple(
        replace(
            episode.steps[0], number=number, id=f"s{number}",
            chapter="Part" if number in chapters else "",
        )
        for number in range(1, count + 1)
    )  # fmt: skip
    made = demonstration.brief(replace(episode, steps=steps))
    told = [step.number for step in made.steps]
    assert len(told) == demonstration.MOST_STEPS
    assert told == sorted(set(told))
    assert (told[0], told[-1], made.more) == (1, count, count - len(told))
    assert len(chapters) > len(told) or set(chapters) <= set(told)
    # no stretch is left out as a whole
    assert max(b - a for a, b in pairwise(told)) <= 2 * count / len(told)
