"""Burning: overlays into the master's pictures, captions and chapters into the file.

Two engines. The exact one (``exact.py``) encodes only pictures under a card and copies all
others. Where the master does not allow that, all pictures go through moviepy (``whole.py``). The
sound is copied, never encoded again. The film gets its name when it is whole and checked.
"""

from __future__ import annotations

import dataclasses
import re
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Literal, get_args

from studio.episode.records import Card, Episode, FrameSize
from studio.episode.takes import LENGTH_SLACK_MS
from studio.episode.times import END_SLACK_MS
from studio.errors import BadInput
from studio.files import keep_aside, ready_folder
from studio.film.blending import StoredCard
from studio.film.corners import with_corners
from studio.film.density import densities, watch_for, with_densities
from studio.film.drawing import LaidCard
from studio.film.exact import (
    CannotCopy,
    LastFilm,
    MadePiece,
    Plan,
    Survey,
    fine_edits,
    require_exact,
    settings_for,
    survey,
    write_pictures,
)
from studio.film.joining import join, require_whole
from studio.film.last_burn import forget, is_as_burned, last_film, remember
from studio.film.look import Look, load_look
from studio.film.masters_own import MastersOwn, masters_own
from studio.film.overlays import draw
from studio.film.probe import Footage, probe
from studio.film.ranges import (
    Showing,
    better_export,
    needed_ms,
    pieces,
    settled,
    share_text,
    showing,
)
from studio.film.telling import Bar, clock
from studio.film.thumbnail import require_moment
from studio.film.whole import assumed_matrix, known_matrix, road, write_whole
from studio.film.working import working_folder
from studio.measure.trace import plain

Engine = Literal["exact", "moviepy"]
"""How pictures come into the film: copied where no card is, or all encoded through moviepy."""

ENGINES: tuple[Engine, ...] = get_args(Engine)

QUALITY = ("-crf", "18")
"""x264 constant rate factor; 18 is taken as visually lossless (common practice, no source)."""

EXACT_QUALITY = "14"
"""The same for the exact engine: few pictures are encoded, a second time over and next to copied
ones, so they get more bits; with 18 an overlay is 44 dB from an exact blend, with 14 over 45 dB
(measured in luma at 480 × 270, the smallest card too)."""

PRESET = "faster"
"""x264 preset: at this quality no larger than `medium`, in 0.6 of its time (measured)."""

_BITS = 8
"""Bits a channel of the films that are written."""

_WORKING = ".burn-"

# Transfer curves of high dynamic range; a white plate on these would glare.
_HIGH_RANGE = frozenset({"smpte2084", "arib-std-b67"})


@dataclass(frozen=True, slots=True)
class Ending:
    """Until when a card stands, and how far that may move.

    Attributes:
        number: the card's.
        planned_ms: its end by the design.
        least_ms: the earliest end at which it has still stood long enough to be read.
        burnt_ms: its end in the film, when the first picture without it is shown.
    """

    number: int
    planned_ms: int
    least_ms: int
    burnt_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BurnReport:
    """What was burned.

    Attributes:
        out: the finished film.
        engine: the one that made it.
        encoded: pictures encoded in this burn.
        taken_over: pictures taken from the last film, where a card stands that did not change.
        endings: of each card; empty with moviepy, which moves none.
        densities: by card's number, of plates that had to be denser than they were given.
        frames: pictures in it, as many as in the master.
        fps: pictures per second.
        duration_ms: its length.
        cards: overlays burned in.
        cues: captions in its caption track.
        chapters: chapters in it.
        has_sound: whether the master's sound is in it.
        took_s: seconds of work.
        notes: what is worth telling, in sentences; may be empty.
    """

    out: Path
    frames: int
    fps: Fraction
    duration_ms: int
    cards: int
    cues: int
    chapters: int
    has_sound: bool
    took_s: float
    notes: tuple[str, ...] = ()
    engine: Engine
    encoded: int
    taken_over: int = 0
    endings: tuple[Ending, ...] = ()
    densities: Mapping[int, float] = field(default_factory=dict)


