"""``missing-credit``, ``missing-note``, ``bad-link``: whose idea it is, and where its links lead.

What it does: a design that is ``based_on`` another must say what it derives from; its credits must
stand on handout and description, the licence on the sheet to hand round too; the workshop's note,
such as that a demo is invented, on every page; and each link in its texts must be one that a page
may hold.
Why it matters: the idea, the footage or the licence of somebody else asks for the credit.
Use instead: write ``credit:``; addresses start with https://, http:// or mailto:.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.check.papers import read_output
from studio.check.seen import not_there, seen, squeezed
from studio.check.typed_numbers import design_texts
from studio.design.document import Keys
from studio.design.reading import Problem
from studio.measure.trace import plain
from studio.paper.markup import safe_url, to_html, to_text
from studio.paper.sight import seen_text

CREDITED = ("handout.html", "description.txt")
LICENSED = (*CREDITED, "demonstration.html", "newsletter.txt", "newsletter.md")
NOTED = (
    "handout.html", "cut-sheet.html", "demonstration.html", "batch.html", "reading.html",
    "script.md", "description.txt", "newsletter.txt", "newsletter.md",
)  # fmt: skip

_LINK = re.compile(r"\]\(\s*<?([^)>]*)>?")


def check(context: Context) -> Outcome:
    """Findings for credits that are missing and links that lead nowhere."""
    return Outcome(
        findings=(
            *(() if context.tag else _underived(context)),
            *_unprinted(context),
            *_without(context, LICENSED, context.episode.licence, "missing-credit"),
            *_without(context, NOTED, context.episode.demo_note, "missing-note"),
            *_bad_links(context),
        )
    )


def _underived(context: Context) -> Iterator[Finding]:
    design = context.read.design
    if design.based_on is None or design.credit.strip():
        return
    yield _placed(
        context,
        ("based_on",),
        f"based on {design.based_on}, and no credit: of its own",
        "write credit: whose idea it is, and what it derives from",
        "missing-credit",
    )


def _unprinted(context: Context) -> Iterator[Finding]:
    for paragraph in filter(None, plain(context.episode.credit).split("\n\n")):
        for name in map(context.name, CREDITED):
            found = read_output(context.out_dir / name)
            if found is None:
                continue
            is_page = name.endswith(".html")
            # as the paper prints it
            due = squeezed(
                seen_text(plain(to_html(paragraph))) if is_page else plain(to_text(paragraph))
            )
            if due not in seen(name, found):
                yield _absent("missing-credit", name, found, due)


def _absent(code: str, name: str, found: str, words: str) -> Finding:
    said, expected = not_there(name, found, words)
    return Finding(
        code=code, severity=Severity.ERROR, where=name, at="", said=said, expected=expected
    )


def _without(context: Context, names: tuple[str, ...], due: str, code: str) -> Iterator[Finding]:
    """Papers on disk on which a line of the workshop file is missing."""
    words = squeezed(due)
    for name in map(context.name, names) if words else ():
        found = read_output(context.out_dir / name)
        if found is not None and words not in seen(name, found):
            yield _absent(code, name, found, words)


def _bad_links(context: Context) -> Iterator[Finding]:
    design = context.read.design
    credits: tuple[tuple[Keys, str], ...] = (
        (("credit",), design.credit),
        (("workshop", "credit"), design.workshop.credit),
        (("film", "credit"), design.film.credit),
    )
    for keys, text in (*design_texts(context), *credits):
        for match in _LINK.finditer(text):
            if not safe_url(match[1].split()[0] if match[1].split() else ""):
                expected = "an address that starts with https://, http:// or mailto:"
                yield _placed(context, keys, match[1] or "(no address)", expected, "bad-link")


def _placed(context: Context, keys: Keys, said: str, expected: str, code: str) -> Finding:
    fault = context.read.place(Problem(keys, said, expected))
    return Finding(
        code=code,
        severity=Severity.ERROR,
        where=str(fault.file),
        at=f"line {fault.line}, column {fault.column} ({fault.keys})",
        said=said,
        expected=expected,
    )
