"""Templates at true scale, as geometry: what is cut out and held against the work.

All places are in mm on the paper, x to the right and y downwards, from the upper left corner of the
template's own box. Sizes are the measurements' exact values, not their printed ones; a figure that
stands on a template is a measurement's printed text. Nothing here knows how a sheet is printed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise

from studio.language import tr, unit_word
from studio.measure.measurement import Measurement, MeasurementTable
from studio.measure.trace import mark
from studio.measure.units import MM_PER_INCH
from studio.paper.drawings.pen import spread
from studio.paper.drawings.stations import station_rows
from studio.turning.piece import PlacedPart
from studio.turning.profile import outline

Point = tuple[float, float]

CHORD_MM = 0.005
"""How far a chord may lie from a profile's arc, mm: a tenth of the 0.05 mm that a printed template
may be off (ours)."""

_FINEST_ARC_DEG = 30.0
"""A circle is drawn of cubic curves that each span no more than this: they lie within a millionth
of the radius (the error of the usual approximation falls with the sixth power of the angle)."""

CARD_MM = 14.0
"""Card that is left around the edge to be cut, mm (ours: enough to hold)."""

STRIP_MM = 13.0
"""Width of a strip to be wrapped round, mm (ours)."""

TAB_MM = 8.0
"""Tongue by which a strip is glued to its next piece, mm (ours)."""

LABEL_PITCH_MM = 3.6
"""Least room from one number to the next, mm (ours)."""

_ROW_GAP_MM = 7.0
"""From one strip, or one hole, to the next, mm (ours)."""

OVERLAP_MM = 12.0
"""How much two sheets of one template show alike, mm (ours)."""

_CROSS_MM = 4.0
"""Half a register mark, mm (ours)."""

RULER_MM, RULER_IN = 100, 4
"""Lengths of the rulers on each sheet."""

MOST_TILES = 60
"""A template on more sheets than this is left out (ours): nobody joins so many."""

MOST_STATIONS = 40
"""Most stations that a profile gauge numbers; of more, spaced ones are left out (ours)."""

MOST_MARKS = 720
"""Most marks that a strip carries (ours; index plates have at most half of that)."""


Row = tuple[str, tuple[Measurement, ...]]
"""Measurements side by side, with their number on the template."""


class Line(StrEnum):
    """What a line is for."""

    CUT = "cut"
    """To be cut along."""
    MARK = "mark"
    """To be marked through, or compared with."""
    FINE = "fine"
    """A leader, a scale's short tick."""
    CENTRE = "centre"
    """An axis, or what is to come."""
    FILL = "fill"
    """A filled area without an outline, whose edge is the size."""
    SOLID = "solid"
    """The same in black."""
    REGISTER = "register"
    """A cross that lies on its like on the next sheet."""


@dataclass(frozen=True, slots=True)
class Path:
    """A line: straight pieces (one point) and cubic curves (two control points and a point).

    Attributes:
        line: what it is for.
        start: its first point.
        pieces: each of one or three points.
        closed: whether it ends where it begins.
    """

    line: Line
    start: Point
    pieces: tuple[tuple[Point, ...], ...]
    closed: bool = False

    def points(self) -> Iterator[Point]:
        """Every point, control points too; the line lies within their hull."""
        yield self.start
        for piece in self.pieces:
            yield from piece

    def moved(self, dx: float, dy: float) -> Path:
        """The same line elsewhere."""
        return Path(
            self.line,
            (self.start[0] + dx, self.start[1] + dy),
            tuple(tuple((x + dx, y + dy) for x, y in piece) for piece in self.pieces),
            self.closed,
        )