def burn(
    episode: Episode,
    master: Path,
    out: Path,
    *,
    allow_silent: bool = False,
    progress: bool | None = None,
    engine: Engine = "exact",
    tell: Callable[[str], None] | None = None,
) -> BurnReport:
    """Burn the episode's overlays into ``master`` and write the film ``out``.

    The film has the master's pictures, rate, colours and sound; a caption track and chapters;
    and the episode's title. Whatever goes wrong, ``out`` holds either the whole new film or
    what it held before.

    Args:
        episode: with times.
        master: the edited film.
        out: the film to write, MP4.
        allow_silent: whether a master without sound is meant to be so.
        progress: show a progress bar on stderr; None means on a terminal only.
        engine: ``exact`` goes over to moviepy, with a note why, where the master does not allow
            copying.
        tell: called before pictures are encoded, with sentences on how many will be.

    Raises:
        BadInput: the episode has no times, the master cannot be used, or does not fit the
            marks, or the folder cannot be written.
        WorkFailed: the disk is full, the encoder failed, or the result is not whole.
    """
    began = time.monotonic()
    footage = require_ready(episode, master, out, allow_silent=allow_silent)
    look = load_look(episode.look, beside=episode.design_file.parent)
    size = FrameSize(footage.width, footage.height)
    notes: tuple[str, ...] = () if footage.matrix else (_untagged_note(footage),)
    if footage.bits > _BITS:
        notes = (*notes, _deeper_note(footage))
    if footage.fine_colour:
        notes = (*notes, _coarser_note(footage))
    if footage.has_sound and not _HEARD.fullmatch(footage.sound):
        notes = (*notes, _unheard_note(footage))
    own = masters_own(footage)
    notes = (*notes, *own.notes)
    job = _Job(episode, footage, look, size, out, tell or (lambda _: None), own)
    plan: _ExactPlan | None = None
    reason = ""
    if engine == "exact":
        try:
            plan = _plan(job)
        except CannotCopy as why:
            notes, reason = (*notes, _whole_note(why)), f": {why}"

    bar = Bar(sys.stderr) if (sys.stderr.isatty() if progress is None else progress) else None
    try:
        with working_folder(out.parent, _WORKING, "the film") as folder:
            draft = folder / "film.mp4"
            settle: Callable[[], None] | None = None
            if plan is not None:
                try:
                    plan, settle = _make_exact(job, plan, draft, bar)
                except CannotCopy as why:
                    # never seen, but a film that is not exact is not handed over as one
                    notes, plan = (*notes, _whole_note(why)), None
            denser: Mapping[int, float]
            if plan is None:
                job.tell(f"All {footage.frames:,} pictures are encoded{reason}.")
                denser = _make_whole(job, draft, bar)
            else:
                denser = plan.denser
            draft.chmod(0o644)
            if out.exists() and not is_as_burned(out):
                notes = (*notes, keep_aside(out))
            draft.replace(out)
            if settle is not None:
                settle()
            else:
                forget(out)
    finally:
        if bar is not None:
            bar.finish()
    return BurnReport(
        out=out,
        frames=footage.frames,
        fps=footage.fps,
        duration_ms=footage.duration_ms,
        cards=len(episode.cards),
        cues=len(episode.cues),
        chapters=len(episode.chapters),
        has_sound=footage.has_sound,
        took_s=time.monotonic() - began,
        notes=notes,
        engine="moviepy" if plan is None else "exact",
        encoded=footage.frames if plan is None else plan.encoded,
        taken_over=0 if plan is None else plan.taken_over,
        endings=() if plan is None else plan.endings,
        densities=denser,
    )


def require_ready(
    episode: Episode, master: Path, out: Path, *, allow_silent: bool = False
) -> Footage:
    """Make sure that a burn can begin; what the master is.

    Args: as :func:`burn`.

    Raises:
        BadInput: as :func:`burn`.
    """
    _require_times(episode)
    footage = probe(master)
    require_usable(footage, allow_silent=allow_silent)
    _require_even(footage)
    _require_fit(episode, footage)
    require_moment(episode, footage)
    if out.is_dir():
        raise BadInput.of(f"{out} is a folder", "name the film file to write")
    if out.exists() and out.samefile(master):
        raise BadInput.of(
            "the film would be written over its own master", "choose another --out", file=master
        )
    ready_folder(out.parent)
    return footage


