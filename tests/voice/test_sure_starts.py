"""A step's start is sure only where its own first words stand; settled words made by hand."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from studio.episode.times import as_text, ask_unsaid
from studio.voice.script import Script, ScriptSentence
from studio.voice.settle import Settled
from studio.voice.sound import Recording
from studio.voice.timing import SURE, Timing, _timing

TEXTS = (
    ("mount", "Put the blank between centres."),
    ("rough", "Stand out of the line of the wood."),
    ("rough", "Turn it round with the roughing gouge."),
    ("rough", "Keep the bevel on the wood."),
)


def script() -> Script:
    found: list[ScriptSentence] = []
    for step, text in TEXTS:
        words = tuple(text.lower().rstrip(".").split())
        found.append(ScriptSentence(step, text, words, found[-1].stop if found else 0))
    return Script(tuple(found), {"mount": "a", "rough": "b"})


def timed(
    missing: Sequence[int] = (),
    unsure: Sequence[int] = (),
    voice: Sequence[tuple[int, int]] = (),
    removed: int = 0,
) -> Timing:
    """Each word takes 0.3 s; those ``missing`` have no time, and their time has the ``voice``.

    Words are numbered through the script; the step ``rough`` begins with word 5. ``removed``
    hundredths of a second are cut from the recording before its second sentence.
    """
    one = script()
    begins = tuple(
        None if n in missing else 30 * n - (removed if n >= 13 else 0)
        for n in range(len(one.words))
    )
    placed = tuple(None if at is None else (at, at + 28) for at in begins)
    sure = tuple(at is not None and n not in unsure for n, at in enumerate(begins))

    def voiced(start: int, stop: int) -> int:
        return sum(max(0, min(stop, high) - max(start, low)) for low, high in voice)

    return _timing(one, Settled(placed, sure), voiced, Recording("a.wav", 20_000))


FIRST = range(5, 13)


def test_a_step_heard_from_its_first_word_on_is_sure() -> None:
    timing = timed()
    assert timing.times.steps["rough"].start_ms == 1500
    assert timing.times.steps["rough"].confidence == 1.0
    assert not timing.unsure


def test_a_first_sentence_that_was_not_understood_asks_for_a_mark() -> None:
    timing = timed(missing=FIRST, voice=[(150, 390)])
    assert timing.unsure == ("rough",)
    assert timing.times.steps["rough"].start_ms is None
    assert 0 < timing.times.steps["rough"].confidence < SURE
    assert "step rough: not sure where it starts" in timing.notes()[0]


@pytest.mark.parametrize(
    ("voice", "sure"), [([], True), ([(150, 190)], True), ([(150, 180), (200, 240)], False)]
)
def test_a_first_sentence_that_was_left_out_leaves_the_next_one_sure(
    voice: list[tuple[int, int]], sure: bool
) -> None:
    """Less than half a second of breath or tool is no sentence."""
    timing = timed(missing=FIRST, voice=voice, removed=120)
    assert timing.left_out == (("rough", TEXTS[1][1]),)
    assert (timing.times.steps["rough"].start_ms == 2700) is sure
    assert (timing.unsure == ()) is sure


def test_what_was_not_found_at_the_beginning_of_the_first_sentence_counts() -> None:
    assert timed(missing=range(5, 9)).unsure == ("rough",)
    assert timed(missing=range(5, 6)).unsure == ()


def test_a_first_sentence_of_words_that_stand_unsurely_asks_for_a_mark() -> None:
    assert timed(unsure=FIRST).unsure == ("rough",)


def test_a_long_word_in_front_does_not_account_for_a_whole_sentence() -> None:
    """The last word of the step before was lined up over the sentence that was not heard."""
    one = script()
    words = [(30 * n, 30 * n + 28) if n not in FIRST else None for n in range(len(one.words))]
    words[4] = (120, 388)
    sure = tuple(word is not None for word in words)
    said = Settled(tuple(words), sure)
    timing = _timing(one, said, lambda start, stop: stop - start, Recording("a.wav", 20_000))
    assert timing.unsure == ("rough",)


@pytest.mark.parametrize(("early", "sure"), [(0, True), (20, True), (60, False)])
def test_a_first_word_that_was_not_heard_may_not_stand_far_from_the_second(
    early: int, sure: bool
) -> None:
    """It was lined up in a noise before the voice."""
    one = script()
    words = [(30 * n, 30 * n + 28) for n in range(len(one.words))]
    words = [(at[0] + 100, at[1] + 100) if n >= 5 else at for n, at in enumerate(words)]
    words[5] = (250 - early, 278 - early)
    heard = tuple(n != 5 for n in range(len(words)))
    timing = _timing(one, Settled(tuple(words), heard), lambda *_: 0, Recording("a.wav", 20_000))
    assert (timing.unsure == ()) is sure


def said_in(order: Sequence[int], moved: Sequence[int], missing: Sequence[int] = ()) -> Timing:
    """Sentences said one after the other in an order of their own, a voice wherever one was."""
    one = script()
    words: list[tuple[int, int] | None] = [None] * len(one.words)
    at = 0
    for number in order:
        for place in range(one.sentences[number].first, one.sentences[number].stop):
            words[place] = (at, at + 28) if number not in missing else None
            at += 30
    settled = Settled(
        tuple(words), tuple(map(bool, words)), moved=tuple((number, None) for number in moved)
    )
    return _timing(one, settled, lambda start, stop: stop - start, Recording("a.wav", 20_000))


@pytest.mark.parametrize(
    ("order", "moved"), [([0, 3, 1, 2], [3]), ([0, 2, 1, 3], [2]), ([0, 3, 2, 1], [3, 2])]
)
def test_a_step_said_in_another_order_begins_with_its_first_word_said(
    order: list[int], moved: list[int]
) -> None:
    timing = said_in(order, moved)
    assert timing.times.steps["rough"].start_ms == 1500
    assert timing.times.steps["rough"].end_ms == 300 * len(script().words) - 20
    assert timing.unsure == ()


def test_what_was_not_understood_before_a_sentence_said_early_asks_for_a_mark() -> None:
    assert said_in([0, 1, 3, 2], [3], missing=[1]).unsure == ("rough",)


def test_a_sentence_said_among_another_steps_does_not_begin_its_own() -> None:
    timing = said_in([3, 0, 1, 2], [3])
    assert timing.times.steps["mount"].start_ms == 1800
    assert timing.times.steps["rough"].start_ms == 3300


def test_a_step_that_was_not_said_is_told_once_with_both_ways_out() -> None:
    one = script()
    words = tuple(
        None if place < one.sentences[1].stop else (30 * place, 30 * place + 28)
        for place in range(len(one.words))
    )
    timing = _timing(
        one, Settled(words, tuple(map(bool, words))), lambda *_: 0, Recording("a.wav", 20_000)
    )
    (step,) = timing.unsure
    (told,) = [text for text in timing.notes() if text.startswith(f"step {step}:")]
    assert "not a word of it was found in a.wav" in told
    assert f"marks: the line {step}:" in told
    assert "take the step out of the design" in told
    assert f"# it was not said: {ask_unsaid(step)}" in as_text(timing.times)
