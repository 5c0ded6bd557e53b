"""What the groups of measurements are called, in the order in which papers print them."""

from __future__ import annotations

from studio.language import later, tr

HEADINGS: dict[str, str] = {
    "stock": later("The blank"),
    "sphere": later("The ball"),
    "index": later("Index marks"),
    "grooves": later("Grooves"),
    "axis": later("Mounting for the grooves"),
    "rings": later("Rings"),
    "hollow": later("The hollow"),
    "profile": later("Turned parts"),
    "assembly": later("The whole piece"),
    "hanger": later("Hanger"),
    "piece": later("The finished piece"),
    "wood": later("What the wood does later"),
    "speed": later("Speed ceilings (the plates of lathe and chuck rule)"),
    "sanding": later("Sanding"),
    "finish": later("Finish (the label rules)"),
    "tolerance": later("How far it may be off"),
    "batch": later("The batch"),
    "value": later("This design's own figures"),
}
"""Headings by the first part of a measurement's name."""


def heading(group: str) -> str:
    """The heading of a group; one without its own goes by its name."""
    return tr(HEADINGS[group]) if group in HEADINGS else group.replace("_", " ").capitalize()
