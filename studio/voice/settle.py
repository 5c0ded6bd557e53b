"""From heard words to the time of every word of the script, and what was said otherwise."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass, field
from itertools import pairwise

from studio.voice.match import Match, match
from studio.voice.recognise import Heard
from studio.voice.script import Script

Aligner = Callable[
    [Sequence[tuple[int, int]], Sequence[tuple[str, ...]]], Sequence[Sequence[Heard]]
]
"""Finds words in stretches of sound, see :meth:`studio.voice.recognise.Recognisers.align`."""

Voiced = Callable[[int, int], int]
"""How many hundredths of a second between two have a voice in them."""

# All lengths in hundredths of a second; all values here are ours.
_AGREES = 15
"""A word is sure when both passes begin it within 0.15 s of one another."""

_LEAST, _MOST, _MORE = 0.4, 3.0, 80
"""Words that were not heard are looked for where there is at least two fifths of the time that
they take, and at most thrice that and 0.8 s more."""

_SLIP = 50
"""Half a second of words too many between two words of the script is taken for a mishearing."""

_PAD = 25
_UNIT, _UNIT_SENTENCE = 700, 250
"""A text is lined up in parts of 7 s, or of 2.5 s where a sentence ends there."""

_FAR, _TALK, _FEW = 200, 2, 2
"""One or two words that stand two seconds and more from the rest of their sentence, with two words
or more of other talk between, are that talk's: it says a word of the script now and then."""

_TOUCHES = 10
"""Words of captions with no tenth of a second between them follow on one another."""

_ASIDE_WORDS, _ASIDE = 4, 120
"""An aside is told from four heard words and 1.2 s on."""

_FEWER, _FEWER_SHARE = 2, 0.2
"""A take with two words less than another, or a fifth of them, may count before it all the same."""

_FEWEST = 0.25
"""A sentence of four words or more of which less than a quarter was heard was not said there."""


@dataclass(frozen=True, slots=True)
class Settled:
    """What became of each word and sentence of the script.

    Attributes:
        words: start and end of each word in hundredths of a second; None where not said or found.
        sure: whether each word was heard where it now stands.
        slack: by how much each word's start may be off all the same, hundredths of a second; empty
            where none was reckoned.
        openings: by number of sentence, where the caption begins that it opens but for a few words
            of no sentence, and how long those take, hundredths of a second.
        repeated: sentences that were said more than once; the best take counts.
        moved: sentences said out of the script's order, with the one said just before each.
        asides: start and end of stretches whose words are not in the script.
        far: words of the script that were heard only too far from the rest of their sentence, with
            other talk between, and where that was.
    """

    words: tuple[tuple[int, int] | None, ...]
    sure: tuple[bool, ...]
    repeated: tuple[int, ...] = ()
    moved: tuple[tuple[int, int | None], ...] = ()
    asides: tuple[tuple[int, int], ...] = ()
    slack: tuple[int, ...] = ()
    openings: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    far: tuple[tuple[int, int], ...] = ()


@dataclass(slots=True)
class _Run:
    """Words ``first`` to ``last`` of the script, said one after the other."""

    first: int
    last: int
    start: int
    stop: int
    matches: list[Match] = field(default_factory=list)


