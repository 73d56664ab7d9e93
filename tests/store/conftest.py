from datetime import UTC, datetime, timedelta

import pytest

from sayit.store import Answer, open_record

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


@pytest.fixture
def path(tmp_path):
    return tmp_path / "record.sqlite3"


@pytest.fixture
def record(path):
    with open_record(path) as record:
        yield record


@pytest.fixture
def session(record):
    pip = record.add_child("Pip", at=NOON)
    return record.start_session(pip, at=NOON, source="microphone", seed=7)


@pytest.fixture
def make_answer(session):
    def make(number=0, **changes):
        values = {
            "session": session.id,
            "child": session.child,
            "question": "free/say-back:explicit/45",
            "step": "free",
            "activity": "say-back",
            "asked": 45,
            "form": "explicit",
            "prompt": "Say: four-ten five",
            "verdict": "wrong",
            "asked_at": NOON + timedelta(seconds=number),
            "judged_at": NOON + timedelta(seconds=number + 2),
        }
        return Answer(**values | changes)

    return make
