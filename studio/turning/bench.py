"""Bench work on a profile: stations, calliper settings, parting cuts, weak places, tenons.

What a turner does with a profile at the lathe. Positions are from the tailstock end, as
:mod:`studio.turning.profile` has them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from itertools import pairwise

from studio.turning.drills import Drill, choose
from studio.turning.profile import SAME_PLACE_MM, Change, Profile, Shape, StationKind, radius_mm
from studio.turning.ranges import not_negative, positive

SLENDER_RATIO = 10.0
"""Length over diameter above which wood turned without support whips. Common practice, no source;
thin finials need a light cut, a finger or a steady sooner."""

NEAR_STATION_MM = 0.5
"""A spaced station closer than this to a change, mm, or than a quarter of the spacing, is left out
(ours): two pencil lines there cannot be told apart."""

MOST_STATIONS = 2000
"""Most rows of a station table (ours): it bounds the work done on a stranger's file."""


class CutLimit(StrEnum):
    """What stops a parting cut."""

    MIDDLE = "the finished surface under the tool's middle"
    EDGE = "thicker finished wood nearer the tool's edge"


class CutSide(StrEnum):
    """Where on its element a parting cut is made, and so which way it may not be moved."""

    START = "just inside its start"
    END = "just inside its end"
    MIDDLE = "at its crown, throat or middle"


@dataclass(frozen=True, slots=True)
class Station:
    """One row of the station table.

    Attributes:
        position_mm: from the tailstock end; a step has two rows at one position.
        diameter_mm: finished diameter.
        setting_mm: calliper setting.
        element: which element it lies on, counted from 0.
        kind: why it is listed.
    """

    position_mm: float
    diameter_mm: float
    setting_mm: float
    element: int
    kind: StationKind


@dataclass(frozen=True, slots=True)
class PartingCut:
    """One cut with the parting tool, straight in to a calliper setting.

    Attributes:
        position_mm: middle of the tool, from the tailstock end.
        element: the element it sizes, counted from 0.
        side: where on that element.
        from_mm, to_mm: between these the tool's middle keeps all of its width on the element; the
            position itself, twice, where that is narrower than the tool.
        setting_mm: calliper setting at which it stops.
        depth_mm: how far in from the blank's surface.
        limit: what stops it.
        limit_at_mm: position of the thickest finished wood under the tool, which stops it.
        thinnest_mm: the least setting cut so far, this one included: all that holds the tailstock
            side from here on.
    """

    position_mm: float
    element: int
    side: CutSide
    from_mm: float
    to_mm: float
    setting_mm: float
    depth_mm: float
    limit: CutLimit
    limit_at_mm: float
    thinnest_mm: float


@dataclass(frozen=True, slots=True)
class Neck:
    """A place thinner than the wood on both sides of it, or a tenon.

    Attributes:
        start_mm, end_mm: from where to where it is that thin; the same for a cove's throat.
        diameter_mm: its diameter.
        element: the element it lies on, counted from 0.
    """

    start_mm: float
    end_mm: float
    diameter_mm: float
    element: int


@dataclass(frozen=True, slots=True)
class SlenderRun:
    """The stretch of a profile that is longest for its thickness.

    Attributes:
        start_mm, end_mm: from where to where.
        diameter_mm: it is nowhere thicker than this.
        ratio: its length over that diameter, no unit.
    """

    start_mm: float
    end_mm: float
    diameter_mm: float
    ratio: float

    @property
    def slender(self) -> bool:
        """Whether it needs support: the ratio is above :data:`SLENDER_RATIO`."""
        return self.ratio > SLENDER_RATIO


@dataclass(frozen=True, slots=True)
class TenonJoint:
    """A tenon in its hole.

    Attributes:
        gap_mm: room for glue all round, half the difference of the diameters.
        room_mm: room left at the bottom of the hole.
    """

    gap_mm: float
    room_mm: float


