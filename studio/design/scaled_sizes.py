"""How scaled lengths are written: as somebody would type them, with the form still the same form.

A length alone goes to the nearest tenth of a millimetre. Those of a profile belong together: what
was equal stays equal, what was as thick as the stock is not thicker, and no curve becomes one that
cannot be turned because its length and its diameters were rounded apart.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from studio.measure.measurement import System
from studio.measure.rounding import FINE, FINEST_ON_A_RULE, Direction, Steps, length_reading
from studio.measure.units import Length, parse_length
from studio.turning import profile

_READ = Steps(Fraction(1, 10), Fraction(1, FINEST_ON_A_RULE))
_SMALL_MM = 3
"""A scaled length below this is written as finely as callipers read, else as a rule does (ours)."""

_UPRIGHT = 1 + 1e-9
"""A curve so much longer than the shortest is still as steep as one can be (ours)."""

_CURVES = ("bead", "cove", "ogee")
_EVEN = ("straight", "fillet", "tenon")


@dataclass(frozen=True, slots=True)
class Size:
    """A length of a profile, exactly as large as the scale makes it.

    Attributes:
        mm: more than or equal to 0.
        system: the system that it is typed in.
        scales: false for a tenon's, which stays as it is typed.
    """

    mm: Fraction
    system: System
    scales: bool


@dataclass(frozen=True, slots=True)
class Sized:
    """An element of a profile: its shape, and its sizes by key."""

    shape: str
    sizes: Mapping[str, Size]


Place = tuple[int, str]
"""An element of a profile, counted from 0, and a key of it."""


def scaled_text(mm: Fraction, system: System, *, up: bool = False) -> str:
    """A scaled length as somebody would type it: nobody sets 14.667 mm.

    >>> scaled_text(Fraction(44, 3), System.METRIC)
    '14.7 mm'
    """
    return _written(mm, system, _READ, Direction.UP if up else Direction.NEAREST)


def profile_texts(elements: Sequence[Sized], size: Length) -> dict[Place, str]:
    """What scales of a profile, as somebody would type it.

    Args:
        elements: the profile from the free end on, exactly as the scale makes it.
        size: the diameter that the stock is scaled to.

    Returns:
        By element and key. Sizes go to the rule's divisions; where that would make a curve
        impossible which is possible as it is, all go to what callipers read.
    """
    exact = {(at, key): one.mm for at, key, one in _each(elements)}
    curves = [
        at
        for at, one in enumerate(elements)
        if one.shape in _CURVES and _is_possible(elements, exact, at)
    ]
    for steps in (_READ, FINE):
        texts = _rounded(elements, size, steps)
        for at in curves:
            _lengthen(elements, exact, texts, at)
        if all(_is_possible(elements, _as_written(exact, texts), at) for at in curves):
            break
    return texts


def _each(elements: Sequence[Sized]) -> Iterator[tuple[int, str, Size]]:
    for at, element in enumerate(elements):
        for key, one in element.sizes.items():
            yield at, key, one


def _written(mm: Fraction, system: System, steps: Steps, way: Direction) -> str:
    return length_reading(mm, system, FINE if mm < _SMALL_MM else steps, way).text


def _rounded(elements: Sequence[Sized], size: Length, steps: Steps) -> dict[Place, str]:
    """Every size by itself, but equal ones alike, whatever systems they are typed in."""
    alike = {size.mm: size.typed}
    texts = {}
    for at, key, one in _each(elements):
        if not one.scales:
            continue
        if one.mm not in alike:
            text = _written(one.mm, one.system, steps, Direction.NEAREST)
            if one.mm < size.mm < parse_length(text).mm:
                text = _written(one.mm, one.system, steps, Direction.DOWN)
            alike[one.mm] = text
        texts[at, key] = alike[one.mm]
    return texts


def _as_written(
    exact: Mapping[Place, Fraction], texts: Mapping[Place, str]
) -> dict[Place, Fraction]:
    return {**exact, **{place: parse_length(text).mm for place, text in texts.items()}}


def _lengthen(
    elements: Sequence[Sized],
    exact: Mapping[Place, Fraction],
    texts: dict[Place, str],
    at: int,
) -> None:
    """Write a curve that came out too short for its diameters as long as they make it.

    As finely as callipers read, and so too where it is as short as it can be: a half-round bead
    stays half-round.
    """
    if (at, "length") not in texts:
        return
    now = _as_written(exact, texts)
    least = _least(elements, now, at)
    half_round = exact[at, "length"] <= _least(elements, exact, at) * _UPRIGHT
    if now[at, "length"] < least or half_round:
        system = elements[at].sizes["length"].system
        texts[at, "length"] = length_reading(least, system, FINE, Direction.UP).text


def _least(elements: Sequence[Sized], sizes: Mapping[Place, Fraction], at: int) -> float:
    """The shortest that a curve of these diameters can be, in mm."""
    start, middle, end = _diameters(elements, sizes, at)
    assert start is not None
    assert end is not None
    if elements[at].shape == "ogee":
        return profile.least_ogee_mm(start, end)
    assert middle is not None
    return profile.least_curve_mm(middle, start, end)


def _is_possible(elements: Sequence[Sized], sizes: Mapping[Place, Fraction], at: int) -> bool:
    """Whether a curve can be turned."""
    start, middle, end = _diameters(elements, sizes, at)
    length = sizes.get((at, "length"))
    if length is None or start is None or end is None:
        return False
    try:
        if elements[at].shape == "ogee":
            profile.ogee(float(length), start, end)
        elif middle is None:
            return False
        else:
            made = profile.bead if elements[at].shape == "bead" else profile.cove
            made(float(length), middle, start, end)
    except ValueError:
        return False
    return True


def _diameters(
    elements: Sequence[Sized], sizes: Mapping[Place, Fraction], at: int
) -> tuple[float | None, float | None, float | None]:
    """A curve's diameters at its start, its crown or throat, and its end, in mm.

    One that is not written is its neighbour's; a bead or cove ends as it starts where there is no
    neighbour that tells.
    """

    def at_edge(place: int, key: str) -> Fraction | None:
        if not 0 <= place < len(elements):
            return None
        return sizes.get((place, "diameter" if elements[place].shape in _EVEN else key))

    start, end = sizes.get((at, "start")), sizes.get((at, "end"))
    start = at_edge(at - 1, "end") if start is None else start
    end = at_edge(at + 1, "start") if end is None else end
    if end is None and elements[at].shape != "ogee":
        end = start
    middle = sizes.get((at, "crown" if elements[at].shape == "bead" else "throat"))
    found = [None if one is None else float(one) for one in (start, middle, end)]
    return found[0], found[1], found[2]
