"""The labelled talk, read into frozen records; a file that is not as README.md says is refused."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import yaml

FOLDER = Path(__file__).parent
DESIGNS = FOLDER / "designs"
SPLIT = ("build", "keep")
"""The two halves of the set that was split with a seed."""
HALVES = (*SPLIT, "judge")
STYLES = ("imperial", "metric", "spoken", "recogniser")
VERDICTS = ("right", "rounded", "wrong", "ambiguous", "none")
SIDES = ("near", "under", "over")


class NotAsDescribed(ValueError):
    """A file of the set holds something that README.md does not describe."""


@dataclass(frozen=True, slots=True)
class Mention:
    """One number in a sentence.

    Attributes:
        written: its span, exactly as it stands in the sentence.
        nth: which occurrence of ``written`` it is, 0 for the first.
        value: the number meant, in ``unit``; of a range its lower end.
        high: a range's upper end.
        unit: the unit said next to the number, empty when none was (see README.md).
        about: which side of ``value`` is meant, when an approximating word says so.
        means: measurements that it may be tied to; candidates when it is ambiguous.
        verdict: one of :data:`VERDICTS`.
    """

    written: str
    nth: int
    value: Fraction
    high: Fraction | None
    unit: str
    about: str | None
    means: tuple[str, ...]
    verdict: str

    def span(self, text: str) -> tuple[int, int]:
        """Where it begins and ends in its sentence.

        Raises:
            NotAsDescribed: the sentence does not hold it that often.
        """
        start = -1
        for _ in range(self.nth + 1):
            start = text.find(self.written, start + 1)
            if start < 0:
                raise NotAsDescribed(f"{self.written!r} stands not {self.nth + 1} times in: {text}")
        return start, start + len(self.written)


@dataclass(frozen=True, slots=True)
class Item:
    """One sentence of talk.

    Attributes:
        id: unique over all files.
        style: one of :data:`STYLES`.
        design: the design talked about, a path under :data:`DESIGNS`.
        step: the step in hand, or None where nobody knows.
        text: the sentence.
        mentions: its numbers, in order; often none.
    """

    id: str
    style: str
    design: str
    step: str | None
    text: str
    mentions: tuple[Mention, ...]

    @property
    def design_path(self) -> Path:
        """The design's file."""
        return DESIGNS / self.design


@dataclass(frozen=True, slots=True)
class Half:
    """One file of the set: its name, the seed of the split (None of what was never split), the day
    it was written, its items."""

    name: str
    seed: int | None
    written: str
    items: tuple[Item, ...]


def load_half(name: str) -> Half:
    """One file of the set, by its name in :data:`HALVES`.

    Raises:
        NotAsDescribed: with the file and item, for a key, type or word that does not belong.
        OSError: the file cannot be read.
    """
    path = FOLDER / f"{name}.yaml"
    # CSafeLoader where there is one: a file is thousands of lines
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    held: object = yaml.load(path.read_text(encoding="utf-8"), Loader=loader)
    seeded = {"seed"} if name in SPLIT else set()
    head = _record(held, path.name, {"written", "half", "items"} | seeded, set())
    if head["half"] != name:
        raise NotAsDescribed(f"{path.name}: half is {head['half']!r}")
    items = tuple(_item(entry, path.name) for entry in _list(head["items"], path.name))
    seed = head.get("seed")
    if not isinstance(seed, int | None) or (seeded and seed is None):
        raise NotAsDescribed(f"{path.name}: the seed is no whole number")
    return Half(name, seed, _text(head["written"], path.name), items)


def _item(entry: object, where: str) -> Item:
    fields = _record(entry, where, {"id", "style", "design", "step", "text", "mentions"}, set())
    name = _text(fields["id"], where)
    where = f"{where}, {name}"
    step = fields["step"]
    return Item(
        id=name,
        style=_word(fields["style"], where, STYLES),
        design=_text(fields["design"], where),
        step=None if step is None else _text(step, where),
        text=_text(fields["text"], where),
        mentions=tuple(_mention(m, where) for m in _list(fields["mentions"], where)),
    )


def _mention(entry: object, where: str) -> Mention:
    needed = {"written", "value", "unit", "means", "verdict"}
    fields = _record(entry, where, needed, {"nth", "high", "about"})
    nth, about, high = fields.get("nth", 0), fields.get("about"), fields.get("high")
    if not isinstance(nth, int) or nth < 0:
        raise NotAsDescribed(f"{where}: nth is {nth!r}")
    return Mention(
        written=_text(fields["written"], where),
        nth=nth,
        value=_number(fields["value"], where),
        high=None if high is None else _number(high, where),
        unit=_text(fields["unit"], where),
        about=None if about is None else _word(about, where, SIDES),
        means=tuple(_text(name, where) for name in _list(fields["means"], where)),
        verdict=_word(fields["verdict"], where, VERDICTS),
    )


def _record(held: object, where: str, needed: set[str], free: set[str]) -> dict[str, object]:
    if not isinstance(held, dict):
        raise NotAsDescribed(f"{where}: {held!r} is no mapping")
    if needed - held.keys() or held.keys() - needed - free:
        raise NotAsDescribed(f"{where}: has the keys {sorted(map(str, held))}")
    return {str(key): value for key, value in held.items()}


def _list(held: object, where: str) -> list[object]:
    if not isinstance(held, list):
        raise NotAsDescribed(f"{where}: {held!r} is no list")
    return held


def _text(held: object, where: str) -> str:
    if not isinstance(held, str):
        raise NotAsDescribed(f"{where}: {held!r} is no text")
    return held


def _word(held: object, where: str, allowed: tuple[str, ...]) -> str:
    text = _text(held, where)
    if text not in allowed:
        raise NotAsDescribed(f"{where}: {text!r} is none of {', '.join(allowed)}")
    return text


def _number(held: object, where: str) -> Fraction:
    if isinstance(held, bool) or not isinstance(held, int | float | str):
        raise NotAsDescribed(f"{where}: {held!r} is no number")
    try:
        # through the decimal as written: 16.9 is 169/10, not the nearest binary float
        return Fraction(str(held))
    except (ValueError, ZeroDivisionError) as fault:
        raise NotAsDescribed(f"{where}: {held!r} is no number") from fault
