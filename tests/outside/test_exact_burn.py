"""Burned films against tools and formulas from outside: ffmpeg, ITU-R BT.709, Chromium.

ffmpeg (imageio-ffmpeg's) demuxes, fingerprints and decodes; the blend is computed here from
Recommendation ITU-R BT.709's own formulas in floating point; Chromium plays and seeks.
"""

from __future__ import annotations

import dataclasses
import functools
import http.server
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import av
import imageio_ffmpeg
import numpy as np
import pytest

from studio.episode.records import Card, CardKind, CardRow, Episode, FrameSize
from studio.film.burn import BurnReport, Engine, burn
from studio.film.demo_footage import make_demo_master
from studio.film.look import load_look
from studio.film.overlays import draw
from tests.browser import chromium

WIDTH, HEIGHT, FPS, SECONDS = 480, 270, 30, 10


def ffmpeg(*arguments: str) -> bytes:
    """Run ffmpeg; it must not say a word."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-hide_banner", "-v", "error", "-y", *arguments]
    done = subprocess.run(command, check=True, capture_output=True)
    assert done.stderr == b"", done.stderr.decode()
    return done.stdout


def packets(film: Path, track: str) -> list[str]:
    """Time base, then dts, pts, duration, size and checksum of each packet (framecrc muxer)."""
    text = ffmpeg("-i", str(film), "-map", f"0:{track}", "-c", "copy", "-f", "framecrc", "-")
    lines = text.decode().splitlines()
    return [line for line in lines if not line.startswith("#") or line.startswith("#tb")]


def luma(film: Path) -> np.ndarray:
    """Brightness of every picture as stored, decoded by ffmpeg."""
    data = ffmpeg(
        "-i", str(film), "-map", "0:v:0", "-fps_mode", "passthrough", "-enc_time_base", "demux",
        "-pix_fmt", "yuv420p", "-f", "rawvideo", "-",
    )  # fmt: skip
    stored = np.frombuffer(data, np.uint8).reshape(-1, HEIGHT * 3 // 2, WIDTH)
    return stored[:, :HEIGHT]


def psnr(one: np.ndarray, other: np.ndarray) -> float:
    """Peak signal-to-noise ratio of 8-bit samples, in decibels: 10 log10(255² / mean square)."""
    return float(10 * np.log10(255**2 / np.square(one - other).mean()))


def card(number: int, kind: CardKind, start: int, end: int, label: str = "Groove") -> Card:
    return Card(
        number=number,
        step_id="s",
        kind=kind,
        heading="Cut the grooves",
        rows=(CardRow(label=label, value="12 mm" if kind is CardKind.MEASUREMENT else ""),),
        start_ms=start,
        end_ms=end,
    )


@pytest.fixture(scope="session")
def footage(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Ten seconds of real footage with sound, nearly without loss."""
    folder = tmp_path_factory.mktemp("footage")
    raw = make_demo_master(folder / "raw.mp4", seconds=SECONDS, size=FrameSize(WIDTH, HEIGHT))
    ffmpeg(
        "-i", str(raw), "-r", str(FPS), "-c:v", "libx264", "-preset", "ultrafast", "-crf", "4",
        "-g", "1", "-t", str(SECONDS), "-c:a", "copy", str(folder / "footage.mp4"),
    )  # fmt: skip
    return folder / "footage.mp4"


@pytest.fixture(scope="session")
def master(footage: Path) -> Callable[..., Path]:
    """Make a master from the footage with given encoder arguments; the same once only."""

    @functools.cache
    def make(*arguments: str) -> Path:
        out = Path(tempfile.mkdtemp(dir=footage.parent)) / "master.mp4"
        ffmpeg(
            "-i", str(footage), "-c:v", "libx264", "-preset", "veryfast", "-crf", "18",
            "-c:a", "copy", *arguments, str(out),
        )  # fmt: skip
        return out

    return make


@pytest.fixture
def short(episode: Episode) -> Callable[..., Episode]:
    """The shipped globe's episode, cut down to ten seconds and given cards."""

    def with_cards(*cards: Card) -> Episode:
        return dataclasses.replace(
            episode,
            steps=(dataclasses.replace(episode.steps[0], start_ms=0, end_ms=SECONDS * 1000),),
            cards=cards,
            chapters=tuple(
                dataclasses.replace(chapter, start_ms=at, end_ms=at + 5000)
                for chapter, at in zip(episode.chapters, (0, 5000), strict=False)
            ),
            cues=tuple(
                dataclasses.replace(cue, start_ms=at, end_ms=at + 2000)
                for cue, at in zip(episode.cues, (1000, 4000, 7000), strict=False)
            ),
            size=FrameSize(WIDTH, HEIGHT),
            length_ms=SECONDS * 1000,
        )

    return with_cards


