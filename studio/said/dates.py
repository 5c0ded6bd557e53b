"""Dates, clock times, ages and numbers of episodes: figures, but none of the piece's."""

from __future__ import annotations

from studio.said.amounts import Amount, Reader, is_counted
from studio.said.words import word_set

_EPISODES = word_set(
    "episode episodes part ep pt vol video lesson chapter season week issue volume page room unit "
    "stand route step"
)
_FILMED = frozenset({"is", "was", "for", "on", "my", "the", "this", "that's", "it's", "now", "and"})
"""Before "take three", one of several takes; elsewhere it is told to take three of something."""

_MONTHS = word_set(
    "january february march april may june july august september october november december jan feb "
    "mar apr jun jul aug sep sept oct nov dec"
)
_WHAT_MAY_DO = word_set(
    "be not well sound look seem feel do have need take run work go come help turn give make want "
    "still also only just"
)
"""Behind these "may" is no month."""

_DAYS = word_set(
    "monday tuesday wednesday thursday friday saturday sunday tonight morning afternoon evening "
    "o'clock today tomorrow yesterday noon midnight"
)
_PERSONS = word_set(
    "she he i who dad mum father mother grandfather grandmother teacher lad lass son daughter wife "
    "apprentice student pupil friend mate neighbour cousin grandad granny nan mum's dad's "
    "husband brother sister grandson granddaughter boy girl nephew niece uncle aunt"
)
_AFTER_AGE = frozenset(
    {"", "when", "now", "then", "and", ",", ".", "last", "this", "years", "next", "today", "come"}
    | {"tomorrow", "on", "but", "so", "yesterday", "already", "soon"}
)
_SPEEDS = frozenset({"rpm", "speed", "revs", "sanding", "run", "dial", "tops"})
_SERIES = frozenset({"series", "season", "set", "playlist", "run"})
_LEADS_ON = frozenset({"to", "up", "down", "through", "rpm", "revs"})
"""Behind the first figure of "from 1,800 up to 2,000"."""

_VINTAGE = word_set("model vintage lathe machine catalogue edition")
_HISTORY = frozenset({"built", "cast", "made", "born", "bought", "year", "founded", "since"})
_LAST_DAY, _LAST_HOUR = 31, 24


def is_dated(read: Reader, first: int, after: int) -> bool:
    """Whether a date, clock time, age or the number of an episode is said."""
    before, word = read.word(first - 1), read.word(after)
    if before == "number" or before == "no":
        before = read.word(first - 2)
    if before == "take" and read.word(first - 2) in _FILMED and not is_counted(word):
        return True
    if before in _EPISODES and not is_counted(word):
        return True
    if before in _MONTHS or before == "aged":
        return True
    if _is_day_of(read, first, after) or (word == "of" and read.word(after + 1) in _MONTHS):
        return True
    if before == "of" and read.word(first - 2) in _SERIES:
        return True
    if before == "the" and read.word(first - 2) in _MONTHS:
        return True
    if word in ("o'clock", "oclock", "am", "pm", "a.m", "p.m") and before != "at the":
        return True
    if read.word(first - 1) in ("past", "quarter") and _may_be_hour(read, first):
        return True
    if _is_hour(read, first, after):
        return True
    kin = before.removesuffix("'s") if before.endswith("'s") else ""
    if kin in _PERSONS:
        return True
    ages = ("was", "turned", "is", "were", "she's", "he's", "shes", "hes", "i'm", "im")
    person = read.word(first - 2) in _PERSONS
    age = before in ("she's", "he's", "shes", "hes", "i'm", "im") or (before in ages and person)
    return age and word in _AFTER_AGE


def _is_day_of(read: Reader, first: int, after: int) -> bool:
    """Whether a month stands behind: "12 May", but not in "twelve hundred may sound slow"."""
    month = read.word(after)
    if month not in _MONTHS:
        return False
    day = read.at(first)
    if day is not None and day.value > _LAST_DAY:
        return False
    return month != "may" or read.word(after + 1) not in _WHAT_MAY_DO


def _may_be_hour(read: Reader, first: int) -> bool:
    """Whether a clock shows it: "half past ten", but not "past two thousand"."""
    amount = read.at(first)
    return amount is None or amount.value <= _LAST_HOUR


def _is_hour(read: Reader, first: int, after: int) -> bool:
    """Whether "at eight on Sunday" says when: a bare hour before or after a time of day."""
    if read.word(first - 1) not in ("at", "by", "till", "until", "before", "after", "around"):
        return False
    behind = [read.word(place) for place in range(after, after + 3)]
    return any(word in _DAYS for word in behind)


def is_year(read: Reader, amount: Amount) -> bool:
    """Whether a four-figure number is a year: "in 1958", "1950 was the year"."""
    if not (amount.whole and 1700 <= amount.value <= 2100):
        return False
    if read.word(amount.after) == "s" and read.tokens[amount.after].glued:
        return True  # the 1960s
    if amount.digits and "," in read.tokens[amount.first].text:
        return False
    before = read.word(amount.first - 1)
    near = {read.word(p) for p in range(amount.first - 5, amount.after + 5)}
    if near & _SPEEDS:
        return False
    behind = read.word(amount.after)
    if behind in _VINTAGE or (before == "from" and amount.digits and behind not in _LEADS_ON):
        return True
    if before in ("in", "since", "of", "from", "until", "till", "before", "after", "around"):
        # "from twenty nineteen", said as years are
        as_year = amount.joined and not amount.digits and amount.value >= 1900
        return bool(near & _HISTORY) or before in ("in", "since") or as_year
    return "year" in near and "good" not in near
