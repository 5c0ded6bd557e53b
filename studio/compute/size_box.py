"""The viewer's own blank: the figures for another size of the same design, and whether it fits.

The functions that take a :class:`Wanted` are plain formulas: the page runs them in the browser,
translated word for word (:mod:`studio.paper.javascript`), for the size that a viewer types. So they
keep to numbers, texts, lists and tuples. A printed length travels as ``(over, under)`` in its
system's unit, so that it stays exact in both languages.

Grooves, rings and opening stay as wide as the design has them and are cut with the same cutters,
which go as deep as that takes; rings stay as far from the equator, marks as many. The ball alone is
of another size. Parts that stand on it, hollow, hanger and pattern are not looked at.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from studio.compute.cutting import FAR_PART, TOLD_PART, snapped
from studio.compute.grooves import DEEPEST_PART, groove_as_printed, land_shown
from studio.compute.rings import holes_of, sides_of
from studio.compute.sheet import STOCK_STEPS, Sheet
from studio.compute.speed import SPEED_STEP
from studio.compute.sphere import first_marks, turned_diameter
from studio.compute.stock import wasted
from studio.design.schema import RIM_SIZES, Cut, Design
from studio.language import tr
from studio.measure.measurement import System
from studio.measure.rounding import (
    FINE_GRID,
    Direction,
    Grid,
    divided,
    length_text,
    number_text,
    on_step,
    stepped,
    with_parts,
    with_unit,
)
from studio.measure.units import MM_PER_INCH, Length, parse_length
from studio.turning.cutters import SnappedVee, cove_depth_mm, cut_fault, vee_depth_mm
from studio.turning.grooves import lobe_share_mm, merge_latitude_deg, ring_latitude_deg
from studio.turning.indexing import COMMON_PLATES, divider_setting_mm, strip_spacing_mm
from studio.turning.profile import SAME_PLACE_MM
from studio.turning.seat import (
    LEAST_RIM_PART,
    is_narrow,
    keeps_clear,
    rim_clear_mm,
    rim_left,
    verdict,
    widest_rim_mm,
)
from studio.turning.speed import (
    RULES,
    Stage,
    off_centre_swing_mm,
    rim_limit_rpm,
    square_blank_swing_mm,
)
from studio.turning.sphere import end_limit_mm, second_mark_mm, set_in_mm, third_mark_mm
from studio.turning.stock import blank_total_mm, square_section_mm

LEAST_MM, MOST_MM = 8.0, 600.0
"""Balls that a design may have (``stock: diameter``), mm; the box answers for no others."""

LEAST_RIM_MM, MOST_RIM_MM = (float(parse_length(one).mm) for one in RIM_SIZES)
"""Rims that a chuck may have, mm; nor does the box answer for others."""

SAWN = ("stock.section", "stock.length")
"""Figures that stock is sawn to."""

STOCK_GRID = Grid.of(STOCK_STEPS)

COMMON_BLANKS = tuple(
    map(
        parse_length,
        ("40 mm", "1 3/4 in", "50 mm", "2 1/4 in", "60 mm", "2 1/2 in", "75 mm", "3 in"),
    )
)
"""Diameters that turners' blanks are often turned to (common practice, no source)."""

COMMON_RIMS = tuple(map(parse_length, ("20 mm", "1 in", "30 mm", "1 1/2 in", "50 mm")))
"""Rims to try where the workshop names none (common practice, no source)."""

Figure = tuple[str, str, str]
"""A measurement's name and its two texts, metric first."""


@dataclass(frozen=True, slots=True)
class Cutting:
    """How a groove or a ring is cut.

    Attributes:
        vee: whether the cutter is pointed.
        cutter: the angle included between its edges, degrees, or the radius of its nose, mm.
        width_mm: along the sphere, without flares.
        flare_mm: of each edge; 0 for none.
        rounded: whether a flare is rounded, not chamfered.
        deep_mm: how deep that is on the design's own ball.
        typed_mm: how deep it was typed.
    """

    vee: bool
    cutter: float
    width_mm: float
    flare_mm: float
    rounded: bool
    deep_mm: float
    typed_mm: float


