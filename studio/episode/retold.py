"""Corrections in a second language: what was put right is on record in the design's own.

A figure is the same figure in every language: its digits stay, and its signs, units, words of the
tool and its name are that language's. What the turner wrote stays as viewers were told it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from studio.episode.records import Change, Episode
from studio.episode.reprint import Reprint
from studio.episode.told_rows import families, in_its_row, todays


def retold(first: Episode, episode: Episode) -> Episode:
    """The episode with its corrections as a second language prints them.

    Args:
        first: the design in its own language, with the corrections as recorded.
        episode: the same, made in the language that holds here.
    """
    now, tables = todays(episode.table), families(episode.schedules, episode.table)
    reprint = Reprint(first.language, _todays_words(first, episode))
    as_recorded: set[str] = set()

    def anew(change: Change, text: str) -> str:
        # a colon parts a text of the turner's from the step that it is of
        told = reprint.text(text) if ":" not in change.name else None
        if told is None:
            as_recorded.add(text)
        return text if told is None else told

    def label(change: Change) -> str:
        if change.name not in now:
            return anew(change, change.label)
        return in_its_row(change.name, now[change.name].label, now, tables, episode.schedules)

    corrections = tuple(
        replace(
            one,
            changes=tuple(
                replace(
                    change,
                    label=label(change),
                    old=anew(change, change.old),
                    new=anew(change, change.new),
                )
                for change in one.changes
            ),
        )
        for one in first.corrections
    )
    return replace(episode, corrections=corrections, as_recorded=frozenset(as_recorded))


def _todays_words(first: Episode, episode: Episode) -> Iterator[tuple[str, str]]:
    """What each measurement says today, in both languages: so the turner's own words are known."""
    for name, one in episode.table.items():
        if name in first.table:
            yield first.table[name].text, one.text
