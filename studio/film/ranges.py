"""Which pictures a burn must encode again, and which it copies as they are.

All of this is counting: a film's pictures go by their number, in the order of showing and in the
order of decoding, and where both orders hold the same pictures the film may be cut. Words used
here as ITU-T H.264 and ISO/IEC 14496-12 use them: a *key frame* can be decoded alone (IDR, sync
sample); the pictures from one to the next are a *group*; a group is *closed* when none of its
pictures is shown before its key frame or after the next one.
"""

from __future__ import annotations

import hashlib
from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from studio.episode.cards import card_reading_ms
from studio.episode.records import Card

_LEAST_PIECE = 30
"""Pictures in the shortest part of a stretch (ours): each costs a key frame, which is larger than
other pictures."""

_WORTH_TELLING = 0.9
"""An export setting is named when it leaves less than this share of the work (ours)."""


class PictureIndex:
    """The packets of a film's picture track, in order of decoding; one packet is one picture.

    Attributes:
        time_base: seconds in one unit of all times here.
        pts: when each is shown.
        dts: when each is decoded; rising.
        sizes: bytes in each.
        checks: CRC-32 of each, or nothing.
        keys: places of the key frames, rising.
        shown: ``pts`` in order of showing.
        last_duration: of the picture decoded last, as long as the step before it where unsaid.
        end: when the last picture's time is over.
    """

    def __init__(
        self,
        time_base: Fraction,
        pts: Iterable[int],
        dts: Iterable[int],
        keys: Iterable[int],
        *,
        sizes: Iterable[int] = (),
        checks: Iterable[int] = (),
        last_duration: int = 0,
    ) -> None:
        """Take an index.

        Raises:
            ValueError: it is empty, does not begin with a key frame, or its times are not sound.
        """
        self.time_base = time_base
        self.pts, self.dts = array("q", pts), array("q", dts)
        self.sizes, self.checks = array("q", sizes), array("Q", checks)
        self.keys = tuple(keys)
        self.shown = array("q", sorted(self.pts))
        if not self.keys or self.keys[0] != 0 or len(self.dts) != len(self.pts):
            raise ValueError("the film does not begin with a key frame")
        if any(one >= two for one, two in zip(self.dts, self.dts[1:], strict=False)):
            raise ValueError("two pictures are decoded at the same time")
        if any(one >= two for one, two in zip(self.shown, self.shown[1:], strict=False)):
            raise ValueError("two pictures are shown at the same time")
        if any(shown < decoded for shown, decoded in zip(self.pts, self.dts, strict=True)):
            raise ValueError("a picture is shown before it is decoded")
        count = len(self.shown)
        usual = self.shown[-1] - self.shown[-2] if count > 1 else 1
        self.last_duration = last_duration or usual
        self.end = self.shown[-1] + self.last_duration

    def __len__(self) -> int:
        return len(self.pts)

    def digest(self) -> str:
        """SHA-256 over all times, key frames, sizes and checks."""
        found = hashlib.sha256(str((self.time_base, self.keys)).encode("ascii"))
        for part in (self.pts, self.dts, self.sizes, self.checks):
            found.update(str(len(part)).encode("ascii"))
            found.update(part.tobytes())
        return found.hexdigest()

    def open_group(self) -> int | None:
        """The place of the first key frame whose group is not closed; None when all are."""
        for key, beyond in zip(self.keys, (*self.keys[1:], len(self)), strict=True):
            pictures = self.pts[key:beyond]
            # closed throughout, places in both orders are the same at each key frame
            if self.pts[key] != self.shown[key] or max(pictures) != self.shown[beyond - 1]:
                return key
        return None

    def key_from(self, place: int) -> int:
        """The first key frame at or after ``place``; the number of pictures when there is none."""
        found = bisect_left(self.keys, place)
        return self.keys[found] if found < len(self.keys) else len(self)

    def key_before(self, place: int) -> int:
        """The last key frame at or before ``place``."""
        return self.keys[bisect_right(self.keys, place) - 1]

    def cut_before(self, place: int) -> int:
        """The last place at or before ``place`` where the film may be cut in closed groups.

        There, what was decoded so far and what was shown so far are the same pictures; none of
        them needs a later one, and a new key frame may stand there.
        """
        key, beyond = self.key_before(place), self.key_from(place + 1)
        # the order of showing tells it alone: so many are the earliest, so many were decoded
        latest, cut = -1, key
        for at in range(key, min(place, beyond - 1) + 1):
            if at == key or latest < self.shown[at]:
                cut = at
            latest = max(latest, self.pts[at])
        return cut

    def at(self, milliseconds: int) -> int:
        """The number of the first picture shown at or after a time; the count when none is."""
        wanted = Fraction(milliseconds, 1000) / self.time_base
        return bisect_left(self.shown, wanted)

    def seconds(self, picture: int) -> float:
        """When a picture is shown; beyond the last, when that one's time is over."""
        units = self.shown[picture] if picture < len(self) else self.end
        return float(units * self.time_base)


def needed_ms(card: Card) -> int:
    """How long a card must stand to be read, in milliseconds; never longer than it stands.

    Raises:
        ValueError: it has no times.
    """
    if card.start_ms is None or card.end_ms is None:
        raise ValueError(f"card {card.number} has no times")
    return min(card_reading_ms(card), card.end_ms - card.start_ms)


