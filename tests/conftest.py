"""What holds for all tests."""

import os
import signal

import hypothesis
import pytest

# A run started in the background inherits an ignored Ctrl-C and would hand that on to the programs it tests.
signal.signal(signal.SIGINT, signal.default_int_handler)

# Two runs side by side, each with a thread for every core, wait for each other; numpy reads this when it is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# How long an example takes is no matter of right or wrong, and a busy machine takes long.
hypothesis.settings.register_profile(
    "unhurried", deadline=None, suppress_health_check=[hypothesis.HealthCheck.too_slow]
)
hypothesis.settings.load_profile("unhurried")

TOGETHER = {
    **{
        f"tests/page/test_{name}.py": "silent"
        for name in ("access", "arrangement", "bounds", "corrections", "guard", "key", "one", "planned")
    },
    **{f"tests/page/test_{name}.py": "spoken too" for name in ("picture", "sitting", "turns")},
    "tests/page/": "spoken",
    "tests/commands/test_microphone": "spoken",
    "tests/report/": "year",
}
"""What tests' names begin with, and the group that they run in, one after the other; all others run where there is room.

In the groups "spoken" something is said and heard as time goes by: beside many such tests it would be late. In the
group "silent" a browser is opened once for what waits for nobody's voice.
The invented year of the group "year" is made once.
"""


def pytest_addoption(parser):
    parser.addoption("--long", action="store_true", help="all names, and many more kills")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """How tests are shared out where several run at once (``-n``).

    The groups of pytest-xdist 3.8 itself (``loadgroup``) do nothing with pytest 9.2.
    """
    from xdist.scheduler import LoadScopeScheduling

    class Groups(LoadScopeScheduling):
        def _split_scope(self, nodeid):
            return next((group for start, group in TOGETHER.items() if nodeid.startswith(start)), nodeid)

    return Groups(config, log)


@pytest.fixture(scope="session")
def long(request):
    """Whether the long form of a test is wanted."""
    return request.config.getoption("--long")
