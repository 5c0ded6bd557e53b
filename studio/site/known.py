"""What is known from earlier runs, so that a thousand pages need not be made again.

Nothing in here decides what a page says. An entry is found by a digest of everything it was made
from: the design, what lies beside it, the designs below it, the workshop file, and this package
with the libraries that it makes pages with. A content is used only when its own digest fits. The
file may be deleted at any time; one that cannot be read is left alone, and all is made afresh.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import platform
import sqlite3
import zlib
from collections.abc import Iterable
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from studio.design.document import MAX_BYTES, read
from studio.design.reading import MAX_BASES, WORKSHOP_FILE
from studio.episode.beside import ENDINGS
from studio.errors import BadInput
from studio.files import cache_folder
from studio.site.entries import AS_BUILT, Beside, Entry, Made

FILE = "site.sqlite"
_LIBRARIES = ("jinja2", "markdown", "markupsafe", "pydantic", "pyyaml", "pillow")
_SOURCES = (".py", ".j2", ".css", ".csv", ".yaml")
_KEPT_DAYS = 120
"""How long an entry is kept that no run has asked for (ours)."""

_TABLES = """
create table if not exists entries (key text primary key, tree text, digest text, day integer);
create table if not exists contents (digest text primary key, content blob, day integer);
create table if not exists bases (digest text primary key, base text);
create table if not exists pictures (digest text primary key, stamp text, small text);
create table if not exists files (path text primary key, seen text, digest text);
"""


def default_file() -> Path:
    """Where it lies: in the user's cache folder."""
    return cache_folder() / FILE


@cache
def maker() -> str:
    """A digest of what makes pages: this package's files, and the versions of its libraries."""
    whole = hashlib.sha256(platform.python_version().encode())
    for name in _LIBRARIES:
        with contextlib.suppress(PackageNotFoundError):
            whole.update(f"{name} {version(name)}\n".encode())
    root = Path(__file__).parent.parent
    for path in sorted(root.rglob("*")):
        if path.suffix in _SOURCES:
            whole.update(f"{path.relative_to(root)}\n".encode())
            whole.update(hashlib.sha256(path.read_bytes()).digest())
    return whole.hexdigest()


