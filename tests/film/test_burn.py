"""Burning: right pictures, right colours, untouched sound, and all or nothing."""

from __future__ import annotations

import dataclasses
import io
import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest

from studio.episode.digest import said_digest
from studio.episode.records import Episode, FrameSize
from studio.errors import BadInput, WorkFailed
from studio.film import burn as burn_module
from studio.film import whole as whole_module
from studio.film.burn import ENGINES, BurnReport, Engine, burn
from studio.film.look import load_look
from studio.film.overlays import draw
from studio.film.probe import probe
from studio.film.reading_back import film_contents
from studio.film.telling import Bar
from studio.language import language_of
from studio.measure.trace import plain

pytestmark = pytest.mark.usefixtures("unread_type")


@pytest.fixture(scope="module", params=ENGINES)
def burned(
    small_master: Path, tmp_path_factory: pytest.TempPathFactory, request: Any
) -> BurnReport:
    """One burn of the sample episode with each engine that many tests look at."""
    folder = tmp_path_factory.mktemp("burned")
    made: Episode = request.getfixturevalue("sample_episode")
    report = burn(made, small_master, folder / "film.mp4", progress=False, engine=request.param)
    assert (report.engine, report.notes) == (request.param, ())
    return report


def planes(path: Path, wanted: set[int]) -> dict[int, tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Luma and both chroma planes of the pictures with these numbers."""
    found = {}
    with av.open(str(path)) as container:
        for index, frame in enumerate(container.decode(container.streams.video[0])):
            if index in wanted:
                stack = frame.to_ndarray(format="yuv420p").astype(int)
                height, width = frame.height, frame.width
                luma, chroma = stack[:height], stack[height:].reshape(2, height // 2, width // 2)
                found[index] = (luma, chroma[0], chroma[1])
    return found


def rgb_picture(path: Path, wanted: int) -> np.ndarray:
    """A picture as RGB by PyAV's own conversion, BT.709."""
    with av.open(str(path)) as container:
        for index, frame in enumerate(container.decode(container.streams.video[0])):
            if index == wanted:
                return frame.to_ndarray(format="rgb24", src_colorspace="ITU709").astype(float)
    raise AssertionError(f"no picture {wanted}")


def packets(path: Path) -> list[tuple[bytes, Fraction, Fraction]]:
    """Every sound packet's bytes, time and decoding time."""
    with av.open(str(path)) as container:
        stream = container.streams.audio[0]
        return [
            (bytes(p), p.pts * p.time_base, p.dts * p.time_base)
            for p in container.demux(stream)
            if p.size
        ]


def test_pictures_outside_the_cards_keep_brightness_and_colour(
    burned: BurnReport, small_master: Path, sample_episode: Episode
) -> None:
    """A wrong matrix shifts chroma by several steps; encoder noise has a mean near zero."""
    look = load_look("fernhollow")
    masks = [
        np.asarray(draw(card, FrameSize(320, 180), look))[:, :, 3] > 0
        for card in sample_episode.cards
    ]
    outside = ~(masks[0] | masks[1])
    # chroma samples next to a card's edge are shared with it
    coarse = outside.reshape(90, 2, 160, 2).all(axis=(1, 3))
    coarse = coarse & np.roll(coarse, 1, 0) & np.roll(coarse, -1, 0)
    coarse = coarse & np.roll(coarse, 1, 1) & np.roll(coarse, -1, 1)
    wanted = {5, 50, 90, 110, 145}
    before, after = planes(small_master, wanted), planes(burned.out, wanted)
    for index in wanted:
        for plane, (source, film) in enumerate(zip(before[index], after[index], strict=True)):
            where = outside if plane == 0 else coarse
            difference = (film - source)[where]
            assert abs(difference.mean()) < 0.5, (index, plane)
            assert np.abs(difference).mean() < 2.5, (index, plane)


@pytest.mark.parametrize(("card", "index"), [(0, 50), (1, 112)])
def test_a_card_is_on_the_film_as_it_was_drawn(
    burned: BurnReport, small_master: Path, sample_episode: Episode, card: int, index: int
) -> None:
    overlay = draw(sample_episode.cards[card], FrameSize(320, 180), load_look("fernhollow"))
    left, top, right, bottom = overlay.getbbox()
    source = rgb_picture(small_master, index)
    pixels = np.asarray(overlay, dtype=float)
    cover = pixels[:, :, 3:] / 255
    expected = pixels[:, :, :3] * cover + source * (1 - cover)
    film = rgb_picture(burned.out, index)
    box = np.s_[top:bottom, left:right]
    assert np.abs(film[box] - source[box]).mean() > 40
    # Compared in luma, as ITU-R BT.709 defines it: 4:2:0 has no colour as fine as these letters.
    luma = 16 + 219 / 255 * (expected @ [0.2126, 0.7152, 0.0722])
    filmed = planes(burned.out, {index})[index][0]
    assert np.abs(filmed[box] - luma[box]).mean() < 3
    plate = np.s_[bottom - 6 : bottom - 3, left + 12 : right - 12]
    assert np.abs(film[plate].mean(axis=(0, 1)) - expected[plate].mean(axis=(0, 1))).max() < 5


def test_a_card_shows_from_its_first_picture_to_its_last(
    burned: BurnReport, small_master: Path
) -> None:
    """1000 to 3000 ms at 25 pictures a second: pictures 25 to 74, faded at both ends."""
    wanted = {23, 24, 25, 28, 40, 60, 71, 74, 75, 76}
    before, after = planes(small_master, wanted), planes(burned.out, wanted)
    box = np.s_[12:80, 20:110]
    seen = {i: np.abs(after[i][0][box] - before[i][0][box]).mean() for i in wanted}
    assert max(seen[i] for i in (23, 24, 75, 76)) < 3
    assert 3 < seen[25] < seen[28] < seen[40]
    assert 3 < seen[74] < seen[71] < seen[60]


def test_same_pictures_rate_length_and_tags(burned: BurnReport, small_master: Path) -> None:
    master, film = probe(small_master), probe(burned.out)
    for field in (
        "frames",
        "fps",
        "duration_ms",
        "width",
        "height",
        "matrix",
        "colour_range",
        "primaries",
        "transfer",
        "start",
    ):
        assert getattr(film, field) == getattr(master, field), field
    assert (burned.frames, burned.cards, burned.cues, burned.chapters) == (150, 2, 3, 2)
    assert film.pixel_format == "yuv420p"


def test_sound_is_copied_byte_by_byte(burned: BurnReport, small_master: Path) -> None:
    copied = packets(burned.out)
    assert len(copied) > 200
    assert copied == packets(small_master)


def test_chapters_captions_and_title_are_inside(
    burned: BurnReport, run_ffmpeg: Callable[..., bytes]
) -> None:
    with av.open(str(burned.out)) as container:
        chapters = container.chapters()
        assert [chapter["metadata"]["title"] for chapter in chapters] == [
            "Mark; measure = mark",
            "Cut #2 \\ done",
        ]
        assert [(c["start"] * c["time_base"], c["end"] * c["time_base"]) for c in chapters] == [
            (0, 3),
            (3, 6),
        ]
        assert container.metadata["title"] == "Sample globe; 60\u00a0mm"
        (track,) = container.streams.subtitles
        assert track.language == "eng"
    # ffmpeg's SubRip writer gives the words and times back as a player would have them
    text = run_ffmpeg("-i", str(burned.out), "-map", "0:s:0", "-f", "srt", "-").decode()
    assert "Set in 17.5\u00a0mm\nfrom each corner." in text
    assert "Tom & Ann say: a < b <i>not slanted</i>" in text
    assert "00:00:03,100 --> 00:00:05,900" in text


def test_captions_inside_are_the_words_exactly(burned: BurnReport, sample_episode: Episode) -> None:
    contents = film_contents(burned.out)
    assert contents is not None
    assert [(held.start_ms, held.end_ms, held.text) for held in contents.captions] == [
        (cue.start_ms, cue.end_ms, plain(cue.text)) for cue in sample_episode.cues
    ]
    assert contents.said_digest == said_digest(
        sample_episode, load_look(sample_episode.look).model_dump_json()
    )
    with av.open(str(burned.out)) as container:
        assert "Blender Foundation" in container.metadata["copyright"]


def test_chapters_begin_at_key_frames(burned: BurnReport) -> None:
    with av.open(str(burned.out)) as container:
        stream = container.streams.video[0]
        keys = {float(p.pts * p.time_base) for p in container.demux(stream) if p.is_keyframe}
    assert {0.0, 3.0} <= keys


def test_film_begins_before_its_bulk(burned: BurnReport) -> None:
    """Fast start: the index (moov) lies before the media (mdat)."""
    content = burned.out.read_bytes()
    assert 0 < content.find(b"moov") < content.find(b"mdat")


class _Breaks(io.StringIO):
    """A terminal that stops the work when the bar has moved a little."""

    def __init__(self, error: BaseException) -> None:
        super().__init__()
        self.error = error

    def write(self, text: str) -> int:
        if "%" in text and " 0%" not in text:
            raise self.error
        return super().write(text)


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize(
    "error", [KeyboardInterrupt(), WorkFailed("stop"), OSError(28, "No space left on device")]
)
def test_interruption_leaves_the_old_film_and_nothing_else(
    sample_episode: Episode,
    small_master: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    error: BaseException,
    engine: Engine,
) -> None:
    out = tmp_path / "out" / "film.mp4"
    out.parent.mkdir()
    out.write_bytes(b"the old film")
    monkeypatch.setattr("sys.stderr", _Breaks(error))
    expected = WorkFailed if isinstance(error, OSError) else type(error)
    with pytest.raises(expected):
        burn(sample_episode, small_master, out, progress=True, engine=engine)
    assert out.read_bytes() == b"the old film"
    assert list(out.parent.iterdir()) == [out]


_IN_ITS_OWN_PROCESS = """
import pickle, sys
from pathlib import Path
from studio.film.burn import burn
episode = pickle.loads(Path(sys.argv[1]).read_bytes())
try:
    burn(episode, Path(sys.argv[2]), Path(sys.argv[3]), progress=True, engine=sys.argv[4])
except KeyboardInterrupt:
    sys.exit(130)
"""


@pytest.mark.parametrize("engine", ENGINES)
def test_control_c_stops_everything_and_leaves_nothing(
    sample_episode: Episode, make_film: Callable[..., Path], tmp_path: Path, engine: Engine
) -> None:
    """A terminal sends the signal to the encoder as well."""
    master = make_film("-pix_fmt", "yuv420p", seconds=10, size="640x360")
    (tmp_path / "episode").write_bytes(
        pickle.dumps(dataclasses.replace(sample_episode, table=None, length_ms=10_000))  # type: ignore[arg-type]
    )
    out = tmp_path / "out" / "film.mp4"
    command = [sys.executable, "-c", _IN_ITS_OWN_PROCESS, str(tmp_path / "episode"), str(master)]
    with subprocess.Popen(
        [*command, str(out), engine], stderr=subprocess.PIPE, start_new_session=True
    ) as process:
        assert process.stderr is not None
        while b"%" not in (piece := process.stderr.read(16)):
            assert piece, "the burn ended before it could be stopped"
        os.killpg(process.pid, signal.SIGINT)
        process.stderr.read()
        assert process.wait(timeout=20) == 130
    assert list(out.parent.iterdir()) == []


@pytest.mark.parametrize("engine", ENGINES)
def test_encoder_failure_is_told_and_leaves_nothing(
    sample_episode: Episode,
    small_master: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    engine: Engine,
) -> None:
    monkeypatch.setattr(burn_module, "QUALITY", ("-crf", "no-number"))
    monkeypatch.setattr(burn_module, "EXACT_QUALITY", "no-number")
    with pytest.raises(WorkFailed) as caught:
        burn(sample_episode, small_master, tmp_path / "out" / "film.mp4", engine=engine)
    assert "Traceback" not in str(caught.value)
    assert list((tmp_path / "out").iterdir()) == []


def test_pictures_lost_on_the_way_are_noticed(
    sample_episode: Episode, small_master: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = whole_module.encoding
    monkeypatch.setattr(
        whole_module, "encoding", lambda *given: [*real(*given), "-frames:v", "149"]
    )
    with pytest.raises(WorkFailed):
        burn(sample_episode, small_master, tmp_path / "out" / "film.mp4", engine="moviepy")
    assert list((tmp_path / "out").iterdir()) == []


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("rate", ["30000/1001", "24000/1001", "50"])
def test_fractional_rates_stay_exact(
    sample_episode: Episode,
    make_film: Callable[..., Path],
    tmp_path: Path,
    rate: str,
    engine: Engine,
) -> None:
    master = make_film("-pix_fmt", "yuv420p", rate=rate, seconds=7, size="160x90")
    seven = dataclasses.replace(sample_episode, length_ms=7_000)
    assert burn(seven, master, tmp_path / "out.mp4", engine=engine).engine == engine
    made, given = probe(tmp_path / "out.mp4"), probe(master)
    assert made.fps == given.fps == Fraction(rate)
    assert (made.frames, made.duration_ms) == (given.frames, given.duration_ms)


@pytest.mark.parametrize(
    "tags",
    [
        (),
        ("-colorspace", "bt709", "-color_range", "pc"),
        ("-colorspace", "smpte170m", "-color_range", "tv"),
    ],
    ids=["untagged", "709-full", "601"],
)
def test_other_colour_tags_keep_their_colours_and_tags(
    sample_episode: Episode, make_film: Callable[..., Path], tmp_path: Path, tags: tuple[str, ...]
) -> None:
    # a scale filter that sets range and matrix of the pictures, as the tags say
    master = make_film(*tags, "-pix_fmt", "yuv420p", "-crf", "8", seconds=6, size="320x180")
    burn(sample_episode, master, tmp_path / "out.mp4", progress=False, engine="moviepy")
    given, made = probe(master), probe(tmp_path / "out.mp4")
    assert (made.matrix, made.primaries, made.transfer) == (
        given.matrix,
        given.primaries,
        given.transfer,
    )
    assert (made.colour_range or "tv") == (given.colour_range or "tv")
    before, after = planes(master, {10}), planes(tmp_path / "out.mp4", {10})
    for source, film in zip(before[10], after[10], strict=True):
        # strongly coloured test bars: what RGB cannot hold is cut off, so a little is allowed
        assert abs((film - source).mean()) < 1.0
        assert np.abs(film - source).mean() < 3.5


def test_turned_footage_comes_out_upright(
    sample_episode: Episode,
    make_film: Callable[..., Path],
    run_ffmpeg: Callable[..., bytes],
    tmp_path: Path,
) -> None:
    flat = make_film("-pix_fmt", "yuv420p", name="flat.mp4", seconds=6, size="320x180")
    turned = tmp_path / "turned.mp4"
    run_ffmpeg("-display_rotation", "90", "-i", str(flat), "-c", "copy", str(turned))
    upright = dataclasses.replace(sample_episode, size=FrameSize(180, 320))
    report = burn(upright, turned, tmp_path / "out.mp4", progress=False)
    made = probe(report.out)
    assert (made.width, made.height, made.rotation) == (180, 320, 0)
    # ffmpeg turns the master by itself: the same picture must come out
    picture = run_ffmpeg(
        "-i", str(turned), "-frames:v", "1", "-pix_fmt", "gray", "-f", "rawvideo", "-"
    )
    expected = np.frombuffer(picture, np.uint8).reshape(320, 180).astype(float)
    picture = run_ffmpeg(
        "-i", str(report.out), "-frames:v", "1", "-pix_fmt", "gray", "-f", "rawvideo", "-"
    )
    found = np.frombuffer(picture, np.uint8).reshape(320, 180)
    assert np.abs(found - expected).mean() < 4


def refused(episode: Episode, master: Path, out: Path, **options: Any) -> str:
    with pytest.raises(BadInput) as caught:
        burn(episode, master, out, **options)
    assert not out.exists()
    return str(caught.value)


def test_masters_that_cannot_be_used_are_refused(
    sample_episode: Episode,
    make_film: Callable[..., Path],
    run_ffmpeg: Callable[..., bytes],
    tmp_path: Path,
) -> None:
    out = tmp_path / "out" / "film.mp4"

    def say(*arguments: str, **options: Any) -> str:
        options = {"seconds": 6, "size": "320x180", "name": "m.mp4"} | options
        return refused(sample_episode, make_film(*arguments, **options), out)

    assert "no such file" in refused(sample_episode, tmp_path / "none.mp4", out)
    assert "no sound" in say("-pix_fmt", "yuv420p", sound=False)
    assert "even numbers" in say(
        "-c:v", "ffv1", "-pix_fmt", "yuv444p", "-vf", "scale=321:181,setsar=1", name="m.mkv"
    )
    assert "another shape" in say("-pix_fmt", "yuv420p", size="180x320")
    assert "square" in say("-pix_fmt", "yuv420p", "-vf", "setsar=4/3")
    assert "interlaced" in say(
        "-pix_fmt", "yuv420p", "-flags", "+ilme+ildct", "-vf", "setfield=tff"
    )
    short = say("-pix_fmt", "yuv420p", seconds=4)
    assert "0:05.9" in short
    assert "0:04.0" in short


def test_silent_master_may_be_meant(
    sample_episode: Episode, make_film: Callable[..., Path], tmp_path: Path
) -> None:
    master = make_film("-pix_fmt", "yuv420p", seconds=6, size="160x90", sound=False)
    report = burn(sample_episode, master, tmp_path / "out.mp4", allow_silent=True)
    assert not report.has_sound
    assert not probe(report.out).has_sound
    # whatever it is called now
    copy = report.out.rename(tmp_path / "export.mp4")
    again = refused(sample_episode, copy, tmp_path / "out" / "film.mp4", allow_silent=True)
    assert "has its overlays already" in again


def test_wrong_use_is_told(sample_episode: Episode, small_master: Path, tmp_path: Path) -> None:
    untimed = dataclasses.replace(
        sample_episode,
        cards=tuple(
            dataclasses.replace(c, start_ms=None, end_ms=None) for c in sample_episode.cards
        ),
    )
    assert "no marks" in refused(untimed, small_master, tmp_path / "film.mp4")
    (tmp_path / "file").write_text("a file where a folder is due")
    assert "cannot be written" in refused(
        sample_episode, small_master, tmp_path / "file" / "film.mp4"
    )
    copy = tmp_path / "master.mp4"
    copy.write_bytes(small_master.read_bytes())
    with pytest.raises(BadInput, match="its own master"):
        burn(sample_episode, copy, copy)
    assert copy.read_bytes() == small_master.read_bytes()


def test_bar_is_one_plain_line() -> None:
    stream = io.StringIO()
    bar = Bar(stream)
    assert list(bar.iter_bar(frame_index=range(4))) == [0, 1, 2, 3]
    bar(message="MoviePy - Writing video")
    bar.finish()
    assert "100%" in stream.getvalue()
    assert "\n" not in stream.getvalue()
    assert "oviePy" not in stream.getvalue()


def test_no_bar_without_a_terminal(
    sample_episode: Episode, small_master: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    burn(sample_episode, small_master, tmp_path / "film.mp4")
    assert capfd.readouterr() == ("", "")


def test_ten_bits_become_eight_and_are_told(
    sample_episode: Episode, make_film: Callable[..., Path], tmp_path: Path
) -> None:
    master = make_film("-pix_fmt", "yuv420p10le", seconds=6, size="160x90")
    report = burn(sample_episode, master, tmp_path / "out" / "film.mp4", progress=False)
    assert report.engine == "moviepy"
    assert any("10 bits a channel, and the film has 8" in note for note in report.notes)
    made, found = probe(report.out), probe(master)
    assert (made.bits, made.frames, made.duration_ms) == (8, found.frames, found.duration_ms)
    # at the start nothing covers the picture: it is the master's, to an encoder's noise
    pictures = []
    for path in (master, report.out):
        with av.open(str(path)) as film:
            frame = next(film.decode(film.streams.video[0]))
            pictures.append(frame.to_ndarray(format="gray").astype(float))
    assert np.abs(pictures[0] - pictures[1]).mean() < 3


@pytest.mark.parametrize("engine", ENGINES)
def test_a_film_that_was_worked_on_is_kept_aside(
    sample_episode: Episode, small_master: Path, tmp_path: Path, engine: Engine
) -> None:
    out = tmp_path / "film.mp4"
    burn(sample_episode, small_master, out, progress=False, engine=engine)
    again = burn(sample_episode, small_master, out, progress=False, engine=engine)
    assert again.notes == ()
    # it keeps our comment, as an editor's export may
    out.write_bytes(out.read_bytes() + b"graded")
    third = burn(sample_episode, small_master, out, progress=False, engine=engine)
    assert any("kept" in note for note in third.notes)
    assert [path.name for path in tmp_path.glob("film*kept*")] == ["film.mp4.kept-1"]


def test_a_second_film_in_the_folder_leaves_the_first_ones_record(
    sample_episode: Episode, small_master: Path, tmp_path: Path
) -> None:
    burn(sample_episode, small_master, tmp_path / "film.mp4", progress=False)
    burn(sample_episode, small_master, tmp_path / "short.mp4", progress=False, engine="moviepy")
    report = burn(sample_episode, small_master, tmp_path / "film.mp4", progress=False)
    assert report.encoded == 0


def test_finer_colour_than_the_films_is_told(
    sample_episode: Episode, make_film: Callable[..., Path], tmp_path: Path
) -> None:
    master = make_film("-pix_fmt", "yuv444p", "-colorspace", "bt709", seconds=6, size="160x90")
    report = burn(sample_episode, master, tmp_path / "out.mp4", progress=False)
    assert probe(report.out).pixel_format == "yuv420p"
    (note,) = [note for note in report.notes if "4:2:0)" in note]
    assert "yuv444p" in note


def test_captions_of_a_second_language_are_a_track_of_their_own(
    sample_episode: Episode, small_master: Path, tmp_path: Path
) -> None:
    """Outside: PyAV reads both tracks, and their languages' tags (ISO 639-2)."""
    german = tuple(
        dataclasses.replace(cue, text=f"Auf Deutsch: {number}")
        for number, cue in enumerate(sample_episode.cues)
    )
    both = dataclasses.replace(sample_episode, translated=((language_of("de"), german),))
    out = tmp_path / "film.mp4"
    burn(both, small_master, out, progress=False)
    with av.open(str(out)) as film:
        assert [one.language for one in film.streams.subtitles] == ["eng", "deu"]
        flags = [
            bool(one.disposition & av.stream.Disposition.default) for one in film.streams.subtitles
        ]
    assert flags == [True, False]
    held = film_contents(out)
    assert held is not None
    assert [one.text for one in held.translated["deu"]] == [plain(cue.text) for cue in german]
    assert [one.start_ms for one in held.translated["deu"]] == [cue.start_ms for cue in german]
    assert len(held.captions) == len(sample_episode.cues)


@pytest.mark.parametrize(
    ("sound", "told"), [("ac3", True), ("alac", True), ("aac", False), ("flac", False)]
)
def test_sound_that_browsers_cannot_play_is_told(
    sample_episode: Episode, small_master: Path, tmp_path: Path,
    run_ffmpeg: Callable[..., bytes], sound: str, told: bool,
) -> None:  # fmt: skip
    master = tmp_path / "master.mkv"
    run_ffmpeg("-i", str(small_master), "-c:v", "copy", "-c:a", sound, str(master))
    report = burn(sample_episode, master, tmp_path / "out.mp4", progress=False)
    assert probe(report.out).sound == sound
    assert any("browsers cannot play" in note for note in report.notes) is told
