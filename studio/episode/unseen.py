"""What is told of cards for which the film leaves no time, or too little to be read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from studio.episode.cards import CORRECTED, GLIMPSE_MS, hasty_notes
from studio.episode.records import Card, CardKind, LateCaution, Slip, TimedStep
from studio.language import tr
from studio.measure.trace import plain


def unseen_notes(
    steps: Sequence[TimedStep],
    slips: Mapping[str, Sequence[Slip]],
    cards: Sequence[Card],
    late: Sequence[LateCaution],
    last_ms: int,
) -> tuple[str, ...]:
    """What a turner should know of texts that nobody can read in the film, and what would help.

    Args:
        steps: of the film, in order, with times.
        slips: what the published voice says wrongly by now, by the names of the steps.
        cards: all that stand in the film, with times.
        late: cautions that have no four seconds on screen.
        last_ms: no card stands after this.
    """
    missed = {one.step_id for one in late}
    hasty = hasty_notes(
        card for card in cards if not (card.kind is CardKind.CAUTION and card.step_id in missed)
    )
    out = list(hasty)
    for step in steps:
        of_step = [one for one in cards if one.step_id == step.id]
        out += _own_left_out(step, of_step, last_ms)
        out += _corrections_left_out(step, slips.get(step.id, ()), of_step)
    out += (
        f"step {one.step_id}: its caution {one.code} has no four seconds on screen; {one.remedy}"
        for one in late
    )
    return tuple(out)


def _own_left_out(step: TimedStep, cards: Iterable[Card], last_ms: int) -> Iterator[str]:
    """What of a step's measurements and drawing stands on none of its cards."""
    if not step.shows and step.inset is None:
        return
    notes = [card for card in cards if card.heading == tr(CORRECTED)]
    own = [card for card in cards if card.kind is CardKind.MEASUREMENT and card not in notes]
    if not own:
        if notes:
            yield (
                f"step {step.id}: the note of a correction takes its whole time, and its own card "
                "is left out; leave the step more time"
            )
        elif (step.start_ms or 0) + GLIMPSE_MS > last_ms:
            yield f"step {step.id}: its card would stand on the end screen, and is left out"
        else:
            yield (
                f"step {step.id}: it is too short for anybody to see its card, which is left out; "
                "leave the step more time"
            )
        return
    shown = {row.name for card in own for row in card.rows}
    lacking = [f"“{plain(one.label)}”" for one in step.shows if one.name not in shown]
    if step.inset is not None and not any(card.inset is not None for card in own):
        lacking.append("its drawing")
    if lacking:
        yield (
            f"step {step.id}: there is no time to show {', '.join(lacking)}; leave the step more "
            "time, or show less in it"
        )


def _corrections_left_out(
    step: TimedStep, slips: Sequence[Slip], cards: Iterable[Card]
) -> Iterator[str]:
    told = {row.label for card in cards for row in card.rows}
    for slip in slips:
        if slip.row.label not in told:
            yield (
                f"step {step.id}: there is no time to tell on screen “{plain(slip.row.label)}”; "
                "leave the step more time"
            )
