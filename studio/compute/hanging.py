"""The hanger's hole: what it is bored into, how much wood it leaves, and how deep it may be."""

from __future__ import annotations

from dataclasses import dataclass

from studio.compute.assembly import outermost, ring_is_clear
from studio.compute.parts import part_inside
from studio.compute.sheet import GEOMETRY, PRACTICE, Sheet
from studio.design.schema import Design
from studio.language import tr
from studio.measure.measurement import Measurement
from studio.measure.rounding import Direction, fine_reading, number_text
from studio.measure.units import Length, mm_from
from studio.turning import assembly, drills, hanger
from studio.turning.piece import Bore, PlacedPart
from studio.turning.profile import SAME_PLACE_MM

LEAST_BEYOND_MM = 3.0
"""Least wood beyond the end of the hanger's hole (ours)."""

_AT_SHOULDER_MM = 0.01
"""A hole that may go so near to the shoulder may go past it: the tenon's wood is held there."""

_FINER = "take thinner wire or fewer strands"


@dataclass(frozen=True, slots=True)
class Hole:
    """The hanger's hole.

    Attributes:
        depth: as typed.
        drill_mm: its diameter.
        bundle: what is glued into it.
    """

    depth: Length
    drill_mm: float
    bundle: Measurement

    @property
    def deep_mm(self) -> float:
        """Its depth, mm."""
        return float(self.depth.mm)

    @property
    def reach_mm(self) -> float:
        """How deep the point of its drill comes, mm."""
        return self.deep_mm + self.point_mm

    @property
    def point_mm(self) -> float:
        """How far that point reaches beyond the hole's full width, mm."""
        return drills.point_mm(self.drill_mm)

    @property
    def least_mm(self) -> float:
        """How deep it must be for its glue to hold the bundle, mm."""
        return hanger.least_hole_depth_mm(self.bundle.value)


@dataclass(frozen=True, slots=True)
class _Room:
    """How deep a hole may be.

    Attributes:
        most_mm: the deepest that leaves enough wood.
        leaves: what it leaves then, in words.
        instead: what to change where a deeper one is wanted.
    """

    most_mm: float
    leaves: str
    instead: str


def add_hole(sheet: Sheet, design: Design, hole: Hole) -> None:
    """The hole in the wood that stands highest: what it passes, and whether it comes out."""
    if len(sheet.parts) < len(design.parts):
        # what stands on top is not known while a part cannot be made
        _look_at_glue(sheet, hole, None)
        return
    part = outermost(sheet, up=True)
    if part is not None:
        room = _into_parts(sheet, hole, part)
    elif sheet.globe is None and sheet.parts:
        room = _into_joint_end(sheet, hole, next(iter(sheet.parts.values())))
    else:
        room = _into_pole(sheet, hole)
    _look_at_glue(sheet, hole, room)
    if hole.deep_mm > DEEP_FOR_A_DRILL * hole.drill_mm:
        times = number_text(DEEP_FOR_A_DRILL, 0)
        sheet.warnings.append(
            f"hanger: a hole {sheet.as_typed(hole.depth)} deep is over {times} times as deep as "
            f"its drill of {sheet.fine(hole.drill_mm)} is thick (common practice, no source): see "
            "that the flutes are longer than the hole, and lift the drill often to clear them"
        )


DEEP_FOR_A_DRILL = 12
"""A hole more than so many times as deep as its drill is thick is told (ours)."""


def _look_at_glue(sheet: Sheet, hole: Hole, room: _Room | None) -> None:
    """Tell a hole so shallow that it holds little glue, and how deep it may be instead."""
    if hole.deep_mm >= hole.least_mm:
        return
    told = f"hanger: a hole {sheet.as_typed(hole.depth)} deep holds little glue"
    if room is not None and room.most_mm < hole.least_mm:
        told += f", and {_advice(sheet, hole, room)}"
    else:
        least = sheet.fine(hole.least_mm, Direction.UP)
        told += f" round a bundle of {hole.bundle.text}: drill at least {least} (ours)"
    sheet.warnings.append(f"{told}; pull hard on it before it hangs over anything")


def _advice(sheet: Sheet, hole: Hole, room: _Room) -> str:
    """A depth that works, or that there is none and what else to change.

    One that would leave enough wood and hold too little glue is no advice.
    """
    if room.most_mm >= hole.least_mm:
        most = sheet.fine(room.most_mm, Direction.DOWN)
        return f"write hole_depth: {most} or less, {room.leaves}; for a deeper one {room.instead}"
    least = sheet.fine(hole.least_mm, Direction.UP)
    return (
        f"no depth does here, where glue wants {least} (ours) round a bundle of "
        f"{hole.bundle.text}: {room.instead}, or {_FINER}"
    )


def _is_in(sheet: Sheet, what: str) -> None:
    sheet.words(
        "hanger.in",
        "The hanger is glued into",
        what,
        formula="what stands highest",
        source=PRACTICE,
    )


