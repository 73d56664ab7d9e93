"""The record keeps what it is given, for several children, through several programs."""

import subprocess
import sys
from dataclasses import replace
from datetime import timedelta, timezone

import pytest

from sayit import SayitError
from sayit.store import open_record
from tests.store.conftest import NOON


def test_an_answer_comes_back_with_every_field(record, make_answer):
    given = make_answer(
        way="digits",
        purpose="return",
        heard="fifty-four",
        built="54",
        value=54,
        heard_form="plain",
        reasons=("digits-swapped", "off-by-ten"),
        judged_by="parent",
        attempt=2,
        confidence=0.75,
        alternatives=(("fifty-four", 0.75), ("forty-four", 0.25)),
        listener="whisper",
        response_seconds=1.25,
        audio_seconds=2.5,
        work_seconds=0.375,
        override="right",
        overridden_at=NOON + timedelta(minutes=1),
        recording="pip/0001.flac",
    )
    kept = record.keep(given)
    assert kept.id is not None
    assert record.answers() == (kept,)
    assert replace(kept, id=None) == given


def test_answers_are_those_of_a_child_or_a_session_in_order(record, session, make_answer):
    wren = record.add_child("Wren", at=NOON)
    other = record.start_session(wren, at=NOON, source="keys", seed=None)
    first, second = record.keep(make_answer(1)), record.keep(make_answer(2))
    third = record.keep(make_answer(3, session=other.id, child=wren.id))
    assert record.answers() == (first, second, third)
    assert record.answers(child=record.child("Pip")) == (first, second)
    assert record.answers(session=other) == (third,)
    assert record.answers(limit=2) == (second, third)


def test_an_override_stands_beside_the_verdict_and_can_be_taken_back(record, make_answer):
    kept = record.keep(make_answer(verdict="wrong"))
    corrected = record.override(kept, "right", at=NOON + timedelta(seconds=9))
    assert record.answers() == (corrected,)
    assert (corrected.verdict, corrected.override, corrected.final) == ("wrong", "right", "right")
    restored = record.override(corrected, None, at=NOON)
    assert record.answers() == (restored,) == (kept,)


@pytest.mark.parametrize("set_aside", ["again", "skip"])
def test_an_answer_set_aside_has_no_final_verdict(record, make_answer, set_aside):
    kept = record.keep(make_answer(verdict="right"))
    assert kept.final == "right"
    assert record.override(kept, set_aside, at=NOON).final is None


def test_unknown_verdicts_are_refused_before_anything_is_written(record, make_answer):
    with pytest.raises(ValueError, match="perfect"):
        record.keep(make_answer(verdict="perfect"))
    kept = record.keep(make_answer())
    with pytest.raises(ValueError, match="maybe"):
        record.override(kept, "maybe", at=NOON)
    assert record.answers() == (kept,)


def test_an_answer_needs_a_session_and_a_failed_write_leaves_the_record_usable(record, make_answer):

    with pytest.raises(SayitError, match="taken out"):
        record.keep(make_answer(session=999))
    kept = record.keep(make_answer())
    assert record.answers() == (kept,)


def test_times_of_any_zone_come_back_as_the_same_instant(record, make_answer):
    there = NOON.astimezone(timezone(timedelta(hours=9, minutes=30)))
    record.keep(make_answer(asked_at=there))
    assert record.answers()[0].asked_at == NOON


def test_children_are_found_whatever_the_capitals_and_spaces(record):
    pip = record.add_child("  Pip   Harrow ", at=NOON, birth_month="2020-04")
    assert pip.name == "Pip Harrow"
    assert record.child("pip harrow") == record.child("PIP  HARROW ") == pip
    assert record.child("Wren") is None
    assert record.children() == (pip,)


def test_a_child_with_letters_beyond_ascii_is_one_child(record):
    composed = record.add_child("Zo\u00eb", at=NOON)
    assert record.child("ZOE\u0308") == composed


@pytest.mark.parametrize("name", ["", "   ", "a\x1b[31m", "x" * 61])
def test_names_that_are_none_are_refused(record, name):
    with pytest.raises(SayitError) as told:
        record.add_child(name, at=NOON)
    assert "\n" not in str(told.value)
    assert record.children() == ()


def test_a_name_is_taken_once(record):
    record.add_child("Pip", at=NOON)
    with pytest.raises(SayitError, match="already"):
        record.add_child("pip", at=NOON)


@pytest.mark.parametrize("month", ["2020", "2020-13", "April 2020", "2020-04-01"])
def test_a_birth_month_is_a_month(record, month):
    with pytest.raises(SayitError, match="2020-04"):
        record.add_child("Pip", at=NOON, birth_month=month)


def test_a_session_without_an_end_was_cut_off(record, session):
    assert record.sessions() == (session,)
    assert session.ended is None
    ended = record.end_session(session, at=NOON + timedelta(minutes=10))
    assert record.sessions(record.child("Pip")) == (ended,)
    assert ended.ended == NOON + timedelta(minutes=10)


def test_the_file_is_for_its_owner_only(path, record):
    if sys.platform == "win32":
        pytest.skip("POSIX permissions")
    assert path.stat().st_mode & 0o077 == 0


WRITER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from sayit.store import Answer, open_record

path, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
now = datetime(2026, 3, 2, 12, tzinfo=UTC)
with open_record(path) as record:
    child = record.add_child(name, at=now)
    session = record.start_session(child, at=now, source="keys", seed=None)
    for number in range(count):
        record.keep(Answer(session.id, child.id, f"free/say-back/{number}", "free", "say-back", number,
                           "plain", "", "right", now, now))
"""


def test_two_programs_at_once_lose_nothing(path):
    """The file does not exist at the start, so that they also race to make it."""
    names = ("Pip", "Wren", "Ada")
    programs = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(path), name, "60"], stderr=subprocess.PIPE)
        for name in names
    ]
    complaints = [program.communicate(timeout=120)[1].decode() for program in programs]
    assert [program.returncode for program in programs] == [0, 0, 0], complaints
    with open_record(path) as record:
        for name in names:
            answers = record.answers(child=record.child(name))
            assert [answer.asked for answer in answers] == list(range(60))
