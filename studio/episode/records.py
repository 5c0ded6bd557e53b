"""What every output renders from. All records are frozen; no renderer computes.

Texts named *marked* carry the marks of ``studio.measure.trace``; a renderer lays them out and
writes ``plain(text)``. Times are integer milliseconds from the film's first picture.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from pathlib import Path

from studio.compute.batch import Batch as Batch
from studio.compute.size_box import SizeBox
from studio.language import ENGLISH, Language
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
        stage: the stage of the work whose speed holds (``sanding``); empty where nothing runs.
        does: what it does that calls for cautions.
        do: marked Markdown; the instruction on papers, both systems.
        say: marked; the narration, first system.
        aloud: marked; the same with its figures in words, as the voice says them.
        takes: marked; how long that takes to say at the turner's rate (``12 s``); empty without it.
        shows: measurements that the step's card shows, in order.
        inset: the drawing on that card.
        corner: of that card, as the design asks; empty when the calmest is chosen.
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
    stage: str = ""
    does: tuple[str, ...] = ()
    aloud: str = ""
    takes: str = ""
    inset: Inset | None = None
    corner: str = ""
    shows: tuple[Measurement, ...]
    cautions: tuple[Caution, ...]
    start_ms: int | None
    end_ms: int | None

    @property
    def ceiling(self) -> str:
        """Name of the speed ceiling that its cautions hold it to; empty where nothing runs."""
        return next((one.ceiling for one in self.cautions if one.ceiling), "")


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
    TITLE = "title"


@dataclass(frozen=True, slots=True, kw_only=True)
class Inset:
    """A small drawing on a card.

    Attributes:
        drawing: ``octagon``, ``index`` (the ring of index marks) or ``grooves`` (seen from a pole).
        caption: marked; the line under it.
        set_in: of an octagon, its set-in as a share of the square's side.
        marks: of an index ring, how many.
        lit: numbers of the marks that the step is about; none lights all.
        grooves: how many, in their places round the pole.
        done: places of those that are cut already, counted from 0.
        current: place of the one being cut; None for all of them.
        width: of a groove, as a share of the ball's diameter.
    """

    drawing: str
    caption: str
    set_in: float = 0.0
    marks: int = 0
    lit: tuple[int, ...] = ()
    grooves: int = 0
    done: tuple[int, ...] = ()
    current: int | None = None
    width: float = 0.0


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


@dataclass(frozen=True, slots=True)
class Slip:
    """What the voice of a step says wrongly since a correction.

    Attributes:
        row: of the note on screen; what holds now, and what the voice says.
        sentence: which of the narration's sentences says it, from 0; None where nobody knows.
        of: how many sentences that narration has.
    """

    row: CardRow
    sentence: int | None
    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One overlay: what it says and when it is shown.

    Attributes:
        number: 1-based, in order of first appearance; part of the file name.
        step_id: the step it belongs to.
        kind: measurement or caution.
        heading: marked; the card's head line; empty where there is no time to read it.
        rows: what it tells, up to four rows; none on a title card.
        start_ms: first picture; None while the design has no marks.
        end_ms: end; at least the time needed to read it after ``start_ms``.
        held: marked; how long it takes to read and so what it covers must be held still (``6 s``).
        inset: a drawing beside the rows, or None.
        asked: the corner that the design asks for; empty when the calmest is chosen.
        corner: where it stands; empty for the look's own corner.
        opacity: how dense its plate is, 0 to 1; None for the look's densest.
    """

    number: int
    step_id: str
    kind: CardKind
    heading: str
    rows: tuple[CardRow, ...]
    start_ms: int | None
    end_ms: int | None
    held: str = ""
    inset: Inset | None = None
    asked: str = ""
    corner: str = ""
    opacity: float | None = None

    @property
    def called(self) -> str:
        """Marked; the heading, or the first thing that a card without one tells."""
        first = self.rows[0].label if self.rows else ""
        return self.heading or first or (self.inset.caption if self.inset is not None else "")

    @property
    def file_name(self) -> str:
        """``03-mark-octagon.png``, ``04-mark-octagon-caution.png`` or ``-title.png``."""
        tail = "" if self.kind is CardKind.MEASUREMENT else f"-{self.kind.value}"
        return f"{self.number:02d}-{self.step_id}{tail}.png"