def stations(profile: Profile, spacing_mm: float, allowance_mm: float) -> tuple[Station, ...]:
    """The station table: finished diameter and calliper setting at a spacing and at every change.

    Changes are the ends, the joints (both sides of a step), crowns, throats and the middles of
    ogees; a spaced station beside one is left out, see :data:`NEAR_STATION_MM`. Args: profile;
    spacing, mm, more than 0, giving at most 2,000 rows; allowance on the diameter, mm, 0 or more.
    Source: elementary geometry.

    Raises:
        ValueError: a value is out of range.

    >>> from studio.turning.profile import cove
    >>> rows = stations(Profile((cove(6, 8, 12, 12),)), 2, 1)
    >>> [(row.position_mm, row.diameter_mm, row.setting_mm) for row in rows][:3]
    [(0.0, 12.0, 13.0), (2, 8.315, 9.315), (3.0, 8.0, 9.0)]
    """
    positive(spacing_mm, "the spacing of stations")
    rows: list[Change] = []
    for change in profile.changes:
        if rows and all(
            abs(new - old) <= SAME_PLACE_MM
            for new, old in zip(change[:2], rows[-1][:2], strict=True)
        ):
            continue
        rows.append(change)
    count = profile.length_mm / spacing_mm
    if count + len(rows) > MOST_STATIONS:
        raise ValueError(
            f"stations every {spacing_mm:g} mm would be more than {MOST_STATIONS}; "
            "write a wider spacing"
        )
    taken = [row[0] for row in rows]
    near = min(NEAR_STATION_MM, spacing_mm / 4)
    for step in range(math.ceil(count)):
        position = step * spacing_mm
        if all(abs(position - other) > near for other in taken):
            index = sum(start <= position for start in profile.starts_mm[1:])
            diameter = 2 * radius_mm(profile, position)
            rows.append(Change(position, diameter, index, StationKind.SPACING))
    return tuple(
        Station(position, diameter, calliper_setting_mm(diameter, allowance_mm), index, kind)
        for position, diameter, index, kind in sorted(rows, key=lambda row: row[0])
    )


def calliper_setting_mm(diameter_mm: float, allowance_mm: float) -> float:
    """Calliper setting: finished diameter plus what is left for the finishing cut and sanding.

    Args: finished diameter, mm, 0 or more; allowance on the diameter, mm, 0 or more. Returns mm.
    Source: elementary arithmetic; the allowance is the turner's own (common practice, no source).

    Raises:
        ValueError: a value is out of range.

    >>> calliper_setting_mm(12, 1)
    13
    """
    not_negative(diameter_mm, "the finished diameter")
    return diameter_mm + not_negative(allowance_mm, "the allowance")


def parting_depth_mm(present_mm: float, setting_mm: float) -> float:
    """How far in the parting tool goes: half of present diameter less calliper setting.

    Args: present diameter, mm, more than 0; setting, mm, 0 to the present diameter. Returns mm.
    Source: elementary arithmetic.

    Raises:
        ValueError: a value is out of range, or the wood is already thinner than the setting.

    >>> parting_depth_mm(25, 13)
    6.0
    """
    positive(present_mm, "the present diameter")
    if not_negative(setting_mm, "the calliper setting") > present_mm:
        raise ValueError(
            f"wood of {present_mm:g} mm is already thinner than a setting of {setting_mm:g} mm"
        )
    return (present_mm - setting_mm) / 2


