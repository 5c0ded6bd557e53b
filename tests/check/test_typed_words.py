"""Number words typed in a design's texts are judged as talk is, and talk is left alone."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from studio.check import typed_numbers
from studio.check.checks import run
from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.check.typed_words import TypedText, TypedWords
from studio.episode.texts import Name, parse
from studio.language import speaking
from studio.measure.speech import spoken
from studio.resources import shipped

DESIGNS = ("globe", "lobed-globe", "crowned-globe", "twelve-lobe-drop")


@cache
def context(design: str) -> Context:
    return Context.of(shipped("designs") / f"{design}.yaml", Path("none"))


@cache
def words(design: str) -> TypedWords:
    """Made once: what judges knows the table, and nothing of the texts."""
    return TypedWords(context(design))


def checked(design: str, step: str, **texts: object) -> Outcome:
    """The check with other texts in a step, as if they stood in the file."""
    made = context(design)
    typed = made.read.design
    steps = tuple(one.model_copy(update=texts) if one.id == step else one for one in typed.steps)
    read = replace(made.read, design=typed.model_copy(update={"steps": steps}))
    with speaking(made.episode.language):
        return typed_numbers.check_texts(replace(made, read=read), words(design))


def told(outcome: Outcome) -> list[tuple[str, str, str]]:
    return [(one.code, one.said, one.measurement) for one in outcome.findings]


@pytest.mark.parametrize("design", DESIGNS)
def test_shipped_designs_type_no_number(design: str) -> None:
    made = context(design)
    with speaking(made.episode.language):
        assert typed_numbers.check(made) == Outcome()


def test_an_address_of_a_link_holds_no_figures() -> None:
    """Neither digits nor words of it; what is to be read of the link does."""
    link = "Look at [{}](https://club.example/2025/ball-3/twelve-mm), then drill."
    assert checked("globe", "hang", do=link.format("the lobed one")) == Outcome()
    (found,) = told(checked("globe", "hang", do=link.format("47 mm")))
    assert found[:2] == ("typed-number", "47")


@pytest.mark.parametrize(
    "typed",
    [
        "Look at https://club.example/2025/ball-3 first.",
        "Look at https://club.example/2025/ball-3.",
        "Look at <https://club.example/2025/ball-3>",
        "Look at [the lobed one](https://en.example/wiki/Ball_(3))",
        "Look at [the lobed one]( https://club.example/2025 )",
        "Look at [the lobed one][plan].\n\n[plan]: https://club.example/2025",
        "Ask (mailto:club2025@club.example) about it",
    ],
)
def test_an_address_holds_no_figures_however_it_is_typed(typed: str) -> None:
    assert checked("globe", "hang", do=typed) == Outcome()


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("1. Rough it.\n2. Sand it.", []),
        ("Then:\n\n1. rough it\n\n2. turn it:\n\n    1. by eye\n    2. by rule\n\n3. sand it", []),
        # a line of a paragraph, a list that Markdown would count otherwise, a figure in an item
        ("Sand it to\n1. the line", ["1"]),
        ("Then:\n\n12. rough it", ["12"]),
        ("1. Rough it.\n3. Sand it.", ["3"]),
        ("1. Rough it to 47 mm.\n2. Sand it.", ["47"]),
        ("1. Rough it.\n\nThen wait.\n\n2. Sand it.", ["2"]),
    ],
)
def test_the_numbers_of_a_list_are_no_figures(typed: str, found: list[str]) -> None:
    assert [one.said for one in checked("globe", "hang", do=typed).findings] == found


@pytest.mark.parametrize(
    "typed",
    [
        "Look at https://club.example/ball 12 mm deep.",
        "Look at <https://club.example/ball> 12 mm deep.",
        "Drill [so](12 mm) deep.",
        "Drill [so](12) mm deep.",
    ],
)
def test_a_figure_beside_an_address_or_in_place_of_one_is_found(typed: str) -> None:
    found = checked("globe", "hang", do=typed).findings
    assert [one.code for one in found] == ["typed-number"]


@pytest.mark.parametrize(
    ("step", "say", "said", "measurement", "due"),
    [
        ("rough", "While it is rough, stay below eighteen hundred.", "eighteen hundred",
         "speed.rough", "800 rpm"),
        ("mark-octagon", "Set dividers to seventeen point nine, and mark in from every corner.",
         "seventeen point nine", "sphere.set_in", "17.5 mm"),
        ("index", "{{ index.marks }} marks: every fifth stop on the {{ index.plate }} plate.",
         "fifth", "index.stops", "2"),
        ("index", "Marks round the equator, on the sixty plate.", "sixty", "index.plate", "24"),
        ("index", "Marks on the {{ index.plate }} plate: go round in fives.", "fives",
         "index.stops", "2"),
        ("sand", "Sand, but not above twenty eight hundred rpm.", "twenty eight hundred rpm",
         "speed.sanding", "1,900 rpm"),
        ("hang", "Drill {{ hanger.drill }}, inch and a quarter deep, and glue it in.",
         "inch and a quarter", "hanger.depth", "15/32 in"),
        ("hang", "Use drill number forty-nine for it.", "number forty-nine", "hanger.drill", "#51"),
        ("hang", "Twist three strands of wire.", "three strands", "hanger.strands", "4"),
    ],
)  # fmt: skip
def test_a_wrong_number_word_is_an_error_that_says_what_is_due(
    step: str, say: str, said: str, measurement: str, due: str
) -> None:
    outcome = checked("globe", step, say=say)
    (finding,) = outcome.findings
    assert (finding.code, finding.severity) == ("typed-number", Severity.ERROR)
    assert (finding.said, finding.measurement) == (said, measurement)
    assert f"the design says {due}" in finding.expected
    assert f"{{{{ {measurement} }}}}" in finding.expected


@pytest.mark.parametrize(
    ("step", "say", "said", "measurement"),
    [
        ("rough", "While it is rough, stay below eight hundred.", "eight hundred", "speed.rough"),
        ("mark-octagon", "Set dividers to seventeen point five, in from every corner.",
         "seventeen point five", "sphere.set_in"),
        ("index", "{{ index.marks }} marks: every second stop on the {{ index.plate }} plate.",
         "second", "index.stops"),
        ("hang", "Drill it twelve deep.", "twelve", "hanger.depth"),
    ],
)  # fmt: skip
def test_a_right_one_is_typed_all_the_same(
    step: str, say: str, said: str, measurement: str
) -> None:
    outcome = checked("globe", step, say=say)
    assert told(outcome) == [("typed-number", said, measurement)]
    assert outcome.errors == 1
    # of these words nothing else in the check knows
    assert outcome.untraced == 1


def test_an_hour_is_a_number_where_something_waits_for_it() -> None:
    outcome = checked("globe", "hang", say="Leave the glue for an hour.")
    assert told(outcome) == [("typed-number", "an hour", "value.glue_time")]
    outcome = checked("globe", "hang", say="Hold it for a minute, and give me a minute to look.")
    assert told(outcome) == []


def test_a_large_number_that_nothing_ties_to_the_design_is_not_passed_in_silence() -> None:
    outcome = checked("globe", "rough", say="Stay below eighteen hundred.")
    assert told(outcome) == [("number-word", "eighteen hundred", "")]
    assert "{{  }}" not in outcome.findings[0].expected


def test_one_that_may_mean_several_is_a_note_and_not_counted_untraced() -> None:
    outcome = checked("globe", "index", say="With the other two, carry on.")
    (finding,) = outcome.findings
    assert (finding.code, finding.severity, finding.said) == ("number-word", Severity.NOTE, "two")
    assert "{{ index.stops }}" in finding.expected
    assert (outcome.errors, outcome.traced, outcome.untraced) == (0, 0, 0)


@pytest.mark.parametrize(
    ("do", "said"),
    [
        ("Join the twenty corners.", "twenty corners"),
        ("That makes seven edges.", "seven edges"),
        ("Sand all nine flats.", "nine flats"),
        ("It has ten small faces.", "ten small faces"),
    ],
)
def test_what_a_cut_leaves_is_counted_as_its_sides_are(do: str, said: str) -> None:
    for step in ("mark-octagon", "second-round", "hang"):
        (found,) = errors_of(checked("globe", step, do=do))
        assert (found.code, found.said) == ("typed-number", said), step


@pytest.mark.parametrize(
    "do",
    ["Knock the four corners off.", "Turn it, both end faces first.", "Use five face shields.",
     "Rub two edges by hand."],
)  # fmt: skip
def test_the_corners_of_any_blank_are_talk(do: str) -> None:
    assert errors_of(checked("globe", "hang", do=do)) == []


TALK = (
    "Hold it with one hand.", "Use two hands.", "Work one at a time.", "A third groove helps.",
    "Do the first one slowly.", "One more thing.", "Once or twice is enough.", "Take one cut.",
    "Turn it by hand two or three times.", "Do not try both at one go.", "Wait a second.",
    "On one side, then the other.", "There are three ways to do this.", "A two-part story.",
    "Ask someone for a second pair of eyes.", "Two fingers on the handle.",
    "Half of it is sanding.",
    "Make one pass, then a second one.", "Nine times out of ten it holds.", "A one-piece ornament.",
    "Keep one eye on the tip.", "For one thing, it is dry.", "Work from one end to the other.",
    "My first lathe had three legs.", "In a hundred years it will still hang.",
    "Two heads are better than one.", "Put two drops of oil on the cloth.", "Every other corner.",
    "Rule number one: wear a face shield.", "The third video showed how.", "Step one is to look.",
    "pencil for marks", "cloth to sand",
)  # fmt: skip


@pytest.mark.parametrize("design", ["globe", "lobed-globe"])
def test_talk_does_not_pester(design: str) -> None:
    for step in context(design).read.design.steps:
        for sentence in TALK:
            outcome = checked(design, step.id, say=sentence, do="Go on.", tools=(sentence,))
            assert told(outcome) == [], (step.id, sentence)


def names_in(design: str) -> Iterator[tuple[str, str, list[str | Name], int]]:
    """Every name in a step's texts: the step, the field, the text's pieces, and its place."""
    for step in context(design).read.design.steps:
        for field in ("do", "say"):
            pieces = list(parse(getattr(step, field)))
            for place, one in enumerate(pieces):
                if isinstance(one, Name):
                    yield step.id, field, pieces, place


def typed_instead(pieces: list[str | Name], place: int, words: str) -> str:
    return "".join(
        one if isinstance(one, str) else words if at == place else f"{{{{ {one.written} }}}}"
        for at, one in enumerate(pieces)
    )


def errors_of(outcome: Outcome) -> list[Finding]:
    return [one for one in outcome.findings if one.severity is Severity.ERROR]


@pytest.mark.parametrize("design", DESIGNS)
def test_every_figure_that_is_said_in_words_by_hand_is_found(design: str) -> None:
    table = context(design).episode.table
    tried = 0
    for step, field, pieces, place in names_in(design):
        name = pieces[place]
        assert isinstance(name, Name)
        aloud = spoken(table[name.dotted].text)
        outcome = checked(design, step, **{field: typed_instead(pieces, place, aloud)})
        assert errors_of(outcome), (step, field, name.dotted, aloud)
        tried += 1
    assert tried > 25


@pytest.mark.parametrize("design", DESIGNS)
def test_every_wrong_figure_in_words_is_found(design: str) -> None:
    """With its first digit another one: 17.5 mm becomes 27.5 mm, #51 becomes #61."""
    table = context(design).episode.table
    missed = []
    tried = 0
    for step, field, pieces, place in names_in(design):
        name = pieces[place]
        assert isinstance(name, Name)
        text = table[name.dotted].text
        wrong = re.sub(r"[1-9]", lambda digit: str(int(digit[0]) % 9 + 1), text, count=1)
        if wrong == text:
            continue  # a figure by its name: the check of names of figures is another one
        aloud = spoken(wrong)
        outcome = checked(design, step, **{field: typed_instead(pieces, place, aloud)})
        tried += 1
        if not errors_of(outcome):
            missed.append((step, field, name.dotted, aloud, told(outcome)))
    assert tried > 25
    # a bare count may be called unclear, but nothing is passed in silence
    assert [one for one in missed if not one[4]] == []
    assert len(missed) <= 0.02 * tried, missed


