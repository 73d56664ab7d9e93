"""What holds for all tests."""

import os
import signal

import pytest

# A run started in the background inherits an ignored Ctrl-C and would hand that on to the programs it tests.
signal.signal(signal.SIGINT, signal.default_int_handler)

# Two runs side by side, each with a thread for every core, wait for each other; numpy reads this when it is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

SPOKEN = {"visit", "card"}
"""Fixtures of tests in which something is said and heard as time goes by."""


def pytest_addoption(parser):
    parser.addoption("--long", action="store_true", help="all names, and many more kills")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Tests in which time goes by run one after the other, beside the others but never beside each other."""
    for item in items:
        if SPOKEN & set(item.fixturenames):
            item.add_marker(pytest.mark.xdist_group("spoken"))


@pytest.fixture(scope="session")
def long(request):
    """Whether the long form of a test is wanted."""
    return request.config.getoption("--long")
