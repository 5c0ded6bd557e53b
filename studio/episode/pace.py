"""The turner's own rate of speech: typed, else learned from what was timed, else the usual one."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from studio.design.schema import FASTEST_RATE, SLOWEST_RATE
from studio.episode.beside import TIMES

USUAL_RATE = 140
"""Words a minute of a turner whose rate is not known (common practice, no source)."""

ENOUGH_WORDS = 30
"""A rate is told from so many surely heard words on, a quarter of a minute (ours)."""

_LINE = re.compile(r"^surely_spoken: \[([0-9]{1,6}), ([0-9]{1,6}\.[0-9]{2})\]\s*$", re.MULTILINE)
_HEAD = 2_000
_NEWEST = 50


@dataclass(frozen=True, slots=True)
class Pace:
    """Words that were surely heard, and how many milliseconds they took to say."""

    words: int = 0
    ms: int = 0

    @property
    def words_per_minute(self) -> int:
        """The rate; 0 where too few words tell it.

        >>> Pace(45, 18_000).words_per_minute, Pace(9, 3_600).words_per_minute
        (150, 0)
        """
        return round(self.words * 60_000 / self.ms) if self._is_enough else 0

    @property
    def _is_enough(self) -> bool:
        return self.words >= ENOUGH_WORDS and self.ms > 0

    @property
    def is_speech(self) -> bool:
        """Whether anybody speaks at it; another one comes from a recording not understood."""
        least, most = self.ms * SLOWEST_RATE, self.ms * FASTEST_RATE
        return self.ms > 0 and least <= self.words * 60_000 <= most

    def __add__(self, other: Pace) -> Pace:
        return Pace(self.words + other.words, self.ms + other.ms)


NO_PACE = Pace()
"""Nothing was heard that tells a rate."""


def pace_line(pace: Pace) -> str:
    """A pace as it stands in a times file: words, and seconds."""
    return f"surely_spoken: [{pace.words}, {pace.ms / 1000:.2f}]"


def learned_pace(design: Path) -> Pace:
    """All that was surely heard in the last fifty recordings timed in a design's folder."""
    whole = NO_PACE
    try:
        files = sorted(
            design.parent.glob(f"*{TIMES}"), key=lambda path: path.stat().st_mtime, reverse=True
        )
    except OSError:
        return whole
    for path in files[:_NEWEST]:
        try:
            with path.open(encoding="utf-8-sig") as file:
                line = _LINE.search(file.read(_HEAD))
        except (OSError, ValueError):
            # what cannot be read teaches nothing; reading the design's own times tells of it
            continue
        pace = Pace(int(line[1]), round(float(line[2]) * 1000)) if line is not None else NO_PACE
        if pace.is_speech:
            whole += pace
    return whole


def speaking_rate(typed: int | None, design: Path) -> int:
    """The turner's words a minute: typed, or learned from what was timed beside the design.

    Args:
        typed: in the workshop file.
        design: the design, :func:`learned_pace`.
    """
    return typed or learned_pace(design).words_per_minute or USUAL_RATE
