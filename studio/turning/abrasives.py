"""Abrasives: the size of the grit behind a number, and whether a sequence of papers makes sense.

A number means little without its scale: FEPA P400 and CAMI 400 differ by more than half. So papers
are compared by the average size of their particles in micrometres, each on its own scale.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from studio.turning.ranges import whole

LARGEST_RATIO = 1.7
"""Largest ratio of particle sizes from one paper to the next (ours, no unit)."""

SAME_SIZE_PART = 0.05
"""Sizes closer than this part of each other count as the same (ours): published charts differ by as
much for one paper, so no finding may rest on less."""


class GritScale(StrEnum):
    """A scale of coated abrasives."""

    FEPA_P = "FEPA P"
    CAMI = "CAMI"


@dataclass(frozen=True, slots=True)
class Grit:
    """A paper of one scale.

    Attributes:
        scale: the scale its number belongs to.
        number: its number.
        particle_um: average size of its particles, µm.
    """

    scale: GritScale
    number: int
    particle_um: float

    @property
    def label(self) -> str:
        """As sold: ``P120``, ``CAMI 120``."""
        return f"P{self.number}" if self.scale is GritScale.FEPA_P else f"CAMI {self.number}"


class GritFault(StrEnum):
    """What is wrong with a step from one paper to the next."""

    COARSER = "the next paper is coarser"
    NO_FINER = "the next paper is no finer"
    TOO_FAR = "the step is too large"


@dataclass(frozen=True, slots=True)
class GritFinding:
    """A step of a sequence that is wrong.

    Attributes:
        step: which step, counted from 0.
        before: the paper left.
        after: the paper taken up.
        fault: what is wrong.
        between: papers of the next one's scale that would make the step right; empty when none
            does, or when the step should be left out altogether.
    """

    step: int
    before: Grit
    after: Grit
    fault: GritFault
    between: tuple[Grit, ...]

    @property
    def ratio(self) -> float:
        """Size of the paper left over the size of the next, no unit."""
        return self.before.particle_um / self.after.particle_um


PARTICLE_UM: dict[GritScale, dict[int, float]] = {
    GritScale.FEPA_P: {
        24: 764, 30: 642, 36: 538, 40: 425, 50: 336, 60: 269, 80: 201, 100: 162, 120: 125,
        150: 100, 180: 82, 220: 68, 240: 58.5, 280: 52.2, 320: 46.2, 360: 40.5, 400: 35.0,
        500: 30.2, 600: 25.8, 800: 21.8, 1000: 18.3, 1200: 15.3, 1500: 12.6, 2000: 10.3,
        2500: 8.4,
    },
    GritScale.CAMI: {
        24: 715, 30: 638, 36: 535, 40: 428, 50: 351, 60: 268, 80: 192, 100: 141, 120: 116,
        150: 93, 180: 82, 220: 68, 240: 52, 280: 42, 320: 35, 360: 28, 400: 22, 500: 18, 600: 15,
    },
}  # fmt: skip
"""Average particle size, µm, by scale and number.

