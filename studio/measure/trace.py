"""Marks that travel inside a text and tell which measurement each number came from.

A marked text holds ``START name SEP text END`` for every number that a template drew from the
table. Renderers work on marked text and write ``plain(text)``; the check reads ``spans(text)``.
The marks are private-use characters, which a design's own text may not contain.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

START, SEP, END = "\ue000", "\ue001", "\ue002"
_MARKED = re.compile(f"{START}([^{SEP}]*){SEP}([^{END}]*){END}")


@dataclass(frozen=True, slots=True)
class Span:
    """A number's place in the plain text: ``plain[start:stop]`` is what ``name`` says."""

    start: int
    stop: int
    name: str
    text: str


def mark(name: str, text: str) -> str:
    """``text`` marked as drawn from the measurement (or stamp, or step number) ``name``."""
    return f"{START}{name}{SEP}{text}{END}"


def remarked(marked: str, told: Callable[[str, str], str]) -> str:
    """A text whose marks hold what ``told`` makes of their names and texts.

    >>> plain(remarked("cut " + mark("a.b", "5 mm"), lambda name, text: f"{name} {text}"))
    'cut a.b 5 mm'
    """
    return _MARKED.sub(lambda one: mark(one[1], told(one[1], one[2])), marked)


def plain(marked: str) -> str:
    """The text as a person reads it.

    >>> plain("cut " + mark("sphere.set_in", "17.5 mm") + " in")
    'cut 17.5 mm in'
    """
    return _MARKED.sub(r"\2", marked)


def spans(marked: str) -> tuple[str, tuple[Span, ...]]:
    """The plain text and where each marked number stands in it, in order."""
    out: list[Span] = []
    pieces: list[str] = []
    at = length = 0
    for match in _MARKED.finditer(marked):
        before = marked[at : match.start()]
        pieces += [before, match[2]]
        length += len(before)
        out.append(Span(length, length + len(match[2]), match[1], match[2]))
        length += len(match[2])
        at = match.end()
    pieces.append(marked[at:])
    return "".join(pieces), tuple(out)


def has_marks(text: str) -> bool:
    """Whether any of the three mark characters occurs in ``text``."""
    return any(char in text for char in (START, SEP, END))
