"""Wood: how moist it settles, how far it moves from shop to home, and what it weighs.

Wood takes up and gives off water until it is in balance with the air, and swells and shrinks as it
does so: most along the growth rings (tangentially), about half as much across them (radially),
next to nothing along the grain. Figures are averages of a species; a single board may differ by a
tenth or more, and a piece that was not yet settled when it was turned moves further.
"""

from __future__ import annotations

import csv
import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import resources
from itertools import takewhile

from studio.language import later
from studio.measure.units import MM3_PER_CM3
from studio.turning.ranges import not_negative, positive

COLDEST_C = (30 - 32) / 1.8
"""Coldest air of the Wood Handbook's Table 4-2, 30 °F in °C."""

HOTTEST_C = (200 - 32) / 1.8
"""Hottest air to which Eq. 4-5 was checked against Table 4-2 here, 200 °F in °C."""

DRIEST_AIR_PERCENT = 5.0
DAMPEST_AIR_PERCENT = 95.0
"""Relative humidity to which Table 4-2 reaches, %."""

IN_SERVICE_PERCENT = (6.0, 14.0)
"""Moisture between which the coefficients of Eq. 13-2 hold, %. Wood Handbook, chapter 13."""

WETTEST_PERCENT = 100.0
"""Wettest wood that is computed with, % (ours): meters show little beyond it, and from fibre
saturation up the size stays as it is."""

FIBRE_SATURATION_PERCENT = 30.0
"""Moisture above which most woods do not move, %. Wood Handbook, chapter 13."""

COEFFICIENT_MOISTURE_PERCENT = 10.0
"""Moisture at which the coefficients of Table 13-5 follow from shrinkage, %: the middle of 6 to 14.
Derived here from Eq. 13-3 and the Handbook's own Tables 4-3 and 13-5."""

GRAVITY_MOISTURE_PERCENT = 12.0
"""Moisture at which the table's specific gravities are given, %. Wood Handbook, Table 5-3."""

WATER_KG_PER_M3 = 1000.0
"""Density of water, to which specific gravity refers, kg/m³. Wood Handbook, chapter 4."""

_TAGS = {
    "read": later("read in stored text"),
    "second": later("read in a secondary stored text"),
    "memory": later("from memory, agreeing with the wood's other figures"),
    "group": later("one species' figure, used for its group"),
    "range": later("middle of a timber merchant's range, secondary text"),
    "density": later("from 630 kg/m³ dried, taken as at 12 %, secondary text"),
    "none": later("no figure held"),
}
_NOT_HANDBOOK = {"range", "density", "none"}


class Grain(StrEnum):
    """A direction in the wood, seen from the tree's middle."""

    RADIAL = "radial"
    TANGENTIAL = "tangential"
    ALONG = "along the grain"


class MovementForm(StrEnum):
    """Which equation of the Wood Handbook gave a change of size."""

    IN_SERVICE = "Eq. 13-2"
    FROM_GREEN = "Eq. 13-3"


@dataclass(frozen=True, slots=True)
class Species:
    """A wood and its average figures; None where no figure is held.

    Attributes:
        name: its usual name.
        botanical: its botanical name, which settles which tree a name means.
        aliases: other names that mean this wood only.
        coefficient_radial, coefficient_tangential: change of size per part and per cent of
            moisture, between 6 and 14 %.
        shrinkage_radial_percent, shrinkage_tangential_percent: shrinkage from green to ovendry, %.
        specific_gravity_12: ovendry weight over the volume at 12 % moisture, no unit.
        fibre_saturation_percent: moisture above which it does not move, %.
        coefficient_source, shrinkage_source, gravity_source: where the figures come from.
    """

    name: str
    botanical: str
    aliases: tuple[str, ...]
    coefficient_radial: float
    coefficient_tangential: float
    shrinkage_radial_percent: float | None
    shrinkage_tangential_percent: float | None
    specific_gravity_12: float | None
    fibre_saturation_percent: float
    coefficient_source: str
    shrinkage_source: str
    gravity_source: str

    def coefficient(self, grain: Grain) -> float:
        """Change per part and per cent of moisture in a direction; 0 along the grain."""
        return {
            Grain.RADIAL: self.coefficient_radial,
            Grain.TANGENTIAL: self.coefficient_tangential,
            Grain.ALONG: 0.0,
        }[grain]

    def shrinkage_percent(self, grain: Grain) -> float | None:
        """Shrinkage from green to ovendry in a direction, %; 0 along the grain."""
        return {
            Grain.RADIAL: self.shrinkage_radial_percent,
            Grain.TANGENTIAL: self.shrinkage_tangential_percent,
            Grain.ALONG: 0.0,
        }[grain]


