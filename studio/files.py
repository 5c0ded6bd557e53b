"""Writing a file so that its final name never holds half of it."""

from __future__ import annotations

import contextlib
import os
import tempfile
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
