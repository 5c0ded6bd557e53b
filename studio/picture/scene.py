"""How far any place is from the wood, and which way the surface faces there.

A piece is a globe and turned parts about one line, the line of the poles. Grooves apart, all of it
is round about that line, so its distances depend on two numbers, how far off the line and how high,
and are held in a table of them. A great-circle groove is round about its own axis: its distances
depend on the distance from the globe's centre and the angle to the groove's plane, and the nearest
groove alone counts. Both tables are read between their nodes; directions of the surface are not,
they come from the lines and arcs themselves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from studio.picture.strokes import (
    ArcStroke,
    Floats,
    Stroke,
    bore_strokes,
    globe_bores,
    nearest,
    part_bores,
    part_strokes,
    section_strokes,
)
from studio.turning.cutters import Section, surface_radius_mm
from studio.turning.grooves import lobes
from studio.turning.piece import Bore, Globe, Piece, PlacedPart
from studio.turning.profile import outline

_NODES = 100_000
"""Nodes of a table of heights (ours): about a picture's pixel apart."""

_ACROSS, _DEEP = 160, 96
"""Nodes of a groove's table, across half of it and down (ours)."""

_FEW = 12
"""Up to so many grooves asking each plane is quicker than an arc tangent (measured)."""

_RIDGE_STEPS = 180
"""Places along a ridge from pole to pole (ours): the highest is then good to a few micrometres."""

_ANGLES = 513
"""Angles at which a section's surface is asked for (ours)."""


@dataclass(frozen=True)
class Table:
    """Values on a grid, read in between by straight lines both ways.

    Where x is a distance off a line the grid begins at 0 and nothing lies before it.

    Attributes:
        x0, y0: where the grid begins.
        x1, y1: where it ends.
        values: one row for each y.
    """

    x0: float
    y0: float
    x1: float
    y1: float
    values: Floats

    def at(self, x: Floats, y: Floats) -> Floats:
        """The value at places; outside the grid that of its nearest edge."""
        rows, columns = self.values.shape
        flat = self.values.ravel()
        u = (x - self.x0) * ((columns - 1) / (self.x1 - self.x0))
        v = (y - self.y0) * ((rows - 1) / (self.y1 - self.y0))
        np.minimum(np.maximum(u, 0, out=u), columns - 1.001, out=u)
        np.minimum(np.maximum(v, 0, out=v), rows - 1.001, out=v)
        column, first = u.astype(np.intp), v.astype(np.intp)
        u -= column
        v -= first
        first *= columns
        first += column
        # checked above: "clip" here only spares numpy another check
        low: Floats = flat.take(first, mode="clip")
        first += 1
        step = flat.take(first, mode="clip")
        step -= low
        step *= u
        low += step
        first += columns
        high: Floats = flat.take(first, mode="clip")
        first -= 1
        step = flat.take(first, mode="clip")
        high -= step
        high *= u
        high += step
        high -= low
        high *= v
        high += low
        return high

    def beyond(self, x: Floats, y: Floats) -> Floats:
        """The value, and outside the grid a distance that is never too large."""
        value = self.at(x, y)
        out = np.maximum(x - self.x1, 0)
        up = np.maximum(np.maximum(self.y0 - y, y - self.y1), 0)
        away = out * out + up * up
        outside = away > 0
        if not outside.any():
            return value
        far = np.sqrt(away + np.maximum(value, 0) ** 2)
        return np.where(outside, far, value)


class SectionDistance:
    """Distances in the plane of a groove's section, by distance from the centre and angle."""

    def __init__(self, section: Section) -> None:
        self.radius = section.diameter_mm / 2
        self.half = section.half_angle_rad
        self.strokes = section_strokes(section)
        between = (self.half + math.pi / 2) / 2
        land = ArcStroke((0.0, 0.0), self.radius, between, math.pi / 2 - between)
        self._outline = (*self.strokes, land)
        self._angles = np.linspace(0, self.half, _ANGLES)
        self._surface = np.array([surface_radius_mm(section, a) for a in self._angles])

    def signed(self, far: Floats, angle: Floats) -> Floats:
        """Distance from the wood, mm, below 0 inside it; the angle 0 to a quarter turn."""
        off = nearest(self._outline, far * np.cos(angle), far * np.sin(angle))
        surface = np.interp(angle, self._angles, self._surface, right=self.radius)
        return np.where(far < surface, -off, off).astype(np.float32)


