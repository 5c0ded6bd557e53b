"""Tolerance: how far a sphere or a ring of marks may be off, and which measurement is to blame.

Every mark is placed and every calliper set within the turner's marking accuracy. Each such error
moves the surface by its own share. Worst case adds all shares up; root-sum-square adds their
squares, which is what independent errors come to as a rule.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from studio.language import later
from studio.turning.grooves import marks_with_axes
from studio.turning.indexing import FEWEST_MARKS, circumference_mm
from studio.turning.ranges import not_negative, positive, whole
from studio.turning.sphere import CYLINDER_SIDES, corner_mark_mm

MARKING_MM = 0.25
"""How close a mark or a calliper setting comes, mm either way (ours: half a pencil line)."""

RUN_OUT_MM = 0.05
"""Run-out of a spindle with its chuck, mm, as a dial indicator shows it (ours)."""

MOST_ROUNDS = 3
"""Rounds of corners marked out: to 8, 16 and 32 sides."""

FEWEST_STEPPED = 3
"""Dividers stepped across a whole diameter say nothing about their setting."""


class Measured(StrEnum):
    """A single measurement that can be off."""

    DIAMETER = later("diameter")
    END = later("length between the ends")
    SET_IN = later("set-in")
    SECOND_MARK = later("second mark")
    THIRD_MARK = later("third mark")
    RUN_OUT = later("run-out")
    MARK = later("placing the mark")
    STRIP_MARK = later("mark on the strip")
    DIVIDER_SETTING = later("divider setting")
    POINT = later("setting a centre's point on its mark")
    CUTTER = later("setting the cutter on its line")


class MarkingWay(StrEnum):
    """How equal marks are set out round a piece."""

    PLATE = later("index plate")
    STRIP = later("paper strip")
    DIVIDERS = later("dividers")


@dataclass(frozen=True, slots=True)
class Share:
    """What one measurement may do at one place, mm.

    Attributes:
        measured: the measurement.
        worst_mm: when all its errors lie the same way.
        rss_mm: root of the sum of the squares of its errors.
    """

    measured: Measured
    worst_mm: float
    rss_mm: float


@dataclass(frozen=True, slots=True)
class Place:
    """How far the surface, or a mark, may be off at one place.

    Attributes:
        angle_deg: for a sphere, degrees from its equator (0) to the pole (90); for marks, the
            place of the worst one in degrees from the first.
        shares: every measurement that counts here, the largest first.
    """

    angle_deg: float
    shares: tuple[Share, ...]

    @property
    def worst_mm(self) -> float:
        """All errors the same way."""
        return math.fsum(share.worst_mm for share in self.shares)

    @property
    def rss_mm(self) -> float:
        """Root of the sum of the squares of all errors."""
        return math.hypot(*(share.rss_mm for share in self.shares))

    @property
    def driver(self) -> Measured:
        """The single measurement with the largest share."""
        return self.shares[0].measured


@dataclass(frozen=True, slots=True)
class SphereTolerance:
    """How far a sphere's radius may be off, facet by facet.

    Attributes:
        places: the middle of every facet from the equator to the pole.
    """

    places: tuple[Place, ...]

    @property
    def worst_place(self) -> Place:
        """The facet that may be furthest off; the nearest to the equator at a tie."""
        # rounding of the sums must not decide between facets that mirror each other
        return max(self.places, key=lambda place: (round(place.worst_mm, 9), -place.angle_deg))

    @property
    def shares(self) -> tuple[Share, ...]:
        """What each measurement may do alone, at the facet where it does most, largest first."""
        most: dict[Measured, Share] = {}
        for share in (share for place in self.places for share in place.shares):
            if share.measured not in most or share.worst_mm > most[share.measured].worst_mm:
                most[share.measured] = share
        return _largest_first(most.values())


@dataclass(frozen=True, slots=True)
class GrooveTolerance:
    """How far great-circle grooves may be off.

    Attributes:
        pole: how far the middle of a groove may pass a pole, mm.
        land: how far the land that may be off most, of those on the equator, may be off, mm; its
            angle is the land's middle, degrees from where groove 0 crosses the equator.
    """

    pole: Place
    land: Place


_MARKS = (Measured.SET_IN, Measured.SECOND_MARK, Measured.THIRD_MARK)

# an error of one measurement: which measurement, and which of its marks
_Error = tuple[Measured, int]


@dataclass(frozen=True, slots=True)
class _Facet:
    """How far each single error moves a facet's middle outwards, mm, and turns it, radians.

    Turned counts as positive where it brings the facet's polar end outwards.
    """

    moved_mm: dict[_Error, float]
    turned: dict[_Error, float]


def _cut_corner(
    diameter_mm: float,
    sides: int,
    before: _Facet,
    after: _Facet,
    marks: tuple[_Error, _Error],
    marking_mm: float,
) -> _Facet:
    """The facet through two marks beside the corner of two facets that may be off."""
    angle = math.pi / sides
    half_side = diameter_mm / 2 * math.tan(angle)
    mark = corner_mark_mm(diameter_mm, sides)
    moved: dict[_Error, float] = {}
    turned: dict[_Error, float] = {}
    for error in before.moved_mm.keys() | after.moved_mm.keys():
        out = before.moved_mm.get(error, 0) + after.moved_mm.get(error, 0)
        turn_before, turn_after = before.turned.get(error, 0), after.turned.get(error, 0)
        corner = (out + half_side * (turn_before - turn_after)) / (2 * math.cos(angle))
        moved[error] = corner + mark * math.cos(angle) * (turn_after - turn_before) / 2
        turned[error] = (turn_before + turn_after) / 2
    # a longer mark takes its own side of the facet in
    for error, sense in zip(marks, (1, -1), strict=True):
        moved[error] = -marking_mm * math.sin(angle) / 2
        turned[error] = sense * marking_mm * math.tan(angle) / (2 * mark)
    return _Facet(moved, turned)


def _largest_first(shares: Iterable[Share]) -> tuple[Share, ...]:
    return tuple(sorted(shares, key=lambda share: -share.worst_mm))


def _place(angle_deg: float, errors_mm: Mapping[_Error, float]) -> Place:
    """A place from how far each single error may move it."""
    by_measured: dict[Measured, list[float]] = {}
    for (measured, _), moved_mm in errors_mm.items():
        by_measured.setdefault(measured, []).append(abs(moved_mm))
    shares = (
        Share(measured, math.fsum(moved), math.hypot(*moved))
        for measured, moved in by_measured.items()
        if any(moved)
    )
    return Place(angle_deg, _largest_first(shares))


def sphere_tolerance(
    diameter_mm: float,
    *,
    rounds: int = MOST_ROUNDS,
    marking_mm: float = MARKING_MM,
    run_out_mm: float = RUN_OUT_MM,
) -> SphereTolerance:
    """How far a sphere's radius may be off where each facet touches it, and through what.

    Diameter and length off by their accuracy move equator and pole by half of it. A new facet runs
    through two marks beside the corner of its neighbours: it moves by their mean over cos(180°/n),
    n the sides before the cut, less the mean error of its marks times sin(180°/n); marks that are
    off differently also turn it, and a turned neighbour moves the corner. Run-out counts
    when the piece is put back in a chuck: half the indicator's reading, times the cosine of the
    angle from the equator. Args: diameter, mm, more than 0; rounds marked out, 1 to 3; marking
    accuracy, mm, more than 0 and less than half the last mark; run-out, mm, 0 or more. Source:
    elementary trigonometry, errors small beside the marks; the default accuracies are ours.

    Raises:
        ValueError: a value is out of range, or the last mark is too short for the accuracy.

    >>> tolerance = sphere_tolerance(60, run_out_mm=0)
    >>> place = tolerance.worst_place
    >>> place.angle_deg, place.worst_mm, place.rss_mm, str(place.driver)
    (33.75, 0.410, 0.169, 'set-in')
    """
    positive(diameter_mm, "the sphere's diameter")
    whole(rounds, "the count of rounds", 1, MOST_ROUNDS)
    positive(marking_mm, "the marking accuracy")
    not_negative(run_out_mm, "the run-out")
    last_mm = corner_mark_mm(diameter_mm, CYLINDER_SIDES * 2 ** (rounds - 1))
    if marking_mm >= last_mm / 2:
        raise ValueError(
            f"a mark of {last_mm:.3g} mm cannot be set out to {marking_mm:g} mm; "
            "mark one round less, or turn those corners away by eye"
        )
    half = marking_mm / 2
    facets = [_Facet({(Measured.DIAMETER, 0): half}, {}), _Facet({(Measured.END, 0): half}, {})]
    sides = CYLINDER_SIDES
    for measured in _MARKS[:rounds]:
        denser = [facets[0]]
        for corner, (before, after) in enumerate(pairwise(facets)):
            marks = ((measured, 2 * corner), (measured, 2 * corner + 1))
            cut = _cut_corner(diameter_mm, sides, before, after, marks, marking_mm)
            denser += [cut, after]
        facets = denser
        sides *= 2
    step_deg = 90 / (len(facets) - 1)
    places = []
    for step, facet in enumerate(facets):
        angle_deg = step * step_deg
        # the cosine of 90° is not quite 0 in binary; at the pole run-out moves nothing outwards
        off_mm = run_out_mm / 2 * math.cos(math.radians(angle_deg)) if angle_deg < 90 else 0.0
        places.append(_place(angle_deg, facet.moved_mm | {(Measured.RUN_OUT, 0): off_mm}))
    return SphereTolerance(tuple(places))


def index_tolerance(
    diameter_mm: float,
    marks: int,
    way: MarkingWay,
    *,
    marking_mm: float = MARKING_MM,
    run_out_mm: float = RUN_OUT_MM,
) -> Place:
    """How far the worst of equal marks may lie from its place along the circle, and through what.

    By plate: the mark's own placing, and half the run-out when the piece was put back. By strip:
    placing, the mark on the strip, and the strip's length, π times the diameter's error less its
    last part. By dividers set once: every step repeats the setting's error over cos(180°/N) and
    adds a placing of its own. Errors add up to the last mark, (N − 1)/N round. Args: diameter, mm,
    more than 0; marks, 2 or more (3 for dividers); way; marking accuracy, mm, more than 0;
    run-out, mm, 0 or more. The result's angle is the last mark's. Source: elementary geometry,
    errors small beside the spacing; the default accuracies are ours.

    Raises:
        ValueError: a value is out of range.

    >>> plate = index_tolerance(60, 12, MarkingWay.PLATE)
    >>> plate.worst_mm, str(plate.driver)
    (0.275, 'placing the mark')
    >>> dividers = index_tolerance(60, 12, MarkingWay.DIVIDERS)
    >>> dividers.rss_mm, str(dividers.driver)
    (2.966, 'divider setting')
    """
    positive(diameter_mm, "the diameter")
    fewest = FEWEST_STEPPED if way is MarkingWay.DIVIDERS else FEWEST_MARKS
    whole(marks, "the count of marks", fewest)
    positive(marking_mm, "the marking accuracy")
    not_negative(run_out_mm, "the run-out")
    errors: dict[_Error, float] = {(Measured.RUN_OUT, 0): run_out_mm / 2}
    steps = marks - 1
    if way is MarkingWay.DIVIDERS:
        repeated = steps / math.cos(math.pi / marks)
        errors[Measured.DIVIDER_SETTING, 0] = repeated * marking_mm
        errors |= {(Measured.MARK, step): marking_mm for step in range(steps)}
    else:
        errors[Measured.MARK, 0] = marking_mm
    if way is MarkingWay.STRIP:
        errors[Measured.STRIP_MARK, 0] = marking_mm
        errors[Measured.DIAMETER, 0] = math.pi * marking_mm * steps / marks
    return _place(360 * steps / marks, errors)


def groove_tolerance(
    diameter_mm: float,
    grooves: int,
    way: MarkingWay,
    *,
    marking_mm: float = MARKING_MM,
    run_out_mm: float = RUN_OUT_MM,
) -> GrooveTolerance:
    """How far grooves may pass a pole and their lands at the equator be off, and through what.

    A groove lies square to its axis, so it moves with both ends of the axis, by half of what each
    is off: the mark itself, the centre's point on the mark, and at the headstock half the run-out.
    The cutter, set over the ball's middle, may be off besides. Along the equator marks are off as
    in :func:`index_tolerance`, each way with its errors in common; a land is off by both its
    grooves, and with dividers and strip the worst lies where the marks begin and end. The lands of
    a single groove change by the cutter alone. What width and depth of the cut are off is not
    counted. Args: diameter, mm, more than 0; grooves, 1 or more; way in which the marks of the axes
    were set out; marking accuracy, mm, more than 0; run-out, mm, 0 or more. Source: elementary
    geometry, errors small beside the radius; the default accuracies are ours.

    Raises:
        ValueError: a value is out of range.

    >>> off = groove_tolerance(60, 6, MarkingWay.PLATE)
    >>> off.pole.worst_mm, off.pole.rss_mm, off.land.worst_mm
    (0.7625, 0.354, 1.525)
    """
    positive(diameter_mm, "the diameter")
    marks = marks_with_axes(grooves)
    positive(marking_mm, "the marking accuracy")
    not_negative(run_out_mm, "the run-out")
    ends = (0, 1)
    pole: dict[_Error, float] = {(Measured.CUTTER, 0): marking_mm}
    pole[Measured.RUN_OUT, 0] = run_out_mm / 4
    for end in ends:
        pole[Measured.MARK, end] = pole[Measured.POINT, end] = marking_mm / 2
    step = marks // (2 * grooves)

    def line(groove: int) -> dict[_Error, float]:
        """What moves a groove along the equator, the errors of marks by which mark it is."""
        moved: dict[_Error, float] = {}
        for end in ends:
            # the first mark of all is the one that the others are counted from
            mark = (groove * step + marks // 4 + end * marks // 2) % marks
            for error, mm in _mark_errors(mark, marks, way, marking_mm).items():
                moved[error] = moved.get(error, 0.0) + mm / 2
            moved[Measured.POINT, 2 * groove + end] = marking_mm / 2
        moved[Measured.CUTTER, groove] = marking_mm
        moved[Measured.RUN_OUT, groove] = run_out_mm / 4
        return moved

    lines = [line(groove) for groove in range(grooves)]
    lands = []
    for groove, one in enumerate(lines):
        other = lines[(groove + 1) % grooves]
        if grooves == 1:
            # turned about the poles it takes both its crossings along; moved aside it does not
            apart = {(Measured.CUTTER, 0): 2 * marking_mm}
        else:
            apart = {error: one.get(error, 0.0) - other.get(error, 0.0) for error in one | other}
        lands.append(_place(180 / grooves * (groove + 0.5), apart))
    return GrooveTolerance(_place(90, pole), max(lands, key=lambda land: round(land.worst_mm, 9)))


def _mark_errors(mark: int, marks: int, way: MarkingWay, marking_mm: float) -> dict[_Error, float]:
    """What moves one of equal marks along the circle, counted from the first."""
    errors: dict[_Error, float] = {}
    if way is MarkingWay.DIVIDERS:
        errors[Measured.DIVIDER_SETTING, 0] = mark * marking_mm / math.cos(math.pi / marks)
        errors |= {(Measured.MARK, step): marking_mm for step in range(mark)}
    else:
        errors[Measured.MARK, mark] = marking_mm
    if way is MarkingWay.STRIP:
        errors[Measured.STRIP_MARK, mark] = marking_mm
        errors[Measured.DIAMETER, 0] = math.pi * marking_mm * mark / marks
    return errors


def arc_angle_deg(arc_mm: float, diameter_mm: float) -> float:
    """The angle at the axis that a length along a circle stands for: its part of a whole turn.

    Args: length along the circle, mm, 0 or more; diameter, mm, more than 0. Returns degrees.
    Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> arc_angle_deg(0.275, 60)
    0.525
    """
    return 360 * not_negative(arc_mm, "the length along the circle") / circumference_mm(diameter_mm)
