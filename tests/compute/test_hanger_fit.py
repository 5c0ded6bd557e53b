"""What a hanger's hole really leaves round its wire, and one wire that is bent, not twisted."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.measure.measurement import System

STEPS = (
    "steps:\n  - id: turn\n    title: Turn\n    does: [spindle-running]\n"
    "    stage: general\n    do: Do it.\n"
)


def written(folder: Path, hanger: str, drills: str = "", units: str = "") -> Path:
    path = folder / "fit.yaml"
    workshop = f"workshop: {{{', '.join(filter(None, (drills, units)))}}}\n"
    path.write_text(
        f"title: Fit\nstock: {{species: cherry, diameter: 60 mm}}\nhanger: {{{hanger}}}\n"
        f"{workshop if drills or units else ''}{STEPS}",
        encoding="utf-8",
    )
    return path


TWO = "wire: 22 AWG, strands: 2"
COARSE = 'drills: ["metric 6 mm to 10 mm by 1 mm"]'


def test_the_play_is_the_drill_less_the_bundle_as_printed(folder: Path) -> None:
    # two wires of 0.6438 mm (ASTM B258) side by side are 1.2876 mm, printed up; the drill is 6 mm
    episode = open_episode(written(folder, TWO, COARSE))
    play = episode.table["hanger.play"]
    assert play.metric.text == "4.71 mm"
    assert play.value == pytest.approx(6 - 2 * 0.6438, abs=0.001)
    # a letter B drill is 0.238 in (ASME B94.11M), the bundle 0.051 in
    assert episode.table["hanger.drill"].imperial.text == "B"
    assert play.imperial.text == "0.187 in"


def test_a_hole_far_too_wide_is_told_with_a_drill_that_ends_the_note(folder: Path) -> None:
    told = [one for one in open_episode(written(folder, TWO, COARSE)).notes if "play" in one]
    assert len(told) == 1
    assert "4.71 mm" in told[0]
    wanted = re.search(r"get a drill of ([\d.]+ mm)", told[0])
    assert wanted is not None
    better = COARSE.replace("]", f', "{wanted[1]}"]')
    episode = open_episode(written(folder, TWO, better))
    assert not [one for one in episode.notes if "play" in one]
    assert episode.table["hanger.drill"].text == wanted[1]


def test_a_metric_drill_in_an_inch_shop_leaves_its_play_in_inches(folder: Path) -> None:
    units = "units: {first: imperial, fraction_step: 1/64 in}"
    table = open_episode(written(folder, TWO, COARSE, units)).table
    assert table["hanger.drill"].text == "6 mm"
    # 6 mm is 0.2362 in
    assert table["hanger.play"].reading(System.IMPERIAL).text == "0.185 in"


def test_one_strand_is_bent_and_not_twisted(folder: Path) -> None:
    episode = open_episode(written(folder, "wire: 22 AWG, strands: 1, pitch: 6 mm"))
    table = episode.table
    for key in ("turns", "pitch", "take_up"):
        assert f"hanger.{key}" not in table
    assert not [one for one in table.values() if "wist" in one.label]
    # one turn of a 0.6438 mm wire (ASTM B258) round a 6 mm rod, 15 mm of reach, 12 mm of hole,
    # 15 mm in the pliers
    assert table["hanger.cut"].value == pytest.approx(math.pi * 6.6438 + 15 + 12 + 15, abs=0.001)
    assert table["hanger.cut"].text == table["hanger.wire_total"].text == "62.9 mm"
    (note,) = [one for one in episode.notes if "pitch:" in one]
    assert "leave it out" in note
    plain = open_episode(written(folder, "wire: 22 AWG, strands: 1"))
    assert not [one for one in plain.notes if "pitch:" in one]


def test_wires_side_by_side_are_not_called_twisted(folder: Path) -> None:
    table = open_episode(written(folder, "wire: 22 AWG, strands: 3")).table
    assert not [one.label for one in table.values() if "wist" in f"{one.label} {one.formula}"]
    assert {"hanger.turns", "hanger.take_up"}.isdisjoint(table)
