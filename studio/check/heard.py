"""``heard-otherwise``, ``not-heard``, ``lined-up``: the recorded voice and its figures, by ear.

What it does: listens to each sentence of the script that holds a figure, in a film or a recording
of its voice, and tells a figure that sounds more like another one.
Why it matters: a slip of the tongue stands in no file, and captions that were made from the script
do not show it.
These are hints, never findings: a slip may pass unheard and a right figure be told (docs/voice.md
has how often), so each is to be listened to.
Use instead: record the line again and patch it in at the times that the finding gives.
"""

from __future__ import annotations

from pathlib import Path

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Patch, Severity
from studio.episode.stamps import stretch
from studio.voice.listening import Otherwise, listen


def check_heard(context: Context, film: Path) -> tuple[Outcome, int]:
    """Hints, and how many figures were listened to.

    Args:
        context: the design.
        film: the film, or a recording of its voice.

    Raises:
        BadInput: the design has no narration, or the film cannot be read or has no sound.
        WorkFailed: the word list beside the design cannot be written.
    """
    found = listen(context.episode, film)
    findings = [_otherwise(film.name, one) for one in found.otherwise]
    findings += [
        _finding(
            "not-heard", film.name, f"step {step}", text,
            "listen to it yourself: it was left out, said differently or not understood",
        )
        for step, text in found.missed
    ]  # fmt: skip
    findings += [
        _finding("lined-up", film.name, "", note, "nothing to mend") for note in found.notes
    ]
    return Outcome(hints=tuple(findings)), found.figures


def _otherwise(where: str, one: Otherwise) -> Finding:
    cut = stretch(one.start_ms, one.end_ms)
    at = f"{cut} (step {one.step})"
    said = f"“{one.heard_line}”: sounds like “{one.heard}” (sure: {one.confidence:.2f})"
    expected = f"“{one.figure}”. Listen to it; if it is wrong, say: {one.line} (patch: {cut})"
    return Finding(
        code="heard-otherwise", severity=Severity.HINT, where=where, at=at, said=said,
        expected=expected, measurement=one.measurement, confidence=one.confidence,
        patch=Patch(in_ms=one.start_ms, out_ms=one.end_ms, say=one.line),
    )  # fmt: skip


def _finding(code: str, where: str, at: str, said: str, expected: str) -> Finding:
    return Finding(
        code=code, severity=Severity.HINT, where=where, at=at, said=said, expected=expected,
    )  # fmt: skip
