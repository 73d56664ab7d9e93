"""kill -9 in the middle of many sittings: every answer that was told as kept is kept, and the record opens.

Here the sittings are played by a script, so that there are many of them; the whole
program is killed in tests/sitting.
"""

import os
import random
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing, suppress

import pytest

from sayit.store import open_record

SCRIPT = """
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

from sayit.numbers import name
from sayit.practice.learner import Learner
from sayit.practice.question import Response
from sayit.practice.session import lead_one
from sayit.store import Answer, open_record

with open_record(Path(sys.argv[1])) as record:
    child = record.child("Pip") or record.add_child("Pip", at=datetime(2026, 3, 2, tzinfo=UTC))
    while (number := len(record.sessions(child))) < int(sys.argv[2]):
        random, now = Random(number), datetime(2026, 3, 2, 16, tzinfo=UTC) + timedelta(days=number)
        sitting = lead_one(Learner(step="tens-and-ones"), now, seed=number)
        session = record.start_session(child, at=now, source="script", seed=number, aim=sitting.aim.skill)
        for _ in range(5):
            question = sitting.next_question(now)
            value = question.value + (random.random() < 0.3)
            given = Response(words=name(value), response_seconds=1.0)
            if question.way == "digits":
                given = Response(digits=str(value), response_seconds=1.0)
            now += timedelta(seconds=9)
            judged = sitting.take(given, now).judgement
            kept = record.keep(Answer(
                session.id, child.id, question.key, question.step, question.activity, question.value, question.form, "",
                judged.verdict, now, now, heard=judged.heard, value=judged.value, reasons=tuple(judged.reasons),
            ))
            print(kept.id, kept.question, kept.verdict, flush=True)
            if random.random() < 0.2:
                record.override(kept, "right", at=now)
                print(kept.id, kept.question, "right!", flush=True)
        record.end_session(session, at=now, aim_met="nearly")
"""


@pytest.mark.skipif(os.name == "nt", reason="POSIX signals")
def test_sittings_killed_again_and_again(path, long):
    wanted = 200 if long else 60
    random_ = random.Random(20260304)
    told, kills, ended = [], 0, False
    while not ended:
        program = subprocess.Popen(
            [sys.executable, "-c", SCRIPT, str(path), str(wanted)], stdout=subprocess.PIPE, stderr=subprocess.PIPE
        )
        # Where the kill falls: after so many lines, and a moment later, inside whatever is being written.
        last = random_.randrange(20, 160 if long else 60)
        for count, line in enumerate(program.stdout):
            told.append(line)
            if count == last:
                if delay := random_.choice((0, 0, 0.0005, 0.002)):
                    with suppress(subprocess.TimeoutExpired):
                        program.wait(delay)
                program.send_signal(signal.SIGKILL)
        _, complaint = program.communicate()
        ended = program.returncode == 0
        kills += program.returncode == -signal.SIGKILL
        assert ended or program.returncode == -signal.SIGKILL, complaint.decode()
    assert kills >= 5, "too few kills to tell anything"
    with open_record(path) as record:
        answers = {str(answer.id): answer for answer in record.answers()}
        sittings = record.sessions()
    assert len(sittings) == wanted
    # A kill cuts one sitting short each time, and no other.
    assert sum(sitting.ended is None for sitting in sittings) <= kills
    for line in told:
        if not line.endswith(b"\n"):
            continue
        number, question, verdict = line.decode().split()
        assert answers[number].question == question
        if verdict == "right!":
            assert answers[number].override == "right"
        else:
            assert answers[number].verdict == verdict
    # The one that was being told may be kept without having been told.
    assert len({line.split()[0] for line in told}) <= len(answers) <= len({line.split()[0] for line in told}) + kills
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
