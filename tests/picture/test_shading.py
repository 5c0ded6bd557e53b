"""The picture: what it shows, the same each time, and pieces that are unkind to it."""

import io
import math

import numpy as np
import pytest
from PIL import Image

from studio.episode.assemble import open_episode
from studio.picture import shading
from studio.picture.scene import Scene
from studio.picture.shading import camera_for, shaded, shaded_png
from studio.resources import shipped
from studio.turning.piece import Globe, Piece

SMALL = 480, 270


def grey(picture):
    return picture.astype(float).mean(axis=2)


def shown(picture):
    """Pixels that show wood: backdrop, shadow included, is next to colourless."""
    wide = picture.astype(int)
    return wide.max(axis=2) - wide.min(axis=2) > 22


def test_a_png_of_the_size_asked_for(pieces):
    data = shaded_png(pieces["four grooves"], 320, 200)
    with Image.open(io.BytesIO(data)) as image:
        assert (image.format, image.size, image.mode) == ("PNG", (320, 200), "RGB")


def test_the_same_bytes_each_time(pieces):
    once, again = (shaded_png(pieces["ornament"], 200, 120) for _ in range(2))
    assert once == again


def test_every_piece_is_shown_whole_and_calmly(piece):
    picture = shaded(piece, *SMALL)
    wood = shown(picture)
    assert 0.04 < wood.mean() < 0.55
    rows, columns = np.flatnonzero(wood.any(axis=1)), np.flatnonzero(wood.any(axis=0))
    assert rows[-1] < 0.95 * SMALL[1]
    assert rows[0] > 0.03 * SMALL[1]
    assert columns[0] > 0.1 * SMALL[0]
    assert columns[-1] < 0.9 * SMALL[0]
    # the backdrop is light and even, nothing is burnt out, nothing is a hole
    corners = picture[[4, 4, -5, -5], [4, -5, 4, -5]]
    assert corners.min() > 120
    assert (picture.min(axis=2) > 252).mean() < 0.002
    assert (grey(picture) < 8).mean() < 0.002


def test_a_ray_that_grazes_the_wood_is_followed_to_its_end():
    """The crowned globe's groove over its finial is looked along: wherever a ray is said to miss,
    no place on it, a fortieth of a millimetre apart, lies in wood."""
    piece = open_episode(shipped("designs") / "crowned-globe.yaml").piece
    studio = shading._Studio(piece, 1280, 720)
    rows, columns = np.mgrid[444:454, 612:644].astype(np.float32)
    column = np.concatenate([columns.ravel() + right for right, _ in shading._SAMPLES])
    row = np.concatenate([rows.ravel() + down for _, down in shading._SAMPLES])
    away = studio._march(column, row)
    assert np.isfinite(away).mean() > 0.8
    camera = studio.camera
    missed = ~np.isfinite(away)
    ray, (ex, ey, ez) = camera.ray(column[missed], row[missed]), camera.eye
    middle = math.dist(camera.eye, (0, 0, 0))
    for t in np.arange(middle - 60, middle + 60, 0.025, dtype=np.float32):
        dx, dy, dz = ray
        assert (studio.scene.distance(ex + t * dx, ey + t * dy, ez + t * dz) > 0).all()


def test_no_backdrop_shows_through_the_groove_over_a_finial():
    """Along that groove's edge nothing is brighter than the wood in shade beside it."""
    piece = open_episode(shipped("designs") / "crowned-globe.yaml").piece
    picture = grey(shaded(piece, 1280, 720))
    assert picture[447:452, 619:632].max() < picture[440:446, 612:624].max() + 10


def test_a_ball_is_round(pieces):
    wood = shown(shaded(pieces["plain"], *SMALL))
    rows, columns = np.flatnonzero(wood.any(axis=1)), np.flatnonzero(wood.any(axis=0))
    high, wide = rows[-1] - rows[0] + 1, columns[-1] - columns[0] + 1
    assert wide == pytest.approx(high, abs=2)
    assert high == pytest.approx(0.74 * SMALL[1], abs=2)
    assert wood.sum() == pytest.approx(np.pi / 4 * wide * high, rel=0.02)


def dips(line):
    """How many separate places are much darker than their surroundings of a tenth of the line."""
    reach = len(line) // 10
    padded = np.pad(line, reach, mode="edge")
    around = np.array([np.median(padded[i : i + 2 * reach + 1]) for i in range(len(line))])
    dark = line < 0.90 * around
    return int((dark[1:] & ~dark[:-1]).sum())


