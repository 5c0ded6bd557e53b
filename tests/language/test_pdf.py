"""The German PDFs as other people's readers find them."""

from __future__ import annotations

import re
from pathlib import Path

import pypdf
import pytest
from pdfminer.high_level import extract_text

from studio.episode.languages import in_languages
from studio.episode.records import Episode
from studio.paper import views
from studio.paper.pdfs import pdf_files
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


def test_both_are_made_and_say_that_they_are_german(made: tuple[Episode, Path]) -> None:
    """Outside: pypdf; ISO 32000-1, 14.9.2, wants the language in the catalogue."""
    _, folder = made
    assert {one.name for one in folder.iterdir()} == {"handout.de.pdf", "demonstration.de.pdf"}
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
