"""Globes with grooves, rings, hollow and holes against a triangle mesh, Pappus and points in space.

Every form is drawn apart: each cut is written here as the distance from the globe's centre at which
a ray leaves the wood (circle and line met by a ray), the deepest cut of a direction is taken, and a
general mesh library (trimesh) measures the drawing. Nothing is taken from the product's formulas.
"""

import math
from functools import cache, partial

import numpy as np
import pytest
import trimesh
from scipy.optimize import brentq

from studio.turning import assembly, cutters, form, hollow, rings
from studio.turning.piece import Bore, Globe, RingCut

D, R = 60.0, 30.0


def cove_ray(aside, nose, width):
    """A cutter's circle of radius ``nose`` through two places of the sphere, ``width`` apart."""
    edge = width / D
    middle = R * math.cos(edge) + math.sqrt(nose**2 - (R * math.sin(edge)) ** 2)
    # the ray meets the circle where |ray - middle| is the nose: the nearer of two places
    root = np.sqrt(np.maximum(nose**2 - (middle * np.sin(aside)) ** 2, 0))
    return np.where(aside < edge, middle * np.cos(aside) - root, R)


def vee_ray(aside, angle, width):
    """Two straight sides through places of the sphere, meeting at an angle."""
    edge, lean = width / D, math.radians(angle / 2)
    bottom = R * math.cos(edge) - R * math.sin(edge) / math.tan(lean)
    # sine rule in the triangle of centre, bottom and the place met
    met = bottom * math.sin(lean) / np.sin(lean - np.minimum(aside, edge))
    return np.where(aside < edge, met, R)


def chamfered_ray(aside, nose, width, flare):
    """The cove, and a straight cut at 45° from one flare beyond its edge to where they meet."""
    edge = (width / 2 + flare) / R
    foot = edge - math.pi / 4
    line = R * math.cos(math.pi / 4) / np.cos(aside - foot)
    wider = np.where(aside < width / D, cove_ray(aside, nose, width), R)
    # seen from the edge inwards the line is the surface until it meets the cove's side
    met = brentq(
        lambda at: float(
            cove_ray(np.array(at), nose, width) - R * math.cos(math.pi / 4) / math.cos(at - foot)
        ),
        width / D * 0.9,
        width / D - 1e-12,
    )
    return np.where((aside >= met) & (aside < edge), line, wider)


def rounded_ray(aside, nose, width, flare):
    """The cove, and a disc of wood that touches both the sphere at the edge and the cove."""
    edge, half = (width / 2 + flare) / R, width / D
    middle = R * math.cos(half) + math.sqrt(nose**2 - (R * math.sin(half)) ** 2)

    def apart(radius):
        disc = (R - radius) * np.array([math.cos(edge), math.sin(edge)])
        return math.dist(disc, (middle, 0)) - radius - nose

    radius = brentq(apart, 1e-6, R / 2)
    disc = (R - radius) * np.array([math.cos(edge), math.sin(edge)])
    touch = np.array([middle, 0]) + (disc - [middle, 0]) * nose / (nose + radius)
    met = math.atan2(touch[1], touch[0])
    along = R - radius
    far = along * np.cos(edge - aside) + np.sqrt(
        np.maximum(radius**2 - (along * np.sin(edge - aside)) ** 2, 0)
    )
    near = middle * np.cos(aside) - np.sqrt(np.maximum(nose**2 - (middle * np.sin(aside)) ** 2, 0))
    return np.where(aside < met, near, np.where(aside < edge, far, R))


COVE = partial(cove_ray, nose=3.349, width=6), cutters.cove_section(D, 3.349, 6)
DEEP = partial(cove_ray, nose=4.0, width=7), cutters.cove_section(D, 4.0, 7)
BROAD = partial(cove_ray, nose=14.0, width=22), cutters.cove_section(D, 14.0, 22)
VEE = partial(vee_ray, angle=90, width=6), cutters.vee_section(D, 90, 6)
BLUNT = partial(vee_ray, angle=120, width=4), cutters.vee_section(D, 120, 4)
CHAMFERED = (
    partial(chamfered_ray, nose=3.349, width=6, flare=0.3),
    cutters.chamfered_section(D, 3.349, 6, 0.3),
)
ROUNDED = (
    partial(rounded_ray, nose=3.349, width=6, flare=0.5),
    cutters.rounded_section(D, 3.349, 6, 0.5),
)


