"""``studio demo``: the main job, end to end, on the shipped designs and sample footage."""

from __future__ import annotations

from pathlib import Path

from studio.commands.build import build_files
from studio.commands.check import check
from studio.commands.telling import note, say
from studio.design.reading import load
from studio.episode.assemble import open_episode
from studio.episode.beside import design_files
from studio.files import write_outputs
from studio.resources import shipped

BURNT = "globe"
"""The design whose film the demo burns."""


def demo(out: Path) -> int:
    """Build every shipped design, burn the first one's film, check them all.

    Raises:
        BadInput: the folder cannot be written, or the sample clips are not installed.
        WorkFailed: the encoder failed or the disk is full.
    """
    from studio.film.burn import burn as burn_film
    from studio.film.demo_footage import make_demo_master
    from studio.film.reading_back import FILM

    designs = design_files(shipped("designs"))
    burnt = open_episode(shipped("designs") / f"{BURNT}.yaml")
    assert burnt.length_ms is not None
    note("joining sample clips to a master with sound")
    master = make_demo_master(
        out / BURNT / "master.mp4",
        seconds=burnt.length_ms // 1000,
        size=burnt.size,
        credit=load(burnt.design_file).design.film.credit,
    )
    for design in designs:
        note(f"building {design.stem}")
        files = build_files(open_episode(design), out / design.stem)
        for kept in write_outputs(out / design.stem, files)[1]:
            note(f"note: {kept}")
    note("burning the overlays")
    burn_film(burnt, master, out / BURNT / FILM)
    worst = 0
    for design in designs:
        say(f"{design.stem}:")
        worst = max(worst, check(design, out / design.stem, as_json=False))
    say(f"film, papers and overlays: {out / BURNT}")
    say(f"the designs they were made from: {shipped('designs')}")
    return worst