def _goes_through(sheet: Sheet, hole: Hole, what: str, room: _Room) -> None:
    sheet.problem(
        "hanger",
        "hole_depth",
        what=f"a hole {sheet.as_typed(hole.depth)} deep, and the point of its drill "
        f"{sheet.fine(hole.point_mm)} more, goes through {what}",
        write=_advice(sheet, hole, room),
    )


def _beyond_room(sheet: Sheet, hole: Hole, most: float, instead: str) -> _Room:
    """The room in wood through which a hole comes out at a depth of ``most`` mm."""
    return _Room(
        most - hole.point_mm - LEAST_BEYOND_MM,
        f"which leaves {sheet.fine(LEAST_BEYOND_MM)} beyond the point of its drill",
        instead,
    )


def _side_room(
    sheet: Sheet, hole: Hole, part: PlacedPart, above: float, *, from_joint: bool = False
) -> _Room:
    """The room beside a hole that has come ``above`` mm down to a part.

    A twisted bundle is no thinner than its drill: how deep, or how thick the part must be.
    """
    least = assembly.THINNEST_WALL_MM
    deepest = assembly.deepest_bore_mm(part.profile, hole.drill_mm, least, from_joint=from_joint)
    across = sheet.fine(hole.drill_mm + 2 * least, Direction.UP)
    return _Room(
        above + deepest,
        f"which leaves {sheet.fine(least)} all round",
        f"make {part.name} at least {across} across as far as the hole goes, which leaves "
        f"{sheet.fine(least)} all round",
    )


def _leaves_sides(
    sheet: Sheet,
    hole: Hole,
    part: PlacedPart,
    within: tuple[float, float],
    room: _Room,
    *,
    from_joint: bool = False,
) -> bool:
    """Whether enough wood is left all round between two places of a part; else a problem noted."""
    thinnest, at = assembly.thinnest_round_bore_mm(part.profile, *within, hole.drill_mm)
    if thinnest >= assembly.THINNEST_WALL_MM:
        return True
    far, end = (part.profile.length_mm - at, "joint") if from_joint else (at, "free")
    sheet.problem(
        "hanger",
        "hole_depth",
        what=f"the hanger's hole leaves {sheet.fine(max(thinnest, 0.0))} of wood in "
        f"{part.name}, {sheet.fine(far)} from its {end} end",
        write=_advice(sheet, hole, room),
    )
    return False


def _into_parts(sheet: Sheet, hole: Hole, top: PlacedPart) -> _Room | None:
    """The hole from the free end of the part on top down; its room, where nothing is wrong."""
    _is_in(sheet, tr("the free end of {part}", part=part_inside(sheet, top.name)))
    part: PlacedPart | None = top
    lowest = top
    left = hole.deep_mm
    room: _Room | None = None
    while part is not None and left > 0:
        end = min(left, part.shoulder_at_mm)
        room = _side_room(sheet, hole, part, hole.deep_mm - left)
        # the far side of the shoulder's step is the tenon, which the wood round it holds
        within = (0.0, end - SAME_PLACE_MM * 2)
        if not _leaves_sides(sheet, hole, part, within, room):
            return None
        if room.most_mm > hole.deep_mm - left + part.shoulder_at_mm - _AT_SHOULDER_MM:
            # it may go on into what the part stands on
            room = None
        height = part.height_mm(0.0)
        sheet.bore(part.name, Bore(height - end, height, hole.drill_mm))
        left -= end
        lowest = part
        part = outermost(sheet, up=True, below=part.name)
    if left <= 0:
        return room
    if sheet.globe is not None and not sheet.globe.hollow_diameter_mm:
        return _bore_core(sheet, hole, left)
    return _into_tenon(sheet, hole, lowest, left)


def _into_tenon(sheet: Sheet, hole: Hole, part: PlacedPart, left: float) -> _Room | None:
    """The rest of a hole in the tenon by which a part stands in a hollow globe's wall.

    A tenon too thin for the hole is no wood for it.
    """
    shoulder = part.shoulder_at_mm
    tenon = part.profile.length_mm - shoulder
    within = (shoulder + SAME_PLACE_MM * 2, min(shoulder + left, part.profile.length_mm))
    thinnest = -1.0
    if tenon > SAME_PLACE_MM:
        thinnest, _ = assembly.thinnest_round_bore_mm(part.profile, *within, hole.drill_mm)
    wood = tenon if thinnest >= assembly.THINNEST_WALL_MM else 0.0
    room = _beyond_room(sheet, hole, hole.deep_mm - left + wood, f"make {part.name} longer")
    beyond = wood - left
    if beyond <= hole.point_mm:
        _goes_through(sheet, hole, "what it is in", room)
        return None
    _add_beyond(sheet, hole, beyond, room)
    height = part.height_mm(shoulder)
    sheet.bore(part.name, Bore(height - left, height, hole.drill_mm))
    return room


