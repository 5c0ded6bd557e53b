"""Turned parts: their profiles, station tables, parting cuts and limits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from studio.compute.sheet import (
    FINEST_PRINTED,
    GEOMETRY,
    PRACTICE,
    SCALED_FROM,
    TYPED,
    WORKSHOP,
    Sheet,
)
from studio.compute.sphere import turned_diameter
from studio.design.document import Keys
from studio.design.rescale import AT_LEAST, Wanted
from studio.design.schema import Design, Part
from studio.design.schema import Element as Typed
from studio.language import inside, later, later_for, tr, tr_for
from studio.measure.measurement import Measurement, System
from studio.measure.rounding import (
    FINE,
    Direction,
    is_on_rule,
    length_in,
    number_reading,
    rule_reading,
)
from studio.measure.schedule import Schedule
from studio.measure.units import Length, mm_from
from studio.turning import bench, profile
from studio.turning.profile import JointKind, Profile, StationKind

_EVEN = {"straight": profile.straight, "fillet": profile.fillet, "tenon": profile.tenon}
_RATIO_STEP = Fraction(1, 10)

NEARLY_SMOOTH_DEG = 10.0
"""A corner flatter than this was meant to be none (ours)."""

TENON = "tenon"

later_for("profile", "straight", "fillet", "tenon", "taper", "bead", "cove", "ogee")
later_for("genitive", "straight", "fillet", "tenon", "taper", "bead", "cove", "ogee")
later_for("dative", "straight", "fillet", "tenon", "taper", "bead", "cove", "ogee")

POLES = ("top", "bottom")
"""Where a part stands that stands on no other one."""


@dataclass(frozen=True, slots=True)
class _Fault(Exception):
    """An element that cannot be made: at which key, what, and what to write."""

    key: str
    what: str
    write: str


@dataclass(frozen=True, slots=True)
class _TooShort(Exception):
    """A curve of ``long_mm`` that its diameters make ``least_mm`` long at the least."""

    shape: str
    long_mm: float
    least_mm: float


def part_label(name: str, part: Part) -> str:
    """What a part is called: its title, or its name as words."""
    return part.title or name.replace("_", " ").capitalize()


def part_inside(sheet: Sheet, name: str) -> str:
    """A part, whose figures are written down, as a sentence on a paper calls it."""
    title = sheet.by_name(f"{name}.title")
    assert title is not None
    return inside(title.text)


def base_part(design: Design) -> str | None:
    """The part made from ``stock:`` itself: what the others stand on, where there is no globe."""
    if design.form != "turned":
        return None
    return next((name for name, part in design.parts.items() if part.place in POLES), None)


def cylinder_mm(design: Design, name: str, thickest: float) -> float:
    """Diameter of the cylinder from which a part is sized, once its blank runs true.

    The base's is the stock's, as measured where that was done; another part's is its thickest place
    and what callipers leave there.
    """
    if name == base_part(design):
        return float(turned_diameter(design)[0].mm)
    return thickest + float(design.workshop.sizing.allowance.mm)


def profile_of(sheet: Sheet, name: str, part: Part, fit: float | None) -> Profile | None:
    """A part's profile; None with a problem noted at the element that cannot be made.

    Args:
        fit: diameter of a tenon that fits the part's hole, for one whose own is left out; None
            where the hole follows from the tenon.
    """
    elements = []
    for place, element in enumerate(part.profile):
        try:
            elements.append(_made(part.profile, place, fit))
        except _Fault as fault:
            keys = ("parts", name, "profile", place, fault.key)
            sheet.problem(*keys, what=fault.what, write=fault.write)
        except _TooShort as steep:
            least = sheet.fine(steep.least_mm, Direction.UP)
            sheet.problem(
                "parts", name, "profile", place, "length",
                what=f"{'an' if steep.shape == 'ogee' else 'a'} {steep.shape} of "
                f"{sheet.fine(steep.long_mm)} is too short for its diameters: its curve would "
                "turn back under itself",
                write=", or write diameters that differ less",
                wanted=Wanted(
                    sheet.fine(steep.long_mm), steep.long_mm, least, steep.least_mm, AT_LEAST
                ),
            )  # fmt: skip
        except ValueError as error:
            sheet.problem(
                "parts", name, "profile", place, "shape",
                what=sheet.told(error), write=f"change this {element.shape}'s sizes",
            )  # fmt: skip
    if len(elements) < len(part.profile):
        return None
    try:
        return Profile(tuple(elements))
    except ValueError as error:
        write = "write a diameter greater than nothing there"
        sheet.problem("parts", name, "profile", what=sheet.told(error), write=write)
        return None


def _made(all_of_it: tuple[Typed, ...], place: int, fit: float | None) -> profile.Element:
    one = all_of_it[place]
    length = float(one.length.mm)
    _refuse_strangers(one)
    if one.shape == TENON and place + 1 < len(all_of_it):
        raise _Fault(
            "shape",
            "a tenon that is not the last of its profile goes into no hole",
            "write straight, or move it to the joint end, which stands last",
        )
    if one.shape in _EVEN:
        if one.diameter is None and one.shape == TENON and fit is not None:
            return profile.tenon(length, fit)
        if one.diameter is None:
            raise _Fault("shape", f"a {one.shape} without a diameter", "write diameter: 8 mm")
        return _EVEN[one.shape](length, float(one.diameter.mm))
    start = one.start or (_end_of(all_of_it[place - 1]) if place else None)
    if start is None:
        raise _Fault(
            "shape",
            f"a {one.shape} whose first diameter nothing tells",
            "write start: 6 mm, its diameter at the tailstock end",
        )
    end = one.end or (_start_of(all_of_it[place + 1]) if place + 1 < len(all_of_it) else None)
    if end is None and one.shape in ("taper", "ogee"):
        raise _Fault(
            "shape",
            f"a {one.shape} whose last diameter nothing tells",
            "write end: 10 mm, its diameter at the headstock end",
        )
    first, last = float(start.mm), float((end or start).mm)
    if one.shape == "taper":
        return profile.taper(length, first, last)
    if one.shape == "ogee":
        curve = profile.Cyma[one.curve.upper()]
        return _curved(
            one,
            lambda: profile.ogee(length, first, last, curve),
            lambda: profile.least_ogee_mm(first, last),
        )
    key, middle = ("crown", one.crown) if one.shape == "bead" else ("throat", one.throat)
    if middle is None:
        raise _Fault("shape", f"a {one.shape} without its {key}", f"write {key}: 8 mm")
    made, across = profile.bead if one.shape == "bead" else profile.cove, float(middle.mm)
    return _curved(
        one,
        lambda: made(length, across, first, last),
        lambda: profile.least_curve_mm(across, first, last),
    )


def _curved(
    one: Typed, make: Callable[[], profile.Element], least: Callable[[], float]
) -> profile.Element:
    """A curve; where it cannot be made because it is too short, its least length is told."""
    try:
        return make()
    except ValueError:
        length, least_mm = float(one.length.mm), least()
        if length < least_mm:
            raise _TooShort(one.shape, length, least_mm) from None
        raise


_KEYS = {
    "straight": {"diameter"}, "fillet": {"diameter"}, "tenon": {"diameter"},
    "taper": {"start", "end"}, "ogee": {"start", "end"},
    "bead": {"start", "end", "crown"}, "cove": {"start", "end", "throat"},
}  # fmt: skip


def _refuse_strangers(one: Typed) -> None:
    """A diameter that this shape does not have would be left aside without a word."""
    for key in ("diameter", "start", "end", "crown", "throat"):
        if getattr(one, key) is not None and key not in _KEYS[one.shape]:
            known = ", ".join(sorted(_KEYS[one.shape]))
            raise _Fault(key, f"a {one.shape} has no {key}", f"a {one.shape} takes: {known}")


def _end_of(one: Typed) -> Length | None:
    return one.diameter if one.shape in _EVEN else one.end


def _start_of(one: Typed) -> Length | None:
    return one.diameter if one.shape in _EVEN else one.start


def _has_tenon(made: Profile) -> bool:
    return made.elements[-1].shape == TENON


def add_part(sheet: Sheet, design: Design, name: str, part: Part, made: Profile) -> None:
    """``NAME.*``: sizes, limits, stations and parting cuts of one part."""
    thickest = made.thickest_mm
    came = sheet.came(("parts", name, "profile"))
    sheet.words(f"{name}.title", "Part", part_label(name, part), formula="typed", source=TYPED)
    sheet.length(
        f"{name}.length",
        later("Length, tenon included") if _has_tenon(made) else later("Length"),
        made.length_mm,
        Direction.NEAREST,
        formula="all elements together",
        source=came.source,
    )
    sheet.length(
        f"{name}.thickest",
        "Thickest place",
        thickest,
        Direction.NEAREST,
        formula="largest diameter of the profile",
        source=came.source,
    )
    cylinder = _add_cylinder(sheet, design, name, thickest)
    _add_limits(sheet, design, name, part, made)
    _add_smoothness(sheet, name, made)
    if cylinder < thickest - profile.SAME_PLACE_MM:
        # told with the stock: nothing can be sized in wood that is not there
        return
    _add_stations(sheet, design, name, made, max(cylinder, thickest))
    _add_partings(sheet, design, name, made, max(cylinder, thickest))


def refuse_own_blank(sheet: Sheet, design: Design) -> None:
    """The base has no blank of its own: what is typed for one would be left aside silently."""
    name = base_part(design)
    if name is None:
        return
    for key in ("truing", "allowance", "moisture"):
        if key in design.parts[name].model_fields_set:
            sheet.problem(
                "parts",
                name,
                key,
                what=f"{name} is turned from stock: itself, and has no blank of its own",
                write=f"write {key}: under stock:",
            )


def _add_cylinder(sheet: Sheet, design: Design, name: str, thickest: float) -> float:
    """Write down the cylinder that depths are counted from; its diameter in mm."""
    cylinder = cylinder_mm(design, name, thickest)
    label = later("Its cylinder, once the blank runs true")
    if name != base_part(design):
        sheet.length(
            f"{name}.cylinder",
            label,
            cylinder,
            Direction.UP,
            formula="thickest place + what callipers leave",
            source=PRACTICE,
        )
        return cylinder
    typed, at = turned_diameter(design)
    sheet.typed(f"{name}.cylinder", label, typed, at=at)
    wanted = thickest + float(design.workshop.sizing.allowance.mm)
    if thickest - profile.SAME_PLACE_MM <= cylinder < wanted - profile.SAME_PLACE_MM:
        sheet.warnings.append(
            f"{name}: the cylinder of {sheet.as_typed(typed)} leaves less than "
            f"{sheet.as_typed(design.workshop.sizing.allowance)} for the finishing cut on the "
            f"thickest place of {sheet.fine(thickest)}: callipers are set to the cylinder there; "
            f"write stock: diameter: {sheet.fine(wanted, Direction.UP)} to have it"
        )
    return cylinder


def _add_limits(sheet: Sheet, design: Design, name: str, part: Part, made: Profile) -> None:
    found = bench.necks(made)
    if found:
        thinnest = min(found, key=lambda neck: neck.diameter_mm)
        sheet.length(
            f"{name}.neck",
            later("Thinnest neck or tenon") if _has_tenon(made) else later("Thinnest neck"),
            thinnest.diameter_mm,
            Direction.NEAREST,
            formula="the least diameter between thicker places",
            source=GEOMETRY,
            where=tr(
                "in the {dative}", dative=tr_for("dative", made.elements[thinnest.element].shape)
            ),
        )
    least = float(part.least_neck.mm)
    at_least = sheet.at_least(part.least_neck)
    for neck in bench.thin_necks(made, least):
        thin, limit = sheet.short_of(neck.diameter_mm, part.least_neck)
        at = ("parts", name, "profile", neck.element)
        sheet.problem(
            *at,
            "shape",
            what=f"the neck of {thin} is thinner than {name}'s least neck of {limit}",
            write=f"{_larger(sheet, design, made, neck, at, least)}; "
            "least_neck: is the limit, if the wood and its use allow another",
            wanted=Wanted(
                thin,
                neck.diameter_mm,
                at_least,
                least,
                AT_LEAST,
            ),
        )
    run = bench.slenderest_run(made)
    sheet.number(
        f"{name}.slenderness",
        "Longest thin stretch over its thickness",
        run.ratio,
        "ratio",
        "",
        _RATIO_STEP,
        Direction.UP,
        formula="length / diameter of the stretch where that is largest",
        source=PRACTICE,
    )
    if run.slender:
        ratio = number_reading(run.ratio, "", _RATIO_STEP, Direction.UP).text
        sheet.warnings.append(
            f"{name}: {sheet.fine(run.end_mm - run.start_mm)} of it is nowhere thicker than "
            f"{sheet.fine(run.diameter_mm)}, {ratio} times its thickness: it whips; support it "
            "with a steady or a light tailstock, and finish it from the tailstock end before the "
            "wood behind it is thinned"
        )


def _larger(
    sheet: Sheet, design: Design, made: Profile, neck: bench.Neck, keys: Keys, least: float
) -> str:
    """The size of the whole at which a neck reaches its floor.

    Nothing for a tenon, which no size changes; without a globe for a scaled one alone, for one
    typed as it is says itself what to write.
    """
    scaled = sheet.came(keys).source == SCALED_FROM
    if made.elements[neck.element].shape == TENON or (design.form == "turned" and not scaled):
        return ""
    size = float(turned_diameter(design)[0].mm) * least / neck.diameter_mm
    return f", or scale the whole design to {sheet.fine(size, Direction.UP)} or more"


def _add_smoothness(sheet: Sheet, name: str, made: Profile) -> None:
    met = profile.joints(made)
    smooth = sum(joint.kind is JointKind.SMOOTH for joint in met)
    sheet.count(
        f"{name}.smooth",
        "Places where two elements meet without a corner",
        smooth,
        formula="corners under one degree, steps under a hundredth of a millimetre",
        source=later("elementary geometry; the limits are ours"),
    )
    shapes = [element.shape for element in made.elements]
    for joint, (before, after) in zip(met, pairwise(shapes), strict=True):
        corner = abs(joint.corner_deg)
        if joint.kind in (JointKind.RIDGE, JointKind.VALLEY) and corner < NEARLY_SMOOTH_DEG:
            angle = number_reading(corner, "°", _RATIO_STEP, Direction.NEAREST).text
            sheet.warnings.append(
                f"{name}: {before} and {after} meet {sheet.fine(joint.position_mm)} from the free "
                f"end at a corner of {angle}; change a diameter if they are to run into one another"
            )


def _station_words(made: Profile, station: bench.Station) -> str:
    named = str(made.elements[station.element].shape)
    shape, of_it = tr_for("profile", named), tr_for("genitive", named)
    kind = station.kind
    if kind is StationKind.CROWN:
        return tr("crown of the {genitive}", genitive=of_it)
    if kind is StationKind.THROAT:
        return tr("throat of the {genitive}", genitive=of_it)
    if kind is StationKind.MIDDLE:
        return tr("middle of the {genitive}", genitive=of_it)
    if kind is StationKind.END:
        free = not station.element and not station.position_mm
        return (
            tr("{shape}, free end", shape=shape) if free else tr("{shape}, joint end", shape=shape)
        )
    begins = kind is StationKind.JOINT and _begins(made, station)
    return tr("{shape} begins", shape=shape) if begins else shape


def _begins(made: Profile, station: bench.Station) -> bool:
    return abs(station.position_mm - made.starts_mm[station.element]) < profile.SAME_PLACE_MM


_BETWEEN = frozenset({StationKind.SPACING, StationKind.MIDDLE})
"""Stations at no end, joint, crown or throat, which a turner finds by eye: found by the rule."""


def _across_as_printed(
    made: Profile, station: bench.Station, where: Measurement
) -> dict[System, float]:
    """How thick the finished piece is where each system prints a station, mm.

    On a slope a place half a division off has another diameter, and callipers set for the exact
    one would cut into the finished form.
    """
    if station.kind not in _BETWEEN:
        return dict.fromkeys(System, station.diameter_mm)
    long = made.length_mm
    return {
        system: 2 * profile.radius_mm(made, min(at, long))
        for system, at in _printed_mm(where).items()
    }


def _add_stations(sheet: Sheet, design: Design, name: str, made: Profile, cylinder: float) -> None:
    sizing = design.workshop.sizing
    trued = sheet.by_name(f"{name}.cylinder")
    rows = []
    stations = bench.stations(made, float(sizing.spacing.mm), float(sizing.allowance.mm))
    for place, station in enumerate(stations):
        tail = f"_{place + 1}"
        start, end = made.starts_mm[station.element : station.element + 2]
        where = sheet.length(
            f"{name}.at{tail}",
            "Station, from the free end",
            station.position_mm,
            Direction.NEAREST,
            formula="at the workshop's spacing and at every change",
            source=GEOMETRY,
            where="from the free end, at the tailstock",
            within=(start, end) if station.kind in _BETWEEN else None,
        )
        across = _across_as_printed(made, station, where)
        sheet.length(
            f"{name}.diameter{tail}",
            "Finished diameter there",
            station.diameter_mm,
            Direction.NEAREST,
            formula="the element's line or arc, at the place as it is printed",
            source=GEOMETRY,
            by_system=across,
        )
        allowance = float(sizing.allowance.mm)
        sheet.length(
            f"{name}.setting{tail}",
            "Calliper setting there",
            min(station.setting_mm, cylinder),
            Direction.UP,
            formula="finished diameter + allowance, no more than the cylinder",
            source=WORKSHOP,
            most=trued,
            by_system={
                system: min(bench.calliper_setting_mm(one, allowance), cylinder)
                for system, one in across.items()
            },
        )
        sheet.words(
            f"{name}.shape{tail}",
            "What is there",
            _station_words(made, station),
            value=station.element,
            formula="the profile's elements",
            source=TYPED,
        )
        rows.append(tuple(f"{name}.{key}{tail}" for key in ("at", "diameter", "setting", "shape")))
    sheet.count(f"{name}.stations", "Stations", len(rows), formula="counted", source=GEOMETRY)
    sheet.schedules.append(
        Schedule(
            name=f"{name}.stations",
            heading=tr("Stations, from the free end at the tailstock"),
            columns=(
                tr("From the free end"),
                tr("Finished diameter"),
                tr("Callipers"),
                tr("What is there"),
            ),
            rows=tuple(rows),
            pencil=True,
            along_axis=True,
        )
    )


_CUT_WAYS = {
    bench.CutSide.START: Direction.UP,
    bench.CutSide.END: Direction.DOWN,
    bench.CutSide.MIDDLE: Direction.NEAREST,
}
"""Which way a cut's place is rounded: away from the wood beside its element."""

