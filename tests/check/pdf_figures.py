"""Digits in a PDF, and the same PDF with one of them changed, as a hand with an editor could."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import ContentStream, NameObject, TextStringObject

_SHOWN = (b"Tj", b"TJ")


@dataclass(frozen=True)
class Digit:
    """Where a digit stands: page, operation of its content, string of that, sign in the string."""

    page: int
    operation: int
    string: int
    sign: int
    digit: str
    others: tuple[tuple[str, str], ...]
    """Each other digit that the lettering of this place has, with the code that shows it."""


def digits(pdf: bytes) -> tuple[Digit, ...]:
    """Every digit that is shown, page by page."""
    return tuple(_digits(PdfReader(io.BytesIO(pdf))))


def _digits(reader: PdfReader) -> Iterator[Digit]:
    for number, page in enumerate(reader.pages):
        font: dict[str, str] = {}
        fonts = _fonts(page)
        for operation, (operands, name) in enumerate(_content(page, reader).operations):
            if name == b"Tf":
                font = fonts[operands[0]]
            if name not in _SHOWN:
                continue
            codes = {shown: code for code, shown in font.items() if shown.isdigit()}
            for string, text in enumerate(_strings(operands)):
                for sign, code in enumerate(text):
                    digit = font.get(code, "")
                    others = tuple(
                        (d, c) for d, c in sorted(codes.items()) if d not in (digit, "0")
                    )
                    if digit.isdigit() and others:
                        yield Digit(number, operation, string, sign, digit, others)


def changed(pdf: bytes, digit: Digit, code: str) -> bytes:
    """The PDF with another digit's code in its place; all else on its sheets stays."""
    writer = PdfWriter(clone_from=io.BytesIO(pdf))
    page = writer.pages[digit.page]
    content = _content(page, writer)
    operands, _ = content.operations[digit.operation]
    strings = _strings(operands)
    old = strings[digit.string]
    new = TextStringObject(old[: digit.sign] + code + old[digit.sign + 1 :])
    new.autodetect_utf16 = old.autodetect_utf16
    row = operands[0] if isinstance(operands[0], list) else operands
    row[next(at for at, one in enumerate(row) if one is old)] = new
    page[NameObject("/Contents")] = writer._add_object(content)
    written = io.BytesIO()
    writer.write(written)
    return written.getvalue()


def _content(page: PageObject, pdf: Any) -> ContentStream:
    return ContentStream(page.get_contents(), pdf)


def _strings(operands: Any) -> list[Any]:
    row = operands[0] if isinstance(operands[0], list) else operands
    return [one for one in row if isinstance(one, str)]


def _fonts(page: PageObject) -> dict[str, dict[str, str]]:
    """Each font's name on a page: what each of its codes shows."""
    fonts = page["/Resources"].get("/Font", {})
    return {name: _shows(font.get_object()) for name, font in fonts.items()}


def _shows(font: Any) -> dict[str, str]:
    lines = font["/ToUnicode"].get_object().get_data().decode("ascii").splitlines()
    pairs = (line.split() for line in lines if line.startswith("<") and line.count("<") == 2)
    return {
        chr(int(code.strip("<>"), 16)): bytes.fromhex(shown.strip("<>")).decode("utf-16-be")
        for code, shown in pairs
    }
