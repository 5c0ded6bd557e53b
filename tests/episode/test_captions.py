"""Captions keep every word, their order, their lines and their time."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.episode.captions import LINE_CHARACTERS, LINES, LONGEST_MS, captions, speaking_ms
from studio.episode.records import Episode, TimedStep
from studio.measure.trace import mark, plain


def step(say: str, start: int, end: int, number: int = 1) -> TimedStep:
    return TimedStep(
        id=f"step-{number}",
        number=number,
        title="A step",
        tools=(),
        do="",
        say=say,
        shows=(),
        cautions=(),
        start_ms=start,
        end_ms=end,
    )


WORDS = st.text("abcdefghij", min_size=1, max_size=14)
ENDS = st.sampled_from(["", "", "", ",", ".", "!", ";"])
SAYING = st.lists(
    st.one_of(
        st.tuples(WORDS, ENDS).map("".join),
        st.just(mark("sphere.set_in", "2 23/64 in") + ","),
        st.just(mark("index.marks", "12")),
    ),
    min_size=1,
    max_size=60,
)


@given(SAYING, st.integers(500, 120_000), st.integers(60, 260))
def test_no_word_is_lost_and_nothing_overlaps(words: list[str], window: int, rate: int) -> None:
    say = " ".join(words)
    cues, _ = captions([step(say, 1000, 1000 + window)], rate)
    assert " ".join(plain(cue.text) for cue in cues).split() == plain(say).split()
    for cue in cues:
        assert 1000 <= cue.start_ms < cue.end_ms <= 1000 + window
        lines = plain(cue.text).split("\n")
        assert len(lines) <= LINES
        assert all(len(line) <= LINE_CHARACTERS for line in lines)
    for one, other in pairwise(cues):
        assert one.end_ms <= other.start_ms


@given(SAYING, st.integers(60, 260))
def test_with_time_enough_no_caption_stands_longer_than_seven_seconds(
    words: list[str], rate: int
) -> None:
    say = " ".join(words)
    cues, notes = captions([step(say, 0, 10_000_000)], rate)
    assert not notes
    assert all(cue.end_ms - cue.start_ms <= LONGEST_MS + 500 for cue in cues)


def test_a_figure_keeps_its_unit_on_its_line() -> None:
    say = "Set the dividers to a length of just about " + mark("sphere.set_in", "17.5 mm") + " now"
    (cue,) = captions([step(say, 0, 20_000)], 140)[0]
    assert any("17.5 mm" in line for line in plain(cue.text).split("\n"))


def test_words_that_do_not_fit_their_marks_are_told() -> None:
    say = " ".join(["word"] * 70)
    _, notes = captions([step(say, 0, 10_000)], 140)
    assert notes == (
        "step step-1: its narration takes 30.0 s at 140 words a minute, its marks leave 10.0 s",
    )


def test_the_turners_own_rate_is_used() -> None:
    assert speaking_ms("one two three four five six seven", 70) == 6000


def test_the_demo_reads_at_the_turners_rate(episode: Episode) -> None:
    assert not episode.notes
    for cue in episode.cues:
        words = len(plain(cue.text).split())
        assert words / (cue.end_ms - cue.start_ms) * 60_000 <= 180


OPENING = tuple(
    f" {word}"
    for word in (
        *("and", "or", "but", "then", "so", "that", "which", "until", "from", "with", "in", "on"),
        *("at", "to", "of", "by", "for", "the", "a", "an", "this"),
    )
)
LONG = [
    "Now we turn the outside of the wood until it is round and smooth and nice to hold in the hand",
    "Here I go on talking without any pause for a breath or a comma anywhere in this very long "
    "sentence that never seems to come to the end of what it wants to say about the piece",
    "Cut from the rim to the middle of the bowl with the bevel on the wood and then stop at the "
    "line which you drew with a pencil so that the wall stays even from the rim to the foot",
    "Slowly roll the edge of the tool over until the bead is round on both of its sides and then "
    "lift the handle a little to finish in the corner by the line.",
]


@pytest.mark.parametrize("say", LONG)
@pytest.mark.parametrize("rate", [90, 140, 180])
def test_without_punctuation_nothing_breaks_after_a_word_that_opens_a_phrase(
    say: str, rate: int
) -> None:
    cues, _ = captions([step(say, 0, 60_000)], rate)
    lines = [line for cue in cues for line in cue.text.split("\n")]
    assert " ".join(lines) == say
    assert len(lines) > 2
    assert not [line for line in lines[:-1] if f" {line}".endswith(OPENING)]
    assert all(len(line) <= LINE_CHARACTERS for line in lines)
    assert all(len(cue.text.split("\n")) <= LINES for cue in cues)


def test_a_break_is_rather_before_a_word_that_opens_a_phrase() -> None:
    say = "Turn the big end of it slowly round and then polish"
    assert captions([step(say, 0, 20_000)], 140)[0][0].text == (
        "Turn the big end of it slowly round\nand then polish"
    )


def test_a_number_keeps_its_unit_without_a_mark() -> None:
    say = "Set both dividers carefully across 25 millimetres measured along one side"
    for rate in (60, 100, 140):
        cues, _ = captions([step(say, 0, 30_000)], rate)
        lines = [line for cue in cues for line in cue.text.split("\n")]
        assert len(lines) > 1
        assert any("25 millimetres" in line for line in lines)


def test_a_marked_number_keeps_what_it_counts() -> None:
    say = "Walk round the whole of it and set off " + mark("index.marks", "12") + " pencil marks"
    for rate in (50, 60, 90, 140):
        cues, _ = captions([step(say, 0, 30_000)], rate)
        lines = [line for cue in cues for line in plain(cue.text).split("\n")]
        assert any("12 pencil" in line for line in lines)


@pytest.mark.parametrize("timed", [False, True])
def test_a_word_longer_than_a_line_is_told(timed: bool) -> None:
    word = "p" * 43
    say = f"Look at {word} here and {'q' * 42} there."
    found = {"step-1": [(1000 * n, 1000 * n + 500) for n in range(7)]} if timed else None
    cues, notes = captions([replace(step(say, 0, 30_000), aloud=say)], 140, found)
    assert word in "\n".join(cue.text for cue in cues).split("\n")
    assert notes == (
        f"step step-1: “{word}” is longer than a caption's line of 42 characters (43); "
        "it stands on a line of its own: write it in shorter words",
    )
