"""Speeds said: above the ceiling in hand never in silence, below it no error.

What the design prints of speeds is the most that is allowed; that slower is no error is common
practice, no source. The sentences are invented; the design is the shipped one with grooves.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest

from studio.resources import shipped
from studio.said.agreeing import Verdict
from studio.said.ceilings import ceiling_rpm
from studio.said.finding import find_mentions
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import material_of


@cache
def judge() -> Judge:
    return Judge(material_of(shipped("designs") / "lobed-globe.yaml"))


def judged(text: str, step: str | None) -> tuple[Judged, ...]:
    return judge().judge(text, find_mentions(text), step)


def ceiling(name: str) -> Fraction:
    return ceiling_rpm(judge().material.by_name[name])


SAYINGS = (
    "I have the dial at {v} rpm.",
    "The lathe is at {v} rpm now.",
    "My lathe spins at {v} rpm for this part.",
    "so here i would not be shy of {v} rpm",
    "{v} revs and a light touch",
)
STAGES = {
    "rough": "speed.rough", "cut-octagon": "speed.general", "cut-grooves": "speed.off_centre",
    "sand": "speed.sanding",
}  # fmt: skip


@pytest.mark.parametrize(("step", "name"), STAGES.items())
@pytest.mark.parametrize("saying", SAYINGS)
@pytest.mark.parametrize("times", [Fraction(11, 10), Fraction(3, 2), 2, 4])
def test_a_speed_over_the_ceiling_of_its_step_is_wrong(
    step: str, name: str, saying: str, times: Fraction
) -> None:
    rpm = round(ceiling(name) * times / 10) * 10
    (one,) = judged(saying.format(v=rpm), step)
    assert one.mention.unit == "rpm"
    assert one.verdict in (Verdict.WRONG, Verdict.AMBIGUOUS)
    assert name in (one.measurement, *one.candidates)


@pytest.mark.parametrize("saying", SAYINGS)
def test_over_the_highest_ceiling_it_is_wrong_wherever_it_is_said(saying: str) -> None:
    rpm = max(map(ceiling_rpm, judge().material.ceilings)) + 400
    for step in (None, *judge().material.steps):
        (one,) = judged(saying.format(v=rpm), step)
        assert one.verdict is Verdict.WRONG, step
        assert ceiling(one.measurement) < rpm


@pytest.mark.parametrize(("step", "name"), STAGES.items())
@pytest.mark.parametrize("saying", SAYINGS)
def test_a_speed_below_its_ceiling_is_no_error(step: str, name: str, saying: str) -> None:
    rpm = int(ceiling(name) * Fraction(3, 5))
    (one,) = judged(saying.format(v=rpm), step)
    assert one.verdict is Verdict.NONE


@pytest.mark.parametrize(
    ("text", "step", "verdicts"),
    [
        # given as the ceiling, a lower figure is a wrong ceiling
        ("Never go over 650 rpm with the corners on.", "rough", "wrong"),
        ("950 rpm at the very most while it runs off its centre.", "cut-grooves", "wrong"),
        ("1,600 rpm is the limit for paper.", "sand", "wrong"),
        # compared with the ceiling, it is none
        ("I leave it at 1,000 rpm, a good way under the 1,270.", "cut-grooves", "none right"),
        # another stage's ceiling is named, or only happens to fit
        ("Between the grooves it was 2,500 rpm, once round.", "cut-grooves", "right"),
        ("Put it on 2,500 rpm.", "cut-grooves", "wrong"),
        # what a machine can do, and another machine's speed, are told and not called wrong
        ("This lathe can do 3,800 rpm.", "rough", "ambiguous"),
        ("The grinder runs at 2,950 rpm.", "rough", "ambiguous"),
        ("The pillar press runs at 3,100 rpm.", "hang", "ambiguous"),
        # no step is known: above some ceilings and below others
        ("I had it at 1,500 rpm.", None, "ambiguous"),
        ("I had it at 500 rpm.", None, "none"),
        # the first figure of a stretch is a speed as the second is, and no year
        ("Then I go from 1,300 up to 2,500 rpm.", "cut-octagon", "none right"),
        ("then i go from 1900 up to 2500", "cut-octagon", "none right"),
        ("from nine hundred to sixteen hundred rpm", "cut-grooves", "wrong"),
    ],
)
def test_what_a_speed_is_said_of(text: str, step: str | None, verdicts: str) -> None:
    assert [str(one.verdict) for one in judged(text, step)] == verdicts.split()


@pytest.mark.parametrize(
    "text",
    [
        "While you sand, don't crank it past {v}.",
        "Never go past {v} when sanding.",
        "don't go above {v} when you sand",
        "Don't be tempted to push it beyond {v} while you sand, you'll burn it.",
        "Crank it up to {v} and sand.",
    ],
)
@pytest.mark.parametrize("value", ["2,100", "2100", "twenty-four hundred", "three thousand"])
def test_a_bare_figure_is_a_speed_by_what_is_done(text: str, value: str) -> None:
    (one,) = judged(text.format(v=value), None)
    assert (one.verdict, one.measurement) == (Verdict.WRONG, "speed.sanding")
    assert "sanding.last" not in one.candidates


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        # above some of the ceilings, and no word tells of which it is said
        ("speed it up to fourteen hundred", Verdict.AMBIGUOUS),
        # papers, hours and viewers
        ("Don't go past four hundred, it only burnishes.", Verdict.AMBIGUOUS),
        ("We stopped at half past ten.", Verdict.NONE),
        ("We never had over fifteen hundred viewers.", Verdict.NONE),
    ],
)
def test_what_is_not_surely_a_speed_is_called_no_wrong_one(text: str, verdict: Verdict) -> None:
    (one,) = judged(text, None)
    assert one.verdict is verdict, one


def test_what_is_not_to_be_passed_takes_no_paper_back() -> None:
    *_, last, limit = judged("Sand with 180, 240 and 320, not above 500.", "sand")
    assert last.mention.value == 320
    # a speed as likely as a paper: no line with another paper in it
    assert (limit.verdict, limit.mend) == (Verdict.WRONG, "")
    assert {"sanding.papers", "speed.sanding"} & {limit.measurement, *limit.candidates}