START = card(1, CardKind.MEASUREMENT, 0, 3000)
MIDDLE = card(1, CardKind.MEASUREMENT, 4100, 7100)
END = card(2, CardKind.CAUTION, 6000, 10_000, "Stop the lathe")

MASTERS = {
    "key frames 30 apart": ("-g", "30"),
    "key frames 60 apart, no scene cuts": ("-g", "60", "-sc_threshold", "0"),
    "key frames 250 apart": ("-g", "250", "-sc_threshold", "0"),
    # a picture that is made from the four before it would show a card drawn on those
    "no B-frames": ("-g", "60", "-bf", "0", "-refs", "4", "-x264-params", "mixed-refs=1"),
    "B-frames that nothing depends on": ("-g", "60", "-x264-params", "b-pyramid=none"),
    "many B-frames": ("-g", "60", "-bf", "8", "-x264-params", "b-adapt=2"),
    "main profile, three slices": ("-g", "60", "-profile:v", "main", "-slices", "3"),
    "baseline": ("-g", "60", "-profile:v", "baseline"),
    "variable rate": (
        *("-g", "60", "-vf", "setpts='(N+0.4*mod(N,3))/30/TB'", "-fps_mode", "vfr"),
        *("-enc_time_base", "1/90000", "-video_track_timescale", "90000"),
    ),
}


def same_outside(report: BurnReport, master: Path) -> tuple[int, int]:
    """Packets that are the master's, and pictures; every time must be."""
    theirs, ours = packets(master, "v:0"), packets(report.out, "v:0")
    assert len(theirs) == len(ours)
    assert theirs[0] == ours[0], "another time base"
    parted = [
        [[field.strip() for field in line.split(",")] for line in lines[1:]]
        for lines in (theirs, ours)
    ]
    decoded, shown, lasting = 1, 2, 3
    for field in (decoded, lasting):
        assert [line[field] for line in parted[0]] == [line[field] for line in parted[1]]
    # in a new stretch the encoder may order its pictures in another way, at the same times
    times = [sorted(int(line[shown]) for line in lines) for lines in parted]
    assert times[0] == times[1]
    assert packets(master, "a:0") == packets(report.out, "a:0"), "the sound changed"
    return sum(one == two for one, two in zip(*parted, strict=True)), len(parted[0])


@pytest.mark.parametrize(
    ("kind", "cards"),
    [(kind, (MIDDLE,)) for kind in MASTERS]
    + [("key frames 30 apart", (START, END)), ("variable rate", (START, END))],
)
def test_outside_the_stretches_packets_are_the_masters_and_inside_the_blend_is_right(
    short: Callable[..., Episode],
    master: Callable[..., Path],
    tmp_path: Path,
    kind: str,
    cards: tuple[Card, ...],
) -> None:
    source, made_from = master(*MASTERS[kind]), short(*cards)
    report = burn(made_from, source, tmp_path / "film.mp4", progress=False)
    assert (report.engine, report.notes) == ("exact", ())
    copied, pictures = same_outside(report, source)
    assert copied == pictures - report.encoded
    before, after = luma(source), luma(report.out)
    assert len(before) == len(after) == pictures
    times = shown_at(source)
    look = load_look(made_from.look)
    untouched = np.ones(pictures, bool)
    for one, ending in zip(cards, report.endings, strict=True):
        drawn = draw(one, FrameSize(WIDTH, HEIGHT), look)
        left, top, right, foot = drawn.getbbox()
        pixels = np.asarray(drawn, float)
        alpha = pixels[:, :, 3] / 255
        # Recommendation ITU-R BT.709: E'Y of gamma-corrected R, G, B, quantised to 16..235
        bright = 16 + 219 * (pixels[:, :, :3] / 255 @ [0.2126, 0.7152, 0.0722])
        fade = look.fade_ms / 1000
        settled = (times >= one.start_ms / 1000 + fade) & (times < ending.burnt_ms / 1000 - fade)
        assert settled.sum() > 30
        part, box = np.s_[top:foot, left:right], np.s_[:, top:foot, left:right]
        blend = before[box][settled] * (1 - alpha[part]) + (bright * alpha)[part]
        assert psnr(after[box][settled], blend) >= 45
        shown = (times >= one.start_ms / 1000 - 0.001) & (times < ending.burnt_ms / 1000 - 0.001)
        untouched &= ~shown
        assert ending.least_ms <= ending.burnt_ms <= ending.planned_ms
    # what is neither under a card nor in a tail is the master's to the bit
    equal = (before == after).all(axis=(1, 2))
    assert equal.sum() >= pictures - report.encoded
    assert all(psnr(before[at], after[at]) > 38 for at in np.flatnonzero(untouched & ~equal))