@dataclass(frozen=True, slots=True)
class _Job:
    """What is burned into what, all of it checked."""

    episode: Episode
    footage: Footage
    look: Look
    size: FrameSize
    out: Path
    tell: Callable[[str], None]
    own: MastersOwn


# --- the exact engine -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _ExactPlan:
    """A burn by copying: its plan, what the last film gives to it, and what is told of it."""

    plan: Plan
    last: LastFilm | None
    encoded: int
    taken_over: int
    endings: tuple[Ending, ...]
    denser: Mapping[int, float] = field(default_factory=dict)


def _plan(job: _Job) -> _ExactPlan:
    """Decide what is encoded, and tell it.

    Raises:
        CannotCopy: the master does not allow copying.
    """
    episode, footage = job.episode, job.footage
    master: Survey = survey(footage)
    index = master.index
    planned = [showing(card, index) for card in episode.cards]
    showings = settled(planned, index)
    parts = pieces(showings, index)
    laid = _laid(job, showings)
    # where a chapter begins on an encoded picture, players find a key frame
    chapters = frozenset(index.at(chapter.start_ms) for chapter in episode.chapters)
    settings = settings_for(master, parts, PRESET, EXACT_QUALITY)
    plan = Plan(master, settings, laid, parts, chapters)
    last = last_film(job.out, master.reading.digest, settings.text())
    kept = plan.taken_over(last)
    taken_over = sum(parts[place].beyond - parts[place].start for place in kept)
    encoded = sum(part.beyond - part.start for part in parts) - taken_over
    endings = tuple(
        Ending(
            card.number,
            card.end_ms or 0,
            (card.start_ms or 0) + needed_ms(card),
            round(1000 * index.seconds(one.beyond)) if one != first else card.end_ms or 0,
        )
        for card, one, first in zip(episode.cards, showings, planned, strict=True)
    )
    whole = len(index)
    copied = whole - encoded - taken_over
    job.tell(
        f"{encoded:,} of {whole:,} pictures ({share_text(encoded, whole)}) are encoded, "
        + (f"{taken_over:,} are taken from the last film, " if taken_over else "")
        + (f"the other {copied:,} and the sound are" if copied else "the sound is")
        + " copied unchanged."
    )
    if endings:
        each = ", ".join(f"{one.number} from {clock(one.least_ms)}" for one in endings)
        job.tell(f"Each overlay may end once it has been read: {each}.")
    if moved := [one for one in endings if one.burnt_ms != one.planned_ms]:
        each = "; ".join(
            f"{one.number} at {clock(one.burnt_ms)}, not {clock(one.planned_ms)} (read by "
            f"{clock(one.least_ms)})"
            for one in moved
        )
        job.tell(f"Overlays that end earlier, on a key frame, to be encoded with no tail: {each}.")
    advice = better_export(planned, index, footage.fps)
    if advice and not taken_over:
        job.tell(advice)
    return _ExactPlan(plan, last, encoded, taken_over, endings)


def _laid(job: _Job, showings: Sequence[Showing]) -> tuple[LaidCard, ...]:
    """The cards as they are laid on, each on its pictures."""
    footage, clear = job.footage, job.episode.keep_clear
    fade = job.look.fade_ms * float(footage.fps) / 1000

    def drawn(card: Card, density: float | None) -> StoredCard:
        dense = dataclasses.replace(card, opacity=density)
        return StoredCard(draw(dense, job.size, job.look, clear), assumed_matrix(footage))

    cards = with_corners(job.episode.cards, job.look, job.size)
    return tuple(
        LaidCard(
            one,
            partial(drawn, card),
            card.opacity,
            # a very short card still reaches full strength in its middle
            min(fade, (one.beyond - one.first) / 3),
            watch_for(card, job.size, job.look, clear, footage),
        )
        for card, one in zip(cards, showings, strict=True)
    )


