"""How a grooved ball sits in a cup chuck: what its rim still touches after earlier grooves.

A cup of rim diameter c touches the ball on a circle about the lathe axis, seen from the ball's
centre at the angle α = asin(c/D) from it. Grooves already cut take parts of that circle away. Where
a groove's own axis makes the angle β with the lathe's, a place at the angle ψ round the circle is
gone when |cos α·cos β + sin α·sin β·cos ψ| < sin δ, with δ half the groove as seen from the centre.
Solved for ψ this gives the ends of what is gone exactly; nothing is sampled. Rings, parallel to the
equator, are cut before: the rim's place at ψ has the latitude asin(sin α·sin ψ), and is gone within
half a ring's width of the ring's.

The limits here say whether a seat is worth trying, not that it is safe: how well a ball is held
also depends on the cup, the tail centre, the wood and the cut.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from studio.turning.cutters import half_angle_rad
from studio.turning.grooves import (
    cutting_order,
    equator_land_mm,
    most_grooves,
    remount_turn_deg,
    widest_groove_mm,
)
from studio.turning.ranges import not_negative, positive, whole

Band = tuple[float, float]
"""A ring as the seat sees it: latitude of its middle, degrees, and its width along the ball, mm."""

_TURN = 2 * math.pi

LEAST_TOUCHING = 0.6
"""Least part of the rim that should touch (no unit, of 1). Ours."""

WIDEST_GAP_DEG = 60.0
"""Widest gap between places that touch, degrees round the rim. Ours."""

LEAST_EDGE_DEG = 3.0
"""Least angle, seen from the ball's centre, between the rim and a place where a groove's edge runs
along it, degrees: nearer, a little more width or less rim changes the seat much. Ours."""

TIPPING_GAP_DEG = 180.0
"""A gap this wide, degrees, leaves the axis outside all that touches: the ball can tip
(elementary statics)."""

LEAST_HELD = 0.25
"""With less of the rim touching nothing is held (no unit, of 1). Ours."""

WIDEST_HELD_GAP_DEG = 150.0
"""From this gap on, degrees, the ball rocks: what touches leaves the axis a lever of less than
cos 75°, a quarter of the rim's radius, to its nearest edge (elementary statics; the limit ours)."""

LEAST_RIM_PART = 0.25
"""Least part of the ball's diameter that a rim should measure (no unit, of 1): on less, what holds
the ball against a push at its equator has a lever of less than a quarter of its radius (elementary
statics; the limit ours)."""

MOST_COUNTED = 100
"""Largest count of grooves tried for a seat (ours): no turner cuts more."""

_SLACK_DEG = 1e-9
"""An angle that reaches a limit but for binary decimals counts as reaching it, degrees (ours)."""

_SLACK_MM = 1e-9
"""The same for a length, mm (ours)."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A ball's seat in a cup chuck while one groove is cut.

    Attributes:
        rim_mm: diameter of the cup's rim where it touches.
        groove: the groove that is cut in this mounting, counted from 0.
        earlier: how many grooves were cut before it.
        touching: part of the rim's circle that still touches, 0 to 1.
        longest_gap_deg: longest stretch that does not, degrees round the rim.
        edge_deg: least angle, as seen from the ball's centre, between the rim and a place where an
            earlier groove's edge comes nearest to or farthest from the axis, running along the
            rim; None with no earlier groove.
        cut_room_deg: angle, as seen from the ball's centre, between the rim and the near edge of
            the groove being cut; the tool needs it.
        narrow: whether the rim is too small for such a ball (:func:`is_narrow`).
    """

    rim_mm: float
    groove: int
    earlier: int
    touching: float
    longest_gap_deg: float
    edge_deg: float | None
    cut_room_deg: float
    narrow: bool

    @property
    def can_tip(self) -> bool:
        """Whether a gap is so wide that the axis lies outside all that touches."""
        return _can_tip(self.longest_gap_deg)

    @property
    def is_lost(self) -> bool:
        """Whether so little touches, or so much to one side, that the cup holds nothing."""
        return _is_lost(self.touching, self.longest_gap_deg)

    @property
    def nearest_edge_deg(self) -> float:
        """The nearer of the earlier grooves' edges and the edge of the groove being cut."""
        return self.cut_room_deg if self.edge_deg is None else min(self.edge_deg, self.cut_room_deg)

    @property
    def keeps(self) -> bool:
        """Whether it is within all limits: part touching, gap, nearest edge, size of the rim."""
        return _keeps(self.touching, self.longest_gap_deg, self.nearest_edge_deg, self.narrow)

    @property
    def verdict(self) -> str:
        """In a word: ``holds``, ``weak``, ``lost`` or ``can tip``."""
        return verdict(self.touching, self.longest_gap_deg, self.nearest_edge_deg, self.narrow)


