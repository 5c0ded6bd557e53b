"""The check of what was built in German: every figure traced, each seeded fault found."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from studio.check import languages
from studio.check.checks import IN_LANGUAGE
from studio.check.context import Context
from studio.check.findings import Finding, Severity
from studio.commands.build import files_in_language
from studio.episode.languages import in_languages
from studio.files import write_outputs
from studio.language import speaking
from studio.resources import shipped


@pytest.fixture(scope="module")
def german_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shipped globe's German files."""
    out = tmp_path_factory.mktemp("german")
    _, german = in_languages(shipped("designs") / "globe.yaml", ["de"])
    write_outputs(out, files_in_language(german, out))
    return out


@pytest.fixture
def out(german_out: Path, tmp_path: Path) -> Path:
    """A copy of them to be spoilt."""
    place = tmp_path / "out"
    shutil.copytree(german_out, place)
    return place


def found(design: Path, out: Path) -> tuple[list[Finding], int, int]:
    """Errors of the checks of the German files, and the numbers traced and not."""
    (german,) = Context.of(design, out).others
    findings, traced, untraced = [], 0, 0
    with speaking(german.episode.language):
        for check in IN_LANGUAGE:
            outcome = check(german)
            findings += outcome.findings
            traced, untraced = traced + outcome.traced, untraced + outcome.untraced
    return [one for one in findings if one.severity is Severity.ERROR], traced, untraced


def test_all_is_traced_as_built(globe: Path, out: Path) -> None:
    errors, traced, untraced = found(globe, out)
    assert errors == []
    assert traced > 300
    assert untraced == 0


SEEDED = [
    ("description.de.txt", "17,5 mm", "17,6 mm", "wrong-number"),
    ("description.de.txt", "17,5 mm", "17.5 mm", "wrong-number"),
    ("description.de.txt", "2.500 U/min", "2,500 U/min", "wrong-number"),
    ("description.de.txt", "(11/16 Zoll)", "(13/16 Zoll)", "wrong-number"),
    ("description.de.txt", "0:40 Runden", "0:41 Runden", "wrong-number"),
    ("newsletter.de.txt", "0,64 mm", "0,46 mm", "wrong-number"),
    ("newsletter.de.md", "24,8 mm", "24,9 mm", "wrong-number"),
    ("newsletter.de.txt", "12 Marken auf dem", "13 Marken auf dem", "wrong-number"),
    ("captions.de.srt", "24,8 mm", "24,9 mm", "wrong-number"),
    ("captions.de.vtt", "00:15.000", "00:16.000", "wrong-time"),
    ("chapters.de.vtt", "Zylinder und Achteck", "Zylinder", "chapters-disagree"),
    ("handout.de.html", ">0,414<", ">0,424<", "wrong-number"),
    ("handout.de.html", "Verschnitt am Reitstock", "Verschnitt am Spindelstock", "wrong-side"),
    ("newsletter.de.txt", "mit höchstens 2.500", "mit mindestens 2.500", "wrong-word"),
    ("newsletter.de.txt", "zum Zylinder von", "zum Zylinder nicht von", "wrong-word"),
    ("newsletter.de.txt", "von der Achteckseite", "von drei Achteckseiten", "wrong-number"),
    ("demonstration.de.html", "Maske und Absaugung an.", "Absaugung an.", "missing-caution"),
    ("handout.de.html", "die örtlichen Vorschriften", "die Vorschriften", "missing-caution"),
    ("handout.de.html", "Lizenz:</b> CC BY 4.0", "Lizenz:</b> keine", "missing-credit"),
    ("handout.de.html", 'href="handout.html"', 'href="handout2.html"', "page-changed"),
]


@pytest.mark.parametrize(("name", "old", "new", "code"), SEEDED, ids=lambda value: str(value)[:24])
def test_a_seeded_fault_is_found(
    globe: Path, out: Path, name: str, old: str, new: str, code: str
) -> None:
    path = out / name
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    errors, _, _ = found(globe, out)
    assert (code, name) in {(one.code, one.where) for one in errors}


