"""Numbers in talk: each kind of number, what is no number, and figures said and found again."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from studio.measure.measurement import System
from studio.measure.rounding import length_in
from studio.measure.speech import spoken
from studio.said.finding import find_mentions


def found(text: str) -> list[str]:
    """Value, a range's upper end, and unit of each mention, in short."""
    return [
        f"{one.value}{'' if one.high is None else f'-{one.high}'} {one.unit}".strip()
        for one in find_mentions(text)
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # figures
        ("It's 2 1/2 inches, or 63.5mm.", ["5/2 in", "127/2 mm"]),
        ('1-1/2″ by ½", 2½ in.', ["3/2 in", "1/2 in", "5/2 in"]),
        ("1,200 rpm, 2200rpm, 1 970 rpm", ["1200 rpm", "2200 rpm", "1970 rpm"]),
        ("16,9 mm on the continent", ["169/10 mm"]),
        ("17/64ths, 17 64ths, 23 over 32", ["17/64", "17/64", "23/32"]),
        ("21/32 in from the corner", ["21/32 in"]),
        ("16.9 in from the corner", ["169/10"]),
        # words
        ("one and a half inches", ["3/2 in"]),
        ("an inch and a quarter, inch and a half", ["5/4 in", "3/2 in"]),
        ("two inches and a half across", ["5/2 in"]),
        ("five eighths of an inch", ["5/8 in"]),
        ("half an inch, a quarter inch, three-quarter-inch cup", ["1/2 in", "1/4 in", "3/4 in"]),
        ("twenty-three thirty-seconds", ["23/32"]),
        ("four and twenty-seven sixty-fourths inches", ["283/64 in"]),
        ("point four one four, oh point two nine three", ["207/500", "293/1000"]),
        ("five thou, a hundred and three thousandths", ["1/200 in", "103/1000"]),
        ("eighteen hundred, twenty-two hundred, one eighty", ["1800", "2200", "180"]),
        ("nineteen seventy rpm", ["1970 rpm"]),
        ("two thousand four hundred and fifty rpm", ["2450 rpm"]),
        ("one hundred and seventeen point nine millimetres", ["1179/10 mm"]),
        # signs and words before and behind
        ("#51, No. 44, number fifty-one", ["51 drill", "44 drill", "51 drill"]),
        ("P180, one-fifty grit, grit two-forty", ["180 grit", "150 grit", "240 grit"]),
        ("22 AWG, AWG 22, twenty gauge, 20 SWG", ["22 gauge", "22 gauge", "20 gauge", "20 swg"]),
        (
            "30°, thirty degrees, 78 per cent, 12 %",
            ["30 deg", "30 deg", "78 percent", "12 percent"],
        ),
        ("six hours, half an hour, two whole days", ["6 h", "1/2 h", "2 day"]),
        # so many things of a size
        (
            "the four 1/4 in grooves, five quarter-inch grooves",
            ["4 count", "1/4 in", "5 count", "1/4 in"],
        ),
        ("cut 2 4 13/16 in wires, at 6 1/4 in", ["2 count", "77/16 in", "25/4 in"]),
        # one of a unit by its article
        ("an inch at the tailstock, a millimetre thick", ["1 in", "1 mm"]),
        ("The tenon's a centimetre long, the ring a mil deep.", ["1 cm", "1 mm"]),
        ("Leave the glue for an hour. Leave it a whole day.", ["1 h", "1 day"]),
        ("Recoat after an hour, wait a minute between coats.", ["1 h", "1 min"]),
        # counts, positions, figures with a name
        ("twelve marks, a dozen marks, two thin coats", ["12 count", "12 count", "2 count"]),
        ("the third groove of six", ["3 ordinal", "6 count"]),
        (
            "groove 2: mark 6 in the cup and 11 at the point",
            ["2 ordinal", "6 ordinal", "11 ordinal"],
        ),
        ("every fourth stop on the 36 plate", ["4 ordinal", "36 count"]),
        ("go round in fives", ["5 count"]),
        ("a hexadecagon, sixteen sides", ["16 sides", "16 count"]),
        ("four and a half turns", ["9/2 count"]),
        # ranges, pairs, lists
        ("between 15 and 16 mm", ["15-16 mm"]),
        ("two to three millimetres", ["2-3 mm"]),
        ("60 millimetres, or two and three eighths inches", ["60 mm", "19/8 in"]),
        ("from P150 to P400", ["150 grit", "400 grit"]),
        ("520 by 130 by 66 mm", ["520", "130", "66 mm"]),
        # figures of nothing that a design states
        ("£12.50, thirty euros, 3 years", ["25/2 £", "30 €", "3 year"]),
        ("Episode 12, the 3rd of March, in 2019", ["12", "3", "2019"]),
    ],
)
def test_each_kind_of_number(text: str, expected: list[str]) -> None:
    assert found(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("fifty eight mil a meters", ["58 mm"]),
        ("the aukta gone", ["8 sides"]),
        ("a hexa decker gone", ["16 sides"]),
        ("twenty four point to millimeters", ["121/5 mm"]),
        ("drill to point two mil", ["11/5 mm"]),
        ("diameter times point four one four", ["207/500"]),
        ("point for one for times the diameter", ["207/500"]),
        ("ate marks every for stops", ["8 count", "4 count"]),
        ("number forty for drill", ["44 drill"]),
        ("sixty ate percent", ["68 percent"]),
        ("twenty to hundred", ["2200"]),
        ("to and a half inches", ["5/2 in"]),
        ("three eights of an inch", ["3/8 in"]),
        ("one twenty one eighty two forty three twenty", ["120", "180", "240", "320"]),
        ("840 r p m", ["840 rpm"]),
        ("for teen deep", ["14"]),
        ("two point seven mil of oil", ["27/10 ml"]),
    ],
)
def test_what_recognisers_write_for_numbers(text: str, expected: list[str]) -> None:
    assert found(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "One of these days.", "A second look.", "Second mark, third round.", "2nd round", "Twice.",
        "Both hands, a pair of eyes.", "Half way there.", "Half of this is looking.",
        "A quarter turn.", "Quarter-sawn.", "Three cheers!", "One full twist.", "Second to none.",
        "Number one rule: goggles.", "A couple of passes.", "Once more.", "Cut it in two.",
        "three quarters of the work is sharpening", "look for marks", "i stood there for hours",
        "from mark to mark", "i ate my sandwich", "we went to the lathe for a minute",
        "Wait a minute, let me see.", "Give me a minute to find the glue.", "a coat, a day ago",
        "Let me stop for a minute.", "An inch or two of cord.", "the inch rule", "after a meal",
        "A millimetre at a time.", "coats twice a day", "leave it with me, an hour from now",
    ],
)  # fmt: skip
def test_talk_is_no_number(text: str) -> None:
    assert found(text) == []


