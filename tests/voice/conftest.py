"""A voice for the tests: synthesised, so that the true beginning of each word is known.

The synthesiser (eSpeak NG) reports when each word begins; that report is the outside truth which
the recogniser (PocketSphinx) is measured against. Invented scripts, marked as such in the designs.
"""

from __future__ import annotations

import random
import re
import wave
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from studio.episode.records import Episode
from studio.voice.espeak import AMERICAN, speak, unload
from studio.voice.script import Script, script_of


@dataclass(frozen=True)
class Spoken:
    """A recording and when words (by their number in the script) and sentences truly begin."""

    file: Path
    words: dict[int, float]
    sentences: dict[int, float]
    length: float


def noise_like(kind: str, count: int, rate: int, seed: int = 11) -> NDArray[np.float64]:
    """Noise of a workshop, made up.

    ``white``; ``lathe``, a motor's hum with its harmonics over a rumble falling with frequency;
    ``extractor``, air (power falling with frequency) with a fan's whine that wavers; ``sanding``,
    high hiss in strokes, three a second, over a faint hum. The last two were not listened to while
    the settings were chosen.
    """
    random_numbers = np.random.default_rng(seed)
    white = random_numbers.standard_normal(count)
    if kind == "white":
        return white
    hertz = np.fft.rfftfreq(count, 1 / rate)
    spectrum = np.fft.rfft(white)
    at = np.arange(count) / rate
    if kind == "extractor":
        air = np.fft.irfft(spectrum / np.sqrt(np.maximum(hertz, 100.0)), count)
        turn = 2 * np.pi * (310 * at + 2 * np.sin(0.4 * at))
        return air / air.std() + 0.4 * (np.sin(turn) + np.sin(2 * turn) / 2)
    if kind == "sanding":
        hiss = np.fft.irfft(spectrum * (hertz > 1_500), count)
        strokes = 0.35 + np.maximum(0, np.sin(2 * np.pi * 3 * at + np.sin(0.7 * at)))
        return hiss / hiss.std() * strokes + 0.3 * np.sin(2 * np.pi * 99 * at)
    assert kind == "lathe"
    spectrum /= np.sqrt(np.maximum(hertz, 40.0))
    rumble = np.fft.irfft(spectrum, count)
    hum = sum(np.sin(2 * np.pi * 49 * k * at + k) / k for k in range(1, 9))
    return rumble / rumble.std() + 0.7 * hum / np.std(hum)


def mixed(
    samples: NDArray[np.int16], kind: str, decibels: float, rate: int, seed: int = 11
) -> NDArray[np.int16]:
    """Noise under a voice, so many decibels below the voice's own level (its pauses left out)."""
    voice = samples.astype(np.float64)
    level = np.sqrt((voice[np.abs(voice) > 30] ** 2).mean())
    noise = noise_like(kind, len(voice), rate, seed)
    noise *= level / noise.std() / 10 ** (decibels / 20)
    return np.clip(voice + noise, -32768, 32767).astype(np.int16)


def write_wave(path: Path, samples: NDArray[np.int16], rate: int) -> Path:
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(samples.tobytes())
    return path


def spoken_script(
    path: Path,
    script: Script,
    order: Sequence[int | str] | None = None,
    *,
    voice: str = AMERICAN,
    words_per_minute: int = 150,
    noise: str = "",
    decibels: float = 10.0,
    seed: int = 7,
    pitch: int = 50,
) -> Spoken:
    """Say sentences of a script by their numbers, and asides as they stand, with pauses between."""
    unload()
    pauses = random.Random(seed)
    blocks: list[NDArray[np.int16]] = []
    words: dict[int, float] = {}
    begins: dict[int, float] = {}
    at, rate = 0, 22_050
    for one in range(len(script.sentences)) if order is None else order:
        text = one if isinstance(one, str) else script.sentences[one].text
        samples, rate, events = speak(
            text, voice=voice, words_per_minute=words_per_minute, pitch=pitch
        )
        if not isinstance(one, str):
            sentence = script.sentences[one]
            places = [match.start() for match in re.finditer(r"[A-Za-z']+", text)]
            assert len(places) == len(sentence.words)
            numbers = {place: sentence.first + n for n, place in enumerate(places)}
            for event in events:
                if event.place in numbers:
                    words.setdefault(numbers[event.place], at / rate + event.start)
            begins[one] = at / rate
        pause = np.zeros(int(rate * pauses.uniform(0.25, 1.4)), np.int16)
        blocks += [samples, pause]
        at += len(samples) + len(pause)
    whole = np.concatenate(blocks)
    if noise:
        whole = mixed(whole, noise, decibels, rate, seed + 4)
    return Spoken(write_wave(path, whole, rate), words, begins, at / rate)


@pytest.fixture
def say(tmp_path: Path) -> Callable[..., Spoken]:
    """Says an episode's script: ``say(episode, order, noise=…)``."""

    def said(episode: Episode, order: Sequence[int | str] | None = None, **how: object) -> Spoken:
        return spoken_script(tmp_path / "voice.wav", script_of(episode.steps), order, **how)  # type: ignore[arg-type]

    return said
