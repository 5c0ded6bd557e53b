"""STL and GLB byte by byte; a general mesh library reads them in tests/outside."""

import dataclasses
import io
import json
import struct

import numpy as np
import pytest
import trimesh

from studio.episode.assemble import open_episode
from studio.picture.mesh_files import glb, stl
from studio.picture.solids import mesh_of, meshes_of
from studio.resources import shipped


def taken_apart(data):
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON"
    content = json.loads(data[20 : 20 + size])
    rest, kind = struct.unpack_from("<I4s", data, 20 + size)
    assert kind == b"BIN\0"
    assert rest == content["buffers"][0]["byteLength"]
    assert size % 4 == rest % 4 == 0
    return content, data[28 + size :]


def values(content, body, number):
    accessor = content["accessors"][number]
    view = content["bufferViews"][accessor["bufferView"]]
    kind = {5126: "<f4", 5125: "<u4", 5123: "<u2"}[accessor["componentType"]]
    wide = {"SCALAR": 1, "VEC3": 3, "VEC4": 4}[accessor["type"]]
    found = np.frombuffer(body, kind, accessor["count"] * wide, view["byteOffset"])
    assert found.nbytes == view["byteLength"]
    return found.reshape(-1, wide)


def test_stl(pieces):
    mesh = mesh_of(pieces["four grooves"])
    data = stl(mesh)
    count = struct.unpack_from("<I", data, 80)[0]
    assert count == len(mesh.triangles)
    assert len(data) == 84 + 50 * count
    assert not data.startswith(b"solid")  # readers would take it for text
    first = struct.unpack_from("<12f", data, 84)
    assert first[3:6] == pytest.approx(mesh.vertices[mesh.triangles[0, 0]])
    assert np.linalg.norm(first[:3]) == pytest.approx(1)


def test_glb_is_in_metres_and_stands_on_y(pieces):
    content, body = taken_apart(glb(meshes_of(pieces["ornament"])))
    primitive = content["meshes"][0]["primitives"][0]
    at = values(content, body, primitive["attributes"]["POSITION"])
    accessor = content["accessors"][primitive["attributes"]["POSITION"]]
    assert at.min(axis=0).tolist() == accessor["min"]
    assert at.max(axis=0).tolist() == accessor["max"]
    assert np.abs(at).max() == pytest.approx(0.036, rel=0.01)
    # the drop lies below, and below is -y
    drop = values(content, body, content["meshes"][2]["primitives"][0]["attributes"]["POSITION"])
    assert drop[:, 1].max() < 0
    assert drop[:, 1].min() < -0.08


def test_glb_has_nodes_woods_and_sound_numbers(pieces):
    content, body = taken_apart(glb(meshes_of(pieces["ornament"])))
    assert [node["name"] for node in content["nodes"]] == ["globe", "cap", "drop"]
    assert [wood["name"] for wood in content["materials"]] == ["European sycamore", "black walnut"]
    bright = []
    for mesh in content["meshes"]:
        (primitive,) = mesh["primitives"]
        attributes = primitive["attributes"]
        places = values(content, body, attributes["POSITION"])
        count = len(places)
        assert len(np.unique(places, axis=0)) == count
        assert values(content, body, primitive["indices"]).max() == count - 1
        colours = values(content, body, attributes["COLOR_0"])
        assert (colours[:, 3] == 65535).all()
        bright.append(colours[:, :3].mean() / 65535)
    assert bright[0] > 3 * bright[1]


def test_hostile_names_stay_data(pieces):
    piece = pieces["part alone"]
    name = 'a"}],"b":[{"</script>\u2028\U0001f332\x00'
    part = dataclasses.replace(piece.parts[0], name=name, wood=name)
    content, _ = taken_apart(glb(meshes_of(dataclasses.replace(piece, parts=(part,)))))
    assert content["nodes"][0]["name"] == name
    assert content["materials"][0]["name"] == name


def test_a_hollow_that_is_closed_is_an_inner_surface_of_the_whole():
    """A surface that no corner joins to another: one outside, the rest facing inwards."""
    piece = open_episode(shipped("designs") / "crowned-globe.yaml").piece
    body = trimesh.load(io.BytesIO(stl(mesh_of(piece))), file_type="stl")
    assert body.is_watertight
    volumes = sorted(one.volume for one in body.split(only_watertight=False))
    assert len(volumes) > 1
    assert [volume > 0 for volume in volumes] == [False] * (len(volumes) - 1) + [True]
    # ball-shaped, with the rest of the opening under the tenon
    ball = np.pi / 6 * piece.globe.hollow_diameter_mm**3
    assert -volumes[0] == pytest.approx(ball, rel=0.05)
