"""Measures ratios in one run and writes them into docs/performance.md: python tests/bench/run.py

Each ratio pairs what the tool does with something that anybody can run: ffmpeg's own overlay filter
on the same pictures with the same encoder settings, or Python starting with nothing to do.
"""

from __future__ import annotations

import argparse
import itertools
import os
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import imageio_ffmpeg

from studio.commands.build import build_files
from studio.episode.assemble import open_episode
from studio.episode.records import Cue, Episode
from studio.files import write_outputs
from studio.film.burn import PRESET, QUALITY, burn
from studio.film.captions import render_srt
from studio.film.demo_footage import make_demo_master
from studio.measure.trace import plain
from studio.resources import shipped

ROOT = Path(__file__).parent.parent.parent
PAGE = ROOT / "docs" / "performance.md"
BEGIN, END = "<!-- figures: begin -->", "<!-- figures: end -->"
PAIRS = 5


def timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def ratio(ours: Callable[[], object], other: Callable[[], object], pairs: int) -> tuple[float, ...]:
    """Median ratio of ``pairs`` runs in turn, and both medians in seconds; one run to warm up."""
    ours(), other()
    measured = [(timed(ours), timed(other)) for _ in range(pairs)]
    return (
        statistics.median(one / two for one, two in measured),
        statistics.median(one for one, _ in measured),
        statistics.median(two for _, two in measured),
    )


def process(*command: str) -> Callable[[], object]:
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return lambda: subprocess.run(command, check=True, capture_output=True, env=environment)


def ffmpeg_overlays(master: Path, overlays: Path, episode: object, out: Path) -> list[str]:
    """ffmpeg's overlay filter with the same cards at the same times, in one whole pass."""
    cards = episode.cards  # type: ignore[attr-defined]
    inputs = [part for card in cards for part in ("-i", str(overlays / card.file_name))]
    graph, last = [], "0:v"
    for place, card in enumerate(cards, 1):
        between = f"between(t,{card.start_ms / 1000},{card.end_ms / 1000})"
        graph.append(f"[{last}][{place}:v]overlay=enable='{between}'[v{place}]")
        last = f"v{place}"
    return [
        imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y", "-i", str(master), *inputs,
        "-filter_complex", ";".join(graph), "-map", f"[{last}]", "-map", "0:a", "-c:a", "copy",
        "-c:v", "libx264", "-preset", PRESET, *QUALITY, "-g", "50", str(out),
    ]  # fmt: skip


COMPUTING = """
import time
from pathlib import Path
from studio.compute.table import compute
from studio.design.reading import load
design = load(Path({design!r})).design
start = time.perf_counter()
table = compute(design).table
print(time.perf_counter() - start, len(table))
"""
PICTURE = """
import time
start = time.perf_counter()
from pathlib import Path
from studio.episode.assemble import open_episode
piece = open_episode(Path({design!r})).piece
begin = time.perf_counter()
from studio.picture.shading import shaded_png
made = shaded_png(piece, 1280, 720)
print(time.perf_counter() - begin, len(made))
"""
PAPERS = """
import time
start = time.perf_counter()
from pathlib import Path
from studio.episode.assemble import open_episode
from studio.files import as_last_written
episode = open_episode(Path({design!r}))
from studio.paper.papers import paper_files
from studio.paper.pdfs import pdf_files
papers = paper_files(episode)
made = lambda name: as_last_written(Path({out!r}), name)
papers |= pdf_files(episode, episode.paper, papers, made)
print(time.perf_counter() - start, len(papers))
"""
SAID = """
import time
start = time.perf_counter()
from pathlib import Path
from studio.check.context import Context
from studio.check.said import check_said
context = Context.of(Path({design!r}), Path({out!r}))
_, counts = check_said(context, Path({out!r}) / "hour.srt")
print(time.perf_counter() - start, sum(counts.values()))
"""
COMPUTING_LIMIT_S = 0.05
PAPERS_LIMIT_S = 1.0
PICTURE_LIMIT_S = 2.0
SAID_LIMIT_S = 2.0
HOUR_MS, SAID_WORDS, CAPTION_WORDS = 3_600_000, 9_000, 7
BETWEEN = (
    "and you just keep the bevel rubbing while the shavings come off and listen to it because the "
    "wood tells you more than anybody can"
)


def hour_of_talk(episode: Episode) -> str:
    """Captions of an hour, as a recogniser writes them: the script over and over, and talk."""
    script = " ".join(plain(step.aloud) for step in episode.steps).lower()
    sentences = re.split(r"[.!?]\s+", re.sub(r"[,;:]", "", script).replace("-", " "))
    words: list[str] = []
    for sentence in itertools.cycle(sentences):
        words += [*sentence.rstrip(".").split(), *BETWEEN.split()]
        if len(words) >= SAID_WORDS:
            break
    spoken = [words[at : at + CAPTION_WORDS] for at in range(0, SAID_WORDS, CAPTION_WORDS)]
    length = HOUR_MS // len(spoken)
    cues = tuple(
        Cue(start_ms=n * length, end_ms=(n + 1) * length - 80, text=" ".join(one))
        for n, one in enumerate(spoken)
    )
    return plain(render_srt(replace(episode, cues=cues)))


def inside(code: str, design: Path, out: str = "") -> tuple[float, int]:
    """Median of the seconds that ``code`` prints in a new process, and the count beside them."""
    command = [sys.executable, "-c", code.format(design=str(design), out=out)]
    seconds, count = [], 0
    for _ in range(PAIRS):
        done = subprocess.run(command, check=True, capture_output=True, text=True)
        first, second = done.stdout.split()
        seconds.append(float(first))
        count = int(second)
    return statistics.median(seconds), count