@dataclass(frozen=True, slots=True)
class Circle:
    """A ring.

    Attributes:
        place_mm: from the equator along the line of the poles, towards the top.
        across_mm: its whole width along the sphere.
        hole_mm: diameter of the hole at the pole on its side; 0 for none.
        cut: how it is cut.
    """

    place_mm: float
    across_mm: float
    hole_mm: float
    cut: Cutting


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the design asks for besides its size.

    Attributes:
        title: of the design, plain.
        system: the one that is printed first.
        bench: divisions that are read off at the bench.
        own_mm: the ball of the design itself.
        own_section, own_length, own_depth: its blank, typed or computed, and its grooves' depth, as
            printed: ``(over, under)`` in mm and in inches.
        square: whether the blank is square.
        truing_mm, headstock_mm, tailstock_mm, partings, parting_mm: what the blank has besides.
        waste_shown: waste and parting cuts as printed, together, ``(over, under)`` in mm and in
            inches.
        slowest_rpm: the lathe's slowest speed.
        fastest_rpm: the least of the lathe's and the chuck's own limits.
        marks: round the equator; 0 for none.
        plated: whether the film sets them out with an index plate.
        offset_mm: of the axis.
        grooves: through both poles; 0 for none.
        groove_mm: their width along the sphere.
        groove_shown: the same as printed, ``(over, under)`` in mm and in inches.
        groove: how they are cut.
        least_land_mm: between them.
        clearance_mm: from a rim to the groove being cut, along the ball.
        rings: from the top to the bottom.
        least_ring_mm: land beside them.
        bands: the opening as a seat sees it: latitude in degrees, width in mm.
    """

    title: str
    system: System
    bench: Grid
    own_mm: float
    own_section: list[tuple[int, int]]
    own_length: list[tuple[int, int]]
    own_depth: list[tuple[int, int]]
    square: bool
    truing_mm: float
    headstock_mm: float
    tailstock_mm: float
    partings: int
    parting_mm: float
    waste_shown: list[tuple[int, int]]
    slowest_rpm: float
    fastest_rpm: float
    marks: int
    plated: bool
    offset_mm: float
    grooves: int
    groove_mm: float
    groove_shown: list[tuple[int, int]]
    groove: Cutting
    least_land_mm: float
    clearance_mm: float
    rings: list[Circle]
    least_ring_mm: float
    bands: list[tuple[float, float]]


def said(metric: str, imperial: str, wanted: Wanted) -> str:
    """Two texts of one figure as a sentence has them."""
    first, second = (metric, imperial) if wanted.system is System.METRIC else (imperial, metric)
    return first if first == second else f"{first} ({second})"


def fine(mm: float, way: Direction, wanted: Wanted) -> str:
    """A length as finely as callipers read it, for a sentence."""
    metric, inch = (
        divided(mm, System.METRIC, FINE_GRID, way),
        divided(mm, System.IMPERIAL, FINE_GRID, way),
    )
    return said(
        length_text(metric[0], metric[1], System.METRIC),
        length_text(inch[0], inch[1], System.IMPERIAL),
        wanted,
    )


def typed_mm(over: int, under: int, system: System) -> float:
    """A typed length, ``over / under`` in the unit of ``system``, in mm."""
    if system is System.METRIC:
        return over / under
    return over * MM_PER_INCH.numerator / (under * MM_PER_INCH.denominator)


def shown(over: int, under: int, typed: System, system: System, bench: Grid) -> tuple[int, int]:
    """A typed length as printed in ``system``: untouched in its own, on the bench's step in the
    other."""
    if typed is system:
        return over, under
    return stepped(typed_mm(over, under, typed), system, bench, Direction.NEAREST)


def typed_figure(
    name: str, over: int, under: int, typed: System, bench: Grid
) -> tuple[str, str, str]:
    """A typed length in both systems."""
    metric = shown(over, under, typed, System.METRIC, bench)
    inch = shown(over, under, typed, System.IMPERIAL, bench)
    return (
        name,
        length_text(metric[0], metric[1], System.METRIC),
        length_text(inch[0], inch[1], System.IMPERIAL),
    )


def bench_figure(name: str, mm: float, way: Direction, bench: Grid) -> tuple[str, str, str]:
    """A length as it is set at the bench."""
    metric, inch = stepped(mm, System.METRIC, bench, way), stepped(mm, System.IMPERIAL, bench, way)
    return (
        name,
        length_text(metric[0], metric[1], System.METRIC),
        length_text(inch[0], inch[1], System.IMPERIAL),
    )


def first_figures(over: int, under: int, typed: System, bench: Grid) -> list[tuple[str, str, str]]:
    """Octagon side and set-in, which add up to the printed diameter."""
    set_in = set_in_mm(typed_mm(over, under, typed))
    metric = shown(over, under, typed, System.METRIC, bench)
    inch = shown(over, under, typed, System.IMPERIAL, bench)
    mine, side = first_marks(metric[0], metric[1], set_in, System.METRIC, bench)
    theirs, flat = first_marks(inch[0], inch[1], set_in, System.IMPERIAL, bench)
    return [
        (
            "sphere.octagon_side",
            length_text(side[0], side[1], System.METRIC),
            length_text(flat[0], flat[1], System.IMPERIAL),
        ),
        (
            "sphere.set_in",
            length_text(mine[0], mine[1], System.METRIC),
            length_text(theirs[0], theirs[1], System.IMPERIAL),
        ),
    ]


def is_own(diameter: float, wanted: Wanted) -> bool:
    """Whether a ball is as large as the design's own, whose blank is the design's own too."""
    return abs(diameter - wanted.own_mm) < SAME_PLACE_MM


def section_shown(diameter: float, wanted: Wanted) -> list[tuple[int, int]]:
    """What the blank is sawn to across, as printed in mm and in inches."""
    if is_own(diameter, wanted):
        return wanted.own_section
    side = square_section_mm(diameter, wanted.truing_mm)
    return [
        divided(side, System.METRIC, STOCK_GRID, Direction.UP),
        divided(side, System.IMPERIAL, STOCK_GRID, Direction.UP),
    ]


def printed_figure(name: str, both: list[tuple[int, int]]) -> tuple[str, str, str]:
    """A length that is given as it is printed, in mm and in inches."""
    metric, inch = both[0], both[1]
    return (
        name,
        length_text(metric[0], metric[1], System.METRIC),
        length_text(inch[0], inch[1], System.IMPERIAL),
    )


def land_figure(name: str, diameter: float, wanted: Wanted) -> tuple[str, str, str]:
    """The land between two grooves: what the printed width leaves of the printed strip."""
    metric = land_text(diameter, wanted.groove_shown[0], System.METRIC, wanted)
    return name, metric, land_text(diameter, wanted.groove_shown[1], System.IMPERIAL, wanted)


def land_text(diameter: float, width: tuple[int, int], system: System, wanted: Wanted) -> str:
    """The land in one system, of the width as that prints it."""
    strip = stepped(
        lobe_share_mm(diameter, wanted.grooves), system, wanted.bench, Direction.NEAREST
    )
    left = land_shown(land_mm(diameter, wanted), strip, width, system, wanted.bench)
    return length_text(left[0], left[1], system)


def fault(diameter: float, cut: Cutting) -> str:
    """Why a cutter does not make its groove on a ball of that size; nothing where it does."""
    return cut_fault(diameter, cut.cutter, cut.width_mm, cut.vee, cut.flare_mm, cut.rounded)


def depth_mm(diameter: float, cut: Cutting) -> float:
    """How deep a cutter goes that makes its groove on a ball of that size."""
    if cut.vee:
        return vee_depth_mm(diameter, cut.cutter, cut.width_mm)
    return cove_depth_mm(diameter, cut.cutter, cut.width_mm)


def depth_figure(name: str, diameter: float, wanted: Wanted) -> tuple[str, str, str]:
    """How deep the grooves come out."""
    if is_own(diameter, wanted):
        return printed_figure(name, wanted.own_depth)
    return bench_figure(name, depth_mm(diameter, wanted.groove), Direction.NEAREST, wanted.bench)


def length_figure(
    name: str, over: int, under: int, typed: System, wanted: Wanted
) -> tuple[str, str, str]:
    """The length of the blank, no less than its printed parts together."""
    if is_own(typed_mm(over, under, typed), wanted):
        return printed_figure(name, wanted.own_length)
    metric = length_of(over, under, typed, wanted.waste_shown[0], System.METRIC, wanted)
    inch = length_of(over, under, typed, wanted.waste_shown[1], System.IMPERIAL, wanted)
    return name, metric, inch


def length_of(
    over: int, under: int, typed: System, waste: tuple[int, int], system: System, wanted: Wanted
) -> str:
    """The length of the blank in one system, of the waste as that prints it."""
    long = blank_total_mm(
        typed_mm(over, under, typed),
        wanted.headstock_mm,
        wanted.tailstock_mm,
        wanted.partings,
        wanted.parting_mm,
    )
    ball = shown(over, under, typed, system, wanted.bench)
    parts = ball[0] * waste[1] + waste[0] * ball[1]
    sawn = with_parts(long, parts, ball[1] * waste[1], system, STOCK_GRID)
    return length_text(sawn[0], sawn[1], system)


def swing_mm(diameter: float, wanted: Wanted) -> float:
    """Largest swing of the blank that is sawn for a ball of ``diameter``, as the bench has it.

    Blanks are sawn to a printed size: the larger of the two, so that no reader's is larger.
    """
    both = section_shown(diameter, wanted)
    metric, inch = both[0], both[1]
    sawn = max(
        typed_mm(metric[0], metric[1], System.METRIC),
        typed_mm(inch[0], inch[1], System.IMPERIAL),
    )
    return square_blank_swing_mm(sawn) if wanted.square else sawn


def ceiling_figure(
    name: str, inch_rpm: float, swing: float, wanted: Wanted
) -> tuple[str, str, str]:
    """The least of rule, lathe and chuck, rounded down."""
    rpm = min(rim_limit_rpm(inch_rpm, swing), wanted.fastest_rpm)
    text = with_unit(number_text(in_tens(rpm), 0), "rpm")
    return name, text, text


def in_tens(rpm: float) -> int:
    """A speed as a dial shows it."""
    over, under = SPEED_STEP.numerator, SPEED_STEP.denominator
    return on_step(rpm * under / over, Direction.DOWN) * over


def figures(
    over: int, under: int, typed: System, plate: int, wanted: Wanted
) -> list[tuple[str, str, str]]:
    """Every figure for a ball of that size.

    Args: the diameter, ``over / under`` in the unit of ``typed``, from ``LEAST_MM`` to ``MOST_MM``;
    stops of the index plate, 0 for none.
    """
    bench = wanted.bench
    diameter = typed_mm(over, under, typed)
    out: list[tuple[str, str, str]] = [typed_figure("sphere.diameter", over, under, typed, bench)]
    out += first_figures(over, under, typed, bench)
    out += [
        bench_figure("sphere.second_mark", second_mark_mm(diameter), Direction.DOWN, bench),
        bench_figure("sphere.third_mark", third_mark_mm(diameter), Direction.DOWN, bench),
        bench_figure("sphere.end_limit_first", end_limit_mm(diameter, 8), Direction.DOWN, bench),
    ]
    if wanted.marks > 0:
        if plate > 0 and plate % wanted.marks == 0:
            stops = number_text(plate // wanted.marks, 0)
            out.append(("index.stops", stops, stops))
        chord = divider_setting_mm(diameter, wanted.marks)
        strip = strip_spacing_mm(diameter, wanted.marks)
        out.append(bench_figure("index.chord", chord, Direction.NEAREST, bench))
        out.append(bench_figure("index.strip", strip, Direction.NEAREST, bench))
    if wanted.grooves > 0 and land_mm(diameter, wanted) > 0:
        out.append(land_figure("grooves.land", diameter, wanted))
        if fault(diameter, wanted.groove) == "":
            out.append(depth_figure("grooves.depth", diameter, wanted))
    out.append(printed_figure("stock.section", section_shown(diameter, wanted)))
    out.append(length_figure("stock.length", over, under, typed, wanted))
    rough = swing_mm(diameter, wanted)
    out.append(ceiling_figure("speed.rough", RULES[Stage.ROUGH].inch_rpm, rough, wanted))
    if wanted.grooves > 0:
        moved = off_centre_swing_mm(diameter, wanted.offset_mm)
        limit = RULES[Stage.OFF_CENTRE].inch_rpm
        out.append(ceiling_figure("speed.off_centre", limit, moved, wanted))
    out += [
        ceiling_figure("speed.general", RULES[Stage.GENERAL].inch_rpm, diameter, wanted),
        ceiling_figure("speed.finish", RULES[Stage.FINISH].inch_rpm, diameter, wanted),
        ceiling_figure("speed.sanding", RULES[Stage.SANDING].inch_rpm, diameter, wanted),
    ]
    return out


def land_mm(diameter: float, wanted: Wanted) -> float:
    """Land between two grooves at the equator; nothing or less where they leave none."""
    return lobe_share_mm(diameter, wanted.grooves) - wanted.groove_mm


def seat_word(diameter: float, rim_mm: float, wanted: Wanted) -> str:
    """How the ball sits on a rim at the last groove: ``holds``, ``weak``, ``lost``, ``can tip``,
    ``too near`` (the tool has no room between rim and groove), ``reaches`` (the rim meets the
    groove) or ``falls`` (the ball falls through)."""
    if rim_mm >= diameter:
        return "falls"
    narrow = is_narrow(diameter, rim_mm)
    if wanted.grooves == 0:
        return "weak" if narrow else "holds"
    if rim_mm >= widest_rim_mm(diameter, wanted.groove_mm):
        return "reaches"
    if not keeps_clear(diameter, wanted.groove_mm, rim_mm, wanted.clearance_mm):
        return "too near"
    touching, gap, edge, room = seat_of(diameter, rim_mm, wanted)
    return verdict(touching, gap, min(edge, room), narrow)


def seat_of(diameter: float, rim_mm: float, wanted: Wanted) -> tuple[float, float, float, float]:
    """The figures of :func:`rim_left` at the last groove."""
    places = list(range(1, wanted.grooves))
    bands: list[tuple[float, float]] = []
    for one in wanted.rings:
        bands.append((latitude_deg(diameter, one), one.across_mm))
    for latitude, width in wanted.bands:
        bands.append((latitude, width))
    return rim_left(diameter, wanted.grooves, wanted.groove_mm, rim_mm, places, bands)


def latitude_deg(diameter: float, ring: Circle) -> float:
    """Where a ring comes to lie on a ball that it does not miss."""
    latitude = ring_latitude_deg(diameter, abs(ring.place_mm))
    return latitude if ring.place_mm >= 0 else -latitude


def is_on(diameter: float, ring: Circle) -> bool:
    """Whether a ball is so large that a ring does not miss it."""
    return 2 * abs(ring.place_mm) < diameter


def has_seats(diameter: float, wanted: Wanted) -> bool:
    """Whether ball, grooves and rings are such that rims can be tried."""
    missed = [one for one in wanted.rings if not is_on(diameter, one)]
    return len(missed) == 0 and (wanted.grooves == 0 or land_mm(diameter, wanted) > 0)


def ring_words(ring: Circle, wanted: Wanted) -> str:
    """What a ring is called in a sentence."""
    if ring.place_mm == 0:
        return tr("the ring on the equator")
    place = fine(abs(ring.place_mm), Direction.NEAREST, wanted)
    return tr("the ring {place} from the equator", place=place)


def against_cut(whose: str, diameter: float, cut: Cutting, wanted: Wanted) -> list[str]:
    """Why a cutter does not make ``whose`` groove on a ball of that size; nothing where it does."""
    ball = fine(diameter, Direction.NEAREST, wanted)
    word = fault(diameter, cut)
    if word == "middle":
        return [
            tr("{whose}: the cutter reaches the middle of a ball of {ball}", whose=whose, ball=ball)
        ]
    if word != "":
        return [tr("{whose}: the cutter makes none on a ball of {ball}", whose=whose, ball=ball)]
    if depth_off(diameter, cut, cut.typed_mm) <= FAR_PART:
        return []
    return [
        tr(
            "{told}: more than {most} off is another groove",
            told=other_depth(whose, diameter, cut, cut.typed_mm, wanted),
            most=with_unit(number_text(on_step(FAR_PART * 100, Direction.NEAREST), 0), "%"),
        )
    ]


def mind_cut(whose: str, diameter: float, cut: Cutting, wanted: Wanted) -> list[str]:
    """What to mind of a groove that a cutter makes, if only much deeper or shallower."""
    if fault(diameter, cut) != "" or depth_off(diameter, cut, cut.deep_mm) <= TOLD_PART:
        return []
    return [other_depth(whose, diameter, cut, cut.deep_mm, wanted)]


def depth_off(diameter: float, cut: Cutting, due: float) -> float:
    """By what part a groove comes out deeper or shallower than it should, ``due`` mm."""
    return abs(depth_mm(diameter, cut) - due) / due


def other_depth(whose: str, diameter: float, cut: Cutting, due: float, wanted: Wanted) -> str:
    """How deep a groove comes out, where that is not the depth that it should have, mm."""
    return tr(
        "{whose}: {deep} deep on a ball of {ball}, not {own}",
        whose=whose,
        deep=fine(depth_mm(diameter, cut), Direction.NEAREST, wanted),
        ball=fine(diameter, Direction.NEAREST, wanted),
        own=fine(due, Direction.NEAREST, wanted),
    )


def against_rings(diameter: float, wanted: Wanted) -> list[str]:
    """Why the rings do not go on a ball of that size: the first of them that does not."""
    ball = fine(diameter, Direction.NEAREST, wanted)
    above = diameter * math.pi
    for one in wanted.rings:
        words = ring_words(one, wanted)
        if not is_on(diameter, one):
            return [tr("{ring} misses a ball of {ball}", ring=words, ball=ball)]
        cut = against_cut(words, diameter, one.cut, wanted)
        if len(cut) > 0:
            return cut
        along = math.radians(latitude_deg(diameter, one)) * diameter / 2
        mouth = math.acos(min(1.0, one.hole_mm / diameter)) * diameter / 2
        left = min(mouth - abs(along), above - along) - one.across_mm / 2
        above = along - one.across_mm / 2
        if left < 0:
            return [tr("{ring} has no room on a ball of {ball}", ring=words, ball=ball)]
        if left < wanted.least_ring_mm - SAME_PLACE_MM:
            return [
                tr(
                    "{ring} has {left} of land beside it, less than the {limit} it needs",
                    ring=words,
                    left=fine(left, Direction.DOWN, wanted),
                    limit=fine(wanted.least_ring_mm, Direction.NEAREST, wanted),
                )
            ]
    return []


def mind_rings(diameter: float, wanted: Wanted) -> list[str]:
    """What to mind of rings that go on a ball of that size."""
    out: list[str] = []
    for one in wanted.rings:
        # a ring and its like on the other half are told once
        above = [ring for ring in wanted.rings if ring.place_mm == -one.place_mm]
        if one.place_mm >= 0 or len(above) == 0:
            words = ring_words(one, wanted)
            out += mind_cut(words, diameter, one.cut, wanted)
            latitude = abs(latitude_deg(diameter, one))
            if wanted.grooves > 0 and latitude >= merge_latitude_deg(
                diameter, wanted.grooves, wanted.groove_mm
            ):
                out.append(
                    tr("{ring} lies where the grooves have run into one another", ring=words)
                )
    return out


def mind_core(diameter: float, wanted: Wanted) -> list[str]:
    """That little of the ball is left where the grooves have been cut; nothing where enough is."""
    deep = depth_mm(diameter, wanted.groove)
    if deep <= DEEPEST_PART * diameter + SAME_PLACE_MM:
        return []
    core = fine(diameter - 2 * deep, Direction.DOWN, wanted)
    return [
        tr(
            "its grooves leave a core of {core}, less than half of the ball (ours): cut lightly "
            "and never under load at the poles",
            core=core,
        )
    ]


def against_grooves(diameter: float, wanted: Wanted) -> list[str]:
    """Why the grooves do not go on a ball of that size; nothing where they do."""
    land, least = land_mm(diameter, wanted), wanted.least_land_mm
    width = fine(wanted.groove_mm, Direction.NEAREST, wanted)
    ball = fine(diameter, Direction.NEAREST, wanted)
    if land <= 0:
        return [
            tr(
                "{grooves} grooves of {width} leave no land on a ball of {ball}",
                grooves=wanted.grooves,
                width=width,
                ball=ball,
            )
        ]
    if land < least - SAME_PLACE_MM:
        left = fine(land, Direction.DOWN, wanted)
        limit = fine(least, Direction.NEAREST, wanted)
        return [
            tr(
                "the land between two grooves of {width} is {left}, less than the {limit} it needs",
                width=width,
                left=left,
                limit=limit,
            )
        ]
    return against_cut(tr("the grooves"), diameter, wanted.groove, wanted)


def against_rim(diameter: float, rim: str, rim_mm: float, wanted: Wanted) -> list[str]:
    """Why a rim does not hold the ball; nothing where it does, if only weakly."""
    word = seat_word(diameter, rim_mm, wanted)
    if word == "falls":
        ball = fine(diameter, Direction.NEAREST, wanted)
        return [tr("a ball of {ball} falls through a rim of {rim}", ball=ball, rim=rim)]
    if word == "reaches":
        widest = fine(widest_rim_mm(diameter, wanted.groove_mm), Direction.DOWN, wanted)
        return [
            tr(
                "a rim of {rim} reaches the groove to be cut: it must be below {widest}",
                rim=rim,
                widest=widest,
            )
        ]
    if word == "too near":
        clear = fine(rim_clear_mm(diameter, wanted.groove_mm, rim_mm), Direction.DOWN, wanted)
        least = fine(wanted.clearance_mm, Direction.NEAREST, wanted)
        return [
            tr(
                "a rim of {rim} lies only {clear} from the groove to be cut, where the tool needs "
                "{least}",
                rim=rim,
                clear=clear,
                least=least,
            )
        ]
    if word == "lost":
        held = seat_figures(diameter, rim_mm, wanted)
        return [tr("a rim of {rim} holds nothing at the last groove: {held}", rim=rim, held=held)]
    if word == "can tip":
        held = seat_figures(diameter, rim_mm, wanted)
        return [
            tr("on a rim of {rim} the ball can tip at the last groove: {held}", rim=rim, held=held)
        ]
    return []


def mind_rim(diameter: float, rim: str, rim_mm: float, wanted: Wanted) -> list[str]:
    """What to mind of a rim that holds the ball, if only weakly."""
    if seat_word(diameter, rim_mm, wanted) != "weak":
        return []
    if is_narrow(diameter, rim_mm):
        least = fine(LEAST_RIM_PART * diameter, Direction.UP, wanted)
        part = with_unit(number_text(on_step(LEAST_RIM_PART * 100, Direction.NEAREST), 0), "%")
        return [
            tr(
                "a rim of {rim} holds it weakly: it is below {least}, {part} of the ball (ours)",
                rim=rim,
                least=least,
                part=part,
            )
        ]
    held = seat_figures(diameter, rim_mm, wanted)
    return [tr("a rim of {rim} holds it weakly at the last groove: {held}", rim=rim, held=held)]


def seat_figures(diameter: float, rim_mm: float, wanted: Wanted) -> str:
    """What touches of a rim, in words."""
    touching, gap, edge, room = seat_of(diameter, rim_mm, wanted)
    left = with_unit(number_text(on_step(touching * 100, Direction.DOWN), 0), "%")
    empty = with_unit(number_text(on_step(gap, Direction.UP), 0), "°")
    near = with_unit(number_text(on_step(min(edge, room), Direction.DOWN), 0), "°")
    return tr(
        "{left} of it touches, with a gap of {empty} and a groove's edge {near} away",
        left=left,
        empty=empty,
        near=near,
    )


def slow_lathe(diameter: float, wanted: Wanted) -> list[str]:
    """What the viewer's lathe must be able to, where the film's is not; nothing where it is.

    It is no reason against the blank: nobody has asked how slowly the viewer's own lathe runs.
    """
    limit = rim_limit_rpm(RULES[Stage.ROUGH].inch_rpm, swing_mm(diameter, wanted))
    # the printed ceiling is the one that a turner reads
    if in_tens(limit) >= wanted.slowest_rpm:
        return []
    most = with_unit(number_text(in_tens(limit), 0), "rpm")
    slowest = with_unit(number_text(wanted.slowest_rpm, 0), "rpm")
    return [
        tr(
            "its blank may turn at {most} at most while rough: your lathe has to run so slowly; "
            "the one in the film runs no slower than {slowest}",
            most=most,
            slowest=slowest,
        )
    ]


def against_plate(plate: int, wanted: Wanted) -> list[str]:
    """Why the index plate does not serve; nothing where it does.

    It is a reason against the blank where the film's own marks need a plate; elsewhere they can be
    set out as in the film.
    """
    if plate % wanted.marks == 0:
        return []
    serving = [str(one) for one in COMMON_PLATES if one % wanted.marks == 0]
    others = (
        tr("; plates that would serve: {serving}", serving=", ".join(serving))
        if len(serving) > 0
        else ""
    )
    if not wanted.plated:
        others += tr("; the marks in the film are set out without a plate")
    return [
        tr(
            "a plate of {plate} stops has none at each of {marks} marks{others}",
            plate=plate,
            marks=wanted.marks,
            others=others,
        )
    ]


def out_of_range(diameter: float, rim_mm: float, wanted: Wanted) -> str:
    """What sizes there may be, where no ball or rim has this one; a rim of 0 is not asked about."""
    if diameter < LEAST_MM or diameter > MOST_MM:
        least = fine(LEAST_MM, Direction.NEAREST, wanted)
        most = fine(MOST_MM, Direction.NEAREST, wanted)
        return tr("These figures are for balls from {least} to {most}.", least=least, most=most)
    if rim_mm > 0 and (rim_mm < LEAST_RIM_MM or rim_mm > MOST_RIM_MM):
        least = fine(LEAST_RIM_MM, Direction.NEAREST, wanted)
        most = fine(MOST_RIM_MM, Direction.NEAREST, wanted)
        return tr("These figures are for rims from {least} to {most}.", least=least, most=most)
    return ""


def answer(
    blank: tuple[int, int],
    typed: System,
    rim: tuple[int, int],
    rim_typed: System,
    plate: int,
    wanted: Wanted,
) -> tuple[list[tuple[str, str, str]], list[str], list[str]]:
    """Everything for a viewer's own blank: figures, why it does not fit, what to mind.

    Args: the blank's diameter once it is round, and the chuck's rim, each ``(over, under)`` in the
    unit of the system behind it; a rim of ``(0, 1)`` and a plate of 0 are not asked about. A size
    that no design or chuck may have gives no figures, no reason, and what sizes there may be.
    """
    none: list[tuple[str, str, str]] = []
    diameter = typed_mm(blank[0], blank[1], typed)
    beyond = out_of_range(diameter, typed_mm(rim[0], rim[1], rim_typed), wanted)
    if beyond != "":
        return none, [], [beyond]
    reasons = against_rings(diameter, wanted)
    mind = slow_lathe(diameter, wanted)
    if wanted.grooves > 0:
        reasons += against_grooves(diameter, wanted)
    if len(reasons) == 0:
        if wanted.grooves > 0:
            mind += mind_cut(tr("the grooves"), diameter, wanted.groove, wanted)
            mind += mind_core(diameter, wanted)
        mind += mind_rings(diameter, wanted)
    if rim[0] > 0 and has_seats(diameter, wanted):
        shown_rim = typed_figure("rim", rim[0], rim[1], rim_typed, wanted.bench)
        text = said(shown_rim[1], shown_rim[2], wanted)
        rim_mm = typed_mm(rim[0], rim[1], rim_typed)
        reasons += against_rim(diameter, text, rim_mm, wanted)
        mind += mind_rim(diameter, text, rim_mm, wanted)
    if plate > 0 and wanted.marks > 0:
        if wanted.plated:
            reasons += against_plate(plate, wanted)
        else:
            mind += against_plate(plate, wanted)
    return figures(blank[0], blank[1], typed, plate, wanted), reasons, mind


def judged(figures: list[tuple[str, str, str]], reasons: list[str], mind: list[str]) -> str:
    """The answer in a sentence."""
    if len(figures) == 0:
        return "".join(mind)
    if len(reasons) > 0:
        return tr("It does not fit, because {reasons}.", reasons=tr("; and ").join(reasons))
    if len(mind) > 0:
        return tr("It fits, but mind: {mind}.", mind="; ".join(mind))
    return tr("It fits.")


def told(name: str, figures: list[tuple[str, str, str]], wanted: Wanted) -> str:
    """One of the figures as a sentence has it."""
    found = ""
    for one, metric, imperial in figures:
        if one == name:
            found = said(metric, imperial, wanted)
    return found


def worth_showing(
    figures: list[tuple[str, str, str]], reasons: list[str]
) -> list[tuple[str, str, str]]:
    """The figures that are told with an answer: nobody saws wood for what does not fit."""
    return [one for one in figures if len(reasons) == 0 or one[0] not in SAWN]


def reply(
    figures: list[tuple[str, str, str]], reasons: list[str], mind: list[str], wanted: Wanted
) -> str:
    """A paragraph to paste under a viewer's question."""
    if len(figures) == 0:
        return judged(figures, reasons, mind)
    ball = told("sphere.diameter", figures, wanted)
    if len(reasons) > 0:
        return tr(
            "“{title}” with a ball of {ball}. {judged} Only the ball was looked at.",
            title=wanted.title,
            ball=ball,
            judged=judged(figures, reasons, mind),
        )
    side = told("sphere.octagon_side", figures, wanted)
    set_in = told("sphere.set_in", figures, wanted)
    second = told("sphere.second_mark", figures, wanted)
    section = told("stock.section", figures, wanted)
    long = told("stock.length", figures, wanted)
    rough = told("speed.rough", figures, wanted)
    round_rpm = told("speed.general", figures, wanted)
    shape = tr("square") if wanted.square else tr("across")
    return tr(
        "“{title}” with a ball of {ball}. {judged} Saw the blank {section} "
        "{shape} and {long} long. Octagon side {side}, set-in from each corner {set_in}, second "
        "mark {second}. At most {rough} while roughing and {round_rpm} once round; the manuals of "
        "your lathe and chuck come before any figure here. Only the ball was looked at.",
        title=wanted.title,
        ball=ball,
        judged=judged(figures, reasons, mind),
        section=section,
        shape=shape,
        long=long,
        side=side,
        set_in=set_in,
        second=second,
        rough=rough,
        round_rpm=round_rpm,
    )


