"""The check's report as a page: what is to be mended, escaped, and gone with the next build."""

from __future__ import annotations

import json
import re

import pytest

from studio import cli
from studio.commands.build import build_files
from studio.episode.assemble import open_episode
from studio.files import write_outputs

Capture = pytest.CaptureFixture[str]


def report(built) -> str:
    cli.main(["check", str(built.design), "--out", str(built.out)])
    return (built.out / "check.html").read_text("utf-8")


def words(page: str) -> str:
    body = page.partition("<body")[2]
    return " ".join(re.sub(r"<[^>]*>", " ", body).split())


def test_a_sound_set_is_told_as_such(built, capsys: Capture) -> None:
    text = words(report(built))
    assert "0 to mend" in text
    assert "What is said, shown and printed agrees with the design." in text
    assert f"report: {built.out / 'check.html'}" in capsys.readouterr().out


def test_what_is_to_be_mended_stands_under_its_file(built) -> None:
    built.replace("description.txt", "17.5 mm", "18.5 mm")
    built.replace("script.md", "Set dividers to", "Set your dividers to")
    text = words(report(built))
    mend, _, look = text.partition("To look at")
    assert "description.txt" in mend
    assert "wrong-number" in mend
    assert "18.5" in mend
    assert "17.5" in mend
    assert "script.md" in look
    assert "1 to mend" in mend


def test_a_file_s_text_does_nothing_on_the_page(built) -> None:
    built.replace("description.txt", "17.5 mm", "<script>alert(1)</script>18.5 mm")
    page = report(built)
    assert "<script" not in page
    assert "&lt;script&gt;" in page


def test_json_stays_json_and_the_report_does_not_come_back_as_a_finding(
    built, capsys: Capture
) -> None:
    for _ in range(2):
        assert cli.main(["check", str(built.design), "--out", str(built.out), "--json"]) == 0
        assert json.loads(capsys.readouterr().out)["findings"] == []


def test_a_build_takes_an_old_report_away(built) -> None:
    report(built)
    write_outputs(built.out, build_files(open_episode(built.design)))
    assert not (built.out / "check.html").exists()


def test_a_terminal_gets_lines_that_fit_and_a_file_whole_ones(
    built, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    built.replace("description.txt", "17.5 mm", "18.5 mm")
    line = "Now that we are here, set the dividers to 23 mm from each of the corners, as we did."
    said = built.out / "said.txt"
    said.write_text(line, encoding="utf-8")
    arguments = ["check", str(built.design), "--out", str(built.out), "--said", str(said)]
    cli.main(arguments)
    whole = capsys.readouterr().out
    assert f"    says: {line}\n" in whole
    monkeypatch.setenv("COLUMNS", "60")
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    cli.main(arguments)
    narrow = capsys.readouterr().out
    says = narrow[narrow.index("    says: Now") :].splitlines()
    assert says[0] == "    says: Now that we are here, set the dividers to 23 mm"
    assert says[1] == "          from each of the corners, as we did."
    assert says[2].startswith("    should be: ")
    assert narrow.split() == whole.split()
    under = [one for one in narrow.splitlines() if one.startswith("    ")]
    assert max(map(len, under)) < 60
