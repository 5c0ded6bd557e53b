"""The exact burn: only the pictures under a card are encoded again, all others are copied.

How a join plays: one ``avc1`` track whose single decoder record carries the master's parameter
sets and the encoder's under an identifier that the master does not use, so that every copied
packet stays as it was. New pictures take the master's own times: the n-th shown has the time of
the master's n-th shown, the n-th decoded that of its n-th decoded.

The format's words: ITU-T H.264, ISO/IEC 14496-12 and 14496-15; the options are those of x264.
"""

from __future__ import annotations

import hashlib
import json
import os
import zlib
from array import array
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice
from math import lcm
from pathlib import Path
from typing import TYPE_CHECKING, Any

from studio.errors import WorkFailed
from studio.film.ahead import ahead
from studio.film.avc import (
    IDR,
    PARAMETER_SETS,
    Record,
    read_sequence,
    sample_entries,
    unit_types,
)
from studio.film.drawing import Drawing, LaidCard, digest_of, packets_from, pictures_of
from studio.film.probe import Footage
from studio.film.ranges import PictureIndex, Piece, reorder_allowed

if TYPE_CHECKING:
    from av.container import InputContainer, OutputContainer
    from av.packet import Packet as AnyPacket
    from av.video.codeccontext import VideoCodecContext
    from av.video.frame import VideoFrame
    from av.video.stream import VideoStream

    Packet = AnyPacket[Any]

# profile_idc (H.264 annex A) in x264's words; other profiles have other pixels or are rare.
_PROFILES = {66: "baseline", 77: "main", 100: "high"}

# By how many pictures encoder settings hold pictures back: none, one with B-frames, two where
# other pictures may depend on them.
_REORDERING: tuple[dict[str, str], ...] = (
    {"bf": "0"},
    {"x264": "b-pyramid=none"},
    {},
)


_MOST_TICKS = 100_000_000
"""More units in a second a film is not counted in (ours)."""

_MOST_THREADS = 16
"""More threads than this the encoder makes nothing of (ours)."""

_AHEAD = 8
"""So many pictures are decoded and drawn on before the encoder asks for them (ours)."""


_IN_ONE_GO = "export it as MP4 with H.264, encoded in one go"


class CannotCopy(Exception):
    """This film cannot be burned by copying; the text says why, as the rest of a sentence."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A film's tracks, read through.

    Attributes:
        index: of the pictures.
        sounds: one fingerprint of all packets and times for each sound track.
        digest: of the file: its size, its pictures' index and their contents.
    """

    index: PictureIndex
    sounds: tuple[str, ...]
    digest: str


@dataclass(frozen=True, slots=True)
class Survey:
    """A master that may be burned by copying.

    Attributes:
        footage: what it holds.
        reading: its tracks.
        record: its decoder configuration record.
        set_id: the lowest identifier that no parameter set of it has.
        ticks: units in a second in which every track's start is a whole number; 0 where all tracks
            start together and it does not matter.
    """

    footage: Footage
    reading: Reading
    record: Record
    set_id: int
    ticks: int

    @property
    def index(self) -> PictureIndex:
        """The master's pictures."""
        return self.reading.index


def read_through(path: Path, look_at: Callable[[Packet], None] | None = None) -> Reading:
    """Read every packet of a film.

    Args:
        path: the film.
        look_at: called with each packet of its pictures.

    Raises:
        ValueError: its pictures' times are not sound.
    """
    import av

    pts, dts, sizes, checks = array("q"), array("q"), array("q"), array("Q")
    keys: list[int] = []
    last_duration = 0
    with av.open(str(path)) as container:
        pictures = pictures_of(container)
        sounds = {stream.index: hashlib.sha256() for stream in container.streams.audio}
        ticks = {
            stream.index: (1_000_000 * (stream.time_base or Fraction(1))).as_integer_ratio()
            for stream in container.streams.audio
        }
        for packet in container.demux(pictures, *container.streams.audio):
            if packet.size == 0:
                continue
            if packet.pts is None or packet.dts is None:
                raise ValueError("a packet has no time")
            check = zlib.crc32(packet)
            if packet.stream_index != pictures.index:
                # by whole numbers: a fraction for each of a film's packets of sound takes longer
                # than reading it
                over, under = ticks[packet.stream_index]
                shown, decoded = (
                    (2 * at * over + under) // (2 * under) for at in (packet.pts, packet.dts)
                )
                sounds[packet.stream_index].update(
                    f"{shown} {decoded} {packet.size} {check}\n".encode("ascii")
                )
                continue
            if look_at is not None:
                look_at(packet)
            if packet.is_keyframe:
                keys.append(len(pts))
            last_duration = packet.duration or 0
            pts.append(packet.pts)
            dts.append(packet.dts)
            sizes.append(packet.size)
            checks.append(check)
        base = pictures.time_base
        if base is None:
            raise ValueError("its pictures have no times")
    index = PictureIndex(
        base, pts, dts, keys, sizes=sizes, checks=checks, last_duration=last_duration
    )
    whole = f"{path.stat().st_size} {index.digest()}"
    return Reading(
        index,
        tuple(one.hexdigest() for one in sounds.values()),
        hashlib.sha256(whole.encode("ascii")).hexdigest(),
    )