@dataclass(frozen=True, slots=True)
class SizeChange:
    """How far one size moves.

    Attributes:
        change_mm: new size less old, mm; negative when it shrinks.
        form: the equation that applied.
    """

    change_mm: float
    form: MovementForm


@dataclass(frozen=True, slots=True)
class Oval:
    """What a round section becomes at another moisture, mm.

    Attributes:
        radial_mm: diameter across the growth rings.
        tangential_mm: diameter along them.
        along_mm: a sphere's diameter along the grain, taken as unchanged.
        form: the equation that applied.
    """

    radial_mm: float
    tangential_mm: float
    along_mm: float
    form: MovementForm

    @property
    def out_of_round_mm(self) -> float:
        """Thickest less thinnest of the two diameters across the grain."""
        return abs(self.tangential_mm - self.radial_mm)


@dataclass(frozen=True, slots=True)
class FitChange:
    """Clearance of a round tenon in its hole before and after the wood has moved, mm.

    All on the diameter; negative where the tenon is the thicker.

    Attributes:
        before_mm: as turned and drilled.
        least_after_mm: the tenon's thickest diameter against the hole's narrowest.
        most_after_mm: the tenon's thinnest diameter against the hole's widest.
    """

    before_mm: float
    least_after_mm: float
    most_after_mm: float


def _source(table: str, tags: str) -> str:
    words = "; ".join(_TAGS[tag] for tag in tags.split())
    return words if set(tags.split()) & _NOT_HANDBOOK else f"Wood Handbook, {table}; {words}"


def _number(cell: str) -> float | None:
    return float(cell) if cell else None


@cache
def all_species() -> tuple[Species, ...]:
    """Every wood held here, in the table's order.

    Source: ``species.csv``, whose head names the source of every column.

    >>> [wood.name for wood in all_species()][:2]
    ['red alder', 'white ash']
    """
    table = resources.files("studio.turning").joinpath("species.csv")
    lines = table.read_text(encoding="utf-8").splitlines()
    return tuple(
        Species(
            name=row["name"],
            botanical=row["botanical"],
            aliases=tuple(filter(None, row["aliases"].split("|"))),
            coefficient_radial=float(row["c_radial"]),
            coefficient_tangential=float(row["c_tangential"]),
            shrinkage_radial_percent=_number(row["s_radial"]),
            shrinkage_tangential_percent=_number(row["s_tangential"]),
            specific_gravity_12=_number(row["gravity"]),
            fibre_saturation_percent=float(row["saturation"]),
            coefficient_source=_source("Table 13-5", row["coefficient_tag"]),
            shrinkage_source=_source("Table 4-3", row["shrinkage_tag"]),
            gravity_source=_source("Table 5-3", row["gravity_tag"]),
        )
        for row in csv.DictReader(line for line in lines if not line.startswith(";"))
    )


def _key(name: str) -> str:
    """A name as compared: the Handbook's "Ash, white" and hyphens put straight."""
    last, comma, first = name.lower().partition(",")
    return " ".join((f"{first} {last}" if comma else last).replace("-", " ").split())


@cache
def _by_key() -> dict[str, tuple[Species, ...]]:
    """Woods by every name; a botanical name may have more than one (both redwoods)."""
    named: dict[str, tuple[Species, ...]] = {}
    for wood in all_species():
        for known in (wood.name, wood.botanical, *wood.aliases):
            named[_key(known)] = (*named.get(_key(known), ()), wood)
    return named


LONGEST_NAME = 60
"""A longer name is no wood's; the limit bounds the work done on a stranger's file."""


def _letters(name: str) -> str:
    """A name as names of other languages are compared: words of plain letters, no accents."""
    bare = unicodedata.normalize("NFKD", name.casefold())
    return " ".join(re.findall(r"[a-z]+", "".join(filter(str.isascii, bare))))


@cache
def _in_other_languages() -> dict[str, dict[str, str]]:
    """English names of woods by language and their names there."""
    table = resources.files("studio.turning").joinpath("wood_names.csv")
    lines = table.read_text(encoding="utf-8").splitlines()
    found: dict[str, dict[str, str]] = {}
    for row in csv.DictReader(line for line in lines if not line.startswith(";")):
        for other in row["names"].split("|"):
            found.setdefault(row["language"], {})[_letters(other)] = row["name"]
    return found


