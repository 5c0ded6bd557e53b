"""Whether each figure of the script was said as it stands there: a slip of the tongue, by ear.

Each sentence with a figure is decoded with a grammar that holds the sentence's own words and, in
place of the figure, every right way to say it and what might have been said instead. Where a wrong
one fits better, the sound is lined up once more with the right ones alone: how much worse they fit
says how sure it is. It is a hint and no proof; docs/voice.md has its rates.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from studio.episode.records import Episode
from studio.episode.takes import LENGTH_SLACK_MS
from studio.episode.times import SaidSentence, Times, read_times, said_words, times_file
from studio.measure.measurement import Measurement, MeasurementTable
from studio.measure.trace import spans
from studio.voice.grammar import Chooser, Part, Reading, Words
from studio.voice.pieces import FRAME
from studio.voice.quieten import quietened
from studio.voice.recognise import Setting, dictionary
from studio.voice.script import Script, ScriptSentence, script_of
from studio.voice.slips import right_ways, scripted, slips
from studio.voice.sound import prepared, read_sound
from studio.voice.timing import time_voice
from studio.voice.wordlist import FILE_NAME, proposed, read_words, told_words, ways_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MARGIN = 350.0
"""A slip is told when it fits better than the right figure by so much, in the recogniser's units
(ours, chosen with tests/bench/listening.py on the voices and noises that are not held out)."""

STEEPNESS = 200.0
"""By so much more of the same a confidence's odds grow by e: about as fast as right figures get
rarer among those voices (ours)."""

_FOUND = 0.5
"""A sentence of which less than half was found is not listened to (ours)."""

_BEFORE, _AFTER = 30, 70
"""Hundredths of a second of sound before a sentence and behind it, where nothing else is said:
a figure that stands last and was said otherwise may have been timed too short (ours)."""

_KEPT = 3
"""So many hundredths of a second stay with the word of another sentence."""

_SPEEDS = (1.0, 15 / 16, 16 / 15)
"""A figure's ways are compared at these speeds (ours)."""

_PATCH = 150
"""A patch begins and ends so many milliseconds outside the sentence, where there is room (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Otherwise:
    """A figure that was heard otherwise than the script has it.

    Attributes:
        step: the step's name.
        line: the right line to say, as the script has it.
        heard_line: the same with what was heard in the figure's place, as words.
        figure: the figure as the script says it.
        heard: what was heard in its place.
        measurement: the measurement's name; empty for a figure's name that no measurement gave.
        confidence: 0 to 1; above 0.5 from :data:`MARGIN` on.
        start_ms: where a patch begins, in the film.
        end_ms: where it ends.
    """

    step: str
    line: str
    heard_line: str
    figure: str
    heard: str
    measurement: str
    confidence: float
    start_ms: int
    end_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Listened:
    """What listening found.

    Attributes:
        otherwise: in the script's order.
        figures: how many figures were listened to.
        missed: step and text of each sentence with a figure that could not be listened to.
        notes: plain; what the turner should know.
    """

    otherwise: tuple[Otherwise, ...] = ()
    figures: int = 0
    missed: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure in a sentence: its words there are ``words[first:stop]``.

    Attributes:
        first: number of its first word in the sentence.
        stop: number of the word after its last.
        name: the measurement's name; may be empty.
        right: ways to say it, the script's first.
        wrong: what might be said instead.
    """

    first: int
    stop: int
    name: str
    right: tuple[Words, ...]
    wrong: tuple[Words, ...]


def figures_of(episode: Episode, script: Script) -> tuple[tuple[Figure, ...], ...]:
    """The figures of each sentence of the script that may be said wrong, in order."""
    found: list[list[Figure]] = [[] for _ in script.sentences]
    for step in episode.steps:
        numbers = [n for n, one in enumerate(script.sentences) if one.step == step.id]
        if not numbers:
            continue
        begin = script.sentences[numbers[0]].first
        marked = list(_marked(step.aloud, episode.table))
        for number in numbers:
            sentence = script.sentences[number]
            low = sentence.first - begin
            own = [
                replace(one, first=one.first - low, stop=one.stop - low)
                for one in marked
                if low <= one.first and one.stop <= low + len(sentence.words)
            ]
            own = [one for one in own if sentence.words[one.first : one.stop] == one.right[0]]
            taken = {place for one in own for place in range(one.first, one.stop)}
            own += [
                Figure(place, place + 1, "", right_ways(word), slips(word))
                for place, word in enumerate(sentence.words)
                if place not in taken and slips(word)
            ]
            found[number] = sorted(own, key=lambda one: one.first)
    return tuple(tuple(one) for one in found)


