"""Turned parts without a ball: which end is up, and where the hanger goes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from studio.episode.assemble import open_episode
from studio.picture.solids import mesh_of

FaultsOf = Callable[[Path], list[str]]

HANGER = "hanger: {wire: 22 AWG, pitch: 6 mm, hole_depth: 8 mm}\n"
TIP = (
    "      - {shape: taper, length: 60 mm, start: 4.5 mm, end: 7 mm}\n"
    "      - {shape: bead, length: 12 mm, crown: 20 mm, start: 9 mm, end: 9 mm}\n"
)


def icicle(folder: Path, place: str = "", more: str = HANGER, parts: str = TIP) -> Path:
    path = folder / "icicle.yaml"
    path.write_text(
        "title: Icicle\nform: turned\nstock: {species: black cherry, diameter: 22 mm}\n"
        f"{more}parts:\n  icicle:\n{place}    profile:\n{parts}"
        "steps:\n  - {id: turn, title: Turn, part: icicle, stage: finish,\n"
        '     does: [spindle-running], do: "Turn {{ icicle.length }}."}\n',
        encoding="utf-8",
    )
    return path


def widest_height(path: Path) -> float:
    """Where the finished solid is widest, from 0 at its lowest place to 1 at its highest."""
    piece = open_episode(path).piece
    assert piece is not None
    places = mesh_of(piece).vertices
    off = np.hypot(places[:, 0], places[:, 1])
    low, high = places[:, 2].min(), places[:, 2].max()
    return float((places[off.argmax(), 2] - low) / (high - low))


@pytest.mark.parametrize("place", ["", "    place: bottom\n"])
def test_an_icicle_hangs_by_its_joint_end(folder: Path, place: str) -> None:
    path = icicle(folder, place)
    # the crown of the bead lies 66 mm from the tip, of 72 in all
    assert widest_height(path) == pytest.approx(66 / 72, abs=0.01)
    episode = open_episode(path)
    assert "joint end of icicle" in episode.table["hanger.in"].text
    assert episode.table["hanger.beyond"].value == pytest.approx(72 - 8)
    assert episode.piece is not None
    (hole,) = episode.piece.parts[0].bores
    assert (hole.from_mm, hole.to_mm) == (-8, 0)


def test_place_top_points_the_free_end_up(folder: Path) -> None:
    path = icicle(folder, "    place: top\n")
    assert widest_height(path) == pytest.approx(6 / 72, abs=0.01)
    assert open_episode(path).table["hanger.in"].text == "the free end of icicle"


def test_without_a_hanger_it_stands(folder: Path) -> None:
    assert widest_height(icicle(folder, more="")) == pytest.approx(6 / 72, abs=0.01)


def test_what_stands_on_a_hanging_part_hangs_below_it(folder: Path) -> None:
    tip = (
        "  tip:\n    place: icicle\n    profile:\n"
        "      - {shape: taper, length: 30 mm, start: 3 mm, end: 7 mm}\n"
        "      - {shape: tenon, length: 6 mm, diameter: 5 mm}\n"
    )
    body = "      - {shape: straight, length: 24 mm, diameter: 12 mm}\n"
    episode = open_episode(icicle(folder, parts=body + tip))
    assert episode.piece is not None
    parts = {part.name: part for part in episode.piece.parts}
    assert parts["tip"].height_mm(0.0) == pytest.approx(-24 - 30)
    assert episode.table["assembly.height"].value == pytest.approx(54)
    # 24 mm less the hanger's 8 mm and, at the other end, the tenon's 6 mm with 1 mm of room
    assert episode.table["hanger.beyond"].value == pytest.approx(24 - 8 - 7)


@pytest.mark.parametrize(
    ("depth", "said"), [("73 mm", "goes through icicle"), ("66 mm", "from its joint end")]
)
def test_a_hole_from_the_joint_end_that_comes_out_is_refused(
    folder: Path, faults_of: FaultsOf, depth: str, said: str
) -> None:
    thin = TIP.replace("4.5 mm", "3 mm")
    more = HANGER.replace("8 mm", depth)
    (told,) = faults_of(icicle(folder, more=more, parts=thin))
    assert "icicle.yaml:4:" in told
    assert said in told
    assert "write hole_depth: " in told


def test_the_thumbnail_tells_how_tall_the_whole_is(folder: Path) -> None:
    path = icicle(folder)
    path.write_text(
        path.read_text("utf-8").replace("id: turn,", "id: turn, show: [icicle.cylinder],"), "utf-8"
    )
    shown = open_episode(path).thumbnail
    assert shown is not None
    assert shown.name == "assembly.height"
