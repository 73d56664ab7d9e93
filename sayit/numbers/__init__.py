"""Number names in two forms: naming, reading, syllables, judging, and what to tell of them. Pure, without any dependency."""

from sayit.numbers.explaining import explain, form_in_words, reason_in_words, wanted_in_words
from sayit.numbers.judging import Judgement, judge, slips
from sayit.numbers.naming import FORMS, Form, as_form, name, variants
from sayit.numbers.pausing import may_go_on
from sayit.numbers.reading import Reading, read
from sayit.numbers.reasons import REASONS, Reason, reason_of
from sayit.numbers.syllables import DigitRule, digit_rule, syllables
from sayit.numbers.words import HIGHEST, NUMBER_WORDS, PLACES, REPEATERS, TEENS, TENS, UNITS, VOCABULARY, ZEROS

__all__ = [
    "FORMS",
    "HIGHEST",
    "NUMBER_WORDS",
    "PLACES",
    "REASONS",
    "REPEATERS",
    "TEENS",
    "TENS",
    "UNITS",
    "VOCABULARY",
    "ZEROS",
    "DigitRule",
    "Form",
    "Judgement",
    "Reading",
    "Reason",
    "as_form",
    "digit_rule",
    "explain",
    "form_in_words",
    "judge",
    "may_go_on",
    "name",
    "read",
    "reason_in_words",
    "reason_of",
    "slips",
    "syllables",
    "variants",
    "wanted_in_words",
]
