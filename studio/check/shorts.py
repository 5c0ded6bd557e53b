"""``stale-short``, ``short-changed``, ``left-over-short``: the upright films of single steps.

What it does: for each ``short-STEP.mp4`` in the out folder, makes that step's short anew from the
design, without its pictures, and compares title, captions, the state that it was burnt from, length
and sound, and one picture under each card.
Why it matters: a short is seen by people who never see the film, so nothing else puts it right.
Use instead: run ``studio short`` for that step again, or take the short away.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from studio.check.context import Context
from studio.check.film import Codes, inside
from studio.check.findings import Finding, Outcome, Severity
from studio.episode.places import read_places, with_places
from studio.episode.records import FrameSize
from studio.episode.short import short_of
from studio.errors import BadInput
from studio.film.short_files import shorts_in, step_of


def check(context: Context) -> Outcome:
    """Every short of the out folder."""
    findings: list[Finding] = []
    for path in shorts_in(context.out_dir):
        findings += _short(context, path)
    return Outcome(findings=tuple(findings))


def _short(context: Context, path: Path) -> list[Finding]:
    step = step_of(path)
    if step not in {one.id for one in context.episode.steps}:
        said = f"(a short of a step {step!r})"
        return [_finding("left-over-short", path, said, "no such step: take the short away")]
    assert step is not None
    # heavy libraries, which a folder without shorts does without
    from studio.film.probe import probe
    from studio.film.reading_back import film_contents

    codes = Codes("stale-short", "short-changed", f"run studio short for step {step} again")
    contents = film_contents(path)
    try:
        footage = probe(path) if contents is not None else None
    except BadInput:
        footage = None
    if contents is None or footage is None:
        return [_finding(codes.stale, path, "(not a film that can be read)", codes.again)]
    try:
        short = short_of(context.episode, step, FrameSize(footage.width, footage.height))
    except BadInput as error:
        why = error.faults[0]
        return [_finding("left-over-short", path, f"({why.what})", f"{why.write}, or none")]
    try:
        places = read_places(path)
    except BadInput:
        places = {}
    short = replace(short, cards=with_places(short.cards, places))
    findings = inside(short, path, contents, codes)
    for late in short.late_cautions:
        said = f"(the caution {late.code} has no four seconds on screen)"
        expected = "a longer step: leave it more time in the film, or make no short of it"
        findings.append(_finding("late-caution", path, said, expected))
    return findings


def _finding(code: str, path: Path, said: str, expected: str) -> Finding:
    return Finding(
        code=code, severity=Severity.ERROR, where=path.name, at="", said=said, expected=expected
    )
