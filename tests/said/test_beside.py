"""What is said beside the measurements: suppositions, offsets, counts of everyday, limits kept.

None of it is a wrong measurement. That turners talk so is common practice, no source; the sentences
are invented, the designs are the shipped ones.
"""

from __future__ import annotations

from functools import cache

import pytest

from studio.resources import shipped
from studio.said.finding import find_mentions
from studio.said.judging import Judge
from studio.said.material import material_of
from tests.said.loading import DESIGNS


@cache
def judge(design: str) -> Judge:
    return Judge(material_of(shipped("designs") / f"{design}.yaml"))


@cache
def grooved() -> Judge:
    return Judge(material_of(DESIGNS / "imperial" / "grooved.yaml"))


def verdicts(text: str, step: str | None, design: str = "globe") -> list[str]:
    return [str(one.verdict) for one in judge(design).judge(text, find_mentions(text), step)]


@pytest.mark.parametrize(
    ("text", "step", "wanted"),
    [
        # counts of everyday, and of things of the shop; of the piece they are wrong as ever
        ("Take three cuts.", "rough", "none"),
        ("Take three parting cuts.", "rough", "wrong"),
        ("Three drops of glue in the hole.", "hang", "none"),
        ("Three turns of the handwheel.", "hang", "none"),
        ("Twist three strands together.", "hang", "wrong"),
        ("There are four corners on a square blank.", "rough", "none"),
        ("Look at it from two sides.", "mark-octagon", "none"),
        # what a pass takes, and by how much a figure is missed
        ("I take two millimetres a pass.", "rough", "none"),
        ("Dividers at 15.5, plus or minus half a millimetre.", "index", "right none"),
        # below a size that an end is to keep under; given as that limit, another one is wrong
        ("I leave the ends at twenty millimetres.", "cut-octagon", "none"),
        ("Keep the end disc below 27 mm.", "cut-octagon", "wrong"),
        # somebody else's piece and plate are only told; the turner's own are not supposed
        ("If your ball is 100 mm, mind your speeds.", "mark-octagon", "ambiguous"),
        ("If you have a plate of sixty stops, go every five.", "index", "ambiguous ambiguous"),
        ("The ball is 100 mm.", "mark-octagon", "wrong"),
        ("The plate has sixty stops.", "index", "wrong"),
        # decimals in one digit and two
        ("Multiply the diameter by point two ninety-three.", "mark-octagon", "right"),
        ("Times point four fourteen.", "mark-octagon", "right"),
        ("Times point four fifteen.", "mark-octagon", "wrong"),
        # passed over before, and now told: nobody knows which is meant
        ("That's forty degrees between each one.", "index", "ambiguous"),
        ("That's 11/32 of an inch.", "mark-octagon", "ambiguous"),
        ("Turning this at two thousand.", "rough", "wrong"),
        ("Turning this at seven hundred.", "rough", "none"),
        # what is waited in a step that has a time; the turner's own minutes are none
        ("Give it an hour.", "hang", "ambiguous"),
        ("An hour and you can let go of it.", "hang", "ambiguous"),
        ("Ten minutes of talking, that was.", "hang", "none"),
        # every other stop is every second one
        ("Twelve marks, every other hole of the plate.", "index", "right right"),
        # "up to" makes no paper of a figure that none has
        ("Up to twenty-two.", "index", "ambiguous"),
    ],
)
def test_what_is_said_beside_the_measurements(text: str, step: str, wanted: str) -> None:
    assert verdicts(text, step) == wanted.split()


@pytest.mark.parametrize(
    ("text", "step", "wanted"),
    [
        # which way a size goes tells what it is of
        ("The groove is 7.2 mm wide.", "cut-grooves", "right"),
        ("The groove is 7.2 mm deep.", "cut-grooves", "wrong"),
        ("The groove is 2.4 mm deep.", "cut-grooves", "right"),
        ("The groove is 2.4 mm wide.", "cut-grooves", "wrong"),
        ("The finial is 3.4 mm long.", "turn-finial", "wrong"),
        # far from what is named, though the step has that figure too
        ("Go gently at the 62 mm neck.", "turn-finial", "ambiguous"),
        # a station of the turned part by what is there
        ("The cove goes down to six.", "turn-finial", "right"),
        ("The bead is fourteen at the crown.", "turn-finial", "right"),
        ("The neck goes down to six.", "turn-finial", "wrong"),
    ],
)
def test_sizes_of_a_groove_and_of_a_turned_part(text: str, step: str, wanted: str) -> None:
    assert verdicts(text, step, "crowned-globe") == wanted.split()


@pytest.mark.parametrize(
    ("text", "step", "wanted"),
    [
        # what it is not is no slip, in a row of them neither
        ("Four strands, not two.", "hang", "right none"),
        ("Drill it 12 mm deep, not an inch.", "hang", "right none"),
        ("Twelve marks, not ten or eleven.", "index", "right none"),
        ("17.5 mm in, not 17 mm, not 18 mm.", "mark-octagon", "right none none"),
        # the right one denied is told, once
        ("It's not four strands.", "hang", "ambiguous"),
        ("Two strands, not four.", "hang", "wrong none"),
        # what it ought to be is said to be so
        ("If it's not two strands, count again.", "hang", "wrong"),
        ("It is not over five strands.", "hang", "wrong"),
    ],
)
def test_a_figure_behind_not_is_said_of_nothing(text: str, step: str, wanted: str) -> None:
    assert verdicts(text, step) == wanted.split()


def test_no_line_is_given_that_says_a_figure_and_denies_it() -> None:
    text = "Two strands, not four."
    wrong, _ = judge("globe").judge(text, find_mentions(text), "hang")
    assert (wrong.measurement, wrong.expected, wrong.mend) == ("hanger.strands", "4", "")


@pytest.mark.parametrize(
    "ahead",
    ["0:36", "At 0:36", "In episode 12", "In 2019 I", "By half past nine we", "On 12 May we"],
)
def test_a_time_or_an_episode_takes_no_words_from_the_figure_behind_it(ahead: str) -> None:
    """Else a wrong figure is left without a word, and passes for what it happens to fit."""
    for text, step, design in (
        ("set the callipers to 30 mm.", "mark-octagon", "crowned-globe"),
        ("set the dividers to 60 mm.", "rough", "lobed-globe"),
        ("set the dividers to 45 mm.", "rough", "twelve-lobe-drop"),
    ):
        assert verdicts(text, step, design) == ["wrong"]
        assert verdicts(f"{ahead} {text}", step, design) == ["none", "wrong"]
    assert verdicts(f"{ahead} set the dividers to 17.5 mm.", "rough") == ["none", "right"]


@pytest.mark.parametrize("step", [None, "rough", "mount", "grooves", "hang"])
def test_what_is_to_be_done_begins_a_clause_of_its_own(step: str | None) -> None:
    """Its words are its own figure's; of two figures that of such a size is meant."""
    text = "At 36 set the dividers to 5/8 in."
    stop, size = grooved().judge(text, find_mentions(text), step)
    assert str(stop.verdict) == "ambiguous"
    assert (str(size.verdict), size.measurement) == ("wrong", "sphere.set_in")
    assert size.mend == "At 36 set the dividers to 23/32 in."
