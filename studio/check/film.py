"""``chapters-disagree``, ``captions-disagree``, ``stale-film``: the burnt film.

What it does: reads chapters and captions out of ``film.mp4`` and compares them with the design's,
and the stamps of the description with the chapter file's; and sees whether the film was burnt from
what the design says now.
Why it matters: the film is what viewers see; a page can be mended, a film is published once.
Use instead: run ``studio burn`` again.
"""

from __future__ import annotations

import re

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.check.papers import read_output
from studio.episode.digest import said_digest
from studio.episode.stamps import stamp
from studio.film.reading_back import FILM, FilmContents, film_contents
from studio.measure.trace import plain

_STAMP_LINE = re.compile(r"^((?:\d+:)?\d{1,2}:\d{2}) (?=\S)", re.MULTILINE)
_CUE_START = re.compile(r"^(?:(\d+):)?(\d{2}):(\d{2})\.(\d{3}) -->", re.MULTILINE)


def check(context: Context) -> Outcome:
    """Chapters everywhere, and the film when there is one."""
    outcome = Outcome(findings=tuple(_stamps(context)))
    path = context.out_dir / FILM
    if not path.exists():
        return outcome
    contents = film_contents(path)
    if contents is None:
        broken = _finding("stale-film", FILM, "(not a film that can be read)", "studio burn again")
        return outcome + Outcome(findings=(broken,))
    return outcome + Outcome(findings=tuple(_inside(context, contents)))


def _stamps(context: Context) -> list[Finding]:
    """The stamps printed in the description against the starts in the chapter file."""
    description = read_output(context.out_dir / "description.txt")
    track = read_output(context.out_dir / "chapters.vtt")
    if description is None or track is None:
        return []
    printed = _STAMP_LINE.findall(description)
    starts = [
        stamp(((int(h or 0) * 60 + int(m)) * 60 + int(s)) * 1000 + int(ms))
        for h, m, s, ms in _CUE_START.findall(track)
    ]
    if printed == starts:
        return []
    said = f"description {', '.join(printed)}; chapters.vtt {', '.join(starts)}"
    return [_finding("chapters-disagree", "description.txt", said, "the same stamps in both")]


def _inside(context: Context, contents: FilmContents) -> list[Finding]:
    episode = context.episode
    findings = []
    ours = [(stamp(one.start_ms), plain(one.title)) for one in episode.chapters]
    theirs = [(stamp(one.start_ms), one.text) for one in contents.chapters]
    if ours != theirs:
        findings.append(_finding("chapters-disagree", FILM, _listed(theirs), _listed(ours)))
    spoken = [" ".join(plain(cue.text).split()) for cue in episode.cues]
    held = [" ".join(one.text.split()) for one in contents.captions]
    if spoken != held:
        said, expected = _first_difference(held, spoken)
        findings.append(_finding("captions-disagree", FILM, said, expected))
    if contents.said_digest != said_digest(episode):
        said = "(burnt from an earlier state of the design)"
        findings.append(_finding("stale-film", FILM, said, "run studio burn again"))
    return findings


def _first_difference(said: list[str], expected: list[str]) -> tuple[str, str]:
    for place in range(max(len(said), len(expected))):
        one = said[place] if place < len(said) else "(no caption)"
        other = expected[place] if place < len(expected) else "(no caption)"
        if one != other:
            return one, other
    return "", ""


def _listed(chapters: list[tuple[str, str]]) -> str:
    return "; ".join(f"{at} {title}" for at, title in chapters) or "(no chapters)"


def _finding(code: str, where: str, said: str, expected: str) -> Finding:
    return Finding(
        code=code, severity=Severity.ERROR, where=where, at="", said=said, expected=expected
    )