class Drawing:
    """A wedge of a globe from a groove's middle to midway to the next, as a closed mesh.

    Holes are the opening of a hollow (``hole`` wide at the top) or blind, with a flat end.
    """

    def __init__(self, count=0, groove=None, ring_list=(), hollow=0.0, hole=0.0, end=0.0):
        self.count, self.groove, self.rings = count, groove, ring_list
        self.wedge = math.pi / (2 * count) if count else math.pi / 12
        # closer where a groove is
        near = min(0.2, self.wedge)
        columns = np.unique(np.append(np.linspace(0, near, 61), np.linspace(near, self.wedge, 61)))
        rows = np.linspace(-math.pi / 2, math.pi / 2, 1201)
        for latitude, (_, section) in ring_list:
            edges = [math.radians(latitude) + side * section.width_mm / D for side in (-1, 0, 1)]
            rows = np.append(rows, edges)
        rows = np.sort(rows)
        latitudes = np.repeat(rows[:, None], len(columns), axis=1)
        if hole:
            low, high = np.full(len(columns), 0.5), np.full(len(columns), math.pi / 2)
            for _ in range(60):
                middle = (low + high) / 2
                wide = self.radius(middle, columns) * np.cos(middle) > hole / 2
                low, high = np.where(wide, middle, low), np.where(wide, high, middle)
            rows = rows[rows < low.min()]
            stretch = rows[-1] + np.linspace(0, 1, 101)[1:, None] * (low - rows[-1])
            latitudes = np.concatenate([np.repeat(rows[:, None], len(columns), axis=1), stretch])
        radii = self.radius(latitudes, columns)
        across, height = [radii * np.cos(latitudes)], [radii * np.sin(latitudes)]
        outer = len(latitudes)
        even = np.ones((1, len(columns)))
        if hole and hollow:
            polar = np.linspace(math.asin(hole / hollow), math.pi, 501)[:, None]
            across.append(hollow / 2 * np.sin(polar) * even)
            height.append(hollow / 2 * np.cos(polar) * even)
        elif hole:
            across.append(np.array([[hole / 2], [0.0]]) * even)
            height.append(np.array([[end], [end]]) * even)
        rho, z = np.concatenate(across), np.concatenate(height)
        points = np.stack([rho * np.cos(columns), rho * np.sin(columns), z], axis=-1)
        tall, wide = rho.shape
        at = np.arange(tall * wide).reshape(tall, wide)
        a, b, c, d = at[:-1, :-1], at[:-1, 1:], at[1:, 1:], at[1:, :-1]
        skin = np.concatenate([np.stack([a, b, c], -1), np.stack([a, c, d], -1)], axis=1)
        centre = tall * wide
        sides = []
        for side, turned in ((at[:, 0], True), (at[:, -1], False)):
            fan = np.stack([np.full(tall - 1, centre), side[:-1], side[1:]], axis=1)
            sides.append(fan if turned else fan[:, ::-1])
        faces = np.concatenate([skin.reshape(-1, 3), *sides])
        vertices = np.concatenate([points.reshape(-1, 3), [[0.0, 0.0, 0.0]]])
        self.mesh = trimesh.Trimesh(vertices, faces, process=False)
        whole = 2 * math.pi / self.wedge
        self.volume = self.mesh.volume * whole
        areas = self.mesh.area_faces[: skin.shape[0] * skin.shape[1]].reshape(tall - 1, -1)
        self.area = areas[: outer - 1].sum() * whole

    def radius(self, latitude, longitude):
        """Where the ray in a direction leaves the wood: the deepest of all cuts."""
        across = np.cos(latitude) * np.sin(longitude)  # sine of the angle to the groove's plane
        radii = np.full(np.broadcast(latitude, longitude).shape, R)
        if self.groove is not None:
            radii = np.minimum(radii, self.groove(np.arcsin(across)))
        for place, (ray, _) in self.rings:
            radii = np.minimum(radii, ray(np.abs(latitude - math.radians(place)) + 0 * across))
        return radii


@cache
def ball(count):
    return Drawing(count).volume


