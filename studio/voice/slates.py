"""Spoken slates: “step three”, said before a step, tells where it starts without any script.

The recording is heard with a language model of the slates, the steps' titles and everyday English,
which takes up the talk in between. What sounds like a slate counts by how it was said: after a
pause, with a pause or the step's title behind it, alike in two hearings, and in the steps' order.
A title inside a sentence (“so now let's cut the rings”) is no more than a place to look at.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from pathlib import Path

from studio.episode.records import Episode, TimedStep
from studio.episode.times import StepTimes, Times, ask, said_words, script_digest
from studio.errors import BadInput
from studio.measure.speech import cardinal
from studio.voice.pieces import cut
from studio.voice.quieten import quietened
from studio.voice.recognise import (
    Heard,
    Setting,
    dictionary,
    everyday_words,
    language_model,
    recognisers,
)
from studio.voice.sound import Recording, prepared, recorded
from studio.voice.timing import SURE
from studio.voice.wordlist import FILE_NAME, add_words, read_words, told_words, ways_of

SLATE = "step"
"""The word before the number, where the turner names none."""

# all values here are ours
_TALK_SHARE = 0.9
"""Share of the single words' weight that everyday English has: most of a recording is talk."""

_EVERYDAY = 2_000
"""So many everyday words are listened for: the more there are, the less is taken for a slate."""

_WEIGHT = 9.0
"""How much the order of words counts; the library's own value, which is meant for free speech."""

_GROUP = 3
"""So many pieces are heard with one language model."""

_PAUSE = 25
"""A slate stands after a pause of a quarter of a second, in hundredths of a second."""

_SAME = 30
"""Two hearings are of one slate when they begin within 0.3 s."""

_TITLE = 300
"""A title belongs to a slate when it begins within three seconds of the slate's end."""

_HEARD, _AFTER, _BEHIND, _AGREED = 0.1, 0.3, 0.3, 0.3
"""What a slate's confidence is made of: that it was heard, after a pause, with a pause or its
title behind it, and by both hearings. Two of the last three are needed for a start."""

_SHORT, _BY_ORDER = 200, 0.6
"""A slate whose number was not understood lasts two seconds at most; its confidence."""

_TITLE_ALONE = 0.6
"""Confidence of a whole title of three words or more, after a pause, heard twice, without slate."""


_LEAD = 400
"""A sentence that announces a step comes to its title within four seconds."""

_OF_TITLE = 0.6
"""Share of a title's letters that are heard in one run, at least."""

_SEEMS = 0.2
"""What each hearing of a whole title inside a sentence gives: both together make no start."""


@dataclass(frozen=True, slots=True)
class Spotted:
    """A slate or title that was heard: the step's place in the design, first frame, confidence."""

    step: int
    start: int
    confidence: float


@dataclass(frozen=True, slots=True)
class SlateTimes:
    """What was found: for the times file; steps that need a mark; what the turner should know."""

    times: Times
    unsure: tuple[str, ...]
    told: tuple[str, ...]
    new_words: tuple[tuple[str, str], ...]

    def notes(self) -> tuple[str, ...]:
        """What the turner should know, in words, one thing a line."""
        asked = (
            f"step {step}: not sure where it starts; {ask(step, self.times.steps[step].maybe_ms)}"
            for step in self.unsure
        )
        return (*asked, *self.told, *told_words(self.new_words))


def slate_of(text: str) -> tuple[str, ...]:
    """The words of a slate, as they are said before the number.

    Raises:
        BadInput: there is no word in it, or too many.

    >>> slate_of("Step number")
    ('step', 'number')
    """
    words = said_words(text)
    if not 1 <= len(words) <= 4:
        raise BadInput.of(
            f"--slate: {text[:40]!r} is no slate",
            "write one to four words, as you say them before the number: --slate step",
        )
    return words


