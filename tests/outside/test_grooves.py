"""Grooves, seat and grooved form against points, polygons and a triangle mesh.

Nothing here is taken from the product's own formulas: places are points in space, groove planes
are normals, the cutter is a circle with a middle. Printed values: worked out apart from the code.
"""

import math

import numpy as np
import pytest
import trimesh

from studio.turning import assembly, cutters, grooves, hollow, seat

D, R = 60.0, 30.0


def normals(count: int) -> np.ndarray:
    """Lathe axes of the grooves, one a row; the poles lie on z."""
    at = np.pi * np.arange(count) / count + np.pi / 2
    return np.stack([np.cos(at), np.sin(at), np.zeros(count)], axis=1)


def in_groove(points: np.ndarray, count: int, width: float, diameter: float = D) -> np.ndarray:
    """Whether points of the unit sphere lie in a groove: nearer its plane than half the chord."""
    half_chord = math.sin(width / diameter)
    return (np.abs(points @ normals(count).T) < half_chord).any(axis=1)


def on_meridian(latitudes: np.ndarray, longitude: float) -> np.ndarray:
    return np.stack(
        [
            np.cos(latitudes) * math.cos(longitude),
            np.cos(latitudes) * math.sin(longitude),
            np.sin(latitudes),
        ],
        axis=1,
    )


# width a tenth of the diameter: grooves and the latitude above which they have merged, degrees
MERGE = [(3, 78.48), (4, 74.88), (5, 71.15), (6, 67.31), (8, 59.22), (12, 40.11)]


@pytest.mark.parametrize(("count", "latitude"), MERGE)
def test_merging_latitude_by_points_on_the_bisecting_meridian(count, latitude):
    fine = np.radians(np.arange(0, 90, 0.0005))
    cut = in_groove(on_meridian(fine, math.pi / (2 * count)), count, 6)
    first = math.degrees(fine[np.argmax(cut)])
    assert not cut[: np.argmax(cut)].any()
    assert cut[np.argmax(cut) :].all()
    computed = grooves.merge_latitude_deg(D, count, 6)
    assert computed == pytest.approx(first, abs=0.001)
    assert computed == pytest.approx(latitude, abs=0.005)


@pytest.mark.parametrize("count", [1, 2, 5, 6])
@pytest.mark.parametrize("latitude", [0.0, 30.0, 60.0])
def test_land_by_points_round_a_parallel(count, latitude):
    around = 2 * np.pi * (np.arange(60_000) + 0.5) / 60_000
    phi = math.radians(latitude)
    flat = np.stack([np.cos(around), np.sin(around)], axis=1) * math.cos(phi)
    points = np.column_stack([flat, np.full(len(around), math.sin(phi))])
    free = 1 - in_groove(points, count, 6).mean()
    land = free * 2 * np.pi * R * math.cos(phi) / (2 * count)
    assert grooves.land_at_latitude_mm(D, count, 6, latitude) == pytest.approx(land, abs=0.002)


def touching_by_points(count: int, width: float, rim: float, cut: list[int], on: int) -> np.ndarray:
    """Which of many points of the rim's circle about one lathe axis still touch."""
    axes = normals(count)
    axis, pole = axes[on], np.array([0.0, 0.0, 1.0])
    aside = np.cross(axis, pole)
    at = 2 * np.pi * np.arange(100_000) / 100_000
    sine = rim / D
    circle = (
        math.sqrt(1 - sine * sine) * axis
        + sine * np.cos(at)[:, None] * aside
        + sine * np.sin(at)[:, None] * pole
    )
    return (np.abs(circle @ axes[cut].T) >= math.sin(width / D)).all(axis=1)


def longest_gap(touching: np.ndarray) -> float:
    """Longest run that does not touch, degrees, going round past the first point."""
    if touching.all():
        return 0.0
    if not touching.any():
        return 360.0
    turned = np.roll(touching, -int(np.argmax(touching)))
    edges = np.flatnonzero(np.diff(np.concatenate([[1], turned, [1]]).astype(int)))
    return float((edges[1::2] - edges[::2]).max() * 360 / len(touching))


