"""Notes of corrections on screen: at which sentence, for how long, and beside which card."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.episode.assemble import open_episode
from studio.episode.cards import GLIMPSE_MS, card_reading_ms, needs_longer, plan_measurements
from studio.episode.followed import followed
from studio.episode.notes import LONGEST_QUOTE, plan_notes, quotations, slips_of
from studio.episode.published import Publication, Record
from studio.episode.records import Card, CardRow, Change, Correction, Episode, Slip, TimedStep, Told
from studio.episode.told_texts import step_key
from studio.episode.unseen import unseen_notes
from studio.measure.measurement import MeasurementTable, System
from studio.measure.trace import mark, plain
from studio.resources import shipped

FIRST, LATER, LATEST = "2026-03-02", "2026-03-09", "2026-03-16"


@pytest.fixture
def step(episode: Episode) -> TimedStep:
    """A step of a minute that shows two measurements."""
    one = next(one for one in episode.steps if len(one.shows) > 1)
    return replace(one, start_ms=60_000, end_ms=120_000)


def made_up(start: int, end: int) -> TimedStep:
    """A step between two times that shows two measurements."""
    one = shipped_step()
    return replace(one, start_ms=start, end_ms=end)


@cache
def shipped_step() -> TimedStep:
    design = Path(__file__).parents[2] / "designs" / "globe.yaml"
    return next(one for one in open_episode(design).steps if len(one.shows) > 1)


def slip(name: str, sentence: int | None = 0, of: int = 3) -> Slip:
    label = f"Depth of {name}, not {mark('told:m', '12 mm')}"
    return Slip(CardRow(label=label, value=mark("m", "14 mm"), name=name), sentence, of)


def planned(
    step: TimedStep, slips: tuple[Slip, ...], said_at: tuple[tuple[int, int], ...]
) -> tuple[list[Card], list[Card]]:
    """The step's notes, and its own cards beside them."""
    notes, beside = plan_notes([step], {step.id: slips}, {step.id: said_at})
    return notes, plan_measurements(beside)


def apart(cards: list[Card]) -> bool:
    """Whether no two stand at the same time."""
    spans = sorted((card.start_ms or 0, card.end_ms or 0) for card in cards)
    return all(one[1] <= other[0] for one, other in pairwise(spans))


SAID = ((62_000, 66_000), (80_000, 84_000), (100_000, 118_000))


def test_a_note_stands_at_its_sentence_and_the_own_card_before_it(step: TimedStep) -> None:
    (note,), own = planned(step, (slip("hole", 1),), SAID)
    assert (note.start_ms, note.end_ms) == (80_000, 80_000 + max(4_000, card_reading_ms(note)))
    assert own[0].start_ms == 60_000
    assert apart([note, *own])
    assert {row.name for card in own for row in card.rows} == {one.name for one in step.shows}


def test_a_note_stays_to_the_end_of_a_long_sentence_up_to_ten_seconds(step: TimedStep) -> None:
    (note,), _ = planned(step, (slip("hole", 2),), SAID)
    assert (note.start_ms, note.end_ms) == (100_000, 110_000)


def test_a_note_at_the_first_sentence_goes_before_the_own_card(step: TimedStep) -> None:
    said = ((60_000, 61_000), *SAID[1:])
    (note,), own = planned(step, (slip("hole"),), said)
    assert note.start_ms == 60_000
    assert own[0].start_ms == note.end_ms
    assert not any(map(needs_longer, (note, *own)))


def test_each_sentence_has_its_own_note_and_close_ones_share_one(step: TimedStep) -> None:
    notes, own = planned(step, (slip("hole", 0), slip("wire", 2)), SAID)
    assert [one.start_ms for one in notes] == [62_000, 100_000]
    assert [[row.name for row in one.rows] for one in notes] == [["hole"], ["wire"]]
    assert apart([*notes, *own])
    close = ((62_000, 63_000), (63_000, 64_000), SAID[2])
    notes, own = planned(step, (slip("hole", 0), slip("wire", 1)), close)
    assert [[row.name for row in one.rows] for one in notes] == [["hole", "wire"]]
    assert notes[0].start_ms == 62_000
    assert apart([*notes, *own])


def test_a_note_begins_earlier_where_its_step_would_end_before_it_is_read(step: TimedStep) -> None:
    late = (*SAID[:2], (118_500, 119_900))
    (note,), own = planned(step, (slip("hole", 2),), late)
    assert note.end_ms == step.end_ms
    assert not needs_longer(note)
    assert apart([note, *own])


def test_a_note_goes_first_where_it_would_leave_the_own_card_no_time(step: TimedStep) -> None:
    (whole,) = plan_measurements([step])
    needs = card_reading_ms(whole)
    shorter = replace(step, end_ms=60_000 + needs + 6_000)
    middle = 60_000 + needs // 2
    said = ((60_000, 61_000), (middle, middle + 1_000), (middle + 1_000, middle + 2_000))
    (note,), (own,) = planned(shorter, (slip("hole", 1),), said)
    assert note.start_ms == 60_000
    assert own.start_ms == note.end_ms
    assert not needs_longer(own)


