"""What all tests share: a folder with the shipped designs, and ways to change and read them."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from hypothesis import settings

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.errors import BadInput
from studio.resources import shipped

# the same examples each time: a law that fails is found while it is worked on (set the profile to
# "default" to search on), not on a day when nothing was changed
settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")


LONGEST = ("test_demo.py", "test_seeded_faults.py", "test_slates.py", "test_timing.py")
"""Files of more than a minute each: where several processes share the tests, one that begins last
would keep one of them busy while the others have nothing left."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The longest files first, all else in its order."""
    items.sort(key=lambda item: item.path.name not in LONGEST)


@pytest.fixture(scope="session", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The user's cache folder is left alone, and nothing in it makes a test pass."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder of one's own with the shipped workshop file and designs."""
    place = tmp_path / "designs"
    shutil.copytree(shipped("designs"), place)
    return place


@pytest.fixture
def globe(folder: Path) -> Path:
    """The shipped plain globe, free to be changed."""
    return folder / "globe.yaml"


@pytest.fixture
def edit() -> Callable[[Path, str, str], Path]:
    """Replaces a piece of text in a file, which must be there exactly once."""

    def change(path: Path, old: str, new: str) -> Path:
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {path.name}"
        path.write_text(text.replace(old, new), encoding="utf-8")
        return path

    return change


@pytest.fixture
def episode() -> Episode:
    """The shipped plain globe's episode."""
    return open_episode(shipped("designs") / "globe.yaml")


@pytest.fixture
def faults_of() -> Callable[[Path], list[str]]:
    """Every fault of a design, as it is told."""

    def told(path: Path) -> list[str]:
        with pytest.raises(BadInput) as caught:
            open_episode(path)
        return [str(fault) for fault in caught.value.faults]

    return told


# --- an invented scene and cameras that film it -------------------------------------------------

SCENE_RATE = 48_000
BITS = 16
"""Blocks across a picture, dark or light: the scene's time in milliseconds as a binary number."""

COLOURS = {"bench": (200, 40, 40), "top": (40, 60, 200), "detail": (40, 180, 60)}
"""The upper half of a camera's pictures, so that a picture tells which camera it is from."""


def _scene_sound(seconds: float, seed: int = 1) -> np.ndarray:
    """Sound like talk over a lathe: noise that falls off above 500 Hz, loud and soft in turns."""
    chance = np.random.default_rng(seed)
    count = round(seconds * SCENE_RATE)
    bins = np.fft.rfft(chance.standard_normal(count))
    bins /= 1 + (np.fft.rfftfreq(count, 1 / SCENE_RATE) / 500) ** 1.2
    sound = np.fft.irfft(bins, count)
    beats = np.arange(0, count + SCENE_RATE, SCENE_RATE // 5)
    loud = np.interp(np.arange(count), beats, chance.random(len(beats)) ** 3)
    return sound / sound.std() * loud * 4000


def _heard_by(
    scene: np.ndarray,
    begin: float,
    seconds: float,
    *,
    rate: int = SCENE_RATE,
    ppm: float = 0.0,
    gain: float = 1.0,
    snr_db: float = 10.0,
    tilt: float = 0.0,
    seed: int = 2,
) -> np.ndarray:
    """What one recorder has of the scene: its own start, clock, level, colour and noise.

    Args:
        scene: at SCENE_RATE.
        begin: when it is started, in the scene's seconds.
        seconds: how long it runs, by its own clock.
        rate: its samples a second.
        ppm: how much faster its clock runs, in millionths.
        gain: its level.
        snr_db: level of the scene over its own noise, which is white.
        tilt: its colour above a kilohertz, in powers of the frequency.
        seed: of its noise.
    """
    count = round(seconds * rate)
    at = begin + np.arange(count) / rate / (1 + ppm * 1e-6)
    sound = np.interp(at * SCENE_RATE, np.arange(len(scene)), scene, left=0, right=0) * gain
    if tilt:
        bins = np.fft.rfft(sound)
        bins *= (1 + (np.fft.rfftfreq(count, 1 / rate) / 1000) ** 2) ** (tilt / 2)
        sound = np.fft.irfft(bins, count)
    noise = np.random.default_rng(seed).standard_normal(count)
    sound = sound + noise * sound.std() * 10 ** (-snr_db / 20)
    return np.clip(np.round(sound), -32768, 32767).astype(np.int16)


def _film_scene(
    path: Path,
    camera: str,
    sound: np.ndarray | None,
    *,
    begin: float,
    seconds: float,
    ppm: float = 0.0,
    fps: Fraction = Fraction(25),
    size: tuple[int, int] = (160, 90),
    flash_at: float | None = None,
    rate: int = SCENE_RATE,
) -> Path:
    """Write a camera's film of the scene; each picture tells the camera and the scene's time."""
    width, height = size
    with av.open(str(path), "w") as film:
        pictures = film.add_stream("libx264", rate=fps, options={"crf": "18", "g": "40"})
        pictures.width, pictures.height, pictures.pix_fmt = width, height, "yuv420p"
        track = film.add_stream("aac", rate=rate) if sound is not None else None
        for number in range(round(seconds * fps)):
            at = begin + float(number / fps) / (1 + ppm * 1e-6)
            pixels = np.zeros((height, width, 3), np.uint8)
            pixels[: height // 2] = COLOURS[camera]
            value = round(at * 1000)
            for bit in range(BITS):
                left, right = bit * width // BITS, (bit + 1) * width // BITS
                pixels[height // 2 :, left:right] = 225 if value >> (BITS - 1 - bit) & 1 else 25
            if flash_at is not None and 0 <= at - flash_at < 0.08:
                pixels[...] = np.maximum(pixels, 245)
            frame = av.VideoFrame.from_ndarray(pixels, format="rgb24")
            frame.pts = number
            frame.time_base = 1 / fps
            film.mux(pictures.encode(frame))
        film.mux(pictures.encode(None))
        if track is not None and sound is not None:
            for first in range(0, len(sound), 1024):
                part = sound[first : first + 1024].reshape(1, -1)
                block = av.AudioFrame.from_ndarray(part, format="s16", layout="mono")
                block.sample_rate, block.pts = rate, first
                block.time_base = Fraction(1, rate)
                film.mux(track.encode(block))
            film.mux(track.encode(None))
    return path


@dataclass(frozen=True)
class Told:
    """What a picture of the scene tells: by which camera, and at which of the scene's ms."""

    camera: str
    ms: int


def _told_by(pixels: np.ndarray) -> Told:
    """Read a picture of the scene, whatever its size."""
    height, width = pixels.shape[:2]
    colour = pixels[height // 8 : height // 3].mean(axis=(0, 1))
    camera = min(COLOURS, key=lambda name: float(np.abs(colour - COLOURS[name]).sum()))
    value = 0
    for bit in range(BITS):
        middle = (2 * bit + 1) * width // (2 * BITS)
        block = pixels[height * 5 // 8 : height * 7 // 8, middle - 1 : middle + 2]
        value = 2 * value + int(block.mean() > 125)
    return Told(camera, value)


@pytest.fixture(scope="session")
def scene_sound() -> Callable[..., np.ndarray]:
    """``scene_sound(seconds, seed)``."""
    return _scene_sound


@pytest.fixture(scope="session")
def heard_by() -> Callable[..., np.ndarray]:
    """``heard_by(scene, begin, seconds, ...)``."""
    return _heard_by


@pytest.fixture(scope="session")
def film_scene() -> Callable[..., Path]:
    """``film_scene(path, camera, sound, ...)``."""
    return _film_scene


@pytest.fixture(scope="session")
def told_by() -> Callable[[np.ndarray], Told]:
    """Reads a picture of the scene."""
    return _told_by


@dataclass(frozen=True)
class Filmed:
    """A scene of 14 s filmed by two cameras, and a detail filmed at another time.

    ``bench`` begins at the scene's second 2; ``top`` 1.234 s later, 80 ppm fast, softer, duller.
    """

    folder: Path
    bench_begins: float = 2.0
    top_later: float = 1.234
    top_ppm: float = 80.0
    detail_begins: float = 30.0


@pytest.fixture(scope="session")
def filmed(tmp_path_factory: pytest.TempPathFactory) -> Filmed:
    """The recordings, in a folder of their own."""
    made = Filmed(tmp_path_factory.mktemp("footage"))
    scene = _scene_sound(20)
    begin, seconds = made.bench_begins, 12.0
    _film_scene(
        made.folder / "bench.mp4", "bench", _heard_by(scene, begin, seconds),
        begin=begin, seconds=seconds,
    )  # fmt: skip
    begin, seconds = begin + made.top_later, 10.0
    sound = _heard_by(
        scene, begin, seconds, ppm=made.top_ppm, gain=0.3, tilt=-1, seed=3, rate=44_100
    )
    _film_scene(
        made.folder / "top.mp4", "top", sound, begin=begin, seconds=seconds, ppm=made.top_ppm,
        fps=Fraction(30), rate=44_100,
    )  # fmt: skip
    _film_scene(
        made.folder / "detail.mp4", "detail", _heard_by(_scene_sound(4, 9), 0, 3),
        begin=made.detail_begins, seconds=3,
    )  # fmt: skip
    return made


TAKES = """film:
  size: 320x180
  cameras: {bench: bench.mp4, top: top.mp4, detail: detail.mp4}
  apart: [detail]
  takes:
    - {step: rough, in: 0:01, out: 0:02.5}
    - {step: mark-octagon, camera: top, in: 0:02.5, out: 0:03.52}
    - {camera: bench, in: 0:03, out: 0:11, speed: 8}
    - {step: cut-octagon, camera: detail, in: 0:00.5, out: 0:01.7}
    - {step: second-round, camera: top, in: 0:04, out: 0:05}
    - {step: index, in: 0:06, out: 0:06.5, speed: 0.5}
    - {step: sand, camera: top, in: 0:04, out: 0:10, speed: 7x}
    - {step: hang, in: 0:08, out: 0:09.25}
"""


@pytest.fixture(scope="session")
def takes_text() -> str:
    """The film section of a design with takes of the filmed scene."""
    return TAKES


@pytest.fixture
def takes(globe: Path) -> Path:
    """The shipped plain globe with takes of the filmed scene in place of marks."""
    text = globe.read_text(encoding="utf-8")
    globe.write_text(text[: text.index("film:\n")] + TAKES, encoding="utf-8")
    return globe
