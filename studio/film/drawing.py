"""The pictures that a burn encodes: decoded, looked at, drawn on.

A plate is as dense as all pictures under its card ask for, so these are looked at before the first
of them is drawn on. As many as memory is given for are kept meanwhile and need no second decoding.
Of a longer stretch, the rest is looked at by the pictures that others are made from, which are
decoded fastest, and once more, each, as it is drawn on.
"""

from __future__ import annotations

import hashlib
import json
from bisect import bisect_left
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import chain, islice
from typing import TYPE_CHECKING, Any

from studio.errors import WorkFailed
from studio.film.blending import StoredCard, fading
from studio.film.density import PlateWatch
from studio.film.ranges import PictureIndex, Piece, Showing

if TYPE_CHECKING:
    from av.container import InputContainer
    from av.packet import Packet as AnyPacket
    from av.video.frame import VideoFrame
    from av.video.stream import VideoStream

    Packet = AnyPacket[Any]

_KEPT_BYTES = 400_000_000
"""Memory for decoded pictures that are kept from looking to drawing (ours): some four seconds at
1920 × 1080, longer than most cards stand."""

_LEAST_KEPT = 8
"""So many are kept however large they are (ours)."""


def pictures_of(container: InputContainer) -> VideoStream:
    """A film's track of pictures, not its cover."""
    from av.stream import Disposition

    return next(s for s in container.streams.video if Disposition.attached_pic not in s.disposition)


def packets_from(film: InputContainer, stream: VideoStream, dts: int) -> Iterator[Packet]:
    """Packets of pictures from the key frame on that is decoded at a time."""
    film.seek(dts, stream=stream, backward=True)
    for packet in film.demux(stream):
        if packet.size and packet.dts is not None and packet.dts >= dts:
            yield packet


@dataclass(frozen=True, slots=True)
class LaidCard:
    """A card, the pictures it stands on, and the pictures over which it comes and goes.

    Attributes:
        showing: the pictures.
        at_density: draws the card, its plate so dense.
        density: of its plate, 0 to 1; None for the look's densest.
        fade: over how many pictures it comes, and goes.
        watch: looks at each of them, if its plate may be too clear for one.
        drawn: the card as it is laid on.
    """

    showing: Showing
    at_density: Callable[[float | None], StoredCard]
    density: float | None
    fade: float
    watch: PlateWatch | None = None
    drawn: StoredCard = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "drawn", self.at_density(self.density))

    def stands_on(self, number: int) -> bool:
        """Whether it stands on a picture."""
        return self.showing.first <= number < self.showing.beyond

    def is_watched(self) -> bool:
        """Whether a picture could still ask for a denser plate."""
        return self.watch is not None and not self.watch.at_most

    def as_watched(self) -> LaidCard:
        """The card with a plate as dense as the pictures that were looked at so far ask for."""
        if self.watch is None or self.watch.density == self.density:
            return self
        return replace(self, density=self.watch.density)

    def digest(self) -> str:
        """SHA-256 over all that it puts on the film."""
        one = self.showing
        # films whose covered pictures were not all looked at say another word here
        found = hashlib.sha256(f"watched {one.first} {one.beyond} {self.fade}".encode("ascii"))
        for part in self.drawn.digest_parts():
            found.update(part)
        return found.hexdigest()


