"""Numbers in workshop talk."""

from __future__ import annotations

import pytest

from studio.measure.numbers import figures, find_numbers


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("mark 17.5 mm in", ["17.5"]),
        ("a blank of 2 1/4 in", ["2 1/4"]),
        ("2-1/4 in and 5/8-inch", ["2-1/4", "5/8"]),
        ("½ in, 2½ in", ["½", "2½"]),
        ("at 1,260 rpm", ["1,260"]),
        ("22 AWG", ["22"]),
        ("drill #51", ["51"]),
        ("12-stop plate", ["12"]),
        ("twelve marks", ["twelve marks"]),
        ("twenty-two gauge", ["twenty-two gauge"]),
        ("five eighths of an inch", ["five eighths of an inch"]),
        ("half an inch of wire", ["half an inch"]),
        ("diameter times point four one four", ["point four one four"]),
        ("two hundred and forty grit", ["two hundred and forty grit"]),
        ("one inch", ["one inch"]),
        ("for ten minutes", ["ten minutes"]),
    ],
)
def test_numbers_are_found(text: str, found: list[str]) -> None:
    assert [number.written for number in find_numbers(text)] == found


@pytest.mark.parametrize(
    "text",
    [
        "one full twist in",
        "mark both ways",
        "a second and third round",
        "the third mark",
        "keep two hands on the tool",
        "between the two poles",
        "the octagon's side",
        "turn it over",
        "in a moment",
    ],
)
def test_talk_is_left_alone(text: str) -> None:
    assert list(figures(text)) == []


@pytest.mark.parametrize(
    "text",
    ["keep two hands on the tool", "the other two in the rack", "the four corners come off first"],
)
def test_number_words_that_may_be_talk_are_found_as_such(text: str) -> None:
    (found,) = find_numbers(text)
    assert not found.certain


@pytest.mark.parametrize(
    "text",
    [
        "Put one in the vice", "Cut the bad half in the bandsaw", "cut in half in one go",
        "Stand with one foot forward", "Join the two halves", "Leave it for one day",
        "a hundred times",
    ],
)  # fmt: skip
def test_prose_with_words_like_units_is_no_figure(text: str) -> None:
    assert list(figures(text)) == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("P80", "80"),
        ("Ø18", "18"),
        ("M4 bolt", "4"),
        ("AWG22", "22"),
        ("an inch long", "an inch"),
        ("an inch and a quarter", "an inch and a quarter"),
        ("twelve equal divisions", "twelve equal divisions"),
        ("three small beads", "three small beads"),
        ("a sixteenth thick", "a sixteenth"),
        ("a couple of millimetres", "a couple of millimetres"),
        ("eight-sided", "eight-sided"),
        ("grit two-forty", "grit two-forty"),
    ],
)
def test_figures_in_workshop_talk(text: str, found: str) -> None:
    assert [number.written for number in figures(text)] == [found]


def test_phrases_that_are_no_figures_are_excused() -> None:
    text = "Print it in 3D after ISO 7010, 3 mm thick."
    assert [n.written for n in find_numbers(text, ("3D", "ISO 7010"))] == ["3"]
