"""Turned parts in their places: joints, holes, and the height of the whole."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass

from studio.compute.boring import add_drill, chosen, sold
from studio.compute.parts import (
    POLES,
    TENON,
    add_part,
    add_profile,
    part_inside,
    part_label,
    profile_of,
    refuse_own_blank,
)
from studio.compute.sheet import GEOMETRY, Sheet
from studio.compute.wood import add_part_moisture, from_saturation, moisture_as_turned
from studio.design.schema import Design, Part
from studio.language import inside, later, tr
from studio.measure.measurement import Reading, System
from studio.measure.rounding import (
    FINE,
    Direction,
    length_in,
    other_system_words,
    rounded_length,
    typed_length,
)
from studio.measure.schedule import Schedule
from studio.measure.subjects import HEADINGS
from studio.measure.units import mm_from
from studio.turning import assembly, bench, grooves, rings, wood
from studio.turning.drills import Drill, point_mm
from studio.turning.piece import Bore, Globe, PlacedPart
from studio.turning.profile import SAME_PLACE_MM, Profile

RESERVED = frozenset({*POLES, "parts", "globe"})
"""Names that no part can have, besides the subjects of other measurements."""

LEAST_BETWEEN_MM = 3.0
"""Least wood between the ends of two holes from both poles (ours)."""

_ALMOST = 0.99
"""A shoulder as wide as nearly all of the globe rests on its highest wood."""

_HAIR_MM = 0.005
"""What is left all round a tenon that just does not bind (ours)."""


@dataclass(frozen=True, slots=True)
class _Tenon:
    """A part's tenon: its diameter and length, and the shoulder above it."""

    diameter_mm: float
    length_mm: float
    shoulder_mm: float


@dataclass(frozen=True, slots=True)
class _Ready:
    """A part that is about to be set in its place.

    Attributes:
        name: the design's own name for it.
        part: as typed.
        made: its profile.
        tenon: None where glue alone holds it.
        hole: diameter of the hole that takes the tenon; 0 without one.
        wood: its species.
    """

    name: str
    part: Part
    made: Profile
    tenon: _Tenon | None
    hole: float
    wood: str

    @property
    def shoulder_mm(self) -> float:
        """Diameter of the face that it stands on."""
        return self.made.elements[-1].end_mm if self.tenon is None else self.tenon.shoulder_mm

    def placed(self, height: float, up: bool) -> PlacedPart:
        """The part with its shoulder at a height of the piece."""
        inside = self.tenon.length_mm if self.tenon is not None else 0.0
        at = self.made.length_mm - inside
        return PlacedPart(self.name, self.made, height, at, up, self.wood)


def add_parts(sheet: Sheet, design: Design) -> None:
    """``NAME.*`` for every part, ``assembly.*`` and ``profile.*``."""
    profiles: dict[str, Profile] = {}
    if not design.parts or taken_names(design):
        return
    refuse_own_blank(sheet, design)
    # what a tenon fits is known from where its part stands
    placed = _check_places(sheet, design)
    for name, part in design.parts.items():
        if part.place not in (*POLES, *design.parts):
            continue
        made = profile_of(sheet, name, part, _fit(design, part))
        if made is not None:
            add_part(sheet, design, name, part, made)
            add_part_moisture(sheet, design, name)
            profiles[name] = made
    add_profile(sheet, design)
    if len(profiles) < len(design.parts) or not placed:
        return
    rows = []
    for name in _standing_order(design):
        if not _place(sheet, design, name, profiles[name]):
            return
        if sheet.by_name(f"{name}.hole") is not None:
            keys = ("title", "tenon", "tenon_length", "hole", "hole_depth", "gap")
            rows.append(tuple(f"{name}.{key}" for key in keys))
    if rows:
        sheet.schedules.append(
            Schedule(
                name="assembly.joints",
                heading=tr("Joints"),
                columns=(
                    tr("Part"),
                    tr("Tenon"),
                    tr("Tenon, length"),
                    tr("Hole"),
                    tr("Hole, depth"),
                    tr("Glue all round"),
                ),
                rows=tuple(rows),
                notes=(
                    tr(
                        "Drill each hole along the axis of what it is in, while that runs between "
                        "centres or in the chuck. Try every joint dry before the glue."
                    ),
                ),
                pencil=True,
            )
        )
    _add_height(sheet)
    _look_at_tenons(sheet, design)
    _look_at_steps(sheet, design)


