"""Laying a card on decoded pictures as they are stored: luma and colour difference, no RGB between.

A card is drawn in R'G'B'; a picture is stored as Y'CbCr in the film's own matrix and range. The
card is converted once, and pictures are never, so that what it does not cover stays as it was.
Formulas: Y' = Kr R' + Kg G' + Kb B', Cb = (B' − Y') / (2 (1 − Kb)), Cr = (R' − Y') / (2 (1 − Kr)),
each quantised to 16..235 and 16..240 (Recommendations ITU-R BT.601 and BT.709).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from av.video.frame import VideoFrame
    from PIL import Image

WEIGHTS = {
    "bt709": (0.2126, 0.0722),
    "bt470bg": (0.299, 0.114),
    "smpte170m": (0.299, 0.114),
    "fcc": (0.30, 0.11),
    "smpte240m": (0.212, 0.087),
}
"""Kr and Kb of each colour matrix (ITU-T H.273 table 4)."""

_FULL = 256
"""Full strength of a card that has come up."""


def fading(first: float, beyond: float, fade: float) -> Callable[[float], int]:
    """How strongly a card shows, 0 to 256, at a place between ``first`` and ``beyond``.

    All in pictures of even length. Places are taken in the middle of a picture, so that neither
    its first nor its last is wholly without the card.
    """

    def strength(place: float) -> int:
        if fade <= 0:
            return _FULL
        since, left = place - first + 0.5, beyond - place - 0.5
        return max(0, round(_FULL * min(1.0, since / fade, left / fade)))

    return strength


@dataclass(frozen=True, slots=True)
class _Plane:
    """One plane's part of a card: its place, colour times cover, cover, and what full cover is."""

    left: int
    top: int
    ink: NDArray[np.uint32]
    cover: NDArray[np.uint32]
    whole: int

    def lay_on(self, plane: NDArray[np.uint8], strength: int) -> None:
        height, width = self.cover.shape
        part = plane[self.top : self.top + height, self.left : self.left + width]
        whole = self.whole * _FULL
        under = part * (whole - self.cover * strength)
        part[...] = (self.ink * strength + under + whole // 2) // whole


class StoredCard:
    """A card ready to be laid on 8-bit 4:2:0 pictures of limited range."""

    def __init__(self, picture: Image.Image, matrix: str) -> None:
        """Convert a drawn card.

        Args:
            picture: of the film's size, RGBA, see-through where nothing is drawn.
            matrix: the film's colour matrix, in FFmpeg's words.

        Raises:
            ValueError: nothing is drawn on it, or the matrix is none that is known.
        """
        if matrix not in WEIGHTS:
            raise ValueError(f"the colour matrix {matrix} is not known")
        box = picture.getbbox()
        if box is None:
            raise ValueError("the card shows nothing")
        # even places, with one colour sample more at both sides for the filter below
        width, height = picture.size
        left, top = max(0, box[0] // 2 * 2 - 2), box[1] // 2 * 2
        right, foot = min(width, (box[2] + 1) // 2 * 2 + 2), min(height, (box[3] + 1) // 2 * 2)
        pixels = np.asarray(picture.crop((left, top, right, foot)).convert("RGBA"), np.float64)
        cover = pixels[:, :, 3]
        red, green, blue = (pixels[:, :, part] / 255 for part in range(3))
        k_red, k_blue = WEIGHTS[matrix]
        luma = k_red * red + (1 - k_red - k_blue) * green + k_blue * blue
        self._planes = (
            _Plane(left, top, _whole((16 + 219 * luma) * cover), _whole(cover), 255),
            *(
                _Plane(
                    left // 2,
                    top // 2,
                    _whole(_coarse((128 + 224 * difference) * cover)),
                    _whole(_coarse(cover)),
                    255 * 8,
                )
                for difference in (
                    (blue - luma) / (2 * (1 - k_blue)),
                    (red - luma) / (2 * (1 - k_red)),
                )
            ),
        )

    def lay_on(self, frame: VideoFrame, strength: int) -> None:
        """Blend the card into ``frame``, which must be one's own to write on, in place."""
        for part, stored in zip(self._planes, frame.planes, strict=True):
            rows = np.frombuffer(memoryview(stored), np.uint8).reshape(-1, stored.line_size)
            part.lay_on(rows[:, : stored.width], strength)

    def digest_parts(self) -> list[bytes]:
        """Everything that decides what is drawn, as bytes."""
        out = []
        for part in self._planes:
            out.append(str((part.left, part.top, part.cover.shape)).encode("ascii"))
            out += [part.ink.tobytes(), part.cover.tobytes()]
        return out


def _whole(values: NDArray[np.float64]) -> NDArray[np.uint32]:
    return np.rint(values).astype(np.uint32)


def _coarse(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Eight times the mean of the samples round each colour sample of 4:2:0.

    Colour stands in the column of the left of two samples and between two rows, as H.264 takes
    it where nothing else is said (ITU-T H.264 annex E, chroma_sample_loc_type 0).
    """
    wide = np.pad(values, ((0, 0), (1, 0)), mode="edge")
    across = wide[:, 0:-2:2] + 2 * wide[:, 1:-1:2] + wide[:, 2::2]
    return across[0::2] + across[1::2]
