"""Every reason is complete: whatever a reading or a judgement can have has a record, and the record all that applies."""

import ast
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import sayit.numbers
from sayit.numbers import HIGHEST, REASONS, Reading, judge, read, reason_of

NUMBERS = Path(sayit.numbers.__file__).parent
DOCUMENTED = set(re.findall(r"``([a-z]+(?:-[a-z]+)*)``", Reading.__doc__.partition("``reasons``")[2])) - {
    "others",
    "numbers",
}

SAID = {
    "digit-by-digit": "four five",
    "counted": "one two three four",
    "by-twos": "eight ten twelve",
    "by-fives": "five ten fifteen twenty",
    "by-tens": "ten twenty thirty",
    "decade-overrun": "twenty-nine, twenty-ten",
    "undecided": "forty-five or fifty-four",
    "ones-first": "five ones and four tens",
    "mixed-form": "fifteen thousand four-ten",
    "made-up-word": "fivety",
    "teen-for-ten": "fourteen five",
    "uncommon-name": "twenty hundred",
    "zero-named": "four thousand zero hundred three-ten",
    "malformed": "five hundred hundred",
    "self-correction": "forty, no, fifty",
    "two-numbers": "forty. fifty.",
    "repeated": "forty-five. forty-five.",
    "repeated-part": "forty-five, five",
    "taken-back": "forty, no",
    "other-words": "forty my dear",
    "typed": "45",
    "not-a-number": "biscuit",
    "not-a-whole-number": "one half",
    "too-big": "a million",
}
"""A wording for each reason that a reading can have."""

MISSED = {
    "teen-ty-swap": (13, "plain", "thirty"),
    "off-by-one": (45, "plain", "forty-six"),
    "off-by-ten": (45, "plain", "fifty-five"),
    "other-digit": (45, "plain", "forty-eight"),
    "other-number": (45, "plain", "ninety-one"),
    "digits-swapped": (45, "plain", "fifty-four"),
    "lost-zero": (4_030, "plain", "four hundred thirty"),
    "wrong-place-word": (4_000, "plain", "four hundred"),
    "glued-parts": (4_030, "plain", "four hundred thousand thirty"),
    "dropped-part": (345, "plain", "three hundred five"),
    "added-part": (300, "plain", "three hundred five"),
    "malformed": (46, "plain", "five hundred hundred"),
    "teen-for-ten": (46, "plain", "fourteen five"),
    "uncommon-name": (2_000, "plain", "twenty hundred"),
    "digit-by-digit": (45, "plain", "four five"),
    "counted": (4, "plain", "one two three four"),
    "by-twos": (12, "plain", "eight ten twelve"),
    "by-fives": (20, "plain", "five ten fifteen twenty"),
    "by-tens": (30, "plain", "ten twenty thirty"),
    "decade-overrun": (30, "plain", "twenty-nine, twenty-ten"),
    "added-zero": (346, "plain", "three thousand forty-six"),
    "in-pieces": (365, "plain", "thirty-six five"),
    "undecided": (46, "plain", "forty-five or fifty-four"),
    "other-form": (45, "plain", "four-ten five"),
    "mixed-form": (15_040, "plain", "fifteen thousand four-ten"),
    "made-up-word": (50, "plain", "fivety"),
}
"""An answer for each reason for which one can be missed."""

OF_AN_ACTIVITY = {"wrong-direction", "one-for-ten", "told-ones", "told-tens-digit", "told-number"}
"""Reasons that only a question can show; tests/practice/test_judging.py has answers for them."""

UNCLEAR = {
    "two-numbers": (40, "plain", "forty. fifty."),
    "taken-back": (40, "plain", "forty, no"),
    "other-words": (45, "plain", "forty my dear"),
    "not-a-number": (45, "plain", "biscuit"),
    "not-a-whole-number": (45, "plain", "one half"),
    "too-big": (45, "plain", "a million"),
}
"""An answer for each reason for which one is only asked again; "not-sure" is the listener's own."""


