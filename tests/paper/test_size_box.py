"""The size box: in the browser as in Python, and as the design's own table where sizes agree."""

from __future__ import annotations

import json
import random
import subprocess
from collections.abc import Callable
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
