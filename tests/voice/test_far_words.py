"""A word of the script in other talk is not its sentence's last one, nor its first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.voice.recognise import Heard
from studio.voice.script import Script, ScriptSentence, script_of
from studio.voice.settle import Settled, settle
from studio.voice.sound import Recording
from studio.voice.timing import _timing, time_voice

TEXTS = ("Put the blank between centres.", "Keep the bevel rubbing on the wood.", "Turn it round.")


def script() -> Script:
    found: list[ScriptSentence] = []
    for text in TEXTS:
        words = tuple(text.lower().rstrip(".").split())
        found.append(ScriptSentence("rough", text, words, found[-1].stop if found else 0))
    return Script(tuple(found), {"rough": "a"})


def heard(*parts: tuple[str, int]) -> list[Heard]:
    """Each text's words at three a second from its time on, hundredths of a second."""
    return [
        Heard(word, start + 33 * n, start + 33 * n + 30)
        for text, start in parts
        for n, word in enumerate(text.split())
    ]


def settled(words: Sequence[Heard]) -> Settled:
    def voiced(start: int, stop: int) -> int:
        return sum(max(0, min(stop, one.stop) - max(start, one.start)) for one in words)

    def align(
        spans: Sequence[tuple[int, int]], texts: Sequence[tuple[str, ...]]
    ) -> list[list[Heard]]:
        """Finds each text word for word where it was heard within its stretch, as far as it was."""
        found = []
        for (begin, end), text in zip(spans, texts, strict=True):
            inside = iter([one for one in words if begin <= one.start < end])
            lined = [next((one for one in inside if one.word == word), None) for word in text]
            found.append([one for one in lined if one is not None] if all(lined) else [])
        return found

    return settle(script(), words, voiced, 6000, align)


BEFORE, AFTER = ("put the blank between centres", 100), ("turn it round", 1500)


def test_a_last_word_six_seconds_later_in_other_talk_has_no_time() -> None:
    said = heard(
        BEFORE, ("keep the bevel rubbing on the timber", 400), ("you see and hear", 1000),
        ("wood", 1300), AFTER,
    )  # fmt: skip
    found = settled(said)
    last = script().sentences[1].stop - 1
    assert found.words[last] is None
    assert not found.sure[last]
    assert found.far == ((last, 1300),)
    timing = _timing(script(), found, lambda *_: 0, Recording("a.wav", 60_000, 500))
    sentence = timing.times.steps["rough"].sentences[1]
    # "the" ends at 5.95 s of the recording, which begins half a second into the film
    assert sentence.end_ms == 4000 + 10 * (5 * 33 + 30) + 500
    assert sentence.confidence < 1
    assert timing.notes() == (
        "step rough: “wood” at 0:13 is too far from the rest of its sentence, with other talk "
        f"between, to be sure, and does not count: “{TEXTS[1]}”",
        "0:10 to 0:13: talk that is not in the script",
    )


def test_a_first_word_long_before_in_other_talk_begins_nothing() -> None:
    said = heard(
        BEFORE, ("keep going on like this", 400), ("the bevel rubbing on the wood", 1000), AFTER
    )
    found = settled(said)
    first = script().sentences[1].first
    assert found.far == ((first, 400),)
    assert found.words[first] is None
    assert found.words[first + 1] == (1000, 1030)


@pytest.mark.parametrize(
    "between",
    [(), (("well", 700),), (("you see and hear", 680),)],
    ids=["a rest alone", "one word", "talk, but near"],
)
def test_a_last_word_after_a_rest_stays(between: tuple[tuple[str, int], ...]) -> None:
    """A turner makes the cut and then says what was cut."""
    at = 1100 if len(between) < 1 or between[0][0] == "well" else 790
    said = heard(BEFORE, ("keep the bevel rubbing on the", 400), *between, ("wood", at), AFTER)
    found = settled(said)
    last = script().sentences[1].stop - 1
    assert found.far == ()
    assert found.words[last] == (at, at + 30)


def test_the_greater_part_of_a_sentence_stays_behind_an_aside() -> None:
    said = heard(
        BEFORE, ("keep the bevel", 400), ("you see and hear that", 600),
        ("rubbing on the wood", 1000), AFTER,
    )  # fmt: skip
    found = settled(said)
    assert found.far == ()
    assert all(found.words)


def test_what_was_said_before_all_else_is_told_in_words() -> None:
    said = heard(
        ("turn it round", 100), (*BEFORE[:1], 400), ("keep the bevel rubbing on the wood", 700)
    )
    timing = _timing(script(), settled(said), lambda *_: 0, Recording("a.wav", 60_000))
    (told,) = [one for one in timing.notes() if "another place" in one]
    assert told == f"step rough: said at another place, first of all: “{TEXTS[2]}”"
    said = heard(
        ("keep the bevel rubbing on the wood", 100), ("turn it round", 400), (*BEFORE[:1], 700)
    )
    timing = _timing(script(), settled(said), lambda *_: 0, Recording("a.wav", 60_000))
    (told,) = [one for one in timing.notes() if "another place" in one]
    assert told == f"step rough: said at another place, after “{TEXTS[2]}”: “{TEXTS[0]}”"


def test_a_recorded_sentence_ends_with_its_own_words(folder: Path, say: Callable) -> None:
    """The talker leaves the last word out, and talk six seconds later ends with the same one."""
    episode = open_episode(folder / "twelve-lobe-drop.yaml")
    sentences = script_of(episode.steps).sentences
    (number,) = [n for n, one in enumerate(sentences) if one.text.endswith("the tailstock up.")]
    order: list[int | str] = list(range(len(sentences)))
    order[number : number + 1] = [
        sentences[number].text.removesuffix(" up."),
        "My neighbour wanted to know what one of those costs and so I told him I would have to "
        "look that up.",
    ]
    spoken = say(episode, order, words_per_minute=150)
    timing = time_voice(episode, spoken.file)
    said = [one for step in timing.times.steps.values() for one in step.sentences][number]
    assert said.end_ms is not None
    assert said.words[-1] is None
    assert said.confidence < 1
    # the talk begins after it and takes five seconds; the next sentence's begin is the voice's own
    assert said.end_ms < spoken.sentences[number + 1] * 1000 - 5000
    assert any("“up” at 0:" in one and "does not count" in one for one in timing.notes())
