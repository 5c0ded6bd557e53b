"""What every output renders from. All records are frozen; no renderer computes.

Texts named *marked* carry the marks of ``studio.measure.trace``; a renderer lays them out and
writes ``plain(text)``. Times are integer milliseconds from the film's first picture.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from studio.measure.measurement import Measurement, MeasurementTable, System
from studio.measure.schedule import Schedule
from studio.safety.caution import Caution as Caution
from studio.turning.piece import Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedStep:
    """One operation at the lathe or bench.

    Attributes:
        id: the design's own name for it (``mark-octagon``).
        number: 1-based place in the order of work.
        part: the turned part that it works on, by its name; empty for the globe or the whole.
        title: marked.
        tools: marked; names of tools needed.
        chapter: marked; the title of the chapter that begins here, empty when none does.
        do: marked Markdown; the instruction on papers, both systems.
        say: marked; the narration, first system.
        aloud: marked; the same with its figures in words, as the voice says them.
        takes: marked; how long that takes to say at the turner's rate (``12 s``); empty without it.
        shows: measurements that the step's card shows, in order.
        cautions: the complete list for this step.
        start_ms: when it starts in the film; None while the design has no marks.
        end_ms: when the next step starts or the film ends; None with ``start_ms``.
    """

    id: str
    number: int
    title: str
    tools: tuple[str, ...]
    chapter: str = ""
    do: str
    say: str
    part: str = ""
    aloud: str = ""
    takes: str = ""
    shows: tuple[Measurement, ...]
    cautions: tuple[Caution, ...]
    start_ms: int | None
    end_ms: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """A named stretch of the film, one or more steps; ``title`` is marked."""

    title: str
    step_ids: tuple[str, ...]
    start_ms: int
    end_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """One caption: at most two lines, joined by a newline; ``text`` is marked."""

    start_ms: int
    end_ms: int
    text: str


class CardKind(StrEnum):
    """What an overlay tells."""

    MEASUREMENT = "measurement"
    CAUTION = "caution"


@dataclass(frozen=True, slots=True, kw_only=True)
class CardRow:
    """One line of a card.

    Attributes:
        label: marked; what it is ("set-in from each corner"), or a caution's short text.
        value: marked; the figure, printed large; empty on a caution card.
        other: marked; the figure in the second system, may be empty.
        where: plain; where on the piece it is measured, may be empty.
        name: the measurement's name or the caution's code.
    """

    label: str
    value: str = ""
    other: str = ""
    where: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One overlay: what it says and when it is shown.

    Attributes:
        number: 1-based, in order of first appearance; part of the file name.
        step_id: the step it belongs to.
        kind: measurement or caution.
        heading: marked; the card's head line.
        rows: what it tells, one to four rows.
        start_ms: first picture; None while the design has no marks.
        end_ms: end; at least the time needed to read it after ``start_ms``.
        held: marked; how long it takes to read and so what it covers must be held still (``6 s``).
    """

    number: int
    step_id: str
    kind: CardKind
    heading: str
    rows: tuple[CardRow, ...]
    start_ms: int | None
    end_ms: int | None
    held: str = ""

    @property
    def file_name(self) -> str:
        """``03-mark-octagon.png``, or ``04-mark-octagon-caution.png``."""
        tail = "-caution" if self.kind is CardKind.CAUTION else ""
        return f"{self.number:02d}-{self.step_id}{tail}.png"


@dataclass(frozen=True, slots=True)
class LateCaution:
    """A caution that has no four seconds on screen from within its hazard's step."""

    step_id: str
    code: str


@dataclass(frozen=True, slots=True)
class FrameSize:
    """Width and height of the film's pictures, in pixels."""

    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A link for the description and handout."""

    label: str
    url: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Episode:
    """Everything that outputs draw from.

    Attributes:
        name: the design file's stem; the default out folder's name.
        design_file: the design, for messages only; never printed in an output.
        title: marked.
        summary: marked Markdown; what the piece is, in a sentence or two.
        workshop: the workshop's name.
        credit: whose idea it is and what it derives from, plain Markdown, may be empty.
        licence: of the handout, may be empty.
        demo_note: plain; says that people, workshop and design are invented; empty otherwise.
        species: the wood, plain.
        links: for description and handout.
        first: the system printed first.
        table: all measurements.
        thumbnail: the one measurement on the thumbnail; None when no card shows any.
        schedules: measurements that stand side by side, each of them in the table too.
        piece: the finished piece's geometry, for drawings and pictures.
        steps: in order of work.
        deference: what stands above this handout's own cautions (manuals, codes, practice).
        chapters: empty while the design has no marks, or when it is too short for the hosts' rule.
        cues: captions, in order, not overlapping; empty while the design has no marks.
        cards: overlays in order of first appearance.
        silent: whether the design says that the master has no sound on purpose.
        plain_words: phrases with digits or number words that the design says are no figures.
        late_cautions: cautions for which the marks leave no time on screen.
        notes: plain; what the turner should know about the timing (a narration too long for its
            marks, chapters that had to be joined); no output prints them.
        size: the footage's size in pixels.
        length_ms: the film's length; None while unknown.
        look: name of the look under overlays/.
    """

    name: str
    design_file: Path
    title: str
    summary: str
    workshop: str
    credit: str
    licence: str
    demo_note: str
    species: str
    links: tuple[Link, ...]
    first: System
    table: MeasurementTable
    steps: tuple[TimedStep, ...]
    deference: str
    chapters: tuple[Chapter, ...]
    cues: tuple[Cue, ...]
    cards: tuple[Card, ...]
    size: FrameSize
    length_ms: int | None
    look: str
    plain_words: tuple[str, ...] = ()
    silent: bool = False
    late_cautions: tuple[LateCaution, ...] = ()
    thumbnail: Measurement | None = None
    schedules: tuple[Schedule, ...] = ()
    piece: Piece | None = None
    notes: tuple[str, ...] = ()