_GERMAN_ENDINGS = tuple(link + tree for tree in ("", "holz", "baum") for link in ("", "n", "en"))
"""What German hangs on a tree's name for its wood or several of them: Eichenholz, Eiben."""


def _word_in_english(word: str) -> str:
    """One word of a name; as it is where no other language is known to have it."""
    names = _in_other_languages()
    if word in names["la"]:
        return names["la"][word]
    stems = [word.removesuffix(end) for end in _GERMAN_ENDINGS]
    fitting = [name for name in names["de"] if any(stem.endswith(name) for stem in stems)]
    return names["de"][max(fitting, key=len)] if fitting else word


def in_english(name: str) -> str:
    """The name of a wood by which figures and cautions are held, where it is typed in another
    language: German or botanical.

    A name that is known as it stands, or not at all, stays as it is. What is told of a wood has to
    hold however its turner calls it. Source: ``wood_names.csv``.

    Args: a name as typed, of any length; only its first ``LONGEST_NAME`` signs are looked at.

    >>> in_english("Eibenholz"), in_english("Quercus robur"), in_english("Hainbuche")
    ('yew', 'oak robur', 'hornbeam')
    """
    named = name[:LONGEST_NAME]
    held = _by_key().get(_key(named), ())
    if held:
        # several of one name, such as both redwoods, differ in figures alone
        return held[0].name if len(held) == 1 else named
    words = _letters(named)
    for names in _in_other_languages().values():
        if words in names:
            return names[words]
    english = [_word_in_english(word) for word in words.split()]
    return " ".join(english) if english != words.split() else name


def is_same(one: str, other: str) -> bool:
    """Whether two names are of one wood, each in English, German or botanically.

    A wider name is not the same as a narrower one: a board of maple may be of any maple. Source:
    ``species.csv``, ``wood_names.csv``.

    >>> is_same("yew", "Eibenholz"), is_same("Cherry", "black cherry"), is_same("maple", "ash")
    (True, True, False)
    """
    return _key(in_english(one)) == _key(in_english(other))


def is_named(name: str) -> bool:
    """Whether some wood goes by a word of this name, in English, German or botanically.

    Where none does, nothing that is held by names of woods can be told of it. Source:
    ``species.csv``, ``wood_names.csv``.

    >>> is_named("spalted maple"), is_named("Eibe"), is_named("driftwood")
    (True, True, False)
    """
    english = in_english(name)
    if english != name:
        return True
    held = {word for key in _by_key() for word in key.split()}
    held |= {
        word
        for names in _in_other_languages().values()
        for wood in names.values()
        for word in _key(wood).split()
    }
    return not held.isdisjoint(_letters(name[:LONGEST_NAME]).split())


def find_species(name: str) -> Species:
    """The wood of a name: usual, botanical, German or another that means one wood only.

    Case, hyphens and the order of "Ash, white" do not matter. A name of several woods (oak,
    maple, sycamore) is refused with those it may mean: European sycamore is a maple, American
    sycamore a plane, and they differ in weight by an eighth. A name that is not held is never
    replaced: woods of that kind or one slip away are named in case one of them is meant. Source:
    ``species.csv``.

    Raises:
        ValueError: the name is no single wood held here; then it names those it may mean.

    >>> find_species("Cherry").name, find_species("Ash, white").botanical
    ('black cherry', 'Fraxinus americana')
    """
    known = _by_key()
    key = _key(in_english(name)[: LONGEST_NAME + 1])
    if len(known.get(key, ())) == 1:
        return known[key][0]
    if not key:
        raise ValueError("a wood needs a name, such as black cherry")
    if len(key) > LONGEST_NAME:
        raise ValueError(f"{name[:LONGEST_NAME]!r}… is too long for the name of a wood")
    words = set(key.split())
    # what a wood is called after is the last word of its name: a European cherry is no sycamore
    meant = [wood for held, woods in known.items() if _noun(held) in words for wood in woods]
    part = [
        wood
        for held, woods in known.items()
        if len(key) >= _SHORTEST_PART and key in held
        for wood in woods
    ]
    slips = [wood for held, woods in known.items() if _one_slip(key, held) for wood in woods]
    kinds = [
        wood
        for held, woods in known.items()
        if any(_one_slip(word, _noun(held)) for word in words)
        for wood in woods
    ]
    near = list(dict.fromkeys(wood.name for wood in slips or (*meant, *kinds, *part)))[:5]
    left_out = "until then its movement and weight are left out"
    if not near:
        raise ValueError(f"no figures are held for {name!r}: its movement and weight are left out")
    listed = " or ".join(near)
    if key in known or (len(words) == 1 and len({wood.name for wood in meant}) > 1):
        raise ValueError(
            f"{name!r} names several woods; write {listed} if it is one of them; {left_out}"
        )
    one = "that" if len(near) == 1 else "that one"
    raise ValueError(
        f"no figures are held for {name!r}; if it is {listed}, write {one}; {left_out}"
    )


