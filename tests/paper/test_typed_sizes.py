"""What a viewer types into the size box: read as meant or asked back, alike in both languages."""

from __future__ import annotations

import json
import random
import subprocess
from fractions import Fraction

import pint
import pytest

from studio.compute.typed_size import LONGEST, typed_size, typed_stops
from studio.language import speaking
from studio.measure.measurement import System
from studio.paper.javascript import javascript, value_text
from tests.browser import node

METRIC, IMPERIAL = System.METRIC, System.IMPERIAL


@pytest.mark.parametrize(
    ("text", "system", "size"),
    [
        ("57", METRIC, "57 mm"), ("57.2", METRIC, "57.2 mm"), ("57,2", METRIC, "57.2 mm"),
        ("57,25 mm", IMPERIAL, "57.25 mm"), (" 57MM ", IMPERIAL, "57 mm"),
        ("57.", METRIC, "57 mm"),
        ("5.72 cm", METRIC, "57.2 mm"), ("57 millimetres", IMPERIAL, "57 mm"),
        ("2 1/4", IMPERIAL, "2.25 in"), ("2 1/4", METRIC, "2.25 in"),
        ("2-1/4", IMPERIAL, "2.25 in"),
        ("2¼", IMPERIAL, "2.25 in"), ("9/4", IMPERIAL, "2.25 in"), ("2 1/4 in", METRIC, "2.25 in"),
        ('2 1/4"', METRIC, "2.25 in"), ("2¼″", METRIC, "2.25 in"), ("2 1/4''", METRIC, "2.25 in"),
        ("2.25", IMPERIAL, "2.25 in"), ("2,25", IMPERIAL, "2.25 in"), (".5", IMPERIAL, "0.5 in"),
        ("1.125", IMPERIAL, "1.125 in"), ("3/64 inch", METRIC, "0.046875 in"),
        ("2\u00a01\u20444 Zoll", METRIC, "2.25 in"), ("⅞", METRIC, "0.875 in"),
    ],
)  # fmt: skip
def test_sizes_as_people_write_them(text: str, system: System, size: str) -> None:
    """The inch by pint, a general-purpose library of units."""
    over, under, its, question = typed_size(text, system)
    assert question == ""
    one: pint.Quantity = pint.UnitRegistry()(f"{over / under} {'mm' if its == METRIC else 'inch'}")
    number, unit = size.split()
    wanted = pint.UnitRegistry()(f"{number} {'mm' if unit == 'mm' else 'inch'}").to("mm").magnitude
    assert one.to("mm").magnitude == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1,250", "may be read in two ways"), ("12.3456", "more than three decimals"),
        ("1,250.5", "cannot be read"), ("fifty", "cannot be read"), ("-50", "cannot be read"),
        ("2 1/3", "on no inch rule"), ("2 5/4", "on no inch rule"), ("2.5 1/4", "on no inch rule"),
        ("2 1/4 mm", "a fraction in millimetres"), ("1'", "cannot be read"),
        ("2 in 1/4", "cannot be read"), ("2 4", "cannot be read"), ("1/2/4", "cannot be read"),
        ("50 furlongs", "cannot be read"), ("50 mm 3", "cannot be read"),
        ("1/0", "on no inch rule"),
        ("9" * LONGEST, "cannot be read"), ("<b>", "cannot be read"), ("5e1", "cannot be read"),
        ("２", "cannot be read"), ("50 in in", "cannot be read"),
    ],
)  # fmt: skip
def test_what_is_not_understood_is_asked_back(text: str, said: str) -> None:
    for system in System:
        over, under, _, question = typed_size(text, system)
        assert (over, under) == (0, 1)
        assert said in question
        assert f"“{text}”" in question


def test_three_decimals_go_by_the_languages_own_sign() -> None:
    assert typed_size("1.125 in", METRIC)[3] == ""
    with speaking("de"):
        assert typed_size("1,125 Zoll", METRIC)[:2] == (1125, 1000)
        assert "„1.125“" in typed_size("1.125", IMPERIAL)[3]


def test_stops_are_whole_numbers() -> None:
    assert [typed_stops(one)[0] for one in ("24", " 60 ", "", "9999")] == [24, 60, 0, 9999]
    for text in ("1", "0", "24.5", "-24", "12345", "many"):
        assert typed_stops(text)[0] == 0
        assert f"“{text}” is no number of stops" in typed_stops(text)[1]


def typed_texts(count: int) -> list[str]:
    """Sizes as people write them, some with a sign too many, and what no size is made of."""
    chance = random.Random(11)
    out = []
    for _ in range(count):
        whole = str(chance.randint(0, 700))
        parts = [
            whole,
            f"{whole}{chance.choice('.,')}{chance.randint(0, 99_999)}",
            f"{whole}{chance.choice([' ', '-', ''])}{chance.choice('½¼¾⅛⅜⅝⅞')}",
            f"{whole} {chance.randint(0, 9)}/{chance.choice([2, 3, 4, 8, 16, 32, 64, 0])}",
            "".join(chance.choices(" 0123456789/.,-'\"″mincz½é\u00a0ß", k=chance.randint(0, 9))),
        ]
        unit = chance.choice(["", "", " mm", "mm", " in", '"', "″", "''", " cm", " Zoll", " ft"])
        out.append(chance.choice(parts) + unit)
    return out


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_browser_reads_them_as_python_does(language: str) -> None:
    """4,000 texts, to the letter; a tenth of them at least is sound and a tenth is not."""
    asked = [(text, system) for text in typed_texts(2_000) for system in System]
    with speaking(language):
        due = [[typed_size(*one), typed_stops(one[0])] for one in asked]
        formulas = javascript(typed_size, typed_stops)
    script = (
        f"{formulas}\nconsole.log(JSON.stringify({value_text(asked)}.map(([text, system]) =>"
        " [typed_size(text, system), typed_stops(text)])))"
    )
    done = subprocess.run(
        [node(), "-"], input=script, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    for one, mine, theirs in zip(
        asked, json.loads(json.dumps(due)), json.loads(done.stdout), strict=True
    ):
        assert theirs == mine, one
    sound = sum(not one[0][3] for one in due)
    assert len(due) / 10 < sound < len(due) * 9 / 10


def test_a_sound_size_is_what_was_written() -> None:
    """Fractions by Python's own reader of them."""
    chance = random.Random(5)
    for _ in range(500):
        whole, under = chance.randint(0, 23), chance.choice([2, 4, 8, 16, 32, 64])
        over = chance.randint(1, under - 1)
        read = typed_size(f"{whole} {over}/{under} in", METRIC)
        assert Fraction(*read[:2]) == whole + Fraction(f"{over}/{under}")
        places = chance.randint(0, 2)
        text = f"{chance.randint(8, 600)}.{chance.randint(0, 99):02d}"[: -2 + places or None]
        read = typed_size(text, METRIC)
        assert Fraction(*read[:2]) == Fraction(text.rstrip("."))
