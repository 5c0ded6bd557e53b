"""A design's Markdown as safe HTML, and what a reader sees of a page.

A design may come from a stranger. Raw HTML in its texts is shown as text; whatever Markdown
makes is written anew through a short list of elements that are allowed, so that nothing else can
reach the page.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from html import escape
from html.parser import HTMLParser
from urllib.parse import urlsplit

import markdown

from studio.measure.trace import END, SEP, START, mark
from studio.paper.addresses import ADDRESS
from studio.paper.unbroken import parted

_MARKED = re.compile(f"{START}([^{SEP}]*){SEP}([^{END}]*){END}")
# One supplementary private-use character stands for each mark while Markdown runs: it has no
# meaning to Markdown, where a name's underscores and a text's asterisks would have one. Any such
# character in the design itself is set aside in the same way.
_FIRST_STAND_IN = 0xF0000
_SET_ASIDE = re.compile(f"{_MARKED.pattern}|[\U000f0000-\U0010ffff]")
_STAND_IN = re.compile("[\U000f0000-\U0010ffff]")
# Control characters have no place in a page or a text; tab and line feed stay. Lone surrogates
# cannot be written as UTF-8. Direction overrides could show a figure back to front (06 as 60).
_UNPRINTABLE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202d\u202e\ud800-\udfff\ufffe\uffff]")

_KEPT = frozenset(
    {"p", "em", "strong", "code", "pre", "ul", "ol", "li", "blockquote", "a", "br", "hr"}
)
_HEADINGS = frozenset({"h1", "h2", "h3", "h4", "h5", "h6"})
VOID = frozenset(
    {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track"}
    | {"wbr"}
)
"""Elements that hold nothing and have no end tag (HTML Living Standard, 13.1.2, Void elements)."""

_OWN_DIRECTION = frozenset({"p", "li", "blockquote"})
_SCHEMES = frozenset({"http", "https", "mailto"})

_LISTS = frozenset({"ol", "ul"})

ITEM = "item"
"""What the mark round a list's number is called, its number behind a colon."""

_UNSEEN = frozenset({"style", "script", "template"})
_BLOCKS = frozenset(
    {
        "address",
        "article",
        "aside",
        "blockquote",
        "body",
        "br",
        "caption",
        "dd",
        "desc",
        "div",
        "dl",
        "dt",
        "figcaption",
        "figure",
        "footer",
        "h1",
        "h2",
        "h3",
        "h4",
        "h5",
        "h6",
        "head",
        "header",
        "hr",
        "html",
        "li",
        "main",
        "nav",
        "ol",
        "p",
        "pre",
        "section",
        "svg",
        "table",
        "tbody",
        "td",
        "text",
        "tfoot",
        "th",
        "thead",
        "title",
        "tr",
        "ul",
    }
)


def printable(text: str) -> str:
    """``text`` without the control characters that no page or text file may hold."""
    return _UNPRINTABLE.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))


def safe_url(url: str) -> str:
    """``url`` when it is an ``http``, ``https`` or ``mailto`` address, else an empty text."""
    url = url.strip()
    # browsers drop these inside an address, so "java\nscript:" would be run
    if any(char.isspace() or ord(char) < 0x20 for char in url):
        return ""
    try:
        parts = urlsplit(url)
    except ValueError:
        return ""
    if parts.scheme.lower() not in _SCHEMES:
        return ""
    if parts.scheme.lower() != "mailto" and not parts.netloc:
        return ""
    return url


@cache
def _markdown() -> markdown.Markdown:
    """Markdown without raw HTML and without pictures."""
    md = markdown.Markdown(output_format="html")
    md.preprocessors.deregister("html_block")
    for pattern in ("html", "image_link", "image_reference", "short_image_ref"):
        md.inlinePatterns.deregister(pattern)
    return md


