"""Every drawing of every design: traced figures, no label on another, nothing outside, readable."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, replace
from importlib.util import find_spec
from itertools import combinations
from pathlib import Path

import pytest
from markupsafe import Markup
from PIL import ImageFont

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.language import speaking
from studio.measure.measurement import MeasurementTable, Reading, System
from studio.measure.trace import plain, spans
from studio.paper.drawings import Drawing, drawings_of, text_width
from studio.paper.rendering import ORIGINS

SVG = "{http://www.w3.org/2000/svg}"
TOLD = {f"{SVG}{tag}" for tag in ("text", "title", "desc")}
SCREEN = 250.0
"""Pixels that a drawing is wide on a screen of 320: scroll bar, page and figure edges taken off."""

SMALLEST = 9.0
"""Pixels of the smallest type there."""


@dataclass(frozen=True)
class Box:
    """A line of type as it takes up room."""

    text: str
    left: float
    top: float
    right: float
    bottom: float
    size: float

    def meets(self, other: Box) -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


def _box(node: ET.Element, shown: str, x: float, y: float, size: float) -> Box:
    wide = text_width(shown, size)
    start = {"middle": x - wide / 2, "end": x - wide}.get(node.get("text-anchor", "start"), x)
    # letters reach from about three quarters of their size above the line to a fifth below it
    up, down = 0.74 * size, 0.2 * size
    if node.get("transform", "").startswith("rotate(-90"):
        return Box(shown, x - up, y - (start - x) - wide, x + down, y - (start - x), size)
    return Box(shown, start, y - up, start + wide, y + down, size)


def boxes(drawing: Drawing) -> list[Box]:
    """Every line of type on a drawing."""
    found = []
    for node in ET.fromstring(plain(str(drawing.svg))).iter(f"{SVG}text"):
        size = float(node.attrib["font-size"])
        lines = [one for one in node.iter(f"{SVG}tspan") if "x" in one.attrib]
        for one in lines:
            found.append(
                _box(node, one.text or "", float(one.attrib["x"]), float(one.attrib["y"]), size)
            )
        if not lines:
            shown = "".join(node.itertext())
            found.append(_box(node, shown, float(node.attrib["x"]), float(node.attrib["y"]), size))
    return found


def clashes(drawing: Drawing) -> list[str]:
    """Labels that stand on one another, outside the drawing, or are too small to read."""
    root = ET.fromstring(plain(str(drawing.svg)))
    _, _, width, height = (float(side) for side in root.attrib["viewBox"].split())
    wrong = []
    for one in boxes(drawing):
        if one.left < 0 or one.top < 0 or one.right > width or one.bottom > height:
            wrong.append(f"{one.text} outside")
        if one.size * SCREEN / width < SMALLEST:
            wrong.append(f"{one.text} small")
    wrong += [f"{a.text} / {b.text}" for a, b in combinations(boxes(drawing), 2) if a.meets(b)]
    return wrong


def gap(one: Box, other: Box) -> float:
    """How far two lines of type are apart, to the side or up and down, whichever is more."""
    return max(
        one.left - other.right,
        other.left - one.right,
        one.top - other.bottom,
        other.top - one.bottom,
    )


@pytest.mark.parametrize("marks", [12, 20, 24, 28, 36, 48, 60, 96, 192])
def test_no_number_of_the_index_ring_runs_into_another(folder: Path, marks: int) -> None:
    path = folder / "dense.yaml"
    path.write_text(
        "title: Dense\nstock: {species: European sycamore, diameter: 60 mm}\n"
        f"indexing: {{marks: {marks}, by: strip}}\n"
        "grooves: {number: 2, width: 6 mm, depth: 2 mm}\n"
        "steps:\n  - {id: mark, title: Mark, does: [nothing], do: Mark.}\n",
        encoding="utf-8",
    )
    episode = open_episode(path)
    (ring,) = (one for one in drawings_of(episode) if one.subject == "index")
    found = boxes(ring)
    numbers = [one for one in found if one.text.isdigit() and one.size < 15]
    assert len(numbers) >= 4
    for number in numbers:
        assert all(gap(number, other) >= 3.5 for other in found if other is not number), number.text


def both_ways(episode: Episode) -> list[Episode]:
    return [replace(episode, first=system) for system in System]


def test_every_design_has_its_drawings(drawn: dict[str, Episode]) -> None:
    subjects = {name: [one.subject for one in drawings_of(each)] for name, each in drawn.items()}
    assert subjects["plain"] == ["sphere"] * 4 + ["index", "hanger"]
    assert subjects["grooved"] == ["sphere"] * 4 + ["index", "grooves", "grooves", "axis", "hanger"]
    assert subjects["rings"] == ["sphere"] * 4 + ["rings"]
    assert "hollow" in subjects["hollow"]
    assert subjects["parts"][-3:] == ["cap", "finial", "assembly"]


def test_no_label_stands_on_another_or_outside(drawn: dict[str, Episode]) -> None:
    wrong = {
        (name, one.subject): found
        for name, each in drawn.items()
        for first in both_ways(each)
        for one in drawings_of(first)
        if (found := clashes(one))
    }
    assert wrong == {}


def test_no_german_label_stands_on_another_or_outside(german_drawn: dict[str, Episode]) -> None:
    wrong = {}
    with speaking("de"):
        for name, each in german_drawn.items():
            for first in both_ways(each):
                for one in drawings_of(first):
                    # a long figure may be set smaller, but never so small that it cannot be read
                    if found := [word for word in clashes(one) if not word.endswith("small")]:
                        wrong[name, one.subject] = found
                    assert all(box.size >= 11 for box in boxes(one)), (name, one.subject)
    assert wrong == {}


def test_no_german_label_is_cut_off(german_drawn: dict[str, Episode]) -> None:
    """But for a stranger's title, which may be as long as it likes."""
    with speaking("de"):
        cut = {
            box.text
            for name, each in german_drawn.items()
            if name != "long titles"
            for one in drawings_of(each)
            for box in boxes(one)
            if "…" in box.text and "more" not in box.text
        }
    assert cut == set()


