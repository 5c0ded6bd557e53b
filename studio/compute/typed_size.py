"""What a viewer types as a size: read as people write sizes, or asked back, never guessed.

Plain formulas like those of :mod:`studio.compute.size_box`: the page runs them in the browser,
translated word for word.
"""

from __future__ import annotations

from studio.language import number_signs, tr
from studio.measure.measurement import System

LONGEST = 24
"""Signs that a field takes (ours)."""

MOST_DECIMALS = 3
"""Finer than this nothing is set at the bench (ours)."""

DIGITS = "0123456789"
LETTERS = "abcdefghijklmnopqrstuvwxyz"
SLASHES = "/\u2044"
SPACES = " \t\u00a0\u2009\u202f"
HYPHENS = "-\u2010\u2011\u2013"
INCH_SIGNS = '"\u2033\u201d\u201c\u201e'
HALF_SIGNS = "'\u2032\u2019"
"""Two of these are an inch sign, as keyboards without one give it; one alone would mean feet."""

FRACTION_SIGNS = (
    ("½", 1, 2), ("¼", 1, 4), ("¾", 3, 4),
    ("⅛", 1, 8), ("⅜", 3, 8), ("⅝", 5, 8), ("⅞", 7, 8),
)  # fmt: skip

ON_A_RULE = (2, 4, 8, 16, 32, 64)
"""Parts into which an inch rule divides."""

UNITS = (
    ("mm", System.METRIC, 1), ("millimetre", System.METRIC, 1), ("millimetres", System.METRIC, 1),
    ("millimeter", System.METRIC, 1), ("millimeters", System.METRIC, 1), ("cm", System.METRIC, 10),
    ("in", System.IMPERIAL, 1), ("inch", System.IMPERIAL, 1), ("inches", System.IMPERIAL, 1),
    ("zoll", System.IMPERIAL, 1),
)  # fmt: skip
"""A unit as typed, its system, and how many of that system's own unit it is."""


def typed_size(text: str, system: System) -> tuple[int, int, str, str]:
    """A typed size: ``over``, ``under``, the system it is in, and what to ask back.

    Read are whole numbers, decimals behind a point or comma, fractions and mixed numbers of an inch
    (``2 1/4``, ``2-1/4``, ``2¼``, ``9/4``), with a unit behind or without. Where there is something
    to ask, the size is 0/1. Nothing typed is 0/1 and no question. A fraction is in inches whatever
    ``system``, the one of sizes without a unit, says.

    >>> typed_size("2 1/4", System.METRIC)[:2]
    (9, 4)
    >>> typed_size("57,2 mm", System.IMPERIAL)[:2]
    (572, 10)
    """
    typed = text.strip()
    shape = ""
    word = ""
    mark = ""
    units: list[str] = []
    values: list[int] = []
    places: list[int] = []
    inside = False
    # the space behind ends whatever stands last
    for sign in f"{typed.rstrip('.').lower()} ":
        if word != "" and sign not in LETTERS:
            units.append(word)
            word = ""
        if sign in DIGITS or sign in ".,":
            if not inside:
                # a number behind a unit is another size
                shape += "n" if len(units) == 0 else "?"
                values.append(0)
                places.append(-1)
                inside = True
            if sign in DIGITS:
                values[-1] = values[-1] * 10 + DIGITS.find(sign)
                places[-1] = places[-1] + (1 if places[-1] >= 0 else 0)
            else:
                shape += "?" if places[-1] >= 0 else ""
                places[-1] = 0
                mark = sign
        else:
            inside = False
            if sign in LETTERS:
                word += sign
            elif sign in SLASHES:
                shape += "/"
            elif sign in INCH_SIGNS:
                units.append("in")
            elif sign in HALF_SIGNS:
                units.append("'")
            elif sign in HYPHENS:
                shape += "?" if shape == "" else ""
            elif sign not in SPACES:
                known = False
                for one, over, under in FRACTION_SIGNS:
                    if one == sign:
                        known = True
                        values.append(over)
                        values.append(under)
                        places.append(-1)
                        places.append(-1)
                shape += "n/n" if known and len(units) == 0 else "?"
    if typed == "":
        return 0, 1, system, ""
    return size_of(typed, shape, mark, values, places, unit_of(units, system), len(units) > 0)


def unit_of(units: list[str], system: System) -> tuple[str, int]:
    """The system that typed units name, and how many of its own unit one is; 0 where they name
    none. Without a unit it is ``system``."""
    if len(units) == 0:
        return system, 1
    joined = units[0] if len(units) == 1 else f"{units[0]}{units[1]}"
    if len(units) > 2 or (len(units) == 2 and joined != "''"):
        return system, 0
    if joined == "''":
        return System.IMPERIAL, 1
    found: str = system
    times = 0
    for word, its, many in UNITS:
        if word == joined:
            found = its
            times = many
    return found, times


def size_of(
    typed: str,
    shape: str,
    mark: str,
    values: list[int],
    places: list[int],
    unit: tuple[str, int],
    named: bool,
) -> tuple[int, int, str, str]:
    """What was typed, put together.

    Args: the text; what it is made of (``n`` a number, ``/`` a slash, ``?`` what no size holds);
    the sign before decimals; the numbers' digits, and how many of them are decimals, -1 where there
    is no such sign; :func:`unit_of`; whether a unit was typed.
    """
    system, times = unit
    mixed = shape == "nn/n"
    if times == 0 or not (shape == "n" or shape == "n/n" or mixed) or max(values) > 1_000_000:
        return (
            0,
            1,
            system,
            tr(
                "“{typed}” cannot be read as a size: write 57.2 mm, 2 1/4 in or the like",
                typed=typed,
            ),
        )
    if shape == "n":
        decimals = max(places[0], 0)
        if decimals > MOST_DECIMALS:
            question = tr("“{typed}” has more than three decimals: round it", typed=typed)
            return 0, 1, system, question
        if decimals == MOST_DECIMALS and mark != number_signs("."):
            question = tr(
                "“{typed}” may be read in two ways: write decimals behind “{sign}”, and thousands "
                "without any sign",
                typed=typed,
                sign=number_signs("."),
            )
            return 0, 1, system, question
        return values[0] * times, 10**decimals, system, ""
    whole = values[0] if mixed else 0
    over, under = values[-2], values[-1]
    if max(places) >= 0 or under not in ON_A_RULE or (mixed and over >= under):
        question = tr(
            "“{typed}” is on no inch rule: write halves, quarters, eighths, sixteenths, 32nds or "
            "64ths",
            typed=typed,
        )
        return 0, 1, system, question
    if named and system != System.IMPERIAL:
        question = tr(
            "“{typed}” is a fraction in millimetres: write decimals, or in behind it for inches",
            typed=typed,
        )
        return 0, 1, system, question
    return whole * under + over, under, System.IMPERIAL, ""


def typed_stops(text: str) -> tuple[int, str]:
    """A typed number of stops, 2 to 9,999, and what to ask back; nothing typed is 0.

    >>> typed_stops(" 24 ")
    (24, '')
    """
    typed = text.strip()
    stops = 0
    sound = True
    for sign in typed:
        if sign in DIGITS and stops < 1000:
            stops = stops * 10 + DIGITS.find(sign)
        else:
            sound = False
    if typed == "" or (sound and stops >= 2):
        return stops, ""
    question = tr("“{typed}” is no number of stops: write a whole number such as 24", typed=typed)
    return 0, question
