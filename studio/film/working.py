"""Long work on a film: in a folder of its own, so that only what is whole gets its name."""

from __future__ import annotations

import contextlib
import shutil
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from studio.errors import WorkFailed
from studio.files import Lock, lock
from studio.film.joining import FULL, FULL_DISK, LARGE, TOO_LARGE

_OWNER = "owner"
"""A file in each working folder, locked by the process that works there. The system lets go of the
lock when that process ends, however it ends."""

_ABANDONED_S = 3600
"""A folder without that file was left by an earlier version, or where files cannot be locked; it
goes when nothing has been written there for so long."""


@contextlib.contextmanager
def working_folder(out: Path, prefix: str, what: str) -> Iterator[Path]:
    """A folder inside ``out`` that is gone afterwards, whatever happens.

    What work that was killed outright has left there is cleared away first: every folder that no
    living process owns.

    Args:
        out: where the finished files go, so that they need only be renamed.
        prefix: of the folder's name, beginning with a dot.
        what: what is made ("the rough cut"), for messages.

    Raises:
        WorkFailed: the system, the encoder or a film could not go on, in a line.
        KeyboardInterrupt: also where an encoder stumbled over the interruption.
    """
    from av.error import FFmpegError

    try:
        _clear_up(out, prefix)
        with tempfile.TemporaryDirectory(prefix=prefix, dir=out) as folder, _owned(Path(folder)):
            yield Path(folder)
    except (OSError, FFmpegError) as error:
        if _interrupted(error):
            raise KeyboardInterrupt from error
        raise WorkFailed(_told(error, what)) from error


@contextlib.contextmanager
def _owned(folder: Path) -> Iterator[None]:
    """Own a folder until the end of the block, or of the process."""
    # locked before it has its name: nobody sees it without an owner
    draft = folder / f"{_OWNER}.new"
    with draft.open("wb") as file:
        if lock(file) is Lock.OURS:
            # where no open file can be renamed the folder counts as one without an owner
            with contextlib.suppress(PermissionError):
                draft.rename(folder / _OWNER)
        yield


def _clear_up(out: Path, prefix: str) -> None:
    """Remove what was left by work that was killed."""
    for left in out.glob(f"{prefix}*"):
        with contextlib.suppress(OSError):
            if not left.is_dir() or left.is_symlink():
                continue
            try:
                with (left / _OWNER).open("r+b") as file:
                    # still ours while it goes, so that two who clear up do not meet
                    if lock(file) is Lock.OURS:
                        shutil.rmtree(left)
            except FileNotFoundError:
                touched = [left, *left.iterdir()]
                if max(one.stat().st_mtime for one in touched) < time.time() - _ABANDONED_S:
                    shutil.rmtree(left)


def _interrupted(error: BaseException | None) -> bool:
    """Whether an error came up while an interruption was being tidied up.

    Ctrl-C stops moviepy's encoder too, and closing the pipe to it then fails by itself.
    """
    while error is not None:
        if isinstance(error, KeyboardInterrupt):
            return True
        error = error.__context__
    return False


def _told(error: Exception, what: str) -> str:
    """The line of ffmpeg's that matters, or the system's own words."""
    text = str(error)
    if FULL in text:
        return FULL_DISK
    if LARGE in text:
        return TOO_LARGE
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    said = getattr(error, "strerror", None) or (lines[-1] if lines else "no reason was told")
    if said.startswith("MoviePy error"):
        said = "the encoder stopped without a word"
    return f"{what} could not be written: {said}"
