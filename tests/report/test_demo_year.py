"""The invented year is the same each time, and is what the real judge says of it."""

from datetime import UTC

from sayit.practice.activities import question_from_key
from sayit.practice.path import load_path
from sayit.report.demo_year import DAYS, fill
from sayit.store import open_record
from sayit.store.learning import learner_of
from tests.report.conftest import UNTIL


def test_it_is_the_same_each_time(year, tmp_path):
    with open_record(tmp_path / "again.sqlite3", durable=False) as again, open_record(year) as first:
        fill(again, UNTIL, UTC)
        assert again.answers() == first.answers()
        assert again.sessions() == first.sessions()


def test_it_is_a_year_of_two_children_who_get_on(year):
    path = load_path()
    with open_record(year) as record:
        assert [child.name for child in record.children()] == ["Pip", "Wren"]
        for child in record.children():
            answers = record.answers(child=child)
            days = {answer.judged_at.date() for answer in answers}
            assert 200 < len(days) <= DAYS and max(days) <= UNTIL
            assert len(answers) > 5_000
            first = record.placements(child)[0].step
            assert path.index(learner_of(record, child, keep=False).step) > path.index(first) + 3
            for answer in answers[::97]:
                question = question_from_key(path, answer.question)
                assert (question.value, question.form, question.way) == (answer.asked, answer.form, answer.way)
                if answer.verdict == "right":
                    assert answer.value == answer.asked
