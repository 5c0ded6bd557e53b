"""Rules from what a step does to its cautions.

Wording follows common workshop practice and the publications named with each rule. It never
replaces the manuals of lathe and chuck, local codes or licensed practice, and says so
(:data:`DEFERENCE`). There is no way to leave a caution out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from studio.language import later, own_word, tr
from studio.measure.measurement import Measurement
from studio.measure.units import QuantityError
from studio.safety.caution import Caution
from studio.turning.wood import in_english, is_named

PRACTICE = later("common practice, no source")

DEFERENCE = later(
    "The manuals of your lathe and chuck, your local codes and licensed practice come before "
    "anything written here. Electrical work, dust extraction and first aid belong to people "
    "trained for them. If a figure or a cut does not look right to you, stop."
)
"""Stands above every list of cautions."""


@dataclass(frozen=True, slots=True)
class Rule:
    """A hazard's caution; see :class:`Caution` for the fields."""

    code: str
    short: str
    text: str
    source: str


_PINNED = later(
    "Isolate the lathe from its supply before turning the work by hand or reaching across it. Take "
    "the index pin out and the chuck key off before switching on again."
)
"""Where an index plate is owned a pin may still stand in it."""

_RULES = (
    Rule(
        "spindle-running",
        "Face shield on. Nothing loose near the work.",
        "Wear a face shield over safety glasses. Tie back hair, roll up sleeves, take off rings, "
        "gloves and cords. Turn the work by hand once before switching on, and stand out of its "
        "line.",
        "29 CFR 1910.133 (eye and face protection); the rest common practice, no source",
    ),
    Rule(
        "mounting",
        "Lock tailstock and rest. Spin by hand first.",
        "Check the blank for cracks, knots and metal. Lock tailstock, quill and tool rest, take "
        "the chuck key out, and spin the work by hand to see that it clears the rest.",
        PRACTICE,
    ),
    Rule(
        "callipers",
        "Lathe off before callipers or dividers touch.",
        "Stop the lathe and wait until the work stands still before callipers, dividers or a rule "
        "touch it.",
        PRACTICE,
    ),
    Rule(
        "hand-rotating",
        "Power off at the wall to turn by hand.",
        "Isolate the lathe from its supply before turning the work by hand or reaching across it. "
        "Take the chuck key off before switching on again.",
        PRACTICE,
    ),
    Rule(
        "drilling",
        "Drill slowly, hold the chuck, clear the chips.",
        "Hold the work so that it cannot turn with the drill, keep a hand off the edge of the "
        "drill, run slowly, and draw the drill out often to clear chips. Stop the lathe before "
        "the drill chuck leaves the tailstock.",
        PRACTICE,
    ),
    Rule(
        "hollowing",
        "Hollow slowly. Stop to clear the chips.",
        "A hollowing tool reaches far over its rest and can catch out of sight: rest close to the "
        "opening, both hands on the tool, cuts light, speed low. No tail centre helps: the piece "
        "must sit deep and all round in its chuck. Stop the lathe to clear chips and to feel or "
        "measure the wall, and stand out of the line of the opening.",
        PRACTICE,
    ),
    Rule(
        "sanding",
        "Mask and extraction on. Tool rest away.",
        "Fine dust harms lungs: run the extraction and wear a fitted mask rated for it. Take the "
        "tool rest away, hold the paper so that it can slip out of the fingers, below the axis on "
        "the side that runs away from you, and never wrap it round a finger.",
        "wood dust: OSHA wood dust pages and UK HSE WIS30; the rest common practice, no source",
    ),
    Rule(
        "finishing",
        "Paper only, no cloth, on running work.",
        "Apply finish with a paper towel that tears, never with cloth. Air the room, keep flames "
        "away, and follow the label. Spread oily rags out to dry outdoors, then put them into a "
        "tight-lidded metal can with water: a pile can set itself on fire.",
        "oily rags: NFPA safety sheet, read in a reprint; the rest common practice, no source",
    ),
    Rule(
        "adhesive",
        "Glue: glasses on, air the room.",
        "Wear glasses, air the room and read the glue's label. Instant glue bonds skin in "
        "seconds and gets hot as it cures: peel apart with warm soapy water, never pull. Glue "
        "in an eye is a matter for a doctor at once.",
        "ECHA registration dossier and safety data sheet of ethyl cyanoacrylate (CAS 7085-85-0)",
    ),
    Rule(
        "wire-cutting",
        "Hold both wire ends. Glasses on.",
        "A cut end of wire flies. Wear glasses, hold both ends or cut inside a cloth, and pick up "
        "every end from the floor.",
        "29 CFR 1910.133 (flying particles); the rest common practice, no source",
    ),
    Rule(
        "sawing",
        "Push stick. Round work in a cradle.",
        "Keep guards and guides where the saw's manual puts them, use a push stick, and never saw "
        "round wood without a cradle that keeps it from rolling.",
        PRACTICE,
    ),
    Rule(
        "hanging",
        "Pull hard on the hanger before it hangs.",
        "A hanger that pulls out drops the piece on whoever is below. Roughen the wire's end, glue "
        "it for its whole depth, and when the glue has cured pull on it over a bench, much harder "
        "than the piece weighs. Look at loop and hook again whenever it is hung.",
        PRACTICE,
    ),
)
RULES: Mapping[str, Rule] = {rule.code: rule for rule in _RULES}
"""Every hazard that an action of a step can bring, most urgent first."""

