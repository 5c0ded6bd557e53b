"""``wrong-number``, ``page-changed``, ``missing-file``: what is printed and pinned above the lathe.

What it does: sets every PDF afresh from the design and lays it on the file on disk, byte by byte;
where they differ it reads the words of both, page by page, with a reader that had no part in making
them. A file that is known to be what the press made of the same data (``typeset/remembered.py``) is
not set again. What the fresh one is set from is looked at too: each figure on the templates at true
scale must be a measurement's. Handout and cut sheet are set from the pages that the papers' check
reads.
Why it matters: a sheet above the lathe is read more often than a page, and cannot be asked again; a
template drawn from last month's size cuts this month's wood.
Use instead of mending a PDF: change the design and run ``studio build`` again.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import lru_cache
from pathlib import Path

from studio.check.comparing import compare
from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.check.papers import MAX_BYTES, missing
from studio.episode.languages import in_language
from studio.measure.numbers import find_numbers
from studio.measure.trace import plain
from studio.paper.pdfs import (
    PDFS,
    SOMETIMES,
    TEMPLATES,
    marked_lines,
    pdf_sources,
    template_content,
)

_SHOWN_WORDS = 12
"""A finding quotes at most so many words of each side (ours)."""


def read_pdf(path: Path) -> bytes | None:
    """A file that may be a PDF of ours; None when it is not there or too large to be."""
    try:
        if path.stat().st_size > MAX_BYTES:
            return None
        return path.read_bytes()
    except OSError:
        return None


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet of a PDF: its words as an independent reader finds them, and what is drawn on it."""

    words: list[str]
    drawn: bytes


@lru_cache(maxsize=len(PDFS))
def pages_of(pdf: bytes) -> list[Page] | None:
    """Each page of a PDF; None where the reader finds none."""
    return _read(pdf, [])


def _read(pdf: bytes, like: list[Page]) -> list[Page] | None:
    """Each page; one that is drawn like the same page of another PDF has that one's words.

    Its lettering may still show other signs: whoever asks knows that the files differ.
    """
    import io

    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    pages: list[Page] = []
    try:
        for number, page in enumerate(PdfReader(io.BytesIO(pdf)).pages):
            content = page.get_contents()
            drawn = b"" if content is None else content.get_data()
            if drawn and number < len(like) and like[number].drawn == drawn:
                pages.append(like[number])
            else:
                pages.append(Page(page.extract_text().split(), drawn))
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, IndexError, OSError):
        # a broken file fails in more ways than the reader has names for
        return None
    return pages


def check(context: Context) -> Outcome:
    """Every PDF against a fresh one."""
    paper = context.episode.paper
    sources = pdf_sources(context.episode, paper, _pages(context))
    outcome = _templates(context, TEMPLATES) if TEMPLATES in sources else Outcome()
    for name, source in sources.items():
        found = read_pdf(context.out_dir / name)
        if found is None or not source.makes(found):
            outcome += check_file(context, name, source.press())
    for name in (*PDFS, *SOMETIMES):
        if name not in sources and (context.out_dir / name).exists():
            outcome += Outcome(findings=(_left_over(name),))
    return outcome


def check_in_language(context: Context) -> Outcome:
    """The same of what viewers print in a second language."""
    outcome = Outcome()
    paper = context.episode.paper
    sources = pdf_sources(context.episode, paper, _pages(context), second=True)
    templates = in_language(TEMPLATES, context.episode.language.tag)
    if templates in sources:
        outcome += _templates(context, templates)
    for name, source in sources.items():
        outcome += check_file(context, name, source.press())
    return outcome


def _templates(context: Context, name: str) -> Outcome:
    """Each figure on the templates at true scale against the measurement that it is."""
    words = "\n".join(marked_lines(template_content(context.episode, context.episode.paper)))
    return compare(context.episode, name, words, plain(words))


def _pages(context: Context) -> dict[str, bytes]:
    """The pages that the papers' check reads, as the design makes them now."""
    pages = (name for name in context.papers() if name.endswith(".html"))
    return {name: plain(context.paper(name)).encode("utf-8") for name in pages}


def check_file(context: Context, name: str, fresh: bytes) -> Outcome:
    """One PDF on disk against a fresh one.

    Args:
        context: where the file lies.
        name: the file's.
        fresh: as the design makes it.
    """
    found = read_pdf(context.out_dir / name)
    if found is None:
        return Outcome(findings=(missing(name),))
    if found == fresh:
        return Outcome()
    return Outcome(findings=tuple(_differences(name, fresh, found)))


def _differences(name: str, fresh: bytes, found: bytes) -> Iterator[Finding]:
    as_made = pages_of(fresh)
    lying = None if as_made is None else _read(found, as_made)
    if as_made is None or lying is None:
        yield missing(name)
        return
    ours, theirs = ([page.words for page in pages] for pages in (as_made, lying))
    numbers = list(_wrong_numbers(name, ours, theirs))
    yield from numbers
    if not numbers:
        yield Finding(
            code="page-changed",
            severity=Severity.ERROR,
            where=name,
            at=_first_page(ours, theirs),
            said="(the same figures, but other words, lines, drawing or sheets)",
            expected="the sheets as the design makes them: run studio build again",
        )


def _first_page(ours: list[list[str]], theirs: list[list[str]]) -> str:
    for number, (one, other) in enumerate(zip(ours, theirs, strict=False), start=1):
        if one != other:
            return f"page {number}"
    return "" if len(ours) == len(theirs) else f"page {min(len(ours), len(theirs)) + 1}"


def _wrong_numbers(name: str, ours: list[list[str]], theirs: list[list[str]]) -> Iterator[Finding]:
    """Every stretch of words whose figures differ, with the page on which it stands."""
    our_words = [word for page in ours for word in page]
    their_words = [word for page in theirs for word in page]
    starts = [0]
    for words in theirs:
        starts.append(starts[-1] + len(words))
    matcher = SequenceMatcher(None, our_words, their_words, autojunk=False)
    for tag, i1, i2, j1, j2 in matcher.get_opcodes():
        said, expected = their_words[j1:j2], our_words[i1:i2]
        if tag == "equal" or _figures(said) == _figures(expected):
            continue
        page = sum(start <= j1 for start in starts[:-1]) or 1
        yield Finding(
            code="wrong-number",
            severity=Severity.ERROR,
            where=name,
            at=f"page {page}",
            said=_quoted(said) or "(nothing)",
            expected=_quoted(expected) or "no number here",
        )


def _figures(words: list[str]) -> list[str]:
    text = " ".join(words)
    # digits that are glued to other signs count too: the reader joins what stands close together
    return [one.written.lower() for one in find_numbers(text)] + re.findall(r"\d+", text)


def _quoted(words: list[str]) -> str:
    more = " …" if len(words) > _SHOWN_WORDS else ""
    return " ".join(words[:_SHOWN_WORDS]) + more


def _left_over(name: str) -> Finding:
    return Finding(
        code="left-over-file",
        severity=Severity.ERROR,
        where=name,
        at="",
        said="(a file from an earlier build)",
        expected="nothing asks for it now: run studio build again",
    )
