"""How dense a card's plate must be over every picture that it covers.

A place is chosen by a few pictures (``placing.py``); between them the footage may brighten or
darken. So each covered picture is looked at as it is drawn on. Most are done with by six numbers,
the extremes of its stored planes under the plate; only where these would not do are colours
reckoned.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from studio.episode.records import Card, FrameSize, Strips
from studio.film.blending import WEIGHTS
from studio.film.layout import style_of
from studio.film.look import CardStyle, Look, Rgb
from studio.film.overlays import Box, outline
from studio.film.probe import Footage
from studio.film.whole import assumed_matrix, decoded

if TYPE_CHECKING:
    from av.video.frame import VideoFrame

_ROUNDING = 2
"""Levels by which a colour may differ from what is reckoned here (ours): stored planes are rounded,
and colour has one sample for four."""

_Planes = Sequence[NDArray[np.uint8]]


class PlateWatch:
    """Looks at pictures under a plate, and makes it denser where its texts could not be read.

    Attributes:
        density: that the pictures seen so far need, 0 to 1; at least the one it began with.
    """

    def __init__(self, style: CardStyle, density: float, box: Box, matrix: str) -> None:
        """Begin.

        Args:
            style: of the card.
            density: of its plate, as it was drawn.
            box: of the plate, in stored pixels.
            matrix: the film's colour matrix.
        """
        self.density = density
        self._style, self._box = style, box
        self._matrix = matrix

    @property
    def at_most(self) -> bool:
        """Whether the plate is as dense already as any picture needs."""
        return self.density >= self._style.opacity

    def look(self, frame: VideoFrame) -> None:
        """Look at a picture, 8-bit 4:2:0 of limited range, before anything is drawn on it."""
        if self.at_most:
            return
        under = _under(frame, self._box)
        lows, highs = zip(*((part.min(), part.max()) for part in under), strict=True)
        if not self._readable(*self._bounds(lows, highs)):
            darkest, lightest = self._colours(*under)
            if not self._readable(darkest, lightest):
                self.density = max(self.density, self._style.density_over(darkest, lightest))

    def _readable(self, darkest: Rgb, lightest: Rgb) -> bool:
        return self._style.is_readable(self.density, darkest, lightest)

    def _bounds(self, lows: Sequence[int], highs: Sequence[int]) -> tuple[Rgb, Rgb]:
        """Colours between which all of a picture's must lie, by the extremes of its planes."""
        ends = np.array([lows, highs], dtype=np.float64)
        light = (ends[:, 0] - 16) / 219
        tints = (ends[:, 1:] - 128) / 224
        both = _adds(self._matrix)[None, :, :] * tints[:, None, :]
        least, most = both.min(axis=0).sum(axis=1), both.max(axis=0).sum(axis=1)
        return _levels(light[0] + least, -_ROUNDING), _levels(light[1] + most, _ROUNDING)

    def _colours(
        self, luma: NDArray[np.uint8], blue: NDArray[np.uint8], red: NDArray[np.uint8]
    ) -> tuple[Rgb, Rgb]:
        return _colours((luma, blue, red), self._matrix)


def _adds(matrix: str) -> NDArray[np.float64]:
    """What full blue and red difference add to red, green and blue, in shares.

    The formulas of ``blending.py`` the other way round.
    """
    k_red, k_blue = WEIGHTS[matrix]
    k_green = 1 - k_red - k_blue
    return np.array(
        [
            (0.0, 2 * (1 - k_red)),
            (-2 * k_blue * (1 - k_blue) / k_green, -2 * k_red * (1 - k_red) / k_green),
            (2 * (1 - k_blue), 0.0),
        ]
    )