@dataclass(frozen=True, slots=True)
class Label:
    """A few letters beside a line; ``text`` is marked, ``y`` is the middle of its height, and
    ``anchor`` says whether ``x`` is its ``start``, ``middle`` or ``end``."""

    x: float
    y: float
    text: str
    anchor: str = "middle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """One thing to cut out, or a part of it that fits on a sheet.

    Attributes:
        key: what it is, a plain word.
        heading: marked; what it is called.
        how: plain; what to do with it.
        width, height: of its box, mm.
        paths: its lines.
        labels: numbers beside them.
        sizes: measurements that it shows, to be printed above it.
        rows: measurements in rows, to be printed below it, each with its number on the template.
        columns: what stands over those rows' figures.
        tile: row and column of this part, counted from 1, and how many there are of each; None for
            a template that is whole.
    """

    key: str
    heading: str
    how: str
    width: float
    height: float
    paths: tuple[Path, ...]
    labels: tuple[Label, ...] = ()
    sizes: tuple[Measurement, ...] = ()
    rows: tuple[Row, ...] = ()
    columns: tuple[str, ...] = ()
    tile: tuple[int, int, int, int] | None = None


def line(kind: Line, *places: Point, closed: bool = False) -> Path:
    """Straight from point to point."""
    return Path(kind, places[0], tuple((place,) for place in places[1:]), closed)


def arc_pieces(
    centre: Point, radius: float, start_deg: float, end_deg: float
) -> tuple[Point, tuple[tuple[Point, ...], ...]]:
    """Part of a circle as cubic curves: its first point and its pieces.

    Angles in degrees run clockwise from the right, as y runs downwards. Formula: control points at
    4/3 · tan(angle/4) of the radius along the tangents. Source: elementary geometry.

    >>> start, pieces = arc_pieces((0, 0), 10, 0, 90)
    >>> start, len(pieces), [round(x, 6) + 0.0 for x in pieces[-1][-1]]
    ((10.0, 0.0), 3, [0.0, 10.0])
    """
    count = max(1, math.ceil(abs(end_deg - start_deg) / _FINEST_ARC_DEG - 1e-9))
    step = math.radians(end_deg - start_deg) / count
    reach = 4 / 3 * math.tan(step / 4) * radius
    turn = math.radians(start_deg)

    def at(angle: float) -> Point:
        return centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)

    pieces = []
    for _ in range(count):
        (ax, ay), (bx, by) = at(turn), at(turn + step)
        pieces.append(
            (
                (ax - reach * math.sin(turn), ay + reach * math.cos(turn)),
                (bx + reach * math.sin(turn + step), by - reach * math.cos(turn + step)),
                (bx, by),
            )
        )
        turn += step
    return at(math.radians(start_deg)), tuple(pieces)


def circle(kind: Line, centre: Point, diameter: float) -> Path:
    """A whole circle."""
    start, pieces = arc_pieces(centre, diameter / 2, 0, 360)
    return Path(kind, start, pieces, closed=True)


def sphere_gauge(table: MeasurementTable) -> Template | None:
    """A half circle of the ball's diameter, to be cut out and held against the work."""
    diameter = table.get("sphere.diameter")
    if diameter is None:
        return None
    radius = diameter.value / 2
    centre = (CARD_MM + radius, 0.0)
    width, height = diameter.value + 2 * CARD_MM, radius + CARD_MM
    start, pieces = arc_pieces(centre, radius, 180, 0)
    edge = Path(Line.CUT, (0.0, 0.0), ((start,), *pieces, ((width, 0.0),)))
    return Template(
        key="sphere",
        heading=tr("Sphere gauge"),
        how=tr(
            "Glue the sheet to card and cut along the thick line. Lathe off: hold the half circle "
            "against the ball, along the axis and across it, and look for light."
        ),
        width=width,
        height=height,
        paths=(
            edge,
            line(Line.FINE, (centre[0], 0.0), (centre[0], radius + 5)),
            line(
                Line.FINE,
                (0.0, 0.0),
                (0.0, height),
                (width, height),
                (width, 0.0),
            ),
        ),
        sizes=(diameter,),
    )


def octagon_gauge(table: MeasurementTable) -> Template | None:
    """The octagon on the cylinder's side, with its corners carried to the sheet's edge."""
    names = ("sphere.diameter", "sphere.set_in", "sphere.octagon_side")
    if not set(names) <= table.keys():
        return None
    diameter, set_in, side = (table[name] for name in names)
    size, off, rim = diameter.value, set_in.value, 8.0
    low, high = off, size - off
    corners: list[Point] = [
        (low, 0.0), (high, 0.0), (size, low), (size, high),
        (high, size), (low, size), (0.0, high), (0.0, low),
    ]  # fmt: skip
    paths = [
        line(Line.CUT, (0, 0), (size, 0), (size, size), (0, size), closed=True),
        line(Line.MARK, *corners, closed=True),
        circle(Line.CENTRE, (size / 2, size / 2), size),
        line(Line.CENTRE, (-rim, size / 2), (size + rim, size / 2)),
    ]
    for place in (low, high):
        paths += [
            line(Line.MARK, (place, -5.0), (place, 0.0)),
            line(Line.MARK, (place, size), (place, size + 5.0)),
            line(Line.MARK, (-5.0, place), (0.0, place)),
            line(Line.MARK, (size, place), (size + 5.0, place)),
        ]
    return Template(
        key="octagon",
        heading=tr("Octagon layout gauge"),
        how=tr(
            "Cut out the square. Laid along the cylinder between its end lines, an edge gives both "
            "marks along the length; laid across an end face, the same marks there. Dashed: the "
            "ball to come, and the axis."
        ),
        width=size + 2 * rim,
        height=size + 2 * rim,
        paths=tuple(path.moved(rim, rim) for path in paths),
        sizes=(diameter, set_in, side),
    )


