"""From the open record to figures."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from sayit.report.figures import Figures, figures, first_day, require_answers
from sayit.report.log import Entry, entries
from sayit.store import Answer, Child, Record
from sayit.store.ahead import in_time
from sayit.store.learning import learner_of


def figures_of(record: Record, child: Child, *, weeks: int, now: datetime) -> Figures:
    """Figures of the last ``weeks`` weeks; ``SayitError`` for a child who never answered."""
    require_answers(child, record.count_answers(child))
    since = first_day(now, weeks)
    # A day more than needed: the record's days are UTC, the report's are local.
    begin = datetime.combine(since - timedelta(days=1), datetime.min.time(), now.tzinfo)
    return figures(
        child,
        learner_of(record, child, now=now),
        in_time(record.answers(child=child, since=begin), now),
        record.sessions(child),
        since=since,
        now=now,
    )


def entries_of(record: Record, child: Child, answers: Sequence[Answer], now: datetime) -> tuple[Entry, ...]:
    """The days of a log of these answers of the child, oldest first."""
    return entries(in_time(answers, now), record.sessions(child), now.tzinfo)
