"""The whole site from the published designs of a folder."""

from __future__ import annotations

import io
import os
from collections.abc import Callable, Mapping, Sequence, Set
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from datetime import date
from hashlib import sha256
from multiprocessing import get_context
from pathlib import Path

from studio.episode.beside import design_files
from studio.episode.filmed import FILM, lies_in
from studio.episode.published import record_file
from studio.errors import BadInput, Fault, to_type
from studio.files import Renewed, last_written, renew_outputs
from studio.picture.files import PICTURE
from studio.picture.stamps import stamp_in
from studio.site.entries import Beside, Entry, Made, make
from studio.site.feed import FEED, SITE_MAP, feed, site_map
from studio.site.known import Known, chains
from studio.site.pages import LISTS, PICTURE_HEIGHT, PICTURE_WIDTH, list_pages

SMALL_PICTURE = "small.jpg"
"""The picture on the lists."""

_SMALL_QUALITY = 82
_ALONE = 6
"""Fewer pages than that are made without further processes, which cost a second to start."""


@dataclass(frozen=True, slots=True)
class Site:
    """What was written.

    Attributes:
        designs: how many have a page.
        done: to the folder.
        gone: files that were removed, and why.
        notes: what is missing and what to do about it.
        films: names of the films that pages show and that were not copied.
    """

    designs: int
    done: Renewed
    gone: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    films: tuple[str, ...]


def published_designs(folder: Path) -> list[Path]:
    """The designs of a folder that have a published record, by name."""
    return [one for one in design_files(folder) if record_file(one).is_file()]


def write_site(
    designs: Sequence[Path],
    folder: Path,
    outputs: Callable[[Path], Path],
    *,
    known: Path | None,
    films: bool = False,
    today: date | None = None,
) -> Site:
    """Bring the site up to date.

    Args:
        designs: published ones, of one folder.
        folder: of the site.
        outputs: the out folder of a design, where its picture and film lie.
        known: file of what is known from earlier runs; None for nothing.
        films: copies the films that pages show.
        today: the day; None for the clock's.

    Raises:
        BadInput: designs with faults, or with published figures that are printed otherwise now;
            nothing is written then.
        WorkFailed: the disk is full; every file is whole, old or new.
    """
    if not designs:
        raise BadInput.of(
            "none of these designs is published", "run: studio publish DESIGN, once it is built"
        )
    book = Known(known, (today or date.today()).toordinal())
    try:
        return _written(designs, folder, outputs, book, films)
    finally:
        book.close()


def _written(
    designs: Sequence[Path],
    folder: Path,
    outputs: Callable[[Path], Path],
    book: Known,
    films: bool,
) -> Site:
    shown = {
        one: Beside(
            film=lies_in(outputs(one)) or (folder / one.stem / FILM).is_file(),
            picture=(outputs(one) / PICTURE).is_file(),
        )
        for one in designs
    }
    entries, fresh = _entries(designs, book, shown)
    pictures = {one: _picture(entries[one], outputs(one), book) for one in designs}
    # one that lies there may be of the piece as it was: its page is made without it
    stale = [one for one in designs if shown[one].picture and pictures[one] is None]
    if stale:
        shown |= {one: replace(shown[one], picture=False) for one in stale}
        again, made_again = _entries(stale, book, shown)
        entries, fresh = entries | again, fresh | made_again
    notes: list[str] = []
    wanted: dict[str, str] = {}
    sources: dict[str, Callable[[], bytes]] = {}
    pictured: set[str] = set()
    left: list[str] = []
    before = last_written(folder)
    for design in designs:
        entry = entries[design]
        out = outputs(design)
        for name, digest in entry.files.items():
            wanted[f"{entry.name}/{name}"] = digest
            sources[f"{entry.name}/{name}"] = _content(
                design, shown[design], entry, name, book, fresh
            )
        found = pictures[design]
        if found is not None:
            _add_picture(entry, out / PICTURE, found, book, wanted, sources)
            pictured.add(entry.name)
        else:
            notes.append(
                f"{design.name}: no picture of it as it is; run studio build {to_type(design)}"
            )
        for name in entry.lacking:
            if name == FILM and not films:
                _keep_film(entry, folder, before, book, wanted, sources)
            _add_beside(entry, out, name, films, book, wanted, sources, notes, left)
    ordered = sorted(sorted(entries.values(), key=_name), key=_first_day, reverse=True)
    address = _address(ordered)
    lists = list_pages(
        ordered,
        chains(book, designs),
        frozenset(pictured),
        feed=FEED if address else "",
        address=address,
    )
    if address:
        lists |= {FEED: feed(ordered, address), SITE_MAP: site_map(ordered, LISTS, address)}
    else:
        notes.append(
            f"no {FEED} and no {SITE_MAP}: both need whole addresses; write the site's into "
            "workshop.yaml, such as site: {address: https://example.org/ornaments/}"
        )
    for name, content in lists.items():
        wanted[name] = sha256(content).hexdigest()
        sources[name] = lambda content=content: content  # type: ignore[misc]
    done = renew_outputs(folder, wanted, lambda name: sources[name](), book.file_digest)
    names = {one.name for one in ordered}
    notes += done.notes
    notes += [_changed(name, names) for name in done.changed]
    gone = tuple((name, _why_gone(name, names)) for name in done.removed)
    return Site(len(designs), done, gone, tuple(notes), tuple(left))


