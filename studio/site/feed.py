"""The Atom feed (RFC 4287) and the site map (sitemaps.org, protocol 0.9).

Both want whole addresses, so both need the site's address from the workshop file. Their times are
the days of the published record, told as midnight UTC; so the same record gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree import ElementTree as Tree

from studio.language import language_of
from studio.paper.address import whole_address
from studio.site.entries import Entry

FEED, SITE_MAP = "feed.xml", "sitemap.xml"
"""Names of the files."""

NEWEST = 50
"""Entries that the feed has at most (ours): readers ask for the whole of it each time."""

MOST_ADDRESSES = 50_000
"""What one site map may hold (https://www.sitemaps.org/protocol.html)."""

_ATOM = "http://www.w3.org/2005/Atom"
_MAP = "http://www.sitemaps.org/schemas/sitemap/0.9"


def feed(entries: Sequence[Entry], address: str) -> bytes:
    """The Atom feed: what was published or corrected last comes first.

    Args:
        entries: at least one.
        address: of the site, ending in a slash.
    """
    latest = sorted(entries, key=lambda one: (one.last, one.first, one.name), reverse=True)
    newest = latest[0]
    top = Tree.Element("feed", {"xmlns": _ATOM, "xml:lang": language_of(newest.language).page})
    _put(top, "title", newest.workshop)
    _put(top, "id", whole_address(address, FEED))
    _put(top, "updated", _moment(newest.last))
    _put(top, "link", rel="self", type="application/atom+xml", href=whole_address(address, FEED))
    _put(top, "link", rel="alternate", type="text/html", href=whole_address(address, "index.html"))
    _put(Tree.SubElement(top, "author"), "name", newest.workshop)
    if newest.demo_note:
        _put(top, "subtitle", newest.demo_note)
    for one in latest[:NEWEST]:
        entry = Tree.SubElement(top, "entry")
        page = whole_address(address, one.page)
        _put(entry, "title", one.title)
        _put(entry, "id", page)
        _put(entry, "link", rel="alternate", type="text/html", href=page)
        _put(entry, "published", _moment(one.first))
        _put(entry, "updated", _moment(one.last))
        for word in (*one.woods, *one.techniques):
            _put(entry, "category", term=word)
        if one.licence:
            _put(entry, "rights", one.licence)
        # an entry without a summary is allowed, an empty one tells nothing
        if one.summary:
            _put(entry, "summary", one.summary)
    return _file(top)


def site_map(entries: Sequence[Entry], lists: Sequence[str], address: str) -> bytes:
    """The site map: the lists, and each design's page with the day of its last change.

    Args:
        entries: at least one; what is over the protocol's limit is left out.
        lists: names of the other pages, the index first.
        address: of the site, ending in a slash.
    """
    top = Tree.Element("urlset", {"xmlns": _MAP})
    newest = max(one.last for one in entries)
    told = [(name, newest) for name in lists] + [(one.page, one.last) for one in entries]
    for name, day in told[:MOST_ADDRESSES]:
        url = Tree.SubElement(top, "url")
        _put(url, "loc", whole_address(address, name))
        _put(url, "lastmod", day)
    return _file(top)


def _put(above: Tree.Element, name: str, text: str = "", **attributes: str) -> None:
    one = Tree.SubElement(above, name, attributes)
    one.text = text or None


def _moment(day: str) -> str:
    return f"{day}T00:00:00Z"


def _file(top: Tree.Element) -> bytes:
    Tree.indent(top, space=" ")
    text: str = Tree.tostring(top, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'.encode()
