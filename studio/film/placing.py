"""Where each card stands: the calmest corner of the film over its time, and how dense its plate is.

Looked at are pictures under the card itself: the key frames within its time, which cost little to
decode; where there are not two, its last picture too, or nearly; and without any, or with only a
late one, its first and middle one. A corner's unrest is the mean change from one of them to the
next plus their mean gradient, both in levels of luma (ours): what moves there is wanted, and what
is busy there is hard to read over.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, replace
from itertools import pairwise, takewhile
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from studio.episode.places import CardPlace, Places, place_names
from studio.episode.records import Card, Episode, FrameSize
from studio.errors import WorkFailed
from studio.film.corners import (
    OTHER,
    is_upright,
    leading,
    on_one_side,
    part_of,
    seen_together,
    with_corners,
)
from studio.film.layout import style_of
from studio.film.look import Look, Rgb, load_look
from studio.film.overlays import Box, outlines
from studio.film.probe import Footage, probe
from studio.film.unfit import faults_in_design
from studio.film.whole import Pixels, decoded, key_times, rgb_picture

if TYPE_CHECKING:
    from av.video.frame import VideoFrame

_Boxes = Mapping[int, Mapping[str, Box]]
"""By card's number: where its plate stands in each corner that it may stand in."""

_FEW = 2
"""With fewer key frames than this under a card, some other pictures are decoded too (ours): where
there are two, a change can be seen, and decoding what lies between costs as much as a tenth of
encoding it."""

_APART_S = 0.5
"""Two pictures this far apart show what moves, seconds (ours)."""

_MOST = 6
"""No more pictures than this are looked at for one card (ours)."""

_MOST_AT_ONCE = 4
"""So many groups of cards are looked at side by side; each holds its pictures in memory (ours)."""

_MARGIN = 12
"""How much darker or lighter than the pictures looked at those between may be, levels (ours); the
burn looks at each of them."""

_COARSE = 240
"""Height to which pictures are brought down for scoring: fine grain does not count (ours)."""


def choose_places(episode: Episode, master: Path, before: Places) -> Places:
    """A place on this film for every card.

    Args:
        episode: with times.
        master: the edited film.
        before: places found earlier; kept for cards of which nothing has changed.

    Raises:
        BadInput: the film cannot be read, or a card does not fit.
    """
    footage = probe(master)
    look = load_look(episode.look, beside=episode.design_file.parent)
    size = FrameSize(footage.width, footage.height)
    names = place_names(episode.cards)
    # whatever was placed before, the look's and the design's own corners are where a choice begins
    cards = with_corners([replace(card, corner="") for card in episode.cards], look, size)

    def placed(group: Sequence[Card], boxes: _Boxes, seen: str) -> dict[str, CardPlace]:
        pictures = {
            card.number: sampled(footage, card.start_ms or 0, card.end_ms or 0) for card in group
        }
        coarse = {number: [coarse_luma(one) for one in some] for number, some in pictures.items()}
        unrest = {
            card.number: {
                corner: _unrest(coarse[card.number], box, size.height)
                for corner, box in boxes[card.number].items()
            }
            for card in group
        }
        corners = _calmest(group, unrest, upright=is_upright(size))
        density: dict[int, float] = {}
        for card in group:
            extremes = _extremes(pictures[card.number], boxes[card.number][corners[card.number]])
            density[card.number] = style_of(card.kind, look).density_over(*extremes)
        return {
            names[card.number]: CardPlace(
                corner=corners[card.number],
                opacity=density[card.number],
                calm=unrest[card.number],
                seen=seen,
            )
            for card in group
        }

    places: dict[str, CardPlace] = {}
    wanted: list[tuple[Sequence[Card], _Boxes, str]] = []
    for group in seen_together(cards):
        with faults_in_design(episode):
            boxes = {
                card.number: _allowed(outlines(card, size, look, episode.keep_clear), card)
                for card in group
            }
        seen = _fingerprint(group, boxes, episode, look, footage)
        known = {names[card.number]: before.get(names[card.number]) for card in group}
        kept = {name: one for name, one in known.items() if one is not None and one.seen == seen}
        if len(kept) == len(group):
            places |= kept
        else:
            wanted.append((group, boxes, seen))
    with ThreadPoolExecutor(min(_MOST_AT_ONCE, os.cpu_count() or 1)) as pool:
        for chosen in pool.map(placed, *zip(*wanted, strict=True)) if wanted else ():
            places |= chosen
    # in the order of the film, for the file
    return {name: places[name] for name in names.values()}


