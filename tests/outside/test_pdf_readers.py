"""PDFs read back by readers that had no part in making them: pdfminer.six and pypdf."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from pdfminer.high_level import extract_pages, extract_text
from pdfminer.layout import LTChar, LTCurve, LTPage, LTTextContainer, LTTextLine
from pypdf import PdfReader

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.paper.pdfs import CUT_SHEET, HANDOUT, PDFS, TEMPLATES, pdf_files
from studio.paper.views import word_columns
from studio.resources import shipped

WITHIN_MM = 0.05
DESIGNS = ("globe", "crowned-globe")
SHEETS = {"A4": (210.0, 297.0), "Letter": (8.5 * 25.4, 11 * 25.4)}
"""ISO 216; ANSI/ASME Y14.1."""


def mm(points: float) -> float:
    """A PDF's default unit is 1/72 in (ISO 32000-1, 8.3.2.3)."""
    return points * 25.4 / 72


RINGED = """\
title: Ringed
stock: {species: European sycamore, diameter: 60 mm}
rings:
  - {place: 0 mm, width: 4 mm, depth: 1 mm}
  - {place: 10 mm, width: 4 mm, depth: 1 mm}
  - {place: 20 mm, width: 3 mm, depth: 0.71 mm, side: top}
workshop:
  name: Fernhollow Bench
  lathe: {slowest: 50 rpm, fastest: 3600 rpm}
  chuck: {rims: [20 mm, 34 mm, 48 mm]}
  cutters: [1 mm, 2 mm, 4 mm, 6 mm, 7 mm, 8 mm]
steps:
  - {id: turn, title: Turn, does: [spindle-running], do: Turn.}
"""
"""A design of rings (invented)."""


@cache
def episode_of(name: str) -> Episode:
    if name != "ringed":
        return open_episode(shipped("designs") / f"{name}.yaml")
    with TemporaryDirectory() as folder:
        path = Path(folder) / "ringed.yaml"
        path.write_text(RINGED, encoding="utf-8")
        return open_episode(path)


@cache
def made(name: str, paper: str) -> dict[str, bytes]:
    return pdf_files(episode_of(name), paper)


@cache
def text_of(name: str, paper: str, file: str) -> str:
    """Words as pdfminer.six reads them, one space between two."""
    return " ".join(extract_text(io.BytesIO(made(name, paper)[file])).split())


every = pytest.mark.parametrize("name", DESIGNS)
both = pytest.mark.parametrize("paper", SHEETS)
each = pytest.mark.parametrize("file", PDFS)


@every
@both
def test_the_handout_has_every_measurement_in_both_systems(name: str, paper: str) -> None:
    text = text_of(name, paper, HANDOUT)
    for one in episode_of(name).table.values():
        if one.name.endswith(".title"):
            continue
        assert " ".join(one.metric.text.split()) in text, one.name
        assert " ".join(one.imperial.text.split()) in text, one.name


@every
@both
def test_the_cut_sheet_has_what_each_step_sets(name: str, paper: str) -> None:
    text = text_of(name, paper, CUT_SHEET)
    for step in episode_of(name).steps:
        for one in step.shows:
            assert one.metric.text in text
            assert one.imperial.text in text
    assert text.count("As measured") >= len([s for s in episode_of(name).steps if s.shows])


@every
@both
@each
def test_sheets_are_the_papers_size(name: str, paper: str, file: str) -> None:
    for page in PdfReader(io.BytesIO(made(name, paper)[file])).pages:
        size = (mm(float(page.mediabox.width)), mm(float(page.mediabox.height)))
        assert size == pytest.approx(SHEETS[paper], abs=0.01)


