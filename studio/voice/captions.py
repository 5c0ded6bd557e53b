"""Captions that somebody else wrote: SubRip, WebVTT, or plain text, with the line of each.

A plain text may tell when its lines are said (:mod:`studio.voice.timed_lines`).

A recogniser's rolling captions say each line twice, or let one grow word by word; here it is said
once. Where they stamp words inside a caption (a WebVTT cue timestamp), the stamps are kept. What
tells of sounds, as captions for the deaf do (“[sanding]”, “(LATHE STARTS)”, “♪ …”), is not said.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from studio.errors import BadInput, Fault
from studio.voice.timed_lines import passages, without_times

MAX_BYTES = 5_000_000
"""A larger file holds no captions of a film (ours): four hours of talk take a tenth of it."""

_AHEAD = 50
"""A caption's words stand within so many lines behind the one before (ours)."""

_FLASH_MS = 100
"""A caption that stands no longer than this is a rolling one's step, not read by anybody (ours)."""

_CLOCK = r"(?:\d+:)?\d{1,2}:\d{2}[.,]\d{1,3}"
_TIMES = re.compile(rf"^\s*({_CLOCK})\s*-->\s*({_CLOCK})(?:\s.*)?$")

_ALMOST = re.compile(r"^\s*\d*:?\d+:\d+[.,:]?\d*\s*(?:-+>|–>|—>|→)\s*\d")
"""A line that was meant for a time."""

_MOST_IN = 59
"""Seconds of a minute and minutes of an hour end here (W3C WebVTT, 4.1, WebVTT timestamp; SubRip
has no specification, and its players count the same way)."""

_STAMP = re.compile(r"<(?:(\d+):)?(\d{1,2}):(\d{2})\.(\d{3})>")
_OPEN, _CLOSE = "\ue010", "\ue011"
_MARKS = re.compile(f"[{_OPEN}{_CLOSE}]")
_WORDS = re.compile(f"{_OPEN}(?P<ms>\\d+){_CLOSE}|[^\\s{_OPEN}{_CLOSE}]+")
"""A stamp inside a caption, and how it stands among the words until they are read."""

_SOUNDS = re.compile(
    r"\[(?:(?!\n\s*\n)[^\[\]])*\]"
    r"|\((?=[^()]*[A-Z])(?:(?!\n\s*\n)[^()a-z\d])*\)"
    r"|^[ \t]*\([^()\d\n]*\)[ \t]*$"
    r"|♪(?:(?!\n\s*\n)[^♪])*(?:♪|(?=\n\s*\n)|\Z)",
    re.MULTILINE,
)
"""Sounds and music in captions for the deaf: in brackets, in parentheses when in capitals or alone
on a line, between notes (common practice, no source). Figures in parentheses are talk."""

_Word = tuple[str, int | None]
"""A word, and when it is said where the file tells."""


@dataclass(frozen=True, slots=True)
class _Shown:
    """What stands on the screen at a time, line by line."""

    start_ms: int
    end_ms: int
    lines: tuple[tuple[_Word, ...], ...]
    line: int


@dataclass(frozen=True, slots=True)
class Caption:
    """A caption: its time in the film, its words on one line, and where it stands in its file.

    Attributes:
        start_ms: when it comes on; None in a plain text without times.
        end_ms: when it goes; None with ``start_ms``.
        text: its words, tags taken out.
        line: 1-based number of its first line of words.
        stamps: words by their number, from 1 on, whose start the file tells, and that start.
        is_coarse: whether its start is a plain text's, a whole second, and its end reckoned.
    """

    start_ms: int | None
    end_ms: int | None
    text: str
    line: int
    stamps: tuple[tuple[int, int], ...] = ()
    is_coarse: bool = False

    def stretches(self) -> Iterator[tuple[int, int, str]]:
        """Start, end and words of the parts between stamps, one part where there are none.

        Each begins when its first word does; a plain text has no parts.
        """
        if self.start_ms is None or self.end_ms is None:
            return
        words = self.text.split()
        starts = [(0, self.start_ms)]
        for place, at in self.stamps:
            # a stamp that goes back, or out of the caption, is a slip of whatever wrote it
            if starts[-1][1] < at < self.end_ms and place > starts[-1][0]:
                starts.append((place, at))
        ends = [*starts[1:], (len(words), self.end_ms)]
        for (first, start), (beyond, end) in zip(starts, ends, strict=True):
            yield start, end, " ".join(words[first:beyond])


