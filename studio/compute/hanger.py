"""The hanger: wire, bundle and the real drill that lets it in."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.assembly import outermost, ring_is_clear
from studio.compute.boring import add_drill, chosen
from studio.compute.sheet import GEOMETRY, PRACTICE, TYPED, Sheet
from studio.design.schema import Design
from studio.measure.measurement import Measurement, Reading, System
from studio.measure.rounding import FINE, Direction, length_in, length_reading, typed_length
from studio.measure.units import Length
from studio.turning import assembly, hanger, wire
from studio.turning.hanger import Bundle
from studio.turning.piece import Bore, PlacedPart
from studio.turning.profile import SAME_PLACE_MM

THINNEST_MM = 0.1
THICKEST_MM = 3.0
"""Wire that a hand can twist into a hanger (ours)."""

LEAST_BEYOND_MM = 3.0
"""Least wood beyond the end of the hanger's hole (ours)."""

SHALLOWEST_MM = 3.0
"""A shallower hole holds no wire, so none is advised (ours)."""

_CALLIPERS = 0.05
"""Callipers squeeze a bundle by this part at most (ours)."""

_TAKE_UP_STEP = Fraction(1, 1000)
_TURNS_STEP = Fraction(1, 2)


def add_hanger(sheet: Sheet, design: Design) -> None:
    """``hanger.*``, when the piece hangs on a wire."""
    section = design.hanger
    if section is None:
        for key in ("wire", "bundle"):
            if getattr(design.as_measured, key) is not None:
                write = "write the hanger: too, or leave this out"
                sheet.problem("as_measured", key, what="the design has no hanger", write=write)
        return
    thickness = _add_wire(sheet, design)
    if thickness is None:
        return
    sheet.count(
        "hanger.strands", "Strands in the hole", section.strands, formula="typed", source=TYPED
    )
    if section.pitch is not None:
        sheet.typed("hanger.pitch", "One full twist in", section.pitch)
    made = _add_bundle(sheet, design, thickness)
    if made is None:
        return
    twist, bundle = made
    sheet.typed("hanger.clearance", "Play between bundle and hole", section.clearance, steps=FINE)
    sheet.typed("hanger.depth", "Depth of the hole", section.hole_depth)
    drills = chosen(sheet, bundle.value, float(section.clearance.mm), "a bundle", "hanger", "wire")
    if drills is None:
        return
    drill = add_drill(
        sheet, "hanger.drill", "Drill for the hanger", drills, "bundle + play, chosen up"
    )
    _add_cut(sheet, design, thickness, twist)
    if len(sheet.parts) == len(design.parts):
        # what stands on top is not known while a part cannot be made
        _add_hole(sheet, design, drill.value)
    least = hanger.least_hole_depth_mm(bundle.value)
    if float(section.hole_depth.mm) < least:
        depth = sheet.fine(least, Direction.UP)
        sheet.warnings.append(
            f"hanger: a hole {section.hole_depth.typed} deep holds little glue round a bundle of "
            f"{bundle.text}: drill at least {depth} (ours), and pull hard on it before it hangs "
            "over anything"
        )


def _add_cut(sheet: Sheet, design: Design, thickness: float, twist: Bundle) -> None:
    """The wire to cut: a loop round a rod, two legs twisted, and what the pliers hold."""
    section = design.hanger
    assert section is not None
    cable = float(section.reach.mm + section.hole_depth.mm)
    for key, label, typed in (
        ("loop", "Rod for the loop", section.loop),
        ("reach", "Twisted wire between loop and wood", section.reach),
        ("waste", "Held at each end and cut off", section.waste),
    ):
        sheet.typed(f"hanger.{key}", label, typed)
    reach, hole = sheet.by_name("hanger.reach"), sheet.by_name("hanger.depth")
    assert reach is not None
    assert hole is not None
    sheet.total(
        "hanger.cable",
        "Twisted wire in all",
        [(1, reach), (1, hole)],
        formula="reach + depth of the hole",
        source=GEOMETRY,
    )
    if section.pitch is not None:
        sheet.number(
            "hanger.turns",
            "Turns to twist",
            hanger.turns(cable, float(section.pitch.mm)),
            "count",
            "",
            _TURNS_STEP,
            Direction.UP,
            formula="length / pitch",
            source=GEOMETRY,
            where="brass hardens as it is worked: do not twist it further",
        )
    if section.strands == 1:
        # one wire is bent at its end and not twisted: nothing to fold
        return
    cut = hanger.wires_to_cut(
        section.strands,
        mandrel_diameter_mm=float(section.loop.mm),
        wire_diameter_mm=thickness,
        cable_length_mm=cable,
        takeup=twist.takeup,
        clamped_mm=float(section.waste.mm),
    )
    sheet.count(
        "hanger.wires",
        "Wires folded round the rod",
        cut.folded,
        formula="strands / 2, each folded wire makes two",
        source=GEOMETRY,
    )
    lengths = [("cut", "Wire to cut, for each folded one", cut.folded_mm,
                "loop + 2 × (twisted length × take-up + waste)")]  # fmt: skip
    if cut.single:
        lengths.append(("cut_single", "Wire to cut, for the one that is not folded",
                        cut.single_mm, "twisted length × take-up + 2 × waste"))  # fmt: skip
    made = [
        sheet.length(
            f"hanger.{key}",
            label,
            mm,
            Direction.UP,
            formula=formula,
            source=f"{GEOMETRY}; a whole turn for the loop is ours, on the long side",
        )
        for key, label, mm, formula in lengths
    ]
    sheet.total(
        "hanger.wire_total",
        "Wire in all",
        list(zip((cut.folded, cut.single), made, strict=False)),
        formula="all wires as cut, together",
        source=GEOMETRY,
    )


