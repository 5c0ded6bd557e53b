"""The README's first command, at its full size: a film of a sixth of the length proves less."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio import cli
from studio.commands.demo import BURNT, DESIGNS
from studio.episode.assemble import open_episode
from studio.film.probe import probe
from studio.resources import shipped


def _state(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_the_demo_has_no_finding_and_leaves_what_is_shipped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    before = _state(shipped("designs"))
    code = cli.main(["demo"])
    told = capfd.readouterr()
    assert code == 0, told.out + told.err
    assert _state(shipped("designs")) == before
    episode = open_episode(tmp_path / "build" / DESIGNS / f"{BURNT}.yaml")
    film = probe(tmp_path / "build" / BURNT / "film.mp4")
    assert film.duration_ms == episode.length_ms
    assert told.out.count("0 to mend") == told.out.count("report: ") == 4
