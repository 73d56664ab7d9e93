"""Silence and what is not clear, by one rule in every guide."""

from collections.abc import Callable
from datetime import UTC, datetime

import pytest

from sayit.practice.free import FreeGuide, ask
from sayit.practice.guide import Guide
from sayit.practice.lead import lead_by_plan, lead_free
from sayit.practice.learner import Learner
from sayit.practice.question import Response

NOW = datetime(2026, 3, 2, 16, 0, tzinfo=UTC)
NOTHING, MUMBLED = Response(), Response(words="", response_seconds=1.0)

GUIDES: dict[str, Callable[[], Guide]] = {
    "plan": lambda: lead_by_plan([Learner(step="teens")], NOW, seed=2, minutes=5),
    "search": lambda: lead_by_plan([Learner(step="teens")], NOW, seed=2, minutes=5, looking=True),
    "free": lambda: lead_free([("plain",)], NOW, seed=2, minutes=5),
    "one activity": lambda: lead_free([("plain",)], NOW, seed=2, minutes=5, activities=("build",)),
}


@pytest.mark.parametrize("kind", GUIDES)
def test_after_three_questions_without_an_answer_the_parent_is_called_and_nothing_more_asked(kind):
    guide, outcomes = GUIDES[kind](), []
    while guide.next_question(NOW) and len(outcomes) < 20:
        outcomes.append(guide.take(NOTHING, NOW))
    assert [outcome.reply[0].key.partition("-")[0] for outcome in outcomes] == [
        *("reply.not", "reply.model") * 2, "reply.not", "session.call"
    ]  # fmt: skip
    assert [bool(outcome.calls) for outcome in outcomes] == [False] * 5 + [True]
    assert all(outcome.note and outcome.past is None for outcome in outcomes)
    # A parent who comes and lets it be asked again goes on from there.
    guide.override("again", NOW)
    assert (question := guide.next_question(NOW)) and question == outcomes[-1].question
    assert not guide.take(Response(verdict="right"), NOW).calls and guide.next_question(NOW)


@pytest.mark.parametrize("kind", GUIDES)
def test_who_makes_a_sound_now_and_then_is_not_given_up(kind):
    guide = GUIDES[kind]()
    for _ in range(4):
        for response in (NOTHING, NOTHING, NOTHING, MUMBLED):
            assert guide.next_question(NOW)
            assert not guide.take(response, NOW).calls


def test_where_others_say_how_often_a_question_is_put_nobody_is_called():
    guide = FreeGuide(iter([ask(number, "plain") for number in range(11, 16)]), tries=lambda _: 2, returns=False)
    outcomes = []
    while guide.next_question(NOW):
        outcomes.append(guide.take(NOTHING, NOW))
    assert len(outcomes) == 10 and not any(outcome.calls for outcome in outcomes)