def time_slates(
    episode: Episode, voice: Path, slate: str = SLATE, *, begins_ms: int = 0
) -> SlateTimes:
    """Find where each step starts by its spoken slate.

    Args:
        episode: whose steps were announced, by their numbers in the design's order.
        voice: any film or sound file.
        slate: what is said before the number.
        begins_ms: where in the film the recording begins; below 0 where it began before the film.

    Raises:
        BadInput: the slate is none, or the recording or the word list cannot be read.
        WorkFailed: the word list cannot be written.
    """
    before = slate_of(slate)
    slates = [(*before, *said_words(cardinal(n))) for n in range(1, len(episode.steps) + 1)]
    titles = [said_words(step.title) for step in episode.steps]
    own = {word for phrase in (*slates, *titles) for word in phrase}
    list_path = episode.design_file.with_name(FILE_NAME)
    known = read_words(list_path)
    shipped = dictionary()
    sound, recording = recorded(voice, begins_ms)
    added = add_words(list_path, known, {word for word in own if word not in shipped})
    pieces = cut(prepared(sound.samples))
    if not pieces:
        raise BadInput.of(
            "no voice is heard in this recording", "name the one with the voice", file=voice
        )
    everyday = everyday_words(_EVERYDAY)
    listed = {**known.ways, **added}
    setting = Setting(
        pronunciations=ways_of({*own, *everyday}, own, shipped, listed), weight=_WEIGHT
    )
    phrases = [*slates, *(one for one in titles if one)]
    spans = [(piece.start, piece.stop) for piece in pieces]
    groups = [spans[first : first + _GROUP] for first in range(0, len(spans), _GROUP)]
    model = language_model(phrases, everyday, talk=_TALK_SHARE)
    with recognisers(setting, prepared(quietened(sound.samples)), len(pieces)) as many:
        once = [word for words in many.hear([(model, group) for group in groups]) for word in words]
        # the second time those slates are expected that belong between the ones already heard
        first = _chosen(_spotted(slates, titles, once, once))
        models = {
            expected: language_model(phrases, everyday, expected, talk=_TALK_SHARE)
            for expected in {_expected(first, group, len(slates)) for group in groups}
        }
        again = [
            word
            for words in many.hear(
                [(models[_expected(first, group, len(slates))], group) for group in groups],
                thorough=True,
            )
            for word in words
        ]
    spotted = _spotted(slates, titles, again, once)
    # what the first hearing alone has counts as well, if less
    spotted += [
        one
        for one in _spotted(slates, titles, once, again)
        if all(abs(one.start - other.start) > _SAME for other in spotted)
    ]
    spotted.sort(key=lambda one: one.start)
    spotted = _by_order(spotted, _openings(before, again, once), len(slates))
    return _times(
        episode.steps, spotted, _announced(titles, again, once), recording,
        tuple((word, ", ".join(ways)) for word, ways in added.items()),
    )  # fmt: skip


def _expected(
    chosen: Mapping[int, Spotted], group: Sequence[tuple[int, int]], count: int
) -> frozenset[int]:
    """Steps that may be announced in a stretch: from the last one heard before it to the next."""
    before = [step for step, one in chosen.items() if one.start < group[0][0]]
    behind = [step for step, one in chosen.items() if one.start >= group[-1][1]]
    return frozenset(range(max(before, default=0), min(behind, default=count - 1) + 1))


def _spotted(
    slates: Sequence[tuple[str, ...]],
    titles: Sequence[tuple[str, ...]],
    heard: Sequence[Heard],
    also: Sequence[Heard],
) -> list[Spotted]:
    """Slates and titles with their confidence, in the order of time."""
    said = _phrases(slates, heard)
    second = _phrases(slates, also)
    named = _phrases(titles, heard)
    named_second = _phrases(titles, also)
    out: list[Spotted] = []

    def agreed(step: int, start: int, others: Sequence[tuple[int, int, int]]) -> bool:
        return any(
            other == step and abs(heard_at - start) <= _SAME
            for other, heard_at, _ in ((s, also[first].start, last) for s, first, last in others)
        )

    def pause_before(first: int) -> bool:
        return not first or heard[first].start - heard[first - 1].stop >= _PAUSE

    for step, first, last in said:
        start, stop = heard[first].start, heard[last].stop
        behind = last + 1 == len(heard) or heard[last + 1].start - stop >= _PAUSE
        behind = behind or any(
            other == step and 0 <= heard[begin].start - stop <= _TITLE for other, begin, _ in named
        )
        out.append(
            Spotted(
                step,
                start,
                _HEARD
                + _AFTER * pause_before(first)
                + _BEHIND * behind
                + _AGREED * agreed(step, start, second),
            )
        )
    for step, first, _ in named:
        start = heard[first].start
        if (
            len(titles[step]) >= 3
            and pause_before(first)
            and agreed(step, start, named_second)
            and not any(one.step == step and abs(start - one.start) < 2 * _TITLE for one in out)
        ):
            out.append(Spotted(step, start, _TITLE_ALONE))
    return sorted(out, key=lambda one: one.start)


