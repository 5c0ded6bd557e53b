"""The turner's own rate of speech: typed, learned from what was timed, or the usual one."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.times import USUAL_RATE, Times, as_text, speaking_rate
from studio.measure.trace import plain


def timed(folder: Path, *rates: int) -> None:
    for number, rate in enumerate(rates):
        times = Times(source="cut.mp4", length_ms=60_000, words_per_minute=rate, steps={})
        (folder / f"week-{number}.times.yaml").write_text(as_text(times), encoding="utf-8")


def test_nothing_is_known_at_first(globe: Path) -> None:
    assert speaking_rate(None, globe) == USUAL_RATE


@pytest.mark.parametrize(
    ("rates", "learned"), [((172,), 172), ((150, 166, 121), 150), ((150, 160), 155)]
)
def test_the_middle_of_what_was_timed(globe: Path, rates: tuple[int, ...], learned: int) -> None:
    timed(globe.parent, *rates)
    assert speaking_rate(None, globe) == learned
    assert speaking_rate(133, globe) == 133


def test_what_nobody_speaks_at_does_not_count(globe: Path) -> None:
    timed(globe.parent, 0, 20, 900)
    assert speaking_rate(None, globe) == USUAL_RATE
    (globe.parent / "odd.times.yaml").write_bytes(b"\xff\xfe words_per_minute: 150")
    assert speaking_rate(None, globe) == USUAL_RATE


def test_speaking_times_follow(globe: Path) -> None:
    slow = open_episode(globe).steps
    timed(globe.parent, 2 * USUAL_RATE - 20)
    fast = open_episode(globe).steps
    for before, after in zip(slow, fast, strict=True):
        seconds = [int(plain(step.takes).split()[0]) for step in (before, after)]
        assert seconds[1] < seconds[0]
