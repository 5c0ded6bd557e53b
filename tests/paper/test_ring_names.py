"""A ring's figure says which ring it is of, wherever it is told by its label alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from studio.compute.table import Computed
from studio.episode.records import Episode
from studio.measure.measurement import Measurement, MeasurementTable
from studio.measure.trace import plain
from studio.paper import PAPERS, demonstration, description, newsletter
from studio.paper.ring_names import ring_called


def called(table: MeasurementTable, key: str) -> dict[str, str]:
    """What each ring is called, by the half and the place of it."""
    stem = f"rings.{key}_"
    numbers = range(1, int(table["rings.number"].value) + 1)
    return {
        f"{table[f'rings.side_{one}'].text}, {table[f'rings.place_{one}'].text}": plain(
            ring_called(table, f"{stem}{one}")
        )
        for one in numbers
    }


def test_rings_are_told_apart_by_their_place(designs: dict[str, Computed]) -> None:
    assert called(designs["rings"].table, "dividers") == {
        "tailstock side, 20 mm": "Ring at 20 mm (25/32 in)",
        "tailstock side, 10 mm": "Ring at 10 mm (25/64 in)",
        "equator, 0 mm": "Ring on the equator",
        "headstock side, 10 mm": "Ring at 10 mm (25/64 in)",
    }


def test_one_kind_of_ring_is_the_ring(designs: dict[str, Computed]) -> None:
    table = designs["rings and grooves"].table
    assert set(called(table, "place").values()) == {"Ring"}
    # "Latitude of the ring" says it by itself
    assert set(called(table, "latitude").values()) == {""}
    # a cutter may make other grooves too
    assert set(called(table, "cutter").values()) == {""}
    assert ring_called(table, "rings.number") == ring_called(table, "sphere.diameter") == ""


def test_unlike_rings_at_one_place_are_told_apart_by_their_half(
    designs: dict[str, Computed],
) -> None:
    def deeper(one: Measurement) -> Measurement:
        return replace(one, value=one.value + 1) if one.name == "rings.depth_1" else one

    table = MeasurementTable(map(deeper, designs["rings and grooves"].table.values()))
    assert list(called(table, "depth").values()) == [
        "Ring at 12 mm (15/32 in), tailstock side",
        "Ring at 12 mm (15/32 in), headstock side",
    ]


@pytest.mark.parametrize(
    "paper",
    [
        description.render,
        newsletter.render,
        newsletter.render_markdown,
        demonstration.render,
        PAPERS["cut-sheet.html"],
    ],
)
def test_every_paper_says_of_which_ring_a_figure_is(
    paper, episode: Episode, designs: dict[str, Computed]
) -> None:
    table = designs["rings"].table
    shows = tuple(table[f"rings.dividers_{number}"] for number in (1, 2))
    steps = tuple(replace(one, shows=()) for one in episode.steps[1:])
    ringed = replace(episode, table=table, steps=(replace(episode.steps[0], shows=shows), *steps))
    words = plain(paper(ringed)).replace("\u00a0", " ").replace("\\", "")
    for place in ("20 mm (25/32 in)", "10 mm (25/64 in)"):
        assert f"Ring at {place}" in words
