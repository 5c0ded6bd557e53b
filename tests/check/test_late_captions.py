"""A voice that goes on beyond the film's length: told by every command that has to do with it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from studio import cli
from studio.episode.assemble import open_episode
from studio.voice.script import script_of

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def late_talk(globe: Path, tmp_path: Path) -> Path:
    """Captions of the demo's script, a sentence every ten seconds, and a film of 1:25."""
    text = globe.read_text(encoding="utf-8")
    length = next(line for line in text.splitlines() if line.strip().startswith("length: 1:"))
    globe.write_text(text.replace(length, "  length: 1:25"), encoding="utf-8")
    cues = [
        f"00:{n // 6:02d}:{10 * (n % 6):02d},000 --> 00:{n // 6:02d}:{10 * (n % 6) + 6:02d},000\n"
        f"{one.text}\n"
        for n, one in enumerate(script_of(open_episode(globe).steps).sentences)
    ]
    file = tmp_path / "talk.srt"
    file.write_text("\n".join(cues), encoding="utf-8")
    return file


def test_words_beyond_the_films_length_are_told(
    globe: Path, late_talk: Path, tmp_path: Path, capsys: Capture
) -> None:
    cli.main(["time", str(globe), "--captions", str(late_talk)])
    told = capsys.readouterr().err
    assert "by film: length: the film ends at 1:25; what is said after that gets no" in told
    out = tmp_path / "out"
    assert cli.main(["build", str(globe), "--out", str(out)]) == 0
    built = capsys.readouterr().err
    assert "and the film ends at 1:25; write the master's real length" in built
    assert cli.main(["check", str(globe), "--out", str(out), "--json"]) == 1
    findings = json.loads(capsys.readouterr().out)["findings"]
    late = [one for one in findings if one["code"] == "late-caption"]
    # of the ninth sentence, said from 1:20 to 1:26, the end is cut; the two behind it are lost
    cut, *lost = late
    assert (cut["severity"], cut["at"]) == ("note", "film, step index")
    assert "is said until 1:26, and the film ends at 1:25" in cut["said"]
    assert {one["severity"] for one in lost} == {"error"}
    assert {one["at"] for one in lost} == {"film, step sand", "film, step hang"}
    assert all(one["where"] == str(globe) for one in late)
    assert any("begins at 1:40, and the film ends at 1:25" in one["said"] for one in lost)


def test_a_step_said_after_the_films_end_is_told(
    globe: Path, late_talk: Path, tmp_path: Path, capsys: Capture
) -> None:
    """Without marks the voice alone tells when steps begin, and the last one has no time at all."""
    text = globe.read_text(encoding="utf-8")
    before, marks, rest = text.partition("  marks:\n")
    kept = [line for line in rest.splitlines(keepends=True) if not line.startswith("    ")]
    globe.write_text(before + "".join(kept), encoding="utf-8")
    assert marks
    cli.main(["time", str(globe), "--captions", str(late_talk)])
    out = tmp_path / "out"
    assert cli.main(["build", str(globe), "--out", str(out)]) == 0
    capsys.readouterr()
    assert cli.main(["check", str(globe), "--out", str(out)]) == 1
    told = capsys.readouterr().out
    assert "late-caption" in told
    assert "it starts at 1:40, after the film's end at 1:25" in told


def test_a_narration_pressed_into_its_marks_is_a_note(
    globe: Path, tmp_path: Path, capsys: Capture
) -> None:
    text = globe.read_text(encoding="utf-8")
    length = next(line for line in text.splitlines() if line.strip().startswith("length: 1:"))
    globe.write_text(text.replace(length, "  length: 1:23"), encoding="utf-8")
    out = tmp_path / "out"
    assert cli.main(["build", str(globe), "--out", str(out)]) == 0
    assert "its marks leave 4.0 s" in capsys.readouterr().err
    cli.main(["check", str(globe), "--out", str(out), "--json"])
    findings = json.loads(capsys.readouterr().out)["findings"]
    (late,) = [one for one in findings if one["code"] == "late-caption"]
    assert late["severity"] == "note"
    assert late["said"].endswith("its marks leave 4.0 s")
    assert late["expected"] == "say less there, or leave the step more time"
