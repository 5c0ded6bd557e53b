"""Captions keep every word, their order, their lines and their time."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.episode import captions as caption_module
from studio.episode.captions import (
    FASTEST_READ,
    GAP_MS,
    HANG_MS,
    LONGEST_MS,
    SHORTEST_MS,
    captions,
    speaking_ms,
)
from studio.episode.phrases import LINE_CHARACTERS, LINES, Phrase, phrases_of, tokens_of
from studio.episode.records import Cue, Episode, TimedStep
from studio.episode.times import said_words
from studio.language import language_of, speaking
from studio.measure.trace import mark, plain


def step(say: str, start: int, end: int, number: int = 1) -> TimedStep:
    return TimedStep(
        id=f"step-{number}",
        number=number,
        title="A step",
        tools=(),
        do="",
        say=say,
        shows=(),
        cautions=(),
        start_ms=start,
        end_ms=end,
    )


WORDS = st.text("abcdefghij", min_size=1, max_size=14)
ENDS = st.sampled_from(["", "", "", ",", ".", "!", ";"])
SAYING = st.lists(
    st.one_of(
        st.tuples(WORDS, ENDS).map("".join),
        st.just(mark("sphere.set_in", "2 23/64 in") + ","),
        st.just(mark("index.marks", "12")),
    ),
    min_size=1,
    max_size=60,
)


@given(SAYING, st.integers(500, 120_000), st.integers(60, 260))
def test_no_word_is_lost_and_nothing_overlaps(words: list[str], window: int, rate: int) -> None:
    say = " ".join(words)
    cues, *_ = captions([step(say, 1000, 1000 + window)], rate)
    assert " ".join(plain(cue.text) for cue in cues).split() == plain(say).split()
    for cue in cues:
        assert 1000 <= cue.start_ms < cue.end_ms <= 1000 + window
        lines = plain(cue.text).split("\n")
        assert len(lines) <= LINES
        assert all(len(line) <= LINE_CHARACTERS for line in lines)
    for one, other in pairwise(cues):
        assert one.end_ms <= other.start_ms


@given(SAYING, st.integers(60, 260))
def test_with_time_enough_no_caption_stands_longer_than_seven_seconds(
    words: list[str], rate: int
) -> None:
    say = " ".join(words)
    cues, notes, _ = captions([step(say, 0, 10_000_000)], rate)
    assert not notes
    assert all(cue.end_ms - cue.start_ms <= LONGEST_MS for cue in cues)
    # each long enough to be read, which the voice may not leave it
    assert all(reading(cue) <= FASTEST_READ for cue in cues)


def reading(cue: Cue) -> float:
    """Characters a second that a caption asks its reader for."""
    return len(" ".join(plain(cue.text).split())) * 1000 / (cue.end_ms - cue.start_ms)


def test_a_figure_keeps_its_unit_on_its_line() -> None:
    say = "Set the dividers to a length of just about " + mark("sphere.set_in", "17.5 mm") + " now"
    (cue,) = captions([step(say, 0, 20_000)], 140)[0]
    assert any("17.5 mm" in line for line in plain(cue.text).split("\n"))


def test_words_that_do_not_fit_their_marks_are_told() -> None:
    say = " ".join(["word"] * 70)
    _, notes, _ = captions([step(say, 0, 10_000)], 140)
    assert notes == (
        "step step-1: its narration takes 30.0 s at 140 words a minute, its marks leave 10.0 s; "
        "say less there, or leave the step more time",
    )


def test_the_turners_own_rate_is_used() -> None:
    assert speaking_ms("one two three four five six seven", 70) == 6000


def test_the_demo_reads_at_the_turners_rate(episode: Episode) -> None:
    assert not episode.notes
    for cue in episode.cues:
        words = len(plain(cue.text).split())
        assert words / (cue.end_ms - cue.start_ms) * 60_000 <= 180


OPENING = tuple(
    f" {word}"
    for word in (
        *("and", "or", "but", "then", "so", "that", "which", "until", "from", "with", "in", "on"),
        *("at", "to", "of", "by", "for", "the", "a", "an", "this"),
    )
)
LONG = [
    "Now we turn the outside of the wood until it is round and smooth and nice to hold in the hand",
    "Here I go on talking without any pause for a breath or a comma anywhere in this very long "
    "sentence that never seems to come to the end of what it wants to say about the piece",
    "Cut from the rim to the middle of the bowl with the bevel on the wood and then stop at the "
    "line which you drew with a pencil so that the wall stays even from the rim to the foot",
    "Slowly roll the edge of the tool over until the bead is round on both of its sides and then "
    "lift the handle a little to finish in the corner by the line.",
]


@pytest.mark.parametrize("say", LONG)
@pytest.mark.parametrize("rate", [90, 140, 180])
def test_without_punctuation_nothing_breaks_after_a_word_that_opens_a_phrase(
    say: str, rate: int
) -> None:
    cues, *_ = captions([step(say, 0, 60_000)], rate)
    lines = [line for cue in cues for line in cue.text.split("\n")]
    assert " ".join(lines) == say
    assert len(lines) > 2
    assert not [line for line in lines[:-1] if f" {line}".endswith(OPENING)]
    assert all(len(line) <= LINE_CHARACTERS for line in lines)
    assert all(len(cue.text.split("\n")) <= LINES for cue in cues)


def test_a_break_is_rather_before_a_word_that_opens_a_phrase() -> None:
    say = "Turn the big end of it slowly round and then polish"
    assert captions([step(say, 0, 20_000)], 140)[0][0].text == (
        "Turn the big end of it slowly round\nand then polish"
    )


def test_a_number_keeps_its_unit_without_a_mark() -> None:
    say = "Set both dividers carefully across 25 millimetres measured along one side"
    for rate in (60, 100, 140):
        cues, *_ = captions([step(say, 0, 30_000)], rate)
        lines = [line for cue in cues for line in cue.text.split("\n")]
        assert len(lines) > 1
        assert any("25 millimetres" in line for line in lines)


def test_a_marked_number_keeps_what_it_counts() -> None:
    say = "Walk round the whole of it and set off " + mark("index.marks", "12") + " pencil marks"
    for rate in (50, 60, 90, 140):
        cues, *_ = captions([step(say, 0, 30_000)], rate)
        lines = [line for cue in cues for line in plain(cue.text).split("\n")]
        assert any("12 pencil" in line for line in lines)


@pytest.mark.parametrize(
    ("say", "kept"),
    [
        ("Round it over with the gouge, and turn at not more than 800 rpm.", "not more than"),
        ("Hollow it with light cuts until the wall is no thinner than 3/16 in.", "no thinner than"),
        ("Take all the papers up to CAMI 320 and then a new CAMI 400 by hand.", "CAMI 400"),
    ],
)
def test_what_limits_a_figure_or_names_its_scale_stays_with_it(say: str, kept: str) -> None:
    for rate in range(50, 200, 5):
        cues, *_ = captions([step(say, 0, 60_000)], rate)
        lines = [line for cue in cues for line in cue.text.split("\n")]
        assert any(kept in line for line in lines), lines


@pytest.mark.parametrize("timed", [False, True])
def test_a_word_longer_than_a_line_is_told(timed: bool) -> None:
    word = "p" * 43
    say = f"Look at {word} here and {'q' * 42} there."
    found = {"step-1": [(2000 * n, 2000 * n + 500) for n in range(7)]} if timed else None
    cues, notes, _ = captions([replace(step(say, 0, 30_000), aloud=say)], 140, found)
    assert word in "\n".join(cue.text for cue in cues).split("\n")
    assert notes == (
        f"step step-1: “{word}” is longer than a caption's line of 42 characters (43); "
        "it stands on a line of its own: write it in shorter words",
    )


TALK = (
    "Set the dividers and mark in from every corner, along the length and on both end faces. "
    "Cut. Then do it again with the other mark, slowly, and look at it from all sides before "
    "the next cut is made."
)


@given(
    pauses=st.lists(st.sampled_from([0, 0, 0, 200, 900, 1900, 2500, 6000, 20_000]), min_size=60),
    lengths=st.lists(st.sampled_from([90, 250, 600, 1500]), min_size=60),
    unheard=st.sets(st.integers(0, 36), max_size=5),
)
def test_every_word_is_in_a_caption_while_it_is_said(
    pauses: list[int], lengths: list[int], unheard: set[int]
) -> None:
    tokens = TALK.split()
    at, words = 1000, []
    for number, _ in enumerate(tokens):
        at += pauses[number]
        words.append(None if number in unheard else (at, at + lengths[number]))
        at += lengths[number]
    one = replace(step(TALK, 1000, at + 1000), aloud=TALK)
    cues, *_ = captions([one], 140, {one.id: words})
    shown = [(cue, word) for cue in cues for word in cue.text.split()]
    place = 0
    for token, word in zip(tokens, words, strict=True):
        # captions hold the words in their order; those of a part that nobody heard are left out
        found = next((n for n in range(place, len(shown)) if shown[n][1] == token), None)
        if found is None:
            assert word is None
            continue
        place = found + 1
        if word is not None:
            assert shown[found][0].start_ms <= word[0]
            assert word[0] < shown[found][0].end_ms
            # two captions that follow at once keep their pause, in which a word may end
            assert word[1] <= shown[found][0].end_ms + GAP_MS
    for cue, following in pairwise(cues):
        assert cue.end_ms <= following.start_ms
        assert cue.end_ms - cue.start_ms <= LONGEST_MS


def test_words_after_a_long_pause_inside_a_sentence_come_with_the_voice() -> None:
    """A turner stops in the middle to make the cut."""
    text = "Now bring the gouge round and let it cut."
    words = [(1000 + 300 * n, 1250 + 300 * n) for n in range(5)]
    words += [(12_000 + 300 * n, 12_250 + 300 * n) for n in range(4)]
    one = replace(step(text, 0, 20_000), aloud=text)
    cues, notes, _ = captions([one], 140, {one.id: words})
    assert [(cue.start_ms, cue.text) for cue in cues] == [
        (1000, "Now bring the gouge round"),
        (12_000, "and let it cut."),
    ]
    assert not notes


def shown(cues: tuple[Cue, ...]) -> list[tuple[str, int, int]]:
    return [(" ".join(cue.text.split()), cue.start_ms, cue.end_ms) for cue in cues]


def test_a_caption_in_a_tiny_last_step_is_joined_with_the_one_before_it() -> None:
    steps = [step("Turn it round.", 0, 4000), step("Hang it.", 4000, 4500, 2)]
    cues, *_ = captions(steps, 140)
    assert shown(cues) == [("Turn it round. Hang it.", 0, 4500)]


def test_a_voice_that_ends_with_the_film_is_seen_long_enough() -> None:
    """The last words begin half a second before the film ends."""
    steps = [
        replace(step("Turn it round.", 0, 4000), aloud="Turn it round."),
        replace(step("Hang it.", 4000, 4500, 2), aloud="Hang it."),
    ]
    words = {
        "step-1": [(500, 800), (800, 1000), (1000, 1400)],
        "step-2": [(4000, 4200), (4200, 4480)],
    }
    cues, notes, _ = captions(steps, 140, words)
    assert shown(cues) == [("Turn it round. Hang it.", 500, 4500)]
    assert notes == ()


LONG = "Bring the long gouge round to the far side of the ball and let it cut there slowly now."


def test_where_both_do_not_go_on_two_lines_the_one_before_gives_time() -> None:
    steps = [
        step(LONG, 0, 6900),
        step("Hang it from the wire in the window over there.", 6900, 7400, 2),
    ]
    cues, notes, _ = captions(steps, 170)
    assert len(cues) >= 2
    assert all(cue.end_ms - cue.start_ms >= SHORTEST_MS for cue in cues)
    assert cues[-1].end_ms == 7400
    assert all(one.end_ms <= other.start_ms for one, other in pairwise(cues))
    assert [note for note in notes if "stands only" in note] == []


def test_a_caption_that_nothing_helps_is_told() -> None:
    cues, notes, _ = captions([step(LONG, 0, 500)], 140)
    assert all(cue.end_ms - cue.start_ms < SHORTEST_MS for cue in cues)
    assert [note for note in notes if "stands only 0.5 s" in note or "stands only 0.2 s" in note]


@given(
    st.lists(st.tuples(SAYING, st.integers(300, 9_000)), min_size=1, max_size=5),
    st.integers(90, 220),
)
def test_no_caption_stands_too_short_without_a_word(
    parts: list[tuple[list[str], int]], rate: int
) -> None:
    steps, at = [], 0
    for number, (words, window) in enumerate(parts, 1):
        steps.append(step(" ".join(words), at, at + window, number))
        at += window
    cues, notes, _ = captions(steps, rate)
    said = " ".join(plain(one.say) for one in steps)
    assert " ".join(plain(cue.text) for cue in cues).split() == said.split()
    short = [cue for cue in cues if cue.end_ms - cue.start_ms < SHORTEST_MS]
    assert len([note for note in notes if "stands only" in note]) == len(short)
    assert all(one.end_ms <= other.start_ms for one, other in pairwise(cues))
    for cue in short:
        place = cues.index(cue)
        for one, other in pairwise(cues[max(0, place - 1) : place + 2]):
            both = " ".join(plain(f"{one.text} {other.text}").split())
            assert len(both) > LINE_CHARACTERS or other.end_ms - one.start_ms > LONGEST_MS


def by_voice(
    said: list[tuple[str, list[tuple[int, int]]]], end: int
) -> tuple[list[TimedStep], dict[str, list[tuple[int, int]]]]:
    """Steps whose words have times; each begins with its first word."""
    starts = [words[0][0] for _, words in said]
    steps = [
        replace(step(text, start, beyond, number), aloud=text)
        for number, ((text, _), start, beyond) in enumerate(
            zip(said, starts, [*starts[1:], end], strict=True), 1
        )
    ]
    return steps, {one.id: words for one, (_, words) in zip(steps, said, strict=True)}


def spoken_words(text: str, start: int, each: int) -> list[tuple[int, int]]:
    return [(start + each * n, start + each * (n + 1)) for n in range(len(text.split()))]


@pytest.mark.parametrize(
    "told",
    [
        {"Set them.": 1000, "Lock them.": 8000, "Blow off the dust.": 4000},
        # hardly a rest between them: only their order tells them apart
        {"Set them.": 1000, "Lock them.": 2900, "Blow off the dust.": 1700},
        {"Set them.": 4000, "Lock them.": 1000, "Blow off the dust.": 7000},
        # the one between is shorter than a rest
        {"Set them.": 1000, "Go.": 6000, "Blow off the dust.": 1500, "Lock them.": 6100},
        {"Go.": 1700, "Set them.": 1000, "Lock them.": 2000},
    ],
)
def test_sentences_said_in_another_order_have_a_caption_each(told: dict[str, int]) -> None:
    times = [time for text, start in told.items() for time in spoken_words(text, start, 300)]
    steps, words = by_voice([(" ".join(told), times)], 20_000)
    steps = [replace(steps[0], start_ms=500)]
    cues, _, _ = captions(steps, 140, words)
    for cue in cues:
        for text in plain(cue.text).replace("\n", " ").split(". "):
            text = text.rstrip(".") + "."
            # whoever is read while another one is said comes where a caption is too short for that
            assert cue.start_ms <= told[text] < cue.end_ms + GAP_MS
    shown = " ".join(plain(cue.text).replace("\n", " ") for cue in cues)
    in_time = " ".join(sorted(told, key=told.__getitem__))
    assert shown == in_time


def test_a_caption_said_fast_stays_into_the_rest_until_it_is_read() -> None:
    """Ten words in two seconds, then the cut is made."""
    text = "Bring the gouge round to the far side and stop."
    steps, words = by_voice([(text, spoken_words(text, 1000, 100))], 20_000)
    (cue,), notes, _ = captions(steps, 140, words)
    assert cue.start_ms == 1000
    assert cue.end_ms == 1000 + len(text) * 50 > 2000 + HANG_MS
    assert notes == ()


def test_captions_that_go_too_soon_to_be_read_are_told_once_a_step() -> None:
    text = " ".join(["Bring the gouge round to the far side and stop."] * 6)
    steps, words = by_voice([(text, spoken_words(text, 1000, 90))], 9000)
    cues, notes, late = captions(steps, 140, words)
    fast = [reading(cue) for cue in cues if reading(cue) > FASTEST_READ]
    assert len(fast) > 1
    assert notes == (
        f"step step-1: {len(fast)} captions ask for up to {max(fast):.0f} characters a second, and "
        "viewers read 20; say less there, or more slowly",
    )
    assert late == ()


def test_words_beyond_the_films_end_are_told() -> None:
    """The film is a quarter of a minute long by its design, the voice goes on."""
    first, last = "Now turn it round.", "Then hang it up in the window."
    steps, words = by_voice(
        [
            (first, spoken_words(first, 1000, 400)),
            (
                f"{last} {first}",
                [*spoken_words(last, 12_000, 500), *spoken_words(first, 16_000, 400)],
            ),
        ],
        15_000,
    )
    cues, notes, late = captions(steps, 140, words)
    assert shown(cues) == [(first, 1000, 2900), (last, 12_000, 15_000)]
    (lost,) = late
    assert (lost.step_id, lost.is_lost) == ("step-2", True)
    assert lost.what == f"the caption “{first}” begins at 0:16, and the film ends at 0:15"
    assert notes == (lost.told,)
    assert lost.told.startswith(f"step step-2: {lost.what}; write the master's real length")


@pytest.mark.parametrize(("last_ends", "told"), [(15_400, False), (16_400, True)])
def test_words_that_the_films_end_cuts_are_told_from_half_a_second_on(
    last_ends: int, told: bool
) -> None:
    """Marks are typed in whole seconds."""
    text = "Hang it up."
    words = [(14_000, 14_300), (14_300, 14_600), (14_600, last_ends)]
    steps, by_step = by_voice([(text, words)], 15_000)
    (cue,), notes, late = captions(steps, 140, by_step)
    assert cue.end_ms == 15_000
    assert [one.is_lost for one in late] == [False] * told
    assert (notes != ()) is told
    assert not told or "is said until 0:16, and the film ends at 0:15" in notes[0]


def test_a_narration_that_its_marks_leave_too_little_time_is_late_but_not_lost() -> None:
    _, notes, (late,) = captions([step(" ".join(["word"] * 70), 0, 10_000)], 140)
    assert not late.is_lost
    assert notes == (late.told,)


def test_of_two_captions_that_begin_at_once_none_is_lost_without_a_word() -> None:
    """Two marks lie so near to one another that a voice's words are of both."""
    one, other = "Stop the lathe.", "Then look at the wood."
    steps, words = by_voice(
        [(one, spoken_words(one, 1000, 300)), (other, spoken_words(other, 1000, 300))], 9000
    )
    cues, notes, _ = captions(steps, 140, words)
    assert sorted(" ".join(text for text, _, _ in shown(cues)).split()) == sorted(
        f"{one} {other}".split()
    )
    assert not notes
    long = [" ".join([name] * 12) for name in ("upper", "lower")]
    steps, words = by_voice([(text, spoken_words(text, 1000, 300)) for text in long], 9000)
    cues, notes, _ = captions(steps, 140, words)
    there = " ".join(text for text, _, _ in shown(cues)).split()
    lost = [note.split("“")[1].split("”")[0].split() for note in notes if "no caption" in note]
    assert lost
    assert sorted([*there, *(word for one in lost for word in one)]) == sorted(
        " ".join(long).split()
    )


