"""What became of a number said."""

from __future__ import annotations

from dataclasses import dataclass

from studio.said.agreeing import Verdict
from studio.said.bounds import ToldBound
from studio.said.finding import Mention


@dataclass(frozen=True, slots=True)
class Edit:
    """What is said instead of ``text[start:stop]``.

    Attributes:
        text: the sentence.
        start: where what it replaces begins, an article before the figure among it.
        stop: where it ends.
        said: what takes its place.
    """

    text: str
    start: int
    stop: int
    said: str

    @property
    def line(self) -> str:
        """The sentence with this in its place."""
        return self.text[: self.start] + self.said + self.text[self.stop :]


def put_behind(out: str, said: str) -> str:
    """What is said instead, behind a text that ends where it begins.

    Of two edits side by side each has the comma between their figures.

    >>> put_behind("Drill #51,", ", 5/8 in")
    'Drill #51, 5/8 in'
    """
    return out + (said.removeprefix(",") if out.endswith(",") else said)


@dataclass(frozen=True, slots=True)
class Judged:
    """A mention and what it was found to be.

    Attributes:
        mention: what was said.
        verdict: right, rounded, wrong, ambiguous or none.
        measurement: the name of what it means; empty when it is ambiguous or means none.
        candidates: names of what it could mean, best first; of an ambiguous one at least two, and
            of a wrong one where it is not sure what it means.
        sure: whether a wrong one can mean nothing else.
        turned: the limit that is told beside it, where the design has the opposite one.
        confidence: 0 to 1, in the verdict.
        expected: what the design says, as printed in the system that was said; empty for none.
        edit: what puts the right figure into the sentence, said as the wrong one was; None unless
            it is wrong and sure which measurement is meant.
        due: the figure to say where it is but one of those that the design prints there, such as
            one paper of several; else empty.
    """

    mention: Mention
    verdict: Verdict
    measurement: str = ""
    candidates: tuple[str, ...] = ()
    confidence: float = 1.0
    expected: str = ""
    edit: Edit | None = None
    due: str = ""
    sure: bool = True
    turned: ToldBound | None = None

    @property
    def may_mean(self) -> tuple[str, ...]:
        """Names of what it could mean, the one that it is taken for where that is all."""
        return self.candidates or (self.measurement,)

    @property
    def mend(self) -> str:
        """The sentence with the right figure in it; empty where there is no edit."""
        return self.edit.line if self.edit is not None else ""