@dataclass
class _Facing:
    """The nearest surface found so far, and the way it faces.

    Attributes:
        looks: direction from which each place is seen.
        slack: how much nearer a surface that turns its back must be, mm.
        off: how far the nearest surface is, mm.
        x, y, z: the way it faces.
    """

    looks: tuple[Floats, Floats, Floats]
    slack: float
    off: Floats
    x: Floats
    y: Floats
    z: Floats

    @classmethod
    def none(cls, looks: tuple[Floats, Floats, Floats], slack: float) -> _Facing:
        """Nothing found yet."""
        blank = np.zeros_like(looks[0])
        return cls(looks, slack, np.full_like(blank, np.inf), blank, blank, blank)

    def offer(self, off: Floats, x: Floats, y: Floats, z: Floats) -> None:
        """Take a surface where it is nearer than what was found."""
        turned = x * self.looks[0] + y * self.looks[1] + z * self.looks[2] > 0
        off = off + self.slack * turned
        better = off < self.off
        self.off = np.where(better, off, self.off)
        self.x = np.where(better, x, self.x)
        self.y = np.where(better, y, self.y)
        self.z = np.where(better, z, self.z)


@dataclass
class Scene:
    """Distances and directions of a piece's surface, mm.

    Attributes:
        piece: what is asked about.
        lowest, highest: heights between which it lies.
        widest: its largest distance off the line of the poles.
        parts_box: the parts' largest distance off that line, and heights between which they lie.
    """

    piece: Piece
    lowest: float = field(init=False)
    highest: float = field(init=False)
    widest: float = field(init=False)
    parts_box: tuple[float, float, float] = field(init=False, default=(0.0, 0.0, 0.0))

    def __post_init__(self) -> None:
        piece = self.piece
        outlines = [_placed_outline(part) for part in piece.parts]
        heights = [height for points in outlines for _, height in points]
        widths = [off for points in outlines for off, _ in points]
        self._groove: Table | None = None
        self._globe: Table | None = None
        self._parts: Table | None = None
        globe = piece.globe
        if globe is not None:
            radius = globe.diameter_mm / 2
            if globe.section is not None and globe.grooves:
                self._section = SectionDistance(globe.section)
                self._groove = _groove_table(globe.section, self._section)
            tall = max(height for _, height in _globe_rims(globe))
            heights += [-tall, tall]
            widths.append(radius)
            self._rings = [(ring, SectionDistance(ring.section)) for ring in globe.rings]
            if globe.rings or globe.bores or globe.hollow_diameter_mm:
                self._globe = self._globe_table(globe)
            self._globe_strokes = _globe_strokes(globe)
        self.lowest, self.highest, self.widest = min(heights), max(heights), max(widths)
        self._strokes = [
            (*part_strokes(part), *(s for bore in part_bores(part) for s in bore_strokes(bore)))
            for part in piece.parts
        ]
        if piece.parts:
            low = min(height for points in outlines for _, height in points)
            high = max(height for points in outlines for _, height in points)
            self.parts_box = max(off for points in outlines for off, _ in points), low, high
            self._parts = self._part_table(outlines)

    def rims(self) -> list[tuple[float, float]]:
        """Circles that bound the piece: distance off the line of the poles and height, mm."""
        found = [point for part in self.piece.parts for point in _placed_outline(part)]
        if self.piece.globe is not None:
            found += _globe_rims(self.piece.globe)
        return found

    def foot(self) -> float:
        """Radius of the flat on which it stands, mm; 0 without one."""
        low = self.lowest + 1e-6 * (self.highest - self.lowest)
        return max((off for off, height in self.rims() if height <= low), default=0.0)

    def stands(self) -> bool:
        """Whether the piece can stand on its lower end, or would have to hang.

        A ball rests on its pole, with or without grooves. A part below it needs a flat that is
        wide for the piece's width and height, by eye: one that is round below would roll over.
        """
        if self._part_is_lowest():
            return self.foot() > max(0.12 * self.widest, 0.06 * (self.highest - self.lowest))
        low = self.lowest + 0.02 * (self.highest - self.lowest)
        foot = max((off for off, height in self.rims() if height <= low), default=0.0)
        return foot > 0.12 * self.widest

    def _part_is_lowest(self) -> bool:
        heights = [height for part in self.piece.parts for _, height in _placed_outline(part)]
        return min(heights, default=math.inf) <= self.lowest

    def _globe_table(self, globe: Globe) -> Table:
        radius = globe.diameter_mm / 2
        reach = 1.15 * radius
        x, y = _grid(0.0, -reach, reach, reach)
        far = np.hypot(x, y)
        found = far - radius
        latitude = np.arctan2(y, x)
        for ring, distance in self._rings:
            away = np.abs(latitude - math.radians(ring.latitude_deg))
            np.maximum(found, distance.signed(far, np.minimum(away, math.pi / 2)), out=found)
        if globe.hollow_diameter_mm:
            np.maximum(found, globe.hollow_diameter_mm / 2 - far, out=found)
        for bore in globe_bores(globe):
            np.maximum(found, -_bore_distance(bore, x, y), out=found)
        return Table(0.0, -reach, reach, reach, found)

    def _part_table(self, outlines: Sequence[Sequence[tuple[float, float]]]) -> Table:
        wide, low, high = self.parts_box
        margin = 0.25 * wide
        box = (0.0, low - margin, wide + margin, high + margin)
        x, y = _grid(*box)
        found = np.full_like(x, np.inf)
        for part, points in zip(self.piece.parts, outlines, strict=True):
            off = nearest(part_strokes(part), x, y)
            # in the order of the profile, so that both sides of a step stay where they are
            upwards = points[::-1] if part.up else points
            offs, ups = zip(*upwards, strict=True)
            radius = np.interp(y, ups, offs, left=0.0, right=0.0)
            signed = np.where(x < radius, -off, off)
            for bore in part_bores(part):
                np.maximum(signed, -_bore_distance(bore, x, y), out=signed)
            np.minimum(found, signed, out=found)
        return Table(*box, found)

    def globe_distance(self, x: Floats, y: Floats, z: Floats) -> Floats | None:
        """Distance from the globe, mm; None without one."""
        globe = self.piece.globe
        if globe is None:
            return None
        flat = x * x + y * y
        far = np.sqrt(flat + z * z)
        if self._groove is None:
            found: Floats = far - globe.diameter_mm / 2
        else:
            table = self._groove
            rise = self._from_plane(x, y, flat, globe.grooves) / np.maximum(far, 1e-6)
            found = table.at(rise, far)
            # above the table: never more than by way of its upper edge, nor less than the ball's
            above = np.maximum(far - table.y1, 0)
            found = np.where(
                above > 0,
                np.maximum(np.sqrt(above * above + found * found), far - globe.diameter_mm / 2),
                found,
            )
        if self._globe is not None:
            np.maximum(found, self._globe.beyond(np.sqrt(flat), z), out=found)
        return found

    @staticmethod
    def _from_plane(x: Floats, y: Floats, flat: Floats, grooves: int) -> Floats:
        """How far places are from the plane of the nearest groove, mm."""
        step = math.pi / grooves
        if grooves <= _FEW:
            nearest_plane = np.abs(y)
            for groove in range(1, grooves):
                off = x * math.sin(groove * step)
                off -= y * math.cos(groove * step)
                np.minimum(nearest_plane, np.abs(off, out=off), out=nearest_plane)
            return nearest_plane
        turn = np.arctan2(y, x)
        turn *= 1 / step
        turn -= np.rint(turn)
        turn *= step
        return np.abs(np.sin(turn)) * np.sqrt(flat)

    def part_distance(self, x: Floats, y: Floats, z: Floats) -> Floats | None:
        """Distance from the turned parts, mm; None without any."""
        if self._parts is None:
            return None
        return self._parts.beyond(np.sqrt(x * x + y * y), z)

    def distance(self, x: Floats, y: Floats, z: Floats) -> Floats:
        """Distance from the wood, mm, never too large outside it; below 0 inside."""
        globe, parts = self.globe_distance(x, y, z), self.part_distance(x, y, z)
        if globe is None or parts is None:
            found = parts if globe is None else globe
            assert found is not None  # a piece has a globe or parts
            return found
        return np.minimum(globe, parts)

    def surface(
        self,
        at: tuple[Floats, Floats, Floats],
        looks: tuple[Floats, Floats, Floats],
        slack: float,
    ) -> tuple[tuple[Floats, Floats, Floats], npt.NDArray[np.int32]]:
        """Which way the surface faces at places on it, and whose it is.

        Args: places; directions in which they are looked at; how sure the places are, mm: where
        two surfaces are as near, the one that faces the look is meant. Returns a direction of
        length 1 away from the wood, and -1 for the globe or the number of the part.
        """
        x, y, z = at
        owner = np.full(x.shape, -1, dtype=np.int32)
        off_line = np.maximum(np.sqrt(x * x + y * y), 1e-6)
        facing = np.zeros((3, *x.shape), dtype=np.float32)
        parts, globe = self.part_distance(x, y, z), self.globe_distance(x, y, z)
        if parts is None:
            on_part = np.zeros(x.shape, dtype=bool)
        else:
            on_part = np.ones(x.shape, dtype=bool) if globe is None else parts < globe
        for ours, finder in ((~on_part, self._face_globe), (on_part, self._face_parts)):
            here = np.flatnonzero(ours)
            if not here.size:
                continue
            found = _Facing.none((looks[0][here], looks[1][here], looks[2][here]), slack)
            owner[here] = finder(found, x[here], y[here], z[here], off_line[here])
            facing[:, here] = found.x, found.y, found.z
        return (facing[0], facing[1], facing[2]), owner

    def _face_globe(
        self, found: _Facing, x: Floats, y: Floats, z: Floats, off_line: Floats
    ) -> npt.NDArray[np.int32]:
        globe = self.piece.globe
        assert globe is not None  # asked only for places on it
        far = np.maximum(np.sqrt(x * x + y * y + z * z), 1e-6)
        found.offer(np.abs(far - globe.diameter_mm / 2), x / far, y / far, z / far)
        if self._groove is not None:
            step = math.pi / globe.grooves
            turn = np.rint(np.arctan2(y, x) / step) * step
            across_x, across_y = -np.sin(turn), np.cos(turn)
            signed = x * across_x + y * across_y
            h = np.abs(signed)
            s = np.sqrt(np.maximum(far * far - h * h, 1e-6))
            side = np.where(signed < 0, -1, 1).astype(np.float32)
            along = (x - signed * across_x) / s, (y - signed * across_y) / s, z / s
            for stroke in self._section.strokes:
                n_s, n_h = stroke.normal(s, h)
                n_h = n_h * side
                found.offer(
                    stroke.distance(s, h),
                    n_s * along[0] + n_h * across_x,
                    n_s * along[1] + n_h * across_y,
                    n_s * along[2],
                )
        out_x, out_y = x / off_line, y / off_line
        for ring, distance in self._rings:
            latitude = math.radians(ring.latitude_deg)
            cos, sin = math.cos(latitude), math.sin(latitude)
            s, signed = off_line * cos + z * sin, z * cos - off_line * sin
            h = np.abs(signed)
            side = np.where(signed < 0, -1, 1).astype(np.float32)
            for stroke in distance.strokes:
                n_s, n_h = stroke.normal(s, h)
                n_h = n_h * side
                flat = n_s * cos - n_h * sin
                found.offer(
                    stroke.distance(s, h), flat * out_x, flat * out_y, n_s * sin + n_h * cos
                )
        _offer(found, self._globe_strokes, off_line, z, out_x, out_y)
        return np.full(x.shape, -1, dtype=np.int32)

    def _face_parts(
        self, found: _Facing, x: Floats, y: Floats, z: Floats, off_line: Floats
    ) -> npt.NDArray[np.int32]:
        owner = np.zeros(x.shape, dtype=np.int32)
        for index, strokes in enumerate(self._strokes):
            before = found.off
            _offer(found, strokes, off_line, z, x / off_line, y / off_line)
            owner[found.off < before] = index
        return owner


