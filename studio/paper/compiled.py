"""Templates as they were compiled before, kept in the user's cache folder.

Kept is a template's code by its text and by all that its code may hold besides: the filters'
modules, and who compiled it. The folder lies apart from what is built and checked; without it, or
with a spoilt one, templates are compiled anew.
"""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Iterable
from functools import cached_property
from pathlib import Path

import jinja2
from jinja2.bccache import Bucket

from studio.errors import StudioError
from studio.files import cache_folder, ready_folder, write_whole

MOST = 200
"""So many are kept, the newest (ours: some states of all templates)."""


class Compiled(jinja2.BytecodeCache):
    """Code of templates; a folder that cannot be written keeps nothing.

    Args:
        modules: files whose functions templates call: what they make of a constant is in the code.
    """

    def __init__(self, modules: Iterable[Path]):
        self._modules = tuple(modules)

    @cached_property
    def _state(self) -> str:
        digest = hashlib.sha256(jinja2.__version__.encode("ascii"))
        for module in self._modules:
            digest.update(module.read_bytes())
        return digest.hexdigest()[:16]

    def _file(self, bucket: Bucket) -> Path:
        return cache_folder() / "templates" / f"{bucket.key}-{self._state}"

    def load_bytecode(self, bucket: Bucket) -> None:
        """Take over what was kept; the bucket itself sees whether it fits text and Python."""
        with contextlib.suppress(OSError):
            bucket.bytecode_from_string(self._file(bucket).read_bytes())

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what was compiled."""
        file = self._file(bucket)
        with contextlib.suppress(OSError, StudioError):
            ready_folder(file.parent)
            write_whole(file, bucket.bytecode_to_string())
            kept = sorted(file.parent.iterdir(), key=lambda path: path.stat().st_mtime)
            for path in kept[: max(0, len(kept) - MOST)]:
                path.unlink()
