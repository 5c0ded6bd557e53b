"""``studio burn``: the overlays into the master's pictures."""

from __future__ import annotations

from pathlib import Path

from studio.commands.telling import say_written
from studio.episode.assemble import open_episode


def burn(design: Path, master: Path, out: Path, *, as_json: bool) -> int:
    """Write ``film.mp4`` into ``out``, with captions and chapters inside.

    Raises:
        BadInput: the design has faults or no film marks; the master cannot be used.
        WorkFailed: the encoder failed or the disk is full.
    """
    from studio.film.burn import burn as burn_film
    from studio.film.reading_back import FILM

    episode = open_episode(design)
    report = burn_film(episode, master, out / FILM, allow_silent=episode.silent)
    say_written([report.out], (*episode.notes, *report.notes), as_json)
    return 0
