"""Signs that the lettering lacks are told with their line, where they would be a box."""

from __future__ import annotations

import struct
from importlib.util import find_spec
from pathlib import Path

import pytest

from studio.check import signs
from studio.check.context import Context
from studio.check.findings import Finding, Severity
from studio.cli import main
from studio.film.lettering import unlettered
from studio.paper.typeset.press import without_a_face

EMOJI, IDEOGRAPH, HEBREW, ARABIC = "\U0001f600", "\u6728", "\u05e9", "\u0643"


def found(built) -> tuple[Finding, ...]:
    return signs.check(Context.of(built.design, built.out)).findings


def change(built, old: str, new: str) -> None:
    text = built.design.read_text("utf-8")
    assert old in text
    built.design.write_text(text.replace(old, new, 1), "utf-8")


def line_of(path: Path, sign: str) -> int:
    return next(
        at for at, line in enumerate(path.read_text("utf-8").split("\n"), 1) if sign in line
    )


def test_a_shipped_design_has_none(built) -> None:
    assert found(built) == ()


def test_what_every_face_has_is_not_told(built) -> None:
    """Letters of other languages of Europe, typographer's signs."""
    change(built, "title: ", "title: “Großes Łódź” – „Ő“ ½ × 3′ Ж ω ")
    assert found(built) == ()


@pytest.mark.parametrize("sign", [EMOJI, IDEOGRAPH])
def test_a_sign_that_no_face_has_is_told_for_pdfs_and_cards(built, sign: str) -> None:
    change(built, "title: ", f"title: {sign} ")
    (one,) = found(built)
    assert (one.code, one.severity) == ("missing-sign", Severity.NOTE)
    assert one.where == str(built.design)
    assert one.at == f"line {line_of(built.design, sign)} (title)"
    assert one.said == f"{sign} (U+{ord(sign):04X})"
    assert "on the PDFs and on cards and thumbnail" in one.expected


@pytest.mark.parametrize("sign", [HEBREW, ARABIC])
def test_what_the_sheets_can_set_is_told_for_cards_alone(built, sign: str) -> None:
    change(built, "title: ", f"title: {sign} ")
    (one,) = found(built)
    assert "on cards and thumbnail" in one.expected
    assert "PDF" not in one.expected


def test_signs_of_one_text_are_told_each_for_where_a_box_stands(built) -> None:
    change(built, "title: ", f"title: {EMOJI}{ARABIC}{IDEOGRAPH}{HEBREW} ")
    told = {one.said.replace(",", "").split()[0]: one for one in found(built)}
    assert set(told) == {EMOJI, ARABIC}
    assert IDEOGRAPH in told[EMOJI].said
    assert "on the PDFs and on cards and thumbnail" in told[EMOJI].expected
    assert HEBREW in told[ARABIC].said
    assert "PDF" not in told[ARABIC].expected


def test_the_line_is_that_of_the_sign_in_a_long_text(built) -> None:
    change(built, "    do: >\n", f"    do: >\n      First\n      {EMOJI}{IDEOGRAPH} this.\n")
    (one,) = found(built)
    assert one.at.startswith(f"line {line_of(built.design, EMOJI)} (steps[")
    assert one.at.endswith(".do)")
    assert one.said == f"{EMOJI} (U+1F600), {IDEOGRAPH} (U+6728)"
    # what to do stands on no card
    assert "on the PDFs, whose" in one.expected


def test_what_is_only_said_is_not_told(built) -> None:
    """Captions are lettered by the viewer's own player."""
    change(built, "    say: >\n", f"    say: >\n      {EMOJI} Hello.\n")
    assert found(built) == ()


def test_a_text_of_the_workshop_is_told_with_its_file(built) -> None:
    workshop = built.design.with_name("workshop.yaml")
    text = workshop.read_text("utf-8")
    workshop.write_text(text.replace("name: ", f"name: {IDEOGRAPH} ", 1), "utf-8")
    (one,) = found(built)
    assert one.where.endswith("workshop.yaml")
    assert one.at == f"line {line_of(workshop, IDEOGRAPH)} (workshop.name)"


def test_build_tells_it_too(built, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    change(built, "title: ", f"title: {EMOJI} ")
    assert main(["build", str(built.design), "--out", str(tmp_path / "new")]) == 0
    told = capsys.readouterr()
    line = line_of(built.design, EMOJI)
    assert f"{built.design}, line {line} (title): {EMOJI} (U+1F600): a box stands there" in (
        told.out + told.err
    )


def characters_of(file: Path) -> set[int]:
    """What a font has signs for: its ``cmap`` table in format 4 (OpenType specification, cmap)."""
    data = file.read_bytes()
    (tables,) = struct.unpack_from(">H", data, 4)
    at = {
        data[12 + 16 * k : 16 + 16 * k]: struct.unpack_from(">L", data, 20 + 16 * k)[0]
        for k in range(tables)
    }[b"cmap"]
    (count,) = struct.unpack_from(">H", data, at + 2)
    have: set[int] = set()
    for k in range(count):
        platform, _, offset = struct.unpack_from(">HHL", data, at + 4 + 8 * k)
        here = at + offset
        if platform not in (0, 3) or struct.unpack_from(">H", data, here)[0] != 4:
            continue
        segments = struct.unpack_from(">H", data, here + 6)[0] // 2
        end, start = here + 14, here + 16 + 2 * segments
        for one in range(segments):
            (last,) = struct.unpack_from(">H", data, end + 2 * one)
            (first,) = struct.unpack_from(">H", data, start + 2 * one)
            have |= set(range(first, last + 1))
    return have


def test_what_cards_lack_is_what_the_font_says() -> None:
    package = find_spec("font_source_sans_pro")
    assert package is not None
    assert package.origin is not None
    have = characters_of(Path(package.origin).parent / "files" / "SourceSansPro-Semibold.ttf")
    assert len(have) > 800
    tried = frozenset("Жω½→♥☃①אבكظ木한" + EMOJI)
    lacking = frozenset(sign for sign in tried if ord(sign) not in have)
    assert 5 < len(lacking) < len(tried)
    assert unlettered(tried) == lacking
    # the sheets' other faces have more, and nothing is lost that the first one has
    assert without_a_face(tried) < lacking


def test_many_signs_are_all_named() -> None:
    many = frozenset(map(chr, range(0x4E00, 0x4E00 + 500)))
    assert without_a_face(many) == many
    assert without_a_face(frozenset()) == frozenset()
