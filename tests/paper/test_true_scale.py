"""Templates at true scale: their lines lie by the exact values, whole or parted over sheets."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from studio.episode.records import Episode
from studio.measure.measurement import MeasurementTable
from studio.measure.trace import plain
from studio.paper.pdfs import ROOMS, templates_of
from studio.paper.ring_templates import ring_gauge, ring_strips
from studio.paper.true_scale import (
    RULER_IN,
    RULER_MM,
    Line,
    Path,
    Room,
    Template,
    circle,
    groove_strips,
    hole_chart,
    index_strips,
    octagon_gauge,
    parted,
    profile_gauge,
    rulers,
    sphere_gauge,
)

WITHIN_MM = 1e-6


def sampled(path: Path, steps: int = 8) -> list[tuple[float, float]]:
    """Points along a line, its curves by De Casteljau's formula."""
    out = [path.start]
    for piece in path.pieces:
        hull = (out[-1], *piece)
        for step in range(1, steps + 1):
            t, points = step / steps, list(hull)
            while len(points) > 1:
                points = [
                    (ax + (bx - ax) * t, ay + (by - ay) * t)
                    for (ax, ay), (bx, by) in pairwise(points)
                ]
            out.append(points[0])
    return out


def only(template: Template, kind: Line) -> list[Path]:
    return [path for path in template.paths if path.line is kind]


@pytest.mark.parametrize("diameter", [0.2, 8.0, 60.0, 600.0])
def test_a_circle_is_round(diameter: float) -> None:
    """Distance from a circle's middle, elementary geometry."""
    for x, y in sampled(circle(Line.MARK, (3.0, 4.0), diameter)):
        assert math.hypot(x - 3, y - 4) == pytest.approx(diameter / 2, abs=diameter * 1e-6)


@pytest.mark.parametrize("name", ["plain", "smallest", "largest", "inches", "many marks"])
def test_the_sphere_gauge_is_half_the_ball(drawn: dict[str, Episode], name: str) -> None:
    table = drawn[name].table
    gauge = sphere_gauge(table)
    assert gauge is not None
    (edge,) = only(gauge, Line.CUT)
    curved = [piece for piece in edge.pieces if len(piece) == 3]
    (ax, ay), (bx, by) = edge.pieces[0][0], curved[-1][-1]
    assert (bx - ax, by - ay) == pytest.approx((table["sphere.diameter"].value, 0), abs=WITHIN_MM)
    middle = (ax + bx) / 2
    deepest = max(y for _, y in sampled(edge))
    assert deepest == pytest.approx((bx - ax) / 2, rel=1e-6)
    assert all(0 <= x <= gauge.width and 0 <= y <= gauge.height for x, y in sampled(edge))
    assert middle == pytest.approx(gauge.width / 2)


@pytest.mark.parametrize("name", ["plain", "smallest", "largest", "inches"])
def test_the_octagon_is_regular(drawn: dict[str, Episode], name: str) -> None:
    """Euclid, Elements IV: eight equal sides; the side is the diameter times tan 22.5°."""
    table = drawn[name].table
    gauge = octagon_gauge(table)
    assert gauge is not None
    (octagon,) = (one for one in only(gauge, Line.MARK) if one.closed)
    corners = [octagon.start, *(piece[0] for piece in octagon.pieces)]
    sides = [math.dist(one, other) for one, other in pairwise([*corners, corners[0]])]
    wanted = table["sphere.diameter"].value * math.tan(math.pi / 8)
    assert sides == pytest.approx([wanted] * 8, abs=WITHIN_MM)


@pytest.mark.parametrize("name", ["plain", "smallest", "largest", "many marks", "two grooves"])
@pytest.mark.parametrize("paper", ROOMS)
def test_the_index_strip_is_the_circumference(
    drawn: dict[str, Episode], name: str, paper: str
) -> None:
    """Archimedes, Measurement of a Circle: π times the diameter."""
    table, room = drawn[name].table, ROOMS[paper]
    strips = index_strips(table, room.width, room.height)
    lengths, marks, at = [], [], 0.0
    for strip in strips:
        assert strip.width <= room.width
        assert strip.height <= room.height
        boxes = only(strip, Line.CUT)
        for box in boxes:
            (left, top), (right, _) = box.start, box.pieces[0][0]
            lengths.append(right - left)
            marks += [
                at + one.start[0]
                for one in only(strip, Line.MARK)
                if one.start[1] == pytest.approx(top)
            ]
            at += right - left
    around = math.pi * table["sphere.diameter"].value
    assert sum(lengths) == pytest.approx(around, abs=1e-4)
    count = round(table["index.marks"].value)
    assert marks == pytest.approx([around * place / count for place in range(count + 1)], abs=1e-4)
    numbers = [
        plain(one.text) for strip in strips for one in strip.labels if plain(one.text).isdigit()
    ]
    assert numbers[0] == numbers[-1] == "1"