def _can_tip(gap_deg: float) -> bool:
    """Whether a gap leaves the axis outside all that touches."""
    return gap_deg >= TIPPING_GAP_DEG - _SLACK_DEG


def _is_lost(touching: float, gap_deg: float) -> bool:
    """Whether so little touches, or so much to one side, that a cup holds nothing."""
    return _can_tip(gap_deg) or touching < LEAST_HELD or gap_deg >= WIDEST_HELD_GAP_DEG - _SLACK_DEG


def is_narrow(diameter_mm: float, rim_mm: float) -> bool:
    """Whether a rim is too small for a ball to hold it well, whatever of it touches.

    Args: diameter of the ball and of the rim, mm, more than 0. Source: :data:`LEAST_RIM_PART`.

    Raises:
        ValueError: a diameter is 0, negative or no number.

    >>> is_narrow(60, 14), is_narrow(60, 15)
    (True, False)
    """
    ball = positive(diameter_mm, "the ball's diameter")
    return positive(rim_mm, "the cup's rim") < LEAST_RIM_PART * ball - _SLACK_MM


def _keeps(touching: float, gap_deg: float, edge_deg: float, narrow: bool) -> bool:
    """Whether a seat is within all limits."""
    return (
        not narrow
        and touching >= LEAST_TOUCHING
        and gap_deg <= WIDEST_GAP_DEG + _SLACK_DEG
        and edge_deg >= LEAST_EDGE_DEG - _SLACK_DEG
    )


def verdict(touching: float, gap_deg: float, edge_deg: float, narrow: bool) -> str:
    """A seat in a word: ``holds``, ``weak``, ``lost`` or ``can tip``.

    Args: part of the rim that touches, 0 to 1; longest gap, degrees round the rim, 0 to 360; angle
    to the nearest edge, degrees, 0 or more; whether the rim is too small for the ball. Source:
    :data:`LEAST_TOUCHING`, :data:`WIDEST_GAP_DEG`, :data:`LEAST_EDGE_DEG`, :data:`LEAST_HELD`,
    :data:`WIDEST_HELD_GAP_DEG`, :data:`TIPPING_GAP_DEG`, :func:`is_narrow`.

    Raises:
        ValueError: the part or the angle is negative or no number.

    >>> verdict(0.7, 50, 4, False), verdict(0.5, 50, 4, False), verdict(0.7, 50, 4, True)
    ('holds', 'weak', 'weak')
    >>> verdict(0.2, 50, 4, False), verdict(0.5, 200, 4, False)
    ('lost', 'can tip')
    """
    not_negative(touching, "the part of the rim that touches", "")
    not_negative(edge_deg, "the angle to the nearest edge", "°")
    if _can_tip(gap_deg):
        return "can tip"
    if _is_lost(touching, gap_deg):
        return "lost"
    return "holds" if _keeps(touching, gap_deg, edge_deg, narrow) else "weak"