TOGETHER = {
    "en": [
        "Dr. Fern", "Mr. Ash", "Mrs. Elm", "No. 4", "Nos. 4", "approx. 12 mm", "approx. half",
        "12 mm", "(12 mm)", "10–12 mm", "2½ in", "2 1/2 in", "1,500 rpm", "3 × 4 mm", "25 %",
        "half an inch", "two cuts", "max. 900 rpm", "e.g. oak", "ca. 3 mm", "vs. maple",
    ],
    "de": ["Dr. Farn", "Nr. 4", "ca. 12 mm", "z. B. Eiche", "d. h. trocken", "bzw. Ahorn",
           "12,5 mm", "max. Drehzahl", "halber Zoll", "zwei Schnitte"],
}  # fmt: skip
"""What stays on its line; invented examples."""


@pytest.mark.parametrize("tag", TOGETHER)
@given(data=st.data())
def test_no_line_parts_a_short_form_or_a_figure_from_what_it_belongs_to(
    tag: str, data: st.DataObject
) -> None:
    units = [tuple(one.split()) for one in TOGETHER[tag]]
    said = data.draw(
        st.lists(
            st.one_of(st.sampled_from(units), st.tuples(WORDS), st.tuples(WORDS.map("{},".format))),
            min_size=4,
            max_size=40,
        )
    )
    say = " ".join(" ".join(one) for one in said) + "."
    together = {(a, b) for one in units for a, b in pairwise(one)}
    rate, timed = data.draw(st.integers(40, 260)), data.draw(st.booleans())
    with speaking(language_of(tag)):
        one = replace(step(say, 0, data.draw(st.integers(4_000, 90_000))), aloud=say)
        tokens = say.split()
        rests = data.draw(
            st.lists(
                st.sampled_from([0, 0, 0, 400, 900, 2500]),
                min_size=3 * len(tokens), max_size=3 * len(tokens),
            )
        )  # fmt: skip
        at, words = 0, []
        for rest in rests[: len(said_words(say))]:
            at += rest
            words.append((at, at + 220))
            at += 220
        cues, *_ = captions(
            [replace(one, end_ms=max(at + 1000, one.end_ms or 0))],
            rate,
            {one.id: words} if timed else None,
        )
    lines = [line.split() for cue in cues for line in cue.text.split("\n")]
    parted = [(a[-1], b[0]) for a, b in pairwise(lines) if (a[-1], b[0]) in together]
    assert not parted


