"""Meshes: closed, the right way round, the same each time. Volumes are in tests/outside."""

import dataclasses

import numpy as np
import pytest
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from studio.picture.solids import Mesh, all_meshes, mesh_of, meshes_of
from studio.turning.piece import Bore, Piece


def welded(mesh: Mesh) -> np.ndarray:
    """Triangles by places: corners that differ in their direction only are one."""
    places = np.ascontiguousarray(mesh.vertices + 0.0)  # -0 and 0 are one place
    _, place = np.unique(places.view("V12").ravel(), return_inverse=True)
    return place[mesh.triangles]


def closed(mesh: Mesh) -> bool:
    """Every edge is met by as many triangles one way as the other."""
    triangles = welded(mesh)
    start, end = triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()
    count = triangles.max() + 1
    return np.array_equal(np.sort(start * count + end), np.sort(end * count + start))


def volume(mesh: Mesh) -> float:
    a, b, c = (mesh.vertices[mesh.triangles[:, i]].astype(float) for i in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def test_every_solid_is_closed_and_outside_out(meshes):
    whole, each = meshes
    for mesh in (whole, *each):
        assert closed(mesh)
        assert volume(mesh) > 0
        assert np.isfinite(mesh.vertices).all()
        assert np.linalg.norm(mesh.facing, axis=1) == pytest.approx(1, abs=1e-3)
    assert len(whole.triangles) < 200_000


def test_names_and_woods(pieces):
    whole, each = all_meshes(pieces["ornament"])
    assert (whole.name, whole.wood) == ("piece", "European sycamore")
    assert [(mesh.name, mesh.wood) for mesh in each] == [
        ("globe", "European sycamore"),
        ("cap", "black walnut"),
        ("drop", "black walnut"),
    ]


def test_the_same_each_time(pieces):
    for name in ("ornament", "five grooves"):
        once, again = mesh_of(pieces[name]), mesh_of(pieces[name])
        assert once.vertices.tobytes() == again.vertices.tobytes()
        assert once.triangles.tobytes() == again.triangles.tobytes()


def test_joints_make_one_solid(pieces):
    """Glue fills the gap round a tenon; without holes to glue them into parts stay apart."""
    piece = pieces["ornament"]
    whole, each = all_meshes(piece)
    # the hollow opens to the outside through the hanger's hole, so there is no inner surface
    assert pieces_of(whole) == 1
    assert volume(whole) == pytest.approx(sum(map(volume, each)), rel=0.003)
    loose = [dataclasses.replace(part, bores=()) for part in piece.parts]
    undrilled = dataclasses.replace(piece.globe, bores=(), hollow_diameter_mm=0)
    assert pieces_of(mesh_of(dataclasses.replace(piece, globe=undrilled, parts=loose))) == 1
    without_holes = dataclasses.replace(piece.globe, bores=(Bore(20, 36, 26), Bore(-36, -22, 14)))
    assert pieces_of(mesh_of(dataclasses.replace(piece, globe=without_holes))) > 1


def pieces_of(mesh: Mesh) -> int:
    """Surfaces that do not hang together."""
    triangles = welded(mesh)
    ends = triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()
    count = triangles.max() + 1
    joined = coo_array((np.ones(len(ends[0]), dtype=bool), ends), shape=(count, count))
    return int(connected_components(joined, directed=False, return_labels=False))


def test_sharp_edges_stay_sharp_and_round_ones_round(pieces):
    """A ball's directions are its radii; a groove's edge has a direction for each side."""
    mesh = mesh_of(pieces["plain"])
    out = mesh.vertices / np.linalg.norm(mesh.vertices, axis=1, keepdims=True)
    assert (out * mesh.facing).sum(axis=1).min() > 0.998
    grooved = mesh_of(pieces["four grooves"])
    assert len(np.unique(grooved.vertices, axis=0)) < len(grooved.vertices)


def test_nothing_has_no_mesh():
    for make in (mesh_of, meshes_of):
        with pytest.raises(ValueError, match="has no mesh"):
            make(Piece(None, "oak"))


def test_a_groove_count_of_none_is_a_plain_ball(pieces):
    globe = dataclasses.replace(pieces["four grooves"].globe, grooves=0)
    assert volume(mesh_of(Piece(globe, "oak"))) == pytest.approx(np.pi * 60**3 / 6, rel=0.002)
