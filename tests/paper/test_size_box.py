"""The size box: in the browser as in Python, and as the design's own table where sizes agree."""

from __future__ import annotations

import json
import random
import subprocess
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest

from studio.compute.size_box import (
    COMMON_BLANKS,
    Wanted,
    answer,
    judged,
    ratio,
    reply,
    seat_word,
    worth_showing,
)
from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.errors import BadInput
from studio.measure.measurement import System
from studio.measure.trace import plain
from studio.measure.units import parse_length
from studio.paper import PAPERS
from studio.paper.javascript import javascript, value_text
from studio.paper.unbroken import parted
from studio.resources import shipped
from tests.browser import node

SHIPPED = ("globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe")
Case = tuple[tuple[int, int], System, tuple[int, int], System, int]


SIZES = "These figures are for balls from 8 mm (0.315 in) to 600 mm (23.622 in)."


@pytest.fixture(scope="module")
def opened() -> dict[str, Episode]:
    return {name: open_episode(shipped("designs") / f"{name}.yaml") for name in SHIPPED}


def wanted_of(episode: Episode) -> Wanted:
    assert episode.box is not None
    return episode.box.wanted


def cases(count: int, seed: int) -> list[Case]:
    """Blanks of 3 to 700 mm typed in either system, with and without rim and plate."""
    chance = random.Random(seed)
    out: list[Case] = []
    for _ in range(count):
        if chance.random() < 0.5:
            blank = (chance.choice([chance.randint(300, 15_000), chance.randint(300, 70_000)]), 100)
            typed = System.METRIC
        else:
            # sixty-fourths and thousandths, as the page's fields give them
            inches = chance.choice([chance.randint(8, 400) * 1000, chance.randint(120, 6000) * 64])
            blank, typed = (inches, 64_000), System.IMPERIAL
        rims = [
            (System.METRIC, (chance.randint(300, 15_000), 100)),
            (System.IMPERIAL, (chance.randint(8, 400) * 1000, 64_000)),
            (typed, (0, 1)),
        ]
        other, rim = chance.choice(rims)
        out.append((blank, typed, rim, other, chance.choice([0, 10, 12, 24, 36, 48, 60, 72])))
    return out


@pytest.mark.parametrize("name", SHIPPED)
def test_the_browser_answers_as_python_does(name: str, opened: dict[str, Episode]) -> None:
    """1,000 random diameters, every figure's texts, the answer and the reply, to the letter."""
    said = said_alike(wanted_of(opened[name]), cases(1_000, seed=len(name)))
    assert {"It fits.", "It does not fit", SIZES} <= said