def test_grooves_are_seen_and_counted(pieces):
    """Along the equator a groove darkens one side of itself; a plain ball has no such place."""
    lines = {}
    for name, grooves in (("plain", 0), ("five grooves", 5)):
        piece = Piece(pieces[name].globe, "American holly")
        picture = grey(shaded(piece, 960, 540))
        camera = camera_for(Scene(piece), 960, 540)
        half = 0.30 * 540
        middle = int(camera.middle[1] + 0.02 * 540)
        line = picture[middle - 2 : middle + 3].mean(axis=0)
        lines[grooves] = line[int(480 - half) : int(480 + half)]
    assert dips(lines[0]) == 0
    assert 3 <= dips(lines[5]) <= 5  # of ten crossings five face the camera, one or two edge on


def test_grooves_are_darker_than_lands(pieces):
    """Light reaches less of a hollow: pixels of grooves against pixels of lands, same wood."""
    globe = pieces["four grooves"].globe
    studio = shading._Studio(pieces["four grooves"], *SMALL)
    rows, columns = np.mgrid[0 : SMALL[1], 0 : SMALL[0]].astype(np.float32)
    column, row = columns.ravel() + 0.5, rows.ravel() + 0.5
    away = studio._march(column, row)
    hit = np.isfinite(away)
    met = studio._meet(column[hit], row[hit], away[hit])
    open_, _ = studio._reaching(met)
    far = np.linalg.norm(met.at, axis=0)
    bottom, land = far < globe.diameter_mm / 2 - 1.2, far > globe.diameter_mm / 2 - 0.02
    assert bottom.sum() > 500
    assert land.sum() > 5000
    assert open_[bottom].mean() < 0.8 * open_[land].mean()
    light = grey(shaded(pieces["four grooves"], *SMALL)).ravel()[hit]
    front = met.normal[2] < 0.5  # the top pole lies in full light
    assert light[bottom & front].mean() < 0.93 * light[land & front].mean()


def test_woods_have_their_own_tones(pieces):
    globe = pieces["plain"].globe
    middles = {}
    for wood in ("American holly", "black cherry", "black walnut", "driftwood"):
        picture = shaded(Piece(globe, wood), 160, 90)
        middles[wood] = picture[30:60, 65:95].reshape(-1, 3).mean(axis=0)
    holly, cherry, walnut = (middles[w] for w in ("American holly", "black cherry", "black walnut"))
    assert holly.min() > 190
    assert cherry[0] - cherry[2] > 60  # red-brown
    assert walnut.mean() < 110 < cherry.mean() + 20 < holly.mean()
    assert len({tuple(m.round()) for m in middles.values()}) == 4


def test_parts_may_be_of_another_wood(in_woods):
    light_cap = shaded(in_woods("black walnut", "American holly"), *SMALL)
    dark_cap = shaded(in_woods("American holly", "black walnut"), *SMALL)
    cap, ball = np.s_[38:48, 230:250], np.s_[90:130, 215:265]
    assert light_cap[cap].mean() > dark_cap[cap].mean() + 50
    assert light_cap[ball].mean() < dark_cap[ball].mean() - 50


def test_what_cannot_stand_hangs_on_a_thread(pieces):
    picture = grey(shaded(pieces["ornament"], *SMALL))
    line = picture[4]
    assert line[SMALL[0] // 2 - 2 : SMALL[0] // 2 + 2].min() < line[40] - 30
    standing = grey(shaded(pieces["plain"], *SMALL))[4]
    assert np.ptp(standing[200:280]) < 6


def test_edges_are_soft(pieces):
    """From backdrop to wood there are pixels in between, on the dark side of the ball too."""
    picture = shaded(Piece(Globe(60), "black walnut"), *SMALL).astype(int)
    wood = shown(picture)
    soft = []
    for row in range(SMALL[1] // 2 - 30, SMALL[1] // 2 + 30):
        first = np.flatnonzero(wood[row])[0]
        line = picture[row, first - 4 : first + 4].mean(axis=1)
        soft.append(((line > line[-1] + 15) & (line < line[0] - 15)).any())
    assert np.mean(soft) > 0.5


@pytest.mark.parametrize("size", [(15, 100), (100, 4097), (0, 0), (-1, 50)])
def test_sizes_out_of_range(pieces, size):
    with pytest.raises(ValueError, match="pixels wide and high"):
        shaded_png(pieces["plain"], *size)


def test_nothing_has_no_picture():
    with pytest.raises(ValueError, match="has no picture"):
        shaded_png(Piece(None, "oak"))


def test_narrow_and_upright_pictures(pieces):
    for size in ((16, 300), (120, 213)):
        assert shaded(pieces["ornament"], *size).shape == (size[1], size[0], 3)
