"""A doubt between a teen and its ten is settled by the tens name, by one rule in every guide.

The children are invented. Each was asked a teen or a ten, and the other of the pair was heard, not surely.
"""

from datetime import UTC, datetime
from random import Random

import pytest

from sayit.numbers import FORMS, name
from sayit.practice.activities import make_question, number_for
from sayit.practice.free import FreeGuide, ask
from sayit.practice.lead import lead_by_plan, lead_free
from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.question import Response, said

NOW = datetime(2026, 3, 2, 16, 0, tzinfo=UTC)
PAIRS = {teen: (teen - 10) * 10 for teen in range(13, 20)}
OTHER = PAIRS | {ten: teen for teen, ten in PAIRS.items()}
TENS_NAME = (said("reply.which-ten"),)


def learners(count=1, forms=FORMS):
    return [Learner(step="whole-tens", forms=forms) for _ in range(count)]


GUIDES = {
    "plan": lambda forms=FORMS: lead_by_plan(learners(forms=forms), NOW, seed=3, minutes=60),
    "search": lambda forms=FORMS: lead_by_plan(
        learners(forms=forms), NOW, seed=3, minutes=60, looking=True, start="whole-tens"
    ),
    "turns": lambda forms=FORMS: lead_by_plan(learners(2, forms), NOW, seed=3, minutes=60),
    "free": lambda forms=FORMS: lead_free([forms], NOW, seed=3, minutes=60, low=13, high=19),
    "free turns": lambda forms=FORMS: lead_free([forms] * 2, NOW, seed=3, minutes=60, low=13, high=19),
}


def until_asked(guide, wanted=lambda question: question.ask in ("say-back:plain", "read-out:plain", "grow:plain")):
    """The guide's first such question about a teen or a ten."""
    for _ in range(300):
        question = guide.next_question(NOW)
        if question.way == "spoken" and question.value in OTHER and wanted(question):
            return question
        guide.skip(NOW)
    raise AssertionError("no such question came")


def doubted(question):
    return Response(words=name(OTHER[question.value]), response_seconds=1.0, sure=False, swapped=True)


def surely(words):
    return Response(words=words, response_seconds=1.0)


def in_doubt(kind="free", forms=FORMS):
    """A guide whose open question was just answered by the other of the pair, not surely; and what followed."""
    guide = GUIDES[kind](forms)
    question = until_asked(guide)
    outcome = guide.take(doubted(question), NOW)
    assert outcome.level == "unclear" and guide.next_question(NOW) is question
    return guide, question, outcome


@pytest.mark.parametrize("kind", GUIDES)
@pytest.mark.parametrize(
    ("says", "verdict"),
    [
        (lambda asked: name(asked, "explicit"), "right"),
        (name, "right"),
        (lambda asked: name(OTHER[asked], "explicit"), "wrong"),
    ],
    ids=["its tens name", "its everyday name", "the other tens name"],
)
def test_the_tens_name_is_asked_for_and_settles_it(kind, says, verdict):
    guide, question, outcome = in_doubt(kind)
    assert (outcome.reply, guide.prompt) == ((), TENS_NAME)
    pair = f"{name(OTHER[question.value]).capitalize()} or {name(question.value)}"
    assert outcome.note == f"{pair}? Its tens name was asked."
    settled = guide.take(surely(says(question.value)), NOW)
    assert (settled.question, settled.judgement.verdict, settled.judgement.form) == (question, verdict, "any")
    assert settled.judgement.reasons == (("teen-ty-swap",) if verdict == "wrong" else ())
    assert (following := guide.next_question(NOW)) is not question
    assert guide.prompt == following.say


