"""The press: data and one of our sheets in, a tagged PDF out, the same bytes on every machine.

The data goes in as JSON beside the sheet's source, never as part of it, so that nothing in a
design's text can be taken for the sheet's own language. Only the package's own lettering and sheets
are read; nothing is asked of the network or of the system's fonts.
"""

from __future__ import annotations

import hashlib
import json
import re
import tempfile
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from studio.errors import BadInput, WorkFailed

if TYPE_CHECKING:
    import typst

SHEETS = Path(__file__).parent / "sheets"
"""Where the sheets' sources lie; the press reads no file outside it."""

COMMON = "common.typ"
"""What the sheets share."""

FACES = ("Regular", "It", "Semibold", "Bold", "Black")
"""The faces of the lettering that sheets are set in."""

STANDARD: Final = "ua-1"
"""ISO 14289-1, PDF/UA-1: tags, language, title and a text for every drawing."""

MAX_BYTES = 8_000_000
"""Most data that a sheet is set from (ours; the largest design of the tests comes to a tenth)."""

SIGNS = "signs.typ"
"""The sheet that signs are tried on."""

_NO_FACE = re.compile(r'the text `"(.*?)"` could not be displayed')
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")

_STAMP = re.compile(rb"studio-([0-9a-f]{32})")


def data_of(content: Mapping[str, Any]) -> bytes:
    """What a sheet is set from, as it goes to the press.

    Raises:
        BadInput: it is more than ``MAX_BYTES``.
    """
    data = json.dumps(content, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    encoded = data.encode("utf-8")
    if len(encoded) > MAX_BYTES:
        raise BadInput.of(
            f"a paper of this design would be set from {len(encoded):,} bytes; "
            f"{MAX_BYTES:,} are the most",
            "shorten the texts, or make the design of fewer parts",
        )
    return encoded


@cache
def _edition() -> bytes:
    """What decides on a PDF beside its data: the press, the lettering, what sheets share."""
    versions = f"{version('typst')} {version('font-source-sans-pro')} {STANDARD}"
    return versions.encode("ascii") + (SHEETS / COMMON).read_bytes()


def stamp(sheet: str, data: bytes) -> str:
    """A digest of all that a PDF is made from; the PDF carries it among its keywords."""
    parts = (_edition(), (SHEETS / sheet).read_bytes(), data)
    digest = hashlib.sha256(b"\0".join(hashlib.sha256(one).digest() for one in parts))
    return digest.hexdigest()[:32]


def stamp_in(pdf: bytes) -> str:
    """The stamp that a PDF carries; empty when it carries none."""
    found = _STAMP.search(pdf)
    return found[1].decode("ascii") if found else ""


@cache
def _lettering() -> typst.Fonts:
    import typst

    found = find_spec("font_source_sans_pro")
    if found is None or found.origin is None:
        raise WorkFailed("the lettering is missing; install this package again with its fonts")
    files = Path(found.origin).parent / "files"
    # a folder of the faces alone: the package has each of them twice, and which of two equal ones
    # is taken would depend on the disk
    with tempfile.TemporaryDirectory() as place:
        for face in FACES:
            name = f"SourceSansPro-{face}.ttf"
            if not (files / name).is_file():
                raise WorkFailed(f"the lettering {name} is missing; install it again")
            (Path(place) / name).symlink_to(files / name)
        # signs that the lettering lacks come from the faces inside the press
        return typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=True, font_paths=[place]
        )


def pressed(sheet: str, data: bytes) -> bytes:
    """A sheet of ours set from ``data``: a tagged PDF, its faces embedded.

    Args:
        sheet: file name under ``sheets/``.
        data: from ``data_of``.

    Raises:
        WorkFailed: the press refused it, which is a fault of the sheet.
    """
    import typst

    inputs = {"data": data.decode("utf-8"), "stamp": f"studio-{stamp(sheet, data)}"}

    def run(standards: list[typst.PDFStandard]) -> bytes:
        return typst.compile(
            SHEETS / sheet,
            root=SHEETS,
            font_paths=_lettering(),
            sys_inputs=inputs,
            pdf_standards=standards,
            timestamp=0,
        )

    try:
        try:
            return run([STANDARD])
        except typst.TypstError as error:
            if STANDARD.upper() not in f"{error.message} {error.diagnostic}".upper():
                raise
            # a sign that no face has (an emoji) is not allowed by the standard; it is set as a box
            return run([])
    except typst.TypstError as error:
        raise WorkFailed(f"{sheet} could not be set: {error.message}") from error


@lru_cache(maxsize=16)
def without_a_face(signs: frozenset[str]) -> frozenset[str]:
    """Which of some signs none of the faces has that sheets are set in.

    The press itself is asked: held to the standard, it names every sign that it cannot set.

    Args:
        signs: single characters.

    Raises:
        WorkFailed: the press refused them for another reason.
    """
    import typst

    if not signs:
        return frozenset()
    try:
        typst.compile(
            SHEETS / SIGNS,
            root=SHEETS,
            font_paths=_lettering(),
            sys_inputs={"data": json.dumps(sorted(signs))},
            pdf_standards=[STANDARD],
            timestamp=0,
        )
    except typst.TypstError as error:
        told = _NO_FACE.findall(f"{error.diagnostic}")
        if not told:
            raise WorkFailed(f"{SIGNS} could not be set: {error.message}") from error
        named = "".join(_ESCAPED.sub(lambda found: chr(int(found[1], 16)), one) for one in told)
        return signs & frozenset(named)
    return frozenset()
