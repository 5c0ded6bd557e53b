"""A limit is meant where a word of a limit is said, else the size that it is a limit of.

A wall is 8 mm thick and comes out at 5.3 mm under the grooves: whoever says six of the wall is not
told to say 5.3. The design is shipped and invented; that turners talk so is common practice, no
source.
"""

from __future__ import annotations

from functools import cache

import pytest

from studio.resources import shipped
from studio.said.agreeing import Verdict
from studio.said.heard import judged_talk
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import material_of
from studio.said.vocabulary import trade_words


@cache
def judge() -> Judge:
    return Judge(material_of(shipped("designs") / "crowned-globe.yaml"))


def last(text: str, step: str | None) -> Judged:
    return judged_talk(judge(), text, step)[-1]


def test_every_limit_and_its_size_is_a_measurement() -> None:
    names = judge().material.by_name
    limits = trade_words().limits
    assert limits
    assert {*limits, *(one.of for one in limits.values())} <= names.keys()


@pytest.mark.parametrize(
    ("step", "text", "name"),
    [
        ("hollow", "leave a six millimetre wall all round", "hollow.wall"),
        ("hollow", "leave a wall of six millimetres", "hollow.wall"),
        ("hollow", "Leave 9 mm of wall.", "hollow.wall"),
        ("hollow", "a wall of 2.5 mm", "hollow.wall"),
        ("cut-grooves", "six grooves 7.2 wide 4.2 deep", "grooves.depth"),
        ("cut-grooves", "go 4.2 deep", "grooves.depth"),
        ("cut-grooves", "4.2 deep, the deepest at the equator", "grooves.depth"),
        ("cut-grooves", "Never stand in line; go 4.2 deep.", "grooves.depth"),
        ("cut-grooves", "cut twelve grooves", "grooves.number"),
    ],
)
def test_without_a_word_for_it_no_limit_is_meant(step: str, text: str, name: str) -> None:
    found = last(text, step)
    assert (found.verdict, found.measurement) == (Verdict.WRONG, name)
    due = judge().material.by_name[name].measurement.text
    limits = [
        judge().material.by_name[one].measurement.text
        for one, limit in trade_words().limits.items()
        if limit.of == name
    ]
    assert found.expected == due
    assert not any(limit in found.mend for limit in limits)


@pytest.mark.parametrize(
    ("step", "text", "name"),
    [
        ("cut-grooves", "the deepest that cutter goes is 4.2", "grooves.deepest"),
        ("cut-grooves", "never deeper than 4.2", "grooves.deepest"),
        ("cut-grooves", "4.2 is the most this cutter may go and leave a land", "grooves.deepest"),
        ("cut-grooves", "as many as twelve grooves would go on", "grooves.most"),
        ("hollow", "the wall never gets thinner than 5.3", "hollow.thinnest"),
        ("hollow", "under the grooves, the wall is 5.3 mm", "hollow.thinnest"),
        ("hollow", "2.5 mm is the thinnest I'd allow", "hollow.least_wall"),
        ("hollow", "leave an eight millimetre wall all round", "hollow.wall"),
        ("cut-grooves", "six grooves 7.2 wide 2.4 deep", "grooves.depth"),
    ],
)
def test_with_a_word_for_it_a_limit_is_right(step: str, text: str, name: str) -> None:
    found = last(text, step)
    assert (found.verdict, found.measurement) == (Verdict.RIGHT, name)


@pytest.mark.parametrize("step", ["hollow", None])
def test_a_limit_that_the_step_names_is_unclear_where_it_may_be_a_slip(step: str | None) -> None:
    found = last("you end up with a wall of 5.3 mm", step)
    assert found.verdict is Verdict.AMBIGUOUS
    assert {"hollow.thinnest", "hollow.wall"} <= set(found.candidates)


def test_no_line_is_given_where_words_leave_size_and_limit_open() -> None:
    found = last("leave at least 6 mm of wall", "hollow")
    assert (found.verdict, found.mend) == (Verdict.WRONG, "")
    assert last("the wall never gets thinner than 6.3", "hollow").mend == (
        "the wall never gets thinner than 5.3 mm"
    )


@pytest.mark.parametrize(
    "text", ["six wide three deep, go steady", "so it's six wide six deep, go steady"]
)
def test_two_bare_figures_are_given_no_limit_to_say(text: str) -> None:
    # 6 mm wide and 1.8 mm deep; the deepest that is allowed is 3.7 mm
    lobed = Judge(material_of(shipped("designs") / "lobed-globe.yaml"))
    width, depth = judged_talk(lobed, text, "cut-grooves")
    assert width.verdict is not Verdict.WRONG
    assert depth.verdict not in (Verdict.RIGHT, Verdict.ROUNDED)
    for one in (width, depth):
        assert "grooves.deepest" not in (one.measurement, *one.candidates)
        assert one.mend == ""
