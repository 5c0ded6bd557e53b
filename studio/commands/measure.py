"""``studio measure``: the table of measurements."""

from __future__ import annotations

from pathlib import Path

from studio.commands.telling import columns, say, say_json
from studio.episode.assemble import open_episode
from studio.measure.listing import records
from studio.measure.measurement import MeasurementTable

GROUPS = {
    "sphere": "Sphere from a cylinder",
    "index": "Index marks",
    "hanger": "Hanger",
    "stock": "Stock",
    "speed": "Speed ceilings (the plates of your lathe and chuck rule)",
    "value": "Typed in the design",
}
"""Headings of the table; a group that is missing here goes by its own name."""


def measure(design: Path, *, as_json: bool) -> int:
    """Print the table.

    Raises:
        BadInput: the design has faults.
    """
    table = open_episode(design).table
    if as_json:
        say_json(records(table))
        return 0
    for line in _listing(table):
        say(line)
    return 0


def _listing(table: MeasurementTable) -> list[str]:
    lines: list[str] = []
    rows = columns([(m.name, m.label, m.text, m.other) for m in table.values()])
    line_of = dict(zip(table, rows, strict=True))
    for group in dict.fromkeys(name.partition(".")[0] for name in table):
        lines += ["", GROUPS.get(group, group)]
        for measurement in table.group(group):
            lines.append(f"  {line_of[measurement.name].rstrip()}")
            bench = measurement.bench
            if bench is not None:
                text = bench.reading(measurement.first).text
                lines.append(f"      bench rule: {bench.words} = {text}; {bench.consequence}")
    return lines[1:]