def widest_rim_mm(diameter_mm: float, width_mm: float, clearance_mm: float = 0.0) -> float:
    """The rim that just keeps clear of the groove being cut: D·cos(δ + 2·clearance/D).

    Without clearance it is the rim that would just meet the groove: a cup must be narrower.

    Args: diameter, width of the groove (arc), clearance along the ball from the rim to the groove's
    near edge, 0 or more, mm. Returns mm. Source: elementary trigonometry; an arc is its angle times
    the radius.

    Raises:
        ValueError: a value is out of range, or the clearance reaches the lathe axis.

    >>> widest_rim_mm(60, 6), widest_rim_mm(60, 6, 3)
    (59.700, 58.804)
    """
    not_negative(clearance_mm, "the clearance beside the rim")
    off = half_angle_rad(diameter_mm, width_mm) + 2 * clearance_mm / diameter_mm
    if off >= math.pi / 2:
        raise ValueError(
            f"a clearance of {clearance_mm:g} mm beside the groove leaves no rim on a ball of "
            f"{diameter_mm:g} mm"
        )
    return diameter_mm * math.cos(off)


def rim_clear_mm(diameter_mm: float, width_mm: float, rim_mm: float) -> float:
    """From a cup's rim along the ball to the near edge of the groove: (D/2)·(90° − δ − α).

    The groove is the one being cut. Args: diameter, width of the groove (arc), rim, mm. Returns mm,
    negative where the rim reaches over the edge. Source: elementary trigonometry; an arc is its
    angle times the radius.

    Raises:
        ValueError: a value is out of range, or the ball falls through the rim.

    >>> rim_clear_mm(60, 6, 48)
    16.305
    """
    alpha = math.radians(seat_angle_deg(diameter_mm, rim_mm))
    return diameter_mm / 2 * (math.pi / 2 - half_angle_rad(diameter_mm, width_mm) - alpha)


def keeps_clear(diameter_mm: float, width_mm: float, rim_mm: float, clearance_mm: float) -> bool:
    """Whether a rim keeps its clearance from the groove being cut; it never may touch its edge.

    Args: diameter, width of the groove (arc), rim, clearance along the ball, 0 or more, mm. Source:
    :func:`rim_clear_mm`.

    Raises:
        ValueError: a value is out of range, or the ball falls through the rim.

    >>> keeps_clear(60, 6, 58.8, 3), keeps_clear(60, 6, 59.3, 3), keeps_clear(60, 6, 59.3, 0)
    (True, False, True)
    """
    clear = rim_clear_mm(diameter_mm, width_mm, rim_mm)
    return clear > 0 and clear >= clearance_mm - _SLACK_MM


def seat_angle_deg(diameter_mm: float, rim_mm: float) -> float:
    """Angle of a cup's rim from the lathe axis, seen from the ball's centre: asin(c/D), degrees.

    Args: diameter of the ball and of the rim, mm, more than 0; the rim less than the ball. Source:
    elementary trigonometry.

    Raises:
        ValueError: a value is out of range, or the ball falls through the rim.

    >>> seat_angle_deg(60, 30)
    30.0
    """
    positive(diameter_mm, "the ball's diameter")
    if positive(rim_mm, "the cup's rim") >= diameter_mm:
        raise ValueError(
            f"a ball of {diameter_mm:g} mm does not sit on a rim of {rim_mm:g} mm; "
            "take a narrower cup"
        )
    return math.degrees(math.asin(rim_mm / diameter_mm))


def seat_at(
    diameter_mm: float,
    grooves: int,
    width_mm: float,
    rim_mm: float,
    groove: int,
    earlier: Collection[int],
    bands: Collection[Band] = (),
) -> Seat:
    """The seat while one groove is cut after given others.

    What is gone of the rim's circle is the union of the stretches that earlier grooves take, whose
    ends are arc cosines. Args: diameter, width (arc), rim, mm; count of grooves, 1 or more; the
    groove being cut and those cut before, counted from 0; rings, all cut before. Source: elementary
    trigonometry on the sphere (see the module).

    Raises:
        ValueError: a value is out of range, a groove does not exist or comes twice, no land is
            left, or the rim reaches the groove being cut.

    >>> seat_at(60, 6, 6, 30, 5, range(5)).touching
    0.431
    """
    equator_land_mm(diameter_mm, grooves, width_mm)
    before = set(earlier)
    for number in (groove, *before):
        whole(number, "a groove's number", 0, grooves - 1)
    if groove in before or len(before) != len(earlier):
        raise ValueError("a groove is cut once: name the earlier ones without the present one")
    seat_angle_deg(diameter_mm, rim_mm)
    if rim_mm >= widest_rim_mm(diameter_mm, width_mm):
        raise ValueError(
            f"a rim of {rim_mm:g} mm reaches the groove to be cut; take one below "
            f"{widest_rim_mm(diameter_mm, width_mm):.4g} mm"
        )
    # a groove on the other side is one past half a turn: it takes from the other half of the rim
    places = [(number - groove) % grooves for number in before]
    touching, gap_deg, edge_deg, room_deg = rim_left(
        diameter_mm, grooves, width_mm, rim_mm, places, list(bands)
    )
    return Seat(
        rim_mm,
        groove,
        len(before),
        touching,
        gap_deg,
        edge_deg if places or bands else None,
        room_deg,
        is_narrow(diameter_mm, rim_mm),
    )


