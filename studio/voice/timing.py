"""A recorded voice or existing captions, and the times of an episode's steps in them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby
from pathlib import Path

from studio.episode.pace import NO_PACE, Pace
from studio.episode.records import Episode
from studio.episode.stamps import stamp
from studio.episode.times import (
    SaidSentence,
    SaidWord,
    StepTimes,
    Times,
    ask,
    ask_unsaid,
    not_said,
)
from studio.errors import BadInput
from studio.voice.captions import Caption, read_captions
from studio.voice.match import match
from studio.voice.pieces import Piece, cut, levels_db
from studio.voice.pieces import voiced as voiced_frames
from studio.voice.quieten import quietened
from studio.voice.recognise import (
    Heard,
    Recognisers,
    Setting,
    dictionary,
    everyday_words,
    language_model,
    recognisers,
)
from studio.voice.script import Script, ScriptSentence, script_of
from studio.voice.settle import Settled, Voiced, settle
from studio.voice.sound import Recording, prepared, recorded
from studio.voice.typed_figures import typed_words
from studio.voice.wordlist import FILE_NAME, add_words, read_words, told_words, ways_of

SURE = 0.5
"""A step's start is written down from this confidence on (ours): below it a mark is asked for."""

_UNSURE_FIRST, _UNSURE_FIRST_OF_STEP = 0.6, 0.8
"""A start is as sure as its first word: where that was not heard where it stands, the rest counts
by this factor (ours, from the table in docs/voice.md); less hard on a step, or marks are asked for
where the start is right."""

_FIRST_UNKNOWN = 0.45
"""A step counts by this factor, which is below :data:`SURE`, when its beginning was not
heard: its start is then a later word's or a guess (ours)."""

_UNEXPLAINED, _WORD_MOST = 50, 100
"""A step's first sentence was left out when less than half a second of voice stands between the
word before and the step's first found one; a word accounts for a second at most (hundredths of a
second, ours)."""

_DIFFERS = 300
"""Where a step's first word was not heard, its time and the one reckoned back from the first sure
word may differ by so many milliseconds (ours): a stop before a consonant is easily taken for it."""

_BEFORE_MOST = 1_000
"""Words that were not found are given a second before the others at most."""

_OPENING = 4
"""The first words of a step weigh as much as all the rest in its confidence (ours)."""

_TOLD = 3
"""A sentence of one or two words that was not found may have been said all the same (ours): it is
told as not understood, and not as left out."""

_AROUND, _GROUP, _BEFORE = 8, 6, 300
"""At the second hearing eight sentences on either side are expected, reckoned for six pieces at
once and three seconds around them (ours)."""

_ENOUGH_LETTERS, _USUAL_PACE, _UNEVEN = 12, 65.0, 0.1
"""The talker's pace is told from stretches of so many letters, else taken as so many milliseconds a
letter (140 words a minute of six letters and a half); words are uneven by a tenth of how far inside
a stretch they stand (ours)."""

_HALF_TRUST = 60
"""A start that may be off by 0.6 s, and is by half of that in the mean, is just written (ours)."""

_FOLLOWS = 1_000
"""A caption that begins within a second of the end of the one before goes on with it (ours)."""