def parting_cuts(
    profile: Profile, blank_mm: float, tool_mm: float, allowance_mm: float
) -> tuple[PartingCut, ...]:
    """The sizing cuts with the parting tool, in order from the tailstock end.

    A bead is sized at its crown, a cove at its throat, every other element just inside both its
    ends, or in its middle when it is not twice as long as the tool is wide. The tool is as wide as
    its kerf, so each cut stops at the thickest finished wood under it, allowance added; where the
    blank is no thicker nothing is cut. From the tailstock end, so that the wood between cut and
    headstock is still thick: a deep cut near the headstock first would have to carry every later
    one (common practice, no source). Args: profile; diameter of the trued blank, mm, more than 0;
    the tool's width, mm, more than 0; allowance on the diameter, mm, 0 or more. Source: elementary
    geometry.

    Raises:
        ValueError: a value is out of range, or the blank is thinner than the finished piece.

    >>> from studio.turning.profile import bead, fillet, tenon
    >>> cuts = parting_cuts(Profile((fillet(4, 8), bead(8, 16, 8, 8), tenon(10, 6))), 20, 3, 1)
    >>> [(cut.position_mm, cut.setting_mm, cut.depth_mm) for cut in cuts]
    [(2.0, 9.0, 5.5), (8.0, 17.0, 1.5), (13.5, 7.0, 6.5), (20.5, 7.0, 6.5)]
    """
    positive(blank_mm, "the blank's diameter")
    positive(tool_mm, "the parting tool's width")
    thickest = profile.thickest_mm
    if blank_mm < thickest:
        raise ValueError(
            f"a blank of {blank_mm:g} mm is thinner than the finished piece's {thickest:g} mm"
        )
    cuts: list[PartingCut] = []
    for index in range(len(profile.elements)):
        start, end = profile.starts_mm[index : index + 2]
        first, last = start + tool_mm / 2, end - tool_mm / 2
        for position, side in _sizing_positions(profile, index, tool_mm):
            limit_mm, limit_at = _thickest_under(profile, position, tool_mm)
            setting = calliper_setting_mm(limit_mm, allowance_mm)
            if setting >= blank_mm:
                continue
            middle = abs(limit_at - position) <= SAME_PLACE_MM
            thinnest = min([setting, *(cut.setting_mm for cut in cuts)])
            cuts.append(
                PartingCut(
                    position,
                    index,
                    side,
                    *((first, last) if first <= last else (position, position)),
                    setting,
                    parting_depth_mm(blank_mm, setting),
                    CutLimit.MIDDLE if middle else CutLimit.EDGE,
                    limit_at,
                    thinnest,
                )
            )
    return tuple(cuts)


def parting_setting_mm(
    profile: Profile, position_mm: float, tool_mm: float, allowance_mm: float
) -> float:
    """The calliper setting of a parting cut at any place, such as one rounded to a rule, mm.

    Args: profile; middle of the tool, from the tailstock end, mm, on the profile; the tool's
    width, mm, more than 0; allowance on the diameter, mm, 0 or more. Source: elementary geometry.

    Raises:
        ValueError: a value is out of range, or no wood of the profile is under the tool.

    >>> from studio.turning.profile import fillet, tenon
    >>> piece = Profile((fillet(4, 16), tenon(10, 6)))
    >>> parting_setting_mm(piece, 5.5, 3, 1), parting_setting_mm(piece, 5.4, 3, 1)
    (7.0, 17.0)
    """
    positive(tool_mm, "the parting tool's width")
    limit_mm, _ = _thickest_under(profile, position_mm, tool_mm)
    return calliper_setting_mm(limit_mm, allowance_mm)


def _sizing_positions(profile: Profile, index: int, tool_mm: float) -> list[tuple[float, CutSide]]:
    element = profile.elements[index]
    start, end = profile.starts_mm[index : index + 2]
    if element.length_mm < tool_mm:
        return [((start + end) / 2, CutSide.MIDDLE)]
    first, last = start + tool_mm / 2, end - tool_mm / 2
    if element.crown_mm is not None:
        return [(min(max(start + element.crown_mm, first), last), CutSide.MIDDLE)]
    if element.length_mm <= 2 * tool_mm:
        return [((start + end) / 2, CutSide.MIDDLE)]
    return [(first, CutSide.START), (last, CutSide.END)]


