"""A batch: one design made many times, for a sale or a class."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from studio.compute.parts import base_part, part_label
from studio.compute.sheet import GEOMETRY, PRACTICE, TYPED, WORKSHOP, Sheet
from studio.design.schema import Board, Design, Step, StockedBoard
from studio.language import Said, later, own_word, tr
from studio.measure.measurement import Measurement, MeasurementTable, Reading, System
from studio.measure.rounding import (
    Direction,
    dimensions_text,
    is_long_length,
    liquid_reading,
    liquid_rule,
    long_length_reading,
    long_length_rule,
    typed_length,
    work_reading,
    work_rule,
)
from studio.measure.schedule import Schedule
from studio.measure.units import Length, mm_from
from studio.turning import batch, finish, stock
from studio.turning.tolerance import Measured
from studio.turning.wood import is_same

MOST = batch.MOST
"""Pieces in a batch."""

ARITHMETIC = later("elementary arithmetic")

OWN_TIMES = later("the turner's own times, typed in the design")

TRIED: dict[str, tuple[str, ...]] = {
    Measured.DIAMETER: ("sphere.diameter",),
    Measured.END: ("sphere.diameter",),
    Measured.SET_IN: ("sphere.set_in",),
    Measured.SECOND_MARK: ("sphere.second_mark",),
    Measured.THIRD_MARK: ("sphere.third_mark",),
    Measured.MARK: ("index.chord",),
    Measured.STRIP_MARK: ("index.strip",),
    Measured.DIVIDER_SETTING: ("index.chord",),
    Measured.POINT: ("index.chord",),
    Measured.CUTTER: ("grooves.width", "grooves.depth"),
}
"""Which figures of a piece show whether a measurement was taken well. Run-out is the spindle's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One step of the work, done on all pieces before the next one.

    Attributes:
        number: of the step, 1-based.
        mounts: whether the work is mounted anew for it.
        tools: what is set up for it: its tools that the operation before it did not have in hand.
        kept: its other tools.
        set_up, each, work: names of the times to set up, for one piece, and in all; may be empty.
    """

    number: int
    mounts: bool
    tools: tuple[int, ...]
    kept: tuple[int, ...]
    set_up: str
    each: str
    work: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """So many pieces of one design.

    Attributes:
        pieces: how many are wanted.
        table: the design's measurements and those of the batch.
        schedules: board plan and what to try on the first piece.
        operations: in order of work.
        untimed: numbers of the steps that say nothing about time.
        unplanned: names of the kinds of blank for which neither design nor workshop has a board
            that is large enough.
        warnings: what the turner should know.
    """

    pieces: int
    table: MeasurementTable
    schedules: tuple[Schedule, ...]
    operations: tuple[Operation, ...]
    untimed: tuple[int, ...]
    unplanned: tuple[str, ...]
    warnings: tuple[str, ...]


def compute_batch(design: Design, table: MeasurementTable, pieces: int) -> Batch:
    """Everything that so many pieces need, from one piece's ``table``.

    Args:
        design: sound.
        table: of one piece.
        pieces: 1 to 10,000.

    Raises:
        ValueError: the count is out of range.
    """
    sheet = Sheet.of(design.workshop.units, design)
    sheet.made = list(table.values())
    blanks = _add_counts(sheet, design, pieces)
    unplanned = _add_boards(sheet, design, blanks)
    _add_wire(sheet, design, blanks)
    _add_finish(sheet, design, blanks)
    _add_first_piece(sheet, design)
    operations = _operations(sheet, design, blanks)
    return Batch(
        pieces=pieces,
        table=MeasurementTable(sheet.made),
        schedules=tuple(sheet.schedules),
        operations=operations,
        untimed=tuple(one.number for one in operations if not one.work),
        unplanned=unplanned,
        warnings=tuple(sheet.warnings),
    )


def _add_counts(sheet: Sheet, design: Design, pieces: int) -> int:
    """Pieces, spares and blanks; all else is for every blank, as a spare may come out well."""
    share = design.workshop.batch.spares
    typed = "batch" in design.workshop.model_fields_set
    spares = batch.spares_to_cut(pieces, share / 100)
    sheet.count("batch.pieces", "Pieces wanted", pieces, formula="as asked for", source="asked for")
    sheet.percent(
        "batch.share",
        "Cut beside them for pieces that fail",
        share / 100,
        formula="typed, or what is commonly cut",
        source=WORKSHOP if typed else PRACTICE,
    )
    sheet.count(
        "batch.spares",
        "Spares to cut",
        spares,
        formula="pieces × share, rounded up",
        source=ARITHMETIC,
    )
    sheet.count(
        "batch.blanks",
        "Blanks to cut of each kind",
        pieces + spares,
        formula="pieces + spares",
        source=ARITHMETIC,
    )
    return pieces + spares


@dataclass(frozen=True, slots=True, kw_only=True)
class _Blank:
    """One kind of blank: what it is for, its wood, names of the measurements that say so and of
    its sizes, and its own board; ``told`` where that one's fault is told for one piece already."""

    label: str
    wood: str
    is_for: str
    is_of: str
    section: str
    length: str
    own: Board | None
    told: bool


