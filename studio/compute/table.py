"""A design's whole table of measurements."""

from __future__ import annotations

from dataclasses import dataclass

from studio.compute.assembly import add_parts, taken_names
from studio.compute.boring import find_owned
from studio.compute.finish import add_finish
from studio.compute.grooves import add_grooves
from studio.compute.hanger import add_hanger
from studio.compute.hollow import add_hollow
from studio.compute.indexing import add_indexing
from studio.compute.mounting import add_mounting
from studio.compute.piece import add_piece
from studio.compute.rings import add_rings
from studio.compute.sheet import Sheet
from studio.compute.size_box import SizeBox, add_box
from studio.compute.speed import add_speeds
from studio.compute.sphere import add_sphere
from studio.compute.stock import add_stock
from studio.compute.tolerance import add_tolerance
from studio.compute.values import add_values
from studio.compute.wood import add_wood
from studio.design.reading import Problem
from studio.design.rescale import Origins, scaled_words
from studio.design.schema import Design
from studio.measure.measurement import MeasurementTable
from studio.measure.schedule import Schedule
from studio.turning.piece import Piece

SUBJECTS = {
    "sphere": add_sphere,
    "wood": add_wood,
    "index": add_indexing,
    "rings": add_rings,
    "grooves": add_grooves,
    "axis": add_mounting,
    "hollow": add_hollow,
    "parts": add_parts,
    "hanger": add_hanger,
    "stock": add_stock,
    "speed": add_speeds,
    "piece": add_piece,
    "finish": add_finish,
    "tolerance": add_tolerance,
    "value": add_values,
}
"""In the order in which they need one another: speeds the swings, the piece all that is cut."""

BEHIND = {
    "finish": ("sanding",),
    "parts": ("profile", "assembly"),
}
"""Subjects whose names begin with another word besides their own."""


@dataclass(frozen=True, slots=True)
class Computed:
    """What was computed.

    Attributes:
        table: every measurement that could be computed.
        problems: what makes the design impossible; empty for a sound one.
        warnings: what the turner should know, though it can be turned.
        incomplete: subjects that met a problem, whose names may be missing from the table.
        schedules: measurements that stand side by side.
        piece: the finished piece's geometry; None for an impossible design.
        box: what answers for another size; None without a ball, or for an impossible design.
    """

    table: MeasurementTable
    problems: tuple[Problem, ...]
    warnings: tuple[str, ...]
    incomplete: frozenset[str]
    schedules: tuple[Schedule, ...] = ()
    piece: Piece | None = None
    box: SizeBox | None = None


def compute(design: Design, origins: Origins | None = None) -> Computed:
    """Every measurement of ``design``; lengths in millimetres inside, printed in both systems.

    Args: the design; what was typed where a scaled length stands.
    """
    scaled = {keys: scaled_words(origin) for keys, origin in (origins or {}).items()}
    sheet = Sheet.of(design.workshop.units, design, scaled)
    incomplete: set[str] = set()
    _check_form(sheet, design)
    find_owned(sheet, design)
    for name, add in SUBJECTS.items():
        before = len(sheet.problems)
        add(sheet, design)
        if len(sheet.problems) > before:
            incomplete |= {name, *BEHIND.get(name, ())}
    if sheet.problems:
        # a subject that stands on one with a problem may be left out without a word of its own
        incomplete |= {"axis", "hollow", "hanger", "piece", "finish", *design.parts}
    return Computed(
        MeasurementTable(sheet.made, sheet.instead),
        tuple(sheet.problems),
        tuple(sheet.warnings),
        frozenset(incomplete),
        tuple(sheet.schedules),
        None
        if sheet.problems
        else Piece(sheet.globe, design.stock.species, tuple(sheet.parts.values())),
        None if sheet.problems else add_box(sheet, design),
    )


def _check_form(sheet: Sheet, design: Design) -> None:
    """What a form cannot have, and names of parts that are taken."""
    if design.form == "turned":
        for key in ("indexing", "grooves", "rings", "hollow"):
            if getattr(design, key):
                sheet.problem(
                    key,
                    what="turned parts alone have no ball to cut this into",
                    write="write form: sphere, or leave this out",
                )
        if not design.parts:
            sheet.problem(
                "form",
                what="turned parts alone, but there are no parts",
                write="write at least one under parts:, or form: sphere",
            )
    for name in taken_names(design):
        sheet.problem(
            "parts",
            name,
            what=f"{name!r} is the name of something else here",
            write="call this part otherwise, such as finial or cap",
        )
