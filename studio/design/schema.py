"""What may stand in a design and in the workshop file; each field's docstring is its help text.

Scalars reach the schema as the text that was typed. Every field type below turns that text into a
quantity or says what to write instead. The JSON Schema for editors is made from these models.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, model_validator
from pydantic_core import CoreSchema
from pydantic_core.core_schema import no_info_plain_validator_function

from studio.measure.measurement import System
from studio.measure.units import (
    Length,
    Plain,
    QuantityError,
    Wire,
    parse_grit_label,
    parse_length,
    parse_percent,
    parse_speed,
    parse_temperature,
    parse_time,
    parse_value,
    parse_wire,
)


class _Section(BaseModel):
    """Frozen, and refusing keys that it does not know."""

    # built when first used: only the whole design is ever validated, not each section by itself
    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


@dataclass(frozen=True)
class Typed:
    """How one kind of typed text is read, and what an editor is told about it."""

    read: Callable[[object], object]
    schema: Mapping[str, Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        return dict(self.schema)


def _text(value: object, example: str) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, dict | list):
        raise QuantityError("a list or section where one value is due", f"write {example}")
    raise QuantityError("nothing is written here", f"write {example}")


# the schema takes the spellings an editor can check; the reader says the rest
_LENGTH_PATTERN = r"^\s*[0-9½¼¾⅛⅜⅝⅞⅓⅔.].*([A-Za-z\"″'′])\s*$|^\s*[0-9]+\s*['′].*$"


def length(low: str, high: str, example: str) -> Typed:
    """A length from ``low`` to ``high``."""
    least, most = parse_length(low), parse_length(high)

    def read(value: object) -> Length:
        found = parse_length(_text(value, example))
        if not least.mm <= found.mm <= most.mm:
            size = "small" if found.mm < least.mm else "large"
            raise QuantityError(
                f"{found.typed!r} is too {size} here", f"write a length from {low} to {high}"
            )
        return found

    return Typed(read, {"type": "string", "pattern": _LENGTH_PATTERN, "examples": [example]})


def parsed(parse: Callable[[str], object], example: str, pattern: str) -> Typed:
    """A text that ``parse`` reads."""
    schema = {"type": "string", "pattern": pattern, "examples": [example]}
    return Typed(lambda value: parse(_text(value, example)), schema)


def count(low: int, high: int, what: str) -> Typed:
    """A whole number from ``low`` to ``high``."""

    def read(value: object) -> int:
        text = _text(value, f"a whole number of {what}").strip()
        if not re.fullmatch(r"[0-9]{1,6}", text) or not low <= int(text) <= high:
            raise QuantityError(
                f"{text[:40]!r} is not a number of {what} that works here",
                f"write a whole number from {low} to {high}",
            )
        return int(text)

    number = {"type": "integer", "minimum": low, "maximum": high}
    return Typed(read, {"anyOf": [number, {"type": "string", "pattern": r"^\s*[0-9]{1,6}\s*$"}]})


def choice(*words: str) -> Typed:
    """One of a few words; the nearest is told when it is none of them."""

    def read(value: object) -> str:
        text = _text(value, " or ".join(words)).strip()
        if text not in words:
            near = get_close_matches(text, words, n=1, cutoff=0.4)
            hint = f"did you mean {near[0]}? " if near else ""
            raise QuantityError(
                f"{text[:40]!r} is not known here", f"{hint}write one of: {', '.join(words)}"
            )
        return text

    return Typed(read, {"type": "string", "enum": list(words)})


def _word(value: object) -> str:
    text = _text(value, "a short name such as mark-octagon")
    if not re.fullmatch(_WORD, text) or len(text) > 40:
        raise QuantityError(
            f"{text[:50]!r} does not serve as a name",
            "write small letters, digits and hyphens, such as mark-octagon",
        )
    return text


_FORMS = ("text", "other", "both", "bench")
"""Forms that a text can ask for; a value of that name could not be told from one."""


def _name(value: object) -> str:
    text = _text(value, "a short name such as first_coat")
    if not re.fullmatch(_NAME, text) or len(text) > 40 or text in _FORMS:
        raise QuantityError(
            f"{text[:50]!r} does not serve as a name in texts",
            "write small letters and underscores, such as first_coat",
        )
    return text


def _line(value: object) -> str:
    text = _text(value, "a line of text").strip()
    if not text or len(text.splitlines()) > 1 or len(text) > 200:
        raise QuantityError("not one line of text", "write one line of at most 200 characters")
    return text


def _unfilled(value: object) -> str:
    text = _line(value)
    if "{{" in text or "{%" in text or "{#" in text:
        raise QuantityError("braces in a line that names no measurements", "write plain words")
    return text


def _url(value: object) -> str:
    text = _text(value, "a link such as https://example.org/page").strip()
    if not re.fullmatch(r"https?://[^\s<>\"'\\]{3,500}", text):
        raise QuantityError(
            f"{text[:60]!r} is not a link", "write a link that starts with https://"
        )
    return text


def _flag(value: object) -> bool:
    text = _text(value, "yes or no").lower()
    if text not in ("yes", "no", "true", "false"):
        raise QuantityError(f"{text[:40]!r} is neither yes nor no", "write yes or no")
    return text in ("yes", "true")


def _size(value: object) -> tuple[int, int]:
    text = _text(value, "a size in pixels such as 1920x1080")
    match = re.fullmatch(r"\s*([0-9]{3,4})\s*[x×]\s*([0-9]{3,4})\s*", text)
    if not match or not all(180 <= int(side) <= 4320 for side in match.groups()):
        raise QuantityError(
            f"{text[:40]!r} is not a picture size",
            "write width and height in pixels, such as 1920x1080, each from 180 to 4320",
        )
    return int(match[1]), int(match[2])


_WORD = "^[a-z][a-z0-9]*([-_][a-z0-9]+)*$"
_NAME = "^[a-z]+(_[a-z]+)*$"
_STRING = {"type": "string"}
_LINE = Typed(_line, {**_STRING, "maxLength": 200})
Line = Annotated[str, _LINE]
Unfilled = Annotated[str, Typed(_unfilled, {**_STRING, "maxLength": 200})]
Prose = Annotated[str, Typed(lambda value: _text(value, "a text").strip(), _STRING)]
Word = Annotated[str, Typed(_word, {**_STRING, "pattern": _WORD})]
Name = Annotated[str, Typed(_name, {**_STRING, "pattern": _NAME})]
Url = Annotated[str, Typed(_url, {**_STRING, "pattern": "^https?://"})]
Flag = Annotated[bool, Typed(_flag, {"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no"]}]})]
_SPEED = parsed(parse_speed, "1200 rpm", r"^\s*[0-9.]+\s*[rR][pP][mM]\s*$")
Speed = Annotated[float, _SPEED]
_TIME = parsed(parse_time, "0:35", r"^([0-9]{1,2}:)?[0-9]{1,2}:[0-9]{2}(\.[0-9]{1,3})?$")
Time = Annotated[int, _TIME]
Value = Annotated[
    Length | Plain,
    Typed(
        lambda value: parse_value(_text(value, "15 min")),
        {"anyOf": [{**_STRING, "pattern": r"^\s*[0-9½¼¾⅛⅜⅝⅞.]"}, {"type": "number"}]},
    ),
]
_TEMPERATURE = parsed(parse_temperature, "18 °C", r"^\s*-?[0-9]+(\.[0-9]+)?\s*°?[CF]\s*$")
_HUMIDITY = parsed(parse_percent, "60 %", r"^\s*[0-9]+(\.[0-9]+)?\s*%\s*$")
Grit = Annotated[str, parsed(parse_grit_label, "P180", r"^\s*(P|CAMI)\s*[0-9]{2,4}\s*$")]
Size = Annotated[
    tuple[int, int], Typed(_size, {**_STRING, "pattern": "^[0-9]{3,4} ?[x×] ?[0-9]{3,4}$"})
]

ACTIONS = (
    "spindle-running",
    "callipers",
    "hand-rotating",
    "mounting",
    "drilling",
    "sanding",
    "finishing",
    "adhesive",
    "wire-cutting",
    "sawing",
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


class Chuck(_Section):
    """The chuck and its rims."""

    fastest: Annotated[float | None, _SPEED] = None
    """Fastest speed that the chuck's maker allows."""
    rims: tuple[Annotated[Length, length("10 mm", "300 mm", "48 mm")], ...] = ()
    """Inside diameters of the cup chucks or rims owned."""


