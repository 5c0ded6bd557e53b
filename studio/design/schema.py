"""What may stand in a design and in the workshop file; each field's docstring is its help text.

The kinds of typed text are in :mod:`studio.design.fields`. The JSON Schema for editors is made
from these models.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, model_validator

from studio.design.fields import (
    COVERAGE,
    DURATION,
    LINE,
    PACE,
    PERCENT,
    SPEED,
    STRING,
    TEMPERATURE,
    TIME,
    WORD,
    Angle,
    Day,
    Duration,
    FileName,
    Flag,
    Grit,
    Line,
    Moments,
    Name,
    Prose,
    Size,
    Speed,
    Time,
    Typed,
    Unfilled,
    Url,
    Value,
    Word,
    choice,
    count,
    length_from,
    parsed,
    site_address,
    unfilled,
)
from studio.language import FIRST, tags
from studio.measure.measurement import System
from studio.measure.units import Length, QuantityError, Wire, parse_length, parse_wire

CORNERS = ("top-left", "top-right", "bottom-left", "bottom-right")
"""Where a card may stand on the film; where it is taller than wide, only top or bottom counts."""

INSETS = ("octagon", "index", "grooves")
"""Small drawings that a card may hold."""


CHAPTERS_STAND = ("first", "after-summary", "last")
"""Where a film's description may have its chapters."""


class _Section(BaseModel):
    """Frozen, and refusing keys that it does not know."""

    # built when first used: only the whole design is ever validated, not each section by itself
    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


ACTIONS = (
    "spindle-running",
    "callipers",
    "hand-rotating",
    "mounting",
    "drilling",
    "hollowing",
    "sanding",
    "finishing",
    "adhesive",
    "wire-cutting",
    "sawing",
    "hanging",
)
"""What a step can do that calls for cautions; ``studio.safety`` says which."""

NOTHING = "nothing"
"""What a step does that calls for no caution; it has to be said."""

STAGES = ("rough", "off-centre", "general", "finish", "sanding")
"""Stages of the work, each with its own ceiling of speed."""

FRACTION_STEPS = {
    "1/64 in": Fraction(1, 64),
    "1/32 in": Fraction(1, 32),
    "1/16 in": Fraction(1, 16),
}
METRIC_STEPS = {"0.1 mm": Fraction(1, 10), "0.5 mm": Fraction(1, 2), "1 mm": Fraction(1)}


class Units(_Section):
    """How figures are printed."""

    first: Annotated[str, choice("metric", "imperial")] = "metric"
    """The system printed first: metric or imperial."""
    fraction_step: Annotated[str, choice(*FRACTION_STEPS)] = "1/64 in"
    """The finest division on the workshop's inch rule."""
    metric_step: Annotated[str, choice(*METRIC_STEPS)] = "0.1 mm"
    """The finest division read off in millimetres."""

    @property
    def system(self) -> System:
        """``first`` as a unit system."""
        return System(self.first)


class Lathe(_Section):
    """The lathe's own plate; it stands above every rule of speed."""

    slowest: Speed = Field(examples=["250 rpm"])
    """Slowest speed on the lathe's plate."""
    fastest: Speed = Field(examples=["3600 rpm"])
    """Fastest speed on the lathe's plate."""

    @model_validator(mode="after")
    def _in_order(self) -> Lathe:
        if self.slowest >= self.fastest:
            raise QuantityError(
                "slowest is not below fastest", "write the two speeds of the lathe's own plate"
            )
        return self


RIM_SIZES = ("10 mm", "300 mm")
"""Least and most that the rim of a cup chuck may measure."""


class Chuck(_Section):
    """The chuck and its rims."""

    fastest: Annotated[float | None, SPEED] = None
    """Fastest speed that the chuck's maker allows."""
    rims: tuple[Annotated[Length, length_from(*RIM_SIZES, "48 mm")], ...] = ()
    """Inside diameters of the cup chucks or rims owned."""
    clearance: Annotated[Length, length_from("0 mm", "20 mm", "3 mm")] = parse_length("3 mm")
    """Room along the ball that the tool needs between a rim and the near edge of the groove being
    cut (common practice, no source)."""


