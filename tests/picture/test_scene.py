"""Distances and directions of the surface, against the section's exact radius and each other."""

import math

import numpy as np
import pytest

from studio.picture.scene import Scene
from studio.turning import profile
from studio.turning.cutters import surface_radius_mm
from studio.turning.piece import Bore, Globe, Piece, PlacedPart
from studio.turning.profile import Profile


def directions(count):
    """Directions spread over a ball: a Fibonacci lattice."""
    number = np.arange(count)
    z = 1 - (2 * number + 1) / count
    turn = number * math.pi * (3 - math.sqrt(5))
    flat = np.sqrt(1 - z * z)
    return flat * np.cos(turn), flat * np.sin(turn), z


def radius(globe, x, y, z):
    """Exact distance of the wood from the centre, for a grooved globe without rings."""
    if not globe.grooves:
        return globe.diameter_mm / 2
    sines = [
        abs(y * math.cos(k * math.pi / globe.grooves) - x * math.sin(k * math.pi / globe.grooves))
        for k in range(globe.grooves)
    ]
    return surface_radius_mm(globe.section, math.asin(min(1.0, *sines, 1.0)))


SOLID = ["plain", "four grooves", "five grooves", "one groove", "48 grooves", "vee", "rounded",
         "chamfered", "tiny", "huge"]  # fmt: skip


@pytest.mark.parametrize("name", SOLID)
def test_the_surface_is_where_the_exact_radius_says(pieces, name):
    globe = pieces[name].globe
    scene = Scene(pieces[name])
    x, y, z = directions(1500)
    exact = np.array([radius(globe, *d) for d in zip(x, y, z, strict=True)])
    off = 0.002 * globe.diameter_mm
    for beyond, sign in ((off, 1), (-off, -1)):
        far = exact + beyond
        places = [(part * far).astype(np.float32) for part in (x, y, z)]
        assert (np.sign(scene.distance(*places)) == sign).mean() > 0.985
    # on steep walls a way outwards is short: nowhere may the surface be farther than that way
    places = [(part * (exact + off)).astype(np.float32) for part in (x, y, z)]
    assert scene.distance(*places).max() <= off * 1.02


def test_distances_are_never_too_large(piece, meshes):
    """Else rays would jump through thin wood."""
    scene = Scene(piece)
    surface = meshes[0].vertices[::11]
    size = max(scene.widest, scene.highest - scene.lowest)
    x, y, z = (1.3 * size * part for part in directions(150))
    places = np.column_stack((x, y, z + (scene.lowest + scene.highest) / 2)).astype(np.float32)
    found = scene.distance(*places.T)
    nearest = np.array([np.linalg.norm(surface - place, axis=1).min() for place in places])
    assert (found <= nearest + 0.01 * size).all()
    assert (found > 0).all()


def test_directions_are_square_to_the_surface(piece, meshes):
    """As the mesh has them, which is made another way."""
    scene = Scene(piece)
    mesh = meshes[0]
    corners = mesh.vertices[mesh.triangles]
    middles = corners.mean(axis=1)[::11]
    faces = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])[::11]
    area = np.linalg.norm(faces, axis=1)
    big = area > 1e-4 * scene.widest**2  # slivers have no direction to speak of
    middles, faces = middles[big], faces[big] / area[big, None]
    at = tuple(np.ascontiguousarray(part) for part in middles.T)
    looks = tuple(np.ascontiguousarray(-part) for part in faces.T)
    facing, _ = scene.surface(at, looks, 0.0)
    alike = sum(a * b for a, b in zip(facing, faces.T, strict=True))
    # inside a joint two woods meet, and at corners a triangle's middle lies between two surfaces
    assert (alike > 0.97).mean() > (0.80 if piece.parts and piece.globe else 0.93)


def test_parts_are_told_from_the_globe(pieces):
    scene = Scene(pieces["ornament"])
    x = np.array([0.0, 0.0, 36.0], dtype=np.float32)
    y = np.zeros(3, dtype=np.float32)
    z = np.array([scene.highest, scene.lowest, 0.0], dtype=np.float32)
    _, owner = scene.surface((x, y, z), (-x, -y, -z), 0.0)
    assert owner.tolist() == [0, 1, -1]


def test_what_stands_and_what_hangs(pieces):
    assert Scene(pieces["plain"]).stands()
    assert Scene(pieces["part alone"]).stands()
    assert not Scene(pieces["ornament"]).stands()
    assert Scene(pieces["part alone"]).foot() == pytest.approx(7)


def test_a_part_that_is_round_below_hangs_and_one_with_a_flat_stands():
    """A ball's lowest fiftieth is a fifth as wide as the ball: no flat, and it would roll."""
    for ends, stands in ((0.0, False), (1.0, False), (9.0, True)):
        drop = Profile((profile.bead(12, 12, ends, 8), profile.tenon(8, 8)))
        piece = Piece(
            Globe(40, bores=(Bore(-20, -10, 8.2),)),
            "European sycamore",
            (PlacedPart("drop", drop, -19.6, 10, False, "black walnut"),),
        )
        assert Scene(piece).stands() is stands
