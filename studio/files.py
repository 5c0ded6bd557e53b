"""Writing files: never half of one under its final name, nothing of the turner's lost."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from studio.errors import BadInput, WorkFailed


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
        notes: on what was kept aside, and on what was left where it is.
    """

    written: tuple[str, ...]
    removed: tuple[str, ...]
    notes: tuple[str, ...]


def renew_outputs(
    folder: Path,
    wanted: Mapping[str, str],
    content: Callable[[str], bytes],
    digest_of: Callable[[Path], str] | None = None,
) -> Renewed:
    """Bring a folder of many files up to date: what is there already is not written again.

    A changed file is kept aside as in ``write_outputs``. A file that the set no longer has is
    removed when it is as we last wrote it, else left and told.

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
    for name in sorted(before.keys() - wanted.keys()):
        path = folder / name
        found = lies(path)
        if found == before[name]:
            with contextlib.suppress(OSError):
                path.unlink()
                removed.append(name)
        elif found:
            notes.append(f"{name} belongs to nothing any more, but was changed by hand; it is left")
        if path.parent != folder:
            with contextlib.suppress(OSError):
                path.parent.rmdir()
    if before != wanted:
        ledger = json.dumps(dict(wanted), indent=1, sort_keys=True)
        write_whole(folder / LEDGER, ledger.encode("utf-8"))
    return Renewed(tuple(due), tuple(removed), tuple(notes))


def as_last_written(folder: Path, name: str) -> bytes | None:
    """The content of a file that is still as we wrote it; None when it is not, or is not there."""
    try:
        content = (folder / name).read_bytes()
    except OSError:
        return None
    return content if _ledger(folder).get(name) == hashlib.sha256(content).hexdigest() else None


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
