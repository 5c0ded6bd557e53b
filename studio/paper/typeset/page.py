"""A page of ours taken apart into plain data, for the press to set on sheets.

The PDF says what the page says because it is the same page: nothing is worded twice. What belongs
to a screen alone (navigation, forms, scripts, players) is left out.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any

Node = dict[str, Any]
"""An element: ``t`` its tag, ``c`` its classes, and either ``i`` (a line of text: strings and
elements) or ``b`` (elements one under another). A link has ``href``, a drawing ``svg``, ``alt``,
``ratio`` (height over width) and ``least`` (type size of its smallest figure over its width, 0
without figures), a table ``cols``, ``caption``, ``head`` and ``groups`` of rows."""

SCREEN_ONLY = frozenset(
    {
        "audio",
        "button",
        "dialog",
        "form",
        "iframe",
        "input",
        "label",
        "nav",
        "noscript",
        "object",
        "output",
        "script",
        "select",
        "style",
        "template",
        "textarea",
        "video",
    }
)
"""Elements that mean nothing on a sheet."""

SCREEN_CLASSES = frozenset({"screen-only", "column"})
"""Classes of what is left out too: a page marks with the first what only a screen can show; the
second repeats a column's heading in a cell, for narrow screens."""

KEPT_TOGETHER = frozenset({"step", "step-main"})
"""Classes of what stays on one sheet unless it is long; such a node has the ``length`` of its text,
in characters."""