_SHORTEST_PART = 4
"""Letters from which on a part of a name is taken for one (ours): cedar in redcedar."""


def _noun(key: str) -> str:
    """The last word of a name, which says what kind of wood it is."""
    return key.split()[-1]


def _common(one: str, two: str) -> int:
    """Letters with which both begin."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, two, strict=False)))


def _one_slip(typed: str, held: str) -> bool:
    """Whether two words differ by one letter more, less or other, or by two that changed places.

    Farther ones are other woods: boxwood is no buttonwood.

    >>> _one_slip("chery", "cherry"), _one_slip("mapel", "maple"), _one_slip("boxwood", "basswood")
    (True, True, False)
    """
    if min(len(typed), len(held)) < _SHORTEST_PART or abs(len(typed) - len(held)) > 1:
        return False
    start = _common(typed, held)
    one, two = typed[start:], held[start:]
    end = _common(one[::-1], two[::-1])
    one, two = one[: len(one) - end], two[: len(two) - end]
    return max(len(one), len(two)) <= 1 or (len(one) == 2 and one == two[::-1])


def equilibrium_moisture_percent(temperature_c: float, humidity_percent: float) -> float:
    """Moisture at which wood settles in air of this temperature and relative humidity, %.

    Water held in two ways: as a solution in the cell walls and, bound more tightly, in one layer
    on them. Args: temperature, °C, -1.1 to 93.3; relative humidity, %, 5 to 95. Returns the
    weight of water over the ovendry weight, %. Source: USDA Wood Handbook (FPL-GTR-190),
    Eq. 4-5, constants for °C read in secondary stored texts; within 0.06 of its Table 4-2.

    Raises:
        ValueError: a value is out of range.

    >>> equilibrium_moisture_percent(20, 50)
    9.271
    """
    if not COLDEST_C <= temperature_c <= HOTTEST_C:
        raise ValueError(
            f"the air's temperature must be from {COLDEST_C:.1f} to {HOTTEST_C:.1f} °C, "
            f"not {temperature_c:g}"
        )
    if not DRIEST_AIR_PERCENT <= humidity_percent <= DAMPEST_AIR_PERCENT:
        raise ValueError(
            f"the relative humidity must be from {DRIEST_AIR_PERCENT:g} to "
            f"{DAMPEST_AIR_PERCENT:g} %, not {humidity_percent:g}"
        )
    t = temperature_c
    weight = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * humidity_percent / 100
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / weight * (kh / (1 - kh) + bound)


def change_in_service_mm(
    size_mm: float, coefficient: float, from_percent: float, to_percent: float
) -> float:
    """Change of a size between two moistures of seasoned wood: size times coefficient times points.

    Args: size at the first moisture, mm, more than 0; coefficient of the wood and direction, per
    per cent, 0 or more; moistures, %, both 6 to 14. Returns mm, negative when it shrinks.
    Source: USDA Wood Handbook, Eq. 13-2.

    Raises:
        ValueError: a value is out of range.

    >>> change_in_service_mm(254, 0.00248, 6, 12) / 25.4
    0.1488
    """
    positive(size_mm, "the size")
    not_negative(coefficient, "the coefficient", "")
    low, high = IN_SERVICE_PERCENT
    for percent in (from_percent, to_percent):
        if not low <= percent <= high:
            raise ValueError(
                f"the coefficients hold for moisture from {low:g} to {high:g} %, not {percent:g}"
            )
    return size_mm * coefficient * (to_percent - from_percent)


def change_from_green_mm(
    size_mm: float,
    shrinkage_percent: float,
    from_percent: float,
    to_percent: float,
    saturation_percent: float = FIBRE_SATURATION_PERCENT,
) -> float:
    """Change of a size between two moistures by the shrinkage from green to ovendry.

    Size times points over (saturation × 100 / shrinkage − saturation + first moisture): between
    fibre saturation and ovendry the size follows the moisture in a straight line. Args: size at
    the first moisture, mm, more than 0; shrinkage, %, 0 to less than 100; moistures, %, 0 to
    fibre saturation; fibre saturation, %, more than 0. Wetter wood does not move: write the fibre
    saturation for green wood. Returns mm, negative when it shrinks. Source: USDA Wood Handbook,
    Eq. 13-3 (algebra from memory, derived again here from the straight line).

    Raises:
        ValueError: a value is out of range.

    >>> change_from_green_mm(254, 7.8, 30, 8) / 25.4
    -0.572
    """
    positive(size_mm, "the size")
    positive(saturation_percent, "the fibre saturation", "%")
    if not 0 <= shrinkage_percent < 100:
        raise ValueError(f"shrinkage must be from 0 to under 100 %, not {shrinkage_percent:g}")
    for percent in (from_percent, to_percent):
        if not 0 <= percent <= saturation_percent:
            raise ValueError(
                f"wood moves between 0 and {saturation_percent:g} % moisture, not at {percent:g}; "
                f"write {saturation_percent:g} % for green wood"
            )
    # multiplied through by shrinkage, so that none gives no change instead of a division by 0
    points = (to_percent - from_percent) * shrinkage_percent
    return (
        size_mm
        * points
        / (100 * saturation_percent - (saturation_percent - from_percent) * shrinkage_percent)
    )


def coefficient_from_shrinkage(
    shrinkage_percent: float, saturation_percent: float = FIBRE_SATURATION_PERCENT
) -> float:
    """The coefficient of Eq. 13-2 that follows from shrinkage: Eq. 13-3 at 10 % moisture.

    1 / (saturation × 100 / shrinkage − saturation + 10). Args: shrinkage, %, more than 0 and
    under 100; fibre saturation, %, more than 0. Returns the change per part and per cent.
    Source: USDA Wood Handbook, Eqs. 13-2 and 13-3; that 10 % is meant was derived here.

    Raises:
        ValueError: a value is out of range.

    >>> coefficient_from_shrinkage(7.1)
    0.00248
    """
    positive(shrinkage_percent, "shrinkage", "%")
    middle = COEFFICIENT_MOISTURE_PERCENT
    return change_from_green_mm(1, shrinkage_percent, middle, middle - 1, saturation_percent) * -1


def size_change(
    size_mm: float, wood: Species, grain: Grain, from_percent: float, to_percent: float
) -> SizeChange:
    """How far a size moves, by the equation that holds for these moistures.

    Eq. 13-2 when both lie between 6 and 14 %, otherwise Eq. 13-3 up to the wood's fibre
    saturation: wetter wood has the size that it has there. Along the grain wood is taken not to
    move (a tenth or two of a per cent from green to ovendry). Args: size at the first moisture,
    mm, more than 0; wood; direction; moistures, %, 0 to :data:`WETTEST_PERCENT`. Source: USDA
    Wood Handbook, chapter 13.

    Raises:
        ValueError: a value is out of range, or no shrinkage is held for the wood and only
            Eq. 13-3 would do.

    >>> cherry = find_species("cherry")
    >>> size_change(60, cherry, Grain.TANGENTIAL, 12, 7).change_mm
    -0.744
    """
    low, high = IN_SERVICE_PERCENT
    if low <= min(from_percent, to_percent) and max(from_percent, to_percent) <= high:
        change = change_in_service_mm(size_mm, wood.coefficient(grain), from_percent, to_percent)
        return SizeChange(change, MovementForm.IN_SERVICE)
    shrinkage = wood.shrinkage_percent(grain)
    if shrinkage is None:
        raise ValueError(
            f"no shrinkage is held for {wood.name}: its movement is known from {low:g} to "
            f"{high:g} % moisture only, and is left out beyond"
        )
    saturation = wood.fibre_saturation_percent
    for percent in (from_percent, to_percent):
        if not 0 <= percent <= WETTEST_PERCENT:
            raise ValueError(
                f"the moisture of wood is from 0 to {WETTEST_PERCENT:g} %, not {percent:g}"
            )
    change = change_from_green_mm(
        size_mm, shrinkage, min(from_percent, saturation), min(to_percent, saturation), saturation
    )
    return SizeChange(change, MovementForm.FROM_GREEN)


def oval(diameter_mm: float, wood: Species, from_percent: float, to_percent: float) -> Oval:
    """What a sphere, or a spindle turned along the grain, becomes at another moisture.

    Both diameters across the grain move by their own coefficient; the one along it stays. Args:
    diameter as turned, mm, more than 0; wood; moistures as turned and later, %. Source: USDA
    Wood Handbook, chapter 13, one direction at a time.

    Raises:
        ValueError: as for :func:`size_change`.

    >>> later = oval(60, find_species("cherry"), 12, 7)
    >>> later.radial_mm, later.tangential_mm, later.out_of_round_mm
    (59.622, 59.256, 0.366)
    """
    radial = size_change(diameter_mm, wood, Grain.RADIAL, from_percent, to_percent)
    tangential = size_change(diameter_mm, wood, Grain.TANGENTIAL, from_percent, to_percent)
    return Oval(
        diameter_mm + radial.change_mm,
        diameter_mm + tangential.change_mm,
        diameter_mm,
        radial.form,
    )


def fit_change(
    tenon_mm: float,
    hole_mm: float,
    *,
    tenon_wood: Species,
    hole_wood: Species,
    hole_axis: Grain,
    from_percent: float,
    to_percent: float,
    hole_from_percent: float | None = None,
) -> FitChange:
    """How the fit of a round tenon in its hole changes when both woods move.

    A turned tenon runs along the grain, so it goes oval by both coefficients; the hole widens and
    narrows with the wood round it, across its own axis. How the ovals come to lie is not known,
    so the tightest and the loosest are given. Args: diameters as made, mm, more than 0; woods;
    direction in which the hole runs; moistures as made and later, %; the moisture as made of the
    wood with the hole, where it is another. Source: USDA Wood Handbook, chapter 13, one direction
    at a time; a hole moves as the wood that was in it would (elementary geometry).

    Raises:
        ValueError: as for :func:`size_change`.

    >>> cherry = find_species("cherry")
    >>> fit = fit_change(8, 8.2, tenon_wood=cherry, hole_wood=cherry, hole_axis=Grain.TANGENTIAL,
    ...                  from_percent=7, to_percent=12)
    >>> fit.before_mm, fit.least_after_mm, fit.most_after_mm
    (0.2, 0.101, 0.201)
    """
    hole_from = from_percent if hole_from_percent is None else hole_from_percent
    tenon = [
        tenon_mm + size_change(tenon_mm, tenon_wood, grain, from_percent, to_percent).change_mm
        for grain in (Grain.RADIAL, Grain.TANGENTIAL)
    ]
    hole = [
        hole_mm + size_change(hole_mm, hole_wood, grain, hole_from, to_percent).change_mm
        for grain in Grain
        if grain is not hole_axis
    ]
    return FitChange(hole_mm - tenon_mm, min(hole) - max(tenon), max(hole) - min(tenon))


def air_dry_density_kg_per_m3(wood: Species) -> float:
    """Density of a wood at 12 % moisture: specific gravity times water's density times 1.12.

    Args: wood. Returns kg/m³. Source: USDA Wood Handbook, chapter 4 (form from memory: specific
    gravity is ovendry weight over volume, so the water it holds is added).

    Raises:
        ValueError: no specific gravity is held for the wood.

    >>> air_dry_density_kg_per_m3(find_species("walnut"))
    616.0
    """
    if wood.specific_gravity_12 is None:
        raise ValueError(f"no specific gravity is held for {wood.name}; weigh the piece instead")
    return WATER_KG_PER_M3 * wood.specific_gravity_12 * (1 + GRAVITY_MOISTURE_PERCENT / 100)


def mass_g(volume_mm3: float, density_kg_per_m3: float) -> float:
    """Mass of a piece: volume times density, g.

    Args: volume, mm³, more than 0; density, kg/m³, more than 0. Source: definition of density.

    Raises:
        ValueError: a value is out of range.

    >>> mass_g(113_097, air_dry_density_kg_per_m3(find_species("cherry")))
    63.3
    """
    positive(volume_mm3, "the volume", "mm³")
    positive(density_kg_per_m3, "the density", "kg/m³")
    return volume_mm3 / MM3_PER_CM3 * density_kg_per_m3 / 1000