@lru_cache
def _tables(matrix: str) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Shares of light by stored luma; what stored differences add, by colour and difference."""
    stored = np.arange(256)
    light = (stored - 16) / 219
    tints = _adds(matrix)[:, :, None] * (stored - 128) / 224
    return light.astype(np.float32), tints.astype(np.float32)


def _colours(planes: _Planes, matrix: str) -> tuple[Rgb, Rgb]:
    """Least and greatest red, green and blue that a picture has under the plate."""
    luma, blue, red = planes
    light, tints = _tables(matrix)
    # of the four samples of luma that share one of colour only the ends matter
    pairs = luma[0::2], luma[1::2]
    low, high = np.minimum(*pairs), np.maximum(*pairs)
    low = light[np.minimum(low[:, 0::2], low[:, 1::2])]
    high = light[np.maximum(high[:, 0::2], high[:, 1::2])]
    by_red, by_blue = tints[0, 1][red], tints[2, 0][blue]
    both = tints[1, 0][blue] + tints[1, 1][red]
    added = (by_red, both, by_blue)
    return (
        _levels(np.array([float((low + tint).min()) for tint in added]), -_ROUNDING),
        _levels(np.array([float((high + tint).max()) for tint in added]), _ROUNDING),
    )


def _under(frame: VideoFrame, box: Box) -> _Planes:
    """What a picture stores under a plate: luma, blue and red difference."""
    left, top, right, foot = box
    left, top = left // 2 * 2, top // 2 * 2
    right, foot = (right + 1) // 2 * 2, (foot + 1) // 2 * 2
    out = []
    for number, stored in enumerate(frame.planes):
        rows = np.frombuffer(memoryview(stored), np.uint8).reshape(-1, stored.line_size)
        by = 2 if number else 1
        out.append(rows[top // by : foot // by, left // by : right // by])
    return out


def _as_watched(frame: VideoFrame) -> VideoFrame:
    return frame.reformat(format="yuv420p", dst_color_range="MPEG")


def _levels(shares: NDArray[np.float64], margin: int) -> Rgb:
    """Shares of full red, green and blue as levels, so many further.

    Footage may be stored lighter than white or darker than black, as cameras and noise do; the
    plate is blended with that before a player cuts it off, so it is not cut off here.
    """
    red, green, blue = (np.rint(255 * shares) + margin).astype(int).tolist()
    return red, green, blue


def watch_for(
    card: Card, size: FrameSize, look: Look, clear: Strips, footage: Footage
) -> PlateWatch | None:
    """A watch for a card; None where its plate is as dense as any picture needs.

    Args:
        card: in its corner.
        size: of the upright pictures.
        look: of the card.
        clear: what stays free beside the look's margins.
        footage: the master.
    """
    style = style_of(card.kind, look)
    if card.opacity is None or card.opacity >= style.opacity:
        return None
    box = outline(card, size, look, card.corner, clear)
    return PlateWatch(style, card.opacity, _stored(box, footage), assumed_matrix(footage))


def _stored(box: Box, footage: Footage) -> Box:
    """A box of the upright picture where it lies in the stored one."""
    left, top, right, foot = box
    wide, high = footage.width, footage.height
    if footage.rotation == 90:
        return top, wide - right, foot, wide - left
    if footage.rotation == 180:
        return wide - right, high - foot, wide - left, high - top
    if footage.rotation == 270:
        return high - foot, left, high - top, right
    return box


def densities(
    cards: Sequence[Card],
    size: FrameSize,
    look: Look,
    clear: Strips,
    footage: Footage,
) -> dict[int, float]:
    """Densities of plates, by card's number, that must be more than was chosen.

    Every covered picture is decoded for it.

    Args:
        cards: with times, in their corners.
        size: of the upright pictures.
        look: of the cards.
        clear: what stays free beside the look's margins.
        footage: the master.
    """
    found = [(card, watch_for(card, size, look, clear, footage)) for card in cards]
    watched = [(card, watch) for card, watch in found if watch is not None]
    spans: list[tuple[int, int]] = []
    for start, end in sorted((card.start_ms or 0, card.end_ms or 0) for card, _ in watched):
        if spans and start <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(end, spans[-1][1]))
        else:
            spans.append((start, end))
    for start, end in spans:
        for at, frame in decoded(footage, start / 1000, "DEFAULT"):
            ms = 1000 * at
            if ms >= end or all(watch.at_most for _, watch in watched):
                break
            standing = [watch for card, watch in watched if _is_under(card, at)]
            if standing:
                plain = _as_watched(frame)
                for watch in standing:
                    watch.look(plain)
    return {
        card.number: watch.density for card, watch in watched if watch.density > (card.opacity or 0)
    }


def _is_under(card: Card, at: float) -> bool:
    """Whether a picture shown at so many seconds may be under a card."""
    # rounded times: one picture more at either side
    return (card.start_ms or 0) - 1 <= 1000 * at < (card.end_ms or 0) + 1


def with_densities(cards: Sequence[Card], dense: Mapping[int, float]) -> tuple[Card, ...]:
    """The cards with the densities found for them."""
    return tuple(
        replace(card, opacity=dense[card.number]) if card.number in dense else card
        for card in cards
    )
