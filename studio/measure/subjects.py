"""What the groups of measurements are called, in the order in which papers print them."""

from __future__ import annotations

HEADINGS: dict[str, str] = {
    "stock": "The blank",
    "sphere": "The ball",
    "index": "Index marks",
    "grooves": "Grooves",
    "axis": "Mounting for the grooves",
    "rings": "Rings",
    "hollow": "The hollow",
    "profile": "Turned parts",
    "assembly": "The whole piece",
    "hanger": "Hanger",
    "piece": "The finished piece",
    "wood": "What the wood does later",
    "speed": "Speed ceilings (the plates of lathe and chuck rule)",
    "sanding": "Sanding",
    "finish": "Finish (the label rules)",
    "tolerance": "How far it may be off",
    "batch": "The batch",
    "value": "This design's own figures",
}
"""Headings by the first part of a measurement's name."""


def heading(group: str) -> str:
    """The heading of a group; one without its own goes by its name."""
    return HEADINGS.get(group) or group.replace("_", " ").capitalize()
