"""Which masters are burned by copying, and why others are not."""

from __future__ import annotations

import dataclasses
import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import av
import imageio_ffmpeg
import pytest

from studio import cli
from studio.episode.records import Episode
from studio.film.avc import Record, picture_set_id, read_sequence, sample_entries, unit_types
from studio.film.burn import ENGINES, burn
from studio.film.exact import CannotCopy, survey
from studio.film.probe import probe

pytestmark = pytest.mark.usefixtures("unread_type")

MakeFilm = Callable[..., Path]

PLAIN = ("-pix_fmt", "yuv420p", "-g", "25")


def why_not(master: Path) -> str:
    """Why a master is not burned by copying; empty when it is."""
    try:
        survey(probe(master))
    except CannotCopy as why:
        return str(why)
    return ""


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ((), "plain.mp4"),
        ((), "plain.mov"),
        (("-movflags", "+faststart"), "faststart.mp4"),
        (("-movflags", "frag_keyframe+delay_moov"), "fragments.mp4"),
        # without an edit list the first picture is late by what B-frames hold back
        (("-movflags", "frag_keyframe+empty_moov"), "late.mp4"),
        (("-profile:v", "baseline"), "baseline.mp4"),
        (("-bf", "0", "-x264-params", "cabac=0"), "simple.mp4"),
        (("-x264-params", "sps-id=3:slices=4"), "third.mp4"),
        (("-video_track_timescale", "600"), "coarse.mp4"),
    ],
)
def test_these_are_burned_by_copying(
    make_film: MakeFilm, sample_episode: Episode, arguments: tuple[str, ...], name: str
) -> None:
    master = make_film(*PLAIN, *arguments, name=name, seconds=6, size="160x90")
    assert why_not(master) == ""
    report = burn(sample_episode, master, master.parent / "out" / "film.mp4")
    assert (report.engine, [note for note in report.notes if "whole film" in note]) == ("exact", [])


@pytest.mark.parametrize(
    ("arguments", "name", "said"),
    [
        (("-bf", "3", "-x264-params", "open-gop=1:scenecut=0:b-adapt=0"), "m.mp4", "open groups"),
        (("-x264-params", "intra-refresh=1", "-bf", "0"), "m.mp4", "open groups"),
        (("-x264-params", "repeat-headers=1"), "m.mp4", "repeats its parameter sets"),
        (("-tag:v", "avc3"), "m.mp4", "way of coding"),
        (("-c:v", "libx265", "-x265-params", "log-level=none"), "m.mp4", "HEVC"),
        (("-c:v", "mpeg4"), "m.mp4", "MPEG4"),
        (("-pix_fmt", "yuvj420p"), "m.mp4", "8-bit 4:2:0"),
        (("-pix_fmt", "yuv422p"), "m.mp4", "8-bit 4:2:0"),
        (("-pix_fmt", "yuv420p10le"), "m.mp4", "8-bit 4:2:0"),
        (("-flags", "+ilme+ildct", "-vf", "setfield=tff"), "m.mp4", "interlaced"),
        ((), "m.mkv", "no MP4"),
    ],
)
def test_these_are_not_and_say_why(
    make_film: MakeFilm, arguments: tuple[str, ...], name: str, said: str
) -> None:
    why = why_not(make_film(*PLAIN, *arguments, name=name, seconds=4))
    assert said in why
    # and with which setting it would be
    assert "; export it " in why


@pytest.mark.parametrize(
    "arguments", ["open-gop=1:scenecut=0:b-adapt=0", "intra-refresh=1:bframes=0"]
)
def test_key_frames_that_are_no_idr_get_advice_for_closed_groups_too(
    make_film: MakeFilm, arguments: str
) -> None:
    """Grain without end makes such key frames in closed groups as well: a scene change each."""
    why = why_not(make_film(*PLAIN, "-bf", "3", "-x264-params", arguments, name="m.mp4", seconds=4))
    assert "no IDR" in why
    assert "closed GOP" in why
    assert "scenecut=0" in why


def test_times_and_turns_that_do_not_go_with_copying(
    make_film: MakeFilm, run_ffmpeg: Callable[..., bytes], tmp_path: Path
) -> None:
    flat = make_film(*PLAIN, seconds=4)

    def copied(*before: str, after: tuple[str, ...] = ()) -> str:
        out = tmp_path / "other.mp4"
        run_ffmpeg(*before, "-i", str(flat), "-c", "copy", *after, str(out))
        return why_not(out)

    assert copied() == ""
    assert "turned by the editor" in copied("-display_rotation", "90")
    # cut in the middle of a group: players hide what lies before
    assert "hides pictures by an edit list; export it" in copied("-ss", "1.5")
    assert copied("-itsoffset", "0.5", after=("-avoid_negative_ts", "disabled")) != ""


