"""Times as a viewer reads them, in the one form that every output shares."""

from __future__ import annotations


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
