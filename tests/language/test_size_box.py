"""The size box of a German page: in the browser as in Python, to the letter."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.episode.languages import in_languages
from studio.language import language_of, speaking
from studio.measure.trace import plain
from studio.paper import PAPERS
from studio.paper.javascript import value_text
from studio.paper.size_box import SAID
from studio.resources import shipped
from tests.paper.test_size_box import cases, said_alike, wanted_of


@pytest.mark.parametrize("name", ["globe", "lobed-globe"])
def test_the_browser_answers_in_german_as_python_does(name: str) -> None:
    """1,000 random diameters, every figure's texts, the answer and the reply."""
    _, german = in_languages(shipped("designs") / f"{name}.yaml", ["de"])
    with speaking("de"):
        said = said_alike(wanted_of(german), cases(1_000, seed=len(name)))
    assert {"Es passt.", "Es passt nicht"} <= said


def test_what_the_page_says_by_itself_is_german(globe: Path) -> None:
    _, german = in_languages(globe, ["de"])
    page = plain(PAPERS["handout.html"](german))
    for words in SAID:
        assert f'"{words}"' not in page
        assert value_text(language_of("de").messages[words]) in page
    assert "17,5 mm" in page
    first = plain(PAPERS["handout.html"](in_languages(globe, ["de"])[0]))
    assert "py.signs" not in first