_HAIR_MM = 0.03
"""A place printed to a hundredth of a millimetre, or a thousandth of an inch, may put the tool's
edge so far beyond a shoulder (ours)."""


def _printed_mm(one: Measurement) -> dict[System, float]:
    """A length as each system prints it."""
    return {system: mm_from(system, one.reading(system).value) for system in System}


def _add_partings(sheet: Sheet, design: Design, name: str, made: Profile, cylinder: float) -> None:
    sizing = design.workshop.sizing
    tool, allowance = float(sizing.tool.mm), float(sizing.allowance.mm)
    trued = sheet.by_name(f"{name}.cylinder")
    cuts = bench.parting_cuts(made, cylinder, tool, allowance)
    # the cylinder itself is the setting at the thickest place, but for the last binary digit
    deep = [cut for cut in cuts if cut.depth_mm > profile.SAME_PLACE_MM]
    deep, last = _before_the_last(deep, float(design.parts[name].least_neck.mm) + allowance)
    rows: list[tuple[str, ...]] = []
    for cut in deep:
        tail = f"_{len(rows) + 1}"
        where = sheet.length(
            f"{name}.cut_at{tail}",
            "Parting cut, middle of the tool from the free end",
            cut.position_mm,
            _CUT_WAYS[cut.side],
            formula="crowns, throats and just inside the ends of the other elements",
            source=PRACTICE,
            within=(cut.from_mm, cut.to_mm),
        )
        # who cuts where it is printed must not come under the finished surface either
        at_printed = [
            bench.parting_setting_mm(made, at, max(tool - _HAIR_MM, tool / 2), allowance)
            for at in _printed_mm(where).values()
        ]
        stops = min(max([cut.setting_mm, *at_printed]), cylinder)
        setting = sheet.length(
            f"{name}.cut_setting{tail}",
            "Callipers for that cut",
            stops,
            Direction.UP,
            formula="thickest finished wood under the tool, where it is printed, + allowance",
            source=GEOMETRY,
            most=trued,
        )
        assert trued is not None
        if setting.reading(sheet.first).value >= trued.reading(sheet.first).value:
            # callipers set to the cylinder cut nothing
            sheet.made = [one for one in sheet.made if one not in (where, setting)]
            continue
        _add_cut_depth(
            sheet,
            f"{name}.cut_depth{tail}",
            bench.parting_depth_mm(cylinder, stops),
            trued,
            setting,
        )
        keys = ("cut_at", "cut_setting", "cut_depth")
        rows.append(tuple(f"{name}.{key}{tail}" for key in keys))
    if rows and trued is not None:
        sheet.schedules.append(
            Schedule(
                name=f"{name}.partings",
                heading=tr("Parting cuts, in order from the tailstock"),
                columns=(tr("From the free end"), tr("Callipers"), tr("Depth")),
                rows=tuple(rows),
                notes=(
                    tr("Depths count from a cylinder of {size}.", size=trued.marked_both()),
                    tr(
                        "From the tailstock towards the headstock, so that the wood that drives "
                        "is still thick. What is left towards the tailstock is thin from the first "
                        "cuts on: bring the centre up lightly, and take it away before that end is "
                        "finished (common practice, no source)."
                    ),
                    *([_stretch_by_stretch()] if bench.slenderest_run(made).slender else []),
                    *([_left_for_the_end()] if last else []),
                ),
                pencil=True,
                along_axis=True,
            )
        )


