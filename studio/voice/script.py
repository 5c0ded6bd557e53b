"""The script as a list of words that a recording is searched for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from studio.episode.records import TimedStep
from studio.episode.times import said_words, script_digest, sentences


@dataclass(frozen=True)
class ScriptSentence:
    """A sentence: its step, its text and its words, of which the first is number ``first``."""

    step: str
    text: str
    words: tuple[str, ...]
    first: int

    @property
    def stop(self) -> int:
        """The number of the word after its last."""
        return self.first + len(self.words)


@dataclass(frozen=True)
class Script:
    """All sentences in order, and each step's digest by its name."""

    sentences: tuple[ScriptSentence, ...]
    digests: dict[str, str]

    @cached_property
    def words(self) -> tuple[str, ...]:
        """Every word in order."""
        return tuple(word for sentence in self.sentences for word in sentence.words)

    @cached_property
    def sentence_of(self) -> tuple[int, ...]:
        """The number of each word's sentence."""
        return tuple(
            number for number, sentence in enumerate(self.sentences) for _ in sentence.words
        )


def script_of(steps: Sequence[TimedStep]) -> Script:
    """The script of an episode's steps."""
    found: list[ScriptSentence] = []
    first = 0
    for step in steps:
        for text in sentences(step.aloud):
            words = said_words(text)
            found.append(ScriptSentence(step.id, text, words, first))
            first += len(words)
    return Script(tuple(found), {step.id: script_digest(step.aloud) for step in steps})
