"""The shot list: what must be seen close up, which corner to leave calm, what to hold still.

It is written before anything is filmed, so corners are those that the look plans.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from studio.episode.records import Card, CardKind, Episode, TimedStep
from studio.film.corners import with_corners
from studio.film.look import Look, load_look
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


_CALLED = {
    CardKind.MEASUREMENT: "the measurement card",
    CardKind.CAUTION: "a caution",
    CardKind.TITLE: "the step's title",
}


def _shots(step: TimedStep, cards: list[Card]) -> Iterator[str]:
    if step.takes:
        yield f"Narration: about {step.takes}; film at least so long."
    for shown in step.shows:
        where = f" ({shown.where})" if shown.where else ""
        yield f"Close up: {shown.label}{where}, {shown.marked()}"
    for card in cards:
        yield (
            f"Leave the {card.corner.replace('-', ' ')} corner calm for {_CALLED[card.kind]}, and "
            f"hold what is under it still for {card.held}."
        )
    if not cards and not step.shows:
        yield "Nothing is laid over this step."


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
