"""The files of a piece, and what is loaded to make them."""

import subprocess
import sys

from studio.picture.files import picture_files


def test_picture_and_meshes_the_same_each_time(pieces):
    once, again = picture_files(pieces["five grooves"]), picture_files(pieces["five grooves"])
    assert list(once) == ["piece.png", "piece.stl", "piece.glb"]
    assert once == again
    assert once["piece.png"].startswith(b"\x89PNG\r\n")
    assert sum(map(len, once.values())) < 8_000_000


def test_nothing_heavy_is_loaded_before_a_picture_is_wanted():
    code = (
        "import sys, studio.picture.files, studio.picture.tones;"
        "print([m for m in ('numpy', 'PIL', 'manifold3d') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
