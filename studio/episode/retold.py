"""Corrections in a second language: what was put right is on record in the design's own.

A figure is the same figure in every language: its digits stay, and its signs, units, words of the
tool and its name are that language's. What the turner wrote stays as viewers were told it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from studio.episode.notes import TOLD
from studio.episode.records import CardRow, Change, Episode
from studio.episode.reprint import Reprint
from studio.episode.told_rows import families, in_its_row, todays
from studio.episode.told_texts import STEP, STEP_TEXT, is_text
from studio.language import tr
from studio.measure.trace import plain, remarked

_NAMED = re.compile(r"\w+\.title|stock\.for_\d+|finish\.product")
"""What the turner calls a part, or a finish: the catalogue may have the word for another thing
("Ring")."""


def retold(first: Episode, episode: Episode) -> Episode:
    """The episode with its corrections as a second language prints them.

    Args:
        first: the design in its own language, with the corrections as recorded.
        episode: the same, made in the language that holds here.
    """
    reprint = Reprint(first.language, _todays_words(first, episode))
    called = _Called(first, episode, reprint)
    as_recorded: set[str] = set()

    def kept(recorded: str, told: str | None) -> str:
        if told is None:
            as_recorded.add(recorded)
        return recorded if told is None else told

    def anew(change: Change, text: str) -> str:
        return kept(text, called.figure(change.name, text))

    corrections = tuple(
        replace(
            one,
            changes=tuple(
                replace(
                    change,
                    label=kept(change.label, called.label(change)),
                    old=anew(change, change.old),
                    new=anew(change, change.new),
                )
                for change in one.changes
            ),
        )
        for one in first.corrections
    )
    told = {
        (was.name, text): now
        for one, other in zip(first.corrections, corrections, strict=True)
        for was, new in zip(one.changes, other.changes, strict=True)
        for text, now in ((was.label, new.label), (was.old, new.old))
    }

    def noted(name: str, text: str) -> str:
        return told.get((name.removeprefix(TOLD), text), text) if name.startswith(TOLD) else text

    def row(one: CardRow) -> CardRow:
        return replace(one, label=remarked(one.label, noted))

    return replace(
        episode,
        corrections=corrections,
        as_recorded=frozenset(as_recorded),
        slips={
            step: tuple(replace(one, row=row(one.row)) for one in slips)
            for step, slips in episode.slips.items()
        },
    )


class _Called:
    """What figures on record, and they themselves, are called in a second language.

    Arguments as for :func:`retold`.
    """

    def __init__(self, first: Episode, episode: Episode, reprint: Reprint) -> None:
        self._episode, self._reprint = episode, reprint
        self._now = todays(episode.table)
        self._tables = families(episode.schedules, episode.table)
        self._titles = dict(_titles(first, episode))

    def figure(self, name: str, text: str) -> str | None:
        """What was told of a figure; None where that is no text of the tool."""
        if is_text(name):
            return None
        if _NAMED.fullmatch(name):
            return self._reprint.named(text)
        # in a row's cells no text begins with a capital of its own
        return self._reprint.within(text) if self._in_row(name) else self._reprint.text(text)

    def label(self, change: Change) -> str | None:
        """Of one of them; None where the recorded one is no text of the tool."""
        name = change.name
        if is_text(name):
            return self._of_text(change.label)
        # a row of such a table is another one by now, or has moved: it is called as it was told
        if name not in self._now or self._in_row(name):
            return self._reprint.label(change.label)
        label = self._now[name].label
        return in_its_row(name, label, self._now, self._tables, self._episode.schedules)

    def _in_row(self, name: str) -> bool:
        return any(table.holds(name) for table in self._tables)

    def _of_text(self, label: str) -> str | None:
        for message in (STEP, STEP_TEXT):
            if places := self._reprint.places(message, label):
                title = self._titles.get(places["title"], places["title"])
                field = self._reprint.text(places.get("field", ""))
                if field is not None:
                    return str(tr(message, title=title, field=field))
        return self._reprint.text(label)


def _titles(first: Episode, episode: Episode) -> Iterator[tuple[str, str]]:
    """The title of each step of today, in both languages."""
    for one, other in zip(first.steps, episode.steps, strict=True):
        yield plain(one.title), plain(other.title)


def _todays_words(first: Episode, episode: Episode) -> Iterator[tuple[str, str]]:
    """What each measurement is called and says today, in both languages.

    So the turner's own words are known.
    """
    for name, one in episode.table.items():
        if name in first.table:
            yield first.table[name].text, one.text
            yield first.table[name].label, one.label
