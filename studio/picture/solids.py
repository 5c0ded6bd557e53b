"""The finished piece as closed solids of triangles.

Turned forms are polygons that go round a line. A ball with grooves is built from one groove's share
of it and mirror images of that, so that where grooves cross the surfaces meet exactly. Rings,
hollows and holes are taken away by solid subtraction.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import manifold3d
import numpy as np
import numpy.typing as npt
from manifold3d import CrossSection, Manifold

from studio.picture.strokes import globe_bores, part_bores
from studio.turning import cutters
from studio.turning.cutters import Section
from studio.turning.grooves import lobes
from studio.turning.piece import Bore, Globe, Piece, PlacedPart, RingCut
from studio.turning.profile import FINEST_CHORD_ERROR_MM, outline

SEGMENTS = 160
"""Straight pieces to a full turn (ours): corners and chords then lie within 0.02 per cent of the
radius, 0.004 mm on a globe of 60 mm."""

_FATTER = math.sqrt(math.tau / SEGMENTS / math.sin(math.tau / SEGMENTS))
"""How much larger than its circle a polygon is drawn, so that it holds the circle's area."""

_CLOSE = 1e-4
"""How far straight pieces may lie from a section's arcs, as a part of the ball's diameter or the
profile's length (ours): 0.006 mm on 60 mm."""

_SAME_PLACE = 1e-5
"""Edges shorter than this part of the size are left out where corners would become one (ours)."""

_CREASE_DEG = 35.0
"""Corners sharper than this are shaded as corners, degrees (ours)."""

GLUE_GAP_MM = 1.0
"""A hole up to this much wider than the tenon in it counts as filled with glue, mm (ours)."""

_OVERLAP_MM = 0.02
"""How far glue reaches into the wood at both sides, mm (ours), so that one solid comes out."""

_SUNK_MM = 0.01
"""How far parts are sunk into the globe for the whole, mm (ours): a shoulder that only grazes the
ridges between grooves leaves slivers that no file holds, and glue squeezes flat as much."""

_FARTHER = (1, 3, 10, 30)
"""So many times :data:`_SAME_PLACE` is tried, until single precision leaves the surface closed."""

_BEYOND = 1.3
"""How far a cutter's solid reaches outside the ball, as a part of its radius (ours)."""

Point = tuple[float, float]


@dataclass(frozen=True)
class Mesh:
    """A closed surface of triangles.

    Attributes:
        name: what it is: ``globe``, a part's name, or ``piece`` for the whole.
        wood: its species, as the design names it.
        vertices: places, mm, one row each; the poles' line is z.
        triangles: rows of three vertices, counterclockwise seen from outside.
        facing: rows of directions for smooth shading, one for each vertex; a place on a corner is
            several vertices.
    """

    name: str
    wood: str
    vertices: npt.NDArray[np.float32]
    triangles: npt.NDArray[np.uint32]
    facing: npt.NDArray[np.float32]


def mesh_of(piece: Piece) -> Mesh:
    """The whole piece as one closed solid, in the globe's wood.

    The gap between a tenon and its hole is filled, as glue fills it. Args: piece.

    Raises:
        ValueError: the piece has neither globe nor part.
    """
    return _whole(piece, _solids(piece))


def meshes_of(piece: Piece) -> tuple[Mesh, ...]:
    """The globe and each part as a closed solid of its own, with the holes in it.

    Args: piece.

    Raises:
        ValueError: the piece has neither globe nor part.
    """
    return tuple(_mesh(name, wood, solid) for name, wood, solid in _solids(piece))


def all_meshes(piece: Piece) -> tuple[Mesh, tuple[Mesh, ...]]:
    """Both :func:`mesh_of` and :func:`meshes_of`, in less time than one after the other.

    Args: piece.

    Raises:
        ValueError: the piece has neither globe nor part.
    """
    solids = _solids(piece)
    each = tuple(_mesh(name, wood, solid) for name, wood, solid in solids)
    if len(each) == 1:
        (only,) = each
        return Mesh("piece", piece.wood, only.vertices, only.triangles, only.facing), each
    return _whole(piece, solids), each


