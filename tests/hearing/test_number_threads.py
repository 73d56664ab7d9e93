"""NumPy multiplies with one thread: its threads wait for each other where another program works."""

import os
import subprocess
import sys

import pytest

TOLD = "import sayit, os; print(os.environ['OPENBLAS_NUM_THREADS'])"


@pytest.mark.parametrize(("wish", "threads"), [(None, "1"), ("3", "3")])
def test_one_thread_unless_somebody_says_otherwise(wish, threads):
    surroundings = {k: v for k, v in os.environ.items() if k != "OPENBLAS_NUM_THREADS"}
    if wish:
        surroundings["OPENBLAS_NUM_THREADS"] = wish
    run = subprocess.run([sys.executable, "-c", TOLD], env=surroundings, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == threads
