"""The finished piece: volume, surface and weight, part by part and in all."""

from __future__ import annotations

import math

from studio.compute.parts import POLES, base_part
from studio.compute.sheet import GEOMETRY, Sheet
from studio.design.schema import Design
from studio.language import later
from studio.measure.rounding import Direction, number_text
from studio.turning import assembly, profile, wood
from studio.turning.form import GlobeForm, globe_form
from studio.turning.piece import PlacedPart

_MASS = {
    "formula": later("volume × specific gravity at 12 % × 1.12"),
    "source": later("USDA Wood Handbook (FPL-GTR-190), Table 5-3 and others, by species"),
}
"""Where every weight here comes from."""


def add_piece(sheet: Sheet, design: Design) -> None:
    """``piece.*``, and each part's own volume, surface and weight."""
    if design.form == "sphere" and sheet.globe is None:
        return
    if len(sheet.parts) < len(design.parts):
        return
    volume = area = 0.0
    masses: list[float | None] = []
    if sheet.globe is not None:
        top, bottom = (_shoulder(sheet, design, pole) for pole in POLES)
        form = globe_form(sheet.globe, (top, bottom))
        volume, area = form.volume_mm3, form.area_mm2
        masses.append(_mass(sheet, design.stock.species, volume))
        _add_globe(sheet, design, form)
    for placed in sheet.parts.values():
        part_volume, part_area = _add_part(sheet, design, placed, masses)
        volume, area = volume + part_volume, area + part_area
    sheet.volume(
        "piece.volume",
        "Volume of the piece",
        volume,
        formula="what is left of the globe after all cuts, and every part less its holes",
        source=GEOMETRY,
    )
    sheet.area(
        "piece.area",
        "Surface to be finished",
        area,
        formula="the globe's outer surface and every part without its tenon, less what joints hide",
        source=GEOMETRY,
    )
    if None not in masses:
        sheet.mass(
            "piece.mass",
            "Weight of the wood, air-dry",
            math.fsum(mass for mass in masses if mass is not None),
            **_MASS,
        )
        _look_at_weight(sheet, design)


def _shoulder(sheet: Sheet, design: Design, pole: str) -> float:
    """How wide the part is that stands on a pole of the globe, mm; 0 without one."""
    for placed in sheet.parts.values():
        if design.parts[placed.name].place == pole:
            return placed.face_mm
    return 0.0


def _hidden_mm2(sheet: Sheet, design: Design, placed: PlacedPart) -> float:
    """What joints hide of a part: its own face, and its free end where another stands on it, mm².

    A shoulder wider than what it stands on shows its rim.
    """
    hidden = 0.0
    free_end = placed.profile.elements[0].start_mm
    for other in sheet.parts.values():
        if design.parts[other.name].place == placed.name and free_end > 0:
            hidden += assembly.face_mm2(min(other.face_mm, free_end), 0.0)
    shoulder, tenon = placed.face_mm, placed.tenon_mm
    if (sheet.globe is None and placed.name == base_part(design)) or shoulder <= tenon:
        return hidden
    below = sheet.parts.get(design.parts[placed.name].place)
    across = shoulder if below is None else min(shoulder, below.profile.elements[0].start_mm)
    return hidden + assembly.face_mm2(across, min(tenon, across))


BRASS_BREAKS = 300.0
"""Stress at which brass wire breaks, N/mm² (from memory, at the lower end of what is usual)."""

WIRE_SAFETY = 10.0
"""A hanger is told that breaks at less than so many times the weight on it (ours)."""

_GRAVITY = 9.81
"""N for a kilogram."""


def _look_at_weight(sheet: Sheet, design: Design) -> None:
    """Tell a wire that is thin for what hangs on it."""
    wire, mass = sheet.by_name("hanger.wire"), sheet.by_name("piece.mass")
    if design.hanger is None or wire is None or mass is None:
        return
    strands = design.hanger.strands
    needed = WIRE_SAFETY * mass.value / 1000 * _GRAVITY / BRASS_BREAKS
    if strands * math.pi / 4 * wire.value**2 >= needed:
        return
    thick = sheet.fine(math.sqrt(4 * needed / (math.pi * strands)), Direction.UP)
    times = number_text(WIRE_SAFETY, 0)
    sheet.warnings.append(
        f"hanger: {mass.text} is much for so thin a wire: brass of that thickness breaks at less "
        f"than {times} times the weight (strength from memory, the rest ours): take a wire of "
        f"{thick} or thicker, or more strands"
    )


def _mass(sheet: Sheet, species: str, volume: float) -> float | None:
    try:
        density = wood.air_dry_density_kg_per_m3(wood.find_species(species))
    except ValueError as error:
        said = f"wood: {sheet.told(error)}"
        if said not in sheet.warnings:
            sheet.warnings.append(said)
        return None
    return wood.mass_g(volume, density)


def _add_globe(sheet: Sheet, design: Design, form: GlobeForm) -> None:
    if sheet.globe is None or not sheet.globe.hollow_diameter_mm:
        return
    saved = form.hollowed_mm3 + form.bored_mm3
    sheet.volume(
        "hollow.saved",
        "Wood that hollowing and holes take away",
        saved,
        formula="the solid globe less what is left",
        source=GEOMETRY,
    )
    sheet.percent(
        "hollow.saved_part",
        "Of the solid globe's weight",
        form.saved_part,
        formula="wood taken away / wood of the solid globe",
        source=GEOMETRY,
    )
    mass = _mass(sheet, design.stock.species, saved)
    if mass is not None:
        sheet.mass(
            "hollow.saved_mass",
            "Weight saved",
            mass,
            **_MASS,
        )


def _add_part(
    sheet: Sheet, design: Design, placed: PlacedPart, masses: list[float | None]
) -> tuple[float, float]:
    """A part's own volume and shown surface, written down."""
    name = placed.name
    bored = math.fsum(
        math.pi / 4 * bore.diameter_mm**2 * (bore.to_mm - bore.from_mm) for bore in placed.bores
    )
    volume = profile.volume_mm3(placed.profile) - bored
    area = profile.surface_area(placed.profile).shown_mm2 - _hidden_mm2(sheet, design, placed)
    sheet.volume(
        f"{name}.volume",
        "Volume",
        volume,
        formula="discs along the profile, less its holes",
        source=GEOMETRY,
    )
    sheet.area(
        f"{name}.area",
        "Surface to be finished",
        area,
        formula="the profile's surface without its tenon, less what joints hide",
        source=later("elementary geometry; Pappus"),
    )
    mass = _mass(sheet, placed.wood, volume)
    masses.append(mass)
    if mass is not None:
        sheet.mass(
            f"{name}.mass",
            "Weight",
            mass,
            **_MASS,
        )
    return volume, area
