"""The table refuses doubles and suggests names."""

from __future__ import annotations

import pytest

from studio.episode.records import Episode
from studio.measure.measurement import MeasurementTable, UnknownMeasurement


def test_an_unknown_name_tells_the_nearest(episode: Episode) -> None:
    with pytest.raises(UnknownMeasurement) as caught:
        episode.table["sphere.octogon_side"]
    assert caught.value.nearest[0] == "sphere.octagon_side"


def test_a_name_without_its_group_is_still_helped(episode: Episode) -> None:
    assert "sphere.set_in" in episode.table.nearest("set_in")


def test_a_name_stands_once(episode: Episode) -> None:
    first = next(iter(episode.table.values()))
    with pytest.raises(ValueError, match="twice"):
        MeasurementTable([first, first])
