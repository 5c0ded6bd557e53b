"""Figures as hosts and viewers type them are read like those that a design prints.

The forms are common practice in captions, no source.
"""

from __future__ import annotations

import pytest

from studio.episode.times import said_words
from studio.voice.typed_figures import typed_words


def words(text: str) -> tuple[str, ...]:
    return tuple(one.word for one in typed_words(text))


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("Stay below 940 RPM.", "Stay below 940 rpm."),
        ("at 1,120 RPMs", "at 1,120 rpm"),
        ("a 2⅛″ ball", "a 2 1/8 in ball"),
        ('2-1/8" deep', "2 1/8 in deep"),
        ("½″ deep", "1/2 in deep"),
        ("1⁄2 in. deep", "1/2 in deep"),
        ('The bundle is .071", so', "The bundle is 0.071 in, so"),
        ("22ga wire", "22 AWG wire"),
        ("22 ga. wire", "22 AWG wire"),
        ("5/8ths of the wood", "5/8 of the wood"),
        ("a 12-mm hole, 6MM deep", "a 12 mm hole, 6 mm deep"),
        ("1 hr, then 45 sec", "1 h, then 45 s"),
        ("MARK 3/8 IN FROM THE END", "mark 3/8 in from the end"),
        # what is printed or said so stays as it is
        ("19/32nds inch gap", "19/32 inch gap"),
        ("Sand from CAMI 150 to P400, drill #49.", "Sand from CAMI 150 to P400, drill #49."),
        ("a 5-axis mill, 2-3 coats", "a 5-axis mill, 2-3 coats"),
        ("940 revs", "940 revs"),
        ("I SAID IN THE MIDDLE", "i said in the middle"),
    ],
)
def test_a_typed_figure_is_said_as_the_printed_one(typed: str, printed: str) -> None:
    assert words(typed) == said_words(printed)


def test_a_position_in_digits_is_said_in_words() -> None:
    assert words("the 3rd groove, the 21st cut") == (
        *("the", "third", "groove"), *("the", "twenty", "first", "cut"),
    )  # fmt: skip


def test_each_word_is_placed_where_it_is_typed() -> None:
    text = "Go to 940 RPM, then 2⅛″ round."
    by_place = {one.word: one.at for one in typed_words(text)}
    for word in ("go", "to", "then", "round"):
        assert text.lower().index(word) == by_place[word]
    assert by_place["minute"] == text.index("940")
    assert by_place["eighth"] == text.index("2⅛")