def _stretch_by_stretch() -> str:
    """What agrees with the caution about slender work, whose thin places come first here."""
    return tr(
        "This part is slender: make these cuts one stretch at a time, and finish what lies towards "
        "the tailstock before the next cut thins the wood behind it (common practice, no source)."
    )


def _left_for_the_end() -> str:
    return tr(
        "No cut stands here for the headstock's end, where the piece is too thin to be driven "
        "through: leave it thick until all else is finished, then turn it down and part it off."
    )


def _before_the_last(
    cuts: list[bench.PartingCut], least_mm: float
) -> tuple[list[bench.PartingCut], bool]:
    """The cuts that come before all else is shaped, and whether others are left for the end.

    One at the headstock's end that goes in to less than a neck may have would leave the whole
    piece to be shaped on that. ``least_mm`` is the setting there.
    """
    kept = list(cuts)
    while kept and kept[-1].setting_mm < least_mm - profile.SAME_PLACE_MM:
        kept.pop()
    return kept, len(kept) < len(cuts)


def _add_cut_depth(
    sheet: Sheet, name: str, mm: float, trued: Measurement, setting: Measurement
) -> None:
    """Half of what the printed callipers leave of the printed cylinder, so that the two agree."""
    readings = {}
    for system, twice in sheet.printed_sum([(1, trued), (-1, setting)]).items():
        half = twice / 2
        shown = rule_reading(mm_from(system, float(half)), system, sheet.bench, Direction.DOWN)
        printed = Fraction(shown.value).limit_denominator(FINEST_PRINTED)
        # a half that the rule shows is not told in decimals
        if system is System.IMPERIAL and is_on_rule(half, system):
            printed = half if not is_on_rule(printed, system) else printed
        readings[system] = length_in(printed, system, mm)
    sheet.add(
        name,
        "Depth of that cut from the trued cylinder",
        mm,
        "mm",
        readings,
        rule=tr(
            "from cylinder and callipers as printed, {rule}", rule=sheet.bench.rule(Direction.DOWN)
        ),
        formula="(cylinder − callipers) / 2",
        source=GEOMETRY,
    )


def add_profile(sheet: Sheet, design: Design) -> None:
    """``profile.*``: what all turned parts share; nothing without parts."""
    if not design.parts:
        return
    sizing = design.workshop.sizing
    counts = [one.value for one in sheet.made if one.name.endswith(".stations")]
    sheet.count("profile.parts", "Turned parts", len(design.parts), formula="counted", source=TYPED)
    sheet.count(
        "profile.stations",
        "Stations in all, at every change and between",
        round(sum(counts)),
        formula="counted over every part",
        source=GEOMETRY,
    )
    for key, label, typed, steps in (
        ("spacing", later("From station to station"), sizing.spacing, None),
        ("allowance", later("What callipers leave on the diameter"), sizing.allowance, FINE),
        ("tool", later("Width of the parting tool"), sizing.tool, None),
    ):
        at = ("workshop", "sizing", key)
        sheet.typed(f"profile.{key}", label, typed, at=at, steps=steps)