def _why_gone(name: str, designs: Set[str]) -> str:
    """Why the site no longer has a file that an earlier run wrote."""
    if name in (FEED, SITE_MAP):
        return "it needs the site's whole address, and the workshop file names none"
    design, _, file = name.partition("/")
    if not file:
        return "the site has no such page any more"
    if design not in designs:
        return f"no published design is called {design} any more"
    if file in (PICTURE, SMALL_PICTURE):
        return f"there is no picture of {design} as it is now"
    return f"the page of {design} has it no longer"


def _changed(name: str, designs: Set[str]) -> str:
    """What to know of a file that the site no longer has, but that was changed by hand."""
    design, _, file = name.partition("/")
    if file == FILM and design in designs:
        return (
            f"{name} is another film than the one that studio copied there; it is left, and the "
            f"page shows it; --films puts the one of the out folder in its place"
        )
    return f"{name} was changed by hand, so it is left, though {_why_gone(name, designs)}"


def _name(entry: Entry) -> str:
    return entry.name


def _first_day(entry: Entry) -> str:
    return entry.first


def _address(entries: Sequence[Entry]) -> str:
    told = sorted({one.address for one in entries})
    if len(told) > 1:
        raise BadInput.of(
            f"the designs name different addresses of the site: {', '.join(told)}",
            "write one into workshop.yaml, and none into designs",
        )
    return told[0]


def _entries(
    designs: Sequence[Path], book: Known, shown: Mapping[Path, Beside]
) -> tuple[dict[Path, Entry], dict[Path, Mapping[str, bytes]]]:
    """Entries of all designs, and the files of those that were made just now.

    Raises:
        BadInput: with the faults of all of them.
    """
    odd = [one for one in designs if one.stem.startswith(".")]
    if odd:
        raise BadInput.of("its name begins with a dot", "give it another name", file=odd[0])
    keys = {one: book.key(one, shown[one]) for one in designs}
    entries = {one: entry for one in designs if (entry := book.entry(keys[one])) is not None}
    due = [one for one in designs if one not in entries]
    faults: list[Fault] = []
    fresh: dict[Path, Mapping[str, bytes]] = {}
    for design, made in zip(due, _made(due, [shown[one] for one in due]), strict=True):
        if made.entry is None:
            faults += made.faults
            continue
        book.keep(keys[design], made)
        entries[design], fresh[design] = made.entry, made.files
    if faults:
        raise BadInput(dict.fromkeys(faults))
    return entries, fresh


