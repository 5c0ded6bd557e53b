"""The blanks: section, length and swing of each, and what a board gives."""

from __future__ import annotations

from fractions import Fraction

from studio.compute.measured import look_at_measured
from studio.compute.parts import base_part, cylinder_mm, part_label
from studio.compute.sheet import GEOMETRY, PRACTICE, STOCK_STEPS, TYPED, Sheet
from studio.compute.sphere import turned_diameter
from studio.design.schema import Allowance, Board, Design, Stock
from studio.language import later, own_word, tr
from studio.measure.measurement import Measurement, System
from studio.measure.rounding import Direction, length_reading
from studio.measure.schedule import Schedule
from studio.measure.units import Length, mm_from
from studio.turning import speed, stock
from studio.turning.piece import PlacedPart
from studio.turning.profile import SAME_PLACE_MM


def add_stock(sheet: Sheet, design: Design) -> None:
    """``stock.*`` and each part's blank: what to saw before anything is mounted."""
    section = design.stock
    # the blank is sawn before anything is measured: it follows the plan, not the callipers
    diameter = float(section.diameter.mm)
    allowance = section.allowance
    square = section.blank == "square"
    label = later("Blank, side of the square") if square else later("Blank, diameter")
    base = _base(sheet, design)
    if base is not None:
        thickest = base.profile.thickest_mm
        if thickest > diameter + SAME_PLACE_MM:
            sheet.problem(
                "stock",
                "diameter",
                what=f"{base.name} is {sheet.fine(thickest)} thick, more than the blank is turned "
                "to",
                write=f"write at least {sheet.fine(thickest, Direction.UP)}",
            )
        elif thickest > float(turned_diameter(design)[0].mm) + SAME_PLACE_MM:
            # only what the callipers said can be thinner than the plan
            sheet.problem(
                "as_measured",
                "diameter",
                what=f"{base.name} is {sheet.fine(thickest)} thick, more than the cylinder has",
                write="measure again, or turn another blank: this one is too thin",
            )
    if section.section is not None:
        sawn = sheet.typed(
            "stock.section", label, section.section, at=("stock", "section"), steps=STOCK_STEPS
        )
        _look_at_typed(sheet, section, section.section)
    else:
        sawn = sheet.length(
            "stock.section",
            label,
            stock.square_section_mm(diameter, float(section.truing.mm)),
            Direction.UP,
            steps=STOCK_STEPS,
            formula="diameter + what truing turns away",
            source=PRACTICE,
        )
    length = _blank_length(base.profile.length_mm if base is not None else diameter, allowance)
    at = ("stock", "allowance")
    sheet.typed(
        "stock.headstock", "Waste at the headstock", allowance.headstock, at=(*at, "headstock")
    )
    sheet.typed(
        "stock.tailstock", "Waste at the tailstock", allowance.tailstock, at=(*at, "tailstock")
    )
    sheet.typed("stock.parting", "Width of a parting cut", allowance.parting, at=(*at, "parting"))
    sheet.typed_count("stock.partings", "Parting cuts", allowance.partings, (*at, "partings"))
    long = sheet.length(
        "stock.length",
        "Blank, length",
        length,
        Direction.UP,
        steps=STOCK_STEPS,
        formula="diameter + waste at both ends + parting cuts"
        if base is None
        else "length + waste at both ends + parting cuts",
        source=PRACTICE,
        parts=_printed_parts(sheet, base.name if base is not None else section.diameter, allowance),
    )
    measured = design.as_measured.diameter
    if measured is not None:
        look_at_measured(sheet, "diameter", measured, diameter, "the design's diameter")
    if measured is not None and float(measured.mm) > mm_from(
        sheet.first, sawn.reading(sheet.first).value
    ):
        sheet.problem(
            "as_measured",
            "diameter",
            what=f"{sheet.as_typed(measured)} is more than the blank of {sawn.text} gives",
            write="measure again, or write the blank that you really turned under stock:",
        )
    _add_swing(sheet, "stock.swing", sawn, square)
    _add_parts(sheet, design, base)
    _add_list(sheet, design, base)
    if section.board is not None:
        _add_board(sheet, design, section.board, sawn, long)


def _look_at_typed(sheet: Sheet, section: Stock, side: Length) -> None:
    """Tell a typed blank that is too thin, or that leaves less truing than the design asks for."""
    left = float(side.mm - section.diameter.mm)
    wanted = stock.square_section_mm(float(section.diameter.mm), float(section.truing.mm))
    enough = length_reading(wanted, sheet.first, STOCK_STEPS, Direction.UP).text
    truing = sheet.as_typed(section.truing)
    if left < 0:
        sheet.problem(
            "stock",
            "section",
            what=f"a blank of {sheet.as_typed(side)} is thinner than the piece",
            write=f"write {enough}, which leaves {truing} for truing, or leave it out to have it "
            "computed",
        )
    elif side.mm - section.diameter.mm < section.truing.mm:
        leaves = f"only {sheet.fine(left, Direction.DOWN)}" if left else "nothing"
        sheet.warnings.append(
            f"stock: a blank of {sheet.as_typed(side)} leaves {leaves} to turn it true to "
            f"{sheet.as_typed(section.diameter)}, and truing: asks for {truing}: saw it to "
            f"{enough}, or mount it so well that truing: may be less"
        )


def _base(sheet: Sheet, design: Design) -> PlacedPart | None:
    """The part made from ``stock:`` itself, where there is no globe and it could be placed."""
    name = base_part(design)
    return sheet.parts.get(name) if name is not None else None


def _blank_length(finished: float, allowance: Allowance) -> float:
    return stock.blank_length(
        [finished],
        headstock_mm=float(allowance.headstock.mm),
        tailstock_mm=float(allowance.tailstock.mm),
        partings=allowance.partings,
        kerf_mm=float(allowance.parting.mm),
    ).total_mm