def profile_gauge(table: MeasurementTable, part: PlacedPart) -> Template | None:
    """Half of a turned part's profile, tailstock end at the top, with numbered stations."""
    rows = station_rows(table, part, MOST_STATIONS)
    title = table.get(f"{part.name}.title")
    if not rows or title is None:
        return None
    profile = part.profile
    left = 6.0
    edge = [(left + far, place) for place, far in outline(profile, CHORD_MM)]
    length = profile.length_mm
    thickest = max(x for x, _ in edge)
    card = thickest + CARD_MM
    tops = spread([at.value for at, _ in rows], [LABEL_PITCH_MM] * len(rows), 0.0)
    height = max(length, tops[-1] + LABEL_PITCH_MM)
    paths = [
        line(Line.CUT, (card, 0.0), *edge, (card, length)),
        line(Line.CENTRE, (left, 0.0), (left, length)),
        line(Line.FINE, (left, 0.0), edge[0]),
        line(Line.FINE, (left, length), edge[-1]),
    ]
    labels = []
    for number, ((at, diameter), top) in enumerate(zip(rows, tops, strict=True), start=1):
        middle = top + LABEL_PITCH_MM / 2
        start = (left + diameter.value / 2, at.value)
        paths += [
            line(Line.MARK, start, (card, at.value)),
            line(Line.FINE, (card, at.value), (card + 6.0, middle)),
        ]
        labels.append(Label(card + 7.0, middle, mark(f"station:{number}", str(number)), "start"))
    return Template(
        key=f"profile-{part.name}",
        heading=tr("Profile gauge – {part}", part=title.marked()),
        how=tr(
            "Glue the sheet to card and cut along the thick line; the side with the numbers is the "
            "gauge. Lathe off: hold it against the part, tailstock end at the top. The stations "
            "are numbered; their figures follow."
        ),
        width=card + 14.0,
        height=height,
        paths=tuple(paths),
        labels=tuple(labels),
        rows=tuple(
            (mark(f"station:{number}", str(number)), row)
            for number, row in enumerate(rows, start=1)
        ),
        columns=(tr("Station"), tr("From the tailstock end"), tr("Diameter")),
    )


def index_strips(table: MeasurementTable, widest: float, tallest: float) -> tuple[Template, ...]:
    """A strip as long as the ball's equator with its index marks, parted where it is too long.

    Args:
        table: the design's measurements.
        widest: how long one piece may be, mm.
        tallest: how high the pieces of one template may stand, mm.
    """
    names = ("index.marks", "index.circumference", "index.strip")
    if not set(names) <= table.keys():
        return ()
    marks, around, pitch = (table[name] for name in names)
    count = round(marks.value)
    if not 1 <= count <= MOST_MARKS:
        return ()
    shown = _every(pitch.value)
    ticks = [
        Tick(
            place * pitch.value,
            mark(f"mark:{place % count + 1}", str(place % count + 1))
            if place % shown == 0 or place == count
            else "",
        )
        for place in range(count + 1)
    ]
    return strips(
        "index",
        tr("Index strip"),
        tr(
            "Cut out, join the pieces at their letters, and wrap it round the equator with a dab "
            "of glue on the last tongue: mark one again falls on mark one. If it does not meet, "
            "the ball is not of the size below."
        ),
        (around, marks, pitch),
        around.value,
        ticks,
        (),
        widest,
        tallest,
    )