def _blanks(sheet: Sheet, design: Design) -> Iterator[_Blank]:
    """Each kind of blank, with the words that name it."""
    base = base_part(design)
    label = part_label(base, design.parts[base]) if base is not None else tr("Globe")
    own = design.stock
    kinds = [(label, own.species, "stock.section", "stock.length", own.board, True)]
    kinds += [
        (part_label(name, part), design.wood_of(name), f"{name}.section", f"{name}.blank",
         part.board, False)
        for name, part in design.parts.items()
        if name != base and sheet.by_name(f"{name}.blank") is not None
    ]  # fmt: skip
    for place, (label, wood, section, length, board, told) in enumerate(kinds, start=1):
        is_for, is_of = f"batch.for_{place}", f"batch.wood_{place}"
        sheet.words(is_for, "What the blank is for", label, formula=TYPED, source=TYPED)
        sheet.words(is_of, "Its wood", own_word(wood), formula=TYPED, source=TYPED)
        yield _Blank(
            label=label, wood=wood, is_for=is_for, is_of=is_of, section=section, length=length,
            own=board, told=told,
        )  # fmt: skip


@dataclass(slots=True)
class _Pile:
    """Boards of one kind, of which some are at hand and not yet given to a kind of blank."""

    board: Board
    left: int

    @classmethod
    def of(cls, board: Board) -> _Pile:
        return cls(board, board.at_hand)

    def to_buy(self, needed: int) -> int:
        """Boards that are not at hand for so many; those that are, are given away with that."""
        given = min(self.left, needed)
        self.left -= given
        return needed - given


def _is_of(board: StockedBoard, wood: str) -> bool:
    return board.wood is None or is_same(board.wood, wood)


def _add_boards(sheet: Sheet, design: Design, blanks: int) -> tuple[str, ...]:
    """What is sawn, and the board plan; names of the blanks for which there is no board."""
    kept = [(board, _Pile.of(board)) for board in design.workshop.boards]
    rows: list[tuple[str, ...]] = []
    unplanned: list[str] = []
    kinds = tuple(_blanks(sheet, design))
    sheet.schedules.append(
        Schedule(
            name="batch.sawn",
            heading=tr("Blanks to saw"),
            columns=(tr("For"), tr("Wood"), tr("Section"), tr("Length"), tr("How many")),
            rows=tuple(
                (one.is_for, one.is_of, one.section, one.length, "batch.blanks") for one in kinds
            ),
        )
    )
    for blank in kinds:
        piles = [_Pile.of(board) for board in (blank.own,) if board is not None]
        # the boards of the workshop are there for every kind of blank, but only once
        piles += [pile for board, pile in kept if _is_of(board, blank.wood)]
        planned = len(rows)
        for pile in piles:
            row = _board_row(sheet, design, blank, pile, blanks, len(rows) + 1)
            if row is not None:
                rows.append(row)
        if len(rows) == planned:
            unplanned.append(blank.is_for)
    if rows:
        sheet.typed(
            "batch.kerf",
            "What the saw takes",
            design.workshop.sizing.kerf,
            at=("workshop", "sizing", "kerf"),
        )
        sheet.schedules.append(
            Schedule(
                name="batch.boards",
                heading=tr("Board plan"),
                columns=(
                    tr("For"), tr("Wood"), tr("Board"), tr("Sawn as"), tr("Blanks a board"),
                    tr("Boards"), tr("To buy"), tr("Blanks over"), tr("Waste"),
                ),
                rows=tuple(rows),
            )
        )  # fmt: skip
    return tuple(unplanned)