def settle(
    script: Script, heard: Sequence[Heard], voiced: Voiced, length: int, aligner: Aligner | None
) -> Settled:
    """Match what was heard with the script and give every word its time.

    Args:
        script: what should have been said.
        heard: what was heard, in order.
        voiced: tells how much voice there is in a stretch.
        length: of the recording.
        aligner: finds the words once more with the text known; None keeps the times of ``heard``.
    """
    starts = [sentence.first for sentence in script.sentences]
    raw = match(script.words, starts, [one.word for one in heard])
    takes, repeated = _one_take_each(script, _twins(script, _enough(script, raw)))
    kept, far = _near(script, heard, takes)
    if not kept:
        none = (None,) * len(script.words)
        return Settled(none, (False,) * len(script.words), asides=_asides(heard, ()))
    pace = _pace(script, heard, kept)
    placed = {one.script for one in kept}
    runs = _runs(script, heard, kept, voiced, pace, placed)
    _widen(script, runs, voiced, pace, length)
    words: list[tuple[int, int] | None] = [None] * len(script.words)
    sure = [False] * len(script.words)
    slack = [0] * len(script.words)
    by_ear = {one.script: heard[one.heard] for one in kept}
    if aligner is not None:
        _line_up(script, heard, runs, aligner, words, length)
    for place, one in by_ear.items():
        found = words[place]
        if found is None:
            words[place] = (one.start, one.stop)
        sure[place] = found is None or abs(found[0] - one.start) <= _AGREES
        slack[place] = one.slack
    _drop_stretched(script, words, sure, pace)
    if aligner is None:
        _spread(script, heard, runs, words)
    _in_order(runs, words, sure)
    for lone in far:
        # what may be found of it beside the others is in other talk: they are where it ends
        words[lone.script], sure[lone.script] = None, False
    return Settled(
        tuple(words),
        tuple(sure),
        tuple(repeated),
        _moved(script, words),
        _asides(heard, [(run.start, run.stop) for run in runs]),
        tuple(slack),
        far=tuple((one.script, heard[one.heard].start) for one in far),
    )


def _enough(script: Script, matches: Sequence[Match]) -> list[Match]:
    """Without sentences of which too little was heard to believe that they were said."""
    count = [0] * len(script.sentences)
    for one in matches:
        count[script.sentence_of[one.script]] += 1
    out: list[Match] = []
    jumped = False
    for one in matches:
        number = script.sentence_of[one.script]
        size = len(script.sentences[number].words)
        jumped = jumped or one.jumped
        if size < 4 or count[number] >= _FEWEST * size:
            out.append(Match(one.script, one.heard, jumped))
            jumped = False
    return out


def _takes_of(script: Script, matches: Sequence[Match]) -> list[list[Match]]:
    """The matches in takes: a sentence's words in their order, with no jump between them."""
    takes: list[list[Match]] = []
    for one in matches:
        before = takes[-1][-1] if takes else None
        if (
            before is not None
            and not one.jumped
            and one.script > before.script
            and script.sentence_of[one.script] == script.sentence_of[before.script]
        ):
            takes[-1].append(one)
        else:
            takes.append([one])
    return takes


def _twins(script: Script, matches: Sequence[Match]) -> list[Match]:
    """The second take of a sentence that stands word for word elsewhere may be that one's.

    It is where nothing was heard of the other, and of several the one nearest to what was said
    just before.
    """
    takes = _takes_of(script, matches)
    alike: dict[tuple[str, ...], list[int]] = {}
    for number, sentence in enumerate(script.sentences):
        alike.setdefault(sentence.words, []).append(number)
    at = [script.sentence_of[take[0].script] for take in takes]
    count = Counter(at)
    out: list[Match] = []
    for place, take in enumerate(takes):
        number = at[place]
        free = [twin for twin in alike[script.sentences[number].words] if not count[twin]]
        follows = place > 0 and number == at[place - 1] + 1
        if free and count[number] > 1 and not follows:
            reached = at[place - 1] if place else 0
            twin = min(free, key=lambda one: (abs(one - reached), one))
            shift = script.sentences[twin].first - script.sentences[number].first
            take = [
                Match(one.script + shift, one.heard, one.jumped or one is take[0]) for one in take
            ]
            count[number] -= 1
            count[twin] += 1
            at[place] = twin
        out += take
    return out