def test_a_space_at_which_no_line_may_break_is_kept() -> None:
    say = "Set both dividers carefully across 25\u00a0wooden\u00a0pegs measured along one side"
    for rate in (60, 100, 140):
        cues, *_ = captions([step(say, 0, 30_000)], rate)
        lines = [line for cue in cues for line in cue.text.split("\n")]
        assert any("25\u00a0wooden\u00a0pegs" in line for line in lines)


def test_a_long_sentence_is_never_parted_behind_a_not() -> None:
    """A word that was not heard is no rest, and "above 1,050 rpm" alone says another limit."""
    tokens = tuple(tokens_of("7.2 mm wide, 2.4 mm deep, and not above 1,050 rpm."))
    counts = [len(token.split()) for token in tokens]
    heard: list[tuple[int, int] | None] = [(900 * n, 900 * n + 500) for n in range(sum(counts))]
    not_heard = sum(counts[: tokens.index("not") + 1])
    heard[not_heard] = None
    parts = caption_module._short_enough(Phrase(tokens), counts, heard)
    texts = [" ".join(part.tokens) for part, _ in parts]
    assert len(texts) > 1
    assert " ".join(texts).split() == " ".join(tokens).split()
    assert not [text for text in texts if text.endswith("not")]
    assert texts[0].endswith(",")


