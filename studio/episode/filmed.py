"""Whether the finished film lies in an out folder: pages show a player only where one does."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from studio.episode.records import Episode

FILM = "film.mp4"
"""The finished film's name in the out folder, and beside a page."""


def lies_in(out: Path) -> bool:
    """Whether a folder has the film."""
    return (out / FILM).is_file()


def with_film(episode: Episode, out: Path | None) -> Episode:
    """The episode, telling whether its film lies in ``out``; None is for no folder."""
    there = out is not None and lies_in(out)
    return episode if there == episode.filmed else replace(episode, filmed=there)
