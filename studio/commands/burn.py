"""``studio burn``: the overlays into the master's pictures."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from studio.commands.telling import note, say_written
from studio.episode.assemble import open_episode


def burn(
    design: Path,
    master: Path,
    out: Path,
    *,
    engine: Literal["exact", "moviepy"] = "exact",
    as_json: bool,
) -> int:
    """Write ``film.mp4`` into ``out``, with captions and chapters inside.

    Args:
        design: a design file with film marks.
        master: the edited film.
        out: the folder.
        engine: ``exact`` encodes only pictures under an overlay where the master allows it;
            ``moviepy`` encodes all.
        as_json: print the result as JSON; how much is encoded is told on stderr either way.

    Raises:
        BadInput: the design has faults or no film marks; the master cannot be used.
        WorkFailed: the encoder failed or the disk is full.
    """
    from studio.film.burn import burn as burn_film
    from studio.film.reading_back import FILM

    episode = open_episode(design)
    report = burn_film(
        episode, master, out / FILM, allow_silent=episode.silent, engine=engine, tell=note
    )
    say_written([report.out], (*episode.notes, *report.notes), as_json)
    return 0
