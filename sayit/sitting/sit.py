"""A sitting: turn after turn until the practice, the time, the questions or the parent end it."""

from contextlib import suppress
from datetime import datetime

from sayit.errors import SayitError
from sayit.practice.question import said
from sayit.sitting.events import Aimed, Finished, Notice, Opened, Share, TurnOf
from sayit.sitting.table import Table
from sayit.sitting.turn import take_turn
from sayit.store import delete_expired
from sayit.store.checks import Busy

__all__ = ["GRACE_MINUTES", "REST_MINUTES", "sit"]

REST_MINUTES = 15.0
"""After how long a rest is suggested (common practice, no source)."""

GRACE_MINUTES = 2.0
"""How much longer than its minutes a sitting may last that the practice ends itself, after its closing questions."""


def sit(table: Table) -> Finished:
    """Greet, take turns, say goodbye.

    No new question begins after the table's minutes or questions, rests not counted; a guide that ends the
    sitting itself has two minutes more for its closing questions. Where there are no ears,
    they are opened again before each question if they can be. Recordings past their day limit are deleted first.
    """
    began = table.now()
    latest = table.minutes + (GRACE_MINUTES if table.guide.ends_itself else 0.0)
    rest_hinted = False
    asked, attempt, why = 0, 0, "no-more"
    last, turn, turn_of = None, None, None
    try:
        _tidy(table, began)
        for name, result in zip(_names(table), table.guide.results(), strict=False):
            table.report(Aimed(name, result.aim.sentence, result.aim.why))
        table.host.say((said("session.hello"),))
        while question := table.next_question():
            attempt = attempt + 1 if question is last else 1
            spent = _minutes(began, table.practised())
            if attempt == 1:
                if spent >= latest:
                    why = "time"
                    break
                if table.questions is not None and asked >= table.questions:
                    why = "asked"
                    break
                asked += 1
            if spent >= REST_MINUTES and not rest_hinted:
                rest_hinted = True
                table.report(
                    Notice("rest", "A quarter of an hour is over: a rest now does more than another question.")
                )
            if table.devices.ears is None and (found := table.devices.reopen()):
                table.devices.ears = found
                table.report(Notice("microphone-back", "The microphone is back."))
            if turn_of != table.guide.whose:
                turn_of = table.guide.whose
                _pass_to(table, turn_of)
            table.report(Opened(question, attempt))
            turn = take_turn(table, question, attempt, turn)
            last = question
            if turn.stopped:
                why = "stopped"
                break
        table.host.say((said("session.goodbye"),))
    except BaseException:
        # Also on Ctrl-C the sitting has its end; only where another program holds the record, it has none.
        with suppress(Busy):
            _end(table, began, why)
        raise
    finished = table.patiently(lambda: _end(table, began, why))
    table.report(finished)
    return finished


def _names(table: Table) -> tuple[str, ...]:
    """The children's names; of one alone nobody needs to be told the name."""
    return tuple(seat.child.name if len(table.seats) > 1 else "" for seat in table.seats)


def _pass_to(table: Table, whose: int) -> None:
    table.seat = table.seats[whose]
    if len(table.seats) > 1:
        table.report(TurnOf(table.seat.child.name))
        table.seat.speaker.say((said("your-turn"),))


def _tidy(table: Table, now: datetime) -> None:
    try:
        delete_expired(table.record, now)
    except SayitError as error:
        table.report(Notice("not-deleted", str(error)))


def _end(table: Table, began: datetime, why: str) -> Finished:
    now = table.now()
    results = table.guide.results() or (None,) * len(table.seats)
    shares = []
    for name, seat, result in zip(_names(table), table.seats, results, strict=True):
        table.record.end_session(seat.session, at=now, aim_met=result.met if result else None)
        answers = table.record.answers(session=seat.session)
        shares.append(
            Share(name, answers, result.aim.sentence, result.met, result.because) if result else Share(name, answers)
        )
    told = sorted((answer for share in shares for answer in share.answers), key=lambda answer: answer.id or 0)
    return Finished(tuple(told), _minutes(began, table.practised()), why, tuple(shares))


def _minutes(since: datetime, now: datetime) -> float:
    return (now - since).total_seconds() / 60