@pytest.mark.parametrize(
    ("asked", "says", "verdict"),
    [
        (30, "thirteen", "wrong"),
        (14, "forty", "wrong"),
        (14, "four-ten", "wrong"),
        # "Fourteen" may be "four-ten": where the tens name was asked for, it tells nothing.
        (40, "fourteen", "unclear"),
        (40, "four-ten", "right"),
        (14, "fourteen", "right"),
    ],
)
def test_what_is_then_said_surely_is_judged(asked, says, verdict):
    guide = FreeGuide(iter([ask(asked, "plain")]))
    guide.take(doubted(guide.next_question(NOW)), NOW)
    assert guide.take(surely(says), NOW).judgement.verdict == verdict


@pytest.mark.parametrize("kind", GUIDES)
def test_a_child_of_everyday_names_hears_once_more(kind):
    guide, question, outcome = in_doubt(kind, ("plain",))
    assert outcome.reply == (said("reply.again"),) and guide.prompt == question.say


@pytest.mark.parametrize("kind", GUIDES)
def test_who_is_not_clear_again_is_asked_in_the_questions_words_and_may_answer_in_either(kind):
    guide, question, _ = in_doubt(kind)
    again = guide.take(doubted(question), NOW)
    assert again.reply == (said("reply.again"),) and guide.prompt == question.say
    assert guide.take(surely(name(question.value, "explicit")), NOW).judgement.verdict == "right"


@pytest.mark.parametrize("kind", GUIDES)
def test_who_stays_silent_then_hears_the_answer(kind):
    guide, question, _ = in_doubt(kind)
    left = guide.take(Response(), NOW)
    assert left.level == "unclear" and left.reply[0].key == "reply.model"
    assert (following := guide.next_question(NOW)) is not question and guide.prompt == following.say


@pytest.mark.parametrize("kind", GUIDES)
@pytest.mark.parametrize("correction", ["right", "wrong", "skip", "again"])
def test_a_parent_who_decides_in_between_ends_it(kind, correction):
    guide, question, _ = in_doubt(kind)
    guide.override(correction, NOW)
    following = guide.next_question(NOW)
    assert guide.prompt == following.say and (following is question) == (correction == "again")
    if correction == "again":
        assert guide.take(surely(name(question.value, "explicit")), NOW).judgement.verdict == "other-form"


@pytest.mark.parametrize("kind", GUIDES)
def test_a_parent_who_leaves_out_the_answer_to_it_leaves_the_question(kind):
    guide, question, _ = in_doubt(kind)
    guide.take(surely(name(OTHER[question.value], "explicit")), NOW)
    guide.override("skip", NOW)
    assert (following := guide.next_question(NOW)) is not question and guide.prompt == following.say


def test_the_tens_name_is_asked_for_only_where_it_is_the_answers_and_nothing_gave_it_away():
    asked = {}
    for step in load_path().steps:
        for ask_ in Learner(step=step.slug).asks(step):
            for seed in range(40):
                number = number_for(step, ask_, Random(seed))
                question = make_question(step, ask_, number, Random(seed))
                if question.way != "spoken" or question.value not in OTHER:
                    continue
                guide = FreeGuide(iter([question]))
                guide.next_question(NOW)
                guide.take(doubted(question), NOW)
                asked.setdefault(ask_, set()).add(guide.prompt == TENS_NAME)
    assert {ask_ for ask_, found in asked.items() if found == {True}} == {
        "say-back:plain", "read-out:plain", "grow:plain"
    }  # fmt: skip
    assert all(len(found) == 1 for found in asked.values())
    assert {"other-way:plain", "other-way:explicit", "next-door:ten-more", "glimpse"} <= asked.keys()


@pytest.mark.parametrize(("value", "heard"), [(130, 113), (213, 230), (15_000, 50_000)])
def test_in_hundreds_and_thousands_too(value, heard):
    guide = FreeGuide(iter([ask(value, "plain")]))
    guide.next_question(NOW)
    outcome = guide.take(Response(words=name(heard), response_seconds=1.0, sure=False, swapped=True), NOW)
    assert guide.prompt == TENS_NAME and outcome.note.startswith(f"{name(heard)} or".capitalize().replace(",", ""))
    assert guide.take(surely(name(value, "explicit")), NOW).judgement.verdict == "right"
