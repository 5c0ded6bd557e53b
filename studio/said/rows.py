"""Talk of a row of the step's own tables: stations, calliper settings, parting cuts, rings, strips.

A design names a handful of sizes in its steps, and its tables hold dozens that a turner reads off
at the bench. A figure that is exactly one of those is not taken for a slip of something else that
the talk does not name; and a row whose place was said tells what its other cells are.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from studio.said.agreeing import Verdict, agrees, ratio_off
from studio.said.finding import Mention
from studio.said.judged import Judged
from studio.said.material import Meaning, Phrase, phrase, stem
from studio.said.units import MM
from studio.said.vocabulary import trade_words
from studio.said.weighing import DIRECTIONS, OWN_FROM, TIE, TOLD, Talk, Weighed
from studio.said.words import clause_around


def judged_by_row(
    talk: Talk, number: int, best: Weighed, weighed: Sequence[Sequence[Weighed]]
) -> Judged | None:
    """A size that is said of a row of the step's own tables; None where none is in question.

    Args:
        talk: the talk.
        number: of the mention.
        best: what it was taken for.
        weighed: what each mention of the talk may mean.
    """
    mention = talk.mentions[number]
    if not _is_size(mention):
        return None
    cells = _cells_of_place(talk, number, weighed)
    if cells:
        return _judged_by_place(talk, mention, cells)
    cell = _cell_said(talk, number, weighed)
    # what a step names is only outweighed where it is not called by its name, nor the cell's row
    # told by more than a word; what is strange to the step, by any word for the cell
    in_hand = best.step >= OWN_FROM or is_in_hand(talk, best.meaning)
    called = _is_meant(talk, best.meaning) if in_hand else _is_named(talk, best.meaning)
    labelled = bool((best.meaning.label - DIRECTIONS.keys()) & set(talk.stems))
    column = _cells_of_column(talk, number, best.meaning)
    if best.verdict is not Verdict.WRONG:
        strange = cell is not None and cell.paired and not is_own(talk, best.meaning)
        if cell is not None and strange:
            return _of_cell(mention, cell)
        other = bool(column) and not labelled and best.meaning not in column
        names = (best.meaning.name, *_names(column))
        return Judged(mention, Verdict.AMBIGUOUS, "", names, 0.5) if other else None
    if cell is not None and cell.placed and cell.weighed.meaning in column:
        return _of_cell(mention, cell)
    if called and in_hand and labelled:
        return None
    if column and called:
        return Judged(mention, Verdict.WRONG, column[0].name, _names(column), 0.6, sure=False)
    if cell is not None:
        placed = cell.paired if in_hand and called else cell.placed
        if placed or (cell.told and not in_hand):
            return _of_cell(mention, cell)
        names = (best.meaning.name, cell.weighed.meaning.name)
        return None if called else Judged(mention, Verdict.AMBIGUOUS, "", names, 0.5)
    if in_hand and called:
        return None
    due = _names(_cells_due(talk, number, weighed))
    return Judged(mention, Verdict.AMBIGUOUS, "", due, 0.5) if due else None


def _judged_by_place(talk: Talk, mention: Mention, cells: Sequence[Meaning]) -> Judged:
    """A figure said of a place along the part in hand: the row of that place has it or not."""
    for one in cells:
        verdict = agrees(mention, one, talk.material.bench)
        if verdict is not Verdict.WRONG:
            return Judged(mention, verdict, one.name, (one.name,), 0.8)
    names, sure = _names(cells), len(cells) == 1
    return Judged(mention, Verdict.WRONG, names[0], names, 0.8 if sure else 0.6, sure=sure)


def _names(meanings: Sequence[Meaning]) -> tuple[str, ...]:
    return tuple(one.name for one in meanings)


def _of_cell(mention: Mention, cell: _Cell) -> Judged:
    name = cell.weighed.meaning.name
    return Judged(mention, Verdict.RIGHT, name, (name,), 0.8 if cell.paired else 0.6)


@dataclass(frozen=True, slots=True)
class _Cell:
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


def _cell_said(talk: Talk, number: int, weighed: Sequence[Sequence[Weighed]]) -> _Cell | None:
    """The cell of the step's own tables that a size is to the digit; None for none."""
    found = [
        _Cell(one, paired, placed, placed or one.words >= TOLD)
        for one in weighed[number]
        if one.verdict is Verdict.RIGHT and is_own(talk, one.meaning)
        for paired in [_is_paired(talk, number, one.meaning, weighed)]
        for placed in [paired or _is_placed(talk, number, one.meaning)]
    ]
    return max(
        found, key=lambda one: (one.paired, one.placed, one.told, one.weighed.sum), default=None
    )


def _cells_due(
    talk: Talk, number: int, weighed: Sequence[Sequence[Weighed]]
) -> tuple[Meaning, ...]:
    """What a wrong size may be of, where words are those of the step's own tables, nearest first.

    The cells of the column that is named, or those of the row whose place is.
    """
    one = talk.mentions[number]
    column = [one.meaning for one in _told_by_column(talk, weighed[number])]
    return tuple(
        sorted(column or _cells_placed(talk, one), key=lambda meaning: ratio_off(one, meaning))
    )


def _cells_of_place(
    talk: Talk, number: int, weighed: Sequence[Sequence[Weighed]]
) -> tuple[Meaning, ...]:
    """What stands at the place that another figure says, in the columns that words name.

    "At ten from the tip the callipers are set to five": the setting in the row of 10 mm.
    """
    places = dict.fromkeys(
        one.meaning.name
        for other, two in enumerate(talk.mentions)
        if other != number and _is_size(two) and _says_place(talk, two)
        for one in weighed[other]
        if one.verdict is Verdict.RIGHT and one.meaning.listed and is_own(talk, one.meaning)
    )
    rows = [row for name in places for row in talk.material.rows_of[name] if row[0] == name]
    cells = [
        talk.material.by_name[name] for row in rows for name in row[1:]
        if name in talk.material.by_name
    ]  # fmt: skip
    for words in _words_beside(talk, number):
        told = [one for one in cells if one.units and _is_said_in(words, one)]
        if told:
            return tuple(told)
    return ()


