"""Times as a viewer reads them, in the one form that every output shares."""

from __future__ import annotations

from datetime import date

from studio.language import spoken

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def stamp(ms: int) -> str:
    """A time in the film as ``m:ss``, from one hour on as ``h:mm:ss``.

    Cut down to the whole second, so that a chapter's stamp never lies after its first picture.

    Args:
        ms: milliseconds from the film's first picture, 0 or more.

    Raises:
        ValueError: ``ms`` is negative.

    >>> stamp(35_999), stamp(600_000), stamp(3_661_000)
    ('0:35', '10:00', '1:01:01')
    """
    if ms < 0:
        raise ValueError(f"a film has no time before its first picture: {ms} ms")
    minutes, seconds = divmod(ms // 1000, 60)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f"{hours}:{minutes:02d}:{seconds:02d}"
    return f"{minutes}:{seconds:02d}"


def stretch(start_ms: int, end_ms: int) -> str:
    """A part of the film to be cut, in tenths of a second: a viewer's stamp is too coarse for it.

    Args:
        start_ms: milliseconds from the film's first picture, 0 or more; cut down to the tenth.
        end_ms: the same; brought up to it, so that nothing of the part is left out.

    Raises:
        ValueError: one of them is negative.

    >>> stretch(75_480, 77_910)
    '1:15.4 to 1:18.0'
    """
    up = -(-end_ms // 100) * 100
    return " to ".join(f"{stamp(ms)}.{ms % 1000 // 100}" for ms in (start_ms, up))


def day(iso: str) -> str:
    """A day as a reader reads it.

    Args:
        iso: ``2026-11-26``.

    Raises:
        ValueError: it is no such day.

    >>> day("2026-11-06")
    '6 November 2026'
    """
    one = date.fromisoformat(iso)
    language = spoken()
    if not language.is_first:
        from babel.dates import format_date

        return format_date(one, format="long", locale=language.tag)
    return f"{one.day} {_MONTHS[one.month - 1]} {one.year}"
