"""What a sitting goes on with is taken away: another program forgets the child, or restores an older record."""

from datetime import UTC, datetime

import pexpect
import pytest

from sayit.commands import main
from sayit.store import open_record
from tests.commands.test_practise import needs_silence, terminal

__all__ = ["terminal"]

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


@pytest.fixture
def sitting(terminal, tmp_path, monkeypatch):
    """A backup knows Newt and Pip; a sitting of Pip goes on, with one answer."""
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    with open_record() as record:
        for name in ("Newt", "Pip"):
            record.start_session(record.add_child(name, at=NOON), at=NOON, source="keys", seed=None)
    main(["backup", "copy.sqlite3"])
    child = terminal("practise", "--child", "Pip", "--range", "11-99", "--no-voice")
    child.timeout = 30
    child.expect("Keys: r right")
    answer(child)
    child.expect("you: right")
    child.send("g")
    child.expect("r right")
    return child


def answer(child):
    child.expect("r right")
    child.send("r")


def whole():
    with open_record() as record:
        return [(child.name, record.sessions(child), record.answers(child=child)) for child in record.children()]


def forget_pip_for_another():
    main(["forget", "Pip", "--yes"])
    main(["children", "--add", "Pip", "--keep-audio", "7"])


def restore_older():
    main(["restore", "copy.sqlite3"])


@needs_silence
@pytest.mark.parametrize(
    ("take", "line"),
    [
        (
            forget_pip_for_another,
            "The child was deleted from the record while the sitting went on: the sitting is over.",
        ),
        (restore_older, "The sitting of Pip was taken out of the record while it went on: begin a new one."),
    ],
)
def test_the_sitting_ends_with_one_line_and_touches_nothing(sitting, take, line):
    take()
    before = whole()
    sitting.send("r")
    sitting.expect("sayit: ")
    sitting.expect(pexpect.EOF)
    sitting.close()
    assert (sitting.exitstatus, sitting.before.splitlines()) == (2, [line])
    assert whole() == before
    assert [name for name, *_ in before] == ["Newt", "Pip"] and not any(answers for *_, answers in before)


@needs_silence
def test_ctrl_c_does_not_promise_what_is_not_so(sitting):
    main(["forget", "Pip", "--yes"])
    sitting.sendintr()
    sitting.expect("stopped. The answers of this sitting were deleted from the record while it went on.")
    sitting.expect(pexpect.EOF)
    sitting.close()
    assert sitting.exitstatus == 130
