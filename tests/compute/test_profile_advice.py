"""Profiles that cannot be turned, or hardly: each is told with what to write."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from tests.compute.told import faults, written

END = "{shape: fillet, length: 3 mm, diameter: 20 mm}, {shape: tenon, length: 8 mm, diameter: 8 mm}"


def part(first: str, rest: str = END) -> str:
    return f"parts:\n  drop:\n    place: bottom\n    profile: [{first}, {rest}]\n"


@pytest.mark.parametrize(
    "curve",
    [
        "{shape: bead, length: LONG, crown: 18 mm, start: 4 mm, end: 10 mm}",
        "{shape: bead, length: LONG, crown: 16 mm, start: 0 mm, end: 16 mm}",
        "{shape: cove, length: LONG, throat: 6 mm, start: 20 mm, end: 14 mm}",
        "{shape: ogee, length: LONG, start: 4 mm, end: 20 mm}",
    ],
)
def test_a_curve_too_short_is_told_the_length_that_does(folder: Path, curve: str) -> None:
    told = faults(folder, part(curve.replace("LONG", "4 mm")))
    assert "too short for its diameters" in told
    found = re.search(r"write at least (\d[\d.]*) mm there", told)
    assert found is not None, told
    open_episode(written(folder, part(curve.replace("LONG", f"{found[1]} mm"))))
    less = f"{float(found[1]) - 0.05:.2f} mm"
    assert "too short" in faults(folder, part(curve.replace("LONG", less)))


def test_a_thin_disc_that_would_float_on_the_ball_is_told(folder: Path) -> None:
    """58 mm across on a ball of 60 mm: the edge hangs some 22 mm over the wood."""
    disc = "{shape: fillet, length: THICK, diameter: ACROSS}"
    tenon = "{shape: tenon, length: 8 mm, diameter: 8 mm}"
    wide = part(disc.replace("THICK", "3 mm").replace("ACROSS", "58 mm"), tenon)
    (note,) = (
        one for one in open_episode(written(folder, wide)).notes if "daylight would show" in one
    )
    assert note.startswith("drop:")
    # hollowed from the tenon outwards, a thin rim under thicker wood does
    rim = "{shape: straight, length: 24 mm, diameter: 20 mm}, " + disc
    for shape, thick, across in (
        (disc, "24 mm", "58 mm"), (disc, "3 mm", "22 mm"), (rim, "3 mm", "58 mm"),
    ):  # fmt: skip
        fits = part(shape.replace("THICK", thick).replace("ACROSS", across), tenon)
        assert not [one for one in open_episode(written(folder, fits)).notes if "daylight" in one]


def test_a_part_that_ends_in_a_point_stands_on_nothing(folder: Path) -> None:
    pointed = part(
        "{shape: taper, length: 9 mm, start: 4 mm, end: 12 mm}",
        "{shape: taper, length: 9 mm, start: 12 mm, end: 0 mm}",
    )
    told = faults(folder, pointed)
    assert "drop ends in a point at its joint, on which nothing stands" in told
    open_episode(written(folder, pointed.replace("end: 0 mm", "end: 9 mm")))
