"""``said-wrong``, ``said-unclear``, ``said-rounded``: the film's captions as they were spoken.

What it does: finds every number in captions (typed, or made by a recogniser), ties each to the
measurement that it means, and tells those that the design does not print.
Why it matters: a slip of the tongue is the one number that no other output can show.
What may mean two measurements that disagree about it is a note, never passed in silence; what is
rounded as turners round is told when details are asked for.
Use instead: say the line again with the figure that the finding gives. Where it is not sure which
measurement a wrong number means, the finding gives what it may mean, and no line.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from pathlib import Path

from studio.check.again import Again
from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Patch, Severity
from studio.episode.records import Episode, TimedStep
from studio.episode.stamps import stamp, stretch
from studio.episode.times import said_words
from studio.errors import BadInput
from studio.said.agreeing import Verdict
from studio.said.finding import find_mentions
from studio.said.heard import judged_talk
from studio.said.judged import Edit, Judged, put_behind
from studio.said.judging import Judge
from studio.said.material import Material
from studio.voice.captions import Caption, read_captions
from studio.voice.match import match
from studio.voice.script import script_of

PAUSE_MS = 700
"""So long a pause between captions without punctuation ends a piece of talk (ours)."""

MOST_WORDS = 40
"""A piece without punctuation is no longer than this, unless one caption is (ours)."""

WORDS_BEYOND = 12
"""So many words beyond the end of a piece that was cut for its length are heard with it (ours)."""

MOST_WORDS_IN_SENTENCE = 80
"""A longer sentence lacks its full stop (ours)."""

AROUND = 90
"""Characters quoted on each side of a number in a long piece (ours)."""

_SENTENCE_END = re.compile(r"(?<=[.!?])\s+(?=[\"“‘'(]?[A-Z])")
_SMALL_SENTENCE_END = re.compile(r"(?<=[.!?])\s+")
_NOT_AN_END = re.compile(r"\b(?:No|no|approx|ca|vs)\.\s+$")
_PUNCTUATED = 0.02
"""Share of words with a full stop behind them from which on a text counts as punctuated (ours)."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of talk: words that belong together, and the captions that they come from.

    Attributes:
        text: its words on one line.
        captions: in order.
        starts: where each caption begins in ``text``; below 0 where it begins before the piece.
        begin: where its own words begin in ``text``; what stands before them is only heard.
        end: where they end.
        runs_on: it is no sentence, but talk without full stops that had to be cut somewhere.
    """

    text: str
    captions: tuple[Caption, ...]
    starts: tuple[int, ...]
    begin: int
    end: int
    runs_on: bool = False

    def number_at(self, place: int) -> int:
        """Which of its captions the character at ``place`` stands in."""
        return max(0, bisect_right(self.starts, place) - 1)

    def caption_at(self, place: int) -> Caption:
        """The caption in which the character at ``place`` stands."""
        return self.captions[self.number_at(place)]


def check_said(
    context: Context, captions: Path, *, details: bool = False
) -> tuple[Outcome, dict[str, int]]:
    """Findings in the captions of a film, and how many numbers got each verdict.

    Args:
        context: the design.
        captions: what was said in the film: SubRip, WebVTT or plain text.
        details: whether rounded figures are told too.

    Raises:
        BadInput: the captions cannot be read, or there are none.
    """
    read = read_captions(captions)
    if not read:
        raise BadInput.of(
            "no words are in it", "give the captions of what was said in the film", file=captions
        )
    judge = Judge(Material.of(context.episode, context.read.design.workshop.units))
    again = Again(context.episode.steps)
    steps = dict(zip(read, steps_of(context.episode, read), strict=True))
    counts: Counter[str] = Counter({str(verdict): 0 for verdict in Verdict})
    findings: list[Finding] = []
    pieces = [(piece, tuple(_judged(judge, piece, steps))) for piece in pieces_of(read)]
    numbers = _numbers(pieces)
    for piece, of_piece in pieces:
        for judged in of_piece:
            counts[str(judged.verdict)] += 1
            finding = _finding(captions.name, piece, judged, judge, details=details)
            if finding is not None and judged.verdict is Verdict.WRONG:
                if piece.runs_on:
                    patch = _patch_of_captions(piece, judged, numbers, again)
                else:
                    patch = _patch_of_sentence(piece, judged, of_piece)
                finding = _with_patch(finding, patch)
            if finding is not None:
                findings.append(finding)
    traced = counts[Verdict.RIGHT] + counts[Verdict.ROUNDED]
    # what is unclear is neither: it is told, and a reader decides
    outcome = Outcome(findings=tuple(findings), traced=traced, untraced=counts[Verdict.WRONG])
    return outcome, dict(counts)


def _judged(judge: Judge, piece: Piece, steps: Mapping[Caption, str | None]) -> Iterator[Judged]:
    """Each number of a piece, judged by the step in which it is said."""
    in_steps = [
        steps[piece.caption_at(one.start)]
        for one in find_mentions(piece.text) if piece.begin <= one.start < piece.end
    ]  # fmt: skip
    found = [
        one
        for step in dict.fromkeys(in_steps)
        for one in judged_talk(judge, piece.text, step)
        if piece.begin <= one.mention.start < piece.end
        and steps[piece.caption_at(one.mention.start)] == step
    ]
    yield from sorted(found, key=lambda one: one.mention.start)


def _finding(
    where: str,
    piece: Piece,
    judged: Judged,
    judge: Judge,
    *,
    details: bool,
) -> Finding | None:
    mention = judged.mention
    caption = piece.caption_at(mention.start)
    time = "" if caption.start_ms is None else f"{stamp(caption.start_ms)}, "
    told = partial(
        Finding,
        where=where,
        at=f"{time}line {caption.line}",
        said=_quoted(piece.text, mention.start, mention.stop),
        confidence=judged.confidence,
    )
    sure = f"(sure: {judged.confidence:.2f})"
    if judged.verdict is Verdict.WRONG:
        means = f"is {judged.expected} by the design"
        if not judged.sure:
            means = f"may mean {'; or '.join(_candidates(judged, judge))}"
        return told(
            code="said-wrong", severity=Severity.ERROR,
            expected=f"{mention.written!r} {means} {sure}",
            measurement=judged.measurement if judged.sure else "",
        )  # fmt: skip
    if judged.verdict is Verdict.AMBIGUOUS:
        could = "; or ".join(_candidates(judged, judge))
        if judged.turned is not None:
            could = f"be told the wrong way round: it is {judged.expected} by the design"
            expected = f"{mention.written!r} may {could} {sure}; say which, or leave it"
            return told(code="said-unclear", severity=Severity.NOTE, expected=expected)
        expected = f"{mention.written!r} may mean {could} {sure}; say which, or leave it"
        if judged.due:
            due = judged.expected
            expected = f"{mention.written!r} is said out of order {sure}; the design has {due}"
        return told(code="said-unclear", severity=Severity.NOTE, expected=expected)
    if judged.verdict is Verdict.ROUNDED and details:
        return told(
            code="said-rounded", severity=Severity.NOTE,
            expected=f"{mention.written!r} is {judged.expected}, rounded as one rounds {sure}",
            measurement=judged.measurement,
        )  # fmt: skip
    return None


_MOST_CANDIDATES = 4


def _candidates(judged: Judged, judge: Judge) -> Iterator[str]:
    for name in judged.candidates[:_MOST_CANDIDATES]:
        yield f"{name}, {judge.expected(judged.mention, name)}"


def _is_mended(of_piece: Sequence[Judged], begin: int, end: int) -> bool:
    """Whether it is sure what every wrong number of the stretch quoted should be.

    A line with one number mended and another one left would be said again and be wrong again.
    """
    return all(
        one.edit is not None
        for one in of_piece
        if one.verdict is Verdict.WRONG and one.mention.start < end and begin < one.mention.stop
    )


def _mended(text: str, judged: Judged, of_piece: Sequence[Judged]) -> tuple[str, int, int]:
    """The text with all its wrong numbers mended, and where the one judged stands in it.

    A line is said again once, so it is right as a whole.
    """
    out, at, start, stop = "", 0, 0, 0
    for one in of_piece:
        if one.verdict is not Verdict.WRONG or one.mention.start < at:
            continue
        edit = one.edit or Edit(text, one.mention.start, one.mention.stop, one.mention.written)
        out += text[at : edit.start]
        begin, at = len(out), edit.stop
        out = put_behind(out, edit.said)
        if one is judged:
            start, stop = begin, len(out)
    return out + text[at:], start, stop


def _around(text: str, start: int, stop: int) -> tuple[int, int]:
    """From where to where a number is quoted: the whole text, or cut at words where it is long."""
    begin = text.rfind(" ", 0, max(0, start - AROUND)) + 1 if start > AROUND else 0
    end = text.find(" ", stop + AROUND)
    return begin, len(text) if end < 0 else end


def _quoted(text: str, start: int, stop: int) -> str:
    begin, end = _around(text, start, stop)
    return f"{'… ' if begin else ''}{text[begin:end]}{' …' if end < len(text) else ''}"


def _patch_of_sentence(piece: Piece, judged: Judged, of_piece: Sequence[Judged]) -> Patch:
    begin, end = _around(piece.text, judged.mention.start, judged.mention.stop)
    say = ""
    if _is_mended(of_piece, begin, end):
        say = _quoted(*_mended(piece.text, judged, of_piece))
    return _patch(say, piece.caption_at(begin), piece.caption_at(max(begin, end - 1)))


def _patch(say: str, first: Caption, last: Caption) -> Patch:
    """Where to cut the line in: from the first of its captions to its last."""
    if first.start_ms is None or last.end_ms is None:
        return Patch(in_ms=None, out_ms=None, say=say)
    return Patch(in_ms=first.start_ms, out_ms=last.end_ms, say=say)


@dataclass(frozen=True, slots=True)
class _Number:
    """From where to where a number is said, from its caption's first character on.

    And what is due instead: None where nothing is, empty where it is not sure what.
    """

    start: int
    stop: int
    due: str | None


def _numbers(pieces: Sequence[tuple[Piece, tuple[Judged, ...]]]) -> dict[Caption, list[_Number]]:
    """Every number by the caption that it begins in: a line may run into the next piece."""
    found: dict[Caption, list[_Number]] = {}
    for piece, of_piece in pieces:
        for one in of_piece:
            start, stop = one.mention.start, one.mention.stop
            due = "" if one.verdict is Verdict.WRONG else None
            if one.edit is not None:
                start, stop, due = one.edit.start, one.edit.stop, one.edit.said
            place = piece.number_at(start)
            begins = piece.starts[place]
            number = _Number(start - begins, stop - begins, due)
            found.setdefault(piece.captions[place], []).append(number)
    return found


def _patch_of_captions(
    piece: Piece,
    judged: Judged,
    numbers: Mapping[Caption, Sequence[_Number]],
    again: Again,
) -> Patch:
    """The words of whole captions, their wrong numbers mended; where words begin is known of no
    others."""
    first, last = again.captions(piece, judged.mention.start, judged.mention.stop)
    # a number that runs over an end takes the caption with it in which it goes on
    for begins, caption in enumerate(piece.captions):
        for one in numbers.get(caption, ()):
            ends = piece.number_at(piece.starts[begins] + one.stop - 1)
            if begins < first <= ends or begins <= last < ends:
                first, last = min(first, begins), max(last, ends)
    said, at, sure = "", 0, True
    whole = _joined(piece.captions[first : last + 1])
    for caption, begins in zip(whole.captions, whole.starts, strict=True):
        for one in numbers.get(caption, ()):
            if one.due is not None and begins + one.start >= at:
                said = put_behind(said + whole.text[at : begins + one.start], one.due)
                at = begins + one.stop
                # a line with one number mended and another one left would be wrong again
                sure = sure and bool(one.due)
    say = said + whole.text[at:] if sure else ""
    return _patch(say, whole.captions[0], whole.captions[-1])


def _with_patch(finding: Finding, patch: Patch) -> Finding:
    times = ""
    if patch.in_ms is not None and patch.out_ms is not None:
        times = f" (patch: {stretch(patch.in_ms, patch.out_ms)})"
    line = f"say: {patch.say}" if patch.say else "say the line again with the figure that is meant"
    return replace(finding, expected=f"{finding.expected}; {line}{times}", patch=patch)


def pieces_of(captions: Sequence[Caption]) -> Iterator[Piece]:
    """Captions joined to sentences, which mostly run over several of them.

    Without punctuation a piece ends at a pause or when it grows long, between two captions; what
    was said just before and after a long one's end is heard with it.
    """
    if not captions:
        return
    words = sum(len(one.text.split()) for one in captions)
    stops = sum(len(re.findall(r"[.!?](?:\s|$)", one.text)) for one in captions)
    if stops >= words * _PUNCTUATED:
        for stretch in _stretches(captions):
            yield from _sentences(stretch)
    else:
        for stretch in _stretches(captions):
            yield from _runs(stretch, MOST_WORDS)


def _stretches(captions: Sequence[Caption]) -> Iterator[Piece]:
    """Captions between long pauses, joined; in a plain text an empty line is one."""
    begun = [captions[0]]
    for before, after in pairwise(captions):
        if _pauses(before, after):
            yield _joined(begun)
            begun = []
        begun.append(after)
    yield _joined(begun)


_LONG_PAUSE_MS = 4_000


def _pauses(before: Caption, after: Caption) -> bool:
    if before.end_ms is None or after.start_ms is None:
        return after.line > before.line + 1
    ended = before.text.rstrip().endswith((".", "!", "?"))
    return after.start_ms - before.end_ms >= (PAUSE_MS if ended else _LONG_PAUSE_MS)


def _joined(captions: Sequence[Caption]) -> Piece:
    starts, length = [], 0
    for one in captions:
        starts.append(length)
        length += len(one.text) + 1
    return Piece(" ".join(one.text for one in captions), tuple(captions), tuple(starts), 0, length)


def _cut(whole: Piece, start: int, stop: int, heard_from: int, heard_to: int) -> Piece:
    """The words from ``start`` to ``stop``, and those around them that are heard with them."""
    begin, end = start - heard_from, stop - heard_from
    start, stop = heard_from, heard_to
    first = max(0, bisect_right(whole.starts, start) - 1)
    last = max(first + 1, bisect_right(whole.starts, max(start, stop - 1)))
    starts = tuple(place - start for place in whole.starts[first:last])
    return Piece(whole.text[start:stop], whole.captions[first:last], starts, begin, end)


def _sentences(whole: Piece) -> Iterator[Piece]:
    start = 0
    ends = _SENTENCE_END if re.search("[A-Z]", whole.text) else _SMALL_SENTENCE_END
    for match_ in ends.finditer(whole.text):
        if _NOT_AN_END.search(whole.text[max(0, match_.end() - 12) : match_.end()]):
            continue
        stop = match_.start()
        yield from _runs(_cut(whole, start, stop, start, stop), MOST_WORDS_IN_SENTENCE)
        start = match_.end()
    if whole.text[start:].strip():
        stop = len(whole.text)
        yield from _runs(_cut(whole, start, stop, start, stop), MOST_WORDS_IN_SENTENCE)


def _runs(whole: Piece, most: int) -> Iterator[Piece]:
    """Parts of at most so many words, cut between captions and at pauses; a short one whole.

    Where one is cut for its length alone, words of its neighbours are heard with it, so that a
    number runs on and what it is said of is known.
    """
    if most > MOST_WORDS and len(whole.text.split()) <= most:
        yield whole
        return
    start = heard_from = words = 0
    for number, one in enumerate(whole.captions):
        words += len(one.text.split())
        end = min(whole.starts[number] + len(one.text), len(whole.text))
        following = whole.captions[number + 1] if number + 1 < len(whole.captions) else None
        if following is None:
            stop = len(whole.text)
            yield replace(_cut(whole, start, stop, heard_from, stop), runs_on=True)
            return
        pause = (
            one.end_ms is not None
            and following.start_ms is not None
            and following.start_ms - one.end_ms >= PAUSE_MS
        )
        long = words + len(following.text.split()) > most
        if pause or long:
            heard_to = end if pause else _words_on(whole.text, end)
            yield replace(_cut(whole, start, end, heard_from, heard_to), runs_on=True)
            start, words = end + 1, 0
            heard_from = start if pause else _words_back(whole.text, end)


def _words_on(text: str, place: int) -> int:
    """Where the words end that are heard beyond a cut at ``place``."""
    for _ in range(WORDS_BEYOND + 1):
        place = text.find(" ", place + 1)
        if place < 0:
            return len(text)
    return place


def _words_back(text: str, place: int) -> int:
    """Where the words begin that are heard before a cut at ``place``."""
    for _ in range(WORDS_BEYOND):
        place = text.rfind(" ", 0, max(0, place))
        if place < 0:
            return 0
    return place + 1


def steps_of(episode: Episode, captions: Sequence[Caption]) -> list[str | None]:
    """The step in hand in each caption: by the film's times, else by the script's words.

    Captions that go on behind the film's end are not of this cut, and its times say nothing.
    """
    steps, end = episode.steps, episode.length_ms
    starts = [one.start_ms for one in captions]
    within = all(start is not None and end is not None and start < end for start in starts)
    if within and steps and all(step.start_ms is not None for step in steps):
        return [_step_at(steps, one) for one in captions]
    return _steps_by_words(steps, captions)


def _step_at(steps: Sequence[TimedStep], caption: Caption) -> str | None:
    middle = ((caption.start_ms or 0) + (caption.end_ms or 0)) // 2
    for step in steps:
        assert step.start_ms is not None
        assert step.end_ms is not None
        if step.start_ms <= middle < step.end_ms:
            return step.id
    return None


def _steps_by_words(steps: Sequence[TimedStep], captions: Sequence[Caption]) -> list[str | None]:
    """By the words of the script that were said; between two captions of a step all are of it."""
    script = script_of(steps)
    heard: list[str] = []
    whose: list[int] = []
    for number, caption in enumerate(captions):
        words = said_words(caption.text)
        heard += words
        whose += [number] * len(words)
    votes: list[Counter[str]] = [Counter() for _ in captions]
    for one in match(script.words, [s.first for s in script.sentences], heard):
        votes[whose[one.heard]][script.sentences[script.sentence_of[one.script]].step] += 1
    known = [vote.most_common(1)[0][0] if vote else None for vote in votes]
    out: list[str | None] = list(known)
    following: list[str | None] = [None] * len(known)
    ahead: str | None = None
    for number in range(len(known) - 1, -1, -1):
        ahead = known[number] or ahead
        following[number] = ahead
    before: str | None = None
    for number, step in enumerate(known):
        before = step or before
        if step is None and before == following[number]:
            out[number] = before
    return out
