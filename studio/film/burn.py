"""Burning: overlays into the master's pictures, captions and chapters into the file.

Two engines. The exact one (``exact.py``) encodes only pictures under a card and copies all
others. Where the master does not allow that, all pictures go through moviepy in RGB; the way
there and back is spelt out here, with the master's own colour matrix and range, because every
default on that way is BT.601 whatever the film is. The sound is copied, never encoded again. The
film gets its name when it is whole and checked.
"""

from __future__ import annotations

import contextlib
import dataclasses
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TextIO, get_args

import numpy as np
import proglog
from numpy.typing import NDArray

from studio.episode.digest import PREFIX, said_digest
from studio.episode.records import Card, Episode, FrameSize
from studio.errors import BadInput, WorkFailed
from studio.files import keep_aside, ready_folder
from studio.film.blending import StoredCard, fading
from studio.film.captions import payloads, render_chapters_ffmeta, render_vtt
from studio.film.exact import (
    CannotCopy,
    LaidCard,
    LastFilm,
    Plan,
    Survey,
    require_exact,
    settings_for,
    survey,
    write_pictures,
)
from studio.film.last_burn import forget, last_film, remember
from studio.film.look import Look, load_look
from studio.film.overlays import draw
from studio.film.probe import Footage, probe
from studio.film.ranges import (
    better_export,
    needed_ms,
    pieces,
    settled,
    share_text,
    showing,
)
from studio.film.reading_back import is_ours
from studio.measure.trace import plain

if TYPE_CHECKING:
    from av.video.frame import VideoFrame

Pixels = NDArray[np.uint8]

Engine = Literal["exact", "moviepy"]
"""How pictures come into the film: copied where no card is, or all encoded through moviepy."""

ENGINES: tuple[Engine, ...] = get_args(Engine)

QUALITY = ("-crf", "18")
"""x264 constant rate factor; 18 is taken as visually lossless (common practice, no source)."""

EXACT_QUALITY = "15"
"""The same for the exact engine: few pictures are encoded, a second time over and next to copied
ones, so they get more bits; with 18 an overlay is 44 dB from an exact blend, with 15 over 45 dB
(measured in luma at 640 × 360)."""

PRESET = "faster"
"""x264 preset: at this quality no larger than `medium`, in 0.6 of its time (measured)."""

# An end may lie this far beyond the film: marks are written down to a second or a tenth.
_END_SLACK_MS = 500

LENGTH_SLACK_MS = 1000
"""A design's film length is written down to a second, up or down."""

_WORKING = ".burn-"
_ABANDONED_S = 3600

_FULL = "No space left"
_FULL_DISK = "the disk is full; nothing was written"

# Matrices that the road through RGB can name on both ends: in PyAV's words, in ffmpeg's.
_ROADS = {
    "bt709": ("ITU709", "bt709"),
    "bt470bg": ("ITU601", "bt601"),
    "smpte170m": ("ITU601", "bt601"),
    "fcc": ("FCC", "fcc"),
    "smpte240m": ("SMPTE240M", "smpte240m"),
}

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
        master: the edited film, 8 bits a channel; for moviepy at a constant rate.
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
    _require_times(episode)
    footage = probe(master)
    _require_usable(footage, allow_silent)
    _require_fit(episode, footage)
    if out.is_dir():
        raise BadInput.of(f"{out} is a folder", "name the film file to write")
    if out.exists() and out.samefile(master):
        raise BadInput.of(
            "the film would be written over its own master", "choose another --out", file=master
        )
    ready_folder(out.parent)
    look = load_look(episode.look, beside=episode.design_file.parent)
    size = FrameSize(footage.width, footage.height)
    notes: tuple[str, ...] = () if footage.matrix else (_untagged_note(footage),)
    job = _Job(episode, footage, look, size, out, tell or (lambda _: None))
    plan: _ExactPlan | None = None
    if engine == "exact":
        try:
            plan = _plan(job)
        except CannotCopy as why:
            _require_even(footage, str(why))
            notes = (*notes, _whole_note(why))
    else:
        _require_even(footage)

    bar = Bar(sys.stderr) if (sys.stderr.isatty() if progress is None else progress) else None
    try:
        _clear_up(out.parent)
        with tempfile.TemporaryDirectory(prefix=_WORKING, dir=out.parent) as folder:
            draft = Path(folder) / "film.mp4"
            settle: Callable[[], None] | None = None
            if plan is not None:
                try:
                    settle = _make_exact(job, plan, draft, bar)
                except CannotCopy as why:
                    # never seen, but a film that is not exact is not handed over as one
                    _require_even(footage, str(why))
                    notes, plan = (*notes, _whole_note(why)), None
            if plan is None:
                job.tell(f"All {footage.frames:,} pictures are encoded.")
                _make_whole(job, draft, bar)
            draft.chmod(0o644)
            if out.exists() and not is_ours(out):
                notes = (*notes, keep_aside(out))
            draft.replace(out)
            if settle is not None:
                settle()
            else:
                forget(out)
    except (OSError, _av_error()) as error:
        if _interrupted(error):
            raise KeyboardInterrupt from error
        raise WorkFailed(_told(error)) from error
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
    )


