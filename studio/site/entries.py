"""What the site tells of one published design, and the files of its page.

Everything here is made from the design, its workshop file, the designs below it and what lies
beside it, as the handout is: two makings from the same files give the same bytes.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from html import unescape
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from studio.design.reading import load
from studio.episode.assemble import open_episode
from studio.episode.published import Record, read_record
from studio.episode.records import Episode
from studio.episode.told_places import places_of_change
from studio.errors import BadInput, Fault, to_type
from studio.film.captions import caption_files
from studio.language import FIRST, speaking, tr
from studio.measure.subjects import heading
from studio.measure.trace import plain
from studio.paper import handout
from studio.paper.address import PAGE, address_of
from studio.paper.description import without_corrections
from studio.paper.markup import printable, to_text
from studio.paper.views import woods
from studio.picture.stamps import stamp

TIMED_TEXTS = ("captions.vtt", "captions.srt", "chapters.vtt")
"""What of captions and chapters goes onto the site; the others are for editors."""

TECHNIQUES = ("index", "grooves", "rings", "hollow", "profile", "hanger")
"""Subjects of measurements that are a technique of the piece; their headings name them."""

_LIST = "../index.html"
_TREE = "../family.html"
_REFERENCE = re.compile(r'\s(?:href|src|poster|data)="([^"]*)"')
_ELSEWHERE = re.compile(r"[a-zA-Z][a-zA-Z0-9+.-]*:|[#/]|\.\.")
_BODY = re.compile(r"<body\b[^>]*>\n?")


@dataclass(frozen=True, slots=True)
class Entry:
    """A published design, as lists and feed tell it. All texts are plain.

    Attributes:
        name: the design file's stem, and its folder on the site.
        title: of the episode.
        summary: what the piece is.
        workshop: its name.
        address: of the whole site, ending in a slash; empty where the workshop names none.
        licence: of the handout.
        demo_note: says that people and designs are invented; may be empty.
        woods: each once.
        techniques: each once, in the papers' order.
        size: of the ball or the whole piece, both systems; may be empty.
        words: further words to find it by: its steps and tools.
        first: the day on which it was published first, ISO 8601.
        last: the day on which it was published or corrected last.
        piece: the stamp of the piece's picture.
        files: SHA-256 of each file of its page, by its name in the design's folder.
        lacking: names that the page refers to and that are not among them.
        language: the tag of the language that it is in.
    """

    name: str
    title: str
    summary: str
    workshop: str
    address: str
    licence: str
    demo_note: str
    woods: tuple[str, ...]
    techniques: tuple[str, ...]
    size: str
    words: str
    first: str
    last: str
    piece: str
    files: Mapping[str, str]
    lacking: tuple[str, ...] = ()
    language: str = FIRST

    @property
    def page(self) -> str:
        """Its page's place on the site."""
        return f"{self.name}/{PAGE}"

    def as_tree(self) -> dict[str, Any]:
        """The same as plain data."""
        return asdict(self)

    @classmethod
    def of_tree(cls, tree: Mapping[str, Any]) -> Entry:
        """The entry of ``as_tree``.

        Raises:
            TypeError: it is none.
        """
        lists = {key: tuple(tree[key]) for key in ("woods", "techniques", "lacking")}
        return cls(**{**tree, **lists})


@dataclass(frozen=True, slots=True)
class Made:
    """An entry with its files, or what stands in the way of one."""

    entry: Entry | None
    files: Mapping[str, bytes] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Beside:
    """What lies beside a page for it to show: the film, the piece's picture as it is."""

    film: bool = False
    picture: bool = True


AS_BUILT = Beside()
"""What a build leaves there: the picture, no film."""


