"""What the desk hands out is what the commands write, and a kept answer can be heard again."""

from datetime import UTC, datetime
from types import SimpleNamespace

import numpy as np
import pytest

from sayit import SayitError
from sayit.page.papers import Papers
from sayit.store import Answer, keep_sound, open_record

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
