"""The finished piece: volume, surface, weight, and what its wood does later."""

from __future__ import annotations

import math
from fractions import Fraction

from studio.compute.grooves import section_of
from studio.compute.sheet import GEOMETRY, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Climate, Design
from studio.measure.measurement import System
from studio.measure.rounding import FINE, Direction, area_reading, area_rule, mass_reading
from studio.turning import grooves, sphere, wood

_PERCENT_STEP = Fraction(1, 10)
HANDBOOK = "USDA Wood Handbook (FPL-GTR-190)"


def add_piece(sheet: Sheet, design: Design) -> None:
    """``piece.*`` and, for a wood whose figures are held, ``wood.*``."""
    diameter = float(turned_diameter(design)[0].mm)
    volume, area = sphere.sphere_volume_mm3(diameter), math.pi * diameter**2
    how = "the sphere"
    section = section_of(design, diameter)
    if section is not None and design.grooves is not None:
        try:
            form = grooves.grooved_form(section, design.grooves.number)
        except ValueError:
            # the grooves' own problem is told by their subject
            return
        volume, area, how = form.volume_mm3, form.area_mm2, "the sphere less its grooves"
    sheet.volume("piece.volume", "Volume of the piece", volume, formula=how, source=GEOMETRY)
    sheet.add(
        "piece.area",
        "Surface to be finished",
        area,
        "mm2",
        {system: area_reading(area, system) for system in System},
        rule=area_rule(),
        formula=how,
        source=GEOMETRY,
    )
    try:
        species = wood.find_species(design.stock.species)
    except ValueError as error:
        sheet.warnings.append(f"wood: {error}; its movement and weight are left out")
        return
    _add_mass(sheet, species, volume)
    _add_movement(sheet, design, species, diameter)


def _add_mass(sheet: Sheet, species: wood.Species, volume: float) -> None:
    try:
        density = wood.air_dry_density_kg_per_m3(species)
    except ValueError as error:
        sheet.warnings.append(f"wood: {error}")
        return
    mass = wood.mass_g(volume, density)
    sheet.add(
        "piece.mass",
        "Weight of the wood, air-dry",
        mass,
        "g",
        {system: mass_reading(mass, system) for system in System},
        rule="rounded to the nearest",
        formula="volume × specific gravity at 12 % × 1.12",
        source=f"{HANDBOOK}, Table 5-3: {species.gravity_source}",
    )


def _moisture(climate: Climate) -> float:
    return wood.equilibrium_moisture_percent(climate.temperature, climate.humidity)


def _add_movement(sheet: Sheet, design: Design, species: wood.Species, diameter: float) -> None:
    climate = design.workshop.climate
    if climate is None:
        return
    try:
        before, after = _moisture(climate.shop), _moisture(climate.home)
        later = wood.oval(diameter, species, before, after)
    except ValueError as error:
        sheet.problem("workshop", "climate", what=str(error), write="write the air of a usual room")
        return
    for name, label, value in (
        ("moisture_shop", "Moisture of wood at rest in the workshop", before),
        ("moisture_home", "Moisture of wood at rest in its later home", after),
    ):
        sheet.number(
            f"wood.{name}",
            label,
            value,
            "percent",
            "%",
            _PERCENT_STEP,
            Direction.NEAREST,
            formula="equilibrium moisture from temperature and humidity",
            source=f"{HANDBOOK}, Eq. 4-5",
        )
    source = f"{HANDBOOK}, {later.form.value}; {species.coefficient_source}"
    for name, label, value in (
        ("radial", "Later diameter across the growth rings", later.radial_mm),
        ("tangential", "Later diameter along the growth rings", later.tangential_mm),
    ):
        sheet.length(
            f"wood.{name}",
            label,
            value,
            Direction.NEAREST,
            steps=FINE,
            formula="diameter + diameter × coefficient × change of moisture",
            source=source,
        )
    sheet.length(
        "wood.movement",
        "Out of round at home",
        later.out_of_round_mm,
        Direction.UP,
        steps=FINE,
        formula="the thicker of the two later diameters less the thinner",
        source=source,
    )
