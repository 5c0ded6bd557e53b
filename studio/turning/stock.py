"""Stock: how long and how thick a blank must be, and how much wood that is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from studio.measure.units import INCHES_PER_FOOT, MM3_PER_CUBIC_INCH
from studio.turning.ranges import not_negative, positive, whole

CUBIC_INCHES_PER_BOARD_FOOT = INCHES_PER_FOOT * INCHES_PER_FOOT
"""A board one foot square and one inch thick (in³). The measure's own definition."""


@dataclass(frozen=True, slots=True)
class BlankLength:
    """A blank's length and what it is made of, mm.

    Attributes:
        finished_mm: the finished parts, end to end.
        headstock_mm: allowance held or scrapped at the headstock.
        tailstock_mm: allowance held or scrapped at the tailstock.
        partings: count of parting cuts.
        kerf_mm: width of one parting cut.
    """

    finished_mm: float
    headstock_mm: float
    tailstock_mm: float
    partings: int
    kerf_mm: float

    @property
    def partings_mm(self) -> float:
        """What the parting cuts turn to shavings."""
        return _parted_mm(self.partings, self.kerf_mm)

    @property
    def total_mm(self) -> float:
        """The blank's length."""
        return blank_total_mm(
            self.finished_mm, self.headstock_mm, self.tailstock_mm, self.partings, self.kerf_mm
        )


@dataclass(frozen=True, slots=True)
class BoardCut:
    """Equal blanks sawn from a board.

    Attributes:
        along, across, through: blanks one after another along the grain, side by side over the
            board's width, and through its thickness.
        left_length_mm, left_width_mm, left_thickness_mm: what is left of the board each way, the
            cut that takes it off not counted.
    """

    along: int
    across: int
    through: int
    left_length_mm: float
    left_width_mm: float
    left_thickness_mm: float

    @property
    def rows(self) -> int:
        """Rows of blanks, side by side and through the thickness."""
        return self.across * self.through

    @property
    def blanks(self) -> int:
        """All blanks."""
        return self.along * self.rows


def _parted_mm(partings: int, kerf_mm: float) -> float:
    """What parting cuts turn to shavings."""
    return partings * kerf_mm


def blank_total_mm(
    finished_mm: float, headstock_mm: float, tailstock_mm: float, partings: int, kerf_mm: float
) -> float:
    """Length of a blank: what is finished, both allowances and the parting cuts, mm.

    Args: as for :func:`blank_length`, the finished lengths added up. Source: elementary arithmetic.

    Raises:
        ValueError: the finished length is not more than 0.

    >>> blank_total_mm(60, 20, 10, 2, 3)
    96
    """
    positive(finished_mm, "the finished length")
    return finished_mm + headstock_mm + tailstock_mm + _parted_mm(partings, kerf_mm)


_SLACK_MM = 1e-6
"""A board that is as large as its blanks but for this, mm, gives the last one too (ours): wide
enough for sums of binary decimals, far narrower than any saw."""


def blank_length(
    finished_mm: Sequence[float],
    *,
    headstock_mm: float,
    tailstock_mm: float,
    partings: int,
    kerf_mm: float,
) -> BlankLength:
    """Length of a blank: finished lengths, allowances at both ends and the parting cuts.

    Args: lengths of the finished parts that come from this blank, mm, one or more, each more
    than 0; allowances (chuck tenon, waste at the centres), mm, 0 or more; count of parting
    cuts, 0 or more; kerf of the parting tool, mm, 0 or more. Source: elementary arithmetic;
    what to allow is the workshop's own (common practice, no source).

    Raises:
        ValueError: a value is out of range, or nothing is to be made.

    >>> blank_length([60], headstock_mm=20, tailstock_mm=10, partings=2, kerf_mm=3).total_mm
    96.0
    """
    if not finished_mm:
        raise ValueError("a blank needs at least one finished length")
    for length_mm in finished_mm:
        positive(length_mm, "a finished length")
    return BlankLength(
        math.fsum(finished_mm),
        not_negative(headstock_mm, "the allowance at the headstock"),
        not_negative(tailstock_mm, "the allowance at the tailstock"),
        whole(partings, "the count of parting cuts", 0),
        not_negative(kerf_mm, "the parting tool's kerf"),
    )


