"""A whole episode, made by hand: an invented globe by an invented workshop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml

from studio.compute.table import Computed, compute
from studio.design.reading import load
from studio.episode.assemble import open_episode
from studio.episode.records import (
    Card,
    CardKind,
    CardRow,
    Caution,
    Chapter,
    Episode,
    FrameSize,
    Link,
    TimedStep,
)
from studio.language import speaking
from studio.measure.measurement import BenchRule, Measurement, MeasurementTable, Reading, System
from studio.measure.trace import mark
from studio.resources import shipped

COMMON = "common practice, no source"
GEOMETRY = "geometry of the regular octagon, Euclid, Elements IV"


def _reading(text: str, unit: str, off_by: float = 0.0) -> Reading:
    return Reading(0.0, unit, text, off_by)


def sized(
    name: str,
    label: str,
    value: float,
    unit: str,
    metric: str,
    imperial: str,
    formula: str = "",
    rule: str = "",
    source: str = COMMON,
    bench: BenchRule | None = None,
    where: str = "",
    first: System = System.METRIC,
) -> Measurement:
    return Measurement(
        name=name,
        label=label,
        value=value,
        unit=unit,
        metric=_reading(metric, unit),
        imperial=_reading(imperial, unit),
        first=first,
        rule=rule,
        formula=formula,
        source=source,
        bench=bench,
        where=where,
    )


def sample_table(first: System) -> MeasurementTable:
    rows = (
        sized(
            "stock.section",
            "blank, square",
            70,
            "mm",
            "70 mm",
            "2 3/4 in",
            "diameter and an allowance of 10 mm",
            "up to the next 5 mm, or 1/8 in",
            first=first,
        ),
        sized(
            "stock.length",
            "blank, length",
            130,
            "mm",
            "130 mm",
            "5 1/8 in",
            "diameter, two tenons and two parting cuts",
            "up to the next 5 mm, or 1/8 in",
            first=first,
        ),
        sized("stock.allowance", "allowance", 10, "mm", "10 mm", "3/8 in", first=first),
        sized(
            "sphere.diameter",
            "diameter",
            60,
            "mm",
            "60 mm",
            "2 3/8 in",
            "the design's own size",
            "as typed, to the nearest 1/16 in",
            "the design",
            first=first,
        ),
        sized(
            "sphere.octagon_side",
            "octagon side",
            24.853,
            "mm",
            "25 mm",
            "15/16 in",
            "diameter × tan 22.5°",
            "what is left of the diameter after two set-ins, so that the three add up",
            GEOMETRY,
            BenchRule(
                "0.414 of the diameter",
                _reading("24.8 mm", "mm"),
                _reading("31/32 in", "in"),
                "within 0.1 mm of the exact side",
            ),
            "flat on top of the cylinder",
            first=first,
        ),
        sized(
            "sphere.set_in",
            "set-in",
            17.574,
            "mm",
            "17.5 mm",
            "11/16 in",
            "diameter × (1 − tan 22.5°) ÷ 2",
            "down to 0.5 mm or 1/16 in, so that wood stays proud",
            GEOMETRY,
            BenchRule(
                "0.293 of the diameter", _reading("17.5 mm", "mm"), _reading("11/16 in", "in"), ""
            ),
            "from each corner of the cylinder, along the length and on the end face",
            first=first,
        ),
        sized(
            "sphere.second_mark",
            "second mark",
            6.459,
            "mm",
            "6.4 mm",
            "1/4 in",
            "diameter × (tan 22.5° − tan 11.25°) ÷ 2",
            "down, so that wood stays proud",
            GEOMETRY,
            BenchRule(
                "a quarter of the octagon’s side",
                _reading("6.2 mm", "mm"),
                _reading("15/64 in", "in"),
                "corners 0.6 mm proud instead of 0.5",
            ),
            "from each corner of the octagon, both ways",
            first=first,
        ),
        sized(
            "sphere.end_limit_first",
            "tenon below",
            24.853,
            "mm",
            "24.5 mm",
            "15/16 in",
            "diameter × tan 22.5°",
            "down, so that the cut clears the tenon",
            GEOMETRY,
            where="both ends, before the first round",
            first=first,
        ),
        sized(
            "sphere.proud_first",
            "left proud after the first round",
            2.472,
            "mm",
            "2.5 mm",
            "3/32 in",
            "radius × (1 ÷ cos 22.5° − 1)",
            "to the nearest 0.1 mm",
            GEOMETRY,
            where="at the octagon’s corners",
            first=first,
        ),
        sized(
            "sphere.volume",
            "volume of the ball",
            113097,
            "mm3",
            "113 cm³",
            "6.9 in³",
            "π × diameter³ ÷ 6",
            "to 3 figures",
            "Archimedes, On the Sphere and Cylinder",
            first=first,
        ),
        sized("index.marks", "index marks", 12, "count", "12", "12", first=first),
        sized("index.plate", "index plate", 96, "count", "96", "96", first=first),
        sized(
            "index.stops",
            "stops from mark to mark",
            8,
            "count",
            "8",
            "8",
            "plate ÷ marks",
            first=first,
        ),
        sized(
            "index.angle", "angle between marks", 30, "deg", "30°", "30°", "360° ÷ 12", first=first
        ),
        sized(
            "index.chord",
            "divider setting",
            15.529,
            "mm",
            "15.5 mm",
            "39/64 in",
            "diameter × sin (180° ÷ 12)",
            "to the nearest 0.5 mm or 1/64 in",
            "chord of a circle",
            where="on the largest round",
            first=first,
        ),
        sized(
            "index.closing",
            "dividers at the printed setting miss the start by",
            0.34,
            "mm",
            "0.34 mm past it",
            "0.02 in past it",
            first=first,
        ),
        sized(
            "hanger.wire",
            "hanger wire",
            0.6438,
            "mm",
            "0.65 mm",
            "22 AWG",
            source="ASTM B258",
            first=first,
        ),
        sized("hanger.strands", "strands", 4, "count", "4", "4", first=first),
        sized(
            "hanger.drill",
            "drill for the hanger",
            1.7,
            "mm",
            "1.7 mm",
            "#51",
            "four strands twisted at 6 mm",
            "up to the next real drill",
            "ASME B94.11M",
            first=first,
        ),
        sized("hanger.depth", "depth of the hole", 15, "mm", "15 mm", "19/32 in", first=first),
        sized(
            "speed.rough",
            "roughing",
            760,
            "rpm",
            "750 rpm",
            "750 rpm",
            "3,000 ÷ swing in inches",
            "down to the next 50 rpm",
            first=first,
        ),
        sized(
            "speed.finish",
            "finishing",
            2550,
            "rpm",
            "2,550 rpm",
            "2,550 rpm",
            "least of rule and lathe",
            "down to the next 50 rpm",
            first=first,
        ),
        sized(
            "value.flat",
            "flat for the cap",
            8,
            "mm",
            "8 mm",
            "5/16 in",
            source="the design",
            first=first,
        ),
    )
    return MeasurementTable(rows)


FACE = Caution(
    code="spindle-running",
    short="Face shield on, sleeves tied back",
    text="Wear a full-face shield whenever the spindle turns; tie back hair, sleeves and cords.",
    source="EN 166:2001 for the shield; " + COMMON,
)
DUST = Caution(
    code="sanding",
    short="Extract the dust, wear a mask",
    text="Fine wood dust harms the lungs: extract at the source and wear a mask that fits.",
    source="HSE EH40, wood dust",
)
REST = Caution(
    code="rest-moved",
    short="Stop the lathe before moving the rest",
    text="Switch off, let the spindle stand still, move the rest, turn the work by hand once.",
    source=COMMON,
)


def sample_steps(table: MeasurementTable) -> tuple[TimedStep, ...]:
    def speed(name: str) -> Caution:
        rpm = table[name]
        return Caution(
            code="speed",
            short=f"At most {rpm.marked()}",
            text=f"Keep to {rpm.marked()} or slower here; the lathe’s and the chuck’s own plates "
            "rule where they say less.",
            source=COMMON,
        )

    t = table

    def both(name: str) -> str:
        return t[name].marked_both()

    rows: list[tuple[str, str, tuple[str, ...], str, str, tuple[str, ...], tuple[Caution, ...]]] = [
        (
            "rough-cylinder",
            "Rough to a cylinder",
            ("roughing gouge", "callipers"),
            f"Mount the blank between centres, {both('stock.section')} square "
            f"and {both('stock.length')} long. "
            f"Rough it round, then bring it to {both('sphere.diameter')} along the whole length.",
            f"Bring the cylinder down to {t['sphere.diameter'].marked()}.",
            ("sphere.diameter",),
            (FACE, speed("speed.rough"), REST),
        ),
        (
            "part-ends",
            "Part down both ends",
            ("parting tool", "callipers"),
            f"Mark two end lines {both('sphere.diameter')} apart. Part down outside them, "
            f"each tenon **below** {both('sphere.end_limit_first')}.",
            f"Two end lines, {t['sphere.diameter'].marked()} apart, "
            f"and the tenons below {t['sphere.end_limit_first'].marked()}.",
            ("sphere.diameter", "sphere.end_limit_first"),
            (FACE, speed("speed.rough")),
        ),
        (
            "mark-octagon",
            "Mark the octagon",
            ("pencil", "dividers", "rule"),
            f"Set dividers to the set-in, {both('sphere.set_in')}.\n\n"
            "- along the length, from each end line\n- on each end face, from the corner\n\n"
            f"The flat left in the middle is the octagon’s side, {both('sphere.octagon_side')}.",
            f"Set in {t['sphere.set_in'].marked()} from each corner. "
            f"That leaves {t['sphere.octagon_side'].marked()} in the middle.",
            ("sphere.set_in", "sphere.octagon_side"),
            (REST,),
        ),
        (
            "first-round",
            "Cut the corners: first round",
            ("spindle gouge",),
            f"Cut straight from mark to mark. "
            f"The corners of the octagon stand {both('sphere.proud_first')} proud of the ball.",
            f"Cut across; {t['sphere.proud_first'].marked()} is still proud at the corners.",
            ("sphere.proud_first",),
            (FACE, speed("speed.rough")),
        ),
        (
            "second-round",
            "Cut the corners: second round",
            ("spindle gouge", "pencil"),
            f"From each corner mark {both('sphere.second_mark')} both ways, "
            "and cut from mark to mark again.",
            f"Now {t['sphere.second_mark'].marked()} each way from every corner.",
            ("sphere.second_mark",),
            (FACE, speed("speed.finish")),
        ),
        (
            "drill",
            "Drill for the hanger",
            ("drill chuck", "depth flag"),
            f"Drill {both('hanger.drill')}, {both('hanger.depth')} deep.",
            f"Drill {t['hanger.drill'].marked()} for the wire, {t['hanger.depth'].marked()} deep.",
            ("hanger.drill", "hanger.depth"),
            (FACE, REST),
        ),
        (
            "sand",
            "Sand and finish",
            ("abrasive", "dust extraction"),
            "Sand through the grits with the rest **out of the way**.",
            "Take the rest away and sand.",
            (),
            (DUST, FACE, speed("speed.finish")),
        ),
    ]
    return tuple(
        TimedStep(
            id=ident,
            number=place,
            title=title,
            tools=tools,
            do=do,
            say=say,
            shows=tuple(t[name] for name in shows),
            cautions=cautions,
            start_ms=(place - 1) * 35_000,
            end_ms=place * 35_000,
        )
        for place, (ident, title, tools, do, say, shows, cautions) in enumerate(rows, 1)
    )


def sample_cards(steps: tuple[TimedStep, ...]) -> tuple[Card, ...]:
    return tuple(
        Card(
            number=number,
            step_id=step.id,
            kind=CardKind.MEASUREMENT,
            heading=step.title,
            rows=tuple(
                CardRow(
                    label=mark(f"label:{m.name}", m.label),
                    value=m.marked(),
                    other=m.marked_other(),
                    where=m.where,
                    name=m.name,
                )
                for m in step.shows
            ),
            start_ms=step.start_ms,
            end_ms=step.end_ms,
        )
        for number, step in enumerate((step for step in steps if step.shows), 1)
    )


def sample_episode(first: System = System.METRIC) -> Episode:
    table = sample_table(first)
    steps = sample_steps(table)
    parts = (
        ("Rough and part", steps[:2]),
        ("The octagon", steps[2:5]),
        ("Hang and sand", steps[5:]),
    )
    return Episode(
        name="globe",
        design_file=Path("designs/globe.yaml"),
        title=f"A plain {table['sphere.diameter'].marked()} globe in sycamore",
        summary=f"A ball of {table['sphere.diameter'].marked_both()} turned between centres from a "
        "marked octagon, with a **twisted wire** to hang it by.",
        workshop="Fernhollow Bench",
        credit="The octagon method is the trade’s own and older than any book about it. This "
        "globe is the first of [the series](https://fernhollow.example/series-2).",
        licence="CC BY-SA 4.0",
        demo_note="A demonstration: Fernhollow Bench, its people and its designs are invented.",
        species="sycamore",
        links=(Link(label="All handouts", url="https://fernhollow.example/handouts/1"),),
        first=first,
        table=table,
        steps=steps,
        deference="Your lathe’s and tools’ own manuals, local rules and a qualified instructor "
        "stand above everything on this page. If they differ, follow them.",
        chapters=tuple(
            Chapter(
                title=title,
                step_ids=tuple(step.id for step in inside),
                start_ms=inside[0].start_ms or 0,
                end_ms=inside[-1].end_ms or 0,
            )
            for title, inside in parts
        ),
        cues=(),
        cards=sample_cards(steps),
        notes=(),
        size=FrameSize(640, 360),
        length_ms=245_000,
        look="plain",
    )


@pytest.fixture(scope="session")
def episode() -> Episode:
    return sample_episode()


@pytest.fixture(scope="session")
def imperial_episode() -> Episode:
    return sample_episode(System.IMPERIAL)


HOSTILE = (
    '<script>alert("x")</script> <img src=x onerror=alert(1)> {{ 7*7 }} {% raw %} '
    "[press](javascript:alert(1)) ![p](https://evil.example/p.png) <b>bold</b> "
    "&lt;i&gt; \x00\x1b</style></title></svg>"
)


@pytest.fixture(scope="session")
def hostile_episode() -> Episode:
    """Every text that a design can hold says something harmful."""
    episode = sample_episode()
    bad = Caution(code="bad", short=HOSTILE, text=HOSTILE, source=HOSTILE)
    step = replace(
        episode.steps[0],
        title=HOSTILE,
        tools=(HOSTILE,),
        do=HOSTILE + "\n\n" + HOSTILE,
        say=HOSTILE,
        cautions=(bad,),
    )
    card = replace(
        episode.cards[0], heading=HOSTILE, rows=(CardRow(label=HOSTILE, where=HOSTILE, name="x"),)
    )
    return replace(
        episode,
        title=HOSTILE,
        summary=HOSTILE,
        workshop=HOSTILE,
        credit=HOSTILE,
        licence=HOSTILE,
        demo_note=HOSTILE,
        species=HOSTILE,
        deference=HOSTILE,
        links=(Link(label=HOSTILE, url="javascript:alert(1)"), Link(label="ok", url=HOSTILE)),
        steps=(step, *episode.steps[1:]),
        cards=(card,),
        chapters=(Chapter(title=HOSTILE, step_ids=("a",), start_ms=0, end_ms=1),),
    )


@pytest.fixture(scope="session")
def long_episode() -> Episode:
    """Long words, right-to-left text and emoji."""
    episode = sample_episode()
    words = "Drechselbankfutterspannbackensatz" * 6 + " كرة خشبية معلقة 🪵🌲 " + "x" * 200
    step = replace(episode.steps[0], title=words, do=f"{words}\n\n`{words}`", tools=(words,))
    return replace(
        episode, title=words, summary=words, species=words, steps=(step, *episode.steps[1:])
    )


@pytest.fixture(scope="session")
def wide_episode() -> Episode:
    """Every length is printed as long as a length can be."""
    episode = sample_episode()
    table = MeasurementTable(
        replace(
            m,
            metric=_reading("1,234.5 mm", "mm"),
            imperial=_reading("48 39/64 in", "in"),
        )
        for m in episode.table.values()
    )
    return replace(episode, table=table)


@pytest.fixture(scope="session")
def marked_episode() -> Callable[[int], Episode]:
    """The globe with another number of index marks."""

    def made(count: int) -> Episode:
        episode = sample_episode()
        values = {"index.marks": float(count), "index.angle": 360 / count}
        table = MeasurementTable(
            replace(m, value=values.get(m.name, m.value)) for m in episode.table.values()
        )
        return replace(episode, table=table)

    return made


WORKSHOP: dict[str, Any] = {
    "name": "Fernhollow Bench",
    "lathe": {"slowest": "50 rpm", "fastest": "3600 rpm"},
    "chuck": {"rims": ["10 mm", "20 mm", "34 mm", "48 mm", "120 mm", "250 mm"]},
    "index_plates": [96, 60, 14],
    "drills": ["metric 1 mm to 10 mm by 0.1 mm", "number 1 to 60", "letter"],
    "cutters": ["0.8 mm", "1 mm", "2 mm", "4 mm", "6 mm", "7 mm", "8 mm", "20 mm"],
    "vee_cutters": ["60°", "90°"],
}
"""A workshop that owns enough for the smallest and the largest ball."""

FINIAL = [
    {"shape": "bead", "length": "5 mm", "crown": "5 mm", "start": "0 mm", "end": "3.4 mm"},
    {"shape": "taper", "length": "24 mm", "end": "5 mm"},
    {"shape": "fillet", "length": "1.5 mm", "diameter": "8 mm"},
    {"shape": "bead", "length": "7 mm", "crown": "14 mm", "start": "8 mm", "end": "8 mm"},
    {"shape": "cove", "length": "8 mm", "throat": "6 mm", "start": "8 mm", "end": "11 mm"},
    {"shape": "ogee", "length": "6 mm", "start": "13 mm", "end": "18 mm"},
    {"shape": "fillet", "length": "2 mm", "diameter": "20 mm"},
    {"shape": "tenon", "length": "7 mm", "diameter": "7.8 mm"},
]
CAP = [
    {"shape": "fillet", "length": "2 mm", "diameter": "9 mm"},
    {"shape": "ogee", "length": "5 mm", "start": "9 mm", "end": "18 mm"},
    {"shape": "tenon", "length": "6 mm", "diameter": "5.8 mm"},
]
PARTS: dict[str, dict[str, Any]] = {
    "finial": {"place": "bottom", "profile": FINIAL},
    "cap": {"place": "top", "profile": CAP},
}
HANGER = {"wire": "22 AWG", "strands": 4, "pitch": "6 mm", "hole_depth": "12 mm"}
GROOVES = {"number": 4, "width": "6 mm", "depth": "2 mm", "least_land": "0 mm"}

DESIGNS: dict[str, dict[str, Any]] = {
    "plain": {"indexing": {"marks": 12}, "hanger": HANGER},
    "grooved": {"indexing": {"marks": 8}, "grooves": GROOVES, "hanger": HANGER},
    "one groove": {"indexing": {"marks": 2}, "grooves": GROOVES | {"number": 1}},
    "two grooves": {"indexing": {"marks": 4}, "grooves": GROOVES | {"number": 2}},
    "three grooves": {"indexing": {"marks": 12}, "grooves": GROOVES | {"number": 3}},
    "many marks": {
        "diameter": "120 mm",
        "indexing": {"marks": 48},
        "grooves": GROOVES | {"number": 24, "width": "4 mm", "depth": "1 mm"},
    },
    "smallest": {
        "diameter": "8 mm",
        "indexing": {"marks": 4},
        "hanger": {"wire": "0.2 mm", "strands": 2, "pitch": "2 mm", "hole_depth": "3 mm"},
    },
    "small and grooved": {
        "diameter": "14 mm",
        "indexing": {"marks": 4},
        "grooves": GROOVES | {"number": 2, "width": "0.8 mm", "depth": "0.21 mm"},
    },
    "largest": {
        "diameter": "600 mm",
        "indexing": {"marks": 96},
        "grooves": GROOVES | {"number": 48, "width": "8 mm", "depth": "4 mm"},
        "hanger": {"wire": "3 mm", "strands": 7, "pitch": "40 mm", "hole_depth": "180 mm"},
        "first": "imperial",
    },
    "inches": {
        "diameter": "2 23/64 in",
        "first": "imperial",
        "indexing": {"marks": 10},
        "grooves": GROOVES | {"number": 5, "width": "15/64 in"},
        "hanger": HANGER | {"hole_depth": "35/64 in"},
        "parts": PARTS,
    },
    "rings": {
        "rings": [
            {"place": "0 mm", "width": "4 mm", "depth": "1 mm"},
            {"place": "10 mm", "width": "4 mm", "depth": "1 mm"},
            {"place": "20 mm", "width": "3 mm", "depth": "0.71 mm", "side": "top"},
        ],
    },
    "rings and grooves": {
        "indexing": {"marks": 6},
        "grooves": GROOVES | {"number": 3, "shape": "flared", "flare": "1 mm"},
        "rings": [{"place": "12 mm", "width": "4 mm", "depth": "1 mm"}],
    },
    "hollow": {
        "diameter": "72 mm",
        "indexing": {"marks": 12},
        "grooves": GROOVES | {"number": 6, "shape": "vee", "width": "5 mm", "depth": "2.58 mm"},
        "hollow": {"wall": "9 mm", "opening": "14 mm"},
    },
    "parts": {
        "indexing": {"marks": 8},
        "grooves": GROOVES,
        "parts": PARTS,
        "sizing": {"spacing": "5 mm"},
    },
    "many stations": {
        "parts": PARTS | {"finial": PARTS["finial"] | {"title": "Spindle 2 <b>& more</b>, long"}},
        "sizing": {"spacing": "1 mm"},
    },
    # an odd number of grooves starts half way between two marks, which takes many words
    "five flared grooves": {
        "indexing": {"marks": 10},
        "grooves": GROOVES | {"number": 5, "shape": "flared", "flare": "1 mm"},
        "hanger": HANGER,
    },
    "seven grooves": {
        "diameter": "254 mm",
        "first": "imperial",
        "indexing": {"marks": 14},
        "grooves": GROOVES | {"number": 7, "width": "7.2 mm", "depth": "2.4 mm"},
        "hollow": {"wall": "25.4 mm", "opening": "50.8 mm"},
        "rings": [{"place": "63.5 mm", "width": "4 mm", "depth": "1 mm"}],
    },
    "largest, three grooves": {
        "diameter": "600 mm",
        "indexing": {"marks": 96},
        "grooves": GROOVES | {"number": 3, "width": "20 mm", "depth": "9.97 mm"},
        "hollow": {"wall": "48.4 mm", "opening": "123.4 mm"},
    },
    "set in by 3.02": {"diameter": "203.02 mm"},
    "smallest, in inches": {"diameter": "21/64 in", "first": "imperial"},
    "long titles": {
        "parts": {
            "finial": PARTS["finial"] | {"title": "A finial" + " with a very long title" * 7},
            "cap": PARTS["cap"] | {"title": "C" + "a" * 178 + "p"},
        },
    },
    "one strand": {
        "hanger": {"wire": "1.6 mm", "strands": 1, "hole_depth": "10 mm"},
    },
}
"""Designs from one end of what can be turned to the other."""


def computed(folder: Path, name: str) -> Computed:
    """One of ``DESIGNS``, computed; nothing may be wrong with it."""
    wanted = dict(DESIGNS[name])
    workshop = WORKSHOP | {"units": {"first": wanted.pop("first", "metric")}}
    if "sizing" in wanted:
        workshop["sizing"] = wanted.pop("sizing")
    design = {
        "title": name,
        "summary": "Invented for a test.",
        "stock": {"species": "European sycamore", "diameter": wanted.pop("diameter", "60 mm")},
        "steps": [{"id": "turn", "title": "Turn", "do": "Turn.", "say": "Turn.",
                   "does": ["spindle-running"], "stage": "rough"}],
        **wanted,
    }  # fmt: skip
    (folder / "workshop.yaml").write_text(yaml.safe_dump(workshop, allow_unicode=True))
    path = folder / "design.yaml"
    path.write_text(yaml.safe_dump(design, allow_unicode=True))
    read = load(path)
    assert read.faults == ()
    made = compute(read.design)
    assert made.problems == ()
    return made


@pytest.fixture(scope="session")
def designs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Computed]:
    """Every one of ``DESIGNS``, computed, by its name."""
    return {name: computed(tmp_path_factory.mktemp("design"), name) for name in DESIGNS}


@pytest.fixture(scope="session")
def drawn(designs: dict[str, Computed], episode: Episode) -> dict[str, Episode]:
    """Every one of ``DESIGNS`` as an episode: the sample's words, the design's own figures."""
    return {
        name: replace(
            episode,
            name=name,
            table=made.table,
            piece=made.piece,
            schedules=made.schedules,
            first=next(iter(made.table.values())).first,
            steps=(),
            cards=(),
            title=name,
            summary="",
        )
        for name, made in designs.items()
    }


@pytest.fixture(scope="session")
def german_drawn(tmp_path_factory: pytest.TempPathFactory, episode: Episode) -> dict[str, Episode]:
    """The same in German, whose words are longer; that language holds while it is in use."""
    out = {}
    with speaking("de") as language:
        for name in DESIGNS:
            made = computed(tmp_path_factory.mktemp("german"), name)
            first = next(iter(made.table.values())).first
            out[name] = replace(
                episode, name=name, table=made.table, piece=made.piece, schedules=made.schedules,
                first=first, steps=(), cards=(), title=name, summary="", language=language,
            )  # fmt: skip
    return out


@pytest.fixture(scope="session")
def crowned() -> Episode:
    """The shipped design that has everything: grooves, a hollow, a finial and a cap."""
    return open_episode(shipped("designs") / "crowned-globe.yaml")
