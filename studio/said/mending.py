"""The line to say instead: a wrong figure's place taken by the design's, said in the same form.

A line is only given where words make sure which measurement was meant. A line with the figure of
another one in it would be a second wrong number, with the tool's word for it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from studio.episode.texts import is_before_noun
from studio.measure.number_words import ORDINALS
from studio.measure.speech import UNIT_WORDS, ordinal, spoken
from studio.said.bounds import ToldBound
from studio.said.finding import Mention, find_mentions
from studio.said.judged import Edit
from studio.said.limits import is_limit_of
from studio.said.material import Meaning
from studio.said.torn import is_torn
from studio.said.weighing import CLOSE, FAR, TIE, Weighed

_SURE, _SURE_OF_FAR = 0.35, 0.8
"""By so much what is meant must lead whatever else may be; by the second, where the figure is more
than twice too large or too small, so that its size speaks for nothing (ours, by the labelled
sentences)."""


def readings(name: str, weighed: Sequence[Weighed]) -> tuple[str, ...]:
    """What a wrong figure may mean, best first, where it is more than what it was taken for.

    Words and step tell it; the figure's size hardly does, for a slip may be ten times too large and
    then lies nearer to something else. Which of a size and its limit is meant words alone tell.
    What prints the same figure is no rival.

    Args:
        name: the measurement that it was taken for.
        weighed: all that it may mean.
    """
    mine = next((one for one in weighed if one.meaning.name == name), None)
    if mine is None:
        return ()
    least = _weight(mine) - (_SURE_OF_FAR if mine.size <= FAR else _SURE)
    near = [
        one for one in weighed
        if one.meaning.printed != mine.meaning.printed
        and (_weight(one) > least or _is_called_alike(one, mine))
    ]  # fmt: skip
    if not near:
        return ()
    return tuple(one.meaning.name for one in sorted([mine, *near], key=_weight, reverse=True))


def _is_called_alike(one: Weighed, mine: Weighed) -> bool:
    """Whether words leave it open which of a size and its limit is meant."""
    alike = is_limit_of(one.meaning.name, mine.meaning.name)
    return alike and one.words > mine.words - TIE


def _weight(one: Weighed) -> float:
    return one.words + one.step + min(max(one.size, FAR), CLOSE)


def edit_to_say(text: str, mention: Mention, figure: str) -> Edit | None:
    """A figure in the place of a mention, the article before it made to fit.

    A comma parts it from figures beside it: "#51, 5/8 in" is not fifty-one and five eighths.

    Args:
        text: the sentence.
        mention: the wrong one.
        figure: what is said instead; empty for none, and then there is nothing to say either, nor
            is there where the mention may be a piece of another figure.
    """
    if not figure or is_torn(text, mention):
        return None
    if mention.high is not None and _RANGE_AHEAD.search(text[: mention.start]):
        return None  # "between 880 rpm" would be half a range
    start, said = mention.start, _without_the_next_word(figure, text[mention.stop :])
    if mention.written[:1].isupper():
        said = said[:1].upper() + said[1:]  # "Nine marks" at a sentence's beginning
    ahead = text[:start]
    article = _ARTICLE.search(ahead)
    if article is not None:
        fit = "an" if _VOWEL.match(said) else "a"
        start, said = article.start(1), article[1][0] + fit[1:] + article[2] + said
    elif (gap := _FIGURE_AHEAD.search(ahead)) and said[0].isdigit():
        start, said = gap.start(1), f", {said}"
    if said[-1].isdigit() and _FIGURE_BEHIND.match(text, mention.stop):
        said += ","
    return Edit(text, start, mention.stop, said)


def turned_edit(
    text: str, mention: Mention, edit: Edit | None, told: ToldBound, *, fits: bool
) -> Edit | None:
    """A figure with its limit told as the design has it: "below 880 rpm" for "above 880 rpm".

    Args:
        text: the sentence.
        mention: the figure.
        edit: what puts the right figure in its place; None where that is not known.
        told: the limit as it is told beside the figure.
        fits: whether the figure itself is right, and stays as it was said.
    """
    if fits:
        edit = Edit(text, mention.start, mention.stop, text[mention.start : mention.stop])
    if edit is None or not told.instead:
        return None
    instead = told.instead
    if text[told.start].isupper():
        instead = instead[:1].upper() + instead[1:]
    if told.start < edit.start:
        said = instead + text[told.stop : edit.start] + edit.said
        return Edit(text, told.start, edit.stop, said)
    return Edit(text, edit.start, told.stop, edit.said + text[edit.stop : told.start] + instead)


def _without_the_next_word(figure: str, behind: str) -> str:
    """A figure without its last word where that is said behind it: "0.43 mm short", "short"."""
    shorter, _, last = figure.rpartition(" ")
    said_already = last.isalpha() and re.match(rf"\s+{last}\b", behind, re.IGNORECASE)
    return shorter if shorter and said_already else figure


_ARTICLE = re.compile(r"\b(an?)(\s+)$", re.IGNORECASE)
_RANGE_AHEAD = re.compile(r"\b(?:between|from)\s+$", re.IGNORECASE)
"""Before a range: two figures are to follow."""

_FIGURE_AHEAD, _FIGURE_BEHIND = re.compile(r"\d(\s+)$"), re.compile(r"\s+\d")
_VOWEL = re.compile(r"(?!one)[aeio]|8|1[18](?![\d,])", re.IGNORECASE)
"""Numbers and figures ("octagon") that begin with a vowel as they are said."""


def figure_to_say(mention: Mention, meaning: Meaning, printed: str, text: str) -> str:
    """What is said instead of a mention; empty where the design's text does not fit its place.

    Args:
        mention: the wrong one.
        meaning: the measurement that it means.
        printed: what the design prints of it, in the system that was said.
        text: the sentence.
    """
    if mention.unit == "count" and meaning.units == {"grit"}:
        printed = str(len(meaning.printed))  # "five papers": so many there are
    if mention.unit in ("count", "ordinal"):
        if not printed.isdigit() or (printed == "1" and mention.value > 1 and mention.thing):
            return ""  # of one thing the whole sentence is another
        if mention.unit == "ordinal" and _is_ordinal(mention):
            return _ordinal(mention, int(printed))
    elif not _is_one_figure(printed):
        return ""
    return in_the_same_form(mention, printed, text)


def in_the_same_form(mention: Mention, figure: str, text: str) -> str:
    """A printed figure in words where words were said, its unit as the place in the text wants it.

    >>> (one,) = find_mentions("Take a millimetre bit.")
    >>> in_the_same_form(one, "4 mm", "Take a millimetre bit.")
    'a four millimetre'
    """
    if not mention.words:
        return figure
    article = _OWN_ARTICLE.match(mention.written)
    ahead = article[0] if article else text[: mention.start]
    if mention.value != 1 and mention.written.rpartition(" ")[2].lower() in _SINGULAR:
        ahead = "a "  # only before a noun is one said of several: "seventeen millimetre drill"
    noun = bool(mention.sized) or is_before_noun(ahead, text[mention.stop :])
    said = spoken(figure, before_noun=noun)
    return f"{'an' if _VOWEL.match(said) else 'a'} {said}" if article and noun else said


_OWN_ARTICLE = re.compile(r"an?\s", re.IGNORECASE)
_SINGULAR = frozenset(one for one, many in UNIT_WORDS.values() if one != many)


def _is_one_figure(printed: str) -> bool:
    """Whether a printed text is a figure with its unit and nothing else: no list, no sentence."""
    found = find_mentions(printed)
    return len(found) == 1 and found[0].start == 0 and " " not in printed[found[0].stop :].strip()


def _is_ordinal(mention: Mention) -> bool:
    """Whether it is a position by its form: "the fourth stop", "the 4th", but not "mark four"."""
    last = mention.written.lower().replace("-", " ").rpartition(" ")[2]
    return last in ORDINALS or last.endswith(("ieth", "st", "nd", "rd", "th"))


def _ordinal(mention: Mention, number: int) -> str:
    if not 0 < number < 100:
        return ""
    if mention.words:
        return ordinal(number)
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10 if number // 10 != 1 else 0, "th")
    return f"{number}{ending}"
