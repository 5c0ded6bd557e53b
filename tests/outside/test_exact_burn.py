"""Burned films against tools and formulas from outside: ffmpeg, ITU-R BT.709, Chromium.

ffmpeg (imageio-ffmpeg's) demuxes, fingerprints and decodes; the blend is computed here from
Recommendation ITU-R BT.709's own formulas in floating point; Chromium plays and seeks.
"""

from __future__ import annotations

import dataclasses
import functools
import http.server
import json
import math
import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import imageio_ffmpeg
import numpy as np
import pytest

from studio.episode.records import Card, CardKind, CardRow, Episode, FrameSize
from studio.film.burn import BurnReport, burn
from studio.film.demo_footage import make_demo_master
from studio.film.look import load_look
from studio.film.overlays import draw

WIDTH, HEIGHT, FPS, SECONDS = 640, 360, 30, 10


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
    "no B-frames": ("-g", "60", "-bf", "0"),
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
        blend = before[settled] * (1 - alpha) + bright * alpha
        box = np.s_[:, top:foot, left:right]
        assert psnr(after[settled][box], blend[box]) >= 45
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
    blend = luma(source)[stands] * (1 - alpha) + bright * alpha
    assert psnr(luma(report.out)[stands][box], blend[box]) >= 38
