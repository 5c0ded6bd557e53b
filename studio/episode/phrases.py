"""Where captions and their lines may break: where a sentence or a phrase ends, never in a figure.

A token is a word, or a marked figure with its unit (:func:`tokens_of`).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from studio.language import spoken
from studio.measure.together import ends_sentence, leads, waits_for
from studio.measure.trace import END, START, plain

LINE_CHARACTERS = 42
LINES = 2
"""At most two lines of 42 characters (streaming hosts' style guides, read in a secondary text)."""

_WORD = f"(?:[^\\s{START}]|[\u00a0\u2007\u202f])"
_TOKEN = re.compile(f"{_WORD}*(?:{START}[^{END}]*{END}{_WORD}*)+|\\S(?:\\S|[\u00a0\u2007\u202f])*")
"""A word, or a marked figure with its unit: those stay on one line, and so do words with a space
between that no line may break at."""

_PAUSES = (",", ";", ":")
_POINTS = ".!?,;:"


@dataclass(frozen=True, slots=True)
class _Small:
    """A language's function words: that join, that place, that name; small numbers and parts;
    that turn round; that lead to what is compared with."""

    joining: frozenset[str]
    placing: frozenset[str]
    naming: frozenset[str]
    numbers: frozenset[str]
    parts: frozenset[str]
    turning: frozenset[str]
    comparing: frozenset[str]

    @classmethod
    def of(cls, *words: str) -> _Small:
        return cls(*(frozenset(one.split()) for one in words))


_SMALL = {
    "en": _Small.of(
        "and or but nor so then because if when where while which who that as than until till "
        "unless though before after",
        "from with without in into on onto at to of by for over under between through against "
        "along across around about near above below",
        "the a an this these those your my our its their each every",
        "two three four five six seven eight nine ten eleven twelve",
        "half quarter quarters third thirds eighth eighths sixteenth sixteenths thirty-second "
        "thirty-seconds sixty-fourth sixty-fourths",
        "not no never",
        "than",
    ),
    "de": _Small.of(
        "und oder aber sondern denn weil wenn falls während wo wobei damit sodass dass bis bevor "
        "nachdem als wie sobald solange dann also",
        "von vom mit ohne in im ins auf an am ans zu zum zur bei beim für über unter zwischen "
        "durch gegen entlang um aus nach vor hinter neben oberhalb unterhalb höchstens mindestens",
        "der die das den dem des ein eine einen einem einer eines dieser diese dieses diesen "
        "jeder jede jedes jeden jedem ihr ihre ihren beide beiden",
        "zwei drei vier fünf sechs sieben acht neun zehn elf zwölf",
        "halb halbe halber halben halbes viertel drittel achtel sechzehntel",
        "nicht kein keine keinen nie niemals",
        "als",
    ),
}
"""Function words that open a phrase, numbers that wait for what they count, parts of a unit, and
words that turn round what follows: "not" alone on screen, and then "above 1,050 rpm", says another
limit; so does "not more" without the "than 800 rpm" that it is measured by."""

_OF_UNIT = re.compile(r"(?:of|an?|inch|foot|millimet|centimet|met|turn|hour|zoll|millimeter)\w*")
"""What a part is a part of, or the word that leads to it: half an inch."""

_AT_PAUSE, _AT_JOINING, _AT_PLACING, _AT_NAMING = -24, -16, -10, -6
_BEFORE_FIGURE, _AFTER_OPENING, _AFTER_NUMBER = 12, 1_000, 2_000
"""What a break is worth in characters of unevenness (ours): a good place may make lines so much
more uneven; a break inside a phrase's opening is taken only where no other one fits."""

_UNEVEN_WORD = 3
"""A caption a word longer than the even one counts as so many characters (ours)."""


def tokens_of(text: str) -> list[str]:
    """A text, marked or not, in the pieces that no line breaks inside."""
    return _TOKEN.findall(text)


@dataclass(frozen=True, slots=True)
class Phrase:
    """What one caption says."""

    tokens: tuple[str, ...]

    @property
    def words(self) -> int:
        """How many words are read."""
        return sum(len(plain(token).split()) for token in self.tokens)

    @property
    def text(self) -> str:
        """On one line or two."""
        place = line_break(self.tokens)
        if not place:
            return " ".join(self.tokens)
        return " ".join(self.tokens[:place]) + "\n" + " ".join(self.tokens[place:])


def bond(tokens: Sequence[str], place: int) -> int:
    """How ill a break before ``tokens[place]`` reads; below 0 where it reads well."""
    earlier, word, following = _around(tokens, place)
    small = _SMALL[spoken().tag]
    before, after = word.lower(), following.lower()
    if leads(word, following, earlier) or waits_for(word, following):
        return _AFTER_NUMBER
    if before in small.parts and _OF_UNIT.fullmatch(after.rstrip(_POINTS)):
        return _AFTER_NUMBER
    if before.endswith(_PAUSES) or ends_sentence(word, following, earlier):
        return _AT_PAUSE
    if before in small.numbers | small.turning:
        return _AFTER_NUMBER
    if before in small.joining | small.placing | small.naming:
        return _AFTER_OPENING
    after = after.rstrip(_POINTS)
    if after in small.comparing:
        return _AFTER_NUMBER
    for words, worth in (
        (small.joining, _AT_JOINING),
        (small.placing, _AT_PLACING),
        (small.naming, _AT_NAMING),
    ):
        if after in words:
            return worth
    # "the bundle measures" alone says nothing
    return _BEFORE_FIGURE if after[:1].isdigit() else 0


def _around(tokens: Sequence[str], place: int) -> tuple[str, str, str]:
    """The two tokens before a place and the one behind it, plain; empty where there is none."""
    near = (tokens[n] if 0 <= n < len(tokens) else "" for n in (place - 2, place - 1, place))
    earlier, word, following = (plain(token) for token in near)
    return earlier, word, following


def is_sentence_end(tokens: Sequence[str], place: int) -> bool:
    """Whether a sentence ends before ``tokens[place]``."""
    earlier, word, following = _around(tokens, place)
    return ends_sentence(word, following, earlier)


def parts_a_figure(tokens: Sequence[str], place: int) -> bool:
    """Whether a break before ``tokens[place]`` parts what reads as one: a number and its unit."""
    return 0 < place < len(tokens) and bond(tokens, place) >= _AFTER_NUMBER


def line_break(tokens: Sequence[str]) -> int | None:
    """Where the second line begins; 0 for one line alone, None when two lines do not hold them.

    A single token longer than a line stands alone on it: a caption never loses a word.
    """
    lengths = [len(plain(token)) for token in tokens]
    whole = sum(lengths) + len(lengths) - 1
    if whole <= LINE_CHARACTERS or len(tokens) == 1:
        return 0
    best: tuple[int, int] | None = None
    for place in range(1, len(tokens)):
        upper = sum(lengths[:place]) + place - 1
        lower = whole - upper - 1
        if max(upper, lower) <= LINE_CHARACTERS or len(tokens) == LINES:
            score = abs(upper - lower) + bond(tokens, place)
            if best is None or score < best[0]:
                best = (score, place)
    return None if best is None else best[1]


def _splits_opening(tokens: Sequence[str]) -> int:
    """What it costs when the lines can only be broken inside a phrase's opening, else 0."""
    place = line_break(tokens)
    worth = bond(tokens, place) if place else 0
    return worth if worth >= _AFTER_OPENING else 0


def phrases_of(text: str, most_words: int) -> list[Phrase]:
    """Whole sentences where they fit into a caption, else parts broken at pauses."""
    tokens = tokens_of(text)
    phrases: list[Phrase] = []
    while tokens:
        fits = 1
        while fits < len(tokens) and _fits(tokens[: fits + 1], most_words):
            fits += 1
        # rather a caption that is a little too long than half a figure
        while all(parts_a_figure(tokens, place) for place in range(1, fits + 1)):
            if line_break(tokens[: fits + 1]) is None:
                break
            fits += 1
        phrases.append(Phrase(tuple(tokens[: _break(tokens, fits)])))
        tokens = tokens[len(phrases[-1].tokens) :]
    return phrases


def _fits(tokens: Sequence[str], most_words: int) -> bool:
    return Phrase(tuple(tokens)).words <= most_words and line_break(tokens) is not None


def _break(tokens: Sequence[str], fits: int) -> int:
    """Where to end a caption of at most ``fits`` tokens: sentence end, pause, or a phrase's end."""
    stops = [place for place in range(fits, 0, -1) if is_sentence_end(tokens, place)]
    stops += [place for place in range(fits, 1, -1) if plain(tokens[place - 1]).endswith(_PAUSES)]
    if fits == len(tokens):
        stops.append(fits)
    for place in stops:
        if not _splits_opening(tokens[:place]):
            return place
    sentence = next(
        (place for place in range(1, len(tokens)) if is_sentence_end(tokens, place)),
        len(tokens),
    )
    # a sentence that fits is here because its lines break ill: it is parted in two
    parts = max(2, -(-sentence // fits))
    even = min(fits, -(-sentence // parts))

    def cost(place: int) -> int:
        worth = bond(tokens, place) if place < len(tokens) else 0
        uneven = _UNEVEN_WORD * abs(place - even)
        return 2 * (uneven + worth + _splits_opening(tokens[:place]))

    best = min(range(1, fits + 1), key=cost)
    return stops[0] if stops and cost(best) >= _AFTER_OPENING else best


def by_sentence(tokens: Sequence[str]) -> list[list[str]]:
    """The tokens, parted after each that ends a sentence."""
    out: list[list[str]] = [[]]
    for place, token in enumerate(tokens, 1):
        out[-1].append(token)
        if is_sentence_end(tokens, place):
            out.append([])
    return [one for one in out if one]


def sentences_in(text: str) -> tuple[str, ...]:
    """A narration's sentences, marked as it is.

    >>> sentences_in("Mark 12 mm. Turn it round.")
    ('Mark 12 mm.', 'Turn it round.')
    """
    return tuple(" ".join(tokens) for tokens in by_sentence(tokens_of(text)))
