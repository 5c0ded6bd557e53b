"""Captions from the script: phrases at the times of their words, or spread over their step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate, pairwise

from studio.episode.phrases import (
    LINE_CHARACTERS,
    Phrase,
    bond,
    by_sentence,
    is_sentence_end,
    line_break,
    parts_a_figure,
    phrases_of,
    tokens_of,
)
from studio.episode.records import Cue, LateCaption, TimedStep
from studio.episode.stamps import stamp
from studio.episode.times import END_SLACK_MS, said_words, words_by_token
from studio.measure.trace import plain

SHORTEST_MS = 833
LONGEST_MS = 7_000
"""Five sixths of a second to seven seconds (streaming hosts' style guides, read in a secondary
text)."""

GAP_MS = 80
"""Two pictures' pause between captions, so that a change is seen (common practice, no source)."""

HANG_MS = 300
"""A caption that follows the voice stays so long after its last word (ours)."""

REST_MS = 500
"""A rest after a sentence from which on the next one gets a caption of its own (ours)."""

LONG_REST_MS = 2_000
"""A rest inside a sentence from which on what follows gets a caption of its own (ours): words that
have been read long ago are of no use to anybody, and those to come spoil what is shown."""

_UNHEARD_MS = 350
"""A word takes about so long where it was not heard (ours, by 170 words a minute)."""

_REST_FOR_BOND = 10
"""So many milliseconds of rest make up for a break's worth of one character (ours)."""


def speaking_ms(text: str, words_per_minute: int) -> int:
    """How long a text takes to say, in milliseconds; figures count by the words they are said in.

    >>> speaking_ms("one two three four five six seven", 140)
    3000
    """
    return round(len(said_words(text)) * 60_000 / words_per_minute)


def _overlong(step: TimedStep) -> list[str]:
    """A note for each word that no line holds."""
    words = dict.fromkeys(plain(token) for token in tokens_of(step.say))
    return [
        f"step {step.id}: “{word}” is longer than a caption's line of {LINE_CHARACTERS} "
        f"characters ({len(word)}); it stands on a line of its own: write it in shorter words"
        for word in words
        if len(word) > LINE_CHARACTERS
    ]


FASTEST_READ = 20
"""Characters a second that a caption may ask its reader for before a note says so (the upper end of
streaming hosts' style guides for adults, from memory)."""


def captions(
    steps: Sequence[TimedStep],
    words_per_minute: int,
    words: Mapping[str, Sequence[tuple[int, int] | None]] | None = None,
) -> tuple[tuple[Cue, ...], tuple[str, ...], tuple[LateCaption, ...]]:
    """Cues for every step's narration, in order and without overlap, notes on the timing, and
    what the film leaves too little time or none; the notes tell that too.

    Where nothing pauses, lines and captions break before a word that opens a phrase and not after
    it, and never inside a figure with its unit. A word longer than a line is told.

    Where a step's words were timed, its captions follow the voice; of one that was listened for and
    not heard there are none. Else they start with the step
    and run at the turner's own rate; where the marks leave less time than that, they are pressed
    into it and a note says so. One that would stand too short to be seen or to be read stays
    longer. One too short to be seen is else joined with the one beside it, or starts earlier in
    that one's time, the first of these that there is room for; what is left is told.

    Args:
        steps: with times, in order.
        words_per_minute: the turner's rate of speech.
        words: start and end of each word as said, in milliseconds, by step; None for one that
            was not said or not heard.
    """
    cues: list[Cue] = []
    notes: list[str] = []
    late: list[LateCaption] = []
    hurried: set[str] = set()
    beyond = max((step.end_ms for step in steps if step.end_ms is not None), default=None)
    for step in steps:
        notes += _overlong(step)
        found = (words or {}).get(step.id, ())
        if found and plain(step.say).strip() and not any(found):
            notes.append(f"step {step.id}: no captions: nothing of its narration was heard")
            continue
        by_voice = _by_voice(step, found, words_per_minute) if any(found) else None
        if by_voice is not None:
            cues += by_voice[0]
            notes += by_voice[1]
            late += _beyond_end(step, by_voice[0], beyond)
        else:
            if any(found):
                notes.append(
                    f"step {step.id}: its captions are spread evenly: the times file has "
                    f"{len(found)} words of it, and its narration {len(said_words(step.aloud))}; "
                    "run studio time again"
                )
            spread, pressed = _spread(step, words_per_minute)
            cues += spread
            late += pressed
            hurried |= {one.step_id for one in pressed}
    apart, lost = _apart(cues)
    long_enough = _long_enough(apart, steps)
    notes += [one.told for one in late]
    notes += [
        f"no caption for “{_in_line(cue)}”: another one begins at the same moment; leave its step "
        "more time"
        for cue in lost
    ]
    notes += [
        f"the caption “{_in_line(cue)}” stands only {(cue.end_ms - cue.start_ms) / 1000:.1f} s; "
        "leave its step more time"
        for cue in long_enough
        if cue.end_ms - cue.start_ms < SHORTEST_MS
    ]
    # where the marks leave too little time, that is told already
    notes += _too_fast(long_enough, [one for one in steps if one.id not in hurried])
    return long_enough, tuple(notes), tuple(late)


