"""The pages that lead to the designs: the index, the family tree, woods and techniques."""

from __future__ import annotations

import base64
import hashlib
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from urllib.parse import quote

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from studio.episode.stamps import day
from studio.language import later, speaking, spoken, tr
from studio.paper.address import whole_address
from studio.paper.inline import in_language
from studio.paper.rendering import page_style
from studio.paper.unbroken import unbroken_page
from studio.paper.wording import worded
from studio.picture.files import PICTURE
from studio.site.entries import Entry, anchor

INDEX, FAMILY, WOODS, TECHNIQUES = "index.html", "family.html", "woods.html", "techniques.html"
"""Names of the pages."""

LISTS = (INDEX, FAMILY, WOODS, TECHNIQUES)

PICTURE_WIDTH, PICTURE_HEIGHT = 480, 270
"""Of the small pictures on these pages, px: twice what a card is wide on most screens (ours)."""

_TEMPLATES = Path(__file__).parent / "templates"


@dataclass(slots=True)
class Branch:
    """A design and those that are made from it."""

    entry: Entry
    twigs: list[Branch] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Group:
    """Designs that share a wood or a technique."""

    name: str
    entries: tuple[Entry, ...]

    @property
    def anchor(self) -> str:
        """Where its list stands on the page."""
        return anchor(self.name)


@cache
def _environment() -> ImmutableSandboxedEnvironment:
    environment = ImmutableSandboxedEnvironment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    worded(environment)
    environment.filters.update(day=day, address=quote, anchor=anchor, folded=folded)
    return environment


def folded(text: str) -> str:
    """A text as the search compares it: small letters without accents.

    >>> folded("Bergahorn, Ölfinish")
    'bergahorn, olfinish'
    """
    parted = unicodedata.normalize("NFKD", text.lower())
    return "".join(sign for sign in parted if not unicodedata.combining(sign))


SAID = (later(" of "), later("None of "), later("; try fewer words"), later(" design"),
        later(" designs"))  # fmt: skip
"""What the search says; in another language it is put in its place."""


def _script() -> Markup:
    return Markup(in_language((_TEMPLATES / "search.js").read_text(encoding="utf-8"), SAID))


@cache
def _sheet() -> Markup:
    own = (_TEMPLATES / "site.css").read_text(encoding="utf-8")
    return Markup(f"{page_style()}{own}")


def _policy(script: str = "") -> str:
    """What the page may load: its own pictures and styles, and the one script that is known."""
    digest = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    runs = f"script-src 'sha256-{digest}'; " if script else ""
    return (
        f"default-src 'none'; {runs}img-src 'self'; style-src 'unsafe-inline'; "
        "base-uri 'none'; form-action 'none'"
    )


def list_pages(
    entries: Sequence[Entry],
    chains: Mapping[str, Sequence[str]],
    pictured: frozenset[str],
    *,
    feed: str,
    address: str = "",
) -> dict[str, bytes]:
    """All of them, by name, in the newest design's language.

    Args:
        entries: newest first, at least one.
        chains: names of the designs below each one, nearest first, published or not.
        pictured: names of the designs that have a small picture.
        feed: the feed's name; empty when there is none.
        address: of the site, ending in a slash; empty where nobody has told it.
    """
    with speaking(entries[0].language):
        return _list_pages(entries, chains, pictured, feed, address)


def _list_pages(
    entries: Sequence[Entry],
    chains: Mapping[str, Sequence[str]],
    pictured: frozenset[str],
    feed: str,
    address: str,
) -> dict[str, bytes]:
    newest = entries[0]
    shared: dict[str, object] = {
        "lang": spoken().page,
        "workshop": newest.workshop,
        "demo_note": newest.demo_note,
        "feed": feed,
        "style": _sheet(),
        "pictured": pictured,
        "width": PICTURE_WIDTH,
        "height": PICTURE_HEIGHT,
        "entries": entries,
        "about": _about(entries),
        # what a link to the page shows: the piece that came last
        "shown": next(
            (
                whole_address(address, f"{one.name}/{PICTURE}")
                for one in entries
                if address and one.name in pictured
            ),
            "",
        ),
    }

    # an entry stands in three lists and looks the same in each
    pieces = _environment().get_template("pieces.html.j2").make_module(shared)
    shared["lines"] = {one.name: pieces.line(one) for one in entries}  # type: ignore[attr-defined]

    def page(template: str, here: str, script: str = "", **more: object) -> bytes:
        made = _environment().get_template(template)
        text = made.render(
            here=here,
            address=whole_address(address, here) if address else "",
            policy=_policy(script),
            script=Markup(script),
            **shared,
            **more,
        )
        return unbroken_page(text).encode("utf-8")

    return {
        INDEX: page("index.html.j2", INDEX, str(_script())),
        FAMILY: page("family.html.j2", FAMILY, trees=trees(entries, chains)),
        WOODS: page("groups.html.j2", WOODS, heading=tr("Woods"), groups=_groups(entries, "woods")),
        TECHNIQUES: page(
            "groups.html.j2",
            TECHNIQUES,
            heading=tr("Techniques"),
            groups=_groups(entries, "techniques"),
        ),
    }


MOST_ABOUT = 200
"""Characters of what previews of links say of a list (ours; they cut longer ones off)."""


def _about(entries: Sequence[Entry]) -> str:
    """Titles of the designs, newest first, as many as there is room for; one at least."""
    told = entries[0].title
    for one in entries[1:]:
        longer = f"{told}; {one.title}"
        if len(longer) > MOST_ABOUT:
            break
        told = longer
    return told


def trees(entries: Sequence[Entry], chains: Mapping[str, Sequence[str]]) -> list[Branch]:
    """The family trees, by title; a design whose base is not published hangs on the next that is.

    Args:
        entries: published designs.
        chains: as for ``list_pages``.
    """
    branches = {one.name: Branch(one) for one in sorted(entries, key=_by_title)}
    roots: list[Branch] = []
    for name, branch in branches.items():
        above = next((base for base in chains.get(name, ()) if base in branches), None)
        (branches[above].twigs if above is not None else roots).append(branch)
    return roots


def _groups(entries: Iterable[Entry], what: str) -> list[Group]:
    held: dict[str, list[Entry]] = {}
    for one in sorted(entries, key=_by_title):
        for name in getattr(one, what):
            held.setdefault(name, []).append(one)
    return [Group(name, tuple(held[name])) for name in sorted(held, key=folded)]


def _by_title(entry: Entry) -> tuple[str, str]:
    return folded(entry.title), entry.name
