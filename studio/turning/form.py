"""What a globe comes to once all is cut: wood and surface, with grooves, rings, hollow and holes.

Everything is asked at a distance d from the globe's centre. There a groove takes all that lies
nearer to its plane than :func:`studio.turning.cutters.cut_half_width_mm`, a ring all latitudes
nearer to its own than the angle of that width, a bore all latitudes above the one where it is as
wide; a place is gone when any of them takes it, so the deeper cut shapes it. That leaves, for every
place of a section, a part of its path round the groove's axis or the poles in closed form, and one
integral along the section: the surface that is left. The volume follows from the surface, as
:func:`studio.turning.grooves.grooved_form` has it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

from studio.turning.cutters import cut_half_width_mm
from studio.turning.grooves import equator_land_mm, gauss_points, integral, lobes, swept
from studio.turning.piece import Bore, Globe, RingCut
from studio.turning.ranges import not_negative, positive, whole
from studio.turning.rings import ring_lands
from studio.turning.sphere import sphere_volume_mm3


@dataclass(frozen=True, slots=True)
class GlobeForm:
    """A finished globe's wood and outer surface.

    Attributes:
        volume_mm3: wood left.
        cut_mm3: wood that grooves and rings took.
        hollowed_mm3: wood that the hollow took.
        bored_mm3: wood that the bores took besides.
        land_area_mm2: what is left of the sphere's own surface.
        groove_area_mm2: surface of the grooves.
        ring_area_mm2: surface of the rings.
    """

    volume_mm3: float
    cut_mm3: float
    hollowed_mm3: float
    bored_mm3: float
    land_area_mm2: float
    groove_area_mm2: float
    ring_area_mm2: float

    @property
    def area_mm2(self) -> float:
        """The whole outer surface; the mouths of bores, their sides and the hollow not counted."""
        return self.land_area_mm2 + self.groove_area_mm2 + self.ring_area_mm2

    @property
    def saved_part(self) -> float:
        """What hollow and bores save of the solid globe, and so of its mass, 0 to 1."""
        saved = self.hollowed_mm3 + self.bored_mm3
        return saved / (self.volume_mm3 + saved)


def globe_form(globe: Globe, under: tuple[float, float] = (0.0, 0.0)) -> GlobeForm:
    """Wood and outer surface of a globe with all that is cut from it.

    A bore that ends at the wood at a pole or beyond runs out of it; its end inside is flat (a
    drill's point is not counted). The surface nearer to the line of the poles than the shoulder of
    a part that stands there is under it, grooves and all, and does not count. Args: globe; the
    shoulders' diameters over the top and the bottom pole, mm, 0 where nothing stands. Returns mm²
    and mm³ to better than 0.1 %. Source:
    Gauss's divergence theorem for what is turned, shells about the centre for what is bored;
    integration by Gauss and Legendre.

    Raises:
        ValueError: the grooves leave no land, rings run into each other or over a pole, a cut or
            a bore goes where it cannot, or the hollow leaves no wall under a cut.

    >>> from studio.turning.cutters import cove_section
    >>> form = globe_form(Globe(60, 6, cove_section(60, 3.349, 6),
    ...                         (RingCut(40, cove_section(60, 3, 4)),)))
    >>> form.volume_mm3 / 1000, form.area_mm2 / 100
    (104.47, 122.19)
    >>> globe_form(Globe(60), (0, 36)).area_mm2 / globe_form(Globe(60)).area_mm2
    0.9
    """
    cuts = _Cuts(globe)
    radius = globe.diameter_mm / 2
    solid, area = cuts.turned()
    hollow = globe.hollow_diameter_mm / 2
    hollowed = sphere_volume_mm3(2 * hollow) if hollow else 0.0
    bored = 0.0
    if globe.bores:
        bored = cuts.bored_mm3(hollow)
    if globe.bores or any(under):
        seen = _Cuts(_under_shoulders(globe, under)) if any(under) else cuts
        seen.open_bores()
        _, area = seen.turned()
    return GlobeForm(
        solid - hollowed - bored,
        max(0.0, sphere_volume_mm3(2 * radius) - solid),  # below 0 by rounding alone
        hollowed,
        bored,
        *area,
    )


def _under_shoulders(globe: Globe, under: tuple[float, float]) -> Globe:
    """The globe with mouths as wide as what stands over them: what lies there is not seen."""
    radius = globe.diameter_mm / 2
    bores = []
    for up, across in zip((True, False), under, strict=True):
        not_negative(across, "the shoulder's diameter")
        mouths = (
            bore.diameter_mm
            for bore in globe.bores
            if (bore.to_mm if up else -bore.from_mm) >= globe.pole_mm * (1 - _SLACK)
        )
        wide = max([across, *mouths])
        if wide:
            bores.append(Bore(0.0, radius, wide) if up else Bore(-radius, 0.0, wide))
    return replace(globe, bores=tuple(bores), hollow_diameter_mm=0.0)


_SLACK = 1e-9
"""A bore that ends this part of its height short of the pole reaches it (ours): binary decimals."""

_PANELS = 12
"""Panels where nothing but a kink disturbs the integral: to a part in 10,000 and better."""

_SHELLS = 3
"""The same for the small share of the whole that a bore takes."""

_STEEP = (0.0, 0.001, 0.01, 0.1, 0.5)
"""Where a shell is just wider than a bore the bore's side rises like a root: shells lie closer at
these parts of its radius beyond."""

_Span = tuple[float, float]


def _united(spans: Iterable[_Span]) -> list[_Span]:
    """The same stretches, those that overlap made one, in order."""
    united: list[_Span] = []
    for low, high in sorted(spans):
        if united and low <= united[-1][1]:
            united[-1] = (united[-1][0], max(united[-1][1], high))
        else:
            united.append((low, high))
    return united


def _clamped(value: float) -> float:
    return max(-1.0, min(1.0, value))


class _Cuts:
    """What is gone of a globe at a distance from its centre."""

    def __init__(self, globe: Globe) -> None:
        radius = positive(globe.diameter_mm, "the globe's diameter") / 2
        self.radius = radius
        self.grooves = whole(globe.grooves, "the count of grooves", 0)
        self.section = globe.section
        self.rings = globe.rings
        sections = [ring.section for ring in globe.rings]
        if (self.section is None) != (self.grooves == 0):
            raise ValueError("grooves need both a count and a section")
        if self.section is not None:
            sections.append(self.section)
            equator_land_mm(globe.diameter_mm, self.grooves, self.section.width_mm)
        if any(section.diameter_mm != globe.diameter_mm for section in sections):
            raise ValueError("the globe's cuts have sections for another diameter")
        if self.rings:
            ring_lands(self.rings)
        self.cores = sorted({section.core_radius_mm for section in sections})
        _check_hollow(globe, min(self.cores, default=radius))
        pole = radius if self.section is None else self.section.core_radius_mm
        self.bores = tuple(_run_out(bore, pole) for bore in globe.bores)
        self.open: tuple[Bore, ...] = ()

    def open_bores(self) -> None:
        """From now on what the bores take counts as gone."""
        self.open = self.bores

    def groove_half(self, distance: float) -> float:
        """What is nearer than this to a groove's plane is gone, mm."""
        return 0.0 if self.section is None else cut_half_width_mm(self.section, distance)

    def groove_turn(self, half: float, parallel: float) -> float:
        """How much of a turn about the poles the grooves take, radians."""
        if half == 0.0:
            return 0.0
        share = math.pi / lobes(self.grooves)
        part = half / parallel if parallel > half else 1.0
        return 2 * lobes(self.grooves) * min(share, math.asin(part))

    def ringed(self, distance: float) -> list[_Span]:
        """Latitudes that the rings take, radians."""
        spans = []
        for ring in self.rings:
            half = math.asin(_clamped(cut_half_width_mm(ring.section, distance) / distance))
            if half > 0:
                middle = math.radians(ring.latitude_deg)
                spans.append((middle - half, middle + half))
        return spans

    def bored(self, distance: float, bores: Iterable[Bore]) -> list[_Span]:
        """Latitudes that bores take, radians."""
        spans = []
        for bore in bores:
            side = math.acos(_clamped(bore.diameter_mm / 2 / distance))
            low, high = (
                math.asin(_clamped(height / distance)) for height in (bore.from_mm, bore.to_mm)
            )
            for start, end in ((max(low, side), high), (low, min(high, -side))):
                if start < end:
                    spans.append((start, end))
        return spans

    def turned(self) -> tuple[float, tuple[float, float, float]]:
        """Volume within the surface that is left, and its land, groove and ring areas."""
        radius = self.radius
        gone = _united([*self.ringed(radius), *self.bored(radius, self.open)])
        land = math.fsum(
            2 * math.pi * radius**2 * (math.sin(high) - math.sin(low))
            for low, high in _between(gone, -math.pi / 2, math.pi / 2)
        )
        groove = groove_thirds = 0.0
        if self.section is not None:
            quarters, half = 2 * lobes(self.grooves), self.section.half_angle_rad
            grooved = quarters * integral(
                lambda at: radius * self._half_turn(radius * math.cos(at), radius * math.sin(at)),
                0.0,
                half,
            )
            land = max(0.0, land - grooved)  # where no land is left, below 0 by rounding alone
            groove, groove_thirds = (
                quarters * part for part in swept(self.section, self._half_turn)
            )
        ring, ring_thirds = self._ring_surface()
        volume = (radius * land + groove_thirds + ring_thirds) / 3
        return volume, (land, groove, ring)

    def _half_turn(self, s: float, h: float) -> float:
        """Length of a half turn round a groove's axis, from pole to pole, that shapes the globe.

        As far as this groove is the nearest one and neither a ring nor a bore has taken the place.
        """
        part = h / (s * math.tan(math.pi / lobes(self.grooves)))
        if part >= 1:
            return 0.0
        most = math.pi / 2 - math.asin(part)
        distance = math.hypot(s, h)
        angle = 2 * most
        gone = self.ringed(distance)
        if self.open:
            gone = _united([*gone, *self.bored(distance, self.open)])
        for low, high in gone:
            start, end = (
                math.asin(_clamped(distance / s * math.sin(latitude))) for latitude in (low, high)
            )
            angle -= max(0.0, min(end, most) - max(start, -most))
        return s * angle

    def _left_on_shell(self, distance: float, low: float, high: float) -> float:
        """What grooves leave of a shell of radius 1 between two latitudes."""
        half = self.groove_half(distance)
        if half == 0.0:
            return 2 * math.pi * (math.sin(high) - math.sin(low))
        merged = math.acos(_clamped(half / distance / math.sin(math.pi / lobes(self.grooves))))
        low, high = max(low, -merged), min(high, merged)
        if low >= high:
            return 0.0
        return integral(
            lambda at: (
                math.cos(at) * (2 * math.pi - self.groove_turn(half, distance * math.cos(at)))
            ),
            low,
            high,
            _SHELLS,
        )

    def _ring_surface(self) -> tuple[float, float]:
        area = thirds = 0.0
        for ring in self.rings:
            ring_area, ring_thirds = swept(ring.section, self._ring_path(ring), _PANELS)
            area += ring_area
            thirds += ring_thirds
        return area, thirds

    def _ring_path(self, ring: RingCut) -> Callable[[float, float], float]:
        middle = math.radians(ring.latitude_deg)

        def left(s: float, h: float) -> float:
            """Length of the turns about the poles on both sides of the ring that is left."""
            distance, aside = math.hypot(s, h), math.atan2(h, s)
            bored, half = self.bored(distance, self.open), self.groove_half(distance)
            length = 0.0
            for latitude in (middle - aside, middle + aside):
                if not any(low < latitude < high for low, high in bored):
                    parallel = distance * math.cos(latitude)
                    length += parallel * (2 * math.pi - self.groove_turn(half, parallel))
            return length

        return left

    def bored_mm3(self, hollow: float) -> float:
        """Wood that the bores take between the hollow and the turned surface."""
        places = {hollow, self.radius, *self.cores}
        for bore in self.bores:
            side = bore.diameter_mm / 2
            places |= {side * (1 + part) for part in _STEEP}
            for height in (bore.from_mm, bore.to_mm):
                places |= {abs(height), math.hypot(height, side)}
        steps = sorted(place for place in places if hollow <= place <= self.radius)
        shells = []
        for start, end in pairwise(steps):
            for distance, weight in gauss_points(start, end, _SHELLS):
                taken = _united(self.bored(distance, self.bores))
                gone = self.ringed(distance)
                left = math.fsum(
                    self._left_on_shell(distance, low, high)
                    for low_end, high_end in taken
                    for low, high in _between(gone, low_end, high_end)
                )
                shells.append(weight * distance**2 * left)
        return math.fsum(shells)


def _between(gone: list[_Span], low: float, high: float) -> Iterable[_Span]:
    """The stretches from low to high that are not gone."""
    for start, end in sorted(gone):
        if start > low and low < high:
            yield low, min(start, high)
        low = max(low, end)
    if low < high:
        yield low, high


def _run_out(bore: Bore, pole_mm: float) -> Bore:
    """The bore, past the sphere at each end that reaches the wood at a pole."""
    positive(bore.diameter_mm, "a bore's diameter")
    if not bore.from_mm < bore.to_mm:
        raise ValueError(
            f"a bore from {bore.from_mm:g} mm to {bore.to_mm:g} mm has no length; give the lower "
            "height first"
        )
    if bore.diameter_mm >= 2 * pole_mm:
        raise ValueError(
            f"a bore of {bore.diameter_mm:g} mm is wider than the globe's {2 * pole_mm:.4g} mm"
        )
    reach = pole_mm * (1 - _SLACK)
    return Bore(
        -math.inf if bore.from_mm <= -reach else bore.from_mm,
        math.inf if bore.to_mm >= reach else bore.to_mm,
        bore.diameter_mm,
    )


def _check_hollow(globe: Globe, core_mm: float) -> None:
    hollow = not_negative(globe.hollow_diameter_mm, "the hollow's diameter") / 2
    if hollow >= core_mm:
        raise ValueError(
            f"a hollow of {2 * hollow:g} mm leaves no wall: the deepest cut comes to "
            f"{core_mm:.4g} mm from the middle; make the hollow smaller or cut shallower"
        )
