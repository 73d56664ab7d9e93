"""The practice's own choice: aim, closing questions, tomorrow's plan, report."""

from datetime import UTC, datetime
from random import Random

from sayit.page.questions import draw_ways
from sayit.practice.activities import ACTIVITIES
from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.question import Response
from sayit.practice.session import start_session
from sayit.sitting.planned import Planned
from tests.page.test_sitting import SLOW

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def test_a_question_that_cannot_be_asked_here_is_passed_over():
    session = start_session(Learner(step="teens"), NOON, seed=1, minutes=10)
    assert Planned(session, lambda question: False).next_question(NOON) is None
    spoken = Planned(
        start_session(Learner(step="teens"), NOON, seed=1, minutes=10), lambda question: question.way == "spoken"
    )
    for _ in range(10):
        assert spoken.next_question(NOON).way == "spoken"
        spoken.take(Response(verdict="right"), NOON)


def test_without_a_say_every_kind_of_question_comes_up():
    asked = set()
    for step in load_path().slugs:
        for seed in range(4):
            guide = Planned(start_session(Learner(step=step), NOON, seed=seed, minutes=10))
            for turn in range(20):
                if (question := guide.next_question(NOON)) is None:
                    break
                asked.add(question.activity)
                guide.take(Response(verdict="wrong" if turn % 4 == 0 else "right", response_seconds=1.0), NOON)
    assert asked == set(ACTIVITIES)


def test_a_correction_where_there_is_no_answer_changes_nothing():
    guide = Planned(start_session(Learner(step=load_path().slugs[0]), NOON, seed=1, minutes=10))
    question = guide.next_question(NOON)
    assert guide.override("right", NOON) is None
    assert guide.next_question(NOON) is question


def test_drawn_questions_keep_to_what_was_ticked():
    questions = draw_ways(
        Random(5), low=30, high=60, forms=("explicit", "plain"), ways=("read-out", "glimpse", "build")
    )
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
