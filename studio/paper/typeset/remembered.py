"""What the press made of what, kept in the user's cache folder, so that a check need not press.

Kept is a digest alone: of a PDF, by the stamp of all that it was made from. A PDF on disk with that
digest is what the press would make once more. The folder lies apart from what is checked; without
it, or with a spoilt one, the press runs.
"""

from __future__ import annotations

import contextlib
import hashlib
import re

from studio.errors import StudioError
from studio.files import cache_folder, ready_folder, write_whole

MOST = 500
"""So many are kept, the newest (ours: a hundred designs and more)."""

_DIGEST = re.compile(r"[0-9a-f]{64}")


def remember(stamp: str, pdf: bytes) -> None:
    """Keep the digest of what was pressed; a folder that cannot be written keeps nothing."""
    folder = cache_folder() / "pressed"
    with contextlib.suppress(OSError, StudioError):
        ready_folder(folder)
        write_whole(folder / stamp, hashlib.sha256(pdf).hexdigest().encode("ascii"))
        kept = sorted(folder.iterdir(), key=lambda path: path.stat().st_mtime)
        for path in kept[: max(0, len(kept) - MOST)]:
            path.unlink()


def is_pressed(stamp: str, pdf: bytes) -> bool:
    """Whether the press is known to have made exactly this from what the stamp is of."""
    try:
        kept = (cache_folder() / "pressed" / stamp).read_text("ascii")
    except (OSError, UnicodeDecodeError):
        return False
    return bool(_DIGEST.fullmatch(kept)) and hashlib.sha256(pdf).hexdigest() == kept