def taken_names(design: Design) -> tuple[str, ...]:
    """Names of parts that mean something else: other measurements, or a pole."""
    return tuple(name for name in design.parts if name in HEADINGS or name in RESERVED)


def _fit(design: Design, part: Part) -> float | None:
    """A tenon's diameter from a hole that is known before it: the opening, or a typed drill."""
    hole = _opening(design, part)
    if hole is None and part.hole is not None:
        hole = float(part.hole.mm)
    return _fitting_mm(hole, part) or None if hole is not None else None


def _fitting_mm(hole: float, part: Part) -> float:
    """The tenon that leaves a part's glue gap in a hole; 0 where the gap is as wide as the hole."""
    try:
        return bench.tenon_for_hole_mm(hole, float(part.gap.mm))
    except ValueError:
        return 0.0


def _look_at_steps(sheet: Sheet, design: Design) -> None:
    """One order of work: every part is turned in some step, before the part that stands on it."""
    first: dict[str, int] = {}
    for place, step in enumerate(design.steps):
        if step.part is not None and step.part in design.parts:
            first.setdefault(step.part, place)
    for name, part in design.parts.items():
        if name not in first and len(design.parts) > 1:
            sheet.warnings.append(
                f"{name}: no step turns it; write part: {name} at the one that does"
            )
        below = part.place
        if name in first and below in first and first[name] < first[below]:
            sheet.warnings.append(
                f"{name}: it is turned before {below}, on which it stands; a tenon is best fitted "
                f"to the hole that {below} has already"
            )


def _check_places(sheet: Sheet, design: Design) -> bool:
    """Whether every part stands somewhere, and no two in one place."""
    before = len(sheet.problems)
    taken: dict[str, str] = {}
    alone = design.form == "turned"
    standing = [name for name, part in design.parts.items() if part.place in POLES]
    if alone and len(standing) != 1:
        sheet.problem(
            "parts" if design.parts else "form",
            what="turned parts alone need one that the others stand on",
            write="write place: with the name of another part at all but one of them",
        )
        return False
    for name, part in design.parts.items():
        known = [other for other in design.parts if other != name]
        if part.place not in (*POLES, *known):
            sheet.problem(
                "parts", name, "place",
                what=f"there is nothing called {part.place!r} to stand on",
                write=f"write one of: {', '.join((*POLES, *known))}",
            )  # fmt: skip
        elif part.place in taken:
            sheet.problem(
                "parts", name, "place",
                what=f"{taken[part.place]} stands there already",
                write=f"write another place, or place: {taken[part.place]} to stand on it",
            )  # fmt: skip
        taken.setdefault(part.place, name)
    if len(sheet.problems) == before and len(list(_standing_order(design))) < len(design.parts):
        sheet.problem(
            "parts",
            what="parts that stand on one another in a circle",
            write="write place: top or place: bottom at one of them",
        )
    return len(sheet.problems) == before


def _standing_order(design: Design) -> Iterator[str]:
    """Every part after the one that it stands on."""
    below = list(POLES)
    while below:
        place = below.pop(0)
        for name, part in design.parts.items():
            if part.place == place:
                yield name
                below.append(name)


def _place(sheet: Sheet, design: Design, name: str, made: Profile) -> bool:
    """Set a part on what it stands on; false with a problem noted."""
    part = design.parts[name]
    species = design.wood_of(name)
    tenon = _tenon(made)
    length = made.length_mm
    if design.form == "turned" and part.place in POLES:
        sheet.parts[name] = PlacedPart(name, made, 0.0, length, points_up(design, part), species)
        return True
    if sheet.globe is None and part.place in POLES:
        # what is wrong with the globe is told by its own subjects
        return False
    if tenon is None:
        sheet.warnings.append(
            f"{name}: it has no tenon, so glue alone holds it; end its profile with "
            "{shape: tenon, length: 8 mm, diameter: 6 mm}"
        )
    hole = _hole(sheet, design, name, part, tenon) if tenon is not None else 0.0
    if hole is None:
        return False
    ready = _Ready(name, part, made, tenon, hole, species)
    if part.place in POLES:
        return _on_globe(sheet, design, ready)
    return _on_part(sheet, ready)