def _marked(aloud: str, table: MeasurementTable) -> Iterator[Figure]:
    """The marked figures of a narration, with their places among its words."""
    plain, marks = spans(aloud)
    for span in marks:
        name = span.name.rpartition(":")[2]
        begins = len(said_words(plain[: span.start]))
        for first, said, printed in _read_in(span.text, table.get(name)):
            wrong = slips(printed)
            if wrong:
                first += begins
                right = tuple(dict.fromkeys((said, *right_ways(printed))))
                yield Figure(first, first + len(said), name, right, wrong)


def _read_in(text: str, measurement: Measurement | None) -> Iterator[tuple[int, Words, str]]:
    """The readings of a measurement that a text says: from which word on, its words, as printed."""
    words = said_words(text)
    readings = _readings(measurement) if measurement is not None else (text,)
    at = 0
    for printed in readings:
        for said in scripted(printed):
            if said and words[at : at + len(said)] == said:
                yield at, said, printed
                # of both systems, the second stands behind a word between them
                at += len(said) + 1
                break


def _readings(measurement: Measurement) -> tuple[str, ...]:
    bench = measurement.bench.reading(measurement.first).text if measurement.bench else ""
    return tuple(filter(None, (measurement.text, measurement.other, bench)))


def listen(episode: Episode, film: Path, *, sure: float = 0.5) -> Listened:
    """Listen for slips of the tongue in a film or in the recorded voice.

    The times file beside the design says where each sentence is, when it is of a recording of this
    length and of this narration; else the recording is lined up with the script first, which adds
    words that the dictionary lacks to the word list beside the design.

    Args:
        episode: whose script was read.
        film: any film or sound file.
        sure: what is heard with less confidence is not told.

    Raises:
        BadInput: there is no script, or recording, times file or word list cannot be read.
        WorkFailed: the word list cannot be written.
    """
    script = script_of(episode.steps)
    figures = figures_of(episode, script)
    if not any(figures):
        return Listened(notes=("the narration has no figure to listen for",))
    sound = read_sound(film)
    times, notes = _times(episode, script, film, sound.length_ms)
    said = [one for step in times.steps.values() for one in step.sentences]
    by_ear = _Ear(episode, script, figures, sound.samples)
    otherwise: list[Otherwise] = []
    missed: list[tuple[str, str]] = []
    count = 0
    for number, span in enumerate(_stretches(said, sound.length_ms)):
        if not figures[number]:
            continue
        sentence = script.sentences[number]
        found = None if span is None else by_ear.listen(sentence, figures[number], span)
        if found is None:
            missed.append((sentence.step, sentence.text))
            continue
        count += len(figures[number])
        otherwise += [one for one in found if one.confidence >= sure]
    return Listened(
        otherwise=tuple(otherwise), figures=count, missed=tuple(missed), notes=tuple(notes)
    )


def _times(
    episode: Episode, script: Script, film: Path, length_ms: int
) -> tuple[Times, Sequence[str]]:
    """The times of this recording, read or found on the spot; what to tell of it."""
    file = times_file(episode.design_file)
    times = read_times(episode.design_file)
    if times is None:
        why = f"there is no {file.name}"
    elif {name: step.digest for name, step in times.steps.items()} != script.digests:
        why = f"the narration has changed since {file.name} was written"
    elif abs(times.length_ms - length_ms) > LENGTH_SLACK_MS or not _fits(times, script):
        why = f"{file.name} is of another recording"
    else:
        return times, ()
    timing = time_voice(episode, film)
    told = f"{why}: {film.name} was lined up with the script on the spot (studio time keeps that)"
    return timing.times, (told, *told_words(timing.new_words))


def _fits(times: Times, script: Script) -> bool:
    """Whether a times file holds a time for each word, as one of an older kind does not."""
    said = [one for step in times.steps.values() for one in step.sentences]
    words = [len(one.words) for one in said]
    return words == [len(one.words) for one in script.sentences]


