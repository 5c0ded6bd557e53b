"""A form that can be turned can be turned at another size too: rounding does not spoil it."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.design.scaled_sizes import Size, Sized, profile_texts
from studio.episode.assemble import open_episode
from studio.measure.measurement import System
from studio.measure.units import Length, parse_length
from studio.turning import profile

SIZES = [parse_length(f"{20 + place * 2.33:.2f} mm") for place in range(20)]
SIZES += [parse_length(f"{12 + place}/16 in") for place in range(20)]
"""Forty sizes, in both systems, most of them no round figure."""

STOCK = 30
"""Diameter of the stock before, mm: the thickest place of every form here."""

MAKERS: dict[str, Callable[..., profile.Element]] = {
    "straight": profile.straight, "fillet": profile.fillet, "tenon": profile.tenon,
    "taper": profile.taper, "ogee": profile.ogee, "bead": profile.bead, "cove": profile.cove,
}  # fmt: skip


def typed_mm(low: int, high: int, step: int = 100) -> st.SearchStrategy[Fraction]:
    """Lengths from ``low`` to ``high`` mm as they are typed, to a tenth or hundredth."""
    return st.integers(low * step, high * step).map(lambda count: Fraction(count, step))


def upwards(mm: float) -> Fraction:
    """To the next hundredth of a millimetre, as somebody would type the least that does."""
    return Fraction(math.ceil(round(mm * 100, 6)), 100)


@st.composite
def elements(draw: st.DrawFn, shape: str) -> Sized:
    """One element that can be turned, its curve often as steep as it can be; 30 mm at most."""
    narrow, wide = draw(typed_mm(4, 15, 10)), draw(st.just(Fraction(STOCK)) | typed_mm(16, 30, 10))
    free = draw(st.just(Fraction(0)) | typed_mm(0, 6))
    if shape in ("straight", "fillet", "tenon"):
        sizes = {"length": draw(typed_mm(2, 30)), "diameter": wide}
    elif shape in ("taper", "ogee"):
        least = profile.least_ogee_mm(float(narrow), float(wide))
        sizes = {"length": upwards(least) + free, "start": narrow, "end": wide}
    else:
        other = draw(st.just(narrow) | typed_mm(16, 30, 10))
        start, end = draw(st.permutations([narrow, min(other, wide)]))
        key, middle = ("crown", wide) if shape == "bead" else ("throat", min(start, end) - 1)
        least = profile.least_curve_mm(float(middle), float(start), float(end))
        sizes = {"length": upwards(least) + free, key: middle, "start": start, "end": end}
    system = draw(st.sampled_from(System))
    return Sized(shape, {key: Size(mm, system, shape != "tenon") for key, mm in sizes.items()})


def made(one: Sized, mm: dict[str, float]) -> profile.Element:
    keys = ("length", "crown", "throat", "diameter", "start", "end")
    return MAKERS[one.shape](*(mm[key] for key in keys if key in mm))


def scaled(forms: list[Sized], size: Length) -> list[dict[str, float]]:
    """Every element's sizes as they are written at a size, in mm."""
    factor = size.mm / STOCK
    grown = [
        Sized(
            one.shape,
            {
                key: Size(each.mm * factor if each.scales else each.mm, each.system, each.scales)
                for key, each in one.sizes.items()
            },
        )
        for one in forms
    ]
    texts = profile_texts(grown, size)
    return [
        {
            key: float(parse_length(texts[at, key]).mm if each.scales else each.mm)
            for key, each in one.sizes.items()
        }
        for at, one in enumerate(grown)
    ]


@pytest.mark.parametrize("shape", sorted(MAKERS))
@given(st.data())
def test_what_can_be_turned_can_be_turned_at_forty_sizes(shape: str, data: st.DataObject) -> None:
    one = data.draw(elements(shape))
    made(one, {key: float(each.mm) for key, each in one.sizes.items()})
    for size in SIZES:
        (mm,) = scaled([one], size)
        made(one, mm)
        for key, each in one.sizes.items():
            exact = float(each.mm * size.mm / STOCK) if each.scales else float(each.mm)
            # a whole 1/64 in where it may not be larger; a curve goes along with its diameters
            assert mm[key] == pytest.approx(exact, abs=1.0 if key == "length" else 0.4)
            if key != "length" and each.scales:
                assert mm[key] <= float(size.mm) or each.mm > STOCK


@given(st.lists(st.sampled_from(sorted(MAKERS)).flatmap(elements), min_size=2, max_size=5))
def test_what_is_equal_stays_equal(forms: list[Sized]) -> None:
    for size in SIZES[::5]:
        written = scaled(forms, size)
        by_exact: dict[Fraction, set[float]] = {}
        for one, mm in zip(forms, written, strict=True):
            for key, each in one.sizes.items():
                if key != "length" and each.scales:
                    by_exact.setdefault(each.mm, set()).add(mm[key])
        assert all(len(each) == 1 for each in by_exact.values())
        assert by_exact.get(Fraction(STOCK), {float(size.mm)}) == {float(size.mm)}


def test_a_flat_bead_keeps_its_rise() -> None:
    """20.1 over 20 mm at half the size is 10.05 over 10: a tenth would make it straight."""
    sizes = {"length": 20, "crown": Fraction(2008, 100), "start": 20, "end": 20}
    one = Sized("bead", {k: Size(Fraction(mm), System.METRIC, True) for k, mm in sizes.items()})
    (mm,) = scaled([one], parse_length("15 mm"))
    assert (mm["crown"], mm["start"]) == (10.04, 10)


HALF_BALL = """\
title: Half a ball
form: turned
stock: {species: cherry, diameter: 30 mm}
parts:
  drop:
    profile:
      - {shape: bead, length: 10 mm, crown: 20 mm, start: 0 mm}
      - {shape: straight, length: 20 mm, diameter: 20 mm}
      - {shape: ogee, length: 5 mm, end: 30 mm}
steps:
  - {id: a, title: A, does: [spindle-running], do: Turn.}
"""


@pytest.mark.parametrize("size", ["22 mm", "50 mm", "22.05 mm", "1 1/16 in", "33.333 mm"])
def test_a_half_ball_stays_one_and_says_what_it_is_scaled_from(folder: Path, size: str) -> None:
    """Its neighbour tells where the bead ends; it is as long as its circle is wide (geometry)."""
    (folder / "half.yaml").write_text(HALF_BALL, encoding="utf-8")
    cousin = folder / "cousin.yaml"
    cousin.write_text(f"title: Cousin\nbased_on: half.yaml\nscale_to: {size}\n", encoding="utf-8")
    episode = open_episode(cousin)
    thickest = episode.table["drop.thickest"]
    assert thickest.value == pytest.approx(float(parse_length(size).mm), abs=1e-9)
    assert "scaled" in thickest.source
    notes = {
        note.split(": ")[0].removeprefix("parts.drop.profile"): parse_length(
            note.split("becomes ")[1]
        )
        for note in episode.notes
        if "profile" in note and "becomes" in note
    }
    assert notes["[3].end"].mm == parse_length(size).mm
    assert float(notes["[1].length"].mm) == pytest.approx(
        float(notes["[1].crown"].mm) / 2, abs=0.01
    )
