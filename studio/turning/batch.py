"""A batch: blanks to cut for so many pieces, boards, coils of wire and hours that they take."""

from __future__ import annotations

import math
from collections.abc import Sequence

from studio.turning.ranges import not_negative, positive, whole

FEWEST, MOST = 1, 10_000
"""Pieces in a batch (ours): no turner makes more by hand."""

_SLACK = 1e-9
"""What binary floating point adds to a share of a whole number (ours)."""


def spares_to_cut(pieces: int, share: float) -> int:
    """Blanks cut beside those of a batch, for pieces that fail: ⌈pieces × share⌉.

    Args: pieces wanted, 1 to 10,000; share of pieces that fail, 0 to 1. Source: elementary
    arithmetic; the share is the turner's own (common practice, no source).

    Raises:
        ValueError: a value is out of range.

    >>> spares_to_cut(24, 0.1), spares_to_cut(20, 0.1), spares_to_cut(24, 0)
    (3, 2, 0)
    """
    whole(pieces, "the count of pieces", FEWEST, MOST)
    if not_negative(share, "the share of spares", "") > 1:
        raise ValueError(f"the share of spares must be 1 at most, not {share:g}")
    return math.ceil(pieces * share - _SLACK)


def boards_for(blanks: int, blanks_of_a_board: int) -> int:
    """Boards that so many equal blanks need: ⌈blanks / blanks of one board⌉.

    Args: both counts, 1 or more. Source: elementary arithmetic.

    Raises:
        ValueError: a value is out of range.

    >>> boards_for(27, 10)
    3
    """
    whole(blanks, "the count of blanks", 1)
    return -(-blanks // whole(blanks_of_a_board, "the blanks of one board", 1))


def board_waste(blanks: int, blank_mm3: float, boards: int, board_mm3: float) -> float:
    """The share of boards that does not become blanks: saw cuts, ends, edges and blanks not cut.

    1 − blanks × blank / (boards × board). Args: counts, 1 or more; volumes, mm³, more than 0; all
    blanks come out of the boards. Returns 0 to 1. Source: elementary arithmetic.

    Raises:
        ValueError: a value is out of range, or the blanks are more wood than the boards.

    >>> board_waste(10, 50, 1, 1000)
    0.5
    """
    positive(blank_mm3, "a blank's volume", "mm³")
    positive(board_mm3, "a board's volume", "mm³")
    used = whole(blanks, "the count of blanks", 1) * blank_mm3
    whole_mm3 = whole(boards, "the count of boards", 1) * board_mm3
    if used > whole_mm3 * (1 + _SLACK):
        raise ValueError("the blanks are more wood than the boards")
    return max(0.0, 1 - used / whole_mm3)


def coils_for(wires: Sequence[tuple[int, float]], coil_mm: float) -> int:
    """Coils from which whole wires are cut, the longest first and shorter ones from what is left.

    Args: how many wires of each length, and that length, mm, more than 0; length of a coil, mm.
    Source: elementary arithmetic; that can be cut, another order may need one coil less.

    Raises:
        ValueError: a value is out of range, or a wire is longer than a coil.

    >>> coils_for([(27, 140.0), (27, 60.0)], 1000.0)
    6
    """
    left = sorted(
        ((whole(count, "the count of wires", 0), positive(mm, "a wire's length"))
         for count, mm in wires), key=lambda one: -one[1],
    )  # fmt: skip
    if any(count and mm > positive(coil_mm, "the coil's length") + _SLACK for count, mm in left):
        raise ValueError(f"a wire of {left[0][1]:g} mm is longer than a coil of {coil_mm:g} mm")
    counts = [count for count, _ in left]
    coils = 0
    while any(counts):
        rest = coil_mm
        for place, (_, mm) in enumerate(left):
            cut = min(counts[place], math.floor(rest / mm + _SLACK))
            counts[place] -= cut
            rest -= cut * mm
        coils += 1
    return coils


def work_time_min(pieces: int, each_min: float, set_up_min: float) -> float:
    """Time that one operation takes for all pieces: set up once, then each piece; minutes.

    Args: pieces, 1 or more; minutes for each and to set up, 0 or more, the turner's own. Source:
    elementary arithmetic; breaks and what goes wrong are not counted.

    Raises:
        ValueError: a value is out of range.

    >>> work_time_min(27, 5, 20)
    155
    """
    not_negative(each_min, "the time for each piece", "minutes")
    return whole(pieces, "the count of pieces", 1) * each_min + not_negative(
        set_up_min, "the time to set up", "minutes"
    )
