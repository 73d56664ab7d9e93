"""The one home of a child's settings: step, steps passed over, time, largest number, forms, recordings."""

from datetime import UTC, datetime

import numpy as np
import pytest

from sayit.errors import SayitError
from sayit.page.household import arranged, kept_in_words
from sayit.practice.path import load_path
from sayit.store import Answer, keep_sound, open_record
from sayit.store.arrangement import arrange
from sayit.store.learning import learner_of

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


@pytest.fixture
def record(tmp_path):
    with open_record(tmp_path / "record.sqlite3") as record:
        yield record


@pytest.fixture
def pip(record):
    return record.add_child("Pip", at=NOON)


def test_what_the_parent_arranged_holds_for_the_learner(record, pip):
    found = arrange(
        record,
        pip,
        {
            "step": "hundreds",
            "skipped": ["ten-tens", "teens"],
            "pace": 1.5,
            "limit": 2000,
            "audio_days": 7,
            "forms": ["plain"],
            "counts_to": 40,
        },
        NOON,
    )
    told = kept_in_words(pip, found)
    assert "Pip" in told and load_path()["hundreds"].title in told and "7 days" in told
    learner = learner_of(record, pip)
    assert (learner.step, learner.pace, learner.limit) == ("hundreds", 1.5, 2000)
    assert set(learner.skipped) == {"ten-tens", "teens"}
    assert record.child("Pip").keep_audio_days == 7
    assert (record.child("Pip").forms, record.child("Pip").counts_to) == (("plain",), 40)
    holds = arranged(record, record.child("Pip"), NOON)
    assert (holds["step"], holds["limit"], holds["audio_days"]) == ("hundreds", 2000, 7)
    assert [step["slug"] for step in holds["steps"] if step["place"] == "here"] == ["hundreds"]
    # Back to an earlier step, to repeat it; all else stays.
    arrange(record, pip, {"step": "to-five"}, NOON)
    learner = learner_of(record, pip)
    assert (learner.step, learner.pace, learner.limit) == ("to-five", 1.5, 2000)
    assert record.child("Pip").counts_to == 40
    for nobody_said in (0, None):
        assert arrange(record, record.child("Pip"), {"counts_to": nobody_said}, NOON).counts_to is None
    assert record.child("Pip").counts_to is None


def test_what_did_not_change_is_not_written_again(record, pip):
    arrange(record, pip, {"step": "to-five", "pace": 1.0, "limit": 9_999, "skipped": [], "audio_days": 0}, NOON)
    assert record.placements(pip) == ()


def test_a_step_that_an_older_path_had_is_let_go(record, pip):
    record.place(pip, "to-five", at=NOON, skipped=("of-old", "teens"))
    assert arrange(record, pip, {"pace": 1.5}, NOON).skipped == ("teens",)


@pytest.mark.parametrize(
    "wanted",
    [
        {"step": "nowhere"}, {"step": None}, {"step": "thousands", "limit": 500}, {"step": "teens", "skipped": ["teens"]},
        {"pace": 0}, {"pace": float("nan")}, {"pace": "1"}, {"pace": True}, {"limit": 9}, {"limit": 1_000_000},
        {"limit": 20.5}, {"limit": None}, {"skipped": "teens"}, {"skipped": ["nowhere"]}, {"audio_days": 366}, {"audio_days": -1}, {"audio_days": "7"},
        {"forms": []}, {"forms": "plain"}, {"forms": ["clap"]},
        {"counts_to": -1}, {"counts_to": "20"}, {"counts_to": True}, {"counts_to": 1_000_000},
    ],
)  # fmt: skip
def test_what_makes_no_sense_gets_one_line_and_changes_nothing(record, pip, wanted):
    with pytest.raises(SayitError) as told:
        arrange(record, pip, {"step": "teens", "audio_days": 3} | wanted, NOON)
    assert "\n" not in str(told.value) and str(told.value).endswith(".")
    assert record.placements(pip) == () and record.child("Pip").keep_audio_days == 0


def test_recordings_that_are_turned_off_are_deleted(record, pip):
    arrange(record, pip, {"audio_days": 7}, NOON)
    session = record.start_session(pip, at=NOON, source="microphone", seed=1)
    answer = record.keep(
        Answer(session=session.id, child=pip.id, question="teens/say-back:plain/13", step="teens", activity="say-back",
               asked=13, form="plain", prompt="thirteen", verdict="right", asked_at=NOON, judged_at=NOON)
    )  # fmt: skip
    keep_sound(record, answer, np.zeros(16_000, dtype=np.float32))
    assert len(list(record.path.parent.rglob("*.flac"))) == 1
    arrange(record, record.child("Pip"), {"audio_days": 0}, NOON)
    assert list(record.path.parent.rglob("*.flac")) == []
