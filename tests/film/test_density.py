"""Plates over pictures that nobody looked at when the place was chosen."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from pathlib import Path

import av
import numpy as np
import pytest
import wcag_contrast_ratio

from studio.episode.places import with_places
from studio.episode.records import Card, CardKind, Episode, FrameSize
from studio.film import density, drawing
from studio.film.burn import ENGINES, Engine, burn
from studio.film.corners import with_corners
from studio.film.density import PlateWatch, watch_for, with_densities
from studio.film.layout import style_of
from studio.film.look import load_look, rgb
from studio.film.overlays import outlines
from studio.film.placing import choose_places
from studio.film.probe import probe
from studio.film.reading_back import faint_cards

LOOK = load_look("fernhollow")
SIZE = FrameSize(320, 180)

# dark, and for a third of a second in the middle of each card as light as a lamp switched on
FLASH = (
    "color=0x202020:size={size}:rate=25:duration=6,"
    "drawbox=color={colour}:t=fill:enable='between(t,2.4,2.7)+between(t,4.6,4.9)',"
    "noise=alls=6:allf=t"
)


@pytest.fixture
def flashing(run_ffmpeg: Callable[..., bytes], tmp_path: Path) -> Callable[..., Path]:
    def make(*arguments: str, size: str = "320x180", colour: str = "white") -> Path:
        path = tmp_path / "flash.mp4"
        run_ffmpeg(
            "-f", "lavfi", "-i", FLASH.format(size=size, colour=colour),
            "-f", "lavfi", "-i", "sine=duration=6", "-c:a", "aac", "-g", "100",
            "-sc_threshold", "0", "-pix_fmt", "yuv420p", "-colorspace", "bt709",
            *arguments, str(path),
        )  # fmt: skip
        return path

    return make


def placed(episode: Episode, master: Path) -> Episode:
    places = choose_places(episode, master, {})
    return dataclasses.replace(episode, cards=with_places(episode.cards, places))


def covered(master: Path, card: Card, size: FrameSize) -> Iterator[np.ndarray]:
    """What the master shows under a card's plate, picture by picture."""
    left, top, right, foot = outlines(card, size, LOOK)[card.corner]
    with av.open(str(master)) as film:
        for frame in film.decode(film.streams.video[0]):
            if (card.start_ms or 0) <= (frame.time or 0) * 1000 < (card.end_ms or 0):
                picture = frame.to_ndarray(format="rgb24", src_colorspace="ITU709")
                yield picture[top:foot, left:right].reshape(-1, 3)


def least_contrast(master: Path, card: Card, size: FrameSize, density: float) -> float:
    """WCAG 2 contrast by wcag-contrast-ratio, the worst of all texts and covered pixels."""
    style = style_of(card.kind, LOOK)
    pixels = np.concatenate(list(covered(master, card, size))) @ np.array([1 << 16, 1 << 8, 1])
    once = np.unique(pixels)
    under = np.stack([once >> 16, once >> 8 & 255, once & 255], axis=1)
    seen = np.rint(density * np.array(rgb(style.plate)) + (1 - density) * under)
    order = np.argsort(seen @ [0.2126, 0.7152, 0.0722])
    ends = seen[np.concatenate((order[:20], order[-20:]))]
    return min(
        wcag_contrast_ratio.rgb(tuple(one / 255), tuple(part / 255 for part in rgb(text)))
        for one in ends
        for text in (style.heading, style.text, style.quiet)
    )


@pytest.mark.parametrize("kept", [400_000_000, 0], ids=["all kept", "few kept"])
@pytest.mark.parametrize("colour", ["white", "0xff3000", "0x707070"])
def test_a_lamp_between_the_sampled_pictures_is_seen_before_any_is_drawn_on(
    sample_episode: Episode, flashing: Callable[..., Path], tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch, kept: int, colour: str,
) -> None:  # fmt: skip
    """Whether the lamp is among the pictures that are kept, or among those glanced at."""
    monkeypatch.setattr(drawing, "_KEPT_BYTES", kept)
    master = flashing(colour=colour)
    chosen = placed(sample_episode, master)
    told: list[str] = []
    report = burn(chosen, master, tmp_path / "out" / "film.mp4", progress=False, tell=told.append)
    assert not [text for text in told if "a second time" in text]
    for card in with_corners(chosen.cards, LOOK, SIZE):
        assert card.opacity is not None
        denser = report.densities.get(card.number, card.opacity)
        assert least_contrast(master, card, SIZE, denser) >= 4.5
    # what was chosen by a few pictures would not have done
    assert bool(report.densities) == (colour == "white")


