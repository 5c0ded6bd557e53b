"""What the last burn drew, kept beside the film, so that the next one encodes only what changed.

The record counts only while master, film and encoder are what they were: each is told by a
digest. A film that was changed, or a record that was, costs time and nothing else.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path

from studio.errors import WorkFailed
from studio.files import write_whole
from studio.film.exact import LastFilm, MadePiece, read_through

RECORD = ".burned-by-studio.json"
"""The record's name in the film's folder."""


def last_film(film: Path, master: str, settings: str) -> LastFilm | None:
    """The film as last burned, when it may be taken from; else None.

    Args:
        film: where it is.
        master: digest of the master at hand.
        settings: text of the encoder's settings at hand.
    """
    from av.error import FFmpegError

    try:
        found = json.loads((film.parent / RECORD).read_text(encoding="utf-8"))[film.name]
        if (found["master"], found["settings"]) != (master, settings):
            return None
        made = tuple(MadePiece(**piece) for piece in found["pieces"])
        if not made or read_through(film).digest != found["film"]:
            return None
    except (OSError, ValueError, KeyError, TypeError, StopIteration, FFmpegError):
        # no record, no film, or one that somebody wrote on
        return None
    return LastFilm(film, made)


def remember(
    film: Path, digest: str, master: str, settings: str, made: Sequence[MadePiece]
) -> None:
    """Keep the record of a burn beside its film; a record that cannot be kept is no failure."""
    record = {
        film.name: {
            "film": digest,
            "master": master,
            "settings": settings,
            "pieces": [asdict(piece) for piece in made],
        }
    }
    with contextlib.suppress(WorkFailed):
        write_whole(film.parent / RECORD, json.dumps(record, indent=1).encode("utf-8"))


def forget(film: Path) -> None:
    """Take the record away: the film was made in another way."""
    with contextlib.suppress(OSError):
        (film.parent / RECORD).unlink(missing_ok=True)
