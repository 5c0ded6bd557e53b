"""The command line as a script sees it: exit codes, streams, files, and how fast it answers."""

from __future__ import annotations

import json
import os
import re
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from studio import cli

Edit = Callable[[Path, str, str], Path]
Capture = pytest.CaptureFixture[str]

CONTRACT_FILES = {
    "handout.html",
    "cut-sheet.html",
    "handout.pdf",
    "cut-sheet.pdf",
    "demonstration.html",
    "demonstration.pdf",
    "templates.pdf",
    "script.md",
    "description.txt",
    "newsletter.txt",
    "newsletter.md",
    "captions.srt",
    "captions.vtt",
    "chapters.vtt",
    "chapters.ffmeta",
    "reading.html",
    "shot-list.md",
    "piece.png",
    "thumbnail.png",
    "piece.stl",
    "piece.glb",
    "measurements.json",
}


@pytest.fixture
def small(globe: Path, edit: Edit) -> Path:
    """The globe with small pictures, so that overlays are drawn quickly."""
    return edit(globe, "size: 960x540", "size: 320x180")


def test_measure_prints_the_table_as_json(globe: Path, capsys: Capture) -> None:
    assert cli.main(["measure", str(globe), "--json"]) == 0
    records = json.loads(capsys.readouterr().out)
    by_name = {record["name"]: record for record in records}
    for name in ("sphere.octagon_side", "index.chord", "hanger.drill", "speed.finish"):
        assert {"name", "label", "value", "unit", "text", "rule", "formula", "source"} <= set(
            by_name[name]
        )
    assert by_name["sphere.octagon_side"]["value"] == pytest.approx(24.8528, abs=1e-4)


def test_a_program_that_reads_the_table_is_told_the_notes_too(
    globe: Path, edit: Edit, capsys: Capture
) -> None:
    edit(globe, "hole_depth: 12 mm", "hole_depth: 58 mm")
    assert cli.main(["measure", str(globe), "--json"]) == 0
    told = capsys.readouterr()
    assert json.loads(told.out)
    assert "note: hanger: only" in told.err


def test_measure_prints_a_table_for_people(globe: Path, capsys: Capture) -> None:
    assert cli.main(["measure", str(globe)]) == 0
    out = capsys.readouterr().out
    assert re.search(r"sphere\.set_in +Set-in from each corner +17\.5 mm +11/16 in", out)
    assert "bench rule: a quarter of the octagon side = 6.2 mm" in out


def test_build_writes_every_file_of_the_contract(
    small: Path, tmp_path: Path, capsys: Capture
) -> None:
    out = tmp_path / "out"
    assert cli.main(["build", str(small), "--out", str(out)]) == 0
    printed = {Path(line) for line in capsys.readouterr().out.splitlines()}
    seen = {path for path in out.rglob("*") if path.is_file() and not path.name.startswith(".")}
    assert {path.name for path in seen if path.parent == out} == CONTRACT_FILES
    assert len(list((out / "overlays").glob("*.png"))) > 10
    assert printed == seen