def rim_left(
    diameter_mm: float,
    grooves: int,
    width_mm: float,
    rim_mm: float,
    places: list[int],
    bands: list[tuple[float, float]],
) -> tuple[float, float, float, float]:
    """What is left of a rim's circle, as plain numbers: the figures of :func:`seat_at`.

    Args: diameter, width (arc), rim, mm; count of grooves, 1 or more; places of those cut before,
    counted on from the one being cut, 1 or more; rings. Returns the part that touches, and in
    degrees the longest gap, the nearest edge of what was cut before (a whole turn without any) and
    the room to the groove being cut. Source: elementary trigonometry on the sphere (see the
    module).

    Raises:
        ValueError: a value is out of range, or the ball falls through the rim.

    >>> rim_left(60, 6, 6, 30, [1, 2, 3, 4, 5], [])[0]
    0.431
    """
    alpha = math.radians(seat_angle_deg(diameter_mm, rim_mm))
    half = half_angle_rad(diameter_mm, width_mm)
    turn = math.pi / grooves
    taken: list[tuple[float, float]] = []
    nearest = _TURN
    for place in places:
        beta = place * turn
        taken += _gone(alpha, beta, half)
        nearest = min(nearest, _edge(alpha, beta, half))
    for latitude, wide in bands:
        at, reach = math.radians(latitude), half_angle_rad(diameter_mm, wide)
        taken += _gone_by_ring(alpha, at, reach)
        for side in (-1, 1):
            nearest = min(nearest, abs(alpha - abs(at + side * reach)))
    gone = _union(taken)
    return (
        1 - math.fsum(end - start for start, end in gone) / _TURN,
        math.degrees(_longest(gone)),
        math.degrees(nearest),
        math.degrees(math.pi / 2 - half - alpha),
    )


@dataclass(frozen=True, slots=True)
class PoleSeat:
    """A grooved ball's seat in a cup chuck on the line of its poles.

    Attributes:
        rim_mm: diameter of the cup's rim where it touches.
        touching: part of the rim's circle that touches, 0 to 1.
        longest_gap_deg: longest stretch that does not, degrees round the rim.
    """

    rim_mm: float
    touching: float
    longest_gap_deg: float

    @property
    def keeps(self) -> bool:
        """Whether enough touches, all round."""
        return self.touching >= LEAST_TOUCHING and self.longest_gap_deg <= WIDEST_GAP_DEG


