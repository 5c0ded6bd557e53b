"""Captions and chapters beside the film: SubRip, WebVTT and FFmpeg's metadata file.

Every ``render_*`` returns *marked* text, so that a check can trace each number in it; the file
is ``plain(render(episode))``. To add a format, write ``render_NAME`` and one line in
``CAPTION_FILES`` or ``CHAPTER_FILES``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from studio.episode.languages import in_language
from studio.episode.records import Chapter, Cue, Episode
from studio.measure.trace import plain

# pysubs2 reads a backslash in a caption as the start of an ASS code (\N, \h); a private-use
# character stands in for it while the text passes through, next to those of studio.measure.trace.
_BACKSLASH = "\ue003"

_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")

# SubRip has no escapes: readers take "<b>" for an instruction, and some drop all that stands
# between "3 < 4" and "5 > 4". Single angle quotes look alike and mean nothing to them.
_NO_TAGS = str.maketrans("<>", "‹›")


def render_srt(episode: Episode) -> str:
    """Captions as SubRip, marked.

    SubRip has no formal specification and no escapes; what a reader could take for a tag is
    written with single angle quotes, and its arrow as a real arrow.
    """
    return _timed(episode.cues, ".srt")


def render_vtt(episode: Episode) -> str:
    """Captions as WebVTT, marked (W3C, "WebVTT: The Web Video Text Tracks Format")."""
    return _timed(episode.cues, ".vtt")


def payloads(episode: Episode) -> list[str]:
    """Plain words of each cue that has any, in order: what a track inside a film holds."""
    return [words for cue in episode.cues if (words := plain(_lines(cue.text)).strip())]


def render_chapters_vtt(episode: Episode) -> str:
    """Chapters as a WebVTT chapter track, marked: one cue each, its title on one line."""
    cues = [Cue(start_ms=c.start_ms, end_ms=c.end_ms, text=_title(c)) for c in episode.chapters]
    return _timed(cues, ".vtt")


def render_chapters_ffmeta(episode: Episode) -> str:
    """Title and chapters as an FFmpeg metadata file, marked (FFmpeg formats, "Metadata 2").

    ``=``, ``;``, ``#``, ``\\`` and line ends are escaped with a backslash.
    """
    lines = [";FFMETADATA1", f"title={in_format('.ffmeta', _one_line(episode.title))}"]
    for chapter in episode.chapters:
        lines += [
            "[CHAPTER]",
            "TIMEBASE=1/1000",
            f"START={chapter.start_ms}",
            f"END={chapter.end_ms}",
            f"title={in_format('.ffmeta', _title(chapter))}",
        ]
    return "\n".join(lines) + "\n"


Render = Callable[[Episode], str]

CAPTION_FILES: dict[str, Render] = {
    "captions.srt": render_srt,
    "captions.vtt": render_vtt,
}
"""What is written when the episode has cues."""

CHAPTER_FILES: dict[str, Render] = {
    "chapters.vtt": render_chapters_vtt,
    "chapters.ffmeta": render_chapters_ffmeta,
}
"""What is written when the episode has chapters."""


def caption_renders(episode: Episode) -> dict[str, Render]:
    """What renders the files that this episode has something for, by name."""
    return (CAPTION_FILES if episode.cues else {}) | (CHAPTER_FILES if episode.chapters else {})


def caption_files(episode: Episode) -> dict[str, bytes]:
    """Caption and chapter files as they are written, by name; none without times."""
    renders = caption_renders(episode)
    return {name: plain(render(episode)).encode("utf-8") for name, render in renders.items()}


def captions_in_language(episode: Episode) -> dict[str, bytes]:
    """Captions and chapters of an episode in a second language, as written, by file name."""
    made = caption_files(episode)
    return {in_language(name, episode.language.tag): data for name, data in made.items()}


def _timed(cues: Iterable[Cue], ending: str) -> str:
    import pysubs2

    subtitles = pysubs2.SSAFile()
    for cue in cues:
        text = in_format(ending, _lines(cue.text))
        if plain(text).strip():
            subtitles.append(
                pysubs2.SSAEvent(
                    start=cue.start_ms, end=cue.end_ms, text=text.replace("\\", _BACKSLASH)
                )
            )
    # keep_ssa_tags: words in braces are the turner's own, not ASS codes to be dropped
    written: str = subtitles.to_string(ending.removeprefix("."), keep_ssa_tags=True)
    return written.replace(_BACKSLASH, "\\")


def _lines(text: str) -> str:
    """``text`` without empty lines, which would end a cue, and without control characters."""
    lines = (_CONTROL.sub("", line).strip() for line in text.splitlines())
    return "\n".join(line for line in lines if plain(line).strip())


def _srt_text(text: str) -> str:
    return text.replace("-->", "→").translate(_NO_TAGS)


def _vtt_text(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _one_line(text: str) -> str:
    return " ".join(_lines(text).split("\n"))


def _title(chapter: Chapter) -> str:
    return _one_line(chapter.title)


def _ffmeta_value(text: str) -> str:
    return re.sub(r"([=;#\\\n])", r"\\\1", text)


_WRITTEN: dict[str, Callable[[str], str]] = {
    ".srt": _srt_text,
    ".vtt": _vtt_text,
    ".ffmeta": _ffmeta_value,
}


def in_format(ending: str, text: str) -> str:
    """A text as a caption or chapter file writes it, with the signs that its format keeps escaped.

    Args:
        ending: of the file: ``.srt``, ``.vtt`` or ``.ffmeta``.
        text: marked or not; marks stay.

    >>> in_format(".vtt", "oil & wax")
    'oil &amp; wax'
    """
    return _WRITTEN[ending](text)
