"""A whole number with a fraction behind it: one figure or two, as the design bears out.

"Drill #51 5/8 in deep" leaves the comma out, "2 5/8 in square" has none. The ball is invented. From
outside: number drills run from #1 to #97 after ASME B94.11M, none of them with a fraction.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.check.context import Context
from studio.check.said import check_said
from studio.said.agreeing import Verdict
from studio.said.finding import Reading, find_mentions
from studio.said.heard import judged_talk
from studio.said.judging import Judge
from studio.said.material import material_of

BALL = Path(__file__).parent / "designs" / "ball" / "ball.yaml"


@pytest.fixture(scope="module")
def judge() -> Judge:
    return Judge(material_of(BALL))


@pytest.mark.parametrize(
    ("text", "values"),
    [
        # a sign before it says that a figure is whole
        ("Drill #51 5/8 in deep.", ["51", "5/8"]),
        ("no. 51 5/8 in deep", ["51", "5/8"]),
        ("drill number fifty one five eighths deep", ["51", "5/8"]),
        ("#51 and 5/8 deep", ["51", "5/8"]),
        ("P150 1/2 inch disc", ["150", "1/2"]),
        ("groove 4 1/16 deep", ["4", "1/16"]),
        # but not one that belongs to the figure before it, nor one that names no single thing
        ("20 gauge 2 1/2 in long", ["20", "5/2"]),
        ("each groove 1 1/4 in wide", ["5/4"]),
        ("mark 2 5/8 in from the end", ["21/8"]),
        ("2 5/8 in square", ["21/8"]),
        ("2½ in", ["5/2"]),
        # more parts than one has are a slip, and one figure all the same
        ("down to 2 3/2 in", ["7/2"]),
        ("down to 2 3/2, no faster", ["7/2"]),
        ("down to 2 and 3/2 in", ["7/2"]),
        ("2 9/8 square", ["25/8"]),
        ("17 3/2 mm", ["37/2"]),
        ("dividers to 23/23 in", ["1"]),
        ("dividers to 23/23 and mark in", ["1"]),
        ("93/32nds, 39/32 apart", ["93/32", "39/32"]),
        ("23 over 16, 23 over 23", ["23/16", "1"]),
        ("thirty three thirty seconds", ["33/32"]),
        ("two and thirty-three thirty-seconds of an inch", ["97/32"]),
        ("forty sixteenths of an inch", ["5/2"]),
        # but a score, papers, a date and a wire are none
        ("a score of 3/2", ["3", "2"]),
        ("I went 320/220 in one go", ["320", "220"]),
        ("filmed on 3/4/2026", ["3", "4", "2026"]),
        ("wait sixty, then thirty seconds", ["60", "30"]),
        # nor has what a sign says to be whole decimals, or a fraction behind a hyphen
        ("Drill #51 .625 in deep.", ["51", "5/8"]),
        ("drill number fifty one point six two five deep", ["51", "5/8"]),
        ("drill number 51 point 625 in deep", ["51", "5/8"]),
        ("Drill #51-5/8 in deep.", ["51", "5/8"]),
        ("a number two and a half pencil", ["5/2"]),
        # no wire has a gauge above a hundred
        ("twist two 20 gauge strands", ["2", "20"]),
        ("two twenty gauge strands", ["2", "20"]),
        ("2 and 2.5 in", ["2", "5/2"]),
    ],
)
def test_what_is_likelier_by_the_words_alone(text: str, values: list[str]) -> None:
    found = [str(one.value) for one in find_mentions(text)]
    assert found == values


def test_the_other_reading_is_kept() -> None:
    text = "groove 1 1/4 in wide"
    reading = Reading.of(text)
    (seam,) = reading.seams
    (joined,) = Reading.of(text, {seam}).mentions
    assert [str(one.value) for one in reading.mentions] == ["1", "1/4"]
    assert (str(joined.value), joined.unit) == ("5/4", "in")


@pytest.mark.parametrize(
    ("step", "text"),
    [
        ("hang", "drill number 51 5/8 in deep"),
        ("hang", "drill number fifty-one five eighths deep"),
        ("hang", "number 51 and five eighths deep"),
        ("hang", "Drill a 51 5/8 in deep"),
        ("grooves", "groove 4 1/16 deep"),
        ("grooves", "groove 3 1/4 in wide"),
        ("grooves", "groove number 2 1/4 wide 1/16 deep"),
        ("octagon", "in step 2 23/32 in from the corner"),
        ("index", "mark 1 31/32 to mark 2"),
        ("index", "from mark one thirty one thirty seconds to mark two"),
        ("index", "marks 1 to 8 31/32 apart"),
        ("rough", "the blank is 2 5/8 square"),
        ("rough", "line 2 5/8 in square"),
        ("grooves", "the eight lobes 23/32 apart"),
        ("grooves", "Cut 4 1/4 in grooves"),
        ("grooves", "the 4 1/4 in grooves"),
        ("grooves", "Now for all 4 1/4 in grooves."),
        ("hang", "with bit 51 5/8 in deep"),
    ],
)
def test_what_is_right_in_one_reading_is_not_called_wrong(
    judge: Judge, step: str, text: str
) -> None:
    found = judged_talk(judge, text, step)
    assert found
    assert not [one for one in found if one.verdict is Verdict.WRONG]


_SLIPS = (
    "{thing} goes {size} {way}",
    "Check that the {thing} was {size} {way}.",
    "I want my {thing} at {size} {way}.",
    "Both {thing} measure {size} {way}",
    "first {thing}, {size} {way}",
    "leave a {thing} of {size} {way}",
    "which {thing} takes {size} {way}",
)


@pytest.mark.parametrize("whole", ["1", "2", "4", "8"])
@pytest.mark.parametrize(
    ("step", "thing", "fraction", "way"),
    [
        ("grooves", "the groove", "1/4", "in wide"),
        ("grooves", "grooves", "1/16", "in deep"),
        ("hang", "drilled hole", "5/8", "in deep"),
        ("octagon", "set-in", "23/32", "in"),
        ("index", "chord", "31/32", "in"),
    ],
)
def test_a_whole_number_too_many_is_never_right(
    judge: Judge, step: str, thing: str, fraction: str, way: str, whole: str
) -> None:
    for slip in _SLIPS:
        text = slip.format(thing=thing, size=f"{whole} {fraction}", way=way)
        verdicts = {one.verdict for one in judged_talk(judge, text, step)}
        assert verdicts
        assert not verdicts & {Verdict.RIGHT, Verdict.ROUNDED}, text


@pytest.mark.parametrize("count", ["1", "2", "4", "8"])
@pytest.mark.parametrize("size", ["1/16", "1/8", "1/4", "3/16"])
@pytest.mark.parametrize("saying", ["the {} in grooves", "Cut {} in grooves.", "all {} in grooves"])
def test_a_count_and_a_size_are_right_together_alone(
    judge: Judge, saying: str, size: str, count: str
) -> None:
    # a sixteenth is how deep the four are, an eighth how far an edge is from the middle
    found = judged_talk(judge, saying.format(f"{count} {size}"), "grooves")
    right = {one.verdict for one in found} == {Verdict.RIGHT}
    assert right == ((count, size) == ("4", "1/4"))


@pytest.mark.parametrize(
    ("step", "text"),
    [
        ("grooves", "Each groove is 1 1/4 in wide."),
        ("index", "From mark to mark 1 31/32 in."),
        ("octagon", "Mark a line 1 23/32 in from each corner."),
        ("octagon", "Use the dividers to mark 1 23/32 in from each corner."),
        ("octagon", "Step 1 23/32 in in from each corner."),
        ("octagon", "step one and twenty-three thirty-seconds of an inch in from the edge"),
        ("hang", "Make the hole 2 5/8 in deep."),
        ("hang", "Drill 2 5/8 in deep."),
        ("grooves", "It is a 4 1/4 in groove."),
        ("grooves", "make the grooves all 4 1/4 in wide"),
        ("hang", "two strands of 2 3/16 in pitch"),
        ("hang", "two strands of two three sixteenths pitch"),
    ],
)
def test_it_is_none_where_a_verb_stands_or_an_article(judge: Judge, step: str, text: str) -> None:
    assert Verdict.WRONG in [one.verdict for one in judged_talk(judge, text, step)]


@pytest.mark.parametrize(
    ("step", "text", "line"),
    [
        ("hang", "Drill #61 5/8 in deep.", "Drill #51, 5/8 in deep."),
        ("hang", "so drill a number sixty one five eighths of an inch deep",
         "so drill a number fifty-one five eighths of an inch deep"),
        ("hang", "so drill #161 5/8 in deep, and leave the glue 30 min.",
         "so drill #51, 5/8 in deep, and leave the glue 30 min."),
        ("hang", "Drill #51 3/8 in deep.", "Drill #51, 5/8 in deep."),
        ("hang", "use drill 51 3/8 in deep", "use drill 51, 5/8 in deep"),
        ("grooves", "grooves 1 to 4 3/8 in wide", "grooves 1 to 4, 1/4 in wide"),
        ("hang", "and the #161 for that, 5/8 in deep.", "and the #51 for that, 5/8 in deep."),
        ("hang", "so drill a #161, 5/8 in deep.", "so drill a #51, 5/8 in deep."),
        ("octagon", "First you cut a decagon.", "First you cut an octagon."),
        ("rough", "Turn the blank down to 2 3/2 in,", "Turn the blank down to 2 1/2 in,"),
        ("rough", "the blank is 2 1/4 square", "the blank is 2 5/8 in square"),
        ("octagon", "Put the dividers on 23/23, corner by corner.",
         "Put the dividers on 23/32 in, corner by corner."),
        ("octagon", "set the dividers to 93/32nds", "set the dividers to 23/32 in"),
        ("octagon", "set the dividers to 23 over 23",
         "set the dividers to twenty-three thirty-seconds of an inch"),
        ("rough", "Bring it down to 2 3/2, at 800 at most.",
         "Bring it down to 2 1/2 in, at 800 at most."),
        ("rough", "bring it down to 2 and 3/2 in", "bring it down to 2 1/2 in"),
        ("index", "the chord is 39/32 apart", "the chord is 31/32 in apart"),
        ("index", "from mark to mark 61/32", "from mark to mark 31/32 in"),
        ("octagon", "set the dividers to 23/23 in and mark in",
         "set the dividers to 23/32 in and mark in"),
    ],
)  # fmt: skip
def test_the_wrong_figure_alone_is_told_with_its_line(
    judge: Judge, step: str, text: str, line: str
) -> None:
    wrong = [one for one in judged_talk(judge, text, step) if one.verdict is Verdict.WRONG]
    assert [one.mend for one in wrong] == [line]


def test_where_neither_reading_fits_both_figures_are_told(judge: Judge) -> None:
    found = judged_talk(judge, "so drill #61 3/8 in deep, and leave the glue 30 min", "hang")
    wrong = [one.measurement for one in found if one.verdict is Verdict.WRONG]
    assert wrong == ["hanger.drill", "hanger.depth"]


@pytest.mark.parametrize(
    ("step", "text"),
    [
        # the whole number may be a figure of its own, which the line would lose
        ("hang", "Drill a 51 3/8 in deep."),
        ("hang", "drill a fifty one three eighths deep"),
        ("hang", "two strands of 20 3/16 in pitch"),
        ("grooves", "all 4 1/4 in wide"),
        # a piece of a figure that is none
        ("hang", "drill number fifty five eighths deep"),
        ("octagon", "dividers on 23/0 in and mark in."),
        ("octagon", "dividers on thirty three thirty seconds of an inch"),
        ("hang", "two strands of twenty three sixteenths pitch"),
        ("rough", "two five eighths by two five eighths by three three quarters"),
    ],
)
def test_no_line_is_given_that_would_lose_a_figure_or_double_it(
    judge: Judge, step: str, text: str
) -> None:
    wrong = [one for one in judged_talk(judge, text, step) if one.verdict is Verdict.WRONG]
    assert wrong
    assert not [one.mend for one in wrong if one.mend]


def test_a_stroke_in_words_has_a_figure_on_both_sides(judge: Judge) -> None:
    (one,) = judged_talk(judge, "Never over 8,000 rpm while it is rough.", "rough")
    assert one.mend == "Never over 800 rpm while it is rough."


@pytest.mark.parametrize("ending", [".", ""])  # with stops and without
def test_two_wrong_figures_side_by_side_have_one_comma(tmp_path: Path, ending: str) -> None:
    captions = tmp_path / "said.srt"
    captions.write_text(
        f"1\n00:01:41,000 --> 00:01:44,000\ndrill #61 3/8 in deep{ending}\n", encoding="utf-8"
    )
    context = Context.of(BALL, tmp_path)
    outcome, _ = check_said(context, captions)
    lines = [one.patch.say for one in outcome.findings if one.patch is not None]
    assert lines == [f"drill #51, 5/8 in deep{ending}"] * 2