@dataclass(frozen=True, slots=True, kw_only=True)
class Strips:
    """What stays free at each edge of the picture, as shares of its height or width."""

    top: float = 0.0
    bottom: float = 0.0
    left: float = 0.0
    right: float = 0.0


@dataclass(frozen=True, slots=True)
class LateCaution:
    """A caution that has no four seconds on screen from within its hazard's step.

    Attributes:
        step_id: the step.
        code: of the caution.
        by_end_screen: whether it would have them, were nothing held free at the film's end.
    """

    step_id: str
    code: str
    by_end_screen: bool = False

    @property
    def remedy(self) -> str:
        """What a turner can do about it."""
        if self.by_end_screen:
            return "write a shorter end_screen: under film:, or let the film go on longer behind it"
        return "leave this step, or the ones before it, more time"


@dataclass(frozen=True, slots=True, kw_only=True)
class LateCaption:
    """Words of a narration for which the film leaves too little time, or none.

    Attributes:
        step_id: the step that says them.
        what: plain; what is said when, and what the film leaves.
        write: plain; what to do.
        is_lost: whether they have no caption.
    """

    step_id: str
    what: str
    write: str
    is_lost: bool

    @property
    def told(self) -> str:
        """All of it as a note."""
        return f"step {self.step_id}: {self.what}; {self.write}"


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
class CutTake:
    """A stretch of a recording and its place in the film.

    Attributes:
        number: 1-based, in the film's order.
        step_id: the step that it belongs to; empty before the first one.
        begins: whether that step begins with it.
        camera: the name of the recording that shows it.
        in_ms: its first picture, on the clock of the recording whose sound counts, or on the
            camera's own where that stands apart.
        out_ms: its end, on the same clock.
        speed: how many times as fast it is played.
        start_ms: when it starts in the film.
        end_ms: when the next one starts, or the film ends.
    """

    number: int
    step_id: str
    begins: bool
    camera: str
    in_ms: int
    out_ms: int
    speed: Fraction
    start_ms: int
    end_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The master as takes of recordings, one behind another.

    Attributes:
        cameras: file names in the footage folder by the recordings' names.
        sound: the recording whose sound and clock count.
        apart: recordings that count their own clock and sound.
        claps: when claps are in recordings, in their own files, by the recordings' names.
        takes: in the film's order, each beginning where the one before ends.
    """

    cameras: Mapping[str, str]
    sound: str
    apart: frozenset[str]
    claps: Mapping[str, tuple[int, ...]]
    takes: tuple[CutTake, ...]

    @property
    def length_ms(self) -> int:
        """The film's length."""
        return self.takes[-1].end_ms


@dataclass(frozen=True, slots=True)
class Told:
    """One measurement as viewers were told it, plain.

    Attributes:
        label: what a turner calls it.
        text: in both systems, as printed.
        metric: in the metric system.
        imperial: in the imperial one.
    """

    label: str
    text: str
    metric: str
    imperial: str

    def reading(self, system: System) -> str:
        """As told in ``system``."""
        return self.metric if system is System.METRIC else self.imperial


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A published number that was changed.

    Attributes:
        name: the measurement's name; of a text that names another number, the text's
            (``step:rough:say``).
        label: what a turner calls it, plain.
        old: plain; as viewers had been told it, in both systems or in the one that changed.
        new: plain; as it is since, likewise; empty when it was withdrawn.
    """

    name: str
    label: str
    old: str
    new: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What was put right on one day, and why.

    Attributes:
        on: the day, ISO 8601.
        reason: plain; in the turner's own words.
        changes: of numbers, at least one.
        after: how many times the design had been published before.
        measurements: by name, all that are told otherwise since, and all rows of their tables.
        gone: names that were told until then and stand for nothing any more.
        texts: by name, all whose numbers are told otherwise since, plain.
        typed: what stood under each key of design and workshop file (``told_keys``); empty in the
            first records.
        figures: by the names of changes in rows that may move, which figure each is of: the same
            one in every correction, whatever number its row has. Not in the record but found.
    """

    on: str
    reason: str
    changes: tuple[Change, ...]
    after: int = 1
    measurements: Mapping[str, Told] = field(default_factory=dict)
    gone: tuple[str, ...] = ()
    texts: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)
    figures: Mapping[str, str] = field(default_factory=dict)

    def figure(self, change: Change) -> str:
        """Which figure one of its changes is of; a text by its name."""
        return self.figures.get(change.name, change.name)


