"""From the design's takes to the master's times: the only place where they are computed.

A take lasts ``(out - in) / speed`` in the film, and begins where the one before it ends. The step
that begins with a take begins there; the film ends with the last take.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from difflib import get_close_matches
from fractions import Fraction

from studio.design.reading import Problem, ReadDesign
from studio.design.schema import Film
from studio.episode.records import Cut, CutTake
from studio.episode.stamps import stamp
from studio.episode.times import Times

SHORTEST_MS = 100
"""A take that is shown for less is a slip of the pen (ours)."""

LENGTH_SLACK_MS = 1000
"""A film's length is typed to a second, up or down."""


def with_takes(read: ReadDesign, problems: list[Problem]) -> tuple[ReadDesign, Cut | None]:
    """The design with marks and length from its takes, and the cut that they make.

    Args:
        read: the design; without takes it is returned as it is.
        problems: what contradicts itself is added.

    Returns:
        The cut; None without takes, or where they hold a fault.
    """
    film = read.design.film
    if not film.takes and not film.cameras:
        return read, None
    told = len(problems)
    if not read.is_suspect("film", "cameras"):
        _check_cameras(film, problems)
    if not film.takes or read.is_suspect("film", "takes"):
        return read, None
    _check_takes(read, problems)
    if read.is_suspect("film", "cameras"):
        return read, None
    cut = _cut(film)
    if len(problems) > told:
        return read, None
    _check_typed(film, cut, problems)
    starts = {take.step_id: take.start_ms for take in cut.takes if take.begins}
    timed = film.model_copy(update={"marks": {**film.marks, **starts}, "length": cut.length_ms})
    return replace(read, design=read.design.model_copy(update={"film": timed})), cut


def still_timed(times: Times | None, cut: Cut | None) -> tuple[Times | None, tuple[str, ...]]:
    """The times of a recording, unless the takes have been changed since; and a note on that."""
    if times is None or cut is None or times.film_ms is None:
        return times, ()
    if abs(times.film_ms - cut.length_ms) < LENGTH_SLACK_MS:
        return times, ()
    return None, (
        f"{times.source} was timed for a film of {_exact(times.film_ms)} and the takes make "
        f"{_exact(cut.length_ms)}: its times are left aside; run studio cut and studio time again",
    )


def _cut(film: Film) -> Cut:
    sound = film.sound or next(iter(film.cameras), "")
    takes: list[CutTake] = []
    at = Fraction(0)
    step = ""
    for number, take in enumerate(film.takes, start=1):
        end = at + Fraction(take.end - take.begin) / take.speed
        step = take.step or step
        takes.append(
            CutTake(
                number=number,
                step_id=step,
                begins=take.step is not None,
                camera=take.camera or sound,
                in_ms=take.begin,
                out_ms=take.end,
                speed=take.speed,
                start_ms=round(at),
                end_ms=round(end),
            )
        )
        at = end
    return Cut(
        cameras=dict(film.cameras),
        sound=sound,
        apart=frozenset(film.apart),
        claps={name: tuple(found) for name, found in film.claps.items()},
        takes=tuple(takes),
    )


