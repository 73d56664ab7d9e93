"""Each reason has its own next step."""

from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from sayit.numbers import REASONS, Judgement, name
from sayit.practice.activities import asks, judge_answer, make_question, number_for, question_from_key, split
from sayit.practice.followups import NEXT_STEPS, follow_up
from sayit.practice.key import skill_name, split_skill
from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.phrases import PHRASES
from sayit.practice.question import Response
from sayit.practice.replies import reply
from sayit.practice.session import lead_one
from sayit.practice.telling import LARGEST, pair_of
from sayit.speaking.phrases import open_bank

PATH = load_path()
KINDS = [(step, ask) for step in PATH for ask in asks(step)]
NOW = datetime(2026, 1, 5, 16, tzinfo=UTC)


def after(key: str, words: str = "", digits: str | None = None):
    """The follow-up of an answer that went through the real reading and judging."""
    question = question_from_key(PATH, key, "new")
    judgement = judge_answer(question, Response(words=words or None, digits=digits, response_seconds=1.0))
    reasons = judgement.reasons or (("other-form",) if judgement.verdict == "other-form" else ())
    return follow_up(PATH, question, reasons, Random(0))


def keys(found) -> list[str]:
    return [question.key for question in found.moves]


def test_every_reason_for_a_miss_has_a_next_step_or_is_named_here():
    # Of the one nothing is known; the other only adds a doubt to a reason that has a step.
    without = {"other-number", "teen-for-ten"}
    assert set(NEXT_STEPS) == {slug for slug, reason in REASONS.items() if reason.because} - without


@pytest.mark.parametrize(("step", "ask"), KINDS, ids=[skill_name(step.slug, ask) for step, ask in KINDS])
def test_whatever_an_activity_judges_missed_can_be_told_and_followed(step, ask):
    random, missed = Random(3), 0
    for _ in range(12):
        question = make_question(step, ask, number_for(step, ask, random), random)
        for number in (question.value, *question.about, random.choice(SLIPS)(question.value)):
            told = " ".join(name(int(digit)) for digit in str(number))
            for words in (name(number), name(number, "explicit"), told, *ODD):
                judged = judge_answer(question, Response(words=words, digits=str(number), response_seconds=1.0))
                assert all(REASONS[slug].words for slug in judged.reasons), (question.key, words)
                if judged.verdict in ("wrong", "other-form"):
                    missed += 1
                    assert all(REASONS[slug].because for slug in judged.reasons), (question.key, words)
                    assert follow_up(PATH, question, judged.reasons, random).why
    assert missed


SLIPS = (
    lambda value: value + 1,
    lambda value: value + 10,
    lambda value: int(str(value)[::-1]),
    lambda value: int(str(value).replace("0", "") or 0),
    lambda value: value * 10,
    lambda value: value % 100,
)
ODD = (
    "one two three four",
    "fivety",
    "twenty hundred",
    "five hundred hundred",
    "fourteen five",
    "fifteen thousand four-ten",
)


def test_thirteen_and_thirty_go_to_tens_form_and_syllables_then_back():
    found = after("teens/read-out:plain/13", "thirty")
    assert found.reason == "teen-ty-swap"
    assert keys(found) == ["teens/say-back:explicit/13", "whole-tens/claps:count/30"]
    assert found.again
    names = [named.words for _, named in found.say[0].values]
    assert names == ["thirteen", "one-ten three", "thirty", "three-ten"]
    assert keys(after("whole-tens/build:plain/30", digits="13"))[0] == "whole-tens/say-back:explicit/30"


def test_a_swap_inside_a_larger_number_is_about_its_own_pair():
    found = after("hundreds/read-out:plain/213", "two hundred thirty")
    assert found.reason == "teen-ty-swap"
    assert [named.words for _, named in found.say[0].values] == ["two hundred thirteen", "two hundred one-ten three"]
    assert "whole-tens/claps:count/30" in keys(found)


def test_a_lost_zero_goes_to_saying_the_places():
    found = after("thousands-inner-zeros/build:plain/4030", digits="430")
    assert found.reason == "lost-zero"
    assert keys(found) == ["thousands-inner-zeros/places/4030"] and found.again
    assert dict(found.say[0].values)["digits"].words == "four zero three zero"


def test_glued_parts_build_the_largest_part_alone():
    found = after("thousands-inner-zeros/build:plain/4030", digits="400030")
    assert keys(found) == ["thousands/build:plain/4000", "thousands-inner-zeros/places/4030"]


def test_a_part_too_many_and_a_digit_that_is_another_go_to_saying_the_places():
    added = after("hundreds/build:plain/300", digits="345")
    assert added.reason == "added-part" and keys(added) == ["hundreds/places/300"] and added.again
    assert dict(added.say[0].values)["digits"].words == "three zero zero"
    other = after("tens-and-ones/build:plain/45", digits="48")
    assert other.reason == "other-digit" and keys(other) == ["tens-and-ones/places/45"] and other.again
    assert (other.say[0].key, dict(other.say[0].values)["number"].words) == ("follow.written", "forty-five")
    # It is called as it was asked for.
    in_tens = after("tens-and-ones/build:explicit/45", digits="48")
    assert dict(in_tens.say[0].values)["number"].words == "four-ten five"


