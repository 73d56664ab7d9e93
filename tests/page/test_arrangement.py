"""What holds for one child, set at the desk: step, steps passed over, time, largest number, forms, recordings."""

from datetime import UTC, datetime

import numpy as np
import pytest

from sayit.errors import SayitError
from sayit.page.arrangement import arranged, kept
from sayit.page.settings import Settings, only_of
from sayit.practice.path import load_path
from sayit.store import Answer, keep_sound, open_record
from sayit.store.arrangement import arrange
from sayit.store.learning import learner_of
from tests.page.test_sitting import SLOW

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
        {"step": "hundreds", "skipped": ["ten-tens", "teens"], "pace": 1.5, "limit": 2000, "audio_days": 7},
        NOON,
    )
    told = kept(pip, found)
    assert "Pip" in told and load_path()["hundreds"].title in told and "7 days" in told
    learner = learner_of(record, pip)
    assert (learner.step, learner.pace, learner.limit) == ("hundreds", 1.5, 2000)
    assert set(learner.skipped) == {"ten-tens", "teens"}
    assert record.child("Pip").keep_audio_days == 7
    holds = arranged(record, record.child("Pip"), NOON)
    assert (holds["step"], holds["limit"], holds["audio_days"]) == ("hundreds", 2000, 7)
    assert [step["slug"] for step in holds["steps"] if step["place"] == "here"] == ["hundreds"]
    # Back to an earlier step, to repeat it; all else stays.
    arrange(record, pip, {"step": "to-five"}, NOON)
    learner = learner_of(record, pip)
    assert (learner.step, learner.pace, learner.limit) == ("to-five", 1.5, 2000)


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


def test_who_was_forgotten_leaves_no_trace_in_the_settings():
    settings = Settings(child="Pip", turns=("Wren",), forms_of={"1": ("plain",), "2": ("explicit",)})
    left = only_of(settings, {1: "Pip"})
    assert (left.child, left.turns, left.forms_of) == ("Pip", (), {"1": ("plain",)})
    assert only_of(settings, {2: "Wren"}).child == ""


def test_a_child_is_started_anywhere_from_the_desk(household, visit):
    home = household(child="Pip", plan=True, patience=30)
    page = visit(home)
    desk = page.desk
    desk.get_by_text("Pip on the path").wait_for(timeout=SLOW * 1000)
    desk.get_by_label("Goes on at this step").select_option("hundreds")
    desk.get_by_text("Steps to pass over").first.click()
    desk.get_by_label(load_path()["ten-tens"].title, exact=True).check()
    desk.get_by_label("Time to answer").select_option("1.5")
    desk.locator("#limit").fill("700")
    desk.get_by_label("Tens name (four-ten five)").uncheck()
    desk.get_by_label("Keep what this child answers").check()
    desk.get_by_label("Delete after days").fill("14")
    assert "personal data" in desk.locator("#recorded-note").inner_text()
    desk.get_by_role("button", name="Keep for Pip").click()
    desk.get_by_text("Kept: Pip goes on at").wait_for()
    desk.get_by_text("Pip is at “Hundreds”").wait_for()
    with open_record(home.home / "record.sqlite3") as record:
        (placed,) = record.placements(record.child("Pip"))
        assert (placed.step, placed.skipped, placed.pace, placed.limit) == ("hundreds", ("ten-tens",), 1.5, 700)
        assert record.child("Pip").keep_audio_days == 14
    # What is refused is told beside the form, and nothing is lost.
    desk.locator("#skipped").get_by_label("Hundreds", exact=True).check()
    desk.get_by_role("button", name="Keep for Pip").click()
    desk.locator("#kept", has_text="take it out of the steps passed over").wait_for()
    # The sitting asks there, and in the one form only.
    desk.reload()
    page.touch()
    page.start()
    for count in range(1, 4):
        page.screen.wait_for_selector("body[data-sign=turn], body[data-sign=hands]", timeout=SLOW * 1000)
        page.press("Right")
        page.heard(count, SLOW)
        page.screen.wait_for_selector("body[data-sign=speaks]", timeout=SLOW * 1000)
    answers = home.answers()
    slugs = load_path(700).slugs
    assert max(slugs.index(answer.step) for answer in answers) <= slugs.index("hundreds")
    assert all(answer.form != "explicit" and answer.step != "ten-tens" for answer in answers)
    assert page.trouble == []
