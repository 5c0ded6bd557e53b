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


class Lettering:
    """A PDF's lettering, of which a digit can be changed; parsed once for all changes."""

    def __init__(self, pdf: bytes) -> None:
        """Read it."""
        self.pdf = pdf
        self.digits = tuple(_digits(PdfReader(io.BytesIO(pdf))))
        self._writer = PdfWriter(clone_from=io.BytesIO(pdf))
        self._parsed: dict[int, ContentStream] = {}

    def changed(self, digit: Digit, code: str) -> bytes:
        """The PDF with another digit's code in its place; all else on its sheets stays."""
        content = self._content_of(digit.page)
        operands, _ = content.operations[digit.operation]
        row = operands[0] if isinstance(operands[0], list) else operands
        old = _strings(operands)[digit.string]
        place = next(at for at, one in enumerate(row) if one is old)
        new = TextStringObject(old[: digit.sign] + code + old[digit.sign + 1 :])
        new.autodetect_utf16 = old.autodetect_utf16
        try:
            _put(content, row, place, new)
            return self._written([digit.page])
        finally:
            _put(content, row, place, old)

    def written(self) -> bytes:
        """The PDF with every sheet that was ever changed as it stands now."""
        return self._written(list(self._parsed))

    def _written(self, numbers: list[int]) -> bytes:
        """The PDF with the parsed contents of some sheets; all others keep what the press wrote."""
        pages = [self._writer.pages[number] for number in numbers]
        as_made = [page.raw_get("/Contents") for page in pages]
        written = io.BytesIO()
        try:
            for page, number in zip(pages, numbers, strict=True):
                page[NameObject("/Contents")] = self._parsed[number].indirect_reference
            self._writer.write(written)
        finally:
            for page, contents in zip(pages, as_made, strict=True):
                page[NameObject("/Contents")] = contents
        return written.getvalue()

    def _content_of(self, number: int) -> ContentStream:
        if number not in self._parsed:
            self._parsed[number] = _content(self._writer.pages[number], self._writer)
            self._writer._add_object(self._parsed[number])
        return self._parsed[number]


def _put(content: ContentStream, row: Any, place: int, string: Any) -> None:
    row[place] = string
    # what was written of it last is forgotten, else it is written again
    content.operations = content.operations


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
