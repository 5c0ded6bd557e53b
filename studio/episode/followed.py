"""Which figure each change of a correction is of, though the rows of its table have moved since.

A correction names a row by the number that it had that day. The record keeps how such a table stood
before and after, so each row is followed from one entry to the next, as ``told_rows`` pairs them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from studio.episode.published import Record
from studio.episode.records import Change, Correction, Told
from studio.episode.told_rows import Family, by_todays_names, names_of_today


def followed(record: Record, tables: Sequence[Family]) -> tuple[Correction, ...]:
    """The corrections of a record, each with the figures that its changes are of.

    Args:
        record: of the design.
        tables: whose rows go by their places.
    """
    out = []
    told: dict[str, Told] = {}
    figures: dict[str, str] = {}
    for place, (correction, now) in enumerate(record.moments()):
        figures = _moved(figures, told, now, tables, place)
        if correction is not None:
            then = by_todays_names(told, now, tables)
            known = {
                change.name: figures[change.name]
                if _begins_at(change, then.get(change.name))
                else f"{change.name} {place}"
                for change in correction.changes
                if any(table.holds(change.name) for table in tables)
            }
            out.append(replace(correction, figures=known))
        told = now
    return tuple(out)


def _moved(
    figures: Mapping[str, str],
    told: Mapping[str, Told],
    now: Mapping[str, Told],
    tables: Sequence[Family],
    place: int,
) -> dict[str, str]:
    """By the names after an entry of the record, which figure each is; a new row has new ones.

    Args:
        figures: by the names before it.
        told, now: what was told before it and after it.
        tables: whose rows go by their places.
        place: the entry's.
    """
    names = names_of_today(told, now, tables)
    kept = {names.get(name, name): figures.get(name, name) for name in told}
    return {name: f"{name} {place}" for name in now} | kept


def _begins_at(change: Change, told: Told | None) -> bool:
    """Whether a change is from what was told: else rows were paired otherwise when it was made."""
    return told is not None and change.old in (told.text, told.metric, told.imperial)
