"""How long a parent waits for report and plan over an invented year of two children.

    python -m tests.benchmarks.report_speed [--rounds 5]

Each command is a program of its own, from start to exit, on the same record. The peer
in the same run is the interpreter that imports the PDF library and does nothing else
(Typst), and for what needs no PDF the interpreter that imports sqlite3 and Jinja2.
On a busy machine look at the processor time: that of a whole command, without waiting.
"kept" goes on from a learner kept in the record, as it is after each report; "anew"
builds it from all answers. The page can be opened once its file is there, before the PDF is.
"""

import argparse
import contextlib
import os
import resource
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from sayit.report.demo_year import fill
from sayit.store import open_record

LIMIT = 2.0
"""Seconds in which report and plan are to be open."""


def seconds(command, home, prepare, rounds, until=None):
    """Median time of a command and of the processor; with ``until`` the time until that file is there."""
    taken, worked = [], []
    for _ in range(rounds):
        prepare()
        if until:
            until.unlink(missing_ok=True)
        before = processor()
        began = time.perf_counter()
        program = subprocess.Popen(command, env={**os.environ, "SAYIT_HOME": str(home)}, stdout=subprocess.DEVNULL)
        while until and not until.exists() and program.poll() is None:
            time.sleep(0.002)
        at = time.perf_counter() - began
        assert program.wait() == 0, command
        taken.append(at if until else time.perf_counter() - began)
        worked.append(processor() - before)
    return statistics.median(taken), statistics.median(worked)


def processor():
    """Seconds of processor time of all programs that ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=5, help="the median of so many runs (default 5)")
    rounds = parser.parse_args().rounds
    with tempfile.TemporaryDirectory() as place:
        home = Path(place)
        now = time.time()
        with open_record(home / "record.sqlite3", durable=False) as record:
            fill(record, datetime.now().astimezone().date(), UTC)
            counts = {child.name: len(record.answers(child=child)) for child in record.children()}
        print(
            f"a year: {', '.join(f'{name} {count:,} answers' for name, count in counts.items())} (made in {time.time() - now:.1f} s)"
        )

        def anew():
            with contextlib.closing(sqlite3.connect(home / "record.sqlite3")) as connection:
                connection.execute("DELETE FROM learner")
                connection.commit()

        def kept():
            pass

        peers = {
            "PDF library alone": seconds([sys.executable, "-c", "import typst"], home, kept, rounds),
            "SQLite and templates alone": seconds([sys.executable, "-c", "import sqlite3, jinja2"], home, kept, rounds),
        }
        for peer, (taken, worked) in peers.items():
            print(f"  {peer:44}{taken:7.2f} s  (processor {worked:.2f} s)")
        sayit = [sys.executable, "-m", "sayit"]
        out = ["--out", place]
        page = home / "pip-report.html"
        tasks = [
            ("plan", ["plan", "--child", "Pip"], None, "SQLite and templates alone"),
            ("report, page to be opened", ["report", "--child", "Pip", *out], page, "SQLite and templates alone"),
            ("report, page and PDF", ["report", "--child", "Pip", *out], None, "PDF library alone"),
            ("report of 53 weeks, page to be opened", ["report", "--child", "Pip", "--weeks", "53", *out], page, "SQLite and templates alone"),
        ]  # fmt: skip
        for label, args, until, peer in tasks:
            for state, prepare in (("kept", kept), ("anew", anew)):
                taken, worked = seconds([*sayit, *args], home, prepare, rounds, until)
                within = "within" if taken <= LIMIT else "NOT within"
                ratio = taken / peers[peer][0]
                processor_time = "" if until else f" (processor {worked:.2f} s)"
                print(
                    f"  {label + ', ' + state:44}{taken:7.2f} s {processor_time} {ratio:5.1f} times {peer}; {within} {LIMIT:g} s"
                )


if __name__ == "__main__":
    main()