def test_typed_words_are_never_misheard() -> None:
    assert found("A pencil for marks, and off to stops unknown.") == []
    assert found("a pencil cut for inches long") == ["4 in"]


@pytest.mark.parametrize(
    ("text", "side"),
    [
        ("about 17 mm", "near"), ("17 mm or so", "near"), ("forty-ish degrees", "near"),
        ("17 mm near enough", "near"), ("just under 17 mm", "under"), ("a hair over 17 mm", "over"),
        ("nearly 17 mm", "under"), ("17 mm at most", ""), ("below 17 mm", ""),
        ("17 or so my notes tell me", ""),
    ],
)  # fmt: skip
def test_words_of_approximation(text: str, side: str) -> None:
    (one,) = find_mentions(text)
    assert one.about == side


def test_spans_hold_number_and_unit_but_no_approximating_word() -> None:
    text = "It's just under a quarter of an inch, say 6 mm deep."
    assert [one.written for one in find_mentions(text)] == ["a quarter of an inch", "6 mm"]
    for one in find_mentions(text):
        assert text[one.start : one.stop] == one.written


METRIC = st.integers(1, 99_999).map(lambda hundredths: Fraction(hundredths, 100))
INCHES = st.integers(1, 64 * 40).map(lambda parts: Fraction(parts, 64))


@given(METRIC)
def test_a_metric_length_said_is_found_exactly(mm: Fraction) -> None:
    printed = length_in(mm, System.METRIC, float(mm)).text
    for text in (printed, spoken(printed), spoken(printed).replace("-", " ")):
        (one,) = find_mentions(f"Set it to {text} and go on.")
        assert (one.value, one.unit) == (mm, "mm")


@given(INCHES)
def test_a_length_in_inches_said_is_found_exactly(inches: Fraction) -> None:
    printed = length_in(inches, System.IMPERIAL, float(inches) * 25.4).text
    for text in (printed, spoken(printed), spoken(printed).replace("-", " ")):
        (one,) = find_mentions(f"Make it {text} and go on.")
        assert (one.value, one.unit) == (inches, "in")


