"""The path of steps as shipped, and what a damaged one says."""

import re
from importlib import resources

import pytest

from sayit.errors import SayitError
from sayit.practice.activities import ACTIVITIES, asks, number_for, split
from sayit.practice.path import load_path, parse_path

TEXT = resources.files("sayit.practice").joinpath("path.toml").read_text(encoding="utf-8")


def test_the_path_leads_from_seeing_five_to_9999():
    path = load_path()
    assert path.limit == 9_999
    assert path.slugs[0] == "to-five" and path.slugs[-1] == "all-thousands"
    example = {
        "to-five": 4,
        "five-and-some": 8,
        "pairs-to-ten": 7,
        "teens": 13,
        "whole-tens": 30,
        "tens-and-ones": 45,
        "ten-tens": 110,
        "hundreds": 345,
        "hundreds-inner-zero": 305,
        "thousands": 5_432,
        "thousands-inner-zeros": 4_030,
    }
    assert all(number in path[slug].numbers for slug, number in example.items())
    assert 8_006 in path["thousands-inner-zeros"].numbers
    assert 4_030 not in path["thousands"].numbers and 345 not in path["hundreds-inner-zero"].numbers


def test_a_larger_limit_adds_a_step_and_a_smaller_one_takes_steps_away():
    assert load_path(50_000).slugs[-1] == "beyond"
    assert 50_001 not in load_path(50_000)["beyond"].numbers
    assert load_path(20).slugs == ("to-five", "five-and-some", "pairs-to-ten", "teens", "whole-tens")
    for limit in (9, 1_000_000):
        with pytest.raises(SayitError, match="no limit"):
            load_path(limit)


def test_every_step_can_be_asked_in_every_way_it_names():
    for step in load_path(999_999):
        for slug in step.asks:
            activity, _ = split(slug)
            found = [ask for ask in asks(step) if ask.split(":")[0] == slug]
            assert found, f"{step.slug}: no number suits {slug}"
            assert all(ask.partition(":")[2] in activity.variants(step) for ask in found)
        assert asks(step, needed=True)
        assert set(asks(step, needed=True)) <= set(asks(step))


def test_every_way_of_asking_is_used_somewhere():
    used = {slug for step in load_path() for slug in step.asks}
    assert used == set(ACTIVITIES)


def test_steps_come_after_what_they_need():
    seen: set[str] = set()
    for step in load_path(999_999):
        assert set(step.after) <= seen
        seen.add(step.slug)


def test_standards_are_codes_and_no_copied_text():
    # Shapes of the codes: Common Core State Standards for Mathematics (2010); Department for
    # Education (2020), non-statutory mathematics guidance, criteria such as 2NPV-1.
    shapes = {
        "US Common Core": r"(K|\d)\.(CC|OA|NBT)\.[A-D]\.\d(\.[A-C])?",
        "England": r"Year [1-6](; \dN(PV|F)-\d)*",
        "England, early years": r"ELG Number",
    }
    for step in load_path(999_999):
        assert step.standards
        for standard in step.standards:
            assert re.fullmatch(shapes[standard.of], standard.code), (step.slug, standard)
    codes = {standard.code for step in load_path() for standard in step.standards}
    assert {"K.NBT.A.1", "1.NBT.B.2", "2.NBT.A.1", "2.NBT.A.3"} <= codes


def test_numbers_past_the_path_have_a_home():
    path = load_path()
    assert path.home(13).slug == "teens"
    assert path.home(4_030).slug == "thousands-inner-zeros"
    assert path.home(0).slug == path.slugs[-1]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('slug = "teens"', 'slug = "to-five"', "must be new"),
        ('after = ["teens"]', 'after = ["tens-and-ones"]', "come earlier"),
        ('needs = ["to-ten"]', 'needs = ["build"]', "must name some of its `asks`"),
        ('title = "Whole tens"\n', "", "whole-tens.*incomplete"),
        ("limit = 9999", "limit = = 3", "no valid TOML"),
    ],
)
def test_a_damaged_path_says_where(old, new, says):
    assert old in TEXT
    with pytest.raises(SayitError, match=says):
        parse_path(TEXT.replace(old, new, 1))


def test_an_unknown_step_is_told():
    with pytest.raises(SayitError, match="choose one of to-five"):
        load_path()["eleventy"]


def test_rare_numbers_are_found_too():
    from random import Random

    step = load_path()["all-thousands"]
    assert {number_for(step, "tens-in:hundreds", Random(seed)) % 100 for seed in range(20)} == {0}
