"""Lines and arcs in a plane, and how far places are from them: what a section is drawn with."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from studio.turning import cutters, profile
from studio.turning.cutters import Section
from studio.turning.piece import Bore, Globe, PlacedPart

Floats = npt.NDArray[Any]
"""Numbers for many places at once, in single precision: good to 0.0001 mm on a piece of 600 mm."""


@dataclass(frozen=True, slots=True)
class LineStroke:
    """A straight stroke; the wood lies to the left of the way from its start to its end.

    Attributes:
        start, end: its ends, mm.
    """

    start: tuple[float, float]
    end: tuple[float, float]

    def distance(self, x: Floats, y: Floats) -> Floats:
        """How far places are from it, mm, 0 or more."""
        (x0, y0), (x1, y1) = self.start, self.end
        dx, dy = x1 - x0, y1 - y0
        squared = dx * dx + dy * dy
        part = ((x - x0) * dx + (y - y0) * dy) * (1 / squared if squared else 0.0)
        part = np.clip(part, 0, 1)
        found: Floats = np.hypot(x - (x0 + part * dx), y - (y0 + part * dy))
        return found

    def normal(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Direction square to it, away from the wood."""
        (x0, y0), (x1, y1) = self.start, self.end
        long = math.hypot(x1 - x0, y1 - y0) or 1.0
        return np.full_like(x, (y1 - y0) / long), np.full_like(x, (x0 - x1) / long)


@dataclass(frozen=True, slots=True)
class ArcStroke:
    """A stroke round a centre.

    Attributes:
        centre: of its circle, mm.
        radius: of its circle, mm.
        middle_rad: direction from the centre to the middle of the stroke, radians.
        half_rad: from there to its ends, radians.
        outward: 1 where the wood lies on the centre's side, -1 where it lies on the other.
    """

    centre: tuple[float, float]
    radius: float
    middle_rad: float
    half_rad: float
    outward: int = 1

    def distance(self, x: Floats, y: Floats) -> Floats:
        """How far places are from it, mm, 0 or more."""
        dx, dy = x - self.centre[0], y - self.centre[1]
        far = np.hypot(dx, dy)
        off = np.abs(far - self.radius)
        if self.half_rad >= math.pi:
            return np.asarray(off)
        along = dx * math.cos(self.middle_rad) + dy * math.sin(self.middle_rad)
        beyond = along < far * math.cos(self.half_rad)
        ends = [
            np.hypot(dx - self.radius * math.cos(at), dy - self.radius * math.sin(at))
            for at in (self.middle_rad - self.half_rad, self.middle_rad + self.half_rad)
        ]
        return np.where(beyond, np.minimum(*ends), off)

    def normal(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Direction square to it, away from the wood."""
        dx, dy = x - self.centre[0], y - self.centre[1]
        scale = self.outward / np.maximum(np.hypot(dx, dy), 1e-6)
        return dx * scale, dy * scale


Stroke = LineStroke | ArcStroke


def nearest(strokes: Iterable[Stroke], x: Floats, y: Floats) -> Floats:
    """How far places are from the nearest stroke, mm."""
    found = np.full_like(x, np.inf)
    for stroke in strokes:
        np.minimum(found, stroke.distance(x, y), out=found)
    return found


def section_strokes(section: Section) -> tuple[Stroke, ...]:
    """One half of a groove's cross-section, without the land beside it; x is s and y is h.

    Source: the record itself.
    """
    return tuple(
        LineStroke(piece.start, piece.end)
        if isinstance(piece, cutters.Line)
        else ArcStroke(
            piece.centre,
            piece.radius_mm,
            (piece.start_rad + piece.end_rad) / 2,
            abs(piece.end_rad - piece.start_rad) / 2,
            # a cove's wood lies beyond its circle, a round-over's within
            -1 if piece.end_rad < piece.start_rad else 1,
        )
        for piece in section.pieces
    )


def part_strokes(part: PlacedPart) -> tuple[Stroke, ...]:
    """A turned part's surface with its shoulders and ends; x is off the axis and y the height.

    Source: the record itself.
    """
    strokes: list[Stroke] = []
    at = (0.0, 0.0)
    for _, start, piece in part.profile.placed:
        first, last = piece.radius(0.0), piece.radius(piece.length)
        strokes.append(_line(part, at, (start, first)))
        end = start + piece.length
        if isinstance(piece, profile.LinePiece):
            strokes.append(_line(part, (start, first), (end, last)))
        else:
            ends = [
                math.asin(max(-1.0, min(1.0, (u - piece.middle) / piece.rho)))
                for u in (0.0, piece.length)
            ]
            middle = sum(ends) / 2
            up = -1.0 if part.up else 1.0
            strokes.append(
                ArcStroke(
                    (piece.centre, part.height_mm(start + piece.middle)),
                    piece.rho,
                    math.atan2(up * math.sin(middle), piece.bulge * math.cos(middle)),
                    (ends[1] - ends[0]) / 2,
                    piece.bulge,
                )
            )
        at = (end, last)
    strokes.append(_line(part, at, (at[0], 0.0)))
    return tuple(
        stroke for stroke in strokes if isinstance(stroke, ArcStroke) or stroke.start != stroke.end
    )


def _line(part: PlacedPart, start: tuple[float, float], end: tuple[float, float]) -> LineStroke:
    """A stroke between places on a profile, position and radius, with the wood to its left."""
    ends = (start[1], part.height_mm(start[0])), (end[1], part.height_mm(end[0]))
    return LineStroke(*(ends[::-1] if part.up else ends))


_REACHES_MM = 0.01
"""How close to the wood's end a hole must come to be open there, mm (ours)."""


def opened(bores: Iterable[Bore], low: float, high: float) -> tuple[Bore, ...]:
    """Holes in wood between two heights; those that reach an end go on well beyond it.

    A drill that comes to the pole takes away ridges round the pole that stand higher, and nothing
    is left standing as a skin where the hole and the wood end at one height. Args: bores; the
    heights of the wood's ends on its axis, mm.
    """
    beyond = high - low
    return tuple(
        Bore(
            bore.from_mm - (beyond if bore.from_mm <= low + _REACHES_MM else 0.0),
            bore.to_mm + (beyond if bore.to_mm >= high - _REACHES_MM else 0.0),
            bore.diameter_mm,
        )
        for bore in bores
    )


def globe_bores(globe: Globe) -> tuple[Bore, ...]:
    """The globe's holes, open at the poles that they reach."""
    pole = globe.diameter_mm / 2
    if globe.section is not None and globe.grooves:
        pole = globe.section.core_radius_mm
    return opened(globe.bores, -pole, pole)


def part_bores(part: PlacedPart) -> tuple[Bore, ...]:
    """A turned part's holes, open at the ends that they reach."""
    ends = part.height_mm(0.0), part.height_mm(part.profile.length_mm)
    return opened(part.bores, min(ends), max(ends))


def bore_strokes(bore: Bore) -> tuple[Stroke, ...]:
    """A bore's side and its two ends; x is off the axis and y the height.

    Source: the record itself.
    """
    radius = bore.diameter_mm / 2
    return (
        LineStroke((radius, bore.to_mm), (radius, bore.from_mm)),
        LineStroke((radius, bore.from_mm), (0.0, bore.from_mm)),
        LineStroke((0.0, bore.to_mm), (radius, bore.to_mm)),
    )
