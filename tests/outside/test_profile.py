"""Turned forms against Pappus, Archimedes, a general mesh library and arcs drawn apart."""

import math

import numpy as np
import pytest
import trimesh

from studio.turning import profile
from studio.turning.profile import Cyma, Profile

# a solid torus, R = 10 and r = 3: volume and surface read in a secondary stored text
# (scoutmytool.com/calc/geometry/solid-torus); R = 7 worked from Pappus's theorem
TORI = {10: (1776.528792, 1184.352528), 7: (1243.570155, 829.046770)}


@pytest.mark.parametrize("ring", TORI)
def test_a_bead_and_a_cove_make_a_torus(ring):
    """A half-round bead is a torus's outer half on a cylinder; the cove beside it is the inner."""
    volume, area = TORI[ring]
    outer = Profile((profile.bead(6, 2 * ring + 6, 2 * ring, 2 * ring),))
    inner = Profile((profile.cove(6, 2 * ring - 6, 2 * ring, 2 * ring),))
    found = profile.volume_mm3(outer) - profile.volume_mm3(inner)
    assert found == pytest.approx(volume, abs=1e-5)
    sides = [profile.surface_area(piece).side_mm2 for piece in (outer, inner)]
    assert sum(sides) == pytest.approx(area, abs=1e-5)


@pytest.mark.parametrize("ring", TORI)
def test_the_beads_half_of_the_torus_by_pappus(ring):
    # V = 2π × distance of the centroid × area (Pappus; secondary stored text,
    # mathivo.com/EN/geometry/solid-geometry/torus); a half disc's centroid lies 4r/3π from its
    # straight side, a half circle's 2r/π
    outer = Profile((profile.bead(6, 2 * ring + 6, 2 * ring, 2 * ring),))
    half_disc = math.pi * 9 / 2
    beyond = profile.volume_mm3(outer) - math.pi * ring**2 * 6
    assert beyond == pytest.approx(2 * math.pi * (ring + 4 * 3 / (3 * math.pi)) * half_disc)
    side = 2 * math.pi * (ring + 2 * 3 / math.pi) * math.pi * 3
    assert profile.surface_area(outer).side_mm2 == pytest.approx(side)


def test_a_ball_by_archimedes():
    # D = 3: V = 14.13717, A = 28.27433 (Archimedes, worked apart from this project's code)
    ball = Profile((profile.bead(3, 3, 0, 0),))
    assert profile.volume_mm3(ball) == pytest.approx(14.13717, abs=0.5e-5)
    assert profile.surface_area(ball).total_mm2 == pytest.approx(28.27433, abs=0.5e-5)


@pytest.mark.parametrize("part", [0.1, 0.25, 0.5, 0.8])
def test_a_balls_zone_has_a_cylinders_surface(part):
    """Archimedes: a slice of a ball has the side of the cylinder round it, wherever it is cut."""
    radius, cut = 30.0, 30.0 * part
    edge = 2 * math.sqrt(radius**2 - cut**2)
    zone = Profile((profile.bead(cut, 2 * radius, edge, 2 * radius),))
    area = profile.surface_area(zone)
    assert area.side_mm2 == pytest.approx(2 * math.pi * radius * cut)
    # volume of the slice: πh(3R² − h²)/3 from the middle
    volume = math.pi * cut * (3 * radius**2 - cut**2) / 3
    assert profile.volume_mm3(zone) == pytest.approx(volume)


SECTIONS = 180  # a disc of so many sides is 0.02 % short


def test_solids_of_the_mesh_library():
    """trimesh's own cylinder, cone, torus and sphere: nothing of this project in them."""
    ball = trimesh.creation.icosphere(subdivisions=5, radius=30)
    ours = Profile((profile.bead(60, 60, 0, 0),))
    assert profile.volume_mm3(ours) == pytest.approx(ball.volume, rel=0.005)
    assert profile.surface_area(ours).total_mm2 == pytest.approx(ball.area, rel=0.005)
    cone = trimesh.creation.cone(radius=6, height=40, sections=SECTIONS)
    ours = Profile((profile.taper(40, 0, 12),))
    assert profile.volume_mm3(ours) == pytest.approx(cone.volume, rel=0.005)
    assert profile.surface_area(ours).total_mm2 == pytest.approx(cone.area, rel=0.005)
    cylinder = trimesh.creation.cylinder(radius=6, height=40, sections=SECTIONS)
    ours = Profile((profile.straight(40, 12),))
    assert profile.volume_mm3(ours) == pytest.approx(cylinder.volume, rel=0.005)
    assert profile.surface_area(ours).total_mm2 == pytest.approx(cylinder.area, rel=0.005)
    torus = trimesh.creation.torus(10, 3, major_sections=SECTIONS, minor_sections=90)
    outer = Profile((profile.bead(6, 26, 20, 20),))
    inner = Profile((profile.cove(6, 14, 20, 20),))
    found = profile.volume_mm3(outer) - profile.volume_mm3(inner)
    assert found == pytest.approx(torus.volume, rel=0.005)


