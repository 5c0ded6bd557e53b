"""Meshes as files: binary STL in mm, and GLB (glTF 2.0) in metres with the woods' colours."""

from __future__ import annotations

import json
import struct
import zlib
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from studio.picture.grain import Grain
from studio.picture.solids import Mesh
from studio.picture.stamps import KEY
from studio.picture.tones import tone_of

_MM_PER_M = 1000.0

_STL_HEADER = b"finished piece, mm; made by studio"
"""A binary file's header may not begin with "solid", or readers take it for a text file."""

_GLB_MAGIC, _GLB_VERSION = 0x46546C67, 2
_JSON_CHUNK, _BIN_CHUNK = 0x4E4F534A, 0x004E4942
_FLOAT, _UNSIGNED_INT, _UNSIGNED_SHORT = 5126, 5125, 5123
_ARRAY_BUFFER, _ELEMENT_BUFFER = 34962, 34963
"""Numbers of the glTF 2.0 specification."""

_ROUGHNESS = 0.55
"""A satin finish, as glTF counts roughness (ours)."""


def stl(mesh: Mesh, stamp: str = "") -> bytes:
    """A mesh as a binary STL file, mm, the poles' line upright.

    Args: mesh; the piece's stamp, for the header. Source: the STL format as commonly described: 80
    bytes of header, a count, and for each triangle its normal, three corners and two empty bytes,
    little-endian (from memory; the tests read it with a general mesh library).
    """
    corners = mesh.vertices[mesh.triangles]
    facing = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    long = np.linalg.norm(facing, axis=1, keepdims=True)
    record = np.zeros(
        len(corners), dtype=[("facing", "<f4", 3), ("at", "<f4", (3, 3)), ("", "<u2")]
    )
    record["facing"] = facing / np.where(long > 0, long, 1)
    record["at"] = corners
    header = _STL_HEADER + f"; {KEY} {stamp}".encode() if stamp else _STL_HEADER
    return header.ljust(80, b"\0") + struct.pack("<I", len(corners)) + record.tobytes()


def glb(meshes: Sequence[Mesh], stamp: str = "") -> bytes:
    """Meshes as one GLB file: a node and a mesh each, coloured by the grain of their wood.

    Metres, y upright, as the format has it. Every corner is one vertex, so that a reader finds the
    surfaces closed without joining anything; there are therefore no shading directions, and the
    format has readers shade each triangle by its own.

    Args: meshes, at least one; the piece's stamp. Source: glTF 2.0 specification, sections on GLB
    layout, meshes, accessors and materials (from memory; the tests read it with a general mesh
    library).
    """
    body = bytearray()
    views: list[dict[str, int]] = []
    accessors: list[dict[str, Any]] = []

    def add(data: np.ndarray[Any, Any], kind: int, shape: str, target: int, **more: Any) -> int:
        views.append(
            {"buffer": 0, "byteOffset": len(body), "byteLength": data.nbytes, "target": target}
        )
        body.extend(data.tobytes())
        body.extend(b"\0" * (-len(body) % 4))
        accessors.append(
            {
                "bufferView": len(views) - 1,
                "componentType": kind,
                "count": data.size if shape == "SCALAR" else len(data),
                "type": shape,
                **more,
            }
        )
        return len(accessors) - 1

    woods = list(dict.fromkeys(mesh.wood for mesh in meshes))
    drawn = []
    for mesh in map(_joined, meshes):
        at = _upright(mesh.vertices / np.float32(_MM_PER_M))
        bounds = {"min": at.min(axis=0).tolist(), "max": at.max(axis=0).tolist()}
        drawn.append(
            {
                "name": mesh.name,
                "primitives": [
                    {
                        "attributes": {
                            "POSITION": add(at, _FLOAT, "VEC3", _ARRAY_BUFFER, **bounds),
                            "COLOR_0": add(
                                _colours(mesh),
                                _UNSIGNED_SHORT,
                                "VEC4",
                                _ARRAY_BUFFER,
                                normalized=True,
                            ),
                        },
                        "indices": add(
                            mesh.triangles.astype("<u4").ravel(),
                            _UNSIGNED_INT,
                            "SCALAR",
                            _ELEMENT_BUFFER,
                        ),
                        "material": woods.index(mesh.wood),
                    }
                ],
            }
        )
    content = {
        "asset": {"version": "2.0", "generator": "studio", "extras": {KEY: stamp}},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(meshes)))}],
        "nodes": [{"name": mesh.name, "mesh": i} for i, mesh in enumerate(meshes)],
        "meshes": drawn,
        "materials": [
            {
                "name": wood,
                "pbrMetallicRoughness": {"metallicFactor": 0.0, "roughnessFactor": _ROUGHNESS},
            }
            for wood in woods
        ],
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(body)}],
    }
    text = json.dumps(content, ensure_ascii=True, separators=(",", ":")).encode("ascii")
    text += b" " * (-len(text) % 4)
    chunks = struct.pack("<II", len(text), _JSON_CHUNK) + text
    chunks += struct.pack("<II", len(body), _BIN_CHUNK) + bytes(body)
    return struct.pack("<III", _GLB_MAGIC, _GLB_VERSION, 12 + len(chunks)) + chunks


def _upright(rows: np.ndarray[Any, np.dtype[np.float32]]) -> np.ndarray[Any, np.dtype[np.float32]]:
    """Rows of x, y, z with z upright turned so that y is."""
    return np.ascontiguousarray(np.column_stack((rows[:, 0], rows[:, 2], -rows[:, 1])), dtype="<f4")


def _joined(mesh: Mesh) -> Mesh:
    """The mesh with one vertex for each place, however many ways the surface faces there."""
    places, owner = np.unique(mesh.vertices, axis=0, return_inverse=True)
    facing = np.zeros_like(places)
    np.add.at(facing, owner.ravel(), mesh.facing)
    long = np.linalg.norm(facing, axis=1, keepdims=True)
    return replace(
        mesh,
        vertices=places,
        triangles=owner.ravel()[mesh.triangles].astype(np.uint32),
        facing=facing / np.maximum(long, 1e-6),
    )


def _colours(mesh: Mesh) -> np.ndarray[Any, np.dtype[np.uint16]]:
    """The wood's colour at each vertex as amounts of light, as the format has vertex colours."""
    wide = float(np.hypot(mesh.vertices[:, 0], mesh.vertices[:, 1]).max())
    seed = zlib.crc32(mesh.name.encode("utf-8")) % 997
    tone = tone_of(mesh.wood)
    grain = Grain.of_blank(tone, seed, wide, (0.6, 0.8))
    x, y, z = (np.ascontiguousarray(mesh.vertices[:, axis]) for axis in range(3))
    # vertices stand about this far apart, so nothing finer can be shown
    apart = np.full_like(x, max(0.6, wide * 0.02))
    bands = grain.colour((x, y, z), np.abs(mesh.facing[:, 2]), apart)
    found = np.full((len(x), 4), 65535, dtype="<u2")
    for band, light in enumerate(bands):
        found[:, band] = np.rint(light * 65535)
    return found
