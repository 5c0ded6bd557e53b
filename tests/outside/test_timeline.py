"""The timeline opened by OpenTimelineIO, and the rough cut's pictures and sound read back.

The timeline is read with the library's own adapter and measured with its own functions. The rough
cut is decoded by ffmpeg; each of its pictures tells which camera made it and when, because the
recordings are of a scene whose pictures are its clock.
"""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlparse

import imageio_ffmpeg
import numpy as np
import opentimelineio as otio
import pytest
import scipy.signal

from studio import cli
from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.measure.trace import plain
from studio.resources import shipped

FPS = 25
HALF = 0.5 / FPS
SIZE = (320, 180)
SOUND = 48_000


@pytest.fixture(scope="module")
def cut(
    tmp_path_factory: pytest.TempPathFactory, filmed: Any, takes_text: str
) -> tuple[Episode, Path]:
    """The invented scene's takes, cut by the command."""
    folder = tmp_path_factory.mktemp("cut") / "designs"
    shutil.copytree(shipped("designs"), folder)
    design = folder / "globe.yaml"
    text = design.read_text(encoding="utf-8")
    design.write_text(text[: text.index("film:\n")] + takes_text, encoding="utf-8")
    out = folder.parent / "out"
    arguments = ["cut", str(design), "--footage", str(filmed.folder), "--out", str(out)]
    assert cli.main(arguments) == 0
    return open_episode(design), out


@pytest.fixture(scope="module")
def timeline(cut: tuple[Episode, Path]) -> otio.schema.Timeline:
    return otio.adapters.read_from_file(str(cut[1] / "timeline.otio"))


def tracks(timeline: otio.schema.Timeline) -> tuple[otio.schema.Track, otio.schema.Track]:
    (pictures,), (sound,) = timeline.video_tracks(), timeline.audio_tracks()
    return pictures, sound


def test_the_timeline_is_as_long_as_the_film(
    cut: tuple[Episode, Path], timeline: otio.schema.Timeline
) -> None:
    episode, _ = cut
    assert episode.length_ms is not None
    assert timeline.name == plain(episode.title)
    assert abs(timeline.duration().to_seconds() - episode.length_ms / 1000) < 2 * HALF
    pictures, sound = tracks(timeline)
    assert pictures.duration() == sound.duration() == timeline.duration()


def test_clips_stand_where_the_takes_do_and_leave_no_gap(
    cut: tuple[Episode, Path], timeline: otio.schema.Timeline
) -> None:
    episode, _ = cut
    assert episode.cut is not None
    pictures, _ = tracks(timeline)
    assert all(isinstance(item, otio.schema.Clip) for item in pictures)
    at = otio.opentime.RationalTime(0, FPS)
    for clip, take in zip(pictures, episode.cut.takes, strict=True):
        placed = pictures.range_of_child(clip)
        assert placed.start_time == at, "no gap, and no half picture"
        assert abs(placed.start_time.to_seconds() - take.start_ms / 1000) < 2 * HALF
        at = placed.end_time_exclusive()
        assert placed.duration.value == int(placed.duration.value)
        assert clip.media_reference.name == take.camera
        warps = [e for e in clip.effects if isinstance(e, otio.schema.LinearTimeWarp)]
        assert [warp.time_scalar for warp in warps] == (
            [float(take.speed)] if take.speed != 1 else []
        )


def test_clips_name_their_recordings_and_the_time_in_them(
    cut: tuple[Episode, Path], timeline: otio.schema.Timeline, filmed: Any
) -> None:
    """The camera above began 1.234 s later and ran 80 ppm fast; the detail has its own clock."""
    episode, _ = cut
    assert episode.cut is not None
    pictures, _ = tracks(timeline)
    for clip, take in zip(pictures, episode.cut.takes, strict=True):
        path = Path(unquote(urlparse(clip.media_reference.target_url).path))
        assert path == (filmed.folder / f"{take.camera}.mp4").resolve()
        own = take.in_ms / 1000
        if take.camera == "top":
            own = (own - filmed.top_later) * (1 + filmed.top_ppm * 1e-6)
        begins = clip.source_range.start_time.to_seconds()
        assert begins == pytest.approx(own, abs=HALF + 0.002)
        played = clip.source_range.duration.to_seconds() * float(take.speed)
        available = clip.available_range().duration.to_seconds()
        assert begins + played <= available + 2 * HALF * float(take.speed)
        assert played == pytest.approx(
            (take.out_ms - take.in_ms) / 1000, abs=2 * HALF * float(take.speed)
        )


