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


ROUGH = "  - id: rough\n"


def speeds_found(context: Context) -> list[tuple[str, str]]:
    return [(one.said, one.at.rpartition("(")[2]) for one in speeds.check(context).findings]


@pytest.mark.parametrize("design", ["globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe"])
def test_no_shipped_step_names_a_ceiling_above_its_own(
    globe: Path, tmp_path: Path, design: str
) -> None:
    assert speeds_found(Context.of(globe.with_name(f"{design}.yaml"), tmp_path)) == []


def test_a_ceiling_above_the_steps_own_is_found_wherever_the_step_names_it(
    globe: Path, tmp_path: Path
) -> None:
    text = globe.read_text("utf-8")
    first = text.index(ROUGH)
    after = text.index("  - id: ", first + 1)
    step = text[first:after].replace("speed.rough", "speed.finish")
    assert step.count("speed.finish") >= 2
    globe.write_text(text[:first] + step + text[after:], "utf-8")
    context = Context.of(globe, tmp_path)
    found = speeds.check(context).findings
    assert {one.at.rpartition(".")[2] for one in found} <= {"do)", "say)", "show)"}
    assert len(found) == step.count("speed.finish")
    lines = globe.read_text("utf-8").splitlines()
    for one in found:
        assert one.measurement == "speed.rough"
        assert one.said == context.episode.table["speed.finish"].text
        assert "{{ speed.rough }}" in one.expected
        number = int(one.at.removeprefix("line ").partition(",")[0])
        assert any("speed.finish" in line for line in lines[number - 1 : number + 8])


def test_a_higher_ceiling_beside_the_steps_own_is_no_fault(globe: Path, tmp_path: Path) -> None:
    text = globe.read_text("utf-8")
    first = text.index(ROUGH)
    begin = text.index("{{ speed.rough }}", first)
    end = begin + len("{{ speed.rough }}")
    more = " now, and {{ speed.general }} once it is round"
    globe.write_text(text[:end] + more + text[end:], "utf-8")
    assert speeds_found(Context.of(globe, tmp_path)) == []


def test_a_typed_speed_above_the_ceiling_is_found_where_it_is_named(
    globe: Path, tmp_path: Path
) -> None:
    text = globe.read_text("utf-8")
    assert "\nvalues:" in text
    text = text.replace("\nvalues:\n", "\nvalues:\n  dial: 2000 rpm\n", 1)
    first = text.index(ROUGH)
    begin = text.index("{{ speed.rough }}", first)
    text = text[:begin] + "{{ value.dial }}" + text[begin + len("{{ speed.rough }}") :]
    globe.write_text(text, "utf-8")
    (found,) = speeds.check(Context.of(globe, tmp_path)).findings
    assert (found.said, found.measurement) == ("2,000 rpm", "speed.rough")
