"""``studio cut`` as a turner and a script see it: files, table, JSON, faults, interruptions."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from studio import cli

Edit = Callable[[Path, str, str], Path]
Capture = pytest.CaptureFixture[str]


def cut(design: Path, filmed: Any, out: Path, *more: str) -> int:
    """Run the command."""
    return cli.main(["cut", str(design), "--footage", str(filmed.folder), "--out", str(out), *more])


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir() if not path.name.endswith("-by-studio.json")}


def test_it_writes_a_film_and_a_timeline_and_tells_what_it_found(
    takes: Path, filmed: Any, tmp_path: Path, capsys: Capture
) -> None:
    out = tmp_path / "out"
    before = {path: path.read_bytes() for path in filmed.folder.iterdir()}
    assert cut(takes, filmed, out) == 0
    assert names(out) == {"rough.mp4", "timeline.otio"}
    told = capsys.readouterr().out
    top = next(line for line in told.splitlines() if line.startswith("top"))
    assert top.split()[1:3] == ["+1.234", "s"]
    assert abs(int(top.split()[3]) - filmed.top_ppm) <= 15
    assert "bench" in told
    assert "its clock counts" in told
    sand = next(line for line in told.splitlines() if line.endswith("sand"))
    assert sand.split() == [
        "7",
        "0:06.720",
        "0:07.577",
        "top",
        "0:04.000",
        "0:10.000",
        "7×",
        "sand",
    ]
    assert "length 0:08.827" in told
    assert {path: path.read_bytes() for path in filmed.folder.iterdir()} == before


def test_as_json(takes: Path, filmed: Any, tmp_path: Path, capsys: Capture) -> None:
    assert cut(takes, filmed, tmp_path / "out", "--timeline-only", "--json") == 0
    report = json.loads(capsys.readouterr().out)
    assert set(report) == {"written", "length_ms", "fps", "cameras", "takes", "notes"}
    assert [Path(path).name for path in report["written"]] == ["timeline.otio"]
    assert names(tmp_path / "out") == {"timeline.otio"}
    cameras = {one["name"]: one for one in report["cameras"]}
    assert cameras["bench"]["how"] == "reference"
    assert cameras["detail"]["how"] == "own clock"
    assert cameras["top"]["how"] == "sound"
    assert cameras["top"]["offset_s"] == pytest.approx(filmed.top_later, abs=0.002)
    assert cameras["top"]["confidence"] > 0.8
    assert report["length_ms"] == report["takes"][-1]["end_ms"] == 8827
    assert report["takes"][6]["speed"] == 7


def test_recordings_lie_in_footage_beside_the_design(
    takes: Path, filmed: Any, tmp_path: Path, capsys: Capture
) -> None:
    shutil.copytree(filmed.folder, takes.parent / "footage")
    assert cli.main(["cut", str(takes), "--out", str(tmp_path / "out"), "--timeline-only"]) == 0
    shutil.rmtree(takes.parent / "footage")
    assert cli.main(["cut", str(takes), "--out", str(tmp_path / "out")]) == 2
    assert "--footage" in capsys.readouterr().err


def test_a_design_without_takes_is_told_so(globe: Path, tmp_path: Path, capsys: Capture) -> None:
    assert cli.main(["cut", str(globe), "--out", str(tmp_path / "out")]) == 2
    assert "there are no takes to cut" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("top: top.mp4", "top: tpo.mp4", ["film.cameras.top", "there is no file"]),
        ("in: 0:08, out: 0:09.25", "in: 0:11, out: 0:12.25", ["film.takes[8].out", "from 0:00.0"]),
        ("camera: top, in: 0:02.5", "camera: top, in: 0:01.0", ["film.takes[2].in", "0:01.2"]),
        ("apart: [detail]", "apart: []", ["film.cameras.detail", "cannot be lined up", "claps:"]),
        ("size: 320x180", "size: 321x181", ["film.size", "even"]),
    ],
)
def test_what_does_not_go_together_is_told_by_line(
    takes: Path,
    filmed: Any,
    edit: Edit,
    tmp_path: Path,
    capsys: Capture,
    old: str,
    new: str,
    said: list[str],
) -> None:
    edit(takes, old, new)
    assert cut(takes, filmed, tmp_path / "out") == 2
    told = capsys.readouterr().err
    # an unplaced camera is told where its file is named
    at = "cameras:" if new == "apart: []" else new
    line = takes.read_text(encoding="utf-8").split(at)[0].count("\n") + 1
    assert f"{takes}:{line}:" in told
    for piece in said:
        assert piece in told
    assert not (tmp_path / "out").exists() or names(tmp_path / "out") == set()


def silent_top(folder: Path, film_scene: Callable[..., Path], filmed: Any, **more: Any) -> Any:
    """The same recordings, but the camera above has no sound."""
    shutil.copytree(filmed.folder, folder, dirs_exist_ok=True)
    film_scene(
        folder / "top.mp4", "top", None, begin=filmed.bench_begins + filmed.top_later, seconds=10,
        **more,
    )  # fmt: skip
    return type(filmed)(folder)


def test_a_silent_camera_asks_for_a_clap_and_takes_it(
    takes: Path, filmed: Any, edit: Edit, film_scene: Callable[..., Path], tmp_path: Path,
    capsys: Capture,
) -> None:  # fmt: skip
    mute = silent_top(tmp_path / "mute", film_scene, filmed)
    out = tmp_path / "out"
    assert cut(takes, mute, out) == 2
    told = capsys.readouterr().err
    assert "top has no sound, and no single flash is seen in both" in told
    assert "write under film: claps:" in told
    # a clap at the bench's 0:05.500 is 1.234 s earlier in a camera started so much later
    edit(takes, "  takes:", "  claps: {bench: 0:05.500, top: 0:04.266}\n  takes:")
    assert cut(takes, mute, out, "--timeline-only", "--json") == 0
    top = next(
        one for one in json.loads(capsys.readouterr().out)["cameras"] if one["name"] == "top"
    )
    assert (top["how"], top["offset_s"], top["drift_ppm"]) == ("clap", 1.234, None)


def test_a_single_clap_in_a_long_film_asks_for_a_second_one(
    takes: Path, filmed: Any, edit: Edit, tmp_path: Path, film_scene: Callable[..., Path],
    capsys: Capture,
) -> None:  # fmt: skip
    """After ten minutes two clocks may be a picture and more apart."""
    folder = tmp_path / "long"
    shutil.copytree(filmed.folder, folder)
    for name in ("bench", "top"):
        film_scene(
            folder / f"{name}.mp4", name, None, begin=0, seconds=630, size=(64, 36), fps=Fraction(2)
        )
    edit(
        takes,
        "{step: sand, camera: top, in: 0:04, out: 0:10,",
        "{step: sand, camera: top, in: 10:00, out: 10:20,",
    )
    edit(takes, "  takes:", "  claps: {bench: 0:05.5, top: 0:05}\n  takes:")
    assert cut(takes, type(filmed)(folder), tmp_path / "out", "--timeline-only", "--json") == 0
    (note,) = [n for n in json.loads(capsys.readouterr().out)["notes"] if "clap" in n]
    assert "by 10:20.0 it may be 0.06 s off" in note


def test_a_flash_lines_up_a_silent_camera(
    takes: Path, filmed: Any, film_scene: Callable[..., Path], tmp_path: Path, capsys: Capture
) -> None:
    mute = silent_top(tmp_path / "mute", film_scene, filmed, flash_at=6.05)
    film_scene(
        mute.folder / "bench.mp4",
        "bench",
        None,
        begin=filmed.bench_begins,
        seconds=12,
        flash_at=6.05,
    )
    assert cut(takes, mute, tmp_path / "out", "--timeline-only", "--json") == 0
    report = json.loads(capsys.readouterr().out)
    top = next(one for one in report["cameras"] if one["name"] == "top")
    assert top["how"] == "flash"
    assert top["offset_s"] == pytest.approx(filmed.top_later, abs=0.04)
    assert top["spread_ms"] == 40
    assert any("no sound in takes 1, 2, 5, 8" in note for note in report["notes"])


def test_a_film_changed_by_hand_is_kept_aside(
    takes: Path, filmed: Any, tmp_path: Path, capsys: Capture
) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "timeline.otio").write_text("mine", encoding="utf-8")
    assert cut(takes, filmed, out, "--timeline-only") == 0
    assert "kept as timeline.otio.kept-1" in capsys.readouterr().err
    assert (out / "timeline.otio.kept-1").read_text(encoding="utf-8") == "mine"
    # the second one is ours, and is written over without a word
    assert cut(takes, filmed, out, "--timeline-only") == 0
    assert "kept" not in capsys.readouterr().err
    assert names(out) == {"timeline.otio", "timeline.otio.kept-1"}


def test_footage_is_never_written_over(
    takes: Path, filmed: Any, edit: Edit, tmp_path: Path, capsys: Capture
) -> None:
    folder = tmp_path / "all"
    shutil.copytree(filmed.folder, folder)
    (folder / "bench.mp4").rename(folder / "rough.mp4")
    content = (folder / "rough.mp4").read_bytes()
    edit(takes, "bench: bench.mp4", "bench: rough.mp4")
    assert cli.main(["cut", str(takes), "--footage", str(folder), "--out", str(folder)]) == 2
    assert "would be written over" in capsys.readouterr().err
    assert (folder / "rough.mp4").read_bytes() == content


@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGTERM])
def test_interrupted_it_leaves_the_old_film_and_nothing_else(
    takes: Path, filmed: Any, edit: Edit, tmp_path: Path, stop: signal.Signals
) -> None:
    out = tmp_path / "out"
    assert cut(takes, filmed, out) == 0
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    edit(takes, "in: 0:01, out: 0:02.5", "in: 0:01, out: 0:11, speed: 0.25")
    edit(takes, "size: 320x180", "size: 1920x1080")
    work = subprocess.Popen(
        [sys.executable, "-m", "studio.cli", "cut", str(takes), "--footage", str(filmed.folder),
         "--out", str(out)],
        stderr=subprocess.PIPE, stdout=subprocess.PIPE, env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )  # fmt: skip
    until = time.monotonic() + 60
    while time.monotonic() < until and not list(out.glob(".cut-*/rough.mp4")):
        time.sleep(0.05)
    work.send_signal(stop)
    _, told = work.communicate(timeout=60)
    assert work.returncode == 130, told.decode()
    assert b"interrupted" in told
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


def test_what_killed_work_left_is_cleared_away(takes: Path, filmed: Any, tmp_path: Path) -> None:
    out = tmp_path / "out"
    for name, age_s in ((".cut-old", 7200), (".cut-new", 60)):
        (out / name).mkdir(parents=True)
        (out / name / "rough.mp4").write_bytes(b"half")
        for path in (out / name / "rough.mp4", out / name):
            os.utime(path, (time.time() - age_s,) * 2)
    assert cut(takes, filmed, out, "--timeline-only") == 0
    assert names(out) == {"timeline.otio", ".cut-new"}


_ON_A_SMALL_DISK = """
import resource, signal, sys
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[1]),) * 2)
from studio import cli
sys.exit(cli.main(sys.argv[2:]))
"""


@pytest.mark.parametrize("limit", [40_000, 900_000])
def test_a_full_disk_leaves_the_old_film(
    takes: Path, filmed: Any, edit: Edit, tmp_path: Path, limit: int
) -> None:
    """No file may grow beyond so many bytes: first the picture's, then the sound's is cut off."""
    out = tmp_path / "out"
    assert cut(takes, filmed, out) == 0
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    edit(takes, "out: 0:02.5}", "out: 0:10}")
    arguments = ["cut", str(takes), "--footage", str(filmed.folder), "--out", str(out)]
    done = subprocess.run(
        [sys.executable, "-c", _ON_A_SMALL_DISK, str(limit), *arguments],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 1, done.stderr
    assert "Traceback" not in done.stderr
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


def test_a_recording_that_is_cut_off_is_told(
    takes: Path, filmed: Any, tmp_path: Path, capsys: Capture
) -> None:
    folder = tmp_path / "torn"
    shutil.copytree(filmed.folder, folder)
    whole = (folder / "top.mp4").read_bytes()
    (folder / "top.mp4").write_bytes(whole[: len(whole) // 2])
    torn = type(filmed)(folder)
    assert cut(takes, torn, tmp_path / "out") == 2
    assert "top.mp4" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_recorder_of_sound_alone_may_give_the_clock(
    takes: Path, filmed: Any, edit: Edit, run_cut_sound: Path, tmp_path: Path, capsys: Capture
) -> None:
    folder = tmp_path / "with-recorder"
    shutil.copytree(filmed.folder, folder)
    shutil.copy(run_cut_sound, folder / "recorder.wav")
    edit(takes, "cameras: {bench:", "sound: recorder\n  cameras: {recorder: recorder.wav, bench:")
    text = takes.read_text(encoding="utf-8").replace(
        "{step: rough, in", "{step: rough, camera: bench, in"
    )
    text = text.replace("{step: index, in", "{step: index, camera: bench, in")
    takes.write_text(text.replace("{step: hang, in", "{step: hang, camera: bench, in"), "utf-8")
    assert cut(takes, type(filmed)(folder), tmp_path / "out", "--timeline-only", "--json") == 0
    cameras = {one["name"]: one for one in json.loads(capsys.readouterr().out)["cameras"]}
    assert cameras["recorder"]["how"] == "reference"
    assert cameras["bench"]["offset_s"] == pytest.approx(0.5, abs=0.002)
    assert cameras["top"]["offset_s"] == pytest.approx(0.5 + filmed.top_later, abs=0.002)


@pytest.fixture
def run_cut_sound(
    tmp_path: Path, scene_sound: Callable[..., Any], heard_by: Callable[..., Any]
) -> Path:
    """A recorder's WAV file of the filmed scene, begun half a second before the bench's camera."""
    import wave

    path = tmp_path / "recorder.wav"
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(48_000)
        file.writeframes(heard_by(scene_sound(20), 1.5, 13, seed=11).tobytes())
    return path
