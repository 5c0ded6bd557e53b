"""``studio build``: everything that needs no footage."""

from __future__ import annotations

from pathlib import Path

from studio.commands.telling import say_written
from studio.episode.assemble import open_episode
from studio.episode.records import Episode


def build(design: Path, out: Path, *, as_json: bool) -> int:
    """Write papers, captions, chapters, overlays and the table into ``out``.

    Raises:
        BadInput: the design has faults, or the folder cannot be written.
        WorkFailed: the disk is full.
    """
    episode = open_episode(design)
    say_written(write_outputs(episode, out), episode.notes, as_json)
    return 0


def write_outputs(episode: Episode, out: Path) -> list[Path]:
    """All files of a build, each whole or not at all."""
    from studio.files import ready_folder, write_whole
    from studio.film.captions import write_captions
    from studio.film.overlays import write_overlays
    from studio.measure.listing import FILE_NAME, as_json
    from studio.paper.writing import write_papers

    ready_folder(out)
    written = write_papers(episode, out)
    written += write_captions(episode, out)
    written += write_overlays(episode, out)
    write_whole(out / FILE_NAME, as_json(episode.table).encode("utf-8"))
    return [*written, out / FILE_NAME]
