"""Small drawings for a card, said in shares and counts: the picture itself is drawn elsewhere."""

from __future__ import annotations

from collections.abc import Callable

from studio.design.schema import Step
from studio.episode.records import Inset
from studio.language import tr, tr_many
from studio.measure.measurement import Measurement, MeasurementTable
from studio.measure.trace import mark

Tell = Callable[[str, str, str], None]
"""Called with a key of the step, what is wrong and what to write instead."""


def inset(step: Step, table: MeasurementTable, tell: Tell) -> Inset | None:
    """The drawing that a step asks for; None without one, or with a fault told.

    Args:
        step: as typed.
        table: all measurements.
        tell: takes a fault.
    """
    if step.inset is None:
        if step.groove is not None:
            tell("groove", "a groove is named and no drawing shows it", "write inset: grooves too")
        return None
    return _MAKERS[step.inset](step, table, tell)


def _octagon(step: Step, table: MeasurementTable, tell: Tell) -> Inset | None:
    set_in, side = table.get("sphere.set_in"), table.get("sphere.diameter")
    if set_in is None or side is None:
        tell("inset", "there is no ball, so no octagon to draw", "leave inset out")
        return None
    if step.groove is not None:
        tell("groove", "an octagon shows no groove", "leave groove out, or write inset: grooves")
        return None
    return Inset(
        drawing="octagon",
        caption=tr("Set-in {size}", size=set_in.marked()),
        set_in=set_in.value / side.value,
    )


def _index(step: Step, table: MeasurementTable, tell: Tell) -> Inset | None:
    count = table.get("axis.marks") or table.get("index.marks")
    if count is None:
        tell("inset", "there are no index marks to draw", "write indexing:, or leave inset out")
        return None
    marks = round(count.value)
    if step.groove is None:
        # the first mark: from there a turner counts, and there the plate's first stop is locked
        caption = tr("{count} marks", count=count.marked())
        return Inset(drawing="index", caption=caption, marks=marks, lit=(1,))
    if "grooves.number" not in table:
        # no groove was laid out on these marks, so groove n is the cut at mark n
        return _at_mark(step.groove, count, marks, tell)
    cut = _cut(step, table, tell)
    if cut is None:
        return None
    through = table[f"axis.marks_{cut}"]
    first = through.value
    # a groove between two marks lights neither
    lit = (round(first), round(first) + marks // 2) if first == round(first) else ()
    caption = tr("Marks {marks} of {count}", marks=through.marked(), count=count.marked())
    return Inset(drawing="index", caption=caption, marks=marks, lit=lit)


def _at_mark(number: int, count: Measurement, marks: int, tell: Tell) -> Inset | None:
    if number > marks:
        tell("groove", f"there is no mark {number}", f"write a number from 1 to {marks}")
        return None
    # which of them the design says itself
    caption = tr(
        "Mark {number} of {count}",
        number=mark("typed:groove", str(number)),
        count=count.marked(),
    )
    return Inset(drawing="index", caption=caption, marks=marks, lit=(number,))


def _grooves(step: Step, table: MeasurementTable, tell: Tell) -> Inset | None:
    number, width = table.get("grooves.number"), table.get("grooves.width")
    ball = table.get("sphere.diameter")
    if number is None or width is None or ball is None:
        tell("inset", "there are no grooves to draw", "write grooves:, or leave inset out")
        return None
    count, share = round(number.value), width.value / ball.value
    if step.groove is None:
        caption = tr_many("{number} groove", "{number} grooves", count, number=number.marked())
        return Inset(drawing="grooves", caption=caption, grooves=count, width=share)
    cut = _cut(step, table, tell)
    if cut is None:
        return None
    return Inset(
        drawing="grooves",
        caption=tr(
            "Groove {number} of {count}",
            number=_groove(table, cut).marked(),
            count=number.marked(),
        ),
        grooves=count,
        done=tuple(round(_groove(table, before).value) - 1 for before in range(1, cut)),
        current=step.groove - 1 if step.groove is not None else None,
        width=share,
    )


def _cut(step: Step, table: MeasurementTable, tell: Tell) -> int | None:
    """Which cut, counted from 1, makes the step's groove."""
    number = table.get("grooves.number")
    count = round(number.value) if number is not None else 0
    for cut in range(1, count + 1):
        if f"axis.groove_{cut}" in table and round(_groove(table, cut).value) == step.groove:
            return cut
    tell(
        "groove",
        f"there is no groove {step.groove}",
        f"write a number from 1 to {count}" if count else "leave groove out",
    )
    return None


def _groove(table: MeasurementTable, cut: int) -> Measurement:
    return table[f"axis.groove_{cut}"]


_MAKERS: dict[str, Callable[[Step, MeasurementTable, Tell], Inset | None]] = {
    "octagon": _octagon,
    "index": _index,
    "grooves": _grooves,
}