def slugs_in_code(module):
    """Slugs such as "two-numbers" that stand in a module of the numbers package."""
    tree = ast.parse((NUMBERS / f"{module}.py").read_text(encoding="utf-8"))
    texts = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    return {text for text in texts if re.fullmatch(r"[a-z]{2,}(-[a-z]+)+", text)}


@pytest.mark.parametrize(("slug", "words"), SAID.items(), ids=SAID)
def test_a_wording_shows_its_reason(slug, words):
    assert slug in read(words).reasons


@pytest.mark.parametrize(("slug", "answer"), MISSED.items(), ids=MISSED)
def test_an_answer_is_missed_for_its_reason(slug, answer):
    judged = judge(*answer)
    assert judged.verdict in ("wrong", "other-form") and slug in judged.reasons


@pytest.mark.parametrize(("slug", "answer"), UNCLEAR.items(), ids=UNCLEAR)
def test_an_answer_is_asked_for_again_for_its_reason(slug, answer):
    judged = judge(*answer)
    assert judged.verdict == "unclear" and slug in judged.reasons


def test_the_records_are_those_of_all_reasons_and_of_no_other():
    assert set(SAID) == DOCUMENTED, "the examples are all that a reading can have"
    assert {slug for slug, reason in REASONS.items() if reason.wording} == set(SAID)
    assert {slug for slug, reason in REASONS.items() if reason.because} == {*MISSED, *OF_AN_ACTIVITY}
    assert {slug for slug, reason in REASONS.items() if reason.error_class} == {
        *MISSED,
        *OF_AN_ACTIVITY,
        *UNCLEAR,
        "not-sure",
    }
    assert judge(45, "plain", "forty-five", sure=False).reasons == ("not-sure",)


def test_no_module_names_a_reason_without_a_record():
    used = {module: slugs_in_code(module) for module in ("reading", "parts", "tokens", "counts", "placed", "judging")}
    assert set().union(*used.values()) <= set(REASONS)
    assert all(used[module] for module in ("reading", "parts", "tokens", "judging"))


@pytest.mark.parametrize(("slug", "reason"), REASONS.items(), ids=REASONS)
def test_a_record_has_all_that_applies(slug, reason):
    assert reason.slug == slug == reason_of(slug).slug and reason_of(slug) is reason
    assert bool(reason.title) == bool(reason.words) == bool(reason.error_class)
    assert reason.error_class in ("lexical", "syntactic", "other", "")
    assert reason.error_class or reason.wording, "nothing is said of it"
    texts = [text for text in (reason.title, reason.words, reason.because, reason.wording) if text]
    assert not any(text.endswith(".") or re.search(r"[a-z]-[a-z]+-", text) for text in texts)
    assert not reason.title or (reason.title[0].isupper() and "-" not in reason.title)


@given(st.integers(0, HIGHEST), st.sampled_from(("plain", "explicit")), st.text(max_size=40), st.booleans())
def test_whatever_is_heard_has_records(asked, form, heard, sure):
    check(asked, form, heard, sure)


said = st.lists(st.sampled_from([*SAID.values(), *(heard for _, _, heard in (MISSED | UNCLEAR).values())]), max_size=3)


@given(st.integers(0, 9_999), st.sampled_from(("plain", "explicit")), said.map(" ".join), st.booleans())
def test_whatever_is_put_together_of_odd_answers_has_records(asked, form, heard, sure):
    check(asked, form, heard, sure)


def check(asked, form, heard, sure):
    assert all(REASONS[slug].wording for slug in read(heard).reasons)
    judged = judge(asked, form, heard, sure=sure)
    assert all(REASONS[slug].words for slug in judged.reasons)
    if judged.verdict in ("wrong", "other-form"):
        assert judged.reasons and all(REASONS[slug].because for slug in judged.reasons)


def test_a_reason_of_an_older_record_is_told_in_its_own_words():
    old = reason_of("turned-upside-down")
    assert (old.title, old.words, old.because) == ("Turned upside down", "turned upside down", "turned upside down")
