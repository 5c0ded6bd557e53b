"""Cards laid on stored pictures, against exact arithmetic and FFmpeg's own colour conversion."""

from __future__ import annotations

import av
import numpy as np
import pytest
from PIL import Image

from studio.film.blending import StoredCard, fading
from studio.film.whole import grey_picture

WIDTH, HEIGHT = 64, 48

COLOURS = [(255, 0, 0), (0, 255, 0), (0, 0, 255), (255, 200, 40), (20, 20, 20), (250, 250, 250)]


def noise(seed: int = 3) -> av.VideoFrame:
    """A picture of stored values in the limited range."""
    values = np.random.default_rng(seed).integers(16, 236, (HEIGHT * 3 // 2, WIDTH), np.uint8)
    return av.VideoFrame.from_ndarray(values, format="yuv420p")


def planes(frame: av.VideoFrame) -> list[np.ndarray]:
    """Luma and both colour differences."""
    stack = frame.to_ndarray().astype(int)
    chroma = stack[HEIGHT:].reshape(2, HEIGHT // 2, WIDTH // 2)
    return [stack[:HEIGHT], chroma[0], chroma[1]]


def laid(card: Image.Image, matrix: str, strength: int = 256) -> tuple[list[np.ndarray], ...]:
    frame = noise()
    before = planes(frame)
    frame.make_writable()
    StoredCard(card, matrix).lay_on(frame, strength)
    return before, planes(frame)


@pytest.mark.parametrize(
    ("matrix", "name"), [("bt709", "ITU709"), ("smpte170m", "ITU601"), ("bt470bg", "ITU601")]
)
@pytest.mark.parametrize("colour", COLOURS)
def test_a_solid_card_has_the_colour_that_ffmpeg_stores(
    matrix: str, name: str, colour: tuple[int, int, int]
) -> None:
    """Reference: FFmpeg's swscale, R'G'B' to Y'CbCr 4:4:4 with the matrix named."""
    from av.video.reformatter import Interpolation

    solid = np.full((HEIGHT, WIDTH, 3), colour, np.uint8)
    stored = av.VideoFrame.from_ndarray(solid, format="rgb24").reformat(
        format="yuv444p", dst_colorspace=name, src_color_range="JPEG", dst_color_range="MPEG",
        interpolation=Interpolation.BICUBIC | Interpolation.ACCURATE_RND,
    )  # fmt: skip
    wanted = [int(plane.mean()) for plane in stored.to_ndarray()]
    card = Image.new("RGBA", (WIDTH, HEIGHT))
    card.paste((*colour, 255), (8, 8, 40, 32))
    before, after = laid(card, matrix)
    for plane, (old, new, value) in enumerate(zip(before, after, wanted, strict=True)):
        scale = 1 if plane == 0 else 2
        inside = np.s_[8 // scale + 1 : 32 // scale - 1, 8 // scale + 1 : 40 // scale - 1]
        assert np.abs(new[inside] - value).max() <= 1
        beyond = np.ones(old.shape, bool)
        beyond[8 // scale - 1 : 32 // scale + 1, 8 // scale - 1 : 40 // scale + 1] = False
        assert (old == new)[beyond].all()


@pytest.mark.parametrize("strength", [256, 100, 1, 0])
def test_see_through_cards_are_blended_to_the_nearest_step(strength: int) -> None:
    """Against floating point, by the formulas of Recommendation ITU-R BT.709."""
    pixels = np.random.default_rng(1).integers(0, 256, (HEIGHT, WIDTH, 4), np.uint8)
    pixels[:5], pixels[-7:], pixels[:, :3], pixels[:, -9:] = 0, 0, 0, 0
    before, after = laid(Image.fromarray(pixels), "bt709", strength)
    alpha = pixels[:, :, 3] / 255 * strength / 256
    red, green, blue = (pixels[:, :, part] / 255 for part in range(3))
    luma = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    exact = before[0] * (1 - alpha) + (16 + 219 * luma) * alpha
    assert np.abs(after[0] - exact).max() <= 0.505
    for place, difference in ((1, (blue - luma) / 1.8556), (2, (red - luma) / 1.5748)):
        # one colour sample stands for its column and half of both beside it, and for two rows
        colour = (128 + 224 * difference) * alpha
        mean = [np.pad(one, ((0, 0), (1, 1)))[:, :-1] for one in (alpha, colour)]
        cover, ink = (
            (one[::2] + one[1::2])[:, [[k, k + 1, k + 2] for k in range(0, WIDTH, 2)]]
            @ np.array([1, 2, 1])
            / 8
            for one in mean
        )
        exact = before[place] * (1 - cover) + ink
        assert np.abs(after[place] - exact).max() <= 0.505


def test_cards_at_the_edges_of_the_picture_fit() -> None:
    card = Image.new("RGBA", (WIDTH, HEIGHT), (200, 100, 50, 255))
    before, after = laid(card, "bt709")
    assert all(np.ptp(plane) == 0 for plane in after)
    assert any(np.ptp(plane) for plane in before)


def test_what_cannot_be_drawn_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing"):
        StoredCard(Image.new("RGBA", (WIDTH, HEIGHT)), "bt709")
    with pytest.raises(ValueError, match="matrix"):
        StoredCard(Image.new("RGBA", (WIDTH, HEIGHT), (1, 2, 3, 255)), "bt2020nc")


def test_a_fade_is_even_at_both_ends_and_full_between() -> None:
    strength = fading(10, 30, 5)
    values = [strength(at) for at in range(10, 30)]
    assert values[0] == values[-1] == round(256 * 0.1)
    assert values == values[::-1]
    assert values[5:15] == [256] * 10
    assert values[:5] == sorted(values[:5])
    assert fading(10, 30, 0)(10) == 256


@pytest.mark.parametrize(
    ("wanted", "full"),
    [("yuv420p", False), ("yuv444p", False), ("yuvj420p", True), ("yuv420p10le", False)],
)
def test_brightness_is_that_of_the_pixels_whatever_the_range(wanted: str, full: bool) -> None:
    """A ramp from black to white through ffmpeg's scaler, and back from its own plane."""
    ramp = np.tile(np.arange(256, dtype=np.uint8), (16, 1))
    picture = av.VideoFrame.from_ndarray(np.repeat(ramp[:, :, None], 3, axis=2), format="rgb24")
    ranges = {"src_color_range": "JPEG", "dst_color_range": "JPEG" if full else "MPEG"}
    frame = picture.reformat(format=wanted, dst_colorspace="ITU709", **ranges)
    assert np.abs(grey_picture(frame).astype(int) - ramp).max() <= 2
