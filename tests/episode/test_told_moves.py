"""A figure that stands at other words than it did is told otherwise; other words are not."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from functools import cache
from itertools import combinations

import pytest

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.episode.times import sentences
from studio.episode.told_texts import changed_sentences, numbers
from studio.measure.numbers import find_numbers, find_positions
from studio.measure.trace import mark, plain, spans
from studio.resources import shipped
from studio.turning.sphere import figure_sides

DESIGNS = ("globe", "lobed-globe", "crowned-globe", "twelve-lobe-drop")

DRILL = "The bundle measures 1.62 mm, so drill 1.7 mm, 12 mm deep, and glue it in."
GROOVE = "Now 6 mm wide, 1.8 mm deep, and not above 1,270 rpm."
ROUNDS = "From each corner, mark 7.1 mm both ways. Cut. Then do it again with 3.2 mm."
SIDE = "Set dividers to 17.5 mm, and mark in from every corner. The octagon's side is 25 mm."
INDEX = "12 marks round the equator: every 2 stops on the 24 plate."
ROUGH = "Turn a cylinder of 60 mm. While it is rough, stay below 800 rpm."

EXCHANGED = (
    (DRILL, DRILL.replace("1.7 mm, 12 mm deep", "12 mm, 1.7 mm deep")),
    (DRILL, "The bundle is 1.62 mm: make the hole 1.7 mm deep, with a drill of 12 mm."),
    (GROOVE, "Now 1.8 mm wide, 6 mm deep, and not above 1,270 rpm."),
    (GROOVE, "Cut it 1.8 mm wide and 6 mm deep, not above 1,270 rpm."),
    (ROUNDS, ROUNDS.replace("7.1", "?").replace("3.2", "7.1").replace("?", "3.2")),
    (ROUNDS, "Mark 3.2 mm both ways from every corner, and cut. Do that once more with 7.1 mm."),
    (SIDE, "Dividers to 25 mm: mark in from every corner. That leaves the side at 17.5 mm."),
    (INDEX, "2 marks round the equator: every 12 stops on the 24 plate."),
    ("Sand from P180 to P400.", "Sand from P400 to P180."),
    ("Sand from P180 up to P400.", "Begin to sand with P400, and go on to P180."),
    ("It is 64 mm square, 93 mm long.", "It is 93 mm square, 64 mm long."),
    ("Mark 12 mm. Turn it.", "Mark it. Turn 12 mm."),
    ("Mark 12 mm from each corner.", "Mark off 14 mm from each corner. Later turn it to 12 mm."),
    ("Mark every fourth stop.", "Mark every fifth stop."),
    ("The third groove meets the first groove.", "The first groove meets the third groove."),
)

REWORDED = (
    (DRILL, "Drill 1.7 mm, 12 mm deep, as the bundle measures 1.62 mm, and glue it in."),
    (DRILL, "Measured, the bundle is 1.62 mm. Take the 1.7 mm drill, go 12 mm in, and glue it."),
    (GROOVE, "Cut it 1.8 mm deep and 6 mm wide, not above 1,270 rpm."),
    (GROOVE, "Not above 1,270 rpm: cut it 6 mm wide and 1.8 mm deep."),
    (ROUNDS, "Mark 7.1 mm both ways from every corner, and cut. Do that once more with 3.2 mm."),
    (SIDE, "Dividers to 17.5 mm: mark in from every corner. That leaves the octagon's side "
           "at 25 mm."),
    (INDEX, "On the 24 plate, every 2 stops: 12 marks round the equator."),
    (ROUGH, "Make a round bar of 60 mm across, and run the lathe slower than 800 rpm."),
    (ROUGH, "While it is rough, stay below 800 rpm. Turn a cylinder, 60 mm across."),
    ("Mark 12 mm. Turn it.", "Turn it round. Mark off 12 mm."),
    ("Mark 12 mm from each corner, then cut 60 mm.",
     "Mark 12 mm from each corner. Then cut 60 mm."),
    ("A is 2 mm. B is 3 mm.", "B is 3 mm, and A is 2 mm."),
    ("The cap is 2 mm. The foot is 2 mm.", "The cap and the foot are 2 mm."),
    ("First, mark 12 mm.", "Mark 12 mm."),
    ("Mark every fourth stop on the plate.", "On the plate, mark every fourth stop."),
)  # fmt: skip


@pytest.mark.parametrize(("one", "other"), EXCHANGED)
def test_figures_exchanged_are_changes_both_ways(one: str, other: str) -> None:
    for old, new in ((one, other), (other, one)):
        changes = list(changed_sentences(old, new))
        assert changes
        for was, now in changes:
            assert was in old
            assert now in new


@pytest.mark.parametrize(("one", "other"), REWORDED)
def test_figures_that_keep_their_words_are_none(one: str, other: str) -> None:
    assert list(changed_sentences(one, other)) == []
    if "foot" not in one:  # said twice is more than once
        assert list(changed_sentences(other, one)) == []


@cache
def episode(design: str) -> Episode:
    return open_episode(shipped("designs") / f"{design}.yaml")


def texts(design: str) -> Iterator[str]:
    """Every instruction and narration, marked."""
    for step in episode(design).steps:
        yield from (step.do, step.say)


def exchanged(marked: str, first: int, second: int) -> str:
    """The text with two of its figures each in the other's place, plain."""
    text, marks = spans(marked)
    out, at = "", 0
    for number, one in enumerate(marks):
        instead = {first: marks[second], second: marks[first]}.get(number, one)
        out += text[at : one.start] + mark(instead.name, instead.text)
        at = one.stop
    return plain(out + text[at:])