def _look_at_length(
    sheet: Sheet, ready: _Ready, tenon: _Tenon, wood_round: assembly.TenonWood | None = None
) -> None:
    """Tell a tenon that wood holds too little of for what stands on it, and what gives it more.

    ``wood_round`` where it stands in the globe: in a hollow one's wall a longer tenon is held no
    better.
    """
    name, beyond = ready.name, ready.made.length_mm - tenon.length_mm
    least = bench.least_tenon_mm(tenon.diameter_mm, beyond)
    held, free, room = tenon.length_mm, 0.0, math.inf
    if wood_round is not None:
        held, free = wood_round.held_mm(tenon.length_mm), wood_round.free_mm
        room = wood_round.wood_mm
    if held >= least - SAME_PLACE_MM:
        return
    ways = []
    if tenon.length_mm - free < least - SAME_PLACE_MM:
        ways.append(f"write length: {sheet.fine(least + free, Direction.UP)} or more there")
    if room < least - SAME_PLACE_MM:
        ways.append(_thicker_wall(sheet, least - room))
    short = f"a tenon {sheet.fine(held)} long and {sheet.fine(tenon.diameter_mm)} thick is short"
    if held < tenon.length_mm - SAME_PLACE_MM:
        short = (
            f"only {sheet.fine(held, Direction.DOWN)} of its tenon, "
            f"{sheet.fine(tenon.diameter_mm)} thick, has wood all round it; that is short"
        )
    sheet.warnings.append(
        f"{name}: {short} for the {sheet.fine(beyond)} that stands on it, and can break out of its "
        f"hole; {' and '.join(ways)} (ours; common practice is a tenon about as long as it is "
        "thick or longer, no source)"
    )


def _thicker_wall(sheet: Sheet, lacks_mm: float) -> str:
    """The hollow's wall that gives a tenon ``lacks_mm`` more wood; no hollow where none does."""
    globe = sheet.globe
    assert globe is not None
    wall = (globe.diameter_mm - globe.hollow_diameter_mm) / 2 + lacks_mm
    opening = max((bore.diameter_mm for bore in globe.bores), default=0.0)
    if globe.diameter_mm - 2 * wall <= opening:
        return "leave hollow: out, or make what stands on it shorter"
    return f"write hollow: wall: {sheet.fine(wall, Direction.UP)} or more"


def points_up(design: Design, base: Part) -> bool:
    """Whether the free end of the part that all others stand on points to the top.

    As ``place:`` says; where it says nothing a piece hangs by its joint end, which was thickest at
    the headstock, and one without a hanger stands on it.
    """
    if "place" in base.model_fields_set:
        return base.place == "top"
    return design.hanger is None


def _tenon(made: Profile) -> _Tenon | None:
    last = made.elements[-1]
    if last.shape != TENON:
        return None
    shoulder = made.elements[-2].end_mm if len(made.elements) > 1 else last.start_mm
    return _Tenon(last.start_mm, last.length_mm, shoulder)


def _opening(design: Design, part: Part) -> float | None:
    """The hollow's opening, when the part closes it."""
    hollow = design.hollow
    if hollow is None or part.place != hollow.pole:
        return None
    return float(hollow.opening.mm)


def _hole(sheet: Sheet, design: Design, name: str, part: Part, tenon: _Tenon) -> float | None:
    """The hole's diameter, written down with tenon and gap; None with a problem noted."""
    place = len(part.profile) - 1
    opening, wanted = _opening(design, part), float(part.gap.mm)
    label = tr("Hole for {part}", part=inside(part_label(name, part)))
    if opening is not None:
        assert design.hollow is not None
        if part.hole is not None:
            sheet.problem(
                "parts", name, "hole",
                what=f"{name} stands in the hollow's opening, which is its hole",
                write="leave hole: out",
            )  # fmt: skip
            return None
        sheet.typed(f"{name}.hole", label, design.hollow.opening, at=("hollow", "opening"))
        hole = opening
    else:
        drills = _drills(sheet, name, part, tenon)
        if drills is None:
            return None
        hole = add_drill(
            sheet, f"{name}.hole", label, drills, later("tenon + glue gap on both sides, chosen up")
        ).value
    _add_tenon(sheet, name, part, tenon)
    try:
        joint = bench.tenon_joint(tenon.diameter_mm, tenon.length_mm, hole, tenon.length_mm)
    except ValueError:
        joint = None
    if joint is None or joint.gap_mm < wanted - SAME_PLACE_MM:
        sheet.problem(
            "parts", name, "profile", place, "diameter",
            what=f"a tenon of {sheet.fine(tenon.diameter_mm)} does not go into a hole of "
            f"{sheet.fine(hole)} with {sheet.fine(wanted)} of glue all round",
            write=f"write {sheet.fine(_fitting_mm(hole, part), Direction.DOWN)} at most, or "
            f"{'opening' if opening is not None else 'hole'}: "
            f"{sheet.fine(tenon.diameter_mm + 2 * wanted, Direction.UP)} or more",
        )  # fmt: skip
        return None
    gap = joint.gap_mm
    joints = {system: _printed_joint(sheet, name, system) for system in System}
    sheet.length(
        f"{name}.gap",
        "Room for glue all round the tenon",
        gap,
        Direction.NEAREST,
        steps=FINE,
        by_system={system: (bored - thick) / 2 for system, (thick, bored) in joints.items()},
        rule="from hole and tenon as printed, each system's own drill, {rule}",
        formula="(hole − tenon) / 2",
        source=GEOMETRY,
    )
    _look_at_glue(sheet, name, part, gap, hole)
    _add_fit(sheet, design, name, part, tenon.diameter_mm, hole)
    return hole


