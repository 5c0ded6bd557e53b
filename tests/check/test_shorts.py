"""A short is looked at like the film: its state, cards, captions, sound and step."""

from __future__ import annotations

import dataclasses
import shutil
import subprocess
from pathlib import Path

import imageio_ffmpeg
import pytest

from studio.check.context import Context
from studio.check.findings import Finding
from studio.check.shorts import check
from studio.episode.assemble import open_episode
from studio.episode.places import places_file
from studio.episode.records import FrameSize
from studio.film.demo_footage import make_demo_master
from studio.film.short import make_short
from studio.film.short_files import file_name
from studio.resources import shipped

STEP = "mark-octagon"


@pytest.fixture(scope="module")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A design whose second step is six seconds long, and that step's short."""
    place = tmp_path_factory.mktemp("short")
    shutil.copytree(shipped("designs"), place / "designs")
    design = place / "designs" / "globe.yaml"
    text = design.read_text(encoding="utf-8")
    before, film, _ = text.partition("\nfilm:\n")
    marks = "rough: 0:00, mark-octagon: 0:01, cut-octagon: 0:08, second-round: 0:09, index: 0:10"
    design.write_text(
        f"{before}{film}  size: 640x360\n  length: 0:14\n"
        f"  marks: {{{marks}, sand: 0:11, hang: 0:12}}\n",
        encoding="utf-8",
    )
    credit = "© 2008 Blender Foundation"
    size = FrameSize(640, 360)
    master = make_demo_master(place / "master.mp4", seconds=9, size=size, credit=credit)
    make_short(
        open_episode(design), STEP, master, place / "out" / file_name(STEP), middle=0.5,
        tell=lambda _: None,
    )  # fmt: skip
    return place


@pytest.fixture
def made(made_once: Path, tmp_path: Path) -> Path:
    shutil.copytree(made_once, tmp_path / "copy")
    return tmp_path / "copy"


def findings(place: Path) -> tuple[Finding, ...]:
    return check(Context.of(place / "designs" / "globe.yaml", place / "out")).findings


def codes(place: Path) -> set[tuple[str, str]]:
    return {(one.code, one.where) for one in findings(place)}


def change(place: Path, old: str, new: str) -> None:
    design = place / "designs" / "globe.yaml"
    text = design.read_text(encoding="utf-8")
    assert old in text
    design.write_text(text.replace(old, new), encoding="utf-8")


def test_a_sound_short_has_no_findings(made: Path) -> None:
    assert findings(made) == ()


def test_a_changed_card_is_found(made: Path) -> None:
    change(made, "show: [sphere.set_in, sphere.octagon_side]", "show: [sphere.octagon_side]")
    (finding,) = findings(made)
    assert (finding.code, finding.where) == ("stale-short", file_name(STEP))
    assert f"studio short for step {STEP} again" in finding.expected


def test_a_changed_size_is_found_in_cards_and_captions(made: Path) -> None:
    change(made, "  diameter: 60 mm", "  diameter: 58 mm")
    assert {"stale-short", "captions-disagree"} <= {code for code, _ in codes(made)}


def test_a_change_of_another_step_is_none_of_its(made: Path) -> None:
    change(made, "show: [sanding.papers, speed.sanding]", "show: [sanding.papers]")
    assert findings(made) == ()


def test_another_film_under_its_name_is_found(made: Path) -> None:
    shutil.copy(made / "master.mp4", made / "out" / file_name(STEP))
    assert ("stale-short", file_name(STEP)) in codes(made)
    (made / "out" / file_name(STEP)).write_bytes(b"not a film")
    assert codes(made) == {("stale-short", file_name(STEP))}


def test_a_short_whose_pictures_show_no_cards_is_found(made: Path) -> None:
    """The state in it is the design's, but its pictures are white throughout."""
    path = made / "out" / file_name(STEP)
    bare = path.with_name("bare.mp4")
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-loglevel", "error", "-i", str(path)]
    white = ["-filter:v", "drawbox=color=white:t=fill", "-c:a", "copy", "-c:s", "copy"]
    subprocess.run([*command, *white, str(bare)], check=True)
    bare.replace(path)
    assert {code for code, _ in codes(made)} == {"short-changed"}


def test_places_that_went_away_are_told_as_stale(made: Path) -> None:
    places_file(made / "out" / file_name(STEP)).unlink()
    assert codes(made) == {("stale-short", file_name(STEP))}


def test_a_short_of_a_step_that_is_gone_or_too_short(made: Path) -> None:
    out = made / "out"
    shutil.copy(out / file_name(STEP), out / file_name("varnish"))
    shutil.copy(out / file_name(STEP), out / file_name("index"))
    assert codes(made) == {
        ("left-over-short", file_name("varnish")),
        ("left-over-short", file_name("index")),
    }


def test_a_caution_without_time_is_an_error(made: Path) -> None:
    context = Context.of(made / "designs" / "globe.yaml", made / "out")
    steps = tuple(
        dataclasses.replace(step, cautions=context.episode.steps[-1].cautions)
        for step in context.episode.steps
    )
    crowded = dataclasses.replace(
        context, episode=dataclasses.replace(context.episode, steps=steps)
    )
    assert "late-caution" in {one.code for one in check(crowded).findings}
