"""An upright short: one step of the film, cut to where most goes on, with its overlays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

import numpy as np

from studio.episode.places import as_text, denser, places_file, with_places
from studio.episode.records import Episode, FrameSize
from studio.episode.short import short_of
from studio.errors import BadInput
from studio.files import ready_folder, write_whole
from studio.film.burn import BurnReport, burn, require_usable
from studio.film.joining import may_jump, run_ffmpeg
from studio.film.overlays import small_type
from studio.film.placing import choose_places, coarse_luma, sampled, told_places
from studio.film.probe import Footage, probe
from studio.film.unfit import faults_in_design
from studio.film.whole import assumed_matrix
from studio.film.working import working_folder

UPRIGHT = (9, 16)
"""Shape of an upright short, width to height (common practice, no source)."""

LONGEST_MS = 60_000
"""Hosts take shorts of a minute everywhere, longer ones not (common practice, no source)."""

_STILL = 0.5
"""Mean change from picture to picture, levels of luma, under which nothing goes on (ours)."""


@dataclass(frozen=True, slots=True)
class Short:
    """What was made.

    Attributes:
        report: of the burn.
        middle: where the cut's middle lies in the film's pictures, share of their width.
    """

    report: BurnReport
    middle: float


def make_short(
    episode: Episode,
    step_id: str,
    master: Path,
    out: Path,
    *,
    middle: float | None = None,
    tell: Callable[[str], None],
) -> Short:
    """Cut one step out of the master, 9:16, and burn its overlays in.

    Args:
        episode: with times.
        step_id: the step.
        master: the edited film.
        out: the file to write, MP4.
        middle: where the cut's middle lies, share of the width; None takes the part in which
            most changes.
        tell: called with sentences on what is done.

    Raises:
        BadInput: the step or the master cannot be used.
        WorkFailed: the encoder failed or the disk is full.
    """
    footage = probe(master)
    # of the master, and not of the part that is cut from it, whose name nobody knows
    require_usable(footage, allow_silent=True)
    size = _size(footage)
    short = short_of(episode, step_id, size)
    start = next(step.start_ms or 0 for step in episode.steps if step.id == step_id)
    assert short.length_ms is not None
    if start + short.length_ms > footage.duration_ms + 500:
        raise BadInput.of(
            f"step {step_id!r} ends after the master does",
            "correct the film's marks in the design, or give the master they belong to",
            file=footage.path,
        )
    for text in (*short.notes, *small_type(short, size)):
        tell(f"note: {text}")
    if short.length_ms > LONGEST_MS:
        tell(
            f"The short is {short.length_ms / 1000:.0f} s long; some hosts take "
            f"{LONGEST_MS // 1000} s at most."
        )
    if middle is None:
        middle = _liveliest(footage, start, start + short.length_ms, size)
        tell(f"Most goes on at {middle:.0%} of the width; the short is cut there.")
    ready_folder(out.parent)
    with working_folder(out.parent, ".short-", "the short") as folder:
        part = folder / "part.mp4"
        _cut(footage, part, start, short.length_ms, size, middle)
        with faults_in_design(episode):
            places = choose_places(short, part, {})
        for line in told_places(short, places):
            tell(line)
        short = replace(short, cards=with_places(short.cards, places))
        report = burn(
            short, part, out, allow_silent=not footage.has_sound, engine="moviepy", tell=tell
        )
    places = denser(places, short.cards, report.densities)
    # beside the short as beside a design: by them studio check draws its cards again
    write_whole(places_file(out), as_text(places).encode("utf-8"))
    return Short(report, middle)


def _size(footage: Footage) -> FrameSize:
    """The largest upright part of the pictures, even in both directions."""
    across, up = UPRIGHT
    width = min(footage.width, footage.height * across // up)
    return FrameSize(width // 2 * 2, footage.height // 2 * 2)


def _liveliest(footage: Footage, start: int, end: int, size: FrameSize) -> float:
    """The middle of the part as wide as the short in which most changes, share of the width."""
    pictures = [coarse_luma(one) for one in sampled(footage, start, end)]
    if len(pictures) < 2:
        return 0.5
    change = np.mean([np.abs(b - a).mean(axis=0) for a, b in pairwise(pictures)], axis=0)
    if change.mean() < _STILL:
        return 0.5
    columns = len(change)
    wide = min(columns, max(1, round(columns * size.width / footage.width)))
    sums = np.convolve(change, np.ones(wide), mode="valid")
    # of parts as lively as the liveliest, the one nearest to the middle
    lively = np.nonzero(sums >= sums.max() * 0.99)[0]
    first = min(lively, key=lambda place: abs(place + wide / 2 - columns / 2))
    return float((first + wide / 2) / columns)


def _cut(
    footage: Footage, out: Path, start: int, length: int, size: FrameSize, middle: float
) -> None:
    spare = footage.width - size.width
    left = round(min(max(middle * footage.width - size.width / 2, 0), spare)) // 2 * 2
    begin = ("-ss", f"{start / 1000:.3f}")
    master = ("-i", str(footage.path))
    arguments = [
        # where key frames are in no list, a jump may end behind the last one before the step
        *((*master, *begin) if may_jump(footage.path) else (*begin, *master)),
        *("-t", f"{length / 1000:.3f}"),
        "-vf",
        f"crop={size.width}:{size.height}:{left}:0,setparams=colorspace={assumed_matrix(footage)}",
        # nearly without loss: these pictures are encoded once more with the overlays on them
        *("-c:v", "libx264", "-preset", "veryfast", "-crf", "10"),
        *("-c:a", "aac", "-b:a", "192k", "-map_metadata", "-1", "-map_chapters", "-1"),
        # captions and a clock of the master's would be those of a whole film
        *("-sn", "-dn", str(out)),
    ]
    run_ffmpeg("the step could not be cut out", arguments)
