"""A turned part's profile with its stations: where it is, how thick, leader lines to each row."""

from __future__ import annotations

from studio.language import tr, tr_for
from studio.measure.measurement import Measurement, MeasurementTable, System
from studio.paper.drawings.pen import (
    Point,
    label,
    leader,
    line,
    marked,
    name,
    polygon,
    spread,
    svg,
    text,
)
from studio.turning.piece import PlacedPart
from studio.turning.profile import StationKind, outline

MOST_ROWS = 40
"""Most stations that have a row beside the drawing; of more, only some of the spaced ones have."""

MOST_AT_THE_BENCH = 19
"""The same where figures are set in 18 points: with more the drawing would be higher than a
sheet."""

_WIDTH = 400.0
_AXIS = 80.0
_HALF = 72.0
_PITCH = 20.0
_SIZE = 17.0
_HEAD = 66.0
_PLACES, _DIAMETERS = 194.0, 306.0
_PLACES_ROOM, _DIAMETERS_ROOM = 104.0, 92.0
_CHORD = 0.15
_LEAST_HEIGHT = 150.0
_SAME_MM = 1e-6


def profile_stations(
    table: MeasurementTable, part: PlacedPart, system: System, most: int = MOST_ROWS
) -> str:
    """A turned part standing on its headstock end, each station led to its place and diameter.

    Places are measured from the tailstock end, which is at the top.

    Args:
        table: the design's measurements.
        part: the part; its ``NAME.at_K`` and ``NAME.diameter_K`` are its stations.
        system: the system whose figures are printed; the table beside it has both.
        most: stations that it may have.

    Returns:
        SVG with marked figures; empty when the table holds no stations of this part.
    """
    rows = station_rows(table, part, most)
    if not rows:
        return ""
    profile = part.profile
    thickest = profile.thickest_mm
    rows_high = len(rows) * _PITCH
    scale = min(max(rows_high, 300.0) / profile.length_mm, 2 * _HALF / thickest)
    high = profile.length_mm * scale
    drawing_high = max(rows_high, high, _LEAST_HEIGHT)
    top = _HEAD + (drawing_high - high) / 2
    right = [(_AXIS + far * scale, top + place * scale)
             for place, far in outline(profile, _CHORD / scale)]  # fmt: skip
    left = [(2 * _AXIS - x, y) for x, y in reversed(right)]
    tops = spread(
        [top + at.value * scale for at, _ in rows],
        [_PITCH] * len(rows),
        _HEAD,
        _HEAD + drawing_high,
    )
    bottom = max(top + high, tops[-1] + _PITCH)
    body = [
        polygon("land", [*right, *left]),
        *_joints(part, scale, top),
        line(_AXIS, top - 14, _AXIS, top + high + 14, "axis"),
        name(_AXIS, top - 20, tr_for("drawing", "tailstock end"), anchor="middle"),
        name(_AXIS, top + high + 28, tr_for("drawing", "headstock end"), anchor="middle"),
        name(_PLACES, 16, tr_for("drawing", "from the")),
        name(_PLACES, 33, tr_for("drawing", "tailstock end")),
        name(_DIAMETERS, 33, tr_for("drawing", "diameter")),
    ]
    for (at, diameter), y in zip(rows, tops, strict=True):
        middle = y + _PITCH / 2
        start: Point = (_AXIS + diameter.value * scale / 2, top + at.value * scale)
        body.append(leader(start, (_AXIS + _HALF + 12, start[1]), (_PLACES - 18, middle),
                           (_PLACES - 6, middle)))  # fmt: skip
        for x, room, measured, kind in (
            (_PLACES, _PLACES_ROOM, at, "other"),
            (_DIAMETERS, _DIAMETERS_ROOM, diameter, "figure"),
        ):
            shown = measured.reading(system).text
            body.append(
                text(x, middle + _SIZE * 0.36, marked(measured, shown), shown, _SIZE, kind,
                     room=room)
            )  # fmt: skip
    foot = bottom + 40
    sums = [
        (words, table[f"{part.name}.{key}"])
        for words, key in (
            (tr("length"), "length"),
            (tr("thickest"), "thickest"),
            (tr("thinnest neck"), "neck"),
        )
        if f"{part.name}.{key}" in table
    ]
    for place, (words, measured) in enumerate(sums):
        body.append(label(4 + place * 134, foot, words, measured, system, room=126))
    height = foot + 66 if sums else foot
    desc = tr(
        "The part on its own axis, tailstock end at the top. A thin line leads from each station "
        "on its surface to a row with the distance from the tailstock end and the finished "
        "diameter."
    )
    title = tr("Stations along the profile")
    return svg(f"stations-{part.name}", _WIDTH, height, title, desc, "".join(body))


def leaves_out(table: MeasurementTable, part: PlacedPart, most: int) -> bool:
    """Whether the part has more stations than a drawing of so many."""
    return f"{part.name}.diameter_{most + 1}" in table


def station_rows(
    table: MeasurementTable, part: PlacedPart, most: int
) -> list[tuple[Measurement, Measurement]]:
    """Place and diameter of each station that has a row, from the tailstock end.

    Args:
        table: the design's measurements.
        part: the part whose stations they are.
        most: rows that there may be; of more stations, spaced ones are left out first.
    """
    rows = []
    place = 1
    while (at := table.get(f"{part.name}.at_{place}")) is not None:
        diameter = table.get(f"{part.name}.diameter_{place}")
        if diameter is not None:
            rows.append((at, diameter))
        place += 1
    if len(rows) <= most:
        return rows
    kept = [
        change.position_mm for change in part.profile.changes if change.kind != StationKind.SPACING
    ]
    changes = [row for row in rows if any(abs(row[0].value - place) <= _SAME_MM for place in kept)]
    if len(changes) >= most:
        # both rows of a step stay together, and the end at the headstock is always there
        places = list(dict.fromkeys(row[0].value for row in changes))
        step = max(1, -(-len(changes) // max(1, most - 2)))
        shown = {*places[::step], places[-1]}
        return [row for row in changes if row[0].value in shown]
    spaced = _some([row for row in rows if row not in changes], most - len(changes))
    return sorted((*changes, *spaced), key=lambda row: row[0].value)


def _some(
    rows: list[tuple[Measurement, Measurement]], most: int
) -> list[tuple[Measurement, Measurement]]:
    """Evenly chosen ones, no more than so many."""
    return rows[:: max(1, -(-len(rows) // most))]


def _joints(part: PlacedPart, scale: float, top: float) -> list[str]:
    """A thin line across the part wherever one element meets the next."""
    body = []
    for place in part.profile.starts_mm[1:-1]:
        sizes = [change.diameter_mm for change in part.profile.changes
                 if abs(change.position_mm - place) <= _SAME_MM]  # fmt: skip
        half = min(sizes) * scale / 2
        y = top + place * scale
        body.append(line(_AXIS - half, y, _AXIS + half, y, "seam"))
    return body
