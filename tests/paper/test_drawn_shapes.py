"""Where the lines of the drawings lie: read back and laid against geometry."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.measure.measurement import System
from studio.measure.trace import plain, spans
from studio.paper.drawings import (
    ROUNDS,
    assembly,
    grooves_from_pole,
    grooves_from_side,
    hanger_in_hole,
    hollow_section,
    mounting,
    profile_stations,
    round_of_cuts,
)
from studio.paper.drawings.globe import outline_from_side, radius_at
from studio.turning.profile import radius_mm

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]


def root_of(svg: str) -> ET.Element:
    return ET.fromstring(plain(svg))


def shapes(root: ET.Element, kind: str) -> list[list[Point]]:
    """The corners of every polygon and polyline of a class."""
    return [
        [
            (float(x), float(y))
            for x, y in (pair.split(",") for pair in node.attrib["points"].split())
        ]
        for node in root.iter()
        if node.tag in (f"{SVG}polygon", f"{SVG}polyline") and node.attrib["class"] == kind
    ]


def circle_of(root: ET.Element, kind: str) -> tuple[Point, float]:
    node = root.find(f".//{SVG}circle[@class='{kind}']")
    assert node is not None
    return (float(node.attrib["cx"]), float(node.attrib["cy"])), float(node.attrib["r"])


def spans_of(places: list[Point]) -> tuple[float, float]:
    """How wide and how high a shape is."""
    xs, ys = zip(*places, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize(("which", "sides"), list(zip(ROUNDS, (8, 16, 32), strict=True)))
def test_a_round_leaves_a_regular_figure_round_the_ball(
    which: str, sides: int, drawn: dict[str, Episode]
) -> None:
    """Euclid, Elements IV, for the octagon; the others by halving its angles."""
    root = root_of(round_of_cuts(drawn["plain"].table, System.METRIC, which))
    (mid, radius), after = circle_of(root, "ball"), shapes(root, "cut")[0]
    assert len(after) == sides
    far = pytest.approx(radius / math.cos(math.pi / sides), rel=1e-3)
    assert all(math.dist(mid, corner) == far for corner in after)
    assert len(shapes(root, "waste")[0]) == sides // 2


@pytest.mark.parametrize("which", ROUNDS)
def test_the_enlarged_corner_has_its_marks_and_what_stands_proud(
    which: str, drawn: dict[str, Episode]
) -> None:
    """The two are drawn to one scale: mark over corner left proud, as the table has them."""
    table = drawn["plain"].table
    names = {"first": "set_in", "second": "second_mark", "third": "third_mark"}
    root = root_of(round_of_cuts(table, System.METRIC, which))
    tip, *marks = shapes(root, "waste")[1]
    legs = [math.dist(tip, mark) for mark in marks]
    assert legs[0] == pytest.approx(legs[1], abs=0.02)
    scale = legs[0] / table[f"sphere.{names[which]}"].value
    ball = shapes(root, "ball")[0]
    top = ball[len(ball) // 2]
    # the ball touches the cut half way between the marks
    assert top == pytest.approx(((marks[0][0] + marks[1][0]) / 2, marks[0][1]), abs=0.05)
    radius = table["sphere.diameter"].value / 2 * scale
    middle = (top[0], top[1] + radius)
    proud = math.dist(middle, marks[1]) - radius
    assert proud == pytest.approx(table[f"sphere.proud_{which}"].value * scale, abs=0.05)


def test_the_end_disc_is_as_thick_as_its_limit(drawn: dict[str, Episode]) -> None:
    table = drawn["plain"].table
    for which in ROUNDS:
        root = root_of(round_of_cuts(table, System.METRIC, which))
        (_, radius) = circle_of(root, "ball")
        stubs = {float(node.attrib["y1"]) for node in root.iter(f"{SVG}line")
                 if node.attrib["class"] == "outline"}  # fmt: skip
        limit = table[f"sphere.end_limit_{which}"].value / table["sphere.diameter"].value
        assert max(stubs) - min(stubs) == pytest.approx(2 * radius * limit, abs=0.03)


def test_one_groove_meets_no_other(drawn: dict[str, Episode]) -> None:
    """No circle of merging; the land's chord on both sides is the groove's own width apart."""
    each = drawn["one groove"]
    root = root_of(grooves_from_pole(each.table, each.piece, System.METRIC))
    assert root.find(f".//{SVG}circle[@class='ball']") is None
    lands = shapes(root, "land") + shapes(root, "land fine")
    assert len(lands) == 2
    places = [x for land in lands for x, _ in land]
    middle = (min(places) + max(places)) / 2
    inner = [min(abs(x - middle) for x, _ in land) for land in lands]
    scale = (max(places) - min(places)) / each.table["sphere.diameter"].value
    width, diameter = (each.table[key].value for key in ("grooves.width", "sphere.diameter"))
    assert sum(inner) == pytest.approx(diameter * math.sin(width / diameter) * scale, abs=0.1)


@pytest.mark.parametrize("name", ["three grooves", "grooved", "many marks"])
def test_from_a_pole_the_lands_end_on_the_cap_and_bands_are_as_wide_as_the_groove(
    name: str, drawn: dict[str, Episode]
) -> None:
    each = drawn[name]
    root = root_of(grooves_from_pole(each.table, each.piece, System.METRIC))
    mid, cap = circle_of(root, "ball")
    lands = shapes(root, "land") + shapes(root, "land fine")
    assert len(lands) == round(each.table["grooves.lobes"].value)
    diameter = each.table["sphere.diameter"].value
    scale = 2 * max(math.dist(mid, place) for place in lands[0]) / diameter
    assert cap == pytest.approx(each.table["grooves.cap"].value / 2 * scale, abs=0.05)
    for land in lands:
        assert math.dist(mid, land[0]) == pytest.approx(cap, abs=0.05)
    # straight across the band, edge to edge: the chord of the groove's arc
    wide = each.table["grooves.width"].value
    across = diameter * math.sin(wide / diameter) * scale
    left, right = lands[-1][-1], lands[0][1]
    assert math.dist(left, right) == pytest.approx(across, abs=0.05)


def test_from_the_side_every_edge_is_a_circle_beside_the_grooves_plane(
    drawn: dict[str, Episode],
) -> None:
    """Places on the land towards the reader lie on the sphere and just the half width away from
    one of the two planes beside it; those on the outline are as far as the sphere."""
    each = drawn["three grooves"]
    assert each.piece is not None
    globe = each.piece.globe
    assert globe is not None
    assert globe.section is not None
    root = root_of(grooves_from_side(each.table, each.piece, System.METRIC))
    radius, off = (
        globe.diameter_mm / 2,
        globe.diameter_mm / 2 * math.sin(globe.section.half_angle_rad),
    )
    axis = float(next(node for node in root.iter(f"{SVG}line")
                      if node.attrib["class"] == "axis").attrib["x1"])  # fmt: skip
    half, high = (side / 2 for side in spans_of([p for one in shapes(root, "land") for p in one]))
    scale = half / radius
    top = min(y for one in shapes(root, "land") for _, y in one)
    middle = top + high
    for land in shapes(root, "land"):
        for x_drawn, y_drawn in land:
            x, z = (x_drawn - axis) / scale, (middle - y_drawn) / scale
            towards = math.sqrt(max(0.0, radius**2 - x * x - z * z))
            planes = [abs(x * math.cos(turn) - towards * math.sin(turn))
                      for turn in (k * math.pi / 3 for k in range(3))]  # fmt: skip
            assert min([*(abs(plane - off) for plane in planes), towards]) < 0.6


def test_the_outline_is_cut_down_at_the_poles_and_whole_at_a_land(
    drawn: dict[str, Episode],
) -> None:
    each = drawn["grooved"]
    assert each.piece is not None
    globe = each.piece.globe
    assert globe is not None
    heights = [z for _, z in outline_from_side(globe)]
    assert max(heights) == pytest.approx(-min(heights))
    axis = [z for x, z in outline_from_side(globe) if abs(x) < 1e-6]
    assert max(axis) == pytest.approx(each.table["grooves.pole_height"].value / 2, abs=1e-6)
    assert radius_at(globe, math.sin(math.pi / 8), math.cos(math.pi / 8), 0.0) == 30.0
    assert radius_at(globe, 0.0, 1.0, 0.0) == pytest.approx(
        30.0 - each.table["grooves.depth"].value
    )


def test_a_ring_is_drawn_where_it_lies(drawn: dict[str, Episode]) -> None:
    each = drawn["rings"]
    root = root_of(grooves_from_side(each.table, each.piece, System.METRIC))
    ball = shapes(root, "land")[0]
    scale = spans_of(ball)[1] / 60
    middle = (max(y for _, y in ball) + min(y for _, y in ball)) / 2
    bands = [(max(ys) + min(ys)) / 2 for ys in
             ([y for _, y in band] for band in shapes(root, "band"))]  # fmt: skip
    places = sorted(round((middle - y) / scale, 1) for y in bands)
    # the middle of a band's edges is not quite the middle of its arc
    assert places == pytest.approx([-10.0, 0.0, 10.0, 20.0], abs=0.3)


@pytest.mark.parametrize("side", ["both", "bottom"])
def test_a_ring_is_drawn_round_the_pole(folder: Path, side: str) -> None:
    path = folder / "round.yaml"
    path.write_text(
        "title: Round\nstock: {species: cherry, diameter: 60 mm}\nindexing: {marks: 8}\n"
        "grooves: {number: 4, width: 6 mm, depth: 2 mm}\n"
        f"rings: [{{place: 15 mm, side: {side}, width: 4 mm, depth: 0.7 mm}}]\n"
        "steps:\n  - {id: a, title: A, does: [mounting], stage: off-centre, do: Do it.}\n",
        encoding="utf-8",
    )
    each = open_episode(path)
    root = root_of(grooves_from_pole(each.table, each.piece, System.METRIC))
    mid, _ = circle_of(root, "ball")
    scale = 2 * max(math.dist(mid, place) for place in shapes(root, "land")[0]) / 60
    bands = shapes(root, "band")
    assert len(bands) == 8
    # by hand: 15 mm from the equator is 30° up; 2 mm of arc on 30 mm is 3.82° to each side
    for band in bands:
        far = [math.dist(mid, place) / scale for place in band]
        assert max(far) == pytest.approx(30 * math.cos(math.radians(30 - 3.82)), abs=0.02)
        assert min(far) == pytest.approx(30 * math.cos(math.radians(30 + 3.82)), abs=0.02)
        # between the grooves' straight edges, 3 mm of arc from their middles
        for x, y in band:
            turn = math.radians(45)
            ways = [turn * place for place in range(4)]
            beside = min(
                abs((x - mid[0]) * math.cos(way) + (y - mid[1]) * math.sin(way)) / scale
                for way in ways
            )
            assert beside >= 30 * math.sin(3 / 30) - 0.02


def test_the_ball_touches_the_rim_and_the_tail_point(drawn: dict[str, Episode]) -> None:
    each = drawn["grooved"]
    root = root_of(mounting(each.table, each.piece, System.METRIC))
    cup, point = shapes(root, "form")
    ball = shapes(root, "hull")[0]
    right = max(x for x, _ in ball)
    assert point[0][0] == pytest.approx(right, abs=0.3)
    middle = point[0][1]
    scale = 2 * 88 / each.table["sphere.diameter"].value
    rim = each.table["grooves.rim"].value
    x, y = cup[0]
    assert 2 * (middle - y) == pytest.approx(rim * scale, abs=0.03)
    assert math.hypot(right - 88 - x, middle - y) == pytest.approx(88, abs=0.05)
    notch = min(y for x, y in ball if abs(x - (right - 88)) < 0.5)
    depth = each.table["grooves.depth"].value
    assert notch == pytest.approx(middle - 88 + depth * scale, abs=0.05)


def test_each_station_is_led_from_its_place_on_the_profile(drawn: dict[str, Episode]) -> None:
    each = drawn["parts"]
    assert each.piece is not None
    part = next(one for one in each.piece.parts if one.name == "finial")
    root = root_of(profile_stations(each.table, part, System.METRIC))
    body = shapes(root, "land")[0]
    scale = spans_of(body)[1] / part.profile.length_mm
    top = min(y for _, y in body)
    axis = (max(x for x, _ in body) + min(x for x, _ in body)) / 2
    assert spans_of(body)[0] == pytest.approx(each.table["finial.thickest"].value * scale, abs=0.05)
    leaders = [one[0] for one in shapes(root, "dim")]
    count = round(each.table["finial.stations"].value)
    assert len(leaders) == count >= 20
    for place, (x, y) in enumerate(leaders, 1):
        at = each.table[f"finial.at_{place}"].value
        assert y == pytest.approx(top + at * scale, abs=0.02)
        assert (x - axis) / scale <= radius_mm(part.profile, at) + 0.01
    rows = [one[-1][1] for one in shapes(root, "dim")]
    assert all(b - a >= 19.9 for a, b in pairwise(rows))


def test_with_too_many_stations_only_changes_have_rows(drawn: dict[str, Episode]) -> None:
    each = drawn["many stations"]
    assert each.piece is not None
    part = next(one for one in each.piece.parts if one.name == "finial")
    assert each.table["finial.stations"].value > 60
    svg = profile_stations(each.table, part, System.METRIC)
    assert len(shapes(root_of(svg), "dim")) <= 40
    assert each.table["finial.at_1"].text in plain(svg)


def test_wire_bundle_hole_and_depth_are_true_to_one_another(drawn: dict[str, Episode]) -> None:
    each = drawn["plain"]
    root = root_of(hanger_in_hole(each.table, each.piece, System.METRIC))
    hole = next(one for one in shapes(root, "outline") if len(one) == 5)
    wide, _ = spans_of(hole)
    deep = hole[1][1] - hole[0][1]
    drill, depth = each.table["hanger.drill"].value, each.table["hanger.depth"].value
    assert deep / wide == pytest.approx(depth / drill, rel=0.01)
    wires = [place for one in shapes(root, "wire") for place in one]
    bundle = each.table["hanger.bundle"].value
    assert spans_of(wires)[0] == pytest.approx(bundle / drill * wide, rel=0.02)


@pytest.mark.parametrize(
    ("strands", "named"),
    [
        (1, {"cut"}),
        (2, {"wires", "cut"}),
        (3, {"wires", "cut", "cut_single"}),
        (4, {"wires", "cut"}),
        (5, {"wires", "cut", "cut_single"}),
    ],
)
def test_all_that_is_cut_from_the_coil_stands_beside_the_hanger(
    strands: int, named: set[str], globe: Path
) -> None:
    """A folded wire makes two strands, an odd one is a shorter wire of its own."""
    text = globe.read_text("utf-8")
    assert "strands: 4\n  pitch: 6 mm\n" in text
    pitch = "  pitch: 6 mm\n" if strands > 1 else ""
    text = text.replace("strands: 4\n  pitch: 6 mm\n", f"strands: {strands}\n{pitch}")
    if not pitch:
        text = text.replace("one full twist in\n      {{ hanger.pitch }}: the", "straight: the")
    globe.write_text(text, "utf-8")
    each = open_episode(globe)
    told = {span.name for span in spans(hanger_in_hole(each.table, each.piece, System.METRIC))[1]}
    keys = ("wires", "cut", "cut_single")
    assert {key for key in keys if f"hanger.{key}" in told} == named


def test_a_very_deep_hole_is_drawn_broken(drawn: dict[str, Episode]) -> None:
    deep, plain_one = drawn["largest"], drawn["plain"]
    assert len(shapes(root_of(hanger_in_hole(deep.table, deep.piece, System.METRIC)), "wood")) == 2
    whole = hanger_in_hole(plain_one.table, plain_one.piece, System.METRIC)
    assert len(shapes(root_of(whole), "wood")) == 1


def test_the_hollow_lies_about_the_balls_own_centre(drawn: dict[str, Episode]) -> None:
    each = drawn["hollow"]
    root = root_of(hollow_section(each.table, each.piece, System.METRIC))
    wall = shapes(root, "form")[0]
    wide, _ = spans_of(wall)
    scale = wide / each.table["sphere.diameter"].value
    left = min(x for x, _ in wall)
    mid = (left + wide / 2, max(y for _, y in wall) - wide / 2)
    inner = each.table["hollow.diameter"].value * scale / 2
    far = {round(math.dist(mid, place), 0) for place in wall}
    assert far == {round(wide / 2, 0), round(inner, 0)}
    rim = sorted(
        (y, x) for x, y in wall if math.dist(mid, (x, y)) == pytest.approx(wide / 2, abs=0.05)
    )[:2]
    assert abs(rim[0][1] - rim[1][1]) == pytest.approx(
        each.table["hollow.opening"].value * scale, abs=0.1
    )


def test_the_whole_piece_is_as_high_as_the_table_says(drawn: dict[str, Episode]) -> None:
    each = drawn["many stations"]
    root = root_of(assembly(each.table, each.piece, System.METRIC))
    ball, *parts = shapes(root, "land")
    _, high = spans_of([place for one in (ball, *parts) for place in one])
    scale = spans_of(ball)[0] / each.table["sphere.diameter"].value
    assert high == pytest.approx(each.table["assembly.height"].value * scale, rel=1e-3)


def test_solid_or_plain_pieces_have_no_such_drawing(drawn: dict[str, Episode]) -> None:
    each = drawn["plain"]
    for make in (grooves_from_pole, grooves_from_side, mounting, hollow_section, assembly):
        assert make(each.table, each.piece, System.METRIC) == ""
        assert make(each.table, None, System.METRIC) == ""
    part = drawn["parts"].piece.parts[0]  # type: ignore[union-attr]
    assert profile_stations(each.table, replace(part, name="nothing"), System.METRIC) == ""


def test_rings_are_cut_into_the_hollows_section(drawn: dict[str, Episode]) -> None:
    """As deep as the piece has them, at their height on both sides, and nowhere else."""
    each = drawn["seven grooves"]
    assert each.piece is not None
    globe = each.piece.globe
    assert globe is not None
    wall = shapes(root_of(hollow_section(each.table, each.piece, System.METRIC)), "form")[0]
    left, right = min(x for x, _ in wall), max(x for x, _ in wall)
    radius, low = (right - left) / 2, max(y for _, y in wall)
    mid, scale = ((left + right) / 2, low - radius), (right - left) / globe.diameter_mm
    inner = each.table["hollow.diameter"].value * scale / 2
    assert globe.rings
    ring = globe.rings[0]
    cut = [place for place in wall if inner + 0.5 < math.dist(mid, place) < radius - 0.05]
    deepest = min(math.dist(mid, place) for place in cut)
    assert radius - deepest == pytest.approx(ring.section.depth_mm * scale, abs=0.05)
    assert {x > mid[0] for x, _ in cut} == {True, False}
    for x, y in cut:
        up = math.degrees(math.asin((mid[1] - y) / math.dist(mid, (x, y))))
        off = min(abs(up - one.latitude_deg) for one in globe.rings)
        assert off <= math.degrees(ring.section.half_angle_rad)


@pytest.mark.parametrize("name", ["parts", "many stations", "long titles", "inches"])
def test_each_parts_leader_begins_on_its_outline(name: str, drawn: dict[str, Episode]) -> None:
    each = drawn[name]
    root = root_of(assembly(each.table, each.piece, System.METRIC))
    drawn_forms = [*shapes(root, "land"), *shapes(root, "form")]
    outlines = [place for one in drawn_forms for place in one]
    starts = [one[0] for one in shapes(root, "dim")]
    parts = len(each.piece.parts) if each.piece is not None else 0
    on = 0
    for start in starts:
        x, y = start
        for (ax, ay), (bx, by) in pairwise(outlines):
            if min(ay, by) - 0.02 <= y <= max(ay, by) + 0.02 and abs(by - ay) > 1e-6:
                cross = ax + (bx - ax) * (y - ay) / (by - ay)
                if abs(cross - x) < 0.1:
                    on += 1
                    break
    assert on >= parts + 1  # and the globe's own
