"""Advice names a figure, and the figure does; one limit is printed alike wherever it is told."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from tests.compute.told import START, faults, table, written


def found(pattern: str, text: str) -> str:
    match = re.search(pattern, text)
    assert match is not None, text
    return match[1]


def grooves(number: int, width: str, keep: str = "depth") -> str:
    return (
        f"grooves: {{number: {number}, width: {width}, depth: 1.2 mm, shape: vee, keep: {keep}}}\n"
        "workshop: {vee_cutters: [90°, 120°], chuck: {rims: []}}\n"
    )


def test_the_widest_groove_is_one_figure_in_table_and_fault(folder: Path) -> None:
    sound = table(folder, grooves(8, "4 mm", "width"))
    wide = faults(folder, grooves(8, "11 mm", "width"))
    assert found(r"may be (\S+ mm)", wide) == sound["grooves.widest"].text


def test_how_many_grooves_are_left_is_told_and_is_the_tables(folder: Path) -> None:
    most = found(r"write number: (\d+)", faults(folder, grooves(40, "4 mm")))
    sound = table(folder, grooves(int(most), "4 mm"))
    assert sound["grooves.most"].text == most


def test_a_blank_too_large_for_the_lathe_is_told_the_swing_that_does(folder: Path) -> None:
    lathe = "workshop: {lathe: {slowest: 653 rpm, fastest: 3000 rpm}}\n"
    wide = faults(folder, lathe, START.replace("60 mm", "150 mm"))
    assert "ceiling of" in wide
    most = float(found(r"swings (\S+) mm", wide))
    # rule by hand: 3,000 over 660 rpm, the next whole step, in inches
    assert most == pytest.approx(3000 / 660 * 25.4, abs=0.01)
    # printed 650 rpm is below 653, though exactly the rule allows a little more
    edge = faults(folder, lathe, START.replace("60 mm}", "70 mm, section: 82 mm}"))
    assert "ceiling of 650 rpm" in edge


FINIAL = (
    "parts:\n  finial:\n    place: bottom\n    profile:\n"
    "      - {shape: taper, length: 20 mm, start: 6 mm, end: 14 mm}\n"
    "      - {shape: tenon, length: TENON, diameter: 8 mm}\n"
)


def test_the_hole_that_a_tenon_wants_is_told(folder: Path) -> None:
    text = FINIAL.replace("TENON", "8 mm") + "    hole: HOLE\nworkshop: {drills: [8 mm, 8.2 mm]}\n"
    hole = found(r"or hole: (\S+ mm) or more", faults(folder, text.replace("HOLE", "8 mm")))
    assert table(folder, text.replace("HOLE", hole))["finial.hole"].text == hole


def test_a_tenon_that_no_drill_takes_is_told_how_thick_it_may_be(folder: Path) -> None:
    text = FINIAL.replace("TENON", "8 mm") + "workshop: {drills: [7 mm]}\n"
    thick = found(r"make it (\S+ mm) thick at most", faults(folder, text))
    assert table(folder, text.replace("8 mm}", f"{thick}}}"))["finial.hole"].text == "7 mm"


def test_a_tenon_too_long_for_the_ball_is_told_by_how_much(folder: Path) -> None:
    text = FINIAL + "workshop: {drills: [8.2 mm]}\n"
    over = float(found(r"under it, by (\S+) mm", faults(folder, text.replace("TENON", "62 mm"))))
    path = written(folder, text.replace("TENON", f"{62 - over:.2f} mm"))
    assert not any("of wood is left beyond" in note for note in open_episode(path).notes)


def test_an_opening_too_wide_and_a_wall_too_thick_are_told_the_limit(folder: Path) -> None:
    wide = faults(folder, "hollow: {wall: 6 mm, opening: 50 mm}\n")
    assert found(r"an opening narrower than (\S+ mm)", wide) == "48 mm"
    assert found(r"a wall thinner than (\S+ mm)", wide) == "5 mm"
    assert (
        found(
            r"a wall thinner than (\S+ mm)",
            faults(folder, "hollow: {wall: 31 mm, opening: 9 mm}\n"),
        )
        == "30 mm"
    )
