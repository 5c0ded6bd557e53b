"""What talk is judged against: a design's measurements, their names, the steps that name them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from pathlib import Path

from studio.design.reading import load
from studio.design.schema import FRACTION_STEPS, METRIC_STEPS, Units
from studio.episode.assemble import open_episode
from studio.episode.records import Episode, TimedStep
from studio.measure.measurement import Measurement, Reading, System
from studio.measure.number_words import ORDINALS
from studio.measure.rounding import Steps
from studio.measure.trace import spans
from studio.said.finding import find_mentions
from studio.said.scripted import Script
from studio.said.units import MINUTES, MM, SAME_UNITS
from studio.said.vocabulary import trade_words
from studio.said.words import tokens_of

Printed = tuple[Fraction, str]
Phrase = tuple[str, ...]


@lru_cache(maxsize=4096)
def stem(word: str) -> str:
    """A word without its plain endings, so that "marks" and "marked" meet "mark".

    >>> stem("dividers"), stem("twisted"), stem("drilling"), stem("glass"), stem("finial's")
    ('divider', 'twist', 'drill', 'glass', 'finial')
    """
    word = word.removesuffix("'s").removesuffix("'")
    word = trade_words().spelled.get(word, word)
    for ending, least in (("ing", 6), ("ed", 5), ("sses", 5), ("s", 4)):
        if word.endswith(ending) and len(word) >= least and not word.endswith(("ss", "us")):
            return word[: -len(ending)]
    return word


def phrase(text: str) -> Phrase:
    """The stems of a phrase's words."""
    return tuple(stem(token.word) for token in tokens_of(text) if token.kind == "word")


@dataclass(frozen=True, slots=True)
class Meaning:
    """A measurement as talk may mean it.

    Attributes:
        measurement: of the design's table.
        printed: every figure of its two texts, exact, with its unit as talk names it.
        own: those of the text that is printed first.
        sizes: ``printed`` as floats, to compare by.
        own_sizes: ``own`` as floats.
        phrases: with which words it is meant.
        against: words that speak against it.
        heads: the words for the thing that it counts or measures.
        named: the first word of its label, of these.
        thing: what it is a size of: its label's first word that tells something, as a stem.
        label: all words of its label that tell something, as stems.
        words: all its words as they stand.
        listed: whether it is one of many alike in a schedule ("station 7"), where few talk of it.
        part: the turned part that it belongs to, empty for the piece itself.
        rank: "second" where it is one of a row called first, second, third; else empty.
    """

    measurement: Measurement
    printed: frozenset[Printed]
    own: frozenset[Printed]
    sizes: tuple[tuple[float, str], ...]
    own_sizes: tuple[tuple[float, str], ...]
    phrases: frozenset[Phrase]
    against: frozenset[Phrase]
    heads: frozenset[str]
    named: frozenset[str]
    thing: str
    label: frozenset[str]
    words: frozenset[str]
    listed: bool
    part: str
    rank: str

    @property
    def name(self) -> str:
        """The measurement's name."""
        return self.measurement.name

    @property
    def units(self) -> frozenset[str]:
        """The units of its printed figures."""
        return frozenset(unit for _, unit in self.printed)


@dataclass(frozen=True, slots=True)
class StepNames:
    """What a step of the design names.

    Attributes:
        part: the turned part in hand, empty when it is none.
        near: how closely each measurement belongs to the step, 0 to 1.
        groups: first parts of the names that it names.
    """

    part: str
    near: Mapping[str, float]
    groups: frozenset[str]


@dataclass(frozen=True, slots=True)
class Possible:
    """Measurements that a unit allows, and how much each phrase tells among them.

    Attributes:
        meanings: in the table's order.
        rarity: of a phrase, near 1 where it means one of them and 0 where it means all.
        told: numbers of those that a phrase means.
        against: numbers of those against which it speaks.
        talked: how many there are, those of many alike left out.
    """

    meanings: tuple[Meaning, ...]
    rarity: Mapping[Phrase, float]
    told: Mapping[Phrase, Sequence[int]]
    against: Mapping[Phrase, Sequence[int]]
    talked: int

    @classmethod
    def of(cls, meanings: tuple[Meaning, ...]) -> Possible:
        """With its tables."""
        told: dict[Phrase, list[int]] = {}
        against: dict[Phrase, list[int]] = {}
        for number, one in enumerate(meanings):
            for words in one.phrases:
                told.setdefault(words, []).append(number)
            for words in one.against:
                against.setdefault(words, []).append(number)
        talked = sum(not one.listed for one in meanings)
        return cls(meanings, _rarity(meanings), told, against, talked)