class Link(_Section):
    """A link that every description carries."""

    label: Unfilled = Field(examples=["Workshop page"])
    """What the link leads to."""
    url: Url = Field(examples=["https://example.org/"])
    """The address, starting with https://."""


class Site(_Section):
    """The series' own pages on the web."""

    address: Annotated[str, Typed(site_address, {**STRING, "pattern": "^(https?://.*)?$"})] = ""
    """Where they lie, starting with https://; feed and site map give whole addresses."""


class Climate(_Section):
    """The air that a piece of wood lives in."""

    temperature: Annotated[float, TEMPERATURE] = Field(examples=["18 °C"])
    """Temperature of the air."""
    humidity: Annotated[float, PERCENT] = Field(examples=["60 %"])
    """Relative humidity of the air."""


class Climates(_Section):
    """Where the piece is turned and where it will hang."""

    shop: Climate = Field(examples=[{"temperature": "16 °C", "humidity": "65 %"}])
    """The workshop, where the wood has come to rest."""
    home: Climate = Field(examples=[{"temperature": "21 °C", "humidity": "40 %"}])
    """The room where the piece will be."""


class Accuracy(_Section):
    """How well the turner marks and how true the lathe runs."""

    marking: Annotated[Length, length_from("0.01 mm", "5 mm", "0.25 mm")] = parse_length("0.25 mm")
    """How far a pencil mark or a dividers' point may be off (the default is ours)."""
    run_out: Annotated[Length, length_from("0 mm", "5 mm", "0.05 mm")] = parse_length("0.05 mm")
    """Run-out of the spindle, full reading (the default is ours)."""


class Sizing(_Section):
    """How turned profiles are sized with parting tool and callipers."""

    spacing: Annotated[Length, length_from("0.5 mm", "100 mm", "5 mm")] = parse_length("5 mm")
    """From one station to the next along a profile; every change has its own station besides."""
    allowance: Annotated[Length, length_from("0 mm", "5 mm", "0.5 mm")] = parse_length("0.5 mm")
    """What callipers leave on the diameter for the finishing cut and sanding (ours)."""
    tool: Annotated[Length, length_from("0.5 mm", "15 mm", "3 mm")] = parse_length("3 mm")
    """Width of the parting tool."""
    kerf: Annotated[Length, length_from("0 mm", "10 mm", "2.5 mm")] = parse_length("2.5 mm")
    """What the saw takes between two blanks of a board."""


SLOWEST_RATE, FASTEST_RATE = 60, 260
"""Words a minute that somebody may speak at (ours)."""


class Narration(_Section):
    """How the turner speaks."""

    words_per_minute: Annotated[int | None, count(SLOWEST_RATE, FASTEST_RATE, "words a minute")] = (
        None
    )
    """The turner's own rate of speech; when left out, that of the voices timed so far, else 140."""


class Board(_Section):
    """A board from which blanks are sawn, the grain along its length."""

    length: Annotated[Length, length_from("10 mm", "6000 mm", "600 mm")] = Field(
        examples=["600 mm"]
    )
    """Along the grain."""
    width: Annotated[Length, length_from("8 mm", "1000 mm", "150 mm")] = Field(examples=["150 mm"])
    """Across the grain."""
    thickness: Annotated[Length, length_from("8 mm", "700 mm", "70 mm")] = Field(examples=["70 mm"])
    """Through the board."""
    at_hand: Annotated[int, count(0, 1000, "boards")] = 1
    """How many such boards are there already; a batch's sheet tells how many to buy."""


class StockedBoard(Board):
    """A board that the workshop keeps or can buy."""

    wood: Annotated[str | None, Typed(unfilled, {**STRING, "maxLength": 200})] = None
    """Its wood; any wood when left out."""
    at_hand: Annotated[int, count(0, 1000, "boards")] = 0
    """How many such boards are there already."""


