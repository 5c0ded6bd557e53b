"""Invented episodes and small films that the film tests share."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path

import imageio_ffmpeg
import pytest

from studio.episode.records import (
    Card,
    CardKind,
    CardRow,
    Caution,
    Chapter,
    Cue,
    Episode,
    FrameSize,
    TimedStep,
)
from studio.film import overlays
from studio.film.demo_footage import make_demo_master
from studio.measure.measurement import Measurement, MeasurementTable, Reading, System
from studio.measure.trace import mark

NBSP = "\u00a0"


def _length(name: str, label: str, mm: float, inches: str, where: str = "") -> Measurement:
    return Measurement(
        name=name,
        label=label,
        value=mm,
        unit="mm",
        metric=Reading(mm, "mm", f"{mm:g}{NBSP}mm"),
        imperial=Reading(mm / 25.4, "in", f"{inches}{NBSP}in"),
        first=System.METRIC,
        rule="invented for a test",
        formula="invented for a test",
        source="invented for a test",
        where=where,
    )


SIDE = _length("sphere.octagon_side", "Octagon side", 24.5, "31/32", "across each flat")
SET_IN = _length("sphere.set_in", "Set-in from each corner", 17.5, "11/16", "both ends")


def card_row(measurement: Measurement) -> CardRow:
    """The row of a measurement card."""
    return CardRow(
        label=measurement.label,
        value=measurement.marked(),
        other=measurement.marked_other(),
        where=measurement.where,
        name=measurement.name,
    )


def _step(step_id: str, number: int, start: int, end: int) -> TimedStep:
    return TimedStep(
        id=step_id,
        number=number,
        title=f"Step {number}",
        tools=("parting tool",),
        do="Do it.",
        say="Say it.",
        shows=(SIDE, SET_IN) if number == 1 else (),
        cautions=(
            Caution(
                code="spindle-running",
                short="Stop the lathe before measuring",
                text="Stop the lathe before you put callipers on the work.",
                source="common practice, no source",
            ),
        ),
        start_ms=start,
        end_ms=end,
    )


@pytest.fixture(scope="session")
def sample_episode(tmp_path_factory: pytest.TempPathFactory) -> Episode:
    """Six seconds: a measurement card, then a caution card, two chapters, three captions."""
    return Episode(
        name="sample-globe",
        design_file=tmp_path_factory.getbasetemp() / "sample-globe.yaml",
        title="Sample globe; " + mark("sphere.diameter", "60" + NBSP + "mm"),
        summary="An invented globe.",
        workshop="Fernhollow Bench",
        credit="",
        licence="",
        demo_note="People, workshop and design are invented.",
        species="sycamore",
        links=(),
        first=System.METRIC,
        table=MeasurementTable([SIDE, SET_IN]),
        steps=(_step("mark-octagon", 1, 0, 3000), _step("cut-corners", 2, 3000, 6000)),
        deference="Manuals come first.",
        chapters=(
            Chapter(
                title="Mark; measure = mark", step_ids=("mark-octagon",), start_ms=0, end_ms=3000
            ),
            Chapter(title="Cut #2 \\ done", step_ids=("cut-corners",), start_ms=3000, end_ms=6000),
        ),
        cues=(
            Cue(start_ms=200, end_ms=1500, text=f"Set in {SET_IN.marked()}\nfrom each corner."),
            Cue(start_ms=1500, end_ms=2900, text="Tom & Ann say: a < b <i>not slanted</i>"),
            Cue(start_ms=3100, end_ms=5900, text=f"Leave {{the}} line --> {SIDE.marked()}."),
        ),
        cards=(
            Card(
                number=1,
                step_id="mark-octagon",
                kind=CardKind.MEASUREMENT,
                heading="Mark the octagon",
                rows=(card_row(SET_IN), card_row(SIDE)),
                start_ms=1000,
                end_ms=3000,
            ),
            Card(
                number=2,
                step_id="cut-corners",
                kind=CardKind.CAUTION,
                heading="Before you cut",
                rows=(CardRow(label="Stop the lathe before measuring", name="spindle-running"),),
                start_ms=3500,
                end_ms=5500,
            ),
        ),
        size=FrameSize(320, 180),
        length_ms=6000,
        look="fernhollow",
    )


@pytest.fixture(scope="session")
def small_master(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Six seconds of real footage with sound, 320 × 180."""
    folder = tmp_path_factory.mktemp("master")
    return make_demo_master(
        folder / "master.mp4",
        seconds=6,
        size=FrameSize(320, 180),
        credit="© 2008 Blender Foundation",
    )


@pytest.fixture
def make_film(tmp_path: Path) -> Callable[..., Path]:
    """Make a short synthetic film with given ffmpeg output arguments."""

    def make(
        *arguments: str,
        name: str = "film.mp4",
        seconds: float = 1,
        size: str = "96x64",
        rate: str = "25",
        sound: bool = True,
    ) -> Path:
        path = tmp_path / name
        source = ["-f", "lavfi", "-i", f"testsrc2=size={size}:rate={rate}:duration={seconds}"]
        if sound:
            source += ["-f", "lavfi", "-i", f"sine=duration={seconds}", "-c:a", "aac"]
        ffmpeg(*source, *arguments, str(path))
        return path

    return make


def ffmpeg(*arguments: str) -> bytes:
    """Run the ffmpeg that travels with imageio-ffmpeg; returns its stdout.

    A film that is made of nothing but ffmpeg's own sources is made once in a session, and copied
    to whoever asks for it again.
    """
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-hide_banner", "-loglevel", "error", "-y"]
    *others, last = arguments
    sources = [one for place, one in enumerate(others) if others[place - 2 : place] == _SOURCE]
    generated = bool(sources) and len(sources) == others.count("-i") and last != "-"
    key = (*others, Path(last).suffix)
    if generated and key in _MADE:
        shutil.copy(_MADE[key], last)
        return b""
    done = subprocess.run([*command, *arguments], check=True, capture_output=True).stdout
    if generated:
        kept = Path(_FOLDER.name) / f"{len(_MADE)}{Path(last).suffix}"
        shutil.copy(last, kept)
        _MADE[key] = kept
    return done


_SOURCE = ["lavfi", "-i"]
_MADE: dict[tuple[str, ...], Path] = {}
_FOLDER = tempfile.TemporaryDirectory(prefix="films-")


@pytest.fixture
def run_ffmpeg() -> Callable[..., bytes]:
    """``ffmpeg(*arguments)``."""
    return ffmpeg


@pytest.fixture
def unread_type(monkeypatch: pytest.MonkeyPatch) -> None:
    """Films of 160 × 90 pixels, whose cards nobody could read, are burnt all the same.

    For tests of pictures, times and packets, which a film large enough would only make slower.
    """
    monkeypatch.setattr(overlays, "LEAST_DOTS", 0)