def drawn_cut(drawn):
    """What the drawing's cuts take of a ball drawn as finely."""
    return ball(drawn.count) - drawn.volume


def computed(count, groove, ring_list, **rest):
    cuts = tuple(RingCut(latitude, section) for latitude, (_, section) in ring_list)
    return form.globe_form(Globe(D, count, groove[1] if groove else None, cuts, **rest))


RINGS = {
    "equator": [(0, COVE)],
    "cove": [(40, COVE)],
    "V, low": [(-55, BLUNT)],
    "near the pole": [(82, BLUNT)],
    "three": [(-30, ROUNDED), (10, VEE), (45, CHAMFERED)],
}


@pytest.mark.parametrize("name", RINGS)
def test_rings_alone_against_a_mesh(name):
    drawn = Drawing(ring_list=RINGS[name])
    found = computed(0, None, RINGS[name])
    assert found.volume_mm3 == pytest.approx(drawn.volume, rel=1e-4)
    assert found.cut_mm3 == pytest.approx(drawn_cut(drawn), rel=0.002)
    assert found.area_mm2 == pytest.approx(drawn.area, rel=2e-4)


@pytest.mark.parametrize("count", [1, 3, 6])
@pytest.mark.parametrize(
    "groove", [COVE, VEE, CHAMFERED, ROUNDED], ids=["cove", "V", "chamfered", "rounded"]
)
def test_grooves_of_every_section_against_a_mesh(count, groove):
    drawn, found = Drawing(count, groove[0]), computed(count, groove, ())
    assert drawn.volume == pytest.approx(found.volume_mm3, rel=2e-4)
    assert found.cut_mm3 == pytest.approx(drawn_cut(drawn), rel=0.002)
    assert found.area_mm2 == pytest.approx(drawn.area, rel=0.002)


BOTH = {
    "shallow ring over deep grooves": (6, COVE, [(35, BLUNT)]),
    "deep ring through shallow grooves": (5, BLUNT, [(-20, DEEP)]),
    "a pair": (6, COVE, [(-40, VEE), (40, COVE)]),
    "at the equator": (4, VEE, [(0, COVE)]),
    "broad grooves": (2, BROAD, [(45, VEE)]),
    "where grooves merge": (6, COVE, [(66, DEEP)]),
    "flared": (3, CHAMFERED, [(20, ROUNDED)]),
    "rounded": (8, ROUNDED, [(-50, CHAMFERED), (0, BLUNT)]),
}


@pytest.mark.parametrize("name", BOTH)
def test_rings_and_grooves_against_a_mesh(name):
    count, groove, ring_list = BOTH[name]
    drawn = Drawing(count, groove[0], ring_list)
    found = computed(count, groove, ring_list)
    assert found.volume_mm3 == pytest.approx(drawn.volume, rel=2e-4)
    assert found.cut_mm3 == pytest.approx(drawn_cut(drawn), rel=0.002)
    assert found.area_mm2 == pytest.approx(drawn.area, rel=0.002)
    # what both take counts once: less than the two apart
    apart = computed(count, groove, ()).cut_mm3 + computed(0, None, ring_list).cut_mm3
    assert found.cut_mm3 < apart * 0.99


HOLLOW = {
    "plain": (0, None, []),
    "grooved": (6, COVE, []),
    "ringed": (0, None, [(30, COVE)]),
    "all": (5, VEE, [(-20, COVE), (40, BLUNT)]),
    "ring in the mouth": (3, COVE, [(74, DEEP)]),
}


@pytest.mark.parametrize("name", HOLLOW)
def test_hollow_globes_against_a_mesh(name):
    count, groove, ring_list = HOLLOW[name]
    drawn = Drawing(count, groove[0] if groove else None, ring_list, hollow=48, hole=20)
    found = computed(count, groove, ring_list, hollow_diameter_mm=48.0, bores=(Bore(0, 30, 20),))
    assert found.volume_mm3 == pytest.approx(drawn.volume, rel=5e-4)
    assert found.area_mm2 == pytest.approx(drawn.area, rel=0.002)
    solid = 4 / 3 * math.pi * R**3 - found.cut_mm3
    assert found.volume_mm3 == pytest.approx(solid - found.hollowed_mm3 - found.bored_mm3)


