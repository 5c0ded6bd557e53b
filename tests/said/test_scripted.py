"""What is said in the script's own words means what the script has there, whatever else it fits.

Each sentence of the shipped designs is said with another figure of the same step in the place of
its own: no sign of the figure itself tells it, for the step does print it. The designs are shipped
ones; nothing here is from outside.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.measure.trace import spans
from studio.resources import shipped
from studio.said.agreeing import Verdict, agrees
from studio.said.finding import find_mentions
from studio.said.heard import judged_talk
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import Meaning, material_of

DESIGNS = ("globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe")
_SENTENCE = re.compile(r"(?:[^.!?]|\.(?=\d))+[.!?]?\s*")


@cache
def judge(design: str) -> Judge:
    return Judge(material_of(shipped("designs") / f"{design}.yaml"))


def lines(design: str) -> Iterator[tuple[str, str, int, int, str]]:
    """Step, sentence, where a figure stands in it, and its measurement."""
    for step in open_episode(shipped("designs") / f"{design}.yaml").steps:
        for marked in (step.say, step.do):
            text, named = spans(marked)
            for match in _SENTENCE.finditer(text):
                begin, end = match.span()
                for one in named:
                    inside = begin <= one.start and one.stop <= end
                    if inside and one.name in judge(design).material.by_name:
                        yield step.id, match[0], one.start - begin, one.stop - begin, one.name


def is_like(one: Meaning, other: Meaning) -> bool:
    unit = one.measurement.unit
    words = unit in ("", "words", "drill") or not one.units or not other.units
    return unit == other.measurement.unit and not words and len(other.own) == 1


def heard(text: str) -> str:
    """As a recogniser writes it: no capitals, no punctuation but within figures."""
    return re.sub(r"[,;:!?]|\.(?!\d)", "", text).lower()


def verdict_at(design: str, text: str, step: str | None, start: int, stop: int) -> Judged | None:
    found = judge(design).judge(text, find_mentions(text), step)
    return next((o for o in found if o.mention.start < stop and o.mention.stop > start), None)


@pytest.mark.parametrize("design", DESIGNS)
def test_another_figure_of_the_step_in_a_sentences_place_is_wrong(design: str) -> None:
    material = judge(design).material
    tried = 0
    for step, sentence, start, stop, name in lines(design):
        mine = material.by_name[name]
        if sentence[start:stop] != mine.measurement.text:
            continue
        for other in material.meanings:
            if material.steps[step].near.get(other.name, 0) < 0.9 or not is_like(mine, other):
                continue
            new = other.measurement.text
            text = sentence[:start] + new + sentence[stop:]
            found = verdict_at(design, text, step, start, start + len(new))
            assert found is not None, text
            if agrees(found.mention, mine, material.bench) is not Verdict.WRONG:
                continue
            tried += 1
            assert (found.verdict, found.measurement) == (Verdict.WRONG, name), text
            assert found.mend, text
    assert tried >= 20


@pytest.mark.parametrize("design", DESIGNS)
@pytest.mark.parametrize("known", [True, False])
def test_the_sentences_as_they_stand_are_right(design: str, known: bool) -> None:
    for step, sentence, start, stop, name in lines(design):
        found = verdict_at(design, sentence, step if known else None, start, stop)
        if found is not None:
            assert found.verdict is Verdict.RIGHT, (sentence, name)


def test_a_line_in_a_recognisers_words_and_a_part_of_one_are_known_again() -> None:
    say = "7.2 mm wide, 2.4 mm deep, and not above 1,050 rpm."
    for text in (say, heard(say)):
        first, second, _ = judge("crowned-globe").judge(text, find_mentions(text), "cut-grooves")
        assert (first.verdict, second.verdict) == (Verdict.RIGHT, Verdict.RIGHT)
        swapped = text.replace("7.2", "#").replace("2.4", "7.2").replace("#", "2.4")
        first, second, _ = judge("crowned-globe").judge(
            swapped, find_mentions(swapped), "cut-grooves"
        )
        assert (first.verdict, first.measurement) == (Verdict.WRONG, "grooves.width")
        assert (second.verdict, second.measurement) == (Verdict.WRONG, "grooves.depth")
    part = "so drill eight point seven millimetres, twelve millimetres deep"
    wrong, _ = judge("crowned-globe").judge(part, find_mentions(part), "hang")
    assert wrong.mend == "so drill one point seven millimetres, twelve millimetres deep"


@pytest.mark.parametrize(
    ("text", "step", "verdict"),
    [
        # no words of the script: the words and the figure tell, as ever
        ("I did it with sixteen millimetres once.", "hollow", "right"),
        # a factor where the line has the product
        ("The octagon's side is 0.414 times the diameter.", "mark-octagon", "right"),
        # said wrongly and put right in the same breath
        ("Cut it 2.4, no, 7.2 mm wide.", "cut-grooves", "wrong"),
    ],
)
def test_other_talk_is_none_of_the_scripts_lines(text: str, step: str, verdict: str) -> None:
    one, *_ = judge("crowned-globe").judge(text, find_mentions(text), step)
    assert str(one.verdict) == verdict


@cache
def ball() -> Judge:
    return Judge(material_of(Path(__file__).parent / "designs" / "ball" / "ball.yaml"))


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        # the ball's script: "Cut 4 grooves, 1/4 in wide and 1/16 in deep."
        ("Cut four 1/4 in grooves, 1/16 in deep.", "right right right"),
        ("cut four quarter inch grooves a sixteenth deep", "right right right"),
        ("Cut 4 1/4 in grooves 1/16 in deep.", "right right right"),
        ("Cut four grooves, 1/16 in deep and 1/4 in wide.", "right right right"),
        ("Cut four 1/16 in grooves, 1/4 in deep.", "right wrong wrong"),
        ("Cut four 1/4 in grooves, 1/8 in deep.", "right right wrong"),
        ("Cut five 1/4 in grooves, 1/16 in deep.", "wrong right right"),
        ("Cut four grooves, 1/16 in wide and 1/4 in deep.", "right wrong wrong"),
        ("Cut 5 1/4 in grooves 1/16 in deep.", "wrong right"),
    ],
)
def test_the_word_right_behind_a_figure_tells_which_of_the_lines_it_is(
    text: str, wanted: str
) -> None:
    found = judged_talk(ball(), text, "grooves")
    assert " ".join(str(one.verdict) for one in found) == wanted
    due = {"right": "", "wrong": "1/16 in deep."}
    if found[-1].measurement == "grooves.depth":
        assert found[-1].mend.endswith(due[str(found[-1].verdict)])
