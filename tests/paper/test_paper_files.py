"""Every paper is made before any is written."""

from __future__ import annotations

from dataclasses import replace

import pytest

from studio.episode.records import Episode
from studio.errors import BadInput
from studio.measure.trace import has_marks, plain
from studio.paper import PAPERS, paper_files


def test_every_paper_is_its_render_without_marks(episode: Episode) -> None:
    files = paper_files(episode)
    assert list(files) == list(PAPERS)
    for name, content in files.items():
        assert content == plain(PAPERS[name](episode)).encode()
        assert not has_marks(content.decode())


def test_the_same_bytes_again(episode: Episode) -> None:
    assert paper_files(episode) == paper_files(episode)


def test_a_paper_that_cannot_be_made_is_told(episode: Episode) -> None:
    with pytest.raises(BadInput):
        paper_files(replace(episode, credit="x" * 6_000))
