"""Numbers in German texts, in digits and in words."""

from __future__ import annotations

import pytest
from num2words import num2words

from studio.language import speaking
from studio.measure.german_numbers import figure_sides
from studio.measure.numbers import figures, find_numbers
from studio.measure.speech import spoken


def written(text: str) -> list[str]:
    with speaking("de"):
        return [one.written for one in find_numbers(text)]


def test_digits_have_a_comma_and_points_between_thousands() -> None:
    text = "17,5 mm (11/16 Zoll), 1.260 U/min, 2 23/64 Zoll, 0,064; Schritt 3. Dann 12."
    assert written(text) == ["17,5", "11/16", "1.260", "2 23/64", "0,064", "3", "12"]


@pytest.mark.parametrize("number", [*range(2, 130), 144, 250, 999, 1000, 1260, 2500, 12000])
def test_number_words_before_what_they_count_are_figures(number: int) -> None:
    """Outside: num2words, which writes German cardinals."""
    words = num2words(number, lang="de")
    for thing in ("Millimeter", "Marken", "U/min"):
        with speaking("de"):
            (found,) = figures(f"Es sind {words} {thing} hier")
        assert found.written.startswith(words), (words, thing)


@pytest.mark.parametrize("number", [17.5, 0.25, 2.5, 24.8])
def test_decimals_in_words_are_figures(number: float) -> None:
    """Outside: num2words."""
    words = num2words(number, lang="de")
    with speaking("de"):
        (found,) = figures(f"genau {words} lang")
    assert found.written == words


@pytest.mark.parametrize(
    "number",
    ["anderthalb Zoll", "eineinhalb Millimeter", "zweieinhalb Umdrehungen", "halber Zoll",
     "halben Millimeter", "ein Dutzend Marken", "Zwei Dutzend kleine Marken", "Dutzend Rillen"],
)  # fmt: skip
def test_halves_and_dozens_before_what_they_count_are_figures(number: str) -> None:
    with speaking("de"):
        (found,) = figures(f"Hier {number} weiter.")
    assert found.written == number


@pytest.mark.parametrize("number", [*range(5, 100)])
def test_the_name_of_a_figure_is_its_number_with_eck(number: int) -> None:
    """Outside: num2words, which writes German cardinals."""
    word = num2words(number, lang="de").capitalize()
    for named in ("eck", "ecks", "ecken", "eckseite"):
        assert figure_sides(word + named) == number
    assert figure_sides(word) is None


@pytest.mark.parametrize(
    "word", ["Ecke", "Dreieck", "Viereck", "Zweck", "Entdeckung", "Rundstabecke", "Vieleck"]
)
def test_other_words_name_no_figure(word: str) -> None:
    assert figure_sides(word) is None


@pytest.mark.parametrize(
    "text",
    [
        "Dutzende Male geübt, ein halbes Dutzend Leute sah zu.",
        "Auf halber Höhe anhalten, die halbe Marke bleibt.",
        "Ein Schmuckstück zum Aufhängen: eine Kugel an einem Draht.",
        "Erst von Hand drehen, dann noch einmal.",
        "Der Achtsame dreiht nicht, die Viertelung bleibt, hundertprozentig.",
    ],
)
def test_talk_is_no_figure(text: str) -> None:
    with speaking("de"):
        assert list(figures(text)) == []


def test_a_lone_number_word_may_be_talk() -> None:
    with speaking("de"):
        found = list(find_numbers("die anderen drei, alle zwei"))
    assert [(one.written, one.certain) for one in found] == [("drei", False), ("zwei", False)]


def test_german_voices_read_figures_as_they_are_printed() -> None:
    assert spoken("17.5 mm") == "seventeen point five millimetres"
    with speaking("de"):
        assert spoken("17,5 mm") == "17,5 mm"