def test_phrases_under_plain_words_are_excused() -> None:
    say = "Drill it twelve deep. While it is rough, stay below eighteen hundred."
    assert [one.said for one in errors_of(checked("globe", "rough", say=say))] == [
        "twelve", "eighteen hundred",
    ]  # fmt: skip
    made = context("globe")
    typed = made.read.design
    steps = tuple(
        one.model_copy(update={"say": say}) if one.id == "rough" else one for one in typed.steps
    )
    read = replace(made.read, design=typed.model_copy(update={"steps": steps}))
    episode = replace(made.episode, plain_words=("drill it twelve deep",))
    with speaking(made.episode.language):
        outcome = typed_numbers.check(replace(made, read=read, episode=episode))
    assert told(outcome) == [("typed-number", "eighteen hundred", "speed.rough")]


def test_places_of_typed_stretches() -> None:
    text = TypedText.of("Mark {{ sphere.set_in }} in, two of them.", context("globe").episode.table)
    assert text.said == "Mark 17.5 mm in, two of them."
    at = text.said.index("two")
    assert text.words[text.in_words(at) :].startswith("two of them")
    assert text.is_drawn(text.said.index("17.5"), text.said.index("17.5") + 1)
    assert not text.is_drawn(at, at + 3)


def test_a_wrong_word_is_told_at_its_line_and_fails_the_whole_check(tmp_path: Path) -> None:
    shutil.copytree(shipped("designs"), tmp_path / "designs")
    design = tmp_path / "designs" / "globe.yaml"
    text = design.read_text("utf-8")
    new = text.replace("stay below {{ speed.rough }}", "stay below eighteen hundred")
    assert new != text
    design.write_text(new, "utf-8")
    outcome = run(Context.of(design, tmp_path / "nothing"))
    (finding,) = (one for one in outcome.findings if one.code == "typed-number")
    line = next(n for n, one in enumerate(new.split("\n"), 1) if "eighteen hundred" in one)
    assert finding.where == str(design)
    assert finding.at.startswith(f"line {line}, ")
    assert outcome.untraced == 1