def _stretches(said: Sequence[SaidSentence], length_ms: int) -> list[tuple[int, int] | None]:
    """Where to listen for each sentence, in frames; None for one of which too little was found."""
    words = sorted(word for one in said for word in one.words if word is not None)
    out: list[tuple[int, int] | None] = []
    for one in said:
        found = [word for word in one.words if word is not None]
        if one.start_ms is None or one.end_ms is None or len(found) < _FOUND * len(one.words):
            out.append(None)
            continue
        first, last = min(found)[0], max(word[1] for word in found)
        before = max((word[1] for word in words if word[0] < first), default=0)
        after = min((word[0] for word in words if word[0] >= last), default=length_ms)
        low = max(before // 10 + _KEPT, one.start_ms // 10 - _BEFORE)
        high = min(after // 10 - _KEPT, one.end_ms // 10 + _AFTER)
        # where two sentences touch, the words' own times are the best that is known
        out.append((max(0, min(low, first // 10)), max(high, last // 10)))
    return out


class _Ear:
    """Listens to one sentence after another."""

    def __init__(
        self,
        episode: Episode,
        script: Script,
        figures: Sequence[Sequence[Figure]],
        samples: NDArray[np.int16],
    ):
        own = set(script.words)
        for figure in chain.from_iterable(figures):
            own.update(chain.from_iterable((*figure.right, *figure.wrong)))
        listed = dict(read_words(episode.design_file.with_name(FILE_NAME)).ways)
        shipped: Mapping[str, tuple[str, ...]] = dictionary()
        # what might have been said is no word of the turner's: it goes into no file
        for word in sorted(own - shipped.keys() - listed.keys()):
            listed[word] = proposed(word, listed)
        self._chooser = Chooser(Setting(ways_of(own, own, shipped, listed)))
        self._sound = prepared(quietened(samples))

    def listen(
        self, sentence: ScriptSentence, figures: Sequence[Figure], span: tuple[int, int]
    ) -> list[Otherwise] | None:
        """Figures of the sentence that were heard otherwise; None when it was not understood."""
        stretch = self._sound[span[0] * FRAME : span[1] * FRAME]
        parts, places = _parts(sentence.words, figures)
        reading = self._chooser.choose(stretch, parts)
        if reading is None:
            return None
        heard: list[Part] = [(way,) for way in reading.ways]
        out: list[Otherwise] = []
        for figure, place in zip(figures, places, strict=True):
            if reading.ways[place] in figure.right:
                continue
            rightly = [*heard[:place], figure.right, *heard[place + 1 :]]
            better = self._better(stretch, heard, rightly)
            out.append(self._told(sentence, figure, reading, place, better, span))
        return out

    def _better(
        self, stretch: NDArray[np.int16], heard: Sequence[Part], right: Sequence[Part]
    ) -> float:
        """How much better the sound fits what was heard than the right figure.

        The mean over the sound as it is and a little faster and slower, which shifts a voice's
        formants too, as though other people said the same: what holds for one alone is chance.
        """
        differences: list[float] = []
        for speed in _SPEEDS:
            sound = stretch if speed == 1 else _at_speed(stretch, speed)
            one, other = (self._chooser.choose(sound, parts) for parts in (heard, right))
            if one is not None:
                # what is too long for the sound fits it in no way
                differences.append(math.inf if other is None else one.score - other.score)
        finite = [one for one in differences if one < math.inf]
        if finite:
            return sum(finite) / len(finite)
        return math.inf if differences else -math.inf

    def _told(
        self,
        sentence: ScriptSentence,
        figure: Figure,
        reading: Reading,
        place: int,
        better: float,
        span: tuple[int, int],
    ) -> Otherwise:
        words = sentence.words
        heard = " ".join(reading.ways[place])
        begin, end = span[0] + reading.start, span[0] + reading.stop
        return Otherwise(
            step=sentence.step,
            line=sentence.text,
            heard_line=" ".join((*words[: figure.first], heard, *words[figure.stop :])),
            figure=" ".join(figure.right[0]),
            heard=heard,
            measurement=figure.name,
            confidence=1 / (1 + math.exp(min(50.0, (MARGIN - better) / STEEPNESS))),
            start_ms=max(10 * span[0], 10 * begin - _PATCH),
            end_ms=min(10 * span[1], 10 * end + _PATCH),
        )


def _parts(words: Words, figures: Sequence[Figure]) -> tuple[list[Part], list[int]]:
    """A sentence's grammar, and which part of it each figure is."""
    parts: list[Part] = []
    places: list[int] = []
    at = 0
    for figure in figures:
        if at < figure.first:
            parts.append((words[at : figure.first],))
        places.append(len(parts))
        parts.append((*figure.right, *figure.wrong))
        at = figure.stop
    if at < len(words):
        parts.append((words[at:],))
    return parts, places


def _at_speed(samples: NDArray[np.int16], speed: float) -> NDArray[np.int16]:
    """The same sound faster or slower, its pitch with it."""
    import numpy as np

    at = np.arange(0, len(samples) - 1, speed)
    return np.asarray(np.interp(at, np.arange(len(samples)), samples), dtype=np.int16)
