"""Cards that do not fit: what is told, where in the design, and what to write instead."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace

from studio.design.reading import Problem, load
from studio.episode.records import Card, CardKind, Episode, FrameSize, Strips
from studio.errors import BadInput, Fault
from studio.film.corners import wanted_corner, with_corners
from studio.film.layout import NOTHING_CLEAR, fitting, room_for
from studio.film.look import Look
from studio.measure.trace import plain


class DoesNotFit(BadInput):
    """A card whose texts do not fit, even at the least type that can be read.

    Attributes:
        card: the card.
        keys: under which key of the design it can be mended: of the step, or ``film.keep_clear``.
    """

    def __init__(self, card: Card, what: str, write: str, keys: tuple[str, ...]):
        super().__init__([Fault(what=what, write=write)])
        self.card, self.keys = card, keys


@dataclass(frozen=True, slots=True)
class Ground:
    """What cards are laid on: pictures of a size, with what is kept clear in them."""

    size: FrameSize
    look: Look
    clear: Strips

    def holds(self, card: Card) -> bool:
        """Whether a card fits at a size that can be read."""
        corner = card.corner or wanted_corner(card, self.look, self.size)
        room = room_for(card.kind, self.size, self.look, corner, self.clear)
        return fitting(card, self.size, self.look, room) is not None

    def narrowed(self, edge: str, percent: int) -> Ground:
        """The same with another strip at an edge."""
        return replace(self, clear=replace(self.clear, **{edge: percent / 100}))

    @property
    def unhindered(self) -> Ground:
        """The same with nothing kept clear."""
        return replace(self, clear=NOTHING_CLEAR)


class NoRoomBeside(DoesNotFit):
    """A card that would fit were nothing kept clear.

    Attributes:
        ground: where it does not fit.
        less: what else than narrower strips would do.
    """

    def __init__(self, card: Card, what: str, less: str, ground: Ground):
        listed = ", ".join(f"{edge} {share} %" for edge, share in _percents(ground.clear).items())
        super().__init__(
            card,
            f"{what} beside what is kept clear ({listed})",
            _narrower([card], ground, less),
            ("film", "keep_clear"),
        )
        self.ground, self.less = ground, less

    def beside(self, cards: Sequence[Card]) -> Fault:
        """The same fault, with strips beside which all of a film's cards fit.

        Args:
            cards: with their corners; those that fit nowhere do not count.
        """
        fit = [one for one in cards if self.ground.unhindered.holds(one)]
        return replace(self.faults[0], write=_narrower(fit, self.ground, self.less))


def _percents(clear: Strips) -> dict[str, int]:
    """How wide strips are by their edges, in percent, the widest first; none of no width."""
    wide = {edge: round(share * 100) for edge, share in asdict(clear).items() if share}
    return dict(sorted(wide.items(), key=lambda one: -one[1]))


def _narrower(cards: Sequence[Card], ground: Ground, less: str) -> str:
    """What to write under ``keep_clear:`` so that cards fit that do so with nothing kept clear."""

    def fit(there: Ground) -> bool:
        return all(map(there.holds, cards))

    asked = _percents(ground.clear)
    there = ground
    for edge in asked:
        if not fit(there):
            there = there.narrowed(edge, 0)
    # each as wide again as the others allow
    for edge, percent in asked.items():
        widest = bisect_left(
            range(1, percent + 1), True, key=lambda share: not fit(there.narrowed(edge, share))
        )
        there = there.narrowed(edge, widest)
    does = {edge: round(getattr(there.clear, edge) * 100) for edge in asked}
    changed = [f"{edge}: {does[edge]} %" for edge in asked if does[edge] != asked[edge]]
    return f"write {', '.join(changed)} or less under keep_clear:, or {less}"


def told_in_design(error: DoesNotFit, episode: Episode) -> BadInput:
    """The same with the design's file, line and column, where they can be found.

    Args:
        error: of a card of ``episode``.
        episode: opened from a design file.
    """
    fault = error.faults[0]
    if isinstance(error, NoRoomBeside):
        ground = error.ground
        fault = error.beside(with_corners(episode.cards, ground.look, ground.size))
    number = next((one.number for one in episode.steps if one.id == error.card.step_id), None)
    if error.keys[0] == "film" or number is None:
        keys: tuple[str | int, ...] = error.keys
    else:
        keys = ("steps", number - 1, *error.keys)
    try:
        placed = load(episode.design_file).place(Problem(keys, fault.what, fault.write))
    except (BadInput, OSError):
        # the design went away meanwhile
        placed = replace(fault, file=episode.design_file)
    return BadInput([placed])


@contextmanager
def faults_in_design(episode: Episode) -> Iterator[None]:
    """Whatever does not fit in here is told with its place in the episode's design."""
    try:
        yield
    except DoesNotFit as error:
        raise told_in_design(error, episode) from error


def why_not(card: Card, size: FrameSize, look: Look, corner: str, clear: Strips) -> DoesNotFit:
    """What is to be told of a card that does not fit."""
    what = (
        f"the {card.kind} card of step `{card.step_id}` does not fit into a picture of "
        f"{size.width} × {size.height} pixels"
    )
    if card.kind is CardKind.MEASUREMENT:
        less = "show fewer measurements in this step, or shorten its title"
        less += ", or leave its inset out" if card.inset is not None else ""
        keys: tuple[str, ...] = ("show",) if card.rows else ("inset",)
    elif card.kind is CardKind.CAUTION:
        named = ", ".join(f"“{plain(row.label)}” ({row.name})" for row in card.rows)
        what = (
            f"the card of step `{card.step_id}` with the caution {named} does not fit into a "
            f"picture of {size.width} × {size.height} pixels"
        )
        less = "write a larger size: under film: and export in it"
        if len(card.rows) > 1:
            less += ", or part the step, so that each part does: less"
        keys = ("does",)
    else:
        less, keys = "shorten the step's title", ("title",)

    ground = Ground(size, look, clear)
    if clear != NOTHING_CLEAR and ground.unhindered.holds(replace(card, corner=corner)):
        return NoRoomBeside(replace(card, corner=corner), what, less, ground)
    return DoesNotFit(
        card, f"{what}, even at the least type that can be read on a phone", less, keys
    )