IMPLIES: Mapping[str, tuple[str, ...]] = {
    "sanding": ("spindle-running",),
    "finishing": ("spindle-running",),
    "drilling": ("spindle-running",),
    "hollowing": ("spindle-running",),
}
"""All of these are done here with the lathe running, whether or not a design says so."""

STAGES: Mapping[str, str] = {
    "rough": later("Roughing"),
    "off_centre": later("Off centre"),
    "general": later("Once round"),
    "finish": later("Finishing cuts"),
    "sanding": later("Sanding"),
}
"""How a card calls the stage whose ceiling it names."""

SENSITISERS = frozenset(
    {
        "western red cedar", "iroko", "cocobolo", "rosewood", "teak", "yew", "mansonia", "ebony",
        "oak", "beech", "satinwood", "guarea", "makore", "afrormosia", "african mahogany",
        "olivewood", "african blackwood", "african padauk", "padauk",
    }
)  # fmt: skip
"""Woods named as causes of asthma, dermatitis or worse: the list read out in the UK House of
Commons on 2 August 1978 (Hansard), and Wolfe, Ohio State University, Table 1 (read in a secondary
stored text) for blackwood and padauk. Names in other languages are those of
:func:`studio.turning.wood.in_english`. A wood that is missing here is not thereby safe."""


def _is_listed(species: str) -> bool:
    """Whether a listed wood is named, however it is written: Oaks, beechwood, oak/ash, Eibe."""
    typed = f"{species} / {in_english(species)}".lower().replace("redcedar", "red cedar")
    words = " ".join(re.findall(r"[a-z]+", typed))
    return any(re.search(rf"\b{wood}(?:s|wood)?\b", words) for wood in SENSITISERS)


def tells_nothing_of_dust(species: str) -> bool:
    """Whether a wood goes by a name that is no wood's here: its caution may be missing for that."""
    return not _is_listed(species) and not is_named(species)


SPEED, SPEED_OVER = "speed", "speed-over"
"""The caution that names a step's ceiling; the one of a step whose design asks for more."""