@given(st.text(max_size=300))
def test_any_text_is_read_without_a_fault(text: str) -> None:
    end = 0
    for one in find_mentions(text):
        assert one.start >= end
        end = one.stop
        assert text[one.start : one.stop] == one.written


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("the ninth mark", [(9, "ordinal")]),
        ("a third of it, for the sixth time", []),
        ("the dozen marks", [(12, "count")]),
        ("we sell them by the dozen", []),
        ("a fat sixteenth", [(Fraction(1, 16), "")]),
        ("a turn and a half", [(Fraction(3, 2), "count")]),
        ("a minute and a half", [(Fraction(3, 2), "min")]),
        ("eight hundred or so revs", [(800, "rpm")]),
        ("two inches three eighths", [(Fraction(19, 8), "in")]),
        ("one inch fifteen sixteenths", [(Fraction(31, 16), "in")]),
        ("ten twelve minutes", [(10, ""), (12, "min")]),
        ("thirty sixty ninety", [(30, ""), (60, ""), (90, "")]),
        ("eight sixteen thirty two", [(8, ""), (16, ""), (32, "")]),
        ("eight becomes sixteen", [(8, ""), (16, "")]),
        ("in two or three goes", [(2, "")]),
        ("the twenty-four plate's on the lathe", [(24, "count")]),
        ("four of those little grooves", [(4, "count")]),
        ("two of us, and five folk", [(2, "count"), (5, "count")]),
        ("An hour between coats is enough.", [(1, "h")]),
        ("A minute ago it was wet. A day at a time.", []),
        ("and it needs to hours to dry", [(2, "h")]),
        ("nine slash sixteen", [(Fraction(9, 16), "")]),
    ],
)
def test_what_people_say_besides(text: str, found: list[tuple[object, str]]) -> None:
    assert [(one.value, one.unit) for one in find_mentions(text)] == found


LEADS = (
    "you may take it up to {n}{unit} for the rest",
    "so i bring it down to {n}{unit} again",
    "and then to {n}{unit} once it runs true",
    "we go for {n}{unit} now",
    "this wants around {n}{unit} i think",
)


# the words are those of num2words, a general-purpose library; "twenty-five hundred" and a comma
# left out are common practice, no source
@pytest.mark.parametrize("lead", LEADS)
@pytest.mark.parametrize("unit", ["", " rpm", " revs", " millimetres"])
def test_a_large_number_behind_to_is_one_number(lead: str, unit: str) -> None:
    for number in (*range(1100, 3000, 100), 1270, 1850, 2040, 2475):
        if number % 1000 == 0:
            continue
        forms = {num2words(number), num2words(number).replace(",", "")}
        if number % 100 == 0:
            forms.add(num2words(number // 100) + " hundred")
        for form in (*forms, *(one.replace("-", " ") for one in forms)):
            said = lead.format(n=form, unit=unit)
            assert [one.value for one in find_mentions(said)] == [number], said


@pytest.mark.parametrize(
    ("text", "values"),
    [
        # papers that follow one another are still several, a "to" among them
        ("from one twenty to twenty then three twenty", [120, 220, 320]),
        ("one eighty two forty three twenty four hundred", [180, 240, 320, 400]),
        # and what a comma sets apart is not joined to a thousand
        ("a run of one thousand, two of them spare", [1000, 2]),
    ],
)
def test_what_is_several_numbers_stays_several(text: str, values: list[int]) -> None:
    assert [one.value for one in find_mentions(text)] == values


def test_a_board_called_by_its_thickness_is_no_size() -> None:
    # four quarters and more are the trade's names for boards (common practice, no source)
    for text in ("I had it as 8/4 in cherry.", "8/4 in thickness", "a 5/4 board", "12/4 walnut"):
        (one,) = find_mentions(text)
        assert one.dated, text
    for text in ("turn it to 5/4 in", "8/4 in across", "a 3/4 board", "2 8/4 in wide"):
        assert not any(one.dated for one in find_mentions(text)), text


def test_in_is_no_inch_before_a_noun_of_its_own_phrase() -> None:
    assert found("grits 320/220/150 in turn") == ["320", "220", "150"]
    assert "3 in" not in found("odds of 3/1 in favour")
