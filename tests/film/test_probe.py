"""Probing: what a file holds, and clear words when it cannot be used."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import pytest

from studio.errors import BadInput
from studio.film.probe import probe


def told(path: Path) -> str:
    with pytest.raises(BadInput) as caught:
        probe(path)
    return str(caught.value)


@pytest.mark.parametrize("rate", ["25", "30000/1001", "24000/1001", "60"])
@pytest.mark.parametrize("name", ["film.mp4", "film.mkv"])
def test_counts_and_rates(make_film: Callable[..., Path], rate: str, name: str) -> None:
    path = make_film("-pix_fmt", "yuv420p", rate=rate, seconds=2, name=name)
    found = probe(path)
    expected = round(2 * Fraction(rate))
    assert found.fps == Fraction(rate)
    assert abs(found.frames - expected) <= 1
    assert abs(found.duration_ms - found.frames / found.fps * 1000) <= 2
    assert not found.variable_rate
    assert found.has_sound
    assert (found.codec, found.pixel_format, found.bits) == ("h264", "yuv420p", 8)
    assert (found.matrix, found.primaries, found.rotation) == ("", "", 0)


def test_tags(make_film: Callable[..., Path]) -> None:
    path = make_film(
        "-vf",
        "setparams=colorspace=bt709:color_primaries=bt709:color_trc=bt709:range=pc,format=yuv420p",
    )
    found = probe(path)
    assert (found.matrix, found.primaries, found.transfer, found.colour_range) == (
        "bt709",
        "bt709",
        "bt709",
        "pc",
    )


@pytest.mark.parametrize(("turn", "rotation"), [(90, 270), (-90, 90), (180, 180)])
def test_rotation_swaps_width_and_height(
    make_film: Callable[..., Path],
    run_ffmpeg: Callable[..., bytes],
    tmp_path: Path,
    turn: int,
    rotation: int,
) -> None:
    """ffmpeg's -display_rotation counts anticlockwise."""
    turned = tmp_path / "turned.mp4"
    run_ffmpeg("-display_rotation", str(turn), "-i", str(make_film()), "-c", "copy", str(turned))
    found = probe(turned)
    assert found.rotation == rotation
    assert (found.width, found.height) == ((96, 64) if turn == 180 else (64, 96))


def test_uneven_times(make_film: Callable[..., Path]) -> None:
    path = make_film("-vf", "setpts=N/25/TB+mod(N\\,7)*0.02/TB", "-fps_mode", "vfr", seconds=3)
    assert probe(path).variable_rate


def test_no_film(tmp_path: Path, run_ffmpeg: Callable[..., bytes]) -> None:
    assert "no such file" in told(tmp_path / "none.mp4")
    assert "not a file" in told(tmp_path)
    text = tmp_path / "text.mp4"
    text.write_text("not a film at all\n" * 100)
    assert "cannot be read as a film" in told(text)
    empty = tmp_path / "empty.mp4"
    empty.touch()
    assert "cannot be read as a film" in told(empty)
    sound = tmp_path / "sound.m4a"
    run_ffmpeg("-f", "lavfi", "-i", "sine=duration=1", str(sound))
    assert "no pictures" in told(sound)


@pytest.mark.parametrize("share", [0.5, 0.9, 0.99])
@pytest.mark.parametrize("flags", ["+faststart", "0"])
def test_cut_off(make_film: Callable[..., Path], tmp_path: Path, share: float, flags: str) -> None:
    whole = make_film("-pix_fmt", "yuv420p", "-movflags", flags, seconds=4, sound=False)
    content = whole.read_bytes()
    short = tmp_path / "short.mp4"
    short.write_bytes(content[: int(len(content) * share)])
    assert "cut off" in told(short)


@pytest.mark.parametrize("codec", ["mpeg4", "mjpeg", "ffv1"])
def test_an_avi_file_counts_pictures_that_nobody_gets(
    make_film: Callable[..., Path], tmp_path: Path, codec: str
) -> None:
    """ffmpeg writes an empty second picture into some, and its header counts that one too."""
    film = make_film("-c:v", codec, "-pix_fmt", "yuvj420p" if codec == "mjpeg" else "yuv420p",
                     "-c:a", "mp3", name="m.avi", seconds=2)  # fmt: skip
    with av.open(str(film)) as container:
        stream = container.streams.video[0]
        assert stream.frames == sum(packet.size > 0 for packet in container.demux(stream)) + 1
    footage = probe(film)
    assert (footage.frames, footage.fps) == (50, 25)
    whole = film.read_bytes()
    short = tmp_path / "short.avi"
    short.write_bytes(whole[: len(whole) * 3 // 4])
    assert "cut off" in told(short)


@pytest.mark.parametrize(
    ("pixels", "fine"),
    [("yuv420p", False), ("yuv422p", True), ("yuv444p", True), ("gbrp", True), ("gray", False)],
)
def test_colour_finer_than_the_films_is_seen(
    make_film: Callable[..., Path], pixels: str, fine: bool
) -> None:
    assert probe(make_film("-c:v", "ffv1", "-pix_fmt", pixels, name="m.mkv")).fine_colour is fine


def test_pictures_go_by_their_format_not_by_the_decoder(
    small_master: Path, tmp_path: Path, run_ffmpeg: Callable[..., bytes]
) -> None:
    film = tmp_path / "av1.mp4"
    run_ffmpeg("-i", str(small_master), "-t", "0.4", "-c:v", "libsvtav1", "-an", str(film))
    assert probe(film).codec == "av1"