def limited() -> list[str]:
    """What has a limit of its own: the share of it that is used, and the seconds."""
    largest = shipped("designs") / "crowned-globe.yaml"
    rows = []
    with tempfile.TemporaryDirectory() as out:
        episode = open_episode(largest)
        write_outputs(Path(out), build_files(episode))
        (Path(out) / "hour.srt").write_text(hour_of_talk(episode), encoding="utf-8")
        rows += limits_of(largest, out)
        rows.append(whole_check(Path(out)))
    return rows


def whole_check(out: Path) -> str:
    """The whole command, from its start to its end, over a finished build without a film."""
    design = shipped("designs") / "globe.yaml"
    episode = open_episode(design)
    folder, captions = out / "globe", out / "globe.srt"
    made = build_files(episode)
    write_outputs(folder, made)
    captions.write_text(hour_of_talk(episode), encoding="utf-8")
    studio = str(Path(sys.executable).parent / "studio")
    command = [studio, "check", str(design), "--out", str(folder), "--said", str(captions)]
    # twice over: the first one keeps what the press made, as a build of the whole design does
    subprocess.run(command, check=True, capture_output=True)
    seconds, worked = [], []
    for _ in range(PAIRS):
        begin, before = time.perf_counter(), _worked()
        subprocess.run(command, check=True, capture_output=True)
        seconds.append(time.perf_counter() - begin)
        worked.append(_worked() - before)
    took = statistics.median(seconds)
    what = (
        "`studio check designs/globe.yaml --said` with as many captions: the whole command, over "
        f"{len(made)} files ({statistics.median(worked):.2f} s of processor time, on two cores)"
    )
    row = f"| {what} | {SAID_LIMIT_S:g} s | {took / SAID_LIMIT_S:.2f} | {took:.3f} |"
    sys.stderr.write(row + "\n")
    return row


def _worked() -> float:
    """Processor seconds of all commands that were run and have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def limits_of(largest: Path, out: str) -> list[str]:
    """The rows, with a finished build of the design in ``out``."""
    rows = []
    for what, code, limit in (
        ("computing the table of designs/crowned-globe.yaml ({} measurements)", COMPUTING,
         COMPUTING_LIMIT_S),
        ("its shaded picture, 1280 × 720, libraries loaded on the way ({} bytes)", PICTURE,
         PICTURE_LIMIT_S),
        ("its whole set of papers once more, reading the design and loading libraries on the way "
         "({} files, unchanged PDFs taken over)", PAPERS, PAPERS_LIMIT_S),
        (f"an hour of captions against it, {SAID_WORDS:,} words, reading the design on the way "
         "({} numbers)", SAID, SAID_LIMIT_S),
    ):  # fmt: skip
        seconds, count = inside(code, largest, out)
        rows.append(
            f"| {what.format(f'{count:,}')} | {limit:g} s | {seconds / limit:.2f} | {seconds:.3f} |"
        )
        sys.stderr.write(rows[-1] + "\n")
    return rows


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(
        prog="python tests/bench/run.py",
        description="Measures ratios, some minutes long, and writes them into "
        f"{PAGE.relative_to(ROOT)}. Run it while the machine does nothing else.",
    )
    parser.add_argument(
        "--print", action="store_true", dest="printed",
        help="print the figures and leave the page as it is",
    )  # fmt: skip
    asked = parser.parse_args(arguments)
    studio = str(Path(sys.executable).parent / "studio")
    design = shipped("designs") / "globe.yaml"
    rows: list[str] = []
    limits = limited()

    def row(what: str, against: str, figures: tuple[float, ...]) -> None:
        rows.append(
            f"| {what} | {against} | {figures[0]:.2f} | {figures[1]:.2f} | {figures[2]:.2f} |"
        )
        sys.stderr.write(rows[-1] + "\n")

    nothing = process(sys.executable, "-c", "pass")
    row("`studio --help`", "Python starting", ratio(process(studio, "--help"), nothing, PAIRS * 2))
    measure = process(studio, "measure", str(design))
    row(
        "`studio measure designs/globe.yaml`", "Python starting", ratio(measure, nothing, PAIRS * 2)
    )
    with tempfile.TemporaryDirectory() as place:
        out = Path(place)
        episode = open_episode(design)
        assert episode.length_ms is not None
        write_outputs(out, build_files(episode))
        build = process(studio, "build", str(design), "--out", str(out))
        check = process(studio, "check", str(design), "--out", str(out))
        row("`studio check`, without a film", "`studio build`", ratio(check, build, PAIRS))
        master = make_demo_master(
            out / "master.mp4", seconds=episode.length_ms / 1000, size=episode.size
        )
        whole = process(*ffmpeg_overlays(master, out / "overlays", episode, out / "plain.mp4"))
        film = out / "film.mp4"
        row(
            f"`studio burn`, {episode.length_ms // 1000} s at {episode.size.width} × "
            f"{episode.size.height}, {len(episode.cards)} cards",
            "ffmpeg's overlay filter, whole pass, same encoder settings",
            ratio(lambda: burn(episode, master, film, engine="moviepy", progress=False), whole, 2),
        )
    table = "\n".join(
        [
            "| what | against | ratio | s | s |", "| --- | --- | --- | --- | --- |", *rows, "",
            "| what, in a new process | limit | share of it | s |", "| --- | --- | --- | --- |",
            *limits,
        ]
    )  # fmt: skip
    if asked.printed:
        sys.stdout.write(f"{table}\n")
        return 0
    page = PAGE.read_text(encoding="utf-8")
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    PAGE.write_text(f"{before}{BEGIN}\n{table}\n{END}{after}", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
