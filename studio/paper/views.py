"""What the templates ask for: measurements grouped, tools gathered, repeats left out.

Nothing here makes a number; it only chooses and orders what the episode holds.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Container, Iterable, Sequence
from dataclasses import dataclass, field

from markupsafe import Markup

from studio.compute.batch import Operation
from studio.compute.boring import DRILL_SOURCE
from studio.compute.sheet import PRACTICE
from studio.episode.records import Caution, Change, Chapter, Correction, Episode, TimedStep
from studio.episode.told_texts import is_text, named_in
from studio.language import tr
from studio.measure.measurement import Measurement, MeasurementTable, System
from studio.measure.schedule import Schedule
from studio.measure.subjects import HEADINGS, heading
from studio.measure.trace import mark, plain, spans
from studio.paper.drawings import Drawing, drawings_of
from studio.paper.ring_names import ring_called

BLANK = ("stock.section", "stock.length")
"""The blank's size."""

HANGER = ("hanger.wire", "hanger.drill")
"""The hanger's wire, and the drill for it."""

USED_UP = ("sanding.papers", "finish.product", "finish.amount")
"""Papers and finish: bought beside the wood, not set to a size."""

_CUTTER = re.compile(r"\w+\.cutter(_\d+)?")

_WOOD = "stock.wood_"
"""What the names of the woods in the list of what to saw begin with."""

STOCK = "stock"
"""The subject whose schedules stand where the page says what to have ready."""

MOST_WORDY = 2
"""So does one with more columns of words than this."""

BALL = "sphere"
"""The subject that nearly every step speaks of."""

PARTS = "profile"
"""The subject of turned parts in general; each part's own follows it."""

LONGEST_FIGURE = 14
"""A text longer than this is words rather than a figure, and may be broken into lines."""

MOST_NARROW = 5
"""A schedule of more columns than this takes the whole width of a page."""


@dataclass(frozen=True, slots=True)
class Group:
    """A subject: what is measured, drawn and scheduled under one heading.

    Attributes:
        key: the first part of its measurements' names.
        heading: marked; what it is called.
        drawings: in the order of work.
        narrow: schedules that may stand beside a drawing.
        wide: schedules that need the page's whole width.
        measurements: what stands in none of the schedules, to be listed one by one.
    """

    key: str
    heading: str
    drawings: tuple[Drawing, ...]
    narrow: tuple[Schedule, ...]
    wide: tuple[Schedule, ...]
    measurements: tuple[Measurement, ...]


@dataclass(slots=True)
class Plate:
    """Drawings and schedules that stand together on the page for the bench.

    Attributes:
        drawings: in the order of work.
        narrow: schedules that may stand beside a drawing.
        wide: schedules that need the page's whole width.
    """

    drawings: list[Drawing] = field(default_factory=list)
    narrow: list[Schedule] = field(default_factory=list)
    wide: list[Schedule] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Headed:
    """A plate by itself, with the subject that it is about.

    Attributes:
        key: of the subject.
        heading: marked text.
        plate: what stands under it.
    """

    key: str
    heading: str
    plate: Plate


@dataclass(frozen=True, slots=True)
class Plates:
    """Where each drawing and schedule stands on the page for the bench.

    Attributes:
        leading: drawings that stand beside what to have ready.
        by_step: the step's id, and what a turner looks for in it.
        rest: what no step asks for by name, each subject's under its heading.
    """

    leading: tuple[Drawing, ...]
    by_step: dict[str, Plate]
    rest: tuple[Headed, ...]


@dataclass(frozen=True, slots=True)
class Source:
    """A source and the subjects that have figures from it, marked; ``name`` traces it."""

    name: str
    text: str
    subjects: tuple[str, ...]


MOST_CHANGES = 6
"""Changed figures of one correction that are told where there is little room (ours)."""

MOST_ON_TOP = 10
"""The same before everything else on a page, which tells the others further down (ours)."""