def drawn_arc(start, middle_radius, end, bulge):
    """Points of a circle through two edges (z, r) that just reaches a radius, found by halving.

    The circle's radius is sought until both half chords add up to the length: another road than
    the closed form of the code.
    """
    length = end[0] - start[0]
    p, q = abs(middle_radius - start[1]), abs(middle_radius - end[1])

    def reach(rho):
        return math.sqrt(2 * rho * p - p * p) + math.sqrt(2 * rho * q - q * q)

    low, high = max(p, q), 1e6
    for _ in range(200):
        rho = (low + high) / 2
        low, high = (rho, high) if reach(rho) < length else (low, rho)
    first = -math.sqrt(2 * rho * p - p * p)
    u = first + (1 - np.cos(np.linspace(0, math.pi, 80))) / 2 * length
    r = middle_radius - bulge * (rho - np.sqrt(np.maximum(rho**2 - u**2, 0)))
    return np.column_stack([start[0] + u - first, r])


def drawn_ogee(start, end, sine):
    """Two quarter-like arcs joined half-way, drawn by their tangents with small steps of angle.

    ``sine`` +1 begins along the axis and is steepest in the middle, -1 the other way round.
    """
    rise, length = end[1] - start[1], end[0] - start[0]
    turn = 2 * math.atan(abs(rise) / length)  # the chord of an arc lies at half the arc's turn
    half = (np.arange(2000) + 0.5) / 2000 * turn
    angle = np.concatenate([half, half[::-1]])
    if sine < 0:
        angle = turn - angle
    steps = np.column_stack([np.cos(angle), math.copysign(1, rise) * np.sin(angle)])
    points = np.vstack([[0, 0], np.cumsum(steps, axis=0)])
    return (np.array(start) + points * (length / points[-1, 0]))[::50]


FINIAL = Profile(
    (
        profile.bead(9, 8, 0, 4),
        profile.cove(12, 3, 4, 6),
        profile.fillet(1.5, 8),
        profile.bead(7, 16, 9, 10),
        profile.fillet(1, 8),
        profile.ogee(9, 8, 18),
        profile.ogee(9, 18, 10, Cyma.RECTA),
        profile.straight(5, 10),
        profile.taper(20, 10, 16),
        profile.tenon(12, 8),
    )
)
DRAWN = [
    drawn_arc((0, 0), 4, (9, 2), 1),
    drawn_arc((9, 2), 1.5, (21, 3), -1),
    [(21, 4), (22.5, 4)],
    drawn_arc((22.5, 4.5), 8, (29.5, 5), 1),
    [(29.5, 4), (30.5, 4)],
    drawn_ogee((30.5, 4), (39.5, 9), 1),
    drawn_ogee((39.5, 9), (48.5, 5), -1),
    [(48.5, 5), (53.5, 5), (73.5, 8), (73.5, 4), (85.5, 4), (85.5, 0)],
]


def revolved(points) -> trimesh.Trimesh:
    line = np.array([(r, z) for z, r in points])
    keep = np.concatenate([[True], np.linalg.norm(np.diff(line, axis=0), axis=1) > 1e-3])
    mesh = trimesh.creation.revolve(line[keep], sections=SECTIONS)
    assert mesh.is_watertight
    return mesh


def test_a_finial_drawn_apart_and_measured_by_the_mesh_library():
    mesh = revolved(np.vstack(DRAWN))
    assert profile.volume_mm3(FINIAL) == pytest.approx(abs(mesh.volume), rel=0.001)
    assert profile.surface_area(FINIAL).total_mm2 == pytest.approx(mesh.area, rel=0.001)


@pytest.mark.parametrize("index", range(7))
def test_every_radius_lies_on_the_drawn_arc(index):
    drawn = np.array(DRAWN[index])
    inner = drawn[1:-1] if len(drawn) > 2 else [drawn.mean(axis=0)]
    found = [profile.radius_mm(FINIAL, position) for position, _ in inner]
    assert found == pytest.approx([radius for _, radius in inner], abs=0.001)


def test_the_outline_turned_round_is_the_finial():
    """Outline to a mesh: watertight, and its volume and area those told, within 0.5 %."""
    points = [*profile.outline(FINIAL, 0.01), (FINIAL.length_mm, 0.0)]
    mesh = revolved(points)
    assert abs(mesh.volume) == pytest.approx(profile.volume_mm3(FINIAL), rel=0.005)
    assert mesh.area == pytest.approx(profile.surface_area(FINIAL).total_mm2, rel=0.005)
