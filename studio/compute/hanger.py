"""The hanger: wire, bundle and the real drill that lets it in."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.boring import LOOSE_MM, add_drill, chosen, sold
from studio.compute.hanging import Hole, add_hole
from studio.compute.measured import look_at_measured
from studio.compute.sheet import GEOMETRY, MEASURED, TYPED, Sheet
from studio.design.schema import Design, Hanger
from studio.language import later, tr
from studio.measure.measurement import Measurement, Reading, System
from studio.measure.rounding import (
    FINE,
    Direction,
    length_in,
    length_reading,
    typed_length,
)
from studio.measure.units import Length, mm_from
from studio.turning import hanger, wire
from studio.turning.drills import Drill, choose
from studio.turning.hanger import Bundle

THINNEST_MM = 0.1
THICKEST_MM = 3.0
"""Wire that a hand can twist into a hanger (ours)."""

_CALLIPERS = 0.05
"""Callipers squeeze a bundle by this part at most (ours)."""

_TAKE_UP_STEP = Fraction(1, 1000)
_TURNS_STEP = Fraction(1, 4)


def is_twisted(section: Hanger) -> bool:
    """Whether a hanger's wires are twisted together: several, with a pitch."""
    return section.pitch is not None and section.strands > 1


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
    sheet.typed_count(
        "hanger.strands", "Strands in the hole", section.strands, ("hanger", "strands")
    )
    if is_twisted(section):
        assert section.pitch is not None
        sheet.typed("hanger.pitch", "One full twist in", section.pitch, at=("hanger", "pitch"))
    elif section.pitch is not None:
        sheet.warnings.append(
            "hanger: one strand is not twisted, so pitch: says nothing; leave it out, or write "
            "strands: 2 or more"
        )
    made = _add_bundle(sheet, design, thickness)
    if made is None:
        return
    twist, bundle = made
    sheet.typed(
        "hanger.clearance",
        "Least play between bundle and hole",
        section.clearance,
        at=("hanger", "clearance"),
        steps=FINE,
    )
    sheet.typed(
        "hanger.depth", "Depth of the hole", section.hole_depth, at=("hanger", "hole_depth")
    )
    least = float(section.clearance.mm)
    drills = chosen(sheet, bundle.value, least, "a bundle", "hanger", "wire")
    if drills is None:
        return
    drill = add_drill(
        sheet,
        "hanger.drill",
        later("Drill for the hanger"),
        drills,
        later("bundle + least play, chosen up"),
    )
    _add_play(sheet, drills, drill, bundle, least)
    _add_cut(sheet, design, thickness, twist)
    add_hole(sheet, design, Hole(section.hole_depth, drill.value, bundle))


def _add_play(
    sheet: Sheet, drills: dict[System, Drill], drill: Measurement, bundle: Measurement, least: float
) -> None:
    """The play that the drill owned really leaves, and a word where glue cannot bridge it."""
    play = sheet.length(
        "hanger.play",
        "Play that this drill leaves, on the diameter",
        drill.value - bundle.value,
        Direction.NEAREST,
        steps=FINE,
        by_system={
            system: made.diameter_mm - mm_from(system, bundle.reading(system).value)
            for system, made in drills.items()
        },
        rule="the drill less the printed bundle, {rule}",
        formula="drill − bundle",
        source=GEOMETRY,
    )
    if play.value <= least + 2 * LOOSE_MM:
        return
    fit = choose(bundle.value, least, sold(sheet.first))
    if fit is not None:
        sheet.warnings.append(
            f"hanger: {drill.text} is the thinnest drill owned that lets in the bundle of "
            f"{bundle.text} and leaves {play.text} of play, which glue does not hold; get a drill "
            f"of {fit.label} and add it to drills in the workshop file"
        )


