"""The thumbnail: title, piece and one figure, legible and of its design."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from studio.episode.assemble import open_episode
from studio.errors import BadInput
from studio.files import write_outputs
from studio.film.burn import require_ready
from studio.film.look import contrast_ratio
from studio.film.thumbnail import FRAME, KEY, SIZE, frame_file, thumbnail, told, wanted_frame

Edit = Callable[[Path, str, str], Path]


def ground(tone: tuple[int, int, int] = (205, 202, 198)) -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (1280, 720), tone).save(file, "PNG")
    return file.getvalue()


def drawn(path: Path, tone: tuple[int, int, int] = (205, 202, 198)) -> Image.Image:
    return Image.open(io.BytesIO(thumbnail(open_episode(path), ground(tone))))


def test_it_has_the_hosts_size_and_says_what_it_says(globe: Path) -> None:
    picture = drawn(globe)
    assert picture.size == (SIZE.width, SIZE.height)
    episode = open_episode(globe)
    assert picture.text[KEY] == told(episode)
    assert episode.thumbnail is not None
    assert episode.thumbnail.name == "sphere.diameter"
    assert '"60 mm"' in picture.text[KEY]


@pytest.mark.parametrize("tone", [(205, 202, 198), (30, 28, 26), (110, 110, 110)])
def test_words_stand_on_their_own_half_and_can_be_read(
    globe: Path, tone: tuple[int, int, int]
) -> None:
    """WCAG 2, level AA: 4.5 to 1 between every ink and the ground."""
    picture = drawn(globe, tone).convert("RGB")
    counted = {colour: count for count, colour in picture.getcolors(maxcolors=1 << 20)}
    inks = [c for c, n in counted.items() if n > 1500 and c != tone]
    assert len(inks) >= 1
    for ink in inks:
        assert contrast_ratio(ink, tone) >= 4.5
    right = picture.crop((640, 0, 1280, 720)).getcolors(maxcolors=1 << 16)
    assert right == [(640 * 720, tone)]


def test_the_design_chooses_the_figure(globe: Path, edit: Edit) -> None:
    edit(globe, "  size: 960x540\n", "  size: 960x540\n  thumbnail: index.marks\n")
    assert '"12"' in told(open_episode(globe))


def test_an_unknown_figure_is_told(
    globe: Path, edit: Edit, faults_of: Callable[[Path], list[str]]
) -> None:
    edit(globe, "  size: 960x540\n", "  size: 960x540\n  thumbnail: sphere.diametre\n")
    (fault,) = faults_of(globe)
    assert "film.thumbnail" in fault
    assert "did you mean sphere.diameter" in fault


def test_a_title_too_long_is_told(globe: Path, edit: Edit) -> None:
    edit(globe, "title: A plain globe in sycamore", "title: " + "W" * 98)
    with pytest.raises(BadInput, match="too long for a thumbnail"):
        drawn(globe)


@pytest.mark.parametrize(
    "title",
    [
        "A hollow sycamore globe with twelve flowing lobes, walnut finial and a cap, hung",
        "A hollow sycamore globe with twelve flowing lobes, a walnut finial below, a cap above "
        "and one wire",
    ],
)
@pytest.mark.parametrize("figure", ["sphere.diameter", "sphere.second_mark"])
def test_a_title_as_long_as_hosts_allow_has_room(
    globe: Path, edit: Edit, title: str, figure: str
) -> None:
    assert len(title) <= 100
    edit(globe, "title: A plain globe in sycamore", f"title: {title}")
    edit(globe, "  size: 960x540\n", f"  size: 960x540\n  thumbnail: {figure}\n")
    assert title in told(open_episode(globe))
    assert drawn(globe)


def test_the_same_bytes_each_time(globe: Path) -> None:
    episode = open_episode(globe)
    assert thumbnail(episode, ground()) == thumbnail(episode, ground())


@pytest.fixture
def half_and_half(run_ffmpeg: Callable[..., bytes], tmp_path: Path) -> Path:
    """Two seconds of green, then two of white."""
    path = tmp_path / "master.mp4"
    run_ffmpeg(
        "-f", "lavfi", "-i", "color=0x208020:size=320x180:rate=25:duration=2",
        "-f", "lavfi", "-i", "color=white:size=320x180:rate=25:duration=2",
        "-filter_complex", "[0][1]concat=n=2", "-pix_fmt", "yuv420p", str(path),
    )  # fmt: skip
    return path


@pytest.mark.parametrize(("moment", "green"), [("0:01", True), ("0:03.2", False)])
def test_a_chosen_frame_is_the_ground(
    globe: Path, edit: Edit, half_and_half: Path, tmp_path: Path, moment: str, green: bool
) -> None:
    path = edit(globe, "  size: 960x540", f"  size: 960x540\n  thumbnail_at: {moment}")
    episode = open_episode(path)
    frame = frame_file(episode, half_and_half)
    made = Image.open(io.BytesIO(thumbnail(episode, b"", frame)))
    assert made.size == (SIZE.width, SIZE.height)
    red, level, blue = made.getpixel((1200, 360))
    assert (level > 1.5 * max(red, blue)) is green
    # the words stand on a plate that hides the brightest picture
    assert contrast_ratio(made.getpixel((20, 360)), (255, 255, 255)) > 4.5
    assert made.text[KEY] == told(episode, framed=True) != told(episode)
    out = tmp_path / "out"
    write_outputs(out, {FRAME: frame})
    assert wanted_frame(episode, out) == frame
    later = open_episode(edit(path, moment, "0:02.5"))
    assert wanted_frame(later, out) is None


def test_a_moment_past_the_film(globe: Path, edit: Edit, half_and_half: Path) -> None:
    late = open_episode(edit(globe, "  size: 960x540", "  size: 960x540\n  thumbnail_at: 0:59"))
    with pytest.raises(BadInput, match="the moment for the thumbnail"):
        frame_file(late, half_and_half)
    # before the burn begins, and not when it is done
    film = half_and_half.parent / "out" / "film.mp4"
    short = replace(late, cards=(), steps=(), cues=(), chapters=(), length_ms=None)
    with pytest.raises(BadInput, match="the moment for the thumbnail"):
        require_ready(short, half_and_half, film, allow_silent=True)
    assert not film.parent.exists()
    with pytest.raises(BadInput, match="past the film's end"):
        open_episode(edit(globe, "thumbnail_at: 0:59", "thumbnail_at: 9:59"))
