"""Which figure each change of a correction is of, though the rows of its table have moved since.

A correction names a row by the number that it had that day. The record keeps how such a table stood
before and after, so each row is followed from one entry to the next, as ``told_rows`` pairs them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from studio.episode.published import Publication, Record
from studio.episode.records import Change, Correction, Told
from studio.episode.told_rows import Family, by_todays_names, names_of_today


@dataclass(frozen=True, slots=True)
class Followed:
    """A record whose rows are known whatever their numbers became.

    Figures of rows that may move have names of their own here; all others go by the measurement's.

    Attributes:
        record: as it is read.
        corrections: of the record, each with the figures that its changes are of.
        published: for each publication, the figures by the names under which it told them.
        todays: the names under which they stand today, by the figures.
    """

    record: Record
    corrections: tuple[Correction, ...]
    published: tuple[Mapping[str, str], ...]
    todays: Mapping[str, str]

    def figure(self, name: str, told: Publication | None) -> str:
        """Which figure a name is of.

        Args:
            name: of a measurement.
            told: the publication that named it so, one of the record; None where it is today's.
        """
        if told is not None:
            return self.published[self.record.publications.index(told)].get(name, name)
        return next((figure for figure, today in self.todays.items() if today == name), name)


def followed(record: Record, now: Mapping[str, Told], tables: Sequence[Family]) -> Followed:
    """A record with its rows followed from its first entry to today.

    Args:
        record: of the design.
        now: all that is told today.
        tables: whose rows go by their places.
    """

    def moving(figures: Mapping[str, str]) -> dict[str, str]:
        return {
            name: figure
            for name, figure in figures.items()
            if any(table.holds(name) for table in tables)
        }

    corrections, published = [], []
    told: dict[str, Told] = {}
    figures: dict[str, str] = {}
    for place, (correction, since) in enumerate(record.moments()):
        figures = _moved(figures, told, since, tables, place)
        if correction is None:
            published.append(moving(figures))
        else:
            then = by_todays_names(told, since, tables)
            known = {
                one.name: figures[one.name]
                if _begins_at(one, then.get(one.name))
                else f"{one.name} {place}"
                for one in correction.changes
            }
            corrections.append(replace(correction, figures=moving(known)))
        told = since
    names = names_of_today(told, now, tables)
    todays = {figure: names.get(name, name) for name, figure in moving(figures).items()}
    return Followed(record, tuple(corrections), tuple(published), todays)


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