def make(design: Path, beside: Beside = AS_BUILT) -> Made:
    """The entry of a published design and the files of its page.

    Args:
        design: its file.
        beside: what is there for the page to show.

    Faults instead: those of the design, and a published figure that is printed otherwise now.
    """
    try:
        episode = replace(open_episode(design), filmed=beside.film, pictured=beside.picture)
        record = read_record(design)
        faults = _silent(design, record, episode)
        if faults:
            return Made(None, faults=faults)
        page = plain(handout.render(episode, address_of(episode)))
        timed = caption_files(episode)
    except BadInput as error:
        return Made(None, faults=error.faults)
    with speaking(episode.language):
        files = {PAGE: with_way_up(page, episode.name).encode("utf-8")}
        files |= {name: timed[name] for name in TIMED_TEXTS if name in timed}
        return Made(_entry(episode, record, page, files), files)


def _silent(design: Path, record: Record, episode: Episode) -> tuple[Fault, ...]:
    changed = record.changed(episode, without_corrections(episode))
    if not changed:
        return ()
    first = changed[0]
    more = f", and {len(changed) - 1} more" if len(changed) > 1 else ""
    what = (
        f"{first.label} is printed as {first.new or 'nothing'} now, viewers were told "
        f"{first.old}{more}"
    )
    write = f'if that is right, run: studio correct {to_type(design)} --reason "why"'
    places = places_of_change(load(design), first, what, write, record.typed())
    return places[:1] or (Fault(file=design, what=what, write=write),)


def _entry(episode: Episode, record: Record, page: str, files: Mapping[str, bytes]) -> Entry:
    assert episode.piece is not None
    table = episode.table
    shown = table.get("sphere.diameter") or table.get("assembly.height")
    subjects = {name.partition(".")[0] for name in table}
    days = [one.on for one in record.publications] + [one.on for one in record.corrections]
    words = [plain(step.title) for step in episode.steps]
    words += [plain(tool) for step in episode.steps for tool in step.tools]
    return Entry(
        name=episode.name,
        title=_line(plain(episode.title)),
        summary=_line(plain(to_text(episode.summary))),
        workshop=_line(episode.workshop),
        address=episode.site,
        licence=_line(episode.licence),
        demo_note=_line(episode.demo_note),
        woods=tuple(_line(plain(one)) for one in woods(episode)),
        techniques=tuple(heading(one) for one in TECHNIQUES if one in subjects),
        size=plain(shown.both) if shown is not None else "",
        words=_line(" ".join(dict.fromkeys(words))),
        first=record.publications[0].on,
        last=max(days),
        piece=stamp(episode.piece),
        files={name: hashlib.sha256(content).hexdigest() for name, content in files.items()},
        lacking=tuple(sorted(referred_to(page) - files.keys())),
        language=episode.language.tag,
    )


def _line(text: str) -> str:
    return " ".join(printable(text).split())


def anchor(name: str) -> str:
    """Where the family tree has the design ``name``: a word that may stand in any address."""
    return "d" + hashlib.sha256(name.encode("utf-8")).hexdigest()[:12]


def with_way_up(page: str, name: str) -> str:
    """The handout with links to the site's lists before its first words; print leaves them out.

    Args:
        page: the handout.
        name: of its design.
    """
    links = (
        f'<nav aria-label="{tr("Site")}">\n<ul>\n'
        f'<li><a href="{_LIST}">{tr("All designs")}</a></li>\n'
        f'<li><a href="{_TREE}#{anchor(name)}">{tr("Family tree")}</a></li>\n'
        "</ul>\n</nav>\n"
    )
    return _BODY.sub(lambda found: found[0] + links, page, count=1)


def referred_to(page: str) -> set[str]:
    """Names of the files beside a page that it refers to.

    Args:
        page: one of ours, whose texts hold no plain quotation mark: they are escaped.

    >>> sorted(referred_to('<a href="#x">x</a><img src="piece.png"><a href="https://a.example">'))
    ['piece.png']
    """
    names = {unescape(one) for one in _REFERENCE.findall(page)}
    beside = {re.split(r"[?#]", one, maxsplit=1)[0] for one in names if not _ELSEWHERE.match(one)}
    return {unquote(one) for one in beside - {""}}