def cautions_for(
    does: Iterable[str],
    *,
    species: Sequence[str],
    runs: bool,
    slender: bool = False,
    ceilings: Sequence[Measurement],
    asked: float | None,
    print_speed: Callable[[float], str],
    has_pin: bool = True,
) -> tuple[Caution, ...]:
    """A step's complete cautions, most urgent first.

    Args:
        does: the step's actions, each a key of :data:`RULES`.
        species: the woods that the step works on, as typed.
        runs: whether the step names a stage or a speed, which only a running lathe has.
        slender: whether it turns a part that is long for its thickness.
        ceilings: the speed ceilings that hold for the step; the least of them rules.
        asked: the speed that the design asks for, rpm; None when it asks for none.
        print_speed: how a speed is printed, marked as typed in the design.
        has_pin: whether an index plate, with its pin, is owned or used.

    Raises:
        QuantityError: an action that no rule knows.
    """
    actions = set(does) | ({"spindle-running"} if runs else set())
    if unknown := actions - RULES.keys():
        raise QuantityError(
            f"no rule knows what {', '.join(sorted(unknown))} does",
            f"write one of: {', '.join(RULES)}",
        )
    for action in tuple(actions):
        actions.update(IMPLIES.get(action, ()))
    found = [
        Caution(
            code=rule.code,
            short=tr(rule.short),
            text=tr(_PINNED if rule.code == "hand-rotating" and has_pin else rule.text),
            source=tr(rule.source),
        )
        for rule in RULES.values()
        if rule.code in actions
    ]
    if "spindle-running" in actions and ceilings:
        least = min(ceilings, key=lambda ceiling: ceiling.value)
        found.insert(1, _speed(least, asked, print_speed, hollows="hollowing" in actions))
    if slender and "spindle-running" in actions:
        found.append(_slender())
    listed = [wood for wood in dict.fromkeys(species) if _is_listed(wood)]
    if actions & {"spindle-running", "sanding", "sawing"}:
        found += [_dust(wood) for wood in listed]
    return tuple(found)


def _slender() -> Caution:
    """For a part with a stretch over ten times as long as thick."""
    return Caution(
        code="slender",
        short=tr("Slender work: support it, cut lightly."),
        text=tr(
            "Wood that is long for its thickness whips, and can break and fly. Support it with a "
            "steady or a light tailstock, keep the rest close but clear of it, run slowly, cut "
            "lightly from the tailstock end, and finish each stretch before the wood behind it is "
            "thinned."
        ),
        source=tr(PRACTICE),
    )


def _dust(species: str) -> Caution:
    return Caution(
        code="species-dust",
        short=tr("This wood's dust can bring on allergy."),
        text=tr(
            "{species} is on published lists of woods whose "
            "dust can bring on asthma or skin trouble, sometimes only after years. Mask and "
            "extraction from the first cut, and a doctor's advice at the first sign.",
            species=own_word(species)[:1].upper() + own_word(species)[1:],
        ),
        source=tr(
            "UK House of Commons, Hansard, 2 August 1978, list of woods; Wolfe, Ohio "
            "State University, Table 1, read in a secondary text"
        ),
    )


def _speed(
    ceiling: Measurement,
    asked: float | None,
    print_speed: Callable[[float], str],
    *,
    hollows: bool,
) -> Caution:
    limit = ceiling.marked()
    # the printed ceiling is the one that a turner reads
    if asked is not None and asked > ceiling.metric.value:
        return Caution(
            code=SPEED_OVER,
            short=tr(
                "{asked} is too fast: {limit} at most.", asked=print_speed(asked), limit=limit
            ),
            text=tr(
                "This design asks for {asked}, more than the {limit} that "
                "the rule, the lathe and the chuck allow at this stage. Stay at or below the "
                "ceiling; the plates of your own lathe and chuck rule.",
                asked=print_speed(asked),
                limit=limit,
            ),
            source=ceiling.source,
            ceiling=ceiling.name,
        )
    # speed.off_centre, or a part's own finial.speed_rough
    stage = ceiling.name.rpartition(".")[2].removeprefix("speed_")
    return Caution(
        code=SPEED,
        # hollowing has no ceiling of its own: it is held to that of roughing
        short=tr(
            "{stage}: start slowly, {limit} at most.",
            stage=tr("Hollowing") if hollows else tr(STAGES[stage]),
            limit=limit,
        ),
        text=tr(
            "Start at the slowest speed and go up only while the work runs smoothly: {limit} at "
            "most at this stage, for sound and well-held wood. The plates of your own lathe and "
            "chuck rule.",
            limit=limit,
        ),
        source=ceiling.source,
        ceiling=ceiling.name,
    )
