"""What a number said means, and whether the design agrees; over the shipped designs too."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.measure.speech import spoken
from studio.measure.trace import plain
from studio.resources import shipped
from studio.said.agreeing import Verdict
from studio.said.finding import find_mentions
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import material_of

from .loading import DESIGNS

PLAIN, GROOVED = DESIGNS / "plain.yaml", DESIGNS / "imperial/grooved.yaml"
SHIPPED = ("globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe")


@cache
def judge_of(design: Path) -> Judge:
    return Judge(material_of(design))


def judged(text: str, step: str | None, design: Path = PLAIN) -> tuple[Judged, ...]:
    return judge_of(design).judge(text, find_mentions(text), step)


def told(text: str, step: str | None, design: Path = PLAIN) -> list[str]:
    """Verdict and measurement of each mention, in short."""
    return [f"{one.verdict} {one.measurement}".strip() for one in judged(text, step, design)]


@pytest.mark.parametrize(
    ("text", "step", "expected"),
    [
        ("Square it up to 62 and cut it 91 long.", "rough",
         ["right stock.section", "right stock.length"]),
        ("Sixteen at the headstock end, eleven at the tailstock.", "rough",
         ["right stock.headstock", "right stock.tailstock"]),
        # 16 mm is the other end's figure: words go before a figure that happens to fit
        ("Leave 16 mm at the tailstock.", "rough", ["wrong stock.tailstock"]),
        ("Nothing above 840 until it's a cylinder.", "rough", ["right speed.rough"]),
        ("Come in 19.6 mm from every corner.", "octagon", ["wrong sphere.set_in"]),
        ("We've got a hexagon now.", "octagon", ["wrong sphere.figure_first"]),
        ("The third mark is 2.9.", "round-over", ["right sphere.third_mark"]),
        ("Twelve marks round the equator.", "index", ["wrong index.marks"]),
        ("Start with P150, finish with P400.", "sand",
         ["right sanding.first", "right sanding.last"]),
        ("Three coats, five hours apart.", "oil", ["right finish.coats", "right finish.recoat"]),
        ("Four strands of twenty gauge.", "hang", ["right hanger.strands", "right hanger.wire"]),
        ("The bundle's about two millimetres across.", "hang", ["rounded hanger.bundle"]),
    ],
)  # fmt: skip
def test_words_step_and_figure_tell_what_is_meant(
    text: str, step: str, expected: list[str]
) -> None:
    assert told(text, step) == expected


# that papers go from coarse to fine: common practice, no source; the order is the design's own
@pytest.mark.parametrize(
    ("text", "step", "design", "verdicts"),
    [
        ("P240 to P180", "sand", GROOVED, "wrong wrong"),
        ("P240 to P180", None, GROOVED, "wrong wrong"),
        ("P150, P220, then P400, then P320.", "sand", PLAIN, "right right wrong wrong"),
        ("P400, P320, P220, P150.", "sand", PLAIN, "ambiguous ambiguous ambiguous ambiguous"),
        ("P320 back down to P220.", "sand", PLAIN, "ambiguous ambiguous"),
        ("P150, P220, then P320 and P400.", "sand", PLAIN, "right right right right"),
        ("P240 and P180.", "sand", GROOVED, "right right"),
    ],
)
def test_papers_are_said_in_the_designs_order(
    text: str, step: str | None, design: Path, verdicts: str
) -> None:
    got = [one.split()[0] for one in told(text, step, design)]
    assert got == verdicts.split()


def test_papers_said_backwards_are_mended_by_changing_places() -> None:
    first, second = judged("P240 to P180", None, GROOVED)
    assert (first.mend, second.mend) == ("P180 to P180", "P240 to P240")
    assert first.expected == "P180 in the order P120, P180, P240, P320"


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("Now we have 32 sides.", "ambiguous"),
        ("That leaves sixteen sides.", "ambiguous"),
        ("That leaves eight sides.", "right"),
        ("The second round of cuts gives 32 sides.", "wrong"),
        ("The third round of cuts gives 32 sides.", "right"),
        ("It will have 32 sides by the end.", "right"),
    ],
)
def test_sides_of_another_round_than_the_one_in_hand_are_told(text: str, verdict: str) -> None:
    assert [one.verdict for one in judged(text, "octagon") if one.mention.value > 3] == [verdict]


def test_a_groove_named_leads_to_its_row() -> None:
    table = judge_of(GROOVED).material.by_name
    head, tail = (table[f"axis.{end}_3"].measurement.text for end in ("head", "tail"))
    text = f"Third groove of six, mark {head} at the headstock, mark {tail} at the tail."
    assert [one.split()[0] for one in told(text, "mount", GROOVED)] == ["right"] * 4
    other = f"Third groove of six, mark {tail} at the headstock, mark {head} at the tail."
    assert [one.split()[0] for one in told(other, "mount", GROOVED)] == [
        "right", "right", "wrong", "wrong",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "step"),
    [
        ("Fifteen, that's the number I always forget.", None),
        ("Give it fourteen and see.", None),
        ("It's five, trust me.", None),
    ],
)
def test_what_may_mean_several_is_ambiguous_and_says_which(text: str, step: str | None) -> None:
    (one,) = judged(text, step)
    assert one.verdict is Verdict.AMBIGUOUS
    assert one.candidates
    assert one.confidence < 0.6


@pytest.mark.parametrize(
    "text",
    [
        "Episode forty-two.", "Back on the 12th of April.", "It cost me $90.",
        "In 2019 I made one.",
        "I've been at this for twenty-five years.", "I was sixteen when I started.",
        "There's three ways to do this.", "My 10 mm bowl gouge stays in the rack.",
        "The shelf behind me is 300 mm deep.", "It's a 1.5 kW motor.", "There were six of us.",
        "That took me forty minutes.",
    ],
)  # fmt: skip
def test_figures_of_other_things_are_none(text: str) -> None:
    assert told(text, "rough") == ["none"]


def test_a_repair_means_the_same_measurement() -> None:
    text = "Set the dividers to seventeen; no, hang on, to sixteen point nine."
    assert told(text, "octagon") == ["wrong sphere.set_in", "right sphere.set_in"]


@pytest.mark.parametrize(
    ("text", "step", "mend"),
    [
        ("The set-in is 17.9 mm.", "octagon", "The set-in is 16.9 mm."),
        ("The side is thirty-four point two millimetres.", "octagon",
         "The side is twenty-four point two millimetres."),
        ("Set-in from the corner: 11/32 in.", "octagon", "Set-in from the corner: 21/32 in."),
    ],
)  # fmt: skip
def test_a_wrong_figure_is_mended_as_it_was_said(text: str, step: str, mend: str) -> None:
    (one,) = judged(text, step)
    assert one.verdict is Verdict.WRONG
    assert one.mend == mend


@pytest.mark.parametrize("name", SHIPPED)
def test_every_measurement_with_its_label_is_found_and_right(name: str) -> None:
    """Printed and as a voice says it. One of many alike (a station, a rim) may stay unclear."""
    design = shipped("designs") / f"{name}.yaml"
    judge = judge_of(design)
    seen = 0
    for meaning in judge.material.meanings:
        measurement = meaning.measurement
        # a bare nought is no number in talk ("there are none" would be said)
        if not meaning.printed or measurement.unit == "words" or measurement.text == "0":
            continue
        label = re.sub(r"\b(one|two)\b.*", "", measurement.label).strip() or measurement.label
        owner = f"{meaning.part} " if meaning.part else ""
        step = next(
            (s for s, names in judge.material.steps.items() if measurement.name in names.near), None
        )
        for text in (measurement.text, spoken(measurement.text)):
            sentence = f"{owner}{label}: {text}."
            verdicts = judge.judge(sentence, find_mentions(sentence), step)
            assert verdicts, sentence
            allowed = {Verdict.RIGHT, Verdict.ROUNDED}
            if meaning.listed or step is None:
                allowed |= {Verdict.AMBIGUOUS}
            last = verdicts[-1]
            assert last.verdict in allowed, (sentence, step, last)
            seen += last.verdict is Verdict.RIGHT
    assert seen > 150


@pytest.mark.parametrize("name", SHIPPED)
def test_a_designs_own_script_is_right_however_it_is_written(name: str) -> None:
    design = shipped("designs") / f"{name}.yaml"
    said = 0
    for step in open_episode(design).steps:
        heard = re.sub(r"[,;:!?]|\.(?!\d)", "", plain(step.aloud).lower()).replace("-", " ")
        for text in (plain(step.say), plain(step.aloud), heard):
            for one in judged(text, step.id, design):
                assert one.verdict in (Verdict.RIGHT, Verdict.ROUNDED), (step.id, text, one)
                said += 1
    assert said > 40


@pytest.mark.parametrize(
    ("step", "text", "name", "expected"),
    [
        ("mark-octagon", "The octagon's side is 17.5 millimetres.", "sphere.octagon_side", "25 mm"),
        ("hang", "The bundle is 1.7 mm.", "hanger.bundle", "1.62 mm"),
    ],
)
def test_what_is_named_goes_before_a_figure_that_fits_something_else(
    step: str, text: str, name: str, expected: str
) -> None:
    judge = Judge(material_of(shipped("designs") / "globe.yaml"))
    judged = judge.judge(text, find_mentions(text), step)[-1]
    assert (judged.verdict, judged.measurement, judged.expected) == ("wrong", name, expected)


LOBED = shipped("designs") / "lobed-globe.yaml"


@pytest.mark.parametrize(
    ("step", "text", "verdict"),
    [
        # a word of dates, of the weather or of a pause near a figure makes it none by itself
        ("index", "Take eleven marks for the middle.", "wrong index.marks"),
        ("index", "Now step six marks round.", "wrong index.marks"),
        ("hang", "so take five strands and twist them", "wrong hanger.strands"),
        ("hang", "this is take four of the hanger", "none"),
        ("rough", "Thirteen hundred rpm may be fine for a cylinder.", "wrong speed.rough"),
        ("rough", "thirteen hundred may seem slow while you are roughing", "wrong speed.rough"),
        ("rough", "We filmed it on 12 May, in the rain.", "none"),
        ("index", "This morning it is sixty degrees from mark to mark.", "wrong index.angle"),
        ("index", "In my shop I turn it by 40 degrees each time.", "wrong grooves.turn"),
        ("index", "It is nine degrees in the shop.", "none"),
        ("index", "The skew is ground to 25 degrees.", "none"),
        ("hang", "Give the glue half an hour, then come back to it.", "wrong value.glue_time"),
        ("hang", "The glue wants thirty minutes, so make some tea.", "wrong value.glue_time"),
        ("hang", "Back in thirty minutes.", "none"),
        ("hang", "That took me thirty minutes.", "none"),
    ],
)
def test_a_count_is_not_passed_for_a_date_nor_a_turn_for_the_weather(
    step: str, text: str, verdict: str
) -> None:
    assert told(text, step, LOBED) == [verdict]


@pytest.mark.parametrize("step", ["rough", "cut-octagon", "cut-grooves", None])
@pytest.mark.parametrize(
    "text",
    [
        "Bring the rest to about four millimetres from the blank.",
        "i keep my tool rest roughly 8 millimetres away from the corners",
        "The toolrest sits 4 mm below the middle.",
    ],
)
def test_how_far_off_the_tool_rest_stands_is_no_size_of_the_piece(
    step: str | None, text: str
) -> None:
    assert told(text, step, LOBED) == ["none"]


@pytest.mark.parametrize(
    ("step", "text", "verdict"),
    [
        ("mark-octagon", "sixty times point four one four is about forty", "none"),
        ("cut-grooves", "turn the ball about the poles by forty degrees", "wrong grooves.turn"),
    ],
)
def test_about_says_how_near_and_not_what(step: str, text: str, verdict: str) -> None:
    assert told(text, step, LOBED)[-1] == verdict
