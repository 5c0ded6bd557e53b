"""Meshes seen by a general mesh library (trimesh), and volumes by Pappus's theorem.

The library reads the files, so it also proves that they are sound STL and GLB.
"""

import io
import math
import random

import numpy as np
import pytest
import trimesh
from scipy.integrate import quad

from studio.picture.mesh_files import glb, stl
from studio.picture.solids import mesh_of, meshes_of
from studio.turning import cutters, profile
from studio.turning.assembly import resting
from studio.turning.cutters import cove_radius_mm, cove_section, rounded_section, vee_section
from studio.turning.form import globe_form
from studio.turning.grooves import grooved_form
from studio.turning.hollow import grooved_hollow_form, plain_hollow_form
from studio.turning.piece import Bore, Globe, Piece, PlacedPart, RingCut
from studio.turning.profile import Profile

CLOSE = 0.005
"""Half a per cent."""


def read_stl(piece):
    return trimesh.load(io.BytesIO(stl(mesh_of(piece))), file_type="stl")


def read_glb(piece):
    """The solids of a GLB by name, as the library loads them, in mm."""
    scene = trimesh.load(io.BytesIO(glb(meshes_of(piece))), file_type="glb")
    found = {}
    for name, mesh in scene.geometry.items():
        mesh.apply_scale(1000.0)
        found[name] = mesh
    return found


def sound(mesh):
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume > 0


def cove(diameter, width, depth):
    return cove_section(diameter, cove_radius_mm(diameter, width, depth), width)


def test_a_plain_ball():
    piece = Piece(Globe(60), "holly")
    for mesh in (read_stl(piece), read_glb(piece)["globe"]):
        sound(mesh)
        assert mesh.volume == pytest.approx(math.pi * 60**3 / 6, rel=CLOSE)
        assert mesh.area == pytest.approx(math.pi * 60**2, rel=CLOSE)


@pytest.mark.parametrize(
    ("section", "grooves"),
    [
        (cove(60, 6, 2), 1),
        (cove(60, 6, 2), 2),
        (cove(60, 6, 2), 4),
        (cove(60, 6, 2), 5),
        (cove(45, 4, 1.4), 6),
        (cove(60, 1.4, 0.5), 48),
        (vee_section(60, 90, 6), 3),
        (rounded_section(60, 3.349, 6, 0.8), 5),
        (cutters.chamfered_section(60, 3.349, 6, 0.3), 5),
        (cove(8, 1, 0.4), 3),
        (cove(600, 50, 18), 8),
    ],
)
def test_grooved_balls(section, grooves):
    """The form's volume and surface come from integrals that share no code with the mesh."""
    form = grooved_form(section, grooves)
    piece = Piece(Globe(section.diameter_mm, grooves, section), "holly")
    for mesh in (read_stl(piece), read_glb(piece)["globe"]):
        sound(mesh)
        assert mesh.volume == pytest.approx(form.volume_mm3, rel=CLOSE)
        assert mesh.area == pytest.approx(form.area_mm2, rel=CLOSE)
        assert mesh.body_count == 1
        assert mesh.euler_number == 2


def test_hollow_balls():
    plain = Piece(Globe(60, hollow_diameter_mm=50, bores=(Bore(0, 31, 20),)), "holly")
    mesh = read_stl(plain)
    sound(mesh)
    assert mesh.volume == pytest.approx(plain_hollow_form(60, 5, 20).volume_mm3, rel=CLOSE)
    section = cove(60, 6, 2)
    grooved = Piece(Globe(60, 6, section, (), 50, (Bore(0, 31, 20),)), "holly")
    mesh = read_stl(grooved)
    sound(mesh)
    expected = grooved_hollow_form(section, 6, 5, 20).volume_mm3
    assert mesh.volume == pytest.approx(expected, rel=CLOSE)