_INLINE = frozenset(
    {"#text", "a", "abbr", "b", "br", "cite", "code", "em", "i", "q", "s", "small", "span"}
    | {"strong", "sub", "sup", "time", "bdi"}
)
_VOID = frozenset({"area", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"})
_DRAWN = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
_VIEW = re.compile(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')
_LETTERED = re.compile(r"<(?:text|tspan)\b([^>]*)>")
_FIGURE = re.compile(r'class="(?:figure|other)"')
_TYPE = re.compile(r'font-size="([0-9.]+)"')
_TITLE = re.compile(r"<(title|desc)\b[^>]*>(.*?)</\1>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")

LONGEST_WORD = 20
"""Characters that stand together unbroken; a longer word may be parted after each so many (ours:
few columns of the sheets are too narrow for it)."""

LONGEST_SPELT = 40
"""Letters of a word that the press parts by syllable (``common.typ``) where it has to: a longer one
is no word of the trade (ours)."""

LONGEST_ADDRESS = 60
"""The same of an address, which stands on lines of its own and is copied whole."""

_LONG = re.compile(rf"\S{{{LONGEST_WORD + 1},}}")
_SPELT = re.compile(rf"[^\w]*[A-Za-zÀ-ɏ]{{1,{LONGEST_SPELT}}}[^\w]*")
_MAY_BREAK = "\u200b"


def breakable(text: str) -> str:
    """``text`` with a place to break in every word that would not fit on a line.

    Words of letters stay as they are, so that they are found in a PDF: the press parts them.
    """

    def parted(word: re.Match[str]) -> str:
        whole = word[0]
        if _SPELT.fullmatch(whole):
            return whole
        most = LONGEST_ADDRESS if "://" in whole else LONGEST_WORD
        return _MAY_BREAK.join(whole[at : at + most] for at in range(0, len(whole), most))

    return _LONG.sub(parted, text)


def reads_leftwards(text: str) -> bool:
    """Whether the first letter with a direction runs from right to left (Unicode's rule P2)."""
    for char in text:
        way = unicodedata.bidirectional(char)
        if way in ("L", "R", "AL"):
            return way != "L"
    return False


@dataclass(slots=True)
class _Element:
    tag: str
    attributes: dict[str, str] = field(default_factory=dict)
    inside: list[_Element | str] = field(default_factory=list)

    @property
    def classes(self) -> list[str]:
        return self.attributes.get("class", "").split()

    def text(self) -> str:
        return "".join(one if isinstance(one, str) else one.text() for one in self.inside)

    def all(self, tag: str) -> list[_Element]:
        found: list[_Element] = []
        for one in self.inside:
            if isinstance(one, _Element):
                found += [one] if one.tag == tag else one.all(tag)
        return found


class _Builder(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = _Element("#root")
        self._open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = _Element(tag, {key: value or "" for key, value in attrs})
        self._open[-1].inside.append(element)
        if tag not in _VOID:
            self._open.append(element)

    def handle_endtag(self, tag: str) -> None:
        if any(one.tag == tag for one in self._open[1:]):
            while self._open.pop().tag != tag:
                pass

    def handle_data(self, data: str) -> None:
        self._open[-1].inside.append(data)


def set_apart(html: str) -> list[Node]:
    """The body of a page, as plain data.

    Args:
        html: a page of ours, or of a look, without marks.

    Raises:
        ValueError: it has no body, or several.

    >>> set_apart('<body><p class="x">a <b>true</b> ball</p><nav>up</nav></body>')
    [{'t': 'p', 'c': ['x'], 'i': ['a ', {'t': 'b', 'c': [], 'i': ['true']}, ' ball']}]
    """
    drawn: list[str] = []

    def put_aside(found: re.Match[str]) -> str:
        if _VIEW.search(found[0]) is None:
            # a drawing of a look's own that tells no size cannot be set
            return ""
        drawn.append(found[0])
        return f'<img data-drawing="{len(drawn) - 1}">'

    builder = _Builder()
    builder.feed(_DRAWN.sub(put_aside, html))
    builder.close()
    bodies = builder.root.all("body")
    if len(bodies) != 1:
        raise ValueError("a page has one body")
    return _blocks(bodies[0], drawn)


def _is_left_out(element: _Element) -> bool:
    return (
        element.tag in SCREEN_ONLY
        or "hidden" in element.attributes
        or (element.tag == "img" and "data-drawing" not in element.attributes)
        or bool(SCREEN_CLASSES & set(element.classes))
    )


def _is_inline(one: _Element | str, drawn: list[str]) -> bool:
    if isinstance(one, str):
        return True
    if one.tag == "img" and "data-drawing" in one.attributes:
        return _is_sign(drawn[int(one.attributes["data-drawing"])])
    return one.tag in _INLINE


def _is_sign(svg: str) -> bool:
    return svg.startswith('<svg class="sign"')


def _blocks(parent: _Element, drawn: list[str]) -> list[Node]:
    """What stands one under another; text between blocks becomes a line of its own."""
    out: list[Node] = []
    line: list[_Element | str] = []

    def end_line() -> None:
        texts = _line(line, drawn)
        if texts:
            out.append({"t": "run", "c": [], "i": texts})
        line.clear()

    for one in parent.inside:
        if _is_inline(one, drawn):
            line.append(one)
            continue
        end_line()
        assert isinstance(one, _Element)
        if not _is_left_out(one):
            out += _block(one, drawn)
    end_line()
    return out


def _block(element: _Element, drawn: list[str]) -> list[Node]:
    if element.tag == "img":
        return [_drawing(drawn[int(element.attributes["data-drawing"])])]
    if element.tag == "table":
        return [_table(element, drawn)]
    node: Node = {"t": element.tag, "c": element.classes}
    if element.attributes.get("dir") == "auto" and reads_leftwards(element.text()):
        node["rtl"] = True
    if KEPT_TOGETHER & set(node["c"]):
        node["length"] = len(element.text())
    if all(_is_inline(one, drawn) for one in element.inside):
        keep = element.tag == "pre"
        node["i"] = [element.text()] if keep else _line(element.inside, drawn)
    else:
        node["b"] = _blocks(element, drawn)
    return [node]


def _line(inside: list[_Element | str], drawn: list[str]) -> list[Any]:
    """A line of text: runs of spaces made one, none at its ends."""
    out = _texts(inside, drawn)
    _trim(out, 0, str.lstrip)
    _trim(out, -1, str.rstrip)
    return out


def _trim(nodes: list[Any], end: int, strip: Any) -> None:
    while nodes and isinstance(nodes[end], str):
        nodes[end] = strip(nodes[end], " ")
        if nodes[end]:
            return
        del nodes[end]


def _texts(inside: list[_Element | str], drawn: list[str]) -> list[Any]:
    out: list[Any] = []
    for one in inside:
        if isinstance(one, str):
            text = breakable(re.sub("[ \t\n]+", " ", one))
            if out and isinstance(out[-1], str):
                out[-1] = re.sub(" +", " ", out[-1] + text)
            elif text:
                out.append(text)
        elif one.tag == "img" and not _is_left_out(one):
            out.append({"t": "sign", "c": [], "i": []})
        elif not _is_left_out(one):
            node: Node = {
                "t": one.tag,
                "c": one.classes,
                "i": _texts(one.inside, drawn),
            }
            if one.tag == "a" and one.attributes.get("href", "").partition(":")[0] in (
                "http",
                "https",
                "mailto",
            ):
                node["href"] = one.attributes["href"]
            if node["i"] or one.tag == "br":
                out.append(node)
    return out


def _drawing(svg: str) -> Node:
    view = _VIEW.search(svg)
    assert view is not None
    told = [_TAG.sub("", found[2]) for found in _TITLE.finditer(svg)]
    from html import unescape

    lettered = (found[1] for found in _LETTERED.finditer(svg))
    sizes = [float(size[1]) for one in lettered if _FIGURE.search(one)
             for size in [_TYPE.search(one)] if size is not None]  # fmt: skip
    return {
        "t": "drawing",
        "c": [],
        "svg": svg,
        "alt": unescape(". ".join(told)),
        "ratio": float(view[2]) / float(view[1]),
        "least": min(sizes, default=0.0) / float(view[1]),
    }


def _table(element: _Element, drawn: list[str]) -> Node:
    captions = element.all("caption")
    heads, bodies = element.all("thead"), element.all("tbody")
    head = [_cells(row, drawn) for one in heads for row in one.all("tr")]
    groups = [[_cells(row, drawn) for row in body.all("tr")] for body in bodies]
    rows = [*head, *(row for group in groups for row in group)]
    return {
        "t": "table",
        "c": element.classes,
        "cols": max((sum(cell["span"] for cell in row) for row in rows), default=1),
        "caption": _line(captions[0].inside, drawn) if captions else [],
        "head": head,
        "groups": groups,
    }


def _span(typed: str) -> int:
    return min(int(typed), 12) if typed.isascii() and typed.isdigit() and int(typed) else 1


def _cells(row: _Element, drawn: list[str]) -> list[Node]:
    cells = []
    for one in row.inside:
        if isinstance(one, _Element) and one.tag in ("th", "td"):
            cells.append(
                {
                    "t": one.tag,
                    "c": one.classes,
                    "span": _span(one.attributes.get("colspan", "1")),
                    "i": _line(one.inside, drawn),
                }
            )
    return cells