class Drawing:
    """Draws cards on a master's pictures.

    Attributes:
        cards: by number, each as it is drawn: one whose plate had to be denser before its first
            picture was drawn on stands here with that plate.
    """

    def __init__(
        self,
        decoded: InputContainer,
        index: PictureIndex,
        fps: Fraction,
        cards: Iterable[LaidCard],
        key_pictures: frozenset[int],
    ) -> None:
        """Begin.

        Args:
            decoded: the master, opened for nobody else.
            index: its pictures.
            fps: its nominal rate.
            cards: what is laid on.
            key_pictures: numbers of pictures that are to become key frames.
        """
        self.cards: dict[int, LaidCard] = {card.showing.number: card for card in cards}
        self._decoded, self._index, self._fps = decoded, index, fps
        self._key_pictures = key_pictures
        self._stream = pictures_of(decoded)
        # AUTO adds slices, which cost more than they give here (measured)
        self._stream.thread_type = "FRAME"
        picture = self._stream.codec_context.width * self._stream.codec_context.height * 3 // 2
        self._most_kept = max(_LEAST_KEPT, _KEPT_BYTES // max(1, picture))

    def pictures(self, parts: Sequence[Piece]) -> Iterator[VideoFrame]:
        """The pictures of some parts, in order, with their cards on them, ready for an encoder.

        Their times count on from part to part, and each part begins with a key frame.

        Args:
            parts: of the film, in order.

        Raises:
            WorkFailed: a picture cannot be decoded.
        """
        made = chain.from_iterable(self._of_run(run) for run in _runs(parts))
        for place, frame in enumerate(made):
            frame.pts, frame.time_base = place, 1 / self._fps
            yield frame

    def _of_run(self, run: Sequence[Piece]) -> Iterator[VideoFrame]:
        """The pictures of parts that follow one another: a card may stand on several of them."""
        start, beyond = run[0].start, run[-1].beyond
        frames = self._frames(start, beyond)
        kept: deque[VideoFrame] = deque()
        at = start
        if self._watched(run):
            for number, frame in islice(frames, self._most_kept):
                self._look(number, frame)
                kept.append(frame)
            at += len(kept)
            if at < beyond and self._watched(run):
                self._glance(run, at)
                frames = self._frames(at, beyond)
            self._settle(run)
        keys = self._key_pictures.union(part.start for part in run)
        for number in range(start, at):
            yield self._drawn_on(kept.popleft(), number, is_key=number in keys)
        for number, frame in frames:
            self._look(number, frame)
            yield self._drawn_on(frame, number, is_key=number in keys)

    def _watched(self, run: Sequence[Piece]) -> list[LaidCard]:
        return [card for card in self._on(run) if card.is_watched()]

    def _on(self, run: Sequence[Piece]) -> list[LaidCard]:
        return [self.cards[number] for number in sorted({n for part in run for n in part.numbers})]

    def _standing(self, number: int) -> list[LaidCard]:
        return [card for card in self.cards.values() if card.stands_on(number)]

    def _look(self, number: int, frame: VideoFrame) -> None:
        for card in self._standing(number):
            if card.watch is not None:
                card.watch.look(frame)

    def _glance(self, run: Sequence[Piece], at: int) -> None:
        """Look at what of a run is not kept, by the pictures that others are made from."""
        watched = self._watched(run)
        beyond = max((card.showing.beyond for card in watched), default=at)
        for number, frame in self._decoded_from(at, thinned=True):
            if number >= beyond or all(not card.is_watched() for card in watched):
                break
            if number >= at:
                self._look(number, frame)

    def _settle(self, run: Sequence[Piece]) -> None:
        for card in self._on(run):
            self.cards[card.showing.number] = card.as_watched()

    # --- decoding -----------------------------------------------------------------------------

    def _frames(self, start: int, beyond: int) -> Iterator[tuple[int, VideoFrame]]:
        """All pictures from one to another, decoded, with their numbers."""
        pictures = self._decoded_from(start)
        for number in range(start, beyond):
            at, frame = next((one for one in pictures if one[0] >= number), (-1, None))
            if frame is None or at != number:
                raise WorkFailed(
                    f"picture {number} of the master cannot be decoded; export it again"
                )
            yield number, frame

    def _decoded_from(
        self, number: int, *, thinned: bool = False
    ) -> Iterator[tuple[int, VideoFrame]]:
        """Decoded pictures with their numbers, that one on; of those before it not all.

        ``thinned``, of those behind it neither: only what others are made from.
        """
        decoder = self._stream.codec_context
        decoder.flush_buffers()
        shown, key = self._index.shown, self._index.key_before(number)
        for packet in packets_from(self._decoded, self._stream, self._index.dts[key]):
            # on the way, pictures that no other is made from need not be decoded
            early = packet.pts is not None and packet.pts < shown[number]
            decoder.skip_frame = "NONREF" if early or thinned else "DEFAULT"
            for frame in decoder.decode(packet):
                yield bisect_left(shown, frame.pts or 0), frame
        for frame in decoder.decode(None):
            yield bisect_left(shown, frame.pts or 0), frame

    # --- drawing ------------------------------------------------------------------------------

    def _drawn_on(self, frame: VideoFrame, number: int, *, is_key: bool) -> VideoFrame:
        """The picture with its cards."""
        from av.video.frame import PictureType

        for card in self._standing(number):
            # the decoder may still need this picture to make others from
            frame.make_writable()
            card.drawn.lay_on(frame, self._strength(card, number))
        # else the master's picture types would be forced on the encoder
        frame.pict_type = PictureType.I if is_key else PictureType.NONE
        return frame

    def _strength(self, card: LaidCard, number: int) -> int:
        # in even pictures by the clock, so that a fade is as long at a variable rate
        first, beyond, at = (
            self._index.seconds(one) * float(self._fps)
            for one in (card.showing.first, card.showing.beyond, number)
        )
        return fading(first, beyond, card.fade)(at)


def _runs(parts: Iterable[Piece]) -> Iterator[Sequence[Piece]]:
    """Parts in groups: those that follow one another without a gap."""
    run: list[Piece] = []
    for part in parts:
        if run and part.start != run[-1].beyond:
            yield run
            run = []
        run.append(part)
    if run:
        yield run


def digest_of(part: Piece, cards: Mapping[int, LaidCard], key_pictures: frozenset[int]) -> str:
    """SHA-256 over what is drawn on a part, and where its key frames are."""
    drawn = [cards[number].digest() for number in part.numbers]
    keys = sorted(number for number in key_pictures if part.start <= number < part.beyond)
    return hashlib.sha256(json.dumps([drawn, keys]).encode("ascii")).hexdigest()