def shown_at(film: Path) -> np.ndarray:
    """When each picture is shown, in seconds, in order."""
    head, *lines = packets(film, "v:0")
    numerator, denominator = (int(part) for part in head.split(":")[1].split("/"))
    return np.array(sorted(int(line.split(",")[2]) for line in lines)) * numerator / denominator


def test_moviepys_blend_is_right_too(
    short: Callable[..., Episode], master: Callable[..., Path], tmp_path: Path
) -> None:
    source, made_from = master(*MASTERS["key frames 60 apart, no scene cuts"]), short(MIDDLE)
    report = burn(made_from, source, tmp_path / "film.mp4", progress=False, engine="moviepy")
    assert report.engine == "moviepy"
    drawn = draw(MIDDLE, FrameSize(WIDTH, HEIGHT), load_look(made_from.look))
    left, top, right, foot = drawn.getbbox()
    pixels = np.asarray(drawn, float)
    alpha = pixels[:, :, 3] / 255
    bright = 16 + 219 * (pixels[:, :, :3] / 255 @ [0.2126, 0.7152, 0.0722])
    stands, box = slice(4 * FPS + 20, 7 * FPS - 20), np.s_[:, top:foot, left:right]
    part = np.s_[top:foot, left:right]
    blend = luma(source)[stands][box] * (1 - alpha[part]) + (bright * alpha)[part]
    assert psnr(luma(report.out)[stands][box], blend) >= 38


UNEVEN = {
    "by moviepy": ((), "moviepy"),
    "HEVC": (("-c:v", "libx265", "-x265-params", "log-level=error"), "exact"),
    "ten bits": (("-pix_fmt", "yuv420p10le", "-profile:v", "high10"), "exact"),
}


@pytest.mark.parametrize("kind", UNEVEN)
def test_a_whole_pass_keeps_uneven_times(
    short: Callable[..., Episode], master: Callable[..., Path], tmp_path: Path, kind: str
) -> None:
    """Times as FFmpeg reads them; the blend as above, on the pictures that the clock says."""
    arguments, engine = UNEVEN[kind]
    source = master(*MASTERS["variable rate"], *arguments)
    made_from = short(MIDDLE)
    report = burn(made_from, source, tmp_path / "film.mp4", progress=False, engine=engine)
    assert report.engine == "moviepy"
    assert bool([note for note in report.notes if "whole film was encoded" in note]) == (
        engine == "exact"
    )
    times = shown_at(source)
    # not a rate: some pictures stay 0.6 of the mean, some 1.4
    assert np.diff(times).max() > 1.3 * np.diff(times).min()
    assert shown_at(report.out) == pytest.approx(times - times[0], abs=1e-4)
    assert packets(source, "a:0")[1:] == packets(report.out, "a:0")[1:], "the sound changed"
    drawn = draw(MIDDLE, FrameSize(WIDTH, HEIGHT), load_look(made_from.look))
    left, top, right, foot = drawn.getbbox()
    pixels = np.asarray(drawn, float)
    alpha = pixels[:, :, 3] / 255
    bright = 16 + 219 * (pixels[:, :, :3] / 255 @ [0.2126, 0.7152, 0.0722])
    box = np.s_[:, top:foot, left:right]
    before, after = luma(source)[box], luma(report.out)[box]
    alpha, bright = alpha[box[1:]], bright[box[1:]]
    at = times - times[0]
    settled = (at > MIDDLE.start_ms / 1000 + 0.5) & (at < MIDDLE.end_ms / 1000 - 0.5)
    assert psnr(after[settled], before[settled] * (1 - alpha) + bright * alpha) >= 38
    outside = (at < MIDDLE.start_ms / 1000 - 0.001) | (at >= MIDDLE.end_ms / 1000)
    assert psnr(after[outside], before[outside]) >= 38


# --- a second burn ----------------------------------------------------------------------------


FIVE = tuple(
    card(number, CardKind.CAUTION, start, start + 1200, f"Groove {number}")
    for number, start in enumerate((300, 2200, 4200, 6200, 8200), 1)
)


