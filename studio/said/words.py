"""A sentence as tokens that know where they stand."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from studio.measure.number_words import HUNDRED, ONES, TENS, VULGAR

_TOKEN = re.compile(
    rf"(?P<number>\d{{1,3}}(?:,\d{{3}})+(?!\d)(?:\.\d+)?|\d+(?:\.\d+)?|(?<!\d)\.\d+)"
    rf"|(?P<vulgar>[{''.join(VULGAR)}])"
    r"|(?P<sign>[Øø⌀](?![^\W\d_]{3}))"
    rf"|(?P<word>[^\W\d_{''.join(VULGAR)}]+(?:['’][^\W\d_]+)*)"
    r"|(?P<other>\S)"
)

_NUMBERS = frozenset((*ONES, *TENS, HUNDRED))
_TAILS = {"ish": "ish", "'s": "is"}
"""What is glued to a number word, and what it stands for: "fortyish" is forty, or near it, and
"number forty-four's the one"."""

_ENDINGS = tuple(_TAILS)

MAX_CHARACTERS = 20_000
"""A longer piece of talk is cut off by its reader (ours): the work on a stranger's file is
bounded."""


@dataclass(frozen=True, slots=True)
class Token:
    """A word, number or sign: ``text[start:stop]``.

    Attributes:
        start: where it begins in the text.
        stop: where it ends.
        text: as it stands there.
        word: the same in small letters, straight apostrophes.
        kind: ``number`` (digits), ``vulgar`` (½), ``word`` or ``sign``.
        glued: whether it follows the token before it without a space.
    """

    start: int
    stop: int
    text: str
    word: str
    kind: str
    glued: bool


@lru_cache(maxsize=8)
def tokens_of(text: str) -> tuple[Token, ...]:
    """All tokens of ``text``, in order; kept for whoever judges what was found in it.

    >>> [token.text for token in tokens_of("2-1/4″ deep, isn't it")]
    ['2', '-', '1', '/', '4', '″', 'deep', ',', "isn't", 'it']
    """
    found: list[Token] = []
    for match in _TOKEN.finditer(text):
        glued = bool(found) and found[-1].stop == match.start()
        word = match[0].lower().replace("’", "'").replace("\u2044", "/")
        kind = "sign" if match.lastgroup in ("other", None) else match.lastgroup
        tail = _tail_of(word) if word.endswith(_ENDINGS) else ""
        cut, begun = match.end() - len(tail), match.start()
        found.append(Token(begun, cut, text[begun:cut], word[: cut - begun], kind, glued))
        if tail:
            end = match.end()
            found.append(Token(cut, end, text[cut:end], _TAILS[tail], kind, True))
    return tuple(found)


def _tail_of(word: str) -> str:
    """What is glued to a number word; empty for any other word."""
    return next((one for one in _TAILS if word.removesuffix(one) in _NUMBERS), "")


def is_number(word: str) -> bool:
    """Whether a word is a figure or a number's name, none that only sounds like one.

    >>> is_number("2.5"), is_number("sixty"), is_number("to")
    (True, True, False)
    """
    return word[:1].isdigit() or word in _NUMBERS


def clause_around(
    tokens: Sequence[Token],
    first: int,
    after: int,
    *,
    ends: Callable[[int], bool],
    ahead: int | None = None,
    behind: int | None = None,
) -> tuple[int, int]:
    """From which token to which one a figure's clause goes.

    Args:
        tokens: of the talk.
        first: number of the figure's first token.
        after: number of the token behind its last one.
        ends: whether the clause ends at a token before the figure or behind it.
        ahead: how many tokens before it count; None for all.
        behind: how many behind it.
    """
    begin, end = first, after
    least = 0 if ahead is None else max(0, first - ahead)
    most = len(tokens) if behind is None else min(len(tokens), after + behind)
    while begin > least and not ends(begin - 1):
        begin -= 1
    while end < most and not ends(end):
        end += 1
    return begin, end


def word_set(text: str) -> frozenset[str]:
    """The words of ``text`` as a set, for lists that read better as prose."""
    return frozenset(text.split())


_WRITTEN = re.compile(r"(?!\bI\b)[A-Z]|[,;:!?]|[.](?!\d)")


def is_heard(text: str) -> bool:
    """Whether a recogniser wrote this: no capital letter but "I", and no punctuation.

    Only then may "for" stand for four; whoever types captions does not mishear. A degree or inch
    sign is no punctuation.

    >>> is_heard("forty for drill"), is_heard("Made for me.")
    (True, False)
    """
    return not _WRITTEN.search(text)