def _board_row(
    sheet: Sheet, design: Design, blank: _Blank, pile: _Pile, blanks: int, place: int
) -> tuple[str, ...] | None:
    board = pile.board
    section, long = sheet.by_name(blank.section), sheet.by_name(blank.length)
    assert section is not None
    assert long is not None
    # sawn here, to the sizes of the first system
    side, length = (mm_from(sheet.first, one.reading(sheet.first).value) for one in (section, long))
    sides = (board.length, board.width, board.thickness)
    try:
        cut = stock.blanks_from_board(
            side,
            length,
            board_length_mm=float(board.length.mm),
            board_width_mm=float(board.width.mm),
            board_thickness_mm=float(board.thickness.mm),
            kerf_mm=float(design.workshop.sizing.kerf.mm),
        )
    except ValueError as error:
        if not (blank.told and board is blank.own):
            sheet.warnings.append(f"batch: {blank.label}: {sheet.told(error)}")
        return None
    needed = batch.boards_for(blanks, cut.blanks)
    volume = stock.square_blank_volume_mm3(side, length)
    waste = batch.board_waste(
        blanks,
        volume,
        needed,
        float(board.length.mm) * float(board.width.mm) * float(board.thickness.mm),
    )
    texts = {
        system: dimensions_text([typed_length(one, system, sheet.bench) for one in sides], system)
        for system in System
    }

    def name(key: str) -> str:
        return f"batch.{key}_{place}"

    sheet.add(
        name("board"),
        "Board: length × width × thickness",
        float(board.length.mm),
        "words",
        {system: Reading(float(board.length.mm), "", text) for system, text in texts.items()},
        rule=sheet.bench.other_rule(board.length.system),
        formula=TYPED,
        source=TYPED if board is blank.own else WORKSHOP,
    )
    sheet.words(
        name("sawn"),
        "How the board is sawn",
        tr(
            "{along} along, {across} across, {through} through",
            along=cut.along,
            across=cut.across,
            through=cut.through,
        ),
        formula="(board + kerf) / (blank + kerf) each way, rounded down",
        source=GEOMETRY,
        value=cut.blanks,
    )
    for key, label, value, formula in (
        ("gives", later("Blanks that one board gives"), cut.blanks,
         later("along × across × through")),
        ("needed", later("Boards for all blanks"), needed,
         later("blanks / blanks of a board, rounded up")),
        ("buy", later("Boards to buy"), pile.to_buy(needed),
         later("boards − those at hand that no row above it takes")),
        ("over", later("Blanks that the boards give beyond"), needed * cut.blanks - blanks,
         later("boards × blanks of a board − blanks")),
    ):  # fmt: skip
        sheet.count(name(key), label, value, formula=formula, source=ARITHMETIC)
    sheet.percent(
        name("waste"),
        "Wood of the boards that becomes no blank",
        waste,
        formula="1 − blanks / boards, by volume; the saw's cuts and what is left over",
        source=ARITHMETIC,
    )
    keys = ("board", "sawn", "gives", "needed", "buy", "over", "waste")
    return (blank.is_for, blank.is_of, *(name(key) for key in keys))


def _longest_mm(one: Measurement) -> float:
    # wire is cut to a printed length: the longer of the two, so that no reader's is longer
    return max(mm_from(system, one.reading(system).value) for system in System)


