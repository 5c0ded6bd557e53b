"""Captions keep every word, their order, their lines and their time."""

from __future__ import annotations

from itertools import pairwise

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