def read_captions(path: Path) -> tuple[Caption, ...]:
    """The captions of a file, in the order of time; empty ones are left out.

    A file whose name ends in ``.txt`` is plain text, unless it holds times as SubRip and WebVTT
    have them: each line a caption without a time, or all that stands under one time of it.

    Raises:
        BadInput: there is no such file, it is too large, no text, or a time cannot be read or
            cannot be: sixty seconds or minutes and more, a caption that ends before it begins.
    """
    text = _text_of(path)
    if path.suffix.lower() == ".txt" and not _has_times(text):
        return _plain_text(text)
    _check_times(path, text)
    return _once(_timed(path, text))


def _plain_text(text: str) -> tuple[Caption, ...]:
    # a time in brackets would be taken for a sound
    untimed, times = without_times(text)
    return tuple(
        Caption(one.start_ms, one.end_ms, one.text, one.line, is_coarse=bool(times))
        for one in passages(_said_alone(untimed), times)
    )


def _has_times(text: str) -> bool:
    return any(_TIMES.match(line) for line in text.splitlines())


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
        Fault(file=path, line=number, column=1, what=what, write=write)
        for number, line in enumerate(text.splitlines(), 1)
        for what, write in _faults_in(line)
    ]
    if faults:
        raise BadInput(faults)
    if text.strip() and not _has_times(text):
        raise BadInput.of(
            "no caption in it has a time",
            "write a time like 00:01:02,500 --> 00:01:04,000 over each, or name the file .txt",
            file=path,
        )


def _faults_in(line: str) -> Iterator[tuple[str, str]]:
    """What is wrong with the times of a line, and what to write instead."""
    times = _TIMES.match(line)
    if times is None:
        if "-->" in line or _ALMOST.match(line):
            what = f"{line.strip()[:60]!r} is no time of a caption"
            yield what, "write a time like 00:01:02,500 --> 00:01:04,000"
        for stamp in _STAMP.finditer(line):
            yield from _beyond_sixty(stamp[0][1:-1])
        return
    start, end = times.groups()
    wrong = [*_beyond_sixty(start), *_beyond_sixty(end)]
    yield from wrong
    if not wrong and _ms_of(end) < _ms_of(start):
        what = f"this caption ends at {end}, before it begins at {start}"
        yield what, f"write an end behind {start}: when its last word has been said"


def _parts_of(clock: str) -> tuple[int, int, int, int]:
    """Hours, minutes, seconds and thousandths as they are written, not carried over."""
    *hours, minutes, rest = clock.split(":")
    seconds, _, fraction = rest.replace(",", ".").partition(".")
    return int(hours[0]) if hours else 0, int(minutes), int(seconds), int(fraction.ljust(3, "0"))


def _ms_of(clock: str) -> int:
    hours, minutes, seconds, thousandths = _parts_of(clock)
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths


def _beyond_sixty(clock: str) -> Iterator[tuple[str, str]]:
    """What is wrong with one time whose minutes or seconds are more than there are."""
    _, minutes, seconds, _ = _parts_of(clock)
    if minutes <= _MOST_IN and seconds <= _MOST_IN:
        return
    number, unit, whole = (
        (seconds, "seconds", "a minute") if seconds > _MOST_IN else (minutes, "minutes", "an hour")
    )
    sign = "," if "," in clock else "."
    carried, thousandths = divmod(_ms_of(clock), 1000)
    hours, rest = divmod(carried, 3600)
    right = f"{hours:02d}:{rest // 60:02d}:{rest % 60:02d}{sign}{thousandths:03d}"
    yield (
        f"the time {clock} has {number} {unit}, and {whole} has 60: they run from 00 to {_MOST_IN}",
        f"write {right}, if that moment is meant",
    )


def _timed(path: Path, text: str) -> list[_Shown]:
    import pysubs2

    # it would take a line with two stamps for a cue's times, and leave others among the words
    kept = _said_alone(_STAMP.sub(_kept_stamp, _MARKS.sub("", text)))
    is_vtt = _is_vtt(path, text)
    if is_vtt:
        kept = _cues_alone(kept)
    try:
        found = pysubs2.SSAFile.from_string(kept, format_="vtt" if is_vtt else "srt")
    except (pysubs2.exceptions.Pysubs2Error, ValueError) as error:
        raise _unreadable(path) from error
    # it tells no lines: each caption's first one is looked for behind that of the one before
    lines = [_plain(line).strip() for line in kept.splitlines()]
    captions: list[_Shown] = []
    at = 0
    for one in found:
        shown_lines = _plain(one.plaintext).splitlines()
        # of lines that were shown before only the words are looked at, stamps or not
        said = [(number, _words_of(html.unescape(line))) for number, line in enumerate(shown_lines)]
        said = [(number, words) for number, words in said if words]
        if one.is_comment or not said:
            continue
        first = shown_lines[said[0][0]].strip()
        near = next((n for n in range(at, min(len(lines), at + _AHEAD)) if first in lines[n]), at)
        shown = tuple(words for _, words in said)
        captions.append(_Shown(one.start, one.end, shown, near + 1))
        at = near + said[-1][0] - said[0][0] + 1
    return sorted(captions, key=lambda one: (one.start_ms, one.line))


