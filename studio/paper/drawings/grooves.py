"""The grooves on the ball, seen from a pole and from the side, with what is measured there."""

from __future__ import annotations

import math
from collections.abc import Iterable

from studio.language import tr
from studio.measure.measurement import Measurement, MeasurementTable, System
from studio.paper.drawings.globe import (
    lands_from_pole,
    lands_from_side,
    outline_from_pole,
    outline_from_side,
    rings_from_pole,
    rings_from_side,
)
from studio.paper.drawings.pen import (
    Point,
    arc,
    arc_dimension,
    at,
    circle,
    dimension,
    label,
    label_height,
    leader,
    line,
    polygon,
    spread,
    svg,
)
from studio.turning.piece import Globe, Piece

_LABELS_X = 292.0
_WIDTH = 400.0
_ROOM = _WIDTH - _LABELS_X - 2
_GAP = 8.0
_RINGS_APART = 18.0
_ELBOW_X = 256.0
"""Where leaders leave the level for their label, right of the ball and whatever stands out from it:
from there on they run in the order of their labels, so that none crosses another."""
_ON_EQUATOR_DEG = 0.01
_FINE_FROM = 16
"""With more grooves than this the lands are drawn with a finer line."""


def _placed(places: Iterable[Point], centre: Point, scale: float) -> list[Point]:
    """Millimetres about the globe's centre as places on the drawing."""
    return [(centre[0] + x * scale, centre[1] - z * scale) for x, z in places]


def _grooved(piece: Piece | None) -> Globe | None:
    if piece is None or piece.globe is None:
        return None
    globe = piece.globe
    return globe if globe.section is not None and globe.grooves else None


def grooves_from_pole(table: MeasurementTable, piece: Piece | None, system: System) -> str:
    """The ball seen from a pole: every groove a straight band, the lands between them, the rings.

    Shows a groove's width, the land at the equator, and, where grooves run into one another, the
    circle on which the lands' tips lie.

    Args:
        table: the design's measurements.
        piece: the finished piece, whose shape is drawn.
        system: the system whose figures stand first and larger.

    Returns:
        SVG with marked figures; empty without grooves, or when the table lacks ``grooves.width``,
        ``grooves.land``, ``grooves.lobes`` or, with several grooves, ``grooves.cap``.
    """
    globe = _grooved(piece)
    if globe is None:
        return ""
    merging = {"grooves.cap"} if globe.grooves > 1 else set()
    if not {"grooves.width", "grooves.land", "grooves.lobes", *merging} <= table.keys():
        return ""
    kind = "land" if globe.grooves <= _FINE_FROM else "land fine"
    radius, centre = 118.0, (128.0, 156.0)
    scale = 2 * radius / globe.diameter_mm
    width, land, lobes = (table[f"grooves.{key}"] for key in ("width", "land", "lobes"))
    cap = table["grooves.cap"] if globe.grooves > 1 else None
    half_deg = math.degrees(width.value / globe.diameter_mm)
    turn_deg = 180 / globe.grooves
    land_deg = math.degrees(2 * land.value / globe.diameter_mm)
    off = radius * math.sin(math.radians(half_deg))
    top = centre[1] - radius
    names = [(tr("groove width"), width), (tr("land"), land), (tr("lobes"), lobes)]
    wanted = [34.0, 120.0, 290.0]
    if cap is not None:
        names.insert(2, (tr("merged across"), cap))
        wanted.insert(2, 200.0)
    heights = [label_height(measured, words, _ROOM) + _GAP for words, measured in names]
    tops = spread(wanted, heights, 2.0)
    mid_land = turn_deg / 2
    arc_radius = radius + 12
    body = [
        polygon("form", _placed(outline_from_pole(globe), centre, scale)),
        *(polygon(kind, _placed(land, centre, scale)) for land in lands_from_pole(globe)),
        *(polygon("band", _placed(band, centre, scale)) for band in rings_from_pole(globe)),
        line(centre[0] - 6, centre[1], centre[0] + 6, centre[1], "axis"),
        line(centre[0], centre[1] - 6, centre[0], centre[1] + 6, "axis"),
        # the groove at the top, straight across
        line(centre[0] - off, top + 2, centre[0] - off, top - 22, "dim"),
        line(centre[0] + off, top + 2, centre[0] + off, top - 22, "dim"),
        dimension(centre[0] - off, top - 16, centre[0] + off, top - 16),
        leader(
            (centre[0] + off + 15, top - 16), (_LABELS_X - 14, top - 16),
            (_LABELS_X - 4, tops[0] + 24),
        ),
        # the land beside it, along the equator
        *(
            line(*at(centre, edge, radius + 2), *at(centre, edge, arc_radius + 6), "dim")
            for edge in (mid_land - land_deg / 2, mid_land + land_deg / 2)
        ),
        arc_dimension(centre, arc_radius, mid_land - land_deg / 2, mid_land + land_deg / 2),
        leader(
            at(centre, min(mid_land + land_deg / 4, 88.0), arc_radius),
            (_LABELS_X - 4, tops[1] + 24),
        ),
    ]  # fmt: skip
    if cap is not None:
        cap_radius = cap.value * scale / 2
        body += [
            circle("ball", *centre, cap_radius),
            leader(at(centre, 118, cap_radius), (_LABELS_X - 4, tops[2] + 24)),
        ]
    body += [
        label(_LABELS_X, y, words, measured, system, room=_ROOM)
        for (words, measured), y in zip(names, tops, strict=True)
    ]
    height = max(centre[1] + radius + 10, tops[-1] + heights[-1])
    desc = (
        tr(
            "The ball seen from a pole. Every groove is a straight shaded band through the "
            "middle; the lands stand between the bands, and their tips lie on a dashed circle, "
            "inside which all is groove."
        )
        if cap is not None
        else tr(
            "The ball seen from a pole. The groove is a straight shaded band through the middle, "
            "with a land at each side."
        )
    )
    if globe.rings:
        desc = f"{desc} {tr('Rings are shaded bands round that pole.')}"
    return svg(
        "grooves-pole", _WIDTH, height, tr("The grooves seen from a pole"), desc, "".join(body)
    )


