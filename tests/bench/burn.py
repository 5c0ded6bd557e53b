"""Measures the burn by copying against whole passes: python tests/bench/burn.py

Makes masters of real pictures with the wanted size, length and key frames, burns five overlays
that cover 10 % and 25 % of each, and sets the time against ffmpeg's overlay filter over the whole
film with the same encoder settings, and against moviepy's composite. The five overlays are put at
random places, several times: what pictures lie under them changes what they cost. Every way runs in
a process of its own; the time is that of the work, libraries loaded. Processor time is told too:
on a machine with other work it is the steadier of the two. Prints a Markdown table.

The full run (the defaults: 180 s of 1920 × 1080 at 30 pictures a second) takes an hour or so on two
cores; ``--seconds 20 --size 640x360`` shows in two minutes that it works.
"""

from __future__ import annotations

import argparse
import dataclasses
import json
import os
import pickle
import platform
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import imageio_ffmpeg

from studio.episode.assemble import open_episode
from studio.episode.places import denser, with_places
from studio.episode.records import Card, CardKind, CardRow, Episode, FrameSize
from studio.film.burn import EXACT_QUALITY, PRESET, burn
from studio.film.demo_footage import make_demo_master
from studio.film.look import load_look
from studio.film.overlays import overlay_file
from studio.film.placing import choose_places
from studio.resources import shipped

CARDS = 5
FFMPEG = (imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y")


def make_masters(folder: Path, seconds: float, size: FrameSize, intervals: list[int]) -> list[Path]:
    """One film for each greatest distance of key frames, of the same pictures."""
    raw = make_demo_master(folder / "raw.mp4", seconds=seconds, size=size)
    masters = []
    for every in intervals:
        master = folder / f"keys-{every}.mp4"
        command = [
            *FFMPEG, "-i", str(raw), "-r", "30", "-c:v", "libx264", "-preset", "veryfast",
            "-crf", "18", "-g", str(every), "-sc_threshold", "0", "-c:a", "copy", str(master),
        ]  # fmt: skip
        subprocess.run(command, check=True)
        masters.append(master)
    raw.unlink()
    return masters


def with_cards(
    size: FrameSize, seconds: float, share: float, changed: int | None = None, seed: int = 5
) -> Episode:
    """An episode with five cards that cover a share of the film, one text changed or none."""
    episode = open_episode(shipped("designs") / "globe.yaml")
    each = seconds * share / CARDS
    places = random.Random(seed)
    cards = []
    for number in range(CARDS):
        start = seconds * number / CARDS + places.uniform(0, seconds / CARDS - each)
        word = "Depth" if number == changed else "Width"
        cards.append(
            Card(
                number=number + 1,
                step_id=f"step-{number + 1}",
                kind=CardKind.MEASUREMENT,
                heading="Groove",
                rows=(CardRow(label=word, value=f"{number + 3} mm"),),
                start_ms=round(1000 * start),
                end_ms=round(1000 * (start + each)),
            )
        )
    return dataclasses.replace(
        episode,
        steps=(dataclasses.replace(episode.steps[0], start_ms=0, end_ms=round(1000 * seconds)),),
        chapters=(),
        cues=(),
        cards=tuple(cards),
        size=size,
        length_ms=None,
        table=None,  # type: ignore[arg-type]
        piece=None,
    )


def processor() -> float:
    """Seconds of processor time of this process and its finished children, all threads."""
    both = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in both)


def ours(job: Path) -> int:
    """The child process: one burn; its figures go to stdout."""
    # imported before the clock starts, as ffmpeg is linked before its own
    import av  # noqa: F401
    import moviepy  # noqa: F401

    episode, master, out, engine = pickle.loads(job.read_bytes())
    kept = job.with_name("places")
    known = pickle.loads(kept.read_bytes()) if kept.exists() else {}
    before, spent = time.perf_counter(), processor()
    if engine == "exact":
        # a turner's burn looks for calm corners first, and that costs too
        places = choose_places(episode, master, known)
        episode = dataclasses.replace(episode, cards=with_places(episode.cards, places))
    report = burn(episode, master, out, progress=False, engine=engine)
    if engine == "exact":
        kept.write_bytes(pickle.dumps(denser(places, episode.cards, report.densities)))
    took, spent = time.perf_counter() - before, processor() - spent
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    if report.engine != engine:
        sys.stderr.write("\n".join(report.notes) + "\n")
        return 1
    sys.stdout.write(json.dumps([took, spent, report.encoded, report.frames, peak]))
    return 0


def run_ours(folder: Path, episode: Episode, master: Path, out: Path, engine: str) -> list[Any]:
    job = folder / "job"
    job.write_bytes(pickle.dumps((episode, master, out, engine)))
    command = [sys.executable, __file__, "--job", str(job)]
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    return list(json.loads(done.stdout))


