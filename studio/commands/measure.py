"""``studio measure``: the table of measurements."""

from __future__ import annotations

from pathlib import Path

from studio.commands.telling import columns, say, say_json
from studio.episode.assemble import open_episode
from studio.files import ready_folder, write_whole
from studio.measure.listing import FILE_NAME, records
from studio.measure.listing import as_json as records_as_json
from studio.measure.measurement import MeasurementTable
from studio.measure.subjects import heading


def measure(design: Path, out: Path | None, *, as_json: bool) -> int:
    """Print the table, and write it into ``out`` when that is given.

    Raises:
        BadInput: the design has faults, or ``out`` cannot be written.
    """
    table = open_episode(design).table
    if out is not None:
        ready_folder(out)
        write_whole(out / FILE_NAME, records_as_json(table).encode("utf-8"))
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
        lines += ["", heading(group)]
        for measurement in table.group(group):
            lines.append(f"  {line_of[measurement.name].rstrip()}")
            bench = measurement.bench
            if bench is not None:
                text = bench.reading(measurement.first).text
                lines.append(f"      bench rule: {bench.words} = {text}; {bench.consequence}")
    return lines[1:]