def test_sound_lies_beside_pictures_played_at_their_own_speed(
    cut: tuple[Episode, Path], timeline: otio.schema.Timeline
) -> None:
    episode, _ = cut
    assert episode.cut is not None
    pictures, sound = tracks(timeline)
    for heard, shown, take in zip(sound, pictures, episode.cut.takes, strict=True):
        assert sound.range_of_child(heard) == pictures.range_of_child(shown)
        assert isinstance(heard, otio.schema.Gap if take.speed != 1 else otio.schema.Clip)
        if take.speed == 1:
            wanted = "detail" if take.camera == "detail" else "bench"
            assert heard.media_reference.name == wanted


def test_markers_stand_at_steps_and_overlays(
    cut: tuple[Episode, Path], timeline: otio.schema.Timeline
) -> None:
    episode, _ = cut
    markers = list(timeline.tracks.markers)
    wanted = [(step.start_ms, step.end_ms, plain(step.title)) for step in episode.steps]
    wanted += [(card.start_ms, card.end_ms, plain(card.heading)) for card in episode.cards]
    # of steps of a second not all have time for a card
    assert len(markers) == len(wanted) > len(episode.steps)
    for start, end, name in wanted:
        assert start is not None
        assert end is not None
        found = [
            marker
            for marker in markers
            if marker.name.endswith(name)
            and 0 <= marker.marked_range.start_time.to_seconds() - start / 1000 < 2 * HALF
            and 0 <= marker.marked_range.end_time_exclusive().to_seconds() - end / 1000 < 2 * HALF
        ]
        assert found, (start, end, name)


# --- the rough cut ------------------------------------------------------------------------------


def ffmpeg(*arguments: str) -> bytes:
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-hide_banner", "-v", "error", *arguments]
    done = subprocess.run(command, check=True, capture_output=True)
    assert done.stderr == b"", done.stderr.decode()
    return done.stdout


@pytest.fixture(scope="module")
def pictures(cut: tuple[Episode, Path]) -> np.ndarray:
    data = ffmpeg(
        "-i", str(cut[1] / "rough.mp4"), "-fps_mode", "passthrough",
        "-f", "rawvideo", "-pix_fmt", "rgb24", "-",
    )  # fmt: skip
    return np.frombuffer(data, np.uint8).reshape(-1, SIZE[1], SIZE[0], 3)


