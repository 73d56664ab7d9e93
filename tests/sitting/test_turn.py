"""A turn with real sound and recogniser: what is kept, what is said, what a key does."""

import sqlite3
from contextlib import closing

import numpy as np
import pytest

from sayit import SayitError
from sayit.hearing.capture import FileMicrophone, MicrophoneLost
from sayit.sitting.ears import TRIES
from sayit.sitting.turn import take_turn
from sayit.sound.audio import RATE, load, save
from tests.sitting.conftest import START, A, G, PlayedEars, Q, R, S, W


@pytest.mark.parametrize(
    ("question", "says", "verdict", "reason", "reply"),
    [
        ((45, "explicit"), "four ten, five", "right", None, None),
        ((45, "plain"), "forty five", "right", None, None),
        ((45, "explicit"), "forty five", "other-form", None, "four-ten five"),
        ((45, "plain", "other-way"), "forty five", "right", None, None),
        ((13, "plain"), "thirty", "wrong", "teen-ty-swap", "thirteen"),
        ((4030, "plain"), "four hundred and thirty", "wrong", "lost-zero", "four thousand thirty"),
        ((8, "explicit"), "eight", "right", None, None),
    ],
)
def test_an_answer_is_judged_and_kept(prepare, question, says, verdict, reason, reply):
    sitting = prepare([question], [says], {"Asked": [None], "Speaking": [None, G]})
    sitting.play()
    (answer,) = sitting.answers
    assert (answer.asked, answer.verdict, answer.judged_by) == (question[0], verdict, "listener")
    assert reason is None or reason in answer.reasons
    assert answer.listener == "numbers-en" and answer.audio_seconds > 0 and answer.work_seconds > 0
    assert 0 <= answer.response_seconds < 1
    assert answer.asked_at < answer.judged_at
    said_after = sitting.words()[2]
    assert reply is None or reply in said_after
    assert "wrong" not in " ".join(sitting.words()).lower()


def test_the_answer_is_on_disk_before_the_child_hears_the_reply(prepare):
    seen = []

    def watch(event):
        path = sitting.record.path
        with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as other:
            seen.append((type(event).__name__, other.execute("SELECT count(*) FROM answer").fetchone()[0]))

    sitting = prepare([(45, "plain")], ["forty five"], {"Speaking": [None, G]}, watch=watch)
    take_turn(sitting.table, sitting.table.next_question())
    names = [name for name, _ in seen]
    assert seen[names.index("Caught")] == ("Caught", 0)
    assert seen[names.index("Judged")] == ("Judged", 1)
    assert names.index("Judged") < len(names) - 1 - names[::-1].index("Speaking")


def test_a_long_name_is_heard_before_it_is_over(prepare, listener, monkeypatch):
    """Once, in its last pause."""
    heard, known, hear = [], [], type(listener).hear
    monkeypatch.setattr(type(listener), "hear", lambda own, samples: heard.append(hear(own, samples)) or heard[-1])

    def watch(event):
        if type(event).__name__ == "Caught":
            known.extend(heard)

    said = "twelve thousand three hundred and forty five"
    sitting = prepare([(12_345, "plain")], [said], {"Speaking": [None, G]}, watch=watch)
    sitting.play()
    (answer,) = sitting.answers
    assert answer.final == "right"
    assert known == heard and answer.heard == known[-1].words