def test_no_label_stands_on_another_with_the_longest_figures(drawn: dict[str, Episode]) -> None:
    """As on a large ball in fractions of an inch."""
    wrong = {}
    for name, each in drawn.items():
        table = MeasurementTable(
            replace(
                m,
                metric=Reading(0.0, "mm", "1,234.5 mm"),
                imperial=Reading(0.0, "in", "48 39/64 in"),
            )
            if m.unit == "mm"
            else m
            for m in each.table.values()
        )
        for one in drawings_of(replace(each, table=table)):
            # a long figure may be set smaller, but never so small that it cannot be read
            if found := [word for word in clashes(one) if not word.endswith("small")]:
                wrong[name, one.subject] = found
            assert all(box.size >= 11 for box in boxes(one)), (name, one.subject)
    assert wrong == {}


@pytest.mark.parametrize(
    "words",
    ["half way from 10 to 1", "3.02 mm", "1,234.5 mm", "48 39/64 in", "tailstock side", "MWQ%&@",
     "Drechselbank, größer", "30°", "7/8″", "…"],
)  # fmt: skip
def test_type_takes_up_no_more_room_than_is_counted(words: str) -> None:
    """Against the outlines of real fonts: the first and the last of the lettering that the pages
    ask for. The second is measured where the system has it; the browser's test measures it too."""
    package = find_spec("font_source_sans_pro")
    assert package is not None
    assert package.origin is not None
    bold = Path(package.origin).parent / "files" / "SourceSansPro-Bold.ttf"
    wide = Path("/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf")
    for file in (bold, *([wide] if wide.exists() else ())):
        real = ImageFont.truetype(str(file), 200).getlength(words)
        assert real <= text_width(words, 200), file.name