class BatchHabits(_Section):
    """How this workshop makes many of one piece."""

    spares: Annotated[float, PERCENT] = 10.0
    """Blanks cut beside those of a batch, as a share of it (10 %: common practice, no source)."""


class Workshop(_Section):
    """What is true of every episode."""

    name: Unfilled = Field(examples=["Your workshop"])
    """The workshop's name, as viewers know it."""
    note: Annotated[str, Typed(unfilled, {**STRING, "maxLength": 200})] = ""
    """A line printed under every paper, such as that a demo is invented."""
    units: Units = Units()
    """Which system comes first, and how finely figures are printed."""
    lathe: Lathe = Field(examples=[{"slowest": "250 rpm", "fastest": "3600 rpm"}])
    """The lathe's speed range."""
    chuck: Chuck = Chuck()
    """The chuck's limits and rims."""
    index_plates: tuple[Annotated[int, count(2, 360, "stops")], ...] = ()
    """Stop counts of the index plates owned."""
    drills: tuple[Line, ...] = ()
    """Drills owned: sets ("metric 1 mm to 10 mm by 0.1 mm", "number 1 to 60", "letter",
    "fraction 1/16 in to 1/2 in by 1/64 in") or single ones ("#51")."""
    cutters: tuple[Annotated[Length, length_from("0.5 mm", "100 mm", "6 mm")], ...] = ()
    """Widths of the round-nosed cutters owned; a groove is fitted to one of them."""
    vee_cutters: tuple[Angle, ...] = ()
    """Angles of the pointed cutters owned; a V groove is fitted to one of them."""
    sizing: Sizing = Sizing()
    """How blanks are sawn and profiles sized."""
    climate: Climates | None = None
    """The air of the workshop and of the piece's later home; wood moves between the two."""
    accuracy: Accuracy = Accuracy()
    """How well the turner marks and how true the lathe runs."""
    narration: Narration = Narration()
    """How the turner speaks."""
    boards: Annotated[tuple[StockedBoard, ...], Field(max_length=24)] = ()
    """Boards that the workshop keeps or its merchant sells; a batch is planned on each."""
    batch: BatchHabits = BatchHabits()
    """How this workshop makes many of one piece."""
    links: tuple[Link, ...] = ()
    """Links that every description carries."""
    site: Site = Site()
    """The series' own pages on the web, which studio publish --site writes."""
    credit: Prose = ""
    """A credit that every episode carries."""
    licence: Unfilled = "All rights reserved"
    """The licence of handouts."""
    look: Word = "fernhollow"
    """The look of the overlays: a file under overlays/."""
    pages: Annotated[str | None, WORD] = None
    """Your own look of pages: a folder under looks/ beside the designs; ours when left out."""
    paper: Annotated[str, choice("A4", "Letter")] = "A4"
    """The sheets that PDFs are made for."""


class Allowance(_Section):
    """Wood that the finished piece does not keep, along the blank's length."""

    headstock: Annotated[Length, length_from("0 mm", "150 mm", "12 mm")] = parse_length("12 mm")
    """Waste at the headstock side: tenon or drive centre."""
    tailstock: Annotated[Length, length_from("0 mm", "150 mm", "12 mm")] = parse_length("12 mm")
    """Waste at the tailstock side."""
    parting: Annotated[Length, length_from("0 mm", "20 mm", "3 mm")] = parse_length("3 mm")
    """Width of one parting cut."""
    partings: Annotated[int, count(0, 10, "parting cuts")] = 2
    """How many parting cuts fall within the blank."""


