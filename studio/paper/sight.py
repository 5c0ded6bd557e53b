"""What of a page's words is shown on a screen *and* printed, whatever markup stands round them.

Elements that hide what they hold are many, and browsers learn new ones; so this lists those that
show it. Words in any other (a ``<details>`` that is shut, a ``<dialog>``, a drawing's ``<desc>``, a
name that nobody knows) count as out of sight. Elements as the HTML Living Standard (WHATWG) names
them; that it shows the words of those listed follows from its section 15.3, Non-replaced elements.

Looked at is markup alone: what a style sheet hides is told in :mod:`studio.paper.hiding`.
"""

from __future__ import annotations

import re
from functools import lru_cache

from studio.paper.markup import VOID, Reader, lines_of
from studio.paper.typeset.page import SCREEN_CLASSES
from studio.paper.unbroken import parted

SHOWN = frozenset(
    {"html", "head", "body", "address", "article", "aside", "footer", "header", "hgroup"}
    | {"h1", "h2", "h3", "h4", "h5", "h6", "main", "search", "section", "blockquote", "dd", "div"}
    | {"dl", "dt", "fieldset", "figcaption", "figure", "legend", "li", "menu", "ol", "p"}
    | {"pre", "ul", "a", "abbr", "b", "bdi", "cite", "code", "data", "dfn", "em", "i", "ins", "kbd"}
    | {"mark", "q", "ruby", "samp", "small", "span", "strong", "sub", "summary", "sup", "time"}
    | {"u", "var", "caption", "colgroup", "table", "tbody", "td", "tfoot", "th", "thead", "tr"}
)
"""Elements whose words are seen, if what they stand in is: of HTML's own those that neither hide
nor replace nor strike them out, and that the sheets do not leave out (``nav``, forms)."""

_AWAY = ("hidden", "popover", "inert")
"""Attributes that take an element from eyes or ears, whatever value they have."""

_REPLACED = frozenset({"frameset", "plaintext"})
"""Tags after which a browser reads the rest of the page otherwise, or not at all. A
``shadowrootmode`` puts something else in the place of what stands around it, so it counts too."""

_FOREIGN = frozenset({"svg", "math"})
"""Where a tag that ends in ``/>`` ends its element; HTML itself knows no such sign."""

_END_ITSELF = frozenset(
    {"p", "li", "dt", "dd", "tr", "td", "th", "tbody", "thead", "tfoot", "colgroup", "caption"}
    | {"option", "optgroup", "rt", "rp"}
)
"""Elements whose end tag may be left out (HTML, 13.1.2.4, Optional tags)."""


_LETTERS_ALONE = frozenset({"title", "textarea"})
"""Elements in which a tag is letters (HTML, 13.1.2, Escapable raw text elements)."""

_COMMENT = re.compile(r"<!--(?:-?>|.*?(?:--!?>|$))", re.DOTALL)
"""A comment as browsers end it, which the parser does elsewhere (HTML, 13.2.5.43 and on)."""


class _Sight(Reader):
    """Collects what is shown; and what is not, each with the element that hides it."""

    def __init__(self) -> None:
        super().__init__(addresses=False)
        self.away: dict[str, list[str]] = {}
        self._by = ""
        self._within: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag in _REPLACED or "shadowrootmode" in given:
            self._lose(f"<{tag}>")
            return
        if not self._within:
            self._by = _hider(tag, given)
            if not self._by:
                super().handle_starttag(tag, attrs)
                return
        if tag not in VOID:
            self._within.append(tag)

    def _lose(self, by: str) -> None:
        """Nothing of the page counts as seen, what stands before included."""
        self.away.setdefault(by, []).extend(self.out)
        self.out.clear()
        self._by = by
        # what no end tag ends
        self._within.insert(0, "")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        foreign = tag in _FOREIGN or bool(_FOREIGN & set(self._within))
        self.handle_starttag(tag, attrs)
        if foreign and tag not in VOID:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self._within:
            super().handle_endtag(tag)
            return
        # a tag that closes nothing that is open here is passed over: what hides goes on hiding
        place = len(self._within) - 1
        while place and self._within[place] != tag:
            if self._within[place] not in _END_ITSELF and tag not in _LETTERS_ALONE:
                break
            place -= 1
        if self._within[place] == tag:
            del self._within[place:]

    def handle_data(self, data: str) -> None:
        if self._within:
            self.away.setdefault(self._by, []).append(data)
        else:
            super().handle_data(data)


def _hider(tag: str, given: dict[str, str]) -> str:
    """The tag as it is told, when it hides what it holds; empty when it does not."""
    if tag in VOID:
        return ""
    for name in _AWAY:
        if name in given:
            return f"<{tag} {name}>"
    if given.get("aria-hidden", "").strip().lower() == "true":
        return f'<{tag} aria-hidden="true">'
    for name in given.get("class", "").split():
        if name in SCREEN_CLASSES:
            return f'<{tag} class="{name}">'
    if tag == "details":
        # of those that share a name only one is open
        return "" if "open" in given and "name" not in given else "<details>"
    return "" if tag in SHOWN else f"<{tag}>"


@lru_cache(maxsize=16)
def _looked_at(page: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """Kept for the next check that looks at the same page."""
    sight = _Sight()
    sight.feed(_COMMENT.sub("", page))
    sight.close()
    away = tuple((by, parted(" ".join("".join(words).split()))) for by, words in sight.away.items())
    return parted(lines_of(sight.out)), away


def seen_text(page: str) -> str:
    """What of a page is shown and printed: one line per block.

    Less than :func:`studio.paper.markup.visible_text`: without its title, without the words of its
    drawings, and without all that any element hides or may hide.

    >>> seen_text("<title>Ball</title><p>a <b>true</b> ball<details><p>wear a shield</details>")
    'a true ball'
    """
    return _looked_at(page)[0]


def hidden_by(page: str, words: str) -> str:
    """The tag that takes words of a page out of sight; empty where they are not on it.

    Args:
        page: as for :func:`seen_text`.
        words: with single spaces.

    >>> hidden_by("<div hidden><p>wear a <b>shield</b></div>", "wear a shield")
    '<div hidden>'
    """
    return next((by for by, text in _looked_at(page)[1] if words in text), "")