def _cells_of_column(talk: Talk, number: int, best: Meaning) -> tuple[Meaning, ...]:
    """What stands at the place that words tell, in the column whose own word stands beside.

    "Callipers at 8.3 for the tenon": though its hole is called so too, nobody measures that with
    them. A word that ``best`` is called by as well tells no column.

    Args:
        talk: the talk.
        number: of the mention.
        best: what it was taken for.
    """
    mention = talk.mentions[number]
    words = set(_words_of_clause(talk, number))
    shared = {word for one in best.phrases for word in one} | talk.material.weak
    return tuple(
        one
        for one in _cells_placed(talk, mention)
        if {word for (word, *more) in one.phrases if not more}
        & words - shared - _place_of(talk, one)
    )


def _words_of_clause(talk: Talk, number: int) -> Sequence[str]:
    """The words around a figure up to a sign or the next figure on both sides."""
    mention = talk.mentions[number]

    def ends(place: int) -> bool:
        return place in talk.taken or talk.tokens[place].text in _CLAUSE_ENDS

    begin, end = clause_around(talk.tokens, mention.first, mention.after, ends=ends)
    return [*talk.stems[begin : mention.first], *talk.stems[mention.after : end]]


_CLAUSE_ENDS = frozenset(".,;:!?–—")


def _words_beside(talk: Talk, number: int) -> tuple[Sequence[str], Sequence[str]]:
    """The words from the figure before up to this one, and from it to the next."""
    mentions, stems = talk.mentions, talk.stems
    begin = mentions[number - 1].after if number else 0
    end = mentions[number + 1].first if number + 1 < len(mentions) else len(stems)
    return stems[begin : mentions[number].first], stems[mentions[number].after : end]


def _is_said_in(words: Sequence[str], cell: Meaning) -> bool:
    """Whether words name a cell's column, and not only its part."""
    return any(_stands(words, one) for one in cell.phrases if one != (stem(cell.part),))


def _told_by_column(talk: Talk, weighed: Sequence[Weighed]) -> list[Weighed]:
    """The cells of the step's own tables for whose column words speak most."""
    own = [one for one in weighed if one.meaning.listed and is_own(talk, one.meaning)]
    most = max((one.words for one in own), default=0.0)
    return [one for one in own if one.words >= max(TOLD, most - TIE)]


def _says_place(talk: Talk, one: Mention) -> bool:
    """Whether it says how far along something is: "ten from the tip", "at the 10 mm station"."""
    behind = talk.tokens[one.after].word if one.after < len(talk.tokens) else ""
    ahead = talk.tokens[one.first - 1].word if one.first else ""
    return behind in _BEHIND_PLACES or ahead == "station"


_BEHIND_PLACES = frozenset({"from", "station", "in", "mark"})


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
    return is_in_hand(talk, meaning) or (not meaning.part and _is_named(talk, meaning))


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


def _is_meant(talk: Talk, meaning: Meaning) -> bool:
    """Whether a measurement in hand is called by its name, or as turners call it.

    Words for its place do not count, and one of many alike is not told by those for all of them.
    """
    if meaning.listed:
        return False
    if (meaning.label - DIRECTIONS.keys()) & set(talk.stems):
        return True
    phrases = (phrase(one) for one in trade_words().phrases_for(meaning.name))
    return any(_stands(talk.stems, one) for one in phrases)


def _stands(stems: Sequence[str], words: Phrase) -> bool:
    return any(tuple(stems[at : at + len(words)]) == words for at in range(len(stems)))


def _is_named(talk: Talk, meaning: Meaning) -> bool:
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


def _is_placed(talk: Talk, number: int, meaning: Meaning) -> bool:
    """Whether words say at which place a cell's row is; of the place itself, that it is one."""
    heads = {row[0] for row in talk.material.rows_of[meaning.name]}
    place = meaning.name in heads and _says_place(talk, talk.mentions[number])
    return place or _places_told(talk, meaning) > 0


def _places_told(talk: Talk, meaning: Meaning) -> int:
    """How many words of what stands at the place of a cell's row are said: "crown of the bead"."""
    return len(set(talk.stems) & _place_of(talk, meaning))


def _place_of(talk: Talk, meaning: Meaning) -> frozenset[str]:
    """The words for what stands at the place of a cell's row, as stems."""
    return frozenset(
        word for cell in _cells(talk, meaning) if not cell.units
        for word in phrase(cell.measurement.text)
    ) - talk.material.silent  # fmt: skip


def _is_paired(
    talk: Talk, number: int, meaning: Meaning, weighed: Sequence[Sequence[Weighed]]
) -> bool:
    """Whether another figure said beside this one is another cell of the same row."""
    row = {cell.name for cell in _cells(talk, meaning) if cell is not meaning}
    return any(
        one.meaning.name in row and one.verdict is Verdict.RIGHT
        for other, two in enumerate(weighed)
        if other != number and _is_size(talk.mentions[other])
        for one in two
    )


def _cells(talk: Talk, meaning: Meaning) -> Iterator[Meaning]:
    by_name = talk.material.by_name
    for row in talk.material.rows_of.get(meaning.name, ()):
        yield from (by_name[name] for name in row if name in by_name)
