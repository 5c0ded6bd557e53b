"""Figures of both systems set apart, so that a page can show one system alone.

A design's own text prints a figure as ``60 mm (2 3/8 in)``, in one mark. On a page that has a
switch each half stands in an element of its own, and the style sheet hides one. Templates that
print the two readings themselves use the same classes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape

from studio.measure.measurement import MeasurementTable, in_both
from studio.measure.trace import END, SEP, START, mark
from studio.paper.unbroken import KEPT, unbroken

FIRST, SECOND, BRACKET = "in-first", "in-second", "bracket"
"""Classes: a figure of the system printed first, of the other, and what joins the two."""

_MARKED = re.compile(f"{START}([^{SEP}]*){SEP}([^{END}]*){END}")


def _apart(first: str, other: str) -> str:
    """Two readings, as HTML, each in an element of its own."""
    return (
        f'<span class="{FIRST}">{first}</span><span class="{SECOND}">'
        f'<span class="{BRACKET}"> (</span>{other}<span class="{BRACKET}">)</span></span>'
    )


def _told_apart(sentence: str, pairs: Iterable[tuple[str, str]]) -> str:
    """A sentence, as HTML, each of the ``pairs`` in it parted."""
    # one may end as another does: 9 mm in 0.09 mm
    for first, other in sorted(set(pairs), key=lambda pair: (-len(pair[0]), pair)):
        parted = _apart(_as_printed(first), _as_printed(other))
        sentence = sentence.replace(_as_printed(in_both(first, other)), parted)
    return sentence


def _as_printed(text: str) -> str:
    return unbroken(escape(text))


def set_apart(page: str, table: MeasurementTable) -> str:
    """``page`` with every marked ``both`` of ``table`` parted into its two readings, and so the
    lengths that its bench rules tell.

    Args:
        page: marked HTML of ours, its numbers unbroken; no attribute holds a plain angle bracket.
        table: where the marks' names stand.

    >>> set_apart("no figure", MeasurementTable(()))
    'no figure'
    """

    def parted(found: re.Match[str]) -> str:
        kind, _, of = found[1].partition(":")
        if kind == "bench":
            ruled = table.get(of)
            pairs = ruled.bench.pairs if ruled is not None and ruled.bench is not None else ()
            return mark(found[1], _told_apart(found[2], pairs))
        one = table.get(found[1])
        if one is None or not one.other or found[2] != _as_printed(one.both):
            return found[0]
        return _apart(mark(one.name, _as_printed(one.text)), mark(one.name, _as_printed(one.other)))

    out: list[str] = []
    at = 0
    for kept in KEPT.finditer(page):
        out += [_MARKED.sub(parted, page[at : kept.start()]), kept[0]]
        at = kept.end()
    out.append(_MARKED.sub(parted, page[at:]))
    return "".join(out)
