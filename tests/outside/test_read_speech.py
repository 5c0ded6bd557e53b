"""A person reading, in noise, timed by the whole way from a film's sound to times.

Source: Debian's package pocketsphinx-testdata (BSD licence), five sentences of Jane Austen's "Sense
and Sensibility" read by a LibriVox volunteer, with their text. It holds no times of words. The
reference is therefore the recogniser's own alignment of the clean recording, one sentence at a
time; what is shown is that noise, pauses and the long way round do not move the words, not that
they stood right in the first place. (That is shown with a synthetic voice, in tests/voice/.)
"""

from __future__ import annotations

import re
import sys
import wave
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from studio.episode.assemble import open_episode
from studio.resources import shipped
from studio.voice.recognise import Recogniser, Setting, dictionary
from studio.voice.sound import RATE, prepared
from studio.voice.timing import time_voice

sys.path.insert(0, str(Path(__file__).parents[1] / "voice"))
from conftest import mixed, write_wave

FOLDER = Path("/usr/share/pocketsphinx/test/data/librivox")
PAUSE = RATE * 6 // 10


def read() -> tuple[list[tuple[str, ...]], list[np.ndarray]]:
    """The sentences' words and sounds."""
    words, sounds = [], []
    for line in (FOLDER / "transcription").read_text(encoding="utf-8").splitlines():
        found = re.fullmatch(r"<s> (.*) </s> \((.*)\)", line.strip())
        assert found is not None
        words.append(tuple(found[1].split()))
        with wave.open(str(FOLDER / f"{found[2]}.wav")) as file:
            assert file.getframerate() == RATE
            sounds.append(np.frombuffer(file.readframes(file.getnframes()), np.int16))
    return words, sounds


@pytest.fixture(scope="module")
def reading(tmp_path_factory: pytest.TempPathFactory):
    """An episode whose narration is the reading, its sound, and each word's reference in seconds.

    The sentences come three times over, each time in another noise later on.
    """
    if not FOLDER.is_dir() and not Path("/etc/debian_version").exists():
        pytest.skip("the recordings come as a Debian package alone")
    words, sounds = read()
    ways = {word: dictionary()[word] for sentence in words for word in sentence}
    recogniser = Recogniser(Setting(pronunciations=tuple(sorted(ways.items()))))
    blocks, reference, at = [], [], 0
    for sentence, sound in zip(words, sounds, strict=True):
        found = recogniser.align(prepared(sound), sentence)
        assert [one.word for one in found] == list(sentence)
        reference += [at / RATE + one.start / 100 for one in found]
        blocks += [sound, np.zeros(PAUSE, np.int16)]
        at += len(sound) + PAUSE
    episode = open_episode(shipped("designs") / "globe.yaml")
    text = " ".join(" ".join(sentence).capitalize() + "." for sentence in words)
    step = replace(episode.steps[0], id="reading", say=text, aloud=text)
    folder = tmp_path_factory.mktemp("reading")
    return (
        replace(episode, steps=(step,), design_file=folder / "reading.yaml"),
        np.concatenate(blocks),
        np.array(reference),
    )


@pytest.mark.parametrize(
    ("noise", "within", "share"),
    [("", 0.15, 0.95), ("lathe", 0.3, 0.9), ("white", 0.3, 0.9)],
)
def test_words_of_a_reader_stay_where_they_are(
    reading, tmp_path: Path, noise: str, within: float, share: float
) -> None:
    episode, sound, reference = reading
    samples = mixed(sound, noise, 10.0, RATE) if noise else sound
    timing = time_voice(episode, write_wave(tmp_path / "read.wav", samples, RATE))
    (step,) = timing.times.steps.values()
    assert len(step.words) == len(reference) > 70
    off = np.array(
        [
            abs(word[0] / 1000 - at) if word else 99.0
            for word, at in zip(step.words, reference, strict=True)
        ]
    )
    assert (off <= within).mean() >= share, (off.round(2).tolist(), timing.notes())
