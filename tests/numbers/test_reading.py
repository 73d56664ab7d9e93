"""Reading answers as people and recognisers word them."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from sayit.numbers import FORMS, HIGHEST, UNITS, VOCABULARY, name, read, variants
from tests import speech_data

numbers = st.integers(0, HIGHEST)
forms = st.sampled_from(FORMS)
FILLERS = ("um", "uh", "er", "it's", "is", "the answer", "I think", "")
CORRECTIONS = ("no", "sorry", "wait", "I mean", "oops", "actually")
ONES = ("zero", *UNITS)


def taken(words):
    reading = read(words)
    return reading.value, reading.form


@pytest.mark.parametrize(
    ("words", "value", "form"),
    [
        ("Forty-Five", 45, "plain"),
        ("four-ten five", 45, "explicit"),
        ("four ten five", 45, "explicit"),
        ("four-ten-five", 45, "explicit"),
        ("Four ten, five.", 45, "explicit"),
        ("four-ten ... five", 45, "explicit"),
        ("four tens and five ones", 45, "explicit"),
        ("ten five", 15, "explicit"),
        ("ten", 10, "both"),
        ("one-ten", 10, "explicit"),
        ("ten-ten", 100, "explicit"),
        ("a hundred", 100, "both"),
        ("hundred and five", 105, "both"),
        ("five hundred", 500, "both"),
        ("eight thousand and six", 8_006, "both"),
        ("four thousand thirty", 4_030, "plain"),
        ("four thousand and three ten", 4_030, "explicit"),
        ("two thousand, one hundred and five", 2_105, "both"),
        ("four-ten five thousand", 45_000, "explicit"),
        ("fifteen hundred", 1_500, "plain"),
        ("twenty-five hundred and one", 2_501, "plain"),
        ("fifteen thousand four-ten", 15_040, "mixed"),
        ("zero", 0, "both"),
        ("oh", 0, "both"),
        ("nought", 0, "both"),
        ("thousand", 1_000, "both"),
    ],
)
def test_names(words, value, form):
    assert taken(words) == (value, form)


@pytest.mark.parametrize(
    ("words", "same"),
    [
        ("to ten", "two ten"),
        ("too", "two"),
        ("for ten to", "four ten two"),
        ("fore", "four"),
        ("ate", "eight"),
        ("won hundred", "one hundred"),
        ("eighty ate", "eighty eight"),
        ("tree hundred", "three hundred"),
        ("sex", "six"),
        ("fourten five", "four ten five"),
        ("fortyfive", "forty five"),
        ("fourhundred", "four hundred"),
        ("naught", "nought"),
        ("free", "three"),
        ("fousand", "thousand"),
        ("seben", "seven"),
        ("firteen", "thirteen"),
        ("firty free", "thirty three"),
        ("SEBENTY", "seventy"),
    ],
)
def test_homophones_and_childrens_sounds(words, same):
    assert taken(words) == taken(same) and taken(words)[0] is not None


@pytest.mark.parametrize(
    "words", ["it is too late", "go to bed", "oh for goodness sake", "I ate my lunch", "he won", "a free bird"]
)
def test_everyday_words_in_other_talk_are_no_numbers(words):
    assert taken(words) == (None, "none")
    assert read(words).reasons[0] == "not-a-number"


@given(numbers, forms, st.lists(st.sampled_from(FILLERS), min_size=1, max_size=6), st.data())
def test_fillers_may_stand_anywhere(value, form, fillers, data):
    words = name(value, form).split()
    for filler in fillers:
        words.insert(data.draw(st.integers(0, len(words))), filler)
    assert taken(" ".join(words)) == taken(name(value, form))


@given(numbers, forms, st.sampled_from([str.upper, str.title, str.capitalize]), st.sampled_from(["-", " ", "‑", "–"]))
def test_letters_and_hyphens_do_not_matter(value, form, cased, hyphen):
    words = name(value, form)
    assert taken(cased(words).replace("-", hyphen)) == taken(words)


@given(numbers, forms, numbers, forms, st.sampled_from(CORRECTIONS))
def test_after_a_correction_the_last_number_counts(first, form, last, last_form, correction):
    reading = read(f"{name(first, form)}, {correction}, {name(last, last_form)}")
    assert (reading.value, reading.form) == taken(name(last, last_form))
    assert "self-correction" in reading.reasons


@given(st.integers(10, HIGHEST), st.integers(10, HIGHEST), forms)
def test_of_two_names_parted_by_a_full_stop_the_last_counts_and_the_first_is_kept_in_mind(first, last, form):
    one, other = name(first), name(last, form)
    reading = read(f"{one}. {other}.")
    if one.replace("-", " ").endswith(other.replace("-", " ")) and first != last:
        assert reading.value == first and "repeated-part" in reading.reasons
    elif first == last:
        assert reading.value == last and "repeated" in reading.reasons
    elif reading.form == "counted":
        assert reading.value == last
    else:
        assert reading.value == last and first in reading.others


@pytest.mark.parametrize(
    ("words", "value", "reason"),
    [
        ("forty-five, fifty-four", 54, "two-numbers"),
        ("forty forty-five", 45, "two-numbers"),
        ("two hundred three hundred", 300, "two-numbers"),
        ("five thousand six thousand", 6_000, "two-numbers"),
        ("Twenty. Five.", 5, "two-numbers"),
        ("four thirty", 30, "two-numbers"),
        ("fifty not forty", 50, "self-correction"),
        ("not forty, fifty", 50, "self-correction"),
        ("forty or fifty", 50, "undecided"),
        ("forty-five five", 45, "repeated-part"),
        ("four ten five four ten five", 45, "repeated"),
        ("forty, no", 40, "taken-back"),
    ],
)
def test_more_than_one_number(words, value, reason):
    reading = read(words)
    assert reading.value == value and reason in reading.reasons


def test_a_comma_is_a_pause_inside_a_number():
    assert taken("twenty, five") == taken("twenty five") == (25, "plain")


def test_a_correction_may_mean_the_end_only():
    reading = read("four thousand fifty, no, thirty")
    assert reading.value == 30 and reading.others == (4_030,)


@given(st.integers(11, HIGHEST), st.booleans())
@example(22, True)
def test_a_number_said_in_both_forms_is_both(value, explicit_first):
    both = [name(value), name(value, "explicit")]
    reading = read(". ".join(reversed(both) if explicit_first else both))
    assert (reading.value, reading.form) == (value, "both")


def test_both_forms_need_no_pause_between_them():
    assert taken("four-ten five forty-five") == (45, "both")


@pytest.mark.parametrize(
    ("words", "value", "reason"),
    [
        ("four thousand thirty hundred", 4_030, "malformed"),
        ("five thousand two hundred thousand", 200_000, "two-numbers"),
        ("hundred five ten ten", 150, "repeated-part"),
        ("four-ten fifteen", 55, "malformed"),
        ("two thousand four-ten fifteen", 2_055, "mixed-form"),
        ("forty-ten five", 45, "malformed"),
        ("fourteen five", 45, "teen-for-ten"),
        ("twenty hundred", 2_000, "uncommon-name"),
        ("four thousand zero hundred three-ten", 4_030, "zero-named"),
        ("one hundred oh five", 105, "zero-named"),
        ("fivety", 50, "made-up-word"),
        ("threeteen", 13, "made-up-word"),
        ("forty five apples", 45, "other-words"),
    ],
)
def test_odd_names_get_the_best_reading_and_a_reason(words, value, reason):
    reading = read(words)
    assert reading.value == value and reason in reading.reasons


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        ("", "not-a-number"),
        (" \n", "not-a-number"),
        ("...", "not-a-number"),
        ("I don't know", "not-a-number"),
        ("no", "not-a-number"),
        ("四十五", "not-a-number"),
        ("not forty", "taken-back"),
        ("four point five", "not-a-whole-number"),
        ("4.5", "not-a-whole-number"),
        ("-5", "not-a-whole-number"),
        ("minus five", "not-a-whole-number"),
        ("half", "not-a-whole-number"),
        ("½", "not-a-whole-number"),
        ("a million", "too-big"),
        ("1,000,000", "too-big"),
        ("9" * 5_000, "too-big"),
    ],
)
def test_what_is_no_number_here_has_a_reason(words, reason):
    reading = read(words)
    assert reading.value is None and reading.form == "none" and reason in reading.reasons


@given(st.text(alphabet=st.sampled_from("0123456789"), min_size=2, max_size=9))
def test_digit_by_digit(digits):
    reading = read(" ".join(ONES[int(digit)] for digit in digits))
    assert reading.digits == digits
    if reading.form == "digits":
        assert reading.value == int(digits)
    else:
        assert reading.form == "counted" and reading.value == int(digits[-1])
        assert "1234567899".startswith(digits) or digits[:-1] == "123456789"[: len(digits) - 1]


@pytest.mark.parametrize(
    ("words", "digits"),
    [
        ("three two two seven", "3227"),
        ("three, two, two, seven", "3227"),
        ("Three. Two. Two. Seven.", "3227"),
        ("free to too seben", "3227"),
        ("3 2 2 7", "3227"),
        ("double two seven", "227"),
        ("double oh seven", "007"),
        ("triple five", "555"),
        ("four oh three nought", "4030"),
        ("oh three two", "032"),
        ("one two", "12"),
    ],
)
def test_digit_strings(words, digits):
    reading = read(words)
    assert (reading.form, reading.digits, reading.value) == ("digits", digits, int(digits))


def test_oh_is_a_sigh_before_a_name_and_a_zero_before_digits():
    assert taken("oh, forty-five") == (45, "plain")
    assert taken("oh five") == (5, "both")
    assert read("oh four five").digits == "045"


@given(st.integers(3, 130), st.sampled_from([1, 10, 100, 1000]), forms)
def test_counting_up(steps, step, form):
    words = [name(step * at, form) for at in range(1, min(steps, 9_000 // step) + 1)]
    reading = read(" ".join(words))
    assert (reading.form, reading.value) == ("counted", step * len(words))


@pytest.mark.parametrize("words", ["one, two, three, four. Four!", "one and two and three and four", "1 2 3 4"])
def test_counting_with_pauses(words):
    assert taken(words) == (4, "counted")


@pytest.mark.parametrize("words", ["two three four", "one three five", "three two one", "one two"])
def test_what_is_not_counted_from_one_is_digits(words):
    assert read(words).form == "digits"


@pytest.mark.parametrize(
    ("words", "value", "form"),
    [("45", 45, "plain"), ("5", 5, "both"), ("4,030", 4_030, "plain"), ("007", 7, "both"), ("4 ten 5", 45, "explicit")],
)
def test_typed_figures(words, value, form):
    assert taken(words) == (value, form)
    assert "typed" in read(words).reasons


@given(numbers)
def test_typed_figures_read_as_their_plain_name(value):
    assert taken(str(value)) == taken(f"{value:,}") == taken(name(value))


@pytest.mark.parametrize(
    ("words", "places"),
    [
        ("four thousand three-ten", (("thousand", 4), ("ten", 3))),
        ("four-ten five thousand", (("ten thousand", 4), ("thousand", 5))),
        ("three hundred forty-five", (("hundred", 3), ("ten", 4), ("one", 5))),
        ("fifteen", (("ten", 1), ("one", 5))),
        ("fifteen hundred", (("hundred", 15),)),
        ("ten ten", (("ten", 10),)),
        ("zero", (("one", 0),)),
    ],
)
def test_places_as_said(words, places):
    assert read(words).places == places


WORTH = {"one": 1, "ten": 10, "hundred": 100, "thousand": 1_000, "ten thousand": 10_000, "hundred thousand": 100_000}


@given(numbers, forms, st.data())
def test_places_add_up_to_the_value(value, form, data):
    reading = read(data.draw(st.sampled_from(variants(value, form))))
    assert sum(count * WORTH[place] for place, count in reading.places) == value


@given(st.text(max_size=80) | st.lists(st.sampled_from([*VOCABULARY, "no", "not", "double", ".", ","])).map(" ".join))
def test_no_text_raises_and_every_reading_is_whole(words):
    reading = read(words)
    assert reading.words == words
    assert reading.form in {"plain", "explicit", "both", "mixed", "digits", "counted", "none"}
    assert (reading.value is None) == (reading.form == "none") or "too-big" in reading.reasons
    assert reading.value is None or 0 <= reading.value < 10**12
    assert reading.value not in reading.others and all(0 <= other <= HIGHEST for other in reading.others)
    assert len(set(reading.reasons)) == len(reading.reasons)
    assert reading.value is not None or reading.reasons


@pytest.mark.parametrize("word", [*VOCABULARY, "no", "double", "forty five", "four hundred", "xylophone", "5", "."])
def test_very_long_answers_are_read_too(word):
    reading = read("five thousand " + f"{word} " * 20_000)
    assert reading.value is None or reading.value >= 0


@pytest.mark.skipif(not speech_data.present(), reason=speech_data.MISSING)
def test_digit_strings_that_children_read_aloud():
    """Source: speechocean762 (Zhang et al. 2021, CC BY 4.0), the transcripts of its number recordings."""
    for recording in speech_data.recordings("numbers"):
        spoken = [ONES.index(word) for word in recording.words.replace("oh", "zero").split()]
        assert read(recording.words).digits == "".join(map(str, spoken))


@pytest.mark.skipif(not speech_data.present(), reason=speech_data.MISSING)
def test_sentences_without_number_words_are_no_numbers():
    """Source: speechocean762, transcripts; homophones such as "to" and "for" are in hundreds of them."""
    plain = [
        recording.words
        for recording in speech_data.recordings("read-speech")
        if not set(recording.words.lower().split()) & (set(VOCABULARY) - {"a", "and", "oh"})
    ]
    assert len(plain) > 4_000
    assert [words for words in plain if read(words).value is not None] == []
