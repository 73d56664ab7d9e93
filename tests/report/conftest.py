from datetime import UTC, date, datetime, timedelta

import pytest

from sayit.report.demo_year import fill
from sayit.store import Answer, Child, Session, open_record

NOW = datetime(2026, 3, 20, 18, 0, tzinfo=UTC)
UNTIL = date(2026, 3, 20)


@pytest.fixture(scope="session")
def year(tmp_path_factory):
    """The invented year, in a file of its own."""
    path = tmp_path_factory.mktemp("year") / "record.sqlite3"
    with open_record(path, durable=False) as record:
        fill(record, UNTIL, UTC)
    return path


@pytest.fixture
def pip():
    return Child(1, "Pip", None, NOW - timedelta(days=30))


@pytest.fixture
def make():
    """An answer ``day`` days before ``NOW``, the ``number``-th of that day's sitting, ten seconds each."""

    def answer(day=0, number=0, **changes):
        at = NOW - timedelta(days=day) + timedelta(seconds=10 * number)
        values = {
            "session": 100 - day,
            "child": 1,
            "question": "teens/read-out:plain/13",
            "step": "teens",
            "activity": "read-out",
            "asked": 13,
            "form": "plain",
            "prompt": "",
            "verdict": "right",
            "value": 13,
            "asked_at": at,
            "judged_at": at + timedelta(seconds=4),
            "response_seconds": 1.0,
        }
        return Answer(**values | changes)

    return answer


@pytest.fixture
def sitting():
    def session(day=0, **changes):
        return Session(
            **{"id": 100 - day, "child": 1, "started": NOW - timedelta(days=day, seconds=20), "source": "keys"}
            | changes
        )

    return session
