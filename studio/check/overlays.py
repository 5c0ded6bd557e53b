"""``wrong-overlay``, ``missing-overlay``, ``left-over-overlay``: the pictures laid over the film.

What it does: reads the record inside each overlay, and compares the picture with a fresh drawing.
Why it matters: a viewer at the lathe trusts the figure on screen more than any other.
Use instead of retouching a picture: change the design and run ``studio build`` again.
"""

from __future__ import annotations

from pathlib import Path

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.episode.records import Card
from studio.film.corners import with_corners
from studio.film.look import Look, load_look
from studio.film.overlays import (
    FOLDER,
    OverlayRecord,
    is_overlay_of,
    read_record,
    record_of,
)
from studio.measure.numbers import figures
from studio.measure.trace import spans


def check(context: Context) -> Outcome:
    """Every card of the episode against its picture on disk."""
    episode = context.episode
    look = load_look(episode.look, beside=episode.design_file.parent)
    folder = context.out_dir / FOLDER
    outcome = Outcome()
    for card in with_corners(episode.cards, look, episode.size):
        outcome += _card(context, card, folder / card.file_name, look)
    known = {card.file_name for card in episode.cards}
    for path in sorted(folder.glob("*.png")) if folder.is_dir() else []:
        if path.name not in known and read_record(path) is not None:
            expected = "no card of this design: run studio build again"
            outcome += Outcome(
                findings=(_finding("left-over-overlay", path, "(an old overlay)", expected, ""),)
            )
    return outcome


def _card(context: Context, card: Card, path: Path, look: Look) -> Outcome:
    fresh = record_of(card, context.episode.size)
    said = read_record(path)
    names = ", ".join(row.name for row in card.rows)
    if said is None:
        found = _finding("missing-overlay", path, "(no overlay of ours)", _told(fresh), names)
        return Outcome(findings=(found,))
    findings: list[Finding] = []
    if said != fresh:
        findings.append(_finding("wrong-overlay", path, _told(said), _told(fresh), names))
    elif not is_overlay_of(
        path.read_bytes(), card, context.episode.size, look, context.episode.keep_clear
    ):
        expected = "the picture as the design draws it: run studio build again"
        said_text = "(the file is not as it was drawn)"
        findings.append(_finding("wrong-overlay", path, said_text, expected, names))
    traced = 0
    for text in (
        card.heading,
        *(t for row in card.rows for t in (row.label, row.value, row.other)),
        card.inset.caption if card.inset is not None else "",
    ):
        words, marks = spans(text)
        for number in figures(words, context.episode.plain_words):
            traced += 1
            if not any(span.start < number.stop and number.start < span.stop for span in marks):
                expected = "a number that comes from the design's table"
                findings.append(_finding("untraced-number", path, number.written, expected, ""))
    untraced = sum(finding.code == "untraced-number" for finding in findings)
    wrong = len(findings) - untraced
    return Outcome(
        findings=tuple(findings),
        traced=0 if wrong else traced - untraced,
        untraced=untraced + (traced if wrong else 0),
    )


def _told(record: OverlayRecord) -> str:
    rows = (" ".join(filter(None, (row.label, row.value, row.other))) for row in record.rows)
    said = "; ".join(filter(None, (*rows, record.inset)))
    whole = f"{record.heading}: {said}" if record.heading else said
    return f"{whole} ({record.width}x{record.height})"


def _finding(code: str, path: Path, said: str, expected: str, measurement: str) -> Finding:
    return Finding(
        code=code,
        severity=Severity.ERROR,
        where=f"{FOLDER}/{path.name}",
        at="",
        said=said,
        expected=expected,
        measurement=measurement,
    )