def grooves_from_side(table: MeasurementTable, piece: Piece | None, system: System) -> str:
    """The ball seen from the side, a pole at the top: bands of grooves and rings as they are seen.

    Shows the height from pole to pole, the merged cap and its latitude, and each ring's place.

    Args:
        table: the design's measurements.
        piece: the finished piece, whose shape is drawn.
        system: the system whose figures stand first and larger.

    Returns:
        SVG with marked figures; empty when the globe has neither grooves nor rings, or when the
        table lacks what would be measured on it.
    """
    globe = piece.globe if piece is not None else None
    if globe is None or not (globe.rings or _grooved(piece)):
        return ""
    kind = "land" if globe.grooves <= _FINE_FROM else "land fine"
    radius, centre = 104.0, (140.0, 156.0)
    scale = 2 * radius / globe.diameter_mm
    labels: Labels = []
    body = [
        polygon("form", _placed(outline_from_side(globe), centre, scale)),
        *(polygon(kind, _placed(land, centre, scale)) for land in lands_from_side(globe)),
    ]
    if _grooved(piece) is None:
        body[0] = polygon("land", _placed(outline_from_side(globe), centre, scale))
    body += [polygon("band", _placed(band, centre, scale)) for band in rings_from_side(globe)]
    body.append(line(centre[0], 8, centre[0], centre[1] + radius + 26, "axis"))
    below = 32.0
    if _grooved(piece) is not None:
        merging = {"grooves.cap", "grooves.merge_latitude"} if globe.grooves > 1 else set()
        if not {"grooves.pole_height", *merging} <= table.keys():
            return ""
        body += _poles(table, centre, radius, scale, system)
        below = label_height(table["grooves.pole_height"]) + _POLES_LABEL
        if merging:
            body += _cap(table, centre, radius, scale, labels)
    body += _rings(table, globe, centre, scale, labels)
    if not labels and _grooved(piece) is None:
        return ""
    labels.sort(key=lambda one: one[0])
    heights = [label_height(measured, words, _ROOM) + _GAP for _, words, measured, _ in labels]
    tops = spread([one[0] for one in labels], heights, 2.0)
    for (_, words, measured, start), y in zip(labels, tops, strict=True):
        body.append(leader(*start, (_ELBOW_X, start[-1][1]), (_LABELS_X - 4, y + 26)))
        body.append(label(_LABELS_X, y, words, measured, system, room=_ROOM))
    height = max([centre[1] + radius + below, *(map(sum, zip(tops, heights, strict=True)))])
    desc = (
        tr(
            "The ball seen from the side, its poles at the top and the bottom, one groove "
            "towards the reader. Grooves and rings are shaded bands; the lands stand between "
            "them."
        )
        + (
            tr(" A dashed line crosses the lands' tips, above which all is groove.")
            if globe.grooves > 1
            else ""
        )
        if _grooved(piece) is not None
        else tr(
            "The ball seen from the side, its poles at the top and the bottom. Rings are shaded "
            "bands parallel to the equator."
        )
    )
    return svg(
        "grooves-side", _WIDTH, height, tr("The ball seen from the side"), desc, "".join(body)
    )


