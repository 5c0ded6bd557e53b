"""Rows of tables that follow a part's axis: which row of today's is the one that viewers were told.

Such a row goes by its number alone, and one station put in before the others moves every number
behind it. A viewer knows a row by its place on the part and by what is there.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from studio.episode.records import Told
from studio.language import plain_number, tr
from studio.measure.measurement import MeasurementTable
from studio.measure.numbers import find_numbers
from studio.measure.schedule import Schedule

_NUMBERED = re.compile(r"(.+)_([0-9]+)")

_RIM, _SEAT, _CUT = "grooves.rim_", "grooves.seat_", "grooves.cut_"
_SEAT_IN_RIM = re.compile(rf"{re.escape(_SEAT)}(?P<rim>\w+)_(?P<cut>[0-9]+)")
_RANKED = re.compile(r"grooves\.(?:rim|seat)_(?P<rank>[0-9]+)(?:_(?P<cut>[0-9]+))?")

GONE = " (as published)"
"""Stands behind the name of a row's figure that is no longer given: today's row of that number is
another one."""


@dataclass(frozen=True, slots=True)
class Family:
    """The columns of such a table, each by its measurements' name without the row's number.

    Attributes:
        stems: in the order of the columns; the first that holds a figure is the place.
    """

    stems: tuple[str, ...]

    def numbers(self, names: Iterable[str]) -> list[int]:
        """The rows that are there, by their numbers, in order."""
        found = (_NUMBERED.fullmatch(name) for name in names)
        return sorted({int(one[2]) for one in found if one is not None and one[1] in self.stems})

    def holds(self, name: str) -> bool:
        """Whether a measurement stands in such a table."""
        found = _NUMBERED.fullmatch(name.removesuffix(GONE))
        return found is not None and found[1] in self.stems

    def row(self, told: Mapping[str, Told], number: int) -> tuple[str, ...]:
        """The row as told; what was not told of it is empty."""
        cells = (told.get(f"{stem}_{number}") for stem in self.stems)
        return tuple("" if one is None else one.metric for one in cells)

    @property
    def subject(self) -> str:
        """The part, or what else the table is of."""
        return self.stems[0].partition(".")[0]


def families(schedules: Iterable[Schedule], names: Iterable[str]) -> tuple[Family, ...]:
    """The tables whose rows follow an axis.

    Args:
        schedules: all that there are.
        names: of all measurements; those that no schedule holds go with the rows that they count
            along with.
    """
    numbers: dict[str, list[int]] = {}
    for name in names:
        if (found := _NUMBERED.fullmatch(name)) is not None:
            numbers.setdefault(found[1], []).append(int(found[2]))
    columns = [
        (schedule, tuple(_stem(name) for name in schedule.rows[0]))
        for schedule in schedules
        if schedule.rows
    ]
    taken = {stem for _, stems in columns for stem in stems}
    out = []
    for schedule, stems in columns:
        if schedule.along_axis:
            besides = (
                stem
                for stem, found in numbers.items()
                if stem not in taken
                and stem.startswith(f"{schedule.subject}.")
                and found == numbers.get(stems[0])
            )
            out.append(Family((*stems, *besides)))
    return tuple(out)


def _stem(name: str) -> str:
    found = _NUMBERED.fullmatch(name)
    return name if found is None else found[1]


def rims_by_size(told: Mapping[str, Told], now: Mapping[str, Told]) -> dict[str, str]:
    """Today's names of figures that were told of a rim by its rank among those owned.

    Such are in records of before rims went by their sizes.

    Args:
        told: by the names of then.
        now: all that is told today.
    """
    sizes = {one.metric: name for name, one in now.items() if name.startswith(_RIM)}
    ranks: dict[str, str] = {}
    seats: list[tuple[str, str, str]] = []
    names: dict[str, str] = {}
    for name, one in told.items():
        if (found := _RANKED.fullmatch(name)) is None:
            continue
        if found["cut"]:
            seats.append((name, found["rank"], found["cut"]))
        elif one.metric in sizes:
            names[name] = sizes[one.metric]
            ranks[found["rank"]] = names[name].removeprefix(_RIM)
    return names | {
        name: f"{_SEAT}{ranks[rank]}_{cut}" for name, rank, cut in seats if rank in ranks
    }


def by_todays_names(
    told: Mapping[str, Told], now: Mapping[str, Told], tables: Sequence[Family]
) -> dict[str, Told]:
    """What was told, by the names under which it stands today; arguments as below."""
    names = names_of_today(told, now, tables)
    return {names.get(name, name): one for name, one in told.items()}


def names_of_today(
    told: Mapping[str, Told], now: Mapping[str, Told], tables: Sequence[Family]
) -> dict[str, str]:
    """Today's name of each figure that may have another one than it had then, by that.

    A row of which nothing tells that it is one of today's is no longer given: its figures' names of
    today are none (:data:`GONE`).

    Args:
        told: by the names of then.
        now: all that is told today.
        tables: whose rows go by their places.
    """
    names = rims_by_size(told, now)
    # most designs have no record: nothing of theirs is looked for
    for table in tables if told else ():
        old, new = table.numbers(told), table.numbers(now)
        rows = _rows(table, told, tables), _rows(table, now, tables)
        paired = dict(_pairs(*rows, _LEVELS))
        for place, number in enumerate(old):
            found = paired.get(place)
            for stem in table.stems:
                name = f"{stem}_{number}"
                names[name] = f"{name}{GONE}" if found is None else f"{stem}_{new[found]}"
    return names


def place_of(name: str, told: Mapping[str, Told], tables: Iterable[Family]) -> str:
    """Where a row stands, as told; empty for what stands in no such table.

    Args:
        name: of one of its figures.
        told: by the same names.
        tables: all that there are.
    """
    for table in tables:
        if not table.holds(name):
            continue
        tail = GONE if name.endswith(GONE) else ""
        number = name.removesuffix(GONE).rpartition("_")[2]
        cells = [told.get(f"{stem}_{number}{tail}") for stem in table.stems]
        row = tuple(one.text for one in cells if one is not None)
        words = ", ".join(_words(row))
        place = _place(row)
        return str(
            tr("{words} at {place}", words=words, place=place)
            if words
            else tr("at {place}", place=place)
        )
    return ""


def in_its_row(
    name: str,
    label: str,
    told: Mapping[str, Told],
    tables: Iterable[Family],
    schedules: Iterable[Schedule],
) -> str:
    """What a figure is called, and which row of its table it stands in.

    Args:
        name: of the figure.
        label: its own.
        told: by the same names, that row's figures.
        tables: whose rows go by their places.
        schedules: all that there are.
    """
    row = place_of(name, told, tables) or row_named(name, told, schedules)
    return f"{label} ({row})" if row else label


def row_named(name: str, told: Mapping[str, Told], schedules: Iterable[Schedule]) -> str:
    """Which row of a table a figure stands in where rows go by their number: "Mark 3".

    Where the column is of something by itself, such as a rim, it is named too. Empty for what
    stands in no such row.

    Args:
        name: of the figure.
        told: by the same names.
        schedules: all that there are.
    """
    if _NUMBERED.fullmatch(name) is None:
        return ""
    for schedule in schedules:
        for row in schedule.rows:
            head = told.get(row[0])
            if name not in row[1:] or head is None:
                continue
            number = head.text.isdigit()
            words = [f"{schedule.columns[0]} {head.text}" if number else head.text]
            words += _called(told, schedule.columns[row.index(name)])
            return ", ".join(words)
    return _seat_named(name, told)


def _seat_named(name: str, told: Mapping[str, Told]) -> str:
    """Of which cut and in which rim a seat is that no table of today holds; else empty."""
    found = _SEAT_IN_RIM.fullmatch(name)
    cut = told.get(f"{_CUT}{found['cut']}") if found is not None else None
    if found is None or cut is None:
        return ""
    return ", ".join([cut.text, *_called(told, f"{_RIM}{found['rim']}")])


def _called(told: Mapping[str, Told], name: str) -> Iterator[str]:
    """What a figure is called and what was told of it, where it was."""
    if (one := told.get(name)) is not None:
        yield f"{one.label} {one.text}"


def todays(table: MeasurementTable) -> dict[str, Told]:
    """Every measurement as it is told now."""
    return {
        name: Told(one.label, one.both, one.metric.text, one.imperial.text)
        for name, one in table.items()
    }


_Row = tuple[str, ...]


def _whole(row: _Row) -> Hashable:
    return row


def _words(row: _Row) -> tuple[str, ...]:
    return tuple(one for one in row if one and not any(find_numbers(one)))


def _place(row: _Row) -> str:
    return next((one for one in row if any(find_numbers(one))), "")


def _place_and_words(row: _Row) -> Hashable:
    return _place(row), _words(row)


def _rows(table: Family, told: Mapping[str, Told], tables: Sequence[Family]) -> list[_Row]:
    """All rows as told, each with what is there.

    Where a table does not say what is at its places, such as that of the parting cuts, the one of
    the same part that does tells between which of its rows each stands.
    """
    rows = [table.row(told, number) for number in table.numbers(told)]
    if any(map(_words, rows)):
        return rows
    stands = [
        (_from_the_end(row), _words(row))
        for other in tables
        if other.subject == table.subject and other is not table
        for row in (other.row(told, number) for number in other.numbers(told))
        if _words(row)
    ]
    return [(*row, *_between(_from_the_end(row), stands)) for row in rows]


def _between(place: float, stands: Sequence[tuple[float, tuple[str, ...]]]) -> Iterator[str]:
    """What is at the last of the known places up to one, and at the first from it on.

    Args:
        place: along the axis, mm.
        stands: the known places, in order, and what is there.
    """
    for beside in (
        [words for at, words in stands if at <= place][-1:],
        [words for at, words in stands if at >= place][:1],
    ):
        yield from (", ".join(words) for words in beside)


def _from_the_end(row: _Row) -> float:
    """Where a row stands, mm; 0 where that is not told."""
    found = next(find_numbers(_place(row)), None)
    try:
        return 0.0 if found is None else float(plain_number(found.written))
    except ValueError:
        # a record is a file that others may have had in hand
        return 0.0


_Key = Callable[[_Row], Hashable]

_LEVELS: tuple[tuple[_Key, bool], ...] = (
    (_whole, False),
    (_words, True),
    (_place_and_words, False),
    (_words, False),
    (_place, False),
)
"""By what rows are the same one, and whether only where it is said of a single row: a crown is
known wherever it has moved to, one of many places along a taper by its place first."""


def _pairs(
    old: Sequence[_Row], new: Sequence[_Row], levels: Sequence[tuple[_Key, bool]]
) -> Iterator[tuple[int, int]]:
    """Places of rows that are the same one.

    Rows never cross: they follow the axis. Which of several that are alike is gone, and which is a
    new one, nobody can tell: where there are not as many of them as there were, none of them is
    paired.
    """
    if not levels:
        return
    (key, single), *rest = levels
    keys = [key(one) for one in old], [key(one) for one in new]
    many, today = map(Counter, keys)

    def known(side: str, place: int, one: Hashable) -> Hashable:
        alike = many[one] == today[one] and (many[one] == 1 or not single)
        return one if one and alike else (side, place)

    then, now = (
        [known(side, *one) for one in enumerate(of)] for side, of in zip("ab", keys, strict=True)
    )
    matcher = SequenceMatcher(None, then, now, autojunk=False)
    i = j = 0
    blocks = matcher.get_matching_blocks()
    # between known rows there may be single ones that are not single in the whole table
    again = levels if single and len(blocks) > 1 else rest
    for first, second, size in blocks:
        for a, b in _pairs(old[i:first], new[j:second], again):
            yield i + a, j + b
        yield from ((first + place, second + place) for place in range(size))
        i, j = first + size, second + size
