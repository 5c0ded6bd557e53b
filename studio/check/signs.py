"""``missing-sign``: a sign in a text of the design that the lettering lacks.

What it does: asks the press, and the faces that cards are lettered in, for every unusual sign that
stands on a PDF, a card or the thumbnail, and names the texts of the design that it comes from.
Why it matters: a box stands where the sign should; on paper and in a film nobody can mend it. The
pages, the description and captions have it, as far as a viewer's own screen does. Only a note.
Use instead: write it in words, or leave it out (an emoji, an ideograph; on cards Arabic and Hebrew
too).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.design.document import Keys, Node, dotted
from studio.design.reading import ReadDesign
from studio.episode.records import Episode

_USUAL = frozenset("‘’“”„‚‹›–—…•′″→×−⁄€ﬁﬂ\u00ad\u200b\u2009\u202f\ufeff\ue000\ue001\ue002")
_LATIN = 0x24F
"""Signs up to here, and these, every face has: nothing is asked where a design has no others."""

_SAID = frozenset({"say"})
"""Texts that stand neither on a sheet nor on a card."""

_MOST = 8
"""So many signs are told of one text."""


@dataclass(frozen=True, slots=True)
class Unlettered:
    """A text with signs that cannot be set.

    Attributes:
        file: where it stands.
        line: the line of the first such sign.
        keys: where it stands in the design; empty where that is not known.
        signs: each once, in order.
        where: on what a box stands for them, in words.
    """

    file: Path
    line: int
    keys: Keys
    signs: tuple[str, ...]
    where: str

    @property
    def said(self) -> str:
        """The signs, with their numbers: a terminal may lack them too."""
        told = [f"{sign} (U+{ord(sign):04X})" for sign in self.signs[:_MOST]]
        return ", ".join(told) + (" …" if len(self.signs) > _MOST else "")

    @property
    def write(self) -> str:
        """What to do about it."""
        return (
            f"a box stands there on {self.where}, whose letters lack it; write it in words, or "
            "leave it out"
        )

    def told(self) -> str:
        """All of it as one note."""
        place = f"{self.file}, line {self.line} ({dotted(self.keys)})" if self.keys else self.file
        return f"{place}: {self.said}: {self.write}"


def check(context: Context) -> Outcome:
    """A note for each text of the design with a sign that the lettering lacks."""
    return Outcome(
        findings=tuple(
            Finding(
                code="missing-sign",
                severity=Severity.NOTE,
                where=str(one.file),
                at=f"line {one.line} ({dotted(one.keys)})" if one.keys else "",
                said=one.said,
                expected=one.write,
            )
            for one in unlettered_texts(context.read, context.episode, second=bool(context.tag))
        )
    )


def unlettered_texts(
    read: ReadDesign, episode: Episode, *, second: bool = False
) -> tuple[Unlettered, ...]:
    """Texts of a design whose signs cannot be set on PDFs, cards and thumbnail.

    Args:
        read: the design as typed.
        episode: made of it.
        second: whether it is in a second language, which has no cards.
    """
    if not any(_unusual(text) for text in (*_strings(read.tree), *read.words.values())):
        return ()
    from studio.film.lettering import unlettered
    from studio.paper.pdfs import pdf_sources
    from studio.paper.typeset.press import without_a_face

    sources = pdf_sources(episode, episode.paper, second=second).values()
    printed = _unusual("".join(source.data.decode("utf-8") for source in sources))
    on_sheets = without_a_face(printed)
    shown = () if second else (episode.title, *_texts_of(episode.cards))
    on_cards = unlettered(_unusual("".join(shown)))
    found = []
    left = {*on_sheets, *on_cards}
    for keys, node in _leaves(read.tree):
        text = str(node.value)
        signs = tuple(dict.fromkeys(sign for sign in text if sign in on_sheets | on_cards))
        if not signs or _SAID & set(keys):
            continue
        left -= set(signs)
        for where, alike in _by_place(signs, on_sheets, on_cards):
            found.append(Unlettered(node.file, _line_of(node, alike[0]), keys, alike, where))
    # from the words of a second language, or from a name that is a key
    for where, alike in _by_place(sorted(left), on_sheets, on_cards):
        found.append(Unlettered(read.file, 1, (), alike, where))
    return tuple(found)


def _by_place(
    signs: Iterable[str], sheets: frozenset[str], cards: frozenset[str]
) -> list[tuple[str, tuple[str, ...]]]:
    """The signs by what a box stands for them on, in words: sheets have letters that cards lack."""
    found: dict[str, list[str]] = {}
    for sign in signs:
        lacking = (("the PDFs", sheets), ("cards and thumbnail", cards))
        where = " and on ".join(words for words, those in lacking if sign in those)
        found.setdefault(where, []).append(sign)
    return [(where, tuple(alike)) for where, alike in found.items()]


def _unusual(text: str) -> frozenset[str]:
    """Signs that a face may lack; what is never drawn by itself is none."""
    return frozenset(
        sign
        for sign in set(text)
        if ord(sign) > _LATIN
        and sign not in _USUAL
        and unicodedata.category(sign) not in ("Mn", "Me", "Cf", "Cc", "Cs", "Zs", "Zl", "Zp")
    )


def _leaves(node: Node, keys: Keys = ()) -> Iterator[tuple[Keys, Node]]:
    """Every typed text with its keys, in the design's order."""
    if isinstance(node.value, str):
        yield keys, node
    elif isinstance(node.value, dict):
        for key, child in node.value.items():
            yield from _leaves(child, (*keys, key))
    elif isinstance(node.value, list):
        for place, child in enumerate(node.value):
            yield from _leaves(child, (*keys, place))


def _strings(node: Node) -> Iterator[str]:
    """Every typed text, and every name that is a key."""
    if isinstance(node.value, str):
        yield node.value
    elif isinstance(node.value, dict):
        for key, child in node.value.items():
            yield key
            yield from _strings(child)
    elif isinstance(node.value, list):
        for child in node.value:
            yield from _strings(child)


def _texts_of(value: object) -> Iterator[str]:
    """Every text in a record and the records in it."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from _texts_of(one)
    elif is_dataclass(value):
        for one in fields(value):
            yield from _texts_of(getattr(value, one.name))


def _line_of(node: Node, sign: str) -> int:
    """The line on which a sign of a text stands: a text may be of many lines."""
    lines = _lines(node.file)
    after = (at for at in range(node.line - 1, len(lines)) if sign in lines[at])
    return next(after, node.line - 1) + 1


def _lines(file: Path) -> list[str]:
    try:
        return file.read_text(encoding="utf-8").split("\n")
    except (OSError, UnicodeDecodeError):
        return []