class Stock(_Section):
    """The wood as mounted."""

    species: Unfilled = Field(examples=["sycamore"])
    """The wood."""
    diameter: Annotated[Length, length_from("8 mm", "600 mm", "60 mm")] = Field(examples=["60 mm"])
    """Diameter to which the blank is turned; the sphere's diameter."""
    blank: Annotated[str, choice("square", "round")] = "square"
    """Section of the blank before turning."""
    section: Annotated[Length | None, length_from("8 mm", "700 mm", "65 mm")] = None
    """Side of a square blank or diameter of a round one; computed when it is left out."""
    truing: Annotated[Length, length_from("0 mm", "50 mm", "3 mm")] = parse_length("3 mm")
    """What is turned away to make the blank true, on the diameter."""
    allowance: Allowance = Allowance()
    """Waste along the length."""
    moisture: Annotated[float | None, PERCENT] = None
    """Moisture of the blank by a meter, to 100 % (green); at rest in the shop's air if left out."""
    board: Board | None = None
    """The board at hand: how many blanks it gives."""


class AsMeasured(_Section):
    """What the callipers said at the bench; it overrides what was planned."""

    diameter: Annotated[Length | None, length_from("8 mm", "600 mm", "59.8 mm")] = None
    """The cylinder's diameter as turned."""
    wire: Annotated[Length | None, length_from("0.1 mm", "6 mm", "0.64 mm")] = None
    """The wire's diameter by micrometer."""
    bundle: Annotated[Length | None, length_from("0.1 mm", "20 mm", "1.65 mm")] = None
    """The twisted bundle's diameter."""


MARKING_WAYS = ("plate", "dividers", "strip")
"""What equal marks are set out by."""


class Indexing(_Section):
    """Marks around the piece."""

    marks: Annotated[int, count(2, 192, "marks")] = Field(examples=["12"])
    """How many marks around the equator."""
    by: Annotated[str | None, choice(*MARKING_WAYS)] = None
    """What sets them out: plate, dividers or strip; left out, a plate, or where the workshop has
    none a strip."""
    plate: Annotated[int | None, count(2, 360, "stops")] = None
    """Stops of the index plate; the smallest owned one that serves when left out."""
    offset: Annotated[Length, length_from("0 mm", "300 mm", "0 mm")] = parse_length("0 mm")
    """How far off centre the piece is mounted for the cuts at these marks."""


GROOVE_SHAPES = ("cove", "vee", "flared")
EDGES = ("rounded", "chamfered")


LEAST_FLARE = "0.1 mm"
"""The narrowest flare of a groove's edges."""


LEAST_GROOVE = "0.5 mm"
"""The narrowest groove that may be written."""


class Cut(_Section):
    """A groove's cross-section."""

    width: Annotated[Length, length_from(LEAST_GROOVE, "100 mm", "6 mm")] = Field(examples=["6 mm"])
    """Width across a groove, along the sphere; without the flare of its edges."""
    depth: Annotated[Length, length_from("0.2 mm", "100 mm", "2 mm")] = Field(examples=["2 mm"])
    """Depth below the sphere."""
    keep: Annotated[str, choice("width", "depth")] = "width"
    """What stays as typed when the groove is fitted to a cutter owned."""
    shape: Annotated[str, choice(*GROOVE_SHAPES)] = "cove"
    """Round (cove), pointed (vee), or a cove with its edges opened out (flared)."""
    flare: Annotated[Length | None, length_from(LEAST_FLARE, "20 mm", "0.5 mm")] = None
    """What a flared groove's edges take of the land, on each side, along the sphere."""
    edge: Annotated[str, choice(*EDGES)] = "rounded"
    """How a flared groove's edges are opened: rounded over, or chamfered at 45°."""


class Grooves(Cut):
    """Grooves on great circles through both poles; lobes stand between them."""

    number: Annotated[int, count(1, 48, "grooves")] = Field(examples=["4"])
    """How many grooves; twice as many lobes."""
    order: tuple[Annotated[int, count(1, 48, "a groove")], ...] = ()
    """The order in which they are cut, groove 1 being on mark 1; as counted when left out."""
    least_land: Annotated[Length, length_from("0 mm", "50 mm", "2 mm")] = parse_length("2 mm")
    """Least wood that must stay between two grooves at the equator."""


