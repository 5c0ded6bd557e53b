"""When cautions and measurements are on screen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from studio.episode.assemble import open_episode
from studio.episode.cards import (
    GLIMPSE_MS,
    RETURNS_AFTER_MS,
    SHORTEST_CAUTION_MS,
    SQUARE_ROOM,
    UPRIGHT_ROOM,
    WIDE_ROOM,
    CardRoom,
    card_reading_ms,
    due_cautions,
    hasty_notes,
    needs_longer,
    plan_cautions,
    plan_measurements,
)
from studio.episode.records import Card, CardKind, Caution, Chapter, Episode, TimedStep
from studio.episode.unseen import unseen_notes
from studio.measure.trace import plain

Edit = Callable[[Path, str, str], Path]


def caution(code: str) -> Caution:
    return Caution(code=code, short=f"Mind the {code} always.", text=code, source="invented")


def film(hazards: list[list[str]], seconds: list[int]) -> tuple[list[TimedStep], int]:
    steps, at = [], 0
    for number, (codes, length) in enumerate(zip(hazards, seconds, strict=True), 1):
        steps.append(
            TimedStep(
                id=f"s{number}",
                number=number,
                title="",
                tools=(),
                do="",
                say="",
                shows=(),
                cautions=tuple(caution(code) for code in codes),
                start_ms=at * 1000,
                end_ms=(at + length) * 1000,
            )
        )
        at += length
    return steps, at * 1000


def one_chapter_each(steps: list[TimedStep]) -> list[Chapter]:
    return [
        Chapter(title=s.id, step_ids=(s.id,), start_ms=s.start_ms or 0, end_ms=s.end_ms or 0)
        for s in steps
    ]


def whole(steps: list[TimedStep]) -> list[Chapter]:
    ids = tuple(step.id for step in steps)
    return [Chapter(title="all", step_ids=ids, start_ms=0, end_ms=steps[-1].end_ms or 0)]


def due_codes(steps: list[TimedStep], chapters: list[Chapter]) -> list[tuple[str, list[str]]]:
    return [(step.id, [c.code for c in due]) for step, due in due_cautions(steps, chapters)]


def test_each_caution_comes_at_its_first_hazard_in_a_chapter() -> None:
    steps, _ = film([["spin"], ["spin", "dust"], ["dust"]], [20, 20, 20])
    assert due_codes(steps, whole(steps)) == [("s1", ["spin"]), ("s2", ["dust"])]
    assert due_codes(steps, one_chapter_each(steps)) == [
        ("s1", ["spin"]),
        ("s2", ["spin", "dust"]),
        ("s3", ["dust"]),
    ]


def test_a_hazard_that_returns_after_three_minutes_is_warned_of_again() -> None:
    steps, _ = film([["spin"], [], ["spin"], ["spin"]], [60, 120, 60, 60])
    assert RETURNS_AFTER_MS == 180_000
    assert due_codes(steps, whole(steps)) == [("s1", ["spin"]), ("s3", ["spin"])]


def test_a_short_carries_its_own() -> None:
    """A film of one step alone, cut from a film that warned long before."""
    steps, _ = film([["spin", "dust"], ["spin", "dust"]], [30, 30])
    assert due_codes(steps, whole(steps)) == [("s1", ["spin", "dust"])]
    short = replace(steps[1], start_ms=0, end_ms=30_000)
    cards, late = plan_cautions([short], [], 30_000)
    assert [row.name for card in cards for row in card.rows] == ["spin", "dust"]
    assert not late


HAZARDS = st.lists(
    st.lists(st.sampled_from("abcdef"), max_size=6, unique=True), min_size=1, max_size=8
)


@given(HAZARDS, st.data())
def test_every_due_caution_stands_four_seconds_or_is_told_as_late(
    hazards: list[list[str]], data: st.DataObject
) -> None:
    lengths = data.draw(st.lists(st.integers(1, 200), min_size=len(hazards), max_size=len(hazards)))
    steps, length = film(hazards, lengths)
    chapters = one_chapter_each(steps)
    # an end screen may begin at any moment
    length -= data.draw(st.integers(0, 2_000))
    cards, late = plan_cautions(steps, chapters, length)
    told = {(one.step_id, one.code) for one in late}
    shown: dict[tuple[str, str], int] = {}
    for card in cards:
        assert card.start_ms is not None
        assert card.end_ms is not None
        assert card.end_ms <= length
        assert card.end_ms - card.start_ms >= GLIMPSE_MS
        for row in card.rows:
            shown[card.step_id, row.name] = card.end_ms - card.start_ms
            if (card.step_id, row.name) not in told:
                step = next(one for one in steps if one.id == card.step_id)
                assert (step.start_ms or 0) <= card.start_ms < (step.end_ms or 0)
    for step, due in due_cautions(steps, chapters):
        for one in due:
            key = (step.id, one.code)
            assert key in told or shown[key] >= SHORTEST_CAUTION_MS
    for one, other in pairwise(cards):
        assert (one.end_ms or 0) <= (other.start_ms or 0)


def test_the_demo_film_has_time_for_every_caution(episode: Episode) -> None:
    assert episode.late_cautions == ()
    for card in episode.cards:
        if card.kind is CardKind.CAUTION:
            assert (card.end_ms or 0) - (card.start_ms or 0) >= SHORTEST_CAUTION_MS


def test_marks_that_leave_no_time_are_told_but_stop_nothing(globe: Path, edit: Edit) -> None:
    edit(globe, "    mark-octagon: 0:15", "    mark-octagon: 0:02")
    episode = open_episode(globe)
    assert any(late.step_id == "rough" for late in episode.late_cautions)
    assert any("no four seconds on screen" in note for note in episode.notes)


def test_a_caution_that_is_late_by_the_end_screen_is_told_so(globe: Path, edit: Edit) -> None:
    edit(globe, "  length: 1:44\n", "  length: 1:44\n  end_screen: 0:20\n")
    late = open_episode(globe).late_cautions
    assert {one.step_id for one in late} == {"hang"}
    assert all(one.by_end_screen and "end_screen:" in one.remedy for one in late)
    edit(globe, "    sand: ", "    sand: 1:18 # ")
    late = open_episode(globe).late_cautions
    assert {one.step_id: one.by_end_screen for one in late}["sand"] is False


@given(st.integers(0, 30_000), st.sampled_from([WIDE_ROOM, SQUARE_ROOM, UPRIGHT_ROOM]))
def test_no_measurement_card_flickers_and_what_is_left_out_is_told(
    window: int, room: CardRoom
) -> None:
    design = Path(__file__).parents[2] / "designs" / "globe.yaml"
    step = replace(shipped_step(design), start_ms=0, end_ms=window)
    cards = plan_measurements([step], room=room)
    assert all((one.end_ms or 0) - (one.start_ms or 0) >= GLIMPSE_MS for one in cards)
    seen = {row.name for one in cards for row in one.rows}
    told = unseen_notes([step], {}, cards, (), window)
    if not cards:
        assert any("left out" in text for text in told)
    for one in step.shows:
        assert not cards or one.name in seen or any(plain(one.label) in text for text in told)


@cache
def shipped_step(design: Path) -> TimedStep:
    """The step of a shipped design that shows most."""
    return max(open_episode(design).steps, key=lambda one: len(one.shows))


def test_measurement_cards_show_the_tables_own_text(episode: Episode) -> None:
    for card in episode.cards:
        if card.kind is CardKind.MEASUREMENT:
            for row in card.rows:
                assert plain(row.value) == episode.table[row.name].text
                assert plain(row.other) == episode.table[row.name].other


def measured(episode: Episode, room: CardRoom, window: int) -> list[Card]:
    """The cards of the step that marks the octagon, which has so many milliseconds."""
    step = next(one for one in episode.steps if one.id == "mark-octagon")
    return plan_measurements([replace(step, start_ms=1000, end_ms=1000 + window)], None, room)


def reading(cards: list[Card]) -> int:
    return sum(card_reading_ms(card) for card in cards)


def test_in_a_tight_step_the_title_gives_way_so_that_figures_can_be_read(episode: Episode) -> None:
    for room in (WIDE_ROOM, UPRIGHT_ROOM):
        roomy = measured(episode, room, 60_000)
        assert all(plain(card.heading) == "Mark the octagon" for card in roomy)
        tight = measured(episode, room, reading(roomy) - 400)
        assert hasty_notes(tight) == ()
        assert [card.rows for card in tight] == [card.rows for card in roomy]
        # of several cards the first keeps it
        assert [bool(card.heading) for card in tight] == [len(roomy) > 1, *[False] * len(roomy[1:])]
        assert tight[0].start_ms == 1000
        assert (tight[-1].end_ms or 0) <= 1000 + reading(roomy) - 400


def test_a_row_goes_where_the_title_was_when_that_leaves_time(episode: Episode) -> None:
    """Two cards in sequence become one: each needs its own three seconds."""
    (whole,) = measured(episode, replace(WIDE_ROOM, drawing=0.0, lines=20.0), 60_000)
    lines = next(
        lines / 2 for lines in range(2, 40)
        if replace(WIDE_ROOM, lines=lines / 2).holds(whole.rows, headed=False)
    )  # fmt: skip
    room = replace(WIDE_ROOM, lines=lines)
    step = next(one for one in episode.steps if one.id == "mark-octagon")
    bare = replace(step, inset=None, start_ms=0, end_ms=60_000)
    assert len(plan_measurements([bare], None, room)) == 2
    joined = replace(whole, heading="", inset=None)
    (one,) = plan_measurements([replace(bare, end_ms=card_reading_ms(joined))], None, room)
    assert (one.rows, one.heading) == (whole.rows, "")
    assert not needs_longer(one)


def test_what_cannot_be_read_all_the_same_is_told_with_both_times(episode: Episode) -> None:
    (one,) = measured(episode, WIDE_ROOM, 2000)
    assert one.heading == ""
    needed = card_reading_ms(one)
    (told,) = hasty_notes([one])
    assert told == (
        f"step mark-octagon: its card “Set-in from each corner” stands 2.0 s and takes "
        f"{needed / 1000:.1f} s to read; leave the step {needed / 1000 - 2:.1f} s more, or show "
        "less in it"
    )


def test_a_caution_that_stands_too_short_is_told_by_its_words() -> None:
    steps, length = film([["a", "b", "c", "d"]], [9])
    cards, _ = plan_cautions(steps, whole(steps), length)
    pressed = [replace(card, end_ms=(card.start_ms or 0) + 3000) for card in cards]
    told = hasty_notes(pressed)
    assert len(told) == len(pressed) == 2
    assert "its caution “Mind the a always.” stands 3.0 s and takes" in told[0]


def test_without_marks_there_are_cards_but_no_times(globe: Path) -> None:
    text = globe.read_text(encoding="utf-8")
    globe.write_text(text[: text.index("film:")], encoding="utf-8")
    episode = open_episode(globe)
    assert episode.cards
    assert all(card.start_ms is None for card in episode.cards)
    assert episode.cues == ()
    assert episode.chapters == ()