def pole_seat(
    diameter_mm: float,
    grooves: int,
    width_mm: float,
    rim_mm: float,
    bands: Collection[Band] = (),
) -> PoleSeat:
    """The seat about one pole once all grooves are cut: each runs through that pole.

    Args: diameter, width (arc), rim, mm; count of grooves, 0 or more; rings, latitudes positive
    towards the pole that sits in the cup. Source: elementary trigonometry on the sphere; with the
    grooves' axes square to the lathe's, a place is gone when |sin α·cos ψ| < sin δ (see the
    module).

    Raises:
        ValueError: a value is out of range, or the ball does not sit on so wide a rim.

    >>> round(pole_seat(60, 2, 6, 40).touching, 3)
    0.809
    """
    whole(grooves, "the number of grooves", 0, MOST_COUNTED)
    alpha = math.radians(seat_angle_deg(diameter_mm, rim_mm))
    half = half_angle_rad(diameter_mm, width_mm) if grooves else 0.0
    latitude = math.pi / 2 - alpha
    for at, wide in bands:
        if abs(latitude - math.radians(at)) < half_angle_rad(diameter_mm, wide):
            return PoleSeat(rim_mm, 0.0, math.degrees(_TURN))
    taken: list[tuple[float, float]] = []
    for number in range(grooves):
        turn = number * math.pi / grooves
        for start, end in _gone(alpha, math.pi / 2, half):
            first, last = start + turn, end + turn
            # the circle is cut open at 0
            taken += (
                [(first, min(last, _TURN))] if first < _TURN else [(first - _TURN, last - _TURN)]
            )
            if first < _TURN < last:
                taken.append((0.0, last - _TURN))
    gone = _union(taken)
    left = max(0.0, 1 - math.fsum(end - start for start, end in gone) / _TURN)
    return PoleSeat(rim_mm, left, math.degrees(_longest(gone)))


def opening_band(diameter_mm: float, opening_mm: float, top: bool) -> Band:
    """An opening at a pole as the seat sees it: all latitudes from its edge to the pole.

    Args: diameter of the ball and of the opening, mm, the latter smaller; which pole. Source: the
    edge stands asin(opening / diameter) from the pole.

    Raises:
        ValueError: a value is out of range, or the opening is as wide as the ball.

    >>> latitude, width = opening_band(60, 30, True)
    >>> round(latitude, 6), round(width, 3)
    (75.0, 15.708)
    """
    if not 0 < opening_mm < diameter_mm:
        raise ValueError(
            f"an opening of {opening_mm:g} mm does not go into a ball of {diameter_mm:g} mm"
        )
    reach = math.asin(opening_mm / diameter_mm) / 2
    latitude = 90 - math.degrees(reach)
    return latitude if top else -latitude, reach * diameter_mm


def _gone(alpha: float, beta: float, half: float) -> list[tuple[float, float]]:
    """What one groove takes of the rim's circle, ψ from 0 to a turn: both sides alike."""
    middle, swing = math.cos(alpha) * math.cos(beta), math.sin(alpha) * math.sin(beta)
    low, high = (-math.sin(half) - middle) / swing, (math.sin(half) - middle) / swing
    if low >= 1 or high <= -1:
        return []
    start, end = math.acos(min(high, 1.0)), math.acos(max(low, -1.0))
    return [(start, end), (_TURN - end, _TURN - start)]


def _gone_by_ring(alpha: float, latitude: float, reach: float) -> list[tuple[float, float]]:
    """What one ring takes of the rim's circle: its latitudes, met on both sides of the pole."""
    swing = math.sin(alpha)
    low, high = math.sin(latitude - reach) / swing, math.sin(latitude + reach) / swing
    if low >= 1 or high <= -1:
        return []
    start, end = math.asin(max(low, -1.0)), math.asin(min(high, 1.0))
    taken: list[tuple[float, float]] = []
    for first, last in ((start, end), (math.pi - end, math.pi - start)):
        if first < 0 < last:
            taken += [(first + _TURN, _TURN), (0.0, last)]
        else:
            turn = _TURN if first < 0 else 0.0
            taken.append((first + turn, last + turn))
    return taken


def _union(stretches: list[tuple[float, float]]) -> list[tuple[float, float]]:
    joined: list[tuple[float, float]] = []
    for start, end in sorted(stretches):
        if len(joined) > 0 and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return joined


def _longest(gone: list[tuple[float, float]]) -> float:
    """Longest gap of the whole circle: one that reaches a turn goes on from 0."""
    longest = max((end - start for start, end in gone), default=0.0)
    if len(gone) > 1 and gone[0][0] <= 0 and gone[-1][1] >= _TURN:
        longest = max(longest, gone[0][1] + _TURN - gone[-1][0])
    return longest


