"""Writing files: never half of one under its final name, nothing of the turner's lost."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import BinaryIO

from studio.errors import BadInput, WorkFailed

WRITER = ".written-by-studio"
"""A file in a folder that a command is writing into, locked by it; it says which command."""

_FAR, _NAME_BYTES = 1 << 30, 100


def ready_folder(folder: Path) -> None:
    """Make ``folder`` and see that files can be written there.

    Raises:
        BadInput: it cannot be made, is a file, or cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise BadInput.of(
            f"the folder {folder} cannot be written ({error.strerror or error})",
            "choose another folder with --out, or make this one writable",
        ) from error


class Lock(Enum):
    """Whose an open file is."""

    OURS = "ours"
    ANOTHERS = "another's"
    UNKNOWN = "nobody can tell"


def lock(file: BinaryIO) -> Lock:
    """Lock an open file for this process, without waiting.

    The system lets go of the lock when the file is closed or the process ends, however it ends.
    """
    try:
        try:
            import fcntl
        except ImportError:
            import msvcrt

            # byte-range locks there, and what is locked cannot be read: far behind what is written
            file.seek(_FAR)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        else:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except ImportError:
        return Lock.UNKNOWN
    except OSError as error:
        # a file system without locks says something else
        held = error.errno in (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK)
        return Lock.ANOTHERS if held else Lock.UNKNOWN
    return Lock.OURS


@contextlib.contextmanager
def only_writer(folder: Path, doing: str) -> Iterator[None]:
    """Write into a folder as the only command that does, until the end of the block.

    A file in the folder is locked meanwhile and taken away afterwards; where one is left by a
    command that was killed, nobody holds its lock and it counts for nothing. A folder that was made
    here and has nothing in it at the end is taken away again.

    Args:
        folder: made when it is missing.
        doing: the command, for whoever is refused meanwhile (``studio burn``).

    Raises:
        BadInput: another command writes there now, or the folder cannot be written.
    """
    made = [one for one in (folder, *folder.parents) if not one.exists()]
    ready_folder(folder)
    try:
        again = "wait until it has finished, or choose another folder with --out"
        with _owning(folder / WRITER, doing, f"is writing into {folder}", again):
            yield
    finally:
        with contextlib.suppress(OSError):
            for one in made:
                one.rmdir()


@contextlib.contextmanager
def only_writer_of(file: Path, doing: str) -> Iterator[None]:
    """Work on one file as the only command that does, until the end of the block.

    For a file that commands in several folders share. A hidden file beside it is locked meanwhile,
    as :func:`only_writer` does. Where none can be made there, nobody can write the file either, and
    nothing is kept from anybody.

    Args:
        file: need not be there.
        doing: the command.

    Raises:
        BadInput: another command works on it now.
    """
    path = file.with_name(f".{file.name}{WRITER}")
    try:
        path.open("ab").close()
    except OSError:
        yield
        return
    with _owning(path, doing, f"is at work on {file}", "wait until it has finished"):
        yield


@contextlib.contextmanager
def _owning(path: Path, doing: str, does: str, write: str) -> Iterator[None]:
    while True:
        try:
            file = path.open("a+b", buffering=0)
        except OSError as error:
            raise BadInput.of(
                f"{path} cannot be written ({error.strerror or error})",
                "make it writable, or take it away",
            ) from error
        with file:
            whose = lock(file)
            if whose is Lock.ANOTHERS:
                file.seek(0)
                other = file.read(_NAME_BYTES).decode("utf-8", "replace").strip()
                raise BadInput.of(f"{other or 'another command'} {does}", write)
            if not _is_at(file, path):
                # whoever had it took it away while it was opened here
                continue
            with contextlib.suppress(OSError):
                # who writes is told to others as a courtesy; a full disk is told by what is written
                file.truncate(0)
                file.write(doing.encode("utf-8"))
            try:
                yield
            finally:
                with contextlib.suppress(OSError):
                    # Windows takes no open file away; it is left there, and counts for nothing
                    path.unlink()
            return


def _is_at(file: BinaryIO, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(file.fileno()), path.stat())
    except FileNotFoundError:
        return False


def write_whole(path: Path, content: bytes) -> None:
    """Write ``content`` under a temporary name beside ``path``, then rename.

    Raises:
        WorkFailed: the disk is full or the folder went away; what was there before is kept.
    """
    temporary = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        # mkstemp makes files private; what we hand over should read like any other file
        Path(temporary).chmod(0o644)
        Path(temporary).replace(path)
        temporary = None
    except OSError as error:
        raise WorkFailed(f"{path} could not be written ({error.strerror or error})") from error
    finally:
        if temporary is not None:
            with contextlib.suppress(OSError):
                Path(temporary).unlink()


LEDGER = ".made-by-studio.json"
"""Digests of what was last written into an out folder, by file name."""