def whole_pass(folder: Path, episode: Episode, master: Path) -> tuple[float, float]:
    """What ffmpeg's overlay filter takes for the same cards: seconds by clock and processor."""
    look = load_look(episode.look)
    inputs, graph, last = [], [], "0:v"
    for card in episode.cards:
        picture = folder / card.file_name
        picture.write_bytes(overlay_file(card, episode.size, look))
        inputs += ["-i", str(picture)]
        assert card.start_ms is not None
        assert card.end_ms is not None
        between = f"between(t,{card.start_ms / 1000},{card.end_ms / 1000})"
        graph.append(f"[{last}][{card.number}:v]overlay=enable='{between}'[v{card.number}]")
        last = f"v{card.number}"
    command = [
        *FFMPEG, "-i", str(master), *inputs, "-filter_complex", ";".join(graph),
        "-map", f"[{last}]", "-map", "0:a", "-c:a", "copy", "-c:v", "libx264",
        "-preset", PRESET, "-crf", EXACT_QUALITY, "-g", "60", str(folder / "whole.mp4"),
    ]  # fmt: skip
    before, spent = time.perf_counter(), processor()
    subprocess.run(command, check=True)
    return time.perf_counter() - before, processor() - spent


def clear(folder: Path, out: Path) -> None:
    """Forget the last burn and its places."""
    for left in (*out.parent.iterdir(), folder / "places"):
        left.unlink(missing_ok=True)


def mean(runs: Sequence[Sequence[float]]) -> list[float]:
    """Of each figure of some runs."""
    return [sum(one) / len(runs) for one in zip(*runs, strict=True)]


def over_share(took: Sequence[float], whole: Sequence[float], share: float) -> str:
    """The ratio to the whole pass over the share encoded, by clock and by processor."""
    return " and ".join(
        f"{mine / theirs / share:.2f}" for mine, theirs in zip(took, whole, strict=True)
    )


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--seconds", type=float, default=180)
    parser.add_argument("--size", default="1920x1080")
    parser.add_argument("--keys", default="60,250", help="greatest distances of key frames")
    parser.add_argument("--shares", default="10,25", help="percents of the film under overlays")
    parser.add_argument("--placements", type=int, default=3, help="so many random placements")
    parser.add_argument("--no-moviepy", action="store_true", help="leave moviepy's pass out")
    parser.add_argument("--job", type=Path, help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.job is not None:
        return ours(given.job)

    width, height = (int(part) for part in given.size.split("x"))
    size, rows = FrameSize(width, height), []

    def row(first: str, took: Sequence[float], whole: Sequence[float], rest: str) -> None:
        by_clock, by_processor = (one / other for one, other in zip(took, whole, strict=True))
        rows.append(f"| {first} | {took[0]:.1f} | {by_clock:.3f} | {by_processor:.3f} | {rest} |")
        sys.stderr.write(rows[-1] + "\n")

    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        intervals = [int(part) for part in given.keys.split(",")]
        for master in make_masters(folder, given.seconds, size, intervals):
            for share in (int(part) / 100 for part in given.shares.split(",")):
                out = folder / "out" / "film.mp4"
                first = with_cards(size, given.seconds, share)
                second = with_cards(size, given.seconds, share, changed=2)
                ways = [("by copying", first, "exact")]
                ways += [("by copying again, one of five texts changed", second, "exact")]
                if not given.no_moviepy:
                    ways += [("moviepy's composite, whole", first, "moviepy")]
                before = whole_pass(folder, first, master)
                done = [
                    (what, run_ours(folder, episode, master, out, engine))
                    for what, episode, engine in ways
                ]
                tried = [done[0][1]]
                for seed in range(6, 5 + given.placements):
                    clear(folder, out)
                    other = with_cards(size, given.seconds, share, seed=seed)
                    tried.append(run_ours(folder, other, master, out, "exact"))
                clear(folder, out)
                # a machine's speed drifts meanwhile
                whole = mean([before, whole_pass(folder, first, master)])

                start = f"{master.stem.partition('-')[2]} | {share:.0%}"
                what = "ffmpeg's overlay filter, whole, mean of one before and one behind"
                row(f"{start} | {what}", whole, whole, "all | | |")
                for what, (*took, encoded, frames, peak) in done:
                    part = encoded / frames
                    over = over_share(took, whole, part) if part else ""
                    rest = f"{encoded:,} of {frames:,} | {part:.3f} | {over} | {peak:.0f}"
                    row(f"{start} | {what}", took, whole, rest)
                clock, spent, encoded, frames, peak = mean(tried)
                part = encoded / frames
                what = f"{start} | by copying, mean of {len(tried)} placements"
                over = over_share((clock, spent), whole, part)
                row(what, (clock, spent), whole, f"| {part:.3f} | {over} | {peak:.0f}")
    sys.stdout.write(
        f"{given.seconds:g} s of {width} × {height} at 30 pictures a second, x264 {PRESET}, "
        f"crf {EXACT_QUALITY}; {os.cpu_count()} cores, Python {platform.python_version()}.\n\n"
        "| key frames at most | under overlays | way | s | to ffmpeg's whole pass | by processor "
        "time | encoded | share | ratios ÷ share | peak MB |\n"
        "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n" + "\n".join(rows) + "\n"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
