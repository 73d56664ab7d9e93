"""What another program deleted stays deleted, and nobody else gets what belonged to it."""

import pytest

from sayit import SayitError
from sayit.store import back_up, open_record, restore
from sayit.store.learning import keep_learner_state
from tests.store.conftest import NOON


def test_the_numbers_of_a_forgotten_child_never_return(record, session, make_answer):
    kept = record.keep(make_answer(1))
    record.forget(record.child("Pip"))
    newt = record.add_child("Newt", at=NOON)
    other = record.start_session(newt, at=NOON, source="keys", seed=None)
    again = record.keep(make_answer(2, session=other.id, child=newt.id))
    assert newt.id > session.child and other.id > session.id and again.id > kept.id


def test_answers_of_a_forgotten_child_are_refused_in_one_line(record, path, session, make_answer):
    with open_record(path) as other:
        other.forget(other.child("Pip"))
        newt = other.add_child("Newt", at=NOON)
        other.start_session(newt, at=NOON, source="keys", seed=None)
    with pytest.raises(SayitError, match="deleted") as told:
        record.keep(make_answer(1))
    assert "\n" not in str(told.value)
    record.end_session(session, at=NOON)
    assert record.answers() == () and record.sessions()[0].ended is None


def test_a_sitting_and_a_child_that_do_not_belong_together_are_refused(record, make_answer):
    wren = record.add_child("Wren", at=NOON)
    with pytest.raises(SayitError, match="Wren"):
        record.keep(make_answer(1, child=wren.id))
    assert record.answers() == ()


def test_nothing_is_begun_or_placed_for_a_forgotten_child(record, path, session):
    pip = record.child("Pip")
    with open_record(path) as other:
        other.forget(pip)
    for change in (
        lambda: record.start_session(pip, at=NOON, source="keys", seed=None),
        lambda: record.place(pip, "teens", at=NOON),
        lambda: keep_learner_state(record, pip, {}, 1, 0),
    ):
        with pytest.raises(SayitError, match="deleted"):
            change()


def test_a_restore_gives_no_number_out_again(record, path, tmp_path, make_answer):
    copy = back_up(tmp_path / "copy.sqlite3", path)
    newt = record.add_child("Newt", at=NOON)
    later = record.start_session(newt, at=NOON, source="keys", seed=None)
    kept = record.keep(make_answer(1, session=later.id, child=newt.id))
    record.close()
    restore(copy, at=NOON, path=path)
    with open_record(path) as again:
        assert again.child("Newt") is None
        other = again.add_child("Wren", at=NOON)
        session = again.start_session(other, at=NOON, source="keys", seed=None)
        answer = again.keep(make_answer(2, session=session.id, child=other.id))
        assert other.id > newt.id and session.id > later.id and answer.id > kept.id
        # The sitting that went on through the restore finds nobody else's place.
        with pytest.raises(SayitError, match="deleted"):
            again.keep(make_answer(3, session=later.id, child=newt.id))


def test_an_answer_that_was_deleted_is_not_told_to_be_corrected(record, path, make_answer):
    kept = record.keep(make_answer(1))
    with open_record(path) as other:
        other.forget(other.child("Pip"))
    with pytest.raises(SayitError, match="nothing to correct"):
        record.override(kept, "right", at=NOON)