def _printed_joint(sheet: Sheet, name: str, system: System) -> tuple[float, float]:
    """A tenon and its hole as a system prints them, mm: each system has a drill of its own."""
    tenon, hole = (sheet.by_name(f"{name}.{key}") for key in ("tenon", "hole"))
    assert tenon is not None
    assert hole is not None
    return _mm(tenon.reading(system)), _mm(hole.reading(system))


def _mm(shown: Reading) -> float:
    """A printed length in mm; a drill of the other system may be all that is owned."""
    return mm_from(System.METRIC if shown.unit == "mm" else System.IMPERIAL, shown.value)


def _look_at_glue(sheet: Sheet, name: str, part: Part, gap: float, hole: float) -> None:
    """Advise where the film of glue round a tenon is thicker than glue fills."""
    if gap <= bench.GLUE_FILLS_MM + SAME_PLACE_MM:
        return
    wanted = min(float(part.gap.mm), bench.GLUE_FILLS_MM)
    fits = sheet.fine(bench.tenon_for_hole_mm(hole, wanted), Direction.DOWN)
    ways = [f"turn it to {fits} for a gap of {sheet.fine(wanted)}"]
    if float(part.gap.mm) > wanted:
        ways = [f"write gap: {sheet.fine(wanted)} or less and {ways[0]}"]
    sheet.warnings.append(
        f"{name}: {sheet.fine(gap)} of glue all round the tenon is loose, more than the "
        f"{sheet.fine(bench.GLUE_FILLS_MM)} that common glues fill (common practice, no source); "
        f"{ways[0]}, or use a glue whose maker says that it fills so much"
    )


def _look_at_tenons(sheet: Sheet, design: Design) -> None:
    """Tell a tenon that is joined to nothing: that of the part which all others stand on."""
    for name, part in design.parts.items():
        if part.profile[-1].shape == TENON and sheet.by_name(f"{name}.hole") is None:
            sheet.warnings.append(
                f"{name}: the tenon at the end of its profile goes into nothing in this design; "
                f"write what takes it as a part and that part's name as place: of {name}, or "
                "write shape: straight where it is only held in the chuck"
            )


def _add_tenon(sheet: Sheet, name: str, part: Part, tenon: _Tenon) -> None:
    """The tenon as it is turned: it goes into its hole as that is printed, in either system.

    A fit is measured, not read off a rule: the text is as fine as callipers are.
    """
    element = part.profile[-1]
    typed, hole = element.diameter, sheet.by_name(f"{name}.hole")
    assert hole is not None
    play = 2 * float(part.gap.mm)
    readings = {}
    for system in System:
        if typed is not None and typed.system is system:
            readings[system] = length_in(typed_length(typed, system, FINE), system, float(typed.mm))
            continue
        most = min(tenon.diameter_mm, _mm(hole.reading(system)) - play)
        printed = rounded_length(most, system, FINE, Direction.DOWN)
        readings[system] = length_in(printed, system, tenon.diameter_mm)
    rule = tr("{rule}, no more than the printed hole less the glue", rule=FINE.rule(Direction.DOWN))
    formula, source = later("hole − glue gap on both sides"), GEOMETRY
    keys = ("parts", name, "profile", len(part.profile) - 1)
    if typed is not None:
        came = sheet.came((*keys, "diameter"))
        rule, formula, source = other_system_words(rule, came.words), came.how, came.source
    made = sheet.add(
        f"{name}.tenon",
        "Tenon, across",
        tenon.diameter_mm,
        "mm",
        readings,
        rule=rule,
        formula=formula,
        source=source,
        where="try it in the real hole",
    )
    length_keys = (*keys, "length")
    sheet.typed(f"{name}.tenon_length", "Tenon, length", element.length, at=length_keys)
    # wherever the tenon is listed among other places of the part, it says the same
    length = sheet.by_name(f"{name}.length")
    assert length is not None
    begins = length.value - tenon.length_mm - SAME_PLACE_MM
    for one in tuple(sheet.made):
        subject, _, key = one.name.partition(".")
        if subject != name or abs(one.value - tenon.diameter_mm) > SAME_PLACE_MM:
            continue
        at = sheet.by_name(f"{name}.at_{key.removeprefix('diameter_')}")
        if key == "neck" or (key.startswith("diameter_") and at is not None and at.value >= begins):
            sheet.says_as(one, made)


