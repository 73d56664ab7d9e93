"""Children's utterances, drawn up before the rules: value, form and reasons; and published errors as their authors class them."""

from pathlib import Path

import pytest

from sayit.numbers import REASONS, judge, read, slips

ROWS = [
    line.split("\t")
    for line in (Path(__file__).parent / "utterances.tsv").read_text(encoding="utf-8").splitlines()
    if line and not line.startswith("#")
]


def test_utterances_are_read_as_they_are_meant():
    assert len(ROWS) >= 150
    off = []
    for words, value, form, reasons in ROWS:
        reading = read(words)
        found = ("-" if reading.value is None else str(reading.value), reading.form)
        noted = "..." if reasons == "..." else ",".join(sorted(reading.reasons)) or "-"
        if (*found, noted) != (value, form, ",".join(sorted(reasons.split(",")))):
            off.append((words, found, noted))
    assert not off


DICTATION = (
    "Power & Dal Martello 1990, The dictation of Italian numerals, Language and Cognitive Processes 5(3), 237-254"
)
READING = "Power & Dal Martello 1997, From 834 to eighty thirty four, Mathematical Cognition 3(1), 63-85"
BEGINNINGS = "Byrge, Smith & Mix 2014, Beginnings of place value, Child Development 85(2), 437-443"
INVERSION = (
    "Steiner et al. 2021, Journal of Numerical Cognition 7(3), 368-387, after Zuber, Pixner, Moeller & Nuerk 2009, "
    "doi 10.1016/j.jecp.2008.04.003"
)


@pytest.mark.parametrize(
    ("asked", "written", "reason", "error_class", "source"),
    [
        (365, 30_065, "glued-parts", "syntactic", DICTATION),
        (365, 3_065, "added-zero", "syntactic", DICTATION),
        (365, 364, "off-by-one", "lexical", DICTATION),
        (642, 600_402, "glued-parts", "syntactic", BEGINNINGS),
        (642, 610_042, "glued-parts", "syntactic", BEGINNINGS),
        (24, 42, "digits-swapped", "syntactic", INVERSION),
    ],
)
def test_written_errors_are_told_as_their_authors_class_them(asked, written, reason, error_class, source):
    assert slips(asked, written) == (reason,), source
    assert REASONS[reason].error_class == error_class, source


@pytest.mark.parametrize(
    ("asked", "said", "verdict", "reason", "source"),
    [
        (365, "thirty six five", "other-form", "in-pieces", READING),
        (200, "hundred two", "wrong", "wrong-place-word", READING),
        (834, "eighty thirty four", "wrong", "wrong-place-word", READING),
        (803, "eighty thousand and three", "wrong", "wrong-place-word", READING),
    ],
)
def test_spoken_errors_are_told_as_their_authors_class_them(asked, said, verdict, reason, source):
    judged = judge(asked, "plain", said)
    assert (judged.verdict, judged.reasons) == (verdict, (reason,)), source
    assert REASONS[reason].error_class == "syntactic", source


@pytest.mark.parametrize(
    ("asked", "written", "reason"),
    [
        # Common practice, no source.
        (346, 3_046, "added-zero"),
        (4_030, 40_030, "added-zero"),
        (430, 4_030, "added-zero"),
        (45, 4, "dropped-part"),
        (45, 5, "dropped-part"),
        (345, 34, "dropped-part"),
        (30, 31, "off-by-one"),
        (40, 45, "added-part"),
        (200, 2_000, "wrong-place-word"),
        (300, 103, "wrong-place-word"),
    ],
)
def test_other_slips(asked, written, reason):
    assert slips(asked, written)[0] == reason


@pytest.mark.parametrize(
    ("asked", "said", "verdict"),
    [
        # A count that ends elsewhere, a sum that is another, a name that only looks like a count.
        (7, "five six seven eight", "wrong"),
        (9, "five six seven eight", "wrong"),
        (8, "two four six", "wrong"),
        (8, "five six eight", "wrong"),
        (8, "five and four", "wrong"),
        (3, "five and three", "unclear"),
        (53, "five and three", "unclear"),
        (9, "three three six", "wrong"),
        (30, "twenty-eight, twenty-nine", "wrong"),
        (31, "twenty-eight, twenty-nine, thirty", "wrong"),
        (93, "eight nine ten three", "unclear"),
        (65, "five ten fifteen", "unclear"),
        (4, "ten twenty thirty forty", "wrong"),
        (45, "ten twenty thirty forty", "wrong"),
        (45, "four ones and five tens", "wrong"),
        (54, "five ones and four tens", "wrong"),
        (415, "four hundred, no tens, five", "unclear"),
        (50, "four tens, no, five tens", "right"),
        (45, "forty-five or fifty-four", "unclear"),
        (54, "forty-five or fifty-four", "unclear"),
        (44, "forty-five or fifty-four", "wrong"),
        (5, "four. ten. five.", "unclear"),
        (1, "that is a hard one", "unclear"),
        (20, "twenty-nine, twenty-ten", "unclear"),
        (40, "twenty-nine, twenty-ten", "wrong"),
        (605, "six five", "wrong"),
        (635, "thirty-six five", "wrong"),
        (36, "thirty-six five", "unclear"),
        (803, "eighty thirty four", "wrong"),
        (102, "hundred two", "right"),
    ],
)
def test_near_misses_are_never_made_right(asked, said, verdict):
    form = "explicit" if "tens" in said else "plain"
    assert judge(asked, form, said).verdict == verdict