def test_a_card_on_several_parts_has_one_density(
    sample_episode: Episode, flashing: Callable[..., Path], tmp_path: Path
) -> None:
    """The lamp is lit once another card has come: what was drawn before it is as dense."""
    master = flashing("-g", "25")
    first, second = placed(sample_episode, master).cards
    other = "top-right" if "left" in first.corner else "top-left"
    episode = dataclasses.replace(
        sample_episode,
        cards=(
            dataclasses.replace(first, start_ms=0, end_ms=4000),
            dataclasses.replace(
                second, kind=CardKind.CAUTION, corner=other, start_ms=1500, end_ms=6000,
                opacity=None,
            ),
        ),
    )  # fmt: skip
    film = tmp_path / "out" / "film.mp4"
    told: list[str] = []
    report = burn(episode, master, film, progress=False, tell=told.append)
    assert list(report.densities) == [first.number]
    assert not [text for text in told if "a second time" in text]
    dense = dataclasses.replace(episode, cards=with_densities(episode.cards, report.densities))
    assert not faint_cards(film, dense, LOOK)
    again = burn(dense, master, film, progress=False)
    assert again.encoded == 0
    assert again.taken_over == report.encoded


@pytest.mark.parametrize("engine", ENGINES)
def test_a_lamp_between_the_sampled_pictures_makes_the_plate_denser(
    sample_episode: Episode, flashing: Callable[..., Path], tmp_path: Path, engine: Engine
) -> None:
    master = flashing()
    chosen = placed(sample_episode, master)
    out = tmp_path / "out" / "film.mp4"
    told: list[str] = []
    report = burn(chosen, master, out, progress=False, engine=engine, tell=told.append)
    assert report.engine == engine
    worst = []
    for card in with_corners(chosen.cards, LOOK, SIZE):
        assert card.opacity is not None
        denser = report.densities.get(card.number, card.opacity)
        worst.append(least_contrast(master, card, SIZE, card.opacity))
        assert least_contrast(master, card, SIZE, denser) >= 4.5
    # what was chosen by a few pictures would not have done
    assert min(worst) < 4.5
    assert report.densities
    assert any("denser plates" in text for text in told)
    again = dataclasses.replace(
        chosen,
        cards=tuple(
            dataclasses.replace(card, opacity=report.densities.get(card.number, card.opacity))
            for card in chosen.cards
        ),
    )
    second = burn(again, master, out, progress=False, engine=engine)
    assert not second.densities
    if engine == "exact":
        assert second.encoded == 0