def _edge(alpha: float, beta: float, half: float) -> float:
    """Least angle between the rim and where an edge of one groove turns back from the axis."""
    edges: list[float] = []
    for off in (math.pi / 2 - half, math.pi / 2 + half):
        farthest = beta + off
        edges += [abs(beta - off), min(farthest, 2 * math.pi - farthest)]
    return min(abs(alpha - turning) for turning in edges)


def seats_in_order(
    diameter_mm: float,
    grooves: int,
    width_mm: float,
    rim_mm: float,
    order: Sequence[int] | None = None,
    bands: Collection[Band] = (),
) -> tuple[Seat, ...]:
    """The seat in a cup at every cut: whole but for rings at the first, the worst at the last.

    Any order ends with the same last seat, and no seat before it is worse. Args: diameter, width
    (arc), rim, mm; grooves, 1 or more; order of cutting, as counted unless given; rings. Source:
    :func:`seat_at`.

    Raises:
        ValueError: a value is out of range, the order is not one, no land is left, or the rim
            reaches the groove being cut.

    >>> [round(seat.touching, 3) for seat in seats_in_order(60, 6, 6, 30)]
    [1.0, 1.0, 0.779, 0.651, 0.431, 0.431]
    """
    counted = cutting_order(grooves, order)
    return tuple(
        seat_at(diameter_mm, grooves, width_mm, rim_mm, groove, counted[:place], bands)
        for place, groove in enumerate(counted)
    )


def last_seat(
    diameter_mm: float,
    grooves: int,
    width_mm: float,
    rim_mm: float,
    bands: Collection[Band] = (),
) -> Seat:
    """The seat at the last cut, whatever the order: the worst of them.

    Args: diameter, width (arc), rim, mm; grooves, 1 or more; rings. Source: :func:`seat_at`.

    Raises:
        ValueError: a value is out of range, no land is left, or the rim reaches the groove.

    >>> last_seat(60, 6, 6, 40).touching
    0.607
    """
    last = whole(grooves, "the count of grooves", 1) - 1
    return seat_at(diameter_mm, grooves, width_mm, rim_mm, last, range(last), bands)


def rank_rims(
    diameter_mm: float,
    grooves: int,
    width_mm: float,
    rims_mm: Iterable[float],
    bands: Collection[Band] = (),
    clearance_mm: float = 0.0,
) -> tuple[Seat, ...]:
    """The last seat in every cup owned, best first.

    In the order of :func:`goodness`. Cups too wide for the ball, or nearer to the groove than the
    clearance, are left out. Args: diameter, width (arc), mm; grooves, 1 or more; rims, mm; rings;
    clearance to the groove being cut, mm, 0 or more. Source: :func:`seat_at`; the ranking is ours.

    Raises:
        ValueError: a value is out of range, no land is left, or no cup is narrow enough.

    >>> [seat.rim_mm for seat in rank_rims(60, 6, 6, (30, 40, 48))]
    [40, 48, 30]
    """
    limit = widest_rim_mm(diameter_mm, width_mm, clearance_mm)
    seats = [
        last_seat(diameter_mm, grooves, width_mm, rim, bands)
        for rim in rims_mm
        if positive(rim, "the cup's rim") < diameter_mm
        and keeps_clear(diameter_mm, width_mm, rim, clearance_mm)
    ]
    if not seats:
        raise ValueError(
            f"no cup here takes a ball of {diameter_mm:g} mm; the rim must be below {limit:.4g} mm"
        )
    return tuple(sorted(seats, key=goodness, reverse=True))


def goodness(seat: Seat) -> tuple[bool, bool, float, float]:
    """By what seats are ranked: the greater, the better.

    Those within all limits first, then those that are not lost, then the others. Of those within
    the limits the one with the longest stretch of rim that touches, so that of two whole seats the
    wider holds better, then the shorter gap; of the others the one whose touch or gap misses its
    limit by the least part, then the one with its edges farther off; a rim too small for the ball
    comes behind them. Args: a seat. Source: the
    ranking is ours.

    Raises:
        ValueError: never of itself; a seat is checked when it is computed.

    >>> wide = Seat(48, 5, 5, 0.33, 105.5, 5, 10, narrow=False)
    >>> max(wide, Seat(34, 5, 5, 0.45, 36.9, 5, 10, narrow=False), key=goodness).rim_mm
    34
    """
    if seat.keeps:
        return True, True, seat.touching * seat.rim_mm, -seat.longest_gap_deg
    gap = WIDEST_GAP_DEG / seat.longest_gap_deg if seat.longest_gap_deg else math.inf
    worth = 0.0 if seat.narrow else min(seat.touching / LEAST_TOUCHING, gap, 1.0)
    return False, not seat.is_lost, worth, seat.nearest_edge_deg


