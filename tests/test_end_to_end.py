"""The main job in one go: a design, a master with real pictures and sound, everything out."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import imageio_ffmpeg
import numpy as np
import pytest
from PIL import Image

from studio import cli
from studio.episode.assemble import open_episode
from studio.episode.records import FrameSize
from studio.film.demo_footage import make_demo_master
from studio.film.overlays import read_record
from studio.film.probe import probe
from studio.film.reading_back import film_contents
from studio.resources import shipped

BT709 = np.array([0.2126, 0.7152, 0.0722])
"""Brightness from red, green and blue (Recommendation ITU-R BT.709)."""

SECONDS = 33
"""The hosts want three chapters of ten seconds, so no shorter film proves the whole job."""

DESIGN = f"""
title: A small globe
based_on: globe.yaml
credit: Derived from the plain globe.
steps:
  - id: cut-octagon
    drop: yes
  - id: index
    drop: yes
  - id: hang
    drop: yes
film:
  size: 320x180
  length: 0:{SECONDS}
  marks:
    rough: 0:00
    mark-octagon: 0:07
    second-round: 0:12
    sand: 0:22
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, Path]:
    """Design, master and out folder, with a film in it."""
    place = tmp_path_factory.mktemp("film")
    shutil.copytree(shipped("designs"), place / "designs")
    design = place / "designs" / "small.yaml"
    design.write_text(DESIGN, encoding="utf-8")
    master = make_demo_master(place / "master.mp4", seconds=SECONDS, size=FrameSize(320, 180))
    out = place / "out"
    assert cli.main(["build", str(design), "--out", str(out)]) == 0
    burn = ["burn", str(design), "--master", str(master), "--out", str(out)]
    assert cli.main(burn) == 0
    return design, master, out


def picture(film: Path, seconds: float) -> np.ndarray:
    """One decoded picture as RGB, by ffmpeg: no code of ours."""
    command = [
        imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-ss", f"{seconds:.3f}", "-i", str(film),
        "-frames:v", "1", "-vf", "scale=in_color_matrix=bt709", "-f", "rawvideo",
        "-pix_fmt", "rgb24", "-",
    ]  # fmt: skip
    data = subprocess.run(command, check=True, capture_output=True).stdout
    return np.frombuffer(data, np.uint8).reshape(180, 320, 3).astype(float)


def test_the_handout_shows_the_film_once_it_is_burnt(made: tuple[Path, Path, Path]) -> None:
    """Built before there was a film; the check finds nothing to mend in either state."""
    _, _, out = made
    page = (out / "handout.html").read_text("utf-8")
    assert '<source src="film.mp4"' in page
    assert '"@type":"VideoObject"' in page
    assert (out / "handout.pdf").is_file(), "nothing else is taken away for it"
    assert (out / "cut-sheet.html").is_file()


def test_the_film_holds_chapters_captions_and_every_picture(
    made: tuple[Path, Path, Path],
) -> None:
    design, master, out = made
    episode = open_episode(design)
    film, before = probe(out / "film.mp4"), probe(master)
    assert film.frames == before.frames == SECONDS * 25
    assert film.duration_ms == before.duration_ms
    assert film.has_sound
    contents = film_contents(out / "film.mp4")
    assert contents is not None
    assert len(contents.chapters) == len(episode.chapters) >= 3
    assert len(contents.captions) == len(episode.cues) > 3


def test_a_picture_under_a_card_is_the_overlay_and_elsewhere_the_master(
    made: tuple[Path, Path, Path],
) -> None:
    design, master, out = made
    checked = 0
    for card in open_episode(design).cards:
        assert card.start_ms is not None
        assert card.end_ms is not None
        at = (card.start_ms + card.end_ms) / 2000
        film, before = picture(out / "film.mp4", at), picture(master, at)
        overlay = Image.open(out / "overlays" / card.file_name)
        drawn = np.asarray(overlay, dtype=float)
        cover = drawn[:, :, 3:] / 255
        expected = before * (1 - cover) + drawn[:, :, :3] * cover
        inside = cover[:, :, 0] > 0.5
        assert np.abs(film - before)[inside].mean() > 15, "the card is not in the film"
        # by brightness: colour is stored at half the size, and small letters smear in it
        off = np.abs((film - expected) @ BT709)[inside]
        assert off.mean() < 4, "the film shows another card"
        # both cards may be up at once: outside means outside of every card's part
        outside = np.ones((180, 320), bool)
        outside[: int(180 * 0.82), :] = False
        assert np.abs(film - before)[outside].mean() < 4, "the rest of the picture changed"
        checked += 1
    assert checked > 7


