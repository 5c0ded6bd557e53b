"""``wrong-overlay``, ``missing-overlay``, ``left-over-overlay``, ``unknown-overlay``: the pictures
laid over the film.

What it does: reads the record inside each overlay, and compares the picture with a fresh drawing.
A picture without a record of ours is somebody's own: it is left alone, and a note says that nobody
has looked at its figures.
Why it matters: a viewer at the lathe trusts the figure on screen more than any other.
Use instead of retouching a picture: change the design and run ``studio build`` again.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from studio.check.comparing import printed_texts
from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.episode.records import Card, CardRow
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
from studio.measure.trace import mark, spans

PICTURES = frozenset(
    {".png", ".apng", ".jpg", ".jpeg", ".webp", ".gif", ".tif", ".tiff", ".bmp", ".svg", ".avif"}
)
"""Endings of files that an editor lays over a film as pictures."""


def check(context: Context) -> Outcome:
    """Every card of the episode against its picture on disk."""
    episode = context.episode
    look = load_look(episode.look, beside=episode.design_file.parent)
    folder = context.out_dir / FOLDER
    outcome = Outcome()
    for card in with_corners(episode.cards, look, episode.size):
        outcome += _card(context, card, folder / card.file_name, look)
    known = {card.file_name for card in episode.cards}
    there = sorted(folder.iterdir()) if folder.is_dir() else []
    for path in there:
        if path.name not in known and path.suffix.lower() in PICTURES:
            outcome += Outcome(findings=(_of_no_card(path),))
    return outcome


def _of_no_card(path: Path) -> Finding:
    if read_record(path) is not None:
        expected = "no card of this design: run studio build again"
        return _finding("left-over-overlay", path, "(an old overlay)", expected, "")
    expected = (
        "hold its words and figures against the cut sheet yourself before it goes into a film, "
        "or keep it in another folder: it is no card of this design, and nothing checks it"
    )
    told = _finding("unknown-overlay", path, "(a picture that studio did not draw)", expected, "")
    return replace(told, severity=Severity.NOTE)


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
        *(text for row in card.rows for text in (_label(context, row), row.value, row.other)),
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


def _label(context: Context, row: CardRow) -> str:
    """A row's label; marked where it is the measurement's own, which may hold a part's title."""
    name = f"label:{row.name}"
    own = printed_texts(context.episode, name) or frozenset()
    return mark(name, row.label) if row.label in own else row.label


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