@dataclass(frozen=True, slots=True)
class Righted:
    """A changed figure of a correction as it is told.

    Attributes:
        change: what it was, and what it was put right to then.
        since: what it was put right to by later corrections, where there were any; then ``change``
            says no more what holds. Empty where it does, and where the figure was withdrawn.
        withdrawn: whether a later correction withdrew it.
    """

    change: Change
    since: str = ""
    withdrawn: bool = False


@dataclass(frozen=True, slots=True)
class Corrected:
    """A correction as it is told.

    Attributes:
        place: 1-based, in the record.
        correction: the day, the reason.
        changes: that are told, what a caution says first, then what the voice says, the key
            measurements, what the text prints elsewhere, and what else the steps name.
        rest: that are not, in the same order.
        more: how many those are, marked; empty when there are none.
    """

    place: int
    correction: Correction
    changes: tuple[Righted, ...]
    rest: tuple[Righted, ...] = ()
    more: str = ""


@dataclass(frozen=True, slots=True)
class Notice:
    """A caution in short; ``of`` is marked and says what its figure is of, where that is needed."""

    of: str
    caution: Caution


@dataclass(frozen=True, slots=True)
class CautionSource:
    """A source and the cautions taken from it; ``code`` traces it."""

    code: str
    text: str
    notices: tuple[Notice, ...]


def is_wide(table: MeasurementTable, schedule: Schedule) -> bool:
    """Whether a schedule needs a page's whole width: for its many columns, or for their words."""
    many = len(schedule.columns) + schedule.pencil > MOST_NARROW
    return many or len(word_columns(table, schedule)) > MOST_WORDY


def word_columns(table: MeasurementTable, schedule: Schedule) -> frozenset[int]:
    """The columns, counted from 0, that tell something in words rather than in figures."""
    return frozenset(
        place
        for row in schedule.rows
        for place, name in enumerate(row)
        if name and is_words(table[name].text)
    )


@dataclass(frozen=True, slots=True)
class Column:
    """A column's heading: a measurement's text, or plain words."""

    measurement: Measurement | None
    words: str


def columns(table: MeasurementTable, schedule: Schedule) -> tuple[Column, ...]:
    """What stands over each column of a schedule."""
    known = frozenset(table)
    return tuple(
        Column(table[words] if words in known else None, words) for words in schedule.columns
    )


def is_words(text: str) -> bool:
    """Whether a text tells something in words: more than a number and its unit."""
    return len(text) > LONGEST_FIGURE or not any(map(str.isdigit, text))


def groups(episode: Episode) -> tuple[Group, ...]:
    """Every subject with its drawings, schedules and what is left to list.

    A measurement that stands in a printed schedule is not listed once more. Subjects without a
    heading of their own come last; a turned part goes by its title. Schedules of the stock are
    printed where the page says what to have ready.
    """
    table = episode.table
    scheduled = frozenset(name for one in episode.schedules for name in one.names())
    listed: dict[str, list[Measurement]] = {}
    for measurement in table.values():
        listed.setdefault(_subject(measurement.name), []).append(measurement)
    drawings: dict[str, list[Drawing]] = {}
    for drawing in drawings_of(episode):
        drawings.setdefault(drawing.subject, []).append(drawing)
    schedules: dict[str, list[Schedule]] = {}
    for schedule in episode.schedules:
        if schedule.subject != STOCK:
            schedules.setdefault(schedule.subject, []).append(schedule)
    found = listed | drawings | schedules
    order = [key for key in HEADINGS if key in found]
    # turned parts stand where the subjects of turned parts do
    titled = [key for key in parts(table) if key in found]
    after = order.index(PARTS) + 1 if PARTS in order else len(order)
    order[after:after] = titled
    order += [key for key in found if key not in order]
    made = []
    for key in order:
        title = next((one for one in listed.get(key, ()) if one.name == f"{key}.title"), None)
        made.append(
            Group(
                key=key,
                heading=title.marked() if title is not None else heading(key),
                drawings=tuple(drawings.get(key, ())),
                narrow=tuple(one for one in schedules.get(key, ()) if not is_wide(table, one)),
                wide=tuple(one for one in schedules.get(key, ()) if is_wide(table, one)),
                measurements=tuple(
                    one
                    for one in listed.get(key, ())
                    if one.name not in scheduled and one is not title
                ),
            )
        )
    return tuple(
        group
        for group in made
        if group.drawings or group.narrow or group.wide or group.measurements
    )


