"""Places in a row said by their number, beside the count that the design prints of that row.

That a turner calls the marks and stops by their numbers is common practice, no source. The
sentences are invented; the designs are shipped ones.
"""

from __future__ import annotations

from functools import cache

import pytest

from studio.resources import shipped
from studio.said.agreeing import Verdict
from studio.said.finding import find_mentions
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import material_of


@cache
def judge(design: str) -> Judge:
    return Judge(material_of(shipped("designs") / f"{design}.yaml"))


def judged(text: str, design: str = "globe") -> tuple[Judged, ...]:
    return judge(design).judge(text, find_mentions(text))


def count(name: str) -> int:
    return int(judge("globe").material.by_name[name].measurement.value)


MARKS = (
    "Now mark {v}.",
    "Mark number {v} is next.",
    "Draw the line at mark {v}.",
    "Then the {v}th mark.",
)
STOPS = (
    "Lock the plate on stop {v} and draw.",
    "Turn on to stop number {v}.",
    "Put the pin in the {v}th hole.",
    "We are at hole {v} of the plate now.",
    "and now at stop {v}",
)
ROWS = [*((one, "index.marks") for one in MARKS), *((one, "index.plate") for one in STOPS)]


@pytest.mark.parametrize(("saying", "row"), ROWS)
def test_each_place_of_a_row_may_be_said(saying: str, row: str) -> None:
    for place in range(4, count(row) + 1):
        for one in judged(saying.format(v=place)):
            assert one.verdict not in (Verdict.WRONG, Verdict.AMBIGUOUS), one


@pytest.mark.parametrize(("saying", "row"), ROWS)
def test_a_place_beyond_the_row_is_wrong_and_nobody_guesses_which_was_meant(
    saying: str, row: str
) -> None:
    for beyond in (1, 6):
        one, *_ = judged(saying.format(v=count(row) + beyond))
        assert (one.verdict, one.measurement, one.mend) == (Verdict.WRONG, row, "")


@pytest.mark.parametrize(
    ("text", "verdicts"),
    [
        ("Every third stop.", "wrong"),
        ("every fifth hole in the plate", "wrong"),
        ("Two stops from mark to mark.", "right"),
        ("Every second stop.", "right"),
        ("Nine marks around.", "wrong"),
        ("The plate has 36 stops.", "wrong"),
        ("Mark three, with the hole 14 mm deep.", "none wrong"),
    ],
)
def test_a_count_or_a_way_to_go_is_none(text: str, verdicts: str) -> None:
    assert [str(one.verdict) for one in judged(text)] == verdicts.split()


def test_where_the_places_themselves_are_printed_another_one_is_wrong() -> None:
    by_name = judge("crowned-globe").material.by_name
    due = int(by_name["axis.head_3"].measurement.value)
    text = "Groove 3: mark {} to the headstock."
    assert [str(one.verdict) for one in judged(text.format(due), "crowned-globe")] == [
        "right",
        "right",
    ]
    _, wrong = judged(text.format(due + 1), "crowned-globe")
    assert (wrong.verdict, wrong.measurement) == (Verdict.WRONG, "axis.head_3")


def test_marks_of_an_axis_are_right_in_whichever_order_they_are_said() -> None:
    text = "Mark two is opposite mark eight."
    found = judge("crowned-globe").judge(text, find_mentions(text), "cut-grooves")
    assert [(str(one.verdict), one.measurement) for one in found] == [("right", "axis.marks_2")] * 2