def changed(which: int) -> tuple[Card, ...]:
    row = dataclasses.replace(FIVE[which].rows[0], label="Another word")
    return tuple(
        dataclasses.replace(one, rows=(row,)) if place == which else one
        for place, one in enumerate(FIVE)
    )


def test_a_second_burn_encodes_only_what_changed(
    short: Callable[..., Episode], master: Callable[..., Path], tmp_path: Path
) -> None:
    source, out = master(*MASTERS["key frames 30 apart"]), tmp_path / "film.mp4"
    first = burn(short(*FIVE), source, out, progress=False)
    was = packets(out, "v:0")
    assert first.taken_over == 0
    second = burn(short(*changed(2)), source, out, progress=False)
    # its own pictures, 4.2 to 5.4 s, and a tail of less than a group
    assert 36 <= second.encoded < 36 + 2 * 30
    assert second.encoded + second.taken_over == first.encoded
    now = packets(out, "v:0")
    differ = [place for place, (a, b) in enumerate(zip(was[1:], now[1:], strict=True)) if a != b]
    assert differ
    assert 4 * FPS < min(differ) <= max(differ) < 6.5 * FPS
    same_outside(second, source)
    # the film is the one that a burn from nothing gives, to the encoder's noise: with its tree of
    # macroblocks x264 does not always write the same bits twice on a busy machine (measured: the
    # same pictures went in), and without it the same quality takes half as many bits again
    anew = tmp_path / "anew" / "film.mp4"
    assert burn(short(*changed(2)), source, anew, progress=False).taken_over == 0
    one, other = luma(out).astype(int), luma(anew).astype(int)
    assert np.abs(one - other).mean(axis=(1, 2)).max() < 1.5
    # and a third with nothing changed encodes nothing
    third = burn(short(*changed(2)), source, out, progress=False)
    assert (third.encoded, third.taken_over) == (0, first.encoded)
    assert packets(out, "v:0") == now
    # the same stretch with the same card on it, for three pictures less, is another one
    briefer = dataclasses.replace(FIVE[3], end_ms=FIVE[3].end_ms - 100)
    moved = burn(short(*changed(2)[:3], briefer, FIVE[4]), source, out, progress=False)
    assert 0 < moved.encoded < first.encoded / 2
    assert moved.encoded + moved.taken_over == first.encoded


def test_a_changed_master_or_film_starts_anew(
    short: Callable[..., Episode], master: Callable[..., Path], tmp_path: Path
) -> None:
    out, source = tmp_path / "film.mp4", tmp_path / "master.mp4"
    shutil.copy(master(*MASTERS["key frames 30 apart"]), source)
    made_from = short(FIVE[0])

    def taken_over(engine: Engine = "exact") -> int:
        return burn(made_from, source, out, progress=False, engine=engine).taken_over

    assert taken_over() == 0
    assert taken_over() > 0
    # the same master, one bit of one picture another
    with av.open(str(source)) as container:
        pictures = [packet for packet in container.demux(video=0) if packet.size]
    place = pictures[200].pos + pictures[200].size // 2
    held = bytearray(source.read_bytes())
    held[place] ^= 1
    source.write_bytes(held)
    assert taken_over() == 0
    # the film was exchanged
    shutil.copy(master(*MASTERS["key frames 60 apart, no scene cuts"]), out)
    assert taken_over() == 0
    # a film by the other engine is none to take from
    assert taken_over("moviepy") == 0
    assert taken_over() == 0
    record = out.parent / ".burned-by-studio.json"
    for text in ("", "[]", '{"film.mp4": {"master": 1, "pieces": [1]}}'):
        record.write_text(text)
        assert taken_over() == 0


# --- interrupted, killed, no room -------------------------------------------------------------


IN_ITS_OWN_PROCESS = """
import pickle, resource, sys
from pathlib import Path
from studio.errors import WorkFailed
from studio.film.burn import burn
episode = pickle.loads(Path(sys.argv[1]).read_bytes())
if int(sys.argv[4]):
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[4]),) * 2)
try:
    burn(episode, Path(sys.argv[2]), Path(sys.argv[3]), progress=True)
except WorkFailed as error:
    print(error)
    sys.exit(1)
"""


def command(made_from: Episode, source: Path, out: Path, most_bytes: int) -> list[str]:
    import pickle

    kept = out.parent.parent / "episode"
    kept.write_bytes(pickle.dumps(dataclasses.replace(made_from, table=None, piece=None)))
    return [
        *(sys.executable, "-c", IN_ITS_OWN_PROCESS),
        *(str(kept), str(source), str(out), str(most_bytes)),
    ]


