"""The labelled talk holds what README.md says of it. The labels are not taken from a finder: every
``right`` and ``wrong`` is proved here from the printed texts of the frozen designs' tables."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from fractions import Fraction
from functools import cache
from math import ceil, floor
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.measure.measurement import Measurement, MeasurementTable

from .loading import (
    DESIGNS,
    HALVES,
    SPLIT,
    STYLES,
    VERDICTS,
    Half,
    Item,
    Mention,
    NotAsDescribed,
    load_half,
)

LEAST_IN_A_HALF = 150
LEAST_TOGETHER = 300
LEAST_TO_JUDGE = {"sentences": 320, "of a style": 80}

MM = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction("25.4")}
"""The inch is 25.4 mm by the international yard and pound agreement of 1959."""
MINUTES = {"min": Fraction(1), "h": Fraction(60), "days": Fraction(1440), "day": Fraction(1440)}
FIGURES = {"octagon": 8, "hexadecagon": 16, "triacontadigon": 32}
SIGNS = {"°": "deg", "° on": "deg", "%": "percent", "AWG": "gauge"}
PRINTED = re.compile(
    r"(?P<sign>[#P]?)"
    r"(?P<number>(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?(?:/\d+)?(?: \d+/\d+)?)"
    r"(?P<unit>.*?)(?=, | and |: |$)"
)
"""Every number of a printed text with its unit: ``P150, P220``, ``3 and 9``, ``2 1/2 in``."""


@cache
def half(name: str) -> Half:
    return load_half(name)


@cache
def table(design: Path) -> MeasurementTable:
    return open_episode(design).table


def all_items() -> list[Item]:
    return [item for name in HALVES for item in half(name).items]


def all_mentions() -> list[tuple[Item, Mention]]:
    return [(item, mention) for item in all_items() for mention in item.mentions]


def printed(measurement: Measurement) -> set[tuple[Fraction, str]]:
    """The numbers of a measurement's printed texts, each with its unit by the set's names."""
    found: set[tuple[Fraction, str]] = set()
    for reading in (measurement.metric, measurement.imperial):
        if reading.text in FIGURES:
            found.add((Fraction(FIGURES[reading.text]), "sides"))
            continue
        for match in PRINTED.finditer(reading.text):
            number = sum(Fraction(part) for part in match["number"].replace(",", "").split())
            unit = match["unit"].strip()
            unit = {"#": "drill", "P": "grit"}.get(match["sign"], SIGNS.get(unit, unit))
            found.add((Fraction(number), unit))
    return found


def agrees(value: Fraction, unit: str, number: Fraction, printed_unit: str) -> bool:
    """Whether a figure said is a printed one; lengths and times also in another unit, exactly."""
    for sizes in (MM, MINUTES):
        if unit in sizes and printed_unit in sizes:
            return value * sizes[unit] == number * sizes[printed_unit]
    if unit == "":  # said without a unit, or a grit by its bare number
        return value == number
    if unit in ("count", "ordinal"):
        return value == number and printed_unit in ("", "sides")
    return value == number and unit == printed_unit


def is_printed(mention: Mention, measurement: Measurement) -> bool:
    """Whether a mention says a printed figure; a range, whether it holds one closely enough."""
    texts = printed(measurement)
    if mention.high is not None:
        return any(
            mention.value <= number <= mention.high
            and mention.high - mention.value <= number * Fraction(15, 100)
            for number, unit in texts
            if unit == mention.unit
        )
    if mention.unit == "count" and len(texts) > 1 and {unit for _, unit in texts} == {"grit"}:
        return mention.value == len(texts)  # "four papers"
    return any(agrees(mention.value, mention.unit, *text) for text in texts)


def told(item: Item, mention: Mention) -> str:
    return f"{item.id}: {mention.written!r} in {item.text!r}"


def test_the_reader_of_printed_texts_reads_what_the_tables_print() -> None:
    # this test file's own reader: no label is proved by a text that it does not understand
    plain, grooved = table(DESIGNS / "plain.yaml"), table(DESIGNS / "imperial/grooved.yaml")
    assert printed(plain["sphere.diameter"]) == {
        (Fraction(58), "mm"),
        (Fraction(73, 32), "in"),
    }
    assert {number for number, _ in printed(plain["sanding.papers"])} == {150, 220, 320, 400}
    assert (Fraction(51), "drill") in printed(grooved["hanger.drill"])
    assert (Fraction(22), "gauge") in printed(grooved["hanger.wire"])
    assert printed(grooved["axis.marks_3"]) == {(Fraction(3), ""), (Fraction(9), "")}
    assert printed(grooved["speed.off_centre"]) == {(Fraction(1200), "rpm")}
    assert agrees(Fraction("5.8"), "cm", Fraction(58), "mm")
    assert agrees(Fraction(1, 4), "h", Fraction(15), "min")
    assert not agrees(Fraction(17), "mm", Fraction(17), "in")


def test_there_are_enough_sentences() -> None:
    sizes = [len(half(name).items) for name in HALVES]
    assert min(sizes) >= LEAST_IN_A_HALF
    assert sum(sizes) >= LEAST_TOGETHER
    judge = Counter(item.style for item in half("judge").items)
    assert judge.total() >= LEAST_TO_JUDGE["sentences"]
    assert min(judge.values()) >= LEAST_TO_JUDGE["of a style"]


def test_no_sentence_and_no_id_stands_twice() -> None:
    for counted in (
        Counter(item.id for item in all_items()),
        Counter(item.text for item in all_items()),
    ):
        assert [one for one, number in counted.items() if number > 1] == []


@pytest.mark.parametrize("name", HALVES)
def test_a_half_holds_every_style_evenly_and_every_verdict(name: str) -> None:
    items = half(name).items
    styles = Counter(item.style for item in items)
    assert set(styles) == set(STYLES)
    assert max(styles.values()) < 1.25 * min(styles.values())
    verdicts = Counter(mention.verdict for item in items for mention in item.mentions)
    assert set(verdicts) == set(VERDICTS)
    silent = sum(not item.mentions for item in items) / len(items)
    assert 0.10 < silent < 0.20
    wrong = sum(any(m.verdict == "wrong" for m in item.mentions) for item in items)
    assert 0.30 < wrong / len(items) < 0.45


def test_the_split_follows_from_the_recorded_seed() -> None:
    seeds = {half(name).seed for name in SPLIT}
    assert len(seeds) == 1
    assert {half(name).written for name in SPLIT} == {half("build").written}
    written = [item for name in SPLIT for item in half(name).items]
    (seed,) = seeds
    build: set[str] = set()
    for style in STYLES:
        ids = [item.id for item in written if item.style == style]
        ids.sort(key=lambda one: hashlib.sha256(f"{seed}:{one}".encode()).hexdigest())
        build.update(ids[: len(ids) // 2])
    assert {item.id for item in half("build").items} == build


def test_the_readme_records_seed_and_day() -> None:
    readme = (DESIGNS.parent / "README.md").read_text(encoding="utf-8")
    assert str(half("keep").seed) in readme
    for name in HALVES:
        assert half(name).written in readme
        assert f"{len(half(name).items)} sentences" in readme


def test_every_mention_stands_in_its_sentence_in_order_and_apart() -> None:
    for item in all_items():
        end = 0
        for mention in item.mentions:
            start, after = mention.span(item.text)
            assert start >= end, told(item, mention)
            assert mention.written == mention.written.strip() != "", told(item, mention)
            # whole words: no label begins or ends inside one ("first" of "fir")
            around = item.text[start - 1 : start] + item.text[after : after + 1]
            assert not re.search(r"\w", around), told(item, mention)
            end = after


def test_a_mention_that_is_not_there_is_refused() -> None:
    absent = Mention("12 mm", 1, Fraction(12), None, "mm", None, (), "none")
    with pytest.raises(NotAsDescribed, match="not 2 times"):
        absent.span("Only one 12 mm here.")


def test_designs_steps_and_measurements_exist() -> None:
    for item in all_items():
        episode = open_episode_once(item.design_path)
        assert item.step is None or item.step in episode, item.id
        for mention in item.mentions:
            unknown = set(mention.means) - set(table(item.design_path))
            assert not unknown, f"{told(item, mention)}: {unknown}"


@cache
def open_episode_once(design: Path) -> frozenset[str]:
    return frozenset(step.id for step in open_episode(design).steps)


def test_means_is_empty_for_none_alone() -> None:
    for item, mention in all_mentions():
        assert (mention.verdict == "none") == (not mention.means), told(item, mention)


def test_right_figures_are_printed_values_of_what_they_mean() -> None:
    seen = 0
    for item, mention in all_mentions():
        if mention.verdict == "right":
            names = [table(item.design_path)[name] for name in mention.means]
            assert any(is_printed(mention, one) for one in names), told(item, mention)
            seen += 1
    assert seen > LEAST_TOGETHER


def test_wrong_and_rounded_figures_are_printed_values_of_nothing_they_mean() -> None:
    seen = 0
    for item, mention in all_mentions():
        if mention.verdict in ("wrong", "rounded"):
            names = [table(item.design_path)[name] for name in mention.means]
            assert not any(is_printed(mention, one) for one in names), told(item, mention)
            seen += 1
    assert seen > LEAST_TOGETHER / 2


STEPS = {
    "mm": (Fraction(1), Fraction(1, 2)),
    "in": (Fraction(1, 16), Fraction(1, 8)),
    "deg": (Fraction(1),),
    "rpm": (Fraction(10), Fraction(50)),
}
"""The coarser steps to which a turner rounds (common practice, no source)."""
MOST_OFF = Fraction(4, 100)
BENCH = {"plain.yaml": Fraction(1, 32), "imperial/grooved.yaml": Fraction(1, 64)}
"""The finest division of each workshop's inch rule, as its workshop file types it."""


