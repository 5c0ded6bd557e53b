"""Talk of a row of the step's own tables: stations, calliper settings, parting cuts, rings, strips.

A design names a handful of sizes in its steps, and its tables hold dozens that a turner reads off
at the bench. A figure that is exactly one of those is not taken for a slip of something else that
the talk does not name; and a row whose place was said tells what its other cells are.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from studio.said.agreeing import Verdict, ratio_off
from studio.said.finding import Mention
from studio.said.material import Meaning, Phrase, phrase, stem
from studio.said.units import MM
from studio.said.vocabulary import trade_words
from studio.said.weighing import TIE, TOLD, Talk, Weighed


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell of a row of the step's own tables, which a figure hits to the digit.

    Attributes:
        weighed: the cell's measurement and what speaks for it.
        paired: whether another cell of the same row is said beside it.
        placed: whether that, or the words for the row's place, tell which row it is.
        told: whether that tells it, or the words for what stands in the cell.
    """

    weighed: Weighed
    paired: bool
    placed: bool
    told: bool


def cell_said(talk: Talk, number: int, weighed: Sequence[Sequence[Weighed]]) -> Cell | None:
    """The cell of the step's own tables that a size is to the digit; None for none.

    Args:
        talk: the talk.
        number: of the mention.
        weighed: what each mention of the talk may mean.
    """
    if not _is_size(talk.mentions[number]):
        return None
    found = [
        Cell(one, paired, placed, placed or one.words >= TOLD)
        for one in weighed[number]
        if one.verdict is Verdict.RIGHT and is_own(talk, one.meaning)
        for paired in [_is_paired(talk, number, one.meaning, weighed)]
        for placed in [paired or _places_told(talk, one.meaning) > 0]
    ]
    return max(
        found, key=lambda one: (one.paired, one.placed, one.told, one.weighed.sum), default=None
    )


def cells_due(talk: Talk, number: int, weighed: Sequence[Sequence[Weighed]]) -> tuple[Meaning, ...]:
    """What a wrong size may be of, where words are those of the step's own tables, nearest first.

    The cells of the column that is named, or those of the row whose place is.
    """
    if not _is_size(talk.mentions[number]):
        return ()
    one = talk.mentions[number]
    own = [w for w in weighed[number] if w.meaning.listed and is_own(talk, w.meaning)]
    most = max((w.words for w in own), default=0.0)
    column = [w.meaning for w in own if w.words >= max(TOLD, most - TIE)]
    return tuple(
        sorted(column or _cells_placed(talk, one), key=lambda meaning: ratio_off(one, meaning))
    )


def cell_at(talk: Talk, place: Mention) -> Meaning | None:
    """The cell whose size a mark on the turned part in hand is called by: "the 28 mark"."""
    return next(
        (
            meaning for meaning in talk.material.meanings
            if meaning.listed and is_of_part(talk, meaning) and meaning.units & MM.keys()
            and any(number == place.value for number, _ in meaning.own)
        ),
        None,
    )  # fmt: skip


def _cells_placed(talk: Talk, one: Mention) -> list[Meaning]:
    """The cells of the rows whose places the words tell best."""
    own = [
        meaning for meaning in talk.material.possible(one.unit).meanings
        if meaning.listed and is_own(talk, meaning)
    ]  # fmt: skip
    told = {meaning.name: _places_told(talk, meaning) for meaning in own}
    most = max(told.values(), default=0)
    return [meaning for meaning in own if most and told[meaning.name] == most]


def is_own(talk: Talk, meaning: Meaning) -> bool:
    """Whether a measurement is a cell of a table of the part or the subject that is in hand."""
    if meaning.name not in talk.material.rows_of:
        return False
    return is_in_hand(talk, meaning) or (not meaning.part and is_named(talk, meaning))


def is_of_part(talk: Talk, meaning: Meaning) -> bool:
    """Whether a measurement is of the turned part that the step is about."""
    return talk.step is not None and meaning.part == talk.step.part != ""


def is_in_hand(talk: Talk, meaning: Meaning) -> bool:
    """Whether a measurement is of the turned part or the subject that the step is about."""
    step = talk.step
    if step is None:
        return False
    if meaning.part or step.part:
        return meaning.part == step.part
    return meaning.name.partition(".")[0] in step.groups


def is_called(talk: Talk, meaning: Meaning) -> bool:
    """Whether turners' own words for a measurement are said; those for its place do not count."""
    phrases = (phrase(one) for one in trade_words().phrases_for(meaning.name))
    return any(_stands(talk.stems, one) for one in phrases)


def _stands(stems: Sequence[str], words: Phrase) -> bool:
    return any(tuple(stems[at : at + len(words)]) == words for at in range(len(stems)))


def is_named(talk: Talk, meaning: Meaning) -> bool:
    """Whether the talk names what a measurement is of: the hanger, the blank, the ball."""
    group = meaning.name.partition(".")[0]
    return bool({stem(group), *_CALLED_SO.get(group, ())} & set(talk.stems))


_CALLED_SO = {
    "sphere": ("ball", "globe"),
    "stock": ("blank", "board"),
    "hanger": ("wire", "loop"),
    "index": ("mark", "strip", "divider"),
    "speed": ("lathe",),
}
"""What turners call the subjects of measurements, as stems (common practice, no source)."""


def _is_size(mention: Mention) -> bool:
    return mention.unit in MM or (mention.unit == "" and not mention.dated)


def _places_told(talk: Talk, meaning: Meaning) -> int:
    """How many words of what stands at the place of a cell's row are said: "crown of the bead"."""
    stems = set(talk.stems)
    return max(
        (
            len(stems & set(phrase(cell.measurement.text)) - talk.material.silent)
            for cell in _cells(talk, meaning)
            if not cell.units
        ),
        default=0,
    )


def _is_paired(
    talk: Talk, number: int, meaning: Meaning, weighed: Sequence[Sequence[Weighed]]
) -> bool:
    """Whether another figure said beside this one is another cell of the same row."""
    row = {cell.name for cell in _cells(talk, meaning) if cell is not meaning}
    value = talk.mentions[number].value
    return any(
        one.meaning.name in row and one.verdict is Verdict.RIGHT
        for other, two in enumerate(weighed)
        if other != number
        and _is_size(talk.mentions[other])
        and talk.mentions[other].value != value
        for one in two
    )


def _cells(talk: Talk, meaning: Meaning) -> Iterator[Meaning]:
    by_name = talk.material.by_name
    for row in talk.material.rows_of.get(meaning.name, ()):
        yield from (by_name[name] for name in row if name in by_name)
