"""Files made from a finished piece: its picture and its meshes."""

from __future__ import annotations

from studio.turning.piece import Piece

PICTURE, PRINT, MODEL = "piece.png", "piece.stl", "piece.glb"
"""Names of the files."""


def picture_files(piece: Piece) -> dict[str, bytes]:
    """The piece's picture (PNG, sRGB), one closed solid (STL, mm) and coloured model (GLB, m).

    The same bytes each time. Args: piece.

    Raises:
        ValueError: the piece has neither globe nor part.
    """
    # numpy and the solid library are heavy: loaded when a picture is wanted
    from studio.picture.mesh_files import glb, stl
    from studio.picture.shading import shaded_png
    from studio.picture.solids import all_meshes

    whole, each = all_meshes(piece)
    return {
        PICTURE: shaded_png(piece),
        PRINT: stl(whole),
        MODEL: glb(each),
    }
