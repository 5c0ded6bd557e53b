"""Which captions to say again where talk has no full stops: those of the number's own sentence.

A recogniser's captions run on, and a piece of talk is as long as its judging needs. A line is
spoken again as short as it can be: the captions that hold the number, and those that hold the rest
of the script's sentence that was said there. Where none was, it is the number's captions, with
their neighbours where they hold a word or two.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from studio.episode.records import TimedStep
from studio.episode.times import placed_words
from studio.voice.script import ScriptSentence, script_of

if TYPE_CHECKING:
    from studio.check.said import Piece

LEAST_WORDS = 5
"""Fewer cannot be cut into talk: a voice needs a run-up (ours)."""

LEAST_LIKE = 3
LEAST_SHARE = 0.4
"""So many words of a sentence, and such a share of them, are heard in order before it counts as the
one that was said (ours)."""

_TRIED = 4
"""Sentences that are laid against the talk, those that share most words with it first (ours)."""

_NEAR = 2
"""A number stands within so many words of what was heard of its sentence (ours)."""

_LIKE, _UNLIKE = 2, -1
"""What a word heard and one of the two alone are worth (ours)."""


@dataclass(frozen=True)
class Again:
    """Finds what to say again, for the steps of one episode."""

    steps: Sequence[TimedStep]

    @cached_property
    def _sentences(self) -> tuple[ScriptSentence, ...]:
        return script_of(self.steps).sentences

    def captions(self, piece: Piece, start: int, stop: int) -> tuple[int, int]:
        """Numbers of the first and the last caption of a piece that are said again.

        Args:
            piece: talk without full stops.
            start: where the number begins in its text.
            stop: where it ends.
        """
        heard = placed_words(piece.text)
        words, places = [one.word for one in heard], [one.at for one in heard]
        # the number may stand inside a figure, whose words all begin where it does
        begins = max((place for place in places if place <= start), default=0)
        number = [n for n, place in enumerate(places) if begins <= place < stop]
        first, last = piece.number_at(start), piece.number_at(stop - 1)
        if number:
            said = self._said(words, number[0], number[-1])
            if said is not None:
                first = min(first, piece.number_at(places[said[0]]))
                last = max(last, piece.number_at(places[said[1]]))
        while _held(piece, first, last) < LEAST_WORDS and last - first + 1 < len(piece.captions):
            if first:
                first -= 1
            if _held(piece, first, last) < LEAST_WORDS and last + 1 < len(piece.captions):
                last += 1
        return first, last

    def _said(self, words: Sequence[str], first: int, last: int) -> tuple[int, int] | None:
        """The first and last word heard of the sentence that words ``first`` to ``last`` are of."""
        heard = set(words)
        # of any step: at its borders talk runs ahead of the film's times, and behind them
        tried = sorted(self._sentences, key=lambda one: -len(heard.intersection(one.words)))
        best, found = 0, None
        for one in tried[:_TRIED]:
            worth, like, begin, end = _laid(one.words, words)
            near = begin - _NEAR <= first and last <= end + _NEAR
            enough = like >= max(LEAST_LIKE, LEAST_SHARE * len(one.words))
            if near and enough and worth > best:
                best, found = worth, (begin, end)
        return found


def _held(piece: Piece, first: int, last: int) -> int:
    return sum(len(one.text.split()) for one in piece.captions[first : last + 1])


def _laid(sentence: Sequence[str], heard: Iterable[str]) -> tuple[int, int, int, int]:
    """The stretch of ``heard`` that is most like ``sentence``.

    Local alignment (Smith and Waterman, J. Mol. Biol. 147, 1981, from memory).

    Returns:
        What it is worth, how many words are alike, and the numbers of its first and last word.
    """
    nothing = (0, 0, -1, -1)
    best = nothing
    above = [nothing] * (len(sentence) + 1)
    for number, word in enumerate(heard):
        row = [nothing]
        for place, due in enumerate(sentence):
            worth, like, begin, end = above[place]
            if word == due:
                way = (worth + _LIKE, like + 1, number if begin < 0 else begin, number)
            else:
                way = (worth + _UNLIKE, like, begin, end)
            for other in (above[place + 1], row[place]):
                if other[0] + _UNLIKE > way[0]:
                    way = (other[0] + _UNLIKE, *other[1:])
            row.append(way if way[0] > 0 else nothing)
            best = max(best, row[-1], key=lambda one: one[0])
        above = row
    return best