def _add_hole(sheet: Sheet, design: Design, drill: float) -> None:
    """The hole in the wood that stands highest: what it passes, and whether it comes out."""
    section = design.hanger
    assert section is not None
    depth = float(section.hole_depth.mm)
    part = outermost(sheet, up=True)
    if part is None:
        _add_core_hole(sheet, section.hole_depth, drill)
        return
    sheet.words(
        "hanger.in",
        "The hanger is glued into",
        f"the free end of {part.name}",
        formula="what stands highest",
        source=PRACTICE,
    )
    left = depth
    while part is not None and left > 0:
        end = min(left, part.shoulder_at_mm)
        # the far side of the shoulder's step is the tenon, which the wood round it holds
        within = end - SAME_PLACE_MM * 2
        thinnest, at = assembly.thinnest_round_bore_mm(part.profile, 0.0, within, drill)
        if thinnest < assembly.THINNEST_WALL_MM:
            above = depth - left
            sheet.problem(
                "hanger",
                "hole_depth",
                what=f"the hanger's hole leaves {sheet.fine(max(thinnest, 0.0))} of wood in "
                f"{part.name}, {sheet.fine(at)} from its free end",
                write=_thicker(sheet, part, drill, above),
            )
            return
        top = part.height_mm(0.0)
        sheet.bore(part.name, Bore(top - end, top, drill))
        left -= end
        part = outermost(sheet, up=True, below=part.name)
    if left <= 0:
        return
    if sheet.globe is not None and not sheet.globe.hollow_diameter_mm:
        _bore_core(sheet, left, section.hole_depth, drill)
        return
    sheet.problem(
        "hanger",
        "hole_depth",
        what=f"a hole {sheet.as_typed(section.hole_depth)} deep goes through what it is in",
        write=_shallower(sheet, depth - left),
    )


def _thicker(sheet: Sheet, part: PlacedPart, drill: float, above: float) -> str:
    """What leaves enough wood round the hanger's hole, which has come ``above`` mm down to a part.

    A twisted bundle is no thinner than its drill: how deep, or how thick the part must be.
    """
    least = assembly.THINNEST_WALL_MM
    deepest = above + assembly.deepest_bore_mm(part.profile, drill, least)
    across = sheet.fine(drill + 2 * least, Direction.UP)
    thicker = f"make {part.name} at least {across} across as far as the hole goes"
    kept = f"to leave {sheet.fine(least)} all round"
    if deepest < SHALLOWEST_MM:
        return f"take thinner wire or {thicker}, {kept}"
    return f"write {sheet.fine(deepest, Direction.DOWN)} at most, or {thicker}, {kept}"


def _add_core_hole(sheet: Sheet, depth: Length, drill: float) -> None:
    sheet.words(
        "hanger.in",
        "The hanger is glued into",
        "the top pole",
        formula="what stands highest",
        source=PRACTICE,
    )
    globe = sheet.globe
    if globe is None:
        return
    core = globe.pole_mm
    if not ring_is_clear(sheet, True, drill, "the hanger's hole", "hanger", "wire"):
        return
    if globe.hollow_diameter_mm and any(bore.to_mm >= core for bore in globe.bores):
        sheet.problem(
            "hollow",
            "pole",
            what="the hollow's opening lies where the hanger is glued in",
            write="write pole: bottom, or put a cap on top",
        )
        return
    _bore_core(sheet, float(depth.mm), depth, drill)


def _bore_core(sheet: Sheet, inside: float, depth: Length, drill: float) -> None:
    """The hole in the globe itself, ``inside`` mm deep from the pole.

    What is left beyond counts to the hollow, to a hole from the other pole, or to that pole.
    """
    globe = sheet.globe
    assert globe is not None
    core = globe.pole_mm
    below = [bore.to_mm for bore in globe.bores if bore.from_mm < 0]
    floor = globe.hollow_diameter_mm / 2 if globe.hollow_diameter_mm else max([-core, *below])
    beyond = core - inside - floor
    most = core - floor + float(depth.mm) - inside
    if beyond <= 0:
        where = "the wall" if globe.hollow_diameter_mm else "the ball"
        sheet.problem(
            "hanger",
            "hole_depth",
            what=f"a hole {sheet.as_typed(depth)} deep goes through {where}",
            write=_shallower(sheet, most),
        )
        return
    sheet.length(
        "hanger.beyond",
        "Wood beyond the end of the hole",
        beyond,
        Direction.DOWN,
        formula="core at the pole − depth, to the next hole or the other pole",
        source=GEOMETRY,
    )
    if beyond < LEAST_BEYOND_MM:
        sheet.warnings.append(
            f"hanger: only {sheet.fine(beyond)} of wood is left beyond the hole; "
            f"{_shallower(sheet, most)}"
        )
    sheet.globe = globe.with_bore(Bore(core - inside, core, drill))