def _one_take_each(script: Script, matches: Sequence[Match]) -> tuple[list[Match], list[int]]:
    """Of a sentence that was said several times the take that counts: one in the script's order
    before one out of it, then the one with more of its words, then the later one.

    A film's first or last words often say its points once more, among other steps' or behind all of
    them: there the sentence's step is not. One or two words fewer do not speak against the place.
    """
    takes = _takes_of(script, matches)
    of: dict[int, list[int]] = {}
    for place, take in enumerate(takes):
        of.setdefault(script.sentence_of[take[0].script], []).append(place)
    full: list[tuple[int, int, int]] = []
    for number, places in of.items():
        most = max(len(takes[place]) for place in places)
        fewest = max(most - max(_FEWER, round(_FEWER_SHARE * most)), most / 2)
        full += [
            (place, number, len(takes[place])) for place in places if len(takes[place]) >= fewest
        ]
    in_order = {place for place, _, _ in _heaviest_in_order(sorted(full))}
    best = {
        max(places, key=lambda place: (place in in_order, len(takes[place]), place))
        for places in of.values()
    }
    out: list[Match] = []
    jumped = False
    for place, take in enumerate(takes):
        for one in take:
            jumped = jumped or one.jumped
            if place in best:
                out.append(Match(one.script, one.heard, jumped))
                jumped = False
        # what follows a take that does not count did not follow from the one before it
        jumped = jumped or place not in best
    twice = [
        number
        for number, places in of.items()
        if sum(2 * len(takes[place]) >= len(script.sentences[number].words) for place in places) > 1
    ]
    return out, sorted(twice)


def _near(
    script: Script, heard: Sequence[Heard], matches: Sequence[Match]
) -> tuple[list[Match], list[Match]]:
    """The matches without those that stand far from the rest of their sentence, and these.

    They would be lined up where they were heard and be sure, and the sentence begin or end there.
    """
    parts: dict[int, list[list[Match]]] = {}
    for one in matches:
        of = parts.setdefault(script.sentence_of[one.script], [])
        before = of[-1][-1] if of else None
        if (
            before is not None
            and one.heard - before.heard > _TALK
            and heard[one.heard].start - heard[before.heard].stop > _FAR
        ):
            of.append([one])
        elif of:
            of[-1].append(one)
        else:
            of.append([one])
    far: set[Match] = set()
    for of in parts.values():
        # of parts as long as one another the first is kept: the others may be anybody's words
        rest = max(of, key=len)
        far |= {one for part in of for one in part if part is not rest and len(part) <= _FEW}
    out: list[Match] = []
    jumped = False
    for one in matches:
        jumped = jumped or one.jumped
        if one not in far:
            out.append(Match(one.script, one.heard, jumped))
            jumped = False
    return out, [one for one in matches if one in far]


def _pace(script: Script, heard: Sequence[Heard], matches: Sequence[Match]) -> float:
    """Hundredths of a second that a letter takes, from the words that were heard."""
    letters = sum(len(script.words[one.script]) for one in matches)
    spoken = sum(heard[one.heard].stop - heard[one.heard].start for one in matches)
    return max(spoken / letters, 2.0)


def _takes(script: Script, first: int, stop: int, pace: float) -> float:
    return pace * sum(len(word) for word in script.words[first:stop])


def _runs(
    script: Script,
    heard: Sequence[Heard],
    matches: Sequence[Match],
    voiced: Voiced,
    pace: float,
    placed: Set[int],
) -> list[_Run]:
    runs: list[_Run] = []
    for one in matches:
        word = heard[one.heard]
        before = runs[-1].matches[-1] if runs else None
        # words that were heard elsewhere are not looked for here as well
        if (
            before is not None
            and placed.isdisjoint(range(before.script + 1, one.script))
            and _goes_on(script, heard, before, one, voiced, pace)
        ):
            run = runs[-1]
            run.last, run.stop = one.script, word.stop
        else:
            run = _Run(one.script, one.script, word.start, word.stop)
            runs.append(run)
        run.matches.append(one)
    return runs


def _goes_on(
    script: Script, heard: Sequence[Heard], one: Match, other: Match, voiced: Voiced, pace: float
) -> bool:
    """Whether all words from one match to the next were probably said, and no others."""
    if other.jumped or other.script <= one.script:
        return False
    begin, end = heard[one.heard].stop, heard[other.heard].start
    if other.script == one.script + 1:
        return other.heard == one.heard + 1 or end - begin <= _SLIP
    needed = _takes(script, one.script + 1, other.script, pace)
    there = voiced(begin, end)
    return _LEAST * needed <= there <= _MOST * needed + _MORE


