"""The drill that is owned and its like in the other system make about the same hole."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from studio.check.unit_pairs import disagreeing
from studio.episode.assemble import open_episode
from studio.measure.measurement import System
from studio.turning.drills import parse_drill

Edit = Callable[[Path, str, str], Path]

OWNED = {
    "metric by halves": (["metric 1 mm to 10 mm by 0.5 mm"], "2 mm", "2 mm"),
    "fractions by 64ths": (["fraction 1/64 in to 1/2 in by 1/64 in"], "5/64 in", "5/64 in"),
    "fractions and thick metric": (
        ["fraction 1/64 in to 1/2 in by 1/64 in", "metric 3 mm to 10 mm by 0.5 mm"],
        "5/64 in", "5/64 in",
    ),
    "fractions by 16ths and metric by halves": (
        ["fraction 1/16 in to 1/2 in by 1/16 in", "metric 1 mm to 10 mm by 0.5 mm"],
        "2 mm", "2 mm",
    ),
    "both fine": (["metric 1 mm to 10 mm by 0.1 mm", "number 1 to 60"], "1.7 mm", "#51"),
}  # fmt: skip


@pytest.mark.parametrize("first", System)
@pytest.mark.parametrize("owned", OWNED)
def test_both_systems_drill_about_the_same_hole(
    folder: Path, edit: Edit, first: System, owned: str
) -> None:
    lines, *wanted = OWNED[owned]
    workshop = folder / "workshop.yaml"
    text = workshop.read_text(encoding="utf-8")
    begin = text.index("drills:")
    end = text.index("\n", text.rindex("- ", begin, text.index("\n\n", begin)))
    drills = "drills:\n" + "\n".join(f"  - {line}" for line in lines)
    workshop.write_text(text[:begin] + drills + text[end:], encoding="utf-8")
    edit(workshop, "first: metric", f"first: {first}")
    table = open_episode(folder / "globe.yaml").table
    drill, bundle, play = (table[f"hanger.{one}"] for one in ("drill", "bundle", "clearance"))
    assert drill.reading(first).text == wanted[first is System.IMPERIAL]
    sizes = [parse_drill(drill.reading(system).text).diameter_mm for system in System]
    assert min(sizes) >= bundle.value + play.value - 1e-6
    assert abs(sizes[0] - sizes[1]) <= 0.1
    assert drill.value == pytest.approx(parse_drill(drill.text).diameter_mm)
    assert not list(disagreeing(table.values()))
