"""What all tests share: a folder with the shipped designs, and ways to change and read them."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.errors import BadInput
from studio.resources import shipped

# the same examples each time: a law that fails is found while it is worked on (set the profile to
# "default" to search on), not on a day when nothing was changed
settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder of one's own with the shipped workshop file and designs."""
    place = tmp_path / "designs"
    shutil.copytree(shipped("designs"), place)
    return place


@pytest.fixture
def globe(folder: Path) -> Path:
    """The shipped plain globe, free to be changed."""
    return folder / "globe.yaml"


@pytest.fixture
def edit() -> Callable[[Path, str, str], Path]:
    """Replaces a piece of text in a file, which must be there exactly once."""

    def change(path: Path, old: str, new: str) -> Path:
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {path.name}"
        path.write_text(text.replace(old, new), encoding="utf-8")
        return path

    return change


@pytest.fixture
def episode() -> Episode:
    """The shipped plain globe's episode."""
    return open_episode(shipped("designs") / "globe.yaml")


@pytest.fixture
def faults_of() -> Callable[[Path], list[str]]:
    """Every fault of a design, as it is told."""

    def told(path: Path) -> list[str]:
        with pytest.raises(BadInput) as caught:
            open_episode(path)
        return [str(fault) for fault in caught.value.faults]

    return told