_STRETCH, _REST = 4, 100
"""A rate of speech is told from stretches of so many sure words, with no second's rest among them:
of fewer it is mostly how long these very words are (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """What was found.

    Attributes:
        times: for the times file.
        unsure: steps for which a mark is asked for.
        left_out: step and text of every sentence that was not said.
        changed: step and text of sentences of which words were left out or not understood.
        moved: step and text of sentences said at another place, and in words where that was.
        far: step and text of sentences of which a word was heard only far from the others, with
            other talk between; that word, and when it was heard, in milliseconds.
        repeated: step and text of sentences said more than once.
        asides: start and end in milliseconds of talk that is not in the script.
        new_words: words that were added to the word list, with their sounds.
    """

    times: Times
    unsure: tuple[str, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()
    changed: tuple[tuple[str, str], ...] = ()
    moved: tuple[tuple[str, str, str], ...] = ()
    far: tuple[tuple[str, str, str, int], ...] = ()
    repeated: tuple[tuple[str, str], ...] = ()
    asides: tuple[tuple[int, int], ...] = ()
    new_words: tuple[tuple[str, str], ...] = ()

    @property
    def heard(self) -> float:
        """Share of the script's words that were found."""
        words = [word for step in self.times.steps.values() for word in step.words]
        return sum(word is not None for word in words) / max(1, len(words))

    @property
    def is_complete(self) -> bool:
        """Whether everything was said, in order, and every step's start is sure."""
        return not (self.unsure or self.left_out or self.moved)

    def notes(self) -> tuple[str, ...]:
        """What the turner should know, in words, one thing a line."""
        lines = [
            f"step {step}: {not_said(self.times.source)}; {ask_unsaid(step)}"
            if self.times.steps[step].is_unsaid
            else f"step {step}: not sure where it starts; "
            f"{ask(step, self.times.steps[step].maybe_ms)}"
            for step in self.unsure
        ]
        # of a step that was not said at all it is told above
        lines += [
            f"step {step}: left out: “{text}”"
            for step, text in self.left_out
            if not self.times.steps[step].is_unsaid
        ]
        lines += [
            f"step {step}: said at another place, {where}: “{text}”"
            for step, text, where in self.moved
        ]
        lines += [
            f"step {step}: “{word}” at {stamp(at)} is too far from the rest of its sentence, with "
            f"other talk between, to be sure, and does not count: “{text}”"
            for step, text, word, at in self.far
        ]
        lines += [
            f"step {step}: said differently, or not understood: “{text}”"
            for step, text in self.changed
        ]
        lines += [
            f"step {step}: said more than once, the best one counts: “{text}”"
            for step, text in self.repeated
        ]
        lines += [
            f"{stamp(start)} to {stamp(end)}: talk that is not in the script"
            for start, end in self.asides
        ]
        return (*lines, *told_words(self.new_words))


def time_voice(episode: Episode, voice: Path, *, begins_ms: int = 0) -> Timing:
    """Find an episode's narration in a recording.

    Words that the dictionary lacks are added to the word list beside the design.

    Args:
        episode: whose script was read.
        voice: any film or sound file.
        begins_ms: where in the film the recording begins; below 0 where it began before the film.

    Raises:
        BadInput: there is no script, or the recording or the word list cannot be read.
        WorkFailed: the word list cannot be written.
    """
    script = _script(episode)
    list_path = episode.design_file.with_name(FILE_NAME)
    known = read_words(list_path)
    sound, recording = recorded(voice, begins_ms)
    shipped = dictionary()
    strangers = {word for word in script.words if word not in shipped}
    added = add_words(list_path, known, strangers)
    samples = prepared(sound.samples)
    pieces = cut(samples)
    if not pieces:
        raise BadInput.of(
            "no voice is heard in this recording", "name the one with the voice", file=voice
        )
    over = [0, *accumulate(int(one) for one in voiced_frames(levels_db(samples)))]
    length = len(over) - 1

    def voiced(start: int, stop: int) -> int:
        low, high = (min(max(place, 0), length) for place in (start, stop))
        return max(0, over[high] - over[low])

    everyday = everyday_words()
    listed = {**known.ways, **added}
    setting = Setting(
        pronunciations=ways_of({*script.words, *everyday}, set(script.words), shipped, listed)
    )
    quiet = prepared(quietened(sound.samples))
    with recognisers(setting, quiet, len(pieces)) as many:
        heard = _heard(script, pieces, many, everyday)
        settled = settle(script, heard, voiced, length, many.align)
    timing = _timing(script, settled, voiced, recording)
    return replace(timing, new_words=tuple((word, ", ".join(said)) for word, said in added.items()))