def _drills(sheet: Sheet, name: str, part: Part, tenon: _Tenon) -> dict[System, Drill] | None:
    """The drill for a tenon: the typed one, which must be owned, or the next one up."""
    place = len(part.profile) - 1
    if part.hole is None:
        play = 2 * float(part.gap.mm)
        keys = ("parts", name, "profile", place, "diameter")
        return chosen(sheet, tenon.diameter_mm, play, "a tenon", *keys)
    size = float(part.hole.mm)
    own = [drill for drill in sheet.drills if abs(drill.diameter_mm - size) < SAME_PLACE_MM]
    if not own:
        nearest = min(sheet.drills, key=lambda drill: abs(drill.diameter_mm - size), default=None)
        hint = f", the nearest owned is {nearest.label}" if nearest is not None else ""
        sheet.problem(
            "parts", name, "hole",
            what=f"no drill of {sheet.as_typed(part.hole)} is owned{hint}",
            write="write one that is, or add it to drills in the workshop file",
        )  # fmt: skip
        return None
    other = sheet.first.other
    theirs = min(
        (drill for drill in sold(other) if drill.diameter_mm >= size - SAME_PLACE_MM),
        key=lambda drill: drill.diameter_mm,
        default=own[0],
    )
    return {sheet.first: own[0], other: theirs}


def _add_fit(
    sheet: Sheet, design: Design, name: str, part: Part, tenon: float, hole: float
) -> None:
    """How the joint's fit changes on its way from the workshop to its later home."""
    after = sheet.by_name("wood.moisture_home")
    before, around = (moisture_as_turned(sheet, one) for one in (name, design.parts[name].place))
    if before is None or around is None or after is None:
        return
    try:
        made_of, hole_in = (wood.find_species(design.wood_of(one)) for one in (name, part.place))

        def changed(tenon_mm: float, hole_mm: float) -> wood.FitChange:
            return wood.fit_change(
                tenon_mm,
                hole_mm,
                tenon_wood=made_of,
                hole_wood=hole_in,
                hole_axis=wood.Grain.ALONG,
                from_percent=before,
                to_percent=after.value,
                hole_from_percent=around,
            )

        fit = changed(tenon, hole)
        later_on = {
            system: changed(*_printed_joint(sheet, name, system)).least_after_mm
            for system in System
        }
    except ValueError as error:
        said = f"wood: {sheet.told(error)}"
        if said not in sheet.warnings:
            sheet.warnings.append(said)
        return
    sheet.length(
        f"{name}.fit_later",
        "Least play of the tenon at home, on the diameter",
        max(fit.least_after_mm, 0.0),
        Direction.DOWN,
        steps=FINE,
        by_system={system: max(least, 0.0) for system, least in later_on.items()},
        rule="from hole and tenon as printed, each system's own drill, {rule}",
        formula=tr(
            "narrowest hole less thickest tenon after both woods have moved, each from its own "
            "moisture to that of its home{wet}",
            wet=from_saturation(made_of, before, after.value) or from_saturation(hole_in, around),
        ),
        source="USDA Wood Handbook (FPL-GTR-190), chapter 13",
    )
    if fit.least_after_mm <= 0:
        _tell_binding(sheet, name, (hole - tenon) / 2 - fit.least_after_mm / 2)