def said_alike(wanted: Wanted, asked: list[Case]) -> set[str]:
    """Python's verdicts, once the browser has answered the same to the letter."""
    due = []
    for one in asked:
        found = answer(*one, wanted)
        due.append([*found, judged(*found), worth_showing(*found[:2]), reply(*found, wanted)])
    script = (
        f"{javascript(answer, judged, worth_showing, reply)}\nconst w = {value_text(wanted)};\n"
        f"console.log(JSON.stringify({value_text(asked)}.map((one) => {{\n"
        " const found = answer(...one, w);\n"
        " return [...found, judged(...found), worth_showing(found[0], found[1]),"
        " reply(...found, w)]; })))"
    )
    done = subprocess.run(
        [node(), "-"], input=script, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    for one, mine, theirs in zip(
        asked, json.loads(json.dumps(due)), json.loads(done.stdout), strict=True
    ):
        assert theirs == mine, one
    return {str(one[3]).partition(",")[0] for one in due}


def agrees_with_its_table(episode: Episode) -> None:
    box = episode.box
    assert box is not None
    assert len(box.own) >= 15
    for figure, metric, imperial in box.own:
        one = episode.table[figure]
        assert (metric, imperial) == (one.metric.text, one.imperial.text), figure


@pytest.mark.parametrize("name", SHIPPED)
def test_figures_are_those_of_the_designs_own_table(name: str, opened: dict[str, Episode]) -> None:
    agrees_with_its_table(opened[name])


@pytest.mark.parametrize("name", ["globe", "lobed-globe"])
@pytest.mark.parametrize("first", ["metric", "imperial"])
@pytest.mark.parametrize("steps", ["0.1 mm, 1/64 in", "0.5 mm, 1/16 in"])
def test_so_are_those_of_other_sizes(
    name: str, first: str, steps: str, folder: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    """The same designs with another ball, typed in either system."""
    metric, inch = steps.split(", ")
    workshop = folder / "workshop.yaml"
    edit(workshop, "first: metric", f"first: {first}")
    edit(workshop, "metric_step: 0.1 mm", f"metric_step: {metric}")
    edit(workshop, "fraction_step: 1/64 in", f"fraction_step: {inch}")
    globe = folder / "globe.yaml"
    written = globe.read_text(encoding="utf-8")
    for diameter in ("37.9 mm", "2 7/8 in", "3.207 in", "81 mm", "150.05 mm"):
        globe.write_text(
            written.replace("diameter: 60 mm", f"diameter: {diameter}"), encoding="utf-8"
        )
        agrees_with_its_table(open_episode(folder / f"{name}.yaml"))


def told(wanted: Wanted, diameter: str, rim: str = "", plate: int = 0) -> str:
    blank = parse_length(diameter)
    own = parse_length(rim) if rim else blank
    over = ratio(own) if rim else (0, 1)
    return judged(*answer(ratio(blank), blank.system, over, own.system, plate, wanted))


def test_it_says_why_it_does_not_fit(opened: dict[str, Episode]) -> None:
    """Each cause by itself; the figures by hand: 4 grooves of 6 mm on 18 mm, π·18/8 − 6 = 1.07."""
    lobed = wanted_of(opened["lobed-globe"])
    assert told(lobed, "60 mm", "34 mm", 24) == "It fits."
    assert told(lobed, "60 mm", "34 mm", 36) == (
        "It does not fit, because a plate of 36 stops has none at each of 8 marks; plates that "
        "would serve: 24, 48, 72, 96, 192."
    )
    assert "falls through a rim of 60 mm" in told(lobed, "50 mm", "60 mm")
    assert "reaches the groove to be cut" in told(lobed, "60 mm", "59.9 mm")
    assert "holds it weakly" in told(lobed, "60 mm", "48 mm")
    assert "leave no land on a ball of 15 mm" in told(lobed, "15 mm")
    narrow = replace(lobed, least_land_mm=3.0)
    assert "is 1.06 mm (0.042 in), less than the 3 mm (0.118 in)" in told(narrow, "18 mm")
    slow = replace(lobed, slowest_rpm=1000.0)
    # whoever asks has a lathe of his own
    assert told(slow, "60 mm").startswith("It fits, but mind: its blank may turn at ")
    assert "the one in the film runs no slower than 1,000 rpm" in told(slow, "60 mm")
    for size in ("7 mm", "24 in"):
        assert told(lobed, size) == SIZES


@pytest.mark.parametrize("way", ["strip", "dividers"])
def test_a_plate_of_the_viewers_own_is_asked_for_where_the_film_has_none(
    way: str, tmp_path: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    """24 / 4 = 6 stops; 30 leaves a rest, which is no reason where the film needs no plate."""
    design = tried(tmp_path, "60 mm", "grooves")
    episode = open_episode(edit(design, "plate: 24, marks: 4", f"by: {way}, marks: 4"))
    wanted = wanted_of(episode)
    assert "index.stops" not in episode.table
    figures, reasons, mind = answer((60, 1), System.METRIC, (0, 1), System.METRIC, 24, wanted)
    assert ("index.stops", "6", "6") in figures
    assert (reasons, mind) == ([], [])
    said = told(wanted, "60 mm", plate=30)
    assert said.startswith("It fits, but mind: a plate of 30 stops has none at each of 4 marks;")
    assert said.endswith("; the marks in the film are set out without a plate.")
    page = plain(PAPERS["handout.html"](episode))
    assert '<input id="size-plate"' in page
    assert '"index.stops":"Stops from mark to mark"' in page


def test_no_plate_is_asked_for_where_there_are_no_marks(
    tmp_path: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    design = edit(tried(tmp_path, "60 mm", "ring"), "indexing: {plate: 24, marks: 4}\n", "")
    assert '<input id="size-plate"' not in PAPERS["handout.html"](open_episode(design))


def test_a_rim_that_no_chuck_has_is_asked_back(opened: dict[str, Episode]) -> None:
    """As the workshop file refuses it: a slip of the comma or the unit is no fit."""
    for name in ("globe", "lobed-globe"):
        wanted = wanted_of(opened[name])
        for rim in ("0.5 mm", "9.9 mm", "301 mm"):
            assert told(wanted, "400 mm", rim) == (
                "These figures are for rims from 10 mm (0.394 in) to 300 mm (11.811 in)."
            )


@pytest.mark.parametrize("name", ["globe", "lobed-globe"])
def test_a_rim_too_small_for_its_ball_is_to_be_minded(
    name: str, opened: dict[str, Episode]
) -> None:
    """By hand: a quarter of 148 mm is 37 mm."""
    wanted = wanted_of(opened[name])
    said = told(wanted, "148 mm", "36.9 mm")
    assert "but mind: a rim of 36.9 mm (1 29/64 in) holds it weakly: it is below 37 mm" in said
    assert "holds it weakly: it is below" not in told(wanted, "148 mm", "37 mm")
    assert seat_word(148.0, 37.0, wanted) == "holds"


TRIED = {
    "grooves": "grooves: {number: 2, width: 5.8 mm, depth: 2.35 mm, least_land: 1 mm}",
    "pointed": "grooves: {number: 2, width: 7 mm, depth: 6.3 mm, shape: vee, least_land: 1 mm}",
    "rounded": "grooves: {number: 2, width: 5.8 mm, depth: 2.35 mm, shape: flared, flare: 0.8 mm, "
    "least_land: 0.5 mm}",
    "chamfered": "grooves: {number: 2, width: 5.8 mm, depth: 2.35 mm, shape: flared, "
    "flare: 0.5 mm, edge: chamfered, least_land: 0.5 mm}",
    "rings": "rings: [{place: 7 mm, width: 5.8 mm, depth: 2.35 mm, least_land: 1 mm}, "
    "{place: 0 mm, width: 5.8 mm, depth: 2.35 mm, side: top, least_land: 1 mm}]",
    "ring": "rings: [{place: 22 mm, width: 4 mm, depth: 3.8 mm, shape: vee, least_land: 1 mm}]",
}


def tried(folder: Path, diameter: str, *parts: str) -> Path:
    """A ball with nothing but grooves and rings, which cutters owned make as they are typed."""
    (folder / "workshop.yaml").write_text(
        "name: Try\nlathe: {slowest: 60 rpm, fastest: 4000 rpm}\nindex_plates: [24]\n"
        "cutters: [6 mm]\nvee_cutters: [60°]\nchuck: {clearance: 0 mm}\n",
        encoding="utf-8",
    )
    path = folder / "tried.yaml"
    path.write_text(
        f"title: Try\nsummary: Try.\nstock: {{species: cherry, diameter: {diameter}}}\n"
        "indexing: {plate: 24, marks: 4}\n" + "".join(f"{TRIED[one]}\n" for one in parts) +
        "steps:\n  - {id: a, title: A, do: Turn., say: Turn., does: [nothing]}\n",
        encoding="utf-8",
    )  # fmt: skip
    return path


def notes_of(path: Path) -> tuple[str, ...] | None:
    """What is told of a design; None of one that is refused."""
    with suppress(BadInput):
        return open_episode(path).notes
    return None


WAYS = [
    ("grooves",), ("pointed",), ("rounded", "ring"), ("chamfered",), ("rings",), ("ring",),
    ("grooves", "ring"), ("pointed", "rings"),
]  # fmt: skip


@pytest.mark.parametrize("parts", WAYS, ids="-".join)
def test_what_cannot_be_turned_does_not_fit(parts: tuple[str, ...], tmp_path: Path) -> None:
    """The box against the refusals and notes of the very design with that ball, size by size."""
    wanted = wanted_of(open_episode(tried(tmp_path, "60 mm", *parts)))
    answers = set()
    for size in (8, 9, 11, 12, 13, 14, 16, 18, 21, 24, 30, 40, 44, 46, 48, 50, 60, 90, 300):
        _, reasons, mind = answer(
            (size, 1), System.METRIC, (0, 1), System.METRIC, 24, wanted
        )  # fmt: skip
        notes = notes_of(tried(tmp_path, f"{size} mm", *parts))
        assert (notes is None) == bool(reasons), size
        if notes is not None:
            minded = [one for one in notes if "leave a core" in one or "into one another" in one]
            mind = [one for one in mind if "deep on a ball" not in one]
            assert len(mind) == len(set(minded)), (size, minded)
        answers.add(bool(reasons))
    assert answers == {True, False}


@pytest.mark.parametrize("parts", [("rounded", "ring"), ("chamfered", "rings"), ("pointed",)])
def test_the_browser_cuts_as_python_does(parts: tuple[str, ...], tmp_path: Path) -> None:
    wanted = wanted_of(open_episode(tried(tmp_path, "60 mm", *parts)))
    assert {"It does not fit", SIZES} <= said_alike(wanted, cases(400, seed=len(parts)))
    said_alike(replace(wanted, plated=False), cases(100, seed=len(parts)))


def test_it_says_what_of_grooves_and_rings_does_not_go(tmp_path: Path) -> None:
    """Depth of the 60° V by hand: 6·(1 − cos(7/12)) + 6·sin(7/12)/tan 30° = 6.7 mm on 12 mm; on
    24 mm 12·(1 − cos(7/24)) + 12·sin(7/24)/tan 30° = 6.48, which leaves 24 − 12.97 = 11.03."""
    pointed = wanted_of(open_episode(tried(tmp_path, "60 mm", "pointed")))
    assert told(pointed, "12 mm") == (
        "It does not fit, because the grooves: the cutter reaches the middle of a ball of 12 mm "
        "(0.472 in)."
    )
    assert "leave a core of 11.03 mm" in told(pointed, "24 mm")
    assert told(pointed, "60 mm") == "It fits."
    ring = wanted_of(open_episode(tried(tmp_path, "60 mm", "ring")))
    named = "the ring 22 mm (0.866 in) from the equator"
    assert f"because {named} misses a ball of 40 mm" in told(ring, "40 mm")
    assert f"because {named} has no room on a ball of 44.1 mm" in told(ring, "44.1 mm")
    # R·acos(22/R) − w/2: 22.05·0.0673 − 2 < 0 there; 24·0.4111 − 2 = 7.87; 22.3·0.1642 − 2 = 1.66
    assert told(ring, "48 mm") == told(ring, "44.6 mm") == "It fits."
    near = replace(ring, least_ring_mm=2.0)
    assert f"{named} has 1.66 mm (0.065 in) of land beside it" in told(near, "44.6 mm")


def test_a_groove_that_comes_out_otherwise_is_told(tmp_path: Path) -> None:
    """Cove of a 6 mm cutter, 5.8 mm wide, by hand: R(1 − cos δ) + 3 − √(9 − (R·sin δ)²), δ = 5.8/D:
    0.28 + 3 − √(9 − 8.31) = 2.45 on 30 mm, 0.14 + 3 − √(9 − 8.38) = 2.35 on 60 mm."""
    wanted = wanted_of(open_episode(tried(tmp_path, "60 mm", "grooves")))
    assert wanted.groove.deep_mm == pytest.approx(2.35, abs=0.01)
    assert told(wanted, "30 mm") == "It fits."
    shallow = replace(wanted, groove=replace(wanted.groove, deep_mm=2.2))
    assert "but mind: the grooves: 2.45 mm" in told(shallow, "30 mm")
    other = replace(wanted, groove=replace(wanted.groove, typed_mm=1.9))
    assert "not 1.9 mm (0.075 in): more than 25% off is another groove" in told(other, "30 mm")


def test_a_groove_too_far_from_the_typed_one_does_not_fit_as_the_design_is_refused(
    tmp_path: Path,
) -> None:
    """By hand, as above: of 1.9 mm typed, 2.35 mm is 24% off on 60 mm, 2.45 mm 29% on 30 mm."""

    def shallow(diameter: str) -> Path:
        path = tried(tmp_path, diameter, "grooves")
        text = path.read_text("utf-8")
        path.write_text(text.replace("depth: 2.35 mm", "depth: 1.9 mm"), "utf-8")
        return path

    own = open_episode(shallow("60 mm"))
    assert notes_of(shallow("30 mm")) is None
    said = told(wanted_of(own), "30 mm")
    assert "does not fit" in said
    assert "2.45 mm (0.096 in) deep on a ball of 30 mm (1.181 in), not 1.9 mm" in said
    assert "fit" in told(wanted_of(own), "60 mm")
    assert "does not fit" not in told(wanted_of(own), "60 mm")


def test_nobody_is_told_to_saw_what_does_not_fit(opened: dict[str, Episode]) -> None:
    wanted = wanted_of(opened["lobed-globe"])
    for plate, sawn in ((24, True), (36, False)):
        found = answer((60, 1), System.METRIC, (34, 1), System.METRIC, plate, wanted)
        assert ("Saw the blank" in reply(*found, wanted)) is sawn
        names = {one[0] for one in worth_showing(*found[:2])}
        assert ("stock.section" in names, "stock.length" in names) == (sawn, sawn)
        assert "sphere.octagon_side" in names


def test_seats_are_those_of_the_grooves_table(opened: dict[str, Episode]) -> None:
    """The words that the handout's own schedule of seats ends in, rim by rim."""
    episode = opened["lobed-globe"]
    [schedule] = [one for one in episode.schedules if one.name == "grooves.seats"]
    last = [episode.table[name].text for name in schedule.rows[-1][1:]]
    rims = [float(episode.table[name].value) for name in schedule.columns[1:]]
    wanted = wanted_of(episode)
    for rim, text in zip(rims, last, strict=True):
        assert text.endswith(seat_word(60.0, rim, wanted)), rim


def test_common_blanks_stand_on_the_page_without_a_script(opened: dict[str, Episode]) -> None:
    page = parted(plain(PAPERS["handout.html"](opened["lobed-globe"])))
    box = opened["lobed-globe"].box
    assert box is not None
    assert len(box.rows) == len(COMMON_BLANKS)
    for row in box.rows:
        for _, metric, imperial in row.figures[:3]:
            assert metric in page
            assert imperial in page
    assert "20 mm" in page
    assert 'id="size-live" hidden' in page


def test_turned_parts_alone_have_no_box(episode: Episode) -> None:
    page = PAPERS["handout.html"](replace(episode, box=None))
    assert 'id="your-size"' not in page
    assert "size-form" not in page.replace("size-form {", "").replace(".size-form", "")


HOSTILE = '</script><script>alert("x")</script> <!-- \u2028 ${1} `'


def test_a_title_cannot_leave_the_script(opened: dict[str, Episode]) -> None:
    episode = opened["globe"]
    assert episode.box is not None
    hostile = replace(episode, title=HOSTILE, box=episode.box.titled(HOSTILE))
    page = plain(PAPERS["handout.html"](hostile))
    assert page.count("<script") == page.count("</script>") == 2
    assert "<!--" not in page.partition("<body")[2]


@pytest.mark.parametrize(
    ("blank", "more"),
    [
        ("square\n  section: 90 mm", ""),
        ("round\n  section: 3 1/2 in", ""),
        ("square", "as_measured:\n  diameter: 58.4 mm\n"),
    ],
    ids=["typed", "typed round", "measured"],
)
def test_the_designs_own_ball_has_the_designs_own_blank(
    blank: str, more: str, folder: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    """A blank that is typed, or that was sawn for a ball which came out smaller: it is the one on
    the lathe, and its swing rules the speed."""
    globe = edit(folder / "globe.yaml", "blank: square", f"blank: {blank}")
    globe.write_text(globe.read_text("utf-8") + more, "utf-8")
    episode = open_episode(globe)
    agrees_with_its_table(episode)
    box = episode.box
    assert box is not None
    assert f"At most {episode.table['speed.rough'].metric.text} while roughing" in box.reply