def _clear_up(folder: Path) -> None:
    """Remove what a burn left that was killed outright; one at work writes all the time."""
    for left in folder.glob(f"{_WORKING}*"):
        with contextlib.suppress(OSError):
            touched = [left, *left.iterdir()]
            if max(one.stat().st_mtime for one in touched) < time.time() - _ABANDONED_S:
                shutil.rmtree(left)


def _av_error() -> type[Exception]:
    """What PyAV raises besides OSError."""
    from av.error import FFmpegError

    return FFmpegError


@dataclass(frozen=True, slots=True)
class _Job:
    """What is burned into what, all of it checked."""

    episode: Episode
    footage: Footage
    look: Look
    size: FrameSize
    out: Path
    tell: Callable[[str], None]


# --- the exact engine -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _ExactPlan:
    """A burn by copying: its plan, what the last film gives to it, and what is told of it."""

    plan: Plan
    last: LastFilm | None
    encoded: int
    taken_over: int
    endings: tuple[Ending, ...]


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
    fade = job.look.fade_ms * float(footage.fps) / 1000
    laid = tuple(
        LaidCard(
            one,
            StoredCard(draw(card, job.size, job.look), _matrix(footage)),
            # a very short card still reaches full strength in its middle
            min(fade, (one.beyond - one.first) / 3),
        )
        for card, one in zip(episode.cards, showings, strict=True)
    )
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
    job.tell(
        f"{encoded:,} of {whole:,} pictures ({share_text(encoded, whole)}) are encoded, "
        + (f"{taken_over:,} are taken from the last film, " if taken_over else "")
        + "all others and the sound are copied as they are."
    )
    if moved := [one for one in endings if one.burnt_ms != one.planned_ms]:
        each = "; ".join(
            f"{one.number} at {_clock(one.burnt_ms)}, not {_clock(one.planned_ms)} (read by "
            f"{_clock(one.least_ms)})"
            for one in moved
        )
        job.tell(f"Overlays that end earlier, on a key frame, to be encoded with no tail: {each}.")
    advice = better_export(planned, index, footage.fps)
    if advice and not taken_over:
        job.tell(advice)
    return _ExactPlan(plan, last, encoded, taken_over, endings)


def _make_exact(job: _Job, exact: _ExactPlan, draft: Path, bar: Bar | None) -> Callable[[], None]:
    """Make the film as ``draft``; returns what is to be done once it has its name."""
    if bar is not None:
        bar(frame_index__total=exact.encoded)
    pictures = draft.with_name("pictures.mp4")
    plan, master = exact.plan, exact.plan.master
    made = write_pictures(
        plan,
        pictures,
        last=exact.last,
        progress=lambda count: bar(frame_index__index=count) if bar is not None else None,
    )
    _join(job.episode, job.footage, job.look, pictures, draft, master.index.time_base.denominator)
    pictures.unlink()
    film = require_exact(plan, draft)
    return lambda: remember(job.out, film.digest, master.reading.digest, plan.settings.text(), made)


def _whole_note(why: CannotCopy) -> str:
    return f"The whole film was encoded, not only the pictures under overlays: {why}."


def _matrix(footage: Footage) -> str:
    """The matrix of the master; where it says none, the one that players assume."""
    return footage.matrix or next(name for name, road in _ROADS.items() if road == _road(footage))


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