def write_outputs(
    folder: Path, files: Mapping[str, bytes], among: str = ""
) -> tuple[list[Path], tuple[str, ...]]:
    """Write a whole set of outputs, and take away those of the last set that it no longer has.

    A file that is not as we last wrote it is somebody's work: it is kept beside the new one under
    ``NAME.kept-1`` (or the next free number), and a note says so.

    Args:
        folder: made when it is missing.
        files: content by name; a name may hold one folder (``overlays/01-rough.png``).
        among: the set is of files whose names begin so; all others are left as they are.

    Returns:
        The files written, in order, and notes on what was kept.

    Raises:
        BadInput: the folder cannot be written.
        WorkFailed: the disk is full; every file is whole, old or new.
    """
    for place in {folder, *((folder / name).parent for name in files)}:
        ready_folder(place)
    before = _ledger(folder)
    notes: list[str] = []
    ledger = dict(before)
    for name, content in files.items():
        path = folder / name
        if path.is_dir():
            raise BadInput.of(f"{path} is a folder", "move it, or choose another --out")
        digest = hashlib.sha256(content).hexdigest()
        if _digest(path) not in (None, digest, before.get(name)):
            notes.append(keep_aside(path))
        write_whole(path, content)
        ledger[name] = digest
    for name in [one for one in before.keys() - files.keys() if one.startswith(among)]:
        path = folder / name
        if _digest(path) == before[name]:
            with contextlib.suppress(OSError):
                path.unlink()
        elif path.exists():
            notes.append(keep_aside(path))
        del ledger[name]
    write_whole(folder / LEDGER, json.dumps(ledger, indent=1, sort_keys=True).encode("utf-8"))
    return [folder / name for name in files], tuple(notes)


@dataclass(frozen=True, slots=True)
class Renewed:
    """What was done to a folder.

    Attributes:
        written: new or changed files, by their names.
        removed: files of the last set that this one has no longer, and that were as we wrote them.
        changed: such files that were not as we wrote them, and are left where they are.
        notes: on what was kept aside.
    """

    written: tuple[str, ...]
    removed: tuple[str, ...]
    changed: tuple[str, ...]
    notes: tuple[str, ...]


def renew_outputs(
    folder: Path,
    wanted: Mapping[str, str],
    content: Callable[[str], bytes],
    digest_of: Callable[[Path], str] | None = None,
) -> Renewed:
    """Bring a folder of many files up to date: what is there already is not written again.

    A changed file is kept aside as in ``write_outputs``. A file that the set no longer has is
    removed when it is as we last wrote it, else left.

    Args:
        folder: made when it is missing.
        wanted: SHA-256 by name; a name may hold one folder.
        content: gives the content of a name; asked for only what is written.
        digest_of: gives the SHA-256 of a file, empty when there is none; reads it when None.

    Raises:
        BadInput: the folder cannot be written, or a folder stands where a file belongs.
        WorkFailed: the disk is full; every file is whole, old or new.
    """
    lies = digest_of or (lambda path: _digest(path) or "")
    ready_folder(folder)
    before = _ledger(folder)
    now = {name: lies(folder / name) for name in wanted}
    due = [name for name, digest in wanted.items() if now[name] != digest]
    for name in due:
        if (folder / name).is_dir():
            raise BadInput.of(f"{folder / name} is a folder", "move it, or choose another folder")
    for place in {(folder / name).parent for name in due}:
        ready_folder(place)
    notes: list[str] = []
    for name in due:
        if now[name] not in ("", before.get(name)):
            notes.append(keep_aside(folder / name))
        write_whole(folder / name, content(name))
    removed: list[str] = []
    changed: list[str] = []
    for name in sorted(before.keys() - wanted.keys()):
        path = folder / name
        found = lies(path)
        if found == before[name]:
            with contextlib.suppress(OSError):
                path.unlink()
                removed.append(name)
        elif found:
            changed.append(name)
        if path.parent != folder:
            with contextlib.suppress(OSError):
                path.parent.rmdir()
    if before != wanted:
        ledger = json.dumps(dict(wanted), indent=1, sort_keys=True)
        write_whole(folder / LEDGER, ledger.encode("utf-8"))
    return Renewed(tuple(due), tuple(removed), tuple(changed), tuple(notes))


def as_last_written(folder: Path, name: str) -> bytes | None:
    """The content of a file that is still as we wrote it; None when it is not, or is not there."""
    try:
        content = (folder / name).read_bytes()
    except OSError:
        return None
    return content if _ledger(folder).get(name) == hashlib.sha256(content).hexdigest() else None


def last_written(folder: Path) -> Mapping[str, str]:
    """SHA-256 of each file of the last set written into a folder, as it was written, by name."""
    return _ledger(folder)


def _ledger(folder: Path) -> dict[str, str]:
    try:
        found = json.loads((folder / LEDGER).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    if not isinstance(found, dict):
        return {}
    inside = {name: digest for name, digest in found.items() if _is_inside(name)}
    return {name: str(digest) for name, digest in inside.items()}


def _is_inside(name: str) -> bool:
    """A name that we could have written: a ledger from elsewhere must not make us remove files."""
    path = Path(name)
    return not path.is_absolute() and ".." not in path.parts and len(path.parts) <= 2


def _digest(path: Path) -> str | None:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return None


def keep_aside(path: Path) -> str:
    """Move a file that is not ours out of the way; returns a note that says where it is now.

    Raises:
        WorkFailed: it cannot be moved.
    """
    number = 1
    while (kept := path.with_name(f"{path.name}.kept-{number}")).exists():
        number += 1
    try:
        path.replace(kept)
    except OSError as error:
        raise WorkFailed(f"{path} could not be kept aside ({error.strerror or error})") from error
    return f"{path.name} was not as studio last wrote it; it is kept as {kept.name}"


def cache_folder() -> Path:
    """The user's cache folder for this program (XDG Base Directory Specification)."""
    home = os.environ.get("XDG_CACHE_HOME", "")
    folder = Path(home) if Path(home).is_absolute() else Path.home() / ".cache"
    return folder / "studio"
