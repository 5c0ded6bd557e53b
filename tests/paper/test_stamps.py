"""Times as a viewer reads them."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.episode.stamps import stamp


@pytest.mark.parametrize(
    ("ms", "text"),
    [
        (0, "0:00"),
        (999, "0:00"),
        (35_000, "0:35"),
        (599_999, "9:59"),
        (600_000, "10:00"),
        (3_599_999, "59:59"),
        (3_600_000, "1:00:00"),
        (36_061_000, "10:01:01"),
    ],
)
def test_known_stamps(ms: int, text: str) -> None:
    assert stamp(ms) == text


@given(st.integers(0, 24 * 3_600_000 - 1))
def test_says_what_the_standard_library_says(ms: int) -> None:
    """Against ``datetime.timedelta``, whose text is h:mm:ss."""
    whole = str(datetime.timedelta(seconds=ms // 1000))
    short = whole.removeprefix("0:")
    assert stamp(ms) == (whole if ms >= 3_600_000 else short[short.startswith("0") :])


def test_before_the_first_picture_there_is_no_time() -> None:
    with pytest.raises(ValueError, match="before its first picture"):
        stamp(-1)