def _rarity(meanings: Sequence[Meaning]) -> Mapping[Phrase, float]:
    # the necks of two parts are one kind of thing: which part it is, its name tells
    kinds: dict[Phrase, set[frozenset[str]]] = {}
    talked = [one for one in meanings if not one.listed]
    for one in talked:
        for words in one.phrases:
            kinds.setdefault(words, set()).add(one.label)
    whole = math.log(len({one.label for one in talked}) + 1)
    return {words: 1 - math.log(len(found)) / whole for words, found in kinds.items()}


def _may_mean(unit: str, meaning: Meaning) -> bool:
    units = meaning.units
    if not units:
        return False
    if unit == "":
        return True
    if unit in ("count", "ordinal") and meaning.measurement.unit == "ratio":
        return False
    if unit == "count":
        return bool(units & {"", "sides"}) or (units == {"grit"} and len(meaning.printed) > 1)
    if unit == "ordinal":
        return "" in units
    for sizes in (MM, MINUTES):
        if unit in sizes:
            return bool(units & sizes.keys())
    return unit in units or any(unit in one and units & one for one in SAME_UNITS if unit in one)


@dataclass(frozen=True)
class Material:
    """A design's side of the matter.

    Attributes:
        meanings: every measurement, in the table's order.
        steps: by name, in the order of work.
        rows: the rows of its schedules, as names.
        script: the lines of its steps.
        bench: the finest divisions that the workshop reads off.
        first: the system that is printed first.
    """

    meanings: tuple[Meaning, ...]
    steps: Mapping[str, StepNames]
    rows: tuple[tuple[str, ...], ...]
    script: Script
    bench: Steps
    first: System

    @classmethod
    def of(cls, episode: Episode, units: Units) -> Material:
        """From an episode and the units of its workshop."""
        steps = {step.id: _step_names(step) for step in episode.steps}
        named = {name for step in steps.values() for name in step.near}
        scheduled = {
            name
            for one in episode.schedules
            for name in (*one.names(), *one.columns)
            if name not in named and _ONE_OF_MANY.search(name)
        }
        parts = {name.partition(".")[0] for name in episode.table if name.endswith(".title")}
        return cls(
            meanings=tuple(_meaning(m, scheduled, parts) for m in episode.table.values()),
            steps=steps,
            rows=tuple(row for one in episode.schedules for row in one.rows),
            script=Script.of({step.id: (step.say, step.do) for step in episode.steps}),
            bench=Steps(METRIC_STEPS[units.metric_step], FRACTION_STEPS[units.fraction_step]),
            first=episode.first,
        )

    @cached_property
    def by_name(self) -> Mapping[str, Meaning]:
        """Each measurement by its name."""
        return {one.name: one for one in self.meanings}

    @cached_property
    def rows_of(self) -> Mapping[str, Sequence[tuple[str, ...]]]:
        """The rows in which each measurement stands, by its name."""
        found: dict[str, list[tuple[str, ...]]] = {}
        for row in self.rows:
            for name in row:
                found.setdefault(name, []).append(row)
        return found

    @cached_property
    def numbered(self) -> frozenset[str]:
        """What rows are called by: the first cells that hold a number and no unit."""
        firsts = (row[0] for row in self.rows if row)
        return frozenset(
            name for name in firsts
            if name in self.by_name and self.by_name[name].units == {""}
        )  # fmt: skip

    @cached_property
    def known(self) -> frozenset[Phrase]:
        """Every phrase that speaks for or against a measurement."""
        return frozenset(p for one in self.meanings for p in (*one.phrases, *one.against))

    @cached_property
    def naming(self) -> frozenset[str]:
        """Words each of which speaks for a measurement, as they stand in its phrases."""
        return frozenset(p[0] for p in self.known if len(p) == 1) - self.weak

    @cached_property
    def ceilings(self) -> tuple[Meaning, ...]:
        """The most that speeds may be, in the table's order; no value that the turner typed."""
        return tuple(
            one
            for one in self.meanings
            if one.units == {"rpm"} and not one.name.startswith("value.")
        )

    @cached_property
    def ceiling_names(self) -> frozenset[str]:
        """Their names."""
        return frozenset(one.name for one in self.ceilings)

    @cached_property
    def across(self) -> frozenset[str]:
        """Names of the measurements that are called a width."""
        return frozenset(one.name for one in self.meanings if "width" in one.label)

    @cached_property
    def weak(self) -> frozenset[str]:
        """Words that say little alone, as stems."""
        return frozenset(stem(word) for word in trade_words().weak)

    @cached_property
    def silent(self) -> frozenset[str]:
        """Words that say nothing about what is meant, as stems."""
        words = trade_words().function | trade_words().generic
        return frozenset(map(stem, words)) | words

    @cached_property
    def parts(self) -> frozenset[str]:
        """Names of the turned parts, as stems."""
        return frozenset(stem(one.part) for one in self.meanings if one.part)

    @cached_property
    def _possible(self) -> dict[str, Possible]:
        return {}

    def possible(self, unit: str) -> Possible:
        """What a figure said in ``unit`` can mean."""
        if unit not in self._possible:
            meanings = tuple(one for one in self.meanings if _may_mean(unit, one))
            self._possible[unit] = Possible.of(meanings)
        return self._possible[unit]

    @cached_property
    def lengths(self) -> Mapping[str, Sequence[int]]:
        """How many words the phrases have that begin with a word, the shortest first."""
        found: dict[str, set[int]] = {}
        for words in self.known:
            found.setdefault(words[0], set()).add(len(words))
        return {word: sorted(lengths) for word, lengths in found.items()}