class Known:
    """The file of what is known; works without one too."""

    def __init__(self, path: Path | None, day: int) -> None:
        """``path`` None keeps nothing; ``day`` is today's ordinal, for what is kept how long."""
        self._day = day
        self._db = _opened(path)
        self._texts: dict[Path, str] = {}

    def key(self, design: Path, beside: Beside = AS_BUILT) -> str:
        """A digest of everything that the design's page is made from; empty when not all is read.

        Args: design, and what lies beside its page for it to show.
        """
        made_by = f"{maker()} {design.stem} {beside}\n"
        whole = hashlib.sha256(made_by.encode("utf-8", "replace"))
        near = [design.with_name(f"{design.stem}{ending}") for ending in ENDINGS]
        for path in [*self.chain(design), *near, design.with_name(WORKSHOP_FILE)]:
            whole.update(f"{path.name}\n{self._digest(path)}\n".encode("utf-8", "replace"))
        return whole.hexdigest()

    def chain(self, design: Path) -> list[Path]:
        """The design, what it is based on, what that is based on, and so on."""
        chain = [design]
        while len(chain) <= MAX_BASES + 1:
            base = self._base(chain[-1])
            if not base or Path(base).name != base:
                break
            path = design.with_name(base)
            if path in chain:
                break
            chain.append(path)
        return chain

    def _base(self, path: Path) -> str:
        digest = self._digest(path)
        if not digest:
            return ""
        found = self._row("select base from bases where digest = ?", digest)
        if found is not None:
            return str(found[0])
        try:
            node = read(path)[0].child("based_on")
        except BadInput:
            return ""
        base = node.value.strip() if node is not None and isinstance(node.value, str) else ""
        self._do("insert or replace into bases values (?, ?)", digest, base)
        return base

    def _digest(self, path: Path) -> str:
        if path not in self._texts:
            try:
                with path.open("rb") as file:
                    # a larger design is refused, and a larger record is told apart by its size
                    content = file.read(64 * MAX_BYTES)
                self._texts[path] = hashlib.sha256(content).hexdigest()
            except OSError:
                self._texts[path] = ""
        return self._texts[path]

    def entry(self, key: str) -> Entry | None:
        """The entry made from exactly that."""
        found = self._row("select tree, digest, day from entries where key = ?", key)
        if found is None or _digest_of(str(found[0]).encode()) != found[1]:
            return None
        try:
            entry = Entry.of_tree(json.loads(found[0]))
        except (ValueError, TypeError, KeyError):
            return None
        if found[2] != self._day:
            self._do("update entries set day = ? where key = ?", self._day, key)
        return entry

    def content(self, digest: str) -> bytes | None:
        """The content with that SHA-256."""
        found = self._row("select content, day from contents where digest = ?", digest)
        if found is None:
            return None
        try:
            content = zlib.decompress(found[0])
        except (zlib.error, TypeError):
            return None
        if found[1] != self._day:
            self._do("update contents set day = ? where digest = ?", self._day, digest)
        return content if _digest_of(content) == digest else None

    def keep(self, key: str, made: Made) -> None:
        """Remember an entry and its files."""
        if made.entry is None or self._db is None:
            return
        tree = json.dumps(made.entry.as_tree(), ensure_ascii=True)
        for content in made.files.values():
            self.keep_content(content)
        digest = _digest_of(tree.encode())
        self._do("insert or replace into entries values (?, ?, ?, ?)", key, tree, digest, self._day)

    def keep_content(self, content: bytes) -> None:
        """Remember a content by its digest."""
        if self._db is not None:
            packed = zlib.compress(content, 1)
            digest = _digest_of(content)
            self._do("insert or replace into contents values (?, ?, ?)", digest, packed, self._day)

    def picture(self, digest: str) -> tuple[str, str] | None:
        """The piece's stamp inside a picture, and the SHA-256 of the small one made from it."""
        found = self._row("select stamp, small from pictures where digest = ?", digest)
        return None if found is None else (str(found[0]), str(found[1]))

    def keep_picture(self, digest: str, stamp: str, small: str) -> None:
        """Remember these of the picture with that SHA-256."""
        self._do("insert or replace into pictures values (?, ?, ?)", digest, stamp, small)

    def file_digest(self, path: Path) -> str:
        """SHA-256 of a file, empty when there is none; taken as known while its state is the same.

        The state is size, place on the disk, and the times of the last change of content and
        of the file's record, in nanoseconds.
        """
        try:
            now = path.stat()
        except OSError:
            return ""
        seen = f"{now.st_size} {now.st_ino} {now.st_mtime_ns} {now.st_ctime_ns}"
        where = str(path.absolute())
        found = self._row("select seen, digest from files where path = ?", where)
        if found is not None and found[0] == seen:
            return str(found[1])
        try:
            digest = _digest_of(path.read_bytes())
        except OSError:
            return ""
        self._do("insert or replace into files values (?, ?, ?)", where, seen, digest)
        return digest

    def close(self) -> None:
        """Write what was learnt; forget what nobody has asked for in a long time."""
        if self._db is None:
            return
        old = self._day - _KEPT_DAYS
        for table in ("entries", "contents"):
            self._do(f"delete from {table} where day < ?", old)
        with contextlib.suppress(sqlite3.Error):
            self._db.commit()
        with contextlib.suppress(sqlite3.Error):
            self._db.close()
        self._db = None

    def _row(self, query: str, *values: object) -> tuple[Any, ...] | None:
        if self._db is None:
            return None
        try:
            found: tuple[Any, ...] | None = self._db.execute(query, values).fetchone()
        except sqlite3.Error:
            return None
        return found

    def _do(self, query: str, *values: object) -> None:
        if self._db is not None:
            with contextlib.suppress(sqlite3.Error):
                self._db.execute(query, values)


def _digest_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _opened(path: Path | None) -> sqlite3.Connection | None:
    if path is None:
        return None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        db = sqlite3.connect(path, timeout=2)
        db.executescript(_TABLES)
    except (OSError, sqlite3.Error):
        return None
    return db


def chains(known: Known, designs: Iterable[Path]) -> dict[str, list[str]]:
    """By each design's name the names of what it is based on, nearest first."""
    return {one.stem: [base.stem for base in known.chain(one)[1:]] for one in designs}