def _thickest_under(profile: Profile, position_mm: float, tool_mm: float) -> tuple[float, float]:
    """Largest finished diameter under the tool, and where it is; nearest to its middle at a tie."""
    low, high = position_mm - tool_mm / 2, position_mm + tool_mm / 2
    seen = []
    for _, start, piece in profile.placed:
        first, last = max(low - start, 0.0), min(high - start, piece.length)
        if last - first <= SAME_PLACE_MM:
            continue  # a shoulder flush with the tool's edge is not under it
        turn = piece.turning_point()
        middle = position_mm - start
        for u in (first, last, turn, middle):
            if u is not None and first <= u <= last:
                seen.append((2 * piece.radius(u), start + u))
    if not seen:
        raise ValueError(f"no wood is under a tool of {tool_mm:g} mm at {position_mm:g} mm")
    most = max(diameter for diameter, _ in seen)
    equal = [at for diameter, at in seen if most - diameter <= SAME_PLACE_MM]
    return most, min(equal, key=lambda at: abs(at - position_mm))


def necks(profile: Profile) -> tuple[Neck, ...]:
    """Every place thinner than the wood on both sides, and every tenon, from the tailstock end.

    A tenon is always a neck, since the piece hangs on it; so is an even end that is longer than
    it is thick, which breaks like one (ours). Args: profile. Source: elementary
    geometry.

    Raises:
        ValueError: never of itself; a profile is checked when it is made.

    >>> from studio.turning.profile import cove, taper, tenon
    >>> piece = Profile((taper(30, 0, 6), cove(10, 3, 6, 12), tenon(10, 8)))
    >>> [(neck.diameter_mm, neck.start_mm) for neck in necks(piece)]
    [(3.0, 34.041), (8.0, 40.0)]
    """
    runs: list[Neck] = []
    for position, diameter, index, _ in profile.changes:
        if runs and abs(runs[-1].diameter_mm - diameter) <= SAME_PLACE_MM:
            runs[-1] = Neck(runs[-1].start_mm, position, runs[-1].diameter_mm, runs[-1].element)
        else:
            runs.append(Neck(position, position, diameter, index))
    found = [
        here
        for before, here, after in zip(runs, runs[1:], runs[2:], strict=False)
        if before.diameter_mm > here.diameter_mm < after.diameter_mm
    ]
    if len(runs) > 1:
        for outer, inner in ((runs[0], runs[1]), (runs[-1], runs[-2])):
            if inner.diameter_mm > outer.diameter_mm < outer.end_mm - outer.start_mm:
                found.append(outer)
    for index, element in enumerate(profile.elements):
        start, end = profile.starts_mm[index : index + 2]
        held = any(
            neck.start_mm - SAME_PLACE_MM <= start and end <= neck.end_mm + SAME_PLACE_MM
            for neck in found
        )
        if element.shape is Shape.TENON and not held:
            found.append(Neck(start, end, element.start_mm, index))
    return tuple(sorted(found, key=lambda neck: neck.start_mm + neck.end_mm))


def thin_necks(profile: Profile, least_mm: float) -> tuple[Neck, ...]:
    """The necks that are thinner than the least allowed, from the tailstock end; maybe none.

    Args: profile; least diameter of a neck, mm, more than 0: the workshop's own limit, by wood
    and by use. Source: :func:`necks`; the limit is passed in.

    Raises:
        ValueError: the limit is not more than 0.

    >>> from studio.turning.profile import cove, taper, tenon
    >>> piece = Profile((taper(30, 0, 6), cove(10, 3, 6, 12), tenon(10, 8)))
    >>> [neck.diameter_mm for neck in thin_necks(piece, 4)]
    [3.0]
    """
    positive(least_mm, "the least diameter of a neck")
    return tuple(neck for neck in necks(profile) if neck.diameter_mm < least_mm - SAME_PLACE_MM)


