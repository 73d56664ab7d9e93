"""Number names: naming, reading, syllables and judging; pure."""

from sayit.numbers.judging import ERROR_CLASS, Judgement, explain, judge
from sayit.numbers.naming import FORMS, Form, name, variants
from sayit.numbers.reading import Reading, read
from sayit.numbers.syllables import DigitRule, digit_rule, syllables
from sayit.numbers.words import HIGHEST, VOCABULARY

__all__ = [
    "ERROR_CLASS",
    "FORMS",
    "HIGHEST",
    "VOCABULARY",
    "DigitRule",
    "Form",
    "Judgement",
    "Reading",
    "digit_rule",
    "explain",
    "judge",
    "name",
    "read",
    "syllables",
    "variants",
]
