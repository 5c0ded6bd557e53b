"""Every drawing that an episode has, with its subject and the measurements that call for it."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from studio.episode.records import Episode
from studio.language import later, tr
from studio.measure.measurement import MeasurementTable
from studio.paper.drawings.elevation import assembly
from studio.paper.drawings.grooves import grooves_from_pole, grooves_from_side
from studio.paper.drawings.hanger import hanger_in_hole
from studio.paper.drawings.hollow import hollow_section
from studio.paper.drawings.mounting import mounting
from studio.paper.drawings.octagon import octagon_layout
from studio.paper.drawings.pen import again
from studio.paper.drawings.ring import index_ring
from studio.paper.drawings.rounds import ROUNDS, round_of_cuts
from studio.paper.drawings.stations import (
    MOST_AT_THE_BENCH,
    MOST_ROWS,
    leaves_out,
    profile_stations,
)

_ROUND_CAPTIONS = {
    "first": later(
        "The first round, seen from the side: from the cylinder to an octagon. Shaded: what "
        "is cut away. Dashed: the ball to come."
    ),
    "second": later(
        "The second round: mark both ways from each corner of the octagon and cut across."
    ),
    "third": later(
        "The third round: mark both ways from each corner again. What stands proud after it "
        "is left to the scraper and to sanding."
    ),
}


_FURTHER = later(
    " Only this one is drawn; the table of marking and mounting has a line for each groove."
)
"""What the mounting's caption says where there are more grooves than the one drawn."""


_MORE_STATIONS = later(" The table has more stations than are drawn.")
"""What the caption of a part's stations says where some are left out."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing ready to stand on a page.

    Attributes:
        svg: with marked figures.
        subject: the group of measurements that it belongs to.
        caption: words under it; ours, without figures.
        calls: names of measurements, the most telling first; the step that shows one of them is
            where a turner looks for the drawing.
        wanted: whether a page for the bench prints it although no step calls for it.
        leads: whether it stands at the head of the page for the bench, beside what to have ready.
    """

    svg: Markup
    subject: str
    caption: str
    calls: tuple[str, ...]
    wanted: bool = True
    leads: bool = False

    @property
    def again(self) -> Markup:
        """The same once more on its page."""
        return Markup(again(self.svg))


def _side_caption(table: MeasurementTable) -> str:
    words = tr("The ball seen from the side, a pole at the top.")
    if "grooves.cap" in table:
        words += tr(" Above the dashed line the grooves have run into one another.")
    if "rings.place_1" in table:
        words += tr(
            " A ring is told by its distance from the equator, along the line of the poles."
        )
    return words


def _hanger_caption(table: MeasurementTable) -> str:
    strands = table.get("hanger.strands")
    if strands is not None and strands.value == 1:
        return tr("The wire in its hole, cut open.")
    if "hanger.pitch" in table:
        return tr("The twisted bundle in its hole, cut open.")
    return tr("The bundle of wires in its hole, cut open.")


def drawings_of(episode: Episode, *, bench: bool = False) -> tuple[Drawing, ...]:
    """Every drawing that the episode's measurements and piece allow, in the order of work.

    Args:
        episode: what they are drawn from.
        bench: whether they are for the sheet above the lathe, whose figures are large.
    """
    most = MOST_AT_THE_BENCH if bench else MOST_ROWS
    table, piece, first = episode.table, episode.piece, episode.first
    found = [
        Drawing(
            Markup(octagon_layout(table, first)),
            "sphere",
            tr(
                "The octagon on the cylinder, seen from the side. The set-in is the same at every "
                "corner, along the length and on both end faces. Dashed: the ball to come."
            ),
            ("sphere.set_in", "sphere.octagon_side"),
            leads=True,
        ),
    ]
    found += [
        Drawing(
            Markup(round_of_cuts(table, first, which)),
            "sphere",
            tr(_ROUND_CAPTIONS[which]),
            (
                *(
                    {"second": ("sphere.second_mark",), "third": ("sphere.third_mark",)}.get(
                        which, ()
                    )
                ),
                f"sphere.proud_{which}",
                f"sphere.end_limit_{which}",
            ),
            wanted=False,
        )
        for which in ROUNDS
    ]
    found += [
        Drawing(
            Markup(index_ring(table, first)),
            "index",
            tr("The index marks, seen from the tail end."),
            ("index.marks", "index.chord", "index.stops", "index.angle", "index.plate"),
        ),
        Drawing(
            Markup(grooves_from_pole(table, piece, first)),
            "grooves",
            tr(
                "The grooves seen from a pole. The width and the land are measured along the "
                "ball, at the equator"
            )
            + (
                tr("; the tips of the lands lie on the dashed circle.")
                if "grooves.cap" in table
                else "."
            ),
            ("grooves.width", "grooves.land", "grooves.cap", "grooves.cutter"),
        ),
        Drawing(
            Markup(grooves_from_side(table, piece, first)),
            "grooves" if table.group("grooves") else "rings",
            _side_caption(table),
            ("grooves.pole_height", "grooves.merge_latitude", "grooves.width", "rings.number"),
        ),
        Drawing(
            Markup(mounting(table, piece, first)),
            "axis" if table.group("axis") else "grooves",
            tr(
                "The mounting for the first groove, from the side: the groove lies square to the "
                "lathe’s axis, and both poles with it."
            )
            + (tr(_FURTHER) if "axis.head_2" in table else ""),
            ("axis.marks", "grooves.rim", "grooves.turn"),
        ),
        Drawing(
            Markup(hollow_section(table, piece, first)),
            "hollow",
            tr(
                "The globe cut open where the wall has its full thickness, the opening towards the "
                "tailstock drawn upwards."
            ),
            ("hollow.diameter", "hollow.opening", "hollow.reach", "hollow.wall"),
        ),
    ]
    found += [
        Drawing(
            Markup(profile_stations(table, part, first, most)),
            part.name,
            tr("Measured from the tailstock end, which is at the top; finished diameters.")
            + (tr(_MORE_STATIONS) if leaves_out(table, part, most) else ""),
            (f"{part.name}.stations", f"{part.name}.length", f"{part.name}.neck",
             f"{part.name}.tenon"),
        )
        for part in (piece.parts if piece is not None else ())
    ]  # fmt: skip
    found += [
        Drawing(
            Markup(hanger_in_hole(table, piece, first)),
            "hanger",
            _hanger_caption(table),
            ("hanger.drill", "hanger.depth", "hanger.bundle", "hanger.wire"),
        ),
        Drawing(
            Markup(assembly(table, piece, first)),
            "assembly",
            tr(
                "The whole piece. A part’s length has its tenon in it. Dashed: tenons and the "
                "holes that they stand in."
            ),
            ("assembly.height",),
        ),
    ]
    return tuple(drawing for drawing in found if drawing.svg)