def groove_strips(table: MeasurementTable, widest: float, tallest: float) -> tuple[Template, ...]:
    """The same with the grooves' middle lines and edges, for grooves that run through the poles."""
    names = ("grooves.number", "grooves.lobes", "grooves.strip", "grooves.edge", "grooves.land")
    if not set(names) <= table.keys():
        return ()
    number, lobes, pitch, edge, land = (table[name] for name in names)
    count, grooves = round(lobes.value), round(number.value)
    if not 1 <= count <= MOST_MARKS or grooves < 1:
        return ()
    around = count * pitch.value
    ticks = [
        Tick(
            place * pitch.value,
            mark(f"groove:{place % grooves + 1}", str(place % grooves + 1)),
        )
        for place in range(count + 1)
    ]
    bands = [(max(0.0, tick.at - edge.value), min(around, tick.at + edge.value)) for tick in ticks]
    return strips(
        "grooves",
        tr("Groove spacing strip"),
        tr(
            "Cut out, join the pieces at their letters, and wrap it round the equator, its first "
            "line on a mark. A line is the middle of a groove, with the groove’s number; each "
            "groove comes twice, for it runs through both poles. Shaded: the width that is cut "
            "away."
        ),
        (number, pitch, land, edge),
        around,
        ticks,
        bands,
        widest,
        tallest,
    )


@dataclass(frozen=True, slots=True)
class Tick:
    """A line across a strip, so far from its beginning, mm; ``text`` is marked and stands under
    it, or ``beside`` where another line may run on. One without a text is shorter; a centre line
    goes all the way."""

    at: float
    text: str
    kind: Line = Line.MARK
    beside: bool = False

    @property
    def long(self) -> float:
        """Its length, mm."""
        if self.kind is Line.CENTRE:
            return STRIP_MM
        return STRIP_MM - 5.0 if self.text else STRIP_MM / 3


def _every(pitch: float) -> int:
    """Of how many marks one is numbered, so that numbers do not meet."""
    for step in (1, 2, 5, 10, 20, 50):
        if step * pitch >= LABEL_PITCH_MM * 1.5:
            return step
    return 100


def strips(
    key: str,
    heading: str,
    how: str,
    sizes: tuple[Measurement, ...],
    around: float,
    ticks: list[Tick],
    bands: Iterable[tuple[float, float]],
    widest: float,
    tallest: float,
    rows: tuple[Row, ...] = (),
    columns: tuple[str, ...] = (),
    wraps: bool = True,
) -> tuple[Template, ...]:
    """A strip in pieces, as many on one template as stand on a sheet.

    Args:
        key, heading, how, sizes: of the template; sizes stand on its first sheet.
        around: how long the strip is, mm.
        ticks: lines across it, with their numbers.
        bands: where shaded widths begin and end, mm from its beginning.
        widest: how long one piece may be, mm.
        tallest: how high the pieces of one template may stand, mm.
        rows, columns: of the table on its last sheet.
        wraps: whether its ends meet, so that the last piece has a tongue too.
    """
    most = widest - TAB_MM
    count = max(1, math.ceil(around / most - 1e-9))
    cuts = [around * place / count for place in range(count + 1)]
    bands = list(bands)
    pitch = STRIP_MM + _ROW_GAP_MM
    most_rows = max(1, int((tallest + _ROW_GAP_MM) / pitch))
    out = []
    for first in range(0, count, most_rows):
        paths: list[Path] = []
        labels: list[Label] = []
        pieces = list(enumerate(pairwise(cuts)))[first : first + most_rows]
        for row, (number, (start, end)) in enumerate(pieces):
            top = row * pitch
            last = number == count - 1
            length = end - start
            drawn = _piece(start, end, last, ticks, bands, tongue=wraps or not last)
            paths += [path.moved(0.0, top) for path in drawn]
            for tick in ticks:
                if tick.text and _stands(tick.at, start, end, last):
                    labels.append(_numbered(tick, start, end, top + STRIP_MM - 2.6))
            if number:
                labels.append(Label(2.2, top + 2.4, _letter(number - 1)))
            if not last:
                labels.append(Label(length + TAB_MM / 2, top + STRIP_MM / 2, _letter(number)))
        out.append(
            Template(
                key=key,
                heading=heading,
                how=how,
                width=max(end - start for _, (start, end) in pieces) + TAB_MM,
                height=len(pieces) * pitch - _ROW_GAP_MM,
                paths=tuple(paths),
                labels=tuple(labels),
                sizes=sizes if not first else (),
                rows=rows if first + most_rows >= count else (),
                columns=columns,
            )
        )
    return tuple(out)


def _stands(at: float, start: float, end: float, last: bool) -> bool:
    """Whether a mark lies on a piece; one where two meet lies on the latter."""
    return start - 1e-9 <= at < end - 1e-9 or (last and at >= end - 1e-9)