def test_build_as_json(small: Path, tmp_path: Path, capsys: Capture) -> None:
    assert cli.main(["build", str(small), "--out", str(tmp_path / "o"), "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["written"]) > 15


def test_the_default_folder_is_named_after_the_design(
    small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(["build", str(small)]) == 0
    assert (tmp_path / "build" / "globe" / "handout.html").is_file()


def test_two_builds_are_the_same_to_the_byte(small: Path, tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    for out in (one, other):
        assert cli.main(["build", str(small), "--out", str(out)]) == 0
    for path in one.rglob("*"):
        if path.is_file():
            assert path.read_bytes() == (other / path.relative_to(one)).read_bytes()


def test_check_answers_with_its_exit_code(small: Path, tmp_path: Path, capsys: Capture) -> None:
    out = tmp_path / "out"
    cli.main(["build", str(small), "--out", str(out)])
    assert cli.main(["check", str(small), "--out", str(out)]) == 0
    path = out / "description.txt"
    path.write_text(path.read_text("utf-8").replace("17.5 mm", "16.5 mm"), "utf-8")
    capsys.readouterr()
    assert cli.main(["check", str(small), "--out", str(out), "--json"]) == 1
    report = json.loads(capsys.readouterr().out)
    assert set(report) == {"findings", "traced", "untraced"}
    (finding,) = report["findings"]
    assert set(finding) == {
        "code", "severity", "where", "at", "said", "expected", "measurement",
        "confidence", "patch",
    }  # fmt: skip
    assert cli.main(["check", str(small), "--out", str(out)]) == 1
    told = capsys.readouterr().out
    assert "description.txt: line" in told
    assert "should be: 17.5" in told


def test_check_before_any_build(globe: Path, tmp_path: Path, capsys: Capture) -> None:
    assert cli.main(["check", str(globe), "--out", str(tmp_path / "none")]) == 2
    assert "run: studio build" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["measure", "build", "check"])
def test_a_bad_design_is_exit_two_and_leaves_nothing(
    globe: Path, edit: Edit, tmp_path: Path, capsys: Capture, command: str
) -> None:
    edit(globe, "  diameter: 60 mm", "  diameter: 60")
    out = tmp_path / "out"
    assert cli.main([command, str(globe), "--out", str(out)]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert "Traceback" not in captured.err
    assert captured.err.startswith(f"{globe}:")
    assert not out.exists()


@pytest.mark.parametrize("command", ["measure", "build", "check", "burn"])
def test_no_such_design(command: str, tmp_path: Path, capsys: Capture) -> None:
    more = ["--master", "x.mp4"] if command == "burn" else []
    assert cli.main([command, str(tmp_path / "none.yaml"), *more]) == 2
    assert "there is no such file" in capsys.readouterr().err


def test_an_out_folder_that_cannot_be_made(small: Path, tmp_path: Path, capsys: Capture) -> None:
    """A file stands where the folder should be: so it is for root too."""
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    assert cli.main(["build", str(small), "--out", str(tmp_path / "file" / "out")]) == 2
    captured = capsys.readouterr()
    assert "cannot" in captured.err
    assert (tmp_path / "file").read_text(encoding="utf-8") == "mine"


def test_files_of_the_turners_own_are_left_alone(small: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "notes.txt").write_text("mine", encoding="utf-8")
    assert cli.main(["build", str(small), "--out", str(out)]) == 0
    assert (out / "notes.txt").read_text(encoding="utf-8") == "mine"


def test_a_description_changed_by_hand_is_kept_with_a_note(
    small: Path, tmp_path: Path, capsys: Capture
) -> None:
    out = tmp_path / "out"
    assert cli.main(["build", str(small), "--out", str(out)]) == 0
    (out / "description.txt").write_text("mine", encoding="utf-8")
    capsys.readouterr()
    assert cli.main(["build", str(small), "--out", str(out)]) == 0
    assert "kept as description.txt.kept-1" in capsys.readouterr().err
    assert (out / "description.txt.kept-1").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("arguments", [[], ["nonsense"], ["measure"], ["burn", "x.yaml"]])
def test_wrong_use_is_exit_two(arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        cli.main(arguments)
    assert caught.value.code == 2


def test_our_own_fault_is_exit_three_with_a_log(
    globe: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    def broken(*_: object, **__: object) -> int:
        raise RuntimeError("a bug of ours")

    monkeypatch.setattr("studio.commands.measure.measure", broken)
    assert cli.main(["measure", str(globe)]) == 3
    err = capsys.readouterr().err
    assert "fault of studio itself" in err
    assert "Traceback" not in err
    log = Path(next(word for word in err.split() if "studio-fault-" in word))
    assert "a bug of ours" in log.read_text(encoding="utf-8")
    log.unlink()


def test_interruption_is_exit_130(
    globe: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    def interrupted(*_: object, **__: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr("studio.commands.measure.measure", interrupted)
    assert cli.main(["measure", str(globe)]) == 130
    assert "interrupted" in capsys.readouterr().err


def studio() -> str:
    """The installed command beside this Python."""
    found = shutil.which("studio", path=str(Path(sys.executable).parent))
    assert found, "install the project first: pip install -e '.[demo,test]'"
    return found


def seconds(arguments: list[str]) -> float:
    """Processor time of a new process: what it takes where nothing else is running."""
    # as on a turner's machine: byte code is kept from the first run on
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([studio(), *arguments], check=True, capture_output=True, env=environment)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


@pytest.mark.parametrize("arguments", [["--help"], ["measure", "GLOBE"]])
def test_a_new_process_answers_at_once(arguments: list[str], globe: Path) -> None:
    arguments = [str(globe) if word == "GLOBE" else word for word in arguments]
    # half a second when the machine is quiet; it may be busy with other tests
    assert min(seconds(arguments) for _ in range(5)) < 0.9


@pytest.mark.parametrize("arguments", [["--help"], ["measure", "GLOBE", "--json"]])
def test_film_and_paper_libraries_are_not_imported_for_that(
    arguments: list[str], globe: Path
) -> None:
    arguments = [str(globe) if word == "GLOBE" else word for word in arguments]
    code = (
        "import sys; from studio.cli import main\n"
        f"try: main({arguments!r})\n"
        "except SystemExit: pass\n"
        "heavy = {'moviepy', 'av', 'numpy', 'PIL', 'jinja2', 'markdown', 'pint'}\n"
        "found = sorted(heavy & set(sys.modules))\n"
        "sys.exit(f'imported {found}' if found else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_reader_that_leaves_early_is_no_fault(globe: Path) -> None:
    done = subprocess.run(
        f"'{studio()}' measure '{globe}' | head -1",
        shell=True, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.stderr == ""
    assert done.stdout.strip() == "The ball"
