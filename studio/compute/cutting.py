"""A groove's cross-section as wished and as a cutter owned makes it."""

from __future__ import annotations

import math
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from studio.compute.sheet import GEOMETRY, TRIGONOMETRY, WORKSHOP, Sheet
from studio.design.document import Keys
from studio.design.schema import LEAST_FLARE, Cut, Design, Ring
from studio.language import later, later_for, tr, tr_for
from studio.measure.rounding import FINE, Direction, number_reading
from studio.measure.units import Length, parse_length
from studio.turning import cutters
from studio.turning.cutters import Section, SnappedCove, SnappedVee


@dataclass(frozen=True, slots=True)
class Fitted:
    """A groove's section as it will be cut, and how it came about."""

    section: Section
    made: SnappedCove | SnappedVee

    @property
    def across_mm(self) -> float:
        """Full width along the sphere, flared edges included."""
        return self.section.width_mm


def fitted(
    sheet: Sheet, design: Design, cut: Cut, diameter: float, *keys: str | int
) -> Fitted | None:
    """The section that an owned cutter makes of ``cut``; None with a problem noted at ``keys``."""
    if not _is_complete(sheet, cut, *keys):
        return None
    owned = design.workshop.vee_cutters if cut.shape == "vee" else design.workshop.cutters
    if not owned:
        if cut.shape == "vee":
            _no_cutter(sheet, "vee_cutters", "the angles of your pointed cutters")
        else:
            _no_cutter(sheet, "cutters", "the widths of your round-nosed cutters")
        return None
    try:
        made = snapped(design, cut, diameter, cut.keep)
    except ValueError as error:
        other = _other_keep(sheet, design, cut, diameter)
        own = ", or add a cutter to the workshop file" if _can_be(cut, diameter) else ""
        write = f"write {other}{_shallower(sheet, design, cut, diameter)}{own}"
        sheet.problem(*keys, "width", what=sheet.told(error), write=write)
        return None
    one = _made(sheet, cut, made, diameter, *keys)
    if one is None or not _is_near(sheet, design, cut, one, *keys):
        return None
    return one


def tell_flare(sheet: Sheet, design: Design, cut: Cut, diameter: float, *keys: str | int) -> None:
    """Note a flare that the cutter's cove cannot have, of a groove that fails for something else.

    Told one after the other they would take two rounds to mend, and what is advised for the first
    would be refused for the second.
    """
    if cut.flare is None:
        return
    with suppress(ValueError):
        _made(sheet, cut, snapped(design, cut, diameter, cut.keep), diameter, *keys)


def _shallower(sheet: Sheet, design: Design, cut: Cut, diameter: float) -> str:
    """How deep the cutters owned go where that is what is amiss; else no more than a hint."""
    deepest = 0.0
    if cut.shape != "vee" and cut.keep == "depth":
        for one in design.workshop.cutters:
            with suppress(ValueError):
                deepest = max(deepest, cutters.deepest_cove_mm(diameter, float(one.mm) / 2))
    if not 0 < deepest < float(cut.depth.mm):
        return "another width or depth"
    return f"depth: {sheet.at_bench(deepest, Direction.DOWN)} or less"


def _can_be(cut: Cut, diameter: float) -> bool:
    """Whether some cutter, owned or not, would make just the typed groove."""
    width, depth = float(cut.width.mm), float(cut.depth.mm)
    try:
        if cut.shape == "vee":
            cutters.vee_angle_deg(diameter, width, depth)
        else:
            cutters.cove_radius_mm(diameter, width, depth)
    except ValueError:
        return False
    return True


