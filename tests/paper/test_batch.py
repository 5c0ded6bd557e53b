"""The sheet for a batch: built when it is asked for, and checked like every other one."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from pdfminer.high_level import extract_text
from pypdf import PdfReader

from studio import cli
from studio.check.checks import run
from studio.check.context import Context
from studio.commands.build import build_files
from studio.episode.assemble import open_episode
from studio.episode.batches import as_batch
from studio.errors import BadInput
from studio.files import write_outputs
from studio.measure.trace import plain, spans
from studio.paper import visible_text
from studio.paper.batch import render
from studio.paper.pdfs import BATCH, pdf_sources


def squeezed(text: str) -> str:
    return "".join(text.replace("\u200b", "").split())


@pytest.fixture
def out(folder: Path, tmp_path: Path) -> Path:
    place = tmp_path / "out"
    write_outputs(place, build_files(open_episode(folder / "globe.yaml", pieces=24)))
    return place


def test_the_check_follows_the_folder_and_finds_a_slip(folder: Path, out: Path) -> None:
    context = Context.of(folder / "globe.yaml", out)
    assert run(context).findings == ()
    page = out / "batch.html"
    text = page.read_text("utf-8")
    assert "6.1\u00a0m" in text
    page.write_text(text.replace("6.1\u00a0m", "6.7\u00a0m", 1), "utf-8")
    (finding,) = run(Context.of(folder / "globe.yaml", out)).findings
    assert (finding.code, finding.where, finding.measurement) == (
        "wrong-number", "batch.html", "batch.wire",
    )  # fmt: skip


def test_a_slip_in_the_record_is_found(folder: Path, out: Path) -> None:
    record = json.loads((out / "batch.json").read_text("utf-8"))
    next(one for one in record["measurements"] if one["name"] == "batch.coils")["text"] = "3"
    (out / "batch.json").write_text(json.dumps(record), "utf-8")
    (finding,) = run(Context.of(folder / "globe.yaml", out)).findings
    assert (finding.where, finding.measurement) == ("batch.json", "batch.coils")


def test_a_caution_left_out_is_found(folder: Path, out: Path) -> None:
    page = out / "batch.html"
    short = "Mask and extraction on. Tool rest away."
    text = page.read_text("utf-8")
    assert short in text
    page.write_text(text.replace(short, ""), "utf-8")
    codes = {one.code for one in run(Context.of(folder / "globe.yaml", out)).findings}
    assert "missing-caution" in codes


def test_without_a_count_the_sheets_go_and_leftovers_are_told(
    folder: Path, out: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kept = (out / "batch.pdf").read_bytes()
    assert cli.main(["build", str(folder / "globe.yaml"), "--out", str(out)]) == 0
    assert not list(out.glob("batch*"))
    told = capsys.readouterr().err
    assert "the sheet for a batch of 24 is taken away" in told
    assert "--count 24 makes it anew" in told
    assert cli.main(["build", str(folder / "globe.yaml"), "--out", str(out)]) == 0
    assert "batch" not in capsys.readouterr().err
    (out / "batch.pdf").write_bytes(kept)
    (finding,) = run(Context.of(folder / "globe.yaml", out)).findings
    assert (finding.code, finding.where) == ("left-over-file", "batch.pdf")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheet_holds_every_figure_of_the_batch(paper: str, folder: Path) -> None:
    """Read back by two readers that had no part in making it: pdfminer.six and pypdf."""
    episode = open_episode(folder / "crowned-globe.yaml", pieces=24)
    pdf = pdf_sources(episode, paper)[BATCH].press()
    text = squeezed(extract_text(io.BytesIO(pdf)))
    table = as_batch(episode).table
    printed = {span.name for span in spans(render(episode))[1]}
    for name in table:
        if name.startswith("batch."):
            assert name in printed, name
            assert squeezed(table[name].text) in text, name
    size = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    assert float(size.width) == pytest.approx(595.3 if paper == "A4" else 612, abs=0.1)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_boards_are_told_in_both_systems(
    units: str, folder: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    """Boards typed in millimetres, in a metric workshop and in one that reads inches first."""
    edit(folder / "workshop.yaml", "first: metric", f"first: {units}")
    episode = open_episode(folder / "crowned-globe.yaml", pieces=24)
    board = as_batch(episode).table["batch.board_1"]
    assert board.metric.text == "700 × 170 × 80 mm"
    assert board.imperial.text == "27 9/16 × 6 11/16 × 3 5/32 in"
    page = squeezed(visible_text(plain(render(episode))))
    pdf = squeezed(extract_text(io.BytesIO(pdf_sources(episode, "A4")[BATCH].press())))
    for system in (board.metric, board.imperial):
        assert squeezed(system.text) in page
        assert squeezed(system.text) in pdf


SPEEDS = re.compile(r"([\d,]+)\u00a0rpm")


@pytest.mark.parametrize(
    ("stage", "does"),
    [
        ("general", "hollowing"),
        ("finish", "sanding"),
        (None, "spindle-running"),
        ("general", "spindle-running"),
    ],
)
def test_a_step_is_set_to_no_more_than_its_cautions_allow(
    stage: str | None, does: str, folder: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    """Each operation's own settings against the speed that its caution gives, as they are read."""
    design = folder / "crowned-globe.yaml"
    typed = "does: [mounting, spindle-running, drilling, hollowing, callipers]\n    stage: general"
    staged = f"\n    stage: {stage}" if stage else ""
    edit(design, typed, f"does: [mounting, {does}]{staged}")
    _, *operations = plain(render(open_episode(design, pieces=12))).split('<li class="step">')
    told = 0
    for operation in operations:
        settings, _, cautions = operation.partition('<ul class="short-cautions">')
        allowed = SPEEDS.findall(cautions)
        assert SPEEDS.findall(settings)[-1:] == allowed[-1:], operation
        told += len(allowed)
    assert told >= 8


@pytest.mark.parametrize("typed", ["0", "10001", "-3", "2.5", "many", "", "²", "9" * 400])
def test_a_count_that_is_none_is_told(typed: str, folder: Path, capsys, tmp_path: Path) -> None:
    place = tmp_path / "none"
    code = cli.main(["build", str(folder / "globe.yaml"), f"--count={typed}", "--out", str(place)])
    told = capsys.readouterr().err
    assert code == 2
    assert "write a whole number from 1 to 10,000" in told
    assert len(told) < 300
    assert not place.exists()


def test_a_record_from_elsewhere_does_no_harm(folder: Path, out: Path) -> None:
    for text in ("[]", "{", '{"pieces": true}', '{"pieces": 1e9}', '{"pieces": "24"}'):
        (out / "batch.json").write_text(text, "utf-8")
        findings = run(Context.of(folder / "globe.yaml", out)).findings
        assert {one.code for one in findings} == {"left-over-file"}


def test_no_batch_no_sheet(folder: Path) -> None:
    with pytest.raises(ValueError, match="without a batch"):
        render(open_episode(folder / "globe.yaml"))
    with pytest.raises(BadInput):
        open_episode(folder / "nothing.yaml", pieces=3)
