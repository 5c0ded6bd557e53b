"""``studio demo``: the main job, end to end, on the shipped designs and sample footage."""

from __future__ import annotations

from pathlib import Path

from studio.commands.build import build_files
from studio.commands.burn import burn
from studio.commands.check import check
from studio.commands.telling import note, say
from studio.design.reading import load
from studio.episode.assemble import open_episode
from studio.episode.beside import PLACES, design_files
from studio.files import only_writer, write_outputs
from studio.resources import shipped

BURNT = "globe"
"""The design whose film the demo burns."""

DESIGNS = "designs"
"""Folder of the copies that the demo works on: what a burn learns is written beside a design, and
what is shipped stays as it is."""

_DOING = "studio demo"


def demo(out: Path) -> int:
    """Build a copy of every shipped design, burn the first one's film, check them all.

    Raises:
        BadInput: the folder cannot be written, another command is writing into one of its folders,
            or the sample clips are not installed.
        WorkFailed: the encoder failed or the disk is full.
    """
    from studio.film.demo_footage import make_demo_master

    folder = out / DESIGNS
    with only_writer(folder, _DOING):
        for kept in write_outputs(folder, _shipped_files())[1]:
            note(f"note: {kept}")
    design = folder / f"{BURNT}.yaml"
    episode = open_episode(design)
    assert episode.length_ms is not None
    note("joining sample clips to a master with sound")
    with only_writer(out / BURNT, _DOING):
        master = make_demo_master(
            out / BURNT / "master.mp4",
            seconds=episode.length_ms // 1000,
            size=episode.size,
            credit=load(design).design.film.credit,
        )
    for one in design_files(folder):
        note(f"building {one.stem}")
        files = build_files(open_episode(one), out / one.stem)
        with only_writer(out / one.stem, _DOING):
            for kept in write_outputs(out / one.stem, files)[1]:
                note(f"note: {kept}")
    note("burning the overlays")
    burn(design, master, out / BURNT, as_json=False)
    worst = 0
    for one in design_files(folder):
        say(f"{one.stem}:")
        worst = max(worst, check(one, out / one.stem, as_json=False))
    say(f"film, papers and overlays: {out / BURNT}")
    say(f"the designs they were made from: {folder}")
    return worst


def _shipped_files() -> dict[str, bytes]:
    """The shipped designs and what they need; places belong to a film that is not shipped."""
    return {
        path.name: path.read_bytes()
        for path in sorted(shipped("designs").iterdir())
        if path.is_file() and not path.name.endswith(PLACES)
    }
