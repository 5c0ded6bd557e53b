"""Pieces to be drawn: our own inventions, some of them unkind."""

from __future__ import annotations

import math
from functools import cache

import pytest

from studio.picture.solids import Mesh, all_meshes
from studio.turning import profile
from studio.turning.assembly import resting
from studio.turning.cutters import (
    Section,
    chamfered_section,
    cove_radius_mm,
    cove_section,
    rounded_section,
    vee_section,
)
from studio.turning.piece import Bore, Globe, Piece, PlacedPart, RingCut
from studio.turning.profile import Profile


def cove(diameter: float, width: float, depth: float) -> Section:
    return cove_section(diameter, cove_radius_mm(diameter, width, depth), width)


def ornament(globe_wood: str = "European sycamore", part_wood: str = "black walnut") -> Piece:
    """A hollow globe with six grooves, a cap with a hanger's hole and a pointed drop."""
    section = cove(72, 6, 2)
    cap = Profile(
        (
            profile.bead(6, 6, 2.5, 3.5),
            profile.cove(4, 3, 3.5, 7),
            profile.ogee(8, 8, 20),
            profile.fillet(2, 22),
            profile.tenon(8, 20),
        )
    )
    drop = Profile(
        (
            profile.taper(34, 0, 5),
            profile.bead(3, 8, 5, 5),
            profile.cove(6, 4, 6.5, 8),
            profile.bead(7, 16, 10, 15),
            profile.fillet(1.5, 15),
            profile.tenon(12, 8),
        )
    )
    top = resting(72, section, 6, 22, 20.2).height_mm
    bottom = resting(72, section, 6, 15, 8.2).height_mm
    bores = (Bore(20, 36, 20.2), Bore(-36, -22, 8.2))
    return Piece(
        Globe(72, 6, section, (), 60, bores),
        globe_wood,
        (
            PlacedPart(
                "cap", cap, top, cap.length_mm - 8, True, part_wood, (Bore(20, top + 30, 2),)
            ),
            PlacedPart("drop", drop, -bottom, drop.length_mm - 12, False, part_wood),
        ),
    )


FINIAL = Profile((profile.taper(20, 0, 6), profile.bead(6, 12, 6, 6), profile.straight(3, 14)))

PIECES = {
    "plain": Piece(Globe(60), "European sycamore"),
    "four grooves": Piece(Globe(60, 4, cove(60, 6, 2)), "European sycamore"),
    "five grooves": Piece(Globe(60, 5, cove(60, 6, 2)), "black cherry"),
    "one groove": Piece(Globe(60, 1, cove(60, 10, 3.5)), "yellow-poplar"),
    "48 grooves": Piece(Globe(60, 48, cove(60, 1.4, 0.5)), "black walnut"),
    "upright walls": Piece(
        Globe(60, 4, cove_section(60, 3, 60 * math.asin(0.1) - 1e-9)), "eastern redcedar"
    ),
    "vee": Piece(Globe(60, 3, vee_section(60, 90, 6)), "white ash"),
    "rounded": Piece(Globe(60, 5, rounded_section(60, 3.349, 6, 0.8)), "sugar maple"),
    "chamfered": Piece(Globe(60, 5, chamfered_section(60, 3.349, 6, 0.3)), "sugar maple"),
    "tiny": Piece(Globe(8, 3, cove(8, 1, 0.4)), "American holly"),
    "huge": Piece(Globe(600, 8, cove(600, 50, 18)), "red oak"),
    "rings": Piece(
        Globe(
            60,
            rings=(RingCut(0, cove(60, 5, 1.5)), RingCut(-35, vee_section(60, 100, 3))),
        ),
        "white oak",
    ),
    "hollow, open, grooved": Piece(
        Globe(70, 3, cove(70, 7, 2.2), (), 58, (Bore(10, 35, 26),)), "American beech"
    ),
    "ornament": ornament(),
    "part alone": Piece(
        None, "an unknown wood", (PlacedPart("finial", FINIAL, 0, 29, True, "black cherry"),)
    ),
}


@cache
def made(name: str) -> tuple[Mesh, tuple[Mesh, ...]]:
    """A piece's meshes, made once for all tests."""
    return all_meshes(PIECES[name])


@pytest.fixture(params=PIECES)
def named(request: pytest.FixtureRequest) -> str:
    """Every piece's name in turn."""
    return str(request.param)


@pytest.fixture
def piece(named: str) -> Piece:
    """Every piece in turn."""
    return PIECES[named]


@pytest.fixture
def meshes(named: str) -> tuple[Mesh, tuple[Mesh, ...]]:
    """Every piece's meshes in turn: the whole, and each solid."""
    return made(named)


@pytest.fixture
def pieces() -> dict[str, Piece]:
    """All pieces, by what is special about them."""
    return PIECES


@pytest.fixture
def in_woods():
    """An ornament in two woods."""
    return ornament