def snapped(design: Design, cut: Cut, diameter: float, keep: str) -> SnappedCove | SnappedVee:
    """The owned cutter that comes nearest, and the groove it makes with one measure kept.

    Raises:
        ValueError: none owned makes it.
    """
    wished = diameter, float(cut.width.mm), float(cut.depth.mm)
    if cut.shape == "vee":
        angles = [cutters.VeeCutter(f"{one:g}°", one) for one in design.workshop.vee_cutters]
        return cutters.snap_vee(*wished, angles, cutters.Keep(keep))
    owned = [cutters.Cutter(one.typed, float(one.mm) / 2) for one in design.workshop.cutters]
    return cutters.snap_cove(*wished, owned, cutters.Keep(keep))


def _other_keep(sheet: Sheet, design: Design, cut: Cut, diameter: float) -> str:
    """The other ``keep:``, where a cutter owned makes about the typed groove with it."""
    keep = "depth" if cut.keep == "width" else "width"
    try:
        made = snapped(design, cut, diameter, keep)
        one = _made(sheet, cut, made, diameter)
    except ValueError:
        return ""
    if one is None:
        return ""
    _, word, wished, got = _changed(cut, one, keep)
    if abs(got - float(wished.mm)) / float(wished.mm) > FAR_PART:
        return ""
    return (
        f"keep: {keep}, which makes it {sheet.fine(got)} {word} with the cutter of "
        f"{_cutter_words(sheet, design, one)}, or "
    )


def _changed(cut: Cut, one: Fitted, keep: str) -> tuple[str, str, Length, float]:
    """What is not kept: its key, its word, as typed, and as the cutter makes it, mm."""
    if keep == "width":
        return "depth", "deep", cut.depth, one.made.depth_mm
    return "width", "wide", cut.width, one.made.width_mm


def _is_complete(sheet: Sheet, cut: Cut, *keys: str | int) -> bool:
    if cut.shape == "flared" and cut.flare is None:
        sheet.problem(
            *keys,
            "shape",
            what="a flared groove without the width of its flare",
            write="write flare: 0.5 mm, or shape: cove",
        )
        return False
    if cut.shape != "flared" and cut.flare is not None:
        sheet.problem(
            *keys,
            "flare",
            what=f"a {cut.shape} has no flared edges",
            write="write shape: flared, or leave the flare out",
        )
        return False
    return True


def _made(
    sheet: Sheet, cut: Cut, made: SnappedCove | SnappedVee, diameter: float, *keys: str | int
) -> Fitted | None:
    """What a cutter makes of a groove with its edges; None with a problem noted at ``keys``.

    Without keys nothing is noted.
    """
    if isinstance(made, SnappedVee):
        return Fitted(cutters.vee_section(diameter, made.cutter.angle_deg, made.width_mm), made)
    nose = made.cutter.radius_mm
    if cut.flare is None:
        return Fitted(cutters.cove_section(diameter, nose, made.width_mm), made)
    flare = float(cut.flare.mm)
    try:
        return Fitted(_EDGES[cut.edge](diameter, nose, made.width_mm, flare), made)
    except ValueError as error:
        if keys:
            write = _flare_words(sheet, cut.edge, diameter, made, flare)
            sheet.problem(*keys, "flare", what=sheet.told(error), write=write)
        return None


_EDGES = {"rounded": cutters.rounded_section, "chamfered": cutters.chamfered_section}


def _flare_words(sheet: Sheet, edge: str, diameter: float, made: SnappedCove, flare: float) -> str:
    """Flares and edges that this cove can have; each is tried before it is advised."""
    ways = []
    for one in (edge, *(other for other in _EDGES if other != edge)):
        widest = _widest_flare_mm(one, diameter, made, flare)
        if widest is None:
            continue
        size = "" if widest == flare else f"flare: {sheet.fine(widest, Direction.DOWN)} or less"
        words = [size, "" if one == edge else f"edge: {one}"]
        ways.append(" with ".join(word for word in reversed(words) if word))
    if not ways:
        return "write shape: cove and leave flare: out: no flared edge fits this groove"
    return f"write {', or '.join(ways)}"