def _tell_binding(sheet: Sheet, name: str, just_mm: float) -> None:
    """What keeps a tenon from binding at home: a gap that glue fills, or wood that has settled.

    Args: the gap all round, mm, at which it would just bind.
    """
    told = f"{name}: its tenon binds at home, when both woods have moved"
    # what it binds by is on the diameter, the gap on both sides; a hair more, or it just binds
    wider = just_mm + _HAIR_MM
    if wider <= bench.GLUE_FILLS_MM + SAME_PLACE_MM:
        told += f"; write gap: {sheet.fine(wider, Direction.UP)} or more"
    else:
        told += (
            f", by more than a gap that common glues fill makes up for: that would be "
            f"{sheet.fine(wider, Direction.UP)} all round, and glue fills "
            f"{sheet.fine(bench.GLUE_FILLS_MM)} (common practice, no source); let both woods come "
            "to rest in the air of a room before the joint is cut, and write the moisture: that a "
            "meter shows then"
        )
    sheet.warnings.append(told)


def _on_globe(sheet: Sheet, design: Design, ready: _Ready) -> bool:
    name, part, tenon, hole = ready.name, ready.part, ready.tenon, ready.hole
    globe = sheet.globe
    assert globe is not None
    up, shoulder = part.place == "top", ready.shoulder_mm
    if shoulder <= SAME_PLACE_MM:
        sheet.problem(
            "parts", name, "profile", len(part.profile) - 1, "shape",
            what=f"{name} ends in a point at its joint, on which nothing stands",
            write="write the diameter with which it stands on the globe as its end:, or put a "
            "tenon after it",
        )  # fmt: skip
        return False
    if not ring_is_clear(sheet, up, max(shoulder, hole), f"{name}'s shoulder", "parts", name):
        return False
    try:
        seat = assembly.resting(globe.diameter_mm, globe.section, globe.grooves, shoulder, hole)
    except ValueError as error:
        across = 2 * globe.pole_mm
        write = (
            f"make the place above the tenon wider than the hole of {sheet.fine(hole)} and "
            f"narrower than the globe, {sheet.fine(across, Direction.DOWN)}"
        )
        sheet.problem("parts", name, "profile", what=sheet.told(error), write=write)
        return False
    sheet.length(
        f"{name}.shoulder",
        "Shoulder that stands on the globe, across",
        shoulder,
        Direction.NEAREST,
        formula="diameter above the tenon",
        source=sheet.came(("parts", name, "profile")).source,
    )
    sheet.length(
        f"{name}.daylight",
        "Widest daylight under the shoulder's edge",
        seat.daylight_mm,
        Direction.UP,
        steps=FINE,
        formula="where it rests, less the globe's lowest wood under its edge",
        source=GEOMETRY,
        where="hollow the shoulder, or let it show",
    )
    over = ready.made.length_mm - (tenon.length_mm if tenon is not None else 0.0)
    if seat.daylight_mm > over:
        sheet.warnings.append(
            f"{name}: {sheet.fine(seat.daylight_mm)} of daylight would show under the edge of its "
            f"shoulder, and only {sheet.fine(over)} of wood stands over it to be hollowed for "
            f"that; make {name} longer, or its shoulder of {sheet.fine(shoulder)} narrower"
        )
    depth = 0.0
    if tenon is not None:
        # the drill enters at the pole, which lies above or below the plane of the shoulder
        depth = tenon.length_mm + float(part.room.mm) + max(0.0, globe.pole_mm - seat.height_mm)
        if not _bore_globe(sheet, design, name, part, depth, hole, up):
            return False
        if not _has_room_inside(sheet, design, name, tenon, seat.height_mm):
            return False
        across = globe.hollow_diameter_mm
        wood_round = assembly.tenon_wood(seat.height_mm, globe.pole_mm, hole, across)
        _look_at_length(sheet, ready, tenon, wood_round)
    height = seat.height_mm if up else -seat.height_mm
    sheet.parts[name] = ready.placed(height, up)
    return True


def _has_room_inside(
    sheet: Sheet, design: Design, name: str, tenon: _Tenon, height_mm: float
) -> bool:
    """Whether a tenon ends inside a hollow globe before the other pole's, and before the far wall.

    Else a problem is noted. In a solid globe the holes are looked at instead.
    """
    globe = sheet.globe
    if globe is None or not globe.hollow_diameter_mm:
        return True
    part = design.parts[name]
    over = tenon.length_mm - height_mm - globe.hollow_diameter_mm / 2
    if over >= 0:
        sheet.problem(
            "parts", name, "profile", len(part.profile) - 1, "length",
            what=f"the tenon of {name} reaches the far wall inside the globe",
            write=f"shorten it by more than {sheet.fine(over, Direction.UP)}",
        )  # fmt: skip
        return False
    for other, placed in sheet.parts.items():
        theirs = sheet.by_name(f"{other}.tenon_length")
        if theirs is None or design.parts[other].place not in POLES or other == name:
            continue
        over = tenon.length_mm + theirs.value - height_mm - abs(placed.shoulder_mm)
        if over >= 0:
            sheet.problem(
                "parts", name, "profile", len(part.profile) - 1, "length",
                what=f"the tenons of {name} and {other} meet inside the globe, by "
                f"{sheet.fine(over)}",
                write=f"shorten one of them by more than {sheet.fine(over, Direction.UP)}",
            )  # fmt: skip
            return False
    return True


