"""Setting a sitting up from the record, the children, the parent's wishes and the devices: the one way, for every face."""

from collections.abc import Callable, Sequence
from datetime import datetime
from random import Random, SystemRandom

from sayit.numbers import FORMS
from sayit.practice.free import FreeGuide
from sayit.practice.guide import Guide
from sayit.practice.lead import lead_by_plan, lead_free
from sayit.practice.placement import easy_start
from sayit.practice.placing import go_to
from sayit.practice.question import Question
from sayit.sitting.clock import elapsed, steady
from sayit.sitting.devices import Devices
from sayit.sitting.ears import TRIES
from sayit.sitting.events import Event
from sayit.sitting.speaker import Speaker
from sayit.sitting.table import Seat, Table
from sayit.sitting.wishes import Wishes
from sayit.speaking.phrases import open_bank
from sayit.store import Child, Record
from sayit.store.learning import learner_of
from sayit.store.settings import settings_of

__all__ = ["NAMELESS", "set_up"]

NAMELESS = "Child"
"""The name in the record until a parent gives one."""


def set_up(
    record: Record,
    children: Sequence[Child],
    wishes: Wishes,
    devices: Devices,
    *,
    report: Callable[[Event], None],
    now: Callable[[], datetime],
    seconds: Callable[[], float] = elapsed,
    rested: Callable[[], float] = lambda: 0.0,
) -> Table:
    """A sitting of these children, begun in the record; ``sit`` plays it.

    ``report`` is told each event, ``now`` gives the time (aware) at which it begins, ``seconds`` how it goes on from there;
    ``rested`` tells how many of them were rests. ``SayitError`` for a step that there is not.
    """
    seed = SystemRandom().randrange(2**31) if wishes.seed is None else wishes.seed
    began = now()
    forms = [wishes.forms or child.forms for child in children]
    guide = _guide(record, children, wishes, forms, began.astimezone(), seed)

    def fits(whose: int, question: Question) -> bool:
        if not devices.can_ask(question):
            return False
        return not wishes.planned or question.form not in FORMS or question.form in forms[whose]

    bank, random = open_bank(), Random(seed)
    use_and = settings_of(record).use_and

    def speaker(name: str) -> Speaker:
        return Speaker(bank, devices.voice, random=random, report=report, child=name, use_and=use_and)

    alone = children[0].name if len(children) == 1 and children[0].name != NAMELESS else ""
    host = speaker(alone)
    aims: list[str | None] = [result.aim.skill for result in guide.results()]
    seats = tuple(
        Seat(
            child,
            record.start_session(child, at=began, source=devices.source, seed=seed, aim=aim),
            host if len(children) == 1 else speaker(child.name),
        )
        for child, aim in zip(children, aims or [None] * len(children), strict=True)
    )
    return Table(
        record=record,
        guide=guide,
        seats=seats,
        host=host,
        devices=devices,
        report=report,
        now=steady(began, seconds),
        rested=rested,
        minutes=wishes.length,
        questions=wishes.questions,
        fits=fits,
    )


def _guide(
    record: Record,
    children: Sequence[Child],
    wishes: Wishes,
    forms: Sequence[tuple[str, ...]],
    here: datetime,
    seed: int,
) -> Guide:
    if given := wishes.given:
        tries = given.tries
        return FreeGuide(
            iter(given.questions),
            forms=forms[0],
            tries=lambda question: tries.get(str(question.key), TRIES),
            returns=False,
        )
    if free := wishes.free:
        return lead_free(
            forms,
            here,
            seed=seed,
            minutes=wishes.length,
            low=free.low,
            high=free.high,
            activities=free.activities,
        )
    learners = [learner_of(record, child, now=here) for child in children]
    for learner, wanted in zip(learners, forms, strict=True):
        learner.forms = tuple(wanted)
    if wishes.step is not None:
        go_to(learners[0], wishes.step)
    start = easy_start(wishes.counts_to or children[0].counts_to, children[0].age(here))
    return lead_by_plan(learners, here, seed=seed, minutes=wishes.length, looking=wishes.placing, start=start)