def _phrases(
    phrases: Sequence[tuple[str, ...]], heard: Sequence[Heard]
) -> list[tuple[int, int, int]]:
    """Where phrases stand in what was heard: number, first and last word; the longest wins."""
    words = [one.word for one in heard]
    out: list[tuple[int, int, int]] = []
    place = 0
    while place < len(words):
        found = [
            (len(phrase), number)
            for number, phrase in enumerate(phrases)
            if phrase and tuple(words[place : place + len(phrase)]) == phrase
        ]
        if found:
            size, number = max(found, key=lambda one: (one[0], -one[1]))
            out.append((number, place, place + size - 1))
            place += size
        else:
            place += 1
    return out


def _announced(titles: Sequence[tuple[str, ...]], *hearings: Sequence[Heard]) -> list[Spotted]:
    """Sentences after a pause in which most of a step's title is said; they begin with it or soon.

    A start is never made of that: somebody speaks of a step before it comes, and after it.
    """
    found: dict[tuple[int, int], float] = {}
    for heard in hearings:
        for talk in _between_pauses(heard):
            opening = [one.word for one in talk if one.start - talk[0].start <= _LEAD]
            for step, title in enumerate(titles):
                share = _share_of(title, opening)
                if share < _OF_TITLE:
                    continue
                near = (at for at in found if at[0] == step and abs(at[1] - talk[0].start) <= _SAME)
                place = next(near, (step, talk[0].start))
                found[place] = found.get(place, 0.0) + _SEEMS * share
    spotted = (Spotted(step, start, seems) for (step, start), seems in found.items())
    return sorted(spotted, key=lambda one: one.start)


def _between_pauses(heard: Sequence[Heard]) -> list[list[Heard]]:
    talk: list[list[Heard]] = []
    for one in heard:
        if talk and one.start - talk[-1][-1].stop < _PAUSE:
            talk[-1].append(one)
        else:
            talk.append([one])
    return talk


def _share_of(title: tuple[str, ...], words: Sequence[str]) -> float:
    """What share of a title's letters is in the longest run of its words among others.

    >>> _share_of(("lay", "out", "the", "octagon"), ("we", "out", "the", "octagon"))
    0.8125
    """
    if not title:
        return 0.0
    run = SequenceMatcher(None, title, words, autojunk=False).find_longest_match()
    return sum(map(len, title[run.a : run.a + run.size])) / sum(map(len, title))


def _openings(before: tuple[str, ...], *hearings: Sequence[Heard]) -> list[int]:
    """Where a slate's words stand between pauses with something short behind them."""
    found: list[int] = []
    for heard in hearings:
        for _, first, last in _phrases([before], heard):
            start = heard[first].start
            if first and start - heard[first - 1].stop < _PAUSE:
                continue
            stop = last + 1
            while stop < len(heard) and heard[stop].start - heard[stop - 1].stop < _PAUSE:
                stop += 1
            short = last + 1 < stop and heard[stop - 1].stop - start <= _SHORT
            if short and all(abs(start - other) > _SAME for other in found):
                found.append(start)
    return sorted(found)