def _heard(
    script: Script, pieces: Sequence[Piece], many: Recognisers, everyday: Mapping[str, float]
) -> list[Heard]:
    """The words of all pieces, listened to twice.

    After the first hearing it is known where in the script each piece stands. The second expects
    the sentences around that place, so that a script of an hour, whose sentences have most of
    their words in common, is told apart as well as a short one.
    """
    texts = [one.words for one in script.sentences]
    spans = [(piece.start, piece.stop) for piece in pieces]
    groups = [spans[first : first + _GROUP] for first in range(0, len(spans), _GROUP)]
    whole = language_model(texts, everyday)
    first = [word for words in many.hear([(whole, group) for group in groups]) for word in words]
    starts = [sentence.first for sentence in script.sentences]
    reached = [
        (first[one.heard].start, script.sentence_of[one.script])
        for one in match(script.words, starts, [one.word for one in first])
    ]
    again: list[tuple[str, Sequence[tuple[int, int]]]] = []
    for group in groups:
        low, high = group[0][0] - _BEFORE, group[-1][1] + _BEFORE
        expected = {
            number
            for at in {sentence for start, sentence in reached if low <= start < high}
            for number in range(at - _AROUND, at + _AROUND + 1)
        }
        again.append((language_model(texts, everyday, expected), group))
    return [word for words in many.hear(again, thorough=True) for word in words]


def time_captions(episode: Episode, captions: Path, *, begins_ms: int = 0) -> Timing:
    """Find an episode's narration in captions (SubRip or WebVTT) by their words.

    A word that the file stamps begins there. The others are spread evenly from stamp to stamp, or
    over their caption, and are no surer than that (:func:`_spread_over`).

    Args:
        episode: whose script was read.
        captions: their file.
        begins_ms: where in the film they begin; below 0 where they began before the film.

    Raises:
        BadInput: there is no script, or the captions cannot be read, or none is in the film.
    """
    script = _script(episode)
    read = read_captions(captions)
    if any(one.start_ms is None or one.is_coarse for one in read):
        raise BadInput.of(
            "a plain text has no times, or whole seconds alone",
            "give a SubRip or WebVTT file",
            file=captions,
        )
    parts = list(_said_in(read))
    pace = _caption_pace(parts)
    spread = [_spread_over(*part, pace) for part in parts]
    if not any(spread):
        raise BadInput.of("there are no captions in this file", "name another", file=captions)
    spread = [[word for word in part if begins_ms + 10 * word.stop > 0] for part in spread]
    heard = [word for part in spread for word in part]
    if not heard:
        raise BadInput.of(
            f"the film begins {-begins_ms / 1000:.1f} s into these captions, and they end before",
            "give --begins a time that is less long before the film, such as -0:03",
            file=captions,
        )
    length = max(one.stop for one in heard)
    settled = settle(script, heard, lambda start, stop: max(0, stop - start), length, None)
    settled = replace(settled, openings=_openings(script, settled, spread, pace))

    def captioned(start: int, stop: int) -> int:
        return sum(max(0, min(stop, one.stop) - max(start, one.start)) for one in heard)

    recording = Recording(captions.name, length * 10, begins_ms)
    return _timing(script, settled, captioned, recording)


_SaidPart = tuple[int, int, tuple[str, ...]]
"""When a stretch of talk begins and ends, milliseconds, and its words as a voice says them."""


def _said_in(captions: Sequence[Caption]) -> Iterator[_SaidPart]:
    """The parts of captions between stamps, with the words that are said in each.

    A figure is said as a whole where it begins, so stamps inside it ("6", "h") tell nothing, and a
    caption that follows at once may begin with its rest ("3/8", "in off the wood").
    """
    together: list[tuple[int, int, str]] = []
    for caption in captions:
        parts = list(caption.stretches())
        if together and parts and parts[0][0] - together[-1][1] > _FOLLOWS:
            yield from _said_together(together)
            together = []
        together += parts
    yield from _said_together(together)