def _check_cameras(film: Film, problems: list[Problem]) -> None:
    def named(name: str, *keys: str | int) -> None:
        if name not in film.cameras:
            problems.append(Problem(("film", *keys), *_unknown("camera", name, film.cameras)))

    if film.takes and not film.cameras:
        write = "write cameras: under film:, each with a name and its file, such as bench: a.mp4"
        problems.append(Problem(("film", "takes"), "there are takes but no cameras", write))
        return
    files: dict[str, str] = {}
    for name, file in film.cameras.items():
        if file in files:
            what = f"{file!r} is the recording of {files[file]} already"
            write = "write this one's own file, or leave one of the two out"
            problems.append(Problem(("film", "cameras", name), what, write))
        files.setdefault(file, name)
    if film.sound is not None:
        named(film.sound, "sound")
    sound = film.sound or next(iter(film.cameras))
    for place, name in enumerate(film.apart):
        named(name, "apart", place)
        if name == sound:
            what = f"{name} is the camera whose clock counts, so it cannot stand apart"
            write = "take it out, or name another camera under sound:"
            problems.append(Problem(("film", "apart", place), what, write))
    typed = film.claps.get(sound)
    for name, moments in film.claps.items():
        named(name, "claps", name)
        if name in film.apart:
            what = f"{name} stands apart and is not lined up"
            problems.append(
                Problem(("film", "claps", name), what, "take it out here, or out of apart:")
            )
        elif name in film.cameras and len(moments) != len(typed or moments[:1]):
            what = f"{len(moments)} here, but {len(typed) if typed else 'none'} for {sound}"
            write = f"write as many for {sound}, of the same claps, in the same order"
            problems.append(Problem(("film", "claps", name), what, write))


def _check_takes(read: ReadDesign, problems: list[Problem]) -> None:
    film = read.design.film
    ids = [step.id for step in read.design.steps]
    begun: dict[str, int] = {}
    latest = -1
    for place, take in enumerate(film.takes):
        keys = ("film", "takes", place)
        known = not film.cameras or read.is_suspect("film", "cameras")
        if not known and take.camera is not None and take.camera not in film.cameras:
            unknown = _unknown("camera", take.camera, film.cameras)
            problems.append(Problem((*keys, "camera"), *unknown))
        if take.end <= take.begin:
            what = f"it ends at {_exact(take.end)}, not after its start at {_exact(take.begin)}"
            write = "write a later out:, or an earlier in:"
            problems.append(Problem((*keys, "out"), what, write))
        elif Fraction(take.end - take.begin) / take.speed < SHORTEST_MS:
            what = f"it is shown for less than {SHORTEST_MS / 1000} s"
            write = "write a later out:, a lower speed:, or leave the take out"
            problems.append(Problem((*keys, "out"), what, write))
        if take.step is None or read.has_suspect_step_ids:
            continue
        if take.step not in ids:
            problems.append(Problem((*keys, "step"), *_unknown("step", take.step, ids)))
            continue
        if take.step in begun:
            what = f"{take.step} begins with take {begun[take.step] + 1} already"
            write = "leave step: out here; a take without one belongs to the step before"
            problems.append(Problem((*keys, "step"), what, write))
            continue
        begun[take.step] = place
        if ids.index(take.step) < latest:
            what = f"{take.step} comes before {ids[latest]} in the order of steps"
            write = "put the takes into the order of the steps, or the steps into the film's"
            problems.append(Problem((*keys, "step"), what, write))
        latest = max(latest, ids.index(take.step))


def _check_typed(film: Film, cut: Cut, problems: list[Problem]) -> None:
    """What is typed besides must not say something else."""
    for take in cut.takes:
        if take.begins and take.step_id in film.marks:
            what = f"take {take.number} begins this step, so there are two times for it"
            write = "take the mark away; the takes give the time"
            problems.append(Problem(("film", "marks", take.step_id), what, write))
    if film.length is not None and abs(film.length - cut.length_ms) >= LENGTH_SLACK_MS:
        what = f"{_exact(film.length)} is typed, and the takes make {_exact(cut.length_ms)}"
        write = "take length: away; the takes give it"
        problems.append(Problem(("film", "length"), what, write))


def _unknown(kind: str, name: str, known: Iterable[str]) -> tuple[str, str]:
    names = list(known)
    near = get_close_matches(name, names, n=1, cutoff=0.5)
    hint = f"did you mean {near[0]}? " if near else ""
    return f"there is no {kind} {name!r}", f"{hint}write one of: {', '.join(names)}"


def _exact(ms: int) -> str:
    """A time as it is typed, with what a stamp drops."""
    return stamp(ms) + (f".{ms % 1000:03d}".rstrip("0") if ms % 1000 else "")