@pytest.mark.parametrize(
    ("name", "hole", "end"), [("grooved", 6, 12), ("all", 14, -5), ("ring in the mouth", 14, 12)]
)
def test_blind_holes_against_a_mesh(name, hole, end):
    count, groove, ring_list = HOLLOW[name]
    drawn = Drawing(count, groove[0] if groove else None, ring_list, hole=hole, end=end)
    found = computed(count, groove, ring_list, bores=(Bore(end, R, hole),))
    assert found.volume_mm3 == pytest.approx(drawn.volume, rel=2e-4)
    assert found.area_mm2 == pytest.approx(drawn.area, rel=0.002)


def test_holes_from_both_poles_and_one_in_the_other_count_once():
    """A ball with a cylinder through it is the napkin ring; a bore inside another adds nothing."""
    ball = 4 / 3 * math.pi * R**3
    ring_left = 4 / 3 * math.pi * (R**2 - 2**2) ** 1.5  # the napkin ring, Archimedes' way
    through = form.globe_form(Globe(D, bores=(Bore(-R, R, 4),)))
    assert through.bored_mm3 == pytest.approx(ball - ring_left, rel=1e-4)
    halves = form.globe_form(Globe(D, bores=(Bore(0, R, 4), Bore(-R, 0, 4), Bore(10, R, 2))))
    assert halves.bored_mm3 == pytest.approx(through.bored_mm3, rel=1e-4)
    stepped = form.globe_form(Globe(D, bores=(Bore(-R, R, 4), Bore(20, R, 8))))
    cap = math.pi * (8**2 - 4**2) / 4 * (math.sqrt(R**2 - 4**2) - 20)
    crown = 2 / 3 * math.pi * ((R**2 - 2**2) ** 1.5 - (R**2 - 4**2) ** 1.5)
    lowered = math.pi * (4**2 - 2**2) * math.sqrt(R**2 - 4**2)
    assert stepped.bored_mm3 - through.bored_mm3 == pytest.approx(cap + crown - lowered, rel=1e-4)
    zones = 2 * 2 * math.pi * R * (R - math.sqrt(R**2 - 4))
    assert 4 * math.pi * R**2 - through.area_mm2 == pytest.approx(zones)


def test_upright_walls_by_points_in_space():
    """Walls that lean outwards as seen from the centre: a ray leaves wood and enters it again."""
    nose, depth = 3.0, cutters.deepest_cove_mm(D, 3.0)
    section = cutters.cove_section(D, nose, cutters.cove_width_mm(D, nose, depth))
    places, core = (-15.0, 30.0), R - depth
    draw = np.random.default_rng(3)
    points = draw.normal(size=(800_000, 3))
    points /= np.linalg.norm(points, axis=1)[:, None]
    points *= np.cbrt(core**3 + draw.random(len(points)) * (R**3 - core**3))[:, None]
    turn = np.pi * np.arange(4) / 4
    aside = np.abs(points[:, :2] @ np.stack([np.sin(turn), -np.cos(turn)])).min(axis=1)
    along = np.sqrt((points**2).sum(axis=1) - aside**2)
    cut = np.hypot(along - core - nose, aside) < nose
    across = np.hypot(points[:, 0], points[:, 1])
    for latitude in np.radians(places):
        middle = (core + nose) * np.array([math.cos(latitude), math.sin(latitude)])
        cut |= np.hypot(across - middle[0], points[:, 2] - middle[1]) < nose
    shell = 4 / 3 * np.pi * (R**3 - core**3)
    found = form.globe_form(
        Globe(D, 4, section, tuple(RingCut(latitude, section) for latitude in places))
    )
    assert found.cut_mm3 == pytest.approx(shell * cut.mean(), rel=0.01)


