"""A rough cut and a timeline from the design's takes: find, line up, check, write.

The recordings are never changed. ``rough.mp4`` and ``timeline.otio`` get their names when both are
whole; whatever goes wrong, the old ones stay.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from studio.design.reading import Problem
from studio.episode.records import Cut, Episode
from studio.errors import BadInput, WorkFailed
from studio.files import keep_aside, ready_folder, write_whole
from studio.film.lining import (
    ORDINARY_DRIFT_PPM,
    OWN_CLOCK,
    REFERENCE,
    Lining,
    NotSureError,
    Samples,
    by_moments,
    clap_in,
    line_up,
)
from studio.film.probe import Footage, probe
from studio.film.recordings import Recording, flash_in
from studio.film.rough import write_rough
from studio.film.telling import Bar, clock
from studio.film.timeline import render_timeline
from studio.film.working import working_folder

ROUGH = "rough.mp4"
TIMELINE = "timeline.otio"
RECORD = ".cut-by-studio.json"
"""Digests of what was last cut, beside it."""

_SEEN_S = 0.04
"""A picture at 25 a second: lips that are further from their words are noticed (ours)."""

_RATES = tuple(Fraction(n) for n in (24, 25, 30, 48, 50, 60)) + tuple(
    Fraction(n * 1000, 1001) for n in (24, 30, 60)
)

_REACH_S = 0.1
"""A take may reach this far beyond a recording; its last picture is held."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A recording's sound: one channel, its rate, and how long the file lasts."""

    samples: Samples
    rate: int
    length_s: float


Hear = Callable[[Path], Heard]
"""Decodes a recording's sound for lining up."""


class UnusableError(Exception):
    """Takes and recordings do not go together; ``problems`` are at keys of the design."""

    def __init__(self, problems: list[Problem]):
        self.problems = problems
        super().__init__("; ".join(problem.what for problem in problems))


@dataclass(frozen=True, slots=True, kw_only=True)
class CutReport:
    """What was cut.

    Attributes:
        written: the files, in order.
        recordings: those that the takes need, lined up, the one whose clock counts first.
        fps: the film's pictures per second.
        notes: what is worth telling, in sentences.
    """

    written: tuple[Path, ...]
    recordings: tuple[Recording, ...]
    fps: Fraction
    notes: tuple[str, ...] = ()


def cut_film(
    episode: Episode,
    cut: Cut,
    folder: Path,
    out: Path,
    hear: Hear,
    *,
    rough: bool = True,
    progress: bool | None = None,
    tell: Callable[[str], None] | None = None,
) -> CutReport:
    """Line the recordings up and write the rough cut and its timeline.

    Args:
        episode: with times.
        cut: its takes.
        folder: where the recordings are.
        out: the folder to write into.
        hear: decodes a recording's sound.
        rough: False writes the timeline alone.
        progress: show a bar on stderr; None means on a terminal only.
        tell: called with a sentence before work that takes long.

    Raises:
        BadInput: a folder or a film cannot be used.
        UnusableError: a recording is missing, cannot be lined up, or was not running in a take.
        WorkFailed: the disk is full or the encoder failed.
    """
    if not folder.is_dir():
        raise BadInput.of(
            f"there is no folder {folder}", "name the folder of the recordings with --footage"
        )
    if rough and (episode.size.width % 2 or episode.size.height % 2):
        raise UnusableError(
            [Problem(("film", "size"), "H.264 needs even numbers", "write one pixel more or less")]
        )
    needed = _needed(cut)
    paths = _found(cut, needed, folder)
    for name, path in paths.items():
        if any((out / made).exists() and (out / made).samefile(path) for made in (ROUGH, TIMELINE)):
            raise BadInput.of(
                f"{name} would be written over", "choose another folder with --out", file=path
            )
    ready_folder(out)
    tell = tell or (lambda _: None)
    recordings = _lined_up(cut, paths, hear, tell)
    notes = [*_check_running(cut, recordings), *_unknown_drift(cut, recordings)]
    fps = _rate(cut, recordings)
    timeline = render_timeline(episode, cut, recordings, fps)
    bar = Bar(sys.stderr) if (sys.stderr.isatty() if progress is None else progress) else None
    try:
        with working_folder(out, ".cut-", "the rough cut") as place:
            drafts = {TIMELINE: place / TIMELINE}
            drafts[TIMELINE].write_text(timeline, encoding="utf-8")
            if rough:
                draft = place / ROUGH
                write_rough(episode, cut, recordings, fps, draft, bar)
                _require_whole(draft, cut, fps)
                drafts = {ROUGH: draft, **drafts}
            notes += _hand_over(out, drafts)
    finally:
        if bar is not None:
            bar.finish()
    return CutReport(
        written=tuple(out / name for name in drafts),
        recordings=tuple(recordings.values()),
        fps=fps,
        notes=tuple(notes),
    )


