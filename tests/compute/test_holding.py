"""How the ball is held: what rings and an opening take from a seat; hollowing, without a centre."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.measure.trace import plain

STEP = "    does: [spindle-running]\n    stage: {stage}\n    do: Do it.\n"


def opened(folder: Path, text: str, steps: str = "") -> Episode:
    path = folder / "held.yaml"
    start = "title: Held\nstock: {species: sycamore, diameter: 60 mm}\n"
    steps = steps or "  - id: turn\n    title: Turn\n" + STEP.format(stage="general")
    path.write_text(f"{start}{text}steps:\n{steps}", encoding="utf-8")
    return open_episode(path)


GROOVES = "grooves: {number: 5, width: 6 mm, depth: 2 mm}\n"


@pytest.mark.parametrize(
    ("ring", "stands"),
    [
        ("", "in the middle of a land"),
        ("rings: [{place: 20 mm, width: 4 mm, depth: 1 mm}]\n", "in the middle of a land"),
        ("rings: [{place: 0 mm, width: 4 mm, depth: 1 mm}]\n", "in the ring on the equator"),
        (
            "rings: [{place: 1 mm, side: top, width: 4 mm, depth: 1 mm}]\n",
            "in the ring on the equator",
        ),
    ],
)
def test_a_point_on_a_ring_stands_in_the_ring(folder: Path, ring: str, stands: str) -> None:
    episode = opened(folder, ring + GROOVES)
    for cut in range(1, 6):
        assert stands in episode.table[f"axis.point_{cut}"].text
        plug = "plug" in episode.table[f"axis.protect_{cut}"].text
        assert plug is ("equator" in stands)
    (card,) = [one for one in episode.schedules if one.name == "axis.card"]
    anew = any("pencil the middle of the ring's floor" in plain(note) for note in card.notes)
    assert anew is ("equator" in stands)


def ordered(first: str, second: str) -> str:
    steps = {
        "hollow": "    does: [spindle-running, hollowing]\n    stage: general\n    do: Do it.\n",
        "cut": STEP.format(stage="off-centre"),
    }
    return "".join(f"  - id: {one}\n    title: Do\n{steps[one]}" for one in (first, second))


def test_an_opening_made_first_is_missed_by_the_rim(folder: Path) -> None:
    """By hand: 60 mm, opening 38 mm. Its edge stands asin(38/60) = 39.3° from the pole.

    A rim of 48 mm lies asin(48/60) = 53.13° from the lathe's axis, which is square to the poles'
    line: where it passes the pole it has the latitude 53.13°, above the edge's 50.70°. It misses
    where sin 53.13° · sin ψ > sin 50.70°, for 2·acos(0.7739/0.8) = 29.3° of its turn.
    """
    text = "hollow: {wall: 8 mm, opening: 38 mm}\ngrooves: {number: 6, width: 4 mm, depth: 1 mm}\n"
    before = opened(folder, text, ordered("hollow", "cut")).table
    after = opened(folder, text, ordered("cut", "hollow")).table
    wide = "grooves.seat_48mm_1"
    assert before[wide].value == pytest.approx(100 * (1 - 29.3 / 360), abs=0.05)
    assert after[wide].value == 100


def test_a_grooved_ball_is_not_hollowed_in_a_cup(folder: Path) -> None:
    text = "hollow: {wall: 8 mm, opening: 16 mm}\ngrooves: {number: 6, width: 6 mm, depth: 2 mm}\n"
    after = opened(folder, text, ordered("cut", "hollow"))
    told = [note for note in after.notes if note.startswith("hollow:")]
    assert len(told) == 1
    assert after.table["hollow.seat_left"].text in told[0]
    assert "jam chuck" in told[0]


def test_a_ball_hollowed_before_its_grooves_sits_whole_but_has_no_centre(folder: Path) -> None:
    text = "hollow: {wall: 8 mm, opening: 16 mm}\ngrooves: {number: 6, width: 6 mm, depth: 2 mm}\n"
    before = opened(folder, text, ordered("hollow", "cut"))
    (told,) = [note for note in before.notes if note.startswith("hollow:")]
    assert "no tail centre" in told
    assert "strap" in told
    assert "jam chuck" not in told
    assert before.table["hollow.seat_left"].text == "100%"
    assert before.table["hollow.rim"].text == "48 mm"


def test_a_ring_where_the_rim_sits_leaves_nothing_to_hollow_on(folder: Path) -> None:
    """By hand: a rim of 48 mm on 60 mm sits acos(48/60) = 36.87° of latitude from the equator.

    That is 19.31 mm along the arc, where the ring lies.
    """
    workshop = folder / "workshop.yaml"
    owned = "rims: [20 mm, 26 mm, 30 mm, 34 mm, 48 mm]"
    assert owned in workshop.read_text("utf-8")
    workshop.write_text(workshop.read_text("utf-8").replace(owned, "rims: [48 mm]"), "utf-8")
    ring = "rings: [{place: 19.3 mm, side: bottom, width: 6 mm, depth: 2 mm}]\n"
    text = "hollow: {wall: 8 mm, opening: 16 mm}\n" + ring
    (told,) = [note for note in opened(folder, text).notes if note.startswith("hollow:")]
    assert "once the rings are cut" in told
    assert "jam chuck" in told


def test_the_mounting_card_of_an_opened_ball_goes_by_its_opening(folder: Path) -> None:
    text = "hollow: {wall: 8 mm, opening: 16 mm}\ngrooves: {number: 6, width: 6 mm, depth: 2 mm}\n"
    cards = {}
    for first, second in (("hollow", "cut"), ("cut", "hollow")):
        episode = opened(folder, text, ordered(first, second))
        (card,) = [one for one in episode.schedules if one.name == "axis.card"]
        cards[first] = " ".join(plain(note) for note in card.notes)
    assert "and the opening on the same side every time" in cards["hollow"]
    assert "pole T on the same side" not in cards["hollow"]
    assert "plug the opening" in cards["hollow"]
    assert "and pole T on the same side every time" in cards["cut"]
    assert "plug the opening" not in cards["cut"]


def test_two_grooves_leave_enough_to_hollow_in_a_cup(folder: Path) -> None:
    text = "hollow: {wall: 8 mm, opening: 16 mm}\ngrooves: {number: 2, width: 4 mm, depth: 1 mm}\n"
    episode = opened(folder, text, ordered("cut", "hollow"))
    assert episode.table["hollow.seat_left"].value > 60
    (told,) = [note for note in episode.notes if note.startswith("hollow:")]
    assert "strap" in told
    assert "jam chuck" not in told


def test_hollowing_runs_no_faster_than_roughing(folder: Path) -> None:
    text = "hollow: {wall: 8 mm, opening: 16 mm}\n"
    episode = opened(folder, text, ordered("hollow", "cut"))
    caution = next(one for one in episode.steps[0].cautions if one.code == "speed")
    assert plain(caution.short) == (
        f"Hollowing: start slowly, {episode.table['speed.rough'].text} at most."
    )
    assert episode.table["speed.rough"].value < episode.table["speed.general"].value


def test_a_seat_of_which_next_to_nothing_is_left_holds_nothing(
    folder: Path, faults_of: Callable[[Path], list[str]]
) -> None:
    """Three grooves so wide that of a rim of 26 mm only slivers at two ends of a line touch."""
    path = folder / "wide.yaml"
    path.write_text(
        "title: Wide\nstock: {species: cherry, diameter: 60 mm}\n"
        "grooves: {number: 3, width: 28 mm, depth: 12.5 mm}\n"
        "workshop: {chuck: {rims: [26 mm]}, cutters: [24 mm, 28 mm, 30 mm]}\n"
        "steps:\n  - id: cut\n    title: Cut\n" + STEP.format(stage="off-centre"),
        encoding="utf-8",
    )
    (fault,) = [one for one in faults_of(path) if "no rim owned holds" in one]
    assert "under 25% touching or a gap from 150° on" in fault


def test_a_step_that_works_to_grooves_is_held_to_their_ceiling(folder: Path) -> None:
    """Through both poles a ball runs on several axes, whatever stage the step says."""
    steps = (
        "  - id: turn\n    title: Turn\n    does: [spindle-running]\n    stage: rough\n    do: T.\n"
        "  - id: cut\n    title: Cut\n    does: [spindle-running]\n    stage: general\n"
        "    do: Cut {{ grooves.number }} grooves.\n"
        "  - id: shape\n    title: Shape\n    does: [spindle-running]\n    stage: general\n"
        "    do: Shape it.\n"
        "  - id: sand\n    title: Sand\n    does: [sanding]\n    stage: sanding\n"
        "    do: Sand {{ grooves.number }} grooves.\n"
    )
    episode = opened(folder, GROOVES, steps)
    for step, ceiling in zip(
        episode.steps, ("rough", "off_centre", "general", "sanding"), strict=True
    ):
        (caution,) = [one for one in step.cautions if one.code == "speed"]
        assert episode.table[f"speed.{ceiling}"].text in plain(caution.short)
    assert episode.table["speed.off_centre"].value < episode.table["speed.general"].value


def test_a_ball_hollowed_first_is_as_deep_as_its_whole_rim_says(folder: Path) -> None:
    """By hand, 72 mm, wall 8, opening 16: the rim stands √(36² − 8²) = 35.10 mm over the middle.

    The hollow's radius is 28 mm: 63.1 mm in all. Once grooves have lowered the rim it is less.
    """
    text = "hollow: {wall: 8 mm, opening: 16 mm}\ngrooves: {number: 6, width: 7 mm, depth: 2 mm}\n"
    start = "title: Held\nstock: {species: sycamore, diameter: 72 mm}\n"
    deep = {}
    for first, second in (("hollow", "cut"), ("cut", "hollow")):
        path = folder / "deep.yaml"
        path.write_text(f"{start}{text}steps:\n{ordered(first, second)}", encoding="utf-8")
        deep[first] = open_episode(path).table["hollow.reach"].value
    assert deep["hollow"] == pytest.approx((36**2 - 8**2) ** 0.5 + 28)
    assert deep["cut"] < deep["hollow"] - 1


def test_a_step_that_names_grooves_cuts_them_whatever_its_stage(folder: Path) -> None:
    text = "hollow: {wall: 8 mm, opening: 16 mm}\ngrooves: {number: 6, width: 6 mm, depth: 2 mm}\n"
    said = "stage: general\n    do: Cut {{ grooves.number }}."
    steps = ordered("hollow", "cut").replace("stage: off-centre\n    do: Do it.", said)
    episode = opened(folder, text, steps)
    (told,) = [note for note in episode.notes if note.startswith("hollow:")]
    assert "once the grooves are cut" not in told
    assert episode.table["hollow.seat_left"].text == "100%"