def _by_order(spotted: Sequence[Spotted], openings: Sequence[int], count: int) -> list[Spotted]:
    """A slate whose number was not understood is told by the ones before and behind it.

    That is so where one step alone is missing between two sure ones, and one such slate alone
    stands there.
    """
    sure = {step: one for step, one in _chosen(spotted).items() if one.confidence >= SURE}
    out = list(spotted)
    for step in range(count):
        if step in sure or (step and step - 1 not in sure):
            continue
        if (step + 1 < count and step + 1 not in sure) or not sure:
            continue
        low = sure[step - 1].start + 1 if step else 0
        high = sure[step + 1].start if step + 1 < count else math.inf
        taken = {one.start for one in sure.values()}
        here = [
            at
            for at in openings
            if low <= at < high and all(abs(at - other) > _SAME for other in taken)
        ]
        if len(here) == 1:
            out = [one for one in out if abs(one.start - here[0]) > _SAME]
            out.append(Spotted(step, here[0], _BY_ORDER))
    return sorted(out, key=lambda one: one.start)


def _chosen(spotted: Sequence[Spotted]) -> Mapping[int, Spotted]:
    """One for each step so that steps follow one another, the surest way (of equals the first)."""
    best: list[float] = []
    back: list[int] = []
    for place, one in enumerate(spotted):
        options = [
            (best[other], -other) for other in range(place) if spotted[other].step < one.step
        ]
        most, source = max(options, default=(0.0, 1))
        best.append(most + one.confidence)
        back.append(-source)
    place = max(range(len(best)), key=lambda n: (best[n], -n), default=-1)
    out: dict[int, Spotted] = {}
    while place >= 0:
        out[spotted[place].step] = spotted[place]
        place = back[place]
    return out


def _maybe(
    chosen: Mapping[int, Spotted], spotted: Sequence[Spotted], announced: Sequence[Spotted]
) -> Mapping[int, Spotted]:
    """Where each step may begin: the likeliest places that keep the order of the sure ones."""
    sure = [one for one in chosen.values() if one.confidence >= SURE]
    # whatever the others come to, it is less than one that is sure
    most = 1.0 + sum(one.confidence for one in (*spotted, *announced))
    held = [replace(one, confidence=most) for one in sure]
    others = [one for one in (*spotted, *announced) if one.confidence < SURE]
    return _chosen(sorted((*held, *others), key=lambda one: one.start))


def _times(
    steps: Sequence[TimedStep],
    spotted: Sequence[Spotted],
    announced: Sequence[Spotted],
    recording: Recording,
    new_words: tuple[tuple[str, str], ...],
) -> SlateTimes:
    from studio.episode.stamps import stamp

    chosen = _chosen(spotted)
    maybe = _maybe(chosen, spotted, announced)
    found: dict[str, StepTimes] = {}
    told: list[str] = []
    for number, step in enumerate(steps):
        one = chosen.get(number)
        confidence = one.confidence if one is not None else 0.0
        rivals = [
            other
            for other in spotted
            if one is not None
            and other.step == number
            and other != one
            and other.confidence >= SURE
        ]
        if one is not None and rivals:
            # said twice: which of the two is the one that counts only the turner knows
            confidence /= 2
            at = " and ".join(
                stamp(recording.at(other.start))
                for other in sorted((one, *rivals), key=lambda other: other.start)
            )
            told.append(f"step {step.id}: announced more than once, at {at}")
        sure = one is not None and not rivals and confidence >= SURE
        place = None if sure or rivals else maybe.get(number)
        found[step.id] = StepTimes(
            id=step.id,
            digest=script_digest(step.aloud),
            start_ms=recording.at(one.start) if one is not None and sure else None,
            end_ms=None,
            confidence=confidence if place is None else max(confidence, place.confidence),
            maybe_ms=recording.at(place.start) if place is not None else None,
        )
    return SlateTimes(
        Times(
            source=recording.source,
            length_ms=recording.ends_ms,
            steps=found,
            film_ms=recording.film_ms,
        ),
        tuple(step.id for step in found.values() if step.start_ms is None),
        tuple(told),
        new_words,
    )
