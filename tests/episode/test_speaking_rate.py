"""The turner's own rate of speech: typed, learned from what was timed, or the usual one."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.captions import speaking_ms
from studio.episode.pace import ENOUGH_WORDS, USUAL_RATE, Pace, learned_pace, speaking_rate
from studio.episode.times import Times, as_text
from studio.measure.trace import plain


def timed(folder: Path, *paces: Pace) -> None:
    for number, pace in enumerate(paces):
        times = Times(source="cut.mp4", length_ms=60_000, steps={}, pace=pace)
        (folder / f"week-{number}.times.yaml").write_text(as_text(times), encoding="utf-8")


def at(rate: int, words: int = 60) -> Pace:
    return Pace(words, words * 6_000 // rate * 10)


def test_nothing_is_known_at_first(globe: Path) -> None:
    assert speaking_rate(None, globe) == USUAL_RATE


def test_recordings_teach_by_how_much_was_heard(globe: Path) -> None:
    timed(globe.parent, at(172))
    assert speaking_rate(None, globe) == 172
    # 120 words in 48 s and 60 in 30 s are 180 in 78 s
    timed(globe.parent, at(150, 120), at(120, 60))
    assert speaking_rate(None, globe) == round(180 / 78 * 60)
    assert speaking_rate(133, globe) == 133


def test_short_recordings_teach_together(globe: Path) -> None:
    few = ENOUGH_WORDS // 3
    timed(globe.parent, at(165, few), at(165, few))
    assert speaking_rate(None, globe) == USUAL_RATE
    timed(globe.parent, at(165, few), at(165, few), at(165, few))
    assert speaking_rate(None, globe) == pytest.approx(165, abs=1)


def test_what_nobody_speaks_at_does_not_count(globe: Path) -> None:
    timed(globe.parent, Pace(0, 0), at(20), at(900))
    assert speaking_rate(None, globe) == USUAL_RATE
    timed(globe.parent, Pace(0, 0), at(20), at(900), at(155))
    (globe.parent / "odd.times.yaml").write_bytes(b"\xff\xfe surely_spoken: [90, 30.00]")
    assert learned_pace(globe) == at(155)


def test_speaking_times_follow(globe: Path) -> None:
    slow = open_episode(globe).steps
    timed(globe.parent, at(240))
    fast = open_episode(globe).steps
    for before, after in zip(slow, fast, strict=True):
        seconds = [int(plain(step.takes).split()[0]) for step in (before, after)]
        assert seconds[1] < seconds[0]


def test_a_figure_takes_as_long_as_its_words() -> None:
    said = "drill seventeen point five millimetres deep"
    assert speaking_ms("drill 17.5 mm deep", 140) == speaking_ms(said, 140)
