"""The finished piece as geometry: what pictures, meshes and drawings are made from.

Heights are along the line of the poles, from the globe's centre, positive towards the top; a
piece without a globe has its first part's headstock end at height 0, above or below the rest.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from studio.turning.cutters import Section
from studio.turning.profile import Profile


@dataclass(frozen=True, slots=True)
class RingCut:
    """A groove on a circle round the globe, parallel to the equator.

    Attributes:
        latitude_deg: of its middle, positive towards the top, above -90 to below 90.
        section: its cross-section, cut square to the sphere; ``Section`` is symmetric about the
            ring's middle, and its heights are arcs from there.
    """

    latitude_deg: float
    section: Section


@dataclass(frozen=True, slots=True)
class Bore:
    """A round hole along the line of the poles.

    Attributes:
        from_mm, to_mm: the heights between which it is drilled; the lower one first.
        diameter_mm: its diameter.
    """

    from_mm: float
    to_mm: float
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class Globe:
    """A ball with what is cut from it.

    Attributes:
        diameter_mm: of the ball before anything is cut.
        grooves: how many great-circle grooves run through both poles; 0 for none. Groove 0 lies
            in the plane through the poles and longitude 0, the next 180°/grooves on.
        section: their cross-section; None without grooves.
        rings: grooves on small circles.
        hollow_diameter_mm: of the ball-shaped hollow about the same centre; 0 when solid.
        bores: holes along the line of the poles: the hollow's opening, holes for tenons, hanger.
    """

    diameter_mm: float
    grooves: int = 0
    section: Section | None = None
    rings: tuple[RingCut, ...] = ()
    hollow_diameter_mm: float = 0.0
    bores: tuple[Bore, ...] = ()

    @property
    def pole_mm(self) -> float:
        """Height of the wood at a pole: the radius, or what the grooves leave of it."""
        return self.section.core_radius_mm if self.section is not None else self.diameter_mm / 2

    def with_bore(self, bore: Bore) -> Globe:
        """The globe with one more hole."""
        return replace(self, bores=(*self.bores, bore))


@dataclass(frozen=True, slots=True)
class PlacedPart:
    """A turned part where it stands in the piece.

    Attributes:
        name: the design's own name for it.
        profile: from its free (tailstock) end to its joint (headstock) end.
        shoulder_mm: height of the plane on which it sits, where its tenon begins.
        shoulder_at_mm: that plane's place on the profile, from the free end; the profile's whole
            length when it has no tenon.
        up: whether its free end points to the top.
        wood: its species, as the design names it.
        bores: holes in it along its axis, in heights of the piece.
    """

    name: str
    profile: Profile
    shoulder_mm: float
    shoulder_at_mm: float
    up: bool
    wood: str
    bores: tuple[Bore, ...] = ()

    @property
    def tenon_mm(self) -> float:
        """Diameter of its tenon; 0 where glue alone holds it."""
        has_tenon = self.shoulder_at_mm < self.profile.length_mm
        return self.profile.elements[-1].start_mm if has_tenon else 0.0

    @property
    def face_mm(self) -> float:
        """Diameter of the face that it stands on: over its tenon, or its joint end."""
        elements = self.profile.elements
        return elements[-2 if self.tenon_mm and len(elements) > 1 else -1].end_mm

    def height_mm(self, position_mm: float) -> float:
        """Height in the piece of a place on the profile, mm from its free end."""
        beyond = self.shoulder_at_mm - position_mm
        return self.shoulder_mm + (beyond if self.up else -beyond)


@dataclass(frozen=True, slots=True)
class Piece:
    """The whole finished piece.

    Attributes:
        globe: the ball; None for a piece of turned parts alone.
        wood: the globe's species, as the design names it.
        parts: turned parts, those that others stand on first.
    """

    globe: Globe | None
    wood: str
    parts: tuple[PlacedPart, ...] = ()
