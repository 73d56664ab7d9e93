"""The practice log tells each day once."""

from datetime import date

from sayit.report.log import NOTE, entries, log_paper
from tests.report.conftest import NOW


def test_a_day_is_one_entry_whatever_the_sittings(make, sitting):
    answers = [
        make(1, 0),
        make(1, 30, session=5, step="whole-tens", verdict="wrong", value=3),
        make(1, 31, session=5, verdict="unclear"),
        make(0, 0, step="free"),
    ]
    first, second = entries(answers, [sitting(1), sitting(0)], NOW.tzinfo)
    assert (first.day, first.answers, first.right) == (date(2026, 3, 19), 2, 1)
    assert first.steps == ("Teens", "Whole tens")
    assert second.steps == ("numbers freely chosen",)
    assert first.minutes == 1


def test_the_page_holds_every_day_the_standards_and_the_note(make, sitting, pip):
    log = entries([make(day) for day in (3, 2, 1)], [], NOW.tzinfo)
    page = log_paper(pip, log, now=NOW).page()
    for words in ("17 March 2026", "18 March 2026", "19 March 2026", "1.NBT.B.2.B", NOTE):
        assert words in page
    assert "K.CC.B.5" not in page, "a standard of a step that was not practised"
