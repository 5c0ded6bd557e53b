"""A design's texts in a second language: what is read, what is named, what is refused."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from studio.cli import main
from studio.design.reading import load
from studio.episode.assemble import open_episode
from studio.episode.languages import in_languages, languages_in
from studio.errors import BadInput
from studio.measure.trace import plain
from studio.paper.papers import PAPERS


def page(design: Path) -> str:
    _, german = in_languages(design, ["de"])
    return plain(PAPERS["handout.html"](german))


def test_the_shipped_globe_is_whole_in_german(globe: Path) -> None:
    assert load(globe, "de").untranslated == ()
    text = page(globe)
    assert '<html lang="de-DE">' in text
    assert "Eine schlichte Kugel aus Bergahorn" in text
    assert "60 mm (2 23/64 Zoll)" in re.sub(r"<[^>]*>", "", text)
    assert "Schruppröhre" in text
    assert re.findall(r'\blang="en-GB">([^<]*)', text) == ["English"]


def test_figures_are_those_of_the_first_language(globe: Path) -> None:
    first, german = in_languages(globe, ["de"])
    assert list(first.table) == list(german.table)
    for name, one in first.table.items():
        other = german.table[name]
        assert (one.value, one.metric.value, one.imperial.value) == (
            other.value, other.metric.value, other.imperial.value,
        )  # fmt: skip


def test_pages_lead_to_each_other(globe: Path) -> None:
    first, german = in_languages(globe, ["de"])
    filmed = (replace(one, filmed=True) for one in (first, german))
    ours, theirs = (plain(PAPERS["handout.html"](one)) for one in filmed)
    assert '<link rel="alternate" hreflang="de-DE" href="handout.de.html">' in ours
    assert '<link rel="alternate" hreflang="en-GB" href="handout.html">' in theirs
    assert '<a href="handout.de.html" hreflang="de-DE" lang="de-DE">Deutsch</a>' in ours
    assert 'srclang="de-DE" label="Deutsch" default' in theirs
    assert '<track kind="captions" src="captions.de.vtt" srclang="de-DE" label="Deutsch">' in ours


def test_a_page_without_a_second_language_tells_of_none(globe: Path) -> None:
    text = plain(PAPERS["handout.html"](open_episode(globe)))
    assert "hreflang" not in text
    assert "languages" not in re.sub(r"<style.*?</style>", "", text, flags=re.DOTALL)


def test_a_text_that_is_missing_is_named_and_stands_marked(
    globe: Path, edit: Callable[[Path, str, str], Path], capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:  # fmt: skip
    texts = globe.with_name("globe.de.yaml")
    edit(texts, "    title: Das Achteck schneiden\n", "")
    edit(texts, "  glue_time: Aushärtezeit des Klebers\n", "")
    edit(globe.with_name("workshop.de.yaml"), "  dividers: Zirkel\n", "")
    line = 1 + globe.read_text("utf-8").split("title: Cut the octagon")[0].count("\n")
    out = tmp_path / "out"
    assert main(["build", str(globe), "--language", "de", "--out", str(out)]) == 0
    told = capsys.readouterr().err
    assert f"{globe}, line {line} (steps[3].title): not there in Deutsch" in told
    assert f"write dividers: under words: in {texts}" in told
    assert f"write glue_time: under words: in {texts}" in told
    assert f"write title: under the step cut-octagon in {texts}" in told
    text = (out / "handout.de.html").read_text("utf-8")
    assert '<span class="step-title" dir="auto" lang="en-GB">Cut the octagon</span>' in text
    assert '<li dir="auto" lang="en-GB">dividers</li>' in text
    # the check names them too, and calls nothing wrong
    assert main(["check", str(globe), "--out", str(out)]) == 0
    said = capsys.readouterr().out
    assert said.count("missing-translation (note)") == 3


def test_a_name_of_no_measurement_is_told_in_the_file_of_texts(
    globe: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    texts = edit(
        globe.with_name("globe.de.yaml"),
        "so weit von jeder Ecke",
        "{{ sphere.set }} von jeder Ecke",
    )
    with pytest.raises(BadInput) as caught:
        in_languages(globe, ["de"])
    (fault,) = caught.value.faults
    assert fault.file == texts
    assert fault.line == 1 + texts.read_text("utf-8").split("{{ sphere.set }}")[0].count("\n")


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("title: Eine schlichte", "titel: Eine schlichte", "unknown key 'titel'"),
        ("  - id: sand\n", "  - id: sanding\n", "the design has no step 'sanding'"),
        ("    title: Schleifen\n", "    name: Schleifen\n", "unknown key 'name'"),
        (
            "    title: Das Achteck anreißen\n",
            "    chapter: Anreißen\n",
            "has no text chapter",
        ),
        ("  glue_time: Aushärtezeit des Klebers", "  glue_time: [a, b]", "a word is due here"),
    ],
)
def test_what_translates_nothing_is_refused(
    globe: Path, edit: Callable[[Path, str, str], Path], old: str, new: str, what: str
) -> None:
    texts = edit(globe.with_name("globe.de.yaml"), old, new)
    with pytest.raises(BadInput) as caught:
        in_languages(globe, ["de"])
    told = [fault for fault in caught.value.faults if what in fault.what]
    assert told
    assert told[0].file == texts
    line = texts.read_text("utf-8").split("\n")[(told[0].line or 0) - 1]
    assert new.strip().split("\n")[0].split(":")[0].strip("- ") in line


@pytest.mark.parametrize(
    ("file", "text", "keys", "write"),
    [
        ("globe", "steps:\n  sand: {title: Schleifen}\n", "steps", "write - id: sand below it"),
        ("globe", "steps: Schleifen\n", "steps", "write - id: NAME below it"),
        ("globe", "title: Kugel\nwords: [Taster]\n", "words", "write callipers: Taster below it"),
        ("workshop", "words: [Taster]\n", "words", "write callipers: Taster below it"),
        ("globe", "film: x\n", "film", "write credit: below it"),
        ("globe", "title: [Kugel]\n", "title", "write it behind title:"),
        ("workshop", "note: {de: Erfunden}\n", "note", "write it behind note:"),
        ("globe", "steps:\n  - {id: sand, do: [Schleifen]}\n", "steps[1].do",
         "write it behind do:"),
    ],
)  # fmt: skip
def test_texts_of_another_shape_are_refused_and_never_passed_over(
    globe: Path, file: str, text: str, keys: str, write: str
) -> None:
    texts = globe.with_name(f"{file}.de.yaml")
    texts.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        in_languages(globe, ["de"])
    (fault,) = caught.value.faults
    assert (fault.file, fault.keys) == (texts, keys)
    assert write in fault.write
    line = text.splitlines()[(fault.line or 0) - 1]
    assert f"{keys.rpartition('.')[2]}:" in line


def test_a_design_without_texts_is_refused_before_anything_is_written(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    globe = folder / "globe.yaml"
    (folder / "globe.de.yaml").unlink()
    out = tmp_path / "out"
    assert main(["build", str(globe), "--language", "de", "--out", str(out)]) == 2
    assert "no file globe.de.yaml" in capsys.readouterr().err
    assert not (out / "handout.html").exists()


def test_a_language_without_words_is_refused(
    globe: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["build", str(globe), "--language", "tlh"]) == 2
    assert "write one of: en, de" in capsys.readouterr().err


def test_a_cousins_own_sentence_gets_no_translation_of_the_one_it_replaced(folder: Path) -> None:
    """lobed-globe is based on globe: what it inherits is German, what it says anew is not."""
    read = load(folder / "lobed-globe.yaml", "de")
    named = {".".join(map(str, one.keys)) for one in read.untranslated}
    assert "title" in named
    assert all(
        one.node.file.name == "lobed-globe.yaml" for one in read.untranslated if not one.name
    )
    inherited = next(one for one in read.design.steps if one.id == "mark-octagon")
    assert inherited.title == "Das Achteck anreißen"


def test_a_wood_keeps_its_figures_and_its_caution(
    folder: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    """What is known of a wood goes by its English name, whatever it is called on a page."""
    globe = edit(folder / "globe.yaml", "species: European sycamore", "species: yew")
    edit(folder / "workshop.de.yaml", "  European sycamore: Bergahorn", "  yew: Eibe")
    _, german = in_languages(globe, ["de"])
    assert german.species == "Eibe"
    text = plain(PAPERS["handout.html"](german))
    assert "Eibe steht auf veröffentlichten Listen" in text


def test_a_plain_build_takes_the_second_language_away(
    globe: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert main(["build", str(globe), "--language", "de", "--out", str(out)]) == 0
    assert languages_in(out) == ("de",)
    assert main(["build", str(globe), "--out", str(out)]) == 0
    assert languages_in(out) == ()
    assert not list(out.glob("*.de.*"))


def test_texts_of_a_stranger_run_nothing(
    globe: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    edit(
        globe.with_name("globe.de.yaml"), "title: Eine schlichte Kugel aus Bergahorn",
        "title: '<script>alert(1)</script> %(x)s {x}'",
    )  # fmt: skip
    edit(globe.with_name("workshop.de.yaml"), "  pencil: Bleistift", "  pencil: '<b>%s</b> {0}'")
    text = page(globe)
    assert "<script>alert" not in text
    assert "&lt;b&gt;%s&lt;/b&gt; {0}" in text
    edit(globe.with_name("globe.de.yaml"), "Schleifen Sie von", "{{ 7 * 7 }} {% x %}")
    with pytest.raises(BadInput):
        in_languages(globe, ["de"])


def test_a_design_in_german_is_german_throughout_and_english_its_second(
    in_german: Callable[[str], Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    design = in_german("globe")
    design.with_name("globe.en.yaml").write_text("title: A plain globe\n", encoding="utf-8")
    out = tmp_path / "out"
    assert main(["build", str(design), "--language", "en", "--out", str(out)]) == 0
    for name in ("handout.html", "cut-sheet.html", "demonstration.html", "reading.html"):
        assert '<html lang="de-DE">' in (out / name).read_text("utf-8")
    assert "HAUPTABMESSUNGEN" in (out / "description.txt").read_text("utf-8")
    assert "17,5 mm" in (out / "captions.srt").read_text("utf-8")
    english = (out / "handout.en.html").read_text("utf-8")
    assert '<html lang="en-GB">' in english
    assert '<h1 dir="auto">A plain globe</h1>' in english
    # what is not translated stands in the design's own language, and says so
    assert '<div class="do" lang="de-DE">' in english
    assert "17.5 mm" in english
    assert main(["check", str(design), "--out", str(out)]) == 0
    assert "; 0 to mend" in capsys.readouterr().out


def german_first(globe: Path, edit: Callable[[Path, str, str], Path]) -> Path:
    """A design that is written in German, beside an English workshop file with German texts."""
    globe.with_name("globe.de.yaml").unlink()
    edit(globe, "title: A plain", "language: de\ntitle: A plain")
    return edit(globe, "species: European sycamore", "species: yew")


def test_a_design_in_german_has_its_workshops_texts_in_german(
    globe: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    german_first(globe, edit)
    edit(globe.with_name("workshop.de.yaml"), "words:\n", "words:\n  yew: Eibe\n")
    assert load(globe).untranslated == ()
    text = plain(PAPERS["handout.html"](open_episode(globe)))
    assert "für diese Vorführung erfunden" in text
    assert "Alle Handouts der Reihe" in text
    assert "Eibe steht auf veröffentlichten Listen" in text
    assert "yew" not in text.casefold()
    assert 'lang="en-GB"' not in text


def test_what_a_german_designs_workshop_lacks_is_named_and_marked(
    globe: Path, edit: Callable[[Path, str, str], Path], capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:  # fmt: skip
    german_first(globe, edit)
    texts = globe.with_name("workshop.de.yaml")
    edit(texts, "  Every handout of the series: Alle Handouts der Reihe\n", "")
    assert main(["build", str(globe), "--out", str(tmp_path / "out")]) == 0
    told = [one for one in capsys.readouterr().err.splitlines() if "not there in Deutsch" in one]
    assert len(told) == 1
    assert f"write Every handout of the series: under words: in {texts}" in told[0]
    assert str(globe.with_name("workshop.yaml")) in told[0]
    text = (tmp_path / "out" / "handout.html").read_text("utf-8")
    assert 'lang="en-GB">Every handout of the series' in text


def test_a_workshop_without_german_texts_is_taken_as_german(
    globe: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    german_first(globe, edit)
    globe.with_name("workshop.de.yaml").unlink()
    assert load(globe).untranslated == ()


def test_a_german_cousin_has_what_it_inherits_in_german(globe: Path) -> None:
    cousin = globe.with_name("cousin.yaml")
    cousin.write_text("based_on: globe.yaml\nlanguage: de\ntitle: Eine kleinere Kugel\n", "utf-8")
    assert load(cousin).untranslated == ()
    text = plain(PAPERS["handout.html"](open_episode(cousin)))
    assert "Eine kleinere Kugel" in text
    assert "Das Achteck anreißen" in text


def test_a_language_that_is_none_is_told_and_looks_for_no_file(globe: Path) -> None:
    globe.write_text("language: ../x\n" + globe.read_text("utf-8"), "utf-8")
    with pytest.raises(BadInput, match="language"):
        open_episode(globe)