def told_places(episode: Episode, places: Places) -> list[str]:
    """A line for each card: where it stands and what the corners scored."""
    names = place_names(episode.cards)
    lines = []
    for card in episode.cards:
        place = places[names[card.number]]
        scores = ", ".join(
            f"{corner.replace('-', ' ')} {score:.1f}"
            for corner, score in sorted(place.calm.items(), key=lambda item: item[1])
        )
        why = "as the design asks" if card.asked == place.corner else scores
        lines.append(
            f"Overlay {card.number} ({names[card.number]}) stands "
            f"{place.corner.replace('-', ' ')}, its plate {place.opacity:.0%} dense: {why}."
        )
    return lines


def _allowed(boxes: Mapping[str, Box], card: Card) -> dict[str, Box]:
    """The corners that a card may stand in, its own first: of equals the first is taken."""
    order = sorted(boxes, key=lambda corner: corner != card.corner)
    return {corner: boxes[corner] for corner in order}


def _fingerprint(
    group: Sequence[Card],
    boxes: _Boxes,
    episode: Episode,
    look: Look,
    footage: Footage,
) -> str:
    """Of all that the choice for a group follows from."""
    parts: list[object] = [
        footage.path.stat().st_size,
        footage.frames,
        footage.duration_ms,
        (footage.width, footage.height),
        asdict(episode.keep_clear),
    ]
    for card in group:
        style = style_of(card.kind, look)
        parts += [card.start_ms, card.end_ms, card.asked, card.corner, style.model_dump()]
        parts += sorted(boxes[card.number].items())
    return hashlib.sha256(repr(parts).encode("utf-8")).hexdigest()[:16]


def _calmest(
    group: Sequence[Card], unrest: Mapping[int, Mapping[str, float]], *, upright: bool
) -> dict[int, str]:
    """The corner of each card of a group that is seen together, calmest on the whole.

    Cautions stand on the other side than all else, in film taller than wide at the other end.
    A corner that the design asks for decides the side.
    """

    def part(corner: str) -> str:
        return part_of(corner, upright=upright)

    def best(cards: Sequence[Card], where: str) -> tuple[float, str]:
        """The corner of that part in which all of the cards stand calmest."""
        corners = [corner for corner in unrest[cards[0].number] if part(corner) == where]
        if cards[0].asked in corners:
            return 0.0, cards[0].asked
        scored = [
            (sum(unrest[card.number][corner] for card in cards), place)
            for place, corner in enumerate(corners)
        ]
        score, place = min(scored)
        return score, corners[place]

    first = leading(group)
    ways = list(dict.fromkeys(part(corner) for corner in unrest[first.number]))
    if first.asked:
        ways = [part(first.asked)]
    # cautions of one step follow one another in one place
    alike = [
        [card for card in group if (card.step_id, card.kind) == one]
        for one in dict.fromkeys((card.step_id, card.kind) for card in group)
    ]
    choices: list[tuple[float, int, dict[int, str]]] = []
    for order, way in enumerate(ways):
        chosen: dict[int, str] = {}
        total = 0.0
        for cards in alike:
            score, corner = best(cards, way if on_one_side(cards[0], first) else OTHER[way])
            chosen |= dict.fromkeys((card.number for card in cards), corner)
            total += score
        choices.append((total, order, chosen))
    return min(choices, key=lambda choice: choice[:2])[2]


# --- looking at pictures ----------------------------------------------------------------------


