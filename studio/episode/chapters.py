"""Chapters by the video hosts' rule: three or more, the first at 0:00, ten seconds or longer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from studio.episode.records import Chapter, TimedStep

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

    A chapter that is too short is joined to the one before it (the first to the one after), never
    dropped. Fewer than three in the end leave none: hosts would show none, and a list of two
    stamps in a description would promise what the film does not have.

    Whole seconds count: hosts read the stamps in the description, which drop the rest.
    """
    kept = list(chapters)
    notes: list[str] = []
    while len(kept) > 1:
        short = next((place for place, one in enumerate(kept) if _seconds(one) < SHORTEST_MS), None)
        if short is None:
            break
        first = max(short - 1, 0)
        before, after = kept[first], kept[first + 1]
        notes.append(
            f"chapter {_name(kept[short])} is shorter than {SHORTEST_MS // 1000} s and was joined "
            f"to {_name(kept[first] if short else after)}"
        )
        kept[first : first + 2] = [
            Chapter(
                title=f"{before.title}; {after.title}",
                step_ids=before.step_ids + after.step_ids,
                start_ms=before.start_ms,
                end_ms=after.end_ms,
            )
        ]
    if len(kept) < FEWEST_CHAPTERS:
        notes.append(
            f"no chapters are written: hosts want {FEWEST_CHAPTERS} or more of at least "
            f"{SHORTEST_MS // 1000} s each, and this film has {len(kept)}; a step with chapter: "
            "begins one"
        )
        return (), tuple(notes)
    return tuple(kept), tuple(notes)


def _seconds(chapter: Chapter) -> int:
    """Length between the stamps as printed, in milliseconds."""
    return (chapter.end_ms // 1000 - chapter.start_ms // 1000) * 1000


def _name(chapter: Chapter) -> str:
    from studio.measure.trace import plain

    return f"“{plain(chapter.title)}”"
