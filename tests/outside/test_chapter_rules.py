"""The hosts' rule on chapters, as published.

Source: support.vevo.com article 6945557784347, and 9to5google.com of 28 May 2020, both read in
secondary stored texts: first stamp 0:00, at least three, ascending, each at least ten seconds.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise, product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.episode.assemble import open_episode
from studio.episode.chapters import by_hosts_rule
from studio.episode.records import Chapter, Episode
from studio.measure.trace import plain

Edit = Callable[[Path, str, str], Path]


def chapters_at(starts: list[int], length: int) -> tuple[Chapter, ...]:
    ends = [*starts[1:], length]
    return tuple(
        Chapter(title=f"C{place}", step_ids=(f"s{place}",), start_ms=start, end_ms=end)
        for place, (start, end) in enumerate(zip(starts, ends, strict=True))
    )


def obeys(chapters: tuple[Chapter, ...]) -> bool:
    """The published rule, written down once more and on printed seconds."""
    seconds = [chapter.start_ms // 1000 for chapter in chapters]
    ends = [chapter.end_ms // 1000 for chapter in chapters]
    return (
        len(chapters) >= 3
        and seconds[0] == 0
        and seconds == sorted(set(seconds))
        and all(end - start >= 10 for start, end in zip(seconds, ends, strict=True))
    )


def test_the_demo_obeys(episode: Episode) -> None:
    assert obeys(episode.chapters)


def test_a_list_that_begins_after_the_start_is_no_list() -> None:
    """The first page's own sample begins at 00:10, which its rule forbids."""
    assert not obeys(chapters_at([10_000, 40_000, 70_000], 100_000))


@given(
    st.lists(st.integers(1, 90_000), min_size=0, max_size=12, unique=True), st.integers(1, 60_000)
)
def test_what_is_written_obeys_and_drops_no_step(marks: list[int], tail: int) -> None:
    starts = [0, *sorted(marks)]
    named = chapters_at(starts, starts[-1] + tail)
    kept, notes = by_hosts_rule(named)
    assert not kept or obeys(kept)
    if kept:
        steps = [step for chapter in kept for step in chapter.step_ids]
        assert steps == [step for chapter in named for step in chapter.step_ids]
        titles = "; ".join(chapter.title for chapter in kept)
        assert titles == "; ".join(chapter.title for chapter in named)
    assert bool(notes) == (kept != named)


def most_that_obey(named: tuple[Chapter, ...]) -> int:
    """The most chapters that any way of joining neighbours leaves, found by trying them all."""
    most = 0
    for joints in product((False, True), repeat=len(named) - 1):
        begins = [0, *(one.start_ms for one, here in zip(named[1:], joints, strict=True) if here)]
        if obeys(chapters_at(begins, named[-1].end_ms)):
            most = max(most, len(begins))
    return most


@given(st.lists(st.integers(1, 60_000), max_size=7, unique=True), st.integers(1, 20_000))
def test_no_other_way_of_joining_keeps_more(marks: list[int], tail: int) -> None:
    starts = [0, *sorted(marks)]
    named = chapters_at(starts, starts[-1] + tail)
    assert len(by_hosts_rule(named)[0]) == most_that_obey(named)


@pytest.mark.parametrize(
    ("starts", "length", "titles"),
    [
        # 15, 15, 7 and 8 s: only the last two joined keep three
        ([0, 15_000, 30_000, 37_000], 45_000, ["C0", "C1", "C2; C3"]),
        # short ones behind a long one do not all go into it
        ([0, 60_000, 66_000, 72_000, 78_000, 84_000], 90_000, ["C0", "C1; C2", "C3; C4; C5"]),
        # a single short one goes to the shorter neighbour
        ([0, 30_000, 50_000, 55_000], 85_000, ["C0", "C1; C2", "C3"]),
        ([0, 20_000, 50_000, 55_000], 75_000, ["C0", "C1", "C2; C3"]),
    ],
)
def test_short_chapters_are_joined_evenly(
    starts: list[int], length: int, titles: list[str]
) -> None:
    kept, notes = by_hosts_rule(chapters_at(starts, length))
    assert [one.title for one in kept] == titles
    assert len(notes) == sum(end - start < 10_000 for start, end in pairwise([*starts, length]))


def test_too_few_chapters_are_none_and_that_is_told(globe: Path, edit: Edit) -> None:
    edit(globe, "    chapter: Sand and hang\n", "")
    episode = open_episode(globe)
    assert episode.chapters == ()
    assert any("no chapters are written" in note for note in episode.notes)


def test_a_film_that_starts_late_still_has_its_first_chapter_at_nought(
    globe: Path, edit: Edit
) -> None:
    edit(globe, "    rough: 0:00", "    rough: 0:04")
    assert open_episode(globe).chapters[0].start_ms == 0


def test_a_short_chapter_is_joined(globe: Path, edit: Edit) -> None:
    edit(
        globe,
        "    title: Mark the octagon\n",
        "    title: Mark the octagon\n    chapter: Octagon\n",
    )
    edit(globe, "    mark-octagon: 0:15", "    mark-octagon: 0:07")
    episode = open_episode(globe)
    assert plain(episode.chapters[0].title) == "Cylinder and octagon; Octagon"
    assert any("was joined to" in note for note in episode.notes)


@pytest.mark.parametrize("length", ["0:29", "0:20"])
def test_a_short_film(globe: Path, edit: Edit, length: str) -> None:
    text = globe.read_text(encoding="utf-8")
    start = text.index("  length: 1:44")
    marks = ("rough", "mark-octagon", "cut-octagon", "second-round", "index", "sand", "hang")
    lines = "".join(f"    {name}: 0:{2 * place:02d}\n" for place, name in enumerate(marks))
    globe.write_text(f"{text[:start]}  length: {length}\n  marks:\n{lines}", encoding="utf-8")
    assert open_episode(globe).chapters == ()
