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
from functools import cached_property, lru_cache
from itertools import groupby, zip_longest
from pathlib import Path
from typing import TYPE_CHECKING

from studio.check.comparing import changed_stretches, compare
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

if TYPE_CHECKING:
    from pypdf import PageObject

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


@dataclass(frozen=True)
class Page:
    """A sheet of a PDF: what is drawn on it, and its words as an independent reader finds them."""

    sheet: PageObject
    drawn: bytes

    @cached_property
    def words(self) -> list[str]:
        """Read when they are asked for, which takes far longer than all else of a sheet.

        Raises:
            BROKEN: it cannot be read.
        """
        return str(self.sheet.extract_text()).split()


BROKEN = (ValueError, KeyError, TypeError, AttributeError, IndexError, OSError)
"""How reading a broken file fails, beside the ways that its reader has names for."""


@lru_cache(maxsize=len(PDFS))
def as_made(pdf: bytes) -> list[Page]:
    """Each page of a fresh PDF, kept for the next file that is laid on it.

    Raises:
        PyPdfError or one of BROKEN: it cannot be read.
    """
    return pages_of(pdf)


def pages_of(pdf: bytes) -> list[Page]:
    """Each page of a PDF.

    Raises:
        PyPdfError or one of BROKEN: it cannot be read.
    """
    import io

    from pypdf import PdfReader

    contents = ((page, page.get_contents()) for page in PdfReader(io.BytesIO(pdf)).pages)
    return [Page(page, b"" if one is None else one.get_data()) for page, one in contents]


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
    from pypdf.errors import PyPdfError

    try:
        ours, theirs = as_made(fresh), pages_of(found)
        numbers = [one for run in _changed(ours, theirs) for one in _wrong_numbers(name, *run)]
        first = "" if numbers else _first_page(ours, theirs)
    except (PyPdfError, *BROKEN):
        yield missing(name)
        return
    yield from numbers
    if not numbers:
        yield Finding(
            code="page-changed",
            severity=Severity.ERROR,
            where=name,
            at=first,
            said="(the same figures, but other words, lines, drawing or sheets)",
            expected="the sheets as the design makes them: run studio build again",
        )


def _alike(one: Page | None, other: Page | None) -> bool:
    """Drawn alike: the words are the same too, and need not be read.

    The lettering may still show other signs: whoever asks knows that the files differ.
    """
    return one is not None and other is not None and one.drawn == other.drawn != b""


_Sheets = list[Page]


def _changed(ours: _Sheets, theirs: _Sheets) -> Iterator[tuple[_Sheets, _Sheets, int]]:
    """Each run of sheets that are not drawn alike, and the number of the first."""
    pairs = enumerate(zip_longest(ours, theirs), start=1)
    for alike, run in groupby(pairs, lambda pair: _alike(*pair[1])):
        if not alike:
            numbers, both = zip(*run, strict=True)
            one, other = ([page for page in side if page] for side in zip(*both, strict=True))
            yield one, other, numbers[0]


def _first_page(ours: _Sheets, theirs: _Sheets) -> str:
    for number, (one, other) in enumerate(zip(ours, theirs, strict=False), start=1):
        if not _alike(one, other) and one.words != other.words:
            return f"page {number}"
    return "" if len(ours) == len(theirs) else f"page {min(len(ours), len(theirs)) + 1}"


def _wrong_numbers(name: str, ours: _Sheets, theirs: _Sheets, first: int) -> Iterator[Finding]:
    """Every stretch of words whose figures differ, with the page on which it stands."""
    our_words = [word for page in ours for word in page.words]
    their_words = [word for page in theirs for word in page.words]
    starts = [0]
    for page in theirs:
        starts.append(starts[-1] + len(page.words))
    for i1, i2, j1, j2 in changed_stretches(our_words, their_words):
        said, expected = their_words[j1:j2], our_words[i1:i2]
        if _figures(said) == _figures(expected):
            continue
        page_number = first + max(sum(start <= j1 for start in starts[:-1]) - 1, 0)
        yield Finding(
            code="wrong-number",
            severity=Severity.ERROR,
            where=name,
            at=f"page {page_number}",
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