class Link(_Section):
    """A link that every description carries."""

    label: Unfilled = Field(examples=["Workshop page"])
    """What the link leads to."""
    url: Url = Field(examples=["https://example.org/"])
    """The address, starting with https://."""


class Climate(_Section):
    """The air that a piece of wood lives in."""

    temperature: Annotated[float, _TEMPERATURE] = Field(examples=["18 °C"])
    """Temperature of the air."""
    humidity: Annotated[float, _HUMIDITY] = Field(examples=["60 %"])
    """Relative humidity of the air."""


class Climates(_Section):
    """Where the piece is turned and where it will hang."""

    shop: Climate = Field(examples=[{"temperature": "16 °C", "humidity": "65 %"}])
    """The workshop, where the wood has come to rest."""
    home: Climate = Field(examples=[{"temperature": "21 °C", "humidity": "40 %"}])
    """The room where the piece will be."""


class Accuracy(_Section):
    """How well the turner marks and how true the lathe runs."""

    marking: Annotated[Length, length("0.01 mm", "5 mm", "0.25 mm")] = parse_length("0.25 mm")
    """How far a pencil mark or a dividers' point may be off (the default is ours)."""
    run_out: Annotated[Length, length("0 mm", "5 mm", "0.05 mm")] = parse_length("0.05 mm")
    """Run-out of the spindle, full reading (the default is ours)."""