def ring_is_clear(sheet: Sheet, up: bool, across: float, what: str, *keys: str | int) -> bool:
    """Whether no ring reaches what stands on or is bored into a pole; a problem noted if one does.

    Where a shoulder rests and how high a hole's mouth stands is only known on wood that no ring
    has taken.
    """
    globe = sheet.globe
    for ring in globe.rings if globe is not None else ():
        if (ring.latitude_deg > 0) is not up or not ring.latitude_deg:
            continue
        edges = rings.ring_edges(ring)
        inner = min(edges.low_diameter_mm, edges.high_diameter_mm)
        if inner < across:
            section = ring.section
            way = "leave the ring out"
            with suppress(ValueError):
                highest = rings.highest_ring_deg(section.diameter_mm, section.width_mm, across, 0)
                most = grooves.ring(section.diameter_mm, highest).from_equator_mm
                way = f"place the ring {sheet.fine(most, Direction.DOWN)} from the equator at most"
            sheet.problem(
                *keys,
                what=f"a ring's inner edge is {sheet.fine(inner)} across, and {what} is "
                f"{sheet.fine(across)}",
                write=f"{way}, or make what stands over it narrower than "
                f"{sheet.fine(inner, Direction.DOWN)}",
            )
            return False
    return True


def _bore_globe(
    sheet: Sheet, design: Design, name: str, part: Part, depth: float, hole: float, up: bool
) -> bool:
    globe = sheet.globe
    assert globe is not None
    pole = globe.pole_mm
    opening = _opening(design, part) is not None
    free, point = _free_mm(sheet, pole, up), point_mm(hole)
    if globe.hollow_diameter_mm:
        wall = pole - globe.hollow_diameter_mm / 2
        depth = min(depth, wall) if not opening else wall
    elif depth + point >= free:
        end = (
            "meets the one from the other pole"
            if _opposite(sheet, up)
            else "comes out at the other pole"
        )
        sheet.problem(
            "parts", name, "profile", len(part.profile) - 1, "length",
            what=f"the hole for {name}'s tenon, {sheet.fine(depth)} deep and the point of its "
            f"drill {sheet.fine(point)} more, {end}",
            write="shorten the tenon, or leave less room under it, by "
            f"{sheet.fine(depth + point - free + LEAST_BETWEEN_MM, Direction.UP)}",
        )  # fmt: skip
        return False
    left = free - depth - point
    if not globe.hollow_diameter_mm and left < LEAST_BETWEEN_MM:
        sheet.warnings.append(
            f"{name}: only {sheet.fine(left, Direction.DOWN)} of wood is left beyond the point of "
            "the drill for its hole; shorten a tenon by "
            f"{sheet.fine(LEAST_BETWEEN_MM - left, Direction.UP)}"
        )
    _add_depth(sheet, name, depth, later("from the pole"))
    if not opening:
        low, high = (pole - depth, pole) if up else (-pole, depth - pole)
        sheet.globe = globe.with_bore(Bore(low, high, hole))
    return True


def _free_mm(sheet: Sheet, pole: float, up: bool) -> float:
    """How far a hole from one pole runs before it meets one from the other, or comes out.

    The other one's drill has a point too.
    """
    ends = (bore.from_mm - point_mm(bore.diameter_mm) for bore in _opposite(sheet, up))
    return pole + min([pole, *ends])


def _opposite(sheet: Sheet, up: bool) -> list[Bore]:
    """Holes from the other pole, as seen from this one: heights turned over for the top."""
    globe = sheet.globe
    assert globe is not None
    if up:
        return [Bore(-b.to_mm, -b.from_mm, b.diameter_mm) for b in globe.bores if b.from_mm < 0]
    return [bore for bore in globe.bores if bore.to_mm > 0]


