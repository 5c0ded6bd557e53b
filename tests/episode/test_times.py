"""The times file: read back as written, and narration that changed after it was timed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.pace import Pace
from studio.episode.times import (
    SaidSentence,
    StepTimes,
    Times,
    as_text,
    is_as_written,
    placed,
    placed_words,
    read_times,
    said_words,
    script_digest,
    times_file,
)
from studio.errors import BadInput
from studio.measure.trace import plain


def timed(path: Path) -> Times:
    """Times for every step of a design, ten seconds each, words half a second apart."""
    steps = {}
    for number, step in enumerate(open_episode(path, timed=False).steps):
        start = 10_000 * number + 500
        words = tuple(
            (start + 400 * n, start + 400 * n + 300) for n in range(len(said_words(step.aloud)))
        )
        said = SaidSentence(
            text=f"“{step.id}” \\ said", start_ms=start, end_ms=words[-1][1], confidence=0.9,
            words=words,
        )  # fmt: skip
        steps[step.id] = StepTimes(
            id=step.id, digest=script_digest(step.aloud), start_ms=start, end_ms=words[-1][1],
            confidence=0.75, sentences=(said,),
        )  # fmt: skip
    return Times(source="cut.mp4", length_ms=90_000, steps=steps, pace=Pace(151, 60_010))


def test_a_file_is_read_back_as_it_was_written(globe: Path) -> None:
    times = timed(globe)
    text = as_text(times)
    assert is_as_written(text)
    assert not is_as_written(text.replace("[151,", "[152,"))
    times_file(globe).write_text(text, encoding="utf-8")
    assert read_times(globe) == times


def test_a_narration_with_i_and_a_is_captioned_at_its_words_times(globe: Path) -> None:
    opening = "I take the skew. A drop of glue, then plan B."
    text = globe.read_text(encoding="utf-8").replace("say: >\n", f"say: >\n      {opening}\n", 1)
    globe.write_text(text, encoding="utf-8")
    times = timed(globe)
    # the voice rests before the second sentence
    (first, *others) = times.steps.values()
    (said,) = first.sentences
    words = tuple((start + 4000, end + 4000) if n >= 4 else (start, end)
                  for n, (start, end) in enumerate(said.words))  # fmt: skip
    rested = replace(first, sentences=(replace(said, words=words),))
    steps = {one.id: one for one in (rested, *others)}
    times_file(globe).write_text(as_text(replace(times, steps=steps)), encoding="utf-8")
    episode = open_episode(globe)
    (drop,) = (cue for cue in episode.cues if plain(cue.text).startswith("A drop"))
    assert drop.start_ms == words[4][0]
    assert not [note for note in episode.notes if "spread evenly" in note]


@pytest.mark.parametrize("text", ["A", "I", "I cut. A drop.", "Plan B", "Hold A4 paper to it."])
def test_a_letter_in_a_narration_is_a_word(text: str) -> None:
    assert "letter" not in said_words(text)


def test_words_of_a_narration_are_told_where_they_are_printed() -> None:
    text = "The cap’s 2 1/2 in, “CAMI 220” and I."
    for word, at in placed_words(text):
        printed = text[at:].casefold().replace("’", "'")
        in_figure = printed.startswith(("2 1/2 in", "cami 220"))
        assert in_figure or printed.startswith(word)


def test_narration_that_changed_after_timing_is_told(globe: Path) -> None:
    times = timed(globe)
    steps = open_episode(globe, timed=False).steps
    before = placed(steps, {}, None, times)
    assert before.notes == ()
    assert set(before.words) == {step.id for step in steps}
    changed = (replace(steps[0], aloud=f"{steps[0].aloud} And one thing more."), *steps[1:])
    after = placed(changed, {}, None, times)
    # its start is kept, its words are not: captions would show one text at another's times
    assert after.starts == before.starts
    assert set(after.words) == {step.id for step in steps[1:]}
    (note,) = after.notes
    assert f"step {steps[0].id}: its narration has changed since cut.mp4 was timed" in note
    assert "record it again and run studio time" in note
    # points and commas are no change
    commas = (replace(steps[0], aloud=steps[0].aloud.replace(".", ",")), *steps[1:])
    assert placed(commas, {}, None, times).notes == ()


def test_a_mark_goes_before_a_time_and_order_is_told(globe: Path) -> None:
    times = timed(globe)
    steps = open_episode(globe, timed=False).steps
    marked = placed(steps, {steps[1].id: 12_345}, None, times)
    assert marked.starts[steps[1].id] == 12_345
    wrong = placed(steps, {steps[1].id: 200}, None, times)
    assert wrong.starts == {}
    assert f"step {steps[1].id} is said before step {steps[0].id}" in wrong.notes[0]


@pytest.mark.parametrize(
    "text", ["", "- no\n", "steps: {}\nlength: -3\n", "steps: {a: {start: x}}"]
)
def test_a_file_that_is_none_is_told(globe: Path, text: str) -> None:
    times_file(globe).write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as told:
        read_times(globe)
    assert "take it away, or run studio time again" in str(told.value.faults[0].write)