def test_without_time_for_all_they_share_the_step(step: TimedStep) -> None:
    short = replace(step, end_ms=62_000)
    notes, own = planned(short, (slip("hole", 0), slip("wire", 2)), ())
    assert notes[0].start_ms == 60_000
    assert notes[-1].end_ms == 62_000
    assert {row.name for one in notes for row in one.rows} == {"hole", "wire"}
    assert own == []


def test_a_short_steps_own_card_says_itself_what_the_voice_says_of_its_figures(
    step: TimedStep,
) -> None:
    (whole,) = plan_measurements([step])
    first, second = step.shows[:2]
    short = replace(step, end_ms=60_000 + card_reading_ms(whole) + 3_000)
    notes, (own,) = planned(short, (slip(first.name),), SAID)
    assert notes == []
    assert not needs_longer(own)
    assert (own.start_ms, own.heading) == (60_000, whole.heading)
    assert [plain(row.label) for row in own.rows[:2]] == [
        f"Depth of {first.name}, not 12 mm", plain(second.label)
    ]  # fmt: skip
    assert plain(own.rows[0].value) == first.text


def test_a_note_and_the_own_card_share_a_step_that_is_too_short_for_both(step: TimedStep) -> None:
    short = replace(step, end_ms=69_000)
    notes, own = planned(short, (slip("hole"),), SAID)
    stands = [(one.end_ms or 0) - (one.start_ms or 0) for one in (*notes, *own)]
    needs = [card_reading_ms(one) for one in notes]
    needs.append(sum(map(card_reading_ms, own)))
    assert sum(stands) == 9_000
    assert stands[0] / sum(stands[1:]) == pytest.approx(needs[0] / needs[1], rel=0.35)
    assert min(stands) >= GLIMPSE_MS


@given(st.integers(0, 30_000), st.integers(0, 3), st.booleans())
def test_no_card_of_a_step_flickers(shown: int, count: int, own: bool) -> None:
    step = made_up(60_000, 60_000 + shown)
    slips = tuple(slip(step.shows[0].name if own else f"hole {n}", n) for n in range(count))
    notes, cards = planned(step, slips, SAID)
    both = [*notes, *cards]
    assert all((one.end_ms or 0) - (one.start_ms or 0) >= GLIMPSE_MS for one in both)
    assert apart(both)
    told = unseen_notes([step], {step.id: slips}, both, (), step.end_ms or 0)
    seen = {row.label for one in both for row in one.rows}
    for one in slips:
        assert one.row.label in seen or any(plain(one.row.label) in text for text in told)


@pytest.mark.parametrize(
    ("one", "said_at"),
    [
        (slip("hole", None), SAID),
        (slip("hole", 1, of=2), SAID),
        (slip("hole", 1), ()),
        (slip("hole", 1), ((0, 1_000), (1_000, 2_000), (2_000, 3_000))),
    ],
    ids=["which one is not known", "another count", "no times", "times of another place"],
)
def test_without_a_time_of_its_own_a_note_stands_at_the_steps_start(
    step: TimedStep, one: Slip, said_at: tuple[tuple[int, int], ...]
) -> None:
    (note,), own = planned(step, (one,), said_at)
    assert note.start_ms == step.start_ms
    assert apart([note, *own])


def test_nothing_stands_on_the_end_screen(step: TimedStep) -> None:
    (note,), beside = plan_notes([step], {step.id: (slip("hole", 2),)}, {step.id: SAID}, 103_000)
    assert note.end_ms == 103_000
    assert not needs_longer(note)
    assert apart([note, *plan_measurements(beside, 103_000)])


# --- what is wrong by now ---------------------------------------------------------------------


def told(text: str) -> Told:
    return Told("Depth", f"{text} (1 in)", text, "1 in")


def publication(step: TimedStep, say: str, on: str = FIRST, **figures: str) -> Publication:
    return Publication(
        on=on,
        name="globe",
        design="",
        film="",
        title="A globe",
        first=System.METRIC,
        description="",
        steps={step.id: {
            "title": "t", "do": "d", "say": say, "names": " ".join(figures), "starts": "",
        }},
        chapters=(),
        measurements={name: told(text) for name, text in figures.items()},
    )  # fmt: skip


def corrected(*changes: Change, on: str = LATER) -> Correction:
    return Correction(on=on, reason="why", changes=changes)


def change(name: str, old: str, new: str) -> Change:
    return Change(name=name, label="Depth", old=old, new=new)


def found(
    step: TimedStep, record: Record, recorded: dict[str, str] | None = None
) -> list[tuple[str, int | None, int]]:
    slips = slips_of(followed(record, {}, ()), [step], MeasurementTable([]), recorded or {}).get(
        step.id, ()
    )
    return [(plain(one.row.label), one.sentence, one.of) for one in slips]


def test_each_figure_is_found_in_its_own_sentence(step: TimedStep) -> None:
    # two figures read alike, and a third one holds the digits of the first
    say = "The wall is 112 mm. Mark 12\u00a0mm there. Then drill 12 mm. Turn it."
    record = Record(
        (publication(step, say, wall="112 mm", mark="12 mm", drill="12 mm"),),
        (corrected(*(change(name, "x", "") for name in ("drill", "wall", "mark"))),),
    )
    assert [(name, of) for _, name, of in found(step, record)] == [(0, 4), (1, 4), (2, 4)]