def _widen(script: Script, runs: Sequence[_Run], voiced: Voiced, pace: float, length: int) -> None:
    """Take words that were not heard at a run's ends into it where there is time for them."""
    claimed = {place for run in runs for place in range(run.first, run.last + 1)}
    for number, run in enumerate(runs):
        before = runs[number - 1].stop if number else 0
        first = script.sentences[script.sentence_of[run.first]].first
        if first < run.first and not claimed & set(range(first, run.first)):
            needed = _takes(script, first, run.first, pace)
            begin = max(before, run.start - round(2 * needed) - _PAD)
            if voiced(begin, run.start) >= _LEAST * needed:
                claimed |= set(range(first, run.first))
                run.first, run.start = first, begin
        after = runs[number + 1].start if number + 1 < len(runs) else length
        stop = script.sentences[script.sentence_of[run.last]].stop
        if run.last + 1 < stop and not claimed & set(range(run.last + 1, stop)):
            needed = _takes(script, run.last + 1, stop, pace)
            end = min(after, run.stop + round(2 * needed) + _PAD)
            if voiced(run.stop, end) >= _LEAST * needed:
                claimed |= set(range(run.last + 1, stop))
                run.last, run.stop = stop - 1, end


def _line_up(
    script: Script,
    heard: Sequence[Heard],
    runs: Sequence[_Run],
    aligner: Aligner,
    words: list[tuple[int, int] | None],
    length: int,
) -> None:
    """Fill ``words`` from the second pass; a part that fails leaves the others alone."""
    spans: list[tuple[int, int]] = []
    parts: list[tuple[int, int]] = []
    for number, run in enumerate(runs):
        low = max(runs[number - 1].stop if number else 0, run.start - _PAD)
        high = min(runs[number + 1].start if number + 1 < len(runs) else length, run.stop + _PAD)
        first, begin = run.first, low
        for one, other in pairwise(run.matches):
            clean = other.script == one.script + 1 and other.heard == one.heard + 1
            ends = script.sentence_of[one.script] != script.sentence_of[other.script]
            end = (heard[one.heard].stop + heard[other.heard].start) // 2
            if clean and end - begin >= (_UNIT_SENTENCE if ends else _UNIT):
                spans.append((begin, end))
                parts.append((first, other.script))
                first, begin = other.script, end
        spans.append((begin, high))
        parts.append((first, run.last + 1))
    texts = [tuple(script.words[first:stop]) for first, stop in parts]
    for (first, stop), found in zip(parts, aligner(spans, texts), strict=True):
        for place, word in enumerate(found[: stop - first], first):
            words[place] = (word.start, word.stop)


def _drop_stretched(
    script: Script, words: list[tuple[int, int] | None], sure: Sequence[bool], pace: float
) -> None:
    """A word that was not heard and takes far too long has swallowed something else."""
    for place, word in enumerate(words):
        if word is None or sure[place]:
            continue
        if word[1] - word[0] > _MOST * pace * len(script.words[place]) + _MORE:
            words[place] = None


def _spread(
    script: Script,
    heard: Sequence[Heard],
    runs: Sequence[_Run],
    words: list[tuple[int, int] | None],
) -> None:
    """Words of a run that captions lack, spread over the words that stand there instead of them.

    A sentence's last words stand no later than the caption that it ends in, its first ones no
    earlier than the one that it begins in. A sentence of which captions hold nothing was not said.
    """
    for run in runs:
        for one, other in pairwise(run.matches):
            begin, end = heard[one.heard].stop, heard[other.heard].start
            instead = heard[one.heard + 1 : other.heard]
            ends = script.sentences[script.sentence_of[one.script]].stop
            begins = script.sentences[script.sentence_of[other.script]].first
            if other.script < ends:
                _over(script, range(one.script + 1, other.script), instead, begin, words)
                continue
            tail, head = range(one.script + 1, ends), range(begins, other.script)
            share = _takes(script, tail.start, tail.stop, 1.0)
            share /= max(1.0, share + _takes(script, head.start, head.stop, 1.0))
            middle = round(share * len(instead))
            _over(script, tail, _touching(instead[:middle], begin), begin, words)
            before = _touching(instead[middle:][::-1], end)[::-1]
            _over(script, head, before, before[0].start if before else end, words)


