"""The German PDFs as other people's readers find them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pypdf
import pytest
from pdfminer.high_level import extract_pages, extract_text
from pdfminer.layout import LTCurve, LTTextContainer

from studio.episode.assemble import open_episode
from studio.episode.languages import in_languages
from studio.episode.records import Episode
from studio.paper import views
from studio.paper.pdfs import pdf_files, template_content
from studio.resources import shipped


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Episode, Path]:
    folder = tmp_path_factory.mktemp("pdf")
    _, german = in_languages(shipped("designs") / "globe.yaml", ["de"])
    for name, data in pdf_files(german, "A4", second=True).items():
        (folder / name).write_bytes(data)
    return german, folder


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def test_all_are_made_and_say_that_they_are_german(made: tuple[Episode, Path]) -> None:
    """Outside: pypdf; ISO 32000-1, 14.9.2, wants the language in the catalogue."""
    _, folder = made
    assert {one.name for one in folder.iterdir()} == {
        "handout.de.pdf", "demonstration.de.pdf", "templates.de.pdf",
    }  # fmt: skip
    for path in folder.iterdir():
        reader = pypdf.PdfReader(path)
        assert str(reader.root_object["/Lang"]).lower().startswith("de")
        assert reader.root_object["/MarkInfo"]["/Marked"]


def test_the_handout_holds_every_figure_with_german_signs(made: tuple[Episode, Path]) -> None:
    """Outside: pdfminer.six."""
    german, folder = made
    text = squeezed(extract_text(folder / "handout.de.pdf"))
    for one in german.table.values():
        assert squeezed(one.text) in text, one.name
        assert squeezed(one.label) in text, one.name
    assert "17,5mm" in text
    assert "17.5mm" not in text
    assert squeezed("die örtlichen Vorschriften") in text


def test_the_sheet_to_hand_round_is_one_sheet_with_every_caution(
    made: tuple[Episode, Path],
) -> None:
    german, folder = made
    path = folder / "demonstration.de.pdf"
    assert len(pypdf.PdfReader(path).pages) == 1
    text = squeezed(extract_text(path))
    for notice in views.cautions(german):
        words = re.sub("[\ue000-\ue002]", "", notice.caution.short)
        assert squeezed(words.rpartition(":")[0][-20:]) in text


def test_the_templates_are_german_and_their_lines_the_same(made: tuple[Episode, Path]) -> None:
    """Outside: pdfminer.six reads words and lines of both languages' files."""
    _, folder = made
    path = folder / "templates.de.pdf"
    text = squeezed(extract_text(path))
    for words in ("Schablonen", "Kugellehre", "Mit 100 % drucken", "Teilungsstreifen"):
        assert squeezed(words) in text
    assert "17,5mm" in text
    assert "17.5mm" not in text
    assert not re.search("gauge|strip|along|Print", text)
    english, _ = in_languages(shipped("designs") / "globe.yaml", ["de"])
    (folder / "templates.pdf").write_bytes(pdf_files(english, "A4")["templates.pdf"])
    ours, theirs = (drawn(folder / name) for name in ("templates.pdf", path.name))
    assert sum(ours.values()) > 300
    assert ours == theirs
    (folder / "templates.pdf").unlink()


def drawn(path: Path) -> Counter[tuple[float, ...]]:
    """How wide and high each line is, and how often, to a hundredth of a point: a sheet's words
    may take more room, and move what stands below them."""
    return Counter(
        (round(one.width, 2), round(one.height, 2))
        for page in extract_pages(path)
        for one in page
        if isinstance(one, LTCurve) and one.width < 500
    )


def test_a_design_in_german_has_german_templates(in_german: Callable[[str], Path]) -> None:
    content = template_content(open_episode(in_german("globe")), "A4")
    assert content["kind"] == "Schablonen"
    assert content["language"] == ["de", "DE"]
    assert [one["heading"] for one in content["items"]][:2] == [
        "Kugellehre", "Anreißlehre für das Achteck",
    ]  # fmt: skip


def test_no_unit_is_parted_at_its_slash(made: tuple[Episode, Path]) -> None:
    """A line may break behind a solidus (UAX 14, class SY); outside: pdfminer.six."""
    german, _ = made
    wide = ["Das ist " + "w" * more + " 2.500\u00a0U/min, 9,4\u00a0m/s." for more in range(1, 60)]
    episode = replace(german, summary="\n\n".join(" ".join([one] * 3) for one in wide))
    text = extract_text(BytesIO(pdf_files(episode, "A4", second=True)["handout.de.pdf"]))
    assert text.count("U/min, 9,4\u00a0m/s.") > 100
    assert re.findall(r"(?:U|m)/\s", text) == []


def test_long_words_are_found_and_parted_by_syllable(made: tuple[Episode, Path]) -> None:
    """Outside: pdfminer.six; the word's parts as its compound has them, Weihnachts-baum-kugel."""
    german, _ = made
    word = "Weihnachtsbaumkugelaufhängerspitze"
    episode = replace(german, summary=" ".join(word + " am Draht"[:n] for n in [*range(1, 10)] * 3))
    text = extract_text(BytesIO(pdf_files(episode, "A4", second=True)["handout.de.pdf"]))
    assert "\u200b" not in text
    assert text.count(word) > 10
    parted = re.findall(r"(\w+)\u00ad\n(\w+)", text)
    assert {"Weihnachts", "Weih"} & {first for first, _ in parted}
    assert {one + other for one, other in parted} <= {word}


def test_a_note_runs_over_its_row_where_wide_figures_leave_its_label_no_room(
    folder: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    """Coarse steps make "1,68 mm zu kurz": beside that a note had 30 of a list's 85 mm."""
    workshop = edit(folder / "workshop.yaml", "metric_step: 0.1 mm", "metric_step: 0.5 mm")
    edit(workshop, "fraction_step: 1/64 in", "fraction_step: 1/16 in")
    _, german = in_languages(folder / "globe.yaml", ["de"])
    data = pdf_files(german, "A4", second=True)["handout.de.pdf"]
    [note] = [
        line
        for page in extract_pages(BytesIO(data))
        for box in page
        if isinstance(box, LTTextContainer)
        for line in box
        if line.get_text().startswith("trifft der Umgang die erste Marke nicht")
    ]
    assert note.width > 70 * 72 / 25.4
