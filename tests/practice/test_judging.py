"""What an answer is worth where its question tells more than the two numbers alone."""

import pytest

from sayit.numbers import explain
from sayit.practice.activities import judge_answer, question_from_key
from sayit.practice.path import load_path
from sayit.practice.question import Response

PATH = load_path()


def judged(key, words):
    return judge_answer(question_from_key(PATH, key), Response(words=words, response_seconds=1.0))


@pytest.mark.parametrize(
    ("key", "words", "reasons"),
    [
        # Counting on, counting all and sums: Carpenter & Moser 1984.
        ("five-and-some/glimpse/8", "five six seven eight", "counted"),
        ("five-and-some/glimpse/7", "five, six, seven", "counted"),
        ("five-and-some/glimpse/8", "two four six eight", "counted"),
        ("five-and-some/glimpse/6", "three, three: six", "counted"),
        ("five-and-some/glimpse/8", "five and three", "counted"),
        ("five-and-some/glimpse/8", "eight", ""),
        ("tens-and-ones/next-door:next/29", "twenty-eight, twenty-nine, thirty", "counted"),
        ("tens-and-ones/next-door:ten-more/45", "thirty-five forty-five fifty-five", "counted by-tens"),
        ("whole-tens/tens-in:tens/40", "ten twenty thirty forty: four", "counted by-tens"),
        ("pairs-to-ten/to-ten/7", "eight, nine, ten: three", "counted"),
        ("pairs-to-ten/to-ten/7", "seven and three", ""),
        ("tens-and-ones/tens-in:tens/45", "four tens and five ones", ""),
    ],
)
def test_what_is_right(key, words, reasons):
    found = judged(key, words)
    assert (found.verdict, " ".join(found.reasons)) == ("right", reasons)


@pytest.mark.parametrize(
    ("key", "words", "reasons"),
    [
        # Common practice, no source.
        ("five-and-some/glimpse/9", "five six seven eight", "counted off-by-one"),
        ("tens-and-ones/next-door:before/40", "forty-one", "wrong-direction"),
        ("tens-and-ones/next-door:ten-more/45", "thirty-five", "wrong-direction"),
        ("tens-and-ones/next-door:ten-more/45", "forty-six", "one-for-ten"),
        ("tens-and-ones/next-door:ten-less/45", "forty-four", "one-for-ten"),
        ("tens-and-ones/next-door:ten-more/45", "forty-four", "one-for-ten wrong-direction"),
        ("tens-and-ones/next-door:ten-more/45", "forty-five", "told-number"),
        ("tens-and-ones/next-door:next/29", "thirty-one", "off-by-one"),
        ("tens-and-ones/next-door:ten-more/45", "sixty-five", "off-by-ten"),
        ("teens/next-door:next/19", "ninety-one", "teen-ty-swap"),
        ("tens-and-ones/tens-in:tens/45", "five", "told-ones"),
        ("tens-and-ones/tens-in:tens/45", "forty-five", "told-number"),
        ("tens-and-ones/tens-in:tens/45", "forty", "told-number"),
        ("tens-and-ones/tens-in:tens/45", "three", "off-by-one"),
        ("ten-tens/tens-in:tens/120", "two", "told-tens-digit"),
        ("ten-tens/tens-in:tens/120", "one hundred twenty", "told-number"),
        ("pairs-to-ten/to-ten/7", "seven", "told-number"),
        ("pairs-to-ten/to-ten/1", "ten", "told-number"),
    ],
)
def test_what_is_wrong_and_why(key, words, reasons):
    found = judged(key, words)
    assert (found.verdict, " ".join(found.reasons)) == ("wrong", reasons)


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("five-and-some/glimpse/8", "eight eight"),
        ("five-and-some/glimpse/3", "five and three"),
        ("tens-and-ones/next-door:next/44", "forty-five or fifty-four"),
    ],
)
def test_what_is_asked_again(key, words):
    assert judged(key, words).verdict == "unclear"


def test_past_nine_without_a_new_ten_is_the_number_by_no_name():
    found = judged("tens-and-ones/next-door:next/29", "twenty-nine, twenty-ten")
    assert (found.verdict, found.value, found.reasons) == ("other-form", 30, ("decade-overrun",))


def test_a_parent_reads_that_it_was_counted_on():
    assert explain(judged("five-and-some/glimpse/8", "five six seven eight")) == (
        "Heard five six seven eight: right, counted or put together."
    )
    wrong = judged("five-and-some/glimpse/9", "five six seven eight")
    assert wrong.value == 8 and explain(wrong) == (
        "Heard five six seven eight, wanted nine: counted or put together, one too few."
    )