def _add_wire(sheet: Sheet, design: Design, blanks: int) -> None:
    """Wire for all, as it is cut for one, and the coils that it comes from."""
    folded, one = sheet.by_name("hanger.wires"), sheet.by_name("hanger.cut")
    whole = sheet.by_name("hanger.wire_total")
    if design.hanger is None or folded is None or one is None or whole is None:
        return
    single = sheet.by_name("hanger.cut_single")
    count = round(folded.value)
    what = later("Wires to cut") if design.hanger.strands == 1 else later("Wires to cut and fold")
    sheet.count(
        "batch.wires", what, count * blanks,
        formula="wires of one piece × blanks", source=ARITHMETIC,
    )  # fmt: skip
    wires = [(count * blanks, _longest_mm(one))]
    if single is not None:
        sheet.count("batch.wires_single", "Wires to cut that are not folded", blanks,
                    formula="one a piece × blanks", source=ARITHMETIC)  # fmt: skip
        wires.append((blanks, _longest_mm(single)))
    sheet.add(
        "batch.wire",
        "Wire for all, waste included",
        whole.value * blanks,
        "mm",
        {
            system: long_length_reading(
                blanks * mm_from(system, whole.reading(system).value), system, whole.value * blanks
            )
            for system in System
        },
        rule=long_length_rule(),
        formula="wire of one piece as printed × blanks",
        source=ARITHMETIC,
    )
    coil = design.hanger.coil
    if coil is None:
        return
    _add_coil(sheet, coil)
    try:
        coils = batch.coils_for(wires, float(coil.mm))
    except ValueError as error:
        sheet.warnings.append(f"batch: {sheet.told(error)}; write a longer coil: under hanger:")
        return
    sheet.count(
        "batch.coils",
        "Coils of wire",
        coils,
        formula="whole wires cut from each coil, the longest first",
        source=ARITHMETIC,
    )


def _add_coil(sheet: Sheet, coil: Length) -> None:
    """What a coil holds, in the unit in which wire is bought where it was typed so."""
    name, label, at = "batch.coil", later("A coil holds"), ("hanger", "coil")
    if not is_long_length(coil):
        sheet.typed(name, label, coil, at=at)
        return
    mm, came = float(coil.mm), sheet.came(at)
    sheet.add(
        name,
        label,
        mm,
        "mm",
        {system: long_length_reading(mm, system, mm, Direction.DOWN) for system in System},
        rule=long_length_rule(Direction.DOWN),
        formula=came.how,
        source=came.source,
    )


def _add_finish(sheet: Sheet, design: Design, blanks: int) -> None:
    section, area = design.finish, sheet.by_name("piece.area")
    if section is None or area is None:
        return
    sheet.area(
        "batch.area", "Surface of all pieces, one coat", area.value * blanks,
        formula="surface of one piece × blanks", source=ARITHMETIC,
    )  # fmt: skip
    sheet.area(
        "batch.coated", "Surface to coat in all", area.value * blanks * section.coats,
        formula="surface × coats", source=ARITHMETIC,
    )  # fmt: skip
    if section.coverage is None:
        return
    amount = finish.finish_amount_mm3(area.value * blanks, section.coats, section.coverage)
    sheet.add(
        "batch.finish",
        "Finish for all coats, at least",
        amount,
        "mm3",
        {system: liquid_reading(amount, system) for system in System},
        rule=liquid_rule(amount),
        formula="surface × coats / coverage; brush and rag take more",
        source="the finish's own label, typed in the design",
    )


def _add_first_piece(sheet: Sheet, design: Design) -> None:
    """What to try on the first piece: every fit, and the sizes that errors come from."""
    _add_fits(sheet, design)
    _add_errors(sheet, design)


def _tried(sheet: Sheet, design: Design, name: str, tail: str) -> str:
    """Name of the words for a size that is tried, with the part that it is of."""
    measured = sheet.by_name(name)
    assert measured is not None
    part = name.partition(".")[0]
    owner = design.parts.get(part)
    of = f"{part_label(part, owner)} – " if owner is not None else ""
    words = f"batch.try_{tail}"
    sheet.words(words, "What to try", f"{of}{measured.label}", formula=Said(name),
                source=Said(measured.source))  # fmt: skip
    return words


def _add_fits(sheet: Sheet, design: Design) -> None:
    """What has to go into a hole, the one with the least room first."""
    found: list[tuple[float, str, str]] = []
    for name, room in (
        ("hanger.drill", "hanger.play"),
        *((f"{part}.tenon", f"{part}.gap") for part in design.parts),
    ):
        play = sheet.by_name(room)
        if play is not None and sheet.by_name(name) is not None:
            found.append((play.value, name, room))
    if not found:
        return
    sheet.schedules.append(
        Schedule(
            name="batch.fits",
            heading=tr("Fits to try, the closest first"),
            columns=(tr("Size"), tr("Should be"), tr("Room that it has")),
            rows=tuple(
                (_tried(sheet, design, name, f"fit_{place}"), name, room)
                for place, (_, name, room) in enumerate(sorted(found), start=1)
            ),
            pencil=True,
        )
    )


