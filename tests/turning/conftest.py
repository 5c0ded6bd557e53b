"""Profiles that the tests of profiles and of bench work on them share."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import strategies as st

from studio.turning import profile
from studio.turning.profile import Profile

widths = st.floats(min_value=2, max_value=80)
lengths = st.floats(min_value=1, max_value=60)


@st.composite
def elements(draw):
    """One element of any kind, as arguments of its function, so that it can be scaled."""
    make = draw(st.sampled_from([*MAKERS]))
    length, a, b, rise = draw(lengths), draw(widths), draw(widths), draw(st.floats(0.05, 0.5))
    if make in (profile.straight, profile.fillet, profile.tenon):
        return make, (length, a)
    if make is profile.taper:
        return make, (length, a, b)
    if make is profile.bead:
        return make, (length, a + 2 * rise * length, a, a)
    if make is profile.cove:
        return make, (length, a, a + 2 * rise * length, a + 2 * rise * length)
    return make, (length, a, a + 2 * rise * length)


MAKERS = (
    profile.straight,
    profile.fillet,
    profile.tenon,
    profile.taper,
    profile.bead,
    profile.cove,
    profile.ogee,
)


@pytest.fixture(scope="session")
def plans() -> st.SearchStrategy[list]:
    """One to six elements of any kind, as arguments of their functions."""
    return st.lists(elements(), min_size=1, max_size=6)


@pytest.fixture(scope="session")
def built() -> Callable[..., Profile]:
    """Makes a plan's profile, so many times as large."""

    def make_it(plan, scale=1.0):
        return Profile(tuple(make(*(scale * size for size in sizes)) for make, sizes in plan))

    return make_it


@pytest.fixture(scope="session")
def finial() -> Profile:
    """A finial of seven elements."""
    return Profile(
        (
            profile.bead(9, 8, 0, 4),
            profile.cove(12, 3, 4, 6),
            profile.fillet(1.5, 8),
            profile.bead(7, 16, 9, 10),
            profile.ogee(9, 10, 18),
            profile.straight(5, 18),
            profile.tenon(12, 8),
        )
    )
