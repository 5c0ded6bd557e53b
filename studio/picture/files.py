"""Files made from a finished piece: its picture and its meshes."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from studio.picture.stamps import stamp, stamp_in
from studio.turning.piece import Piece

PICTURE, PRINT, MODEL = "piece.png", "piece.stl", "piece.glb"
"""Names of the files."""

FILES = (PICTURE, PRINT, MODEL)


def picture_files(
    piece: Piece, made: Callable[[str], bytes | None] = lambda _: None
) -> dict[str, bytes]:
    """The piece's picture (PNG, sRGB), one closed solid (STL, mm) and coloured model (GLB, m).

    The same bytes each time. Args: piece; what was made before, by file name, or None: it is taken
    over when all of it is of the same piece.

    Raises:
        ValueError: the piece has neither globe nor part.
    """
    wanted = stamp(piece)
    before = {name: content for name in FILES if (content := made(name)) is not None}
    if len(before) == len(FILES) and all(stamp_in(one) == wanted for one in before.values()):
        return before
    return dict(_made(piece))


@lru_cache(maxsize=8)
def _made(piece: Piece) -> tuple[tuple[str, bytes], ...]:
    # numpy and the solid library are heavy: loaded when a picture is wanted
    from studio.picture.mesh_files import glb, stl
    from studio.picture.shading import shaded_png
    from studio.picture.solids import all_meshes

    whole, each = all_meshes(piece)
    return (
        (PICTURE, shaded_png(piece)),
        (PRINT, stl(whole, stamp(piece))),
        (MODEL, glb(each, stamp(piece))),
    )
