"""Corrections in a second language: what was put right is on record in the design's own.

A figure is the same figure in every language: its digits stay, and its signs, units and name are
that language's. Sentences, and figures that are words, stay as viewers were told them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from studio.episode.records import Change, Correction, Episode
from studio.episode.told_rows import families, in_its_row, todays
from studio.language import Language, number_signs, spoken

_NAMES = frozenset({"AWG", "SWG", "CAMI"})
"""Words beside figures that are the same in every language; a letter by itself is one too."""


def retold(
    corrections: Iterable[Correction], told_in: Language, episode: Episode
) -> tuple[Correction, ...]:
    """Corrections with the figures that there still are as a second language prints them.

    Args:
        corrections: as recorded.
        told_in: the language of the record.
        episode: the design's, made in the language that holds here.
    """
    table, schedules = episode.table, episode.schedules
    now, tables = todays(table), families(schedules, table)

    def anew(change: Change) -> Change:
        if change.name not in now:
            return change
        old, new = (figure_here(text, told_in) for text in (change.old, change.new))
        if old is None or new is None:
            return change
        label = in_its_row(change.name, now[change.name].label, now, tables, schedules)
        return replace(change, label=label, old=old, new=new)

    return tuple(replace(one, changes=tuple(map(anew, one.changes))) for one in corrections)


def figure_here(printed: str, told_in: Language) -> str | None:
    """A figure of another language as the one that holds here prints it; None where it holds other
    words.

    >>> from studio.language import ENGLISH, speaking
    >>> with speaking("de"):
    ...     figure_here("17.5 mm (11/16 in)", ENGLISH), figure_here("octagon", ENGLISH)
    ('17,5 mm (11/16 Zoll)', None)
    """
    units = _units(told_in, spoken())
    pieces = []
    for token in _tokens(told_in, units).finditer(printed):
        text = token[0]
        if token["number"]:
            text = number_signs(text, told_in)
        elif token["unit"]:
            text = units[text]
        elif token["word"] and len(text) > 1 and text not in _NAMES:
            return None
        pieces.append(text)
    return "".join(pieces)


def _units(told_in: Language, language: Language) -> dict[str, str]:
    """Units as one language prints them, by how another does."""
    known = dict.fromkeys([*told_in.units, *language.units])
    return {told_in.units.get(one, one): language.units.get(one, one) for one in known}


def _tokens(told_in: Language, units: Iterable[str]) -> re.Pattern[str]:
    signs = re.escape(told_in.group + told_in.decimal)
    unit = "|".join(re.escape(one) for one in sorted(units, key=len, reverse=True))
    return re.compile(
        rf"(?P<number>\d+(?:[{signs}]\d+)*)"
        rf"|(?<![^\W\d_])(?P<unit>{unit})(?![^\W\d_])|(?P<word>[^\W\d_]+)|(?s:.)"
    )