def _touching(words: Sequence[Heard], at: int) -> list[Heard]:
    """The words that follow on one another from a moment on, in either direction."""
    out: list[Heard] = []
    for word in words:
        near = min((word.start, word.stop), key=lambda end: abs(end - at))
        if abs(near - at) > _TOUCHES:
            break
        out.append(word)
        at = word.stop if near == word.start else word.start
    return out


def _over(
    script: Script,
    places: range,
    instead: Sequence[Heard],
    begin: int,
    words: list[tuple[int, int] | None],
) -> None:
    """Words of the script in the time of others, by their letters; where there are none, in no
    time from ``begin`` on."""
    whole = _takes(script, places.start, places.stop, 1.0)
    spans = [(word.start, word.stop) for word in instead]
    room = sum(stop - start for start, stop in spans)
    spent = 0.0
    for place in places:
        first = _inside(spans, room * spent / whole, begin)
        spent += len(script.words[place])
        last = _inside(spans, room * spent / whole, begin)
        # a word that goes on in the next caption is not as long as the pause between the two
        limit = next((stop for start, stop in spans if start <= first < stop), last)
        words[place] = (first, min(last, limit))


def _inside(spans: Sequence[tuple[int, int]], along: float, begin: int) -> int:
    """The moment so far along stretches of time, counted over them alone."""
    at = begin
    for start, stop in spans:
        if along <= stop - start:
            return start + round(along)
        along -= stop - start
        at = stop
    return at


def _in_order(runs: Sequence[_Run], words: list[tuple[int, int] | None], sure: list[bool]) -> None:
    """Within a run no word begins before the one in front of it."""
    for run in runs:
        latest = -1
        for place in range(run.first, run.last + 1):
            word = words[place]
            if word is None:
                continue
            if word[0] < latest:
                words[place] = None
                sure[place] = False
            else:
                latest = word[0]


def _heaviest_in_order(said: Sequence[tuple[int, int, int]]) -> list[tuple[int, int, int]]:
    """Of what was said, in time: when, sentence, and words, all that keeps the script's order.

    What has most words in all; of equals what ends with the later ones.
    """
    # heaviest ascending subsequence; a few thousand sentences at most
    best: list[int] = []
    back: list[int] = []
    for place, (_, number, weight) in enumerate(said):
        options = [(best[other], other) for other in range(place) if said[other][1] < number]
        most, source = max(options, default=(0, -1))
        best.append(most + weight)
        back.append(source)
    keeps: list[tuple[int, int, int]] = []
    place = max(range(len(best)), key=lambda one: (best[one], one), default=-1)
    while place >= 0:
        keeps.append(said[place])
        place = back[place]
    return keeps[::-1]


def _moved(
    script: Script, words: Sequence[tuple[int, int] | None]
) -> tuple[tuple[int, int | None], ...]:
    """Sentences outside the longest stretch that keeps the script's order, counted in words."""
    said: list[tuple[int, int, int]] = []
    for number, sentence in enumerate(script.sentences):
        times = [word[0] for word in words[sentence.first : sentence.stop] if word is not None]
        if times:
            said.append((min(times), number, len(times)))
    said.sort()
    keeps = {number for _, number, _ in _heaviest_in_order(said)}
    return tuple(
        (number, said[place - 1][1] if place else None)
        for place, (_, number, _) in enumerate(said)
        if number not in keeps
    )


def _asides(
    heard: Sequence[Heard], taken: Sequence[tuple[int, int]]
) -> tuple[tuple[int, int], ...]:
    """Stretches of heard words outside every run, long enough to be told."""
    spans = sorted(taken)
    stops = [stop for _, stop in spans]
    out: list[tuple[int, int]] = []
    group: list[Heard] = []
    slot = -1
    for one in [*heard, None]:
        here = -2
        if one is not None:
            here = bisect_left(stops, one.stop)
            if here < len(spans) and spans[here][0] < one.stop:
                continue
        far = bool(group) and one is not None and one.start - group[-1].stop > 200
        if group and (here != slot or far):
            if len(group) >= _ASIDE_WORDS and group[-1].stop - group[0].start >= _ASIDE:
                out.append((group[0].start, group[-1].stop))
            group = []
        if one is not None:
            group.append(one)
            slot = here
    return tuple(out)
