"""A household to attack: two children with answers, and what must still be true of it afterwards."""

import os
import sqlite3
import sys
import traceback
from contextlib import closing
from datetime import UTC, datetime, timedelta

from sayit.store import Answer, open_record

BEGAN = datetime.now(UTC) - timedelta(days=20)


def settle(path, answers=40):
    """Newt and Wren, each with two sittings."""
    # No power is cut while it is made.
    with open_record(path, durable=False) as record:
        for name in ("Newt", "Wren"):
            child = record.set_audio_days(record.add_child(name, at=BEGAN), 30)
            record.place(child, "teens", at=BEGAN)
            for day in range(2):
                at = BEGAN + timedelta(days=day)
                session = record.start_session(child, at=at, source="keys", seed=day, aim="teens/say-back:plain")
                for number in range(answers // 2):
                    keep(record, session, number, at + timedelta(seconds=9 * number))
                record.end_session(session, at=at + timedelta(minutes=9), aim_met="nearly")
        record.keep_settings({"child": 1, "turns": [2], "minutes": 7})


def keep(record, session, number, at):
    value = 13 + number % 7
    right = number % 4 > 0
    return record.keep(
        Answer(
            session=session.id, child=session.child, question=f"teens/say-back:plain/{value}", step="teens",
            activity="say-back", asked=value, form="plain", prompt="Say it.", heard="thirteen", value=13,
            verdict="right" if right else "wrong", reasons=() if right else ("teen-ty-swap",), asked_at=at,
            judged_at=at + timedelta(seconds=2), response_seconds=1.1, alternatives=(("thirteen", 0.9),),
        )
    )  # fmt: skip


def answers_of(path, name):
    """All answers of a child, whole; None where it is not there."""
    with open_record(path) as record:
        child = record.child(name)
        return None if child is None else record.answers(child=child)


def crossed(path):
    """How many answers belong to a sitting of another child, or to none."""
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        (count,) = connection.execute(
            "SELECT count(*) FROM answer LEFT JOIN session ON session.id = answer.session "
            "WHERE session.child IS NOT answer.child"
        ).fetchone()
    return count


def forked(do):
    """Do something in a process of its own, quickly begun; it leaves with what ``do`` gives, 99 for a traceback."""
    pid = os.fork()
    if pid:
        return pid
    code = 99
    try:
        code = do() or 0
    except BaseException:  # noqa: BLE001, whatever it is, it is counted
        traceback.print_exc()
        sys.stderr.flush()
    finally:
        os._exit(code)


def code_of(pid):
    """How that process ended: its exit status, or minus the signal."""
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
