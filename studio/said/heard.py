"""Talk found and judged at once: of two ways to read it the one that the design bears out.

"Groove 4 1/16 deep" may be the fourth groove, a sixteenth deep, or a groove 4 1/16 deep. The
finder reads what is likelier by the words alone; where that fits nothing of the design and the
other reading fits it entirely, the other one was said.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace

from studio.said.agreeing import Verdict
from studio.said.finding import Reading, find_mentions
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.units import MM


def judged_talk(judge: Judge, text: str, step: str | None = None) -> tuple[Judged, ...]:
    """A verdict for each number of ``text``, in order.

    Args:
        judge: of the design.
        text: a sentence, or a piece of talk.
        step: the step in hand; None where nobody knows.
    """
    best = _Heard.of(judge, text, step)
    for seam, after in sorted(best.seams.items()):
        if not best.errs(seam, after):
            continue
        other = _Heard.of(judge, text, step, best.turned ^ {seam})
        if other.fits(seam, after) and other.errors < best.errors:
            best = other
    return tuple(best.without_loss(one) for one in best.judged)


@dataclass(frozen=True, slots=True)
class _Heard:
    """One reading of a text and its verdicts.

    Attributes:
        judged: a verdict for each mention.
        seams: where it could be read otherwise, as in ``Reading``.
        turned: where it is.
        run_together: as in ``Reading``.
        across: names of the measurements that say how wide something is.
    """

    judged: tuple[Judged, ...]
    seams: Mapping[int, int]
    turned: frozenset[int]
    run_together: Collection[int]
    across: Collection[str]

    @classmethod
    def of(
        cls, judge: Judge, text: str, step: str | None, turned: frozenset[int] = frozenset()
    ) -> _Heard:
        reading = Reading.of(text, turned)
        judged = judge.judge(text, reading.mentions, step) if reading.mentions else ()
        across = judge.material.across
        return cls(judged, reading.seams, turned, reading.run_together, across)

    @property
    def errors(self) -> int:
        """How many of its figures the design says otherwise, the seam's neighbours among them."""
        return sum(one.verdict is Verdict.WRONG for one in self.judged)

    def errs(self, first: int, after: int) -> bool:
        """Whether the design says otherwise than what is said from one token to another."""
        return any(one.verdict is Verdict.WRONG for one in self._within(first, after))

    def fits(self, first: int, after: int) -> bool:
        """Whether the design has all that is said there, each figure for itself.

        The number of a place bears nothing out: there is a first of everything. A size between a
        count and its things is how wide they are, whatever else of theirs has that figure.
        """
        said = [
            one for one in self._within(first, after)
            if one.mention.unit != "ordinal" or one.verdict not in _BORNE_OUT | {Verdict.NONE}
        ]  # fmt: skip
        apart = len({one.measurement for one in said}) == len(said)
        counts = any(one.mention.unit == "count" for one in said)
        if counts and any(one.mention.unit in MM and one.measurement not in self.across
                          for one in said):  # fmt: skip
            return False
        return bool(said) and apart and all(one.verdict in _BORNE_OUT for one in said)

    def without_loss(self, one: Judged) -> Judged:
        """A verdict without its line, where a figure that was said may be lost from that.

        "A 51 3/8 in deep" may be drill #51: in "a 5/8 in deep" it is left out.
        """
        if one.edit is None or one.mention.first not in self.run_together:
            return one
        said = find_mentions(one.edit.said)
        has_whole = bool(said) and said[-1].value >= 1
        if has_whole and one.mention.first not in self.seams:
            return one
        return replace(one, edit=None)

    def _within(self, first: int, after: int) -> Iterator[Judged]:
        return (
            one for one in self.judged if one.mention.first < after and first < one.mention.after
        )


_BORNE_OUT = frozenset({Verdict.RIGHT, Verdict.ROUNDED})
