"""Colours and figure of woods, for pictures.

All of it is ours, chosen by eye, and stands in ``wood_tones.csv``: no source is claimed. A board
differs from its species' tone as boards do.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import resources

from studio.turning.wood import find_species

Colour = tuple[float, float, float]
"""Red, green and blue, 0 to 1."""


class Figure(StrEnum):
    """How a growth ring goes from early to late wood."""

    EVEN = "even"
    """Diffuse-porous: a thin darker line where the year ends."""
    POROUS = "porous"
    """Ring-porous: a band of open pores where the year begins."""
    SEMI = "semi"
    """Semi-ring-porous: pores that grow fewer through the ring."""
    CONIFER = "conifer"
    """No pores: darker and darker, then back at once."""


@dataclass(frozen=True, slots=True)
class WoodTone:
    """How a wood looks under a clear finish.

    Attributes:
        name: the species' name; empty for the neutral tone.
        early, late: colour of wood grown early and late in the year, sRGB.
        ring_mm: thickness of one year's ring.
        figure: how a ring goes from early to late.
        pores: how much open pores show, 0 to 1.
        rays: how much rays show as flecks on quartered faces, 0 to 1.
    """

    name: str
    early: Colour
    late: Colour
    ring_mm: float
    figure: Figure
    pores: float
    rays: float


def _colour(digits: str) -> Colour:
    red, green, blue = bytes.fromhex(digits)
    return red / 255, green / 255, blue / 255


NEUTRAL = WoodTone("", _colour("cfae86"), _colour("b4906a"), 2.4, Figure.EVEN, 0.1, 0.1)
"""For a wood that is not held here: a plain light brown (ours, by eye)."""


@cache
def all_tones() -> dict[str, WoodTone]:
    """Every tone held, by the species' name, in the table's order.

    >>> all_tones()["black walnut"].figure.value
    'semi'
    """
    table = resources.files("studio.picture").joinpath("wood_tones.csv")
    lines = table.read_text(encoding="utf-8").splitlines()
    return {
        row["name"]: WoodTone(
            name=row["name"],
            early=_colour(row["early"]),
            late=_colour(row["late"]),
            ring_mm=float(row["ring_mm"]),
            figure=Figure(row["figure"]),
            pores=float(row["pores"]),
            rays=float(row["rays"]),
        )
        for row in csv.DictReader(line for line in lines if not line.startswith(";"))
    }


def tone_of(wood: str) -> WoodTone:
    """The tone of a wood by any name that :func:`studio.turning.wood.find_species` knows.

    A name that is no single wood held here gives :data:`NEUTRAL`: a picture is no place to
    refuse a wood.

    >>> tone_of("Walnut").name, tone_of("driftwood").name
    ('black walnut', '')
    """
    try:
        return all_tones()[find_species(wood).name]
    except ValueError:
        return NEUTRAL


def linear(colour: Colour) -> Colour:
    """A colour as amounts of light, from sRGB.

    Args: red, green and blue, 0 to 1. Source: IEC 61966-2-1, the sRGB transfer function (constants
    from memory).

    >>> linear((1.0, 0.5, 0.0))
    (1.0, 0.214, 0.0)
    """
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in colour
    )
    return red, green, blue
