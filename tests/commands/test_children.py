"""Setting up children: steps, steps passed over, steps done again."""

import pytest

from sayit.practice.path import load_path
from sayit.store import open_record
from tests.commands.program import objects, refused


@pytest.fixture
def pip(sayit, tmp_path):
    sayit("children", "--add", "Pip", "--step", "teens")

    def placements():
        with open_record(tmp_path / "home" / "record.sqlite3") as record:
            return record.placements(record.child("Pip"))

    return placements


def told(finished):
    (entry,) = objects(finished)
    return entry


def test_a_child_starts_anywhere_goes_back_and_passes_over(sayit, pip):
    assert told(sayit("children", "--json"))["step"] == "teens"
    assert told(sayit("children", "--child", "Pip", "--step", "hundreds", "--json"))["step"] == "hundreds"
    assert told(sayit("children", "--child", "Pip", "--step", "teens", "--json"))["step"] == "teens"
    entry = told(sayit("children", "--child", "Pip", "--skip", "whole-tens", "--skip", "ten-tens", "--json"))
    assert (entry["step"], entry["skipped"]) == ("teens", ["whole-tens", "ten-tens"])
    assert "passes over whole-tens, ten-tens" in sayit("children").stdout
    assert told(sayit("children", "--child", "Pip", "--skip", "none", "--json"))["skipped"] == []
    assert len(pip()) == 5, "each change is one placement"


def test_the_list_shows_every_step(sayit):
    assert [entry["step"] for entry in objects(sayit("children", "--step", "list", "--json"))] == list(
        load_path().slugs
    )


@pytest.mark.parametrize(
    "args",
    [
        ("--child", "Pip", "--step", "minus"),
        ("--child", "Pip", "--skip", "minus"),
        ("--step", "teens"),
        ("--child", "Wren", "--step", "teens"),
    ],
)
def test_what_is_not_there_is_refused_and_nothing_changes(sayit, pip, args):
    before = pip()
    refused(sayit("children", *args))
    assert pip() == before


def test_the_forms_wanted_from_a_child_are_set_and_told(sayit):
    sayit("children", "--add", "Wren", "--forms", "plain")
    assert "everyday names only" in sayit("children").stdout
    (told,) = objects(sayit("children", "--child", "Wren", "--forms", "both", "--json"))
    assert told["forms"] == ["plain", "explicit"]
    assert "names only" not in sayit("children").stdout
    assert "There is no form" in refused(sayit("children", "--child", "Wren", "--forms", "loud"))
