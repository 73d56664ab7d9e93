"""The practice's own choice: aim, closing questions, tomorrow's plan, report."""

from datetime import UTC, datetime
from random import Random

from sayit.loop.planned import Planned
from sayit.page.questions import draw_ways
from sayit.page.senses import PageSpeaker
from sayit.practice import Answer
from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.session import start_session
from sayit.speech.phrases import open_bank
from tests.page.test_sitting import SLOW

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


class _Silent:
    """A voice that cannot be heard, so that what is said can be read."""

    trouble = "silent"

    def __bool__(self):
        return False


def _speaker():
    return PageSpeaker(open_bank(), _Silent(), random=Random(1), report=lambda event: None, child="Pip")


def test_whatever_is_asked_can_be_said_and_replied_to():
    """Every question of a sitting at every step, answered right and wrong, without a phrase that is missing."""
    speaker = _speaker()
    asked = 0
    for step in load_path().slugs:
        session = start_session(Learner(step=step), NOON, seed=3, minutes=10)
        guide = Planned(session, speaker.knows)
        for turn in range(12):
            question = guide.next_question(NOON)
            if question is None:
                break
            assert speaker.say(question.say)
            asked += 1
            outcome = guide.take(Answer(verdict="wrong" if turn % 3 == 0 else "right", seconds=1.0), NOON)
            speaker.say(outcome.reply)
    assert asked > 50


def test_a_question_whose_meaning_would_not_be_heard_is_passed_over():
    speaker = _speaker()
    session = start_session(Learner(step=load_path().slugs[0]), NOON, seed=1, minutes=10)
    passed = Planned(session, lambda question: False)
    assert passed.next_question(NOON) is None
    kept = Planned(start_session(Learner(step=load_path().slugs[0]), NOON, seed=1, minutes=10), speaker.knows)
    assert speaker.knows(kept.next_question(NOON))


def test_a_correction_where_there_is_no_answer_changes_nothing():
    guide = Planned(start_session(Learner(step=load_path().slugs[0]), NOON, seed=1, minutes=10), _speaker().knows)
    question = guide.next_question(NOON)
    assert guide.override("right", NOON) is None
    assert guide.next_question(NOON) is question


def test_drawn_questions_keep_to_what_was_ticked():
    questions = draw_ways(Random(5), low=30, high=60, forms=("explicit", "plain"), ways=("read-out", "glimpse", "build"))
    drawn = [next(questions) for _ in range(60)]
    assert {question.activity for question in drawn} == {"read-out", "glimpse", "build"}
    assert all(1 <= question.value <= 20 for question in drawn if question.activity == "glimpse")
    assert all(30 <= question.value <= 60 for question in drawn if question.activity != "glimpse")
    assert all(question.form != "explicit" for question in drawn if question.activity == "read-out")


def test_aim_before_and_plan_and_report_after(household, visit):
    home = household(child="Pip", plan=True, patience=30)
    page = visit(home)
    page.desk.get_by_text("Today:").wait_for(timeout=SLOW * 1000)
    page.desk.locator("#tomorrow dt").first.wait_for()
    page.touch()
    page.start()
    for count in range(1, 4):
        page.screen.wait_for_selector("body[data-sign=turn], body[data-sign=hands]", timeout=SLOW * 1000)
        page.press("Right")
        page.heard(count, SLOW)
        page.screen.wait_for_selector("body[data-sign=speaks]", timeout=SLOW * 1000)
    assert all(not answer.question.startswith("free/") for answer in home.answers())
    page.press("Stop")
    page.desk.get_by_text("The closing questions were not asked.").wait_for(timeout=SLOW * 1000)
    with page.context.expect_page() as opened:
        page.desk.get_by_role("link", name="Report of the last").click()
    report = opened.value
    report.wait_for_load_state()
    assert "Pip" in report.locator("body").inner_text()
    assert report.evaluate("() => getComputedStyle(document.body).fontFamily") != ""
    assert page.trouble == []