def _said_together(parts: Sequence[tuple[int, int, str]]) -> Iterator[_SaidPart]:
    begins = list(accumulate((len(text) + 1 for *_, text in parts), initial=0))
    words: list[list[SaidWord]] = [[] for _ in parts]
    for one in typed_words(" ".join(text for *_, text in parts)):
        words[bisect_right(begins, one.at) - 1].append(one)
    with_words = [place for place, said in enumerate(words) if said]
    for place, beyond in zip(with_words, [*with_words[1:], len(parts)], strict=True):
        start, stop, text = parts[place]
        inside = words[place][0].at - begins[place]
        if any(map(str.isalnum, text[:inside])):
            # the rest of a figure takes its share before the first word
            start += (stop - start) * inside // len(text)
        yield start, parts[beyond - 1][1], tuple(one.word for one in words[place])


def _caption_pace(parts: Sequence[_SaidPart]) -> float:
    """Milliseconds that the talker takes for a letter where captions leave no pauses."""
    paces = sorted(
        (end - start) / letters
        for start, end, words in parts
        if (letters := sum(map(len, words))) >= _ENOUGH_LETTERS
    )
    return paces[len(paces) // 4] if paces else _USUAL_PACE


def _spread_over(start: int, end: int, words: Sequence[str], pace: float) -> list[Heard]:
    """The words of a stretch of time whose first one begins with it, and how sure each start is.

    Where the talker would have been done earlier there was a pause, and it may stand before any
    word but the first: so much off may a word be, and a little more for words of uneven length.
    """
    letters = [0, *accumulate(len(word) for word in words)]
    whole = max(1, letters[-1])
    span = (end - start) / whole
    spare = max(0.0, (end - start) - whole * pace)
    out = []
    for place, word in enumerate(words):
        share = letters[place] / whole
        inside = min(share, 1 - share) * (end - start)
        slack = max(share, 1 - share) * spare + _UNEVEN * inside if place else 0.0
        begin = start + span * letters[place]
        # the last word before a pause is not as long as the pause
        longest = max(10.0 * _WORD_MOST, 2 * pace * len(word))
        stop = min(start + span * letters[place + 1], begin + longest)
        out.append(Heard(word, round(begin / 10), round(stop / 10), round(slack / 10)))
    return out


def _openings(
    script: Script, settled: Settled, parts: Sequence[Sequence[Heard]], pace: float
) -> dict[int, tuple[int, int]]:
    """Steps' first sentences that a caption opens, but for a few words: by number, where it begins
    and how long those words take (:attr:`Settled.openings`).

    Somebody says “so” before the script's first word, or another word for it. When such a caption
    begins is known, while a word inside it is only spread. Words that may be the end of the
    sentence before, because that was not heard, open nothing.
    """
    opens: dict[int, tuple[int, int]] = {}
    # settled words have the very times of the heard ones
    at = {word.start: (part, place) for part in parts for place, word in enumerate(part)}
    heard = [
        word[0] for word, sure in zip(settled.words, settled.sure, strict=True) if word and sure
    ]
    for number, sentence in enumerate(script.sentences):
        if number and script.sentences[number - 1].step == sentence.step:
            continue
        if sentence.first and not settled.sure[sentence.first - 1]:
            continue
        sure = settled.sure[sentence.first : sentence.stop]
        missing = next((place for place, one in enumerate(sure[:_OPENING]) if one), None)
        if missing is None:
            continue
        first = settled.words[sentence.first + missing]
        part, place = at.get(first[0], ((), 0)) if first is not None else ((), 0)
        if not place or any(part[0].start <= one < part[place].start for one in heard):
            continue
        # as many of them as the sentence lacks stand for its own words
        strange = sum(len(word.word) for word in part[: max(0, place - missing)])
        opens[number] = (part[0].start, round(pace * strange / 10))
    return opens


def _trust(slack: int) -> float:
    """What a start counts that may be off by so many hundredths of a second."""
    return 1 / (1 + slack / _HALF_TRUST)


def _script(episode: Episode) -> Script:
    script = script_of(episode.steps)
    if not script.words:
        raise BadInput.of(
            "this design has no narration to listen for",
            "write what you say under say: in its steps",
            file=episode.design_file,
        )
    return script


def _timing(
    script: Script,
    settled: Settled,
    voiced: Voiced,
    recording: Recording,
) -> Timing:
    away = _moved_away(script, settled)
    far = {place for place, _ in settled.far}
    said: list[SaidSentence] = []
    left_out: list[tuple[str, str]] = []
    changed: list[tuple[str, str]] = []
    for number, sentence in enumerate(script.sentences):
        span = slice(sentence.first, sentence.stop)
        words = tuple(
            (recording.at(word[0]), recording.at(word[1])) if word is not None else None
            for word in settled.words[span]
        )
        share = sum(settled.sure[span]) / len(words)
        told_far = sum(place in far for place in range(sentence.first, sentence.stop))
        there = [word for word in words if word is not None]
        if not there and len(words) >= _TOLD:
            left_out.append((sentence.step, sentence.text))
        elif len(there) < len(words) - told_far or share < SURE:
            changed.append((sentence.step, sentence.text))
        said.append(
            SaidSentence(
                text=sentence.text,
                start_ms=(
                    recording.at(settled.openings[number][0])
                    if number in settled.openings
                    else _begins(sentence.words, words)
                ),
                end_ms=max((word[1] for word in there), default=None),
                confidence=share
                * (1.0 if settled.sure[sentence.first] else _UNSURE_FIRST)
                * _trust(_slack(settled, sentence)),
                words=words,
            )
        )
    steps: dict[str, StepTimes] = {}
    for step, digest in script.digests.items():
        numbers = [n for n, one in enumerate(script.sentences) if one.step == step]
        steps[step] = _step(script, settled, voiced, step, digest, numbers, said, away)
    return Timing(
        times=Times(
            source=recording.source,
            length_ms=recording.ends_ms,
            steps=steps,
            pace=_pace(settled, script),
            film_ms=recording.film_ms,
        ),
        unsure=tuple(step.id for step in steps.values() if step.start_ms is None),
        left_out=tuple(left_out),
        changed=tuple(changed),
        moved=tuple(
            (
                script.sentences[number].step,
                script.sentences[number].text,
                f"after “{script.sentences[behind].text}”"
                if behind is not None
                else "first of all",
            )
            for number, behind in settled.moved
        ),
        far=tuple(
            (
                script.sentences[number].step,
                script.sentences[number].text,
                script.words[place],
                recording.at(at),
            )
            for place, at in settled.far
            for number in (script.sentence_of[place],)
        ),
        repeated=tuple(
            (script.sentences[number].step, script.sentences[number].text)
            for number in settled.repeated
        ),
        asides=tuple((recording.at(start), recording.at(stop)) for start, stop in settled.asides),
    )


def _slack(settled: Settled, sentence: ScriptSentence) -> int:
    """By how much a sentence's first found word may be off, hundredths of a second."""
    places = range(sentence.first, sentence.stop) if settled.slack else ()
    return next((settled.slack[n] for n in places if settled.words[n] is not None), 0)


def _begins(text: Sequence[str], words: Sequence[tuple[int, int] | None]) -> int | None:
    """When a sentence begins in ms; before its first found word as long as those in front take."""
    found = [place for place, word in enumerate(words) if word is not None]
    if not found:
        return None
    letters = sum(len(text[place]) for place in found)
    spoken = sum(word[1] - word[0] for word in words if word is not None)
    before = sum(len(word) for word in text[: found[0]])
    first = words[found[0]]
    assert first is not None
    return max(0, first[0] - round(min(spoken / letters * before, _BEFORE_MOST)))


def _moved_away(script: Script, settled: Settled) -> set[int]:
    """Sentences said among another step's.

    One said out of order beside its own step's others is that step's all the same, which may begin
    or end with it.
    """
    begins = {
        number: min(word[0] for word in found if word is not None)
        for number, sentence in enumerate(script.sentences)
        if any(found := settled.words[sentence.first : sentence.stop])
    }
    moved = {number for number, _ in settled.moved}
    away: set[int] = set()
    as_said = sorted(begins, key=begins.__getitem__)
    for _, together in groupby(as_said, key=lambda number: script.sentences[number].step):
        group = set(together)
        if group <= moved:
            away |= group
    return away


def _step(
    script: Script,
    settled: Settled,
    voiced: Voiced,
    step: str,
    digest: str,
    numbers: Sequence[int],
    said: Sequence[SaidSentence],
    away: set[int],
) -> StepTimes:
    own = [n for n in numbers if n not in away] or list(numbers)
    there = [said[n] for n in own if said[n].start_ms is not None]
    sure = [
        settled.sure[place]
        for n in own
        for place in range(script.sentences[n].first, script.sentences[n].stop)
        if settled.words[place] is not None
    ]
    confidence = 0.0
    starts = {n: start for n in own if (start := said[n].start_ms) is not None}
    opens = min(starts, key=starts.__getitem__, default=None)
    if opens is not None:
        first = script.sentences[opens].first
        # words that were not found count here: the start is then reckoned from a later one
        opening = settled.sure[first : min(first + _OPENING, script.sentences[own[-1]].stop)]
        confidence = (sum(opening) / len(opening) + sum(sure) / len(sure)) / 2
        # a caption's beginning is known, whatever its first words are
        opened = opens in settled.openings
        if not (settled.sure[first] or opened):
            confidence *= _UNSURE_FIRST_OF_STEP
        in_front = [n for n in range(numbers[0], opens) if n not in starts]
        if not opened and not _starts_surely(script, settled, voiced, opens, in_front):
            confidence *= _FIRST_UNKNOWN
        slack = _slack(settled, script.sentences[opens])
        confidence *= _trust(settled.openings[opens][1] if opened else slack)
    start = min(starts.values(), default=None)
    end = max((one.end_ms for one in there if one.end_ms is not None), default=None)
    return StepTimes(
        id=step,
        digest=digest,
        start_ms=start if confidence >= SURE else None,
        maybe_ms=start if confidence < SURE else None,
        end_ms=end,
        confidence=confidence,
        sentences=tuple(said[n] for n in numbers),
    )


def _starts_surely(
    script: Script, settled: Settled, voiced: Voiced, opens: int, in_front: Sequence[int]
) -> bool:
    """Whether a step begins with sentence ``opens``.

    One of the first words must stand where it was heard, and the beginning agree with it. What was
    not found of the sentences ``in_front`` of it must have been left out, so that nothing is spoken
    there.
    """
    sentence = script.sentences[opens]
    found = settled.words[sentence.first : sentence.stop]
    sure = settled.sure[sentence.first : sentence.stop]
    if not any(sure[:_OPENING]):
        return False
    ears = [(10 * one[0], 10 * one[1]) if one else None for one in found]
    by_ear = [one if is_sure else None for one, is_sure in zip(ears, sure, strict=True)]
    begins, reckoned = _begins(sentence.words, ears), _begins(sentence.words, by_ear)
    if begins is None or reckoned is None or abs(begins - reckoned) > _DIFFERS:
        return False
    if not in_front:
        return True
    begin = min(word[0] for word in found if word)
    before = max(
        (min(word[1], word[0] + _WORD_MOST) for word in settled.words if word and word[0] < begin),
        default=0,
    )
    return voiced(before, begin) <= _UNEXPLAINED


def _pace(settled: Settled, script: Script) -> Pace:
    """What tells the talker's rate: stretches of sure words whose times were not reckoned."""
    pace = NO_PACE
    for sentence in script.sentences:
        stretch: list[tuple[int, int]] = []
        for place in range(sentence.first, sentence.stop):
            word = settled.words[place]
            known = settled.sure[place] and not (settled.slack and settled.slack[place])
            if stretch and (word is None or not known or word[0] - stretch[-1][1] >= _REST):
                pace += _pace_of(stretch)
                stretch = []
            if word is not None and known:
                stretch.append(word)
        pace += _pace_of(stretch)
    return pace


def _pace_of(stretch: Sequence[tuple[int, int]]) -> Pace:
    if len(stretch) < _STRETCH:
        return NO_PACE
    return Pace(len(stretch), 10 * (stretch[-1][1] - stretch[0][0]))