def _offer(
    found: _Facing,
    strokes: Sequence[Stroke],
    off_line: Floats,
    z: Floats,
    out_x: Floats,
    out_y: Floats,
) -> None:
    """Offer strokes that go round the line of the poles."""
    for stroke in strokes:
        flat, up = stroke.normal(off_line, z)
        found.offer(stroke.distance(off_line, z), flat * out_x, flat * out_y, up)


def _globe_strokes(globe: Globe) -> tuple[Stroke, ...]:
    """What goes round the line of the poles besides the ball's outside and its rings."""
    strokes: list[Stroke] = []
    if globe.hollow_diameter_mm:
        strokes.append(ArcStroke((0.0, 0.0), globe.hollow_diameter_mm / 2, 0.0, math.pi, -1))
    for bore in globe_bores(globe):
        strokes += bore_strokes(bore)
    return tuple(strokes)


def _globe_rims(globe: Globe) -> list[tuple[float, float]]:
    """Circles through a ridge midway between grooves: distance off the line and height, mm."""
    radius = globe.diameter_mm / 2
    between = math.sin(math.pi / lobes(globe.grooves)) if globe.grooves else 1.0
    found = []
    for step in range(_RIDGE_STEPS + 1):
        polar = math.pi * step / _RIDGE_STEPS
        if globe.section is not None and globe.grooves:
            angle = math.asin(min(1.0, math.sin(polar) * between))
            radius = surface_radius_mm(globe.section, angle)
        found.append((radius * math.sin(polar), radius * math.cos(polar)))
    return found


