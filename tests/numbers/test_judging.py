"""Verdicts, reasons and the sentence for the parent."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sayit import SayitError
from sayit.numbers import FORMS, HIGHEST, REASONS, explain, judge, name, read, slips, variants

numbers = st.integers(0, HIGHEST)
forms = st.sampled_from(FORMS)


def verdict(asked, form, heard, **more):
    found = judge(asked, form, heard, **more)
    return found.verdict, found.reasons


@given(numbers, forms, st.data())
def test_every_accepted_wording_is_right(value, form, data):
    assert verdict(value, form, data.draw(st.sampled_from(variants(value, form)))) == ("right", ())


@given(numbers, forms)
def test_the_other_form_is_right_only_where_the_names_are_the_same(value, form):
    other = FORMS[1 - FORMS.index(form)]
    words = name(value, other)
    same = words.replace("-", " ") in variants(value, form)
    assert verdict(value, form, words) == (("right", ()) if same else ("other-form", ("other-form",)))


@given(numbers, numbers, forms, forms)
def test_another_number_is_wrong_with_a_reason(asked, said, form, said_form):
    assume(asked != said)
    assume(form == said_form or slips(asked, said) != ("teen-ty-swap",))
    found = judge(asked, form, name(said, said_form))
    assert (found.verdict, found.value) == ("wrong", said)
    assert found.reasons == slips(asked, said) and found.reasons


@given(numbers, forms, st.text(max_size=40), st.booleans())
def test_whatever_is_heard_gets_a_verdict_and_a_sentence(asked, form, heard, sure):
    found = judge(asked, form, heard, sure=sure)
    assert found == judge(asked, form, read(heard), sure=sure)
    assert found.verdict in {"right", "other-form", "wrong", "unclear"}
    assert all(REASONS[slug].error_class for slug in found.reasons)
    assert (found.verdict == "right") == (not found.reasons)
    assert sure or found.verdict == "unclear"
    sentence = explain(found)
    assert sentence.endswith(".") and "\n" not in sentence


def test_the_classes_are_those_of_the_taxonomy():
    lexical = {"teen-ty-swap", "off-by-one", "off-by-ten"}
    syntactic = {"digits-swapped", "lost-zero", "wrong-place-word", "glued-parts", "dropped-part", "digit-by-digit"}
    assert {REASONS[reason].error_class for reason in lexical} == {"lexical"}
    assert {REASONS[reason].error_class for reason in syntactic} == {"syntactic"}
    assert REASONS["counted"].error_class == REASONS["not-a-number"].error_class == "other"


@pytest.mark.parametrize(
    ("asked", "heard", "reason"),
    [
        (13, "thirty", "teen-ty-swap"),
        (30, "thirteen", "teen-ty-swap"),
        (240, "two hundred fourteen", "teen-ty-swap"),
        (15_000, "fifty thousand", "teen-ty-swap"),
        (15_016, "fifty thousand sixty", "teen-ty-swap"),
        (45, "fifty-four", "digits-swapped"),
        (345, "three hundred fifty-four", "digits-swapped"),
        (4_030, "four hundred thirty", "lost-zero"),
        (8_006, "eight hundred six", "lost-zero"),
        (8_006, "eighty-six", "lost-zero"),
        (505, "fifty-five", "lost-zero"),
        (4_030, "four thousand three hundred", "wrong-place-word"),
        (430, "four thousand thirty", "added-zero"),
        (1_000, "one hundred", "wrong-place-word"),
        (40, "four hundred", "wrong-place-word"),
        (4_030, "four hundred thousand thirty", "glued-parts"),
        (45, "four hundred five", "glued-parts"),
        (345, "thirty thousand forty-five", "glued-parts"),
        (4_030, "four thousand", "dropped-part"),
        (4_030, "thirty", "dropped-part"),
        (45, "forty", "dropped-part"),
        (40, "forty-five", "added-part"),
        (45, "forty-six", "off-by-one"),
        (99, "one hundred", "off-by-one"),
        (11, "ten", "off-by-one"),
        (45, "thirty-five", "off-by-ten"),
        (95, "one hundred five", "off-by-ten"),
        (45, "forty-eight", "other-digit"),
        (45, "seventy-two", "other-number"),
        (12, "twenty", "other-number"),
    ],
)
def test_reasons_of_wrong_values(asked, heard, reason):
    found, reasons = verdict(asked, "plain", heard)
    assert found == "wrong" and reasons[0] == reason


@pytest.mark.parametrize(
    ("asked", "heard", "reason"),
    [
        (4_030, "four zero three zero", "digit-by-digit"),
        (45, "four five", "digit-by-digit"),
        (123, "one two three", "digit-by-digit"),
        (4, "one two three four", "counted"),
        (3, "one, two, three", "counted"),
        (2, "one two", "counted"),
        (3_227, "thirty-two twenty-seven", "in-pieces"),
        (430, "four thirty", "in-pieces"),
        (15_040, "fifteen thousand four-ten", "mixed-form"),
        (50, "fivety", "made-up-word"),
        (2_000, "twenty hundred", "uncommon-name"),
    ],
)
@pytest.mark.parametrize("form", FORMS)
def test_a_right_value_said_in_another_way(asked, form, heard, reason):
    found = judge(asked, form, heard)
    assert (found.verdict, found.value, found.reasons) == ("other-form", asked, (reason,))


def test_digits_and_counting_that_end_wrong():
    assert verdict(4_030, "plain", "four three zero") == ("wrong", ("lost-zero", "digit-by-digit"))
    assert verdict(5, "plain", "one two three four") == ("wrong", ("counted", "off-by-one"))


@pytest.mark.parametrize(
    ("asked", "form", "heard", "reason"),
    [
        (45, "plain", "", "not-a-number"),
        (45, "plain", "I don't know", "not-a-number"),
        (45, "plain", "is it one of them", "other-words"),
        (45, "plain", "forty-five fifty-four", "two-numbers"),
        (5, "plain", "five five", "two-numbers"),
        (5, "plain", "four five", "two-numbers"),
        (10, "plain", "ten ten", "two-numbers"),
        (4_030, "plain", "four thousand fifty, no, thirty", "two-numbers"),
        (4_030, "plain", "four thousand thirty hundred", "malformed"),
        (45, "explicit", "fourteen five", "teen-for-ten"),
        (40, "explicit", "fourteen", "teen-for-ten"),
        (16, "plain", "six-ten", "teen-for-ten"),
        (280, "explicit", "two hundred eighteen", "teen-for-ten"),
        (45, "plain", "Oh!", "not-a-number"),
        (45, "plain", "forty, no", "taken-back"),
        (45, "plain", "a million", "too-big"),
        (45, "plain", "minus five", "not-a-whole-number"),
    ],
)
def test_doubt_is_unclear_and_never_wrong(asked, form, heard, reason):
    found, reasons = verdict(asked, form, heard)
    assert found == "unclear" and reason in reasons


@pytest.mark.parametrize(
    ("asked", "form", "heard"),
    [(30, "explicit", "thirteen"), (50, "explicit", "fifteen"), (40, "plain", "fourteen"), (14, "explicit", "forty")],
)
def test_other_teens_are_told_from_tens(asked, form, heard):
    assert verdict(asked, form, heard) == ("wrong", ("teen-ty-swap",))


def test_what_the_listener_is_not_sure_of_is_unclear_even_if_right():
    assert verdict(45, "plain", "forty-five", sure=False) == ("unclear", ("not-sure",))
    assert verdict(45, "plain", "", sure=False) == ("unclear", ("not-a-number",))


@pytest.mark.parametrize(
    ("asked", "form", "heard"),
    [
        (500, "plain", "five hundred"),
        (500, "explicit", "five hundred"),
        (45, "plain", "four-ten five forty-five"),
        (45, "explicit", "four-ten five forty-five"),
        (45, "plain", "fifty-four, no, forty-five"),
        (45, "plain", "fifty-four forty-five"),
        (45, "plain", "forty-five, I don't know"),
        (4_030, "plain", "4,030"),
        (100, "explicit", "ten-ten"),
        (0, "plain", "nought"),
    ],
)
def test_right(asked, form, heard):
    assert verdict(asked, form, heard) == ("right", ())


def test_ten_tens_are_no_plain_hundred():
    assert verdict(100, "plain", "ten ten") == ("other-form", ("other-form",))


@given(numbers, numbers)
def test_slips_are_named_exactly_where_numbers_differ(asked, value):
    assert bool(slips(asked, value)) == (asked != value)


@given(st.integers(10, HIGHEST))
def test_leaving_out_any_one_digit_for_an_inner_zero_is_a_dropped_part(value):
    digits = str(value)
    for at, digit in enumerate(digits[1:], start=1):
        if digit != "0":
            left = int(digits[:at] + "0" + digits[at + 1 :])
            assert "dropped-part" in slips(value, left)
            assert "added-part" in slips(left, value)


@given(st.integers(1, 999), st.integers(1, 99))
def test_a_zero_lost_from_the_middle_is_named_before_anything_else(head, tail):
    asked = int(f"{head}0{tail}")
    assert slips(asked, int(f"{head}{tail}")) in {("lost-zero",), ("teen-ty-swap",)}


def test_sentences():
    assert explain(judge(13, "plain", "thirty")) == "Heard thirty, wanted thirteen: teen and ty swapped."
    assert explain(judge(45, "explicit", "four-ten five")) == "Heard four-ten five: right."
    assert explain(judge(45, "explicit", "forty-five")) == (
        "Heard forty-five, wanted four-ten five: the number is right, said by another name than asked."
    )
    assert explain(judge(45, "plain", "")) == "Heard nothing, wanted forty-five: no number was heard; ask again."
    assert explain(judge(45, "plain", "I don't know")) == (
        "Heard “I don't know”, wanted forty-five: no number was heard, there was other talk; ask again."
    )
    assert explain(judge(45, "plain", "forty-five", sure=False)) == (
        "Heard forty-five, wanted forty-five: it was not heard clearly; ask again."
    )


@pytest.mark.parametrize(("asked", "form"), [(-1, "plain"), (1_000_000, "plain"), (4.5, "plain"), (45, "digits")])
def test_what_cannot_be_asked_is_refused(asked, form):
    with pytest.raises(SayitError):
        judge(asked, form, "forty-five")
