"""Formulas as JavaScript: what is translated gives what Python gives, the rest is refused."""

from __future__ import annotations

import json
import math
import random
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from studio.measure import rounding
from studio.measure.measurement import System
from studio.measure.rounding import Direction, Grid
from studio.paper.javascript import HELPERS, Untranslatable, javascript, value_text
from studio.turning import seat
from tests.browser import node

LIMIT = 2.5
PAIR = ("a", "b")


@dataclass(frozen=True)
class Box:
    wide: float
    names: list[str]


def arithmetic(a: float, n: int) -> list[float]:
    """Each sign once."""
    total = 0.0
    for k in range(1, n + 1):
        if k % 2 == 0 and k != 4:
            total += a / k
        elif a < k <= LIMIT * n or a >= 100:
            total = total - k**2
        else:
            total += n // k
    return [total, -total, abs(total), math.hypot(a, n), min(a, n, 3), max([a * k for k in (1, 2)])]


def texts(value: float, box: Box, word: str = "none") -> str:
    """Texts built and tidied."""
    first, _ = PAIR
    many = [name for name in box.names if name != first]
    kind = word if word in PAIR else f"{len(many)} of {first}"
    wide = f"{value:,.2f}".rstrip("0").rstrip(".")
    return f"{kind} {', '.join(many)} {wide}" + (" wide" if box.wide > LIMIT else "")


def sequences(n: int) -> list[tuple[float, float]]:
    """Lists that grow, are sorted and changed in place."""
    made: list[tuple[float, float]] = []
    for k in range(n):
        made.append((math.sin(k), float(k)))
    out: list[tuple[float, float]] = []
    for low, high in sorted(made):
        if len(out) > 0 and low < 0:
            out[-1] = (out[-1][0], max(out[-1][1], high))
        else:
            out.append((low, high))
    return out


def run(functions: tuple[Callable[..., Any], ...], calls: list[tuple[str, tuple[Any, ...]]]) -> Any:
    """What Node makes of calls of translated functions."""
    told = ",".join(f"{name}({','.join(map(value_text, given))})" for name, given in calls)
    script = f"{javascript(*functions)}\nconsole.log(JSON.stringify([{told}]))"
    done = subprocess.run(
        [node(), "-"], input=script, capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def same(found: Any, due: Any) -> bool:
    """Texts and whole numbers to the letter, others but for the last digits of ``sin`` and kin."""
    if isinstance(due, list | tuple):
        return len(found) == len(due) and all(map(same, found, due))
    if isinstance(due, float):
        return bool(found == pytest.approx(due, rel=1e-12, abs=1e-12))
    return bool(found == due)


def test_translated_functions_give_what_python_gives() -> None:
    chance = random.Random(2)
    calls: list[tuple[Callable[..., Any], tuple[Any, ...]]] = []
    for _ in range(100):
        box = Box(chance.uniform(0, 5), ["a", "b", "<c>\u2028", "é🪵"])
        calls.append((arithmetic, (chance.uniform(-50, 200), chance.randint(1, 9))))
        calls.append((texts, (chance.uniform(-1e6, 1e6), box, chance.choice(["a", "x"]))))
        calls.append((sequences, (chance.randint(0, 12),)))
    found = run((arithmetic, texts, sequences), [(one.__name__, given) for one, given in calls])
    for (one, given), got in zip(calls, found, strict=True):
        assert same(got, one(*given)), (one.__name__, given)


def test_every_rounded_length_is_printed_as_python_prints_it() -> None:
    """All steps of the workshop file, both systems, all ways, lengths that lie on steps too."""
    chance = random.Random(3)
    grids = [Grid(1, 10, 1, 64), Grid(1, 2, 1, 32), Grid(1, 1, 1, 16), Grid(1, 100, 1, 1000)]
    calls = []
    for _ in range(1_000):
        mm = chance.choice([chance.uniform(0.01, 700), chance.randint(1, 7000) / 10,
                            chance.randint(1, 1700) * 25.4 / 64])  # fmt: skip
        way = chance.choice([Direction.UP, Direction.DOWN, Direction.NEAREST])
        calls.append((mm, chance.choice(list(System)), chance.choice(grids), way))
    found = run(
        (rounding.stepped, rounding.length_text),
        [("length_text", (*rounding.stepped(*given), given[1])) for given in calls],
    )
    steps = run((rounding.stepped,), [("stepped", given) for given in calls])
    for given, text, step in zip(calls, found, steps, strict=True):
        due = rounding.stepped(*given)
        assert tuple(step) == due, given
        assert text == rounding.length_text(*due, given[1]), given


def test_a_refusal_stops_the_answer() -> None:
    script = f"{javascript(seat.seat_angle_deg)}\ntry {{ seat_angle_deg(30, 60) }} catch (e) "
    done = subprocess.run(
        [node(), "-e", script + "{ console.log(e.name) }"],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    assert done.stdout.strip() == "RangeError"


def asks(name: str) -> str:
    return input(name)


def loops(n: int) -> int:
    while n > 3:
        n -= 1
    return n


def unkind(n) -> int:  # type: ignore[no-untyped-def]
    return n


def mixes(n: int, word: str) -> bool:
    return n == 1 or word < "a"


def truthy(words: list[str]) -> int:
    return 1 if words else 2


def divides(a: float) -> float:
    return a // 2


def writes(a: float) -> str:
    return f"{a}"


def catches(a: float) -> float:
    try:
        return 1 / a
    except ZeroDivisionError:
        return 0.0


def changes(a: float) -> float:
    b = 1.0
    b = "one"  # type: ignore[assignment]
    return a if b else 0.0


@pytest.mark.parametrize(
    "function",
    [asks, loops, unkind, mixes, truthy, divides, writes, catches, changes, len, Box],
    ids=lambda one: one.__name__,
)
def test_more_than_a_plain_formula_is_refused(function: Callable[..., Any]) -> None:
    with pytest.raises(Untranslatable):
        javascript(function)


def test_a_refusal_names_function_and_line() -> None:
    with pytest.raises(Untranslatable, match=r"test_javascript\.loops, line \d+: .*while n > 3"):
        javascript(loops)


@pytest.mark.parametrize("text", ["</script>", "<!--", "\u2028", "a\"'\\\n", "é🪵", "\u202e"])
def test_no_text_can_leave_its_script(text: str) -> None:
    written = value_text(text)
    assert written.isascii()
    assert not set("<>&\n") & set(written)
    assert json.loads(written) == text


def test_a_value_without_a_meaning_there_is_refused() -> None:
    for value in (object(), math.inf, math.nan, {1, 2}):
        with pytest.raises(Untranslatable):
            value_text(value)
    assert "</" not in HELPERS
