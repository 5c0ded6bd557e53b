"""Masters whose pictures begin later than their sound, or the other way round.

Time 0 is where the presentation starts, as players show it; voice, cards, captions, chapters and
the check count from there. The films tell their own moments: each picture is as light as it is
late, and the sound begins after two seconds.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from studio.episode.records import Episode
from studio.film.burn import ENGINES, Engine, burn
from studio.film.look import load_look
from studio.film.placing import picture_at
from studio.film.probe import probe
from studio.film.reading_back import cards_not_shown, faint_cards, film_contents
from studio.film.whole import decoded
from studio.voice.sound import RATE, read_sound

pytestmark = pytest.mark.usefixtures("unread_type")

PICTURES = "color=black:size=160x90:rate=25:duration=8,geq=lum='16+T*20':cb=128:cr=128"
LATE = 0.5234


@pytest.fixture
def offset_master(run_ffmpeg: Callable[..., bytes], tmp_path: Path) -> Callable[..., Path]:
    def make(pictures_late: float, sound_late: float, name: str = "m.mp4") -> Path:
        both, path = tmp_path / "both.mp4", tmp_path / name
        run_ffmpeg(
            "-f", "lavfi", "-i", PICTURES, "-f", "lavfi",
            # silence, and from the second second on a tone
            "-i", "sine=frequency=440:duration=8,volume='if(lt(t,2),0,1)':eval=frame",
            "-c:a", "aac", "-pix_fmt", "yuv420p", "-colorspace", "bt709", "-g", "50",
            str(both),
        )  # fmt: skip
        run_ffmpeg(
            "-itsoffset", str(pictures_late), "-i", str(both),
            "-itsoffset", str(sound_late), "-i", str(both),
            "-map", "0:v", "-map", "1:a", "-c", "copy", str(path),
        )  # fmt: skip
        return path

    return make


def first_with_the_card(film: Path, master: Path) -> float:
    """When the first picture is shown that is not the master's, in the film's presentation."""
    times: tuple[list[float], list[float]] = ([], [])
    first: float | None = None
    with av.open(str(film)) as ours, av.open(str(master)) as theirs:
        begins = [Fraction(one.start_time or 0, 1_000_000) for one in (ours, theirs)]
        both = [one.decode(one.streams.video[0]) for one in (ours, theirs)]
        for pair in zip(*both, strict=True):
            for at, frame, begin in zip(times, pair, begins, strict=True):
                at.append(float(frame.pts * frame.time_base - begin))
            if first is None:
                one, other = (frame.to_ndarray(format="gray").astype(int) for frame in pair)
                if np.abs(one - other).max() > 12:
                    first = times[0][-1]
    assert times[0] == pytest.approx(times[1], abs=1e-4)
    assert first is not None
    return first


# of other files than MP4 the exact engine makes nothing, and goes over to the same moviepy
@pytest.mark.parametrize(
    ("engine", "name"),
    [*((one, "m.mp4") for one in ENGINES), ("moviepy", "m.mkv"), ("moviepy", "m.ts")],
)
@pytest.mark.parametrize(("pictures", "sound"), [(LATE, 0.0), (0.0, LATE), (0.0, 0.0)])
def test_cards_captions_and_chapters_stand_at_their_times(
    sample_episode: Episode, offset_master: Callable[..., Path], tmp_path: Path,
    engine: Engine, pictures: float, sound: float, name: str,
) -> None:  # fmt: skip
    master = offset_master(pictures, sound, name)
    footage = probe(master)
    # a sound's first block may go 21 ms before its first sample
    assert float(footage.start) == pytest.approx(pictures, abs=0.025)
    assert footage.duration_ms == pytest.approx(1000 * (8 + pictures), abs=25)
    episode = dataclasses.replace(sample_episode, length_ms=round(1000 * (8 + pictures)))
    out = tmp_path / "out" / "film.mp4"
    report = burn(episode, master, out, progress=False, engine=engine)
    assert report.engine == engine, report.notes
    card = episode.cards[0]
    assert card.start_ms is not None
    # the first picture from the card's time on; it comes up over some pictures
    first = first_with_the_card(out, master)
    assert card.start_ms / 1000 - 0.001 <= first <= card.start_ms / 1000 + 0.12
    assert not cards_not_shown(out, episode, load_look(episode.look))
    contents = film_contents(out)
    assert contents is not None
    assert [one.start_ms for one in contents.chapters] == [one.start_ms for one in episode.chapters]
    assert [one.start_ms for one in contents.captions] == [one.start_ms for one in episode.cues]
    made = probe(out)
    assert float(made.start) == pytest.approx(float(footage.start), abs=0.001)
    if report.engine == "exact":
        assert made.start == footage.start
    assert made.duration_ms == pytest.approx(footage.duration_ms, abs=2)
    for path in (master, out):
        heard = read_sound(path).samples
        begins = np.nonzero(np.abs(heard.astype(int)) > 1000)[0][0] / RATE
        assert begins == pytest.approx(2 + sound, abs=0.05)


@pytest.mark.parametrize(("pictures", "sound"), [(LATE, 0.0), (0.0, LATE)])
def test_a_moment_of_the_film_is_the_one_that_players_show(
    offset_master: Callable[..., Path], pictures: float, sound: float
) -> None:
    footage = probe(offset_master(pictures, sound))
    for at_ms in (2000, 5000):
        light = (at_ms / 1000 - pictures) * 20 * 255 / 219
        assert picture_at(footage, at_ms).mean() == pytest.approx(light, abs=3)


@pytest.mark.parametrize("every", [10, 1000])
def test_a_file_without_a_list_of_its_key_frames_is_jumped_into(
    make_film: Callable[..., Path], every: int
) -> None:
    """A transport stream: a jump ends between key frames, and shows nothing until the next one."""
    footage = probe(
        make_film("-pix_fmt", "yuv420p", "-g", str(every), name="m.ts", seconds=6, size="160x90")
    )
    whole = [at for at, _ in decoded(footage, 0, "DEFAULT")]
    assert len(whole) == footage.frames == 150
    for wanted in (0.0, 0.3, 1.0, 3.33, 5.9):
        found = [at for at, _ in decoded(footage, wanted, "DEFAULT")]
        assert found == whole[-len(found) :]
        # the picture on screen at that time is among them
        assert found[0] <= max(wanted, whole[0])
        if every == 10:
            assert found[0] > wanted - 3


def test_a_card_of_the_very_start_is_looked_for_where_pictures_are(
    sample_episode: Episode, offset_master: Callable[..., Path], tmp_path: Path
) -> None:
    first = dataclasses.replace(sample_episode.cards[0], start_ms=0, end_ms=1000, opacity=0.6)
    episode = dataclasses.replace(sample_episode, cards=(first,), length_ms=None)
    report = burn(episode, offset_master(LATE, 0.0), tmp_path / "film.mp4", progress=False)
    look = load_look(episode.look)
    dense = dataclasses.replace(first, opacity=report.densities.get(first.number, 0.6))
    burnt = dataclasses.replace(episode, cards=(dense,))
    assert not cards_not_shown(report.out, burnt, look)
    assert not faint_cards(report.out, burnt, look)
