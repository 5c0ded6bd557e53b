"""What the wood does on its way from the workshop to its later home."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.parts import base_part
from studio.compute.sheet import TYPED, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Climate, Design
from studio.language import Said, later, tr
from studio.measure.rounding import FINE, Direction, number_reading
from studio.turning import wood

HANDBOOK = "USDA Wood Handbook (FPL-GTR-190)"
_EQUATION = later("USDA Wood Handbook (FPL-GTR-190), Eq. 4-5")
_PERCENT_STEP = Fraction(1, 10)


def _moisture(climate: Climate) -> float:
    return wood.equilibrium_moisture_percent(climate.temperature, climate.humidity)


def add_wood(sheet: Sheet, design: Design) -> None:
    """``wood.*``, with the air of both places and, for the ball, a wood whose figures are held.

    Where they are not, its movement is left out with a note: the rest of the table needs none.
    """
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
    _add_moisture(sheet, "wood.moisture_shop", later(
            "Moisture of the wood as it is turned"
    ), before,
                  design.stock.moisture)  # fmt: skip
    _add_moisture(
        sheet,
        "wood.moisture_home",
        later("Moisture of wood at rest in its later home"),
        after,
        None,
    )
    before = before if design.stock.moisture is None else design.stock.moisture
    try:
        species = wood.find_species(design.stock.species)
        if design.form == "sphere":
            _add_oval(sheet, design, species, before, after)
    except ValueError as error:
        sheet.warnings.append(f"wood: {sheet.told(error)}")


def _add_moisture(
    sheet: Sheet, name: str, label: str, at_rest: float, metered: float | None
) -> None:
    """The moisture that a meter showed, or that of wood at rest in its air."""
    sheet.number(
        name,
        label,
        at_rest if metered is None else metered,
        "percent",
        "%",
        _PERCENT_STEP,
        Direction.NEAREST,
        formula="equilibrium moisture from temperature and humidity"
        if metered is None
        else "moisture meter",
        source=_EQUATION if metered is None else TYPED,
    )


def add_part_moisture(sheet: Sheet, design: Design, name: str) -> None:
    """``NAME.moisture`` of a part whose wood is not simply the globe's, where the air is known."""
    part, climate = design.parts[name], design.workshop.climate
    if climate is None or sheet.by_name("wood.moisture_home") is None:
        return
    if name != base_part(design) and (part.species or part.moisture) is not None:
        label = later("Moisture of its wood as it is turned")
        _add_moisture(sheet, f"{name}.moisture", label, _moisture(climate.shop), part.moisture)


def moisture_as_turned(sheet: Sheet, place: str) -> float | None:
    """The moisture, %, at which a part or the globe is turned; None where no air is known.

    A part of the globe's own wood, with none metered for itself, was sawn from the same board.
    """
    one = sheet.by_name(f"{place}.moisture") or sheet.by_name("wood.moisture_shop")
    return one.value if one is not None else None


def from_saturation(species: wood.Species, *moistures: float) -> str:
    """What a formula says of wood wetter than its fibre saturation; nothing for drier wood."""
    saturation = species.fibre_saturation_percent
    if max(moistures) <= saturation:
        return ""
    text = number_reading(saturation, "%", _PERCENT_STEP, Direction.NEAREST).text
    return tr(", counted from fibre saturation, {part}: wetter wood does not move", part=text)


later("Wood Handbook, Table 13-5")


def _source_words(source: str) -> str:
    """Where a wood's figures come from, part by part."""
    return "; ".join(tr(part) for part in source.split("; "))


def _add_oval(
    sheet: Sheet, design: Design, species: wood.Species, before: float, after: float
) -> None:
    diameter = float(turned_diameter(design)[0].mm)
    after_move = wood.oval(diameter, species, before, after)
    source = Said(
        f"{HANDBOOK}, {after_move.form.value}; {_source_words(species.coefficient_source)}"
    )
    wet = from_saturation(species, before, after)
    for name, label, value in (
        ("radial", later("Later diameter across the growth rings"), after_move.radial_mm),
        ("tangential", later("Later diameter along the growth rings"), after_move.tangential_mm),
    ):
        sheet.length(
            f"wood.{name}",
            label,
            value,
            Direction.NEAREST,
            steps=FINE,
            formula=tr("diameter + diameter × coefficient × change of moisture{wet}", wet=wet),
            source=source,
        )
    sheet.length(
        "wood.movement",
        "Out of round at home",
        after_move.out_of_round_mm,
        Direction.UP,
        steps=FINE,
        formula="the thicker of the two later diameters less the thinner",
        source=source,
    )
