"""What is asked follows from range, forms and seed; what is missed comes back once."""

from datetime import UTC, datetime
from itertools import islice, pairwise
from random import Random

import num2words
import pytest

from sayit import SayitError
from sayit.numbers import name
from sayit.practice.asking import Asking, ask, draw
from sayit.practice.question import Response

NOW = datetime(2026, 3, 2, 16, tzinfo=UTC)


def questions(count=200, seed=1, **options):
    return list(islice(draw(Random(seed), **options), count))


def test_the_same_seed_asks_the_same_and_another_one_something_else():
    assert questions() == questions()
    assert questions() != questions(seed=2)


def test_numbers_lie_in_the_range_and_do_not_follow_themselves():
    asked = [question.value for question in questions(low=13, high=19)]
    assert set(asked) == set(range(13, 20))
    assert all(one != other for one, other in pairwise(asked))
    assert [question.value for question in questions(5, low=7, high=7)] == [7] * 5


def test_both_ways_and_both_forms_come_up():
    kinds = {question.ask for question in questions(low=11, high=99)}
    assert {"say-back:plain", "say-back:explicit", "other-way:plain", "other-way:explicit"} == kinds


def test_one_form_wanted_is_the_only_one_wanted():
    asked = questions(low=11, high=99, forms=("explicit",))
    assert {question.form for question in asked} == {"explicit"}


def test_a_number_with_one_name_is_only_said_back():
    """3, 100 and 5,003 are named the same in both forms, so there is no other form to ask for."""
    for number in (3, 100, 5_003):
        question = ask(number, "explicit", "other-way")
        assert (question.activity, question.form) == ("say-back", "explicit")


def test_digits_one_by_one_are_not_the_name_even_where_there_is_one_name_only():
    """204 has one name; "two oh four" is the right number, said otherwise."""
    asking = Asking(iter([ask(204, "plain")]))
    asking.next_question(NOW)
    assert answer(asking, "two oh four").judgement.verdict == "other-form"


def test_the_other_way_gives_the_other_name_and_never_the_answer():
    """Plain names as num2words 0.5.14 has them."""
    question = ask(45, "plain", "other-way")
    ((_, named),) = question.say[0].values
    assert name(named.value, named.form) == "four-ten five"
    assert name(question.value, question.form) == num2words.num2words(45)


@pytest.mark.parametrize(("low", "high"), [(-1, 5), (9, 3), (0, 1_000_000)])
def test_a_range_that_is_none_is_refused(low, high):
    with pytest.raises(SayitError, match="smaller number first"):
        next(draw(Random(1), low=low, high=high))


def guide(*numbers, **options):
    return Asking(iter([ask(number, "plain") for number in numbers]), **options)


def answer(asking, words, **options):
    return asking.take(Response(words=words, **options), NOW)


def test_a_missed_number_comes_back_once_after_three_others():
    asking = guide(45, 11, 12, 13, 14, 15, 16)
    order = []
    for words in ("forty six", "eleven", "twelve", "thirteen", "forty six", "fourteen", "fifteen", "sixteen"):
        order.append(asking.next_question(NOW).value)
        answer(asking, words)
    assert order == [45, 11, 12, 13, 45, 14, 15, 16]
    assert asking.next_question(NOW) is None


def test_without_returns_nothing_comes_back():
    asking = guide(45, 11, returns=False)
    asking.next_question(NOW)
    answer(asking, "forty six")
    assert asking.next_question(NOW).value == 11


def test_unclear_is_asked_again_with_words_that_fit_and_then_left():
    asking = guide(45, 11)
    first = asking.next_question(NOW)
    assert answer(asking, "").reply[0].key == "reply.not-heard"
    assert asking.next_question(NOW) is first
    assert answer(asking, "", response_seconds=1.0).reply[0].key == "reply.not-a-number"
    assert asking.next_question(NOW) is first
    outcome = answer(asking, "forty five", sure=False)
    assert outcome.judgement.verdict == "unclear"
    assert outcome.reply[0].key == "reply.model"
    assert asking.next_question(NOW).value == 11


def test_the_parents_correction_replaces_the_verdict():
    asking = guide(45, 11, 12, 13, 14)
    asking.next_question(NOW)
    answer(asking, "forty six")
    asking.next_question(NOW)
    assert asking.override("right", NOW).judgement.verdict == "right"
    values = []
    while question := asking.next_question(NOW):
        values.append(question.value)
        answer(asking, name(question.value))
    assert values == [11, 12, 13, 14], "an answer that was right after all does not come back"


def test_again_asks_the_last_one_before_the_one_that_was_chosen():
    asking = guide(45, 11)
    asking.next_question(NOW)
    answer(asking, "forty five")
    assert asking.next_question(NOW).value == 11
    assert asking.override("again", NOW) is None
    assert asking.next_question(NOW).value == 45
    answer(asking, "forty five")
    assert asking.next_question(NOW).value == 11


def test_skip_leaves_the_open_question():
    asking = guide(45, 11)
    asking.next_question(NOW)
    asking.skip(NOW)
    assert asking.next_question(NOW).value == 11


def test_misuse_is_told():
    asking = guide(45)
    with pytest.raises(ValueError, match="next_question"):
        answer(asking, "forty five")
    with pytest.raises(ValueError, match="no answer"):
        asking.override("right", NOW)