def test_pictures_of_a_plate_that_was_dense_enough_are_encoded_once(
    sample_episode: Episode, flashing: Callable[..., Path], tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """The lamp is lit in pictures that are neither kept nor such as others are made from."""
    monkeypatch.setattr(drawing, "_KEPT_BYTES", 0)
    monkeypatch.setattr(drawing.Drawing, "_glance", lambda *_: None)
    master = flashing()
    first, second = placed(sample_episode, master).cards
    dense = dataclasses.replace(second, opacity=style_of(second.kind, LOOK).opacity)
    episode = dataclasses.replace(sample_episode, cards=(first, dense))
    out = tmp_path / "out" / "film.mp4"
    told: list[str] = []
    report = burn(episode, master, out, progress=False, tell=told.append)
    assert list(report.densities) == [first.number]
    (line,) = [text for text in told if "a second time" in text]
    again = int(line.split()[2])
    assert 0 < again < report.encoded - again


@pytest.mark.parametrize("colour", ["0x0000ff", "0xff3000", "0x00ff40", "white", "0x808080"])
def test_the_watch_sees_what_a_decoder_sees(
    sample_episode: Episode, flashing: Callable[..., Path], colour: str
) -> None:
    """Against PyAV's own way to RGB, in colours whose luma does not tell their luminance."""
    master = flashing(colour=colour)
    card = placed(sample_episode, master).cards[0]
    watch = watch_for(card, SIZE, LOOK, sample_episode.keep_clear, probe(master))
    assert watch is not None
    with av.open(str(master)) as film:
        for frame in film.decode(film.streams.video[0]):
            if (card.start_ms or 0) <= (frame.time or 0) * 1000 < (card.end_ms or 0):
                watch.look(frame)
    assert least_contrast(master, card, SIZE, watch.density) >= 4.5
    # and no denser than a few levels more would need, which stored planes may go beyond a decoder
    pictures = [(one.min(axis=0), one.max(axis=0)) for one in covered(master, card, SIZE)]
    style = style_of(card.kind, LOOK)
    enough = max(
        style.density_over(
            tuple(low.astype(int) - 16),
            tuple(high.astype(int) + 16),
        )
        for low, high in pictures
    )
    assert watch.density <= max(enough, card.opacity or 0)


def test_a_plate_in_a_film_stored_turned_is_looked_at_where_it_is_seen(
    sample_episode: Episode, make_film: Callable[..., Path], tmp_path: Path
) -> None:
    """Only the corner under the card is light, in the upright picture."""
    upright = tmp_path / "upright.mp4"
    card = dataclasses.replace(sample_episode.cards[0], corner="top-left", opacity=0.5)
    size = FrameSize(180, 320)
    left, top, right, foot = outlines(card, size, LOOK)["top-left"]
    for rotation in (90, 180, 270):
        footage = dataclasses.replace(
            probe(make_film(seconds=0.2, name=f"{rotation}.mp4")),
            width=180, height=320, rotation=rotation, matrix="bt709",
        )  # fmt: skip
        picture = np.zeros((320, 180, 3), np.uint8)
        picture[top:foot, left:right] = 255
        stored = np.ascontiguousarray(np.rot90(picture, rotation // 90))
        frame = av.VideoFrame.from_ndarray(stored, format="rgb24").reformat(format="yuv420p")
        watch = watch_for(card, size, LOOK, sample_episode.keep_clear, footage)
        assert watch is not None
        under = density._under(frame, watch._box)[0]
        # even places: a row or column of the dark may be taken in
        assert np.median(under) > 200
        assert under.size == pytest.approx((right - left) * (foot - top), rel=0.05)
    assert not upright.exists()


def test_colours_are_reckoned_only_where_the_extremes_do_not_do() -> None:
    style = LOOK.measurement
    watch = PlateWatch(style, style.opacity - 0.05, (0, 0, 32, 32), "bt709")
    calls: list[int] = []
    reckon = watch._colours
    watch._colours = lambda *planes: calls.append(1) or reckon(*planes)  # type: ignore[method-assign]
    for level in (20, 40, 60):
        grey = np.full((48, 32), level, np.uint8)
        grey[32:] = 128
        watch.look(av.VideoFrame.from_ndarray(grey, format="yuv420p"))
    assert not calls


def test_the_check_finds_lettering_that_one_light_picture_makes_faint(
    sample_episode: Episode, flashing: Callable[..., Path], tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    master = flashing()
    chosen = placed(sample_episode, master)
    good = tmp_path / "good.mp4"
    report = burn(chosen, master, good, progress=False)
    dense = dataclasses.replace(chosen, cards=with_densities(chosen.cards, report.densities))
    assert not faint_cards(good, dense, LOOK)
    monkeypatch.setattr(PlateWatch, "look", lambda *_: None)
    bad = tmp_path / "bad.mp4"
    burn(chosen, master, bad, progress=False)
    (found,) = faint_cards(bad, chosen, LOOK)
    assert found.card.number == 1
    assert found.contrast < 4
    # the lamp is on from 2.4 s to 2.7 s
    assert 2400 <= found.at_ms < 2720


def test_footage_lighter_than_white_makes_the_plate_denser(
    sample_episode: Episode, run_ffmpeg: Callable[..., bytes], tmp_path: Path
) -> None:
    """Luma of 254 under a plate: what is stored counts, not what a decoder makes of it."""
    master = tmp_path / "light.mp4"
    run_ffmpeg(
        "-f", "lavfi", "-i",
        "color=c=white:s=640x360:r=25:d=6,format=yuv420p,lutyuv=y=254",
        "-f", "lavfi", "-i", "sine=duration=6", "-c:a", "aac", "-g", "50", "-crf", "12",
        str(master),
    )  # fmt: skip
    chosen = placed(dataclasses.replace(sample_episode, size=FrameSize(640, 360)), master)
    film = tmp_path / "out" / "film.mp4"
    report = burn(chosen, master, film, progress=False)
    cards = with_densities(chosen.cards, report.densities)
    assert max(one.opacity or 0 for one in cards) > 0.79
