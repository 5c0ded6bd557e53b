"""The program that measures and writes docs/performance.md can be asked what it does."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent


def test_asking_for_help_measures_nothing_and_writes_nothing():
    page = ROOT / "docs" / "performance.md"
    before = page.stat().st_mtime_ns, page.read_bytes()
    command = [sys.executable, str(ROOT / "tests" / "bench" / "run.py"), "--help"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
    assert "docs/performance.md" in " ".join(done.stdout.split())
    assert "--print" in done.stdout
    assert (page.stat().st_mtime_ns, page.read_bytes()) == before


def test_a_slip_is_refused_before_anything_is_measured():
    command = [sys.executable, str(ROOT / "tests" / "bench" / "run.py"), "--hlep"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 2
    assert "--hlep" in done.stderr