class Ring(Cut):
    """A groove on a circle round the ball, parallel to the equator."""

    place: Annotated[Length, length_from("0 mm", "300 mm", "10 mm")] = Field(examples=["10 mm"])
    """From the equator to its middle, along the line of the poles."""
    least_land: Annotated[Length, length_from("0 mm", "50 mm", "1 mm")] = parse_length("1 mm")
    """Least wood that must stay beside it, to the next ring, a pole or the opening (ours)."""
    side: Annotated[str, choice("top", "bottom", "both")] = "both"
    """On which half of the ball, top being the tailstock side; both cuts two rings."""


class Hollow(_Section):
    """A hollow in the ball, turned out through an opening at one pole."""

    wall: Annotated[Length, length_from("1 mm", "100 mm", "6 mm")] = Field(examples=["6 mm"])
    """Thickness of the wall before grooves are cut."""
    opening: Annotated[Length, length_from("3 mm", "200 mm", "14 mm")] = Field(examples=["14 mm"])
    """Diameter of the opening."""
    pole: Annotated[str, choice("top", "bottom")] = "top"
    """The pole through which it is turned."""
    least_wall: Annotated[Length, length_from("0.5 mm", "50 mm", "2.5 mm")] = parse_length("2.5 mm")
    """The thinnest that the wall may become, under a groove and with the turner's errors (ours)."""


SHAPES = ("straight", "fillet", "tenon", "taper", "bead", "cove", "ogee")


class Element(_Section):
    """One element of a profile."""

    shape: Annotated[str, choice(*SHAPES)] = Field(examples=["fillet"])
    """Its name: straight, fillet, tenon, taper, bead, cove or ogee."""
    length: Annotated[Length, length_from("0.2 mm", "600 mm", "8 mm")] = Field(examples=["8 mm"])
    """Length along the axis."""
    diameter: Annotated[Length | None, length_from("0.5 mm", "400 mm", "8 mm")] = None
    """Diameter of a straight, fillet or tenon; left out, a tenon is made to fit its hole."""
    start: Annotated[Length | None, length_from("0 mm", "400 mm", "6 mm")] = None
    """Diameter at the tailstock end of a taper, bead, cove or ogee; as the one before ends."""
    end: Annotated[Length | None, length_from("0 mm", "400 mm", "10 mm")] = None
    """Diameter at its headstock end; as it starts, or as the next one starts."""
    crown: Annotated[Length | None, length_from("0.5 mm", "400 mm", "14 mm")] = None
    """Diameter of a bead at its thickest."""
    throat: Annotated[Length | None, length_from("0.5 mm", "400 mm", "5 mm")] = None
    """Diameter of a cove at its thinnest."""
    curve: Annotated[str, choice("reversa", "recta")] = "reversa"
    """An ogee's way: reversa is round at its thick end, recta is hollow there."""


class Part(_Section):
    """A turned part: a finial, cap or drop, from a blank of its own."""

    title: Annotated[str | None, LINE] = None
    """What it is called on papers; its name when left out."""
    species: Annotated[str | None, Typed(unfilled, {**STRING, "maxLength": 200})] = None
    """Its wood; the globe's when left out."""
    moisture: Annotated[float | None, PERCENT] = None
    """Moisture of its blank by a meter; left out, the globe's where the wood is the globe's too,
    else at rest in the workshop's air."""
    place: Word = "bottom"
    """What it stands on: top or bottom of the globe, or the free end of the part named here.

    With form: turned, the first part's free end points there: bottom hangs it by its joint end,
    top stands it on that; left out, bottom with a hanger and top without one."""
    profile: Annotated[tuple[Element, ...], Field(min_length=1, max_length=40)] = Field(
        examples=[[{"shape": "straight", "length": "20 mm", "diameter": "10 mm"}]]
    )
    """Its elements from the free end at the tailstock to the joint at the headstock."""
    hole: Annotated[Length | None, length_from("1 mm", "100 mm", "8 mm")] = None
    """The drill of the hole that takes its tenon; the next one owned up, when left out."""
    gap: Annotated[Length, length_from("0 mm", "1 mm", "0.1 mm")] = parse_length("0.1 mm")
    """Room for glue all round the tenon, at least."""
    room: Annotated[Length, length_from("0 mm", "20 mm", "1 mm")] = parse_length("1 mm")
    """Room left at the bottom of the hole."""
    least_neck: Annotated[Length, length_from("0.5 mm", "50 mm", "3 mm")] = parse_length("3 mm")
    """The thinnest that a neck or tenon may be (ours; wood and use decide)."""
    truing: Annotated[Length, length_from("0 mm", "50 mm", "3 mm")] = parse_length("3 mm")
    """What is turned away to make its blank true, on the diameter."""
    allowance: Allowance = Allowance()
    """Waste along its blank's length."""
    board: Board | None = None
    """The board that its blanks are sawn from, for a batch."""


