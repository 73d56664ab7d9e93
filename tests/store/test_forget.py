"""Forgetting a child leaves nothing, on disk either, and nobody else loses anything."""

import numpy as np
import pytest

from sayit.store import delete_expired, keep_sound, open_record
from sayit.store.learning import keep_learner_state, learner_state
from sayit.store.sounds import folder
from tests.store.conftest import NOON

SECRET = "zebrafinch"


@pytest.fixture
def known(record, session, make_answer):
    """Pip with everything that a child can have, and Wren beside."""
    pip = record.set_audio_days(record.child("Pip"), 30)
    record.place(pip, "teens", at=NOON)
    keep_learner_state(record, pip, {"version": 1, "note": SECRET}, 1, 1)
    for number in range(200):
        kept = record.keep(make_answer(number, heard=f"{SECRET} {number}", judged_by="parent"))
    keep_sound(record, kept, np.zeros(1600, dtype=np.float32))
    wren = record.add_child("Wren", at=NOON)
    other = record.start_session(wren, at=NOON, source="keys", seed=None)
    record.keep(make_answer(1, session=other.id, child=wren.id))
    return pip, wren


def everything(path):
    return b"".join(file.read_bytes() for file in path.parent.rglob("*") if file.is_file())


def test_nothing_is_left_on_disk(record, known, path):
    pip, wren = known
    assert SECRET.encode() in everything(path) and list(folder(record, pip).glob("*.flac"))
    assert record.forget(pip) == 200
    assert SECRET.encode() not in everything(path)
    assert not folder(record, pip).exists()
    assert record.children() == (wren,)
    assert len(record.answers()) == 1
    record.close()
    assert SECRET.encode() not in everything(path)
    with open_record(path) as again:
        for table in ("session", "answer", "placement", "learner"):
            count = "SELECT count(*) FROM " + table + " WHERE child = ?"
            assert again.rows(count, (pip.id,))[0][0] == 0, table


def test_a_name_can_be_used_again(record, known):
    record.forget(known[0])
    again = record.add_child("Pip", at=NOON)
    assert again.keep_audio_days == 0
    assert record.answers(child=again) == () and record.placements(again) == ()
    assert learner_state(record, again) is None
    assert delete_expired(record, NOON) == 0
