"""Printed figures that a turner adds up himself: they agree in both systems, on any rule."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import product
from pathlib import Path

import pytest

from studio.check.unit_pairs import disagreeing
from studio.episode.assemble import open_episode
from studio.measure.measurement import MeasurementTable, System
from studio.resources import shipped

STEPS = "steps:\n  - {id: a, title: A, does: [mounting], stage: off-centre, do: Do it.}\n"
GROOVED = "indexing: {marks: 8}\ngrooves: {number: 4, width: 1/4 in, depth: 1/8 in, shape: vee}\n"


def read(table: MeasurementTable, name: str, system: System) -> Fraction:
    """The printed text, read as a turner reads it: ``2 9/64 in``, ``54.4 mm``."""
    text = table[name].reading(system).text
    match = re.fullmatch(r"(?:(\d+) )?(\d+/\d+|[\d.,]+) (?:in|mm)", text)
    assert match is not None, text
    return Fraction(match[1] or 0) + Fraction(match[2].replace(",", ""))


def shop(step: str) -> str:
    return (
        f"workshop: {{units: {{first: imperial, fraction_step: {step} in}}, "
        "vee_cutters: [80°, 90°, 95°, 100°], chuck: {rims: [1 in]}}\n"
    )


@pytest.mark.parametrize("step", ["1/16", "1/32", "1/64"])
def test_a_blank_is_never_shorter_than_its_printed_parts(folder: Path, step: str) -> None:
    path = folder / "blank.yaml"
    for inches, sixteenths in product((1, 3), range(1, 16, 2)):
        size = f"{inches} {sixteenths}/16 in"
        stock = f"title: B\nstock: {{species: cherry, diameter: {size}}}\n"
        path.write_text(stock + shop(step) + STEPS, encoding="utf-8")
        table = open_episode(path).table
        for system in System:
            parts = sum(
                read(table, one, system)
                for one in ("sphere.diameter", "stock.headstock", "stock.tailstock")
            )
            parts += table["stock.partings"].value * read(table, "stock.parting", system)
            assert read(table, "stock.length", system) >= parts, (size, system)


@pytest.mark.parametrize("step", ["1/16", "1/32", "1/64"])
def test_grooves_printed_add_up(folder: Path, step: str) -> None:
    path = folder / "grooved.yaml"
    for size in ("2 3/8 in", "2 1/2 in", "60 mm", "63 mm"):
        text = f"title: G\nstock: {{species: cherry, diameter: {size}}}\n{GROOVED}{shop(step)}"
        path.write_text(text + STEPS, encoding="utf-8")
        table = open_episode(path).table
        for system in System:
            across, deep, wide, land, strip, height = (
                read(table, one, system)
                for one in ("sphere.diameter", "grooves.depth", "grooves.width", "grooves.land",
                            "grooves.strip", "grooves.pole_height")
            )  # fmt: skip
            assert height == across - 2 * deep
            assert strip == wide + land


MIXED = (
    "title: M\nstock: {species: cherry, diameter: 2 3/4 in}\nas_measured: {diameter: 2.71 in}\n"
    "indexing: {marks: 8}\n"
    "grooves: {number: 4, width: 0.223 in, depth: 3/32 in, shape: vee, keep: KEPT}\n"
    "hanger: {wire: 22 AWG, strands: 4, pitch: 6 mm, reach: 0.711 in, hole_depth: 15/32 in}\n"
)


@pytest.mark.parametrize("step", ["1/16", "1/32", "1/64"])
@pytest.mark.parametrize("kept", ["width", "depth"])
def test_thousandths_and_fractions_add_up_to_what_is_printed(
    folder: Path, step: str, kept: str
) -> None:
    path = folder / "mixed.yaml"
    path.write_text(MIXED.replace("KEPT", kept) + shop(step) + STEPS, encoding="utf-8")
    table = open_episode(path).table
    assert list(disagreeing(table.values())) == []
    for name, parts in {
        "grooves.core": {"sphere.diameter": 1, "grooves.depth": -2},
        "grooves.pole_height": {"sphere.diameter": 1, "grooves.depth": -2},
        "grooves.land": {"grooves.strip": 1, "grooves.width": -1},
        "hanger.cable": {"hanger.reach": 1, "hanger.depth": 1},
    }.items():
        for system in System:
            said = read(table, name, system)
            assert table[name].reading(system).value == float(said)
            total = sum(count * read(table, one, system) for one, count in parts.items())
            # half a thousandth, the last place that is printed
            assert abs(said - total) <= Fraction(1, 2000), (name, system)


DROP = (
    "title: D\nform: turned\nstock: {species: cherry, diameter: 1 1/4 in, truing: 1/8 in}\n"
    "parts:\n  drop:\n    profile:\n"
    "      - {shape: bead, length: 1/2 in, crown: 3/8 in, start: 0 in, end: 3/16 in}\n"
    "      - {shape: ogee, length: 1 in, end: 1 1/8 in, curve: recta}\n"
    "      - {shape: bead, length: 3/4 in, crown: 1 7/32 in, end: 3/4 in}\n"
    "      - {shape: taper, length: 1 in, end: 3/8 in}\n"
)


@pytest.mark.parametrize("step", ["1/16", "1/32", "1/64"])
def test_a_parting_depth_agrees_with_the_printed_callipers(folder: Path, step: str) -> None:
    path = folder / "drop.yaml"
    path.write_text(DROP + shop(step) + STEPS.replace("off-centre", "rough"), encoding="utf-8")
    table = open_episode(path).table
    cuts = [one for one in table if one.startswith("drop.cut_depth")]
    assert len(cuts) > 2
    cylinder = read(table, "drop.cylinder", System.IMPERIAL)
    for name in cuts:
        setting = read(table, name.replace("depth", "setting"), System.IMPERIAL)
        assert setting < cylinder
        depth = read(table, name, System.IMPERIAL)
        left = (cylinder - setting) / 2 - depth
        # rounded down to the rule; what is told in decimals or finer is that half itself
        assert 0 <= left < Fraction(step)
        if (depth / Fraction(step)).denominator != 1:
            assert left < Fraction(1, 1000)


@pytest.mark.parametrize("name", ["lobed-globe", "twelve-lobe-drop", "crowned-globe"])
def test_what_is_told_of_a_measurement_has_both_systems(name: str) -> None:
    """A page may show one of them; what a base has typed is told as it was typed there."""
    lengths = 0
    for one in open_episode(shipped("designs") / f"{name}.yaml").table.values():
        for text in (one.where, one.formula):
            if "scaled by" in text:
                continue
            found = re.findall(r"\d mm\b(?! \([^)]* in\))", text)
            assert found == [], (one.name, text)
            lengths += text.count(" mm (")
    assert lengths > 4