# at the last of six cuts, 60 mm ball, 6 mm grooves: rim, part that touches, longest gap
SEATS = [
    (20, 0.806, None), (24, 0.839, None), (26, 0.621, None), (30, 0.431, 79.4), (34, 0.326, None),
    (40, 0.607, 26.7), (48, 0.715, None), (54, 0.182, None),
]  # fmt: skip


@pytest.mark.parametrize(("rim", "part", "gap"), SEATS)
def test_seat_by_points_of_its_circle(rim, part, gap):
    touching = touching_by_points(6, 6, rim, [0, 1, 2, 3, 4], 5)
    computed = seat.last_seat(D, 6, 6, rim)
    assert computed.touching == pytest.approx(touching.mean(), abs=0.0001)
    assert computed.touching == pytest.approx(part, abs=0.001)
    assert computed.longest_gap_deg == pytest.approx(longest_gap(touching), abs=0.01)
    if gap is not None:
        assert computed.longest_gap_deg == pytest.approx(gap, abs=0.05)


@pytest.mark.parametrize("order", [(0, 1, 2, 3, 4), (0, 2, 4, 1, 3), (3, 0, 4, 2, 1)])
@pytest.mark.parametrize("rim", [22, 37, 52])
def test_seat_at_every_cut_of_an_order(order, rim):
    for place, now in enumerate(seat.seats_in_order(D, 5, 8, rim, order)):
        touching = touching_by_points(5, 8, rim, list(order[:place]), order[place])
        assert now.touching == pytest.approx(touching.mean(), abs=0.0001)
        assert now.longest_gap_deg == pytest.approx(longest_gap(touching), abs=0.01)


@pytest.mark.parametrize("count", [1, 2, 5, 6, 12])
@pytest.mark.parametrize("rim", [8, 20, 33, 48, 59])
def test_seat_on_a_pole_by_points_of_its_circle(count, rim):
    at = 2 * np.pi * np.arange(200_000) / 200_000
    sine = rim / D
    circle = np.column_stack(
        [sine * np.cos(at), sine * np.sin(at), np.full(len(at), math.sqrt(1 - sine * sine))]
    )
    touching = (np.abs(circle @ normals(count).T) >= math.sin(6 / D)).all(axis=1)
    computed = seat.pole_seat(D, count, 6, rim)
    assert computed.touching == pytest.approx(touching.mean(), abs=0.001)
    assert computed.longest_gap_deg == pytest.approx(longest_gap(touching), abs=0.01)


@pytest.mark.parametrize("rim", [20, 44, 48, 55])
@pytest.mark.parametrize("opening", [10, 38, 50])
def test_an_opening_by_points_of_the_rims_circle(opening, rim):
    axis, pole = normals(6)[2], np.array([0.0, 0.0, 1.0])
    at = 2 * np.pi * np.arange(200_000) / 200_000
    sine = rim / D
    circle = (
        math.sqrt(1 - sine * sine) * axis
        + sine * np.cos(at)[:, None] * np.cross(axis, pole)
        + sine * np.sin(at)[:, None] * pole
    )
    # within the opening: nearer to the poles' line than its radius, on the top half
    inside = (np.hypot(circle[:, 0], circle[:, 1]) * D < opening) & (circle[:, 2] > 0)
    bands = [seat.opening_band(D, opening, True)]
    computed = seat.seat_at(D, 6, 2, rim, 2, (), bands)
    assert computed.touching == pytest.approx(1 - inside.mean(), abs=0.001)


@pytest.mark.parametrize("rim", [20, 24, 30, 40, 54])
def test_nearest_edge_by_walking_along_the_edges(rim):
    """Distance from the lathe axis along both edges of each groove: its turning points."""
    axes, pole = normals(6), np.array([0.0, 0.0, 1.0])
    at = 2 * np.pi * np.arange(20_000) / 20_000
    nearest = 180.0
    for groove in range(5):
        aside = np.cross(axes[groove], pole)
        for side in (-1, 1):
            edge = side * math.sin(0.1) * axes[groove] + math.cos(0.1) * (
                np.cos(at)[:, None] * aside + np.sin(at)[:, None] * pole
            )
            polar = np.degrees(np.arccos(np.clip(edge @ axes[5], -1, 1)))
            for turning in (polar.min(), polar.max()):
                nearest = min(nearest, abs(turning - math.degrees(math.asin(rim / D))))
    assert seat.last_seat(D, 6, 6, rim).edge_deg == pytest.approx(nearest, abs=0.001)


