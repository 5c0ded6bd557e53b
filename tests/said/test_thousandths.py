"""A drill, a wire and a part of an inch said in thousandths are the printed ones.

From outside: number drills after ASME B94.11M (#51 is 0.0670 in, #50 0.0700), wires after ASTM B258
(22 AWG is 0.0253 in, 20 AWG 0.0320), both as any handbook's table has them. Sentences are invented.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from studio.measure.rounding import Steps
from studio.resources import shipped
from studio.said.agreeing import Verdict, agrees
from studio.said.finding import find_mentions
from studio.said.judging import Judge
from studio.said.material import Meaning, material_of

MATERIAL = material_of(shipped("designs") / "globe.yaml")
BENCH = Steps(Fraction(1, 10), Fraction(1, 32))


def verdict(name: str, said: str) -> Verdict:
    (mention,) = find_mentions(said)
    meaning: Meaning = MATERIAL.by_name[name]
    return agrees(mention, meaning, BENCH)


def test_the_globe_has_the_handbooks_drill_and_wire() -> None:
    printed = [MATERIAL.by_name[name].measurement.imperial.text
               for name in ("hanger.drill", "hanger.wire")]  # fmt: skip
    assert printed == ["#51", "22 AWG"]


@pytest.mark.parametrize(
    ("name", "right", "wrong"),
    [
        ("hanger.drill", ("sixty-seven thou", "0.067 in", "67 thou"), ("seventy thou", "0.069 in")),
        ("hanger.wire", ("twenty-five thou", "0.025 in"), ("thirty-two thou", "0.028 in")),
        # 15/32 in is 0.46875, 2 23/64 in is 2.359375
        ("hanger.depth", ("0.469 inches",), ("0.467 inches", "half an inch")),
        ("sphere.diameter", ("2.359 inches",), ("2.361 inches",)),
    ],
)
def test_thousandths_are_the_size_with_half_a_thou_left_out(
    name: str, right: tuple[str, ...], wrong: tuple[str, ...]
) -> None:
    assert {verdict(name, one) for one in right} == {Verdict.RIGHT}
    assert {verdict(name, one) for one in wrong} == {Verdict.WRONG}


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("It's a number fifty-one drill, sixty-seven thou.", "right right"),
        ("Twenty-two gauge, that's twenty-five thou.", "right right"),
        ("The drill's 0.067 inch.", "right"),
        ("The drill's 0.069 inch.", "wrong"),
    ],
)
def test_talk_in_thousandths(text: str, wanted: str) -> None:
    found = Judge(MATERIAL).judge(text, find_mentions(text), "hang")
    assert [str(one.verdict) for one in found] == wanted.split()