@pytest.mark.parametrize(
    "text",
    [
        "Turn the cylinder down, but never above 1,050 rpm at this stage.",
        "It is not to be thinner than 3 mm, and no more than 4 mm thick.",
    ],
)
def test_no_line_and_no_caption_ends_in_a_not(text: str) -> None:
    for most in range(3, 12):
        for phrase in phrases_of(text, most):
            for line in phrase.text.split("\n"):
                assert line.split()[-1] not in ("not", "never", "no")


def test_a_step_that_was_listened_for_and_not_heard_has_no_captions() -> None:
    steps = [step("Turn the cylinder.", 0, 4_000), step("Seat the ball.", 4_000, 8_000, 2)]
    heard = {"step-1": ((500, 900), (900, 1_200), (1_200, 2_000)), "step-2": (None, None, None)}
    cues, notes, _ = captions(steps, 140, heard)
    assert [plain(cue.text) for cue in cues] == ["Turn the cylinder."]
    assert "step step-2: no captions: nothing of its narration was heard" in notes
    # nobody listened: it runs at the turner's own rate
    cues, _, _ = captions(steps, 140, {"step-1": heard["step-1"]})
    assert [plain(cue.text) for cue in cues] == ["Turn the cylinder.", "Seat the ball."]


DRILL = mark("hanger.drill", "O")
DRILL_ALOUD = mark("hanger.drill", "letter O")


