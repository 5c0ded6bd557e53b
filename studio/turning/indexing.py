"""Equal marks round a piece: by an indexing plate, by dividers or by a paper strip."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from studio.turning.ranges import positive, whole

COMMON_PLATES = (12, 14, 24, 36, 48, 60, 72, 96, 192)
"""Stops of index plates and rings in common use (counts). Common practice; 12, 24 and 36 built
into headstocks and rings of 14, 36, 48 and 60 were read in secondary stored texts, 72 and above
are from memory."""

FEWEST_MARKS = 2
"""One mark divides nothing."""


@dataclass(frozen=True, slots=True)
class NearestStop:
    """The stop that comes closest to one mark.

    Attributes:
        mark: which mark, counted from 0.
        stop: which stop, counted from 0 at the first mark.
        error_deg: angle of the stop less angle of the mark, degrees; 0 when the plate serves.
    """

    mark: int
    stop: int
    error_deg: float


@dataclass(frozen=True, slots=True)
class ClosestPlate:
    """The plate that comes closest to a count of marks.

    Attributes:
        plate_stops: its count of stops.
        worst_error_deg: how far the worst of its nearest stops is off, degrees.
    """

    plate_stops: int
    worst_error_deg: float


def mark_angle_deg(marks: int) -> float:
    """Angle between neighbouring marks: a whole turn over their count, degrees.

    Args: marks, 2 or more. Source: elementary geometry.

    Raises:
        ValueError: fewer than 2 marks.

    >>> mark_angle_deg(12)
    30.0
    """
    return 360 / whole(marks, "the count of marks", FEWEST_MARKS)


def stops_per_mark(plate_stops: int, marks: int) -> int | None:
    """Stops to move from mark to mark; None when the plate does not divide evenly.

    Args: stops of the plate and marks, both 2 or more. Source: elementary arithmetic.

    Raises:
        ValueError: fewer than 2 stops or marks.

    >>> stops_per_mark(60, 5), stops_per_mark(24, 5)
    (12, None)
    """
    whole(plate_stops, "the plate's count of stops", FEWEST_MARKS)
    whole(marks, "the count of marks", FEWEST_MARKS)
    stops, over = divmod(plate_stops, marks)
    return None if over else stops


def plates_that_serve(marks: int, plates: Iterable[int] = COMMON_PLATES) -> tuple[int, ...]:
    """Those of ``plates`` that divide evenly into ``marks``, in the order given; maybe none.

    Args: marks, 2 or more; counts of stops. Source: elementary arithmetic; the plates from
    :data:`COMMON_PLATES` unless the workshop's own are given.

    Raises:
        ValueError: fewer than 2 marks, or a plate of fewer than 2 stops.

    >>> plates_that_serve(9)
    (36, 72)
    """
    return tuple(plate for plate in plates if stops_per_mark(plate, marks) is not None)


def nearest_stops(plate_stops: int, marks: int) -> tuple[NearestStop, ...]:
    """The stop nearest to every mark, with what it is off by; the later stop at a tie.

    Args: stops and marks, 2 or more, no more marks than stops. Source: elementary arithmetic.

    Raises:
        ValueError: fewer than 2 stops or marks, or more marks than the plate has stops.

    >>> [(near.stop, near.error_deg) for near in nearest_stops(24, 5)]
    [(0, 0.0), (5, 3.0), (10, 6.0), (14, -6.0), (19, -3.0)]
    """
    whole(plate_stops, "the plate's count of stops", FEWEST_MARKS)
    whole(marks, "the count of marks", FEWEST_MARKS, plate_stops)
    nearest = []
    for mark in range(marks):
        # whole numbers throughout: a float could tip a tie either way
        stop = (2 * mark * plate_stops + marks) // (2 * marks)
        nearest.append(
            NearestStop(mark, stop, 360 * (stop * marks - mark * plate_stops) / plate_stops / marks)
        )
    return tuple(nearest)


def worst_stop_error_deg(plate_stops: int, marks: int) -> float:
    """How far the worst of the nearest stops is off, degrees; 0 when the plate serves.

    Args: stops and marks, 2 or more, no more marks than stops. Source: elementary arithmetic.

    Raises:
        ValueError: fewer than 2 stops or marks, or more marks than the plate has stops.

    >>> worst_stop_error_deg(24, 5), worst_stop_error_deg(60, 5)
    (6.0, 0.0)
    """
    return max(abs(near.error_deg) for near in nearest_stops(plate_stops, marks))


def closest_plate(marks: int, plates: Iterable[int] = COMMON_PLATES) -> ClosestPlate:
    """The plate whose nearest stops are least off; the one given first at a tie.

    Plates with fewer stops than marks are passed over. Args: marks, 2 or more; counts of stops.
    Source: elementary arithmetic.

    Raises:
        ValueError: fewer than 2 marks, a plate of fewer than 2 stops, or no plate with enough.

    >>> closest_plate(7, (24, 36, 60))
    ClosestPlate(plate_stops=60, worst_error_deg=2.571)
    """
    whole(marks, "the count of marks", FEWEST_MARKS)
    offered = list(plates)
    for plate in offered:
        whole(plate, "the plate's count of stops", FEWEST_MARKS)
    able = [
        ClosestPlate(plate, worst_stop_error_deg(plate, marks))
        for plate in offered
        if plate >= marks
    ]
    if not able:
        raise ValueError(f"no plate here has the {marks} stops that {marks} marks need at least")
    return min(able, key=lambda closest: closest.worst_error_deg)


def circumference_mm(diameter_mm: float) -> float:
    """Length round a circle: π times the diameter, mm.

    Args: diameter, mm, more than 0. Source: elementary geometry.

    Raises:
        ValueError: the diameter is not more than 0.

    >>> circumference_mm(60)
    188.496
    """
    return math.pi * positive(diameter_mm, "the diameter")


def strip_spacing_mm(diameter_mm: float, marks: int) -> float:
    """Spacing of marks on a strip of paper wrapped round: the circumference over their count.

    Args: diameter, mm, more than 0; marks, 2 or more. Returns mm. Source: elementary geometry.
    The strip's own thickness is not allowed for.

    Raises:
        ValueError: a value is out of range.

    >>> strip_spacing_mm(60, 12)
    15.708
    """
    return circumference_mm(diameter_mm) / whole(marks, "the count of marks", FEWEST_MARKS)


def strip_place_mm(diameter_mm: float, marks: int, mark: int) -> float:
    """Where one mark lies on a strip of paper wrapped round, from the strip's end, mm.

    Args: diameter, mm, more than 0; marks, 2 or more; which mark, counted from 0, at most as many.
    Source: elementary geometry. The strip's own thickness is not allowed for.

    Raises:
        ValueError: a value is out of range.

    >>> strip_place_mm(60, 12, 5)
    78.540
    """
    spacing = strip_spacing_mm(diameter_mm, marks)
    if not 0 <= mark <= marks:
        raise ValueError(f"mark {mark} is not one of {marks}, counted from 0")
    return spacing * mark


def strip_closing_mm(diameter_mm: float, marks: int, spacing_mm: float) -> float:
    """Where marks stepped off along a strip at a real spacing end up after ``marks`` of them.

    What all of them are longer than the circumference by, mm: positive past the first mark,
    negative short of it. Args: diameter, mm, more than 0; marks, 2 or more; spacing, mm, more than
    0. Source: arithmetic.

    Raises:
        ValueError: a value is out of range.

    >>> strip_closing_mm(60, 12, 15.7)
    -0.096
    """
    return marks * positive(spacing_mm, "the spacing") - marks * strip_spacing_mm(
        diameter_mm, marks
    )


def divider_setting_mm(diameter_mm: float, marks: int) -> float:
    """Setting of dividers that step off equal marks (chord): diameter times sin(180°/N).

    Args: diameter of the circle marked, mm, more than 0; marks, 2 or more. Returns mm. Source:
    elementary trigonometry.

    Raises:
        ValueError: a value is out of range.

    >>> divider_setting_mm(60, 12)
    15.529
    """
    positive(diameter_mm, "the diameter")
    return diameter_mm * math.sin(math.pi / whole(marks, "the count of marks", FEWEST_MARKS))


def closing_error_mm(diameter_mm: float, marks: int, setting_mm: float) -> float:
    """Where dividers at a real setting end up after stepping ``marks`` times round.

    Each step turns through 2·asin(setting/diameter); what all of them pass a whole turn by,
    times the radius. Measured along the circle, mm: positive past the first mark, negative
    short of it. Args: diameter, mm, more than 0; marks, 2 or more; setting, mm, from more than 0
    to the diameter. Source: elementary trigonometry.

    Raises:
        ValueError: a value is out of range.

    >>> closing_error_mm(60, 12, 15.5)
    -0.362
    """
    positive(diameter_mm, "the diameter")
    whole(marks, "the count of marks", FEWEST_MARKS)
    positive(setting_mm, "the divider setting")
    if setting_mm > diameter_mm:
        raise ValueError(
            f"dividers set to {setting_mm:g} mm cannot step round a circle of {diameter_mm:g} mm"
        )
    turned = marks * 2 * math.asin(setting_mm / diameter_mm)
    return (turned - 2 * math.pi) * diameter_mm / 2
