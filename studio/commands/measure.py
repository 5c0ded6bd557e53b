"""``studio measure``: the table of measurements."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from textwrap import wrap

from studio.commands.telling import columns, note, say, say_json
from studio.episode.assemble import open_episode
from studio.files import ready_folder, write_whole
from studio.measure.listing import FILE_NAME, records
from studio.measure.listing import as_json as records_as_json
from studio.measure.measurement import MeasurementTable
from studio.measure.schedule import Schedule
from studio.measure.subjects import heading
from studio.measure.trace import plain


def measure(design: Path, out: Path | None, *, as_json: bool) -> int:
    """Print the table, and write it into ``out`` when that is given.

    Raises:
        BadInput: the design has faults, or ``out`` cannot be written.
    """
    episode = open_episode(design)
    table = episode.table
    if out is not None:
        ready_folder(out)
        write_whole(out / FILE_NAME, records_as_json(table).encode("utf-8"))
    if as_json:
        say_json(records(table))
    else:
        for line in _listing(table, episode.schedules):
            say(line)
    # on stderr, so that a program that reads the table is not in the way of who runs it
    for text in episode.notes:
        note(f"note: {text}")
    return 0


def _listing(table: MeasurementTable, schedules: Sequence[Schedule]) -> list[str]:
    """Group by group: measurements by themselves, then those that stand side by side."""
    lines: list[str] = []
    tabled = frozenset().union(*(schedule.names() for schedule in schedules))
    named_first = {name for schedule in schedules for name in schedule.columns if name in table}
    alone = [m for m in table.values() if m.name not in tabled | named_first]
    rows = columns([(m.name, m.label, m.text, m.other) for m in alone])
    line_of = dict(zip((m.name for m in alone), rows, strict=True))
    for group in dict.fromkeys(name.partition(".")[0] for name in table):
        lines += ["", heading(group)]
        for measurement in table.group(group):
            if measurement.name not in line_of:
                continue
            lines.append(f"  {line_of[measurement.name].rstrip()}")
            bench = measurement.bench
            if bench is not None:
                text = bench.reading(measurement.first).text
                lines.append(f"      bench rule: {bench.words} = {text}; {bench.consequence}")
        for schedule in schedules:
            if schedule.subject == group:
                lines += _side_by_side(table, schedule)
    return lines[1:]


def _side_by_side(table: MeasurementTable, schedule: Schedule) -> list[str]:
    heads = [table[name].text if name in table else name for name in schedule.columns]
    cells = [[table[name].both if name else "" for name in row] for row in schedule.rows]
    lines = ["", f"  {schedule.heading} ({schedule.name})"]
    lines += [f"    {line.rstrip()}" for line in columns([heads, *cells])]
    for text in schedule.notes:
        lines += wrap(plain(text), width=96, initial_indent="    ", subsequent_indent="    ")
    return lines
