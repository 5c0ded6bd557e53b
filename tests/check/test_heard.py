"""``studio check --film``: hints from the recorded voice, each with the line to say again."""

from __future__ import annotations

import json
import wave
from pathlib import Path

import numpy as np
import pytest

from studio import cli
from studio.episode.assemble import open_episode
from studio.voice.espeak import BRITISH, speak, unload
from studio.voice.script import script_of


def recorded(path: Path, lines: list[str]) -> Path:
    """A synthetic voice says some lines with pauses between them."""
    unload()
    blocks, rate = [], 22_050
    for line in lines:
        samples, rate, _ = speak(line, voice=BRITISH)
        blocks += [samples, np.zeros(rate // 2, np.int16)]
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(np.concatenate(blocks).tobytes())
    return path


def test_a_slip_is_a_hint_with_the_line_and_the_patch(
    built, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = [one.text for one in script_of(open_episode(built.design).steps).sentences][:4]
    voice = recorded(
        built.out.parent / "voice.wav",
        [*lines[:2], lines[2].replace("seventeen", "nineteen"), lines[3]],
    )
    arguments = ["check", str(built.design), "--out", str(built.out), "--film", str(voice)]
    assert cli.main([*arguments, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["listened_to"] == 5
    (slip,) = [one for one in told["hints"] if one["code"] == "heard-otherwise"]
    assert slip["severity"] == "hint"
    assert slip["where"] == "voice.wav"
    assert slip["measurement"] == "sphere.set_in"
    assert "nineteen point five millimetres" in slip["said"]
    assert f"say: {lines[2]}" in slip["expected"]
    assert slip["at"].startswith("0:0")
    assert slip["at"].count(".") == 2
    assert told["findings"] == []
    others = {one["code"] for one in told["hints"]} - {"heard-otherwise"}
    assert others == {"not-heard", "lined-up"}
    assert "heard-otherwise" in (built.out / "check.html").read_text(encoding="utf-8")


def test_a_film_that_is_not_there_is_told(built, capsys: pytest.CaptureFixture[str]) -> None:
    film = built.out.parent / "none.mp4"
    arguments = ["check", str(built.design), "--out", str(built.out), "--film", str(film)]
    assert cli.main(arguments) == 2
    assert "there is no such file" in capsys.readouterr().err