@pytest.mark.parametrize(
    ("do", "said"),
    [
        ("Drill, twice {{ hanger.depth }} deep.", "twice"),
        ("Cut it to half of {{ hanger.depth }}.", "half of"),
        ("Cut it to a third of the {{ hanger.depth }}.", "a third of the"),
        ("Go two thirds of {{ hanger.depth }} in.", "two thirds of"),
    ],
)
def test_a_word_that_makes_another_figure_of_a_names_is_an_error(do: str, said: str) -> None:
    found = checked("globe", "hang", do=do)
    assert said in [one.said for one in found.findings if one.severity is Severity.ERROR]


@pytest.mark.parametrize(
    ("do", "said"),
    [
        ("Step every fourth mark of the {{ index.marks }} marks.", "fourth"),
        ("Step every other one of the {{ index.marks }} marks.", "other"),
        ("Skip every third groove.", "third"),
        ("Use every fourth mark.", "fourth"),
    ],
)
def test_a_way_to_go_is_never_passed_in_silence(do: str, said: str) -> None:
    found = checked("lobed-globe", "index", do=do)
    assert any(said in one.said for one in found.findings), do
    assert found.errors == found.untraced


@pytest.mark.parametrize(
    "do",
    ["In episode 12 we did this.", "Turn it as in fig. 3.", "Turn all 6 of it.",
     "Filmed on 27 November 2026.", "Take 12 of them."],
)  # fmt: skip
def test_digits_alone_are_told_to_be_no_measurement(do: str) -> None:
    """Each is the figure of something in the design: 12 marks, a mark at 3 mm, a cable of 27."""
    findings = checked("globe", "rough", do=do).findings
    assert findings
    for one in findings:
        assert (one.code, one.measurement) == ("typed-number", "")
        assert one.expected.startswith("name a measurement")
        assert "plain_words:" in one.expected