def test_a_clash_would_be_found(drawn: dict[str, Episode]) -> None:
    one = drawings_of(drawn["plain"])[0]
    svg = str(one.svg)
    moved = re.sub(r'(<text class="figure" x=")[\d.]+(" y=")[\d.]+', r"\g<1>4\g<2>30", svg)
    assert clashes(replace(one, svg=Markup(moved))) != []
    out = svg.replace('viewBox="0 0 400', 'viewBox="0 0 100')
    assert any("outside" in word for word in clashes(replace(one, svg=Markup(out))))


def test_every_figure_is_a_measurements_own_text(drawn: dict[str, Episode]) -> None:
    for name, each in drawn.items():
        for first in both_ways(each):
            for one in drawings_of(first):
                nodes = ET.fromstring(one.svg).iter()
                told = ("".join(node.itertext()) for node in nodes if node.tag in TOLD)
                text = "\n".join(told)
                for span in spans(text)[1]:
                    if ":" in span.name:
                        assert span.name.partition(":")[0] in ORIGINS
                        continue
                    m = each.table[span.name]
                    assert " ".join(span.text.split()) in {m.metric.text, m.imperial.text}, name
                bare = re.sub("\ue000[^\ue002]*\ue002", "", text)
                assert not re.search(r"\d", bare), (name, one.subject)


def test_every_drawing_is_told_to_a_screen_reader(drawn: dict[str, Episode]) -> None:
    for each in drawn.values():
        idents = []
        for one in drawings_of(each):
            root = ET.fromstring(plain(str(one.svg)))
            assert root.attrib["role"] == "img"
            title, desc = root.attrib["aria-labelledby"].split()
            assert root.find(f"{SVG}title[@id='{title}']").text  # type: ignore[union-attr]
            assert root.find(f"{SVG}desc[@id='{desc}']").text  # type: ignore[union-attr]
            assert one.caption.endswith(".")
            idents.append(title)
        assert len(idents) == len(set(idents))


def test_drawings_hold_no_number_that_is_not_finite_and_stay_small(
    drawn: dict[str, Episode],
) -> None:
    for name, each in drawn.items():
        for one in drawings_of(each):
            assert len(one.svg) < 60_000, name
            for value in re.findall(r'="(-?[\d.]+|nan|-?inf)"', one.svg):
                assert math.isfinite(float(value))


@pytest.mark.parametrize("name", ["parts", "hollow", "rings and grooves"])
def test_no_drawing_without_its_measurements(name: str, drawn: dict[str, Episode]) -> None:
    """With any one measurement gone every drawing still stands, or is left out whole."""
    each = drawn[name]
    whole = {str(one.subject) for one in drawings_of(each)}
    printed = {
        span.name for one in drawings_of(each) for span in spans(str(one.svg))[1]
        if ":" not in span.name
    }  # fmt: skip
    for gone in printed:
        table = MeasurementTable(m for m in each.table.values() if m.name != gone)
        left = drawings_of(replace(each, table=table))
        assert {one.subject for one in left} <= whole
        for one in left:
            assert gone not in {span.name for span in spans(str(one.svg))[1]}


def test_every_size_on_a_drawing_is_told_in_both_systems(drawn: dict[str, Episode]) -> None:
    """But for a part's stations, whose table beside the drawing has both."""
    station = re.compile(r"\w+\.(?:at|diameter)_\d+")
    seen = 0
    for design, episode in drawn.items():
        for one in drawings_of(episode):
            told = {(span.name, span.text) for span in spans(one.svg)[1]}
            for name in {name for name, _ in told if not station.fullmatch(name)}:
                measured = episode.table.get(name)
                if measured is not None and measured.other:
                    seen += 1
                    both = {(name, measured.text), (name, measured.other)}
                    assert both <= told, (design, one.subject, name)
    assert seen > 100
