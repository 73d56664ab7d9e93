"""The CSV reads back as what it was, and no cell is a formula."""

import csv
import io

import pytest

from sayit.report.table import COLUMNS, answers_csv, cell
from sayit.store import Child
from tests.report.conftest import NOW


def rows(content):
    assert content.startswith(b"\xef\xbb\xbf"), "spreadsheets take UTF-8 for something else without the mark"
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline="")))


# OWASP, "CSV Injection": cells that begin with = + - @, tab or carriage return.
@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-1",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        " =1+1",
        '=HYPERLINK("x")',
        "-2+3+cmd|' /C calc'!A0",
        "\uff1d1",
        "\n=1",
    ],
)
def test_text_that_a_spreadsheet_would_run_is_quoted(make, text):
    assert cell(text) == f"'{text}"
    child = Child(1, text, None, NOW)
    (row,) = rows(answers_csv(child, [make(heard=text, listener=text)], NOW.tzinfo))
    for column in ("child", "heard", "listener"):
        assert row[column] == f"'{text}"


def test_plain_text_and_numbers_stay_what_they_are(make):
    assert [cell(value) for value in ("forty-five", "Zo\u00eb", 45, -3, 1.5, None, "")] == [
        "forty-five",
        "Zo\u00eb",
        45,
        -3,
        1.5,
        "",
        "",
    ]


def test_every_answer_is_a_row_with_every_column(make):
    answers = [
        make(
            1,
            0,
            heard='thirty, "three"\nzero',
            reasons=("lost-zero", "off-by-ten"),
            verdict="wrong",
            value=33,
            override="right",
        ),
        make(0, 0, override="skip", response_seconds=None, value=None),
    ]
    first, second = rows(answers_csv(Child(1, "Pip", None, NOW), answers, NOW.tzinfo))
    assert tuple(first) == COLUMNS
    assert first["heard"] == 'thirty, "three"\nzero'
    assert (first["date"], first["time"]) == ("2026-03-19", "18:00:04")
    assert (first["asked"], first["value"], first["reasons"]) == ("13", "33", "lost-zero off-by-ten")
    assert (first["verdict"], first["override"], first["counts_as"]) == ("wrong", "right", "right")
    assert (second["counts_as"], second["seconds_to_voice"], second["value"]) == ("set-aside", "", "")
    assert first["skill"] == "teens/read-out:plain"