def square_section_mm(cylinder_diameter_mm: float, truing_mm: float) -> float:
    """Side of the square blank from which a cylinder is turned.

    The cylinder's diameter plus what truing takes off the diameter (a blank is never quite
    square nor quite centred). Args: diameter, mm, more than 0; truing allowance on the diameter,
    mm, 0 or more. Returns mm. Source: elementary geometry; the allowance is the workshop's own
    (common practice, no source).

    Raises:
        ValueError: a value is out of range.

    >>> square_section_mm(60, 4)
    64
    """
    positive(cylinder_diameter_mm, "the cylinder's diameter")
    return cylinder_diameter_mm + not_negative(truing_mm, "the truing allowance")


def largest_cylinder_mm(square_mm: float, truing_mm: float) -> float:
    """The thickest cylinder that a square blank gives once trued; mm.

    Args: side of the square, mm, more than 0; truing allowance on the diameter, mm, 0 or more
    and less than the side. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, or truing would leave nothing.

    >>> largest_cylinder_mm(64, 4)
    60
    """
    positive(square_mm, "the blank's side")
    not_negative(truing_mm, "the truing allowance")
    if truing_mm >= square_mm:
        raise ValueError(f"truing by {truing_mm:g} mm leaves nothing of a {square_mm:g} mm blank")
    return square_mm - truing_mm


def board_length_mm(blank_mm: float, blanks: int, kerf_mm: float) -> float:
    """Length of board from which equal blanks are sawn, with one cut between neighbours.

    Args: length of one blank, mm, more than 0; count of blanks, 1 or more; the saw's kerf, mm, 0
    or more. Returns mm. Source: elementary arithmetic; the board's own ends are not squared.

    Raises:
        ValueError: a value is out of range.

    >>> board_length_mm(100, 3, 2.5)
    305.0
    """
    positive(blank_mm, "the blank's length")
    whole(blanks, "the count of blanks", 1)
    return blanks * blank_mm + (blanks - 1) * not_negative(kerf_mm, "the saw's kerf")


def board_length_for_mm(blanks_mm: Sequence[float], kerf_mm: float, rows: int = 1) -> float:
    """Length of board from which blanks of one section and several lengths are sawn.

    One row: all of them and a cut between neighbours. Several rows side by side: the longest first,
    each into the row that is shortest so far; that can be sawn, another order may need a little
    less. Args: lengths of the blanks, mm, one or more, each more than 0; the saw's kerf, mm, 0 or
    more; rows that the board's width and thickness give, 1 or more. Returns mm, to be rounded up.
    Source: elementary arithmetic; the board's own ends are not squared.

    Raises:
        ValueError: a value is out of range, or there is no blank.

    >>> board_length_for_mm([100, 60, 45], 2.5), board_length_for_mm([100, 60, 45], 2.5, rows=2)
    (210.0, 107.5)
    """
    if not blanks_mm:
        raise ValueError("a board is sawn for at least one blank")
    for blank_mm in blanks_mm:
        positive(blank_mm, "a blank's length")
    not_negative(kerf_mm, "the saw's kerf")
    filled = [-kerf_mm] * whole(rows, "the count of rows", 1)
    for blank_mm in sorted(blanks_mm, reverse=True):
        shortest = min(range(len(filled)), key=filled.__getitem__)
        filled[shortest] += kerf_mm + blank_mm
    return max(filled)


