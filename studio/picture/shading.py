"""The shaded picture: rays from a camera to the piece, soft light, soft shadow, grain.

Each pixel's ray goes forward by its distance from the wood until it is there. Light comes from a
broad lamp above and to the left, from a weaker one behind, and from all round; how much of it a
place sees is found by walking away from it and looking how close the wood stays. Pixels across
which surface, wood or outline change are asked several times over and averaged.
"""

from __future__ import annotations

import io
import math
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from studio.picture.camera import Places, Vector, camera_for, dot, unit
from studio.picture.grain import Grain
from studio.picture.scene import Scene
from studio.picture.stamps import KEY, stamp
from studio.picture.strokes import Floats
from studio.picture.tones import tone_of
from studio.turning.piece import Piece

Picture = npt.NDArray[np.float32]
"""Rows, columns and three amounts of light."""

_Rays = tuple[npt.NDArray[np.intp], Floats, Floats, Floats, Floats, Floats]
"""Which rays, their directions, how far they have come and how far they may go."""

LEAST_PIXELS, MOST_PIXELS = 16, 4096
"""Limits of a picture's width and height (ours): they bound the work."""

_CHUNK = 1 << 14
"""Places worked on at once (ours): few enough to stay in the processor's cache."""

_STEPS = 120
"""Steps at a time of a ray that goes on after its first ones (ours)."""

_FIRST_STEPS = 12
"""Steps after which most rays have arrived or passed by (measured)."""

_SAMPLES = ((0.1, 0.3), (0.3, 0.9), (0.5, 0.5), (0.7, 0.1), (0.9, 0.7))
"""Places in a pixel, no two in one row or column, at which edges are asked (ours)."""

_NOBODY = -2
"""Owner of a pixel that shows the backdrop."""

_EDGE = 0.07
"""Turn of the surface from pixel to pixel that is an edge, one less its cosine (ours)."""

_LEDGE = 5.0
"""Change of distance from pixel to pixel that is an edge, in pixels (ours)."""

_MOST_EDGES = 36_000
"""Most pixels averaged (ours): it bounds the time for a piece with very many grooves."""

_WALL = (0.655, 0.635, 0.605)
"""Backdrop and floor, amounts of light (ours)."""

_KEY = (2.72, 2.60, 2.40)
_BACK = (0.62, 0.66, 0.72)
_SKY = (0.92, 0.94, 0.98)
_GROUND = (0.40, 0.37, 0.33)
"""Amounts of light from the lamp, the one behind, above and below (ours)."""

_GLOSS = (1.0, 0.96, 0.9)
"""Tint of what the finish throws back (ours)."""

_LAMP_SHARP, _LAMP_SHARP_ON_FLOOR = 4.5, 2.2
"""Sharpness of the lamp's shadows: one over the tangent of the angle it fills, about (ours)."""

_THREAD = (0.17, 0.15, 0.13)
"""Colour of the thread on which a piece hangs, amounts of light (ours)."""

_FRESNEL = 0.045
"""Light that a clear finish throws back straight on: refractive index about 1.54."""


_FLOOR_PIXELS = 8
"""Pixels between places on the floor (ours)."""

Cones = tuple[tuple[float, float, float], ...]

_CONE_OPEN = 0.58
"""Half a cone's opening, as a tangent (ours)."""

_CONES: Cones = ((0.0, 0.0, 0.25), *((1.0, 0.4 + k * math.tau / 5, 0.15) for k in range(5)))
"""Cones about the normal on the piece: lean and turn, radians, and weight (ours)."""

_CONE_STEPS = (0.02, 0.065, 0.17, 0.42)
"""How far out along a cone the wood is looked for, as parts of the piece's size (ours)."""

_HOLLOWS = 1.25
"""Power that deepens what hollows lose of light (ours): more than 1 is darker than counted."""

_DARKEST = 0.08
"""Least of the light all round that a place sees (ours): in the deepest hollow wood lights wood."""

_FLOOR_CONES: Cones = (
    (0.0, 0.0, 0.2),
    *((0.6, k * math.tau / 5, 0.072) for k in range(5)),
    *((1.15, 0.3 + k * math.tau / 9, 0.44 / 9) for k in range(9)),
)
"""The same on the floor, where they must not show one by one."""