Labels = list[tuple[float, str, Measurement, list[Point]]]
"""How high a label is wanted, its words and figure, and the way to it as far as the elbow."""

_POLES_LABEL = 14.0
"""How far below the ball the label of the height from pole to pole begins."""


def _poles(
    table: MeasurementTable, centre: Point, radius: float, scale: float, system: System
) -> list[str]:
    """The height from pole to pole, on the side that no leader crosses, its label under it."""
    poles = table["grooves.pole_height"]
    pole = poles.value * scale / 2
    x, below = centre[0] - radius - 20, centre[1] + radius + _POLES_LABEL
    return [
        *(line(x - 6, centre[1] + side * pole, centre[0] - 4, centre[1] + side * pole, "dim")
          for side in (-1, 1)),
        dimension(x, centre[1] - pole, x, centre[1] + pole),
        line(x, centre[1] + pole, x, below, "dim"),
        label(x - 16, below, tr("pole to pole"), poles, system, room=centre[0] - x),
    ]  # fmt: skip


def _cap(
    table: MeasurementTable, centre: Point, radius: float, scale: float, labels: Labels
) -> list[str]:
    """The merged cap and its latitude; their labels go to ``labels``."""
    cap, latitude = table["grooves.cap"], table["grooves.merge_latitude"]
    half, up = cap.value * scale / 2, math.radians(latitude.value)
    tip_y = centre[1] - radius * math.sin(up)
    lettered = at(centre, 90 - latitude.value / 2, radius * 0.55)
    top = centre[1] - radius - 18
    labels += [
        (top, tr("merged across"), cap, [(centre[0] + max(half, 15), top)]),
        (lettered[1], tr("no land above"), latitude, [lettered]),
    ]  # fmt: skip
    return [
        line(centre[0] - half, tip_y, centre[0] + half, tip_y, "ball"),
        *(line(centre[0] + side * half, tip_y - 3, centre[0] + side * half, top - 6, "dim")
          for side in (-1, 1)),
        dimension(centre[0] - half, top, centre[0] + half, top),
        # the latitude, from the equator up to the tips
        line(*centre, centre[0] + radius, centre[1], "dim"),
        line(*centre, centre[0] + half, tip_y, "dim"),
        arc("dim", centre, radius * 0.55, 90 - latitude.value, 90),
    ]  # fmt: skip


def _rings(
    table: MeasurementTable,
    globe: Globe,
    centre: Point,
    scale: float,
    labels: Labels,
) -> list[str]:
    """Each ring's place along the line of the poles; rings at the same distance share a label."""
    body = []
    seen: set[str] = set()
    radius = globe.diameter_mm / 2 * scale
    for place, ring in enumerate(globe.rings, 1):
        measured = table.get(f"rings.place_{place}")
        if measured is None or measured.text in seen:
            continue
        x = centre[0] - radius * 0.5 + len(seen) * _RINGS_APART
        seen.add(measured.text)
        up = math.radians(ring.latitude_deg)
        y = centre[1] - radius * math.sin(up)
        if abs(ring.latitude_deg) > _ON_EQUATOR_DEG:
            body.append(dimension(x, centre[1], x, y))
        labels.append((y, tr("ring"), measured, [(centre[0] + radius * math.cos(up), y)]))
    if body:
        body.append(line(centre[0] - radius, centre[1], centre[0] + radius, centre[1], "dim"))
    return body