def _numbered(tick: Tick, start: float, end: float, y: float) -> Label:
    """A mark's number under it; beside it at the ends, where it would lie on the edge to be cut."""
    beside = LABEL_PITCH_MM / 2
    if tick.at - start < beside or (tick.beside and end - tick.at >= LABEL_PITCH_MM):
        return Label(tick.at - start + 1.0, y, tick.text, "start")
    if end - tick.at < beside:
        return Label(tick.at - start - 1.0, y, tick.text, "end")
    return Label(tick.at - start, y, tick.text)


def _letter(number: int) -> str:
    """A, B, … Z, AA, …: which ends of strips meet."""
    letters = ""
    number += 1
    while number:
        number, one = divmod(number - 1, 26)
        letters = chr(ord("A") + one) + letters
    return letters


def _piece(
    start: float,
    end: float,
    last: bool,
    ticks: list[Tick],
    bands: list[tuple[float, float]],
    *,
    tongue: bool,
) -> list[Path]:
    length = end - start
    paths = [
        _box(Line.FILL, low - start, 0.0, high - start, STRIP_MM / 2)
        for low, high in ((max(one, start), min(two, end)) for one, two in bands)
        if high > low + 1e-9
    ]
    paths.append(_box(Line.CUT, 0.0, 0.0, length, STRIP_MM))
    if tongue:
        paths.append(
            line(
                Line.FINE,
                (length, 1.0),
                (length + TAB_MM, 2.5),
                (length + TAB_MM, STRIP_MM - 2.5),
                (length, STRIP_MM - 1.0),
            )
        )
    paths += [
        line(tick.kind, (tick.at - start, 0.0), (tick.at - start, tick.long))
        for tick in ticks
        if _stands(tick.at, start, end, last)
    ]
    return paths


def _box(kind: Line, left: float, top: float, right: float, bottom: float) -> Path:
    return line(kind, (left, top), (right, top), (right, bottom), (left, bottom), closed=True)


_HOLES = (
    ("hanger.wire", True),
    ("hanger.bundle", True),
    ("hanger.drill", False),
    ("hanger.loop", True),
    ("hollow.opening", False),
)
"""What is drilled and what is put in, and whether it is drawn solid (a wire, a rod)."""


def hole_chart(table: MeasurementTable) -> Template | None:
    """The drills, holes, wires and rods of the design, as circles of their true size."""
    found: list[tuple[Measurement, str, bool]] = [
        (table[name], "", solid) for name, solid in _HOLES if name in table
    ]
    for name, title in table.items():
        part, _, key = name.partition(".")
        if key == "title" and f"{part}.hole" in table:
            found.append((table[f"{part}.hole"], "", False))
            if f"{part}.tenon" in table:
                found.append((table[f"{part}.tenon"], title.marked(), True))
    if not found:
        return None
    widest = max(one.value for one, _, _ in found)
    paths: list[Path] = []
    labels: list[Label] = []
    y = 0.0
    for one, whose, solid in found:
        size = one.value
        y += max(size, 5.0) / 2
        centre = (widest / 2, y)
        if solid:
            paths.append(circle(Line.SOLID if size < 5 else Line.FILL, centre, size))
        else:
            paths.append(circle(Line.MARK, centre, size))
            arm = max(size / 2 + 1.5, 2.0)
            paths += [
                line(Line.FINE, (centre[0] - arm, y), (centre[0] + arm, y)),
                line(Line.FINE, (centre[0], y - arm), (centre[0], y + arm)),
            ]
        words = mark(f"label:{one.name}", one.label)
        said = f"{whose} – {words}" if whose else words
        labels.append(Label(widest + 6.0, y, f"{said}: {one.marked_both()}", "start"))
        y += max(size, 5.0) / 2 + _ROW_GAP_MM / 2
    return Template(
        key="holes",
        heading=tr("Drilled-hole and wire chart"),
        how=tr(
            "Lay the drill or the wire on its circle: outlined for what is drilled, filled for "
            "what goes in."
        ),
        width=widest + 110.0,
        height=y,
        paths=tuple(path.moved(2.0, 2.0) for path in paths),
        labels=tuple(replace(one, x=one.x + 2.0, y=one.y + 2.0) for one in labels),
    )


