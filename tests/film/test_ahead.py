"""Work ahead: in order, no more than asked for, its faults told, its thread gone afterwards."""

from __future__ import annotations

import itertools
import threading
import time
from collections.abc import Iterator

import pytest

from studio.film.ahead import ahead


def test_items_come_in_order_and_end() -> None:
    with ahead(iter(range(100)), 3) as items:
        assert list(items) == list(range(100))


def test_no_more_is_made_ahead_than_asked_for() -> None:
    made: list[int] = []

    def making() -> Iterator[int]:
        for number in itertools.count():
            made.append(number)
            yield number

    with ahead(making(), 2) as items:
        assert next(items) == 0
        time.sleep(0.3)
        # two wait in the queue and one in the maker's hand
        assert made == [0, 1, 2, 3]


def test_a_fault_comes_where_the_item_would_have() -> None:
    def making() -> Iterator[int]:
        yield 1
        raise ValueError("the second is bad")

    with ahead(making(), 5) as items:
        assert next(items) == 1
        with pytest.raises(ValueError, match="the second is bad"):
            next(items)


@pytest.mark.parametrize("taken", [0, 1])
def test_the_thread_ends_with_the_block(taken: int) -> None:
    before = threading.active_count()
    with ahead(itertools.count(), 1) as items:
        for _ in range(taken):
            next(items)
        assert threading.active_count() == before + 1
    assert threading.active_count() == before


def test_a_fault_in_the_block_ends_the_thread_too() -> None:
    before = threading.active_count()
    with pytest.raises(KeyboardInterrupt), ahead(itertools.count(), 1):
        raise KeyboardInterrupt
    assert threading.active_count() == before
