"""A sentence said again, in a recap or a teaser, leaves its step where the film does it."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from studio.voice.recognise import Heard
from studio.voice.script import Script, ScriptSentence
from studio.voice.settle import Settled, settle

MARK, CUT, GLASSES, SAND, HANG = (
    "Set the dividers and mark in from every corner.",
    "Cut the wire for this one to length.",
    "Put on your glasses before you do that.",
    "Sand it with three papers and wait between.",
    "Hang it up and look at it from all sides.",
)
STEPS = {MARK: "mark", CUT: "wire", GLASSES: "wire", SAND: "sand", HANG: "hang"}
ASIDE = "to go over all that once more with you"


def words_of(text: str) -> tuple[str, ...]:
    return tuple(text.lower().rstrip(".").split())


def script() -> Script:
    found: list[ScriptSentence] = []
    for text, step in STEPS.items():
        found.append(ScriptSentence(step, text, words_of(text), found[-1].stop if found else 0))
    return Script(tuple(found), dict.fromkeys(STEPS.values(), "a"))


def said(*texts: str) -> tuple[Settled, list[float]]:
    """Each text three seconds behind the one before; and the seconds at which sentences begin."""
    heard = [
        Heard(word, 300 * number + 25 * n, 300 * number + 25 * n + 20)
        for number, text in enumerate(texts)
        for n, word in enumerate(words_of(text))
    ]
    one = script()

    def voiced(start: int, stop: int) -> int:
        return sum(max(0, min(stop, word.stop) - max(start, word.start)) for word in heard)

    settled = settle(one, heard, voiced, 300 * len(texts), None)
    first = [settled.words[sentence.first] for sentence in one.sentences]
    return settled, [word[0] / 100 if word is not None else -1.0 for word in first]


@pytest.mark.parametrize(
    ("before", "behind"),
    [
        ([], [ASIDE, CUT]),
        ([], [ASIDE, MARK, CUT, SAND]),
        ([], [ASIDE, GLASSES]),
        ([HANG, ASIDE], []),
        ([CUT, ASIDE], [ASIDE, SAND]),
    ],
)
def test_a_sentence_said_again_out_of_order_moves_no_step(
    before: Sequence[str], behind: Sequence[str]
) -> None:
    settled, begins = said(*before, *STEPS, *behind)
    assert begins == [3.0 * (len(before) + n) for n in range(len(STEPS))]
    assert settled.moved == ()
    sentences = [one.text for one in script().sentences]
    again = {text for text in (*before, *behind) if text != ASIDE}
    assert {sentences[number] for number in settled.repeated} == again


def test_a_word_or_two_more_do_not_take_a_sentence_out_of_its_place() -> None:
    _, begins = said(MARK, "Cut the wire for this to length.", GLASSES, SAND, HANG, ASIDE, CUT)
    assert begins == [0.0, 3.0, 6.0, 9.0, 12.0]


def test_the_whole_sentence_counts_before_the_half_of_it_that_was_said_in_order() -> None:
    _, begins = said(MARK, "Cut the wire for", ASIDE, GLASSES, SAND, HANG, ASIDE, CUT)
    assert begins[1] == 21.0


@pytest.mark.parametrize("again", [[CUT], [CUT, GLASSES]])
def test_of_takes_on_the_spot_the_later_counts(again: Sequence[str]) -> None:
    _, begins = said(MARK, *again, *again, SAND, HANG)
    assert begins[1] == 3.0 * (1 + len(again))


def test_of_a_step_said_anew_with_all_behind_it_the_later_counts() -> None:
    _, begins = said(MARK, CUT, GLASSES, MARK, CUT, GLASSES, SAND, HANG)
    assert begins == [9.0, 12.0, 15.0, 18.0, 21.0]
