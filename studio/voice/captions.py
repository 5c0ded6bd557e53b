"""Captions that somebody else wrote: SubRip, WebVTT, or plain text, with the line of each.

A recogniser's rolling captions say each line twice; here it is said once.
"""

from __future__ import annotations

import html
import re
from dataclasses import dataclass
from pathlib import Path

from studio.errors import BadInput, Fault

MAX_BYTES = 5_000_000
"""A larger file holds no captions of a film (ours): four hours of talk take a tenth of it."""

_AHEAD = 50
"""A caption's words stand within so many lines behind the one before (ours)."""

_FLASH_MS = 100
"""A caption that stands no longer than this is a rolling one's step, not read by anybody (ours)."""

_TIMES = re.compile(
    r"^\s*(?:\d+:)?\d{1,2}:\d{2}[.,]\d{1,3}\s*-->\s*(?:\d+:)?\d{1,2}:\d{2}[.,]\d{1,3}(?:\s.*)?$"
)


@dataclass(frozen=True, slots=True)
class Caption:
    """A caption: its time in the film, its words on one line, and where it stands in its file.

    Attributes:
        start_ms: when it comes on; None in a plain text.
        end_ms: when it goes; None with ``start_ms``.
        text: its words, tags taken out.
        line: 1-based number of its first line of words.
    """

    start_ms: int | None
    end_ms: int | None
    text: str
    line: int


def read_captions(path: Path) -> tuple[Caption, ...]:
    """The captions of a file, in the order of time; empty ones are left out.

    A file whose name ends in ``.txt`` is plain text, each line a caption without a time.

    Raises:
        BadInput: there is no such file, it is too large, no text, or a time cannot be read.
    """
    text = _text_of(path)
    if path.suffix.lower() == ".txt":
        lines = enumerate(text.splitlines(), 1)
        return tuple(Caption(None, None, " ".join(t.split()), n) for n, t in lines if t.strip())
    _check_times(path, text)
    return _once(_timed(path, text))


def _text_of(path: Path) -> str:
    if not path.is_file():
        raise BadInput.of("there is no such file", "check the name and the folder", file=path)
    try:
        if path.stat().st_size > MAX_BYTES:
            raise BadInput.of(
                f"this file is larger than {MAX_BYTES // 1_000_000} MB",
                "give the captions of one film",
                file=path,
            )
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise _unreadable(path) from error
    if "\x00" in text:
        raise _unreadable(path)
    return text


def _unreadable(path: Path) -> BadInput:
    return BadInput.of(
        "these are no captions that can be read",
        "give a SubRip (.srt), WebVTT (.vtt) or plain text (.txt) file in UTF-8",
        file=path,
    )


def _check_times(path: Path, text: str) -> None:
    faults = [
        Fault(
            file=path, line=number, column=1, what=f"{line.strip()[:60]!r} is no time of a caption",
            write="write a time like 00:01:02,500 --> 00:01:04,000",
        )
        for number, line in enumerate(text.splitlines(), 1)
        if "-->" in line and not _TIMES.match(line)
    ]  # fmt: skip
    if faults:
        raise BadInput(faults)


def _timed(path: Path, text: str) -> list[Caption]:
    import pysubs2

    try:
        found = pysubs2.SSAFile.from_string(text, format_="vtt" if _is_vtt(path, text) else "srt")
    except (pysubs2.exceptions.Pysubs2Error, ValueError) as error:
        raise _unreadable(path) from error
    # it tells no lines: each caption's first one is looked for behind that of the one before
    lines = [line.strip() for line in text.splitlines()]
    captions: list[Caption] = []
    at = 0
    for one in found:
        words = html.unescape(one.plaintext)
        first = next((line for line in one.plaintext.splitlines() if line.strip()), "").strip()
        if one.is_comment or not first:
            continue
        near = next(
            (n for n in range(at, min(len(lines), at + 50)) if first in _plain(lines[n])), at
        )
        captions.append(Caption(one.start, one.end, words, near + 1))
        at = near + 1
    return sorted(captions, key=lambda one: (one.start_ms or 0, one.line))


def _plain(line: str) -> str:
    return re.sub(r"<[^>]*>|\{\\[^}]*\}", "", line)


def _is_vtt(path: Path, text: str) -> bool:
    return path.suffix.lower() == ".vtt" or text.lstrip().startswith("WEBVTT")


def _once(captions: list[Caption]) -> tuple[Caption, ...]:
    """Each line said once: a rolling caption begins with the line that the one before ended in."""
    found: list[Caption] = []
    last = ""
    for one in captions:
        lines = [" ".join(line.split()) for line in one.text.splitlines() if line.strip()]
        # a lone line is said again by somebody who says it again, unless it only flashes up
        flash = (one.end_ms or 0) - (one.start_ms or 0) < _FLASH_MS
        again = bool(lines) and lines[0] == last and (len(lines) > 1 or flash)
        fresh = lines[1:] if again else lines
        last = lines[-1] if lines else last
        if fresh:
            line = one.line + len(lines) - len(fresh)
            found.append(Caption(one.start_ms, one.end_ms, " ".join(fresh), line))
    return tuple(found)