def _widest_flare_mm(edge: str, diameter: float, made: SnappedCove, most: float) -> float | None:
    """The widest flare up to ``most`` that an edge can have; None where none does."""

    def fits(flare: float) -> bool:
        with suppress(ValueError):
            _EDGES[edge](diameter, made.cutter.radius_mm, made.width_mm, flare)
            return True
        return False

    if fits(most):
        return most
    good, bad = float(parse_length(LEAST_FLARE).mm), most
    if not fits(good):
        return None
    while bad - good > _FLARE_CLOSE_MM:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if fits(middle) else (good, middle)
    return good


_FLARE_CLOSE_MM = 1e-4


def _no_cutter(sheet: Sheet, key: str, what: str) -> None:
    sheet.problem(
        "workshop",
        key,
        what="no cutter is named, so no groove can be fitted to one",
        write=f"write {what} into the workshop file",
    )


def add_cut(
    sheet: Sheet, design: Design, cut: Cut, one: Fitted, keys: Keys, name: str, tail: str = ""
) -> None:
    """Write down a fitted section: ``NAME.cutter``, ``.width``, ``.depth`` and the like.

    Args:
        keys: of the section in the design.
        name: the subject.
        tail: what follows each name, such as ``_2``.
    """
    made = one.made
    if isinstance(made, SnappedVee):
        sheet.angle(
            f"{name}.cutter{tail}",
            "Pointed cutter",
            made.cutter.angle_deg,
            formula="the angle owned that changes the groove least",
            source=WORKSHOP,
        )
        if made.wished_angle_deg is not None:
            sheet.angle(
                f"{name}.angle_wished{tail}",
                "Angle that would make just the typed groove",
                made.wished_angle_deg,
                formula="the angle between the lines from the bottom to both edges",
                source=TRIGONOMETRY,
            )
    else:
        sheet.typed(
            f"{name}.cutter{tail}",
            "Round-nosed cutter, width",
            _owned(design, made),
            at=("workshop", "cutters"),
        )
        if made.wished_radius_mm is not None:
            sheet.length(
                f"{name}.cutter_radius_wished{tail}",
                "Nose radius that would make just the typed groove",
                made.wished_radius_mm,
                Direction.NEAREST,
                steps=FINE,
                formula="(R² + a² − 2·R·a·cos δ) / (2·(R·cos δ − a)), a = R − depth, "
                "δ = width / diameter",
                source=TRIGONOMETRY,
            )
    kept = tr(
        "{keep} as {came}, the other as the cutter makes it",
        keep=tr_for("groove", cut.keep),
        came=_wished(sheet, (*keys, cut.keep)),
    )
    for key, label, typed, mm, where in (
        ("width", later("Groove width"), cut.width, made.width_mm, later("along the sphere")),
        ("depth", later("Groove depth"), cut.depth, made.depth_mm, later("below the sphere")),
    ):
        if key == cut.keep:
            sheet.typed(f"{name}.{key}{tail}", label, typed, at=(*keys, key), where=where)
        else:
            sheet.length(
                f"{name}.{key}{tail}",
                label,
                mm,
                Direction.NEAREST,
                formula=tr(
                    "what the cutter makes; {came} was {size}; {kept}",
                    came=_wished(sheet, (*keys, key)),
                    size=sheet.typed_in_both(typed),
                    kept=kept,
                ),
                source=TRIGONOMETRY,
                where=where,
            )
    if cut.flare is not None and isinstance(made, SnappedCove):
        _add_flare(sheet, cut, one, made, keys, name, tail)


def _wished(sheet: Sheet, at: Keys) -> str:
    """Whether a measure was typed or scaled."""
    return tr_for("came", sheet.came(at).word)


later_for("groove", "width", "depth")

TOLD_PART = 0.1
"""A width or depth that a cutter owned changes by more than this part is told (ours)."""

FAR_PART = 0.25
"""One that it changes by more than this part is another groove, and is refused (ours)."""