def _printed_parts(
    sheet: Sheet, finished: str | Length, allowance: Allowance
) -> dict[System, Fraction]:
    """What a blank's length is made of, as it is printed: a part's name, or the ball's diameter."""
    long = finished if isinstance(finished, Length) else sheet.by_name(f"{finished}.length")
    assert long is not None
    return sheet.printed_sum([(1, long), *wasted(allowance)])


def wasted(allowance: Allowance) -> list[tuple[int, Measurement | Length]]:
    """What a blank has besides the finished length, each how many times."""
    return [
        (1, allowance.headstock),
        (1, allowance.tailstock),
        (allowance.partings, allowance.parting),
    ]


def _sawn_mm(sawn: Measurement) -> float:
    # blanks are sawn to a printed size: the larger of the two, so that no reader's is larger
    return max(mm_from(system, sawn.reading(system).value) for system in System)


def _add_swing(sheet: Sheet, name: str, sawn: Measurement, square: bool) -> None:
    side = _sawn_mm(sawn)
    sheet.length(
        name,
        "Largest swing of the blank",
        speed.square_blank_swing_mm(side) if square else side,
        Direction.UP,
        formula="diagonal of the square" if square else "diameter of the blank",
        source=GEOMETRY,
    )


def _add_parts(sheet: Sheet, design: Design, base: PlacedPart | None) -> None:
    """A square blank for every turned part that has one of its own."""
    for name, placed in sheet.parts.items():
        if base is not None and name == base.name:
            continue
        part = design.parts[name]
        thickest = placed.profile.thickest_mm
        sawn = sheet.length(
            f"{name}.section",
            "Its blank, side of the square",
            stock.square_section_mm(cylinder_mm(design, name, thickest), float(part.truing.mm)),
            Direction.UP,
            steps=STOCK_STEPS,
            formula="thickest place + what callipers leave + what truing turns away",
            source=PRACTICE,
        )
        sheet.length(
            f"{name}.blank",
            "Its blank, length",
            _blank_length(placed.profile.length_mm, part.allowance),
            Direction.UP,
            steps=STOCK_STEPS,
            formula="length + waste at both ends + parting cuts",
            source=PRACTICE,
            parts=_printed_parts(sheet, name, part.allowance),
        )
        _add_swing(sheet, f"{name}.swing", sawn, square=True)


def _add_list(sheet: Sheet, design: Design, base: PlacedPart | None) -> None:
    """One list of everything to saw, for a piece of more than one blank."""
    names = [name for name in sheet.parts if base is None or name != base.name]
    if not names:
        return
    rows = []
    first = part_label(base.name, design.parts[base.name]) if base is not None else tr("Globe")
    whole = [("stock", first, design.stock.species, "stock.section", "stock.length")]
    for name in names:
        label = part_label(name, design.parts[name])
        whole.append((name, label, design.wood_of(name), f"{name}.section", f"{name}.blank"))
    for place, (name, label, species, section, long) in enumerate(whole):
        tail = f"_{place + 1}"
        sheet.words(f"stock.for{tail}", "What the blank is for", label, formula="typed",
                    source=TYPED)  # fmt: skip
        sheet.words(
            f"stock.wood{tail}", "Its wood", own_word(species), formula="typed", source=TYPED
        )
        swing = f"{name}.swing"
        rows.append((f"stock.for{tail}", f"stock.wood{tail}", section, long, swing))
    sheet.schedules.append(
        Schedule(
            name="stock.list",
            heading=tr("Everything to saw"),
            columns=(tr("For"), tr("Wood"), tr("Section"), tr("Length"), tr("Swing")),
            rows=tuple(rows),
        )
    )


_OTHER_BOARD = (
    "take a longer one",
    "take a wider one or glue two edge to edge",
    "take a thicker one or glue two face to face",
)
"""What helps where a board is too small, in the order of its sizes (common practice, no source)."""


def _add_board(
    sheet: Sheet, design: Design, board: Board, sawn: Measurement, long: Measurement
) -> None:
    kerf = design.workshop.sizing.kerf
    for key, label, typed in (
        ("board_length", later("Board, length"), board.length),
        ("board_width", later("Board, width"), board.width),
        ("board_thickness", later("Board, thickness"), board.thickness),
    ):
        sheet.typed(f"stock.{key}", label, typed, at=("stock", "board", key.removeprefix("board_")))
    sheet.typed("stock.kerf", "What the saw takes", kerf, at=("workshop", "sizing", "kerf"))
    # this board is sawn here, to the sizes of the first system
    first = sheet.first
    side, length = (mm_from(first, one.reading(first).value) for one in (sawn, long))
    sizes = (board.length, board.width, board.thickness)
    lacking = stock.board_lacks(side, length, *(float(size.mm) for size in sizes))
    if lacking:
        # the piece can be turned all the same, from another board
        blank = (long, sawn, sawn)
        told = [
            f"{sheet.as_typed(sizes[way])} {stock.WAYS[way]} where it takes {blank[way].text} "
            f"({_OTHER_BOARD[way]})"
            for way in lacking
        ]
        sheet.warnings.append(f"stock: no blank comes out of the board: it is {'; '.join(told)}")
        return
    cut = stock.blanks_from_board(
        side,
        length,
        board_length_mm=float(board.length.mm),
        board_width_mm=float(board.width.mm),
        board_thickness_mm=float(board.thickness.mm),
        kerf_mm=float(kerf.mm),
    )
    sheet.count(
        "stock.board_blanks",
        "Blanks that this board gives",
        cut.blanks,
        formula="along × across × through, with a saw cut between neighbours",
        source=GEOMETRY,
    )
