"""Work done a few steps ahead, in a thread of its own."""

from __future__ import annotations

import queue
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TypeVar

T = TypeVar("T")

_LOOK_UP_S = 0.1
"""How often a worker that waits for room looks whether it is still wanted (ours)."""


@contextmanager
def ahead(items: Iterator[T], most: int) -> Iterator[Iterator[T]]:
    """``items``, made in a thread of their own, at most so many before they are asked for.

    What the making raises is raised where the item would have come. The thread ends with the
    block, whether or not all items were taken.

    Args:
        items: used by nobody else from now on.
        most: 1 or more.

    >>> with ahead(iter(range(3)), 2) as numbers:
    ...     list(numbers)
    [0, 1, 2]
    """
    made: queue.Queue[tuple[T] | BaseException | None] = queue.Queue(most)
    unwanted = threading.Event()

    def put(one: tuple[T] | BaseException | None) -> None:
        while not unwanted.is_set():
            try:
                made.put(one, timeout=_LOOK_UP_S)
            except queue.Full:
                continue
            return

    def work() -> None:
        try:
            for item in items:
                put((item,))
                if unwanted.is_set():
                    return
        except BaseException as error:  # noqa: BLE001 - raised again where it belongs
            put(error)
        else:
            put(None)

    def take() -> Iterator[T]:
        while (one := made.get()) is not None:
            if isinstance(one, BaseException):
                raise one
            yield one[0]

    worker = threading.Thread(target=work, daemon=True)
    worker.start()
    try:
        yield take()
    finally:
        unwanted.set()
        worker.join()