def _add_cut(sheet: Sheet, design: Design, thickness: float, twist: Bundle) -> None:
    """The wire to cut: a loop round a rod, two legs twisted, and what the pliers hold."""
    section = design.hanger
    assert section is not None
    cable = float(section.reach.mm + section.hole_depth.mm)
    twisted, alone = is_twisted(section), section.strands == 1
    kind = tr("Twisted wire") if twisted else tr("Straight wire")
    leg = tr("twisted length × take-up") if twisted else tr("length")
    for key, label, typed in (
        ("loop", later("Rod for the loop"), section.loop),
        ("reach", tr("{kind} between loop and wood", kind=kind), section.reach),
        (
            "waste",
            later("Held at the bend and cut off")
            if alone
            else later("Held at each end and cut off"),
            section.waste,
        ),
    ):
        sheet.typed(f"hanger.{key}", label, typed, at=("hanger", key))
    reach, hole = sheet.by_name("hanger.reach"), sheet.by_name("hanger.depth")
    assert reach is not None
    assert hole is not None
    sheet.total(
        "hanger.cable",
        tr("{kind} in all", kind=kind),
        [(1, reach), (1, hole)],
        formula="reach + depth of the hole",
        source=GEOMETRY,
    )
    if twisted:
        assert section.pitch is not None
        sheet.number(
            "hanger.turns",
            "Turns to twist",
            hanger.turns(cable, float(section.pitch.mm)),
            "count",
            "",
            _TURNS_STEP,
            # more turns than the pitch allows would make a thicker bundle than the drill is for
            Direction.DOWN,
            formula="length / pitch",
            source=GEOMETRY,
            where="brass hardens as it is worked: do not twist it further",
        )
    if alone:
        _add_bent(sheet, section, thickness, cable)
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
    lengths = [("cut", later("Wire to cut, for each folded one"), cut.folded_mm,
                tr("loop + 2 × ({leg} + waste)", leg=leg))]  # fmt: skip
    if cut.single:
        lengths.append(("cut_single", later("Wire to cut, for the one that is not folded"),
                        cut.single_mm,
                        tr("{leg} + 2 × waste", leg=leg)))  # fmt: skip
        sheet.count(
            "hanger.pieces",
            "Pieces of wire to cut",
            cut.folded + cut.single,
            formula="folded wires and the one that is not",
            source=GEOMETRY,
        )
    made = [
        sheet.length(
            f"hanger.{key}",
            label,
            mm,
            Direction.UP,
            formula=formula,
            source=later(
                "elementary geometry; a whole turn for the loop is ours, on the long side"
            ),
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


def _add_bent(sheet: Sheet, section: Hanger, thickness: float, straight: float) -> None:
    """The one wire of a hanger that is bent to a loop at its end: nothing folded or twisted."""
    sheet.count(
        "hanger.wires", "Wires bent round the rod", 1, formula="one strand", source=GEOMETRY
    )
    one = sheet.length(
        "hanger.cut",
        "Wire to cut",
        hanger.bent_wire_mm(
            mandrel_diameter_mm=float(section.loop.mm),
            wire_diameter_mm=thickness,
            straight_mm=straight,
            clamped_mm=float(section.waste.mm),
        ),
        Direction.UP,
        formula="loop + reach + depth of the hole + waste",
        source=later("elementary geometry; a whole turn for the loop is ours, on the long side"),
    )
    sheet.total("hanger.wire_total", "Wire in all", [(1, one)], formula="the wire as cut",
                source=GEOMETRY)  # fmt: skip


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
        source = {"AWG": later("ASTM B258"), "SWG": later("BS 3737, read in a secondary text")}[
            typed.standard
        ]
        formula = tr("diameter of {gauge}", gauge=name)
    else:
        assert typed.diameter is not None
        thickness, source, formula = float(typed.diameter.mm), TYPED, later("typed")
    if measured is not None:
        look_at_measured(sheet, "wire", measured, thickness, "the design's wire")
        thickness = float(measured.mm)
        source, formula = MEASURED, later("micrometer")
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
        if pitch is None or not is_twisted(section):
            bundle = hanger.straight_bundle(strands, thickness)
            formula = later("smallest circle round that many equal wires, side by side")
        else:
            bundle = hanger.twisted_bundle(strands, thickness, float(pitch.mm))
            formula = later("twice the helix radius at which neighbours just touch, plus one wire")
    except ValueError as error:
        what = sheet.told(error).partition(";")[0]
        tightest = sheet.fine(hanger.tightest_pitch_mm(strands, thickness), Direction.UP)
        sheet.problem("hanger", "pitch", what=what, write=f"write {tightest} or more")
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
    elif measured is not None:
        look_at_measured(sheet, "bundle", measured, bundle.diameter_mm, "the computed bundle")
    size: float | Length = bundle.diameter_mm
    source = later("elementary geometry of the helix")
    if measured is not None:
        size, source, formula = measured, MEASURED, later("callipers")
    twisted = is_twisted(section)
    if twisted:
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
        "Twisted bundle, across" if twisted else "Bundle, across",
        float(size.mm) if isinstance(size, Length) else size,
        Direction.UP,
        steps=FINE,
        formula=formula,
        source=source,
    )
