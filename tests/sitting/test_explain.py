"""Whatever can be noticed about an answer has plain words for the parent."""

import ast
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sayit.numbers import ERROR_CLASS, IN_WORDS, Reading, judge, read
from sayit.practice.activities import judge_answer, question_from_key
from sayit.practice.path import load_path
from sayit.practice.question import Response
from sayit.sitting.explain import form_in_words, odd_in_words, reason_in_words, wanted_in_words, why_in_words

NUMBERS = Path(__file__).parents[2] / "sayit" / "numbers"
DOCUMENTED = set(re.findall(r"``([a-z]+(?:-[a-z]+)*)``", Reading.__doc__.partition("``reasons``")[2])) - {"others"}
PATH = load_path()


def slugs_in_code(module: str) -> set[str]:
    """Slugs such as "two-numbers" that stand in a module of the numbers package."""
    tree = ast.parse((NUMBERS / f"{module}.py").read_text(encoding="utf-8"))
    texts = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    return {text for text in texts if re.fullmatch(r"[a-z]{2,}(-[a-z]+)+", text)}


SAID = {
    "four five": "digit-by-digit",
    "one two three four": "counted",
    "fifteen thousand four-ten": "mixed-form",
    "fivety": "made-up-word",
    "fourteen five": "teen-for-ten",
    "twenty hundred": "uncommon-name",
    "five thousand zero hundred two-ten": "zero-named",
    "five hundred hundred": "malformed",
    "forty, no, fifty": "self-correction",
    "forty. fifty.": "two-numbers",
    "forty-five. forty-five.": "repeated",
    "forty-five, five": "repeated-part",
    "forty, no": "taken-back",
    "forty my dear": "other-words",
    "45": "typed",
    "biscuit": "not-a-number",
    "one half": "not-a-whole-number",
    "a million": "too-big",
}


@pytest.mark.parametrize(("words", "slug"), SAID.items(), ids=SAID.values())
def test_what_is_odd_about_a_wording_is_told(words, slug):
    assert slug in read(words).reasons
    assert not re.search(r"[a-z]-[a-z]+-|^$", odd_in_words(slug)) and odd_in_words(slug) != slug


def test_no_reason_of_the_numbers_is_without_words():
    assert set(SAID.values()) == DOCUMENTED, "the examples are all that a reading can have"
    for slug in DOCUMENTED:
        assert odd_in_words(slug)
    known = DOCUMENTED | set(ERROR_CLASS) | {"other-form"}
    assert slugs_in_code("reading") | slugs_in_code("tokens") <= DOCUMENTED | {"mixed-form"}
    assert slugs_in_code("judging") <= known
    assert set(IN_WORDS) == set(ERROR_CLASS)


@given(st.text(max_size=40) | st.lists(st.sampled_from(sorted(SAID)), max_size=3).map(" ".join))
def test_whatever_is_read_can_be_told(words):
    reading = read(words)
    assert form_in_words(reading.form) != "" and all(odd_in_words(reason) for reason in reading.reasons)


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
        ("thousands-inner-zeros/places/5020", {"words": "five two zero"},
         "Heard five two zero, wanted five zero two zero: the empty place in the middle was lost.",
         "The empty place in the middle was lost."),
        ("thousands-inner-zeros/build:plain/5020", {"digits": "520"},
         "Heard 520, wanted 5020: the empty place in the middle was lost.", "The empty place in the middle was lost."),
        ("tens-and-ones/next-door:next/45", {"words": "four six"},
         "Heard four six, wanted forty-six: the number is right, said digit by digit.", "Said digit by digit."),
        ("five-and-some/glimpse/6", {"words": "one two three four five six"},
         "Heard one two three four five six: right, counted up to it.", ""),
        ("teens/say-back:plain/13", {"words": "thirteen"}, "Heard thirteen: right.", ""),
        ("teens/say-back:plain/13", {"words": "biscuit"},
         "Heard “biscuit”, wanted thirteen: no number was heard, there was other talk; ask again.",
         "No number was heard, there was other talk."),
    ],
)  # fmt: skip
def test_the_parent_reads_one_good_sentence(key, answer, sentence, reason):
    judgement = judged(key, **answer)
    assert why_in_words(judgement) == sentence
    assert reason_in_words(judgement) == reason


@given(st.integers(0, 9_999), st.sampled_from(("plain", "explicit")), st.sampled_from(sorted(SAID)), st.booleans())
def test_the_reason_alone_does_not_say_again_what_was_heard(asked, form, words, sure):
    told = reason_in_words(judge(asked, form, words, sure=sure))
    assert not told.startswith("Heard ") and (not told or (told[0].isupper() and told.endswith(".")))


def test_what_is_wanted_is_told_in_its_form():
    assert wanted_in_words(45, "explicit") == "45, four-ten five"
    assert wanted_in_words(7, "any") == "7, seven"
    assert wanted_in_words(5_020, "digits") == "5,020 as digits"