@pytest.mark.parametrize("latitude", [0, 30, -50])
def test_rings_by_pappus(latitude):
    """A ring takes away its section's area times the way of its centroid.

    The section lies between two circles; the centroid is on its line of symmetry, which leans
    with the latitude. Area and centroid by quadrature (scipy).
    """
    section = cove(60, 5, 1.5)
    (arc,) = section.pieces
    edge = 30 * math.sin(section.half_angle_rad)

    def outer(h):
        return math.sqrt(900 - h * h)

    def inner(h):
        return arc.centre[0] - math.sqrt(arc.radius_mm**2 - h * h)

    area = quad(lambda h: outer(h) - inner(h), -edge, edge)[0]
    moment = quad(lambda h: (outer(h) ** 2 - inner(h) ** 2) / 2, -edge, edge)[0]
    centroid = moment / area * math.cos(math.radians(latitude))
    taken = 2 * math.pi * centroid * area
    mesh = read_stl(Piece(Globe(60, rings=(RingCut(latitude, section),)), "holly"))
    sound(mesh)
    ball = read_stl(Piece(Globe(60), "holly"))
    # the cut itself, not only the ball it is cut from
    assert ball.volume - mesh.volume == pytest.approx(taken, rel=0.02)
    assert mesh.volume == pytest.approx(math.pi * 60**3 / 6 - taken, rel=CLOSE)


def test_a_beads_half_torus_by_pappus():
    # V = 2π × distance of the centroid × area: a half disc's centroid lies 4r/3π from its
    # straight side (Pappus; secondary stored text, mathivo.com/EN/geometry/solid-geometry/torus)
    bead = Profile((profile.bead(6, 26, 20, 20),))
    mesh = read_stl(Piece(None, "holly", (PlacedPart("bead", bead, 0, 6, True, "holly"),)))
    sound(mesh)
    beyond = 2 * math.pi * (10 + 4 * 3 / (3 * math.pi)) * math.pi * 9 / 2
    assert mesh.volume - math.pi * 100 * 6 == pytest.approx(beyond, rel=CLOSE)


def test_a_ring_on_the_equator_by_the_librarys_own_torus():
    """A round cove deep enough for half the cutter takes what a torus and the ball share."""
    section = cove_section(60, 3, 60 * math.asin(0.1) - 1e-9)
    (arc,) = section.pieces
    mesh = read_stl(Piece(Globe(60, rings=(RingCut(0, section),)), "holly"))
    torus = trimesh.creation.torus(arc.centre[0], 3, major_sections=128, minor_sections=64)
    # below the cutter's middle the cut is the torus's inner half, above it a straight-walled groove
    half = 2 * math.pi * (arc.centre[0] - 4 * 3 / (3 * math.pi)) * math.pi * 9 / 2
    outer_half = 2 * math.pi * (arc.centre[0] + 4 * 3 / (3 * math.pi)) * math.pi * 9 / 2
    assert torus.volume == pytest.approx(half + outer_half, rel=CLOSE)
    rest = quad(lambda h: math.pi * (900 - h * h - arc.centre[0] ** 2), -3, 3)[0]
    taken = math.pi * 60**3 / 6 - mesh.volume
    assert taken == pytest.approx(half + rest, rel=0.03)


def ornament():
    drop = Profile(
        (
            profile.taper(34, 0, 5),
            profile.bead(3, 8, 5, 5),
            profile.cove(6, 4, 6.5, 8),
            profile.ogee(9, 8, 15),
            profile.tenon(12, 8),
        )
    )
    section = cove(72, 6, 2)
    part = PlacedPart("drop", drop, -33.9, drop.length_mm - 12, False, "walnut", ())
    globe = Globe(72, 6, section, (), 0, (Bore(-40, -21.9, 8.2),))
    return Piece(globe, "holly", (part,)), section, drop


def test_parts_and_holes_each_and_together():
    piece, section, drop = ornament()
    solids = read_glb(piece)
    for mesh in solids.values():
        sound(mesh)
    made = profile.volume_mm3(drop)
    assert solids["drop"].volume == pytest.approx(made, rel=CLOSE)
    assert solids["drop"].area == pytest.approx(profile.surface_area(drop).total_mm2, rel=CLOSE)
    hole = math.pi * 4.1**2 * (34 - 21.9)  # to the wood at the pole, nearly flat over the hole
    globe = grooved_form(section, 6).volume_mm3 - hole
    assert solids["globe"].volume == pytest.approx(globe, rel=CLOSE)
    whole = read_stl(piece)
    sound(whole)
    assert whole.volume == pytest.approx(globe + made, rel=CLOSE)
    assert whole.body_count == 1


