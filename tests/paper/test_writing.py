"""Papers are written whole or not at all."""

from __future__ import annotations

import errno
import os
from dataclasses import replace
from pathlib import Path

import pytest

from studio.episode.records import Episode
from studio.errors import BadInput, WorkFailed
from studio.measure.trace import plain
from studio.paper import PAPERS, write_papers


def test_writes_every_paper_as_it_reads(episode: Episode, tmp_path: Path) -> None:
    out = tmp_path / "build" / "globe"
    files = write_papers(episode, out)
    assert [file.name for file in files] == list(PAPERS)
    assert sorted(file.name for file in out.iterdir()) == sorted(PAPERS)
    for file in files:
        assert file.read_bytes() == plain(PAPERS[file.name](episode)).encode()


def test_writes_the_same_bytes_again(episode: Episode, tmp_path: Path) -> None:
    first = [file.read_bytes() for file in write_papers(episode, tmp_path)]
    assert [file.read_bytes() for file in write_papers(episode, tmp_path)] == first


def test_a_paper_that_cannot_be_made_leaves_nothing(episode: Episode, tmp_path: Path) -> None:
    out = tmp_path / "build"
    with pytest.raises(BadInput):
        write_papers(replace(episode, credit="x" * 6_000), out)
    assert not out.exists()


def test_a_folder_that_cannot_be_made_is_told_in_words(episode: Episode, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(BadInput) as caught:
        write_papers(episode, tmp_path / "file" / "build")
    assert "--out" in caught.value.faults[0].write


def test_a_full_disk_leaves_the_old_paper_and_no_pieces(
    episode: Episode, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = {file.name: file.read_bytes() for file in write_papers(episode, tmp_path)}

    def full(self: Path, target: Path) -> Path:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(WorkFailed):
        write_papers(replace(episode, title="another"), tmp_path)
    assert {file.name: file.read_bytes() for file in tmp_path.iterdir()} == before