def blanks_from_board(
    section_mm: float,
    length_mm: float,
    *,
    board_length_mm: float,
    board_width_mm: float,
    board_thickness_mm: float,
    kerf_mm: float,
) -> BoardCut:
    """How many equal blanks come out of a board, the grain along the board's length.

    Each way ⌊(board + kerf)/(blank + kerf)⌋: a cut between neighbours, none outside. A round blank
    is turned from a square one as wide as its diameter. Args: side of the square and length of a
    blank; the board's length along the grain, width and thickness, mm, more than 0; the saw's
    kerf, mm, 0 or more. Source: elementary arithmetic; the board is taken as true, its ends and
    edges sound.

    Raises:
        ValueError: a value is out of range, or not even one blank comes out of the board; the
            message names every way in which it is too small.

    >>> cut = blanks_from_board(65, 100, board_length_mm=600, board_width_mm=150,
    ...                         board_thickness_mm=70, kerf_mm=3)
    >>> cut.along, cut.across, cut.through, cut.blanks
    (5, 2, 1, 10)
    """
    kerf = not_negative(kerf_mm, "the saw's kerf")
    board = (board_length_mm, board_width_mm, board_thickness_mm)
    lacking = board_lacks(section_mm, length_mm, *board)
    blank = (length_mm, section_mm, section_mm)
    if lacking:
        raise ValueError(
            "no blank comes out of the board: "
            + "; ".join(
                f"it is {board[way]:g} mm {WAYS[way]} and the blank {blank[way]:g} mm"
                for way in lacking
            )
        )
    counts, left = [], []
    for board_mm, blank_mm in zip(board, blank, strict=True):
        count = math.floor((board_mm + kerf + _SLACK_MM) / (blank_mm + kerf))
        counts.append(count)
        left.append(max(0.0, board_mm - count * blank_mm - (count - 1) * kerf))
    return BoardCut(*counts, *left)


WAYS = ("long", "wide", "thick")
"""The ways in which a board has a size, as :func:`board_lacks` numbers them."""


def board_lacks(
    section_mm: float,
    length_mm: float,
    board_length_mm: float,
    board_width_mm: float,
    board_thickness_mm: float,
) -> tuple[int, ...]:
    """In which :data:`WAYS` a board is smaller than one blank, counted from 0; none where it fits.

    Args: side of the square and length of a blank; the board's length along the grain, width and
    thickness, mm, more than 0. Source: elementary arithmetic.

    Raises:
        ValueError: a value is out of range.

    >>> board_lacks(65, 100, 90, 60, 70)
    (0, 1)
    """
    side = positive(section_mm, "the blank's side")
    blank = (positive(length_mm, "the blank's length"), side, side)
    board = (board_length_mm, board_width_mm, board_thickness_mm)
    for way, size in zip(WAYS, board, strict=True):
        positive(size, f"how {way} the board is")
    return tuple(way for way in range(3) if board[way] + _SLACK_MM < blank[way])


def square_blank_volume_mm3(
    width_mm: float, length_mm: float, height_mm: float | None = None
) -> float:
    """Volume of a square or rectangular blank: section times length, mm³.

    Args: sides of the section and length, mm, more than 0; one side for a square. Source:
    elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> square_blank_volume_mm3(64, 100)
    409600
    """
    positive(width_mm, "the blank's width")
    if height_mm is None:
        height_mm = width_mm
    positive(height_mm, "the blank's height")
    return width_mm * height_mm * positive(length_mm, "the blank's length")


def round_blank_volume_mm3(diameter_mm: float, length_mm: float) -> float:
    """Volume of a round blank: π/4 times the diameter squared times the length, mm³.

    Args: diameter and length, mm, more than 0. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> round_blank_volume_mm3(60, 60) / 1000
    169.6
    """
    positive(diameter_mm, "the blank's diameter")
    return math.pi / 4 * diameter_mm**2 * positive(length_mm, "the blank's length")


def board_feet(volume_mm3: float) -> float:
    """Volume of wood in board feet of 144 cubic inches.

    Args: volume, mm³, more than 0. Source: the measure's own definition.

    Raises:
        ValueError: the volume is not more than 0.

    >>> board_feet(2_359_737)
    1.0
    """
    positive(volume_mm3, "the volume", "mm³")
    return volume_mm3 / (CUBIC_INCHES_PER_BOARD_FOOT * MM3_PER_CUBIC_INCH)
