"""What stays on one line, and where a sentence ends; examples invented."""

from __future__ import annotations

from math import ceil

import pytest

from studio.episode.times import sentences
from studio.film.lettering import SEMIBOLD, length_of, set_lines, typeface
from studio.language import language_of, speaking
from studio.measure.together import leads

SENTENCES = {
    "en": [
        ["Ask Dr. Fern about it.", "Then turn."],
        ["Use a No. 4 pencil.", "No.", "Do it again."],
        ["Leave approx. half of it, e.g. the foot.", "Stop!"],
        ["It is 2 in. wide and 3 in. long.", "Turn it round."],
        ["Bring oak, ash etc. with you.", "Stop at 5 p.m.", "Go home."],
        ["He said “Stop.”", "We did."],
    ],
    "de": [
        ["Nimm ca. die Hälfte, z. B. den Fuß.", "Halt!"],
        ["Bleistift Nr. 4, bzw. Kreide.", "Dann drehen."],
        ["Bei max. Drehzahl usw.", "Dann drehen."],
    ],
}


@pytest.mark.parametrize(
    ("tag", "said"), [(tag, said) for tag, each in SENTENCES.items() for said in each]
)
def test_a_short_forms_point_ends_no_sentence(tag: str, said: list[str]) -> None:
    with speaking(language_of(tag)):
        assert sentences(" ".join(said)) == tuple(said)


def test_a_short_form_of_one_language_is_none_of_the_other() -> None:
    assert leads("approx.", "half")
    with speaking(language_of("de")):
        assert not leads("approx.", "half")
        assert leads("B.", "Eiche", "z.")
        assert not leads("B.", "Eiche", "Punkt")


def test_a_cards_line_does_not_end_behind_a_short_form() -> None:
    font = typeface(SEMIBOLD, 20)
    for room in range(ceil(length_of(font, "approx. 12 mm")), 300, 5):
        lines = set_lines("Turned by Dr. Fern with approx. 12 mm left at No. 4", font, room)
        assert not [one for one in lines if one.endswith(("Dr.", "approx.", "No.", "12"))], room


def test_a_paper_stays_with_its_scale() -> None:
    font = typeface(SEMIBOLD, 20)
    for room in range(ceil(length_of(font, "CAMI 150,")), 300, 5):
        lines = set_lines("CAMI 150, CAMI 220, then P 240", font, room)
        assert not [one for one in lines if one.endswith(("CAMI", "P"))], room


def test_where_a_card_has_too_little_room_a_figure_stays_with_its_unit() -> None:
    font = typeface(SEMIBOLD, 20)
    assert set_lines("approx. 12 mm", font, 90) == ["approx.", "12 mm"]