def slenderness(length_mm: float, diameter_mm: float) -> float:
    """Length over diameter, no unit; above :data:`SLENDER_RATIO` wood without support whips.

    Args: unsupported length and diameter, mm, more than 0. Source: common practice, no source.

    Raises:
        ValueError: a value is out of range.

    >>> slenderness(120, 10)
    12.0
    """
    return positive(length_mm, "the length") / positive(diameter_mm, "the diameter")


_THICKNESSES_BETWEEN = 32
"""Thicknesses tried between two neighbouring ones of the profile: the ratio found is then within
two parts in a hundred of the largest."""


@lru_cache(maxsize=64)
def slenderest_run(profile: Profile) -> SlenderRun:
    """The stretch that is longest for its thickness, so that a thin stem shows in a thick piece.

    For a thickness d, the longest stretch nowhere thicker than d, over d; the largest such ratio
    over every diameter of the profile and 32 between each two. Args: profile. Source:
    slenderness is common practice, no source; looking for the worst stretch is ours.

    Raises:
        ValueError: never of itself; a profile is checked when it is made.

    >>> from studio.turning.profile import bead, straight
    >>> run = slenderest_run(Profile((bead(12, 12, 0, 4), straight(50, 4), bead(12, 16, 4, 4))))
    >>> run.ratio, run.slender
    (12.5, True)
    """
    sizes = sorted({diameter for _, diameter, _, _ in profile.changes if diameter > 0})
    longest = {size: _longest(profile, size) for size in sizes}
    best = max((run for run in longest.values() if run), key=lambda run: run.ratio)
    for low, high in pairwise([0.0, *sizes]):
        limit = longest[high]
        if low and limit and (limit.end_mm - limit.start_mm) / low <= best.ratio:
            # no thickness between can have a longer stretch than the thicker end
            continue
        part = (high - low) / (_THICKNESSES_BETWEEN + 1)
        for step in range(1, _THICKNESSES_BETWEEN + 1):
            run = _longest(profile, low + step * part)
            if run and run.ratio > best.ratio:
                best = run
    return _to_edges(profile, best)


_BESIDE_AN_EDGE = 1 / 300
"""So far beyond an element's edge, as a part of the thickness, a run still ends there (ours)."""


def _to_edges(profile: Profile, run: SlenderRun) -> SlenderRun:
    """The run with ends a hair beyond an element's edge put onto it.

    Where a curve runs out level, the rounding of a radius is far more along the axis: a straight
    stretch of 60 mm would be one of 60.004 mm.
    """
    thick = run.diameter_mm
    edges = [start + end for _, start, piece in profile.placed for end in (0.0, piece.length)]
    start, end = (
        min((edge for edge in edges if abs(edge - at) <= thick * _BESIDE_AN_EDGE), default=at)
        for at in (run.start_mm, run.end_mm)
    )
    return SlenderRun(start, end, thick, slenderness(end - start, thick))


def _longest(profile: Profile, diameter_mm: float) -> SlenderRun | None:
    runs = _runs(profile, diameter_mm)
    return max(runs, key=lambda run: run.end_mm - run.start_mm, default=None)


def _runs(profile: Profile, diameter_mm: float) -> Iterable[SlenderRun]:
    """Every stretch nowhere thicker than a diameter."""
    spans: list[list[float]] = []
    # a diameter read off an arc comes back a rounding short
    radius = diameter_mm / 2 + SAME_PLACE_MM / 2
    for _, start, piece in profile.placed:
        for first, last in piece.not_above(radius):
            if spans and start + first - spans[-1][1] <= SAME_PLACE_MM:
                spans[-1][1] = start + last
            else:
                spans.append([start + first, start + last])
    for first, last in spans:
        if last - first > SAME_PLACE_MM:
            yield SlenderRun(first, last, diameter_mm, slenderness(last - first, diameter_mm))


GLUE_FILLS_MM = 0.25
"""The thickest film, mm, that common wood glues fill and hold in (common practice, no source)."""


