"""Times from a recorder or from captions: their end is not the film's, and no master is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio import cli
from studio.episode.assemble import open_episode
from studio.episode.places import read_master_ms
from studio.episode.records import FrameSize
from studio.episode.times import read_times
from studio.film.demo_footage import make_demo_master
from studio.measure.trace import plain

SECONDS = 9

DESIGN = """
title: A small globe
based_on: globe.yaml
credit: Derived from the plain globe.
steps:
  - id: cut-octagon
    drop: yes
  - id: second-round
    drop: yes
  - id: index
    drop: yes
  - id: sand
    drop: yes
  - id: hang
    drop: yes
film:
  size: 320x180
"""


@pytest.fixture
def small(folder: Path) -> Path:
    """Two steps without marks or length."""
    text = (folder / "globe.yaml").read_text(encoding="utf-8")
    (folder / "globe.yaml").write_text(text[: text.index("film:\n")], encoding="utf-8")
    design = folder / "small.yaml"
    design.write_text(DESIGN, encoding="utf-8")
    return design


def _captions(design: Path) -> Path:
    """Both steps' words, over and done with two seconds before the film ends."""
    cues = [
        f"{at}\n00:00:0{at},000 --> 00:00:0{at + 3},000\n{plain(step.aloud)}\n"
        for at, step in zip((0, 4), open_episode(design).steps, strict=True)
    ]
    file = design.with_name("own.srt")
    file.write_text("\n".join(cues), encoding="utf-8")
    return file


def test_a_burn_takes_its_masters_length(
    small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    master = make_demo_master(
        tmp_path / "master.mp4", seconds=SECONDS, size=FrameSize(320, 180), credit="© 2008"
    )
    assert cli.main(["time", str(small), "--captions", str(_captions(small))]) in (0, 1)
    assert "reckoned until 0:07, where own.srt ends" in capsys.readouterr().err
    assert open_episode(small).length_ms == 7_000

    burn = ["burn", str(small), "--master", str(master), "--out", str(out)]
    assert cli.main(burn) == 0
    assert "as long as this master, 0:09, which was not known before" in capsys.readouterr().err
    assert read_master_ms(small) == 1000 * SECONDS

    # from now on everything goes by it, and says no more about it
    episode = open_episode(small)
    assert episode.length_ms == episode.steps[-1].end_ms == 1000 * SECONDS
    assert not any("reckoned until" in note for note in episode.notes)
    assert cli.main(["build", str(small), "--out", str(out)]) == 0
    cli.main(["check", str(small), "--out", str(out)])
    told = capsys.readouterr().out
    assert "film-changed" not in told
    assert "wrong-time" not in told
    assert cli.main(burn) == 0
    assert "not known before" not in capsys.readouterr().err


@pytest.mark.parametrize(("begins", "is_film"), [([], True), (["--begins", "0:01"], False)])
def test_a_films_own_sound_tells_its_length(
    small: Path, tmp_path: Path, begins: list[str], is_film: bool
) -> None:
    """One that begins later in the film is a recording like any other, pictures or not."""
    master = make_demo_master(
        tmp_path / "master.mp4", seconds=3, size=FrameSize(320, 180), credit="© 2008"
    )
    assert cli.main(["time", str(small), "--voice", str(master), *begins]) == 1
    times = read_times(small)
    assert times is not None
    assert (times.film_ms is not None) is is_film