def reach(points: np.ndarray, count: int, centre: float, nose: float) -> np.ndarray:
    """How far along each direction wood goes: to the first place inside the cutter's circle.

    Found by halving on distances alone: the cutter's circle goes round each axis with its middle at
    ``centre`` from it. Good where no ray leaves wood and enters it again.
    """
    low, high = np.full(len(points), centre - nose), np.full(len(points), R)
    aside = np.abs(points @ normals(count).T).min(axis=1)
    along = np.sqrt(1 - aside * aside)
    for _ in range(30):
        middle = (low + high) / 2
        free = np.hypot(middle * along - centre, middle * aside) >= nose
        low, high = np.where(free, middle, low), np.where(free, high, middle)
    return low


def sharp(directions: np.ndarray, step: float, count: int, half: float) -> np.ndarray:
    """Directions of a fine ball, those close to a sharp edge of the form moved onto it.

    A mesh whose triangles straddle an edge cuts it off, and its area then comes right only as fast
    as the triangles shrink: 1.2 % short at this fineness, 0.6 % at the next.
    """
    axes, moved = normals(count), directions.copy()
    axis = axes[np.argmin(np.abs(directions @ axes.T), axis=1)]
    aside = (directions * axis).sum(axis=1)
    near = np.abs(np.arcsin(np.abs(aside)) - half) < step / 2
    flat = directions - aside[:, None] * axis
    flat /= np.linalg.norm(flat, axis=1)[:, None]
    onto = math.cos(half) * flat + math.sin(half) * np.sign(aside)[:, None] * axis
    moved[near] = onto[near]
    between = np.pi * (np.arange(count) + 0.5) / count + np.pi / 2
    planes = np.stack([np.cos(between), np.sin(between), np.zeros(count)], axis=1)
    plane = planes[np.argmin(np.abs(directions @ planes.T), axis=1)]
    aside = (directions * plane).sum(axis=1)
    ridge = directions - aside[:, None] * plane
    ridge /= np.linalg.norm(ridge, axis=1)[:, None]
    near = (np.abs(aside) < step / 2) & (np.abs(ridge @ axes.T).min(axis=1) < math.sin(half))
    moved[near] = ridge[near]
    return moved


@pytest.fixture(scope="module")
def fine_ball() -> trimesh.Trimesh:
    return trimesh.creation.icosphere(subdivisions=6, radius=1.0)


@pytest.mark.parametrize(
    ("count", "width", "depth"), [(6, 6, 2), (4, 6, 2), (12, 4, 1), (5, 10, 4), (2, 20, 6)]
)
def test_grooved_form_against_a_triangle_mesh(fine_ball, count, width, depth):
    nose = cutters.cove_radius_mm(D, width, depth)
    form = grooves.grooved_form(cutters.cove_section(D, nose, width), count)
    ball = np.asarray(fine_ball.vertices)

    def grooved(directions: np.ndarray) -> trimesh.Trimesh:
        radii = reach(directions, count, R - depth + nose, nose)
        return trimesh.Trimesh(directions * radii[:, None], fine_ball.faces, process=False)

    mesh = grooved(ball)
    assert mesh.is_watertight
    assert form.volume_mm3 == pytest.approx(mesh.volume, rel=0.001)
    assert form.removed_mm3 == pytest.approx(R**3 * fine_ball.volume - mesh.volume, rel=0.002)
    step = 1.05 / 2**6  # an icosahedron's side, halved six times
    assert form.area_mm2 == pytest.approx(
        grooved(sharp(ball, step, count, width / D)).area, rel=0.003
    )
    middles = np.asarray(fine_ball.triangles_center)
    middles = middles / np.linalg.norm(middles, axis=1)[:, None]
    land = fine_ball.area_faces[~in_groove(middles, count, width)].sum() / fine_ball.area
    assert form.land_area_mm2 == pytest.approx(land * 4 * np.pi * R * R, rel=0.005)
    assert form.area_mm2 == pytest.approx(form.land_area_mm2 + form.groove_area_mm2)


