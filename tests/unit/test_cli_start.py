"""What the command line settles before anything else is imported."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

SCRIPT = """
import os, sys
from kbgen.cli import main
assert "numpy" not in sys.modules, "it reads the number of threads when it is imported"
main(["explain", "alteration-left"])
print(os.environ["OPENBLAS_NUM_THREADS"])
"""


@pytest.mark.parametrize(("own", "used"), [(None, "1"), ("4", "4")])
def test_circuits_are_worked_out_on_one_thread_unless_somebody_says_otherwise(
    own: str | None, used: str
) -> None:
    environment = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    if own is not None:
        environment["OPENBLAS_NUM_THREADS"] = own
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT], env=environment, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == used
