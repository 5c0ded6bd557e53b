"""A figure said again means the same again, but not where the word right behind it tells otherwise.

"W wide, W deep" is the commonest slip of whoever reads two sizes off one line (common practice, no
source). The sentences and the design are invented.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from studio.said.agreeing import Verdict
from studio.said.heard import judged_talk
from studio.said.judging import Judge
from studio.said.material import material_of

BALL = Path(__file__).parent / "designs" / "ball" / "ball.yaml"


@cache
def judge() -> Judge:
    return Judge(material_of(BALL))


@pytest.mark.parametrize(
    ("text", "name", "line"),
    [
        ("a quarter wide, a quarter deep", "grooves.depth", "a sixteenth"),
        ("1/16 deep, 1/16 wide", "grooves.width", "1/4"),
    ],
)
def test_the_word_behind_a_repeated_figure_tells_what_it_is(
    text: str, name: str, line: str
) -> None:
    first, again = judged_talk(judge(), text, "grooves")
    assert first.verdict is Verdict.RIGHT
    assert (again.verdict, again.measurement) == (Verdict.WRONG, name)
    assert line in again.mend


@pytest.mark.parametrize("text", ["a quarter wide, a sixteenth deep", "1/16 deep, 1/4 wide"])
def test_two_right_sizes_are_right(text: str) -> None:
    assert {one.verdict for one in judged_talk(judge(), text, "grooves")} == {Verdict.RIGHT}


def test_without_a_pause_between_them_the_second_is_never_passed_as_right() -> None:
    again = judged_talk(judge(), "1/4 wide 1/4 deep", "grooves")[-1]
    assert again.verdict in (Verdict.WRONG, Verdict.AMBIGUOUS)