def _add_depth(sheet: Sheet, name: str, depth: float, where: str) -> None:
    sheet.length(
        f"{name}.hole_depth",
        "Depth of its hole",
        depth,
        Direction.UP,
        formula="tenon + room under it, from where the drill enters; a wall is drilled through",
        source=GEOMETRY,
        where=where,
    )


def _on_part(sheet: Sheet, ready: _Ready) -> bool:
    name, part, tenon, hole = ready.name, ready.part, ready.tenon, ready.hole
    below = sheet.parts[part.place]
    end, shoulder = below.profile.elements[0].start_mm, ready.shoulder_mm
    if end < min(shoulder, hole + 2 * assembly.THINNEST_WALL_MM):
        sheet.problem(
            "parts", name, "place",
            what=f"the free end of {part.place} is {sheet.fine(end)} across: too narrow for {name}",
            write=f"begin {part.place}'s profile with a fillet of {sheet.fine(shoulder)} or more",
        )  # fmt: skip
        return False
    top = below.height_mm(0.0)
    if tenon is not None:
        depth, point = tenon.length_mm + float(part.room.mm), point_mm(hole)
        over = depth + point - below.profile.length_mm
        if over >= 0:
            sheet.problem(
                "parts", name, "profile", len(part.profile) - 1, "length",
                what=f"a hole {sheet.fine(depth)} deep, and the point of its drill "
                f"{sheet.fine(point)} more, goes through {part.place}",
                write="shorten the tenon, or leave less room under it, by more than "
                f"{sheet.fine(over, Direction.UP)}",
            )  # fmt: skip
            return False
        thinnest, at = assembly.thinnest_round_bore_mm(below.profile, 0.0, depth, hole)
        if thinnest < assembly.THINNEST_WALL_MM:
            sheet.problem(
                "parts", name, "place",
                what=f"the hole for {name} leaves {sheet.fine(max(thinnest, 0.0))} of wood in "
                f"{part.place}, {sheet.fine(at)} from its free end",
                write=f"leave {sheet.fine(assembly.THINNEST_WALL_MM)} all round: a hole of "
                f"{sheet.fine(hole - 2 * (assembly.THINNEST_WALL_MM - thinnest), Direction.DOWN)} "
                f"at most or a shorter tenon, or {part.place} thicker by "
                f"{sheet.fine(2 * (assembly.THINNEST_WALL_MM - thinnest), Direction.UP)} there",
            )  # fmt: skip
            return False
        _look_at_length(sheet, ready, tenon)
        end_of = part_inside(sheet, part.place)
        _add_depth(sheet, name, depth, tr("from the free end of {part}", part=end_of))
        low, high = (top - depth, top) if below.up else (top, top + depth)
        sheet.bore(part.place, Bore(low, high, hole))
    sheet.parts[name] = ready.placed(top, below.up)
    return True


def outermost(sheet: Sheet, *, up: bool, below: str = "") -> PlacedPart | None:
    """The part that reaches farthest to one side; with ``below`` the next one under that name."""
    side = [part for part in sheet.parts.values() if part.up is up]
    side.sort(key=lambda part: abs(part.height_mm(0.0)), reverse=True)
    names = [part.name for part in side]
    at = names.index(below) + 1 if below else 0
    return side[at] if at < len(side) else None


def _highest_mm(globe: Globe, *, up: bool) -> float:
    """The globe's highest wood on one side: ridges between grooves stand above the pole itself."""
    bored = [b.diameter_mm for b in globe.bores if (b.to_mm if up else -b.from_mm) >= globe.pole_mm]
    hole = max(bored, default=0.0)
    if globe.section is None:
        return math.sqrt(globe.diameter_mm**2 - hole**2) / 2
    across = 2 * globe.pole_mm * _ALMOST
    return assembly.resting(
        globe.diameter_mm, globe.section, globe.grooves, across, min(hole, across * _ALMOST)
    ).height_mm


def _add_height(sheet: Sheet) -> None:
    ends = [part.height_mm(0.0) for part in sheet.parts.values()]
    ends += [part.shoulder_mm for part in sheet.parts.values()]
    if sheet.globe is not None:
        ends += [_highest_mm(sheet.globe, up=True), -_highest_mm(sheet.globe, up=False)]
    elif (base := next(iter(sheet.parts.values()))) is not None:
        ends.append(base.height_mm(base.profile.length_mm))
    sheet.length(
        "assembly.height",
        "Height of the whole piece, without its hanger",
        max(ends) - min(ends),
        Direction.NEAREST,
        formula="from the lowest wood to the highest",
        source=GEOMETRY,
    )