def _is_near(sheet: Sheet, design: Design, cut: Cut, one: Fitted, *keys: str | int) -> bool:
    """Whether the nearest cutter owned makes about the typed groove; a problem noted if not.

    A cutter that makes a little another one is told, and which groove it is.
    """
    changed, word, wished, made = _changed(cut, one, cut.keep)
    part = abs(made - float(wished.mm)) / float(wished.mm)
    if part <= TOLD_PART:
        return True
    what = (
        f"the nearest cutter owned ({_cutter_words(sheet, design, one)}) makes "
        f"{_groove_words(sheet, cut)} "
        f"{sheet.fine(made)} {word} instead of {sheet.as_typed(wished)}"
    )
    if part <= FAR_PART:
        sheet.warnings.append(f"{keys[0]}: {what}")
        return True
    most = number_reading(FAR_PART * 100, "%", Fraction(1), Direction.EXACT).text
    sheet.problem(
        *keys,
        changed,
        what=f"{what}: more than {most} off is another groove",
        write=f"{_serving_words(sheet, cut, one)}write "
        f"{_other_keep(sheet, design, cut, one.section.diameter_mm)}{changed}: "
        f"{sheet.fine(made)}, which the one owned makes",
    )
    return False


def _groove_words(sheet: Sheet, cut: Cut) -> str:
    if not isinstance(cut, Ring):
        return "the groove"
    half = f" on the {cut.side} half" if cut.side != "both" and cut.place.mm else ""
    if not cut.place.mm:
        return "the ring on the equator"
    return f"the ring {sheet.as_typed(cut.place)} from the equator{half}"


def _cutter_words(sheet: Sheet, design: Design, one: Fitted) -> str:
    if isinstance(one.made, SnappedVee):
        return _angle_words(one.made.cutter.angle_deg, Direction.NEAREST)
    return sheet.as_typed(_owned(design, one.made))


def _owned(design: Design, made: SnappedCove) -> Length:
    """The width of a cove's cutter as the workshop file has it."""
    return next(typed for typed in design.workshop.cutters if typed.typed == made.cutter.label)


def _angle_words(degrees: float, direction: Direction) -> str:
    return number_reading(degrees, "°", Fraction(1, 10), direction).text


def _serving_words(sheet: Sheet, cut: Cut, one: Fitted) -> str:
    """Which cutters would make the typed groove near enough; nothing where none would."""
    width, depth, diameter = float(cut.width.mm), float(cut.depth.mm), one.section.diameter_mm
    sizes = []
    for part in (1 - FAR_PART, 1 + FAR_PART):
        wide, deep = (width, depth * part) if cut.keep == "width" else (width * part, depth)
        # where that is no groove, its own cutter is the limit to that side
        with suppress(ValueError):
            sizes.append(_cutter_for(one, diameter, wide, deep))
    try:
        sizes.append(_cutter_for(one, diameter, width, depth))
    except ValueError:
        # too narrow for so deep a cove: from the cutter whose walls stand upright on
        if not sizes or isinstance(one.made, SnappedVee):
            return ""
        sizes.append(2 * cutters.narrowest_cutter_mm(diameter, depth))
    least, most = min(sizes), max(sizes)
    if isinstance(one.made, SnappedVee):
        low, high = _angle_words(least, Direction.UP), _angle_words(most, Direction.DOWN)
        return f"a pointed cutter of {low} to {high} would do; or "
    low, high = sheet.fine(least, Direction.UP), sheet.fine(most, Direction.DOWN)
    return f"a round-nosed cutter {low} to {high} wide would do; or "