def test_a_track_that_changes_its_way_of_coding_is_seen(
    make_film: MakeFilm, tmp_path: Path
) -> None:
    """Two sample entries: the second is put in by hand, as some recorders do."""
    master = make_film(*PLAIN, seconds=1)
    with av.open(str(master)) as container:
        track = container.streams.video[0].id
    assert sample_entries(master, track) == ("avc1",)
    held = master.read_bytes()
    at = held.index(b"stsd") - 4
    size = int.from_bytes(held[at : at + 4], "big")
    entry = held[at + 16 : at + size]
    parents = [
        held.rindex(name, 0, at) - 4 for name in (b"moov", b"trak", b"mdia", b"minf", b"stbl")
    ]
    changed = bytearray(held[: at + size] + entry + held[at + size :])
    for place in (*parents, at):
        longer = int.from_bytes(changed[place : place + 4], "big") + len(entry)
        changed[place : place + 4] = longer.to_bytes(4, "big")
    changed[at + 12 : at + 16] = (2).to_bytes(4, "big")
    two = tmp_path / "two.mp4"
    two.write_bytes(changed)
    assert sample_entries(two, track) == ("avc1", "avc1")
    assert "way of coding" in why_not(two)
    assert sample_entries(two, track + 5) == ()
    (tmp_path / "none").write_bytes(b"\0\0\0\1moov")
    assert sample_entries(tmp_path / "none", 1) == ()


def test_another_master_is_encoded_whole_and_the_report_says_why(
    make_film: MakeFilm, sample_episode: Episode, tmp_path: Path
) -> None:
    master = make_film(*PLAIN, name="m.mkv", seconds=6, size="160x90")
    told: list[str] = []
    report = burn(sample_episode, master, tmp_path / "film.mp4", tell=told.append)
    assert (report.engine, report.encoded, report.frames) == ("moviepy", 150, 150)
    assert any("whole film" in note and "no MP4" in note for note in report.notes)
    (line,) = told
    assert line.startswith(
        "All 150 pictures are encoded: the master is no MP4 or MOV file; export "
    )


def test_what_will_be_encoded_is_told_before(
    small_master: Path, sample_episode: Episode, tmp_path: Path
) -> None:
    told: list[str] = []

    def tell(sentence: str) -> None:
        assert not (tmp_path / "film.mp4").exists()
        told.append(sentence)

    first = sample_episode.cards[0]
    row = dataclasses.replace(first.rows[1], where="")
    loose = dataclasses.replace(first, heading="Mark", rows=(row,), start_ms=0, end_ms=4_300)
    one = dataclasses.replace(sample_episode, cards=(loose,))
    report = burn(one, small_master, tmp_path / "film.mp4", tell=tell)
    # pictures 0 to 107, five words: the key frame at 4 s lies behind the three seconds they need
    assert report.encoded == 100
    assert told[0] == (
        "100 of 150 pictures (67 %) are encoded, the other 50 and the sound are copied unchanged."
    )
    assert told[1] == "Each overlay may end once it has been read: 1 from 0:03.0."
    assert told[2].endswith(": 1 at 0:04.0, not 0:04.3 (read by 0:03.0).")
    (ending,) = report.endings
    assert (ending.planned_ms, ending.burnt_ms) == (4_300, 4_000)
    assert ending.least_ms == 3_000
    told.clear()
    burn(one, small_master, tmp_path / "film.mp4", tell=told.append)
    assert told[0] == (
        "0 of 150 pictures (0 %) are encoded, 100 are taken from the last film, the other 50 and "
        "the sound are copied unchanged."
    )


def test_the_engines_may_be_asked_for() -> None:
    parsed = [
        cli.parser().parse_args(["burn", "d.yaml", "--master", "m.mp4", "--engine", engine]).engine
        for engine in ENGINES
    ]
    assert parsed == list(ENGINES)
    assert cli.parser().parse_args(["burn", "d.yaml", "--master", "m.mp4"]).engine == "exact"