def material_of(design: Path) -> Material:
    """The material of a design's file.

    Raises:
        BadInput: the design has faults.
    """
    return Material.of(open_episode(design), load(design).design.workshop.units)


RANKS = frozenset(ORDINALS[1:4])
"""By these the rounds of cuts and what belongs to each are called."""

_ONE_OF_MANY = re.compile(r"_\d+(?:mm)?$")
"""A row by its number, a rim by its size."""

_SAID, _DONE, _CAUTIONED = 1.0, 0.9, 0.7
"""How closely a step's narration, instruction and cautions name a measurement (ours)."""


def _step_names(step: TimedStep) -> StepNames:
    near: dict[str, float] = {}

    def name_all(names: Iterable[str], closeness: float) -> None:
        for name in names:
            bare = name.rpartition(":")[2]
            near[bare] = max(near.get(bare, 0.0), closeness)

    name_all((one.name for one in step.shows), _SAID)
    for text, closeness in (
        (step.say, _SAID),
        (step.do, _DONE),
        *((text, _CAUTIONED) for one in step.cautions for text in (one.text, one.short)),
    ):
        name_all((span.name for span in spans(text)[1]), closeness)
    return StepNames(step.part, near, frozenset(name.partition(".")[0] for name in near))


def _meaning(measurement: Measurement, scheduled: set[str], parts: set[str]) -> Meaning:
    said: set[Phrase] = set()
    against: set[Phrase] = set()
    for text in trade_words().phrases_for(measurement.name):
        (against if text.startswith("-") else said).add(phrase(text.removeprefix("-")))
    heads = {one[0] for one in said if len(one) == 1}
    silent = trade_words().function | {stem(word) for word in trade_words().generic}
    label = [t.word for t in tokens_of(measurement.label) if t.kind == "word"]
    named = {stem(word) for word in label[:1] if not silent & {word, stem(word)}}
    for text in (measurement.label, measurement.where, *_name_words(measurement.name)):
        said |= {(stem(t.word),) for t in tokens_of(text)
                 if t.kind == "word" and not silent & {t.word, stem(t.word)}}  # fmt: skip
    group = measurement.name.partition(".")[0]
    part = group if group in parts else ""
    if part:
        said.add((stem(part),))
    own = frozenset(printed_figures(measurement.reading(measurement.first)))
    printed = own | printed_figures(measurement.reading(measurement.first.other))
    return Meaning(
        measurement,
        printed,
        own,
        tuple((float(number), unit) for number, unit in printed),
        tuple((float(number), unit) for number, unit in own),
        frozenset(one for one in said if one),
        frozenset(one for one in against if one),
        frozenset(heads | named),
        frozenset(named),
        next((stem(word) for word in label if not silent & {word, stem(word)}), ""),
        frozenset(stem(word) for word in label if not silent & {word, stem(word)}),
        frozenset(label),
        measurement.name in scheduled,
        part,
        next((word for word in re.split(r"[._]", measurement.name) if word in RANKS), ""),
    )


def _name_words(name: str) -> tuple[str, ...]:
    """The words of a name under ``value``, which is the turner's own."""
    group, _, rest = name.partition(".")
    return (re.sub(r"[_\d]+", " ", rest),) if group == "value" else ()


def printed_figures(reading: Reading) -> set[Printed]:
    """Every figure of a printed text, both of a range, with its unit as talk names it."""
    return {
        (value, "" if one.unit in ("ordinal", "count") else one.unit)
        for one in find_mentions(reading.text)
        for value in (one.value, one.high)
        if value is not None
    }