@every
@each
def test_tags_title_language_and_faces(name: str, file: str) -> None:
    """ISO 32000-1, 14.7 and 14.8, and PDF/UA-1 (ISO 14289-1) as the file itself claims."""
    reader = PdfReader(io.BytesIO(made(name, "A4")[file]))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en-GB"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None
    assert reader.metadata.title
    assert b"pdfuaid:part" in root["/Metadata"].get_data()
    kinds: set[str] = set()

    def walk(node: object) -> None:
        node = getattr(node, "get_object", lambda: node)()
        if isinstance(node, list):
            for one in node:
                walk(one)
        elif isinstance(node, dict):
            if "/S" in node:
                kinds.add(str(node["/S"]))
            if "/K" in node:
                walk(node["/K"])

    walk(root["/StructTreeRoot"])
    assert {"/H1", "/H2", "/Figure"} <= kinds
    assert file == TEMPLATES or {"/Table", "/TH", "/TD", "/L"} <= kinds
    faces = set()
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            for inner in font.get_object().get("/DescendantFonts", []):
                shape = inner.get_object()["/FontDescriptor"].get_object()
                faces.add(str(shape["/FontName"]))
                assert {"/FontFile", "/FontFile2", "/FontFile3"} & shape.keys(), font
    assert any("SourceSansPro" in face for face in faces)


def chars(name: str, paper: str, file: str) -> Iterator[tuple[str, float]]:
    """Each line of text with the least size of its letters, in points."""

    def lines(one: object) -> Iterator[LTTextLine]:
        if isinstance(one, LTTextLine):
            yield one
        elif isinstance(one, LTTextContainer | LTPage):
            for inner in one:
                yield from lines(inner)

    for page in extract_pages(io.BytesIO(made(name, paper)[file])):
        for line in lines(page):
            letters = [one for one in line if isinstance(one, LTChar) and one.get_text().strip()]
            run: list[LTChar] = []
            for letter in [*letters, None]:
                if letter is not None and (not run or letter.size == pytest.approx(run[0].size)):
                    run.append(letter)
                    continue
                yield "".join(one.get_text() for one in run), min(one.size for one in run)
                run = [letter] if letter is not None else []


@every
@both
def test_figures_on_the_cut_sheet_are_at_least_18_points(name: str, paper: str) -> None:
    found: dict[str, float] = {}
    for text, size in chars(name, paper, CUT_SHEET):
        found[text] = max(size, found.get(text, 0.0))
    episode = episode_of(name)
    shown = {one.name: one for step in episode.steps for one in step.shows}
    # a schedule prints the first system alone, and its columns of words as words
    listed = {
        name
        for one in episode.schedules
        for row in one.rows
        for place, name in enumerate(row)
        if name and place not in word_columns(episode.table, one)
    } - shown.keys()
    texts = [(one, text) for one in shown.values() for text in (one.text, one.other)]
    texts += [(episode.table[name], episode.table[name].text) for name in listed]
    tried = 0
    for one, text in texts:
        # what is told in words is no figure: "P180, P240, P320, P400"
        if text and len(text) <= 14 and any(map(str.isdigit, text)):
            squeezed = text.replace(" ", "")
            sizes = [size for words, size in found.items() if squeezed in words]
            # pdfminer tells the height of a letter's box, which is the type size
            assert max(sizes, default=0.0) >= 18 - 1e-6, (one.name, text)
            tried += 1
    assert tried >= 10


# --- true scale ---------------------------------------------------------------------------------

Point = tuple[float, float]
Drawn = list[tuple[str, list[Point]]]


@cache
def sheets(name: str, paper: str) -> list[list[tuple[float, Drawn]]]:
    """Of each sheet every line: its stroke's width, and its operators with their points, mm."""
    out = []
    for page in extract_pages(io.BytesIO(made(name, paper)[TEMPLATES])):
        lines = []
        for one in page:
            if isinstance(one, LTCurve) and one.original_path:
                drawn = [
                    (str(op), [(mm(x), mm(y)) for x, y in points])
                    for op, *points in one.original_path
                ]
                lines.append((mm(one.linewidth or 0), drawn))
        out.append(lines)
    return out


def ends(drawn: Drawn) -> list[Point]:
    return [points[-1] for _, points in drawn if points]


