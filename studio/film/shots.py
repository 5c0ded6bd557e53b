"""The shot list: what must be seen close up, which corner to leave calm, what to hold still.

It is written before anything is filmed, so corners are those that the look plans.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from studio.episode.records import Card, CardKind, Episode, TimedStep
from studio.film.corners import with_corners
from studio.film.look import Look, load_look
from studio.measure.measurement import Measurement, in_a_sentence
from studio.measure.trace import mark, plain

SHOT_LIST = "shot-list.md"


def shot_list(episode: Episode, look: Look) -> str:
    """The shot list as marked Markdown, one section a step."""
    lines = [f"# {_line(episode.title)}", "", "Shot list, to have by the camera.", ""]
    if episode.demo_note:
        lines += [f"*{_line(episode.demo_note)}*", ""]
    # nobody has filmed yet, so corners are the design's or the look's, not those found calm
    unplaced = [replace(card, corner="") for card in episode.cards]
    planned = with_corners(unplaced, look, episode.size)
    for step in episode.steps:
        cards = [card for card in planned if card.step_id == step.id]
        number = mark(f"step:{step.number}", str(step.number))
        lines += [f"## {number} · {_line(step.title)}", ""]
        lines += [f"- {line}" for line in _shots(step, cards)]
        lines.append("")
    return "\n".join(lines).rstrip() + "\n"


_HELD = "the ball as it is held, with the centre that comes up to it"

_SEEN = {
    "stock": "the blank",
    "sphere": "the ball",
    "index": "the index plate with its pin, and the marks on the piece",
    "grooves": "the cutter and the groove",
    "grooves.rim": _HELD,
    "grooves.turn": _HELD,
    "axis": _HELD,
    "rings": "the cutter and the ring",
    "hollow": "the opening, and the tool going in",
    "assembly": "the joint, and the whole piece held up",
    "hanger": "the wire, and its hole",
    "piece": "the finished piece",
    "speed": "the lathe's speed display",
    "sanding": "the papers, their numbers towards the camera",
    "finish": "the finish's label",
    "wood": "the wood's end grain",
}
"""What a camera sees of a measurement, by its name or the first part of it (ours)."""

_SPEED = "speed_"
"""A part's own speeds are among its measurements."""

_DRAWN = {
    "octagon": "an end face square to the camera, all its marks in the picture",
    "index": "the index plate straight from the front, the first mark on top",
    "grooves": "a pole straight from the front, every groove in the picture",
}
"""The view that a small drawing repeats, so that viewers find it again on the piece (ours)."""


def _shots(step: TimedStep, cards: list[Card]) -> Iterator[str]:
    if step.takes:
        yield f"Narration: about {step.takes}; film at least so long."
    if step.tools:
        tools = ", ".join(_line(tool) for tool in step.tools)
        yield f"Close up: {tools}; the hand, and the place where the tool meets the work."
    for thing, measured in _by_thing(step).items():
        yield f"Close up: {thing}, {_listed(measured)}."
    if step.inset is not None:
        yield f"Close up: {_DRAWN[step.inset.drawing]}."
    if not cards:
        yield "Nothing is laid over this step."
        return
    held: dict[str, list[Card]] = {}
    for card in cards:
        held.setdefault(card.corner, []).append(card)
    calm = " and ".join(
        f"{_spoken(corner)} ({_kinds(there)})" for corner, there in sorted(held.items())
    )
    yield f"Leave calm, nothing moving and nothing that matters behind the cards: {calm}."
    still = "; ".join(
        f"{_spoken(corner)} for {', then '.join(card.held for card in there)}"
        for corner, there in sorted(held.items())
    )
    yield f"Hold still, camera and all that is in these corners, from the step's start: {still}."


def _by_thing(step: TimedStep) -> dict[str, list[Measurement]]:
    """The step's measurements by what a camera sees of them."""
    out: dict[str, list[Measurement]] = {}
    for shown in step.shows:
        subject, _, rest = shown.name.partition(".")
        if rest.startswith(_SPEED):
            subject = "speed"
        thing = _SEEN.get(shown.name) or _SEEN.get(subject)
        if thing is None:
            # a turned part is called by its own name; a typed figure is of no thing that we know
            thing = f"the {subject.replace('_', ' ')}" if subject == step.part else "the work"
        out.setdefault(thing, []).append(shown)
    return out


def _listed(measured: list[Measurement]) -> str:
    """The places on the piece first, with what the card tells of each."""
    return "; ".join(
        f"{mark(f'where:{one.name}', one.where)} ({told})" if one.where else told
        for one in measured
        for told in (f"{mark(f'label:{one.name}', in_a_sentence(one.label))}: {one.marked()}",)
    )


_CALLED = {
    CardKind.MEASUREMENT: "measurements",
    CardKind.CAUTION: "cautions",
    CardKind.TITLE: "the step's title",
}


def _kinds(cards: list[Card]) -> str:
    return ", ".join(dict.fromkeys(_CALLED[card.kind] for card in cards))


def _spoken(corner: str) -> str:
    return corner.replace("-", " ")


def _line(text: str) -> str:
    """A text of the design on one line, its marks kept."""
    return " ".join(text.split())


def shot_files(episode: Episode) -> dict[str, bytes]:
    """The shot list as it is written.

    Raises:
        BadInput: the look cannot be read.
    """
    look = load_look(episode.look, beside=episode.design_file.parent)
    return {SHOT_LIST: plain(shot_list(episode, look)).encode("utf-8")}
