"""What is finished is what is seen: faces in joints take no finish."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from tests.compute.told import table

CAP = (
    "parts:\n  cap:\n    place: top\n    profile: [{shape: straight, length: 20 mm, diameter: "
    "16 mm}, {shape: fillet, length: 4 mm, diameter: 24 mm}, "
    "{shape: tenon, length: 8 mm, diameter: 8 mm}]\n"
)
KNOB = (
    "  knob:\n    place: cap\n    profile: [{shape: straight, length: 12 mm, diameter: ACROSS}, "
    "{shape: tenon, length: 6 mm, diameter: 5 mm}]\n"
)


def disc(across: float) -> float:
    return math.pi / 4 * across**2


def sides(*cylinders: tuple[float, float]) -> float:
    return sum(math.pi * across * long for across, long in cylinders)


def test_a_cap_shows_neither_its_face_nor_the_wood_under_it(folder: Path) -> None:
    found = table(folder, CAP)
    step = disc(24) - disc(16)
    assert found["cap.area"].value == pytest.approx(sides((16, 20), (24, 4)) + step + disc(16))
    # a ball's zone is as large as the cylinder of its height round the ball (Archimedes)
    under = math.pi * 60 * (30 - math.sqrt(30**2 - 12**2))
    ball = math.pi * 60**2 - under
    assert found["piece.area"].value == pytest.approx(ball + found["cap.area"].value, rel=1e-4)


@pytest.mark.parametrize("across", [10.0, 20.0])
def test_a_knob_covers_the_end_it_stands_on_as_far_as_both_reach(
    folder: Path, across: float
) -> None:
    """10 mm leave a rim of the cap's 16 mm to be seen; 20 mm show a rim of their own."""
    alone = table(folder, CAP)["cap.area"].value
    found = table(folder, CAP + KNOB.replace("ACROSS", f"{across:g} mm"))
    covered = disc(min(across, 16))
    assert found["cap.area"].value == pytest.approx(alone - covered)
    knob = sides((across, 12)) + disc(across) + (disc(across) - covered)
    assert found["knob.area"].value == pytest.approx(knob)