def _into_joint_end(sheet: Sheet, hole: Hole, part: PlacedPart) -> _Room | None:
    """The hole in turned parts whose free ends hang down: it goes into the first one's joint end.

    What is left beyond counts to the hole for the next part's tenon, or to the free end.
    """
    title = part_inside(sheet, part.name)
    _is_in(sheet, tr("the joint end of {part}, which was at the headstock", part=title))
    long = part.profile.length_mm
    top = part.height_mm(long)
    most = top - max((bore.to_mm for bore in part.bores), default=part.height_mm(0.0))
    through = _beyond_room(sheet, hole, most, f"make {part.name} longer")
    sides = _side_room(sheet, hole, part, 0.0, from_joint=True)
    room = min(through, sides, key=lambda one: one.most_mm)
    if hole.reach_mm >= most:
        _goes_through(sheet, hole, part.name, room)
        return None
    within = (long - hole.deep_mm, long)
    if not _leaves_sides(sheet, hole, part, within, room, from_joint=True):
        return None
    _add_beyond(sheet, hole, most - hole.deep_mm, room)
    sheet.bore(part.name, Bore(top - hole.deep_mm, top, hole.drill_mm))
    return room


def _into_pole(sheet: Sheet, hole: Hole) -> _Room | None:
    """The hole in the globe itself, from the top pole."""
    _is_in(sheet, tr("the top pole"))
    globe = sheet.globe
    if globe is None:
        return None
    if not ring_is_clear(sheet, True, hole.drill_mm, "the hanger's hole", "hanger", "wire"):
        return None
    if globe.hollow_diameter_mm and any(bore.to_mm >= globe.pole_mm for bore in globe.bores):
        sheet.problem(
            "hollow",
            "pole",
            what="the hollow's opening lies where the hanger is glued in",
            write="write pole: bottom, or put a cap on top",
        )
        return None
    return _bore_core(sheet, hole, hole.deep_mm)


def _bore_core(sheet: Sheet, hole: Hole, inside: float) -> _Room | None:
    """The hole in the globe itself, ``inside`` mm deep from the pole.

    What is left beyond counts to the hollow, to a hole from the other pole, or to that pole.
    """
    globe = sheet.globe
    assert globe is not None
    core = globe.pole_mm
    below = [
        bore.to_mm + drills.point_mm(bore.diameter_mm) for bore in globe.bores if bore.from_mm < 0
    ]
    floor = globe.hollow_diameter_mm / 2 if globe.hollow_diameter_mm else max([-core, *below])
    beyond = core - inside - floor
    room = _beyond_room(
        sheet, hole, core - floor + hole.deep_mm - inside, _more_wood(sheet, hole, core - floor)
    )
    if beyond <= hole.point_mm:
        where = "the wall" if globe.hollow_diameter_mm else "the ball"
        _goes_through(sheet, hole, where, room)
        return None
    _add_beyond(sheet, hole, beyond, room)
    sheet.globe = globe.with_bore(Bore(core - inside, core, hole.drill_mm))
    return room


def _more_wood(sheet: Sheet, hole: Hole, there: float) -> str:
    """What gives a hole more wood than the ``there`` mm that the globe has for it."""
    globe = sheet.globe
    assert globe is not None
    beyond = hole.point_mm + LEAST_BEYOND_MM
    none = there - beyond < hole.least_mm
    # the depth that is advised is the printed one, which is rounded up
    printed = fine_reading(hole.least_mm, sheet.first, Direction.UP).value
    lacks = (mm_from(sheet.first, printed) if none else hole.deep_mm) + beyond - there
    if not globe.hollow_diameter_mm:
        if globe.bores:
            return f"shorten what comes from the other pole by {sheet.fine(lacks, Direction.UP)}"
        larger = sheet.fine(globe.diameter_mm + lacks, Direction.UP)
        return f"make the ball larger, {larger} or more"
    wall = (globe.diameter_mm - globe.hollow_diameter_mm) / 2
    wanted = wall + lacks
    cap = "put a cap on top to glue it into"
    if wanted >= globe.diameter_mm / 2:
        return cap
    depth = f" and hole_depth: {sheet.fine(hole.least_mm, Direction.UP)}" if none else ""
    return f"write hollow: wall: {sheet.fine(wanted, Direction.UP)} or more{depth}, or {cap}"


def _add_beyond(sheet: Sheet, hole: Hole, beyond: float, room: _Room) -> None:
    """The wood that the hole leaves, and a word where that is little."""
    sheet.length(
        "hanger.beyond",
        "Wood beyond the end of the hole, the drill's point not taken off",
        beyond,
        Direction.DOWN,
        formula="wood on the axis − depth at full width, to the next hole or the other end",
        source=GEOMETRY,
    )
    # one too shallow for its glue has a sentence of its own, which says the same
    left = beyond - hole.point_mm
    if left < LEAST_BEYOND_MM and hole.deep_mm >= hole.least_mm:
        sheet.warnings.append(
            f"hanger: only {sheet.fine(left, Direction.DOWN)} of wood is left beyond the point of "
            f"its drill; {_advice(sheet, hole, room)}"
        )
