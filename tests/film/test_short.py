"""A short of one step: its own overlays and captions, cut to where most goes on."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path

import av
import numpy as np
import pytest

from studio.episode.cards import NARROW_ROWS
from studio.episode.places import places_file
from studio.episode.records import CardKind, Episode, FrameSize
from studio.episode.short import short_of
from studio.errors import BadInput
from studio.film.last_burn import RECORD
from studio.film.probe import probe
from studio.film.short import make_short
from studio.film.short_files import file_name

SMALL = FrameSize(100, 180)


@pytest.fixture
def lively_right(run_ffmpeg: Callable[..., bytes], tmp_path: Path) -> Path:
    """Six seconds, 480 × 270 with sound: still but for a strip that flickers near the right."""
    path = tmp_path / "master.mp4"
    run_ffmpeg(
        "-f", "lavfi", "-i", "color=0x404850:size=480x270:rate=25:duration=6",
        "-f", "lavfi", "-i", "testsrc2=size=60x270:rate=25:duration=6,noise=alls=60:allf=t",
        "-f", "lavfi", "-i", "sine=duration=6",
        "-filter_complex", "[0][1]overlay=x=360:y=0[v]", "-map", "[v]", "-map", "2",
        "-g", "25", "-pix_fmt", "yuv420p", "-colorspace", "bt709", str(path),
    )  # fmt: skip
    return path


def test_the_steps_own_overlays_come_from_its_start(sample_episode: Episode) -> None:
    first, second = sample_episode.steps
    steps = (
        dataclasses.replace(first, end_ms=12_000),
        dataclasses.replace(second, start_ms=12_000, end_ms=24_000),
    )
    made = dataclasses.replace(sample_episode, steps=steps, length_ms=24_000)
    short = short_of(made, "cut-corners", SMALL)
    assert short.length_ms == 12_000
    assert short.size == SMALL
    # the caution was shown in the film's first step already, and comes again here
    assert [card.kind for card in short.cards] == [CardKind.CAUTION]
    assert short.cards[0].start_ms == 0
    assert (short.cards[0].end_ms or 0) >= 4_000
    assert short.chapters == ()


def test_a_thumbnails_moment_beyond_the_step_is_no_hindrance(
    sample_episode: Episode, lively_right: Path, tmp_path: Path
) -> None:
    (step, *others) = sample_episode.steps
    alone = dataclasses.replace(step, start_ms=0, end_ms=5_000)
    made = dataclasses.replace(
        sample_episode, steps=(alone, *others), cues=(), cards=(), thumbnail_at_ms=5_500,
        length_ms=6_000,
    )  # fmt: skip
    out = tmp_path / "short.mp4"
    make_short(made, step.id, lively_right, out, tell=lambda _: None)
    assert probe(out).duration_ms == pytest.approx(5_000, abs=100)


def test_captions_move_with_the_step(sample_episode: Episode) -> None:
    longer = tuple(
        dataclasses.replace(step, start_ms=place * 6_000, end_ms=(place + 1) * 6_000)
        for place, step in enumerate(sample_episode.steps)
    )
    cues = tuple(
        dataclasses.replace(cue, start_ms=cue.start_ms + 6_000, end_ms=cue.end_ms + 6_000)
        for cue in sample_episode.cues
    )
    made = dataclasses.replace(sample_episode, steps=longer, cues=cues, length_ms=12_000)
    assert short_of(made, "mark-octagon", SMALL).cues == ()
    short = short_of(made, "cut-corners", SMALL)
    assert [cue.text for cue in short.cues] == [cue.text for cue in sample_episode.cues]
    assert [cue.start_ms for cue in short.cues] == [cue.start_ms for cue in sample_episode.cues]


def test_measurements_follow_one_another(sample_episode: Episode) -> None:
    first = sample_episode.steps[0]
    # without places to tell, two figures have room on a card of an upright picture
    shows = tuple(dataclasses.replace(one, where="") for one in first.shows) * 2
    step = dataclasses.replace(first, shows=shows, end_ms=30_000)
    made = dataclasses.replace(sample_episode, steps=(step,), length_ms=30_000)
    short = short_of(made, "mark-octagon", SMALL)
    cards = [card for card in short.cards if card.kind is CardKind.MEASUREMENT]
    assert [len(card.rows) for card in cards] == [NARROW_ROWS, NARROW_ROWS]
    assert cards[0].end_ms == cards[1].start_ms
    shown = [row.name for card in cards for row in card.rows]
    assert shown == [one.name for one in step.shows]


@pytest.mark.parametrize(
    ("step", "told"), [("paint", "write one of: mark-octagon"), ("cut-corners", "cautions need")]
)
def test_steps_that_do_not_serve(sample_episode: Episode, step: str, told: str) -> None:
    with pytest.raises(BadInput, match=told):
        short_of(sample_episode, step, SMALL)


def test_a_film_without_times(sample_episode: Episode) -> None:
    untimed = tuple(
        dataclasses.replace(step, start_ms=None, end_ms=None) for step in sample_episode.steps
    )
    with pytest.raises(BadInput, match="nobody knows when"):
        short_of(dataclasses.replace(sample_episode, steps=untimed), "cut-corners", SMALL)


def episode_of_one(sample_episode: Episode) -> Episode:
    step = dataclasses.replace(sample_episode.steps[1], start_ms=1_000, end_ms=6_000)
    first = dataclasses.replace(sample_episode.steps[0], end_ms=1_000)
    return dataclasses.replace(sample_episode, steps=(first, step), length_ms=6_000)


def test_the_short_is_cut_where_most_goes_on(
    sample_episode: Episode, lively_right: Path, tmp_path: Path
) -> None:
    told: list[str] = []
    out = tmp_path / "out" / file_name("cut-corners")
    made = make_short(
        episode_of_one(sample_episode), "cut-corners", lively_right, out, tell=told.append
    )
    # the strip's middle is at 390 of 480; the cut is 150 wide and must hold all of it
    assert 345 / 480 <= made.middle <= 435 / 480
    found = probe(out)
    assert (found.width, found.height) == (150, 270)
    assert found.has_sound
    assert found.frames == 125
    # nothing half-made is left, only what tells that the film is ours
    kept = {out.name, RECORD, places_file(out).name}
    assert {path.name for path in out.parent.iterdir()} == kept
    with av.open(str(out)) as film:
        last = [one.to_ndarray(format="gray") for one in film.decode(film.streams.video[0])][-3:]
    change = np.abs(last[-1].astype(int) - last[0].astype(int)).mean(axis=0) > 8
    assert change.sum() >= 55
    assert any("Most goes on" in line for line in told)


def test_the_cut_may_be_chosen(sample_episode: Episode, lively_right: Path, tmp_path: Path) -> None:
    out = tmp_path / "short.mp4"
    made = make_short(
        episode_of_one(sample_episode), "cut-corners", lively_right, out, middle=0.0,
        tell=lambda _: None,
    )  # fmt: skip
    assert made.middle == 0.0
    with av.open(str(out)) as film:
        pictures = [one.to_ndarray(format="gray") for one in film.decode(film.streams.video[0])]
    still = np.abs(pictures[-1].astype(int) - pictures[-3].astype(int))
    assert still.mean() < 2


def test_a_master_that_ends_before_the_step(
    sample_episode: Episode, lively_right: Path, tmp_path: Path
) -> None:
    step = dataclasses.replace(sample_episode.steps[1], start_ms=1_000, end_ms=9_000)
    made = dataclasses.replace(sample_episode, steps=(step,), length_ms=9_000)
    with pytest.raises(BadInput, match="ends after the master"):
        make_short(made, "cut-corners", lively_right, tmp_path / "s.mp4", tell=lambda _: None)
    assert not (tmp_path / "s.mp4").exists()


def of_five_seconds(episode: Episode) -> Episode:
    """Its first step from second 1 to second 6: a caution needs four."""
    first, second = episode.steps
    steps = (
        dataclasses.replace(first, start_ms=1000, end_ms=6000),
        dataclasses.replace(second, start_ms=6000, end_ms=6500),
    )
    return dataclasses.replace(episode, steps=steps, cards=(), length_ms=None)


def test_a_master_that_cannot_be_used_is_named_and_not_the_part_cut_from_it(
    sample_episode: Episode, make_film: Callable[..., Path], tmp_path: Path
) -> None:
    master = make_film("-pix_fmt", "yuv420p", "-vf", "setsar=4/3", seconds=7, size="480x270")
    with pytest.raises(BadInput, match="not square") as caught:
        make_short(
            of_five_seconds(sample_episode), "mark-octagon", master, tmp_path / "s.mp4",
            tell=lambda _: None,
        )  # fmt: skip
    assert str(master) in str(caught.value)
    assert not list(tmp_path.glob(".short-*"))


def test_a_step_of_a_transport_stream_with_one_key_frame(
    sample_episode: Episode, make_film: Callable[..., Path], tmp_path: Path
) -> None:
    master = make_film(
        "-pix_fmt", "yuv420p", "-g", "1000", name="m.ts", seconds=7, size="640x360"
    )  # fmt: skip
    made = make_short(
        of_five_seconds(sample_episode), "mark-octagon", master, tmp_path / "s.mp4",
        tell=lambda _: None,
    )  # fmt: skip
    assert made.report.frames == pytest.approx(125, abs=1)