@dataclass(frozen=True, slots=True)
class Showing:
    """On which pictures a card stands.

    Attributes:
        number: the card's.
        first: number of the first picture with it.
        beyond: number of the first without it again.
        least: the earliest ``beyond`` at which it has still stood long enough to be read.
    """

    number: int
    first: int
    beyond: int
    least: int


def showing(card: Card, index: PictureIndex) -> Showing:
    """The pictures of ``card`` by its own times; at least one.

    Raises:
        ValueError: it has no times.
    """
    needed = needed_ms(card)
    assert card.start_ms is not None
    assert card.end_ms is not None
    first = min(index.at(card.start_ms), len(index) - 1)
    beyond = max(index.at(card.end_ms), first + 1)
    return Showing(card.number, first, beyond, max(index.at(card.start_ms + needed), first + 1))


def settled(showings: Sequence[Showing], index: PictureIndex) -> tuple[Showing, ...]:
    """Cards whose end lies near enough behind a key frame end there instead.

    An end may move back as far as its card has still stood long enough to be read. It moves only
    where fewer pictures are encoded for it: not when another card stands there anyway. It never
    moves on: up to the next key frame all is encoded as it is.
    """
    out = list(showings)
    moved = []
    for place, one in enumerate(out):
        key = index.key_before(one.beyond - 1) if one.beyond <= len(index) else 0
        if index.key_from(one.beyond) != one.beyond and key >= max(one.least, one.first + 1):
            out[place] = replace(one, beyond=key)
            moved.append(place)
    least = encoded(out, index)
    for place in moved:
        back = [*out[:place], showings[place], *out[place + 1 :]]
        if encoded(back, index) <= least:
            out = back
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of the film that is encoded anew, from a key frame of its own to another one.

    Attributes:
        start: place of its first picture, in both orders.
        beyond: place of the first picture after it.
        numbers: of the cards that stand on it, rising.
    """

    start: int
    beyond: int
    numbers: tuple[int, ...]


def _stretches(showings: Iterable[Showing], index: PictureIndex) -> list[tuple[int, int]]:
    out: list[tuple[int, int]] = []
    for one in sorted(showings, key=lambda one: one.first):
        beyond = index.key_from(one.beyond)
        if out and one.first <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], beyond))
        else:
            out.append((index.cut_before(one.first), beyond))
    return out


def encoded(showings: Iterable[Showing], index: PictureIndex) -> int:
    """How many pictures are encoded for these cards."""
    return sum(beyond - start for start, beyond in _stretches(showings, index))


def pieces(showings: Sequence[Showing], index: PictureIndex) -> tuple[Piece, ...]:
    """What is encoded anew, in order: from the last cut before a card to the key frame after it.

    Inside a stretch that is encoded a key frame may stand anywhere. It is parted where cards come
    and go, so that a later burn can take over the parts whose cards did not change, tails too.
    """
    out: list[Piece] = []
    for start, beyond in _stretches(showings, index):
        bounds = [start]
        for at in sorted({at for one in showings for at in (one.first, one.beyond)}):
            if bounds[-1] + _LEAST_PIECE <= at <= beyond - _LEAST_PIECE:
                bounds.append(at)
        for low, high in zip(bounds, [*bounds[1:], beyond], strict=True):
            numbers = tuple(
                sorted(one.number for one in showings if one.first < high and one.beyond > low)
            )
            out.append(Piece(low, high, numbers))
    return tuple(out)


def reorder_allowed(parts: Iterable[Piece], index: PictureIndex) -> int:
    """How many pictures a new stretch may hold back (0, 1 or 2) and still keep the film's times.

    A stretch of other pictures in the same slots: the picture decoded j-th is shown j−d-th at the
    earliest, and must not be shown before the j-th decoding time. With d = 0 that always holds.
    """
    allowed = 2
    for part in parts:
        for at in range(part.start, part.beyond):
            while allowed and index.shown[max(part.start, at - allowed)] < index.dts[at]:
                allowed -= 1
        if not allowed:
            break
    return allowed


def share_text(count: int, whole: int) -> str:
    """A share of pictures in words: whole percents, and never nothing when it is something.

    >>> share_text(476, 3600)
    '13 %'
    >>> share_text(1, 3600)
    'under 1 %'
    """
    share = 100 * count / whole
    return "under 1 %" if 0 < share < 1 else f"{share:.0f} %"


def better_export(showings: Sequence[Showing], index: PictureIndex, fps: Fraction) -> str:
    """Which export setting would leave less to encode, as a sentence; empty when none would.

    Args:
        showings: before any end was moved.
        index: of the master.
        fps: its nominal rate.
    """
    count, every = len(index), max(1, round(fps))
    regular = range(0, count, every)
    if len(index.keys) >= len(regular):
        return ""
    other = PictureIndex(Fraction(1), range(count), range(count), regular)
    now = encoded(settled(showings, index), index)
    then = encoded(settled(showings, other), other)
    if now == 0 or then > _WORTH_TELLING * now:
        return ""
    return (
        f"Exported with a key frame every second (every {every} pictures), it would be about "
        f"{share_text(then, count)}."
    )
