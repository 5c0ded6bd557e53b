"""A finish: how long its coats take and how much of it they need, by what its label says.

Nothing about a product is known here: coats, times and coverage are the label's own.
"""

from __future__ import annotations

from studio.turning.ranges import not_negative, positive, whole


def finish_time_min(coats: int, recoat_min: float, dry_min: float) -> float:
    """From the first coat to handling: the times between coats and the last one's drying.

    (coats − 1)·recoat + dry; the work of brushing itself is not counted. Args: coats, 1 or more;
    time from one coat to the next and from the last to handling, minutes, 0 or more. Returns
    minutes, to be rounded up. Source: elementary arithmetic; the times are the label's.

    Raises:
        ValueError: a value is out of range.

    >>> finish_time_min(3, 4 * 60, 24 * 60) / 60
    32.0
    """
    whole(coats, "the count of coats", 1)
    between = not_negative(recoat_min, "the time between coats", "minutes")
    return (coats - 1) * between + not_negative(dry_min, "the drying time", "minutes")


def finish_amount_mm3(area_mm2: float, coats: int, coverage_mm2_per_mm3: float) -> float:
    """Volume of finish for all coats: area times coats over the label's coverage.

    Square metres a litre are square millimetres a cubic millimetre, number for number. A label's
    coverage is for a smooth, sealed face: end grain drinks more, and what stays in brush, rag and
    pot is not counted, so it is the least to have at hand (common practice, no source). Args: area,
    mm², more than 0; coats, 1 or more; coverage of one coat, mm² a mm³, more than 0. Returns mm³,
    to be rounded up. Source: elementary arithmetic; the coverage is the label's.

    Raises:
        ValueError: a value is out of range.

    >>> finish_amount_mm3(11_310, 3, 10)
    3393.0
    """
    positive(area_mm2, "the area to coat", "mm²")
    whole(coats, "the count of coats", 1)
    return area_mm2 * coats / positive(coverage_mm2_per_mm3, "the coverage", "mm² a mm³")