@dataclass(frozen=True, slots=True)
class Row:
    """A common blank.

    Attributes:
        blank: its diameter, as a figure.
        figures: for it.
        rims: the word for each rim of the box (see :func:`seat_word`); none where its grooves
            leave no land.
        reasons: why it does not fit, rims aside.
    """

    blank: Figure
    figures: tuple[Figure, ...]
    rims: tuple[str, ...]
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SizeBox:
    """What a page needs to answer for a viewer's own blank.

    Attributes:
        wanted: what the design asks for besides its size.
        blank: the design's own diameter, ``(over, under)`` in the unit of ``typed``.
        typed: the system that it is typed in.
        plate: the design's own index plate; 0 for none.
        own: the figures for the design's own size.
        reasons, mind: why that would not fit, and what to mind.
        rims: of the chuck, as figures; none without grooves.
        rows: common blanks.
        reply: the paragraph to paste, for the design's own size.
    """

    wanted: Wanted
    blank: tuple[int, int]
    typed: System
    plate: int
    own: tuple[Figure, ...]
    reasons: tuple[str, ...]
    mind: tuple[str, ...]
    rims: tuple[Figure, ...]
    rows: tuple[Row, ...]
    reply: str

    def titled(self, title: str) -> SizeBox:
        """The same box under a design's title, which its reply names."""
        wanted = replace(self.wanted, title=title)
        words = reply(list(self.own), list(self.reasons), list(self.mind), wanted)
        return replace(self, wanted=wanted, reply=words)


