"""The times file beside a design: when each step and each sentence was said.

``studio time`` writes it; the design's episode reads it. A mark typed in the design goes before a
time that stands here, and a step whose narration has changed since is told.
"""

from __future__ import annotations

import hashlib
import json
import re
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from pathlib import Path
from typing import Any, NamedTuple

from studio.episode.beside import TIMES, read_beside
from studio.episode.pace import NO_PACE, Pace, pace_line
from studio.episode.phrases import tokens_of
from studio.episode.records import LateCaption, TimedStep
from studio.episode.stamps import stamp
from studio.measure.speech import said_pieces
from studio.measure.together import ends_sentence
from studio.measure.trace import plain

_WORD = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*")
_DIGEST = "# digest: "


class SaidWord(NamedTuple):
    """A word in small letters as a voice says it, and where in the plain text it is printed."""

    word: str
    at: int


def placed_words(text: str) -> tuple[SaidWord, ...]:
    """The words of a text as a voice says them, in order; those of a figure where it begins.

    A figure may be of several words in print too, so its share is told within the whole text alone.

    >>> [tuple(one) for one in placed_words("Take CAMI 220.")]
    [('take', 0), ('cami', 5), ('two', 5), ('twenty', 5)]
    """
    # figures are in words already, but for those that a design says are none ("5-axis")
    pieces = list(said_pieces(plain(text).replace("’", "'")))
    begins = list(accumulate((len(piece.said) for piece in pieces), initial=0))
    words = []
    for match in _WORD.finditer("".join(piece.said for piece in pieces)):
        number = bisect_right(begins, match.start()) - 1
        piece = pieces[number]
        inside = 0 if piece.is_figure else match.start() - begins[number]
        words.append(SaidWord(match[0].casefold(), piece.at + inside))
    return tuple(words)


def said_words(text: str) -> tuple[str, ...]:
    """The words of a narration as a voice says them: small letters, figures in words.

    >>> said_words("Fifty-five; the cap’s 2 mm ends.")
    ('fifty', 'five', 'the', "cap's", 'two', 'millimetres', 'ends')
    """
    return tuple(one.word for one in placed_words(text))


def sentences(text: str) -> tuple[str, ...]:
    """A narration's sentences, plain; those that hold no word are left out."""
    words = plain(text).split()
    parts: list[list[str]] = [[]]
    for before, word, following in zip(["", *words], words, [*words[1:], ""], strict=False):
        parts[-1].append(word)
        if ends_sentence(word, following, before):
            parts.append([])
    whole = (" ".join(part) for part in parts)
    return tuple(part for part in whole if said_words(part))


