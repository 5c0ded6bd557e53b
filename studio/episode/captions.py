"""Captions from the script: phrases broken into two short lines and spread over their step."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from studio.episode.records import Cue, TimedStep
from studio.measure.trace import END, START, plain

LINE_CHARACTERS = 42
LINES = 2
"""At most two lines of 42 characters (streaming hosts' style guides, read in a secondary text)."""

SHORTEST_MS = 833
LONGEST_MS = 7_000
"""Five sixths of a second to seven seconds (same guides)."""

GAP_MS = 80
"""Two pictures' pause between captions, so that a change is seen (common practice, no source)."""

_TOKEN = re.compile(f"[^\\s{START}]*(?:{START}[^{END}]*{END}[^\\s{START}]*)+|\\S+")
"""A word, or a marked figure with its unit: those stay on one line."""

_ENDS = (".", "!", "?")
_PAUSES = (",", ";", ":")


@dataclass(frozen=True, slots=True)
class _Phrase:
    tokens: tuple[str, ...]

    @property
    def words(self) -> int:
        return sum(len(plain(token).split()) for token in self.tokens)


def speaking_ms(text: str, words_per_minute: int) -> int:
    """How long a text takes to say, in milliseconds.

    >>> speaking_ms("one two three four five six seven", 140)
    3000
    """
    return round(len(plain(text).split()) * 60_000 / words_per_minute)


def _lines(tokens: Sequence[str]) -> list[list[str]] | None:
    """The tokens on at most two lines of about equal length, or None when they do not fit.

    A single token longer than a line stands alone on it: a caption never loses a word.
    """
    lengths = [len(plain(token)) for token in tokens]
    whole = sum(lengths) + len(lengths) - 1
    if whole <= LINE_CHARACTERS or len(tokens) == 1:
        return [list(tokens)]
    best: tuple[int, int] | None = None
    for place in range(1, len(tokens)):
        upper = sum(lengths[:place]) + place - 1
        lower = whole - upper - 1
        if max(upper, lower) <= LINE_CHARACTERS or len(tokens) == LINES:
            # a line that ends at a pause reads better than an even one
            bonus = 12 if plain(tokens[place - 1]).endswith(_PAUSES + _ENDS) else 0
            score = abs(upper - lower) - bonus
            if best is None or score < best[0]:
                best = (score, place)
    if best is None:
        return None
    return [list(tokens[: best[1]]), list(tokens[best[1] :])]


def _phrases(text: str, most_words: int) -> list[_Phrase]:
    """Whole sentences where they fit into a caption, else parts broken at pauses."""
    tokens = _TOKEN.findall(text)
    phrases: list[_Phrase] = []
    while tokens:
        fits = 1
        while fits < len(tokens) and _fits(tokens[: fits + 1], most_words):
            fits += 1
        phrases.append(_Phrase(tuple(tokens[: _break(tokens, fits)])))
        tokens = tokens[len(phrases[-1].tokens) :]
    return phrases


def _fits(tokens: Sequence[str], most_words: int) -> bool:
    return _Phrase(tuple(tokens)).words <= most_words and _lines(tokens) is not None


def _break(tokens: Sequence[str], fits: int) -> int:
    """Where to end a caption of at most ``fits`` tokens: sentence end, pause, or even parts."""
    for ends, least in ((_ENDS, 1), (_PAUSES, 2)):
        for place in range(fits, least - 1, -1):
            if plain(tokens[place - 1]).endswith(ends):
                return place
    if fits == len(tokens):
        return fits
    sentence = next(
        (place + 1 for place, token in enumerate(tokens) if plain(token).endswith(_ENDS)),
        len(tokens),
    )
    parts = -(-sentence // fits)
    return min(fits, -(-sentence // parts))


def captions(
    steps: Sequence[TimedStep], words_per_minute: int
) -> tuple[tuple[Cue, ...], tuple[str, ...]]:
    """Cues for every step's narration, in order and without overlap, and notes on the timing.

    A step's words start with the step and run at the turner's own rate; where the marks leave
    less time than that, they are pressed into it and a note says so.

    Args:
        steps: with times, in order.
        words_per_minute: the turner's rate of speech.
    """
    cues: list[Cue] = []
    notes: list[str] = []
    for step in steps:
        phrases = _phrases(step.say, LONGEST_MS * words_per_minute // 60_000)
        if not phrases:
            continue
        assert step.start_ms is not None
        assert step.end_ms is not None
        needed = speaking_ms(step.say, words_per_minute)
        window = step.end_ms - step.start_ms
        if needed > window:
            notes.append(
                f"step {step.id}: its narration takes {needed / 1000:.1f} s at "
                f"{words_per_minute} words a minute, its marks leave {window / 1000:.1f} s"
            )
        spoken = min(max(needed, SHORTEST_MS * len(phrases)), window)
        words = sum(phrase.words for phrase in phrases)
        said = 0
        for phrase in phrases:
            start = step.start_ms + spoken * said // words
            said += phrase.words
            end = step.start_ms + spoken * said // words
            broken = _lines(phrase.tokens) or [list(phrase.tokens)]
            text = "\n".join(" ".join(line) for line in broken)
            # the pause is left out where it would make a caption too short
            gap = GAP_MS if end - start - GAP_MS >= SHORTEST_MS else 0
            cues.append(Cue(start_ms=start, end_ms=end - gap, text=text))
    return tuple(cue for cue in cues if cue.end_ms > cue.start_ms), tuple(notes)