def add_box(sheet: Sheet, design: Design) -> SizeBox | None:
    """The box of a design whose sheet is whole; None where there is no ball."""
    if sheet.globe is None:
        return None
    lathe, chuck = design.workshop.lathe, design.workshop.chuck
    section, indexing, grooves = design.stock, design.indexing, design.grooves
    globe, plate = sheet.globe, sheet.by_name("index.plate")
    own, _ = turned_diameter(design)
    allowance = section.allowance
    waste = sheet.printed_sum(wasted(allowance))
    wide = groove_as_printed(sheet)
    wanted = Wanted(
        title="",
        system=sheet.first,
        bench=Grid.of(sheet.bench),
        own_mm=float(own.mm),
        own_section=_printed(sheet, "stock.section"),
        own_length=_printed(sheet, "stock.length"),
        own_depth=_printed(sheet, "grooves.depth"),
        square=section.blank == "square",
        truing_mm=float(section.truing.mm),
        headstock_mm=float(section.allowance.headstock.mm),
        tailstock_mm=float(section.allowance.tailstock.mm),
        partings=section.allowance.partings,
        parting_mm=float(section.allowance.parting.mm),
        waste_shown=[waste[system].as_integer_ratio() for system in System],
        slowest_rpm=lathe.slowest,
        fastest_rpm=min(lathe.fastest, chuck.fastest or lathe.fastest),
        marks=indexing.marks if indexing is not None else 0,
        plated=plate is not None,
        offset_mm=float(indexing.offset.mm) if indexing is not None else 0.0,
        grooves=globe.grooves,
        groove_mm=globe.section.width_mm if globe.section is not None else 0.0,
        groove_shown=[wide[system].as_integer_ratio() for system in System],
        groove=_cutting(design, grooves, globe.diameter_mm) if grooves is not None else NO_CUT,
        least_land_mm=float(grooves.least_land.mm) if grooves is not None else 0.0,
        clearance_mm=float(chuck.clearance.mm),
        rings=_circles(design, globe.diameter_mm),
        least_ring_mm=max((float(one.least_land.mm) for one in design.rings), default=0.0),
        bands=list(sheet.opened_before_grooves),
    )
    return size_box(wanted, own, round(plate.value) if plate is not None else 0, chuck.rims)