def test_the_check_passes_and_sees_a_stale_film(
    made: tuple[Path, Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    design, _, out = made
    assert cli.main(["check", str(design), "--out", str(out)]) == 0
    text = design.read_text(encoding="utf-8")
    try:
        design.write_text(text + "stock:\n  diameter: 61 mm\n", encoding="utf-8")
        assert cli.main(["build", str(design), "--out", str(out)]) == 0
        capsys.readouterr()
        assert cli.main(["check", str(design), "--out", str(out), "--json"]) == 1
        found = {finding["code"] for finding in json.loads(capsys.readouterr().out)["findings"]}
        assert "stale-film" in found
    finally:
        design.write_text(text, encoding="utf-8")
        assert cli.main(["build", str(design), "--out", str(out)]) == 0


def test_the_check_sees_other_sound_in_the_film(
    made: tuple[Path, Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """Same pictures, titles and captions, silence in place of the voice."""
    design, _, out = made
    film = out / "film.mp4"
    kept = film.read_bytes()
    silent = film.with_name("silent.mp4")
    command = [
        imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y", "-i", str(film), "-map", "0",
        "-c", "copy", "-c:a", "aac", "-af", "volume=0", str(silent),
    ]  # fmt: skip
    try:
        subprocess.run(command, check=True)
        silent.replace(film)
        assert cli.main(["check", str(design), "--out", str(out), "--json"]) == 1
        found = json.loads(capsys.readouterr().out)["findings"]
        assert ("film-changed", "(written on since it was burnt)") in {
            (one["code"], one["said"]) for one in found
        }
    finally:
        film.write_bytes(kept)


def test_an_overlay_tells_what_it_shows(made: tuple[Path, Path, Path]) -> None:
    design, _, out = made
    episode = open_episode(design)
    record = read_record(out / "overlays" / episode.cards[0].file_name)
    assert record is not None
    assert record.rows[0].value == episode.table[record.rows[0].name].text


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (None, "there is no"),
        (b"", ""),
        (b"not a film at all", ""),
        (b"\x00\x00\x00\x18ftypmp42" + b"\x00" * 64, ""),
    ],
)
def test_a_missing_or_broken_master_is_exit_two(
    made: tuple[Path, Path, Path],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    make: bytes | None,
    said: str,
) -> None:
    design, _, _ = made
    master, out = tmp_path / "m.mp4", tmp_path / "out"
    if make is not None:
        master.write_bytes(make)
    assert cli.main(["burn", str(design), "--master", str(master), "--out", str(out)]) == 2
    err = capsys.readouterr().err
    assert str(master) in err
    assert said in err
    assert "Traceback" not in err
    assert not (out / "film.mp4").exists()


def silenced(master: Path, to: Path) -> Path:
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-i", str(master)]
    subprocess.run([*command, "-an", "-c", "copy", str(to)], check=True)
    return to


def test_a_master_without_sound_is_exit_two_unless_the_design_says_so(
    made: tuple[Path, Path, Path],
    tmp_path: Path,
    globe: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    design, master, _ = made
    mute = silenced(master, tmp_path / "mute.mp4")
    out = tmp_path / "out"
    assert cli.main(["burn", str(design), "--master", str(mute), "--out", str(out)]) == 2
    assert "sound" in capsys.readouterr().err
    assert not (out / "film.mp4").exists()
    quiet = globe.parent / "quiet.yaml"
    quiet.write_text(DESIGN.replace("film:\n", "film:\n  silent: yes\n"), encoding="utf-8")
    assert cli.main(["burn", str(quiet), "--master", str(mute), "--out", str(out)]) == 0


def test_a_film_that_is_not_ours_is_kept(
    globe: Path, made: tuple[Path, Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, master, _ = made
    quick = globe.parent / "quick.yaml"
    quick.write_text(DESIGN, encoding="utf-8")
    out = tmp_path / "out"
    out.mkdir()
    (out / "film.mp4").write_bytes(b"somebody's film")
    burn = ["burn", str(quick), "--master", str(master), "--out", str(out)]
    assert cli.main(burn) == 0
    assert "kept as film.mp4.kept-1" in capsys.readouterr().err
    assert (out / "film.mp4.kept-1").read_bytes() == b"somebody's film"
    assert cli.main(burn) == 0
    assert not (out / "film.mp4.kept-2").exists(), "our own film is replaced"


def test_marks_past_the_masters_end_are_exit_two(
    made: tuple[Path, Path, Path],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    design, _, _ = made
    short = make_demo_master(tmp_path / "short.mp4", seconds=4, size=FrameSize(320, 180))
    out = tmp_path / "out"
    assert cli.main(["burn", str(design), "--master", str(short), "--out", str(out)]) == 2
    assert "end" in capsys.readouterr().err
    assert not (out / "film.mp4").exists()


def test_a_design_without_marks_cannot_be_burnt(
    globe: Path, made: tuple[Path, Path, Path], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    text = globe.read_text(encoding="utf-8")
    globe.write_text(text[: text.index("film:")], encoding="utf-8")
    _, master, _ = made
    arguments = ["burn", str(globe), "--master", str(master), "--out", str(tmp_path / "o")]
    assert cli.main(arguments) == 2
    assert "marks" in capsys.readouterr().err