def tenon_for_hole_mm(hole_mm: float, gap_mm: float) -> float:
    """Tenon for a hole that is drilled already: its diameter less the glue gap on both sides.

    Args: diameter of the hole (the drill's real size), mm, more than 0; gap all round, mm, 0 or
    more. Returns mm, to be rounded down where it is printed. Source: elementary arithmetic; the
    gap is the glue's and the workshop's own (common practice, no source).

    Raises:
        ValueError: a value is out of range, or the gap leaves no tenon.

    >>> tenon_for_hole_mm(8, 0.1)
    7.8
    """
    positive(hole_mm, "the hole's diameter")
    left = hole_mm - 2 * not_negative(gap_mm, "the glue gap")
    if left <= 0:
        raise ValueError(f"a gap of {gap_mm:g} mm all round leaves no tenon in {hole_mm:g} mm")
    return left


def least_tenon_mm(tenon_mm: float, beyond_mm: float) -> float:
    """How much of a tenon the wood should hold for what stands out on it, mm.

    Half as long as it is thick, or a quarter of what stands out beyond its shoulder where that is
    shorter, as on a lid's wide plug; a tenth of what stands out where that is longer, but never
    more than it is thick. Args: diameter of the tenon, mm, more than 0; length of the part without
    it, mm, 0 or more. Source: a rule of thumb of ours; common practice, without a source, is a
    tenon about as long as it is thick or longer.

    Raises:
        ValueError: a value is out of range.

    >>> least_tenon_mm(8, 60), least_tenon_mm(16, 20), least_tenon_mm(6, 200)
    (6.0, 5.0, 6)
    """
    positive(tenon_mm, "the tenon's diameter")
    not_negative(beyond_mm, "the part's length")
    return min(tenon_mm, max(min(tenon_mm / 2, beyond_mm / 4), beyond_mm / 10))


def drill_for_tenon(tenon_mm: float, gap_mm: float, owned: Sequence[Drill]) -> Drill | None:
    """The thinnest owned drill that leaves the glue gap round a tenon; None if none does.

    Args: diameter of the tenon, mm, more than 0; gap all round, mm, 0 or more; drills owned, of
    one system to get that system's own size. Source: choosing up is common practice, no source.

    Raises:
        ValueError: a value is out of range.

    >>> from studio.turning.drills import DrillSeries, expand
    >>> drill_for_tenon(7.9, 0.1, expand(DrillSeries.METRIC, 5, 10, 0.5)).label
    '8.5 mm'
    """
    positive(tenon_mm, "the tenon's diameter")
    return choose(tenon_mm, 2 * not_negative(gap_mm, "the glue gap"), owned)


def tenon_joint(
    tenon_mm: float, tenon_length_mm: float, hole_mm: float, hole_depth_mm: float
) -> TenonJoint:
    """What room a tenon has in its hole: all round and at the bottom.

    Args: tenon's diameter and length, hole's diameter and depth, mm, more than 0. Source:
    elementary arithmetic.

    Raises:
        ValueError: a value is out of range, or the tenon is thicker or longer than its hole.

    >>> tenon_joint(7.8, 10, 8, 12)
    TenonJoint(gap_mm=0.1, room_mm=2)
    """
    positive(tenon_mm, "the tenon's diameter")
    positive(tenon_length_mm, "the tenon's length")
    positive(hole_mm, "the hole's diameter")
    positive(hole_depth_mm, "the hole's depth")
    if tenon_mm > hole_mm:
        raise ValueError(
            f"a tenon of {tenon_mm:g} mm does not go into a hole of {hole_mm:g} mm; "
            "turn it thinner or take a larger drill"
        )
    if tenon_length_mm > hole_depth_mm:
        raise ValueError(
            f"a tenon {tenon_length_mm:g} mm long does not go into a hole {hole_depth_mm:g} mm "
            "deep; shorten it or drill deeper"
        )
    return TenonJoint((hole_mm - tenon_mm) / 2, hole_depth_mm - tenon_length_mm)