@pytest.mark.parametrize(
    ("step", "do", "measurement"),
    [
        ("rough", "Stand {{ speed.rough }} back, 17.5 mm of it.", "sphere.set_in"),
        ("rough", "A 17.5-mm one, as we know.", "sphere.set_in"),
        ("rough", "As the #51 does.", "hanger.drill"),
        ("rough", "The ratio is .293 of it.", "sphere.set_in_factor"),
        ("mark-octagon", "Set the dividers to 17.5.", "sphere.set_in"),
        ("index", "Marks on the 24 plate.", "index.plate"),
    ],
)
def test_digits_with_their_unit_or_in_the_company_of_their_words_are_named(
    step: str, do: str, measurement: str
) -> None:
    (found,) = checked("globe", step, do=do).findings
    assert found.measurement == measurement
    assert f"write {{{{ {measurement} }}}}" in found.expected


@pytest.mark.parametrize("do", ["Every third corner first.", "Each third facet first."])
def test_no_count_is_offered_for_every_third(do: str) -> None:
    (found,) = checked("globe", "mark-octagon", do=do).findings
    assert "{{ sphere" not in found.expected
    assert "{{ index" not in found.expected


def test_a_step_round_a_plate_is_offered_as_one_can_say_it() -> None:
    (found,) = checked("globe", "index", do="Use every fourth mark.").findings
    assert "the design says 2: write “every {{ index.stops }} stops”" in found.expected


def test_what_fails_nothing_is_not_counted_as_untraced() -> None:
    """The exit code follows the errors: a count of untraced numbers may not contradict it."""
    for do in (*TALK, "Every other one of the {{ index.marks }} marks.", "With the other two."):
        outcome = checked("globe", "index", do=do)
        assert (outcome.errors, outcome.untraced) == (0, 0), do
    outcome = checked("globe", "index", do="With the other two, on the sixty plate.")
    assert (outcome.errors, outcome.untraced) == (1, 1)


def test_halves_that_are_no_figure_of_a_name_are_talk() -> None:
    assert (
        checked("globe", "hang", do="Half way in, stop and look. Then glue it twice.") == Outcome()
    )
    assert checked("globe", "hang", do="Drill {{ hanger.depth }} deep, the other hand off.") == (
        checked("globe", "hang", do="Drill {{ hanger.depth }} deep.")
    )
