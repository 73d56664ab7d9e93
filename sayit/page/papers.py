"""What the desk gives to take away: papers, a table of all answers, and a backup."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from sayit.errors import SayitError
from sayit.page.backstage import Backstage
from sayit.report import Paper, entries_of, figures_of, report_paper
from sayit.report.figures import require_answers
from sayit.report.log import log_paper
from sayit.report.paper import file_name
from sayit.report.sheet import seed_of, sheet_paper
from sayit.report.table import answers_csv
from sayit.store import Child, Record, back_up, sound_file
from sayit.store.learning import learner_of
from sayit.store.settings import settings_of

__all__ = ["Handed", "Papers"]

WEEKS = 4
"""The report at the desk is of so many weeks, and so is the log of a month."""

_TYPES = {
    "html": "text/html; charset=utf-8",
    "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8",
    "sqlite3": "application/vnd.sqlite3",
    "flac": "audio/flac",
}


@dataclass(frozen=True, slots=True)
class Handed:
    """A file: what is in it, of what media type, and what it is called."""

    content: bytes
    type: str
    name: str


class Papers:
    """Makes each paper of the child chosen when it is asked for."""

    def __init__(self, stage: Backstage) -> None:
        self._stage = stage

    def get(self, what: str, ending: str) -> Handed:
        """The paper ``what`` ("report", "month", "log", "sheet", "answers" or "backup"); ``SayitError`` where there is none."""
        if (what, ending) == ("backup", "sqlite3"):
            return self._backup()
        with self._stage.record() as record:
            child = record.child(self._stage.name) if self._stage.name else None
            if child is None:
                raise SayitError("Add a child first: a name or nickname.")
            if (what, ending) == ("answers", "csv"):
                content = self._answers(record, child)
            elif what in _PAPERS and ending in ("html", "pdf"):
                paper = _PAPERS[what](record, child, self._stage.here())
                content = paper.pdf() if ending == "pdf" else paper.page().encode()
            else:
                raise SayitError("There is no such paper: go back to the desk.")
            return Handed(content, _TYPES[ending], file_name(child, what, ending))

    def sound(self, number: int) -> Handed:
        """The recording of an answer; ``SayitError`` where it is not kept."""
        with self._stage.record() as record:
            answer = record.answer(number)
            path = sound_file(record, answer) if answer else None
            if path is None or not path.is_file():
                raise SayitError("This answer is not kept as sound.")
            return Handed(path.read_bytes(), _TYPES["flac"], "answer.flac")

    def _answers(self, record: Record, child: Child) -> bytes:
        answers = record.answers(child=child)
        require_answers(child, len(answers))
        return answers_csv(child, answers, self._stage.here().tzinfo)

    def _backup(self) -> Handed:
        with TemporaryDirectory(prefix="sayit-backup-") as place:
            copy = back_up(Path(place) / "backup.sqlite3", self._stage.path)
            return Handed(copy.read_bytes(), _TYPES["sqlite3"], f"sayit-{self._stage.here():%Y-%m-%d}.sqlite3")


def _report(record: Record, child: Child, now: datetime) -> Paper:
    return report_paper(figures_of(record, child, weeks=WEEKS, now=now))


def _log(record: Record, child: Child, now: datetime) -> Paper:
    return _logged(record, child, now, None)


def _month(record: Record, child: Child, now: datetime) -> Paper:
    return _logged(record, child, now, now - timedelta(weeks=WEEKS))


def _logged(record: Record, child: Child, now: datetime, since: datetime | None) -> Paper:
    answers = record.answers(child=child, since=since)
    require_answers(child, len(answers))
    return log_paper(child, entries_of(record, child, answers, now), now=now)


def _sheet(record: Record, child: Child, now: datetime) -> Paper:
    learner = learner_of(record, child, now=now)
    return sheet_paper(
        learner.path,
        learner.step,
        seed=seed_of(now),
        now=now,
        child=child.name,
        use_and=settings_of(record).use_and,
    )


_PAPERS = {"report": _report, "month": _month, "log": _log, "sheet": _sheet}
