"""Rows of the tables that a step is about: what is read off there at the bench is no slip.

Stations, calliper settings, parting cuts, rings, strips and blanks are printed on the cut sheet and
named by no step. Everything is invented; that turners talk so is common practice, no source.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from studio.said.finding import find_mentions
from studio.said.judging import Judge, Judged
from studio.said.material import material_of

DESIGNS = Path(__file__).parent / "designs" / "rows"


@cache
def judge(design: str) -> Judge:
    return Judge(material_of(DESIGNS / design / f"{design}.yaml"))


def judged(design: str, step: str, text: str) -> tuple[Judged, ...]:
    return judge(design).judge(text, find_mentions(text), step)


def told(design: str, step: str, text: str) -> str:
    return ", ".join(
        f"{one.verdict} {one.measurement}".strip() for one in judged(design, step, text)
    )


@pytest.mark.parametrize(
    ("design", "step", "text", "wanted"),
    [
        # a station and its callipers, said together
        ("icicle", "turn", "At ten millimetres from the tip the callipers are set to five.",
         "right drop.at_4, right drop.setting_4"),
        ("icicle", "turn", "Twenty millimetres from the tip I set callipers to five and a half.",
         "right drop.at_5, right drop.setting_5"),
        # by what stands at the place
        ("icicle", "turn", "The crown of the big bead is at 85.5 mm.", "right drop.at_15"),
        ("lantern", "cap", "Set the callipers to fifteen for the crown of the bead.",
         "right cap.setting_2"),
        ("lantern", "cap", "Part in three millimetres at the twenty-eight mark.",
         "right profile.tool, right cap.cut_at_3"),
        # rings, by the words for the column
        ("lantern", "rings", "Two rings, 18 mm either side of the equator.",
         "right rings.number, right rings.place_1"),
        ("lantern", "rings", "One on each half, eighteen millimetres from the middle.",
         "right rings.place_1"),
        # both sizes of a blank, in a step that names none
        ("lantern", "rough", "The globe's blank is a round eighty millimetres across and a hundred "
         "and seven long.", "right stock.swing, right stock.length"),
        ("lantern", "hang", "Cut two pieces of wire.", "right hanger.pieces"),
        # a strip is as long as it goes round, whatever the spacing on it
        ("bauble", "flutes", "Cut a strip of paper 8-1/4 inches long.",
         "right index.circumference"),
        ("bauble", "flutes", "The strip itself is 8-1/4 inches long, end to end.",
         "right index.circumference"),
        # a place between two marks
        ("bauble", "flutes", "For the first groove the headstock goes half way between three and "
         "four.", "right axis.head_1"),
        ("bauble", "flutes", "Turn on to the six mark.", "right index.mark_6"),
        # one of a whole by its number
        ("bauble", "flutes", "Groove number three of five.",
         "right axis.groove_3, right grooves.number"),
        ("bauble", "flutes", "Mark number three of ten.", "right index.mark_3, right index.marks"),
    ],
)  # fmt: skip
def test_what_is_read_off_a_row_is_right(design: str, step: str, text: str, wanted: str) -> None:
    assert told(design, step, text) == wanted


@pytest.mark.parametrize(
    ("design", "step", "text"),
    [
        ("icicle", "turn", "The last bead goes from fourteen up to twenty-two."),
        ("icicle", "turn", "The crown of the big bead is at 84.5 mm."),
        ("icicle", "turn", "At ten millimetres from the tip the callipers are set to six."),
        ("lantern", "cap", "Set the callipers to seventeen for the crown of the bead."),
        ("lantern", "rings", "Two rings, 17 mm either side of the equator."),
        ("lantern", "cap", "Part in three millimetres at the twenty-nine mark."),
        ("icicle", "turn", "The tenon is 8 mm long."),
        ("icicle", "turn", "The tenon's a centimetre long."),
    ],
)
def test_another_figure_of_a_row_is_told_and_mended_by_nothing_else(
    design: str, step: str, text: str
) -> None:
    found = judged(design, step, text)
    assert {"ambiguous", "wrong"} & {str(one.verdict) for one in found}
    assert not any(one.mend for one in found)


@pytest.mark.parametrize(
    ("design", "step", "text", "wanted"),
    [
        # figures that some row has too, said of what the words name
        ("icicle", "turn", "Its neck is five millimetres thick.", "wrong drop.neck"),
        ("icicle", "turn", "The neck below the bead is 8 mm thick.", "wrong drop.neck"),
        ("icicle", "turn", "Turn it 94 mm long.", "wrong drop.length"),
        ("icicle", "turn", "Drill the hanger hole eight millimetres deep.", "wrong hanger.depth"),
        ("lantern", "rough", "Turn it down to eighty.", "wrong sphere.diameter"),
        ("bauble", "flutes", "On the strip the marks are 1 21/32 in apart.", "wrong index.strip"),
        ("bauble", "flutes", "Groove number three of six.",
         "right axis.groove_3, wrong grooves.number"),
        ("bauble", "flutes", "We need the nine marks round the equator.", "wrong index.marks"),
        # what only a table says of a ring, and what the design calls its glue
        ("lantern", "rings", "Take it two millimetres deep.", "wrong rings.depth_1"),
        ("lantern", "hang", "Give the glue fifteen minutes.", "wrong value.cure"),
        ("icicle", "sand", "Let it harden for 24 hours.", "wrong finish.dry"),
        ("lantern", "hang", "Cut three pieces of wire.", "wrong hanger.pieces"),
    ],
)  # fmt: skip
def test_a_slip_stays_one_where_words_say_what_is_meant(
    design: str, step: str, text: str, wanted: str
) -> None:
    assert told(design, step, text) == wanted
