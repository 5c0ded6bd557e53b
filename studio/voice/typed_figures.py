"""The words of captions that somebody else typed, their figures read as a voice says them.

A host or a viewer does not write figures as a design prints them: "940 RPM", ``2⅛″``, ``.071"``,
"22ga", "5/8ths", "3rd". They are brought to the printed form first, so that one reader says all.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from studio.episode.times import SaidWord, placed_words
from studio.measure.number_words import VULGAR
from studio.measure.speech import UNIT_WORDS, ordinal
from studio.said.units import PRINTED, unit_at
from studio.said.words import Token, tokens_of

_PRINTED_AS = {name: unit for unit, name in PRINTED.items() if unit in UNIT_WORDS}
_STROKES = ("/", "\u2044")
_HYPHENS = ("-", "–")
_ENDINGS = ("st", "nd", "rd", "th")
_PART_ENDINGS = (*_ENDINGS, "s", *(f"{one}s" for one in _ENDINGS))
_DIGITS = 2
_VOWELS = frozenset("aeiou")

_SHORT = 3
"""A unit of so many letters, or without a vowel, is an abbreviation and stands for its words; a
longer one ("inch", "revs") is what was said (ours)."""

_AROUND = 8
"""So many tokens on either side tell what a sign behind a figure is (ours)."""


def typed_words(text: str) -> tuple[SaidWord, ...]:
    """The words of other people's captions as a voice says them, placed in the text as typed.

    >>> [one.word for one in typed_words('.071" at 940 RPM')][:4]
    ['point', 'zero', 'seven', 'one']
    >>> [one.at for one in typed_words("A 2⅛″ ball")]
    [0, 2, 2, 2, 2, 2, 6]
    """
    pieces = _as_printed(text)
    begins: list[int] = []
    length = 0
    for _, printed in pieces:
        begins.append(length)
        length += len(printed)
    words = []
    for one in placed_words("".join(printed for _, printed in pieces)):
        number = bisect_right(begins, one.at) - 1
        at, printed = pieces[number]
        inside = one.at - begins[number]
        words.append(SaidWord(one.word, at + (inside if text.startswith(printed, at) else 0)))
    return tuple(words)


def _as_printed(text: str) -> list[tuple[int, str]]:
    """The text in pieces as a design would print them, and where each stands in it."""
    pieces: list[tuple[int, str]] = []
    tokens = tokens_of(text)
    end = 0
    in_figure = False
    for place, token in enumerate(tokens):
        if token.start > end:
            pieces.append((end, text[end : token.start]))
        end = max(end, token.stop)
        printed, in_figure = _printed(tokens, place, in_figure=in_figure)
        if printed:
            pieces.append((token.start, printed))
    pieces.append((end, text[end:]))
    return pieces


def _printed(tokens: Sequence[Token], place: int, *, in_figure: bool) -> tuple[str, bool]:
    """A token as a design prints it, and whether a figure in digits goes on behind it."""
    token = tokens[place]
    before = tokens[place - 1] if place else None
    if token.kind == "number":
        position = _position(tokens, place)
        if position is not None:
            return ordinal(position), False
        return (f"0{token.text}" if token.text.startswith(".") else token.text), True
    if token.kind == "vulgar":
        whole = before is not None and token.glued and before.kind == "number"
        return (f" {VULGAR[token.text]}" if whole else VULGAR[token.text]), True
    if place and token.glued and _position(tokens, place - 1) is not None:
        return "", False
    if not in_figure:
        return token.text, False
    if token.glued and _is_glued(tokens, place + 1) and token.text in (*_STROKES, *_HYPHENS):
        return ("/" if token.text in _STROKES else _hyphen(tokens, place)), True
    if token.glued and token.word in _PART_ENDINGS and _is_part(tokens, place - 1):
        return "", True
    unit = _unit(tokens, place)
    if not unit or token.text == unit:
        return token.text, False
    is_apart = not token.glued or (before is not None and before.text in _HYPHENS)
    behind = " " if _is_glued(tokens, place + 1) and tokens[place + 1].kind == "word" else ""
    return f"{'' if is_apart else ' '}{unit}{behind}", False


def _is_glued(tokens: Sequence[Token], place: int) -> bool:
    return place < len(tokens) and tokens[place].glued


def _is_part(tokens: Sequence[Token], place: int) -> bool:
    """Whether a token is what stands under a fraction's stroke."""
    stroke = tokens[place - 1] if place else None
    return tokens[place].kind == "number" and stroke is not None and stroke.text in _STROKES


def _position(tokens: Sequence[Token], place: int) -> int | None:
    """The position that a number with its ending tells, "3rd"; None for any other token."""
    number = tokens[place].text
    after = tokens[place + 1] if _is_glued(tokens, place + 1) else None
    if after is None or after.word not in _ENDINGS or _is_part(tokens, place):
        return None
    # what is beyond has no words for its position
    return int(number) if number.isdecimal() and len(number) <= _DIGITS else None


def _hyphen(tokens: Sequence[Token], place: int) -> str:
    """A hyphen behind a figure: a space before its fraction or its unit, "2-1/8" and "12-mm"."""
    after = tokens[place + 1]
    parts = place + 2 < len(tokens) and tokens[place + 2].text in _STROKES
    is_fraction = after.kind == "vulgar" or (after.kind == "number" and parts)
    return " " if is_fraction or _unit(tokens, place + 1) else tokens[place].text


def _unit(tokens: Sequence[Token], place: int) -> str:
    """The printed unit that one token abbreviates; empty where it is none, or one in words."""
    low = max(0, place - _AROUND)
    near = tokens[low : place + _AROUND]
    found = unit_at(near, place - low, digits=True)
    if found is None or found.after != place - low + 1:
        return ""
    letters = [one for one in tokens[place].word if one.isalpha()]
    is_short = len(letters) <= _SHORT or not set(letters) & _VOWELS
    return _PRINTED_AS.get(found.name, "") if is_short else ""
