"""The sheet on which one design's measurements are written down, in order."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from pydantic import BaseModel

from studio.design.document import Keys
from studio.design.reading import Problem
from studio.design.rescale import Wanted
from studio.design.schema import FRACTION_STEPS, METRIC_STEPS, Design, Units
from studio.language import Said, later, later_for, tr, tr_for, translated
from studio.measure.measurement import BenchRule, Measurement, Reading, System, in_both
from studio.measure.rounding import (
    FINE,
    Direction,
    Grid,
    Steps,
    area_reading,
    area_rule,
    as_written,
    fine_reading,
    finer_text,
    in_unit,
    length_in,
    length_reading,
    mass_reading,
    mass_rule,
    number_reading,
    rounded_words,
    rule_reading,
    typed_length,
    volume_reading,
    volume_rule,
    with_parts,
)
from studio.measure.schedule import Schedule
from studio.measure.units import Length, mm_from
from studio.turning.drills import Drill
from studio.turning.piece import Bore, Globe, PlacedPart

TRIGONOMETRY = later("elementary trigonometry")
GEOMETRY = later("elementary geometry")
PRACTICE = later("common practice, no source")
SPHERICAL = later("spherical trigonometry")
TYPED = later("typed in the design")
NOT_TYPED = later("default, not typed in the design")
SCALED_FROM = later("scaled from another design")
MEASURED = later("as measured at the bench")
WORKSHOP = later("the workshop file")
NOT_IN_WORKSHOP = later("default, not in the workshop file")

RIMS = ("workshop", "chuck", "rims")
"""Keys of the cup chucks owned."""

_RAW_LENGTH = re.compile(r"(\d+(?:\.\d+)?) mm\b")
_RAW_ANGLE = re.compile(r"(-?\d+\.\d+)°")
_LEAST_STEP = Fraction(1, 10**6)
"""No two lengths are told apart more finely, in mm."""

_FINER = later("or as callipers read it where a rule is too coarse for it")

FINEST_PRINTED = 64_000
"""No printed length has a larger denominator: thousandths and sixty-fourths."""

STOCK_STEPS = Steps(Fraction(1), Fraction(1, 8))
"""Sawn stock is cut to whole millimetres or eighths of an inch (common practice, no source)."""


later_for("came", "typed", "scaled", "measured", "default")
later("callipers")
later("default")


@dataclass(frozen=True, slots=True)
class Came:
    """Where a value that nothing computes came from.

    Attributes:
        how: ``typed``, ``default``, ``callipers`` or from what it was scaled.
        source: the same as a source that papers list.
    """

    how: str
    source: str

    @property
    def word(self) -> str:
        """How it came, in one word: ``typed``, ``scaled``, ``measured`` or ``default``."""
        words = {MEASURED: "measured", SCALED_FROM: "scaled"}
        return words.get(self.source, self.how)

    @property
    def words(self) -> str:
        """How it came, as rules say it: ``as typed`` and the like."""
        return tr("as {came}", came=tr_for("came", self.word))


def _plain(reading: Reading) -> Reading:
    """A reading whose text is a plain one: records are written to files of many kinds."""
    text = reading.text
    return replace(reading, text=str(text)) if type(text) is Said else reading


def _fine(mm: float, system: System, direction: Direction) -> str:
    """A small length in one system, for a sentence: one that prints as nothing has a limit."""
    reading = fine_reading(mm, system, direction)
    if reading.value or not mm:
        return reading.text
    return tr("less than {most}", most=length_reading(mm, system, FINE, Direction.UP).text)


def _mm(readings: Mapping[System, Reading]) -> list[float]:
    """Lengths as each system prints them."""
    return [mm_from(system, reading.value) for system, reading in readings.items()]


@dataclass(slots=True)
class Sheet:
    """Collects measurements and the problems met while computing them.

    Attributes:
        first: the system printed first.
        bench: the finest divisions read off at the bench.
        made: measurements so far.
        problems: what makes the design impossible, in a turner's words.
        warnings: what the turner should know, though it can be turned.
        schedules: measurements that stand side by side.
        globe: the ball's geometry so far; None for turned parts alone, or an impossible ball.
        parts: the turned parts placed so far, by name.
        drills: the drills owned; none when a line of them cannot be read.
        instead: measurements that this design cannot have, and what to write instead of each.
        design: what the values written down as typed stand in.
        scaled: lengths that were scaled from another design, in words.
        opened_before_grooves: an opening as the grooves' seat sees it: latitude, width in mm.
    """

    first: System
    bench: Steps
    made: list[Measurement] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    schedules: list[Schedule] = field(default_factory=list)
    globe: Globe | None = None
    parts: dict[str, PlacedPart] = field(default_factory=dict)
    drills: tuple[Drill, ...] = ()
    instead: dict[str, str] = field(default_factory=dict)
    opened_before_grooves: tuple[tuple[float, float], ...] = ()
    design: Design | None = None
    scaled: Mapping[Keys, str] = field(default_factory=dict)

    @classmethod
    def of(
        cls, units: Units, design: Design | None = None, scaled: Mapping[Keys, str] | None = None
    ) -> Sheet:
        """A sheet that prints as the workshop's ``units`` say.

        Args: the units; the design and its scaled lengths, where any of its values are written down
            as typed.
        """
        steps = Steps(METRIC_STEPS[units.metric_step], FRACTION_STEPS[units.fraction_step])
        return cls(units.system, steps, design=design, scaled=scaled or {})

    def came(self, at: Keys) -> Came:
        """Where a value of the design or its workshop came from: typed, scaled or a default.

        Args: its keys. A section is scaled where anything in it is.
        """
        if at[0] == "as_measured":
            return Came("callipers", MEASURED)
        workshop = at[0] == "workshop"
        for keys, words in self.scaled.items():
            if keys[: len(at)] == at:
                return Came(words, SCALED_FROM)
        here: object = self.design
        for key in at:
            if isinstance(here, BaseModel):
                if key not in here.model_fields_set:
                    return Came("default", NOT_IN_WORKSHOP if workshop else NOT_TYPED)
                here = getattr(here, str(key))
            elif isinstance(here, Mapping | Sequence):
                here = here[key]  # type: ignore[index]
        return Came("typed", WORKSHOP if workshop else TYPED)

    def add(
        self,
        name: str,
        label: str,
        value: float,
        unit: str,
        readings: Mapping[System, Reading],
        *,
        rule: str,
        formula: str,
        source: str,
        bench: BenchRule | None = None,
        where: str = "",
    ) -> Measurement:
        """Write one measurement down whose readings are ready.

        Label, rule, formula, source and place are put into the language that holds, unless they
        are in it already: whoever calls writes them in English.
        """
        measurement = Measurement(
            name=name,
            label=translated(label),
            value=value,
            unit=unit,
            metric=_plain(readings[System.METRIC]),
            imperial=_plain(readings[System.IMPERIAL]),
            first=self.first,
            rule=translated(rule),
            formula=translated(formula),
            source=translated(source),
            bench=bench,
            where=translated(where),
        )
        self.made.append(measurement)
        return measurement

    def length(
        self,
        name: str,
        label: str,
        mm: float,
        direction: Direction,
        *,
        formula: str,
        source: str,
        steps: Steps | None = None,
        bench: BenchRule | None = None,
        where: str = "",
        most: Measurement | None = None,
        parts: Mapping[System, Fraction] | None = None,
        by_system: Mapping[System, float] | None = None,
        within: tuple[float, float] | None = None,
        rule: str = "",
    ) -> Measurement:
        """A computed length in both systems, rounded to ``steps`` (the bench's when left out).

        With ``by_system`` it is another one in each, such as what a piece measures at a place that
        each prints on its own rule; ``mm`` is then the one at the exact place. Where the bench's
        step would take it out of ``within``, mm, it is printed as callipers read. A ``rule`` of
        its own tells what is rounded, its ``{rule}`` how.

        Rounded, it is no more than ``most``, which an exact one is not either: a calliper set
        wider than the cylinder, as that is printed, would measure nothing. With ``parts``, as they
        are printed in each system's unit, it goes up and is no less than they are.
        """
        lengths = by_system or dict.fromkeys(System, mm)
        by_rule = steps is None
        steps = steps or self.bench
        readings, how = self._rounded(lengths, steps, direction, by_rule=by_rule)
        if within is not None and not all(within[0] <= one <= within[1] for one in _mm(readings)):
            steps = FINE
            readings, how = self._rounded(lengths, steps, direction, by_rule=False)
        if rule:
            how = tr(rule, rule=how)
        if by_system is not None:
            # what a text is off by counts from the one length that stands for both
            readings = {
                one: replace(shown, off_by=shown.off_by + float(in_unit(lengths[one] - mm, one)))
                for one, shown in readings.items()
            }
        if parts is not None:
            for system, sum_of_parts in parts.items():
                over, under = sum_of_parts.numerator, sum_of_parts.denominator
                whole = with_parts(mm, over, under, system, Grid.of(steps))
                readings[system] = length_in(Fraction(*whole), system, mm)
            how = tr("{rule}, the printed parts at least", rule=how)
        if most is not None:
            for system, reading in readings.items():
                limit = most.reading(system)
                readings[system] = reading if reading.value <= limit.value else limit
            how = tr("{rule}, {name} at most", rule=how, name=most.name)
        return self.add(
            name,
            label,
            mm,
            "mm",
            readings,
            rule=how,
            formula=formula,
            source=source,
            bench=bench,
            where=where,
        )

    @staticmethod
    def _rounded(
        lengths: Mapping[System, float], steps: Steps, direction: Direction, *, by_rule: bool
    ) -> tuple[dict[System, Reading], str]:
        """Lengths on their steps, and how in words; finer by a rule that changes them much."""
        readings = {one: length_reading(lengths[one], one, steps, direction) for one in System}
        rule = steps.rule(direction)
        if by_rule:
            finer = {one: rule_reading(lengths[one], one, steps, direction) for one in System}
            if finer != readings:
                return finer, Said(f"{rule}, {tr(_FINER)}")
        return readings, rule

    def typed(
        self,
        name: str,
        label: str,
        length: Length,
        *,
        at: Keys,
        steps: Steps | None = None,
        where: str = "",
    ) -> Measurement:
        """A length as it stands in the design, and its nearest printed form in the other system.

        ``at`` are its keys, which tell whether it was typed, scaled or is a default.
        """
        mm = float(length.mm)
        came = self.came(at)
        readings, rule = self.typed_readings(length, steps, came.words)
        return self.add(
            name,
            label,
            mm,
            "mm",
            readings,
            rule=rule,
            formula=came.how,
            source=came.source,
            where=where,
        )

    def typed_readings(
        self, length: Length, steps: Steps | None = None, came: str = ""
    ) -> tuple[dict[System, Reading], str]:
        """A typed length as it is printed in both systems, and the rule of that.

        ``came`` says how it came, in words, if not as typed.
        """
        by_rule, steps = steps is None, steps or self.bench
        mm = float(length.mm)
        readings = {
            system: length_in(typed_length(length, system, steps), system, mm) for system in System
        }
        rule = steps.other_rule(length.system, came)
        other = length.system.other
        if (
            by_rule
            and mm
            and (finer := rule_reading(length.mm, other, steps, Direction.NEAREST))
            != readings[other]
        ):
            readings[other], rule = finer, Said(f"{rule}, {tr(_FINER)}")
        return readings, rule

    def printed_sum(
        self, terms: Sequence[tuple[int, Measurement | Length]]
    ) -> dict[System, Fraction]:
        """The sum of lengths as they are printed, in each system's own unit."""
        sums = dict.fromkeys(System, Fraction(0))
        for count, one in terms:
            readings = (
                self.typed_readings(one)[0]
                if isinstance(one, Length)
                else {system: one.reading(system) for system in System}
            )
            for system, reading in readings.items():
                sums[system] += count * Fraction(reading.value).limit_denominator(FINEST_PRINTED)
        return sums

    def number(
        self,
        name: str,
        label: str,
        value: float,
        unit: str,
        printed_unit: str,
        step: Fraction,
        direction: Direction,
        *,
        formula: str,
        source: str,
        where: str = "",
    ) -> Measurement:
        """A figure that both systems share: a count, an angle, a speed, a ratio."""
        reading = number_reading(value, printed_unit, step, direction)
        shown = number_reading(float(step), printed_unit, step, Direction.NEAREST).text
        exact = direction is Direction.EXACT
        return self.add(
            name,
            label,
            value,
            unit,
            dict.fromkeys(System, reading),
            rule="exact" if exact else rounded_words(direction, shown),
            formula=formula,
            source=source,
            where=where,
        )

    def count(self, name: str, label: str, value: int, *, formula: str, source: str) -> Measurement:
        """A whole number."""
        return self.number(
            name,
            label,
            value,
            "count",
            "",
            Fraction(1),
            Direction.EXACT,
            formula=formula,
            source=source,
        )

    def typed_count(self, name: str, label: str, value: int, at: Keys) -> Measurement:
        """A whole number as it stands in the design, at the keys ``at``."""
        came = self.came(at)
        return self.count(name, label, value, formula=came.how, source=came.source)

    def words(
        self, name: str, label: str, text: str, *, formula: str, source: str, value: float = 0.0
    ) -> Measurement:
        """A measurement that is told in words: a place, a name, a choice.

        ``value`` is what stands behind the words, where there is a figure. The words are in the
        language that holds, or the turner's own.
        """
        return self.add(
            name,
            label,
            value,
            "words",
            dict.fromkeys(System, Reading(value, "", text)),
            rule=Direction.EXACT.value,
            formula=formula,
            source=source,
        )

    def by_name(self, name: str) -> Measurement | None:
        """A measurement written down already, or None."""
        return next((one for one in self.made if one.name == name), None)

    def says_as(self, one: Measurement, other: Measurement) -> None:
        """Print one measurement as another of the same value is: the same thing, listed twice."""
        place = self.made.index(one)
        self.made[place] = replace(
            one, metric=other.metric, imperial=other.imperial, rule=other.rule
        )

    def angle(
        self,
        name: str,
        label: str,
        degrees: float,
        *,
        formula: str,
        source: str,
        direction: Direction = Direction.NEAREST,
        where: str = "",
    ) -> Measurement:
        """An angle to a tenth of a degree, as a protractor shows it (ours)."""
        return self.number(
            name,
            label,
            degrees,
            "deg",
            "°",
            Fraction(1, 10),
            direction,
            formula=formula,
            source=source,
            where=where,
        )

    def percent(
        self,
        name: str,
        label: str,
        part: float,
        *,
        formula: str,
        source: str,
        direction: Direction = Direction.NEAREST,
    ) -> Measurement:
        """A part of a whole, 0 to 1, in whole percent."""
        return self.number(
            name,
            label,
            part * 100,
            "percent",
            "%",
            Fraction(1),
            direction,
            formula=formula,
            source=source,
        )

    def area(self, name: str, label: str, mm2: float, *, formula: str, source: str) -> Measurement:
        """An area in square centimetres and square inches."""
        return self.add(
            name,
            label,
            mm2,
            "mm2",
            {system: area_reading(mm2, system) for system in System},
            rule=area_rule(mm2),
            formula=formula,
            source=source,
        )

    def mass(
        self, name: str, label: str, grams: float, *, formula: str, source: str
    ) -> Measurement:
        """A weight in grams and ounces."""
        return self.add(
            name,
            label,
            grams,
            "g",
            {system: mass_reading(grams, system) for system in System},
            rule=mass_rule(grams),
            formula=formula,
            source=source,
        )

    def volume(
        self, name: str, label: str, mm3: float, *, formula: str, source: str
    ) -> Measurement:
        """A volume in cubic centimetres and cubic inches."""
        return self.add(
            name,
            label,
            mm3,
            "mm3",
            {system: volume_reading(mm3, system) for system in System},
            rule=volume_rule(mm3),
            formula=formula,
            source=source,
        )

    def bench_rule(
        self,
        words: str,
        mm: float,
        direction: Direction,
        consequence: str,
        lengths: Sequence[float] = (),
    ) -> BenchRule:
        """A rule of thumb's result beside an exact length.

        ``consequence`` tells each of ``lengths``, in mm, by :meth:`fine_in_both`.
        """
        metric, imperial = (
            length_reading(mm, system, self.bench, direction)
            for system in (System.METRIC, System.IMPERIAL)
        )
        pairs = tuple(map(self._fine_pair, lengths))
        return BenchRule(translated(words), metric, imperial, translated(consequence), pairs)

    def fine(self, mm: float, direction: Direction = Direction.NEAREST) -> str:
        """A small length in the first system, for a sentence."""
        return _fine(mm, self.first, direction)

    def fine_in_both(self, mm: float) -> str:
        """A small length in both systems, for a sentence."""
        return in_both(*self._fine_pair(mm))

    def _fine_pair(self, mm: float) -> tuple[str, str]:
        first, other = (
            _fine(mm, system, Direction.NEAREST) for system in (self.first, self.first.other)
        )
        return first, other

    def at_bench(self, mm: float, direction: Direction) -> str:
        """A limit for a sentence, on the step on which the table prints it.

        One too small for that step is told as callipers read it, as in the table.
        """
        return rule_reading(mm, self.first, self.bench, direction).text

    def bore(self, part: str, hole: Bore) -> None:
        """Note a hole in a turned part."""
        placed = self.parts[part]
        self.parts[part] = replace(placed, bores=(*placed.bores, hole))

    def as_typed(self, length: Length) -> str:
        """A typed length for a sentence: as typed, or in the first system where it was not."""
        if length.system is not self.first:
            return self.fine(float(length.mm))
        return as_written(length)

    def typed_in_both(self, length: Length) -> str:
        """A typed length in both systems, for what a page tells of a measurement."""
        readings, _ = self.typed_readings(length)
        return in_both(readings[self.first].text, readings[self.first.other].text)

    def at_least(self, length: Length) -> str:
        """A typed length as the least that may be written: as typed, or rounded up where not."""
        if length.system is self.first:
            return as_written(length)
        return self.fine(float(length.mm), Direction.UP)

    def short_of(self, mm: float, limit: Length) -> tuple[str, str]:
        """A length that falls short of a limit, and that limit, printed so that the two differ.

        A scaled length may be a hair too small: 3 mm is not less than 3 mm.
        """
        found = fine_reading(mm, self.first, Direction.DOWN).text
        shown = self.as_typed(limit)
        steps = FINE
        while found == shown and steps.metric > _LEAST_STEP:
            steps = Steps(steps.metric / 10, steps.imperial / 10)
            found = finer_text(mm, self.first, steps, Direction.DOWN)
            shown = finer_text(limit.mm, self.first, steps, Direction.NEAREST)
        return found, shown

    def told(self, error: Exception) -> str:
        """What a formula refused, with its raw figures as this sheet prints them."""
        text = _RAW_LENGTH.sub(lambda match: self.fine(float(match[1])), str(error))
        return _RAW_ANGLE.sub(
            lambda match: (
                number_reading(abs(float(match[1])), "°", Fraction(1, 10), Direction.NEAREST).text
            ),
            text,
        )

    def total(
        self,
        name: str,
        label: str,
        terms: Sequence[tuple[int, Measurement]],
        *,
        formula: str,
        source: str,
        where: str = "",
    ) -> Measurement:
        """A length that is the sum of printed ones, so that the printed parts add up to it."""
        exact = sum(count * one.value for count, one in terms)
        readings = {
            system: length_in(printed, system, exact)
            for system, printed in self.printed_sum(terms).items()
        }
        return self.add(
            name,
            label,
            exact,
            "mm",
            readings,
            rule="the sum of the printed parts, no finer than callipers read",
            formula=formula,
            source=source,
            where=where,
        )

    def problem(
        self, *keys: str | int, what: str, write: str, wanted: Wanted | None = None
    ) -> None:
        """Note what makes the design impossible; ``write`` follows after the size ``wanted``."""
        self.problems.append(Problem(keys, what, write, wanted=wanted))
