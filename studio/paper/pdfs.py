"""Every PDF by its file name: the handout, the cut sheet and the templates at true scale.

The first two are the pages of the same names, set on sheets; the third is drawn from the exact
values of the table.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from studio.episode.languages import in_language
from studio.episode.records import Episode
from studio.errors import BadInput, WorkFailed
from studio.language import later, tr, unit_word
from studio.measure.rounding import UNITS
from studio.measure.trace import mark, plain
from studio.paper import batch, cut_sheet, demonstration, handout
from studio.paper.markup import printable
from studio.paper.rendering import in_its_language
from studio.paper.ring_templates import ring_gauge, ring_strips
from studio.paper.true_scale import (
    RULER_IN,
    RULER_MM,
    Path,
    Room,
    Template,
    groove_strips,
    hole_chart,
    index_strips,
    octagon_gauge,
    parted,
    profile_gauge,
    rulers,
    sphere_gauge,
)
from studio.paper.typeset.page import LONGEST_WORD, breakable, set_apart
from studio.paper.typeset.press import data_of, pressed, stamp, stamp_in
from studio.paper.typeset.remembered import is_pressed, remember

HANDOUT, CUT_SHEET, TEMPLATES = "handout.pdf", "cut-sheet.pdf", "templates.pdf"
BATCH, DEMONSTRATION = "batch.pdf", "demonstration.pdf"
"""Names of the files."""

VIEWERS = (HANDOUT, DEMONSTRATION)
"""PDFs of pages that are made in a second language too; the templates are as well."""

PDFS = (HANDOUT, CUT_SHEET, DEMONSTRATION, TEMPLATES)
SOMETIMES = (BATCH,)
"""PDFs that only some builds make."""

PAGES: dict[str, tuple[str, Callable[[Episode], str], str]] = {
    HANDOUT: ("handout.html", handout.render, later("Handout")),
    CUT_SHEET: ("cut-sheet.html", cut_sheet.render, later("Cut sheet")),
    DEMONSTRATION: (demonstration.FILE_NAME, demonstration.render, later("To hand round")),
}
"""PDF: the page that it is set from, what renders that, what it is called."""

BATCH_PAGE = (batch.FILE_NAME, batch.render, later("Batch sheet"))

PAGE_SHEET, TEMPLATE_SHEET = "page.typ", "templates.typ"
"""Which of the press's sheets sets what."""

ROOMS = {"A4": Room(190.0, 200.0), "Letter": Room(195.9, 182.4)}
"""What a sheet has for one template, mm: within the margins, above the rulers and below the words
over it (ours; the sheets are 210 by 297 mm, ISO 216, and 8 1/2 by 11 in, ANSI/ASME Y14.1)."""

_KINDS = {kind: place for place, kind in enumerate(
    ("cut", "mark", "fine", "centre", "fill", "solid", "register"))}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Source:
    """What a PDF is pressed from: one of the press's sheets, and its data."""

    sheet: str
    data: bytes

    def press(self) -> bytes:
        """The PDF."""
        pdf = pressed(self.sheet, self.data)
        remember(self.stamp, pdf)
        return pdf

    def makes(self, pdf: bytes) -> bool:
        """Whether a PDF is known to be what the press makes; one that is not may be so too."""
        return is_pressed(self.stamp, pdf)

    @property
    def stamp(self) -> str:
        """The stamp that the PDF carries."""
        return stamp(self.sheet, self.data)


@in_its_language
def pdf_sources(
    episode: Episode,
    paper: str,
    pages: Mapping[str, bytes] | None = None,
    *,
    second: bool = False,
) -> dict[str, Source]:
    """What each PDF is pressed from, by file name; without templates there is no file for them.

    Args:
        episode: the design's.
        paper: ``A4`` or ``Letter``.
        pages: the pages by file name, where they are rendered already.
        second: whether it is a second language, of which there is what viewers read alone.

    Raises:
        BadInput: a paper would be too long.
    """
    out = {}
    pages_of = {**PAGES, **({BATCH: BATCH_PAGE} if episode.batch is not None else {})}
    if second:
        pages_of = {name: PAGES[name] for name in VIEWERS}
    for pdf, (paged, render, kind) in pages_of.items():
        tag = episode.language.tag
        name, page = (in_language(pdf, tag), in_language(paged, tag)) if second else (pdf, paged)
        if pdf == DEMONSTRATION and demonstration.too_long(episode):
            continue
        known = pages.get(page) if pages is not None else None
        html = known.decode("utf-8") if known is not None else plain(render(episode))
        try:
            body = set_apart(html)
        except ValueError as error:
            raise _unset(episode, page, str(error)) from error
        content = {
            **_head(episode, paper, tr(kind)),
            "bench": pdf == CUT_SHEET,
            "one-sheet": pdf == DEMONSTRATION,
            "notes": tr("Notes"),
            "body": body,
        }
        out[name] = Source(PAGE_SHEET, data_of(content))
    templates = template_content(episode, paper)
    if templates["items"]:
        name = in_language(TEMPLATES, episode.language.tag) if second else TEMPLATES
        out[name] = Source(TEMPLATE_SHEET, data_of(_plain(templates)))
    return out