def stock_schedules(episode: Episode) -> tuple[Schedule, ...]:
    """What there is to saw, as schedules."""
    return tuple(one for one in episode.schedules if one.subject == STOCK)


@dataclass(frozen=True, slots=True)
class Illustrated:
    """What a step of the handout shows of what stands under the measurements.

    Attributes:
        drawings: in the order of work.
        subjects: those of its figures, drawings and schedules, as they are headed.
    """

    drawings: tuple[Drawing, ...]
    subjects: tuple[Group, ...]


def illustrated(episode: Episode, every: Sequence[Group]) -> dict[str, Illustrated]:
    """By a step's id, the drawings that it asks for, and the subjects that it speaks of.

    Args:
        episode: the design's.
        every: its subjects, as :func:`groups` makes them.
    """
    asking = _Asking.of(episode)
    drawn: dict[str, list[Drawing]] = {}
    about: dict[str, set[str]] = {
        step.id: {_subject(one.name) for one in step.shows} for step in episode.steps
    }
    for group in every:
        for drawing in group.drawings:
            step = asking.step(drawing.calls, drawing.subject)
            if step is not None:
                drawn.setdefault(step, []).append(drawing)
                about[step].add(group.key)
        if group.narrow or group.wide:
            step = asking.step(_ASKED_WITH.get(group.key, ()), group.key)
            if step is not None:
                about[step].add(group.key)
    return {
        step.id: Illustrated(
            tuple(drawn.get(step.id, ())),
            tuple(group for group in every if group.key in about[step.id]),
        )
        for step in episode.steps
    }


def _subject(name: str) -> str:
    """The group that a measurement belongs to: the first part of its name."""
    return name.partition(".")[0]


_ASKED_WITH = {"axis": ("grooves.rim", "grooves.turn")}
"""A subject that a step may need without naming any of its measurements: it goes with these."""


def plates(episode: Episode) -> Plates:
    """Each drawing and schedule at the step in which a turner wants it.

    That is the first step whose card shows, or else whose words name, one of the measurements that
    call for it, or else one of its subject.
    """
    by_step: dict[str, Plate] = {}
    rest: dict[str, Plate] = {}
    asking = _Asking.of(episode)
    drawn = drawings_of(episode, bench=True)
    for drawing in drawn:
        if drawing.leads:
            continue
        step = asking.step(drawing.calls, drawing.subject)
        if step is not None:
            by_step.setdefault(step, Plate()).drawings.append(drawing)
        elif drawing.wanted:
            rest.setdefault(drawing.subject, Plate()).drawings.append(drawing)
    for schedule in episode.schedules:
        if schedule.subject == STOCK:
            continue
        step = asking.step(_ASKED_WITH.get(schedule.subject, ()), schedule.subject)
        plates = (by_step, step) if step is not None else (rest, schedule.subject)
        plate = plates[0].setdefault(plates[1], Plate())
        (plate.wide if is_wide(episode.table, schedule) else plate.narrow).append(schedule)
    headings = {group.key: group.heading for group in groups(episode)}
    return Plates(
        leading=tuple(one for one in drawn if one.leads),
        by_step=by_step,
        rest=tuple(Headed(key, headings[key], rest[key]) for key in headings if key in rest),
    )


