"""What a master holds beside pictures and sound: what of it goes into the film, and what does not.

Captions, chapters, title and comment of the film are the design's or studio's own. Tags that tell
whose the film is and what it is about are copied, and so is a clock that counts its pictures. What
is left out is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from studio.film.probe import Footage

if TYPE_CHECKING:
    import av

KEPT_TAGS = (
    "artist", "album_artist", "composer", "album", "date", "genre", "copyright", "grouping",
    "lyrics", "description", "synopsis", "show", "episode_id", "network", "keywords",
    "creation_time",
)  # fmt: skip
"""Tags that are copied: those that FFmpeg's MP4 writer has a place for (its movenc.c), without the
title and the comment, which the film has of its own."""

_NO_TAGS = frozenset(
    (
        "major_brand", "minor_version", "compatible_brands", "encoder", "encoding_tool", "timecode",
        "hd_video", "media_type", "gapless_playback", "compilation", "duration",
    )
)  # fmt: skip
"""What FFmpeg lists among the tags and is the file's own make."""

_MADE_ANEW = frozenset(("title", "comment"))

_PLACE = "location"
"""Where a film was taken, which nobody who gives it away should give away unawares; what names of
tags have in them (Apple's com.apple.quicktime.location.ISO6709, others location-eng)."""

_MOST = 60
"""Characters of a tag's text that are told (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MastersOwn:
    """A master's belongings.

    Attributes:
        tags: to be copied, by FFmpeg's names.
        timecode: what its first picture's clock says (SMPTE ST 12, ``hh:mm:ss:ff``); empty where
            it has none or the film cannot have it.
        left: what does not go into the film, each in words.
    """

    tags: Mapping[str, str]
    timecode: str
    left: tuple[str, ...]

    @property
    def notes(self) -> tuple[str, ...]:
        """A sentence on what is left out; none where nothing is."""
        if not self.left:
            return ()
        return (f"Of the master's own these are not in the film: {'; '.join(self.left)}.",)


def masters_own(footage: Footage) -> MastersOwn:
    """What a master that could be probed holds beside pictures and sound."""
    import av

    with av.open(str(footage.path)) as container:
        tags = {name.casefold(): text for name, text in container.metadata.items() if text.strip()}
        timecode = _timecode(container, tags)
        left = [
            *_left_captions(container),
            *_left_chapters(container),
            *_left_tracks(container, footage.path),
            *_left_tags(tags),
        ]
        if timecode and footage.variable_rate:
            left.append(f"the clock {timecode} of its pictures, as they come at uneven times")
            timecode = ""
    kept = {name: tags[name] for name in KEPT_TAGS if name in tags}
    return MastersOwn(tags=kept, timecode=timecode, left=tuple(left))


def _timecode(container: av.container.InputContainer, tags: Mapping[str, str]) -> str:
    found = [stream.metadata.get("timecode", "") for stream in container.streams]
    return next((one for one in found if one), tags.get("timecode", ""))


def _left_captions(container: av.container.InputContainer) -> Iterator[str]:
    tracks = container.streams.subtitles
    if tracks:
        tongues = [one.language for one in tracks if one.language and one.language != "und"]
        named = f" ({', '.join(tongues)})" if tongues else ""
        yield f"its captions{named}, for which the film has the design's"


def _left_chapters(container: av.container.InputContainer) -> Iterator[str]:
    count = len(container.chapters())
    if count:
        yield f"its {count} chapters, for which the film has the design's"


def _left_tracks(container: av.container.InputContainer, path: Path) -> Iterator[str]:
    from av.stream import Disposition

    for stream in container.streams.video[1:]:
        cover = Disposition.attached_pic in stream.disposition
        yield "its cover picture" if cover else "its second track of pictures"
    for track in container.streams.data:
        # a clock is written anew from what it says
        if not track.metadata.get("timecode"):
            name = track.metadata.get("handler_name", "").strip()
            yield f"its track of data ({name})" if name else "its track of data"
    if container.streams.attachments:
        yield f"what is attached to {path.name}"


def _left_tags(tags: Mapping[str, str]) -> Iterator[str]:
    for name in sorted(tags.keys() & _MADE_ANEW):
        yield f"its {name} {_quoted(tags[name])}, for which the film has its own"
    others = sorted(tags.keys() - _NO_TAGS - _MADE_ANEW - set(KEPT_TAGS))
    places = [name for name in others if _PLACE in name]
    if places:
        yield "where it was taken (the tag location), so that it is not given away"
    rest = [name for name in others if name not in places]
    if rest:
        yield f"{'the tags' if len(rest) > 1 else 'the tag'} {', '.join(rest)}"


def _quoted(text: str) -> str:
    line = " ".join(text.split())
    return f"“{line if len(line) <= _MOST else line[: _MOST - 1] + '…'}”"


def arguments(own: MastersOwn) -> Sequence[str]:
    """FFmpeg's arguments that write what is kept into a film whose first track is its pictures."""
    tags = [part for name, text in own.tags.items() for part in ("-metadata", f"{name}={text}")]
    clock = ["-metadata:s:v:0", f"timecode={own.timecode}"] if own.timecode else []
    return [*tags, *clock]