class _Rewriter(HTMLParser):
    """Writes Markdown's HTML anew with allowed elements only, and puts the marks back."""

    def __init__(self, aside: list[tuple[str, str]], origin: str):
        super().__init__(convert_charrefs=True)
        self._aside = aside
        self._origin = origin
        self._open: list[tuple[str, str]] = []
        self.out: list[str] = []

    def _restored(self, stand_in: re.Match[str]) -> tuple[str, str]:
        return self._aside[ord(stand_in[0]) - _FIRST_STAND_IN]

    def _address(self, attrs: list[tuple[str, str | None]]) -> str:
        raw = dict(attrs).get("href") or ""
        return safe_url(_STAND_IN.sub(lambda hit: self._restored(hit)[1], raw))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        written = ""
        if tag == "a":
            address = self._address(attrs)
            if address:
                written = "a"
                self.out.append(f'<a href="{escape(address)}" rel="noopener nofollow">')
        elif tag in _HEADINGS:
            # the page has its own order of headings
            written = "p"
            self.out.append('<p class="lead" dir="auto">')
        elif tag in _KEPT:
            written = tag
            self.out.append(f'<{tag} dir="auto">' if tag in _OWN_DIRECTION else f"<{tag}>")
        if tag not in VOID:
            self._open.append((tag, written))

    def handle_endtag(self, tag: str) -> None:
        if not self._open or self._open[-1][0] != tag:
            return
        written = self._open.pop()[1]
        if written:
            self.out.append(f"</{written}>")

    def handle_data(self, data: str) -> None:
        at = 0
        for hit in _STAND_IN.finditer(data):
            self._plain(data[at : hit.start()])
            name, text = self._restored(hit)
            if name:
                self.out.append(f'<span class="figure">{mark(escape(name), escape(text))}</span>')
            else:
                self._plain(text)
            at = hit.end()
        self._plain(data[at:])

    def _plain(self, text: str) -> None:
        if self._origin and text.strip():
            self.out.append(mark(self._origin, escape(text)))
        else:
            self.out.append(escape(text))


def to_html(marked: str, origin: str = "") -> str:
    """A marked Markdown text as safe HTML, its marks kept.

    Args:
        marked: the design's text; raw HTML, scripts and pictures in it come out as plain text.
        origin: name of a mark to put round every run of text, for a text that has none of its own
            (the credit); empty to leave the text as it is marked.

    >>> print(to_html("**true** <b>raw</b>"))
    <p dir="auto"><strong>true</strong> &lt;b&gt;raw&lt;/b&gt;</p>
    """
    aside: list[tuple[str, str]] = []

    def put_aside(hit: re.Match[str]) -> str:
        aside.append((hit[1] or "", hit[0] if hit[1] is None else hit[2]))
        return chr(_FIRST_STAND_IN + len(aside) - 1)

    source = _SET_ASIDE.sub(put_aside, printable(marked))
    rewriter = _Rewriter(aside, origin)
    rewriter.feed(_markdown().reset().convert(source))
    rewriter.close()
    return "".join(rewriter.out)


