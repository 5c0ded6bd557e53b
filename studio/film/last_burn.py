"""What the last burn drew, kept beside the film, so that the next one encodes only what changed.

The record counts only while master, film and encoder are what they were: each is told by a
digest. A film that was changed, or a record that was, costs time and nothing else.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from studio.errors import WorkFailed
from studio.files import write_whole
from studio.film.exact import LastFilm, MadePiece, read_through

RECORD = ".burned-by-studio.json"
"""The record's name in the film's folder."""

_ENDS = 1 << 20
"""Bytes at either end of a film that its fingerprint covers."""


def last_film(film: Path, master: str, settings: str) -> LastFilm | None:
    """The film as last burned, when it may be taken from; else None.

    Args:
        film: where it is.
        master: digest of the master at hand.
        settings: text of the encoder's settings at hand.
    """
    from av.error import FFmpegError

    try:
        found = _records(film)[film.name]
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
    _note(
        film,
        {
            "film": digest,
            "master": master,
            "settings": settings,
            "pieces": [asdict(piece) for piece in made],
        },
    )


def forget(film: Path) -> None:
    """Keep of a film that was made in another way only that it is ours."""
    _note(film, {})


def is_as_burned(film: Path) -> bool:
    """Whether nobody has written on the film since a burn of ours gave it its name."""
    try:
        return bool(_records(film)[film.name]["file"] == _fingerprint(film))
    except (OSError, ValueError, KeyError, TypeError):
        return False


def was_written_on(film: Path) -> bool:
    """Whether somebody has written on a film since we burnt it; False where nothing is known."""
    try:
        return bool(_records(film)[film.name]["file"] != _fingerprint(film))
    except (OSError, ValueError, KeyError, TypeError):
        return False


def _note(film: Path, record: dict[str, Any]) -> None:
    with contextlib.suppress(WorkFailed, OSError):
        try:
            records = _records(film)
        except (OSError, ValueError, TypeError):
            records = {}
        records[film.name] = {**record, "file": _fingerprint(film)}
        write_whole(film.parent / RECORD, json.dumps(records, indent=1).encode("utf-8"))


def _records(film: Path) -> dict[str, Any]:
    return dict(json.loads((film.parent / RECORD).read_text(encoding="utf-8")))


def _fingerprint(film: Path) -> str:
    """Of a film's size, beginning and end: a film edited or encoded again has others."""
    size = film.stat().st_size
    found = hashlib.sha256(str(size).encode("ascii"))
    with film.open("rb") as file:
        found.update(file.read(_ENDS))
        file.seek(max(0, size - _ENDS))
        found.update(file.read(_ENDS))
    return found.hexdigest()