def shaded_png(piece: Piece, width: int = 1280, height: int = 720) -> bytes:
    """A picture of the finished piece as a PNG file, the same bytes each time.

    Args: piece; width and height in pixels, 16 to 4096.

    Raises:
        ValueError: a size is out of range, or the piece has neither globe nor part.
    """
    picture = shaded(piece, width, height)
    file = io.BytesIO()
    told = PngInfo()
    told.add_text(KEY, stamp(piece))
    Image.fromarray(picture).save(file, "PNG", compress_level=4, pnginfo=told)
    return file.getvalue()


def shaded(piece: Piece, width: int, height: int) -> npt.NDArray[np.uint8]:
    """The same picture as rows and columns of red, green and blue, sRGB, 0 to 255.

    Raises:
        ValueError: a size is out of range, or the piece has neither globe nor part.
    """
    for size in (width, height):
        if not LEAST_PIXELS <= size <= MOST_PIXELS:
            raise ValueError(
                f"a picture is from {LEAST_PIXELS} to {MOST_PIXELS} pixels wide and high, "
                f"not {size}"
            )
    if piece.globe is None and not piece.parts:
        raise ValueError("a piece without a globe and without parts has no picture")
    return _Studio(piece, width, height).picture()


def _chunks(count: int) -> Iterator[slice]:
    for start in range(0, count, _CHUNK):
        yield slice(start, min(start + _CHUNK, count))


@dataclass(frozen=True, slots=True)
class _Met:
    """What rays meet, a column for each.

    Attributes:
        ray, at, normal: three rows each: the ray's direction, the place, where the wood faces.
        owner: -1 for the globe, or the number of the part.
        toward: how far the wood faces the camera, above 0 to 1.
        pixel: what a pixel covers there, mm.
    """

    ray: Floats
    at: Floats
    normal: Floats
    owner: npt.NDArray[np.int32]
    toward: Floats
    pixel: Floats

    def of(self, which: npt.NDArray[np.intp]) -> _Met:
        """Some of them."""
        return _Met(
            self.ray[:, which],
            self.at[:, which],
            self.normal[:, which],
            self.owner[which],
            self.toward[which],
            self.pixel[which],
        )

    def places(self, chunk: slice) -> Places:
        """Where some of them are."""
        return self.at[0, chunk], self.at[1, chunk], self.at[2, chunk]

    def facing(self, chunk: slice) -> Places:
        """Where the wood faces at some of them."""
        return self.normal[0, chunk], self.normal[1, chunk], self.normal[2, chunk]