def pdf_files(
    episode: Episode,
    paper: str,
    pages: Mapping[str, bytes] | None = None,
    made: Callable[[str], bytes | None] = lambda _: None,
    *,
    second: bool = False,
) -> dict[str, bytes]:
    """Every PDF, by file name; the same bytes each time.

    Args:
        episode: the design's.
        paper: ``A4`` or ``Letter``.
        pages: the pages by file name, where they are rendered already.
        made: what was made before and has not been changed since, by file name, or None; one that
            was pressed from the same data is taken over.
        second: whether it is a second language, of which there is what viewers read alone.

    Raises:
        BadInput: a paper would be too long.
        WorkFailed: the lettering is missing.
    """
    out = {}
    for name, source in pdf_sources(episode, paper, pages, second=second).items():
        before = made(name)
        same = before is not None and stamp_in(before) == source.stamp
        if before is not None and same:
            out[name] = before
            continue
        try:
            out[name] = source.press()
        except WorkFailed as error:
            if episode.pages is None or name == TEMPLATES:
                raise
            raise _unset(episode, name.replace(".pdf", ".html"), str(error)) from error
    return out


def _unset(episode: Episode, page: str, why: str) -> BadInput:
    """What is told where a page of a turner's own look cannot be set on sheets."""
    return BadInput.of(
        f"the PDF of this page cannot be set ({why})",
        "keep the classes and the order of elements of our template, or take this one away",
        file=(episode.pages or episode.design_file.parent) / f"{page}.j2",
    )


def _head(episode: Episode, paper: str, kind: str) -> dict[str, Any]:
    return {
        "sheet": paper,
        "title": breakable(printable(plain(episode.title))),
        "kind": kind,
        "workshop": breakable(printable(episode.workshop)),
        "language": episode.language.page.split("-"),
        "slashed": sorted({one for unit in UNITS for one in (unit, unit_word(unit)) if "/" in one}),
        "longest-word": LONGEST_WORD,
    }


def templates_of(episode: Episode, paper: str) -> tuple[Template, ...]:
    """Every template that the design has, parted as the sheets need it."""
    table, room = episode.table, ROOMS[paper]
    found = [sphere_gauge(table), octagon_gauge(table)]
    if episode.piece is not None:
        found += [profile_gauge(table, part) for part in episode.piece.parts]
    found += index_strips(table, room.width, room.height)
    found += groove_strips(table, room.width, room.height)
    globe = episode.piece.globe if episode.piece is not None else None
    found += ring_strips(table, globe, room.width, room.height)
    found.append(ring_gauge(table, globe))
    found.append(hole_chart(table))
    return tuple(part for one in found if one is not None for part in parted(one, room))


@in_its_language
def template_content(episode: Episode, paper: str) -> dict[str, Any]:
    """What the sheets of templates say and show, its figures marked."""
    return {
        **_head(episode, paper, tr("Templates")),
        "title": printable(episode.title),
        "note": printable(episode.demo_note) and mark("demo-note", printable(episode.demo_note)),
        "full-size": tr(
            "Print at {scale} – not “fit to page”. Check both rulers: {metric} and {imperial}.",
            scale=mark("ruler:scale", "100 %"),
            metric=mark("ruler:mm", f"{RULER_MM} {unit_word('mm')}"),
            imperial=mark("ruler:in", f"{RULER_IN} {unit_word('in')}"),
        ),
        "items": [_item(one) for one in templates_of(episode, paper)],
        "rulers": _drawn(rulers()),
    }


def _item(one: Template) -> dict[str, Any]:
    return {
        "heading": printable(one.heading),
        "how": one.how,
        "tile": _tile(one),
        "sizes": [[mark(f"label:{m.name}", m.label), m.marked_both()] for m in one.sizes],
        "columns": list(one.columns),
        "rows": [[number, *(m.marked_both() for m in row)] for number, row in one.rows],
        **_drawn(one),
    }


def _tile(one: Template) -> str:
    if one.tile is None:
        return ""
    row, column, rows, columns = one.tile
    return tr(
        "Part {row} down, {column} across. Lay the crosses on their like on the next sheet.",
        row=mark("tile:row", f"{row}/{rows}"),
        column=mark("tile:column", f"{column}/{columns}"),
    )


def _drawn(one: Template) -> dict[str, Any]:
    return {
        "width": _mm(one.width),
        "height": _mm(one.height),
        "paths": [_path(path) for path in one.paths],
        "labels": [
            [_mm(label.x), _mm(label.y), printable(label.text), label.anchor]
            for label in one.labels
        ],
    }


def _path(path: Path) -> list[Any]:
    return [
        _KINDS[path.line],
        [_mm(value) for value in path.start],
        [[_mm(value) for place in piece for value in place] for piece in path.pieces],
        path.closed,
    ]


def _mm(value: float) -> float:
    """A place to a tenth of a micrometre: finer than any printer, and the same on all machines."""
    return round(value, 4) + 0.0


def _plain(content: Any) -> Any:
    if isinstance(content, str):
        return breakable(plain(content))
    if isinstance(content, list):
        return [_plain(one) for one in content]
    if isinstance(content, dict):
        return {key: _plain(one) for key, one in content.items()}
    return content


def marked_lines(content: dict[str, Any]) -> Iterator[str]:
    """Every text on the sheets of templates with its marks, in order.

    Args:
        content: from ``template_content``.
    """
    yield from (content[key] for key in ("title", "kind", "note", "full-size"))
    for one in (*content["items"], content["rulers"]):
        yield from (text for _, _, text, _ in one["labels"])
    for one in content["items"]:
        yield from (one["heading"], one["how"], one["tile"], *one["columns"])
        for row in (*one["sizes"], *one["rows"]):
            yield from row
