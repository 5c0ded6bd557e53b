"""A sentence as tokens that know where they stand."""

from __future__ import annotations

import re
from dataclasses import dataclass

from studio.measure.number_words import HUNDRED, ONES, TENS, VULGAR

_TOKEN = re.compile(
    rf"(?P<number>\d{{1,3}}(?:,\d{{3}})+(?!\d)(?:\.\d+)?|\d+(?:\.\d+)?|(?<!\d)\.\d+)"
    rf"|(?P<vulgar>[{''.join(VULGAR)}])"
    r"|(?P<sign>[Øø⌀](?![^\W\d_]{3}))"
    rf"|(?P<word>[^\W\d_{''.join(VULGAR)}]+(?:['’][^\W\d_]+)*)"
    r"|(?P<other>\S)"
)

_NUMBERS = frozenset((*ONES, *TENS, HUNDRED))

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


def tokens_of(text: str) -> list[Token]:
    """All tokens of ``text``, in order.

    >>> [token.text for token in tokens_of("2-1/4″ deep, isn't it")]
    ['2', '-', '1', '/', '4', '″', 'deep', ',', "isn't", 'it']
    """
    found: list[Token] = []
    for match in _TOKEN.finditer(text):
        glued = bool(found) and found[-1].stop == match.start()
        word = match[0].lower().replace("’", "'").replace("\u2044", "/")
        kind = "sign" if match.lastgroup in ("other", None) else match.lastgroup
        if word.endswith("ish") and word.removesuffix("ish") in _NUMBERS:
            # "fortyish" is forty, or near it
            cut = match.end() - len("ish")
            found.append(
                Token(match.start(), cut, text[match.start() : cut], word[:-3], kind, glued)
            )
            found.append(Token(cut, match.end(), text[cut : match.end()], "ish", kind, True))
            continue
        if word.endswith("'s") and word.removesuffix("'s") in _NUMBERS:
            # "number forty-four's the one"
            cut = match.end() - len("'s")
            found.append(
                Token(match.start(), cut, text[match.start() : cut], word[:-2], kind, glued)
            )
            found.append(Token(cut, match.end(), text[cut : match.end()], "is", kind, True))
            continue
        found.append(Token(match.start(), match.end(), match[0], word, kind, glued))
    return found


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