def test_the_groove_strip_shows_each_groove_twice(drawn: dict[str, Episode]) -> None:
    table, room = drawn["grooved"].table, ROOMS["A4"]
    (strip,) = groove_strips(table, room.width, room.height)
    marks = only(strip, Line.MARK)
    assert len(marks) == 2 * round(table["grooves.number"].value) + 1
    bands = only(strip, Line.FILL)
    wide = max(one.pieces[0][0][0] - one.start[0] for one in bands)
    assert wide == pytest.approx(2 * table["grooves.edge"].value, abs=WITHIN_MM)
    numbers = [plain(one.text) for one in strip.labels if plain(one.text).isdigit()]
    assert numbers == ["1", "2", "3", "4", "1", "2", "3", "4", "1"]


@pytest.mark.parametrize("name", ["rings", "rings and grooves", "seven grooves"])
@pytest.mark.parametrize("paper", ROOMS)
def test_ring_strips_go_from_pole_to_pole(drawn: dict[str, Episode], name: str, paper: str) -> None:
    """Archimedes: half the circumference; each ring as far from the equator as its arc says."""
    table, room, piece = drawn[name].table, ROOMS[paper], drawn[name].piece
    assert piece is not None
    found = ring_strips(table, piece.globe, room.width, room.height)
    lengths, marks, at, tongues = [], [], 0.0, 0
    for strip in found:
        assert strip.width <= room.width
        assert strip.height <= room.height
        tongues += len([one for one in only(strip, Line.FINE) if len(one.pieces) == 3])
        for box in only(strip, Line.CUT):
            (left, top), (right, _) = box.start, box.pieces[0][0]
            lengths.append(right - left)
            marks += [
                at + one.start[0]
                for one in only(strip, Line.MARK)
                if one.start[1] == pytest.approx(top)
            ]
            at += right - left
    half = math.pi * table["sphere.diameter"].value / 2
    assert sum(lengths) == pytest.approx(half, abs=1e-4)
    assert tongues == len(lengths) - 1, "its ends do not meet"
    count = round(table["rings.number"].value)
    far = sorted(abs(place - half / 2) for place in marks)
    assert far == pytest.approx(
        sorted(table[f"rings.arc_{number}"].value for number in range(1, count + 1)), abs=1e-4
    )
    (last,) = (strip for strip in found if strip.rows)
    assert last is found[-1]
    assert [plain(number) for number, _ in last.rows] == [str(one + 1) for one in range(count)]
    assert all(len(row) + 1 == len(last.columns) for _, row in last.rows)


def test_numbers_of_close_rings_do_not_meet(drawn: dict[str, Episode]) -> None:
    episode = drawn["rings"]
    assert episode.piece is not None
    globe = episode.piece.globe
    assert globe is not None
    close = replace(
        globe, rings=tuple(replace(globe.rings[0], latitude_deg=3.0 * one) for one in range(4))
    )
    names = {f"rings.{key}_{one}": f"rings.{key}_1" for key in ("arc", "width", "place", "side")
             for one in range(1, 5)}  # fmt: skip
    table = MeasurementTable(
        [
            *(one for one in episode.table.values() if one.name not in names),
            *(
                replace(
                    episode.table[old],
                    name=new,
                    value=math.radians(3.0 * (int(new[-1]) - 1)) * globe.diameter_mm / 2,
                )
                for new, old in names.items()
            ),
        ]
    )
    (strip,) = ring_strips(table, close, 190.0, 200.0)
    shown = sorted(one.x for one in strip.labels)
    assert len(shown) == 2
    assert all(two - one >= 3.6 for one, two in pairwise(shown))
    gauge = ring_gauge(table, close)
    assert gauge is not None
    assert len(gauge.labels) == 2


def test_no_ring_template_without_its_measurements(drawn: dict[str, Episode]) -> None:
    episode = drawn["rings"]
    assert episode.piece is not None
    for gone in ("rings.number", "rings.width_2", "sphere.diameter"):
        table = MeasurementTable(one for one in episode.table.values() if one.name != gone)
        assert ring_strips(table, episode.piece.globe, 190.0, 200.0) == ()
        assert ring_gauge(table, episode.piece.globe) is None
    assert ring_strips(drawn["plain"].table, None, 190.0, 200.0) == ()


