"""What the desk hands out is what the commands write, and a kept answer can be heard again."""

from datetime import UTC, datetime
from types import SimpleNamespace

import numpy as np
import pytest

from sayit import SayitError
from sayit.page import restoring
from sayit.page.papers import Papers
from sayit.store import Answer, back_up, keep_sound, open_record
from tests.page.test_guard import ORIGIN, client, known  # noqa: F401  # fixtures

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


def test_the_sound_of_an_answer_is_handed_out_where_it_is_kept(tmp_path):
    path = tmp_path / "record.sqlite3"
    with open_record(path) as record:
        pip = record.set_audio_days(record.add_child("Pip", at=NOON), 7)
        session = record.start_session(pip, at=NOON, source="microphone", seed=1)
        made = Answer(
            session=session.id, child=pip.id, question="free/say-back:plain/45", step="free", activity="say-back", asked=45,
            form="plain", prompt="", verdict="right", value=45, asked_at=NOON, judged_at=NOON,
        )  # fmt: skip
        silent = record.keep(made)
        kept = keep_sound(record, record.keep(made), np.zeros(16_000, dtype=np.float32))
    papers = Papers(SimpleNamespace(record=lambda: open_record(path)))
    assert papers.sound(kept.id).content.startswith(b"fLaC")
    for number in (silent.id, 999):
        with pytest.raises(SayitError, match="not kept"):
            papers.sound(number)


def test_a_backup_is_taken_by_the_page_only_and_up_to_a_size(known, tmp_path, monkeypatch):  # noqa: F811  # a fixture
    record, backup = tmp_path / "record.sqlite3", tmp_path / "backup.sqlite3"
    with open_record(record) as opened:
        opened.add_child("Pip", at=NOON)
    sent = back_up(backup, record).read_bytes()
    before = record.read_bytes()
    assert known.post("/restore", content=sent).status_code == 403, "it must say where it comes from"
    assert known.get("/restore").status_code == 405
    here = {"origin": ORIGIN}
    for content, told in ((b"", "The file is empty"), (b"SQLite format 3\0" * 99, "The file is no backup")):
        refused = known.post("/restore", content=content, headers=here).json()["refused"]
        assert refused.startswith(told) and len(refused.splitlines()) == 1
    monkeypatch.setattr(restoring, "LARGEST", len(sent) - 1)
    assert "larger" in known.post("/restore", content=sent, headers=here).json()["refused"]
    assert record.read_bytes() == before
    monkeypatch.setattr(restoring, "LARGEST", len(sent))
    told = known.post("/restore", content=sent, headers=here).json()["told"]
    (kept,) = tmp_path.glob("record-before-*.sqlite3")
    assert told.startswith("Restored: Pip.") and str(kept) in told