def _shallower(sheet: Sheet, through: float) -> str:
    """What to write for a hole that comes out at a depth of ``through`` mm, or nearly."""
    if through - LEAST_BEYOND_MM < SHALLOWEST_MM:
        return f"write less than {sheet.fine(through, Direction.DOWN)}"
    left, most = sheet.fine(LEAST_BEYOND_MM), sheet.fine(through - LEAST_BEYOND_MM, Direction.DOWN)
    return f"write hole_depth: {most} or less, which leaves {left} beyond it"


def _add_wire(sheet: Sheet, design: Design) -> float | None:
    section = design.hanger
    assert section is not None
    typed, measured = section.wire, design.as_measured.wire
    name = ""
    if typed.gauge is not None:
        gauge = wire.Gauge(typed.gauge, wire.GaugeSystem(typed.standard))
        try:
            thickness = gauge.diameter_mm
        except ValueError as error:
            sheet.problem(
                "hanger", "wire", what=sheet.told(error), write="choose a gauge within that"
            )
            return None
        name = gauge.label
        source = {"AWG": "ASTM B258", "SWG": "BS 3737, read in a secondary text"}[typed.standard]
        formula = f"diameter of {name}"
    else:
        assert typed.diameter is not None
        thickness, source, formula = float(typed.diameter.mm), TYPED, "typed"
    if measured is not None:
        thickness = float(measured.mm)
        source, formula = "as measured at the bench", "micrometer"
    if not THINNEST_MM <= thickness <= THICKEST_MM:
        sheet.problem(
            "hanger",
            "wire",
            what=f"a wire of {sheet.fine(thickness)} makes no hanger",
            write=f"write a wire from {sheet.fine(THINNEST_MM)} to {sheet.fine(THICKEST_MM)}",
        )
        return None
    readings = {
        system: length_reading(thickness, system, FINE, Direction.NEAREST) for system in System
    }
    if typed.diameter is not None and measured is None:
        own = typed.diameter.system
        readings[own] = length_in(typed_length(typed.diameter, own, FINE), own, thickness)
    if name and measured is None:
        # the inch world buys wire by its gauge, the metric world by its diameter
        inch = readings[System.IMPERIAL]
        readings[System.IMPERIAL] = Reading(inch.value, inch.unit, name, inch.off_by)
    sheet.add(
        "hanger.wire",
        "Hanger wire",
        thickness,
        "mm",
        readings,
        rule=FINE.rule(Direction.NEAREST),
        formula=formula,
        source=source,
    )
    return thickness


def _add_bundle(
    sheet: Sheet, design: Design, thickness: float
) -> tuple[Bundle, Measurement] | None:
    section = design.hanger
    assert section is not None
    strands, pitch = section.strands, section.pitch
    try:
        if pitch is None or strands == 1:
            bundle = hanger.straight_bundle(strands, thickness)
            formula = "smallest circle round that many equal wires, side by side"
        else:
            bundle = hanger.twisted_bundle(strands, thickness, float(pitch.mm))
            formula = "twice the helix radius at which neighbours just touch, plus one wire"
    except ValueError as error:
        sheet.problem("hanger", "pitch", what=sheet.told(error), write="write a longer pitch")
        return None
    measured = design.as_measured.bundle
    least = hanger.straight_bundle(strands, thickness).diameter_mm
    if measured is not None and float(measured.mm) < least * (1 - _CALLIPERS):
        sheet.problem(
            "as_measured",
            "bundle",
            what=f"a bundle of {sheet.as_typed(measured)} is thinner than {strands} wires side by "
            f"side, {sheet.fine(least)}",
            write="measure again, or write the wire's own diameter under as_measured",
        )
    size: float | Length = bundle.diameter_mm
    source = "elementary geometry of the helix"
    if measured is not None:
        size, source, formula = measured, "as measured at the bench", "callipers"
    sheet.number(
        "hanger.take_up",
        "Wire for each length of cable",
        bundle.takeup,
        "ratio",
        "",
        _TAKE_UP_STEP,
        Direction.UP,
        formula="√(1 + (2π × helix radius / pitch)²)",
        source=GEOMETRY,
    )
    return bundle, sheet.length(
        "hanger.bundle",
        "Twisted bundle, across" if pitch is not None else "Bundle, across",
        float(size.mm) if isinstance(size, Length) else size,
        Direction.UP,
        steps=FINE,
        formula=formula,
        source=source,
    )
