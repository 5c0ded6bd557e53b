"""What H.264 in an MP4 says about itself: parameter sets, units of a picture, sample entries.

Sources: ITU-T H.264 clause 7.3 (syntax) and annex B.1's counterpart in ISO/IEC 14496-15 (units
behind their lengths, the record ``avcC``); ISO/IEC 14496-12 (boxes). Only what a burn must know
is read; nothing is written but the record with more parameter sets in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO

IDR = 5
"""Unit type of a slice of a picture from which decoding can begin (H.264 table 7-1)."""

PARAMETER_SETS = frozenset({7, 8})
"""Unit types of sequence and picture parameter sets (H.264 table 7-1)."""

_MOST_IDS = 32
"""Sequence parameter sets have identifiers 0 to 31 (H.264 clause 7.4.2.1.1)."""

# profiles whose sequence parameter sets tell chroma format and bit depth (H.264 7.3.2.1.1)
_HIGH_PROFILES = frozenset({100, 110, 122, 244, 44, 83, 86, 118, 128, 138, 139, 134, 135})


class _Bits:
    """Bits of a unit's payload, emulation prevention bytes (00 00 03) taken out."""

    def __init__(self, unit: bytes) -> None:
        self._data = unit.replace(b"\0\0\3", b"\0\0")
        self._at = 0

    def read(self, count: int) -> int:
        """The next ``count`` bits as a number."""
        value = 0
        for _ in range(count):
            value = value << 1 | self._data[self._at >> 3] >> (7 - (self._at & 7)) & 1
            self._at += 1
        return value

    def ue(self) -> int:
        """An unsigned Exp-Golomb number (H.264 clause 9.1)."""
        zeros = 0
        while not self.read(1):
            zeros += 1
            if zeros > 32:
                raise ValueError("no such number in a parameter set")
        return (1 << zeros) - 1 + self.read(zeros)

    def se(self) -> int:
        """A signed Exp-Golomb number (H.264 clause 9.1.1)."""
        code = self.ue()
        return (code + 1) // 2 if code % 2 else -(code // 2)


@dataclass(frozen=True, slots=True)
class Sequence:
    """What a sequence parameter set says.

    Attributes:
        id: its identifier, 0 to 31.
        eight_bit_420: whether it is 4:2:0 with 8 bits.
        frames_only: whether no picture is made of fields.
    """

    id: int
    eight_bit_420: bool
    frames_only: bool


def read_sequence(unit: bytes) -> Sequence:
    """Read a sequence parameter set (H.264 clause 7.3.2.1.1).

    Raises:
        ValueError: it is none, or is broken off.
    """
    try:
        bits = _Bits(unit[1:])
        profile = bits.read(8)
        bits.read(16)
        number = bits.ue()
        chroma, depths = 1, [0, 0]
        if profile in _HIGH_PROFILES:
            chroma = bits.ue()
            if chroma == 3:
                bits.read(1)
            depths = [bits.ue(), bits.ue()]
            bits.read(1)
            if bits.read(1):
                for place in range(8 if chroma != 3 else 12):
                    if bits.read(1):
                        _skip_scaling(bits, 16 if place < 6 else 64)
        bits.ue()
        order = bits.ue()
        if order == 0:
            bits.ue()
        elif order == 1:
            bits.read(1)
            bits.se()
            bits.se()
            for _ in range(bits.ue()):
                bits.se()
        bits.ue()
        bits.read(1)
        bits.ue()
        bits.ue()
        return Sequence(number, chroma == 1 and depths == [0, 0], bool(bits.read(1)))
    except IndexError:
        raise ValueError("a parameter set is broken off") from None


def _skip_scaling(bits: _Bits, count: int) -> None:
    last = following = 8
    for _ in range(count):
        if following:
            following = (last + bits.se()) % 256
        last = following or last


def picture_set_id(unit: bytes) -> int:
    """The identifier of a picture parameter set (H.264 clause 7.3.2.2).

    Raises:
        ValueError: it is broken off.
    """
    try:
        return _Bits(unit[1:]).ue()
    except IndexError:
        raise ValueError("a parameter set is broken off") from None


