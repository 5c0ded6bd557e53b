"""Reads ``trade_words.yaml``: words of the workshop, kept as data."""

from __future__ import annotations

import fnmatch
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

_FILE = Path(__file__).parent / "trade_words.yaml"


@dataclass(frozen=True, slots=True)
class Limit:
    """A measurement that says how far another one may go.

    Attributes:
        of: the other one.
        said: phrases with which it is meant and the other one is not, each as its words.
    """

    of: str
    said: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class TradeWords:
    """The table as data.

    Attributes:
        counted: nouns before which a number is a count, singular.
        sized: what a number in front of the singular is a size of.
        wide: what a size in front of it, of one or many, is the width of.
        drills: what a hole is bored with.
        rows: the measurement that says how many there are of what is gone through by its number.
        one_by_one: the measurement that says to how many it comes what is made one by one.
        limits: limits of sizes and counts, by the measurement's name.
        bounds: "at most" or "at least", by patterns of measurements' names.
        no_plural: words that end like a plural and are none.
        function: words that no counted thing stands behind.
        generic: words that tell nothing about which measurement is meant.
        weak: words of everyday work that say little about which measurement is meant.
        idioms: phrases with number words that state nothing, each as its words, by the first.
        foreign: things whose size is nothing of the piece's.
        spelled: one spelling for words that have two.
        heard: the trade's words for what a recogniser makes of them.
        means: phrases by pattern of measurement names, most particular pattern first.
    """

    counted: frozenset[str]
    sized: frozenset[str]
    wide: frozenset[str]
    drills: frozenset[str]
    rows: Mapping[str, str]
    one_by_one: Mapping[str, str]
    limits: Mapping[str, Limit]
    bounds: Mapping[str, str]
    no_plural: frozenset[str]
    function: frozenset[str]
    generic: frozenset[str]
    weak: frozenset[str]
    idioms: Mapping[str, tuple[tuple[str, ...], ...]]
    foreign: frozenset[str]
    spelled: Mapping[str, str]
    heard: Mapping[str, str]
    means: tuple[tuple[str, tuple[str, ...]], ...]

    def phrases_for(self, name: str) -> tuple[str, ...]:
        """With which words turners mean the measurement called ``name``."""
        found: list[str] = []
        for pattern, phrases in self.means:
            if fnmatch.fnmatchcase(name, pattern):
                found += phrases
        return tuple(dict.fromkeys(found))


def _by_first_word(phrases: Iterable[tuple[str, ...]]) -> Mapping[str, tuple[tuple[str, ...], ...]]:
    found: dict[str, tuple[tuple[str, ...], ...]] = {}
    for words in phrases:
        found[words[0]] = (*found.get(words[0], ()), words)
    return found


@cache
def trade_words() -> TradeWords:
    """The shipped table, read once."""
    from studio.said.words import tokens_of

    # the base loader: "true" and "no" are words here
    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    held = yaml.load(_FILE.read_text(encoding="utf-8"), Loader=loader)
    return TradeWords(
        counted=frozenset(held["counted"].split()),
        sized=frozenset(held["sized"].split()),
        wide=frozenset(held["wide"].split()),
        drills=frozenset(held["drills"].split()),
        rows=dict(held["rows"]),
        one_by_one=dict(held["one_by_one"]),
        limits={
            name: Limit(one["of"], tuple(tuple(words.split()) for words in one["said"]))
            for name, one in held["limits"].items()
        },
        bounds={name: side for side, names in held["bounds"].items() for name in names.split()},
        no_plural=frozenset(held["no_plural"].split()),
        function=frozenset(held["function"].split()),
        weak=frozenset(held["weak"].split()),
        generic=frozenset(held["generic"].split()),
        idioms=_by_first_word(tuple(t.word for t in tokens_of(one)) for one in held["idioms"]),
        foreign=frozenset(held["foreign"].split()),
        spelled=dict(held["spelled"]),
        heard=dict(held["heard"]),
        means=tuple((pattern, tuple(phrases)) for pattern, phrases in held["means"].items()),
    )
