"""A design's text that tells a ceiling as a floor, however right its figure; invented sentences."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.check import turned_limits
from studio.check.checks import CHECKS, IN_LANGUAGE
from studio.check.context import Context
from studio.check.findings import Finding, Severity
from studio.episode.languages import in_languages
from studio.language import speaking
from studio.resources import shipped

DESIGN = """\
title: A ball
{language}stock: {{species: maple, diameter: 60 mm}}
finish: {{product: hard wax oil, coats: 2, recoat: 1 h, dry: 24 h}}
steps:
  - id: rough
    title: Rough
    does: [spindle-running]
    do: "{do}"
"""


def told(folder: Path, do: str, language: str = "en") -> list[Finding]:
    design = folder / "ball.yaml"
    line = "" if language == "en" else f"language: {language}\n"
    design.write_text(DESIGN.format(do=do, language=line), "utf-8")
    with speaking(language):
        return list(turned_limits.check(Context.of(design, folder / "out")).findings)


@pytest.mark.parametrize(
    ("do", "said", "instead"),
    [
        ("Keep above {{ speed.rough }}.", "above", "below"),
        ("Run it at {{ speed.rough }} or more.", "or more", "or less"),
        ("A minimum of {{ speed.rough }}.", "minimum of", "maximum of"),
        ("Never go slower than {{ speed.rough }}.", "slower than", "faster than"),
        ("Stay above the bench. Stay above {{ speed.rough }}.", "above", "below"),
        ("Wait at most {{ finish.recoat }} between coats.", "at most", "at least"),
    ],
)
def test_the_wrong_way_round_is_an_error_at_its_word(
    folder: Path, do: str, said: str, instead: str
) -> None:
    (found,) = told(folder, do)
    assert (found.code, found.severity) == ("turned-limit", Severity.ERROR)
    assert found.said == said
    assert f"write “{instead}”" in found.expected
    line = (folder / "ball.yaml").read_text("utf-8").splitlines()[7]
    column = int(found.at.partition("column ")[2].partition(" ")[0])
    assert line[column - 1 :].startswith(said)
    assert line[column - 1 :].partition("{{")[2].count("}}") == 1 or said == "or more"


@pytest.mark.parametrize(
    "do",
    [
        "Keep below {{ speed.rough }}.",
        "Never above {{ speed.rough }}.",
        "{{ speed.rough }} at most.",
        "Stop the lathe if it goes above {{ speed.rough }}.",
        "Wait at least {{ finish.recoat }} between coats.",
        "The blank is over {{ sphere.diameter }} before it is round.",
    ],
)
def test_the_right_way_round_a_case_and_a_size_are_none(folder: Path, do: str) -> None:
    assert told(folder, do) == []


def test_what_is_told_and_not_asked_for_is_a_note(folder: Path) -> None:
    (found,) = told(folder, "Above {{ speed.rough }} it shakes.")
    assert found.severity is Severity.NOTE


@pytest.mark.parametrize(
    ("do", "said"),
    [
        ("Bleiben Sie über {{ speed.rough }}.", ["über"]),
        ("Mindestens {{ speed.rough }}.", ["Mindestens"]),
        ("Nie unter {{ speed.rough }}.", ["unter"]),
        ("Höchstens {{ finish.recoat }} zwischen den Aufträgen warten.", ["Höchstens"]),
        ("Bleiben Sie unter {{ speed.rough }}.", []),
        ("Nie über {{ speed.rough }}.", []),
        ("Anhalten, wenn es über {{ speed.rough }} geht.", []),
        ("Mindestens {{ finish.recoat }} zwischen den Aufträgen warten.", []),
    ],
)
def test_german_is_read_by_its_own_words(folder: Path, do: str, said: list[str]) -> None:
    assert [one.said for one in told(folder, do, "de")] == said


def test_every_check_of_a_design_and_of_its_translation_has_it() -> None:
    assert turned_limits.check in CHECKS
    assert turned_limits.check in IN_LANGUAGE


@pytest.mark.parametrize("design", ["globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe"])
def test_no_shipped_text_turns_a_limit_round(design: str, tmp_path: Path) -> None:
    path = shipped("designs") / f"{design}.yaml"
    for episode in in_languages(path, ["de"])[:2]:
        with speaking(episode.language):
            context = Context.of(path, tmp_path)
            assert turned_limits.check(context).findings == ()
