"""What is told of how fast a recording was spoken, and whether it teaches the turner's rate."""

from __future__ import annotations

import pytest

from studio.commands.time import _rates
from studio.design.schema import FASTEST_RATE, SLOWEST_RATE
from studio.episode.pace import NO_PACE, Pace
from studio.episode.times import Times


def told(pace: Pace, learned: Pace) -> str:
    return "\n".join(_rates(Times(source="a.wav", length_ms=60_000, steps={}, pace=pace), learned))


@pytest.mark.parametrize("rate", [SLOWEST_RATE - 10, FASTEST_RATE + 24])
def test_a_rate_at_which_nobody_speaks_is_told_to_be_left_aside(rate: int) -> None:
    text = told(Pace(120, 120 * 60_000 // rate), NO_PACE)
    assert f"spoken at {rate} words a minute, and this recording is left aside" in text
    assert f"from {SLOWEST_RATE} to {FASTEST_RATE}" in text


def test_an_ordinary_rate_is_not() -> None:
    pace = Pace(120, 48_000)
    assert "left aside" not in told(pace, pace)
    assert "left aside" not in told(NO_PACE, NO_PACE)