def survey(footage: Footage) -> Survey:
    """Read a master through and tell how it is burned by copying.

    Raises:
        CannotCopy: it has something that does not go with copying.
    """
    import av

    with av.open(str(footage.path)) as container:
        stream = pictures_of(container)
        context = stream.codec_context
        if "mp4" not in container.format.name:
            raise CannotCopy("the master is no MP4 or MOV file; export it as MP4")
        if footage.codec != "h264":
            raise CannotCopy(
                f"the master's pictures are {footage.codec.upper()} and not H.264; "
                "export it as H.264"
            )
        if footage.rotation:
            raise CannotCopy(
                "the master is stored turned and the film is upright; export it upright, its "
                "pictures turned by the editor"
            )
        if context.pix_fmt != "yuv420p" or footage.colour_range == "pc":
            raise CannotCopy(
                f"the master's pixels are {footage.pixel_format} and not 8-bit 4:2:0 of limited "
                "range; export it as 8-bit 4:2:0 with video levels"
            )
        if container.start_time:
            raise CannotCopy(
                "the master's tracks do not begin at its very start; export it anew from the "
                "timeline's beginning"
            )
        if context.codec_tag != "avc1" or sample_entries(footage.path, stream.id) != ("avc1",):
            raise CannotCopy(
                "the master's track changes its way of coding, or keeps it elsewhere; " + _IN_ONE_GO
            )
        extradata = context.extradata or b""
        ticks = _ticks(container, stream)
    try:
        record = Record.read(extradata)
        sequences = [read_sequence(unit) for unit in record.sequences]
        set_id = record.free_id()
    except ValueError as error:
        raise CannotCopy(f"{error} in the master; {_IN_ONE_GO}") from error
    if record.profile not in _PROFILES:
        raise CannotCopy(
            f"the master is of the rare H.264 profile {record.profile}; export it with profile High"
        )
    if not all(one.frames_only for one in sequences):
        raise CannotCopy(
            "the master is coded for interlaced pictures; export it progressive, without fields"
        )
    if not all(one.eight_bit_420 for one in sequences) or record.length_size != 4:
        raise CannotCopy(
            "the master's H.264 is of a rare kind; export it with profile High, 8-bit 4:2:0"
        )
    if set_id is None:
        raise CannotCopy(f"the master uses up every parameter set; {_IN_ONE_GO}")
    try:
        reading = read_through(footage.path, _require_plain)
    except ValueError as error:
        raise CannotCopy(f"{error} in the master; {_IN_ONE_GO}") from error
    index = reading.index
    if index.open_group() is not None:
        raise CannotCopy(
            "the master has open groups of pictures; export it with closed ones (closed GOP)"
        )
    return Survey(footage, reading, record, set_id, ticks)


def _ticks(container: InputContainer, pictures: VideoStream) -> int:
    late = [one for one in (pictures, *container.streams.audio) if (one.start_time or 0) > 0]
    bases = [one.time_base.denominator for one in late if one.time_base is not None]
    return lcm(*bases) if bases else 0