def _add_errors(sheet: Sheet, design: Design) -> None:
    """The sizes from which most of an error comes, those of the largest error first."""
    tried = {str(tr(driver)): names for driver, names in TRIED.items()}
    found: dict[str, Measurement] = {}
    errors = [
        (one, driver)
        for one in sheet.made
        if one.name.startswith("tolerance.")
        and (driver := sheet.by_name(f"{one.name}_driver")) is not None
    ]
    for error, driver in sorted(errors, key=lambda one: -one[0].value):
        for name in tried.get(driver.text, ()):
            if sheet.by_name(name) is not None:
                # a size that drives two errors is tried for the larger one
                found.setdefault(name, error)
    if not found:
        return
    rows = []
    for place, (name, error) in enumerate(found.items(), start=1):
        why = sheet.words(f"batch.why_{place}", "Why it is tried", error.label,
                          formula=Said(error.name), source=Said(error.source))  # fmt: skip
        size = _tried(sheet, design, name, f"{place}")
        rows.append((size, name, why.name, error.name))
    sheet.schedules.append(
        Schedule(
            name="batch.errors",
            heading=tr("Sizes that most of an error comes from, the largest error first"),
            columns=(tr("Size"), tr("Should be"), tr("What hangs on it"), tr("How much")),
            rows=tuple(rows),
            pencil=True,
        )
    )


def _operations(sheet: Sheet, design: Design, blanks: int) -> tuple[Operation, ...]:
    made = []
    before: Step | None = None
    total = Fraction(0)
    for number, step in enumerate(design.steps, start=1):
        held = before.tools if before is not None and before.part == step.part else ()
        names = _add_times(sheet, step, number, blanks)
        if names[2]:
            total += blanks * (step.each or 0) + (step.set_up or 0)
        made.append(
            Operation(
                number=number,
                mounts="mounting" in step.does,
                tools=tuple(k for k, tool in enumerate(step.tools) if tool not in held),
                kept=tuple(k for k, tool in enumerate(step.tools) if tool in held),
                set_up=names[0],
                each=names[1],
                work=names[2],
            )
        )
        before = step
    if total:
        _time(sheet, "batch.time", later("At the bench in all"), float(total),
              later(
                    "times of all steps together; drying, breaks and failures not counted"
              ))  # fmt: skip
        _time(sheet, "batch.time_each", later("For each piece wanted"),
              float(total) / round(_value(sheet, "batch.pieces")),
              later("time in all / pieces wanted"))  # fmt: skip
    return tuple(made)


def _value(sheet: Sheet, name: str) -> float:
    found = sheet.by_name(name)
    assert found is not None
    return found.value


def _add_times(sheet: Sheet, step: Step, number: int, blanks: int) -> tuple[str, str, str]:
    """Names of what a step's times became; empty where it has none."""
    if step.each is None and step.set_up is None:
        return "", "", ""
    names = [f"batch.set_up_{number}", f"batch.each_{number}", f"batch.work_{number}"]
    for place, (typed, label) in enumerate(
        ((step.set_up, later("To set up")), (step.each, later("Each piece")))
    ):
        if typed is None:
            names[place] = ""
        else:
            _time(sheet, names[place], label, float(typed), TYPED)
    work = batch.work_time_min(blanks, float(step.each or 0), float(step.set_up or 0))
    _time(sheet, names[2], later("All pieces"), work, later("blanks × each piece + to set up"))
    return names[0], names[1], names[2]


def _time(sheet: Sheet, name: str, label: str, minutes: float, formula: str) -> None:
    sheet.add(
        name,
        label,
        minutes,
        "min",
        dict.fromkeys(System, work_reading(minutes)),
        rule=work_rule(),
        formula=formula,
        source=OWN_TIMES,
    )
