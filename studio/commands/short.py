"""``studio short``: one step as an upright film of its own."""

from __future__ import annotations

from pathlib import Path

from studio.commands.telling import note, say_written
from studio.episode.assemble import open_episode
from studio.files import only_writer


def short(
    design: Path, step: str, master: Path, out: Path, *, middle: float | None, as_json: bool
) -> int:
    """Write ``short-STEP.mp4`` into ``out``.

    Args:
        design: a design file with times.
        step: the step's name.
        master: the edited film.
        out: the folder.
        middle: where the cut's middle lies, share of the width; None takes the liveliest part.
        as_json: print the result as JSON.

    Raises:
        BadInput: the design has faults or no times; step or master cannot be used; another command
            is writing into the folder.
        WorkFailed: the encoder failed or the disk is full.
    """
    from studio.film.probe import probe
    from studio.film.short import make_short
    from studio.film.short_files import file_name

    episode = open_episode(design)
    if episode.takes_masters_length:
        episode = open_episode(design, master_ms=probe(master).duration_ms)
    with only_writer(out, "studio short"):
        made = make_short(episode, step, master, out / file_name(step), middle=middle, tell=note)
    say_written([made.report.out], made.report.notes, as_json)
    return 0
