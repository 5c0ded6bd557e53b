"""A number before a noun in the singular: a size or a drill, not a count of what has one size.

How turners call a hole by its drill and a ball by its size is common practice, no source. The
sentences are invented; the designs are shipped ones.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from studio.resources import shipped
from studio.said.finding import find_mentions
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import material_of
from studio.said.mending import edit_to_say, in_the_same_form


@cache
def judge(design: str) -> Judge:
    return Judge(material_of(shipped("designs") / f"{design}.yaml"))


def first(text: str, design: str = "globe") -> Judged:
    return judge(design).judge(text, find_mentions(text))[0]


@pytest.mark.parametrize(
    ("text", "unit", "sized", "thing"),
    [
        ("Drill a number 51 hole.", "drill", "hole", ""),
        ("drill a number fifty one hole for the wire", "drill", "hole", ""),
        ("Number 51 hole for the wire.", "drill", "hole", ""),
        ("Drill a #51 hole.", "drill", "hole", ""),
        ("That goes in the eighteen hole.", "", "hole", ""),
        ("That's a 65 blank.", "", "blank", ""),
        # what it counts is behind it, or the noun is in the plural
        ("Use the 24 hole plate.", "count", "", "plate"),
        ("The twenty-four hole circle.", "count", "", "hole"),
        ("A 36-hole one.", "count", "", "hole"),
        ("Number four holes.", "count", "", "holes"),
        ("Go on two holes.", "count", "", "holes"),
        # one of a row by its number
        ("Now number four groove.", "ordinal", "", "groove"),
    ],
)
def test_what_a_number_before_a_noun_is(text: str, unit: str, sized: str, thing: str) -> None:
    (one,) = find_mentions(text)
    assert (one.unit, one.sized, one.thing) == (unit, sized, thing)


@pytest.mark.parametrize(
    ("text", "design", "verdict", "measurement"),
    [
        ("Drill a number 51 hole.", "globe", "right", "hanger.drill"),
        ("Drill a #49 hole.", "globe", "wrong", "hanger.drill"),
        ("The wire goes in the number 51 hole.", "globe", "right", "hanger.drill"),
        ("That's a sixty ball.", "globe", "right", "sphere.diameter"),
        ("Turn the sixty-four blank down.", "globe", "right", "stock.section"),
        ("Now number four groove.", "crowned-globe", "right", "axis.groove_4"),
        # a wire needs no other word than its unit; a number by itself may be anything's
        ("Use twenty-four gauge.", "globe", "wrong", "hanger.wire"),
        ("Twenty gauge nails hold the shelf.", "globe", "none", ""),
        ("Look at number seven.", "globe", "none", ""),
        # a stop of the plate and a drill may both be called so
        ("Put the pin in the number three hole.", "globe", "ambiguous", ""),
    ],
)
def test_what_it_means(text: str, design: str, verdict: str, measurement: str) -> None:
    one = first(text, design)
    assert (str(one.verdict), one.measurement) == (verdict, measurement)


def test_no_depth_is_given_for_what_is_so_wide() -> None:
    # the depth of the hanger's hole is the nearest figure in size that "hole" is said of
    one = first("That goes in the eighteen hole.")
    assert "hanger.depth" not in one.candidates
    assert one.mend == ""


@pytest.mark.parametrize(
    ("text", "design", "line"),
    [
        ("So it is a fifty-eight ball.", "globe", "So it is a sixty millimetre ball."),
        ("Turn a fifty-eight cylinder.", "globe", "Turn a sixty millimetre cylinder."),
        ("Ten marks go round the equator.", "globe", "Twelve marks go round the equator."),
        ("An eighteen hole for the cap.", "crowned-globe",
         "A sixteen millimetre hole for the cap."),
    ],
)  # fmt: skip
def test_the_line_has_the_article_and_the_unit_of_its_figure(
    text: str, design: str, line: str
) -> None:
    assert first(text, design).mend == line


def test_the_article_is_made_to_fit_either_way() -> None:
    text = "Now a nine hole."
    (one,) = find_mentions(text)
    for figure, line in {
        "eight millimetre": "Now an eight millimetre hole.",
        "8 mm": "Now an 8 mm hole.",
        "18 mm": "Now an 18 mm hole.",
        "180 mm": "Now a 180 mm hole.",
    }.items():
        edit = edit_to_say(text, one, figure)
        assert edit is not None
        assert edit.line == line
    assert edit_to_say(text, one, "") is None


def test_a_size_before_its_drill_is_in_the_singular() -> None:
    text = "Grab your eight point five drill."
    (one,) = find_mentions(text)
    assert in_the_same_form(one, "1.7 mm", text) == "one point seven millimetre"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("a 7.2 mm groove", "right grooves.width"),
        ("six 7.2 mm grooves", "right grooves.width"),
        # figures of the cutter, of the depth and from the middle line to an edge
        ("six 8 mm grooves", "wrong grooves.width"),
        ("six 2.4 mm grooves", "ambiguous "),
        ("a 3.6 mm groove", "wrong grooves.width"),
        # whatever stands before it: the rim keeps clear of the grooves along the ball
        ("The ball sits in the 41 mm rim.", "wrong grooves.rim"),
    ],
)
def test_a_size_before_a_groove_or_a_rim_is_its_width(text: str, wanted: str) -> None:
    mentions = find_mentions(text)
    found = judge("crowned-globe").judge(text, mentions, "cut-grooves")[-1]
    assert f"{found.verdict} {found.measurement}" == wanted


@pytest.mark.parametrize(
    ("text", "verdict", "name"),
    [
        ("The ball sits in the inch and a quarter rim.", "right", "grooves.rim"),
        ("The ball sits in the inch and a half rim.", "ambiguous", ""),  # another one owned
        ("The ball sits in the 1 5/32 rim.", "wrong", "grooves.rim"),  # so far it is from the rim
        ("keep it 1 5/32 in from the rim", "right", "grooves.clearance"),
    ],
)
def test_a_rim_is_called_by_its_size(text: str, verdict: str, name: str) -> None:
    ball = Path(__file__).parent / "designs" / "ball" / "ball.yaml"
    (one,) = Judge(material_of(ball)).judge(text, find_mentions(text), "grooves")
    assert (str(one.verdict), one.measurement) == (verdict, name)


@pytest.mark.parametrize("design", ["globe", "lobed-globe"])
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        # the hole is 12 mm deep and its drill 1.7 mm
        ("with a twelve mil drill", "wrong hanger.drill"),
        ("Drill it with a 12 mm drill.", "wrong hanger.drill"),
        ("take the 12 mm bit", "wrong hanger.drill"),
        ("with a 1.7 mm drill", "right hanger.drill"),
        ("drill it 12 mm deep", "right hanger.depth"),
        ("the 12 mm drill depth", "right hanger.depth"),
        ("go in 12 mm, drill slowly", "right hanger.depth"),
        ("a hole 12 mm deep", "right hanger.depth"),
    ],
)
def test_a_size_before_a_drill_is_the_drills(text: str, wanted: str, design: str) -> None:
    found = judge(design).judge(text, find_mentions(text), "hang")[0]
    assert f"{found.verdict} {found.measurement}" == wanted