FEPA P: grades of ISO 6344, read in a secondary stored text (the table at
stusshed.wordpress.com/2008/03/24; the standard itself was not read). CAMI: 24 to 60 and 100 as
sizes.com/tools/sandpaper.htm gives them, the rest as the chart of
ruddwoodfinishes.com/finishing/sandpaper-grit-comparisons does, both read in stored text. The first
table has CAMI 400, 500 and 600 coarser, at 23, 20 and 16 µm."""


def find_grit(scale: GritScale, number: int) -> Grit:
    """The paper of a scale and number.

    Args: scale; number as sold. Source: :data:`PARTICLE_UM`.

    Raises:
        ValueError: no paper of that number is held; then it names the nearest two.

    >>> find_grit(GritScale.FEPA_P, 400).particle_um, find_grit(GritScale.CAMI, 400).particle_um
    (35.0, 22)
    """
    whole(number, "a grit's number", 1)
    sizes = PARTICLE_UM[scale]
    if number not in sizes:
        below = [near for near in sizes if near < number][-1:]
        above = [near for near in sizes if near > number][:1]
        near = " or ".join(Grit(scale, nearest, 0).label for nearest in below + above)
        raise ValueError(f"{Grit(scale, number, 0).label} is no {scale} paper; write {near}")
    return Grit(scale, number, sizes[number])


_LABEL = re.compile(
    r"(?:(?P<p>(?:FEPA\s*)?P)|(?P<cami>CAMI))?\s*-?\s*(?P<number>\d{1,5})(?:\s*(?P<after>CAMI))?"
    r"(?:\s*grit)?",
    re.IGNORECASE,
)


def parse_grit(label: str) -> Grit:
    """A paper by its label: ``P120``, ``FEPA P120``, ``CAMI 120``, ``120 CAMI``, or with ``grit``.

    Raises:
        ValueError: not a label, no scale in it, or no paper of that number.

    >>> parse_grit("P600 grit").particle_um
    25.8
    """
    tidy = " ".join(label.split())
    match = _LABEL.fullmatch(tidy)
    if not match or (match["p"] and match["after"]):
        raise ValueError(f"{tidy[:40]!r} is not a paper; write P120 or CAMI 120")
    number = int(match["number"])
    if match["p"]:
        return find_grit(GritScale.FEPA_P, number)
    if match["cami"] or match["after"]:
        return find_grit(GritScale.CAMI, number)
    raise ValueError(
        f"{tidy!r} does not say its scale; write P{number} (FEPA, a P on the back) or CAMI {number}"
    )


def _bridge(before: Grit, after: Grit) -> tuple[Grit, ...]:
    """Fewest papers of the next one's scale between two, each step as large as allowed."""
    scale = PARTICLE_UM[after.scale]
    papers = [find_grit(after.scale, number) for number in scale]
    found: list[Grit] = []
    here = before
    while here.particle_um > LARGEST_RATIO * after.particle_um:
        reach = [
            paper
            for paper in papers
            if here.particle_um / LARGEST_RATIO <= paper.particle_um
            and paper.particle_um < here.particle_um * (1 - SAME_SIZE_PART)
        ]
        if not reach:
            return ()
        here = reach[-1]
        found.append(here)
    return tuple(found)


def sequence_findings(grits: Sequence[Grit]) -> tuple[GritFinding, ...]:
    """What is wrong with the steps of a sequence of papers; empty when nothing is.

    Sizes are compared in µm, whatever the scales. A next paper that is coarser, or the same
    within a twentieth, is a finding; so is one whose particles are less than the last one's over
    1.7. Args: papers in the order of use, one or more. Source: :data:`PARTICLE_UM`; the limits
    are ours, :data:`LARGEST_RATIO` and :data:`SAME_SIZE_PART`.

    Raises:
        ValueError: there is no paper.

    >>> [found.fault.name for found in sequence_findings([parse_grit("CAMI 400"),
    ...                                                   parse_grit("P600")])]
    ['COARSER']
    >>> found = sequence_findings([parse_grit("P80"), parse_grit("P240")])[0]
    >>> [paper.label for paper in found.between]
    ['P120', 'P180']
    """
    if not grits:
        raise ValueError("a sanding sequence needs at least one paper")
    findings = []
    for step, (before, after) in enumerate(pairwise(grits)):
        ratio = before.particle_um / after.particle_um
        if ratio < 1 - SAME_SIZE_PART:
            findings.append(GritFinding(step, before, after, GritFault.COARSER, ()))
        elif ratio < 1 / (1 - SAME_SIZE_PART):
            findings.append(GritFinding(step, before, after, GritFault.NO_FINER, ()))
        elif ratio > LARGEST_RATIO:
            findings.append(
                GritFinding(step, before, after, GritFault.TOO_FAR, _bridge(before, after))
            )
    return tuple(findings)
