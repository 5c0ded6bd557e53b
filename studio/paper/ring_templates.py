"""Templates for rings: a strip that is laid along the ball, and a gauge that is held against it.

A ring is told in two ways: by its distance from the equator along the ball, which a strip from pole
to pole shows, and by its height along the axis, which a half circle shows. Both have its width.
"""

from __future__ import annotations

import math

from studio.language import tr
from studio.measure.measurement import Measurement, MeasurementTable
from studio.measure.trace import mark
from studio.paper.true_scale import (
    CARD_MM,
    LABEL_PITCH_MM,
    Label,
    Line,
    Path,
    Point,
    Row,
    Template,
    Tick,
    arc_pieces,
    line,
    strips,
)
from studio.turning.piece import Globe, RingCut

_BAND_MM = 5.0
"""How broad the shaded width of a ring stands beside a gauge's edge, mm (ours)."""

_MARK_MM, _NUMBER_MM, _BESIDE_MM = 7.0, 7.0, 2.0
"""How far from a gauge's edge a ring's line reaches, and its number stands; how far that is beside
the line, mm (ours)."""

_TICK_MM = 4.0
"""Length of a tick that shows a ring's height, mm (ours)."""


def ring_strips(
    table: MeasurementTable, globe: Globe | None, widest: float, tallest: float
) -> tuple[Template, ...]:
    """A strip from pole to pole with each ring's middle line and width, parted where it is long.

    Args:
        table: the design's measurements; ``rings.arc_K`` and ``rings.width_K`` are used.
        globe: the finished ball, which knows on which half a ring lies.
        widest: how long one piece may be, mm.
        tallest: how high the pieces of one template may stand, mm.
    """
    rings = _rings(table, globe, "arc")
    if globe is None or not rings:
        return ()
    length = math.pi * globe.diameter_mm / 2
    places = [length / 2 - math.copysign(arc.value, one.latitude_deg) for one, arc, _ in rings]
    shown = _apart(places)
    ticks = [Tick(length / 2, "", Line.CENTRE)]
    ticks += [
        Tick(place, _numbered(number) if number in shown else "", beside=True)
        for number, place in enumerate(places, start=1)
    ]
    return strips(
        "rings",
        tr("Ring strip"),
        tr(
            "Cut out, join the pieces at their letters, and lay it along the ball from pole to "
            "pole, its left end at the pole on the tailstock side, the dashed line on the equator. "
            "A line is the middle of a ring, with the ring’s number. Shaded: the width that is cut "
            "away."
        ),
        (table["rings.number"], table["sphere.diameter"]),
        length,
        ticks,
        [
            (place - width.value / 2, place + width.value / 2)
            for place, (_, _, width) in zip(places, rings, strict=True)
        ],
        widest,
        tallest,
        rows=_rows(table, rings),
        columns=(tr("Ring"), tr("Half"), tr("From the equator, along the ball"), tr("Width")),
        wraps=False,
    )


def ring_gauge(table: MeasurementTable, globe: Globe | None) -> Template | None:
    """A half circle with each ring's width beside its edge, and its height along the axis.

    Args:
        table: the design's measurements; ``rings.place_K`` and ``rings.width_K`` are used.
        globe: the finished ball, which knows on which half a ring lies.
    """
    rings = _rings(table, globe, "place")
    if globe is None or not rings:
        return None
    radius = globe.diameter_mm / 2
    centre = (CARD_MM + radius, 0.0)
    width, height = 2 * (CARD_MM + radius), radius + CARD_MM
    start, pieces = arc_pieces(centre, radius, 180, 0)

    def at(latitude_deg: float, far: float) -> Point:
        turn = math.radians(latitude_deg)
        return centre[0] - far * math.sin(turn), far * math.cos(turn)

    paths = [_band(centre, radius, ring, cut.value) for ring, _, cut in rings]
    paths += [
        Path(Line.CUT, (0.0, 0.0), ((start,), *pieces, ((width, 0.0),))),
        line(Line.FINE, (0.0, 0.0), (0.0, height), (width, height), (width, 0.0)),
        line(Line.CENTRE, (centre[0], radius), (centre[0], height)),
    ]
    shown = _apart([math.radians(ring.latitude_deg) * (radius + _BAND_MM) for ring, _, _ in rings])
    labels = []
    for number, (ring, place, _) in enumerate(rings, start=1):
        high = centre[0] - math.copysign(place.value, ring.latitude_deg)
        paths += [
            line(
                Line.MARK, at(ring.latitude_deg, radius), at(ring.latitude_deg, radius + _MARK_MM)
            ),
            line(Line.MARK, (high, height - _TICK_MM), (high, height)),
        ]
        if number in shown:
            # beside its line, which may be the equator's
            off = math.degrees(_BESIDE_MM / (radius + _NUMBER_MM))
            labels.append(
                Label(*at(ring.latitude_deg - off, radius + _NUMBER_MM), _numbered(number))
            )
    return Template(
        key="ring-gauge",
        heading=tr("Ring gauge"),
        how=tr(
            "Glue the sheet to card and cut along the thick line. Lathe off: hold the half circle "
            "against the ball along the axis, its left end at the pole on the tailstock side, the "
            "dashed line on the equator. A line at the edge is the middle of a ring, with the "
            "ring’s number; shaded: its width. The ticks on the far side show the heights along "
            "the axis."
        ),
        width=width,
        height=height,
        paths=tuple(paths),
        labels=tuple(labels),
        sizes=(table["sphere.diameter"],),
        rows=_rows(table, rings),
        columns=(tr("Ring"), tr("Half"), tr("From the equator, along the axis"), tr("Width")),
    )


_Ring = tuple[RingCut, Measurement, Measurement]


def _rings(table: MeasurementTable, globe: Globe | None, key: str) -> list[_Ring]:
    """Each ring with how far it is from the equator and how wide; none where one is not known."""
    if globe is None or not {"rings.number", "sphere.diameter"} <= table.keys():
        return []
    out = []
    for number, ring in enumerate(globe.rings, start=1):
        far, width = table.get(f"rings.{key}_{number}"), table.get(f"rings.width_{number}")
        if far is None or width is None:
            return []
        out.append((ring, far, width))
    return out


def _rows(table: MeasurementTable, rings: list[_Ring]) -> tuple[Row, ...]:
    return tuple(
        (
            _numbered(number),
            tuple(
                one for one in (table.get(f"rings.side_{number}"), far, width) if one is not None
            ),
        )
        for number, (_, far, width) in enumerate(rings, start=1)
    )


def _numbered(number: int) -> str:
    return mark(f"ring:{number}", str(number))


def _apart(places: list[float]) -> frozenset[int]:
    """Which of the numbers, counted from 1, do not run into the one before."""
    shown, last = [], -math.inf
    for place, number in sorted((place, number) for number, place in enumerate(places, start=1)):
        if place - last >= LABEL_PITCH_MM:
            shown.append(number)
            last = place
    return frozenset(shown)


def _band(centre: Point, radius: float, ring: RingCut, width_mm: float) -> Path:
    """A ring's width beside the edge of the gauge: from the edge outwards, true along the edge."""
    half = math.degrees(width_mm / 2 / radius)
    # bearings of arc_pieces run clockwise from the right: the pole at the left lies at 180 degrees
    low, high = (90 + ring.latitude_deg + side * half for side in (-1, 1))
    start, inner = arc_pieces(centre, radius, low, high)
    turn, outer = arc_pieces(centre, radius + _BAND_MM, high, low)
    return Path(Line.FILL, start, (*inner, (turn,), *outer), closed=True)