def sampled(footage: Footage, start_ms: int, end_ms: int) -> list[Pixels]:
    """Some pictures of a stretch of film, upright, in order, one at least."""
    start, end = start_ms / 1000, end_ms / 1000
    keys = key_times(footage, start, end)
    if len(keys) >= _FEW:
        thinned = _keys(footage, start, end)
        # what a file calls key frames may be refreshed bit by bit, and no decoder starts there
        if thinned:
            step = -(-len(thinned) // _MOST)
            return [rgb_picture(one, footage) for _, one in thinned[::step]]
    pictures: dict[float, VideoFrame] = {}
    # the last picture is under the card for all but its fade
    last = max(start, end - 2 / float(footage.fps))
    wanted = [start, last] if keys else [start, (start + end) / 2, last]
    if keys and last - keys[0] >= _APART_S:
        # the way to the first picture may be as long as all the rest
        wanted = [keys[0], last]
    before: tuple[float, VideoFrame] | None = None
    for at, frame in decoded(footage, wanted[0], "NONREF"):
        if frame.key_frame and start <= at < end:
            pictures[at] = frame
        while wanted and (_is_there(at, wanted[0]) or (at >= end and before is not None)):
            wanted.pop(0)
            pictures.setdefault(*(before if at >= end and before is not None else (at, frame)))
        before = at, frame
        if at >= end:
            break
    if wanted and before is not None:
        pictures.setdefault(*before)
    return [rgb_picture(pictures[at], footage) for at in sorted(pictures)]


def _is_there(at: float, wanted: float) -> bool:
    # half a millisecond: a mark is kept in whole ones
    return at >= wanted - 5e-4


def picture_at(footage: Footage, at_ms: int) -> Pixels:
    """The first picture at a time or after it, upright; the film's last where none is.

    Raises:
        WorkFailed: the film holds no picture there.
    """
    last: VideoFrame | None = None
    for at, frame in decoded(footage, at_ms / 1000, "DEFAULT"):
        last = frame
        if _is_there(at, at_ms / 1000):
            break
    if last is None:
        raise WorkFailed(f"{footage.path} has no picture to show; export it again")
    return rgb_picture(last, footage)


def _keys(footage: Footage, start: float, end: float) -> list[tuple[float, VideoFrame]]:
    """Key frames from ``start`` to ``end``, seconds, with their times; evenly thinned where many.

    Where every picture is a key frame, thousands of them would fill the memory.
    """
    kept: list[tuple[float, VideoFrame]] = []
    stride = 1
    inside = (one for one in decoded(footage, start, "NONKEY") if one[0] >= start)
    for place, (at, frame) in enumerate(takewhile(lambda one: one[0] < end, inside)):
        if place % stride == 0:
            kept.append((at, frame))
        if len(kept) > 2 * _MOST:
            kept, stride = kept[::2], 2 * stride
    return kept


def coarse_luma(picture: Pixels) -> NDArray[np.float32]:
    """A picture's luma, brought down to a height at which fine grain is gone."""
    from PIL import Image

    height, width = picture.shape[:2]
    scale = min(1.0, _COARSE / height)
    small = Image.fromarray(np.ascontiguousarray(picture)).convert("L")
    if scale < 1:
        wanted = (max(1, round(width * scale)), max(1, round(height * scale)))
        small = small.resize(wanted, Image.Resampling.BOX)
    return np.asarray(small, dtype=np.float32)


def _unrest(pictures: Sequence[NDArray[np.float32]], box: Box, height: int) -> float:
    """Mean change plus mean gradient under a plate, levels of luma.

    Args:
        pictures: coarse luma.
        box: of the plate, in pixels of the film.
        height: of the film.
    """
    parts = []
    for luma in pictures:
        scale = luma.shape[0] / height
        left, top, right, foot = (round(edge * scale) for edge in box)
        parts.append(luma[top : max(foot, top + 2), left : max(right, left + 2)])
    steep = [
        float(np.abs(np.diff(part, axis=0)).mean() + np.abs(np.diff(part, axis=1)).mean())
        for part in parts
    ]
    change = [float(np.abs(later - earlier).mean()) for earlier, later in pairwise(parts)]
    return float(np.mean(steep)) + (float(np.mean(change)) if change else 0.0)


def _extremes(pictures: Sequence[Pixels], box: Box) -> tuple[Rgb, Rgb]:
    """Least and greatest red, green and blue under a plate, with some room for other pictures."""
    left, top, right, foot = box
    parts = [picture[top:foot, left:right].reshape(-1, 3) for picture in pictures]
    low = np.min([part.min(axis=0) for part in parts], axis=0).astype(int) - _MARGIN
    high = np.max([part.max(axis=0) for part in parts], axis=0).astype(int) + _MARGIN
    darkest, lightest = (np.clip(one, 0, 255).tolist() for one in (low, high))
    return (darkest[0], darkest[1], darkest[2]), (lightest[0], lightest[1], lightest[2])
