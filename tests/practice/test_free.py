"""What is asked follows from range, forms and seed; what is missed comes back once."""

from datetime import UTC, datetime
from itertools import islice, pairwise
from random import Random

import num2words
import pytest

from sayit import SayitError
from sayit.numbers import name
from sayit.practice.free import FreeGuide, ask, draw
from sayit.practice.guide import next_fitting
from sayit.practice.lead import lead_free
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


def test_both_activities_and_both_forms_come_up():
    kinds = {question.ask for question in questions(low=11, high=99)}
    assert {"say-back:plain", "say-back:explicit", "other-way:plain", "other-way:explicit"} == kinds


def test_one_form_wanted_is_the_only_one_wanted():
    asked = questions(low=11, high=99, forms=("explicit",))
    assert {question.form for question in asked} == {"explicit"}


def test_a_number_with_one_name_is_only_said_back():
    """3, 100 and 8,006 are named the same in both forms, so there is no other form to ask for."""
    for number in (3, 100, 8_006):
        question = ask(number, "explicit", "other-way")
        assert (question.activity, question.form) == ("say-back", "explicit")


def test_digits_one_by_one_are_not_the_name_even_where_there_is_one_name_only():
    """204 has one name; "two oh four" is the right number, said otherwise."""
    guide = FreeGuide(iter([ask(204, "plain")]))
    guide.next_question(NOW)
    assert answer(guide, "two oh four").judgement.verdict == "other-form"


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


def free(*numbers, **options):
    return FreeGuide(iter([ask(number, "plain") for number in numbers]), **options)


def answer(guide, words, **options):
    return guide.take(Response(words=words, **options), NOW)


def test_a_missed_number_comes_back_once_after_three_others():
    guide = free(45, 11, 12, 13, 14, 15, 16)
    order = []
    for words in ("forty six", "eleven", "twelve", "thirteen", "forty six", "fourteen", "fifteen", "sixteen"):
        order.append(guide.next_question(NOW).value)
        answer(guide, words)
    assert order == [45, 11, 12, 13, 45, 14, 15, 16]
    assert guide.next_question(NOW) is None


def test_a_number_of_one_digit_is_not_told_by_its_digits():
    """ "Nine: nine" would say the same twice."""
    for number, key in ((9, "reply.model"), (10, "reply.model-built")):
        guide = FreeGuide(iter([ask(number, "plain", "build")]))
        guide.next_question(NOW)
        assert [phrase.key for phrase in guide.take(Response(digits="7"), NOW).reply] == [key]


def test_without_returns_nothing_comes_back():
    guide = free(45, 11, returns=False)
    guide.next_question(NOW)
    answer(guide, "forty six")
    assert guide.next_question(NOW).value == 11


def test_unclear_is_asked_again_with_words_that_fit_and_then_left():
    guide = free(45, 11)
    first = guide.next_question(NOW)
    assert answer(guide, "").reply[0].key == "reply.not-heard"
    assert guide.next_question(NOW) is first
    assert answer(guide, "", response_seconds=1.0).reply[0].key == "reply.not-a-number"
    assert guide.next_question(NOW) is first
    outcome = answer(guide, "forty five", sure=False)
    assert outcome.judgement.verdict == "unclear"
    assert outcome.reply[0].key == "reply.model"
    assert guide.next_question(NOW).value == 11


def test_the_parents_correction_replaces_the_verdict():
    guide = free(45, 11, 12, 13, 14)
    guide.next_question(NOW)
    answer(guide, "forty six")
    guide.next_question(NOW)
    assert guide.override("right", NOW).judgement.verdict == "right"
    values = []
    while question := guide.next_question(NOW):
        values.append(question.value)
        answer(guide, name(question.value))
    assert values == [11, 12, 13, 14], "an answer that was right after all does not come back"


def test_again_asks_the_last_one_before_the_one_that_was_chosen():
    guide = free(45, 11)
    guide.next_question(NOW)
    answer(guide, "forty five")
    assert guide.next_question(NOW).value == 11
    assert guide.override("again", NOW) is None
    assert guide.next_question(NOW).value == 45
    answer(guide, "forty five")
    assert guide.next_question(NOW).value == 11


def test_skip_leaves_the_open_question():
    guide = free(45, 11)
    guide.next_question(NOW)
    guide.skip(NOW)
    assert guide.next_question(NOW).value == 11


def test_misuse_is_told():
    guide = free(45)
    with pytest.raises(ValueError, match="next_question"):
        answer(guide, "forty five")
    assert guide.override("right", NOW) is None, "there is nothing to correct"
    with pytest.raises(ValueError, match="no correction"):
        guide.override("perhaps", NOW)


ACTIVITIES = ("say-back", "other-way", "read-out", "places", "glimpse", "build")


def test_the_activities_take_turns_and_keep_to_what_was_chosen():
    drawn = questions(60, 5, low=30, high=60, activities=("read-out", "glimpse", "build"))
    assert [question.activity for question in drawn[:6]] == ["read-out", "glimpse", "build"] * 2
    assert all(1 <= question.value <= 20 for question in drawn if question.activity == "glimpse")
    assert all(30 <= question.value <= 60 for question in drawn if question.activity != "glimpse")
    # Seen digits do not say which form is wanted, so only the everyday one is, where it may be.
    assert {question.form for question in drawn if question.activity == "read-out"} == {"plain"}
    explicit = questions(60, 5, low=30, high=60, forms=("explicit",), activities=("read-out",))
    assert {question.form for question in explicit} == {"explicit"}


@pytest.mark.parametrize(("low", "high"), [(0, 9), (1, 20), (95, 120), (5_000, 9_999)])
@pytest.mark.parametrize("forms", [("plain",), ("explicit",), ("plain", "explicit")])
def test_a_form_that_is_not_wanted_is_never_asked(low, high, forms):
    for question in questions(120, low=low, high=high, forms=forms, activities=ACTIVITIES):
        assert question.form in (*forms, "any", "digits")
        assert (question.form == "any") == (question.activity == "glimpse")


def test_what_no_number_suits_is_said_back():
    """Digits of one digit, nothing to see: both are named instead, in the form wanted."""
    assert (ask(7, "explicit", "places").activity, ask(7, "explicit", "places").form) == ("say-back", "explicit")
    assert ask(0, "plain", "glimpse").activity == "say-back"
    assert (ask(45, "explicit", "places").form, ask(45, "explicit", "places").key) == ("digits", "free/places/45")
    assert ask(3, "explicit", "build").ask == "build:plain"


def test_levels_tell_right_missed_and_unclear():
    guide = free(45, 11, 12)
    levels = []
    for words in ("forty five", "twelve", "", ""):
        guide.next_question(NOW)
        levels.append(answer(guide, words).level)
    assert levels == ["untimed", "missed", "unclear", "unclear"]
    assert guide.results() == () and guide.whose == 0 and not guide.ends_itself


def test_what_is_passed_over_does_not_count_among_the_others():
    guide = free(45, 11, 12, 13, 14, 15, 16)
    order = []
    while question := next_fitting(guide, NOW, lambda whose, question: question.value != 12):
        order.append(question.value)
        answer(guide, "forty six" if len(order) == 1 else name(question.value))
    assert order == [45, 11, 13, 14, 45, 15, 16]


def test_one_child_is_asked_freely_without_an_end_of_its_own():
    alone = lead_free([("plain",)], NOW, seed=4, minutes=5, low=11, high=99)
    drawn = draw(Random(4), low=11, high=99, forms=("plain",))
    for _ in range(10):
        assert alone.next_question(NOW.replace(hour=20)) == next(drawn)
        alone.take(Response(verdict="right"), NOW)