def _require_usable(footage: Footage, allow_silent: bool) -> None:
    def refuse(what: str, write: str) -> BadInput:
        return BadInput.of(what, write, file=footage.path)

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
    if footage.bits != 8:
        raise refuse(
            f"the master has {footage.bits} bits a channel and would lose some of them",
            "export it with 8 bits (H.264, 4:2:0)",
        )
    if footage.matrix and footage.matrix not in _ROADS:
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
    if footage.width % 2 or footage.height % 2:
        raise refuse(
            f"the master is {footage.width} × {footage.height}, and H.264 needs even numbers",
            "export it one pixel smaller or larger",
        )


def _require_even(footage: Footage, why: str = "") -> None:
    if footage.variable_rate:
        raise BadInput.of(
            "the master's pictures come at uneven times (variable frame rate), which goes with "
            "copying only" + (f", and {why}" if why else ""),
            "export it with a constant frame rate",
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
    beyond += [(at, what, "ends") for at, what in ends if at > length + _END_SLACK_MS]
    if beyond:
        at, what, does = max(beyond)
        raise BadInput.of(
            f"{what} {does} at {_clock(at)}, and the master is only {_clock(length)} long",
            "correct the film's marks in the design, or give the master they belong to",
            file=footage.path,
        )
    if (
        episode.length_ms is not None
        and abs(footage.duration_ms - episode.length_ms) > LENGTH_SLACK_MS
    ):
        raise BadInput.of(
            f"the master is {_clock(footage.duration_ms)} long, and the design says "
            f"{_clock(episode.length_ms)}",
            "write the master's length under film: in the design, or give the master it belongs to",
            file=footage.path,
        )


def _short(marked: str) -> str:
    text = " ".join(plain(marked).split())
    return text if len(text) <= 40 else text[:39] + "…"


def _clock(milliseconds: int) -> str:
    """Minutes and seconds for a message.

    >>> _clock(72_400)
    '1:12.4'
    """
    minutes, rest = divmod(milliseconds, 60_000)
    return f"{minutes}:{rest // 1000:02d}.{rest % 1000 // 100}"


def _untagged_note(footage: Footage) -> str:
    return (
        f"The master does not say which colour matrix it uses; {_road(footage)[1].upper()} was "
        "taken, as players do for its size, and the film is left unsaid in the same way."
    )


# --- all pictures through moviepy -------------------------------------------------------------


def _make_whole(job: _Job, draft: Path, bar: Bar | None) -> None:
    """Make the film as ``draft``, every picture encoded anew."""
    pictures = draft.with_name("pictures.mp4")
    cards = [_burnt_card(card, job.size, job.look, job.footage) for card in job.episode.cards]
    _write_pictures(job.footage, cards, job.episode, pictures, bar)
    # moviepy does not ask its encoder whether it came to an end
    _require_whole(pictures, dataclasses.replace(job.footage, has_sound=False))
    _join(job.episode, job.footage, job.look, pictures, draft)
    _require_whole(draft, job.footage)


@dataclass(frozen=True, slots=True)
class _BurntCard:
    """A card cut down to what is drawn of it, ready to be laid on pictures.

    Attributes:
        first, beyond: indices of the first picture with the card and the first without.
        left, top: its place.
        ink: colour times opacity, 0 to 255 × 255.
        cover: opacity, 0 to 255, one channel.
        fade: pictures over which it comes and goes.
    """

    first: int
    beyond: int
    left: int
    top: int
    ink: NDArray[np.uint32]
    cover: NDArray[np.uint32]
    fade: float

    def lay_on(self, picture: Pixels, index: int) -> None:
        """Blend the card into ``picture``, the film's picture number ``index``, in place."""
        strength = fading(self.first, self.beyond, self.fade)(index)
        height, width = self.cover.shape[:2]
        part = picture[self.top : self.top + height, self.left : self.left + width]
        whole = 255 * 256
        under = part * (whole - self.cover * strength)
        part[...] = (self.ink * strength + under + whole // 2) // whole


def _burnt_card(card: Card, size: FrameSize, look: Look, footage: Footage) -> _BurntCard:
    picture = draw(card, size, look)
    box = picture.getbbox()
    if box is None or card.start_ms is None or card.end_ms is None:
        raise ValueError(f"card {card.number} shows nothing or has no times")
    pixels = np.asarray(picture.crop(box), dtype=np.uint32)
    cover = pixels[:, :, 3:]
    first = _picture_at(card.start_ms, footage.fps)
    beyond = min(_picture_at(card.end_ms, footage.fps), footage.frames)
    return _BurntCard(
        first=first,
        beyond=max(beyond, first + 1),
        left=box[0],
        top=box[1],
        ink=pixels[:, :, :3] * cover,
        cover=cover,
        # a very short card still reaches full strength in its middle
        fade=min(look.fade_ms * float(footage.fps) / 1000, (beyond - first) / 3),
    )


def _picture_at(milliseconds: int, fps: Fraction) -> int:
    """Index of the first picture shown at or after a time."""
    return ceil(Fraction(milliseconds, 1000) * fps)


def _road(footage: Footage) -> tuple[str, str]:
    """The matrix to RGB and back in PyAV's and in ffmpeg's words.

    For an untagged film the one that players assume: BT.709 from 1280 wide or above 576 high
    on, else BT.601 (common practice, no source).
    """
    large = footage.width >= 1280 or footage.height > 576
    return _ROADS[footage.matrix or ("bt709" if large else "smpte170m")]


class _Pictures:
    """The master's pictures in order, upright, as RGB, each decoded once.

    moviepy's own reader is not used: it counts pictures from a rounded duration and leaves the
    colour matrix of an untagged film to a default.
    """

    def __init__(self, footage: Footage) -> None:
        import av

        self._footage = footage
        self._container = av.open(str(footage.path))
        self._stream = next(s for s in self._container.streams.video if s.width)
        self._stream.thread_type = "AUTO"
        self._frames: Iterator[VideoFrame] = self._container.decode(self._stream)
        self._index = -1
        self._current: Pixels | None = None

    def at(self, index: int) -> Pixels:
        """Picture number ``index``; pictures are asked for in order, one more than once."""
        if self._current is None or index > self._index:
            for frame in self._frames:
                self._index += 1
                if self._index == index:
                    self._current = self._rgb(frame)
                    break
            else:
                raise WorkFailed(
                    f"{self._footage.path} broke off at picture {self._index + 1} of "
                    f"{self._footage.frames}; export or copy it again"
                )
        return self._current

    def _rgb(self, frame: VideoFrame) -> Pixels:
        from av.video.reformatter import Interpolation

        full = self._footage.colour_range == "pc"
        picture = frame.reformat(
            format="rgb24",
            src_colorspace=_road(self._footage)[0],
            src_color_range="JPEG" if full else "MPEG",
            dst_color_range="JPEG",
            # without accurate rounding every luma value comes out one too dark (measured)
            interpolation=Interpolation.BILINEAR
            | Interpolation.ACCURATE_RND
            | Interpolation.FULL_CHR_H_INT,
        )
        pixels: Pixels = picture.to_ndarray()  # type: ignore[assignment]
        # turned the other way round: numpy counts quarter turns anticlockwise
        return np.rot90(pixels, -self._footage.rotation // 90)

    def close(self) -> None:
        """Let go of the file."""
        self._container.close()


def _write_pictures(
    footage: Footage, cards: list[_BurntCard], episode: Episode, out: Path, bar: Bar | None
) -> None:
    """Encode the film's pictures with their overlays; no sound yet."""
    from moviepy import VideoClip

    fps = float(footage.fps)
    pictures = _Pictures(footage)

    def index_of(seconds: float) -> int:
        return round(seconds * fps)

    def overlaid(seconds: float) -> Pixels:
        index = index_of(seconds)
        visible = [card for card in cards if card.first <= index < card.beyond]
        picture = pictures.at(index)
        if visible:
            # moviepy asks for the first picture twice; the decoded one must stay clean
            picture = picture.copy()
        for card in visible:
            card.lay_on(picture, index)
        return picture

    try:
        film = VideoClip(overlaid)
        # half a picture more: moviepy rounds duration times rate down
        film = film.with_duration((footage.frames + 0.5) / fps)
        film.write_videofile(
            str(out),
            fps=fps,
            codec="libx264",
            preset=PRESET,
            audio=False,
            ffmpeg_params=_encoding(footage, episode),
            logger=bar,
        )
    finally:
        pictures.close()


def _encoding(footage: Footage, episode: Episode) -> list[str]:
    """What ffmpeg is told beyond moviepy's own arguments."""
    fps = f"{footage.fps.numerator}/{footage.fps.denominator}"
    full = footage.colour_range == "pc"
    unsaid = "unknown"
    filters = [
        # moviepy hands the rate over with two decimals; 30000/1001 would drift
        f"settb={footage.fps.denominator}/{footage.fps.numerator}",
        "setpts=N",
        f"scale=out_color_matrix={_road(footage)[1]}:out_range={'pc' if full else 'tv'}"
        ":flags=bicubic+accurate_rnd+full_chroma_int",
        "setsar=1,format=yuv420p",
        f"setparams=colorspace={footage.matrix or unsaid}"
        f":color_primaries={footage.primaries or unsaid}:color_trc={footage.transfer or unsaid}"
        f":range={footage.colour_range or 'tv'}",
    ]
    starts = ",".join(f"{chapter.start_ms / 1000:.3f}" for chapter in episode.chapters)
    return [
        *("-vf", ",".join(filters), "-r", fps),
        *QUALITY,
        # a player jumps to key frames: one every two seconds and one at each chapter
        *("-g", str(round(2 * footage.fps))),
        *(("-force_key_frames", starts) if starts else ()),
        *("-video_track_timescale", str(footage.fps.numerator * 1000)),
    ]


# --- joining ----------------------------------------------------------------------------------


def _join(
    episode: Episode,
    footage: Footage,
    look: Look,
    pictures: Path,
    out: Path,
    timescale: int | None = None,
) -> None:
    """Put pictures, the master's own sound, captions, chapters and title into one MP4.

    With a ``timescale``, units in a second, the pictures' times are counted in it.
    """
    length = footage.duration_ms
    whole = episode
    # A chapter or caption that outlasts the film would make the file longer than its pictures.
    episode = dataclasses.replace(
        episode,
        chapters=tuple(
            dataclasses.replace(chapter, end_ms=min(chapter.end_ms, length))
            for chapter in episode.chapters
            if chapter.start_ms < length
        ),
        cues=tuple(
            dataclasses.replace(cue, end_ms=min(cue.end_ms, length)) for cue in episode.cues
        ),
    )
    chapters = out.with_name("chapters.ffmeta")
    chapters.write_text(plain(render_chapters_ffmeta(episode)), encoding="utf-8")
    inputs = ["-itsoffset", f"{footage.start_ms / 1000:.3f}", "-i", str(pictures)]
    inputs += ["-i", str(footage.path), "-f", "ffmetadata", "-i", str(chapters)]
    maps = ["-map", "0:v:0", "-map", "1:a?"]
    if payloads(episode):
        inputs += ["-i", str(_caption_track(episode, out.parent))]
        maps += ["-map", "3:s:0", "-metadata:s:s:0", "language=eng"]
    _ffmpeg(
        "the sound, captions and pictures could not be joined; if it names the sound, export the "
        "master with AAC sound",
        [
            *inputs,
            *maps,
            *("-c", "copy", "-map_metadata", "2", "-map_chapters", "2"),
            *("-metadata", f"comment={PREFIX}{said_digest(whole, look.model_dump_json())}"),
            *(("-metadata", f"copyright={footage.copyright}") if footage.copyright else ()),
            *(("-video_track_timescale", str(timescale)) if timescale else ()),
            *("-movflags", "+faststart", str(out)),
        ],
    )


def _caption_track(episode: Episode, folder: Path) -> Path:
    """An MP4 that holds only the captions, as timed text (``mov_text``).

    ffmpeg makes the track and its times. On its way from WebVTT it leaves escapes round braces
    and backslashes, so the words themselves are put in once more as they are.
    """
    import av

    source, made, exact = (folder / name for name in ("captions.vtt", "made.mp4", "captions.mp4"))
    source.write_text(plain(render_vtt(episode)), encoding="utf-8")
    _ffmpeg(
        "the captions could not be made into a track",
        ["-f", "webvtt", "-i", str(source), "-c:s", "mov_text", str(made)],
    )
    words = iter(payloads(episode))
    with av.open(str(made)) as old, av.open(str(exact), "w") as new:
        track = old.streams.subtitles[0]
        copy = new.add_stream_from_template(track)
        for packet in old.demux(track):
            if packet.size == 0:
                continue
            content = bytes(packet)
            # ISO/IEC 14496-17: a sample is its length in two bytes, then UTF-8; no length, no text
            if int.from_bytes(content[:2], "big"):
                text = next(words).encode()
                content = len(text).to_bytes(2, "big") + text
            rewritten = av.Packet(content)
            rewritten.pts, rewritten.dts = packet.pts, packet.dts
            rewritten.duration, rewritten.time_base = packet.duration, packet.time_base
            rewritten.stream = copy
            new.mux(rewritten)
    return exact


def _ffmpeg(failed: str, arguments: list[str]) -> None:
    """Run the bundled ffmpeg; ``failed`` begins the message when it does not succeed."""
    import imageio_ffmpeg

    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-hide_banner", "-loglevel", "error"]
    done = subprocess.run(
        [*command, "-nostdin", "-y", *arguments],
        stderr=subprocess.PIPE,
        text=True,
        errors="replace",
        check=False,
    )
    if _FULL in done.stderr:
        raise WorkFailed(_FULL_DISK)
    if done.returncode:
        raise WorkFailed(f"{failed}:\n{done.stderr.strip() or f'it ended with {done.returncode}'}")


def _require_whole(film: Path, footage: Footage) -> None:
    try:
        made = probe(film)
    except BadInput as error:
        raise WorkFailed(
            f"the film came out broken ({error.faults[0].what}); nothing was written. "
            "Is the disk full?"
        ) from error
    picture_ms = 1000 / footage.fps
    if (
        made.frames != footage.frames
        or made.fps != footage.fps
        or abs(made.duration_ms - footage.duration_ms) > picture_ms
        or made.has_sound != footage.has_sound
    ):
        raise WorkFailed(
            f"the film came out with {made.frames} pictures at {made.fps} a second and the "
            f"master has {footage.frames} at {footage.fps}; nothing was written. "
            "Is the disk full?"
        )


def _interrupted(error: Exception) -> bool:
    """Whether ``error`` came up while an interruption was being tidied up.

    Ctrl-C stops moviepy's encoder too, and closing the pipe to it then fails by itself.
    """
    cause: BaseException | None = error
    while cause is not None:
        if isinstance(cause, KeyboardInterrupt):
            return True
        cause = cause.__context__
    return False


def _told(error: Exception) -> str:
    """The line of ffmpeg's that matters, or the system's own words."""
    text = str(error)
    if _FULL in text:
        return _FULL_DISK
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    last = lines[-1] if lines else text
    if last.startswith("MoviePy error"):
        last = "the encoder stopped without a word"
    return f"the film could not be written: {getattr(error, 'strerror', None) or last}"


class Bar(proglog.ProgressBarLogger):  # type: ignore[misc]
    """A one-line progress bar for moviepy's frame counter, on ``stream``."""

    _CELLS = 28

    def __init__(self, stream: TextIO) -> None:
        super().__init__(min_time_interval=0.2)
        self._stream = stream
        self._began = time.monotonic()
        self._drawn = False

    def bars_callback(self, bar: str, attr: str, value: Any, old_value: Any = None) -> None:
        """Redraw when ``bar`` moved on."""
        total = self.bars[bar]["total"]
        if attr != "index" or not total:
            return
        share = min(1.0, max(0, value) / total)
        full = round(share * self._CELLS)
        line = f"burning  {'█' * full}{'░' * (self._CELLS - full)}  {share:4.0%}"
        spent = time.monotonic() - self._began
        if 0 < share < 1 and spent > 3:
            line += f"  about {_clock(round(1000 * spent * (1 - share) / share))[:-2]} left"
        self._stream.write(f"\r{line}\033[K")
        self._stream.flush()
        self._drawn = True

    def callback(self, **changes: Any) -> None:
        """Moviepy's chatter is not for the turner."""

    def finish(self) -> None:
        """Leave the terminal on a fresh, empty line."""
        if self._drawn:
            self._stream.write("\r\033[K")
            self._stream.flush()