def counts_that_keep(
    diameter_mm: float,
    width_mm: float,
    rim_mm: float,
    least_land_mm: float,
    bands: Collection[Band] = (),
) -> tuple[int, ...]:
    """Every count of grooves, to 100, that leaves the land and keeps the seat; maybe none.

    A larger count may keep it where a smaller one does not: what matters is where grooves pass the
    rim. Args: diameter, width (arc), rim, mm; least land, mm, 0 or more; rings. Source:
    :func:`seat_at`.

    Raises:
        ValueError: a value is out of range, no groove leaves the land, or the rim reaches the
            groove being cut.

    >>> counts_that_keep(60, 6, 40, 3)
    (1, 2, 3, 5, 6)
    """
    most = min(most_grooves(diameter_mm, width_mm, least_land_mm), MOST_COUNTED)
    return tuple(
        count
        for count in range(1, most + 1)
        if last_seat(diameter_mm, count, width_mm, rim_mm, bands).keeps
    )


def widest_that_keeps_mm(
    diameter_mm: float,
    grooves: int,
    rim_mm: float,
    least_land_mm: float,
    bands: Collection[Band] = (),
    clearance_mm: float = 0.0,
) -> float:
    """The widest grooves that leave the land, keep clear of the rim and keep the seat to the last.

    The part that touches falls and gaps grow with width, so their limit is found by halving; then
    widths at which an edge runs along the rim are stepped over downwards. Args: diameter, rim,
    least land, mm, more than 0; grooves, 1 or more; rings; clearance to the groove being cut, mm,
    0 or more. Returns mm (arc), short of the limit by less than a millionth. Source:
    :func:`seat_at`.

    Raises:
        ValueError: a value is out of range, so much land leaves no room, or no width keeps the
            seat.

    >>> widest_that_keeps_mm(60, 6, 40, 3)
    6.107
    """
    alpha = seat_angle_deg(diameter_mm, rim_mm)
    widest = widest_groove_mm(diameter_mm, grooves, least_land_mm)
    # degrees of half a groove for a millimetre of width
    per_mm = math.degrees(1 / diameter_mm)
    room = max(LEAST_EDGE_DEG, math.degrees(2 * clearance_mm / diameter_mm))
    high = min(widest * per_mm, 90 - room - alpha)
    none = ValueError(
        f"no width of {grooves} grooves keeps the seat on a rim of {rim_mm:g} mm; try another cup"
    )
    if high <= 0 or is_narrow(diameter_mm, rim_mm):
        raise none

    def touches(half_deg: float) -> bool:
        seat = last_seat(diameter_mm, grooves, half_deg / per_mm, rim_mm, bands)
        return seat.touching >= LEAST_TOUCHING and seat.longest_gap_deg <= WIDEST_GAP_DEG

    if not touches(high):
        low = 0.0
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if touches(middle) else (low, middle)
        high = low
    turn = remount_turn_deg(grooves)
    along_rim = sorted(
        {
            side * (90 - step * turn) + seat * alpha
            for step in range(1, grooves)
            for side in (-1, 1)
            for seat in (-1, 1)
        },
        reverse=True,
    )
    for runs in along_rim:
        if abs(high - runs) < LEAST_EDGE_DEG - _SLACK_DEG:
            high = runs - LEAST_EDGE_DEG
    width = high / per_mm
    # a ring's edge may run along the rim, which no width of the grooves mends
    if high <= _SLACK_DEG or (
        bands and not last_seat(diameter_mm, grooves, width, rim_mm, bands).keeps
    ):
        raise none
    return width
