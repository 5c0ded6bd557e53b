"""A wood of which a figure is not held takes nothing else of the table with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from tests.compute.told import written

START = "title: Told\nstock: {species: hickory, diameter: 60 mm, moisture: METER %}\n"


@pytest.mark.parametrize(("meter", "held"), [("60", False), ("15", False), ("12", True)])
def test_movement_that_is_not_known_is_left_out_with_a_note(
    folder: Path, meter: str, held: bool
) -> None:
    """The Handbook's coefficients hold from 6 to 14 %; of hickory nothing else is held."""
    episode = open_episode(written(folder, "", START.replace("METER", meter)))
    told = [note for note in episode.notes if "no shrinkage is held for true hickory" in note]
    assert bool(told) is not held
    assert ("wood.movement" in episode.table) is held
    assert episode.table["wood.moisture_shop"].text == f"{meter}%"
    assert episode.table["piece.mass"].value > 0
