"""The code's own rules: style, types, layers, and pages that are made from the code."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

from studio import cli
from studio.design.reference import reference
from studio.episode.assemble import open_episode
from studio.episode.texts import Form, filled
from studio.measure.trace import plain

ROOT = Path(__file__).parent.parent
BIN = Path(sys.executable).parent


@pytest.mark.parametrize(
    "command",
    [
        ["ruff", "check", "."],
        ["ruff", "format", "--check", "."],
        ["mypy"],
        ["lint-imports"],
    ],
    ids=lambda command: " ".join(command),
)
def test_tool(command: list[str]) -> None:
    done = subprocess.run(
        [str(BIN / command[0]), *command[1:]], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_page_of_keys_is_the_one_that_the_schema_makes() -> None:
    page = (ROOT / "docs" / "design-keys.md").read_text(encoding="utf-8")
    assert page == reference(), "run: python -m studio.design.reference > docs/design-keys.md"


def commands() -> list[str]:
    choices = cli.parser()._subparsers._group_actions[0].choices  # type: ignore[union-attr]
    return list(choices or {})


def test_every_command_has_help_and_is_in_the_readme() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for name in commands():
        assert f"`studio {name}" in readme, f"README.md does not tell what {name} does"
        with pytest.raises(SystemExit) as caught:
            cli.main([name, "--help"])
        assert caught.value.code == 0


def finding_codes() -> set[str]:
    """Every code that a check can report, from the source."""
    found: set[str] = set()
    for path in (ROOT / "studio" / "check").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.keyword) and node.arg == "code":
                found |= {n.value for n in ast.walk(node.value) if isinstance(n, ast.Constant)}
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "_finding":
                found |= {
                    arg.value
                    for arg in node.args
                    if isinstance(arg, ast.Constant)
                    and re.fullmatch(r"[a-z]+(-[a-z]+)+", str(arg.value))
                }
    return found


def test_every_finding_is_explained() -> None:
    page = (ROOT / "docs" / "check.md").read_text(encoding="utf-8")
    codes = finding_codes()
    assert len(codes) >= 12
    for code in codes:
        assert f"`{code}`" in page, f"docs/check.md does not explain {code}"


@pytest.mark.parametrize("page", [*sorted((ROOT / "docs").glob("*.md")), ROOT / "README.md",
                                  ROOT / "DEVELOPERS.md"], ids=lambda page: page.name)  # fmt: skip
def test_links_between_pages_lead_somewhere(page: Path) -> None:
    prose = re.sub(r"```.*?```", "", page.read_text(encoding="utf-8"), flags=re.DOTALL)
    for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", prose):
        if not target.startswith(("http://", "https://")):
            assert (page.parent / target).exists(), f"{page.name} links to {target}"


def test_nothing_else_lies_at_the_top() -> None:
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    names = (
        listed.stdout.split("\n") if listed.returncode == 0 else [p.name for p in ROOT.iterdir()]
    )
    top = {name.partition("/")[0] for name in names if name} - {"build"}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE"}
    allowed |= {"studio", "designs", "tests", "overlays", "docs"}
    assert {name for name in top if not name.startswith(".")} <= allowed


def test_the_smallest_design_of_the_page_is_one(folder: Path) -> None:
    page = (ROOT / "docs" / "design-file.md").read_text(encoding="utf-8")
    smallest = re.search(r"```yaml\n(# yaml-language-server.*?)```", page, re.DOTALL)
    assert smallest is not None
    path = folder / "smallest.yaml"
    path.write_text(smallest[1], encoding="utf-8")
    assert open_episode(path).table["sphere.set_in"].text == "14.6 mm"


def test_the_pages_forms_are_what_a_text_prints(folder: Path) -> None:
    """The table of forms in docs/design-file.md, cell by cell."""
    page = (ROOT / "docs" / "design-file.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `(\{\{.*?\}\})` \| `(.*?)` \| `(.*?)` \|$", page, re.MULTILINE)
    assert len(rows) == 4
    table = open_episode(folder / "globe.yaml").table
    for written, said, printed in rows:
        assert plain(filled(written, table, Form.TEXT)) == said
        assert plain(filled(written, table, Form.BOTH)) == printed
