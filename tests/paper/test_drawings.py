"""The drawings: true to proportion, figures from the table only."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.measure.measurement import MeasurementTable, System
from studio.measure.trace import Span, plain, spans
from studio.paper.drawings import index_ring, octagon_layout

SVG = "{http://www.w3.org/2000/svg}"


def places(points: str) -> list[tuple[float, float]]:
    pairs = [pair.split(",") for pair in points.split()]
    return [(float(x), float(y)) for x, y in pairs]


def test_octagon_is_regular_and_its_flats_touch_the_ball(episode: Episode) -> None:
    """Euclid, Elements IV: equal sides, equal distance from the middle to every side."""
    root = ET.fromstring(plain(octagon_layout(episode.table, System.METRIC)))
    octagon = places(root.find(f".//{SVG}polygon[@class='cut']").attrib["points"])  # type: ignore[union-attr]
    ball = root.find(f".//{SVG}circle[@class='ball']")
    assert ball is not None
    mid = (float(ball.attrib["cx"]), float(ball.attrib["cy"]))
    assert len(octagon) == 8
    for (ax, ay), (bx, by) in zip(octagon, octagon[1:] + octagon[:1], strict=True):
        side = math.dist((ax, ay), (bx, by))
        assert side == pytest.approx(2 * float(ball.attrib["r"]) * math.tan(math.pi / 8), rel=1e-3)
        off = math.dist(((ax + bx) / 2, (ay + by) / 2), mid)
        assert off == pytest.approx(float(ball.attrib["r"]), rel=1e-3)


@pytest.mark.parametrize("system", System)
def test_octagon_figures_are_the_tables_own_in_both_systems(
    episode: Episode, system: System
) -> None:
    svg = octagon_layout(episode.table, system)
    root = ET.fromstring(svg)
    found: list[Span] = []
    for text in root.iter(f"{SVG}text"):
        found += spans("".join(text.itertext()))[1]
    for name, times in (("sphere.set_in", 2), ("sphere.diameter", 2), ("sphere.octagon_side", 1)):
        m = episode.table[name]
        for each in (system, system.other):
            same = [
                span for span in found if (span.name, span.text) == (name, m.reading(each).text)
            ]
            assert len(same) == times
    bare = "".join(
        re.sub("\ue000[^\ue002]*\ue002", "", "".join(node.itertext())) for node in root.iter()
    )
    assert not re.search(r"\d", bare)


def test_set_in_is_dimensioned_along_the_length_and_on_the_end_face(episode: Episode) -> None:
    text = plain(" ".join(ET.fromstring(octagon_layout(episode.table, System.METRIC)).itertext()))
    assert "along the length" in text
    assert "on the end face" in text


@pytest.mark.parametrize(
    ("drawing", "needs"),
    [
        (octagon_layout, ("sphere.diameter", "sphere.octagon_side", "sphere.set_in")),
        (index_ring, ("index.marks", "index.angle")),
    ],
)
def test_no_drawing_without_its_measurements(drawing, needs, episode: Episode) -> None:  # type: ignore[no-untyped-def]
    assert drawing(episode.table, System.METRIC)
    for name in needs:
        without = MeasurementTable(m for m in episode.table.values() if m.name != name)
        assert drawing(without, System.METRIC) == ""


def test_ring_has_a_tick_for_every_mark_and_the_chord_between_two(episode: Episode) -> None:
    """Chord of a circle, 2r sin(angle/2)."""
    root = ET.fromstring(plain(index_ring(episode.table, System.METRIC)))
    assert len(root.findall(f".//{SVG}line[@class='outline']")) == 12
    circle = root.find(f".//{SVG}circle")
    chord = root.find(f".//{SVG}line[@class='cut']")
    assert circle is not None
    assert chord is not None
    (x1, y1, x2, y2) = (float(chord.attrib[key]) for key in ("x1", "y1", "x2", "y2"))
    assert math.dist((x1, y1), (x2, y2)) == pytest.approx(
        2 * float(circle.attrib["r"]) * math.sin(math.radians(15)), rel=1e-3
    )
    text = "".join(root.itertext())
    for name in ("index.marks", "index.plate", "index.stops", "index.angle", "index.chord"):
        assert episode.table[name].text in text


def ring(folder: Path, marks: int, more: str = "", system: System = System.METRIC) -> str:
    path = folder / "dense.yaml"
    path.write_text(
        "title: Dense\nstock: {species: European sycamore, diameter: 60 mm}\n"
        f"indexing: {{marks: {marks}{more}}}\ngrooves: {{number: 2, width: 6 mm, depth: 2 mm}}\n"
        "steps:\n  - {id: mark, title: Mark, does: [nothing], do: Mark.}\n",
        encoding="utf-8",
    )
    return plain(index_ring(open_episode(path).table, system))


def numbers(svg: str) -> list[str]:
    texts = ET.fromstring(svg).iter(f"{SVG}text")
    return [node.text or "" for node in texts if (node.text or "").isdigit()
            and node.get("class") == "other"]  # fmt: skip


@pytest.mark.parametrize("marks", [4, 8, 12, 24])
def test_each_mark_on_the_ring_has_its_number(folder: Path, marks: int) -> None:
    svg = ring(folder, marks, ", by: strip")
    assert numbers(svg) == [str(place + 1) for place in range(marks)]
    assert "numbered:" not in svg


@pytest.mark.parametrize(("marks", "every"), [(28, 2), (48, 2), (72, 3), (192, 12)])
def test_a_ring_too_dense_to_number_says_which_are(folder: Path, marks: int, every: int) -> None:
    svg = ring(folder, marks, ", by: strip")
    assert numbers(svg) == [str(place + 1) for place in range(0, marks, every)]
    assert f"numbered: 1, {every + 1}, {2 * every + 1} and so on, clockwise" in svg
    ticks = ET.fromstring(svg).findall(f".//{SVG}line[@class='outline']")
    lengths = sorted(
        math.dist(*((float(t.attrib[f"x{k}"]), float(t.attrib[f"y{k}"])) for k in (1, 2)))
        for t in ticks
    )
    assert len(ticks) == marks
    assert lengths[-marks // every] > lengths[0] + 1


@pytest.mark.parametrize("system", System)
def test_the_ring_tells_the_strip_in_both_systems(folder: Path, system: System) -> None:
    """The strip's spacing by hand: π × 60 mm / 12 = 15.7 mm, or 0.618 in: 5/8 in to the 64th."""
    svg = ring(folder, 12, ", by: strip", system)
    assert "15.7 mm" in svg
    assert "5/8 in" in svg


def test_without_a_plate_the_ring_shows_the_strip(folder: Path) -> None:
    svg = ring(folder, 12, ", by: strip")
    assert "along a strip" in svg
    assert "stops apart" not in svg
    assert "stops apart" in ring(folder, 12)
