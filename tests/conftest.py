"""What holds for all tests."""

import os
import signal

import pytest

# A run started in the background inherits an ignored Ctrl-C and would hand that on to the programs it tests.
signal.signal(signal.SIGINT, signal.default_int_handler)

# Two runs side by side, each with a thread for every core, wait for each other; numpy reads this when it is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

TOGETHER = {"visit": "spoken", "card": "spoken", "year": "year"}
"""Fixtures, and the group of tests that run one after the other because of it.

In the group "spoken" something is said and heard as time goes by: beside another such test it would be late.
The invented year is made once.
"""


def pytest_addoption(parser):
    parser.addoption("--long", action="store_true", help="all names, and many more kills")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    for item in items:
        for group in sorted({TOGETHER[name] for name in item.fixturenames if name in TOGETHER}):
            item.add_marker(pytest.mark.xdist_group(group))


@pytest.fixture(scope="session")
def long(request):
    """Whether the long form of a test is wanted."""
    return request.config.getoption("--long")
