"""An invented year of two invented children, Pip and Wren of the Harrow kitchen.

It shows what a report looks like when there is something to report, and is what the
report's speed is measured on. Questions, judging and reasons are the real ones; what
the children say, and how soon, is made up here and proves nothing.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta, tzinfo
from random import Random

from sayit.numbers import name
from sayit.practice.activities import asks, judge_answer, make_question, number_for
from sayit.practice.aims import CLOSING, Aim, aim_of, ranked
from sayit.practice.folding import fold
from sayit.practice.key import skill_name, split_skill
from sayit.practice.learner import Learner, Past
from sayit.practice.question import Question, Response
from sayit.store import Answer, Child, Record

DAYS = 365
_LAST_STEP_ON = 352
"""The day on which the last step is reached: near the end, so that something is new."""
_TEENS, _TIES = range(13, 20), range(30, 91, 10)


@dataclass(frozen=True, slots=True)
class Invented:
    """A made-up child: where it starts on the path and how far it gets, its ``slip`` and its usual hour."""

    name: str
    birth_month: str
    first: str
    furthest: str
    slip: str
    clock: time
    seed: int


CHILDREN = (
    Invented("Pip", "2019-05", "teens", "thousands", "zeros", time(16, 10), 5),
    Invented("Wren", "2021-02", "to-five", "ten-tens", "teens", time(9, 5), 11),
)


def fill(record: Record, until: date, zone: tzinfo) -> tuple[Child, ...]:
    """Write the year that ends on ``until`` into an empty record; the same days give the same answers."""
    return tuple(_fill_one(record, invented, until, zone) for invented in CHILDREN)


@dataclass(slots=True)
class _Head:
    """What a made-up child has met so far."""

    random: Random
    slip: str
    met: dict[str, int] = field(default_factory=dict)


def _fill_one(record: Record, invented: Invented, until: date, zone: tzinfo) -> Child:
    random = Random(invented.seed)
    head = _Head(random, invented.slip)
    learner = Learner(step=invented.first)
    first = until - timedelta(days=DAYS - 1)
    begin = datetime.combine(first, invented.clock, zone)
    child = record.add_child(invented.name, at=begin, birth_month=invented.birth_month)
    record.place(child, invented.first, at=begin)
    path = learner.path
    start, end = path.index(invented.first), path.index(invented.furthest)
    for day in range(DAYS):
        # A fortnight away in the middle, a few days in bed, and most Sundays off.
        away = 168 <= day < 182 or 245 <= day < 249
        sunday = (first + timedelta(days=day)).weekday() == 6
        if away or random.random() < (0.75 if sunday else 0.14):
            continue
        reach = min(start + int((end - start) * day / _LAST_STEP_ON), end)
        now = begin + timedelta(days=day, minutes=random.randrange(-25, 40))
        aim = next((aim for aim in ranked(learner, now.timestamp()) if path.index(aim.step) <= reach), None) or aim_of(
            learner, now.timestamp()
        )
        session = record.start_session(child, at=now, source="microphone", seed=day, aim=aim.skill)
        answers = list(_sitting(head, learner, reach, aim, now, session.id, child.id))
        record.keep_all(answers)
        right = sum(answer.verdict == "right" for answer in answers[-CLOSING:])
        met = "met" if right == CLOSING else "nearly" if right == CLOSING - 1 else "not yet"
        record.end_session(session, at=answers[-1].judged_at + timedelta(seconds=4), aim_met=met)
    return child


def _sitting(
    head: _Head, learner: Learner, reach: int, aim: Aim, now: datetime, session: int, child: int
) -> Iterator[Answer]:
    random = head.random
    end = now + timedelta(minutes=6.0 + 4.0 * random.random())
    closing = 0
    while closing < CLOSING:
        path = learner.path
        here = min(path.index(learner.step), reach)
        if now >= end:
            closing += 1
            skill, purpose = aim.skill, "closing"
        elif random.random() < 0.3:
            skill, purpose = aim.skill, "new"
        else:
            back = 0 if random.random() < 0.5 else min(here, 1 + int(random.expovariate(0.7)))
            step = path.steps[here - back]
            skill, purpose = (
                skill_name(step.slug, random.choice(asks(step, needed=random.random() < 0.8))),
                "due" if back else "new",
            )
        slug, ask = split_skill(skill)
        number = number_for(path[slug], ask, random)
        if number is None:
            raise ValueError(f"{skill} was chosen though no number suits it")
        question = make_question(path[slug], ask, number, random, purpose)
        now += timedelta(seconds=3.0 + random.random())
        asked_at = now
        given = _answer(head, question)
        now += timedelta(seconds=(given.response_seconds or 2.0) + 4.0 + 3.0 * random.random())
        judgement = judge_answer(question, given)
        seconds = None if given.response_seconds is None else round(given.response_seconds, 2)
        if judgement.verdict != "unclear":
            fold(learner, Past(now, question.key, judgement.verdict, judgement.reasons, seconds))
        yield Answer(
            session=session,
            child=child,
            question=question.key,
            step=question.step,
            activity=question.activity,
            asked=question.value,
            form=question.form,
            prompt="",
            verdict=judgement.verdict,
            asked_at=asked_at,
            judged_at=now,
            way=question.way,
            purpose=question.purpose,
            heard=given.words or "",
            built=given.digits,
            value=judgement.value,
            reasons=tuple(judgement.reasons),
            confidence=round(0.7 + 0.3 * random.random(), 2),
            listener="invented",
            response_seconds=seconds,
        )


def _answer(head: _Head, question: Question) -> Response:
    random = head.random
    met = head.met[question.skill] = head.met.get(question.skill, 0) + 1
    seconds = question.seconds * (0.45 + 1.5 * math.exp(-met / 30)) * random.lognormvariate(0, 0.3)
    if random.random() < 0.015:
        return Response(words="", response_seconds=None)
    chance = 0.97 - 0.45 * math.exp(-met / 25)
    if random.random() < chance * _ease(head, question, met):
        return _given(question, question.value, question.form, seconds)
    if question.form == "explicit" and random.random() < 0.35:
        return _given(question, question.value, "plain", seconds)
    return _given(question, _other(head, question), question.form, seconds * 1.3)


def _ease(head: _Head, question: Question, met: int) -> float:
    number, hard = question.value, 0.0
    if head.slip == "teens" and (number in _TEENS or number in _TIES):
        hard = 0.35
    if head.slip == "zeros" and "0" in str(number).rstrip("0") and question.way == "digits":
        hard = 0.45
    return 1 - hard * math.exp(-met / 80)


def _other(head: _Head, question: Question) -> int:
    random, number = head.random, question.value
    digits = str(number)
    if question.way == "choice":
        return min(question.about)
    if (number in _TEENS or number in _TIES) and random.random() < 0.8:
        return (number - 10) * 10 if number < 20 else 10 + number // 10
    if "0" in digits.rstrip("0") and random.random() < 0.8:
        return int(digits.rstrip("0").replace("0", "") + "0" * (len(digits) - len(digits.rstrip("0"))))
    if 20 < number < 100 and digits[0] != digits[1] != "0" and random.random() < 0.35:
        return int(digits[::-1])
    if number >= 20 and random.random() < 0.4:
        return number + random.choice((-10, 10))
    return max(number + random.choice((-1, 1)), 1)


def _given(question: Question, value: int, form: str, seconds: float) -> Response:
    if question.way == "digits":
        return Response(digits=str(value), response_seconds=seconds)
    if question.way == "choice":
        return Response(choice=value, response_seconds=seconds)
    if form == "digits":
        return Response(words=" ".join(name(int(digit)) for digit in str(value)), response_seconds=seconds)
    return Response(words=name(value, "explicit" if form == "explicit" else "plain"), response_seconds=seconds)