def test_after_twelve_there_is_time_for_thousand(prepare, spoken, tmp_path):
    first, rest = (load(spoken(words)) for words in ("twelve", "thousand"))
    save(np.concatenate([first, np.zeros(RATE // 2, np.float32), rest]), tmp_path / "slow.wav")
    sitting = prepare(
        [(12_000, "plain")], sources=[FileMicrophone(tmp_path / "slow.wav")], press={"Speaking": [None, G]}
    )
    sitting.play()
    (answer,) = sitting.answers
    assert (answer.final, answer.heard) == ("right", "twelve thousand")


@pytest.mark.parametrize("sound", ["", "the cat sat by the window"])
def test_silence_and_talk_are_asked_again_and_never_wrong(prepare, sound):
    sitting = prepare([(45, "plain")], [sound, "forty five"], present=False)
    sitting.play()
    first, second = sitting.answers
    assert (first.verdict, first.attempt, first.heard) == ("unclear", 1, "")
    assert (first.response_seconds is None) == (sound == "")
    assert (second.verdict, second.attempt) == ("right", 2)
    assert len(sitting.named("Asked")) == 2


def test_after_some_tries_the_parent_is_needed_and_decides(prepare):
    sitting = prepare(
        [(45, "plain")], [""] * TRIES, {"Speaking": [None, G, None, G, None, G], "ParentNeeded": [None] * 3 + [R]}
    )
    sitting.play()
    assert [answer.verdict for answer in sitting.answers] == ["unclear"] * TRIES
    assert [answer.override for answer in sitting.answers] == [None] * (TRIES - 1) + ["right"]
    assert sitting.answers[-1].final == "right"


def test_without_a_parent_an_unclear_question_is_left_with_the_answer_said(prepare):
    sitting = prepare([(45, "plain"), (8, "plain")], [""] * TRIES + ["eight"], present=False)
    finished = sitting.play()
    assert [answer.final for answer in sitting.answers] == ["unclear"] * TRIES + ["right"]
    assert any("forty-five" in words for words in sitting.words()[2 * TRIES :])
    assert finished.counts() == {"unclear": TRIES, "right": 1}


@pytest.mark.parametrize(
    ("key", "override", "final"), [(R, "right", "right"), (W, "wrong", "wrong"), (S, "skip", None)]
)
def test_a_key_after_the_verdict_overrides_it(prepare, key, override, final):
    sitting = prepare([(45, "plain")], ["forty six"], {"Speaking": [None, G], "Judged": [key]})
    sitting.play()
    (answer,) = sitting.answers
    assert (answer.verdict, answer.override, answer.final) == ("wrong", override, final)
    (corrected,) = sitting.named("Corrected")
    assert corrected.answer == answer


def test_an_overridden_verdict_changes_what_the_child_hears(prepare):
    sitting = prepare([(45, "plain")], ["forty six"], {"Speaking": [None, G], "Judged": [R]})
    sitting.play()
    _hello, _prompt, model, praise, _goodbye = sitting.words()
    assert "forty-five" in model
    assert praise != model


def test_again_sets_the_answer_aside_and_asks_once_more(prepare):
    sitting = prepare([(45, "plain")], ["forty six", "forty five"], {"Speaking": [None, G, None, G], "Judged": [A]})
    sitting.play()
    first, second = sitting.answers
    assert (first.verdict, first.override, first.final) == ("wrong", "again", None)
    assert (second.final, second.attempt) == ("right", 2)


def test_stop_after_a_verdict_keeps_it(prepare):
    sitting = prepare([(45, "plain"), (8, "plain")], ["forty five"], {"Speaking": [None, G], "Judged": [Q]})
    finished = sitting.play()
    assert finished.why == "stopped"
    assert [answer.final for answer in sitting.answers] == ["right"]
    assert sitting.record.sessions()[0].ended is not None


@pytest.mark.parametrize(("key", "verdict"), [(R, "right"), (W, "wrong")])
def test_a_key_while_listening_is_the_parents_own_verdict(prepare, key, verdict):
    sitting = prepare([(45, "plain")], ["eight"], {"Speaking": [None, G], "Listening": [key]})
    sitting.play()
    (answer,) = sitting.answers
    assert (answer.verdict, answer.judged_by, answer.heard) == (verdict, "parent", "")
    assert answer.override is None


def test_skip_and_again_while_listening_keep_nothing(prepare):
    press = {"Speaking": [None, G, G, G], "Listening": [A, S, None]}
    sitting = prepare([(45, "plain"), (8, "plain")], ["forty five", "forty five", "eight"], press)
    sitting.play()
    (answer,) = sitting.answers
    assert (answer.asked, answer.final) == (8, "right")
    assert [event.question.value for event in sitting.named("Asked")] == [45, 45, 8]


def test_a_verdict_pressed_while_the_next_prompt_is_said_is_for_the_answer_before(prepare):
    press = {"Speaking": [None, G, None, W], "ParentNeeded": [None, G]}
    sitting = prepare([(45, "plain"), (8, "plain")], ["forty five", "eight"], press)
    sitting.play()
    first, second = sitting.answers
    assert (first.asked, first.verdict, first.override) == (45, "right", "wrong")
    assert (second.asked, second.verdict, second.override) == (8, "right", None)


class Unplugged:
    """A microphone that is pulled out while the child speaks."""

    name = "unplugged"

    def __init__(self, path):
        self._whole = FileMicrophone(path)

    def blocks(self):
        for count, block in enumerate(self._whole.blocks()):
            if count == 10:
                raise MicrophoneLost("The microphone cannot be heard: plug it in.")
            yield block


def test_a_microphone_pulled_out_in_an_answer_leaves_the_parent_to_judge(prepare, spoken):
    sources = [FileMicrophone(spoken("forty five")), Unplugged(spoken("eight"))]
    press = {"Speaking": [None, G, None, G], "ParentNeeded": [None, None, W, R]}
    sitting = prepare([(45, "plain"), (8, "plain"), (6, "plain")], sources=sources, press=press)
    sitting.play()
    assert [(answer.asked, answer.verdict, answer.judged_by) for answer in sitting.answers] == [
        (45, "right", "listener"),
        (8, "wrong", "parent"),
        (6, "right", "parent"),
    ]
    (notice,) = sitting.named("Notice")
    assert notice.kind == "microphone-lost" and "plug it in" in notice.text


def test_a_microphone_that_is_plugged_in_again_is_used_again(prepare, spoken):
    press = {"Speaking": [None, G], "ParentNeeded": [None, R, G]}
    sitting = prepare([(45, "plain"), (8, "plain")], sources=[Unplugged(spoken("forty five"))], press=press)
    sitting.play(reopen=lambda: PlayedEars([FileMicrophone(spoken("eight"))]))
    assert [answer.judged_by for answer in sitting.answers] == ["parent", "listener"]
    assert [event.kind for event in sitting.named("Notice")] == ["microphone-lost", "microphone-back"]


def test_a_microphone_lost_with_nobody_there_ends_with_one_line_and_keeps_all(prepare, spoken):
    sources = [FileMicrophone(spoken("forty five")), Unplugged(spoken("eight"))]
    sitting = prepare([(45, "plain"), (8, "plain")], sources=sources, present=False)
    with pytest.raises(MicrophoneLost, match="plug it in"):
        sitting.play()
    assert [answer.final for answer in sitting.answers] == ["right"]
    assert sitting.record.sessions()[0].ended is not None


def test_without_a_microphone_the_parent_judges_by_key(prepare):
    press = {"ParentNeeded": [R, A, W, S, R]}
    sitting = prepare([(45, "plain"), (8, "plain"), (6, "plain"), (9, "plain")], press=press, ears=False)
    sitting.play()
    assert [(answer.asked, answer.final) for answer in sitting.answers] == [(45, "right"), (8, "wrong"), (9, "right")]
    assert all(answer.judged_by == "parent" and answer.listener is None for answer in sitting.answers)


def test_a_recogniser_that_cannot_be_loaded_leaves_the_parent_to_judge(prepare):
    def load():
        raise SayitError("The weights are missing: reinstall sayit.")

    press = {"Speaking": [None, G], "ParentNeeded": [None, R, W]}
    sitting = prepare([(45, "plain"), (8, "plain")], ["forty five"], press, load=load)
    sitting.play()
    assert [answer.final for answer in sitting.answers] == ["right", "wrong"]
    assert sitting.named("Notice")[0].kind == "listener-missing"


def test_without_a_voice_listening_waits_until_the_prompt_was_read(prepare):
    """Otherwise the parent's own reading would be taken for the child's answer."""
    sitting = prepare([(45, "plain")], ["forty five"], {"ParentNeeded": [G]})
    sitting.play()
    names = [type(event).__name__ for event in sitting.events]
    assert names.index("ParentNeeded") < names.index("Listening")
    assert "Read it aloud" in sitting.named("ParentNeeded")[0].why


def test_the_sitting_ends_after_its_minutes_and_hints_at_a_rest(prepare):
    questions = [(number, "plain") for number in range(10, 90)]
    press = {"ParentNeeded": [R] * 80}
    sitting = prepare(questions, press=press, ears=False, step=20)
    finished = sitting.play(minutes=25)
    assert finished.why == "time"
    assert 25 <= finished.minutes < 28
    rests = [event for event in sitting.named("Notice") if event.kind == "rest"]
    assert len(rests) == 1
    before = sitting.events[: sitting.events.index(rests[0])]
    judged = [event.answer.judged_at for event in before if type(event).__name__ == "Judged"]
    assert 15 * 60 <= (judged[-1] - START).total_seconds() < 17 * 60


def test_the_sitting_ends_after_its_questions_not_counting_second_tries(prepare):
    questions = [(number, "plain") for number in (45, 8, 6)]
    sitting = prepare(questions, press={"ParentNeeded": [A, R, R]}, ears=False)
    finished = sitting.play(minutes=60, questions=2)
    assert finished.why == "asked"
    assert [answer.asked for answer in sitting.answers] == [45, 8]
    assert finished.answers == sitting.answers