@pytest.mark.parametrize(
    ("old", "new", "severity", "told"),
    [
        # another figure in a figure's place: both are named elsewhere in the design
        ("Die Achteckseite misst {{ sphere.octagon_side }}", "Die Achteckseite misst "
         "{{ sphere.set_in }}", Severity.ERROR, "sphere.octagon_side"),
        ("Die Achteckseite misst {{ sphere.octagon_side }}", "Die Achteckseite bleibt",
         Severity.NOTE, "sphere.octagon_side"),
    ],
)  # fmt: skip
def test_a_translation_that_draws_another_figure_is_found(
    tmp_path: Path, old: str, new: str, severity: Severity, told: str
) -> None:
    designs = tmp_path / "designs"
    shutil.copytree(shipped("designs"), designs)
    path = designs / "globe.de.yaml"
    text = path.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), "utf-8")
    out = tmp_path / "out"
    _, german = in_languages(designs / "globe.yaml", ["de"])
    write_outputs(out, files_in_language(german, out))
    (context,) = Context.of(designs / "globe.yaml", out).others
    with speaking(german.language):
        findings = [one for one in languages.check(context).findings if one.code == "other-figure"]
    (one,) = findings
    assert (one.severity, one.measurement) == (severity, told)
    line = 1 + text[: text.index("say: >\n      Stellen Sie den Zirkel")].count("\n")
    assert one.where.endswith("globe.de.yaml")
    assert f"line {line} " in one.at
    assert told in one.expected


def test_a_sheet_of_another_day_is_found(globe: Path, out: Path) -> None:
    shutil.copy(out / "demonstration.de.pdf", out / "handout.de.pdf")
    errors, _, _ = found(globe, out)
    assert "handout.de.pdf" in {one.where for one in errors}


def test_a_file_that_is_gone_is_missed(globe: Path, out: Path) -> None:
    (out / "captions.de.srt").unlink()
    errors, _, _ = found(globe, out)
    assert [(one.code, one.where) for one in errors] == [("missing-file", "captions.de.srt")]


def typed(errors: list[Finding]) -> Iterator[tuple[str, str]]:
    for one in errors:
        if one.code == "typed-number":
            yield Path(one.where).name, one.said


@pytest.mark.parametrize(
    ("new", "said"),
    [
        ("mit 17,5 mm", "17,5"),
        ("mit siebzehn Komma fünf Millimetern", "siebzehn Komma fünf Millimetern"),
        ("mit zweiundzwanzig Marken", "zweiundzwanzig Marken"),
        ("anderthalb Zoll tief", "anderthalb Zoll"),
        ("mit einem Dutzend Marken", "Dutzend Marken"),
    ],
)
def test_a_number_typed_into_german_texts_is_found_with_its_file(
    globe: Path, out: Path, edit: Callable[[Path, str, str], Path], new: str, said: str
) -> None:
    edit(globe.with_name("globe.de.yaml"), "Schneiden. Dann", f"Schneiden {new}. Dann")
    errors, _, _ = found(globe, out)
    assert ("globe.de.yaml", said) in set(typed(errors))


@pytest.mark.parametrize(
    ("new", "offered"),
    [
        ("17,5 mm tief.", "sphere.set_in"),
        ("11/16 Zoll tief.", "sphere.set_in"),
        ("Siehe Folge 12.", ""),
        ("17,5 Mal.", ""),
    ],
)
def test_a_measurement_is_offered_only_with_its_unit_where_nothing_judges_talk(
    globe: Path, out: Path, edit: Callable[[Path, str, str], Path], new: str, offered: str
) -> None:
    edit(globe.with_name("globe.de.yaml"), "Schneiden. Dann", f"Schneiden. {new} Dann")
    errors, _, _ = found(globe, out)
    (one,) = (one for one in errors if one.code == "typed-number")
    assert one.measurement == offered
    assert ("plain_words:" in one.expected) is not bool(offered)


def unknown_figures(errors: list[Finding]) -> list[tuple[str, str]]:
    return [(Path(one.where).name, one.said) for one in errors if one.code == "unknown-figure"]


@pytest.mark.parametrize("figure", ["Sechseck", "Zwölfeck", "Sechseckseite"])
def test_a_figure_that_no_round_has_is_found_in_german_texts(
    globe: Path, out: Path, edit: Callable[[Path, str, str], Path], figure: str
) -> None:
    edit(globe.with_name("globe.de.yaml"), "Schneiden. Dann", f"Zum {figure} schneiden. Dann")
    errors, _, _ = found(globe, out)
    assert unknown_figures(errors) == [("globe.de.yaml", figure)]


def test_the_figures_of_its_rounds_may_be_typed_in_german_texts(
    globe: Path, out: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    edit(globe.with_name("globe.de.yaml"), "Schneiden. Dann", "Zum Sechzehneck schneiden. Dann")
    errors, _, _ = found(globe, out)
    assert unknown_figures(errors) == []
