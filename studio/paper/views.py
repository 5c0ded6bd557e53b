"""What the templates ask for: measurements grouped, tools gathered, repeats left out.

Nothing here makes a number; it only chooses and orders what the episode holds.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from studio.episode.records import Caution, Episode, TimedStep
from studio.measure.measurement import Measurement, MeasurementTable
from studio.measure.subjects import HEADINGS, heading
from studio.measure.trace import plain

NEEDED = ("stock.section", "stock.length", "grooves.cutter", "hanger.wire", "hanger.drill")
"""Measurements that a turner has ready before the first cut."""


@dataclass(frozen=True, slots=True)
class Group:
    """Measurements that stand under one heading; ``key`` is the first part of their names."""

    key: str
    heading: str
    measurements: tuple[Measurement, ...]


@dataclass(frozen=True, slots=True)
class Source:
    """A source and the labels of the measurements taken from it; ``name`` traces it."""

    name: str
    text: str
    measurements: tuple[Measurement, ...]


@dataclass(frozen=True, slots=True)
class CautionSource:
    """A source and the cautions taken from it; ``code`` traces it."""

    code: str
    text: str
    cautions: tuple[Caution, ...]


def groups(table: MeasurementTable) -> tuple[Group, ...]:
    """All measurements under headings; groups without a heading of their own come last."""
    found: dict[str, list[Measurement]] = {}
    for measurement in table.values():
        found.setdefault(measurement.name.partition(".")[0], []).append(measurement)
    known = [key for key in HEADINGS if key in found]
    order = [*known, *(key for key in found if key not in HEADINGS)]
    return tuple(Group(key, heading(key), tuple(found[key])) for key in order)


def needed(table: MeasurementTable) -> tuple[Measurement, ...]:
    """What to have ready: the blank, the wire and its drill."""
    return tuple(table[name] for name in NEEDED if name in table)


def tools(steps: Iterable[TimedStep]) -> tuple[str, ...]:
    """Every tool once, in the order in which the steps pick them up."""
    return tuple(dict.fromkeys(tool for step in steps for tool in step.tools))


def cautions(steps: Iterable[TimedStep]) -> tuple[Caution, ...]:
    """Every caution once. One code may be said in two ways, and then stands twice."""
    return tuple({(c.code, plain(c.short)): c for step in steps for c in step.cautions}.values())


def caution_sources(steps: Iterable[TimedStep]) -> tuple[CautionSource, ...]:
    """Every source of a caution once, with the cautions taken from it."""
    found: dict[str, list[Caution]] = {}
    for caution in cautions(steps):
        found.setdefault(caution.source, []).append(caution)
    return tuple(CautionSource(cs[0].code, text, tuple(cs)) for text, cs in found.items() if text)


def sources(table: MeasurementTable) -> tuple[Source, ...]:
    """Every source once, with what is taken from it, in the order of the table."""
    found: dict[str, list[Measurement]] = {}
    for measurement in table.values():
        if measurement.source:
            found.setdefault(measurement.source, []).append(measurement)
    return tuple(Source(ms[0].name, text, tuple(ms)) for text, ms in found.items())


def shown(episode: Episode) -> tuple[Measurement, ...]:
    """The key measurements: each that some step's card shows, once, in order of work."""
    return tuple({m.name: m for step in episode.steps for m in step.shows}.values())