def _whole(piece: Piece, solids: Sequence[tuple[str, str, Manifold]]) -> Mesh:
    up = {part.name: part.up for part in piece.parts}
    down = {True: -_SUNK_MM, False: _SUNK_MM} if piece.globe is not None else {}
    all_of_it = [
        solid.translate((0.0, 0.0, down.get(up[name], 0.0) if name in up else 0.0))
        for name, _, solid in solids
    ] + _glue(piece)
    return _mesh("piece", piece.wood, Manifold.batch_boolean(all_of_it, manifold3d.OpType.Add))


def _solids(piece: Piece) -> list[tuple[str, str, Manifold]]:
    if piece.globe is None and not piece.parts:
        raise ValueError("a piece without a globe and without parts has no mesh")
    found = [(part.name, part.wood, _part(part)) for part in piece.parts]
    if piece.globe is not None:
        found.insert(0, ("globe", piece.wood, _globe(piece.globe)))
    return found


def _globe(globe: Globe) -> Manifold:
    cuts = [_ring(ring) for ring in globe.rings]
    if globe.hollow_diameter_mm:
        cuts.append(_ball(globe.hollow_diameter_mm / 2))
    cuts += [_bore(bore) for bore in globe_bores(globe)]
    if globe.section is not None and globe.grooves:
        form = _grooved if globe.grooves > 1 else _grooved_once
        return _without(form(globe.section, globe.grooves), cuts)
    return _without(_ball(globe.diameter_mm / 2), cuts)


def _grooved_once(section: Section, _: int) -> Manifold:
    """A ball with one groove, which is round about the groove's axis."""
    groove = _turned(_cut(section)).rotate((90.0, 0.0, 0.0))
    return _without(_ball(section.diameter_mm / 2), [groove])


def _grooved(section: Section, grooves: int) -> Manifold:
    """A ball with great-circle grooves through both poles.

    Between a groove's middle plane and the plane midway to the next one, that groove alone shapes
    the wood: each place of its section runs round the groove's axis, square to the plane, until it
    meets the plane midway; land goes on from the groove's edge to there. All the rest of the ball
    are mirror images of this piece, which share the corners that lie on those planes.
    """
    share = math.pi / lobes(grooves)
    piece, triangles, on_middle, on_midway, poles = _share(section, share)
    count = len(piece)
    turns = 2 * lobes(grooves)
    numbers = np.arange(count)
    places, keys, corners = [], [], []
    for turn in range(turns):
        mirrored = turn % 2
        at = (turn + mirrored) * share
        x, y = piece[:, 0], piece[:, 1] * (-1 if mirrored else 1)
        places.append(
            np.column_stack(
                (
                    x * math.cos(at) - y * math.sin(at),
                    x * math.sin(at) + y * math.cos(at),
                    piece[:, 2],
                )
            )
        )
        # a corner on a plane belongs to both sides of it, one at a pole to all
        group = np.full(count, turn)
        group[on_middle] = turns + (turn + mirrored) % turns
        group[on_midway] = turns + (turn + 1 - mirrored) % turns
        group[poles] = 2 * turns
        keys.append(group * count + numbers)
        corners.append((triangles[:, ::-1] if mirrored else triangles) + turn * count)
    _, first, same = np.unique(np.concatenate(keys), return_index=True, return_inverse=True)
    return Manifold(
        manifold3d.Mesh64(
            np.ascontiguousarray(np.concatenate(places)[first]),
            np.ascontiguousarray(same[np.concatenate(corners)].astype(np.uint64)),
        )
    )


Whole = npt.NDArray[np.int64]


