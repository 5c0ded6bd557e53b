"""What stands right behind a size tells what it is of; a range is mended whole or not at all.

Invented sentences; that turners talk so is common practice, no source.
"""

from __future__ import annotations

import pytest

from studio.resources import shipped
from studio.said.agreeing import Verdict
from studio.said.heard import judged_talk
from studio.said.judged import Judged
from studio.said.judging import Judge
from studio.said.material import material_of

LOBED = Judge(material_of(shipped("designs") / "lobed-globe.yaml"))


def judged(text: str, step: str | None = None) -> Judged:
    return judged_talk(LOBED, text, step)[-1]


@pytest.mark.parametrize("text", ["with a 12 mm drill", "drill it with a 12 mm drill"])
def test_a_drill_as_thick_as_the_hole_is_deep_is_not_passed(text: str) -> None:
    """The hole is 12 mm deep, its drill 1.7 mm."""
    assert judged(text).verdict in (Verdict.WRONG, Verdict.AMBIGUOUS)
    assert judged("drill it 12 mm deep").verdict is Verdict.RIGHT
    assert judged("the hole is 12 mm deep").verdict is Verdict.RIGHT


def test_to_leave_something_is_no_word_for_a_clearance() -> None:
    assert judged("Leave 9 mm of wall.").mend == ""


def test_a_line_does_not_end_a_range_after_its_first_figure() -> None:
    one = judged("Run it between 880 and 2000 rpm.", "index")
    assert (one.verdict, one.mend) == (Verdict.WRONG, "")
