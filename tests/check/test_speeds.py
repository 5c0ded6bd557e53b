"""A speed over the rule is found in the design, with its line; one up to it is none."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from studio import cli
from studio.check import speeds
from studio.check.checks import CHECKS
from studio.check.context import Context
from studio.check.findings import Severity

Edit = Callable[[Path, str, str], Path]


def test_a_speed_over_the_rule_is_a_finding(
    globe: Path, tmp_path: Path, edit: Edit, capsys: pytest.CaptureFixture[str]
) -> None:
    """The shipped chuck's plate says 2,500 rpm."""
    edit(globe, "  - id: sand\n", "  - id: sand\n    speed: 4000 rpm\n")
    out = tmp_path / "out"
    assert cli.main(["build", str(globe), "--out", str(out)]) == 0
    assert "note: step sand: 4,000 rpm is too fast" in capsys.readouterr().err
    assert cli.main(["check", str(globe), "--out", str(out)]) == 1
    told = capsys.readouterr().out
    assert "speed-over-rule" in told
    assert "1 to mend" in told
    line = globe.read_text(encoding="utf-8").splitlines().index("    speed: 4000 rpm") + 1
    assert f"line {line}, column" in told
    assert "steps[" in told

    assert speeds.check in CHECKS
    (finding,) = speeds.check(Context.of(globe, out)).findings
    assert finding.severity is Severity.ERROR
    assert finding.said == "4,000 rpm"
    assert finding.measurement == "speed.sanding"
    assert "at most" in finding.expected


@pytest.mark.parametrize(("asked", "found"), [("1900 rpm", 0), ("1910 rpm", 1)])
def test_the_printed_ceiling_is_the_limit(
    globe: Path, tmp_path: Path, edit: Edit, asked: str, found: int
) -> None:
    """4,500 inch-rpm for sanding (ours) on 60 mm: 1,905, printed as 1,900."""
    edit(globe, "  - id: sand\n", f"  - id: sand\n    speed: {asked}\n")
    context = Context.of(globe, tmp_path)
    assert len(speeds.check(context).findings) == found
    assert sum("too fast" in note for note in context.episode.notes) == found


def test_measure_says_it_too(globe: Path, edit: Edit, capsys: pytest.CaptureFixture[str]) -> None:
    edit(globe, "  - id: sand\n", "  - id: sand\n    speed: 4000 rpm\n")
    assert cli.main(["measure", str(globe)]) == 0
    assert "note: step sand: 4,000 rpm is too fast: 1,900 rpm at most." in capsys.readouterr().err