def rulers() -> Template:
    """A rule of 100 mm over one of 4 in, to see whether a sheet was printed at its size."""
    paths = [line(Line.MARK, (0.0, 0.0), (float(RULER_MM), 0.0))]
    labels = []
    for place in range(RULER_MM + 1):
        long = 5.0 if place % 10 == 0 else 3.6 if place % 5 == 0 else 2.2
        kind = Line.MARK if place in (0, RULER_MM) else Line.FINE
        paths.append(line(kind, (float(place), 0.0), (float(place), long)))
        if place % 10 == 0:
            labels.append(Label(float(place), 7.0, mark("ruler:mm", str(place))))
    inch, top = float(MM_PER_INCH), 10.0
    labels.append(Label(RULER_IN * inch + 2.0, 2.4, unit_word("mm"), "start"))
    labels.append(Label(RULER_IN * inch + 2.0, top + 2.4, unit_word("in"), "start"))
    paths.append(line(Line.MARK, (0.0, top), (RULER_IN * inch, top)))
    parts = 16
    for place in range(RULER_IN * parts + 1):
        share = next(step for step in (16, 8, 4, 2, 1) if place % step == 0)
        long = {16: 5.0, 8: 4.0, 4: 3.2, 2: 2.5, 1: 1.8}[share]
        x = place * inch / parts
        kind = Line.MARK if place in (0, RULER_IN * parts) else Line.FINE
        paths.append(line(kind, (x, top), (x, top + long)))
        if share == 16:
            labels.append(Label(x, top + 7.0, mark("ruler:in", str(place // parts))))
    return Template(
        key="rulers",
        heading="",
        how="",
        width=RULER_IN * inch + 8.0,
        height=top + 9.0,
        paths=tuple(paths),
        labels=tuple(labels),
    )


@dataclass(frozen=True, slots=True)
class Room:
    """What a sheet has for one template, mm."""

    width: float
    height: float


def parted(template: Template, room: Room) -> tuple[Template, ...]:
    """A template as parts that fit on sheets: itself, or tiles that overlap, with register marks.

    A tile shows the template from ``(column - 1) · step`` on; the marks in the overlap lie at the
    same places of the template on both sheets.
    """
    if template.width <= room.width and template.height <= room.height:
        return (template,)
    step_x, step_y = room.width - OVERLAP_MM, room.height - OVERLAP_MM
    columns = max(1, math.ceil((template.width - OVERLAP_MM) / step_x))
    rows = max(1, math.ceil((template.height - OVERLAP_MM) / step_y))
    if columns * rows > MOST_TILES:
        return ()
    crosses = _crosses(template, room, rows, columns)
    out = []
    for row in range(rows):
        for column in range(columns):
            left, top = column * step_x, row * step_y
            width = min(room.width, template.width - left)
            height = min(room.height, template.height - top)
            right, bottom = left + width, top + height
            inside = [
                path.moved(-left, -top)
                for path in (*template.paths, *crosses)
                if _meets(path, left, top, right, bottom)
            ]
            out.append(
                replace(
                    template,
                    width=width,
                    height=height,
                    paths=tuple(inside),
                    labels=tuple(
                        replace(one, x=one.x - left, y=one.y - top)
                        for one in template.labels
                        if left <= one.x <= right and top <= one.y <= bottom
                    ),
                    sizes=template.sizes if row == column == 0 else (),
                    rows=template.rows if (row, column) == (rows - 1, columns - 1) else (),
                    tile=(row + 1, column + 1, rows, columns),
                )
            )
    return tuple(out)


def _crosses(template: Template, room: Room, rows: int, columns: int) -> list[Path]:
    """Register marks in the middle of each overlap, two on every seam of two sheets."""
    step_x, step_y = room.width - OVERLAP_MM, room.height - OVERLAP_MM
    places: list[Point] = []
    for column in range(1, columns):
        x = column * step_x + OVERLAP_MM / 2
        for row in range(rows):
            top = row * step_y
            high = min(room.height, template.height - top)
            places += [(x, top + high * share) for share in (0.3, 0.7)]
    for row in range(1, rows):
        y = row * step_y + OVERLAP_MM / 2
        for column in range(columns):
            left = column * step_x
            wide = min(room.width, template.width - left)
            places += [(left + wide * share, y) for share in (0.3, 0.7)]
    out = []
    for x, y in places:
        out.append(line(Line.REGISTER, (x - _CROSS_MM, y), (x + _CROSS_MM, y)))
        out.append(line(Line.REGISTER, (x, y - _CROSS_MM), (x, y + _CROSS_MM)))
        out.append(circle(Line.REGISTER, (x, y), _CROSS_MM))
    return out


def _meets(path: Path, left: float, top: float, right: float, bottom: float) -> bool:
    xs = [x for x, _ in path.points()]
    ys = [y for _, y in path.points()]
    return min(xs) <= right and max(xs) >= left and min(ys) <= bottom and max(ys) >= top