def _cues_alone(text: str) -> str:
    """WebVTT with lines emptied that are no cue's: names of cues, notes, styles.

    A cue ends with an empty line (W3C WebVTT, 6.1); one of spaces is part of it.
    """
    lines = text.splitlines()
    inside = False
    for number, line in enumerate(lines):
        inside = "-->" in line or (inside and line != "")
        if not inside and number:
            lines[number] = ""
    return "\n".join(lines)


def _said_alone(text: str) -> str:
    """The text without what tells of sounds; its lines keep their numbers."""
    return _SOUNDS.sub(lambda found: "\n" * found[0].count("\n"), text)


def _kept_stamp(match: re.Match[str]) -> str:
    return f"{_OPEN}{_ms_of(match[0][1:-1])}{_CLOSE}"


def _words_of(line: str) -> tuple[_Word, ...]:
    """A line's words, each with its stamp or None."""
    words: list[_Word] = []
    stamp: int | None = None
    glued = False
    for part in _WORDS.finditer(line):
        if part["ms"]:
            # one inside a word tells nothing of where the word begins
            glued = part.start() > 0 and not line[part.start() - 1].isspace()
            stamp = int(part["ms"])
        elif glued and words and not line[part.start() - 1].isspace():
            words[-1] = (words[-1][0] + part[0], words[-1][1])
            stamp, glued = None, False
        else:
            words.append((part[0], stamp))
            stamp, glued = None, False
    return tuple(words)


def _plain(line: str) -> str:
    return re.sub(r"<[^>]*>|\{\\[^}]*\}", "", line)


def _is_vtt(path: Path, text: str) -> bool:
    return path.suffix.lower() == ".vtt" or text.lstrip().startswith("WEBVTT")


def _once(captions: list[_Shown]) -> tuple[Caption, ...]:
    """Each word said once: a rolling caption begins with what the one before still showed."""
    found: list[Caption] = []
    before: _Shown | None = None
    for one in captions:
        again = _shown_before(before, one) if before is not None else 0
        before = one
        words = [word for line in one.lines for word in line][again:]
        if not words:
            continue
        line = one.line
        for gone in one.lines:
            if again < len(gone):
                break
            line, again = line + 1, again - len(gone)
        stamps = tuple(
            (place, at) for place, (_, at) in enumerate(words) if place and at is not None
        )
        text = " ".join(word for word, _ in words)
        # the first word's own stamp goes before the caption's start: a line may come up early
        own = words[0][1]
        start = own if own is not None and one.start_ms < own < one.end_ms else one.start_ms
        found.append(Caption(start, max(start, one.end_ms), text, line, stamps))
    return tuple(found)


def _shown_before(before: _Shown, one: _Shown) -> int:
    """How many words at a caption's beginning stood in the one before already."""
    if one.start_ms - before.end_ms > _FLASH_MS:
        return 0
    old, new = (tuple(_said(line) for line in shown.lines) for shown in (before, one))
    flash = one.end_ms - one.start_ms < _FLASH_MS
    for count in range(min(len(old), len(new)), 0, -1):
        # a lone line is said again by somebody who says it again, unless it only flashes up
        if new[:count] == old[-count:] and (len(new) > count or flash):
            return sum(len(line) for line in new[:count])
    # a line that grows: all that was shown from some line on, and more words
    whole = [word for line in new for word in line]
    for first in range(len(old)):
        stood = [word for line in old[first:] for word in line]
        if len(stood) < len(whole) and whole[: len(stood)] == stood and _grew(old[first:], new):
            return len(stood)
    return 0


def _grew(old: Sequence[Sequence[str]], new: Sequence[Sequence[str]]) -> bool:
    """Whether the last of the lines shown goes on in its line, and those above it are the same."""
    last = len(old) - 1
    return len(new) > last and new[:last] == old[:last] and new[last][: len(old[last])] == old[last]


def _said(line: tuple[_Word, ...]) -> tuple[str, ...]:
    return tuple(word for word, _ in line)
