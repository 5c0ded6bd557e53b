"""Captions of a second language stand where the first one's do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pysubs2
import pytest

from studio.episode.captions import (
    LONGEST_MS,
    SHORTEST_MS,
    captions_like,
)
from studio.episode.languages import in_languages
from studio.episode.phrases import LINE_CHARACTERS, LINES
from studio.episode.records import Cue, Episode, TimedStep
from studio.film.captions import captions_in_language
from studio.language import speaking
from studio.measure.trace import plain


def both(globe: Path) -> tuple[Episode, Episode]:
    first, german = in_languages(globe, ["de"])
    return first, german


def test_each_caption_lies_in_its_steps_sentences(globe: Path) -> None:
    first, german = both(globe)
    for ours, theirs in zip(first.steps, german.steps, strict=True):
        assert (ours.start_ms, ours.end_ms) == (theirs.start_ms, theirs.end_ms)
        assert ours.start_ms is not None
        assert ours.end_ms is not None
        said = [c for c in first.cues if ours.start_ms <= c.start_ms < ours.end_ms]
        read = [c for c in german.cues if ours.start_ms <= c.start_ms < ours.end_ms]
        assert said[0].start_ms == read[0].start_ms
        assert read[-1].end_ms <= said[-1].end_ms
        words = " ".join(plain(one.text).replace("\n", " ") for one in read)
        assert words == " ".join(plain(theirs.say).split())


def test_lines_hold_the_rules_of_the_first_language(globe: Path) -> None:
    _, german = both(globe)
    for cue in german.cues:
        lines = plain(cue.text).split("\n")
        assert len(lines) <= LINES
        assert all(len(line) <= LINE_CHARACTERS for line in lines)
        assert SHORTEST_MS <= cue.end_ms - cue.start_ms <= LONGEST_MS
    for one, following in zip(german.cues, german.cues[1:], strict=False):
        assert one.end_ms <= following.start_ms


def test_the_files_are_read_by_others(globe: Path, tmp_path: Path) -> None:
    """Outside: pysubs2 reads both forms."""
    _, german = both(globe)
    files = captions_in_language(german)
    assert set(files) == {
        "captions.de.srt", "captions.de.vtt", "chapters.de.vtt", "chapters.de.ffmeta",
    }  # fmt: skip
    for name in ("captions.de.srt", "captions.de.vtt"):
        read = pysubs2.SSAFile.from_string(files[name].decode("utf-8"))
        assert [(one.start, one.end) for one in read] == [
            (one.start_ms, one.end_ms) for one in german.cues
        ]
    assert b"24,8 mm" in files["captions.de.srt"]


def step(say: str) -> TimedStep:
    return TimedStep(
        id="one", number=1, title="", tools=(), do="", say=say, shows=(), cautions=(),
        start_ms=0, end_ms=20_000,
    )  # fmt: skip


CUES = (
    Cue(start_ms=1_000, end_ms=4_000, text="Turn it round."),
    Cue(start_ms=9_000, end_ms=12_000, text="Then sand it."),
)
FIRST = step("Turn it round. Then sand it.")


def test_each_sentence_keeps_its_sentences_time() -> None:
    with speaking("de"):
        cues, notes = captions_like([step("Rund drehen. Dann schleifen.")], [FIRST], CUES)
    assert [(c.start_ms, c.end_ms, c.text) for c in cues] == [
        (1_000, 4_000, "Rund drehen."), (9_000, 12_000, "Dann schleifen."),
    ]  # fmt: skip
    assert notes == ()


def test_a_sentence_said_before_the_one_in_front_keeps_its_time() -> None:
    turned = (replace(CUES[0], text="Then sand it."), replace(CUES[1], text="Turn it round."))
    with speaking("de"):
        cues, notes = captions_like([step("Rund drehen. Dann schleifen.")], [FIRST], turned)
    assert [(c.start_ms, c.text) for c in cues] == [
        (1_000, "Dann schleifen."), (9_000, "Rund drehen."),
    ]  # fmt: skip
    assert notes == ()


def test_another_number_of_sentences_is_told_and_spread() -> None:
    with speaking("de"):
        cues, (note,) = captions_like([step("Rund drehen, dann schleifen.")], [FIRST], CUES)
    assert cues[0].start_ms == 1_000
    assert cues[-1].end_ms <= 12_000
    assert "sentences in this language: 1, in the first: 2" in note


def test_a_sentence_too_long_for_its_time_is_told() -> None:
    long = "Drehen Sie das Werkstück langsam und gleichmäßig rund, bis keine Fläche mehr bleibt."
    short = (replace(CUES[0], end_ms=2_500), CUES[1])
    with speaking("de"):
        cues, notes = captions_like([step(f"{long} Dann schleifen.")], [FIRST], short)
    assert any("too short to be read" in note for note in notes)
    assert all(one.end_ms <= 2_500 for one in cues[:-1])


def test_a_step_that_is_silent_in_the_second_language_has_no_caption() -> None:
    assert captions_like([step("")], [FIRST], CUES) == ((), ())


@pytest.mark.parametrize("ending", ['."', ".”", "!", "?"])
def test_quotes_end_a_sentence_too(ending: str) -> None:
    with speaking("de"):
        cues, _ = captions_like([step(f"Rund drehen{ending} Dann schleifen.")], [FIRST], CUES)
    assert len(cues) == 2


def test_a_voice_that_was_timed_times_the_second_language_too(
    globe: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    edit(globe, "    rough: 0:00\n", "    rough: 0:03\n")
    first, german = both(globe)
    assert first.cues[0].start_ms == german.cues[0].start_ms == 3_000
