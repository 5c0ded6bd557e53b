"""Number words typed in a design's own texts, found and judged as talk is.

The names in a text print figures; what is typed beside them is heard in their company: "every fifth
stop on the 24 plate". Only what is typed is told. A typed text is read as written, never as a
recogniser's ("pencil for marks" holds no four). The finder knows English alone.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from studio.check.context import Context
from studio.check.said import pieces_of
from studio.episode.texts import Form, Name, marked, parse
from studio.measure.measurement import MeasurementTable
from studio.measure.numbers import portion_before
from studio.measure.trace import plain
from studio.paper.addresses import ADDRESS
from studio.said.agreeing import Verdict
from studio.said.finding import Mention, find_mentions
from studio.said.heard import judged_talk
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import Material
from studio.said.units import MINUTES, OURS
from studio.said.vocabulary import trade_words
from studio.said.weighing import is_particular
from studio.said.words import is_heard, tokens_of, word_set
from studio.voice.captions import Caption

FEW = 4
"""Up to so many of a thing that no word ties to the design are talk: two hands, three ways
(ours)."""

SMALL = 12
"""Up to here a number without a unit before a thing may be so many of that, whatever measurement
the words around it are of: two drops of oil (ours)."""

BY_CHANCE = 0.7
"""No surer than this a figure is taken for a measurement by its size and step alone, without a word
for it; see ``said/judging.py``."""

_SIZED = word_set("deep wide long across thick high tall round apart square proud")
"""Words behind the number of a size, and no things of which there are so many (ours)."""

_OF_TALK = word_set(
    "hand hands finger fingers thumb thumbs eye eyes head heads person people friend friends "
    "way ways part parts piece pieces drop drops word words thing things reason reasons"
)
"""What a small number of is talk, or a part of a story (ours)."""

_A_FURTHER = frozenset({"a", "an", "another"})
"""Before a position: one more ("a third groove"), whichever it is."""

_EVERY = frozenset({"every", "each"})
"""Before a position: a way to go through all of them, which no design can leave to chance."""

_NAME = "␣"
_BLANK = f" {_NAME} "
"""Stands for a name, so that the words on both sides are kept apart."""

_EVERY_OTHER = re.compile(rf"\bevery (other)(?: [a-z]+){{0,2}} of(?: the| our)? +{_NAME}", re.I)
"""One in two of the things that a name counts."""


_ITEM = re.compile(r"([ \t]*)([0-9]{1,3})(?=\.[ \t]+\S)")


def _without_list_numbers(text: str) -> str:
    """A text with spaces for the numbers of its numbered lists, where they count from one on.

    Markdown counts such items itself, whatever is typed.
    """
    lines = text.split("\n")
    counted: dict[str, int] = {}
    for place, line in enumerate(lines):
        item = _ITEM.match(line)
        if item is not None:
            number = int(item[2])
            begins = number == 1 and (place == 0 or not lines[place - 1].strip() or bool(counted))
            if begins or number == counted.get(item[1], 0) + 1 > 1:
                counted[item[1]] = number
                lines[place] = f"{item[1]}{' ' * len(item[2])}{line[item.end() :]}"
        elif line.strip() and not line[0].isspace() and not (place and lines[place - 1].strip()):
            # a paragraph of its own: the list has ended
            counted.clear()
    return "\n".join(lines)


@dataclass(frozen=True, slots=True)
class TypedText:
    """A design's text as it is typed and as it is read out.

    Attributes:
        words: every name replaced by a sign that is no word.
        said: every name replaced by its printed figure.
        starts: where each typed stretch begins, in ``words`` and in ``said``.
        drawn: from where to where the figure of each name stands in ``said``, and the name.
    """

    words: str
    said: str
    starts: tuple[tuple[int, int], ...]
    drawn: tuple[tuple[int, int, str], ...]

    @classmethod
    def of(cls, text: str, table: MeasurementTable) -> TypedText:
        """Of a text whose names the table has."""
        words = said = ""
        starts: list[tuple[int, int]] = []
        drawn: list[tuple[int, int, str]] = []
        for piece in parse(_without_list_numbers(text)):
            if isinstance(piece, Name):
                figure = plain(marked(table[piece.dotted], piece.form or Form.TEXT))
                drawn.append((len(said), len(said) + len(figure), piece.dotted))
                words, said = words + _BLANK, said + figure
            else:
                starts.append((len(words), len(said)))
                piece = ADDRESS.sub(lambda found: " " * len(found[0]), piece)
                words, said = words + piece, said + piece
        return cls(words, said, tuple(starts), tuple(drawn))

    def in_words(self, place: int) -> int:
        """Where a typed character of ``said`` stands in ``words``."""
        begun = bisect_right(self.starts, place, key=lambda one: one[1]) - 1
        typed, read = self.starts[max(0, begun)]
        return typed + place - read

    def portions(self) -> Iterator[tuple[int, int]]:
        """Where words of ``words`` make another figure of a name's: "twice {{ hanger.depth }}"."""
        for found in re.finditer(_NAME, self.words):
            start = portion_before(self.words, found.start())
            if start < found.start():
                yield start, found.start()

    def every_other(self) -> Iterator[tuple[int, int]]:
        """Where every second one of a name's figure is told: "every other one of the 12 marks"."""
        for found in _EVERY_OTHER.finditer(self.words):
            yield found.span(1)

    def is_drawn(self, start: int, stop: int) -> bool:
        """Whether any of ``said[start:stop]`` is a name's figure."""
        return any(start < end and begin < stop for begin, end, _ in self.drawn)


