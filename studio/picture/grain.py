"""Growth rings, pores, rays and end grain as a solid texture: the colour of any place in the wood.

The rings are cylinders about a pith that runs nearly along the line of the poles, outside the
piece, as in a blank sawn clear of the pith with its grain along the lathe. A turned surface cuts
them where it happens to lie: near the poles they show as arcs of end grain, on the side that faces
the pith or turns its back to it as long ovals, in between as stripes. What is smaller than a
picture's pixel is faded out, so that it does not flicker.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from studio.picture.strokes import Floats
from studio.picture.tones import Figure, WoodTone, linear

_ENTRIES = 1 << 16


def _random_table() -> Floats:
    """Numbers from -1 to 1 without order, the same on every machine."""
    mixed = np.arange(_ENTRIES, dtype=np.uint32)
    # an integer hash: multiplications by odd numbers and shifts, any that mix well (ours)
    for odd, shift in ((0x7FEB352D, 15), (0x846CA68B, 16), (0x9E3779B1, 13)):
        mixed ^= mixed >> np.uint32(shift)
        mixed *= np.uint32(odd)
    mixed ^= mixed >> np.uint32(16)
    return (mixed.astype(np.float64) / 2**31 - 1).astype(np.float32)


_TABLE = _random_table()


def noise(x: Floats, y: Floats, z: Floats, seed: int) -> Floats:
    """Smooth noise, -1 to 1, that changes over about one unit of length; the same every time.

    Source: value noise, a general technique: random numbers at whole coordinates, smoothed between.
    """
    lattice: list[tuple[npt.NDArray[np.uint32], npt.NDArray[np.uint32]]] = []
    parts: list[Floats] = []
    for axis, (at, odd) in enumerate(
        zip((x, y, z), (0x9E3779B1, 0x85EBCA77, 0xC2B2AE3D), strict=True)
    ):
        floor = np.floor(at)
        part = at - floor
        part = part * part * (3 - 2 * part)
        # the product's high bits are the mixed ones
        whole = floor.astype(np.int32).view(np.uint32) + np.uint32(seed * 7919 + axis * 104729)
        first = whole * np.uint32(odd)
        lattice.append((first >> np.uint32(16), (first + np.uint32(odd)) >> np.uint32(16)))
        parts.append(part)
    (x0, x1), (y0, y1), (z0, z1) = lattice
    along = []
    for z_ in (z0, z1):
        across = []
        for y_ in (y0, y1):
            yz = y_ ^ (z_ * np.uint32(31))
            low = _TABLE.take((x0 ^ yz) & np.uint32(_ENTRIES - 1))
            high = _TABLE.take((x1 ^ yz) & np.uint32(_ENTRIES - 1))
            high -= low
            high *= parts[0]
            high += low
            across.append(high)
        across[1] -= across[0]
        across[1] *= parts[1]
        across[1] += across[0]
        along.append(across[1])
    along[1] -= along[0]
    along[1] *= parts[2]
    along[1] += along[0]
    return along[1]


def _step(low: float, high: float, at: Floats) -> Floats:
    """0 below ``low``, 1 above ``high``, smooth in between."""
    part = np.clip((at - low) * (1 / (high - low)), 0, 1)
    found: Floats = part * part * (3 - 2 * part)
    return found


@dataclass(frozen=True, slots=True)
class Grain:
    """One blank's grain.

    Attributes:
        tone: the wood's colours and figure.
        pith_mm: where the pith passes the plane of height 0.
        lean: how far the pith leans over for each mm of height, in x and y.
        seed: which of endless blanks; a whole number, 0 or more.
    """

    tone: WoodTone
    pith_mm: tuple[float, float]
    lean: tuple[float, float]
    seed: int

    @classmethod
    def of_blank(
        cls, tone: WoodTone, seed: int, widest_mm: float, behind: tuple[float, float]
    ) -> Grain:
        """The grain of a blank large enough for a piece, sawn clear of the pith.

        Args: tone; which of endless blanks; the piece's largest distance off the line of the
        poles, mm; direction, of length 1, in which the pith lies.
        """
        far = (1.25 + 0.15 * math.cos(seed)) * max(widest_mm, 12 * tone.ring_mm)
        lean = 0.035 * math.sin(1.7 * seed + 1.0), 0.035 * math.cos(1.3 * seed + 0.4)
        return cls(tone, (behind[0] * far, behind[1] * far), lean, seed)

    def colour(
        self, at: tuple[Floats, Floats, Floats], facing_up: Floats, pixel_mm: Floats
    ) -> tuple[Floats, Floats, Floats]:
        """Colour of the wood as amounts of light, 0 to 1.

        Args: places, mm; how far the surface faces along the grain, 0 to 1; what a pixel covers on
        the surface there, mm.
        """
        x, y, z = at
        tone, seed = self.tone, self.seed
        ring = tone.ring_mm
        dx = x - self.pith_mm[0] - self.lean[0] * z
        dy = y - self.pith_mm[1] - self.lean[1] * z
        wander = noise(x * 0.045, y * 0.045, z * 0.018, seed)
        wander += 0.16 * noise(x * 0.16, y * 0.16, z * 0.04, seed + 1)
        from_pith = np.hypot(dx, dy)
        years = from_pith * (1 / ring) + wander * 0.9
        # some years are fat and some are lean
        years += 0.40 * np.sin(years * 0.83 + seed) + 0.25 * np.sin(years * 0.37 + 2.1 * seed)
        year = np.floor(years)
        part = years - year
        of_year = _TABLE.take((year.astype(np.int32) + 977 * seed) & (_ENTRIES - 1))
        # rings run flat under a surface that faces the pith: then a pixel spans less of a ring
        shown = 1 - _step(0.30, 0.85, pixel_mm * (1 / ring))
        late, pore_band = _through_the_year(tone.figure, part)
        late = late * (0.78 + 0.22 * of_year)
        mean = _MEAN_LATE[tone.figure]
        late = mean + (late - mean) * shown
        # fibres: fine, long along the grain
        fine = 1 - _step(0.12, 0.5, pixel_mm)
        fibre = noise(x * 2.6, y * 2.6, z * 0.09, seed + 2)
        fibre += 0.9 * noise(x * 5.2, y * 5.2, z * 0.30, seed + 3)
        cloud = noise(x * 0.06, y * 0.06, z * 0.025, seed + 4)
        light = 1 + 0.030 * fibre * fine + 0.045 * cloud + 0.03 * of_year * shown
        if tone.pores:
            # open vessels: short dark dashes along the grain, dots across it
            dashes = noise(x * 4.1, y * 4.1, z * 0.42, seed + 5)
            light -= 0.62 * tone.pores * _step(0.30, 0.75, dashes) * pore_band * fine * shown
            light -= 0.10 * tone.pores * pore_band * shown
        if tone.rays:
            # ribbons that run from the pith outwards: seen broad where the surface is quartered
            bearing = np.arctan2(dy, dx) * math.hypot(*self.pith_mm)
            flecks = noise(bearing * 4.5, from_pith * 0.30, z * 0.9, seed + 6)
            light -= 0.09 * tone.rays * _step(0.34, 0.72, flecks) * (1 - _step(0.2, 0.6, pixel_mm))
        # cut across, wood drinks finish and darkens
        light *= 1 - 0.20 * facing_up * facing_up
        early_light, late_light = linear(tone.early), linear(tone.late)
        red, green, blue = (
            np.clip((early + (late_ - early) * late) * light, 0.004, 0.95)
            for early, late_ in zip(early_light, late_light, strict=True)
        )
        return red, green, blue


_MEAN_LATE = {Figure.EVEN: 0.30, Figure.POROUS: 0.40, Figure.SEMI: 0.40, Figure.CONIFER: 0.36}
"""Late wood's share of a ring, roughly (ours): what is seen where rings are too fine to see."""


def _through_the_year(figure: Figure, part: Floats) -> tuple[Floats, Floats]:
    """How late the wood is and how open its pores, 0 to 1, through one year from 0 to 1."""
    end = 1 - _step(0.965, 1.0, part)
    start = 1 - _step(0.0, 0.05, part)
    if figure is Figure.CONIFER:
        return part**2.4 * end, np.zeros_like(part)
    if figure is Figure.POROUS:
        band = 1 - _step(0.12, 0.42, part)
        return np.maximum(0.85 * band * (1 - start), 0.18 + 0.22 * part), band
    if figure is Figure.SEMI:
        return (0.15 + 0.75 * part**1.6) * end + 0.12 * start, 1 - 0.75 * part
    line = _step(0.70, 0.95, part) * end
    return 0.10 + 0.30 * part * end + 0.42 * line, np.full_like(part, 0.8)