class Finish(_Section):
    """A finish, as its own label says; nothing here is guessed."""

    product: Unfilled = Field(examples=["wipe-on oil"])
    """What the label calls it."""
    coats: Annotated[int, count(1, 30, "coats")] = Field(examples=["3"])
    """How many coats."""
    recoat: Annotated[Fraction | None, DURATION] = None
    """From one coat to the next, by the label."""
    dry: Duration = Field(examples=["24 h"])
    """Until it may be handled after the last coat, by the label."""
    coverage: Annotated[float | None, COVERAGE] = None
    """How far it goes by the label: 10 m²/l, 400 ft²/gal or 100 ft²/qt (US)."""


class Sanding(_Section):
    """The sequence of abrasives."""

    grits: Annotated[tuple[Grit, ...], Field(min_length=1, max_length=16)] = Field(
        examples=[["P180", "P240"]]
    )
    """The papers in the order of use, on their own scale: P180 (FEPA), CAMI 180."""


_WIRE_PATTERN = r"^\s*(.*[0-9½¼¾⅛].*(AWG|SWG|awg|swg|mm|MM|cm|in|inch|inches|\"|″)|(AWG|SWG).*)\s*$"


class Hanger(_Section):
    """The twisted wire that hangs the piece."""

    wire: Annotated[Wire, parsed(parse_wire, "22 AWG", _WIRE_PATTERN)] = Field(examples=["22 AWG"])
    """The wire, with its gauge system: 22 AWG, 22 SWG or 0.6 mm. A bare gauge is not enough."""
    strands: Annotated[int, count(1, 7, "strands")] = 2
    """Strands that lie side by side in the hole."""
    pitch: Annotated[Length | None, length_from("1 mm", "100 mm", "6 mm")] = None
    """Length of one full twist; left out for a straight bundle."""
    clearance: Annotated[Length, length_from("0 mm", "2 mm", "0.05 mm")] = parse_length("0.05 mm")
    """Least play between bundle and hole, on the diameter."""
    hole_depth: Annotated[Length, length_from("1 mm", "200 mm", "12 mm")] = parse_length("12 mm")
    """Depth of the hole."""
    loop: Annotated[Length, length_from("1 mm", "60 mm", "6 mm")] = parse_length("6 mm")
    """The rod round which the wire is bent into a loop."""
    reach: Annotated[Length, length_from("1 mm", "300 mm", "15 mm")] = parse_length("15 mm")
    """Length of twisted wire between the loop and the wood."""
    coil: Annotated[Length | None, length_from("100 mm", "1000 m", "10 m")] = None
    """Length of a coil as it is sold; a batch's sheet tells how many to buy."""
    waste: Annotated[Length, length_from("0 mm", "200 mm", "15 mm")] = parse_length("15 mm")
    """What pliers or clamp hold at each end of a wire and is cut off afterwards (ours)."""