def _made(designs: Sequence[Path], shown: Sequence[Beside]) -> list[Made]:
    workers = min(os.cpu_count() or 1, len(designs))
    if len(designs) < _ALONE or workers < 2:
        return list(map(make, designs, shown))
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        chunk = max(1, min(16, len(designs) // workers))
        try:
            return list(pool.map(make, designs, shown, chunksize=chunk))
        except BrokenProcessPool:
            # one of them was ended from outside, mostly for want of memory: slower alone, but done
            return list(map(make, designs, shown))


def _content(
    design: Path,
    shown: Beside,
    entry: Entry,
    name: str,
    book: Known,
    fresh: dict[Path, Mapping[str, bytes]],
) -> Callable[[], bytes]:
    def content() -> bytes:
        if design not in fresh:
            found = book.content(entry.files[name])
            if found is not None:
                return found
            # known by its digest alone: the content was forgotten or spoilt
            fresh[design] = make(design, shown).files
            for each in fresh[design].values():
                book.keep_content(each)
        return fresh[design][name]

    return content


def _picture(entry: Entry, out: Path, book: Known) -> tuple[str, str] | None:
    """Digests of the picture that lies there and of a small one, if it is of the piece as it is."""
    path = out / PICTURE
    digest = book.file_digest(path)
    if not digest:
        return None
    seen = book.picture(digest)
    if seen is None:
        try:
            content = path.read_bytes()
        except OSError:
            return None
        small = small_picture(content)
        if small is None:
            return None
        book.keep_content(small)
        seen = (stamp_in(content), sha256(small).hexdigest())
        book.keep_picture(digest, *seen)
    return (digest, seen[1]) if seen[0] == entry.piece else None


def _add_picture(
    entry: Entry,
    path: Path,
    digests: tuple[str, str],
    book: Known,
    wanted: dict[str, str],
    sources: dict[str, Callable[[], bytes]],
) -> None:
    """Picture and small picture, for the design's page and the lists."""
    digest, small = digests
    wanted[f"{entry.name}/{PICTURE}"] = digest
    sources[f"{entry.name}/{PICTURE}"] = path.read_bytes
    wanted[f"{entry.name}/{SMALL_PICTURE}"] = small
    sources[f"{entry.name}/{SMALL_PICTURE}"] = lambda: (
        book.content(small) or small_picture(path.read_bytes()) or b""
    )


def small_picture(content: bytes) -> bytes | None:
    """A picture as the lists show it (JPEG); None when it cannot be read.

    Args: content: the piece's picture (PNG).
    """
    from PIL import Image, ImageOps

    try:
        with Image.open(io.BytesIO(content)) as picture:
            small = ImageOps.fit(picture.convert("RGB"), (PICTURE_WIDTH, PICTURE_HEIGHT))
    except (OSError, ValueError):
        return None
    made = io.BytesIO()
    small.save(made, "JPEG", quality=_SMALL_QUALITY, optimize=True)
    return made.getvalue()


def _keep_film(
    entry: Entry,
    folder: Path,
    before: Mapping[str, str],
    book: Known,
    wanted: dict[str, str],
    sources: dict[str, Callable[[], bytes]],
) -> None:
    """A film that an earlier run copied stays, though none is copied now."""
    name = f"{entry.name}/{FILM}"
    there = folder / name
    if name in before and book.file_digest(there) == before[name]:
        wanted[name], sources[name] = before[name], there.read_bytes


def _add_beside(
    entry: Entry,
    out: Path,
    name: str,
    films: bool,
    book: Known,
    wanted: dict[str, str],
    sources: dict[str, Callable[[], bytes]],
    notes: list[str],
    left: list[str],
) -> None:
    """A further file that the page refers to: copied as it lies, films if asked."""
    if name == PICTURE:
        return
    path = out / name
    if name == FILM and not path.is_file():
        # the page shows the one that lies on the site already
        return
    if Path(name).name != name or not path.is_file():
        notes.append(f"{entry.name}: its page refers to {name}, which is not in {out}")
    elif name == FILM and not films:
        if wanted.get(f"{entry.name}/{name}") != book.file_digest(path):
            left.append(f"{path} to {entry.name}/{name}")
    else:
        wanted[f"{entry.name}/{name}"] = book.file_digest(path)
        sources[f"{entry.name}/{name}"] = path.read_bytes
