"""Figures as they are said; number words against a general-purpose library."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from studio.measure.speech import LARGEST, cardinal, decimal, said_pieces, spoken


@given(st.integers(0, LARGEST))
def test_whole_numbers_against_num2words(number: int) -> None:
    """num2words 0.5, British English; commas between groups are a matter of print."""
    assert cardinal(number) == num2words(number, lang="en_GB").replace(",", "")


@given(st.decimals(0, 9999, places=3))
def test_decimals_digit_by_digit(number: object) -> None:
    digits = f"{number:f}"
    words = decimal(digits).split("point ")[1].split()
    assert words == [num2words(int(digit)) for digit in digits.partition(".")[2]]


@pytest.mark.parametrize(
    ("printed", "said"),
    [
        ("5/8 in", "five eighths of an inch"),
        ("22 AWG", "twenty-two gauge"),
        ("0.414", "point four one four"),
        ("1/2 in", "half an inch"),
        ("1/8 in", "an eighth of an inch"),
        ("2 1/2 in", "two and a half inches"),
        ("2 23/64 in", "two and twenty-three sixty-fourths inches"),
        ("1 in", "one inch"),
        ("0.025 in", "point zero two five of an inch"),
        ("17.5 mm", "seventeen point five millimetres"),
        ("1,260 rpm", "one thousand two hundred and sixty revolutions a minute"),
        ("30°", "thirty degrees"),
        ("88%", "eighty-eight percent"),
        ("P180, P1200", "P one eighty, P twelve hundred"),
        ("#51", "number fifty-one"),
        ("P", "letter P"),
        ("CAMI 150, CAMI 400", "CAMI one fifty, CAMI four hundred"),
        ("0.08 oz", "point zero eight of an ounce"),
        ("0.2 fl oz", "point two of a fluid ounce"),
        ("0.36 mm short", "point three six millimetres short"),
        ("in groove 1, already cut", "in groove one, already cut"),
        ("hexadecagon", "hexadecagon"),
        ("7.9 m/s", "seven point nine metres a second"),
    ],
)
def test_printed_texts(printed: str, said: str) -> None:
    assert spoken(printed) == said


@pytest.mark.parametrize(
    ("printed", "said"),
    [
        ("48 mm", "forty-eight millimetre"),
        ("2 1/4 in", "two and a quarter inch"),
        ("45 s", "forty-five second"),
        ("15 min", "fifteen minute"),
        ("12 h", "twelve hour"),
        ("60°", "sixty degree"),
    ],
)
def test_lengths_times_and_angles_before_what_they_are_of(printed: str, said: str) -> None:
    """A forty-five second mark, a twelve hour wait (common practice, no source)."""
    assert spoken(printed, before_noun=True) == said


@pytest.mark.parametrize("text", ["A", "I", "Plan B", "I take a 5/8 in drill, P180 and CAMI 220."])
def test_a_running_text_is_said_whole_and_its_letters_are_words(text: str) -> None:
    pieces = list(said_pieces(text))
    said = "".join(piece.said for piece in pieces)
    assert "letter" not in said
    assert not any(sign.isdigit() for sign in said)
    ends = [*(piece.at for piece in pieces[1:]), len(text)]
    for piece, end in zip(pieces, ends, strict=True):
        printed = text[piece.at : end]
        assert piece.said == (spoken(printed) if piece.is_figure else printed)


@pytest.mark.parametrize("number", [-1, LARGEST + 1])
def test_out_of_range(number: int) -> None:
    with pytest.raises(ValueError, match="not put into words"):
        cardinal(number)