def test_a_withdrawn_figure_is_noted_and_one_that_is_not_said_is_not(step: TimedStep) -> None:
    record = Record(
        (publication(step, "Drill 12 mm.", drill="12 mm"),),
        (corrected(change("drill", "12 mm", ""), change("other", "3 mm", "")),),
    )
    assert found(step, record) == [("Depth: no longer 12 mm", 0, 1)]


def test_a_figure_of_which_only_the_system_that_is_not_said_moved_was_said_right(
    step: TimedStep, episode: Episode
) -> None:
    now = step.shows[0]
    old = f"{now.text} (99/64 in)"
    then = Told(now.label, old, now.metric.text, "99/64 in")
    published = replace(
        publication(step, f"Set it to {now.text}."), measurements={now.name: then},
        steps={step.id: {"title": "t", "do": "d", "say": f"Set it to {now.text}.",
                         "names": now.name, "starts": ""}},
    )  # fmt: skip
    record = Record((published,), (corrected(change(now.name, old, now.both)),))
    assert slips_of(followed(record, {}, ()), [step], episode.table, {}) == {}
    # said in the system that moved, it was said wrongly
    other = replace(
        published,
        steps={step.id: {**published.steps[step.id], "say": "Set it to 99/64 in."}},
    )
    record = Record((other,), (corrected(change(now.name, old, now.both)),))
    assert len(slips_of(followed(record, {}, ()), [step], episode.table, {})[step.id]) == 1


def test_a_figure_that_changed_in_the_other_system_alone_is_still_said_rightly(
    step: TimedStep,
) -> None:
    now = open_episode(shipped("designs") / "globe.yaml").table["hanger.depth"]
    voice = publication(step, f"Drill {now.metric.text}.", **{now.name: now.metric.text})
    inches = change(now.name, "1 in", now.imperial.text)
    table = MeasurementTable([now])
    assert (
        slips_of(followed(Record((voice,), (corrected(inches),)), {}, ()), [step], table, {}) == {}
    )
    # put right in what the voice says too: that is what the note names
    voice = publication(step, "Drill 11 mm.", **{now.name: "11 mm"})
    both = change(now.name, "11 mm (15/32 in)", now.both)
    slips = slips_of(
        followed(Record((voice,), (corrected(inches, both),)), {}, ()), [step], table, {}
    )
    (slip,) = slips[step.id]
    assert plain(slip.row.label) == f"{now.label}, not 11 mm (15/32 in)"


def say_changed(step: TimedStep, *pairs: tuple[str, str], on: str = LATER) -> Correction:
    key = step_key(step.id, "say")
    return corrected(*(change(key, f"“{old}”", new and f"“{new}”") for old, new in pairs), on=on)


def test_a_corrected_sentence_is_noted_at_its_own_place(step: TimedStep) -> None:
    published = publication(step, "Turn it round. The octagon's side is 25 mm. Sand it.")
    one = say_changed(step, ("The octagon's side is 25 mm.", "The hexagon's side is 25 mm."))
    assert found(step, Record((published,), (one,))) == [
        ("“The hexagon's side is 25 mm.”, not octagon", 1, 3)
    ]
    # put right once more: the voice still says what it said first
    two = say_changed(
        step, ("The hexagon's side is 25 mm.", "The hexagon's side is 24 mm."), on=LATEST
    )
    assert found(step, Record((published,), (one, two))) == [
        ("“The hexagon's side is 24 mm.”, not octagon, 25 mm", 1, 3)
    ]
    # a voice recorded between the two says hexagon
    assert found(step, Record((published,), (one, two)), {step.id: LATER}) == [
        ("“The hexagon's side is 24 mm.”, not 25 mm", None, 0)
    ]
    back = say_changed(
        step, ("The hexagon's side is 25 mm.", "The octagon's side is 25 mm."), on=LATEST
    )
    assert found(step, Record((published,), (one, back))) == []
    gone = say_changed(step, ("The octagon's side is 25 mm.", ""))
    assert found(step, Record((published,), (gone,))) == [
        ("No longer: “The octagon's side is 25 mm.”", 1, 3)
    ]


def test_of_a_long_sentence_the_part_with_the_number_is_quoted(step: TimedStep) -> None:
    words = "and keep the bevel rubbing while the shavings come off " * 6
    old, new = (f"Turn it {words}until {figure} are left {words}to the end." for figure in
                ("12 mm", "14 mm"))  # fmt: skip
    (told_change,) = say_changed(step, (old, new)).changes
    record = Record((publication(step, old),), (say_changed(step, (old, new)),))
    ((label, _, _),) = found(step, record)
    quote, _, wrong = label.rpartition(", not ")
    assert wrong == "12 mm"
    assert "14 mm" in quote
    assert (quote[:3], quote[-3:]) == ("“… ", " …”")
    assert len(quote) <= LONGEST_QUOTE + 6
    assert {quote, wrong} <= quotations(told_change)