def widest_made(
    sheet: Sheet, design: Design, cut: Cut, diameter: float, most: float, *, advised: bool = False
) -> tuple[float, str] | None:
    """The widest groove up to ``most`` mm that a cutter owned makes of ``cut``, and with which.

    A page tells the cutter in both systems; what is ``advised`` is written in the first.
    As :func:`fitted` would take it: with the depth kept, or with the width kept and a depth that is
    not another groove's. None where no cutter owned makes one.
    """
    found: list[tuple[float, float, str]] = []
    depth = float(cut.depth.mm)
    for words, full, width_at, depth_at in _owned_cutters(
        sheet, design, cut, diameter, sheet.as_typed if advised else sheet.typed_in_both
    ):
        with suppress(ValueError):
            if cut.keep == "depth":
                wide = width_at(depth)
                if wide <= most:
                    found.append((wide, 0.0, tr("with the cutter of {words}", words=words)))
                continue
            deepest = depth * (1 + FAR_PART)
            try:
                wide = min(most, width_at(deepest))
            except ValueError:
                # its walls stand upright before that
                wide = min(most, full)
            deep = depth_at(wide)
            changed = abs(deep - depth) / depth
            if changed <= FAR_PART + _CLOSE_PART:
                told = tr(
                    "with the cutter of {words}, {deep} deep",
                    words=words,
                    deep=sheet.fine(deep) if advised else sheet.fine_in_both(deep),
                )
                found.append((wide, -changed, told))
    if not found:
        return None
    wide, _, told = max(found, key=lambda one: one[:2])
    return wide, told


_CLOSE_PART = 1e-9

Curve = Callable[[float], float]


def _owned_cutters(
    sheet: Sheet, design: Design, cut: Cut, diameter: float, said: Callable[[Length], str]
) -> list[tuple[str, float, Curve, Curve]]:
    """Each cutter owned: in words, full width, width at a depth and depth at a width, mm."""
    if cut.shape == "vee":
        return [
            (
                _angle_words(one, Direction.NEAREST),
                math.inf,
                partial(cutters.vee_width_mm, diameter, one),
                partial(cutters.vee_depth_mm, diameter, one),
            )
            for one in design.workshop.vee_cutters
        ]
    return [
        (
            said(one),
            cutters.cutter_width_mm(diameter, float(one.mm) / 2),
            partial(cutters.cove_width_mm, diameter, float(one.mm) / 2),
            partial(cutters.cove_depth_mm, diameter, float(one.mm) / 2),
        )
        for one in design.workshop.cutters
    ]


def _cutter_for(one: Fitted, diameter: float, width: float, depth: float) -> float:
    """The angle, or the width in mm, of the cutter that makes just such a groove."""
    if isinstance(one.made, SnappedVee):
        return cutters.vee_angle_deg(diameter, width, depth)
    return 2 * cutters.cove_radius_mm(diameter, width, depth)


def _add_flare(
    sheet: Sheet, cut: Cut, one: Fitted, made: SnappedCove, keys: Keys, name: str, tail: str
) -> None:
    assert cut.flare is not None
    diameter, nose, flare = one.section.diameter_mm, made.cutter.radius_mm, float(cut.flare.mm)
    sheet.typed(
        f"{name}.flare{tail}",
        "Flare of each edge",
        cut.flare,
        at=(*keys, "flare"),
        where="along the land",
    )
    sheet.length(
        f"{name}.across{tail}",
        "Groove with its flared edges",
        one.across_mm,
        Direction.NEAREST,
        formula="width + twice the flare",
        source=GEOMETRY,
        where="along the sphere",
    )
    if cut.edge == "rounded":
        sheet.length(
            f"{name}.roundover{tail}",
            "Radius that rounds the edges over",
            cutters.roundover_radius_mm(diameter, nose, made.width_mm, flare),
            Direction.NEAREST,
            formula="the circle that touches cove and land without a corner",
            source=TRIGONOMETRY,
        )
    else:
        sheet.length(
            f"{name}.chamfer{tail}",
            "Depth of the chamfer",
            cutters.chamfer_depth_mm(diameter, nose, made.width_mm, flare),
            Direction.NEAREST,
            steps=FINE,
            formula="where a 45° chamfer from the edge of the land meets the cove",
            source=TRIGONOMETRY,
        )