@dataclass(frozen=True, slots=True)
class Alternate:
    """Another language of the same papers.

    Attributes:
        tag: as pages carry it.
        name: what its speakers call it.
        ending: what stands in the names of its files (``.de``); empty for the design's own.
    """

    tag: str
    name: str
    ending: str


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
        thumbnail_at_ms: the moment of the film on the thumbnail; None for the piece's own picture.
        schedules: measurements that stand side by side, each of them in the table too.
        piece: the finished piece's geometry, for drawings and pictures.
        steps: in order of work.
        deference: what stands above this handout's own cautions (manuals, codes, practice).
        chapters: empty while the design has no marks, or when it is too short for the hosts' rule.
        site: address of the series' own pages, ending in a slash; empty when there is none.
        chapters_stand: where the description has them: first, after-summary or last.
        cues: captions, in order, not overlapping; empty while the design has no marks.
        cards: overlays in order of first appearance.
        silent: whether the design says that the master has no sound on purpose.
        plain_words: phrases with digits or number words that the design says are no figures.
        late_cautions: cautions for which the marks leave no time on screen.
        late_captions: words for which the film leaves too little time, or none.
        language: what viewers read it in.
        foreign: texts that are not there in that language and stand in ``foreign_in``: where each
            stands in the design (``steps.rough.do``), and names of things as typed.
        foreign_in: the tag of the language of those, as pages carry it.
        own_in: that of the design's own language.
        alternates: other languages of the same papers.
        translated: captions in those languages, where the folder is built in them.
        batch: so many pieces of it, where a sheet for a batch is asked for.
        notes: plain; what the turner should know about the timing (a narration too long for its
            marks, chapters that had to be joined); no output prints them.
        size: the footage's size in pixels.
        length_ms: the film's length; None while unknown.
        takes_masters_length: whether nobody tells that length, so that a burn takes its master's.
        look: name of the look under overlays/.
        pages: folder of the look of pages; None for ours.
        paper: the sheets that PDFs are made for, ``A4`` or ``Letter``.
        box: what answers for a viewer's own blank; None for a design without a ball.
        keep_clear: where something is burnt into the master already.
        cut: what the master is made of; None where the design holds no takes.
        last_published: the day on which it was last published, ISO 8601; empty before that.
        corrections: of published numbers, oldest first.
        as_recorded: texts of those that stand in another language than the papers', as recorded.
        slips: what the published voice says wrongly by now, by the names of the steps.
        said_at: when the sentences of each step are said, by its name; none where nobody knows.
        filmed: whether the finished film lies beside the pages.
        pictured: whether the piece's picture does.
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
    pages: Path | None = None
    paper: str = "A4"
    plain_words: tuple[str, ...] = ()
    chapters_stand: str = "first"
    site: str = ""
    silent: bool = False
    late_cautions: tuple[LateCaution, ...] = ()
    late_captions: tuple[LateCaption, ...] = ()
    thumbnail: Measurement | None = None
    thumbnail_at_ms: int | None = None
    schedules: tuple[Schedule, ...] = ()
    piece: Piece | None = None
    box: SizeBox | None = None
    keep_clear: Strips = Strips()
    cut: Cut | None = None
    last_published: str = ""
    corrections: tuple[Correction, ...] = ()
    as_recorded: frozenset[str] = frozenset()
    slips: Mapping[str, tuple[Slip, ...]] = field(default_factory=dict)
    said_at: Mapping[str, tuple[tuple[int, int], ...]] = field(default_factory=dict)
    batch: Batch | None = None
    language: Language = ENGLISH
    foreign: frozenset[str] = frozenset()
    foreign_in: str = ENGLISH.page
    own_in: str = ENGLISH.page
    alternates: tuple[Alternate, ...] = ()
    translated: tuple[tuple[Language, tuple[Cue, ...]], ...] = ()
    notes: tuple[str, ...] = ()
    filmed: bool = False
    pictured: bool = True
    takes_masters_length: bool = False
