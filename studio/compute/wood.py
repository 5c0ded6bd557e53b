"""What the wood does on its way from the workshop to its later home."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.sheet import TYPED, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Climate, Design
from studio.measure.rounding import FINE, Direction
from studio.turning import wood

HANDBOOK = "USDA Wood Handbook (FPL-GTR-190)"
_PERCENT_STEP = Fraction(1, 10)


def _moisture(climate: Climate) -> float:
    return wood.equilibrium_moisture_percent(climate.temperature, climate.humidity)


def add_wood(sheet: Sheet, design: Design) -> None:
    """``wood.*``, with the air of both places and, for the ball, a wood whose figures are held."""
    climate = design.workshop.climate
    if climate is None:
        return
    try:
        before, after = _moisture(climate.shop), _moisture(climate.home)
    except ValueError as error:
        sheet.problem(
            "workshop", "climate", what=sheet.told(error), write="write the air of a usual room"
        )
        return
    equilibrium = ("equilibrium moisture from temperature and humidity", f"{HANDBOOK}, Eq. 4-5")
    shop = equilibrium
    if design.stock.moisture is not None:
        before, shop = design.stock.moisture, ("moisture meter", TYPED)
    for name, label, value, (formula, source) in (
        ("moisture_shop", "Moisture of the wood as it is turned", before, shop),
        ("moisture_home", "Moisture of wood at rest in its later home", after, equilibrium),
    ):
        sheet.number(
            f"wood.{name}",
            label,
            value,
            "percent",
            "%",
            _PERCENT_STEP,
            Direction.NEAREST,
            formula=formula,
            source=source,
        )
    try:
        species = wood.find_species(design.stock.species)
        if design.form == "sphere":
            _add_oval(sheet, design, species, before, after)
    except ValueError as error:
        sheet.warnings.append(f"wood: {sheet.told(error)}")


def _add_oval(
    sheet: Sheet, design: Design, species: wood.Species, before: float, after: float
) -> None:
    diameter = float(turned_diameter(design)[0].mm)
    try:
        later = wood.oval(diameter, species, before, after)
    except ValueError as error:
        where = ("stock", "moisture") if design.stock.moisture is not None else ("workshop",)
        sheet.problem(*where, what=sheet.told(error), write="write the moisture that a meter shows")
        return
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