@pytest.mark.parametrize(
    ("grooves", "width", "depth"), [(0, 6, 2), (3, 6, 2), (4, 6, 2), (6, 4, 1.4)]
)
def test_a_hole_that_ends_at_the_pole_is_open(grooves, width, depth):
    """Ridges round the pole may stand higher than the pole itself: no skin stays over the hole."""
    section = cove(60, width, depth) if grooves else None
    pole = 30 - depth if grooves else 30
    globe = Globe(60, grooves, section, (), 0, (Bore(pole - 12, pole, 1.7),))
    mesh = read_stl(Piece(globe, "holly"))
    sound(mesh)
    assert mesh.body_count == 1
    assert mesh.euler_number == 2
    undrilled = read_stl(Piece(Globe(60, grooves, section), "holly"))
    taken = math.pi * 0.85**2 * 12
    assert undrilled.volume - mesh.volume == pytest.approx(taken, rel=0.05)


def test_a_bored_part():
    turned = Profile((profile.straight(20, 12),))
    bored = PlacedPart("post", turned, 0, 20, True, "holly", (Bore(-1, 21, 5),))
    mesh = read_stl(Piece(None, "holly", (bored,)))
    sound(mesh)
    assert mesh.volume == pytest.approx(math.pi * 20 * (36 - 6.25), rel=CLOSE)
    assert mesh.area == pytest.approx(
        2 * math.pi * 20 * (6 + 2.5) + 2 * math.pi * (36 - 6.25), rel=CLOSE
    )
    assert mesh.euler_number == 0  # one hole through it


@pytest.mark.parametrize("seed", range(14))
def test_shoulders_that_rest_on_ridges_leave_no_slivers(seed):
    """A flat shoulder grazes the ridges between the grooves: whatever their number and the sizes,
    the whole is one closed solid as the library reads it, and the joint takes no height."""
    draw = random.Random(seed)
    ball, grooves = draw.uniform(44, 90), draw.choice((3, 4, 5, 6, 7))
    section = cove(ball, draw.uniform(4, 7), draw.uniform(1, 1.6))
    parts, bores = [], []
    for name, up in (("cap", True), ("finial", False)):
        across, hole = draw.uniform(14, 28), draw.uniform(5, 9)
        tenon = profile.tenon(draw.uniform(4, 9), hole - 0.2)
        above = (profile.taper(20, 4, across), profile.fillet(2, across))
        one = Profile((*above, tenon))
        height = resting(ball, section, grooves, across, hole).height_mm
        parts.append(
            PlacedPart(
                name, one, height if up else -height, one.length_mm - tenon.length_mm, up, "holly"
            )
        )
        pole, deep = ball / 2 - 1.5, ball / 2 - tenon.length_mm - 3
        low, high = sorted((pole + 5 if up else -pole - 5, deep if up else -deep))
        bores.append(Bore(low, high, hole))
    piece = Piece(Globe(ball, grooves, section, (), 0, tuple(bores)), "holly", tuple(parts))
    whole = read_stl(piece)
    sound(whole)
    for mesh in read_glb(piece).values():
        sound(mesh)
    tall = sum(part.shoulder_mm * (1 if part.up else -1) + 22 for part in parts)
    assert whole.extents[2] == pytest.approx(tall, abs=0.03)


@pytest.mark.parametrize(("grooves", "top", "bottom"), [(0, 24, 0), (5, 24, 18), (6, 0, 30)])
def test_the_area_that_shoulders_leave_by_a_mesh_of_the_library(grooves, top, bottom):
    """Triangles whose middle lies under a shoulder are not to be seen."""
    section = cove(60, 6, 2) if grooves else None
    globe = Globe(60, grooves, section, bores=(Bore(20, 30, 6), Bore(-30, -20, 8)))
    mesh = read_stl(Piece(globe, "holly"))
    # fine enough that the border of what is left out does not count
    mesh = mesh.subdivide_to_size(0.5, max_iter=20)
    x, y, z = mesh.triangles_center.T
    off, far = np.hypot(x, y), np.sqrt(x * x + y * y + z * z)
    under = np.where(z > 0, max(top, 6), max(bottom, 8)) / 2
    # the sides and ends of the holes lie inside them
    seen = (off > under) & (far > 25)
    area = globe_form(globe, (top, bottom)).area_mm2
    assert area == pytest.approx(mesh.area_faces[seen].sum(), rel=0.006)