class Narration(_Section):
    """How the turner speaks."""

    words_per_minute: Annotated[int, count(60, 260, "words a minute")] = 140
    """The turner's own rate of speech; 140 until it is known (common practice, no source)."""


class Workshop(_Section):
    """What is true of every episode."""

    name: Unfilled = Field(examples=["Your workshop"])
    """The workshop's name, as viewers know it."""
    note: Annotated[str, Typed(_unfilled, {**_STRING, "maxLength": 200})] = ""
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
    cutters: tuple[Annotated[Length, length("0.5 mm", "100 mm", "6 mm")], ...] = ()
    """Widths of the round-nosed cutters owned; a groove is fitted to one of them."""
    climate: Climates | None = None
    """The air of the workshop and of the piece's later home; wood moves between the two."""
    accuracy: Accuracy = Accuracy()
    """How well the turner marks and how true the lathe runs."""
    narration: Narration = Narration()
    """How the turner speaks."""
    links: tuple[Link, ...] = ()
    """Links that every description carries."""
    credit: Prose = ""
    """A credit that every episode carries."""
    licence: Unfilled = "All rights reserved"
    """The licence of handouts."""
    look: Word = "fernhollow"
    """The look of the overlays: a file under overlays/."""


class Allowance(_Section):
    """Wood that the finished piece does not keep, along the blank's length."""

    headstock: Annotated[Length, length("0 mm", "150 mm", "12 mm")] = parse_length("12 mm")
    """Waste at the headstock side: tenon or drive centre."""
    tailstock: Annotated[Length, length("0 mm", "150 mm", "12 mm")] = parse_length("12 mm")
    """Waste at the tailstock side."""
    parting: Annotated[Length, length("0 mm", "20 mm", "3 mm")] = parse_length("3 mm")
    """Width of one parting cut."""
    partings: Annotated[int, count(0, 10, "parting cuts")] = 2
    """How many parting cuts fall within the blank."""


class Stock(_Section):
    """The wood as mounted."""

    species: Unfilled = Field(examples=["sycamore"])
    """The wood."""
    diameter: Annotated[Length, length("8 mm", "600 mm", "60 mm")] = Field(examples=["60 mm"])
    """Diameter to which the blank is turned; the sphere's diameter."""
    blank: Annotated[str, choice("square", "round")] = "square"
    """Section of the blank before turning."""
    section: Annotated[Length | None, length("8 mm", "700 mm", "65 mm")] = None
    """Side of a square blank or diameter of a round one; computed when it is left out."""
    truing: Annotated[Length, length("0 mm", "50 mm", "3 mm")] = parse_length("3 mm")
    """What is turned away to make the blank true, on the diameter."""
    allowance: Allowance = Allowance()
    """Waste along the length."""


class AsMeasured(_Section):
    """What the callipers said at the bench; it overrides what was planned."""

    diameter: Annotated[Length | None, length("8 mm", "600 mm", "59.8 mm")] = None
    """The cylinder's diameter as turned."""
    wire: Annotated[Length | None, length("0.1 mm", "6 mm", "0.64 mm")] = None
    """The wire's diameter by micrometer."""
    bundle: Annotated[Length | None, length("0.1 mm", "20 mm", "1.65 mm")] = None
    """The twisted bundle's diameter."""


