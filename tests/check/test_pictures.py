"""The piece's picture and meshes are of the piece that the design has."""

from __future__ import annotations

from PIL import Image, ImageDraw
from PIL.PngImagePlugin import PngInfo

from studio.film.thumbnail import THUMBNAIL
from studio.picture.files import FILES
from studio.picture.stamps import KEY, stamp_in


def test_every_file_says_of_which_piece_it_is(built) -> None:
    stamps = {stamp_in((built.out / name).read_bytes()) for name in FILES}
    assert len(stamps) == 1
    assert len(stamps.pop()) == 24


def test_a_retouched_picture_is_found(built) -> None:
    path = built.out / "piece.png"
    with Image.open(path) as picture:
        told, changed = picture.text[KEY], picture.convert("RGB")
    ImageDraw.Draw(changed).rectangle((600, 300, 640, 340), fill=(200, 0, 0))
    kept = PngInfo()
    kept.add_text(KEY, told)
    changed.save(path, pnginfo=kept)
    assert (built.only().code, built.only().where) == ("old-picture", "piece.png")


def test_a_picture_of_another_size_is_found(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    built.design.write_text(text.replace("hole_depth: 12 mm", "hole_depth: 13 mm"), "utf-8")
    found = {finding.where for finding in built.check().findings if finding.code == "old-picture"}
    assert found == set(FILES)


def test_missing_files_are_found(built) -> None:
    for name in (*FILES, THUMBNAIL):
        (built.out / name).unlink()
    assert built.codes() == ["missing-picture"] * 4


def test_a_thumbnail_of_another_title_is_found(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    built.design.write_text(text.replace("title: A plain globe", "title: A globe"), "utf-8")
    found = [finding for finding in built.check().findings if finding.code == "old-picture"]
    assert [finding.where for finding in found] == [THUMBNAIL]


def test_a_stranger_is_no_picture_of_ours(built) -> None:
    for name, content in (("piece.glb", b"glTF\0\1"), ("piece.stl", b""), ("piece.png", b"GIF89a")):
        (built.out / name).write_bytes(content)
    assert built.codes() == ["old-picture"] * 3
