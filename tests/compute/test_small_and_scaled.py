"""What stays when a piece is small, or another size, or has no ball."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.errors import BadInput
from studio.measure.units import QuantityError, parse_grit_label
from tests.compute.told import START, STEPS, table, written

FOLLOWS = (
    "parts:\n  drop:\n    place: bottom\n    hole: 4 mm\n"
    "    profile: [{shape: taper, length: 14 mm, start: 4 mm, end: 12 mm}, "
    "{shape: fillet, length: 2 mm, diameter: 13 mm}, {shape: tenon, length: 8 mm}]\n"
)


@pytest.mark.parametrize("size", ["30 mm", "60 mm", "90 mm"])
def test_a_tenon_that_follows_its_hole_scales_with_it_standing(folder: Path, size: str) -> None:
    written(folder, FOLLOWS)
    cousin = folder / "cousin.yaml"
    cousin.write_text(f"title: Cousin\nbased_on: told.yaml\nscale_to: {size}\ncredit: Ours.\n")
    was, now = (open_episode(folder / name).table for name in ("told.yaml", "cousin.yaml"))
    for name in ("drop.hole", "drop.tenon"):
        assert now[name].value == was[name].value
    assert now["drop.length"].value != was["drop.length"].value or size == "60 mm"


def test_a_hole_is_computed_again_where_the_tenon_says_how_thick_it_is(folder: Path) -> None:
    written(folder, FOLLOWS.replace("tenon, length: 8 mm", "tenon, length: 8 mm, diameter: 3.8 mm"))
    cousin = folder / "cousin.yaml"
    cousin.write_text("title: Cousin\nbased_on: told.yaml\nscale_to: 70 mm\ncredit: Ours.\n")
    assert any("parts.drop.hole is computed again" in one for one in open_episode(cousin).notes)


def test_marks_of_a_ball_too_small_for_its_third_round_have_a_tolerance(folder: Path) -> None:
    start = START.replace("60 mm", "19 mm")
    text = "indexing: {marks: 12}\nworkshop: {accuracy: {marking: 0.5 mm, run_out: 0.1 mm}}\n"
    episode = open_episode(written(folder, text, start))
    assert {"tolerance.index", "tolerance.index_driver"} <= episode.table.keys()
    assert "tolerance.sphere" not in episode.table
    assert any(note.startswith("tolerance:") for note in episode.notes)
    larger = table(folder, text)
    assert "tolerance.sphere" in larger


def test_a_neck_too_thin_names_the_size_at_which_it_does_without_a_ball_too(folder: Path) -> None:
    profile = (
        "parts:\n  drop:\n    profile: [{shape: taper, length: 20 mm, start: 0 mm, end: 6 mm}, "
        "{shape: straight, length: 4 mm, diameter: 3.5 mm}, "
        "{shape: fillet, length: 6 mm, diameter: 14 mm}]\n"
    )
    path = folder / "drop.yaml"
    start = "title: Told\nform: turned\nstock: {species: cherry, diameter: 24 mm}\n"
    path.write_text(start + profile + STEPS, encoding="utf-8")
    cousin = folder / "half.yaml"
    text = "title: Half\nbased_on: drop.yaml\nscale_to: SIZE\ncredit: Ours.\n"
    cousin.write_text(text.replace("SIZE", "18 mm"))
    with pytest.raises(BadInput) as raised:
        open_episode(cousin)
    told = "\n".join(str(fault) for fault in raised.value.faults)
    size = re.search(r"scale the whole design to (\d[\d.]* mm) or more", told)
    assert size is not None, told
    assert float(size[1].split()[0]) == pytest.approx(24 * 3 / 3.5, abs=0.05)  # the neck as written
    cousin.write_text(text.replace("SIZE", size[1]))
    open_episode(cousin)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("P180", "P180"), ("FEPA P180", "P180"), ("fepa p180 grit", "P180"),
        ("CAMI 120", "CAMI 120"), ("120 CAMI", "CAMI 120"), ("cami120", "CAMI 120"),
    ],
)  # fmt: skip
def test_a_paper_that_names_its_scale_is_read(folder: Path, typed: str, read: str) -> None:
    assert parse_grit_label(typed) == read
    found = open_episode(written(folder, f"sanding: {{grits: [{typed}]}}\n"))
    assert any(measured.text == read for measured in found.table.values())


@pytest.mark.parametrize("typed", ["180", "FEPA 180", "P180 CAMI", "CAMI P120", "grit 180"])
def test_a_paper_without_one_scale_is_refused(typed: str) -> None:
    with pytest.raises(QuantityError, match="does not say which scale"):
        parse_grit_label(typed)
