"""A problem with a size that was scaled names what is typed, the scale, and what would do."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from studio import cli
from studio.episode.assemble import open_episode
from studio.errors import BadInput

Edit = Callable[[Path, str, str], Path]
FaultsOf = Callable[[Path], list[str]]

BIG = """\
title: Big
form: turned
stock: {species: black cherry, diameter: 74 mm}
parts:
  f:
    profile:
      - {shape: bead, length: 12 mm, crown: 14 mm, start: 0 mm, end: 12 mm}
      - {shape: cove, length: 12 mm, throat: 3.7 mm, start: 12 mm, end: 14 mm}
      - {shape: fillet, length: 5 mm, diameter: 70 mm}
steps:
  - {id: t, title: T, part: f, stage: finish, does: [spindle-running], do: T.}
"""


@pytest.fixture
def big(folder: Path) -> Path:
    path = folder / "big.yaml"
    path.write_text(BIG, encoding="utf-8")
    return path


def cousin(folder: Path, base: str, text: str, name: str = "small") -> Path:
    path = folder / f"{name}.yaml"
    path.write_text(f"title: Cousin\nbased_on: {base}\n{text}", encoding="utf-8")
    return path


def test_a_scaled_neck_is_told_in_both_sizes(big: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """3 mm in a cousin of 30/74 is 3·74/30 = 7.4 mm in the design that it is scaled from."""
    argv = ["new", "small", "--from", str(big), "--scale-to", "30 mm"]
    assert cli.main(argv) == 2
    told = capsys.readouterr().err
    assert "big.yaml:8:17" in told
    assert "the neck of 1.5 mm is thinner than f's least neck of 3 mm" in told
    assert "big.yaml:8 has 3.7 mm there, scaled by 0.4054 to 1.5 mm" in told
    assert (
        "write at least 7.4 mm there, or write parts.f.profile out in small.yaml with 3 mm" in told
    )
    assert "write at least 3 mm there" not in told


def test_what_is_told_would_do(big: Path, folder: Path, edit: Edit, faults_of: FaultsOf) -> None:
    small = cousin(folder, "big.yaml", "scale_to: 31 mm\n")
    (told,) = faults_of(small)
    found = re.search(r"write at least (\S+ mm) there, or", told)
    assert found is not None
    edit(big, "throat: 3.7 mm", f"throat: {found[1]}")
    assert open_episode(small).table["f.neck"].value == pytest.approx(3, abs=0.01)


def test_a_chain_is_told_by_what_is_typed_at_its_end(
    big: Path, folder: Path, faults_of: FaultsOf
) -> None:
    """74 to 60 to 30 mm, and once without a size of its own."""
    cousin(folder, "big.yaml", "scale_to: 60 mm\nparts: {f: {least_neck: 2 mm}}\n", "mid")
    twice = cousin(folder, "mid.yaml", "scale_to: 30 mm\n", "twice")
    (told,) = faults_of(twice)
    assert "big.yaml:8 has 3.7 mm there, scaled by 0.4054 to 1.5 mm" in told
    assert "write at least 4.94 mm there" in told
    assert "out in twice.yaml with 2 mm there" in told
    same = cousin(folder, "mid.yaml", "parts: {f: {least_neck: 4 mm}}\n", "same")
    (told,) = faults_of(same)
    assert "big.yaml:8 has 3.7 mm there, scaled by 0.8108 to 3 mm" in told


def test_a_neck_typed_in_the_cousin_is_told_plainly(
    big: Path, folder: Path, faults_of: FaultsOf
) -> None:
    profile = BIG[BIG.index("parts:") : BIG.index("steps:")]
    (told,) = faults_of(
        cousin(folder, "big.yaml", "scale_to: 72 mm\n" + profile.replace("3.7 mm", "2 mm"))
    )
    assert "small.yaml:" in told
    assert "write at least 3 mm there;" in told
    assert "scaled" not in told


@pytest.mark.parametrize(
    ("base", "text", "where", "said"),
    [
        # the least land does not scale: no width is left that the file could have
        ("lobed-globe.yaml", "scale_to: 30 mm\ngrooves: {least_land: 9 mm}\n", "grooves.width",
         "has 6 mm there, scaled by 0.5 to 3 mm"),
        # 3 mm is the narrowest cutter owned
        ("lobed-globe.yaml", "scale_to: 15 mm\nhanger: {hole_depth: 6 mm}\n", "grooves.depth",
         "has 2 mm there, scaled by 0.25 to 0.5 mm"),
        # the schema's own range: a length of 0.2 mm or more
        ("big.yaml", "scale_to: 9 mm\nparts: {f: {least_neck: 0.5 mm}}\n",
         "parts.f.profile[2].throat", "has 3.7 mm there, scaled by 0.1216 to 0.45 mm"),
        # a bead as a whole: several of its sizes are scaled
        ("crowned-globe.yaml", "scale_to: 90 mm\nparts: {finial: {place: cap}}\n", "parts.finial",
         "the sizes of crowned-globe.yaml are scaled by 1.25 here"),
    ],
)  # fmt: skip
def test_any_problem_with_a_scaled_size_says_so(
    big: Path, folder: Path, faults_of: FaultsOf, base: str, text: str, where: str, said: str
) -> None:
    told = [fault for fault in faults_of(cousin(folder, base, text)) if where in fault]
    assert told
    assert said in told[0]
    assert "a size told here is one for small.yaml; divide it by" in told[0]


def test_problems_with_what_does_not_scale_are_told_as_ever(
    folder: Path, faults_of: FaultsOf
) -> None:
    text = "scale_to: 45 mm\nindexing: {marks: 12}\nhanger: {hole_depth: 80 mm}\n"
    told = faults_of(cousin(folder, "lobed-globe.yaml", text))
    assert len(told) == 2
    assert not any("scaled by" in fault for fault in told)


def test_a_tenon_is_not_taken_for_a_scaled_size(folder: Path, faults_of: FaultsOf) -> None:
    """The tenon of 7.8 mm stays, though 6.24 mm scaled by 1.25 is 7.8 too."""
    base = folder / "crowned-globe.yaml"
    text = base.read_text(encoding="utf-8").replace("throat: 6 mm", "throat: 6.24 mm")
    base.write_text(text, encoding="utf-8")
    small = cousin(folder, base.name, "scale_to: 90 mm\nparts: {finial: {least_neck: 7.9 mm}}\n")
    with pytest.raises(BadInput) as caught:
        open_episode(small)
    tenon = [str(one) for one in caught.value.faults if "profile[9]" in one.keys]
    assert tenon
    assert "write at least 7.9 mm there" in tenon[0]
    assert "scaled by" not in tenon[0]


def test_a_neck_a_hair_too_thin_is_printed_thinner(
    big: Path, folder: Path, faults_of: FaultsOf
) -> None:
    """3.7 mm · 60/74 is exactly 3; a least neck a thousandth above it is not the same."""
    text = "scale_to: 60 mm\nparts: {f: {least_neck: 3.001 mm}}\n"
    (told,) = faults_of(cousin(folder, "big.yaml", text))
    found = re.search(r"the neck of (\S+) mm is thinner than f's least neck of (\S+) mm", told)
    assert found is not None
    assert float(found[1]) < float(found[2])
