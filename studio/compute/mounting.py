"""The card for the bench: how the ball is marked and mounted for each groove."""

from __future__ import annotations

import math
from fractions import Fraction

from studio.compute.grooves import cutting_order
from studio.compute.sheet import GEOMETRY, PRACTICE, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Design
from studio.language import later, tr
from studio.measure.measurement import Reading, System
from studio.measure.rounding import Direction, decimal_text, number_reading, rounded_words
from studio.measure.schedule import Schedule
from studio.turning import grooves
from studio.turning.cutters import half_angle_rad
from studio.turning.grooves import CutAxis, TailPoint

_HALF = Fraction(1, 2)
_TURNED = later("Turned on by")
_COLUMNS = (
    later("Groove"), later("Its marks"), later("Headstock on mark"), later("Tailstock on mark"),
    _TURNED, later("The tail point stands"), later("What protects it"),
)  # fmt: skip
_STOPS = later("Stops of the plate")


def add_mounting(sheet: Sheet, design: Design) -> None:
    """``axis.*``: one mounting for each groove, in the order of cutting."""
    section = design.grooves
    if section is None or sheet.globe is None or sheet.globe.section is None:
        return
    diameter = float(turned_diameter(design)[0].mm)
    count = section.number
    marks = grooves.marks_for_grooves(count)
    if design.indexing is not None and not design.indexing.marks % marks:
        marks = design.indexing.marks
    plate = sheet.by_name("index.plate")
    stops = grooves.groove_stops(count, round(plate.value)) if plate is not None else ()
    axes = grooves.cut_axes(diameter, count, sheet.globe.section.width_mm, cutting_order(section))
    rows = []
    head = Fraction(axes[0].groove, 1) * Fraction(marks, 2 * count) + Fraction(marks, 4)
    if head % marks >= Fraction(marks, 2):
        # both ends of the first axis are alike: the one with the lower mark goes into the cup
        head += Fraction(marks, 2)
    for place, axis in enumerate(axes):
        tail = f"_{place + 1}"
        # from then on the ball is turned about its poles, and which end is which follows
        head = (head + round(axis.turn_deg * 2 * count / 360) * Fraction(marks, 2 * count)) % marks
        _add_axis(sheet, axis, count, marks, head, tail)
        keys = ("groove", "marks", "head", "tail", "turn")[: None if count > 1 else -1]
        row = [f"axis.{key}{tail}" for key in keys]
        if stops:
            _add_stops(sheet, stops[axis.groove], tail)
            row.insert(2, f"axis.stops{tail}")
        rows.append((*row, f"axis.point{tail}", f"axis.protect{tail}"))
    columns = [one for one in _COLUMNS if one != _TURNED or count > 1]
    if stops:
        columns.insert(2, _STOPS)
    sheet.count(
        "axis.marks",
        "Marks to number round the equator",
        marks,
        formula="two for each groove, or the design's own",
        source=GEOMETRY,
    )
    sheet.schedules.append(
        Schedule(
            name="axis.card",
            heading=tr("Marking and mounting, one line for each groove"),
            columns=tuple(map(tr, columns)),
            rows=tuple(rows),
            notes=_notes(sheet),
        )
    )


def _notes(sheet: Sheet) -> tuple[str, ...]:
    marks = sheet.by_name("axis.marks")
    edge = sheet.by_name("grooves.edge")
    assert marks is not None
    opened = bool(sheet.opened_before_grooves)
    brought = (
        tr("the plate brings") if sheet.by_name("index.plate") else tr("the turning ball brings")
    )
    side, seen = (
        (
            tr("the opening"),
            tr("the line, where it runs out at both sides of the opening, and the pole"),
        )
        if opened
        else (tr("pole T"), tr("the line and both poles"))
    )
    notes = [
        tr(
            "Before the ball leaves the lathe pencil both poles, where the centres stood, and "
            "write T on the one at the tailstock; pencil the equator with the pencil held still "
            "on the rest and the ball turned by hand; pencil the {marks} marks and the lines from "
            "them to both poles, and number them in the order in which {brought} them up.",
            marks=marks.marked(),
            brought=brought,
        ),
        tr(
            "Each groove's own line lies square to the lathe's axis: mount the ball with the mark "
            "named under headstock in the middle of the cup, the one under tailstock at the point, "
            "and {side} on the same side every time. Turn it by hand before switching on: {seen} "
            "must run past the tool's edge in one plane. Move the ball by half the difference that "
            "shows.",
            side=side,
            seen=seen,
        ),
    ]
    if opened:
        notes.insert(
            1,
            tr(
                "The opening takes one pole and the ends of the lines away: look that every line "
                "still shows at both sides of it, and pencil it again from its mark if it does "
                "not. A rim on the opening's edge bears on nothing there, and a groove cut across "
                "that edge tears it: plug the opening while the grooves are cut."
            ),
        )
    if _ring_on_equator(sheet):
        notes.append(
            tr(
                "The ring on the equator takes the pencilled equator and its marks away: before "
                "the ball leaves the lathe pencil the middle of the ring's floor and the marks on "
                "it anew, and have a plug that fits the ring for the point."
            )
        )
    if edge is not None:
        notes.append(tr("Pencil both edges too, {edge} from the line.", edge=edge.marked_both()))
    return tuple(notes)


