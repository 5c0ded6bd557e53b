"""Chapters by the video hosts' rule: three or more, the first at 0:00, ten seconds or longer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from studio.episode.records import Chapter, TimedStep
from studio.measure.trace import plain

FEWEST_CHAPTERS = 3
SHORTEST_MS = 10_000
"""The rule as hosts publish it: support.vevo.com article 6945557784347 and 9to5google.com of 28 May
2020, both read in secondary stored texts."""


def named_stretches(
    steps: Sequence[TimedStep], titles: dict[str, str], length_ms: int
) -> tuple[Chapter, ...]:
    """The chapters that the design names, before the hosts' rule is looked at.

    Args:
        steps: with times, in order.
        titles: marked chapter titles by the id of the step that begins each.
        length_ms: the film's length.
    """
    chapters: list[Chapter] = []
    for step in steps:
        assert step.start_ms is not None
        if step.id in titles or not chapters:
            title = titles.get(step.id, step.title)
            begins = step.start_ms if chapters else 0
            chapters.append(
                Chapter(title=title, step_ids=(step.id,), start_ms=begins, end_ms=length_ms)
            )
            if len(chapters) > 1:
                chapters[-2] = replace(chapters[-2], end_ms=step.start_ms)
        else:
            last = chapters[-1]
            chapters[-1] = replace(last, step_ids=(*last.step_ids, step.id))
    return tuple(chapters)


def by_hosts_rule(chapters: Sequence[Chapter]) -> tuple[tuple[Chapter, ...], tuple[str, ...]]:
    """Chapters that every host shows, and notes on what had to be done for that.

    Chapters that are too short are joined to neighbours, never dropped: in the way that keeps most
    chapters, and of several such ways in the most even one. Fewer than three in the end leave none:
    hosts would show none, and a list of two stamps in a description would promise what the film
    does not have.

    Whole seconds count: hosts read the stamps in the description, which drop the rest.
    """
    groups = _most_groups(chapters)
    notes = [note for group in groups for note in _joined_notes(group)]
    if len(groups) < FEWEST_CHAPTERS:
        notes.append(
            f"no chapters are written: hosts want {FEWEST_CHAPTERS} or more of at least "
            f"{SHORTEST_MS // 1000} s each, and this film has {len(groups)}; a step with chapter: "
            "begins one"
        )
        return (), tuple(notes)
    return tuple(map(_joined, groups)), tuple(notes)


_Group = tuple[Chapter, ...]


def _most_groups(chapters: Sequence[Chapter]) -> tuple[_Group, ...]:
    """Neighbours in as many groups as are long enough; one group where even all are too short.

    Of as many groups those are taken whose lengths have the least sum of squares, which is the most
    even way to part a film.
    """
    # by how many chapters are grouped: minus how many groups, their squares, where the last begins
    best: list[tuple[int, int, int] | None] = [(0, 0, 0)]
    for stop in range(1, len(chapters) + 1):
        ways = []
        for first, before in enumerate(best):
            length = _seconds(chapters[first], chapters[stop - 1])
            if before is not None and length >= SHORTEST_MS:
                ways.append((before[0] - 1, before[1] + length**2, first))
        best.append(min(ways, default=None))
    groups: list[_Group] = []
    stop = len(chapters)
    while stop:
        last = best[stop]
        first = 0 if last is None else last[2]
        groups.append(tuple(chapters[first:stop]))
        stop = first
    return tuple(reversed(groups))


def _joined(group: _Group) -> Chapter:
    """Neighbouring chapters as one, with all their titles."""
    return Chapter(
        title="; ".join(one.title for one in group),
        step_ids=tuple(step for one in group for step in one.step_ids),
        start_ms=group[0].start_ms,
        end_ms=group[-1].end_ms,
    )


def _joined_notes(group: _Group) -> Iterator[str]:
    """What is told of chapters that were joined: each that was too short, and to which others."""
    if len(group) == 1:
        return
    short = [one for one in group if _seconds(one, one) < SHORTEST_MS]
    for one in short:
        others = [other for other in group if other not in short] or [
            other for other in group if other is not one
        ]
        yield (
            f"chapter {_name(one)} is shorter than {SHORTEST_MS // 1000} s and was joined "
            f"to {_name(_joined(tuple(others)))}"
        )


def _seconds(first: Chapter, last: Chapter) -> int:
    """Length of neighbouring chapters between the stamps as printed, in milliseconds."""
    return (last.end_ms // 1000 - first.start_ms // 1000) * 1000


def _name(chapter: Chapter) -> str:
    return f"“{plain(chapter.title)}”"
