"""A figure put into sentences that mean its measurement: as the design prints it, and changed.

The truth is known by construction: what the design prints is right, and what agrees with it in no
way is wrong. Asides hold figures that are nothing of the piece's.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import yaml

from studio.said.agreeing import Verdict, agrees
from studio.said.finding import find_mentions
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import material_of

from .loading import FOLDER

ROOT = Path(__file__).parents[2]
DESIGNS = {
    "globe": ROOT / "designs" / "globe.yaml",
    "crowned-globe": ROOT / "designs" / "crowned-globe.yaml",
    "lobed-globe": ROOT / "designs" / "lobed-globe.yaml",
    "plain": FOLDER / "designs" / "plain.yaml",
    "grooved": FOLDER / "designs" / "imperial" / "grooved.yaml",
}
MOST_ACCUSED, MOST_PASSED, LEAST_RIGHT = 0.02, 0.02, 0.96
MOST_ASIDES_ACCUSED = 0.03


@pytest.fixture(scope="module", params=DESIGNS)
def judge(request: pytest.FixtureRequest) -> Judge:
    return Judge(material_of(DESIGNS[request.param]))


def held() -> dict[str, dict[str, list[str]]]:
    read: dict[str, dict[str, list[str]]] = yaml.safe_load(
        (FOLDER / "phrases.yaml").read_text(encoding="utf-8")
    )
    return read


def changed(text: str) -> str:
    """Another figure of the same form, a seventh larger; of a fraction two parts more or less."""
    figures = list(re.finditer(r"\d+", text))
    if "/" in text:
        over, under = figures[-2], int(figures[-1][0])
        number = int(over[0]) + 2 if int(over[0]) + 2 < under else int(over[0]) - 2
        return text[: over.start()] + str(max(number, 1)) + text[over.end() :]
    first = figures[0]
    number = int(first[0]) + max(1, round(int(first[0]) / 7))
    return text[: first.start()] + str(number) + text[first.end() :]


@dataclass(frozen=True)
class Told:
    """A figure in a sentence, whether it is right, and what was made of it."""

    sentence: str
    name: str
    right: bool
    judged: Judged


def told(judge: Judge) -> Iterator[Told]:
    material = judge.material
    for name, sentences in held()["figures"].items():
        meaning = material.by_name.get(name)
        if meaning is None or not meaning.printed:
            continue
        text = meaning.measurement.text
        figures = [text] if not re.search(r"\d", text) else [text, changed(text)]
        near = [step for step, names in material.steps.items() if names.near.get(name, 0) >= 0.9]
        for sentence in sentences:
            for figure in figures:
                (alone,) = find_mentions(figure)
                right = figure == text
                if not right and agrees(alone, meaning, material.bench) is not Verdict.WRONG:
                    continue
                said = sentence.format(v=figure)
                said = said.lower() if said[0].islower() else said
                mentions = find_mentions(said)
                start = said.lower().find(figure.lower())
                for step in (None, *near[:1]):
                    for judged in judge.judge(said, mentions, step):
                        if judged.mention.start < start + len(figure) <= judged.mention.stop + 1:
                            yield Told(said, name, right, judged)


def test_right_figures_are_not_accused_and_wrong_ones_not_passed(judge: Judge) -> None:
    cases = list(told(judge))
    right = [one for one in cases if one.right]
    wrong = [one for one in cases if not one.right]
    assert len(right) > 60
    assert len(wrong) > 60
    verdicts = Counter(one.judged.verdict for one in right)
    accused = [one.sentence for one in right if one.judged.verdict is Verdict.WRONG]
    assert len(accused) <= MOST_ACCUSED * len(right), accused
    assert verdicts[Verdict.RIGHT] >= LEAST_RIGHT * len(right), verdicts
    passed = [one.sentence for one in wrong if one.judged.verdict is Verdict.RIGHT]
    assert len(passed) <= MOST_PASSED * len(wrong), passed


def test_asides_are_not_accused(judge: Judge) -> None:
    accused, figures = [], 0
    for said in held()["asides"]:
        mentions = find_mentions(said)
        for step in (None, *judge.material.steps):
            for judged in judge.judge(said, mentions, step):
                figures += 1
                if judged.verdict is Verdict.WRONG:
                    accused.append(f"{step}: {said} {judged.measurement}")
    assert len(accused) <= MOST_ASIDES_ACCUSED * figures, f"of {figures}: {accused}"