@dataclass(frozen=True, slots=True)
class Record:
    """A decoder configuration record, ``avcC`` (ISO/IEC 14496-15).

    Attributes:
        head: version, profile, compatibility and level, four bytes.
        length_size: bytes before each unit that tell its length.
        sequences: sequence parameter sets.
        pictures: picture parameter sets.
        rest: what follows them.
    """

    head: bytes
    length_size: int
    sequences: tuple[bytes, ...]
    pictures: tuple[bytes, ...]
    rest: bytes

    @property
    def profile(self) -> int:
        """The stream's profile_idc (H.264 annex A)."""
        return self.head[1]

    @property
    def level(self) -> int:
        """Ten times the stream's level (H.264 annex A)."""
        return self.head[3]

    @classmethod
    def read(cls, data: bytes) -> Record:
        """Take a record apart.

        Raises:
            ValueError: it is none.
        """
        if len(data) < 7 or data[0] != 1:
            raise ValueError("this is no decoder configuration record")
        at = 5
        sets: list[tuple[bytes, ...]] = []
        for mask in (0x1F, 0xFF):
            if at >= len(data):
                raise ValueError("the decoder configuration record is broken off")
            found, count = [], data[at] & mask
            at += 1
            for _ in range(count):
                size = int.from_bytes(data[at : at + 2], "big")
                unit = data[at + 2 : at + 2 + size]
                if not size or len(unit) != size:
                    raise ValueError("the decoder configuration record is broken off")
                found.append(unit)
                at += 2 + size
            sets.append(tuple(found))
        return cls(data[:4], (data[4] & 3) + 1, sets[0], sets[1], data[at:])

    def written(self) -> bytes:
        """The record as bytes."""
        out = bytearray(self.head)
        out.append(0xFC | self.length_size - 1)
        for reserved, sets in ((0xE0, self.sequences), (0, self.pictures)):
            out.append(reserved | len(sets))
            for unit in sets:
                out += len(unit).to_bytes(2, "big") + unit
        return bytes(out) + self.rest

    def with_sets_of(self, other: Record) -> Record:
        """This record with the parameter sets of another one too."""
        return replace(
            self,
            sequences=(*self.sequences, *other.sequences),
            pictures=(*self.pictures, *other.pictures),
        )

    def free_id(self) -> int | None:
        """The lowest identifier that no parameter set of either kind has; None when all are used.

        Raises:
            ValueError: a parameter set cannot be read.
        """
        used = {read_sequence(unit).id for unit in self.sequences}
        used |= {picture_set_id(unit) for unit in self.pictures}
        return next((number for number in range(_MOST_IDS) if number not in used), None)


def unit_types(picture: bytes | memoryview) -> Iterator[int]:
    """Types of the units in a picture's packet, each behind its length in four bytes.

    Raises:
        ValueError: the lengths do not add up.
    """
    at, whole = 0, len(picture)
    while at < whole:
        size = int.from_bytes(picture[at : at + 4], "big")
        if not size or at + 4 + size > whole:
            raise ValueError("a picture is not made of units behind their lengths")
        yield picture[at + 4] & 0x1F
        at += 4 + size


def sample_entries(path: Path, track_id: int) -> tuple[str, ...]:
    """Four-letter names of a track's sample entries, in order; empty when the file is no MP4."""
    with path.open("rb") as file:
        for track in _boxes(file, (b"moov", b"trak"), 0, path.stat().st_size):
            header = next(_boxes(file, (b"tkhd",), *track), None)
            if header is None or _track_id(file, header) != track_id:
                continue
            table = next(_boxes(file, (b"mdia", b"minf", b"stbl", b"stsd"), *track), None)
            if table is None:
                return ()
            # four bytes of version and flags, four bytes that count the entries
            start = table[0] + 8
            return tuple(name.decode("latin-1") for name, *_ in _each(file, start, table[1]))
    return ()


def _track_id(file: BinaryIO, header: tuple[int, int]) -> int:
    file.seek(header[0])
    content = file.read(24)
    # two times of four bytes each stand before it, of eight in version 1
    at = 20 if content[:1] == b"\1" else 12
    return int.from_bytes(content[at : at + 4], "big")


def _boxes(
    file: BinaryIO, names: tuple[bytes, ...], start: int, end: int
) -> Iterator[tuple[int, int]]:
    for name, inner, beyond in _each(file, start, end):
        if name == names[0]:
            if len(names) == 1:
                yield inner, beyond
            else:
                yield from _boxes(file, names[1:], inner, beyond)


def _each(file: BinaryIO, start: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    """Name, start of content and end of each box between two places of the file."""
    at = start
    while at + 8 <= end:
        file.seek(at)
        head = file.read(16)
        size, inner = int.from_bytes(head[:4], "big"), at + 8
        if size == 1:
            size, inner = int.from_bytes(head[8:16], "big"), at + 16
        elif size == 0:
            size = end - at
        if len(head) < 8 or size < inner - at or at + size > end:
            return
        yield head[4:8], inner, at + size
        at += size
