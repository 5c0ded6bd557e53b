"""Parting cuts as they are printed: where the tool goes by the rule, and what it must leave."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.measure.measurement import System
from studio.measure.units import mm_from
from tests.compute.told import START, written

Elements = list[tuple[str, float, float]]

BODY: Elements = [
    ("fillet", 6.3, 9.0),
    ("fillet", 3.2, 21.3),
    ("straight", 11.7, 12.4),
    ("fillet", 2.2, 20.0),
    ("straight", 7.4, 8.2),
    ("fillet", 5.1, 18.6),
    ("tenon", 9.3, 7.7),
]


def steps_of(elements: Elements) -> str:
    inside = ", ".join(
        f"{{shape: {shape}, length: {long} mm, diameter: {across} mm}}"
        for shape, long, across in elements
    )
    return f"parts:\n  drop:\n    place: bottom\n    profile: [{inside}]\n"


def thickest(elements: Elements, low: float, high: float) -> float:
    """Of plain cylinders one after the other: the thickest between two places."""
    at, found = 0.0, 0.0
    for _, long, across in elements:
        if at < high and at + long > low:
            found = max(found, across)
        at += long
    return found


@pytest.mark.parametrize("rule", ["1/64 in", "1/32 in", "1/16 in"])
def test_a_cut_at_its_printed_place_stays_out_of_the_finished_wood(folder: Path, rule: str) -> None:
    """Against plain cylinders: in both systems, on coarse rules too."""
    workshop = folder / "workshop.yaml"
    text = workshop.read_text("utf-8")
    assert "1/64 in" in text
    workshop.write_text(text.replace("1/64 in", rule, 1), "utf-8")
    found = open_episode(written(folder, steps_of(BODY), START)).table
    tool = found["profile.tool"].value
    cuts = [name for name in found if re.fullmatch(r"drop\.cut_at_\d+", name)]
    assert len(cuts) > 6
    for name in cuts:
        for system in System:
            at = mm_from(system, found[name].reading(system).value)
            setting = found[name.replace("cut_at", "cut_setting")].reading(system)
            # a hundredth printed may lie half of it further on
            leaves = thickest(BODY, at - tool / 2 + 0.02, at + tool / 2 - 0.02)
            assert mm_from(system, setting.value) >= leaves - 1e-6, (name, system)
    # the elements' own thickness is reached all the same: no cut is given up to its neighbour
    settings = [found[one.replace("cut_at", "cut_setting")].value for one in cuts]
    allowance = found["profile.allowance"].value
    for _, long, across in BODY:
        if long >= tool and across < 21:
            assert min(abs(one - across - allowance) for one in settings) < 0.01, across


POINTED = (
    "parts:\n  drop:\n    profile: [{shape: taper, length: 30 mm, start: 0 mm, end: 12 mm}, "
    "{shape: taper, length: 30 mm, start: 12 mm, end: END}]\n"
)
ALONE = "title: Told\nform: turned\nstock: {species: cherry, diameter: 24 mm}\n"


@pytest.mark.parametrize(("end", "told"), [("0 mm", True), ("1 mm", True), ("9 mm", False)])
def test_no_cut_leaves_the_piece_to_be_shaped_on_a_thread(
    folder: Path, end: str, told: bool
) -> None:
    """A point at the headstock is turned last: cut first, nothing would drive the rest."""
    episode = open_episode(written(folder, POINTED.replace("END", end), ALONE))
    found = episode.table
    least, allowance = 3.0, found["profile.allowance"].value
    settings = [m.value for name, m in found.items() if name.startswith("drop.cut_setting")]
    assert settings[-1] >= least + allowance
    (schedule,) = (one for one in episode.schedules if one.name == "drop.partings")
    assert any("too thin to be driven" in note for note in schedule.notes) is told


SLOPE = (
    "parts:\n  drop:\n    place: bottom\n    profile: ["
    "{shape: taper, length: 31.3 mm, start: 3 mm, end: 20 mm}, "
    "{shape: ogee, length: 13 mm, start: 20 mm, end: 9 mm}, "
    "{shape: tenon, length: 8 mm, diameter: 7.8 mm}]\n"
)


@pytest.mark.parametrize("rule", ["1/64 in", "1/16 in"])
def test_a_station_is_as_thick_as_the_piece_is_where_it_is_printed(folder: Path, rule: str) -> None:
    """By the taper's own line: 17 mm over 31.3 mm are 0.54 mm for each millimetre."""
    workshop = folder / "workshop.yaml"
    workshop.write_text(workshop.read_text("utf-8").replace("1/64 in", rule, 1), "utf-8")
    found = open_episode(written(folder, SLOPE, START)).table
    coarse = {System.METRIC: 0.05, System.IMPERIAL: mm_from(System.IMPERIAL, float(eval_in(rule)))}
    seen = 0
    for name in found:
        number = re.fullmatch(r"drop\.at_(\d+)", name)
        if number is None or not 1 < found[name].value < 31:
            continue
        for system in System:
            at = mm_from(system, found[name].reading(system).value)
            true = 3 + 17 * at / 31.3
            across, setting = (
                mm_from(system, found[f"drop.{key}_{number[1]}"].reading(system).value)
                for key in ("diameter", "setting")
            )
            assert across == pytest.approx(true, abs=coarse[system] / 2 + 0.06)
            assert setting >= true
            seen += 1
    assert seen >= 10


def eval_in(rule: str) -> float:
    over, under = rule.removesuffix(" in").split("/")
    return int(over) / int(under)