@pytest.mark.parametrize("design", DESIGNS)
def test_any_two_figures_of_a_text_that_are_exchanged_are_found(design: str) -> None:
    """Of one sentence, and of two: the texts are short."""
    tried = 0
    for marked in texts(design):
        text, marks = spans(marked)
        for first, second in combinations(range(len(marks)), 2):
            if marks[first].text == marks[second].text:
                continue
            new = exchanged(marked, first, second)
            assert list(changed_sentences(text, new)), new
            assert list(changed_sentences(new, text)), new
            tried += 1
    assert tried > 50


def is_figure(word: str) -> bool:
    return figure_sides(word) is not None


LIMITS = ("not", "never", "above", "below", "over", "under")
"""Another word for one of these says another limit."""


def reworded(text: str, chance: random.Random) -> str:
    """Every third word or so another one; numbers, figures' names and positions as they are."""
    kept = [*find_numbers(text), *find_positions(text)]
    out, at = "", 0
    for word in re.finditer(r"\b[A-Za-z]{3,}\b", text):
        held = any(one.start - 1 <= word.end() and word.start() <= one.stop + 8 for one in kept)
        if held or is_figure(word[0]) or word[0].casefold() in LIMITS or chance.random() > 0.35:
            continue
        new = chance.choice(("splendid", "gently", "other", "along"))
        # a small letter behind "in." would make that the short form of an inch
        out += text[at : word.start()] + (new.capitalize() if word[0][0].isupper() else new)
        at = word.end()
    return out + text[at:]


@pytest.mark.parametrize("design", DESIGNS)
def test_other_words_and_another_order_of_sentences_are_no_change(design: str) -> None:
    chance = random.Random(6)
    tried = 0
    for marked in texts(design):
        text = " ".join(plain(marked).split())
        said = list(sentences(text))
        shuffled = chance.sample(said, len(said))
        others = (
            reworded(text, chance),
            " ".join(shuffled),
            f"Well, {text[:1].lower()}{text[1:]} That is all.",
            text.replace(". ", ", and "),
        )
        for new in others:
            assert list(changed_sentences(text, new)) == [], new
            assert list(changed_sentences(new, text)) == [], new
            tried += 1
    assert tried > 40


def test_positions_are_numbers_of_a_text() -> None:
    assert numbers("Mark every fourth stop, then the twenty-first mark.") == (
        "fourth", "twenty-first",
    )  # fmt: skip
    assert numbers("First cut, then wait a second.") == ()


def test_a_text_of_many_figures_turned_round_without_a_common_word_is_told_whole() -> None:
    old = " ".join(f"Cut {n}.5 mm at place {n}." for n in range(40))
    new = " ".join(f"Turn {n}.5 mm on spot {n}." for n in reversed(range(40)))
    assert len(list(changed_sentences(old, new))) == 40


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("Step 12 marks round.", "Step every fourth mark of the 12 marks round."),
        ("Step 12 marks round.", "Step every other one of the 12 marks round."),
        ("Drill 12 mm deep.", "Drill twice 12 mm deep."),
        ("Cut it 3 mm deep.", "Cut it half of 3 mm deep."),
        ("Keep below 800 rpm.", "Keep above 800 rpm."),
        ("Never go over 800 rpm.", "Go over 800 rpm."),
    ],
)
def test_a_figure_said_otherwise_by_the_words_at_it_is_a_change(old: str, new: str) -> None:
    assert list(changed_sentences(old, new)) == [(old, new)]
    assert list(changed_sentences(f"Look. {old} Sand it.", f"{new} Sand it.")) == [(old, new)]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("Keep below 800 rpm.", "Stay under 800 rpm."),
        ("Keep below 800 rpm.", "Never go above 800 rpm."),
        ("Keep below 800 rpm here.", "800 rpm is the limit here."),
        ("Use every fourth stop of 24.", "On 24, use every fourth stop."),
        ("Cut 6 grooves.", "Cut 6 grooves. Twice as many lobes come of it."),
    ],
)
def test_the_same_limit_in_other_words_is_no_change(old: str, new: str) -> None:
    assert list(changed_sentences(old, new)) == []