@dataclass(frozen=True, slots=True)
class _Asking:
    """Which step asks for what: the names that each step's card shows, and that its words name."""

    shown: tuple[tuple[str, frozenset[str]], ...]
    said: tuple[tuple[str, frozenset[str]], ...]

    @classmethod
    def of(cls, episode: Episode) -> _Asking:
        return cls(
            tuple((one.id, frozenset(shown.name for shown in one.shows)) for one in episode.steps),
            tuple(
                (
                    one.id,
                    frozenset(span.name for text in (one.do, one.say) for span in spans(text)[1]),
                )
                for one in episode.steps
            ),
        )

    def step(self, calls: Collection[str], subject: str) -> str | None:
        """The step that asks for one of the measurements ``calls``, or for any of a subject."""
        for names in (self.shown, self.said):
            for ident, found in names:
                if found.intersection(calls):
                    return ident
        # everything begins with the ball: that a step speaks of it does not make it the right one
        if subject == BALL:
            return None
        for names in (self.shown, self.said):
            for ident, found in names:
                if any(name.startswith(f"{subject}.") for name in found):
                    return ident
        return None


def needed(episode: Episode) -> tuple[Measurement, ...]:
    """What to have ready before the first cut: the blank, every cutter and drill, the wire.

    What stands in a schedule of the stock is not named once more.
    """
    table = episode.table
    ready = [*_named(episode, BLANK), *_cutters(table), *_named(episode, HANGER)]
    # a tenon's hole has a drill, unless it is an opening that is there already
    holes = (table.get(f"{part}.hole") for part in parts(table))
    ready += [hole for hole in holes if hole is not None and is_bored(hole)]
    listed = frozenset(name for one in stock_schedules(episode) for name in one.names())
    return tuple(one for one in ready if one.name not in listed)


def _cutters(table: MeasurementTable) -> Iterable[Measurement]:
    """Each cutter that makes a groove or a ring, once however many it makes."""
    found: dict[tuple[str, str], Measurement] = {}
    for one in filter(is_cutter, table.values()):
        found.setdefault((one.label, one.text), one)
    return found.values()


def used_up(episode: Episode) -> tuple[Measurement, ...]:
    """What else to buy: papers and finish."""
    return _named(episode, USED_UP)


def is_cutter(measured: Measurement) -> bool:
    """Whether it is the cutter that makes a groove or a ring."""
    return _CUTTER.fullmatch(measured.name) is not None


def is_bored(measured: Measurement) -> bool:
    """Whether it is a part's hole that a drill makes."""
    return measured.name.endswith(".hole") and measured.source == tr(DRILL_SOURCE)


def woods(episode: Episode) -> tuple[str, ...]:
    """Every wood once, marked: the blank's, and those of parts that have blanks of their own."""
    listed = [
        episode.table[name]
        for one in stock_schedules(episode)
        for row in one.rows
        for name in row
        if name.startswith(_WOOD)
    ]
    if listed:
        return tuple({one.text: one.marked() for one in listed}.values())
    return (mark("species", episode.species),) if episode.species else ()


def parts(table: MeasurementTable) -> tuple[str, ...]:
    """The design's names of its turned parts."""
    return tuple(name.partition(".")[0] for name in table if name.endswith(".title"))


def whose(episode: Episode, name: str) -> str:
    """What a measurement is of, marked, where its label alone does not say it: a part's title.

    In a piece of several parts the ceilings of ``speed.*`` need a name too: they hold for the
    globe, and, once that is roughed out, for the piece put together.
    """
    subject, _, key = name.partition(".")
    table = episode.table
    if (title := table.get(f"{subject}.title")) is not None:
        known = table.get(name)
        said = known is not None and title.text.casefold() in known.label.casefold()
        return "" if said else title.marked()
    piece = episode.piece
    if subject != "speed" or piece is None or not piece.parts:
        return ""
    if piece.globe is None:
        return tr("Whole piece")
    return tr("Globe") if key == "rough" else tr("Globe and whole piece")


def of_what(episode: Episode, name: str) -> str:
    """What a measurement is of, marked, where it is told by its label alone: a part, or a ring."""
    return whose(episode, name) or ring_called(episode.table, name)


def lang(episode: Episode, *texts: str) -> Markup:
    """An attribute that tells a text's language where that is not the page's; else nothing.

    Args:
        episode: the design's.
        texts: where it stands in the design (``steps.rough.do``), or what it says, marked; one of
            them, untranslated, is enough.
    """
    if not any(plain(text) in episode.foreign for text in texts):
        return Markup("")
    return Markup(' lang="{}"').format(episode.foreign_in)


