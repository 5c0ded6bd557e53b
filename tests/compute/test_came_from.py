"""What a table says was typed stands in the file; a default and a scaled length say so."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from studio.episode.assemble import open_episode
from studio.measure.listing import records
from studio.measure.units import QuantityError, parse_length

SHIPPED = Path(__file__).parents[2] / "designs"
STEPS = "steps:\n  - {id: a, title: A, does: [mounting], stage: off-centre, do: Do it.}\n"
SMALL = (
    "title: Few words\nstock: {species: cherry, diameter: 60 mm}\nindexing: {marks: 8}\n"
    "grooves: {number: 4, width: 6 mm, depth: 2 mm}\n"
)
BARE = "name: Bare bench\nlathe: {slowest: 200 rpm, fastest: 3000 rpm}\ncutters: [7 mm]\n"
BOARD = "board: {length: 600 mm, width: 140 mm, thickness: 68 mm}"
HANGING = SMALL + "hanger: {wire: 22 AWG, pitch: 6 mm}\n"
HOLLOW = SMALL + "hollow: {wall: 9 mm, opening: 14 mm}\n"


def lengths(value: Any) -> Iterator[float]:
    """Every length among a document's scalars, in mm."""
    if isinstance(value, dict):
        for one in value.values():
            yield from lengths(one)
    elif isinstance(value, list):
        for one in value:
            yield from lengths(one)
    elif isinstance(value, str):
        try:
            yield float(parse_length(value).mm)
        except QuantityError:
            return


def typed_in(path: Path) -> set[float]:
    """Lengths that a design, and what it is based on, types; read by PyYAML alone."""
    document = yaml.safe_load(path.read_text(encoding="utf-8"))
    below = document.get("based_on")
    return set(lengths(document)) | (typed_in(path.parent / below) if below else set())


@pytest.mark.parametrize("name", ["globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe"])
def test_a_length_that_is_said_to_be_typed_stands_in_the_file(name: str) -> None:
    path = SHIPPED / f"{name}.yaml"
    table = open_episode(path).table
    typed = typed_in(path)
    said = [one for one in table.values() if one.unit == "mm" and one.formula.startswith("typed")]
    claimed = [one for one in said if "design" in one.source]
    assert len(claimed) >= 4
    for one in claimed:
        assert any(abs(one.value - length) < 1e-6 for length in typed), one.name


def test_defaults_say_so(folder: Path, tmp_path: Path) -> None:
    path = folder / "few.yaml"
    path.write_text(HANGING + STEPS, encoding="utf-8")
    table = open_episode(path).table
    typed = typed_in(path)
    for one in table.values():
        if one.formula == "typed" and one.unit == "mm" and "design" in one.source:
            assert any(abs(one.value - length) < 1e-6 for length in typed), one.name
    for name in ("stock.headstock", "hanger.clearance", "hanger.depth", "hanger.loop",
                 "stock.partings", "hanger.strands"):  # fmt: skip
        assert table[name].formula == "default", name
        assert table[name].source == "default, not typed in the design"
        assert "typed" not in table[name].rule
    assert table["grooves.width"].formula == "typed"
    assert table["hanger.pitch"].formula == "typed"
    (owned,) = (one for one in records(table) if one["name"] == "grooves.cutter")
    # the folder's workshop file names them
    assert owned["source"] == "the workshop file"
    alone = tmp_path / "alone" / "few.yaml"
    alone.parent.mkdir()
    (alone.parent / "workshop.yaml").write_text(BARE, encoding="utf-8")
    alone.write_text(HOLLOW.replace("60 mm}", f"60 mm, {BOARD}}}") + STEPS, encoding="utf-8")
    bare = open_episode(alone).table
    assert bare["hollow.least_wall"].formula == "default"
    assert bare["hollow.wall"].formula == "typed"
    assert bare["grooves.cutter"].source == "the workshop file"
    assert bare["stock.kerf"].formula == "default"
    assert bare["stock.kerf"].source == "default, not in the workshop file"


def test_scaled_lengths_say_from_what(folder: Path) -> None:
    base, small = folder / "base.yaml", folder / "small.yaml"
    base.write_text(HOLLOW + STEPS, encoding="utf-8")
    small.write_text("title: Smaller\nbased_on: base.yaml\nscale_to: 45 mm\n", encoding="utf-8")
    table = open_episode(small).table
    width = table["grooves.width"]
    assert width.text == "4.5 mm"
    assert width.formula == "scaled by 0.75 from 6 mm"
    assert width.source == "scaled from another design"
    assert width.rule.startswith("as scaled;")
    assert table["hollow.wall"].formula == "scaled by 0.75 from 9 mm"
    assert "scaled was 1.5 mm (1/16 in); width as scaled" in table["grooves.depth"].formula
    # what the cousin types itself is typed again, and what does not scale is not said to
    assert table["sphere.diameter"].formula == "typed"
    assert table["hollow.least_wall"].formula == "default"
    small.write_text(
        "title: Smaller\nbased_on: base.yaml\nscale_to: 45 mm\ngrooves: {width: 5 mm}\n",
        encoding="utf-8",
    )
    assert open_episode(small).table["grooves.width"].formula == "typed"


def test_a_measured_diameter_is_said_to_be_measured(folder: Path) -> None:
    path = folder / "few.yaml"
    path.write_text(SMALL + STEPS + "as_measured: {diameter: 59.6 mm}\n", encoding="utf-8")
    diameter = open_episode(path).table["sphere.diameter"]
    assert (diameter.formula, diameter.source) == ("callipers", "as measured at the bench")
    assert re.fullmatch(r"59\.6 mm", diameter.text)