class Step(_Section):
    """One operation, in order of work."""

    id: Word = Field(examples=["mark-octagon"])
    """A short name; film marks and files use it."""
    title: Line = Field(examples=["Mark the octagon"])
    """The step's heading."""
    chapter: Annotated[str | None, LINE] = None
    """Begins a chapter of the film with this title."""
    tools: tuple[Line, ...] = ()
    """Tools needed."""
    does: tuple[Annotated[str, choice(*ACTIONS, NOTHING)], ...] = Field(
        min_length=1, examples=[["spindle-running"]]
    )
    """What the step does that can hurt; cautions follow from it. The word nothing, if nothing."""
    part: Annotated[str | None, LINE] = None
    """The turned part that the step works on; its own speed ceilings then hold."""
    stage: Annotated[str | None, choice(*STAGES)] = None
    """Stage of the work; gives the speed ceiling where the lathe runs."""
    speed: Annotated[float | None, SPEED] = None
    """The speed asked for; above the ceiling it brings a caution of its own."""
    set_up: Annotated[Fraction | None, DURATION] = None
    """Time at the bench to set up for this step, once for a batch: 10 min, as you measured it."""
    each: Annotated[Fraction | None, DURATION] = None
    """Time at the bench that this step takes for one piece, once it is set up: 4 min."""
    do: Prose = Field(examples=["Mark the octagon."])
    """The instruction on papers. Names measurements: {{ sphere.set_in }}."""
    say: Prose = ""
    """The narration. Names measurements: {{ sphere.set_in }}."""
    show: tuple[Line, ...] = Field(default=(), max_length=4)
    """Measurements that the overlay of this step shows, at most four."""
    inset: Annotated[str | None, choice(*INSETS)] = None
    """A small drawing on that overlay: octagon, index (the ring of marks) or grooves."""
    groove: Annotated[int | None, count(1, 72, "grooves")] = None
    """The groove that this step is about; the inset shows it and its marks."""
    corner: Annotated[str | None, choice(*CORNERS)] = None
    """Where the overlay stands; the calmest corner of the film, when left out."""


class KeepClear(_Section):
    """Strips along the picture's edges, as shares of its height or width."""

    top: Annotated[float, PERCENT] = 0.0
    """Strip at the top."""
    bottom: Annotated[float, PERCENT] = 0.0
    """Strip at the bottom."""
    left: Annotated[float, PERCENT] = 0.0
    """Strip at the left."""
    right: Annotated[float, PERCENT] = 0.0
    """Strip at the right."""


class Take(_Section):
    """A stretch of one camera's recording, as it comes into the film."""

    step: Annotated[str | None, LINE] = None
    """The step that begins with this take; takes without one belong to the step before."""
    camera: Annotated[str | None, LINE] = None
    """Which camera shows it; the one whose sound counts, when left out."""
    begin: Time = Field(alias="in", examples=["0:12"])
    """Its first picture, by the clock of the camera whose sound counts, whichever shows it."""
    end: Time = Field(alias="out", examples=["0:47.5"])
    """Where it ends, by the same clock; that picture is no longer shown."""
    speed: Annotated[Fraction, PACE] = Fraction(1)
    """How many times as fast it is played, 0.25 to 64; only at 1 its sound is kept."""


