"""The one table of measurements that every output draws from."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from studio.measure.trace import mark


class System(StrEnum):
    """A system of units; a design says which one is printed first."""

    METRIC = "metric"
    IMPERIAL = "imperial"

    @property
    def other(self) -> System:
        """The system printed second."""
        return System.IMPERIAL if self is System.METRIC else System.METRIC


@dataclass(frozen=True, slots=True)
class Reading:
    """A measurement as printed in one system.

    Attributes:
        value: the printed number, in ``unit``.
        unit: unit as printed (``mm``, ``in``, ``rpm``, ``°``), empty for a plain count.
        text: number and unit as every output prints them; renderers keep it on one line.
        off_by: printed minus exact, in ``unit``; 0 when nothing was rounded.
    """

    value: float
    unit: str
    text: str
    off_by: float = 0.0


def in_both(first: str, other: str) -> str:
    """Two readings of one thing as a sentence has them.

    >>> in_both("60 mm", "2 3/8 in")
    '60 mm (2 3/8 in)'
    """
    return f"{first} ({other})"


def in_a_sentence(label: str) -> str:
    """A measurement's label as it is written inside a sentence.

    >>> in_a_sentence("Hole for cap")
    'hole for cap'
    """
    return label[:1].lower() + label[1:]


@dataclass(frozen=True, slots=True)
class BenchRule:
    """The workshop's rule of thumb beside an exact value.

    Attributes:
        words: the rule as a turner says it ("a quarter of the octagon's side").
        metric: what the rule gives, printed in the metric system.
        imperial: what it gives, printed in the imperial system.
        consequence: what using it costs or leaves, its lengths in both systems ("0.2 mm
            (0.008 in) longer than the exact side").
        pairs: each length of ``consequence``, in the first system and in the other.
    """

    words: str
    metric: Reading
    imperial: Reading
    consequence: str
    pairs: tuple[tuple[str, str], ...] = ()

    def reading(self, system: System) -> Reading:
        """The rule's result in ``system``."""
        return self.metric if system is System.METRIC else self.imperial


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A named, computed quantity with its printed text.

    Attributes:
        name: dotted name, the one a design's text uses (``sphere.octagon_side``).
        label: what a turner calls it.
        value: exact value in ``unit``.
        unit: unit of ``value``: ``mm``, ``mm3``, ``deg``, ``rpm``, ``count``, ``ratio``,
            ``m/s``, ``s``; lengths are always millimetres inside.
        metric: as printed for a metric reader.
        imperial: as printed for a reader of inches.
        first: the system that is printed first.
        rule: how it was rounded, in words.
        formula: how it was computed, in words.
        source: where the formula or value comes from.
        bench: the rule of thumb beside it, when there is one.
        where: where on the piece or blank it is measured, for cards; may be empty.
    """

    name: str
    label: str
    value: float
    unit: str
    metric: Reading
    imperial: Reading
    first: System
    rule: str
    formula: str
    source: str
    bench: BenchRule | None = None
    where: str = ""

    def reading(self, system: System) -> Reading:
        """As printed in ``system``."""
        return self.metric if system is System.METRIC else self.imperial

    @property
    def text(self) -> str:
        """As said and shown: the first system's text."""
        return self.reading(self.first).text

    @property
    def other(self) -> str:
        """The second system's text; empty when it is the same."""
        other = self.reading(self.first.other).text
        return "" if other == self.text else other

    @property
    def both(self) -> str:
        """As printed on paper: ``60 mm (2 3/8 in)``, or one text when both are the same."""
        return in_both(self.text, self.other) if self.other else self.text

    def marked(self) -> str:
        """``text`` with the mark that traces it to this measurement."""
        return mark(self.name, self.text)

    def marked_other(self) -> str:
        """``other`` with its mark; empty when the second system has the same text."""
        return mark(self.name, self.other) if self.other else ""

    def marked_both(self) -> str:
        """``both`` with its mark."""
        return mark(self.name, self.both)


class UnknownMeasurement(KeyError):
    """A name that the table does not hold."""

    def __init__(self, name: str, table: MeasurementTable):
        self.name = name
        self._table = table
        super().__init__(name)

    @property
    def nearest(self) -> tuple[str, ...]:
        """The closest names that the table holds; looked for only when somebody is told."""
        return self._table.nearest(self.name)

    @property
    def instead(self) -> str:
        """What a design writes in its place, where that is known; else nothing."""
        return self._table.instead.get(self.name, "")


class MeasurementTable(Mapping[str, Measurement]):
    """All measurements of a design, by name, in the order in which they were computed.

    Attributes:
        instead: names that a design could have but this one has not, and what it writes instead.
    """

    def __init__(
        self, measurements: Iterable[Measurement], instead: Mapping[str, str] | None = None
    ):
        self.instead = dict(instead or {})
        self._by_name: dict[str, Measurement] = {}
        for measurement in measurements:
            if measurement.name in self._by_name:
                raise ValueError(f"measurement {measurement.name} computed twice")
            self._by_name[measurement.name] = measurement

    def __getitem__(self, name: str) -> Measurement:
        try:
            return self._by_name[name]
        except KeyError:
            raise UnknownMeasurement(name, self) from None

    def __iter__(self) -> Iterator[str]:
        return iter(self._by_name)

    def __len__(self) -> int:
        return len(self._by_name)

    def nearest(self, name: str, most: int = 3) -> tuple[str, ...]:
        """The names closest to ``name``, best first."""
        close = difflib.get_close_matches(name, self._by_name, n=most, cutoff=0.5)
        if not close:
            tail = name.rpartition(".")[2]
            close = [known for known in self._by_name if tail and tail in known][:most]
        return tuple(close)

    def group(self, prefix: str) -> tuple[Measurement, ...]:
        """All measurements whose name starts with ``prefix.``, in table order."""
        return tuple(m for name, m in self._by_name.items() if name.startswith(prefix + "."))
