"""How long a parent waits for report and plan over an invented year of two children.

    python -m tests.benchmarks.report_speed [--rounds 5]

Each command is a program of its own, from start to exit, on the same record. The peer
in the same run is the interpreter that imports the PDF library and does nothing else
(WeasyPrint), and for what needs no PDF the interpreter that imports sqlite3 and Jinja2.
"kept" goes on from a learner kept in the record, as it is after each report; "anew"
builds it from all answers. The page can be opened once its file is there, before the PDF is.
"""

import argparse
import contextlib
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import UTC, date
from pathlib import Path

from sayit.report.demo_year import fill
from sayit.store import open_record

LIMIT = 2.0
"""Seconds in which report and plan are to be open."""


def seconds(command, home, prepare, rounds, until=None):
    """Median time of a command; with ``until`` the time until that file is there."""
    taken = []
    for _ in range(rounds):
        prepare()
        if until:
            until.unlink(missing_ok=True)
        began = time.perf_counter()
        program = subprocess.Popen(command, env={**os.environ, "SAYIT_HOME": str(home)}, stdout=subprocess.DEVNULL)
        while until and not until.exists() and program.poll() is None:
            time.sleep(0.002)
        at = time.perf_counter() - began
        assert program.wait() == 0, command
        taken.append(at if until else time.perf_counter() - began)
    return statistics.median(taken)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=5, help="the median of so many runs (default 5)")
    rounds = parser.parse_args().rounds
    with tempfile.TemporaryDirectory() as place:
        home = Path(place)
        now = time.time()
        with open_record(home / "record.sqlite3", durable=False) as record:
            fill(record, date.today(), UTC)
            counts = {child.name: len(record.answers(child=child)) for child in record.children()}
        print(f"a year: {', '.join(f'{name} {count:,} answers' for name, count in counts.items())} (made in {time.time() - now:.1f} s)")

        def anew():
            with contextlib.closing(sqlite3.connect(home / "record.sqlite3")) as connection:
                connection.execute("DELETE FROM learner")
                connection.commit()

        def kept():
            pass

        peers = {
            "PDF library alone": seconds([sys.executable, "-c", "import weasyprint"], home, kept, rounds),
            "SQLite and templates alone": seconds([sys.executable, "-c", "import sqlite3, jinja2"], home, kept, rounds),
        }
        for peer, taken in peers.items():
            print(f"  {peer:44}{taken:7.2f} s")
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
                taken = seconds([*sayit, *args], home, prepare, rounds, until)
                within = "within" if taken <= LIMIT else "NOT within"
                print(f"  {label + ', ' + state:44}{taken:7.2f} s  {taken / peers[peer]:5.1f} times {peer}; {within} {LIMIT:g} s")


if __name__ == "__main__":
    main()