class Film(_Section):
    """The master that the overlays go onto."""

    size: Size = (1920, 1080)
    """Picture size of the footage."""
    length: Annotated[int | None, TIME] = None
    """Length of the master."""
    marks: dict[Word, Time] = {}
    """When each step starts in the master."""
    cameras: Annotated[dict[Word, FileName], Field(max_length=12)] = {}
    """Recordings by a name of your own: file names in the footage folder."""
    sound: Annotated[str | None, LINE] = None
    """The camera or recorder whose sound and clock count; the first one, when left out."""
    apart: Annotated[tuple[Word, ...], Field(max_length=12)] = ()
    """Cameras that filmed at another time: their takes count their own clock and sound."""
    claps: Annotated[dict[Word, Moments], Field(max_length=12)] = {}
    """Where a clap is in each recording that its sound cannot place; first and last give drift."""
    takes: Annotated[tuple[Take, ...], Field(max_length=500)] = ()
    """The film's parts in order; steps, film length and a rough cut follow from them."""
    credit: Prose = ""
    """Whose footage it is, where a licence asks for that."""
    thumbnail: Annotated[str | None, LINE] = None
    """The measurement on the thumbnail; when left out, the first one that a card shows, of turned
    parts alone the height of the whole."""
    thumbnail_at: Annotated[int | None, TIME] = None
    """The moment of the film whose picture is the thumbnail's ground; the piece when left out."""
    chapters_stand: Annotated[str, choice(*CHAPTERS_STAND)] = "first"
    """Where the description has the chapters: first, after the summary, or last."""
    titles: Flag = False
    """Shows each step's title and number on screen, where its overlay does not do so."""
    end_screen: Annotated[int, TIME] = 0
    """The last stretch of the film that no overlay covers, for the host's own links."""
    keep_clear: KeepClear = KeepClear()
    """Where captions or titles are burnt into the master already; no overlay stands there."""
    silent: Flag = False
    """Says that the master has no sound on purpose."""
    recorded_anew: dict[Word, Day] = {}
    """When a step's voice was recorded anew: it says all that was corrected until that day."""


class Design(_Section):
    """One ornament and its episode."""

    title: Line = Field(examples=["Plain globe"])
    """The episode's title."""
    language: Annotated[str, choice(*tags())] = FIRST
    """The language of its texts, by its tag: en or de. Texts in another one stand beside it."""
    based_on: Annotated[str | None, LINE] = None
    """Another design file in the same folder; what is written here overrides it."""
    scale_to: Annotated[Length | None, length_from("8 mm", "600 mm", "45 mm")] = None
    """The size that the design named by based_on is scaled to; what scales is told."""
    summary: Prose = ""
    """What the piece is, in a sentence or two."""
    credit: Prose = ""
    """Whose idea it is and what it derives from."""
    stock: Stock = Field(examples=[{"species": "sycamore", "diameter": "60 mm"}])
    """The wood as mounted."""
    form: Annotated[str, choice("sphere", "turned")] = "sphere"
    """The finished form: a ball with what belongs to it, or turned parts alone."""
    as_measured: AsMeasured = AsMeasured()
    """What the callipers said at the bench."""
    indexing: Indexing | None = None
    """Marks around the piece."""
    grooves: Grooves | None = None
    """Grooves through both poles."""
    rings: Annotated[tuple[Ring, ...], Field(max_length=12)] = ()
    """Grooves on circles parallel to the equator."""
    hollow: Hollow | None = None
    """A hollow in the ball."""
    parts: Annotated[dict[Name, Part], Field(max_length=8)] = {}
    """Turned parts by name, which measurements carry too: finial gives finial.length."""
    finish: Finish | None = None
    """The finish, by its label."""
    sanding: Sanding | None = None
    """The sequence of abrasives."""
    hanger: Hanger | None = None
    """The wire that hangs it."""
    plain_words: Annotated[tuple[Line, ...], Field(max_length=50)] = ()
    """Phrases with digits or number words that are no figures: ISO 7010, 3D print, hexagon key."""
    values: Annotated[dict[Name, Value], Field(max_length=100)] = {}
    """Other typed figures, named value.NAME in texts: dry_time: 15 min, shoulder: 6 mm."""
    steps: tuple[Step, ...] = Field(
        min_length=1,
        max_length=60,
        examples=[[{"id": "turn", "title": "Turn", "does": ["spindle-running"], "do": "Turn."}]],
    )
    """The order of work."""
    film: Film = Film()
    """The master that the overlays go onto."""
    workshop: Workshop = Field(
        examples=[{"name": "Your workshop", "lathe": {"slowest": "250 rpm", "fastest": "3600 rpm"}}]
    )
    """Overrides of the workshop file for this design alone."""

    def wood_of(self, part: str = "") -> str:
        """The wood of a part, which is the globe's unless it names its own; without one, that."""
        own = self.parts[part].species if part in self.parts else None
        return own or self.stock.species
