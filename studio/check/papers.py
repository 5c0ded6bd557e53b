"""``wrong-number``, ``untraced-number``, ``text-changed``, ``missing-file``: the text outputs.

What it does: renders every paper, caption and chapter file afresh from the design, with marks that
say where each number comes from, and lays the file on disk against it word by word.
Why it matters: a file made from last month's design, or mended by hand, says old numbers.
A changed sentence without a number is only a note.
Use instead of mending a file: change the design and run ``studio build`` again.
"""

from __future__ import annotations

import re
from pathlib import Path

from studio.check.comparing import compare
from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.film.captions import CAPTION_FILES, CHAPTER_FILES, caption_renders
from studio.measure.trace import plain
from studio.paper.markup import visible_text
from studio.paper.papers import PAPERS

MAX_BYTES = 20_000_000
"""A larger output is not one of ours."""

_STRUCTURE = re.compile(
    r"^(?:\d+|\[CHAPTER\]|TIMEBASE=.*|START=.*|END=.*|WEBVTT.*|;FFMETADATA1|[\d:.,]+ --> .*)$"
)


def read_output(path: Path) -> str | None:
    """The text of an output, None when there is no such file or it cannot be read as text."""
    try:
        if path.stat().st_size > MAX_BYTES:
            return None
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return None


def missing(where: str) -> Finding:
    """The finding for a file that should be there."""
    return Finding(
        code="missing-file",
        severity=Severity.ERROR,
        where=where,
        at="",
        said="(no readable file)",
        expected="run studio build again",
    )


def check(context: Context) -> Outcome:
    """Papers, captions and chapter files against fresh ones."""
    outcome = Outcome()
    for name, render in PAPERS.items():
        found = read_output(context.out_dir / name)
        if found is None:
            outcome += Outcome(findings=(missing(name),))
            continue
        fresh = render(context.episode)
        if name.endswith(".html"):
            fresh, found = visible_text(fresh), visible_text(found)
        outcome += compare(context.episode, name, fresh, found)
    for name, render in caption_renders(context.episode).items():
        found = read_output(context.out_dir / name)
        if found is None:
            outcome += Outcome(findings=(missing(name),))
        else:
            outcome += _timed(context, name, render(context.episode), found)
    for name in (CAPTION_FILES | CHAPTER_FILES).keys() - caption_renders(context.episode).keys():
        if (context.out_dir / name).exists():
            outcome += Outcome(findings=(_left_over(name),))
    return outcome


def _left_over(name: str) -> Finding:
    return Finding(
        code="left-over-file",
        severity=Severity.ERROR,
        where=name,
        at="",
        said="(a file from an earlier build)",
        expected="the design has no times for it: run studio build again",
    )


def _timed(context: Context, name: str, fresh: str, found: str) -> Outcome:
    """Words as in any text, times to the millisecond."""
    outcome = compare(context.episode, name, _words(fresh), _words(found))
    ours, theirs = _times(plain(fresh)), _times(found)
    for place, (our, their) in enumerate(zip(ours, theirs, strict=False), start=1):
        if our != their:
            outcome += Outcome(findings=(_wrong_time(name, place, their, our),))
    if len(ours) != len(theirs):
        said, expected = f"{len(theirs)} timed entries", f"{len(ours)} timed entries"
        outcome += Outcome(findings=(_wrong_time(name, 0, said, expected),))
    return outcome


def _wrong_time(name: str, place: int, said: str, expected: str) -> Finding:
    return Finding(
        code="wrong-time",
        severity=Severity.ERROR,
        where=name,
        at=f"entry {place}" if place else "",
        said=said,
        expected=expected,
    )


def _words(text: str) -> str:
    return "\n".join(line for line in text.splitlines() if not _STRUCTURE.match(line.strip()))


def _times(text: str) -> list[str]:
    lines = (line.strip() for line in text.splitlines())
    return [line for line in lines if "-->" in line or line.startswith(("START=", "END="))]