def test_walls_that_stand_upright_by_points_in_space():
    """Half-round coves: a ray from the centre leaves wood and enters it again, so no mesh by rays.

    Places drawn evenly from the shell between core and sphere.
    """
    nose, depth = 3.0, cutters.deepest_cove_mm(D, 3.0)
    section = cutters.cove_section(D, nose, cutters.cove_width_mm(D, nose, depth))
    draw = np.random.default_rng(7)
    points = draw.normal(size=(600_000, 3))
    points /= np.linalg.norm(points, axis=1)[:, None]
    core = R - depth
    radii = np.cbrt(core**3 + draw.random(len(points)) * (R**3 - core**3))
    aside = radii * np.abs(points @ normals(6).T).min(axis=1)
    cut = np.hypot(np.sqrt(radii**2 - aside**2) - (core + nose), aside) < nose
    shell = 4 / 3 * np.pi * (R**3 - core**3)
    removed = grooves.grooved_form(section, 6).removed_mm3
    assert removed == pytest.approx(shell * cut.mean(), rel=0.01)


def outline(section: cutters.Section) -> np.ndarray:
    """A section's pieces as a dense line of points, from the middle of the bottom to the edge."""
    points = []
    for piece in section.pieces:
        part = np.linspace(0, 1, 4001)[:, None]
        if isinstance(piece, cutters.Line):
            points.append(np.array(piece.start) + part * np.subtract(piece.end, piece.start))
        else:
            at = (piece.start_rad + part * (piece.end_rad - piece.start_rad)).ravel()
            points.append(piece.centre + piece.radius_mm * np.stack([np.cos(at), np.sin(at)], 1))
    return np.concatenate(points)


SECTIONS = {
    "cove": cutters.cove_section(D, 3.349, 6),
    "V": cutters.vee_section(D, 90, 6),
    "chamfered": cutters.chamfered_section(D, 3.349, 6, 0.3),
    "rounded": cutters.rounded_section(D, 3.349, 6, 0.5),
}


