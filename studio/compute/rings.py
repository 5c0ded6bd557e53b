"""Rings: grooves on circles round the ball, parallel to the equator."""

from __future__ import annotations

from dataclasses import dataclass, replace

from studio.compute.cutting import Fitted, add_cut, fitted
from studio.compute.sheet import GEOMETRY, TRIGONOMETRY, TYPED, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Design
from studio.measure.rounding import Direction
from studio.measure.schedule import Schedule
from studio.turning import grooves, rings
from studio.turning.piece import RingCut
from studio.turning.profile import SAME_PLACE_MM


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
        return RingCut(latitude if self.side == "top" else -latitude, self.one.section)


def add_rings(sheet: Sheet, design: Design) -> None:
    """``rings.*``, when the design has rings; each half's ring has its own number."""
    if not design.rings or sheet.globe is None:
        return
    placed = _placed(sheet, design)
    if placed is None:
        return
    cuts = [one.cut for one in placed]
    try:
        lands = rings.ring_lands(cuts, **_holes(design))
        for cut in cuts:
            rings.ring_edges(cut)
    except ValueError as error:
        write = "write another place or a narrower ring"
        sheet.problem("rings", what=sheet.told(error), write=write)
        return
    least = max((one.least_land for one in design.rings), key=lambda length: length.mm)
    narrowest = min(land.land_mm for land in lands)
    if narrowest < float(least.mm) - SAME_PLACE_MM:
        found, limit = sheet.short_of(narrowest, least)
        sheet.problem(
            "rings",
            what=f"only {found} of land is left beside a ring, less than {limit}",
            write="move the rings apart, make them narrower, or write a smaller least_land",
        )
        return
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
            heading="Rings",
            columns=(
                "Half", "From the equator, along the axis", "Dividers from the pole",
                "From the equator, along the ball", "Cutter", "Width", "Depth",
            ),
            rows=tuple(rows),
            notes=(
                "Turn the rings while the ball still runs on the line of its poles, before any "
                "groove through the poles is cut.",
            ),
        )
    )  # fmt: skip
    sheet.globe = replace(sheet.globe, rings=tuple(cuts))


def _holes(design: Design) -> dict[str, float]:
    hollow = design.hollow
    if hollow is None:
        return {}
    return {f"{hollow.pole}_hole_mm": float(hollow.opening.mm)}


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
        sides = ("top", "bottom") if ring.side == "both" and ring.place.mm else (ring.side,)
        circle = grooves.ring(diameter, latitude)
        placed += [_Placed(entry, "top" if s == "both" else s, circle, one) for s in sides]
    return sorted(placed, key=lambda one: one.cut.latitude_deg, reverse=True)


def _add_ring(sheet: Sheet, design: Design, placed: _Placed, tail: str) -> None:
    typed, circle = design.rings[placed.entry], placed.ring
    sheet.words(
        f"rings.side{tail}",
        "Half of the ball",
        placed.side if circle.latitude_deg else "equator",
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
        ("dividers", "Dividers that draw it from the pole", circle.divider_mm,
         "diameter × sin((90° − latitude) / 2)", "straight, from the pole"),
        ("arc", "From the equator along the ball", circle.arc_mm, "radius × latitude",
         "on a paper strip laid from the equator"),
        ("diameter", "Diameter of the circle on which it runs", circle.diameter_mm,
         "diameter × cos(latitude)", ""),
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