def _require_plain(packet: Packet) -> None:
    if packet.is_discard:
        raise CannotCopy(
            "the master hides pictures by an edit list; export it anew, with its cuts encoded"
        )
    if packet.has_sidedata("new_extradata"):
        raise CannotCopy(f"the master's track changes its way of coding; {_IN_ONE_GO}")
    found = set(unit_types(memoryview(packet)))
    if packet.is_keyframe and IDR not in found:
        raise CannotCopy(
            "the master has key frames that are no IDR, as in open groups of pictures; export it "
            "with closed ones (closed GOP), or, where it has them already, without key frames at "
            "changes of scene (x264: scenecut=0)"
        )
    if found & PARAMETER_SETS:
        raise CannotCopy(
            "the master repeats its parameter sets among its pictures; export it with headers in "
            "the file alone (x264: repeat-headers=0)"
        )


# --- encoding ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Settings:
    """How new pictures are encoded: options of the encoder, and what the film says of itself."""

    options: tuple[tuple[str, str], ...]
    size: tuple[int, int]
    fps: Fraction
    aspect: Fraction
    tags: tuple[int, int, int, int]

    def text(self) -> str:
        """All of it and the encoder's version, so that equal texts make joinable pictures."""
        import av

        return json.dumps([str(self), av.__version__, av.library_versions["libavcodec"]])

    def encoder(self) -> VideoCodecContext:
        """A new encoder, open."""
        import av
        from av.codec.context import Flags, ThreadType

        made = av.CodecContext.create("libx264", "w")
        made.width, made.height = self.size
        made.pix_fmt = "yuv420p"
        made.time_base, made.framerate = 1 / self.fps, self.fps
        made.sample_aspect_ratio = self.aspect
        made.color_range, made.colorspace, made.color_primaries, made.color_trc = self.tags
        # slices, PyAV's own choice, would cost size
        made.thread_type = ThreadType.FRAME
        # x264's own choice is half as many again, which takes a twentieth more processor time;
        # what waits meanwhile has the decoder to run (measured)
        made.thread_count = min(_MOST_THREADS, os.cpu_count() or 1)
        made.flags |= int(Flags.global_header)
        made.options = dict(self.options)
        made.open()
        return made


def settings_for(master: Survey, parts: Sequence[Piece], preset: str, crf: str) -> Settings:
    """Encoder settings that go with the master and keep its times.

    Args:
        master: the film.
        parts: what will be encoded.
        preset: x264's.
        crf: x264's constant rate factor, as text.
    """
    import av

    footage = master.footage
    delay = _REORDERING[reorder_allowed(parts, master.index)]
    with av.open(str(footage.path)) as container:
        context = pictures_of(container).codec_context
        tags = (
            int(context.color_range),
            int(context.colorspace),
            int(context.color_primaries),
            int(context.color_trc),
        )
        aspect = context.sample_aspect_ratio or Fraction(1)
        size = (context.width, context.height)
    special = ["annexb=0", "stitchable=1", f"sps-id={master.set_id}"]
    special += [delay["x264"]] if "x264" in delay else []
    options = {
        "preset": preset,
        "crf": crf,
        "profile": _PROFILES[master.record.profile],
        "level": f"{master.record.level / 10:.1f}",
        # a player jumps to key frames: one every two seconds, and where a picture asks for it
        "g": str(round(2 * footage.fps)),
        "forced-idr": "1",
        "x264-params": ":".join(special),
    }
    if "bf" in delay:
        options["bf"] = delay["bf"]
    return Settings(tuple(sorted(options.items())), size, footage.fps, aspect, tags)


@dataclass(frozen=True, slots=True)
class MadePiece:
    """A stretch that was encoded: where, what was drawn on it, and a digest of its packets."""

    start: int
    beyond: int
    drawn: str
    packets: str


