"""A rank that is said, "the third marks", tells which of those called alike a figure is of.

The sentences are invented; the design is a shipped one.
"""

from __future__ import annotations

from functools import cache

import pytest

from studio.resources import shipped
from studio.said.agreeing import Verdict
from studio.said.finding import find_mentions
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import RANKS, material_of


@cache
def judge() -> Judge:
    return Judge(material_of(shipped("designs") / "globe.yaml"))


def last(text: str, step: str | None = None) -> Judged:
    return judge().judge(text, find_mentions(text), step)[-1]


MARKS = (
    "The {rank} marks are tiny, only {v} mm from the corners.",
    "On the {rank} round the marks are {v} mm from the corner.",
    "the {rank} marks go {v} mm from every corner",
    "For the {rank} set of marks come in {v} mm from each corner.",
)
ROUNDS = (
    "After the {rank} round {v} mm stands proud.",
    "Before the {rank} round thin the ends to below {v} mm.",
)


@pytest.mark.parametrize("step", [None, "third-round"])
@pytest.mark.parametrize("wrong", ["4", "2.5", "5", "9"])
@pytest.mark.parametrize("saying", [*MARKS, *ROUNDS])
@pytest.mark.parametrize("rank", ["second", "third"])
def test_a_line_to_say_is_of_the_rank_that_was_said(
    saying: str, rank: str, wrong: str, step: str | None
) -> None:
    one = last(saying.format(rank=rank, v=wrong), step)
    names = filter(None, (one.measurement, *one.candidates))
    named = {judge().material.by_name[name].rank for name in names}
    assert named & RANKS <= {rank}, one
    if one.mend:
        assert judge().material.by_name[one.measurement].rank == rank, one


@pytest.mark.parametrize(("rank", "value"), [("second", "6.4"), ("third", "3")])
@pytest.mark.parametrize("saying", MARKS)
def test_the_figure_of_the_rank_is_right(saying: str, rank: str, value: str) -> None:
    one = last(saying.format(rank=rank, v=value))
    assert (one.verdict, one.measurement) == (Verdict.RIGHT, f"sphere.{rank}_mark")


def test_where_two_ranks_are_said_neither_rules_the_other_out() -> None:
    text = "The second marks are 6.4 mm from the corners, and the third 3 mm."
    found = judge().judge(text, find_mentions(text))
    assert [one.verdict for one in found] == [Verdict.RIGHT] * 2