@dataclass(frozen=True, slots=True)
class TypedWord:
    """A number that is typed, as the finder of talk understands it.

    Attributes:
        start: where it begins in the text's ``words``.
        stop: where it ends.
        judged: what it was found to be.
        states: whether it states a measurement; else it may be talk, or none of one.
        silent: whether it is talk.
        every: whether it is a position behind "every": a way to go, which no bare count can tell.
    """

    start: int
    stop: int
    judged: Judged
    states: bool
    silent: bool
    every: bool


class TypedWords:
    """Finds and judges the numbers typed in a design's texts."""

    def __init__(self, context: Context):
        self._context = context

    @cached_property
    def judge(self) -> Judge:
        """Made when there is something to judge: most designs type no number."""
        episode = self._context.episode
        return Judge(Material.of(episode, self._context.read.design.workshop.units))

    def of(self, text: TypedText, step: str | None) -> Iterator[TypedWord]:
        """Every number of a text that none of its names prints.

        Args:
            text: the text.
            step: the step in which it is read; None outside of the steps.
        """
        for piece in pieces_of([Caption(None, None, text.said, 1)]):
            at = -piece.starts[0]
            written = as_written(piece.text)
            if all(self._is_printed(text, at, one) for one in find_mentions(written)):
                continue
            for one in judged_talk(self.judge, written, step):
                if not self._is_printed(text, at, one.mention):
                    start = text.in_words(at + one.mention.start)
                    stop = start + one.mention.stop - one.mention.start
                    talk = self._is_talk(written, one)
                    states = not talk and self._states(written, one)
                    yield TypedWord(start, stop, one, states, talk, _is_every(written, one.mention))

    def _is_printed(self, text: TypedText, at: int, mention: Mention) -> bool:
        """Whether a name of the text prints a number, or it is a figure's name."""
        return _is_figure(mention) or text.is_drawn(at + mention.start, at + mention.stop)

    def _is_talk(self, text: str, judged: Judged) -> bool:
        """Whether nothing of the design is stated."""
        mention = judged.mention
        if _is_every(text, mention):
            return False
        if judged.verdict is Verdict.NONE:
            return not _stands_out(mention)
        if mention.unit == "ordinal" and judged.verdict is not Verdict.WRONG:
            # the third groove is the third one whatever becomes of the design
            return _before(text, mention) in _A_FURTHER or judged.measurement.endswith(
                f"_{mention.value}"
            )
        if _is_small(mention) and _is_of_talk(text, mention):
            return True
        alone = judged.verdict is not Verdict.AMBIGUOUS and judged.confidence <= BY_CHANCE
        few = _is_small(mention) and mention.value <= FEW
        return alone and (few or _is_one(mention))

    def _states(self, text: str, judged: Judged) -> bool:
        """Whether a measurement is stated, rightly or wrongly; if not, nobody knows."""
        if judged.verdict in (Verdict.AMBIGUOUS, Verdict.NONE):
            return False
        if not _is_small(judged.mention):
            return judged.verdict is Verdict.WRONG or judged.confidence > BY_CHANCE
        return judged.confidence > BY_CHANCE and not self._counts_things(text, judged)

    def _counts_things(self, text: str, judged: Judged) -> bool:
        """Whether a small number is of a thing, and what it was taken for counts none."""
        mention, tokens = judged.mention, tokens_of(text)
        if mention.unit or mention.value.denominator != 1 or mention.after >= len(tokens):
            return False
        behind = tokens[mention.after]
        if behind.kind != "word" or behind.word in _SIZED | trade_words().function:
            return False
        return not self.judge.material.by_name[judged.measurement].units <= {""}


def _before(text: str, mention: Mention) -> str:
    """The word before a number; empty at the beginning."""
    return tokens_of(text)[mention.first - 1].word if mention.first else ""


def _is_every(text: str, mention: Mention) -> bool:
    return mention.unit == "ordinal" and _before(text, mention) in _EVERY


def _is_figure(mention: Mention) -> bool:
    """Whether it is a figure's name (octagon): the sphere's rounds are checked by theirs."""
    return mention.unit == "sides" and "gon" in mention.written.casefold()


def _is_small(mention: Mention) -> bool:
    return mention.unit in ("", "count", "ordinal") and mention.value <= SMALL


def _is_one(mention: Mention) -> bool:
    """Whether it is one of something, as talk has it; an hour is only found where it is waited."""
    return mention.value == 1 and mention.unit not in MINUTES


def _stands_out(mention: Mention) -> bool:
    """Whether it is a size or a fine figure, even if of nothing that the design states."""
    if mention.dated or _is_one(mention):
        return False
    return mention.unit in OURS or (mention.unit == "" and is_particular(mention))


def _is_of_talk(text: str, mention: Mention) -> bool:
    """Whether it is so many hands, or ``two or three times`` and not twice something."""
    tokens = tokens_of(text)
    behind = [one.word for one in tokens[mention.after : mention.after + 3] if one.text != "-"]
    if behind[:1] == ["times"]:
        return len(behind) == 1 or behind[1] not in ("the", "a", "that", "its", "this")
    return bool(behind) and behind[0] in _OF_TALK


def as_written(text: str) -> str:
    """The text as one that was typed, whatever its letters: no word of it is misheard.

    >>> as_written("pencil for marks")
    'pencil for marks.'
    """
    closed = f"{text.rstrip()}."
    return text if not is_heard(text) else closed