def test_the_neighbour_is_spoken_of_only_where_it_is_asked_for():
    found = after("tens-and-ones/build:plain/45", digits="46")
    assert keys(found) == ["tens-and-ones/next-door:next/44"] and found.say
    itself = follow_up(PATH, question_from_key(PATH, "tens-and-ones/next-door:next/44"), ("off-by-one",), Random(0))
    assert itself.moves == () and itself.say[0].key == "follow.after" and itself.again


def test_of_two_numbers_the_step_is_about_the_larger_and_next_door_about_the_answer():
    for key, number in (("hundreds/which-more/350,530", 530), ("tens-and-ones/next-door:ten-more/42", 52)):
        found = follow_up(PATH, question_from_key(PATH, key), ("digits-swapped",), Random(0))
        assert dict(found.say[0].values)["number"].value == number


def test_claps_are_clapped_together_whatever_was_noticed():
    for reasons in ((), ("counted",), ("off-by-one",)):
        found = follow_up(PATH, question_from_key(PATH, "whole-tens/claps:count/70"), reasons, Random(0))
        assert (found.reason, found.moves, found.say[0].key) == ("claps", (), "teach.claps-seven")


def test_the_other_form_gets_the_model_once_and_asks_again():
    found = after("tens-and-ones/other-way:explicit/45", "forty-five")
    assert (found.reason, found.moves, found.again) == ("other-form", (), True)


def test_counting_gets_smaller_quantities_then_the_same_again():
    found = follow_up(PATH, question_from_key(PATH, "five-and-some/glimpse/9"), ("counted",), Random(0))
    assert found.reason == "counted" and found.again
    assert [question.activity for question in found.moves] == ["glimpse", "glimpse"]
    assert all(question.value < 9 for question in found.moves)
    one = follow_up(PATH, question_from_key(PATH, "to-five/glimpse/1"), ("counted",), Random(0))
    assert one.moves == ()


def test_what_has_no_reason_comes_back_without_a_detour():
    found = after("tens-and-ones/read-out:plain/45", "ninety-one")
    assert found.moves == () and not found.again


@pytest.mark.parametrize("reason", NEXT_STEPS)
@pytest.mark.parametrize(
    "key",
    [
        "to-five/glimpse/1",
        "to-five/next-door:before/1",
        "pairs-to-ten/to-ten/9",
        "teens/which-more/13,30",
        "whole-tens/next-door:ten-less/10",
        "tens-and-ones/other-way:explicit/45",
        "hundreds/read-out:plain/300",
        "thousands-inner-zeros/places/8006",
        "all-thousands/build:plain/9999",
        "ten-tens/tens-in:tens/100",
    ],
)
def test_any_reason_at_any_question_gives_something_to_ask_and_say(key, reason):
    found = follow_up(PATH, question_from_key(PATH, key), (reason,), Random(0))
    assert found.why
    assert len(found.moves) <= 3
    for question in found.moves:
        assert question.purpose == "follow-up" and question.key != key
    for phrase in found.say:
        assert tuple(blank for blank, _ in phrase.values) == PHRASES[phrase.key]
        assert all(named.words for _, named in phrase.values)


def test_in_a_sitting_the_detour_comes_at_once_and_the_question_after_it():
    for seed in range(60):
        session = lead_one(Learner(step="whole-tens"), NOW, seed=seed, minutes=10)
        clock = NOW
        for _ in range(40):
            question = session.next_question(clock)
            if question is None or question.key == "whole-tens/read-out:plain/30":
                break
            session.take(Response(verdict="right", response_seconds=1.0), clock)
            clock += timedelta(seconds=8)
        if question and question.key == "whole-tens/read-out:plain/30" and question.purpose in ("new", "due", "easy"):
            break
    assert question.key == "whole-tens/read-out:plain/30"
    outcome = session.take(Response(words="thirteen", response_seconds=1.0), clock)
    assert [phrase.key for phrase in outcome.reply] == ["reply.model", "follow.teen-ty-swap"]
    following = []
    for _ in range(3):
        question = session.next_question(clock)
        following.append(question.key)
        words = name(question.value, "plain" if question.form == "any" else question.form)
        session.take(Response(words=words, response_seconds=1.0), clock)
        clock += timedelta(seconds=8)
    assert following == ["whole-tens/say-back:explicit/30", "whole-tens/claps:count/30", "whole-tens/read-out:plain/30"]


BANK = open_bank()


def spoken(say, *, use_and=False):
    """The words of all wordings, as they may be said one after the other; those with the child's name are greetings."""
    ways = [""]
    for phrase in say:
        numbers = {blank: named.said(use_and=use_and) for blank, named in phrase.values}
        filled = [wording.format(**numbers) for wording in BANK.wordings[phrase.key] if "{child}" not in wording]
        ways = [f"{way} {words}".strip() for way in ways for words in filled]
    return ways


