"""A ring out of place is told at its own line, with the place that would do; obeyed, it does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.errors import BadInput, Fault

START = "title: Ringed\nstock: {species: cherry, diameter: 60 mm}\nrings:\n"
STEPS = "steps:\n  - {id: a, title: A, does: [mounting], stage: general, do: Do it.}\n"


def ring(place: str, side: str = "both", width: str = "3 mm") -> str:
    return f"  - {{place: {place}, side: {side}, width: {width}, depth: 1 mm, keep: depth}}\n"


def fault(folder: Path, rings: str, more: str = "") -> Fault:
    path = folder / "ringed.yaml"
    path.write_text(START + rings + more + STEPS, encoding="utf-8")
    with pytest.raises(BadInput) as raised:
        open_episode(path)
    (one,) = raised.value.faults
    return one


def taken(folder: Path, rings: str, more: str = "") -> float:
    path = folder / "ringed.yaml"
    path.write_text(START + rings + more + STEPS, encoding="utf-8")
    return open_episode(path).table["rings.land"].value


CASES = [
    # two rings of one half, the second typed farther out
    ("{first}{moved}", ring("8 mm", "top"), "10 mm", "top", 5, ""),
    # typed the other way round, it is the one nearer to the pole that moves
    ("{moved}{first}", ring("8 mm", "top"), "10 mm", "top", 4, ""),
    # one ring and its own like on the other half
    ("{moved}", "", "1 mm", "both", 4, ""),
    # across the equator
    ("{first}{moved}", ring("0.5 mm", "bottom"), "1.5 mm", "top", 5, ""),
    # too near to the edge of an opening
    ("{moved}", "", "28 mm", "bottom", 4, "hollow: {wall: 6 mm, opening: 20 mm, pole: bottom}\n"),
    # and to the pole
    ("{moved}", "", "29.95 mm", "top", 4, ""),
]


@pytest.mark.parametrize(("rings", "first", "place", "side", "line", "more"), CASES)
def test_a_ring_out_of_place_is_told_at_its_line_with_a_place_that_does(
    folder: Path, rings: str, first: str, place: str, side: str, line: int, more: str
) -> None:
    told = fault(folder, rings.format(first=first, moved=ring(place, side)), more)
    assert told.line == line
    assert told.keys.endswith(".place")
    size = re.search(r"write (\d[\d.]* mm) or (more|less)", told.write)
    assert size is not None, told
    land = taken(folder, rings.format(first=first, moved=ring(size[1], side)), more)
    assert land == pytest.approx(1, abs=0.06)
    assert land >= 1 - 1e-9


def test_no_angle_is_told_as_minus_nothing(folder: Path) -> None:
    # both on the equator: neither has a side
    told = fault(folder, ring("0 mm", "bottom") + ring("0 mm", "top"))
    assert "-0" not in str(told)
    assert told.line == 5
    wide = fault(folder, ring("0 mm", "bottom", "95 mm").replace("1 mm", "29 mm"))
    assert "-0" not in str(wide)
