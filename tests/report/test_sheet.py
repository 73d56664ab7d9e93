"""The answers on a sheet are right, as others count."""

import re
from random import Random

import pytest
from num2words import num2words

from sayit import SayitError
from sayit.practice.activities import ACTIVITIES
from sayit.practice.path import load_path
from sayit.report.sheet import _ROWS, parts, require_step, sheet_paper
from tests.report.conftest import NOW

PATH = load_path(999_999)


def plain(number):
    # num2words says "one hundred and five"; the sheet's plain names have no "and".
    return num2words(number).replace(" and ", " ").replace(",", "")


def number(text):
    return int(text.replace(",", ""))


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("step", PATH.slugs)
def test_answers(step, seed):
    made = parts(PATH, step, Random(seed))
    assert made
    tasks = [task for part in made for task in part.tasks]
    assert [task.number for task in tasks] == list(range(1, len(tasks) + 1))
    checked = 0
    for task in tasks:
        shown = [number(digits) for digits in re.findall(r">([\d,]+)</text>", task.shown)]
        if match := re.fullmatch(r"([\d,]+): ([a-z -]+)(; [a-z -]+)?", task.answer):
            assert [number(match[1])] == shown
            assert match[2] == plain(number(match[1]))
        elif match := re.fullmatch(r"([\d,]+) – ([\d,]+) – ([\d,]+)", task.answer):
            before, middle, after = (number(text) for text in match.groups())
            assert (before, after) == (middle - 1, middle + 1) and shown == [middle]
        elif match := re.fullmatch(r"([\d,]+) is more than ([\d,]+)", task.answer):
            more, less = number(match[1]), number(match[2])
            assert more > less and sorted(shown) == [less, more]
        elif match := re.fullmatch(r"say “([a-z -]+)”: ([\d,]+)", task.answer):
            if "-ten" not in match[1]:  # num2words knows no tens form
                assert match[1] == plain(number(match[2]))
            assert task.shown.count("<rect") == 1 and not shown
        elif match := re.fullmatch(r"(\d+) and (\d+)", task.answer):
            assert int(match[1]) + int(match[2]) == 10
            pebbles = re.findall(r"<ellipse[^>]*", task.shown)
            assert len(pebbles) == 10 and sum('fill="none"' not in one for one in pebbles) == int(match[1])
        else:
            match = re.match(r"(\d+)", task.answer)
            assert task.shown.count("<ellipse") == int(match[1])
        checked += 1
    assert checked == len(tasks) >= 8


def test_the_same_seed_gives_the_same_sheet_and_another_gives_another():
    sheets = {sheet_paper(PATH, "tens-and-ones", seed=seed, now=NOW).page() for seed in (1, 1, 2)}
    assert len(sheets) == 2


def test_answers_are_not_on_the_tasks_page():
    page = sheet_paper(PATH, "tens-and-ones", seed=1, now=NOW).page()
    tasks, answers = page.split('<div class="answers">')
    for part in parts(PATH, "tens-and-ones", Random("tens-and-ones 1")):
        for task in part.tasks:
            assert task.answer in answers and task.answer not in tasks


def test_an_unknown_step_is_told():
    with pytest.raises(SayitError, match="teens"):
        require_step(PATH, "nowhere")


def test_every_row_of_a_sheet_practises_an_activity_and_none_is_named_in_vain():
    assert {activity.sheet for activity in ACTIVITIES.values()} - {""} == set(_ROWS)
    # Digits are put down where they are only built, and where they are only told.
    for step in ("to-five", "hundreds-inner-zero"):
        assert any(part.do.startswith("Listen, then write") for part in parts(PATH, step, Random(1)))
