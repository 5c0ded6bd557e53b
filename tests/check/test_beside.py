"""Work done beside the rest, in a program of its own: tests hold threads, which forbid a fork."""

from __future__ import annotations

import subprocess
import sys

import pytest

from studio.check.beside import Beside, may_fork
from studio.errors import BadInput

PROGRAM = """
import os
from studio.check.beside import Beside, may_fork
from studio.errors import BadInput
assert may_fork() == ((os.cpu_count() or 1) > 1)
own = os.getpid()
begun = Beside(lambda: (os.getpid(), "done"))
process, told = begun.result()
assert told == "done" and (process != own) == may_fork()
def bad():
    raise BadInput.of("no such file", "check the name")
begun = Beside(bad)
try:
    begun.result()
except BadInput as told:
    print(told)
# a copy that breaks off leaves the work to the program itself
first = Beside(lambda: os._exit(3) if os.getpid() != own else "here")
print(first.result())
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no fork there")
def test_work_faults_and_a_broken_copy_reach_the_caller() -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM], capture_output=True, text=True, check=False
    )
    assert done.stderr == ""
    assert "no such file" in done.stdout
    assert done.stdout.endswith("here\n")


def test_with_threads_the_work_is_done_in_turn() -> None:
    import numpy  # noqa: F401

    assert not may_fork()
    assert Beside(lambda: 42).result() == 42

    def bad() -> int:
        raise BadInput.of("no such file", "check the name")

    with pytest.raises(BadInput, match="no such file"):
        Beside(bad).result()
