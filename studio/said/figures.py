"""Named figures as they are said and as recognisers write them: octagon, "aukta gone"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from studio.said.words import Token, word_set
from studio.turning.sphere import LARGEST_NAMED_FIGURE, figure_name, figure_sides

MOST_PIECES = 5
"""In so many words a recogniser may write a figure's name."""

ENDINGS = ("gon", "gone", "gons", "gun", "gan")
"""How such names end, in their ways of writing."""

# words that stand before "gone" for their own sake
_TALK = word_set(
    "is are was were has have had be been it it's its that's thats they've ive i've i'm long all "
    "the you've youve he's she's well just now how where who what when then already"
)


def figure_at(tokens: Sequence[Token], place: int, *, heard: bool) -> tuple[int, int] | None:
    """A named figure's sides and the number of the token behind it.

    Args:
        tokens: of the sentence.
        place: where it may begin.
        heard: whether a recogniser wrote it, which takes unknown words to pieces.
    """
    token = tokens[place]
    if token.kind == "number":
        return _with_figures(tokens, place)
    if token.kind != "word":
        return None
    sides = figure_sides(token.word.removesuffix("'s"))
    if sides is not None and token.word.removesuffix("'s").rstrip("s").endswith("gon"):
        return sides, place + 1
    if not heard or token.word in _TALK or token.word in ("a", "an"):
        return None
    pieces = ""
    for after in range(place, min(len(tokens), place + MOST_PIECES)):
        word = tokens[after].word
        if tokens[after].kind != "word":
            return None
        pieces += word
        if word.endswith(ENDINGS) and (after > place or word not in ENDINGS):
            sides = _by_sound().get(_sound(pieces))
            return (sides, after + 1) if sides is not None else None
    return None


def _with_figures(tokens: Sequence[Token], place: int) -> tuple[int, int] | None:
    """``16-gon``."""
    at = place + 1
    if at < len(tokens) and tokens[at].text == "-":
        at += 1
    if at < len(tokens) and tokens[at].glued and tokens[at].word in ("gon", "gons"):
        typed = tokens[place].text
        return (int(typed), at + 1) if typed.isdigit() and len(typed) < 4 else None
    return None


@cache
def _by_sound() -> dict[str, int]:
    found: dict[str, int] = {}
    for sides in range(5, LARGEST_NAMED_FIGURE + 1):
        found.setdefault(_sound(figure_name(sides)), sides)
    return found


_SAME = (("ck", "k"), ("gh", ""), ("ph", "f"), ("x", "ks"), ("cs", "ks"), ("c", "k"), ("q", "k"))


def _sound(word: str) -> str:
    """The consonants that are heard, each once where it stands doubled.

    >>> _sound("auktagone") == _sound("octagon")
    True
    """
    for written, said in _SAME:
        word = word.replace(written, said)
    # an r that no vowel follows is not heard in British English: "actor" for octa
    word = re.sub(r"r(?![aeiouy])", "", re.sub(r"(.)\1+", r"\1", word))
    return re.sub(r"[aeiouyh']", "", word)