def _make_exact(
    job: _Job, exact: _ExactPlan, draft: Path, bar: Bar | None
) -> tuple[_ExactPlan, Callable[[], None]]:
    """Make the film as ``draft``; returns what came of the plan, and what is to be done once the
    film has its name."""

    def write(plan: Plan, out: Path, last: LastFilm | None, count: int) -> tuple[MadePiece, ...]:
        if bar is not None:
            bar(frame_index__total=count)
        return write_pictures(
            plan,
            out,
            last=last,
            progress=lambda done: bar(frame_index__index=done) if bar is not None else None,
        )

    pictures = draft.with_name("pictures.mp4")
    plan, master = exact.plan, exact.plan.master
    made = write(plan, pictures, exact.last, exact.encoded)
    seen = {one.showing.number: one.watch for one in plan.cards if one.watch is not None}
    given = {card.number: card.opacity or 0 for card in job.episode.cards}
    denser = {
        number: watch.density for number, watch in seen.items() if watch.density > given[number]
    }
    if denser:
        job = _with_densities(job, denser)
        plan = dataclasses.replace(plan, cards=_laid(job, [one.showing for one in plan.cards]))
        exact = dataclasses.replace(exact, plan=plan, denser=denser)
        # most have that plate already; only of a long stretch not all was seen before it was drawn
        first = LastFilm(pictures, made)
        kept = plan.taken_over(first)
        again = sum(
            part.beyond - part.start for place, part in enumerate(plan.parts) if place not in kept
        )
        if again:
            job.tell(f"For that {again:,} of them are encoded a second time.")
            second = draft.with_name("again.mp4")
            made = write(plan, second, first, again)
            pictures.unlink()
            pictures = second
            exact = dataclasses.replace(exact, encoded=exact.encoded + again)
    join(
        job.episode,
        job.footage,
        job.look,
        job.own,
        pictures,
        draft,
        master.index.time_base.denominator,
        fine_edits(master.ticks),
    )
    pictures.unlink()
    film = require_exact(plan, draft)
    return exact, lambda: remember(
        job.out, film.digest, master.reading.digest, plan.settings.text(), made
    )


def _with_densities(job: _Job, denser: Mapping[int, float]) -> _Job:
    """The job with denser plates, which is told."""
    each = ", ".join(f"{number} {share:.0%}" for number, share in denser.items())
    job.tell(f"Pictures between those looked at first ask for denser plates, of overlay {each}.")
    cards = with_densities(job.episode.cards, denser)
    return dataclasses.replace(job, episode=dataclasses.replace(job.episode, cards=cards))


def _whole_note(why: CannotCopy) -> str:
    return f"The whole film was encoded, not only the pictures under overlays: {why}."


# --- before any work is begun -----------------------------------------------------------------


def _require_times(episode: Episode) -> None:
    untimed = [card.step_id for card in episode.cards if card.start_ms is None]
    untimed += [step.id for step in episode.steps if step.start_ms is None]
    if untimed:
        raise BadInput.of(
            f"the film has no marks yet, so nobody knows when step `{untimed[0]}` is shown",
            "write the film's marks in the design: when each step starts",
            file=episode.design_file,
        )


def require_usable(footage: Footage, *, allow_silent: bool) -> None:
    """Make sure that overlays would come out right on such pictures.

    Raises:
        BadInput: they would not, or there is no sound and none was meant.
    """

    def refuse(what: str, write: str) -> BadInput:
        return BadInput.of(what, write, file=footage.path)

    if footage.has_overlays:
        raise refuse(
            "this film has its overlays already: studio burnt it",
            "name the master, the film as the editor exported it",
        )
    if not footage.has_sound and not allow_silent:
        raise refuse(
            "the master has no sound",
            "export it with its sound, or write `silent: yes` under `film:` in the design",
        )
    if footage.transfer in _HIGH_RANGE or footage.matrix.startswith(("bt2020", "ictcp")):
        raise refuse(
            "the master is high dynamic range or BT.2020, and overlays would have wrong colours",
            "export it for standard screens (Rec. 709, 8 bit)",
        )
    if footage.matrix and not known_matrix(footage.matrix):
        raise refuse(
            f"the master's colour matrix is {footage.matrix}",
            "export it as H.264 with Rec. 709 colours",
        )
    if footage.interlaced:
        raise refuse("the master is interlaced", "export it deinterlaced (progressive)")
    if footage.pixel_aspect != 1:
        raise refuse(
            "the master's pixels are not square, and overlays would be stretched",
            "export it with square pixels",
        )