NO_CUT = Cutting(
    vee=False, cutter=1.0, width_mm=1.0, flare_mm=0.0, rounded=False, deep_mm=1.0, typed_mm=1.0
)
"""Stands for the grooves of a ball that has none."""


def _cutting(design: Design, cut: Cut, diameter: float) -> Cutting:
    """How a groove or ring of a design without a fault is cut."""
    made = snapped(design, cut, diameter, cut.keep)
    return Cutting(
        vee=isinstance(made, SnappedVee),
        cutter=made.cutter.angle_deg if isinstance(made, SnappedVee) else made.cutter.radius_mm,
        width_mm=made.width_mm,
        flare_mm=float(cut.flare.mm) if cut.flare is not None else 0.0,
        rounded=cut.edge == "rounded",
        deep_mm=made.depth_mm,
        typed_mm=float(cut.depth.mm),
    )


def _circles(design: Design, diameter: float) -> list[Circle]:
    """Every ring of the design on its half, from the top to the bottom."""
    holes = holes_of(design)
    found = []
    for ring in design.rings:
        cut = _cutting(design, ring, diameter)
        for side in sides_of(ring):
            found.append(
                Circle(
                    place_mm=float(ring.place.mm) * (1 if side == "top" else -1),
                    across_mm=cut.width_mm + 2 * cut.flare_mm,
                    hole_mm=holes.get(f"{side}_hole_mm", 0.0),
                    cut=cut,
                )
            )
    return sorted(found, key=lambda one: -one.place_mm)


