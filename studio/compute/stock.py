"""The blank: section, length and swing."""

from __future__ import annotations

from studio.compute.sheet import GEOMETRY, PRACTICE, STOCK_STEPS, TYPED, Sheet
from studio.design.schema import Design
from studio.measure.measurement import System
from studio.measure.rounding import Direction
from studio.measure.units import mm_from
from studio.turning import speed, stock


def add_stock(sheet: Sheet, design: Design) -> None:
    """``stock.*``: what to saw before anything is mounted."""
    section = design.stock
    # the blank is sawn before anything is measured: it follows the plan, not the callipers
    diameter = float(section.diameter.mm)
    allowance = section.allowance
    square = section.blank == "square"
    label = "Blank, side of the square" if square else "Blank, diameter"
    if section.section is not None:
        sawn = sheet.typed("stock.section", label, section.section, steps=STOCK_STEPS)
        if float(section.section.mm) < diameter:
            sheet.problem(
                "stock",
                "section",
                what=f"a blank of {section.section.typed} is thinner than the piece",
                write=f"write at least {sheet.fine(diameter)}, or leave it out to have it computed",
            )
    else:
        sawn = sheet.length(
            "stock.section",
            label,
            stock.square_section_mm(diameter, float(section.truing.mm)),
            Direction.UP,
            steps=STOCK_STEPS,
            formula="diameter + what truing turns away",
            source=PRACTICE,
        )
    length = stock.blank_length(
        [diameter],
        headstock_mm=float(allowance.headstock.mm),
        tailstock_mm=float(allowance.tailstock.mm),
        partings=allowance.partings,
        kerf_mm=float(allowance.parting.mm),
    )
    sheet.typed("stock.headstock", "Waste at the headstock", allowance.headstock)
    sheet.typed("stock.tailstock", "Waste at the tailstock", allowance.tailstock)
    sheet.typed("stock.parting", "Width of a parting cut", allowance.parting)
    sheet.count("stock.partings", "Parting cuts", allowance.partings, formula="typed", source=TYPED)
    sheet.length(
        "stock.length",
        "Blank, length",
        length.total_mm,
        Direction.UP,
        steps=STOCK_STEPS,
        formula="diameter + waste at both ends + parting cuts",
        source=PRACTICE,
    )
    measured = design.as_measured.diameter
    if measured is not None and float(measured.mm) > mm_from(
        sheet.first, sawn.reading(sheet.first).value
    ):
        sheet.problem(
            "as_measured",
            "diameter",
            what=f"{measured.typed} is more than the blank of {sawn.text} gives",
            write="measure again, or write the blank that you really turned under stock:",
        )
    # blanks are sawn to a printed size: the larger of the two, so that no reader's swing is larger
    side = max(mm_from(system, sawn.reading(system).value) for system in System)
    swing = speed.square_blank_swing_mm(side) if square else side
    sheet.length(
        "stock.swing",
        "Largest swing of the blank",
        swing,
        Direction.UP,
        formula="diagonal of the square" if square else "diameter of the blank",
        source=GEOMETRY,
    )
