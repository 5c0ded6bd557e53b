"""Numbers in workshop talk."""

from __future__ import annotations

import pytest

from studio.measure.numbers import find_numbers


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
    assert list(find_numbers(text)) == []