def test_nothing_to_draw_is_a_copy(
    small_master: Path, sample_episode: Episode, tmp_path: Path
) -> None:
    bare = dataclasses.replace(sample_episode, cards=())
    report = burn(bare, small_master, tmp_path / "film.mp4")
    assert (report.engine, report.encoded) == ("exact", 0)
    with av.open(str(small_master)) as one, av.open(str(tmp_path / "film.mp4")) as two:
        pictures = [
            [bytes(packet) for packet in film.demux(video=0) if packet.size] for film in (one, two)
        ]
    assert pictures[0] == pictures[1]


def test_a_record_whose_film_is_none_is_no_hindrance(
    small_master: Path, sample_episode: Episode, run_ffmpeg: Callable[..., bytes], tmp_path: Path
) -> None:
    out = tmp_path / "film.mp4"
    assert burn(sample_episode, small_master, out).taken_over == 0
    assert burn(sample_episode, small_master, out).taken_over > 0
    sound = tmp_path / "sound.mp4"
    run_ffmpeg("-i", str(out), "-map", "0:a", "-c", "copy", str(sound))
    for content in (b"", b"no film", out.read_bytes()[:50_000], sound.read_bytes()):
        out.write_bytes(content)
        assert burn(sample_episode, small_master, out).taken_over == 0
    out.unlink()
    assert burn(sample_episode, small_master, out).taken_over == 0


# --- parameter sets ---------------------------------------------------------------------------


def traced(film: Path) -> dict[str, list[int]]:
    """Fields of the parameter sets as ffmpeg's own tracer reads them."""
    command = [
        imageio_ffmpeg.get_ffmpeg_exe(), "-v", "trace", "-i", str(film), "-frames:v", "1",
        "-c", "copy", "-an", "-bsf:v", "trace_headers", "-f", "null", "-",
    ]  # fmt: skip
    text = subprocess.run(command, check=True, capture_output=True).stderr.decode(errors="replace")
    out: dict[str, list[int]] = {}
    for name, value in re.findall(r"(\w+)\s+[01]+ = (-?\d+)\s*$", text, re.MULTILINE):
        out.setdefault(name, []).append(int(value))
    return out


@pytest.mark.parametrize(
    "arguments",
    [
        ("-x264-params", "sps-id=0"),
        ("-x264-params", "sps-id=7"),
        ("-x264-params", "sps-id=31:cqm=jvt"),
        ("-profile:v", "baseline"),
        ("-flags", "+ilme+ildct"),
        ("-bf", "0", "-x264-params", "b-pyramid=0:ref=1"),
    ],
)
def test_parameter_sets_are_read_as_ffmpeg_reads_them(
    make_film: MakeFilm, arguments: tuple[str, ...]
) -> None:
    """Reference: FFmpeg's bitstream filter ``trace_headers``."""
    film = make_film("-pix_fmt", "yuv420p", *arguments)
    with av.open(str(film)) as container:
        extradata = container.streams.video[0].codec_context.extradata
    assert extradata is not None
    record = Record.read(extradata)
    fields = traced(film)
    (sequence,) = (read_sequence(unit) for unit in record.sequences)
    assert sequence.id == fields["seq_parameter_set_id"][0]
    assert sequence.frames_only == bool(fields["frame_mbs_only_flag"][0])
    assert sequence.eight_bit_420
    assert [picture_set_id(unit) for unit in record.pictures] == [fields["pic_parameter_set_id"][0]]
    assert record.length_size == fields.get("nal_unit_length_size_minus1", [3])[0] + 1
    assert record.written() == extradata
    assert record.free_id() == (1 if sequence.id == 0 else 0)
    assert record.with_sets_of(record).written() != extradata


def test_broken_parameter_sets_are_told() -> None:
    for data in (b"", b"\0" * 9, b"\1dd\0\xff\xe1\0\x19gd", b"\1dd\0\xff\xe1\0\0"):
        with pytest.raises(ValueError, match="decoder configuration record"):
            Record.read(data)
    for read in (read_sequence, picture_set_id):
        for data in (b"\x67", b"\x67" + b"\0" * 40):
            with pytest.raises(ValueError, match="parameter set"):
                read(data)


def test_units_are_parted_by_their_lengths() -> None:
    picture = b"\0\0\0\2\x06\1" + b"\0\0\0\1\x65"
    assert list(unit_types(picture)) == [6, 5]
    for broken in (picture + b"\0", b"\0\0\0\0", b"\0\0\0\x09\x65"):
        with pytest.raises(ValueError, match="lengths"):
            list(unit_types(broken))