@dataclass(frozen=True, slots=True)
class LastFilm:
    """A film burned before from the same master, whose stretches may be taken over."""

    path: Path
    pieces: tuple[MadePiece, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """All that decides the pictures of a film.

    Attributes:
        master: what it is made from.
        settings: of the encoder.
        cards: what is laid on.
        parts: what is encoded, in order.
        key_pictures: numbers of pictures that become key frames where they are encoded.
    """

    master: Survey
    settings: Settings
    cards: tuple[LaidCard, ...]
    parts: tuple[Piece, ...]
    key_pictures: frozenset[int]

    def drawn(self) -> tuple[str, ...]:
        """For each part a digest of what is drawn on it and of where its key frames are."""
        cards = {card.showing.number: card for card in self.cards}
        return tuple(digest_of(part, cards, self.key_pictures) for part in self.parts)

    def taken_over(self, last: LastFilm | None) -> dict[int, MadePiece]:
        """Parts that the last film has already, by their place in ``parts``."""
        if last is None:
            return {}
        had = {(one.start, one.beyond, one.drawn): one for one in last.pieces}
        wanted = zip(self.parts, self.drawn(), strict=True)
        found = {
            place: had.get((part.start, part.beyond, drawn))
            for place, (part, drawn) in enumerate(wanted)
        }
        return {place: one for place, one in found.items() if one is not None}


def write_pictures(
    plan: Plan, out: Path, *, last: LastFilm | None = None, progress: Callable[[int], None]
) -> tuple[MadePiece, ...]:
    """Write the film's pictures, no sound, to ``out``.

    Args:
        plan: what to write.
        out: an MP4 file.
        last: a film to take unchanged stretches from.
        progress: called with the number of pictures encoded so far.

    Returns:
        What was encoded or taken over, in order.

    Raises:
        CannotCopy: the encoder's pictures do not fit the film's times, or the last film's do not.
        OSError: the disk is full, or a file went away.
        WorkFailed: the master broke off.
    """
    import av

    master, index = plan.master, plan.master.index
    path = str(master.footage.path)
    with av.open(path) as source, av.open(path) as decoded:
        options = {"video_track_timescale": str(index.time_base.denominator)}
        options |= fine_edits(master.ticks)
        with av.open(str(out), "w", format="mp4", options=options) as film:
            return _Writer(plan, source, decoded, film, last, progress).write()


def fine_edits(ticks: int) -> dict[str, str]:
    """Options of an MP4 whose tracks start apart: their starts are rounded to milliseconds else."""
    return {"movie_timescale": str(ticks)} if 0 < ticks <= _MOST_TICKS else {}


class _Writer:
    """Goes through the master once, copying; pictures to encode are decoded beside that.

    They are decoded and drawn on in one thread and encoded in another, a few ahead, so that both
    cores of a small machine have work.
    """

    def __init__(
        self,
        plan: Plan,
        source: InputContainer,
        decoded: InputContainer,
        film: OutputContainer,
        last: LastFilm | None,
        progress: Callable[[int], None],
    ) -> None:
        self._plan, self._source, self._last, self._progress = plan, source, last, progress
        self._index = plan.master.index
        self._film = film
        self._stream = pictures_of(source)
        self._drawing = Drawing(
            decoded, self._index, plan.settings.fps, plan.cards, plan.key_pictures
        )
        self._track = film.add_stream_from_template(self._stream, opaque=True)
        record = plan.master.record
        self._encoder = plan.settings.encoder() if plan.parts else None
        if self._encoder is not None:
            record = record.with_sets_of(Record.read(self._encoder.extradata or b""))
        self._track.codec_context.extradata = record.written()
        self._done = 0

    def write(self) -> tuple[MadePiece, ...]:
        kept = self._plan.taken_over(self._last)
        new = [part for place, part in enumerate(self._plan.parts) if place not in kept]
        with (
            ahead(self._drawing.pictures(new), _AHEAD) as pictures,
            ahead(self._encoded(pictures) if new else iter(()), _AHEAD) as encoded,
        ):
            return self._write(kept, encoded)

    def _write(
        self, kept: Mapping[int, MadePiece], encoded: Iterator[Packet]
    ) -> tuple[MadePiece, ...]:
        packets = self._packets()
        made = []
        at = 0
        for place, part in enumerate(self._plan.parts):
            self._copy(packets, at, part.start)
            for _ in range(part.start, part.beyond):
                self._next(packets)
            at = part.beyond
            if place in kept:
                made.append(self._take_over(kept[place]))
            else:
                packed = self._put_encoded(part, encoded)
                # all its pictures are drawn on, so its cards are what they will be
                drawn = digest_of(part, self._drawing.cards, self._plan.key_pictures)
                made.append(MadePiece(part.start, at, drawn, packed))
        self._copy(packets, at, len(self._index))
        if next(packets, None) is not None:
            raise WorkFailed("the master grew while it was burned; start again")
        return tuple(made)

    def _packets(self) -> Iterator[Packet]:
        return (packet for packet in self._source.demux(self._stream) if packet.size)

    def _next(self, packets: Iterator[Packet]) -> Packet:
        packet = next(packets, None)
        if packet is None:
            raise WorkFailed(
                f"{self._plan.master.footage.path} broke off while it was burned; export or copy "
                "it again"
            )
        return packet

    def _put(self, packet: Packet, place: int, pts: int) -> None:
        """Put a packet into the film, at a place in order of decoding."""
        dts = self._index.dts
        if pts < dts[place]:
            raise CannotCopy("the encoder's order of pictures does not fit the master's times")
        packet.pts, packet.dts = pts, dts[place]
        if place + 1 < len(dts):
            packet.duration = dts[place + 1] - dts[place]
        else:
            packet.duration = self._index.last_duration
        packet.time_base = self._index.time_base
        packet.stream = self._track
        self._film.mux_one(packet)

    def _copy(self, packets: Iterator[Packet], at: int, beyond: int) -> None:
        for place in range(at, beyond):
            self._put(self._next(packets), place, self._index.pts[place])

    def _take_over(self, piece: MadePiece) -> MadePiece:
        import av

        assert self._last is not None
        found = hashlib.sha256()
        place = piece.start
        with av.open(str(self._last.path)) as film:
            for packet in packets_from(film, pictures_of(film), self._index.dts[place]):
                if place == piece.beyond:
                    break
                if packet.dts != self._index.dts[place] or packet.pts is None:
                    raise CannotCopy("the last film has other times")
                found.update(memoryview(packet))
                self._put(packet, place, packet.pts)
                place += 1
        if place != piece.beyond or found.hexdigest() != piece.packets:
            raise CannotCopy("the last film was changed")
        return piece

    def _put_encoded(self, part: Piece, encoded: Iterator[Packet]) -> str:
        """Put the new packets of one part, which come next; returns their digest."""
        found = hashlib.sha256()
        before, length = self._done, part.beyond - part.start
        for place, packet in enumerate(islice(encoded, length), part.start):
            shown = -1 if packet.pts is None else packet.pts - before
            if not 0 <= shown < length:
                raise CannotCopy("the encoder mixed the pictures of two parts")
            found.update(memoryview(packet))
            self._put(packet, place, self._index.shown[part.start + shown])
            self._done += 1
            self._progress(self._done)
        if self._done != before + length:
            raise WorkFailed(f"the encoder lost pictures between {part.start} and {part.beyond}")
        return found.hexdigest()

    def _encoded(self, pictures: Iterator[VideoFrame]) -> Iterator[Packet]:
        """The packets of all new parts, in order of decoding, made from their pictures in order.

        One encoder makes them all, each part from a key frame of its own on: to start one takes as
        much time as some twenty pictures, and filling and emptying what it holds back to look
        ahead leaves cores without work (measured).
        """
        assert self._encoder is not None
        for picture in pictures:
            yield from self._encoder.encode(picture)
        yield from self._encoder.encode(None)


# --- afterwards -------------------------------------------------------------------------------


def require_exact(plan: Plan, film: Path) -> Reading:
    """Compare a finished film with its master, packet by packet, and return its reading.

    Raises:
        CannotCopy: a time, a copied picture or the sound is not as in the master.
    """
    try:
        reading = read_through(film)
    except ValueError as error:
        raise CannotCopy(f"{error} in the film that came out") from error
    ours, theirs = reading.index, plan.master.index
    # inside a part the encoder may choose another order, in the same places
    if (ours.time_base, ours.shown, ours.dts) != (theirs.time_base, theirs.shown, theirs.dts):
        raise CannotCopy("copying moved pictures in time")
    ends = [0, *(part.beyond for part in plan.parts)]
    starts = [*(part.start for part in plan.parts), len(theirs)]
    if any(
        mine[low:high] != other[low:high]
        for low, high in zip(ends, starts, strict=True)
        for mine, other in ((ours.checks, theirs.checks), (ours.pts, theirs.pts))
    ):
        raise CannotCopy("copying changed pictures")
    if reading.sounds != plan.master.reading.sounds:
        raise CannotCopy("copying changed the sound")
    return reading
