"""``studio cut``: the recordings lined up, a rough cut of the takes, and a timeline."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from studio.commands.telling import columns, note, say, say_json
from studio.design.reading import Problem, load
from studio.episode.assemble import open_episode
from studio.errors import BadInput
from studio.files import only_writer

if TYPE_CHECKING:
    from studio.episode.records import Cut
    from studio.film.cut import CutReport, Heard
    from studio.film.recordings import Recording

FOOTAGE = "footage"
"""The folder beside the design in which recordings are looked for."""

_HOW = {
    "reference": "its clock counts",
    "sound": "by its sound",
    "clap": "by a clap",
    "flash": "by a flash",
    "own clock": "its own clock",
}


def cut(
    design: Path, footage: Path | None, out: Path, *, timeline_only: bool, as_json: bool
) -> int:
    """Write ``rough.mp4`` and ``timeline.otio`` into ``out``, and tell how cameras were lined up.

    Args:
        design: a design file with cameras and takes.
        footage: the folder of the recordings; ``footage`` beside the design when left out.
        out: the folder.
        timeline_only: leave the rough cut out.
        as_json: print the result as JSON.

    Raises:
        BadInput: the design has faults or no takes, a recording is missing or cannot be lined up,
            or another command is writing into the folder.
        WorkFailed: the encoder failed or the disk is full.
    """
    from studio.film.cut import UnusableError, cut_film

    episode = open_episode(design)
    if episode.cut is None:
        write = "write cameras: and takes: under film: (docs/cut.md tells how)"
        raise BadInput([_place(design, Problem(("film",), "there are no takes to cut", write))])
    with only_writer(out, "studio cut"):
        try:
            report = cut_film(
                episode,
                episode.cut,
                footage or design.parent / FOOTAGE,
                out,
                _hear,
                rough=not timeline_only,
                tell=note,
            )
        except UnusableError as why:
            raise BadInput(_place(design, problem) for problem in why.problems) from None
    notes = (*episode.notes, *report.notes)
    if as_json:
        say_json(_record(episode.cut, report, notes))
        return 0
    for line in _listing(episode.cut, report):
        say(line.rstrip())
    for path in report.written:
        say(str(path))
    for text in notes:
        note(f"note: {text}")
    return 0


def _place(design: Path, problem: Problem) -> Any:
    return load(design).place(problem)


def _hear(path: Path) -> Heard:
    from studio.film.cut import Heard
    from studio.voice.sound import RATE, read_sound

    sound = read_sound(path)
    return Heard(sound.samples, RATE, sound.length_ms / 1000)


def _listing(cut: Cut, report: CutReport) -> list[str]:
    cameras = columns([("camera", "begins", "drift", "sure", ""), *map(_camera, report.recordings)])
    rows = [
        (
            str(take.number),
            _clock(take.start_ms),
            _clock(take.end_ms),
            take.camera,
            _clock(take.in_ms),
            _clock(take.out_ms),
            f"{float(take.speed):g}×" if take.speed != 1 else "",
            take.step_id if take.begins else "",
        )
        for take in cut.takes
    ]
    heads = ("take", "from", "to", "camera", "in", "out", "speed", "step")
    return [*cameras, "", *columns([heads, *rows]), f"length {_clock(cut.length_ms)}", ""]


def _camera(one: Recording) -> tuple[str, ...]:
    lining = one.lining
    if lining.how in ("reference", "own clock"):
        return one.name, "", "", "", _HOW[lining.how]
    drift = "not known"
    if lining.drift_ppm is not None:
        drift = f"{round(lining.drift_ppm):+d} ± {max(1, round(lining.drift_error_ppm))} ppm"
    how = _HOW[lining.how]
    if lining.how == "sound":
        how += f", within {lining.spread_s * 1000:.1f} ms"
    elif lining.spread_s:
        how += f", ± {lining.spread_s * 1000:.0f} ms"
    return one.name, f"{lining.offset_s:+.3f} s", drift, f"{lining.confidence:.0%}", how


def _clock(ms: int) -> str:
    """A time to the millisecond, as an editor's ruler shows it.

    >>> _clock(84_143)
    '1:24.143'
    """
    return f"{ms // 60_000}:{ms % 60_000 / 1000:06.3f}"


def _record(cut: Cut, report: CutReport, notes: tuple[str, ...]) -> dict[str, Any]:
    return {
        "written": [str(path) for path in report.written],
        "length_ms": cut.length_ms,
        "fps": str(report.fps),
        "cameras": [
            {
                "name": one.name,
                "file": one.path.name,
                "how": one.lining.how,
                "offset_s": round(one.lining.offset_s, 3),
                "drift_ppm": (
                    None if one.lining.drift_ppm is None else round(one.lining.drift_ppm, 1)
                ),
                "drift_error_ppm": round(one.lining.drift_error_ppm, 1),
                "confidence": round(one.lining.confidence, 2),
                "spread_ms": round(one.lining.spread_s * 1000, 2),
            }
            for one in report.recordings
        ],
        "takes": [
            {
                "number": take.number,
                "step": take.step_id,
                "begins": take.begins,
                "camera": take.camera,
                "in_ms": take.in_ms,
                "out_ms": take.out_ms,
                "speed": float(take.speed),
                "start_ms": take.start_ms,
                "end_ms": take.end_ms,
            }
            for take in cut.takes
        ],
        "notes": list(notes),
    }