@pytest.mark.parametrize("latitude", [0, 35, -35, 70])
@pytest.mark.parametrize("shape", ["cove", "V"])
def test_one_ring_by_pappus(latitude, shape):
    """Area of the ring's section times the way of its centroid; its edge line's the same."""
    ray, section = {"cove": COVE, "V": VEE}[shape]
    aside = np.linspace(-6 / D, 6 / D, 200_001)
    floor = ray(np.abs(aside))
    at = aside + math.radians(latitude)
    line = np.stack([floor * np.cos(at), floor * np.sin(at)], axis=1)
    lengths = np.linalg.norm(np.diff(line, axis=0), axis=1)
    surface = 2 * np.pi * (lengths * (line[1:, 0] + line[:-1, 0]) / 2).sum()
    # sectors of the section between floor and sphere: area d²/2, centroid 2d/3 out
    removed = 2 * np.pi * np.trapezoid((R**3 - floor**3) / 3 * np.cos(at), at)
    found = form.globe_form(Globe(D, rings=(RingCut(latitude, section),)))
    assert found.ring_area_mm2 == pytest.approx(surface, rel=1e-5)
    assert found.cut_mm3 == pytest.approx(removed, rel=1e-5)
    # what is gone of the sphere is a zone: Archimedes
    zone = 2 * np.pi * R * R * (math.sin(at[-1]) - math.sin(at[0]))
    assert found.land_area_mm2 == pytest.approx(4 * np.pi * R * R - zone)


@pytest.mark.parametrize(
    ("count", "groove", "shoulder", "hole"),
    [(3, COVE, 16, 0), (3, COVE, 20, 8), (6, COVE, 16, 8), (4, VEE, 18, 6), (0, None, 16, 8)],
)
def test_a_shoulder_round_a_hole_rests_on_the_highest_of_many_places(count, groove, shoulder, hole):
    drawn = Drawing(count, groove[0] if groove else None)
    latitude, longitude = np.meshgrid(
        np.linspace(0.9, math.pi / 2, 2001), np.linspace(0, drawn.wedge, 121)
    )
    radii = drawn.radius(latitude, longitude)
    across, height = radii * np.cos(latitude), radii * np.sin(latitude)
    under = (across >= hole / 2) & (across <= shoulder / 2)
    highest = height[under].max()
    found = assembly.resting(D, groove[1] if groove else None, count, shoulder, hole)
    assert found.height_mm == pytest.approx(highest, abs=0.01)
    assert found.height_mm >= highest - 1e-6
    # at the shoulder's edge the wood is lowest on a groove's middle line, the first row
    lowest = np.interp(-shoulder / 2, -across[0], height[0])
    assert found.daylight_mm == pytest.approx(highest - lowest, abs=0.01)


def test_thinnest_wall_under_ring_and_crossing_by_many_places():
    """A hollow a little off in any direction, and the nearest of many places of each cut."""
    ring, groove, off = (20.0, DEEP), COVE, 0.3
    drawn = Drawing(6, groove[0], [ring])
    latitude, longitude = np.meshgrid(
        np.linspace(-math.pi / 2, math.pi / 2, 1801), np.linspace(0, drawn.wedge, 121)
    )
    radii = drawn.radius(latitude, longitude)
    in_ring = np.abs(latitude - math.radians(20)) < DEEP[1].half_angle_rad
    in_groove = np.arcsin(np.cos(latitude) * np.sin(longitude)) < groove[1].half_angle_rad
    found = hollow.thinnest_wall(D, 6, groove[1].depth_mm, DEEP[1].depth_mm, off)
    inner = R - 6 + off
    for here, thinnest in (
        (in_ring & ~in_groove, found.ring_mm),
        (in_groove & ~in_ring, found.groove_mm),
        (in_ring & in_groove, found.crossing_mm),
    ):
        assert radii[here].min() - inner == pytest.approx(thinnest, abs=0.001)


def test_lands_beside_rings_by_walking_along_a_meridian():
    ring_list = [(40, VEE), (-20, COVE), (10, BLUNT)]
    lands = rings.ring_lands(
        [RingCut(latitude, section) for latitude, (_, section) in ring_list],
        bottom_hole_mm=8,
        top_hole_mm=20,
    )
    at = np.linspace(-np.pi / 2, np.pi / 2, 2_000_001)
    free = np.hypot(R * np.cos(at), 0) > np.where(at > 0, 10, 4)
    for latitude, (ray, _) in ring_list:
        free &= ray(np.abs(at - math.radians(latitude))) >= R
    steps = np.flatnonzero(np.diff(free.astype(int)))
    walked = (steps[1::2] - steps[::2]) * np.pi * R / 2_000_000
    assert [land.land_mm for land in lands] == pytest.approx(walked, abs=1e-3)
    assert [(land.below, land.above) for land in lands] == [(None, 1), (1, 2), (2, 0), (0, None)]
