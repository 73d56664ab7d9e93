"""Number names in two forms: naming, reading, syllables, judging. Pure, without any dependency."""

from sayit.numbers.judging import ERROR_CLASS, IN_WORDS, Judgement, explain, judge, slips
from sayit.numbers.naming import FORMS, Form, name, variants
from sayit.numbers.pausing import may_go_on
from sayit.numbers.reading import Reading, read
from sayit.numbers.syllables import DigitRule, digit_rule, syllables
from sayit.numbers.words import HIGHEST, PLACES, REPEATERS, TEENS, TENS, UNITS, VOCABULARY, ZEROS

__all__ = [
    "ERROR_CLASS",
    "FORMS",
    "HIGHEST",
    "IN_WORDS",
    "PLACES",
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
    "digit_rule",
    "explain",
    "judge",
    "may_go_on",
    "name",
    "read",
    "slips",
    "syllables",
    "variants",
]