def _groove_table(section: Section, distance: SectionDistance) -> Table:
    """Distances by the sine of the angle to the groove's plane and by distance from the centre."""
    most = math.sin(section.half_angle_rad)
    low = section.core_radius_mm - section.depth_mm / 4
    high = distance.radius + section.depth_mm
    sine, far = np.meshgrid(
        np.linspace(0, most, _ACROSS, dtype=np.float32),
        np.linspace(low, high, _DEEP, dtype=np.float32),
    )
    return Table(0.0, low, most, high, distance.signed(far, np.arcsin(np.minimum(sine, 1))))


def _placed_outline(part: PlacedPart) -> list[tuple[float, float]]:
    """A part's outline as distances off the line of the poles and heights, mm."""
    chord = max(1e-5, 1e-4 * part.profile.length_mm)
    return [(radius, part.height_mm(position)) for position, radius in outline(part.profile, chord)]


def _bore_distance(bore: Bore, x: Floats, y: Floats) -> Floats:
    """Distance from a bore's room, mm, below 0 inside it."""
    out = x - bore.diameter_mm / 2
    up = np.abs(y - (bore.from_mm + bore.to_mm) / 2) - (bore.to_mm - bore.from_mm) / 2
    outside = np.hypot(np.maximum(out, 0), np.maximum(up, 0))
    found: Floats = outside + np.minimum(np.maximum(out, up), 0)
    return found


def _grid(x0: float, y0: float, x1: float, y1: float) -> tuple[Floats, Floats]:
    wide, high = x1 - x0, y1 - y0
    step = math.sqrt(wide * high / _NODES)
    columns, rows = max(24, math.ceil(wide / step)), max(24, math.ceil(high / step))
    x, y = np.meshgrid(
        np.linspace(x0, x1, columns, dtype=np.float32),
        np.linspace(y0, y1, rows, dtype=np.float32),
    )
    return x, y