class Reader(HTMLParser):
    """Collects what a reader sees or hears read out, piece by piece, in ``out``.

    Args:
        addresses: whether those of links are written out, and items of lists marked or numbered.
        origin: name of the mark round an address.
    """

    def __init__(self, addresses: bool, origin: str = "link"):
        super().__init__(convert_charrefs=True)
        self._addresses = addresses
        self._origin = origin
        self._hidden = self._kept = 0
        self._links: list[str] = []
        self._lists: list[int | None] = []
        self._begins = False
        self.out: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begin a line where a block begins; note addresses."""
        if tag in _UNSEEN:
            self._hidden += 1
        if tag == "pre":
            self._kept += 1
        # a paragraph that an item begins with stands behind the item's mark
        if tag in _BLOCKS and not (tag == "p" and self._begins):
            self.out.append("\n")
        if tag == "a":
            self._links.append(dict(attrs).get("href") or "")
        if tag in _LISTS:
            self._lists.append(1 if tag == "ol" else None)
        if tag == "li" and self._addresses:
            self.out.append(self._before_item())
            self._begins = True

    def _before_item(self) -> str:
        """What marks the next item of the list that is open: a number where it is numbered."""
        number = self._lists[-1] if self._lists else None
        if number is None:
            return "– "
        self._lists[-1] = number + 1
        return f"{mark(f'{ITEM}:{number}', f'{number}.')} "

    def handle_endtag(self, tag: str) -> None:
        """End a line where a block ends; write an address out."""
        if tag in _UNSEEN and self._hidden:
            self._hidden -= 1
        if tag == "pre" and self._kept:
            self._kept -= 1
        if tag in _LISTS and self._lists:
            self._lists.pop()
        if tag == "a" and self._links:
            address = self._links.pop()
            if self._addresses and address and address not in "".join(self.out[-2:]):
                self.out.append(f" ({mark(self._origin, address)})")
        if tag in _BLOCKS:
            self.out.append("\n")

    def handle_data(self, data: str) -> None:
        """Take words, with single spaces where the page has them so."""
        self._begins = self._begins and not data.strip()
        if not self._hidden:
            self.out.append(data if self._kept else re.sub("[ \t\n]+", " ", data))


def lines_of(pieces: list[str]) -> str:
    """One line per block, without blank ones and without spaces at the ends."""
    # split at line feeds only: splitlines() and split() would also cut at no-break spaces' kin
    lines = (re.sub("[ \t]+", " ", line).strip(" \t") for line in "".join(pieces).split("\n"))
    return "\n".join(line for line in lines if line)


@lru_cache(maxsize=32)
def visible_text(html_marked: str) -> str:
    """What a reader of a page sees or hears read out, with its marks: one line per block.

    Leaves out styles, scripts and every attribute; keeps the page's title and the words of its
    drawings (their title and description too), and what is hidden until something is opened or
    pressed. A number's unit stands behind a plain space. Kept for the next check that reads the
    same page.

    >>> visible_text("<title>Ball</title><style>p{margin:1em}</style><p>a <b>true</b> ball")
    'Ball\\na true ball'
    """
    reader = Reader(addresses=False)
    reader.feed(html_marked)
    reader.close()
    return parted(lines_of(reader.out))


def to_text(marked: str, origin: str = "") -> str:
    """A marked Markdown text as plain lines with its marks; links as ``words (address)``.

    Args:
        marked: the design's text.
        origin: as for ``to_html``.

    >>> from studio.measure.trace import plain
    >>> plain(to_text("see *the* [plan](https://example.org/plan)"))
    'see the plan (https://example.org/plan)'
    """
    reader = Reader(addresses=True, origin=origin or "link")
    reader.feed(to_html(marked, origin))
    reader.close()
    return lines_of(reader.out)


# Characters that begin something in Markdown wherever they stand, and at the start of a line.
_ANYWHERE = re.compile(r"[\\`*_\[\]<>&~|]")
_AT_LINE_START = re.compile(r"^(\s*)([#+=-]|\d+(?=[.)](?:\s|$)))", re.MULTILINE)


def to_markdown(marked: str) -> str:
    """A marked plain text as Markdown that reads as that text; marks are kept.

    >>> to_markdown("<b> is not bold, *nor* this")
    '\\\\<b\\\\> is not bold, \\\\*nor\\\\* this'
    """
    pieces: list[str] = []
    at = 0
    for hit in _MARKED.finditer(marked):
        pieces += [_escaped(marked[at : hit.start()], at == 0)]
        pieces += [mark(hit[1], within_markdown(hit[2]))]
        at = hit.end()
    pieces.append(_escaped(marked[at:], at == 0))
    return "".join(pieces)


def within_markdown(text: str) -> str:
    r"""A text as ``to_markdown`` writes it inside a mark, which begins no line.

    >>> print(within_markdown("- oil & wax"))
    - oil \& wax
    """
    return _escaped(text, opens=False)


def _escaped(text: str, opens: bool) -> str:
    """A text whose signs stand for themselves; an address is written as a link of its own, in which
    no backslash would be one of Markdown's."""
    pieces: list[str] = []
    at = 0
    for hit in ADDRESS.finditer(text):
        pieces += [_words_escaped(text[at : hit.start()], opens and at == 0), f"<{hit[0]}>"]
        at = hit.end()
    pieces.append(_words_escaped(text[at:], opens and at == 0))
    return "".join(pieces)


def _words_escaped(text: str, opens: bool) -> str:
    text = _ANYWHERE.sub(lambda hit: "\\" + hit[0], text)

    def at_start(hit: re.Match[str]) -> str:
        if hit.start() == 0 and not opens:
            return hit[0]
        return f"{hit[1]}{hit[2]}\\" if hit[2].isdigit() else f"{hit[1]}\\{hit[2]}"

    return _AT_LINE_START.sub(at_start, text)
