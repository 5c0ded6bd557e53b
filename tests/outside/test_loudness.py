"""The sound is as loud after a burn as before it, by a measure that is not ours.

Source: EBU R 128 (loudness normalisation) and ITU-R BS.1770 (its algorithm), as ffmpeg's filter
``ebur128`` measures them: integrated loudness in LUFS, loudness range in LU, true peak in dBFS.
"""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from pathlib import Path

import imageio_ffmpeg
import pytest

from studio.episode.assemble import open_episode
from studio.episode.records import FrameSize
from studio.film.burn import Engine, burn
from studio.film.demo_footage import make_demo_master

MEASURES = {
    "integrated": r"I:\s+(-?[\d.]+) LUFS",
    "range": r"LRA:\s+(-?[\d.]+) LU",
    "peak": r"Peak:\s+(-?[\d.]+) dBFS",
}


def loudness(film: Path) -> dict[str, float]:
    """What the filter's summary tells of a film's sound."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-hide_banner", "-nostats", "-i", str(film)]
    measure = ["-vn", "-filter:a", "ebur128=peak=true", "-f", "null", "-"]
    done = subprocess.run([*command, *measure], check=True, capture_output=True, text=True)
    summary = done.stderr.rpartition("Summary:")[2]
    return {name: float(re.findall(pattern, summary)[0]) for name, pattern in MEASURES.items()}


@pytest.fixture(scope="module")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Six seconds of footage, 320 × 180."""
    return make_demo_master(
        tmp_path_factory.mktemp("footage") / "footage.mp4",
        seconds=6,
        size=FrameSize(320, 180),
        credit="© 2008 Blender Foundation",
    )


def master_of(pictures: Path, out: Path, gain: float) -> Path:
    """The footage with a tone for its sound that grows louder from second to second."""
    tone = f"sine=frequency=440:duration=6,volume='(0.05+0.1*floor(t))*{gain}':eval=frame"
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-loglevel", "error", "-i", str(pictures)]
    sound = ["-f", "lavfi", "-i", tone, "-map", "0:v", "-map", "1:a", "-c:v", "copy", "-c:a", "aac"]
    subprocess.run([*command, *sound, "-shortest", str(out)], check=True)
    return out


def test_the_measure_tells_a_change_of_one_decibel(pictures: Path, tmp_path: Path) -> None:
    before = loudness(master_of(pictures, tmp_path / "a.mp4", 1))
    after = loudness(master_of(pictures, tmp_path / "b.mp4", 10 ** (-1 / 20)))
    assert after["integrated"] - before["integrated"] == pytest.approx(-1, abs=0.15)
    assert before["integrated"] > -60
    assert before["range"] > 1


@pytest.mark.parametrize("engine", ["exact", "moviepy"])
def test_a_burn_leaves_loudness_as_it_was(
    engine: Engine, globe: Path, pictures: Path, tmp_path: Path
) -> None:
    whole = open_episode(globe)
    step = replace(whole.steps[0], start_ms=0, end_ms=6_000)
    cards = tuple(
        replace(card, start_ms=1_000, end_ms=5_000)
        for card in whole.cards[:1]
        if card.step_id == step.id
    )
    assert cards
    short = replace(
        whole, steps=(step,), cards=cards, cues=(), chapters=(), length_ms=6_000,
        size=FrameSize(320, 180),
    )  # fmt: skip
    master = master_of(pictures, tmp_path / "master.mp4", 1)
    report = burn(short, master, tmp_path / "film.mp4", engine=engine)
    assert report.engine == engine
    assert report.encoded > 0
    assert loudness(report.out) == loudness(master)
