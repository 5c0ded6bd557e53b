"""Figures of both systems set apart, so that a page can show one system alone.

A design's own text prints a figure as ``60 mm (2 3/8 in)``, in one mark. On a page that has a
switch each half stands in an element of its own, and the style sheet hides one. Templates that
print the two readings themselves use the same classes.
"""

from __future__ import annotations

import re
from html import escape

from studio.measure.measurement import MeasurementTable
from studio.measure.trace import END, SEP, START, mark

FIRST, SECOND, BRACKET = "in-first", "in-second", "bracket"
"""Classes: a figure of the system printed first, of the other, and what joins the two."""

_MARKED = re.compile(f"{START}([^{SEP}]*){SEP}([^{END}]*){END}")
# where no element may stand, or where drawings lay their figures out themselves
_KEPT = re.compile(r"<(title|svg|script|style|textarea)\b.*?</\1>|<[^>]*>", re.DOTALL)


def set_apart(page: str, table: MeasurementTable) -> str:
    """``page`` with every marked ``both`` of ``table`` parted into its two readings.

    Args:
        page: marked HTML of ours, whose attributes hold no plain angle bracket.
        table: where the marks' names stand.

    >>> set_apart("no figure", MeasurementTable(()))
    'no figure'
    """

    def parted(found: re.Match[str]) -> str:
        one = table.get(found[1])
        if one is None or not one.other or found[2] != escape(one.both):
            return found[0]
        return (
            f'<span class="{FIRST}">{mark(one.name, escape(one.text))}</span>'
            f'<span class="{SECOND}"><span class="{BRACKET}"> (</span>'
            f'{mark(one.name, escape(one.other))}<span class="{BRACKET}">)</span></span>'
        )

    out: list[str] = []
    at = 0
    for kept in _KEPT.finditer(page):
        out += [_MARKED.sub(parted, page[at : kept.start()]), kept[0]]
        at = kept.end()
    out.append(_MARKED.sub(parted, page[at:]))
    return "".join(out)
