"""Marks by plate, dividers or strip: what is printed for each, and how far its steps close."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from studio.commands.build import build
from studio.episode.assemble import open_episode
from studio.measure.measurement import System
from studio.measure.units import mm_from
from studio.paper.markup import visible_text

Edit = Callable[[Path, str, str], Path]
FaultsOf = Callable[[Path], list[str]]

NO_PLATE = ("index_plates: [24, 36, 60]\n", "")

BOX = r'<section id="your-size".*?</section>'


def marked(folder: Path, indexing: str, do: str = "Mark {{ index.marks }}.") -> Path:
    path = folder / "marked.yaml"
    path.write_text(
        "title: Marked\nstock: {species: European sycamore, diameter: 60 mm}\n"
        f"indexing: {{{indexing}}}\ngrooves: {{number: 4, width: 6 mm, depth: 2 mm}}\n"
        f'steps:\n  - {{id: mark, title: Mark, does: [nothing], do: "{do}"}}\n',
        encoding="utf-8",
    )
    return path


def test_a_workshop_without_plates_marks_by_strip(folder: Path, edit: Edit) -> None:
    edit(folder / "workshop.yaml", *NO_PLATE)
    episode = open_episode(marked(folder, "marks: 8"))
    table = episode.table
    assert table["index.by"].text == "paper strip"
    assert not {"index.plate", "index.stops", "axis.stops_1"} & table.keys()
    # 60 mm: chord 60·sin 22.5°, arc 60π/8
    assert table["index.chord"].value == pytest.approx(60 * np.sin(np.pi / 8))
    assert table["index.strip"].value == pytest.approx(60 * np.pi / 8)
    (card,) = [one for one in episode.schedules if one.name == "axis.card"]
    assert not any("plate" in words for words in (*card.columns, *card.notes))
    assert table["tolerance.index_driver"].text != "placing the mark"


@pytest.mark.parametrize("way", ["dividers", "strip"])
def test_papers_of_marks_without_a_plate_speak_of_none(
    folder: Path, edit: Edit, tmp_path: Path, way: str
) -> None:
    edit(folder / "workshop.yaml", *NO_PLATE)
    out = tmp_path / "out"
    assert build(marked(folder, f"marks: 8, by: {way}"), out, as_json=False) == 0
    for page in ("handout.html", "cut-sheet.html"):
        # the box asks a viewer for a plate of their own
        told = re.sub(BOX, "", (out / page).read_text(encoding="utf-8"), flags=re.DOTALL)
        text = visible_text(told)
        assert not re.search(r"index plate|the plate (of|brings)|\bstops\b", text), page


def test_every_mark_of_a_strip_is_measured_from_its_end(folder: Path) -> None:
    """numpy: places k·π·60/8, each rounded by itself, so that none is off by more than a half."""
    episode = open_episode(marked(folder, "marks: 8, by: strip"))
    exact = np.pi * 60 / 8 * np.arange(8)
    shown = [
        episode.table[f"index.strip_at_{k + 1}"].reading(System.METRIC).value for k in range(8)
    ]
    assert np.abs(np.array(shown) - exact).max() <= 0.05 + 1e-9
    (table,) = [one for one in episode.schedules if one.name == "index.strip_marks"]
    assert len(table.rows) == 8


@pytest.mark.parametrize("marks", [8, 16, 48])
def test_the_closing_errors_are_those_of_the_printed_settings(folder: Path, marks: int) -> None:
    """Stepped round by numpy, one mark after the other."""
    table = open_episode(marked(folder, f"marks: {marks}, by: strip")).table
    for system in System:
        step = mm_from(system, table["index.strip"].reading(system).value)
        stepped = np.cumsum(np.full(marks, step))[-1] - np.pi * 60
        told = table["index.strip_closing"].reading(system)
        assert mm_from(system, told.value) == pytest.approx(stepped, abs=0.013)
        assert told.text.endswith("past" if stepped > 0 else "short")
        chord = mm_from(system, table["index.chord"].reading(system).value)
        at = 1 + 0j
        turned = 0.0
        for _ in range(marks):
            after = at * np.exp(2j * np.arcsin(chord / 60))
            turned += float(np.angle(after / at))
            at = after
        told = table["index.closing"].reading(system)
        assert mm_from(system, told.value) == pytest.approx((turned - math.tau) * 30, abs=0.013)
    assert "never from the mark before" in table["index.strip_closing"].where


def test_a_text_that_names_stops_is_told_what_to_write(folder: Path, faults_of: FaultsOf) -> None:
    path = marked(folder, "marks: 8, by: strip", "Every {{ index.stops }} stops.")
    (told,) = faults_of(path)
    assert "marked.yaml:6:" in told
    assert "this design has no index.stops" in told
    assert "write {{ index.chord }}" in told


def test_ways_that_cannot_be_are_told(folder: Path, edit: Edit, faults_of: FaultsOf) -> None:
    (told,) = faults_of(marked(folder, "marks: 56"))
    assert "by: dividers or by: strip" in told
    assert (
        open_episode(marked(folder, "marks: 56, by: dividers")).table["index.by"].text == "dividers"
    )
    notes = open_episode(marked(folder, "marks: 8, by: strip, plate: 24")).notes
    assert any("the plate of 24 stops is left aside" in note for note in notes)
    edit(folder / "workshop.yaml", *NO_PLATE)
    told = "".join(faults_of(marked(folder, "marks: 8, by: plate")))
    assert "no plate in the workshop file divides" in told
    two = marked(folder, "marks: 2, by: dividers")
    two.write_text(two.read_text("utf-8").replace("number: 4", "number: 1"), encoding="utf-8")
    assert any("dividers cannot step them off" in one for one in faults_of(two))


def test_one_groove_prints_nothing_of_grooves_that_meet(folder: Path, faults_of: FaultsOf) -> None:
    path = marked(folder, "marks: 4")
    text = path.read_text("utf-8").replace("number: 4", "number: 1")
    path.write_text(text, encoding="utf-8")
    episode = open_episode(path)
    assert not {"grooves.merge_latitude", "grooves.cap", "grooves.turn"} & episode.table.keys()
    (card,) = [one for one in episode.schedules if one.name == "axis.card"]
    assert "Turned on by" not in card.columns
    # half way round, less the groove itself
    assert episode.table["grooves.land"].value == pytest.approx(30 * np.pi - 6, abs=1e-6)
    path.write_text(text.replace("{{ index.marks }}", "{{ grooves.cap }}"), encoding="utf-8")
    (told,) = faults_of(path)
    assert "one groove meets no other" in told


def test_a_depth_too_small_for_the_rule_is_printed_in_thousandths(folder: Path) -> None:
    """0.045 in on a rule of 1/32 in would be 1/32: a third less."""
    path = folder / "shallow.yaml"
    path.write_text(
        "title: Shallow\nstock: {species: hard maple, diameter: 2 1/2 in}\n"
        "grooves: {number: 4, width: 3/16 in, depth: 0.045 in, keep: width}\n"
        "workshop: {units: {first: imperial, fraction_step: 1/32 in}, cutters: [1/4 in]}\n"
        "steps:\n  - {id: mark, title: Mark, does: [nothing], do: Mark.}\n",
        encoding="utf-8",
    )
    table = open_episode(path).table
    depth = table["grooves.depth"]
    inches = depth.value / 25.4
    assert depth.text == f"{round(inches, 3):g} in"
    assert "too coarse" in depth.rule
    assert table["grooves.width"].text == "3/16 in"


def test_an_imperial_sentence_has_no_millimetres(folder: Path, faults_of: FaultsOf) -> None:
    path = folder / "imperial.yaml"
    path.write_text(
        "title: Imperial\nstock: {species: hard maple, diameter: 2 1/2 in}\n"
        "workshop: {units: {first: imperial}}\n"
        "parts:\n  finial:\n    profile:\n"
        "      - {shape: taper, length: 1 in, start: 3/32 in, end: 1/4 in}\n"
        "      - {shape: cove, length: 1/2 in, throat: 1/16 in, start: 1/4 in, end: 5/16 in}\n"
        "      - {shape: fillet, length: 1/8 in, diameter: 5/8 in}\n"
        "      - {shape: tenon, length: 3/8 in, diameter: 1/4 in}\n"
        "    hole: 5/8 in\n"
        "steps:\n  - {id: turn, title: Turn, does: [spindle-running], stage: general, do: Do.}\n",
        encoding="utf-8",
    )
    told = faults_of(path)
    assert any("thinner than finial's least neck" in one for one in told)
    assert not any(" mm" in one for one in told)
    assert any("1/16 in" in one for one in told)