# --- the recordings -----------------------------------------------------------------------------


def _needed(cut: Cut) -> tuple[str, ...]:
    """Recordings that the takes need, the one whose clock counts first."""
    shown = {take.camera for take in cut.takes}
    with_clock = {cut.sound} if shown - cut.apart else set()
    return tuple(sorted(shown | with_clock, key=lambda name: (name != cut.sound, name)))


def _found(cut: Cut, needed: tuple[str, ...], folder: Path) -> dict[str, Path]:
    paths = {name: folder / cut.cameras[name] for name in needed}
    missing = [
        Problem(
            ("film", "cameras", name),
            f"there is no file {path}",
            "write its name as it is in the footage folder, or name that folder with --footage",
        )
        for name, path in paths.items()
        if not path.is_file()
    ]
    if missing:
        raise UnusableError(missing)
    return paths


def _lined_up(
    cut: Cut, paths: Mapping[str, Path], hear: Hear, tell: Callable[[str], None]
) -> dict[str, Recording]:
    """Every recording with its place on the clock that counts.

    Raises:
        UnusableError: with each one that cannot be placed, and what to write.
    """
    shown = {take.camera for take in cut.takes}
    reference: Heard | None = None
    found: dict[str, Recording] = {}
    problems: list[Problem] = []
    for name, path in paths.items():
        footage = probe(path) if name in shown or _has_pictures(path) else None
        placed_by_sound = name == cut.sound or not (name in cut.apart or name in cut.claps)
        has_sound = footage.has_sound if footage is not None else True
        heard = None
        if has_sound and placed_by_sound and set(paths) - cut.apart - {cut.sound}:
            tell(f"listening to {name}")
            heard = hear(path)
        length = (
            footage.duration_ms / 1000 if footage is not None else (heard or hear(path)).length_s
        )
        recording = Recording(
            name=name,
            path=path,
            footage=footage,
            has_sound=has_sound,
            length_s=length,
            lining=OWN_CLOCK if name in cut.apart else REFERENCE,
        )
        if name == cut.sound:
            reference = heard
        elif name not in cut.apart:
            try:
                lining = _lining(cut, recording, heard, found[cut.sound], reference)
                recording = replace(recording, lining=lining)
            except NotSureError as why:
                problems.append(_ask(cut, recording, found[cut.sound], why))
        found[name] = recording
    if problems:
        raise UnusableError(problems)
    return found


def _has_pictures(path: Path) -> bool:
    import av

    try:
        with av.open(str(path)) as container:
            return bool(container.streams.video)
    except (av.FFmpegError, ValueError) as error:
        raise BadInput.of(
            f"this cannot be read as a recording ({getattr(error, 'strerror', None) or error})",
            "play it once to the end; if it does not play, copy it again",
            file=path,
        ) from error


def _lining(
    cut: Cut,
    recording: Recording,
    heard: Heard | None,
    clock_of: Recording,
    reference: Heard | None,
) -> Lining:
    """By the claps typed, which go first; else by the sound; else by a flash."""
    typed = cut.claps.get(recording.name)
    if typed is not None:
        ours = cut.claps.get(cut.sound)
        if ours is None and reference is None:
            raise NotSureError(f"{cut.sound} has no sound to find the clap in")
        if ours is None:
            assert reference is not None
            moments: tuple[float, ...] = (clap_in(reference.samples, reference.rate),)
        else:
            moments = tuple(ms / 1000 for ms in ours)
        half = float(1 / recording.footage.fps) / 2 if recording.footage is not None else 0.0
        own = tuple(ms / 1000 for ms in typed)
        return by_moments(moments, own, how="clap", spread_s=half)
    try:
        if heard is None:
            raise NotSureError(f"{recording.name} has no sound")
        if reference is None:
            raise NotSureError(f"{cut.sound} has no sound")
        return line_up(reference.samples, heard.samples, heard.rate)
    except NotSureError as why:
        if recording.footage is None or clock_of.footage is None:
            raise
        try:
            return _by_flash(clock_of.footage, recording.footage)
        except NotSureError:
            raise NotSureError(f"{why}, and no single flash is seen in both") from None


def _by_flash(reference: Footage, own: Footage) -> Lining:
    moments = (flash_in(reference),), (flash_in(own),)
    half = float(1 / reference.fps + 1 / own.fps) / 2
    return by_moments(*moments, how="flash", spread_s=half)