def _mark_text(at: Fraction, marks: int) -> str:
    """A place on the equator by the marks' numbers, which start at 1."""
    whole = at % marks
    if whole.denominator == 1:
        return decimal_text(whole + 1, 0)
    before = whole - whole % 1
    after = (before + 1) % marks
    part = (
        tr("half way")
        if whole % 1 == _HALF
        else tr("{fraction} of the way", fraction=str(whole % 1))
    )
    return tr(
        "{part} from {first} to {second}",
        part=part,
        first=decimal_text(before + 1, 0),
        second=decimal_text(after + 1, 0),
    )


def _add_axis(
    sheet: Sheet, axis: CutAxis, count: int, marks: int, head: Fraction, tail: str
) -> None:
    apart = Fraction(marks, 2 * count)
    line, half = axis.groove * apart, Fraction(marks, 2)
    ends = (head, (head + half) % marks)
    sheet.words(
        f"axis.groove{tail}",
        "Groove",
        decimal_text(Fraction(axis.groove + 1), 0),
        value=axis.groove + 1,
        formula="counted from the first mark",
        source=GEOMETRY,
    )
    sheet.words(
        f"axis.marks{tail}",
        "Marks that the groove runs through",
        tr(
            "{first} and {second}",
            first=_mark_text(line, marks),
            second=_mark_text(line + half, marks),
        ),
        value=float(line + 1),
        formula="half a turn apart",
        source=GEOMETRY,
    )
    for key, label, end in (
        ("head", later("Mark in the middle of the cup, at the headstock"), ends[0]),
        ("tail", later("Mark at the tail point"), ends[1]),
    ):
        sheet.words(
            f"axis.{key}{tail}",
            label,
            _mark_text(end, marks),
            value=float(end + 1),
            formula="a quarter turn from the groove's own marks",
            source=GEOMETRY,
        )
    turn = number_reading(abs(axis.turn_deg), "°", Fraction(1, 10), Direction.NEAREST)
    way = "" if not axis.turn_deg else tr(" on") if axis.turn_deg > 0 else tr(" back")
    sheet.add(
        f"axis.turn{tail}",
        "Turned about the poles from the groove before",
        axis.turn_deg,
        "deg",
        dict.fromkeys(System, Reading(axis.turn_deg, "°", f"{turn.text}{way}")),
        rule=rounded_words(
            Direction.NEAREST,
            number_reading(0.1, "°", Fraction(1, 10), Direction.NEAREST).text,
        ),
        formula="180° / grooves for each groove passed",
        source=GEOMETRY,
    )
    place, protect = _tail_point(sheet, axis)
    sheet.words(
        f"axis.point{tail}", "The tail point stands", place, formula="a quarter turn from the "
        "groove", source=GEOMETRY, value=axis.edge_mm or 0.0,
    )  # fmt: skip
    sheet.words(
        f"axis.protect{tail}",
        "What protects the place under the tail point",
        protect,
        formula="by what the point stands on",
        source=PRACTICE,
    )


TAKES_MARK_MM = 1.0
"""A groove at least so deep takes the mark of a tail point away (ours)."""


def _tail_point(sheet: Sheet, axis: CutAxis) -> tuple[str, str]:
    globe = sheet.globe
    depth = globe.section.depth_mm if globe is not None and globe.section is not None else 0.0
    if axis.tail is TailPoint.EARLIER_GROOVE:
        assert axis.tail_groove is not None
        return (
            tr("in groove {number}, already cut", number=axis.tail_groove + 1),
            tr("a wooden plug that fits the groove, under a blunt live centre"),
        )
    if _ring_on_equator(sheet):
        return (
            tr("in the ring on the equator, already cut"),
            tr("a wooden plug that fits the ring, under a blunt live centre"),
        )
    if axis.tail is TailPoint.LATER_LINE:
        assert axis.tail_groove is not None
        return (
            tr("on the line of groove {number}, cut later", number=axis.tail_groove + 1),
            tr("nothing: that groove takes the point's mark away")
            if depth >= TAKES_MARK_MM
            else tr(
                "a blunt live centre, pressed lightly: that groove is too shallow for a deep mark"
            ),
        )
    protect = tr("a leather or wooden pad under a blunt live centre")
    if axis.edge_mm is None:
        return tr("in the middle of a land"), protect
    near = sheet.fine(axis.edge_mm)
    return tr("in the middle of a land, {near} from a groove's edge", near=near), protect


def _ring_on_equator(sheet: Sheet) -> bool:
    """Whether a ring takes the equator away: rings are turned before any groove."""
    globe = sheet.globe
    return globe is not None and any(
        abs(math.radians(ring.latitude_deg))
        < half_angle_rad(globe.diameter_mm, ring.section.width_mm)
        for ring in globe.rings
    )


def _add_stops(sheet: Sheet, stops: grooves.GrooveStops, tail: str) -> None:
    text = (
        tr("none")
        if stops.line_stops is None
        else tr("{first} and {second}", first=stops.line_stops[0], second=stops.line_stops[1])
    )
    sheet.words(
        f"axis.stops{tail}",
        "Stops of the plate for the groove's marks",
        text,
        value=float(stops.line_stops[0]) if stops.line_stops is not None else 0.0,
        formula="the first groove's mark at stop 0",
        source=GEOMETRY,
    )
