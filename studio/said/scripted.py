"""Talk that follows the script: where its words are said, its figure is the one that is meant.

A figure of the same step said in another's place ("2.4 mm wide, 7.2 mm deep", where it is 7.2 and
2.4) fits a measurement of the step, and only the sentence tells that it is the wrong one.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from studio.measure.trace import spans
from studio.said.finding import Mention, find_mentions
from studio.said.vocabulary import trade_words
from studio.said.words import Token, tokens_of

_FIGURE = "\0"
"""What stands for a number among the words of a line, in talk and in the script alike."""

_SEEN = 6
"""So many words before a figure and behind it are compared (ours)."""

_LEAST_SHARE, _LEAST_WORDS = 0.65, 3
"""So much of a line's words around a figure is said where the line is, and so many words (ours)."""

_OF = frozenset({"of", "on", "for", "in", "at"})

_WHOLE_WORDS = 2
"""So many words are enough for a short line that was said as it stands (ours)."""


@dataclass(frozen=True, slots=True)
class Place:
    """A figure's place in a line: the words around it, the nearest first.

    Attributes:
        before: the words before it.
        after: the words behind it.
        name: the measurement that stands there; empty for another number.
    """

    before: tuple[str, ...]
    after: tuple[str, ...]
    name: str


@dataclass(frozen=True)
class Script:
    """The lines of a design's steps, by step: narration and instructions."""

    places: Mapping[str, tuple[Place, ...]]

    @classmethod
    def of(cls, texts: Mapping[str, Iterable[str]]) -> Script:
        """From the marked texts of each step."""
        return cls(
            {
                step: tuple(place for marked in given for place in _places_of(marked))
                for step, given in texts.items()
            }
        )

    @cached_property
    def _all(self) -> tuple[Place, ...]:
        return tuple(dict.fromkeys(one for places in self.places.values() for one in places))

    def meant(
        self,
        tokens: Sequence[Token],
        mentions: Sequence[Mention],
        step: str | None,
        naming: Container[str],
    ) -> dict[int, tuple[tuple[str, ...], float]]:
        """For each mention in a line of the script the measurement that stands there.

        Args:
            tokens: of the talk.
            mentions: in it.
            step: the step in hand, whose lines alone count; None where nobody knows.
            naming: words each of which says which measurement is meant.

        Returns:
            By the mention's number: the name, or those of several lines in the same words, and
            what share of the line's words was said.
        """
        places = self._all if step is None else self.places.get(step, ())
        if not places:
            return {}
        found = {}
        words, at = _line_of(tokens, mentions)
        for number, place in enumerate(at):
            before, after = _around(words, place)
            shares = [
                (_share(before, after, one, naming), one.name)
                for one in _told_by_the_next_word(after, places)
            ]
            best = max(shares, default=(0.0, ""))[0]
            names = tuple(dict.fromkeys(name for share, name in shares if share == best))
            if best and all(names):
                found[number] = names, best
        return found


def _places_of(marked: str) -> Iterator[Place]:
    text, named = spans(marked)
    mentions = find_mentions(text)
    tokens = tokens_of(text)
    begin = 0
    for end in (*(n for n, one in enumerate(tokens) if one.text in ".!?"), len(tokens)):
        inside = [one for one in mentions if begin <= one.first and one.after <= end]
        words, at = _line_of(tokens[begin:end], inside, begin)
        for one, place in zip(inside, at, strict=True):
            over = [span for span in named if span.start < one.stop and one.start < span.stop]
            names = {span.name.rpartition(":")[2] for span in over}
            yield Place(*_around(words, place), names.pop() if len(names) == 1 else "")
        begin = end


def _line_of(
    tokens: Sequence[Token], mentions: Sequence[Mention], begin: int = 0
) -> tuple[list[str], list[int]]:
    """The words with a sign for each figure, and where among them the figures stand."""
    first = {one.first - begin: one for one in mentions}
    words: list[str] = []
    at: list[int] = []
    place = 0
    while place < len(tokens):
        if place in first:
            at.append(len(words))
            words.append(_FIGURE)
            place = first[place].after - begin
            continue
        if tokens[place].kind != "sign":
            words.append(tokens[place].word)
        place += 1
    return words, at


def _around(words: Sequence[str], place: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    before = words[max(0, place - _SEEN) : place]
    return tuple(reversed(before)), tuple(words[place + 1 : place + 1 + _SEEN])


def _told_by_the_next_word(after: Sequence[str], places: Sequence[Place]) -> Sequence[Place]:
    """The places behind which the same word stands, where it stands behind one: "1/16 in deep".

    Figures that were said in fewer words than the line's stand near the words of other ones; only
    the word right behind them is theirs alone.
    """
    word = after[0] if after else ""
    if word in trade_words().function | {"", _FIGURE}:
        return places
    return [one for one in places if one.after[:1] == (word,)] or places


def _share(
    before: Sequence[str], after: Sequence[str], place: Place, naming: Container[str]
) -> float:
    """What share of the words around a place was said around a figure; 0 where it is too little."""
    near = ((before[:1], place.before[:1]), (after[:1], place.after[:1]))
    if not any(said == line and line for said, line in near):
        return 0.0
    if after[:1] == ("times",) and place.after[:1] != ("times",):
        return 0.0  # a factor is said where the line has the product
    ahead, behind = _in_order(before, place.before), _in_order(after, place.after)
    said = [*ahead, *behind]
    # where the talk begins or ends there, the line may go on
    line = [*place.before[: len(before)], *place.after[: len(after)]]
    share = len(said) / max(1, len(line))
    told = [word for word in said if word != _FIGURE]
    telling = [word for word in told if word not in trade_words().function]
    least = _WHOLE_WORDS if telling else _SEEN - 2
    whole = len(said) == len(place.before) + len(place.after) and len(told) >= least
    cut = len(line) < len(place.before) + len(place.after)
    enough = len(telling) > cut and share >= _LEAST_SHARE and len(told) >= _LEAST_WORDS
    if not (whole or enough) or _of_another(before, ahead, place.before, naming):
        return 0.0
    return 0.0 if _of_another(after, behind, place.after, naming) else share


def _of_another(
    words: Sequence[str], said: Sequence[str], line: Sequence[str], naming: Container[str]
) -> bool:
    """Whether talk between the line's words, or right before them, names another thing.

    "The tenon on the finial is 7 mm long" is no "the finial is 62 mm long", and what is said of
    callipers nothing that the line says of dividers.
    """
    left = list(said)
    other = bool(set(line) - set(said) - trade_words().function)
    for place, word in enumerate(words):
        if left and word == left[0]:
            del left[0]
        elif left and (word in naming or (other and word not in trade_words().function)):
            return True
        elif not left:
            joined = words[place] in _OF and words[place + 1 : place + 2]
            return bool(joined) and words[place + 1] in naming
    return False


def _in_order(said: Sequence[str], line: Sequence[str]) -> list[str]:
    """The longest row of words that stands in both in the same order."""
    best: list[list[str]] = [[] for _ in range(len(line) + 1)]
    for word in said:
        row: list[list[str]] = [[]]
        for place, other in enumerate(line, start=1):
            if word == other:
                row.append([*best[place - 1], word])
            else:
                row.append(max(row[-1], best[place], key=len))
        best = row
    return best[-1]