class Indexing(_Section):
    """Marks around the piece."""

    marks: Annotated[int, count(2, 192, "marks")] = Field(examples=["12"])
    """How many marks around the equator."""
    plate: Annotated[int | None, count(2, 360, "stops")] = None
    """Stops of the index plate; the smallest owned one that serves when left out."""
    offset: Annotated[Length, length("0 mm", "300 mm", "0 mm")] = parse_length("0 mm")
    """How far off centre the piece is mounted for the cuts at these marks."""


class Grooves(_Section):
    """Grooves on great circles through both poles; lobes stand between them."""

    number: Annotated[int, count(1, 48, "grooves")] = Field(examples=["4"])
    """How many grooves; twice as many lobes."""
    width: Annotated[Length, length("0.5 mm", "100 mm", "6 mm")] = Field(examples=["6 mm"])
    """Width across a groove, along the sphere."""
    depth: Annotated[Length, length("0.2 mm", "100 mm", "2 mm")] = Field(examples=["2 mm"])
    """Depth below the sphere."""
    keep: Annotated[str, choice("width", "depth")] = "width"
    """What stays as typed when the groove is fitted to a cutter owned."""
    least_land: Annotated[Length, length("0 mm", "50 mm", "2 mm")] = parse_length("2 mm")
    """Least wood that must stay between two grooves at the equator."""


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
    pitch: Annotated[Length | None, length("1 mm", "100 mm", "6 mm")] = None
    """Length of one full twist; left out for a straight bundle."""
    clearance: Annotated[Length, length("0 mm", "2 mm", "0.05 mm")] = parse_length("0.05 mm")
    """Least play between bundle and hole, on the diameter."""
    hole_depth: Annotated[Length, length("1 mm", "200 mm", "12 mm")] = parse_length("12 mm")
    """Depth of the hole."""


class Step(_Section):
    """One operation, in order of work."""

    id: Word = Field(examples=["mark-octagon"])
    """A short name; film marks and files use it."""
    title: Line = Field(examples=["Mark the octagon"])
    """The step's heading."""
    chapter: Annotated[str | None, _LINE] = None
    """Begins a chapter of the film with this title."""
    tools: tuple[Line, ...] = ()
    """Tools needed."""
    does: tuple[Annotated[str, choice(*ACTIONS, NOTHING)], ...] = Field(
        min_length=1, examples=[["spindle-running"]]
    )
    """What the step does that can hurt; cautions follow from it. The word nothing, if nothing."""
    stage: Annotated[str | None, choice(*STAGES)] = None
    """Stage of the work; gives the speed ceiling where the lathe runs."""
    speed: Annotated[float | None, _SPEED] = None
    """The speed asked for; above the ceiling it brings a caution of its own."""
    do: Prose = Field(examples=["Mark the octagon."])
    """The instruction on papers. Names measurements: {{ sphere.set_in }}."""
    say: Prose = ""
    """The narration. Names measurements: {{ sphere.set_in }}."""
    show: tuple[Line, ...] = Field(default=(), max_length=4)
    """Measurements that the overlay of this step shows, at most four."""


class Film(_Section):
    """The master that the overlays go onto."""

    size: Size = (1920, 1080)
    """Picture size of the footage."""
    length: Annotated[int | None, _TIME] = None
    """Length of the master."""
    marks: dict[Word, Time] = {}
    """When each step starts in the master."""
    credit: Prose = ""
    """Whose footage it is, where a licence asks for that."""
    silent: Flag = False
    """Says that the master has no sound on purpose."""


class Design(_Section):
    """One ornament and its episode."""

    title: Line = Field(examples=["Plain globe"])
    """The episode's title."""
    based_on: Annotated[str | None, _LINE] = None
    """Another design file in the same folder; what is written here overrides it."""
    scale_to: Annotated[Length | None, length("8 mm", "600 mm", "45 mm")] = None
    """The size that the design named by based_on is scaled to; what scales is told."""
    summary: Prose = ""
    """What the piece is, in a sentence or two."""
    credit: Prose = ""
    """Whose idea it is and what it derives from."""
    stock: Stock = Field(examples=[{"species": "sycamore", "diameter": "60 mm"}])
    """The wood as mounted."""
    form: Annotated[str, choice("sphere")] = "sphere"
    """The finished form."""
    as_measured: AsMeasured = AsMeasured()
    """What the callipers said at the bench."""
    indexing: Indexing | None = None
    """Marks around the piece."""
    grooves: Grooves | None = None
    """Grooves through both poles."""
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
