"""What was wanted, heard and judged, in plain words for the parent."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sayit.numbers import explain, form_in_words, judge, read, reason_in_words, wanted_in_words
from sayit.practice.activities import judge_answer, question_from_key
from sayit.practice.path import load_path
from sayit.practice.question import Response
from tests.numbers.test_reasons import SAID

PATH = load_path()


@given(st.text(max_size=40) | st.lists(st.sampled_from(sorted(SAID.values())), max_size=3).map(" ".join))
def test_whatever_is_read_can_be_told(words):
    told = form_in_words(read(words).form)
    assert told and told != read(words).form


def judged(key, **answer):
    return judge_answer(question_from_key(PATH, key), Response(**answer))


@pytest.mark.parametrize(
    ("key", "answer", "sentence", "reason"),
    [
        ("teens/say-back:plain/13", {"words": "thirty"},
         "Heard thirty, wanted thirteen: teen and ty swapped.", "Teen and ty swapped."),
        ("tens-and-ones/other-way:explicit/45", {"words": "forty-five"},
         "Heard forty-five, wanted four-ten five: the number is right, said by another name than asked.",
         "Said by another name than asked."),
        ("thousands-inner-zeros/places/4030", {"words": "four three zero"},
         "Heard four three zero, wanted four zero three zero: an empty place in the middle was lost.",
         "An empty place in the middle was lost."),
        ("thousands-inner-zeros/build:plain/4030", {"digits": "430"},
         "Heard 430, wanted 4030: an empty place in the middle was lost.", "An empty place in the middle was lost."),
        ("tens-and-ones/next-door:next/45", {"words": "four six"},
         "Heard four six, wanted forty-six: the number is right, said digit by digit.", "Said digit by digit."),
        ("five-and-some/glimpse/6", {"words": "one two three four five six"},
         "Heard one two three four five six: right, counted or put together.", ""),
        ("teens/glimpse/12", {"words": "eight ten twelve"}, "Heard eight ten twelve: right, counted by twos.", ""),
        ("tens-and-ones/read-out:plain/45", {"words": "forty-four"},
         "Heard forty-four, wanted forty-five: one too few.", "One too few."),
        ("hundreds/read-out:plain/345", {"words": "three hundred fifty-five"},
         "Heard three hundred fifty-five, wanted three hundred forty-five: one ten too many.", "One ten too many."),
        ("teens/next-door:next/19", {"words": "ninety-one"},
         "Heard ninety-one, wanted twenty: teen and ty swapped in the question.", "Teen and ty swapped in the question."),
        ("teens/say-back:plain/13", {"words": "thirteen"}, "Heard thirteen: right.", ""),
        ("teens/say-back:plain/13", {"words": "biscuit"},
         "Heard “biscuit”, wanted thirteen: no number was heard, there was other talk; ask again.",
         "No number was heard, there was other talk."),
    ],
)  # fmt: skip
def test_the_parent_reads_one_good_sentence(key, answer, sentence, reason):
    judgement = judged(key, **answer)
    assert explain(judgement) == sentence
    assert reason_in_words(judgement) == reason


@given(
    st.integers(0, 9_999), st.sampled_from(("plain", "explicit")), st.sampled_from(sorted(SAID.values())), st.booleans()
)
def test_the_reason_alone_does_not_say_again_what_was_heard(asked, form, words, sure):
    told = reason_in_words(judge(asked, form, words, sure=sure))
    assert not told.startswith("Heard ") and (not told or (told[0].isupper() and told.endswith(".")))


def test_what_is_wanted_is_told_in_its_form():
    assert wanted_in_words(45, "explicit") == "45, four-ten five"
    assert wanted_in_words(7, "any") == "7, seven"
    assert wanted_in_words(4_030, "digits") == "4,030 as digits"


def test_and_is_in_what_was_wanted_where_the_household_says_it():
    missed = judge(2_302, "plain", "two thousand three hundred three")
    assert explain(missed).startswith("Heard two thousand three hundred three, wanted two thousand three hundred two:")
    assert "wanted two thousand three hundred and two:" in explain(missed, use_and=True)
    assert wanted_in_words(302, "plain", use_and=True) == "302, three hundred and two"
    assert wanted_in_words(302, "digits", use_and=True) == "302 as digits"
