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
    reprint = Reprint(told_in)

    def anew(change: Change) -> Change:
        if change.name not in now:
            return change
        old, new = map(reprint.figure, (change.old, change.new))
        if old is None or new is None:
            return change
        label = in_its_row(change.name, now[change.name].label, now, tables, schedules)
        return replace(change, label=label, old=old, new=new)

    return tuple(replace(one, changes=tuple(map(anew, one.changes))) for one in corrections)


class Reprint:
    """Prints figures of another language as the one does that holds where it is made and used."""

    def __init__(self, told_in: Language) -> None:
        self._told_in, language = told_in, spoken()
        known = dict.fromkeys([*told_in.units, *language.units])
        self._units = {told_in.units.get(one, one): language.units.get(one, one) for one in known}
        signs = re.escape(told_in.group + told_in.decimal)
        unit = "|".join(re.escape(one) for one in sorted(self._units, key=len, reverse=True))
        self._tokens = re.compile(
            rf"(?P<number>\d+(?:[{signs}]\d+)*)"
            rf"|(?<![^\W\d_])(?P<unit>{unit})(?![^\W\d_])|(?P<word>[^\W\d_]+)|(?s:.)"
        )

    def figure(self, printed: str) -> str | None:
        """A printed figure; None where it holds words that are no units.

        >>> from studio.language import ENGLISH, speaking
        >>> with speaking("de"):
        ...     reprint = Reprint(ENGLISH)
        ...     reprint.figure("17.5 mm (11/16 in)"), reprint.figure("octagon")
        ('17,5 mm (11/16 Zoll)', None)
        """
        pieces = []
        for token in self._tokens.finditer(printed):
            text = token[0]
            if token["number"]:
                text = number_signs(text, self._told_in)
            elif token["unit"]:
                text = self._units[text]
            elif token["word"] and len(text) > 1 and text not in _NAMES:
                return None
            pieces.append(text)
        return "".join(pieces)
