"""Rings: grooves on circles round the ball, parallel to the equator."""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import pairwise

from studio.compute.cutting import Fitted, add_cut, fitted
from studio.compute.sheet import GEOMETRY, TRIGONOMETRY, TYPED, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Design, Ring
from studio.language import later, later_for, tr, tr_for
from studio.measure.rounding import Direction
from studio.measure.schedule import Schedule
from studio.measure.units import Length
from studio.turning import grooves, rings
from studio.turning.piece import RingCut
from studio.turning.profile import SAME_PLACE_MM

SIDES = {"top": "tailstock side", "bottom": "headstock side"}
"""What the halves of the ball are called at the lathe: the top is turned at the tailstock."""

later_for("half", "tailstock side", "headstock side", "equator")


@dataclass(frozen=True, slots=True)
class _Placed:
    """A ring of the design on one half of the ball."""

    entry: int
    side: str
    ring: grooves.Ring
    one: Fitted

    @property
    def cut(self) -> RingCut:
        latitude = self.ring.latitude_deg
        # the equator has no side: -0.0 would be told as -0°
        signed = latitude if self.side == "top" or not latitude else -latitude
        return RingCut(signed, self.one.section)


def add_rings(sheet: Sheet, design: Design) -> None:
    """``rings.*``, when the design has rings; each half's ring has its own number."""
    if not design.rings or sheet.globe is None:
        return
    placed = _placed(sheet, design)
    if placed is None:
        return
    cuts = [one.cut for one in placed]
    least = max((one.least_land for one in design.rings), key=lambda length: length.mm)
    if _reaches_an_end(sheet, design, placed, least) or _reaches_another(sheet, placed, least):
        return
    narrowest = min(land.land_mm for land in rings.ring_lands(cuts, **holes_of(design)))
    sheet.count("rings.number", "Rings", len(placed), formula="counted", source=GEOMETRY)
    sheet.length(
        "rings.land",
        "Least land beside a ring",
        narrowest,
        Direction.DOWN,
        formula="along a meridian to the next ring, the pole or the opening",
        source=GEOMETRY,
        where="along the sphere",
    )
    rows = []
    for number, one in enumerate(placed):
        tail = f"_{number + 1}"
        _add_ring(sheet, design, one, tail)
        keys = ("side", "place", "dividers", "arc", "cutter", "width", "depth")
        rows.append(tuple(f"rings.{key}{tail}" for key in keys))
    sheet.schedules.append(
        Schedule(
            name="rings.table",
            heading=tr("Rings"),
            columns=(
                tr("Half"), tr("From the equator, along the axis"), tr("Dividers from the pole"),
                tr("From the equator, along the ball"), tr("Cutter"), tr("Width"), tr("Depth"),
            ),
            rows=tuple(rows),
            along_axis=True,
            notes=(
                tr(
                    "Turn the rings while the ball still runs on the line of its poles, before any "
                    "groove through the poles is cut. The tailstock side becomes the top of the "
                    "piece."
                ),
            ),
        )
    )  # fmt: skip
    sheet.globe = replace(sheet.globe, rings=tuple(cuts))


def sides_of(ring: Ring) -> tuple[str, ...]:
    """The halves of the ball that a ring stands on; the equator has one ring alone."""
    if ring.side == "both":
        return ("top", "bottom") if ring.place.mm else ("top",)
    return (ring.side,)


def holes_of(design: Design) -> dict[str, float]:
    """Diameter of the hole at each pole that has one, by the argument that takes it."""
    hollow = design.hollow
    if hollow is None:
        return {}
    return {f"{hollow.pole}_hole_mm": float(hollow.opening.mm)}


def _reaches_an_end(sheet: Sheet, design: Design, placed: Sequence[_Placed], least: Length) -> bool:
    """Whether a ring is too near to a pole or to the hole there; a problem noted at its place."""
    for one in placed:
        cut = one.cut
        hole = holes_of(design).get(f"{one.side}_hole_mm", 0.0) if cut.latitude_deg else 0.0
        width, diameter = cut.section.width_mm, cut.section.diameter_mm
        try:
            rings.ring_edges(cut)
            lands = rings.ring_lands([cut], **holes_of(design))
        except ValueError as error:
            what = sheet.told(error).partition(";")[0]
        else:
            narrowest = min(land.land_mm for land in lands)
            if narrowest >= float(least.mm) - SAME_PLACE_MM:
                continue
            found, limit = sheet.short_of(narrowest, least)
            what = f"only {found} of land is left beside a ring, less than {limit}"
        ways = []
        with suppress(ValueError):
            highest = rings.highest_ring_deg(diameter, width, hole, float(least.mm))
            most = grooves.ring(diameter, highest).from_equator_mm
            ways.append(f"write {sheet.fine(most, Direction.DOWN)} or less")
        with suppress(ValueError):
            widest = rings.widest_ring_mm(diameter, cut.latitude_deg, hole, float(least.mm))
            ways.append(f"make it {sheet.fine(widest, Direction.DOWN)} wide or less")
        write = ", or ".join(ways) or "leave this ring out: there is no room for it"
        sheet.problem("rings", one.entry, "place", what=what, write=write)
        return True
    return False


