"""The camera: where the picture is taken from, and which way each pixel looks."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from studio.picture.scene import Scene
from studio.picture.strokes import Floats

Vector = tuple[float, float, float]
Places = tuple[Floats, Floats, Floats]
"""Places or directions, one number of each for every one of many."""

_ELEVATION_DEG = 24.0
"""How far the camera stands above the equator (ours): the top pole and the lobes show."""

_AWAY = 7.0
"""Camera's distance over the piece's half diagonal (ours): a long lens's calm perspective."""

_FILLS_HEIGHT, _FILLS_WIDTH = 0.74, 0.72
"""How much of the picture a ball fills at most (ours); a slender piece fills more of its height."""


def unit(vector: Vector) -> Vector:
    """A direction of length 1."""
    long = math.hypot(*vector)
    return vector[0] / long, vector[1] / long, vector[2] / long


def cross(a: Vector, b: Vector) -> Vector:
    """A direction square to two others."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def dot(a: Vector, b: Vector) -> float:
    """How far one direction reaches along another."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@dataclass(frozen=True)
class Camera:
    """Where the picture is taken from.

    Attributes:
        eye: its place, mm.
        right, up, forward: its directions.
        pixel: what a pixel covers at distance 1.
        middle: the pixel, in columns and rows, that lies straight ahead.
    """

    eye: Vector
    right: Vector
    up: Vector
    forward: Vector
    pixel: float
    middle: tuple[float, float]

    def ray(self, column: Floats, row: Floats) -> Places:
        """Directions of length 1 through places in the picture."""
        across = (column - self.middle[0]) * self.pixel
        down = (row - self.middle[1]) * self.pixel
        scale = 1 / np.sqrt(1 + across * across + down * down)
        x, y, z = (
            (self.forward[i] + across * self.right[i] - down * self.up[i]) * scale for i in range(3)
        )
        return x, y, z


def camera_for(scene: Scene, width: int, height: int) -> Camera:
    """The camera that frames a piece.

    Looks a little down, turned so that a lobe stands a little to the left of the middle. Args:
    scene; the picture's width and height in pixels.
    """
    globe = scene.piece.globe
    lobe = math.pi / globe.grooves if globe is not None and globe.grooves else 0.0
    bearing = -0.5 * math.pi + 0.5 * lobe - 0.18 * lobe
    elevation = math.radians(_ELEVATION_DEG)
    middle = (scene.lowest + scene.highest) / 2
    away = _AWAY * math.hypot(scene.widest, (scene.highest - scene.lowest) / 2)
    back = (
        math.cos(bearing) * math.cos(elevation),
        math.sin(bearing) * math.cos(elevation),
        math.sin(elevation),
    )
    eye = (back[0] * away, back[1] * away, middle + back[2] * away)
    forward = (-back[0], -back[1], -back[2])
    right = unit(cross(forward, (0.0, 0.0, 1.0)))
    up = cross(right, forward)
    rims = scene.rims()
    across, down = [], []
    for radius, z in rims:
        for step in range(48):
            turn = math.tau * step / 48
            place = (
                radius * math.cos(turn) - eye[0],
                radius * math.sin(turn) - eye[1],
                z - eye[2],
            )
            deep = dot(place, forward)
            across.append(dot(place, right) / deep)
            down.append(-dot(place, up) / deep)
    wide, high = max(across) - min(across), max(down) - min(down)
    fills = _FILLS_HEIGHT + 0.1 * min(1.0, max(0.0, high / wide - 1))
    pixel = max(wide / (_FILLS_WIDTH * width), high / (fills * height))
    centre = (max(across) + min(across)) / 2, (max(down) + min(down)) / 2
    return Camera(
        eye,
        right,
        up,
        forward,
        pixel,
        (width / 2 - centre[0] / pixel, 0.485 * height - centre[1] / pixel),
    )
