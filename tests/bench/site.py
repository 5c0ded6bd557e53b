"""How long the site of a thousand designs takes, against Pelican: python tests/bench/site.py

Pelican (PyPI) writes as many pages of the same text, each handout's words as one Markdown article,
in the same run and on the same machine. It is no dependency: ``--pelican`` names the command, by
default one in a virtual environment that is made for the run.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

from studio.episode.assemble import open_episode
from studio.episode.published import Record, as_text, publication, record_file
from studio.measure.trace import plain
from studio.paper.description import without_corrections
from studio.paper.handout import render as handout
from studio.paper.markup import visible_text
from studio.picture.files import PICTURE, picture_files
from studio.resources import shipped

FROM_NOTHING_S, ONE_CHANGE_S = 60.0, 2.0
KINDS = ("globe.yaml", "lobed-globe.yaml", "twelve-lobe-drop.yaml", "crowned-globe.yaml")
FIRST_DAY = date(2024, 1, 1)


def make_series(folder: Path, out: Path, count: int) -> None:
    """``count`` published designs, each a variation of a shipped one, and their pictures."""
    shutil.copytree(shipped("designs"), folder)
    shutil.copytree(shipped("overlays"), folder / "overlays")
    pictures = {}
    for kind in KINDS:
        piece = open_episode(folder / kind).piece
        assert piece is not None
        pictures[kind] = picture_files(piece)[PICTURE]
    for number in range(count):
        kind = KINDS[number % len(KINDS)]
        path = folder / f"design-{number:04d}.yaml"
        path.write_text(f"title: Variation {number}\nbased_on: {kind}\n", encoding="utf-8")
        episode = open_episode(path)
        day = FIRST_DAY + timedelta(days=number % 900)
        told = publication(episode, without_corrections(episode), None, day)
        record_file(path).write_text(as_text(Record((told,))), encoding="utf-8")
        (out / path.stem).mkdir(parents=True)
        (out / path.stem / PICTURE).write_bytes(pictures[kind])


def make_articles(folder: Path, designs: Path, count: int) -> None:
    """The words of the same pages as Pelican's articles."""
    folder.mkdir()
    words = {
        kind: plain(visible_text(handout(open_episode(designs / kind)))).replace("\n", "\n\n")
        for kind in KINDS
    }
    for number in range(count):
        text = words[KINDS[number % len(KINDS)]]
        day = FIRST_DAY + timedelta(days=number % 900)
        (folder / f"design-{number:04d}.md").write_text(
            f"Title: Variation {number}\nDate: {day}\n\n{text}\n", encoding="utf-8"
        )


def say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def timed(work: Callable[[], object]) -> tuple[float, float]:
    """Seconds by the clock, and of the processor in all processes that the work started."""
    start, before = time.perf_counter(), os.times()
    work()
    after = os.times()
    used = after.children_user + after.children_system
    return time.perf_counter() - start, used - before.children_user - before.children_system


def pelican_command(given: str | None, folder: Path) -> str:
    if given:
        return given
    subprocess.run([sys.executable, "-m", "venv", str(folder)], check=True)
    pip = str(folder / "bin" / "pip")
    subprocess.run([pip, "install", "-q", "pelican[markdown]==4.12.0"], check=True)
    return str(folder / "bin" / "pelican")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--pelican", metavar="COMMAND")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        return measure(Path(name), given.count, given.pelican)


def measure(work: Path, count: int, pelican: str | None) -> int:
    command = pelican_command(pelican, work / "pelican")
    designs, site = work / "designs", work / "site"
    make_series(designs, work / "build", count)
    make_articles(work / "articles", designs, count)
    environment = os.environ | {"XDG_CACHE_HOME": str(work / "cache")}
    studio = [str(Path(sys.executable).parent / "studio"), "publish", str(designs), "--site"]

    def write() -> None:
        subprocess.run(
            [*studio, str(site)], cwd=work, env=environment, check=True, capture_output=True
        )

    def others() -> None:
        subprocess.run(
            [command, "articles", "-o", "theirs", "-t", "simple"], cwd=work, check=True,
            capture_output=True,
        )  # fmt: skip

    say(f"load of the machine before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    rows = [("from nothing", timed(write))]
    rows.append(("nothing changed", timed(write)))
    shutil.rmtree(site)
    rows.append(("folder anew, measurements known", timed(write)))
    theirs = timed(others)
    changed = designs / "design-0007.yaml"
    changed.write_text(
        changed.read_text(encoding="utf-8").replace("Variation", "Other"), encoding="utf-8"
    )
    before = {path: path.stat().st_mtime_ns for path in site.rglob("*") if path.is_file()}
    rows.append(("after one change", timed(write)))
    touched = [
        path.relative_to(site) for path, at in before.items() if path.stat().st_mtime_ns != at
    ]
    assert not [one for one in touched if "0007" not in str(one) and len(one.parts) > 1], touched
    pages = len(list(site.glob("*/index.html")))
    written = len(list((work / "theirs").glob("*.html")))
    assert pages == count, pages
    assert written >= count, written
    say(f"load after: {os.getloadavg()[0]:.1f}")
    say(f"| what, {count} designs | s | processor s | to Pelican | by processor time |")
    say("| --- | --- | --- | --- | --- |")
    for what, (seconds, used) in [*rows, ("Pelican, from nothing", theirs)]:
        ratios = f"{seconds / theirs[0]:.3f} | {used / theirs[1]:.3f}"
        say(f"| {what} | {seconds:.2f} | {used:.2f} | {ratios} |")
    limits = (
        ("from nothing", FROM_NOTHING_S),
        ("folder anew, measurements known", theirs[0]),
        ("after one change", ONE_CHANGE_S),
    )
    late = [what for what, limit in limits if dict(rows)[what][0] > limit]
    for what in late:
        say(f"over its limit: {what}")
    return 1 if late else 0


if __name__ == "__main__":
    sys.exit(main())
