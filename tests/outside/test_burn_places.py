"""The burn chooses places, and everything else that draws a card follows."""

from __future__ import annotations

import contextlib
import io
import json
import shutil
import subprocess
from datetime import date
from pathlib import Path

import av
import imageio_ffmpeg
import numpy as np
import pytest
import wcag_contrast_ratio

from studio import cli
from studio.episode.assemble import open_episode
from studio.episode.places import read_places
from studio.episode.published import Record, as_text, publication, record_file
from studio.film.corners import with_corners
from studio.film.layout import style_of
from studio.film.look import CardStyle, load_look, rgb
from studio.film.overlays import outlines
from studio.paper.description import without_corrections
from studio.resources import shipped

FILM = """
title: Short film
based_on: globe.yaml
film:
  size: 640x360
  length: 0:10
  silent: yes
  marks:
    rough: 0:00
    mark-octagon: 0:03
    cut-octagon: 0:06
    second-round: 0:07
    index: 0:08
    sand: 0:08.5
    hang: 0:09
"""

# bright above, dark below, and noise that changes from picture to picture
LIGHT_AND_DARK = (
    "color=white:size=640x360:rate=25:duration=10,"
    "drawbox=y=ih/2:h=ih/2:color=0x303030:t=fill,noise=alls=14:allf=t"
)


@pytest.fixture(scope="module")
def first_burn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a design, its master and the out folder of a first build and burn."""
    place = tmp_path_factory.mktemp("burnt")
    shutil.copytree(shipped("designs"), place / "designs")
    design, master, out = (place / name for name in ("designs/short.yaml", "master.mp4", "out"))
    design.write_text(FILM, encoding="utf-8")
    subprocess.run(
        [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y", "-f", "lavfi", "-i",
         LIGHT_AND_DARK, "-g", "50", "-pix_fmt", "yuv420p", "-colorspace", "bt709", str(master)],
        check=True,
    )  # fmt: skip
    assert cli.main(["build", str(design), "--out", str(out)]) == 0
    told = io.StringIO()
    with contextlib.redirect_stderr(told):
        assert cli.main(["burn", str(design), "--master", str(master), "--out", str(out)]) == 0
    assert "(rough) stands " in told.getvalue()
    return place


@pytest.fixture
def burnt(first_burn: Path, tmp_path: Path) -> tuple[Path, Path, Path]:
    """The design, its master and its out folder, each test's own."""
    place = tmp_path / "burnt"
    shutil.copytree(first_burn, place)
    return place / "designs" / "short.yaml", place / "master.mp4", place / "out"


def test_pictures_on_disk_and_in_the_film_agree(
    burnt: tuple[Path, Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    design, master, out = burnt
    assert read_places(design)
    cli.main(["check", str(design), "--out", str(out), "--json"])
    found = capsys.readouterr().out
    assert "wrong-overlay" not in found
    assert "stale-film" not in found
    before = {path.name: path.read_bytes() for path in (out / "overlays").iterdir()}
    # built again, and burnt again, everything stays where it was
    assert cli.main(["build", str(design), "--out", str(out)]) == 0
    assert cli.main(["burn", str(design), "--master", str(master), "--out", str(out)]) == 0
    assert " are taken from the last film" in capsys.readouterr().err
    assert before == {path.name: path.read_bytes() for path in (out / "overlays").iterdir()}


def test_a_card_in_another_place_is_found(
    burnt: tuple[Path, Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    design, _, out = burnt
    places = design.with_name("short.places.yaml")
    text = places.read_text(encoding="utf-8")
    mirrored = text.replace("corner: top-", "corner: TOP-").replace(
        "corner: bottom-", "corner: top-"
    )
    places.write_text(mirrored.replace("corner: TOP-", "corner: bottom-"), encoding="utf-8")
    capsys.readouterr()
    assert cli.main(["check", str(design), "--out", str(out), "--json"]) == 1
    found = capsys.readouterr().out
    assert "wrong-overlay" in found
    assert "stale-film" in found


def test_text_is_readable_over_every_picture_it_covers(burnt: tuple[Path, Path, Path]) -> None:
    """Contrast by a library's own WCAG 2 formula (wcag-contrast-ratio) of each text colour.

    Against the plate over each picture of the master under the card: not only those that the
    burn looked at.
    """
    design, master, _ = burnt
    episode = open_episode(design)
    look = load_look(episode.look)
    pictures = []
    with av.open(str(master)) as film:
        for frame in film.decode(film.streams.video[0]):
            picture = frame.to_ndarray(format="rgb24", src_colorspace="ITU709")
            pictures.append((round((frame.time or 0) * 1000), picture))
    clearer = 0
    for card in with_corners(episode.cards, look, episode.size):
        assert card.start_ms is not None
        assert card.end_ms is not None
        assert card.opacity is not None
        style = style_of(card.kind, look)
        clearer += card.opacity < style.opacity
        left, top, right, foot = outlines(card, episode.size, look)[card.corner]
        covered = [
            picture[top:foot, left:right].reshape(-1, 3)
            for at, picture in pictures
            if card.start_ms <= at < card.end_ms
        ]
        assert worst(style, card.opacity, np.concatenate(covered)) >= 4.5
    assert clearer


def worst(style: CardStyle, opacity: float, under: np.ndarray) -> float:
    # one of each colour is enough, and the library takes them one by one
    once = np.unique(under @ np.array([1 << 16, 1 << 8, 1]))
    stored = np.stack([once >> 16, once >> 8 & 255, once & 255], axis=1)
    colours = np.rint(opacity * np.array(rgb(style.plate)) + (1 - opacity) * stored)
    order = np.argsort(colours @ [0.2126, 0.7152, 0.0722])
    ends = colours[np.concatenate((order[:40], order[-40:]))]
    texts = [rgb(text) for text in (style.heading, style.text, style.quiet)]
    return min(
        wcag_contrast_ratio.rgb(tuple(one / 255), tuple(part / 255 for part in text))
        for one in ends
        for text in texts
    )


def test_a_film_that_is_out_and_corrected_in_words_is_as_it_was_told_to_be(
    burnt: tuple[Path, Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """A host lets nobody exchange a film: pinned under it, the correction is all that can be done,
    and the check does not ask for a burn that nobody would see."""
    design, _, out = burnt
    film, file = out / "film.mp4", record_file(design)
    episode = open_episode(design)
    told = publication(episode, without_corrections(episode), film, date(2026, 3, 2))
    file.write_text(as_text(Record((told,))), "utf-8")

    def codes() -> set[str]:
        capsys.readouterr()
        cli.main(["check", str(design), "--out", str(out), "--json"])
        return {one["code"] for one in json.loads(capsys.readouterr().out)["findings"]}

    assert not {"film-is-out", "stale-film"} & codes()
    design.write_text(FILM + "hanger: {hole_depth: 14 mm}\n", "utf-8")
    assert cli.main(["build", str(design), "--out", str(out)]) == 0
    # not corrected yet: nobody has been told
    assert {"silent-change", "stale-film"} <= codes()
    assert "film-is-out" not in codes()
    command = ["correct", str(design), "--out", str(out), "--reason", "Drilled deeper."]
    assert cli.main(command) == 0
    assert cli.main(["build", str(design), "--out", str(out)]) == 0
    found = codes()
    assert "film-is-out" in found
    assert not {"silent-change", "stale-film", "captions-disagree"} & found
    # another film than the one that is out gets no such leave
    film.write_bytes(film.read_bytes() + b"\0" * 16)
    found = codes()
    assert "stale-film" in found
    assert "film-is-out" not in found
