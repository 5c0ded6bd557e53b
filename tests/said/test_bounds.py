"""A ceiling told as a floor is wrong, however right its figure, and a wait told as the most too.

Which figures are ceilings its labels tell ("at most", "below", "at least"). That turners
talk so is common practice, no source; the sentences and the design are invented.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from studio.resources import shipped
from studio.said.agreeing import Verdict
from studio.said.bounds import Bound, bound_of
from studio.said.heard import judged_talk
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import Material, material_of

BALL = Path(__file__).parent / "designs" / "ball" / "ball.yaml"


@cache
def material(design: Path = BALL) -> Material:
    return material_of(design)


def judged(text: str, step: str | None) -> Judged:
    return judged_talk(Judge(material()), text, step)[-1]


@pytest.mark.parametrize("name", ["crowned-globe", "twelve-lobe-drop", "lobed-globe"])
def test_what_a_label_calls_a_limit_is_one(name: str) -> None:
    for one in material(shipped("designs") / f"{name}.yaml").meanings:
        label = one.measurement.label
        if label.endswith((", at most", ", below")) or "at most," in label:
            assert bound_of(one.name) is Bound.MOST, one.name
        elif label.endswith(", at least"):
            assert bound_of(one.name) is Bound.LEAST, one.name


@pytest.mark.parametrize(
    ("step", "text", "line"),
    [
        ("rough", "Keep above 800 rpm.", "Keep below 800 rpm."),
        ("rough", "keep it at least 800 rpm", "keep it at most 800 rpm"),
        ("rough", "Never under 800 rpm.", "Never over 800 rpm."),
        ("rough", "Never go slower than 800 rpm.", "Never go faster than 800 rpm."),
        ("rough", "Run it faster than 800 rpm.", "Run it slower than 800 rpm."),
        ("rough", "run it at 800 rpm and up", "run it at 800 rpm or less"),
        ("rough", "800 rpm or more", "800 rpm or less"),
        ("rough", "800 rpm minimum", "800 rpm maximum"),
        ("rough", "a minimum of 800 rpm", "a maximum of 800 rpm"),
        ("rough", "once it is mounted keep above 800 rpm", "once it is mounted keep below 800 rpm"),
        ("rough", "Don't drop below 800 rpm.", ""),
        # a wrong figure told the wrong way round too is mended in both
        ("rough", "Keep above 900 rpm.", "Keep below 800 rpm."),
        ("grooves", "stay above twelve hundred", "stay below twelve hundred"),
        ("octagon", "thin the ends above 1 1/32 in", "thin the ends below 1 1/32 in"),
        (None, "Wait at most six hours between coats.", "Wait at least six hours between coats."),
        (None, "Leave six hours between coats at most.", "Leave six hours between coats at least."),
    ],
)
def test_a_limit_said_the_wrong_way_round_is_wrong(step: str | None, text: str, line: str) -> None:
    one = judged(text, step)
    assert (one.verdict, one.mend) == (Verdict.WRONG, line)
    assert one.expected.endswith(("at most", "at least"))


@pytest.mark.parametrize(
    ("step", "text"),
    [
        ("rough", "Stay below 800 rpm."),
        ("rough", "Never above 800 rpm."),
        ("rough", "No more than 800 rpm."),
        ("rough", "800 rpm or less"),
        ("rough", "Don't let it get above 800 rpm."),
        ("rough", "Stop the lathe if it goes above 800 rpm."),
        ("rough", "Stop the lathe and never go above 800 rpm."),
        ("rough", "Anything above 800 rpm is too fast."),
        (None, "Wait at least six hours between coats."),
        (None, "Don't recoat in under six hours."),
        (None, "If you wait less than six hours between coats it clouds."),
    ],
)
def test_a_limit_said_the_right_way_round_or_of_a_case_is_right(
    step: str | None, text: str
) -> None:
    assert judged(text, step).verdict is Verdict.RIGHT


@pytest.mark.parametrize(
    "text", ["Above 800 rpm it shakes.", "You don't need to stay below 800 rpm."]
)
def test_what_is_neither_asked_for_nor_of_a_case_is_unclear(text: str) -> None:
    one = judged(text, "rough")
    assert (one.verdict, one.mend) == (Verdict.AMBIGUOUS, "")


def test_a_wrong_ceiling_to_go_above_later_has_no_line() -> None:
    """A higher ceiling in its words ("go above 2,200 rpm once …") would be unsafe."""
    one = judged("You can go above 900 rpm once it is round.", "rough")
    assert (one.verdict, one.mend) == (Verdict.WRONG, "")
    assert judged("You can go above 800 rpm once it is round.", "rough").mend == ""
    warned = judged("Stop the lathe if it goes above 900 rpm.", "rough")
    assert warned.mend == "Stop the lathe if it goes above 800 rpm."