def exact(measurement: Measurement, unit: str) -> Fraction | None:
    value = Fraction(measurement.value)
    if measurement.unit == "mm":
        return value / MM[unit] if unit in MM else None
    return value if measurement.unit == unit else None


def is_rounding(item: Item, mention: Mention, measurement: Measurement) -> bool:
    """Whether a figure said is an acceptable rounding, by the rule in README.md."""
    units = (mention.unit,) if mention.unit else ("mm", "in", measurement.unit)
    return any(_rounds(item, mention, measurement, unit) for unit in units)


def _rounds(item: Item, mention: Mention, measurement: Measurement, unit: str) -> bool:
    value, true = mention.value, exact(measurement, unit)
    if true is None:
        return False
    if mention.about is not None:
        finest = {"mm": Fraction(1, 10), "in": BENCH[item.design], "rpm": Fraction(10)}
        near = abs(value - true) <= max(finest.get(unit, Fraction(0)), true * MOST_OFF)
        side = {"near": True, "under": true <= value, "over": true >= value}
        return near and side[mention.about]
    for number, printed_unit in printed(measurement):
        if printed_unit != unit or abs(value - number) > number * MOST_OFF:
            continue
        for step in STEPS.get(unit, ()):
            counted = number / step
            if "down" in measurement.rule:
                rounded = floor(counted)
            elif "up" in measurement.rule:
                rounded = ceil(counted)
            else:
                rounded = floor(counted + Fraction(1, 2))
            if rounded * step == value != number:
                return True
    return False


def test_rounded_figures_keep_to_the_rule_and_wrong_ones_break_it() -> None:
    for item, mention in all_mentions():
        if mention.verdict in ("wrong", "rounded") and mention.high is None:
            names = [table(item.design_path)[name] for name in mention.means]
            kept = any(is_rounding(item, mention, one) for one in names)
            assert kept == (mention.verdict == "rounded"), told(item, mention)


def test_what_an_ambiguous_figure_could_mean_disagrees_about_it() -> None:
    for item, mention in all_mentions():
        if mention.verdict == "ambiguous":
            names = [table(item.design_path)[name] for name in mention.means]
            answers = {(is_printed(mention, n), is_rounding(item, mention, n)) for n in names}
            assert len(answers) > 1, told(item, mention)
