"""A film of one step, with that step's own overlays and captions."""

from __future__ import annotations

from dataclasses import replace

from studio.episode.cards import (
    numbered,
    plan_cautions,
    plan_measurements,
    rows_for,
)
from studio.episode.notes import plan_notes
from studio.episode.records import Cue, Episode, FrameSize
from studio.episode.unseen import unseen_notes
from studio.errors import BadInput

SHORTEST_MS = 4_000
"""A caution stands four seconds, so no film is shorter."""


def short_of(episode: Episode, step_id: str, size: FrameSize) -> Episode:
    """The episode of one step alone, beginning at 0.

    All of the step's cautions come again: who sees the short has not seen the film.

    Args:
        episode: with times.
        step_id: the step.
        size: of the short's pictures.

    Raises:
        BadInput: there is no such step, or it has no time in the film, or too little.
    """
    step = next((one for one in episode.steps if one.id == step_id), None)
    if step is None:
        raise BadInput.of(
            f"there is no step {step_id!r}",
            f"write one of: {', '.join(one.id for one in episode.steps)}",
            file=episode.design_file,
        )
    if step.start_ms is None or step.end_ms is None:
        raise BadInput.of(
            f"nobody knows when step {step_id!r} is shown",
            "write the film's marks in the design, or run studio time",
            file=episode.design_file,
        )
    start, length = step.start_ms, step.end_ms - step.start_ms
    if length < SHORTEST_MS:
        raise BadInput.of(
            f"step {step_id!r} is {length / 1000:.1f} s long, and its cautions need four",
            "choose a longer step",
            file=episode.design_file,
        )
    alone = replace(step, start_ms=0, end_ms=length)
    cautions, late = plan_cautions([alone], (), length)
    cues = tuple(
        Cue(
            start_ms=max(0, cue.start_ms - start),
            end_ms=min(length, cue.end_ms - start),
            text=cue.text,
        )
        for cue in episode.cues
        if start <= cue.start_ms < step.end_ms
    )
    said_at = tuple((begin - start, end - start) for begin, end in episode.said_at.get(step_id, ()))
    room = rows_for(size)
    notes, beside = plan_notes([alone], episode.slips, {step_id: said_at}, length, room)
    cards = [*notes, *plan_measurements(beside, length, room)]
    unseen = unseen_notes([alone], episode.slips, [*cards, *cautions], (), length)
    return replace(
        episode,
        steps=(alone,),
        chapters=(),
        translated=(),
        cues=cues,
        cards=numbered([*cards, *cautions], [alone]),
        late_cautions=tuple(late),
        length_ms=length,
        size=size,
        # a moment of the whole film; a short has no thumbnail of its own
        thumbnail_at_ms=None,
        cut=None,
        notes=unseen
        + tuple(
            f"step {one.step_id}: its caution {one.code} has no four seconds on screen in so short "
            "a film; say it aloud, or choose a longer step"
            for one in late
        ),
    )