def _share(
    section: Section, share: float
) -> tuple[npt.NDArray[np.float64], Whole, Whole, Whole, Whole]:
    """The surface from a groove's middle plane, y = 0, to the plane at an angle ``share`` from it.

    Returns places, triangles, and which places lie on the first plane, on the second, at a pole.
    """
    half = np.array(_half(section))
    half[0, 1] = 0.0  # an arc begins there but for binary decimals
    radius, edge = section.diameter_mm / 2, section.half_angle_rad
    widest = math.tan(share)
    merged = math.acos(min(1.0, math.tan(edge) / widest))  # from here on no land is left
    step = math.pi / (SEGMENTS // 2)
    turns = {column * step - math.pi / 2 for column in range(1, SEGMENTS // 2)}
    turns = {turn for turn in turns if abs(abs(turn) - merged) > step / 4} | {-merged, merged}
    columns = [-math.pi / 2, *sorted(turns), math.pi / 2]
    lands = max(1, math.ceil((share - edge) / step))
    rows = len(half) + lands
    section_places = np.zeros((rows, len(columns), 2))
    number = np.arange(rows * len(columns)).reshape(rows, len(columns))
    for column, turn in enumerate(columns):
        if abs(turn) < merged - step / 8:
            most = math.atan(widest * math.cos(turn))
            away = edge + (most - edge) * np.arange(1, lands + 1) / lands
            land = radius * np.column_stack((np.cos(away), np.sin(away)))
            section_places[:, column] = np.concatenate([half, land])
            continue
        on_groove = _up_to(half, widest * math.cos(turn))
        if column in (0, len(columns) - 1):
            on_groove = half[:1]
        elif abs(turn) == merged:
            on_groove = half
        last = len(on_groove) - 1
        section_places[: last + 1, column] = on_groove
        number[last:, column] = number[last, column]  # what would lie beyond is one place
    s, h = section_places[..., 0], section_places[..., 1]
    cos = np.cos(columns)
    cos[[0, -1]] = 0.0
    places = np.stack((s * cos, h, s * np.sin(columns)), axis=-1).reshape(-1, 3)
    here, up = number[:-1, :-1], number[1:, :-1]
    right, across = number[:-1, 1:], number[1:, 1:]
    triangles = np.concatenate(
        [
            np.stack((here, up, right), axis=-1).reshape(-1, 3),
            np.stack((right, up, across), axis=-1).reshape(-1, 3),
        ]
    )
    first, second, third = triangles.T
    triangles = triangles[(first != second) & (second != third) & (first != third)]
    return places, triangles, number[0, 1:-1], number[-1, 1:-1], number[0, [0, -1]]


def _up_to(half: npt.NDArray[np.float64], slope: float) -> npt.NDArray[np.float64]:
    """The part of a section's half that lies below a line through the centre, h = slope times s."""
    above = half[:, 1] >= slope * half[:, 0]
    if not above.any():
        return half
    last = max(1, int(np.argmax(above)))
    (s0, h0), (s1, h1) = half[last - 1], half[last]
    part = (slope * s0 - h0) / (h1 - h0 - slope * (s1 - s0))
    meets = [s0 + part * (s1 - s0), h0 + part * (h1 - h0)]
    return np.vstack([half[:last], meets])


def _part(part: PlacedPart) -> Manifold:
    chord = max(FINEST_CHORD_ERROR_MM, part.profile.length_mm * 2 * _CLOSE)
    points = [
        (radius, part.height_mm(position)) for position, radius in outline(part.profile, chord)
    ]
    closed = [(0.0, points[0][1]), *points, (0.0, points[-1][1])]
    return _without(_turned(closed), [_bore(bore) for bore in part_bores(part)])


def _glue(piece: Piece) -> list[Manifold]:
    """Tubes that fill the gaps between tenons and their holes."""
    bores = [*(piece.globe.bores if piece.globe is not None else ())]
    bores += [bore for part in piece.parts for bore in part.bores]
    found = []
    for part in piece.parts:
        profile = part.profile
        if part.shoulder_at_mm >= profile.length_mm:
            continue
        thick = profile.elements[-1].end_mm
        ends = part.height_mm(part.shoulder_at_mm), part.height_mm(profile.length_mm)
        for bore in bores:
            low, high = max(bore.from_mm, min(ends)), min(bore.to_mm, max(ends))
            if low < high and thick <= bore.diameter_mm <= thick + GLUE_GAP_MM:
                inner, outer = thick / 2 - _OVERLAP_MM, bore.diameter_mm / 2 + _OVERLAP_MM
                found.append(_turned([(inner, low), (outer, low), (outer, high), (inner, high)]))
    return found


def _without(solid: Manifold, cuts: Sequence[Manifold]) -> Manifold:
    if not cuts:
        return solid
    return Manifold.batch_boolean([solid, *cuts], manifold3d.OpType.Subtract)


def _turned(points: Iterable[Point]) -> Manifold:
    """A polygon of distances off a line and heights, turned about that line."""
    polygon = np.array(list(points), dtype=np.float64)
    x, y = polygon[:, 0], polygon[:, 1]
    if np.dot(x, np.roll(y, -1)) < np.dot(y, np.roll(x, -1)):  # clockwise by the shoelace formula
        polygon = polygon[::-1].copy()
    polygon[:, 0] *= _FATTER
    return Manifold.revolve(CrossSection([polygon]), SEGMENTS)


def _ball(radius: float) -> Manifold:
    half = SEGMENTS // 2
    turns = [math.pi * (step / half - 0.5) for step in range(half + 1)]
    return _turned((radius * math.cos(at), radius * math.sin(at)) for at in turns)


def _bore(bore: Bore) -> Manifold:
    radius = bore.diameter_mm / 2
    return _turned(
        [(0.0, bore.from_mm), (radius, bore.from_mm), (radius, bore.to_mm), (0.0, bore.to_mm)]
    )


def _half(section: Section) -> list[Point]:
    """One half of a section, from the middle of its bottom to its edge, as points s and h."""
    points: list[Point] = []
    for piece in section.pieces:
        if isinstance(piece, cutters.Line):
            points += [piece.start, piece.end]
            continue
        sweep = piece.end_rad - piece.start_rad
        flattest = 2 * math.acos(max(0.0, 1 - section.diameter_mm * _CLOSE / piece.radius_mm))
        steps = max(4, math.ceil(abs(sweep) / flattest))
        for step in range(steps + 1):
            at = piece.start_rad + sweep * step / steps
            points.append(
                (
                    piece.centre[0] + piece.radius_mm * math.cos(at),
                    piece.centre[1] + piece.radius_mm * math.sin(at),
                )
            )
    return points


def _cut(section: Section) -> list[Point]:
    """All that a cutter takes away in the plane of a section, and the air outside the ball."""
    half = _half(section)
    half[0] = (half[0][0], 0.0)  # an arc begins there but for binary decimals
    edge, far = section.half_angle_rad, _BEYOND * section.diameter_mm / 2
    steps = max(2, math.ceil(2 * edge / 0.4))
    outside = [
        (far * math.cos(at), far * math.sin(at))
        for at in (edge * (1 - 2 * step / steps) for step in range(steps + 1))
    ]
    return [*half, *outside, *((s, -h) for s, h in half[:0:-1])]


def _ring(ring: RingCut) -> Manifold:
    """A ring's cut, turned to its latitude."""
    latitude = math.radians(ring.latitude_deg)
    cos, sin = math.cos(latitude), math.sin(latitude)
    return _turned((s * cos - h * sin, s * sin + h * cos) for s, h in _cut(ring.section))


def _mesh(name: str, wood: str, solid: Manifold) -> Mesh:
    found = _rounded(name, wood, solid)
    size = float(np.abs(found.vertices).max())
    for farther in _FARTHER:
        if _is_closed(found):
            break
        # corners so close that single precision makes them one: without their edges it stays closed
        found = _rounded(name, wood, solid.simplify(farther * _SAME_PLACE * size))
    return found


def _is_closed(mesh: Mesh) -> bool:
    """Whether every edge has two triangles, once corners at one place are one."""
    _, owner = np.unique(mesh.vertices, axis=0, return_inverse=True)
    corners = owner.ravel()[mesh.triangles].astype(np.int64)
    edges = np.sort(np.concatenate([corners[:, [one, (one + 1) % 3]] for one in range(3)]), axis=1)
    _, times = np.unique(edges[:, 0] * (int(owner.max()) + 1) + edges[:, 1], return_counts=True)
    return bool((times == 2).all())


def _rounded(name: str, wood: str, solid: Manifold) -> Mesh:
    """A solid in single precision, as files hold it."""
    found = solid.calculate_normals(0, _CREASE_DEG).to_mesh()
    places = np.ascontiguousarray(found.vert_properties[:, :3] + 0.0, dtype=np.float32)  # no -0
    facing = np.ascontiguousarray(found.vert_properties[:, 3:6], dtype=np.float32)
    return Mesh(name, wood, places, np.asarray(found.tri_verts, dtype=np.uint32), facing)
