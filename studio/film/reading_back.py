"""What a finished film holds besides its pictures: chapters, captions and its fingerprint."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from studio.episode.digest import PREFIX

FILM = "film.mp4"
"""The finished film's name in the out folder."""


@dataclass(frozen=True, slots=True)
class Held:
    """A chapter or caption inside a film."""

    start_ms: int
    end_ms: int
    text: str


@dataclass(frozen=True, slots=True)
class FilmContents:
    """What is inside a film file.

    Attributes:
        chapters: in order.
        captions: of the first subtitle track, in order; empty cues between them left out.
        said_digest: fingerprint of the design's state it was burnt from; empty when unknown.
    """

    chapters: tuple[Held, ...]
    captions: tuple[Held, ...]
    said_digest: str


def film_contents(path: Path) -> FilmContents | None:
    """Read ``path`` back; None when it is not a film that can be read."""
    import av
    from av.error import FFmpegError

    try:
        with av.open(str(path)) as film:
            chapters = tuple(
                Held(
                    round(chapter["start"] * (chapter["time_base"] or 0) * 1000),
                    round(chapter["end"] * (chapter["time_base"] or 0) * 1000),
                    str(chapter["metadata"].get("title", "")),
                )
                for chapter in film.chapters()
            )
            comment = str(film.metadata.get("comment", ""))
            digest = comment.removeprefix(PREFIX) if comment.startswith(PREFIX) else ""
            captions = _captions(film)
    except (FFmpegError, OSError, ValueError):
        return None
    return FilmContents(chapters, captions, digest)


def is_ours(path: Path) -> bool:
    """Whether a burn of ours made the film."""
    contents = film_contents(path)
    return contents is not None and contents.said_digest != ""


def _captions(film: object) -> tuple[Held, ...]:
    import av

    assert isinstance(film, av.container.InputContainer)
    if not film.streams.subtitles:
        return ()
    track = film.streams.subtitles[0]
    out = []
    for packet in film.demux(track):
        if packet.pts is None or packet.time_base is None or packet.duration is None:
            continue
        data = bytes(packet)
        # ISO/IEC 14496-17 timed text: a sample is its length in two bytes, then UTF-8
        length = int.from_bytes(data[:2], "big")
        text = data[2 : 2 + length].decode("utf-8", errors="replace")
        if text.strip():
            start = round(packet.pts * packet.time_base * 1000)
            out.append(Held(start, start + round(packet.duration * packet.time_base * 1000), text))
    return tuple(out)