@pytest.mark.parametrize(
    ("say", "aloud", "said"),
    [
        (
            f"Drill {DRILL}, I say. A drop of glue.",
            f"Drill {DRILL_ALOUD}, I say. A drop of glue.",
            [0, 1, 1, 2, 3, 4, 5, 6, 7],
        ),
        ("Plan B works here.", "Plan B works here.", [0, 1, 2, 3]),
        # one figure of two printed words, under the words that a design lets stand
        ("Take CAMI 220, now.", "Take CAMI 220, now.", [0, 1, 1, 1, 2]),
        ("A 2 1/4 in ball.", "A 2 1/4 in ball.", [0, 1, 1, 1, 1, 1, 2]),
        ("A – B", "A – B", [0, 1]),
    ],
)
def test_captions_follow_the_voice_whatever_a_word_would_be_alone(
    say: str, aloud: str, said: list[int]
) -> None:
    """Alone, "A" is a drill's size, and 220 a count; ``said`` is by ear, the read word of each."""
    groups = max(said) + 1
    starts = [1000 + 3000 * read + 300 * n for n, read in enumerate(said)]
    words = [(start, start + 250) for start in starts]
    one = replace(step(say, 1000, starts[-1] + 4000), aloud=aloud)
    cues, notes, late = captions([one], 140, {one.id: words})
    assert not late
    assert not notes
    # each word is three seconds from the next, so that each stands alone
    assert len(cues) == groups
    assert [cue.start_ms for cue in cues] == [
        1000 + 3000 * read + 300 * said.index(read) for read in range(groups)
    ]


def test_captions_that_cannot_follow_the_voice_say_so() -> None:
    one = replace(step("Turn it round.", 0, 9000), aloud="Turn it round.")
    cues, notes, _ = captions([one], 140, {one.id: [(5000, 5400), (5500, 5900)]})
    assert cues[0].start_ms == 0
    assert notes == (
        "step step-1: its captions are spread evenly: the times file has 2 words of it, and its "
        "narration 3; run studio time again",
    )