def _ask(cut: Cut, recording: Recording, clock_of: Recording, why: NotSureError) -> Problem:
    name, sound = recording.name, cut.sound
    return Problem(
        ("film", "cameras", name),
        f"{name} cannot be lined up with {sound}: {why}",
        f"write under film: claps: where one clap is seen in both, {name}: with its time in "
        f"{recording.path.name} and {sound}: with its time in {clock_of.path.name}, such as "
        "0:03.2; or, if it was filmed at another time, apart: [" + name + "]",
    )


def _check_running(cut: Cut, recordings: Mapping[str, Recording]) -> list[str]:
    """Every take must have been recorded by its camera; notes on sound that is missing."""
    problems: list[Problem] = []
    mute: list[str] = []
    for take in cut.takes:
        recording = recordings[take.camera]
        begin, end = recording.runs_s
        late = take.out_ms / 1000 > end + _REACH_S
        if late or take.in_ms / 1000 < begin - _REACH_S:
            whose = "its own clock" if take.camera in cut.apart else f"the clock of {cut.sound}"
            problems.append(
                Problem(
                    ("film", "takes", take.number - 1, "out" if late else "in"),
                    f"{take.camera} did not record then: it ran from {_told(begin)} to "
                    f"{_told(end)} on {whose}",
                    "write a time within that, or another camera",
                )
            )
        heard_by = recordings.get(take.camera if take.camera in cut.apart else cut.sound)
        if take.speed == 1 and heard_by is not None:
            silent = not heard_by.has_sound
            if silent or take.out_ms / 1000 > heard_by.runs_s[1] + _REACH_S:
                mute.append(str(take.number))
    if problems:
        raise UnusableError(problems)
    takes = f"take {mute[0]}" if len(mute) == 1 else f"takes {', '.join(mute)}"
    return [f"the rough cut has no sound in {takes}: none was recorded"] if mute else []


def _unknown_drift(cut: Cut, recordings: Mapping[str, Recording]) -> list[str]:
    """What a single clap does not tell, where a film is long enough for it to be seen."""
    notes = []
    for one in recordings.values():
        last = max((take.out_ms for take in cut.takes if take.camera == one.name), default=0) / 1000
        off = last * ORDINARY_DRIFT_PPM * 1e-6
        if one.lining.drift_ppm is None and off > _SEEN_S:
            notes.append(
                f"{one.name}: one clap does not tell how its clock drifts, and by {_told(last)} it "
                f"may be {off:.2f} s off; write the time of a second clap, near the end, for "
                f"{one.name} and {cut.sound}"
            )
    return notes


def _rate(cut: Cut, recordings: Mapping[str, Recording]) -> Fraction:
    """The film's pictures per second: those of the camera whose clock counts, else the first's.

    A camera that takes its pictures at uneven times, as telephones do, has no rate that a film
    could keep; the nearest ordinary one is taken.
    """
    reference = recordings.get(cut.sound)
    footage = reference.footage if reference is not None else None
    footage = footage or recordings[cut.takes[0].camera].footage
    assert footage is not None
    if not footage.variable_rate:
        return footage.fps
    return min(_RATES, key=lambda rate: abs(rate - footage.fps))


def _told(seconds: float) -> str:
    return clock(max(0, round(seconds * 1000)))


# --- handing over -------------------------------------------------------------------------------


def _require_whole(draft: Path, cut: Cut, fps: Fraction) -> None:
    """An encoder that broke off does not always say so."""
    made = probe(draft)
    wanted = -(-cut.length_ms * fps // 1000)
    if made.frames != wanted:
        raise WorkFailed(
            f"the rough cut came out with {made.frames} pictures, not {wanted}; nothing was "
            "written. Is the disk full?"
        )


def _hand_over(out: Path, drafts: Mapping[str, Path]) -> list[str]:
    """Give the files their names; one that somebody has changed is kept aside, which is told."""
    before = _record(out)
    digests = {name: _digest(draft) for name, draft in drafts.items()}
    notes: list[str] = []
    for name, draft in drafts.items():
        path = out / name
        if path.is_dir():
            raise BadInput.of(f"{path} is a folder", "move it, or choose another --out")
        if path.exists() and _digest(path) not in (digests[name], before.get(name)):
            notes.append(keep_aside(path))
        draft.chmod(0o644)
        draft.replace(path)
        before[name] = digests[name]
    with contextlib.suppress(WorkFailed):
        write_whole(out / RECORD, json.dumps(before, indent=1, sort_keys=True).encode("utf-8"))
    return notes


def _record(out: Path) -> dict[str, str]:
    try:
        found = json.loads((out / RECORD).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return (
        {str(name): str(digest) for name, digest in found.items()}
        if isinstance(found, dict)
        else {}
    )


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
