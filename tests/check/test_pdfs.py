"""Each PDF is the one that the design makes."""

from __future__ import annotations

import json

import pytest

from studio.check import pdfs
from studio.check.context import Context
from studio.check.findings import Outcome
from studio.commands.build import build_files
from studio.episode.assemble import open_episode
from studio.files import cache_folder, write_outputs
from studio.paper import pdfs as pdfs_of_papers
from studio.paper.pdfs import CUT_SHEET, HANDOUT, PDFS, TEMPLATES, pdf_files, pdf_sources
from studio.paper.typeset.press import data_of, pressed, stamp_in


def found(built) -> Outcome:
    return pdfs.check(Context.of(built.design, built.out))


def test_nothing_is_found_in_what_was_built(built) -> None:
    outcome = found(built)
    assert outcome.findings == ()
    assert outcome.traced > 10


def test_the_sheets_of_another_size_say_other_figures(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    kept = {name: (built.out / name).read_bytes() for name in PDFS}
    built.design.write_text(text.replace("diameter: 60 mm", "diameter: 58 mm"), "utf-8")
    write_outputs(built.out, build_files(open_episode(built.design)))
    for name, content in kept.items():
        (built.out / name).write_bytes(content)
    findings = found(built).findings
    assert {one.where for one in findings} == set(PDFS)
    assert {one.code for one in findings} == {"wrong-number"}
    assert any("60" in one.said and "58" in one.expected for one in findings)
    assert all(one.at.startswith("page ") for one in findings)


def changed(built, name: str, change) -> None:
    source = pdf_sources(open_episode(built.design), "A4")[name]
    data = json.loads(source.data)
    change(data)
    (built.out / name).write_bytes(pressed(source.sheet, data_of(data)))


@pytest.mark.parametrize("name", [HANDOUT, CUT_SHEET])
def test_one_figure_is_found(built, name: str) -> None:
    def slip(data) -> None:
        whole = json.dumps(data["body"])
        assert "17.5 mm" in whole
        data["body"] = json.loads(whole.replace("17.5 mm", "17.8 mm", 1))

    changed(built, name, slip)
    (finding,) = found(built).findings
    assert (finding.code, finding.where) == ("wrong-number", name)
    assert "17.8" in finding.said
    assert "17.5" in finding.expected


def test_a_line_that_lies_elsewhere_is_found(built) -> None:
    def stretch(data) -> None:
        data["items"][0]["paths"][0][1][0] += 0.3

    changed(built, TEMPLATES, stretch)
    (finding,) = found(built).findings
    assert (finding.code, finding.where) == ("page-changed", TEMPLATES)


def test_a_changed_word_is_found(built) -> None:
    def reword(data) -> None:
        data["items"][0]["how"] = data["items"][0]["how"].replace("thick", "thin")

    changed(built, TEMPLATES, reword)
    (finding,) = found(built).findings
    assert (finding.code, finding.at) == ("page-changed", "page 1")


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7\n", b"not a PDF", None])
def test_what_cannot_be_read_is_missing(built, content: bytes | None) -> None:
    path = built.out / HANDOUT
    path.unlink()
    if content is not None:
        path.write_bytes(content)
    (finding,) = found(built).findings
    assert (finding.code, finding.where) == ("missing-file", HANDOUT)


def test_sheets_of_the_other_size_are_found(built) -> None:
    for name, content in pdf_files(open_episode(built.design), "Letter").items():
        (built.out / name).write_bytes(content)
    assert {one.where for one in found(built).findings} == set(PDFS)


def test_the_workshop_says_which_sheets(built) -> None:
    workshop = built.design.with_name("workshop.yaml")
    workshop.write_text(workshop.read_text(encoding="utf-8") + "paper: Letter\n", "utf-8")
    files = build_files(open_episode(built.design))
    assert files[HANDOUT] == pdf_files(open_episode(built.design), "Letter")[HANDOUT]
    write_outputs(built.out, files)
    assert found(built).findings == ()


def test_an_unknown_sheet_is_told(built, faults_of) -> None:
    workshop = built.design.with_name("workshop.yaml")
    workshop.write_text(workshop.read_text(encoding="utf-8") + "paper: letter\n", "utf-8")
    (told,) = faults_of(built.design)
    assert "'letter' is not known here" in told
    assert "did you mean Letter? write one of: A4, Letter" in told


def test_a_pdf_that_was_pressed_before_is_not_pressed_again(
    built, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert built.check().findings == ()
    monkeypatch.setattr(pdfs_of_papers, "pressed", _never)
    assert built.check().findings == ()


@pytest.mark.parametrize("spoilt", ["", "0" * 64, "no digest"])
def test_what_is_remembered_hides_no_changed_pdf(built, spoilt: str) -> None:
    assert built.check().findings == ()
    kept = cache_folder() / "pressed"
    (kept / stamp_in((built.out / "handout.pdf").read_bytes())).write_text(spoilt, "ascii")
    assert built.check().findings == ()
    pdf = built.out / "handout.pdf"
    pdf.write_bytes(pdf.read_bytes() + b"%")
    assert [one.code for one in built.check().findings] == ["page-changed"]


def _never(sheet: str, data: bytes) -> bytes:
    raise AssertionError(f"{sheet} was pressed again")