def test_every_picture_is_of_the_right_camera_and_time(
    cut: tuple[Episode, Path],
    pictures: np.ndarray,
    told_by: Callable[[np.ndarray], Any],
    filmed: Any,
) -> None:
    """Computed here from the takes alone: in + (time in the film - start) x speed."""
    episode, _ = cut
    assert episode.cut is not None
    assert episode.length_ms is not None
    assert len(pictures) == -(-episode.length_ms * FPS // 1000)
    began = {
        "bench": filmed.bench_begins,
        "top": filmed.bench_begins,
        "detail": filmed.detail_begins,
    }
    rates = {"bench": 25, "top": 30, "detail": 25}
    for number, picture in enumerate(pictures):
        at = number * 1000 / FPS
        take = next(t for t in episode.cut.takes if t.start_ms <= at < t.end_ms)
        scene = take.in_ms + (at - take.start_ms) * float(take.speed) + began[take.camera] * 1000
        told = told_by(picture)
        assert told.camera == take.camera, number
        # a picture is shown from its own time until the next one's
        late = scene - told.ms
        assert -3 <= late <= 1000 / rates[take.camera] + 3, (number, take, told)


def test_the_pictures_are_whole_and_in_the_films_colours(
    cut: tuple[Episode, Path], pictures: np.ndarray
) -> None:
    """The reds, blues and greens that were filmed, within what two encodings do to them."""
    episode, _ = cut
    assert episode.cut is not None
    colours = {"bench": (200, 40, 40), "top": (40, 60, 200), "detail": (40, 180, 60)}
    for take in episode.cut.takes:
        picture = pictures[min(-(-take.start_ms * FPS // 1000) + 1, len(pictures) - 1)]
        shown = picture[10:80, 20:300].reshape(-1, 3).mean(axis=0)
        assert np.abs(shown - colours[take.camera]).max() < 14, take


def test_the_sound_is_that_of_the_clocks_camera(cut: tuple[Episode, Path], filmed: Any) -> None:
    """Takes at their own speed have the bench's sound, or their own where they stand apart."""
    episode, out = cut
    assert episode.cut is not None

    def heard(path: Path) -> np.ndarray:
        arguments = ("-i", str(path), "-vn", "-ac", "1", "-ar", str(SOUND), "-f", "s16le", "-")
        return np.frombuffer(ffmpeg(*arguments), np.int16).astype(float)

    rough = heard(out / "rough.mp4")
    sources = {name: heard(filmed.folder / f"{name}.mp4") for name in ("bench", "detail")}
    margin = SOUND // 20
    for take in episode.cut.takes:
        first, last = (ms * SOUND // 1000 for ms in (take.start_ms, take.end_ms))
        piece = rough[first + margin : last - margin]
        if take.speed != 1:
            assert np.sqrt((piece**2).mean()) < 3, take
            continue
        source = sources["detail" if take.camera == "detail" else "bench"]
        begin = take.in_ms * SOUND // 1000 + margin
        # where the piece fits best, within a tenth of a second about where it should be
        around = source[begin - 4800 : begin + len(piece) + 4800]
        like = scipy.signal.correlate(around, piece, mode="valid", method="fft")
        assert abs(int(like.argmax()) - 4800) <= 48, (take, int(like.argmax()) - 4800)
        same = like.max() / np.sqrt((piece**2).sum() * (around[4800:-4800] ** 2).sum())
        assert same > 0.95


def test_a_rate_that_is_no_whole_number_does_not_drift(
    tmp_path: Path, takes: Path, film_scene: Callable[..., Path], told_by: Callable[..., Any]
) -> None:
    """30000/1001 pictures a second, forty takes: the last is on its picture, not one off."""
    fps = Fraction(30000, 1001)
    folder = tmp_path / "footage"
    folder.mkdir()
    film_scene(folder / "bench.mp4", "bench", None, begin=0, seconds=8, fps=fps)
    text = takes.read_text(encoding="utf-8")
    steps = [step.id for step in open_episode(takes).steps]
    lines = [f"    - {{in: 0:0{place % 7}.{place:02d}, out: 0:0{place % 7}.{place + 17:02d}}}"
             for place in range(40)]  # fmt: skip
    for place, step in enumerate(steps):
        lines[place * 5] = lines[place * 5].replace("{in", f"{{step: {step}, in")
    film = "film:\n  size: 320x180\n  silent: yes\n  cameras: {bench: bench.mp4}\n  takes:\n"
    takes.write_text(text[: text.index("film:\n")] + film + "\n".join(lines) + "\n", "utf-8")
    out = tmp_path / "out"
    assert cli.main(["cut", str(takes), "--footage", str(folder), "--out", str(out)]) == 0
    data = ffmpeg("-i", str(out / "rough.mp4"), "-fps_mode", "passthrough",
                  "-f", "rawvideo", "-pix_fmt", "rgb24", "-")  # fmt: skip
    shown = np.frombuffer(data, np.uint8).reshape(-1, SIZE[1], SIZE[0], 3)
    episode = open_episode(takes)
    assert episode.cut is not None
    opened = otio.adapters.read_from_file(str(out / "timeline.otio"))
    assert opened.duration().value == len(shown)
    for clip, take in zip(tracks_of(opened), episode.cut.takes, strict=True):
        first = int(opened.video_tracks()[0].range_of_child(clip).start_time.value)
        assert Fraction(first) / fps >= Fraction(take.start_ms, 1000) > Fraction(first - 1) / fps
        scene = take.in_ms + float(first / fps) * 1000 - take.start_ms
        assert -3 <= scene - told_by(shown[first]).ms <= float(1000 / fps) + 3


def tracks_of(timeline: otio.schema.Timeline) -> list[otio.schema.Clip]:
    return list(timeline.video_tracks()[0])
