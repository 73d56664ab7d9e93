"""The sound of an answer is kept for a child whose parent turned that on, and for nobody else."""

from datetime import timedelta

import numpy as np
import soundfile

from sayit.store.sounds import folder
from tests.sitting.conftest import START

ASKED = [(45, "plain"), (27, "plain"), (8, "plain")]
SAID = ["forty five", "", "twenty seven", "seven"]


def sat(prepare, days, watch=lambda event: None):
    sitting = prepare(ASKED, SAID, present=False, watch=watch)
    if days:
        sitting.record.set_audio_days(sitting.record.child("Pip"), days)
    sitting.play(minutes=60)
    return sitting


def files(sitting):
    return sorted(folder(sitting.record).rglob("*.flac"))


def test_for_a_child_with_consent_each_answer_has_its_sound(prepare):
    sitting = sat(prepare, 7)
    answers = sitting.answers
    assert [(answer.asked, answer.verdict, bool(answer.recording)) for answer in answers] == [
        (45, "right", True),
        (27, "unclear", False),
        (27, "right", True),
        (8, "wrong", True),
    ], "silence is no recording"
    assert files(sitting) == sorted(folder(sitting.record) / answer.recording for answer in answers if answer.recording)
    for answer in answers:
        if answer.recording:
            samples, rate = soundfile.read(folder(sitting.record) / answer.recording)
            assert rate == 16_000 and len(samples) / rate > 0.3 and np.abs(samples).max() > 0.02


def test_for_a_child_without_it_nothing_is_kept(prepare):
    sitting = sat(prepare, 0)
    assert len(sitting.answers) == 4 and not any(answer.recording for answer in sitting.answers)
    assert not folder(sitting.record).exists()


def test_the_sound_comes_after_the_answer_is_on_disk(prepare):
    seen = []

    def watch(event):
        if type(event).__name__ == "Judged":
            seen.append((event.answer.id is not None, event.answer.recording))

    sat(prepare, 7, watch)
    assert seen == [(True, None)] * 4


def test_turning_it_off_in_the_middle_holds_from_the_next_answer_on(prepare):
    holder = []

    def watch(event):
        if type(event).__name__ == "Asked" and event.question.value == 8:
            holder[0].set_audio_days(holder[0].child("Pip"), 0)

    sitting = prepare([(45, "plain"), (8, "plain")], ["forty five", "eight"], present=False, watch=watch)
    holder.append(sitting.record)
    sitting.record.set_audio_days(sitting.record.child("Pip"), 7)
    sitting.play(minutes=60)
    assert [bool(answer.recording) for answer in sitting.answers] == [True, False]


def test_a_disk_that_takes_no_recording_loses_no_answer(prepare):
    sitting = prepare([(45, "plain"), (8, "plain")], ["forty five", "eight"], present=False)
    sitting.record.set_audio_days(sitting.record.child("Pip"), 7)
    folder(sitting.record).write_text("a file where the folder should be")
    sitting.play(minutes=60)
    assert [(answer.verdict, answer.recording) for answer in sitting.answers] == [("right", None)] * 2
    assert [event.kind for event in sitting.named("Notice")] == ["not-recorded"] * 2


def test_forget_deletes_the_sounds_too(prepare):
    sitting = sat(prepare, 7)
    assert len(files(sitting)) == 3
    sitting.record.forget(sitting.record.child("Pip"))
    assert files(sitting) == [] and sitting.record.answers() == ()


def test_the_next_sitting_deletes_what_is_past_its_days(prepare):
    sitting = sat(prepare, 7)
    before = files(sitting)
    sitting.clock.time = START + timedelta(days=9)
    sitting.play(minutes=60)
    assert before and files(sitting) == []
    assert len(sitting.record.answers()) == 4