def lang_of_record(episode: Episode) -> Markup:
    """The same attribute for what viewers had been told, which is kept in the design's language."""
    second = episode.language.page != episode.own_in
    return Markup(' lang="{}"').format(episode.own_in) if second else Markup("")


def lang_of_told(episode: Episode, text: str) -> Markup:
    """The same attribute for a text of a correction that stands as recorded; else nothing."""
    return lang_of_record(episode) if text in episode.as_recorded else Markup("")


def chapter_texts(episode: Episode, chapter: Chapter) -> tuple[str, ...]:
    """Where a chapter's title stands in the design."""
    return tuple(f"steps.{name}.chapter" for name in chapter.step_ids)


def ending(episode: Episode) -> str:
    """What stands in the names of the episode's files for its language: ``.de``, or nothing."""
    own = any(not one.ending for one in episode.alternates)
    return f".{episode.language.tag}" if own else ""


def system_word(system: System, small: bool = False) -> str:
    """What a system of units is called, over a column or in a sentence."""
    if system is System.METRIC:
        return tr("metric") if small else tr("Metric")
    return tr("imperial") if small else tr("Imperial")


def is_practice(measurement: Measurement) -> bool:
    """Whether a figure comes from common practice alone."""
    return measurement.source == tr(PRACTICE)


def tools(steps: Iterable[TimedStep]) -> tuple[str, ...]:
    """Every tool once, in the order in which the steps pick them up."""
    return tuple(dict.fromkeys(tool for step in steps for tool in step.tools))


def cautions(episode: Episode) -> tuple[Notice, ...]:
    """Every caution once. One code may be said in two ways, or of two parts, and then stands
    twice."""
    found: dict[tuple[str, str, str], Notice] = {}
    for step in episode.steps:
        for caution in step.cautions:
            named = (whose(episode, span.name) for span in spans(caution.short)[1])
            of = next(filter(None, named), "")
            key = (caution.code, plain(of), plain(caution.short))
            found.setdefault(key, Notice(of, caution))
    return tuple(found.values())


def caution_sources(episode: Episode) -> tuple[CautionSource, ...]:
    """Every source of a caution once, with the cautions taken from it."""
    found: dict[str, list[Notice]] = {}
    for notice in cautions(episode):
        found.setdefault(notice.caution.source, []).append(notice)
    return tuple(
        CautionSource(notices[0].caution.code, text, tuple(notices))
        for text, notices in found.items()
        if text
    )


def sources(table: MeasurementTable) -> tuple[Source, ...]:
    """Every source once, with the subjects that draw on it, in the order of the table."""
    found: dict[str, list[Measurement]] = {}
    for measurement in table.values():
        if measurement.source:
            found.setdefault(measurement.source, []).append(measurement)
    return tuple(
        Source(ms[0].name, text, tuple(dict.fromkeys(_called(table, m.name) for m in ms)))
        for text, ms in found.items()
    )


def _called(table: MeasurementTable, name: str) -> str:
    """What a measurement's subject is called, marked: a part by its title."""
    key = _subject(name)
    title = table.get(f"{key}.title")
    return title.marked() if title is not None else mark(f"group:{key}", heading(key))


def rows(measurements: Iterable[Measurement]) -> tuple[tuple[Measurement, ...], ...]:
    """Measurements to be listed, those that differ in their figures alone in one row."""
    found: dict[tuple[str, ...], list[Measurement]] = {}
    for one in measurements:
        key = (one.label, one.where, one.formula, one.rule, one.name if one.bench else "")
        found.setdefault(key, []).append(one)
    return tuple(tuple(row) for row in found.values())


def _named(episode: Episode, names: Iterable[str]) -> tuple[Measurement, ...]:
    return tuple(episode.table[name] for name in names if name in episode.table)


def batch_counts(episode: Episode) -> tuple[Measurement, ...]:
    """How many blanks of each kind are sawn for a batch, and how many of them are spares."""
    return _named(episode, ("batch.pieces", "batch.share", "batch.spares", "batch.blanks"))