def _reaches_another(sheet: Sheet, placed: Sequence[_Placed], least: Length) -> bool:
    """Whether two rings are too near to one another; a problem noted at the place of one."""
    for upper, lower in pairwise(placed):
        land = rings.land_between_mm(upper.cut, lower.cut)
        if land >= float(least.mm) - SAME_PLACE_MM:
            continue
        if land < 0:
            what = f"this ring runs into another by {sheet.fine(-land, Direction.UP)}"
        else:
            found, limit = sheet.short_of(land, least)
            what = f"only {found} of land is left beside a ring, less than {limit}"
        # the one farther from the equator moves on
        near, far = sorted((upper, lower), key=lambda one: one.ring.latitude_deg)
        write = "move them apart or make them narrower"
        with suppress(ValueError):
            place = _free_place_mm(near, far, float(least.mm))
            write = f"write {sheet.fine(place, Direction.UP)} or more, or make both narrower"
        sheet.problem("rings", far.entry, "place", what=what, write=write)
        return True
    return False


def _free_place_mm(near: _Placed, far: _Placed, least: float) -> float:
    """Where a ring leaves the least land beside one that is nearer to the equator."""
    width, section = far.one.across_mm, near.one.section
    if near.side == far.side or not near.ring.latitude_deg:
        return rings.place_beside_mm(RingCut(near.ring.latitude_deg, section), width, least)
    if near.entry != far.entry:
        return rings.place_beside_mm(RingCut(-near.ring.latitude_deg, section), width, least)
    # its own like on the other half: each leaves half of the land on its side of the equator
    radius = section.diameter_mm / 2
    return radius * math.sin((width + least) / 2 / radius)


def _placed(sheet: Sheet, design: Design) -> list[_Placed] | None:
    diameter = float(turned_diameter(design)[0].mm)
    placed: list[_Placed] = []
    for entry, ring in enumerate(design.rings):
        try:
            latitude = grooves.ring_latitude_deg(diameter, float(ring.place.mm))
        except ValueError as error:
            write = f"write less than half of {sheet.fine(diameter)}"
            sheet.problem("rings", entry, "place", what=sheet.told(error), write=write)
            return None
        one = fitted(sheet, design, ring, diameter, "rings", entry)
        if one is None:
            return None
        circle = grooves.ring(diameter, latitude)
        placed += [_Placed(entry, side, circle, one) for side in sides_of(ring)]
    return sorted(placed, key=lambda one: one.cut.latitude_deg, reverse=True)


def _add_ring(sheet: Sheet, design: Design, placed: _Placed, tail: str) -> None:
    typed, circle = design.rings[placed.entry], placed.ring
    sheet.words(
        f"rings.side{tail}",
        "Half of the ball",
        tr_for("half", SIDES[placed.side] if circle.latitude_deg else "equator"),
        formula="typed",
        source=TYPED,
    )
    sheet.typed(f"rings.place{tail}", "From the equator to its middle", typed.place,
                at=("rings", placed.entry, "place"),
                where="along the line of the poles")  # fmt: skip
    sheet.angle(
        f"rings.latitude{tail}",
        "Latitude of the ring",
        circle.latitude_deg,
        formula="asin(place / radius)",
        source=TRIGONOMETRY,
    )
    for key, label, mm, formula, where in (
        ("dividers", later("Dividers that draw it from the pole"), circle.divider_mm,
         later("diameter × sin((90° − latitude) / 2)"), later("straight, from the pole")),
        ("arc", later("From the equator along the ball"), circle.arc_mm, later("radius × latitude"),
         later("on a paper strip laid from the equator")),
        ("diameter", later("Diameter of the circle on which it runs"), circle.diameter_mm,
         later("diameter × cos(latitude)"), ""),
    ):  # fmt: skip
        sheet.length(
            f"rings.{key}{tail}",
            label,
            mm,
            Direction.NEAREST,
            formula=formula,
            source=TRIGONOMETRY,
            where=where,
        )
    add_cut(sheet, design, typed, placed.one, ("rings", placed.entry), "rings", tail)