def _printed(sheet: Sheet, name: str) -> list[tuple[int, int]]:
    """A measurement as it is printed, ``(over, under)`` in mm and in inches."""
    one = sheet.by_name(name)
    both = sheet.printed_sum([(1, one)] if one is not None else [])
    return [both[system].as_integer_ratio() for system in System]


def size_box(wanted: Wanted, own: Length, plate: int, rims: Iterable[Length]) -> SizeBox:
    """The box of a design.

    Args: what it asks for; its own diameter; its index plate's stops, 0 for none; the rims to try,
    of which the common ones are taken where there are none.
    """
    tried = (tuple(rims) or COMMON_RIMS) if wanted.grooves else ()
    over, under = ratio(own)
    found, reasons, mind = answer((over, under), own.system, (0, 1), own.system, plate, wanted)
    return SizeBox(
        wanted=wanted,
        blank=(over, under),
        typed=own.system,
        plate=plate,
        own=tuple(found),
        reasons=tuple(reasons),
        mind=tuple(mind),
        rims=tuple(typed_figure("rim", *ratio(one), one.system, wanted.bench) for one in tried),
        rows=tuple(_row(one, tried, plate, wanted) for one in COMMON_BLANKS),
        reply=reply(found, reasons, mind, wanted),
    )


def ratio(length: Length) -> tuple[int, int]:
    """A typed length as ``(over, under)`` of its own unit."""
    own = length.mm if length.system is System.METRIC else length.mm / MM_PER_INCH
    return own.numerator, own.denominator


def _row(blank: Length, rims: Iterable[Length], plate: int, wanted: Wanted) -> Row:
    found, reasons, _ = answer(ratio(blank), blank.system, (0, 1), blank.system, plate, wanted)
    diameter = float(blank.mm)
    tried = rims if has_seats(diameter, wanted) else ()
    words = tuple(seat_word(diameter, float(rim.mm), wanted) for rim in tried)
    return Row(found[0], tuple(found), words, tuple(reasons))
