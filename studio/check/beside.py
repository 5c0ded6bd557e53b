"""Runs one check beside the others, in a process of its own, on machines that have two cores.

Only a system that can fork does so, and only a program without threads: the copy begins with the
design already read. Elsewhere, or where the copy breaks off, the work is done here and in turn.
"""

from __future__ import annotations

import os
import pickle
import sys
import threading
from collections.abc import Callable
from typing import Generic, TypeVar

from studio.errors import BadInput, Fault

Result = TypeVar("Result")


def may_fork() -> bool:
    """Whether a copy of this program is whole: it has no threads, NumPy's own among them."""
    alone = threading.active_count() == 1 and "numpy" not in sys.modules
    return alone and hasattr(os, "fork") and (os.cpu_count() or 1) > 1


class Beside(Generic[Result]):
    """``work`` begun beside what the caller goes on with; :meth:`result` waits for it.

    Begin it before libraries with threads of their own are loaded: a fork copies none of those.

    >>> Beside(lambda: 6 * 7).result()
    42
    """

    def __init__(self, work: Callable[[], Result]):
        self._work = work
        self._pipe, self._child = -1, 0
        if not may_fork():
            return
        sys.stdout.flush()
        sys.stderr.flush()
        receive, send = os.pipe()
        self._child = os.fork()
        if self._child:
            os.close(send)
            self._pipe = receive
            return
        # in the copy: whatever happens, it never goes on with the caller's work
        code = 1
        try:
            os.close(receive)
            with os.fdopen(send, "wb") as out:
                pickle.dump(self._done(), out)
            code = 0
        finally:
            os._exit(code)

    def _done(self) -> tuple[Result | None, tuple[Fault, ...]]:
        try:
            return self._work(), ()
        except BadInput as bad:
            return None, bad.faults

    def result(self) -> Result:
        """What ``work`` returned.

        Raises:
            BadInput: as ``work`` raised it.
        """
        if not self._child:
            return self._work()
        with os.fdopen(self._pipe, "rb") as sent:
            told = sent.read()
        _, status = os.waitpid(self._child, 0)
        if status or not told:
            return self._work()
        # written by our own copy a moment ago, and read from nobody else
        found, faults = pickle.loads(told)
        if faults:
            raise BadInput(faults)
        result: Result = found
        return result