def _require_even(footage: Footage) -> None:
    if footage.width % 2 or footage.height % 2:
        raise BadInput.of(
            f"the master is {footage.width} × {footage.height}, and H.264 needs even numbers",
            "export it one pixel smaller or larger",
            file=footage.path,
        )


def _require_fit(episode: Episode, footage: Footage) -> None:
    wanted, found = episode.size, FrameSize(footage.width, footage.height)
    # cross-multiplied, with room for sizes rounded to even numbers
    skew = wanted.width * found.height - found.width * wanted.height
    if abs(skew) > 2 * max(wanted.height, found.height):
        raise BadInput.of(
            f"the master is {found.width} × {found.height}, and the design says "
            f"{wanted.width} × {wanted.height}, another shape",
            "write the film's size in the design, or export the master in that shape",
            file=footage.path,
        )
    starts = [(card.start_ms or 0, f"step `{card.step_id}`") for card in episode.cards]
    starts += [(step.start_ms or 0, f"step `{step.id}`") for step in episode.steps]
    starts += [(cue.start_ms, f"the caption “{_short(cue.text)}”") for cue in episode.cues]
    ends = [(card.end_ms or 0, f"the overlay of step `{card.step_id}`") for card in episode.cards]
    ends += [(cue.end_ms, f"the caption “{_short(cue.text)}”") for cue in episode.cues]
    length = footage.duration_ms
    beyond = [(at, what, "starts") for at, what in starts if at >= length]
    beyond += [(at, what, "ends") for at, what in ends if at > length + END_SLACK_MS]
    if beyond:
        at, what, does = max(beyond)
        raise BadInput.of(
            f"{what} {does} at {clock(at)}, and the master is only {clock(length)} long",
            "correct the film's marks in the design, or give the master they belong to",
            file=footage.path,
        )
    if (
        episode.length_ms is not None
        and abs(footage.duration_ms - episode.length_ms) > LENGTH_SLACK_MS
    ):
        raise BadInput.of(
            f"the master is {clock(footage.duration_ms)} long, and the film that the design's "
            f"length:, takes or times are of is {clock(episode.length_ms)}",
            "give the master they belong to; or write this one's length under film: in the design, "
            "or run studio time with it",
            file=footage.path,
        )


def _short(marked: str) -> str:
    text = " ".join(plain(marked).split())
    return text if len(text) <= 40 else text[:39] + "…"


def _deeper_note(footage: Footage) -> str:
    return (
        f"The master has {footage.bits} bits a channel, and the film has {_BITS}, as hosts show "
        "films for standard screens; look for bands in soft gradients."
    )


def _coarser_note(footage: Footage) -> str:
    return (
        f"The master has colour as fine as {footage.pixel_format} holds it, and the film has it at "
        "half the width and half the height (4:2:0), as hosts show films; look at thin coloured "
        "lines."
    )


_HEARD = re.compile(r"aac|mp3|flac|opus|pcm_\w+")
"""Sound that goes into an MP4 and that browsers have a decoder for (tried in Chromium)."""


def _unheard_note(footage: Footage) -> str:
    return (
        f"The master's sound ({footage.sound}) is copied as it is, and browsers cannot play it: on "
        "the handout the film is silent; export the master with AAC sound."
    )


def _untagged_note(footage: Footage) -> str:
    return (
        f"The master does not say which colour matrix it uses; {road(footage)[1].upper()} was "
        "taken, as players do for its size, and the film is left unsaid in the same way."
    )


# --- all pictures through moviepy -------------------------------------------------------------


def _make_whole(job: _Job, draft: Path, bar: Bar | None) -> dict[int, float]:
    """Make the film as ``draft``, every picture encoded anew; returns plates made denser."""
    cards = with_corners(job.episode.cards, job.look, job.size)
    denser = densities(cards, job.size, job.look, job.episode.keep_clear, job.footage)
    if denser:
        job = _with_densities(job, denser)
    pictures = draft.with_name("pictures.mp4")
    write_whole(
        job.footage, job.episode, job.look, pictures, preset=PRESET, quality=QUALITY, bar=bar
    )
    # moviepy does not ask its encoder whether it came to an end
    require_whole(pictures, dataclasses.replace(job.footage, sound=""))
    join(job.episode, job.footage, job.look, job.own, pictures, draft)
    require_whole(draft, job.footage)
    return denser