def test_a_profile_gauge_follows_the_profile(crowned: Episode) -> None:
    assert crowned.piece is not None
    for part in crowned.piece.parts:
        gauge = profile_gauge(crowned.table, part)
        assert gauge is not None
        (edge,) = only(gauge, Line.CUT)
        (axis,) = only(gauge, Line.CENTRE)
        left = axis.start[0]
        ends = (edge.pieces[0][0], edge.pieces[-2][0])
        assert ends[1][1] - ends[0][1] == pytest.approx(part.profile.length_mm, abs=WITHIN_MM)
        thickest = max(piece[0][0] for piece in edge.pieces[:-1]) - left
        wanted = crowned.table[f"{part.name}.thickest"].value / 2
        assert thickest == pytest.approx(wanted, abs=0.01)
        lines = only(gauge, Line.MARK)
        assert len(lines) == len(gauge.rows) == len(gauge.labels)
        for one, (_, (at, across)) in zip(lines, gauge.rows, strict=True):
            assert one.start == pytest.approx((left + across.value / 2, at.value), abs=WITHIN_MM)


def test_the_chart_has_every_drill_and_wire(crowned: Episode) -> None:
    chart = hole_chart(crowned.table)
    assert chart is not None
    sizes = []
    for path in chart.paths:
        if path.line in (Line.SOLID, Line.FILL, Line.MARK) and path.closed:
            xs = [x for x, _ in sampled(path)]
            sizes.append(max(xs) - min(xs))
    names = ("hanger.wire", "hanger.bundle", "hanger.drill", "hanger.loop", "hollow.opening",
             "cap.hole", "cap.tenon", "finial.hole", "finial.tenon")  # fmt: skip
    wanted = sorted(crowned.table[name].value for name in names)
    assert sorted(sizes) == pytest.approx(wanted, abs=1e-5)
    assert len(chart.labels) == len(names)


def test_the_rulers_are_as_long_as_they_say() -> None:
    """The inch is 25.4 mm (International Yard and Pound Agreement, 1959)."""
    flat = [one for one in rulers().paths if one.start[1] == one.pieces[0][0][1]]
    lengths = [one.pieces[0][0][0] - one.start[0] for one in flat]
    assert lengths == pytest.approx([100.0, 4 * 25.4])
    assert (RULER_MM, RULER_IN) == (100, 4)
    assert [plain(one.text) for one in rulers().labels].count("4") == 1


@pytest.mark.parametrize("paper", ROOMS)
def test_what_is_too_large_is_parted_and_its_marks_meet(
    drawn: dict[str, Episode], paper: str
) -> None:
    room = ROOMS[paper]
    gauge = sphere_gauge(drawn["largest"].table)
    assert gauge is not None
    tiles = parted(gauge, room)
    assert len(tiles) == 8
    crosses: dict[tuple[float, float], int] = {}
    covered: set[tuple[int, int]] = set()
    for tile in tiles:
        assert tile.width <= room.width
        assert tile.height <= room.height
        assert tile.tile is not None
        row, column, _, _ = tile.tile
        left, top = (column - 1) * (room.width - 12.0), (row - 1) * (room.height - 12.0)
        for path in tile.paths:
            back = path.moved(left, top)
            if path.line is Line.REGISTER and path.closed:
                inside = 0 <= path.start[0] <= tile.width and 0 <= path.start[1] <= tile.height
                if inside:
                    place = (round(back.start[0], 4), round(back.start[1], 4))
                    crosses[place] = crosses.get(place, 0) + 1
            elif path.line is not Line.REGISTER:
                assert any(
                    back.points().__next__() == pytest.approx(one.start) for one in gauge.paths
                )
        covered |= {
            (x, y)
            for x in range(int(left), math.ceil(left + tile.width))
            for y in range(int(top), math.ceil(top + tile.height))
        }
    assert set(crosses.values()) == {2}, "a register mark stands on both sheets that meet there"
    assert len(crosses) == 2 * (2 * 3 + 4)
    assert {(0, 0), (int(gauge.width) - 1, int(gauge.height) - 1)} <= covered
    assert len(covered) >= int(gauge.width) * int(gauge.height)


def test_what_nobody_would_join_is_left_out() -> None:
    vast = Template(key="x", heading="", how="", width=9e3, height=9e3, paths=())
    assert parted(vast, Room(190, 200)) == ()


@pytest.mark.parametrize("paper", ROOMS)
def test_every_design_has_templates_that_fit(drawn: dict[str, Episode], paper: str) -> None:
    for name, episode in drawn.items():
        found = templates_of(episode, paper)
        assert len(found) >= 2, name
        for one in found:
            assert one.width <= ROOMS[paper].width, (name, one.key)
            assert one.height <= ROOMS[paper].height, (name, one.key)
            assert one.paths