def _in_line(cue: Cue) -> str:
    return " ".join(plain(cue.text).split())


def _read_ms(cue: Cue) -> int:
    """How long a caption takes to read."""
    return -(-len(_in_line(cue)) * 1000 // FASTEST_READ)


def _too_fast(cues: Sequence[Cue], steps: Sequence[TimedStep]) -> list[str]:
    """A note for each step whose captions go too soon to be read."""
    notes = []
    for step in steps:
        fast = [
            len(_in_line(cue)) * 1000 / (cue.end_ms - cue.start_ms)
            for cue in cues
            if _is_in(cue, step) and SHORTEST_MS <= cue.end_ms - cue.start_ms < _read_ms(cue)
        ]
        if fast:
            many = "a caption asks" if len(fast) == 1 else f"{len(fast)} captions ask"
            notes.append(
                f"step {step.id}: {many} for up to {max(fast):.0f} characters a second, and "
                f"viewers read {FASTEST_READ}; say less there, or more slowly"
            )
    return notes


def _beyond_end(step: TimedStep, cues: Sequence[Cue], beyond: int | None) -> list[LateCaption]:
    """Captions by voice whose words the film ends before.

    Marks are written to a second or a tenth, and what hangs on behind the last word says nothing.
    """
    if beyond is None:
        return []
    late = []
    for cue in cues:
        lost = cue.start_ms >= beyond
        said_until = max(cue.start_ms, cue.end_ms - HANG_MS)
        if lost or said_until > beyond + END_SLACK_MS:
            does = "begins" if lost else "is said until"
            at = stamp(cue.start_ms if lost else said_until)
            late.append(
                LateCaption(
                    step_id=step.id,
                    what=f"the caption “{_in_line(cue)}” {does} {'at ' if lost else ''}{at}, and "
                    f"the film ends at {stamp(beyond)}",
                    write="write the master's real length under film: length:, or time the voice "
                    "of that master",
                    is_lost=lost,
                )
            )
    return late


def captions_like(
    steps: Sequence[TimedStep], first: Sequence[TimedStep], cues: Sequence[Cue]
) -> tuple[tuple[Cue, ...], tuple[str, ...]]:
    """Captions in a second language at the times of the first one's, and notes on them.

    Each sentence stands as long as its counterpart. Where a step has another number of sentences,
    its whole narration is spread over the time of the first one's, and a note says so.

    Args:
        steps: in the second language, in order.
        first: the same steps in the first one.
        cues: its captions.
    """
    made: list[Cue] = []
    notes: list[str] = []
    for step, other in zip(steps, first, strict=True):
        own = [one for one in cues if _is_in(one, other)]
        said = by_sentence(tokens_of(step.say))
        if not own or not said:
            continue
        notes += _overlong(step)
        windows = _windows(by_sentence(tokens_of(other.say)), own)
        if len(windows) != len(said):
            if len(said) > 1 or len(windows) > 1:
                notes.append(
                    f"step {step.id}: sentences in this language: {len(said)}, in the first: "
                    f"{len(windows)}; its captions are spread over the whole step: write as many"
                )
            said = [[token for one in said for token in one]]
            windows = [(own[0].start_ms, own[-1].end_ms)]
        for tokens, (start, end) in _together(said, windows, own):
            made += _within(tokens, start, end)
            long = len(plain(" ".join(tokens)))
            if long * 1000 > FASTEST_READ * (end - start):
                notes.append(
                    f"step {step.id}: a caption of {long} characters stands "
                    f"{(end - start) / 1000:.1f} s, too short to be read: shorten it"
                )
    return _apart(made)[0], tuple(notes)


def _is_in(cue: Cue, step: TimedStep) -> bool:
    """Whether a caption is of a step: it begins within it."""
    start, end = step.start_ms, step.end_ms
    return start is not None and end is not None and start <= cue.start_ms < end


def sentence_times(
    step: TimedStep, cues: Sequence[Cue], heard: Sequence[tuple[int, int] | None] = ()
) -> tuple[tuple[int, int], ...]:
    """When each sentence of a step is said, from and to, in milliseconds of the film.

    Args:
        step: with times.
        cues: all captions.
        heard: when its sentences were said in the recording, None for one that was not heard; they
            count where all were, and are as many as today.

    Returns:
        One pair a sentence; nothing where captions and narration do not tell.
    """
    said = by_sentence(tokens_of(step.say))
    known = [one for one in heard if one is not None]
    if len(known) == len(heard) == len(said):
        return tuple(known)
    own = [one for one in cues if _is_in(one, step)]
    windows = _windows(said, own) if own else []
    return tuple(windows) if len(windows) == len(said) else ()


def _windows(said: Sequence[Sequence[str]], cues: Sequence[Cue]) -> list[tuple[int, int]]:
    """When each sentence of the first language begins and ends, from its captions.

    A sentence that begins within a caption begins there with the share of the words before it.
    Sentences may be said in any order. One window for all where captions do not say the narration
    word by word.
    """
    begins: list[int] = []
    ends: list[int] = []
    shown: list[str] = []
    for cue in cues:
        tokens = tokens_of(cue.text)
        counts = [len(plain(token).split()) for token in tokens]
        whole, before = max(1, sum(counts)), 0
        for token, count in zip(tokens, counts, strict=True):
            begins.append(cue.start_ms + (cue.end_ms - cue.start_ms) * before // whole)
            before += count
            ends.append(cue.start_ms + (cue.end_ms - cue.start_ms) * before // whole)
            shown.append(token)
    places: dict[tuple[str, ...], list[int]] = {}
    at = 0
    for one in by_sentence(shown):
        places.setdefault(tuple(one), []).append(at)
        at += len(one)
    if sorted(by_sentence(shown)) != sorted(map(list, said)):
        return [(cues[0].start_ms, cues[-1].end_ms)]
    out = []
    for sentence in said:
        at = places[tuple(sentence)].pop(0)
        out.append((begins[at], ends[at + len(sentence) - 1]))
    return out


def _together(
    said: Sequence[list[str]], windows: Sequence[tuple[int, int]], cues: Sequence[Cue]
) -> list[tuple[list[str], tuple[int, int]]]:
    """Sentences with their times, those joined that one caption of the first language says.

    Only where one holds them here too: a short sentence alone would be gone before it is read.
    """
    out: list[tuple[list[str], tuple[int, int]]] = []
    for tokens, (start, end) in zip(said, windows, strict=True):
        if out:
            before, (since, _) = out[-1]
            same = any(cue.start_ms <= since and start < cue.end_ms for cue in cues)
            both = [*before, *tokens]
            follows = since <= start and end - since <= LONGEST_MS
            if same and follows and line_break(both) is not None:
                out[-1] = (both, (since, end))
                continue
        out.append((tokens, (start, end)))
    return out


def _within(tokens: Sequence[str], start_ms: int, end_ms: int) -> list[Cue]:
    """A sentence's captions, spread over its time by their words."""
    words = sum(len(plain(token).split()) for token in tokens)
    window = max(1, end_ms - start_ms)
    phrases = phrases_of(" ".join(tokens), max(1, words * LONGEST_MS // window))
    said, out = 0, []
    for phrase in phrases:
        start = start_ms + window * said // words
        said += phrase.words
        end = min(start_ms + window * said // words, start + LONGEST_MS)
        gap = GAP_MS if said < words and end - start - GAP_MS >= SHORTEST_MS else 0
        out.append(Cue(start_ms=start, end_ms=end - gap, text=phrase.text))
    return out


def _by_voice(
    step: TimedStep, words: Sequence[tuple[int, int] | None], words_per_minute: int
) -> tuple[list[Cue], list[str]] | None:
    """Captions at the times of their words; None where the words are not those of the step."""
    tokens = tokens_of(step.say)
    # a figure has its mark in both, and is one token whether in digits or in words
    counts = words_by_token(step.aloud)
    if len(counts) != len(tokens) or sum(counts) != len(words):
        return None
    known = [word for word in words if word is not None]
    spoken = sum(end - start for start, end in known)
    # a slow voice gets shorter captions, or they would stand longer than allowed
    own = len(known) * 60_000 // max(1, spoken)
    most = LONGEST_MS * min(words_per_minute, own) // 60_000
    phrases = [
        phrase
        for block in _between_rests(tokens, counts, words)
        for phrase in phrases_of(" ".join(block), most)
    ]
    cues: list[Cue] = []
    notes: list[str] = []
    token = word = 0
    for phrase in phrases:
        of_tokens = counts[token : token + len(phrase.tokens)]
        token += len(phrase.tokens)
        times = words[word : word + sum(of_tokens)]
        word += sum(of_tokens)
        if not any(times):
            missing = plain(" ".join(phrase.tokens))
            notes.append(f"step {step.id}: no caption for “{missing}”: it was not heard")
            continue
        for part, said in _short_enough(phrase, of_tokens, times):
            start, end = min(one[0] for one in said), max(one[1] for one in said) + HANG_MS
            end = min(max(end, start + SHORTEST_MS), start + LONGEST_MS)
            cues.append(Cue(start_ms=start, end_ms=end, text=part.text))
    return cues, notes


def _short_enough(
    phrase: Phrase, counts: Sequence[int], words: Sequence[tuple[int, int] | None]
) -> list[tuple[Phrase, list[tuple[int, int]]]]:
    """A caption's tokens with their words' times, parted where it would stand too long.

    It is parted at a long rest, so that each word is read while it is said, and where a phrase ends
    rather than within one: a word that was not heard leaves no rest where it stood.
    """
    said = [one for one in words if one is not None]
    if max(one[1] for one in said) - min(one[0] for one in said) <= LONGEST_MS:
        return [(phrase, said)]
    rests: list[tuple[float, int, int]] = []
    at = 0
    for place, count in enumerate(counts[:-1], 1):
        at += count
        before = [number for number in range(at) if words[number] is not None]
        after = [number for number in range(at, len(words)) if words[number] is not None]
        if before and after and not parts_a_figure(phrase.tokens, place):
            heard = [one for one in words[: before[-1] + 1] if one is not None]
            following = [one for one in words[after[0] :] if one is not None]
            rest = min(one[0] for one in following) - max(one[1] for one in heard)
            rest -= _UNHEARD_MS * (after[0] - before[-1] - 1)
            rests.append((rest - _REST_FOR_BOND * bond(phrase.tokens, place), place, at))
    if not rests:
        # one word alone takes longer than a caption may stand, or a figure with its unit
        return [(phrase, said)]
    _, place, at = max(rests)
    return [
        *_short_enough(Phrase(phrase.tokens[:place]), counts[:place], words[:at]),
        *_short_enough(Phrase(phrase.tokens[place:]), counts[place:], words[at:]),
    ]


def _between_rests(
    tokens: Sequence[str], counts: Sequence[int], words: Sequence[tuple[int, int] | None]
) -> list[list[str]]:
    """The tokens parted where the voice rests at a sentence's end, or long inside one.

    Parted they are too where the next word was said earlier, and where another sentence of the step
    was said before the next one: each would else be read while another one is said.
    """
    order = sorted((word[0], place) for place, word in enumerate(words) if word is not None)
    spoken_as = {place: number for number, (_, place) in enumerate(order)}
    blocks: list[list[str]] = [[]]
    word = 0
    spoken: int | None = None
    latest: int | None = None
    for place, (token, count) in enumerate(zip(tokens, counts, strict=True)):
        first = next((n for n in range(word, word + count) if n in spoken_as), None)
        opens = words[first] if first is not None else None
        long = spoken is not None and opens is not None and opens[0] - spoken >= LONG_REST_MS
        steps_on = 1
        if first is not None and latest is not None:
            steps_on = spoken_as[first] - spoken_as[latest]
        turns = steps_on < 1 or (steps_on > 1 and is_sentence_end(tokens, place))
        if (long or turns) and not parts_a_figure(tokens, place):
            blocks.append([])
        blocks[-1].append(token)
        latest = next((n for n in reversed(range(word, word + count)) if n in spoken_as), latest)
        word += count
        before = words[word - 1] if 0 < word <= len(words) else None
        after = words[word] if word < len(words) else None
        rests = before is None or after is None or after[0] - before[1] >= REST_MS
        spoken = before[1] if before is not None else None
        if rests and is_sentence_end(tokens, place + 1):
            blocks.append([])
    return [block for block in blocks if block]


def _apart(cues: Sequence[Cue]) -> tuple[tuple[Cue, ...], tuple[Cue, ...]]:
    """In the order of time, each ended before the next begins; and those with no time at all.

    Of two that begin at the same moment one is made of both where they go on two lines.
    """
    ordered: list[Cue] = []
    lost: list[Cue] = []
    for cue in sorted(cues, key=lambda cue: cue.start_ms):
        if ordered and cue.start_ms <= ordered[-1].start_ms:
            both = _joined(ordered[-1], replace(cue, end_ms=max(cue.end_ms, ordered[-1].end_ms)))
            if both is not None:
                ordered[-1] = both
                continue
        ordered.append(cue)
    out: list[Cue] = []
    for place, cue in enumerate(ordered):
        end = cue.end_ms
        if place + 1 < len(ordered) and end > ordered[place + 1].start_ms:
            following = ordered[place + 1].start_ms
            # the pause is left out where it would make a caption too short
            gap = GAP_MS if following - cue.start_ms - GAP_MS >= SHORTEST_MS else 0
            end = following - gap
        if end > cue.start_ms:
            out.append(replace(cue, end_ms=end))
        else:
            lost.append(cue)
    return tuple(out), tuple(lost)


def _long_enough(cues: Sequence[Cue], steps: Sequence[TimedStep]) -> tuple[Cue, ...]:
    """Cues that stand as long as the rule wants, as far as that can be had."""
    ends = [step.end_ms for step in steps if step.end_ms is not None]
    starts = sorted(step.start_ms for step in steps if step.start_ms is not None)
    beyond = max(ends, default=None)
    out = list(cues)
    if beyond is not None:
        # a voice may go on beyond the film, which shows nothing there
        out = [
            replace(cue, end_ms=min(cue.end_ms, beyond)) for cue in cues if cue.start_ms < beyond
        ]
    place = 0
    while place < len(out):
        cue = out[place]
        after = out[place + 1].start_ms if place + 1 < len(out) else beyond
        room = max(cue.end_ms, min(cue.start_ms + SHORTEST_MS, after or cue.end_ms))
        # what has not been read yet stays into free time, with the pause before the next one
        read = min(cue.start_ms + min(_read_ms(cue), LONGEST_MS), (after or 0) - GAP_MS)
        cue = out[place] = replace(cue, end_ms=max(room, read))
        if cue.end_ms - cue.start_ms >= SHORTEST_MS:
            place += 1
            continue
        pairs = [pair for pair in (place - 1, place) if 0 <= pair < len(out) - 1]
        joined = [(pair, both) for pair in pairs if (both := _joined(*out[pair : pair + 2]))]
        if joined:
            # rather with one of its own step, else with the nearer one
            pair, both = min(
                joined,
                key=lambda one: (
                    any(
                        out[one[0]].start_ms < start <= out[one[0] + 1].start_ms for start in starts
                    ),
                    out[one[0] + 1].start_ms - out[one[0]].end_ms,
                ),
            )
            out[pair : pair + 2] = [both]
            place = max(0, pair - 1)
            continue
        if place:
            before = out[place - 1]
            start = max(before.start_ms + SHORTEST_MS, cue.end_ms - SHORTEST_MS)
            if start < cue.start_ms:
                out[place - 1] = replace(before, end_ms=min(before.end_ms, start))
                out[place] = replace(cue, start_ms=start)
        place += 1
    return tuple(out)


def _joined(one: Cue, other: Cue) -> Cue | None:
    """Two cues as one, None where that does not go on two lines or stands too long."""
    tokens = tokens_of(f"{one.text} {other.text}")
    if other.end_ms - one.start_ms > LONGEST_MS or line_break(tokens) is None:
        return None
    return Cue(start_ms=one.start_ms, end_ms=other.end_ms, text=Phrase(tuple(tokens)).text)


def _lengths(phrases: Sequence[Phrase], needed: int, window: int) -> list[int]:
    """Milliseconds for each caption: its words' share of what all need, none too short to be read
    where there is time for that, else none too short to be seen.

    What is wanting for that the longer ones give.
    """
    for leasts in ([_least_ms(phrase) for phrase in phrases], [SHORTEST_MS] * len(phrases)):
        least = sum(leasts)
        if least <= window:
            break
    spoken = min(max(needed, least), window)
    words = sum(phrase.words for phrase in phrases)
    said = [0, *accumulate(phrase.words for phrase in phrases)]
    even = [spoken * after // words - spoken * before // words for before, after in pairwise(said)]
    if least > window:
        return even
    lengths = [max(own, one) for own, one in zip(leasts, even, strict=True)]
    whole = sum(lengths)
    if whole > window:
        kept = Fraction(window - least, whole - least)
        lengths = [own + int((one - own) * kept) for own, one in zip(leasts, lengths, strict=True)]
    return lengths


def _least_ms(phrase: Phrase) -> int:
    """The least time in which a caption is seen and read, with the pause behind it."""
    read = _read_ms(Cue(start_ms=0, end_ms=0, text=" ".join(phrase.tokens)))
    return max(SHORTEST_MS, min(read + GAP_MS, LONGEST_MS))


def _spread(step: TimedStep, words_per_minute: int) -> tuple[list[Cue], list[LateCaption]]:
    """Captions of a step whose words have no times, spread evenly from its start on; and whether
    its narration takes longer than its marks leave."""
    cues: list[Cue] = []
    late: list[LateCaption] = []
    phrases = phrases_of(step.say, LONGEST_MS * words_per_minute // 60_000)
    if not phrases:
        return cues, late
    assert step.start_ms is not None
    assert step.end_ms is not None
    needed = speaking_ms(step.say, words_per_minute)
    window = step.end_ms - step.start_ms
    if needed > window:
        late.append(
            LateCaption(
                step_id=step.id,
                what=f"its narration takes {needed / 1000:.1f} s at {words_per_minute} words a "
                f"minute, its marks leave {window / 1000:.1f} s",
                write="say less there, or leave the step more time",
                is_lost=False,
            )
        )
    start = end = step.start_ms
    for phrase, length in zip(phrases, _lengths(phrases, needed, window), strict=True):
        start, end = end, end + length
        # the pause is left out where it would make a caption too short
        gap = GAP_MS if end - start - GAP_MS >= SHORTEST_MS else 0
        shown = min(end - gap, start + LONGEST_MS)
        cues.append(Cue(start_ms=start, end_ms=shown, text=phrase.text))
    return cues, late