@pytest.mark.parametrize("name", SECTIONS)
def test_one_groove_by_pappus(name):
    """One groove alone is a ring: its area and volume from the outline's middle (Pappus)."""
    section = SECTIONS[name]
    line = outline(section)
    steps = np.diff(line, axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    middles = (line[1:] + line[:-1]) / 2
    area = 2 * 2 * np.pi * (lengths * middles[:, 0]).sum()  # both halves of the section
    # what is gone lies between the outline and the sphere: shells of h at s
    s, h = line[:, 0], line[:, 1]
    sphere_h = np.sqrt(np.maximum(R * R - s * s, 0))
    shells = 2 * np.pi * s * np.minimum(h, sphere_h)
    beyond = np.linspace(s[-1], R, 4001)
    cap = 2 * np.pi * beyond * np.sqrt(np.maximum(R * R - beyond**2, 0))
    removed = 2 * (np.trapezoid(shells, s) + np.trapezoid(cap, beyond))
    form = grooves.grooved_form(section, 1)
    assert form.groove_area_mm2 == pytest.approx(area, rel=1e-5)
    assert form.removed_mm3 == pytest.approx(removed, rel=1e-4)
    # a zone of a sphere: Archimedes
    zone = 2 * np.pi * R * 2 * R * math.sin(section.half_angle_rad)
    assert form.land_area_mm2 == pytest.approx(4 * np.pi * R * R - zone, rel=1e-9)


@pytest.mark.parametrize("name", SECTIONS)
def test_outline_is_whole_and_ends_on_the_sphere(name):
    line = outline(SECTIONS[name])
    assert np.linalg.norm(np.diff(line, axis=0), axis=1).max() < 0.01
    assert line[0] == pytest.approx([R - SECTIONS[name].depth_mm, 0], abs=1e-9)
    edge = SECTIONS[name].width_mm / D
    assert line[-1] == pytest.approx([R * math.cos(edge), R * math.sin(edge)], abs=1e-9)
    assert np.linalg.norm(line, axis=1).min() == pytest.approx(R - SECTIONS[name].depth_mm)
    assert np.linalg.norm(line, axis=1).max() == pytest.approx(R)


@pytest.mark.parametrize("name", SECTIONS)
def test_surface_by_the_outlines_own_points(name):
    for s, h in outline(SECTIONS[name])[::131]:
        radius = cutters.surface_radius_mm(SECTIONS[name], math.atan2(h, s))
        assert radius == pytest.approx(math.hypot(s, h), abs=1e-6)


@pytest.mark.parametrize(("count", "shoulder"), [(3, 10), (3, 20), (4, 14), (6, 20), (2, 8)])
def test_cap_comes_to_rest_on_the_highest_of_many_places(count, shoulder):
    nose = 3.349
    section = cutters.cove_section(D, nose, 6)
    polar, around = np.meshgrid(np.linspace(0, 0.6, 1201), np.linspace(0, np.pi / count, 181))
    directions = np.stack(
        [np.sin(polar) * np.cos(around), np.sin(polar) * np.sin(around), np.cos(polar)], axis=-1
    ).reshape(-1, 3)
    places = directions * reach(directions, count, section.core_radius_mm + nose, nose)[:, None]
    under = np.hypot(places[:, 0], places[:, 1]) <= shoulder / 2
    highest = places[under, 2].max()
    computed = assembly.resting(D, section, count, shoulder)
    assert computed.height_mm == pytest.approx(highest, abs=0.01)
    assert computed.height_mm >= highest - 1e-9
    rim = np.abs(np.hypot(places[:, 0], places[:, 1]) - shoulder / 2) < 0.02
    assert computed.daylight_mm == pytest.approx(highest - places[rim, 2].min(), abs=0.03)


def test_wood_of_a_hollow_globe_by_points_in_space():
    wall, opening = 5.0, 20.0
    section = cutters.cove_section(D, 3.349, 6)
    draw = np.random.default_rng(11)
    points = draw.uniform(-R, R, size=(600_000, 3))
    radii = np.linalg.norm(points, axis=1)
    aside = np.abs(points @ normals(6).T).min(axis=1)
    along = np.sqrt(np.maximum(radii**2 - aside**2, 0))
    inside = (radii <= R) & (radii >= R - wall)
    inside &= np.hypot(along - (section.core_radius_mm + 3.349), aside) >= 3.349
    inside &= (np.hypot(points[:, 0], points[:, 1]) > opening / 2) | (points[:, 2] < 0)
    wood = inside.mean() * D**3
    form = hollow.grooved_hollow_form(section, 6, wall, opening)
    assert form.volume_mm3 == pytest.approx(wood, rel=0.01)


@pytest.mark.parametrize("off", [0.0, 0.7])
def test_thinnest_wall_by_distances_of_many_places(off):
    """From every place of the grooves' surface to a hollow that is off along the poles."""
    wall, nose = 6.0, 3.349
    section = cutters.cove_section(D, nose, 6)
    polar, around = np.meshgrid(np.linspace(0, np.pi, 721), np.linspace(0, np.pi / 6, 61))
    directions = np.stack(
        [np.sin(polar) * np.cos(around), np.sin(polar) * np.sin(around), np.cos(polar)], axis=-1
    ).reshape(-1, 3)
    places = directions * reach(directions, 6, section.core_radius_mm + nose, nose)[:, None]
    thinnest = np.linalg.norm(places - [0, 0, off], axis=1).min() - (R - wall)
    computed = hollow.thinnest_under_groove_mm(D, wall, section.depth_mm, off)
    assert computed == pytest.approx(thinnest, abs=1e-6)


def test_wood_of_a_plain_hollow_globe_by_discs():
    wall, opening = 4.0, 18.0
    z = np.linspace(-R, R, 400_001)
    outer = np.pi * np.maximum(R * R - z * z, 0)
    inner = np.pi * np.maximum((R - wall) ** 2 - z * z, 0)
    hole = np.where(z > 0, np.minimum(np.pi * opening**2 / 4, outer), 0)
    wood = np.trapezoid(np.maximum(outer - np.maximum(inner, hole), 0), z)
    form = hollow.plain_hollow_form(D, wall, opening)
    assert form.volume_mm3 == pytest.approx(wood, rel=1e-6)


def test_gauss_points_integrate_what_they_must():
    """Five points are exact to degree 9 and not to degree 10 (Abramowitz and Stegun, 25.4)."""
    for degree in range(10):
        exact = 1 / (degree + 1)
        assert grooves.integral(lambda x, d=degree: x**d, 0, 1, 1) == pytest.approx(exact)
    assert abs(grooves.integral(lambda x: x**10, 0, 1, 1) - 1 / 11) > 1e-7