class _Studio:
    """A piece with camera, lamps and backdrop."""

    def __init__(self, piece: Piece, width: int, height: int) -> None:
        self.scene = Scene(piece)
        self.width, self.height = width, height
        self.camera = camera_for(self.scene, width, height)
        camera = self.camera
        self.size = max(self.scene.widest, (self.scene.highest - self.scene.lowest) / 3)
        self.key = unit(self._seen_from_camera(-0.85, 0.95, 0.50))
        self.back = unit(self._seen_from_camera(0.75, 0.42, -0.65))
        self.close = 0.04 * camera.pixel * math.dist(camera.eye, (0, 0, 0))
        self.hangs = not self.scene.stands()
        self.floor = self.scene.lowest - (0.5 * self.size if self.hangs else 0.0)
        self.woods = {-1: self._blank(piece.wood, "globe", piece)}
        for index, part in enumerate(piece.parts):
            self.woods[index] = self._blank(part.wood, part.name, piece)

    def _seen_from_camera(self, right: float, up: float, towards: float) -> Vector:
        """A direction by what the camera calls right, upright and towards itself on the level."""
        camera = self.camera
        level = unit((-camera.forward[0], -camera.forward[1], 0.0))
        return (
            right * camera.right[0] + towards * level[0],
            right * camera.right[1] + towards * level[1],
            up,
        )

    def _blank(self, wood: str, name: str, piece: Piece) -> Grain:
        tone = tone_of(wood)
        seed = zlib.crc32(name.encode("utf-8")) % 997
        # the pith lies behind the piece and to its side, beyond the blank's edge
        x, y, _ = unit(self._seen_from_camera(0.30 + 0.25 * math.sin(seed), 0.0, -0.8))
        return Grain.of_blank(tone, seed, self.scene.widest, (x, y))

    def picture(self) -> npt.NDArray[np.uint8]:
        width, height = self.width, self.height
        rows, columns = np.mgrid[0:height, 0:width].astype(np.float32)
        column, row = columns.ravel() + 0.5, rows.ravel() + 0.5
        self.shade = self._floor_shade()
        light = self._backdrop(column, row)
        away = self._march(column, row)
        hit = np.flatnonzero(np.isfinite(away))
        met = self._meet(column[hit], row[hit], away[hit])
        edges = self._edges(hit, away, met)
        smooth = np.ones(away.size, dtype=bool)
        smooth[edges] = False
        plain = np.flatnonzero(smooth[hit])
        light[hit[plain]] = self._lit(met.of(plain), self._thinned(hit, met, plain))
        light[edges] = self._averaged(column[edges], row[edges])
        if self.hangs:
            self._thread(light.reshape(height, width, 3))
        return _encoded(light.reshape(height, width, 3))

    def _thread(self, light: Picture) -> None:
        """Draw the thread from which a piece that cannot stand hangs."""
        camera, top = self.camera, self.scene.highest
        place = (-camera.eye[0], -camera.eye[1], top - camera.eye[2])
        deep = dot(place, camera.forward) * camera.pixel
        column = camera.middle[0] + dot(place, camera.right) / deep
        row = camera.middle[1] - dot(place, camera.up) / deep
        half = max(0.55, 0.22 / deep)
        columns = np.arange(light.shape[1], dtype=np.float32) + 0.5
        across = np.clip(half + 0.5 - np.abs(columns - column), 0, 1)
        down = np.clip(row - np.arange(light.shape[0], dtype=np.float32), 0, 1)
        cover = (down[:, None] * across[None, :])[:, :, None]
        light += cover * (np.array(_THREAD, dtype=np.float32) - light)

    def _march(self, column: Floats, row: Floats) -> Floats:
        """How far along each ray the wood is; infinite where it is missed."""
        away = np.full(column.shape, np.inf, dtype=np.float32)
        left: list[_Rays] = []
        for chunk in _chunks(column.size):
            dx, dy, dz = self.camera.ray(column[chunk], row[chunk])
            start, end = self._reach(dx, dy, dz)
            at = np.flatnonzero(start < end)
            if at.size:
                rays = at + chunk.start, dx[at], dy[at], dz[at], start[at], end[at]
                left.append(self._forward(rays, _FIRST_STEPS, away))
        # few rays go on, those that pass close by an edge: all of them together
        if left:
            at, dx, dy, dz, t, end = (np.concatenate(parts) for parts in zip(*left, strict=True))
            going = at, dx, dy, dz, t, end
            # to their end: one given up while it grazes the wood would show the backdrop through it
            while going[0].size:
                going = self._forward(going, _STEPS, away)
        return away

    def _forward(self, rays: _Rays, steps: int, away: Floats) -> _Rays:
        """Take rays forward, note where they arrive, and return those still on their way."""
        at, dx, dy, dz, t, end = rays
        ex, ey, ez = self.camera.eye
        for _ in range(steps):
            if not t.size:
                break
            off = self.scene.distance(ex + t * dx, ey + t * dy, ez + t * dz)
            there = off < self.close
            arrived = np.flatnonzero(there)
            away[at[arrived]] = t[arrived] + off[arrived]
            t = t + np.maximum(off, 2 * self.close)
            keep = np.flatnonzero(~there & (t < end))
            if keep.size < t.size:
                at, dx, dy, dz = at[keep], dx[keep], dy[keep], dz[keep]
                t, end = t[keep], end[keep]
        return at, dx, dy, dz, t, end

    def _reach(self, dx: Floats, dy: Floats, dz: Floats) -> tuple[Floats, Floats]:
        """Where rays may first and last meet the piece: its ball and the round box of its parts."""
        scene, (ex, ey, ez) = self.scene, self.camera.eye
        start, end = np.full_like(dx, np.inf), np.full_like(dx, -np.inf)
        globe = scene.piece.globe
        if globe is not None:
            radius = globe.diameter_mm / 2
            half = dx * ex + dy * ey + dz * ez
            root = half * half - (ex * ex + ey * ey + ez * ez - radius * radius)
            reach = np.sqrt(np.maximum(root, 0))
            start = np.where(root > 0, -half - reach, start)
            end = np.where(root > 0, reach - half, end)
        if scene.piece.parts:
            margin = 0.002 * self.size
            radius, low, high = scene.parts_box
            radius, low, high = radius + margin, low - margin, high + margin
            flat = np.maximum(dx * dx + dy * dy, 1e-9)
            half = (dx * ex + dy * ey) / flat
            root = half * half - (ex * ex + ey * ey - radius * radius) / flat
            reach = np.sqrt(np.maximum(root, 0))
            safe = np.where(np.abs(dz) < 1e-7, np.float32(1e-7), dz)
            below, above = (low - ez) / safe, (high - ez) / safe
            enter = np.maximum(-half - reach, np.minimum(below, above))
            leave = np.minimum(reach - half, np.maximum(below, above))
            meets = (root > 0) & (enter < leave)
            start = np.where(meets, np.minimum(start, enter), start)
            end = np.where(meets, np.maximum(end, leave), end)
        return start, end

    def _edges(self, hit: npt.NDArray[np.intp], away: Floats, met: _Met) -> npt.NDArray[np.intp]:
        """Pixels beside which surface, wood or outline change."""
        shape = self.height, self.width
        whose = self._over_picture(hit, met.owner, _NOBODY)
        ways = [self._over_picture(hit, part, 0) for part in met.normal]
        deep = np.where(np.isfinite(away), away, 0).reshape(shape)
        step = _LEDGE * self.camera.pixel * math.dist(self.camera.eye, (0, 0, 0))
        change = np.zeros(shape, dtype=np.float32)
        for near, next_ in (
            ((slice(None, -1), slice(None)), (slice(1, None), slice(None))),
            ((slice(None), slice(None, -1)), (slice(None), slice(1, None))),
        ):
            differ = 1 - sum(way[near] * way[next_] for way in ways)
            ledge = np.abs(deep[near] - deep[next_]) > step
            differ = np.where((whose[near] != whose[next_]) | ledge, 2, differ)
            differ[(whose[near] == _NOBODY) & (whose[next_] == _NOBODY)] = 0
            for side in (near, next_):
                change[side] = np.maximum(change[side], differ)
        sharp = change.ravel()
        flags = np.flatnonzero(sharp > _EDGE)
        if flags.size > _MOST_EDGES:
            # the sharpest changes first, so that the work stays bounded
            sharpest = np.argsort(-sharp[flags], kind="stable")[:_MOST_EDGES]
            flags = np.sort(flags[sharpest])
        return flags

    def _over_picture(
        self, hit: npt.NDArray[np.intp], values: npt.NDArray[Any], other: float
    ) -> npt.NDArray[Any]:
        """Values of some pixels in the picture's rows and columns, another value elsewhere."""
        found = np.full(self.height * self.width, other, dtype=values.dtype)
        found[hit] = values
        return found.reshape(self.height, self.width)

    def _averaged(self, column: Floats, row: Floats) -> Picture:
        """Light of pixels that show more than one surface."""
        c = np.concatenate([column + np.float32(right - 0.5) for right, _ in _SAMPLES])
        r = np.concatenate([row + np.float32(down - 0.5) for _, down in _SAMPLES])
        light = self._backdrop(c, r)
        away = self._march(c, r)
        hit = np.flatnonzero(np.isfinite(away))
        met = self._meet(c[hit], r[hit], away[hit])
        light[hit] = self._lit(met, self._reaching(met))
        found: Picture = light.reshape(len(_SAMPLES), column.size, 3).mean(axis=0)
        return found

    def _meet(self, column: Floats, row: Floats, away: Floats) -> _Met:
        """What rays meet that are known to meet something."""
        ray, at, normal = (np.empty((3, column.size), dtype=np.float32) for _ in range(3))
        owner = np.empty(column.size, dtype=np.int32)
        toward, pixel = (np.empty(column.size, dtype=np.float32) for _ in range(2))
        for chunk in _chunks(column.size):
            (dx, dy, dz), (ex, ey, ez) = self.camera.ray(column[chunk], row[chunk]), self.camera.eye
            t = away[chunk]
            x, y, z = ex + t * dx, ey + t * dy, ez + t * dz
            (nx, ny, nz), owner[chunk] = self.scene.surface((x, y, z), (dx, dy, dz), 4 * self.close)
            faces = np.maximum(-(nx * dx + ny * dy + nz * dz), 0.02)
            ray[:, chunk], at[:, chunk] = (dx, dy, dz), (x, y, z)
            normal[:, chunk] = nx, ny, nz
            toward[chunk], pixel[chunk] = faces, t * self.camera.pixel / np.sqrt(faces)
        return _Met(ray, at, normal, owner, toward, pixel)

    def _reaching(self, met: _Met) -> Floats:
        """How much of all round, and how much of the lamp, places see: two rows, 0 to 1."""
        found = np.empty((2, met.owner.size), dtype=np.float32)
        for chunk in _chunks(met.owner.size):
            at, normal = met.places(chunk), met.facing(chunk)
            found[0, chunk] = self._openness(at, normal)
            found[1, chunk] = self._unshaded(at, normal)
        return found

    def _thinned(self, hit: npt.NDArray[np.intp], met: _Met, plain: npt.NDArray[np.intp]) -> Floats:
        """The same for pixels where nothing is sharp: found for one in four, in between by mean.

        A neighbour counts when the same surface goes on there.
        """
        row, column = np.divmod(hit, self.width)
        chosen = np.flatnonzero((row % 2 == 0) & (column % 2 == 0))
        number = self._over_picture(hit[chosen], np.arange(chosen.size), -1)
        known, seen = met.of(chosen), self._reaching(met.of(chosen))
        row, column = row[plain], column[plain]
        ours, total = met.of(plain), np.zeros((2, plain.size), dtype=np.float32)
        weight = np.zeros(plain.size, dtype=np.float32)
        for down in (0, 1):
            for right in (0, 1):
                r = np.minimum(row - row % 2 + 2 * down, (self.height - 1) // 2 * 2)
                c = np.minimum(column - column % 2 + 2 * right, (self.width - 1) // 2 * 2)
                there = number[r, c]
                alike = np.zeros(plain.size, dtype=np.float32)
                for a, b in zip(ours.normal, known.normal, strict=True):
                    alike += a * b[there]
                counts = (there >= 0) & (ours.owner == known.owner[there])
                share = (1 - np.abs(row - r) / 2) * (1 - np.abs(column - c) / 2)
                share = np.where(counts, share * np.clip((alike - 0.9) * 10, 0, 1), 0)
                total += share * seen[:, there]
                weight += share
        alone = np.flatnonzero(weight < 0.02)
        total /= np.maximum(weight, 1e-6)
        total[:, alone] = self._reaching(ours.of(alone))
        return total

    def _lit(self, met: _Met, reaching: Floats) -> Picture:
        """Light that comes back from places on the piece."""
        light: Picture = np.empty((met.owner.size, 3), dtype=np.float32)
        for chunk in _chunks(met.owner.size):
            x, y, z = met.places(chunk)
            upwards, whose, pixel = np.abs(met.normal[2, chunk]), met.owner[chunk], met.pixel[chunk]
            colours = np.zeros((3, x.size), dtype=np.float32)
            for index, grain in self.woods.items():
                mine = np.flatnonzero(whose == index)
                if mine.size:
                    there = x[mine], y[mine], z[mine]
                    colours[:, mine] = grain.colour(there, upwards[mine], pixel[mine])
            light[chunk] = self._returned(met, chunk, reaching[:, chunk], colours)
        return light

    def _returned(self, met: _Met, chunk: slice, reaching: Floats, colours: Floats) -> Picture:
        """Light that comes back from places of given colours."""
        open_, unshaded = reaching
        ray, (nx, ny, nz), toward = met.ray[:, chunk], met.facing(chunk), met.toward[chunk]
        kx, ky, kz = self.key
        key = nx * kx + ny * ky + nz * kz
        # a broad lamp reaches a little round the corner
        lamp = np.clip((key + 0.2) * (1 / 1.2), 0, None) * unshaded
        back = nx * self.back[0] + ny * self.back[1] + nz * self.back[2]
        back = np.clip((back + 0.1) * (1 / 1.1), 0, None) * open_
        above = 0.5 + 0.5 * nz
        # mirror direction of the look
        twice = 2 * toward
        mirror = ray[0] + twice * nx, ray[1] + twice * ny, ray[2] + twice * nz
        fresnel = _FRESNEL + (1 - _FRESNEL) * (1 - toward) ** 5 * 0.55
        gloss = self._glint(mirror, self.key, 0.80, 0.985) * 1.5 * np.clip(lamp * 2.5, 0, 1)
        gloss += self._glint(mirror, self.back, 0.72, 0.98) * 0.55 * open_
        gloss += (0.22 + 0.50 * np.clip(mirror[2] * 0.5 + 0.5, 0, 1)) * open_
        gloss *= fresnel
        found = np.empty((toward.size, 3), dtype=np.float32)
        for band in range(3):
            own = colours[band]
            # light thrown back and forth in a hollow takes the wood's own colour
            a, b, c = 2.0404 * own - 0.3324, -4.7951 * own + 0.6417, 2.7552 * own + 0.6903
            seen = np.maximum(open_, ((open_ * a + b) * open_ + c) * open_)
            all_round = (_GROUND[band] + (_SKY[band] - _GROUND[band]) * above) * seen
            coming = all_round * 0.62 + (_KEY[band] * lamp + _BACK[band] * back) * (1 / math.pi)
            found[:, band] = own * coming + gloss * _GLOSS[band]
        return found

    @staticmethod
    def _glint(mirror: Places, lamp: Vector, low: float, high: float) -> Floats:
        """How much of a broad lamp the mirror direction meets, 0 to 1."""
        met = mirror[0] * lamp[0] + mirror[1] * lamp[1] + mirror[2] * lamp[2]
        part = np.clip((met - low) * (1 / (high - low)), 0, 1)
        found: Floats = part * part * (3 - 2 * part)
        return found

    def _openness(self, at: Places, normal: Places, cones: Cones = _CONES) -> Floats:
        """How much of all that a place faces it sees, 0 to 1, by cones about its normal."""
        (x, y, z), (nx, ny, nz) = at, normal
        # two directions square to the normal, without a pole: Duff et al. 2017
        sign = np.where(nz < 0, -1, 1).astype(np.float32)
        a = -1 / (sign + nz)
        b = nx * ny * a
        first: Places = (1 + sign * nx * nx * a, sign * b, -sign * nx)
        second: Places = (b, sign + ny * ny * a, -ny)
        total = np.zeros_like(nx)
        reach = self.size
        for tilt, turn, weight in cones:
            lean, side = math.cos(tilt), math.sin(tilt)
            cos, sin = side * math.cos(turn), side * math.sin(turn)
            wx, wy, wz = (
                lean * n + cos * p + sin * q for n, p, q in zip(normal, first, second, strict=True)
            )
            seen = np.ones_like(nx)
            for far in _CONE_STEPS:
                t = far * reach
                off = self.scene.distance(x + t * wx, y + t * wy, z + t * wz)
                np.minimum(seen, off * (1 / (t * _CONE_OPEN)) + 0.25 * far, out=seen)
            total += weight * np.clip(seen, 0, 1)
        return np.clip(total, _DARKEST, 1) ** _HOLLOWS

    def _unshaded(self, at: Places, normal: Places) -> Floats:
        """How much of the lamp a place sees, 0 to 1."""
        lamp, lift = self.key, 2.0 * self.close
        x, y, z = (p + lift * n for p, n in zip(at, normal, strict=True))
        seen = np.ones_like(x)
        t = np.full_like(x, 0.012 * self.size)
        for _ in range(12):
            off = self.scene.distance(x + t * lamp[0], y + t * lamp[1], z + t * lamp[2])
            np.minimum(seen, _LAMP_SHARP * off / t, out=seen)
            t += np.clip(off, 0.02 * self.size, 0.25 * self.size)
        seen = np.clip(0.5 + 0.5 * seen, 0, 1)
        found: Floats = seen * seen * (3 - 2 * seen)
        return found

    def _floor_shade(self) -> Picture:
        """How bright the floor is, 0 to 1, for every few pixels: nothing on it is sharp."""
        coarse = _FLOOR_PIXELS
        rows, columns = -(-self.height // coarse) + 2, -(-self.width // coarse) + 2
        row, column = np.mgrid[0:rows, 0:columns].astype(np.float32)
        ray = self.camera.ray(
            column.ravel() * coarse - coarse / 2, row.ravel() * coarse - coarse / 2
        )
        x, y, z, t = self._floor_places(ray)
        # under a flat foot it is as dark as at the foot's edge: between these places one may show
        off_line, foot = np.maximum(np.hypot(x, y), 1e-6), 1.02 * self.scene.foot()
        outwards = np.maximum(foot / off_line, 1)
        x, y = x * outwards, y * outwards
        shade: Floats = np.ones(t.shape, dtype=np.float32)
        near = np.flatnonzero(
            np.isfinite(t) & (np.hypot(x, y) < 7 * self.size + 3 * self.scene.widest)
        )
        for chunk in _chunks(near.size):
            at = near[chunk]
            places = x[at], y[at], z[at]
            level = np.zeros(at.size, dtype=np.float32)
            lamp = self._unshaded_far(places)
            open_ = self._openness(places, (level, level, level + 1), _FLOOR_CONES)
            shade[at] = 0.52 * lamp + 0.48 * open_
        return shade.reshape(rows, columns)

    def _unshaded_far(self, at: Places) -> Floats:
        """How much of the lamp the floor sees: the lamp is broad, so the shadow is soft."""
        x, y, z = at
        seen = np.ones_like(x)
        t = np.full_like(x, 0.01 * self.size)
        for _ in range(26):
            off = self.scene.distance(x + t * self.key[0], y + t * self.key[1], z + t * self.key[2])
            np.minimum(seen, _LAMP_SHARP_ON_FLOOR * off / t, out=seen)
            t += np.clip(off, 0.02 * self.size, 0.35 * self.size)
        found: Floats = 0.25 + 0.75 * np.clip(seen, 0, 1)
        return found

    def _floor_places(self, ray: Places) -> tuple[Floats, Floats, Floats, Floats]:
        dx, dy, dz = ray
        ex, ey, ez = self.camera.eye
        with np.errstate(divide="ignore"):
            t = np.where(dz < 0, (self.floor - ez) / dz, np.inf).astype(np.float32)
        flat = np.where(np.isfinite(t), t, 0)
        return ex + flat * dx, ey + flat * dy, np.full_like(t, self.floor), t

    def _backdrop(self, column: Floats, row: Floats) -> Picture:
        """Backdrop and floor in one sweep, with the piece's shadow."""
        coarse = _FLOOR_PIXELS
        u = (column + coarse / 2) / coarse
        v = (row + coarse / 2) / coarse
        rows, columns = self.shade.shape
        u, v = np.clip(u, 0, columns - 1.001), np.clip(v, 0, rows - 1.001)
        i, j = u.astype(np.int32), v.astype(np.int32)
        flat = self.shade.ravel()
        first = j * columns + i
        u, v = u - i, v - j
        shade = (flat[first] * (1 - u) + flat[first + 1] * u) * (1 - v)
        shade += (flat[first + columns] * (1 - u) + flat[first + columns + 1] * u) * v
        across = (column / self.width - 0.46) * 1.15
        down = row / self.height - 0.42
        glow = 1.05 - 0.55 * (across * across + down * down * 1.3)
        tint = 1 - shade
        bands = [
            wall * glow * (1 - tint * dark)
            for wall, dark in zip(_WALL, (0.90, 0.93, 0.96), strict=True)
        ]
        return np.stack(bands, axis=1).astype(np.float32)


def _encoded(light: Picture) -> npt.NDArray[np.uint8]:
    """sRGB bytes of amounts of light; the brightest are bent down softly instead of cut off."""
    knee = np.float32(0.72)
    over = np.maximum(light - knee, 0)
    room = 1 - knee
    light = np.minimum(light, knee) + room * (1 - np.exp(-over / room))
    levels = np.linspace(0, 1, _LEVELS)
    table = np.where(levels <= 0.0031308, 12.92 * levels, 1.055 * levels ** (1 / 2.4) - 0.055)
    codes = (table * 255).astype(np.float32)
    exact = codes[np.rint(light * (_LEVELS - 1)).astype(np.intp)]
    # an even pattern of a fraction of a step keeps slow changes of the backdrop from banding
    pattern = np.array(_PATTERN, dtype=np.float32) / 16 - 15 / 32
    rows, columns = light.shape[:2]
    spread = np.tile(pattern, (rows // 4 + 1, columns // 4 + 1))[:rows, :columns, None]
    return np.clip(np.rint(exact + spread), 0, 255).astype(np.uint8)


_LEVELS = 16384
_PATTERN = ((0, 8, 2, 10), (12, 4, 14, 6), (3, 11, 1, 9), (15, 7, 13, 5))
"""Ordered dither, Bayer's pattern of 4 by 4 (from memory)."""