@pytest.fixture(scope="module")
def burnt_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where a film with five cards is burnt, once for all tests that begin with one."""
    return tmp_path_factory.mktemp("burnt") / "film.mp4"


@pytest.fixture
def burnt(short: Callable[..., Episode], master: Callable[..., Path], burnt_once: Path) -> Path:
    if not burnt_once.exists():
        burn(short(*FIVE), master(*MASTERS["key frames 250 apart"]), burnt_once, progress=False)
    return burnt_once


def test_a_killed_burn_leaves_the_old_film_and_a_later_one_clears_up(
    short: Callable[..., Episode], master: Callable[..., Path], burnt: Path, tmp_path: Path
) -> None:
    source, out = master(*MASTERS["key frames 250 apart"]), tmp_path / "out" / "film.mp4"
    shutil.copytree(burnt.parent, out.parent)
    before = {path.name: path.read_bytes() for path in out.parent.iterdir()}
    with subprocess.Popen(
        command(short(MIDDLE), source, out, 0), stderr=subprocess.PIPE, start_new_session=True
    ) as process:
        assert process.stderr is not None
        while b"%" not in (piece := process.stderr.read(16)):
            assert piece, "the burn ended before it could be killed"
        os.killpg(process.pid, signal.SIGKILL)
        process.wait(timeout=20)
    left = [path for path in out.parent.iterdir() if path.name not in before]
    assert all(path.name.startswith(".burn-") for path in left)
    assert {name: (out.parent / name).read_bytes() for name in before} == before
    assert left
    # at once; and the old film is still one to take from
    assert burn(short(*FIVE), source, out, progress=False).encoded == 0
    assert sorted(path.name for path in out.parent.iterdir()) == sorted(before)


@pytest.mark.parametrize("room", [40_000, 400_000, -15_000])
def test_no_room_leaves_the_old_film(
    short: Callable[..., Episode], master: Callable[..., Path], burnt: Path, tmp_path: Path,
    room: int,
) -> None:  # fmt: skip
    """A limit on the size of files stops writing as a full disk does: at the pictures, in the
    midst of them, and at the join, whose file is the larger by its sound."""
    source, out = master(*MASTERS["key frames 250 apart"]), tmp_path / "out" / "film.mp4"
    shutil.copytree(burnt.parent, out.parent)
    before = {path.name: path.read_bytes() for path in out.parent.iterdir()}
    if room < 0:
        film = tmp_path / "whole" / "film.mp4"
        shutil.copytree(burnt.parent, film.parent)
        burn(short(*changed(1)), source, film, progress=False)
        room += film.stat().st_size
    done = subprocess.run(
        command(short(*changed(1)), source, out, room), capture_output=True, text=True, check=False
    )
    assert done.returncode == 1, done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout.strip()
    assert {path.name: path.read_bytes() for path in out.parent.iterdir()} == before


# --- in a browser -----------------------------------------------------------------------------


PAGE = """<!doctype html><meta charset="utf-8"><video muted playsinline src="film.mp4"></video>
<script>
const video = document.querySelector("video"), found = {pictures: [], errors: []};
const canvas = document.createElement("canvas");
canvas.width = 48; canvas.height = 27;
const pen = canvas.getContext("2d", {willReadFrequently: true});
const told = name => new Promise(done => video.addEventListener(name, done, {once: true}));
// a busy machine says that it has sought before it shows the picture
const shown = () => new Promise(done => {
  video.requestVideoFrameCallback(done);
  setTimeout(done, 2000);
});
video.onerror = () => { found.errors.push(video.error.message); finish(); };
let over = false;
function finish() {
  if (over) return;
  over = true;
  fetch("/found", {method: "POST", body: JSON.stringify(found)});
}
(async () => {
  if (video.readyState < 2) await told("loadeddata");
  found.length = video.duration;
  for (const at of TIMES) {
    const picture = shown();
    video.currentTime = at;
    await told("seeked");
    await picture;
    pen.drawImage(video, 0, 0, 48, 27);
    const data = pen.getImageData(0, 0, 48, 27).data, grey = [];
    for (let i = 0; i < data.length; i += 4)
      grey.push(0.2126 * data[i] + 0.7152 * data[i + 1] + 0.0722 * data[i + 2]);
    found.pictures.push(grey);
  }
  video.currentTime = 0;
  await told("seeked");
  video.playbackRate = 6;
  const ended = told("ended");
  await video.play();
  await ended;
  found.ended = video.currentTime;
  found.tracks = video.getVideoPlaybackQuality().corruptedVideoFrames;
  finish();
})().catch(error => { found.errors.push(String(error)); finish(); });
</script>"""


class _Served(http.server.BaseHTTPRequestHandler):
    """The page, the film in ranges as a player asks for them, and what the page found."""

    film: bytes
    page: str
    found: dict[str, Any]
    done: threading.Event

    def do_GET(self) -> None:
        content, kind = self.page.encode(), "text/html"
        if self.path == "/film.mp4":
            content, kind = self.film, "video/mp4"
        asked = self.headers.get("Range")
        first, last = 0, len(content) - 1
        if asked:
            low, _, high = asked.removeprefix("bytes=").partition("-")
            first, last = int(low), min(int(high or last), last)
        self.send_response(206 if asked else 200)
        self.send_header("Content-Type", kind)
        self.send_header("Accept-Ranges", "bytes")
        self.send_header("Content-Length", str(last - first + 1))
        if asked:
            self.send_header("Content-Range", f"bytes {first}-{last}/{len(content)}")
        self.end_headers()
        try:
            self.wfile.write(content[first : last + 1])
        except (BrokenPipeError, ConnectionResetError):
            return

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        self.found.update(json.loads(body))
        self.send_response(204)
        self.end_headers()
        self.done.set()

    def log_message(self, *_: object) -> None:
        return


def played(film: Path, times: list[float]) -> dict[str, Any]:
    """What Chromium made of a film: pictures at these times, and whether it played to its end."""
    browser = chromium()
    page = PAGE.replace("TIMES", json.dumps(times))
    handler = type(
        "Served",
        (_Served,),
        {"film": film.read_bytes(), "page": page, "found": {}, "done": threading.Event()},
    )
    with (
        http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server,
        tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile,
    ):
        threading.Thread(target=server.serve_forever, daemon=True).start()
        arguments = [
            browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic",
            "--no-first-run", "--disable-background-networking", "--disable-component-update",
            "--disable-sync", "--autoplay-policy=no-user-gesture-required",
            "--remote-debugging-port=0", f"--user-data-dir={profile}",
            f"http://127.0.0.1:{server.server_address[1]}/",
        ]  # fmt: skip
        with subprocess.Popen(
            arguments, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
        ) as process:
            try:
                assert handler.done.wait(120), "Chromium did not come to an end"
            finally:
                os.killpg(process.pid, signal.SIGKILL)
        server.shutdown()
    return handler.found


@pytest.mark.parametrize("kind", ["many B-frames", "variable rate"])
def test_chromium_plays_and_seeks_across_the_joins(
    short: Callable[..., Episode], master: Callable[..., Path], tmp_path: Path, kind: str
) -> None:
    """Round every join the picture on screen is the one that ffmpeg decodes there."""
    source, out = master(*MASTERS[kind]), tmp_path / "film.mp4"
    report = burn(short(*FIVE), source, out, progress=False)
    # after a second burn the film holds stretches of two burns
    report = burn(short(*changed(2)), source, out, progress=False)
    assert report.engine == "exact"
    assert report.taken_over > 0
    starts = shown_at(out)
    joins = [one.start_ms / 1000 for one in FIVE] + [one.burnt_ms / 1000 for one in report.endings]
    wanted = sorted(
        {
            min(max(int(np.searchsorted(starts, at)) + step, 0), len(starts) - 2)
            for at in joins
            for step in (-1, 0)
        }
    )
    times = [float(starts[at] + starts[at + 1]) / 2 for at in wanted]
    found = played(out, times)
    assert found["errors"] == []
    assert found["ended"] == pytest.approx(found["length"], abs=0.1)
    assert found["length"] == pytest.approx(SECONDS, abs=0.1)
    # the mean over each of 48 × 27 cells, from 16..235 to 0..255
    cells = luma(out).reshape(-1, 27, 10, 48, 10).mean(axis=(2, 4))
    cells = ((cells - 16) * 255 / 219).clip(0, 255)
    for at, grey in zip(wanted, found["pictures"], strict=True):
        near = range(max(0, at - 1), at + 2)
        off = {n: np.abs(np.reshape(grey, (27, 48)) - cells[n]).mean() for n in near}
        assert off[at] < 6, (at, off)
        # and no neighbour is nearer; pictures may be alike
        assert off[at] <= min(off.values()) + 0.2, (at, off)
