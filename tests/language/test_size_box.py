"""The size box of a German page: in the browser as in Python, to the letter."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest

from studio.compute.size_box import answer, judged, reply
from studio.episode.languages import in_languages
from studio.language import language_of, speaking
from studio.measure.trace import plain
from studio.paper import PAPERS
from studio.paper.javascript import javascript, value_text
from studio.paper.size_box import SAID
from studio.resources import shipped
from tests.browser import node
from tests.paper.test_size_box import cases, wanted_of


@pytest.mark.parametrize("name", ["globe", "lobed-globe"])
def test_the_browser_answers_in_german_as_python_does(name: str) -> None:
    """1,000 random diameters, every figure's texts, the answer and the reply."""
    _, german = in_languages(shipped("designs") / f"{name}.yaml", ["de"])
    wanted = wanted_of(german)
    asked = cases(1_000, seed=len(name))
    with speaking("de"):
        due = []
        for one in asked:
            found = answer(*one, wanted)
            due.append([*found, judged(found[1], found[2]), reply(*found, wanted)])
        formulas = javascript(answer, judged, reply)
    script = (
        f"{formulas}\nconst w = {value_text(wanted)};\n"
        f"console.log(JSON.stringify({value_text(asked)}.map((one) => {{\n"
        " const found = answer(...one, w);\n"
        " return [...found, judged(found[1], found[2]), reply(...found, w)]; })))"
    )
    done = subprocess.run(
        [node(), "-"], input=script, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    for one, mine, theirs in zip(
        asked, json.loads(json.dumps(due)), json.loads(done.stdout), strict=True
    ):
        assert theirs == mine, one
    said = {one[3].partition(",")[0] for one in due}
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