def script_digest(aloud: str) -> str:
    """A fingerprint of the words of a step's narration; points and commas do not count."""
    return hashlib.sha256(" ".join(said_words(aloud)).encode("utf-8")).hexdigest()[:16]


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidSentence:
    """A sentence of the script in the recording.

    Attributes:
        text: plain.
        start_ms: when its first word begins; None where that is not known.
        end_ms: when its last word ends; None with ``start_ms``.
        confidence: 0 to 1, the share of it that was heard where it stands.
        words: when each word begins and ends; None for one that was left out or not found.
    """

    text: str
    start_ms: int | None
    end_ms: int | None
    confidence: float
    words: tuple[tuple[int, int] | None, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StepTimes:
    """A step in the recording.

    Attributes:
        id: the step's name.
        digest: of the narration that was listened for (:func:`script_digest`).
        start_ms: when its first word begins; None where a mark is asked for.
        end_ms: when its last word ends.
        confidence: of the start, 0 to 1.
        maybe_ms: where a step without a start seems to begin, to be looked at; None where nothing
            tells that.
        sentences: in the script's order.
    """

    id: str
    digest: str
    start_ms: int | None
    end_ms: int | None
    confidence: float
    sentences: tuple[SaidSentence, ...] = ()
    maybe_ms: int | None = None

    @property
    def words(self) -> tuple[tuple[int, int] | None, ...]:
        """Start and end of every word of the narration."""
        return tuple(word for sentence in self.sentences for word in sentence.words)

    @property
    def is_unsaid(self) -> bool:
        """Whether its narration was listened for, and not a word of it found."""
        return bool(self.words) and not any(self.words)


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """All that was found in a recording.

    Attributes:
        source: name of the recording or caption file.
        length_ms: where the recording ends.
        steps: by id, in the script's order.
        pace: of the words that were surely heard, within sentences.
        film_ms: the film's length, where the recording is the film's own sound, or of the film
            that takes make; None for a recorder's sound and for captions.
    """

    source: str
    length_ms: int
    steps: Mapping[str, StepTimes]
    pace: Pace = NO_PACE
    film_ms: int | None = None

    @property
    def last_ms(self) -> int:
        """When the last word ends, or the last step starts if that is later; 0 without any."""
        steps = self.steps.values()
        ends = [word[1] for step in steps for word in step.words if word is not None]
        ends += [step.start_ms for step in steps if step.start_ms is not None]
        return max(ends, default=0)


UNTIMED = Times(source="", length_ms=359_999_000, steps={})
"""Stands in for the times of a film whose voice is about to be listened to."""


def times_file(design: Path) -> Path:
    """Where the times of a design stand."""
    return design.with_name(f"{design.stem}{TIMES}")


END_SLACK_MS = 500
"""An end may lie so far beyond the film: marks are written down to a second or a tenth (ours)."""


def ask(step_id: str, maybe_ms: int | None = None) -> str:
    """What to write where a step's time is not sure; with a place to look at, if there is one."""
    look = f"perhaps at {stamp(maybe_ms)}: look there, and " if maybe_ms is not None else ""
    return f"{look}write under film: marks: the line {step_id}: and the time at which it starts"


def not_said(source: str) -> str:
    """What is told of a step of which not a word was found in a recording."""
    return f"not a word of it was found in {source}, so it was not said there"


def ask_unsaid(step_id: str) -> str:
    """The ways out for such a step."""
    return (
        f"when the film shows it without words, {ask(step_id)}; when it does not, take the step "
        "out of the design, or record it"
    )


def as_text(times: Times) -> str:
    """The file's content; its last line tells whether it is as studio wrote it."""
    lines = [
        "# Written by studio time; run it again when the film or the narration has changed.",
        "# Times are seconds from where the film starts. A mark typed in the design under",
        "# film: marks: goes before a time that stands here. Confidence runs from 0 to 1.",
        f"source: {_quoted(times.source)}",
        f"length: {_seconds(times.length_ms)}",
        *([f"film: {_seconds(times.film_ms)}"] if times.film_ms is not None else []),
        pace_line(times.pace),
        "steps:",
    ]
    for step in times.steps.values():
        lines.append(f"  {step.id}:")
        if step.start_ms is None:
            lines.append(
                f"    # it was not said: {ask_unsaid(step.id)}"
                if step.is_unsaid
                else f"    # not sure where it starts: {ask(step.id, step.maybe_ms)}"
            )
            if step.maybe_ms is not None:
                lines.append(f"    maybe: {_seconds(step.maybe_ms)}")
        else:
            lines.append(f"    start: {_seconds(step.start_ms)}")
        if step.end_ms is not None:
            lines.append(f"    end: {_seconds(step.end_ms)}")
        lines += [f"    confidence: {step.confidence:.2f}", f"    script: {_quoted(step.digest)}"]
        lines.append("    sentences:" if step.sentences else "    sentences: []")
        for one in step.sentences:
            lines.append(f"      - said: {_quoted(one.text)}")
            if one.start_ms is not None and one.end_ms is not None:
                lines.append(f"        start: {_seconds(one.start_ms)}")
                lines.append(f"        end: {_seconds(one.end_ms)}")
            lines.append(f"        confidence: {one.confidence:.2f}")
            pairs = ", ".join(
                f"[{_seconds(word[0])}, {_seconds(word[1])}]" if word else "[]"
                for word in one.words
            )
            lines.append(f"        words: [{pairs}]")
    text = "\n".join(lines) + "\n"
    return f"{text}{_DIGEST}{_fingerprint(text)}\n"


def is_as_written(text: str) -> bool:
    """Whether nobody has changed the file since studio wrote it."""
    body, found, digest = text.rpartition(_DIGEST)
    return bool(found) and digest.strip() == _fingerprint(body)


def _fingerprint(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:16]


def _quoted(text: str) -> str:
    # a JSON string is a YAML string, whatever a design's text holds
    return json.dumps(text, ensure_ascii=False)


def _seconds(ms: int) -> str:
    return f"{ms / 1000:.2f}"


def read_times(design: Path) -> Times | None:
    """The times beside a design; None when there are none.

    Raises:
        BadInput: the file cannot be read as a times file.
    """
    return read_beside(
        times_file(design),
        _times,
        "a times file as studio time writes it",
        "take it away, or run studio time again, which keeps it aside",
    )


def _times(tree: Any) -> Times:
    steps = {}
    for name, step in (tree["steps"] or {}).items():
        start, end = _ms(step.get("start")), _ms(step.get("end"))
        steps[str(name)] = StepTimes(
            id=str(name),
            digest=str(step.get("script", "")),
            start_ms=start,
            end_ms=end,
            confidence=float(step.get("confidence", "1")),
            sentences=tuple(_sentence(one) for one in step.get("sentences") or ()),
            maybe_ms=_ms(step.get("maybe")),
        )
    length = _ms(tree["length"])
    if length is None:
        raise ValueError("no length")
    return Times(
        source=str(tree.get("source", "")),
        length_ms=length,
        steps=steps,
        pace=_pace(tree.get("surely_spoken")),
        film_ms=_ms(tree.get("film")),
    )


def _pace(pair: Any) -> Pace:
    if pair is None:
        return NO_PACE
    words, seconds = pair
    return Pace(int(words), _ms(seconds) or 0)


def _sentence(tree: Any) -> SaidSentence:
    words: list[tuple[int, int] | None] = []
    for pair in tree.get("words") or ():
        start, end = (_ms(pair[0]), _ms(pair[1])) if pair else (None, None)
        words.append((start, end) if start is not None and end is not None else None)
    return SaidSentence(
        text=str(tree["said"]),
        start_ms=_ms(tree.get("start")),
        end_ms=_ms(tree.get("end")),
        confidence=float(tree.get("confidence", "1")),
        words=tuple(words),
    )


def _ms(text: Any) -> int | None:
    if text is None:
        return None
    ms = round(float(text) * 1000)
    if not 0 <= ms < 360_000_000:
        raise ValueError(f"{text} is no time in a film")
    return ms


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Where the steps stand, marks and the times file taken together.

    Attributes:
        starts: by step; complete and ascending, or empty.
        length_ms: the film's, or else the recording's.
        words: start and end of each word by step, where the narration is still the one timed.
        sentences: start and end of each sentence that was listened for, by step; None for one that
            was not heard.
        notes: plain; what no longer holds and what to write.
        late: steps that start after the film's end, which the notes tell too.
    """

    starts: Mapping[str, int]
    length_ms: int
    words: Mapping[str, tuple[tuple[int, int] | None, ...]]
    sentences: Mapping[str, tuple[tuple[int, int] | None, ...]]
    notes: tuple[str, ...] = ()
    late: tuple[LateCaption, ...] = ()

    def applied(self, steps: Iterable[TimedStep]) -> tuple[TimedStep, ...]:
        """The steps with their times; without any where one is missing."""
        out: list[TimedStep] = []
        for step in steps:
            start = self.starts.get(step.id)
            later = [at for at in self.starts.values() if start is not None and at > start]
            end = None if start is None else min(later, default=self.length_ms)
            out.append(replace(step, start_ms=start, end_ms=end))
        return tuple(out)


def placed(
    steps: Sequence[TimedStep], marks: Mapping[str, int], length_ms: int | None, times: Times
) -> Placed:
    """Take marks and times together: a typed mark wins, the times file fills in the rest.

    Steps that stay without a start, or that the recording has in another order, leave no starts
    at all: notes say what to write.
    """
    notes: list[str] = []
    late: list[LateCaption] = []
    starts: dict[str, int] = {}
    words: dict[str, tuple[tuple[int, int] | None, ...]] = {}
    length = times.length_ms if length_ms is None else length_ms
    before: TimedStep | None = None
    for step in steps:
        found = times.steps.get(step.id)
        fresh = found is not None and found.digest == script_digest(step.aloud)
        if found is not None and not fresh:
            notes.append(
                f"step {step.id}: its narration has changed since {times.source} was timed; its "
                "captions are spread evenly; record it again and run studio time"
            )
        start = marks.get(step.id, found.start_ms if found is not None else None)
        if start is None:
            notes.append(
                f"step {step.id}: {not_said(times.source)}; {ask_unsaid(step.id)}"
                if found is not None and fresh and found.is_unsaid
                else f"step {step.id}: the voice does not tell where it starts; "
                f"{ask(step.id, found.maybe_ms if found is not None else None)}"
            )
            continue
        if start >= length:
            late.append(
                LateCaption(
                    step_id=step.id,
                    what=f"it starts at {stamp(start)}, after the film's end at {stamp(length)}",
                    write=f"write the master's real length under film: length:, or {ask(step.id)}",
                    is_lost=True,
                )
            )
            notes.append(late[-1].told)
            continue
        if before is not None and start <= starts[before.id]:
            notes.append(
                f"step {step.id} is said before step {before.id}: put the steps into the film's "
                "order in the design, or write both under film: marks:"
            )
            continue
        starts[step.id] = start
        before = step
        if fresh and found is not None:
            words[step.id] = found.words
    if len(starts) < len(steps):
        starts = {}
    sentences = {
        name: tuple(
            None if one.start_ms is None or one.end_ms is None else (one.start_ms, one.end_ms)
            for one in step.sentences
        )
        for name, step in times.steps.items()
    }
    return Placed(
        starts=starts,
        length_ms=length,
        words=words,
        sentences=sentences,
        notes=tuple(notes),
        late=tuple(late),
    )


def beyond_length(times: Times, length_ms: int) -> tuple[str, ...]:
    """What is told of times that go on beyond the length that a design gives its film."""
    if times.last_ms <= length_ms + END_SLACK_MS:
        return ()
    return (
        f"the voice goes on until {stamp(times.last_ms)}, and by film: length: the film ends at "
        f"{stamp(length_ms)}; what is said after that gets no caption: write the master's real "
        "length, or time the voice of that master",
    )


def words_by_token(aloud: str) -> list[int]:
    """How many words a voice says for each token of a narration.

    Args:
        aloud: marked, with its figures in words.

    Returns:
        One count for each of its :func:`~studio.episode.phrases.tokens_of`; their sum is the number
        of all its words. Those of a figure that is typed in several tokens are the first one's.
    """
    tokens = [plain(token) for token in tokens_of(aloud)]
    begins = list(accumulate((len(token) + 1 for token in tokens), initial=0))
    counts = [0] * len(tokens)
    for one in placed_words(" ".join(tokens)):
        counts[bisect_right(begins, one.at) - 1] += 1
    return counts