def batch_supplies(episode: Episode) -> tuple[Measurement, ...]:
    """What a batch takes beside its wood."""
    names = ("wires", "wires_single", "wire", "coil", "coils", "area", "coated", "finish")
    lengths = ("hanger.cut", "hanger.cut_single") if "batch.wires" in episode.table else ()
    return _named(episode, (*lengths, *(f"batch.{name}" for name in names)))


def batch_settings(episode: Episode, operation: Operation) -> tuple[Measurement, ...]:
    """What one operation is set to, the speed ceiling that its cautions hold it to, its times."""
    step = episode.steps[operation.number - 1]
    names = [one.name for one in step.shows]
    names += [step.ceiling, operation.set_up, operation.each, operation.work]
    return _named(episode, dict.fromkeys(filter(None, names)))


def batch_times(episode: Episode) -> tuple[Measurement, ...]:
    """What a batch takes at the bench, and what its finish takes to dry."""
    if "batch.time" not in episode.table:
        return ()
    return _named(episode, ("batch.time", "batch.time_each", "finish.total"))


def shown(episode: Episode) -> tuple[Measurement, ...]:
    """The key measurements: each that some step's card shows, once, in order of work."""
    return tuple({m.name: m for step in episode.steps for m in step.shows}.values())


def corrections(
    episode: Episode, most: int | None = None, printed: Container[str] = ()
) -> tuple[Corrected, ...]:
    """Every correction, newest first, with its changes.

    Args:
        episode: the design's.
        most: how many changes of one are told; None for all.
        printed: names of the measurements that the text prints elsewhere: what is told of these,
            and of what a caution says, is told whatever the number.
    """
    cautions = (one for step in episode.steps for one in step.cautions)
    warned = _names_in(text for one in cautions for text in (one.short, one.text))
    key = {one.name for one in shown(episode)}
    said = _names_in(step.say for step in episode.steps)
    named = _names_in(step.do for step in episode.steps)

    def rank(change: Change) -> int:
        # a sentence of a text is named by itself
        told = (
            change.name in warned,
            change.name in said,
            change.name in key,
            change.name in printed,
            change.name in named or is_text(change.name),
        )
        return next((place for place, one in enumerate(told) if one), len(told))

    out = []
    for place, one in enumerate(episode.corrections, start=1):
        later: dict[str, list[Change]] = {}
        for other in episode.corrections[place:]:
            for change in other.changes:
                later.setdefault(other.figure(change), []).append(change)
        changes = sorted(one.changes, key=rank)
        here = [n for n, c in enumerate(changes, start=1) if c.name in printed or c.name in warned]
        every = tuple(righted(c, later.get(one.figure(c), ())) for c in changes)
        end = len(every) if most is None else max([most, *here])
        told, rest = every[:end], every[end:]
        more = mark(f"corrected:{place}", str(len(rest))) if rest else ""
        out.append(Corrected(place, one, told, rest, more))
    return tuple(reversed(out))


def newest(
    every: tuple[Corrected, ...], most: int | None = None
) -> tuple[tuple[Corrected, ...], str]:
    """The newest corrections, and how many others there are, marked; empty for none.

    Args:
        every: newest first.
        most: how many are told; None for all.
    """
    told = every[:most]
    further = len(every) - len(told)
    return told, mark("corrected:earlier", str(further)) if further else ""


def _names_in(texts: Iterable[str]) -> frozenset[str]:
    """The measurements that marked texts name."""
    return frozenset(name for text in texts for name in named_in(text))


def righted(change: Change, later: Iterable[Change]) -> Righted:
    """A change with what became of its figure in later corrections.

    A text is one figure with all its sentences: of one it is the change that begins where this
    ended.

    Args:
        change: of the figure.
        later: changes of the same figure in later corrections, oldest first.
    """
    now = change.new
    for one in later:
        if not is_text(one.name) or one.old == now:
            now = one.new
    if now == change.new:
        return Righted(change)
    return Righted(change, since=now, withdrawn=not now)
