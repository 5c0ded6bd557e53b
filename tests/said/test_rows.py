"""Rows of the tables that a step is about: what is read off there at the bench is no slip.

Stations, calliper settings, parting cuts, rings, strips and blanks are printed on the cut sheet and
named by no step. Everything is invented; that turners talk so is common practice, no source.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from studio.resources import shipped
from studio.said.agreeing import Verdict
from studio.said.finding import find_mentions
from studio.said.judged import Judged
from studio.said.judging import Judge
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
        ("bauble", "flutes", "Mark one's at the bottom, two's beside it.",
         "right index.mark_1, right index.mark_2"),
    ],
)  # fmt: skip
def test_what_is_read_off_a_row_is_right(design: str, step: str, text: str, wanted: str) -> None:
    assert told(design, step, text) == wanted


@pytest.mark.parametrize(
    ("design", "step", "text"),
    [
        ("icicle", "turn", "The last bead goes from fourteen up to twenty-two."),
        ("icicle", "turn", "The crown of the big bead is at 84.5 mm."),
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
        ("icicle", "sand", "forty two hours all in", "wrong finish.total"),
        ("icicle", "sand", "Fourteen hours all in.", "right finish.total"),
        ("lantern", "hang", "Cut three pieces of wire.", "wrong hanger.pieces"),
        # the setting of another row
        ("icicle", "turn", "At ten millimetres from the tip the callipers are set to 5.5.",
         "right drop.at_4, wrong drop.setting_4"),
        ("icicle", "turn", "Ten from the tip, 6 mm on the callipers.",
         "right drop.at_4, wrong drop.setting_4"),
    ],
)  # fmt: skip
def test_a_slip_stays_one_where_words_say_what_is_meant(
    design: str, step: str, text: str, wanted: str
) -> None:
    assert told(design, step, text) == wanted


def test_the_line_to_say_has_the_setting_of_the_place_that_was_said() -> None:
    said = "At ten millimetres from the tip the callipers are set to six."
    assert [one.mend for one in judged("icicle", "turn", said)] == [
        "", "At ten millimetres from the tip the callipers are set to five millimetres.",
    ]  # fmt: skip


STATION = (
    "At {at} from the tip the callipers are set to {setting}.",
    "{at} from the free end, callipers at {setting}.",
    "At the {at} station it's {diameter} across.",
    "Callipers {setting} at the {shape}, that's {at} in.",
    "The {shape} finishes at {diameter}.",
)
CUT = (
    "Part in at {at}, callipers set to {setting}.",
    "The parting cut at {at} goes {depth} deep.",
)
PARTS = (
    (DESIGNS / "icicle" / "icicle.yaml", "turn", "drop"),
    (DESIGNS / "lantern" / "lantern.yaml", "cap", "cap"),
    (shipped("designs") / "crowned-globe.yaml", "turn-finial", "finial"),
    (shipped("designs") / "crowned-globe.yaml", "turn-cap", "cap"),
)
MOST_UNCLEAR = 0.1


def rows_of(made: Judge, part: str, kind: str) -> list[dict[str, str]]:
    """The rows of a part's table, each with its cells as printed."""
    table = made.material.by_name
    count = sum(name.startswith(f"{part}.{kind}at_") for name in table)
    columns = ("at", "setting", "depth") if kind else ("at", "setting", "diameter", "shape")
    return [
        {key: table[f"{part}.{kind}{key}_{row}"].measurement.text for key in columns}
        for row in range(1, count + 1)
    ]


@pytest.mark.parametrize(("design", "step", "part"), PARTS)
def test_no_row_of_a_part_read_out_is_called_wrong(design: Path, step: str, part: str) -> None:
    made = Judge(material_of(design))
    texts = [text.format(**row) for row in rows_of(made, part, "") for text in STATION]
    texts += [text.format(**row) for row in rows_of(made, part, "cut_") for text in CUT]
    found = [one for text in texts for one in made.judge(text, find_mentions(text), step)]
    assert len(found) > 100
    assert [one for one in found if one.verdict is Verdict.WRONG] == []
    assert sum(one.verdict is Verdict.AMBIGUOUS for one in found) <= MOST_UNCLEAR * len(found)


@pytest.mark.parametrize(("design", "step", "part"), PARTS)
def test_a_setting_that_is_not_its_stations_is_called_wrong(
    design: Path, step: str, part: str
) -> None:
    made, seen = Judge(material_of(design)), 0
    rows, cuts = rows_of(made, part, ""), rows_of(made, part, "cut_")
    for row in rows:
        due = {other["setting"] for other in (*rows, *cuts) if other["at"] == row["at"]}
        for other in rows:
            near = any(abs(mm(other["setting"]) - mm(one)) < 0.12 * mm(one) for one in due)
            if near or row["at"] == "0 mm":
                continue
            said = f"At {row['at']} from the tip the callipers are set to {other['setting']}."
            slip = made.judge(said, find_mentions(said), step)[1]
            assert (said, slip.verdict) == (said, Verdict.WRONG)
            assert slip.expected in due
            seen += 1
    assert seen > 50


def mm(printed: str) -> float:
    return float(printed.removesuffix(" mm"))


def told_of_finial(text: str) -> list[tuple[str, str, str]]:
    made = Judge(material_of(shipped("designs") / "crowned-globe.yaml"))
    found = made.judge(text, find_mentions(text), "turn-finial")
    return [(str(one.verdict), one.measurement, one.mend) for one in found]


@pytest.mark.parametrize(
    "text",
    [
        "set the callipers to 8.3 for the tenon",
        "callipers at 8.3 for the tenon",
        "callipers at eight point three for the tenon",
        "the tenon is 8.3 on the callipers and 7.8 when it's done",
    ],
)
def test_a_columns_own_word_says_it_whatever_else_the_place_names(text: str) -> None:
    # its hole is "for the tenon" too, and the tenon itself finishes at 7.8 mm
    verdicts = [(verdict, name) for verdict, name, _ in told_of_finial(text)]
    assert verdicts in (
        [("right", "finial.setting_24")],
        [("right", "finial.setting_24"), ("right", "finial.tenon")],
    )


@pytest.mark.parametrize(
    ("text", "verdict", "name"),
    [
        # neither the hole's 8 mm nor another row's setting
        ("set the callipers to 8 for the tenon", "ambiguous", ""),
        ("callipers at 7.5 for the tenon", "wrong", "finial.setting_24"),
        ("callipers at 14.5 for the tenon", "wrong", "finial.setting_24"),
    ],
)
def test_what_the_column_has_elsewhere_is_not_right(text: str, verdict: str, name: str) -> None:
    assert told_of_finial(text) == [(verdict, name, "")]


def test_a_columns_word_in_another_clause_says_nothing_of_a_figure() -> None:
    text = "The tenon is 8.3, check it with the callipers."
    assert told_of_finial(text) == [
        ("wrong", "finial.tenon", "The tenon is 7.8 mm, check it with the callipers.")
    ]
