"""The line to say instead of a wrong number is itself right, or is not given.

What is meant is known by construction: sentences about a measurement with its figure changed as a
slip of the tongue or of a recogniser changes it. Everything is invented.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from num2words import num2words

from studio.measure.speech import ordinal
from studio.resources import shipped
from studio.said.agreeing import Verdict, agrees
from studio.said.finding import find_mentions
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import Meaning, material_of

from .test_phrases import DESIGNS, held

LEAST_LINES, MOST_FALSE = 0.75, 0.01


@cache
def judge_of(design: Path) -> Judge:
    return Judge(material_of(design))


def judged(text: str, step: str | None) -> tuple[Judged, ...]:
    return judge_of(shipped("designs") / "lobed-globe.yaml").judge(text, find_mentions(text), step)


def slips(text: str) -> Iterator[str]:
    """A figure with its point lost or put in, ten times and twice as large, one more, one less."""
    (figure,) = re.findall(r"\d[\d,]*(?:\.\d+)?", text)
    value = float(figure.replace(",", ""))
    changed = {value * 10, value * 2, value + 1, value - 1, value / 10}
    if "." in figure:
        changed.add(float(figure.replace(".", "")))
    for other in sorted(changed):
        if other > 0 and other != value:
            yield text.replace(figure, f"{round(other, 3):g}")


def said_wrong(judge: Judge) -> Iterator[tuple[str, Meaning, Judged]]:
    """Sentences with a wrong figure, what it means, and what was made of it."""
    for name, sentences in held()["figures"].items():
        meaning = judge.material.by_name.get(name)
        if meaning is None or len(re.findall(r"\d+(?:\.\d+)?", meaning.measurement.text)) != 1:
            continue
        near = [step for step, names in judge.material.steps.items() if names.near.get(name, 0)]
        for slip in slips(meaning.measurement.text):
            found = find_mentions(slip)
            if len(found) != 1 or agrees(found[0], meaning, judge.material.bench) in (
                Verdict.RIGHT, Verdict.ROUNDED,
            ):  # fmt: skip
                continue
            for sentence in sentences:
                said = sentence.format(v=slip)
                for step in (None, *near[:1]):
                    for one in judge.judge(said, find_mentions(said), step):
                        if one.verdict is Verdict.WRONG and one.mention.written in slip:
                            yield said, meaning, one


@pytest.mark.parametrize("name", DESIGNS)
def test_a_line_to_say_holds_the_figure_of_what_was_meant(name: str) -> None:
    judge = judge_of(DESIGNS[name])
    false, lines, wrong = [], 0, 0
    for said, meaning, one in said_wrong(judge):
        wrong += 1
        if not one.mend:
            continue
        lines += 1
        meant = judge.material.by_name[one.measurement].printed
        if meant != meaning.printed:
            false.append(f"{said} -> {one.mend} ({one.measurement}, {one.confidence})")
    assert wrong > 100
    assert lines >= LEAST_LINES * wrong, f"{lines} of {wrong}"
    assert len(false) <= MOST_FALSE * lines, f"{len(false)} of {lines}: {false}"


@pytest.mark.parametrize(
    ("text", "step", "mend"),
    [
        # a position stays one, in words and in figures; so does the unit's singular
        ("On the plate it is every fifth stop.", "index", "On the plate it is every third stop."),
        ("On the plate it is every 5th stop.", "index", "On the plate it is every 3rd stop."),
        ("Pencil seven marks round the middle.", "index", "Pencil eight marks round the middle."),
        ("Turn it to a sixty-three millimetre cylinder.", "rough",
         "Turn it to a sixty millimetre cylinder."),
        ("Sand it with five papers.", "sand", "Sand it with four papers."),
        # one of a unit becomes several; before a noun the unit is still one's, and has its article
        ("Leave the glue for an hour.", "hang", "Leave the glue for ten minutes."),
        ("One hour between coats.", "sand", "Four hours between coats."),
        ("Give it an hour wait between coats.", "sand",
         "Give it a four hour wait between coats."),
        ("Down to a cylinder sixty-three millimetre in diameter.", "rough",
         "Down to a cylinder sixty millimetres in diameter."),
        # a word that the design prints behind the figure is not said twice
        ("The last step ends 0.43 mm past.", "index", "The last step ends 0.34 mm past."),
        # the narration's own words tell which of the two is the groove's depth
        ("make it six millimetres wide and eighty millimetres deep", "cut-grooves",
         "make it six millimetres wide and one point eight millimetres deep"),
    ],
)  # fmt: skip
def test_the_line_keeps_the_form_in_which_it_was_said(text: str, step: str, mend: str) -> None:
    assert [one.mend for one in judged(text, step) if one.verdict is Verdict.WRONG] == [mend]


@pytest.mark.parametrize(
    ("text", "step", "meant"),
    [
        # 1.7 mm with its point lost lies nearer to the hole's depth, which is no reason to say that
        ("now take the seventeen millimetre drill", "hang", "hanger.drill"),
        ("not over 2,900 rpm please", None, "speed.off_centre"),
    ],
)
def test_what_may_be_meant_is_told_and_no_line_is_given(text: str, step: str, meant: str) -> None:
    (one,) = [one for one in judged(text, step) if one.verdict is Verdict.WRONG]
    assert not one.sure
    assert one.mend == ""
    assert meant in one.candidates
    assert len(one.candidates) > 1
    assert one.confidence <= 0.7


def test_ordinals_are_what_a_number_word_library_says() -> None:
    # num2words, a general-purpose library
    for number in range(1, 100):
        assert ordinal(number) == num2words(number, to="ordinal")
    with pytest.raises(ValueError, match="100 is not"):
        ordinal(100)


@pytest.mark.parametrize("step", ["sand", "hang", None])
@pytest.mark.parametrize("text", ["Leave 9 mm of wall.", "Leave a 9 mm wall."])
def test_no_line_names_a_figure_of_what_the_design_has_nothing_of(
    text: str, step: str | None
) -> None:
    # the globe is not hollow: "leave 0.08 mm of wall" would be the play round the wire
    found = judge_of(shipped("designs") / "globe.yaml").judge(text, find_mentions(text), step)
    assert [one.mend for one in found] == [""]
    assert not any(one.verdict is Verdict.RIGHT for one in found)
