"""Where a design's page lies on the turner's own site."""

from __future__ import annotations

from urllib.parse import quote

from studio.episode.records import Episode

PAGE = "index.html"
"""The page of a design, in a folder of its name."""


def whole_address(address: str, name: str) -> str:
    """The address of a file of the site.

    >>> whole_address("https://example.org/", "a globe/index.html")
    'https://example.org/a%20globe/index.html'
    """
    return address + quote(name)


def address_of(episode: Episode) -> str:
    """The whole address of a design's page; empty where the workshop names no site."""
    return whole_address(episode.site, f"{episode.name}/{PAGE}") if episode.site else ""