def corners(drawn: Drawn) -> list[Point]:
    places = ends(drawn)
    return places[:-1] if places[0] == pytest.approx(places[-1], abs=1e-6) else places


def bounds(places: list[Point]) -> tuple[float, float]:
    xs, ys = zip(*places, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def straight(name: str, paper: str) -> list[tuple[Point, Point]]:
    return [
        (one[0], one[1])
        for sheet in sheets(name, paper)
        for _, drawn in sheet
        if [op for op, _ in drawn] == ["m", "l"]
        for one in [ends(drawn)]
    ]


@every
@both
def test_rulers_on_every_sheet(name: str, paper: str) -> None:
    for sheet in sheets(name, paper):
        flat = [
            math.dist(*ends(drawn)) for _, drawn in sheet if [op for op, _ in drawn] == ["m", "l"]
        ]
        for wanted in (100.0, 101.6):
            assert min(abs(length - wanted) for length in flat) < WITHIN_MM
    pages = [
        page.extract_text() for page in PdfReader(io.BytesIO(made(name, paper)[TEMPLATES])).pages
    ]
    assert all("print at 100 %" in " ".join(page.split()).lower() for page in pages)


@every
@both
def test_the_half_circle(name: str, paper: str) -> None:
    diameter = episode_of(name).table["sphere.diameter"].value
    found = []
    for sheet in sheets(name, paper):
        for _, drawn in sheet:
            curves = [points for op, points in drawn if op == "c"]
            if [op for op, _ in drawn][:2] == ["m", "l"] and len(curves) >= 6:
                start = drawn[1][1][-1]
                found.append((start, curves))
    ((start, curves),) = found
    end = curves[-1][-1]
    assert math.dist(start, end) == pytest.approx(diameter, abs=WITHIN_MM)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    at = start
    for one, two, last in curves:
        half = tuple(
            (a + 3 * b + 3 * c + d) / 8 for a, b, c, d in zip(at, one, two, last, strict=True)
        )
        assert math.dist(half, middle) == pytest.approx(diameter / 2, abs=WITHIN_MM)
        assert math.dist(last, middle) == pytest.approx(diameter / 2, abs=WITHIN_MM)
        at = last


@every
@both
def test_the_octagons_corners(name: str, paper: str) -> None:
    """Euclid, Elements IV: the side is the diameter times tan 22.5°."""
    diameter = episode_of(name).table["sphere.diameter"].value
    side = diameter * math.tan(math.radians(22.5))
    octagons = [
        corners(drawn)
        for sheet in sheets(name, paper)
        for _, drawn in sheet
        if len(corners(drawn)) == 8 and all(op in "mlh" for op, _ in drawn)
    ]
    (octagon,) = octagons
    sides = [
        math.dist(one, two) for one, two in zip(octagon, octagon[1:] + octagon[:1], strict=True)
    ]
    assert sides == pytest.approx([side] * 8, abs=WITHIN_MM)
    assert bounds(octagon) == pytest.approx((diameter, diameter), abs=WITHIN_MM)


def strips(name: str, paper: str) -> list[tuple[Point, float]]:
    """Upper left corner and length of each strip, down the sheets."""
    found = []
    for number, sheet in enumerate(sheets(name, paper)):
        for _, drawn in sheet:
            places = corners(drawn)
            if len(places) == 4 and bounds(places)[1] == pytest.approx(13.0, abs=WITHIN_MM):
                wide = bounds(places)[0]
                if wide > 40:
                    left, top = min(x for x, _ in places), max(y for _, y in places)
                    found.append((number, -top, left, wide))
    return [((left, -top), wide) for _, top, left, wide in sorted(found)]


@every
@both
def test_the_index_strip(name: str, paper: str) -> None:
    """Archimedes, Measurement of a Circle: π times the diameter, parted evenly by the marks."""
    table = episode_of(name).table
    around = math.pi * table["sphere.diameter"].value
    count = round(table["index.marks"].value)
    found = strips(name, paper)[:2]
    assert sum(wide for _, wide in found) == pytest.approx(around, abs=WITHIN_MM)
    marks, before = [], 0.0
    for (left, top), wide in found:
        for one, two in straight(name, paper):
            upright = abs(one[0] - two[0]) < 1e-6 and max(one[1], two[1]) == pytest.approx(
                top, abs=1e-3
            )
            if upright and left - 1e-3 <= one[0] <= left + wide + 1e-3:
                marks.append(before + one[0] - left)
        before += wide
    wanted = [around * place / count for place in range(count + 1)]
    assert sorted(marks) == pytest.approx(wanted, abs=WITHIN_MM)


def test_the_groove_strip() -> None:
    table = episode_of("crowned-globe").table
    found = strips("crowned-globe", "A4")[2:]
    around = math.pi * table["sphere.diameter"].value
    assert sum(wide for _, wide in found) == pytest.approx(around, abs=WITHIN_MM)
    bands = [
        bounds(corners(drawn))
        for sheet in sheets("crowned-globe", "A4")
        for _, drawn in sheet
        if len(corners(drawn)) == 4
    ]
    widths = [wide for wide, high in bands if high == pytest.approx(6.5, abs=WITHIN_MM)]
    # ten whole ones, and one in two halves where the pieces meet and where the strip closes
    whole = [
        one
        for one in widths
        if one == pytest.approx(2 * table["grooves.edge"].value, abs=WITHIN_MM)
    ]
    assert len(whole) == 2 * round(table["grooves.number"].value) - 2
    assert sum(widths) == pytest.approx(24 * table["grooves.edge"].value, abs=4 * WITHIN_MM)


RINGS = ((20.0, 3.0), (10.0, 4.0), (0.0, 4.0), (-10.0, 4.0))
"""Heights above the equator and widths of the design's rings, mm, from the tailstock side on."""


@both
def test_the_ring_strip(paper: str) -> None:
    """An arc is the radius times its angle (Euclid, Elements VI 33; Archimedes for its length), and
    a height is the radius times the sine of the latitude."""
    radius = 30.0
    ((left, top), long), *others = strips("ringed", paper)
    assert others == []
    assert long == pytest.approx(math.pi * radius, abs=WITHIN_MM)
    middles = [long / 2 - radius * math.asin(height / radius) for height, _ in RINGS]
    upright = [
        one
        for one in straight("ringed", paper)
        if abs(one[0][0] - one[1][0]) < 1e-6
        and max(one[0][1], one[1][1]) == pytest.approx(top, abs=1e-3)
        and left - 1e-3 <= one[0][0] <= left + long + 1e-3
    ]
    # the equator's line, dashed, lies where a ring has its own
    places = sorted(one[0][0] - left for one in upright)
    assert places == pytest.approx(sorted([*middles, long / 2]), abs=WITHIN_MM)
    bands = sorted(
        (min(x for x, _ in places) - left, bounds(places)[0])
        for sheet in sheets("ringed", paper)
        for _, drawn in sheet
        for places in [corners(drawn)]
        if len(places) == 4 and bounds(places)[1] == pytest.approx(6.5, abs=WITHIN_MM)
    )
    assert [start for start, _ in bands] == pytest.approx(
        [middle - width / 2 for middle, (_, width) in zip(middles, RINGS, strict=True)],
        abs=WITHIN_MM,
    )
    assert [wide for _, wide in bands] == pytest.approx(
        [width for _, width in RINGS], abs=WITHIN_MM
    )


@both
def test_the_ring_gauge(paper: str) -> None:
    """Heights are read along the straight edge, widths along the half circle (Euclid, III and VI,
    elementary geometry)."""
    radius = 30.0
    (sheet,) = (sheet for sheet in sheets("ringed", paper) if len(fills(sheet)) == len(RINGS))
    edges = [
        drawn
        for _, drawn in sheet
        if [op for op, _ in drawn][:2] == ["m", "l"] and sum(op == "c" for op, _ in drawn) >= 6
    ]
    start, end = edges[-1][1][1][-1], [points for op, points in edges[-1] if op == "c"][-1][-1]
    assert math.dist(start, end) == pytest.approx(2 * radius, abs=WITHIN_MM)
    centre = ((start[0] + end[0]) / 2, start[1])
    lines = [ends(drawn) for _, drawn in sheet if [op for op, _ in drawn] == ["m", "l"]]
    heights = [height for height, _ in RINGS]
    out = [
        centre[0] - one[0]
        for one, two in lines
        if abs(math.dist(one, centre) - radius) < WITHIN_MM
        and abs(math.dist(two, centre) - radius - 7) < WITHIN_MM
    ]
    assert out == pytest.approx(heights, abs=WITHIN_MM)
    ticks = [
        centre[0] - one[0]
        for one, two in lines
        if abs(one[0] - two[0]) < 1e-6
        and abs(math.dist(one, two) - 4) < WITHIN_MM
        and abs(centre[1] - min(one[1], two[1]) - radius - 14) < WITHIN_MM
    ]
    assert ticks == pytest.approx(heights, abs=WITHIN_MM)
    for drawn, (height, width) in zip(fills(sheet), RINGS, strict=True):
        on_edge = [one for one in ends(drawn) if abs(math.dist(one, centre) - radius) < WITHIN_MM]
        turns = [math.asin((centre[0] - x) / radius) for x, _ in on_edge]
        assert radius * (max(turns) - min(turns)) == pytest.approx(width, abs=WITHIN_MM)
        middle = (max(turns) + min(turns)) / 2
        assert radius * math.sin(middle) == pytest.approx(height, abs=WITHIN_MM)


def fills(sheet: list[tuple[float, Drawn]]) -> list[Drawn]:
    """Shaded parts of a ring: from the edge outwards, both sides part of a circle."""
    kinds = (["m", "c", "l", "c"], ["m", "c", "l", "c", "h"], ["m", "c", "l", "c", "l", "h"])
    return [drawn for _, drawn in sheet if [op for op, _ in drawn] in kinds]


def test_the_profiles_stations() -> None:
    """Every station's line begins on the profile: its diameter is twice the way from the axis."""
    episode = episode_of("crowned-globe")
    lines = straight("crowned-globe", "A4")
    assert episode.piece is not None
    for part in episode.piece.parts:
        length = part.profile.length_mm
        axes = [
            one
            for one in lines
            if abs(one[0][0] - one[1][0]) < 1e-6
            and math.dist(*one) == pytest.approx(length, abs=WITHIN_MM)
        ]
        (axis,) = axes
        x, top = axis[0][0], max(axis[0][1], axis[1][1])
        reach = [
            (top - one[1], 2 * (min(one[0], two[0]) - x))
            for one, two in lines
            if abs(one[1] - two[1]) < 1e-6
        ]
        place = 1
        while (at := episode.table.get(f"{part.name}.at_{place}")) is not None:
            wanted = (at.value, episode.table[f"{part.name}.diameter_{place}"].value)
            assert min(math.dist(one, wanted) for one in reach) < WITHIN_MM, (part.name, place)
            place += 1
        assert place > 10


@every
@both
def test_drills_and_wires_are_their_size(name: str, paper: str) -> None:
    table = episode_of(name).table
    round_ones = [
        bounds(ends(drawn))
        for sheet in sheets(name, paper)
        for _, drawn in sheet
        if [op for op, _ in drawn[1:13]] == ["c"] * 12
    ]
    possible = ("hanger.wire", "hanger.drill", "hanger.bundle", "hanger.loop", "hollow.opening",
                "cap.hole", "finial.tenon")  # fmt: skip
    names = [one for one in possible if one in table]
    assert len(names) >= 4
    for one in names:
        wanted = table[one].value
        assert any(
            abs(wide - wanted) < WITHIN_MM and abs(high - wanted) < WITHIN_MM
            for wide, high in round_ones
        ), one
