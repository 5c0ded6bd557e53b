"""Pictures, the master's sound, captions, chapters and title into one film; is it whole?"""

from __future__ import annotations

import dataclasses
import subprocess
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from studio.episode.digest import PREFIX, said_digest
from studio.episode.records import Cue, Episode
from studio.errors import BadInput, WorkFailed
from studio.film.captions import payloads, render_chapters_ffmeta, render_vtt
from studio.film.look import Look
from studio.film.masters_own import MastersOwn, arguments
from studio.film.probe import Footage, probe
from studio.measure.trace import plain

FULL = "No space left"
"""What ffmpeg and the system say when the disk is full."""

FULL_DISK = "the disk is full; nothing was written"

LARGE = "File too large"
"""What they say when it would grow past what is allowed there."""

_SIGXFSZ = 25
"""The signal that ends a program whose file would grow past what is allowed (POSIX, on Linux)."""

TOO_LARGE = (
    "the film would be larger than a file may be there (4 GB on many a stick, or a limit set for "
    "you); nothing was written: choose a folder on another disk with --out"
)


def join(
    episode: Episode,
    footage: Footage,
    look: Look,
    own: MastersOwn,
    pictures: Path,
    out: Path,
    timescale: int | None = None,
    options: Mapping[str, str] | None = None,
) -> None:
    """Put pictures, the master's own sound, captions, chapters and title into one MP4, and what
    else of the master's the film keeps.

    With a ``timescale``, units in a second, the pictures' times are counted in it. ``options`` are
    the MP4 muxer's.
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
        cues=_within(episode.cues, length),
    )
    chapters = out.with_name("chapters.ffmeta")
    chapters.write_text(plain(render_chapters_ffmeta(episode)), encoding="utf-8")
    # ffmpeg puts what it reads to time 0 first
    inputs = ["-itsoffset", f"{float(footage.start):.6f}", "-i", str(pictures)]
    inputs += ["-itsoffset", f"{_sound_begins(footage.path):.6f}"]
    inputs += ["-i", str(footage.path), "-f", "ffmetadata", "-i", str(chapters)]
    maps = ["-map", "0:v:0", "-map", "1:a?"]
    spoken = [(episode.language, episode)]
    spoken += [
        (language, dataclasses.replace(episode, cues=_within(cues, length)))
        for language, cues in episode.translated
    ]
    tracks = [(language, one) for language, one in spoken if payloads(one)]
    for number, (language, one) in enumerate(tracks):
        inputs += ["-i", str(_caption_track(one, out.parent, language.tag))]
        maps += ["-map", f"{3 + number}:s:0", f"-metadata:s:s:{number}"]
        maps += [f"language={language.track}"]
    if len(tracks) > 1:
        # players take the first; the others are there to be chosen
        maps += ["-disposition:s:0", "default"]
        for number in range(1, len(tracks)):
            maps += [f"-disposition:s:{number}", "0"]
    run_ffmpeg(
        "the sound, captions and pictures could not be joined; if it names the sound, export the "
        "master with AAC sound",
        [
            *inputs,
            *maps,
            *("-c", "copy", "-map_metadata", "2", "-map_chapters", "2"),
            *("-metadata", f"comment={PREFIX}{said_digest(whole, look.model_dump_json())}"),
            *arguments(own),
            *(("-video_track_timescale", str(timescale)) if timescale else ()),
            *(part for name, value in (options or {}).items() for part in (f"-{name}", value)),
            *("-movflags", "+faststart", str(out)),
        ],
    )


_MAY_JUMP = 0x0200
"""FFmpeg's ``AVFMT_TS_DISCONT``: formats whose times may jump, transport streams above all."""


def may_jump(path: Path) -> bool:
    """Whether a film is of a format whose times may jump, and that keeps no list of key frames."""
    import av

    with av.open(str(path)) as container:
        return bool(container.format.flags & _MAY_JUMP)


def _sound_begins(path: Path) -> float:
    """By how much ffmpeg brings a film's sound forward when it reads nothing else of it, seconds.

    Of formats whose times may jump it puts what it reads to time 0, not the film.
    """
    import av

    if not may_jump(path):
        return 0.0
    with av.open(str(path)) as container:
        starts = [
            float(one.start_time * one.time_base)
            for one in container.streams.audio
            if one.start_time is not None and one.time_base is not None
        ]
        begin = (container.start_time or 0) / av.time_base
        return max(0.0, min(starts, default=begin) - begin)


def _within(cues: Iterable[Cue], length_ms: int) -> tuple[Cue, ...]:
    """Captions of a film of that length."""
    return tuple(dataclasses.replace(cue, end_ms=min(cue.end_ms, length_ms)) for cue in cues)


def _caption_track(episode: Episode, folder: Path, tag: str) -> Path:
    """An MP4 that holds only the captions, as timed text (``mov_text``).

    ffmpeg makes the track and its times. On its way from WebVTT it leaves escapes round braces
    and backslashes, so the words themselves are put in once more as they are.
    """
    import av

    names = (f"captions.{tag}.vtt", f"made.{tag}.mp4", f"captions.{tag}.mp4")
    source, made, exact = (folder / name for name in names)
    source.write_text(plain(render_vtt(episode)), encoding="utf-8")
    run_ffmpeg(
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


def run_ffmpeg(failed: str, arguments: Sequence[str]) -> None:
    """Run the bundled ffmpeg.

    Args:
        failed: begins the message when it does not succeed.
        arguments: behind those that make it quiet and let it overwrite.

    Raises:
        WorkFailed: it did not succeed, or the disk is full.
    """
    import imageio_ffmpeg

    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-hide_banner", "-loglevel", "error"]
    done = subprocess.run(
        [*command, "-nostdin", "-y", *arguments],
        stderr=subprocess.PIPE,
        text=True,
        errors="replace",
        check=False,
    )
    if FULL in done.stderr:
        raise WorkFailed(FULL_DISK)
    if LARGE in done.stderr or done.returncode == -_SIGXFSZ:
        raise WorkFailed(TOO_LARGE)
    if done.returncode:
        raise WorkFailed(f"{failed}:\n{done.stderr.strip() or f'it ended with {done.returncode}'}")


def require_whole(film: Path, footage: Footage) -> None:
    """Compare a film's pictures, rate, length and sound track with its master's.

    Raises:
        WorkFailed: they differ, or the film cannot be read.
    """
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
        or not (footage.variable_rate or made.fps == footage.fps)
        or abs(made.pictures_ms - footage.pictures_ms) > picture_ms
        # pictures by themselves begin with the first of them
        or (made.has_sound and abs(made.start - footage.start) * 1000 > picture_ms)
        or made.has_sound != footage.has_sound
    ):
        raise WorkFailed(
            f"the film came out with {made.frames} pictures at {made.fps} a second and the "
            f"master has {footage.frames} at {footage.fps}; nothing was written. "
            "Is the disk full?"
        )