def replies(key, words="", digits=None):
    """All that is said after an answer."""
    question = question_from_key(PATH, key, "new")
    judged = judge_answer(question, Response(words=words or None, digits=digits, response_seconds=1.0))
    missed = judged.verdict in ("wrong", "other-form")
    reasons = judged.reasons or (("other-form",) if judged.verdict == "other-form" else ())
    step = follow_up(PATH, question, reasons, Random(0)) if missed else None
    return reply(question, judged, "missed" if missed else "fluent", step, later=bool(step and not step.again))


@pytest.mark.parametrize(
    ("key", "words", "says"),
    [
        ("pairs-to-ten/to-ten/7", "five", "seven and three make ten."),
        ("ten-tens/tens-in:tens/120", "two", "One hundred is ten tens, and two more: twelve."),
        ("ten-tens/tens-in:tens/100", "five", "One hundred is ten tens."),
        ("tens-and-ones/tens-in:tens/45", "five", "four tens. five are the ones."),
        ("tens-and-ones/tens-in:tens/41", "one", "four tens, and one more."),
        ("teens/read-out:plain/13", "thirty", "It's thirteen. thirteen is one-ten three. thirty is three-ten."),
        ("tens-and-ones/read-out:plain/45", "fifty-four", "forty-five is four-ten five. The tens come first."),
        ("tens-and-ones/next-door:before/40", "forty-one", "Before forty comes thirty-nine."),
        ("tens-and-ones/next-door:ten-more/45", "forty-six", "One more is forty-six. Ten more is fifty-five."),
        ("hundreds/read-out:plain/345", "four", "There's more: three hundred forty-five."),
        ("hundreds-inner-zero/places/305", "three five", "three hundred five: three zero five. Hear the zero?"),
        ("five-and-some/glimpse/8", "seven", "five and three make eight."),
        ("teens/which-more/13,30", "thirteen", "thirty is more."),
        ("to-five/next-door:next/3", "five", "After three comes four."),
        ("tens-and-ones/read-out:plain/45", "ninety-one", "forty-five is four-ten five."),
    ],
)
def test_it_speaks_about_the_number_that_it_is_about(key, words, says):
    assert says in spoken(replies(key, words))


def test_a_swap_says_both_names_of_both():
    for number in (*range(13, 20), *range(30, 100, 10)):
        teen, ty = pair_of(number)
        (said_,) = follow_up(
            PATH, question_from_key(PATH, f"teens/read-out:plain/{number}"), ("teen-ty-swap",), Random(0)
        ).say
        forms = [name(one, form) for one in (teen, ty) for form in ("plain", "explicit")]
        assert [named.words for _, named in said_.values] == forms


NUMBERS = (
    3,
    7,
    10,
    13,
    17,
    40,
    45,
    77,
    90,
    100,
    120,
    190,
    305,
    340,
    777,
    999,
    1_000,
    4_030,
    7_000,
    8_006,
    7_777,
    1_213,
    9_909,
    9_999,
)


@pytest.mark.parametrize("number", NUMBERS)
def test_at_most_twelve_words_come_before_the_next_question(number):
    step = PATH.home(number)
    kinds = {split_skill(skill_name(one.slug, ask))[1] for one, ask in KINDS}
    asked = 0
    for ask in sorted(kinds):
        activity, variant = split(ask)
        if not activity.suits(number, variant):
            continue
        question = make_question(step, ask, number, Random(number))
        if max(question.about) > LARGEST or question.value > LARGEST:
            continue
        asked += 1
        for reason in (*NEXT_STEPS, "other-number"):
            after_ = follow_up(PATH, question, (reason,), Random(0))
            for verdict, level in (("wrong", "missed"), ("other-form", "missed"), ("right", "fluent")):
                judged = Judgement(question.value, question.form, "", question.value, verdict, (reason,))
                step_ = after_ if verdict != "right" or (reason == "counted" and activity.seen) else None
                says = reply(question, judged, level, step_, later=not after_.again)
                # With "and" each of two names may have one short word more.
                for use_and, most in ((False, 12), (True, 14)):
                    longest = max(spoken(says, use_and=use_and), key=lambda words: len(words.split()))
                    assert len(longest.split()) <= most, longest
                if verdict == "wrong":
                    told = [named.value for phrase in says for _, named in phrase.values]
                    assert question.value in told and not (number < 10 and any(p.key == "follow.written" for p in says))
    assert asked > 5


def test_no_tens_are_counted_in_numbers_above_190():
    for number in (200, 345, 4_030):
        for reason in NEXT_STEPS:
            question = make_question(PATH.home(number), "read-out:plain", number, Random(1))
            assert all(move.activity != "tens-in" for move in follow_up(PATH, question, (reason,), Random(0)).moves)


def test_it_comes_later_is_said_only_where_it_comes_later():
    assert all(phrase.key != "reply.comes-back" for phrase in replies("tens-and-ones/read-out:plain/45", "fifty-four"))
    unknown = replies("to-five/glimpse/3", "seventy-two")
    assert [phrase.key for phrase in unknown] == ["reply.model", "reply.comes-back"]
